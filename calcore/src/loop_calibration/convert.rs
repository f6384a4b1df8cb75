//! From the reading of an instrument to the temperature it stands for, and back.

use super::run::{CurveDescription, Instrument, RangeDescription, Reference, ToleranceDescription, Unit};
use crate::circuit::CurrentLoop;
use crate::curves::{CallendarVanDusen, SensorCurve};
use crate::error::Result;
use crate::temperature::TemperatureUnit;
use crate::tolerance::Tolerance;

/// How the readings of one instrument stand for temperatures.
#[derive(Debug)]
pub(super) enum Conversion {
    /// A resistance on a curve.
    Curve(Box<dyn SensorCurve>),
    /// A current, linear in temperature.
    Current(CurrentLoop),
    /// A temperature in a unit of its own.
    Temperature(TemperatureUnit),
}

impl Conversion {
    pub(super) fn of_reference(reference: &Reference) -> Result<Self> {
        match (&reference.curve, temperature_unit(reference.unit)) {
            (Some(curve), _) => Ok(Self::Curve(curve.build()?)),
            (None, Some(unit)) => Ok(Self::Temperature(unit)),
            (None, None) => Ok(Self::Curve(CurveDescription::Iec60751 { r0: 100.0 }.build()?)),
        }
    }

    pub(super) fn of_instrument(instrument: &Instrument) -> Result<Self> {
        match (&instrument.curve, temperature_unit(instrument.unit)) {
            (Some(curve), _) => Ok(Self::Curve(curve.build()?)),
            (None, Some(unit)) => Ok(Self::Temperature(unit)),
            (None, None) => {
                let (low_c, high_c) = instrument.range.ends_c()?;
                Ok(Self::Current(CurrentLoop::new(low_c, high_c)?))
            }
        }
    }

    /// Temperature that a reading stands for, °C.
    pub(super) fn to_c(&self, value: f64) -> Result<f64> {
        match self {
            Self::Curve(curve) => curve.temperature(value),
            Self::Current(current) => current.value(value),
            Self::Temperature(unit) => unit.to_c(value),
        }
    }

    /// Reading that a temperature calls for.
    pub(super) fn from_c(&self, t_c: f64) -> Result<f64> {
        match self {
            Self::Curve(curve) => curve.signal(t_c),
            Self::Current(current) => current.current(t_c),
            Self::Temperature(unit) => unit.from_c(t_c),
        }
    }

    /// Size of one unit of the reading at a temperature, K, as an amount.
    pub(super) fn k_per_unit(&self, t_c: f64) -> Result<f64> {
        match self {
            Self::Curve(curve) => Ok(1.0 / curve.slope(t_c)?.abs()),
            Self::Current(current) => Ok(current.kelvins_per_ma().abs()),
            Self::Temperature(unit) => unit.difference_to_k(1.0),
        }
    }
}

impl CurveDescription {
    /// The curve itself.
    ///
    /// # Errors
    /// What the constructor of the curve refuses.
    pub fn build(&self) -> Result<Box<dyn SensorCurve>> {
        Ok(Box::new(self.callendar_van_dusen()?))
    }

    pub(super) fn callendar_van_dusen(&self) -> Result<CallendarVanDusen> {
        match *self {
            Self::Iec60751 { r0 } => CallendarVanDusen::iec60751(r0),
            Self::CallendarVanDusen { r0, a, b, c } => CallendarVanDusen::new(r0, a, b, c),
        }
    }
}

impl RangeDescription {
    /// Both ends in °C, in the order of the description.
    pub(super) fn ends_c(&self) -> Result<(f64, f64)> {
        let unit = temperature_unit(self.unit).unwrap_or(TemperatureUnit::Celsius);
        Ok((unit.to_c(self.low)?, unit.to_c(self.high)?))
    }

    /// Its span, K.
    pub(super) fn span_k(&self) -> Result<f64> {
        let unit = temperature_unit(self.unit).unwrap_or(TemperatureUnit::Celsius);
        unit.difference_to_k((self.high - self.low).abs())
    }
}

impl ToleranceDescription {
    /// The tolerance in kelvin; `k_per_unit` is the size of the unit of the instrument's readings.
    pub(super) fn build(&self, instrument: &Instrument, k_per_unit: f64) -> Result<Tolerance> {
        Ok(match self {
            Self::Absolute { half_width, unit } => {
                let size = if *unit == Unit::Kelvin { 1.0 } else { k_per_unit };
                Tolerance::Absolute { half_width_k: half_width * size }
            }
            Self::PercentOfSpan { percent } => {
                let (low_c, high_c) = instrument.range.ends_c()?;
                Tolerance::PercentOfSpan { percent: *percent, low_c, high_c }
            }
            Self::PercentOfReading { percent } => Tolerance::PercentOfReading { percent: *percent },
            Self::Iec60751 { class, construction } => {
                Tolerance::Iec60751 { class: class.clone(), construction: construction.unwrap_or_default() }
            }
            Self::Sum(parts) => Tolerance::Sum(Self::build_all(parts, instrument, k_per_unit)?),
            Self::Max(parts) => Tolerance::Max(Self::build_all(parts, instrument, k_per_unit)?),
        })
    }

    fn build_all(parts: &[Self], instrument: &Instrument, k_per_unit: f64) -> Result<Vec<Tolerance>> {
        parts.iter().map(|part| part.build(instrument, k_per_unit)).collect()
    }
}

/// The unit of temperature, if it is one.
pub(super) fn temperature_unit(unit: Unit) -> Option<TemperatureUnit> {
    match unit {
        Unit::Celsius => Some(TemperatureUnit::Celsius),
        Unit::Fahrenheit => Some(TemperatureUnit::Fahrenheit),
        Unit::Kelvin => Some(TemperatureUnit::Kelvin),
        Unit::Ohm | Unit::Milliampere => None,
    }
}
