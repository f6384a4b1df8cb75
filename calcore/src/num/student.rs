//! Student's distribution and its quantile, right to a few 1e-15 for any degrees of freedom, whole or not.

use crate::error::{Result, finite, open_probability, positive};
use crate::num::special::{MAX_TERMS, normal_cdf, normal_quantile};
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_2_SQRT_PI, FRAC_PI_2, PI};

/// Degrees of freedom above which Student's distribution may be had from the normal one by expansion.
const EXPANSION_FROM: f64 = 1000.0;

/// Largest z²/ν at which the expansion with four terms is used; the first term left out is then below 1e-14.
const EXPANSION_REACH: f64 = 0.004;

/// Degrees of freedom from which Hill's start is good to some digits.
const HILL_FROM: f64 = 2.0;

/// Correction, over the length on which the density changes, up to which five terms of it leave less than a rounding: the
/// sixth is about a sixth of its sixth power.
const LAST_CORRECTION: f64 = 2e-3;

/// Where the power series about the middle is summed: its terms stop growing early, and enough is left of the tails beyond.
const SERIES_REACH: f64 = 2.4;

/// Largest argument at which the power series is summed.
const SERIES_LARGEST: f64 = 0.7;

/// Γ(a + ½)/Γ(a) is √w times a series in 1/w², w = a − ¼.
///
/// # Source
/// DLMF 5.11.14 with a = ½, b = 0; the numbers are exact fractions from Stirling's series for ln Γ with the Bernoulli
/// polynomials at ¼ and ¾.
const HALF_STEP: [f64; 8] = [
    1.0,
    1.0 / 64.0,
    -19.0 / 8192.0,
    631.0 / 524_288.0,
    -174_317.0 / 134_217_728.0,
    20_491_783.0 / 8_589_934_592.0,
    -7_334_801_895.0 / 1_099_511_627_776.0,
    1_858_590_154_455.0 / 70_368_744_177_664.0,
];

/// The argument from which [`HALF_STEP`] is used: the first term left out is below 2e-17.
const HALF_STEP_FROM: f64 = 10.25;

/// Γ(a + ½)/Γ(a).
fn half_step_of_gamma(a: f64) -> f64 {
    let (mut shifted, mut above, mut below) = (a, 1.0, 1.0);
    // Γ(a + 3/2)/Γ(a + 1) = (a + ½)/a · Γ(a + ½)/Γ(a).
    while shifted < HALF_STEP_FROM {
        above *= shifted;
        below *= shifted + 0.5;
        shifted += 1.0;
    }
    let w = shifted - 0.25;
    w.sqrt() * crate::num::poly::horner(&HALF_STEP, 1.0 / (w * w)) * (above / below)
}

/// The continued fraction of the incomplete beta function, 1/(1 + d₁/(1 + d₂/…)), x below about a/(a + b).
///
/// By the recurrences for numerator and denominator: the quotients in dₖ do not wait for each other, which is what makes it
/// fast.
///
/// # Source
/// DLMF 8.17.22 and 8.17.23; recurrences: DLMF 1.12.5.
fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    let d1 = -(a + b) * x / (a + 1.0);
    let (mut before, mut now) = ((1.0, 1.0), (1.0 + d1, 1.0));
    let mut m = 1.0;
    for _ in 0..MAX_TERMS {
        let n = a + 2.0 * m;
        let even = m * (b - m) * x / ((n - 1.0) * n);
        let odd = -(a + m) * (a + b + m) * x / (n * (n + 1.0));
        before = (now.0 + even * before.0, now.1 + even * before.1);
        let next = (before.0 + odd * now.0, before.1 + odd * now.1);
        let (here, there) = (next.1 * now.0, now.1 * next.0);
        now = next;
        // Rounding leaves about as much in the two products.
        if (here - there).abs() <= 2.0 * f64::EPSILON * here.abs() {
            break;
        }
        if !(1e-100..1e100).contains(&now.0.abs()) {
            let unit = 1.0 / now.0;
            before = (before.0 * unit, before.1 * unit);
            now = (1.0, now.1 * unit);
        }
        m += 1.0;
    }
    now.1 / now.0
}

/// 1/(n + 3/2): the quotients of the power series.
const RECIPROCALS: [f64; SERIES_TERMS] = {
    let (mut values, mut n) = ([0.0; SERIES_TERMS], 0);
    while n < SERIES_TERMS {
        values[n] = 1.0 / (n as f64 + 1.5);
        n += 1;
    }
    values
};

/// Terms of the power series: where it is used it has converged long before.
const SERIES_TERMS: usize = 128;

/// The incomplete beta function for b = ½ over its front factor, Σ (a + ½)ₙ/(3/2)ₙ yⁿ: all terms are positive.
///
/// # Source
/// DLMF 8.17.8 with 15.2.1.
fn centre_series(a: f64, y: f64) -> f64 {
    let slope = y * (a - 1.0);
    let (mut term, mut sum) = (1.0, 1.0);
    for four in RECIPROCALS.chunks_exact(4) {
        for reciprocal in four {
            // (a + ½ + n)/(3/2 + n) y
            term *= y + slope * reciprocal;
            sum += term;
        }
        if term < 0.05 * f64::EPSILON * sum {
            break;
        }
    }
    sum
}

/// What Student's distribution needs at a value t ≥ 0.
struct Student {
    /// P(|T| > t).
    tails: f64,
    /// P(|T| < t).
    centre: f64,
    /// Density of |T| at t.
    density: f64,
    /// t times the density, which is there where the density itself underflows.
    steepness: f64,
}

/// Density below which the powers of t in the series of the inverse leave the doubles.
const FAR_DENSITY: f64 = 1e-200;

/// By continued fractions, on the side of the middle where they converge.
fn student(t: f64, nu: f64, half_step: f64) -> Student {
    let w = t / nu.sqrt();
    let (w2, a) = (w * w, 0.5 * nu);
    // 1 + w² overflows long after the 1 has ceased to matter, and w itself where t is large and ν small.
    let far = w > 1e100;
    let (log, root) = if far { (2.0 * libm::log(t) - libm::log(nu), w) } else { (libm::log1p(w2), (1.0 + w2).sqrt()) };
    let power = libm::exp(-a * log) * half_step * FRAC_2_SQRT_PI;
    let density = power / (root * nu.sqrt());
    let root_y = if far { 1.0 } else { w / root };
    let front = power * root_y;
    let y = root_y * root_y;
    if y * (a + 2.5) < SERIES_REACH && y < SERIES_LARGEST {
        let centre = (front * centre_series(a, y)).min(1.0);
        Student { tails: 1.0 - centre, centre, density, steepness: front }
    } else {
        let x = 1.0 / (1.0 + w2);
        let tails = (front / nu * beta_fraction(a, 0.5, x)).min(1.0);
        Student { tails, centre: 1.0 - tails, density, steepness: front }
    }
}

/// Cornish-Fisher expansion of the t quantile about the normal one.
fn expansion(z: f64, nu: f64) -> f64 {
    let z2 = z * z;
    let g1 = z * (z2 + 1.0) / 4.0;
    let g2 = z * ((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0;
    let g3 = z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0;
    let g4 = z * ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) / 92160.0;
    z + (g1 + (g2 + (g3 + g4 / nu) / nu) / nu) / nu
}

/// Value that |T| exceeds with the probability `tails`, to some digits; z is the normal one.
///
/// # Source
/// Hill, Communications of the ACM 13 (1970) 619, algorithm 396 (numbers from memory: it is only where the search starts).
fn hill(tails: f64, nu: f64, z: f64) -> f64 {
    let a = 1.0 / (nu - 0.5);
    let b = 48.0 / (a * a);
    let mut c = ((20_700.0 * a / b - 98.0) * a - 16.0) * a + 96.36;
    let d = ((94.5 / (b + c) - 3.0) / b + 1.0) * (a * FRAC_PI_2).sqrt() * nu;
    let power = libm::exp(libm::log(d * tails) * (2.0 / nu));
    if power > 0.05 + a {
        if nu < 5.0 {
            c += 0.3 * (nu - 4.5) * (z + 0.6);
        }
        let c = (((0.05 * d * z - 5.0) * z - 7.0) * z - 2.0) * z + b + c;
        let z2 = z * z;
        let x = (((((0.4 * z2 + 6.3) * z2 + 36.0) * z2 + 94.5) / c - z2 - 3.0) / b + 1.0) * z;
        return (nu * libm::expm1(a * x * x)).sqrt();
    }
    let far = (1.0 / (((nu + 6.0) / (nu * power) - 0.089 * d - 0.822) * (nu + 2.0) * 3.0) + 0.5 / (nu + 4.0)) * power;
    (nu * ((far - 1.0) * (nu + 1.0) / (nu + 2.0) + 1.0 / power)).sqrt()
}

/// Quantile of Student's t distribution; `degrees_of_freedom` may be infinite (normal) and need not be whole.
///
/// From the distribution itself by a Newton step with four terms more; for many degrees of freedom the normal quantile with
/// four terms in 1/ν.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for the probability, [`Error::InvalidValue`](crate::Error::InvalidValue)
/// for degrees of freedom that are not positive, [`Error::NotFinite`](crate::Error::NotFinite) where the quantile is beyond
/// the largest double (degrees of freedom below about 0.05).
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
    if nu > EXPANSION_FROM && z * z < EXPANSION_REACH * nu {
        return Ok(expansion(z, nu).copysign(p - 0.5));
    }
    let half_step = half_step_of_gamma(0.5 * nu);
    let t = if tail > 0.25 {
        from_centre(2.0 * from_middle, nu, half_step)
    } else {
        from_tail(2.0 * tail, nu, half_step, z)
    };
    finite("quantile of Student's distribution", t.copysign(p - 0.5))
}

/// The value at which P(|T| < t) is larger by `newton` times the density than at `t`: the inverse as a series, to the fifth
/// power of `newton`. None where that is too far for the series.
///
/// # Formula
/// dⁿt/dPⁿ = Pₙ/fⁿ with P₁ = 1, Pₙ₊₁ = Pₙ' + n ψ Pₙ and ψ = −f'/f = (ν + 1) t/(ν + t²).
fn corrected(t: f64, nu: f64, newton: f64) -> Option<f64> {
    // In ratios: squares of the largest values would overflow.
    let length = t + nu / t;
    let psi = (nu + 1.0) / length;
    if newton.abs() * psi.max(1.0 / t) > LAST_CORRECTION {
        return None;
    }
    let psi2 = psi * psi;
    let (near, far, room) = (nu / t / length, t / length, 1.0 / (t * length));
    // The first three derivatives of ψ.
    let first = (nu + 1.0) * room * (near - far);
    let second = -2.0 * psi * room * (3.0 * near - far);
    let third = -6.0 * (nu + 1.0) * room * room * (near * near - 6.0 * near * far + far * far);
    let p3 = first + 2.0 * psi2;
    let p4 = second + psi * (7.0 * first + 6.0 * psi2);
    let p5 = third + 7.0 * first * first + psi * (11.0 * second + psi * (46.0 * first + 24.0 * psi2));
    let rest = newton * (p3 / 6.0 + newton * (p4 / 24.0 + newton * p5 / 120.0));
    Some(t + newton * (1.0 + newton * (psi / 2.0 + rest)))
}

/// Solves P(|T| < t) = `centre`. The left side is concave in t, so that Newton's method from below does not overshoot.
fn from_centre(centre: f64, nu: f64, half_step: f64) -> f64 {
    let mut t = centre * (nu * PI).sqrt() / (2.0 * half_step);
    for _ in 0..100 {
        let at = student(t, nu, half_step);
        let newton = (centre - at.centre) / at.density;
        match corrected(t, nu, newton) {
            Some(found) => return found,
            None => t += newton,
        }
    }
    t
}

/// Solves P(|T| > t) = `tails`; far from the solution with logarithms of both: concave, and nearly straight where the tail
/// is a power.
fn from_tail(tails: f64, nu: f64, half_step: f64, z: f64) -> f64 {
    let mut t = if nu >= HILL_FROM {
        hill(tails, nu, z)
    } else {
        // The power law of the far tail, t^(−ν), which lies above.
        let log = libm::log(2.0 * half_step / (PI.sqrt() * nu * tails)) / nu;
        nu.sqrt() * libm::exp(log)
    };
    for _ in 0..200 {
        let at = student(t, nu, half_step);
        let far = at.density < FAR_DENSITY;
        if !far && let Some(found) = corrected(t, nu, (at.tails - tails) / at.density) {
            return found;
        }
        let steepness = if far { at.steepness } else { t * at.density };
        let step = libm::log(at.tails / tails) * at.tails / steepness;
        // A step in ln t; half a step where the guess lies so low that the first one goes far over.
        t *= libm::exp(step.clamp(-2.0, 2.0));
        // Far out the tail is a power, and logarithms of both are straight.
        if !t.is_finite() || far && step.abs() < 4.0 * f64::EPSILON {
            break;
        }
    }
    t
}

/// Probability that the absolute value of a Student variable stays below `t`; `degrees_of_freedom` may be infinite.
///
/// # Errors
/// [`Error::InvalidValue`](crate::Error::InvalidValue) for degrees of freedom that are not positive,
/// [`Error::NotFinite`](crate::Error::NotFinite) for `t`.
pub fn student_central_probability(t: f64, degrees_of_freedom: f64) -> Result<f64> {
    let t = finite("t", t)?.abs();
    if degrees_of_freedom == f64::INFINITY {
        return Ok(libm::erf(t * FRAC_1_SQRT_2));
    }
    let nu = positive("degrees of freedom", degrees_of_freedom, "")?;
    Ok(match by_expansion(t, nu) {
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
    if let Some(z) = by_expansion(t.abs(), nu) {
        return Ok(normal_cdf(z.copysign(t)));
    }
    let at = student(t.abs(), nu, half_step_of_gamma(0.5 * nu));
    Ok(if t < 0.0 { 0.5 * at.tails } else { 0.5 + 0.5 * at.centre })
}

/// The normal value with the same probability, by the expansion read backwards, where it is good enough.
fn by_expansion(t: f64, nu: f64) -> Option<f64> {
    if nu <= EXPANSION_FROM || t * t >= EXPANSION_REACH * nu {
        return None;
    }
    // The slope is 1 + O(1/ν), so that each step gains three digits.
    let mut z = t;
    for _ in 0..6 {
        z -= expansion(z, nu) - t;
    }
    Some(z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_arguments_are_refused() {
        for p in [0.0, 1.0, -0.1, 1.1] {
            assert_eq!(student_quantile(p, 4.0).map_err(|e| e.code()), Err(102));
        }
        assert_eq!(student_quantile(f64::NAN, 4.0).map_err(|e| e.code()), Err(101));
        assert_eq!(student_quantile(0.9, 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(student_quantile(0.9, -3.0).map_err(|e| e.code()), Err(103));
        assert_eq!(student_quantile(0.99, 0.001).map_err(|e| e.code()), Err(101));
    }

    #[test]
    fn the_two_ways_meet_at_their_joint() {
        for (p, nu) in [(0.6, 1000.0), (0.9, 1000.0), (0.975, 1000.0), (0.995, 2000.0), (0.999_999, 6000.0)] {
            let z = normal_quantile(p).unwrap();
            let below = from_tail(2.0 * (1.0 - p), nu, half_step_of_gamma(0.5 * nu), z);
            let above = expansion(z, nu);
            assert!((below / above - 1.0).abs() < 2e-13, "{p}: {below} {above}");
        }
    }

    /// Γ(n + ½)/Γ(n) = √π (2n)!/(4ⁿ n! (n − 1)!), written out as a product; Γ(n + 1)/Γ(n + ½) is its reciprocal times n.
    #[test]
    fn half_steps_of_the_gamma_function() {
        let mut whole = PI.sqrt() / 2.0;
        for n in 1..200u32 {
            let n = f64::from(n);
            assert!((half_step_of_gamma(n) / whole - 1.0).abs() < 2e-14, "{n}");
            assert!((half_step_of_gamma(n + 0.5) * whole / n - 1.0).abs() < 2e-14, "{n}");
            whole *= (n + 0.5) / n;
        }
    }

    /// With 1 and 2 degrees of freedom the quantile is known in closed form: tan(π(p − ½)), (2p − 1)/√(2p(1 − p)).
    const FAR: [(f64, f64, f64); 7] = [
        (1e-300, 2.0, -7.071067811865475e149),
        (1e-250, 2.0, -7.071067811865475e124),
        (1e-300, 2.5, -8.765437882279991e119),
        (1e-300, 3.0, -1.033110836044653e100),
        (1e-300, 4.0, -1.3160740129524924e75),
        (1e-300, 5.0, -1.5683925590993378e60),
        (1e-200, 12.0, -1.3405431320396368e17),
    ];

    #[test]
    fn almost_everything_lies_within_the_largest_double() {
        // P(|T| > t) tends to 2 Γ((ν + 1)/2) ν^(ν/2)/(√π Γ(ν/2) ν t^ν), written out by mpmath with 40 digits.
        for (nu, want) in [(0.1, 1.0), (0.01, 0.999192751158924), (0.001, 0.5099965379670113)] {
            let got = student_central_probability(1e308, nu).unwrap();
            assert!((got / want - 1.0).abs() < 1e-13, "{nu}: {got} {want}");
        }
    }

    #[test]
    fn far_tails() {
        // Two degrees of freedom: (2p - 1)/√(2p (1 - p)). Others with 60 digits by mpmath (betainc, findroot).
        for (p, nu, want) in FAR {
            let got = student_quantile(p, nu).unwrap();
            // The logarithm of the probability, up to 690, is rounded: over ν in the quantile.
            assert!((got / want - 1.0).abs() < 700.0 * f64::EPSILON, "{p:e} {nu}: {got:e} {want:e}");
        }
    }

    #[test]
    fn closed_forms() {
        for p in [0.5001, 0.55, 0.7, 0.76, 0.9, 0.975, 0.995, 0.9999] {
            let cauchy = libm::tan(PI * (p - 0.5));
            let two = (2.0 * p - 1.0) / (2.0 * p * (1.0 - p)).sqrt();
            // The rounding of 1 − p and of the tangent's argument is among the 1e-12.
            assert!((student_quantile(p, 1.0).unwrap() / cauchy - 1.0).abs() < 1e-12, "{p}");
            assert!((student_quantile(p, 2.0).unwrap() / two - 1.0).abs() < 1e-12, "{p}");
        }
    }
}
