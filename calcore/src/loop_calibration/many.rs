//! Many runs at once.

use super::result::{PointResult, RunResult};
use super::run::Run;
use crate::decision::Verdict;
use crate::error::Result;
use std::borrow::Borrow;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Evaluates runs on several threads; the results stand in the order of the runs and do not depend on the number of
/// threads. The runs, or references to them; `threads` 0 takes as many as the machine has.
///
/// A run that cannot be evaluated has its error in its own place and leaves the others alone. A result keeps its whole
/// budget and the run itself, some hundred kilobytes: [`evaluate_each`] keeps less.
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
    evaluate_each(runs, threads, |_, result| result)
}

/// Evaluates runs on several threads and keeps of each what `keep` makes of its number and its result, on the thread
/// that computed it: ten thousand runs need no more memory than what is kept of them.
///
/// # Example
/// ```
/// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
/// use calcore::loop_calibration::{Run, evaluate_each};
/// let runs = vec![Run::from_json(text)?; 3];
/// let causes = evaluate_each(&runs, 2, |_, result| result.map(|found| found.attribution[0].cause.clone()));
/// assert_eq!(causes[2].as_deref(), Ok("TT-4107 mA"));
/// # Ok::<(), calcore::Error>(())
/// ```
#[must_use]
pub fn evaluate_each<R: Borrow<Run> + Sync, T: Send>(
    runs: &[R],
    threads: usize,
    keep: impl Fn(usize, Result<RunResult>) -> T + Sync,
) -> Vec<T> {
    let machine = || std::thread::available_parallelism().map_or(1, usize::from);
    let threads = if threads == 0 { machine() } else { threads }.min(runs.len().max(1));
    let one = |i: usize, run: &R| keep(i, run.borrow().evaluate());
    if threads == 1 {
        return runs.iter().enumerate().map(|(i, run)| one(i, run)).collect();
    }
    let next = AtomicUsize::new(0);
    // Each worker takes the next run that nobody has taken and remembers its number.
    let work = || {
        let mut done = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(run) = runs.get(i) else { return done };
            done.push((i, one(i, run)));
        }
    };
    let mut done: Vec<(usize, T)> = std::thread::scope(|scope| {
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
    done.into_iter().map(|(_, kept)| kept).collect()
}

/// One instrument at one set point of one of many runs: the numbers of a table, without budget and texts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PointRow {
    /// Which of the runs, counted from 0.
    pub run: usize,
    /// Which instrument of that run, counted from 0 in the order of its description.
    pub instrument: usize,
    /// Which set point of that run, counted from 0.
    pub set_point: usize,
    /// What the decision rule says.
    pub verdict: Verdict,
    /// Temperature by the reference thermometer at the moments of the readings, mean, °C.
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

/// The rows of all points of many runs: in the order of the runs, and of their instruments and points. A run that cannot
/// be evaluated has its error in its own place.
///
/// # Example
/// ```
/// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
/// use calcore::loop_calibration::{Run, evaluate_points};
/// let good = Run::from_json(text)?;
/// let bad = Run { set_points: Vec::new(), ..good.clone() };
/// let tables = evaluate_points(&[&good, &bad, &good], 2);
/// assert!(tables[1].is_err());
/// let (first, last) = (tables[0].as_ref().unwrap(), tables[2].as_ref().unwrap());
/// assert_eq!((first.len(), first[7].error_k, last[7].run), (last.len(), last[7].error_k, 2));
/// # Ok::<(), calcore::Error>(())
/// ```
#[must_use]
pub fn evaluate_points<R: Borrow<Run> + Sync>(runs: &[R], threads: usize) -> Vec<Result<Vec<PointRow>>> {
    evaluate_each(runs, threads, |run, result| result.map(|found| rows(run, &found)))
}

fn rows(run: usize, found: &RunResult) -> Vec<PointRow> {
    let mut rows = Vec::with_capacity(found.covariance.size());
    for one in &found.instruments {
        // Instruments that were not read have no entry in the result.
        let instrument = found.run.instruments.iter().position(|described| described.tag == one.tag).unwrap_or(0);
        rows.extend(one.points.iter().map(|point| row(run, instrument, point)));
    }
    rows
}

fn row(run: usize, instrument: usize, point: &PointResult) -> PointRow {
    PointRow {
        run,
        instrument,
        set_point: point.set_point,
        verdict: point.verdict,
        reference_c: point.reference_c,
        indicated_c: point.indicated_c,
        error_k: point.error_k,
        standard_uncertainty_k: point.standard_uncertainty_k,
        expanded_uncertainty_k: point.expanded_uncertainty_k,
        coverage_factor: point.coverage_factor,
        tolerance_lower_k: point.tolerance_lower_k,
        tolerance_upper_k: point.tolerance_upper_k,
        probability_of_conformity: point.probability_of_conformity,
    }
}
