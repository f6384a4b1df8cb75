//! Units of temperature, and of differences of temperature.

use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::records::elementwise_all;
use calcore::temperature::{self, Scale, TemperatureUnit};
use pyo3::prelude::*;

/// A temperature in a unit, in °C.
///
/// t/°C = T/K - 273.15 = (t/°F - 32) 5/9. For a difference (an error, a tolerance, an uncertainty) use
/// `difference_to_k`.
///
/// Parameters
/// ----------
/// value : float or array-like
///     Temperature in `unit`.
/// unit : str
///     "celsius" (or "degC", "°C"), "kelvin" ("K"), "fahrenheit" ("degF", "°F").
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °C.
///
/// Raises
/// ------
/// NotFiniteError, UnknownNameError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1; ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.to_celsius(212.0, "degF")
/// 100.0
#[pyfunction]
#[pyo3(signature = (value, unit, *, invalid="raise"))]
fn to_celsius<'py>(value: &Bound<'py, PyAny>, unit: &str, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let unit = TemperatureUnit::from_name(unit).or_raise(value.py())?;
    elementwise_all(["value"], [value], invalid, |[x]| unit.to_c(x))
}

/// A temperature in °C, in another unit.
///
/// T/K = t/°C + 273.15; t/°F = t/°C 9/5 + 32.
///
/// Parameters
/// ----------
/// t_c : float or array-like
///     Temperature, °C.
/// unit : str
///     "celsius" (or "degC", "°C"), "kelvin" ("K"), "fahrenheit" ("degF", "°F").
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     Temperature in `unit`.
///
/// Raises
/// ------
/// NotFiniteError, UnknownNameError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1; ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.from_celsius([0.0, 100.0], "K")
/// array([273.15, 373.15])
#[pyfunction]
#[pyo3(signature = (t_c, unit, *, invalid="raise"))]
fn from_celsius<'py>(t_c: &Bound<'py, PyAny>, unit: &str, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let unit = TemperatureUnit::from_name(unit).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| unit.from_c(x))
}

/// A difference of temperatures in a unit, in kelvin.
///
/// A difference of 1 °C is 1 K or 1.8 °F. Errors, tolerances and uncertainties are differences.
///
/// Parameters
/// ----------
/// difference : float or array-like
///     Difference in `unit`.
/// unit : str
///     "celsius" (or "degC", "°C"), "kelvin" ("K"), "fahrenheit" ("degF", "°F").
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError, UnknownNameError
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1; ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.difference_to_k(0.9, "degF")
/// 0.5
#[pyfunction]
#[pyo3(signature = (difference, unit, *, invalid="raise"))]
fn difference_to_k<'py>(difference: &Bound<'py, PyAny>, unit: &str, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let unit = TemperatureUnit::from_name(unit).or_raise(difference.py())?;
    elementwise_all(["difference"], [difference], invalid, |[x]| unit.difference_to_k(x))
}

/// A difference of temperatures in kelvin, in another unit.
///
/// Parameters
/// ----------
/// dt_k : float or array-like
///     Difference, K.
/// unit : str
///     "celsius" (or "degC", "°C"), "kelvin" ("K"), "fahrenheit" ("degF", "°F").
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     Difference in `unit`.
///
/// Raises
/// ------
/// NotFiniteError, UnknownNameError
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1; ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.difference_from_k(1.0, "degF")
/// 1.8
#[pyfunction]
#[pyo3(signature = (dt_k, unit, *, invalid="raise"))]
fn difference_from_k<'py>(dt_k: &Bound<'py, PyAny>, unit: &str, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let unit = TemperatureUnit::from_name(unit).or_raise(dt_k.py())?;
    elementwise_all(["dt_k"], [dt_k], invalid, |[x]| unit.difference_from_k(x))
}

/// T/K = t/°C + 273.15.
///
/// Parameters
/// ----------
/// t_c : float or array-like
///     Temperature, °C.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1.
///
/// Examples
/// --------
/// >>> cc.temperature.kelvin_from_celsius(0.01)
/// 273.15999999999997
#[pyfunction]
#[pyo3(signature = (t_c, *, invalid="raise"))]
fn kelvin_from_celsius<'py>(t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_c"], [t_c], invalid, |[x]| temperature::kelvin_from_celsius(x))
}

/// t/°C = T/K - 273.15.
///
/// Parameters
/// ----------
/// t_k : float or array-like
///     Temperature, K.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °C.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// BIPM, SI Brochure, 9th edition (2019), 2.3.1.
///
/// Examples
/// --------
/// >>> cc.temperature.celsius_from_kelvin(0.0)
/// -273.15
#[pyfunction]
#[pyo3(signature = (t_k, *, invalid="raise"))]
fn celsius_from_kelvin<'py>(t_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_k"], [t_k], invalid, |[x]| temperature::celsius_from_kelvin(x))
}

/// t/°F = t/°C 9/5 + 32: a temperature, not a difference.
///
/// Parameters
/// ----------
/// t_c : float or array-like
///     Temperature, °C.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °F.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.fahrenheit_from_celsius(0.5)
/// 32.9
#[pyfunction]
#[pyo3(signature = (t_c, *, invalid="raise"))]
fn fahrenheit_from_celsius<'py>(t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_c"], [t_c], invalid, |[x]| temperature::fahrenheit_from_celsius(x))
}

/// t/°C = (t/°F - 32) 5/9: a temperature, not a difference.
///
/// Parameters
/// ----------
/// t_f : float or array-like
///     Temperature, °F.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °C.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Below absolute zero.
///
/// Source
/// ------
/// ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.celsius_from_fahrenheit(-40.0)
/// -40.0
#[pyfunction]
#[pyo3(signature = (t_f, *, invalid="raise"))]
fn celsius_from_fahrenheit<'py>(t_f: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_f"], [t_f], invalid, |[x]| temperature::celsius_from_fahrenheit(x))
}

/// A difference in kelvin, in degrees Fahrenheit: dt/°F = dt/K 9/5.
///
/// Parameters
/// ----------
/// dt_k : float or array-like
///     Difference, K.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     Difference, °F.
///
/// Raises
/// ------
/// NotFiniteError
///
/// Source
/// ------
/// ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.difference_f_from_k(0.5)
/// 0.9
#[pyfunction]
#[pyo3(signature = (dt_k, *, invalid="raise"))]
fn difference_f_from_k<'py>(dt_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["dt_k"], [dt_k], invalid, |[x]| temperature::difference_f_from_k(x))
}

/// A difference in degrees Fahrenheit, in kelvin: dt/K = dt/°F 5/9.
///
/// Parameters
/// ----------
/// dt_f : float or array-like
///     Difference, °F.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError
///
/// Source
/// ------
/// ISO 80000-5:2019, annex A.
///
/// Examples
/// --------
/// >>> cc.temperature.difference_k_from_f(0.9)
/// 0.5
#[pyfunction]
#[pyo3(signature = (dt_f, *, invalid="raise"))]
fn difference_k_from_f<'py>(dt_f: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["dt_f"], [dt_f], invalid, |[x]| temperature::difference_k_from_f(x))
}

/// Difference of the ITS-90 and the IPTS-68 at a temperature, K.
///
/// Parameters
/// ----------
/// t90_c : float or array-like
///     Temperature on the ITS-90, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// R. L. Rusby, J. Chem. Thermodyn. 23 (1991) 1153-1161; R. L. Rusby, R. P. Hudson, M. Durieux, Metrologia 31 (1994)
/// 149-153. Coefficients from memory, checked at fixed points.
///
/// Examples
/// --------
/// >>> round(cc.temperature.t90_minus_t68(100.0), 3)
/// -0.026
#[pyfunction]
#[pyo3(signature = (t90_c, *, invalid="raise"))]
fn t90_minus_t68<'py>(t90_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t90_c"], [t90_c], invalid, |[x]| temperature::t90_minus_t68(x))
}

/// A temperature of the IPTS-68 on the ITS-90, °C.
///
/// Parameters
/// ----------
/// t68_c : float or array-like
///     Temperature on the IPTS-68, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// R. L. Rusby, J. Chem. Thermodyn. 23 (1991) 1153-1161; R. L. Rusby, R. P. Hudson, M. Durieux, Metrologia 31 (1994)
/// 149-153. Coefficients from memory, checked at fixed points.
///
/// Examples
/// --------
/// >>> round(cc.temperature.t90_from_t68(100.0), 3)
/// 99.974
#[pyfunction]
#[pyo3(signature = (t68_c, *, invalid="raise"))]
fn t90_from_t68<'py>(t68_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t68_c"], [t68_c], invalid, |[x]| temperature::t90_from_t68(x))
}

/// A temperature of the ITS-90 on the IPTS-68, °C.
///
/// Parameters
/// ----------
/// t90_c : float or array-like
///     Temperature on the ITS-90, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// R. L. Rusby, J. Chem. Thermodyn. 23 (1991) 1153-1161; R. L. Rusby, R. P. Hudson, M. Durieux, Metrologia 31 (1994)
/// 149-153. Coefficients from memory, checked at fixed points.
///
/// Examples
/// --------
/// >>> round(cc.temperature.t68_from_t90(99.974), 3)
/// 100.0
#[pyfunction]
#[pyo3(signature = (t90_c, *, invalid="raise"))]
fn t68_from_t90<'py>(t90_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t90_c"], [t90_c], invalid, |[x]| temperature::t68_from_t90(x))
}

/// A temperature of the IPTS-48 on the IPTS-68, °C.
///
/// Parameters
/// ----------
/// t48_c : float or array-like
///     Temperature on the IPTS-48, °C, 0 to 630.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// T. B. Douglas, J. Res. NBS 73A (1969) 451-470. Coefficients from memory, checked at fixed points.
///
/// Examples
/// --------
/// >>> cc.temperature.t68_from_t48(100.0)
/// 100.0
#[pyfunction]
#[pyo3(signature = (t48_c, *, invalid="raise"))]
fn t68_from_t48<'py>(t48_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t48_c"], [t48_c], invalid, |[x]| temperature::t68_from_t48(x))
}

/// A temperature of the IPTS-68 on the IPTS-48, °C.
///
/// Parameters
/// ----------
/// t68_c : float or array-like
///     Temperature on the IPTS-68, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// T. B. Douglas, J. Res. NBS 73A (1969) 451-470. Coefficients from memory, checked at fixed points.
///
/// Examples
/// --------
/// >>> cc.temperature.t48_from_t68(100.0)
/// 100.0
#[pyfunction]
#[pyo3(signature = (t68_c, *, invalid="raise"))]
fn t48_from_t68<'py>(t68_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t68_c"], [t68_c], invalid, |[x]| temperature::t48_from_t68(x))
}

/// The scale of a certificate; one that does not state it is refused.
fn scale(py: Python<'_>, name: Option<&str>) -> PyResult<Scale> {
    Scale::from_name(name.unwrap_or("not stated")).or_raise(py)
}

/// A temperature of the scale that a certificate states, on the ITS-90, °C.
///
/// Parameters
/// ----------
/// t_c : float or array-like
///     Temperature on that scale, °C.
/// scale : {"ITS-90", "IPTS-68", "IPTS-48"}
///     The scale. A certificate that does not state it is refused: the year alone does not tell.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °C.
///
/// Raises
/// ------
/// UnknownNameError
///     For another scale, and for none.
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// As `t90_from_t68` and `t68_from_t48`.
///
/// Examples
/// --------
/// >>> round(cc.temperature.to_its90(100.0, "IPTS-68"), 3)
/// 99.974
/// >>> cc.temperature.to_its90(100.0)
/// Traceback (most recent call last):
/// calcore.UnknownNameError: temperature scale "not stated" is not known ...
#[pyfunction]
#[pyo3(signature = (t_c, scale=None, *, invalid="raise"))]
fn to_its90<'py>(t_c: &Bound<'py, PyAny>, scale: Option<&str>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let scale = self::scale(t_c.py(), scale)?;
    elementwise_all(["t_c"], [t_c], invalid, |[t]| scale.to_its90(t))
}

/// A temperature of the ITS-90 on another scale, °C.
///
/// Parameters
/// ----------
/// t90_c : float or array-like
///     Temperature on the ITS-90, °C.
/// scale : {"ITS-90", "IPTS-68", "IPTS-48"}
///     The scale; none is refused.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     °C.
///
/// Raises
/// ------
/// UnknownNameError
///     For another scale, and for none.
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the conversion.
///
/// Source
/// ------
/// As `t68_from_t90` and `t48_from_t68`.
///
/// Examples
/// --------
/// >>> round(cc.temperature.from_its90(99.974, "IPTS-68"), 3)
/// 100.0
#[pyfunction]
#[pyo3(signature = (t90_c, scale=None, *, invalid="raise"))]
fn from_its90<'py>(t90_c: &Bound<'py, PyAny>, scale: Option<&str>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let scale = self::scale(t90_c.py(), scale)?;
    elementwise_all(["t90_c"], [t90_c], invalid, |[t]| scale.from_its90(t))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(to_celsius, module)?,
        wrap_pyfunction!(from_celsius, module)?,
        wrap_pyfunction!(difference_to_k, module)?,
        wrap_pyfunction!(difference_from_k, module)?,
        wrap_pyfunction!(kelvin_from_celsius, module)?,
        wrap_pyfunction!(celsius_from_kelvin, module)?,
        wrap_pyfunction!(fahrenheit_from_celsius, module)?,
        wrap_pyfunction!(celsius_from_fahrenheit, module)?,
        wrap_pyfunction!(difference_f_from_k, module)?,
        wrap_pyfunction!(difference_k_from_f, module)?,
        wrap_pyfunction!(t90_minus_t68, module)?,
        wrap_pyfunction!(t90_from_t68, module)?,
        wrap_pyfunction!(t68_from_t90, module)?,
        wrap_pyfunction!(t68_from_t48, module)?,
        wrap_pyfunction!(t48_from_t68, module)?,
        wrap_pyfunction!(to_its90, module)?,
        wrap_pyfunction!(from_its90, module)?,
    ] {
        add_function(module, "temperature", &function)?;
    }
    Ok(())
}
