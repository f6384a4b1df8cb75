//! The mean of readings that follow each other too closely to be independent.

use super::type_a::{TypeA, mean_and_squares};
use crate::error::{Error, Result};

/// Readings below which nothing can be said about their correlation.
const LEAST_READINGS: usize = 8;

/// Independent readings below which the series supports no uncertainty: a plain ramp, however long, comes out at 3.3.
const LEAST_EFFECTIVE: f64 = 4.0;

/// Mean of readings taken one after the other at equal intervals, each of which may resemble the one before.
///
/// Where r₁ stands out of the noise (more than 2/√n), the autocorrelations are taken in two by two (r₂ + r₃, r₄ + r₅ …) as
/// long as their sums are positive. That gives the number of independent readings that the series is worth; the scatter
/// is enlarged for the part of it that slow changes hide from a short series. Negative correlation is taken for none:
/// that such a mean is better than s/√n is not relied on.
///
/// A drift is not noise: take a trend off first.
///
/// # Formula
/// n_eff = n/(1 + 2 Σₖ (1 − k/n) rₖ), u² = s² (n − 1)/(n (n_eff − 1)), ν = n_eff − 1
///
/// # Errors
/// [`Error::TooFewPoints`] below eight readings, or when they are worth fewer than four independent ones;
/// [`Error::NotFinite`].
///
/// # Source
/// Bayley and Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184 (effective number); Geyer, Stat. Sci. 7 (1992) 473 (where to
/// stop: initial positive sequence); both from memory. JCGM 100:2008, 4.2.7, asks for such a treatment.
///
/// # Example
/// ```
/// use calcore::uncertainty::evaluation::autocorrelated;
/// // Invented: every value twice, so that twenty readings are worth about ten.
/// let once = [1.0, 4.0, 2.0, 0.0, 0.0, 3.0, 5.0, 1.0, 2.0, 4.0];
/// let twice: Vec<f64> = once.iter().flat_map(|x| [*x, *x]).collect();
/// let found = autocorrelated(&twice)?;
/// assert!(found.effective_readings > 8.0 && found.effective_readings < 14.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn autocorrelated(readings: &[f64]) -> Result<TypeA> {
    let count = readings.len();
    if count < LEAST_READINGS {
        return Err(Error::TooFewPoints {
            what: "an autocorrelation",
            needed: LEAST_READINGS,
            found: count,
            hint: "take more readings, or wait longer between them and take them as independent",
        });
    }
    let (mean, squares) = mean_and_squares(readings)?;
    let n = count as f64;
    let standard_deviation = (squares / (n - 1.0)).sqrt();
    let effective_readings = n / sum_of_correlations(readings, mean, squares).max(1.0);
    if effective_readings < LEAST_EFFECTIVE {
        return Err(Error::TooFewPoints {
            what: "the mean of an autocorrelated series (independent readings)",
            needed: LEAST_EFFECTIVE as usize,
            found: effective_readings as usize,
            hint: "the series changes too slowly for its length; take off a trend or record for longer",
        });
    }
    Ok(TypeA {
        mean,
        standard_deviation,
        standard_uncertainty: standard_deviation * ((n - 1.0) / (n * (effective_readings - 1.0))).sqrt(),
        degrees_of_freedom: effective_readings - 1.0,
        readings: count,
        effective_readings,
        limited_by_resolution: false,
    })
}

/// 1 + 2 Σ (1 − k/n) rₖ over the lags that count.
fn sum_of_correlations(readings: &[f64], mean: f64, squares: f64) -> f64 {
    if squares <= 0.0 {
        return 1.0;
    }
    let n = readings.len() as f64;
    let r = |lag: usize| {
        let products = readings.iter().zip(&readings[lag..]).map(|(a, b)| (a - mean) * (b - mean)).sum::<f64>();
        (products / squares, 1.0 - lag as f64 / n)
    };
    let (first, weight) = r(1);
    if first <= 2.0 / n.sqrt() {
        return 1.0;
    }
    let mut sum = 1.0 + 2.0 * weight * first;
    for lag in (2..readings.len() - 1).step_by(2) {
        let ((even, even_weight), (odd, odd_weight)) = (r(lag), r(lag + 1));
        if even + odd <= 0.0 {
            break;
        }
        sum += 2.0 * (even_weight * even + odd_weight * odd);
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::rng::{Place, Stream};

    /// Made-up series xᵢ = ρ xᵢ₋₁ + √(1 − ρ²) zᵢ about 5, standard deviation 1.
    fn series(rho: f64, count: usize, seed: u64) -> Vec<f64> {
        let mut noise = vec![0.0; count];
        Stream::new(seed, 0).normal(Place::STANDARD, &mut noise);
        let mut x = noise[0];
        noise
            .iter()
            .map(|z| {
                let value = x;
                x = rho * x + (1.0 - rho * rho).sqrt() * z;
                5.0 + value
            })
            .collect()
    }

    #[test]
    fn the_stated_uncertainty_is_the_scatter_of_means() {
        // Variance of the mean of such a series, exact: (1 + 2 Σ (1 − k/n) ρᵏ)/n. The mean of the stated variances over
        // 400 series has a standard error of a few percent, and the estimate is known to be biased by some.
        for rho in [0.0, 0.5, 0.8] {
            let n = 400;
            let exact: f64 =
                (1.0 + 2.0 * (1..n).map(|k| (1.0 - k as f64 / n as f64) * f64::powi(rho, k)).sum::<f64>()) / n as f64;
            let stated: f64 = (0..400)
                .map(|seed| autocorrelated(&series(rho, n as usize, seed)).unwrap().standard_uncertainty)
                .map(|u| u * u)
                .sum::<f64>()
                / 400.0;
            assert!((stated / exact - 1.0).abs() < 0.15, "{rho}: {stated} {exact}");
        }
    }

    #[test]
    fn independent_readings_keep_their_number() {
        // −1, 1 in turn: r₁ < 0, so that nothing is gained.
        let turn: Vec<f64> = (0..20).map(|i| if i % 2 == 0 { -1.0 } else { 1.0 }).collect();
        let found = autocorrelated(&turn).unwrap();
        assert_eq!(found.effective_readings, 20.0);
        assert!((found.standard_uncertainty - (20.0f64 / 19.0 / 20.0).sqrt()).abs() < 1e-15);
        assert_eq!(autocorrelated(&[3.0; 10]).unwrap().standard_uncertainty, 0.0);
    }

    #[test]
    fn slow_changes_are_refused() {
        let ramp: Vec<f64> = (0..400).map(f64::from).collect();
        let error = autocorrelated(&ramp).unwrap_err();
        assert!(error.to_string().contains("take off a trend"), "{error}");
        assert_eq!(autocorrelated(&[1.0; 7]).map_err(|e| e.code()), Err(201));
    }
}
