//! Section "ITS-90": reference functions, fixed points, and the criteria for the platinum.

use crate::guard::{fill, give};
use crate::message::{calcore_error, read_name};
use crate::record::Record;
use crate::status::*;
use calcore::its90::{
    Acceptance, acceptance, fixed_point, fixed_point_temperature, hydrogen_vapour_pressure_temperature,
    reference_ratio, reference_slope, temperature_from_ratio, temperature_from_ratio_approximate,
};
use std::ffi::c_char;

/// Reference ratio W_r of ideal platinum at a temperature in kelvin, 13.8033 K to 1234.93 K.
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_reference_ratio(
    t_k: f64,
    w: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("w", w), || Ok(reference_ratio(t_k)?)) }
}

/// Slope of the reference function at a temperature in kelvin, 1/K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_reference_slope(
    t_k: f64,
    w_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("w_per_k", w_per_k), || Ok(reference_slope(t_k)?)) }
}

/// Temperature at which ideal platinum has a reference ratio, kelvin: the exact inverse of the reference function.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_temperature_from_ratio(
    w: f64,
    t_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_k", t_k), || Ok(temperature_from_ratio(w)?)) }
}

/// The same by the published approximate inverse, equations 9b and 10b, with its published error band.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_temperature_from_ratio_approximate(
    w: f64,
    t_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_k", t_k), || Ok(temperature_from_ratio_approximate(w)?)) }
}

/// A defining fixed point of the scale. Numbers that the scale does not give are NaN.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_fixed_point {
    /// sizeof(calcore_fixed_point), set by the caller.
    pub size: usize,
    /// Temperature, K.
    pub t_k: f64,
    /// Temperature, °C.
    pub t_c: f64,
    /// Reference ratio as published.
    pub w_r: f64,
    /// Change of the temperature with pressure, K/Pa.
    pub k_per_pa: f64,
    /// Change of the temperature with depth, K/m.
    pub k_per_m: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_fixed_point {
    const WHAT: &'static str = "calcore_fixed_point";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A fixed point by its name: "e-H2", "e-H2_17K", "e-H2_20K", "Ne", "O2", "Ar", "Hg", "H2O", "Ga", "In", "Sn", "Zn", "Al",
/// "Ag", "Au", "Cu". H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2. Set `point->size` first.
///
/// Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_fixed_point(
    name: *const c_char,
    point: *mut calcore_fixed_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, point, || {
            let p = fixed_point(read_name("name", name)?)?;
            Ok(calcore_fixed_point {
                size: 0,
                t_k: p.t_k,
                t_c: p.t_c,
                w_r: p.w_r.unwrap_or(f64::NAN),
                k_per_pa: p.k_per_pa.unwrap_or(f64::NAN),
                k_per_m: p.k_per_m.unwrap_or(f64::NAN),
            })
        })
    }
}

/// Temperature of a fixed point at a depth of immersion (m) and, for a freezing or melting point, under a pressure (Pa),
/// kelvin. `pressure_pa` = NaN: the standard pressure.
///
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative depth or pressure, for a
/// pressure with a triple point, and for a vapour pressure point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_fixed_point_temperature(
    name: *const c_char,
    depth_m: f64,
    pressure_pa: f64,
    t_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("t_k", t_k), || {
            let pressure = if pressure_pa.is_nan() { None } else { Some(pressure_pa) };
            Ok(fixed_point_temperature(read_name("name", name)?, depth_m, pressure)?)
        })
    }
}

/// Temperature of equilibrium hydrogen by its vapour pressure in kPa, kelvin, at "e-H2_17K" or "e-H2_20K".
///
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_hydrogen_vapour_pressure_temperature(
    name: *const c_char,
    kpa: f64,
    t_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_k", t_k), || Ok(hydrogen_vapour_pressure_temperature(read_name("name", name)?, kpa)?)) }
}

/// The ratio at the melting point of gallium is below 1.11807.
pub const CALCORE_FAILED_GALLIUM: i32 = 1;
/// The ratio at the triple point of mercury is above 0.844235.
pub const CALCORE_FAILED_MERCURY: i32 = 2;
/// The ratio at the freezing point of silver is below 4.2844.
pub const CALCORE_FAILED_SILVER: i32 = 4;

/// Whether the platinum is pure and unstrained enough for the scale.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_acceptance {
    /// sizeof(calcore_acceptance), set by the caller.
    pub size: usize,
    /// 1 if the criterion at gallium or the one at mercury is met, else 0.
    pub accepted: i32,
    /// 1 if the thermometer may also be used up to the freezing point of silver, 0 if not, 2 without a ratio there.
    pub accepted_to_silver: i32,
    /// Which criteria are not met: a sum of CALCORE_FAILED_GALLIUM, CALCORE_FAILED_MERCURY and CALCORE_FAILED_SILVER.
    pub failed: i32,
    /// How many criteria were looked at: as many as ratios were given.
    pub criteria: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_acceptance {
    const WHAT: &'static str = "calcore_acceptance";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// The flag of a criterion, by its point.
fn flag(point: &str) -> i32 {
    match point {
        "Ga" => CALCORE_FAILED_GALLIUM,
        "Hg" => CALCORE_FAILED_MERCURY,
        _ => CALCORE_FAILED_SILVER,
    }
}

/// An outcome as C sees it.
pub(crate) fn outcome_of(a: &Acceptance) -> calcore_acceptance {
    calcore_acceptance {
        size: 0,
        accepted: i32::from(a.accepted),
        accepted_to_silver: a.accepted_to_silver.map_or(2, i32::from),
        failed: a.failed().map(|criterion| flag(criterion.point)).sum(),
        criteria: i32::try_from(a.criteria.len()).unwrap_or(i32::MAX),
    }
}

/// Checks ratios W of a thermometer at gallium, mercury and silver against the criteria of the scale; NaN for a ratio that
/// is not known. H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3. Set `outcome->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_TOO_FEW_POINTS without a ratio at gallium or mercury.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_its90_acceptance(
    w_gallium: f64,
    w_mercury: f64,
    w_silver: f64,
    outcome: *mut calcore_acceptance,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, outcome, || {
            let known = |w: f64| if w.is_nan() { None } else { Some(w) };
            let a = acceptance(known(w_gallium), known(w_mercury), known(w_silver))?;
            Ok(outcome_of(&a))
        })
    }
}
