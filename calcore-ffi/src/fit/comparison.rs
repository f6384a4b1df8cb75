//! Section "fit": a fit against points that it has not seen, and against an earlier one.

use super::kinds::*;
use super::options::*;
use super::reading::cvd_fit;
use crate::array::{copy_if_wanted, input};
use crate::guard::guard;
use crate::message::calcore_error;
use crate::record::{Target, records};
use crate::status::*;

/// A test by chi-squared.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_test {
    /// sizeof(calcore_test), set by the caller.
    pub size: usize,
    /// Sum of squares with the whole covariance.
    pub chi_squared: f64,
    /// Probability of a larger one if nothing is wrong.
    pub p_value: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
}

records!(calcore_test);

/// Checks a fitted Callendar-Van Dusen curve against `n` points that were not used for it: temperatures (°C), resistances
/// (ohm), and in `options` their u_x (K) and u_y (ohm); the other options are not looked at.
///
/// Outputs, n numbers each, or null where not wanted: temperature read minus given (K), its standard uncertainty of curve
/// and point together (K), and their quotient. Set `outcome->size` first.
/// Status: as calcore_fit_read; CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_hold_out(
    fit: *const calcore_fit,
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    errors_k: *mut f64,
    uncertainties_k: *mut f64,
    normalised: *mut f64,
    outcome: *mut calcore_test,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(outcome)?;
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let o = Options::read(options, n)?;
            let found = cvd_fit(fit)?.hold_out(t_c, ohm, o.u_x, o.u_y)?;
            copy_if_wanted("errors_k", &found.errors_c, errors_k, n)?;
            copy_if_wanted("uncertainties_k", &found.uncertainties_c, uncertainties_k, n)?;
            copy_if_wanted("normalised", &found.normalised, normalised, n)?;
            target.fill(calcore_test {
                size: 0,
                chi_squared: found.chi_squared,
                p_value: found.p_value,
                degrees_of_freedom: found.errors_c.len(),
            });
            Ok(())
        })
    }
}

/// Drift of an element since an earlier fit, at `n` temperatures (°C): what the earlier curve reads from the later one's
/// resistance, minus the temperature (K), and its standard uncertainty (K), or null where not wanted; and whether the
/// coefficients have changed. Set `outcome->size` first.
///
/// Status: as calcore_fit_read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_drift_since(
    fit: *const calcore_fit,
    earlier: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    drift_k: *mut f64,
    uncertainties_k: *mut f64,
    outcome: *mut calcore_test,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(outcome)?;
            let found = cvd_fit(fit)?.drift_since(cvd_fit(earlier)?, input("t_c", t_c, n)?)?;
            copy_if_wanted("drift_k", &found.drift_k, drift_k, n)?;
            copy_if_wanted("uncertainties_k", &found.uncertainties_k, uncertainties_k, n)?;
            target.fill(calcore_test {
                size: 0,
                chi_squared: found.chi_squared,
                p_value: found.p_value,
                degrees_of_freedom: found.degrees_of_freedom,
            });
            Ok(())
        })
    }
}
