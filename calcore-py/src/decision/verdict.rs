//! Verdicts by a rule.

use super::decisions::Decisions;
use crate::arrays::{Columns, elementwise_of, every};
use crate::errors::{OrRaise, exception_at};
use crate::objects::{add_function, html_table, shown, view};
use calcore::decision::{self as core, GuardBand, Limits, Rule};
use numpy::PyUntypedArrayMethods;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyFloat, PyTuple};

view! {
    /// A verdict with all that it rests on.
    ///
    /// Examples
    /// --------
    /// >>> decision = cc.decision.decide(0.4, 0.1, lower=-0.5, upper=0.5)
    /// >>> decision.verdict, round(decision.probability_of_conformity, 4)
    /// ('pass', 0.8413)
    Decision(core::Decision) in "calcore.decision" {
        /// "pass", "fail", "conditional_pass", "conditional_fail", "no_pass" or "no_fail".
        verdict: &'static str = |d| d.verdict.name();
        /// Probability that the true value lies within the tolerance.
        probability_of_conformity: f64 = |d| d.probability_of_conformity;
        /// Probability that it does not, with all the digits of a small risk.
        probability_of_nonconformity: f64 = |d| d.probability_of_nonconformity;
        /// Width of the guard band, in the unit of the value.
        guard_band: f64 = |d| d.guard_band;
        /// Limits (lower, upper) within which the rule does not reject; None where there is none.
        acceptance_limits: (Option<f64>, Option<f64>) = |d| (d.acceptance_limits.lower, d.acceptance_limits.upper);
        /// Tolerance limits (lower, upper); None where there is none.
        tolerance_limits: (Option<f64>, Option<f64>) = |d| (d.tolerance_limits.lower, d.tolerance_limits.upper);
        /// Name of the rule.
        rule: &'static str = |d| d.rule.name();
    }

    fn __repr__(&self) -> String {
        format!(
            "Decision({}, rule {}, probability of conformity {}, guard band {})",
            self.verdict(),
            self.rule(),
            shown(self.0.probability_of_conformity),
            shown(self.0.guard_band)
        )
    }

    fn _repr_html_(&self) -> String {
        let limit = |value: Option<f64>| value.map_or("none".into(), shown);
        let limits = |limits: Limits| format!("{} to {}", limit(limits.lower), limit(limits.upper));
        let rows = [
            ("verdict", self.verdict().replace('_', " ")),
            ("rule", self.rule().replace('_', " ")),
            ("probability of conformity", shown(self.0.probability_of_conformity)),
            ("tolerance", limits(self.0.tolerance_limits)),
            ("guard band", shown(self.0.guard_band)),
            ("acceptance", limits(self.0.acceptance_limits)),
        ];
        let rows: Vec<Vec<String>> = rows.into_iter().map(|(name, value)| vec![name.into(), value]).collect();
        html_table("Decision", &["", "value"], &rows)
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

/// What a value is held against: limits that may be missing.
struct Sides<'py> {
    lower: Option<Bound<'py, PyAny>>,
    upper: Option<Bound<'py, PyAny>>,
    /// Stands in the place of a limit that is missing.
    nothing: Bound<'py, PyAny>,
}

impl<'py> Sides<'py> {
    fn new(py: Python<'py>, lower: Option<Bound<'py, PyAny>>, upper: Option<Bound<'py, PyAny>>) -> Self {
        Self { lower, upper, nothing: PyFloat::new(py, 0.0).into_any() }
    }

    fn arguments(&self) -> [&Bound<'py, PyAny>; 2] {
        [&self.lower, &self.upper].map(|limit| limit.as_ref().unwrap_or(&self.nothing))
    }

    fn limits(&self) -> impl Fn(f64, f64) -> Limits + Sync + use<> {
        let (has_lower, has_upper) = (self.lower.is_some(), self.upper.is_some());
        move |lower, upper| Limits { lower: has_lower.then_some(lower), upper: has_upper.then_some(upper) }
    }
}

const NAMES: [&str; 4] = ["value", "standard_uncertainty", "lower", "upper"];

/// Decides whether measured values conform to tolerance limits.
///
/// All intervals are closed: a value on a limit is inside, and so is one that only a few roundings of a double part from it.
/// A guard band wider than the tolerance leaves nothing to accept: the lower acceptance limit then lies above the upper one.
///
/// Parameters
/// ----------
/// value : float or array-like
///     Measured value, in any unit.
/// standard_uncertainty : float or array-like
///     Its standard uncertainty, in the same unit; 0 is allowed.
/// lower, upper : float or array-like, optional
///     Tolerance limits, in the same unit; at least one.
/// rule : {"simple", "guarded_acceptance", "guarded_rejection", "proof_of_conformity", "four_state"}
///     Simple acceptance; pass or fail with a guard band; fail or "no_fail"; pass or "no_pass"; pass, conditional pass,
///     conditional fail, fail.
/// multiple : float, optional
///     Width of the guard band as a multiple of the expanded uncertainty; 1 unless stated. Negative widths relax the limits.
/// coverage_factor : float, optional
///     Coverage factor of that expanded uncertainty; 2 unless stated.
/// guard_band : float, optional
///     Width of the guard band in the unit of the value, instead.
/// risk : float, optional
///     Probability of a false statement at the acceptance limit from which the guard band follows, instead.
///
/// Returns
/// -------
/// Decision or Decisions
///     Decisions if any of values, uncertainties and limits is an array; they are brought to a common shape.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, UnknownNameError
///     Of arrays, with the index of the first such element.
/// TooFewPointsError
///     Without a limit.
///
/// Source
/// ------
/// ILAC-G8:09/2019, 4.2; JCGM 106:2012, clauses 7 and 8; ISO 14253-1:2017, clause 5.
///
/// Examples
/// --------
/// >>> cc.decision.decide(0.40, 0.0485, lower=-0.75, upper=0.75, rule="guarded_acceptance").verdict
/// 'pass'
/// >>> cc.decision.decide([0.40, 0.70], 0.0485, lower=-0.75, upper=0.75, rule="four_state").verdict
/// array(['pass', 'conditional_pass'], dtype='<U16')
#[pyfunction]
#[pyo3(signature = (value, standard_uncertainty, *, lower=None, upper=None, rule="simple", multiple=None,
                    coverage_factor=None, guard_band=None, risk=None))]
#[allow(clippy::too_many_arguments)]
fn decide<'py>(
    value: &Bound<'py, PyAny>,
    standard_uncertainty: &Bound<'py, PyAny>,
    lower: Option<Bound<'py, PyAny>>,
    upper: Option<Bound<'py, PyAny>>,
    rule: &str,
    multiple: Option<f64>,
    coverage_factor: Option<f64>,
    guard_band: Option<f64>,
    risk: Option<f64>,
) -> PyResult<Bound<'py, PyAny>> {
    let py = value.py();
    let rule = rule_of(py, rule, [multiple, coverage_factor, guard_band, risk])?;
    let sides = Sides::new(py, lower, upper);
    let [lower, upper] = sides.arguments();
    let columns = Columns::read(NAMES, [value, standard_uncertainty, lower, upper])?;
    let (views, limits) = (columns.views(), sides.limits());
    let one = |i: usize| {
        let [value, u, lower, upper] = views.map(|view| view.at(i));
        core::decide(value, u, limits(lower, upper), rule)
    };
    let Some(array) = columns.array() else {
        return Ok(Bound::new(py, Decision(one(0).or_raise(py)?))?.into_any());
    };
    let all = every(array.len(), one).map_err(|(error, position)| exception_at(py, error, position))?;
    Ok(Bound::new(py, Decisions::new(py, &all, array.shape(), rule.name())?)?.into_any())
}

/// A rule by its name and the ways to state its guard band: multiple, coverage factor, width, risk. What the rule would not
/// look at is refused.
fn rule_of(py: Python<'_>, name: &str, band: [Option<f64>; 4]) -> PyResult<Rule> {
    let wrong = |message: &str| Err(PyTypeError::new_err(message.to_owned()));
    let width = match band {
        [multiple, coverage_factor, None, None] => {
            GuardBand::Expanded { multiple: multiple.unwrap_or(1.0), coverage_factor: coverage_factor.unwrap_or(2.0) }
        }
        [None, None, Some(width), None] => GuardBand::Width(width),
        [None, None, None, Some(risk)] => GuardBand::Risk(risk),
        [_, _, Some(_), Some(_)] => return wrong("give either guard_band or risk, not both"),
        _ => return wrong("multiple and coverage_factor do not go with guard_band or risk"),
    };
    let rule = Rule::from_name(name, width).or_raise(py)?;
    // The coverage factor belongs to the uncertainty as well.
    let [multiple, _, width, risk] = band;
    if rule.guard_band().is_none() && [multiple, width, risk].iter().any(Option::is_some) {
        return wrong(
            "the rule \"simple\" has no guard band; name a rule that has one, such as \"guarded_acceptance\"",
        );
    }
    Ok(rule)
}

/// Probability that the true value lies within tolerance limits, for a normal distribution about the measured one.
///
/// Parameters
/// ----------
/// value : float or array-like
///     Measured value, in any unit.
/// standard_uncertainty : float or array-like
///     Its standard uncertainty, in the same unit.
/// lower, upper : float or array-like, optional
///     Tolerance limits, in the same unit; at least one.
///
/// Returns
/// -------
/// float or array of the common shape
///     Between 0 and 1.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
/// TooFewPointsError
///     Without a limit.
///
/// Source
/// ------
/// JCGM 106:2012, 7.3 and 7.4.
///
/// Examples
/// --------
/// >>> cc.decision.probability_of_conformity([0.0, 1.0], 0.5, upper=1.0).round(4)
/// array([0.9772, 0.5   ])
#[pyfunction]
#[pyo3(signature = (value, standard_uncertainty, *, lower=None, upper=None))]
fn probability_of_conformity<'py>(
    value: &Bound<'py, PyAny>,
    standard_uncertainty: &Bound<'py, PyAny>,
    lower: Option<Bound<'py, PyAny>>,
    upper: Option<Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let sides = Sides::new(value.py(), lower, upper);
    let ([lower, upper], limits) = (sides.arguments(), sides.limits());
    elementwise_of(NAMES, [value, standard_uncertainty, lower, upper], |[x, u, lower, upper]| {
        core::rule::probability_of_conformity(x, u, limits(lower, upper))
    })
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Decision>()?;
    add_function(module, "decision", &wrap_pyfunction!(decide, module)?)?;
    add_function(module, "decision", &wrap_pyfunction!(probability_of_conformity, module)?)
}
