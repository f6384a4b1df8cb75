//! Section "sensor curves": signal, temperature and slope, with the same words for all kinds.

use super::curve::{Curve, calcore_curve};
use crate::curves::{Asked, evaluate};
use crate::guard::{give, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::status::*;

/// Signal of a curve at a temperature in °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_signal(
    curve: *const calcore_curve,
    t_c: f64,
    signal: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("signal", signal), || Ok(held(curve)?.sensor().signal(t_c)?)) }
}

/// Temperature that gives a signal, °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_temperature(
    curve: *const calcore_curve,
    signal: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(held(curve)?.sensor().temperature(signal)?)) }
}

/// Temperature by the approximate inverse that the standard of a resistance thermometer publishes, °C; exact where its
/// equation has a closed inverse. For comparison with instruments that use it: calcore_curve_temperature is exact.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNKNOWN_NAME for a curve without one.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_temperature_approximate(
    curve: *const calcore_curve,
    ohm: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("t_c", t_c), || match held(curve)? {
            Curve::Polynomial(curve) => Ok(curve.temperature_approximate(ohm)?),
            Curve::Thermocouple(curve) => Ok(curve.temperature_approximate(ohm)?),
            _ => Err(calcore::Error::UnknownName {
                what: "published approximate inverse",
                name: "of this curve".into(),
                expected: "a curve by calcore_polynomial_rtd_standard or calcore_curve_from_thermocouple".into(),
            }
            .into()),
        })
    }
}

/// Change of the signal per kelvin at a temperature in °C; negative for a thermistor.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_slope(
    curve: *const calcore_curve,
    t_c: f64,
    signal_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("signal_per_k", signal_per_k), || Ok(held(curve)?.sensor().slope(t_c)?)) }
}

/// Signal at n temperatures. Flags, aliasing and status: as calcore_cvd_resistance_array.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_signal_array(
    curve: *const calcore_curve,
    t_c: *const f64,
    n: usize,
    flags: i32,
    signal: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || evaluate(held(curve)?.sensor(), &Asked::Signal, ("t_c", "signal"), t_c, n, flags, signal)) }
}

/// Temperatures that give n signals. Flags, aliasing and status: as calcore_cvd_resistance_array.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_temperature_array(
    curve: *const calcore_curve,
    signal: *const f64,
    n: usize,
    flags: i32,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || evaluate(held(curve)?.sensor(), &Asked::Temperature, ("signal", "t_c"), signal, n, flags, t_c))
    }
}

/// Change of the signal per kelvin at n temperatures. Flags, aliasing and status: as calcore_cvd_resistance_array.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_slope_array(
    curve: *const calcore_curve,
    t_c: *const f64,
    n: usize,
    flags: i32,
    signal_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            evaluate(held(curve)?.sensor(), &Asked::Slope, ("t_c", "signal_per_k"), t_c, n, flags, signal_per_k)
        })
    }
}

/// Ratio W = R(T)/R(273.16 K) of a thermometer made by calcore_sprt_new, at a temperature in °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_HANDLE for another kind of curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_sprt_ratio(
    curve: *const calcore_curve,
    t_c: f64,
    w: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("w", w), || match held(curve)? {
            Curve::Sprt(sprt) => Ok(sprt.ratio(t_c)?),
            _ => Err(Failure::border(CALCORE_E_HANDLE, "the curve was not made by calcore_sprt_new".into())),
        })
    }
}
