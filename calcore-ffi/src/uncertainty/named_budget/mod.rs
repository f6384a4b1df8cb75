//! Budgets whose lines have names: made, read, and changed by the names of their sources.

pub mod edit;
pub mod reading;

use super::budget::{calcore_contribution, coverage_of};
use super::input::{calcore_input, distribution, shape_of};
use crate::array::{input, optional};
use crate::guard::make;
use crate::handle::{Handle, release};
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::uncertainty::correlation::Correlation;
use calcore::uncertainty::{Budget, Contribution, Coverage};
use std::ffi::c_char;

/// A budget whose lines have names.
///
/// Immutable once made: what changes it makes another one. Any number of threads may use it at once. Released by
/// calcore_named_budget_free.
pub struct calcore_named_budget {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_named_budget {
    type Held = Budget;
    const WHAT: &'static str = "calcore_named_budget";
    const TAG: u64 = 0x6764_7562_6363_0023;
}

/// Makes a budget from lines, with a correlation of the caller or none.
///
/// # Safety
/// `correlation` is null or points to the square of their number of doubles.
unsafe fn of_lines(
    value: f64,
    lines: Vec<Contribution>,
    correlation: *const f64,
    coverage: Coverage,
) -> Result<Budget, Failure> {
    let n = lines.len();
    // SAFETY: as promised.
    Ok(match unsafe { optional("correlation", correlation, n.saturating_mul(n)) }? {
        None => Budget::from_contributions(value, lines, coverage)?,
        Some(r) => Budget::from_correlated_contributions(value, lines, &Correlation::new(n, r)?, coverage)?,
    })
}

/// Names of the caller, checked.
///
/// # Safety
/// `names` points to `n` texts that end with a zero byte.
unsafe fn names_of<'a>(names: *const *const c_char, n: usize) -> Result<Vec<&'a str>, Failure> {
    // SAFETY: as promised.
    unsafe { input("names", names, n)?.iter().map(|name| read_name("name of a source", *name)).collect() }
}

/// A budget of `n` sources with names and known sensitivities. JCGM 100:2008, 5.1.2 and 5.2.2.
///
/// `value`: best estimate of the result. `names`: one for each source. `sensitivities`: how far the result moves per unit of
/// each source. `correlation`: n x n coefficients, row by row, or null for independent sources. `coverage`: a probability or a
/// factor, as `coverage_kind` says (CALCORE_COVERAGE_). `*budget` receives a handle that the caller releases by
/// calcore_named_budget_free.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_POSITIVE_DEFINITE for what the
/// sources, the correlation or the coverage cannot be; CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_new(
    value: f64,
    names: *const *const c_char,
    inputs: *const calcore_input,
    sensitivities: *const f64,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    budget: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("budget", budget), || {
            let inputs = input("inputs", inputs, n)?;
            let sensitivities = input("sensitivities", sensitivities, n)?;
            let mut lines = Vec::with_capacity(n);
            for ((name, x), c) in names_of(names, n)?.into_iter().zip(inputs).zip(sensitivities) {
                lines.push(Contribution::of(name, &distribution(x)?, *c)?);
            }
            of_lines(value, lines, correlation, coverage_of(coverage_kind, coverage)?)
        })
    }
}

/// A budget of the `n` lines that another call gave, such as a ready-made budget, each under a name.
///
/// Of each line kind, estimate, standard uncertainty, degrees of freedom and sensitivity are looked at. Other arguments,
/// ownership and status: as calcore_named_budget_new.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_from_lines(
    value: f64,
    names: *const *const c_char,
    contributions: *const calcore_contribution,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    budget: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("budget", budget), || {
            let known = input("contributions", contributions, n)?;
            let line = |(name, c): (&str, &calcore_contribution)| {
                let (u, nu) = (c.standard_uncertainty, c.degrees_of_freedom);
                Contribution::new(name, c.estimate, u, shape_of(c.kind), nu, c.sensitivity)
            };
            let lines = names_of(names, n)?.into_iter().zip(known).map(line).collect::<calcore::Result<Vec<_>>>()?;
            of_lines(value, lines, correlation, coverage_of(coverage_kind, coverage)?)
        })
    }
}

/// Releases a budget. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_free(budget: *mut calcore_named_budget) {
    // SAFETY: the contract of the header.
    unsafe { release(budget) }
}
