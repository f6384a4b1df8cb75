//! Blocks, baths and the reference probe.

use super::{Wanted, give_ready_made};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use crate::uncertainty::budget::{calcore_budget, calcore_contribution};
use calcore::uncertainty::ready_made as core;

/// Lines of the budget of calcore_temperature_block_budget, in this order: reference certificate, reference drift,
/// indicator resolution, axial, radial, loading, stability, hysteresis, immersion.
pub const CALCORE_TEMPERATURE_BLOCK_LINES: usize = 9;

/// Calibration of a temperature block with its own indicator at one temperature. EURAMET cg-13; EA-4/02 M, S10. Every
/// number must be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_temperature_block_sources {
    /// sizeof(calcore_temperature_block_sources), set by the caller.
    pub size: usize,
    /// Expanded uncertainty of the reference thermometer with its readout, by certificate, K.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Limit of the drift of the reference since its calibration, plus or minus, K.
    pub reference_drift_half_width_k: f64,
    /// Step of the block's indicator, K; 0 with an external reference only.
    pub indicator_resolution_k: f64,
    /// Differences along the measuring zone, plus or minus, K.
    pub axial_half_width_k: f64,
    /// Differences between bores, plus or minus, K.
    pub radial_half_width_k: f64,
    /// Effect of filling the other bores, plus or minus, K.
    pub loading_half_width_k: f64,
    /// Half of the largest less the smallest in 30 minutes, plus or minus, K.
    pub stability_half_width_k: f64,
    /// Half of the difference of the indicator up and down, plus or minus, K.
    pub hysteresis_half_width_k: f64,
    /// Heat conduction along the thermometer, plus or minus, K.
    pub immersion_half_width_k: f64,
}

/// Budget by calcore_temperature_block_sources at a temperature, degC.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_TEMPERATURE_BLOCK_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_block_budget(
    t_c: f64,
    stated: *const calcore_temperature_block_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_TEMPERATURE_BLOCK_LINES, wanted, |stated, coverage| {
            let calcore_temperature_block_sources {
                size: _,
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                indicator_resolution_k,
                axial_half_width_k,
                radial_half_width_k,
                loading_half_width_k,
                stability_half_width_k,
                hysteresis_half_width_k,
                immersion_half_width_k,
            } = stated;
            core::TemperatureBlock {
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                indicator_resolution_k,
                axial_half_width_k,
                radial_half_width_k,
                loading_half_width_k,
                stability_half_width_k,
                hysteresis_half_width_k,
                immersion_half_width_k,
            }
            .budget(t_c, coverage)
        })
    }
}

/// Lines of the budget of calcore_liquid_bath_budget, in this order: reference certificate, reference drift, readout,
/// vertical, horizontal, stability, immersion.
pub const CALCORE_LIQUID_BATH_LINES: usize = 7;

/// Temperature at the place of the thermometer under test in a stirred bath, by a reference thermometer beside it.
/// Common practice, no source; the lines are those of EA-4/02 M, S10 as far as they apply to a bath. Every number must
/// be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_liquid_bath_sources {
    /// sizeof(calcore_liquid_bath_sources), set by the caller.
    pub size: usize,
    /// Expanded uncertainty of the reference thermometer by certificate, K.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Limit of the drift of the reference since its calibration, plus or minus, K.
    pub reference_drift_half_width_k: f64,
    /// Standard uncertainty of its readout, K.
    pub readout_standard_k: f64,
    /// Differences over the depth that is used, plus or minus, K.
    pub vertical_half_width_k: f64,
    /// Differences over the area that is used, plus or minus, K.
    pub horizontal_half_width_k: f64,
    /// Half of the largest less the smallest while reading, plus or minus, K.
    pub stability_half_width_k: f64,
    /// Heat conduction along the thermometers, plus or minus, K.
    pub immersion_half_width_k: f64,
}

/// Budget by calcore_liquid_bath_sources at a temperature, degC.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_LIQUID_BATH_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_liquid_bath_budget(
    t_c: f64,
    stated: *const calcore_liquid_bath_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_LIQUID_BATH_LINES, wanted, |stated, coverage| {
            let calcore_liquid_bath_sources {
                size: _,
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                readout_standard_k,
                vertical_half_width_k,
                horizontal_half_width_k,
                stability_half_width_k,
                immersion_half_width_k,
            } = stated;
            core::LiquidBath {
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                readout_standard_k,
                vertical_half_width_k,
                horizontal_half_width_k,
                stability_half_width_k,
                immersion_half_width_k,
            }
            .budget(t_c, coverage)
        })
    }
}

/// Lines of the budget of calcore_reference_probe_budget, in this order: certificate, drift, hysteresis, self-heating,
/// immersion, readout certificate, readout drift, readout resolution.
pub const CALCORE_REFERENCE_PROBE_LINES: usize = 8;

/// Temperature by a reference probe and a readout of its signal (ohm or millivolt). One and the same error for every
/// instrument and every set point: it is never averaged down. EURAMET cg-13 and EA-4/02 M, S10; which lines a probe
/// has: common practice, no source. Every number must be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reference_probe_sources {
    /// sizeof(calcore_reference_probe_sources), set by the caller.
    pub size: usize,
    /// Expanded uncertainty of the probe by certificate, K.
    pub certificate_expanded_k: f64,
    /// Coverage factor of that, as the certificate states it.
    pub certificate_coverage_factor: f64,
    /// Limit of the drift since the calibration, plus or minus, K.
    pub drift_half_width_k: f64,
    /// Half of the difference between coming from above and from below, plus or minus, K.
    pub hysteresis_half_width_k: f64,
    /// Limit of the self-heating that differs from that at calibration, plus or minus, K.
    pub self_heating_half_width_k: f64,
    /// Heat conduction along the probe, plus or minus, K.
    pub immersion_half_width_k: f64,
    /// Slope of the probe at the temperature, signal per kelvin, K.
    pub slope_per_k: f64,
    /// Expanded uncertainty of the readout by certificate, signal.
    pub readout_expanded: f64,
    /// Coverage factor of that.
    pub readout_coverage_factor: f64,
    /// Limit of the drift of the readout, plus or minus, signal.
    pub readout_drift_half_width: f64,
    /// Step of the readout, signal.
    pub readout_resolution: f64,
}

/// Budget by calcore_reference_probe_sources at a temperature, degC.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_REFERENCE_PROBE_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_reference_probe_budget(
    t_c: f64,
    stated: *const calcore_reference_probe_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_REFERENCE_PROBE_LINES, wanted, |stated, coverage| {
            let calcore_reference_probe_sources {
                size: _,
                certificate_expanded_k,
                certificate_coverage_factor,
                drift_half_width_k,
                hysteresis_half_width_k,
                self_heating_half_width_k,
                immersion_half_width_k,
                slope_per_k,
                readout_expanded,
                readout_coverage_factor,
                readout_drift_half_width,
                readout_resolution,
            } = stated;
            core::ReferenceProbe {
                certificate_expanded_k,
                certificate_coverage_factor,
                drift_half_width_k,
                hysteresis_half_width_k,
                self_heating_half_width_k,
                immersion_half_width_k,
                slope_per_k,
                readout_expanded,
                readout_coverage_factor,
                readout_drift_half_width,
                readout_resolution,
            }
            .budget(t_c, coverage)
        })
    }
}

records!(calcore_temperature_block_sources, calcore_liquid_bath_sources, calcore_reference_probe_sources);
