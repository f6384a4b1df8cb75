//! Probability of conformity for any state of knowledge about one item.

use crate::decision::limits::Limits;
use crate::error::{Result, finite};
use crate::num::special::gamma_probabilities;
use crate::uncertainty::Distribution;

/// Where the true value of one item lies.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Conformity {
    /// Probability that it lies within the limits: the conformance probability.
    pub inside: f64,
    /// Its complement, the specific risk of accepting the item; computed by itself so that small risks keep their digits.
    pub outside: f64,
}

/// Probability of conformity of one item about whose true value a distribution is known: Student's t after few readings, a
/// rectangle where a limit is all that is known, a normal one with infinite degrees of freedom for the usual case. A normal
/// distribution with finite degrees of freedom counts as Student's t with its standard uncertainty as scale (JCGM 101:2008,
/// 6.4.9.7).
///
/// # Formula
/// p = F(T_U) − F(T_L), F the distribution function
///
/// # Arguments
/// Limits in the unit of the distribution, to one side or to both.
///
/// # Errors
/// Those of [`Limits::check`] and [`Distribution::check`].
///
/// # Source
/// JCGM 106:2012, 7.2 and 7.3.
///
/// # Example
/// ```
/// use calcore::decision::{Limits, conformity};
/// use calcore::uncertainty::Distribution;
/// // One scale from the limit, one degree of freedom: 1/2 + atan(1)/π.
/// let known = Distribution::student_t(0.0, 1.0, 1.0)?;
/// assert!((conformity(&known, Limits { lower: None, upper: Some(1.0) })?.inside - 0.75).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn conformity(knowledge: &Distribution, limits: Limits) -> Result<Conformity> {
    let limits = limits.check()?;
    let knowledge = knowledge.check()?;
    let below = |x: f64| knowledge.cdf(x);
    let lower = limits.lower.map_or(Ok(0.0), below)?;
    let upper = limits.upper.map_or(Ok(0.0), |x| above(&knowledge, x))?;
    let outside = (lower + upper).min(1.0);
    let inside = match (limits.lower, limits.upper) {
        // Both limits on one side of the middle: the difference of the two smaller tails.
        (Some(low), Some(high)) if low > knowledge.mean() => {
            (above(&knowledge, low)? - above(&knowledge, high)?).max(0.0)
        }
        (Some(low), Some(high)) if high < knowledge.mean() => (below(high)? - below(low)?).max(0.0),
        (Some(low), None) => above(&knowledge, low)?,
        (None, Some(high)) => below(high)?,
        _ => 1.0 - outside,
    };
    Ok(Conformity { inside, outside })
}

/// P(X > x), with the digits of a small tail.
fn above(knowledge: &Distribution, x: f64) -> Result<f64> {
    match *knowledge {
        Distribution::Exponential { mean } => Ok(if x <= 0.0 { 1.0 } else { libm::exp(-x / mean) }),
        Distribution::Gamma { shape, scale } => {
            Ok(if x <= 0.0 { 1.0 } else { gamma_probabilities(shape, x / scale)?.1 })
        }
        // The others are symmetric about their mean. What has no width lies on its limit, which belongs to the interval.
        ref symmetric => {
            let middle = symmetric.mean();
            if symmetric.standard_uncertainty() <= 0.0 {
                return Ok(if middle > x { 1.0 } else { 0.0 });
            }
            symmetric.cdf(finite("mirrored limit", middle - (x - middle))?)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decision::rule::probability_of_conformity;

    #[test]
    fn a_normal_state_gives_what_the_rule_gives() {
        for (y, u, limits) in [
            (13.6, 1.8, Limits::between(12.5, 16.3)),
            (-5.47, 0.05, Limits { lower: None, upper: Some(-5.40) }),
            (9.0, 1.0, Limits::between(-1.0, 1.0)),
        ] {
            let known = conformity(&Distribution::normal(y, u).unwrap(), limits).unwrap();
            let want = probability_of_conformity(y, u, limits).unwrap();
            // The limits are reduced by y and u in another order: a rounding of z, which a tail amplifies by z².
            assert!((known.inside / want - 1.0).abs() < 1e-13, "{y}");
        }
    }

    #[test]
    fn few_readings_cost_conformity() {
        // Student's t with 4 degrees of freedom: P(|T| ≤ 2.776445105198) = 0.95 (JCGM 100:2008, table G.2: 2.78).
        let known = Distribution::normal_with_degrees_of_freedom(0.5, 0.1, 4.0).unwrap();
        let limits = Limits::between(0.5 - 0.277_644_510_519_78, 0.5 + 0.277_644_510_519_78);
        let found = conformity(&known, limits).unwrap();
        assert!((found.inside - 0.95).abs() < 1e-12 && (found.outside - 0.05).abs() < 1e-12);
    }

    #[test]
    fn every_shape_and_small_tails() {
        let flat = Distribution::rectangular(-1.0, 1.0).unwrap();
        let found = conformity(&flat, Limits { lower: Some(-0.5), upper: None }).unwrap();
        assert_eq!((found.inside, found.outside), (0.75, 0.25));
        // Upper tail of an exponential: exp(−50).
        let rare = conformity(&Distribution::exponential(1.0).unwrap(), Limits { lower: None, upper: Some(50.0) });
        assert!((rare.unwrap().outside / (-50f64).exp() - 1.0).abs() < 1e-15);
        let gamma = Distribution::gamma(1.0, 1.0).unwrap();
        let rare = conformity(&gamma, Limits::between(1.0, 50.0)).unwrap();
        assert!((rare.inside - ((-1f64).exp() - (-50f64).exp())).abs() < 1e-14);
        // No width: on the limit is inside.
        let exact = Distribution::normal(1.0, 0.0).unwrap();
        assert_eq!(conformity(&exact, Limits { lower: None, upper: Some(1.0) }).unwrap().inside, 1.0);
        assert_eq!(conformity(&exact, Limits { lower: None, upper: Some(0.5) }).unwrap().outside, 1.0);
        assert_eq!(conformity(&flat, Limits::default()).map_err(|e| e.code()), Err(201));
    }
}
