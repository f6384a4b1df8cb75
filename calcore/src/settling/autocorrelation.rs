//! How many independent readings a record is worth.

use crate::error::{Error, Result, finite};

/// Correlation of neighbouring values about their mean; 0 for a record without scatter.
///
/// # Formula
/// r₁ = Σ (xᵢ − x̄)(xᵢ₊₁ − x̄) / Σ (xᵢ − x̄)²
///
/// # Errors
/// [`Error::TooFewPoints`] below three values, [`Error::NotFinite`].
///
/// # Source
/// Box, Jenkins, Time Series Analysis, estimate of the autocorrelation at lag 1 (from memory).
pub fn lag_1_autocorrelation(values: &[f64]) -> Result<f64> {
    if values.len() < 3 {
        return Err(Error::TooFewPoints { what: "autocorrelation", needed: 3, found: values.len(), hint: "" });
    }
    for (i, value) in values.iter().enumerate() {
        finite("value", *value).map_err(|error| error.at_index(i, 1))?;
    }
    Ok(lag_1(values))
}

/// The same without checks.
pub(super) fn lag_1(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let square: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    let product: f64 = values.windows(2).map(|pair| (pair[0] - mean) * (pair[1] - mean)).sum();
    if square > 0.0 { product / square } else { 0.0 }
}

/// Number of independent readings that n autocorrelated ones are worth for their mean.
///
/// A negative correlation is taken for none: the mean of such readings is better than √n says, but that is not relied
/// on.
///
/// # Formula
/// n_eff = n (1 − ρ) / (1 + ρ), for a first-order autoregressive process
///
/// # Errors
/// [`Error::OutOfRange`] for a correlation outside −1 to 1, [`Error::NotFinite`], [`Error::TooFewPoints`] for none.
///
/// # Example
/// ```
/// use calcore::settling::effective_count;
/// assert_eq!(effective_count(30, 0.0)?, 30.0);
/// assert_eq!(effective_count(30, 0.5)?, 10.0);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// The variance of the mean of a first-order autoregressive process for long records (textbooks; from memory).
pub fn effective_count(readings: usize, correlation: f64) -> Result<f64> {
    if readings == 0 {
        return Err(Error::TooFewPoints { what: "effective number of readings", needed: 1, found: 0, hint: "" });
    }
    finite("autocorrelation", correlation)?;
    if correlation.abs() >= 1.0 {
        return Err(Error::OutOfRange {
            what: "autocorrelation",
            value: correlation,
            low: -1.0,
            high: 1.0,
            unit: "",
            position: None,
        });
    }
    Ok(effective(readings, correlation))
}

/// The same without checks; never less than one reading.
pub(super) fn effective(readings: usize, correlation: f64) -> f64 {
    let rho = correlation.clamp(0.0, 0.99);
    (readings as f64 * (1.0 - rho) / (1.0 + rho)).max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_correlation_keeps_all_and_one_half_a_third() {
        assert_eq!(effective_count(12, 0.0), Ok(12.0));
        assert_eq!(effective_count(12, 0.5), Ok(4.0));
        assert_eq!(effective_count(12, -0.5), Ok(12.0));
        assert_eq!(effective_count(12, 1.0).map_err(|e| e.code()), Err(102));
        assert_eq!(effective_count(0, 0.0).map_err(|e| e.code()), Err(201));
    }

    #[test]
    fn correlation_by_hand() {
        // Deviations −1.5, −0.5, 0.5, 1.5: products 0.75 − 0.25 + 0.75 over squares 5.
        assert!((lag_1_autocorrelation(&[1.0, 2.0, 3.0, 4.0]).unwrap() - 0.25).abs() < 1e-15);
        assert_eq!(lag_1_autocorrelation(&[1.0, 1.0, 1.0]), Ok(0.0));
        assert_eq!(lag_1_autocorrelation(&[1.0, 1.0]).map_err(|e| e.code()), Err(201));
    }
}
