//! The budgets of the trade: numbers of certificates and tests go in, a budget and its lines come out.

pub mod blocks;
pub mod comparisons;
pub mod instruments;

use super::budget::{calcore_budget, calcore_contribution, coverage_of, give_budget};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, read};
use crate::status::*;
use calcore::uncertainty::{Budget, Coverage};
use std::ptr::null;

/// Where a budget goes, and how it is expanded: what all functions of this section have in common.
pub(super) struct Wanted {
    pub coverage_kind: i32,
    pub coverage: f64,
    pub result: *mut calcore_budget,
    pub contributions: *mut calcore_contribution,
    pub err: *mut calcore_error,
}

/// Reads what the caller stated and gives the budget of `lines` lines.
///
/// # Safety
/// `stated` is null or points to as many bytes as its `size` says; those of `wanted` are as in `calcore_propagate`.
pub(super) unsafe fn give_ready_made<R: Record>(
    stated: *const R,
    lines: usize,
    wanted: Wanted,
    budget: impl FnOnce(R, Coverage) -> calcore::Result<Budget>,
) -> calcore_status {
    let Wanted { coverage_kind, coverage, result, contributions, err } = wanted;
    // SAFETY: as promised; no correlation is a null pointer.
    unsafe {
        give_budget(err, lines, null(), result, contributions, |_| {
            let stated = whole(stated)?;
            Ok(budget(stated, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// The caller's struct, of which every version so far is whole.
///
/// # Safety
/// As [`read`].
unsafe fn whole<R: Record>(stated: *const R) -> Result<R, Failure> {
    // SAFETY: `check_size` of `read` asks for all bytes of R, so that the defaults, the caller's own values, are not used.
    unsafe {
        crate::record::check_size(stated)?;
        read(stated, *stated)
    }
}
