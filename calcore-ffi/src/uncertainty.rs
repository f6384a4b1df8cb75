//! Section "uncertainty": distributions, budgets, propagation through a caller's model, coverage.

use crate::array::{Output, input, optional, output_of, pointer};
use crate::guard::{give, guard};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target};
use crate::status::*;
use calcore::Error;
use calcore::uncertainty::correlation::Correlation;
use calcore::uncertainty::coverage::{
    coverage_factor, coverage_factor_truncated, coverage_probability, welch_satterthwaite,
};
use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution, Input, Shape, Warning, propagate};
use std::cell::Cell;
use std::ffi::c_void;

/// Kind of distribution: none of those that this header knows.
pub const CALCORE_OTHER_DISTRIBUTION: i32 = 0;
/// Kind of distribution: normal; p1 = mean, p2 = standard uncertainty, and its degrees of freedom.
pub const CALCORE_NORMAL: i32 = 1;
/// Kind of distribution: equal density between two limits; p1 = lower, p2 = upper limit.
pub const CALCORE_RECTANGULAR: i32 = 2;
/// Kind of distribution: symmetric triangle between two limits; p1 = lower, p2 = upper limit.
pub const CALCORE_TRIANGULAR: i32 = 3;

/// Kind of distribution: symmetric trapezoid between two limits; p1 = lower, p2 = upper limit, p3 = top over base, 0 to 1.
pub const CALCORE_TRAPEZOIDAL: i32 = 4;
/// Kind of distribution: arcsine between two limits, a sine of unknown phase; p1 = lower, p2 = upper limit.
pub const CALCORE_U_SHAPED: i32 = 5;
/// Kind of distribution: Student's t; p1 = mean, p2 = scale s/sqrt(n), and its degrees of freedom, more than 2.
pub const CALCORE_STUDENT_T: i32 = 6;
/// Kind of distribution: rectangle with inexact limits; p1 = lower, p2 = upper limit, p3 = half-width of the doubt.
pub const CALCORE_CURVILINEAR_TRAPEZOID: i32 = 7;
/// Kind of distribution: exponential from zero; p1 = mean.
pub const CALCORE_EXPONENTIAL: i32 = 8;
/// Kind of distribution: gamma from zero; p1 = shape, p2 = scale.
pub const CALCORE_GAMMA: i32 = 9;
/// Kind of a line of a budget: the result of another budget. Not a kind of input.
pub const CALCORE_COMBINED: i32 = 10;

/// Coverage is asked for as a probability between 0 and 1: the factor follows from the degrees of freedom.
pub const CALCORE_COVERAGE_PROBABILITY: i32 = 0;
/// Coverage is asked for as a fixed factor, such as 2: the probability follows.
pub const CALCORE_COVERAGE_FACTOR: i32 = 1;

/// Warning of a budget: correlated contributions have finite degrees of freedom; each correlated group was given the
/// smallest of its members.
pub const CALCORE_WARNING_CORRELATED_DEGREES_OF_FREEDOM: i32 = 1;
/// Warning of a budget: a sensitivity could not be had to six digits; the model is rough near the estimates.
pub const CALCORE_WARNING_UNCERTAIN_SENSITIVITY: i32 = 2;
/// Warning of a budget: one that this header does not know.
pub const CALCORE_WARNING_OTHER: i32 = 1 << 30;

/// What is known about an input quantity, in the unit of the quantity. Elements of arrays: this struct never grows.
///
/// The numbers that the kind does not name are not looked at. In messages the inputs are called x0, x1 and so on.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_input {
    /// Kind of distribution: CALCORE_NORMAL to CALCORE_GAMMA.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// First number of the kind.
    pub p1: f64,
    /// Second number of the kind.
    pub p2: f64,
    /// Third number of the kind.
    pub p3: f64,
    /// Degrees of freedom of a normal distribution's standard uncertainty or of Student's t, greater than 0; INFINITY
    /// where exact. Not looked at for other kinds.
    pub degrees_of_freedom: f64,
}

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
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_budget {
    const WHAT: &'static str = "calcore_budget";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A model of the caller: takes `n` values, writes its result to `*result` and returns 0; any other status means that it
/// has no answer there. `user` is what the caller passed along.
///
/// It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call, many times,
/// with values near the estimates.
pub type calcore_model =
    Option<unsafe extern "C" fn(values: *const f64, n: usize, result: *mut f64, user: *mut c_void) -> calcore_status>;

/// The distribution that an input describes, not yet checked.
pub(crate) fn distribution(input: &calcore_input) -> Result<Distribution, Failure> {
    let calcore_input { kind, p1, p2, p3, degrees_of_freedom, .. } = *input;
    match kind {
        CALCORE_NORMAL => Ok(Distribution::Normal { mean: p1, std: p2, degrees_of_freedom }),
        CALCORE_RECTANGULAR => Ok(Distribution::Rectangular { low: p1, high: p2 }),
        CALCORE_TRIANGULAR => Ok(Distribution::Triangular { low: p1, high: p2 }),
        CALCORE_TRAPEZOIDAL => Ok(Distribution::Trapezoidal { low: p1, high: p2, shape: p3 }),
        CALCORE_U_SHAPED => Ok(Distribution::UShaped { low: p1, high: p2 }),
        CALCORE_STUDENT_T => Ok(Distribution::StudentT { mean: p1, scale: p2, degrees_of_freedom }),
        CALCORE_CURVILINEAR_TRAPEZOID => Ok(Distribution::CurvilinearTrapezoid { low: p1, high: p2, d: p3 }),
        CALCORE_EXPONENTIAL => Ok(Distribution::Exponential { mean: p1 }),
        CALCORE_GAMMA => Ok(Distribution::Gamma { shape: p1, scale: p2 }),
        _ => Err(Failure::option("kind of an input", kind, "CALCORE_NORMAL to CALCORE_GAMMA")),
    }
}

fn kind_of(shape: Shape) -> i32 {
    match shape {
        Shape::Normal => CALCORE_NORMAL,
        Shape::Rectangular => CALCORE_RECTANGULAR,
        Shape::Triangular => CALCORE_TRIANGULAR,
        Shape::Trapezoidal => CALCORE_TRAPEZOIDAL,
        Shape::UShaped => CALCORE_U_SHAPED,
        Shape::StudentT => CALCORE_STUDENT_T,
        Shape::CurvilinearTrapezoid => CALCORE_CURVILINEAR_TRAPEZOID,
        Shape::Exponential => CALCORE_EXPONENTIAL,
        Shape::Gamma => CALCORE_GAMMA,
        Shape::Combined => CALCORE_COMBINED,
        _ => CALCORE_OTHER_DISTRIBUTION,
    }
}

fn coverage_of(kind: i32, coverage: f64) -> Result<Coverage, Failure> {
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
    }
}

/// The inputs with their names in messages: x0, x1 and so on.
///
/// # Safety
/// `inputs` points to `n` structs.
unsafe fn named(inputs: *const calcore_input, n: usize) -> Result<Vec<Input>, Failure> {
    // SAFETY: as promised.
    let inputs = unsafe { input("inputs", inputs, n) }?;
    inputs.iter().enumerate().map(|(i, x)| Ok(Input::new(format!("x{i}"), distribution(x)?))).collect()
}

/// A call that ends in a budget and its lines.
///
/// # Safety
/// The pointers are as in [`calcore_propagate`].
unsafe fn give_budget(
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
            propagate(call, &inputs, correlation, coverage).map_err(|error| Failure::of_model(error, last.get()))
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

/// Best estimate and standard uncertainty of an input, in its unit.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_moments(
    input: *const calcore_input,
    mean: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean", mean)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let checked = one(input)?;
            mean.set(checked.mean());
            u.set(checked.standard_uncertainty());
            Ok(())
        })
    }
}

/// The distribution behind a pointer of the caller, checked.
///
/// # Safety
/// `input` is null or points to a struct.
pub(crate) unsafe fn one(input: *const calcore_input) -> Result<Distribution, Failure> {
    let input = pointer("input", input)?;
    // SAFETY: not null, aligned; the rest is promised.
    Ok(distribution(unsafe { &*input })?.check()?)
}

/// Probability that an input does not exceed x. With finite degrees of freedom a normal one counts as Student's t
/// (JCGM 101:2008, 6.4.9.7).
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_cdf(
    input: *const calcore_input,
    x: f64,
    probability: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("probability", probability), || Ok(one(input)?.cdf(x)?)) }
}

/// Value that an input does not exceed with a probability between 0 and 1.
///
/// Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_quantile(
    input: *const calcore_input,
    probability: f64,
    x: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("x", x), || Ok(one(input)?.quantile(probability)?)) }
}

/// Effective degrees of freedom of `n` independent contributions by the Welch-Satterthwaite formula, not truncated;
/// INFINITY where all are exact. JCGM 100:2008, G.4.1.
///
/// `contributions`: |c_i| u_i, not negative. `degrees_of_freedom`: of each, greater than 0; INFINITY where exact.
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_welch_satterthwaite(
    contributions: *const f64,
    degrees_of_freedom: *const f64,
    n: usize,
    effective: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("effective", effective), || {
            let u = input("contributions", contributions, n)?;
            let nu = input("degrees_of_freedom", degrees_of_freedom, n)?;
            let pairs: Vec<(f64, f64)> = u.iter().copied().zip(nu.iter().copied()).collect();
            Ok(welch_satterthwaite(&pairs)?)
        })
    }
}

/// Coverage factor of a two-sided interval from Student's distribution. JCGM 100:2008, G.3 and table G.2.
///
/// `probability` between 0 and 1; `degrees_of_freedom` greater than 0, not necessarily whole, INFINITY for the normal
/// distribution. Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_coverage_factor(
    probability: f64,
    degrees_of_freedom: f64,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("factor", factor), || Ok(coverage_factor(probability, degrees_of_freedom)?)) }
}

/// The same with the degrees of freedom cut to the next lower whole number, but to no less than 1. JCGM 100:2008, G.4.1
/// note 1.
///
/// Status: as calcore_coverage_factor.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_coverage_factor_truncated(
    probability: f64,
    degrees_of_freedom: f64,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("factor", factor), || Ok(coverage_factor_truncated(probability, degrees_of_freedom)?)) }
}

/// Probability with which `factor` standard uncertainties to both sides cover the value.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a factor or degrees of freedom that are not positive.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_coverage_probability(
    factor: f64,
    degrees_of_freedom: f64,
    probability: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("probability", probability), || Ok(coverage_probability(factor, degrees_of_freedom)?)) }
}
