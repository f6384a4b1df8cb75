//! Coverage factors of regions for several quantities at once.

use crate::error::{Error, Result};
use crate::num::special::{chi_squared_quantile, normal_quantile};
use crate::uncertainty::coverage::Coverage;

fn check(probability: f64, quantities: usize) -> Result<f64> {
    Coverage::Probability(probability).check()?;
    if quantities == 0 {
        return Err(Error::TooFewPoints { what: "a coverage region", needed: 1, found: 0, hint: "" });
    }
    Ok(quantities as f64)
}

/// Factor k_p of the hyper-ellipse (y − η)ᵀ U⁻¹ (y − η) ≤ k_p² that covers jointly normal quantities with a probability.
///
/// # Formula
/// k_p² = quantile of the chi-squared distribution with as many degrees of freedom as there are quantities
///
/// # Errors
/// [`Error::OutOfRange`] for the probability, [`Error::TooFewPoints`] for no quantity.
///
/// # Source
/// JCGM 102:2011, 6.5.2.2 and 6.5.3 (clause numbers from memory; two quantities at 95 %: 2.45).
///
/// # Example
/// ```
/// use calcore::uncertainty::regions::hyper_ellipse_factor;
/// assert!((hyper_ellipse_factor(0.95, 2)? - 2.45).abs() < 0.005);
/// assert!((hyper_ellipse_factor(0.95, 1)? - 1.96).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn hyper_ellipse_factor(probability: f64, quantities: usize) -> Result<f64> {
    let n = check(probability, quantities)?;
    if quantities == 1 {
        return normal_quantile(0.5 * (1.0 + probability));
    }
    Ok(chi_squared_quantile(probability, n)?.sqrt())
}

/// Factor k_q of the hyper-rectangle yⱼ ± k_q u(yⱼ) that covers jointly normal quantities with at least a probability,
/// however they are correlated.
///
/// # Formula
/// k_q = normal quantile of (1 + q)/2 with q = 1 − (1 − p)/m
///
/// # Errors
/// As [`hyper_ellipse_factor`].
///
/// # Source
/// JCGM 102:2011, 6.5.2.3 and 6.5.3 (clause numbers from memory; two quantities at 95 %: 2.24); Bonferroni's inequality.
///
/// # Example
/// ```
/// use calcore::uncertainty::regions::hyper_rectangle_factor;
/// assert!((hyper_rectangle_factor(0.95, 2)? - 2.24).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn hyper_rectangle_factor(probability: f64, quantities: usize) -> Result<f64> {
    let n = check(probability, quantities)?;
    normal_quantile(1.0 - 0.5 * (1.0 - probability) / n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_of_a_statistics_library() {
        // scipy.stats 1.17: sqrt(chi2.ppf(p, m)) and norm.ppf(1 - (1 - p)/(2 m)).
        let cases = [
            (0.95, 2, 2.447_746_830_680_816, 2.241_402_727_604_947),
            (0.95, 3, 2.795_483_482_915_107_4, 2.393_979_799_818_510_4),
            (0.99, 10, 4.817_598_069_469_303_5, 3.290_526_731_491_925_5),
            (0.9, 1, 1.644_853_626_951_472_7, 1.644_853_626_951_472_2),
        ];
        for (p, m, ellipse, rectangle) in cases {
            assert!((hyper_ellipse_factor(p, m).unwrap() / ellipse - 1.0).abs() < 1e-12, "{p} {m}");
            assert!((hyper_rectangle_factor(p, m).unwrap() / rectangle - 1.0).abs() < 1e-12, "{p} {m}");
        }
        // Two quantities in closed form: √(−2 ln(1 − p)).
        let closed = (-2.0 * libm::log(0.05)).sqrt();
        assert!((hyper_ellipse_factor(0.95, 2).unwrap() - closed).abs() < 1e-13);
    }

    #[test]
    fn impossible_regions_are_refused() {
        assert_eq!(hyper_ellipse_factor(1.0, 2).map_err(|e| e.code()), Err(102));
        assert_eq!(hyper_rectangle_factor(0.95, 0).map_err(|e| e.code()), Err(201));
    }
}
