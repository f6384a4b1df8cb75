//! A stated test on readings as they come: slope with its significance, scatter, dwell.

use super::trend::{Trend, Workspace, check_spike_limit};
use super::wait::{Wait, wait};
use super::{Unsteady, check_record, check_time};
use crate::error::{Error, Result, finite, not_negative, positive};
use crate::num::special::student_quantile;

/// When a record counts as settled. Values may be in any unit; the limits are in the same.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct SettledCriterion {
    /// Length of the window, s.
    pub window_s: f64,
    /// Largest slope, per minute: amount plus coverage factor times uncertainty must not exceed it.
    pub max_slope_per_min: f64,
    /// Largest residual standard deviation about the line.
    pub max_scatter: f64,
    /// How long the window must have met both without a break, s.
    pub dwell_s: f64,
    /// Two-sided probability with which the slope is within its limit.
    pub confidence: f64,
    /// From how many robust standard deviations a reading is a spike.
    pub spike_limit: f64,
    /// Resolution of the readings; a reading no further away is no spike.
    pub resolution: f64,
}

impl SettledCriterion {
    /// A criterion with a confidence of 95 %, no dwell, spikes beyond 5 robust standard deviations and a resolution
    /// that does not count.
    #[must_use]
    pub fn new(window_s: f64, max_slope_per_min: f64, max_scatter: f64) -> Self {
        Self {
            window_s,
            max_slope_per_min,
            max_scatter,
            dwell_s: 0.0,
            confidence: 0.95,
            spike_limit: 5.0,
            resolution: 0.0,
        }
    }

    fn check(&self) -> Result<()> {
        positive("window", self.window_s, "s")?;
        positive("largest slope", self.max_slope_per_min, "1/min")?;
        positive("largest scatter", self.max_scatter, "")?;
        not_negative("dwell", self.dwell_s, "s")?;
        not_negative("resolution", self.resolution, "")?;
        check_spike_limit(self.spike_limit)?;
        if !(finite("confidence", self.confidence)? > 0.0 && self.confidence < 1.0) {
            let (low, high, value) = (0.0, 1.0, self.confidence);
            return Err(Error::OutOfRange { what: "confidence", value, low, high, unit: "", position: None });
        }
        Ok(())
    }

    /// Half the width of the interval in which a slope lies at the stated confidence, in standard uncertainties.
    pub(super) fn factor(&self, degrees_of_freedom: f64) -> Result<f64> {
        student_quantile(0.5 * (1.0 + self.confidence), degrees_of_freedom)
    }
}

/// The state after a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct SettledState {
    /// Whether the window meets the criterion and has done so for the dwell.
    pub settled: bool,
    /// Since when every window has met it, s.
    pub since_s: Option<f64>,
    /// Why not.
    pub reason: Option<Unsteady>,
    /// The line through the window; absent below three readings.
    pub trend: Option<Trend>,
    /// Amount of the slope plus coverage factor times its uncertainty, per minute.
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub slope_bound_per_min: f64,
    /// Whether the slope differs from zero at the stated confidence.
    pub slope_significant: bool,
    /// Largest minus smallest value in the window, spikes included.
    pub span: f64,
    /// Standard uncertainty for the lack of stability: half the span, rectangular (EURAMET cg-13, from memory).
    pub standard_uncertainty: f64,
    /// Readings in the window, spikes included.
    pub readings: usize,
}

/// Takes readings one at a time and says after each whether they have settled.
///
/// The same readings give the same bits as [`settled`] on the whole record.
///
/// # Example
/// ```
/// use calcore::settling::{Monitor, SettledCriterion};
/// let mut monitor = Monitor::new(SettledCriterion::new(300.0, 0.01, 0.005))?;
/// let mut state = None;
/// for i in 0..120 {
///     let time_s = 10.0 * f64::from(i);
///     state = Some(monitor.push(time_s, 100.0 + 2.0 * (-time_s / 150.0).exp())?);
/// }
/// assert!(state.is_some_and(|state| state.settled));
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Monitor {
    criterion: SettledCriterion,
    time_s: Vec<f64>,
    value: Vec<f64>,
    began_s: Option<f64>,
    since_s: Option<f64>,
    room: Workspace,
}

impl Monitor {
    /// A monitor without readings.
    ///
    /// # Errors
    /// [`crate::Error::InvalidValue`], [`crate::Error::OutOfRange`], [`crate::Error::NotFinite`] for a limit that is
    /// none.
    pub fn new(criterion: SettledCriterion) -> Result<Self> {
        criterion.check()?;
        let (time_s, value, room) = (Vec::new(), Vec::new(), Workspace::default());
        Ok(Self { criterion, time_s, value, began_s: None, since_s: None, room })
    }

    /// Takes a reading and judges the window that ends with it.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a time not later than the one before; the
    /// reading is not taken then.
    pub fn push(&mut self, time_s: f64, value: f64) -> Result<SettledState> {
        check_time(time_s, self.time_s.last().copied())?;
        finite("value", value)?;
        self.began_s.get_or_insert(time_s);
        self.time_s.push(time_s);
        self.value.push(value);
        let outside = self.time_s.partition_point(|&time| time < time_s - self.criterion.window_s);
        if outside > 0 {
            self.time_s.drain(..outside);
            self.value.drain(..outside);
        }
        self.judge(time_s)
    }

    fn judge(&mut self, now_s: f64) -> Result<SettledState> {
        let limits = &self.criterion;
        let low = self.value.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.value.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let trend = (self.value.len() > 2)
            .then(|| self.room.trend(&self.time_s, &self.value, limits.spike_limit, limits.resolution));
        let (mut bound, mut significant) = (f64::INFINITY, false);
        let mut reason = Some(Unsteady::TooFewReadings);
        if let Some(line) = trend {
            let margin = if line.u_slope_per_min > 0.0 {
                limits.factor(line.degrees_of_freedom)? * line.u_slope_per_min
            } else {
                0.0
            };
            bound = line.slope_per_min.abs() + margin;
            significant = line.slope_per_min.abs() > margin;
            reason = if line.spikes * 5 > self.value.len() {
                Some(Unsteady::Spikes)
            } else if bound > limits.max_slope_per_min {
                Some(Unsteady::Slope)
            } else if line.residual_standard_deviation > limits.max_scatter {
                Some(Unsteady::Scatter)
            } else {
                None
            };
        }
        if self.began_s.is_none_or(|began_s| began_s > now_s - limits.window_s) {
            reason = Some(Unsteady::RecordTooShort);
        }
        self.since_s = if reason.is_none() { self.since_s.or(Some(now_s)) } else { None };
        if self.since_s.is_some_and(|since_s| now_s - since_s < limits.dwell_s) {
            reason = Some(Unsteady::Dwell);
        }
        Ok(SettledState {
            settled: reason.is_none(),
            since_s: self.since_s,
            reason,
            trend,
            slope_bound_per_min: bound,
            slope_significant: significant,
            span: high - low,
            standard_uncertainty: 0.5 * (high - low) / 3f64.sqrt(),
            readings: self.value.len(),
        })
    }

    /// How long still to wait until the criterion is met, by the exponential that the window follows.
    ///
    /// # Errors
    /// [`crate::Error::TooFewPoints`] below five readings, [`crate::Error::Undetermined`] where the window follows no
    /// exponential that dies out: too short, too noisy, or driven by something else.
    pub fn wait(&self) -> Result<Wait> {
        let (Some(&now_s), Some(began_s)) = (self.time_s.last(), self.began_s) else {
            return wait(&[], &[], &self.criterion, 0.0);
        };
        let dwelt_s = self.since_s.map_or(0.0, |since_s| now_s - since_s);
        let window_s = (began_s + self.criterion.window_s - now_s).max(0.0);
        let still = wait(&self.time_s, &self.value, &self.criterion, window_s)?;
        // A dwell begins when the slope is low enough; what has been dwelt already counts.
        let rest_s = (self.criterion.dwell_s - dwelt_s).max(0.0);
        Ok(Wait { seconds: still.seconds + rest_s, ..still })
    }
}

/// Judges a whole record: the state after its last reading.
///
/// # Errors
/// As [`Monitor::new`] and [`Monitor::push`]; [`crate::Error::TooFewPoints`] for an empty record.
pub fn settled(time_s: &[f64], value: &[f64], criterion: SettledCriterion) -> Result<SettledState> {
    check_record(time_s, value)?;
    let mut monitor = Monitor::new(criterion)?;
    let mut state = Err(Error::TooFewPoints { what: "settling of a record", needed: 1, found: 0, hint: "" });
    for (&time, &reading) in time_s.iter().zip(value) {
        state = Ok(monitor.push(time, reading)?);
    }
    state
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::rng::{Place, Stream};

    const LIMITS: SettledCriterion = SettledCriterion {
        window_s: 300.0,
        max_slope_per_min: 0.01,
        max_scatter: 0.005,
        dwell_s: 0.0,
        confidence: 0.95,
        spike_limit: 5.0,
        resolution: 0.0,
    };

    fn noise(n: usize, u: f64, seed: u64) -> Vec<f64> {
        let mut z = vec![0.0; n];
        Stream::new(seed, 0).normal(Place::STANDARD, &mut z);
        z.iter().map(|z| u * z).collect()
    }

    fn times(n: usize) -> Vec<f64> {
        (0..n).map(|i| 10.0 * i as f64).collect()
    }

    #[test]
    fn one_at_a_time_and_whole_give_the_same_bits() {
        let (time, noise) = (times(90), noise(90, 0.002, 7));
        let value: Vec<f64> = time.iter().zip(&noise).map(|(t, z)| 80.0 + 5.0 * libm::exp(-t / 120.0) + z).collect();
        let mut monitor = Monitor::new(LIMITS).unwrap();
        let mut last = None;
        for (t, v) in time.iter().zip(&value) {
            last = Some(monitor.push(*t, *v).unwrap());
        }
        let whole = settled(&time, &value, LIMITS).unwrap();
        assert_eq!(last, Some(whole));
        assert!(whole.settled && whole.since_s.is_some_and(|s| s > 300.0));
    }

    /// The stated test at its limit: a slope just below the limit is proven only as often as the confidence lets it,
    /// (1 − 0.95)/2 = 2.5 % on this side. 4000 records: ±3 standard deviations of a count are ±0.75 %.
    #[test]
    fn a_slope_at_the_limit_is_seldom_taken_for_steady() {
        let time = times(31);
        let all = noise(31 * 4000, 0.002, 11);
        let limits = SettledCriterion { spike_limit: f64::INFINITY, ..LIMITS };
        let taken = all
            .chunks(31)
            .filter(|z| {
                let value: Vec<f64> = time.iter().zip(z.iter()).map(|(t, z)| 80.0 + t * 0.01 / 60.0 + z).collect();
                settled(&time, &value, limits).unwrap().settled
            })
            .count();
        // The widening for autocorrelation makes it rarer still, never more frequent.
        assert!(taken as f64 / 4000.0 < 0.025 + 0.0075, "{taken}");
        assert!(taken > 20);
    }

    #[test]
    fn each_reason_has_its_record() {
        let time = times(61);
        let judge = |f: &dyn Fn(usize) -> f64| {
            let value: Vec<f64> = (0..61).map(f).collect();
            settled(&time, &value, LIMITS).unwrap().reason
        };
        assert_eq!(judge(&|i| 80.0 + 0.005 * i as f64), Some(Unsteady::Slope));
        assert_eq!(judge(&|i| 80.0 + 0.02 * (i % 2) as f64), Some(Unsteady::Scatter));
        assert_eq!(judge(&|i| 80.0 + if i % 4 == 0 { 1.0 } else { 1e-4 * (i % 3) as f64 }), Some(Unsteady::Spikes));
        assert_eq!(judge(&|i| 80.0 + 1e-4 * (i % 3) as f64 + if i == 50 { 2.0 } else { 0.0 }), None);
        let dwell = SettledCriterion { dwell_s: 400.0, ..LIMITS };
        let state = settled(&time, &vec![80.0; 61], dwell).unwrap();
        assert_eq!((state.reason, state.since_s, state.settled), (Some(Unsteady::Dwell), Some(300.0), false));
        assert_eq!(settled(&time[..9], &[80.0; 9], LIMITS).unwrap().reason, Some(Unsteady::RecordTooShort));
        // ±a over the window is a/√3 (EURAMET cg-13, from memory).
        let value: Vec<f64> = (0..61).map(|i| if i % 2 == 0 { 79.97 } else { 80.03 }).collect();
        let state = settled(&time, &value, LIMITS).unwrap();
        assert!((state.standard_uncertainty - 0.03 / 3f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn limits_and_readings_are_checked() {
        let code = |limits: SettledCriterion| Monitor::new(limits).map(|_| ()).map_err(|e| e.code());
        assert_eq!(code(SettledCriterion { window_s: 0.0, ..LIMITS }), Err(103));
        assert_eq!(code(SettledCriterion { confidence: 1.0, ..LIMITS }), Err(102));
        assert_eq!(code(SettledCriterion { spike_limit: f64::NAN, ..LIMITS }), Err(103));
        let mut monitor = Monitor::new(LIMITS).unwrap();
        assert!(monitor.push(1.0, 2.0).is_ok());
        assert_eq!(monitor.push(1.0, 2.0).map_err(|e| e.code()), Err(103));
        assert_eq!(monitor.push(2.0, f64::INFINITY).map_err(|e| e.code()), Err(101));
        assert!(monitor.push(2.0, 2.0).is_ok());
        assert_eq!(settled(&[], &[], LIMITS).map_err(|e| e.code()), Err(201));
    }

    /// An approach with 200 s: the window's slope at any moment is known, hence the moment at which it falls to the
    /// limit. The estimate covers it in 95 % of the records.
    #[test]
    fn the_wait_covers_the_truth() {
        let tau: f64 = 200.0;
        let limits = SettledCriterion { max_slope_per_min: 0.02, spike_limit: f64::INFINITY, ..LIMITS };
        let time = times(61);
        let clean = |t: f64| 80.0 + 20.0 * libm::exp(-t / tau);
        let all = noise(61 * 400, 0.003, 23);
        let (mut covered, mut exact_wait) = (0, 0.0);
        for z in all.chunks(61) {
            let mut monitor = Monitor::new(limits).unwrap();
            for (t, z) in time.iter().zip(z) {
                monitor.push(*t, clean(*t) + z).unwrap();
            }
            let wait = monitor.wait().unwrap();
            // Slope of the line through e^(−t/τ) over the 31 readings of the window, by hand as Σ(t − t̄)x/Σ(t − t̄)².
            let window = &time[30..];
            let mean = window.iter().sum::<f64>() / 31.0;
            let stt: f64 = window.iter().map(|t| (t - mean) * (t - mean)).sum();
            let slope: f64 = 60.0 * window.iter().map(|t| (t - mean) * clean(*t)).sum::<f64>() / stt;
            let margin = limits.factor(29.0).unwrap() * 60.0 * 0.003 / stt.sqrt();
            exact_wait = tau * libm::log(slope.abs() / (0.02 - margin));
            covered += usize::from((wait.seconds - exact_wait).abs() <= 2.048 * wait.standard_uncertainty_s);
        }
        assert!(exact_wait > 200.0);
        // Student's t for 95 % and 28 degrees of freedom (JCGM 100:2008, table G.2: 2.05): 95 % of 400 ± 3 √(400 · 0.95 · 0.05).
        assert!((367..=393).contains(&covered), "{covered}");
    }

    #[test]
    fn a_ramp_gives_no_wait() {
        let mut monitor = Monitor::new(LIMITS).unwrap();
        for t in times(40) {
            monitor.push(t, 50.0 + 0.01 * t).unwrap();
        }
        assert_eq!(monitor.wait().map_err(|e| e.code()), Err(202));
        assert_eq!(Monitor::new(LIMITS).unwrap().wait().map_err(|e| e.code()), Err(201));
    }
}
