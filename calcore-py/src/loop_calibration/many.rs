//! Many runs at once.

use super::Run;
use super::result::RunResult;
use crate::errors::exception;
use crate::objects::add_function;
use calcore::loop_calibration as core;
use numpy::PyArray1;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};

/// Evaluates runs on several threads, with the interpreter lock released.
///
/// Parameters
/// ----------
/// runs : sequence of Run
///     The runs.
/// threads : int
///     Number of threads, without influence on the results; 0 for as many as the machine has.
///
/// Returns
/// -------
/// list of RunResult or CalcoreError
///     In the order of the runs; the error in the place of a run that could not be evaluated.
///
/// Examples
/// --------
/// >>> len(cc.loop_calibration.evaluate_all([run, run], threads=2))
/// 2
#[pyfunction]
#[pyo3(signature = (runs, *, threads=0))]
fn evaluate_all<'py>(py: Python<'py>, runs: Vec<Bound<'py, Run>>, threads: usize) -> PyResult<Bound<'py, PyList>> {
    let described: Vec<&core::Run> = runs.iter().map(|run| &run.get().0).collect();
    let results = py.detach(|| core::evaluate_all(&described, threads));
    let list = PyList::empty(py);
    for result in results {
        match result {
            Ok(result) => list.append(RunResult(result))?,
            Err(error) => list.append(exception(py, &error).into_value(py))?,
        }
    }
    Ok(list)
}

/// The points of many runs as one table, evaluated on several threads with the interpreter lock released.
///
/// Ten thousand runs need no more memory than the columns.
///
/// Parameters
/// ----------
/// runs : sequence of Run
///     The runs.
/// threads : int
///     Number of threads, without influence on the results; 0 for as many as the machine has.
///
/// Returns
/// -------
/// tuple of dict and dict
///     Columns of the same length, one row an instrument and set point, in the order of the runs: `run`, `tag`, `set_point`,
///     `reference_c`, `indicated_c`, `error_k`, `standard_uncertainty_k`, `expanded_uncertainty_k`, `coverage_factor`,
///     `tolerance_lower_k`, `tolerance_upper_k`, `verdict`, `probability_of_conformity`. And by their numbers the runs that
///     could not be evaluated, each with its CalcoreError; they have no rows.
///
/// Examples
/// --------
/// >>> columns, faults = cc.loop_calibration.evaluate_points([run] * 3)
/// >>> columns["run"].max(), len(faults)
/// (np.int64(2), 0)
#[pyfunction]
#[pyo3(signature = (runs, *, threads=0))]
fn evaluate_points<'py>(
    py: Python<'py>,
    runs: Vec<Bound<'py, Run>>,
    threads: usize,
) -> PyResult<(Bound<'py, PyDict>, Bound<'py, PyDict>)> {
    let described: Vec<&core::Run> = runs.iter().map(|run| &run.get().0).collect();
    let found = py.detach(|| core::evaluate_points(&described, threads));
    let faults = PyDict::new(py);
    for (i, outcome) in found.iter().enumerate() {
        if let Err(error) = outcome {
            faults.set_item(i, exception(py, error).into_value(py))?;
        }
    }
    let rows: Vec<&core::PointRow> = found.iter().flatten().flatten().collect();
    let columns = PyDict::new(py);
    let count = |name: &str, get: fn(&core::PointRow) -> usize| {
        columns.set_item(name, PyArray1::from_iter(py, rows.iter().map(|row| get(row) as i64)))
    };
    let number = |name: &str, get: fn(&core::PointRow) -> f64| {
        columns.set_item(name, PyArray1::from_iter(py, rows.iter().map(|row| get(row))))
    };
    let text = |name: &str, values: Vec<&str>| {
        let numpy = py.import("numpy")?;
        columns.set_item(name, numpy.call_method1("array", (values, numpy.getattr("str_")?))?)
    };
    count("run", |row| row.run)?;
    text("tag", rows.iter().map(|row| described[row.run].instruments[row.instrument].tag.as_str()).collect())?;
    count("set_point", |row| row.set_point)?;
    number("reference_c", |row| row.reference_c)?;
    number("indicated_c", |row| row.indicated_c)?;
    number("error_k", |row| row.error_k)?;
    number("standard_uncertainty_k", |row| row.standard_uncertainty_k)?;
    number("expanded_uncertainty_k", |row| row.expanded_uncertainty_k)?;
    number("coverage_factor", |row| row.coverage_factor)?;
    number("tolerance_lower_k", |row| row.tolerance_lower_k)?;
    number("tolerance_upper_k", |row| row.tolerance_upper_k)?;
    text("verdict", rows.iter().map(|row| row.verdict.name()).collect())?;
    number("probability_of_conformity", |row| row.probability_of_conformity)?;
    Ok((columns, faults))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [wrap_pyfunction!(evaluate_all, module)?, wrap_pyfunction!(evaluate_points, module)?] {
        add_function(module, "loop_calibration", &function)?;
    }
    Ok(())
}
