//! Figures over up-and-down cycles.

use super::Uncertainty;
use super::conformity::Conformity;
use crate::arrays::{matrix_or_series, series};
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Series, add_function, html_table, shown, view};
use calcore::Error;
use calcore::linearization as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// A figure with its place and standard uncertainty.
    ///
    /// Examples
    /// --------
    /// >>> figures = cc.linearization.cycles([0, 50, 100], [0.0, 0.1, 0.0], [0.0, 0.2, 0.0], span=100.0)
    /// >>> figures.hysteresis.value, figures.hysteresis.at
    /// (0.1, 1)
    Figure(core::Figure) in "calcore.linearization" {
        /// In the unit of the readings.
        value: f64 = |f| f.value;
        /// In percent of the span.
        percent_of_span: f64 = |f| f.percent_of_span;
        /// Index of the point at which it is taken.
        at: usize = |f| f.at;
        /// In the unit of the readings; None where none is stated for these.
        standard_uncertainty: Option<f64> = |f| f.standard_uncertainty;
    }

    fn __repr__(&self) -> String {
        format!("Figure({} at point {})", self.0.value, self.0.at)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        json::reduced(slf.as_any(), &slf.get().0)
    }

    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        json::read(py, text).map(Self)
    }
}

view! {
    /// Scatter of readings taken at the same point from the same side.
    ///
    /// Examples
    /// --------
    /// >>> figures = cc.linearization.cycles([0, 50, 100], [[0.0, 0.1, 0.0], [0.0, 0.3, 0.0]], span=100.0)
    /// >>> figures.repeatability.degrees_of_freedom
    /// 3
    Repeatability(core::Repeatability) in "calcore.linearization" {
        /// Pooled standard deviation, in the unit of the readings.
        standard_deviation: f64 = |r| r.standard_deviation;
        /// The same in percent of the span.
        percent_of_span: f64 = |r| r.percent_of_span;
        /// Cycles less one for each point and side.
        degrees_of_freedom: usize = |r| r.degrees_of_freedom;
        /// Standard uncertainty of the standard deviation, from its degrees of freedom.
        standard_uncertainty: f64 = |r| r.standard_uncertainty;
        /// Largest difference of two readings at the same point from the same side.
        largest_range: Figure = |r| Figure(r.largest_range);
    }

    fn __repr__(&self) -> String {
        format!(
            "Repeatability({}, {} degrees of freedom)",
            self.0.standard_deviation, self.0.degrees_of_freedom
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        json::reduced(slf.as_any(), &slf.get().0)
    }

    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        json::read(py, text).map(Self)
    }
}

view! {
    /// What the readings of a link over cycles tell; errors are reading minus expected.
    ///
    /// Examples
    /// --------
    /// >>> up, down = [0.00, 0.05, 0.11, 0.13, 0.10], [0.02, 0.10, 0.17, 0.16, 0.10]
    /// >>> figures = cc.linearization.cycles([0, 25, 50, 75, 100], up, down, span=100.0)
    /// >>> round(figures.hysteresis.value, 12), round(figures.most_positive_error.value, 12)
    /// (0.06, 0.17)
    CycleFigures(core::CycleFigures) in "calcore.linearization" {
        /// Mean error at every point going up.
        average_error_up: Series = |f| Series(f.average_error_up.clone());
        /// Mean error at every point going down; empty without such readings.
        average_error_down: Series = |f| Series(f.average_error_down.clone());
        /// Mean of the two.
        average_error: Series = |f| Series(f.average_error.clone());
        /// Standard uncertainty of the average error; None where none is stated.
        average_error_standard_uncertainty: Option<Series> =
            |f| f.average_error_standard_uncertainty.clone().map(Series);
        /// Largest difference of the mean errors going up and going down, dead band included.
        hysteretic_error: Option<Figure> = |f| f.hysteretic_error.map(Figure);
        /// The same less the dead band.
        hysteresis: Option<Figure> = |f| f.hysteresis.map(Figure);
        /// Scatter; None with one cycle.
        repeatability: Option<Repeatability> = |f| f.repeatability.map(Repeatability);
        /// Most positive error of all readings: upper limit of the total error band.
        most_positive_error: Figure = |f| Figure(f.most_positive_error);
        /// Most negative error of all readings: lower limit of the total error band.
        most_negative_error: Figure = |f| Figure(f.most_negative_error);
        /// Independent linearity of the average error curve; None below three points.
        independent: Option<Conformity> = |f| f.linearity.as_ref().map(|l| Conformity(l.independent.clone()));
        /// Zero-based linearity of the average error curve; None below three points.
        zero_based: Option<Conformity> = |f| f.linearity.as_ref().map(|l| Conformity(l.zero_based.clone()));
        /// Terminal-based linearity of the average error curve; None below three points.
        terminal_based: Option<Conformity> = |f| f.linearity.as_ref().map(|l| Conformity(l.terminal_based.clone()));
    }

    fn __repr__(&self) -> String {
        format!(
            "CycleFigures({} points, errors {} to {})",
            self.0.average_error.len(),
            self.0.most_negative_error.value,
            self.0.most_positive_error.value
        )
    }

    fn _repr_html_(&self) -> String {
        let f = &self.0;
        let mut rows = vec![
            vec!["most positive error".into(), shown(f.most_positive_error.value)],
            vec!["most negative error".into(), shown(f.most_negative_error.value)],
        ];
        let mut add = |name: &str, value: Option<f64>| {
            rows.extend(value.map(|value| vec![name.to_owned(), shown(value)]));
        };
        add("hysteresis", f.hysteresis.map(|figure| figure.value));
        add("repeatability", f.repeatability.map(|figure| figure.standard_deviation));
        add("independent linearity", f.linearity.as_ref().map(|l| l.independent.largest));
        add("zero-based linearity", f.linearity.as_ref().map(|l| l.zero_based.largest));
        add("terminal-based linearity", f.linearity.as_ref().map(|l| l.terminal_based.largest));
        html_table("Figures over cycles", &["figure", "value"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        json::reduced(slf.as_any(), &slf.get().0)
    }

    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        json::read(py, text).map(Self)
    }
}

/// Series of readings, one for each cycle; one series alone is one cycle.
fn cycle_series(name: &'static str, points: usize, argument: &Bound<'_, PyAny>) -> PyResult<(Vec<f64>, usize)> {
    let (values, shape) = matrix_or_series(name, argument)?;
    let columns = shape.last().copied().unwrap_or(0);
    if columns != points {
        let error = Error::LengthMismatch { what: name, expected: points, found: columns };
        return Err(error).or_raise(argument.py());
    }
    let cycles = if shape.len() == 2 { shape[0] } else { 1 };
    Ok((values, cycles))
}

/// Figures of a link over up-and-down cycles: error curves, hysteresis, repeatability, linearity, measured accuracy.
///
/// The most positive and the most negative error contain linearity, hysteresis and repeatability already: they are not
/// added to it again.
///
/// Parameters
/// ----------
/// x : array-like
///     The points.
/// up : array-like
///     Readings going up, in the order of the points; a row for each cycle.
/// down : array-like, optional
///     Readings going down, also in the order of the points; as many rows.
/// span : float
///     Span of the readings, in their unit.
/// expected : array-like, optional
///     What the link should have read at each point; 0 unless given, for readings that are errors.
/// dead_band : float
///     Dead band that is known apart, in the unit of the readings.
/// u : float or array-like, optional
///     Standard uncertainty of each reading, independent of the others; in the order up, down of the first cycle, up,
///     down of the second and so on.
/// covariance : array-like, optional
///     Covariance of all readings in that order, instead of `u`.
///
/// Returns
/// -------
/// CycleFigures
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, TooFewPointsError
///
/// Source
/// ------
/// IEC 61298-2:2008; ISA-51.1 (from memory); JCGM 100:2008, 4.2 and 5.2.2.
///
/// Examples
/// --------
/// >>> up = [[4.00, 12.02, 20.01], [4.02, 12.04, 20.01]]
/// >>> down = [[4.01, 12.06, 20.02], [4.01, 12.08, 20.02]]
/// >>> figures = cc.linearization.cycles([0, 50, 100], up, down, span=16.0, expected=[4, 12, 20], u=0.01)
/// >>> figures.average_error.round(9)
/// array([0.01 , 0.05 , 0.015])
/// >>> round(figures.repeatability.standard_deviation, 9), round(figures.terminal_based.largest, 9)
/// (0.01, 0.0375)
#[pyfunction]
#[pyo3(signature = (x, up, down=None, *, span, expected=None, dead_band=0.0, u=None, covariance=None))]
#[allow(clippy::too_many_arguments)]
fn cycles(
    py: Python<'_>,
    x: &Bound<'_, PyAny>,
    up: &Bound<'_, PyAny>,
    down: Option<&Bound<'_, PyAny>>,
    span: f64,
    expected: Option<&Bound<'_, PyAny>>,
    dead_band: f64,
    u: Option<&Bound<'_, PyAny>>,
    covariance: Option<&Bound<'_, PyAny>>,
) -> PyResult<CycleFigures> {
    let x = series("x", x)?;
    let (up, up_cycles) = cycle_series("up", x.len(), up)?;
    let (down, down_cycles) = down.map_or(Ok((Vec::new(), 0)), |down| cycle_series("down", x.len(), down))?;
    let expected = expected.map_or(Ok(vec![0.0; x.len()]), |values| series("expected", values))?;
    let rows = |values: &[f64], cycles: usize| -> Vec<Vec<f64>> {
        (0..cycles).map(|i| values[i * x.len()..(i + 1) * x.len()].to_vec()).collect()
    };
    let (up, down) = (rows(&up, up_cycles), rows(&down, down_cycles));
    let up: Vec<&[f64]> = up.iter().map(Vec::as_slice).collect();
    let down: Vec<&[f64]> = down.iter().map(Vec::as_slice).collect();
    let uncertainty = Uncertainty::read(x.len() * (up.len() + down.len()), u, covariance)?;
    let cycles = core::Cycles {
        x: &x,
        expected: &expected,
        up: &up,
        down: &down,
        span,
        dead_band,
        uncertainty: uncertainty.as_core(),
    };
    cycles.figures().or_raise(py).map(CycleFigures)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Figure>()?;
    module.add_class::<Repeatability>()?;
    module.add_class::<CycleFigures>()?;
    add_function(module, "linearization", &wrap_pyfunction!(cycles, module)?)
}
