//! Comparison calibration of a resistance thermometer.

use super::lines::Lines;
use crate::error::Result;
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Resistance of a thermometer at a temperature, by comparison in a block or bath; the result is in ohm.
///
/// Lines: reference temperature, stability, uniformity, hysteresis, self-heating, immersion (each times the slope), meter
/// certificate, meter drift, meter resolution, repeatability.
///
/// # Source
/// EA-4/02 M, S5 (the form, there for a thermocouple); which lines a resistance thermometer has: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RtdComparison {
    /// Standard uncertainty of the reference temperature, K: of a reference probe's budget.
    pub reference_standard_k: f64,
    /// Its degrees of freedom; infinite where exact.
    pub reference_degrees_of_freedom: f64,
    /// Stability while reading, ± K.
    pub stability_half_width_k: f64,
    /// Differences between the places of reference and thermometer, ± K.
    pub uniformity_half_width_k: f64,
    /// Half of the difference between coming from above and from below, ± K.
    pub hysteresis_half_width_k: f64,
    /// Limit of the self-heating that is not corrected, ± K.
    pub self_heating_half_width_k: f64,
    /// Heat conduction along the thermometer, ± K.
    pub immersion_half_width_k: f64,
    /// Slope of the thermometer, ohm/K.
    pub slope_ohm_per_k: f64,
    /// Expanded uncertainty of the meter by certificate, ohm.
    pub meter_expanded_ohm: f64,
    /// Coverage factor of that.
    pub meter_coverage_factor: f64,
    /// Limit of the drift of the meter, ± ohm.
    pub meter_drift_half_width_ohm: f64,
    /// Step of the meter, ohm.
    pub meter_resolution_ohm: f64,
    /// Standard deviation of the repeated readings, ohm.
    pub scatter_ohm: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
}

impl RtdComparison {
    /// The budget of the resistance, ohm.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number, [`Error::TooFewPoints`](crate::Error::TooFewPoints) for fewer than 2 readings; those of [`Coverage::check`].
    pub fn budget(&self, ohm: f64, coverage: Coverage) -> Result<Budget> {
        let slope = self.slope_ohm_per_k;
        Lines::new()
            .standard("reference temperature", self.reference_standard_k, self.reference_degrees_of_freedom, slope)?
            .half_width("stability", self.stability_half_width_k, slope)?
            .half_width("uniformity", self.uniformity_half_width_k, slope)?
            .half_width("hysteresis", self.hysteresis_half_width_k, slope)?
            .half_width("self-heating", self.self_heating_half_width_k, slope)?
            .half_width("immersion", self.immersion_half_width_k, slope)?
            .expanded("meter certificate", self.meter_expanded_ohm, self.meter_coverage_factor, 1.0)?
            .half_width("meter drift", self.meter_drift_half_width_ohm, 1.0)?
            .step("meter resolution", self.meter_resolution_ohm, 1.0)?
            .scatter("repeatability", self.scatter_ohm, self.readings, 1.0)?
            .budget(ohm, coverage)
    }
}
