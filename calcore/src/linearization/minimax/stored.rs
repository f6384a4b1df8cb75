//! A polynomial or a quotient as it is stored, and the error that its numbers and its arithmetic make.

use crate::linearization::proof::Approximation;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// Numerator and denominator in powers of z = (x − centre) · scale, with exact arithmetic.
#[derive(Debug, Clone)]
pub(super) struct Quotient<'a> {
    pub(super) centre: f64,
    pub(super) scale: f64,
    pub(super) numerator: &'a [f64],
    /// Empty for a polynomial.
    pub(super) denominator: &'a [f64],
}

impl Approximation for Quotient<'_> {
    fn jet(&self, x: &Jet) -> Jet {
        let z = x.moved(-Enclosure::point(self.centre)).scaled(Enclosure::point(self.scale));
        let of = |c: &[f64]| Jet::polynomial(c.iter().map(|&ck| Enclosure::point(ck)), z.value()).of(&z);
        let numerator = of(self.numerator);
        if self.denominator.is_empty() { numerator } else { numerator * of(self.denominator).reciprocal() }
    }
}

impl Quotient<'_> {
    /// Smallest size of the denominator for arguments between two, with z off by so much.
    pub(super) fn least_denominator(&self, low: f64, high: f64, z_error: f64) -> f64 {
        let z = (Enclosure::new(low, high) - Enclosure::point(self.centre)) * Enclosure::point(self.scale)
            + Enclosure::new(-z_error, z_error);
        running(self.denominator, z, 0.0, 0.0).0.mignitude()
    }

    /// What rounding to nearest in every step adds at most for arguments between two, for a unit of rounding.
    ///
    /// # Formula
    /// Running error bound of Horner's rule, with the largest values that the steps take over the range: a step adds one
    /// rounding of its product and one of its sum, and what was wrong before is multiplied by |z|; z itself is off by two
    /// roundings.
    ///
    /// # Source
    /// N. J. Higham, Accuracy and Stability of Numerical Algorithms (2002), section 5.1.
    pub(super) fn rounding(&self, low: f64, high: f64, unit: f64) -> f64 {
        let z = (Enclosure::new(low, high) - Enclosure::point(self.centre)) * Enclosure::point(self.scale);
        let z_error = 2.0 * unit * z.magnitude() * (1.0 + unit);
        let (p, p_error) = running(self.numerator, z, z_error, unit);
        if self.denominator.is_empty() {
            return p_error;
        }
        let (q, q_error) = running(self.denominator, z, z_error, unit);
        let least = q.mignitude() - q_error;
        if least <= 0.0 {
            return f64::INFINITY;
        }
        // p/q moved by both errors, and the rounding of the quotient.
        let value = p.magnitude() / least;
        ((p_error + value * q_error) / least + unit * value) * (1.0 + 8.0 * unit)
    }
}

/// The values of a polynomial over a range by Horner's rule, and the bound of its rounding.
fn running(c: &[f64], z: Enclosure, z_error: f64, unit: f64) -> (Enclosure, f64) {
    let Some((&last, rest)) = c.split_last() else { return (Enclosure::ZERO, 0.0) };
    let (mut sum, mut error) = (Enclosure::point(last), 0.0);
    let size = z.magnitude() + z_error;
    for &ck in rest.iter().rev() {
        let product = sum * z;
        let wrong = error * size + sum.magnitude() * z_error;
        sum = product + Enclosure::point(ck);
        error = wrong + unit * (product.magnitude() + wrong);
        error += unit * (sum.magnitude() + error);
    }
    (sum, error)
}
