//! Verdicts on arrays of values.

use crate::arrays::{empty, slice_mut, strings};
use calcore::decision::Decision;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// The verdicts on arrays of values, with all that they rest on: arrays of the common shape.
///
/// Examples
/// --------
/// >>> tolerance = cc.tolerance.iec60751("B", [0.0, 100.0])
/// >>> decisions = cc.decision.decide([0.2, 0.79], 0.01, lower=-tolerance, upper=tolerance, rule="four_state")
/// >>> decisions.verdict
/// array(['pass', 'conditional_pass'], dtype='<U16')
#[pyclass(frozen, get_all, module = "calcore.decision")]
pub(super) struct Decisions {
    /// "pass", "fail", "conditional_pass", "conditional_fail", "no_pass" or "no_fail".
    verdict: Py<PyAny>,
    /// Probability that the true value lies within the tolerance.
    probability_of_conformity: Py<PyAny>,
    /// Probability that it does not, with all the digits of a small risk.
    probability_of_nonconformity: Py<PyAny>,
    /// Width of the guard band, in the unit of the value.
    guard_band: Py<PyAny>,
    /// Limits (lower, upper) within which the rule does not reject; None where there is none.
    acceptance_limits: (Option<Py<PyAny>>, Option<Py<PyAny>>),
    /// Tolerance limits (lower, upper); None where there is none.
    tolerance_limits: (Option<Py<PyAny>>, Option<Py<PyAny>>),
    /// Name of the rule.
    rule: String,
}

impl Decisions {
    pub(super) fn new(py: Python<'_>, all: &[Decision], shape: &[usize], rule: &str) -> PyResult<Self> {
        let array = |get: &dyn Fn(&Decision) -> f64| {
            let array = empty(py, shape);
            // SAFETY: just made and known to nobody else; there are as many decisions as elements, and each is written.
            for (place, decision) in unsafe { slice_mut(&array) }.iter_mut().zip(all) {
                *place = get(decision);
            }
            array.into_any().unbind()
        };
        // A limit is there for all or for none of them.
        let limit = |get: &dyn Fn(&Decision) -> Option<f64>| {
            let there = all.first().is_some_and(|decision| get(decision).is_some());
            there.then(|| array(&|decision| get(decision).unwrap_or(f64::NAN)))
        };
        let verdicts = all.iter().map(|decision| decision.verdict.name()).collect();
        Ok(Self {
            verdict: strings(py, verdicts, shape)?.unbind(),
            probability_of_conformity: array(&|d| d.probability_of_conformity),
            probability_of_nonconformity: array(&|d| d.probability_of_nonconformity),
            guard_band: array(&|d| d.guard_band),
            acceptance_limits: (limit(&|d| d.acceptance_limits.lower), limit(&|d| d.acceptance_limits.upper)),
            tolerance_limits: (limit(&|d| d.tolerance_limits.lower), limit(&|d| d.tolerance_limits.upper)),
            rule: rule.into(),
        })
    }
}

#[pymethods]
impl Decisions {
    /// The arrays by name, as `pandas.DataFrame` takes them; limits that there are not are left out.
    ///
    /// Returns
    /// -------
    /// dict of str to array
    ///
    /// Examples
    /// --------
    /// >>> list(cc.decision.decide([0.1, 0.2], 0.1, upper=0.5).columns())[:2]
    /// ['verdict', 'probability_of_conformity']
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = PyDict::new(py);
        all.set_item("verdict", &self.verdict)?;
        all.set_item("probability_of_conformity", &self.probability_of_conformity)?;
        all.set_item("probability_of_nonconformity", &self.probability_of_nonconformity)?;
        all.set_item("guard_band", &self.guard_band)?;
        let limits = [
            ("lower_acceptance_limit", &self.acceptance_limits.0),
            ("upper_acceptance_limit", &self.acceptance_limits.1),
            ("lower_tolerance_limit", &self.tolerance_limits.0),
            ("upper_tolerance_limit", &self.tolerance_limits.1),
        ];
        for (name, limit) in limits {
            if let Some(limit) = limit {
                all.set_item(name, limit)?;
            }
        }
        Ok(all)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("Decisions(shape {}, rule {})", self.verdict.bind(py).getattr("shape")?, self.rule))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let own = slf.get();
        let parts = (
            &own.verdict,
            &own.probability_of_conformity,
            &own.probability_of_nonconformity,
            &own.guard_band,
            (&own.acceptance_limits.0, &own.acceptance_limits.1),
            (&own.tolerance_limits.0, &own.tolerance_limits.1),
            &own.rule,
        );
        (slf.get_type().getattr("_of")?, parts).into_pyobject(slf.py())
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        verdict: Py<PyAny>,
        probability_of_conformity: Py<PyAny>,
        probability_of_nonconformity: Py<PyAny>,
        guard_band: Py<PyAny>,
        acceptance_limits: (Option<Py<PyAny>>, Option<Py<PyAny>>),
        tolerance_limits: (Option<Py<PyAny>>, Option<Py<PyAny>>),
        rule: String,
    ) -> Self {
        Self {
            verdict,
            probability_of_conformity,
            probability_of_nonconformity,
            guard_band,
            acceptance_limits,
            tolerance_limits,
            rule,
        }
    }
}
