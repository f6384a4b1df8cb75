//! Section "loop calibration": single adjustments, each with what it leaves, by re-evaluation.

use super::result::{calcore_result, element};
use super::text_handle::calcore_text;
use crate::decision::verdict_number;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, write_text};
use crate::record::records;
use crate::status::*;
use calcore::loop_calibration::{Adjustment, Proposal, to_json};
use std::ffi::c_char;

/// Kind of an adjustment: zero; values: shift (K).
pub const CALCORE_ADJUST_ZERO: i32 = 0;
/// Kind of an adjustment: span; values: factor.
pub const CALCORE_ADJUST_SPAN: i32 = 1;
/// Kind of an adjustment: two-point trim; values: both temperatures (°C), then both shifts (K).
pub const CALCORE_ADJUST_TWO_POINT_TRIM: i32 = 2;
/// Kind of an adjustment: trim of the current output; values: the currents that it gives for 4 mA and for 20 mA (mA), to be entered as
/// measured.
pub const CALCORE_ADJUST_OUTPUT_TRIM: i32 = 3;
/// Kind of an adjustment: new coefficients of the element; values: r0 (ohm), a (1/K), b (1/K^2), c (1/K^4).
pub const CALCORE_ADJUST_NEW_COEFFICIENTS: i32 = 4;
/// Kind of an adjustment: one that this header does not know.
pub const CALCORE_ADJUST_OTHER: i32 = 5;

/// The adjustments that a result proposes, best first as the core orders them.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_proposals_free.
pub struct calcore_proposals {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_proposals {
    type Held = Vec<Proposal>;
    const WHAT: &'static str = "calcore_proposals";
    const TAG: u64 = 0x706f_7270_6363_0014;
}

/// One proposal.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_proposal {
    /// sizeof(calcore_proposal), set by the caller.
    pub size: usize,
    /// One of the CALCORE_ADJUST_ numbers.
    pub kind: i32,
    /// 1 if everything passes afterwards that the adjustment touches, else 0.
    pub within_tolerance: i32,
    /// The numbers of the adjustment, as the kind says; NaN for those that it does not have.
    pub values: [f64; 4],
    /// Largest part of a tolerance that is used afterwards.
    pub largest_used: f64,
    /// Errors that remain: see calcore_proposals_remaining.
    pub remaining: usize,
    /// Cautions.
    pub cautions: usize,
    /// 1 if it adjusts the link that causes the error of the loop, else 0.
    pub adjusts_the_cause: i32,
    /// Zero.
    pub reserved: i32,
}

/// An error that remains after an adjustment.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_remaining_error {
    /// sizeof(calcore_remaining_error), set by the caller.
    pub size: usize,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// The error, K.
    pub error_k: f64,
    /// Its expanded uncertainty, K.
    pub expanded_uncertainty_k: f64,
    /// CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
}

records!(calcore_proposal, calcore_remaining_error);

/// Text of a proposal: tag of the instrument to adjust.
pub const CALCORE_PROPOSAL_TAG: i32 = 0;
/// Text of a proposal: tag of the instrument of remaining error j.
pub const CALCORE_PROPOSAL_REMAINING_TAG: i32 = 1;
/// Text of a proposal: caution j.
pub const CALCORE_PROPOSAL_CAUTION: i32 = 2;

/// Single adjustments that would bring the loops of a result into tolerance, each evaluated again. Trims at the ends of the range
/// take away the mean of all visits of a set point, up and down. What would shift no reading by more than 1e-9 of the range of
/// its link is not proposed: there may be none.
///
/// `*proposals` receives a handle that the caller releases by calcore_proposals_free. Status: as calcore_run_evaluate.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_adjustments(
    result: *const calcore_result,
    proposals: *mut *mut calcore_proposals,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("proposals", proposals), || Ok(held(result)?.adjustments()?)) }
}

/// Releases proposals. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_free(proposals: *mut calcore_proposals) {
    // SAFETY: the contract of the header.
    unsafe { release(proposals) }
}

/// How many proposals there are.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_count(
    proposals: *const calcore_proposals,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(held(proposals)?.len())) }
}

/// Kind and values of an adjustment.
fn numbers(adjustment: &Adjustment) -> (i32, [f64; 4]) {
    let none = f64::NAN;
    match adjustment {
        Adjustment::Zero { shift_k } => (CALCORE_ADJUST_ZERO, [*shift_k, none, none, none]),
        Adjustment::Span { factor } => (CALCORE_ADJUST_SPAN, [*factor, none, none, none]),
        Adjustment::TwoPointTrim { at_c, shift_k } => {
            (CALCORE_ADJUST_TWO_POINT_TRIM, [at_c.0, at_c.1, shift_k.0, shift_k.1])
        }
        Adjustment::OutputTrim { at_4_ma, at_20_ma } => (CALCORE_ADJUST_OUTPUT_TRIM, [*at_4_ma, *at_20_ma, none, none]),
        Adjustment::NewCoefficients { r0, a, b, c } => (CALCORE_ADJUST_NEW_COEFFICIENTS, [*r0, *a, *b, *c]),
        _ => (CALCORE_ADJUST_OTHER, [none; 4]),
    }
}

/// Proposal i. Set `proposal->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_get(
    proposals: *const calcore_proposals,
    i: usize,
    proposal: *mut calcore_proposal,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, proposal, || {
            let p = element("proposal", held(proposals)?, i)?;
            let (kind, values) = numbers(&p.adjustment);
            Ok(calcore_proposal {
                size: 0,
                kind,
                within_tolerance: i32::from(p.within_tolerance),
                values,
                largest_used: p.largest_used,
                remaining: p.remaining.len(),
                cautions: p.cautions.len(),
                adjusts_the_cause: i32::from(p.adjusts_the_cause),
                reserved: 0,
            })
        })
    }
}

/// Error j that proposal i leaves. Set `remaining->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_remaining(
    proposals: *const calcore_proposals,
    i: usize,
    j: usize,
    remaining: *mut calcore_remaining_error,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, remaining, || {
            let r = element("remaining error", &element("proposal", held(proposals)?, i)?.remaining, j)?;
            Ok(calcore_remaining_error {
                size: 0,
                set_point: r.set_point,
                error_k: r.error_k,
                expanded_uncertainty_k: r.expanded_uncertainty_k,
                verdict: verdict_number(r.verdict),
                reserved: 0,
            })
        })
    }
}

/// A text of proposal i. `what`: one of the CALCORE_PROPOSAL_ numbers.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_text(
    proposals: *const calcore_proposals,
    what: i32,
    i: usize,
    j: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || {
                let p = element("proposal", held(proposals)?, i)?;
                match what {
                    CALCORE_PROPOSAL_TAG => Ok(&p.tag),
                    CALCORE_PROPOSAL_REMAINING_TAG => Ok(&element("remaining error", &p.remaining, j)?.tag),
                    CALCORE_PROPOSAL_CAUTION => element("caution", &p.cautions, j),
                    other => Err(Failure::option("what", other, "one of the CALCORE_PROPOSAL_ numbers")),
                }
            };
            write_text(text, buffer, capacity, needed)
        })
    }
}

/// All proposals as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_proposals_to_json(
    proposals: *const calcore_proposals,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(proposals)?)?)) }
}
