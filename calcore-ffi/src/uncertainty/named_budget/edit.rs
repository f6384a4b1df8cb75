//! A budget changed by the names of its sources: every change makes another budget.

use super::{calcore_named_budget, names_of};
use crate::guard::make;
use crate::handle::held;
use crate::message::{calcore_error, read_name};
use crate::status::*;
use crate::uncertainty::budget::coverage_of;
use crate::uncertainty::input::{calcore_input, one};
use calcore::uncertainty::Contribution;
use std::ffi::c_char;

/// The same budget with one more line. The value stays: a correction is applied to it by the caller.
///
/// `name`: a source that the budget does not have yet. `source`: what is known of it. `sensitivity`: how far the result moves
/// per unit of the source. Coverage: as calcore_named_budget_new. `*changed` receives a new handle; `budget` stays as it is.
///
/// Status: CALCORE_E_UNKNOWN_NAME for a source that the budget has already; CALCORE_E_INVALID_VALUE for a budget of correlated
/// sources, which is made anew from its lines instead; CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_with(
    budget: *const calcore_named_budget,
    name: *const c_char,
    source: *const calcore_input,
    sensitivity: f64,
    coverage_kind: i32,
    coverage: f64,
    changed: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("changed", changed), || {
            let line = Contribution::of(read_name("name", name)?, &one(source)?, sensitivity)?;
            Ok(held(budget)?.with(line, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// The same budget with another line in the place of that of the same source.
///
/// Status: CALCORE_E_UNKNOWN_NAME for a source that the budget does not have. Otherwise as calcore_named_budget_with.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_with_replaced(
    budget: *const calcore_named_budget,
    name: *const c_char,
    source: *const calcore_input,
    sensitivity: f64,
    coverage_kind: i32,
    coverage: f64,
    changed: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("changed", changed), || {
            let line = Contribution::of(read_name("name", name)?, &one(source)?, sensitivity)?;
            Ok(held(budget)?.with_replaced(line, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// The same budget without the line of a source.
///
/// Ownership and status: as calcore_named_budget_with_replaced.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_without(
    budget: *const calcore_named_budget,
    name: *const c_char,
    coverage_kind: i32,
    coverage: f64,
    changed: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("changed", changed), || {
            Ok(held(budget)?.without(read_name("name", name)?, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// A part of the budget: the lines of `n` sources in the order of `names`, such as those that several instruments share.
///
/// Ownership and status: as calcore_named_budget_with_replaced.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_part(
    budget: *const calcore_named_budget,
    names: *const *const c_char,
    n: usize,
    coverage_kind: i32,
    coverage: f64,
    changed: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("changed", changed), || {
            Ok(held(budget)?.part(&names_of(names, n)?, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// The same budget with the coverage factor that belongs to the shapes of its independent lines. EA-4/02 M:2022, S10.14.
///
/// `probability` between 0 and 1. Ownership: as calcore_named_budget_with. Status: CALCORE_E_OUT_OF_RANGE;
/// CALCORE_E_INVALID_VALUE for correlated sources.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_with_coverage_of_shapes(
    budget: *const calcore_named_budget,
    probability: f64,
    changed: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("changed", changed), || Ok(held(budget)?.clone().with_coverage_of_shapes(probability)?)) }
}
