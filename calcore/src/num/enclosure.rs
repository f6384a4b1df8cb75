//! Interval arithmetic with outward rounding: what is proven about a range of values stands on it.
//!
//! # Source
//! IEEE Std 1788-2015, clause 10 (meaning of the operations); here with the ends moved outwards after rounding to nearest
//! instead of directed rounding, which costs up to two units in the last place and needs no change of the processor's
//! state.

use core::ops::{Add, Mul, Neg, Sub};

/// All numbers from `low` to `high`: a proven statement about a number that is not known exactly.
///
/// # Example
/// ```
/// use calcore::num::enclosure::Enclosure;
/// let third = Enclosure::point(1.0).divided_by(Enclosure::point(3.0));
/// assert!(third.low < third.high && third.contains(1.0 / 3.0) && third.width() < 2e-16);
/// let square = Enclosure::new(-1.0, 2.0) * Enclosure::new(-1.0, 2.0);
/// assert!(square.contains(-2.0) && square.contains(4.0) && !square.contains(4.1));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enclosure {
    /// Not above the number.
    pub low: f64,
    /// Not below the number.
    pub high: f64,
}

/// Certainly below x, by at most two units in the last place.
#[inline(always)]
fn down(x: f64) -> f64 {
    x - (f64::EPSILON * x.abs() + f64::MIN_POSITIVE)
}

/// Certainly above x, by at most two units in the last place.
#[inline(always)]
fn up(x: f64) -> f64 {
    x + (f64::EPSILON * x.abs() + f64::MIN_POSITIVE)
}

impl Enclosure {
    /// Nothing is known.
    pub const EVERYTHING: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };
    /// Zero.
    pub const ZERO: Self = Self { low: 0.0, high: 0.0 };
    /// One.
    pub const ONE: Self = Self { low: 1.0, high: 1.0 };

    /// From one end to the other; everything where an end is not a number.
    #[must_use]
    #[inline]
    pub fn new(low: f64, high: f64) -> Self {
        if low <= high { Self { low, high } } else { Self::EVERYTHING }
    }

    /// A number that a double holds exactly.
    #[must_use]
    #[inline]
    pub const fn point(value: f64) -> Self {
        Self { low: value, high: value }
    }

    /// A number of which a double is the nearest one, such as a constant printed in decimals.
    #[must_use]
    #[inline]
    pub fn rounded(value: f64) -> Self {
        Self::outward(value, value)
    }

    /// All numbers no farther from another than a distance; everything where one of the two is not a number.
    #[must_use]
    #[inline]
    pub fn around(middle: f64, distance: f64) -> Self {
        Self::outward(middle - distance, middle + distance)
    }

    /// The ends moved outwards; everything where one is not a number.
    #[inline]
    fn outward(low: f64, high: f64) -> Self {
        Self::new(down(low), up(high))
    }

    /// Distance of the ends, rounded up.
    #[must_use]
    #[inline]
    pub fn width(self) -> f64 {
        up(self.high - self.low)
    }

    /// A number between the ends.
    #[must_use]
    #[inline]
    pub fn middle(self) -> f64 {
        (self.low + 0.5 * (self.high - self.low)).clamp(self.low, self.high)
    }

    /// Largest distance of a number inside from [`Enclosure::middle`], rounded up.
    #[must_use]
    #[inline]
    pub fn radius(self) -> f64 {
        let middle = self.middle();
        up((self.high - middle).max(middle - self.low))
    }

    /// Largest absolute value.
    #[must_use]
    #[inline]
    pub fn magnitude(self) -> f64 {
        self.low.abs().max(self.high.abs())
    }

    /// Smallest absolute value.
    #[must_use]
    #[inline]
    pub fn mignitude(self) -> f64 {
        if self.contains(0.0) { 0.0 } else { self.low.abs().min(self.high.abs()) }
    }

    /// Whether the value lies inside.
    #[must_use]
    #[inline]
    pub fn contains(self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// Whether no value of this one lies outside the other.
    #[must_use]
    #[inline]
    pub fn is_within(self, other: Self) -> bool {
        self.low >= other.low && self.high <= other.high
    }

    /// Whether it is all above or all below zero.
    #[must_use]
    #[inline]
    pub fn has_one_sign(self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }

    /// The smallest one that holds both.
    #[must_use]
    #[inline]
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// What lies in both: for two proven statements about the same number.
    #[must_use]
    #[inline]
    pub fn meet(self, other: Self) -> Self {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        // Two true statements never contradict each other; should rounding say so, either one is still true.
        if low <= high { Self { low, high } } else { self }
    }

    /// 1/x; everything where x may be zero.
    #[must_use]
    #[inline]
    pub fn reciprocal(self) -> Self {
        if self.has_one_sign() { Self::outward(1.0 / self.high, 1.0 / self.low) } else { Self::EVERYTHING }
    }

    /// Quotient; everything where the divisor may be zero.
    #[must_use]
    #[inline]
    pub fn divided_by(self, divisor: Self) -> Self {
        if !divisor.has_one_sign() {
            return Self::EVERYTHING;
        }
        let ends = [self.low / divisor.low, self.low / divisor.high, self.high / divisor.low, self.high / divisor.high];
        Self::of_ends(ends)
    }

    /// e^x. (The library's exponential is within one unit in the last place; two steps outwards are taken.)
    #[must_use]
    pub fn exponential(self) -> Self {
        let wide = Self::outward(libm::exp(self.low), libm::exp(self.high));
        Self { low: wide.low.max(0.0), high: up(wide.high) }
    }

    /// Natural logarithm; everything where x may not be positive.
    #[must_use]
    pub fn logarithm(self) -> Self {
        if self.low > 0.0 {
            Self::outward(down(libm::log(self.low)), up(libm::log(self.high)))
        } else {
            Self::EVERYTHING
        }
    }

    /// The hull of four products or quotients, rounded outwards.
    #[inline]
    fn of_ends(ends: [f64; 4]) -> Self {
        let [a, b, c, d] = ends;
        // Comparing drops a NaN (0 times infinity) silently; the sum keeps it.
        if (a + b + c + d).is_nan() && ends.iter().any(|x| x.is_nan()) {
            return Self::EVERYTHING;
        }
        Self::outward(lesser(lesser(a, b), lesser(c, d)), greater(greater(a, b), greater(c, d)))
    }
}

/// The smaller of two numbers that are not NaN: one instruction, which `f64::min` is not.
#[inline(always)]
fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The larger of two numbers that are not NaN.
#[inline(always)]
fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

impl Add for Enclosure {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self::outward(self.low + other.low, self.high + other.high)
    }
}

impl Sub for Enclosure {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self::outward(self.low - other.high, self.high - other.low)
    }
}

impl Mul for Enclosure {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        Self::of_ends([self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high])
    }
}

impl Neg for Enclosure {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_known_stays_unknown() {
        let all = Enclosure::EVERYTHING;
        let zero_too = Enclosure::new(-1.0, 1.0);
        for unknown in [
            all + Enclosure::ONE,
            all * Enclosure::ZERO,
            Enclosure::ONE.divided_by(zero_too),
            zero_too.reciprocal(),
            zero_too.logarithm(),
            Enclosure::new(f64::NAN, 1.0),
        ] {
            assert_eq!(unknown, all);
        }
        assert_eq!(all.exponential().high, f64::INFINITY);
        assert_eq!((zero_too.magnitude(), zero_too.mignitude()), (1.0, 0.0));
        assert_eq!(Enclosure::new(-3.0, -2.0).mignitude(), 2.0);
    }

    proptest::proptest! {
        // Witness: the same operation in doubled precision, whose error is far below the outward step.
        #[test]
        fn the_exact_result_lies_inside(a in -1e3..1e3f64, b in -1e3..1e3f64, w in 0.0..10.0f64, part in 0.0..=1.0f64) {
            use crate::num::double_double::DoubleDouble;
            let (x, y) = (Enclosure::new(a, a + w), Enclosure::new(b, b + 0.5 * w));
            let inside = |e: Enclosure| (e.low + part * (e.high - e.low)).clamp(e.low, e.high);
            let (p, q) = (DoubleDouble::new(inside(x)), DoubleDouble::new(inside(y)));
            let holds = |e: Enclosure, exact: DoubleDouble| {
                let above = exact.subtract(DoubleDouble::new(e.low)).to_f64();
                let below = exact.subtract(DoubleDouble::new(e.high)).to_f64();
                above >= 0.0 && below <= 0.0
            };
            proptest::prop_assert!(holds(x + y, p.add(q)));
            proptest::prop_assert!(holds(x - y, p.subtract(q)));
            proptest::prop_assert!(holds(x * y, p.multiply(q)));
            if y.has_one_sign() {
                proptest::prop_assert!(holds(x.divided_by(y), p.divide(q)));
                proptest::prop_assert!(holds(y.reciprocal(), DoubleDouble::ONE.divide(q)));
            }
            proptest::prop_assert!(x.contains(x.middle()) && x.is_within(x.hull(y)));
        }

        // Witness: e^x and ln x undo each other.
        #[test]
        fn logarithm_of_the_exponential(a in -20.0..20.0f64) {
            let back = Enclosure::point(a).exponential().logarithm();
            // Four units of 2.2e-16 on either side of both, those of the logarithm of its value.
            proptest::prop_assert!(back.contains(a) && back.width() < 2e-15 * (2.0 + a.abs()));
        }
    }
}
