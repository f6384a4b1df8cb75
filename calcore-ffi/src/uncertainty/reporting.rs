//! A result rounded for a report.

use crate::guard::guard;
use crate::message::{Failure, calcore_error, write_text};
use crate::record::{Record, Target};
use crate::status::*;
use calcore::uncertainty::reporting::{Reported, Rounding, report};
use std::ffi::c_char;

/// The uncertainty is rounded to the nearest.
pub const CALCORE_ROUND_NEAREST: i32 = 0;
/// To the nearest, but upwards where that would take off more than 5 %. EA-4/02 M:2022, 6.3.
pub const CALCORE_ROUND_NO_MORE_THAN_FIVE_PERCENT_DOWN: i32 = 1;
/// Upwards, always.
pub const CALCORE_ROUND_UP: i32 = 2;

/// A rounded result. JCGM 100:2008, 7.2.6.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reported {
    /// sizeof(calcore_reported), set by the caller.
    pub size: usize,
    /// The rounded value.
    pub value: f64,
    /// The rounded uncertainty.
    pub uncertainty: f64,
    /// Power of ten of the last digit: -3 for thousandths.
    pub last_digit: i32,
    /// 1 where the last digit is finer than the resolution of what was read.
    pub finer_than_resolution: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_reported {
    const WHAT: &'static str = "calcore_reported";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// The rule behind a number of the header.
pub(super) fn rounding_of(rounding: i32) -> Result<Rounding, Failure> {
    match rounding {
        CALCORE_ROUND_NEAREST => Ok(Rounding::Nearest),
        CALCORE_ROUND_NO_MORE_THAN_FIVE_PERCENT_DOWN => Ok(Rounding::NoMoreThanFivePercentDown),
        CALCORE_ROUND_UP => Ok(Rounding::Up),
        _ => Err(Failure::option("rounding", rounding, "CALCORE_ROUND_NEAREST to CALCORE_ROUND_UP")),
    }
}

fn rounded(value: f64, uncertainty: f64, digits: i32, rounding: i32, resolution: f64) -> Result<Reported, Failure> {
    let rule = rounding_of(rounding)?;
    Ok(report(value, uncertainty, u32::try_from(digits).unwrap_or(0), rule, resolution)?)
}

/// Rounds a value and its uncertainty: the uncertainty to `digits` significant digits, 1 or 2, the value to match.
///
/// `rounding`: CALCORE_ROUND_. `resolution`: step of the reading that the value rests on, 0 where none applies. Status:
/// CALCORE_E_OUT_OF_RANGE for the digits, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_report(
    value: f64,
    uncertainty: f64,
    digits: i32,
    rounding: i32,
    resolution: f64,
    result: *mut calcore_reported,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(result)?;
            let found = rounded(value, uncertainty, digits, rounding, resolution)?;
            target.fill(calcore_reported {
                size: 0,
                value: found.value,
                uncertainty: found.uncertainty,
                last_digit: found.last_digit,
                finer_than_resolution: i32::from(found.finer_than_resolution),
            });
            Ok(())
        })
    }
}

/// The same as text in UTF-8, value and uncertainty with all their digits on both sides of a plus-minus sign.
///
/// `buffer`: room for `capacity` bytes, or null with 0 to ask for the size; `needed`: bytes with the final zero. Status: as
/// calcore_report; CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_report_text(
    value: f64,
    uncertainty: f64,
    digits: i32,
    rounding: i32,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || Ok(rounded(value, uncertainty, digits, rounding, 0.0)?.to_string());
            write_text(text, buffer, capacity, needed)
        })
    }
}
