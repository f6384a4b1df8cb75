//! Temperature block.

use super::lines::Lines;
use crate::error::Result;
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Calibration of a temperature block with its own indicator at one temperature; all in kelvin.
///
/// Lines: reference certificate, reference drift, indicator resolution, axial, radial, loading, stability, hysteresis,
/// immersion. Rectangles dominate as a rule: see [`Budget::with_coverage_of_shapes`].
///
/// # Source
/// EURAMET cg-13; EA-4/02 M, S10.
///
/// # Example
/// ```
/// use calcore::uncertainty::{Coverage, ready_made::TemperatureBlock};
/// // EA-4/02 S10, 180 °C (numbers from memory): u = 0.164 °C.
/// let block = TemperatureBlock {
///     reference_expanded_k: 0.030, reference_coverage_factor: 2.0, reference_drift_half_width_k: 0.04,
///     indicator_resolution_k: 0.1, axial_half_width_k: 0.25, radial_half_width_k: 0.10, loading_half_width_k: 0.05,
///     stability_half_width_k: 0.03, hysteresis_half_width_k: 0.0, immersion_half_width_k: 0.0,
/// };
/// let budget = block.budget(180.0, Coverage::Probability(0.95))?;
/// assert!((budget.standard_uncertainty - 0.164).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemperatureBlock {
    /// Expanded uncertainty of the reference thermometer with its readout, by certificate.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Limit of the drift of the reference since its calibration, ±.
    pub reference_drift_half_width_k: f64,
    /// Step of the block's indicator; 0 with an external reference only.
    pub indicator_resolution_k: f64,
    /// Differences along the measuring zone, ±.
    pub axial_half_width_k: f64,
    /// Differences between bores, ±.
    pub radial_half_width_k: f64,
    /// Effect of filling the other bores, ±.
    pub loading_half_width_k: f64,
    /// Half of the largest less the smallest in 30 minutes, ±.
    pub stability_half_width_k: f64,
    /// Half of the difference of the indicator up and down, ±.
    pub hysteresis_half_width_k: f64,
    /// Heat conduction along the thermometer, ±.
    pub immersion_half_width_k: f64,
}

impl TemperatureBlock {
    /// The budget at a temperature, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number; those of [`Coverage::check`].
    pub fn budget(&self, t_c: f64, coverage: Coverage) -> Result<Budget> {
        Lines::new()
            .expanded("reference certificate", self.reference_expanded_k, self.reference_coverage_factor, 1.0)?
            .half_width("reference drift", self.reference_drift_half_width_k, 1.0)?
            .step("indicator resolution", self.indicator_resolution_k, 1.0)?
            .half_width("axial", self.axial_half_width_k, 1.0)?
            .half_width("radial", self.radial_half_width_k, 1.0)?
            .half_width("loading", self.loading_half_width_k, 1.0)?
            .half_width("stability", self.stability_half_width_k, 1.0)?
            .half_width("hysteresis", self.hysteresis_half_width_k, 1.0)?
            .half_width("immersion", self.immersion_half_width_k, 1.0)?
            .budget(t_c, coverage)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::shapes::trapezoid_coverage_factor;

    #[test]
    fn two_rectangles_dominate_the_block_of_the_accreditation_guide() {
        // EA-4/02 M, S10 (numbers from memory): u 0.164, edge parameter 0.43, k 1.80 (formula), U about 0.30 and not 0.33.
        let block = TemperatureBlock {
            reference_expanded_k: 0.030,
            reference_coverage_factor: 2.0,
            reference_drift_half_width_k: 0.04,
            indicator_resolution_k: 0.1,
            axial_half_width_k: 0.25,
            radial_half_width_k: 0.10,
            loading_half_width_k: 0.05,
            stability_half_width_k: 0.03,
            hysteresis_half_width_k: 0.0,
            immersion_half_width_k: 0.0,
        };
        let k = trapezoid_coverage_factor(block.axial_half_width_k, block.radial_half_width_k, 0.95).unwrap();
        let budget = block.budget(180.0, Coverage::Factor(k)).unwrap();
        assert!((budget.standard_uncertainty - 0.164).abs() < 0.0005, "{}", budget.standard_uncertainty);
        assert!((k - 1.80).abs() < 0.005, "{k}");
        assert!((budget.expanded_uncertainty - 0.30).abs() < 0.01);
        // 0.25/√3 and 0.10/√3 of it.
        let part = budget.part(&["axial", "radial"], Coverage::Factor(k)).unwrap();
        assert!((part.standard_uncertainty - ((0.0625 + 0.01) / 3.0f64).sqrt()).abs() < 1e-15);
        let negative = TemperatureBlock { axial_half_width_k: -0.1, ..block };
        let error = negative.budget(180.0, Coverage::Factor(2.0)).unwrap_err();
        assert!(error.to_string().contains("axial") && error.code() == 103, "{error}");
    }
}
