//! Section "loop calibration": a run from its JSON description.

use super::result::calcore_result;
use super::text_handle::read_text;
use crate::guard::{guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{calcore_error, write_text};
use crate::status::*;
use calcore::loop_calibration::Run;
use std::ffi::c_char;

/// What was done at the block: reference thermometer, heat source, instruments, raw readings.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_run_free.
pub struct calcore_run {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_run {
    type Held = Run;
    const WHAT: &'static str = "calcore_run";
    const TAG: u64 = 0x6e75_725f_6363_0003;
}

/// Reads the description of a run and checks it for contradictions. `text`: JSON in UTF-8 of `length` bytes; a zero byte
/// at its end is not needed and not counted.
///
/// `*run` receives a handle that the caller releases by calcore_run_free.
/// Status: CALCORE_E_UTF8; CALCORE_E_DOCUMENT at the first field that is missing, unknown, misspelt or of the wrong kind,
/// the message begins with its path; CALCORE_E_INVALID_RUN with all contradictions in the message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_from_json(
    text: *const c_char,
    length: usize,
    run: *mut *mut calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("run", run), || {
            let text = read_text("text", text, length)?;
            Ok(Run::from_json(text)?)
        })
    }
}

/// Releases a run. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_free(run: *mut calcore_run) {
    // SAFETY: the contract of the header.
    unsafe { release(run) }
}

/// Writes the description of a run as JSON into the caller's buffer of `capacity` bytes, ended by a zero byte.
///
/// `*needed` receives the bytes that the text takes with its zero byte, also when the buffer is too small
/// (CALCORE_E_BUFFER_TOO_SMALL, nothing written). `buffer` null and `capacity` 0: only `*needed`, CALCORE_OK.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_to_json(
    run: *const calcore_run,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(|| Ok(held(run)?.to_json()?), buffer, capacity, needed)) }
}

/// Evaluates a run: errors, uncertainties, verdicts, attribution, covariance, new coefficients.
///
/// `*result` receives a handle that the caller releases by calcore_result_free.
/// Status: what the curves and tolerances say of a reading they cannot take, such as CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_evaluate(
    run: *const calcore_run,
    result: *mut *mut calcore_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("result", result), || Ok(held(run)?.evaluate()?)) }
}
