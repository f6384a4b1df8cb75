//! The published JSON Schemas.

use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::loop_calibration as core;
use pyo3::prelude::*;

/// Names of the documents that have a published JSON Schema.
///
/// Returns
/// -------
/// list of str
///
/// Examples
/// --------
/// >>> cc.loop_calibration.schema_names()[:3]
/// ['run', 'run_result', 'record']
#[pyfunction]
#[pyo3(signature = ())]
fn schema_names() -> Vec<&'static str> {
    core::schema_names().collect()
}

/// The published JSON Schema (draft 2020-12) of a document, as text: the same bytes in Rust, C and Python.
///
/// Parameters
/// ----------
/// name : str
///     One of `schema_names()`.
///
/// Returns
/// -------
/// str
///
/// Raises
/// ------
/// UnknownNameError
///
/// Examples
/// --------
/// >>> import json
/// >>> json.loads(cc.loop_calibration.schema("run"))["title"]
/// 'Run'
#[pyfunction]
#[pyo3(signature = (name))]
fn schema(py: Python<'_>, name: &str) -> PyResult<&'static str> {
    core::schema(name).or_raise(py)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [wrap_pyfunction!(schema_names, module)?, wrap_pyfunction!(schema, module)?] {
        add_function(module, "loop_calibration", &function)?;
    }
    Ok(())
}
