//! Whether a record of readings is steady.

mod record;

pub(crate) use record::SettledState;

use crate::arrays::series;
use crate::errors::OrRaise;
use crate::objects::{add_function, view};
use calcore::settling as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// The state at the end of a record of readings.
    ///
    /// Examples
    /// --------
    /// >>> state = cc.settling.steady([0.0, 60.0, 120.0], [100.0, 100.01, 100.0], window_s=120.0, max_span=0.05,
    /// ...                            max_slope_per_min=0.01)
    /// >>> state.steady, state.readings
    /// (True, 3)
    Steadiness(core::Steadiness) in "calcore.settling" {
        /// Whether the last window meets the criterion.
        steady: bool = |s| s.steady;
        /// Since when every window has met it, s; None if the last one does not.
        since_s: Option<f64> = |s| s.since_s;
        /// Why the last window does not meet it: "record_too_short", "too_few_readings", "span" or "slope"; else None.
        reason: Option<&'static str> = |s| s.reason.map(core::Unsteady::name);
        /// Largest minus smallest value in the last window.
        span: f64 = |s| s.span;
        /// Slope of the least-squares line through the last window, per minute.
        slope_per_min: f64 = |s| s.slope_per_min;
        /// Residual standard deviation about that line.
        residual_standard_deviation: f64 = |s| s.residual_standard_deviation;
        /// Standard uncertainty for the lack of stability: half the span, rectangular.
        standard_uncertainty: f64 = |s| s.standard_uncertainty;
        /// Readings in the last window.
        readings: usize = |s| s.readings;
    }

    fn __repr__(&self) -> String {
        let core::Steadiness { steady, span, slope_per_min, readings, .. } = self.0;
        let why = self.0.reason.map_or(String::new(), |reason| format!(" ({})", reason.name()));
        format!("Steadiness(steady={steady}{why}, span {span}, slope {slope_per_min} per minute, {readings} readings)")
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

/// Judges a record of readings by a criterion on its last window.
///
/// Parameters
/// ----------
/// time_s : array-like
///     Times of the readings, s, rising.
/// value : array-like
///     The readings, in any unit.
/// window_s : float
///     Length of the window that ends with the last reading, s.
/// max_span : float
///     Largest minus smallest value allowed in the window.
/// max_slope_per_min : float
///     Largest slope allowed of the least-squares line through the window, per minute.
///
/// Returns
/// -------
/// Steadiness
///
/// Raises
/// ------
/// LengthMismatchError, TooFewPointsError, NotFiniteError
/// InvalidValueError
///     For limits that are not positive or times that do not rise.
///
/// Source
/// ------
/// EURAMET cg-13, stability over 30 minutes, from memory; limits on the slope: common practice, no source.
///
/// Examples
/// --------
/// >>> time_s = np.arange(0.0, 1801.0, 60.0)
/// >>> t_c = 100.0 + 0.5 * np.exp(-time_s / 200.0)
/// >>> cc.settling.steady(time_s, t_c, window_s=600.0, max_span=0.02, max_slope_per_min=0.002).steady
/// True
#[pyfunction]
#[pyo3(signature = (time_s, value, *, window_s, max_span, max_slope_per_min))]
fn steady(
    time_s: &Bound<'_, PyAny>,
    value: &Bound<'_, PyAny>,
    window_s: f64,
    max_span: f64,
    max_slope_per_min: f64,
) -> PyResult<Steadiness> {
    let py = time_s.py();
    let (time_s, value) = (series("time_s", time_s)?, series("value", value)?);
    let criterion = core::SteadyCriterion { window_s, max_span, max_slope_per_min };
    let state = py.detach(|| core::steady(&time_s, &value, criterion));
    Ok(Steadiness(state.or_raise(py)?))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Steadiness>()?;
    add_function(module, "settling", &wrap_pyfunction!(steady, module)?)?;
    record::register(module)
}
