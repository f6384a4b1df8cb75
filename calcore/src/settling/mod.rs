//! Whether a temperature is steady enough to count, how long that still takes, and what it was between two readings.
//!
//! [`steady`] judges a whole record by span and slope; [`settled`] and the [`Monitor`] that takes one reading at a time
//! judge the slope with its significance and the scatter, both robust to a spike, and the dwell; [`RStatistic`] watches
//! the ratio of two variances. [`drift`], [`reference_at`] and the lag functions move a reference to the moment of a
//! reading.

mod autocorrelation;
mod interpolate;
mod lag;
mod monitor;
mod r_statistic;
mod steady;
mod trend;
mod wait;

pub use autocorrelation::{effective_count, lag_1_autocorrelation};
pub use interpolate::{ReferenceAt, reference_at};
pub use lag::{LagCorrection, lag, lag_correction};
pub use monitor::{Monitor, SettledCriterion, SettledState, settled};
pub use r_statistic::RStatistic;
pub use steady::{Steadiness, SteadyCriterion, Unsteady, steady};
pub use trend::{Trend, drift};
pub use wait::Wait;

use crate::error::{Error, Result, finite, same_length};

/// Refuses records that are not numbers or whose times do not rise.
pub(crate) fn check_record(time_s: &[f64], value: &[f64]) -> Result<()> {
    same_length("values", time_s.len(), value.len())?;
    for i in 0..time_s.len() {
        finite("value", value[i]).map_err(|error| error.at_index(i, 1))?;
        check_time(time_s[i], i.checked_sub(1).map(|before| time_s[before])).map_err(|error| error.at_index(i, 1))?;
    }
    Ok(())
}

/// Refuses a time that is not a number or not later than the one before.
pub(crate) fn check_time(time_s: f64, before_s: Option<f64>) -> Result<()> {
    finite("time", time_s)?;
    match before_s {
        Some(before_s) if time_s <= before_s => Err(Error::InvalidValue {
            what: "time",
            value: time_s,
            unit: "s",
            requirement: format!("it must be later than the reading before, {before_s} s"),
        }),
        _ => Ok(()),
    }
}
