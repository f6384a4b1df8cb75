//! One least-squares engine for all models of this room.
//!
//! # Formula
//! Minimised is eᵀ V⁻¹ e, where e holds the corrections of all abscissae and ordinates, V is their whole covariance
//! matrix and every corrected point lies on the model: generalised distance regression. At each step the model is
//! linearised at the corrected abscissae; these are then eliminated, which leaves a generalised least-squares problem
//! in the unknowns alone with covariance M = V_yy − D V_xy − V_yx D + D V_xx D (D: slopes of the model), whitened by
//! the Cholesky factor of M and solved by Householder reflections on scaled columns. The steps are repeated until
//! neither the unknowns nor the abscissae move: the minimum itself, no effective-variance approximation. Without
//! errors in x this is the ordinary or generalised least-squares solution.
//!
//! The covariance of the unknowns is (Jᵀ M⁻¹ J)⁻¹ at the corrected points.
//!
//! # Source
//! ISO/TS 28037:2010, clause 10 and annex A (straight line); W. E. Deming, Statistical Adjustment of Data (1943);
//! D. York et al., Am. J. Phys. 72 (2004) 367 (uncertainties at the adjusted points).

// Indices speak the language of the formulas.
#![allow(clippy::needless_range_loop)]

use super::observations::Observations;
use crate::error::{Error, Result};
use crate::num::linalg::{
    back_substitute, check_rank, cholesky, condition_number, forward_substitute, invert_triangle, triangle_times,
    triangularise,
};

/// Steps of the iteration with errors in x after which it is given up: York's textbook case, which is badly curved,
/// takes about 40.
const MAX_STEPS: usize = 500;

/// A step below this part of the largest ordinate is rounding.
const CONVERGED: f64 = 1e-15;

/// From here on a step that no longer shrinks is taken for rounding too.
const NEARLY_CONVERGED: f64 = 1e-10;

/// A first step of a linear model that is larger than this part of the ordinates is followed by a second one, which
/// takes out its rounding.
const REFINE_ABOVE: f64 = 1e-2;

/// A model y = f(x; p).
pub(crate) trait Model {
    /// Number of unknowns.
    fn unknowns(&self) -> usize;

    /// Name of an unknown.
    fn name(&self, j: usize) -> String;

    /// Value at x and slope there; fills the derivatives to the unknowns.
    ///
    /// # Errors
    /// Those of a user's model.
    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)>;

    /// Whether the model is linear in its unknowns.
    fn is_linear(&self) -> bool;
}

/// Why the iteration ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum StopReason {
    /// Nothing to iterate: the problem is linear and was solved directly.
    SolvedDirectly,
    /// A further step changes nothing beyond rounding.
    Converged,
}

impl StopReason {
    /// The stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SolvedDirectly => "solved_directly",
            Self::Converged => "converged",
        }
    }
}

/// What the engine returns.
#[derive(Debug, Clone)]
pub(crate) struct Solution {
    pub(crate) parameters: Vec<f64>,
    /// (Jᵀ M⁻¹ J)⁻¹, row by row.
    pub(crate) cofactor: Vec<f64>,
    /// What shared errors add to the covariance where no point's own error is stated; empty if nothing.
    pub(crate) shared: Vec<f64>,
    pub(crate) chi_squared: f64,
    pub(crate) condition_number: f64,
    /// Diagonal of M: variance of a point's misfit, errors of x and y together; 1 where nothing is stated.
    pub(crate) variances: Vec<f64>,
    /// How much of a point's own ordinate goes into its fitted value.
    pub(crate) leverage: Vec<f64>,
    pub(crate) adjusted_x: Vec<f64>,
    pub(crate) iterations: usize,
    pub(crate) stop: StopReason,
}

/// Arrays of one size of problem, in one piece.
struct Space {
    /// Derivatives, points × unknowns, column by column; and their whitened and scaled copy.
    jacobian: Vec<f64>,
    design: Vec<f64>,
    misfit: Vec<f64>,
    rhs: Vec<f64>,
    slopes: Vec<f64>,
    adjusted: Vec<f64>,
    /// Diagonal of M, and M itself where points are correlated.
    variances: Vec<f64>,
    combined: Vec<f64>,
    gradient: Vec<f64>,
    diagonal: Vec<f64>,
    scales: Vec<f64>,
    inverse: Vec<f64>,
    step: Vec<f64>,
}

impl Space {
    fn new(points: usize, unknowns: usize, dense: bool, x: &[f64]) -> Self {
        let (np, k) = (|| vec![0.0; points], || vec![0.0; unknowns]);
        Self {
            jacobian: vec![0.0; points * unknowns],
            design: vec![0.0; points * unknowns],
            misfit: np(),
            rhs: np(),
            slopes: np(),
            adjusted: x.to_vec(),
            variances: np(),
            combined: if dense { vec![0.0; points * points] } else { Vec::new() },
            gradient: k(),
            diagonal: k(),
            scales: k(),
            inverse: vec![0.0; unknowns * unknowns],
            step: k(),
        }
    }
}

/// Fits a model. `start`: values of the unknowns to start from; without it the model must be linear, and the
/// iteration starts from its unweighted fit.
pub(crate) fn solve<M: Model>(
    what: &'static str,
    model: &M,
    data: &Observations,
    start: Option<&[f64]>,
    hint: &'static str,
) -> Result<Solution> {
    let (points, unknowns) = (data.x.len(), model.unknowns());
    if points < unknowns || unknowns == 0 {
        return Err(Error::TooFewPoints { what, needed: unknowns.max(1), found: points, hint });
    }
    let weighted = data.is_stated();
    // Where no point's own error is stated, a shared one moves no weight: it is added to the covariance at the end.
    let exact_x = !weighted || (data.x_errors.is_exact() && data.cross.is_none());
    let independent = data.x_errors.is_independent() && data.y_errors.is_independent() && data.cross.is_none();
    let dense = weighted && !independent;
    let mut space = Space::new(points, unknowns, dense, data.x);
    let mut p = match start {
        Some(values) => values.to_vec(),
        None => vec![0.0; unknowns],
    };
    let largest = data.y.iter().fold(0.0f64, |m, y| m.max(y.abs()));
    let mut iterations = 0;
    let mut before = f64::INFINITY;
    // With errors in x the weights need slopes, which a linear model without start values does not have yet.
    let mut prepare = weighted && start.is_none() && !exact_x;
    loop {
        iterations += 1;
        let stated = weighted && !prepare;
        linearise(model, data, &p, &mut space)?;
        whiten(data, stated, dense, &mut space).map_err(|row| not_definite(data, row))?;
        let chi_squared = step(&mut space, points, unknowns).map_err(|j| Error::Undetermined {
            what,
            parameter: model.name(j),
            hint,
        })?;
        let mut change = 0.0f64;
        for j in 0..unknowns {
            p[j] += space.step[j];
            for i in 0..points {
                change = change.max((space.jacobian[j * points + i] * space.step[j]).abs());
            }
        }
        if stated && !exact_x {
            change = change.max(adjust(data, dense, &mut space));
        }
        if !change.is_finite() {
            return Err(Error::NoConvergence { what, steps: iterations, last: p[0], unit: "" });
        }
        let relative = if largest > 0.0 { change / largest } else { change };
        let direct = model.is_linear() && exact_x;
        let done = if prepare {
            false
        } else if direct {
            relative <= REFINE_ABOVE || iterations >= 2
        } else {
            // How much the next step would move, judged by how much this one shrank.
            let shrunk = if before.is_finite() { (relative / before).min(1.0) } else { 1.0 };
            relative * shrunk <= CONVERGED || (relative <= NEARLY_CONVERGED && relative >= 0.5 * before)
        };
        if done {
            if !weighted && data.x_errors.common > 0.0 {
                // The shared error needs the slopes of the fitted model, not those of the start.
                linearise(model, data, &p, &mut space)?;
            }
            let stop = if direct { StopReason::SolvedDirectly } else { StopReason::Converged };
            return Ok(finish(space, data, dense, p, chi_squared, iterations, stop));
        }
        if iterations >= MAX_STEPS {
            return Err(Error::NoConvergence { what, steps: iterations, last: p[0], unit: "" });
        }
        before = if prepare { f64::INFINITY } else { relative };
        prepare = false;
    }
}

/// Model, slopes, derivatives and misfits at the adjusted abscissae.
#[inline(always)]
fn linearise<M: Model>(model: &M, data: &Observations, p: &[f64], space: &mut Space) -> Result<()> {
    let points = data.x.len();
    for i in 0..points {
        let x = space.adjusted[i];
        let (value, slope) = model.evaluate(x, p, &mut space.gradient)?;
        for (j, g) in space.gradient.iter().enumerate() {
            space.jacobian[j * points + i] = *g;
        }
        space.slopes[i] = slope;
        // Observed minus what the linearised model says at the observed abscissa.
        space.misfit[i] = data.y[i] - value - slope * (data.x[i] - x);
    }
    Ok(())
}

/// Combined covariance of the misfits; design and misfit divided by its root.
#[inline(always)]
fn whiten(data: &Observations, stated: bool, dense: bool, space: &mut Space) -> std::result::Result<(), usize> {
    let points = data.x.len();
    space.design.copy_from_slice(&space.jacobian);
    space.rhs.copy_from_slice(&space.misfit);
    if !stated {
        space.variances.fill(1.0);
        return Ok(());
    }
    if !dense {
        for i in 0..points {
            let slope = space.slopes[i];
            let variance = data.y_errors.own_variance(i) + slope * slope * data.x_errors.own_variance(i);
            if !(variance > 0.0 && variance.is_finite()) {
                return Err(i);
            }
            space.variances[i] = variance;
            let weight = 1.0 / variance.sqrt();
            space.rhs[i] *= weight;
            for column in space.design.chunks_exact_mut(points) {
                column[i] *= weight;
            }
        }
        return Ok(());
    }
    for i in 0..points {
        for j in 0..=i {
            let value = combined(data, &space.slopes, i, j);
            space.combined[i * points + j] = value;
            space.combined[j * points + i] = value;
        }
        space.variances[i] = space.combined[i * points + i];
    }
    cholesky(&mut space.combined, points)?;
    forward_substitute(&space.combined, points, &mut space.rhs);
    for column in space.design.chunks_exact_mut(points) {
        forward_substitute(&space.combined, points, column);
    }
    Ok(())
}

/// Element of M = V_yy − D V_xy − V_yx D + D V_xx D.
#[inline(always)]
fn combined(data: &Observations, slopes: &[f64], i: usize, j: usize) -> f64 {
    let n = data.x.len();
    let mut value = data.y_errors.covariance(n, i, j) + slopes[i] * slopes[j] * data.x_errors.covariance(n, i, j);
    if let Some(cross) = data.cross {
        value -= slopes[i] * cross[i * n + j] + slopes[j] * cross[j * n + i];
    }
    value
}

/// Solves the linearised problem; leaves the step, the factor and its inverse. Returns the sum of squares left.
#[inline(always)]
fn step(space: &mut Space, points: usize, unknowns: usize) -> std::result::Result<f64, usize> {
    for (j, column) in space.design.chunks_exact_mut(points).enumerate() {
        let mut square = 0.0;
        for v in column.iter() {
            square += v * v;
        }
        if !(square > 0.0 && square.is_finite()) {
            return Err(j);
        }
        let scale = power_of_two_near(1.0 / square.sqrt());
        space.scales[j] = scale;
        for v in column.iter_mut() {
            *v *= scale;
        }
    }
    triangularise(&mut space.design, points, unknowns, &mut space.rhs, &mut space.diagonal);
    check_rank(&space.diagonal).map_err(|open| open.0)?;
    invert_triangle(&space.design, points, unknowns, &space.diagonal, &mut space.inverse);
    triangle_times(&space.inverse, unknowns, &space.rhs, &mut space.step);
    for (s, scale) in space.step.iter_mut().zip(&space.scales) {
        *s *= scale;
    }
    let mut rest = 0.0;
    for v in &space.rhs[unknowns..] {
        rest += v * v;
    }
    Ok(rest)
}

/// The power of two at or below a positive number, so that scaling by it rounds nothing.
#[inline(always)]
pub(crate) fn power_of_two_near(value: f64) -> f64 {
    // Sign and fraction cleared; a subnormal number would give zero.
    f64::from_bits(value.to_bits() & 0x7ff0_0000_0000_0000).max(f64::MIN_POSITIVE)
}

/// Moves the abscissae to where the corrected points lie; returns the largest move, in the unit of the ordinates.
#[inline(always)]
fn adjust(data: &Observations, dense: bool, space: &mut Space) -> f64 {
    let points = data.x.len();
    // Misfit left after the step, then M⁻¹ times it.
    for i in 0..points {
        let mut left = space.misfit[i];
        for (column, s) in space.jacobian.chunks_exact(points).zip(&space.step) {
            left -= column[i] * s;
        }
        space.rhs[i] = left;
    }
    if dense {
        forward_substitute(&space.combined, points, &mut space.rhs);
        back_substitute(&space.combined, points, &mut space.rhs);
    } else {
        for (v, variance) in space.rhs.iter_mut().zip(&space.variances) {
            *v /= variance;
        }
    }
    let mut change = 0.0f64;
    for i in 0..points {
        // Row of V_xx D − V_xy.
        let correction = if dense {
            let mut sum = 0.0;
            for j in 0..points {
                let mut weight = data.x_errors.covariance(points, i, j) * space.slopes[j];
                if let Some(cross) = data.cross {
                    weight -= cross[i * points + j];
                }
                sum += weight * space.rhs[j];
            }
            sum
        } else {
            data.x_errors.own_variance(i) * space.slopes[i] * space.rhs[i]
        };
        let moved = data.x[i] + correction;
        change = change.max(((moved - space.adjusted[i]) * space.slopes[i]).abs());
        space.adjusted[i] = moved;
    }
    change
}

fn finish(
    space: Space,
    data: &Observations,
    dense: bool,
    parameters: Vec<f64>,
    chi_squared: f64,
    iterations: usize,
    stop: StopReason,
) -> Solution {
    let (points, unknowns) = (data.x.len(), parameters.len());
    let condition_number = condition_number(&space.design, points, unknowns, &space.diagonal, &space.inverse);
    // Scaled inverse, then S R⁻¹ R⁻ᵀ S.
    let mut inverse = space.inverse;
    for (i, scale) in space.scales.iter().enumerate() {
        for j in i..unknowns {
            inverse[j * unknowns + i] *= scale;
        }
    }
    let mut cofactor = vec![0.0; unknowns * unknowns];
    for i in 0..unknowns {
        for j in 0..=i {
            let mut sum = 0.0;
            for k in i..unknowns {
                sum += inverse[k * unknowns + i] * inverse[k * unknowns + j];
            }
            cofactor[i * unknowns + j] = sum;
            cofactor[j * unknowns + i] = sum;
        }
    }
    let mut leverage = vec![0.0; points];
    if dense {
        // Diagonal of J C Jᵀ M⁻¹, by M⁻¹ J column by column.
        for k in 0..unknowns {
            let mut column: Vec<f64> = (0..points)
                .map(|i| (0..unknowns).map(|j| space.jacobian[j * points + i] * cofactor[j * unknowns + k]).sum())
                .collect();
            let mut solved = space.jacobian[k * points..(k + 1) * points].to_vec();
            forward_substitute(&space.combined, points, &mut solved);
            back_substitute(&space.combined, points, &mut solved);
            for ((h, a), b) in leverage.iter_mut().zip(&mut column).zip(&solved) {
                *h += *a * b;
            }
        }
    } else {
        for (i, h) in leverage.iter_mut().enumerate() {
            let mut sum = 0.0;
            for k in 0..unknowns {
                let mut dot = 0.0;
                for j in 0..=k {
                    dot += space.jacobian[j * points + i] * inverse[k * unknowns + j];
                }
                sum += dot * dot;
            }
            *h = sum / space.variances[i];
        }
    }
    let mut shared = Vec::new();
    if !data.is_stated() {
        // Errors shared by all ordinates, and by all abscissae, through the estimator C Jᵀ.
        let (x_common, y_common) = (data.x_errors.common, data.y_errors.common);
        for (variance, direction) in [(y_common, None), (x_common, Some(&space.slopes))] {
            if variance <= 0.0 {
                continue;
            }
            shared.resize(unknowns * unknowns, 0.0);
            let pull: Vec<f64> = space
                .jacobian
                .chunks_exact(points)
                .map(|column| match direction {
                    None => column.iter().sum(),
                    Some(d) => column.iter().zip(d).map(|(a, b)| a * b).sum(),
                })
                .collect();
            let moved: Vec<f64> =
                cofactor.chunks_exact(unknowns).map(|row| row.iter().zip(&pull).map(|(a, b)| a * b).sum()).collect();
            for i in 0..unknowns {
                for j in 0..unknowns {
                    shared[i * unknowns + j] += variance * moved[i] * moved[j];
                }
            }
        }
    }
    Solution {
        parameters,
        cofactor,
        shared,
        chi_squared,
        condition_number,
        variances: space.variances,
        leverage,
        adjusted_x: space.adjusted,
        iterations,
        stop,
    }
}

#[cold]
fn not_definite(data: &Observations, row: usize) -> Error {
    let what = if data.x_errors.is_exact() {
        "covariance of the ordinates"
    } else {
        "combined covariance of abscissae and ordinates"
    };
    Error::NotPositiveDefinite { what, row }
}
