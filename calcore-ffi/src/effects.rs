//! Section "effects": what lies between a sensor and its reading, and what it does to the temperature read.

use crate::array::Output;
use crate::guard::{fill, give, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::record::Record;
use crate::sensor_curves::calcore_curve;
use crate::status::*;
use calcore::circuit::{
    DigitalScale, Display, Effect, Immersion, Rounding, copper_lead_resistance, dissipation_from_two_currents,
    immersion_from_two_depths, inhomogeneity_uncertainty, insulation_effect, measuring_junction,
    reference_junction_effect, resistance_by_reversal, resistance_with_insulation, resistance_without_insulation,
    self_heating, thermal_emf_effect, three_wire_effect, three_wire_reading, two_wire_effect, two_wire_reading,
    zero_power_resistance,
};
use calcore::curves::SensorCurve;

/// How a display comes to its last digit: to the nearest step; halves go to the even one.
pub const CALCORE_ROUND_NEAREST: i32 = 0;
/// How a display comes to its last digit: down to the step below.
pub const CALCORE_ROUND_TRUNCATE: i32 = 1;

/// What a cause does to the reading of a sensor.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_effect {
    /// sizeof(calcore_effect), set by the caller.
    pub size: usize,
    /// Change of the signal, in its unit.
    pub signal_change: f64,
    /// Error of the temperature read from the changed signal: read minus true, K.
    pub error_k: f64,
    /// Change of that error per unit of the cause: its sensitivity in a budget.
    pub error_k_per_unit: f64,
}

/// Temperature of a measuring junction, with its sensitivities.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_junction_reading {
    /// sizeof(calcore_junction_reading), set by the caller.
    pub size: usize,
    /// Temperature of the measuring junction, °C.
    pub t_c: f64,
    /// Emf that the couple would have with its reference junction at 0 °C, mV.
    pub total_mv: f64,
    /// Change with the emf, K/mV.
    pub per_mv: f64,
    /// Change with the temperature taken for the reference junction, K/K.
    pub per_reference_k: f64,
}

/// A resistance by two directions of the current, with its sensitivities.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reversed_reading {
    /// sizeof(calcore_reversed_reading), set by the caller.
    pub size: usize,
    /// Resistance, ohm.
    pub ohm: f64,
    /// Emf that does not follow the current, mV.
    pub emf_mv: f64,
    /// Change of the resistance with the voltage at the forward current, ohm/mV; with the other it is the negative.
    pub ohm_per_forward_mv: f64,
    /// Change of the resistance with either current, ohm/mA.
    pub ohm_per_ma: f64,
}

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

macro_rules! records {
    ($($name:ident),+) => {$(
        // SAFETY: repr(C), begins with `size`, plain data.
        unsafe impl Record for $name {
            const WHAT: &'static str = stringify!($name);
            const FIRST_SIZE: usize = size_of::<Self>();
        }
    )+};
}
records!(
    calcore_effect,
    calcore_junction_reading,
    calcore_reversed_reading,
    calcore_self_heating_result,
    calcore_zero_power
);

/// An effect on the reading of a curve.
///
/// # Safety
/// The pointers are null or the caller's.
unsafe fn effect_on(
    err: *mut calcore_error,
    curve: *const calcore_curve,
    effect: *mut calcore_effect,
    compute: impl FnOnce(&dyn SensorCurve) -> calcore::Result<Effect>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        fill(err, effect, || {
            let found = compute(held(curve)?.sensor())?;
            Ok(calcore_effect {
                size: 0,
                signal_change: found.signal_change,
                error_k: found.error_k,
                error_k_per_unit: found.error_k_per_unit,
            })
        })
    }
}

/// Error by leads that an instrument with two wires takes for a part of the element. `t_c`: true temperature, °C;
/// `leads_ohm`: both leads together, the cause. Set `effect->size` first, here and in the other effects.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_OUT_OF_RANGE when temperature or reading lie outside
/// the range of the curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_two_wire_effect(
    curve: *const calcore_curve,
    t_c: f64,
    leads_ohm: f64,
    effect: *mut calcore_effect,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { effect_on(err, curve, effect, |curve| two_wire_effect(curve, t_c, leads_ohm)) }
}

/// Error by two leads that differ in an instrument with three wires. `mismatch_ohm`: the lead in series with the element
/// minus the one that is taken away, the cause.
///
/// Status: as calcore_two_wire_effect.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_three_wire_effect(
    curve: *const calcore_curve,
    t_c: f64,
    mismatch_ohm: f64,
    effect: *mut calcore_effect,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { effect_on(err, curve, effect, |curve| three_wire_effect(curve, t_c, mismatch_ohm)) }
}

/// Error by an insulation resistance beside the element, ohm, the cause.
///
/// Status: as calcore_two_wire_effect.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_insulation_effect(
    curve: *const calcore_curve,
    t_c: f64,
    insulation_ohm: f64,
    effect: *mut calcore_effect,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { effect_on(err, curve, effect, |curve| insulation_effect(curve, t_c, insulation_ohm)) }
}

/// Error by an emf (microvolt, the cause) in a measurement of resistance with one direction of a current in mA.
///
/// Status: as calcore_two_wire_effect.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermal_emf_effect(
    curve: *const calcore_curve,
    t_c: f64,
    emf_uv: f64,
    current_ma: f64,
    effect: *mut calcore_effect,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { effect_on(err, curve, effect, |curve| thermal_emf_effect(curve, t_c, emf_uv, current_ma)) }
}

/// Error by a reference junction that is `excess_k` (the cause) warmer than `reference_c`, what the instrument believes.
/// `curve`: emf of the couple against 0 °C, mV; `t_c`: true temperature of the measuring junction, °C.
///
/// Status: as calcore_two_wire_effect.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_reference_junction_effect(
    curve: *const calcore_curve,
    t_c: f64,
    reference_c: f64,
    excess_k: f64,
    effect: *mut calcore_effect,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { effect_on(err, curve, effect, |curve| reference_junction_effect(curve, t_c, reference_c, excess_k)) }
}

/// Temperature of the measuring junction by the emf in mV and the temperature of the reference junction in °C.
/// `curve`: emf of the couple against 0 °C, mV. Set `reading->size` first.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measuring_junction(
    curve: *const calcore_curve,
    measured_mv: f64,
    reference_c: f64,
    reading: *mut calcore_junction_reading,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, reading, || {
            let r = measuring_junction(held(curve)?.sensor(), measured_mv, reference_c)?;
            Ok(calcore_junction_reading {
                size: 0,
                t_c: r.t_c,
                total_mv: r.total_mv,
                per_mv: r.per_mv,
                per_reference_k: r.per_reference_k,
            })
        })
    }
}

/// Standard uncertainty by the inhomogeneity of a couple, in the unit of the scan: range / (2 sqrt 3). `scan_range`: largest
/// minus smallest emf or temperature found while the couple is moved through a gradient.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_inhomogeneity_uncertainty(
    scan_range: f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("standard_uncertainty", standard_uncertainty), || Ok(inhomogeneity_uncertainty(scan_range)?)) }
}

/// Resistance of one copper lead, ohm: length in m, cross-section in mm^2, temperature in °C. IEC 60028:1925.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_copper_lead_resistance(
    length_m: f64,
    area_mm2: f64,
    t_c: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(copper_lead_resistance(length_m, area_mm2, t_c)?)) }
}

/// What an instrument with two wires reads: the element and both leads, ohm.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_two_wire_reading(
    element_ohm: f64,
    first_lead_ohm: f64,
    second_lead_ohm: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(two_wire_reading(element_ohm, first_lead_ohm, second_lead_ohm)?)) }
}

/// What an instrument with three wires reads: the element and the difference of the two leads, ohm.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_three_wire_reading(
    element_ohm: f64,
    first_lead_ohm: f64,
    second_lead_ohm: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(three_wire_reading(element_ohm, first_lead_ohm, second_lead_ohm)?)) }
}

/// What is read of an element with an insulation resistance beside it, ohm: R Ri / (R + Ri).
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_resistance_with_insulation(
    element_ohm: f64,
    insulation_ohm: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(resistance_with_insulation(element_ohm, insulation_ohm)?)) }
}

/// The element behind a reading, ohm: the inverse of calcore_resistance_with_insulation.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE also unless the reading is below the insulation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_resistance_without_insulation(
    read_ohm: f64,
    insulation_ohm: f64,
    ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("ohm", ohm), || Ok(resistance_without_insulation(read_ohm, insulation_ohm)?)) }
}

/// Resistance by the voltages (mV, with their signs) at a forward and a reversed current (mA, their sizes); a constant emf
/// drops out exactly. Set `reading->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless both currents are positive and the resistance is not
/// negative.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_resistance_by_reversal(
    forward_mv: f64,
    forward_ma: f64,
    reversed_mv: f64,
    reversed_ma: f64,
    reading: *mut calcore_reversed_reading,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, reading, || {
            let r = resistance_by_reversal(forward_mv, forward_ma, reversed_mv, reversed_ma)?;
            Ok(calcore_reversed_reading {
                size: 0,
                ohm: r.ohm,
                emf_mv: r.emf_mv,
                ohm_per_forward_mv: r.ohm_per_forward_mv,
                ohm_per_ma: r.ohm_per_ma,
            })
        })
    }
}

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
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless resistances and currents are positive and the currents
/// differ.
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

/// Value of a count on a digital scale that runs straight from (low_count, low) to (high_count, high), in any unit.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for ends that are equal; CALCORE_E_OUT_OF_RANGE for a count
/// outside them.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_value(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    count: i64,
    value: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("value", value), || Ok(DigitalScale::new(low_count, high_count, low, high)?.value(count)?)) }
}

/// The count nearest to a value on a digital scale; halves go to the even count.
///
/// Scale and status: as calcore_digital_value.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_count(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    value: f64,
    count: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(DigitalScale::new(low_count, high_count, low, high)?.count(value)?)) }
}

/// Value of one count of a digital scale, positive, and the standard uncertainty by it: one count over sqrt 12.
///
/// Scale and status: as calcore_digital_value.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_digital_resolution(
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
    resolution: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let step = Output::new("resolution", resolution)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let scale = DigitalScale::new(low_count, high_count, low, high)?;
            step.set(scale.resolution());
            u.set(scale.resolution_uncertainty());
            Ok(())
        })
    }
}

fn display(resolution: f64, rounding: i32) -> Result<Display, Failure> {
    let rounding = match rounding {
        CALCORE_ROUND_NEAREST => Rounding::Nearest,
        CALCORE_ROUND_TRUNCATE => Rounding::Truncate,
        _ => return Err(Failure::option("rounding", rounding, "CALCORE_ROUND_NEAREST or CALCORE_ROUND_TRUNCATE")),
    };
    Ok(Display::new(resolution, rounding)?)
}

/// What a display of a given step shows for a value. `rounding`: CALCORE_ROUND_NEAREST or CALCORE_ROUND_TRUNCATE.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_display_shown(
    resolution: f64,
    rounding: i32,
    value: f64,
    shown: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("shown", shown), || Ok(display(resolution, rounding)?.shown(value)?)) }
}

/// Mean error of what a display shows (zero, or minus half a step where digits are cut off) and the standard uncertainty of
/// the value behind it once that is taken away: a step over sqrt 12.
///
/// Status: as calcore_display_shown.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_display_uncertainty(
    resolution: f64,
    rounding: i32,
    mean_error: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean_error", mean_error)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let display = display(resolution, rounding)?;
            mean.set(display.mean_error());
            u.set(display.uncertainty());
            Ok(())
        })
    }
}
