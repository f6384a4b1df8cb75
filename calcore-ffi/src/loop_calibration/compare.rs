//! Section "loop calibration": two runs of the same instruments compared.

use super::result::{calcore_result, element};
use super::text_handle::calcore_text;
use crate::guard::{give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{calcore_error, write_text};
use crate::record::{Target, records};
use crate::status::*;
use calcore::loop_calibration::{Change, Direction, compare, normalized_error, to_json};
use std::ffi::c_char;

/// How a set point was approached: not said.
pub const CALCORE_DIRECTION_UNKNOWN: i32 = 0;
/// How a set point was approached: from below.
pub const CALCORE_DIRECTION_UP: i32 = 1;
/// How a set point was approached: from above.
pub const CALCORE_DIRECTION_DOWN: i32 = 2;

/// What changed between two runs, one entry for every instrument and set point that both have.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_changes_free.
pub struct calcore_changes {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_changes {
    type Held = Vec<Change>;
    const WHAT: &'static str = "calcore_changes";
    const TAG: u64 = 0x6e61_6863_6363_0018;
}

/// One change.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_change {
    /// sizeof(calcore_change), set by the caller.
    pub size: usize,
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// Error in the first run, K.
    pub before_k: f64,
    /// Error in the second run, K.
    pub after_k: f64,
    /// Second minus first, K.
    pub change_k: f64,
    /// Standard uncertainty of the change, K; what the same reference contributes to both cancels.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty (k = 2) of the change, K.
    pub expanded_uncertainty_k: f64,
    /// Change over its expanded uncertainty. ISO 13528:2022, 9.7.
    pub e_n: f64,
    /// 1 if the change exceeds its expanded uncertainty, else 0.
    pub significant: i32,
    /// One of the CALCORE_DIRECTION_ numbers.
    pub direction: i32,
}

records!(calcore_change);

/// Compares two results of the same instruments, such as as found and as left, or this year and last year. Visits from the same
/// side are compared with each other.
///
/// `*changes` receives a handle that the caller releases by calcore_changes_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_compare(
    first: *const calcore_result,
    second: *const calcore_result,
    changes: *mut *mut calcore_changes,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("changes", changes), || Ok(compare(held(first)?, held(second)?))) }
}

/// Releases changes. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_changes_free(changes: *mut calcore_changes) {
    // SAFETY: the contract of the header.
    unsafe { release(changes) }
}

/// How many changes there are.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_changes_count(
    changes: *const calcore_changes,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(held(changes)?.len())) }
}

/// Change i. Set `change->size` first. `buffer`: receives the tag of its instrument, as calcore_run_to_json does.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_changes_get(
    changes: *const calcore_changes,
    i: usize,
    change: *mut calcore_change,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(change)?;
            let c = element("change", held(changes)?, i)?;
            write_text(|| Ok(&*c.tag), buffer, capacity, needed)?;
            target.fill(calcore_change {
                size: 0,
                nominal_c: c.nominal_c,
                before_k: c.before_k,
                after_k: c.after_k,
                change_k: c.change_k,
                standard_uncertainty_k: c.standard_uncertainty_k,
                expanded_uncertainty_k: c.expanded_uncertainty_k,
                e_n: c.e_n,
                significant: i32::from(c.significant),
                direction: match c.direction {
                    None => CALCORE_DIRECTION_UNKNOWN,
                    Some(Direction::Up) => CALCORE_DIRECTION_UP,
                    Some(Direction::Down) => CALCORE_DIRECTION_DOWN,
                },
            });
            Ok(())
        })
    }
}

/// All changes as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_changes_to_json(
    changes: *const calcore_changes,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(changes)?)?)) }
}

/// Normalized error of two results with their expanded uncertainties and the expanded uncertainty of what they have in common (0
/// for nothing): (x1 - x2) / sqrt(U1^2 + U2^2 - 2 Uc^2). ISO 13528:2022, 9.7.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative uncertainty or none at all; CALCORE_E_OUT_OF_RANGE for
/// a common part above sqrt(U1 U2), which would correlate the results by more than 1.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_normalized_error(
    x1: f64,
    expanded_1: f64,
    x2: f64,
    expanded_2: f64,
    common_expanded: f64,
    e_n: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("e_n", e_n), || Ok(normalized_error(x1, expanded_1, x2, expanded_2, common_expanded)?)) }
}
