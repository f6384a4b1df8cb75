//! The ratio of two variances that tells a steady signal from a moving one, one value at a time.

use crate::error::{Error, Result, finite};

/// The R-statistic: variance about a filtered mean over variance of successive differences.
///
/// Near 1 for a steady signal with independent noise, larger where it moves. The signal counts as unsteady above a
/// critical value that depends on the filter factors and the risk taken. For the factors 0.2, 0.1, 0.1 and white noise
/// R has a mean of 1.04 and exceeds 1.44 in 5 % of all samples (simulation).
///
/// # Formula
/// v² ← λ₂ (x − x_f)² + (1 − λ₂) v²;  x_f ← λ₁ x + (1 − λ₁) x_f;  δ² ← λ₃ (x − x_before)² + (1 − λ₃) δ²;
/// R = (2 − λ₁) v² / δ²
///
/// # Source
/// S. Cao, R. R. Rhinehart, An efficient method for on-line identification of steady state, J. Process Control 5 (1995)
/// (formulas from memory).
///
/// # Example
/// ```
/// use calcore::settling::RStatistic;
/// let mut statistic = RStatistic::new(0.2, 0.1, 0.1)?;
/// let mut last = None;
/// for i in 0..200 {
///     last = statistic.push(0.5 * f64::from(i) + f64::from(i % 2))?;
/// }
/// assert!(last.is_some_and(|r| r > 5.0));
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct RStatistic {
    factors: [f64; 3],
    filtered: f64,
    previous: Option<f64>,
    variance: f64,
    difference: f64,
    count: usize,
}

impl RStatistic {
    /// A statistic by its filter factors λ₁ (mean), λ₂ (variance about it), λ₃ (differences), each between 0 and 1.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(mean: f64, variance: f64, difference: f64) -> Result<Self> {
        for factor in [mean, variance, difference] {
            finite("filter factor", factor)?;
            if !(factor > 0.0 && factor <= 1.0) {
                let (low, high) = (0.0, 1.0);
                return Err(Error::OutOfRange {
                    what: "filter factor",
                    value: factor,
                    low,
                    high,
                    unit: "",
                    position: None,
                });
            }
        }
        let factors = [mean, variance, difference];
        Ok(Self { factors, filtered: 0.0, previous: None, variance: 0.0, difference: 0.0, count: 0 })
    }

    /// Takes a reading and gives R; none before the filters have run in (three times the longest of them) and while
    /// successive readings do not differ at all.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn push(&mut self, value: f64) -> Result<Option<f64>> {
        finite("value", value)?;
        self.count += 1;
        let [mean, variance, difference] = self.factors;
        let Some(previous) = self.previous.replace(value) else {
            self.filtered = value;
            return Ok(None);
        };
        let (from_mean, step) = (value - self.filtered, value - previous);
        // The first difference starts both filters at what they would show for independent noise.
        if self.count == 2 {
            self.difference = step * step;
            self.variance = step * step / (2.0 - mean);
        }
        self.variance = variance * from_mean * from_mean + (1.0 - variance) * self.variance;
        self.filtered = mean * value + (1.0 - mean) * self.filtered;
        self.difference = difference * step * step + (1.0 - difference) * self.difference;
        let run_in = 3.0 / mean.min(variance).min(difference);
        let ready = self.count as f64 > run_in && self.difference > 0.0;
        Ok(ready.then(|| (2.0 - mean) * self.variance / self.difference))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::rng::{Place, Stream};

    /// R over a long record: mean and the value that 95 % of all samples stay below.
    fn simulated(ramp: f64) -> (f64, f64) {
        let mut noise = vec![0.0; 200_000];
        Stream::new(1995, 0).normal(Place::STANDARD, &mut noise);
        let mut statistic = RStatistic::new(0.2, 0.1, 0.1).unwrap();
        let values = noise.iter().enumerate().map(|(i, z)| z + ramp * i as f64);
        let mut r: Vec<f64> = values.filter_map(|value| statistic.push(value).unwrap()).collect();
        r.sort_by(f64::total_cmp);
        (r.iter().sum::<f64>() / r.len() as f64, r[r.len() * 95 / 100])
    }

    /// Simulated values of another program (plain Python), stated to ±0.02 and ±0.03.
    #[test]
    fn white_noise_and_ramps() {
        let (mean, high) = simulated(0.0);
        assert!((mean - 1.04).abs() < 0.02 && (high - 1.44).abs() < 0.03, "{mean} {high}");
        let (mean, _) = simulated(0.2);
        assert!((mean - 2.0).abs() < 0.1, "{mean}");
        let (mean, _) = simulated(0.5);
        assert!(mean > 5.0 && (mean - 6.5).abs() < 0.2, "{mean}");
    }

    #[test]
    fn factors_and_readings_are_checked() {
        assert_eq!(RStatistic::new(0.0, 0.1, 0.1).map_err(|e| e.code()), Err(102));
        let mut statistic = RStatistic::new(0.2, 0.1, 0.1).unwrap();
        assert_eq!(statistic.push(f64::NAN).map_err(|e| e.code()), Err(101));
        assert!((0..100).all(|_| statistic.push(5.0) == Ok(None)));
    }
}
