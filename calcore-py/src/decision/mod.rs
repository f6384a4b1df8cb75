//! Decisions on conformity: verdicts, risks, guard bands, ratios.

mod guard_band;
mod ratio;
mod risk;
mod verdict;

use crate::errors::OrRaise;
use crate::uncertainty::Distribution;
use calcore::decision::{Limits, Process};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;

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
    verdict::register(module)?;
    risk::register(module)?;
    guard_band::register(module)?;
    ratio::register(module)
}
