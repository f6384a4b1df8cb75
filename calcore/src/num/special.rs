//! Quantiles and distribution functions, right to about 1e-13 where budgets need them.
//!
//! The normal quantile is the kept crate's. Student's distribution (in [`student`](crate::num::student)) and the gamma
//! distribution are evaluated from their continued fractions, with prefactors that keep their digits for large and for
//! fractional parameters, where the crate loses them.

pub use crate::num::student::{student_cdf, student_central_probability, student_quantile};

use crate::error::{Error, Result, finite, open_probability, positive};
use crate::num::root::bracketed_newton;
use statrs::distribution::{ContinuousCDF, Normal};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Steps of a continued fraction or series; convergence takes some multiple of the root of the parameters.
pub(super) const MAX_TERMS: usize = 1_000_000;

/// Quantile of the standard normal distribution.
///
/// # Errors
/// [`Error::OutOfRange`] unless the probability lies between 0 and 1 (ends excluded).
pub fn normal_quantile(p: f64) -> Result<f64> {
    Ok(Normal::standard().inverse_cdf(open_probability("probability", p)?))
}

/// Distribution function of the standard normal distribution; NaN for NaN.
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    // erfc keeps its relative precision in the lower tail, where risks are read.
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Probability of a standard normal quantity between two numbers, from the smaller tails; 0 where the second is not above
/// the first. Both may be infinite.
#[must_use]
pub fn normal_interval(low: f64, high: f64) -> f64 {
    let (from, to) = if low > 0.0 { (-high, -low) } else { (low, high) };
    (normal_cdf(to) - normal_cdf(from)).max(0.0)
}

/// Density of the standard normal distribution.
#[must_use]
pub fn normal_density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / (2.0 * PI).sqrt()
}

/// Probabilities P(X ≤ x) and P(X > x) of the gamma distribution with scale 1.
///
/// # Errors
/// [`Error::InvalidValue`] for a shape that is not positive or a negative value, [`Error::NotFinite`],
/// [`Error::NoConvergence`] for shapes beyond 1e10.
///
/// # Source
/// Series: DLMF 8.11.4; continued fraction: DLMF 8.9.2.
pub fn gamma_probabilities(shape: f64, x: f64) -> Result<(f64, f64)> {
    let a = positive("shape of the gamma distribution", shape, "")?;
    crate::error::not_negative("value of the gamma distribution", x, "")?;
    if x <= 0.0 {
        return Ok((0.0, 1.0));
    }
    // x^a e^(−x) / Γ(a + 1).
    let front = gamma_front(a, x);
    if x < a + 1.0 {
        let (mut term, mut sum, mut n) = (1.0, 1.0, a);
        for _ in 0..MAX_TERMS {
            n += 1.0;
            term *= x / n;
            sum += term;
            if term < 0.1 * f64::EPSILON * sum {
                let lower = (front * sum).min(1.0);
                return Ok((lower, 1.0 - lower));
            }
        }
    } else {
        let (mut b, mut c) = (x + 1.0 - a, 1e300);
        let mut d = 1.0 / b;
        let mut fraction = d;
        let mut n = 1.0;
        for _ in 0..MAX_TERMS {
            let an = -n * (n - a);
            b += 2.0;
            d = 1.0 / (an * d + b);
            c = b + an / c;
            let change = c * d;
            fraction *= change;
            if (change - 1.0).abs() < 0.5 * f64::EPSILON {
                let upper = (front * a * fraction).min(1.0);
                return Ok((1.0 - upper, upper));
            }
            n += 1.0;
        }
    }
    Err(Error::NoConvergence { what: "gamma distribution", steps: MAX_TERMS, last: x, unit: "" })
}

/// x^a e^(−x) / Γ(a + 1), written about its maximum at x = a so that large parameters do not cancel.
fn gamma_front(a: f64, x: f64) -> f64 {
    if a < 20.0 {
        return libm::exp(a * libm::log(x) - x) / libm::tgamma(a + 1.0);
    }
    // Stirling's series for ln Γ; the first term left out is below 1e-17 from a = 20.
    let v = 1.0 / (a * a);
    let stirling = (1.0 / 12.0
        + v * (-1.0 / 360.0
            + v * (1.0 / 1260.0 + v * (-1.0 / 1680.0 + v * (1.0 / 1188.0 + v * (-691.0 / 360_360.0 + v / 156.0))))))
        / a;
    let delta = (x - a) / a;
    // Towards 0, where δ is all but −1, x itself has the digits.
    let less = if x < 0.5 * a { delta - libm::log(x / a) } else { less_log1p(delta) };
    libm::exp(-a * less - stirling) / (2.0 * PI * a).sqrt()
}

/// δ − ln(1 + δ).
pub(crate) fn less_log1p(delta: f64) -> f64 {
    if delta.abs() > 0.1 {
        return delta - libm::log1p(delta);
    }
    // −Σ (−δ)^n/n from n = 2.
    let (mut power, mut sum, mut n) = (delta * delta, 0.0, 2.0);
    while power.abs() > 1e-18 * delta * delta {
        sum += power / n;
        power *= -delta;
        n += 1.0;
    }
    sum
}

/// Quantile of the gamma distribution with scale 1.
///
/// # Errors
/// [`Error::OutOfRange`] for the probability; those of [`gamma_probabilities`].
pub fn gamma_quantile(p: f64, shape: f64) -> Result<f64> {
    open_probability("probability", p)?;
    let a = positive("shape of the gamma distribution", shape, "")?;
    // Near 0 the distribution function is x^a/Γ(a + 1): where that gives less than the smallest double, so be it.
    let power_law = libm::exp((libm::log(p) + libm::lgamma(a + 1.0)) / a);
    if power_law < 1e-290 {
        return Ok(power_law);
    }
    // Wilson and Hilferty; only a start.
    let c = 1.0 / (9.0 * a);
    let cube = 1.0 - c + normal_quantile(p)? * c.sqrt();
    let guess = if cube > 0.1 { a * cube * cube * cube } else { power_law };
    // ln of the smaller probability over ln x; both are monotone, so that the bracket only has to be wide enough.
    let lower_side = p < 0.5;
    let target = libm::log(if lower_side { p } else { 1.0 - p });
    let f = |s: f64| {
        let x = libm::exp(s);
        let Ok((lower, upper)) = gamma_probabilities(a, x) else { return (f64::NAN, f64::NAN) };
        let density = gamma_front(a, x) * a; // x times the density
        let (value, sign) = if lower_side { (lower, 1.0) } else { (upper, -1.0) };
        let value = value.max(f64::MIN_POSITIVE);
        (libm::log(value) - target, sign * density / value)
    };
    let middle = libm::log(guess.max(power_law * 0.5));
    let mut width = 0.05;
    while width < 2000.0 {
        let (low, high) = (f(middle - width).0, f(middle + width).0);
        if low.is_finite() && high.is_finite() && (low > 0.0) != (high > 0.0) {
            let s = bracketed_newton("gamma quantile", "", middle - width, middle + width, f)?;
            return Ok(libm::exp(s));
        }
        width *= 3.0;
    }
    Err(Error::NoConvergence { what: "gamma quantile", steps: 10, last: guess, unit: "" })
}

/// Probability that a chi-squared variable exceeds the value: the p-value of a fit.
///
/// # Errors
/// [`Error::InvalidValue`] for degrees of freedom that are not positive, [`Error::NotFinite`] for the value.
pub fn chi_squared_survival(value: f64, degrees_of_freedom: f64) -> Result<f64> {
    finite("chi-squared", value)?;
    let nu = positive("degrees of freedom", degrees_of_freedom, "")?;
    Ok(gamma_probabilities(0.5 * nu, 0.5 * value.max(0.0))?.1)
}

/// Quantile of the chi-squared distribution.
///
/// # Errors
/// [`Error::OutOfRange`] for the probability, [`Error::InvalidValue`] for degrees of freedom that are not positive.
pub fn chi_squared_quantile(p: f64, degrees_of_freedom: f64) -> Result<f64> {
    Ok(2.0 * gamma_quantile(p, 0.5 * positive("degrees of freedom", degrees_of_freedom, "")?)?)
}

/// Probability that an F variable exceeds the value: the p-value of a variance ratio.
///
/// # Errors
/// [`Error::InvalidValue`] for degrees of freedom that are not positive, [`Error::NotFinite`] for the value.
///
/// # Source
/// Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.6.2: an incomplete beta function.
pub fn f_survival(value: f64, numerator_freedom: f64, denominator_freedom: f64) -> Result<f64> {
    finite("variance ratio", value)?;
    let (n, d) = (
        positive("degrees of freedom", numerator_freedom, "")?,
        positive("degrees of freedom", denominator_freedom, "")?,
    );
    if value <= 0.0 {
        return Ok(1.0);
    }
    Ok(statrs::function::beta::beta_reg(0.5 * d, 0.5 * n, d / (d + n * value)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lower_tail_of_gamma() {
        // 40 digits by mpmath (gammainc).
        for (shape, x, want) in [
            (20.0, 1e-13, 4.110317623311776e-279),
            (20.0, 1e-08, 4.110317584166285e-179),
            (25.0, 0.5, 1.1881853393548447e-33),
            (30.0, 14.0, 0.00013579572275041501),
        ] {
            let got = gamma_probabilities(shape, x).unwrap().0;
            // The logarithm of what is computed, up to 640, is rounded.
            assert!((got / want - 1.0).abs() < 700.0 * f64::EPSILON, "{shape} {x}: {got:e} {want:e}");
        }
    }

    // Witnesses: with 2 and 2k degrees of freedom the survival is (1 + x/k)^-k in closed form; F(1, ν) is Student's t
    // squared, here with ν = 1 (Cauchy): 1 − 2/π atan(√x).
    #[test]
    fn survival_of_the_variance_ratio() {
        let close = |got: Result<f64>, want: f64| assert!((got.unwrap() / want - 1.0).abs() < 1e-12, "{want}");
        for (x, k) in [(0.5, 1), (3.0, 4), (12.0, 10)] {
            close(f_survival(x, 2.0, 2.0 * f64::from(k)), (1.0 + x / f64::from(k)).powi(-k));
        }
        close(f_survival(7.0, 1.0, 1.0), 1.0 - 2.0 / PI * 7f64.sqrt().atan());
        assert_eq!(f_survival(0.0, 1.0, 1.0), Ok(1.0));
        assert_eq!(f_survival(1.0, 0.0, 1.0).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn impossible_arguments_are_refused() {
        assert_eq!(gamma_quantile(0.5, -1.0).map_err(|e| e.code()), Err(103));
    }
}
