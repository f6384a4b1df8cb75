//! From readings and documents to standard uncertainties: evaluations of Type A and Type B.

mod autocorrelated;
mod type_a;
mod type_b;

pub use autocorrelated::autocorrelated;
pub use type_a::{Pooled, TypeA, mean_of, mean_with_known_scatter, pooled, pooled_of};
pub use type_b::{
    degrees_of_freedom_of_doubt, drift, from_expanded, from_half_width, from_level, resolution,
    resolution_of_difference,
};
