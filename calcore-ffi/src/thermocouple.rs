//! Section "thermocouples": emf, temperature, reference junction, published approximate inverses, extension wires.

use crate::array::{Output, copy, input};
use crate::curves::handling;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name};
use crate::record::Record;
use crate::sensor_curves::curve::{Curve, calcore_curve};
use crate::status::*;
use calcore::circuit::{ExtensionWire, extension_wire_error};
use calcore::curves::{ReferenceJunction, SensorCurve, Side, Thermocouple};
use std::ffi::c_char;

/// Side of a type B couple: none is chosen, and an emf that two temperatures give is refused.
pub const CALCORE_SIDE_NONE: i32 = 0;
/// Side of a type B couple: below the minimum of its emf, 0 °C to 21.02 °C.
pub const CALCORE_SIDE_LOWER: i32 = 1;
/// Side of a type B couple: above the minimum of its emf, 21.02 °C to 1820 °C.
pub const CALCORE_SIDE_UPPER: i32 = 2;

/// Extension wire of the right type whose emf deviates by a stated number of mV.
pub const CALCORE_WIRE_DEVIATING: i32 = 0;
/// Extension wire of the right type with its conductors crossed at both ends.
pub const CALCORE_WIRE_REVERSED: i32 = 1;
/// Extension wire of another type.
pub const CALCORE_WIRE_OTHER: i32 = 2;
/// Two conductors of the same metal in place of an extension wire.
pub const CALCORE_WIRE_COPPER: i32 = 3;

/// A thermocouple by its letter: types B, E, J, K, N, R, S and T of IEC 60584-1:2013 (NIST Monograph 175), type C of ASTM
/// E230, type A of GOST R 8.585-2001.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_thermocouple_free.
pub struct calcore_thermocouple {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_thermocouple {
    type Held = Thermocouple;
    const WHAT: &'static str = "calcore_thermocouple";
    const TAG: u64 = 0x7063_635f_6363_0010;
}

/// The numbers of a calcore_thermocouple.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_thermocouple_numbers {
    /// sizeof(calcore_thermocouple_numbers), set by the caller.
    pub size: usize,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Least emf over that range, reference junction at 0 °C, mV.
    pub low_mv: f64,
    /// Largest emf over that range, mV.
    pub high_mv: f64,
    /// Largest error of the emf, proven, mV.
    pub emf_error_bound_mv: f64,
    /// Largest error of the temperature for an exact emf, proven, K.
    pub inverse_error_bound_k: f64,
    /// Least emf of the published approximate inverse, mV; NaN where none is published.
    pub approximate_low_mv: f64,
    /// Largest emf of the published approximate inverse, mV; NaN where none is published.
    pub approximate_high_mv: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_thermocouple_numbers {
    const WHAT: &'static str = "calcore_thermocouple_numbers";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// What extension wires add to a reading.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_wire_error {
    /// sizeof(calcore_wire_error), set by the caller.
    pub size: usize,
    /// Error of the emf, mV.
    pub error_mv: f64,
    /// Error of the temperature that is read, K.
    pub error_k: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_wire_error {
    const WHAT: &'static str = "calcore_wire_error";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Makes a thermocouple by its letter ("B", "C", "E", "J", "K", "N", "R", "S", "T" or "A"). `side`: CALCORE_SIDE_NONE, or for
/// type B, whose emf falls before it rises, the side of the minimum that is meant.
///
/// `*couple` receives a handle that the caller releases by calcore_thermocouple_free.
/// Status: CALCORE_E_UNKNOWN_NAME, also for a side of a type that has one temperature for each emf.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_new(
    letter: *const c_char,
    side: i32,
    couple: *mut *mut calcore_thermocouple,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("couple", couple), || {
            let whole = Thermocouple::new(read_name("letter", letter)?)?;
            match side {
                CALCORE_SIDE_NONE => Ok(whole),
                CALCORE_SIDE_LOWER => Ok(whole.on_side(Side::Lower)?),
                CALCORE_SIDE_UPPER => Ok(whole.on_side(Side::Upper)?),
                _ => Err(Failure::option("side", side, "CALCORE_SIDE_NONE, CALCORE_SIDE_LOWER or CALCORE_SIDE_UPPER")),
            }
        })
    }
}

/// Releases a thermocouple; null is fine.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_free(couple: *mut calcore_thermocouple) {
    // SAFETY: the contract of the header.
    unsafe { release(couple) }
}

/// Makes a curve of a thermocouple, its reference junction at 0 °C, for all that takes a calcore_curve. The thermocouple is
/// copied and stays the caller's.
///
/// `*curve` receives a handle that the caller releases by calcore_curve_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_from_thermocouple(
    couple: *const calcore_thermocouple,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Thermocouple(*held(couple)?))) }
}

/// Says the ranges of a thermocouple and the proven bounds of its errors. Set `numbers->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_describe(
    couple: *const calcore_thermocouple,
    numbers: *mut calcore_thermocouple_numbers,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let couple = held(couple)?;
            let (t, mv, approximate) = (couple.range(), couple.signal_range(), couple.approximate_range());
            Ok(calcore_thermocouple_numbers {
                size: 0,
                low_c: t.low,
                high_c: t.high,
                low_mv: mv.low,
                high_mv: mv.high,
                emf_error_bound_mv: couple.kind().emf_error_bound_mv(),
                inverse_error_bound_k: couple.kind().inverse_error_bound_k(),
                approximate_low_mv: approximate.map_or(f64::NAN, |range| range.low),
                approximate_high_mv: approximate.map_or(f64::NAN, |range| range.high),
            })
        })
    }
}

/// Emf at a temperature, with the reference junction at another: E(t_c) - E(reference_junction_c), mV.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_emf(
    couple: *const calcore_thermocouple,
    t_c: f64,
    reference_junction_c: f64,
    mv: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("mv", mv), || Ok(held(couple)?.emf(t_c, reference_junction_c)?)) }
}

/// Temperature that gives an emf (mV) with the reference junction at `reference_junction_c`: emfs are added, never
/// temperatures. Exact to what a double of emf can tell apart.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_INVALID_VALUE for an emf that two temperatures of type B
/// give, which the text names.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_temperature(
    couple: *const calcore_thermocouple,
    mv: f64,
    reference_junction_c: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(held(couple)?.temperature(mv, reference_junction_c)?)) }
}

/// Change of the emf per kelvin (Seebeck coefficient) at a temperature, mV/K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_slope(
    couple: *const calcore_thermocouple,
    t_c: f64,
    mv_per_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("mv_per_k", mv_per_k), || Ok(held(couple)?.slope(t_c)?)) }
}

/// Emf between two junctions, E(t_hot_c) - E(t_cold_c), mV; of type B the whole range whatever its side.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_emf_between(
    couple: *const calcore_thermocouple,
    t_hot_c: f64,
    t_cold_c: f64,
    mv: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("mv", mv), || Ok(held(couple)?.emf_between(t_hot_c, t_cold_c)?)) }
}

/// Temperature by the published approximate inverse polynomial, reference junction at 0 °C. It is off by what its document
/// states, some hundredths of a kelvin; calcore_thermocouple_temperature is exact.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNKNOWN_NAME for a type without one.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_temperature_approximate(
    couple: *const calcore_thermocouple,
    mv: f64,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("t_c", t_c), || Ok(held(couple)?.temperature_approximate(mv)?)) }
}

/// The error band that the document of the approximate inverse states at an emf: `*low_k` to `*high_k`, approximate minus
/// exact; NaN where no band is published.
///
/// Status: as calcore_thermocouple_temperature_approximate.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_approximate_band(
    couple: *const calcore_thermocouple,
    mv: f64,
    low_k: *mut f64,
    high_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let band = held(couple)?.approximate_error_band_k(mv)?.unwrap_or((f64::NAN, f64::NAN));
            let (low, high) = (Output::new("low_k", low_k)?, Output::new("high_k", high_k)?);
            low.set(band.0);
            high.set(band.1);
            Ok(())
        })
    }
}

/// The reference junctions of an array function: none (0 °C), one for all, or one for each element.
///
/// # Safety
/// `junctions_c` points to `n_junctions` doubles, or `n_junctions` is 0.
unsafe fn junctions<'a>(junctions_c: *const f64, n_junctions: usize) -> Result<ReferenceJunction<'a>, Failure> {
    // SAFETY: as promised.
    let all = unsafe { input("reference_junction_c", junctions_c, n_junctions) }?;
    Ok(match all {
        [] => ReferenceJunction::At(0.0),
        [one] => ReferenceJunction::At(*one),
        _ => ReferenceJunction::Each(all),
    })
}

/// Emf at n temperatures. `reference_junction_c`: `n_junctions` temperatures, none (0 °C), 1 for all, or n, one for each.
/// `flags`: CALCORE_STRICT or CALCORE_INVALID_NAN; the reference functions are not extrapolated.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, both with index and count of the offending elements, before anything
/// is written; CALCORE_E_LENGTH_MISMATCH; CALCORE_E_INVALID_VALUE when CALCORE_EXTRAPOLATE would be needed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_emf_array(
    couple: *const calcore_thermocouple,
    t_c: *const f64,
    n: usize,
    reference_junction_c: *const f64,
    n_junctions: usize,
    flags: i32,
    mv: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (couple, handling) = (held(couple)?, handling(flags)?);
            let junctions = junctions(reference_junction_c, n_junctions)?;
            let given = input("t_c", t_c, n)?;
            let mut found = vec![0.0; given.len()];
            couple.emf_slice(given, junctions, &mut found, handling)?;
            copy("mv", &found, mv, n)
        })
    }
}

/// Temperatures that give n emfs. Reference junctions, flags and status: as calcore_thermocouple_emf_array, and for type B
/// CALCORE_E_INVALID_VALUE for an emf that two temperatures give.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_temperature_array(
    couple: *const calcore_thermocouple,
    mv: *const f64,
    n: usize,
    reference_junction_c: *const f64,
    n_junctions: usize,
    flags: i32,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (couple, handling) = (held(couple)?, handling(flags)?);
            let junctions = junctions(reference_junction_c, n_junctions)?;
            let given = input("mv", mv, n)?;
            let mut found = vec![0.0; given.len()];
            couple.temperature_slice(given, junctions, &mut found, handling)?;
            copy("t_c", &found, t_c, n)
        })
    }
}

/// Temperatures of n emfs by the published approximate inverse. `flags`: CALCORE_STRICT or CALCORE_INVALID_NAN.
///
/// Status: as calcore_thermocouple_temperature_approximate, with index and count, before anything is written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_thermocouple_temperature_approximate_array(
    couple: *const calcore_thermocouple,
    mv: *const f64,
    n: usize,
    flags: i32,
    t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (couple, handling) = (held(couple)?, handling(flags)?);
            let given = input("mv", mv, n)?;
            let mut found = vec![0.0; given.len()];
            couple.temperature_approximate_slice(given, &mut found, handling.invalid)?;
            copy("t_c", &found, t_c, n)
        })
    }
}

/// Error that extension wires cause, with the head of the couple at `t_head_c` and the reference junction, at the
/// instrument, at `reference_junction_c`. `wire`: a CALCORE_WIRE_ constant; `deviation_mv` counts only for
/// CALCORE_WIRE_DEVIATING, `other` (else null) only for CALCORE_WIRE_OTHER. Set `error->size` first.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_extension_wire_error(
    couple: *const calcore_thermocouple,
    wire: i32,
    deviation_mv: f64,
    other: *const calcore_thermocouple,
    t_hot_c: f64,
    t_head_c: f64,
    reference_junction_c: f64,
    error: *mut calcore_wire_error,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, error, || {
            let wire = match wire {
                CALCORE_WIRE_DEVIATING => ExtensionWire::Deviating { mv: deviation_mv },
                CALCORE_WIRE_REVERSED => ExtensionWire::Reversed,
                CALCORE_WIRE_OTHER => ExtensionWire::Other(*held(other)?),
                CALCORE_WIRE_COPPER => ExtensionWire::Copper,
                _ => return Err(Failure::option("wire", wire, "a CALCORE_WIRE_ constant")),
            };
            let found = extension_wire_error(held(couple)?, wire, t_hot_c, t_head_c, reference_junction_c)?;
            Ok(calcore_wire_error { size: 0, error_mv: found.error_mv, error_k: found.error_k })
        })
    }
}
