//! What lies between a sensor and a reading.

mod current_loop;
mod indication_error;

pub use current_loop::{CurrentLoop, CurrentStatus, SignalLevels};
pub use indication_error::{Correction, IndicationError};
