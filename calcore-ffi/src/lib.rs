//! C ABI of calcore: one file for each section of the header, conversions only.
//!
//! The names are those of C, so that one word finds a thing on both sides. What every function promises and asks of
//! its caller stands once, at the top of the header (`cbindgen.toml`); that is the safety contract too.
#![allow(non_camel_case_types, reason = "the names are those of C")]
#![allow(clippy::missing_safety_doc, reason = "one contract for all functions, at the top of the header")]
#![deny(unsafe_op_in_unsafe_fn)]
#![cfg_attr(test, allow(clippy::float_cmp, clippy::unwrap_used, clippy::expect_used, clippy::panic))]

// The border itself, in the order of the header.
pub mod version;

pub mod status;

pub mod message;

// One file for each room of the core.
pub mod temperature;

pub mod curves;

pub mod sensor_curves;

pub mod thermocouple;

pub mod its90;

pub mod circuit;

pub mod effects;

pub mod tolerance;

pub mod fit;

pub mod uncertainty;

pub mod decision;

pub mod settling;

pub mod loop_calibration;

pub mod linearization;

mod array;
mod guard;
mod handle;
mod record;
