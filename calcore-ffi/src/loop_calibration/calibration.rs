//! Section "loop calibration": as found and as left, in a file in which what was found is never overwritten.

use super::run::calcore_run;
use super::text_handle::{calcore_text, read_text};
use crate::guard::{guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name};
use crate::record::{read, records};
use crate::settling::settled::locked;
use crate::status::*;
use calcore::loop_calibration::{AdjustmentEvent, CalibrationFile, from_json, to_json};
use std::ffi::c_char;
use std::ptr;
use std::sync::Mutex;

/// A calibration from the first reading to the last: what was found, what was adjusted, what was left.
///
/// It grows in the order of the work; calls from several threads wait for each other. Released by calcore_calibration_free.
pub struct calcore_calibration {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_calibration {
    type Held = Mutex<CalibrationFile>;
    const WHAT: &'static str = "calcore_calibration";
    const TAG: u64 = 0x6669_6c63_6363_0016;
}

/// What was done to a link between the two runs. All texts are UTF-8, ended by a zero byte, none may be null.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_adjustment_event {
    /// sizeof(calcore_adjustment_event), set by the caller.
    pub size: usize,
    /// Tag of the link.
    pub tag: *const c_char,
    /// What was changed, such as "sensor trim" or "R0".
    pub parameter: *const c_char,
    /// Value before.
    pub old_value: *const c_char,
    /// Value after.
    pub new_value: *const c_char,
    /// Why.
    pub reason: *const c_char,
    /// Who.
    pub by: *const c_char,
    /// When, as the user writes it.
    pub when: *const c_char,
}

records!(calcore_adjustment_event);

const NO_EVENT: calcore_adjustment_event = calcore_adjustment_event {
    size: 0,
    tag: ptr::null(),
    parameter: ptr::null(),
    old_value: ptr::null(),
    new_value: ptr::null(),
    reason: ptr::null(),
    by: ptr::null(),
    when: ptr::null(),
};

/// Begins a calibration with what was found. The run is copied and stays the caller's.
///
/// `*calibration` receives a handle that the caller releases by calcore_calibration_free.
/// Status: CALCORE_E_INVALID_RUN for a contradiction or a run whose phase is not as_found.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_new(
    as_found: *const calcore_run,
    calibration: *mut *mut calcore_calibration,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("calibration", calibration), || Ok(Mutex::new(CalibrationFile::begin(held(as_found)?.clone())?)))
    }
}

/// Reads a calibration from JSON in UTF-8 of `length` bytes, as calcore/schema/loop_calibration_calibration_file.json says.
///
/// `*calibration` receives a handle that the caller releases by calcore_calibration_free.
/// Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_INVALID_RUN.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_from_json(
    text: *const c_char,
    length: usize,
    calibration: *mut *mut calcore_calibration,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("calibration", calibration), || {
            let file: CalibrationFile = from_json(read_text("text", text, length)?)?;
            file.check()?;
            Ok(Mutex::new(file))
        })
    }
}

/// Releases a calibration. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_free(calibration: *mut calcore_calibration) {
    // SAFETY: the contract of the header.
    unsafe { release(calibration) }
}

/// Replaces what was found by a longer record of it, as long as nothing was adjusted: set points may be added, none changed or
/// left out.
///
/// Status: CALCORE_E_INVALID_RUN after the first adjustment, or where a reading already there is missing or another.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_extend_as_found(
    calibration: *mut calcore_calibration,
    longer: *const calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let longer = held(longer)?.clone();
            Ok(locked(held(calibration.cast_const())?)?.extend_as_found(longer)?)
        })
    }
}

/// Notes an adjustment; what was found is closed from now on. Its texts are copied.
///
/// Status: CALCORE_E_INVALID_RUN for a tag that the run does not know, or after the as-left run; CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_adjust(
    calibration: *mut calcore_calibration,
    event: *const calcore_adjustment_event,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let e = read(event, NO_EVENT)?;
            let text = |what, p: *const c_char| -> Result<String, Failure> { Ok(read_name(what, p)?.to_owned()) };
            let event = AdjustmentEvent {
                tag: text("tag", e.tag)?,
                parameter: text("parameter", e.parameter)?,
                old: text("old_value", e.old_value)?,
                new: text("new_value", e.new_value)?,
                reason: text("reason", e.reason)?,
                by: text("by", e.by)?,
                when: text("when", e.when)?,
            };
            Ok(locked(held(calibration.cast_const())?)?.adjust(event)?)
        })
    }
}

/// Ends a calibration with what was left.
///
/// Status: CALCORE_E_INVALID_RUN for a contradiction, a run whose phase is not as_left, a second one, readings copied from the
/// as-found run, or without an adjustment.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_finish(
    calibration: *mut calcore_calibration,
    as_left: *const calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let as_left = held(as_left)?.clone();
            Ok(locked(held(calibration.cast_const())?)?.finish(as_left)?)
        })
    }
}

/// What was found, as a run of its own that the caller releases by calcore_run_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_as_found(
    calibration: *const calcore_calibration,
    run: *mut *mut calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("run", run), || Ok(locked(held(calibration)?)?.as_found().clone())) }
}

/// What was left, as a run of its own that the caller releases by calcore_run_free.
///
/// Status: CALCORE_E_INDEX where nothing was read after an adjustment.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_as_left(
    calibration: *const calcore_calibration,
    run: *mut *mut calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("run", run), || {
            let file = locked(held(calibration)?)?;
            file.as_left().cloned().ok_or_else(|| Failure::index("as-left run", 0, 0))
        })
    }
}

/// A calibration as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_calibration_to_json(
    calibration: *const calcore_calibration,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(&*locked(held(calibration)?)?)?)) }
}
