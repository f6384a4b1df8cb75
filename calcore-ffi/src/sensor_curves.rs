//! Section "sensor curves": every kind of curve behind one handle, with the same words for all.

use crate::array::input;
use crate::curves::{Asked, calcore_cvd, evaluate};
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::Record;
use crate::status::*;
use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Interpolation, PolynomialRtd, SensorCurve, Sprt, StandardFit, SteinhartHart,
    TabulatedCurve, Thermocouple, likely_standard, rtd_standard_names,
};
use calcore::its90::Subrange;
use std::ffi::c_char;

/// Between the rows of a table: straight lines.
pub const CALCORE_LINEAR: i32 = 0;
/// Between the rows of a table: cubic pieces with a continuous slope that never turn between two rows.
pub const CALCORE_MONOTONE_CUBIC: i32 = 1;

/// A sensor curve of any kind: what an element gives at a temperature, and the temperature that gives it. The signal is
/// a resistance in ohm, for a thermocouple an emf in mV, or for a table what its rows are.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_curve_free.
pub struct calcore_curve {
    _opaque: [u8; 0],
}

/// The kinds of curve behind the handle.
pub(crate) enum Curve {
    Cvd(CallendarVanDusen),
    Polynomial(PolynomialRtd),
    Sprt(Sprt),
    SteinhartHart(SteinhartHart),
    Beta(BetaThermistor),
    Table(TabulatedCurve),
    Thermocouple(Thermocouple),
}

impl Curve {
    pub(crate) fn sensor(&self) -> &dyn SensorCurve {
        match self {
            Self::Cvd(curve) => curve,
            Self::Polynomial(curve) => curve,
            Self::Sprt(curve) => curve,
            Self::SteinhartHart(curve) => curve,
            Self::Beta(curve) => curve,
            Self::Table(curve) => curve,
            Self::Thermocouple(curve) => curve,
        }
    }
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_curve {
    type Held = Curve;
    const WHAT: &'static str = "calcore_curve";
    const TAG: u64 = 0x7672_635f_6363_0006;
}

/// The ranges of a curve.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_curve_range {
    /// sizeof(calcore_curve_range), set by the caller.
    pub size: usize,
    /// Lower end of the temperatures in which the curve holds, °C.
    pub low_c: f64,
    /// Upper end of them, °C.
    pub high_c: f64,
    /// Least signal over that range.
    pub low_signal: f64,
    /// Largest signal over that range.
    pub high_signal: f64,
    /// Lower end of how far an extrapolation may go, °C.
    pub extrapolation_low_c: f64,
    /// Upper end of how far an extrapolation may go, °C.
    pub extrapolation_high_c: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_curve_range {
    const WHAT: &'static str = "calcore_curve_range";
    const FIRST_SIZE: usize = size_of::<Self>();
}

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
/// "handbook_pt3911", "handbook_pt3923", "handbook_pt3926", "handbook_pt3750".
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

/// Releases a curve. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_free(curve: *mut calcore_curve) {
    // SAFETY: the contract of the header.
    unsafe { release(curve) }
}

/// The ranges of a curve. Set `range->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_describe(
    curve: *const calcore_curve,
    range: *mut calcore_curve_range,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, range, || {
            let curve = held(curve)?.sensor();
            let (t, signal, beyond) = (curve.range(), curve.signal_range(), curve.extrapolation_range());
            Ok(calcore_curve_range {
                size: 0,
                low_c: t.low,
                high_c: t.high,
                low_signal: signal.low,
                high_signal: signal.high,
                extrapolation_low_c: beyond.low,
                extrapolation_high_c: beyond.high,
            })
        })
    }
}

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

/// What readings say about the material of an element.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_likely {
    /// sizeof(calcore_likely), set by the caller.
    pub size: usize,
    /// Largest error of the readings by the assumed thermometer, K; NaN if one lies outside its range.
    pub assumed_error_k: f64,
    /// Largest error by the best of all thermometers, K; NaN if none holds every reading.
    pub best_error_k: f64,
    /// Place of the better thermometer in the list of calcore_polynomial_rtd_name, if the assumed one does not fit within
    /// the tolerance and another does; else -1.
    pub suspect: i64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_likely {
    const WHAT: &'static str = "calcore_likely";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Compares resistances of an element at n known temperatures (°C, ohm) with every named thermometer. `r0`: resistance at
/// 0 °C, ohm; `assumed`: name of the thermometer that the transmitter is set to; `tolerance_k`: largest error that still
/// counts as a fit, K. A finding is a hypothesis, not a verdict. Set `likely->size` first.
///
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_likely_standard(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    r0: f64,
    assumed: *const c_char,
    tolerance_k: f64,
    likely: *mut calcore_likely,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, likely, || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let found = likely_standard(t_c, ohm, r0, read_name("assumed", assumed)?, tolerance_k)?;
            let place = |fit: StandardFit| rtd_standard_names().into_iter().position(|name| name == fit.name);
            Ok(calcore_likely {
                size: 0,
                assumed_error_k: found.assumed.map_or(f64::NAN, |fit| fit.error_k),
                best_error_k: found.fits.first().map_or(f64::NAN, |fit| fit.error_k),
                suspect: found.suspect.and_then(place).map_or(-1, |place| place as i64),
            })
        })
    }
}

/// Name of a thermometer that calcore_polynomial_rtd_standard knows, by its place, counted from 0.
///
/// `*needed` receives the bytes that the name takes with its zero byte; `buffer` may be null to ask for that alone.
/// Status: CALCORE_E_INDEX beyond the last, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_name(
    place: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let name = || {
                rtd_standard_names()
                    .into_iter()
                    .nth(place)
                    .ok_or_else(|| Failure::border(CALCORE_E_INDEX, format!("there is no thermometer {place}")))
            };
            write_text(name, buffer, capacity, needed)
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
