//! Section "loop calibration": which link of a loop causes its error.

use super::records::*;
use super::result::{calcore_result, element};
use crate::guard::fill;
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::loop_calibration::{Attribution, LinkShare, RunResult, SetPointAttribution};

pub(super) fn split_of(result: &RunResult, attribution: usize, point: usize) -> Result<&SetPointAttribution, Failure> {
    element("point", &element("attribution", &result.attribution, attribution)?.set_points, point)
}

pub(super) fn share_of(
    result: &RunResult,
    attribution: usize,
    point: usize,
    share: usize,
) -> Result<&LinkShare, Failure> {
    element("share", &split_of(result, attribution, point)?.shares, share)
}

/// Attribution i of a result, in short. Set `attribution->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_attribution(
    result: *const calcore_result,
    i: usize,
    attribution: *mut calcore_attribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, attribution, || {
            let a: &Attribution = element("attribution", &held(result)?.attribution, i)?;
            Ok(calcore_attribution {
                size: 0,
                links: a.links.len(),
                set_points: a.set_points.len(),
                significant: i32::from(a.significant),
                reserved: 0,
            })
        })
    }
}

/// Set point j of attribution i, in short. Set `point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_attribution_point(
    result: *const calcore_result,
    i: usize,
    j: usize,
    point: *mut calcore_attribution_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, point, || {
            let p = split_of(held(result)?, i, j)?;
            Ok(calcore_attribution_point {
                size: 0,
                set_point: p.set_point,
                shares: p.shares.len(),
                error_k: p.error_k,
            })
        })
    }
}

/// Share k at set point j of attribution i. Its link: calcore_result_text. Set `share->size` first.
///
/// Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_share(
    result: *const calcore_result,
    i: usize,
    j: usize,
    k: usize,
    share: *mut calcore_share,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, share, || {
            let s = share_of(held(result)?, i, j, k)?;
            Ok(calcore_share {
                size: 0,
                unread: s.unread.len(),
                error_k: s.error_k,
                standard_uncertainty_k: s.standard_uncertainty_k,
                expanded_uncertainty_k: s.expanded_uncertainty_k,
                percent: s.percent.unwrap_or(f64::NAN),
            })
        })
    }
}
