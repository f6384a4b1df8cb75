//! What many set points are given as, and what comes back.

use crate::curves::Invalid;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::distribution::Distribution;

/// A number that is the same at all points, or one for each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtPoints<'a> {
    /// At all points the same.
    One(f64),
    /// One for each point.
    Each(&'a [f64]),
}

impl<'a> AtPoints<'a> {
    /// The number at a point; NaN beyond the last one.
    #[must_use]
    pub fn at(self, i: usize) -> f64 {
        match self {
            Self::One(value) => value,
            Self::Each(values) => values.get(i).copied().unwrap_or(f64::NAN),
        }
    }

    pub(super) fn part(self, from: usize, to: usize) -> AtPoints<'a> {
        match self {
            Self::One(value) => Self::One(value),
            Self::Each(values) => Self::Each(values.get(from..to).unwrap_or_default()),
        }
    }

    pub(super) fn length(self) -> Option<usize> {
        match self {
            Self::One(_) => None,
            Self::Each(values) => Some(values.len()),
        }
    }
}

/// What is known of an input at every point, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointInput<'a> {
    /// Best estimate.
    pub estimate: AtPoints<'a>,
    /// Standard uncertainty.
    pub standard_uncertainty: AtPoints<'a>,
    /// Degrees of freedom of the standard uncertainty; infinite where exact.
    pub degrees_of_freedom: AtPoints<'a>,
}

impl PointInput<'_> {
    /// Zero, without any uncertainty.
    pub(super) const EXACT: Self = Self {
        estimate: AtPoints::One(0.0),
        standard_uncertainty: AtPoints::One(0.0),
        degrees_of_freedom: AtPoints::One(f64::INFINITY),
    };
}

impl From<&Distribution> for PointInput<'_> {
    /// The same at all points.
    fn from(distribution: &Distribution) -> Self {
        Self {
            estimate: AtPoints::One(distribution.mean()),
            standard_uncertainty: AtPoints::One(distribution.standard_uncertainty()),
            degrees_of_freedom: AtPoints::One(distribution.degrees_of_freedom()),
        }
    }
}

/// The budgets of many points: one number a point in each field.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct PointBudgets {
    /// Best estimates of the result.
    pub values: Vec<f64>,
    /// Combined standard uncertainties, in the unit of the result.
    pub standard_uncertainties: Vec<f64>,
    /// Effective degrees of freedom, not truncated; infinite where every contribution is exact.
    pub effective_degrees_of_freedom: Vec<f64>,
    /// Expanded over standard uncertainties.
    pub coverage_factors: Vec<f64>,
    /// Expanded uncertainties, in the unit of the result.
    pub expanded_uncertainties: Vec<f64>,
    /// Sensitivity times standard uncertainty, with the sign of the sensitivity: one row an input, one column a point. Empty
    /// unless asked for.
    pub contributions: Vec<f64>,
}

/// Where the budgets of many points are written: one number a point in each, as [`PointBudgets`] has them.
#[derive(Debug)]
pub struct PointSlices<'a> {
    /// Best estimates of the result.
    pub values: &'a mut [f64],
    /// Combined standard uncertainties, in the unit of the result.
    pub standard_uncertainties: &'a mut [f64],
    /// Effective degrees of freedom.
    pub effective_degrees_of_freedom: &'a mut [f64],
    /// Expanded over standard uncertainties.
    pub coverage_factors: &'a mut [f64],
    /// Expanded uncertainties, in the unit of the result.
    pub expanded_uncertainties: &'a mut [f64],
    /// One row an input, one column a point; empty unless asked for.
    pub contributions: &'a mut [f64],
}

/// How budgets at points are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointOptions {
    /// Probability or factor of the expanded uncertainties.
    pub coverage: Coverage,
    /// What a missing estimate or standard uncertainty (NaN), or a reading outside the range of the curve, gives: an error that
    /// names the first such point, or NaN in all results of that point.
    pub invalid: Invalid,
    /// Whether the contribution of each input is wanted.
    pub contributions: bool,
}
