//! Section "fit": the deviation of an individual sensor from its reference curve.

use super::kinds::*;
use super::options::*;
use crate::array::input;
use crate::guard::make;
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::sensor_curves::curve::{Curve, calcore_curve};
use crate::status::*;
use calcore::fit::{CorrectedCurve, DeviationOptions, deviation};

/// Fits signal(t) - reference(t) = c1 t + ... + cd t^d to `n` temperatures (°C) and signals in the unit of the curve: a
/// thermocouple beside its table (emf in mV, reference junction at 0 °C), or any sensor beside its standard curve. Held at
/// zero at 0 °C, unless `free_at_zero` is 1, which adds c0. Degree: up to 8.
///
/// The parameters are the fitted coefficients; the curve (calcore_fit_curve) holds from the first to the last point, and from
/// 0 °C if the deviation is held there. Options, ownership and status: as calcore_fit_callendar_van_dusen (`fixed` is refused);
/// CALCORE_E_OUT_OF_RANGE for a temperature outside the reference curve. EURAMET cg-8; common practice for the degree.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_deviation(
    reference: *const calcore_curve,
    t_c: *const f64,
    signal: *const f64,
    n: usize,
    degree: usize,
    free_at_zero: i32,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let reference = held(reference)?;
            let (t_c, signal) = (input("t_c", t_c, n)?, input("signal", signal, n)?);
            let o = Options::read(options, n)?;
            o.without_held()?;
            let free_at_zero = match free_at_zero {
                0 => false,
                1 => true,
                other => return Err(Failure::option("free_at_zero", other, "0 or 1")),
            };
            let options = DeviationOptions {
                u_t: o.u_x,
                u_signal: o.u_y,
                u_t_common: o.u_x_common,
                u_signal_common: o.u_y_common,
                covariance_t: o.covariance_x,
                covariance_signal: o.covariance_y,
                free_at_zero,
                robust: o.robust,
                covariance_basis: o.covariance_basis,
            };
            let fit = deviation(reference, t_c, signal, degree, &options)?;
            Ok(Fit::Deviation { fit: Box::new(fit), first: usize::from(!free_at_zero) })
        })
    }
}

/// The curve of an individual sensor: signal = reference(t) + sum of coefficients[k] t^k over a range in °C, `n` coefficients.
/// The reference is copied and stays the caller's.
///
/// `*curve` receives a handle that the caller releases by calcore_curve_free.
/// Status: CALCORE_E_INVALID_VALUE where the signal does not change steadily over the range.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_corrected_curve_new(
    reference: *const calcore_curve,
    coefficients: *const f64,
    n: usize,
    low_c: f64,
    high_c: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || {
            let coefficients = input("coefficients", coefficients, n)?;
            for (index, value) in coefficients.iter().enumerate() {
                if !value.is_finite() {
                    let what = "coefficient of the deviation";
                    let error = calcore::Error::NotFinite { what, value: *value, position: None };
                    return Err(error.at_index(index, 1).into());
                }
            }
            Ok(Curve::Corrected(Box::new(CorrectedCurve::new(held(reference)?.clone(), coefficients, low_c, high_c)?)))
        })
    }
}
