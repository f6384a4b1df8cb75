//! Risks of one item and of a population.

use super::{limits_of, process_of};
use crate::errors::OrRaise;
use crate::objects::{add_function, html_table, shown, view};
use crate::uncertainty::Distribution;
use calcore::decision::{self as core, InTolerance, Limits, Process};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// What can happen to an item of a population that is measured and judged.
    ///
    /// The plain names are joint probabilities, of all items; those of the accepted or rejected items say `given`.
    ///
    /// Examples
    /// --------
    /// >>> risk = cc.decision.risk(1.0, 0.5, 0.125)
    /// >>> round(risk.false_accept, 5), round(risk.false_accept_given_accepted, 5)
    /// (0.00801, 0.00845)
    Risk(core::Risk) in "calcore.decision" {
        /// Conforms and is accepted, of all items.
        true_accept: f64 = |r| r.true_accept;
        /// Does not conform and is accepted, of all items: the global consumer's risk, joint convention.
        false_accept: f64 = |r| r.false_accept;
        /// Conforms and is rejected, of all items: the global producer's risk, joint convention.
        false_reject: f64 = |r| r.false_reject;
        /// Does not conform and is rejected, of all items.
        true_reject: f64 = |r| r.true_reject;
        /// Probability that an accepted item does not conform; NaN where nothing is accepted.
        false_accept_given_accepted: f64 = |r| r.false_accept_given_accepted();
        /// Probability that a rejected item conforms; NaN where nothing is rejected.
        false_reject_given_rejected: f64 = |r| r.false_reject_given_rejected();
        /// Fraction of items accepted; without a guard band the observed in-tolerance probability.
        accepted: f64 = |r| r.accepted();
        /// Fraction of items that conform: the true in-tolerance probability.
        in_tolerance: f64 = |r| r.in_tolerance();
        /// Limits (lower, upper) within which a measured value is accepted; None where there is none.
        acceptance_limits: (Option<f64>, Option<f64>) = |r| (r.acceptance_limits.lower, r.acceptance_limits.upper);
    }

    fn __repr__(&self) -> String {
        format!("Risk(false accept {}, false reject {})", shown(self.0.false_accept), shown(self.0.false_reject))
    }

    fn _repr_html_(&self) -> String {
        let r = &self.0;
        let cell = |value: f64| format!("{:.4} %", 100.0 * value);
        let rows = vec![
            vec!["conforms".into(), cell(r.true_accept), cell(r.false_reject), cell(r.in_tolerance())],
            vec![
                "does not conform".into(),
                cell(r.false_accept),
                cell(r.true_reject),
                cell(r.false_accept + r.true_reject),
            ],
            vec!["all".into(), cell(r.accepted()), cell(r.false_reject + r.true_reject), cell(1.0)],
        ];
        html_table("Risk, of all items", &["", "accepted", "rejected", "all"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }
}

/// Global risks of measuring items of a process and accepting what lies within limits.
///
/// The measurement error is normal. The risks are joint probabilities, of all items; the process is that of the true values
/// (see `process_std_from_in_tolerance` for an observed in-tolerance probability).
///
/// Parameters
/// ----------
/// tolerance : float or (float or None, float or None)
///     Half its width about zero, or its lower and upper limit.
/// process_std : float or Distribution
///     Standard deviation of the true values, which then are normal; or their distribution.
/// u : float
///     Standard uncertainty of the measurement, in the unit of the tolerance; 0 is allowed.
/// guard_band : float
///     By how much the acceptance limits lie inside the tolerance limits; negative relaxes them.
/// process_mean : float, optional
///     Mean of normal true values; the middle of the tolerance if it is not given.
///
/// Returns
/// -------
/// Risk
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, TooFewPointsError
/// NoConvergenceError
///     For a process whose density cannot be integrated.
///
/// Source
/// ------
/// JCGM 106:2012, 9.5.
///
/// Examples
/// --------
/// Test uncertainty ratio 4, 95 % of the true values in tolerance.
///
/// >>> std = cc.decision.process_std_from_in_tolerance(1.0, 0.95)
/// >>> risk = cc.decision.risk(1.0, std, 0.125)
/// >>> round(100 * risk.false_accept, 2), round(100 * risk.false_reject, 2)
/// (0.86, 1.55)
#[pyfunction]
#[pyo3(signature = (tolerance, process_std, u, guard_band=0.0, *, process_mean=None))]
fn risk(
    tolerance: &Bound<'_, PyAny>,
    process_std: &Bound<'_, PyAny>,
    u: f64,
    guard_band: f64,
    process_mean: Option<f64>,
) -> PyResult<Risk> {
    let limits = limits_of(tolerance)?;
    let process = process_of(process_std, process_mean, limits)?;
    Ok(Risk(core::risk(limits, &process, u, guard_band).or_raise(tolerance.py())?))
}

/// Standard deviation of normal true values about the middle of the tolerance, of which a fraction is in tolerance.
///
/// Parameters
/// ----------
/// tolerance : float or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// in_tolerance : float
///     The fraction, between 0 and 1.
/// convention : {"true", "observed"}
///     Fraction of the true values, or of the values that were measured with the standard uncertainty u.
/// u : float, optional
///     Standard uncertainty of those measurements; goes with "observed".
///
/// Returns
/// -------
/// float
///     In the unit of the tolerance.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, UndeterminedError
/// InvalidValueError
///     Where the measurements alone scatter more than what was observed.
///
/// Examples
/// --------
/// >>> round(cc.decision.process_std_from_in_tolerance(1.0, 0.95), 4)
/// 0.5102
/// >>> round(cc.decision.process_std_from_in_tolerance(1.0, 0.95, convention="observed", u=0.25), 4)
/// 0.4448
#[pyfunction]
#[pyo3(signature = (tolerance, in_tolerance, *, convention="true", u=None))]
fn process_std_from_in_tolerance(
    tolerance: &Bound<'_, PyAny>,
    in_tolerance: f64,
    convention: &str,
    u: Option<f64>,
) -> PyResult<f64> {
    let of = match (convention, u) {
        ("true", None) => InTolerance::True,
        ("observed", Some(standard_uncertainty)) => InTolerance::Observed { standard_uncertainty },
        ("true", Some(_)) | ("observed", None) => {
            return Err(PyTypeError::new_err("u goes with convention=\"observed\", and only with it"));
        }
        (name, _) => {
            let error = calcore::Error::UnknownName {
                what: "convention of the in-tolerance probability",
                name: name.into(),
                expected: "\"true\" or \"observed\"".into(),
            };
            return Err(crate::errors::exception(tolerance.py(), &error));
        }
    };
    let process = Process::in_tolerance(limits_of(tolerance)?, in_tolerance, of).or_raise(tolerance.py())?;
    Ok(process.standard_deviation())
}

/// What is known of one item after it was measured, given a normal process.
///
/// The specific risk with a prior is what `probability_of_conformity` says of the two numbers.
///
/// Parameters
/// ----------
/// process_mean, process_std : float
///     Mean and standard deviation of the true values.
/// value : float
///     Measured value.
/// u : float
///     Standard uncertainty of the measurement.
///
/// Returns
/// -------
/// (float, float)
///     Mean and standard deviation of the true value of the item.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// JCGM 106:2012, 6.2 and annex A (clauses from memory).
///
/// Examples
/// --------
/// >>> mean, std = cc.decision.after_measurement(0.0, 3.0, 2.5, 4.0)
/// >>> round(mean, 12), round(std, 12)
/// (0.9, 2.4)
#[pyfunction]
#[pyo3(signature = (process_mean, process_std, value, u))]
fn after_measurement(py: Python<'_>, process_mean: f64, process_std: f64, value: f64, u: f64) -> PyResult<(f64, f64)> {
    let process = Process::normal(process_mean, process_std).or_raise(py)?;
    core::after_measurement(&process, value, u).or_raise(py)
}

/// Probability of conformity for any state of knowledge about one item, and its complement.
///
/// Parameters
/// ----------
/// state : Distribution
///     What is known of the true value. A normal one with finite degrees of freedom counts as Student's t.
/// lower, upper : float, optional
///     Tolerance limits, in the same unit; at least one.
///
/// Returns
/// -------
/// (float, float)
///     Probability to lie inside and outside; each keeps the digits of a small one.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, TooFewPointsError
///
/// Source
/// ------
/// JCGM 106:2012, 7.2 and 7.3.
///
/// Examples
/// --------
/// Ten readings less than two scales from the limit: Student's t is wider than the normal distribution.
///
/// >>> few = cc.uncertainty.StudentT(0.3, 0.1, 9.0)
/// >>> inside, outside = cc.decision.conformity(few, upper=0.5)
/// >>> round(outside, 4)
/// 0.0383
#[pyfunction]
#[pyo3(signature = (state, *, lower=None, upper=None))]
fn conformity(state: &Bound<'_, Distribution>, lower: Option<f64>, upper: Option<f64>) -> PyResult<(f64, f64)> {
    let found = core::conformity(&state.get().0, Limits { lower, upper }).or_raise(state.py())?;
    Ok((found.inside, found.outside))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Risk>()?;
    for function in [
        wrap_pyfunction!(risk, module)?,
        wrap_pyfunction!(process_std_from_in_tolerance, module)?,
        wrap_pyfunction!(after_measurement, module)?,
        wrap_pyfunction!(conformity, module)?,
    ] {
        add_function(module, "decision", &function)?;
    }
    Ok(())
}
