//! A number as the unevaluated sum of two doubles: about 31 digits for the few places where cancellation would eat a
//! result.
//!
//! # Source
//! T. J. Dekker, Numer. Math. 18 (1971) 224; D. E. Knuth, The Art of Computer Programming 2, 4.2.2.

/// `high + low`, with `low` at most half a unit in the last place of `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DoubleDouble {
    high: f64,
    low: f64,
}

/// a + b and what rounding took from it.
#[inline]
fn exact_sum(a: f64, b: f64) -> (f64, f64) {
    let s = a + b;
    let bb = s - a;
    (s, (a - (s - bb)) + (b - bb))
}

/// The same when |a| ≥ |b|.
#[inline]
fn quick_sum(a: f64, b: f64) -> (f64, f64) {
    let s = a + b;
    (s, b - (s - a))
}

/// Upper and lower half of the digits.
#[inline]
fn split(a: f64) -> (f64, f64) {
    // 2^27 + 1
    let c = 134_217_729.0 * a;
    let high = c - (c - a);
    (high, a - high)
}

/// a · b and what rounding took from it.
#[inline]
fn exact_product(a: f64, b: f64) -> (f64, f64) {
    let p = a * b;
    let ((ah, al), (bh, bl)) = (split(a), split(b));
    (p, ((ah * bh - p) + ah * bl + al * bh) + al * bl)
}

impl DoubleDouble {
    pub(crate) const ZERO: Self = Self { high: 0.0, low: 0.0 };
    #[cfg(feature = "std")]
    pub(crate) const ONE: Self = Self { high: 1.0, low: 0.0 };

    #[inline]
    pub(crate) fn new(value: f64) -> Self {
        Self { high: value, low: 0.0 }
    }

    /// The sum of two parts, the second at most half a unit in the last place of the first.
    #[inline]
    pub(crate) fn from_parts((high, low): (f64, f64)) -> Self {
        Self { high, low }
    }

    /// The two parts.
    #[inline]
    pub(crate) fn parts(self) -> (f64, f64) {
        (self.high, self.low)
    }

    /// The nearest double.
    #[inline]
    pub(crate) fn to_f64(self) -> f64 {
        self.high + self.low
    }

    #[inline]
    pub(crate) fn add(self, other: Self) -> Self {
        let (s, e) = exact_sum(self.high, other.high);
        let (t, f) = exact_sum(self.low, other.low);
        let (s, e) = quick_sum(s, e + t);
        let (high, low) = quick_sum(s, e + f);
        Self { high, low }
    }

    #[inline]
    pub(crate) fn negative(self) -> Self {
        Self { high: -self.high, low: -self.low }
    }

    #[inline]
    pub(crate) fn subtract(self, other: Self) -> Self {
        self.add(other.negative())
    }

    #[inline]
    pub(crate) fn multiply(self, other: Self) -> Self {
        let (p, e) = exact_product(self.high, other.high);
        let (high, low) = quick_sum(p, e + (self.high * other.low + self.low * other.high));
        Self { high, low }
    }

    #[cfg(feature = "std")]
    #[inline]
    pub(crate) fn divide(self, other: Self) -> Self {
        let first = self.high / other.high;
        let rest = self.subtract(other.multiply(Self::new(first)));
        let second = rest.high / other.high;
        let rest = rest.subtract(other.multiply(Self::new(second)));
        let third = rest.high / other.high;
        let (high, low) = quick_sum(first, second);
        Self { high, low }.add(Self::new(third))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_double_forgets_is_kept() {
        let tiny = DoubleDouble::new(1e-25);
        let sum = DoubleDouble::ONE.add(tiny).subtract(DoubleDouble::ONE);
        assert!((sum.to_f64() / 1e-25 - 1.0).abs() < 1e-6);
        // (1 + e)² - 1 - 2 e = e² with e = 2^-40.
        let e = DoubleDouble::new(libm::exp2(-40.0));
        let one_e = DoubleDouble::ONE.add(e);
        let square = one_e.multiply(one_e).subtract(DoubleDouble::ONE).subtract(e.add(e));
        assert_eq!(square.to_f64(), libm::exp2(-80.0));
        // 1/3 three times is 1 to 30 digits.
        let third = DoubleDouble::ONE.divide(DoubleDouble::new(3.0));
        let left = third.add(third).add(third).subtract(DoubleDouble::ONE);
        assert!(left.to_f64().abs() < 1e-31);
    }
}
