//! Section "tolerance": the classes of the standards.

use crate::array::Output;
use crate::guard::{give, guard};
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::constants::thermocouple_tolerance::Confirmation;
use calcore::interval::Interval;
use calcore::tolerance::*;
use std::ffi::c_char;

/// Construction of a platinum thermometer: wire-wound.
pub const CALCORE_WIRE_WOUND: i32 = 0;

/// Construction of a platinum thermometer: film on a ceramic body.
pub const CALCORE_FILM: i32 = 1;

pub(super) fn construction_of(construction: i32) -> Result<Construction, Failure> {
    match construction {
        CALCORE_WIRE_WOUND => Ok(Construction::WireWound),
        CALCORE_FILM => Ok(Construction::Film),
        _ => Err(Failure::option("construction", construction, "CALCORE_WIRE_WOUND or CALCORE_FILM")),
    }
}

/// Half-width of a tolerance class of IEC 60751 at a temperature, K.
///
/// `class_name`: "AA", "A", "B", "C" for thermometers, "W0.1", "W0.15", "W0.3", "W0.6", "F0.1", "F0.15", "F0.3", "F0.6"
/// for resistors. `construction`: CALCORE_WIRE_WOUND or CALCORE_FILM; it decides the range of a thermometer's class.
/// `t_c`: °C within that range (calcore_tolerance_iec60751_range).
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_iec60751(
    class_name: *const c_char,
    t_c: f64,
    construction: i32,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("half_width_k", half_width_k), || {
            Ok(iec60751(read_name("class_name", class_name)?, t_c, construction_of(construction)?)?)
        })
    }
}

/// The two ends of a range.
///
/// # Safety
/// The pointers are null or the caller's.
unsafe fn give_range(
    err: *mut calcore_error,
    low_c: *mut f64,
    high_c: *mut f64,
    compute: impl FnOnce() -> Result<Interval, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let (low, high) = (Output::new("low_c", low_c)?, Output::new("high_c", high_c)?);
            let range = compute()?;
            low.set(range.low);
            high.set(range.high);
            Ok(())
        })
    }
}

/// Range of temperature of a class of IEC 60751, °C. Names and construction: as calcore_tolerance_iec60751.
///
/// Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_iec60751_range(
    class_name: *const c_char,
    construction: i32,
    low_c: *mut f64,
    high_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_range(err, low_c, high_c, || {
            Ok(iec60751_range(read_name("class_name", class_name)?, construction_of(construction)?)?)
        })
    }
}

/// A class of IEC 60584-1 as the core counts them.
pub(super) fn class_of(class_number: i32) -> Result<u8, Failure> {
    u8::try_from(class_number).map_err(|_| Failure::option("class_number", class_number, "1, 2 or 3"))
}

/// Half-width of a class of IEC 60584-1 for thermocouples at a temperature of the measuring junction, K.
///
/// `letter`: "K", "N", "E", "J", "T", "R", "S", "B", "C" or "A"; `class_number`: 1, 2 or 3; `t_c`: °C.
/// Status: CALCORE_E_UNKNOWN_NAME for a letter or for a class that the type does not have, CALCORE_E_NOT_FINITE,
/// CALCORE_E_OUT_OF_RANGE, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_iec60584(
    letter: *const c_char,
    class_number: i32,
    t_c: f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("half_width_k", half_width_k), || {
            Ok(iec60584(read_name("letter", letter)?, class_of(class_number)?, t_c)?)
        })
    }
}

/// Range of temperature of a class of IEC 60584-1, °C.
///
/// Letter, class and status: as calcore_tolerance_iec60584.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_iec60584_range(
    letter: *const c_char,
    class_number: i32,
    low_c: *mut f64,
    high_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_range(err, low_c, high_c, || Ok(iec60584_range(read_name("letter", letter)?, class_of(class_number)?)?))
    }
}

/// Half-width of the limits of ASTM E230 for thermocouples at a temperature of the measuring junction, K.
///
/// `letter`: "J", "T", "E", "K", "N", "R", "S", "B" or "C"; `limits`: "standard" or "special"; `t_c`: °C.
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_astm_e230(
    letter: *const c_char,
    limits: *const c_char,
    t_c: f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("half_width_k", half_width_k), || {
            Ok(astm_e230(read_name("letter", letter)?, read_name("limits", limits)?, t_c)?)
        })
    }
}

/// Range of temperature of the limits of ASTM E230, °C.
///
/// Letter, limits and status: as calcore_tolerance_astm_e230.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_astm_e230_range(
    letter: *const c_char,
    limits: *const c_char,
    low_c: *mut f64,
    high_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_range(err, low_c, high_c, || {
            Ok(astm_e230_range(read_name("letter", letter)?, read_name("limits", limits)?)?)
        })
    }
}

/// Half-width of a grade of ASTM E1137 for platinum thermometers at a temperature in °C, K. `grade`: "A" or "B".
///
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside -200 °C to 650 °C.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_astm_e1137(
    grade: *const c_char,
    t_c: f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("half_width_k", half_width_k), || Ok(astm_e1137(read_name("grade", grade)?, t_c)?)) }
}

/// Half-width of a class of copper or nickel thermometers of GOST 6651 at a temperature in °C, K.
///
/// `material`: "copper" or "nickel"; `class_name`: "A", "B" or "C".
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_gost6651(
    material: *const c_char,
    class_name: *const c_char,
    t_c: f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("half_width_k", half_width_k), || {
            Ok(gost6651(read_name("material", material)?, read_name("class_name", class_name)?, t_c)?)
        })
    }
}

/// How sure a tolerance is: public summaries of the standard agree.
pub const CALCORE_CONFIRMED_BY_SUMMARIES: i32 = 0;
/// How sure a tolerance is: public summaries differ; the value is the one of most of them.
pub const CALCORE_CONFIRMATION_CONFLICT: i32 = 1;
/// How sure a tolerance is: not confirmed, from memory.
pub const CALCORE_UNCONFIRMED: i32 = 2;

fn confirmation_number(confirmation: Confirmation) -> i32 {
    match confirmation {
        Confirmation::Summaries => CALCORE_CONFIRMED_BY_SUMMARIES,
        Confirmation::Conflict => CALCORE_CONFIRMATION_CONFLICT,
        Confirmation::Unconfirmed => CALCORE_UNCONFIRMED,
    }
}

/// How sure a class of IEC 60584-1 is: `*confirmation` receives CALCORE_CONFIRMED_BY_SUMMARIES, CALCORE_CONFIRMATION_CONFLICT
/// or CALCORE_UNCONFIRMED.
///
/// Letter, class and status: as calcore_tolerance_iec60584.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_iec60584_confirmation(
    letter: *const c_char,
    class_number: i32,
    confirmation: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("confirmation", confirmation), || {
            let found = iec60584_confirmation(read_name("letter", letter)?, class_of(class_number)?)?;
            Ok(confirmation_number(found))
        })
    }
}

/// How sure the limits of ASTM E230 are at a temperature in °C: as calcore_tolerance_iec60584_confirmation.
///
/// Letter, limits and status: as calcore_tolerance_astm_e230.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_tolerance_astm_e230_confirmation(
    letter: *const c_char,
    limits: *const c_char,
    t_c: f64,
    confirmation: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("confirmation", confirmation), || {
            let (letter, limits) = (read_name("letter", letter)?, read_name("limits", limits)?);
            Ok(confirmation_number(astm_e230_confirmation(letter, limits, t_c)?))
        })
    }
}
