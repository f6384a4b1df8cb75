//! Plain numerics on which the rooms stand. What a kept crate does well (factorisations, distributions) is called here
//! and not rewritten; no type of such a crate appears in a public signature.

pub mod bivariate_normal;
pub mod covariance;
pub(crate) mod double_double;
pub mod enclosure;
pub mod jet;
pub(crate) mod linalg;
pub(crate) mod poly;
pub mod quadrature;
pub(crate) mod rng;
pub mod root;
pub(crate) mod simd;
pub mod special;
