//! Decisions on conformity: verdicts, risks, guard bands, ratios.

mod decisions;
mod guard_band;
mod ratio;
mod risk;
mod verdict;

use crate::arrays::{elementwise, elementwise_of};
use crate::errors::OrRaise;
use crate::uncertainty::Distribution;
use calcore::decision::{Limits, Process};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyList, PyTuple};

/// A tolerance as every function takes it: half the width about zero, or the limits (lower, upper), one of which may be
/// None.
fn limits_of(tolerance: &Bound<'_, PyAny>) -> PyResult<Limits> {
    if let Ok(half_width) = tolerance.extract::<f64>() {
        return Limits::symmetric(half_width).check().or_raise(tolerance.py());
    }
    let (lower, upper) = tolerance.extract::<(Option<f64>, Option<f64>)>().map_err(|_| {
        PyTypeError::new_err("tolerance must be a number, half its width about zero, or its limits (lower, upper)")
    })?;
    Ok(Limits { lower, upper })
}

/// A function of the core of a tolerance and a number, over numbers or arrays. An array as tolerance holds half widths.
fn of_tolerance<'py>(
    tolerance: &Bound<'py, PyAny>,
    name: &str,
    number: &Bound<'py, PyAny>,
    function: impl Fn(Limits, f64) -> calcore::Result<f64> + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    if tolerance.is_instance_of::<PyTuple>() || tolerance.is_instance_of::<PyList>() {
        let limits = limits_of(tolerance)?;
        return elementwise(name, number, |x| function(limits, x));
    }
    elementwise_of(["tolerance", name], [tolerance, number], |[half_width, x]| {
        function(Limits::symmetric(half_width).check()?, x)
    })
}

/// A process as every function takes it: the standard deviation of normal true values, or their distribution.
fn process_of(process: &Bound<'_, PyAny>, mean: Option<f64>, limits: Limits) -> PyResult<Process> {
    let py = process.py();
    if let Ok(distribution) = process.cast::<Distribution>() {
        if mean.is_some() {
            return Err(PyTypeError::new_err(
                "process_mean goes with a standard deviation; a distribution has its own",
            ));
        }
        return Process::new(distribution.get().0).or_raise(py);
    }
    let std = process.extract::<f64>().map_err(|_| {
        PyTypeError::new_err("process_std must be a number, the standard deviation, or a Distribution of true values")
    })?;
    let middle = match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => Some(lower + 0.5 * (upper - lower)),
        _ => None,
    };
    let mean = mean.or(middle).ok_or_else(|| {
        PyTypeError::new_err("a tolerance with one limit has no middle: give process_mean, or a Distribution")
    })?;
    Process::normal(mean, std).or_raise(py)
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<decisions::Decisions>()?;
    verdict::register(module)?;
    risk::register(module)?;
    guard_band::register(module)?;
    ratio::register(module)
}
