//! Plain numerics on which the rooms stand. What a kept crate does well (factorisations, distributions) is called here
//! and not rewritten; no type of such a crate appears in a public signature.

#[cfg(feature = "std")]
pub mod bivariate_normal;
#[cfg(feature = "std")]
mod chacha;
#[cfg(feature = "std")]
pub mod covariance;
pub(crate) mod double_double;
pub mod enclosure;
pub mod jet;
#[cfg(feature = "std")]
pub(crate) mod linalg;
pub(crate) mod poly;
#[cfg(feature = "std")]
pub mod quadrature;
#[cfg(feature = "std")]
pub(crate) mod rng;
pub mod root;
#[cfg(feature = "std")]
mod series;
pub(crate) mod simd;
#[cfg(feature = "std")]
pub mod special;
#[cfg(feature = "std")]
pub mod student;
