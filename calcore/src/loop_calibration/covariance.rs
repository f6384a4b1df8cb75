//! Covariance of all errors: shared set points share errors.

use super::evaluate::{EvaluatedInstrument, EvaluatedPoint};
use super::terms::ScopedTerm;
use crate::num::covariance::Covariance;

/// Covariance of all errors, K², instrument by instrument and, within, point by point.
pub(super) fn covariance(evaluated: &[EvaluatedInstrument<'_>]) -> Covariance {
    let points: Vec<(usize, &EvaluatedPoint)> = evaluated
        .iter()
        .enumerate()
        .flat_map(|(owner, instrument)| instrument.points.iter().map(move |point| (owner, point)))
        .collect();
    let mut matrix = Covariance::zeros(points.len());
    for (i, (_, a)) in points.iter().enumerate() {
        for (j, (_, b)) in points.iter().enumerate().take(i) {
            matrix.set(i, j, shared(a, b));
        }
        matrix.set(i, i, a.terms.iter().map(ScopedTerm::variance_k2).sum());
    }
    matrix
}

/// What two different errors have in common: the contributions of the same number, such as those of the reference
/// everywhere and of the heat source at the same set point.
pub(super) fn shared(a: &EvaluatedPoint, b: &EvaluatedPoint) -> f64 {
    // Mostly the same contributions stand at the same places.
    let partner = |i: usize, x: &ScopedTerm| {
        b.terms.get(i).filter(|y| y.scope == x.scope).or_else(|| b.terms.iter().find(|y| y.scope == x.scope))
    };
    a.terms
        .iter()
        .enumerate()
        .filter(|(_, x)| x.is_shared())
        .filter_map(|(i, x)| partner(i, x).map(|y| (x, y)))
        .map(|(x, y)| x.sensitivity * x.standard_uncertainty * y.sensitivity * y.standard_uncertainty)
        .sum()
}
