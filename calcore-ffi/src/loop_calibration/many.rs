//! Section "loop calibration": many runs at once.

use super::result::calcore_result;
use super::run::calcore_run;
use crate::array::{Output, input, output_of};
use crate::guard::guard;
use crate::handle::{hand_out, held};
use crate::message::calcore_error;
use crate::status::*;
use calcore::loop_calibration::{Run, evaluate_all};
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
