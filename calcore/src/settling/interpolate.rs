//! The reference at the moment at which an instrument was read.

use super::check_record;
use super::trend::Workspace;
use crate::error::{Error, Result, finite, not_negative};

/// A reference value moved to a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct ReferenceAt {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty from the scatter of the readings and from the way between them; the reference's own
    /// certificate is not in it.
    pub standard_uncertainty: f64,
    /// Whether the moment lies outside the record.
    pub extrapolated: bool,
}

/// Value of a record at a moment: straight between the readings before and after it, along the line through the whole
/// record outside, as far as `max_extrapolation_s`.
///
/// # Formula
/// Inside: x = (1 − w) x₁ + w x₂; u² = s² ((1 − w)² + w²) + m² w² (1 − w)² / 3, s the scatter about a straight line
/// through the record, m the largest departure of a reading from the chord of its neighbours less the 3 s √1.5 that
/// scatter explains (never below 0): how far the record bends between readings.
/// Outside: the line, u² = s² (1/n_eff + 1) + u(b)² (t − t̄)².
///
/// # Errors
/// [`Error::TooFewPoints`] for an empty record, or below three readings outside; [`Error::NotFinite`],
/// [`Error::InvalidValue`] for times that do not rise; [`Error::OutOfRange`] too far outside.
///
/// # Example
/// ```
/// use calcore::settling::reference_at;
/// let between = reference_at(&[0.0, 10.0, 20.0], &[100.0, 100.1, 100.2], 4.0, 0.0)?;
/// assert!((between.value - 100.04).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// Common practice, no source.
pub fn reference_at(time_s: &[f64], value: &[f64], at_s: f64, max_extrapolation_s: f64) -> Result<ReferenceAt> {
    check_record(time_s, value)?;
    finite("time", at_s)?;
    not_negative("longest extrapolation", max_extrapolation_s, "s")?;
    let (Some(&first), Some(&last)) = (time_s.first(), time_s.last()) else {
        return Err(Error::TooFewPoints { what: "interpolation of a record", needed: 1, found: 0, hint: "" });
    };
    let outside_s = (first - at_s).max(at_s - last);
    if outside_s > max_extrapolation_s {
        let (low, high) = (first - max_extrapolation_s, last + max_extrapolation_s);
        return Err(Error::OutOfRange { what: "time", value: at_s, low, high, unit: "s", position: None });
    }
    let trend = (time_s.len() > 2).then(|| Workspace::default().trend(time_s, value, f64::INFINITY, 0.0));
    if outside_s > 0.0 {
        let Some(line) = trend else {
            let what = "extrapolation of a record";
            return Err(Error::TooFewPoints { what, needed: 3, found: time_s.len(), hint: "" });
        };
        let away_min = (at_s - line.mean_time_s) / 60.0;
        let s2 = line.residual_standard_deviation * line.residual_standard_deviation;
        let turned = line.u_slope_per_min * away_min;
        let variance = s2 * (1.0 + 1.0 / line.effective_readings) + turned * turned;
        let value = line.mean + line.slope_per_min * away_min;
        return Ok(ReferenceAt { value, standard_uncertainty: variance.sqrt(), extrapolated: true });
    }
    let scatter = trend.map_or(0.0, |line| line.residual_standard_deviation);
    let after = time_s.partition_point(|&time| time < at_s);
    if time_s[after] <= at_s {
        return Ok(ReferenceAt { value: value[after], standard_uncertainty: scatter, extrapolated: false });
    }
    let w = (at_s - time_s[after - 1]) / (time_s[after] - time_s[after - 1]);
    let bend = (1..value.len().saturating_sub(1))
        .map(|i| {
            let part = (time_s[i] - time_s[i - 1]) / (time_s[i + 1] - time_s[i - 1]);
            (value[i] - value[i - 1] - (value[i + 1] - value[i - 1]) * part).abs()
        })
        .fold(0.0, f64::max);
    let bend = (bend - 3.0 * 1.5f64.sqrt() * scatter).max(0.0);
    let way = bend * w * (1.0 - w);
    let noise = scatter * scatter * ((1.0 - w) * (1.0 - w) + w * w);
    Ok(ReferenceAt {
        value: value[after - 1] + (value[after] - value[after - 1]) * w,
        standard_uncertainty: (noise + way * way / 3.0).sqrt(),
        extrapolated: false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_record_costs_nothing() {
        let time = [0.0, 10.0, 20.0, 30.0];
        let value = time.map(|t| 100.0 + 0.001 * t);
        for at in [0.0, 3.0, 10.0, 29.0] {
            let here = reference_at(&time, &value, at, 0.0).unwrap();
            // A few roundings of 100.
            assert!((here.value - 100.0 - 0.001 * at).abs() < 1e-13 && here.standard_uncertainty < 1e-13);
        }
        let beyond = reference_at(&time, &value, 40.0, 15.0).unwrap();
        assert!(beyond.extrapolated && (beyond.value - 100.04).abs() < 1e-12);
        assert_eq!(reference_at(&time, &value, 46.0, 15.0).map_err(|e| e.code()), Err(102));
        assert_eq!(reference_at(&time[..2], &value[..2], 11.0, 15.0).map_err(|e| e.code()), Err(201));
    }

    /// Read symmetrically, reference, instrument, instrument, reference, a linear drift cancels exactly: the reference at
    /// the moments of the instrument is what the instrument reads.
    #[test]
    fn a_symmetric_sequence_cancels_drift() {
        // Binary fractions: nothing is rounded.
        let drifting = |t: f64| 100.0 + 0.0078125 * t;
        let errors = [8.0, 16.0]
            .map(|t| drifting(t) - reference_at(&[0.0, 32.0], &[0.0, 32.0].map(drifting), t, 0.0).unwrap().value);
        assert_eq!(errors, [0.0, 0.0]);
    }

    #[test]
    fn halfway_the_scatter_of_two_readings_halves() {
        // Readings ±1 about 0 alternately: s² = Σ r²/(n − 2).
        let time: Vec<f64> = (0..8).map(f64::from).collect();
        let value: Vec<f64> = (0..8).map(|i| if i % 2 == 0 { 1.0 } else { -1.0 }).collect();
        let s = drift_scatter(&time, &value);
        let half = reference_at(&time, &value, 3.5, 0.0).unwrap();
        assert!((half.standard_uncertainty - s / 2f64.sqrt()).abs() < 1e-12, "{}", half.standard_uncertainty);
    }

    fn drift_scatter(time: &[f64], value: &[f64]) -> f64 {
        crate::settling::drift(time, value, f64::INFINITY, 0.0).unwrap().residual_standard_deviation
    }
}
