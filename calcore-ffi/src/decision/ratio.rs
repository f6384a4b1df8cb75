//! Ratios that stand for the quality of a measurement.

use super::verdict::limits;
use crate::guard::give;
use crate::message::calcore_error;
use crate::status::*;
use calcore::decision::ratio::{e_n, measurement_capability_index, test_accuracy_ratio, test_uncertainty_ratio};

/// Test uncertainty ratio: (upper - lower)/(2 U), U the expanded uncertainty of the measurement process for 95 % coverage.
/// ANSI/NCSL Z540.3-2006, 3.11 (clause from memory).
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an expanded uncertainty that is not positive;
/// CALCORE_E_UNDETERMINED for limits to one side only.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_test_uncertainty_ratio(
    lower: f64,
    upper: f64,
    expanded_uncertainty: f64,
    ratio: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ratio", ratio), || Ok(test_uncertainty_ratio(limits(lower, upper), expanded_uncertainty)?)) }
}

/// Test accuracy ratio: (upper - lower) over twice the specified accuracy of the standard. Common practice, no source.
///
/// Status: as calcore_test_uncertainty_ratio.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_test_accuracy_ratio(
    lower: f64,
    upper: f64,
    accuracy_half_width: f64,
    ratio: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ratio", ratio), || Ok(test_accuracy_ratio(limits(lower, upper), accuracy_half_width)?)) }
}

/// Measurement capability index: (upper - lower)/(4 u). JCGM 106:2012, 7.5.
///
/// Status: as calcore_test_uncertainty_ratio.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_capability_index(
    lower: f64,
    upper: f64,
    standard_uncertainty: f64,
    index: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("index", index), || Ok(measurement_capability_index(limits(lower, upper), standard_uncertainty)?))
    }
}

/// E_n number: (value - reference)/sqrt(U_x^2 + U_ref^2 - 2 r U_x U_ref), both expanded with one coverage factor. |E_n| <= 1
/// is satisfactory. ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2015, 9.7.
///
/// `correlation`: of the two results, -1 to 1; 0 for independent ones.
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative expanded uncertainty or a difference without
/// uncertainty; CALCORE_E_OUT_OF_RANGE for the correlation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_e_n(
    value: f64,
    expanded_uncertainty: f64,
    reference: f64,
    reference_expanded_uncertainty: f64,
    correlation: f64,
    number: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("number", number), || {
            Ok(e_n(value, expanded_uncertainty, reference, reference_expanded_uncertainty, correlation)?)
        })
    }
}
