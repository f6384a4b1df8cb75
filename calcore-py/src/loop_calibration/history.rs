//! Calibrations over the years: drift and intervals.

use super::RunResult;
use super::compare::Change;
use super::document::document;
use crate::arrays::{elementwise, series};
use crate::errors::{OrRaise, exception};
use crate::json;
use crate::objects::{Series, add_function, html_table, shown};
use crate::whole::whole_number;
use calcore::Error;
use calcore::loop_calibration::{self as core, Calibration, HistoryPoint, Staircase};
use pyo3::prelude::*;
use pyo3::types::PyTuple;

document! {
    /// Drift of one point over its calibrations.
    ///
    /// Examples
    /// --------
    /// >>> drift = cc.loop_calibration.history([0.0, 1.0, 2.0, 3.0], [0.0, 0.1, 0.2, 0.3], [0.02] * 4)
    /// >>> round(drift.slope_k_per_a, 9)
    /// 0.1
    Drift(core::Drift) of "cc.loop_calibration.history([0.0, 1.0, 2.0], [0.0, 0.1, 0.2], [0.02] * 3)" {
        /// Drift, K a year.
        slope_k_per_a: f64 = |d| d.slope_k_per_a;
        /// Its standard uncertainty, K a year: the larger of what scatter and stated uncertainties say of the line.
        u_slope_k_per_a: f64 = |d| d.u_slope_k_per_a;
        /// Value of the line at the first calibration, K.
        first_k: f64 = |d| d.first_k;
        /// Residual standard deviation about the line, K.
        residual_standard_deviation_k: f64 = |d| d.residual_standard_deviation_k;
        /// Degrees of freedom.
        degrees_of_freedom: usize = |d| d.degrees_of_freedom;
        /// Probability of such a drift by chance, two-sided.
        p_value: f64 = |d| d.p_value;
        /// Errors with all adjustments taken out, joined as left to as found, K.
        joined_k: Series = |d| Series(d.joined_k.clone());
    }

    /// Error to be expected at a time, and the standard uncertainty of a single calibration then, K.
    ///
    /// The uncertainty is the larger of what the scatter about the line and what the stated uncertainties say; the
    /// calibration to come counts as uncertain as those that were, on average (root of the mean square).
    ///
    /// Parameters
    /// ----------
    /// time_a : float or array-like
    ///     Years, on the clock of the history.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the same shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> drift = cc.loop_calibration.history([0.0, 1.0, 2.0, 3.0], [0.0, 0.1, 0.2, 0.3], [0.02] * 4)
    /// >>> round(drift.predict(4.0)[0], 9)
    /// 0.4
    fn predict<'py>(&self, time_a: &Bound<'py, PyAny>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let value = elementwise("time_a", time_a, |t| Ok(self.0.predict(t)?.0))?;
        Ok((value, elementwise("time_a", time_a, |t| Ok(self.0.predict(t)?.1))?))
    }

    /// The first time at which the expected error with its uncertainty reaches a limit, years; None within `longest_a`.
    ///
    /// Parameters
    /// ----------
    /// limit_k : float
    ///     K.
    /// probability : float
    ///     Two-sided probability of the uncertainty, between 0 and 1.
    /// longest_a : float
    ///     Longest interval to look at, years.
    ///
    /// Returns
    /// -------
    /// float or None
    ///     Years, on the clock of the history.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// ILAC-G24:2022 / OIML D 10:2022, method 2 (from memory).
    ///
    /// Examples
    /// --------
    /// >>> drift = cc.loop_calibration.history([0.0, 1.0, 2.0, 3.0], [0.0, 0.1, 0.2, 0.3], [0.02] * 4)
    /// >>> 3.0 < drift.due(0.6) < 6.0
    /// True
    #[pyo3(signature = (limit_k, *, probability=0.95, longest_a=10.0))]
    fn due(&self, py: Python<'_>, limit_k: f64, probability: f64, longest_a: f64) -> PyResult<Option<f64>> {
        self.0.due(limit_k, probability, longest_a).or_raise(py)
    }

    fn __repr__(&self) -> String {
        let core::Drift { slope_k_per_a, u_slope_k_per_a, p_value, .. } = &self.0;
        format!("Drift({slope_k_per_a:?} K a year, u={u_slope_k_per_a:?} K a year, p={p_value:?})")
    }
}

document! {
    /// One instrument at one set point over its calibrations.
    ///
    /// Examples
    /// --------
    /// >>> point = cc.loop_calibration.histories([(2024.0, result), (2025.0, result), (2026.0, result)])[0]
    /// >>> point.tag, point.drift.slope_k_per_a, [change.e_n for change in point.changes]
    /// ('TE-4107', 0.0, [0.0, 0.0])
    PointHistory(core::PointHistory) of "cc.loop_calibration.histories([(2025.0, result), (2026.0, result)])[0]" {
        /// Tag of the instrument.
        tag: String = |h| h.tag.clone();
        /// The set point, °C.
        nominal_c: f64 = |h| h.nominal_c;
        /// "up" or "down"; None where the runs do not say.
        direction: Option<String> = |h| h.direction.as_ref().map(json::name);
        /// When, years.
        time_a: Series = |h| Series(h.points.iter().map(|point| point.time_a).collect());
        /// Errors as found, K.
        as_found_k: Series = |h| Series(h.points.iter().map(|point| point.as_found_k).collect());
        /// Their standard uncertainties, K, without what the same reference contributes to all.
        standard_uncertainty_k: Series = |h| Series(h.points.iter().map(|point| point.standard_uncertainty_k).collect());
        /// Errors as left, K; NaN where nothing was adjusted.
        as_left_k: Series = |h| Series(h.points.iter().map(|point| point.as_left_k.unwrap_or(f64::NAN)).collect());
        /// From what was left at one calibration to what was found at the next.
        changes: Vec<Change> = |h| h.changes.iter().cloned().map(Change).collect();
        /// Drift over all; None below three calibrations.
        drift: Option<Drift> = |h| h.drift.clone().map(Drift);
    }

    fn __repr__(&self) -> String {
        let drift = self.0.drift.as_ref().map_or("no drift yet".into(), |drift| {
            format!("{} K a year ± {} K a year", shown(drift.slope_k_per_a), shown(drift.u_slope_k_per_a))
        });
        format!("PointHistory({} at {} °C, {} calibrations: {drift})", self.0.tag, self.0.nominal_c, self.0.points.len())
    }

    fn _repr_html_(&self) -> String {
        let rows: Vec<Vec<String>> = self
            .0
            .points
            .iter()
            .map(|point| {
                vec![
                    shown(point.time_a),
                    format!("{:+.3}", point.as_found_k),
                    point.as_left_k.map_or("as found".into(), |k| format!("{k:+.3}")),
                    format!("{:.3}", point.standard_uncertainty_k),
                ]
            })
            .collect();
        let caption = format!("{} at {} °C", self.0.tag, self.0.nominal_c);
        html_table(&caption, &["time, a", "as found, K", "as left, K", "u, K"], &rows)
    }
}

/// The history of every instrument and set point, from the results of their calibrations.
///
/// Parameters
/// ----------
/// calibrations : sequence of (float, RunResult) or (float, RunResult, RunResult or None)
///     When, years from any moment, rising; what was found; what was left if anything was adjusted.
///
/// Returns
/// -------
/// list of PointHistory
///     One an instrument and set point of the first calibration.
///
/// Raises
/// ------
/// TooFewPointsError
///     Below two calibrations.
/// InvalidValueError
///     For times that do not rise.
/// InvalidRunError
///     For results of another phase than their place: as-found first, as-left second.
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022; ISO 13528:2022, 9.7.
///
/// Examples
/// --------
/// >>> yearly = [(2024.0, result), (2025.0, result), (2026.0, result)]
/// >>> len(cc.loop_calibration.histories(yearly)) == len(result.covariance)
/// True
#[pyfunction]
#[pyo3(signature = (calibrations))]
fn histories(py: Python<'_>, calibrations: Vec<Bound<'_, PyTuple>>) -> PyResult<Vec<PointHistory>> {
    let read: Vec<(f64, Bound<'_, RunResult>, Option<Bound<'_, RunResult>>)> = calibrations
        .iter()
        .map(|one| {
            if one.len() == 2 {
                let (time_a, found) = one.extract()?;
                return Ok((time_a, found, None));
            }
            one.extract()
        })
        .collect::<PyResult<_>>()?;
    let calibrations: Vec<Calibration<'_>> = read
        .iter()
        .map(|(time_a, found, left)| Calibration {
            time_a: *time_a,
            as_found: &found.get().0,
            as_left: left.as_ref().map(|left| &left.get().0),
        })
        .collect();
    Ok(core::histories(&calibrations).or_raise(py)?.into_iter().map(PointHistory).collect())
}

/// Drift of one point by its calibrations, with every adjustment as a change of level.
///
/// The line is unweighted: a calibration that was less certain counts as much as the others, and its uncertainty goes into
/// that of the line.
///
/// Parameters
/// ----------
/// time_a : array-like
///     When, years from any moment, rising.
/// as_found_k : array-like
///     Errors as found, K.
/// standard_uncertainty_k : array-like
///     Their standard uncertainties, K, without what the same reference contributes to all.
/// as_left_k : sequence of float or None, optional
///     Errors as left, K; None where it was not adjusted.
///
/// Returns
/// -------
/// Drift
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError
/// TooFewPointsError
///     Below three calibrations.
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022; JCGM 100:2008, 5.1.2.
///
/// Examples
/// --------
/// >>> drift = cc.loop_calibration.history([0.0, 1.0, 2.0], [0.0, 0.5, 0.5], [0.02] * 3, [None, 0.0, None])
/// >>> round(drift.slope_k_per_a, 9)
/// 0.5
#[pyfunction]
#[pyo3(signature = (time_a, as_found_k, standard_uncertainty_k, as_left_k=None))]
fn history(
    time_a: &Bound<'_, PyAny>,
    as_found_k: &Bound<'_, PyAny>,
    standard_uncertainty_k: &Bound<'_, PyAny>,
    as_left_k: Option<Vec<Option<f64>>>,
) -> PyResult<Drift> {
    let py = time_a.py();
    let (times, found) = (series("time_a", time_a)?, series("as_found_k", as_found_k)?);
    let uncertainties = series("standard_uncertainty_k", standard_uncertainty_k)?;
    let left = as_left_k.unwrap_or_else(|| vec![None; times.len()]);
    let lengths =
        [("as_found_k", found.len()), ("standard_uncertainty_k", uncertainties.len()), ("as_left_k", left.len())];
    if let Some((what, length)) = lengths.into_iter().find(|(_, length)| *length != times.len()) {
        return Err(exception(py, &Error::LengthMismatch { what, expected: times.len(), found: length }));
    }
    let points: Vec<HistoryPoint> = (0..times.len())
        .map(|i| HistoryPoint {
            time_a: times[i],
            as_found_k: found[i],
            standard_uncertainty_k: uncertainties[i],
            as_left_k: left[i],
        })
        .collect();
    Ok(Drift(core::history(&points).or_raise(py)?))
}

/// Next interval by the staircase: longer when little of the tolerance was found used, shorter when it failed.
///
/// Parameters
/// ----------
/// interval : float
///     Present interval, in any unit.
/// used : float
///     Largest part of the tolerance that was found used; above 1 it failed.
/// extend_below : float
///     Part of the tolerance within which an error must lie for a longer interval; above 0, at most 1.
/// extend_by, shorten_by : float
///     Factors of a longer and of a shorter interval.
/// limits : (float, float)
///     Shortest and longest interval allowed.
///
/// Returns
/// -------
/// float
///     In the unit of the present one.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022, method 1 (80 % from memory); the factors: common practice, no source.
///
/// Examples
/// --------
/// >>> cc.loop_calibration.staircase(12.0, 0.5, extend_by=1.5, shorten_by=0.5, limits=(3.0, 36.0))
/// 18.0
#[pyfunction]
#[pyo3(signature = (interval, used, *, extend_below=0.8, extend_by, shorten_by, limits))]
fn staircase(
    py: Python<'_>,
    interval: f64,
    used: f64,
    extend_below: f64,
    extend_by: f64,
    shorten_by: f64,
    limits: (f64, f64),
) -> PyResult<f64> {
    core::staircase(interval, used, &Staircase { extend_below, extend_by, shorten_by, limits }).or_raise(py)
}

/// Calendar time until an interval in hours of use has passed, years.
///
/// Parameters
/// ----------
/// interval_h : float
///     Interval, hours of use.
/// used_h : float
///     Hours used so far.
/// hours_per_a : float
///     Hours of use a year.
///
/// Returns
/// -------
/// float
///     Years.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022, method 3 (from memory).
///
/// Examples
/// --------
/// >>> cc.loop_calibration.in_use(1000.0, 500.0, 250.0)
/// 2.0
#[pyfunction]
#[pyo3(signature = (interval_h, used_h, hours_per_a))]
fn in_use(py: Python<'_>, interval_h: f64, used_h: f64, hours_per_a: f64) -> PyResult<f64> {
    core::in_use(interval_h, used_h, hours_per_a).or_raise(py)
}

/// Which of the checks between calibrations was the first to demand one, counted from 0; None if all lie within.
///
/// Parameters
/// ----------
/// check_k : array-like
///     Differences from a check standard, K.
/// u_k : array-like
///     Their standard uncertainties, K.
/// limit_k : float
///     Limit, K.
/// coverage_factor : float
///     A check demands a calibration where its amount plus so many standard uncertainties exceeds the limit.
///
/// Returns
/// -------
/// int or None
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022, method 4 (from memory).
///
/// Examples
/// --------
/// >>> cc.loop_calibration.in_service([0.1, 0.3, 0.5], [0.05] * 3, 0.35)
/// 1
#[pyfunction]
#[pyo3(signature = (check_k, u_k, limit_k, coverage_factor=2.0))]
fn in_service(
    check_k: &Bound<'_, PyAny>,
    u_k: &Bound<'_, PyAny>,
    limit_k: f64,
    coverage_factor: f64,
) -> PyResult<Option<usize>> {
    let (checks, u) = (series("check_k", check_k)?, series("u_k", u_k)?);
    core::in_service(&checks, &u, limit_k, coverage_factor).or_raise(check_k.py())
}

document! {
    /// An interval for a target reliability.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.loop_calibration.reliability_interval(12.0, 90, 100, target=0.95).interval, 2)
    /// 5.84
    ReliabilityInterval(core::ReliabilityInterval) of "cc.loop_calibration.reliability_interval(12.0, 90, 100, target=0.95)" {
        /// The interval, in the unit of the present one.
        interval: f64 = |r| r.interval;
        /// Share that was found in tolerance.
        observed: f64 = |r| r.observed;
        /// The same interval by the lower end of the share that the number of calibrations supports.
        shortest: f64 = |r| r.shortest;
        /// The same by its upper end; infinite where nothing speaks against 1.
        longest: f64 = |r| r.longest;
    }

    fn __repr__(&self) -> String {
        let core::ReliabilityInterval { interval, shortest, longest, .. } = self.0;
        format!("ReliabilityInterval({interval:?}, {shortest:?} to {longest:?})")
    }
}

/// The interval at which a target share is still in tolerance, for an exponential loss of reliability.
///
/// Parameters
/// ----------
/// interval : float
///     Present interval, in any unit.
/// in_tolerance, calibrations : int
///     How many of how many calibrations found the instrument in tolerance.
/// target : float
///     Share to be reached.
/// probability : float
///     Probability of the bounds.
///
/// Returns
/// -------
/// ReliabilityInterval
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, NotFiniteError, TooFewPointsError
///
/// Source
/// ------
/// ILAC-G24:2022 / OIML D 10:2022, method 5; Wilson, J. Am. Stat. Assoc. 22 (1927).
///
/// Examples
/// --------
/// >>> cc.loop_calibration.reliability_interval(12.0, 90, 100, target=0.95).observed
/// 0.9
#[pyfunction]
#[pyo3(signature = (interval, in_tolerance, calibrations, *, target, probability=0.95))]
fn reliability_interval(
    py: Python<'_>,
    interval: f64,
    #[pyo3(from_py_with = whole_number)] in_tolerance: usize,
    #[pyo3(from_py_with = whole_number)] calibrations: usize,
    target: f64,
    probability: f64,
) -> PyResult<ReliabilityInterval> {
    let found = core::reliability_interval(interval, in_tolerance, calibrations, target, probability);
    Ok(ReliabilityInterval(found.or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Drift>()?;
    module.add_class::<PointHistory>()?;
    module.add_class::<ReliabilityInterval>()?;
    for function in [
        wrap_pyfunction!(history, module)?,
        wrap_pyfunction!(histories, module)?,
        wrap_pyfunction!(staircase, module)?,
        wrap_pyfunction!(in_use, module)?,
        wrap_pyfunction!(in_service, module)?,
        wrap_pyfunction!(reliability_interval, module)?,
    ] {
        add_function(module, "loop_calibration", &function)?;
    }
    Ok(())
}
