//! Calculation core for the calibration of industrial temperature loops.
//!
//! A loop is a chain: sensing element, transmitter, local indicator, control-system value. calcore computes, from the
//! readings taken beside a reference thermometer: the true temperature, the error of every instrument with its
//! uncertainty and verdict, the link that causes the error of the whole, and the coefficients that put the element
//! right.
//!
//! The core is pure: no files, no clock, no global state. Every constant carries its source; units are in the names
//! (`t_c` degrees Celsius on the ITS-90, `t_k` kelvin, `ohm`, `mv`, `ma`; a standard uncertainty is `u_` in the unit of
//! what it belongs to).
#![forbid(unsafe_code)]
#![cfg_attr(not(feature = "std"), no_std)]
#![cfg_attr(test, allow(clippy::float_cmp, clippy::unwrap_used, clippy::expect_used, clippy::panic))]

#[cfg(feature = "std")]
pub mod circuit;
pub mod constants;
pub mod curves;
#[cfg(feature = "std")]
pub mod decision;
pub mod error;
#[cfg(feature = "std")]
pub mod fit;
pub mod interval;
pub mod its90;
pub mod linearization;
#[cfg(feature = "serde")]
pub mod loop_calibration;
pub mod num;
#[cfg(feature = "std")]
pub mod settling;
pub mod temperature;
#[cfg(feature = "std")]
pub mod tolerance;
#[cfg(feature = "std")]
pub mod uncertainty;
#[cfg(feature = "validation")]
pub mod validation;

#[cfg(feature = "std")]
pub use error::Problem;
pub use error::{Error, Result};
pub use interval::Interval;

/// Version of the core, as results carry it.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The Rust code of the README, run as a test.
#[cfg(all(doctest, feature = "serde"))]
#[doc = include_str!("../../README.md")]
pub struct ReadmeExamples;
