//! A link of the user's own whose reading is a polynomial of the temperature.

use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::horner;
use crate::num::root::bracketed_newton;

/// Where the slope is looked at for a change of its sign.
const SLOPE_CHECKS: u32 = 1000;

/// Reading = c₀ + c₁ t + c₂ t² + …, monotone over its range.
#[derive(Debug)]
pub(super) struct PolynomialTransfer {
    coefficients: Vec<f64>,
    derivative: Vec<f64>,
    range: Interval,
    signal_range: Interval,
}

impl PolynomialTransfer {
    /// A polynomial over a range, °C; the unit is that of the readings.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] where it does not rise or fall all the way.
    pub(super) fn new(coefficients: &[f64], low_c: f64, high_c: f64, unit: &'static str) -> Result<Self> {
        for (i, coefficient) in coefficients.iter().enumerate() {
            finite("coefficient of the transfer function", *coefficient).map_err(|error| error.at_index(i, 1))?;
        }
        let derivative: Vec<f64> = coefficients.iter().enumerate().skip(1).map(|(power, c)| power as f64 * c).collect();
        let at = |i: u32| low_c + (high_c - low_c) * (f64::from(i) / f64::from(SLOPE_CHECKS));
        let rises = horner(&derivative, low_c) > 0.0;
        for i in 0..=SLOPE_CHECKS {
            let slope = horner(&derivative, at(i));
            if !slope.is_finite() || slope == 0.0 || (slope > 0.0) != rises {
                return Err(Error::InvalidValue {
                    what: "slope of the transfer function",
                    value: slope,
                    unit: "",
                    requirement: format!(
                        "it must keep its sign from {low_c} °C to {high_c} °C, but at {} °C it does not",
                        at(i)
                    ),
                });
            }
        }
        let (a, b) = (horner(coefficients, low_c), horner(coefficients, high_c));
        let signal_range = Interval { what: "reading", unit, low: a.min(b), high: a.max(b) };
        Ok(Self {
            coefficients: coefficients.to_vec(),
            derivative,
            range: Interval::celsius(low_c, high_c),
            signal_range,
        })
    }
}

impl SensorCurve for PolynomialTransfer {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        horner(&self.coefficients, t_c)
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        horner(&self.derivative, t_c)
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        let (low, high) = (self.range.low, self.range.high);
        let off = |t_c: f64| (horner(&self.coefficients, t_c) - signal, horner(&self.derivative, t_c));
        bracketed_newton("temperature of the transfer function", "°C", low, high, off).unwrap_or(f64::NAN)
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        Jet::polynomial(self.coefficients.iter().map(|&c| Enclosure::point(c)), t_c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 1 + 0.02 t + 0.0001 t² is 4 at 100 °C, and its slope there 0.04.
    #[test]
    fn there_and_back() {
        let transfer = PolynomialTransfer::new(&[1.0, 0.02, 1e-4], 0.0, 150.0, "V").unwrap();
        assert!((transfer.signal(100.0).unwrap() - 4.0).abs() < 1e-15);
        assert!((transfer.temperature(4.0).unwrap() - 100.0).abs() < 1e-12);
        assert!((transfer.slope(100.0).unwrap() - 0.04).abs() < 1e-16);
        // The slope rises from 0.02 by 0.0002 per kelvin.
        let slope = transfer.slope_bounds(0.0, 100.0).unwrap();
        assert!(slope.contains(0.02) && slope.contains(0.04) && slope.width() < 0.020_21, "{slope:?}");
        assert_eq!(transfer.signal(151.0).map_err(|error| error.code()), Err(102));
        // Its vertex at −100 °C, or none of it at all.
        assert!(PolynomialTransfer::new(&[1.0, 0.02, 1e-4], -150.0, 150.0, "V").is_err());
        assert!(PolynomialTransfer::new(&[1.0], 0.0, 150.0, "V").is_err());
        assert!(PolynomialTransfer::new(&[f64::NAN, 1.0], 0.0, 150.0, "V").is_err());
    }
}
