//! Section "temperature": units, temperatures and their differences kept apart.

use crate::guard::give;
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::temperature::{Scale, TemperatureUnit, t48_from_t68, t68_from_t48, t90_minus_t68};
use std::ffi::c_char;

/// Unit of temperature: degree Celsius. A difference of 1 is 1 K.
pub const CALCORE_CELSIUS: i32 = 0;
/// Unit of temperature: kelvin.
pub const CALCORE_KELVIN: i32 = 1;
/// Unit of temperature: degree Fahrenheit. A difference of 1.8 is 1 K.
pub const CALCORE_FAHRENHEIT: i32 = 2;

fn unit_of(unit: i32) -> Result<TemperatureUnit, Failure> {
    match unit {
        CALCORE_CELSIUS => Ok(TemperatureUnit::Celsius),
        CALCORE_KELVIN => Ok(TemperatureUnit::Kelvin),
        CALCORE_FAHRENHEIT => Ok(TemperatureUnit::Fahrenheit),
        _ => Err(Failure::option("unit", unit, "CALCORE_CELSIUS, CALCORE_KELVIN or CALCORE_FAHRENHEIT")),
    }
}

/// A temperature given in `unit`, in °C: t/°C = T/K - 273.15 = (t/°F - 32) 5/9.
///
/// For a temperature; for a difference use calcore_temperature_difference_to_k.
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE below absolute zero.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_to_c(
    unit: i32,
    value: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(unit_of(unit)?.to_c(value)?)) }
}

/// A temperature given in °C, in `unit`: T/K = t/°C + 273.15; t/°F = t/°C 9/5 + 32.
///
/// For a temperature; for a difference use calcore_temperature_difference_from_k.
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE below absolute zero.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_from_c(
    unit: i32,
    t_c: f64,
    value: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("value", value), || Ok(unit_of(unit)?.from_c(t_c)?)) }
}

/// A difference of temperatures (an error, a tolerance, an uncertainty) given in `unit`, in kelvin.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_difference_to_k(
    unit: i32,
    difference: f64,
    dt_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("dt_k", dt_k), || Ok(unit_of(unit)?.difference_to_k(difference)?)) }
}

/// A difference of temperatures given in kelvin, in `unit`.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_difference_from_k(
    unit: i32,
    dt_k: f64,
    difference: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("difference", difference), || Ok(unit_of(unit)?.difference_from_k(dt_k)?)) }
}

/// Temperature scale of a certificate: International Temperature Scale of 1990.
pub const CALCORE_ITS90: i32 = 0;
/// Temperature scale of a certificate: International Practical Temperature Scale of 1968.
pub const CALCORE_IPTS68: i32 = 1;
/// Temperature scale of a certificate: International (Practical) Temperature Scale of 1948.
pub const CALCORE_IPTS48: i32 = 2;

fn scale_of(scale: i32) -> Result<Scale, Failure> {
    match scale {
        CALCORE_ITS90 => Ok(Scale::Its90),
        CALCORE_IPTS68 => Ok(Scale::Ipts68),
        CALCORE_IPTS48 => Ok(Scale::Ipts48),
        _ => Err(Failure::option("scale", scale, "CALCORE_ITS90, CALCORE_IPTS68 or CALCORE_IPTS48")),
    }
}

/// A temperature of an older scale on the ITS-90, both °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside the range of the conversion.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_to_its90(
    scale: i32,
    t_c: f64,
    t90_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t90_c", t90_c), || Ok(scale_of(scale)?.to_its90(t_c)?)) }
}

/// A temperature of the ITS-90 on an older scale, both °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside the range of the conversion.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_from_its90(
    scale: i32,
    t90_c: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(scale_of(scale)?.from_its90(t90_c)?)) }
}

/// t90 - t68 at a temperature of the ITS-90 in °C, K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_t90_minus_t68(
    t90_c: f64,
    dt_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("dt_k", dt_k), || Ok(t90_minus_t68(t90_c)?)) }
}

/// A temperature of the scale of 1948 on that of 1968, both °C, as a certificate of before 1968 was brought up to date.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_t68_from_t48(
    t48_c: f64,
    t68_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t68_c", t68_c), || Ok(t68_from_t48(t48_c)?)) }
}

/// A temperature of the scale of 1968 on that of 1948, both °C.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_t48_from_t68(
    t68_c: f64,
    t48_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t48_c", t48_c), || Ok(t48_from_t68(t68_c)?)) }
}

/// Temperature scale of a certificate by its name: "ITS-90", "IPTS-68" or "IPTS-48". A certificate that does not say its scale
/// cannot be used: there is no default.
///
/// `*scale` receives CALCORE_ITS90, CALCORE_IPTS68 or CALCORE_IPTS48. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_temperature_scale_from_name(
    name: *const c_char,
    scale: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("scale", scale), || {
            Ok(match Scale::from_name(read_name("name", name)?)? {
                Scale::Its90 => CALCORE_ITS90,
                Scale::Ipts68 => CALCORE_IPTS68,
                Scale::Ipts48 => CALCORE_IPTS48,
            })
        })
    }
}
