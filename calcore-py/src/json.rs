//! Results as JSON: how those are pickled that nothing else can make again.

use calcore::{Error, Problem};
use pyo3::prelude::*;
use pyo3::types::PyTuple;

use crate::errors::exception;

/// What `__reduce__` returns for an object whose class has a `_from_json`.
pub(crate) fn reduced<'py, T: serde::Serialize>(
    object: &Bound<'py, PyAny>,
    value: &T,
) -> PyResult<Bound<'py, PyTuple>> {
    let py = object.py();
    let text = serde_json::to_string(value).map_err(|error| fault(py, &error))?;
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
