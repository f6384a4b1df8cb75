//! A curve over a range, read in one of its two directions, and samples of it that lie where it bends.

use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite};

/// Which way a curve is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Direction {
    /// From the signal to the temperature, as the firmware of a transmitter does; errors are in kelvin.
    #[default]
    SignalToTemperature,
    /// From the temperature to the signal, as a simulator does; errors are in the unit of the signal.
    TemperatureToSignal,
}

impl Direction {
    /// Reads the names `signal_to_temperature` and `temperature_to_signal`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "signal_to_temperature" => Ok(Self::SignalToTemperature),
            "temperature_to_signal" => Ok(Self::TemperatureToSignal),
            _ => Err(Error::UnknownName {
                what: "direction",
                name: name.into(),
                expected: "\"signal_to_temperature\" or \"temperature_to_signal\"".into(),
            }),
        }
    }

    /// The name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SignalToTemperature => "signal_to_temperature",
            Self::TemperatureToSignal => "temperature_to_signal",
        }
    }
}

/// Temperatures at which the direction of a curve is looked at before anything is made of it.
const MONOTONE_CHECKS: u32 = 256;

/// Rounding of a computed error, in units of the last place of what it is the difference of: signal of the curve (two, and
/// two for its distance from the equation), its product with a slope, temperature, sum. Doubled for what lies between the
/// ends of a piece, where they are looked up.
const ROUNDINGS: f64 = 16.0;

/// A curve over a range of temperature in a direction: `y` as a function of `x`, both given by the temperature.
#[derive(Clone, Copy)]
pub(crate) struct Relation<'a> {
    pub(crate) curve: &'a dyn SensorCurve,
    pub(crate) direction: Direction,
    pub(crate) low_c: f64,
    pub(crate) high_c: f64,
    /// Whether the signal rises with the temperature.
    pub(crate) rises: bool,
}

impl<'a> Relation<'a> {
    pub(crate) fn new(curve: &'a dyn SensorCurve, direction: Direction, low_c: f64, high_c: f64) -> Result<Self> {
        let range = curve.range();
        range.check(finite("lower end of the range", low_c)?)?;
        range.check(finite("upper end of the range", high_c)?)?;
        if low_c >= high_c {
            return Err(Error::InvalidValue {
                what: "lower end of the range",
                value: low_c,
                unit: "°C",
                requirement: "it must lie below the upper end".into(),
            });
        }
        let rises = curve.raw_signal(high_c) > curve.raw_signal(low_c);
        let relation = Self { curve, direction, low_c, high_c, rises };
        if direction == Direction::SignalToTemperature {
            relation.check_monotone()?;
        }
        Ok(relation)
    }

    /// A signal must belong to one temperature only.
    fn check_monotone(&self) -> Result<()> {
        let step = (self.high_c - self.low_c) / f64::from(MONOTONE_CHECKS);
        let mut before = self.curve.raw_signal(self.low_c);
        for i in 1..=MONOTONE_CHECKS {
            let t_c = if i == MONOTONE_CHECKS { self.high_c } else { self.low_c + step * f64::from(i) };
            let signal = self.curve.raw_signal(t_c);
            if !signal.is_finite() || (signal > before) != self.rises {
                return Err(Error::InvalidValue {
                    what: "lower end of the range",
                    value: self.low_c,
                    unit: "°C",
                    requirement:
                        "the signal must go on in one direction over the whole range, so that one temperature \
                                  belongs to a signal: begin above the turn of the curve"
                            .into(),
                });
            }
            before = signal;
        }
        Ok(())
    }

    /// Unit of `y`.
    #[cfg(feature = "std")]
    pub(crate) fn value_unit(&self) -> &'static str {
        match self.direction {
            Direction::SignalToTemperature => "K",
            Direction::TemperatureToSignal => self.curve.signal_range().unit,
        }
    }

    /// `x` and `y` at a temperature.
    #[inline]
    pub(crate) fn point(&self, t_c: f64) -> (f64, f64) {
        let signal = self.curve.raw_signal(t_c);
        match self.direction {
            Direction::SignalToTemperature => (signal, t_c),
            Direction::TemperatureToSignal => (t_c, signal),
        }
    }

    /// dy/dx at a temperature.
    #[inline]
    pub(crate) fn slope(&self, t_c: f64) -> f64 {
        let slope = self.curve.raw_slope(t_c);
        match self.direction {
            Direction::SignalToTemperature => 1.0 / slope,
            Direction::TemperatureToSignal => slope,
        }
    }

    /// Rounding of an error that is computed at a temperature.
    pub(crate) fn rounding_of_error(&self, t_c: f64) -> f64 {
        let (x, y) = self.point(t_c);
        ROUNDINGS * f64::EPSILON * (y.abs() + (x * self.slope(t_c)).abs())
    }

    /// Temperature of an argument, held inside the range.
    #[inline]
    pub(crate) fn temperature(&self, x: f64) -> f64 {
        let t_c = match self.direction {
            Direction::SignalToTemperature => self.curve.raw_temperature(x),
            Direction::TemperatureToSignal => x,
        };
        if t_c.is_nan() {
            // Only at an end, by rounding: whichever end the argument is nearer to.
            let (first, last) = self.arguments();
            let nearer_first = (x - first).abs() < (x - last).abs();
            return if nearer_first == self.ascends() { self.low_c } else { self.high_c };
        }
        t_c.clamp(self.low_c, self.high_c)
    }

    /// `y` at an argument; on the tangent at the end for what rounding puts outside the range.
    pub(crate) fn value(&self, x: f64) -> f64 {
        let t_c = self.temperature(x);
        let (x_there, y) = self.point(t_c);
        let slope = self.slope(t_c);
        if slope.is_finite() { y + slope * (x - x_there) } else { y }
    }

    /// Whether `x` rises with the temperature.
    #[inline]
    pub(crate) fn ascends(&self) -> bool {
        self.rises || self.direction == Direction::TemperatureToSignal
    }

    /// Lowest and highest argument.
    pub(crate) fn arguments(&self) -> (f64, f64) {
        let (a, b) = (self.point(self.low_c).0, self.point(self.high_c).0);
        if a < b { (a, b) } else { (b, a) }
    }
}
