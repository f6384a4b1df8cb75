//! Sensor curves: what an element gives at a temperature, and the temperature that gives it.
//!
//! Every curve is a [`SensorCurve`]: its equation ([`SensorCurve::raw_signal`] and its kin, unchecked), the ranges in
//! which it holds, and on top of these, the same for every curve, checked evaluation of one value or of slices.

mod bounds;
mod callendar_van_dusen;
mod handling;
#[cfg(feature = "std")]
mod plausibility;
mod polynomial_rtd;
mod sprt;
#[cfg(feature = "std")]
mod tabulated;
mod thermistor;
mod thermocouple;

pub use bounds::Joint;
pub use callendar_van_dusen::CallendarVanDusen;
pub(crate) use handling::hold;
pub use handling::{Handling, Invalid};
#[cfg(feature = "std")]
pub use plausibility::{LikelyStandard, StandardFit, likely_standard};
#[cfg(feature = "std")]
pub use polynomial_rtd::rtd_standard_names;
pub use polynomial_rtd::{PolynomialRtd, rtd_standard};
pub use sprt::Sprt;
#[cfg(feature = "std")]
pub use tabulated::{Interpolation, TabulatedCurve};
pub use thermistor::{BetaThermistor, SteinhartHart};
pub use thermocouple::{ReferenceJunction, Side, Thermocouple, ThermocoupleType};

use crate::error::Result;
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use core::fmt;
use handling::evaluate;

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

    /// Enclosures of the equation and its derivatives over a range of temperature, °C, inside one smooth piece
    /// ([`SensorCurve::joint_from`]); no check. A curve that does not say says nothing, which is always true.
    ///
    /// They hold for the equation, not for the double nearest to it that [`SensorCurve::raw_signal`] gives.
    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let _ = t_c;
        Jet::UNKNOWN
    }

    /// The first joint whose last temperature below is not below a temperature: where the signal, its slope or its
    /// curvature may step.
    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        let _ = t_c;
        None
    }

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

    /// Temperature that gives a signal, °C; never outside the range, where the signal at an end and the inverse were rounded.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`] in the unit of the signal.
    fn temperature(&self, signal: f64) -> Result<f64> {
        Ok(self.range().held(self.raw_temperature(self.signal_range().check(signal)?)))
    }

    /// Signal of a reference junction at a temperature: what the junction takes away from the signal of the measuring
    /// junction. A thermocouple may have its reference junction outside its own range (type B on one side).
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
    fn junction_signal(&self, t_c: f64) -> Result<f64> {
        self.signal(t_c)
    }

    /// Change of [`SensorCurve::junction_signal`] per kelvin.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
    fn junction_slope(&self, t_c: f64) -> Result<f64> {
        self.slope(t_c)
    }

    /// Change of the signal per kelvin at a temperature.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
    fn slope(&self, t_c: f64) -> Result<f64> {
        Ok(self.raw_slope(self.range().check(t_c)?))
    }

    /// Proven bounds of the slope between two temperatures: it leaves them nowhere, and comes within a part in a hundred
    /// of their distance to each of them.
    ///
    /// # Formula
    /// Interval arithmetic on the equation and its derivatives, ends rounded outwards ([`Enclosure`], [`Jet`]); the range
    /// is cut until the bounds are tight. For a curve of your own without [`SensorCurve::raw_jet`] they are infinite.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`]; [`crate::Error::InvalidValue`] when `low_c` lies above
    /// `high_c`.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::{CallendarVanDusen, SensorCurve};
    /// let pt100 = CallendarVanDusen::iec60751(100.0)?;
    /// let slope = pt100.slope_bounds(0.0, 100.0)?; // R0 (A + 2 B t), IEC 60751:2022
    /// assert!(slope.contains(0.37928) && slope.contains(0.39083) && slope.width() < 0.011_551);
    /// let curvature = pt100.curvature_bounds(0.0, 100.0)?; // 2 R0 B
    /// assert!(curvature.contains(-1.155e-4) && curvature.width() < 1e-18);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    fn slope_bounds(&self, low_c: f64, high_c: f64) -> Result<Enclosure> {
        bounds::derivative_bounds(self, 1, low_c, high_c)
    }

    /// Proven bounds of the second derivative between two temperatures, signal per kelvin squared. At a joint with a
    /// kink there is none; the bounds are those of both sides.
    ///
    /// # Errors
    /// As [`SensorCurve::slope_bounds`].
    fn curvature_bounds(&self, low_c: f64, high_c: f64) -> Result<Enclosure> {
        bounds::derivative_bounds(self, 2, low_c, high_c)
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
        if handling.extrapolate {
            let range = self.extrapolated_signal_range();
            return evaluate(range, signal, t_c, handling.invalid, |x, y| self.raw_temperature_block(x, y));
        }
        let range = self.range();
        evaluate(self.signal_range(), signal, t_c, handling.invalid, |x, y| {
            self.raw_temperature_block(x, y);
            hold(range, y);
        })
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
