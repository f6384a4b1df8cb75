//! Coverage: effective degrees of freedom, factors of distributions, shapes and regions.

use super::budget::calcore_contribution;
use super::input::shape_of;
use crate::array::input;
use crate::guard::give;
use crate::message::calcore_error;
use crate::status::*;
use calcore::num::special::student_quantile;
use calcore::uncertainty::Contribution;
use calcore::uncertainty::coverage::{
    coverage_factor, coverage_factor_truncated, coverage_probability, welch_satterthwaite,
};
use calcore::uncertainty::regions::{hyper_ellipse_factor, hyper_rectangle_factor};
use calcore::uncertainty::shapes::{coverage_factor_of_shapes, trapezoid_coverage_factor};

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

/// Quantile of Student's t distribution: the value that is not exceeded with a probability between 0 and 1.
///
/// `degrees_of_freedom` greater than 0, not necessarily whole, INFINITY for the normal distribution. Status:
/// CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_student_quantile(
    probability: f64,
    degrees_of_freedom: f64,
    t: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t", t), || Ok(student_quantile(probability, degrees_of_freedom)?)) }
}

/// Coverage factor of the sum of two rectangles, a trapezoid. EA-4/02 M:2022, S10.14 (two rectangles) and S9.15 (one).
///
/// Half-widths in the unit of the result, 0 for none; `probability` between 0 and 1. Status: CALCORE_E_NOT_FINITE,
/// CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_trapezoid_coverage_factor(
    first_half_width: f64,
    second_half_width: f64,
    probability: f64,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("factor", factor), || {
            Ok(trapezoid_coverage_factor(first_half_width, second_half_width, probability)?)
        })
    }
}

/// Coverage factor from the convolution of all `n` independent contributions: rectangles, triangles and arcsines with their
/// shape, all others as normal ones. EA-4/02 M:2022, S10.14.
///
/// `contributions`: the lines of a budget; of each, kind, contribution and degrees of freedom are looked at. Status:
/// CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_coverage_factor_of_shapes(
    contributions: *const calcore_contribution,
    n: usize,
    probability: f64,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("factor", factor), || {
            let lines = input("contributions", contributions, n)?;
            let line = |c: &calcore_contribution| {
                Contribution::new("x", 0.0, c.contribution.abs(), shape_of(c.kind), c.degrees_of_freedom, 1.0)
            };
            let lines = lines.iter().map(line).collect::<calcore::Result<Vec<_>>>()?;
            Ok(coverage_factor_of_shapes(&lines, probability)?)
        })
    }
}

/// Factor of the hyper-ellipse that covers jointly normal quantities with a probability between 0 and 1. JCGM 102:2011, 6.5.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_TOO_FEW_POINTS for no quantity.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_hyper_ellipse_factor(
    probability: f64,
    quantities: usize,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("factor", factor), || Ok(hyper_ellipse_factor(probability, quantities)?)) }
}

/// Factor of the hyper-rectangle that covers jointly normal quantities with at least a probability, however they are
/// correlated. JCGM 102:2011, 6.5.
///
/// Status: as calcore_hyper_ellipse_factor.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_hyper_rectangle_factor(
    probability: f64,
    quantities: usize,
    factor: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("factor", factor), || Ok(hyper_rectangle_factor(probability, quantities)?)) }
}
