//! Section "fit": the fitted curve, its values, and their uncertainty.

use super::kinds::*;
use crate::curves::calcore_cvd;
use crate::guard::{give, give_two, make};
use crate::handle::held;
use crate::message::calcore_error;
use crate::sensor_curves::curve::{Curve, calcore_curve};
use crate::status::*;

/// The fitted Callendar-Van Dusen curve. Its range is the calibrated one, widened by 1 K or 2 % of its span.
///
/// `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_cvd(
    fit: *const calcore_fit,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(held(fit)?.cvd()?.curve)) }
}

/// The fitted curve of a Callendar-Van Dusen thermometer, a thermistor or a deviation from a reference curve behind the general handle.
///
/// `*curve` receives a handle that the caller releases by calcore_curve_free. Status: CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_curve(
    fit: *const calcore_fit,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || match held(fit)? {
            Fit::Cvd(f) => Ok(Curve::Cvd(f.curve)),
            Fit::SteinhartHart(f) => Ok(Curve::SteinhartHart(f.curve)),
            Fit::Beta(f) => Ok(Curve::Beta(f.curve)),
            Fit::Deviation { fit, .. } => Ok(Curve::Corrected(Box::new(fit.curve.clone()))),
            _ => Err(Fit::wrong("a Callendar-Van Dusen curve, a thermistor or a deviation")),
        })
    }
}

/// The thermometer of a fitted ITS-90 deviation with its resistance at the triple point of water, ohm.
///
/// Ownership and status: as calcore_fit_curve; CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_sprt(
    fit: *const calcore_fit,
    r_tpw: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Sprt(held(fit)?.its90()?.thermometer(r_tpw)?))) }
}

/// Standard uncertainty, K, of a temperature in kelvin that a fitted ITS-90 deviation reads, as far as the deviation itself
/// causes it.
///
/// Status: as calcore_fit_temperature_uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_its90_temperature_uncertainty(
    fit: *const calcore_fit,
    t_k: f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_k", u_k), || Ok(held(fit)?.its90()?.temperature_uncertainty(t_k)?)) }
}

/// Standard uncertainty, K, of a temperature in °C that the fitted curve of a Callendar-Van Dusen thermometer, a
/// Steinhart-Hart thermistor or a deviation from a reference curve reads, as far as the fit itself causes it.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNDETERMINED where the fit has no covariance;
/// CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_temperature_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("u_k", u_k), || match held(fit)? {
            Fit::Cvd(f) => Ok(f.temperature_uncertainty(t_c)?),
            Fit::SteinhartHart(f) => Ok(f.temperature_uncertainty(t_c)?),
            Fit::Deviation { fit, .. } => Ok(fit.temperature_uncertainty(t_c)?),
            _ => Err(Fit::wrong("a Callendar-Van Dusen curve, a Steinhart-Hart thermistor or a deviation")),
        })
    }
}

/// Standard uncertainty, ohm, of a resistance that the fitted Callendar-Van Dusen curve gives at a temperature in °C.
///
/// Status: as calcore_fit_temperature_uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_resistance_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_ohm", u_ohm), || Ok(held(fit)?.cvd()?.resistance_uncertainty(t_c)?)) }
}

/// Ordinate of a fitted straight line at an abscissa with a standard uncertainty of its own (0 if exact), and the standard
/// uncertainty of the ordinate. ISO/TS 28037:2010, 11.2.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has no covariance;
/// CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_predict(
    fit: *const calcore_fit,
    x: f64,
    u_x: f64,
    y: *mut f64,
    u_y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("y", y), ("u_y", u_y), || Ok(held(fit)?.line()?.predict(x, u_x)?)) }
}

/// Abscissa at which a fitted straight line has an ordinate with a standard uncertainty of its own, and the standard
/// uncertainty of the abscissa. ISO/TS 28037:2010, 11.1.
///
/// Status: as calcore_fit_predict; CALCORE_E_UNDETERMINED for a horizontal line too.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_predict_inverse(
    fit: *const calcore_fit,
    y: f64,
    u_y: f64,
    x: *mut f64,
    u_x: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("x", x), ("u_x", u_x), || Ok(held(fit)?.line()?.predict_inverse(y, u_y)?)) }
}

/// Value of a fitted polynomial.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_value(
    fit: *const calcore_fit,
    x: f64,
    y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("y", y), || Ok(held(fit)?.polynomial()?.value(x)?)) }
}

/// Standard uncertainty of the value of a fitted polynomial, as far as its coefficients cause it.
///
/// Status: as calcore_fit_value; CALCORE_E_UNDETERMINED where the fit has no covariance.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_value_uncertainty(
    fit: *const calcore_fit,
    x: f64,
    u_y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_y", u_y), || Ok(held(fit)?.polynomial()?.value_uncertainty(x)?)) }
}
