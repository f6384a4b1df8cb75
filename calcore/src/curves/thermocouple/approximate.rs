//! The published approximate inverses: temperature of an emf by a polynomial, with its stated error.

use super::Thermocouple;
use crate::constants::tc_approximate::ApproximateInverse;
use crate::curves::handling::{Invalid, evaluate};
use crate::error::{Error, Result};
use crate::interval::Interval;
use crate::num::poly::horner;

impl ApproximateInverse {
    /// The polynomial at an emf, °C, no check.
    #[must_use]
    pub fn temperature(&self, mv: f64) -> f64 {
        horner(self.d, mv)
    }
}

impl Thermocouple {
    /// Temperature of an emf by the published approximate inverse polynomials, °C, with the reference junction at 0 °C.
    ///
    /// It is off by up to [`Thermocouple::approximate_error_band_k`]; [`Thermocouple::temperature`] is exact. Here for
    /// comparison with instruments that compute this. Where the ranges of two polynomials overlap (types R and S), the
    /// upper one is taken, whose stated error is the smaller.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for type C, for which none is published; [`Error::NotFinite`], [`Error::OutOfRange`]
    /// outside [`Thermocouple::approximate_range`].
    ///
    /// # Source
    /// NIST Monograph 175 (1993), tables of approximate inverse functions; type A: GOST R 8.585-2001.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::Thermocouple;
    /// let k = Thermocouple::new("K")?;
    /// // 25 °C are 1.0002 mV; the polynomial is stated to be between -0.05 K and +0.04 K off.
    /// let error_k = k.temperature_approximate(k.emf(25.0, 0.0)?)? - 25.0;
    /// assert!(error_k > -0.05 && error_k < 0.04 && error_k.abs() > 1e-3);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn temperature_approximate(&self, mv: f64) -> Result<f64> {
        let mv = self.published_range()?.check(mv)?;
        Ok(self.approximate_at(mv).map_or(f64::NAN, |inverse| inverse.temperature(mv)))
    }

    /// [`Thermocouple::temperature_approximate`] for every emf of a slice.
    ///
    /// # Errors
    /// As for one value, at the first offending element; [`Error::LengthMismatch`] for slices of different length.
    pub fn temperature_approximate_slice(&self, mv: &[f64], t_c: &mut [f64], invalid: Invalid) -> Result<()> {
        evaluate(self.published_range()?, mv, t_c, invalid, |mv, t_c| {
            for (t, &x) in t_c.iter_mut().zip(mv) {
                *t = self.approximate_at(x).map_or(f64::NAN, |inverse| inverse.temperature(x));
            }
        })
    }

    /// Emf that the approximate inverses cover; none for type C.
    ///
    /// The printed limits are rounded to 0.001 mV; the emfs of the printed temperatures belong to the range too.
    #[must_use]
    pub fn approximate_range(&self) -> Option<Interval> {
        let (first, last) = (self.approximate_inverses().first()?, self.approximate_inverses().last()?);
        let (low, high) = (self.whole_signal(first.low_c), self.whole_signal(last.high_c));
        Some(Interval { what: "emf", unit: "mV", low: low.min(first.low_mv), high: high.max(last.high_mv) })
    }

    /// The stated error of the approximate inverse at an emf, from the lowest to the highest, K; none for type A.
    ///
    /// # Errors
    /// As [`Thermocouple::temperature_approximate`].
    pub fn approximate_error_band_k(&self, mv: f64) -> Result<Option<(f64, f64)>> {
        let mv = self.published_range()?.check(mv)?;
        Ok(self.approximate_at(mv).and_then(|inverse| inverse.error_k))
    }

    /// The published polynomials, from the lowest range to the highest; empty for type C.
    #[must_use]
    pub fn approximate_inverses(&self) -> &'static [ApproximateInverse] {
        self.kind().data().approximate
    }

    fn published_range(&self) -> Result<Interval> {
        self.approximate_range().ok_or_else(|| Error::UnknownName {
            what: "approximate inverse of thermocouple type",
            name: self.kind().letter().into(),
            expected: "one of B, E, J, K, N, R, S, T, A: for type C none is published".into(),
        })
    }

    fn approximate_at(&self, mv: f64) -> Option<&'static ApproximateInverse> {
        let inverses = self.approximate_inverses();
        inverses.iter().rev().find(|inverse| mv >= inverse.low_mv).or(inverses.first())
    }
}
