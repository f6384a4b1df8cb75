//! Plain tables: separated text, dicts of columns, data frames.

use crate::errors::exception;
use crate::json;
use calcore::Error;
use calcore::loop_calibration as core;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyFloat, PyInt, PyString};

/// A table from text, or from anything that gives columns by their names, such as a dict or a data frame. NaN, None and
/// what a data frame calls missing are empty cells.
pub(super) fn table(what: &Bound<'_, PyAny>, separator: char) -> PyResult<core::Table> {
    let py = what.py();
    if let Ok(text) = what.cast::<PyString>() {
        return core::Table::from_csv(text.to_str()?, separator).map_err(|error| exception(py, &error));
    }
    let names = match what.getattr("columns") {
        Ok(names) => names,
        Err(_) => what
            .call_method0("keys")
            .map_err(|_| PyTypeError::new_err("table must be text, a dict of columns or a data frame"))?,
    };
    let mut columns = Vec::new();
    let mut cells: Vec<Vec<String>> = Vec::new();
    for name in names.try_iter()? {
        let name = name?;
        let column = what.get_item(&name)?;
        let column = column.call_method0("tolist").unwrap_or(column);
        cells.push(column.try_iter()?.map(|value| cell(&value?)).collect::<PyResult<_>>()?);
        columns.push(name.str()?.to_string());
    }
    let rows = cells.first().map_or(0, Vec::len);
    if let Some(other) = cells.iter().find(|column| column.len() != rows) {
        let error = Error::LengthMismatch { what: "column", expected: rows, found: other.len() };
        return Err(exception(py, &error));
    }
    Ok(core::Table {
        columns,
        rows: (0..rows).map(|i| cells.iter().map(|column| column[i].clone()).collect()).collect(),
    })
}

/// The text of a cell: numbers with a point and all their digits.
fn cell(value: &Bound<'_, PyAny>) -> PyResult<String> {
    let is_number =
        !value.is_instance_of::<PyBool>() && (value.is_instance_of::<PyFloat>() || value.is_instance_of::<PyInt>());
    if is_number {
        let number: f64 = value.extract()?;
        return Ok(if number.is_nan() { String::new() } else { number.to_string() });
    }
    // None, and what is not equal to itself: a missing time of a data frame.
    if value.is_none() || !value.eq(value)? {
        return Ok(String::new());
    }
    Ok(value.str()?.to_string())
}

/// A mapping, and whether its numbers have a comma; numbers of a data frame never have.
pub(super) fn mapping(what: &Bound<'_, PyAny>, of_text: bool) -> PyResult<core::Mapping> {
    let mut mapping: core::Mapping = json::described(what)?;
    if !of_text {
        mapping.decimal_mark = '.';
    }
    Ok(mapping)
}
