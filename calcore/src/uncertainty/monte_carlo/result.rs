//! What a Monte Carlo run gives.

use super::blocks::Moments;
use super::interval::of_groups;
use super::{GENERATOR, Settings};
use crate::error::{Error, Result, finite, within};
use crate::uncertainty::budget::Budget;

/// How often values fell into classes of equal width.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Histogram {
    /// Lower edge of the first class.
    pub low: f64,
    /// Upper edge of the last class.
    pub high: f64,
    /// Values in each class.
    pub counts: Vec<u64>,
}

impl Histogram {
    /// Classes between the smallest and the largest of the values.
    pub(super) fn of(values: &[f64], classes: usize) -> Option<Self> {
        if classes == 0 || values.is_empty() {
            return None;
        }
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for &x in values {
            low = low.min(x);
            high = high.max(x);
        }
        let mut counts = vec![0; classes];
        let scale = if high > low { classes as f64 / (high - low) } else { 0.0 };
        for &x in values {
            // Positive and small: the cast only cuts.
            counts[(((x - low) * scale) as usize).min(classes - 1)] += 1;
        }
        Some(Self { low, high, counts })
    }
}

/// Outcome of a Monte Carlo run.
///
/// # Source
/// JCGM 101:2008, 7.5 to 7.7.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct MonteCarlo {
    /// Estimate: mean of the values.
    pub mean: f64,
    /// Standard error of the estimate, u/√M.
    pub mean_standard_error: f64,
    /// Standard uncertainty: standard deviation of the values.
    pub standard_uncertainty: f64,
    /// Probability of the intervals.
    pub coverage_probability: f64,
    /// Shortest coverage interval.
    pub interval: [f64; 2],
    /// Standard errors of its ends, from their scatter over ten groups of trials; infinite where these are too small.
    pub interval_standard_error: [f64; 2],
    /// Probabilistically symmetric coverage interval.
    pub interval_symmetric: [f64; 2],
    /// Standard errors of its ends, from the order statistics around them.
    pub interval_symmetric_standard_error: [f64; 2],
    /// Trials made.
    pub trials: u64,
    /// Whether an adaptive run became stable; none for a fixed number of trials.
    pub converged: Option<bool>,
    /// The numerical tolerance of an adaptive run, in the unit of the result.
    pub tolerance: Option<f64>,
    /// How far off the ends of the intervals may be because they come from a histogram; 0 when all values were kept.
    pub resolution: f64,
    /// Histogram, if asked for.
    pub histogram: Option<Histogram>,
    /// The values in the order of the trials, if asked for.
    pub values: Option<Vec<f64>>,
    /// The seed.
    pub seed: u64,
    /// Generator and maps.
    pub generator: String,
}

/// Comparison of a first-order result with Monte Carlo.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Validation {
    /// Whether both ends agree within the tolerance.
    pub valid: bool,
    /// Distance of the lower ends.
    pub difference_low: f64,
    /// Distance of the upper ends.
    pub difference_high: f64,
    /// The tolerance that belongs to the digits of the standard uncertainty.
    pub tolerance: f64,
    /// Whether twice the standard errors of the Monte Carlo ends are below a fifth of the tolerance, so that the
    /// comparison is not a matter of luck.
    pub enough_trials: bool,
}

/// Half a unit in the last place of a standard uncertainty with that many significant digits.
///
/// # Source
/// JCGM 101:2008, 7.9.2.
pub(super) fn tolerance(standard_uncertainty: f64, digits: u32) -> f64 {
    if standard_uncertainty <= 0.0 {
        return 0.0;
    }
    let digits = digits as i32;
    let mut exponent = libm::floor(libm::log10(standard_uncertainty)) as i32;
    // What rounds up to the next power of ten has one digit more.
    let power = |e: i32| libm::exp10(f64::from(e));
    if libm::round(standard_uncertainty / power(exponent - digits + 1)) >= power(digits) {
        exponent += 1;
    }
    0.5 * power(exponent - digits + 1)
}

impl MonteCarlo {
    /// From all values.
    pub(super) fn from_values(values: Vec<f64>, moments: &[Moments], settings: &Settings, threads: usize) -> Self {
        let (both, interval_standard_error) = of_groups(&values, settings.coverage_probability, threads);
        let histogram = Histogram::of(&values, settings.histogram_classes);
        let trials = values.len() as u64;
        Self {
            interval: both.shortest,
            interval_standard_error,
            interval_symmetric: both.symmetric,
            interval_symmetric_standard_error: both.symmetric_error,
            histogram,
            values: settings.keep_values.then_some(values),
            ..Self::from_moments(moments, trials, settings)
        }
    }

    /// Mean and standard uncertainty; the rest is left for the caller.
    pub(super) fn from_moments(moments: &[Moments], trials: u64, settings: &Settings) -> Self {
        let all = moments.iter().copied().fold(Moments::default(), Moments::join);
        let standard_uncertainty = all.standard_deviation();
        Self {
            mean: all.mean,
            mean_standard_error: standard_uncertainty / all.count.sqrt(),
            standard_uncertainty,
            coverage_probability: settings.coverage_probability,
            interval: [0.0; 2],
            interval_standard_error: [0.0; 2],
            interval_symmetric: [0.0; 2],
            interval_symmetric_standard_error: [0.0; 2],
            trials,
            converged: None,
            tolerance: None,
            resolution: 0.0,
            histogram: None,
            values: None,
            seed: settings.seed,
            generator: GENERATOR.into(),
        }
    }

    /// Compares a budget made to first (or second) order with this result: are the ends of y ± U those of the coverage
    /// interval, to the given number of significant digits of the budget's standard uncertainty?
    ///
    /// The shortest interval is compared; see [`MonteCarlo::validates_symmetric`] for the other one.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for digits outside 1 to 6; [`Error::InvalidValue`] when the budget has another coverage
    /// probability.
    ///
    /// # Source
    /// JCGM 101:2008, 8.1 and 8.2.
    pub fn validates(&self, budget: &Budget, digits: u32) -> Result<Validation> {
        self.compare(budget, digits, self.interval, self.interval_standard_error)
    }

    /// As [`MonteCarlo::validates`], with the probabilistically symmetric interval.
    ///
    /// # Errors
    /// As [`MonteCarlo::validates`].
    pub fn validates_symmetric(&self, budget: &Budget, digits: u32) -> Result<Validation> {
        self.compare(budget, digits, self.interval_symmetric, self.interval_symmetric_standard_error)
    }

    fn compare(&self, budget: &Budget, digits: u32, interval: [f64; 2], errors: [f64; 2]) -> Result<Validation> {
        let first_order = Ends {
            interval: [budget.value - budget.expanded_uncertainty, budget.value + budget.expanded_uncertainty],
            coverage_probability: budget.coverage_probability,
            doubt: 0.0,
        };
        let doubt = errors[0].max(errors[1]).max(self.resolution);
        let own = Ends { interval, coverage_probability: self.coverage_probability, doubt };
        compare(first_order, own, budget.standard_uncertainty, digits)
    }
}

/// A coverage interval as [`compare`] takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Lower and upper end.
    pub interval: [f64; 2],
    /// Its probability.
    pub coverage_probability: f64,
    /// How far off an end may be: the larger standard error.
    pub doubt: f64,
}

/// Compares the coverage interval of a first-order result with that of a Monte Carlo run; see [`MonteCarlo::validates`].
///
/// # Errors
/// [`Error::OutOfRange`] for digits outside 1 to 6; [`Error::InvalidValue`] when the two have other coverage
/// probabilities; [`Error::NotFinite`] for ends without a number.
///
/// # Source
/// JCGM 101:2008, 8.1 and 8.2.
pub fn compare(first_order: Ends, run: Ends, standard_uncertainty: f64, digits: u32) -> Result<Validation> {
    within("significant digits", f64::from(digits), 1.0, 6.0)?;
    for end in first_order.interval.into_iter().chain(run.interval) {
        finite("end of a coverage interval", end)?;
    }
    finite("standard uncertainty", standard_uncertainty)?;
    let same = (first_order.coverage_probability - run.coverage_probability).abs() <= 1e-9;
    if !same {
        return Err(Error::InvalidValue {
            what: "coverage probability of the budget",
            value: first_order.coverage_probability,
            unit: "",
            requirement: format!("it must be that of the Monte Carlo run, {}", run.coverage_probability),
        });
    }
    let tolerance = tolerance(standard_uncertainty, digits);
    let [difference_low, difference_high] = [0, 1].map(|i| (first_order.interval[i] - run.interval[i]).abs());
    Ok(Validation {
        valid: difference_low <= tolerance && difference_high <= tolerance,
        difference_low,
        difference_high,
        tolerance,
        enough_trials: 2.0 * first_order.doubt.max(run.doubt) <= tolerance / 5.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerances_of_the_guide() {
        // JCGM 101:2008, 7.9.2 examples: 0.000 35 g with 2 digits is 35e-5, δ = 0.5e-5; 2 K with 1 digit, δ = 0.5 K.
        for (u, digits, expected) in
            [(0.000_35, 2, 0.5e-5), (2.0, 1, 0.5), (2.0, 2, 0.05), (10.1, 2, 0.5), (10.1, 3, 0.05), (0.996, 2, 0.05)]
        {
            let got = tolerance(u, digits);
            assert!((got / expected - 1.0).abs() < 1e-12, "{u} {digits}: {got}");
        }
    }
}
