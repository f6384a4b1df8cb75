//! Section "sensor curves": the numbers of a curve, as a certificate states them, and what its sub-range asks for.

use super::curve::{Curve, calcore_curve};
use crate::array::{Output, copy};
use crate::guard::{fill, give_two, guard};
use crate::handle::held;
use crate::its90::{calcore_acceptance, outcome_of};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::records;
use crate::status::*;
use calcore::curves::Sprt;
use calcore::its90::Subrange;
use std::ffi::c_char;

/// The coefficients of a curve: r0, a, b, c (Callendar-Van Dusen); r_tpw and those of the deviation (ITS-90); a0, a1, a2, a3
/// (Steinhart-Hart); r25, beta (thermistor); those of the deviation, from the constant on (corrected curve).
///
/// `*count` receives how many there are, whatever `n` is. `values`: room for `n` numbers, or null with 0 to ask for that alone.
/// Status: CALCORE_E_LENGTH_MISMATCH; CALCORE_E_HANDLE for a kind of curve that is a table of its own.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_coefficients(
    curve: *const calcore_curve,
    values: *mut f64,
    n: usize,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let count = Output::new("count", count)?;
            let numbers = match held(curve)? {
                Curve::Cvd(c) => vec![c.r0(), c.a(), c.b(), c.c()],
                Curve::Sprt(c) => std::iter::once(c.r_tpw()).chain(c.coefficients().iter().copied()).collect(),
                Curve::SteinhartHart(c) => c.coefficients().to_vec(),
                Curve::Beta(c) => vec![c.r25(), c.beta()],
                Curve::Corrected(c) => c.coefficients().to_vec(),
                Curve::Polynomial(_) | Curve::Table(_) | Curve::Thermocouple(_) => {
                    let message = "a table or a curve of a standard has no coefficients of its own";
                    return Err(Failure::border(CALCORE_E_HANDLE, message.into()));
                }
            };
            count.set(numbers.len());
            if values.is_null() && n == 0 { Ok(()) } else { copy("values", &numbers, values, n) }
        })
    }
}

/// What a resistance thermometer by a polynomial is.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_polynomial_rtd_numbers {
    /// sizeof(calcore_polynomial_rtd_numbers), set by the caller.
    pub size: usize,
    /// Resistance at 0 °C, ohm.
    pub r0: f64,
    /// (R(100 °C) - R0) / (100 K R0), 1/K.
    pub alpha: f64,
    /// Where the slope has a step, °C; NaN where it has none.
    pub kink_c: f64,
}

/// A sub-range of the ITS-90.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_subrange {
    /// sizeof(calcore_subrange), set by the caller.
    pub size: usize,
    /// Lower end, K.
    pub low_k: f64,
    /// Upper end, K.
    pub high_k: f64,
    /// Coefficients of its deviation function, without the ratio at aluminium.
    pub coefficients: usize,
    /// Fixed points at which it is calibrated, the triple point of water left out.
    pub points: usize,
    /// 1 if the ratio at aluminium follows the coefficients, else 0.
    pub needs_aluminium: i32,
    /// Its number in the scale's own table of sub-ranges.
    pub number: i32,
}

records!(calcore_polynomial_rtd_numbers, calcore_subrange);

/// r0, alpha and kink of a resistance thermometer by a polynomial. Set `numbers->size` first.
///
/// Status: CALCORE_E_HANDLE for another kind of curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_polynomial_rtd_describe(
    curve: *const calcore_curve,
    numbers: *mut calcore_polynomial_rtd_numbers,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let Curve::Polynomial(c) = held(curve)? else {
                return Err(Failure::border(CALCORE_E_HANDLE, "the curve is not a polynomial thermometer".into()));
            };
            let kink_c = c.kink_c().unwrap_or(f64::NAN);
            Ok(calcore_polynomial_rtd_numbers { size: 0, r0: c.r0(), alpha: c.alpha(), kink_c })
        })
    }
}

/// # Safety
/// As [`held`].
unsafe fn sprt<'a>(curve: *const calcore_curve) -> Result<&'a Sprt, Failure> {
    // SAFETY: as promised.
    match unsafe { held(curve) }? {
        Curve::Sprt(sprt) => Ok(sprt),
        _ => Err(Failure::border(CALCORE_E_HANDLE, "the curve is not a thermometer of the ITS-90".into())),
    }
}

/// Value and slope (per unit of W) of the deviation function W - W_r of a thermometer of the ITS-90 at a ratio W.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a ratio that no temperature of the sub-range has; CALCORE_E_HANDLE
/// for another kind of curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_sprt_deviation(
    curve: *const calcore_curve,
    w: f64,
    deviation: *mut f64,
    slope: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("deviation", deviation), ("slope", slope), || Ok(sprt(curve)?.deviation_at(w)?)) }
}

/// calcore_its90_acceptance by the ratios that a thermometer's own coefficients give, as far as its range holds the points.
/// Set `outcome->size` first.
///
/// Status: as calcore_its90_acceptance; CALCORE_E_HANDLE for another kind of curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_sprt_acceptance(
    curve: *const calcore_curve,
    outcome: *mut calcore_acceptance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { fill(err, outcome, || Ok(outcome_of(&sprt(curve)?.acceptance()?))) }
}

/// Text of a sub-range: its name, the section of the scale that defines it ("3.3.1.1" and so on).
pub const CALCORE_SUBRANGE_NAME: i32 = 0;
/// Text of a sub-range: name of coefficient i.
pub const CALCORE_SUBRANGE_COEFFICIENT: i32 = 1;
/// Text of a sub-range: fixed point i at which it is calibrated.
pub const CALCORE_SUBRANGE_POINT: i32 = 2;

/// A sub-range of the ITS-90 by its place, counted from 0, so that a list can be shown. Set `subrange->size` first.
///
/// Status: CALCORE_E_INDEX beyond the last.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_subrange(
    place: usize,
    subrange: *mut calcore_subrange,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, subrange, || {
            let s = Subrange::all()
                .nth(place)
                .ok_or_else(|| Failure::index("sub-range", place, Subrange::all().count()))?;
            let range = s.range_k();
            Ok(calcore_subrange {
                size: 0,
                low_k: range.low,
                high_k: range.high,
                coefficients: s.coefficient_names().len(),
                points: s.points().len(),
                needs_aluminium: i32::from(s.needs_aluminium()),
                number: i32::from(s.number()),
            })
        })
    }
}

/// Place of the sub-range with a name, as calcore_sprt_new takes it. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_find_subrange(
    name: *const c_char,
    place: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        crate::guard::give(err, ("place", place), || {
            let asked = Subrange::from_name(read_name("name", name)?)?;
            let found = Subrange::all().position(|s| s.section() == asked.section());
            found.ok_or_else(|| Failure::index("sub-range", 0, 0))
        })
    }
}

/// A text of the sub-range at a place. `what`: one of the CALCORE_SUBRANGE_ numbers.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_subrange_text(
    place: usize,
    what: i32,
    i: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || {
                let count = Subrange::all().count();
                let s = Subrange::all().nth(place).ok_or_else(|| Failure::index("sub-range", place, count))?;
                let one = |what, list: &'static [&'static str]| {
                    list.get(i).copied().ok_or_else(|| Failure::index(what, i, list.len()))
                };
                match what {
                    CALCORE_SUBRANGE_NAME => Ok(s.section()),
                    CALCORE_SUBRANGE_COEFFICIENT => one("coefficient", s.coefficient_names()),
                    CALCORE_SUBRANGE_POINT => one("fixed point", s.points()),
                    other => Err(Failure::option("what", other, "one of the CALCORE_SUBRANGE_ numbers")),
                }
            };
            write_text(text, buffer, capacity, needed)
        })
    }
}
