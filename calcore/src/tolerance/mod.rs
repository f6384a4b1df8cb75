//! What an instrument may be off: the classes of the standards and a user's own limits.
//!
//! A tolerance is a limit for an error. It is not an uncertainty, and nothing here turns one into the other.

mod custom;
mod standard;
mod thermocouple;

pub use custom::{Limits, Tolerance};
pub use standard::{Construction, astm_e1137, gost6651, iec60751, iec60751_range};
pub use thermocouple::{
    astm_e230, astm_e230_confirmation, astm_e230_range, iec60584, iec60584_confirmation, iec60584_range,
};
