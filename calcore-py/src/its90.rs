//! The ITS-90: reference functions and fixed points.

use crate::arrays::elementwise;
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::its90 as core;
use pyo3::prelude::*;

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

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
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
