//! One point: value, sensitivities, the whole budget.

use super::{Chain, MeasurementModel, Place};
use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite, same_length};
use crate::uncertainty::budget::{Budget, Contribution};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::distribution::Distribution;

/// What the sensitivities are made of.
struct Parts {
    /// s.
    sum: f64,
    /// g without and with the relative terms.
    product: f64,
    gain: f64,
    /// s g.
    reading: f64,
}

impl MeasurementModel {
    /// Value of the model.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::NotFinite`]; [`Error::OutOfRange`] for a reading outside the range of the curve;
    /// [`Error::InvalidValue`] for a factor or divisor that is 0.
    pub fn value(&self, inputs: &[f64]) -> Result<f64> {
        let from_curve = self.by_curve(self.parts(inputs)?.reading)?;
        self.with_terms_of_the_result(from_curve, inputs)
    }

    /// Value of the model and the sensitivity of each input, ∂y/∂x, which are written to the slice.
    ///
    /// # Errors
    /// As [`MeasurementModel::value`]; [`Error::InvalidValue`] where the curve has no slope.
    pub fn sensitivities(&self, inputs: &[f64], sensitivities: &mut [f64]) -> Result<f64> {
        same_length("sensitivities", self.terms.len(), sensitivities.len())?;
        let Parts { sum, product, gain, reading } = self.parts(inputs)?;
        let from_curve = self.by_curve(reading)?;
        // w F'(s g)
        let rate = match &self.chain {
            Chain::Nothing => self.weight,
            Chain::Temperature(curve) => self.weight / not_flat(curve.raw_slope(from_curve))?,
            Chain::Signal(curve) => self.weight * curve.raw_slope(reading),
        };
        let per_reading = gain * rate;
        let per_relative = (sum * product) * rate;
        for ((term, x), sensitivity) in self.terms.iter().zip(inputs).zip(sensitivities) {
            let k = term.coefficient;
            *sensitivity = match term.place {
                Place::Reading => k * per_reading,
                Place::Junction => (k * self.junction_slope(*x)?) * per_reading,
                Place::Factor => (sum * (gain / x)) * rate,
                Place::Divisor => -((sum * (gain / x)) * rate),
                Place::Relative => k * per_relative,
                Place::Result => k,
            };
        }
        self.with_terms_of_the_result(from_curve, inputs)
    }

    /// The budget of the result, with one line a term.
    ///
    /// # Arguments
    /// - `inputs`: what is known of each term, in their order.
    /// - `correlation`: coefficients between the inputs, row by row; none means independent.
    /// - `coverage`: probability or factor of the expanded uncertainty.
    ///
    /// # Errors
    /// As [`MeasurementModel::sensitivities`]; those of the distributions, of [`Correlation::new`] and of [`Coverage::check`].
    pub fn budget(&self, inputs: &[Distribution], correlation: Option<&[f64]>, coverage: Coverage) -> Result<Budget> {
        coverage.check()?;
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        for distribution in inputs {
            distribution.check()?;
        }
        let estimates: Vec<f64> = inputs.iter().map(Distribution::mean).collect();
        let mut sensitivities = vec![0.0; estimates.len()];
        let value = self.sensitivities(&estimates, &mut sensitivities)?;
        let mut lines = Vec::with_capacity(inputs.len());
        for ((term, distribution), sensitivity) in self.terms.iter().zip(inputs).zip(sensitivities) {
            lines.push(Contribution::of(term.name.as_str(), distribution, sensitivity)?);
        }
        match correlation {
            None => Budget::from_contributions(value, lines, coverage),
            Some(values) => {
                let matrix = Correlation::new(lines.len(), values)?;
                Budget::from_correlated_contributions(value, lines, &matrix, coverage)
            }
        }
    }

    fn parts(&self, inputs: &[f64]) -> Result<Parts> {
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        let (mut sum, mut product, mut relative) = (0.0, 1.0, 0.0);
        for (term, x) in self.terms.iter().zip(inputs) {
            let k = term.coefficient;
            match term.place {
                Place::Reading => sum += k * x,
                Place::Junction => sum += k * self.junction_signal(*x)?,
                Place::Factor => product *= k * not_zero(&term.name, *x)?,
                Place::Divisor => product /= k * not_zero(&term.name, *x)?,
                Place::Relative => relative += k * x,
                Place::Result => {}
            }
        }
        let gain = if self.has(&[Place::Relative]) { product * (1.0 + relative) } else { product };
        let reading = finite("reading", sum * gain)?;
        Ok(Parts { sum, product, gain, reading })
    }

    /// F(s g).
    fn by_curve(&self, reading: f64) -> Result<f64> {
        match &self.chain {
            Chain::Nothing => Ok(reading),
            Chain::Temperature(curve) => curve.temperature(reading),
            Chain::Signal(curve) => curve.signal(reading),
        }
    }

    fn with_terms_of_the_result(&self, from_curve: f64, inputs: &[f64]) -> Result<f64> {
        let mut added = 0.0;
        for (term, x) in self.terms.iter().zip(inputs) {
            if term.place == Place::Result {
                added += term.coefficient * x;
            }
        }
        finite("value of the model", self.weight * from_curve + added)
    }

    pub(super) fn junction_signal(&self, t_c: f64) -> Result<f64> {
        self.curve().map_or(Ok(f64::NAN), |curve| curve.signal(t_c))
    }

    pub(super) fn junction_slope(&self, t_c: f64) -> Result<f64> {
        self.curve().map_or(Ok(f64::NAN), |curve| SensorCurve::slope(curve, t_c))
    }
}

/// Refuses a slope by which a temperature cannot be told from its signal.
pub(super) fn not_flat(slope: f64) -> Result<f64> {
    if slope.abs() > 0.0 {
        return Ok(slope);
    }
    Err(Error::InvalidValue {
        what: "slope of the curve",
        value: slope,
        unit: "per K",
        requirement: "it must not be 0: there the signal does not tell the temperature".into(),
    })
}

/// Refuses a factor of nothing.
pub(super) fn not_zero(name: &str, x: f64) -> Result<f64> {
    if finite("factor", x)?.abs() > 0.0 {
        return Ok(x);
    }
    Err(Error::InvalidValue { what: "factor", value: x, unit: "", requirement: format!("{name} must not be 0") })
}
