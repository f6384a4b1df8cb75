//! Models that are not linear in their unknowns, and unknowns with bounds.
//!
//! # Formula
//! Levenberg-Marquardt on the profile of the sum of squares: at every trial the corrected abscissae are brought to the
//! foot points of their observations first, so that what is compared is the minimum over them. A step solves
//! (JᵀM⁻¹J + λ D²) dp = JᵀM⁻¹ r by orthogonal factorisation, with D the largest column lengths seen so far, which makes
//! it independent of the units of the unknowns. An unknown that a step drives over its bound is held there, and let go
//! again when the sum of squares falls inwards.
//!
//! # Source
//! J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105 (scaling); H. B. Nielsen, IMM-REP-1999-05, Technical
//! University of Denmark (1999) (damping); D. M. Bates and D. G. Watts, Technometrics 23 (1981) 179 (convergence by
//! the angle between residuals and tangent plane).

// Indices speak the language of the formulas.
#![allow(clippy::needless_range_loop)]

use super::engine::{
    Model, Solution, Space, StopReason, adjust, finish, linearise, not_definite, open, scale_and_factorise,
    undamped_step, whiten,
};
use super::observations::Observations;
use crate::error::{Error, Result};
use crate::num::linalg::{invert_triangle, triangle_times, triangularise};

/// Trials after which the search is given up.
const MAX_TRIALS: usize = 3000;

/// Steps to the foot points.
const MAX_FOOT_STEPS: usize = 100;

/// Part of the largest ordinate below which a move of a foot point is rounding.
const FOOT_CONVERGED: f64 = 1e-14;

/// Length of the projection of the residuals on the tangent plane, over that of the rest, at which the search ends:
/// the unknowns are then off by about this part of their standard uncertainty.
const OFFSET_CONVERGED: f64 = 1e-10;

/// From here on the sum of squares no longer resolves what a step gains (it changes by the square of this part), and
/// plain Gauss-Newton steps are judged by whether they bring the offset down.
const ENDGAME: f64 = 1e-4;

/// Offset at which it counts as converged when the endgame brings it no further.
const OFFSET_GOOD: f64 = 1e-7;

/// Offset at which a search without a better trial counts as stalled, not lost.
const OFFSET_STALLED: f64 = 1e-3;

/// Length of that projection over that of the whitened ordinates, for data without noise.
const EXACT_FIT: f64 = 1e-13;

/// A model of which some unknowns are held.
struct Part<'m, M> {
    model: &'m M,
    whole: Vec<f64>,
    free: Vec<usize>,
}

impl<M: Model> Part<'_, M> {
    fn filled(&self, p: &[f64]) -> Vec<f64> {
        let mut whole = self.whole.clone();
        for (value, &k) in p.iter().zip(&self.free) {
            whole[k] = *value;
        }
        whole
    }
}

impl<M: Model> Model for Part<'_, M> {
    fn unknowns(&self) -> usize {
        self.free.len()
    }

    fn name(&self, j: usize) -> String {
        self.model.name(self.free[j])
    }

    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let whole = self.filled(p);
        let mut all = vec![0.0; whole.len()];
        let result = self.model.evaluate(x, &whole, &mut all)?;
        for (g, &k) in gradient.iter_mut().zip(&self.free) {
            *g = all[k];
        }
        Ok(result)
    }
}

/// Outcome of the search over a set of free unknowns.
enum Found {
    Minimum(Box<Solution>),
    /// Unknown `free[j]` ran into its bound.
    Bound(Vec<f64>, usize),
}

/// Fits a model from start values; `bounds` are empty, or one pair for each unknown. Also says which unknowns ended at
/// a bound; these have no covariance.
pub(super) fn solve_nonlinear<M: Model>(
    what: &'static str,
    model: &M,
    data: &Observations,
    start: &[f64],
    bounds: &[(f64, f64)],
    hint: &'static str,
) -> Result<(Solution, Vec<bool>)> {
    let unknowns = start.len();
    let mut whole = start.to_vec();
    let mut at_bound = vec![false; unknowns];
    // Each round holds or frees one unknown; no set of them needs more rounds than this.
    for _ in 0..8 * unknowns + 1 {
        let free: Vec<usize> = (0..unknowns).filter(|&k| !at_bound[k]).collect();
        let begin: Vec<f64> = free.iter().map(|&k| whole[k]).collect();
        let part = Part { model, whole: whole.clone(), free };
        if part.free.is_empty() {
            return Err(Error::Undetermined { what, parameter: "any unknown inside its bounds".into(), hint });
        }
        let limits: Vec<(f64, f64)> =
            part.free.iter().map(|&k| bounds.get(k).copied().unwrap_or((f64::NEG_INFINITY, f64::INFINITY))).collect();
        match search(what, &part, data, &begin, &limits, hint)? {
            Found::Bound(p, j) => {
                whole = part.filled(&p);
                at_bound[part.free[j]] = true;
            }
            Found::Minimum(solution) => {
                whole = part.filled(&solution.parameters);
                match released(model, data, &solution.adjusted_x, &whole, &at_bound, bounds)? {
                    Some(k) => at_bound[k] = false,
                    None => return Ok((spread_out(*solution, &part, &whole), at_bound)),
                }
            }
        }
    }
    Err(Error::NoConvergence { what, steps: 8 * unknowns + 1, last: whole[0], unit: "" })
}

/// Held unknown towards whose inside the sum of squares falls most.
fn released<M: Model>(
    model: &M,
    data: &Observations,
    adjusted: &[f64],
    whole: &[f64],
    at_bound: &[bool],
    bounds: &[(f64, f64)],
) -> Result<Option<usize>> {
    if !at_bound.contains(&true) {
        return Ok(None);
    }
    let (points, unknowns) = (data.x.len(), whole.len());
    let mut buffer = vec![0.0; Space::size(points, unknowns, data.is_dense())];
    let mut space = Space::new(&mut buffer, points, unknowns, data.is_dense(), adjusted);
    linearise::<M, 0>(model, data, whole, &mut space)?;
    whiten(data, data.is_stated(), &mut space).map_err(|row| not_definite(data, row))?;
    let residual = space.rhs.iter().map(|r| r * r).sum::<f64>().sqrt();
    let mut best = (1e-9, None);
    for k in (0..unknowns).filter(|&k| at_bound[k]) {
        let column = &space.design[k * points..(k + 1) * points];
        let length = column.iter().map(|v| v * v).sum::<f64>().sqrt();
        let downhill: f64 = column.iter().zip(space.rhs.iter()).map(|(a, b)| a * b).sum();
        // Cosine of the angle between residuals and column.
        let inwards = if whole[k] <= bounds[k].0 { downhill } else { -downhill } / (length * residual);
        if inwards > best.0 {
            best = (inwards, Some(k));
        }
    }
    Ok(best.1)
}

/// The solution over all unknowns, with zeros for held ones.
fn spread_out<M: Model>(solution: Solution, part: &Part<M>, whole: &[f64]) -> Solution {
    let (n, free) = (whole.len(), &part.free);
    let widen = |matrix: &[f64]| {
        let mut wide = vec![0.0; if matrix.is_empty() { 0 } else { n * n }];
        for (i, row) in matrix.chunks_exact(free.len()).enumerate() {
            for (j, v) in row.iter().enumerate() {
                wide[free[i] * n + free[j]] = *v;
            }
        }
        wide
    };
    Solution {
        parameters: whole.to_vec(),
        cofactor: widen(&solution.cofactor),
        shared: widen(&solution.shared),
        ..solution
    }
}

/// Linearises at the foot points of the observations; returns the sum of squares, infinite where there are none.
fn profile<M: Model>(model: &M, data: &Observations, p: &[f64], space: &mut Space) -> Result<f64> {
    let stated = data.is_stated();
    let exact_x = !stated || (data.x_errors.is_exact() && data.cross.is_none());
    let largest = data.y.iter().fold(f64::MIN_POSITIVE, |m, y| m.max(y.abs()));
    space.step.fill(0.0);
    let mut before = f64::INFINITY;
    for _ in 0..MAX_FOOT_STEPS {
        linearise::<M, 0>(model, data, p, space)?;
        if whiten(data, stated, space).is_err() {
            return Ok(f64::INFINITY);
        }
        let mut sum = 0.0;
        for r in space.rhs.iter() {
            sum += r * r;
        }
        if !sum.is_finite() {
            return Ok(f64::INFINITY);
        }
        if exact_x {
            return Ok(sum);
        }
        let kept: Vec<f64> = space.rhs.to_vec();
        let change = adjust(data, space) / largest;
        space.rhs.copy_from_slice(&kept);
        if change <= FOOT_CONVERGED || (change <= 1e-9 && change >= 0.5 * before) {
            return Ok(sum);
        }
        before = change;
    }
    Ok(f64::INFINITY)
}

fn search<M: Model>(
    what: &'static str,
    model: &M,
    data: &Observations,
    start: &[f64],
    limits: &[(f64, f64)],
    hint: &'static str,
) -> Result<Found> {
    let (points, unknowns) = (data.x.len(), start.len());
    if points < unknowns {
        return Err(Error::TooFewPoints { what, needed: unknowns, found: points, hint });
    }
    let dense = data.is_dense();
    let size = Space::size(points, unknowns, dense);
    let (mut first, mut second) = (vec![0.0; size], vec![0.0; size]);
    let mut here = Space::new(&mut first, points, unknowns, dense, data.x);
    let mut there = Space::new(&mut second, points, unknowns, dense, data.x);
    let mut p = start.to_vec();
    let mut sum = profile(model, data, &p, &mut here)?;
    if !sum.is_finite() {
        return Err(Error::ModelFailed { message: format!("no finite sum of squares at the start values {p:?}") });
    }
    let mut lengths = vec![0.0f64; unknowns];
    let (mut lambda, mut growth) = (1e-3, 2.0);
    let mut trials = 0;
    let mut steps = 0;
    let mut trial = vec![0.0; unknowns];
    let mut endgame = f64::INFINITY;
    loop {
        steps += 1;
        let ordinates = whitened_length(data, &here);
        for (column, length) in here.design.chunks_exact(points).zip(lengths.iter_mut()) {
            *length = length.max(column.iter().map(|v| v * v).sum::<f64>().sqrt());
        }
        scale_and_factorise::<0>(&mut here, points, unknowns).map_err(|j| open(what, model, j, hint))?;
        let rest = undamped_step::<0>(&mut here, unknowns).sqrt();
        let tangent = here.rhs[..unknowns].iter().map(|v| v * v).sum::<f64>().sqrt();
        let freedom = ((points - unknowns).max(1) as f64).sqrt();
        let offset = if rest > 0.0 { tangent * freedom / (rest * (unknowns as f64).sqrt()) } else { f64::INFINITY };
        let mut converged = offset <= OFFSET_CONVERGED || tangent <= EXACT_FIT * ordinates;
        let mut stalled = false;
        if !converged && offset <= ENDGAME {
            if offset < 0.95 * endgame {
                for j in 0..unknowns {
                    trial[j] = p[j] + here.step[j];
                }
                there.adjusted.copy_from_slice(here.adjusted);
                if first_bound(&p, &trial, limits).is_none() {
                    let new = profile(model, data, &trial, &mut there)?;
                    if new <= sum * (1.0 + ENDGAME * ENDGAME) {
                        std::mem::swap(&mut here, &mut there);
                        std::mem::swap(&mut p, &mut trial);
                        (sum, endgame) = (new, offset);
                        continue;
                    }
                }
            } else if endgame.is_finite() {
                converged = offset <= OFFSET_GOOD;
            }
        }
        // From here on trials, until one is better.
        loop {
            if converged || stalled {
                break;
            }
            damped_step(&mut here, points, unknowns, lambda, &lengths)?;
            for j in 0..unknowns {
                trial[j] = p[j] + here.step[j];
            }
            if let Some((j, limit)) = first_bound(&p, &trial, limits) {
                // Up to the bound and no further; there the unknown is held.
                let part = (limit - p[j]) / (trial[j] - p[j]);
                let mut at: Vec<f64> = p.iter().zip(here.step.iter()).map(|(v, s)| v + part * s).collect();
                at[j] = limit;
                there.adjusted.copy_from_slice(here.adjusted);
                if profile(model, data, &at, &mut there)? <= sum {
                    return Ok(Found::Bound(at, j));
                }
            } else {
                there.adjusted.copy_from_slice(here.adjusted);
                let new = profile(model, data, &trial, &mut there)?;
                let predicted = predicted_fall(&here, unknowns, lambda, &lengths);
                let gain = (sum - new) / predicted;
                if new.is_finite() && new < sum && gain > 0.0 {
                    std::mem::swap(&mut here, &mut there);
                    std::mem::swap(&mut p, &mut trial);
                    sum = new;
                    let t = 2.0 * gain - 1.0;
                    lambda *= (1.0 - t * t * t).max(1.0 / 10.0);
                    growth = 2.0;
                    break;
                }
            }
            trials += 1;
            // Nothing better to be found: at the minimum but for rounding, or lost.
            let lost = lambda > 1e18;
            if offset <= OFFSET_STALLED && (lambda > 1e3 || lost) {
                stalled = true;
                break;
            }
            if lost || trials > MAX_TRIALS {
                return Err(Error::NoConvergence { what, steps, last: p[0], unit: "" });
            }
            lambda *= growth;
            growth *= 2.0;
        }
        if converged || stalled {
            undamped_step::<0>(&mut here, unknowns);
            let better: Vec<f64> = p.iter().zip(here.step.iter()).map(|(v, s)| v + s).collect();
            let inside = first_bound(&p, &better, limits).is_none();
            if stalled || !inside {
                here.step.fill(0.0);
            }
            let end = if stalled || !inside { p } else { better };
            if !end.iter().all(|v| v.is_finite()) {
                return Err(Error::NoConvergence { what, steps, last: end[0], unit: "" });
            }
            let stop = if stalled { StopReason::Stalled } else { StopReason::Converged };
            return Ok(Found::Minimum(Box::new(finish::<0>(&mut here, data, end, sum, steps, stop))));
        }
        if steps > MAX_TRIALS {
            return Err(Error::NoConvergence { what, steps, last: p[0], unit: "" });
        }
    }
}

/// Length of the ordinates in units of their uncertainty.
fn whitened_length(data: &Observations, space: &Space) -> f64 {
    data.y.iter().zip(space.variances.iter()).map(|(y, v)| y * y / v).sum::<f64>().sqrt()
}

/// Solves the damped problem from the triangle of the undamped one.
fn damped_step(space: &mut Space, points: usize, unknowns: usize, lambda: f64, lengths: &[f64]) -> Result<()> {
    let rows = 2 * unknowns;
    let mut matrix = vec![0.0; rows * unknowns];
    let mut rhs = vec![0.0; rows];
    rhs[..unknowns].copy_from_slice(&space.rhs[..unknowns]);
    for j in 0..unknowns {
        for i in 0..j {
            matrix[j * rows + i] = space.design[j * points + i];
        }
        matrix[j * rows + j] = space.diagonal[j];
        matrix[j * rows + unknowns + j] = lambda.sqrt() * lengths[j] * space.scales[j];
    }
    let mut diagonal = vec![0.0; unknowns];
    triangularise(&mut matrix, rows, unknowns, &mut rhs, &mut diagonal);
    let mut inverse = vec![0.0; unknowns * unknowns];
    invert_triangle(&matrix, rows, unknowns, &diagonal, &mut inverse);
    triangle_times(&inverse, unknowns, &rhs, space.step);
    for (s, scale) in space.step.iter_mut().zip(space.scales.iter()) {
        *s *= scale;
    }
    Ok(())
}

/// Fall of the sum of squares that the linearised model promises for the damped step.
fn predicted_fall(space: &Space, unknowns: usize, lambda: f64, lengths: &[f64]) -> f64 {
    // |r|² − |r − J dp|² = |J dp|² + 2 λ |D dp|² for the damped solution.
    let points = space.misfit.len();
    let scaled: Vec<f64> = (0..unknowns).map(|j| space.step[j] / space.scales[j]).collect();
    let mut fall = 0.0;
    for i in 0..unknowns {
        let mut image = space.diagonal[i] * scaled[i];
        for j in i + 1..unknowns {
            image += space.design[j * points + i] * scaled[j];
        }
        fall += image * image;
        let damped = lengths[i] * space.step[i];
        fall += 2.0 * lambda * damped * damped;
    }
    fall
}

/// The bound that a step crosses first.
fn first_bound(from: &[f64], to: &[f64], limits: &[(f64, f64)]) -> Option<(usize, f64)> {
    let mut first: Option<(f64, usize, f64)> = None;
    for (j, (low, high)) in limits.iter().enumerate() {
        let limit = if to[j] < *low {
            *low
        } else if to[j] > *high {
            *high
        } else {
            continue;
        };
        let part = (limit - from[j]) / (to[j] - from[j]);
        if first.is_none_or(|(best, ..)| part < best) {
            first = Some((part, j, limit));
        }
    }
    first.map(|(_, j, limit)| (j, limit))
}
