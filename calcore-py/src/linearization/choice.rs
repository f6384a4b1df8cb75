//! Errors that a choice makes.

use crate::arrays::elementwise;
use crate::curves::any_curve;
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{add_function, html_table, shown, view};
use calcore::Result;
use calcore::curves::SensorCurve;
use calcore::linearization as core;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// The largest error over a range, proven.
    ///
    /// Examples
    /// --------
    /// >>> pt100 = cc.CallendarVanDusen.iec60751()
    /// >>> found = cc.linearization.largest_error_of_choice(pt100, 0.0, 100.0, linear=(0.0, 100.0), basis="terminal")
    /// >>> round(found.largest_k, 3), round(found.at_c)
    /// (0.375, 50)
    LargestError(core::LargestError) in "calcore.linearization" {
        /// No absolute error in the range is larger, K.
        largest_k: f64 = |e| e.largest_k;
        /// An absolute error that is reached, K: at most 0.1 % (or 1e-9 K) below the bound.
        reached_k: f64 = |e| e.reached_k;
        /// Where it is reached, °C.
        at_c: f64 = |e| e.at_c;
        /// No error is more positive, K.
        most_positive_k: f64 = |e| e.most_positive_k;
        /// Where an error as near to it is reached, °C.
        most_positive_at_c: f64 = |e| e.most_positive_at_c;
        /// No error is more negative, K.
        most_negative_k: f64 = |e| e.most_negative_k;
        /// Where an error as near to it is reached, °C.
        most_negative_at_c: f64 = |e| e.most_negative_at_c;
    }

    fn __repr__(&self) -> String {
        format!("LargestError({} K at {} °C)", self.0.largest_k, self.0.at_c)
    }

    fn _repr_html_(&self) -> String {
        let e = &self.0;
        let rows = [
            ("largest", e.largest_k, e.at_c),
            ("most positive", e.most_positive_k, e.most_positive_at_c),
            ("most negative", e.most_negative_k, e.most_negative_at_c),
        ]
        .map(|(name, k, at_c)| vec![name.to_owned(), shown(k), shown(at_c)]);
        html_table("Largest error, proven", &["error", "K", "at °C"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        json::reduced(slf.as_any(), &slf.get().0)
    }

    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        json::read(py, text).map(Self)
    }
}

/// The arguments that make a choice.
struct Options<'a, 'py> {
    read_with: Option<&'a Bound<'py, PyAny>>,
    linear: Option<(f64, f64)>,
    basis: &'a str,
    added_signal: f64,
    resolution: f64,
}

impl Options<'_, '_> {
    /// Asks the choice that they make with an element.
    fn ask<T>(&self, element: &Bound<'_, PyAny>, ask: impl FnOnce(&core::Choice<'_>) -> PyResult<T>) -> PyResult<T> {
        let py = element.py();
        if self.read_with.is_some() && self.linear.is_some() {
            return Err(PyTypeError::new_err("give read_with or linear, not both"));
        }
        let no_curve = |name: &str| {
            PyTypeError::new_err(format!("{name} must be a sensor curve of calcore, such as CallendarVanDusen"))
        };
        let basis = core::Basis::from_name(self.basis).or_raise(py)?;
        let finish = |choice: Result<core::Choice<'_>>| -> PyResult<T> {
            let choice = choice
                .and_then(|choice| choice.with_added_signal(self.added_signal))
                .and_then(|choice| choice.with_resolution(self.resolution))
                .or_raise(py)?;
            ask(&choice)
        };
        let with_element = |element: &dyn SensorCurve| -> Result<PyResult<T>> {
            Ok(match (self.read_with, self.linear) {
                (Some(other), _) => any_curve(other, |curve| Ok(finish(Ok(core::Choice::read_with(element, curve)))))
                    .unwrap_or_else(|| Ok(Err(no_curve("read_with"))))?,
                (None, Some((low_c, high_c))) => finish(core::Choice::linear(element, low_c, high_c, basis)),
                (None, None) => finish(Ok(core::Choice::read_with(element, element))),
            })
        };
        any_curve(element, with_element).ok_or_else(|| no_curve("element"))?.or_raise(py)?
    }
}

/// Error of a temperature that is read by a choice, K: the temperature read minus that of the element.
///
/// Parameters
/// ----------
/// element : curve
///     The element as it is.
/// t_c : float or array-like
///     Its temperature, °C.
/// read_with : curve, optional
///     Curve that the instrument has: of another alpha, nominal in place of fitted, with rounded coefficients. The
///     element's own unless given.
/// linear : tuple of float, optional
///     Range, °C, over which the instrument takes the signal for linear in temperature, in place of a curve.
/// basis : {"independent", "terminal", "zero"}
///     The straight line of `linear`.
/// added_signal : float
///     What the wiring adds to the signal, in its unit: both leads of a two-wire connection, ohm.
/// resolution : float
///     Step of the converter, in the unit of the signal; the error is then the larger one of the two at half a step.
///
/// Returns
/// -------
/// float or array
///     Error, K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError, UnknownNameError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.linearization.error_of_choice(pt100, 0.0, added_signal=0.5), 2)
/// 1.28
/// >>> other = cc.PolynomialRtd.standard("jis_pt3916", 100.0)
/// >>> cc.linearization.error_of_choice(other, [100.0, 200.0], read_with=pt100).round(2)
/// array([1.7 , 3.47])
#[pyfunction]
#[pyo3(signature = (element, t_c, *, read_with=None, linear=None, basis="independent", added_signal=0.0,
                    resolution=0.0))]
fn error_of_choice<'py>(
    element: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    read_with: Option<&Bound<'py, PyAny>>,
    linear: Option<(f64, f64)>,
    basis: &str,
    added_signal: f64,
    resolution: f64,
) -> PyResult<Bound<'py, PyAny>> {
    let options = Options { read_with, linear, basis, added_signal, resolution };
    options.ask(element, |choice| elementwise("t_c", t_c, |t| choice.error_k(t)))
}

/// The largest error of a choice over a range of temperature, proven and not sampled.
///
/// Interval arithmetic bounds the curvature of the error on stretches of the range; that with the largest bound is halved
/// until the bound is met within 0.1 %, or 1e-9 K.
///
/// Parameters
/// ----------
/// element : curve
///     The element as it is.
/// low_c, high_c : float
///     Range of its temperature, °C.
/// read_with : curve, optional
///     Curve that the instrument has; the element's own unless given.
/// linear : tuple of float, optional
///     Range, °C, over which the instrument takes the signal for linear in temperature, in place of a curve.
/// basis : {"independent", "terminal", "zero"}
///     The straight line of `linear`.
/// added_signal : float
///     What the wiring adds to the signal, in its unit.
/// resolution : float
///     Step of the converter, in the unit of the signal.
///
/// Returns
/// -------
/// LargestError
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError, UnknownNameError
/// UndeterminedError
///     Where the slope of a curve vanishes in the range.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> rounded = cc.CallendarVanDusen.from_alpha_delta_beta(100.0, 0.0038506, 1.4999, 0.10863)
/// >>> round(1e3 * cc.linearization.largest_error_of_choice(pt100, 0.0, 600.0, read_with=rounded).largest_k, 1)
/// 4.5
#[pyfunction]
#[pyo3(signature = (element, low_c, high_c, *, read_with=None, linear=None, basis="independent", added_signal=0.0,
                    resolution=0.0))]
#[allow(clippy::too_many_arguments)]
fn largest_error_of_choice<'py>(
    py: Python<'py>,
    element: &Bound<'py, PyAny>,
    low_c: f64,
    high_c: f64,
    read_with: Option<&Bound<'py, PyAny>>,
    linear: Option<(f64, f64)>,
    basis: &str,
    added_signal: f64,
    resolution: f64,
) -> PyResult<LargestError> {
    let options = Options { read_with, linear, basis, added_signal, resolution };
    options.ask(element, |choice| choice.largest(low_c, high_c).or_raise(py).map(LargestError))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<LargestError>()?;
    add_function(module, "linearization", &wrap_pyfunction!(error_of_choice, module)?)?;
    add_function(module, "linearization", &wrap_pyfunction!(largest_error_of_choice, module)?)
}
