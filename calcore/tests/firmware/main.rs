//! Tables and polynomials of curves for firmware.
#![allow(clippy::float_cmp, clippy::unwrap_used, clippy::panic)]

mod curves;
mod minimax;
mod tables;
