//! Section "sensor curves": of which material an element is.

use crate::array::input;
use crate::guard::{fill, guard};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::records;
use crate::status::*;
use calcore::curves::{StandardFit, likely_standard, rtd_standard_names};
use std::ffi::c_char;

/// What readings say about the material of an element.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_likely {
    /// sizeof(calcore_likely), set by the caller.
    pub size: usize,
    /// Largest error of the readings by the assumed thermometer, K; NaN if one lies outside its range.
    pub assumed_error_k: f64,
    /// Largest error by the best of all thermometers, K; NaN if none holds every reading.
    pub best_error_k: f64,
    /// Place of the better thermometer in the list of calcore_polynomial_rtd_name, if the assumed one does not fit within
    /// the tolerance and another does; else -1.
    pub suspect: i64,
}

records!(calcore_likely);

/// Compares resistances of an element at n known temperatures (°C, ohm) with every named thermometer. `r0`: resistance at
/// 0 °C, ohm; `assumed`: name of the thermometer that the transmitter is set to; `tolerance_k`: largest error that still
/// counts as a fit, K. A finding is a hypothesis, not a verdict. Set `likely->size` first.
///
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_likely_standard(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    r0: f64,
    assumed: *const c_char,
    tolerance_k: f64,
    likely: *mut calcore_likely,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, likely, || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let found = likely_standard(t_c, ohm, r0, read_name("assumed", assumed)?, tolerance_k)?;
            let place = |fit: StandardFit| rtd_standard_names().into_iter().position(|name| name == fit.name);
            Ok(calcore_likely {
                size: 0,
                assumed_error_k: found.assumed.map_or(f64::NAN, |fit| fit.error_k),
                best_error_k: found.fits.first().map_or(f64::NAN, |fit| fit.error_k),
                suspect: found.suspect.and_then(place).map_or(-1, |place| place as i64),
            })
        })
    }
}

/// Name of a thermometer that calcore_polynomial_rtd_standard knows, by its place, counted from 0.
///
/// `*needed` receives the bytes that the name takes with its zero byte; `buffer` may be null to ask for that alone.
/// Status: CALCORE_E_INDEX beyond the last, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_name(
    place: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let name = || {
                rtd_standard_names()
                    .into_iter()
                    .nth(place)
                    .ok_or_else(|| Failure::border(CALCORE_E_INDEX, format!("there is no thermometer {place}")))
            };
            write_text(name, buffer, capacity, needed)
        })
    }
}
