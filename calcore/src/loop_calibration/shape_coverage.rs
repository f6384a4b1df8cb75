//! The coverage factor that belongs to the shapes of the contributions, where a rectangle or two dominate.

use super::terms::ScopedTerm;
use crate::error::{Error, Result};
use crate::num::special::{normal_quantile, student_quantile};
use crate::uncertainty::Shape;

/// Half the width of the interval about the error that covers it with a probability, over the standard uncertainty.
///
/// # Formula
/// P(|X| ≤ U) = (2/π) ∫₀^∞ sin(U w)/w φ(w) dw, φ the product of the characteristic functions of the contributions:
/// exp(−σ²w²/2), sin(aw)/(aw), its square for triangles, J₀ for arcsines. The normal contributions together are widened by
/// t/z at the same probability and their effective degrees of freedom.
///
/// # Source
/// J. Gil-Pelaez, Biometrika 38 (1951) 481 (inversion); EA-4/02 M:2022 S10.14 (that two dominating rectangles need it).
pub(super) fn coverage_factor_of_shapes(terms: &[ScopedTerm], probability: f64) -> Result<f64> {
    let u = terms.iter().map(ScopedTerm::variance_k2).sum::<f64>().sqrt();
    let z = normal_quantile(0.5 * (1.0 + probability))?;
    if u <= 0.0 {
        return Ok(z);
    }
    // In units of the combined standard uncertainty.
    let (mut normal, mut fourths, mut others) = (0.0, 0.0, Vec::new());
    for term in terms {
        let part = (term.sensitivity * term.standard_uncertainty).abs() / u;
        // What is less than a thousandth changes nothing that is printed.
        let shape = if part < 1e-3 { Shape::Normal } else { term.distribution };
        match shape {
            Shape::Rectangular => others.push((Shape::Rectangular, part * 3f64.sqrt())),
            Shape::Triangular => others.push((Shape::Triangular, part * 6f64.sqrt())),
            Shape::UShaped => others.push((Shape::UShaped, part * 2f64.sqrt())),
            _ => {
                normal += part * part;
                fourths += part * part * part * part / term.degrees_of_freedom;
            }
        }
    }
    if fourths > 0.0 {
        let t = student_quantile(0.5 * (1.0 + probability), normal * normal / fourths)?;
        normal *= (t / z) * (t / z);
    }
    // A little normal blur, a thousandth, lets the integral end; it is taken off nowhere and changes nothing printed.
    normal += 1e-4;
    let characteristic = |w: f64| {
        let mut product = libm::exp(-0.5 * normal * w * w);
        for (shape, a) in &others {
            let x = a * w;
            let sinc = |x: f64| if x.abs() < 1e-8 { 1.0 } else { libm::sin(x) / x };
            product *= match shape {
                Shape::Rectangular => sinc(x),
                Shape::Triangular => sinc(0.5 * x) * sinc(0.5 * x),
                _ => libm::j0(x),
            };
        }
        product
    };
    // Midpoints of steps short against the shortest wave, up to where the blur has ended it: exp(−σ²w²/2) < 1e-12.
    let end = (55.0 / normal).sqrt();
    let step = 0.05f64.min(end / 200.0);
    let steps = (end / step).ceil() as usize;
    let table: Vec<(f64, f64)> = (0..steps)
        .map(|i| {
            let w = (i as f64 + 0.5) * step;
            (w, characteristic(w))
        })
        .collect();
    // Probability within ±k and its derivative, twice the density at k.
    let covered = |k: f64| {
        let (mut within, mut density) = (0.0, 0.0);
        for (w, f) in &table {
            let (sine, cosine) = libm::sincos(k * w);
            within += sine * f / w;
            density += cosine * f;
        }
        let scale = step * 2.0 / std::f64::consts::PI;
        (within * scale, density * scale)
    };
    // Newton from the normal factor, halved where it would leave what is known to bracket the answer.
    let (mut low, mut high, mut k) = (0.0, 10.0 * z, z);
    for _ in 0..60 {
        let (within, density) = covered(k);
        if within < probability {
            low = k;
        } else {
            high = k;
        }
        let next = k - (within - probability) / density;
        let next = if next > low && next < high { next } else { 0.5 * (low + high) };
        if (next - k).abs() <= 1e-12 * k {
            return Ok(next);
        }
        k = next;
    }
    let (what, last) = ("coverage factor of shapes", k);
    Err(Error::NoConvergence { what, steps: 60, last, unit: "" })
}

#[cfg(test)]
mod tests {
    use super::super::terms::Scope;
    use super::*;

    fn k(parts: &[(Shape, f64)]) -> f64 {
        let terms: Vec<ScopedTerm> =
            parts.iter().map(|(shape, u)| ScopedTerm::kelvin(Scope::Private, "x", *shape, *u)).collect();
        coverage_factor_of_shapes(&terms, 0.95).unwrap()
    }

    /// Factors of single shapes at 95 % by their own distribution functions: rectangle 0.95 √3 = 1.645, triangle
    /// (1 − √0.05) √6 = 1.902, arcsine sin(0.475 π) √2 = 1.410, normal 1.960. The blur of a hundredth widens the edges
    /// of the arcsine most.
    #[test]
    fn single_shapes() {
        assert!((k(&[(Shape::Normal, 1.0)]) - 1.960).abs() < 0.001);
        assert!((k(&[(Shape::Rectangular, 1.0)]) - 1.645).abs() < 0.001);
        assert!((k(&[(Shape::Triangular, 1.0)]) - 1.902).abs() < 0.001);
        assert!((k(&[(Shape::UShaped, 1.0)]) - 1.410).abs() < 0.01);
    }

    /// Two rectangles of 2.5 : 1 make a trapezoid with edge parameter 0.4286: its factor at 95 % is
    /// (1 − √((1 − p)(1 − β²))) / √((1 + β²)/6) = 1.797 (closed form).
    #[test]
    fn two_rectangles_are_a_trapezoid() {
        let beta: f64 = 1.5 / 3.5;
        let closed = (1.0 - (0.05 * (1.0 - beta * beta)).sqrt()) / ((1.0 + beta * beta) / 6.0).sqrt();
        assert!((k(&[(Shape::Rectangular, 2.5), (Shape::Rectangular, 1.0)]) - closed).abs() < 0.001);
    }
}
