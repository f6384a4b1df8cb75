//! Section "linearization": linearity of readings, and their conformity to a curve.

use crate::array::{copy_if_wanted, input, optional};
use crate::guard::fill;
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::record::records;
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::linearization::{Basis, Conformity, ReadingUncertainty, conformity_to_curve, linearity};

/// Basis of linearity: the line that makes the largest deviation smallest.
pub const CALCORE_LINEARITY_INDEPENDENT: i32 = 0;
/// Basis of linearity: the line through both ends.
pub const CALCORE_LINEARITY_TERMINAL: i32 = 1;
/// Basis of linearity: the line through the lower end that makes the largest deviation smallest.
pub const CALCORE_LINEARITY_ZERO: i32 = 2;
/// Basis of linearity: nothing is adjusted; y = x itself, or the curve as it stands.
pub const CALCORE_LINEARITY_UNADJUSTED: i32 = 3;

/// How far readings depart from a line, in their unit.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_linearity_result {
    /// sizeof(calcore_linearity_result), set by the caller.
    pub size: usize,
    /// Index of the point with the largest deviation, the first of several.
    pub at: usize,
    /// The line at x = 0.
    pub intercept: f64,
    /// Its slope.
    pub slope: f64,
    /// Largest absolute deviation: the linearity or conformity.
    pub largest: f64,
    /// Most positive deviation.
    pub most_positive: f64,
    /// Most negative deviation.
    pub most_negative: f64,
    /// Standard uncertainty of the largest deviation; NaN where none is stated for the readings.
    pub standard_uncertainty: f64,
    /// Largest deviation in percent of the span; NaN without a span.
    pub percent_of_span: f64,
    /// Its standard uncertainty in percent of the span; NaN without both.
    pub standard_uncertainty_percent_of_span: f64,
}

records!(calcore_linearity_result);

pub(super) fn basis_of(basis: i32) -> Result<Basis, Failure> {
    match basis {
        CALCORE_LINEARITY_INDEPENDENT => Ok(Basis::Independent),
        CALCORE_LINEARITY_TERMINAL => Ok(Basis::Terminal),
        CALCORE_LINEARITY_ZERO => Ok(Basis::Zero),
        CALCORE_LINEARITY_UNADJUSTED => Ok(Basis::Unadjusted),
        other => Err(Failure::option("basis", other, "one of the CALCORE_LINEARITY_ numbers")),
    }
}

/// What is known of the errors of `n` readings.
///
/// # Safety
/// `u` is null or points to `n` numbers, `covariance` to `n` times `n`.
pub(super) unsafe fn known<'a>(
    u: *const f64,
    covariance: *const f64,
    n: usize,
) -> Result<ReadingUncertainty<'a>, Failure> {
    if !u.is_null() && !covariance.is_null() {
        return Err(Failure::border(CALCORE_E_OPTION, "either u or covariance must be null".into()));
    }
    // SAFETY: as promised.
    let (u, covariance) = unsafe { (optional("u", u, n)?, optional("covariance", covariance, n.saturating_mul(n))?) };
    Ok(match (u, covariance) {
        (_, Some(covariance)) => ReadingUncertainty::Covariance(covariance),
        (Some(u), None) => ReadingUncertainty::Each(u),
        (None, None) => ReadingUncertainty::Nothing,
    })
}

/// A number that may be left out: NaN means absent.
pub(super) fn stated(value: f64) -> Option<f64> {
    (!value.is_nan()).then_some(value)
}

fn filled(found: &Conformity) -> calcore_linearity_result {
    calcore_linearity_result {
        size: 0,
        at: found.at,
        intercept: found.intercept,
        slope: found.slope,
        largest: found.largest,
        most_positive: found.most_positive,
        most_negative: found.most_negative,
        standard_uncertainty: found.standard_uncertainty.unwrap_or(f64::NAN),
        percent_of_span: found.percent_of_span.unwrap_or(f64::NAN),
        standard_uncertainty_percent_of_span: found.standard_uncertainty_percent_of_span.unwrap_or(f64::NAN),
    }
}

/// Linearity of `n` readings `y` at `x`, in any order, on the basis of a CALCORE_LINEARITY_ number; readings may be errors as
/// well. With the values of a curve as `x`: conformity. IEC 61298-2, ISA-51.1 (from memory).
///
/// `span`: in the unit of `y`, for percentages; NaN for none. `u`: standard uncertainty of each reading, independent, or null.
/// `covariance`: n times n, row by row, instead of `u`, or null. `deviations`: room for `n` numbers, reading minus line, or
/// null. Set `found->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_TOO_FEW_POINTS for fewer than three different x (one for the unadjusted basis);
/// CALCORE_E_INVALID_VALUE unless the span is positive and no uncertainty negative; CALCORE_E_NOT_POSITIVE_DEFINITE;
/// CALCORE_E_OPTION for an unknown basis, or both `u` and `covariance`.
#[allow(clippy::too_many_arguments, reason = "arrays of C")]
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_linearity(
    x: *const f64,
    y: *const f64,
    n: usize,
    basis: i32,
    span: f64,
    u: *const f64,
    covariance: *const f64,
    deviations: *mut f64,
    found: *mut calcore_linearity_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let (x, y) = (input("x", x, n)?, input("y", y, n)?);
            let found = linearity(x, y, stated(span), basis_of(basis)?, known(u, covariance, n)?)?;
            copy_if_wanted("deviations", &found.deviations, deviations, n)?;
            Ok(filled(&found))
        })
    }
}

/// Conformity of `n` signals of an element, read at temperatures (°C), to a curve. All else as calcore_linearity; deviations are
/// in the unit of the signal.
///
/// Status: as calcore_linearity, and CALCORE_E_OUT_OF_RANGE for a temperature outside the range of the curve.
#[allow(clippy::too_many_arguments, reason = "arrays of C")]
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_conformity_to_curve(
    curve: *const calcore_curve,
    t_c: *const f64,
    signal: *const f64,
    n: usize,
    basis: i32,
    span: f64,
    u: *const f64,
    covariance: *const f64,
    deviations: *mut f64,
    found: *mut calcore_linearity_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let curve = held(curve)?.sensor();
            let (t_c, signal) = (input("t_c", t_c, n)?, input("signal", signal, n)?);
            let (basis, uncertainty) = (basis_of(basis)?, known(u, covariance, n)?);
            let found = conformity_to_curve(curve, t_c, signal, stated(span), basis, uncertainty)?;
            copy_if_wanted("deviations", &found.deviations, deviations, n)?;
            Ok(filled(&found))
        })
    }
}
