//! Section "loop calibration": which results rest on a reference that was found off, and how much they change.

use super::result::{calcore_result, element};
use super::text_handle::calcore_text;
use crate::array::input;
use crate::decision::verdict_number;
use crate::guard::{give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{calcore_error, read_name, write_text};
use crate::record::{Target, records};
use crate::status::*;
use calcore::loop_calibration::{Impact, ReferenceFinding, RunResult, impact, to_json};
use std::ffi::c_char;

/// The results that rest on a reference that was found off.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_impacts_free.
pub struct calcore_impacts {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_impacts {
    type Held = Vec<Impact>;
    const WHAT: &'static str = "calcore_impacts";
    const TAG: u64 = 0x6361_706d_6363_001a;
}

/// One result that rests on it.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_impact {
    /// sizeof(calcore_impact), set by the caller.
    pub size: usize,
    /// Which result, counted from 0.
    pub run: usize,
    /// Which set point of its run, counted from 0.
    pub set_point: usize,
    /// Error as it was reported, K.
    pub reported_k: f64,
    /// Error if the reference drifted evenly, K.
    pub likely_k: f64,
    /// Error if the reference was off from the beginning, K.
    pub worst_k: f64,
    /// Verdict as it was reported: CALCORE_PASS to CALCORE_NO_FAIL.
    pub reported: i32,
    /// Verdict if the reference drifted evenly.
    pub likely: i32,
    /// Verdict if it was off from the beginning.
    pub worst: i32,
    /// 1 if one of these is another than was reported, else 0.
    pub changes_verdict: i32,
}

records!(calcore_impact);

/// Which of `n` results rest on the reference `tag`, found to be off by `error_k` (K, indicated minus true, beyond what its
/// certificate said) at `m` temperatures (°C, rising), and how much they change. `times`: when each result was obtained;
/// `last_good`, `found`: when the reference was last known to be right, and when it was found; all on one scale.
///
/// `*impacts` receives a handle that the caller releases by calcore_impacts_free.
/// Status: as calcore_run_evaluate; CALCORE_E_UNKNOWN_NAME for a reference that no result used; CALCORE_E_INVALID_VALUE for
/// dates that are not in order; CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_RUN.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_impact(
    results: *const *const calcore_result,
    times: *const f64,
    n: usize,
    tag: *const c_char,
    t_c: *const f64,
    error_k: *const f64,
    m: usize,
    last_good: f64,
    found: f64,
    impacts: *mut *mut calcore_impacts,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("impacts", impacts), || {
            let times = input("times", times, n)?;
            let results = input("results", results, n)?.iter().map(|one| held(*one)).collect::<Result<Vec<_>, _>>()?;
            let dated: Vec<(f64, &RunResult)> = times.iter().copied().zip(results).collect();
            let finding = ReferenceFinding {
                tag: read_name("tag", tag)?.to_owned(),
                t_c: input("t_c", t_c, m)?.to_vec(),
                error_k: input("error_k", error_k, m)?.to_vec(),
                last_good,
                found,
            };
            Ok(impact(&dated, &finding)?)
        })
    }
}

/// Releases impacts. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_impacts_free(impacts: *mut calcore_impacts) {
    // SAFETY: the contract of the header.
    unsafe { release(impacts) }
}

/// How many impacts there are.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_impacts_count(
    impacts: *const calcore_impacts,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(held(impacts)?.len())) }
}

/// Impact i. Set `one->size` first. `buffer`: receives the tag of its instrument, as calcore_run_to_json does.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_impacts_get(
    impacts: *const calcore_impacts,
    i: usize,
    one: *mut calcore_impact,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(one)?;
            let x = element("impact", held(impacts)?, i)?;
            write_text(|| Ok(&*x.tag), buffer, capacity, needed)?;
            target.fill(calcore_impact {
                size: 0,
                run: x.run,
                set_point: x.set_point,
                reported_k: x.reported_k,
                likely_k: x.likely_k,
                worst_k: x.worst_k,
                reported: verdict_number(x.reported),
                likely: verdict_number(x.likely),
                worst: verdict_number(x.worst),
                changes_verdict: i32::from(x.changes_verdict),
            });
            Ok(())
        })
    }
}

/// All impacts as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_impacts_to_json(
    impacts: *const calcore_impacts,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(impacts)?)?)) }
}
