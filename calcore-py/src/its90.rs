//! The ITS-90: reference functions and fixed points.

use crate::arrays::elementwise;
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::its90 as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// Reference ratio W_r of ideal platinum at a temperature.
///
/// Parameters
/// ----------
/// t_k : float or array-like
///     Temperature on the ITS-90, K, 13.8033 to 1234.93.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10 and 107, equations 9a and 10a, table 4.
///
/// Examples
/// --------
/// >>> round(cc.its90.reference_ratio(505.078), 8)
/// 1.89279768
#[pyfunction]
#[pyo3(signature = (t_k))]
fn reference_ratio<'py>(t_k: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("t_k", t_k, core::reference_ratio)
}

/// Slope of the reference function, 1/K; at 273.16 K that of the upper function.
///
/// Parameters
/// ----------
/// t_k : float or array-like
///     Temperature on the ITS-90, K.
///
/// Returns
/// -------
/// float or array of the same shape
///     1/K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a, differentiated.
///
/// Examples
/// --------
/// >>> round(cc.its90.reference_slope(273.16), 6)
/// 0.003989
#[pyfunction]
#[pyo3(signature = (t_k))]
fn reference_slope<'py>(t_k: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("t_k", t_k, core::reference_slope)
}

/// Temperature at which ideal platinum has a reference ratio, K: the exact inverse.
///
/// Parameters
/// ----------
/// w : float or array-like
///     Reference ratio.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a.
///
/// Examples
/// --------
/// >>> round(cc.its90.temperature_from_ratio(1.89279768), 4)
/// 505.078
#[pyfunction]
#[pyo3(signature = (w))]
fn temperature_from_ratio<'py>(w: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("w", w, core::temperature_from_ratio)
}

/// The same by the published inverse, within 0.1 mK below 273.16 K and 0.135 mK above.
///
/// Parameters
/// ----------
/// w : float or array-like
///     Reference ratio.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9b and 10b, table 4.
///
/// Examples
/// --------
/// >>> bool(abs(cc.its90.temperature_from_ratio_approximate(2.5) - cc.its90.temperature_from_ratio(2.5)) < 1.35e-4)
/// True
#[pyfunction]
#[pyo3(signature = (w))]
fn temperature_from_ratio_approximate<'py>(w: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("w", w, core::temperature_from_ratio_approximate)
}

/// Temperature of a fixed point where the sensor is, K.
///
/// Parameters
/// ----------
/// name : str
///     "e-H2", "Ne", "O2", "Ar", "Hg", "H2O", "Ga", "In", "Sn", "Zn", "Al", "Ag", "Au" or "Cu".
/// depth_m : float
///     Depth of the sensor below the surface of the liquid, m.
/// pressure_pa : float, optional
///     Pressure on that surface, Pa, for a melting or freezing point; the standard atmosphere unless given.
///
/// Returns
/// -------
/// float
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError
/// InvalidValueError
///     For a negative depth or pressure, and for a pressure with a triple point.
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
///
/// Examples
/// --------
/// >>> round(cc.its90.fixed_point_temperature("H2O", depth_m=0.265), 5)
/// 273.15981
#[pyfunction]
#[pyo3(signature = (name, depth_m=0.0, pressure_pa=None))]
fn fixed_point_temperature(py: Python<'_>, name: &str, depth_m: f64, pressure_pa: Option<f64>) -> PyResult<f64> {
    core::fixed_point_temperature(name, depth_m, pressure_pa).or_raise(py)
}

/// Temperature of equilibrium hydrogen by its vapour pressure, K, near 17.035 K or 20.27 K.
///
/// Parameters
/// ----------
/// name : {"e-H2_17K", "e-H2_20K"}
///     Which of the two.
/// kpa : float or array-like
///     Vapour pressure, kPa.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.2 (equations from memory).
///
/// Examples
/// --------
/// >>> cc.its90.hydrogen_vapour_pressure_temperature("e-H2_20K", 101.292)
/// 20.27
#[pyfunction]
#[pyo3(signature = (name, kpa))]
fn hydrogen_vapour_pressure_temperature<'py>(name: &str, kpa: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("kpa", kpa, |x| core::hydrogen_vapour_pressure_temperature(name, x))
}

/// Whether a thermometer meets the scale's criteria, and which it fails.
///
/// Examples
/// --------
/// >>> check = cc.its90.acceptance(w_gallium=1.1180, w_mercury=0.8441)
/// >>> check.accepted, check.failed
/// (True, ['Ga'])
#[pyclass(frozen, eq, module = "calcore.its90")]
#[derive(Clone, PartialEq)]
pub(crate) struct Acceptance(core::Acceptance, [Option<f64>; 3]);

#[pymethods]
impl Acceptance {
    /// Whether one of the criteria at gallium and mercury is met.
    #[getter]
    fn accepted(&self) -> bool {
        self.0.accepted
    }

    /// Whether the criterion for use up to the silver point is met too; None if it was not asked for.
    #[getter]
    fn accepted_to_silver(&self) -> Option<bool> {
        self.0.accepted_to_silver
    }

    /// Every criterion looked at: point, w, limit, at_least (or else at most), met.
    #[getter]
    fn criteria<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let mut all = Vec::with_capacity(self.0.criteria.len());
        for criterion in &self.0.criteria {
            let one = PyDict::new(py);
            one.set_item("point", criterion.point)?;
            one.set_item("w", criterion.w)?;
            one.set_item("limit", criterion.limit)?;
            one.set_item("at_least", criterion.at_least)?;
            one.set_item("met", criterion.met)?;
            all.push(one);
        }
        Ok(all)
    }

    /// Points at which a criterion is not met.
    #[getter]
    fn failed(&self) -> Vec<&'static str> {
        self.0.failed().map(|criterion| criterion.point).collect()
    }

    fn __repr__(&self) -> String {
        format!("Acceptance(accepted={}, failed={:?})", self.0.accepted, self.failed())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let options = PyDict::new(slf.py());
        for (name, w) in ["w_gallium", "w_mercury", "w_silver"].iter().zip(slf.get().1) {
            options.set_item(name, w)?;
        }
        let maker = slf.py().import("calcore.its90")?.getattr("acceptance")?;
        let maker = slf.py().import("functools")?.getattr("partial")?.call((maker,), Some(&options))?;
        (maker, PyTuple::empty(slf.py())).into_pyobject(slf.py())
    }
}

/// Checks a thermometer against the criteria that the scale asks of platinum.
///
/// Parameters
/// ----------
/// w_gallium, w_mercury, w_silver : float, optional
///     Its ratio W at the melting point of gallium, the triple point of mercury and the freezing point of silver; at
///     least one of the first two.
///
/// Returns
/// -------
/// Acceptance
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, TooFewPointsError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3 (limits from memory).
///
/// Examples
/// --------
/// >>> cc.its90.acceptance(w_gallium=1.11810).accepted
/// True
#[pyfunction]
#[pyo3(signature = (*, w_gallium=None, w_mercury=None, w_silver=None))]
fn acceptance(
    py: Python<'_>,
    w_gallium: Option<f64>,
    w_mercury: Option<f64>,
    w_silver: Option<f64>,
) -> PyResult<Acceptance> {
    let found = core::acceptance(w_gallium, w_mercury, w_silver).or_raise(py)?;
    Ok(Acceptance(found, [w_gallium, w_mercury, w_silver]))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Acceptance>()?;
    for function in [
        wrap_pyfunction!(acceptance, module)?,
        wrap_pyfunction!(reference_ratio, module)?,
        wrap_pyfunction!(reference_slope, module)?,
        wrap_pyfunction!(temperature_from_ratio, module)?,
        wrap_pyfunction!(temperature_from_ratio_approximate, module)?,
        wrap_pyfunction!(fixed_point_temperature, module)?,
        wrap_pyfunction!(hydrogen_vapour_pressure_temperature, module)?,
    ] {
        add_function(module, "its90", &function)?;
    }
    Ok(())
}
