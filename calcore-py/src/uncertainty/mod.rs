//! Distributions, budgets and the propagation of uncertainty.

mod budget;
mod distribution;
mod model;
mod monte_carlo;
mod propagate;

use crate::errors::exception;
use calcore::Error;
use calcore::uncertainty::Coverage;
use pyo3::prelude::*;

pub(crate) use budget::Budget;
pub(crate) use distribution::Distribution;

/// `coverage` and `coverage_factor` as every function takes them: a fixed factor goes before the probability.
fn coverage(probability: f64, factor: Option<f64>) -> Coverage {
    factor.map_or(Coverage::Probability(probability), Coverage::Factor)
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    distribution::register(module)?;
    budget::register(module)?;
    monte_carlo::register(module)?;
    propagate::register(module)
}

/// The core knows first order only.
fn only_first_order(py: Python<'_>, order: u8) -> PyResult<()> {
    if order == 1 {
        return Ok(());
    }
    let requirement = "it must be 1".into();
    Err(exception(py, &Error::InvalidValue { what: "order", value: order.into(), unit: "", requirement }))
}
