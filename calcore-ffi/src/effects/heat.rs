//! Section "effects": self-heating and immersion.

use crate::array::Output;
use crate::guard::{fill, give, guard};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use calcore::circuit::*;

/// Self-heating, with its sensitivities.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_self_heating_result {
    /// sizeof(calcore_self_heating_result), set by the caller.
    pub size: usize,
    /// Power in the element, mW.
    pub power_mw: f64,
    /// How far the element is warmer than what surrounds it, K.
    pub error_k: f64,
    /// Change of the error with the current, K/mA.
    pub error_k_per_ma: f64,
    /// Change of the error with the dissipation constant, K per mW/K.
    pub error_k_per_mw_per_k: f64,
}

/// Resistance at zero power, with its sensitivities.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_zero_power {
    /// sizeof(calcore_zero_power), set by the caller.
    pub size: usize,
    /// Resistance without self-heating, ohm.
    pub ohm: f64,
    /// Self-heating at the first current, ohm.
    pub rise_at_first_ohm: f64,
    /// Change with the resistance at the first current, ohm/ohm.
    pub per_first_ohm: f64,
    /// Change with the resistance at the second current, ohm/ohm.
    pub per_second_ohm: f64,
    /// Change with the first current, ohm/mA.
    pub per_first_ma: f64,
    /// Change with the second current, ohm/mA.
    pub per_second_ma: f64,
}

records!(calcore_self_heating_result, calcore_zero_power);

/// Self-heating of an element by its current (mA, either direction), its resistance (ohm) and its dissipation constant
/// (mW/K). Set `heating->size` first.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_self_heating(
    current_ma: f64,
    ohm: f64,
    dissipation_mw_per_k: f64,
    heating: *mut calcore_self_heating_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, heating, || {
            let h = self_heating(current_ma, ohm, dissipation_mw_per_k)?;
            Ok(calcore_self_heating_result {
                size: 0,
                power_mw: h.power_mw,
                error_k: h.error_k,
                error_k_per_ma: h.error_k_per_ma,
                error_k_per_mw_per_k: h.error_k_per_mw_per_k,
            })
        })
    }
}

/// Resistance without self-heating by readings (ohm) at two currents (mA). Set `zero->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless resistances and currents are positive, the currents differ
/// and the resistance at zero power is positive.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_zero_power_resistance(
    first_ma: f64,
    first_ohm: f64,
    second_ma: f64,
    second_ohm: f64,
    zero: *mut calcore_zero_power,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, zero, || {
            let z = zero_power_resistance(first_ma, first_ohm, second_ma, second_ohm)?;
            Ok(calcore_zero_power {
                size: 0,
                ohm: z.ohm,
                rise_at_first_ohm: z.rise_at_first_ohm,
                per_first_ohm: z.per_first_ohm,
                per_second_ohm: z.per_second_ohm,
                per_first_ma: z.per_first_ma,
                per_second_ma: z.per_second_ma,
            })
        })
    }
}

/// Standard uncertainty, ohm, of the resistance at no power by those of the four readings that it was made from: currents in mA,
/// resistances in ohm, and their standard uncertainties, taken as independent.
///
/// Status: as calcore_zero_power_resistance; CALCORE_E_INVALID_VALUE for a negative uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_zero_power_uncertainty(
    first_ma: f64,
    first_ohm: f64,
    second_ma: f64,
    second_ohm: f64,
    u_first_ma: f64,
    u_first_ohm: f64,
    u_second_ma: f64,
    u_second_ohm: f64,
    u_ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("u_ohm", u_ohm), || {
            let zero = zero_power_resistance(first_ma, first_ohm, second_ma, second_ohm)?;
            Ok(zero.uncertainty(u_first_ohm, u_second_ohm, u_first_ma, u_second_ma)?)
        })
    }
}

/// Dissipation constant, mW/K, by current (mA), resistance (ohm) and the temperature read from it (°C) at two currents.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless resistances and currents are positive, the currents differ
/// and the larger one warms more.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_dissipation_from_two_currents(
    first_ma: f64,
    first_ohm: f64,
    first_c: f64,
    second_ma: f64,
    second_ohm: f64,
    second_c: f64,
    mw_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("mw_per_k", mw_per_k), || {
            let (first, second) = ((first_ma, first_ohm, first_c), (second_ma, second_ohm, second_c));
            Ok(dissipation_from_two_currents(first, second)?)
        })
    }
}

/// Error of a sensor that is not deep enough: read minus true, K. Stem by its effective diameter (mm) and factor (1 if
/// nothing is known); `t_c`: true temperature, `ambient_c`: of the surroundings, °C; depth in mm.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_immersion_error(
    effective_diameter_mm: f64,
    factor: f64,
    t_c: f64,
    ambient_c: f64,
    depth_mm: f64,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("error_k", error_k), || {
            Ok(Immersion::new(effective_diameter_mm, factor)?.error_k(t_c, ambient_c, depth_mm)?)
        })
    }
}

/// Change of that error with the depth, K/mm.
///
/// Arguments and status: as calcore_immersion_error.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_immersion_error_per_mm(
    effective_diameter_mm: f64,
    factor: f64,
    t_c: f64,
    ambient_c: f64,
    depth_mm: f64,
    error_k_per_mm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("error_k_per_mm", error_k_per_mm), || {
            Ok(Immersion::new(effective_diameter_mm, factor)?.error_k_per_mm(t_c, ambient_c, depth_mm)?)
        })
    }
}

/// True temperature behind a reading of a sensor that is not deep enough, °C.
///
/// Arguments and status: as calcore_immersion_error; CALCORE_E_INVALID_VALUE when the sensor sees nothing but its
/// surroundings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_immersion_true_temperature(
    effective_diameter_mm: f64,
    factor: f64,
    read_c: f64,
    ambient_c: f64,
    depth_mm: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("t_c", t_c), || {
            Ok(Immersion::new(effective_diameter_mm, factor)?.true_temperature(read_c, ambient_c, depth_mm)?)
        })
    }
}

/// Effective diameter of a stem, mm, and true temperature, °C, by temperatures read at two depths (mm) in the same medium.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the second depth is larger; CALCORE_E_UNDETERMINED when the
/// readings do not approach the true temperature with depth.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_immersion_from_two_depths(
    shallow_mm: f64,
    shallow_c: f64,
    deep_mm: f64,
    deep_c: f64,
    ambient_c: f64,
    effective_diameter_mm: *mut f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let diameter = Output::new("effective_diameter_mm", effective_diameter_mm)?;
            let target = Output::new("t_c", t_c)?;
            let (stem, true_c) = immersion_from_two_depths((shallow_mm, shallow_c), (deep_mm, deep_c), ambient_c)?;
            diameter.set(stem.effective_diameter_mm);
            target.set(true_c);
            Ok(())
        })
    }
}
