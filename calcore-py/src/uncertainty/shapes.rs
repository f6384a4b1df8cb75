//! Coverage factors of shapes and of regions.

use super::budget::Contribution;
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::uncertainty::{regions, shapes};
use pyo3::prelude::*;

/// Coverage factor from the convolution of all independent contributions.
///
/// Parameters
/// ----------
/// contributions : sequence of Contribution
///     Rectangles, triangles and arcsines enter with their shape, all others as normal ones.
/// probability : float
///     Coverage probability.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// OutOfRangeError, NoConvergenceError
///
/// Source
/// ------
/// EA-4/02 M:2022, S10.14.
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> parts = [U.Normal(0.0, 0.015)] + [U.Rectangular(-a, a) for a in (0.04, 0.05, 0.10, 0.25, 0.05, 0.03)]
/// >>> round(U.coverage_factor_of_shapes([U.Contribution("x", part) for part in parts]), 3)
/// 1.83
#[pyfunction]
#[pyo3(signature = (contributions, probability=0.95))]
fn coverage_factor_of_shapes(
    py: Python<'_>,
    contributions: Vec<Bound<'_, Contribution>>,
    probability: f64,
) -> PyResult<f64> {
    let lines: Vec<_> = contributions.iter().map(|line| line.get().0.clone()).collect();
    shapes::coverage_factor_of_shapes(&lines, probability).or_raise(py)
}

/// Coverage factor of the sum of two rectangles, a trapezoid.
///
/// Parameters
/// ----------
/// first_half_width, second_half_width : float
///     In the unit of the result; 0 for none.
/// probability : float
///     Coverage probability.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError
///
/// Source
/// ------
/// EA-4/02 M:2022, S10.14 and S9.15.
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.trapezoid_coverage_factor(0.25, 0.10), 3)
/// 1.797
#[pyfunction]
#[pyo3(signature = (first_half_width, second_half_width, probability=0.95))]
fn trapezoid_coverage_factor(
    py: Python<'_>,
    first_half_width: f64,
    second_half_width: f64,
    probability: f64,
) -> PyResult<f64> {
    shapes::trapezoid_coverage_factor(first_half_width, second_half_width, probability).or_raise(py)
}

/// Factor of the hyper-ellipse that covers jointly normal quantities with a probability.
///
/// Parameters
/// ----------
/// probability : float
///     Coverage probability.
/// quantities : int
///     How many.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// OutOfRangeError, TooFewPointsError
///
/// Source
/// ------
/// JCGM 102:2011, 6.5 (clause from memory).
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.hyper_ellipse_factor(0.95, 2), 2)
/// 2.45
#[pyfunction]
#[pyo3(signature = (probability, quantities))]
fn hyper_ellipse_factor(py: Python<'_>, probability: f64, quantities: usize) -> PyResult<f64> {
    regions::hyper_ellipse_factor(probability, quantities).or_raise(py)
}

/// Factor of the hyper-rectangle that covers jointly normal quantities with at least a probability.
///
/// Parameters
/// ----------
/// probability : float
///     Coverage probability.
/// quantities : int
///     How many.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// OutOfRangeError, TooFewPointsError
///
/// Source
/// ------
/// JCGM 102:2011, 6.5 (clause from memory).
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.hyper_rectangle_factor(0.95, 2), 2)
/// 2.24
#[pyfunction]
#[pyo3(signature = (probability, quantities))]
fn hyper_rectangle_factor(py: Python<'_>, probability: f64, quantities: usize) -> PyResult<f64> {
    regions::hyper_rectangle_factor(probability, quantities).or_raise(py)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(coverage_factor_of_shapes, module)?,
        wrap_pyfunction!(trapezoid_coverage_factor, module)?,
        wrap_pyfunction!(hyper_ellipse_factor, module)?,
        wrap_pyfunction!(hyper_rectangle_factor, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
