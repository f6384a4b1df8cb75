//! Counts of a converter or a digital output, and the value that they stand for.

use crate::error::{Error, Result, finite};
use crate::interval::Interval;

/// A straight line between counts and values.
///
/// # Formula
/// value = low + (high − low) (count − low_count)/(high_count − low_count); either may be reversed.
///
/// # Example
/// ```
/// use calcore::circuit::DigitalScale;
/// // 12 bits over 0 mA to 20 mA.
/// let card = DigitalScale::new(0, 4096, 0.0, 20.0)?;
/// assert_eq!(card.value(2048)?, 10.0);
/// assert!((card.resolution() - 0.004_882_812_5).abs() < 1e-18);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DigitalScale {
    low_count: i64,
    high_count: i64,
    low: f64,
    high: f64,
}

/// Counts up to here are whole numbers of a double.
const LARGEST_COUNT: i64 = 1 << 52;

impl DigitalScale {
    /// A scale by two counts and their values, in any unit.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] when the counts or the values are equal, or a count is beyond
    /// 2⁵².
    pub fn new(low_count: i64, high_count: i64, low: f64, high: f64) -> Result<Self> {
        finite("value at the low count", low)?;
        finite("value at the high count", high)?;
        let refuse = |what: &'static str, value: f64, requirement: &str| {
            Err(Error::InvalidValue { what, value, unit: "", requirement: requirement.into() })
        };
        for count in [low_count, high_count] {
            if count.unsigned_abs() > LARGEST_COUNT.unsigned_abs() {
                return refuse("count", to_double(count), "it must not be beyond 2^52");
            }
        }
        if low_count == high_count {
            return refuse("high count", to_double(high_count), "it must differ from the low count");
        }
        if !(high - low).abs().is_normal() {
            return refuse(
                "value at the high count",
                high,
                "it must differ from the value at the low count, by a number of ordinary size",
            );
        }
        Ok(Self { low_count, high_count, low, high })
    }

    /// Value of a count.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a count outside the two ends.
    pub fn value(&self, count: i64) -> Result<f64> {
        let (low, high) = (to_double(self.low_count), to_double(self.high_count));
        let range = Interval { what: "count", unit: "", low: low.min(high), high: low.max(high) };
        let count = range.check(to_double(count))?;
        let part = (count - low) / (high - low);
        // From the nearer end, so that both are met exactly.
        Ok(if part <= 0.5 {
            self.low + (self.high - self.low) * part
        } else {
            self.high - (self.high - self.low) * ((high - count) / (high - low))
        })
    }

    /// The count nearest to a value; halves go to the even count.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for a value outside the two ends.
    pub fn count(&self, value: f64) -> Result<i64> {
        let range = Interval { what: "value", unit: "", low: self.low.min(self.high), high: self.low.max(self.high) };
        let part = (range.check(value)? - self.low) / (self.high - self.low);
        let steps = libm::rint(part * (to_double(self.high_count) - to_double(self.low_count)));
        // Whole, and within the two counts: the conversion is exact.
        #[expect(clippy::cast_possible_truncation)]
        let steps = steps as i64;
        Ok(self.low_count + steps)
    }

    /// Value of one count, positive.
    #[must_use]
    pub fn resolution(&self) -> f64 {
        ((self.high - self.low) / (to_double(self.high_count) - to_double(self.low_count))).abs()
    }

    /// Standard uncertainty by the resolution: one count over √12, in the unit of the value.
    ///
    /// # Source
    /// JCGM 100:2008, F.2.2.1.
    #[must_use]
    pub fn resolution_uncertainty(&self) -> f64 {
        self.resolution() / libm::sqrt(12.0)
    }
}

/// Exact up to [`LARGEST_COUNT`].
#[expect(clippy::cast_precision_loss)]
fn to_double(count: i64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand: 20 mA/4096 · 150 K/16 mA = 0.0458 K.
    #[test]
    fn twelve_bits_of_a_loop() {
        let card = DigitalScale::new(0, 4096, 0.0, 20.0).unwrap();
        assert!((card.resolution() * 150.0 / 16.0 - 0.046).abs() < 0.0005);
        assert!((card.resolution_uncertainty() - 20.0 / 4096.0 / 12f64.sqrt()).abs() < 1e-18);
        assert_eq!(card.value(4096), Ok(20.0));
        assert_eq!(card.value(4097).map_err(|e| e.code()), Err(102));
    }

    #[test]
    fn counts_and_values_both_ways() {
        for scale in [
            DigitalScale::new(0, 65_535, -200.0, 850.0).unwrap(),
            DigitalScale::new(819, 4095, 150.0, 0.0).unwrap(),
            DigitalScale::new(27_648, 0, 0.0, 100.0).unwrap(),
        ] {
            let (low, high) = (scale.low_count.min(scale.high_count), scale.low_count.max(scale.high_count));
            for count in [low, low + 1, (low + high) / 2, high - 1, high] {
                assert_eq!(scale.count(scale.value(count).unwrap()), Ok(count));
            }
        }
    }

    #[test]
    fn nonsense_is_refused() {
        assert_eq!(DigitalScale::new(5, 5, 0.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(DigitalScale::new(0, 5, 1.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(DigitalScale::new(0, i64::MAX, 0.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(DigitalScale::new(i64::MIN, 0, 0.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(DigitalScale::new(0, 5, f64::NAN, 1.0).map_err(|e| e.code()), Err(101));
    }
}
