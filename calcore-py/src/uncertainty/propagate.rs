//! Propagation through a model that is a Python callable.

use super::budget::Budget;
use super::distribution::Distribution;
use super::model::Model;
use super::only_first_order;
use crate::arrays::square;
use crate::objects::add_function;
use calcore::uncertainty::{self as core, Input};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// The inputs of a model, by name.
pub(super) fn read_inputs(inputs: &Bound<'_, PyDict>) -> PyResult<Vec<Input>> {
    inputs
        .iter()
        .map(|(name, distribution)| {
            Ok(Input::new(name.extract::<String>()?, distribution.cast::<Distribution>()?.get().0))
        })
        .collect()
}

/// Propagates the uncertainties of the inputs through a model.
///
/// u²(y) = Σᵢ Σⱼ cᵢ cⱼ u(xᵢ) u(xⱼ) r(xᵢ, xⱼ), the sensitivities cᵢ by numerical differentiation at the estimates. The
/// model is called as `model(*values)` with floats; what it raises at the estimates is passed through unchanged.
///
/// Parameters
/// ----------
/// model : callable
///     Takes one float an input, in their order, and returns a float.
/// inputs : dict
///     Names and distributions.
/// correlation : array-like, optional
///     Correlation coefficients between the inputs; none means independent.
/// order : {1}
///     Order of the propagation.
/// coverage : float
///     Probability of the expanded uncertainty.
/// coverage_factor : float, optional
///     A fixed coverage factor instead.
///
/// Returns
/// -------
/// Budget
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, LengthMismatchError
/// ModelFailedError
///     When the model gives no number at the estimates, or on neither side of them.
///
/// Source
/// ------
/// JCGM 100:2008, 5.1.2 and 5.2.2.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> inputs = {"voltage": U.Normal(0.1, 1e-5), "current": U.Normal(1e-3, 1e-7)}
/// >>> result = U.propagate(lambda voltage, current: voltage / current, inputs)
/// >>> round(result.value, 9), round(result.standard_uncertainty, 6)
/// (100.0, 0.014142)
#[pyfunction]
#[pyo3(signature = (model, inputs, *, correlation=None, order=1, coverage=0.95, coverage_factor=None))]
#[allow(clippy::needless_pass_by_value)]
fn propagate(
    py: Python<'_>,
    model: Py<PyAny>,
    inputs: &Bound<'_, PyDict>,
    correlation: Option<&Bound<'_, PyAny>>,
    order: u8,
    coverage: f64,
    coverage_factor: Option<f64>,
) -> PyResult<Budget> {
    only_first_order(py, order)?;
    let inputs = read_inputs(inputs)?;
    let correlation = correlation.map(|matrix| square("correlation", inputs.len(), matrix)).transpose()?;
    let coverage = super::coverage(coverage, coverage_factor);
    let (outcome, model) = py.detach(|| {
        let model = Model::new(model);
        let value = |x: &[f64]| model.call(false, |py, callable| callable.call1(PyTuple::new(py, x)?)?.extract());
        let outcome = core::propagate(value, &inputs, correlation.as_deref(), coverage);
        (outcome, model)
    });
    Ok(Budget(model.outcome(py, outcome)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    add_function(module, "uncertainty", &wrap_pyfunction!(propagate, module)?)
}
