//! Measurement uncertainty: distributions, budgets, propagation. Stands on numbers; of the instruments it knows only the
//! curves of sensors, in [`MeasurementModel`].
//!
//! A [`Budget`] comes from a model and its inputs ([`propagate()`], [`propagate_dual`] for exact sensitivities of a model in
//! Rust, a [`MeasurementModel`] of the core where its form fits), or, where the sensitivities are known, straight from its [`Contribution`]s, which
//! costs a few additions each.

pub mod budget;
pub mod correlation;
pub mod coverage;
pub(crate) mod derivative;
pub mod distribution;
mod distribution_functions;
pub mod dual;
mod edit;
pub mod evaluation;
pub mod many;
pub mod measurement_model;
pub mod monte_carlo;
pub mod propagate;
pub mod ready_made;
pub mod regions;
pub mod reporting;
pub mod second_order;
pub mod shapes;

pub use budget::{Budget, Contribution, SecondOrder, SecondOrderTerm, Warning};
pub use coverage::Coverage;
pub use distribution::{Distribution, Shape};
pub use dual::propagate_dual;
pub use many::{Joint, propagate_many};
pub use measurement_model::MeasurementModel;
pub use monte_carlo::monte_carlo;
pub use propagate::{Input, propagate};
pub use second_order::propagate_second_order;
