//! Counts, displays and immersion.

use crate::arrays::Numbers;
use crate::errors::OrRaise;
use crate::objects::{add_function, reduced};
use crate::records::{elementwise_all, records};
use calcore::circuit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// A scale of whole counts, such as an input card's.
///
/// Parameters
/// ----------
/// low_count, high_count : int
///     Two counts.
/// low, high : float
///     Their values, in any unit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> card = cc.circuit.DigitalScale(0, 4095, 0.0, 20.0)
/// >>> round(card.resolution, 5), card.count(12.0)
/// (0.00488, 2457)
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct DigitalScale(core::DigitalScale, (i64, i64, f64, f64));

#[pymethods]
impl DigitalScale {
    #[new]
    #[pyo3(signature = (low_count, high_count, low, high))]
    fn new(py: Python<'_>, low_count: i64, high_count: i64, low: f64, high: f64) -> PyResult<Self> {
        let scale = core::DigitalScale::new(low_count, high_count, low, high).or_raise(py)?;
        Ok(Self(scale, (low_count, high_count, low, high)))
    }

    /// Value of a count.
    ///
    /// Parameters
    /// ----------
    /// count : int or array-like of whole numbers
    ///     The count.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a count out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// InvalidValueError
    ///     For a count that is not whole.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.DigitalScale(0, 4095, 0.0, 20.0).value([0, 2457, 4095])
    /// array([ 0., 12., 20.])
    #[pyo3(signature = (count, *, invalid="raise"))]
    fn value<'py>(&self, count: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["count"], [count], invalid, |[x]| self.0.value(whole(x)?))
    }

    /// Count of a value.
    ///
    /// Parameters
    /// ----------
    /// value : float or array-like
    ///     The value. There is no count for a missing one: NaN is refused.
    ///
    /// Returns
    /// -------
    /// int or array of int64 of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.DigitalScale(0, 4095, 0.0, 20.0).count([0.0, 12.0])
    /// array([   0, 2457])
    #[pyo3(signature = (value))]
    fn count<'py>(&self, value: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let py = value.py();
        match Numbers::read("value", value)? {
            Numbers::One(x) => Ok(self.0.count(x).or_raise(py)?.into_pyobject(py)?.into_any()),
            // No count lies beyond 2^52, so that the way through a double is exact.
            Numbers::Many(_) => elementwise_all(["value"], [value], "raise", |[x]| Ok(self.0.count(x)? as f64))?
                .call_method1("astype", ("int64",)),
        }
    }

    /// Value of one count.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// Standard uncertainty by the resolution: that of a rectangle one count wide.
    #[getter]
    fn resolution_uncertainty(&self) -> f64 {
        self.0.resolution_uncertainty()
    }

    fn __repr__(&self) -> String {
        let (low_count, high_count, low, high) = self.1;
        format!("DigitalScale({low_count} to {high_count} counts, {low} to {high})")
    }

    fn __hash__(slf: &Bound<'_, Self>) -> PyResult<isize> {
        Self::__reduce__(slf)?.get_item(1)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        reduced(slf.as_any(), slf.get().1, &PyDict::new(slf.py()))
    }
}

/// A count given as a number.
fn whole(count: f64) -> calcore::Result<i64> {
    if !count.is_finite() {
        return Err(calcore::Error::NotFinite { what: "count", value: count, position: None });
    }
    if count.fract() != 0.0 {
        return Err(calcore::Error::InvalidValue {
            what: "count",
            value: count,
            unit: "",
            requirement: "it must be a whole number".into(),
        });
    }
    // Saturates far beyond every scale, which then refuses it.
    Ok(count as i64)
}

/// A display of limited resolution.
///
/// Parameters
/// ----------
/// resolution : float
///     Its step, in the unit of the value.
/// rounding : "nearest" or "truncate"
///     How it comes to its last digit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UnknownNameError
///
/// Examples
/// --------
/// >>> display = cc.circuit.Display(0.5)
/// >>> display.shown([99.9, 100.3]), round(display.uncertainty, 4)
/// (array([100. , 100.5]), 0.1443)
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Display(core::Display, core::Rounding);

#[pymethods]
impl Display {
    #[new]
    #[pyo3(signature = (resolution, rounding="nearest"))]
    fn new(py: Python<'_>, resolution: f64, rounding: &str) -> PyResult<Self> {
        let rounding = match rounding {
            "nearest" => Ok(core::Rounding::Nearest),
            "truncate" => Ok(core::Rounding::Truncate),
            _ => Err(calcore::Error::UnknownName {
                what: "rounding",
                name: rounding.into(),
                expected: "\"nearest\" or \"truncate\"".into(),
            }),
        }
        .or_raise(py)?;
        Ok(Self(core::Display::new(resolution, rounding).or_raise(py)?, rounding))
    }

    /// What is shown for a value.
    ///
    /// Parameters
    /// ----------
    /// value : float or array-like
    ///     The value.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
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
    /// >>> cc.circuit.Display(0.5).shown(100.3)
    /// 100.5
    #[pyo3(signature = (value, *, invalid="raise"))]
    fn shown<'py>(&self, value: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["value"], [value], invalid, |[value]| self.0.shown(value))
    }

    /// Its step.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// "nearest" or "truncate".
    #[getter]
    fn rounding(&self) -> &'static str {
        match self.1 {
            core::Rounding::Nearest => "nearest",
            core::Rounding::Truncate => "truncate",
        }
    }

    /// What it shows too much on average: none, or half a step too little if it truncates.
    #[getter]
    fn mean_error(&self) -> f64 {
        self.0.mean_error()
    }

    /// Standard uncertainty by the resolution: that of a rectangle one step wide.
    #[getter]
    fn uncertainty(&self) -> f64 {
        self.0.uncertainty()
    }

    fn __repr__(&self) -> String {
        format!("Display({}, {})", self.0.resolution(), self.rounding())
    }

    fn __hash__(slf: &Bound<'_, Self>) -> PyResult<isize> {
        Self::__reduce__(slf)?.get_item(1)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let display = slf.get();
        reduced(slf.as_any(), (display.resolution(), display.rounding()), &PyDict::new(slf.py()))
    }
}

/// How heat along the stem of a thermometer falls off with its immersion.
///
/// Parameters
/// ----------
/// effective_diameter_mm : float
///     Depth over which the error falls by the factor e, mm.
/// factor : float
///     Part of the difference to the surroundings that is left at no immersion.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// J. V. Nicholas, D. R. White, Traceable Temperatures, immersion (from memory).
///
/// Examples
/// --------
/// >>> stem = cc.circuit.Immersion(10.0, 1.0)
/// >>> round(stem.error_k(100.0, 20.0, 50.0), 3)  # five effective diameters: 0.67 % of -80 K
/// -0.539
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Immersion(core::Immersion);

#[pymethods]
impl Immersion {
    #[new]
    #[pyo3(signature = (effective_diameter_mm, factor=1.0))]
    fn new(py: Python<'_>, effective_diameter_mm: f64, factor: f64) -> PyResult<Self> {
        core::Immersion::new(effective_diameter_mm, factor).or_raise(py).map(Self)
    }

    /// Depth over which the error falls by the factor e, mm.
    #[getter]
    fn effective_diameter_mm(&self) -> f64 {
        self.0.effective_diameter_mm
    }

    /// Part of the difference to the surroundings that is left at no immersion.
    #[getter]
    fn factor(&self) -> f64 {
        self.0.factor
    }

    /// Error of a reading at a depth, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     True temperature, °C.
    /// ambient_c : float or array-like
    ///     Surroundings, °C.
    /// depth_mm : float or array-like
    ///     Immersion, mm.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).error_k(100.0, 20.0, 50.0), 3)
    /// -0.539
    #[pyo3(signature = (t_c, ambient_c, depth_mm, *, invalid="raise"))]
    fn error_k<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        ambient_c: &Bound<'py, PyAny>,
        depth_mm: &Bound<'py, PyAny>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        let (names, arguments) = (["t_c", "ambient_c", "depth_mm"], [t_c, ambient_c, depth_mm]);
        elementwise_all(names, arguments, invalid, |[a, b, c]| self.0.error_k(a, b, c))
    }

    /// Change of that error per millimetre of depth, K/mm.
    ///
    /// Parameters
    /// ----------
    /// t_c, ambient_c, depth_mm : float or array-like
    ///     As for ``error_k``.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     K/mm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).error_k_per_mm(100.0, 20.0, 50.0), 4)
    /// 0.0539
    #[pyo3(signature = (t_c, ambient_c, depth_mm, *, invalid="raise"))]
    fn error_k_per_mm<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        ambient_c: &Bound<'py, PyAny>,
        depth_mm: &Bound<'py, PyAny>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        let (names, arguments) = (["t_c", "ambient_c", "depth_mm"], [t_c, ambient_c, depth_mm]);
        elementwise_all(names, arguments, invalid, |[a, b, c]| self.0.error_k_per_mm(a, b, c))
    }

    /// True temperature of a reading at a depth, °C.
    ///
    /// Parameters
    /// ----------
    /// read_c : float or array-like
    ///     Reading, °C.
    /// ambient_c : float or array-like
    ///     Surroundings, °C.
    /// depth_mm : float or array-like
    ///     Immersion, mm.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).true_temperature(99.461, 20.0, 50.0), 3)
    /// 100.0
    #[pyo3(signature = (read_c, ambient_c, depth_mm, *, invalid="raise"))]
    fn true_temperature<'py>(
        &self,
        read_c: &Bound<'py, PyAny>,
        ambient_c: &Bound<'py, PyAny>,
        depth_mm: &Bound<'py, PyAny>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        let (names, arguments) = (["read_c", "ambient_c", "depth_mm"], [read_c, ambient_c, depth_mm]);
        elementwise_all(names, arguments, invalid, |[a, b, c]| self.0.true_temperature(a, b, c))
    }

    fn __repr__(&self) -> String {
        format!("Immersion({} mm, factor {})", self.0.effective_diameter_mm, self.0.factor)
    }

    fn __hash__(slf: &Bound<'_, Self>) -> PyResult<isize> {
        Self::__reduce__(slf)?.get_item(1)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let immersion = slf.get();
        let arguments = (immersion.effective_diameter_mm(), immersion.factor());
        reduced(slf.as_any(), arguments, &PyDict::new(slf.py()))
    }
}

/// Depth (mm) and reading (°C), each a number or an array.
type AtDepth<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>);

/// Immersion and true temperature from readings at two depths, the factor at no immersion taken as 1.
///
/// Parameters
/// ----------
/// shallow, deep : tuple of float or array-like
///     Depth (mm) and reading (°C) at each of the two.
/// ambient_c : float or array-like
///     Surroundings, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// tuple of Immersion and float, or record array of the common shape
///     The immersion, and the true temperature, °C; the records have the fields `effective_diameter_mm`, `factor`, `t_c`.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, NoConvergenceError
///
/// Examples
/// --------
/// >>> stem = cc.circuit.Immersion(10.0)
/// >>> readings = [(depth, 100.0 + stem.error_k(100.0, 20.0, depth)) for depth in (40.0, 60.0)]
/// >>> immersion, t_c = cc.circuit.immersion_from_two_depths(*readings, 20.0)
/// >>> round(immersion.effective_diameter_mm, 6), round(t_c, 9)
/// (10.0, 100.0)
#[pyfunction]
#[pyo3(signature = (shallow, deep, ambient_c, *, invalid="raise"))]
fn immersion_from_two_depths<'py>(
    shallow: AtDepth<'py>,
    deep: AtDepth<'py>,
    ambient_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["shallow[0]", "shallow[1]", "deep[0]", "deep[1]", "ambient_c"];
    let arguments = [&shallow.0, &shallow.1, &deep.0, &deep.1, ambient_c];
    records(
        (names, arguments),
        invalid,
        ["effective_diameter_mm", "factor", "t_c"],
        |[a, read_a, b, read_b, ambient_c]| {
            let (found, t_c) = core::immersion_from_two_depths((a, read_a), (b, read_b), ambient_c)?;
            Ok([found.effective_diameter_mm, found.factor, t_c])
        },
        |[effective_diameter_mm, factor, t_c]| (Immersion(core::Immersion { effective_diameter_mm, factor }), t_c),
    )
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<DigitalScale>()?;
    module.add_class::<Display>()?;
    module.add_class::<Immersion>()?;
    add_function(module, "circuit", &wrap_pyfunction!(immersion_from_two_depths, module)?)
}
