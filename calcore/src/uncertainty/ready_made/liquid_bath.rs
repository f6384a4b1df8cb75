//! Liquid bath.

use super::lines::Lines;
use crate::error::Result;
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Temperature at the place of the thermometer under test in a stirred bath, by a reference thermometer beside it; kelvin.
///
/// Lines: reference certificate, reference drift, readout, vertical, horizontal, stability, immersion.
///
/// # Source
/// Common practice, no source; the lines are those of EA-4/02 M, S10 as far as they apply to a bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidBath {
    /// Expanded uncertainty of the reference thermometer by certificate.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Limit of the drift of the reference since its calibration, ±.
    pub reference_drift_half_width_k: f64,
    /// Standard uncertainty of its readout.
    pub readout_standard_k: f64,
    /// Differences over the depth that is used, ±.
    pub vertical_half_width_k: f64,
    /// Differences over the area that is used, ±.
    pub horizontal_half_width_k: f64,
    /// Half of the largest less the smallest while reading, ±.
    pub stability_half_width_k: f64,
    /// Heat conduction along the thermometers, ±.
    pub immersion_half_width_k: f64,
}

impl LiquidBath {
    /// The budget at a temperature, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number; those of [`Coverage::check`].
    pub fn budget(&self, t_c: f64, coverage: Coverage) -> Result<Budget> {
        Lines::new()
            .expanded("reference certificate", self.reference_expanded_k, self.reference_coverage_factor, 1.0)?
            .half_width("reference drift", self.reference_drift_half_width_k, 1.0)?
            .standard("readout", self.readout_standard_k, f64::INFINITY, 1.0)?
            .half_width("vertical", self.vertical_half_width_k, 1.0)?
            .half_width("horizontal", self.horizontal_half_width_k, 1.0)?
            .half_width("stability", self.stability_half_width_k, 1.0)?
            .half_width("immersion", self.immersion_half_width_k, 1.0)?
            .budget(t_c, coverage)
    }
}
