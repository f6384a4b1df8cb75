//! Section "settling": whether a temperature is steady enough to count.

use crate::array::input;
use crate::guard::fill;
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use calcore::settling::{Steadiness, SteadyCriterion, Unsteady, steady};

/// The last window meets the criterion.
pub const CALCORE_STEADY: i32 = 0;
/// Not steady: the record is shorter than the window.
pub const CALCORE_UNSTEADY_RECORD_TOO_SHORT: i32 = 1;
/// Not steady: the window holds fewer than three readings.
pub const CALCORE_UNSTEADY_TOO_FEW_READINGS: i32 = 2;
/// Not steady: the values spread too far.
pub const CALCORE_UNSTEADY_SPAN: i32 = 3;
/// Not steady: the values drift too fast.
pub const CALCORE_UNSTEADY_SLOPE: i32 = 4;
/// Not steady, for a reason that this header does not know.
pub const CALCORE_UNSTEADY_OTHER: i32 = 5;

/// Not settled: the readings scatter too far about their line.
pub const CALCORE_UNSTEADY_SCATTER: i32 = 6;
/// Not settled: more than a fifth of the readings in the window are spikes.
pub const CALCORE_UNSTEADY_SPIKES: i32 = 7;
/// Not settled: the criterion is met, but not yet for the dwell.
pub const CALCORE_UNSTEADY_DWELL: i32 = 8;

/// The state at the end of a record. Values in the unit of the record.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_steadiness {
    /// sizeof(calcore_steadiness), set by the caller.
    pub size: usize,
    /// CALCORE_STEADY, or why the last window does not meet the criterion.
    pub state: i32,
    /// Zero.
    pub reserved: i32,
    /// Since when every window has met the criterion, s; NaN where the last one does not.
    pub since_s: f64,
    /// Largest minus smallest value in the last window.
    pub span: f64,
    /// Slope of the least-squares line through the last window, per minute.
    pub slope_per_min: f64,
    /// Residual standard deviation about that line; 0 with fewer than three readings.
    pub residual_standard_deviation: f64,
    /// Standard uncertainty for the lack of stability: half the span, rectangular.
    pub standard_uncertainty: f64,
    /// Readings in the last window.
    pub readings: usize,
}

records!(calcore_steadiness);

/// Why a record is not steady, as C sees it.
pub(super) fn reason_number(reason: Option<Unsteady>) -> i32 {
    match reason {
        None => CALCORE_STEADY,
        Some(Unsteady::RecordTooShort) => CALCORE_UNSTEADY_RECORD_TOO_SHORT,
        Some(Unsteady::TooFewReadings) => CALCORE_UNSTEADY_TOO_FEW_READINGS,
        Some(Unsteady::Span) => CALCORE_UNSTEADY_SPAN,
        Some(Unsteady::Slope) => CALCORE_UNSTEADY_SLOPE,
        Some(Unsteady::Scatter) => CALCORE_UNSTEADY_SCATTER,
        Some(Unsteady::Spikes) => CALCORE_UNSTEADY_SPIKES,
        Some(Unsteady::Dwell) => CALCORE_UNSTEADY_DWELL,
        Some(_) => CALCORE_UNSTEADY_OTHER,
    }
}

/// A state as C sees it.
pub(crate) fn state_of(s: &Steadiness) -> calcore_steadiness {
    calcore_steadiness {
        size: 0,
        state: reason_number(s.reason),
        reserved: 0,
        since_s: s.since_s.unwrap_or(f64::NAN),
        span: s.span,
        slope_per_min: s.slope_per_min,
        residual_standard_deviation: s.residual_standard_deviation,
        standard_uncertainty: s.standard_uncertainty,
        readings: s.readings,
    }
}

/// Judges a record of `n` readings by a criterion on its last window, which reaches back `window_s` seconds from the last
/// reading: largest minus smallest value at most `max_span`, slope at most `max_slope_per_min` either way.
///
/// Times in s, rising; values in any unit, the limits in the same. `steadiness`: set its `size` first.
/// Status: CALCORE_E_NOT_FINITE with the index of the reading; CALCORE_E_INVALID_VALUE for limits that are not positive or
/// times that do not rise; CALCORE_E_TOO_FEW_POINTS for an empty record.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_steady(
    time_s: *const f64,
    value: *const f64,
    n: usize,
    window_s: f64,
    max_span: f64,
    max_slope_per_min: f64,
    steadiness: *mut calcore_steadiness,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, steadiness, || {
            let (time_s, value) = (input("time_s", time_s, n)?, input("value", value, n)?);
            Ok(state_of(&steady(time_s, value, SteadyCriterion { window_s, max_span, max_slope_per_min })?))
        })
    }
}
