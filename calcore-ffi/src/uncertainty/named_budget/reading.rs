//! What a budget says: its numbers, its lines, their names, the sentence of a certificate, what several budgets share.

use super::{calcore_named_budget, names_of};
use crate::array::{copy, input, optional, output_of};
use crate::guard::{fill, give, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::status::*;
use crate::uncertainty::budget::{calcore_budget, calcore_contribution, line, numbers};
use crate::uncertainty::reporting::rounding_of;
use calcore::Error;
use calcore::uncertainty::Budget;
use calcore::uncertainty::correlation::Correlation;
use calcore::uncertainty::many::{covariance_of, covariance_of_shared};
use std::ffi::c_char;

/// The numbers of a budget. Set `result->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_describe(
    budget: *const calcore_named_budget,
    result: *mut calcore_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { fill(err, result, || Ok(numbers(held(budget)?))) }
}

/// How many lines a budget has.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_count(
    budget: *const calcore_named_budget,
    lines: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("lines", lines), || Ok(held(budget)?.contributions.len())) }
}

/// All lines of a budget: room for `n` of them. Status: CALCORE_E_LENGTH_MISMATCH unless `n` is their number.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_lines(
    budget: *const calcore_named_budget,
    contributions: *mut calcore_contribution,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let lines = &held(budget)?.contributions;
            if n != lines.len() {
                let what = "contributions";
                return Err(Error::LengthMismatch { what, expected: lines.len(), found: n }.into());
            }
            for (place, known) in output_of("contributions", contributions, n)?.iter_mut().zip(lines) {
                place.write(line(known));
            }
            Ok(())
        })
    }
}

/// Name of the source of line i.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_name(
    budget: *const calcore_named_budget,
    i: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let name = || {
                let lines = &held(budget)?.contributions;
                Ok(&lines.get(i).ok_or_else(|| Failure::index("line", i, lines.len()))?.quantity)
            };
            write_text(name, buffer, capacity, needed)
        })
    }
}

/// The line of a source. Status: CALCORE_E_UNKNOWN_NAME for a source that the budget does not have; CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_contribution(
    budget: *const calcore_named_budget,
    name: *const c_char,
    contribution: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("contribution", contribution), || {
            let (whole, name) = (held(budget)?, read_name("name", name)?);
            whole.contribution(name).map(line).ok_or_else(|| {
                let known: Vec<&str> = whole.contributions.iter().map(|line| &*line.quantity).collect();
                let expected = known.join(", ");
                Error::UnknownName { what: "source of the budget", name: name.into(), expected }.into()
            })
        })
    }
}

/// The sentence of a certificate: value, expanded uncertainty, unit, coverage factor and probability, such as
/// "0.427 K ± 0.097 K (k = 2.00, 95.45 %)". JCGM 100:2008, 7.2.
///
/// `digits` of the uncertainty, 1 or 2; `rounding`: CALCORE_ROUND_. Buffer and `*needed`: as calcore_run_to_json. Status: as
/// calcore_report; CALCORE_E_UTF8, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_statement(
    budget: *const calcore_named_budget,
    unit: *const c_char,
    digits: i32,
    rounding: i32,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || {
                let (whole, unit) = (held(budget)?, read_name("unit", unit)?);
                Ok(whole.statement(unit, u32::try_from(digits).unwrap_or(0), rounding_of(rounding)?)?)
            };
            write_text(text, buffer, capacity, needed)
        })
    }
}

/// # Safety
/// `budgets` is null or points to `n` handles.
unsafe fn budgets_of(budgets: *const *const calcore_named_budget, n: usize) -> Result<Vec<Budget>, Failure> {
    // SAFETY: as promised.
    unsafe { input("budgets", budgets, n)?.iter().map(|one| Ok(held(*one)?.clone())).collect() }
}

/// Covariance of the results of `n` budgets whose lines belong to the same sources, by the same names in the same order. JCGM 102:2011, 6.2
/// (clause from memory).
///
/// `correlation`: of the sources, as many rows as a budget has lines, or null for independent ones. `covariance`: room for
/// n x n numbers, row by row. Status: CALCORE_E_LENGTH_MISMATCH for budgets with another number of lines,
/// CALCORE_E_UNKNOWN_NAME for a line that has another name than in the first one;
/// CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_POSITIVE_DEFINITE for what no correlation can be.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_covariance(
    budgets: *const *const calcore_named_budget,
    n: usize,
    correlation: *const f64,
    covariance: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let known = budgets_of(budgets, n)?;
            let lines = known.first().map_or(0, |budget| budget.contributions.len());
            let matrix = optional("correlation", correlation, lines.saturating_mul(lines))?;
            let matrix = matrix.map(|values| Correlation::new(lines, values)).transpose()?;
            let found = covariance_of(&known, matrix.as_ref())?;
            copy("covariance", found.values(), covariance, n.saturating_mul(n))
        })
    }
}

/// Covariance of the results of `n` budgets that share some of their sources, by their `names`; what else a budget holds is its
/// own, whatever its name. JCGM 100:2008, F.1.2.3.
///
/// `covariance`: room for n x n numbers, row by row. Status: CALCORE_E_UNKNOWN_NAME for a source that no budget has, or that
/// one has twice.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_named_budget_shared_covariance(
    budgets: *const *const calcore_named_budget,
    n: usize,
    names: *const *const c_char,
    names_count: usize,
    covariance: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let known = budgets_of(budgets, n)?;
            let found = covariance_of_shared(&known, &names_of(names, names_count)?)?;
            copy("covariance", found.values(), covariance, n.saturating_mul(n))
        })
    }
}
