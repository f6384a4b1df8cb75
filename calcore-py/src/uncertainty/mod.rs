//! Distributions, budgets and the propagation of uncertainty.

mod budget;
mod distribution;
mod evaluation;
mod factors;
mod many;
mod measurement_model;
mod model;
mod monte_carlo;
mod points;
mod propagate;
mod ready_made;
mod reporting;
mod shapes;

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
    factors::register(module)?;
    ready_made::register(module)?;
    monte_carlo::register(module)?;
    propagate::register(module)?;
    evaluation::register(module)?;
    many::register(module)?;
    measurement_model::register(module)?;
    points::register(module)?;
    reporting::register(module)?;
    shapes::register(module)
}
