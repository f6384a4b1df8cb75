//! Section "fit": what a fit says of itself.

use super::kinds::*;
use super::options::*;
use crate::array::{Output, copy};
use crate::guard::{fill, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error, write_text};
use crate::record::records;
use crate::status::*;
use calcore::Error;
use calcore::fit::*;
use std::ffi::c_char;

/// Why a fit ended: the problem is linear and was solved directly.
pub const CALCORE_STOP_SOLVED_DIRECTLY: i32 = 0;

/// Why a fit ended: a further step changes nothing beyond rounding.
pub const CALCORE_STOP_CONVERGED: i32 = 1;
/// Why a fit ended: no better point was found although a step still promised a little.
pub const CALCORE_STOP_STALLED: i32 = 2;
/// Why a fit ended: a reason that this header does not know.
pub const CALCORE_STOP_OTHER: i32 = 3;

/// Numbers of a fit, one a point: observed minus fitted ordinate (ohm for Callendar-Van Dusen).
pub const CALCORE_POINTS_RESIDUALS: i32 = 0;
/// Numbers of a fit, one a point: residuals over the standard uncertainty of the misfit.
pub const CALCORE_POINTS_STANDARDISED: i32 = 1;
/// Numbers of a fit, one a point: how much of each point's own ordinate goes into its fitted one, 0 to 1.
pub const CALCORE_POINTS_LEVERAGE: i32 = 2;
/// Numbers of a fit, one a point: estimates of the true abscissae (°C for Callendar-Van Dusen).
pub const CALCORE_POINTS_ADJUSTED: i32 = 3;

/// Numbers of a fit, one a point: misfit against the fit to all other points, in the unit of the ordinate; NaN where those
/// do not determine it.
pub const CALCORE_POINTS_LEAVE_ONE_OUT: i32 = 5;

/// Numbers of a fit, one a point: weights of a robust fit; 1 for every point of an ordinary one.
pub const CALCORE_POINTS_WEIGHTS: i32 = 6;

/// Numbers of a fit, one a point: temperature that the fitted curve of a sensor reads, minus the given one, K.
pub const CALCORE_POINTS_RESIDUALS_K: i32 = 4;

/// What a fit says of its quality. Numbers that there are not are NaN.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_fit_report {
    /// sizeof(calcore_fit_report), set by the caller.
    pub size: usize,
    /// Points.
    pub points: usize,
    /// Parameters, held ones included: rows of the covariance.
    pub parameters: usize,
    /// Points minus fitted parameters.
    pub degrees_of_freedom: usize,
    /// Warnings; see calcore_fit_warning.
    pub warnings: usize,
    /// Steps made.
    pub iterations: usize,
    /// Sum of the squared errors in units of their uncertainty; NaN where nothing is stated.
    pub chi_squared: f64,
    /// Probability of a larger chi-squared if the stated uncertainties are right.
    pub p_value: f64,
    /// Ratio of the largest to the smallest singular value of the weighted design.
    pub condition_number: f64,
    /// Standard deviation of the residuals, in the unit of the ordinate; NaN without degrees of freedom.
    pub residual_standard_deviation: f64,
    /// Part of the sum of squares that a polynomial explains; NaN for other fits.
    pub r_squared: f64,
    /// CALCORE_FIT_CVD to CALCORE_FIT_DEVIATION.
    pub kind: i32,
    /// CALCORE_BASIS_STATED or CALCORE_BASIS_RESIDUALS.
    pub covariance_basis: i32,
    /// 1 if the fit has a covariance, else 0: neither uncertainties are stated nor residuals left to take it from.
    pub has_covariance: i32,
    /// One of the CALCORE_STOP_ numbers.
    pub stop_reason: i32,
    /// For Callendar-Van Dusen the sum of the CALCORE_HELD_ numbers of what was held, C at the value of the standard
    /// included; 0 for other fits.
    pub held: i32,
    /// Zero.
    pub reserved: i32,
}

records!(calcore_fit_report);

/// What a fit says of its quality. Set `report->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_describe(
    fit: *const calcore_fit,
    report: *mut calcore_fit_report,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, report, || {
            let f = held(fit)?.view();
            Ok(calcore_fit_report {
                size: 0,
                points: f.report.residuals.len(),
                parameters: f.parameters.len(),
                degrees_of_freedom: f.report.degrees_of_freedom,
                warnings: f.report.warnings.len(),
                iterations: f.report.iterations,
                chi_squared: f.report.chi_squared.unwrap_or(f64::NAN),
                p_value: f.report.p_value.unwrap_or(f64::NAN),
                condition_number: f.report.condition_number,
                residual_standard_deviation: f.report.residual_standard_deviation.unwrap_or(f64::NAN),
                r_squared: f.r_squared,
                kind: f.kind,
                covariance_basis: match f.report.covariance_basis {
                    CovarianceBasis::Stated => CALCORE_BASIS_STATED,
                    CovarianceBasis::Residuals => CALCORE_BASIS_RESIDUALS,
                },
                has_covariance: i32::from(f.report.covariance.is_some()),
                stop_reason: stop_number(f.report.stop_reason),
                held: f.held,
                reserved: 0,
            })
        })
    }
}

fn stop_number(reason: StopReason) -> i32 {
    match reason {
        StopReason::SolvedDirectly => CALCORE_STOP_SOLVED_DIRECTLY,
        StopReason::Converged => CALCORE_STOP_CONVERGED,
        StopReason::Stalled => CALCORE_STOP_STALLED,
        _ => CALCORE_STOP_OTHER,
    }
}

/// The parameters: r0, a, b, c (ohm, 1/K, 1/K^2, 1/K^4); intercept, slope; or the coefficients of 1, x, x^2 and so on.
///
/// `n`: room in `values`, which must be `parameters` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_parameters(
    fit: *const calcore_fit,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("values", &held(fit)?.view().parameters, values, n)) }
}

/// Covariance of the parameters, row by row; zero rows for what was held.
///
/// `n`: room in `values`, which must be the square of `parameters`. Status: CALCORE_E_LENGTH_MISMATCH;
/// CALCORE_E_UNDETERMINED where the fit has none.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_covariance(
    fit: *const calcore_fit,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let covariance = held(fit)?.view().report.covariance.as_ref().ok_or_else(|| Error::Undetermined {
                what: "fit",
                parameter: "the covariance of its parameters".into(),
                hint: "state uncertainties, or add points",
            })?;
            copy("values", covariance.values(), values, n)
        })
    }
}

/// Numbers of a fit, one a point. `what`: one of the CALCORE_POINTS_ numbers.
///
/// `n`: room in `values`, which must be `points` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH;
/// CALCORE_E_HANDLE where the kind of fit has no such numbers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_points(
    fit: *const calcore_fit,
    what: i32,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let f = held(fit)?.view();
            let ones = vec![1.0; f.report.residuals.len()];
            let numbers: &[f64] = match what {
                CALCORE_POINTS_RESIDUALS => &f.report.residuals,
                CALCORE_POINTS_STANDARDISED => &f.report.standardised_residuals,
                CALCORE_POINTS_LEVERAGE => &f.report.leverage,
                CALCORE_POINTS_ADJUSTED => &f.report.adjusted_x,
                CALCORE_POINTS_RESIDUALS_K => f.residuals_k.ok_or_else(|| Fit::wrong("a sensor"))?,
                CALCORE_POINTS_LEAVE_ONE_OUT => &f.report.leave_one_out_residuals,
                CALCORE_POINTS_WEIGHTS if f.report.weights.is_empty() => &ones,
                CALCORE_POINTS_WEIGHTS => &f.report.weights,
                other => return Err(Failure::option("what", other, "one of the CALCORE_POINTS_ numbers")),
            };
            copy("values", numbers, values, n)
        })
    }
}

/// Warning i of a fit: its stable number, and its text in the caller's buffer.
///
/// Numbers: 1 C held at the standard, 2 C poorly determined, 3 no degrees of freedom, 4 ill conditioned, 5 a parameter
/// poorly determined, 6 high leverage, 7 chi-squared too large, 8 too small, 9 points played down, 10 extrapolation, 11 at a
/// bound, 12 implausible alpha, 13 delta, 14 r0, 15 resistance falls. Buffer, `*needed` and status: as calcore_run_to_json;
/// CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_warning(
    fit: *const calcore_fit,
    i: usize,
    number: *mut i32,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let number = Output::new("number", number)?;
            let warnings = &held(fit)?.view().report.warnings;
            let warning = warnings.get(i).ok_or_else(|| Failure::index("warning", i, warnings.len()))?;
            write_text(|| Ok(&*warning.text), buffer, capacity, needed)?;
            number.set(warning.code.number());
            Ok(())
        })
    }
}
