//! Effective degrees of freedom and coverage factors.

use crate::error::{Result, not_negative, open_probability, positive};
use crate::num::special;
use crate::uncertainty::distribution::check_degrees_of_freedom;

/// How the expanded uncertainty is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Coverage {
    /// The probability with which the interval covers the value: the factor follows from the effective degrees of
    /// freedom.
    Probability(f64),
    /// A fixed factor, such as 2: the probability follows.
    Factor(f64),
}

impl Coverage {
    /// Returns the coverage if it is possible.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a probability that is not between 0 and 1, [`crate::Error::InvalidValue`] for a
    /// factor that is not positive, [`crate::Error::NotFinite`].
    pub fn check(self) -> Result<Self> {
        match self {
            Self::Probability(p) => {
                open_probability("coverage probability", p)?;
            }
            Self::Factor(k) => {
                positive("coverage factor", k, "")?;
            }
        }
        Ok(self)
    }

    /// Coverage probability and coverage factor at the given effective degrees of freedom.
    ///
    /// # Errors
    /// As [`Coverage::check`]; [`crate::Error::InvalidValue`] for degrees of freedom that are not positive.
    pub fn probability_and_factor(self, degrees_of_freedom: f64) -> Result<(f64, f64)> {
        match self.check()? {
            Self::Probability(p) => Ok((p, coverage_factor(p, degrees_of_freedom)?)),
            Self::Factor(k) => Ok((coverage_probability(k, degrees_of_freedom)?, k)),
        }
    }
}

/// Effective degrees of freedom of a combined standard uncertainty.
///
/// The result is not truncated to a whole number: Student's distribution takes any. Who wants the smaller whole number
/// of JCGM 100:2008 G.4.1 note 1 takes [`coverage_factor_truncated`].
///
/// # Formula
/// ν_eff = (Σ uᵢ²)² / Σ (uᵢ⁴ / νᵢ)
///
/// # Arguments
/// Pairs of an independent contribution uᵢ = |cᵢ| u(xᵢ) and its degrees of freedom (infinite where exact).
///
/// # Errors
/// [`crate::Error::InvalidValue`] for negative contributions or degrees of freedom that are not positive.
///
/// # Source
/// JCGM 100:2008, G.4.1, equation (G.2b).
///
/// # Example
/// ```
/// use calcore::uncertainty::coverage::welch_satterthwaite;
/// // JCGM 100:2008 G.4.1: relative 0.25 % (9), 0.57 % (4), 0.82 % (14) give 19.0.
/// let nu = welch_satterthwaite(&[(0.25, 9.0), (0.57, 4.0), (0.82, 14.0)])?;
/// assert!((nu - 19.0).abs() < 0.05);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn welch_satterthwaite(contributions: &[(f64, f64)]) -> Result<f64> {
    // Only ratios matter: dividing by the largest keeps fourth powers from overflowing or vanishing.
    let mut largest = 0.0f64;
    for &(u, nu) in contributions {
        largest = largest.max(not_negative("contribution to the uncertainty", u, "")?);
        check_degrees_of_freedom(nu)?;
    }
    if largest <= 0.0 {
        return Ok(f64::INFINITY);
    }
    let (mut variance, mut weight) = (0.0, 0.0);
    for &(u, nu) in contributions {
        let square = (u / largest) * (u / largest);
        variance += square;
        weight += square * square / nu;
    }
    Ok(if weight > 0.0 { variance * variance / weight } else { f64::INFINITY })
}

/// Coverage factor of a two-sided interval from Student's distribution; the degrees of freedom need not be whole.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for the probability, [`crate::Error::InvalidValue`] for degrees of freedom that are not
/// positive.
///
/// # Source
/// JCGM 100:2008, G.3 and table G.2.
pub fn coverage_factor(probability: f64, degrees_of_freedom: f64) -> Result<f64> {
    Coverage::Probability(probability).check()?;
    check_degrees_of_freedom(degrees_of_freedom)?;
    // Not 0.5 + 0.5 p: for p below a half that would shave a digit off the distance from the middle.
    special::student_quantile(0.5 * (1.0 + probability), degrees_of_freedom)
}

/// Coverage factor with the degrees of freedom cut to the next lower whole number (but to no less than 1).
///
/// # Errors
/// As [`coverage_factor`].
///
/// # Source
/// JCGM 100:2008, G.4.1 note 1.
pub fn coverage_factor_truncated(probability: f64, degrees_of_freedom: f64) -> Result<f64> {
    coverage_factor(probability, check_degrees_of_freedom(degrees_of_freedom)?.floor().max(1.0))
}

/// Probability with which `k` standard uncertainties to both sides cover the value.
///
/// # Errors
/// [`crate::Error::InvalidValue`] for a factor or degrees of freedom that are not positive.
pub fn coverage_probability(factor: f64, degrees_of_freedom: f64) -> Result<f64> {
    Coverage::Factor(factor).check()?;
    special::student_central_probability(factor, check_degrees_of_freedom(degrees_of_freedom)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn effective_degrees_of_freedom_of_published_examples() {
        // Formula evaluated by hand: (0.0725)^2 / (1e-4 / 9) = 473.06.
        let nu = welch_satterthwaite(&[(0.1, 9.0), (0.15, f64::INFINITY), (0.2, f64::INFINITY)]).unwrap();
        assert!((nu - 473.0625).abs() < 1e-9, "{nu}");
        // JCGM 100:2008 G.4.1: 19.0 printed, 18.99874231426795 recomputed in 40 digits.
        let nu = welch_satterthwaite(&[(0.25, 9.0), (0.57, 4.0), (0.82, 14.0)]).unwrap();
        assert!((nu - 18.998_742_314_267_95).abs() < 1e-12, "{nu}");
    }

    #[test]
    fn size_of_the_unit_does_not_matter() {
        let small = welch_satterthwaite(&[(1e-200, 9.0), (2e-200, 5.0)]).unwrap();
        let large = welch_satterthwaite(&[(1e200, 9.0), (2e200, 5.0)]).unwrap();
        assert!((small / large - 1.0).abs() < 1e-15);
        assert_eq!(welch_satterthwaite(&[]).unwrap(), f64::INFINITY);
        assert_eq!(welch_satterthwaite(&[(0.0, 3.0)]).unwrap(), f64::INFINITY);
        assert_eq!(welch_satterthwaite(&[(1.0, -3.0)]).map_err(|e| e.code()), Err(103));
        assert_eq!(welch_satterthwaite(&[(f64::NAN, 3.0)]).map_err(|e| e.code()), Err(101));
    }

    #[test]
    fn factor_and_probability_are_inverse() {
        for nu in [1.0, 2.5, 16.0, 5000.0, f64::INFINITY] {
            for p in [0.6827, 0.95, 0.9973] {
                let k = coverage_factor(p, nu).unwrap();
                let back = coverage_probability(k, nu).unwrap();
                assert!((back - p).abs() < 1e-12, "{nu} {p} {back}");
            }
        }
    }

    #[test]
    fn truncation_is_by_name() {
        // JCGM 100:2008 H.1.6: 16.7 truncated to 16 gives 2.92 at 99 %.
        assert!((coverage_factor_truncated(0.99, 16.7).unwrap() - 2.920_781_622_4).abs() < 1e-9);
        assert!(coverage_factor(0.99, 16.7).unwrap() < 2.92);
    }
}
