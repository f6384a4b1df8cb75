//! Measurement uncertainty: distributions, budgets, propagation. Stands on numbers alone and knows no instrument.
//!
//! A [`Budget`] comes from one of two ways: from a model and its inputs ([`propagate()`], or [`propagate_dual`] for exact
//! sensitivities of a model in Rust), or, where the sensitivities are known, straight from its [`Contribution`]s, which
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
pub use monte_carlo::monte_carlo;
pub use propagate::{Input, propagate};
pub use second_order::propagate_second_order;
