//! Fits beside each other, and beside points that they have not seen.

use super::callendar_van_dusen::{
    CallendarVanDusenFit, CallendarVanDusenOptions, FixedCoefficients, callendar_van_dusen,
};
use super::observations::{Names, Spread, Stated};
use crate::curves::SensorCurve;
use crate::error::{Error, Result, same_length};
use crate::num::linalg::{cholesky, forward_substitute};
use crate::num::special::{chi_squared_survival, f_survival};

const NAMES_T: Names = Names { value: "t_c", u: "u_t", u_common: "", covariance: "", unit: "K" };
const NAMES_OHM: Names = Names { value: "ohm", u: "u_ohm", u_common: "", covariance: "", unit: "ohm" };

/// A fit judged by points that it has not seen.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HoldOut {
    /// Temperature that the curve reads from each resistance, minus the given one, K.
    pub errors_c: Vec<f64>,
    /// Standard uncertainty of each, of curve and point together, K.
    pub uncertainties_c: Vec<f64>,
    /// Errors in units of their standard uncertainty.
    pub normalised: Vec<f64>,
    /// Sum of squares with the whole covariance (points read with one curve share its errors).
    pub chi_squared: f64,
    /// Probability of a larger one if curve and uncertainties are right.
    pub p_value: f64,
}

/// The difference of two fits of one element.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Drift {
    /// Temperatures, °C.
    pub t_c: Vec<f64>,
    /// What the earlier curve reads from the later one's resistance, minus the temperature, K: the error by which the
    /// element has drifted.
    pub drift_k: Vec<f64>,
    /// Standard uncertainty of each, K.
    pub uncertainties_k: Vec<f64>,
    /// Sum of squares of the differences of the coefficients, with their whole covariance.
    pub chi_squared: f64,
    /// Number of coefficients that were fitted in either.
    pub degrees_of_freedom: usize,
    /// Probability of a larger chi-squared if nothing has changed.
    pub p_value: f64,
}

/// A candidate model and how it did.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Candidate {
    /// The fit.
    pub fit: CallendarVanDusenFit,
    /// Root of the mean square of the leave-one-out residuals, K; None where a point is determined by itself alone.
    pub cross_validation_k: Option<f64>,
    /// Probability that the candidate before it, if that is nested in this one, is as good: small values speak for the
    /// larger model. By the F test where the residuals give the variance, by the fall of chi-squared where it is stated.
    pub p_value_of_smaller: Option<f64>,
}

impl CallendarVanDusenFit {
    /// Judges the fit by points that it has not seen. Their errors must be independent of those of the fit.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`], [`Error::InvalidValue`], [`Error::OutOfRange`]; [`Error::TooFewPoints`] for none;
    /// [`Error::Undetermined`] where the fit has no covariance.
    pub fn hold_out(&self, t_c: &[f64], ohm: &[f64], u_t: Stated, u_ohm: Stated) -> Result<HoldOut> {
        let points = t_c.len();
        same_length("ohm", points, ohm.len())?;
        if points == 0 {
            return Err(Error::TooFewPoints { what: "check of a fit", needed: 1, found: 0, hint: "" });
        }
        let t_errors = Spread::new(NAMES_T, points, u_t, None, 0.0, true)?;
        let ohm_errors = Spread::new(NAMES_OHM, points, u_ohm, None, 0.0, true)?;
        let mut matrix = self.temperature_covariance(t_c)?.values().to_vec();
        let mut errors_c = Vec::with_capacity(points);
        for i in 0..points {
            let read = self.curve.temperature(ohm[i]).map_err(|error| error.at_index(i, 1))?;
            errors_c.push(read - t_c[i]);
            let slope = self.curve.raw_slope(t_c[i]);
            matrix[i * points + i] += t_errors.own_variance(i) + ohm_errors.own_variance(i) / (slope * slope);
        }
        let uncertainties_c: Vec<f64> = (0..points).map(|i| matrix[i * points + i].sqrt()).collect();
        let normalised = errors_c.iter().zip(&uncertainties_c).map(|(e, u)| e / u).collect();
        let chi_squared = quadratic_form(&mut matrix, &errors_c, "covariance of the errors of the check points")?;
        let p_value = chi_squared_survival(chi_squared, points as f64)?;
        Ok(HoldOut { errors_c, uncertainties_c, normalised, chi_squared, p_value })
    }

    /// What has changed since an earlier fit of the same element, at some temperatures. The errors of the two fits are
    /// taken for independent: a reference shared by both cancels in part, and the uncertainties are then too large.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside either range; [`Error::Undetermined`] where a fit has no covariance.
    pub fn drift_since(&self, earlier: &Self, t_c: &[f64]) -> Result<Drift> {
        let (mut drift_k, mut uncertainties_k) = (Vec::new(), Vec::new());
        for (index, t) in t_c.iter().enumerate() {
            let here = |error: Error| error.at_index(index, 1);
            let error = self.error_read_with(&earlier.curve, *t).map_err(here)?;
            let before = earlier.temperature_uncertainty(*t).map_err(here)?;
            drift_k.push(error.value);
            uncertainties_k.push(libm::hypot(error.standard_uncertainty, before));
        }
        let (Some(now), Some(then)) = (&self.report.covariance, &earlier.report.covariance) else {
            return Err(Error::Undetermined {
                what: "comparison of two fits",
                parameter: "the uncertainty of their difference".into(),
                hint: "both fits need a covariance",
            });
        };
        let coefficients = |fit: &Self| [fit.curve.r0(), fit.curve.a(), fit.curve.b(), fit.curve.c()];
        let free: Vec<usize> = (0..4).filter(|&k| !(self.held[k] && earlier.held[k])).collect();
        let (a, b) = (coefficients(self), coefficients(earlier));
        // In units of the standard uncertainty, so that ohm and 1/K⁴ stand in one matrix.
        let sum = |i: usize, j: usize| now.get(i, j) + then.get(i, j);
        let unit = |k: usize| sum(k, k).sqrt();
        let difference: Vec<f64> = free.iter().map(|&k| (a[k] - b[k]) / unit(k)).collect();
        let mut matrix: Vec<f64> = free
            .iter()
            .flat_map(|&i| free.iter().map(move |&j| (i, j)))
            .map(|(i, j)| sum(i, j) / (unit(i) * unit(j)))
            .collect();
        let chi_squared = quadratic_form(&mut matrix, &difference, "covariance of the difference of two fits")?;
        let p_value = chi_squared_survival(chi_squared, free.len() as f64)?;
        let degrees_of_freedom = free.len();
        Ok(Drift { t_c: t_c.to_vec(), drift_k, uncertainties_k, chi_squared, degrees_of_freedom, p_value })
    }

    /// Root of the mean square of the leave-one-out residuals, K.
    fn cross_validation(&self, t_c: &[f64]) -> Option<f64> {
        let squares = self.report.leave_one_out_residuals.iter().zip(t_c).map(|(r, t)| {
            let k = r / self.curve.raw_slope(*t);
            k * k
        });
        let mean = squares.sum::<f64>() / t_c.len() as f64;
        mean.is_finite().then(|| mean.sqrt())
    }
}

/// Fits the same points with several sets of held coefficients, from the smallest model to the largest, and compares
/// each with the one before it and by cross-validation.
///
/// # Errors
/// As [`callendar_van_dusen`].
///
/// # Source
/// F test of nested models: N. R. Draper and H. Smith, Applied Regression Analysis (1998), 6.1.
///
/// # Example
/// ```
/// use calcore::fit::{CallendarVanDusenOptions, FixedCoefficients, compare_models};
/// let t_c = [0.0, 50.0, 100.0, 150.0, 200.0];
/// let ohm = [100.001, 119.398, 138.504, 157.326, 175.855];
/// let shape = FixedCoefficients { a: Some(3.9083e-3), b: Some(-5.775e-7), ..Default::default() };
/// let all = FixedCoefficients::default();
/// let found = compare_models(&t_c, &ohm, &CallendarVanDusenOptions::default(), &[shape, all])?;
/// assert!(found[1].p_value_of_smaller.unwrap_or(0.0) > 0.05); // R0 alone will do
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn compare_models(
    t_c: &[f64],
    ohm: &[f64],
    options: &CallendarVanDusenOptions,
    candidates: &[FixedCoefficients],
) -> Result<Vec<Candidate>> {
    let mut found: Vec<Candidate> = Vec::with_capacity(candidates.len());
    for fixed in candidates {
        let fit = callendar_van_dusen(t_c, ohm, &CallendarVanDusenOptions { fixed: *fixed, ..*options })?;
        let p_value_of_smaller = match found.last() {
            Some(before) if is_nested(&before.fit, &fit) => test_nested(&before.fit, &fit)?,
            _ => None,
        };
        found.push(Candidate { cross_validation_k: fit.cross_validation(t_c), fit, p_value_of_smaller });
    }
    Ok(found)
}

/// Whether the smaller fit holds what the larger one fits, and whatever both hold at the same value.
fn is_nested(small: &CallendarVanDusenFit, large: &CallendarVanDusenFit) -> bool {
    let values = |fit: &CallendarVanDusenFit| [fit.curve.r0(), fit.curve.a(), fit.curve.b(), fit.curve.c()];
    let (a, b) = (values(small), values(large));
    small.report.degrees_of_freedom > large.report.degrees_of_freedom
        && (0..4).all(|k| !large.held[k] || (small.held[k] && a[k].total_cmp(&b[k]).is_eq()))
}

fn test_nested(small: &CallendarVanDusenFit, large: &CallendarVanDusenFit) -> Result<Option<f64>> {
    let more = (small.report.degrees_of_freedom - large.report.degrees_of_freedom) as f64;
    if let (Some(a), Some(b)) = (small.report.chi_squared, large.report.chi_squared) {
        return Ok(Some(chi_squared_survival((a - b).max(0.0), more)?));
    }
    let sum = |fit: &CallendarVanDusenFit| fit.report.residuals.iter().map(|r| r * r).sum::<f64>();
    let freedom = large.report.degrees_of_freedom as f64;
    let (a, b) = (sum(small), sum(large));
    if freedom <= 0.0 || b <= 0.0 {
        return Ok(None);
    }
    Ok(Some(f_survival((a - b).max(0.0) / more / (b / freedom), more, freedom)?))
}

/// vᵀ M⁻¹ v; M is overwritten.
fn quadratic_form(matrix: &mut [f64], vector: &[f64], what: &'static str) -> Result<f64> {
    cholesky(matrix, vector.len()).map_err(|row| Error::NotPositiveDefinite { what, row })?;
    let mut whitened = vector.to_vec();
    forward_substitute(matrix, vector.len(), &mut whitened);
    Ok(whitened.iter().map(|v| v * v).sum())
}
