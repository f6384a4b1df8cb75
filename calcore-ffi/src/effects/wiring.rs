//! Section "effects": leads, insulation, reversal of the current.

use super::effect::*;
use crate::guard::{fill, give};
use crate::message::calcore_error;
use crate::record::records;
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::circuit::*;

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

records!(calcore_reversed_reading);

/// Error by leads that an instrument with two wires takes for a part of the element. `t_c`: true temperature, °C;
/// `leads_ohm`: both leads together, the cause. Set `effect->size` first, here and in the other effects.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_OUT_OF_RANGE when temperature or reading lie outside
/// the range of the curve; CALCORE_E_UNKNOWN_NAME for a curve whose signal is no resistance (a table may leave its unit
/// open).
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

/// The element behind what an instrument with two wires reads, ohm: the reading less both leads.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE also for a reading below that of the leads.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_two_wire_element(
    read_ohm: f64,
    first_lead_ohm: f64,
    second_lead_ohm: f64,
    element_ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("element_ohm", element_ohm), || Ok(two_wire_element(read_ohm, first_lead_ohm, second_lead_ohm)?))
    }
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
/// drops out exactly. The reversed voltage is below zero. Set `reading->size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless both currents and the forward voltage are positive and the
/// reversed voltage is negative.
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
