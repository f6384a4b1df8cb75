//! Covariance of all errors: shared set points share errors.

use super::evaluate::{EvaluatedInstrument, EvaluatedPoint};
use super::terms::{Scope, ScopedTerm};
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

/// What two different errors have in common: the reference always, the heat source at the same set point.
pub(super) fn shared(a: &EvaluatedPoint, b: &EvaluatedPoint) -> f64 {
    let same_set_point = a.result.set_point == b.result.set_point;
    let common = |term: &&ScopedTerm| match term.scope {
        Scope::Run => true,
        Scope::SetPoint => same_set_point,
        Scope::Private => false,
    };
    // The shared terms of both stand in the same order; only their sensitivities differ.
    a.terms
        .iter()
        .filter(common)
        .zip(b.terms.iter().filter(common))
        .map(|(x, y)| x.sensitivity * x.standard_uncertainty * y.sensitivity * y.standard_uncertainty)
        .sum()
}
