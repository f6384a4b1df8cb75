//! Section "fit": readings by a fitted thermometer, its band, its coefficients in the other form.

use super::kinds::*;
use crate::array::{Output, copy, input, output_of};
use crate::curves::calcore_cvd;
use crate::guard::{fill, give_two, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::record::records;
use crate::status::*;
use calcore::fit::CallendarVanDusenFit;
use calcore::num::covariance::Covariance;

/// The fit behind a handle, if it is one of a Callendar-Van Dusen curve.
///
/// # Safety
/// As [`held`].
pub(super) unsafe fn cvd_fit<'a>(fit: *const calcore_fit) -> Result<&'a CallendarVanDusenFit, Failure> {
    // SAFETY: as promised.
    unsafe { held(fit) }.and_then(Fit::cvd)
}

/// Temperature, °C, of a resistance (ohm) that has a standard uncertainty of its own (ohm), by a fitted Callendar-Van Dusen
/// curve, and the standard uncertainty of curve and resistance together, K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has
/// no covariance; CALCORE_E_HANDLE for another kind of fit, here and in the functions below.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_read(
    fit: *const calcore_fit,
    ohm: f64,
    u_ohm: f64,
    t_c: *mut f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("t_c", t_c), ("u_k", u_k), || {
            let found = cvd_fit(fit)?.read(ohm, u_ohm)?;
            Ok((found.value, found.standard_uncertainty))
        })
    }
}

/// What a transmitter set to `entered` reads from the fitted element at a temperature in °C, minus that temperature, K, and
/// the standard uncertainty of that error, K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_error_read_with(
    fit: *const calcore_fit,
    entered: *const calcore_cvd,
    t_c: f64,
    error_k: *mut f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("error_k", error_k), ("u_k", u_k), || {
            let found = cvd_fit(fit)?.error_read_with(held(entered)?, t_c)?;
            Ok((found.value, found.standard_uncertainty))
        })
    }
}

/// The band about a fitted Callendar-Van Dusen curve at `n` temperatures (°C), `coverage_factor` standard uncertainties wide
/// each way: resistance of the curve (ohm), half-widths in ohm and in kelvin. The outputs must not overlap the input.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_band(
    fit: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    coverage_factor: f64,
    ohm: *mut f64,
    half_width_ohm: *mut f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let band = cvd_fit(fit)?.band(input("t_c", t_c, n)?, coverage_factor)?;
            let (ohm, by_ohm, by_k) = (
                output_of("ohm", ohm, n)?,
                output_of("half_width_ohm", half_width_ohm, n)?,
                output_of("half_width_k", half_width_k, n)?,
            );
            for (i, point) in band.iter().enumerate() {
                ohm[i].write(point.ohm);
                by_ohm[i].write(point.half_width_ohm);
                by_k[i].write(point.half_width_k);
            }
            Ok(())
        })
    }
}

/// calcore_fit_temperature_uncertainty beyond the calibrated range, asked for by name. `*beyond` receives 1 if the
/// temperature lies beyond it, else 0.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_UNDETERMINED; CALCORE_E_OUT_OF_RANGE where the equation itself no longer rises.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_extrapolated_temperature_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_k: *mut f64,
    beyond: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (u, flag) = (Output::new("u_k", u_k)?, Output::new("beyond", beyond)?);
            let (value, warning) = cvd_fit(fit)?.extrapolated_temperature_uncertainty(t_c)?;
            u.set(value);
            flag.set(i32::from(warning.is_some()));
            Ok(())
        })
    }
}

/// Covariance, K^2, of the temperatures that a fitted Callendar-Van Dusen curve reads at `n` temperatures (°C), row by row:
/// points on one curve share its errors. `n_values`: room in `values`, n x n. The two must not overlap.
///
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_temperature_covariance(
    fit: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    values: *mut f64,
    n_values: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let covariance = cvd_fit(fit)?.temperature_covariance(input("t_c", t_c, n)?)?;
            copy("values", covariance.values(), values, n_values)
        })
    }
}

/// R0, alpha, delta and beta of a fitted curve with their covariance.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_alpha_delta_beta {
    /// sizeof(calcore_alpha_delta_beta), set by the caller.
    pub size: usize,
    /// R0, ohm.
    pub r0: f64,
    /// alpha, 1/K.
    pub alpha: f64,
    /// delta, °C.
    pub delta: f64,
    /// beta, °C.
    pub beta: f64,
    /// Covariance of (r0, alpha, delta, beta), row by row; NaN where the fit has none.
    pub covariance: [f64; 16],
}

records!(calcore_alpha_delta_beta);

/// A covariance of (r0, a, b, c) as 16 numbers; NaN where there is none.
pub(crate) fn sixteen(covariance: Option<&Covariance>) -> [f64; 16] {
    let mut numbers = [f64::NAN; 16];
    if let Some(matrix) = covariance {
        for (place, value) in numbers.iter_mut().zip(matrix.values()) {
            *place = *value;
        }
    }
    numbers
}

/// alpha, delta and beta of a fitted Callendar-Van Dusen curve with their covariance. Set `numbers->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_alpha_delta_beta(
    fit: *const calcore_fit,
    numbers: *mut calcore_alpha_delta_beta,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let found = cvd_fit(fit)?.alpha_delta_beta();
            Ok(calcore_alpha_delta_beta {
                size: 0,
                r0: found.r0,
                alpha: found.alpha,
                delta: found.delta,
                beta: found.beta,
                covariance: sixteen(found.covariance.as_ref()),
            })
        })
    }
}
