//! The Callendar-Van Dusen equation of a platinum resistance thermometer.

use super::{Joint, SensorCurve};
use crate::constants::rtd::IEC60751;
use crate::constants::temperature::ABSOLUTE_ZERO_C;
use crate::error::{Error, Result, finite, positive, text};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::square_root;
use crate::num::root::bracketed_newton;
use crate::num::simd;

/// A step of the inverse below which the next one could only repeat rounding: Halley's method triples the digits, so
/// a step of 1e-4 K means that far less than the rounding of a temperature is left.
const CONVERGED_STEP_K: f64 = 1e-4;

/// A platinum resistance thermometer by R0, A, B and C.
///
/// # Formula
/// R(t) = R0 (1 + A t + B t² + C (t − 100) t³), with C = 0 for t ≥ 0.
///
/// The inverse is exact: above R0 the solution of the quadratic in the form that keeps its digits near R0, below R0
/// two steps of Halley's method from it, and the bracketed Newton method wherever these have not converged.
///
/// # Source
/// IEC 60751:2022, clause 4; M. S. Van Dusen, J. Am. Chem. Soc. 47 (1925) 326.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// assert!((pt100.resistance(100.0)? - 138.5055).abs() < 1e-12); // IEC 60751 table 1 prints 138.51
/// assert!((pt100.temperature(138.5055)? - 100.0).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CallendarVanDusen {
    r0: f64,
    a: f64,
    b: f64,
    c: f64,
    // The coefficients in ohm: one rounding less at every evaluation.
    a_ohm: f64,
    b_ohm: f64,
    c_ohm: f64,
    range: Interval,
    signal_range: Interval,
}

impl CallendarVanDusen {
    /// A thermometer by its coefficients (ohm, 1/K, 1/K², 1/K⁴), over the range of IEC 60751, −200 °C to 850 °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless `r0` and `a` are positive and the resistance is
    /// positive and rises over the whole range (see [`CallendarVanDusen::with_range`] for one that does not).
    pub fn new(r0: f64, a: f64, b: f64, c: f64) -> Result<Self> {
        Self::with_range(r0, a, b, c, IEC60751.low_c, IEC60751.high_c)
    }

    /// A thermometer by its coefficients over a range of its own, °C.
    ///
    /// # Errors
    /// As [`CallendarVanDusen::new`], for the given range; [`Error::InvalidValue`] when the range is empty or leaves
    /// what the equation can mean.
    pub fn with_range(r0: f64, a: f64, b: f64, c: f64, low_c: f64, high_c: f64) -> Result<Self> {
        positive("r0", r0, "ohm")?;
        positive("a", a, "1/K")?;
        finite("b", b)?;
        finite("c", c)?;
        finite("lower end of the range", low_c)?;
        finite("upper end of the range", high_c)?;
        if low_c >= high_c || low_c < ABSOLUTE_ZERO_C {
            return Err(Error::InvalidValue {
                what: "lower end of the range",
                value: low_c,
                unit: "°C",
                requirement: text!("it must lie between {ABSOLUTE_ZERO_C} °C and the upper end, {high_c} °C"),
            });
        }
        let range = Interval::celsius(low_c, high_c);
        let blank = Interval { what: "resistance", unit: "ohm", low: 0.0, high: 0.0 };
        let (a_ohm, b_ohm, c_ohm) = (r0 * a, r0 * b, r0 * c);
        let mut curve = Self { r0, a, b, c, a_ohm, b_ohm, c_ohm, range, signal_range: blank };
        if let Some(t_c) = curve.falls_at() {
            return Err(Error::InvalidValue {
                what: "slope of the resistance",
                value: curve.raw_slope(t_c),
                unit: "ohm/K",
                requirement: text!("it must be positive from {low_c} °C to {high_c} °C, but is not at {t_c} °C"),
            });
        }
        // It rises: what it is at the lower end it is everywhere.
        let lowest = curve.raw_signal(low_c);
        if lowest <= 0.0 {
            return Err(Error::InvalidValue {
                what: "resistance",
                value: lowest,
                unit: "ohm",
                requirement: text!("it must be positive from {low_c} °C to {high_c} °C, but is not at {low_c} °C"),
            });
        }
        curve.signal_range = Interval { low: lowest, high: curve.raw_signal(high_c), ..blank }.widened_for_rounding();
        Ok(curve)
    }

    /// Platinum by the coefficients of IEC 60751, of any resistance at 0 °C.
    ///
    /// # Errors
    /// [`Error::InvalidValue`] unless `r0` is positive.
    pub fn iec60751(r0: f64) -> Result<Self> {
        Self::new(r0, IEC60751.a, IEC60751.b, IEC60751.c)
    }

    /// A thermometer by Callendar's and Van Dusen's constants.
    ///
    /// # Formula
    /// R/R0 = 1 + α [t − δ (t/100)(t/100 − 1) − β (t/100 − 1)(t/100)³], β = 0 for t ≥ 0; hence A = α (1 + δ/100),
    /// B = −α δ 10⁻⁴, C = −α β 10⁻⁸.
    ///
    /// # Errors
    /// As [`CallendarVanDusen::new`].
    pub fn from_alpha_delta_beta(r0: f64, alpha: f64, delta: f64, beta: f64) -> Result<Self> {
        finite("delta", delta)?;
        finite("beta", beta)?;
        positive("alpha", alpha, "1/K")?;
        Self::new(r0, alpha * (1.0 + delta / 100.0), -alpha * delta / 1e4, -alpha * beta / 1e8)
    }

    /// Resistance at 0 °C, ohm.
    #[must_use]
    pub fn r0(&self) -> f64 {
        self.r0
    }
    /// Coefficient A, 1/K.
    #[must_use]
    pub fn a(&self) -> f64 {
        self.a
    }
    /// Coefficient B, 1/K².
    #[must_use]
    pub fn b(&self) -> f64 {
        self.b
    }
    /// Coefficient C, 1/K⁴.
    #[must_use]
    pub fn c(&self) -> f64 {
        self.c
    }
    /// α = A + 100 B, the mean temperature coefficient between 0 °C and 100 °C, 1/K.
    #[must_use]
    pub fn alpha(&self) -> f64 {
        self.a + 100.0 * self.b
    }
    /// δ = −10⁴ B / α, °C.
    #[must_use]
    pub fn delta(&self) -> f64 {
        -1e4 * self.b / self.alpha()
    }
    /// β = −10⁸ C / α, °C.
    #[must_use]
    pub fn beta(&self) -> f64 {
        -1e8 * self.c / self.alpha()
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

    /// Change of the resistance per kelvin, ohm/K.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn slope(&self, t_c: f64) -> Result<f64> {
        SensorCurve::slope(self, t_c)
    }

    /// A temperature of the range at which the resistance does not rise, if there is one.
    fn falls_at(&self) -> Option<f64> {
        // The slope is linear above 0 °C and a cubic below; its extremes lie at the ends, at 0 °C and where
        // 2 B + C (12 t² − 600 t) = 0.
        // (the second root is positive and so not in question). Without C the root is not finite and is left out.
        let turn = 25.0 - libm::sqrt(25.0f64 * 25.0 - self.b / (6.0 * self.c));
        let rises = |t: f64| self.raw_slope(t) > 0.0;
        [self.range.low, self.range.high, 0.0, turn].into_iter().find(|&t| self.range.contains(t) && !rises(t))
    }

    /// R − R0 at a temperature: keeps its relative precision near 0 °C.
    #[inline(always)]
    fn rise(&self, t: f64) -> f64 {
        let below = if t < 0.0 { self.c_ohm * ((t - 100.0) * t) } else { 0.0 };
        t * (self.a_ohm + t * (self.b_ohm + below))
    }

    #[inline(always)]
    fn derivative(&self, t: f64) -> f64 {
        let below = if t < 0.0 { self.c_ohm * (t * (4.0 * t - 300.0)) } else { 0.0 };
        self.a_ohm + t * (2.0 * self.b_ohm + below)
    }

    /// Solution without C: exact for t ≥ 0.
    #[inline(always)]
    fn quadratic(&self, ohm: f64) -> f64 {
        let rise = ohm - self.r0;
        2.0 * rise / (self.a_ohm + square_root(self.a_ohm * self.a_ohm + 4.0 * self.b_ohm * rise))
    }

    /// One step of Halley's method for t < 0.
    #[inline(always)]
    fn halley_step(&self, t: f64, rise: f64) -> f64 {
        let f = self.rise(t) - rise;
        let slope = self.derivative(t);
        let curvature = 2.0 * self.b_ohm + self.c_ohm * (t * (12.0 * t - 600.0));
        2.0 * f * slope / (2.0 * slope * slope - f * curvature)
    }

    /// Two Halley steps from the quadratic solution; NaN where they have not converged.
    #[inline(always)]
    fn below_zero(&self, start: f64, ohm: f64) -> f64 {
        let rise = ohm - self.r0;
        let first = start - self.halley_step(start, rise);
        let step = self.halley_step(first, rise);
        if step.abs() < CONVERGED_STEP_K { first - step } else { f64::NAN }
    }

    /// The slow, sure way: for coefficients unlike those of platinum.
    #[cold]
    fn below_zero_bracketed(&self, ohm: f64) -> f64 {
        let rise = ohm - self.r0;
        let low = self.range.low.min(self.extrapolation_range().low);
        bracketed_newton("temperature", "°C", low, 0.0, |t| (self.rise(t) - rise, self.derivative(t)))
            .unwrap_or(f64::NAN)
    }

    /// The flagged elements of a block, gathered side by side, from the quadratic solution to the whole one.
    fn solve_below_zero(&self, below: &[u8; simd::BLOCK], ohm: &[f64], t: &mut [f64]) {
        let curve = *self;
        let mut places = [0u16; simd::BLOCK];
        let (mut starts, mut signals) = ([0.0; simd::BLOCK], [0.0; simd::BLOCK]);
        // Eight flags at a time, and of these only the set ones.
        let mut cold = 0;
        for (eight, flags) in below.as_chunks::<8>().0.iter().enumerate().take(ohm.len().div_ceil(8)) {
            let mut set = u64::from_le_bytes(*flags);
            while set != 0 {
                places[cold % simd::BLOCK] = (8 * eight) as u16 + (set.trailing_zeros() / 8) as u16;
                set &= set - 1;
                cold += 1;
            }
        }
        for ((&i, start), r) in places[..cold].iter().zip(&mut starts).zip(&mut signals) {
            (*start, *r) = (t[usize::from(i)], ohm[usize::from(i)]);
        }
        simd::widest(
            #[inline(always)]
            || {
                for (start, &r) in starts[..cold].iter_mut().zip(&signals[..cold]) {
                    *start = curve.below_zero(*start, r);
                }
            },
        );
        for (k, &i) in places[..cold].iter().enumerate() {
            let found = starts[k];
            t[usize::from(i)] = if found.is_nan() { curve.below_zero_bracketed(signals[k]) } else { found };
        }
    }
}

impl SensorCurve for CallendarVanDusen {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let r0 = Enclosure::point(self.r0);
        let [a, b, c] = [self.a, self.b, self.c].map(|x| r0 * Enclosure::point(x));
        if t_c.low >= 0.0 {
            return Jet::polynomial([r0, a, b].into_iter(), t_c);
        }
        Jet::polynomial([r0, a, b, c * Enclosure::point(-100.0), c].into_iter(), t_c)
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        Joint::owned_above(0.0).from(t_c)
    }

    /// From where the resistance would be zero (or stop rising) up to where it stops rising, and to 10 000 °C at most.
    fn extrapolation_range(&self) -> Interval {
        let top = if self.b < 0.0 { (-self.a / (2.0 * self.b)).min(1e4) } else { 1e4 };
        let rising_and_positive = |t: f64| self.raw_slope(t) > 0.0 && self.raw_signal(t) > 0.0;
        // Downwards in steps of a degree: the cubic slope may turn more than once, a root finder could step over it.
        let mut low = self.range.low.min(0.0);
        while low - 1.0 >= ABSOLUTE_ZERO_C && rising_and_positive(low - 1.0) {
            low -= 1.0;
        }
        Interval { low, high: top.max(self.range.high), ..self.range }
    }

    #[inline]
    fn raw_signal(&self, t_c: f64) -> f64 {
        self.r0 + self.rise(t_c)
    }

    #[inline]
    fn raw_slope(&self, t_c: f64) -> f64 {
        self.derivative(t_c)
    }

    #[inline]
    fn raw_temperature(&self, signal: f64) -> f64 {
        let start = self.quadratic(signal);
        if signal >= self.r0 {
            return start;
        }
        let t = self.below_zero(start, signal);
        if t.is_nan() { self.below_zero_bracketed(signal) } else { t }
    }

    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        let curve = *self;
        simd::map(
            t_c,
            signal,
            #[inline(always)]
            move |t| curve.r0 + curve.rise(t),
        );
    }

    fn raw_slope_block(&self, t_c: &[f64], slope: &mut [f64]) {
        let curve = *self;
        simd::map(
            t_c,
            slope,
            #[inline(always)]
            move |t| curve.derivative(t),
        );
    }

    /// The quadratic for all, then the rest for those below R0 only.
    fn raw_temperature_block(&self, signal: &[f64], t_c: &mut [f64]) {
        let curve = *self;
        for (ohm, t) in signal.chunks(simd::BLOCK).zip(t_c.chunks_mut(simd::BLOCK)) {
            simd::map(
                ohm,
                t,
                #[inline(always)]
                move |r| curve.quadratic(r),
            );
            let mut below = [0u8; simd::BLOCK];
            let any = simd::widest(
                #[inline(always)]
                || {
                    below.iter_mut().zip(ohm).for_each(|(flag, &r)| *flag = u8::from(r < curve.r0));
                    below.iter().fold(0, |any, flag| any | flag)
                },
            );
            if any != 0 {
                self.solve_below_zero(&below, ohm, t);
            }
        }
    }
}
