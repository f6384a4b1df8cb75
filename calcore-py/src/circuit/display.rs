//! Immersion, counts and displays.

use crate::arrays::elementwise;
use crate::errors::{OrRaise, exception};
use crate::objects::{add_function, reduced};
use calcore::Error;
use calcore::circuit::{self as core, Rounding};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// The effect of too little immersion: error = (t_ambient - t) K exp(-depth/D).
///
/// Parameters
/// ----------
/// effective_diameter_mm : float
///     D, mm.
/// factor : float
///     K; 1 if nothing is known.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// J. V. Nicholas, D. R. White, Traceable Temperatures, 2nd edition (2001), chapter 4 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.Immersion(6.0).error_k(100.0, 0.0, 30.0), 3)
/// -0.674
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, PartialEq)]
pub(crate) struct Immersion(core::Immersion);

#[pymethods]
impl Immersion {
    #[new]
    #[pyo3(signature = (effective_diameter_mm, factor=1.0))]
    fn new(py: Python<'_>, effective_diameter_mm: f64, factor: f64) -> PyResult<Self> {
        Ok(Self(core::Immersion::new(effective_diameter_mm, factor).or_raise(py)?))
    }

    /// Effective diameter, mm.
    #[getter]
    fn effective_diameter_mm(&self) -> f64 {
        self.0.effective_diameter_mm
    }

    /// Factor of the exponential.
    #[getter]
    fn factor(&self) -> f64 {
        self.0.factor
    }

    /// Error of the sensor, read minus true, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     True temperature, °C.
    /// ambient_c : float
    ///     Temperature of the surroundings, °C.
    /// depth_mm : float
    ///     Depth, mm.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.Immersion(6.0).error_k(20.0, 20.0, 30.0)
    /// 0.0
    fn error_k<'py>(&self, t_c: &Bound<'py, PyAny>, ambient_c: f64, depth_mm: f64) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.error_k(x, ambient_c, depth_mm))
    }

    /// True temperature behind a reading, °C.
    ///
    /// Parameters
    /// ----------
    /// read_c : float or array-like
    ///     Reading, °C.
    /// ambient_c : float
    ///     Temperature of the surroundings, °C.
    /// depth_mm : float
    ///     Depth, mm.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> stem = cc.circuit.Immersion(6.0)
    /// >>> round(stem.true_temperature(100.0 + stem.error_k(100.0, 0.0, 30.0), 0.0, 30.0), 9)
    /// 100.0
    fn true_temperature<'py>(
        &self,
        read_c: &Bound<'py, PyAny>,
        ambient_c: f64,
        depth_mm: f64,
    ) -> PyResult<Bound<'py, PyAny>> {
        elementwise("read_c", read_c, |x| self.0.true_temperature(x, ambient_c, depth_mm))
    }

    fn __repr__(&self) -> String {
        format!("Immersion(effective diameter {:?} mm, factor {:?})", self.0.effective_diameter_mm, self.0.factor)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.0.effective_diameter_mm, self.0.factor).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let stem = slf.get().0;
        reduced(slf.as_any(), (stem.effective_diameter_mm, stem.factor), &PyDict::new(slf.py()))
    }
}

/// The stem and the true temperature by readings at two depths in the same medium, with factor 1.
///
/// Parameters
/// ----------
/// shallow, deep : (float, float)
///     Depth, mm, and temperature read there, °C.
/// ambient_c : float
///     Temperature of the surroundings, °C.
///
/// Returns
/// -------
/// (Immersion, float)
///     The stem and the true temperature, °C.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UndeterminedError
///
/// Examples
/// --------
/// >>> stem = cc.circuit.Immersion(8.0)
/// >>> read = [(d, 150.0 + stem.error_k(150.0, 22.0, d)) for d in (40.0, 60.0)]
/// >>> found, t_c = cc.circuit.immersion_from_two_depths(*read, 22.0)
/// >>> round(found.effective_diameter_mm, 6), round(t_c, 6)
/// (8.0, 150.0)
#[pyfunction]
#[pyo3(signature = (shallow, deep, ambient_c))]
fn immersion_from_two_depths(
    py: Python<'_>,
    shallow: (f64, f64),
    deep: (f64, f64),
    ambient_c: f64,
) -> PyResult<(Immersion, f64)> {
    let (stem, t_c) = core::immersion_from_two_depths(shallow, deep, ambient_c).or_raise(py)?;
    Ok((Immersion(stem), t_c))
}

/// A straight line between counts of a converter and values.
///
/// Parameters
/// ----------
/// low_count, high_count : int
///     Counts.
/// low, high : float
///     Their values, in any unit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> card = cc.circuit.DigitalScale(0, 4096, 0.0, 20.0)
/// >>> card.value(2048), card.resolution
/// (10.0, 0.0048828125)
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, PartialEq)]
pub(crate) struct DigitalScale(core::DigitalScale, (i64, i64, f64, f64));

#[pymethods]
impl DigitalScale {
    #[new]
    fn new(py: Python<'_>, low_count: i64, high_count: i64, low: f64, high: f64) -> PyResult<Self> {
        let scale = core::DigitalScale::new(low_count, high_count, low, high).or_raise(py)?;
        Ok(Self(scale, (low_count, high_count, low, high)))
    }

    /// Value of a count.
    ///
    /// Parameters
    /// ----------
    /// count : int
    ///     Between the two ends.
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
    /// >>> cc.circuit.DigitalScale(0, 1000, -50.0, 150.0).value(500)
    /// 50.0
    fn value(&self, py: Python<'_>, count: i64) -> PyResult<f64> {
        self.0.value(count).or_raise(py)
    }

    /// The count nearest to a value; halves go to the even one.
    ///
    /// Parameters
    /// ----------
    /// value : float
    ///     Between the two ends.
    ///
    /// Returns
    /// -------
    /// int
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.DigitalScale(0, 1000, -50.0, 150.0).count(50.05)
    /// 500
    fn count(&self, py: Python<'_>, value: f64) -> PyResult<i64> {
        self.0.count(value).or_raise(py)
    }

    /// Value of one count, positive.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// Standard uncertainty by the resolution: one count over the root of 12, in the unit of the value.
    #[getter]
    fn resolution_uncertainty(&self) -> f64 {
        self.0.resolution_uncertainty()
    }

    fn __repr__(&self) -> String {
        let (low_count, high_count, low, high) = self.1;
        format!("DigitalScale({low_count} to {high_count} counts, {low:?} to {high:?})")
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        self.1.into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        reduced(slf.as_any(), slf.get().1, &PyDict::new(slf.py()))
    }
}

/// A display with its last digit.
///
/// Parameters
/// ----------
/// resolution : float
///     Step, in the unit of the value.
/// rounding : {"nearest", "truncate"}
///     How it comes to its last digit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UnknownNameError
///
/// Examples
/// --------
/// >>> display = cc.circuit.Display(0.5)
/// >>> display.shown([100.37, 100.6])
/// array([100.5, 100.5])
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, PartialEq)]
pub(crate) struct Display(core::Display, bool);

#[pymethods]
impl Display {
    #[new]
    #[pyo3(signature = (resolution, rounding="nearest"))]
    fn new(py: Python<'_>, resolution: f64, rounding: &str) -> PyResult<Self> {
        let cut = match rounding {
            "nearest" => false,
            "truncate" => true,
            _ => {
                let expected = "\"nearest\" or \"truncate\"".into();
                let error = Error::UnknownName { what: "rounding", name: rounding.into(), expected };
                return Err(exception(py, &error));
            }
        };
        let rounding = if cut { Rounding::Truncate } else { Rounding::Nearest };
        Ok(Self(core::Display::new(resolution, rounding).or_raise(py)?, cut))
    }

    /// What is shown for a value.
    ///
    /// Parameters
    /// ----------
    /// value : float or array-like
    ///     In the unit of the step.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.Display(0.25, "truncate").shown(1.99)
    /// 1.75
    fn shown<'py>(&self, value: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("value", value, |x| self.0.shown(x))
    }

    /// The step.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// "nearest" or "truncate".
    #[getter]
    fn rounding(&self) -> &'static str {
        if self.1 { "truncate" } else { "nearest" }
    }

    /// Mean error of what is shown: zero, or minus half a step where digits are cut off.
    #[getter]
    fn mean_error(&self) -> f64 {
        self.0.mean_error()
    }

    /// Standard uncertainty of the value behind a reading: a step over the root of 12.
    #[getter]
    fn uncertainty(&self) -> f64 {
        self.0.uncertainty()
    }

    fn __repr__(&self) -> String {
        format!("Display(step {:?}, {})", self.resolution(), self.rounding())
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.resolution(), self.1).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let display = slf.get();
        reduced(slf.as_any(), (display.resolution(), display.rounding()), &PyDict::new(slf.py()))
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Immersion>()?;
    module.add_class::<DigitalScale>()?;
    module.add_class::<Display>()?;
    add_function(module, "circuit", &wrap_pyfunction!(immersion_from_two_depths, module)?)
}
