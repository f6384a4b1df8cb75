//! Instrument with its sensor in a block, beside a reference probe.

use super::lines::Lines;
use crate::error::Result;
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Error of an instrument whose sensor stands in a block beside a reference probe; all in kelvin.
///
/// Lines that all instruments share at a set point, [`InstrumentInBlock::SHARED`]: reference certificate, reference drift,
/// readout, axial, radial, loading, stability. Its own: resolution, repeatability.
///
/// # Source
/// EURAMET cg-13 with an external reference; EA-4/02 M, S10 (form).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InstrumentInBlock {
    /// Expanded uncertainty of the reference probe by certificate.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Drift of the reference, ±.
    pub reference_drift_half_width_k: f64,
    /// Standard uncertainty of its readout.
    pub readout_standard_k: f64,
    /// Differences along the measuring zone, ±.
    pub axial_half_width_k: f64,
    /// Differences between bores, ±.
    pub radial_half_width_k: f64,
    /// Effect of filling the other bores, ±.
    pub loading_half_width_k: f64,
    /// Half of the largest less the smallest while reading, ±.
    pub stability_half_width_k: f64,
    /// Step of the instrument.
    pub resolution_k: f64,
    /// Standard deviation of the repeated errors.
    pub scatter_k: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
}

impl InstrumentInBlock {
    /// The lines that all instruments of a set point have in common; see [`Budget::part`].
    pub const SHARED: [&'static str; 7] =
        ["reference certificate", "reference drift", "readout", "axial", "radial", "loading", "stability"];

    /// The budget of the error, K.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number, [`Error::TooFewPoints`](crate::Error::TooFewPoints) for fewer than 2 readings; those of [`Coverage::check`].
    pub fn budget(&self, error_k: f64, coverage: Coverage) -> Result<Budget> {
        Lines::new()
            .expanded("reference certificate", self.reference_expanded_k, self.reference_coverage_factor, 1.0)?
            .half_width("reference drift", self.reference_drift_half_width_k, 1.0)?
            .standard("readout", self.readout_standard_k, f64::INFINITY, 1.0)?
            .half_width("axial", self.axial_half_width_k, 1.0)?
            .half_width("radial", self.radial_half_width_k, 1.0)?
            .half_width("loading", self.loading_half_width_k, 1.0)?
            .half_width("stability", self.stability_half_width_k, 1.0)?
            .step("resolution", self.resolution_k, 1.0)?
            .scatter("repeatability", self.scatter_k, self.readings, 1.0)?
            .budget(error_k, coverage)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{IndicatorBySimulation, LiquidBath, ReferenceProbe, RtdComparison, Transmitter};
    use super::*;

    const K2: Coverage = Coverage::Factor(2.0);

    /// tests/reference/budget_worked_results.csv: computed with 80 digits from the estimates.
    #[test]
    fn the_worked_budget() {
        let mut instrument = InstrumentInBlock {
            reference_expanded_k: 0.030,
            reference_coverage_factor: 2.0,
            reference_drift_half_width_k: 0.010,
            readout_standard_k: 0.005,
            axial_half_width_k: 0.050,
            radial_half_width_k: 0.020,
            loading_half_width_k: 0.020,
            stability_half_width_k: 0.010,
            resolution_k: 0.1,
            scatter_k: 0.020,
            readings: 5,
        };
        let budget = instrument.budget(0.4, K2).unwrap();
        assert!((budget.standard_uncertainty - 0.048_270_073_544_588_68).abs() < 1e-15);
        assert!((budget.effective_degrees_of_freedom - 3393.0625).abs() < 1e-8);
        let shared = budget.part(&InstrumentInBlock::SHARED, K2).unwrap();
        assert!((shared.standard_uncertainty - 0.037_638_632_635_454_05).abs() < 1e-15);
        instrument.resolution_k = 0.5;
        let coarse = instrument.budget(0.4, K2).unwrap();
        assert!((coarse.standard_uncertainty - 0.149_432_258_900_145_1).abs() < 1e-15);
        // Identical readings are no information: the step remains.
        instrument.scatter_k = 0.0;
        assert!(instrument.budget(0.4, K2).unwrap().standard_uncertainty > 0.5 / 12f64.sqrt());
        instrument.readings = 1;
        assert_eq!(instrument.budget(0.4, K2).map_err(|e| e.code()), Err(201));
    }

    /// Each of the others against the squares of its lines written out by hand (3-4-12-84 quadruples where they fit).
    #[test]
    fn the_other_budgets_add_what_they_say() {
        let root_3 = 3f64.sqrt();
        let bath = LiquidBath {
            reference_expanded_k: 6.0,
            reference_coverage_factor: 2.0,
            reference_drift_half_width_k: 4.0 * root_3,
            readout_standard_k: 12.0,
            vertical_half_width_k: 0.0,
            horizontal_half_width_k: 0.0,
            stability_half_width_k: 84.0 * root_3,
            immersion_half_width_k: 0.0,
        };
        assert!((bath.budget(50.0, K2).unwrap().standard_uncertainty - 85.0).abs() < 1e-13);
        let probe = ReferenceProbe {
            certificate_expanded_k: 9.0,
            certificate_coverage_factor: 3.0,
            drift_half_width_k: 0.0,
            hysteresis_half_width_k: 0.0,
            self_heating_half_width_k: 0.0,
            immersion_half_width_k: 0.0,
            slope_per_k: 0.4,
            readout_expanded: 3.2,
            readout_coverage_factor: 2.0,
            readout_drift_half_width: 4.8 * root_3,
            readout_resolution: 0.0,
        };
        // 3, 1.6/0.4 = 4, 4.8/0.4 = 12.
        assert!((probe.budget(50.0, K2).unwrap().standard_uncertainty - 13.0).abs() < 1e-13);
        let rtd = RtdComparison {
            reference_standard_k: 7.5,
            reference_degrees_of_freedom: 20.0,
            stability_half_width_k: 0.0,
            uniformity_half_width_k: 10.0 * root_3,
            hysteresis_half_width_k: 0.0,
            self_heating_half_width_k: 0.0,
            immersion_half_width_k: 0.0,
            slope_ohm_per_k: 0.4,
            meter_expanded_ohm: 24.0,
            meter_coverage_factor: 2.0,
            meter_drift_half_width_ohm: 0.0,
            meter_resolution_ohm: 0.0,
            scatter_ohm: 0.0,
            readings: 4,
        };
        // 7.5 · 0.4 = 3, 10 · 0.4 = 4, 12; degrees of freedom 13⁴/(3⁴/20).
        let budget = rtd.budget(138.5, K2).unwrap();
        assert!((budget.standard_uncertainty - 13.0).abs() < 1e-13);
        assert!((budget.effective_degrees_of_freedom - 28_561.0 * 20.0 / 81.0).abs() < 1e-8);
        let indicator = IndicatorBySimulation {
            source_expanded: 2.4,
            source_coverage_factor: 2.0,
            source_drift_half_width: 0.0,
            source_resolution: 1.6 * 12f64.sqrt(),
            leads_half_width: 0.0,
            slope_per_k: 0.4,
            junction_half_width_k: 0.0,
            ambient_half_width_k: 0.0,
            indicator_resolution_k: 0.0,
            scatter_k: 24.0,
            readings: 4,
        };
        assert!((indicator.budget(0.1, K2).unwrap().standard_uncertainty - 13.0).abs() < 1e-13);
        let transmitter = Transmitter {
            input_standard_k: 3.0,
            input_degrees_of_freedom: f64::INFINITY,
            span_k: -160.0,
            meter_expanded_ma: 0.8,
            meter_coverage_factor: 2.0,
            meter_drift_half_width_ma: 0.0,
            meter_resolution_ma: 0.0,
            supply_half_width_ma: 1.2 * root_3,
            ambient_half_width_k: 0.0,
            scatter_ma: 0.0,
            readings: 2,
        };
        // 3, 0.4 · 10 = 4, 1.2 · 10 = 12.
        assert!((transmitter.budget(0.1, K2).unwrap().standard_uncertainty - 13.0).abs() < 1e-13);
        assert_eq!(Transmitter { span_k: 0.0, ..transmitter }.budget(0.1, K2).map_err(|e| e.code()), Err(103));
    }
}
