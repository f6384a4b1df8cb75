//! What an individual sensor gives beside a reference curve: a polynomial in the temperature.

use super::linear::{Functions, MAX_FUNCTIONS, fit};
use super::observations::{Names, Observations, Spread, Stated, distinct};
use super::report::{CovarianceBasis, FitReport};
use crate::curves::{Joint, SensorCurve};
use crate::error::{Error, Result, finite, same_length};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::{horner, horner_with_slope};
use crate::num::root::bracketed_newton;

const WHAT: &str = "deviation from a reference curve";
const HINT: &str = "add points at other temperatures, or take a lower degree";
const NAMES_T: Names = Names { value: "t_c", u: "u_t", u_common: "u_t_common", covariance: "covariance_t", unit: "K" };
const NAMES_SIGNAL: Names =
    Names { value: "signal", u: "u_signal", u_common: "u_signal_common", covariance: "covariance_signal", unit: "" };

/// What is known of the errors, and where the polynomial starts. The default says nothing, and holds the deviation at
/// zero at 0 °C.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DeviationOptions<'a> {
    /// Standard uncertainty of each temperature, K.
    pub u_t: Stated<'a>,
    /// Standard uncertainty of each signal, in its unit.
    pub u_signal: Stated<'a>,
    /// Standard uncertainty of an error shared by all temperatures, K.
    pub u_t_common: f64,
    /// Standard uncertainty of an error shared by all signals.
    pub u_signal_common: f64,
    /// Covariance of the temperatures instead of `u_t`, row by row, K².
    pub covariance_t: Option<&'a [f64]>,
    /// Covariance of the signals instead of `u_signal`, row by row.
    pub covariance_signal: Option<&'a [f64]>,
    /// Whether the deviation may differ from zero at 0 °C. That of a thermocouple may not.
    pub free_at_zero: bool,
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A reference curve with a polynomial added: the curve of an individual sensor.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectedCurve<C> {
    reference: C,
    coefficients: Vec<f64>,
    range: Interval,
    signal_range: Interval,
}

impl<C: SensorCurve> CorrectedCurve<C> {
    /// Signal = reference(t) + Σ coefficientₖ tᵏ over a range, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for an empty range, and where the signal does not change steadily
    /// over it.
    pub fn new(reference: C, coefficients: &[f64], low_c: f64, high_c: f64) -> Result<Self> {
        for value in coefficients {
            finite("coefficient of the deviation", *value)?;
        }
        finite("lower end of the range", low_c)?;
        finite("upper end of the range", high_c)?;
        if low_c >= high_c {
            return Err(Error::InvalidValue {
                what: "lower end of the range",
                value: low_c,
                unit: "°C",
                requirement: format!("it must lie below the upper end, {high_c} °C"),
            });
        }
        let range = Interval::celsius(low_c, high_c);
        let signal = reference.signal_range();
        let mut curve = Self { reference, coefficients: coefficients.to_vec(), range, signal_range: signal };
        let (first, last) = (curve.raw_signal(low_c), curve.raw_signal(high_c));
        let sign = if last > first { 1.0 } else { -1.0 };
        const STEPS: usize = 200;
        for k in 0..=STEPS {
            let t_c = low_c + (high_c - low_c) * k as f64 / STEPS as f64;
            let slope = curve.raw_slope(t_c);
            if slope * sign <= 0.0 || !slope.is_finite() {
                return Err(Error::InvalidValue {
                    what: "slope of the corrected curve",
                    value: slope,
                    unit: "",
                    requirement: format!(
                        "the signal must change one way from {low_c} °C to {high_c} °C, not turn at {t_c} °C"
                    ),
                });
            }
        }
        curve.signal_range = Interval { low: first.min(last), high: first.max(last), ..signal }.widened_for_rounding();
        Ok(curve)
    }

    /// The curve to which the deviation is added.
    #[must_use]
    pub fn reference(&self) -> &C {
        &self.reference
    }

    /// Coefficients of the deviation, ascending.
    #[must_use]
    pub fn coefficients(&self) -> &[f64] {
        &self.coefficients
    }
}

impl<C: SensorCurve> SensorCurve for CorrectedCurve<C> {
    fn range(&self) -> Interval {
        self.range
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        self.reference.raw_signal(t_c) + horner(&self.coefficients, t_c)
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        self.reference.raw_slope(t_c) + horner_with_slope(&self.coefficients, t_c).1
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        let (low, high) = (self.range.low, self.range.high);
        // The ends of the range are let go a little, for signals at the rounding of its ends.
        let margin = 1e-9 * (high - low);
        bracketed_newton("temperature", "°C", low - margin, high + margin, |t| {
            (self.raw_signal(t) - signal, self.raw_slope(t))
        })
        .unwrap_or(f64::NAN)
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let deviation = Jet::polynomial(self.coefficients.iter().map(|&c| Enclosure::point(c)), t_c);
        self.reference.raw_jet(t_c) + deviation
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        self.reference.joint_from(t_c)
    }

    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        self.reference.raw_signal_block(t_c, signal);
        for (signal, &t) in signal.iter_mut().zip(t_c) {
            *signal += horner(&self.coefficients, t);
        }
    }

    fn raw_slope_block(&self, t_c: &[f64], slope: &mut [f64]) {
        self.reference.raw_slope_block(t_c, slope);
        for (slope, &t) in slope.iter_mut().zip(t_c) {
            *slope += horner_with_slope(&self.coefficients, t).1;
        }
    }
}

/// A fitted deviation.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviationFit<C> {
    /// The curve of the individual sensor over the calibrated range.
    pub curve: CorrectedCurve<C>,
    /// Residuals over the slope of the curve: what the curve reads minus what was given, K.
    pub residuals_c: Vec<f64>,
    /// The report; its residuals are in the unit of the signal, its covariance that of the fitted coefficients
    /// (from degree 1 on, or from 0 on if the deviation is free at 0 °C).
    pub report: FitReport,
    free_at_zero: bool,
}

/// Fits signal(t) − reference(t) = c₁ t + … + c_d t^d: a thermocouple beside its table (emf in mV), or any sensor
/// beside its standard curve. Errors of both variables are treated with the whole curve's slope ([`crate::fit`]).
///
/// The range of the result is that of the points (from 0 °C, if the deviation is held at zero there): no extrapolation.
///
/// # Errors
/// As [`crate::fit::callendar_van_dusen`]; [`Error::OutOfRange`] for a temperature outside the reference curve.
///
/// # Source
/// EURAMET cg-8 (deviation from the reference function); common practice for the degree, 1 to 3.
pub fn deviation<C: SensorCurve + Clone>(
    reference: &C,
    t_c: &[f64],
    signal: &[f64],
    degree: usize,
    options: &DeviationOptions,
) -> Result<DeviationFit<C>> {
    let (o, points) = (options, t_c.len());
    same_length(NAMES_SIGNAL.value, points, signal.len())?;
    for (index, t) in t_c.iter().enumerate() {
        reference.range().check(*t).map_err(|error| error.at_index(index, 1))?;
    }
    let t_errors = Spread::new(NAMES_T, points, o.u_t, o.covariance_t, o.u_t_common, true)?;
    let errors = Spread::new(NAMES_SIGNAL, points, o.u_signal, o.covariance_signal, o.u_signal_common, false)?;
    let data = Observations::new((NAMES_T, NAMES_SIGNAL), t_c, signal, t_errors, errors)?;
    let first = usize::from(!options.free_at_zero);
    if degree < first || degree + 1 - first > MAX_FUNCTIONS {
        return Err(Error::InvalidValue {
            what: "degree of the deviation",
            value: degree as f64,
            unit: "",
            requirement: format!("it must be {first} to {}", MAX_FUNCTIONS - 1 + first),
        });
    }
    let count = degree + 1 - first;
    let found = distinct(t_c) - usize::from(first == 1 && t_c.contains(&0.0));
    if found < count {
        return Err(Error::TooFewPoints { what: WHAT, needed: count, found, hint: HINT });
    }
    let functions = |t: f64, values: &mut [f64], slopes: &mut [f64]| {
        let (mut power, mut slope) = if first == 0 { (1.0, 0.0) } else { (t, 1.0) };
        for (value, derivative) in values.iter_mut().zip(slopes) {
            (*value, *derivative) = (power, slope);
            slope = slope * t + power;
            power *= t;
        }
        (reference.raw_signal(t), reference.raw_slope(t))
    };
    const NAMES: [&str; MAX_FUNCTIONS + 1] = ["c0", "c1", "c2", "c3", "c4", "c5", "c6", "c7", "c8"];
    let model = Functions { count, names: &NAMES[first..], functions };
    let (p, report) = fit(WHAT, HINT, &model, &data, options.robust, options.covariance_basis)?;
    let mut coefficients = vec![0.0; first];
    coefficients.extend(p);
    let start = if first == 1 { (0.0, 0.0) } else { (f64::INFINITY, f64::NEG_INFINITY) };
    let (low, high) = t_c.iter().fold(start, |(l, h), t| (l.min(*t), h.max(*t)));
    let curve = CorrectedCurve::new(reference.clone(), &coefficients, low, high)?;
    let residuals_c = report.residuals.iter().zip(t_c).map(|(r, t)| r / curve.raw_slope(*t)).collect();
    Ok(DeviationFit { curve, residuals_c, report, free_at_zero: options.free_at_zero })
}

impl<C: SensorCurve> DeviationFit<C> {
    /// Standard uncertainty of a temperature that the curve reads, as far as the deviation causes it, K.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the range of the curve; [`Error::Undetermined`] where the fit has no covariance.
    pub fn temperature_uncertainty(&self, t_c: f64) -> Result<f64> {
        self.curve.range.check(t_c)?;
        let first = i32::from(!self.free_at_zero);
        let count = self.curve.coefficients.len() - first as usize;
        let mut powers = Vec::with_capacity(count);
        let mut power = if first == 0 { 1.0 } else { t_c };
        for _ in 0..count {
            powers.push(power);
            power *= t_c;
        }
        Ok(self.report.uncertainty_of(WHAT, &powers)? / self.curve.raw_slope(t_c).abs())
    }
}
