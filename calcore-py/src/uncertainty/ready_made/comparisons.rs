//! Comparison calibrations of sensors.

use super::budget;
use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::uncertainty::{Budget, coverage as coverage_of};
use calcore::uncertainty::ready_made as core;
use pyo3::prelude::*;

budget! {
    /// Budget of the resistance of a thermometer at a temperature, by comparison in a block or bath, ohm.
    ///
    /// Lines: reference temperature, stability, uniformity, hysteresis, self-heating, immersion, meter certificate,
    /// meter drift, meter resolution, repeatability.
    ///
    /// Parameters
    /// ----------
    /// ohm : float
    ///     Resistance, ohm.
    /// reference_standard_k : float
    ///     Standard uncertainty of the reference temperature, K: of a reference probe's budget.
    /// reference_degrees_of_freedom : float
    ///     Its degrees of freedom; infinite where exact.
    /// stability_half_width_k : float
    ///     Stability while reading, ± K.
    /// uniformity_half_width_k : float
    ///     Differences between the places of reference and thermometer, ± K.
    /// hysteresis_half_width_k : float
    ///     Half of the difference between coming from above and from below, ± K.
    /// self_heating_half_width_k : float
    ///     Limit of the self-heating that is not corrected, ± K.
    /// immersion_half_width_k : float
    ///     Heat conduction along the thermometer, ± K.
    /// slope_ohm_per_k : float
    ///     Slope of the thermometer, ohm/K.
    /// meter_expanded_ohm : float
    ///     Expanded uncertainty of the meter by certificate, ohm.
    /// meter_coverage_factor : float
    ///     Coverage factor of that.
    /// meter_drift_half_width_ohm : float
    ///     Limit of the drift of the meter, ± ohm.
    /// meter_resolution_ohm : float
    ///     Step of the meter, ohm.
    /// scatter_ohm : float
    ///     Standard deviation of the repeated readings, ohm.
    /// readings : int
    ///     Number of readings, at least 2.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
    ///
    /// Source
    /// ------
    /// EA-4/02 M, S5 (the form, there for a thermocouple); which lines a resistance thermometer has: common
    /// practice, no source.
    ///
    /// Examples
    /// --------
    /// Invented numbers.
    ///
    /// >>> budget = cc.uncertainty.rtd_comparison_budget(
    /// ...     138.51,
    /// ...     reference_standard_k=0.012,
    /// ...     reference_degrees_of_freedom=np.inf,
    /// ...     stability_half_width_k=0.006,
    /// ...     uniformity_half_width_k=0.008,
    /// ...     hysteresis_half_width_k=0.005,
    /// ...     self_heating_half_width_k=0.002,
    /// ...     immersion_half_width_k=0.005,
    /// ...     slope_ohm_per_k=0.379,
    /// ...     meter_expanded_ohm=0.002,
    /// ...     meter_coverage_factor=2.0,
    /// ...     meter_drift_half_width_ohm=0.001,
    /// ...     meter_resolution_ohm=0.001,
    /// ...     scatter_ohm=0.001,
    /// ...     readings=5,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0054
    rtd_comparison_budget(ohm) of RtdComparison {
        reference_standard_k: f64,
        reference_degrees_of_freedom: f64,
        stability_half_width_k: f64,
        uniformity_half_width_k: f64,
        hysteresis_half_width_k: f64,
        self_heating_half_width_k: f64,
        immersion_half_width_k: f64,
        slope_ohm_per_k: f64,
        meter_expanded_ohm: f64,
        meter_coverage_factor: f64,
        meter_drift_half_width_ohm: f64,
        meter_resolution_ohm: f64,
        scatter_ohm: f64,
        readings: u32,
    }
}

budget! {
    /// Budget of the temperature of a furnace by standard thermocouples, K.
    ///
    /// Lines: reading, voltmeter certificate, voltmeter resolution, parasitic voltages, reference junction,
    /// standard certificate, standard drift, furnace uniformity.
    /// The first step of the comparison of a thermocouple; `thermocouple_emf_budget` is the second.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature, °C.
    /// reading_standard_k : float
    ///     Standard uncertainty of the mean reading of the standards, K.
    /// voltmeter_expanded_uv : float
    ///     Expanded uncertainty of the voltmeter by certificate, µV.
    /// voltmeter_coverage_factor : float
    ///     Coverage factor of that.
    /// resolution_half_width_uv : float
    ///     Limit set by its resolution, ± µV.
    /// parasitic_half_width_uv : float
    ///     Parasitic voltages of the switch, ± µV.
    /// hot_k_per_uv : float
    ///     Sensitivity of the standard at the hot end, K/µV.
    /// junction_k_per_uv : float
    ///     Sensitivity of the standard at the reference junction, K/µV.
    /// junction_half_width_k : float
    ///     Reference junction, ± K.
    /// standard_expanded_k : float
    ///     Expanded uncertainty of the standards by certificate, K.
    /// standard_coverage_factor : float
    ///     Coverage factor of that.
    /// drift_half_width_k : float
    ///     Drift of the standards, ± K.
    /// furnace_half_width_k : float
    ///     Differences within the furnace, ± K.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// EA-4/02 M, S5; EURAMET cg-8.
    ///
    /// Examples
    /// --------
    /// EA-4/02 M, S5, 1000 °C (numbers from memory): u = 0.641 °C.
    ///
    /// >>> budget = cc.uncertainty.thermocouple_furnace_budget(
    /// ...     1000.5,
    /// ...     reading_standard_k=0.1,
    /// ...     voltmeter_expanded_uv=2.0,
    /// ...     voltmeter_coverage_factor=2.0,
    /// ...     resolution_half_width_uv=0.5,
    /// ...     parasitic_half_width_uv=2.0,
    /// ...     hot_k_per_uv=0.077,
    /// ...     junction_k_per_uv=0.189,
    /// ...     junction_half_width_k=0.1,
    /// ...     standard_expanded_k=0.3,
    /// ...     standard_coverage_factor=2.0,
    /// ...     drift_half_width_k=0.3,
    /// ...     furnace_half_width_k=1.0,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 3)
    /// 0.641
    thermocouple_furnace_budget(t_c) of ThermocoupleFurnace {
        reading_standard_k: f64,
        voltmeter_expanded_uv: f64,
        voltmeter_coverage_factor: f64,
        resolution_half_width_uv: f64,
        parasitic_half_width_uv: f64,
        hot_k_per_uv: f64,
        junction_k_per_uv: f64,
        junction_half_width_k: f64,
        standard_expanded_k: f64,
        standard_coverage_factor: f64,
        drift_half_width_k: f64,
        furnace_half_width_k: f64,
    }
}

budget! {
    /// Budget of the emf of a thermocouple at the nominal temperature, µV.
    ///
    /// Lines: reading, voltmeter certificate, voltmeter resolution, parasitic voltages, extension cables, furnace
    /// temperature, reference junction.
    /// The second step of the comparison of a thermocouple. Inhomogeneity is not in it: add what a scan shows.
    ///
    /// Parameters
    /// ----------
    /// emf_uv : float
    ///     Emf, µV.
    /// reading_standard_uv : float
    ///     Standard uncertainty of the mean reading, µV.
    /// voltmeter_expanded_uv : float
    ///     Expanded uncertainty of the voltmeter by certificate, µV.
    /// voltmeter_coverage_factor : float
    ///     Coverage factor of that.
    /// resolution_half_width_uv : float
    ///     Limit set by its resolution, ± µV.
    /// parasitic_half_width_uv : float
    ///     Parasitic voltages of the switch, ± µV.
    /// cable_half_width_uv : float
    ///     Extension cables, ± µV.
    /// furnace_standard_k : float
    ///     Standard uncertainty of the temperature of the furnace, K.
    /// hot_uv_per_k : float
    ///     Sensitivity of the thermocouple at the hot end, µV/K.
    /// junction_half_width_k : float
    ///     Reference junction, ± K.
    /// junction_uv_per_k : float
    ///     Sensitivity of the thermocouple at the reference junction, µV/K.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// EA-4/02 M, S5; EURAMET cg-8.
    ///
    /// Examples
    /// --------
    /// EA-4/02 M, S5, type N at 1000 °C (numbers from memory): u = 25.0 µV.
    ///
    /// >>> budget = cc.uncertainty.thermocouple_emf_budget(
    /// ...     36229.0,
    /// ...     reading_standard_uv=1.6,
    /// ...     voltmeter_expanded_uv=2.0,
    /// ...     voltmeter_coverage_factor=2.0,
    /// ...     resolution_half_width_uv=0.5,
    /// ...     parasitic_half_width_uv=2.0,
    /// ...     cable_half_width_uv=5.0,
    /// ...     furnace_standard_k=0.641,
    /// ...     hot_uv_per_k=38.5,
    /// ...     junction_half_width_k=0.1,
    /// ...     junction_uv_per_k=25.6,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 1)
    /// 25.0
    thermocouple_emf_budget(emf_uv) of ThermocoupleEmf {
        reading_standard_uv: f64,
        voltmeter_expanded_uv: f64,
        voltmeter_coverage_factor: f64,
        resolution_half_width_uv: f64,
        parasitic_half_width_uv: f64,
        cable_half_width_uv: f64,
        furnace_standard_k: f64,
        hot_uv_per_k: f64,
        junction_half_width_k: f64,
        junction_uv_per_k: f64,
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(rtd_comparison_budget, module)?,
        wrap_pyfunction!(thermocouple_furnace_budget, module)?,
        wrap_pyfunction!(thermocouple_emf_budget, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
