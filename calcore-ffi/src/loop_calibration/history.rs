//! Section "loop calibration": drift over many calibrations, and when the next one is due.

use super::result::calcore_result;
use super::text_handle::calcore_text;
use crate::array::{copy, input, optional};
use crate::guard::{fill, give, give_two, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::calcore_error;
use crate::record::{read, records};
use crate::status::*;
use calcore::loop_calibration::{
    Calibration, Drift, HistoryPoint, Staircase, histories, history, in_service, in_use, reliability_interval,
    staircase, to_json,
};

/// Drift of one instrument at one set point over its calibrations.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_history_free.
pub struct calcore_history {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_history {
    type Held = Drift;
    const WHAT: &'static str = "calcore_history";
    const TAG: u64 = 0x7473_6968_6363_0019;
}

/// A drift in numbers.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_history_drift {
    /// sizeof(calcore_history_drift), set by the caller.
    pub size: usize,
    /// Drift, K a year.
    pub slope_k_per_a: f64,
    /// Its standard uncertainty, K a year: the larger of what the scatter and what the stated uncertainties say of the
    /// unweighted line.
    pub u_slope_k_per_a: f64,
    /// Error at the first calibration by the line, K.
    pub first_k: f64,
    /// Standard deviation about the line, K.
    pub residual_standard_deviation_k: f64,
    /// Probability of a slope at least as large without drift.
    pub p_value: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Calibrations.
    pub points: usize,
}

/// A rule that makes intervals longer or shorter by what was found (ILAC-G24:2022 / OIML D 10:2022, method 1).
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_staircase_rule {
    /// sizeof(calcore_staircase_rule), set by the caller.
    pub size: usize,
    /// Longer up to this part of the tolerance, above 0 and at most 1.
    pub extend_below: f64,
    /// Factor of a longer interval, at least 1.
    pub extend_by: f64,
    /// Factor of a shorter interval, above 0 and at most 1.
    pub shorten_by: f64,
    /// Shortest interval.
    pub shortest: f64,
    /// Longest interval.
    pub longest: f64,
}

/// An interval by the share that was found in tolerance.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reliability_interval {
    /// sizeof(calcore_reliability_interval), set by the caller.
    pub size: usize,
    /// The interval, in the unit of the one that was observed; infinite where every one was in tolerance.
    pub interval: f64,
    /// Share in tolerance.
    pub observed: f64,
    /// Interval by the lower end of the share's interval.
    pub shortest: f64,
    /// Interval by its upper end; infinite where nothing speaks against 1.
    pub longest: f64,
}

records!(calcore_history_drift, calcore_staircase_rule, calcore_reliability_interval);

/// Drift over `n` calibrations, at least three: times in years, rising; as-found errors and their standard uncertainties, K.
/// `as_left_k`: null, or the errors after an adjustment, NaN where nothing was adjusted: the steps are taken out.
///
/// `*history` receives a handle that the caller releases by calcore_history_free.
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_new(
    time_a: *const f64,
    as_found_k: *const f64,
    standard_uncertainty_k: *const f64,
    as_left_k: *const f64,
    n: usize,
    history_out: *mut *mut calcore_history,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("history", history_out), || {
            let (time_a, found) = (input("time_a", time_a, n)?, input("as_found_k", as_found_k, n)?);
            let u = input("standard_uncertainty_k", standard_uncertainty_k, n)?;
            let left = optional("as_left_k", as_left_k, n)?;
            let points: Vec<HistoryPoint> = (0..n)
                .map(|i| HistoryPoint {
                    time_a: time_a[i],
                    as_found_k: found[i],
                    standard_uncertainty_k: u[i],
                    as_left_k: left.map(|left| left[i]).filter(|left| !left.is_nan()),
                })
                .collect();
            Ok(history(&points)?)
        })
    }
}

/// Releases a history. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_free(history: *mut calcore_history) {
    // SAFETY: the contract of the header.
    unsafe { release(history) }
}

/// The drift. Set `drift->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_describe(
    history: *const calcore_history,
    drift: *mut calcore_history_drift,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, drift, || {
            let d = held(history)?;
            Ok(calcore_history_drift {
                size: 0,
                slope_k_per_a: d.slope_k_per_a,
                u_slope_k_per_a: d.u_slope_k_per_a,
                first_k: d.first_k,
                residual_standard_deviation_k: d.residual_standard_deviation_k,
                p_value: d.p_value,
                degrees_of_freedom: d.degrees_of_freedom,
                points: d.joined_k.len(),
            })
        })
    }
}

/// The errors as if nothing had been adjusted, K. `n`: room, which must be `points` of calcore_history_drift.
///
/// Status: CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_joined(
    history: *const calcore_history,
    joined_k: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("joined_k", &held(history)?.joined_k, joined_k, n)) }
}

/// Error to be expected at a time (years), with the adjustments that were made, K, and its standard uncertainty, K: the larger of
/// what the scatter about the line and what the stated uncertainties say. The calibration to come counts as uncertain as those
/// that were, on average (root of the mean square).
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_predict(
    history: *const calcore_history,
    time_a: f64,
    error_k: *mut f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("error_k", error_k), ("u_k", u_k), || Ok(held(history)?.predict(time_a)?)) }
}

/// When the error would leave +-limit_k at a two-sided probability between 0 and 1, years on the same scale; NaN if not within `longest_a` years
/// after the last calibration. ILAC-G24:2022 / OIML D 10:2022.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_due(
    history: *const calcore_history,
    limit_k: f64,
    probability: f64,
    longest_a: f64,
    due_a: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("due_a", due_a), || Ok(held(history)?.due(limit_k, probability, longest_a)?.unwrap_or(f64::NAN)))
    }
}

/// A drift as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_history_to_json(
    history: *const calcore_history,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(history)?)?)) }
}

/// The history of every instrument and set point over `n` calibrations, at least two, as JSON: points, changes between
/// calibrations with their E_n, drift from three calibrations on. Times in years, rising; `as_left`: null, or one result for each
/// calibration, null where nothing was adjusted.
///
/// `*text` receives a handle that the caller releases by calcore_text_free.
/// Status: CALCORE_E_INVALID_VALUE for times that do not rise, CALCORE_E_TOO_FEW_POINTS, CALCORE_E_INVALID_RUN for results of
/// another phase than their place.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_histories(
    time_a: *const f64,
    as_found: *const *const calcore_result,
    as_left: *const *const calcore_result,
    n: usize,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("text", text), || {
            let (time_a, found) = (input("time_a", time_a, n)?, input("as_found", as_found, n)?);
            let left = optional("as_left", as_left, n)?;
            let mut all = Vec::with_capacity(n);
            for (i, time_a) in time_a.iter().enumerate() {
                let as_left = match left.map(|left| left[i]) {
                    Some(result) if !result.is_null() => Some(held(result)?),
                    _ => None,
                };
                all.push(Calibration { time_a: *time_a, as_found: held(found[i])?, as_left });
            }
            Ok(to_json(&histories(&all)?)?)
        })
    }
}

/// The next interval by a staircase: `interval` in any unit, `used` the part of the tolerance that the error used, above 1 out of
/// tolerance. Set `rule->size` first.
///
/// Status: CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_staircase(
    interval: f64,
    used: f64,
    rule: *const calcore_staircase_rule,
    next: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    const NONE: calcore_staircase_rule = calcore_staircase_rule {
        size: 0,
        extend_below: f64::NAN,
        extend_by: f64::NAN,
        shorten_by: f64::NAN,
        shortest: f64::NAN,
        longest: f64::NAN,
    };
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("next", next), || {
            let r = read(rule, NONE)?;
            let rule = Staircase {
                extend_below: r.extend_below,
                extend_by: r.extend_by,
                shorten_by: r.shorten_by,
                limits: (r.shortest, r.longest),
            };
            Ok(staircase(interval, used, &rule)?)
        })
    }
}

/// Years left by the hours that an instrument has been in use since its calibration: interval and use in h, habit in h a year.
/// ILAC-G24:2022 / OIML D 10:2022, method 3.
///
/// Status: CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_in_use(
    interval_h: f64,
    used_h: f64,
    hours_per_a: f64,
    left_a: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("left_a", left_a), || Ok(in_use(interval_h, used_h, hours_per_a)?)) }
}

/// First of `n` checks in service (K, with standard uncertainties, K) whose error may exceed a limit (K) at a coverage factor; -1
/// for none. ILAC-G24:2022 / OIML D 10:2022, method 4.
///
/// Status: CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_in_service(
    check_k: *const f64,
    u_k: *const f64,
    n: usize,
    limit_k: f64,
    coverage_factor: f64,
    first: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("first", first), || {
            let (check_k, u_k) = (input("check_k", check_k, n)?, input("u_k", u_k, n)?);
            let found = in_service(check_k, u_k, limit_k, coverage_factor)?;
            Ok(found.and_then(|place| i64::try_from(place).ok()).unwrap_or(-1))
        })
    }
}

/// The interval at which a target share of the instruments is still in tolerance, from the share observed at an interval, for an
/// exponential loss of reliability; bounds by Wilson's interval of the share. ILAC-G24:2022 / OIML D 10:2022, method 5. Set
/// `found->size` first.
///
/// Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE, CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_reliability_interval_from_counts(
    interval: f64,
    in_tolerance: usize,
    calibrations: usize,
    target: f64,
    probability: f64,
    found: *mut calcore_reliability_interval,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let r = reliability_interval(interval, in_tolerance, calibrations, target, probability)?;
            Ok(calcore_reliability_interval {
                size: 0,
                interval: r.interval,
                observed: r.observed,
                shortest: r.shortest,
                longest: r.longest,
            })
        })
    }
}
