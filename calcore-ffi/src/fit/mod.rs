//! Section "fit": from points to a curve with its covariance, and what it is good for.

pub mod comparison;
pub mod entries;
pub mod fits;
pub mod kinds;
pub mod model;
pub mod options;
pub mod reading;
pub mod report;
pub mod values;
