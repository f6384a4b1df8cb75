//! Thermistors: Steinhart and Hart with three or four terms, and beta.

use super::linear::{Functions, Transformed, fit};
use super::observations::{Names, Observations, Spread, Stated, distinct};
use super::report::{CovarianceBasis, FitReport};
use crate::constants::temperature::ICE_POINT_K;
use crate::curves::{BetaThermistor, SensorCurve, SteinhartHart};
use crate::error::{Error, Result, finite, positive, same_length};

const HINT: &str = "add points at other temperatures, or take an equation with fewer terms";
const NAMES_T: Names = Names { value: "t_c", u: "u_t", u_common: "u_t_common", covariance: "covariance_t", unit: "K" };
const NAMES_OHM: Names =
    Names { value: "ohm", u: "u_ohm", u_common: "u_ohm_common", covariance: "covariance_ohm", unit: "ohm" };

/// 25 °C, K: the temperature to which R25 belongs.
const T25_K: f64 = 298.15;

/// Powers of ln R in the equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SteinhartHartTerms {
    /// 1, ln R, (ln R)³: the original.
    #[default]
    Three,
    /// 1, ln R, (ln R)², (ln R)³.
    Four,
}

/// What is known of the errors. The default says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ThermistorOptions<'a> {
    /// Standard uncertainty of each temperature, K.
    pub u_t: Stated<'a>,
    /// Standard uncertainty of each resistance, ohm.
    pub u_ohm: Stated<'a>,
    /// Standard uncertainty of an error shared by all temperatures, K; needs `u_t` beside it.
    pub u_t_common: f64,
    /// Standard uncertainty of an error shared by all resistances, ohm; needs `u_ohm` beside it.
    pub u_ohm_common: f64,
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A fitted thermistor.
#[derive(Debug, Clone, PartialEq)]
pub struct SteinhartHartFit {
    /// The curve; its range is the calibrated one, widened by 1 K or 2 % of its span.
    pub curve: SteinhartHart,
    /// Which terms were fitted; the covariance of the report is that of their coefficients.
    pub terms: SteinhartHartTerms,
    /// Temperature that the fitted curve reads from the resistance, minus the given one, K.
    pub residuals_c: Vec<f64>,
    /// The report; its residuals are those of 1/T, 1/K.
    pub report: FitReport,
}

/// A fitted thermistor by R25 and beta.
#[derive(Debug, Clone, PartialEq)]
pub struct BetaFit {
    /// The curve; its range is the calibrated one, widened by 1 K or 2 % of its span.
    pub curve: BetaThermistor,
    /// Resistance at 25 °C, ohm.
    pub r25: f64,
    /// β, K.
    pub beta: f64,
    /// Temperature that the fitted curve reads from the resistance, minus the given one, K.
    pub residuals_c: Vec<f64>,
    /// The report; its residuals are those of ln R, its covariance that of (ln R25, β).
    pub report: FitReport,
}

/// Temperatures in kelvin, checked together with the resistances.
fn checked(t_c: &[f64], ohm: &[f64]) -> Result<Vec<f64>> {
    same_length(NAMES_OHM.value, t_c.len(), ohm.len())?;
    for (index, r) in ohm.iter().enumerate() {
        positive(NAMES_OHM.value, *r, "ohm").map_err(|error| error.at_index(index, 1))?;
    }
    let kelvin = |t: &f64| positive("temperature above absolute zero", finite(NAMES_T.value, *t)? + ICE_POINT_K, "K");
    t_c.iter().enumerate().map(|(index, t)| kelvin(t).map_err(|error| error.at_index(index, 1))).collect()
}

/// The calibrated range, widened as that of every fitted curve.
fn range_of(t_c: &[f64]) -> (f64, f64) {
    let (low, high) = t_c.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| (l.min(*t), h.max(*t)));
    let margin = (super::callendar_van_dusen::WIDENED_BY * (high - low)).max(1.0);
    (low - margin, high + margin)
}

/// Refuses points whose resistance rises with temperature all in all: the slope of ln R against 1/T tells.
fn falling(t_c: &[f64], ohm: &[f64], inverse_k: &[f64], log_ohm: &[f64]) -> Result<()> {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let (x, y) = (mean(inverse_k), mean(log_ohm));
    if inverse_k.iter().zip(log_ohm).map(|(v, l)| (v - x) * (l - y)).sum::<f64>() > 0.0 {
        return Ok(());
    }
    let by_t = |a: &usize, b: &usize| t_c[*a].total_cmp(&t_c[*b]);
    let (cold, hot) = ((0..t_c.len()).min_by(by_t).unwrap_or(0), (0..t_c.len()).max_by(by_t).unwrap_or(0));
    Err(Error::InvalidValue {
        what: "resistance at the highest temperature",
        value: ohm[hot],
        unit: "ohm",
        requirement: format!(
            "all in all the resistances rise with temperature, from {} ohm at {} °C; those of a thermistor fall",
            ohm[cold], t_c[cold]
        ),
    })
}

/// Refuses a fitted curve that takes its resistances from another stretch of the cubic than that of the points.
fn on_its_stretch(curve: &SteinhartHart, t_c: &[f64], ohm: &[f64]) -> Result<()> {
    let Some(i) = ohm.iter().position(|r| !curve.uses(*r)) else { return Ok(()) };
    Err(Error::InvalidValue {
        what: "resistance",
        value: ohm[i],
        unit: "ohm",
        requirement: format!(
            "the fitted equation turns between the points and does not give back that at {} °C (element {i}): are \
             points swapped, or has the equation too many terms for them?",
            t_c[i]
        ),
    })
}

/// Fits 1/T = a0 + a1 ln R (+ a2 (ln R)²) + a3 (ln R)³ to temperatures (°C) and resistances (ohm).
///
/// Without uncertainties the sum of squares of 1/T is minimised; with `u_t` that of the temperatures.
///
/// # Errors
/// As [`crate::fit::callendar_van_dusen`]; [`Error::InvalidValue`] where the resistances rise with temperature, and where
/// the fitted equation does not fall over the range or turns between the points.
///
/// # Source
/// J. S. Steinhart, S. R. Hart, Deep-Sea Research 15 (1968) 497-503.
///
/// # Example
/// ```
/// use calcore::fit::{SteinhartHartTerms, ThermistorOptions, steinhart_hart};
/// // NIST StRD, data set MGH10: a thermistor.
/// let (t_c, ohm) = ([50.0, 85.0, 125.0], [34_780.0, 9_744.0, 2_872.0]);
/// let fit = steinhart_hart(&t_c, &ohm, SteinhartHartTerms::Three, &ThermistorOptions::default())?;
/// assert!(fit.residuals_c.iter().all(|r| r.abs() < 1e-9));
/// assert!((fit.curve.temperature(6_005.0)? - 100.0).abs() < 0.01);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn steinhart_hart(
    t_c: &[f64],
    ohm: &[f64],
    terms: SteinhartHartTerms,
    options: &ThermistorOptions,
) -> Result<SteinhartHartFit> {
    const WHAT: &str = "Steinhart-Hart fit";
    let o = options;
    let t_k = checked(t_c, ohm)?;
    let inverse: Vec<f64> = t_k.iter().map(|t| 1.0 / t).collect();
    let factors: Vec<f64> = inverse.iter().map(|v| -v * v).collect();
    let errors = Transformed::new(NAMES_T, (o.u_t, None, o.u_t_common), &factors, true)?;
    let log: Vec<f64> = ohm.iter().map(|r| libm::log(*r)).collect();
    let per_ohm: Vec<f64> = ohm.iter().map(|r| 1.0 / r).collect();
    let log_errors = Transformed::new(NAMES_OHM, (o.u_ohm, None, o.u_ohm_common), &per_ohm, false)?;
    let data = Observations::new((NAMES_OHM, NAMES_T), &log, &inverse, log_errors.spread(), errors.spread())?;
    let (powers, names): (&[i32], &'static [&'static str]) = match terms {
        SteinhartHartTerms::Three => (&[0, 1, 3], &["a0", "a1", "a3"]),
        SteinhartHartTerms::Four => (&[0, 1, 2, 3], &["a0", "a1", "a2", "a3"]),
    };
    let found = distinct(ohm);
    if found < powers.len() {
        return Err(Error::TooFewPoints { what: WHAT, needed: powers.len(), found, hint: HINT });
    }
    falling(t_c, ohm, &inverse, &log)?;
    let functions = |x: f64, values: &mut [f64], slopes: &mut [f64]| {
        for ((value, slope), n) in values.iter_mut().zip(slopes).zip(powers) {
            (*value, *slope) = match n {
                0 => (1.0, 0.0),
                1 => (x, 1.0),
                2 => (x * x, 2.0 * x),
                _ => (x * x * x, 3.0 * x * x),
            };
        }
        (0.0, 0.0)
    };
    let model = Functions { count: powers.len(), names, functions };
    let (p, report) = fit(WHAT, HINT, &model, &data, o.robust, o.covariance_basis)?;
    let mut all = [0.0; 4];
    for (value, n) in p.iter().zip(powers) {
        all[*n as usize] = *value;
    }
    let (low, high) = range_of(t_c);
    let curve = SteinhartHart::with_range(all[0], all[1], all[2], all[3], low, high)?;
    on_its_stretch(&curve, t_c, ohm)?;
    let residuals_c = t_c.iter().zip(ohm).map(|(t, r)| curve.raw_temperature(*r) - t).collect();
    Ok(SteinhartHartFit { curve, terms, residuals_c, report })
}

impl SteinhartHartFit {
    /// Standard uncertainty of a temperature that the fitted curve reads, as far as its coefficients cause it, K.
    ///
    /// # Formula
    /// u(T) = T² √(gᵀ V g), g = powers of ln R at T.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the range of the curve; [`Error::Undetermined`] where the fit has no covariance.
    pub fn temperature_uncertainty(&self, t_c: f64) -> Result<f64> {
        let x = libm::log(self.curve.resistance(t_c)?);
        let t_k = t_c + ICE_POINT_K;
        let u = match self.terms {
            SteinhartHartTerms::Three => self.report.uncertainty_of("Steinhart-Hart fit", &[1.0, x, x * x * x])?,
            SteinhartHartTerms::Four => {
                self.report.uncertainty_of("Steinhart-Hart fit", &[1.0, x, x * x, x * x * x])?
            }
        };
        Ok(u * t_k * t_k)
    }
}

/// Fits R = R25 exp(β (1/T − 1/298.15 K)) to temperatures (°C) and resistances (ohm): a straight line of ln R over
/// 1/T.
///
/// Without uncertainties the sum of squares of ln R (relative errors of the resistance) is minimised.
///
/// # Errors
/// As [`steinhart_hart`].
///
/// # Example
/// ```
/// use calcore::fit::{ThermistorOptions, beta};
/// let fit = beta(&[50.0, 125.0], &[34_780.0, 2_872.0], &ThermistorOptions::default())?;
/// assert!((fit.beta - 4278.504_192_338_731).abs() < 1e-7);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn beta(t_c: &[f64], ohm: &[f64], options: &ThermistorOptions) -> Result<BetaFit> {
    const WHAT: &str = "beta fit";
    let o = options;
    let t_k = checked(t_c, ohm)?;
    let log: Vec<f64> = ohm.iter().map(|r| libm::log(*r)).collect();
    let per_ohm: Vec<f64> = ohm.iter().map(|r| 1.0 / r).collect();
    let log_errors = Transformed::new(NAMES_OHM, (o.u_ohm, None, o.u_ohm_common), &per_ohm, false)?;
    let t_errors = Spread::new(NAMES_T, t_c.len(), o.u_t, None, o.u_t_common, true)?;
    let data = Observations::new((NAMES_T, NAMES_OHM), &t_k, &log, t_errors, log_errors.spread())?;
    let found = distinct(t_c);
    if found < 2 {
        return Err(Error::TooFewPoints { what: WHAT, needed: 2, found, hint: HINT });
    }
    let functions = |t: f64, values: &mut [f64], slopes: &mut [f64]| {
        values.copy_from_slice(&[1.0, 1.0 / t - 1.0 / T25_K]);
        slopes.copy_from_slice(&[0.0, -1.0 / (t * t)]);
        (0.0, 0.0)
    };
    let model = Functions { count: 2, names: &["ln r25", "beta"], functions };
    let (p, report) = fit(WHAT, HINT, &model, &data, o.robust, o.covariance_basis)?;
    let (r25, beta) = (libm::exp(p[0]), p[1]);
    let (low, high) = range_of(t_c);
    let curve = BetaThermistor::with_range(r25, beta, low, high)?;
    let residuals_c = t_c.iter().zip(ohm).map(|(t, r)| curve.raw_temperature(*r) - t).collect();
    Ok(BetaFit { curve, r25, beta, residuals_c, report })
}
