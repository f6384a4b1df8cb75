//! Transmitter.

use super::lines::Lines;
use crate::error::{Error, Result, finite, positive};
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Error of a transmitter with a current output of 4 to 20 mA, in kelvin.
///
/// Lines: input, meter certificate, meter drift, meter resolution, supply and load, ambient temperature, repeatability;
/// those in milliampere times span/16.
///
/// # Source
/// Common practice, no source; span/16: IEC 60381-1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transmitter {
    /// Standard uncertainty of the temperature at its input, K: of a simulated sensor, or of the block and its reference.
    pub input_standard_k: f64,
    /// Its degrees of freedom; infinite where exact.
    pub input_degrees_of_freedom: f64,
    /// Span of the output, K; its sign does not matter.
    pub span_k: f64,
    /// Expanded uncertainty of the current meter by certificate, mA.
    pub meter_expanded_ma: f64,
    /// Coverage factor of that.
    pub meter_coverage_factor: f64,
    /// Drift of the meter, ± mA.
    pub meter_drift_half_width_ma: f64,
    /// Step of the meter, mA.
    pub meter_resolution_ma: f64,
    /// Effect of supply voltage and load, ± mA.
    pub supply_half_width_ma: f64,
    /// Effect of the ambient temperature, ± K.
    pub ambient_half_width_k: f64,
    /// Standard deviation of the repeated readings, mA.
    pub scatter_ma: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
}

impl Transmitter {
    /// The budget of the error, K.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative number or a span of 0, [`Error::TooFewPoints`] for fewer
    /// than 2 readings; those of [`Coverage::check`].
    pub fn budget(&self, error_k: f64, coverage: Coverage) -> Result<Budget> {
        let per_ma = positive("amount of the span", finite("span", self.span_k)?.abs(), "K")? / 16.0;
        if !per_ma.is_normal() {
            return Err(Error::NotFinite { what: "span over 16 mA", value: per_ma, position: None });
        }
        Lines::new()
            .standard("input", self.input_standard_k, self.input_degrees_of_freedom, 1.0)?
            .expanded("meter certificate", self.meter_expanded_ma, self.meter_coverage_factor, per_ma)?
            .half_width("meter drift", self.meter_drift_half_width_ma, per_ma)?
            .step("meter resolution", self.meter_resolution_ma, per_ma)?
            .half_width("supply and load", self.supply_half_width_ma, per_ma)?
            .half_width("ambient temperature", self.ambient_half_width_k, 1.0)?
            .scatter("repeatability", self.scatter_ma, self.readings, per_ma)?
            .budget(error_k, coverage)
    }
}
