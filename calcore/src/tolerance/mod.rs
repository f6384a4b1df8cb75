//! What an instrument may be off: the classes of the standards and a user's own limits.
//!
//! A tolerance is a limit for an error. It is not an uncertainty, and nothing here turns one into the other.

mod custom;
mod standard;

pub use custom::{Limits, Tolerance};
pub use standard::{Construction, iec60751, iec60751_range};
