//! A result rounded for a report.

use crate::errors::OrRaise;
use crate::objects::{add_function, view};
use crate::whole::whole_number;
use calcore::uncertainty::reporting as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// A result rounded for a report; as text `value ± uncertainty`.
    ///
    /// Source
    /// ------
    /// JCGM 100:2008, 7.2.6.
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.report(0.4267, 0.09654).value_text
    /// '0.427'
    Reported(core::Reported) in "calcore.uncertainty" {
        /// The rounded value.
        value: f64 = |r| r.value;
        /// The rounded uncertainty.
        uncertainty: f64 = |r| r.uncertainty;
        /// The rounded value with all its digits.
        value_text: String = |r| r.value_text.clone();
        /// The rounded uncertainty with all its digits.
        uncertainty_text: String = |r| r.uncertainty_text.clone();
        /// Power of ten of the last digit.
        last_digit: i32 = |r| r.last_digit;
        /// Whether the last digit is finer than the resolution of what was read.
        finer_than_resolution: bool = |r| r.finer_than_resolution;
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("Reported({})", self.0)
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

/// Rounds; the rule by its name.
pub(super) fn rounded(
    py: Python<'_>,
    value: f64,
    uncertainty: f64,
    digits: u32,
    rounding: &str,
    resolution: f64,
) -> PyResult<Reported> {
    let found = core::Rounding::from_name(rounding)
        .and_then(|rounding| core::report(value, uncertainty, digits, rounding, resolution));
    Ok(Reported(found.or_raise(py)?))
}

/// Rounds a value and its uncertainty for a report: the uncertainty to one or two significant digits, the value to match.
///
/// Parameters
/// ----------
/// value : float
///     In any unit.
/// uncertainty : float
///     Expanded or standard, in the same unit.
/// digits : {1, 2}
///     Significant digits of the uncertainty.
/// rounding : {"nearest", "no_more_than_five_percent_down", "up"}
///     How the uncertainty is rounded: the second is that of EA-4/02 M:2022, 6.3.
/// resolution : float
///     Step of the reading that the value rests on, 0 where none applies: the result says whether it gives finer digits.
///
/// Returns
/// -------
/// Reported
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, NotFiniteError, UnknownNameError
///
/// Source
/// ------
/// JCGM 100:2008, 7.2.6.
///
/// Examples
/// --------
/// >>> str(cc.uncertainty.report(0.4267, 0.09654))
/// '0.427 ± 0.097'
#[pyfunction]
#[pyo3(signature = (value, uncertainty, *, digits=2, rounding="nearest", resolution=0.0))]
fn report(
    py: Python<'_>,
    value: f64,
    uncertainty: f64,
    #[pyo3(from_py_with = whole_number)] digits: u32,
    rounding: &str,
    resolution: f64,
) -> PyResult<Reported> {
    rounded(py, value, uncertainty, digits, rounding, resolution)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Reported>()?;
    add_function(module, "uncertainty", &wrap_pyfunction!(report, module)?)
}
