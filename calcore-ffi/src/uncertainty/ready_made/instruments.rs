//! Indicators, transmitters and instruments in a block.

use super::{Wanted, give_ready_made};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use crate::uncertainty::budget::{calcore_budget, calcore_contribution};
use calcore::uncertainty::ready_made as core;

/// Lines of the budget of calcore_indicator_by_simulation_budget, in this order: source certificate, source drift,
/// source resolution, leads, reference junction, ambient temperature, indicator resolution, repeatability.
pub const CALCORE_INDICATOR_BY_SIMULATION_LINES: usize = 8;

/// Error of a temperature indicator whose sensor is simulated by a source of its signal (ohm, millivolt or
/// milliampere). EURAMET cg-11 (the method; its example budgets were not seen). Every number must be stated; what does
/// not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_indicator_by_simulation_sources {
    /// sizeof(calcore_indicator_by_simulation_sources), set by the caller.
    pub size: usize,
    /// Expanded uncertainty of the source by certificate, signal.
    pub source_expanded: f64,
    /// Coverage factor of that.
    pub source_coverage_factor: f64,
    /// Drift of the source, plus or minus, signal.
    pub source_drift_half_width: f64,
    /// Step of the source, signal.
    pub source_resolution: f64,
    /// Leads and contacts, plus or minus, signal.
    pub leads_half_width: f64,
    /// Slope of the simulated sensor, signal per kelvin, K.
    pub slope_per_k: f64,
    /// Reference junction, plus or minus, K; 0 without one.
    pub junction_half_width_k: f64,
    /// Effect of the ambient temperature on source and indicator, plus or minus, K.
    pub ambient_half_width_k: f64,
    /// Step of the indicator, K.
    pub indicator_resolution_k: f64,
    /// Standard deviation of the repeated readings, K.
    pub scatter_k: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
    /// Zero.
    pub reserved: u32,
}

/// Budget by calcore_indicator_by_simulation_sources at a error, K.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_INDICATOR_BY_SIMULATION_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indicator_by_simulation_budget(
    error_k: f64,
    stated: *const calcore_indicator_by_simulation_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_INDICATOR_BY_SIMULATION_LINES, wanted, |stated, coverage| {
            let calcore_indicator_by_simulation_sources {
                size: _,
                source_expanded,
                source_coverage_factor,
                source_drift_half_width,
                source_resolution,
                leads_half_width,
                slope_per_k,
                junction_half_width_k,
                ambient_half_width_k,
                indicator_resolution_k,
                scatter_k,
                readings,
                reserved: _,
            } = stated;
            core::IndicatorBySimulation {
                source_expanded,
                source_coverage_factor,
                source_drift_half_width,
                source_resolution,
                leads_half_width,
                slope_per_k,
                junction_half_width_k,
                ambient_half_width_k,
                indicator_resolution_k,
                scatter_k,
                readings,
            }
            .budget(error_k, coverage)
        })
    }
}

/// Lines of the budget of calcore_transmitter_budget, in this order: input, meter certificate, meter drift, meter
/// resolution, supply and load, ambient temperature, repeatability.
pub const CALCORE_TRANSMITTER_LINES: usize = 7;

/// Error of a transmitter with a current output of 4 to 20 mA; lines in milliampere are multiplied by span/16. Common
/// practice, no source; span/16: IEC 60381-1. Every number must be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_transmitter_sources {
    /// sizeof(calcore_transmitter_sources), set by the caller.
    pub size: usize,
    /// Standard uncertainty of the temperature at its input, K: of a simulated sensor, or of the block and its
    /// reference.
    pub input_standard_k: f64,
    /// Its degrees of freedom; infinite where exact.
    pub input_degrees_of_freedom: f64,
    /// Span of the output, K; its sign does not matter.
    pub span_k: f64,
    /// Expanded uncertainty of the current meter by certificate, mA.
    pub meter_expanded_ma: f64,
    /// Coverage factor of that.
    pub meter_coverage_factor: f64,
    /// Drift of the meter, plus or minus, mA.
    pub meter_drift_half_width_ma: f64,
    /// Step of the meter, mA.
    pub meter_resolution_ma: f64,
    /// Effect of supply voltage and load, plus or minus, mA.
    pub supply_half_width_ma: f64,
    /// Effect of the ambient temperature, plus or minus, K.
    pub ambient_half_width_k: f64,
    /// Standard deviation of the repeated readings, mA.
    pub scatter_ma: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
    /// Zero.
    pub reserved: u32,
}

/// Budget by calcore_transmitter_sources at a error, K.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_TRANSMITTER_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_transmitter_budget(
    error_k: f64,
    stated: *const calcore_transmitter_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_TRANSMITTER_LINES, wanted, |stated, coverage| {
            let calcore_transmitter_sources {
                size: _,
                input_standard_k,
                input_degrees_of_freedom,
                span_k,
                meter_expanded_ma,
                meter_coverage_factor,
                meter_drift_half_width_ma,
                meter_resolution_ma,
                supply_half_width_ma,
                ambient_half_width_k,
                scatter_ma,
                readings,
                reserved: _,
            } = stated;
            core::Transmitter {
                input_standard_k,
                input_degrees_of_freedom,
                span_k,
                meter_expanded_ma,
                meter_coverage_factor,
                meter_drift_half_width_ma,
                meter_resolution_ma,
                supply_half_width_ma,
                ambient_half_width_k,
                scatter_ma,
                readings,
            }
            .budget(error_k, coverage)
        })
    }
}

/// Lines of the budget of calcore_instrument_in_block_budget, in this order: reference certificate, reference drift,
/// readout, axial, radial, loading, stability, resolution, repeatability.
pub const CALCORE_INSTRUMENT_IN_BLOCK_LINES: usize = 9;

/// Error of an instrument whose sensor stands in a block beside a reference probe. The first seven lines are shared by
/// all instruments of a set point. EURAMET cg-13 with an external reference; EA-4/02 M, S10 (form). Every number must
/// be stated; what does not apply is 0.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_instrument_in_block_sources {
    /// sizeof(calcore_instrument_in_block_sources), set by the caller.
    pub size: usize,
    /// Expanded uncertainty of the reference probe by certificate, K.
    pub reference_expanded_k: f64,
    /// Coverage factor of that.
    pub reference_coverage_factor: f64,
    /// Drift of the reference, plus or minus, K.
    pub reference_drift_half_width_k: f64,
    /// Standard uncertainty of its readout, K.
    pub readout_standard_k: f64,
    /// Differences along the measuring zone, plus or minus, K.
    pub axial_half_width_k: f64,
    /// Differences between bores, plus or minus, K.
    pub radial_half_width_k: f64,
    /// Effect of filling the other bores, plus or minus, K.
    pub loading_half_width_k: f64,
    /// Half of the largest less the smallest while reading, plus or minus, K.
    pub stability_half_width_k: f64,
    /// Step of the instrument, K.
    pub resolution_k: f64,
    /// Standard deviation of the repeated errors, K.
    pub scatter_k: f64,
    /// Number of readings, at least 2.
    pub readings: u32,
    /// Zero.
    pub reserved: u32,
}

/// Budget by calcore_instrument_in_block_sources at a error, K.
///
/// `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
/// `contributions`: room for CALCORE_INSTRUMENT_IN_BLOCK_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
/// CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
/// coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_instrument_in_block_budget(
    error_k: f64,
    stated: *const calcore_instrument_in_block_sources,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    let wanted = Wanted { coverage_kind, coverage, result, contributions, err };
    // SAFETY: the contract of the header.
    unsafe {
        give_ready_made(stated, CALCORE_INSTRUMENT_IN_BLOCK_LINES, wanted, |stated, coverage| {
            let calcore_instrument_in_block_sources {
                size: _,
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                readout_standard_k,
                axial_half_width_k,
                radial_half_width_k,
                loading_half_width_k,
                stability_half_width_k,
                resolution_k,
                scatter_k,
                readings,
                reserved: _,
            } = stated;
            core::InstrumentInBlock {
                reference_expanded_k,
                reference_coverage_factor,
                reference_drift_half_width_k,
                readout_standard_k,
                axial_half_width_k,
                radial_half_width_k,
                loading_half_width_k,
                stability_half_width_k,
                resolution_k,
                scatter_k,
                readings,
            }
            .budget(error_k, coverage)
        })
    }
}

records!(calcore_indicator_by_simulation_sources, calcore_transmitter_sources, calcore_instrument_in_block_sources);
