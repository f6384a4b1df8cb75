//! The published numbers, each with its source. Nothing is computed here.

pub mod its90;
#[cfg(feature = "std")]
pub(crate) mod kronrod;
pub mod rtd;
pub mod scales;
pub mod tc_approximate;
pub(crate) mod tc_segments;
mod tc_segments_forward;
mod tc_segments_inverse;
pub(crate) mod tc_segments_published;
pub mod temperature;
pub mod thermocouple_tolerance;

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Document with its edition.
    pub document: &'static str,
    /// Clause or table.
    pub clause: &'static str,
}
