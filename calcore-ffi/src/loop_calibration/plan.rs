//! Section "loop calibration": the fewest shared set points, before the work.

use super::result::element;
use super::text_handle::{calcore_text, read_text};
use crate::array::copy;
use crate::guard::{fill, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{calcore_error, write_text};
use crate::record::records;
use crate::status::*;
use calcore::loop_calibration::{Plan, fit_points, from_json, plan, to_json};
use std::ffi::c_char;

/// The fewest set points that serve all instruments, their order and time.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_plan_free.
pub struct calcore_plan {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_plan {
    type Held = Plan;
    const WHAT: &'static str = "calcore_plan";
    const TAG: u64 = 0x6e61_6c70_6363_0015;
}

/// A plan in short.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_plan_numbers {
    /// sizeof(calcore_plan_numbers), set by the caller.
    pub size: usize,
    /// Heat sources that are used.
    pub sources: usize,
    /// Set points, over all sources.
    pub set_points: usize,
    /// Time of the whole, s, the sources one after the other.
    pub time_s: f64,
    /// Time of calibrating the instruments one by one, s.
    pub time_one_by_one_s: f64,
    /// 1 if no plan with fewer set points exists, else 0.
    pub optimal: i32,
    /// Zero.
    pub reserved: i32,
}

/// What one heat source does.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_source_plan {
    /// sizeof(calcore_source_plan), set by the caller.
    pub size: usize,
    /// Instruments in it.
    pub instruments: usize,
    /// Set points.
    pub set_points: usize,
    /// Visits, in their order: more than set points where they go up and down.
    pub visits: usize,
    /// Its time, s.
    pub time_s: f64,
}

records!(calcore_plan_numbers, calcore_source_plan);

/// Plans by a request: instruments with their ranges and required points, heat sources, order. `text`: JSON in UTF-8 of `length`
/// bytes, as calcore/schema/loop_calibration_plan_request.json says.
///
/// `*plan` receives a handle that the caller releases by calcore_plan_free.
/// Status: CALCORE_E_UTF8; CALCORE_E_DOCUMENT at the first fault; CALCORE_E_INVALID_RUN with everything that cannot be served.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_from_json(
    text: *const c_char,
    length: usize,
    plan_out: *mut *mut calcore_plan,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("plan", plan_out), || Ok(plan(&from_json(read_text("text", text, length)?)?)?)) }
}

/// Releases a plan. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_free(plan: *mut calcore_plan) {
    // SAFETY: the contract of the header.
    unsafe { release(plan) }
}

/// A plan in short. Set `numbers->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_describe(
    plan: *const calcore_plan,
    numbers: *mut calcore_plan_numbers,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let p = held(plan)?;
            Ok(calcore_plan_numbers {
                size: 0,
                sources: p.sources.len(),
                set_points: p.set_points,
                time_s: p.time_s,
                time_one_by_one_s: p.time_one_by_one_s,
                optimal: i32::from(p.optimal),
                reserved: 0,
            })
        })
    }
}

/// What heat source i does. Set `source->size` first. `buffer`: receives its tag, as calcore_run_to_json does.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_source(
    plan: *const calcore_plan,
    i: usize,
    source: *mut calcore_source_plan,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = crate::record::Target::new(source)?;
            let s = element("heat source", &held(plan)?.sources, i)?;
            write_text(|| Ok(&*s.tag), buffer, capacity, needed)?;
            target.fill(calcore_source_plan {
                size: 0,
                instruments: s.instruments.len(),
                set_points: s.set_points.len(),
                visits: s.visits_c.len(),
                time_s: s.time_s,
            });
            Ok(())
        })
    }
}

/// The set points of heat source i, °C, ascending. `n`: room, which must be `set_points` of calcore_source_plan.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_set_points(
    plan: *const calcore_plan,
    i: usize,
    t_c: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let points = &element("heat source", &held(plan)?.sources, i)?.set_points;
            copy("t_c", &points.iter().map(|p| p.t_c).collect::<Vec<_>>(), t_c, n)
        })
    }
}

/// The visits of heat source i, °C, in their order. `n`: room, which must be `visits` of calcore_source_plan.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_visits(
    plan: *const calcore_plan,
    i: usize,
    t_c: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("t_c", &element("heat source", &held(plan)?.sources, i)?.visits_c, t_c, n)) }
}

/// A whole plan as JSON, with what each set point serves and the proof that fewer do not.
///
/// `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_to_json(
    plan: *const calcore_plan,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(plan)?)?)) }
}

/// The degree + 1 temperatures between `low_c` and `high_c` (°C) at which a polynomial of a degree from 1 to 12 is best fitted.
/// `n`: room in `t_c`, which must be degree + 1. F. Pukelsheim, Optimal Design of Experiments (1993).
///
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_plan_fit_points(
    degree: usize,
    low_c: f64,
    high_c: f64,
    t_c: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("t_c", &fit_points(degree, low_c, high_c)?, t_c, n)) }
}
