//! Resistance thermometers of platinum, copper and nickel by polynomials.

use super::{Joint, SensorCurve};
use crate::constants::rtd::{PublishedInverse, RTD_STANDARDS, RatioEquation, RtdStandardData};
use crate::constants::temperature::ABSOLUTE_ZERO_C;
use crate::error::{Error, Names, Result, finite, positive, text};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::{horner, horner_with_slope};
use crate::num::root::bracketed_newton;
use crate::num::simd;

/// Highest power of t.
const DEGREE: usize = 6;
/// No range ends higher, °C: everything is molten.
const HIGHEST_C: f64 = 10_000.0;
/// Temperatures of each piece at which a user's polynomial is looked at.
const RISE_CHECKS: i32 = 400;
/// Largest relative step where two pieces meet.
const JOINT_TOLERANCE: f64 = 1e-9;

/// A resistance thermometer by one polynomial, or by two that meet at a temperature.
///
/// # Formula
/// R(t) = R0 (1 + a_1 t + a_2 t² + … + a_6 t⁶), with its own coefficients on either side of the joint.
///
/// # Kinks
/// Where two pieces meet with different slopes (copper of GOST 6651 at 0 °C, nickel of GOST 6651 at 100 °C), the slope
/// at the joint itself is that of the piece to which the standard gives the joint: copper at 0 °C the upper one
/// (0.428 ohm/K for 100 ohm, not 0.4276), nickel at 100 °C the lower one (0.6847 ohm/K, not 0.6939).
///
/// The inverse is exact: Newton's method on the piece to which the resistance belongs.
///
/// # Example
/// ```
/// use calcore::curves::PolynomialRtd;
/// let nickel = PolynomialRtd::standard("din43760_ni618", 100.0)?;
/// assert!((nickel.resistance(250.0)? - 289.16).abs() < 0.005);
/// assert!((nickel.temperature(nickel.resistance(123.4)?)? - 123.4).abs() < 1e-11);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolynomialRtd {
    r0: f64,
    /// Up to the joint, ohm, without the constant.
    below: [f64; DEGREE],
    /// From the joint up.
    above: [f64; DEGREE],
    joint_c: f64,
    joint_ohm: f64,
    /// Whether the joint itself belongs to the upper piece.
    joint_is_above: bool,
    /// The approximate inverse of the standard.
    published_inverse: Option<PublishedInverse>,
    range: Interval,
    signal_range: Interval,
}

/// Names of the thermometers that [`PolynomialRtd::standard`] knows, in the order of
/// [`crate::constants::rtd::RTD_STANDARDS`].
#[cfg(feature = "std")]
#[must_use]
pub fn rtd_standard_names() -> Vec<&'static str> {
    RTD_STANDARDS.iter().map(|known| known.name).collect()
}

/// What is known about a named thermometer: its title, nominal alpha, range, source, and how sure the numbers are.
///
/// # Errors
/// [`Error::UnknownName`].
pub fn rtd_standard(name: &str) -> Result<&'static RtdStandardData> {
    RTD_STANDARDS.iter().find(|known| known.name == name).ok_or_else(|| Error::UnknownName {
        what: "resistance thermometer",
        name: name.into(),
        expected: text!(
            "{} (nickel of 0.00672 and copper of 0.00427 have no published polynomial: give a table or coefficients)",
            Names(RTD_STANDARDS.iter().map(|known| known.name))
        ),
    })
}

impl PolynomialRtd {
    /// A thermometer by the name of its standard and its resistance at 0 °C, ohm.
    ///
    /// # Names
    /// Of standards: `iec60751_pt385`, `astm_e1137_pt385`, `gost6651_pt385`, `gost6651_pt391`, `gost6651_cu428`,
    /// `gost6651_cu426`, `gost6651_ni617`, `din43760_ni618`. Handbook sets that could not be traced to a standard:
    /// `jis_pt3916`, `handbook_pt3911`, `handbook_pt3923`, `handbook_pt3926`, `handbook_pt3928`, `handbook_pt3750`.
    ///
    /// For nickel of alpha 0.00672 and copper of alpha 0.00427 no polynomial with a published source was found: take
    /// [`super::TabulatedCurve`] with the maker's table, or [`PolynomialRtd::new`] with coefficients of your own.
    ///
    /// # Errors
    /// [`Error::UnknownName`]; [`Error::InvalidValue`] unless `r0` is positive.
    ///
    /// # Source
    /// [`crate::constants::rtd::RTD_STANDARDS`], each with its document.
    pub fn standard(name: &str, r0: f64) -> Result<Self> {
        let data = rtd_standard(name)?;
        let (low_c, high_c) = (data.low_c, data.high_c);
        let curve = match data.equation {
            RatioEquation::CallendarVanDusen { a, b, c } => {
                Self::build(r0, 0.0, true, &[a, b, -100.0 * c, c], &[a, b], low_c, high_c)
            }
            RatioEquation::CopperGost { a, b, c } => {
                Self::build(r0, 0.0, true, &[a + 6.7 * b, b, c], &[a], low_c, high_c)
            }
            RatioEquation::NickelGost { a, b, c } => {
                Self::build(r0, 100.0, false, &[a, b], &[a, b - 100.0 * c, c], low_c, high_c)
            }
            RatioEquation::NickelDin { a, b, d, f } => Self::new(r0, &[a, b, 0.0, d, 0.0, f], low_c, high_c),
            RatioEquation::Linear { a } => Self::new(r0, &[a], low_c, high_c),
        }?;
        Ok(Self { published_inverse: data.inverse, ..curve })
    }

    /// A thermometer by coefficients a_1, a_2, … of your own (1/K, 1/K², …), at most six, over a range, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::LengthMismatch`] for more than six coefficients or none;
    /// [`Error::InvalidValue`] unless `r0` is positive and the resistance is positive and rises over the whole range.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::PolynomialRtd;
    /// let copper = PolynomialRtd::new(9.035, &[4.27e-3], -50.0, 150.0)?;
    /// assert!((copper.temperature(copper.resistance(25.0)?)? - 25.0).abs() < 1e-12);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn new(r0: f64, coefficients: &[f64], low_c: f64, high_c: f64) -> Result<Self> {
        Self::build(r0, low_c, true, coefficients, coefficients, low_c, high_c)
    }

    /// A thermometer by two polynomials of your own that meet at `joint_c`, °C, which itself belongs to the upper one.
    ///
    /// # Errors
    /// As [`PolynomialRtd::new`]; [`Error::InvalidValue`] when the two resistances at the joint differ by more than a
    /// relative 1e-9, or the joint lies outside the range.
    pub fn piecewise(r0: f64, joint_c: f64, below: &[f64], above: &[f64], low_c: f64, high_c: f64) -> Result<Self> {
        Self::build(r0, joint_c, true, below, above, low_c, high_c)
    }

    fn build(
        r0: f64,
        joint_c: f64,
        joint_is_above: bool,
        below: &[f64],
        above: &[f64],
        low_c: f64,
        high_c: f64,
    ) -> Result<Self> {
        positive("r0", r0, "ohm")?;
        let (below, above) = (padded(r0, below)?, padded(r0, above)?);
        finite("lower end of the range", low_c)?;
        finite("upper end of the range", high_c)?;
        if low_c >= high_c || low_c < ABSOLUTE_ZERO_C || high_c > HIGHEST_C {
            return Err(Error::InvalidValue {
                what: "lower end of the range",
                value: low_c,
                unit: "°C",
                requirement: text!(
                    "it must lie between {ABSOLUTE_ZERO_C} °C and the upper end, {high_c} °C, and that not above {HIGHEST_C} °C"
                ),
            });
        }
        let range = Interval::celsius(low_c, high_c);
        if !range.contains(finite("joint", joint_c)?) {
            let requirement = text!("it must lie inside the range, {low_c} °C to {high_c} °C");
            return Err(Error::InvalidValue { what: "joint", value: joint_c, unit: "°C", requirement });
        }
        let blank = Interval { what: "resistance", unit: "ohm", low: 0.0, high: 0.0 };
        let mut curve = Self {
            r0,
            below,
            above,
            joint_c,
            joint_ohm: 0.0,
            joint_is_above,
            published_inverse: None,
            range,
            signal_range: blank,
        };
        curve.joint_ohm = curve.raw_signal(joint_c);
        let step = joint_c * (horner(&above, joint_c) - horner(&below, joint_c));
        if step.abs() > JOINT_TOLERANCE * curve.joint_ohm.abs() {
            return Err(Error::InvalidValue {
                what: "step of the resistance at the joint",
                value: step,
                unit: "ohm",
                requirement: text!("the two polynomials must meet at {joint_c} °C"),
            });
        }
        curve.check_rise()?;
        curve.signal_range =
            Interval { low: curve.raw_signal(low_c), high: curve.raw_signal(high_c), ..blank }.widened_for_rounding();
        Ok(curve)
    }

    fn check_rise(&self) -> Result<()> {
        for i in 0..=RISE_CHECKS {
            let part = f64::from(i) / f64::from(RISE_CHECKS);
            let t_c = self.range.low + (self.range.high - self.range.low) * part;
            let (signal, slope) = (self.raw_signal(t_c), self.raw_slope(t_c));
            let falls = !slope.is_finite() || slope <= 0.0;
            if falls || !signal.is_finite() || signal <= 0.0 {
                let (what, value, unit) =
                    if falls { ("slope of the resistance", slope, "ohm/K") } else { ("resistance", signal, "ohm") };
                let requirement = text!("it must be positive and finite over the whole range, but is not at {t_c} °C");
                return Err(Error::InvalidValue { what, value, unit, requirement });
            }
        }
        Ok(())
    }

    /// Resistance at 0 °C, ohm.
    #[must_use]
    pub fn r0(&self) -> f64 {
        self.r0
    }

    /// (R(100 °C) − R(0 °C)) / (100 R(0 °C)), 1/K, by the polynomial.
    #[must_use]
    pub fn alpha(&self) -> f64 {
        self.rise(100.0).0 / (100.0 * self.r0)
    }

    /// Temperature of a kink, °C, if the curve has one.
    #[must_use]
    pub fn kink_c(&self) -> Option<f64> {
        let t = self.joint_c;
        let (below, above) = (self.piece_rise(&self.below, t).1, self.piece_rise(&self.above, t).1);
        ((above - below).abs() > 1e-9 * above.abs()).then_some(t)
    }

    /// Resistance at a temperature, ohm.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn resistance(&self, t_c: f64) -> Result<f64> {
        self.signal(t_c)
    }

    /// Temperature that gives a resistance, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn temperature(&self, ohm: f64) -> Result<f64> {
        SensorCurve::temperature(self, ohm)
    }

    /// Temperature that gives a resistance, °C, by the approximation that the standard publishes for the stretch whose
    /// equation has no closed inverse (below 0 °C, for nickel above 100 °C); elsewhere it is exact.
    ///
    /// For comparison with instruments that use it: [`PolynomialRtd::temperature`] is exact everywhere.
    ///
    /// # Formula
    /// t = t0 + Σ d_i (R/R0 − ratio0)^i, within 0.0021 K ([`PublishedInverse::band_k`]).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::UnknownName`] for a thermometer whose standard publishes
    /// none.
    ///
    /// # Source
    /// ASTM E1137/E1137M; GOST 6651-2009, clause 5.2.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::PolynomialRtd;
    /// let pt100 = PolynomialRtd::standard("astm_e1137_pt385", 100.0)?;
    /// let difference = pt100.temperature_approximate(60.0)? - pt100.temperature(60.0)?;
    /// assert!(difference != 0.0 && difference.abs() < 0.0017);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn temperature_approximate(&self, ohm: f64) -> Result<f64> {
        let exact_c = self.temperature(ohm)?;
        let Some(inverse) = self.published_inverse else {
            return Err(Error::UnknownName {
                what: "published approximate inverse",
                name: "of this thermometer".into(),
                expected: "astm_e1137_pt385, gost6651_pt385, gost6651_pt391, gost6651_cu428 or gost6651_ni617".into(),
            });
        };
        let serves = if inverse.t0_c > 0.0 { exact_c > inverse.t0_c } else { exact_c < inverse.t0_c };
        if !serves {
            return Ok(exact_c);
        }
        let part = ohm / self.r0 - inverse.ratio0;
        Ok(inverse.t0_c + part * horner(&inverse.d, part))
    }

    /// Change of the resistance per kelvin, ohm/K.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn slope(&self, t_c: f64) -> Result<f64> {
        SensorCurve::slope(self, t_c)
    }

    fn piece(&self, t_c: f64) -> &[f64; DEGREE] {
        let is_above = if self.joint_is_above { t_c >= self.joint_c } else { t_c > self.joint_c };
        if is_above { &self.above } else { &self.below }
    }

    /// R − R0 and its slope.
    fn rise(&self, t_c: f64) -> (f64, f64) {
        self.piece_rise(self.piece(t_c), t_c)
    }

    fn piece_rise(&self, piece: &[f64; DEGREE], t_c: f64) -> (f64, f64) {
        let (quotient, slope) = horner_with_slope(piece, t_c);
        (t_c * quotient, quotient + t_c * slope)
    }
}

/// The coefficients in ohm: one rounding less at every evaluation.
fn padded(r0: f64, coefficients: &[f64]) -> Result<[f64; DEGREE]> {
    if coefficients.is_empty() || coefficients.len() > DEGREE {
        return Err(Error::LengthMismatch { what: "coefficients", expected: DEGREE, found: coefficients.len() });
    }
    let mut padded = [0.0; DEGREE];
    for (place, value) in padded.iter_mut().zip(coefficients) {
        *place = r0 * finite("coefficient", *value)?;
    }
    Ok(padded)
}

impl SensorCurve for PolynomialRtd {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        // The coefficients were rounded once when they became ohm.
        let rises = self.piece(t_c.low).iter().map(|&c| Enclosure::rounded(c));
        Jet::polynomial(core::iter::once(Enclosure::point(self.r0)).chain(rises), t_c)
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        let owned = if self.joint_is_above { Joint::owned_above } else { Joint::owned_below };
        owned(self.joint_c).from(t_c)
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        self.r0 + t_c * horner(self.piece(t_c), t_c)
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        self.rise(t_c).1
    }

    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        let Self { r0, below, above, joint_c, joint_is_above, .. } = *self;
        simd::map(
            t_c,
            signal,
            #[inline(always)]
            move |t| {
                // Both pieces, so that nothing branches: the same operations as for one value.
                let (lower, upper) = (horner(&below, t), horner(&above, t));
                let is_above = if joint_is_above { t >= joint_c } else { t > joint_c };
                r0 + t * if is_above { upper } else { lower }
            },
        );
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        if signal.is_nan() {
            return signal;
        }
        let rise = signal - self.r0;
        let is_above = signal >= self.joint_ohm;
        let piece = if is_above { &self.above } else { &self.below };
        let (low, high) = if is_above { (self.joint_c, self.range.high) } else { (self.range.low, self.joint_c) };
        let balance = |t_c: f64| {
            let (value, slope) = self.piece_rise(piece, t_c);
            (value - rise, slope)
        };
        // From the straight line and parabola of the first two coefficients; a step below 1e-5 K squares to rounding.
        let [a, b, ..] = *piece;
        let mut t_c = 2.0 * rise / (a + libm::sqrt((a * a + 4.0 * b * rise).max(0.0)));
        for _ in 0..6 {
            let (value, slope) = balance(t_c);
            let step = value / slope;
            t_c -= step;
            if step.abs() < 1e-5 && t_c >= low && t_c <= high {
                let (value, slope) = balance(t_c);
                return (t_c - value / slope).clamp(low, high);
            }
        }
        // At an end the balance may miss zero by rounding, and not change its sign.
        if balance(low).0 >= 0.0 {
            return low;
        }
        if balance(high).0 <= 0.0 {
            return high;
        }
        bracketed_newton("temperature", "°C", low, high, balance).unwrap_or(f64::NAN)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: GOST 6651-2009 equations differentiated by hand: copper A + 6.7 B = 4.275 843 856e-3 below and A above
    // 0 °C; nickel A + 200 B = 6.847 42e-3 below and that + 100² C = 6.939 424e-3 above 100 °C.
    #[test]
    fn the_slope_at_a_kink_is_that_of_the_piece_that_owns_it() {
        let copper = PolynomialRtd::standard("gost6651_cu428", 100.0).unwrap();
        assert_eq!(copper.kink_c(), Some(0.0));
        assert!((copper.slope(0.0).unwrap() - 0.428).abs() < 1e-16);
        assert!((copper.slope(-1e-9).unwrap() - 0.427_584_385_6).abs() < 1e-11);
        let nickel = PolynomialRtd::standard("gost6651_ni617", 100.0).unwrap();
        assert_eq!(nickel.kink_c(), Some(100.0));
        assert!((nickel.slope(100.0).unwrap() - 0.684_742).abs() < 1e-15);
        assert!((nickel.slope(100.0 + 1e-9).unwrap() - 0.693_942_4).abs() < 1e-10);
        assert_eq!(PolynomialRtd::standard("gost6651_pt391", 100.0).unwrap().kink_c(), None);
    }

    // Witness: by hand, A + 100 B, and for DIN nickel 1e6 D + 1e10 F besides.
    #[test]
    fn alpha_of_every_standard() {
        let expected = [
            3.85055e-3,
            3.85055e-3,
            3.85055e-3,
            3.91059e-3,
            4.28e-3,
            4.26e-3,
            6.17186e-3,
            6.17785e-3,
            3.9152e-3,
            3.910705e-3,
            3.920014e-3,
            3.9261e-3,
            3.92965e-3,
            3.7498e-3,
        ];
        for (name, alpha) in rtd_standard_names().into_iter().zip(expected) {
            let computed = PolynomialRtd::standard(name, 100.0).unwrap().alpha();
            // Half of the last digit shown.
            assert!((computed - alpha).abs() < 5e-9, "{name}: {computed:e}");
        }
    }

    // Witness: the largest differences found elsewhere at many digits, 2001-point scans: 0.00167 K (platinum 0.00385),
    // 0.00143 K (0.00391), 0.00175 K (copper), 0.00208 K (nickel); one unit of the last digit.
    #[test]
    fn published_inverses_keep_their_bands() {
        for (name, low_c, high_c, largest_k) in [
            ("astm_e1137_pt385", -200.0, 0.0, 0.00167),
            ("gost6651_pt385", -200.0, 0.0, 0.00167),
            ("gost6651_pt391", -200.0, 0.0, 0.00143),
            ("gost6651_cu428", -180.0, 0.0, 0.00175),
            ("gost6651_ni617", 100.0, 180.0, 0.00208),
        ] {
            let curve = PolynomialRtd::standard(name, 100.0).unwrap();
            let difference = |i: i32| {
                let t_c = low_c + (high_c - low_c) * f64::from(i) / 2000.0;
                (curve.temperature_approximate(curve.resistance(t_c).unwrap()).unwrap() - t_c).abs()
            };
            let largest = (0..=2000).map(difference).fold(0.0, f64::max);
            assert!((largest - largest_k).abs() <= 1e-5, "{name}: {largest}");
            assert!(largest <= rtd_standard(name).unwrap().inverse.unwrap().band_k);
        }
        let without = PolynomialRtd::standard("din43760_ni618", 100.0).unwrap();
        assert_eq!(without.temperature_approximate(120.0).map_err(|e| e.code()), Err(104));
    }

    #[test]
    fn nonsense_is_refused() {
        assert_eq!(PolynomialRtd::standard("pt100", 100.0).map_err(|e| e.code()), Err(104));
        assert_eq!(PolynomialRtd::standard("gost6651_cu428", 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(PolynomialRtd::new(100.0, &[], 0.0, 100.0).map_err(|e| e.code()), Err(105));
        assert_eq!(PolynomialRtd::new(100.0, &[0.1; 7], 0.0, 100.0).map_err(|e| e.code()), Err(105));
        assert_eq!(PolynomialRtd::new(100.0, &[4e-3, -4e-5], 0.0, 100.0).map_err(|e| e.code()), Err(103));
        assert_eq!(PolynomialRtd::new(100.0, &[4e-3], 100.0, 0.0).map_err(|e| e.code()), Err(103));
        let apart = PolynomialRtd::piecewise(100.0, 50.0, &[4e-3], &[4.1e-3], 0.0, 100.0);
        assert_eq!(apart.map_err(|e| e.code()), Err(103));
        let outside = PolynomialRtd::piecewise(100.0, 150.0, &[4e-3], &[4e-3], 0.0, 100.0);
        assert_eq!(outside.map_err(|e| e.code()), Err(103));
    }

    proptest::proptest! {
        #[test]
        fn inverse_of_forward(which in 0usize..14, part in 0.0..1.0f64) {
            let curve = PolynomialRtd::standard(rtd_standard_names()[which], 100.0).unwrap();
            let t_c = curve.range.low + part * (curve.range.high - curve.range.low);
            let back = curve.temperature(curve.resistance(t_c).unwrap()).unwrap();
            // Two units in the last place of a resistance below 512 ohm over a slope above 0.28 ohm/K, and one of t.
            proptest::prop_assert!((back - t_c).abs() < 6e-13, "{} {t_c} {back}", rtd_standard_names()[which]);
        }

        #[test]
        fn a_polynomial_unlike_any_metal_still_inverts(t_c in 0.0..100.0f64) {
            // Flat at the start: the parabola is no guide there.
            let curve = PolynomialRtd::new(1.0, &[1e-6, 0.0, 0.0, 0.0, 0.0, 1e-10], 0.0, 100.0).unwrap();
            let ohm = curve.resistance(t_c).unwrap();
            let back = curve.temperature(ohm).unwrap();
            proptest::prop_assert!((curve.resistance(back).unwrap() - ohm).abs() <= 4.0 * f64::EPSILON * ohm);
        }
    }
}
