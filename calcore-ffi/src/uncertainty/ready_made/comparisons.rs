//! Comparison calibrations of sensors.

use super::{Wanted, give_ready_made};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use crate::uncertainty::budget::{calcore_budget, calcore_contribution};
use calcore::uncertainty::ready_made as core;

/// Lines of the budget of calcore_rtd_comparison_budget, in this order: reference temperature, stability, uniformity,
/// hysteresis, self-heating, immersion, meter certificate, meter drift, meter resolution, repeatability.
pub const CALCORE_RTD_COMPARISON_LINES: usize = 10;

/// Resistance of a thermometer at a temperature, by comparison in a block or bath. EA-4/02 M, S5 (the form, there for a
/// thermocouple); which lines a resistance thermometer has: common practice, no source. Every number must be stated;
/// what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_rtd_comparison_sources {
    /// sizeof(calcore_rtd_comparison_sources), set by the caller.
    pub size: usize,
    /// Standard uncertainty of the reference temperature, K: of a reference probe's budget.
    pub reference_standard_k: f64,
    /// Its degrees of freedom; infinite where exact.
    pub reference_degrees_of_freedom: f64,
    /// Stability while reading, plus or minus, K.
    pub stability_half_width_k: f64,
    /// Differences between the places of reference and thermometer, plus or minus, K.
    pub uniformity_half_width_k: f64,
    /// Half of the difference between coming from above and from below, plus or minus, K.
    pub hysteresis_half_width_k: f64,
    /// Limit of the self-heating that is not corrected, plus or minus, K.
    pub self_heating_half_width_k: f64,
    /// Heat conduction along the thermometer, plus or minus, K.
    pub immersion_half_width_k: f64,
    /// Slope of the thermometer, ohm/K.
    pub slope_ohm_per_k: f64,
    /// Expanded uncertainty of the meter by certificate, ohm.
    pub meter_expanded_ohm: f64,
    /// Coverage factor of that.
    pub meter_coverage_factor: f64,
    /// Limit of the drift of the meter, plus or minus, ohm.
    pub meter_drift_half_width_ohm: f64,
    /// Step of the meter, ohm.
    pub meter_resolution_ohm: f64,
    /// Standard deviation of the repeated readings, ohm.
    pub scatter_ohm: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
    /// Zero.
    pub reserved: u32,
}

/// Budget by calcore_rtd_comparison_sources at a resistance, ohm.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_RTD_COMPARISON_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_rtd_comparison_budget(
    ohm: f64,
    stated: *const calcore_rtd_comparison_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_RTD_COMPARISON_LINES, wanted, |stated, coverage| {
            let calcore_rtd_comparison_sources {
                size: _,
                reference_standard_k,
                reference_degrees_of_freedom,
                stability_half_width_k,
                uniformity_half_width_k,
                hysteresis_half_width_k,
                self_heating_half_width_k,
                immersion_half_width_k,
                slope_ohm_per_k,
                meter_expanded_ohm,
                meter_coverage_factor,
                meter_drift_half_width_ohm,
                meter_resolution_ohm,
                scatter_ohm,
                readings,
                reserved: _,
            } = stated;
            core::RtdComparison {
                reference_standard_k,
                reference_degrees_of_freedom,
                stability_half_width_k,
                uniformity_half_width_k,
                hysteresis_half_width_k,
                self_heating_half_width_k,
                immersion_half_width_k,
                slope_ohm_per_k,
                meter_expanded_ohm,
                meter_coverage_factor,
                meter_drift_half_width_ohm,
                meter_resolution_ohm,
                scatter_ohm,
                readings,
            }
            .budget(ohm, coverage)
        })
    }
}

/// Lines of the budget of calcore_thermocouple_furnace_budget, in this order: reading, voltmeter certificate, voltmeter
/// resolution, parasitic voltages, reference junction, standard certificate, standard drift, furnace uniformity.
pub const CALCORE_THERMOCOUPLE_FURNACE_LINES: usize = 8;

/// Temperature of a furnace by standard thermocouples: the first step of the comparison of a thermocouple. EA-4/02 M,
/// S5; EURAMET cg-8. Every number must be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_thermocouple_furnace_sources {
    /// sizeof(calcore_thermocouple_furnace_sources), set by the caller.
    pub size: usize,
    /// Standard uncertainty of the mean reading of the standards, K.
    pub reading_standard_k: f64,
    /// Expanded uncertainty of the voltmeter by certificate, uV.
    pub voltmeter_expanded_uv: f64,
    /// Coverage factor of that.
    pub voltmeter_coverage_factor: f64,
    /// Limit set by its resolution, plus or minus, uV.
    pub resolution_half_width_uv: f64,
    /// Parasitic voltages of the switch, plus or minus, uV.
    pub parasitic_half_width_uv: f64,
    /// Sensitivity of the standard at the hot end, K/uV.
    pub hot_k_per_uv: f64,
    /// Sensitivity of the standard at the reference junction, K/uV.
    pub junction_k_per_uv: f64,
    /// Reference junction, plus or minus, K.
    pub junction_half_width_k: f64,
    /// Expanded uncertainty of the standards by certificate, K.
    pub standard_expanded_k: f64,
    /// Coverage factor of that.
    pub standard_coverage_factor: f64,
    /// Drift of the standards, plus or minus, K.
    pub drift_half_width_k: f64,
    /// Differences within the furnace, plus or minus, K.
    pub furnace_half_width_k: f64,
}

/// Budget by calcore_thermocouple_furnace_sources at a temperature, degC.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_THERMOCOUPLE_FURNACE_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_furnace_budget(
    t_c: f64,
    stated: *const calcore_thermocouple_furnace_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_THERMOCOUPLE_FURNACE_LINES, wanted, |stated, coverage| {
            let calcore_thermocouple_furnace_sources {
                size: _,
                reading_standard_k,
                voltmeter_expanded_uv,
                voltmeter_coverage_factor,
                resolution_half_width_uv,
                parasitic_half_width_uv,
                hot_k_per_uv,
                junction_k_per_uv,
                junction_half_width_k,
                standard_expanded_k,
                standard_coverage_factor,
                drift_half_width_k,
                furnace_half_width_k,
            } = stated;
            core::ThermocoupleFurnace {
                reading_standard_k,
                voltmeter_expanded_uv,
                voltmeter_coverage_factor,
                resolution_half_width_uv,
                parasitic_half_width_uv,
                hot_k_per_uv,
                junction_k_per_uv,
                junction_half_width_k,
                standard_expanded_k,
                standard_coverage_factor,
                drift_half_width_k,
                furnace_half_width_k,
            }
            .budget(t_c, coverage)
        })
    }
}

/// Lines of the budget of calcore_thermocouple_emf_budget, in this order: reading, voltmeter certificate, voltmeter
/// resolution, parasitic voltages, extension cables, furnace temperature, reference junction.
pub const CALCORE_THERMOCOUPLE_EMF_LINES: usize = 7;

/// Emf of a thermocouple at the nominal temperature: the second step of its comparison. Inhomogeneity is not in it.
/// EA-4/02 M, S5; EURAMET cg-8. Every number must be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_thermocouple_emf_sources {
    /// sizeof(calcore_thermocouple_emf_sources), set by the caller.
    pub size: usize,
    /// Standard uncertainty of the mean reading, uV.
    pub reading_standard_uv: f64,
    /// Expanded uncertainty of the voltmeter by certificate, uV.
    pub voltmeter_expanded_uv: f64,
    /// Coverage factor of that.
    pub voltmeter_coverage_factor: f64,
    /// Limit set by its resolution, plus or minus, uV.
    pub resolution_half_width_uv: f64,
    /// Parasitic voltages of the switch, plus or minus, uV.
    pub parasitic_half_width_uv: f64,
    /// Extension cables, plus or minus, uV.
    pub cable_half_width_uv: f64,
    /// Standard uncertainty of the temperature of the furnace, K.
    pub furnace_standard_k: f64,
    /// Sensitivity of the thermocouple at the hot end, uV/K.
    pub hot_uv_per_k: f64,
    /// Reference junction, plus or minus, K.
    pub junction_half_width_k: f64,
    /// Sensitivity of the thermocouple at the reference junction, uV/K.
    pub junction_uv_per_k: f64,
}

/// Budget by calcore_thermocouple_emf_sources at a emf, uV.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_THERMOCOUPLE_EMF_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_emf_budget(
    emf_uv: f64,
    stated: *const calcore_thermocouple_emf_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_THERMOCOUPLE_EMF_LINES, wanted, |stated, coverage| {
            let calcore_thermocouple_emf_sources {
                size: _,
                reading_standard_uv,
                voltmeter_expanded_uv,
                voltmeter_coverage_factor,
                resolution_half_width_uv,
                parasitic_half_width_uv,
                cable_half_width_uv,
                furnace_standard_k,
                hot_uv_per_k,
                junction_half_width_k,
                junction_uv_per_k,
            } = stated;
            core::ThermocoupleEmf {
                reading_standard_uv,
                voltmeter_expanded_uv,
                voltmeter_coverage_factor,
                resolution_half_width_uv,
                parasitic_half_width_uv,
                cable_half_width_uv,
                furnace_standard_k,
                hot_uv_per_k,
                junction_half_width_k,
                junction_uv_per_k,
            }
            .budget(emf_uv, coverage)
        })
    }
}

records!(calcore_rtd_comparison_sources, calcore_thermocouple_furnace_sources, calcore_thermocouple_emf_sources);
