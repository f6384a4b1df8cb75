//! Section "loop calibration": a result as JSON, its texts and its points.

use super::records::*;
use crate::array::copy;
use crate::decision::verdict_number;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::settling::steady::{calcore_steadiness, state_of};
use crate::status::*;
use crate::uncertainty::{calcore_budget, calcore_contribution, calcore_named_budget, line, numbers};
use calcore::loop_calibration::{InstrumentResult, PointResult, RunResult, SetPointResult};
use std::ffi::c_char;

/// What came out of a run. Keeps all it needs: the run may be released before it.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_result_free.
pub struct calcore_result {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_result {
    type Held = RunResult;
    const WHAT: &'static str = "calcore_result";
    const TAG: u64 = 0x7365_725f_6363_0004;
}

/// An element of a list of a result.
pub(super) fn element<'a, T>(what: &str, list: &'a [T], i: usize) -> Result<&'a T, Failure> {
    list.get(i).ok_or_else(|| Failure::index(what, i, list.len()))
}

pub(super) fn point_of(result: &RunResult, instrument: usize, point: usize) -> Result<&PointResult, Failure> {
    element("point", &element("instrument", &result.instruments, instrument)?.points, point)
}

/// Releases a result. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_free(result: *mut calcore_result) {
    // SAFETY: the contract of the header.
    unsafe { release(result) }
}

/// Writes a result as JSON into the caller's buffer. The same run gives the same bytes in Rust, C and Python.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_DOCUMENT for a number that JSON cannot hold.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_to_json(
    result: *const calcore_result,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(|| Ok(held(result)?.to_json()?), buffer, capacity, needed)) }
}

/// How much a result holds. Set `counts->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_count(
    result: *const calcore_result,
    counts: *mut calcore_result_counts,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, counts, || {
            let r = held(result)?;
            Ok(calcore_result_counts {
                size: 0,
                set_points: r.set_points.len(),
                instruments: r.instruments.len(),
                attributions: r.attribution.len(),
                element_fits: r.element_fits.len(),
                warnings: r.warnings.len(),
                cautions: r.cautions.len(),
                documents: r.documents.len(),
                errors: r.covariance.size(),
            })
        })
    }
}

/// Number of the instrument with a tag.
///
/// Status: CALCORE_E_UNKNOWN_NAME when no instrument of the result has it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_find(
    result: *const calcore_result,
    tag: *const c_char,
    instrument: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("instrument", instrument), || {
            let (r, tag) = (held(result)?, read_name("tag", tag)?);
            let place = r.instruments.iter().position(|instrument| instrument.tag == tag);
            place.ok_or_else(|| {
                let known: Vec<&str> = r.instruments.iter().map(|instrument| &*instrument.tag).collect();
                let expected = known.join(", ");
                calcore::Error::UnknownName { what: "tag of an instrument", name: tag.into(), expected }.into()
            })
        })
    }
}

/// Set point i of a result. Set `set_point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_set_point(
    result: *const calcore_result,
    i: usize,
    set_point: *mut calcore_set_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, set_point, || {
            let p: &SetPointResult = element("set point", &held(result)?.set_points, i)?;
            Ok(calcore_set_point {
                size: 0,
                nominal_c: p.nominal_c,
                reference_c: p.reference_c,
                standard_uncertainty_k: p.standard_uncertainty_k,
                judged: i32::from(p.steadiness.is_some()),
                reserved: 0,
            })
        })
    }
}

/// Whether the reference was steady at set point i, values in kelvin. Set `steadiness->size` first.
///
/// Status: CALCORE_E_INDEX, also where the run does not say when it counts as steady (`judged` of the set point is 0).
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_steadiness(
    result: *const calcore_result,
    i: usize,
    steadiness: *mut calcore_steadiness,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, steadiness, || {
            let judged = element("set point", &held(result)?.set_points, i)?.steadiness.as_ref();
            judged.map(state_of).ok_or_else(|| Failure::index("judgement of the set point", 0, 0))
        })
    }
}

/// Instrument i of a result, in short. Set `instrument->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_instrument(
    result: *const calcore_result,
    i: usize,
    instrument: *mut calcore_instrument,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, instrument, || {
            let one: &InstrumentResult = element("instrument", &held(result)?.instruments, i)?;
            Ok(calcore_instrument {
                size: 0,
                kind: kind_number(one.kind),
                unit: unit_number(one.unit),
                verdict: verdict_number(one.verdict),
                reserved: 0,
                points: one.points.len(),
                worst_point: one.worst_point,
            })
        })
    }
}

/// Point j of instrument i. Set `point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_point(
    result: *const calcore_result,
    i: usize,
    j: usize,
    point: *mut calcore_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, point, || {
            let p = point_of(held(result)?, i, j)?;
            Ok(calcore_point {
                size: 0,
                set_point: p.set_point,
                contributions: p.budget.contributions.len(),
                verdict: verdict_number(p.verdict),
                reserved: 0,
                nominal_c: p.nominal_c,
                reference_c: p.reference_c,
                reading: p.reading,
                indicated_c: p.indicated_c,
                error: p.error,
                error_k: p.error_k,
                error_percent_of_span: p.error_percent_of_span,
                standard_uncertainty_k: p.standard_uncertainty_k,
                expanded_uncertainty_k: p.expanded_uncertainty_k,
                expanded_uncertainty: p.expanded_uncertainty,
                coverage_factor: p.coverage_factor,
                tolerance_lower_k: p.tolerance_lower_k,
                tolerance_upper_k: p.tolerance_upper_k,
                guard_band_k: p.guard_band_k,
                probability_of_conformity: p.probability_of_conformity,
            })
        })
    }
}

/// Budget of point j of instrument i, in kelvin. Set `budget->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_budget(
    result: *const calcore_result,
    i: usize,
    j: usize,
    budget: *mut calcore_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { fill(err, budget, || Ok(numbers(&point_of(held(result)?, i, j)?.budget))) }
}

/// The same budget with the names of its sources, to be read and changed by them. `*budget` receives a handle that the caller
/// releases by calcore_named_budget_free; it stands without the result. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_named_budget(
    result: *const calcore_result,
    i: usize,
    j: usize,
    budget: *mut *mut calcore_named_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("budget", budget), || Ok(point_of(held(result)?, i, j)?.budget.clone())) }
}

/// Line k of the budget of point j of instrument i. Its source: calcore_result_text. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_contribution(
    result: *const calcore_result,
    i: usize,
    j: usize,
    k: usize,
    contribution: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("contribution", contribution), || {
            Ok(line(element("contribution", &point_of(held(result)?, i, j)?.budget.contributions, k)?))
        })
    }
}

/// Covariance matrix of all errors, K^2, row by row, in the order of the instruments and, within, of their points.
///
/// `n`: room in `covariance`, which must be the square of `errors` of calcore_result_count. Status:
/// CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_covariance(
    result: *const calcore_result,
    covariance: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("covariance", held(result)?.covariance.values(), covariance, n)) }
}
