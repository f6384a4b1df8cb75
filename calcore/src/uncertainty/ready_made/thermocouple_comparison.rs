//! Comparison calibration of a thermocouple, in the two steps of EA-4/02 S5.

use super::lines::Lines;
use crate::error::{Result, positive};
use crate::uncertainty::budget::Budget;
use crate::uncertainty::coverage::Coverage;

/// Temperature of a furnace by standard thermocouples, °C.
///
/// Lines: reference emf, voltmeter calibration, voltmeter resolution, parasitic voltages, reference junction, standard
/// certificate, standard drift, furnace uniformity.
///
/// # Source
/// EA-4/02 M, S5; EURAMET cg-8.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermocoupleFurnace {
    /// Standard uncertainty of the mean reading of the standards, K.
    pub reading_standard_k: f64,
    /// Expanded uncertainty of the voltmeter by certificate, µV.
    pub voltmeter_expanded_uv: f64,
    /// Coverage factor of that.
    pub voltmeter_coverage_factor: f64,
    /// Limit set by its resolution, ± µV.
    pub resolution_half_width_uv: f64,
    /// Parasitic voltages of the switch, ± µV.
    pub parasitic_half_width_uv: f64,
    /// Sensitivity of the standard at the hot end, K/µV.
    pub hot_k_per_uv: f64,
    /// Sensitivity of the standard at the reference junction, K/µV.
    pub junction_k_per_uv: f64,
    /// Reference junction, ± K.
    pub junction_half_width_k: f64,
    /// Expanded uncertainty of the standards by certificate, K.
    pub standard_expanded_k: f64,
    /// Coverage factor of that.
    pub standard_coverage_factor: f64,
    /// Drift of the standards, ± K.
    pub drift_half_width_k: f64,
    /// Differences within the furnace, ± K.
    pub furnace_half_width_k: f64,
}

impl ThermocoupleFurnace {
    /// The budget at a temperature, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number or a sensitivity that is not positive; those of [`Coverage::check`].
    pub fn budget(&self, t_c: f64, coverage: Coverage) -> Result<Budget> {
        let hot = positive("sensitivity at the hot end", self.hot_k_per_uv, "K/µV")?;
        let junction = -hot / positive("sensitivity at the reference junction", self.junction_k_per_uv, "K/µV")?;
        Lines::new()
            .standard("reading", self.reading_standard_k, f64::INFINITY, 1.0)?
            .expanded("voltmeter certificate", self.voltmeter_expanded_uv, self.voltmeter_coverage_factor, hot)?
            .half_width("voltmeter resolution", self.resolution_half_width_uv, hot)?
            .half_width("parasitic voltages", self.parasitic_half_width_uv, hot)?
            .half_width("reference junction", self.junction_half_width_k, junction)?
            .expanded("standard certificate", self.standard_expanded_k, self.standard_coverage_factor, 1.0)?
            .half_width("standard drift", self.drift_half_width_k, 1.0)?
            .half_width("furnace uniformity", self.furnace_half_width_k, 1.0)?
            .budget(t_c, coverage)
    }
}

/// Emf of a thermocouple at the nominal temperature, µV.
///
/// Lines: reading, voltmeter certificate, voltmeter resolution, parasitic voltages, extension cables, furnace temperature,
/// reference junction. Inhomogeneity is not in it: add what a scan shows.
///
/// # Source
/// EA-4/02 M, S5; EURAMET cg-8.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermocoupleEmf {
    /// Standard uncertainty of the mean reading, µV.
    pub reading_standard_uv: f64,
    /// Expanded uncertainty of the voltmeter by certificate, µV.
    pub voltmeter_expanded_uv: f64,
    /// Coverage factor of that.
    pub voltmeter_coverage_factor: f64,
    /// Limit set by its resolution, ± µV.
    pub resolution_half_width_uv: f64,
    /// Parasitic voltages of the switch, ± µV.
    pub parasitic_half_width_uv: f64,
    /// Extension cables, ± µV.
    pub cable_half_width_uv: f64,
    /// Standard uncertainty of the temperature of the furnace, K.
    pub furnace_standard_k: f64,
    /// Sensitivity of the thermocouple at the hot end, µV/K.
    pub hot_uv_per_k: f64,
    /// Reference junction, ± K.
    pub junction_half_width_k: f64,
    /// Sensitivity of the thermocouple at the reference junction, µV/K.
    pub junction_uv_per_k: f64,
}

impl ThermocoupleEmf {
    /// The budget of the emf, µV.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative
    /// number; those of [`Coverage::check`].
    pub fn budget(&self, emf_uv: f64, coverage: Coverage) -> Result<Budget> {
        Lines::new()
            .standard("reading", self.reading_standard_uv, f64::INFINITY, 1.0)?
            .expanded("voltmeter certificate", self.voltmeter_expanded_uv, self.voltmeter_coverage_factor, 1.0)?
            .half_width("voltmeter resolution", self.resolution_half_width_uv, 1.0)?
            .half_width("parasitic voltages", self.parasitic_half_width_uv, 1.0)?
            .half_width("extension cables", self.cable_half_width_uv, 1.0)?
            .standard("furnace temperature", self.furnace_standard_k, f64::INFINITY, self.hot_uv_per_k)?
            .half_width("reference junction", self.junction_half_width_k, -self.junction_uv_per_k)?
            .budget(emf_uv, coverage)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn type_n_at_1000_degrees_of_the_accreditation_guide() {
        // EA-4/02 M, S5 (from memory): u(t) 0.641 °C, u(E) 25.0 µV, U 50 µV; recomputed from the half-widths with
        // C_S/C_S0 = 0.407 and u(t) = 0.641 (tests/reference/ea402_budgets.json): 0.6408696539338817, 24.990456089942285.
        let furnace = ThermocoupleFurnace {
            reading_standard_k: 0.10,
            voltmeter_expanded_uv: 2.0,
            voltmeter_coverage_factor: 2.0,
            resolution_half_width_uv: 0.5,
            parasitic_half_width_uv: 2.0,
            hot_k_per_uv: 0.077,
            junction_k_per_uv: 0.077 / 0.407,
            junction_half_width_k: 0.1,
            standard_expanded_k: 0.3,
            standard_coverage_factor: 2.0,
            drift_half_width_k: 0.3,
            furnace_half_width_k: 1.0,
        };
        let k2 = Coverage::Factor(2.0);
        let t = furnace.budget(1000.5, k2).unwrap();
        assert!((t.standard_uncertainty - 0.641).abs() < 0.0005);
        assert!((t.standard_uncertainty - 0.640_869_653_933_881_7).abs() < 1e-12, "{}", t.standard_uncertainty);
        let emf = ThermocoupleEmf {
            reading_standard_uv: 1.6,
            voltmeter_expanded_uv: 2.0,
            voltmeter_coverage_factor: 2.0,
            resolution_half_width_uv: 0.5,
            parasitic_half_width_uv: 2.0,
            cable_half_width_uv: 5.0,
            furnace_standard_k: 0.641,
            hot_uv_per_k: 38.5,
            junction_half_width_k: 0.1,
            junction_uv_per_k: 25.6,
        };
        let budget = emf.budget(36_229.0, k2).unwrap();
        assert!((budget.standard_uncertainty - 25.0).abs() < 0.05);
        assert!((budget.expanded_uncertainty - 50.0).abs() < 0.5);
        assert!(
            (budget.standard_uncertainty - 24.990_456_089_942_285).abs() < 1e-10,
            "{}",
            budget.standard_uncertainty
        );
    }
}
