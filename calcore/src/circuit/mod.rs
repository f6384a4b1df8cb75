//! What lies between a sensor and a reading.
//!
//! Each effect is a function of its cause that gives the change of the signal, the error of the temperature read from
//! it (exactly, by the inverse of the curve), and the derivative with respect to the cause, as an uncertainty budget
//! needs it.

mod current_loop;
mod current_reversal;
mod digital;
mod display;
mod effect;
mod extension_wire;
mod immersion;
mod indication_error;
mod junction;
mod leads;
mod leakage;
mod self_heating;

pub use current_loop::{CurrentLoop, CurrentStatus, SignalLevels};
pub use current_reversal::{ReversedReading, resistance_by_reversal, thermal_emf_effect};
pub use digital::DigitalScale;
pub use display::{Display, Rounding};
pub use effect::Effect;
pub use extension_wire::{ExtensionWire, ExtensionWireError, extension_wire_error};
pub use immersion::{Immersion, immersion_from_two_depths};
pub use indication_error::{Correction, IndicationError};
pub use junction::{
    JunctionReading, inhomogeneity_uncertainty, measured_emf, measuring_junction, reference_junction_effect,
};
pub use leads::{
    copper_lead_resistance, three_wire_effect, three_wire_reading, two_wire_effect, two_wire_element, two_wire_reading,
};
pub use leakage::{insulation_effect, resistance_with_insulation, resistance_without_insulation};
pub use self_heating::{SelfHeating, ZeroPower, dissipation_from_two_currents, self_heating, zero_power_resistance};
