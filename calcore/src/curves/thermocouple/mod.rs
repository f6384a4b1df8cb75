//! Letter-designated thermocouples by their reference functions.

mod approximate;
mod inverse;
mod junction;
mod kind;
mod reference;
mod segments;
#[cfg(all(feature = "std", target_arch = "x86_64"))]
mod wide;

pub use junction::ReferenceJunction;
pub use kind::ThermocoupleType;

use super::handling::{evaluate, first_refusal};
use super::{Handling, Invalid, Joint, SensorCurve};
use crate::constants::tc_segments::SegmentMap;
use crate::error::{Error, Result, same_length, text};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use segments::Width;

/// On which side of the minimum of its emf a thermocouple of type B is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Side {
    /// Colder than the minimum: 0 °C to 21.0203 °C, where the emf falls.
    Lower,
    /// Hotter than the minimum: 21.0203 °C to 1820 °C, where it rises.
    Upper,
}

impl Side {
    /// Reads the names `lower` and `upper`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "lower" => Ok(Self::Lower),
            "upper" => Ok(Self::Upper),
            _ => Err(Error::UnknownName {
                what: "side of the minimum",
                name: name.into(),
                expected: "\"lower\" or \"upper\"".into(),
            }),
        }
    }

    /// The name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Lower => "lower",
            Self::Upper => "upper",
        }
    }
}

/// A letter-designated thermocouple.
///
/// As a [`SensorCurve`] its signal is the emf in mV with the reference junction at 0 °C; its own methods take the
/// temperature of the reference junction as well.
///
/// # Formula
/// E(t) = Σ c_i t^i in each range of the type, for type K above 0 °C plus a0 exp(a1 (t − a2)²); a joint belongs to the
/// range below it. With the reference junction at t_r the emf is E(t) − E(t_r): emfs are added, never temperatures.
///
/// Function, slope and exact inverse are piecewise polynomials of the published functions with proven errors, the same
/// bits for one value and for slices, and no iteration: the inverse is as fast as the function.
///
/// | type | range, °C | source | emf, ulp | proven, mV | inverse, K | proven, K |
/// | --- | --- | --- | --- | --- | --- | --- |
/// | B | 0 to 1820 | IEC 60584-1 = NIST Monograph 175 | 1.25 | 2.3e-15 | 2.3e-13 | 3.1e-13 |
/// | C | 0 to 2315 | ASTM E230 | 2 | 7.4e-15 | 4.5e-13 | 4.8e-13 |
/// | E | −270 to 1000 | IEC 60584-1 = NIST Monograph 175 | 1 | 1.5e-14 | 1.1e-13 | 1.6e-13 |
/// | J | −210 to 1200 | IEC 60584-1 = NIST Monograph 175 | 1 | 1.4e-14 | 2.3e-13 | 2.4e-13 |
/// | K | −270 to 1372 | IEC 60584-1 = NIST Monograph 175 | 1 | 8.9e-15 | 2.3e-13 | 2.5e-13 |
/// | N | −270 to 1300 | IEC 60584-1 = NIST Monograph 175 | 1 | 8.4e-15 | 2.3e-13 | 2.5e-13 |
/// | R | −50 to 1768.1 | IEC 60584-1 = NIST Monograph 175 | 1 | 3.8e-15 | 2.3e-13 | 3.4e-13 |
/// | S | −50 to 1768.1 | IEC 60584-1 = NIST Monograph 175 | 1 | 3.6e-15 | 2.3e-13 | 3.0e-13 |
/// | T | −270 to 400 | IEC 60584-1 = NIST Monograph 175 | 1 | 4.0e-15 | 5.7e-14 | 8.4e-14 |
/// | A | 0 to 2500 | GOST R 8.585-2001, A-1 | 1 | 6.5e-15 | 4.5e-13 | 5.0e-13 |
///
/// *emf*: largest distance from the correctly rounded emf, in units of its last place (below 1 µV of that of 1 µV), at the
/// 300 temperatures a type of `tests/reference/thermocouple_dense_emf.csv`. *inverse*: largest error at the emfs of
/// `thermocouple_dense_temperature.csv`. The example `thermocouple_accuracy` prints both. *proven*: bounds over the whole
/// range for the argument as given, [`ThermocoupleType::emf_error_bound_mv`] and
/// [`ThermocoupleType::inverse_error_bound_k`].
///
/// What the published functions do at their joints is kept: where two ranges do not meet, the inverse gives the joint
/// for what lies between (types J, K, R), or, where the emf steps down (B, C, R, S), the temperature of the lower range
/// as long as there is one: a temperature just above such a joint comes back up to 7 µK off (C), 0.4 µK (B), 0.1 µK (R)
/// or 0.02 µK (S). The slope of type N steps by 0.9 % at 0 °C. Type A gives 0.7 µV at 0 °C.
///
/// # Type B
/// The emf falls from 0 °C to a minimum of −0.002 585 mV at 21.0203 °C and is negative up to 42.132 °C: two temperatures
/// give every emf from there to zero. Such an emf is an error that names both, in slices too, unless the side is said
/// by [`Thermocouple::on_side`]. (The unchecked [`SensorCurve::raw_temperature`] gives the upper one.)
///
/// # Source
/// IEC 60584-1:2013 = NIST Monograph 175 (1993); type C: ASTM E230; type A: GOST R 8.585-2001, type A-1.
///
/// # Example
/// ```
/// use calcore::curves::Thermocouple;
/// let k = Thermocouple::new("K")?;
/// assert!((k.emf(100.0, 0.0)? - 4.096).abs() < 5e-4); // IEC 60584-1, table of type K
/// // 3.0960 mV with the reference junction at 25 °C: 100 °C, not 75.89 °C, nor 75.89 °C + 25 °C.
/// assert!((k.temperature(3.0960, 25.0)? - 100.0).abs() < 5e-4);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Thermocouple {
    kind: ThermocoupleType,
    side: Option<Side>,
}

impl From<ThermocoupleType> for Thermocouple {
    fn from(kind: ThermocoupleType) -> Self {
        Self { kind, side: None }
    }
}

impl Thermocouple {
    /// A thermocouple by its letter: B, C, E, J, K, N, R, S, T or A.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the known letters.
    pub fn new(letter: &str) -> Result<Self> {
        ThermocoupleType::from_name(letter).map(Self::from)
    }

    /// The same thermocouple on one side of the minimum of its emf; its range ends there. Type B only.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for the other types, whose emf rises everywhere.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::{Side, Thermocouple};
    /// let b = Thermocouple::new("B")?;
    /// let message = b.temperature(-0.002, 0.0).map_err(|error| error.to_string());
    /// assert!(message.is_err_and(|text| text.contains("11.0090 °C") && text.contains("31.0522 °C")));
    /// assert!((b.on_side(Side::Upper)?.temperature(-0.002, 0.0)? - 31.0522).abs() < 5e-5);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn on_side(self, side: Side) -> Result<Self> {
        if self.kind == ThermocoupleType::B {
            return Ok(Self { side: Some(side), ..self });
        }
        Err(Error::UnknownName {
            what: "side of the minimum",
            name: side.name().into(),
            expected: text!("none: the emf of type {} rises over its whole range", self.kind.letter()),
        })
    }

    /// The type.
    #[must_use]
    pub fn kind(&self) -> ThermocoupleType {
        self.kind
    }

    /// The side of the minimum, if it was said.
    #[must_use]
    pub fn side(&self) -> Option<Side> {
        self.side
    }

    /// Emf at a temperature, mV, with the reference junction at another one: E(t) − E(t_r).
    ///
    /// A reference junction of exactly 0 °C subtracts nothing (it matters for type A only, whose E(0) is 0.7 µV).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for either temperature; the reference junction may have any that the
    /// type can.
    pub fn emf(&self, t_c: f64, reference_junction_c: f64) -> Result<f64> {
        Ok(self.signal(t_c)? - self.junction_emf(reference_junction_c)?)
    }

    /// Emf between two temperatures, mV: E(t_hot) − E(t_cold), by the reference function at both.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    ///
    /// # Example
    /// ```
    /// let k = calcore::curves::Thermocouple::new("K")?;
    /// assert!((k.emf_between(100.0, 25.0)? - 3.0960).abs() < 5e-5);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn emf_between(&self, t_hot_c: f64, t_cold_c: f64) -> Result<f64> {
        let range = self.kind.range();
        Ok(self.whole_signal(range.check(t_hot_c)?) - self.whole_signal(range.check(t_cold_c)?))
    }

    /// Temperature that gives an emf, °C, with the reference junction at a temperature: E⁻¹(emf + E(t_r)).
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] for the reference junction, and for the compensated emf when no
    /// temperature of the range gives it; [`Error::InvalidValue`] when two do (type B).
    pub fn temperature(&self, mv: f64, reference_junction_c: f64) -> Result<f64> {
        self.invert(mv + self.junction_emf(reference_junction_c)?)
    }

    /// Change of the emf per kelvin (Seebeck coefficient), mV/K; at a joint that of the range below it.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn slope(&self, t_c: f64) -> Result<f64> {
        SensorCurve::slope(self, t_c)
    }

    /// The emf again, from the published coefficients in doubled precision: the second opinion, some hundred times slower.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn reference_emf(&self, t_c: f64) -> Result<f64> {
        Ok(reference::emf(self.kind.data().published, self.range().check(t_c)?))
    }

    /// The slope again, from the published coefficients in doubled precision.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn reference_slope(&self, t_c: f64) -> Result<f64> {
        Ok(reference::slope(self.kind.data().published, self.range().check(t_c)?))
    }

    /// The temperature again, by bracketed Newton steps on the published function in doubled precision.
    ///
    /// # Errors
    /// As [`Thermocouple::temperature`].
    pub fn reference_temperature(&self, mv: f64) -> Result<f64> {
        self.invert_by(mv, Self::root)
    }

    /// The function without regard to the side.
    #[inline]
    fn whole_signal(&self, t_c: f64) -> f64 {
        segments::value(&self.kind.data().segments.forward, t_c)
    }

    /// One of the forward kernels over a slice.
    fn forward_slice(
        &self,
        t_c: &[f64],
        out: &mut [f64],
        handling: Handling,
        kernel: fn(&SegmentMap, Width, &[f64], &mut [f64]) -> bool,
    ) -> Result<()> {
        let map = &self.kind.data().segments.forward;
        let range = self.range();
        let outcome = if self.side.is_some() {
            evaluate(range, t_c, out, handling.invalid, |x, y| {
                kernel(map, Width::widest(), x, y);
            })
        } else {
            same_length("output", t_c.len(), out.len())?;
            let all_inside = kernel(map, Width::widest(), t_c, out);
            if all_inside || handling.invalid == Invalid::Nan { Ok(()) } else { Err(first_refusal(range, t_c)) }
        };
        outcome.map_err(|error| if handling.extrapolate { self.not_extrapolated(error) } else { error })
    }

    /// Why what was asked for beyond the range is not answered.
    #[cold]
    fn not_extrapolated(&self, error: Error) -> Error {
        let Error::OutOfRange { what, value, low, high, unit, position } = error else { return error };
        let letter = self.kind.letter();
        let rule = "is not defined outside";
        let requirement = match position {
            None => text!(
                "the reference function of type {letter} {rule} {low} to {high} {unit} and cannot be extrapolated"
            ),
            Some(place) => text!(
                "the reference function of type {letter} {rule} {low} to {high} {unit} and cannot be extrapolated \
                 (element {})",
                place.index
            ),
        };
        Error::InvalidValue { what, value, unit, requirement }
    }
}

impl SensorCurve for Thermocouple {
    fn range(&self) -> Interval {
        let whole = self.kind.range();
        match self.side {
            None => whole,
            Some(Side::Lower) => Interval { high: self.minimum_c(), ..whole },
            Some(Side::Upper) => Interval { low: self.minimum_c(), ..whole },
        }
    }

    fn signal_range(&self) -> Interval {
        let map = &self.kind.data().segments.inverse;
        let high = if self.side == Some(Side::Lower) { 0.0 } else { map.hi };
        Interval { what: "emf", unit: "mV", low: map.lo, high }
    }

    /// Of the published function: [`SensorCurve::raw_signal`] lies within [`ThermocoupleType::emf_error_bound_mv`] of it.
    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        reference::jet(self.kind.data().published, t_c)
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        let ranges = self.kind.data().published;
        let (_last, inner) = ranges.split_last()?;
        inner.iter().find(|range| range.t_hi >= t_c).map(|range| Joint::owned_below(range.t_hi))
    }

    fn extrapolated_signal_range(&self) -> Interval {
        self.signal_range()
    }

    #[inline]
    fn raw_signal(&self, t_c: f64) -> f64 {
        self.whole_signal(t_c)
    }

    #[inline]
    fn raw_slope(&self, t_c: f64) -> f64 {
        segments::slope(&self.kind.data().segments.forward, t_c)
    }

    #[inline]
    fn raw_temperature(&self, signal: f64) -> f64 {
        self.solve(self.settle(signal))
    }

    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        segments::values(&self.kind.data().segments.forward, Width::widest(), t_c, signal);
    }

    fn raw_slope_block(&self, t_c: &[f64], slope: &mut [f64]) {
        segments::slopes(&self.kind.data().segments.forward, Width::widest(), t_c, slope);
    }

    fn raw_temperature_block(&self, signal: &[f64], t_c: &mut [f64]) {
        if !self.solve_block(signal, t_c) {
            for (t, &mv) in t_c.iter_mut().zip(signal) {
                *t = self.raw_temperature(mv);
            }
        }
    }

    #[inline]
    fn temperature(&self, signal: f64) -> Result<f64> {
        self.invert(signal)
    }

    /// By the whole reference function, whatever the side; nothing for exactly 0 °C.
    fn junction_signal(&self, t_c: f64) -> Result<f64> {
        self.junction_emf(t_c)
    }

    fn junction_slope(&self, t_c: f64) -> Result<f64> {
        Ok(self.raw_slope(self.junction_range().check(t_c)?))
    }

    fn signal_slice(&self, t_c: &[f64], signal: &mut [f64], handling: Handling) -> Result<()> {
        self.forward_slice(t_c, signal, handling, segments::values)
    }

    fn temperature_slice(&self, signal: &[f64], t_c: &mut [f64], handling: Handling) -> Result<()> {
        self.temperature_slice(signal, ReferenceJunction::At(0.0), t_c, handling)
    }

    fn slope_slice(&self, t_c: &[f64], slope: &mut [f64], handling: Handling) -> Result<()> {
        self.forward_slice(t_c, slope, handling, segments::slopes)
    }
}
