//! Coverage factors that belong to the shapes of the contributions, where one or two rectangles dominate.
//!
//! Student's distribution at the effective degrees of freedom supposes that many sources together look normal. Two named
//! ways for where they do not: [`trapezoid_coverage_factor`] takes the two dominating rectangles alone;
//! [`coverage_factor_of_shapes`] convolves all contributions. (EA-4/02 M:2022, S10, the temperature block: 1.797 and 1.830.)

use crate::error::{Error, Result, not_negative};
use crate::num::special::{normal_quantile, student_quantile};
use crate::uncertainty::budget::{Budget, Contribution};
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::distribution::Shape;
use std::f64::consts::PI;

/// Part of the combined uncertainty below which a shape cannot be told from a normal one: what it changes in k goes with
/// the fourth power.
const LEAST_PART: f64 = 1e-3;

/// Size below which the terms of the series are left out.
const LEAST_TERM: f64 = 1e-13;

/// Most terms of the series. A rectangle with an arcsine, which fall slowest, are then off by less than 1e-9.
const MOST_TERMS: usize = 1 << 17;

/// Standard deviations of the normal part beyond which nothing lies: 1e-19 of probability.
const NORMAL_REACH: f64 = 9.0;

/// Coverage factor of the sum of two rectangles, a trapezoid.
///
/// # Formula
/// With β = |a₁ − a₂|/(a₁ + a₂): k = (1 − √((1 − p)(1 − β²)))/√((1 + β²)/6) where p is past the flat top, which is for
/// p ≥ 2β/(1 + β); else k = p (1 + β)/(2 √((1 + β²)/6)).
///
/// # Arguments
/// Half-widths of the rectangles in the unit of the result (half-width times sensitivity); 0 for none.
///
/// # Errors
/// [`Error::OutOfRange`] for the probability; [`Error::InvalidValue`] for a negative half-width, or none above 0.
///
/// # Source
/// EA-4/02 M:2022, S10.14 and S9.15 (one rectangle: 1.65 at 95 %).
///
/// # Example
/// ```
/// use calcore::uncertainty::shapes::trapezoid_coverage_factor;
/// assert!((trapezoid_coverage_factor(0.25, 0.10, 0.95)? - 1.797).abs() < 0.0005);
/// assert!((trapezoid_coverage_factor(0.05, 0.0, 0.95)? - 1.645).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn trapezoid_coverage_factor(first_half_width: f64, second_half_width: f64, probability: f64) -> Result<f64> {
    Coverage::Probability(probability).check()?;
    let first = not_negative("half-width", first_half_width, "")?;
    let second = not_negative("half-width", second_half_width, "")?;
    let largest = first.max(second);
    if largest <= 0.0 {
        return Err(Error::InvalidValue {
            what: "larger half-width",
            value: largest,
            unit: "",
            requirement: "it must be greater than 0".into(),
        });
    }
    let (first, second) = (first / largest, second / largest);
    let beta = (first - second).abs() / (first + second);
    let root = ((1.0 + beta * beta) / 6.0).sqrt();
    Ok(if probability * (1.0 + beta) >= 2.0 * beta {
        // 1 − β² from the half-widths, exact where they are alike.
        let product = 4.0 * first * second / ((first + second) * (first + second));
        (1.0 - ((1.0 - probability) * product).sqrt()) / root
    } else {
        0.5 * probability * (1.0 + beta) / root
    })
}

/// Half-width of the interval about the estimate that covers with a probability, over the combined standard uncertainty,
/// from the convolution of all independent contributions.
///
/// Rectangles, triangles and arcsines enter with their shape; normal contributions together are widened by t/z, at the
/// same probability and their own effective degrees of freedom. Kinds that need more than their standard uncertainty to be
/// told (trapezoid, inexact limits, Student, exponential, gamma, another budget) count as normal, and so does what is less
/// than a thousandth of the whole.
///
/// # Formula
/// P(|X| ≤ U) = U/L + Σ 2 φ(πn/L) sin(πnU/L)/(πn), φ the product of the characteristic functions exp(−σ²w²/2), sin(aw)/(aw)
/// (for a triangle its square at half the argument), J₀(aw), and ±L beyond all that can occur; to about nine digits.
///
/// # Errors
/// [`Error::OutOfRange`] for the probability; [`Error::NoConvergence`].
///
/// # Source
/// EA-4/02 M:2022, S10.14 (that dominating rectangles need it); the Fourier series of a density on an interval (textbooks).
///
/// # Example
/// ```
/// use calcore::uncertainty::shapes::coverage_factor_of_shapes;
/// use calcore::uncertainty::{Contribution, Distribution};
/// let line = |half: f64| Contribution::of("x", &Distribution::rectangular(-half, half)?, 1.0);
/// let k = coverage_factor_of_shapes(&[line(0.25)?, line(0.10)?], 0.95)?;
/// assert!((k - 1.797).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn coverage_factor_of_shapes(contributions: &[Contribution], probability: f64) -> Result<f64> {
    Coverage::Probability(probability).check()?;
    let z = normal_quantile(0.5 * (1.0 + probability))?;
    let largest = contributions.iter().map(|line| line.contribution.abs()).fold(0.0, f64::max);
    if largest <= 0.0 {
        return Ok(z);
    }
    let u = contributions.iter().map(|line| (line.contribution / largest) * (line.contribution / largest));
    let u = largest * u.sum::<f64>().sqrt();
    let mut sum = Sum::default();
    let mut fourths = 0.0;
    for line in contributions {
        let part = line.contribution.abs() / u;
        let shape = if part < LEAST_PART { Shape::Normal } else { line.shape };
        match shape {
            Shape::Rectangular => sum.rectangles.push(part * 3f64.sqrt()),
            // A triangle is the sum of two equal rectangles of half its width.
            Shape::Triangular => sum.rectangles.extend([part * 1.5f64.sqrt(); 2]),
            Shape::UShaped => sum.arcsines.push(part * 2f64.sqrt()),
            _ => {
                sum.variance += part * part;
                fourths += part * part * part * part / line.degrees_of_freedom;
            }
        }
    }
    if fourths > 0.0 {
        let t = student_quantile(0.5 * (1.0 + probability), sum.variance * sum.variance / fourths)?;
        sum.variance *= (t / z) * (t / z);
    }
    sum.half_width(probability)
}

/// Independent contributions by their shapes, in units of the combined standard uncertainty.
#[derive(Debug, Default)]
struct Sum {
    variance: f64,
    rectangles: Vec<f64>,
    arcsines: Vec<f64>,
}

impl Sum {
    /// Half-width of the interval about zero that holds the probability.
    fn half_width(&self, probability: f64) -> Result<f64> {
        match (self.variance > 0.0, self.rectangles.as_slice(), self.arcsines.as_slice()) {
            (true, [], []) => Ok(self.variance.sqrt() * normal_quantile(0.5 * (1.0 + probability))?),
            (false, [a], []) => Ok(probability * a),
            (false, [a, b], []) => {
                let root = ((a * a + b * b) / 3.0).sqrt();
                Ok(root * trapezoid_coverage_factor(*a, *b, probability)?)
            }
            (false, [], [a]) => Ok(a * libm::sin(0.5 * PI * probability)),
            _ => self.by_series(probability),
        }
    }

    /// The characteristic function, and a bound of its size from there on.
    fn characteristic(&self, w: f64) -> (f64, f64) {
        let mut value = libm::exp(-0.5 * self.variance * w * w);
        let mut bound = value;
        for a in &self.rectangles {
            let x = a * w;
            value *= libm::sin(x) / x;
            bound *= (1.0 / x).min(1.0);
        }
        for a in &self.arcsines {
            let x = a * w;
            value *= libm::j0(x);
            bound *= (2.0 / (PI * x)).sqrt().min(1.0);
        }
        (value, bound)
    }

    fn by_series(&self, probability: f64) -> Result<f64> {
        let shapes = self.rectangles.iter().chain(&self.arcsines).sum::<f64>();
        let reach = shapes + NORMAL_REACH * self.variance.sqrt();
        let base = PI / reach;
        let mut terms = Vec::new();
        for n in 1..=MOST_TERMS {
            let w = base * n as f64;
            let (value, bound) = self.characteristic(w);
            terms.push(value);
            if bound < LEAST_TERM * n as f64 {
                break;
            }
        }
        // Probability within ±x and its derivative.
        let within = |x: f64| {
            let (mut inside, mut density) = (x / reach, 1.0 / reach);
            for (i, value) in terms.iter().enumerate() {
                let n = (i + 1) as f64;
                let (sine, cosine) = libm::sincos(base * n * x);
                inside += 2.0 * value * sine / (PI * n);
                density += 2.0 * value * cosine / reach;
            }
            (inside, density)
        };
        // Newton from the normal factor, halved where it would leave what is known to bracket the answer.
        let (mut low, mut high) = (0.0, reach);
        let mut x = normal_quantile(0.5 * (1.0 + probability))?.min(0.5 * reach);
        for _ in 0..100 {
            let (inside, density) = within(x);
            if inside < probability {
                low = x;
            } else {
                high = x;
            }
            let next = x - (inside - probability) / density;
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            if (next - x).abs() <= 1e-11 * x {
                return Ok(next);
            }
            x = next;
        }
        Err(Error::NoConvergence { what: "coverage factor of shapes", steps: 100, last: x, unit: "" })
    }
}

impl Budget {
    /// The same budget with the coverage factor that belongs to the shapes of its lines.
    ///
    /// # Errors
    /// Those of [`coverage_factor_of_shapes`]; [`Error::InvalidValue`] for a budget with correlated lines or second-order
    /// terms, whose convolution this is not: there Monte Carlo gives the interval.
    pub fn with_coverage_of_shapes(mut self, probability: f64) -> Result<Self> {
        let squares: f64 = self.contributions.iter().map(|line| line.contribution * line.contribution).sum();
        let variance = self.standard_uncertainty * self.standard_uncertainty;
        if (squares - variance).abs() > 1e-9 * variance {
            return Err(Error::InvalidValue {
                what: "standard uncertainty of the budget",
                value: self.standard_uncertainty,
                unit: "",
                requirement:
                    "it must be that of its independent lines; for correlated or second-order ones take Monte \
                              Carlo"
                        .into(),
            });
        }
        self.coverage_factor = coverage_factor_of_shapes(&self.contributions, probability)?;
        self.coverage_probability = probability;
        self.expanded_uncertainty = self.coverage_factor * self.standard_uncertainty;
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn k(parts: &[(Shape, f64)], probability: f64) -> f64 {
        let lines: Vec<Contribution> = parts
            .iter()
            .map(|(shape, u)| Contribution::new("x", 0.0, *u, *shape, f64::INFINITY, 1.0).unwrap())
            .collect();
        coverage_factor_of_shapes(&lines, probability).unwrap()
    }

    #[test]
    fn single_shapes() {
        // Quantiles of the shapes: 0.95 √3, (1 − √0.05) √6, √2 sin(0.475 π); normal: scipy.stats.norm.
        let root = f64::sqrt;
        assert!((k(&[(Shape::Rectangular, 2.0)], 0.95) - 0.95 * root(3.0)).abs() < 1e-14);
        assert!((k(&[(Shape::Triangular, 2.0)], 0.95) - (1.0 - root(0.05)) * root(6.0)).abs() < 1e-14);
        assert!((k(&[(Shape::UShaped, 2.0)], 0.95) - root(2.0) * libm::sin(0.475 * PI)).abs() < 1e-14);
        assert!((k(&[(Shape::Normal, 2.0)], 0.95) - 1.959_963_984_540_054).abs() < 1e-14);
    }

    #[test]
    fn series_agrees_with_closed_forms() {
        // The series itself, on shapes that have a closed form and would otherwise not go through it: Irwin and Hall's sum
        // of four rectangles ±1 (JCGM 101:2008, 9.2.3): at 95 % 2 (2 − (3/5)^(1/4))  in units of a.
        let four = k(&[(Shape::Rectangular, 1.0); 4], 0.95);
        let end = 2.0 * 3f64.sqrt() * (2.0 - 0.6f64.powf(0.25));
        assert!((2.0 * four - end).abs() < 1e-10, "{four} {end}");
        for (a, b) in [(1.0, 0.4), (1.0, 1.0), (1.0, 0.05)] {
            let sum = Sum { variance: 0.0, rectangles: vec![a, b], arcsines: vec![] };
            let closed = ((a * a + b * b) / 3.0).sqrt() * trapezoid_coverage_factor(a, b, 0.95).unwrap();
            let series = sum.by_series(0.95).unwrap();
            assert!((series - closed).abs() < 1e-8, "{a} {b}: {series} {closed}");
        }
    }

    #[test]
    fn dominating_rectangles_of_the_block() {
        // EA-4/02 M:2022, S10: standard 0.015 normal; half-widths 0.04, 0.05, 0.10, 0.25, 0.05, 0.03 K. Printed: k = 1.8.
        // All seven convolved: tests/reference/shape_coverage.csv, checked with the others there.
        let mut parts = vec![(Shape::Normal, 0.015)];
        parts.extend([0.04, 0.05, 0.10, 0.25, 0.05, 0.03].map(|a| (Shape::Rectangular, a / 3f64.sqrt())));
        let all = k(&parts, 0.95);
        assert!((all - 1.8).abs() < 0.05, "{all}");
        assert!((trapezoid_coverage_factor(0.25, 0.1, 0.95).unwrap() - 1.797).abs() < 0.0005);
    }

    #[test]
    fn few_readings_widen_the_normal_part() {
        let line = |nu: f64| Contribution::new("x", 0.0, 1.0, Shape::Normal, nu, 1.0).unwrap();
        // One normal line with 4 degrees: Student's 2.776 (JCGM 100:2008, table G.2: 2.78).
        let found = coverage_factor_of_shapes(&[line(4.0)], 0.95).unwrap();
        assert!((found - 2.776_445_105_197_793).abs() < 1e-12, "{found}");
        assert!((coverage_factor_of_shapes(&[], 0.95).unwrap() - 1.959_963_984_540_054).abs() < 1e-14);
    }

    #[test]
    fn a_budget_takes_the_factor() {
        let line =
            |a: f64| Contribution::new("x", 0.0, a / 3f64.sqrt(), Shape::Rectangular, f64::INFINITY, 1.0).unwrap();
        let budget = Budget::from_contributions(0.0, vec![line(1.0)], Coverage::Factor(2.0)).unwrap();
        let budget = budget.with_coverage_of_shapes(0.95).unwrap();
        assert!((budget.expanded_uncertainty - 0.95).abs() < 1e-14);
        let matrix = crate::uncertainty::correlation::Correlation::new(2, &[1.0, 0.5, 0.5, 1.0]).unwrap();
        let lines = vec![line(1.0), line(1.0)];
        let tied = Budget::from_correlated_contributions(0.0, lines, &matrix, Coverage::Factor(2.0)).unwrap();
        assert_eq!(tied.with_coverage_of_shapes(0.95).map_err(|e| e.code()).map(|_| ()), Err(103));
        assert_eq!(trapezoid_coverage_factor(0.0, 0.0, 0.95).map_err(|e| e.code()), Err(103));
        assert_eq!(trapezoid_coverage_factor(1.0, -1.0, 0.95).map_err(|e| e.code()), Err(103));
        assert_eq!(trapezoid_coverage_factor(1.0, 1.0, 1.0).map_err(|e| e.code()), Err(102));
    }
}
