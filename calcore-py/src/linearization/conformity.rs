//! Linearity and conformity of readings.

use super::{Uncertainty, pairs};
use crate::arrays::series;
use crate::curves::any_curve;
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Series, add_function, html_table, shown, view};
use calcore::linearization as core;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// How far readings depart from the line of a basis, in the unit of the readings.
    ///
    /// Examples
    /// --------
    /// >>> found = cc.linearization.conformity([0, 25, 50, 75, 100], [0.02, 0.10, 0.16, 0.12, 0.04], basis="terminal")
    /// >>> round(found.largest, 12), found.at
    /// (0.13, 2)
    Conformity(core::Conformity) in "calcore.linearization" {
        /// "independent", "terminal", "zero" or "unadjusted".
        basis: &'static str = |c| c.basis.name();
        /// The line at x = 0.
        intercept: f64 = |c| c.intercept;
        /// Its slope.
        slope: f64 = |c| c.slope;
        /// Reading minus line at every point.
        deviations: Series = |c| Series(c.deviations.clone());
        /// Largest absolute deviation: the linearity or conformity on this basis.
        largest: f64 = |c| c.largest;
        /// Index of the point at which it is reached.
        at: usize = |c| c.at;
        /// Most positive deviation.
        most_positive: f64 = |c| c.most_positive;
        /// Most negative deviation.
        most_negative: f64 = |c| c.most_negative;
        /// The readings that decide the largest deviation: index, and its derivative to that reading.
        active: Vec<(usize, f64)> = |c| pairs(&c.active);
        /// Standard uncertainty of the largest deviation; None where none is stated for the readings.
        standard_uncertainty: Option<f64> = |c| c.standard_uncertainty;
        /// Span that percentages refer to.
        span: Option<f64> = |c| c.span;
        /// Largest deviation in percent of the span.
        percent_of_span: Option<f64> = |c| c.percent_of_span;
        /// Its standard uncertainty in percent of the span.
        standard_uncertainty_percent_of_span: Option<f64> = |c| c.standard_uncertainty_percent_of_span;
    }

    fn __repr__(&self) -> String {
        format!("Conformity({}, largest {} at point {})", self.0.basis.name(), self.0.largest, self.0.at)
    }

    fn _repr_html_(&self) -> String {
        let rows: Vec<Vec<String>> =
            self.0.deviations.iter().enumerate().map(|(i, d)| vec![i.to_string(), shown(*d)]).collect();
        let caption = format!("Conformity, {}: largest {}", self.0.basis.name(), shown(self.0.largest));
        html_table(&caption, &["point", "deviation"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        json::reduced(slf.as_any(), &slf.get().0)
    }

    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        json::read(py, text).map(Self)
    }
}

/// Linearity of readings, or their conformity to a curve, by the definitions of IEC 61298-2 and ISA-51.1.
///
/// The independent line is the minimax line, solved exactly; the uncertainty goes through the readings that decide the
/// result, and holds while these stay the same ones.
///
/// Parameters
/// ----------
/// x : array-like
///     The points, in any order; several readings may stand at one x. With `curve` temperatures, °C.
/// y : array-like
///     Readings, or errors: a line added to them changes nothing but "unadjusted".
/// span : float, optional
///     Span in the unit of `y`, for percentages.
/// basis : {"independent", "terminal", "zero", "unadjusted"}
///     The line: the best one; through both ends; the best one through the lower end; y = x, or the curve as it stands.
/// u : float or array-like, optional
///     Standard uncertainty of each reading, independent of the others.
/// covariance : array-like, optional
///     Covariance of the readings, instead of `u`.
/// curve : curve, optional
///     Curve to which the readings are compared; lower and upper range value are adjusted as `basis` says.
/// expected : array-like, optional
///     The same by the values of any curve at the points, instead of `curve`.
///
/// Returns
/// -------
/// Conformity
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError, OutOfRangeError
/// TooFewPointsError
///     For fewer than three different x.
///
/// Source
/// ------
/// IEC 61298-2:2008; ISA-51.1 (from memory).
///
/// Examples
/// --------
/// >>> percent, error = [0, 25, 50, 75, 100], [0.02, 0.10, 0.16, 0.12, 0.04]
/// >>> best = cc.linearization.conformity(percent, error, span=100.0, u=0.01)
/// >>> round(best.largest, 12), round(best.standard_uncertainty, 6)
/// (0.065, 0.006124)
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> t_c = [0.0, 50.0, 100.0]
/// >>> bool(cc.linearization.conformity(t_c, pt100.resistance(t_c), curve=pt100, basis="terminal").largest < 1e-12)
/// True
#[pyfunction]
#[pyo3(signature = (x, y, *, span=None, basis="independent", u=None, covariance=None, curve=None, expected=None))]
#[allow(clippy::too_many_arguments)]
fn conformity(
    py: Python<'_>,
    x: &Bound<'_, PyAny>,
    y: &Bound<'_, PyAny>,
    span: Option<f64>,
    basis: &str,
    u: Option<&Bound<'_, PyAny>>,
    covariance: Option<&Bound<'_, PyAny>>,
    curve: Option<&Bound<'_, PyAny>>,
    expected: Option<&Bound<'_, PyAny>>,
) -> PyResult<Conformity> {
    let (x, y) = (series("x", x)?, series("y", y)?);
    let basis = core::Basis::from_name(basis).or_raise(py)?;
    let uncertainty = Uncertainty::read(y.len(), u, covariance)?;
    let stated = uncertainty.as_core();
    let found = match (curve, expected) {
        (Some(_), Some(_)) => return Err(PyTypeError::new_err("give curve or expected, not both")),
        (Some(curve), None) => any_curve(curve, |curve| core::conformity_to_curve(curve, &x, &y, span, basis, stated))
            .ok_or_else(|| PyTypeError::new_err("curve must be a sensor curve of calcore"))?,
        (None, Some(expected)) => {
            let expected = series("expected", expected)?;
            core::conformity_to_values(&expected, &y, span, basis, stated)
        }
        (None, None) => core::linearity(&x, &y, span, basis, stated),
    };
    found.or_raise(py).map(Conformity)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Conformity>()?;
    add_function(module, "linearization", &wrap_pyfunction!(conformity, module)?)
}
