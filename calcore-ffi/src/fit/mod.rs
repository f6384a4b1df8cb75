//! Section "fit": from points to a curve with its covariance, and what it is good for.

pub mod comparison;
pub mod deviation;
pub mod entries;
pub mod fits;
pub mod kinds;

pub mod model;

pub mod batch;

pub mod nested;

pub mod options;
pub mod reading;
pub mod report;
pub mod set_points;
pub mod values;
