//! Models that are a sum of known functions, each times an unknown.

use super::engine::{Model, solve};
use super::observations::{Names, Observations, Spread, Stated};
use super::report::{CovarianceBasis, FitReport, judge};
use super::robust;
use crate::error::{Error, Result};
use crate::num::covariance::Covariance;

/// Most functions that such a model has.
pub(super) const MAX_FUNCTIONS: usize = 8;

/// Σ pₖ φₖ(x) beside a known part. `functions` fills φₖ(x) and their slopes and returns the known part and its slope.
pub(super) struct Functions<F> {
    pub(super) count: usize,
    pub(super) names: &'static [&'static str],
    pub(super) functions: F,
}

impl<F: Fn(f64, &mut [f64], &mut [f64]) -> (f64, f64)> Model for Functions<F> {
    fn unknowns(&self) -> usize {
        self.count
    }

    fn name(&self, j: usize) -> String {
        self.names.get(j).map_or_else(|| format!("parameter {j}"), |name| (*name).into())
    }

    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let mut slopes = [0.0; MAX_FUNCTIONS];
        let (mut value, mut slope) = (self.functions)(x, gradient, &mut slopes[..self.count]);
        for ((p, g), s) in p.iter().zip(gradient.iter()).zip(&slopes) {
            value += p * g;
            slope += p * s;
        }
        Ok((value, slope))
    }
}

/// Solves and reports.
pub(super) fn fit<M: Model>(
    what: &'static str,
    hint: &'static str,
    model: &M,
    data: &Observations,
    robust: bool,
    basis: Option<CovarianceBasis>,
) -> Result<(Vec<f64>, FitReport)> {
    let residuals_of = |p: &[f64]| {
        let mut gradient = vec![0.0; p.len()];
        let mut one = |x: f64, y: f64| model.evaluate(x, p, &mut gradient).map(|(value, _)| y - value);
        data.x.iter().zip(data.y).map(|(x, y)| one(*x, *y)).collect::<Result<Vec<f64>>>()
    };
    let solved = |data: &Observations| solve(what, model, data, None, hint);
    let (mut solution, weights) = if robust {
        robust::reweighted(what, data, solved, |s| residuals_of(&s.parameters))?
    } else {
        (solved(data)?, Vec::new())
    };
    let weighted = Observations { weights: (!weights.is_empty()).then_some(&weights[..]), ..*data };
    let count = model.unknowns();
    let mut judged = judge(&mut solution, &weighted, count, basis, |j| model.name(j))?;
    robust::warn(&weights, &mut judged.warnings);
    let residuals = residuals_of(&solution.parameters)?;
    let covariance = judged.covariance.take().map(|v| Covariance::from_fn(count, |i, j| v[i * count + j]));
    let parameters = std::mem::take(&mut solution.parameters);
    Ok((parameters, FitReport::new(solution, judged, covariance, residuals, weights, data.is_stated())))
}

/// Uncertainties of values that were transformed: those of the given values times a factor for each point.
pub(super) struct Transformed {
    each: Vec<f64>,
    full: Vec<f64>,
    stated: bool,
}

impl Transformed {
    /// # Errors
    /// Those of the given uncertainties; [`Error::Undetermined`] for a shared error without one of each point's own.
    pub(super) fn new(
        names: Names,
        given: (Stated, Option<&[f64]>, f64),
        factors: &[f64],
        zero_allowed: bool,
    ) -> Result<Self> {
        let (own, covariance, common) = given;
        let points = factors.len();
        let spread = Spread::new(names, points, own, covariance, common, zero_allowed)?;
        if !spread.is_stated() {
            if common > 0.0 {
                return Err(Error::Undetermined {
                    what: names.u_common,
                    parameter: "the weight of a shared error".into(),
                    hint: "state each point's own uncertainty beside it",
                });
            }
            return Ok(Self { each: Vec::new(), full: Vec::new(), stated: false });
        }
        if spread.is_independent() {
            let each = factors.iter().enumerate().map(|(i, f)| spread.own_variance(i).sqrt() * f.abs()).collect();
            return Ok(Self { each, full: Vec::new(), stated: true });
        }
        let full = (0..points * points)
            .map(|k| spread.covariance(points, k / points, k % points) * factors[k / points] * factors[k % points])
            .collect();
        Ok(Self { each: Vec::new(), full, stated: true })
    }

    pub(super) fn spread(&self) -> Spread<'_> {
        let own = if self.stated && self.full.is_empty() { Stated::Each(&self.each) } else { Stated::Nothing };
        Spread { own, full: (!self.full.is_empty()).then_some(&self.full[..]), common: 0.0 }
    }
}
