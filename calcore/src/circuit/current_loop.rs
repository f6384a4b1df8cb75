//! The 4 mA to 20 mA current loop: value and current, errors on both sides, and the levels that mean failure.

use crate::error::{Error, Result, finite};
use crate::interval::{Interval, span_k};

/// Live zero of the loop, mA.
const LOWER_MA: f64 = 4.0;
/// Current at the upper range value, mA.
const UPPER_MA: f64 = 20.0;
/// Span of the loop, mA.
const SPAN_MA: f64 = UPPER_MA - LOWER_MA;

/// The currents that mark failure and saturation, mA.
///
/// # Source
/// NAMUR NE 43 (2003; 2021-07-26): measuring 3.8 mA to 20.5 mA, failure at or below 3.6 mA and at or above 21.0 mA.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct SignalLevels {
    /// At or below: failure.
    pub failed_low_ma: f64,
    /// Lowest measuring current: a transmitter below its range stops here.
    pub saturated_low_ma: f64,
    /// Highest measuring current: a transmitter above its range stops here.
    pub saturated_high_ma: f64,
    /// At or above: failure.
    pub failed_high_ma: f64,
}

impl SignalLevels {
    /// The levels of NAMUR NE 43.
    pub const NE43: Self =
        Self { failed_low_ma: 3.6, saturated_low_ma: 3.8, saturated_high_ma: 20.5, failed_high_ma: 21.0 };

    /// Levels of a transmitter's own.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless failure, saturation, 4 mA, 20 mA, saturation and failure
    /// follow each other in this order, the failures apart from the saturations.
    pub fn new(failed_low_ma: f64, saturated_low_ma: f64, saturated_high_ma: f64, failed_high_ma: f64) -> Result<Self> {
        let levels = Self { failed_low_ma, saturated_low_ma, saturated_high_ma, failed_high_ma };
        levels.check()?;
        Ok(levels)
    }

    fn check(&self) -> Result<()> {
        let rules = [
            ("upper failure level", self.failed_high_ma, self.failed_high_ma > self.saturated_high_ma),
            ("upper saturation level", self.saturated_high_ma, self.saturated_high_ma >= UPPER_MA),
            ("lower saturation level", self.saturated_low_ma, self.saturated_low_ma <= LOWER_MA),
            ("lower failure level", self.failed_low_ma, self.failed_low_ma < self.saturated_low_ma),
        ];
        for (what, value, holds) in rules {
            finite(what, value)?;
            if !holds {
                let requirement = "lower failure < lower saturation <= 4 mA, 20 mA <= upper saturation < upper failure";
                return Err(Error::InvalidValue { what, value, unit: "mA", requirement: requirement.into() });
            }
        }
        Ok(())
    }

    /// What a current says about the transmitter.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    ///
    /// # Example
    /// ```
    /// use calcore::circuit::{CurrentStatus, SignalLevels};
    /// assert_eq!(SignalLevels::NE43.status(3.8)?, CurrentStatus::Measuring);
    /// assert_eq!(SignalLevels::NE43.status(3.7)?, CurrentStatus::UndefinedLow);
    /// assert_eq!(SignalLevels::NE43.status(21.0)?, CurrentStatus::FailedHigh);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn status(&self, ma: f64) -> Result<CurrentStatus> {
        finite("loop current", ma)?;
        Ok(if ma <= self.failed_low_ma {
            CurrentStatus::FailedLow
        } else if ma < self.saturated_low_ma {
            CurrentStatus::UndefinedLow
        } else if ma <= self.saturated_high_ma {
            CurrentStatus::Measuring
        } else if ma < self.failed_high_ma {
            CurrentStatus::UndefinedHigh
        } else {
            CurrentStatus::FailedHigh
        })
    }

    /// The currents that carry a measured value: from saturation to saturation.
    #[must_use]
    pub fn measuring(&self) -> Interval {
        Interval { what: "loop current", unit: "mA", low: self.saturated_low_ma, high: self.saturated_high_ma }
    }
}

impl Default for SignalLevels {
    fn default() -> Self {
        Self::NE43
    }
}

/// What a loop current says about the transmitter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum CurrentStatus {
    /// At or below the lower failure level: sensor or transmitter has failed, or the loop is open.
    FailedLow,
    /// Between lower failure and saturation: it says nothing.
    UndefinedLow,
    /// Measuring, the ends included.
    Measuring,
    /// Between upper saturation and failure: it says nothing.
    UndefinedHigh,
    /// At or above the upper failure level: sensor or transmitter has failed.
    FailedHigh,
}

impl CurrentStatus {
    /// The name as JSON has it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FailedLow => "failed_low",
            Self::UndefinedLow => "undefined_low",
            Self::Measuring => "measuring",
            Self::UndefinedHigh => "undefined_high",
            Self::FailedHigh => "failed_high",
        }
    }
}

/// A 4 mA to 20 mA output or input with its range.
///
/// # Formula
/// I = 4 mA + 16 mA (t − LRV) / (URV − LRV); the range may be reversed (URV below LRV).
///
/// # Source
/// IEC 60381-1:1982 (signal 4 mA to 20 mA); levels: [`SignalLevels`].
///
/// # Example
/// ```
/// use calcore::circuit::CurrentLoop;
/// let range = CurrentLoop::new(0.0, 150.0)?;
/// assert_eq!(range.value(12.0)?, 75.0);
/// assert_eq!(range.current(75.0)?, 12.0);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentLoop {
    lower_range_value_c: f64,
    upper_range_value_c: f64,
    levels: SignalLevels,
}

impl CurrentLoop {
    /// A loop by its value at 4 mA and its value at 20 mA, °C, with the levels of NAMUR NE 43.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] when the two values are equal.
    pub fn new(lower_range_value_c: f64, upper_range_value_c: f64) -> Result<Self> {
        Self::with_levels(lower_range_value_c, upper_range_value_c, SignalLevels::NE43)
    }

    /// A loop with levels of its own.
    ///
    /// # Errors
    /// As [`CurrentLoop::new`] and [`SignalLevels::new`].
    pub fn with_levels(lower_range_value_c: f64, upper_range_value_c: f64, levels: SignalLevels) -> Result<Self> {
        span_k(lower_range_value_c, upper_range_value_c)?;
        levels.check()?;
        Ok(Self { lower_range_value_c, upper_range_value_c, levels })
    }

    /// Value at 4 mA, °C.
    #[must_use]
    pub fn lower_range_value_c(&self) -> f64 {
        self.lower_range_value_c
    }

    /// Value at 20 mA, °C.
    #[must_use]
    pub fn upper_range_value_c(&self) -> f64 {
        self.upper_range_value_c
    }

    /// The levels that mark failure and saturation.
    #[must_use]
    pub fn levels(&self) -> SignalLevels {
        self.levels
    }

    /// URV − LRV, K: negative for a reversed range.
    #[must_use]
    pub fn signed_span_k(&self) -> f64 {
        self.upper_range_value_c - self.lower_range_value_c
    }

    /// dt/dI, K/mA: negative for a reversed range.
    #[must_use]
    pub fn kelvins_per_ma(&self) -> f64 {
        self.signed_span_k() / SPAN_MA
    }

    /// Current that an ideal transmitter gives at a value, mA.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`], with the temperatures that the saturation levels mean, when the
    /// current would lie beyond these (see [`CurrentLoop::saturated_current`]).
    pub fn current(&self, t_c: f64) -> Result<f64> {
        let ma = self.linear_current(finite("temperature", t_c)?);
        if self.levels.measuring().contains(ma) {
            return Ok(ma);
        }
        // The limits are to be read: what lies below 1e-9 K in them is rounding.
        let limit_c = |ma: f64| libm::round(1e9 * self.linear_value(ma)) / 1e9;
        let (one, other) = (limit_c(self.levels.saturated_low_ma), limit_c(self.levels.saturated_high_ma));
        Err(Interval::celsius(one.min(other), one.max(other)).refusal(t_c))
    }

    /// Current of a transmitter that stops at the saturation levels, mA.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn saturated_current(&self, t_c: f64) -> Result<f64> {
        let ma = self.linear_current(finite("temperature", t_c)?);
        Ok(ma.clamp(self.levels.saturated_low_ma, self.levels.saturated_high_ma))
    }

    /// Value that a measuring current means, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] for a current that is not measuring: a failed or saturated loop has
    /// no value and no error (see [`SignalLevels::status`] and [`CurrentLoop::extrapolated_value`]).
    pub fn value(&self, ma: f64) -> Result<f64> {
        Ok(self.linear_value(self.levels.measuring().check(ma)?))
    }

    /// Value by the straight line for any current, whatever it says about the transmitter, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn extrapolated_value(&self, ma: f64) -> Result<f64> {
        Ok(self.linear_value(finite("loop current", ma)?))
    }

    /// What a current says about the transmitter.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn status(&self, ma: f64) -> Result<CurrentStatus> {
        self.levels.status(ma)
    }

    /// Error of a current beside the true temperature, mA: the current minus that of an ideal transmitter.
    ///
    /// # Errors
    /// As [`CurrentLoop::value`] for the current and [`CurrentLoop::current`] for the temperature.
    pub fn error_ma(&self, ma: f64, reference_c: f64) -> Result<f64> {
        Ok(self.levels.measuring().check(ma)? - self.current(reference_c)?)
    }

    /// Error of the value, K, that an error of the current means. For a reversed range they have opposite signs.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn error_k_from_ma(&self, error_ma: f64) -> Result<f64> {
        Ok(finite("error of the current", error_ma)? * self.signed_span_k() / SPAN_MA)
    }

    /// Error of the current, mA, that an error of the value means. For a reversed range they have opposite signs.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn error_ma_from_k(&self, error_k: f64) -> Result<f64> {
        Ok(finite("error", error_k)? * SPAN_MA / self.signed_span_k())
    }

    /// Error of the value in percent of the span: 100 · error / |URV − LRV|.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn percent_of_span_from_k(&self, error_k: f64) -> Result<f64> {
        Ok(100.0 * finite("error", error_k)? / self.signed_span_k().abs())
    }

    /// Error of the current in percent of the span of the current: 100 · error / 16 mA.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn percent_of_span_from_ma(error_ma: f64) -> Result<f64> {
        Ok(100.0 * finite("error of the current", error_ma)? / SPAN_MA)
    }

    // From the nearer end, so that both ends are met exactly.
    fn linear_current(&self, t_c: f64) -> f64 {
        let span = self.signed_span_k();
        let part = (t_c - self.lower_range_value_c) / span;
        if part <= 0.5 {
            LOWER_MA + SPAN_MA * part
        } else {
            UPPER_MA + SPAN_MA * ((t_c - self.upper_range_value_c) / span)
        }
    }

    fn linear_value(&self, ma: f64) -> f64 {
        let span = self.signed_span_k();
        if ma <= 0.5 * (LOWER_MA + UPPER_MA) {
            self.lower_range_value_c + span * ((ma - LOWER_MA) / SPAN_MA)
        } else {
            self.upper_range_value_c + span * ((ma - UPPER_MA) / SPAN_MA)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: the straight line through (4 mA, LRV) and (20 mA, URV), by hand.
    #[test]
    fn value_and_current_both_ways_and_reversed() {
        let normal = CurrentLoop::new(0.0, 150.0).unwrap();
        let reversed = CurrentLoop::new(150.0, 0.0).unwrap();
        for (ma, t_c) in [(4.0, 0.0), (12.0, 75.0), (20.0, 150.0), (8.0, 37.5), (16.0, 112.5)] {
            assert_eq!(normal.value(ma), Ok(t_c));
            assert_eq!(normal.current(t_c), Ok(ma));
            assert_eq!(reversed.value(ma), Ok(150.0 - t_c));
            assert_eq!(reversed.current(150.0 - t_c), Ok(ma));
        }
        assert_eq!(CurrentLoop::new(5.0, 5.0).map_err(|e| e.code()), Err(103));
        assert_eq!(CurrentLoop::new(f64::NAN, 5.0).map_err(|e| e.code()), Err(101));
    }

    // Witness: NAMUR NE 43 as quoted at `SignalLevels`.
    #[test]
    fn currents_have_a_status() {
        let expected = [
            (0.0, CurrentStatus::FailedLow),
            (3.5, CurrentStatus::FailedLow),
            (3.6, CurrentStatus::FailedLow),
            (3.7, CurrentStatus::UndefinedLow),
            (3.8, CurrentStatus::Measuring),
            (20.5, CurrentStatus::Measuring),
            (20.75, CurrentStatus::UndefinedHigh),
            (21.0, CurrentStatus::FailedHigh),
            (22.0, CurrentStatus::FailedHigh),
        ];
        for (ma, status) in expected {
            assert_eq!(SignalLevels::NE43.status(ma), Ok(status), "{ma} mA is {}", status.name());
        }
        assert_eq!(SignalLevels::NE43.status(f64::NAN).map_err(|e| e.code()), Err(101));
        assert_eq!(SignalLevels::new(3.9, 3.8, 20.5, 21.0).map_err(|e| e.code()), Err(103));
        assert_eq!(SignalLevels::new(3.6, 4.1, 20.5, 21.0).map_err(|e| e.code()), Err(103));
        assert_eq!(SignalLevels::new(3.6, 3.9, 20.8, 21.5).map(|l| l.saturated_high_ma), Ok(20.8));
    }

    #[test]
    fn a_failed_current_has_no_value() {
        let range = CurrentLoop::new(0.0, 160.0).unwrap();
        assert_eq!(range.value(3.7).map_err(|e| e.code()), Err(102));
        assert_eq!(range.error_ma(21.5, 160.0).map_err(|e| e.code()), Err(102));
        assert_eq!(range.extrapolated_value(21.5), Ok(175.0));
        assert_eq!(range.current(200.0).map_err(|e| e.code()), Err(102));
        assert_eq!(range.saturated_current(200.0), Ok(20.5));
        assert_eq!(range.saturated_current(-200.0), Ok(3.8));
    }

    // Witness: by hand: 3.8 mA and 20.5 mA of a range of 150 K are 1.875 K below and 4.6875 K above its ends.
    #[test]
    fn a_temperature_without_a_current_is_named() {
        for (range, limits) in [((0.0, 150.0), "-1.875 to 154.6875"), ((150.0, 0.0), "-4.6875 to 151.875")] {
            let range = CurrentLoop::new(range.0, range.1).unwrap();
            for error in [range.error_ma(12.0, 200.0).unwrap_err(), range.current(200.0).unwrap_err()] {
                assert_eq!(error.to_string(), format!("temperature 200 °C is outside {limits} °C"));
            }
            assert!(range.error_ma(21.5, 100.0).unwrap_err().to_string().starts_with("loop current 21.5 mA"));
            assert!(range.current(-1.8).is_ok() && range.current(151.8).is_ok());
        }
    }

    // Witness: by hand; 0.008 mA of 16 mA is 0.05 %, of 150 K it is 0.075 K.
    #[test]
    fn errors_on_both_sides() {
        let range = CurrentLoop::new(0.0, 150.0).unwrap();
        assert!((range.error_k_from_ma(0.008).unwrap() - 0.075).abs() < 1e-16);
        assert!((range.error_ma_from_k(0.075).unwrap() - 0.008).abs() < 1e-17);
        assert!((range.percent_of_span_from_k(0.4).unwrap() - 0.266_666_666_666_666_7).abs() < 1e-15);
        assert!((CurrentLoop::percent_of_span_from_ma(0.008).unwrap() - 0.05).abs() < 1e-17);
        // 75 °C is 12 mA; the rounding of currents below 16 mA is 1.8e-15.
        assert!((range.error_ma(12.008, 75.0).unwrap() - 0.008).abs() < 2e-15);
        let reversed = CurrentLoop::new(150.0, 0.0).unwrap();
        assert!((reversed.error_k_from_ma(0.008).unwrap() + 0.075).abs() < 1e-16);
        assert_eq!(reversed.kelvins_per_ma(), -9.375);
    }
}
