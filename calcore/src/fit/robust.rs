//! Points that do not fit, played down instead of left out.

use super::engine::Solution;
use super::observations::Observations;
use super::warning::{FitWarning, WarningCode};
use crate::error::{Error, Result};

/// Residual, in units of its standard deviation, from which on a point counts less: 95 % efficiency for normal errors.
/// P. J. Huber, Robust Statistics (1981), 4.5 (value common practice).
const HUBER: f64 = 1.345;

/// Median of the absolute value of a standard normal variable.
const NORMAL_MEDIAN: f64 = 0.674_489_750_196_081_7;

/// Change of every weight below which the weights have settled.
const SETTLED: f64 = 1e-9;

const MAX_ROUNDS: usize = 200;

/// Fits again and again with Huber's weights until they settle; returns the solution and the weights.
///
/// The unit of a residual is its stated uncertainty, or, where nothing is stated, the median of the absolute residuals
/// over that of a normal variable.
pub(super) fn reweighted(
    what: &'static str,
    data: &Observations,
    fit: impl Fn(&Observations) -> Result<Solution>,
    residuals: impl Fn(&Solution) -> Result<Vec<f64>>,
) -> Result<(Solution, Vec<f64>)> {
    let mut weights = vec![1.0; data.x.len()];
    for _ in 0..MAX_ROUNDS {
        let weighted = Observations { weights: Some(&weights), ..*data };
        let solution = fit(&weighted)?;
        let own = residuals(&solution)?;
        let units: Vec<f64> =
            own.iter().zip(&solution.variances).zip(&weights).map(|((r, v), w)| r / (v * w).sqrt()).collect();
        let scale = if data.is_stated() { 1.0 } else { median_of_absolutes(&units) / NORMAL_MEDIAN };
        let mut change = 0.0f64;
        let next: Vec<f64> = units
            .iter()
            .zip(&weights)
            .map(|(z, before)| {
                let weight = if z.abs() > HUBER * scale && scale > 0.0 { HUBER * scale / z.abs() } else { 1.0 };
                change = change.max((weight - before).abs());
                weight
            })
            .collect();
        if change <= SETTLED {
            return Ok((solution, weights));
        }
        weights = next;
    }
    Err(Error::NoConvergence { what, steps: MAX_ROUNDS, last: weights[0], unit: "" })
}

fn median_of_absolutes(values: &[f64]) -> f64 {
    let mut sorted: Vec<f64> = values.iter().map(|v| v.abs()).collect();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    if n == 0 { 0.0 } else { 0.5 * (sorted[(n - 1) / 2] + sorted[n / 2]) }
}

/// Names the points with a weight below 1.
pub(super) fn warn(weights: &[f64], warnings: &mut Vec<FitWarning>) {
    let named: Vec<String> =
        weights.iter().enumerate().filter(|(_, w)| **w < 1.0).map(|(i, w)| format!("{i} (weight {w:.3})")).collect();
    if !named.is_empty() {
        warnings.push(FitWarning::new(
            WarningCode::PointsPlayedDown,
            format!("points played down, counted from 0: {}", named.join(", ")),
        ));
    }
}
