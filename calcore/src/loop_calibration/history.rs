//! Many calibrations of one instrument: drift, and when the next is due.

use crate::error::{Error, Result, finite, not_negative, positive, same_length};
use crate::fit::{StraightLineOptions, straight_line};
use crate::num::special::{normal_quantile, student_central_probability, student_quantile};
use crate::uncertainty::distribution::infinite_as_null;
use serde::{Deserialize, Serialize};

/// One calibration in the history of one point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HistoryPoint {
    /// When, years from any moment.
    pub time_a: f64,
    /// Error as found, K.
    pub as_found_k: f64,
    /// Its standard uncertainty, K, without what the same reference contributes to all.
    pub standard_uncertainty_k: f64,
    /// Error as left, K, where it was adjusted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_left_k: Option<f64>,
}

/// Drift of one point over its calibrations.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Drift {
    /// Drift, K a year.
    pub slope_k_per_a: f64,
    /// Its standard uncertainty: the larger of what the scatter about the line and what the stated uncertainties say.
    pub u_slope_k_per_a: f64,
    /// Value of the line at the first calibration, K.
    pub first_k: f64,
    /// Residual standard deviation about the line, K.
    pub residual_standard_deviation_k: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Probability of such a drift by chance, two-sided.
    pub p_value: f64,
    /// Errors with all adjustments taken out, joined as left to as found, K.
    pub joined_k: Vec<f64>,
    times_a: Vec<f64>,
    /// Offset from the joined record to the present state, K.
    adjusted_k: f64,
}

/// Fits a straight line to the as-found errors, with every adjustment as a change of level: what was left at one
/// calibration is joined to what is found at the next.
///
/// # Errors
/// [`Error::TooFewPoints`] below three calibrations, [`Error::NotFinite`], [`Error::InvalidValue`] for times that do not
/// rise or uncertainties that are not positive.
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022 (only as-found data tell of drift).
pub fn history(points: &[HistoryPoint]) -> Result<Drift> {
    let n = points.len();
    if n < 3 {
        let hint = "two calibrations give a difference, no line";
        return Err(Error::TooFewPoints { what: "drift over calibrations", needed: 3, found: n, hint });
    }
    let mut joined_k = Vec::with_capacity(n);
    let mut adjusted_k = 0.0;
    for (i, point) in points.iter().enumerate() {
        finite("time", point.time_a)?;
        finite("as-found error", point.as_found_k)?;
        positive("standard uncertainty", point.standard_uncertainty_k, "K")?;
        if i > 0 && point.time_a <= points[i - 1].time_a {
            let requirement = format!("it must be later than the calibration before, {} a", points[i - 1].time_a);
            return Err(Error::InvalidValue { what: "time", value: point.time_a, unit: "a", requirement });
        }
        joined_k.push(point.as_found_k + adjusted_k);
        if let Some(left) = point.as_left_k {
            adjusted_k += point.as_found_k - finite("as-left error", left)?;
        }
    }
    let times_a: Vec<f64> = points.iter().map(|point| point.time_a).collect();
    let plain = straight_line(&times_a, &joined_k, &StraightLineOptions::default())?;
    let stated_u: Vec<f64> = points.iter().map(|point| point.standard_uncertainty_k).collect();
    let stated = StraightLineOptions { u_y: stated_u.as_slice().into(), ..StraightLineOptions::default() };
    let by_stated = straight_line(&times_a, &joined_k, &stated)?;
    let u_of =
        |fit: &crate::fit::StraightLineFit| fit.report.covariance.as_ref().map_or(0.0, |c| c.standard_uncertainty(1));
    let squares: f64 = plain.report.residuals.iter().map(|r| r * r).sum();
    let degrees_of_freedom = n - 2;
    let (by_scatter, by_statement) = (u_of(&plain), u_of(&by_stated));
    let u_slope = by_scatter.max(by_statement);
    let t = if u_slope > 0.0 { (plain.slope / u_slope).abs() } else { f64::INFINITY };
    let p_value = if t.is_finite() { 1.0 - student_central_probability(t, degrees_of_freedom as f64)? } else { 0.0 };
    Ok(Drift {
        slope_k_per_a: plain.slope,
        u_slope_k_per_a: u_slope,
        first_k: plain.intercept + plain.slope * times_a[0],
        residual_standard_deviation_k: (squares / degrees_of_freedom as f64).sqrt(),
        degrees_of_freedom,
        p_value,
        joined_k,
        times_a,
        adjusted_k,
    })
}

impl Drift {
    /// Error to be expected at a time, in the present state of adjustment, with the standard uncertainty of a single
    /// calibration then, K.
    ///
    /// # Formula
    /// u² = s² (1 + 1/n + (τ − τ̄)² / Σ(τᵢ − τ̄)²)
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn predict(&self, time_a: f64) -> Result<(f64, f64)> {
        finite("time", time_a)?;
        let n = self.times_a.len() as f64;
        let mean = self.times_a.iter().sum::<f64>() / n;
        let stt: f64 = self.times_a.iter().map(|t| (t - mean) * (t - mean)).sum();
        let away = time_a - mean;
        let value = self.first_k + self.slope_k_per_a * (time_a - self.times_a[0]) - self.adjusted_k;
        // Where the stated uncertainties are larger than the scatter, they count.
        let s = self.residual_standard_deviation_k.max(self.u_slope_k_per_a * stt.sqrt());
        Ok((value, s * (1.0 + 1.0 / n + away * away / stt).sqrt()))
    }

    /// Method 2, control chart: the first time after the last calibration at which the expected error, with its
    /// uncertainty at the stated probability (two-sided), reaches the limit; none within `longest_a`.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a limit or a longest interval that is not positive,
    /// [`Error::OutOfRange`] for the probability.
    ///
    /// # Source
    /// ILAC-G24:2022 / OIML D 10:2022, method 2 (from memory).
    pub fn due(&self, limit_k: f64, probability: f64, longest_a: f64) -> Result<Option<f64>> {
        positive("limit", limit_k, "K")?;
        positive("longest interval", longest_a, "a")?;
        let k = student_quantile(0.5 * (1.0 + probability), self.degrees_of_freedom as f64)?;
        let over = |time_a: f64| -> Result<bool> {
            let (value, u) = self.predict(time_a)?;
            Ok(value.abs() + k * u >= limit_k)
        };
        let last = self.times_a[self.times_a.len() - 1];
        // A thousandth of the longest interval, then halved to the last bits.
        let Some(first) = (0..=1000).find(|i| over(last + longest_a * f64::from(*i) / 1000.0).unwrap_or(true)) else {
            return Ok(None);
        };
        let (mut good, mut bad) =
            (last + longest_a * f64::from((first - 1).max(0)) / 1000.0, last + longest_a * f64::from(first) / 1000.0);
        for _ in 0..60 {
            let middle = 0.5 * (good + bad);
            if over(middle)? {
                bad = middle;
            } else {
                good = middle;
            }
        }
        Ok(Some(bad))
    }
}

/// How the staircase steps.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Staircase {
    /// Part of the tolerance within which an as-found error must lie for a longer interval, such as 0.8.
    pub extend_below: f64,
    /// Factor of a longer interval.
    pub extend_by: f64,
    /// Factor of a shorter interval.
    pub shorten_by: f64,
    /// Shortest and longest interval allowed.
    pub limits: (f64, f64),
}

/// Method 1, staircase: the next interval from the present one and the largest part of the tolerance that was found
/// used (|e|/T; above 1 it failed).
///
/// # Errors
/// [`Error::InvalidValue`] for factors or intervals that make no sense, [`Error::NotFinite`].
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022, method 1 (80 % from memory).
pub fn staircase(interval: f64, used: f64, rule: &Staircase) -> Result<f64> {
    positive("interval", interval, "")?;
    not_negative("part of the tolerance", used, "")?;
    positive("part for a longer interval", rule.extend_below, "")?;
    let (shortest, longest) = rule.limits;
    positive("shortest interval", shortest, "")?;
    for (what, value, good) in [
        ("factor of a longer interval", rule.extend_by, rule.extend_by >= 1.0),
        ("factor of a shorter interval", rule.shorten_by, rule.shorten_by > 0.0 && rule.shorten_by <= 1.0),
        ("longest interval", longest, longest >= shortest && longest.is_finite()),
    ] {
        if !good {
            let requirement = "longer at least 1, shorter above 0 and at most 1, limits in order".into();
            return Err(Error::InvalidValue { what, value, unit: "", requirement });
        }
    }
    let factor = if used > 1.0 {
        rule.shorten_by
    } else if used <= rule.extend_below {
        rule.extend_by
    } else {
        1.0
    };
    Ok((interval * factor).clamp(shortest, longest))
}

/// Method 3, time in use: the calendar time until an interval in hours of use has passed, at the use so far.
///
/// # Errors
/// [`Error::InvalidValue`] for what is not positive, [`Error::NotFinite`].
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022, method 3 (from memory).
pub fn in_use(interval_h: f64, used_h: f64, hours_per_a: f64) -> Result<f64> {
    let left_h = positive("interval", interval_h, "h")? - not_negative("time in use", used_h, "h")?;
    Ok(left_h.max(0.0) / positive("use", hours_per_a, "h/a")?)
}

/// Method 4, checks in service: which of the checks between calibrations was the first to demand one, none if all lie
/// within the limit. `check_k` are differences from a portable check standard, `u_k` their standard uncertainties; a
/// check demands a calibration where |d| + k u exceeds the limit.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`], [`Error::InvalidValue`].
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022, method 4 (from memory).
pub fn in_service(check_k: &[f64], u_k: &[f64], limit_k: f64, coverage_factor: f64) -> Result<Option<usize>> {
    same_length("standard uncertainties", check_k.len(), u_k.len())?;
    positive("limit", limit_k, "K")?;
    positive("coverage factor", coverage_factor, "")?;
    for (i, (d, u)) in check_k.iter().zip(u_k).enumerate() {
        finite("check", *d).map_err(|error| error.at_index(i, 1))?;
        if d.abs() + coverage_factor * not_negative("standard uncertainty", *u, "K")? > limit_k {
            return Ok(Some(i));
        }
    }
    Ok(None)
}

/// An interval for a target reliability.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ReliabilityInterval {
    /// The interval, in the unit of the present one.
    #[serde(with = "infinite_as_null")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub interval: f64,
    /// Share that was found in tolerance.
    pub observed: f64,
    /// The same interval by the lower end of the share that the number of calibrations supports.
    #[serde(with = "infinite_as_null")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub shortest: f64,
    /// The same by its upper end; infinite where nothing speaks against 1.
    #[serde(with = "infinite_as_null")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub longest: f64,
}

/// Method 5, statistics over many: the interval at which the target share is still in tolerance, for an exponential loss
/// of reliability.
///
/// # Formula
/// I' = I ln R_target / ln R_observed; the bounds with Wilson's interval of the share at the stated probability
///
/// # Errors
/// [`Error::OutOfRange`], [`Error::InvalidValue`], [`Error::NotFinite`]; [`Error::TooFewPoints`] without calibrations.
///
/// # Example
/// ```
/// // 12 months, 90 % in tolerance, target 95 %: 5.84 months.
/// let next = calcore::loop_calibration::reliability_interval(12.0, 90, 100, 0.95, 0.95)?;
/// assert!((next.interval - 5.84).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022, method 5; the exponential model (from memory); Wilson, J. Am. Stat. Assoc. 22 (1927).
pub fn reliability_interval(
    interval: f64,
    in_tolerance: usize,
    calibrations: usize,
    target: f64,
    probability: f64,
) -> Result<ReliabilityInterval> {
    positive("interval", interval, "")?;
    if calibrations == 0 {
        return Err(Error::TooFewPoints { what: "reliability", needed: 1, found: 0, hint: "" });
    }
    for (what, value) in [("target reliability", target), ("probability", probability)] {
        if !(value > 0.0 && value < 1.0) {
            return Err(Error::OutOfRange { what, value, low: 0.0, high: 1.0, unit: "", position: None });
        }
    }
    if in_tolerance > calibrations {
        let requirement = format!("it cannot exceed the number of calibrations, {calibrations}");
        let (what, value) = ("number in tolerance", in_tolerance as f64);
        return Err(Error::InvalidValue { what, value, unit: "", requirement });
    }
    let (n, p) = (calibrations as f64, in_tolerance as f64 / calibrations as f64);
    let z = normal_quantile(0.5 * (1.0 + probability))?;
    let middle = p + z * z / (2.0 * n);
    let reach = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + z * z / n;
    let at = |share: f64| {
        let share = share.clamp(0.0, 1.0);
        // Nothing observed out of tolerance sets no bound; nothing in tolerance leaves none.
        if share >= 1.0 { f64::INFINITY } else { interval * libm::log(target) / libm::log(share) }
    };
    let (low, high) = ((middle - reach) / scale, (middle + reach) / scale);
    Ok(ReliabilityInterval { interval: at(p), observed: p, shortest: at(low), longest: at(high) })
}
