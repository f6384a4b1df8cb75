//! Guard bands that meet a given risk.

use super::{limits_of, of_tolerance, process_of};
use crate::arrays::elementwise;
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::decision::{FalseAccept, guard_band as core};
use pyo3::prelude::*;

/// Guard band at which a value on the acceptance limit has a given probability to lie outside the tolerance.
///
/// Beyond either limit: the specific consumer's risk at its largest. Negative for risks above about a half.
///
/// Parameters
/// ----------
/// tolerance : float or (float or None, float or None)
///     Half its width about zero, or its lower and upper limit.
/// u : float
///     Standard uncertainty, in the unit of the tolerance.
/// risk : float
///     The probability, between 0 and 1.
/// degrees_of_freedom : float
///     Of the standard uncertainty; infinite for a normal state of knowledge.
///
/// Returns
/// -------
/// float
///     In the unit of the tolerance.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
/// UndeterminedError
///     Where even a value in the middle of the tolerance has a larger risk.
///
/// Source
/// ------
/// JCGM 106:2012, 8.3.2 and 7.4 (clauses from memory).
///
/// Examples
/// --------
/// >>> round(cc.decision.guard_band_for_specific_risk((None, 1.0), 0.1, 0.05), 4)
/// 0.1645
#[pyfunction]
#[pyo3(signature = (tolerance, u, risk, *, degrees_of_freedom=f64::INFINITY))]
fn guard_band_for_specific_risk(
    tolerance: &Bound<'_, PyAny>,
    u: f64,
    risk: f64,
    degrees_of_freedom: f64,
) -> PyResult<f64> {
    core::for_specific_risk(limits_of(tolerance)?, u, degrees_of_freedom, risk).or_raise(tolerance.py())
}

/// Guard band at which the global consumer's risk of a process has a given value.
///
/// Parameters
/// ----------
/// tolerance : float or (float or None, float or None)
///     Half its width about zero, or its lower and upper limit.
/// process_std : float or Distribution
///     Standard deviation of the true values, which then are normal; or their distribution.
/// u : float
///     Standard uncertainty of the measurement, in the unit of the tolerance.
/// risk : float
///     The false-accept probability that is allowed.
/// convention : {"joint", "given_accepted"}
///     Of all items, or of the accepted ones.
/// relax : bool
///     Whether the limits are moved outward where the risk is met without a guard band; if not, it is 0 then.
/// process_mean : float, optional
///     Mean of normal true values; the middle of the tolerance if it is not given.
///
/// Returns
/// -------
/// float
///     In the unit of the tolerance.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, UnknownNameError, TooFewPointsError
/// UndeterminedError
///     Where no guard band gives that risk.
///
/// Source
/// ------
/// ANSI/NCSL Z540.3-2006, 5.3 b (2 %); JCGM 106:2012, 9.5.
///
/// Examples
/// --------
/// >>> std = cc.decision.process_std_from_in_tolerance(1.0, 0.85)
/// >>> round(cc.decision.guard_band_for_global_risk(1.0, std, 1 / 6), 5)
/// 0.01221
#[pyfunction]
#[pyo3(signature = (tolerance, process_std, u, risk=0.02, *, convention="joint", relax=false, process_mean=None))]
fn guard_band_for_global_risk(
    tolerance: &Bound<'_, PyAny>,
    process_std: &Bound<'_, PyAny>,
    u: f64,
    risk: f64,
    convention: &str,
    relax: bool,
    process_mean: Option<f64>,
) -> PyResult<f64> {
    let py = tolerance.py();
    let limits = limits_of(tolerance)?;
    let process = process_of(process_std, process_mean, limits)?;
    let convention = FalseAccept::from_name(convention).or_raise(py)?;
    core::for_global_risk(limits, &process, u, risk, convention, relax).or_raise(py)
}

/// Multiplier of the expanded uncertainty in the guard band of method 6.
///
/// M = 1.04 − exp(0.38 ln TUR − 0.54); negative from a ratio of about 4.6.
///
/// Parameters
/// ----------
/// test_uncertainty_ratio : float or array-like
///     Width of the tolerance over twice the expanded uncertainty.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// Handbook of ANSI/NCSL Z540.3-2006, method 6 (from memory).
///
/// Examples
/// --------
/// >>> cc.decision.method_6_multiplier([2.0, 4.0]).round(4)
/// array([0.2816, 0.0531])
#[pyfunction]
#[pyo3(signature = (test_uncertainty_ratio))]
fn method_6_multiplier<'py>(test_uncertainty_ratio: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("test_uncertainty_ratio", test_uncertainty_ratio, core::method_6_multiplier)
}

/// Guard band that keeps the joint false-accept risk below 2 % whatever the in-tolerance probability.
///
/// Parameters
/// ----------
/// tolerance : float, array or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// expanded_uncertainty : float or array-like
///     For 95 % coverage, in the unit of the tolerance.
///
/// Returns
/// -------
/// float or array of the common shape
///     M times the expanded uncertainty, or 0 where M is negative.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UndeterminedError
///
/// Source
/// ------
/// Handbook of ANSI/NCSL Z540.3-2006, method 6 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.decision.guard_band_method_6(1.0, 0.5), 4)
/// 0.1408
#[pyfunction]
#[pyo3(signature = (tolerance, expanded_uncertainty))]
fn guard_band_method_6<'py>(
    tolerance: &Bound<'py, PyAny>,
    expanded_uncertainty: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    of_tolerance(tolerance, "expanded_uncertainty", expanded_uncertainty, core::method_6)
}

/// Guard band by the root of the difference of squares.
///
/// Acceptance limits at T √(1 − 1/TUR²) from the middle; T is half the width of the tolerance.
///
/// Parameters
/// ----------
/// tolerance : float, array or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// expanded_uncertainty : float or array-like
///     In the unit of the tolerance; at most T.
///
/// Returns
/// -------
/// float or array of the common shape
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, UndeterminedError
///
/// Source
/// ------
/// Common practice, no source.
///
/// Examples
/// --------
/// >>> round(cc.decision.guard_band_root_difference(5.0, 3.0), 12)
/// 1.0
#[pyfunction]
#[pyo3(signature = (tolerance, expanded_uncertainty))]
fn guard_band_root_difference<'py>(
    tolerance: &Bound<'py, PyAny>,
    expanded_uncertainty: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    of_tolerance(tolerance, "expanded_uncertainty", expanded_uncertainty, core::root_difference)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(guard_band_for_specific_risk, module)?,
        wrap_pyfunction!(guard_band_for_global_risk, module)?,
        wrap_pyfunction!(method_6_multiplier, module)?,
        wrap_pyfunction!(guard_band_method_6, module)?,
        wrap_pyfunction!(guard_band_root_difference, module)?,
    ] {
        add_function(module, "decision", &function)?;
    }
    Ok(())
}
