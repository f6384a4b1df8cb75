//! Section "effects": the junctions of a thermocouple.

use super::effect::*;
use crate::guard::{fill, give};
use crate::handle::held;
use crate::message::calcore_error;
use crate::record::records;
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::circuit::*;

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

records!(calcore_junction_reading);

/// Error by a reference junction that is `excess_k` (the cause) warmer than `reference_c`, what the instrument believes.
/// `curve`: emf of the couple against 0 °C, mV; `t_c`: true temperature of the measuring junction, °C.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE outside the range of the curve (a reference junction of a
/// thermocouple: outside that of its type); CALCORE_E_UNKNOWN_NAME for a curve whose signal is no emf (a table may leave its
/// unit open).
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

/// Emf that a couple gives between its measuring junction at `t_c` and its reference junction at `reference_c`, both °C, in mV.
/// `curve`: emf of the couple against 0 °C, mV. IEC 60584-1:2013, clause 3.
///
/// Status: as calcore_reference_junction_effect.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measured_emf(
    curve: *const calcore_curve,
    t_c: f64,
    reference_c: f64,
    mv: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("mv", mv), || Ok(measured_emf(held(curve)?.sensor(), t_c, reference_c)?)) }
}

/// Temperature of the measuring junction by the emf in mV and the temperature of the reference junction in °C.
/// `curve`: emf of the couple against 0 °C, mV. Set `reading->size` first.
///
/// Status: as calcore_reference_junction_effect.
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
