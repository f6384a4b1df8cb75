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
pub(super) const CONVERGED: f64 = 1e-15;

/// From here on a step that no longer shrinks is taken for rounding too.
pub(super) const NEARLY_CONVERGED: f64 = 1e-10;

/// A first step of a linear model that is larger than this part of the ordinates is followed by a second one, which
/// takes out its rounding.
pub(super) const REFINE_ABOVE: f64 = 1e-2;

/// A model y = f(x; p).
pub(crate) trait Model {
    /// Whether copies of the engine for two, three and four unknowns are worth their size.
    const SMALL: bool = false;

    /// Number of unknowns.
    fn unknowns(&self) -> usize;

    /// Name of an unknown.
    fn name(&self, j: usize) -> String;

    /// Value at x and slope there; fills the derivatives to the unknowns.
    ///
    /// # Errors
    /// Those of a user's model.
    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)>;
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
    /// No better point was found although a step was still promising a little: derivatives by differences, or rounding,
    /// let it come no closer.
    Stalled,
}

impl StopReason {
    /// The stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SolvedDirectly => "solved_directly",
            Self::Converged => "converged",
            Self::Stalled => "stalled",
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
    /// Misfit of each point against the model fitted to all others; NaN where they do not determine it.
    pub(crate) deleted_misfits: Vec<f64>,
    pub(crate) adjusted_x: Vec<f64>,
    pub(crate) iterations: usize,
    pub(crate) stop: StopReason,
}

/// Size of the buffer on the stack: ten points with four unknowns fit in, seven with correlated errors.
const ON_STACK: usize = 240;

/// Arrays of one size of problem, carved from one buffer.
pub(super) struct Space<'a> {
    /// Derivatives, points × unknowns, column by column; and their whitened and scaled copy, later the factor.
    pub(super) jacobian: &'a mut [f64],
    pub(super) design: &'a mut [f64],
    pub(super) misfit: &'a mut [f64],
    pub(super) rhs: &'a mut [f64],
    pub(super) slopes: &'a mut [f64],
    pub(super) adjusted: &'a mut [f64],
    /// Diagonal of M, and M itself (then its factor) where points are correlated.
    pub(super) variances: &'a mut [f64],
    pub(super) combined: &'a mut [f64],
    pub(super) gradient: &'a mut [f64],
    pub(super) diagonal: &'a mut [f64],
    pub(super) scales: &'a mut [f64],
    pub(super) inverse: &'a mut [f64],
    pub(super) step: &'a mut [f64],
}

impl<'a> Space<'a> {
    pub(super) fn size(points: usize, unknowns: usize, dense: bool) -> usize {
        2 * points * unknowns + 5 * points + if dense { points * points } else { 0 } + unknowns * (unknowns + 4)
    }

    pub(super) fn new(buffer: &'a mut [f64], points: usize, unknowns: usize, dense: bool, x: &[f64]) -> Self {
        let mut rest = buffer;
        let mut take = |count: usize| {
            let (piece, left) = std::mem::take(&mut rest).split_at_mut(count);
            rest = left;
            piece
        };
        let space = Self {
            jacobian: take(points * unknowns),
            design: take(points * unknowns),
            misfit: take(points),
            rhs: take(points),
            slopes: take(points),
            adjusted: take(points),
            variances: take(points),
            combined: take(if dense { points * points } else { 0 }),
            gradient: take(unknowns),
            diagonal: take(unknowns),
            scales: take(unknowns),
            inverse: take(unknowns * unknowns),
            step: take(unknowns),
        };
        space.adjusted.copy_from_slice(x);
        space
    }
}

/// Fits a model that is linear in its unknowns. `start`: values to start from; without them the iteration starts from
/// the unweighted fit.
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
    let dense = data.is_dense();
    let size = Space::size(points, unknowns, dense);
    let (mut small, mut large);
    let buffer: &mut [f64] = if size <= ON_STACK {
        small = [0.0; ON_STACK];
        &mut small
    } else {
        large = vec![0.0; size];
        &mut large
    };
    let space = Space::new(buffer, points, unknowns, dense, data.x);
    // Loops over a known number of unknowns unroll.
    match unknowns {
        4 if M::SMALL => iterate::<M, 4>(what, model, data, start, hint, space),
        3 if M::SMALL => iterate::<M, 3>(what, model, data, start, hint, space),
        2 if M::SMALL => iterate::<M, 2>(what, model, data, start, hint, space),
        _ => iterate::<M, 0>(what, model, data, start, hint, space),
    }
}

/// The number of unknowns where it is known when compiling, else the one at hand.
#[inline(always)]
const fn count<const K: usize>(unknowns: usize) -> usize {
    if K == 0 { unknowns } else { K }
}

#[inline(always)]
fn iterate<M: Model, const K: usize>(
    what: &'static str,
    model: &M,
    data: &Observations,
    start: Option<&[f64]>,
    hint: &'static str,
    mut space: Space,
) -> Result<Solution> {
    let (points, unknowns) = (data.x.len(), count::<K>(model.unknowns()));
    let weighted = data.is_stated();
    // Where no point's own error is stated, a shared one moves no weight: it is added to the covariance at the end.
    let exact_x = !weighted || (data.x_errors.is_exact() && data.cross.is_none());
    let mut p = match start {
        Some(values) => values.to_vec(),
        None => vec![0.0; unknowns],
    };
    let largest = data.y.iter().fold(0.0f64, |m, y| m.max(y.abs()));
    let mut iterations = 0;
    let mut before = f64::INFINITY;
    // With errors in x the weights need slopes, which a model without start values does not have yet.
    let mut prepare = weighted && start.is_none() && !exact_x;
    loop {
        iterations += 1;
        let stated = weighted && !prepare;
        linearise::<M, K>(model, data, &p, &mut space)?;
        whiten(data, stated, &mut space).map_err(|row| not_definite(data, row))?;
        scale_and_factorise::<K>(&mut space, points, unknowns).map_err(|j| open(what, model, j, hint))?;
        let chi_squared = undamped_step::<K>(&mut space, unknowns);
        let mut change = 0.0f64;
        for j in 0..unknowns {
            p[j] += space.step[j];
            for i in 0..points {
                change = change.max((space.jacobian[j * points + i] * space.step[j]).abs());
            }
        }
        if stated && !exact_x {
            change = change.max(adjust(data, &mut space));
        }
        // A NaN would slip through the maximum.
        if !change.is_finite() || !chi_squared.is_finite() || !p.iter().all(|v| v.is_finite()) {
            return Err(Error::NoConvergence { what, steps: iterations, last: p[0], unit: "" });
        }
        let relative = if largest > 0.0 { change / largest } else { change };
        let done = if prepare {
            false
        } else if exact_x {
            relative <= REFINE_ABOVE || iterations >= 2
        } else {
            // How much the next step would move, judged by how much this one shrank.
            let shrunk = if before.is_finite() { (relative / before).min(1.0) } else { 1.0 };
            relative * shrunk <= CONVERGED || (relative <= NEARLY_CONVERGED && relative >= 0.5 * before)
        };
        if done {
            if !weighted && data.x_errors.common > 0.0 {
                // The shared error needs the slopes of the fitted model, not those of the start.
                linearise::<M, K>(model, data, &p, &mut space)?;
            }
            let stop = if exact_x { StopReason::SolvedDirectly } else { StopReason::Converged };
            return Ok(finish::<K>(&mut space, data, p, chi_squared, iterations, stop));
        }
        if iterations >= MAX_STEPS {
            return Err(Error::NoConvergence { what, steps: iterations, last: p[0], unit: "" });
        }
        before = if prepare { f64::INFINITY } else { relative };
        prepare = false;
    }
}

#[cold]
pub(super) fn open<M: Model>(what: &'static str, model: &M, j: usize, hint: &'static str) -> Error {
    Error::Undetermined { what, parameter: model.name(j), hint }
}

/// Model, slopes, derivatives and misfits at the adjusted abscissae.
#[inline(always)]
pub(super) fn linearise<M: Model, const K: usize>(
    model: &M,
    data: &Observations,
    p: &[f64],
    space: &mut Space,
) -> Result<()> {
    let (points, unknowns) = (data.x.len(), count::<K>(p.len()));
    for i in 0..points {
        let x = space.adjusted[i];
        let (value, slope) = model.evaluate(x, &p[..unknowns], &mut space.gradient[..unknowns])?;
        for j in 0..unknowns {
            space.jacobian[j * points + i] = space.gradient[j];
        }
        space.slopes[i] = slope;
        // Observed minus what the linearised model says at the observed abscissa.
        space.misfit[i] = data.y[i] - value - slope * (data.x[i] - x);
    }
    Ok(())
}

/// Combined covariance of the misfits; design and misfit divided by its root.
#[inline(always)]
pub(super) fn whiten(data: &Observations, stated: bool, space: &mut Space) -> std::result::Result<(), usize> {
    let points = data.x.len();
    space.design.copy_from_slice(space.jacobian);
    space.rhs.copy_from_slice(space.misfit);
    if !stated && data.weights.is_none() {
        space.variances.fill(1.0);
        return Ok(());
    }
    if !(stated && data.is_dense()) {
        for i in 0..points {
            let slope = space.slopes[i];
            let variance = if stated {
                data.y_errors.own_variance(i) + slope * slope * data.x_errors.own_variance(i)
            } else {
                1.0
            };
            let variance = variance / data.weight(i);
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
            let scale = if data.weights.is_some() { (data.weight(i) * data.weight(j)).sqrt() } else { 1.0 };
            space.combined[i * points + j] = combined(data, space.slopes, i, j) / scale;
        }
        space.variances[i] = space.combined[i * points + i];
    }
    cholesky(space.combined, points)?;
    forward_substitute(space.combined, points, space.rhs);
    for column in space.design.chunks_exact_mut(points) {
        forward_substitute(space.combined, points, column);
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

/// Brings the columns to comparable length and reduces them to a triangle, with its inverse.
///
/// # Errors
/// The first column that the rows leave open.
#[inline(always)]
pub(super) fn scale_and_factorise<const K: usize>(
    space: &mut Space,
    points: usize,
    unknowns: usize,
) -> std::result::Result<(), usize> {
    let unknowns = count::<K>(unknowns);
    for j in 0..unknowns {
        let column = &mut space.design[j * points..(j + 1) * points];
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
    triangularise(space.design, points, unknowns, space.rhs, space.diagonal);
    check_rank(space.diagonal).map_err(|open| open.0)?;
    invert_triangle(space.design, points, unknowns, space.diagonal, space.inverse);
    Ok(())
}

/// The step to the minimum of the linearised problem; returns the sum of squares that is left.
#[inline(always)]
pub(super) fn undamped_step<const K: usize>(space: &mut Space, unknowns: usize) -> f64 {
    let unknowns = count::<K>(unknowns);
    triangle_times(space.inverse, unknowns, space.rhs, space.step);
    for (s, scale) in space.step.iter_mut().zip(space.scales.iter()) {
        *s *= scale;
    }
    let mut rest = 0.0;
    for v in &space.rhs[unknowns..] {
        rest += v * v;
    }
    rest
}

/// The power of two at or below a positive number, so that scaling by it rounds nothing.
#[inline(always)]
pub(crate) fn power_of_two_near(value: f64) -> f64 {
    // Sign and fraction cleared; a subnormal number would give zero.
    f64::from_bits(value.to_bits() & 0x7ff0_0000_0000_0000).max(f64::MIN_POSITIVE)
}

/// Moves the abscissae to where the corrected points lie; returns the largest move, in the unit of the ordinates.
#[inline(always)]
pub(super) fn adjust(data: &Observations, space: &mut Space) -> f64 {
    let (points, dense) = (data.x.len(), data.is_dense());
    // Misfit left after the step, then M⁻¹ times it.
    for i in 0..points {
        let mut left = space.misfit[i];
        for (column, s) in space.jacobian.chunks_exact(points).zip(space.step.iter()) {
            left -= column[i] * s;
        }
        space.rhs[i] = left;
    }
    if dense {
        forward_substitute(space.combined, points, space.rhs);
        back_substitute(space.combined, points, space.rhs);
    } else {
        for (v, variance) in space.rhs.iter_mut().zip(space.variances.iter()) {
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

/// Covariance and diagnostics at the last linearisation.
#[inline(always)]
pub(super) fn finish<const K: usize>(
    space: &mut Space,
    data: &Observations,
    parameters: Vec<f64>,
    chi_squared: f64,
    iterations: usize,
    stop: StopReason,
) -> Solution {
    let (points, unknowns) = (data.x.len(), count::<K>(parameters.len()));
    let condition_number = condition_number(space.design, points, unknowns, space.diagonal, space.inverse);
    // S R⁻¹, S: the scales of the columns.
    for i in 0..unknowns {
        for j in i..unknowns {
            space.inverse[j * unknowns + i] *= space.scales[i];
        }
    }
    let inverse = &*space.inverse;
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
    // Misfits after the last step.
    for i in 0..points {
        let mut left = space.misfit[i];
        for j in 0..unknowns {
            left -= space.jacobian[j * points + i] * space.step[j];
        }
        space.misfit[i] = left;
    }
    let (mut leverage, mut deleted) = (vec![0.0; points], vec![0.0; points]);
    if data.is_dense() {
        dense_diagnostics(space, points, unknowns, &cofactor, &mut leverage, &mut deleted);
    } else {
        for i in 0..points {
            let mut sum = 0.0;
            for k in 0..unknowns {
                let mut dot = 0.0;
                for j in 0..=k {
                    dot += space.jacobian[j * points + i] * inverse[k * unknowns + j];
                }
                sum += dot * dot;
            }
            leverage[i] = sum / space.variances[i];
            deleted[i] = over_remainder(space.misfit[i], 1.0 - leverage[i]);
        }
    }
    let shared = if data.is_stated() { Vec::new() } else { shared_errors(space, data, &cofactor) };
    Solution {
        parameters,
        cofactor,
        shared,
        chi_squared,
        condition_number,
        variances: space.variances.to_vec(),
        leverage,
        deleted_misfits: deleted,
        adjusted_x: space.adjusted.to_vec(),
        iterations,
        stop,
    }
}

/// A misfit over what is left of 1 after its leverage; NaN where nothing is.
#[inline(always)]
fn over_remainder(misfit: f64, remainder: f64) -> f64 {
    if remainder > 1e-10 { misfit / remainder } else { f64::NAN }
}

/// Leverage diag(J C Jᵀ M⁻¹), and deleted misfits (M⁻¹ r)ᵢ / (M⁻¹ − M⁻¹ J C Jᵀ M⁻¹)ᵢᵢ, which account for what the other
/// points' errors tell of the left-out one's.
#[cold]
fn dense_diagnostics(
    space: &Space,
    points: usize,
    unknowns: usize,
    cofactor: &[f64],
    leverage: &mut [f64],
    deleted: &mut [f64],
) {
    let solved = |mut column: Vec<f64>| {
        forward_substitute(space.combined, points, &mut column);
        back_substitute(space.combined, points, &mut column);
        column
    };
    let weighted: Vec<Vec<f64>> = space.jacobian.chunks_exact(points).map(|c| solved(c.to_vec())).collect();
    let misfit = solved(space.misfit.to_vec());
    for i in 0..points {
        let unit = solved((0..points).map(|k| if k == i { 1.0 } else { 0.0 }).collect());
        let (mut own, mut lost) = (0.0, 0.0);
        for j in 0..unknowns {
            for k in 0..unknowns {
                let c = cofactor[j * unknowns + k] * weighted[k][i];
                own += space.jacobian[j * points + i] * c;
                lost += weighted[j][i] * c;
            }
        }
        leverage[i] = own;
        deleted[i] = over_remainder(misfit[i] / unit[i], (unit[i] - lost) / unit[i]);
    }
}

/// What errors shared by all ordinates, and by all abscissae, do through the estimator C Jᵀ.
fn shared_errors(space: &Space, data: &Observations, cofactor: &[f64]) -> Vec<f64> {
    let (points, unknowns) = (data.x.len(), space.step.len());
    let mut shared = Vec::new();
    for (variance, by_slope) in [(data.y_errors.common, false), (data.x_errors.common, true)] {
        if variance <= 0.0 {
            continue;
        }
        shared.resize(unknowns * unknowns, 0.0);
        let pull: Vec<f64> = space
            .jacobian
            .chunks_exact(points)
            .map(|column| {
                let terms = column.iter().zip(space.slopes.iter()).zip(space.variances.iter());
                terms.map(|((a, d), v)| a * if by_slope { *d } else { 1.0 } / v).sum()
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
    shared
}

#[cold]
pub(super) fn not_definite(data: &Observations, row: usize) -> Error {
    let what = if data.x_errors.is_exact() {
        "covariance of the ordinates"
    } else {
        "combined covariance of abscissae and ordinates"
    };
    Error::NotPositiveDefinite { what, row }
}
