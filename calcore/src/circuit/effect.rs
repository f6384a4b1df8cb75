//! The effect of one cause on a temperature.

use crate::curves::SensorCurve;
use crate::error::{Error, Result};

/// What a cause does to the reading of a sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Effect {
    /// Change of the signal, in its unit.
    pub signal_change: f64,
    /// Error of the temperature read from the changed signal: read minus true, K.
    pub error_k: f64,
    /// Change of that error per unit of the cause, K per the unit of the cause.
    pub error_k_per_unit: f64,
}

impl Effect {
    /// The effect of a changed signal, exactly: by the inverse of the curve.
    ///
    /// `change_per_unit` is the derivative of the change with respect to the cause.
    pub(super) fn of_change(curve: &dyn SensorCurve, t_c: f64, change: f64, change_per_unit: f64) -> Result<Self> {
        let read_c = curve.temperature(curve.signal(t_c)? + change)?;
        Ok(Self {
            signal_change: change,
            error_k: read_c - t_c,
            error_k_per_unit: change_per_unit / slope_at_reading(curve, read_c)?,
        })
    }
}

/// Refuses a curve whose signal is stated and is no resistance in ohm.
pub(super) fn of_resistance(curve: &dyn SensorCurve) -> Result<()> {
    signal_in(curve, "ohm", "a sensor whose signal is a resistance in ohm")
}

/// Refuses a curve whose signal is stated and is no emf in mV.
pub(super) fn of_emf(curve: &dyn SensorCurve) -> Result<()> {
    signal_in(curve, "mV", "a thermocouple, whose signal is an emf in mV")
}

/// A table may leave open what its signal is.
fn signal_in(curve: &dyn SensorCurve, unit: &'static str, expected: &str) -> Result<()> {
    let signal = curve.signal_range();
    if signal.unit == unit || signal.unit.is_empty() {
        return Ok(());
    }
    Err(Error::UnknownName {
        what: "signal for this effect",
        name: format!("{} in {}", signal.what, signal.unit),
        expected: expected.into(),
    })
}

/// Slope at a temperature that the curve itself gave: at an end of the range it may lie beyond it by rounding.
pub(super) fn slope_at_reading(curve: &dyn SensorCurve, read_c: f64) -> Result<f64> {
    let range = curve.range();
    curve.slope(read_c.clamp(range.low, range.high))
}
