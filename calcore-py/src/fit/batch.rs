//! Fits of many sensors at once.

use super::callendar_van_dusen::held;
use crate::arrays::{Stated, matrix_or_series, series};
use crate::errors::{OrRaise, exception};
use crate::objects::add_function;
use crate::whole::whole_number;
use calcore::Error;
use calcore::fit::{self as core, BatchLayout};
use numpy::{PyArray1, PyArrayMethods};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

/// Fits of many sensors, one row a sensor; NaN where a sensor could not be fitted.
///
/// Examples
/// --------
/// >>> t_c = [0.0, 100.0, 200.0]
/// >>> fits = cc.fit.callendar_van_dusen_batch(t_c, [[100.0, 138.5055, 175.856], [100.1, 138.64, np.nan]])
/// >>> fits.errors[0][0]
/// 1
#[pyclass(frozen, get_all, module = "calcore.fit")]
pub(crate) struct BatchFit {
    /// R0 of each sensor, ohm.
    r0: Py<PyAny>,
    /// A of each sensor, 1/K.
    a: Py<PyAny>,
    /// B of each sensor, 1/K².
    b: Py<PyAny>,
    /// C of each sensor, 1/K⁴.
    c: Py<PyAny>,
    /// Covariance over (r0, a, b, c) of each sensor: an array of as many 4 x 4 matrices.
    covariance: Py<PyAny>,
    /// Chi-squared of each sensor where uncertainties are stated, else the sum of squares of its residuals, ohm².
    chi_squared: Py<PyAny>,
    /// Points minus fitted coefficients of each sensor.
    degrees_of_freedom: Py<PyAny>,
    /// Observed minus fitted resistance of each point, ohm, in the shape of the resistances.
    residuals_ohm: Py<PyAny>,
    /// The sensors that could not be fitted, by their number, and why: (index, CalcoreError).
    errors: Py<PyAny>,
}

#[pymethods]
impl BatchFit {
    fn __len__(&self, py: Python<'_>) -> PyResult<usize> {
        self.r0.bind(py).len()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("BatchFit({} sensors, {} not fitted)", self.__len__(py)?, self.errors.bind(py).len()?))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let (py, fit) = (slf.py(), slf.get());
        let maker = py.import("calcore._native")?.getattr("_batch_fit")?;
        let arguments = PyTuple::new(
            py,
            [
                &fit.r0,
                &fit.a,
                &fit.b,
                &fit.c,
                &fit.covariance,
                &fit.chi_squared,
                &fit.degrees_of_freedom,
                &fit.residuals_ohm,
                &fit.errors,
            ],
        )?;
        (maker, arguments).into_pyobject(py)
    }
}

/// Fits that were pickled.
#[pyfunction]
#[allow(clippy::too_many_arguments)]
fn _batch_fit(
    r0: Py<PyAny>,
    a: Py<PyAny>,
    b: Py<PyAny>,
    c: Py<PyAny>,
    covariance: Py<PyAny>,
    chi_squared: Py<PyAny>,
    degrees_of_freedom: Py<PyAny>,
    residuals_ohm: Py<PyAny>,
    errors: Py<PyAny>,
) -> BatchFit {
    BatchFit { r0, a, b, c, covariance, chi_squared, degrees_of_freedom, residuals_ohm, errors }
}

/// Fits the Callendar-Van Dusen equation to many sensors at once, each as `callendar_van_dusen` does, to the same bits.
///
/// A sensor that cannot be fitted spoils its own row only.
///
/// Parameters
/// ----------
/// t_c : array-like
///     Temperatures, °C: one row for all sensors, or one row a sensor.
/// ohm : array-like
///     Resistances, ohm: one row a sensor.
/// counts : array-like, optional
///     Number of points of each sensor, if they differ; `t_c` and `ohm` then have one dimension, one sensor after the other.
/// u_t : float or array-like, optional
///     Standard uncertainty of the temperatures, K.
/// u_ohm : float or array-like, optional
///     Standard uncertainty of the resistances, ohm.
/// u_t_common, u_ohm_common : float
///     Standard uncertainty of an error shared by all points of a sensor, K or ohm.
/// fixed : dict, optional
///     Coefficients held, for every sensor: any of "r0", "a", "b", "c".
/// threads : int
///     Number of threads; 0 for as many as the machine runs at once. The results are the same bits for any number.
///
/// Returns
/// -------
/// BatchFit
///
/// Raises
/// ------
/// LengthMismatchError, UnknownNameError
///     Everything else is the sensor's own error and stands in `errors`.
///
/// Source
/// ------
/// IEC 60751:2022, clause 4.
///
/// Examples
/// --------
/// >>> t_c = np.array([-80.0, 0.0, 50.0, 100.0, 200.0])
/// >>> curves = [cc.CallendarVanDusen.iec60751(r0) for r0 in (99.9, 100.1)]
/// >>> fits = cc.fit.callendar_van_dusen_batch(t_c, [curve.resistance(t_c) for curve in curves])
/// >>> fits.r0.round(9)
/// array([ 99.9, 100.1])
#[pyfunction]
#[pyo3(signature = (t_c, ohm, *, counts=None, u_t=None, u_ohm=None, u_t_common=0.0, u_ohm_common=0.0, fixed=None,
                    threads=0))]
#[allow(clippy::too_many_arguments)]
fn callendar_van_dusen_batch(
    py: Python<'_>,
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    counts: Option<Vec<usize>>,
    u_t: Option<&Bound<'_, PyAny>>,
    u_ohm: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_ohm_common: f64,
    fixed: Option<&Bound<'_, PyDict>>,
    #[pyo3(from_py_with = whole_number)] threads: usize,
) -> PyResult<BatchFit> {
    let fixed = held(fixed)?;
    let (t_c, t_shape) = matrix_or_series("t_c", t_c)?;
    let (values, shape) = match &counts {
        None => matrix_or_series("ohm", ohm)?,
        Some(_) => series("ohm", ohm).map(|values| {
            let len = values.len();
            (values, vec![len])
        })?,
    };
    let layout = match (&counts, shape.as_slice()) {
        (Some(counts), _) => BatchLayout::Ragged(counts),
        (None, [_, points]) => BatchLayout::Equal(*points),
        (None, _) => BatchLayout::Equal(values.len()),
    };
    if let (None, [_, points]) = (&counts, t_shape.as_slice())
        && Some(points) != shape.last()
    {
        let expected = shape.last().copied().unwrap_or(0);
        return Err(exception(py, &Error::LengthMismatch { what: "t_c", expected, found: *points }));
    }
    let (u_t, u_ohm) = (Stated::read_any("u_t", u_t)?, Stated::read_any("u_ohm", u_ohm)?);
    let options =
        core::BatchOptions { u_t: u_t.as_core(), u_ohm: u_ohm.as_core(), u_t_common, u_ohm_common, fixed, threads };
    let found = py.detach(|| core::callendar_van_dusen_batch(&t_c, &values, layout, &options)).or_raise(py)?;
    let sensors = found.r0.len();
    let array = |values: Vec<f64>| PyArray1::from_vec(py, values).into_any().unbind();
    let errors = PyList::new(
        py,
        found.errors.iter().map(|(index, error)| (*index, exception(py, error).into_value(py))).collect::<Vec<_>>(),
    )?;
    let freedom: Vec<i64> = found.degrees_of_freedom.iter().map(|n| *n as i64).collect();
    Ok(BatchFit {
        r0: array(found.r0),
        a: array(found.a),
        b: array(found.b),
        c: array(found.c),
        covariance: PyArray1::from_vec(py, found.covariance).reshape([sensors, 4, 4])?.into_any().unbind(),
        chi_squared: array(found.chi_squared),
        degrees_of_freedom: PyArray1::from_vec(py, freedom).into_any().unbind(),
        residuals_ohm: PyArray1::from_vec(py, found.residuals_ohm).reshape(shape)?.into_any().unbind(),
        errors: errors.into_any().unbind(),
    })
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<BatchFit>()?;
    // Not by `add`: that would make it a public name.
    module.setattr("_batch_fit", wrap_pyfunction!(_batch_fit, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(callendar_van_dusen_batch, module)?)
}
