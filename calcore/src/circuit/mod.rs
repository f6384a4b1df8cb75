//! What lies between a sensor and a reading.

mod current_loop;
mod indication_error;
mod reference_junction;

pub use current_loop::{CurrentLoop, CurrentStatus, SignalLevels};
pub use indication_error::{Correction, IndicationError};
pub use reference_junction::{
    ExtensionWire, ExtensionWireError, extension_wire_error, reference_junction_error, reference_junction_sensitivity,
};
