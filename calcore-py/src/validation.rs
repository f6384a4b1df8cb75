//! The table of checks against published sources.

use crate::errors::OrRaise;
use crate::objects::{add_function, view};
use calcore::validation as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// One published value beside the computed one.
    ///
    /// Examples
    /// --------
    /// >>> check = cc.validation.checks()[0]
    /// >>> check.passes
    /// True
    Check(core::Check) in "calcore.validation" {
        /// Document with edition and clause, and who states the value.
        source: String = |c| c.source.clone();
        /// What is compared, with its arguments.
        quantity: String = |c| c.quantity.clone();
        /// Unit of the values and the tolerance.
        unit: &'static str = |c| c.unit;
        /// The value of the source.
        published: f64 = |c| c.published;
        /// How far the computed value may be off.
        tolerance: f64 = |c| c.tolerance;
        /// The value of this core.
        computed: f64 = |c| c.computed;
        /// Whether the computed value lies within the tolerance of the published one.
        passes: bool = |c| c.passes();
    }

    fn __repr__(&self) -> String {
        let core::Check { quantity, unit, published, tolerance, computed, .. } = &self.0;
        format!("Check({quantity}: published {published} {unit}, computed {computed} {unit}, tolerance {tolerance})")
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        let check = &slf.get().0;
        let maker = py.import("calcore._native")?.getattr("_check")?;
        let values = (&check.source, &check.quantity, check.unit, check.published, check.tolerance, check.computed);
        (maker, values).into_pyobject(py)
    }
}

/// A check that was pickled: the one that says the same now.
#[pyfunction]
#[pyo3(signature = (source, quantity, unit, published, tolerance, computed))]
fn _check(
    py: Python<'_>,
    source: String,
    quantity: String,
    unit: &str,
    published: f64,
    tolerance: f64,
    computed: f64,
) -> PyResult<Check> {
    // The unit of a check is a fixed text of the core, so it is looked for among these.
    let known = core::checks().or_raise(py)?;
    let unit = known.iter().map(|check| check.unit).find(|known| *known == unit).unwrap_or_default();
    Ok(Check(core::Check { source, quantity, unit, published, tolerance, computed }))
}

/// All checks of this core against published values, computed now.
///
/// Returns
/// -------
/// list of Check
///     One a published value.
///
/// Source
/// ------
/// ISO/IEC 17025:2017, 7.11.2, asks for such a record; each check names its own source.
///
/// Examples
/// --------
/// >>> all(check.passes for check in cc.validation.checks())
/// True
#[pyfunction]
fn checks(py: Python<'_>) -> PyResult<Vec<Check>> {
    Ok(py.detach(core::checks).or_raise(py)?.into_iter().map(Check).collect())
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Check>()?;
    // Not by `add`: that would make it a public name.
    module.setattr("_check", wrap_pyfunction!(_check, module)?)?;
    add_function(module, "validation", &wrap_pyfunction!(checks, module)?)
}
