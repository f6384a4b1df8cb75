//! From readings and certificates to standard uncertainties.

use super::distribution::object;
use crate::arrays::series;
use crate::errors::OrRaise;
use crate::objects::{add_function, view};
use calcore::uncertainty::evaluation as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// The mean of repeated readings and how well it is known.
    ///
    /// Source
    /// ------
    /// JCGM 100:2008, 4.2.
    ///
    /// Examples
    /// --------
    /// >>> found = cc.uncertainty.mean_of([20.1, 20.3, 20.2])
    /// >>> round(found.standard_uncertainty, 4), found.degrees_of_freedom
    /// (0.0577, 2.0)
    TypeA(core::TypeA) in "calcore.uncertainty" {
        /// Mean of the readings.
        mean: f64 = |t| t.mean;
        /// Experimental standard deviation of one reading.
        standard_deviation: f64 = |t| t.standard_deviation;
        /// Standard uncertainty of the mean.
        standard_uncertainty: f64 = |t| t.standard_uncertainty;
        /// Degrees of freedom of the standard uncertainty.
        degrees_of_freedom: f64 = |t| t.degrees_of_freedom;
        /// Number of readings.
        readings: usize = |t| t.readings;
        /// Number of independent readings that they are worth for their mean.
        effective_readings: f64 = |t| t.effective_readings;
        /// Whether the resolution took the place of a smaller scatter.
        limited_by_resolution: bool = |t| t.limited_by_resolution;
    }

    /// As an input of a model: normal, with the degrees of freedom carried along.
    ///
    /// Returns
    /// -------
    /// Normal
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.mean_of([1.0, 3.0]).distribution()
    /// Normal(2.0, 1.0, 1.0)
    fn distribution<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        object(py, self.0.distribution())
    }

    fn __repr__(&self) -> String {
        let core::TypeA { mean, standard_uncertainty, degrees_of_freedom, readings, .. } = self.0;
        format!("TypeA(mean {mean:?}, u={standard_uncertainty:?}, {degrees_of_freedom:?} degrees of freedom, {readings} readings)")
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }
}

/// Mean of repeated readings.
///
/// u = s/√n; with a pooled standard deviation from elsewhere, u = s_p/√n and its degrees of freedom; for an
/// autocorrelated series by its effective number of independent readings.
///
/// Parameters
/// ----------
/// readings : array-like
///     At least two, at least one with a pooled standard deviation, at least eight of an autocorrelated series.
/// pooled : tuple of float, optional
///     Standard deviation of one reading and its degrees of freedom, known from many others.
/// autocorrelated : bool
///     Whether readings taken at equal intervals resemble the ones before.
/// resolution : float
///     Step of the display: the uncertainty is not taken for less than step/√12.
///
/// Returns
/// -------
/// TypeA
///
/// Raises
/// ------
/// TooFewPointsError
///     Also where the series is worth too few independent readings.
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// JCGM 100:2008, 4.2 and F.2.2.1; effective number: Bayley and Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184.
///
/// Examples
/// --------
/// >>> cc.uncertainty.mean_of([20.0, 20.0, 20.0], resolution=0.1).limited_by_resolution
/// True
#[pyfunction]
#[pyo3(signature = (readings, *, pooled=None, autocorrelated=false, resolution=0.0))]
fn mean_of(
    readings: &Bound<'_, PyAny>,
    pooled: Option<(f64, f64)>,
    autocorrelated: bool,
    resolution: f64,
) -> PyResult<TypeA> {
    let py = readings.py();
    let values = series("readings", readings)?;
    let found = match (pooled, autocorrelated) {
        (None, false) => core::mean_of(&values),
        (None, true) => core::autocorrelated(&values),
        (Some((s, nu)), _) => core::Pooled::new(s, nu).and_then(|known| core::mean_with_known_scatter(&values, known)),
    };
    Ok(TypeA(found.and_then(|found| found.with_resolution(resolution)).or_raise(py)?))
}

/// Standard deviation pooled from several series of readings, each about its own mean, and its degrees of freedom.
///
/// Parameters
/// ----------
/// series : sequence of array-like
///     At least two readings in each.
///
/// Returns
/// -------
/// tuple of float
///
/// Raises
/// ------
/// TooFewPointsError, NotFiniteError
///
/// Source
/// ------
/// JCGM 100:2008, 4.2.4.
///
/// Examples
/// --------
/// >>> cc.uncertainty.pooled([[1.0, 3.0], [2.0, 4.0]])
/// (1.4142135623730951, 2.0)
#[pyfunction]
#[pyo3(signature = (series))]
fn pooled(py: Python<'_>, series: Vec<Bound<'_, PyAny>>) -> PyResult<(f64, f64)> {
    let all = series.iter().map(|one| crate::arrays::series("series", one)).collect::<PyResult<Vec<_>>>()?;
    let slices: Vec<&[f64]> = all.iter().map(Vec::as_slice).collect();
    let found = core::pooled(&slices).or_raise(py)?;
    Ok((found.standard_deviation, found.degrees_of_freedom))
}

/// An estimate whose certificate states U, with k or with the coverage probability.
///
/// Parameters
/// ----------
/// estimate : float
///     In any unit.
/// expanded_uncertainty : float
///     U, in the same unit.
/// coverage_factor : float, optional
///     k of the certificate; goes before the probability.
/// probability : float, optional
///     Coverage probability of the certificate: k from Student's distribution.
/// degrees_of_freedom : float
///     As the certificate states them; infinite where it states none.
///
/// Returns
/// -------
/// Normal
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
/// TypeError
///     When neither k nor the probability is given: neither is assumed.
///
/// Source
/// ------
/// JCGM 100:2008, 4.3.3 to 4.3.5.
///
/// Examples
/// --------
/// >>> cc.uncertainty.from_expanded(20.0, 0.03, coverage_factor=2.0).standard_uncertainty
/// 0.015
#[pyfunction]
#[pyo3(signature = (estimate, expanded_uncertainty, *, coverage_factor=None, probability=None, degrees_of_freedom=f64::INFINITY))]
fn from_expanded(
    py: Python<'_>,
    estimate: f64,
    expanded_uncertainty: f64,
    coverage_factor: Option<f64>,
    probability: Option<f64>,
    degrees_of_freedom: f64,
) -> PyResult<Bound<'_, PyAny>> {
    let found = match (coverage_factor, probability) {
        (Some(k), _) => core::from_expanded(estimate, expanded_uncertainty, k, degrees_of_freedom),
        (None, Some(p)) => core::from_level(estimate, expanded_uncertainty, p, degrees_of_freedom),
        (None, None) => {
            return Err(pyo3::exceptions::PyTypeError::new_err(
                "from_expanded() needs coverage_factor or probability: a certificate states one of them",
            ));
        }
    };
    object(py, found.or_raise(py)?)
}

/// A reading of a display with a given step: a rectangle of half a step to both sides.
///
/// Parameters
/// ----------
/// reading : float
///     In any unit.
/// step : float
///     Of the display, in the same unit.
///
/// Returns
/// -------
/// Rectangular
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// JCGM 100:2008, F.2.2.1.
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.resolution(20.0, 0.1).standard_uncertainty, 4)
/// 0.0289
#[pyfunction]
#[pyo3(signature = (reading, step))]
fn resolution(py: Python<'_>, reading: f64, step: f64) -> PyResult<Bound<'_, PyAny>> {
    object(py, core::resolution(reading, step).or_raise(py)?)
}

/// How far off the difference of two readings may be because both displays round: a trapezoid about zero.
///
/// Parameters
/// ----------
/// first_step, second_step : float
///     Steps of the displays, in one unit.
///
/// Returns
/// -------
/// Trapezoidal
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// JCGM 101:2008, 6.4.4 (sum of two rectangles).
///
/// Examples
/// --------
/// >>> cc.uncertainty.resolution_of_difference(0.5, 1.5)
/// Trapezoidal(-1.0, 1.0, 0.5)
#[pyfunction]
#[pyo3(signature = (first_step, second_step))]
fn resolution_of_difference(py: Python<'_>, first_step: f64, second_step: f64) -> PyResult<Bound<'_, PyAny>> {
    object(py, core::resolution_of_difference(first_step, second_step).or_raise(py)?)
}

/// What a standard may have drifted since its last calibration, judged from the last two: a rectangle about zero.
///
/// Parameters
/// ----------
/// older, newer : float
///     The two calibrated values, in one unit.
/// elapsed_over_interval : float
///     Time since the newer calibration over the time between the two.
///
/// Returns
/// -------
/// Rectangular
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// Common practice, no source.
///
/// Examples
/// --------
/// >>> cc.uncertainty.drift(100.0, 100.5)
/// Rectangular(-0.5, 0.5)
#[pyfunction]
#[pyo3(signature = (older, newer, elapsed_over_interval=1.0))]
fn drift(py: Python<'_>, older: f64, newer: f64, elapsed_over_interval: f64) -> PyResult<Bound<'_, PyAny>> {
    object(py, core::drift(older, newer, elapsed_over_interval).or_raise(py)?)
}

/// Degrees of freedom of a standard uncertainty that is itself doubted by a fraction of it: ½ (Δu/u)⁻².
///
/// Parameters
/// ----------
/// relative_doubt : float
///     Δu/u.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// JCGM 100:2008, G.4.2.
///
/// Examples
/// --------
/// >>> cc.uncertainty.degrees_of_freedom_of_doubt(0.25)
/// 8.0
#[pyfunction]
#[pyo3(signature = (relative_doubt))]
fn degrees_of_freedom_of_doubt(py: Python<'_>, relative_doubt: f64) -> PyResult<f64> {
    core::degrees_of_freedom_of_doubt(relative_doubt).or_raise(py)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<TypeA>()?;
    for function in [
        wrap_pyfunction!(mean_of, module)?,
        wrap_pyfunction!(pooled, module)?,
        wrap_pyfunction!(from_expanded, module)?,
        wrap_pyfunction!(resolution, module)?,
        wrap_pyfunction!(resolution_of_difference, module)?,
        wrap_pyfunction!(drift, module)?,
        wrap_pyfunction!(degrees_of_freedom_of_doubt, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
