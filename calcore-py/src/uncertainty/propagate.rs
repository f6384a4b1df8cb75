//! Propagation through a model that is a Python callable.

use super::budget::Budget;
use super::distribution::Distribution;
use super::measurement_model::MeasurementModel;
use super::model::{Model, same_order};
use crate::arrays::square;
use crate::objects::add_function;
use crate::whole::whole_number;
use calcore::uncertainty::{self as core, Input};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyFloat, PyTuple};

/// The inputs of a model, by name.
pub(super) fn read_inputs(inputs: &Bound<'_, PyDict>) -> PyResult<Vec<Input>> {
    inputs
        .iter()
        .map(|(name, distribution)| {
            Ok(Input::new(name.extract::<String>()?, distribution.cast::<Distribution>()?.get().0))
        })
        .collect()
}

/// The estimates as Python has them: a model is mostly asked with one input moved, and the others need not be made anew.
struct Estimates(Vec<(u64, Py<PyFloat>)>);

impl Estimates {
    fn new(py: Python<'_>, inputs: &[Input]) -> Self {
        let one = |x: f64| (x.to_bits(), PyFloat::new(py, x).unbind());
        Self(inputs.iter().map(|input| one(input.distribution.mean())).collect())
    }

    fn moved<'py>(&self, py: Python<'py>, x: &[f64]) -> PyResult<Bound<'py, PyTuple>> {
        let objects =
            self.0.iter().zip(x).map(
                |((bits, object), x)| {
                    if *bits == x.to_bits() { object.bind(py).clone() } else { PyFloat::new(py, *x) }
                },
            );
        PyTuple::new(py, objects)
    }
}

/// Propagates the uncertainties of the inputs through a model.
///
/// u²(y) = Σᵢ Σⱼ cᵢ cⱼ u(xᵢ) u(xⱼ) r(xᵢ, xⱼ), the sensitivities cᵢ by numerical differentiation at the estimates. The
/// model is called as `model(*values)` with floats; what it raises at the estimates is passed through unchanged. A
/// `MeasurementModel` of the core is not called: it knows its sensitivities, and finds its inputs by their names.
///
/// Parameters
/// ----------
/// model : callable or MeasurementModel
///     Takes one float an input, in their order, and returns a float.
/// inputs : dict
///     Names and distributions. They are passed by position, in their order in the dict: a function whose parameters have these
///     names in another order is refused.
/// correlation : array-like, optional
///     Correlation coefficients between the inputs; none means independent.
/// order : {1, 2}
///     Order of the propagation. To second order correlated inputs must be normal, and the value stays where it is:
///     `second_order` of the budget says what was added and by how much the expectation lies off.
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
/// UnknownNameError
///     For a name that a model of the core does not have.
/// ModelFailedError
///     When the model gives no number at the estimates, or on neither side of them.
///
/// Source
/// ------
/// JCGM 100:2008, 5.1.2 (with its note for the second order) and 5.2.2.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> square = U.propagate(lambda x: x * x, {"x": U.Normal(0.0, 0.1)}, order=2)
/// >>> round(square.standard_uncertainty, 6)
/// 0.014142
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
    #[pyo3(from_py_with = whole_number)] order: u8,
    coverage: f64,
    coverage_factor: Option<f64>,
) -> PyResult<Budget> {
    if !(1..=2).contains(&order) {
        let requirement = "it must be 1 or 2".into();
        let error = calcore::Error::InvalidValue { what: "order", value: order.into(), unit: "", requirement };
        return Err(crate::errors::exception(py, &error));
    }
    let correlation = correlation.map(|matrix| square("correlation", inputs.len(), matrix)).transpose()?;
    let coverage = super::coverage(coverage, coverage_factor);
    if let Ok(known) = model.bind(py).cast::<MeasurementModel>() {
        return known.get().budget(inputs, correlation.as_deref(), order, coverage);
    }
    let inputs = read_inputs(inputs)?;
    same_order(model.bind(py), &inputs)?;
    let estimates = Estimates::new(py, &inputs);
    // The interpreter lock is kept: all but a trifle of the time goes to the model, which needs it.
    let model = Model::new(model);
    let value = |x: &[f64]| model.call(false, |py, callable| callable.call1(estimates.moved(py, x)?)?.extract());
    let correlation = correlation.as_deref();
    let outcome = if order == 1 {
        core::propagate(value, &inputs, correlation, coverage)
    } else {
        core::propagate_second_order(value, &inputs, correlation, coverage)
    };
    Ok(Budget(model.outcome(py, outcome)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    add_function(module, "uncertainty", &wrap_pyfunction!(propagate, module)?)
}
