//! A platinum resistance thermometer on the ITS-90: reference function and deviation function.

use super::bounds::{kelvin, proven_argument};
use super::{Joint, SensorCurve};
use crate::constants::its90::WATER_TRIPLE_POINT_C;
use crate::constants::temperature::ICE_POINT_K;
use crate::error::{Error, Result, Text, positive, text};
use crate::interval::Interval;
#[cfg(feature = "std")]
use crate::its90::{Acceptance, acceptance};
use crate::its90::{Deviation, Subrange, high, low};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::root::bracketed_newton;

/// Ratios at which the slope of W − ΔW(W) is looked at: the functions are smooth, of at most seven terms.
const SLOPE_CHECKS: i32 = 400;

/// Slopes of W_r against W that are taken for those of a thermometer. A deviation is a correction: pure platinum has a
/// slope of 1, industrial platinum of 1.02. Common practice, no source.
const SLOPES: (f64, f64) = (0.5, 2.0);

/// Which reference function a sub-range uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Branch {
    /// The lower one, up to 273.16 K.
    Low,
    /// The upper one, from 273.15 K on.
    High,
    /// The lower one below 273.16 K, the upper one from there on.
    Both,
}

/// A standard platinum resistance thermometer.
///
/// # Formula
/// R(T) = R(273.16 K) W; W − ΔW(W) = W_r(T90). Temperature from resistance needs no iteration but that of
/// [`crate::its90::temperature_from_ratio`]; resistance from temperature solves for W by Newton's method.
///
/// A sub-range that ends at 273.16 K uses the lower reference function up to its end, one from 0 °C the upper one down
/// to its end; for 3.3.3, which has both, and for the gap between them see [`crate::its90`]. W = 1 is always 273.16 K
/// within 0.0025 mK, the size of the gap.
///
/// The resistance that it stands on is the one at 0.01 °C, not at 0 °C: to mix them up costs 10 mK.
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
///
/// # Example
/// ```
/// use calcore::curves::Sprt;
/// use calcore::its90::Subrange;
/// let sprt = Sprt::new(25.5, Subrange::from_name("3.3.2.2")?, &[-1.2e-4, 3.0e-6])?;
/// let ohm = sprt.resistance(400.0)?;
/// assert!((sprt.temperature(ohm)? - 400.0).abs() < 1e-12);
/// assert!((sprt.ratio(0.01)? - 1.0).abs() < 1e-8);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sprt {
    r_tpw: f64,
    deviation: Deviation,
    branch: Branch,
    /// Ratios at the ends of the sub-range.
    ratios: (f64, f64),
    range: Interval,
    signal_range: Interval,
}

impl Sprt {
    /// A thermometer by its resistance at the triple point of water, ohm, and the coefficients of its deviation
    /// function in the order of [`Subrange::coefficient_names`].
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless the resistance is positive and W − ΔW(W) rises over the
    /// whole range, with a slope between 0.5 and 2; [`Error::LengthMismatch`].
    pub fn new(r_tpw: f64, subrange: Subrange, coefficients: &[f64]) -> Result<Self> {
        positive("resistance at the triple point of water", r_tpw, "ohm")?;
        let deviation = Deviation::new(subrange, coefficients)?;
        let range = subrange.range();
        let branch = if range.low >= 0.0 {
            Branch::High
        } else if range.high <= WATER_TRIPLE_POINT_C {
            Branch::Low
        } else {
            Branch::Both
        };
        let blank = Interval { what: "resistance", unit: "ohm", low: 0.0, high: 0.0 };
        let mut sprt = Self { r_tpw, deviation, branch, ratios: (0.0, 0.0), range, signal_range: blank };
        let (w_low, w_high) = (sprt.raw_ratio(range.low), sprt.raw_ratio(range.high));
        sprt.check_rise(w_low, w_high)?;
        sprt.ratios = (w_low, w_high);
        // The lower function ends just short of W = 1, which the triple point of water has all the same.
        let top = if branch == Branch::Low { w_high.max(1.0) } else { w_high };
        sprt.signal_range = Interval { low: r_tpw * w_low, high: r_tpw * top, ..blank }.widened_for_rounding();
        Ok(sprt)
    }

    fn check_rise(&self, w_low: f64, w_high: f64) -> Result<()> {
        let refuse = |value: f64, requirement: Text| {
            let what = "slope of the reference ratio against the ratio";
            Err(Error::InvalidValue { what, value, unit: "", requirement })
        };
        if w_low.is_nan() || !(self.r_tpw * w_high).is_finite() || w_low <= 0.0 || w_high <= w_low {
            return refuse(f64::NAN, "the coefficients leave no ratio at an end of the sub-range".into());
        }
        for i in 0..=SLOPE_CHECKS {
            // Closer together where the logarithm of the ratio counts.
            let part = f64::from(i) / f64::from(SLOPE_CHECKS);
            let w = w_low + (w_high - w_low) * part * part;
            let slope = 1.0 - self.deviation.slope(w);
            if !(SLOPES.0..=SLOPES.1).contains(&slope) {
                let (least, greatest) = SLOPES;
                return refuse(
                    slope,
                    text!("it must lie between {least} and {greatest} over the sub-range, but does not at W = {w}"),
                );
            }
        }
        Ok(())
    }

    /// Resistance at the triple point of water, ohm.
    #[must_use]
    pub fn r_tpw(&self) -> f64 {
        self.r_tpw
    }

    /// The sub-range.
    #[must_use]
    pub fn subrange(&self) -> Subrange {
        self.deviation.subrange()
    }

    /// The coefficients of the deviation function.
    #[must_use]
    pub fn coefficients(&self) -> &[f64] {
        self.deviation.coefficients()
    }

    /// The deviation function.
    #[must_use]
    pub fn deviation(&self) -> Deviation {
        self.deviation
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

    /// Ratio W = R(T)/R(273.16 K) at a temperature.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn ratio(&self, t_c: f64) -> Result<f64> {
        Ok(self.raw_ratio(self.range.check(t_c)?))
    }

    /// The deviation W − W_r at a ratio W, and its slope.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] for a ratio that no temperature of the sub-range has.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::Sprt;
    /// use calcore::its90::Subrange;
    /// let sprt = Sprt::new(25.5, Subrange::from_name("3.3.2.5")?, &[-1e-4])?; // a (W - 1)
    /// let (deviation, slope) = sprt.deviation_at(1.1)?;
    /// assert!((deviation + 1e-5).abs() < 1e-20 && slope == -1e-4);
    /// assert!(sprt.deviation_at(100.0).is_err());
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn deviation_at(&self, w: f64) -> Result<(f64, f64)> {
        let (low, high) = self.ratios;
        // As for the signal: the lower function ends just short of W = 1.
        let high = if self.branch == Branch::Low { high.max(1.0) } else { high };
        let w = Interval { what: "ratio", unit: "", low, high }.widened_for_rounding().check(w)?;
        Ok((self.deviation.value(w), self.deviation.slope(w)))
    }

    /// Checks the platinum against the criteria of the scale, by the ratios of this curve at gallium, mercury and
    /// silver as far as its sub-range has them.
    ///
    /// # Errors
    /// [`Error::TooFewPoints`] for a sub-range with neither gallium nor mercury (there is none at present).
    #[cfg(feature = "std")]
    pub fn acceptance(&self) -> Result<Acceptance> {
        let ratio_at = |name: &str| -> Result<Option<f64>> {
            let t_c = crate::its90::fixed_point(name)?.t_c;
            Ok(self.range.contains(t_c).then(|| self.raw_ratio(t_c)))
        };
        acceptance(ratio_at("Ga")?, ratio_at("Hg")?, ratio_at("Ag")?)
    }

    fn uses_low(&self, t_c: f64) -> bool {
        match self.branch {
            Branch::Low => true,
            Branch::High => false,
            Branch::Both => t_c < WATER_TRIPLE_POINT_C,
        }
    }

    fn raw_ratio(&self, t_c: f64) -> f64 {
        let t_k = t_c + ICE_POINT_K;
        self.ratio_of(if self.uses_low(t_c) { low::ratio(t_k) } else { high::ratio(t_k) })
    }

    /// The ratio that has a reference ratio: Newton's method, and inside the bracket of the sub-range for coefficients
    /// unlike those of a thermometer.
    fn ratio_of(&self, w_r: f64) -> f64 {
        let w = self.deviation.ratio(w_r);
        let (w_low, w_high) = self.ratios;
        // The ends themselves may come out a rounding beyond; NaN is never inside.
        let inside = w > 0.999 * w_low && w < 1.001 * w_high;
        if inside || w_low >= w_high { w } else { self.bracketed_ratio(w_r) }
    }

    #[cold]
    fn bracketed_ratio(&self, w_r: f64) -> f64 {
        let (w_low, w_high) = self.ratios;
        bracketed_newton("resistance ratio", "", w_low, w_high, |w| {
            (w - self.deviation.value(w) - w_r, 1.0 - self.deviation.slope(w))
        })
        .unwrap_or(f64::NAN)
    }
}

impl SensorCurve for Sprt {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    /// W by inverting W − ΔW(W) = W_r on enclosures.
    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let reference = |t_c: Enclosure| {
            let t_k = kelvin(t_c);
            if self.uses_low(t_c.low) { low::jet(&t_k) } else { high::jet(&t_k) }
        };
        let w_r = reference(t_c);
        // The reference function rises: its values at the ends are tighter than its enclosure.
        let ends = [t_c.low, t_c.high].map(|t| reference(Enclosure::point(t)).value());
        let values = if w_r.slope().low > 0.0 { ends[0].hull(ends[1]) } else { w_r.value() };
        let reduced = |w: Enclosure| Jet::variable(w) - self.deviation.jet(w);
        let guess = Enclosure::new(self.raw_ratio(t_c.low), self.raw_ratio(t_c.high));
        let Some(w) = proven_argument(reduced, guess, values) else { return Jet::UNKNOWN };
        reduced(w).inverse(w).of(&w_r).scaled(Enclosure::point(self.r_tpw))
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        let joint = (self.branch == Branch::Both).then_some(Joint::owned_above(WATER_TRIPLE_POINT_C))?;
        joint.from(t_c)
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        self.r_tpw * self.raw_ratio(t_c)
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        let t_k = t_c + ICE_POINT_K;
        let (w_r, slope) =
            if self.uses_low(t_c) { (low::ratio(t_k), low::slope(t_k)) } else { (high::ratio(t_k), high::slope(t_k)) };
        self.r_tpw * slope / (1.0 - self.deviation.slope(self.ratio_of(w_r)))
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        let w = signal / self.r_tpw;
        let w_r = w - self.deviation.value(w);
        let below = || (low::temperature(w_r) - ICE_POINT_K).min(WATER_TRIPLE_POINT_C);
        let above = || high::temperature(w_r) - ICE_POINT_K;
        match self.branch {
            Branch::Low => below(),
            Branch::High => above(),
            Branch::Both if crate::its90::is_below_the_gap(w_r) => below(),
            Branch::Both => above().max(WATER_TRIPLE_POINT_C),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sprt(section: &str, coefficients: &[f64]) -> Result<Sprt> {
        Sprt::new(25.5, Subrange::from_name(section)?, coefficients)
    }

    #[test]
    fn the_triple_point_of_water_is_inside_every_subrange() {
        for subrange in Subrange::all() {
            let sprt = Sprt::new(25.5, subrange, &vec![-1e-9; subrange.coefficient_names().len()]).unwrap();
            let t_c = sprt.temperature(25.5).unwrap();
            // W_r = 1 lies 0.0012 mK above 273.16 K on the upper function, and beyond the end of the lower one.
            assert!((t_c - 0.01).abs() < 1.3e-6, "{} {t_c}", subrange.section());
        }
    }

    #[test]
    fn what_cannot_be_a_thermometer_is_refused() {
        assert_eq!(sprt("3.3.2.5", &[2.0]).map_err(|e| e.code()), Err(103));
        assert_eq!(sprt("3.3.1", &[0.0, 0.0, 0.1, 0.0, 0.0, 0.0, 0.0]).map_err(|e| e.code()), Err(103));
        assert_eq!(sprt("3.3.2", &[0.0, 0.0, -1.0, 0.0]).map_err(|e| e.code()), Err(103));
        assert_eq!(sprt("3.3.2.5", &[0.0, 0.0]).map_err(|e| e.code()), Err(105));
        assert_eq!(Sprt::new(0.0, Subrange::from_name("11").unwrap(), &[0.0; 2]).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn pure_platinum_is_accepted_and_industrial_platinum_is_not() {
        let good = sprt("3.3.2", &[0.0; 4]).unwrap().acceptance().unwrap();
        assert!(good.accepted && good.accepted_to_silver == Some(true));
        // Platinum of alpha 3.851e-3 has a ratio of 1.1158 at gallium: W − W_r = −0.0198 (W − 1), rounded.
        let industrial = sprt("3.3.3", &[-0.0198, 0.0]).unwrap().acceptance().unwrap();
        assert!(!industrial.accepted);
        assert_eq!(industrial.failed().count(), 2);
    }
}
