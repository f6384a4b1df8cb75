//! A plain criterion: span and slope within limits over a window.

use crate::error::{Error, Result, finite, positive, same_length};

/// When a record counts as steady. Values may be in any unit; the limits are in the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyCriterion {
    /// Length of the window, s.
    pub window_s: f64,
    /// Largest minus smallest value allowed in the window.
    pub max_span: f64,
    /// Largest amount of the slope of a straight line through the window, per minute.
    pub max_slope_per_min: f64,
}

/// Why a record is not steady.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Unsteady {
    /// The record is shorter than the window.
    RecordTooShort,
    /// The window holds fewer than three readings.
    TooFewReadings,
    /// The values spread too far.
    Span,
    /// The values drift too fast, or it is not sure that they do not.
    Slope,
    /// The values scatter too much about their line.
    Scatter,
    /// More than a fifth of the readings are spikes.
    Spikes,
    /// The criterion is met, but not for long enough.
    Dwell,
}

impl Unsteady {
    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::RecordTooShort => "record_too_short",
            Self::TooFewReadings => "too_few_readings",
            Self::Span => "span",
            Self::Slope => "slope",
            Self::Scatter => "scatter",
            Self::Spikes => "spikes",
            Self::Dwell => "dwell",
        }
    }
}

/// The state at the end of a record.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Steadiness {
    /// Whether the last window meets the criterion.
    pub steady: bool,
    /// Since when every window has met it: the time of the first reading that ends such a window, s.
    pub since_s: Option<f64>,
    /// Why the last window does not meet it.
    pub reason: Option<Unsteady>,
    /// Largest minus smallest value in the last window.
    pub span: f64,
    /// Slope of the least-squares line through the last window, per minute; 0 for a single reading.
    pub slope_per_min: f64,
    /// Residual standard deviation about that line; 0 with fewer than three readings.
    pub residual_standard_deviation: f64,
    /// Standard uncertainty for the lack of stability: half the span, rectangular.
    pub standard_uncertainty: f64,
    /// Readings in the last window.
    pub readings: usize,
}

/// Judges a record of readings by a criterion on its last window.
///
/// The window reaches back `window_s` from the last reading, both ends included. The line through it is the least-squares
/// line; its slope says which way the temperature still drifts, the span how far it wandered.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::TooFewPoints`] for an empty record, [`Error::NotFinite`],
/// [`Error::InvalidValue`] for limits that are not positive or times that do not rise.
///
/// # Example
/// ```
/// use calcore::settling::{SteadyCriterion, steady};
/// let time_s: Vec<f64> = (0..31).map(|i| f64::from(i) * 60.0).collect();
/// let t_c: Vec<f64> = time_s.iter().map(|s| 100.0 + 0.5 * (-s / 200.0f64).exp()).collect();
/// let criterion = SteadyCriterion { window_s: 600.0, max_span: 0.02, max_slope_per_min: 0.002 };
/// let state = steady(&time_s, &t_c, criterion)?;
/// assert!(state.steady && state.since_s > Some(600.0));
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// Half the span as a rectangular contribution: EURAMET cg-13, stability over 30 minutes (window and limits from memory;
/// limits on the slope: common practice, no source).
pub fn steady(time_s: &[f64], value: &[f64], criterion: SteadyCriterion) -> Result<Steadiness> {
    positive("window", criterion.window_s, "s")?;
    positive("largest span", criterion.max_span, "")?;
    positive("largest slope", criterion.max_slope_per_min, "1/min")?;
    same_length("values", time_s.len(), value.len())?;
    if time_s.is_empty() {
        return Err(Error::TooFewPoints { what: "steadiness", needed: 1, found: 0, hint: "" });
    }
    for i in 0..time_s.len() {
        finite("time", time_s[i]).map_err(|error| error.at_index(i, 1))?;
        finite("value", value[i]).map_err(|error| error.at_index(i, 1))?;
        if i > 0 && time_s[i] <= time_s[i - 1] {
            return Err(Error::InvalidValue {
                what: "time",
                value: time_s[i],
                unit: "s",
                requirement: format!("it must be later than the reading before, {} s (element {i})", time_s[i - 1]),
            });
        }
    }
    let last = time_s.len() - 1;
    let mut state = window(time_s, value, last, criterion);
    if state.steady {
        let mut first = last;
        while first > 0 && window(time_s, value, first - 1, criterion).steady {
            first -= 1;
        }
        state.since_s = Some(time_s[first]);
    }
    Ok(state)
}

/// The window that ends at a reading.
fn window(time_s: &[f64], value: &[f64], last: usize, criterion: SteadyCriterion) -> Steadiness {
    let start_s = time_s[last] - criterion.window_s;
    let first = time_s.partition_point(|&time| time < start_s);
    let (times, values) = (&time_s[first..=last], &value[first..=last]);
    let n = values.len() as f64;
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let span = high - low;
    let mean_time = times.iter().map(|time| time - start_s).sum::<f64>() / n;
    let mean = values.iter().map(|v| v - low).sum::<f64>() / n;
    let (mut stt, mut stv) = (0.0, 0.0);
    for (time, v) in times.iter().zip(values) {
        let dt = time - start_s - mean_time;
        stt += dt * dt;
        stv += dt * (v - low - mean);
    }
    let slope = if stt > 0.0 { stv / stt } else { 0.0 };
    let scatter: f64 = times
        .iter()
        .zip(values)
        .map(|(time, v)| {
            let residual = v - low - mean - slope * (time - start_s - mean_time);
            residual * residual
        })
        .sum();
    let slope_per_min = 60.0 * slope;
    let reason = if time_s[0] > start_s {
        Some(Unsteady::RecordTooShort)
    } else if values.len() < 3 {
        Some(Unsteady::TooFewReadings)
    } else if span > criterion.max_span {
        Some(Unsteady::Span)
    } else if slope_per_min.abs() > criterion.max_slope_per_min {
        Some(Unsteady::Slope)
    } else {
        None
    };
    Steadiness {
        steady: reason.is_none(),
        since_s: None,
        reason,
        span,
        slope_per_min,
        residual_standard_deviation: if values.len() > 2 { (scatter / (n - 2.0)).sqrt() } else { 0.0 },
        standard_uncertainty: 0.5 * span / 3f64.sqrt(),
        readings: values.len(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CRITERION: SteadyCriterion = SteadyCriterion { window_s: 100.0, max_span: 0.1, max_slope_per_min: 0.01 };

    fn record(f: impl Fn(f64) -> f64) -> (Vec<f64>, Vec<f64>) {
        let time: Vec<f64> = (0..21).map(|i| f64::from(i) * 10.0).collect();
        let value = time.iter().map(|&t| f(t)).collect();
        (time, value)
    }

    #[test]
    fn a_ramp_has_its_slope_and_span() {
        let (time, value) = record(|t| 50.0 + t / 600.0);
        let state = steady(&time, &value, CRITERION).unwrap();
        // 1/600 per second is 0.1 per minute; over 100 s it spans 1/6. Half of it, rectangular: over the root of 3.
        assert!((state.slope_per_min - 0.1).abs() < 1e-12 && (state.span - 1.0 / 6.0).abs() < 1e-12);
        assert!((state.standard_uncertainty - 1.0 / 12.0 / 3f64.sqrt()).abs() < 1e-12);
        assert!(state.residual_standard_deviation < 1e-12);
        assert_eq!((state.steady, state.reason, state.since_s), (false, Some(Unsteady::Span), None));
        assert_eq!(state.readings, 11);
    }

    #[test]
    fn each_limit_alone_refuses() {
        let (time, value) = record(|t| 50.0 + t / 3000.0);
        assert_eq!(steady(&time, &value, CRITERION).unwrap().reason, Some(Unsteady::Slope));
        assert_eq!(steady(&time[..5], &value[..5], CRITERION).unwrap().reason, Some(Unsteady::RecordTooShort));
        let two = steady(&[0.0, 200.0], &[1.0, 1.0], CRITERION).unwrap();
        assert_eq!(two.reason, Some(Unsteady::TooFewReadings));
    }

    #[test]
    fn since_names_the_first_good_window() {
        let (time, value) = record(|t| if t < 45.0 { 49.0 } else { 50.0 });
        let state = steady(&time, &value, CRITERION).unwrap();
        // The step lies between 40 s and 50 s: the first window without it reaches from 50 s to 150 s.
        assert_eq!(state.since_s, Some(150.0));
    }

    #[test]
    fn faults_are_refused() {
        let code = |time: &[f64], value: &[f64]| steady(time, value, CRITERION).map_err(|e| e.code());
        assert_eq!(code(&[], &[]), Err(201));
        assert_eq!(code(&[0.0, 1.0], &[1.0]), Err(105));
        assert_eq!(code(&[0.0, 0.0], &[1.0, 1.0]), Err(103));
        assert_eq!(code(&[0.0, 1.0], &[1.0, f64::NAN]), Err(101));
        let bad = SteadyCriterion { window_s: 0.0, ..CRITERION };
        assert_eq!(steady(&[0.0], &[1.0], bad).map_err(|e| e.code()), Err(103));
    }
}
