//! Section "loop calibration": a run from its JSON description to its result, as JSON and number by number.

pub mod attribution;
pub mod element;
pub mod records;
pub mod result;
pub mod run;
pub mod text;
