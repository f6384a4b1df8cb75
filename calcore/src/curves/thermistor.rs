//! Thermistors whose resistance falls with temperature.

use super::SensorCurve;
use super::bounds::{kelvin, proven_argument};
use crate::constants::temperature::{ABSOLUTE_ZERO_C, ICE_POINT_K};
use crate::error::{Error, Result, finite, positive, text};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::{horner, horner_with_slope};
use crate::num::root::bracketed_newton;

/// Range that is taken when none is given, °C: common practice for ceramic thermistors, no source.
const DEFAULT_RANGE_C: (f64, f64) = (-100.0, 325.0);
/// No range ends higher, °C: everything is molten.
const HIGHEST_C: f64 = 10_000.0;
/// Logarithms of the resistance that are searched: 1e-13 ohm to 1e13 ohm, far beyond any thermistor.
const LOGARITHMS: (f64, f64) = (-30.0, 30.0);
/// 25 °C, K: the temperature to which R25 belongs.
const T25_K: f64 = 298.15;

/// A thermistor by the equation of Steinhart and Hart, with or without its quadratic term.
///
/// # Formula
/// 1/T = a0 + a1 ln R + a2 (ln R)² + a3 (ln R)³, T in kelvin, R in ohm. The original has no quadratic term. Resistance
/// from temperature is the root of the cubic in closed form, polished by Newton's method.
///
/// # Source
/// J. S. Steinhart, S. R. Hart, Deep-Sea Research 15 (1968) 497-503; with the quadratic term: B. W. Mangum,
/// Rev. Sci. Instrum. 54 (1983) 1687 (from memory).
///
/// # Example
/// ```
/// use calcore::curves::SteinhartHart;
/// // A published test case: 2190.2707477783 ohm is 22.544681 °C.
/// let probe = SteinhartHart::with_quadratic(1.281651e-3, 2.706002e-4, -1.027561e-6, 1.749446e-7)?;
/// assert!((probe.temperature(2190.2707477783)? - 22.544681).abs() < 5e-7);
/// assert!((probe.resistance(probe.temperature(2190.0)?)? - 2190.0).abs() < 1e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteinhartHart {
    /// Ascending, by the power of ln R.
    coefficients: [f64; 4],
    /// Logarithms of the resistance between which 1/T rises and covers the range.
    bracket: (f64, f64),
    range: Interval,
    signal_range: Interval,
}

impl SteinhartHart {
    /// 1/T = a + b ln R + c (ln R)³, over −100 °C to 325 °C.
    ///
    /// # Errors
    /// As [`SteinhartHart::with_range`].
    pub fn new(a: f64, b: f64, c: f64) -> Result<Self> {
        Self::with_quadratic(a, b, 0.0, c)
    }

    /// The equation with its quadratic term, over −100 °C to 325 °C.
    ///
    /// # Errors
    /// As [`SteinhartHart::with_range`].
    pub fn with_quadratic(a0: f64, a1: f64, a2: f64, a3: f64) -> Result<Self> {
        Self::with_range(a0, a1, a2, a3, DEFAULT_RANGE_C.0, DEFAULT_RANGE_C.1)
    }

    /// The equation with its quadratic term (zero for the original) over a range of its own, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for an empty range, and when there is no stretch of resistances on
    /// which 1/T rises and covers the range: then the coefficients are wrong or hold for a narrower range.
    pub fn with_range(a0: f64, a1: f64, a2: f64, a3: f64, low_c: f64, high_c: f64) -> Result<Self> {
        let coefficients = [a0, a1, a2, a3];
        for value in coefficients {
            finite("coefficient", value)?;
        }
        let range = checked_range(low_c, high_c)?;
        let covers = |&(low, high): &(f64, f64)| {
            horner(&coefficients, low) <= 1.0 / (high_c + ICE_POINT_K)
                && horner(&coefficients, high) >= 1.0 / (low_c + ICE_POINT_K)
        };
        let Some(bracket) = rising_stretches(&coefficients).find(covers) else {
            return Err(Error::InvalidValue {
                what: "coefficient of ln R",
                value: a1,
                unit: "1/K",
                requirement: text!(
                    "1/T must rise with ln R from {high_c} °C to {low_c} °C; give a narrower range if the fit holds \
                     for one only"
                ),
            });
        };
        let blank = Interval { what: "resistance", unit: "ohm", low: 0.0, high: 0.0 };
        let mut curve = Self { coefficients, bracket, range, signal_range: blank };
        curve.signal_range = falling_signal_range(&curve, blank)?;
        Ok(curve)
    }

    /// The coefficients a0, a1, a2, a3.
    #[must_use]
    pub fn coefficients(&self) -> [f64; 4] {
        self.coefficients
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

    /// Change of the resistance per kelvin, ohm/K: negative.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn slope(&self, t_c: f64) -> Result<f64> {
        SensorCurve::slope(self, t_c)
    }

    /// Whether a resistance, ohm, lies on the stretch of the equation that the curve uses.
    #[cfg(feature = "std")]
    pub(crate) fn uses(&self, ohm: f64) -> bool {
        let x = libm::log(ohm);
        x >= self.bracket.0 && x <= self.bracket.1
    }

    /// ln R at a temperature.
    fn logarithm(&self, t_c: f64) -> f64 {
        let inverse_k = 1.0 / (t_c + ICE_POINT_K);
        let mut x = self.closed_form(inverse_k);
        for _ in 0..3 {
            let (value, slope) = horner_with_slope(&self.coefficients, x);
            let step = (value - inverse_k) / slope;
            x -= step;
            // A step of 1e-7 squares to less than the rounding; the closed form is seldom worse than 1e-12.
            if step.abs() < 1e-7 && x > self.bracket.0 && x < self.bracket.1 {
                return x;
            }
        }
        bracketed_newton("logarithm of the resistance", "", self.bracket.0, self.bracket.1, |x| {
            let (value, slope) = horner_with_slope(&self.coefficients, x);
            (value - inverse_k, slope)
        })
        .unwrap_or(f64::NAN)
    }

    /// The root of the cubic where it has but one; otherwise a start for the iteration, or NaN.
    fn closed_form(&self, inverse_k: f64) -> f64 {
        let [a0, a1, a2, a3] = self.coefficients;
        if a3 == 0.0 {
            let rise = inverse_k - a0;
            return 2.0 * rise / (a1 + libm::sqrt((a1 * a1 + 4.0 * a2 * rise).max(0.0)));
        }
        // x = y − shift turns the cubic into y³ + 3 p y + 2 q = 0.
        let shift = a2 / (3.0 * a3);
        let p = a1 / (3.0 * a3) - shift * shift;
        let q = (shift * (shift * shift - a1 / (2.0 * a3))) + (a0 - inverse_k) / (2.0 * a3);
        let root = libm::sqrt(p * p * p + q * q);
        // The larger of the two cube roots first, the other from the product −p: no digits cancel in it.
        let larger = if q > 0.0 { -libm::cbrt(q + root) } else { libm::cbrt(root - q) };
        larger - p / larger - shift
    }
}

impl SensorCurve for SteinhartHart {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    /// ln R by inverting 1/T = P(ln R): P is monotone inside the bracket, so that a guess of ln R at either end, moved
    /// outwards until P proves it, encloses all between.
    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let inverse_k = kelvin(t_c).reciprocal();
        let coefficients = || self.coefficients.iter().map(|&c| Enclosure::point(c));
        let guess = Enclosure::new(self.logarithm(t_c.high), self.logarithm(t_c.low));
        let Some(x) = proven_argument(|x| Jet::polynomial(coefficients(), x), guess, inverse_k.value()) else {
            return Jet::UNKNOWN;
        };
        Jet::polynomial(coefficients(), x).inverse(x).of(&inverse_k).exponential()
    }

    fn extrapolated_signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        libm::exp(self.logarithm(t_c))
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        let x = self.logarithm(t_c);
        let t_k = t_c + ICE_POINT_K;
        -libm::exp(x) / (t_k * t_k * horner_with_slope(&self.coefficients, x).1)
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        1.0 / horner(&self.coefficients, libm::log(signal)) - ICE_POINT_K
    }
}

/// A thermistor by its resistance at 25 °C and its beta.
///
/// # Formula
/// R = R25 exp(β (1/T − 1/298.15 K)), T in kelvin.
///
/// # Example
/// ```
/// use calcore::curves::BetaThermistor;
/// let probe = BetaThermistor::new(10_000.0, 3950.0)?;
/// assert_eq!(probe.resistance(25.0)?, 10_000.0);
/// assert!((probe.temperature(probe.resistance(80.0)?)? - 80.0).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BetaThermistor {
    r25: f64,
    beta: f64,
    range: Interval,
    signal_range: Interval,
}

impl BetaThermistor {
    /// A thermistor by its resistance at 25 °C, ohm, and β, K, over −100 °C to 325 °C.
    ///
    /// # Errors
    /// As [`BetaThermistor::with_range`].
    pub fn new(r25: f64, beta: f64) -> Result<Self> {
        Self::with_range(r25, beta, DEFAULT_RANGE_C.0, DEFAULT_RANGE_C.1)
    }

    /// A thermistor over a range of its own, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless both are positive, the range is not empty and the
    /// resistance is a number all over it.
    pub fn with_range(r25: f64, beta: f64, low_c: f64, high_c: f64) -> Result<Self> {
        positive("resistance at 25 °C", r25, "ohm")?;
        positive("beta", beta, "K")?;
        let range = checked_range(low_c, high_c)?;
        let blank = Interval { what: "resistance", unit: "ohm", low: 0.0, high: 0.0 };
        let mut curve = Self { r25, beta, range, signal_range: blank };
        curve.signal_range = falling_signal_range(&curve, blank)?;
        Ok(curve)
    }

    /// Beta by two points, K: ln(R1/R2) / (1/T1 − 1/T2).
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless the resistances are positive, the temperatures, °C,
    /// lie above absolute zero and differ, and the warmer point has the lower resistance.
    ///
    /// # Example
    /// ```
    /// // 34780 ohm at 50 °C and 2872 ohm at 125 °C.
    /// let beta = calcore::curves::BetaThermistor::beta_from_points((50.0, 34_780.0), (125.0, 2_872.0))?;
    /// assert!((beta - 4278.504_192_338_731).abs() < 1e-9);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn beta_from_points(first: (f64, f64), second: (f64, f64)) -> Result<f64> {
        let logarithm = libm::log(positive("resistance", first.1, "ohm")? / positive("resistance", second.1, "ohm")?);
        let first_k = positive("temperature above absolute zero", finite("temperature", first.0)? + ICE_POINT_K, "K")?;
        let second_k =
            positive("temperature above absolute zero", finite("temperature", second.0)? + ICE_POINT_K, "K")?;
        let difference_k = second.0 - first.0;
        if difference_k == 0.0 {
            let requirement = "the two points must differ in temperature".into();
            return Err(Error::InvalidValue { what: "difference", value: difference_k, unit: "K", requirement });
        }
        let beta = finite("beta", logarithm * first_k * second_k / difference_k)?;
        if beta > 0.0 {
            return Ok(beta);
        }
        let requirement = text!(
            "it must be greater than 0: the resistance must fall from the colder point to the warmer one, but it is {} \
             ohm at {} °C and {} ohm at {} °C",
            first.1,
            first.0,
            second.1,
            second.0
        );
        Err(Error::InvalidValue { what: "beta", value: beta, unit: "K", requirement })
    }

    /// Resistance at 25 °C, ohm.
    #[must_use]
    pub fn r25(&self) -> f64 {
        self.r25
    }

    /// Beta, K.
    #[must_use]
    pub fn beta(&self) -> f64 {
        self.beta
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

    /// Change of the resistance per kelvin, ohm/K: negative.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn slope(&self, t_c: f64) -> Result<f64> {
        SensorCurve::slope(self, t_c)
    }
}

impl SensorCurve for BetaThermistor {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let difference = kelvin(t_c).reciprocal().moved(-Enclosure::rounded(T25_K).reciprocal());
        difference.scaled(Enclosure::point(self.beta)).exponential().scaled(Enclosure::point(self.r25))
    }

    fn extrapolated_signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        // 1/T − 1/T25 in the form that keeps its digits near 25 °C.
        self.r25 * libm::exp(self.beta * (25.0 - t_c) / ((t_c + ICE_POINT_K) * T25_K))
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        let t_k = t_c + ICE_POINT_K;
        -self.beta / (t_k * t_k) * self.raw_signal(t_c)
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        let part = T25_K * libm::log(signal / self.r25) / self.beta;
        25.0 - T25_K * part / (1.0 + part)
    }
}

fn checked_range(low_c: f64, high_c: f64) -> Result<Interval> {
    finite("lower end of the range", low_c)?;
    finite("upper end of the range", high_c)?;
    if low_c > ABSOLUTE_ZERO_C && low_c < high_c && high_c <= HIGHEST_C {
        return Ok(Interval::celsius(low_c, high_c));
    }
    Err(Error::InvalidValue {
        what: "lower end of the range",
        value: low_c,
        unit: "°C",
        requirement: text!(
            "it must lie above {ABSOLUTE_ZERO_C} °C and below the upper end, {high_c} °C, and that not above {HIGHEST_C} °C"
        ),
    })
}

/// The resistances over the range of a falling curve.
fn falling_signal_range(curve: &dyn SensorCurve, blank: Interval) -> Result<Interval> {
    let range = curve.range();
    let (low, high) = (curve.raw_signal(range.high), curve.raw_signal(range.low));
    if low > 0.0 && high.is_finite() && low < high {
        return Ok(Interval { low, high, ..blank }.widened_for_rounding());
    }
    Err(Error::InvalidValue {
        what: "resistance at the lower end of the range",
        value: high,
        unit: "ohm",
        requirement: text!("it must be finite and above that at the upper end, {low} ohm: give a narrower range"),
    })
}

/// The stretches of ln R on which the cubic rises, the one with the largest resistances first.
fn rising_stretches(coefficients: &[f64; 4]) -> impl Iterator<Item = (f64, f64)> {
    let [_, a1, a2, a3] = *coefficients;
    // Turning points: a1 + 2 a2 x + 3 a3 x² = 0.
    let mut ends = [LOGARITHMS.0, LOGARITHMS.1, LOGARITHMS.1, LOGARITHMS.1];
    let mut turns = 0;
    let root = libm::sqrt(a2 * a2 - 3.0 * a1 * a3);
    let larger = -(a2 + if a2 < 0.0 { -root } else { root });
    for turn in [larger / (3.0 * a3), a1 / larger] {
        // Not finite where the slope has no root, or one only.
        if turn > LOGARITHMS.0 && turn < LOGARITHMS.1 {
            ends[1 + turns] = turn;
            turns += 1;
        }
    }
    ends.sort_unstable_by(f64::total_cmp);
    let slope = move |x: f64| a1 + x * (2.0 * a2 + x * 3.0 * a3);
    // Up to three stretches; those that are not used have no width.
    (0..3)
        .rev()
        .map(move |i| (ends[i], ends[i + 1]))
        .filter(move |&(low, high)| low < high && slope(0.5 * (low + high)) > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coefficients_that_are_no_thermistor_are_refused() {
        assert_eq!(SteinhartHart::new(1e-3, -2.4e-4, 1.5e-7).map_err(|e| e.code()), Err(103));
        assert_eq!(SteinhartHart::new(1e-3, 0.0, 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(SteinhartHart::new(f64::NAN, 2.4e-4, 1.5e-7).map_err(|e| e.code()), Err(101));
        assert_eq!(BetaThermistor::new(1e4, 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(BetaThermistor::with_range(1e4, 4e3, 50.0, 20.0).map_err(|e| e.code()), Err(103));
        assert_eq!(BetaThermistor::with_range(1e4, 4e3, -273.15, 20.0).map_err(|e| e.code()), Err(103));
        assert_eq!(BetaThermistor::with_range(1e4, 1e7, -50.0, 20.0).map_err(|e| e.code()), Err(103));
        let probe = BetaThermistor::new(1e4, 4e3).unwrap();
        assert_eq!(probe.temperature(-1.0).map_err(|e| e.code()), Err(102));
        assert_eq!(probe.resistance(400.0).map_err(|e| e.code()), Err(102));
    }

    // A cubic that turns inside the search (a3 < 0), and one without cubic or quadratic term: 1/T = a0 + a1 ln R is the
    // beta equation, beta = 1/a1.
    #[test]
    fn other_shapes_of_the_cubic_invert_as_well() {
        let bent = SteinhartHart::with_range(1.0e-3, 2.6e-4, 0.0, -1e-7, 0.0, 100.0).unwrap();
        let parabola = SteinhartHart::with_range(1.0e-3, 2.0e-4, 2e-6, 0.0, 0.0, 100.0).unwrap();
        let three_roots = SteinhartHart::with_range(2.2e-3, -1e-5, 0.0, 1e-6, 0.0, 100.0).unwrap();
        for curve in [bent, parabola, three_roots] {
            for t_c in [0.0, 12.5, 25.0, 99.0, 100.0] {
                let ohm = curve.resistance(t_c).unwrap();
                // T below 512: one unit of 1/T is 5.7e-14 K, and the cubic has three more roundings.
                assert!((curve.temperature(ohm).unwrap() - t_c).abs() < 3e-13, "{curve:?} {t_c}");
            }
        }
        let straight = SteinhartHart::new(1.0 / T25_K - libm::log(1e4) / 4000.0, 1.0 / 4000.0, 0.0).unwrap();
        let beta = BetaThermistor::new(1e4, 4000.0).unwrap();
        for t_c in [-50.0, 0.0, 25.0, 150.0] {
            let (one, other) = (straight.resistance(t_c).unwrap(), beta.resistance(t_c).unwrap());
            // The exponent, up to 20, is rounded: 3.6e-15 relative, and 1/T times beta as much again.
            assert!((one - other).abs() < 1e-14 * other, "{t_c} {one} {other}");
            let (one, other) = (straight.slope(t_c).unwrap(), beta.slope(t_c).unwrap());
            assert!((one - other).abs() < 1e-14 * other.abs());
        }
    }

    proptest::proptest! {
        #[test]
        fn inverse_of_forward(t_c in -100.0..325.0f64) {
            let curves: [&dyn SensorCurve; 3] = [
                &SteinhartHart::new(1.1738e-3, 2.4e-4, 1.5e-7).unwrap(),
                &SteinhartHart::with_quadratic(1.281651e-3, 2.706002e-4, -1.027561e-6, 1.749446e-7).unwrap(),
                &BetaThermistor::new(1e4, 3950.0).unwrap(),
            ];
            for curve in curves {
                let back = curve.temperature(curve.signal(t_c).unwrap()).unwrap();
                // Units in the last place of T below 1024 (1.1e-13), a few of them.
                proptest::prop_assert!((back - t_c).abs() < 1e-12, "{t_c} {back}");
                proptest::prop_assert!(curve.slope(t_c).unwrap() < 0.0);
            }
        }
    }
}
