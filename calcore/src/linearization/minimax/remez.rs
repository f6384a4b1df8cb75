//! The exchange of Remez, for polynomials and for quotients of two.
//!
//! On a reference of as many points as there are unknowns the approximation is found whose errors there are equal and of
//! alternating sign; then the points move to the extremes of its error, until these are equal themselves. Polynomials are
//! sums of Chebyshev polynomials meanwhile, so that the equations stay well conditioned.
//!
//! # Source
//! E. Ya. Remez, C. R. Acad. Sci. Paris 198 (1934) 2063-2065 (from memory); L. Veidinger, Numer. Math. 2 (1960) 99-105
//! (exchange of all points; from memory); E. W. Cheney, Introduction to Approximation Theory (1966), chapters 3 and 5
//! (alternation; from memory).

use super::quotient;
use crate::error::{Error, Result};
use nalgebra::{DMatrix, DVector};

/// Exchanges, at most; a smooth function needs four to eight of all points, one with many extremes tens of single ones.
const EXCHANGES: usize = 200;

/// How far extremes may differ from each other, as a part of the largest: what is lost by stopping there.
const LEVEL: f64 = 1e-6;

/// Steps of the error inside the equations of a quotient.
const QUOTIENT_STEPS: usize = 40;

/// What is accepted when rounding keeps the extremes from getting more level.
const LEVEL_ENOUGH: f64 = 1e-3;

/// The function by samples: z from −1 to 1, ascending, and y.
pub(super) struct Target<'a> {
    pub(super) z: &'a [f64],
    pub(super) y: &'a [f64],
}

/// Sum of Chebyshev polynomials over one of those, and the extremes of its error.
#[derive(Debug, Clone)]
pub(super) struct Best {
    pub(super) numerator: Vec<f64>,
    /// The first one is 1; only that for a polynomial.
    pub(super) denominator: Vec<f64>,
    /// Numbers of the samples at which the error is extreme, and the error there (approximation less function).
    pub(super) extremes: Vec<(usize, f64)>,
}

/// Σ c_k T_k(z) by Clenshaw's recurrence.
#[inline]
pub(super) fn chebyshev_sum(c: &[f64], z: f64) -> f64 {
    let (mut b1, mut b2) = (0.0, 0.0);
    for &ck in c.iter().skip(1).rev() {
        (b1, b2) = (ck + 2.0 * z * b1 - b2, b1);
    }
    c.first().copied().unwrap_or(0.0) + z * b1 - b2
}

/// Coefficients of the powers of z from those of the Chebyshev polynomials.
pub(super) fn powers(c: &[f64]) -> Vec<f64> {
    let n = c.len();
    let mut sum = vec![0.0; n];
    let (mut before, mut here) = (vec![0.0; n], vec![0.0; n]);
    if n > 0 {
        before[0] = 1.0;
        sum[0] += c[0];
    }
    if n > 1 {
        here[1] = 1.0;
        sum[1] += c[1];
    }
    for &ck in c.iter().skip(2) {
        let mut next = vec![0.0; n];
        for k in 0..n {
            next[k] = if k > 0 { 2.0 * here[k - 1] } else { 0.0 } - before[k];
        }
        (before, here) = (here, next);
        for (s, t) in sum.iter_mut().zip(&here) {
            *s += ck * t;
        }
    }
    sum
}

impl Best {
    pub(super) fn at(&self, z: f64) -> f64 {
        let numerator = chebyshev_sum(&self.numerator, z);
        if self.denominator.len() > 1 { numerator / chebyshev_sum(&self.denominator, z) } else { numerator }
    }
}

/// The best approximation with given degrees.
///
/// For a quotient the equations on a reference are solved by repetition first, which is quick; where that leads nowhere, as
/// an eigenvalue problem ([`quotient::solve`]).
pub(super) fn best(target: &Target<'_>, numerator: usize, denominator: usize, floor: f64) -> Result<Best> {
    let repeated = |reference: &[usize], level: f64| solve(target, reference, numerator, denominator, level);
    let found = exchange(target, numerator, denominator, floor, repeated);
    if found.is_ok() || denominator == 0 {
        return found;
    }
    let eigenvalue = |reference: &[usize], _| quotient::solve(target, reference, numerator, denominator);
    exchange(target, numerator, denominator, floor, eigenvalue).or(found)
}

/// The exchange of Remez with a way to solve the equations on a reference, from the error of the reference before.
fn exchange(
    target: &Target<'_>,
    numerator: usize,
    denominator: usize,
    floor: f64,
    solve: impl Fn(&[usize], f64) -> Option<(Best, f64)>,
) -> Result<Best> {
    let unknowns = numerator + denominator + 2;
    let last = target.z.len() - 1;
    // First reference: the extremes of a Chebyshev polynomial.
    let mut reference: Vec<usize> = (0..unknowns)
        .map(|i| {
            let z = -libm::cos(core::f64::consts::PI * i as f64 / (unknowns - 1) as f64);
            target.z.partition_point(|&have| have < z).min(last)
        })
        .collect();
    let (mut level, mut highest) = (0.0, 0.0);
    let mut found: Option<(f64, Best)> = None;
    let mut all_points = true;
    for _ in 0..EXCHANGES {
        let Some((mut trial, e)) = solve(&reference, level) else { break };
        level = e;
        let errors: Vec<f64> = target.z.iter().zip(target.y).map(|(&z, &y)| trial.at(z) - y).collect();
        let (largest, extremes) = alternation(&errors, unknowns);
        if !largest.is_finite() {
            break;
        }
        trial.extremes = extremes.iter().map(|&i| (i, errors[i])).collect();
        let unlevel = 1.0 - e.abs() / largest;
        let rises = e.abs() > highest;
        highest = e.abs().max(highest);
        if found.as_ref().is_none_or(|(before, _)| largest < *before) {
            found = Some((largest, trial));
        }
        if unlevel < LEVEL || largest <= floor {
            break;
        }
        // The level rises with every exchange; where the exchange of all points at once does not raise it (too many
        // extremes to choose from), one at a time does.
        all_points &= rises && extremes.len() == unknowns;
        let next = if all_points { extremes } else { with_largest(&reference, &errors) };
        if next == reference {
            break;
        }
        reference = next;
    }
    let Some((largest, best)) = found else {
        return Err(no_quotient(denominator));
    };
    if denominator > 0 && !keeps_sign(&best.denominator) {
        return Err(no_quotient(denominator));
    }
    // A polynomial is known by its level; a quotient by its extremes themselves.
    let least = best.extremes.iter().fold(f64::INFINITY, |least, (_, e)| least.min(e.abs()));
    let unlevel = 1.0 - if denominator == 0 { highest } else { least } / largest;
    // An error of the size of rounding has no extremes of its own.
    if largest > 1e3 * floor && (best.extremes.len() < unknowns || unlevel > LEVEL_ENOUGH) {
        return Err(Error::NoConvergence { what: "minimax approximation", steps: EXCHANGES, last: unlevel, unit: "" });
    }
    Ok(best)
}

fn no_quotient(denominator: usize) -> Error {
    Error::Undetermined {
        what: "minimax approximation",
        parameter: format!("a denominator of degree {denominator} without a zero in the range"),
        hint: "choose a lower degree of the denominator or another range",
    }
}

/// Whether a denominator stays positive, by samples; the proof encloses it.
fn keeps_sign(denominator: &[f64]) -> bool {
    (0..=512).all(|i| chebyshev_sum(denominator, f64::from(i) / 256.0 - 1.0) > 0.0)
}

/// The approximation with equal errors of alternating sign at a reference, and that error.
fn solve(
    target: &Target<'_>,
    reference: &[usize],
    numerator: usize,
    denominator: usize,
    level: f64,
) -> Option<(Best, f64)> {
    let n = reference.len();
    let steps = if denominator == 0 { 1 } else { QUOTIENT_STEPS };
    let mut e = level;
    let mut solution = None;
    for _ in 0..steps {
        // p(z) − (y + σ e) (q(z) − 1) − σ E = y, linear in p, q − 1 and E for the e of the step before.
        let mut matrix = DMatrix::<f64>::zeros(n, n);
        let mut right = DVector::<f64>::zeros(n);
        for (row, &sample) in reference.iter().enumerate() {
            let (z, y) = (target.z[sample], target.y[sample]);
            let sign = if row % 2 == 0 { 1.0 } else { -1.0 };
            let mut t = (1.0, z);
            for k in 0..=numerator.max(denominator) {
                if k <= numerator {
                    matrix[(row, k)] = t.0;
                }
                if k >= 1 && k <= denominator {
                    matrix[(row, numerator + k)] = -(y + sign * e) * t.0;
                }
                t = (t.1, 2.0 * z * t.1 - t.0);
            }
            matrix[(row, n - 1)] = -sign;
            right[row] = y;
        }
        let x = matrix.lu().solve(&right)?;
        let next = x[n - 1];
        let mut q = vec![1.0];
        q.extend((1..=denominator).map(|k| x[numerator + k]));
        let p: Vec<f64> = (0..=numerator).map(|k| x[k]).collect();
        if !next.is_finite() {
            return None;
        }
        let settled = (next - e).abs() <= 1e-12 * next.abs();
        e = next;
        solution = Some(Best { numerator: p, denominator: q, extremes: Vec::new() });
        if settled {
            break;
        }
    }
    solution.map(|best| (best, e))
}

/// The reference with the place of the largest error in it, in place of the neighbour with an error of the same sign.
fn with_largest(reference: &[usize], errors: &[f64]) -> Vec<usize> {
    let mut next = reference.to_vec();
    let Some(place) = (0..errors.len()).max_by(|&a, &b| errors[a].abs().total_cmp(&errors[b].abs())) else {
        return next;
    };
    let same = |i: usize| (errors[i] > 0.0) == (errors[place] > 0.0);
    let after = reference.partition_point(|&i| i < place);
    let last = reference.len() - 1;
    match after {
        // Before the first or behind the last one: with the other sign the row moves on by one.
        0 if !same(reference[0]) => {
            next.rotate_right(1);
            next[0] = place;
        }
        0 => next[0] = place,
        k if k > last && !same(reference[last]) => {
            next.rotate_left(1);
            next[last] = place;
        }
        k if k > last => next[last] = place,
        k if same(reference[k]) => next[k] = place,
        k => next[k - 1] = place,
    }
    next
}

/// The largest error, and extremes of alternating sign, as many as are wanted if there are, with the largest among them.
fn alternation(errors: &[f64], wanted: usize) -> (f64, Vec<usize>) {
    // One extreme of each run of one sign.
    let mut extremes: Vec<usize> = Vec::new();
    for (i, e) in errors.iter().enumerate() {
        if e.is_nan() {
            return (f64::NAN, extremes);
        }
        match extremes.last_mut() {
            Some(last) if (errors[*last] > 0.0) == (*e > 0.0) => {
                if e.abs() > errors[*last].abs() {
                    *last = i;
                }
            }
            _ => extremes.push(i),
        }
    }
    let largest = extremes.iter().fold(0.0f64, |most, &i| most.max(errors[i].abs()));
    // Too many: the smallest goes with a neighbour (or alone at an end), so that signs go on alternating.
    while extremes.len() > wanted {
        let size = |k: usize| errors[extremes[k]].abs();
        let end = extremes.len() - 1;
        if extremes.len() == wanted + 1 {
            extremes.remove(if size(0) < size(end) { 0 } else { end });
            continue;
        }
        let pair = (0..end).min_by(|&a, &b| size(a).max(size(a + 1)).total_cmp(&size(b).max(size(b + 1))));
        let k = pair.unwrap_or(0);
        let ends_smaller = size(0).min(size(end)) < size(k).max(size(k + 1));
        if ends_smaller {
            extremes.remove(if size(0) < size(end) { 0 } else { end });
        } else {
            extremes.drain(k..=k + 1);
        }
    }
    (largest, extremes)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: T3 = 4 z³ − 3 z, T4 = 8 z⁴ − 8 z² + 1.
    #[test]
    fn powers_of_chebyshev_polynomials() {
        assert_eq!(powers(&[0.0, 0.0, 0.0, 1.0]), [0.0, -3.0, 0.0, 4.0]);
        assert_eq!(powers(&[0.0, 0.0, 0.0, 0.0, 1.0]), [1.0, 0.0, -8.0, 0.0, 8.0]);
        assert_eq!(chebyshev_sum(&[1.0, 2.0, 3.0], 0.5), 1.0 + 1.0 - 1.5);
    }

    // Witness: the best approximation of z^n by lower degrees is off by 2^(1−n), at the extremes of T_n (Chebyshev).
    #[test]
    fn a_power_by_lower_ones() {
        let z: Vec<f64> = (0..=4000).map(|i| -libm::cos(core::f64::consts::PI * f64::from(i) / 4000.0)).collect();
        for n in 2..10u32 {
            let y: Vec<f64> = z.iter().map(|z| z.powi(n as i32)).collect();
            let best = best(&Target { z: &z, y: &y }, n as usize - 1, 0, 1e-15).unwrap();
            let wanted = 0.5f64.powi(n as i32 - 1);
            for &(_, e) in &best.extremes {
                // Samples lie within 4e-4 of an extreme: (n 4e-4)²/2 of the error.
                assert!((e.abs() / wanted - 1.0).abs() < 1e-5, "{n}: {e} {wanted}");
            }
            assert_eq!(best.extremes.len(), n as usize + 1);
        }
    }

    // Witness: |error| of the best r(z) = p1/q1 for e^z on −1..1: 0.020 970 (E. W. Cheney, table of best rational
    // approximations; from memory 2.1e-2), found again here by the alternation of four equal extremes.
    #[test]
    fn an_exponential_by_a_quotient() {
        let z: Vec<f64> = (0..=4000).map(|i| f64::from(i) / 2000.0 - 1.0).collect();
        let y: Vec<f64> = z.iter().map(|&z| libm::exp(z)).collect();
        let best = best(&Target { z: &z, y: &y }, 1, 1, 1e-15).unwrap();
        assert_eq!(best.extremes.len(), 4);
        let sizes: Vec<f64> = best.extremes.iter().map(|(_, e)| e.abs()).collect();
        assert!(sizes.iter().all(|e| (e / sizes[0] - 1.0).abs() < 1e-5), "{sizes:?}");
        assert!((sizes[0] - 0.021).abs() < 0.0005, "{sizes:?}");
    }
}
