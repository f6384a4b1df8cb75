//! Quantiles and distribution functions, right to about 1e-13 where budgets need them.
//!
//! The normal quantile is the kept crate's. Student's and the gamma distribution are evaluated here, from their
//! continued fractions with prefactors that keep their digits for large and for fractional parameters, where the crate
//! loses them.

use crate::error::{Error, Result, finite, open_probability, positive};
use crate::num::root::bracketed_newton;
use statrs::distribution::{ContinuousCDF, Normal};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Degrees of freedom above which Student's distribution may be had from the normal one by expansion.
const STUDENT_EXPANSION_FROM: f64 = 1000.0;

/// Largest z²/ν at which the expansion with four terms is used; the first term left out is then below 1e-14.
const STUDENT_EXPANSION_REACH: f64 = 0.004;

/// Steps of a continued fraction or series; convergence takes some multiple of the root of the parameters.
const MAX_TERMS: usize = 1_000_000;

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

/// Γ(a + ½)/Γ(a).
fn half_step_of_gamma(a: f64) -> f64 {
    if a < 100.0 {
        return libm::tgamma(a + 0.5) / libm::tgamma(a);
    }
    // DLMF 5.11.13; the first term left out is below 1e-17 from a = 100.
    let v = 1.0 / a;
    let series = 1.0
        + v * (-1.0 / 8.0
            + v * (1.0 / 128.0
                + v * (5.0 / 1024.0
                    + v * (-21.0 / 32_768.0
                        + v * (-399.0 / 262_144.0 + v * (869.0 / 4_194_304.0 + v * (39_325.0 / 33_554_432.0)))))));
    a.sqrt() * series
}

/// The continued fraction of the incomplete beta function, 1/(1 + d₁/(1 + d₂/…)), by Lentz's method; x below about
/// a/(a + b).
///
/// # Source
/// DLMF 8.17.22 and 8.17.23.
fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let guard = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / guard(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    let mut m = 1.0;
    for _ in 0..MAX_TERMS {
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / guard(1.0 + even * d);
        c = guard(1.0 + even / c);
        fraction *= c * d;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / guard(1.0 + odd * d);
        c = guard(1.0 + odd / c);
        let change = c * d;
        fraction *= change;
        if (change - 1.0).abs() < 0.5 * f64::EPSILON {
            break;
        }
        m += 1.0;
    }
    fraction
}

/// What Student's distribution needs at a value t ≥ 0.
struct Student {
    /// P(|T| > t).
    tails: f64,
    /// P(|T| < t).
    centre: f64,
    /// Density at t.
    density: f64,
}

/// By continued fractions, on the side of the middle where they converge.
fn student(t: f64, nu: f64, half_step: f64) -> Student {
    let w = t / nu.sqrt();
    let (w2, a) = (w * w, 0.5 * nu);
    // ln(1 + w²) also where w² overflows.
    let log = if w > 1e100 { 2.0 * libm::log(w) } else { libm::log1p(w2) };
    let power = libm::exp(-a * log);
    let root_y = if w > 1e100 { 1.0 } else { w / (1.0 + w2).sqrt() };
    let front = power * root_y * half_step / PI.sqrt();
    let density = half_step / (nu * PI).sqrt() * libm::exp(-(a + 0.5) * log);
    let y = root_y * root_y;
    if y * (a + 2.5) < 1.5 {
        let centre = (2.0 * front * beta_fraction(0.5, a, y)).min(1.0);
        Student { tails: 1.0 - centre, centre, density }
    } else {
        let x = 1.0 / (1.0 + w2);
        let tails = (front / a * beta_fraction(a, 0.5, x)).min(1.0);
        Student { tails, centre: 1.0 - tails, density }
    }
}

/// Cornish-Fisher expansion of the t quantile about the normal one.
fn student_expansion(z: f64, nu: f64) -> f64 {
    let z2 = z * z;
    let g1 = z * (z2 + 1.0) / 4.0;
    let g2 = z * ((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0;
    let g3 = z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0;
    let g4 = z * ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) / 92160.0;
    z + (g1 + (g2 + (g3 + g4 / nu) / nu) / nu) / nu
}

/// Quantile of Student's t distribution; `degrees_of_freedom` may be infinite (normal) and need not be whole.
///
/// From the distribution itself by Newton's method; for many degrees of freedom the normal quantile with four terms in
/// 1/ν.
///
/// # Errors
/// [`Error::OutOfRange`] for the probability, [`Error::InvalidValue`] for degrees of freedom that are not positive,
/// [`Error::NotFinite`] where the quantile is beyond the largest double (degrees of freedom below about 0.05).
///
/// # Source
/// Expansion: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.7.5.
///
/// # Example
/// ```
/// // JCGM 100:2008 table G.2, 10 degrees of freedom, 95 %.
/// let t = calcore::num::special::student_quantile(0.975, 10.0)?;
/// assert!((t - 2.23).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn student_quantile(p: f64, degrees_of_freedom: f64) -> Result<f64> {
    open_probability("probability", p)?;
    if degrees_of_freedom == f64::INFINITY {
        return normal_quantile(p);
    }
    let nu = positive("degrees of freedom", degrees_of_freedom, "")?;
    // Distance from the middle, and probability of the tail beyond: the smaller one keeps its digits.
    let (from_middle, tail) = ((p - 0.5).abs(), p.min(1.0 - p));
    if from_middle <= 0.0 {
        return Ok(0.0);
    }
    let z = normal_quantile(tail)?.abs();
    if nu > STUDENT_EXPANSION_FROM && z * z < STUDENT_EXPANSION_REACH * nu {
        return Ok(student_expansion(z, nu).copysign(p - 0.5));
    }
    let half_step = half_step_of_gamma(0.5 * nu);
    let t = if tail > 0.25 {
        student_from_centre(2.0 * from_middle, nu, half_step)
    } else {
        student_from_tail(2.0 * tail, nu, half_step, z)
    };
    finite("quantile of Student's distribution", t.copysign(p - 0.5))
}

/// Solves P(|T| < t) = `centre`. The left side is concave in t, so that Newton's method from below does not overshoot.
fn student_from_centre(centre: f64, nu: f64, half_step: f64) -> f64 {
    let mut t = 0.5 * centre * (nu * PI).sqrt() / half_step;
    for _ in 0..100 {
        let at = student(t, nu, half_step);
        let step = (centre - at.centre) / (2.0 * at.density);
        t += step;
        if step.abs() <= 1e-9 * t {
            break; // the next step would be below 1e-17
        }
    }
    t
}

/// Solves P(|T| > t) = `tails` with logarithms of both: concave, and nearly straight where the tail is a power.
fn student_from_tail(tails: f64, nu: f64, half_step: f64, z: f64) -> f64 {
    // For few degrees of freedom the power law of the far tail, t^(−ν), which lies above; else the expansion.
    let guess = if nu < 3.0 || z * z > nu {
        let log = libm::log(2.0 * half_step / (PI.sqrt() * nu * tails)) / nu;
        nu.sqrt() * libm::exp(log)
    } else {
        student_expansion(z, nu)
    };
    let target = libm::log(tails);
    let mut t = guess;
    for _ in 0..200 {
        let at = student(t, nu, half_step);
        let slope = 2.0 * t * at.density / at.tails;
        let step = (libm::log(at.tails) - target) / slope;
        // A step in ln t; half a step where the guess lies so low that the first one goes far over.
        t *= libm::exp(step.clamp(-2.0, 2.0));
        if !t.is_finite() || step.abs() <= 1e-9 {
            break;
        }
    }
    t
}

/// Probability that the absolute value of a Student variable stays below `t`; `degrees_of_freedom` may be infinite.
///
/// # Errors
/// [`Error::InvalidValue`] for degrees of freedom that are not positive, [`Error::NotFinite`] for `t`.
pub fn student_central_probability(t: f64, degrees_of_freedom: f64) -> Result<f64> {
    let t = finite("t", t)?.abs();
    if degrees_of_freedom == f64::INFINITY {
        return Ok(libm::erf(t * FRAC_1_SQRT_2));
    }
    let nu = positive("degrees of freedom", degrees_of_freedom, "")?;
    Ok(match student_by_expansion(t, nu) {
        Some(z) => libm::erf(z * FRAC_1_SQRT_2),
        None => student(t, nu, half_step_of_gamma(0.5 * nu)).centre,
    })
}

/// Distribution function of Student's t; `degrees_of_freedom` may be infinite.
///
/// # Errors
/// As [`student_central_probability`].
pub fn student_cdf(t: f64, degrees_of_freedom: f64) -> Result<f64> {
    finite("t", t)?;
    if degrees_of_freedom == f64::INFINITY {
        return Ok(normal_cdf(t));
    }
    let nu = positive("degrees of freedom", degrees_of_freedom, "")?;
    if let Some(z) = student_by_expansion(t.abs(), nu) {
        return Ok(normal_cdf(z.copysign(t)));
    }
    let at = student(t.abs(), nu, half_step_of_gamma(0.5 * nu));
    Ok(if t < 0.0 { 0.5 * at.tails } else { 0.5 + 0.5 * at.centre })
}

/// The normal value with the same probability, by the expansion read backwards, where it is good enough.
fn student_by_expansion(t: f64, nu: f64) -> Option<f64> {
    if nu <= STUDENT_EXPANSION_FROM || t * t >= STUDENT_EXPANSION_REACH * nu {
        return None;
    }
    // The slope is 1 + O(1/ν), so that each step gains three digits.
    let mut z = t;
    for _ in 0..6 {
        z -= student_expansion(z, nu) - t;
    }
    Some(z)
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
    libm::exp(-a * less_log1p(delta) - stirling) / (2.0 * PI * a).sqrt()
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
        for p in [0.0, 1.0, -0.1, 1.1] {
            assert_eq!(student_quantile(p, 4.0).map_err(|e| e.code()), Err(102));
        }
        assert_eq!(student_quantile(f64::NAN, 4.0).map_err(|e| e.code()), Err(101));
        assert_eq!(student_quantile(0.9, 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(student_quantile(0.9, -3.0).map_err(|e| e.code()), Err(103));
        assert_eq!(student_quantile(0.99, 0.001).map_err(|e| e.code()), Err(101));
        assert_eq!(gamma_quantile(0.5, -1.0).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn the_two_ways_meet_at_their_joint() {
        for (p, nu) in [(0.6, 1000.0), (0.9, 1000.0), (0.975, 1000.0), (0.995, 2000.0), (0.999_999, 6000.0)] {
            let z = normal_quantile(p).unwrap();
            let below = student_from_tail(2.0 * (1.0 - p), nu, half_step_of_gamma(0.5 * nu), z);
            let above = student_expansion(z, nu);
            assert!((below / above - 1.0).abs() < 2e-13, "{p}: {below} {above}");
        }
    }
}
