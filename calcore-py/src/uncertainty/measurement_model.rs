//! Measurement models of the core.

use super::budget::Budget;
use super::distribution::Distribution;
use crate::arrays::{Numbers, slice};
use crate::curves::shared_curve;
use crate::errors::{OrRaise, exception};
use calcore::Error;
use calcore::uncertainty::measurement_model::{AtPoints, MeasurementModel as Core, Place, Term};
use calcore::uncertainty::propagate_second_order;
use calcore::uncertainty::{Coverage, Distribution as CoreDistribution, Input};
use numpy::{PyArray1, PyArrayMethods, PyUntypedArrayMethods};
use pyo3::exceptions::{PyTypeError, PyValueError};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyFloat, PyString, PyTuple, PyType};

/// A result by a reading and a sensor curve, with sensitivities known in closed form.
///
/// y = weight · F(s g) + Σ k x (result), with the sum s = Σ k x (reading) + Σ k S(x) (junction) and the gain g = Π k x (factor)
/// / Π k x (divisor) · (1 + Σ k x (relative)). F is the temperature that gives a signal, the signal at a temperature, or
/// nothing. Made by `temperature`, `signal` or `linear`; taken by `propagate`, `propagate_points` and `monte_carlo`. Called
/// with one number or array an input, in the order of `inputs`, it gives the value.
///
/// Source
/// ------
/// JCGM 100:2008, 5.1.3 (sensitivities); readings with corrections as in EA-4/02 M:2022, S5 and S10: common practice.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> model = U.MeasurementModel.temperature(
/// ...     cc.CallendarVanDusen.iec60751(), reading=["bridge", "leads"], result=["axial"]
/// ... )
/// >>> round(model(138.5055, 0.0, 0.0), 9)
/// 100.0
/// >>> inputs = {
/// ...     "bridge": U.Normal(138.5055, 0.003),
/// ...     "leads": U.Rectangular(-0.002, 0.002),
/// ...     "axial": U.Rectangular(-0.05, 0.05),
/// ... }
/// >>> round(U.propagate(model, inputs).standard_uncertainty, 4)
/// 0.0301
#[pyclass(frozen, module = "calcore.uncertainty")]
pub(crate) struct MeasurementModel {
    pub(super) core: Core,
    kind: &'static str,
    curve: Option<Py<PyAny>>,
    /// The names as Python has them: what a dict of inputs is compared with.
    names: Vec<Py<PyString>>,
}

/// Where inputs enter, as the makers take it: names, or names with their coefficients.
#[derive(Default)]
struct Entries<'a, 'py>([Option<&'a Bound<'py, PyAny>>; 6]);

const PLACES: [Place; 6] =
    [Place::Reading, Place::Junction, Place::Factor, Place::Divisor, Place::Relative, Place::Result];

impl Entries<'_, '_> {
    fn terms(&self) -> PyResult<Vec<Term>> {
        let mut terms = Vec::new();
        for (place, entry) in PLACES.into_iter().zip(self.0) {
            let Some(entry) = entry else { continue };
            if let Ok(coefficients) = entry.cast::<PyDict>() {
                for (name, k) in coefficients {
                    terms.push(Term::new(name.extract::<String>()?, place, k.extract()?));
                }
            } else if entry.is_instance_of::<PyString>() {
                let message = format!("{} must be a sequence of names or a dict, got str", place.name());
                return Err(PyTypeError::new_err(message));
            } else {
                for name in entry.try_iter()? {
                    terms.push(Term::new(name?.extract::<String>()?, place, 1.0));
                }
            }
        }
        Ok(terms)
    }
}

#[pymethods]
impl MeasurementModel {
    /// The result is the temperature at which a curve gives the reading, °C.
    ///
    /// Parameters
    /// ----------
    /// curve : sensor curve
    ///     Of any kind: `CallendarVanDusen`, `Thermocouple`, `TabulatedCurve` and so on.
    /// reading : sequence of str or dict of str to float
    ///     Names of the inputs that add to the reading, in the unit of the signal, or their coefficients k by name.
    /// junction : sequence of str or dict of str to float, optional
    ///     Temperatures, °C, whose signal by the curve adds to the reading.
    /// factor : sequence of str or dict of str to float, optional
    ///     The reading is multiplied by k x.
    /// divisor : sequence of str or dict of str to float, optional
    ///     The reading is divided by k x; R0 of an element with k = 1/(R0 of the curve).
    /// relative : sequence of str or dict of str to float, optional
    ///     The reading is multiplied by 1 + Σ k x.
    /// result : sequence of str or dict of str to float, optional
    ///     k x is added to the result, K.
    /// weight : float
    ///     What the curve gives is multiplied by it: −1 where it is subtracted from an indication in `result`.
    ///
    /// Returns
    /// -------
    /// MeasurementModel
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    /// UnknownNameError
    ///     For a name that stands twice.
    ///
    /// Examples
    /// --------
    /// >>> k = cc.Thermocouple("K")
    /// >>> model = cc.uncertainty.MeasurementModel.temperature(k, reading=["mv"], junction=["junction_c"])
    /// >>> round(model(k.emf(300.0) - k.emf(23.0), 23.0), 9)
    /// 300.0
    #[classmethod]
    #[pyo3(signature = (curve, *, reading, junction=None, factor=None, divisor=None, relative=None, result=None, weight=1.0))]
    #[allow(clippy::too_many_arguments)]
    fn temperature(
        _class: &Bound<'_, PyType>,
        curve: &Bound<'_, PyAny>,
        reading: &Bound<'_, PyAny>,
        junction: Option<&Bound<'_, PyAny>>,
        factor: Option<&Bound<'_, PyAny>>,
        divisor: Option<&Bound<'_, PyAny>>,
        relative: Option<&Bound<'_, PyAny>>,
        result: Option<&Bound<'_, PyAny>>,
        weight: f64,
    ) -> PyResult<Self> {
        let entries = Entries([Some(reading), junction, factor, divisor, relative, result]);
        Self::make(curve.py(), "temperature", Some(curve), entries.terms()?, weight)
    }

    /// The result is the signal of a curve at the reading, which is a temperature, °C.
    ///
    /// Parameters
    /// ----------
    /// curve : sensor curve
    ///     Of any kind.
    /// reading : sequence of str or dict of str to float
    ///     Names of the inputs that add to the temperature, K, or their coefficients k by name.
    /// factor : sequence of str or dict of str to float, optional
    ///     The temperature is multiplied by k x.
    /// divisor : sequence of str or dict of str to float, optional
    ///     The temperature is divided by k x.
    /// relative : sequence of str or dict of str to float, optional
    ///     The temperature is multiplied by 1 + Σ k x.
    /// result : sequence of str or dict of str to float, optional
    ///     k x is added to the result, in the unit of the signal.
    /// weight : float
    ///     What the curve gives is multiplied by it.
    ///
    /// Returns
    /// -------
    /// MeasurementModel
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    /// UnknownNameError
    ///     For a name that stands twice.
    ///
    /// Examples
    /// --------
    /// >>> pt100 = cc.CallendarVanDusen.iec60751()
    /// >>> model = cc.uncertainty.MeasurementModel.signal(pt100, reading=["reference_c"], result=["meter_ohm"])
    /// >>> round(model(100.0, 0.002), 4)
    /// 138.5075
    #[classmethod]
    #[pyo3(signature = (curve, *, reading, factor=None, divisor=None, relative=None, result=None, weight=1.0))]
    #[allow(clippy::too_many_arguments)]
    fn signal(
        _class: &Bound<'_, PyType>,
        curve: &Bound<'_, PyAny>,
        reading: &Bound<'_, PyAny>,
        factor: Option<&Bound<'_, PyAny>>,
        divisor: Option<&Bound<'_, PyAny>>,
        relative: Option<&Bound<'_, PyAny>>,
        result: Option<&Bound<'_, PyAny>>,
        weight: f64,
    ) -> PyResult<Self> {
        let entries = Entries([Some(reading), None, factor, divisor, relative, result]);
        Self::make(curve.py(), "signal", Some(curve), entries.terms()?, weight)
    }

    /// The reading itself is the result.
    ///
    /// Parameters
    /// ----------
    /// reading : sequence of str or dict of str to float
    ///     Names of the inputs that add up, or their coefficients k by name.
    /// factor : sequence of str or dict of str to float, optional
    ///     The sum is multiplied by k x.
    /// divisor : sequence of str or dict of str to float, optional
    ///     The sum is divided by k x.
    /// relative : sequence of str or dict of str to float, optional
    ///     The sum is multiplied by 1 + Σ k x.
    /// result : sequence of str or dict of str to float, optional
    ///     k x is added afterwards.
    ///
    /// Returns
    /// -------
    /// MeasurementModel
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    /// UnknownNameError
    ///     For a name that stands twice.
    ///
    /// Examples
    /// --------
    /// >>> model = cc.uncertainty.MeasurementModel.linear(reading={"indication": 1.0, "reference": -1.0})
    /// >>> model(150.5, 150.25)
    /// 0.25
    #[classmethod]
    #[pyo3(signature = (*, reading, factor=None, divisor=None, relative=None, result=None))]
    fn linear(
        class: &Bound<'_, PyType>,
        reading: &Bound<'_, PyAny>,
        factor: Option<&Bound<'_, PyAny>>,
        divisor: Option<&Bound<'_, PyAny>>,
        relative: Option<&Bound<'_, PyAny>>,
        result: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let entries = Entries([Some(reading), None, factor, divisor, relative, result]);
        Self::make(class.py(), "linear", None, entries.terms()?, 1.0)
    }

    /// Names of the inputs, in the order in which the model takes their values.
    #[getter]
    fn inputs<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        Ok(self.names(py)?.into_bound(py))
    }

    #[pyo3(signature = (*values))]
    fn __call__<'py>(&self, values: &Bound<'py, PyTuple>) -> PyResult<Bound<'py, PyAny>> {
        let py = values.py();
        if values.len() != self.names.len() {
            let error =
                Error::LengthMismatch { what: "inputs of the model", expected: self.names.len(), found: values.len() };
            return Err(exception(py, &error));
        }
        let numbers = values.iter().map(|value| Numbers::read("an input", &value)).collect::<PyResult<Vec<_>>>()?;
        if numbers.iter().any(|number| matches!(number, Numbers::Many(_))) {
            let shape = same_shape(&numbers)?;
            let columns: Vec<AtPoints<'_>> = numbers.iter().map(column).collect();
            let model = &self.core;
            let found = py.detach(|| model.values_at(&columns)).or_raise(py)?;
            return shape.array(py, found);
        }
        let values: Vec<f64> = numbers.iter().map(|number| column(number).at(0)).collect();
        Ok(PyFloat::new(py, self.core.value(&values).or_raise(py)?).into_any())
    }

    fn __eq__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<bool> {
        let Ok(other) = other.cast::<Self>() else { return Ok(false) };
        let other = other.get();
        let curves = match (&self.curve, &other.curve) {
            (Some(a), Some(b)) => a.bind(py).eq(b)?,
            (None, None) => true,
            _ => false,
        };
        let same = self.kind == other.kind && self.core.terms() == other.core.terms();
        Ok(same && curves && self.core.weight().to_bits() == other.core.weight().to_bits())
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.kind, PyTuple::new(py, &self.names)?, self.core.weight()).into_pyobject(py)?.hash()
    }

    fn __copy__(slf: Py<Self>) -> Py<Self> {
        slf
    }

    fn __deepcopy__(slf: Py<Self>, _memo: &Bound<'_, PyAny>) -> Py<Self> {
        slf
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let mut parts = Vec::new();
        if let Some(curve) = &self.curve {
            parts.push(curve.bind(py).repr()?.to_string());
        }
        for place in PLACES {
            let terms: Vec<String> = self
                .core
                .terms()
                .iter()
                .filter(|term| term.place == place)
                .map(|term| format!("{:?}: {:?}", term.name, term.coefficient))
                .collect();
            if !terms.is_empty() {
                parts.push(format!("{}={{{}}}", place.name(), terms.join(", ")));
            }
        }
        if self.core.weight().to_bits() != 1f64.to_bits() {
            parts.push(format!("weight={:?}", self.core.weight()));
        }
        Ok(format!("MeasurementModel.{}({})", self.kind, parts.join(", ")))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let model = slf.get();
        let terms: Vec<(&str, &str, f64)> =
            model.core.terms().iter().map(|t| (t.name.as_str(), t.place.name(), t.coefficient)).collect();
        let parts = (model.kind, &model.curve, terms, model.core.weight());
        (slf.get_type().getattr("_of")?, parts).into_pyobject(slf.py())
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        py: Python<'_>,
        kind: &str,
        curve: Option<&Bound<'_, PyAny>>,
        terms: Vec<(String, String, f64)>,
        weight: f64,
    ) -> PyResult<Self> {
        let place = |name: &str| PLACES.into_iter().find(|place| place.name() == name).unwrap_or(Place::Result);
        let terms = terms.into_iter().map(|(name, at, k)| Term::new(name, place(&at), k)).collect();
        let kind = ["temperature", "signal"].into_iter().find(|known| *known == kind).unwrap_or("linear");
        Self::make(py, kind, curve, terms, weight)
    }
}

impl MeasurementModel {
    fn make(
        py: Python<'_>,
        kind: &'static str,
        curve: Option<&Bound<'_, PyAny>>,
        terms: Vec<Term>,
        weight: f64,
    ) -> PyResult<Self> {
        let names = terms.iter().map(|term| PyString::intern(py, &term.name).unbind()).collect();
        let core = match curve {
            None => Core::linear(terms),
            Some(curve) => {
                let shared = shared_curve(curve)?;
                if kind == "signal" { Core::signal(shared, terms) } else { Core::temperature(shared, terms) }
            }
        };
        let core = core.and_then(|core| core.with_weight(weight)).or_raise(py)?;
        Ok(Self { core, kind, curve: curve.map(|curve| curve.clone().unbind()), names })
    }

    pub(super) fn names(&self, py: Python<'_>) -> PyResult<Py<PyTuple>> {
        Ok(PyTuple::new(py, &self.names)?.unbind())
    }

    /// The objects of a dict of inputs in the order of the model, whatever their order in the dict.
    pub(super) fn in_order<'py>(&self, inputs: &Bound<'py, PyDict>) -> PyResult<Vec<Bound<'py, PyAny>>> {
        let py = inputs.py();
        let mut found = Vec::with_capacity(self.names.len());
        for name in &self.names {
            match inputs.get_item(name.bind(py))? {
                Some(input) => found.push(input),
                None => return Err(self.unknown(py, &name.bind(py).to_string(), "the inputs that were given")),
            }
        }
        if inputs.len() != found.len() {
            for name in inputs.keys() {
                let name = name.to_string();
                if !self.core.terms().iter().any(|term| term.name == name) {
                    let names: Vec<&str> = self.core.terms().iter().map(|term| term.name.as_str()).collect();
                    return Err(self.unknown(py, &name, &names.join(", ")));
                }
            }
        }
        Ok(found)
    }

    fn unknown(&self, py: Python<'_>, name: &str, expected: &str) -> PyErr {
        let what = "input of the model";
        exception(py, &Error::UnknownName { what, name: name.into(), expected: expected.into() })
    }

    /// Names and distributions in the order of the model.
    pub(super) fn named(&self, inputs: &Bound<'_, PyDict>) -> PyResult<Vec<Input>> {
        let found = self.in_order(inputs)?;
        let both = self.core.terms().iter().zip(&found);
        both.map(|(term, input)| Ok(Input::new(term.name.as_str(), input.cast::<Distribution>()?.get().0))).collect()
    }

    /// The ordinary budget of one point.
    pub(super) fn budget(
        &self,
        inputs: &Bound<'_, PyDict>,
        correlation: Option<&[f64]>,
        order: u8,
        coverage: Coverage,
    ) -> PyResult<Budget> {
        let py = inputs.py();
        let found = self.in_order(inputs)?;
        let mut distributions: Vec<CoreDistribution> = Vec::with_capacity(found.len());
        for input in &found {
            distributions.push(input.cast::<Distribution>()?.get().0);
        }
        let budget = if order == 1 {
            self.core.budget(&distributions, correlation, coverage)
        } else {
            let inputs: Vec<Input> = self
                .core
                .terms()
                .iter()
                .zip(&distributions)
                .map(|(term, distribution)| Input::new(term.name.as_str(), *distribution))
                .collect();
            propagate_second_order(|x| self.core.value(x), &inputs, correlation, coverage)
        };
        Ok(Budget(budget.or_raise(py)?))
    }
}

/// The numbers of an input for the core.
pub(super) fn column<'a>(numbers: &'a Numbers<'_>) -> AtPoints<'a> {
    match numbers {
        Numbers::One(value) => AtPoints::One(*value),
        // SAFETY: `read` gave a plain array; nothing here writes to it, and that no other thread does while it is read is
        // what NumPy asks of its users too.
        Numbers::Many(array) => AtPoints::Each(unsafe { slice(array) }),
    }
}

/// The shape that all arrays among the numbers have.
pub(super) fn same_shape(numbers: &[Numbers<'_>]) -> PyResult<Shape> {
    let mut shape: Option<Vec<usize>> = None;
    for number in numbers {
        let Numbers::Many(array) = number else { continue };
        match &shape {
            Some(first) if first.as_slice() != array.shape() => {
                let message = format!("the inputs have different shapes: {first:?} and {:?}", array.shape());
                return Err(PyValueError::new_err(message));
            }
            _ => shape = Some(array.shape().to_vec()),
        }
    }
    Ok(Shape(shape.unwrap_or_else(|| vec![1])))
}

/// A shape that results are given.
pub(super) struct Shape(pub(super) Vec<usize>);

impl Shape {
    pub(super) fn array<'py>(&self, py: Python<'py>, values: Vec<f64>) -> PyResult<Bound<'py, PyAny>> {
        Ok(PyArray1::from_vec(py, values).reshape(self.0.clone())?.into_any())
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<MeasurementModel>()
}
