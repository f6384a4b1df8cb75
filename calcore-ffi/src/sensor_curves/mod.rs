//! Section "sensor curves": every kind of curve behind one handle, with the same words for all.

pub mod curve;

pub mod making;

pub mod evaluation;

pub mod material;

pub mod numbers;
