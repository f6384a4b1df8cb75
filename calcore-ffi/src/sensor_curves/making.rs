//! Section "sensor curves": how each kind is made.

use super::curve::{Curve, calcore_curve};
use crate::array::input;
use crate::curves::calcore_cvd;
use crate::guard::{give, make};
use crate::handle::held;
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::curves::*;
use calcore::its90::Subrange;
use std::ffi::c_char;

/// Between the rows of a table: straight lines.
pub const CALCORE_LINEAR: i32 = 0;

/// Between the rows of a table: cubic pieces with a continuous slope that never turn between two rows.
pub const CALCORE_MONOTONE_CUBIC: i32 = 1;

/// Makes a curve of a Callendar-Van Dusen thermometer, which is copied and stays the caller's.
///
/// `*curve` receives a handle that the caller releases by calcore_curve_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_from_cvd(
    cvd: *const calcore_cvd,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Cvd(*held(cvd)?))) }
}

/// Makes a resistance thermometer of platinum, copper or nickel by the name of its standard and its resistance at 0 °C, ohm.
///
/// Names: "iec60751_pt385", "astm_e1137_pt385", "gost6651_pt385", "gost6651_pt391", "gost6651_cu428", "gost6651_cu426",
/// "gost6651_ni617", "din43760_ni618"; handbook sets that could not be traced to a standard: "jis_pt3916",
/// "handbook_pt3911", "handbook_pt3923", "handbook_pt3926", "handbook_pt3928", "handbook_pt3750".
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_standard(
    name: *const c_char,
    r0: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || Ok(Curve::Polynomial(PolynomialRtd::standard(read_name("name", name)?, r0)?)))
    }
}

/// Makes a resistance thermometer R(t) = r0 (1 + a_1 t + a_2 t^2 + ...) by `n` coefficients (1 to 6; 1/K, 1/K^2, ...) over
/// a range, °C.
///
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE, CALCORE_E_LENGTH_MISMATCH;
/// CALCORE_E_INVALID_VALUE unless r0 is positive and the resistance is positive and rises over the whole range.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_new(
    r0: f64,
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
            Ok(Curve::Polynomial(PolynomialRtd::new(r0, input("coefficients", coefficients, n)?, low_c, high_c)?))
        })
    }
}

/// Makes a resistance thermometer by two polynomials that meet at joint_c, °C, which belongs to the upper one.
///
/// Coefficients, ownership and status: as calcore_polynomial_rtd_new; CALCORE_E_INVALID_VALUE too when the two do not meet.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_piecewise(
    r0: f64,
    joint_c: f64,
    below: *const f64,
    n_below: usize,
    above: *const f64,
    n_above: usize,
    low_c: f64,
    high_c: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || {
            let (below, above) = (input("below", below, n_below)?, input("above", above, n_above)?);
            Ok(Curve::Polynomial(PolynomialRtd::piecewise(r0, joint_c, below, above, low_c, high_c)?))
        })
    }
}

/// Makes a platinum thermometer on the ITS-90 by its resistance at the triple point of water, ohm, its sub-range (section
/// of the scale, "3.3.1" to "3.3.3", such as "3.3.2.2", or its number "1" to "11") and the `n` coefficients of its
/// deviation function. H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
///
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_LENGTH_MISMATCH,
/// CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_sprt_new(
    r_tpw: f64,
    subrange: *const c_char,
    coefficients: *const f64,
    n: usize,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || {
            let subrange = Subrange::from_name(read_name("subrange", subrange)?)?;
            Ok(Curve::Sprt(Sprt::new(r_tpw, subrange, input("coefficients", coefficients, n)?)?))
        })
    }
}

/// Makes a thermistor by 1/T = a + b ln R + c (ln R)^3 (T in kelvin, R in ohm), over -100 °C to 325 °C.
///
/// Ownership and status: as calcore_steinhart_hart_with_range.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_steinhart_hart_new(
    a: f64,
    b: f64,
    c: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::SteinhartHart(SteinhartHart::new(a, b, c)?))) }
}

/// Makes a thermistor by 1/T = a0 + a1 ln R + a2 (ln R)^2 + a3 (ln R)^3 over a range of its own, °C.
///
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty range, and when
/// 1/T does not rise with ln R over it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_steinhart_hart_with_range(
    a0: f64,
    a1: f64,
    a2: f64,
    a3: f64,
    low_c: f64,
    high_c: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || {
            Ok(Curve::SteinhartHart(SteinhartHart::with_range(a0, a1, a2, a3, low_c, high_c)?))
        })
    }
}

/// Makes a thermistor by R = r25 exp(beta (1/T - 1/298.15 K)): ohm and kelvin, over -100 °C to 325 °C.
///
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_beta_thermistor_new(
    r25: f64,
    beta: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Beta(BetaThermistor::new(r25, beta)?))) }
}

/// The same over a range of its own, °C.
///
/// Ownership and status: as calcore_beta_thermistor_new.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_beta_thermistor_with_range(
    r25: f64,
    beta: f64,
    low_c: f64,
    high_c: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Beta(BetaThermistor::with_range(r25, beta, low_c, high_c)?))) }
}

/// Beta of a thermistor by two points, K: ln(R1/R2) / (1/T1 - 1/T2), temperatures in °C, resistances in ohm.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the resistances are positive and the temperatures differ.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_beta_from_points(
    t1_c: f64,
    ohm1: f64,
    t2_c: f64,
    ohm2: f64,
    beta: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("beta", beta), || Ok(BetaThermistor::beta_from_points((t1_c, ohm1), (t2_c, ohm2))?)) }
}

/// Makes a curve by the `n` rows of a table, in rising or falling order of temperature, °C; the signal in any unit.
/// `interpolation`: CALCORE_LINEAR or CALCORE_MONOTONE_CUBIC. The rows are copied.
///
/// Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_TOO_FEW_POINTS for fewer than two rows, CALCORE_E_NOT_FINITE,
/// CALCORE_E_INVALID_VALUE where the temperature or the signal does not go on in one direction.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tabulated_curve_new(
    t_c: *const f64,
    signal: *const f64,
    n: usize,
    interpolation: i32,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || {
            let (t_c, signal) = (input("t_c", t_c, n)?, input("signal", signal, n)?);
            let interpolation = match interpolation {
                CALCORE_LINEAR => Interpolation::Linear,
                CALCORE_MONOTONE_CUBIC => Interpolation::MonotoneCubic,
                other => {
                    return Err(Failure::option("interpolation", other, "CALCORE_LINEAR or CALCORE_MONOTONE_CUBIC"));
                }
            };
            Ok(Curve::Table(TabulatedCurve::new(t_c, signal, interpolation)?))
        })
    }
}
