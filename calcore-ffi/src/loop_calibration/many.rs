//! Section "loop calibration": many runs at once.

use super::result::calcore_result;
use super::run::calcore_run;
use crate::array::{Output, input, output_of};
use crate::decision::verdict_number;
use crate::guard::guard;
use crate::handle::{hand_out, held};
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::loop_calibration::{PointRow, Run, evaluate_all, evaluate_points};
use std::ptr;

/// Evaluates `n` runs on `threads` threads (0: as many as the machine runs at once); the results do not depend on it.
///
/// `results`: room for n handles, which the caller releases by calcore_result_free; null where a run could not be evaluated.
/// `statuses`: null, or room for n: CALCORE_OK or why not; calcore_run_evaluate on that run gives the text.
/// Status: CALCORE_E_HANDLE, CALCORE_E_NULL for a handle that is none; faults of a run are in `statuses`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_evaluate_all(
    runs: *const *const calcore_run,
    n: usize,
    threads: usize,
    results: *mut *mut calcore_result,
    statuses: *mut calcore_status,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let runs = input("runs", runs, n)?.iter().map(|run| held(*run)).collect::<Result<Vec<&Run>, _>>()?;
            output_of("results", results, n)?;
            let statuses = output_of("statuses", statuses, if statuses.is_null() { 0 } else { n })?;
            let found = evaluate_all(&runs, threads);
            for (place, outcome) in statuses.iter_mut().zip(&found) {
                place.write(outcome.as_ref().map_or_else(calcore::Error::code, |_| CALCORE_OK));
            }
            for (i, outcome) in found.into_iter().enumerate() {
                let target = Output::new("results", results.add(i))?;
                match outcome {
                    Ok(result) => hand_out(target, result),
                    Err(_) => target.set(ptr::null_mut()),
                }
            }
            Ok(())
        })
    }
}

/// One instrument at one set point of one of many runs. Elements of arrays: this struct never grows.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_point_row {
    /// Which of the runs, counted from 0.
    pub run: usize,
    /// Which instrument of that run, counted from 0 in the order of its description.
    pub instrument: usize,
    /// Which set point of that run, counted from 0.
    pub set_point: usize,
    /// CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
    /// Temperature by the reference at the moments of the readings, mean, °C.
    pub reference_c: f64,
    /// Temperature that the readings stand for, mean, °C.
    pub indicated_c: f64,
    /// Error, K.
    pub error_k: f64,
    /// Standard uncertainty of the error, K.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of the error, K.
    pub expanded_uncertainty_k: f64,
    /// Coverage factor.
    pub coverage_factor: f64,
    /// Most negative error allowed, K.
    pub tolerance_lower_k: f64,
    /// Most positive error allowed, K.
    pub tolerance_upper_k: f64,
    /// Probability that the error lies within the tolerance.
    pub probability_of_conformity: f64,
}

fn row(r: &PointRow) -> calcore_point_row {
    calcore_point_row {
        run: r.run,
        instrument: r.instrument,
        set_point: r.set_point,
        verdict: verdict_number(r.verdict),
        reserved: 0,
        reference_c: r.reference_c,
        indicated_c: r.indicated_c,
        error_k: r.error_k,
        standard_uncertainty_k: r.standard_uncertainty_k,
        expanded_uncertainty_k: r.expanded_uncertainty_k,
        coverage_factor: r.coverage_factor,
        tolerance_lower_k: r.tolerance_lower_k,
        tolerance_upper_k: r.tolerance_upper_k,
        probability_of_conformity: r.probability_of_conformity,
    }
}

/// The points of `n` runs as one table, evaluated on `threads` threads (0: as many as the machine runs at once): a row for each
/// instrument and set point, in the order of the runs. Needs no more memory than the rows.
///
/// `rows`: room for `capacity` rows; there are no more than readings of instruments. `*written` receives their number. `statuses`:
/// null, or room for n: CALCORE_OK, or why the run has no rows; the rows of the other runs are there.
/// Status: CALCORE_E_HANDLE, CALCORE_E_NULL for a handle that is none; CALCORE_E_BUFFER_TOO_SMALL, with the rows needed as `value` of
/// the error.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_evaluate_points(
    runs: *const *const calcore_run,
    n: usize,
    threads: usize,
    rows: *mut calcore_point_row,
    capacity: usize,
    written: *mut usize,
    statuses: *mut calcore_status,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let runs = input("runs", runs, n)?.iter().map(|run| held(*run)).collect::<Result<Vec<&Run>, _>>()?;
            let room = output_of("rows", rows, capacity)?;
            let written = Output::new("written", written)?;
            let statuses = output_of("statuses", statuses, if statuses.is_null() { 0 } else { n })?;
            let found = evaluate_points(&runs, threads);
            let needed = found.iter().flatten().map(Vec::len).sum::<usize>();
            if needed > capacity {
                let message = format!("rows holds {capacity}, the points of the runs take {needed}");
                let (value, high) = (needed as f64, capacity as f64);
                return Err(Failure::Border { code: CALCORE_E_BUFFER_TOO_SMALL, message, value, high });
            }
            for (place, outcome) in statuses.iter_mut().zip(&found) {
                place.write(outcome.as_ref().map_or_else(calcore::Error::code, |_| CALCORE_OK));
            }
            for (place, point) in room.iter_mut().zip(found.iter().flatten().flatten()) {
                place.write(row(point));
            }
            written.set(needed);
            Ok(())
        })
    }
}
