//! Probabilities of two correlated normal quantities.
//!
//! Both ways below add positive numbers only, so that small probabilities keep their digits.

use crate::error::{Result, finite, within};
use crate::num::quadrature::integrate;
use crate::num::special::{normal_cdf, normal_interval};
use std::f64::consts::{FRAC_PI_2, PI};

/// Accuracy of the integrals: what sums of doubles can hold.
const ACCURACY: f64 = 2e-14;

/// (1/2π) ∫ exp(−(h − k)²/(2 sin²θ) − hk/(1 + cos θ)) dθ between two angles of 0 to π/2.
fn arc(h: f64, k: f64, from: f64, to: f64) -> Result<f64> {
    let (d, product) = ((h - k).abs(), h * k);
    // Where sin θ is below d/60 the integrand is below exp(−900).
    let least = libm::asin((d / 60.0).min(1.0));
    let from = from.max(least);
    if from >= to {
        return Ok(0.0);
    }
    // About θ = d the integrand rises from nothing, and then levels off like 1 − d²/2θ²: steps that grow eightfold see it.
    let mut points = [to; 24];
    points[0] = from;
    let mut next = (d / 8.0).max(4.0 * from);
    for point in points.iter_mut().skip(1) {
        if d <= 0.0 || next >= to / 4.0 {
            break;
        }
        *point = next;
        next *= 8.0;
    }
    let half_square = 0.5 * d * d;
    let integral = integrate("bivariate normal probability", &points, ACCURACY, |theta| {
        let (sine, cosine) = libm::sincos(theta);
        libm::exp(-half_square / (sine * sine) - product / (1.0 + cosine))
    })?;
    Ok(integral.value / (2.0 * PI))
}

/// P(X > h, Y > k) for standard normal X and Y with correlation cos φ, 0 ≤ φ ≤ π/2. Limits may be infinite.
pub(crate) fn both_above(h: f64, k: f64, phi: f64) -> Result<f64> {
    if h == f64::INFINITY || k == f64::INFINITY {
        return Ok(0.0);
    }
    if h == f64::NEG_INFINITY {
        return Ok(normal_cdf(-k));
    }
    if k == f64::NEG_INFINITY {
        return Ok(normal_cdf(-h));
    }
    Ok(normal_cdf(-h) * normal_cdf(-k) + arc(h, k, phi, FRAC_PI_2)?)
}

/// P(X > h, Y < k) for standard normal X and Y with correlation cos φ, 0 ≤ φ ≤ π/2. Limits may be infinite.
pub(crate) fn above_and_below(h: f64, k: f64, phi: f64) -> Result<f64> {
    if h == f64::INFINITY || k == f64::NEG_INFINITY {
        return Ok(0.0);
    }
    if h == f64::NEG_INFINITY {
        return Ok(normal_cdf(k));
    }
    if k == f64::INFINITY {
        return Ok(normal_cdf(-h));
    }
    Ok(normal_interval(h, k) + arc(h, k, 0.0, phi)?)
}

/// P(X > h, Y > k) for standard normal X and Y with a correlation.
///
/// Good to 1e-12 of itself, however small, for limits whose distance in units of √(1 − r²) keeps its digits.
///
/// # Formula
/// With r = cos φ ≥ 0: Q(h) Q(k) + (1/2π) ∫_φ^{π/2} exp(−(h² − 2hk cos θ + k²)/(2 sin²θ)) dθ; for r < 0 the complement
/// P(X > h) − P(X > h, −Y > −k), in which the same integral from 0 to φ remains.
///
/// # Errors
/// [`crate::Error::NotFinite`] for NaN, [`crate::Error::OutOfRange`] for a correlation outside −1 to 1.
///
/// # Source
/// R. L. Plackett, Biometrika 41 (1954) 351 (derivative with respect to the correlation).
///
/// # Example
/// ```
/// use calcore::num::bivariate_normal::upper_orthant;
/// // Sheppard: at the means 1/4 + asin(r)/2π.
/// assert!((upper_orthant(0.0, 0.0, 0.5)? - 1.0 / 3.0).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn upper_orthant(h: f64, k: f64, correlation: f64) -> Result<f64> {
    for limit in [h, k] {
        if limit.is_nan() {
            finite("limit", limit)?;
        }
    }
    within("correlation", correlation, -1.0, 1.0)?;
    // The angle whose cosine is |r|, with its digits also near 1.
    let r = correlation.abs();
    let phi = libm::atan2(libm::sqrt((1.0 - r) * (1.0 + r)), r);
    if correlation < 0.0 { above_and_below(h, -k, phi) } else { both_above(h, k, phi) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with 25 digits as ∫ φ(x) Q((k − r x)/√(1 − r²)) dx by `tests/oracle/bivariate_normal.py`: another formula.
    const ORACLE: &str = include_str!("../../../tests/reference/bivariate_normal.csv");

    #[test]
    fn orthants_of_the_oracle() {
        let mut rows = 0;
        for line in ORACLE.lines().skip(1) {
            let row: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
            let got = upper_orthant(row[0], row[1], row[2]).unwrap();
            // 1e-12 of itself; the smallest number that is normal where nothing is left.
            assert!((got - row[3]).abs() <= 1e-12 * row[3] + 1e-300, "{row:?}: {got:e}, {:e}", got / row[3] - 1.0);
            rows += 1;
        }
        assert!(rows >= 150, "{rows}");
    }

    #[test]
    fn orthants_with_closed_forms() {
        for r in [-1.0, -0.999_999, -0.7, 0.0, 0.3, 0.95, 1.0] {
            // Sheppard 1899.
            let want = 0.25 + libm::asin(r) / (2.0 * PI);
            assert!((upper_orthant(0.0, 0.0, r).unwrap() - want).abs() < 1e-15, "{r}");
        }
        let q = normal_cdf(-1.5);
        assert!((upper_orthant(1.5, -0.5, 1.0).unwrap() - q).abs() < 1e-16);
        assert_eq!(upper_orthant(1.5, f64::NEG_INFINITY, 0.4).unwrap(), q);
        assert_eq!(upper_orthant(f64::INFINITY, 0.0, -0.4).unwrap(), 0.0);
    }

    #[test]
    fn impossible_arguments_are_refused() {
        assert_eq!(upper_orthant(f64::NAN, 0.0, 0.0).map_err(|e| e.code()), Err(101));
        assert_eq!(upper_orthant(0.0, 0.0, 1.5).map_err(|e| e.code()), Err(102));
    }
}
