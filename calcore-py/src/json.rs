//! Results as JSON: how those are pickled that nothing else can make again.

use calcore::{Error, Problem};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use std::collections::BTreeMap;

use crate::errors::{exception, not_finite_at};

/// What `__reduce__` returns for an object whose class has a `_from_json`.
///
/// JSON knows no infinity: a result that holds one is refused here and not when it is read.
pub(crate) fn reduced<'py, T: serde::Serialize + serde::de::DeserializeOwned>(
    object: &Bound<'py, PyAny>,
    value: &T,
) -> PyResult<Bound<'py, PyTuple>> {
    let py = object.py();
    let text = serde_json::to_string(value).map_err(|error| fault(py, &error))?;
    if serde_json::from_str::<T>(&text).is_err() {
        return Err(PyTypeError::new_err("a result that holds an infinite number cannot be pickled"));
    }
    (object.get_type().getattr("_from_json")?, (text,)).into_pyobject(py)
}

/// Reads what [`reduced`] wrote.
pub(crate) fn read<T: serde::de::DeserializeOwned>(py: Python<'_>, text: &str) -> PyResult<T> {
    serde_json::from_str(text).map_err(|error| fault(py, &error))
}

fn fault(py: Python<'_>, error: &serde_json::Error) -> PyErr {
    exception(py, &Error::Document { problem: Problem { path: String::new(), message: error.to_string() } })
}

/// The name by which JSON knows a value of an enumeration.
pub(crate) fn name(value: &impl serde::Serialize) -> String {
    serde_json::to_value(value).ok().and_then(|name| name.as_str().map(String::from)).unwrap_or_default()
}

/// A JSON document as Python's dicts and lists.
pub(crate) fn as_objects<'py>(py: Python<'py>, text: &str) -> PyResult<Bound<'py, PyAny>> {
    py.import("json")?.call_method1("loads", (text,))
}

/// A result of the core as Python's dicts and lists, with the fields of its JSON.
pub(crate) fn objects<'py>(py: Python<'py>, value: &impl serde::Serialize) -> PyResult<Bound<'py, PyAny>> {
    let text = serde_json::to_string(value).map_err(|error| fault(py, &error))?;
    as_objects(py, &text)
}

/// JSON of what a user gives: dicts, lists, arrays, and descriptions that know their own dict.
pub(crate) fn text(what: &Bound<'_, PyAny>) -> PyResult<String> {
    let py = what.py();
    let made = py.import("calcore._described")?.call_method1("text", (what,))?;
    let (text, not_finite): (String, Vec<(String, f64)>) = made.extract()?;
    if not_finite.is_empty() { Ok(text) } else { Err(not_finite_at(py, &not_finite)) }
}

/// The same as a description of the core.
pub(crate) fn described<T: serde::de::DeserializeOwned>(what: &Bound<'_, PyAny>) -> PyResult<T> {
    let py = what.py();
    calcore::loop_calibration::from_json(&text(what)?).map_err(|error| exception(py, &error))
}

/// The fields of a description that are text, by their names.
pub(crate) fn texts(value: &impl serde::Serialize) -> BTreeMap<String, String> {
    let value = serde_json::to_value(value).ok();
    let fields = value.as_ref().and_then(|value| value.as_object());
    let text = |(name, value): (&String, &serde_json::Value)| Some((name.clone(), value.as_str()?.to_owned()));
    fields.map(|fields| fields.iter().filter_map(text).collect()).unwrap_or_default()
}
