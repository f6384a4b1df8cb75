//! Fits: from points with uncertainties to a curve with its covariance.
//!
//! All models stand on one engine: least squares by orthogonal factorisation on scaled columns, weighted by the whole
//! covariance of the points, with errors in both variables solved exactly (the point of the curve nearest to each
//! observed point, in units of its uncertainties, is found together with the coefficients; no effective-variance
//! approximation). Every fit returns a report: parameters, covariance, residuals, chi-squared with its probability,
//! warnings as data, and why the iteration ended.
//!
//! Uncertainties are stated once for all points, for each point, or as a covariance matrix; an error that all points
//! share (a reference thermometer's own) is stated apart and is never averaged down. Where nothing is stated, all
//! points weigh the same and the covariance is taken from the residuals: the report says which
//! ([`CovarianceBasis`]).

mod band;
mod batch;
mod callendar_van_dusen;
mod comparison;
mod deviation;
mod engine;
mod its90_deviation;
mod lanes;
mod linear;
mod model;
mod nonlinear;
mod observations;
mod plausibility;
mod polynomial;
mod report;
mod robust;
mod rounding;
mod set_points;
mod straight_line;
mod thermistor;
mod warning;

pub use band::{AlphaDeltaBeta, BandPoint, Estimate};
pub use batch::{BatchFit, BatchLayout, BatchOptions, callendar_van_dusen_batch};
pub use callendar_van_dusen::{CallendarVanDusenFit, CallendarVanDusenOptions, FixedCoefficients, callendar_van_dusen};
pub use comparison::{Candidate, Drift, HoldOut, compare_models};
pub use deviation::{CorrectedCurve, DeviationFit, DeviationOptions, deviation};
pub use engine::StopReason;
pub use its90_deviation::{Its90DeviationFit, Its90DeviationOptions, its90_deviation};
pub use model::{CurveModel, ModelFit, ModelOptions, WithGradient, model};
pub use observations::Stated;
pub use polynomial::{PolynomialFit, PolynomialOptions, polynomial};
pub use report::{CovarianceBasis, FitReport};
pub use rounding::{Digits, EntryForm, EntryGrid, RoundedCoefficients, rounded, rounded_jointly, rounded_within};
pub use set_points::{
    SetPointAssessment, SetPointOptions, SetPoints, assess_set_points, optimal_abscissae, set_points,
};
pub use straight_line::{StraightLineFit, StraightLineOptions, straight_line};
pub use thermistor::{BetaFit, SteinhartHartFit, SteinhartHartTerms, ThermistorOptions, beta, steinhart_hart};
pub use warning::{FitWarning, WarningCode};
