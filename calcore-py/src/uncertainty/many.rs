//! Several results of one model.

use super::budget::Budget;
use super::model::{Model, same_order};
use super::propagate::read_inputs;
use crate::arrays::{series, square};
use crate::errors::OrRaise;
use crate::objects::{Square, add_function, view};
use calcore::uncertainty as core;
use calcore::uncertainty::correlation::Correlation;
use numpy::{PyArray1, PyArray2, PyArrayMethods};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

view! {
    /// Several results of one model with the covariance that they have from their common inputs.
    ///
    /// Source
    /// ------
    /// JCGM 102:2011, 6.2 (clause from memory).
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> inputs = {"a": U.Normal(3.0, 0.1), "b": U.Normal(1.0, 0.1)}
    /// >>> U.propagate_many(lambda a, b: (a + b, a), inputs).correlation.round(3)
    /// array([[1.   , 0.707],
    ///        [0.707, 1.   ]])
    Joint(core::Joint) in "calcore.uncertainty" {
        /// One budget for each result, as if it stood alone.
        budgets: Vec<Budget> = |j| j.budgets.iter().cloned().map(Budget).collect();
        /// Covariance matrix of the results.
        covariance: Square = |j| (&j.covariance).into();
        /// Correlation coefficients of the results.
        correlation: Square = |j| {
            let size = j.budgets.len();
            let values = (0..size * size).map(|k| {
                if k / size == k % size { 1.0 } else { j.correlation(k / size, k % size) }
            });
            Square { size, values: values.collect() }
        };
    }

    /// Sensitivities: one row a result, one column an input.
    #[getter]
    fn sensitivities<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyArray2<f64>>> {
        let rows = self.0.budgets.len();
        PyArray1::from_slice(py, &self.0.sensitivities).reshape([rows, self.0.sensitivities.len() / rows.max(1)])
    }

    /// Factor of the hyper-ellipse that covers all results together.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability.
    ///
    /// Returns
    /// -------
    /// float
    ///
    /// Raises
    /// ------
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> joint = U.propagate_many(lambda a: (a, 2.0 * a), {"a": U.Normal(3.0, 0.1)})
    /// >>> round(joint.hyper_ellipse_factor(0.95), 2)
    /// 2.45
    #[pyo3(signature = (probability=0.95))]
    fn hyper_ellipse_factor(&self, py: Python<'_>, probability: f64) -> PyResult<f64> {
        self.0.hyper_ellipse_factor(probability).or_raise(py)
    }

    /// Factor of the hyper-rectangle that covers all results together.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability.
    ///
    /// Returns
    /// -------
    /// float
    ///
    /// Raises
    /// ------
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> joint = U.propagate_many(lambda a: (a, 2.0 * a), {"a": U.Normal(3.0, 0.1)})
    /// >>> round(joint.hyper_rectangle_factor(0.95), 2)
    /// 2.24
    #[pyo3(signature = (probability=0.95))]
    fn hyper_rectangle_factor(&self, py: Python<'_>, probability: f64) -> PyResult<f64> {
        self.0.hyper_rectangle_factor(probability).or_raise(py)
    }

    fn __repr__(&self) -> String {
        let results: Vec<String> = self.0.budgets.iter()
            .map(|b| format!("{:?} (u={:?})", b.value, b.standard_uncertainty))
            .collect();
        format!("Joint({})", results.join(", "))
    }
}

/// Propagates the uncertainties of the inputs through a model with several results, to first order.
///
/// Parameters
/// ----------
/// model : callable
///     Takes one float an input, in their order, and returns a sequence of floats, always of one length.
/// inputs : dict
///     Names and distributions.
/// correlation : array-like, optional
///     Correlation coefficients between the inputs; none means independent.
/// coverage : float
///     Probability of the expanded uncertainties, each taken alone.
/// coverage_factor : float, optional
///     A fixed coverage factor instead.
///
/// Returns
/// -------
/// Joint
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, LengthMismatchError
/// ModelFailedError
///     When the model gives no number at the estimates, or on neither side of them.
///
/// Source
/// ------
/// JCGM 102:2011, 6.2 (clause from memory).
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> inputs = {"a": U.Normal(3.0, 0.1), "b": U.Normal(1.0, 0.1)}
/// >>> joint = U.propagate_many(lambda a, b: (a + b, a - b), inputs)
/// >>> joint.covariance.round(6)
/// array([[0.02, 0.  ],
///        [0.  , 0.02]])
#[pyfunction]
#[pyo3(signature = (model, inputs, *, correlation=None, coverage=0.95, coverage_factor=None))]
fn propagate_many(
    py: Python<'_>,
    model: Py<PyAny>,
    inputs: &Bound<'_, PyDict>,
    correlation: Option<&Bound<'_, PyAny>>,
    coverage: f64,
    coverage_factor: Option<f64>,
) -> PyResult<Joint> {
    let inputs = read_inputs(inputs)?;
    same_order(model.bind(py), &inputs)?;
    let correlation = correlation.map(|matrix| square("correlation", inputs.len(), matrix)).transpose()?;
    let coverage = super::coverage(coverage, coverage_factor);
    // How many results there are is known when the model was asked once.
    let estimates: Vec<f64> = inputs.iter().map(|input| input.distribution.mean()).collect();
    let results = series("the result of the model", &model.bind(py).call1(PyTuple::new(py, &estimates)?)?)?.len();
    let (outcome, model) = py.detach(|| {
        let model = Model::new(model);
        let fill = |x: &[f64], out: &mut [f64]| {
            let found = model.call(false, |py, callable| {
                series("the result of the model", &callable.call1(PyTuple::new(py, x)?)?)
            })?;
            if found.len() != out.len() {
                let message = format!("it gave {} results, and {} before", found.len(), out.len());
                return Err(calcore::Error::ModelFailed { message });
            }
            out.copy_from_slice(&found);
            Ok(())
        };
        let outcome = core::propagate_many(fill, results, &inputs, correlation.as_deref(), coverage);
        (outcome, model)
    });
    Ok(Joint(model.outcome(py, outcome)?))
}

/// Covariance of results from their budgets: of all lines, which belong to the same sources, or of those that are shared.
///
/// Parameters
/// ----------
/// budgets : sequence of Budget
///     One a result.
/// correlation : array-like, optional
///     Correlation coefficients between the sources; none means independent.
/// shared : sequence of str, optional
///     Names of the sources that the results share, such as `SHARED_BY_INSTRUMENTS`; what else a budget holds is its own,
///     whatever its name. None: all lines are shared, by the same names in the same order.
///
/// Returns
/// -------
/// array, 2-d
///     Covariance, in the units of the results.
///
/// Raises
/// ------
/// LengthMismatchError
///     For budgets with another number of lines, or a matrix of another size.
/// UnknownNameError
///     For a line that has another name than in the first budget; for a shared source that no budget has, or one has twice.
/// InvalidValueError, NotPositiveDefiniteError
///
/// Source
/// ------
/// JCGM 102:2011, 6.2 (clause from memory); JCGM 100:2008, F.1.2.3.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> lines = [U.Contribution("reference", U.Normal(0.0, 3.0)), U.Contribution("block", U.Normal(0.0, 4.0))]
/// >>> less = [lines[0], U.Contribution("block", U.Normal(0.0, 4.0), 0.5)]
/// >>> U.covariance_of([U.Budget.from_contributions(0.0, lines), U.Budget.from_contributions(0.0, less)])
/// array([[25., 17.],
///        [17., 13.]])
/// >>> U.covariance_of([U.Budget.from_contributions(0.0, less), U.Budget.from_contributions(0.0, less)], shared=["reference"])
/// array([[13.,  9.],
///        [ 9., 13.]])
#[pyfunction]
#[pyo3(signature = (budgets, *, correlation=None, shared=None))]
fn covariance_of(
    py: Python<'_>,
    budgets: Vec<Bound<'_, Budget>>,
    correlation: Option<&Bound<'_, PyAny>>,
    shared: Option<Vec<String>>,
) -> PyResult<Square> {
    let budgets: Vec<core::Budget> = budgets.iter().map(|budget| budget.get().0.clone()).collect();
    if let Some(shared) = shared {
        if correlation.is_some() {
            return Err(PyTypeError::new_err("give either correlation or shared, not both"));
        }
        let shared: Vec<&str> = shared.iter().map(String::as_str).collect();
        return Ok(Square::from(&core::many::covariance_of_shared(&budgets, &shared).or_raise(py)?));
    }
    let lines = budgets.first().map_or(0, |budget| budget.contributions.len());
    let matrix = match correlation {
        None => None,
        Some(matrix) => Some(Correlation::new(lines, &square("correlation", lines, matrix)?).or_raise(py)?),
    };
    Ok(Square::from(&core::many::covariance_of(&budgets, matrix.as_ref()).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Joint>()?;
    for function in [wrap_pyfunction!(propagate_many, module)?, wrap_pyfunction!(covariance_of, module)?] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
