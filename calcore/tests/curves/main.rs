//! Curves, scales and tolerances against numbers that others computed or published.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::float_cmp)]

mod any_input;
mod bounds;
#[cfg(feature = "serde")]
mod constants;
mod its90;
mod kinds_of_sensor;
mod polynomial;
mod properties;
mod refused;
mod sprt;
mod table;
mod tabulated;
mod thermistor;
mod tolerance;
