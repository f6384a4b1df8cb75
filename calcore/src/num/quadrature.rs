//! Integrals of functions of one variable, by bisection where they bend.
//!
//! The kept crates for quadrature hold rules of fixed order, which give no error estimate, or take their exponentials from
//! the platform, so that the bits would differ from machine to machine.

use crate::constants::kronrod::KRONROD_21;
use crate::error::{Error, Result};

/// Bisections after which an integral is given up; smooth functions need a handful, a step a hundred.
const MAX_BISECTIONS: usize = 2000;

/// An integral with what is known of its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Integral {
    /// The value.
    pub value: f64,
    /// Estimate of the absolute error, on the safe side for smooth functions.
    pub error: f64,
}

/// A piece of the interval.
#[derive(Clone, Copy)]
struct Piece {
    low: f64,
    high: f64,
    value: f64,
    error: f64,
}

/// The rule on one piece. The error estimate is the difference of the two rules, sharpened as in QUADPACK: for a smooth
/// function the 21-point rule is far better than that difference, which is the error of the 10-point rule.
fn piece(f: &impl Fn(f64) -> f64, low: f64, high: f64) -> Piece {
    let (middle, half) = (low + 0.5 * (high - low), 0.5 * (high - low));
    let mut values = [(0.0, 0.0); KRONROD_21.len()];
    let (mut kronrod, mut gauss, mut absolute) = (0.0, 0.0, 0.0);
    for ((node, weight, gauss_weight), pair) in KRONROD_21.iter().zip(&mut values) {
        let right = f(middle + half * node);
        // The node in the middle counts once.
        let left = if *node > 0.0 { f(middle - half * node) } else { 0.0 };
        *pair = (left, right);
        kronrod += weight * (left + right);
        gauss += gauss_weight * (left + right);
        absolute += weight * (left.abs() + right.abs());
    }
    let mean = 0.5 * kronrod;
    let variation: f64 = KRONROD_21
        .iter()
        .zip(&values)
        .map(|((node, weight, _), (left, right))| {
            weight * ((right - mean).abs() + if *node > 0.0 { (left - mean).abs() } else { 0.0 })
        })
        .sum();
    let difference = (kronrod - gauss).abs();
    let sharpened = if variation > 0.0 && difference > 0.0 {
        let ratio = 200.0 * difference / variation;
        variation * (ratio * ratio.sqrt()).min(1.0)
    } else {
        difference
    };
    // No sum of 21 terms is better than this.
    let rounding = 4.0 * f64::EPSILON * absolute;
    Piece { low, high, value: kronrod * half, error: sharpened.max(rounding) * half.abs() }
}

/// Integral of `f` from the first to the last of `points`, which ascend; the points between are where it bends: the pieces
/// between them are halved where the error is largest until the whole is good to `relative` of its value.
///
/// # Method
/// Gauss-Kronrod rule with 10 and 21 points. It is exact for polynomials to degree 31.
///
/// # Errors
/// [`Error::NotFinite`] when the function or its integral is not finite, [`Error::NoConvergence`] when the accuracy is not
/// reached.
///
/// # Source
/// R. Piessens and others, QUADPACK (1983).
///
/// # Example
/// ```
/// use calcore::num::quadrature::integrate;
/// let sine = integrate("sine", &[0.0, std::f64::consts::PI], 1e-13, f64::sin)?;
/// assert!((sine.value - 2.0).abs() < 1e-14);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn integrate(what: &'static str, points: &[f64], relative: f64, f: impl Fn(f64) -> f64) -> Result<Integral> {
    let mut pieces = Vec::with_capacity(16);
    for pair in points.windows(2) {
        if pair[1] > pair[0] {
            pieces.push(piece(&f, pair[0], pair[1]));
        }
    }
    let sum = |pieces: &[Piece]| {
        pieces.iter().fold((0.0, 0.0), |(value, error), piece| (value + piece.value, error + piece.error))
    };
    for bisections in 0..=MAX_BISECTIONS {
        let (value, error): (f64, f64) = sum(&pieces);
        if !value.is_finite() {
            return Err(Error::NotFinite { what, value, position: None });
        }
        // Below the smallest normal number there are no digits to be had.
        if error <= relative * value.abs() || error < f64::MIN_POSITIVE {
            return Ok(Integral { value, error });
        }
        let mut worst = 0;
        for (i, piece) in pieces.iter().enumerate() {
            if piece.error > pieces[worst].error {
                worst = i;
            }
        }
        let Piece { low, high, .. } = pieces[worst];
        let middle = low + 0.5 * (high - low);
        if bisections == MAX_BISECTIONS || middle <= low || middle >= high {
            return Err(Error::NoConvergence { what, steps: bisections, last: value, unit: "" });
        }
        pieces[worst] = piece(&f, low, middle);
        pieces.push(piece(&f, middle, high));
    }
    // The loop returns at its last turn.
    Err(Error::NoConvergence { what, steps: MAX_BISECTIONS, last: f64::NAN, unit: "" })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with 60 digits by `tests/oracle/kronrod.py`.
    const ORACLE: &str = include_str!("../../../tests/reference/kronrod.csv");

    #[test]
    fn the_rule_is_that_of_the_oracle() {
        let rows: Vec<Vec<f64>> =
            ORACLE.lines().skip(1).map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect()).collect();
        assert_eq!(rows.len(), KRONROD_21.len());
        for (row, (node, weight, gauss)) in rows.iter().zip(KRONROD_21) {
            assert_eq!((row[0], row[1], row[2]), (node, weight, gauss));
        }
    }

    #[test]
    fn integrals_with_closed_forms() {
        let close = |points: &[f64], f: fn(f64) -> f64, want: f64| {
            let got = integrate("test", points, 1e-13, f).unwrap();
            assert!((got.value - want).abs() <= 2e-13 * want.abs(), "{} against {want}", got.value);
            assert!((got.value - want).abs() <= got.error + f64::EPSILON * want.abs());
        };
        // Degree 31 is exact: x^30 from -1 to 1 is 2/31.
        close(&[-1.0, 1.0], |x| x.powi(30), 2.0 / 31.0);
        close(&[0.0, 1.0], f64::exp, 1f64.exp() - 1.0);
        // A kink that is named, a root that is not smooth at its end, a peak a millionth wide.
        close(&[-1.0, 0.3, 2.0], |x| (x - 0.3).abs(), 0.5 * (1.69 + 2.89));
        close(&[0.0, 1.0], f64::sqrt, 2.0 / 3.0);
        close(&[-1.0, 0.0, 1.0], |x| 1e-6 / (x * x + 1e-12), 2.0 * 1e6f64.atan());
    }

    #[test]
    fn what_has_no_integral_is_refused() {
        assert_eq!(integrate("test", &[0.0, 1.0], 1e-13, |_| f64::NAN).map_err(|e| e.code()), Err(101));
        assert!(integrate("test", &[0.0, 1.0], 1e-13, |x| 1.0 / x).is_err());
        assert_eq!(integrate("test", &[1.0, 1.0], 1e-13, |x| x).unwrap().value, 0.0);
    }
}
