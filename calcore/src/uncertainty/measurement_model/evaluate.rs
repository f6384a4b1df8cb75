//! One point: value, sensitivities, the whole budget.

use super::{Chain, MeasurementModel, Place};
use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite, same_length};
use crate::uncertainty::budget::{Budget, Contribution};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::distribution::Distribution;

/// What the sensitivities are made of.
struct Middle {
    value: f64,
    /// s.
    sum: f64,
    /// g without and with the relative terms.
    product: f64,
    gain: f64,
    /// w F'(s g).
    rate: f64,
}

impl MeasurementModel {
    /// Value of the model.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::NotFinite`]; [`Error::OutOfRange`] for a reading outside the range of the curve;
    /// [`Error::InvalidValue`] for a factor or divisor that is 0, or where the curve has no slope.
    pub fn value(&self, inputs: &[f64]) -> Result<f64> {
        Ok(self.middle(inputs)?.value)
    }

    /// Value of the model and the sensitivity of each input, ∂y/∂x, which are written to the slice.
    ///
    /// # Errors
    /// As [`MeasurementModel::value`].
    pub fn sensitivities(&self, inputs: &[f64], sensitivities: &mut [f64]) -> Result<f64> {
        same_length("sensitivities", self.terms.len(), sensitivities.len())?;
        let Middle { value, sum, product, gain, rate } = self.middle(inputs)?;
        let per_reading = gain * rate;
        let per_fraction = (sum * gain) * rate;
        let per_relative = (sum * product) * rate;
        for ((term, x), sensitivity) in self.terms.iter().zip(inputs).zip(sensitivities) {
            let k = term.coefficient;
            *sensitivity = match term.place {
                Place::Reading => k * per_reading,
                Place::Junction => (k * self.junction_slope(*x)?) * per_reading,
                Place::Factor => per_fraction / x,
                Place::Divisor => -(per_fraction / x),
                Place::Relative => k * per_relative,
                Place::Result => k,
            };
        }
        Ok(value)
    }

    /// The budget of the result, with one line a term.
    ///
    /// # Arguments
    /// - `inputs`: what is known of each term, in their order.
    /// - `correlation`: coefficients between the inputs, row by row; none means independent.
    /// - `coverage`: probability or factor of the expanded uncertainty.
    ///
    /// # Errors
    /// As [`MeasurementModel::value`]; those of the distributions, of [`Correlation::new`] and of [`Coverage::check`].
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

    fn middle(&self, inputs: &[f64]) -> Result<Middle> {
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
        let (from_curve, rate) = match &self.chain {
            Chain::Nothing => (reading, self.weight),
            Chain::Temperature(curve) => {
                let t_c = curve.temperature(reading)?;
                (t_c, self.weight / not_flat(curve.raw_slope(t_c))?)
            }
            Chain::Signal(curve) => (curve.signal(reading)?, self.weight * curve.raw_slope(reading)),
        };
        let mut value = self.weight * from_curve;
        for (term, x) in self.terms.iter().zip(inputs) {
            if term.place == Place::Result {
                value += term.coefficient * x;
            }
        }
        Ok(Middle { value: finite("value of the model", value)?, sum, product, gain, rate })
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
