//! The contributions of a run in kelvin, with the scope in which each is one and the same error.

use super::run::{CoverageDescription, Term, TermDistribution, Unit};
use crate::error::Result;
use crate::uncertainty::{Budget, Contribution, Coverage, Shape};

/// Among which results a contribution is shared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scope {
    /// One error for all instruments at all set points.
    Run,
    /// One error for all instruments at a set point.
    SetPoint,
    /// An error of one instrument at one set point.
    Private,
}

/// A contribution as it enters the error of an instrument.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ScopedTerm {
    pub scope: Scope,
    pub quantity: String,
    pub distribution: Shape,
    /// Standard uncertainty in the unit of the quantity.
    pub standard_uncertainty: f64,
    pub degrees_of_freedom: f64,
    /// Kelvin of error for one unit of the quantity, with its sign.
    pub sensitivity: f64,
}

impl ScopedTerm {
    /// Its part of the variance of the error, K².
    pub(super) fn variance_k2(&self) -> f64 {
        let u = self.sensitivity * self.standard_uncertainty;
        u * u
    }
}

/// A described contribution; `k_per_unit` is the size of the reading's unit in kelvin, `sign` how it enters the error.
pub(super) fn described(term: &Term, scope: Scope, sign: f64, k_per_unit: f64, owner: &str) -> ScopedTerm {
    let (distribution, standard_uncertainty, degrees_of_freedom) = match term.distribution {
        TermDistribution::Normal { standard_uncertainty, degrees_of_freedom } => {
            (Shape::Normal, standard_uncertainty, degrees_of_freedom.unwrap_or(f64::INFINITY))
        }
        TermDistribution::Expanded { expanded_uncertainty, coverage_factor } => {
            (Shape::Normal, expanded_uncertainty / coverage_factor, f64::INFINITY)
        }
        TermDistribution::Rectangular { half_width } => (Shape::Rectangular, half_width / 3f64.sqrt(), f64::INFINITY),
        TermDistribution::Triangular { half_width } => (Shape::Triangular, half_width / 6f64.sqrt(), f64::INFINITY),
    };
    let size = if term.unit == Unit::Kelvin { 1.0 } else { k_per_unit };
    ScopedTerm {
        scope,
        quantity: format!("{owner}: {}", term.name),
        distribution,
        standard_uncertainty,
        degrees_of_freedom,
        sensitivity: sign * size,
    }
}

/// The rounding of a reading to its resolution: rectangular over one step.
pub(super) fn resolution(step: f64, k_per_unit: f64, tag: &str) -> ScopedTerm {
    ScopedTerm {
        scope: Scope::Private,
        quantity: format!("{tag}: resolution"),
        distribution: Shape::Rectangular,
        standard_uncertainty: step / 12f64.sqrt(),
        degrees_of_freedom: f64::INFINITY,
        sensitivity: k_per_unit,
    }
}

/// The scatter of repeated differences from the reference, K: standard deviation of their mean (JCGM 100:2008, 4.2).
pub(super) fn repeatability(differences_k: &[f64], mean_k: f64, tag: &str) -> Option<ScopedTerm> {
    let n = differences_k.len();
    if n < 2 {
        return None;
    }
    let squares: f64 = differences_k.iter().map(|d| (d - mean_k) * (d - mean_k)).sum();
    let freedom = (n - 1) as f64;
    Some(ScopedTerm {
        scope: Scope::Private,
        quantity: format!("{tag}: repeatability, mean of {n} readings"),
        distribution: Shape::Normal,
        standard_uncertainty: (squares / freedom / n as f64).sqrt(),
        degrees_of_freedom: freedom,
        sensitivity: 1.0,
    })
}

/// The budget of an error, K, from its contributions.
pub(super) fn budget(error_k: f64, terms: &[ScopedTerm], coverage: CoverageDescription) -> Result<Budget> {
    let lines = terms
        .iter()
        .map(|term| {
            Contribution::new(
                term.quantity.clone(),
                0.0,
                term.standard_uncertainty,
                term.distribution,
                term.degrees_of_freedom,
                term.sensitivity,
            )
        })
        .collect::<Result<Vec<_>>>()?;
    let coverage = match coverage {
        CoverageDescription::Probability(p) => Coverage::Probability(p),
        CoverageDescription::Factor(k) => Coverage::Factor(k),
    };
    Budget::from_contributions(error_k, lines, coverage)
}
