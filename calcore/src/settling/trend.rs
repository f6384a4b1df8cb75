//! The straight line through a stretch of a record, robust to a spike, with what it is sure to.

use super::autocorrelation::{effective, lag_1};
use super::check_record;
use crate::error::{Error, Result, not_negative};

/// Rate of change of a record, with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Trend {
    /// Slope of the least-squares line, per minute.
    pub slope_per_min: f64,
    /// Its standard uncertainty, per minute; widened for autocorrelated readings.
    pub u_slope_per_min: f64,
    /// Value of the line at `mean_time_s`, the mean of the readings that count.
    pub mean: f64,
    /// Standard uncertainty of that mean from the scatter.
    pub u_mean: f64,
    /// Mean time of the readings that count, s.
    pub mean_time_s: f64,
    /// Residual standard deviation about the line.
    pub residual_standard_deviation: f64,
    /// Correlation of neighbouring residuals.
    pub autocorrelation: f64,
    /// Number of independent readings that the record is worth.
    pub effective_readings: f64,
    /// Degrees of freedom of the scatter, by the effective number of readings; at least 1.
    pub degrees_of_freedom: f64,
    /// Readings that count.
    pub readings: usize,
    /// Readings left out as spikes.
    pub spikes: usize,
}

/// Rate of change of a record by a straight line, K/min for readings in °C over seconds.
///
/// A reading is left out as a spike where it lies further from a robust line than `spike_limit` robust standard
/// deviations and than `resolution`. A record whose readings mostly repeat has no scatter to judge a spike by: with a
/// resolution of 0 none is left out then. An infinite limit leaves out none.
///
/// # Formula
/// Robust line: the median of the slopes between reading i and reading i + n/2, through the median of what is left;
/// robust standard deviation: 1.4826 times the median absolute residual. Then least squares on the rest;
/// u(b) = s / √Σ(t − t̄)² · √(n / n_eff), n_eff as [`effective_count`](super::effective_count) says.
///
/// # Errors
/// [`Error::TooFewPoints`] below three readings, [`Error::NotFinite`], [`Error::InvalidValue`] for times that do not
/// rise or negative limits.
///
/// # Example
/// ```
/// use calcore::settling::drift;
/// let trend = drift(&[0.0, 60.0, 120.0, 180.0], &[100.0, 100.02, 100.04, 100.06], f64::INFINITY, 0.0)?;
/// assert!((trend.slope_per_min - 0.02).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// Theil, Proc. Kon. Ned. Akad. Wetensch. 53 (1950), the incomplete method (from memory); Hampel's identifier with the
/// factor 1.4826 for a normal distribution.
pub fn drift(time_s: &[f64], value: &[f64], spike_limit: f64, resolution: f64) -> Result<Trend> {
    check_record(time_s, value)?;
    check_spike_limit(spike_limit)?;
    not_negative("resolution", resolution, "")?;
    if time_s.len() < 3 {
        return Err(Error::TooFewPoints { what: "drift", needed: 3, found: time_s.len(), hint: "" });
    }
    Ok(Workspace::default().trend(time_s, value, spike_limit, resolution))
}

pub(super) fn check_spike_limit(limit: f64) -> Result<()> {
    if limit > 0.0 {
        return Ok(());
    }
    Err(Error::InvalidValue {
        what: "spike limit",
        value: limit,
        unit: "",
        requirement: "it must be greater than 0; infinity leaves out none".into(),
    })
}

/// Room for the sorted copies, kept between readings.
#[derive(Debug, Clone, Default)]
pub(super) struct Workspace {
    sorted: Vec<f64>,
    residuals: Vec<f64>,
    kept: Vec<bool>,
}

impl Workspace {
    /// The line through three readings or more.
    pub(super) fn trend(&mut self, time_s: &[f64], value: &[f64], spike_limit: f64, resolution: f64) -> Trend {
        self.mark_spikes(time_s, value, spike_limit, resolution);
        let (t0, v0) = (time_s[0], value[0]);
        let kept = || time_s.iter().zip(value).zip(&self.kept).filter(|(_, kept)| **kept).map(|((t, v), _)| (*t, *v));
        let readings = kept().count();
        let n = readings as f64;
        let mean_time = kept().map(|(t, _)| t - t0).sum::<f64>() / n;
        let mean = kept().map(|(_, v)| v - v0).sum::<f64>() / n;
        let (mut stt, mut stv) = (0.0, 0.0);
        for (t, v) in kept() {
            let dt = t - t0 - mean_time;
            stt += dt * dt;
            stv += dt * (v - v0 - mean);
        }
        let slope = if stt > 0.0 { stv / stt } else { 0.0 };
        let residuals: Vec<f64> = kept().map(|(t, v)| v - v0 - mean - slope * (t - t0 - mean_time)).collect();
        let squares: f64 = residuals.iter().map(|r| r * r).sum();
        let s = if readings > 2 { (squares / (n - 2.0)).sqrt() } else { 0.0 };
        let autocorrelation = if readings > 2 { lag_1(&residuals) } else { 0.0 };
        let effective_readings = effective(readings, autocorrelation);
        let widened = (n / effective_readings).sqrt();
        Trend {
            slope_per_min: 60.0 * slope,
            u_slope_per_min: if stt > 0.0 { 60.0 * s / stt.sqrt() * widened } else { 0.0 },
            mean: v0 + mean,
            u_mean: s / effective_readings.sqrt(),
            mean_time_s: t0 + mean_time,
            residual_standard_deviation: s,
            autocorrelation,
            effective_readings,
            degrees_of_freedom: (effective_readings - 2.0).max(1.0),
            readings,
            spikes: time_s.len() - readings,
        }
    }

    fn mark_spikes(&mut self, time_s: &[f64], value: &[f64], spike_limit: f64, resolution: f64) {
        self.kept.clear();
        self.kept.resize(value.len(), true);
        if spike_limit == f64::INFINITY || value.len() < 4 {
            return;
        }
        let (t0, v0, half) = (time_s[0], value[0], value.len() / 2);
        self.sorted.clear();
        let slopes = (half..value.len()).map(|i| (value[i] - value[i - half]) / (time_s[i] - time_s[i - half]));
        self.sorted.extend(slopes);
        let slope = median(&mut self.sorted);
        self.residuals.clear();
        self.residuals.extend(time_s.iter().zip(value).map(|(t, v)| v - v0 - slope * (t - t0)));
        self.sorted.clear();
        self.sorted.extend_from_slice(&self.residuals);
        let middle = median(&mut self.sorted);
        self.sorted.clear();
        self.sorted.extend(self.residuals.iter().map(|r| (r - middle).abs()));
        let deviation = 1.4826 * median(&mut self.sorted);
        let limit = (spike_limit * deviation).max(resolution);
        if limit > 0.0 {
            // A departure of just the limit is none: readings are multiples of a resolution that no double holds.
            let limit = limit * (1.0 + 1e-9) + 1e-12 * v0.abs();
            for (kept, r) in self.kept.iter_mut().zip(&self.residuals) {
                *kept = (r - middle).abs() <= limit;
            }
        }
    }
}

fn median(values: &mut [f64]) -> f64 {
    let middle = values.len() / 2;
    let odd = values.len() % 2 == 1;
    let (below, upper, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    let upper = *upper;
    if odd {
        return upper;
    }
    0.5 * (below.iter().copied().fold(f64::NEG_INFINITY, f64::max) + upper)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slope_and_its_uncertainty_by_hand() {
        // t = 0, 1, 2, 3 min; x = 1, 3, 2, 4: b = 0.8, residuals −0.3, 0.9, −0.9, 0.3, s² = 1.8/2, Σ(t − t̄)² = 5.
        let trend = drift(&[0.0, 60.0, 120.0, 180.0], &[1.0, 3.0, 2.0, 4.0], f64::INFINITY, 0.0).unwrap();
        assert!((trend.slope_per_min - 0.8).abs() < 1e-15 && (trend.mean - 2.5).abs() < 1e-15);
        assert!((trend.residual_standard_deviation - 0.9f64.sqrt()).abs() < 1e-15);
        // r₁ = (−0.27 − 0.81 − 0.27)/1.8 is negative and counts as none.
        assert!((trend.autocorrelation + 0.75).abs() < 1e-15);
        assert!((trend.u_slope_per_min - (0.9f64 / 5.0).sqrt()).abs() < 1e-15);
        assert!((trend.u_mean - (0.9f64 / 4.0).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn a_spike_is_left_out_and_counted() {
        let time: Vec<f64> = (0..30).map(|i| 10.0 * f64::from(i)).collect();
        let mut value: Vec<f64> = (0..30).map(|i| 100.0 + 0.001 * f64::from(i) + 0.002 * f64::from(i % 3)).collect();
        let clean = drift(&time, &value, 4.0, 0.0).unwrap();
        value[17] += 3.0;
        let spiked = drift(&time, &value, 4.0, 0.0).unwrap();
        assert_eq!((clean.spikes, spiked.spikes, spiked.readings), (0, 1, 29));
        // One reading of 30 is missing: the slope moves by less than its own uncertainty.
        assert!((spiked.slope_per_min - clean.slope_per_min).abs() < clean.u_slope_per_min);
        let naive = drift(&time, &value, f64::INFINITY, 0.0).unwrap();
        assert!((naive.slope_per_min - clean.slope_per_min).abs() > 10.0 * clean.u_slope_per_min);
    }

    #[test]
    fn a_display_that_steps_has_no_spikes() {
        let time: Vec<f64> = (0..20).map(f64::from).collect();
        let mut value = vec![99.9; 20];
        value[6] = 100.0;
        assert_eq!(drift(&time, &value, 4.0, 0.1).unwrap().spikes, 0);
        assert_eq!(drift(&time, &value, 4.0, 0.0).unwrap().spikes, 0);
        value[6] = 104.0;
        assert_eq!(drift(&time, &value, 4.0, 0.1).unwrap().spikes, 1);
    }
}
