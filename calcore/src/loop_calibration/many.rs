//! Many runs at once.

use super::result::RunResult;
use super::run::Run;
use crate::error::Result;
use std::borrow::Borrow;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Evaluates runs on several threads; the results stand in the order of the runs and do not depend on the number of
/// threads. The runs, or references to them; `threads` 0 takes as many as the machine has.
///
/// # Example
/// ```
/// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
/// use calcore::loop_calibration::{Run, evaluate_all};
/// let runs = vec![Run::from_json(text)?; 3];
/// let results = evaluate_all(&runs, 2);
/// assert!(results.iter().all(|result| *result == runs[0].evaluate()));
/// # Ok::<(), calcore::Error>(())
/// ```
#[must_use]
pub fn evaluate_all<R: Borrow<Run> + Sync>(runs: &[R], threads: usize) -> Vec<Result<RunResult>> {
    let machine = || std::thread::available_parallelism().map_or(1, usize::from);
    let threads = if threads == 0 { machine() } else { threads }.min(runs.len().max(1));
    if threads == 1 {
        return runs.iter().map(|run| run.borrow().evaluate()).collect();
    }
    let next = AtomicUsize::new(0);
    // Each worker takes the next run that nobody has taken and remembers its number.
    let work = || {
        let mut done = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(run) = runs.get(i) else { return done };
            done.push((i, run.borrow().evaluate()));
        }
    };
    let mut done: Vec<(usize, Result<RunResult>)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut done = work();
        for worker in workers {
            match worker.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, result)| result).collect()
}
