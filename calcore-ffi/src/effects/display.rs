//! Section "effects": digital values and displays.

use crate::array::Output;
use crate::guard::{give, guard};
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::circuit::*;

/// How a display comes to its last digit: to the nearest step; halves go to the even one.
pub const CALCORE_ROUND_NEAREST: i32 = 0;
/// How a display comes to its last digit: down to the step below.
pub const CALCORE_ROUND_TRUNCATE: i32 = 1;

/// Value of a count on a digital scale that runs straight from (low_count, low) to (high_count, high), in any unit.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for ends that are equal; CALCORE_E_OUT_OF_RANGE for a count
/// outside them.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_value(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    count: i64,
    value: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("value", value), || Ok(DigitalScale::new(low_count, high_count, low, high)?.value(count)?)) }
}

/// The count nearest to a value on a digital scale; halves go to the even count.
///
/// Scale and status: as calcore_digital_value.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_count(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    value: f64,
    count: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(DigitalScale::new(low_count, high_count, low, high)?.count(value)?)) }
}

/// Value of one count of a digital scale, positive, and the standard uncertainty by it: one count over sqrt 12.
///
/// Scale and status: as calcore_digital_value.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_resolution(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    resolution: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let step = Output::new("resolution", resolution)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let scale = DigitalScale::new(low_count, high_count, low, high)?;
            step.set(scale.resolution());
            u.set(scale.resolution_uncertainty());
            Ok(())
        })
    }
}

fn display(resolution: f64, rounding: i32) -> Result<Display, Failure> {
    let rounding = match rounding {
        CALCORE_ROUND_NEAREST => Rounding::Nearest,
        CALCORE_ROUND_TRUNCATE => Rounding::Truncate,
        _ => return Err(Failure::option("rounding", rounding, "CALCORE_ROUND_NEAREST or CALCORE_ROUND_TRUNCATE")),
    };
    Ok(Display::new(resolution, rounding)?)
}

/// What a display of a given step shows for a value. `rounding`: CALCORE_ROUND_NEAREST or CALCORE_ROUND_TRUNCATE.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_display_shown(
    resolution: f64,
    rounding: i32,
    value: f64,
    shown: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("shown", shown), || Ok(display(resolution, rounding)?.shown(value)?)) }
}

/// Mean error of what a display shows (zero, or minus half a step where digits are cut off) and the standard uncertainty of
/// the value behind it once that is taken away: a step over sqrt 12.
///
/// Status: as calcore_display_shown.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_display_uncertainty(
    resolution: f64,
    rounding: i32,
    mean_error: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean_error", mean_error)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let display = display(resolution, rounding)?;
            mean.set(display.mean_error());
            u.set(display.uncertainty());
            Ok(())
        })
    }
}
