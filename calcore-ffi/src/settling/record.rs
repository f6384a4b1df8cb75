//! Section "settling": drift of a record, its value at a moment, lag, independent readings, the R-statistic.

use super::settled::locked;
use crate::array::input;
use crate::guard::{fill, give, give_two, make};
use crate::handle::{Handle, held, release};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use calcore::settling::{RStatistic, drift, effective_count, lag, lag_1_autocorrelation, lag_correction, reference_at};
use std::sync::Mutex;

/// A straight line through a record. Values in the unit of the record.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_trend {
    /// sizeof(calcore_trend), set by the caller.
    pub size: usize,
    /// Slope, per minute.
    pub slope_per_min: f64,
    /// Its standard uncertainty, per minute.
    pub u_slope_per_min: f64,
    /// Mean, spikes left out.
    pub mean: f64,
    /// Its standard uncertainty.
    pub u_mean: f64,
    /// Moment to which the mean belongs, s.
    pub mean_time_s: f64,
    /// Standard deviation about the line.
    pub residual_standard_deviation: f64,
    /// Correlation of neighbouring residuals.
    pub autocorrelation: f64,
    /// Independent readings that they are worth.
    pub effective_readings: f64,
    /// Degrees of freedom of the scatter.
    pub degrees_of_freedom: f64,
    /// Readings, spikes included.
    pub readings: usize,
    /// Readings left out as spikes.
    pub spikes: usize,
}

/// A reference moved to a moment.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reference_at_moment {
    /// sizeof(calcore_reference_at_moment), set by the caller.
    pub size: usize,
    /// The value.
    pub value: f64,
    /// Its standard uncertainty from the scatter of the readings and the way between them; the certificate of the reference
    /// is not in it.
    pub standard_uncertainty: f64,
    /// 1 if the moment lies outside the record, else 0.
    pub extrapolated: i32,
    /// Zero.
    pub reserved: i32,
}

records!(calcore_trend, calcore_reference_at_moment);

/// The ratio of two variances that tells a steady signal from a moving one, one value at a time.
///
/// It changes with every value: calls from several threads wait for each other. Released by calcore_r_statistic_free.
pub struct calcore_r_statistic {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_r_statistic {
    type Held = Mutex<RStatistic>;
    const WHAT: &'static str = "calcore_r_statistic";
    const TAG: u64 = 0x7473_725f_6363_0012;
}

/// Drift of a record of `n` readings: a least-squares line without the spikes, further from a robust line than `spike_limit`
/// robust standard deviations (infinite: none) and than `resolution`. Its uncertainties allow for correlation between
/// neighbours. Set `trend->size` first.
///
/// Status: CALCORE_E_TOO_FEW_POINTS below three readings, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_drift(
    time_s: *const f64,
    value: *const f64,
    n: usize,
    spike_limit: f64,
    resolution: f64,
    trend: *mut calcore_trend,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, trend, || {
            let t = drift(input("time_s", time_s, n)?, input("value", value, n)?, spike_limit, resolution)?;
            Ok(calcore_trend {
                size: 0,
                slope_per_min: t.slope_per_min,
                u_slope_per_min: t.u_slope_per_min,
                mean: t.mean,
                u_mean: t.u_mean,
                mean_time_s: t.mean_time_s,
                residual_standard_deviation: t.residual_standard_deviation,
                autocorrelation: t.autocorrelation,
                effective_readings: t.effective_readings,
                degrees_of_freedom: t.degrees_of_freedom,
                readings: t.readings,
                spikes: t.spikes,
            })
        })
    }
}

/// Value of a record at the moment `at_s`: straight between the readings before and after it; along the line through the whole
/// record outside, as far as `max_extrapolation_s`. Set `found->size` first.
///
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_OUT_OF_RANGE too far outside.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_reference_at(
    time_s: *const f64,
    value: *const f64,
    n: usize,
    at_s: f64,
    max_extrapolation_s: f64,
    found: *mut calcore_reference_at_moment,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let (time_s, value) = (input("time_s", time_s, n)?, input("value", value, n)?);
            let r = reference_at(time_s, value, at_s, max_extrapolation_s)?;
            Ok(calcore_reference_at_moment {
                size: 0,
                value: r.value,
                standard_uncertainty: r.standard_uncertainty,
                extrapolated: i32::from(r.extrapolated),
                reserved: 0,
            })
        })
    }
}

/// How far a thermometer with a time constant (s) stays behind in a ramp (K/min), K; positive where it reads low in a rise.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time constant.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lag(
    time_constant_s: f64,
    rate_per_min: f64,
    lag_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("lag_k", lag_k), || Ok(lag(time_constant_s, rate_per_min)?)) }
}

/// What is to be added to an error (indicated minus reference), K, because instrument and reference follow differently late
/// in a ramp (K/min), and its standard uncertainty from that of the rate, K. Time constants in s.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time constant or uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lag_correction(
    instrument_s: f64,
    reference_s: f64,
    rate_per_min: f64,
    u_rate_per_min: f64,
    correction_k: *mut f64,
    u_correction_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("correction_k", correction_k), ("u_correction_k", u_correction_k), || {
            let found = lag_correction(instrument_s, reference_s, rate_per_min, u_rate_per_min)?;
            Ok((found.correction_k, found.standard_uncertainty_k))
        })
    }
}

/// Correlation of neighbouring values of a record about their mean; 0 without scatter.
///
/// Status: CALCORE_E_TOO_FEW_POINTS below three values, CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lag_1_autocorrelation(
    value: *const f64,
    n: usize,
    correlation: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("correlation", correlation), || Ok(lag_1_autocorrelation(input("value", value, n)?)?)) }
}

/// How many independent readings `readings` autocorrelated ones are worth for their mean. A negative correlation counts as
/// none.
///
/// Status: CALCORE_E_OUT_OF_RANGE for a correlation not between -1 and 1, CALCORE_E_NOT_FINITE, CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_effective_count(
    readings: usize,
    correlation: f64,
    count: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(effective_count(readings, correlation)?)) }
}

/// An R-statistic by its three filter factors, each above 0 and up to 1: of the mean, of the variance about it, of the
/// differences. S. Cao, R. R. Rhinehart, J. Process Control 5 (1995).
///
/// `*statistic` receives a handle that the caller releases by calcore_r_statistic_free.
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_r_statistic_new(
    mean: f64,
    variance: f64,
    difference: f64,
    statistic: *mut *mut calcore_r_statistic,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("statistic", statistic), || Ok(Mutex::new(RStatistic::new(mean, variance, difference)?))) }
}

/// Releases an R-statistic. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_r_statistic_free(statistic: *mut calcore_r_statistic) {
    // SAFETY: the contract of the header.
    unsafe { release(statistic) }
}

/// Takes a value; `*r` receives the statistic, near 1 for a steady signal and larger where it moves; NaN before the filters
/// have run in and while successive values do not differ at all.
///
/// Status: CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_r_statistic_push(
    statistic: *mut calcore_r_statistic,
    value: f64,
    r: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("r", r), || Ok(locked(held(statistic.cast_const())?)?.push(value)?.unwrap_or(f64::NAN))) }
}
