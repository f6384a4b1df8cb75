//! Section "settling": slope and scatter with their significance, on a whole record or one reading at a time.

use super::steady::reason_number;
use crate::array::input;
use crate::guard::{fill, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error};
use crate::record::{read, records};
use crate::status::*;
use calcore::settling::{Monitor, SettledCriterion, SettledState, settled};
use std::sync::{Mutex, MutexGuard};

/// When readings count as settled. Begin with calcore_settled_criterion_init, which sets all fields.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_settled_criterion {
    /// sizeof(calcore_settled_criterion), set by the caller.
    pub size: usize,
    /// Length of the window that is judged, s.
    pub window_s: f64,
    /// Largest slope, per minute; the slope and its uncertainty at the stated confidence must lie below it.
    pub max_slope_per_min: f64,
    /// Largest standard deviation about the line.
    pub max_scatter: f64,
    /// How long the criterion must have been met, s.
    pub dwell_s: f64,
    /// Two-sided probability with which the slope is within its limit, between 0 and 1.
    pub confidence: f64,
    /// From how many robust standard deviations a reading is a spike; infinite for never.
    pub spike_limit: f64,
    /// Resolution of the readings; a reading no further away is no spike.
    pub resolution: f64,
}

/// The state after a reading. Values in the unit of the record.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_settled_state {
    /// sizeof(calcore_settled_state), set by the caller.
    pub size: usize,
    /// CALCORE_STEADY if the window meets the criterion and has done so for the dwell, else one of the CALCORE_UNSTEADY_
    /// numbers.
    pub state: i32,
    /// 1 if the slope differs from zero at the stated confidence, else 0.
    pub slope_significant: i32,
    /// Since when every window has met the criterion, s; NaN where the last one does not.
    pub since_s: f64,
    /// Amount of the slope plus coverage factor times its uncertainty, per minute; infinite below three readings.
    pub slope_bound_per_min: f64,
    /// Slope of the line through the window, spikes left out, per minute; this and the following NaN below three readings.
    pub slope_per_min: f64,
    /// Its standard uncertainty, per minute; neighbouring readings may be correlated.
    pub u_slope_per_min: f64,
    /// Mean of the window.
    pub mean: f64,
    /// Its standard uncertainty, from the scatter.
    pub u_mean: f64,
    /// Standard deviation about the line.
    pub residual_standard_deviation: f64,
    /// Readings left out as spikes.
    pub spikes: usize,
    /// Largest minus smallest value in the window, spikes included.
    pub span: f64,
    /// Standard uncertainty for the lack of stability: half the span, rectangular.
    pub standard_uncertainty: f64,
    /// Readings in the window, spikes included.
    pub readings: usize,
}

/// How long still to wait.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_wait {
    /// sizeof(calcore_wait), set by the caller.
    pub size: usize,
    /// Estimate, s.
    pub seconds: f64,
    /// Its standard uncertainty, s.
    pub standard_uncertainty_s: f64,
    /// Time constant of the approach, s.
    pub time_constant_s: f64,
    /// Its standard uncertainty, s.
    pub u_time_constant_s: f64,
    /// Value that is approached.
    pub final_value: f64,
}

records!(calcore_settled_criterion, calcore_settled_state, calcore_wait);

/// Takes readings one at a time and judges them.
///
/// It changes with every reading: calls from several threads wait for each other. Released by calcore_monitor_free.
pub struct calcore_monitor {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_monitor {
    type Held = Mutex<Monitor>;
    const WHAT: &'static str = "calcore_monitor";
    const TAG: u64 = 0x6e6f_6d5f_6363_0011;
}

/// The inside of a handle that changes.
pub(crate) fn locked<T>(inside: &Mutex<T>) -> Result<MutexGuard<'_, T>, Failure> {
    // After a panic half of a change may stand there: nothing more comes from it.
    inside.lock().map_err(|_| {
        Failure::border(CALCORE_E_PANIC, "an earlier call on this handle ended in a fault; release it".into())
    })
}

const NO_LIMITS: calcore_settled_criterion = calcore_settled_criterion {
    size: 0,
    window_s: f64::NAN,
    max_slope_per_min: f64::NAN,
    max_scatter: f64::NAN,
    dwell_s: 0.0,
    confidence: 0.95,
    spike_limit: 5.0,
    resolution: 0.0,
};

/// # Safety
/// `criterion` is null or a struct as its `size` says.
unsafe fn limits(criterion: *const calcore_settled_criterion) -> Result<SettledCriterion, Failure> {
    // SAFETY: as promised.
    let c = unsafe { read(criterion, NO_LIMITS) }?;
    let mut limits = SettledCriterion::new(c.window_s, c.max_slope_per_min, c.max_scatter);
    (limits.dwell_s, limits.confidence) = (c.dwell_s, c.confidence);
    (limits.spike_limit, limits.resolution) = (c.spike_limit, c.resolution);
    Ok(limits)
}

/// A state as C sees it.
pub(crate) fn settled_of(s: &SettledState) -> calcore_settled_state {
    let line = s.trend.as_ref();
    let of = |number: fn(&calcore::settling::Trend) -> f64| line.map_or(f64::NAN, number);
    calcore_settled_state {
        size: 0,
        state: reason_number(s.reason),
        slope_significant: i32::from(s.slope_significant),
        since_s: s.since_s.unwrap_or(f64::NAN),
        slope_bound_per_min: s.slope_bound_per_min,
        slope_per_min: of(|t| t.slope_per_min),
        u_slope_per_min: of(|t| t.u_slope_per_min),
        mean: of(|t| t.mean),
        u_mean: of(|t| t.u_mean),
        residual_standard_deviation: of(|t| t.residual_standard_deviation),
        spikes: line.map_or(0, |t| t.spikes),
        span: s.span,
        standard_uncertainty: s.standard_uncertainty,
        readings: s.readings,
    }
}

/// Fills a criterion: window (s), largest slope (per minute) and largest scatter; confidence 0.95, no dwell, spikes beyond 5
/// robust standard deviations, resolution 0. Set `criterion->size` first. The limits are checked where they are used.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_settled_criterion_init(
    window_s: f64,
    max_slope_per_min: f64,
    max_scatter: f64,
    criterion: *mut calcore_settled_criterion,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, criterion, || {
            let c = SettledCriterion::new(window_s, max_slope_per_min, max_scatter);
            Ok(calcore_settled_criterion {
                size: 0,
                window_s: c.window_s,
                max_slope_per_min: c.max_slope_per_min,
                max_scatter: c.max_scatter,
                dwell_s: c.dwell_s,
                confidence: c.confidence,
                spike_limit: c.spike_limit,
                resolution: c.resolution,
            })
        })
    }
}

/// Judges a whole record of `n` readings: the state after the last one, to the same bits as a monitor that took them one by
/// one. Times in s, rising; values in any unit, the limits in the same. Set `state->size` first.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_TOO_FEW_POINTS for an empty record.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_settled(
    time_s: *const f64,
    value: *const f64,
    n: usize,
    criterion: *const calcore_settled_criterion,
    state: *mut calcore_settled_state,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, state, || {
            let (time_s, value) = (input("time_s", time_s, n)?, input("value", value, n)?);
            Ok(settled_of(&settled(time_s, value, limits(criterion)?)?))
        })
    }
}

/// A monitor without readings. `*monitor` receives a handle that the caller releases by calcore_monitor_free.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE for a limit that is none.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monitor_new(
    criterion: *const calcore_settled_criterion,
    monitor: *mut *mut calcore_monitor,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("monitor", monitor), || Ok(Mutex::new(Monitor::new(limits(criterion)?)?))) }
}

/// Releases a monitor. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monitor_free(monitor: *mut calcore_monitor) {
    // SAFETY: the contract of the header.
    unsafe { release(monitor) }
}

/// Takes a reading at a time (s, later than the one before) and judges the window that ends with it. Set `state->size` first.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a time that is not later; the reading is not taken then.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monitor_push(
    monitor: *mut calcore_monitor,
    time_s: f64,
    value: f64,
    state: *mut calcore_settled_state,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { fill(err, state, || Ok(settled_of(&locked(held(monitor.cast_const())?)?.push(time_s, value)?))) }
}

/// How long still to wait until the criterion is met, by the exponential that the window follows. Set `wait->size` first.
///
/// Status: CALCORE_E_TOO_FEW_POINTS below five readings; CALCORE_E_UNDETERMINED where the window follows no exponential that
/// dies out: too short, too noisy, or driven by something else.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monitor_wait(
    monitor: *const calcore_monitor,
    wait: *mut calcore_wait,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, wait, || {
            let w = locked(held(monitor)?)?.wait()?;
            Ok(calcore_wait {
                size: 0,
                seconds: w.seconds,
                standard_uncertainty_s: w.standard_uncertainty_s,
                time_constant_s: w.time_constant_s,
                u_time_constant_s: w.u_time_constant_s,
                final_value: w.final_value,
            })
        })
    }
}
