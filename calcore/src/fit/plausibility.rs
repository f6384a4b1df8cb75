//! Whether fitted coefficients can be those of an industrial platinum thermometer.

use super::warning::{FitWarning, WarningCode};
use crate::constants::rtd::{IEC60751, RTD_STANDARDS, RatioEquation};
use crate::curves::CallendarVanDusen;
use crate::error::Error;

/// Relative distance from every platinum curve in use above which α is none of theirs. Common practice, no source.
const ALPHA_WITHIN: f64 = 0.01;

/// δ of platinum, °C. Common practice, no source.
const DELTA: (f64, f64) = (1.3, 1.6);

/// Nominal resistances at 0 °C, ohm, and 1 for a ratio instead of a resistance. Common practice (IEC 60751:2022 names
/// 100 ohm and allows others).
const NOMINAL_OHM: [f64; 11] = [1.0, 10.0, 25.0, 25.5, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 10000.0];

/// Largest relative distance of R0 from a nominal value. Common practice, no source.
const R0_WITHIN: f64 = 0.01;

/// Adds the warnings on implausible coefficients.
pub(crate) fn judge(curve: &CallendarVanDusen, t_c: &[f64], ohm: &[f64], warnings: &mut Vec<FitWarning>) {
    let before = warnings.len();
    let (alpha, delta, r0) = (curve.alpha(), curve.delta(), curve.r0());
    let (nearest, title) = nearest_alpha(alpha);
    if (alpha / nearest - 1.0).abs() > ALPHA_WITHIN {
        warnings.push(FitWarning::new(
            WarningCode::ImplausibleAlpha,
            format!("alpha {alpha:.6e} 1/K is that of no platinum curve: swapped points, leads or leakage?"),
        ));
    } else if (nearest / alpha_of(IEC60751.a, IEC60751.b) - 1.0).abs() > 1e-6 {
        warnings.push(FitWarning::new(
            WarningCode::ImplausibleAlpha,
            format!("alpha {alpha:.6e} 1/K is nearest to that of {title} ({nearest:.6e}), not of IEC 60751"),
        ));
    }
    if !(delta >= DELTA.0 && delta <= DELTA.1) {
        warnings.push(FitWarning::new(
            WarningCode::ImplausibleDelta,
            format!(
                "delta {delta:.4} °C is outside {} to {} °C: swapped points, or B is better held",
                DELTA.0, DELTA.1
            ),
        ));
    }
    if !NOMINAL_OHM.iter().any(|n| (r0 / n - 1.0).abs() <= R0_WITHIN) {
        warnings.push(FitWarning::new(
            WarningCode::ImplausibleR0,
            format!("R0 {r0:.4} ohm is not within 1 % of a nominal resistance: wrong wire count, or wrong points?"),
        ));
    }
    if warnings.len() > before
        && let Some((i, j)) = falling_pair(t_c, ohm)
    {
        warnings.push(FitWarning::new(WarningCode::ResistanceFalls, falling_text(t_c, ohm, i, j)));
    }
}

/// α and title of the known platinum curve whose α is nearest; IEC 60751 where several have the same.
fn nearest_alpha(alpha: f64) -> (f64, &'static str) {
    let known = RTD_STANDARDS.iter().filter_map(|standard| match standard.equation {
        RatioEquation::CallendarVanDusen { a, b, .. } => Some((alpha_of(a, b), standard.title)),
        _ => None,
    });
    let distance = |known: &(f64, &str)| (known.0 - alpha).abs();
    known.min_by(|x, y| distance(x).total_cmp(&distance(y))).unwrap_or((alpha, ""))
}

/// α = A + 100 B.
fn alpha_of(a: f64, b: f64) -> f64 {
    a + 100.0 * b
}

/// Two points of which the warmer has the lower resistance: the first such pair.
fn falling_pair(t_c: &[f64], ohm: &[f64]) -> Option<(usize, usize)> {
    let mut order: Vec<usize> = (0..t_c.len()).collect();
    order.sort_by(|&i, &j| t_c[i].total_cmp(&t_c[j]));
    order.windows(2).map(|w| (w[0], w[1])).find(|&(i, j)| t_c[i] < t_c[j] && ohm[i] >= ohm[j])
}

fn falling_text(t_c: &[f64], ohm: &[f64], i: usize, j: usize) -> String {
    format!(
        "{} ohm at {} °C (point {i}) but {} ohm at {} °C (point {j}): are points swapped?",
        ohm[i], t_c[i], ohm[j], t_c[j]
    )
}

/// Adds to the refusal of a fitted curve what in the data may have caused it.
#[cold]
pub(crate) fn explain_unphysical(error: Error, t_c: &[f64], ohm: &[f64]) -> Error {
    match error {
        Error::InvalidValue { what, value, unit, requirement } => {
            let cause = falling_pair(t_c, ohm).map_or_else(
                || "the points are not those of a platinum thermometer".to_string(),
                |(i, j)| falling_text(t_c, ohm, i, j),
            );
            Error::InvalidValue { what, value, unit, requirement: format!("{requirement}, as fitted: {cause}") }
        }
        other => other,
    }
}
