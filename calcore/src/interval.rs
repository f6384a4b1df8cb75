//! A range with its quantity and unit: the one place where limits are checked.

use crate::error::{Error, Result, finite};

/// The closed interval in which a quantity is defined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The quantity, as it is named in an error.
    pub what: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Lower limit, itself allowed.
    pub low: f64,
    /// Upper limit, itself allowed.
    pub high: f64,
}

impl Interval {
    /// An interval of temperature on the ITS-90, degrees Celsius.
    #[must_use]
    pub const fn celsius(low: f64, high: f64) -> Self {
        Self { what: "temperature", unit: "°C", low, high }
    }

    /// Whether the value lies inside; NaN does not.
    #[must_use]
    #[inline]
    pub fn contains(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// Returns the value if it lies inside.
    ///
    /// # Errors
    /// [`Error::NotFinite`] for NaN and infinity, [`Error::OutOfRange`] outside.
    #[inline]
    pub fn check(&self, value: f64) -> Result<f64> {
        if self.contains(value) {
            return Ok(value);
        }
        Err(self.refusal(value))
    }

    /// The error for a value that does not lie inside.
    #[cold]
    #[must_use]
    pub fn refusal(&self, value: f64) -> Error {
        match finite(self.what, value) {
            Err(error) => error,
            Ok(_) => Error::OutOfRange {
                what: self.what,
                value,
                low: self.low,
                high: self.high,
                unit: self.unit,
                position: None,
            },
        }
    }

    /// The value itself, or the end of the interval beyond which it lies; NaN stays NaN.
    #[inline(always)]
    pub(crate) fn held(&self, value: f64) -> f64 {
        if value < self.low {
            self.low
        } else if value > self.high {
            self.high
        } else {
            value
        }
    }

    /// The same interval, a relative 1e-12 of its ends wider: what a value printed in decimals and one computed at the
    /// end of the range may differ by without meaning anything else.
    #[must_use]
    pub fn widened_for_rounding(&self) -> Self {
        Self { low: self.low - 1e-12 * self.low.abs(), high: self.high + 1e-12 * self.high.abs(), ..*self }
    }
}

/// The span between two ends of a range of temperature, K; which is the higher does not matter.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] when the ends are equal.
#[cfg(feature = "std")]
pub(crate) fn span_k(low_c: f64, high_c: f64) -> Result<f64> {
    let span_k = (finite("end of the range", high_c)? - finite("end of the range", low_c)?).abs();
    if finite("span", span_k)? > 0.0 {
        return Ok(span_k);
    }
    Err(Error::InvalidValue {
        what: "span",
        value: span_k,
        unit: "K",
        requirement: format!("the ends of the range, both {low_c} °C, must differ"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_belong_to_it_and_nan_does_not() {
        let range = Interval::celsius(-200.0, 850.0);
        assert!(range.contains(-200.0) && range.contains(850.0));
        assert_eq!(range.check(850.000_001).map_err(|e| e.code()), Err(102));
        assert_eq!(range.check(f64::NAN).map_err(|e| e.code()), Err(101));
        assert_eq!(range.check(f64::INFINITY).map_err(|e| e.code()), Err(101));
    }
}
