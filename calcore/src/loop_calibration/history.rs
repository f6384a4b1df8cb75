//! Many calibrations of one instrument: drift, and when the next is due.

use crate::error::{Error, Result, finite, open_probability, positive, same_length};
use crate::fit::{StraightLineOptions, straight_line};
use crate::num::special::{student_central_probability, student_quantile};
use serde::{Deserialize, Serialize};

/// One calibration in the history of one point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HistoryPoint {
    /// When, years from any moment.
    pub time_a: f64,
    /// Error as found, K.
    pub as_found_k: f64,
    /// Its standard uncertainty, K, without what the same reference contributes to all.
    pub standard_uncertainty_k: f64,
    /// Error as left, K, where it was adjusted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_left_k: Option<f64>,
}

/// Drift of one point over its calibrations.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Drift {
    /// Drift, K a year.
    pub slope_k_per_a: f64,
    /// Its standard uncertainty, K a year: the larger of what the scatter about the line and what the stated uncertainties
    /// say, the latter as √(Σ cᵢ² uᵢ²) for the unweighted slope Σ cᵢ eᵢ.
    pub u_slope_k_per_a: f64,
    /// Value of the line at the first calibration, K.
    pub first_k: f64,
    /// Residual standard deviation about the line, K.
    pub residual_standard_deviation_k: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Probability of such a drift by chance, two-sided.
    pub p_value: f64,
    /// Errors with all adjustments taken out, joined as left to as found, K.
    pub joined_k: Vec<f64>,
    times_a: Vec<f64>,
    /// Standard uncertainties as they were stated, K.
    stated_u_k: Vec<f64>,
    /// Offset from the joined record to the present state, K.
    adjusted_k: f64,
}

/// Fits a straight line to the as-found errors, with every adjustment as a change of level: what was left at one
/// calibration is joined to what is found at the next. The line is unweighted: a calibration that was less certain counts as
/// much as the others, and its uncertainty goes into that of the line.
///
/// # Errors
/// [`Error::TooFewPoints`] below three calibrations, [`Error::NotFinite`], [`Error::InvalidValue`] for times that do not
/// rise or uncertainties that are not positive.
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022 (only as-found data tell of drift); uncertainty of the slope: JCGM 100:2008, 5.1.2.
pub fn history(points: &[HistoryPoint]) -> Result<Drift> {
    let n = points.len();
    if n < 3 {
        let hint = "two calibrations give a difference, no line";
        return Err(Error::TooFewPoints { what: "drift over calibrations", needed: 3, found: n, hint });
    }
    let mut joined_k = Vec::with_capacity(n);
    let mut adjusted_k = 0.0;
    for (i, point) in points.iter().enumerate() {
        finite("time", point.time_a)?;
        finite("as-found error", point.as_found_k)?;
        positive("standard uncertainty", point.standard_uncertainty_k, "K")?;
        if i > 0 && point.time_a <= points[i - 1].time_a {
            let requirement = format!("it must be later than the calibration before, {} a", points[i - 1].time_a);
            return Err(Error::InvalidValue { what: "time", value: point.time_a, unit: "a", requirement });
        }
        joined_k.push(point.as_found_k + adjusted_k);
        if let Some(left) = point.as_left_k {
            adjusted_k += point.as_found_k - finite("as-left error", left)?;
        }
    }
    let times_a: Vec<f64> = points.iter().map(|point| point.time_a).collect();
    let stated_u_k: Vec<f64> = points.iter().map(|point| point.standard_uncertainty_k).collect();
    let line = straight_line(&times_a, &joined_k, &StraightLineOptions::default())?;
    let squares: f64 = line.report.residuals.iter().map(|r| r * r).sum();
    let degrees_of_freedom = n - 2;
    let by_scatter = line.report.covariance.as_ref().map_or(0.0, |c| c.standard_uncertainty(1));
    let by_statement = Stated::new(&times_a, &stated_u_k).slope.sqrt();
    let u_slope = by_scatter.max(by_statement);
    let t = if u_slope > 0.0 { (line.slope / u_slope).abs() } else { f64::INFINITY };
    let p_value = if t.is_finite() { 1.0 - student_central_probability(t, degrees_of_freedom as f64)? } else { 0.0 };
    Ok(Drift {
        slope_k_per_a: line.slope,
        u_slope_k_per_a: u_slope,
        first_k: line.intercept + line.slope * times_a[0],
        residual_standard_deviation_k: (squares / degrees_of_freedom as f64).sqrt(),
        degrees_of_freedom,
        p_value,
        joined_k,
        times_a,
        stated_u_k,
        adjusted_k,
    })
}

/// The times about their mean.
struct Times {
    mean_a: f64,
    /// Sum of the squared distances from it, a².
    squares_a2: f64,
}

impl Times {
    fn new(times_a: &[f64]) -> Self {
        let mean_a = times_a.iter().sum::<f64>() / times_a.len() as f64;
        Self { mean_a, squares_a2: times_a.iter().map(|t| (t - mean_a) * (t - mean_a)).sum() }
    }
}

/// What stated uncertainties uᵢ make of an unweighted line ȳ + b (τ − τ̄), whose estimates are sums with fixed
/// coefficients: b = Σ cᵢ yᵢ, cᵢ = (τᵢ − τ̄)/Σ(τⱼ − τ̄)², and ȳ = Σ yᵢ/n.
struct Stated {
    /// u²(b) = Σ cᵢ² uᵢ², K²/a².
    slope: f64,
    /// u²(ȳ) = Σ uᵢ²/n², K².
    mean: f64,
    /// u(ȳ, b) = Σ cᵢ uᵢ²/n, K²/a; none where all uᵢ are equal.
    shared: f64,
    /// Σ uᵢ²/n, K²: the variance of a calibration as they were on average.
    single: f64,
}

impl Stated {
    fn new(times_a: &[f64], u_k: &[f64]) -> Self {
        let (times, n) = (Times::new(times_a), times_a.len() as f64);
        let (mut slope, mut shared, mut sum) = (0.0, 0.0, 0.0);
        for (t, u) in times_a.iter().zip(u_k) {
            let c = (t - times.mean_a) / times.squares_a2;
            slope += (c * u) * (c * u);
            shared += c * (u * u);
            sum += u * u;
        }
        Self { slope, mean: sum / (n * n), shared: shared / n, single: sum / n }
    }

    /// Variance of a single calibration at a distance from the mean time, K².
    fn variance(&self, away_a: f64) -> f64 {
        self.single + self.mean + 2.0 * away_a * self.shared + away_a * away_a * self.slope
    }
}

impl Drift {
    /// Error to be expected at a time, in the present state of adjustment, with the standard uncertainty of a single
    /// calibration then, K: the larger of what the scatter about the line and what the stated uncertainties say.
    ///
    /// # Formula
    /// By the scatter u² = s² (1 + 1/n + (τ − τ̄)²/Σ(τᵢ − τ̄)²). By the statement u² = Σuᵢ²/n + u²(ȳ) + 2 (τ − τ̄) u(ȳ, b) +
    /// (τ − τ̄)² u²(b) with u²(ȳ) = Σuᵢ²/n², u(ȳ, b) = Σcᵢuᵢ²/n, u²(b) = Σcᵢ²uᵢ², cᵢ = (τᵢ − τ̄)/Σ(τⱼ − τ̄)²: the line is
    /// unweighted, and the calibration to come is as uncertain as those that were, on average.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    ///
    /// # Source
    /// JCGM 100:2008, 5.1.2 and 5.2.2, for the line as a sum of the errors with fixed coefficients.
    pub fn predict(&self, time_a: f64) -> Result<(f64, f64)> {
        finite("time", time_a)?;
        self.check()?;
        let n = self.times_a.len() as f64;
        let times = Times::new(&self.times_a);
        let away = time_a - times.mean_a;
        let value = self.first_k + self.slope_k_per_a * (time_a - self.times_a[0]) - self.adjusted_k;
        let s = self.residual_standard_deviation_k;
        let by_scatter = s * (1.0 + 1.0 / n + away * away / times.squares_a2).sqrt();
        let by_statement = Stated::new(&self.times_a, &self.stated_u_k).variance(away).sqrt();
        Ok((value, by_scatter.max(by_statement)))
    }

    /// A drift can be read from a document, where nothing keeps its arrays whole.
    fn check(&self) -> Result<()> {
        let (what, found) = ("drift over calibrations", self.times_a.len());
        if found < 3 {
            return Err(Error::TooFewPoints { what, needed: 3, found, hint: "" });
        }
        same_length("standard uncertainties", found, self.stated_u_k.len())
    }

    /// Method 2, control chart: the first time after the last calibration at which the expected error, with its
    /// uncertainty at the stated probability (two-sided), reaches the limit; none within `longest_a`.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a limit or a longest interval that is not positive,
    /// [`Error::OutOfRange`] for the probability.
    ///
    /// # Source
    /// ILAC-G24:2022 / OIML D 10:2022, method 2 (from memory).
    pub fn due(&self, limit_k: f64, probability: f64, longest_a: f64) -> Result<Option<f64>> {
        positive("limit", limit_k, "K")?;
        positive("longest interval", longest_a, "a")?;
        open_probability("probability", probability)?;
        self.check()?;
        let k = student_quantile(0.5 * (1.0 + probability), self.degrees_of_freedom as f64)?;
        let over = |time_a: f64| -> Result<bool> {
            let (value, u) = self.predict(time_a)?;
            Ok(value.abs() + k * u >= limit_k)
        };
        let last = self.times_a[self.times_a.len() - 1];
        // A thousandth of the longest interval, then halved to the last bits.
        let Some(first) = (0..=1000).find(|i| over(last + longest_a * f64::from(*i) / 1000.0).unwrap_or(true)) else {
            return Ok(None);
        };
        let (mut good, mut bad) =
            (last + longest_a * f64::from((first - 1).max(0)) / 1000.0, last + longest_a * f64::from(first) / 1000.0);
        for _ in 0..60 {
            let middle = 0.5 * (good + bad);
            if over(middle)? {
                bad = middle;
            } else {
                good = middle;
            }
        }
        Ok(Some(bad))
    }
}
