//! Section "uncertainty": distributions, budgets, propagation through a caller's model, coverage, Monte Carlo.

pub mod budget;
pub mod coverage;
pub mod evaluation;
pub mod input;
pub mod many;
pub mod measurement_model;
pub mod monte_carlo;
pub mod named_budget;
pub mod ready_made;
pub mod reporting;

pub(crate) use budget::{calcore_budget, calcore_contribution, line, numbers};
pub(crate) use input::{calcore_input, one};
pub(crate) use named_budget::calcore_named_budget;
