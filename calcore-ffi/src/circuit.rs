//! Section "circuit": the current loop, and the error of an indication in every unit.

use crate::guard::{fill, give};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, read};
use crate::status::*;
use calcore::circuit::{Correction, CurrentLoop, CurrentStatus, IndicationError, SignalLevels};

/// State of a loop current: at or below the lower failure level; sensor or transmitter failed, or the loop is open.
pub const CALCORE_CURRENT_FAILED_LOW: i32 = 0;
/// State of a loop current: between lower failure and lower saturation; it says nothing.
pub const CALCORE_CURRENT_UNDEFINED_LOW: i32 = 1;
/// State of a loop current: measuring, the ends included.
pub const CALCORE_CURRENT_MEASURING: i32 = 2;
/// State of a loop current: between upper saturation and upper failure; it says nothing.
pub const CALCORE_CURRENT_UNDEFINED_HIGH: i32 = 3;
/// State of a loop current: at or above the upper failure level; sensor or transmitter failed.
pub const CALCORE_CURRENT_FAILED_HIGH: i32 = 4;

/// A 4 mA to 20 mA output or input with its range and its levels. Plain numbers: nothing to release, copied freely.
///
/// calcore_current_loop_init fills it; a program may also set every field itself.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_current_loop {
    /// sizeof(calcore_current_loop), set by the caller.
    pub size: usize,
    /// Value at 4 mA, °C.
    pub lower_range_value_c: f64,
    /// Value at 20 mA, °C; may lie below the one at 4 mA (a reversed range), but not be equal to it.
    pub upper_range_value_c: f64,
    /// At or below this current: failure, mA.
    pub failed_low_ma: f64,
    /// Lowest measuring current, mA.
    pub saturated_low_ma: f64,
    /// Highest measuring current, mA.
    pub saturated_high_ma: f64,
    /// At or above this current: failure, mA.
    pub failed_high_ma: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_current_loop {
    const WHAT: &'static str = "calcore_current_loop";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// The loop that a struct of the caller describes, checked.
///
/// # Safety
/// `range` is null or points to as many bytes as its `size` says.
unsafe fn loop_of(range: *const calcore_current_loop) -> Result<CurrentLoop, Failure> {
    let nothing = calcore_current_loop {
        size: 0,
        lower_range_value_c: 0.0,
        upper_range_value_c: 0.0,
        failed_low_ma: 0.0,
        saturated_low_ma: 0.0,
        saturated_high_ma: 0.0,
        failed_high_ma: 0.0,
    };
    // SAFETY: as promised.
    let r = unsafe { read(range, nothing) }?;
    let levels = SignalLevels {
        failed_low_ma: r.failed_low_ma,
        saturated_low_ma: r.saturated_low_ma,
        saturated_high_ma: r.saturated_high_ma,
        failed_high_ma: r.failed_high_ma,
    };
    Ok(CurrentLoop::with_levels(r.lower_range_value_c, r.upper_range_value_c, levels)?)
}

/// Fills a loop by its value at 4 mA and its value at 20 mA, °C, with the levels of NAMUR NE 43 (failure at or below
/// 3.6 mA and at or above 21.0 mA, measuring from 3.8 mA to 20.5 mA). Set `range->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE when the two values are equal.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_init(
    lower_range_value_c: f64,
    upper_range_value_c: f64,
    range: *mut calcore_current_loop,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, range, || {
            let checked = CurrentLoop::new(lower_range_value_c, upper_range_value_c)?;
            let levels = checked.levels();
            Ok(calcore_current_loop {
                size: 0,
                lower_range_value_c: checked.lower_range_value_c(),
                upper_range_value_c: checked.upper_range_value_c(),
                failed_low_ma: levels.failed_low_ma,
                saturated_low_ma: levels.saturated_low_ma,
                saturated_high_ma: levels.saturated_high_ma,
                failed_high_ma: levels.failed_high_ma,
            })
        })
    }
}

/// Current that an ideal transmitter gives at a temperature in °C, mA: 4 + 16 (t - LRV) / (URV - LRV).
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE when it would lie beyond the saturation levels;
/// CALCORE_E_INVALID_VALUE for an empty range or levels out of order, here and in every function of a loop.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_current(
    range: *const calcore_current_loop,
    t_c: f64,
    ma: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ma", ma), || Ok(loop_of(range)?.current(t_c)?)) }
}

/// Current of a transmitter that stops at the saturation levels, mA, at a temperature in °C.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_saturated_current(
    range: *const calcore_current_loop,
    t_c: f64,
    ma: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ma", ma), || Ok(loop_of(range)?.saturated_current(t_c)?)) }
}

/// Value that a measuring current in mA means, °C.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a current that is not measuring: a failed or saturated loop
/// has no value.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_value(
    range: *const calcore_current_loop,
    ma: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(loop_of(range)?.value(ma)?)) }
}

/// Value by the straight line for any current in mA, whatever it says about the transmitter, °C.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_extrapolated_value(
    range: *const calcore_current_loop,
    ma: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(loop_of(range)?.extrapolated_value(ma)?)) }
}

/// What a current in mA says about the transmitter: `*state` receives one of the CALCORE_CURRENT_ numbers.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_state(
    range: *const calcore_current_loop,
    ma: f64,
    state: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("state", state), || {
            Ok(match loop_of(range)?.status(ma)? {
                CurrentStatus::FailedLow => CALCORE_CURRENT_FAILED_LOW,
                CurrentStatus::UndefinedLow => CALCORE_CURRENT_UNDEFINED_LOW,
                CurrentStatus::Measuring => CALCORE_CURRENT_MEASURING,
                CurrentStatus::UndefinedHigh => CALCORE_CURRENT_UNDEFINED_HIGH,
                CurrentStatus::FailedHigh => CALCORE_CURRENT_FAILED_HIGH,
            })
        })
    }
}

/// Error of a current beside the true temperature in °C, mA: the current minus that of an ideal transmitter.
///
/// Status: as calcore_current_loop_value for the current and calcore_current_loop_current for the temperature.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_error_ma(
    range: *const calcore_current_loop,
    ma: f64,
    reference_c: f64,
    error_ma: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("error_ma", error_ma), || Ok(loop_of(range)?.error_ma(ma, reference_c)?)) }
}

/// Error of the value, K, that an error of the current, mA, means. For a reversed range they have opposite signs.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_error_k_from_ma(
    range: *const calcore_current_loop,
    error_ma: f64,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("error_k", error_k), || Ok(loop_of(range)?.error_k_from_ma(error_ma)?)) }
}

/// Error of the current, mA, that an error of the value, K, means. For a reversed range they have opposite signs.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_error_ma_from_k(
    range: *const calcore_current_loop,
    error_k: f64,
    error_ma: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("error_ma", error_ma), || Ok(loop_of(range)?.error_ma_from_k(error_k)?)) }
}

/// An error of the value, K, in percent of the span: 100 error / |URV - LRV|.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_percent_of_span_from_k(
    range: *const calcore_current_loop,
    error_k: f64,
    percent: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("percent", percent), || Ok(loop_of(range)?.percent_of_span_from_k(error_k)?)) }
}

/// An error of the current, mA, in percent of the span of the current: 100 error / 16 mA.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_current_loop_percent_of_span_from_ma(
    error_ma: f64,
    percent: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("percent", percent), || Ok(CurrentLoop::percent_of_span_from_ma(error_ma)?)) }
}

/// Error of an indication beside a reference, both °C: indicated minus reference, K. JCGM 200:2012, 2.16.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_from_readings(
    indicated_c: f64,
    reference_c: f64,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("error_k", error_k), || Ok(IndicationError::from_readings(indicated_c, reference_c)?.kelvins()))
    }
}

/// The error, K, that a percentage of the span between two ends of a range, °C, means.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty span.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_from_percent_of_span(
    percent: f64,
    low_c: f64,
    high_c: f64,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("error_k", error_k), || Ok(IndicationError::from_percent_of_span(percent, low_c, high_c)?.kelvins()))
    }
}

/// The error, K, that a percentage of a reading in °C means.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_from_percent_of_reading(
    percent: f64,
    reading_c: f64,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("error_k", error_k), || Ok(IndicationError::from_percent_of_reading(percent, reading_c)?.kelvins()))
    }
}

/// An error, K, in percent of the span between the two ends of a range, °C.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty span.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_percent_of_span(
    error_k: f64,
    low_c: f64,
    high_c: f64,
    percent: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("percent", percent), || Ok(IndicationError::new(error_k)?.percent_of_span(low_c, high_c)?)) }
}

/// An error, K, in percent of the size of a reading in °C; its sign stays that of the error.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a reading of 0 °C, where it is not defined.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_percent_of_reading(
    error_k: f64,
    reading_c: f64,
    percent: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("percent", percent), || Ok(IndicationError::new(error_k)?.percent_of_reading(reading_c)?)) }
}

/// The correction that undoes an error: its negative, K.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_indication_error_correction(
    error_k: f64,
    correction_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("correction_k", correction_k), || Ok(IndicationError::new(error_k)?.correction().kelvins())) }
}

/// The corrected value of an indication in °C, °C.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_correction_apply(
    correction_k: f64,
    indicated_c: f64,
    corrected_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("corrected_c", corrected_c), || Ok(Correction::new(correction_k)?.apply(indicated_c)?)) }
}
