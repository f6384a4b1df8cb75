//! Section "fit": from points with uncertainties to a curve, a line or a polynomial with its covariance.

use super::kinds::*;
use super::options::*;
use crate::array::input;
use crate::guard::make;
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::fit::*;
use calcore::its90::Subrange;
use std::ffi::c_char;

/// The coefficients that are held.
pub(super) fn fixed_coefficients(o: &Options) -> Result<FixedCoefficients, Failure> {
    let [r0, a, b, c] = o.held()?;
    Ok(FixedCoefficients { r0, a, b, c })
}

/// All options but what is held.
pub(super) fn callendar_van_dusen_options<'a>(o: &Options<'a>) -> Result<CallendarVanDusenOptions<'a>, Failure> {
    o.without_cross()?;
    Ok(CallendarVanDusenOptions {
        u_t: o.u_x,
        u_ohm: o.u_y,
        u_t_common: o.u_x_common,
        u_ohm_common: o.u_y_common,
        covariance_t: o.covariance_x,
        covariance_ohm: o.covariance_y,
        fixed: FixedCoefficients::default(),
        covariance_basis: o.covariance_basis,
        robust: o.robust,
    })
}

/// Fits R0, A, B and C of a platinum thermometer to `n` temperatures (°C) and resistances (ohm), with errors in both
/// variables. IEC 60751:2022, clause 4; ISO/TS 28037:2010. C needs points below 0 °C: without any it is held at the value
/// of the standard, with a warning.
///
/// `options`: null means nothing stated and nothing held. `*fit` receives a handle that the caller releases by
/// calcore_fit_free.
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_POSITIVE_DEFINITE,
/// CALCORE_E_TOO_FEW_POINTS, CALCORE_E_UNDETERMINED, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_callendar_van_dusen(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let o = Options::read(options, n)?;
            let options =
                CallendarVanDusenOptions { fixed: fixed_coefficients(&o)?, ..callendar_van_dusen_options(&o)? };
            Ok(Fit::Cvd(callendar_van_dusen(t_c, ohm, &options)?))
        })
    }
}

/// Fits y = intercept + slope x to `n` points with errors in either or both variables. ISO/TS 28037:2010.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_straight_line(
    x: *const f64,
    y: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (x, y) = (input("x", x, n)?, input("y", y, n)?);
            let o = Options::read(options, n)?;
            let [fixed_intercept, fixed_slope] = o.held()?;
            let options = StraightLineOptions {
                u_x: o.u_x,
                u_y: o.u_y,
                u_x_common: o.u_x_common,
                u_y_common: o.u_y_common,
                covariance_x: o.covariance_x,
                covariance_y: o.covariance_y,
                covariance_xy: o.covariance_xy,
                fixed_intercept,
                fixed_slope,
                covariance_basis: o.covariance_basis,
                robust: o.robust,
            };
            Ok(Fit::Line(straight_line(x, y, &options)?))
        })
    }
}

/// Fits a polynomial of the given degree to `n` points.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_polynomial(
    x: *const f64,
    y: *const f64,
    n: usize,
    degree: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (x, y) = (input("x", x, n)?, input("y", y, n)?);
            let o = Options::read(options, n)?;
            o.without_cross()?;
            let options = PolynomialOptions {
                u_x: o.u_x,
                u_y: o.u_y,
                u_x_common: o.u_x_common,
                u_y_common: o.u_y_common,
                covariance_x: o.covariance_x,
                covariance_y: o.covariance_y,
                fixed_lowest: o.fixed,
                covariance_basis: o.covariance_basis,
                robust: o.robust,
            };
            Ok(Fit::Polynomial(polynomial(x, y, degree, &options)?))
        })
    }
}

/// Fits the equation of Steinhart and Hart to `n` temperatures (°C) and resistances (ohm). `terms`: 3 (the original, without
/// the quadratic term) or 4. Covariances in the options are refused.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_steinhart_hart(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    terms: i32,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let terms = match terms {
                3 => SteinhartHartTerms::Three,
                4 => SteinhartHartTerms::Four,
                other => return Err(Failure::option("terms", other, "3 or 4")),
            };
            Ok(Fit::SteinhartHart(steinhart_hart(t_c, ohm, terms, &Options::read(options, n)?.thermistor()?)?))
        })
    }
}

/// Fits resistance at 25 °C and beta of a thermistor to `n` temperatures (°C) and resistances (ohm). Covariances in the
/// options are refused.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_beta(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            Ok(Fit::Beta(beta(t_c, ohm, &Options::read(options, n)?.thermistor()?)?))
        })
    }
}

/// Fits the deviation function of a sub-range of the ITS-90 to `n` temperatures (kelvin) and ratios W. Sub-ranges: as
/// calcore_sprt_new.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen; CALCORE_E_UNKNOWN_NAME, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_its90_deviation(
    t_k: *const f64,
    w: *const f64,
    n: usize,
    subrange: *const c_char,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_k, w) = (input("t_k", t_k, n)?, input("w", w, n)?);
            let subrange = Subrange::from_name(read_name("subrange", subrange)?)?;
            let o = Options::read(options, n)?;
            o.without_held()?;
            let options = Its90DeviationOptions {
                u_t: o.u_x,
                u_w: o.u_y,
                u_t_common: o.u_x_common,
                u_w_common: o.u_y_common,
                covariance_t: o.covariance_x,
                covariance_w: o.covariance_y,
                robust: o.robust,
                covariance_basis: o.covariance_basis,
            };
            Ok(Fit::Its90(its90_deviation(t_k, w, subrange, &options)?))
        })
    }
}
