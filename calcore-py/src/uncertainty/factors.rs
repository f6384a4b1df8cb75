//! Effective degrees of freedom and the coverage factors of Student's distribution.

use crate::arrays::{elementwise2, series};
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::uncertainty as core;
use pyo3::prelude::*;

/// Effective degrees of freedom of a combined standard uncertainty.
///
/// The square of the sum of the variances over the sum of u⁴/ν; not truncated.
///
/// Parameters
/// ----------
/// contributions : array-like
///     Independent contributions |c| u(x), in one unit.
/// degrees_of_freedom : array-like
///     Their degrees of freedom; infinite where exact.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// LengthMismatchError, InvalidValueError
///
/// Source
/// ------
/// JCGM 100:2008, G.4.1, equation (G.2b).
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.welch_satterthwaite([0.25, 0.57, 0.82], [9.0, 4.0, 14.0]), 1)
/// 19.0
#[pyfunction]
#[pyo3(signature = (contributions, degrees_of_freedom))]
fn welch_satterthwaite(contributions: &Bound<'_, PyAny>, degrees_of_freedom: &Bound<'_, PyAny>) -> PyResult<f64> {
    let py = contributions.py();
    let contributions = series("contributions", contributions)?;
    let degrees = series("degrees_of_freedom", degrees_of_freedom)?;
    if degrees.len() != contributions.len() {
        let error = calcore::Error::LengthMismatch {
            what: "degrees_of_freedom",
            expected: contributions.len(),
            found: degrees.len(),
        };
        return Err(crate::errors::exception(py, &error));
    }
    let pairs: Vec<(f64, f64)> = contributions.into_iter().zip(degrees).collect();
    core::coverage::welch_satterthwaite(&pairs).or_raise(py)
}

/// Coverage factor of a two-sided interval from Student's distribution.
///
/// Parameters
/// ----------
/// probability : float or array-like
///     Coverage probability, between 0 and 1.
/// degrees_of_freedom : float or array-like
///     They need not be whole; infinite for the normal distribution.
///
/// Returns
/// -------
/// float or array of the common shape
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, NotFiniteError
///
/// Source
/// ------
/// JCGM 100:2008, G.3 and table G.2.
///
/// Examples
/// --------
/// >>> cc.uncertainty.coverage_factor(0.95, [1.0, 10.0, np.inf]).round(2)
/// array([12.71,  2.23,  1.96])
#[pyfunction]
#[pyo3(signature = (probability, degrees_of_freedom))]
fn coverage_factor<'py>(
    probability: &Bound<'py, PyAny>,
    degrees_of_freedom: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["probability", "degrees_of_freedom"];
    elementwise2(names, [probability, degrees_of_freedom], core::coverage::coverage_factor)
}

/// Probability with which a multiple of the standard uncertainty to both sides covers the value.
///
/// Parameters
/// ----------
/// factor : float or array-like
///     Coverage factor.
/// degrees_of_freedom : float or array-like
///     They need not be whole; infinite for the normal distribution.
///
/// Returns
/// -------
/// float or array of the common shape
///
/// Raises
/// ------
/// InvalidValueError, NotFiniteError
///
/// Source
/// ------
/// JCGM 100:2008, G.3.
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.coverage_probability(2.0, np.inf), 4)
/// 0.9545
#[pyfunction]
#[pyo3(signature = (factor, degrees_of_freedom))]
fn coverage_probability<'py>(
    factor: &Bound<'py, PyAny>,
    degrees_of_freedom: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["factor", "degrees_of_freedom"];
    elementwise2(names, [factor, degrees_of_freedom], core::coverage::coverage_probability)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(welch_satterthwaite, module)?,
        wrap_pyfunction!(coverage_factor, module)?,
        wrap_pyfunction!(coverage_probability, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
