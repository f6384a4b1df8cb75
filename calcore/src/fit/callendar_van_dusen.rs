//! Fit of the Callendar-Van Dusen equation.

use super::engine::{Model, solve};
use super::observations::{Names, Observations, Spread, Stated};
use super::plausibility;
use super::report::{CovarianceBasis, FitReport, judge_each, judge_whole};
use super::robust;
use super::warning::{FitWarning, WarningCode};
use crate::constants::rtd::IEC60751;
use crate::constants::temperature::ABSOLUTE_ZERO_C;
use crate::curves::{CallendarVanDusen, SensorCurve};
use crate::error::{Error, Result, finite, positive, same_length};
use crate::num::covariance::Covariance;

const WHAT: &str = "Callendar-Van Dusen fit";
const HINT: &str = "add points at other temperatures, or hold some of r0, a, b, c";
const NAMES_T: Names = Names { value: "t_c", u: "u_t", u_common: "u_t_common", covariance: "covariance_t", unit: "K" };
const NAMES_OHM: Names =
    Names { value: "ohm", u: "u_ohm", u_common: "u_ohm_common", covariance: "covariance_ohm", unit: "ohm" };

/// The coefficients with their units, as warnings name them.
const COEFFICIENTS: [&str; 4] = ["r0 (ohm)", "a (1/K)", "b (1/K^2)", "c (1/K^4)"];

/// How far the range of the fitted curve reaches beyond the calibrated one: 1 K, or this part of its span if that is
/// more. Room for a set point missed, not for extrapolation.
pub(super) const WIDENED_BY: f64 = 0.02;

/// Lowest temperature above which a fitted C is called poorly determined, °C. Common practice, no source: at −40 °C
/// the whole of C's term is 10 mK.
const C_NEEDS_BELOW: f64 = -40.0;

/// Coefficients held at a value; `None` is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FixedCoefficients {
    /// R0, ohm.
    pub r0: Option<f64>,
    /// A, 1/K.
    pub a: Option<f64>,
    /// B, 1/K².
    pub b: Option<f64>,
    /// C, 1/K⁴. Left `None` where no point lies below 0 °C, C is held at the value of IEC 60751, with a warning.
    pub c: Option<f64>,
}

/// What is known of the errors, and what is held. The default says nothing and fits everything.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CallendarVanDusenOptions<'a> {
    /// Standard uncertainty of each temperature, independent of the others, K.
    pub u_t: Stated<'a>,
    /// Standard uncertainty of each resistance, independent of the others, ohm; greater than 0.
    pub u_ohm: Stated<'a>,
    /// Standard uncertainty of an error shared by all temperatures, K.
    pub u_t_common: f64,
    /// Standard uncertainty of an error shared by all resistances, ohm.
    pub u_ohm_common: f64,
    /// Covariance of the temperatures instead of `u_t`, row by row, K².
    pub covariance_t: Option<&'a [f64]>,
    /// Covariance of the resistances instead of `u_ohm`, row by row, ohm².
    pub covariance_ohm: Option<&'a [f64]>,
    /// Coefficients held.
    pub fixed: FixedCoefficients,
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A fitted curve with everything that is known of it.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct CallendarVanDusenFit {
    /// The curve. Its range is the calibrated one, widened by 1 K or 2 % of its span: to extrapolate must be asked for.
    #[cfg_attr(feature = "serde", serde(serialize_with = "coefficients_and_range"))]
    pub curve: CallendarVanDusen,
    /// Which of (r0, a, b, c) were held.
    pub held: [bool; 4],
    /// Temperature that the fitted curve reads from the resistance, minus the given one, K; NaN where the curve never
    /// takes the resistance.
    pub residuals_c: Vec<f64>,
    /// How well it fits: abscissae in °C, ordinates and residuals in ohm. Covariance over (r0, a, b, c) in ohm, 1/K, 1/K²,
    /// 1/K⁴: rows of held coefficients are zero.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub report: FitReport,
}

/// R(t) in the free ones of (R0, R0 A, R0 B, R0 C), in which it is linear.
struct CallendarVanDusenModel {
    /// For each unknown its weights over (1, t, t², (t − 100) t³).
    weights: [[f64; 4]; 4],
    /// The same for what is held.
    offset: [f64; 4],
    /// Which coefficient each unknown stands for.
    free: [usize; 4],
    count: usize,
    fixed: [Option<f64>; 4],
}

impl CallendarVanDusenModel {
    fn new(fixed: [Option<f64>; 4]) -> Self {
        let held = |k: usize| fixed[k].unwrap_or(0.0);
        let relative = [1.0, held(1), held(2), held(3)];
        let mut model = Self { weights: [[0.0; 4]; 4], offset: [0.0; 4], free: [0; 4], count: 0, fixed };
        for (k, value) in fixed.iter().enumerate() {
            if value.is_none() {
                let row = &mut model.weights[model.count];
                // R0 multiplies whatever is held of the bracket.
                if k == 0 {
                    *row = relative;
                } else {
                    row[k] = 1.0;
                }
                model.free[model.count] = k;
                model.count += 1;
            }
        }
        if let Some(r0) = fixed[0] {
            model.offset = relative.map(|v| r0 * v);
        }
        model
    }

    /// The unknowns of an IEC 60751 element through the point nearest 0 °C: a start that gives the right slopes.
    fn start(&self, t_c: &[f64], ohm: &[f64]) -> [f64; 4] {
        let nearest = t_c.iter().zip(ohm).min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
        let (t, r) = nearest.map_or((0.0, 100.0), |(t, r)| (*t, *r));
        let standard = [1.0, IEC60751.a, IEC60751.b, IEC60751.c];
        let phi = powers(t);
        let ratio: f64 = (0..4).map(|k| self.fixed[k].filter(|_| k > 0).unwrap_or(standard[k]) * phi[k]).sum();
        let r0 = self.fixed[0].unwrap_or(if ratio > 0.05 { r / ratio } else { 100.0 });
        let mut p = [0.0; 4];
        for (value, &k) in p.iter_mut().zip(&self.free[..self.count]) {
            *value = r0 * standard[k];
        }
        p
    }

    /// (r0, a, b, c) of the unknowns.
    fn coefficients(&self, p: &[f64]) -> [f64; 4] {
        let mut values = self.fixed.map(|v| v.unwrap_or(0.0));
        for (value, &k) in p.iter().zip(&self.free) {
            values[k] = *value;
        }
        let r0 = values[0];
        for (value, fixed) in values.iter_mut().zip(&self.fixed).skip(1) {
            if fixed.is_none() {
                *value /= r0;
            }
        }
        values
    }

    /// Observed minus fitted resistances.
    fn residuals(&self, t_c: &[f64], ohm: &[f64], p: &[f64]) -> Result<Vec<f64>> {
        let mut gradient = [0.0; 4];
        let value = |t: f64| self.evaluate(t, p, &mut gradient[..self.count]).map(|(value, _)| value);
        t_c.iter().copied().map(value).zip(ohm).map(|(value, r)| Ok(r - value?)).collect()
    }

    /// Covariance of (r0, a, b, c) from that of the unknowns.
    fn covariance(&self, coefficients: [f64; 4], unknowns: &[f64]) -> Covariance {
        // a = p_a / r0: da = dp_a / r0 − (a / r0) dr0.
        let mut jacobian = [[0.0; 4]; 4];
        let per_r0 = 1.0 / coefficients[0];
        for (j, &k) in self.free[..self.count].iter().enumerate() {
            jacobian[k][j] = if k == 0 { 1.0 } else { per_r0 };
        }
        if self.fixed[0].is_none() {
            for k in 1..4 {
                if self.fixed[k].is_none() {
                    jacobian[k][0] = -coefficients[k] * per_r0;
                }
            }
        }
        Covariance::from_fn(4, |i, j| {
            let mut sum = 0.0;
            for m in 0..self.count {
                for n in 0..self.count {
                    sum += jacobian[i][m] * unknowns[m * self.count + n] * jacobian[j][n];
                }
            }
            sum
        })
    }
}

/// 1, t, t² and (t − 100) t³ where t < 0.
#[inline(always)]
pub(super) fn powers(t: f64) -> [f64; 4] {
    let t2 = t * t;
    [1.0, t, t2, if t < 0.0 { (t - 100.0) * t * t2 } else { 0.0 }]
}

/// Their derivatives.
#[inline(always)]
fn power_slopes(t: f64) -> [f64; 4] {
    [0.0, 1.0, 2.0 * t, if t < 0.0 { (4.0 * t - 300.0) * t * t } else { 0.0 }]
}

#[inline(always)]
fn dot(a: [f64; 4], b: [f64; 4]) -> f64 {
    (a[0] * b[0] + a[1] * b[1]) + (a[2] * b[2] + a[3] * b[3])
}

impl Model for CallendarVanDusenModel {
    const SMALL: bool = true;

    fn unknowns(&self) -> usize {
        self.count
    }

    fn name(&self, j: usize) -> String {
        ["r0", "a", "b", "c"].get(self.free[j.min(3)]).map_or_else(String::new, |name| (*name).to_string())
    }

    #[inline(always)]
    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let (phi, slopes) = (powers(x), power_slopes(x));
        let (mut value, mut slope) = (dot(self.offset, phi), dot(self.offset, slopes));
        for ((g, weights), p) in gradient.iter_mut().zip(&self.weights).zip(p) {
            *g = dot(*weights, phi);
            value += p * *g;
            slope += p * dot(*weights, slopes);
        }
        Ok((value, slope))
    }
}

/// Fits R0, A, B and C of a platinum resistance thermometer to temperatures (°C) and resistances (ohm).
///
/// # Formula
/// R(t) = R0 (1 + A t + B t² + C (t − 100) t³), C only below 0 °C: linear in (R0, R0 A, R0 B, R0 C). Errors of both
/// variables, with any covariance, are treated exactly: see [`crate::fit`].
///
/// An error shared by all temperatures (`u_t_common`: that of the reference) hardly moves the coefficients, but it
/// stands in their covariance and is not averaged down by more points.
///
/// Ratios W = R/R0 may be given instead of resistances, with `u_ohm` in the same unit and, where R0 was measured, r0
/// held at 1.
///
/// With neither `u_t` nor `u_ohm` (nor a covariance), all points weigh the same, the covariance is taken from the
/// residuals, and chi-squared is None.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`]; [`Error::InvalidValue`] for a temperature below absolute zero, a
/// resistance or an uncertainty that is not positive, or a fitted curve that does not rise (swapped points);
/// [`Error::NotPositiveDefinite`] for a covariance; [`Error::TooFewPoints`] (coinciding temperatures count once) and
/// [`Error::Undetermined`] where the points do not suffice.
///
/// # Source
/// IEC 60751:2022, clause 4; ISO/TS 28037:2010 for the treatment of the errors.
///
/// # Example
/// ```
/// use calcore::fit::{CallendarVanDusenOptions, callendar_van_dusen};
/// let t_c = [0.0, 100.0, 200.0, 300.0];
/// let ohm = [100.0, 138.5055, 175.856, 212.0515]; // IEC 60751 to four decimals
/// let options = CallendarVanDusenOptions { u_t: 0.01.into(), u_ohm: 0.001.into(), ..Default::default() };
/// let fit = callendar_van_dusen(&t_c, &ohm, &options)?;
/// assert!((fit.curve.a() - 3.9083e-3).abs() < 1e-8);
/// assert!((fit.temperature_uncertainty(100.0)? - 0.0077).abs() < 5e-4);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn callendar_van_dusen(
    t_c: &[f64],
    ohm: &[f64],
    options: &CallendarVanDusenOptions,
) -> Result<CallendarVanDusenFit> {
    let points = t_c.len();
    same_length(NAMES_OHM.value, points, ohm.len())?;
    let o = options;
    let t_errors = Spread::new(NAMES_T, points, o.u_t, o.covariance_t, o.u_t_common, true)?;
    let ohm_errors = Spread::new(NAMES_OHM, points, o.u_ohm, o.covariance_ohm, o.u_ohm_common, false)?;
    let data = Observations::new((NAMES_T, NAMES_OHM), t_c, ohm, t_errors, ohm_errors)?;
    check_physical(t_c, ohm)?;
    let below = t_c.iter().filter(|t| **t < 0.0).count();
    let fixed = checked_fixed(&options.fixed)?;
    let hold_c = fixed[3].is_none() && below == 0;
    let model =
        CallendarVanDusenModel::new(if hold_c { [fixed[0], fixed[1], fixed[2], Some(IEC60751.c)] } else { fixed });
    let needed = model.count;
    if needed == 0 {
        return Err(Error::InvalidValue {
            what: "number of held coefficients",
            value: 4.0,
            unit: "",
            requirement: "at least one of r0, a, b, c must be left to fit".into(),
        });
    }
    let found = data.distinct();
    if found < needed {
        return Err(Error::TooFewPoints { what: WHAT, needed, found, hint: HINT });
    }
    let start = model.start(t_c, ohm);
    let fit = |data: &Observations| solve(WHAT, &model, data, Some(&start[..needed]), HINT);
    let (mut solution, weights) = if options.robust {
        robust::reweighted(WHAT, &data, fit, |s| model.residuals(t_c, ohm, &s.parameters))?
    } else {
        (fit(&data)?, Vec::new())
    };
    let weighted = Observations { weights: (!weights.is_empty()).then_some(&weights[..]), ..data };
    let mut judged = judge_whole(&mut solution, &weighted, needed, options.covariance_basis)?;
    let coefficients = model.coefficients(&solution.parameters);
    let curve = fitted_curve(coefficients, t_c, ohm)?;
    let covariance = judged.covariance.take().map(|unknowns| model.covariance(coefficients, &unknowns));
    if let Some(covariance) = &covariance {
        // Of the coefficients, not of the products with R0 that were solved for.
        let u = |k: usize| covariance.standard_uncertainty(k);
        judge_each(&coefficients, u, |k| COEFFICIENTS[k.min(3)].into(), &mut judged.warnings);
    }
    let residuals: Vec<f64> = t_c.iter().zip(ohm).map(|(t, r)| r - curve.raw_signal(*t)).collect();
    let residuals_c = t_c.iter().zip(ohm).map(|(t, r)| curve.raw_temperature(*r) - t).collect();
    if hold_c {
        judged.warnings.push(FitWarning::new(
            WarningCode::CHeldAtStandard,
            format!("no point lies below 0 °C: C was held at {:e} 1/K^4 (IEC 60751)", IEC60751.c),
        ));
    } else if fixed[3].is_none() {
        let lowest = t_c.iter().fold(f64::INFINITY, |m, t| m.min(*t));
        if below == 1 || lowest > C_NEEDS_BELOW {
            judged.warnings.push(FitWarning::new(
                WarningCode::CPoorlyDetermined,
                format!(
                    "C rests on {below} point(s) below 0 °C, the lowest at {lowest} °C: hold it at the standard value"
                ),
            ));
        }
    }
    robust::warn(&weights, &mut judged.warnings);
    plausibility::judge(&curve, t_c, ohm, &mut judged.warnings);
    Ok(CallendarVanDusenFit {
        curve,
        held: model.fixed.map(|v| v.is_some()),
        residuals_c,
        report: FitReport::new(solution, judged, covariance, residuals, weights, data.is_stated()),
    })
}

fn check_physical(t_c: &[f64], ohm: &[f64]) -> Result<()> {
    for (index, t) in t_c.iter().enumerate() {
        if *t < ABSOLUTE_ZERO_C {
            return Err(Error::InvalidValue {
                what: NAMES_T.value,
                value: *t,
                unit: "°C",
                requirement: format!("it must not lie below {ABSOLUTE_ZERO_C} °C (element {index})"),
            });
        }
    }
    for (index, r) in ohm.iter().enumerate() {
        if *r <= 0.0 {
            return Err(Error::InvalidValue {
                what: NAMES_OHM.value,
                value: *r,
                unit: "ohm",
                requirement: format!("it must be greater than 0 (element {index})"),
            });
        }
    }
    Ok(())
}

fn checked_fixed(fixed: &FixedCoefficients) -> Result<[Option<f64>; 4]> {
    fixed.r0.map(|v| positive("fixed r0", v, "ohm")).transpose()?;
    fixed.a.map(|v| positive("fixed a", v, "1/K")).transpose()?;
    fixed.b.map(|v| finite("fixed b", v)).transpose()?;
    fixed.c.map(|v| finite("fixed c", v)).transpose()?;
    Ok([fixed.r0, fixed.a, fixed.b, fixed.c])
}

/// The curve over the calibrated range, a little widened; not widened where it would not rise there any more.
fn fitted_curve(coefficients: [f64; 4], t_c: &[f64], ohm: &[f64]) -> Result<CallendarVanDusen> {
    let [r0, a, b, c] = coefficients;
    let (low, high) = t_c.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| (l.min(*t), h.max(*t)));
    let margin = (WIDENED_BY * (high - low)).max(1.0);
    let bottom = (low - margin).max(ABSOLUTE_ZERO_C);
    CallendarVanDusen::with_range(r0, a, b, c, bottom, high + margin)
        .or_else(|_| CallendarVanDusen::with_range(r0, a, b, c, low, high))
        .map_err(|error| plausibility::explain_unphysical(error, t_c, ohm))
}

impl CallendarVanDusenFit {
    /// Standard uncertainty of a temperature that the fitted curve reads, as far as the curve itself causes it, K.
    ///
    /// # Formula
    /// u(t) = √(gᵀ V g) / R′(t), g = ∂R/∂(r0, a, b, c) at t.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the range of the curve, [`Error::NotFinite`]; [`Error::Undetermined`] where the
    /// fit has no covariance.
    pub fn temperature_uncertainty(&self, t_c: f64) -> Result<f64> {
        self.curve.range().check(t_c)?;
        Ok(self.raw_resistance_uncertainty(t_c)? / self.curve.raw_slope(t_c))
    }

    /// Standard uncertainty of a resistance that the fitted curve gives, ohm.
    ///
    /// # Errors
    /// As [`CallendarVanDusenFit::temperature_uncertainty`].
    pub fn resistance_uncertainty(&self, t_c: f64) -> Result<f64> {
        self.curve.range().check(t_c)?;
        self.raw_resistance_uncertainty(t_c)
    }

    pub(crate) fn raw_resistance_uncertainty(&self, t_c: f64) -> Result<f64> {
        let Some(covariance) = &self.report.covariance else {
            return Err(Error::Undetermined {
                what: WHAT,
                parameter: "the uncertainty of the curve".into(),
                hint: "state u_t or u_ohm, or add points",
            });
        };
        Ok(covariance.variance_of(&sensitivities(&self.curve, t_c)).max(0.0).sqrt())
    }
}

/// A curve as its coefficients and its range.
#[cfg(feature = "serde")]
pub(super) fn coefficients_and_range<S: serde::Serializer>(
    curve: &CallendarVanDusen,
    serializer: S,
) -> std::result::Result<S::Ok, S::Error> {
    #[derive(serde::Serialize)]
    struct Record {
        r0: f64,
        a: f64,
        b: f64,
        c: f64,
        low_c: f64,
        high_c: f64,
    }
    let range = curve.range();
    let (r0, a, b, c) = (curve.r0(), curve.a(), curve.b(), curve.c());
    serde::Serialize::serialize(&Record { r0, a, b, c, low_c: range.low, high_c: range.high }, serializer)
}

/// ∂R/∂(r0, a, b, c) at a temperature.
pub(crate) fn sensitivities(curve: &CallendarVanDusen, t_c: f64) -> [f64; 4] {
    let [_, t, t2, cold] = powers(t_c);
    let r0 = curve.r0();
    [curve.raw_signal(t_c) / r0, r0 * t, r0 * t2, r0 * cold]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sensitivities_are_derivatives() {
        let curve = CallendarVanDusen::iec60751(100.0).unwrap();
        for t in [-150.0, 80.0] {
            let g = sensitivities(&curve, t);
            let at =
                |r0: f64, a: f64, b: f64, c: f64| CallendarVanDusen::new(r0, a, b, c).unwrap().resistance(t).unwrap();
            let (r0, a, b, c) = (100.0, 3.9083e-3, -5.775e-7, -4.183e-12);
            let steps = [
                (at(r0 + 1e-3, a, b, c) - at(r0 - 1e-3, a, b, c)) / 2e-3,
                (at(r0, a + 1e-7, b, c) - at(r0, a - 1e-7, b, c)) / 2e-7,
                (at(r0, a, b + 1e-10, c) - at(r0, a, b - 1e-10, c)) / 2e-10,
                (at(r0, a, b, c + 1e-14) - at(r0, a, b, c - 1e-14)) / 2e-14,
            ];
            for k in 0..4 {
                assert!((g[k] - steps[k]).abs() <= 1e-6 * g[k].abs(), "{t} {k}: {} {}", g[k], steps[k]);
            }
        }
    }
}
