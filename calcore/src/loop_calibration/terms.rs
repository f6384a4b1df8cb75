//! The contributions of a run in kelvin, with the scope in which each is one and the same error.

use super::contribution::{Term, TermDistribution, TermScope};
use super::reference::interpolate;
use super::run::CoverageDescription;
use super::unit::Unit;
use crate::circuit::{Display, Rounding};
use crate::error::Result;
use crate::uncertainty::{Budget, Contribution, Coverage, Shape};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Among which results a contribution is one and the same error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scope {
    /// One error for all that carry the same number, at all set points.
    Run(u32),
    /// One error for all instruments at a set point, by set point and number.
    SetPoint(u32, u32),
    /// An error of one instrument at one set point.
    Private,
}

/// A contribution as it enters the error of an instrument.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ScopedTerm {
    pub scope: Scope,
    pub quantity: Arc<str>,
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

    /// A contribution in kelvin.
    pub(super) fn kelvin(scope: Scope, quantity: &str, shape: Shape, u_k: f64) -> Self {
        Self {
            scope,
            quantity: quantity.into(),
            distribution: shape,
            standard_uncertainty: u_k,
            degrees_of_freedom: f64::INFINITY,
            sensitivity: 1.0,
        }
    }

    pub(super) fn is_shared(&self) -> bool {
        self.scope != Scope::Private
    }
}

/// Joins contributions of one error that enter the same result twice, such as a meter that reads reference and element:
/// their effects add with their signs.
pub(super) fn join(terms: &mut Vec<ScopedTerm>) {
    let mut i = 0;
    while i < terms.len() {
        let first = terms[..i].iter().position(|other| other.is_shared() && other.scope == terms[i].scope);
        let Some(first) = first else {
            i += 1;
            continue;
        };
        let second = terms.remove(i);
        let whole = terms[first].sensitivity * terms[first].standard_uncertainty
            + second.sensitivity * second.standard_uncertainty;
        let both = &mut terms[first];
        both.quantity = format!("{} with {}", both.quantity, second.quantity).into();
        if both.standard_uncertainty <= 0.0 {
            both.standard_uncertainty = second.standard_uncertainty;
        }
        both.sensitivity = if both.standard_uncertainty > 0.0 { whole / both.standard_uncertainty } else { 0.0 };
        both.degrees_of_freedom = both.degrees_of_freedom.min(second.degrees_of_freedom);
    }
}

/// A described contribution with its name and scope, worked out once for the run.
#[derive(Debug)]
pub(super) struct PreparedTerm<'a> {
    term: &'a Term,
    quantity: Arc<str>,
    /// What its scope is at a set point.
    level: Level,
}

/// The scope of a described contribution before the set point is known.
#[derive(Debug, Clone, Copy)]
enum Level {
    Run(u32),
    SetPoint(u32),
    Private,
}

/// Numbers the contributions of a run, so that the same error carries the same number wherever it enters.
#[derive(Debug, Default)]
pub(super) struct Numbering<'a> {
    sources: BTreeMap<&'a str, u32>,
    next: u32,
}

impl<'a> Numbering<'a> {
    /// Whether any contribution names its source, so that it may enter a result twice.
    pub(super) fn has_sources(&self) -> bool {
        !self.sources.is_empty()
    }

    pub(super) fn next(&mut self) -> u32 {
        self.next += 1;
        self.next
    }

    /// Contributions of one owner; `usual` is their scope where they state none.
    pub(super) fn prepare(&mut self, owner: &str, terms: &'a [Term], usual: TermScope) -> Vec<PreparedTerm<'a>> {
        terms
            .iter()
            .map(|term| {
                let quantity = format!("{owner}: {}", term.name).into();
                let level = match (&term.source, term.scope.unwrap_or(usual)) {
                    (Some(source), _) => {
                        let next = &mut self.next;
                        Level::Run(*self.sources.entry(source.as_str()).or_insert_with(|| {
                            *next += 1;
                            *next
                        }))
                    }
                    (None, TermScope::Run) => Level::Run(self.next()),
                    (None, TermScope::SetPoint) => Level::SetPoint(self.next()),
                    (None, TermScope::Point) => Level::Private,
                };
                PreparedTerm { term, quantity, level }
            })
            .collect()
    }
}

impl PreparedTerm<'_> {
    /// The contribution at a set point; `k_per_unit` is the size of the reading's unit in kelvin, `sign` how it enters
    /// the error.
    pub(super) fn at(&self, set_point: usize, t_c: f64, sign: f64, k_per_unit: f64) -> Result<ScopedTerm> {
        let (distribution, standard_uncertainty, degrees_of_freedom) = standard(&self.term.distribution, t_c)?;
        let size = if self.term.unit == Unit::Kelvin { 1.0 } else { k_per_unit };
        let scope = match self.level {
            Level::Run(number) => Scope::Run(number),
            Level::SetPoint(number) => Scope::SetPoint(set_point as u32, number),
            Level::Private => Scope::Private,
        };
        Ok(ScopedTerm {
            scope,
            quantity: Arc::clone(&self.quantity),
            distribution,
            standard_uncertainty,
            degrees_of_freedom,
            sensitivity: sign * size,
        })
    }
}

/// Shape, standard uncertainty and degrees of freedom at a temperature.
fn standard(distribution: &TermDistribution, t_c: f64) -> Result<(Shape, f64, f64)> {
    Ok(match distribution {
        TermDistribution::Normal { standard_uncertainty, degrees_of_freedom } => {
            (Shape::Normal, *standard_uncertainty, degrees_of_freedom.unwrap_or(f64::INFINITY))
        }
        TermDistribution::Expanded { expanded_uncertainty, coverage_factor } => {
            (Shape::Normal, expanded_uncertainty / coverage_factor, f64::INFINITY)
        }
        TermDistribution::Rectangular { half_width } => (Shape::Rectangular, half_width / 3f64.sqrt(), f64::INFINITY),
        TermDistribution::Triangular { half_width } => (Shape::Triangular, half_width / 6f64.sqrt(), f64::INFINITY),
        TermDistribution::UShaped { half_width } => (Shape::UShaped, half_width / 2f64.sqrt(), f64::INFINITY),
        TermDistribution::Table { t_c: at, expanded_uncertainty, coverage_factor } => {
            let expanded = interpolate("temperature of a certificate", at, expanded_uncertainty, t_c)?;
            (Shape::Normal, expanded / coverage_factor, f64::INFINITY)
        }
    })
}

/// The rounding of a reading to its resolution: rectangular over one step.
pub(super) fn resolution(step: f64, k_per_unit: f64, tag: &str) -> Result<ScopedTerm> {
    let display = Display::new(step, Rounding::Nearest)?;
    Ok(ScopedTerm {
        scope: Scope::Private,
        quantity: format!("{tag}: resolution").into(),
        distribution: Shape::Rectangular,
        standard_uncertainty: display.uncertainty(),
        degrees_of_freedom: f64::INFINITY,
        sensitivity: k_per_unit,
    })
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
        quantity: format!("{tag}: repeatability, mean of {n} readings").into(),
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
                &*term.quantity,
                0.0,
                term.standard_uncertainty,
                term.distribution,
                term.degrees_of_freedom,
                term.sensitivity,
            )
        })
        .collect::<Result<Vec<_>>>()?;
    match coverage {
        CoverageDescription::Probability(p) => Budget::from_contributions(error_k, lines, Coverage::Probability(p)),
        CoverageDescription::Factor(k) => Budget::from_contributions(error_k, lines, Coverage::Factor(k)),
        CoverageDescription::Shapes(p) => {
            Budget::from_contributions(error_k, lines, Coverage::Probability(p))?.with_coverage_of_shapes(p)
        }
    }
}
