//! Whether a temperature is steady enough to count.

mod steady;

pub use steady::{SteadyCriterion, Steadiness, Unsteady, steady};
