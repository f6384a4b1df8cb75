//! Section "tolerance": how far an error may go, as a function of temperature.

use super::classes::{class_of, construction_of};
use crate::array::{Output, input};
use crate::guard::{give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::tolerance::*;
use std::ffi::c_char;

/// How far an error may go, as a function of temperature: absolute, by span, by reading, by a class, and sums and
/// maxima of these. A limit for an error, not an uncertainty.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_tolerance_free.
pub struct calcore_tolerance {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_tolerance {
    type Held = Tolerance;
    const WHAT: &'static str = "calcore_tolerance";
    const TAG: u64 = 0x6c6f_745f_6363_0002;
}

/// Makes a tolerance only if it can be evaluated somewhere: its numbers are checked now and not at its first use.
fn checked(tolerance: Tolerance) -> Result<Tolerance, Failure> {
    let t_c = match &tolerance {
        Tolerance::Iec60751 { class, construction } => iec60751_range(class, *construction)?.low,
        Tolerance::Iec60584 { letter, class } => iec60584_range(letter, *class)?.low,
        Tolerance::AstmE230 { letter, limits } => astm_e230_range(letter, limits)?.low,
        _ => 0.0,
    };
    tolerance.limits(t_c)?;
    Ok(tolerance)
}

/// Makes a tolerance that is the same at every temperature: half-width in K, not negative.
///
/// `*tolerance` receives a handle that the caller releases by calcore_tolerance_free.
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_absolute(
    half_width_k: f64,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || checked(Tolerance::Absolute { half_width_k })) }
}

/// Makes a tolerance that is not the same below as above: most negative error (zero or negative) and most positive
/// error (zero or positive) allowed, K.
///
/// Ownership and status: as calcore_tolerance_new_absolute.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_asymmetric(
    lower_k: f64,
    upper_k: f64,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || checked(Tolerance::Asymmetric { lower_k, upper_k })) }
}

/// Makes a tolerance of a percentage (not negative) of the span between the two ends of a range, °C.
///
/// Ownership and status: as calcore_tolerance_new_absolute; CALCORE_E_INVALID_VALUE too for an empty span.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_percent_of_span(
    percent: f64,
    low_c: f64,
    high_c: f64,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || checked(Tolerance::PercentOfSpan { percent, low_c, high_c })) }
}

/// Makes a tolerance of a percentage (not negative) of the reading: percent |t| / 100 with t in °C.
///
/// Ownership and status: as calcore_tolerance_new_absolute.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_percent_of_reading(
    percent: f64,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || checked(Tolerance::PercentOfReading { percent })) }
}

/// Makes a tolerance by a class of IEC 60751. Names and construction: as calcore_tolerance_iec60751.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_iec60751(
    class_name: *const c_char,
    construction: i32,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("tolerance", tolerance), || {
            let class = read_name("class_name", class_name)?.to_owned();
            checked(Tolerance::Iec60751 { class, construction: construction_of(construction)? })
        })
    }
}

/// Makes a tolerance by a class of IEC 60584-1. Letter and class: as calcore_tolerance_iec60584.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_iec60584(
    letter: *const c_char,
    class_number: i32,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("tolerance", tolerance), || {
            let letter = read_name("letter", letter)?.to_owned();
            checked(Tolerance::Iec60584 { letter, class: class_of(class_number)? })
        })
    }
}

/// Makes a tolerance by the limits of ASTM E230. Letter and limits: as calcore_tolerance_astm_e230.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_astm_e230(
    letter: *const c_char,
    limits: *const c_char,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("tolerance", tolerance), || {
            let letter = read_name("letter", letter)?.to_owned();
            checked(Tolerance::AstmE230 { letter, limits: read_name("limits", limits)?.to_owned() })
        })
    }
}

/// Makes a tolerance by a grade of ASTM E1137. Grade: as calcore_tolerance_astm_e1137.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_astm_e1137(
    grade: *const c_char,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("tolerance", tolerance), || {
            checked(Tolerance::AstmE1137 { grade: read_name("grade", grade)?.to_owned() })
        })
    }
}

/// Makes a tolerance by a class of GOST 6651. Material and class: as calcore_tolerance_gost6651.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_gost6651(
    material: *const c_char,
    class_name: *const c_char,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("tolerance", tolerance), || {
            let material = read_name("material", material)?.to_owned();
            checked(Tolerance::Gost6651 { material, class: read_name("class_name", class_name)?.to_owned() })
        })
    }
}

/// Makes the sum of `n` tolerances. The parts are copied: they stay the caller's and may be released at once.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_INVALID_VALUE for no part at all.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_sum(
    parts: *const *const calcore_tolerance,
    n: usize,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || not_empty(Tolerance::Sum(copies(parts, n)?), n)) }
}

/// Makes the widest of `n` tolerances. The parts are copied: they stay the caller's and may be released at once.
///
/// Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_INVALID_VALUE for no part at all.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_new_max(
    parts: *const *const calcore_tolerance,
    n: usize,
    tolerance: *mut *mut calcore_tolerance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("tolerance", tolerance), || not_empty(Tolerance::Max(copies(parts, n)?), n)) }
}

/// The parts of a sum or maximum, copied.
///
/// # Safety
/// `parts` points to `n` handles.
unsafe fn copies(parts: *const *const calcore_tolerance, n: usize) -> Result<Vec<Tolerance>, Failure> {
    // SAFETY: as promised.
    let parts = unsafe { input("parts", parts, n) }?;
    // SAFETY: as promised.
    parts.iter().map(|part| unsafe { held(*part) }.cloned()).collect()
}

/// The parts were checked when they were made; what is left is that there are some.
fn not_empty(tolerance: Tolerance, n: usize) -> Result<Tolerance, Failure> {
    if n == 0 { checked(tolerance) } else { Ok(tolerance) }
}

/// Releases a tolerance. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_free(tolerance: *mut calcore_tolerance) {
    // SAFETY: the contract of the header.
    unsafe { release(tolerance) }
}

/// The errors that a tolerance allows at a temperature in °C: most negative and most positive one, K, both allowed.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE outside the range of a class.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_limits(
    tolerance: *const calcore_tolerance,
    t_c: f64,
    lower_k: *mut f64,
    upper_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (lower, upper) = (Output::new("lower_k", lower_k)?, Output::new("upper_k", upper_k)?);
            let limits = held(tolerance)?.limits(t_c)?;
            lower.set(limits.lower_k);
            upper.set(limits.upper_k);
            Ok(())
        })
    }
}

/// Half-width of a tolerance at a temperature in °C, K.
///
/// Status: as calcore_tolerance_limits; CALCORE_E_INVALID_VALUE where the limits are not symmetric.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_half_width(
    tolerance: *const calcore_tolerance,
    t_c: f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("half_width_k", half_width_k), || Ok(held(tolerance)?.half_width(t_c)?)) }
}
