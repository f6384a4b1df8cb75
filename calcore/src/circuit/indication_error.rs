//! The error of an indication, in every unit in which it is quoted, and the correction that undoes it.

use crate::error::{Error, Result, finite};
use crate::interval::span_k;

/// Error of an indication: indicated minus reference, K.
///
/// # Source
/// JCGM 200:2012 (VIM), 2.16: measured quantity value minus reference quantity value; 2.53: correction.
///
/// # Example
/// ```
/// use calcore::circuit::IndicationError;
/// let error = IndicationError::from_readings(100.4, 100.0)?;
/// assert!((error.percent_of_span(0.0, 150.0)? - 0.266_67).abs() < 5e-6);
/// assert!((error.correction().apply(100.4)? - 100.0).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct IndicationError(f64);

/// What is added to an indication to undo its error: the negative of the error, K.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Correction(f64);

impl IndicationError {
    /// An error in kelvin.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn new(error_k: f64) -> Result<Self> {
        finite("error of indication", error_k).map(Self)
    }

    /// The error of an indication beside a reference, both °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn from_readings(indicated_c: f64, reference_c: f64) -> Result<Self> {
        Self::new(finite("indicated temperature", indicated_c)? - finite("reference temperature", reference_c)?)
    }

    /// The error that a percentage of the span means; which end of the range is given first does not matter.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for an empty span.
    pub fn from_percent_of_span(percent: f64, low_c: f64, high_c: f64) -> Result<Self> {
        Self::new(finite("error in percent of span", percent)? * span_k(low_c, high_c)? / 100.0)
    }

    /// The error that a percentage of a reading in °C means.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn from_percent_of_reading(percent: f64, reading_c: f64) -> Result<Self> {
        Self::new(finite("error in percent of reading", percent)? * finite("reading", reading_c)?.abs() / 100.0)
    }

    /// The error, K.
    #[must_use]
    pub fn kelvins(self) -> f64 {
        self.0
    }

    /// The error in percent of the span between the two ends of a range, °C; which is given first does not matter.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for an empty span.
    pub fn percent_of_span(self, low_c: f64, high_c: f64) -> Result<f64> {
        Ok(100.0 * self.0 / span_k(low_c, high_c)?)
    }

    /// The error in percent of the size of a reading in °C; its sign stays that of the error.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a reading of 0 °C, where it is not defined.
    pub fn percent_of_reading(self, reading_c: f64) -> Result<f64> {
        if finite("reading", reading_c)? == 0.0 {
            return Err(Error::InvalidValue {
                what: "reading",
                value: reading_c,
                unit: "°C",
                requirement: "an error in percent of reading is not defined at 0 °C".into(),
            });
        }
        finite("error in percent of reading", 100.0 * self.0 / reading_c.abs())
    }

    /// What is added to the indication to undo the error.
    #[must_use]
    pub fn correction(self) -> Correction {
        Correction(-self.0)
    }
}

impl Correction {
    /// A correction in kelvin.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn new(correction_k: f64) -> Result<Self> {
        finite("correction", correction_k).map(Self)
    }

    /// The correction, K.
    #[must_use]
    pub fn kelvins(self) -> f64 {
        self.0
    }

    /// The error that it undoes.
    #[must_use]
    pub fn error(self) -> IndicationError {
        IndicationError(-self.0)
    }

    /// The corrected value of an indication, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn apply(self, indicated_c: f64) -> Result<f64> {
        finite("corrected temperature", finite("indicated temperature", indicated_c)? + self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: 0.4 / 150 = 0.266 666…, by hand.
    #[test]
    fn one_error_in_all_its_units() {
        let error = IndicationError::new(0.4).unwrap();
        assert!((error.percent_of_span(0.0, 150.0).unwrap() - 0.4 / 1.5).abs() < 1e-15);
        assert_eq!(error.percent_of_span(150.0, 0.0), error.percent_of_span(0.0, 150.0));
        assert_eq!(error.percent_of_reading(40.0), Ok(1.0));
        assert_eq!(error.percent_of_reading(-40.0), Ok(1.0));
        assert_eq!(error.percent_of_reading(0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(error.percent_of_span(1.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(IndicationError::from_percent_of_span(0.1, 0.0, 400.0).map(IndicationError::kelvins), Ok(0.4));
        assert_eq!(IndicationError::from_percent_of_reading(0.1, -25.0).map(IndicationError::kelvins), Ok(0.025));
    }

    #[test]
    fn the_correction_is_the_negative_of_the_error() {
        let error = IndicationError::from_readings(99.5, 100.0).unwrap();
        assert_eq!(error.kelvins(), -0.5);
        assert_eq!(error.correction().kelvins(), 0.5);
        assert_eq!(error.correction().apply(99.5), Ok(100.0));
        assert_eq!(error.correction().error(), error);
        assert_eq!(Correction::new(f64::NAN).map_err(|e| e.code()), Err(101));
    }
}
