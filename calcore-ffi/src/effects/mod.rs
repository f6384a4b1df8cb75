//! Section "effects": what lies between sensor and reading, each with its derivative.

pub mod display;
pub mod effect;
pub mod heat;
pub mod junction;
pub mod wiring;
