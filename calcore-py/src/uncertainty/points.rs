//! Budgets of many set points at once.

use super::distribution::Distribution;
use super::measurement_model::{MeasurementModel, column, same_shape};
use crate::arrays::{Numbers, empty, slice_mut, square};
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::curves::Invalid;
use calcore::uncertainty::measurement_model::{PointInput as Core, PointOptions, PointSlices};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What is known of an input at every point: numbers that are the same at all points, or arrays with one for each.
///
/// Parameters
/// ----------
/// estimate : float or array-like
///     Best estimate, in the unit of the input.
/// standard_uncertainty : float or array-like
///     In the unit of the input.
/// degrees_of_freedom : float or array-like
///     Of the standard uncertainty; infinite where exact.
///
/// Examples
/// --------
/// >>> ohm = cc.uncertainty.PointInput([100.0, 119.4, 138.51], 0.003)
/// >>> ohm.estimate
/// array([100.  , 119.4 , 138.51])
#[pyclass(frozen, get_all, module = "calcore.uncertainty")]
pub(crate) struct PointInput {
    /// Best estimate, in the unit of the input.
    estimate: Py<PyAny>,
    /// In the unit of the input.
    standard_uncertainty: Py<PyAny>,
    /// Of the standard uncertainty; infinite where exact.
    degrees_of_freedom: Py<PyAny>,
}

#[pymethods]
impl PointInput {
    #[new]
    #[pyo3(signature = (estimate, standard_uncertainty, degrees_of_freedom=None))]
    fn new(
        py: Python<'_>,
        estimate: &Bound<'_, PyAny>,
        standard_uncertainty: &Bound<'_, PyAny>,
        degrees_of_freedom: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let kept = |name: &str, given: &Bound<'_, PyAny>| -> PyResult<Py<PyAny>> {
            Ok(match Numbers::read(name, given)? {
                Numbers::One(value) => pyo3::types::PyFloat::new(py, value).into_any().unbind(),
                Numbers::Many(array) => array.into_any().unbind(),
            })
        };
        let infinite = pyo3::types::PyFloat::new(py, f64::INFINITY).into_any();
        Ok(Self {
            estimate: kept("estimate", estimate)?,
            standard_uncertainty: kept("standard_uncertainty", standard_uncertainty)?,
            degrees_of_freedom: kept("degrees_of_freedom", degrees_of_freedom.unwrap_or(&infinite))?,
        })
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let shown = |value: &Py<PyAny>| Ok::<_, PyErr>(value.bind(py).repr()?.to_string());
        let (x, u, nu) = (shown(&self.estimate)?, shown(&self.standard_uncertainty)?, shown(&self.degrees_of_freedom)?);
        Ok(format!("PointInput({x}, {u}, {nu})"))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let own = slf.get();
        let parts = (&own.estimate, &own.standard_uncertainty, &own.degrees_of_freedom);
        (slf.get_type(), parts).into_pyobject(slf.py())
    }
}

/// The budgets of many points: arrays of the shape of the inputs.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> model = U.MeasurementModel.linear(reading=["x"])
/// >>> found = U.propagate_points(model, {"x": U.PointInput([1.0, 2.0], [0.1, 0.2])}, coverage_factor=2.0)
/// >>> found.expanded_uncertainty
/// array([0.2, 0.4])
#[pyclass(frozen, get_all, module = "calcore.uncertainty")]
pub(crate) struct PointBudgets {
    /// Best estimates of the result.
    value: Py<PyAny>,
    /// Combined standard uncertainties, in the unit of the result.
    standard_uncertainty: Py<PyAny>,
    /// Effective degrees of freedom, not truncated; infinite where every contribution is exact.
    effective_degrees_of_freedom: Py<PyAny>,
    /// Expanded over standard uncertainties.
    coverage_factor: Py<PyAny>,
    /// Expanded uncertainties, in the unit of the result.
    expanded_uncertainty: Py<PyAny>,
    /// Sensitivity times standard uncertainty, with the sign of the sensitivity; None where not asked for.
    ///
    /// The first axis goes over the inputs.
    contributions: Option<Py<PyAny>>,
    /// Names of the inputs.
    inputs: Py<PyTuple>,
}

#[pymethods]
impl PointBudgets {
    /// The contributions of one input.
    ///
    /// Parameters
    /// ----------
    /// quantity : str
    ///     Name of the input.
    ///
    /// Returns
    /// -------
    /// array or None
    ///     None where the budgets have no such input, or no contributions were asked for.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> model = U.MeasurementModel.linear(reading={"x": 2.0})
    /// >>> U.propagate_points(model, {"x": U.PointInput([1.0, 2.0], 0.5)}).contribution("x")
    /// array([1., 1.])
    fn contribution<'py>(&self, py: Python<'py>, quantity: &str) -> PyResult<Option<Bound<'py, PyAny>>> {
        let Some(contributions) = &self.contributions else { return Ok(None) };
        for (row, name) in self.inputs.bind(py).iter().enumerate() {
            if name.extract::<&str>()? == quantity {
                return contributions.bind(py).get_item(row).map(Some);
            }
        }
        Ok(None)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let shape = self.value.bind(py).getattr("shape")?;
        Ok(format!("PointBudgets(shape {shape}, inputs {})", self.inputs.bind(py).repr()?))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let own = slf.get();
        let parts = (
            &own.value,
            &own.standard_uncertainty,
            &own.effective_degrees_of_freedom,
            &own.coverage_factor,
            &own.expanded_uncertainty,
            &own.contributions,
            &own.inputs,
        );
        (slf.get_type().getattr("_of")?, parts).into_pyobject(slf.py())
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        value: Py<PyAny>,
        standard_uncertainty: Py<PyAny>,
        effective_degrees_of_freedom: Py<PyAny>,
        coverage_factor: Py<PyAny>,
        expanded_uncertainty: Py<PyAny>,
        contributions: Option<Py<PyAny>>,
        inputs: Py<PyTuple>,
    ) -> Self {
        Self {
            value,
            standard_uncertainty,
            effective_degrees_of_freedom,
            coverage_factor,
            expanded_uncertainty,
            contributions,
            inputs,
        }
    }
}

/// Propagates the uncertainties of the inputs at many points at once, to first order.
///
/// At each point to the last bit what `propagate` gives there, without a budget object for each. The interpreter lock is
/// released.
///
/// Parameters
/// ----------
/// model : MeasurementModel
///     A model of the core.
/// inputs : dict of str to Distribution or PointInput
///     What is known of each input of the model: a distribution that is the same at all points, or numbers and arrays. All
///     arrays have one shape.
/// correlation : array-like, optional
///     Correlation coefficients between the inputs, the same at all points; none means independent.
/// coverage : float
///     Probability of the expanded uncertainties.
/// coverage_factor : float, optional
///     A fixed coverage factor instead.
/// invalid : {"raise", "nan"}
///     What a missing number (NaN), or a reading outside the range of the curve, gives.
/// contributions : bool
///     Whether the contributions are wanted: a number for each input and point.
///
/// Returns
/// -------
/// PointBudgets
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///     With the index of the first such point.
/// InvalidValueError, LengthMismatchError, UnknownNameError
///
/// Source
/// ------
/// JCGM 100:2008, 5.1.2, 5.2.2, 6.2 and G.4.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> model = U.MeasurementModel.temperature(cc.CallendarVanDusen.iec60751(), reading=["ohm"], result=["axial"])
/// >>> inputs = {"ohm": U.PointInput([100.0, 138.5055], 0.003), "axial": U.Rectangular(-0.05, 0.05)}
/// >>> U.propagate_points(model, inputs, coverage_factor=2.0).expanded_uncertainty.round(4)
/// array([0.0597, 0.0599])
#[pyfunction]
#[pyo3(signature = (model, inputs, *, correlation=None, coverage=0.95, coverage_factor=None, invalid="raise", contributions=true))]
#[allow(clippy::too_many_arguments)]
fn propagate_points(
    model: &Bound<'_, MeasurementModel>,
    inputs: &Bound<'_, PyDict>,
    correlation: Option<&Bound<'_, PyAny>>,
    coverage: f64,
    coverage_factor: Option<f64>,
    invalid: &str,
    contributions: bool,
) -> PyResult<PointBudgets> {
    let py = inputs.py();
    let own = model.get();
    let invalid = Invalid::from_name(invalid).or_raise(py)?;
    let options = PointOptions { coverage: super::coverage(coverage, coverage_factor), invalid, contributions };
    let mut numbers = Vec::new();
    for input in own.in_order(inputs)? {
        if let Ok(distribution) = input.cast::<Distribution>() {
            let known = distribution.get().0;
            let (x, u) = (known.mean(), known.standard_uncertainty());
            numbers.extend([x, u, known.degrees_of_freedom()].map(Numbers::One));
        } else if let Ok(input) = input.cast::<PointInput>() {
            let input = input.get();
            numbers.push(Numbers::read("estimate", input.estimate.bind(py))?);
            numbers.push(Numbers::read("standard_uncertainty", input.standard_uncertainty.bind(py))?);
            numbers.push(Numbers::read("degrees_of_freedom", input.degrees_of_freedom.bind(py))?);
        } else {
            let found = input.get_type().name()?;
            return Err(PyTypeError::new_err(format!("an input must be a Distribution or a PointInput, got {found}")));
        }
    }
    let shape = same_shape(&numbers)?;
    let columns: Vec<Core<'_>> = numbers
        .chunks_exact(3)
        .map(|three| Core {
            estimate: column(&three[0]),
            standard_uncertainty: column(&three[1]),
            degrees_of_freedom: column(&three[2]),
        })
        .collect();
    let correlation = correlation.map(|matrix| square("correlation", columns.len(), matrix)).transpose()?;
    let rows: Vec<usize> = [if contributions { columns.len() } else { 0 }].iter().chain(&shape.0).copied().collect();
    let room = [&shape.0, &shape.0, &shape.0, &shape.0, &shape.0, &rows].map(|shape| empty(py, shape));
    // SAFETY: just made, each in memory of its own, and known to nobody else; the core writes every element.
    let [values, standard_uncertainties, effective_degrees_of_freedom, coverage_factors, expanded_uncertainties, parts] =
        room.each_ref().map(|array| unsafe { slice_mut(array) });
    let slices = PointSlices {
        values,
        standard_uncertainties,
        effective_degrees_of_freedom,
        coverage_factors,
        expanded_uncertainties,
        contributions: parts,
    };
    let core = &own.core;
    py.detach(|| core.at_points_slice(&columns, correlation.as_deref(), &options, slices)).or_raise(py)?;
    let [value, standard_uncertainty, effective_degrees_of_freedom, coverage_factor, expanded_uncertainty, parts] =
        room.map(|array| array.into_any().unbind());
    Ok(PointBudgets {
        value,
        standard_uncertainty,
        effective_degrees_of_freedom,
        coverage_factor,
        expanded_uncertainty,
        contributions: contributions.then_some(parts),
        inputs: own.names(py)?,
    })
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<PointInput>()?;
    module.add_class::<PointBudgets>()?;
    add_function(module, "uncertainty", &wrap_pyfunction!(propagate_points, module)?)
}
