//! Fits against published and separately computed values.
#![allow(clippy::float_cmp, clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod anything_goes;
mod batch;
mod callendar_van_dusen;
mod errors_in_both;
mod model;
mod polynomial;
mod reference;
mod sensors;
mod simulation;
mod straight_line;
mod use_of_a_fit;
mod warnings;
