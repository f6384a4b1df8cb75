//! When the next calibration is due by the other methods: staircase, time in use, checks in service, reliability.

use crate::error::{Error, Result, finite, not_negative, open_probability, positive, same_length, within};
use crate::num::special::normal_quantile;
use crate::uncertainty::distribution::infinite_as_null;
use serde::{Deserialize, Serialize};

/// How the staircase steps.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Staircase {
    /// Part of the tolerance within which an as-found error must lie for a longer interval, such as 0.8; above 0, at most 1.
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
/// [`Error::InvalidValue`] for factors or intervals that make no sense, [`Error::OutOfRange`] for a part above 1 (a
/// percentage is no part), [`Error::NotFinite`].
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022, method 1 (80 % from memory).
pub fn staircase(interval: f64, used: f64, rule: &Staircase) -> Result<f64> {
    positive("interval", interval, "")?;
    not_negative("part of the tolerance", used, "")?;
    let what = "part for a longer interval";
    within(what, positive(what, rule.extend_below, "")?, 0.0, 1.0)?;
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
    open_probability("target reliability", target)?;
    open_probability("probability", probability)?;
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
