//! Sensor curves: what an element gives at a temperature, and the temperature that gives it.
//!
//! Every curve is a [`SensorCurve`]: its equation ([`SensorCurve::raw_signal`] and its kin, unchecked), the ranges in
//! which it holds, and on top of these, the same for every curve, checked evaluation of one value or of slices.

mod callendar_van_dusen;
mod handling;
mod plausibility;
mod polynomial_rtd;
mod sprt;
mod tabulated;
mod thermistor;
mod thermocouple;

pub use callendar_van_dusen::CallendarVanDusen;
pub use handling::{Handling, Invalid};
pub use plausibility::{LikelyStandard, StandardFit, likely_standard};
pub use polynomial_rtd::{PolynomialRtd, rtd_standard, rtd_standard_names};
pub use sprt::Sprt;
pub use tabulated::{Interpolation, TabulatedCurve};
pub use thermistor::{BetaThermistor, SteinhartHart};
pub use thermocouple::{ReferenceJunction, Side, Thermocouple, ThermocoupleType};

use crate::error::Result;
use crate::interval::Interval;
use handling::evaluate;
use std::fmt;

/// The relation between the temperature of an element and its signal.
///
/// The `raw_` methods are the bare equations, for whoever implements a curve; users call the checked ones.
pub trait SensorCurve: fmt::Debug + Send + Sync {
    /// Range of temperature in which the curve holds, °C.
    fn range(&self) -> Interval;

    /// The signal over that range, with its name and unit.
    fn signal_range(&self) -> Interval;

    /// Range of temperature in which the equation still rises and means something, °C: how far an extrapolation that
    /// is asked for may go.
    fn extrapolation_range(&self) -> Interval {
        self.range()
    }

    /// The equation: signal at a temperature, no check.
    fn raw_signal(&self, t_c: f64) -> f64;

    /// Its derivative: signal per kelvin, no check.
    fn raw_slope(&self, t_c: f64) -> f64;

    /// Its inverse: temperature that gives a signal, no check; NaN where there is none.
    fn raw_temperature(&self, signal: f64) -> f64;

    /// The equation over a block of values.
    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        for (y, &x) in signal.iter_mut().zip(t_c) {
            *y = self.raw_signal(x);
        }
    }

    /// The derivative over a block of values.
    fn raw_slope_block(&self, t_c: &[f64], slope: &mut [f64]) {
        for (y, &x) in slope.iter_mut().zip(t_c) {
            *y = self.raw_slope(x);
        }
    }

    /// The inverse over a block of values.
    fn raw_temperature_block(&self, signal: &[f64], t_c: &mut [f64]) {
        for (y, &x) in t_c.iter_mut().zip(signal) {
            *y = self.raw_temperature(x);
        }
    }

    /// The signal over [`SensorCurve::extrapolation_range`].
    fn extrapolated_signal_range(&self) -> Interval {
        let t = self.extrapolation_range();
        Interval { low: self.raw_signal(t.low), high: self.raw_signal(t.high), ..self.signal_range() }
    }

    /// Signal at a temperature.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
    fn signal(&self, t_c: f64) -> Result<f64> {
        Ok(self.raw_signal(self.range().check(t_c)?))
    }

    /// Temperature that gives a signal, °C.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`] in the unit of the signal.
    fn temperature(&self, signal: f64) -> Result<f64> {
        Ok(self.raw_temperature(self.signal_range().check(signal)?))
    }

    /// Change of the signal per kelvin at a temperature.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
    fn slope(&self, t_c: f64) -> Result<f64> {
        Ok(self.raw_slope(self.range().check(t_c)?))
    }

    /// Signal at every temperature of a slice.
    ///
    /// # Errors
    /// [`crate::Error::LengthMismatch`] for slices of different length; as `handling` says,
    /// [`crate::Error::NotFinite`] or [`crate::Error::OutOfRange`] at the first offending element. After an error the
    /// contents of the output are unspecified.
    fn signal_slice(&self, t_c: &[f64], signal: &mut [f64], handling: Handling) -> Result<()> {
        let range = if handling.extrapolate { self.extrapolation_range() } else { self.range() };
        evaluate(range, t_c, signal, handling.invalid, |x, y| self.raw_signal_block(x, y))
    }

    /// Temperature for every signal of a slice, °C.
    ///
    /// # Errors
    /// As [`SensorCurve::signal_slice`].
    fn temperature_slice(&self, signal: &[f64], t_c: &mut [f64], handling: Handling) -> Result<()> {
        let range = if handling.extrapolate { self.extrapolated_signal_range() } else { self.signal_range() };
        evaluate(range, signal, t_c, handling.invalid, |x, y| self.raw_temperature_block(x, y))
    }

    /// Slope at every temperature of a slice.
    ///
    /// # Errors
    /// As [`SensorCurve::signal_slice`].
    fn slope_slice(&self, t_c: &[f64], slope: &mut [f64], handling: Handling) -> Result<()> {
        let range = if handling.extrapolate { self.extrapolation_range() } else { self.range() };
        evaluate(range, t_c, slope, handling.invalid, |x, y| self.raw_slope_block(x, y))
    }
}
