//! Section "loop calibration": new coefficients for an element.

use super::records::*;
use super::result::{calcore_result, element};
use crate::array::{copy, output_of};
use crate::curves::calcore_cvd;
use crate::fit::kinds::held_bits;
use crate::fit::reading::sixteen;
use crate::guard::{fill, guard, make};
use crate::handle::held;
use crate::message::calcore_error;
use crate::status::*;
use calcore::loop_calibration::ElementFit;

/// Fit i of an element: new coefficients. Set `fit->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_fit(
    result: *const calcore_result,
    i: usize,
    fit: *mut calcore_element_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, fit, || {
            let f: &ElementFit = element("element fit", &held(result)?.element_fits, i)?;
            let held = held_bits(["r0", "a", "b", "c"].map(|name| f.held.iter().any(|h| h == name)));
            Ok(calcore_element_fit {
                size: 0,
                r0: f.r0,
                a: f.a,
                b: f.b,
                c: f.c,
                covariance: sixteen(f.covariance.as_ref()),
                low_c: f.range_c.0,
                high_c: f.range_c.1,
                chi_squared: f.chi_squared.unwrap_or(f64::NAN),
                p_value: f.p_value.unwrap_or(f64::NAN),
                degrees_of_freedom: f.degrees_of_freedom,
                points: f.residuals_k.len(),
                held,
                reserved: 0,
            })
        })
    }
}

/// What fit i leaves at every point, K, and the standard uncertainty of its curve there, K. `n`: room in both arrays,
/// which must be `points` of calcore_element_fit. An uncertainty that could not be had is NaN.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_fit_points(
    result: *const calcore_result,
    i: usize,
    residuals_k: *mut f64,
    standard_uncertainties_k: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let f = element("element fit", &held(result)?.element_fits, i)?;
            let mut u = f.standard_uncertainties_k.clone();
            u.resize(f.residuals_k.len(), f64::NAN);
            // Both pointers are checked before anything is written.
            output_of("residuals_k", residuals_k, n)?;
            copy("standard_uncertainties_k", &u, standard_uncertainties_k, n)?;
            copy("residuals_k", &f.residuals_k, residuals_k, n)
        })
    }
}

/// The new curve of fit i, over the range in which it holds.
///
/// `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_curve(
    result: *const calcore_result,
    i: usize,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(element("element fit", &held(result)?.element_fits, i)?.curve)) }
}
