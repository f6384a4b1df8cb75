//! Indicator by electrical simulation.

use super::lines::Lines;
use crate::error::{Result, positive};
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Error of a temperature indicator whose sensor is simulated by a source of its signal (ohm, millivolt or milliampere); K.
///
/// Lines: source certificate, source drift, source resolution, leads (each over the slope), reference junction, ambient
/// temperature, indicator resolution, repeatability. No block, no bath: none of their lines.
///
/// # Source
/// EURAMET cg-11 (the method; its example budgets were not seen).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IndicatorBySimulation {
    /// Expanded uncertainty of the source by certificate, signal.
    pub source_expanded: f64,
    /// Coverage factor of that.
    pub source_coverage_factor: f64,
    /// Drift of the source, ± signal.
    pub source_drift_half_width: f64,
    /// Step of the source, signal.
    pub source_resolution: f64,
    /// Leads and contacts, ± signal.
    pub leads_half_width: f64,
    /// Slope of the simulated sensor, signal per kelvin.
    pub slope_per_k: f64,
    /// Reference junction, ± K; 0 without one.
    pub junction_half_width_k: f64,
    /// Effect of the ambient temperature on source and indicator, ± K.
    pub ambient_half_width_k: f64,
    /// Step of the indicator, K.
    pub indicator_resolution_k: f64,
    /// Standard deviation of the repeated readings, K.
    pub scatter_k: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
}

impl IndicatorBySimulation {
    /// The budget of the error, K.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number or a slope that is not positive, [`Error::TooFewPoints`](crate::Error::TooFewPoints) for fewer than 2
    /// readings; those of [`Coverage::check`].
    pub fn budget(&self, error_k: f64, coverage: Coverage) -> Result<Budget> {
        let per_signal = 1.0 / positive("slope of the sensor", self.slope_per_k, "per K")?;
        Lines::new()
            .expanded("source certificate", self.source_expanded, self.source_coverage_factor, per_signal)?
            .half_width("source drift", self.source_drift_half_width, per_signal)?
            .step("source resolution", self.source_resolution, per_signal)?
            .half_width("leads", self.leads_half_width, per_signal)?
            .half_width("reference junction", self.junction_half_width_k, 1.0)?
            .half_width("ambient temperature", self.ambient_half_width_k, 1.0)?
            .step("indicator resolution", self.indicator_resolution_k, 1.0)?
            .scatter("repeatability", self.scatter_k, self.readings, 1.0)?
            .budget(error_k, coverage)
    }
}
