//! How long still to wait.

use super::monitor::SettledCriterion;
use super::trend::Workspace;
use crate::error::{Error, Result};

/// Time still to wait, as an estimate with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Wait {
    /// Estimate, s.
    pub seconds: f64,
    /// Its standard uncertainty, s.
    pub standard_uncertainty_s: f64,
    /// Time constant of the approach, s.
    pub time_constant_s: f64,
    /// Its standard uncertainty, s.
    pub u_time_constant_s: f64,
    /// Value that is approached.
    pub final_value: f64,
}

/// Fits x = x∞ + A exp(−(t − t_now)/τ) to the window and asks when its least-squares slope falls under the limit.
///
/// The slope over a window of constant length dies out with the same τ, so the wait is τ ln(|slope now| / limit), where
/// the limit is reduced by what the scatter adds to it. For a given τ the fit is linear; τ is found by golden section
/// on the sum of squares over 1/20 to 10 windows, and the covariance from the Jacobian.
pub(super) fn wait(time_s: &[f64], value: &[f64], limits: &SettledCriterion, at_least_s: f64) -> Result<Wait> {
    if time_s.len() < 5 {
        return Err(Error::TooFewPoints { what: "time to wait", needed: 5, found: time_s.len(), hint: "" });
    }
    let now_s = time_s[time_s.len() - 1];
    let back: Vec<f64> = time_s.iter().map(|t| t - now_s).collect();
    let length_s = -back[0];
    let at = |ln_tau: f64| Approach::of(&back, value, libm::exp(ln_tau));
    let (low, high) = (libm::log(length_s / 20.0), libm::log(length_s * 10.0));
    let ln_tau = least(low, high, |x| at(x).squares);
    let fit = at(ln_tau);
    let tau = fit.tau;
    let open = Error::Undetermined {
        what: "time to wait",
        parameter: "the time constant".into(),
        hint: "the window follows no exponential that dies out; read on, or use a longer window",
    };
    if ln_tau - low < 1e-3 || high - ln_tau < 1e-3 {
        return Err(open);
    }
    let freedom = time_s.len() as f64 - 3.0;
    let s2 = fit.squares / freedom;
    // Columns of the Jacobian: 1, e^(−s/τ), A e^(−s/τ) s/τ²; normal matrix of (x∞, A, τ).
    let mut normal = [[0.0; 3]; 3];
    for s in &back {
        let e = libm::exp(-s / tau);
        let row = [1.0, e, fit.amplitude * e * s / (tau * tau)];
        for (i, a) in row.iter().enumerate() {
            for (j, b) in row.iter().enumerate() {
                normal[i][j] += a * b;
            }
        }
    }
    let Some(inverse) = invert(normal) else { return Err(open) };
    let (u2_amplitude, u2_tau, mixed) = (s2 * inverse[1][1], s2 * inverse[2][2], s2 * inverse[1][2]);
    if u2_tau.sqrt() > 0.5 * tau {
        return Err(open);
    }
    // Scatter of the fit, not of the line, which the bend would widen.
    let stt: f64 = {
        let mean = back.iter().sum::<f64>() / back.len() as f64;
        back.iter().map(|s| (s - mean) * (s - mean)).sum()
    };
    let margin =
        if s2 > 0.0 { limits.factor((back.len() as f64 - 2.0).max(1.0))? * 60.0 * (s2 / stt).sqrt() } else { 0.0 };
    let limit = limits.max_slope_per_min - margin;
    if limit <= 0.0 {
        return Err(Error::Undetermined {
            what: "time to wait",
            parameter: "when the slope is proven".into(),
            hint: "the scatter alone makes the slope more uncertain than its limit; use a longer window",
        });
    }
    let slope_of = |tau: f64| {
        let model: Vec<f64> = back.iter().map(|s| libm::exp(-s / tau)).collect();
        fit.amplitude.abs() * Workspace::default().trend(&back, &model, f64::INFINITY, 0.0).slope_per_min.abs()
    };
    let seconds_of = |tau: f64| tau * libm::log(slope_of(tau) / limit);
    let seconds = seconds_of(tau);
    let step = 1e-4 * tau;
    let by_tau = (seconds_of(tau + step) - seconds_of(tau - step)) / (2.0 * step);
    let by_amplitude = tau / fit.amplitude.abs();
    let sign = fit.amplitude.signum();
    // The scatter that makes the margin is itself known to 1/√(2ν) of it, independently of what is fitted.
    let by_scatter = tau * margin / limit;
    let variance = by_tau * by_tau * u2_tau
        + by_scatter * by_scatter / (2.0 * freedom)
        + by_amplitude * by_amplitude * u2_amplitude
        + 2.0 * by_tau * by_amplitude * sign * mixed;
    Ok(Wait {
        seconds: seconds.max(at_least_s).max(0.0),
        standard_uncertainty_s: variance.max(0.0).sqrt(),
        time_constant_s: tau,
        u_time_constant_s: u2_tau.sqrt(),
        final_value: fit.end,
    })
}

struct Approach {
    tau: f64,
    end: f64,
    amplitude: f64,
    squares: f64,
}

impl Approach {
    /// Best end value and amplitude for a time constant.
    fn of(back: &[f64], value: &[f64], tau: f64) -> Self {
        let n = value.len() as f64;
        // Scaled by the largest element, at the beginning of the window, so that it cannot overflow.
        let scale = libm::exp(back[0] / tau);
        let model: Vec<f64> = back.iter().map(|s| libm::exp((back[0] - s) / tau)).collect();
        let (mean_model, mean) = (model.iter().sum::<f64>() / n, value.iter().map(|v| v - value[0]).sum::<f64>() / n);
        let (mut mm, mut mv) = (0.0, 0.0);
        for (m, v) in model.iter().zip(value) {
            mm += (m - mean_model) * (m - mean_model);
            mv += (m - mean_model) * (v - value[0] - mean);
        }
        let slope = if mm > 0.0 { mv / mm } else { 0.0 };
        let end = mean - slope * mean_model;
        let squares = model.iter().zip(value).map(|(m, v)| v - value[0] - end - slope * m).map(|r| r * r).sum();
        Self { tau, end: value[0] + end, amplitude: slope * scale, squares }
    }
}

/// Where a function is least: a grid first, then golden section about the best cell.
fn least(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    const CELLS: usize = 40;
    let grid = |i: usize| low + (high - low) * i as f64 / CELLS as f64;
    let mut best = (f64::INFINITY, 0);
    for i in 0..=CELLS {
        let y = f(grid(i));
        if y < best.0 {
            best = (y, i);
        }
    }
    let (mut a, mut b) = (grid(best.1.saturating_sub(1)), grid((best.1 + 1).min(CELLS)));
    let part = 0.5 * (5f64.sqrt() - 1.0);
    let (mut x, mut y) = (b - part * (b - a), a + part * (b - a));
    let (mut fx, mut fy) = (f(x), f(y));
    for _ in 0..60 {
        if fx < fy {
            (b, y, fy) = (y, x, fx);
            x = b - part * (b - a);
            fx = f(x);
        } else {
            (a, x, fx) = (x, y, fy);
            y = a + part * (b - a);
            fy = f(y);
        }
    }
    0.5 * (a + b)
}

/// Inverse of a symmetric matrix of three by its cofactors, after scaling to a unit diagonal.
fn invert(m: [[f64; 3]; 3]) -> Option<[[f64; 3]; 3]> {
    let d = [m[0][0].sqrt(), m[1][1].sqrt(), m[2][2].sqrt()];
    let a = |i: usize, j: usize| m[i][j] / (d[i] * d[j]);
    let cofactor = |i: usize, j: usize| {
        let (r, s) = ((i + 1) % 3, (i + 2) % 3);
        let (p, q) = ((j + 1) % 3, (j + 2) % 3);
        a(r, p) * a(s, q) - a(r, q) * a(s, p)
    };
    let determinant = (0..3).map(|j| a(0, j) * cofactor(0, j)).sum::<f64>();
    if !(determinant > 1e-14 && determinant.is_finite()) {
        return None;
    }
    let mut inverse = [[0.0; 3]; 3];
    for (i, row) in inverse.iter_mut().enumerate() {
        for (j, x) in row.iter_mut().enumerate() {
            *x = cofactor(i, j) / determinant / (d[i] * d[j]);
        }
    }
    Some(inverse)
}
