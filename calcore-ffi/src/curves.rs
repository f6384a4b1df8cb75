//! Section "curves": what an element gives at a temperature, and the temperature that gives it.

use crate::array::map;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error};
use crate::record::Record;
use crate::status::*;
use calcore::Interval;
use calcore::curves::{CallendarVanDusen, Handling, Invalid, SensorCurve};

/// Flag of array functions: none; an element that is not finite or out of range fails the call, before any output.
pub const CALCORE_STRICT: i32 = 0;
/// Flag of array functions: an element that is not finite or out of range gives NaN in its place.
pub const CALCORE_INVALID_NAN: i32 = 1;
/// Flag of array functions: the equation is used beyond the range of the curve, as far as it means something.
pub const CALCORE_EXTRAPOLATE: i32 = 2;

/// Reads the flags of an array function.
pub(crate) fn handling(flags: i32) -> Result<Handling, Failure> {
    if flags & !(CALCORE_INVALID_NAN | CALCORE_EXTRAPOLATE) != 0 {
        return Err(Failure::option("flags", flags, "a sum of CALCORE_INVALID_NAN and CALCORE_EXTRAPOLATE"));
    }
    let invalid = if flags & CALCORE_INVALID_NAN != 0 { Invalid::Nan } else { Invalid::Raise };
    Ok(Handling { invalid, extrapolate: flags & CALCORE_EXTRAPOLATE != 0 })
}

/// Refuses an array before anything is written, at its first offending element.
fn check_all(range: Interval, values: &[f64]) -> Result<(), Failure> {
    if values.iter().fold(true, |all, &x| all & range.contains(x)) {
        return Ok(());
    }
    let mut outside = values.iter().enumerate().filter(|(_, x)| !range.contains(**x));
    let (index, value) = outside.next().map_or((0, f64::NAN), |(i, x)| (i, *x));
    Err(range.refusal(value).at_index(index, 1 + outside.count()).into())
}

/// What an array function asks of a curve.
pub(crate) enum Asked {
    Signal,
    Temperature,
    Slope,
}

/// One array function of one curve.
///
/// # Safety
/// Both pointers are to `n` doubles, or `n` is 0.
pub(crate) unsafe fn evaluate(
    curve: &dyn SensorCurve,
    asked: &Asked,
    names: (&str, &str),
    from: *const f64,
    n: usize,
    flags: i32,
    to: *mut f64,
) -> Result<(), Failure> {
    let handling = handling(flags)?;
    let range = match (asked, handling.extrapolate) {
        (Asked::Temperature, false) => curve.signal_range(),
        (Asked::Temperature, true) => curve.extrapolated_signal_range(),
        (_, false) => curve.range(),
        (_, true) => curve.extrapolation_range(),
    };
    let check = |values: &[f64]| match handling.invalid {
        Invalid::Raise => check_all(range, values),
        Invalid::Nan => Ok(()),
    };
    let kernel = |x: &[f64], y: &mut [f64]| match asked {
        Asked::Signal => curve.signal_slice(x, y, handling),
        Asked::Temperature => curve.temperature_slice(x, y, handling),
        Asked::Slope => curve.slope_slice(x, y, handling),
    };
    // SAFETY: as promised.
    unsafe { map(names, from, n, to, check, |x, y| kernel(x, y).map_err(Failure::from)) }
}

/// A platinum resistance thermometer by the Callendar-Van Dusen equation:
/// R(t) = R0 (1 + A t + B t^2 + C (t - 100) t^3), with C = 0 for t >= 0. IEC 60751:2022, clause 4.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_cvd_free.
pub struct calcore_cvd {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_cvd {
    type Held = CallendarVanDusen;
    const WHAT: &'static str = "calcore_cvd";
    const TAG: u64 = 0x6476_635f_6363_0001;
}

/// The numbers of a calcore_cvd.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_cvd_numbers {
    /// sizeof(calcore_cvd_numbers), set by the caller.
    pub size: usize,
    /// Resistance at 0 °C, ohm.
    pub r0: f64,
    /// Coefficient A, 1/K.
    pub a: f64,
    /// Coefficient B, 1/K^2.
    pub b: f64,
    /// Coefficient C, 1/K^4.
    pub c: f64,
    /// alpha = A + 100 B, 1/K.
    pub alpha: f64,
    /// delta = -1e4 B / alpha, °C.
    pub delta: f64,
    /// beta = -1e8 C / alpha, °C.
    pub beta: f64,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Lower end of the resistance over that range, ohm.
    pub low_ohm: f64,
    /// Upper end of the resistance over that range, ohm.
    pub high_ohm: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_cvd_numbers {
    const WHAT: &'static str = "calcore_cvd_numbers";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Makes a thermometer by its coefficients (ohm, 1/K, 1/K^2, 1/K^4) over the range of IEC 60751, -200 °C to 850 °C.
///
/// `*curve` receives a handle that the caller releases by calcore_cvd_free.
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless r0 and a are positive and the resistance rises over the
/// whole range.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_new(
    r0: f64,
    a: f64,
    b: f64,
    c: f64,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(CallendarVanDusen::new(r0, a, b, c)?)) }
}

/// Makes a thermometer by its coefficients over a range of its own, low_c to high_c, °C.
///
/// Ownership and status: as calcore_cvd_new; CALCORE_E_INVALID_VALUE too for an empty range or one below absolute zero.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_with_range(
    r0: f64,
    a: f64,
    b: f64,
    c: f64,
    low_c: f64,
    high_c: f64,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(CallendarVanDusen::with_range(r0, a, b, c, low_c, high_c)?)) }
}

/// Makes a thermometer of platinum by the coefficients of IEC 60751, of any resistance at 0 °C (ohm, positive).
///
/// Ownership and status: as calcore_cvd_new.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_iec60751(
    r0: f64,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(CallendarVanDusen::iec60751(r0)?)) }
}

/// Makes a thermometer by Callendar's and Van Dusen's constants: r0 in ohm, alpha in 1/K, delta and beta in °C
/// (A = alpha (1 + delta/100), B = -alpha delta 1e-4, C = -alpha beta 1e-8).
///
/// Ownership and status: as calcore_cvd_new.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_from_alpha_delta_beta(
    r0: f64,
    alpha: f64,
    delta: f64,
    beta: f64,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(CallendarVanDusen::from_alpha_delta_beta(r0, alpha, delta, beta)?)) }
}

/// Releases a thermometer. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_free(curve: *mut calcore_cvd) {
    // SAFETY: the contract of the header.
    unsafe { release(curve) }
}

/// The coefficients, derived constants and ranges of a thermometer. Set `numbers->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_describe(
    curve: *const calcore_cvd,
    numbers: *mut calcore_cvd_numbers,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let curve = held(curve)?;
            let (t, ohm) = (curve.range(), curve.signal_range());
            Ok(calcore_cvd_numbers {
                size: 0,
                r0: curve.r0(),
                a: curve.a(),
                b: curve.b(),
                c: curve.c(),
                alpha: curve.alpha(),
                delta: curve.delta(),
                beta: curve.beta(),
                low_c: t.low,
                high_c: t.high,
                low_ohm: ohm.low,
                high_ohm: ohm.high,
            })
        })
    }
}

/// Resistance at a temperature: t_c in °C within the range of the curve, `*ohm` in ohm.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_resistance(
    curve: *const calcore_cvd,
    t_c: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(held(curve)?.resistance(t_c)?)) }
}

/// Temperature that gives a resistance: ohm within the range of the curve, `*t_c` in °C, exact to the last bits.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_temperature(
    curve: *const calcore_cvd,
    ohm: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(held(curve)?.temperature(ohm)?)) }
}

/// Change of the resistance per kelvin at a temperature: t_c in °C within the range, `*ohm_per_k` in ohm/K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_slope(
    curve: *const calcore_cvd,
    t_c: f64,
    ohm_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm_per_k", ohm_per_k), || Ok(held(curve)?.slope(t_c)?)) }
}

/// Resistance at n temperatures. `flags`: CALCORE_STRICT, or a sum of CALCORE_INVALID_NAN and CALCORE_EXTRAPOLATE.
/// `ohm` may be `t_c` itself.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, both with the index of the first offending element and their
/// count, before anything is written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_resistance_array(
    curve: *const calcore_cvd,
    t_c: *const f64,
    n: usize,
    flags: i32,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || evaluate(held(curve)?, &Asked::Signal, ("t_c", "ohm"), t_c, n, flags, ohm)) }
}

/// Temperatures that give n resistances. Flags, aliasing and status: as calcore_cvd_resistance_array.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_temperature_array(
    curve: *const calcore_cvd,
    ohm: *const f64,
    n: usize,
    flags: i32,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || evaluate(held(curve)?, &Asked::Temperature, ("ohm", "t_c"), ohm, n, flags, t_c)) }
}

/// Slope at n temperatures, ohm/K. Flags, aliasing and status: as calcore_cvd_resistance_array.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_slope_array(
    curve: *const calcore_cvd,
    t_c: *const f64,
    n: usize,
    flags: i32,
    ohm_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || evaluate(held(curve)?, &Asked::Slope, ("t_c", "ohm_per_k"), t_c, n, flags, ohm_per_k)) }
}
