//! Models that are a sum of known functions, each times an unknown.

use super::engine::{Model, StopReason, solve};
use super::observations::{Names, Observations, Spread, Stated};
use super::report::{CovarianceBasis, judge, standard_deviation, standardise};
use super::robust;
use super::warning::FitWarning;
use crate::error::{Error, Result};
use crate::num::covariance::Covariance;

/// Most functions that such a model has.
pub(super) const MAX_FUNCTIONS: usize = 8;

/// What a fit says of its quality, whatever its model.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FitReport {
    /// Covariance of the fitted parameters, in their order; None where neither uncertainties are stated nor residuals
    /// left to take them from.
    pub covariance: Option<Covariance>,
    /// Where the covariance comes from.
    pub covariance_basis: CovarianceBasis,
    /// Observed minus fitted ordinate, in the unit in which the model was fitted.
    pub residuals: Vec<f64>,
    /// Residuals over the standard uncertainty of the misfit, or over the residual standard deviation where nothing
    /// is stated.
    pub standardised_residuals: Vec<f64>,
    /// How much of each point's own ordinate goes into its fitted one, 0 to 1.
    pub leverage: Vec<f64>,
    /// Misfit of each point against the fit to all others; NaN where those do not determine it.
    pub leave_one_out_residuals: Vec<f64>,
    /// Weights of a robust fit; empty for an ordinary one.
    pub weights: Vec<f64>,
    /// Estimates of the true abscissae.
    pub adjusted_x: Vec<f64>,
    /// Sum of the squared errors in units of their uncertainty; None where nothing is stated, and for a robust fit.
    pub chi_squared: Option<f64>,
    /// Points minus fitted parameters.
    pub degrees_of_freedom: usize,
    /// Probability of a larger chi-squared if the stated uncertainties are right.
    pub p_value: Option<f64>,
    /// Ratio of the largest to the smallest singular value of the weighted design with columns of comparable length.
    pub condition_number: f64,
    /// Standard deviation of the residuals; None without degrees of freedom.
    pub residual_standard_deviation: Option<f64>,
    /// What the user should know beside the numbers.
    pub warnings: Vec<FitWarning>,
    /// Steps made.
    pub iterations: usize,
    /// Why the iteration ended.
    pub stop_reason: StopReason,
}

impl FitReport {
    /// The standard uncertainty of a linear combination of the parameters.
    pub(super) fn uncertainty_of(&self, what: &'static str, weights: &[f64]) -> Result<f64> {
        match &self.covariance {
            Some(covariance) => Ok(covariance.variance_of(weights).max(0.0).sqrt()),
            None => Err(Error::Undetermined {
                what,
                parameter: "the uncertainty of the curve".into(),
                hint: "state the uncertainties of the points, or add points",
            }),
        }
    }
}

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
    let deviation = standard_deviation(&residuals, judged.degrees_of_freedom);
    let report = FitReport {
        covariance: judged.covariance.map(|v| Covariance::from_fn(count, |i, j| v[i * count + j])),
        covariance_basis: judged.basis,
        standardised_residuals: standardise(&residuals, &solution.variances, data.is_stated(), deviation),
        residuals,
        leverage: solution.leverage,
        leave_one_out_residuals: solution.deleted_misfits,
        weights,
        adjusted_x: solution.adjusted_x,
        chi_squared: judged.chi_squared,
        degrees_of_freedom: judged.degrees_of_freedom,
        p_value: judged.p_value,
        condition_number: solution.condition_number,
        residual_standard_deviation: deviation,
        warnings: judged.warnings,
        iterations: solution.iterations,
        stop_reason: solution.stop,
    };
    Ok((solution.parameters, report))
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
