//! Polynomials and quotients in integers.

use super::Minimax;
use super::stored::Quotient;
use crate::error::{Error, Result};
use crate::linearization::firmware::{PLACE_FRACTION, place, quotient_fixed};
use crate::linearization::fixed_point::FixedPoint;
use crate::linearization::readings::largest_error_of_all;
use crate::linearization::relation::Relation;

/// Bits that a sum of Horner's rule may have, so that its product with z stays below 63.
const SUM_BITS: i32 = 62 - PLACE_FRACTION as i32;

/// The integers of a polynomial or quotient.
///
/// # Formula
/// z in parts of 2⁻²⁴: Z = (X − centre)·2²⁴/half, rounded. Horner: S = c_k + S·Z/2²⁴, rounded, in parts of the coefficients.
/// Result: S in parts of the value, rounded; for a quotient S_n·2^(fraction of the value)/S_d, rounded. Every rounding is
/// that of [`crate::linearization::firmware::divide_rounded`], in integers of 64 bits.
#[derive(Debug, Clone, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct FixedCoefficients {
    /// Format of the reading.
    pub argument: FixedPoint,
    /// Format of the result.
    pub value: FixedPoint,
    /// Format of the coefficients.
    pub coefficient: FixedPoint,
    /// Reading of z = 0.
    pub centre: i64,
    /// Readings from z = 0 to z = 1.
    pub half: i64,
    /// Of the numerator, ascending.
    pub numerator: Vec<i64>,
    /// Of the denominator; empty for a polynomial.
    pub denominator: Vec<i64>,
}

impl FixedCoefficients {
    /// Rounds an approximation, whose numbers become those that the integers stand for.
    pub(super) fn new(
        found: &mut Minimax,
        argument: FixedPoint,
        value: FixedPoint,
        coefficient: FixedPoint,
    ) -> Result<Self> {
        let centre = libm::round(found.centre / argument.unit());
        let half = libm::ceil(1.0 / (found.scale * argument.unit())) + 1.0;
        let (low, high) = argument.codes();
        for end in [centre - half, centre + half] {
            // The ends themselves are moved outwards by rounding; the readings lie inside.
            if end < low as f64 - 3.0 || end > high as f64 + 3.0 {
                argument.holds("argument", end)?;
            }
        }
        // z of the integers is not quite z of the doubles: the coefficients follow.
        let (new_centre, new_scale) = (centre * argument.unit(), 1.0 / (half * argument.unit()));
        let (shift, stretch) = ((new_centre - found.centre) * found.scale, found.scale / new_scale);
        for c in [&mut found.numerator, &mut found.denominator] {
            substitute(c, shift, stretch);
        }
        if let Some(&one) = found.denominator.first() {
            found.numerator.iter_mut().chain(&mut found.denominator).for_each(|c| *c /= one);
        }
        (found.centre, found.scale) = (new_centre, new_scale);
        let mut all = Self {
            argument,
            value,
            coefficient,
            centre: centre as i64,
            half: half as i64,
            numerator: Vec::new(),
            denominator: Vec::new(),
        };
        for (numbers, codes) in
            [(&mut found.numerator, &mut all.numerator), (&mut found.denominator, &mut all.denominator)]
        {
            for number in numbers {
                let code = coefficient.code("coefficient", *number)?;
                codes.push(code);
                *number = coefficient.number(code);
            }
        }
        all.check_sums(found)?;
        Ok(all)
    }

    /// No sum or product may leave 63 bits.
    fn check_sums(&self, found: &Minimax) -> Result<()> {
        let size = |c: &[f64]| c.iter().fold(0.0, |sum, ck| sum + ck.abs()) / self.coefficient.unit() + 16.0;
        let sum = size(&found.numerator).max(size(&found.denominator));
        let shifted = if self.denominator.is_empty() {
            0.0
        } else {
            libm::ldexp(size(&found.numerator), self.value.fraction_bits.max(0))
        };
        if sum < libm::ldexp(1.0, SUM_BITS) && shifted < libm::ldexp(1.0, 62) {
            return Ok(());
        }
        Err(Error::InvalidValue {
            what: "fraction of the coefficients",
            value: f64::from(self.coefficient.fraction_bits),
            unit: "bit",
            requirement:
                "the sums of Horner's rule must fit in 63 bits with 24 bits of z (for a quotient with the fraction \
                          of the value): fewer bits behind the point"
                    .into(),
        })
    }

    /// The integer for the integer of a reading.
    pub(super) fn read(&self, code: i64) -> i64 {
        let z = place(code, self.centre, self.half);
        let shift = self.coefficient.fraction_bits - self.value.fraction_bits;
        quotient_fixed(z, &self.numerator, &self.denominator, shift, self.value.fraction_bits)
    }

    pub(super) fn evaluate(&self, x: f64) -> f64 {
        self.value.number(self.read(libm::round(x / self.argument.unit()) as i64))
    }

    /// Largest error over every reading of the range, if they are not too many.
    pub(super) fn try_all(&self, relation: &Relation<'_>) -> Option<f64> {
        largest_error_of_all(relation, self.argument, self.value, |code| self.read(code))
    }

    /// What rounding adds at most for arguments between two: half a unit of each step, z by half of 2⁻²⁴.
    pub(super) fn rounding(&self, quotient: &Quotient<'_>, low: f64, high: f64) -> f64 {
        let z_error = libm::ldexp(0.5, -(PLACE_FRACTION as i32));
        let z = (low - quotient.centre).abs().max((high - quotient.centre).abs()) * quotient.scale + z_error;
        let steps = |c: &[f64]| {
            let (mut size, mut error) = (0.0, 0.0);
            for (k, ck) in c.iter().rev().enumerate() {
                error = if k == 0 { 0.0 } else { error * z + size * z_error + 0.5 * self.coefficient.unit() };
                size = size * z + ck.abs();
            }
            (size, error)
        };
        let (p, p_error) = steps(quotient.numerator);
        if quotient.denominator.is_empty() {
            return p_error + 0.5 * self.value.unit();
        }
        let (_, q_error) = steps(quotient.denominator);
        let least = quotient.least_denominator(low, high, z_error) - q_error;
        if least <= 0.0 {
            return f64::INFINITY;
        }
        (p_error + p / least * q_error) / least + 0.5 * self.value.unit()
    }
}

/// Coefficients for z = shift + stretch z', in place: Horner's rule on polynomials. (z = z'/scale' · scale + shift.)
fn substitute(c: &mut [f64], shift: f64, stretch: f64) {
    let mut sum = vec![0.0; c.len()];
    for &ck in c.iter().rev() {
        for k in (0..sum.len()).rev() {
            sum[k] = shift * sum[k] + if k > 0 { stretch * sum[k - 1] } else { ck };
        }
    }
    c.copy_from_slice(&sum);
}
