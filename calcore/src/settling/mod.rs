//! Whether a temperature is steady enough to count.

mod steady;

pub use steady::{Steadiness, SteadyCriterion, Unsteady, steady};
