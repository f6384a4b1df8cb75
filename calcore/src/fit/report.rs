//! What every fit says of its quality, whatever its model.

use super::engine::{Solution, StopReason};
use super::observations::Observations;
use super::warning::{FitWarning, WarningCode};
use crate::error::{Error, Result};
use crate::num::covariance::Covariance;
use crate::num::special::chi_squared_survival;

/// Condition number of the scaled design above which a warning is given. Common practice, no source: four of the
/// sixteen digits are then lost, and noise is amplified as much between the points.
const ILL_CONDITIONED: f64 = 1e4;

/// Probability below which the residuals are called too large: ISO/TS 28037:2010, 6.2.1 compares chi-squared with its
/// 95 % quantile.
const CHI_SQUARED_TOO_LARGE: f64 = 0.05;

/// Probability above which they are called too small. Common practice, no source.
const CHI_SQUARED_TOO_SMALL: f64 = 0.99;

/// Share of its own fitted value above which a point is said to determine it. Common practice, no source.
const HIGH_LEVERAGE: f64 = 0.995;

/// Where the covariance of the parameters comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "snake_case"))]
pub enum CovarianceBasis {
    /// From the stated uncertainties alone.
    Stated,
    /// Scaled so that chi-squared equals its degrees of freedom: the stated uncertainties, or equal ones where none
    /// are stated, give the ratios only.
    Residuals,
}

impl CovarianceBasis {
    /// The stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Residuals => "residuals",
        }
    }

    /// Reads the names `stated` and `residuals`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "stated" => Ok(Self::Stated),
            "residuals" => Ok(Self::Residuals),
            _ => Err(Error::UnknownName {
                what: "basis of the covariance",
                name: name.into(),
                expected: "\"stated\" or \"residuals\"".into(),
            }),
        }
    }
}

/// The verdict on a solution.
pub(crate) struct Judgement {
    pub(crate) basis: CovarianceBasis,
    pub(crate) degrees_of_freedom: usize,
    pub(crate) chi_squared: Option<f64>,
    pub(crate) p_value: Option<f64>,
    /// Covariance of the unknowns, row by row.
    pub(crate) covariance: Option<Vec<f64>>,
    pub(crate) warnings: Vec<FitWarning>,
}

/// The verdict on a solution whose unknowns are the parameters that the user sees. `fitted`: number of unknowns that
/// were fitted; the rest have no covariance.
pub(crate) fn judge(
    solution: &mut Solution,
    data: &Observations,
    fitted: usize,
    chosen: Option<CovarianceBasis>,
    name: impl Fn(usize) -> String,
) -> Result<Judgement> {
    let mut judged = judge_whole(solution, data, fitted, chosen)?;
    if let Some(covariance) = &judged.covariance {
        let unknowns = solution.parameters.len();
        let u = |j: usize| covariance[j * unknowns + j].sqrt();
        judge_each(&solution.parameters, u, name, &mut judged.warnings);
    }
    Ok(judged)
}

/// A warning for each parameter that its own standard uncertainty exceeds.
pub(crate) fn judge_each(
    parameters: &[f64],
    standard_uncertainty: impl Fn(usize) -> f64,
    name: impl Fn(usize) -> String,
    warnings: &mut Vec<FitWarning>,
) {
    for (j, p) in parameters.iter().enumerate() {
        let u = standard_uncertainty(j);
        if u > p.abs() {
            warnings.push(FitWarning::new(
                WarningCode::PoorlyDetermined,
                format!("{} is {p:.6e} with a standard uncertainty of {u:.3e}", name(j)),
            ));
        }
    }
}

/// Chi-squared, its probability, the covariance and the warnings that need no knowledge of the model's parameters.
pub(crate) fn judge_whole(
    solution: &mut Solution,
    data: &Observations,
    fitted: usize,
    chosen: Option<CovarianceBasis>,
) -> Result<Judgement> {
    let degrees_of_freedom = data.x.len() - fitted;
    let stated = data.is_stated();
    let basis = chosen.unwrap_or(if stated { CovarianceBasis::Stated } else { CovarianceBasis::Residuals });
    if basis == CovarianceBasis::Stated && !stated {
        return Err(Error::Undetermined {
            what: "covariance of the fit",
            parameter: "its size".into(),
            hint: "no uncertainty is stated; state one, or take the residuals as its basis",
        });
    }
    let mut warnings = Vec::new();
    let freedom = degrees_of_freedom as f64;
    let (mut chi_squared, mut p_value) = (None, None);
    // Chi-squared of played-down residuals follows no distribution.
    if stated && data.weights.is_none() {
        chi_squared = Some(solution.chi_squared);
        if degrees_of_freedom > 0 {
            let p = chi_squared_survival(solution.chi_squared, freedom)?;
            p_value = Some(p);
            judge_chi_squared(solution.chi_squared, freedom, p, &mut warnings);
        }
    }
    if degrees_of_freedom == 0 {
        warnings.push(FitWarning::new(
            WarningCode::NoDegreesOfFreedom,
            "as many unknowns as points: the fit goes through them, and its residuals say nothing".into(),
        ));
    }
    let factor = match basis {
        CovarianceBasis::Stated => Some(1.0),
        CovarianceBasis::Residuals if degrees_of_freedom > 0 => Some(solution.chi_squared / freedom),
        CovarianceBasis::Residuals => None,
    };
    let covariance = factor.map(|factor| {
        let mut values = std::mem::take(&mut solution.cofactor);
        for v in &mut values {
            *v *= factor;
        }
        for (v, shared) in values.iter_mut().zip(&solution.shared) {
            *v += shared;
        }
        values
    });
    if solution.condition_number > ILL_CONDITIONED {
        warnings.push(FitWarning::new(
            WarningCode::IllConditioned,
            format!("condition number {:.3e}: the points lie too close together", solution.condition_number),
        ));
    }
    if degrees_of_freedom > 0 {
        let alone: Vec<usize> = (0..data.x.len()).filter(|&i| solution.leverage[i] > HIGH_LEVERAGE).collect();
        if !alone.is_empty() {
            warnings.push(FitWarning::new(
                WarningCode::HighLeverage,
                format!("points {alone:?} (counted from 0) determine their own fitted value"),
            ));
        }
    }
    Ok(Judgement { basis, degrees_of_freedom, chi_squared, p_value, covariance, warnings })
}

fn judge_chi_squared(chi_squared: f64, freedom: f64, p: f64, warnings: &mut Vec<FitWarning>) {
    if p < CHI_SQUARED_TOO_LARGE {
        warnings.push(FitWarning::new(
            WarningCode::ChiSquaredTooLarge,
            format!("chi-squared {chi_squared:.3} for {freedom} degrees of freedom has a probability of {p:.2e}"),
        ));
    } else if p > CHI_SQUARED_TOO_SMALL {
        warnings.push(FitWarning::new(
            WarningCode::ChiSquaredTooSmall,
            format!("chi-squared {chi_squared:.3e} for {freedom} degrees of freedom: uncertainties stated too large?"),
        ));
    }
}

/// Standard deviation of residuals about a fit; none without degrees of freedom.
fn standard_deviation(residuals: &[f64], degrees_of_freedom: usize) -> Option<f64> {
    if degrees_of_freedom == 0 {
        return None;
    }
    let sum: f64 = residuals.iter().map(|r| r * r).sum();
    Some((sum / degrees_of_freedom as f64).sqrt())
}

/// Residuals over their standard uncertainty: that of the misfit where it is stated, else the standard deviation.
fn standardise(residuals: &[f64], variances: &[f64], stated: bool, deviation: Option<f64>) -> Vec<f64> {
    let scale = if stated { 1.0 } else { deviation.filter(|s| *s > 0.0).unwrap_or(1.0) };
    residuals.iter().zip(variances).map(|(r, v)| r / (v.sqrt() * scale)).collect()
}

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
    /// Of a solution and its verdict; the covariance is that of the parameters as the user sees them.
    pub(super) fn new(
        solution: Solution,
        judged: Judgement,
        covariance: Option<Covariance>,
        residuals: Vec<f64>,
        weights: Vec<f64>,
        stated: bool,
    ) -> Self {
        let deviation = standard_deviation(&residuals, judged.degrees_of_freedom);
        Self {
            covariance,
            covariance_basis: judged.basis,
            standardised_residuals: standardise(&residuals, &solution.variances, stated, deviation),
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
        }
    }

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
