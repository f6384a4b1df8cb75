//! Errors that a choice makes, as a function of temperature and as a proven largest value over a range.

mod search;

use super::conformity::{Basis, linearity};
use super::reading_uncertainty::ReadingUncertainty;
use crate::curves::{Handling, SensorCurve};
use crate::error::{Error, Result, finite, not_negative, same_length};
use search::{Extreme, Search};

/// Temperatures at which a curve is sampled to lay a straight line through it.
const LINE_SAMPLES: u32 = 2048;

/// How a signal is turned into a temperature.
#[derive(Debug, Clone, Copy)]
pub enum Reading<'a> {
    /// By a curve.
    Curve(&'a dyn SensorCurve),
    /// By a straight line: intercept, °C, and slope, K per unit of the signal.
    Line {
        /// Temperature of the signal zero, °C.
        intercept_c: f64,
        /// Kelvin per unit of the signal.
        slope: f64,
    },
}

/// An element and what reads it: the error is the temperature read minus that of the element.
///
/// # Formula
/// e(t) = T(E(t) + s) − t, with E the curve of the element, s what the wiring adds to its signal, and T the curve or line
/// that the instrument has. A converter that resolves a step q makes of the signal any within q/2 of it: then e(t) is the
/// larger one of the errors at s − q/2 and s + q/2.
///
/// # Example
/// ```
/// use calcore::curves::{CallendarVanDusen, PolynomialRtd};
/// use calcore::linearization::{Basis, Choice};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// // A transmitter without linearization, 0 °C to 100 °C: 0.375 K at 50 °C, half of it by the best line.
/// let straight = Choice::linear(&pt100, 0.0, 100.0, Basis::Terminal)?;
/// assert!((straight.error_k(50.0)? - 0.375).abs() < 0.0005);
/// // Two wires of 0.25 ohm: 1.28 K at 0 °C.
/// assert!((Choice::two_wire(&pt100, 0.5)?.error_k(0.0)? - 1.280).abs() < 0.0005);
/// // An element of alpha 0.003916 read as one of 0.003851.
/// let other = PolynomialRtd::standard("jis_pt3916", 100.0)?;
/// let largest = Choice::read_with(&other, &pt100).largest(0.0, 400.0)?;
/// assert!(largest.at_c > 399.9 && (largest.largest_k - 7.2).abs() < 0.05);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Choice<'a> {
    element: &'a dyn SensorCurve,
    reading: Reading<'a>,
    /// In the unit of the signal.
    added_signal: f64,
    /// Step of the converter in the unit of the signal.
    resolution: f64,
}

/// The largest error over a range, proven.
///
/// `largest_k` is an upper bound; `reached_k` is taken at `at_c`, and no more than the gap below the bound: 0.1 % of the
/// largest error or 1e-9 K, whichever is larger.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct LargestError {
    /// No absolute error in the range is larger, K.
    pub largest_k: f64,
    /// An absolute error that is reached, K.
    pub reached_k: f64,
    /// Where it is reached, °C.
    pub at_c: f64,
    /// No error is more positive, K; may be negative.
    pub most_positive_k: f64,
    /// Where an error as near to it is reached, °C.
    pub most_positive_at_c: f64,
    /// No error is more negative, K; may be positive.
    pub most_negative_k: f64,
    /// Where an error as near to it is reached, °C.
    pub most_negative_at_c: f64,
}

impl<'a> Choice<'a> {
    /// An element that is read with another curve: of another alpha, with nominal in place of fitted coefficients, or with
    /// coefficients rounded as a transmitter takes them.
    #[must_use]
    pub fn read_with(element: &'a dyn SensorCurve, curve: &'a dyn SensorCurve) -> Self {
        Self { element, reading: Reading::Curve(curve), added_signal: 0.0, resolution: 0.0 }
    }

    /// An element whose signal is taken for linear in temperature over a range, °C: linear-in-resistance in place of
    /// linear-in-temperature.
    ///
    /// The line is that of a [`Basis`] through the temperatures as a function of the signal, of 2049 of them, the ends
    /// included. (Between these the best line may be better by some parts in a million; what
    /// [`Choice::largest`] proves holds for the line that was taken.)
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::InvalidValue`] for an empty range, and for
    /// [`Basis::Unadjusted`], which is no line through the curve.
    pub fn linear(element: &'a dyn SensorCurve, low_c: f64, high_c: f64, basis: Basis) -> Result<Self> {
        check_range(element, low_c, high_c)?;
        if basis == Basis::Unadjusted {
            return Err(Error::UnknownName {
                what: "basis of a line",
                name: basis.name().into(),
                expected: "\"independent\", \"terminal\" or \"zero\"".into(),
            });
        }
        let at = |i: u32| if i == LINE_SAMPLES { high_c } else { low_c + (high_c - low_c) * part(i, LINE_SAMPLES) };
        let t_c: Vec<f64> = (0..=LINE_SAMPLES).map(at).collect();
        let mut signal = vec![0.0; t_c.len()];
        element.signal_slice(&t_c, &mut signal, Handling::default())?;
        // A line is laid over rising abscissas, whichever way the signal goes; the lower end is that of the temperature.
        let falls = signal[signal.len() - 1] < signal[0];
        let x: Vec<f64> = if falls { signal.iter().map(|s| -s).collect() } else { signal };
        let line = linearity(&x, &t_c, None, basis, ReadingUncertainty::Nothing)?;
        let slope = if falls { -line.slope } else { line.slope };
        let reading = Reading::Line { intercept_c: line.intercept, slope };
        Ok(Self { element, reading, added_signal: 0.0, resolution: 0.0 })
    }

    /// An element on two wires in place of four: the resistance of both leads together, ohm, adds to its own.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative resistance.
    pub fn two_wire(element: &'a dyn SensorCurve, lead_ohm: f64) -> Result<Self> {
        not_negative("lead resistance", lead_ohm, "ohm")?;
        Self::read_with(element, element).with_added_signal(lead_ohm)
    }

    /// An element behind a converter that resolves a step of the signal, in its unit, and rounds to the nearest.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative step.
    pub fn resolution(element: &'a dyn SensorCurve, step: f64) -> Result<Self> {
        Self::read_with(element, element).with_resolution(step)
    }

    /// The same with a signal added by the wiring, in the unit of the signal.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn with_added_signal(self, signal: f64) -> Result<Self> {
        Ok(Self { added_signal: finite("added signal", signal)?, ..self })
    }

    /// The same with a converter that resolves a step of the signal, in its unit.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative step.
    pub fn with_resolution(self, step: f64) -> Result<Self> {
        Ok(Self { resolution: not_negative("resolution", step, "")?, ..self })
    }

    /// How the signal is read.
    #[must_use]
    pub fn reading(&self) -> Reading<'a> {
        self.reading
    }

    /// Error at a temperature of the element, K; with a resolution the one of larger size, positive when both are equal.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] where the element has no signal, or the reading curve no temperature
    /// for it.
    pub fn error_k(&self, t_c: f64) -> Result<f64> {
        let (low, high) = self.error_bounds_k(t_c)?;
        Ok(if high.abs() >= low.abs() { high } else { low })
    }

    /// The least and the greatest error at a temperature that the resolution leaves open, K; equal without one.
    ///
    /// # Errors
    /// As [`Choice::error_k`].
    pub fn error_bounds_k(&self, t_c: f64) -> Result<(f64, f64)> {
        let signal = self.element.signal(t_c)?;
        let error = |added: f64| -> Result<f64> {
            let read = match self.reading {
                Reading::Curve(curve) => curve.temperature(signal + added)?,
                Reading::Line { intercept_c, slope } => intercept_c + slope * (signal + added),
            };
            Ok(read - t_c)
        };
        let [first, second] = self.added();
        let (first, second) = (error(first)?, error(second)?);
        Ok((first.min(second), first.max(second)))
    }

    /// [`Choice::error_k`] for every temperature of a slice.
    ///
    /// # Errors
    /// As for one value; [`Error::LengthMismatch`].
    pub fn error_slice(&self, t_c: &[f64], error_k: &mut [f64]) -> Result<()> {
        same_length("output", t_c.len(), error_k.len())?;
        for (index, (t, error)) in t_c.iter().zip(error_k).enumerate() {
            *error = self.error_k(*t).map_err(|refusal| refusal.at_index(index, 1))?;
        }
        Ok(())
    }

    /// The largest error between two temperatures of the element, °C, proven.
    ///
    /// # Formula
    /// On a stretch of the range the second derivative of the error lies between bounds that interval arithmetic gives for
    /// element and reading ([`SensorCurve::raw_jet`]): with the errors at the ends it bounds the error inside by a chord and
    /// a parabola; where the reading curve has a joint, the slopes do. The stretch with the largest bound is halved until
    /// the bound is met (best first): not sampled, proven. The errors at the ends carry the rounding of their computation.
    ///
    /// # Errors
    /// As [`Choice::error_k`] at the ends; [`Error::InvalidValue`] for an empty range; [`Error::Undetermined`] where the
    /// slope of a curve vanishes in the range or a curve gives no enclosures of its derivatives.
    ///
    /// # Source
    /// Best-first search with bounds: R. E. Moore, R. B. Kearfott, M. J. Cloud, Introduction to Interval Analysis (2009),
    /// chapter 11 (from memory).
    pub fn largest(&self, low_c: f64, high_c: f64) -> Result<LargestError> {
        check_range(self.element, low_c, high_c)?;
        let (at_low, at_high) = (self.error_bounds_k(low_c)?, self.error_bounds_k(high_c)?);
        let size = |error: (f64, f64)| error.0.abs().max(error.1.abs());
        let scale = size(at_low).max(size(at_high));
        let find = |sign: f64| -> Result<Extreme> {
            let mut best: Option<Extreme> = None;
            for added in self.added() {
                let found = Search::new(self.element, self.reading, added, sign).run(low_c, high_c, scale)?;
                if best.is_none_or(|best| found.bound_k > best.bound_k) {
                    best = Some(found);
                }
            }
            best.ok_or(Error::TooFewPoints { what: "the largest error", needed: 1, found: 0, hint: "" })
        };
        let (positive, negative) = (find(1.0)?, find(-1.0)?);
        let larger = if positive.reached_k >= negative.reached_k { positive } else { negative };
        Ok(LargestError {
            largest_k: positive.bound_k.max(negative.bound_k),
            reached_k: larger.reached_k,
            at_c: larger.at_c,
            most_positive_k: positive.bound_k,
            most_positive_at_c: positive.at_c,
            most_negative_k: -negative.bound_k,
            most_negative_at_c: negative.at_c,
        })
    }

    /// What may be added to the signal: once each way with a resolution.
    fn added(&self) -> [f64; 2] {
        [self.added_signal - 0.5 * self.resolution, self.added_signal + 0.5 * self.resolution]
    }
}

fn part(i: u32, of: u32) -> f64 {
    f64::from(i) / f64::from(of)
}

fn check_range(element: &dyn SensorCurve, low_c: f64, high_c: f64) -> Result<()> {
    element.range().check(low_c)?;
    element.range().check(high_c)?;
    if low_c < high_c {
        return Ok(());
    }
    let requirement = format!("it must lie below the upper end, {high_c} °C");
    Err(Error::InvalidValue { what: "lower end of the range", value: low_c, unit: "°C", requirement })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::{BetaThermistor, CallendarVanDusen, PolynomialRtd, Side, Thermocouple};

    fn pt100() -> CallendarVanDusen {
        CallendarVanDusen::iec60751(100.0).unwrap()
    }

    fn sampled(choice: &Choice<'_>, low_c: f64, high_c: f64) -> (f64, f64) {
        let errors = (0..=20_000).map(|i| choice.error_bounds_k(low_c + (high_c - low_c) * part(i, 20_000)).unwrap());
        errors.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), e| (low.min(e.0), high.max(e.1)))
    }

    // The proven value is never below the sampled one, and within the stated gap of it.
    fn check(choice: &Choice<'_>, low_c: f64, high_c: f64) -> LargestError {
        let proven = choice.largest(low_c, high_c).unwrap();
        let (low, high) = sampled(choice, low_c, high_c);
        let size = high.max(-low);
        // The sampled error itself is rounded: two roundings of the temperature.
        let (gap, rounding) = (1e-3 * size + 1e-9, 1e-12);
        assert!(proven.largest_k >= size - rounding && proven.largest_k <= size + 1.01 * gap, "{proven:?} {size:e}");
        assert!(
            proven.most_positive_k >= high - rounding && proven.most_positive_k <= high + 1.01 * gap,
            "{proven:?} {high:e}"
        );
        assert!(
            proven.most_negative_k <= low + rounding && proven.most_negative_k >= low - 1.01 * gap,
            "{proven:?} {low:e}"
        );
        assert!(proven.reached_k <= proven.largest_k && proven.reached_k >= proven.largest_k - 1.01 * gap);
        let at = choice.error_bounds_k(proven.at_c).unwrap();
        assert!((at.0.abs().max(at.1.abs()) - proven.reached_k).abs() < 1e-9, "{proven:?} {at:?}");
        proven
    }

    // Witness, by hand from R = R0 (1 + A t + B t²) between 0 °C and t: the line gives t (A + B t)/(A + B h), so that its
    // error is B t (t − h)/(A + B h): 0.375, 1.523 and 6.282 K at the middle of 0-100, 0-200 and 0-400 °C. The best line
    // halves it.
    #[test]
    fn linear_in_resistance() {
        let pt100 = pt100();
        let (a, b) = (3.9083e-3_f64, -5.775e-7_f64);
        for (h, printed, digit) in [(100.0, 0.375, 5e-4), (200.0, 1.523, 5e-4), (400.0, 6.282, 5e-4)] {
            let exact = -b * h * h / 4.0 / (a + b * h);
            assert!((exact - printed).abs() < digit);
            let terminal = Choice::linear(&pt100, 0.0, h, Basis::Terminal).unwrap();
            assert!((terminal.error_k(0.5 * h).unwrap() - exact).abs() < 1e-12);
            let found = check(&terminal, 0.0, h);
            assert!((found.at_c - 0.5 * h).abs() < 1.0 && (found.largest_k - exact).abs() < 1e-3 * exact);
            let best = check(&Choice::linear(&pt100, 0.0, h, Basis::Independent).unwrap(), 0.0, h);
            assert!((best.largest_k / exact - 0.5).abs() < 1e-3, "{best:?}");
            let zero = check(&Choice::linear(&pt100, 0.0, h, Basis::Zero).unwrap(), 0.0, h);
            assert!(zero.largest_k > best.largest_k && zero.largest_k < exact);
        }
        assert_eq!(Choice::linear(&pt100, 0.0, 100.0, Basis::Unadjusted).map_err(|e| e.code()).map(|_| ()), Err(104));
    }

    // Witness: lead 0.5 ohm over the slope of IEC 60751 is 1.280 K at 0 °C and 1.452 K at 400 °C; a little less or more for
    // the bend of the curve over that kelvin.
    #[test]
    fn two_wires_and_resolution() {
        let pt100 = pt100();
        let found = check(&Choice::two_wire(&pt100, 0.5).unwrap(), 0.0, 400.0);
        assert!((found.largest_k - 1.453).abs() < 0.002 && found.at_c > 399.0, "{found:?}");
        assert!((found.most_negative_k - 1.280).abs() < 0.002 && found.most_negative_at_c < 1.0, "{found:?}");
        // 0.1 ohm: half a step over the slope, 0.05/0.34463 at 400 °C.
        let step = Choice::resolution(&pt100, 0.1).unwrap();
        let found = check(&step, 0.0, 400.0);
        assert!((found.largest_k - 0.05 / 0.344_63).abs() < 2e-4, "{found:?}");
        let (low, high) = step.error_bounds_k(100.0).unwrap();
        assert!(low < 0.0 && high > 0.0 && step.error_k(100.0).unwrap().abs() == high.max(-low));
        let together = Choice::two_wire(&pt100, 0.5).unwrap().with_resolution(0.1).unwrap();
        check(&together, -100.0, 300.0);
        assert_eq!(Choice::two_wire(&pt100, -0.5).map_err(|e| e.code()).map(|_| ()), Err(103));
        assert_eq!(Choice::resolution(&pt100, f64::NAN).map_err(|e| e.code()).map(|_| ()), Err(101));
    }

    // Witness: errors in mK of coefficients as entered (alpha .0038506, delta 1.4999, beta .10863) at −100, 100, 250, 400
    // and 600 °C: 1.5, −1.3, −2.9, −4.0, −4.5; and of another alpha (3.9739e-3, −5.870e-7): 1.70 K at 100, 3.47 at 200,
    // 7.2 at 400 °C. Half of the last digit.
    #[test]
    fn rounded_coefficients_and_another_alpha() {
        let pt100 = pt100();
        let entered = CallendarVanDusen::from_alpha_delta_beta(100.0, 0.003_850_6, 1.4999, 0.108_63).unwrap();
        let choice = Choice::read_with(&pt100, &entered);
        for (t_c, mk) in [(-100.0, 1.5), (100.0, -1.3), (250.0, -2.9), (400.0, -4.0), (600.0, -4.5)] {
            let found = 1e3 * choice.error_k(t_c).unwrap();
            assert!((found - mk).abs() < 0.05, "{t_c} {found}");
        }
        check(&choice, -200.0, 600.0);
        let other = CallendarVanDusen::new(100.0, 3.9739e-3, -5.870e-7, 0.0).unwrap();
        let choice = Choice::read_with(&other, &pt100);
        for (t_c, k, digit) in [(100.0, 1.70, 0.005), (200.0, 3.47, 0.005), (400.0, 7.2, 0.05)] {
            assert!((choice.error_k(t_c).unwrap() - k).abs() < digit, "{t_c}");
        }
        let found = check(&choice, -100.0, 800.0);
        assert!(found.at_c == 800.0);
        // Beyond what the reading curve holds.
        assert_eq!(choice.largest(0.0, 850.0).map_err(|e| e.code()).map(|_| ()), Err(102));
    }

    #[test]
    fn the_same_curve_makes_no_error_and_joints_and_falling_curves_are_no_obstacle() {
        let pt100 = pt100();
        let same = Choice::read_with(&pt100, &pt100).largest(-200.0, 850.0).unwrap();
        assert!(same.largest_k < 1e-9, "{same:?}");
        let copper = PolynomialRtd::standard("gost6651_cu428", 100.0).unwrap();
        check(&Choice::two_wire(&copper, 0.3).unwrap(), -150.0, 150.0);
        let (k, n) = (Thermocouple::new("K").unwrap(), Thermocouple::new("N").unwrap());
        check(&Choice::read_with(&n, &k), -100.0, 1200.0);
        check(&Choice::read_with(&k, &k).with_added_signal(0.05).unwrap(), -200.0, 1300.0);
        let probe = BetaThermistor::with_range(1e4, 3950.0, -40.0, 150.0).unwrap();
        let other = BetaThermistor::with_range(1e4, 3977.0, -60.0, 200.0).unwrap();
        check(&Choice::read_with(&probe, &other), -40.0, 150.0);
        check(&Choice::linear(&probe, 20.0, 40.0, Basis::Terminal).unwrap(), 20.0, 40.0);
    }

    #[test]
    fn what_cannot_be_proven_is_said() {
        let b = Thermocouple::new("B").unwrap().on_side(Side::Upper).unwrap();
        let minimum_c = b.range().low;
        let choice = Choice::resolution(&b, 1e-6).unwrap();
        // The slope vanishes at the lower end.
        assert!(choice.largest(minimum_c, 100.0).is_err());
        assert!(choice.largest(100.0, 1800.0).is_ok());
        assert_eq!(choice.largest(200.0, 100.0).map_err(|e| e.code()).map(|_| ()), Err(103));
    }
}
