//! Many runs at once.

use super::Run;
use super::result::RunResult;
use crate::errors::exception;
use crate::objects::add_function;
use calcore::loop_calibration as core;
use pyo3::prelude::*;
use pyo3::types::PyList;

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

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    add_function(module, "loop_calibration", &wrap_pyfunction!(evaluate_all, module)?)
}
