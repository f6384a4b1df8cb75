//! Budgets: from a caller's model, or from contributions with known sensitivities.

use super::input::{calcore_input, kind_of, named};
use crate::array::{input, optional, output_of};
use crate::guard::guard;
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target};
use crate::status::*;
use calcore::Error;
use calcore::uncertainty::correlation::Correlation;
use calcore::uncertainty::{Budget, Contribution, Coverage, Warning, propagate, propagate_second_order};
use std::cell::Cell;
use std::ffi::c_void;
use std::mem::offset_of;

/// Coverage is asked for as a probability between 0 and 1: the factor follows from the degrees of freedom.
pub const CALCORE_COVERAGE_PROBABILITY: i32 = 0;
/// Coverage is asked for as a fixed factor, such as 2: the probability follows.
pub const CALCORE_COVERAGE_FACTOR: i32 = 1;

/// Warning of a budget: correlated contributions have finite degrees of freedom; each correlated group was given the
/// smallest of its members.
pub const CALCORE_WARNING_CORRELATED_DEGREES_OF_FREEDOM: i32 = 1;
/// Warning of a budget: a sensitivity could not be had to six digits; the model is rough near the estimates.
pub const CALCORE_WARNING_UNCERTAIN_SENSITIVITY: i32 = 2;
/// Warning of a budget: the second-order terms could not be had well; the model bends sharply within the uncertainties.
pub const CALCORE_WARNING_UNCERTAIN_SECOND_ORDER: i32 = 4;
/// Warning of a budget: one that this header does not know.
pub const CALCORE_WARNING_OTHER: i32 = 1 << 30;

/// One line of a budget. Elements of arrays: this struct never grows.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_contribution {
    /// Kind of distribution; CALCORE_OTHER_DISTRIBUTION for one that this header does not know.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// Best estimate, in the unit of the source.
    pub estimate: f64,
    /// Standard uncertainty, in the unit of the source.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of the standard uncertainty; INFINITY where exact.
    pub degrees_of_freedom: f64,
    /// How far the result moves per unit of the source, with its sign.
    pub sensitivity: f64,
    /// Sensitivity times standard uncertainty, in the unit of the result.
    pub contribution: f64,
    /// Part of the variance of the result, as a fraction; the shares of a budget add up to 1. Negative where
    /// correlated sources cancel.
    pub share: f64,
}

/// The uncertainty of a result. JCGM 100:2008, clauses 5, 6 and annex G.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_budget {
    /// sizeof(calcore_budget), set by the caller.
    pub size: usize,
    /// Best estimate of the result.
    pub value: f64,
    /// Combined standard uncertainty, in the unit of the result.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom, not truncated; INFINITY where every contribution is exact.
    pub effective_degrees_of_freedom: f64,
    /// Probability with which value plus or minus expanded uncertainty covers the quantity.
    pub coverage_probability: f64,
    /// Expanded over standard uncertainty.
    pub coverage_factor: f64,
    /// Expanded uncertainty, in the unit of the result.
    pub expanded_uncertainty: f64,
    /// Sum of the CALCORE_WARNING_ numbers that apply; 0 for none.
    pub warnings: i32,
    /// Zero.
    pub reserved: i32,
    /// Variance that the second order added, in the square of the unit of the result; 0 to first order.
    pub second_order_variance: f64,
    /// By how much the expectation of the result lies off `value`, to second order; 0 to first order.
    pub expectation_shift: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_budget {
    const WHAT: &'static str = "calcore_budget";
    const FIRST_SIZE: usize = offset_of!(Self, second_order_variance);
}

/// A model of the caller: takes `n` values, writes its result to `*result` and returns 0; any other status means that it
/// has no answer there. `user` is what the caller passed along.
///
/// It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call, many times,
/// with values near the estimates.
pub type calcore_model =
    Option<unsafe extern "C" fn(values: *const f64, n: usize, result: *mut f64, user: *mut c_void) -> calcore_status>;

pub(super) fn coverage_of(kind: i32, coverage: f64) -> Result<Coverage, Failure> {
    match kind {
        CALCORE_COVERAGE_PROBABILITY => Ok(Coverage::Probability(coverage)),
        CALCORE_COVERAGE_FACTOR => Ok(Coverage::Factor(coverage)),
        _ => Err(Failure::option("coverage_kind", kind, "CALCORE_COVERAGE_PROBABILITY or CALCORE_COVERAGE_FACTOR")),
    }
}

/// A line as C sees it.
pub(crate) fn line(c: &Contribution) -> calcore_contribution {
    calcore_contribution {
        kind: kind_of(c.shape),
        reserved: 0,
        estimate: c.estimate,
        standard_uncertainty: c.standard_uncertainty,
        degrees_of_freedom: c.degrees_of_freedom,
        sensitivity: c.sensitivity,
        contribution: c.contribution,
        share: c.share,
    }
}

/// The numbers of a budget as C sees them.
pub(crate) fn numbers(budget: &Budget) -> calcore_budget {
    let warnings = budget.warnings.iter().fold(0, |sum, warning| {
        sum | match warning {
            Warning::CorrelatedDegreesOfFreedom => CALCORE_WARNING_CORRELATED_DEGREES_OF_FREEDOM,
            Warning::UncertainSensitivity { .. } => CALCORE_WARNING_UNCERTAIN_SENSITIVITY,
            Warning::UncertainSecondOrder { .. } => CALCORE_WARNING_UNCERTAIN_SECOND_ORDER,
            _ => CALCORE_WARNING_OTHER,
        }
    });
    calcore_budget {
        size: 0,
        value: budget.value,
        standard_uncertainty: budget.standard_uncertainty,
        effective_degrees_of_freedom: budget.effective_degrees_of_freedom,
        coverage_probability: budget.coverage_probability,
        coverage_factor: budget.coverage_factor,
        expanded_uncertainty: budget.expanded_uncertainty,
        warnings,
        reserved: 0,
        second_order_variance: budget.second_order.as_ref().map_or(0.0, |found| found.variance),
        expectation_shift: budget.second_order.as_ref().map_or(0.0, |found| found.expectation_shift),
    }
}

/// A call that ends in a budget and its lines.
///
/// # Safety
/// The pointers are as in [`calcore_propagate`].
pub(super) unsafe fn give_budget(
    err: *mut calcore_error,
    n: usize,
    correlation: *const f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    compute: impl FnOnce(Option<&[f64]>) -> Result<Budget, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Target::new(result)?;
            let correlation = optional("correlation", correlation, n.saturating_mul(n))?;
            let lines =
                if contributions.is_null() { None } else { Some(output_of("contributions", contributions, n)?) };
            let budget = compute(correlation)?;
            if let Some(lines) = lines {
                for (target, source) in lines.iter_mut().zip(&budget.contributions) {
                    target.write(line(source));
                }
            }
            target.fill(numbers(&budget));
            Ok(())
        })
    }
}

/// Propagates the uncertainties of `n` inputs through a model, to first order, with sensitivities by numerical
/// differentiation at the estimates. JCGM 100:2008, 5.1.2 and 5.2.2.
///
/// `correlation`: n x n coefficients, row by row, or null for independent inputs. `coverage`: a probability or a factor, as
/// `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first. `contributions`: room for n lines in the order
/// of the inputs, or null. The input arrays must not overlap the outputs.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE for what the inputs, the correlation or the
/// coverage cannot be; CALCORE_E_MODEL_FAILED when the model has no answer near the estimates; `value` of the error then is
/// the last status other than 0 that the model returned, NaN if it gave a number that is not finite.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_propagate(
    model: calcore_model,
    user: *mut c_void,
    inputs: *const calcore_input,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { by_model(1, model, user, inputs, n, correlation, (coverage_kind, coverage), result, contributions, err) }
}

/// The same to second order: the variance of the terms is in `second_order_variance` of the result, `value` is not moved.
/// JCGM 100:2008, 5.1.2 note. Inputs that are correlated with each other must be normal.
///
/// Arguments and status: as calcore_propagate; CALCORE_E_INVALID_VALUE also for correlated inputs that are not normal, for
/// inputs without a fourth moment, and for a model that bends too much for a series.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_propagate_second_order(
    model: calcore_model,
    user: *mut c_void,
    inputs: *const calcore_input,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { by_model(2, model, user, inputs, n, correlation, (coverage_kind, coverage), result, contributions, err) }
}

/// # Safety
/// As [`calcore_propagate`].
#[allow(clippy::too_many_arguments)]
unsafe fn by_model(
    order: i32,
    model: calcore_model,
    user: *mut c_void,
    inputs: *const calcore_input,
    n: usize,
    correlation: *const f64,
    (coverage_kind, coverage): (i32, f64),
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        give_budget(err, n, correlation, result, contributions, |correlation| {
            let model = model.ok_or_else(|| Failure::null("model"))?;
            let inputs = named(inputs, n)?;
            let coverage = coverage_of(coverage_kind, coverage)?;
            let last = Cell::new(None);
            let call = |values: &[f64]| {
                let mut result = f64::NAN;
                let status = model(values.as_ptr(), values.len(), &raw mut result, user);
                if status == CALCORE_OK {
                    return Ok(result);
                }
                last.set(Some(status));
                Err(Error::ModelFailed { message: format!("it returned the status {status}") })
            };
            let found = if order == 1 {
                propagate(call, &inputs, correlation, coverage)
            } else {
                propagate_second_order(call, &inputs, correlation, coverage)
            };
            found.map_err(|error| Failure::of_model(error, last.get()))
        })
    }
}

/// A budget of `n` contributions with known sensitivities: u^2 = sum of (c_i u_i)^2, or with the correlation terms.
///
/// `value`: best estimate of the result. `sensitivities`: how far the result moves per unit of each input. The other
/// arguments, and status: as calcore_propagate.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_budget_from_contributions(
    value: f64,
    inputs: *const calcore_input,
    sensitivities: *const f64,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_budget(err, n, correlation, result, contributions, |correlation| {
            let inputs = named(inputs, n)?;
            let sensitivities = input("sensitivities", sensitivities, n)?;
            let coverage = coverage_of(coverage_kind, coverage)?;
            let lines = inputs.iter().zip(sensitivities).map(|(x, c)| Contribution::of(&*x.name, &x.distribution, *c));
            let lines = lines.collect::<calcore::Result<Vec<_>>>()?;
            Ok(match correlation {
                None => Budget::from_contributions(value, lines, coverage)?,
                Some(r) => {
                    let matrix = Correlation::new(n, r)?;
                    Budget::from_correlated_contributions(value, lines, &matrix, coverage)?
                }
            })
        })
    }
}
