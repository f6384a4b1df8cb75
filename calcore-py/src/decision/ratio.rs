//! Ratios that stand for the quality of a measurement.

use super::limits_of;
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::decision::ratio as core;
use pyo3::prelude::*;

/// Test uncertainty ratio: width of the tolerance over twice the expanded uncertainty.
///
/// Parameters
/// ----------
/// tolerance : float or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// expanded_uncertainty : float
///     Of the measurement process, for 95 % coverage, in the unit of the tolerance.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UndeterminedError
///
/// Source
/// ------
/// ANSI/NCSL Z540.3-2006, 3.11 (clause from memory).
///
/// Examples
/// --------
/// >>> cc.decision.test_uncertainty_ratio(1.0, 0.25)
/// 4.0
#[pyfunction]
#[pyo3(signature = (tolerance, expanded_uncertainty))]
fn test_uncertainty_ratio(tolerance: &Bound<'_, PyAny>, expanded_uncertainty: f64) -> PyResult<f64> {
    core::test_uncertainty_ratio(limits_of(tolerance)?, expanded_uncertainty).or_raise(tolerance.py())
}

/// Test accuracy ratio: tolerance of the item over the specified accuracy of the standard.
///
/// It says nothing of the uncertainty of the measurement.
///
/// Parameters
/// ----------
/// tolerance : float or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// accuracy : float
///     Half the width of the specification of the standard, in the unit of the tolerance.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UndeterminedError
///
/// Source
/// ------
/// Common practice, no source.
///
/// Examples
/// --------
/// >>> cc.decision.test_accuracy_ratio(1.0, 0.125)
/// 8.0
#[pyfunction]
#[pyo3(signature = (tolerance, accuracy))]
fn test_accuracy_ratio(tolerance: &Bound<'_, PyAny>, accuracy: f64) -> PyResult<f64> {
    core::test_accuracy_ratio(limits_of(tolerance)?, accuracy).or_raise(tolerance.py())
}

/// Measurement capability index: width of the tolerance over four standard uncertainties.
///
/// Parameters
/// ----------
/// tolerance : float or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// u : float
///     Standard uncertainty of the measurement, in the unit of the tolerance.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UndeterminedError
///
/// Source
/// ------
/// JCGM 106:2012, 7.5.
///
/// Examples
/// --------
/// >>> cc.decision.measurement_capability_index(1.0, 0.125)
/// 4.0
#[pyfunction]
#[pyo3(signature = (tolerance, u))]
fn measurement_capability_index(tolerance: &Bound<'_, PyAny>, u: f64) -> PyResult<f64> {
    core::measurement_capability_index(limits_of(tolerance)?, u).or_raise(tolerance.py())
}

/// E_n number: a difference of two results over the expanded uncertainty of that difference.
///
/// An absolute value of at most 1 is satisfactory.
///
/// Parameters
/// ----------
/// value, expanded_uncertainty : float
///     Result, and its expanded uncertainty.
/// reference, reference_expanded_uncertainty : float
///     The other result, and its expanded uncertainty with the same coverage factor.
/// correlation : float
///     Of the two results; against one and the same reference it is the square of its standard uncertainty over the product
///     of theirs.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Source
/// ------
/// ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2015, 9.7; JCGM 100:2008, 5.2.2.
///
/// Examples
/// --------
/// >>> round(cc.decision.e_n(0.12, 0.06, 0.05, 0.04), 3)
/// 0.971
#[pyfunction]
#[pyo3(signature = (value, expanded_uncertainty, reference, reference_expanded_uncertainty, *, correlation=0.0))]
fn e_n(
    py: Python<'_>,
    value: f64,
    expanded_uncertainty: f64,
    reference: f64,
    reference_expanded_uncertainty: f64,
    correlation: f64,
) -> PyResult<f64> {
    core::e_n(value, expanded_uncertainty, reference, reference_expanded_uncertainty, correlation).or_raise(py)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(test_uncertainty_ratio, module)?,
        wrap_pyfunction!(test_accuracy_ratio, module)?,
        wrap_pyfunction!(measurement_capability_index, module)?,
        wrap_pyfunction!(e_n, module)?,
    ] {
        add_function(module, "decision", &function)?;
    }
    Ok(())
}
