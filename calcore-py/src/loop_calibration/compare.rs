//! Two runs beside each other, and what a bad reference touched.

use super::RunResult;
use super::document::document;
use crate::arrays::series;
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{add_function, shown};
use calcore::loop_calibration::{self as core, ReferenceFinding};
use pyo3::prelude::*;

document! {
    /// One instrument at one set point in two runs.
    ///
    /// Examples
    /// --------
    /// >>> change = cc.loop_calibration.compare(result, result)[0]
    /// >>> change.change_k, change.significant
    /// (0.0, False)
    Change(core::Change) of "cc.loop_calibration.compare(result, result)[0]" {
        /// Tag of the instrument.
        tag: String = |c| c.tag.clone();
        /// The set point, °C.
        nominal_c: f64 = |c| c.nominal_c;
        /// "up" or "down"; None where the run does not say.
        direction: Option<String> = |c| c.direction.as_ref().map(json::name);
        /// Error in the first run, K.
        before_k: f64 = |c| c.before_k;
        /// Error in the second run, K.
        after_k: f64 = |c| c.after_k;
        /// Second minus first, K.
        change_k: f64 = |c| c.change_k;
        /// Standard uncertainty of the change, K; what the same reference contributes to both cancels.
        standard_uncertainty_k: f64 = |c| c.standard_uncertainty_k;
        /// Expanded uncertainty (k = 2) of the change, K.
        expanded_uncertainty_k: f64 = |c| c.expanded_uncertainty_k;
        /// Change over its expanded uncertainty.
        e_n: f64 = |c| c.e_n;
        /// Whether the change exceeds its expanded uncertainty.
        significant: bool = |c| c.significant;
    }

    fn __repr__(&self) -> String {
        format!(
            "Change({} at {} °C: {} K ± {} K, E_n {})",
            self.0.tag,
            self.0.nominal_c,
            shown(self.0.change_k),
            shown(self.0.expanded_uncertainty_k),
            shown(self.0.e_n)
        )
    }
}

document! {
    /// One result that rests on a reference that was found to be off.
    ///
    /// Examples
    /// --------
    /// >>> touched = cc.loop_calibration.impact([(1.0, result)], "REF-01", [0.0, 300.0], [0.1, 0.1], last_good=0.0, found=2.0)
    /// >>> touched[0].run, round(touched[0].worst_k - touched[0].reported_k, 3)
    /// (0, 0.1)
    Impact(core::Impact) of
        "cc.loop_calibration.impact([(1.0, result)], 'REF-01', [0.0, 300.0], [0.1, 0.1], last_good=0.0, found=2.0)[0]" {
        /// Which run, counted from 0.
        run: usize = |i| i.run;
        /// Tag of the instrument.
        tag: String = |i| i.tag.clone();
        /// Which set point of that run, counted from 0.
        set_point: usize = |i| i.set_point;
        /// Error as it was reported, K.
        reported_k: f64 = |i| i.reported_k;
        /// Verdict as it was reported.
        reported: &'static str = |i| i.reported.name();
        /// Error if the reference drifted evenly since it was last known to be right, K.
        likely_k: f64 = |i| i.likely_k;
        /// Verdict then.
        likely: &'static str = |i| i.likely.name();
        /// Error if it had gone off at once by all that was found, K.
        worst_k: f64 = |i| i.worst_k;
        /// Verdict then.
        worst: &'static str = |i| i.worst.name();
        /// Whether either verdict differs from the reported one.
        changes_verdict: bool = |i| i.changes_verdict;
    }

    fn __repr__(&self) -> String {
        format!(
            "Impact(run {}, {}, set point {}: {} K reported, {} K likely, {} K at worst)",
            self.0.run,
            self.0.tag,
            self.0.set_point,
            shown(self.0.reported_k),
            shown(self.0.likely_k),
            shown(self.0.worst_k)
        )
    }
}

/// Compares two runs of the same instruments, point by point.
///
/// Parameters
/// ----------
/// first, second : RunResult
///     The two results.
///
/// Returns
/// -------
/// list of Change
///     Every instrument and set point that both have, visits from the same side with each other.
///
/// Source
/// ------
/// ISO 13528:2022, 9.7; JCGM 100:2008, 5.2.
///
/// Examples
/// --------
/// >>> cc.loop_calibration.compare(result, result)[0].e_n
/// 0.0
#[pyfunction]
#[pyo3(signature = (first, second))]
fn compare(first: &Bound<'_, RunResult>, second: &Bound<'_, RunResult>) -> Vec<Change> {
    core::compare(&first.get().0, &second.get().0).into_iter().map(Change).collect()
}

/// Normalized error of two results with expanded uncertainties and what they have in common.
///
/// Parameters
/// ----------
/// x1, expanded_1, x2, expanded_2 : float
///     The results and their expanded uncertainties.
/// common_expanded : float
///     What is common to both, expanded in the same way.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
/// OutOfRangeError
///     For a common part that would correlate the results by more than 1.
///
/// Source
/// ------
/// ISO 13528:2022, 9.7.
///
/// Examples
/// --------
/// >>> round(cc.loop_calibration.normalized_error(0.12, 0.06, 0.05, 0.04), 3)
/// 0.971
#[pyfunction]
#[pyo3(signature = (x1, expanded_1, x2, expanded_2, common_expanded=0.0))]
fn normalized_error(
    py: Python<'_>,
    x1: f64,
    expanded_1: f64,
    x2: f64,
    expanded_2: f64,
    common_expanded: f64,
) -> PyResult<f64> {
    core::normalized_error(x1, expanded_1, x2, expanded_2, common_expanded).or_raise(py)
}

/// Which results change when a reference turns out to have been off since it was last known to be right.
///
/// Parameters
/// ----------
/// runs : sequence of (float, RunResult)
///     When each was made, on the clock of the finding, and the result.
/// tag : str
///     Tag of the reference.
/// t_c, error_k : array-like
///     Where, °C, rising, and its error there beyond what its certificate said, K.
/// last_good, found : float
///     When it was last known to be right, and when it was found.
///
/// Returns
/// -------
/// list of Impact
///
/// Raises
/// ------
/// UnknownNameError
///     For a reference that none of the runs used.
/// InvalidValueError
///     For dates that are not in order.
/// CalcoreError
///     What the evaluation refuses, such as a set point outside the points of the finding.
///
/// Source
/// ------
/// ISO/IEC 17025:2017, 7.10; the bounds: common practice, no source.
///
/// Examples
/// --------
/// >>> touched = cc.loop_calibration.impact([(1.0, result)], "REF-01", [0.0, 300.0], [0.1, 0.1],
/// ...                                      last_good=0.0, found=2.0)
/// >>> round(touched[0].likely_k - touched[0].reported_k, 3)
/// 0.05
#[pyfunction]
#[pyo3(signature = (runs, tag, t_c, error_k, *, last_good, found))]
fn impact(
    py: Python<'_>,
    runs: Vec<(f64, Bound<'_, RunResult>)>,
    tag: &str,
    t_c: &Bound<'_, PyAny>,
    error_k: &Bound<'_, PyAny>,
    last_good: f64,
    found: f64,
) -> PyResult<Vec<Impact>> {
    let (t_c, error_k) = (series("t_c", t_c)?, series("error_k", error_k)?);
    let runs: Vec<(f64, &core::RunResult)> = runs.iter().map(|(time, result)| (*time, &result.get().0)).collect();
    let finding = ReferenceFinding { tag: tag.into(), t_c, error_k, last_good, found };
    Ok(core::impact(&runs, &finding).or_raise(py)?.into_iter().map(Impact).collect())
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Change>()?;
    module.add_class::<Impact>()?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(compare, module)?)?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(normalized_error, module)?)?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(impact, module)?)
}
