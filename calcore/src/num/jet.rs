//! Enclosures of a function and its first three derivatives, carried through arithmetic together.

use super::enclosure::Enclosure;
use core::ops::{Add, Mul, Sub};

/// Most coefficients of a polynomial that a [`Jet`] is made of.
pub const MOST_COEFFICIENTS: usize = 16;

/// f, f', f''/2 and f'''/6 of a function at every point of a range, each enclosed.
///
/// # Formula
/// The coefficients of the Taylor series at a point follow rules of their own through arithmetic: those of a product are
/// the sums Σ a_j b_(k−j), those of exponential, logarithm and quotient a recursion. Every rule is applied to enclosures
/// over the whole range, so that the result holds for every point of it.
///
/// # Source
/// R. E. Moore, Interval Analysis (1966), chapter 11; L. B. Rall, Automatic Differentiation, Lecture Notes in Computer
/// Science 120 (1981) (both from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet(pub [Enclosure; 4]);

impl Jet {
    /// Nothing is known.
    pub const UNKNOWN: Self = Self([Enclosure::EVERYTHING; 4]);

    /// A constant.
    #[must_use]
    pub fn constant(value: Enclosure) -> Self {
        Self([value, Enclosure::ZERO, Enclosure::ZERO, Enclosure::ZERO])
    }

    /// The variable itself, over a range.
    #[must_use]
    pub fn variable(over: Enclosure) -> Self {
        Self([over, Enclosure::ONE, Enclosure::ZERO, Enclosure::ZERO])
    }

    /// The function.
    #[must_use]
    pub fn value(&self) -> Enclosure {
        self.0[0]
    }

    /// Its first derivative.
    #[must_use]
    pub fn slope(&self) -> Enclosure {
        self.0[1]
    }

    /// Its second derivative.
    #[must_use]
    pub fn curvature(&self) -> Enclosure {
        self.0[2] * Enclosure::point(2.0)
    }

    /// The derivative of an order, 0 to 3.
    #[must_use]
    pub fn derivative(&self, order: usize) -> Enclosure {
        match order {
            0 | 1 => self.0[order],
            2 => self.curvature(),
            _ => self.0[3] * Enclosure::point(6.0),
        }
    }

    /// The same times a number.
    #[must_use]
    pub fn scaled(&self, factor: Enclosure) -> Self {
        Self(self.0.map(|c| c * factor))
    }

    /// The function moved by a number.
    #[must_use]
    pub fn moved(&self, by: Enclosure) -> Self {
        let [c0, c1, c2, c3] = self.0;
        Self([c0 + by, c1, c2, c3])
    }

    /// Σ c_k x^k over a range: the polynomial is shifted to the middle of the range, where few terms cancel.
    ///
    /// At most [`MOST_COEFFICIENTS`]; for more nothing is known.
    ///
    /// # Formula
    /// Every number is carried as a double and a bound of its distance from the true one, which costs a third of what two
    /// ends do. About the middle the range is symmetric, so that the sum of the higher terms lies within
    /// ±Σ C(k, order) |b_k| r^(k − order), which is as tight as Horner's rule on enclosures would be.
    ///
    /// # Source
    /// N. J. Higham, Accuracy and Stability of Numerical Algorithms (2002), section 5.1 (running error bound).
    #[must_use]
    pub fn polynomial(coefficients: impl Iterator<Item = Enclosure>, over: Enclosure) -> Self {
        let (mut c, mut off) = ([0.0; MOST_COEFFICIENTS], [0.0; MOST_COEFFICIENTS]);
        let mut count = 0;
        for coefficient in coefficients {
            if count == MOST_COEFFICIENTS {
                return Self::UNKNOWN;
            }
            (c[count], off[count]) = (coefficient.middle(), coefficient.radius());
            count += 1;
        }
        let middle = over.middle();
        shift(&mut c[..count], &mut off[..count], middle);
        let away = over - Enclosure::point(middle);
        let radius = away.magnitude();
        let mut size = [0.0; MOST_COEFFICIENTS];
        for ((size, c), off) in size.iter_mut().zip(&c[..count]).zip(&off[..count]) {
            *size = c.abs() + off;
        }
        let mut jet = [Enclosure::ZERO; 4];
        for (order, place) in jet.iter_mut().enumerate().take(count) {
            let mut rest = 0.0;
            for k in (order + 1..count).rev() {
                // The smallest number stands for what a product loses by underflow.
                rest = (rest + BINOMIALS[order][k] * size[k]) * radius + f64::MIN_POSITIVE;
            }
            let around = (rest + off[order]) * INFLATION;
            *place = Enclosure::around(c[order], around);
        }
        Self(jet)
    }

    /// The function of another one: this jet is that of f over the values of `inner`.
    #[must_use]
    pub fn of(&self, inner: &Self) -> Self {
        let ([f0, f1, f2, f3], [_, g1, g2, g3]) = (self.0, inner.0);
        let two = Enclosure::point(2.0);
        Self([f0, f1 * g1, f1 * g2 + f2 * (g1 * g1), f1 * g3 + two * f2 * (g1 * g2) + f3 * (g1 * g1 * g1)])
    }

    /// The inverse function: this jet is that of y(x) over `x`; the result is that of x(y) there.
    #[must_use]
    pub fn inverse(&self, x: Enclosure) -> Self {
        let [_, g1, g2, g3] = self.0;
        let r = g1.reciprocal();
        let two = Enclosure::point(2.0);
        let cube = r * r * r;
        Self([x, r, -(g2 * cube), (two * (g2 * g2) - g1 * g3) * (cube * r * r)])
    }

    /// e^f.
    #[must_use]
    pub fn exponential(&self) -> Self {
        let [u0, u1, u2, u3] = self.0;
        let e = u0.exponential();
        let (half, third) = (Enclosure::point(0.5), Enclosure::ONE.divided_by(Enclosure::point(3.0)));
        // y_k = Σ (j/k) u_j y_(k−j), written for y_0 = 1.
        let c2 = u2 + half * (u1 * u1);
        let c3 = third * (u1 * c2 + Enclosure::point(2.0) * (u2 * u1)) + u3;
        Self([e, e * u1, e * c2, e * c3])
    }

    /// ln f.
    #[must_use]
    pub fn logarithm(&self) -> Self {
        let [u0, u1, u2, u3] = self.0;
        let third = Enclosure::ONE.divided_by(Enclosure::point(3.0));
        let y1 = u1.divided_by(u0);
        let y2 = (u2 - Enclosure::point(0.5) * (y1 * u1)).divided_by(u0);
        let y3 = (u3 - third * (y1 * u2 + Enclosure::point(2.0) * (y2 * u1))).divided_by(u0);
        Self([u0.logarithm(), y1, y2, y3])
    }

    /// 1/f.
    #[must_use]
    pub fn reciprocal(&self) -> Self {
        let [u0, u1, u2, u3] = self.0;
        let y0 = u0.reciprocal();
        let y1 = -(y0 * (u1 * y0));
        let y2 = -(y0 * (u1 * y1 + u2 * y0));
        let y3 = -(y0 * (u1 * y2 + u2 * y1 + u3 * y0));
        Self([y0, y1, y2, y3])
    }
}

/// More than rounding takes from a sum of positive terms in at most 512 steps.
const INFLATION: f64 = 1.0 + 512.0 * f64::EPSILON;

/// Coefficients of the same polynomial about another place, with the bounds of their errors, by synthetic division again and
/// again.
fn shift(c: &mut [f64], off: &mut [f64], to: f64) {
    let size = to.abs();
    let Some(last) = c.len().checked_sub(1) else { return };
    for done in 0..last {
        for k in (done..last).rev() {
            let product = c[k + 1] * to;
            let sum = c[k] + product;
            // Half a unit in the last place for the product and for the sum; taken twice, for what the bound itself loses.
            off[k] += off[k + 1] * size + f64::EPSILON * (sum.abs() + product.abs()) + f64::MIN_POSITIVE;
            c[k] = sum;
        }
    }
}

/// C(k, order) for order 0 to 3.
const BINOMIALS: [[f64; MOST_COEFFICIENTS]; 4] = binomials();

const fn binomials() -> [[f64; MOST_COEFFICIENTS]; 4] {
    let mut table = [[0.0; MOST_COEFFICIENTS]; 4];
    let mut k = 0;
    while k < MOST_COEFFICIENTS {
        table[0][k] = 1.0;
        if k > 0 {
            let mut order = 1;
            while order < 4 {
                table[order][k] = table[order][k - 1] + table[order - 1][k - 1];
                order += 1;
            }
        }
        k += 1;
    }
    table
}

impl Add for Jet {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let ([a0, a1, a2, a3], [b0, b1, b2, b3]) = (self.0, other.0);
        Self([a0 + b0, a1 + b1, a2 + b2, a3 + b3])
    }
}

impl Sub for Jet {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        let ([a0, a1, a2, a3], [b0, b1, b2, b3]) = (self.0, other.0);
        Self([a0 - b0, a1 - b1, a2 - b2, a3 - b3])
    }
}

impl Mul for Jet {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let ([a0, a1, a2, a3], [b0, b1, b2, b3]) = (self.0, other.0);
        Self([a0 * b0, a0 * b1 + a1 * b0, a0 * b2 + a1 * b1 + a2 * b0, a0 * b3 + a1 * b2 + a2 * b1 + a3 * b0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(jet: &Jet, derivatives: [f64; 4]) {
        for (order, wanted) in derivatives.into_iter().enumerate() {
            let found = jet.derivative(order);
            assert!(found.contains(wanted), "{order}: {found:?} {wanted}");
            assert!(found.width() <= 1e-13 * (1.0 + wanted.abs()), "{order}: {found:?}");
        }
    }

    // Witness: derivatives by hand; at x = 2 all of them are exact in binary or have few operations.
    #[test]
    fn derivatives_of_known_functions() {
        let x = Jet::variable(Enclosure::point(2.0));
        // x³: 8, 12, 12, 6.
        near(&(x * x * x), [8.0, 12.0, 12.0, 6.0]);
        let cubic = [1.0, -2.0, 0.0, 3.0].map(Enclosure::point);
        near(&Jet::polynomial(cubic.into_iter(), Enclosure::point(2.0)), [21.0, 34.0, 36.0, 18.0]);
        // 1/x: 1/2, −1/4, 1/4, −3/8.
        near(&x.reciprocal(), [0.5, -0.25, 0.25, -0.375]);
        // ln x: 1/x, −1/x², 2/x³.
        near(&x.logarithm(), [core::f64::consts::LN_2, 0.5, -0.25, 0.25]);
        // e^(−x²/4) = f, at 2: f' = −f, f'' = (1 − 1/2) f, f''' = (3/2 − 1) f, with f = 1/e.
        let bell = (x * x).scaled(Enclosure::point(-0.25)).exponential();
        let f = libm::exp(-1.0);
        near(&bell, [f, -f, 0.5 * f, 0.5 * f]);
        // Square root as the inverse of y = x² at y = 4: 2, 1/4, −1/32, 3/256.
        near(&(x * x).inverse(Enclosure::point(2.0)), [2.0, 0.25, -1.0 / 32.0, 3.0 / 256.0]);
        // ln(x³) by composition: 3 ln x.
        let cube = x * x * x;
        let outer = Jet::variable(cube.value()).logarithm();
        near(&outer.of(&cube), [3.0 * core::f64::consts::LN_2, 1.5, -0.75, 0.75]);
    }

    #[test]
    fn too_long_a_polynomial_is_not_guessed() {
        let ones = [Enclosure::ONE; MOST_COEFFICIENTS + 1];
        assert_eq!(Jet::polynomial(ones.into_iter(), Enclosure::ONE), Jet::UNKNOWN);
        let none = Jet::polynomial([].into_iter(), Enclosure::ONE);
        assert_eq!(none, Jet::constant(Enclosure::ZERO));
    }
}
