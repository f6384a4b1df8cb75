//! Ratios that stand for the quality of a measurement.

use super::of_tolerance;
use crate::arrays::elementwise_of;
use crate::objects::add_function;
use calcore::decision::ratio as core;
use pyo3::prelude::*;
use pyo3::types::PyFloat;

/// Test uncertainty ratio: width of the tolerance over twice the expanded uncertainty.
///
/// Parameters
/// ----------
/// tolerance : float, array or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// expanded_uncertainty : float or array-like
///     Of the measurement process, for 95 % coverage, in the unit of the tolerance.
///
/// Returns
/// -------
/// float or array of the common shape
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
/// >>> cc.decision.test_uncertainty_ratio(cc.tolerance.iec60751("B", [0.0, 100.0]), 0.1)
/// array([3., 8.])
#[pyfunction]
#[pyo3(signature = (tolerance, expanded_uncertainty))]
fn test_uncertainty_ratio<'py>(
    tolerance: &Bound<'py, PyAny>,
    expanded_uncertainty: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    of_tolerance(tolerance, "expanded_uncertainty", expanded_uncertainty, core::test_uncertainty_ratio)
}

/// Test accuracy ratio: tolerance of the item over the specified accuracy of the standard.
///
/// It says nothing of the uncertainty of the measurement.
///
/// Parameters
/// ----------
/// tolerance : float, array or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// accuracy : float or array-like
///     Half the width of the specification of the standard, in the unit of the tolerance.
///
/// Returns
/// -------
/// float or array of the common shape
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
fn test_accuracy_ratio<'py>(
    tolerance: &Bound<'py, PyAny>,
    accuracy: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    of_tolerance(tolerance, "accuracy", accuracy, core::test_accuracy_ratio)
}

/// Measurement capability index: width of the tolerance over four standard uncertainties.
///
/// Parameters
/// ----------
/// tolerance : float, array or (float, float)
///     Half its width about zero, or its lower and upper limit.
/// u : float or array-like
///     Standard uncertainty of the measurement, in the unit of the tolerance.
///
/// Returns
/// -------
/// float or array of the common shape
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
fn measurement_capability_index<'py>(
    tolerance: &Bound<'py, PyAny>,
    u: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    of_tolerance(tolerance, "u", u, core::measurement_capability_index)
}

/// E_n number: a difference of two results over the expanded uncertainty of that difference.
///
/// An absolute value of at most 1 is satisfactory.
///
/// Parameters
/// ----------
/// value, expanded_uncertainty : float or array-like
///     Result, and its expanded uncertainty.
/// reference, reference_expanded_uncertainty : float or array-like
///     The other result, and its expanded uncertainty with the same coverage factor.
/// correlation : float or array-like, optional
///     Of the two results; against one and the same reference it is the square of its standard uncertainty over the product
///     of theirs. None means independent.
///
/// Returns
/// -------
/// float or array of the common shape
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
#[pyo3(signature = (value, expanded_uncertainty, reference, reference_expanded_uncertainty, *, correlation=None))]
fn e_n<'py>(
    value: &Bound<'py, PyAny>,
    expanded_uncertainty: &Bound<'py, PyAny>,
    reference: &Bound<'py, PyAny>,
    reference_expanded_uncertainty: &Bound<'py, PyAny>,
    correlation: Option<Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let correlation = correlation.unwrap_or_else(|| PyFloat::new(value.py(), 0.0).into_any());
    let names = ["value", "expanded_uncertainty", "reference", "reference_expanded_uncertainty", "correlation"];
    let arguments = [value, expanded_uncertainty, reference, reference_expanded_uncertainty, &correlation];
    elementwise_of(names, arguments, |[value, expanded, reference, reference_expanded, correlation]| {
        core::e_n(value, expanded, reference, reference_expanded, correlation)
    })
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
