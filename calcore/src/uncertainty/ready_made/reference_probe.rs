//! Reference probe and its readout.

use super::lines::Lines;
use crate::error::{Result, positive};
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Temperature by a reference probe and a readout of its signal (ohm or millivolt), at one temperature. One and the same
/// error for every instrument and every set point: it is never averaged down.
///
/// Lines: certificate, drift, hysteresis, self-heating, immersion, readout certificate, readout drift, readout resolution.
/// The last three are divided by the slope.
///
/// # Source
/// EURAMET cg-13 and EA-4/02 M, S10 (reference thermometer); which lines a probe has: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceProbe {
    /// Expanded uncertainty of the probe by certificate, K.
    pub certificate_expanded_k: f64,
    /// Coverage factor of that, as the certificate states it.
    pub certificate_coverage_factor: f64,
    /// Limit of the drift since the calibration, ± K.
    pub drift_half_width_k: f64,
    /// Half of the difference between coming from above and from below, ± K.
    pub hysteresis_half_width_k: f64,
    /// Limit of the self-heating that differs from that at calibration, ± K.
    pub self_heating_half_width_k: f64,
    /// Heat conduction along the probe, ± K.
    pub immersion_half_width_k: f64,
    /// Slope of the probe at the temperature, signal per kelvin.
    pub slope_per_k: f64,
    /// Expanded uncertainty of the readout by certificate, signal.
    pub readout_expanded: f64,
    /// Coverage factor of that.
    pub readout_coverage_factor: f64,
    /// Limit of the drift of the readout, ± signal.
    pub readout_drift_half_width: f64,
    /// Step of the readout, signal.
    pub readout_resolution: f64,
}

impl ReferenceProbe {
    /// The budget at a temperature, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number or a slope that is not positive; those of [`Coverage::check`].
    pub fn budget(&self, t_c: f64, coverage: Coverage) -> Result<Budget> {
        let per_signal = 1.0 / positive("slope of the probe", self.slope_per_k, "per K")?;
        Lines::new()
            .expanded("certificate", self.certificate_expanded_k, self.certificate_coverage_factor, 1.0)?
            .half_width("drift", self.drift_half_width_k, 1.0)?
            .half_width("hysteresis", self.hysteresis_half_width_k, 1.0)?
            .half_width("self-heating", self.self_heating_half_width_k, 1.0)?
            .half_width("immersion", self.immersion_half_width_k, 1.0)?
            .expanded("readout certificate", self.readout_expanded, self.readout_coverage_factor, per_signal)?
            .half_width("readout drift", self.readout_drift_half_width, per_signal)?
            .step("readout resolution", self.readout_resolution, per_signal)?
            .budget(t_c, coverage)
    }
}
