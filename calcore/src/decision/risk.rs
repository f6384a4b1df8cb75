//! Risks of accepting what does not conform and of rejecting what does: of one item, and of a whole population.

use crate::decision::limits::Limits;
use crate::decision::process::Process;
use crate::error::{Result, finite, not_negative};
use crate::num::bivariate_normal::{above_and_below, both_above};
use crate::num::special::{normal_cdf, normal_density, normal_interval};

/// The four things that can happen to an item of a population that is measured and judged. All four are joint
/// probabilities: of all items, not of the accepted or rejected ones. They add up to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Risk {
    /// Conforms and is accepted.
    pub true_accept: f64,
    /// Does not conform and is accepted: the global consumer's risk, joint convention.
    pub false_accept: f64,
    /// Conforms and is rejected: the global producer's risk, joint convention.
    pub false_reject: f64,
    /// Does not conform and is rejected.
    pub true_reject: f64,
    /// Limits within which a measured value is accepted. A lower one above the upper one: nothing is.
    pub acceptance_limits: Limits,
}

impl Risk {
    /// Probability that an accepted item does not conform; NaN where nothing is accepted.
    #[must_use]
    pub fn false_accept_given_accepted(&self) -> f64 {
        self.false_accept / self.accepted()
    }

    /// Probability that a rejected item conforms; NaN where nothing is rejected.
    #[must_use]
    pub fn false_reject_given_rejected(&self) -> f64 {
        self.false_reject / (self.false_reject + self.true_reject)
    }

    /// Fraction of items accepted: with no guard band this is the observed in-tolerance probability.
    #[must_use]
    pub fn accepted(&self) -> f64 {
        self.true_accept + self.false_accept
    }

    /// Fraction of items that conform: the true in-tolerance probability.
    #[must_use]
    pub fn in_tolerance(&self) -> f64 {
        self.true_accept + self.false_reject
    }
}

/// Global risks: of measuring items of a process with a normal measurement error and accepting what lies within limits.
///
/// # Formula
/// False accept ∫ over x outside the tolerance of f(x) P(A_L ≤ x + e ≤ A_U) dx, false reject ∫ over x inside of
/// f(x) P(x + e outside A_L…A_U) dx; f density of the process, e normal with standard deviation u. For a normal process the
/// integrals are bivariate normal probabilities and are computed as such.
///
/// # Arguments
/// Tolerance limits, process, standard uncertainty u (0 is allowed) and guard band w in one unit. The acceptance limits are
/// the tolerance limits moved inward by w, or outward where it is negative. The process is what is known before the
/// measurement: its in-tolerance probability is that of the true values; for an observed one see
/// [`Process::in_tolerance`].
///
/// # Errors
/// Those of [`Limits::check`]; [`Error::NotFinite`](crate::Error::NotFinite),
/// [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative standard uncertainty;
/// [`Error::NoConvergence`](crate::Error::NoConvergence) for a process whose density cannot be integrated, such as Student's
/// t with less than one degree of freedom.
///
/// # Source
/// JCGM 106:2012, 9.5.
///
/// # Example
/// ```
/// use calcore::decision::{InTolerance, Limits, Process, risk};
/// // Test uncertainty ratio 4, 95 % of the true values in tolerance: 0.86 % and 1.55 %.
/// let limits = Limits::symmetric(1.0);
/// let process = Process::in_tolerance(limits, 0.95, InTolerance::True)?;
/// let risk = risk(limits, &process, 0.125, 0.0)?;
/// assert!((risk.false_accept - 0.0086).abs() < 5e-5 && (risk.false_reject - 0.0155).abs() < 5e-5);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn risk(limits: Limits, process: &Process, standard_uncertainty: f64, guard_band: f64) -> Result<Risk> {
    let limits = limits.check()?;
    let u = not_negative("standard uncertainty", standard_uncertainty, "")?;
    finite("guard band", guard_band)?;
    let acceptance = limits.narrowed(guard_band);
    let tolerance = Span::of(limits);
    let accepted = Span::of(acceptance);
    let [true_accept, false_accept, false_reject, true_reject] = match process.as_normal() {
        _ if accepted.low > accepted.high => {
            let inside = probability_within(process, tolerance)?;
            [0.0, 0.0, inside.0, inside.1]
        }
        // Differences of orthants lose the digits of what is accepted in a narrow interval.
        Some((mean, std)) if accepted.high - accepted.low > NARROW * u => normal(tolerance, accepted, mean, std, u)?,
        _ => any(tolerance, accepted, process, u)?,
    };
    Ok(Risk { true_accept, false_accept, false_reject, true_reject, acceptance_limits: acceptance })
}

/// Limits with infinity where there is none.
#[derive(Clone, Copy)]
pub(super) struct Span {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Span {
    pub(super) fn of(limits: Limits) -> Self {
        Self { low: limits.lower.unwrap_or(f64::NEG_INFINITY), high: limits.upper.unwrap_or(f64::INFINITY) }
    }
}

/// Width of the acceptance interval, in standard uncertainties of the measurement, below which it counts as narrow.
const NARROW: f64 = 1e-3;

/// Probability of a normal variable within a narrow interval: the difference of two values of Φ would be its rounding.
///
/// The density at the middle times the width, with the next two terms of the series; the one after is less than 1e-14 of the
/// whole within 38 standard deviations.
fn narrow_interval(middle: f64, width: f64) -> f64 {
    let (m2, w2) = (middle * middle, width * width);
    let bend = 1.0 + w2 * ((m2 - 1.0) / 24.0 + w2 * ((m2 * (m2 - 6.0) + 3.0) / 1920.0));
    normal_density(middle) * width * bend
}

/// Probabilities of true values inside and outside.
fn probability_within(process: &Process, span: Span) -> Result<(f64, f64)> {
    let part = |low: f64, high: f64| process.weighted(low, high, &[], |_| 1.0);
    let outside = part(f64::NEG_INFINITY, span.low)? + part(span.high, f64::INFINITY)?;
    Ok((part(span.low, span.high)?, outside))
}

/// A normal process: X and the measured Y = X + e are bivariate normal with correlation σ/√(σ² + u²).
fn normal(t: Span, a: Span, mean: f64, std: f64, u: f64) -> Result<[f64; 4]> {
    let measured = libm::hypot(std, u);
    let angle = libm::atan2(u, std);
    let x = |limit: f64| (limit - mean) / std;
    let y = |limit: f64| (limit - mean) / measured;
    let (xl, xu, yl, yu) = (x(t.low), x(t.high), y(a.low), y(a.high));
    // X above and Y below; X below and Y above, which is the same seen in a mirror.
    let fallen = |h: f64, k: f64| above_and_below(h, k, angle);
    let risen = |h: f64, k: f64| above_and_below(-h, -k, angle);
    let (high_low, low_high) = (fallen(xu, yl)?, risen(xl, yu)?);
    let false_accept = (fallen(xu, yu)? - high_low).max(0.0) + (risen(xl, yl)? - low_high).max(0.0);
    let false_reject = (risen(xu, yu)? - low_high).max(0.0) + (fallen(xl, yl)? - high_low).max(0.0);
    let true_reject = both_above(xu, yu, angle)? + both_above(-xl, -yl, angle)? + high_low + low_high;
    let true_accept = (normal_interval(xl, xu) - false_reject).max(0.0);
    Ok([true_accept, false_accept, false_reject, true_reject])
}

/// Any process, by quadrature over the true value.
fn any(t: Span, a: Span, process: &Process, u: f64) -> Result<[f64; 4]> {
    if u <= 0.0 {
        // What is measured is true: the joint probabilities are those of intervals.
        let part = |low: f64, high: f64| process.weighted(low, high, &[], |_| 1.0);
        let within = |low: f64, high: f64| part(low.max(a.low), high.min(a.high));
        let whole = |low: f64, high: f64| part(low, high);
        let (below, inside, above) =
            (within(f64::NEG_INFINITY, t.low)?, within(t.low, t.high)?, within(t.high, f64::INFINITY)?);
        let rejected = whole(f64::NEG_INFINITY, t.low)? - below + whole(t.high, f64::INFINITY)? - above;
        return Ok([inside, below + above, (whole(t.low, t.high)? - inside).max(0.0), rejected.max(0.0)]);
    }
    let mut bends = Vec::with_capacity(10);
    for limit in [a.low, a.high].into_iter().filter(|limit| limit.is_finite()) {
        bends.extend([-8.0, -3.0, 0.0, 3.0, 8.0].map(|step| limit + step * u));
    }
    let width = (a.high - a.low) / u;
    let middle = a.low + 0.5 * (a.high - a.low);
    let accept = |x: f64| {
        if width < NARROW {
            narrow_interval((middle - x) / u, width)
        } else {
            normal_interval((a.low - x) / u, (a.high - x) / u)
        }
    };
    let reject = |x: f64| normal_cdf((a.low - x) / u) + normal_cdf((x - a.high) / u);
    let outside = |g: &dyn Fn(f64) -> f64| -> Result<f64> {
        Ok(process.weighted(f64::NEG_INFINITY, t.low, &bends, g)?
            + process.weighted(t.high, f64::INFINITY, &bends, g)?)
    };
    Ok([
        process.weighted(t.low, t.high, &bends, accept)?,
        outside(&accept)?,
        process.weighted(t.low, t.high, &bends, reject)?,
        outside(&reject)?,
    ])
}

/// What is known of one item after it was measured, given a normal process: mean and standard deviation of its true value.
///
/// The specific risk with a prior is then [`probability_of_conformity`](super::rule::probability_of_conformity) of that
/// mean and that standard deviation.
///
/// # Formula
/// 1/u² = 1/σ² + 1/u_m², mean = u² (m/σ² + y/u_m²)
///
/// # Errors
/// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::InvalidValue`](crate::Error::InvalidValue) for a negative standard
/// uncertainty or a process that is not normal.
///
/// # Source
/// JCGM 106:2012, 6.2 and annex A (clauses from memory).
///
/// # Example
/// ```
/// use calcore::decision::{Process, after_measurement};
/// // Equally wide: half-way, and narrower by √2.
/// let (mean, u) = after_measurement(&Process::normal(0.0, 1.0)?, 1.0, 1.0)?;
/// assert!((mean - 0.5).abs() < 1e-15 && (u - 0.5f64.sqrt()).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn after_measurement(process: &Process, value: f64, standard_uncertainty: f64) -> Result<(f64, f64)> {
    finite("value", value)?;
    let u = not_negative("standard uncertainty", standard_uncertainty, "")?;
    let Some((mean, std)) = process.as_normal() else {
        return Err(crate::Error::InvalidValue {
            what: "degrees of freedom of the process",
            value: process.distribution().degrees_of_freedom(),
            unit: "",
            requirement: format!(
                "the process is {}; only a normal one has a normal outcome",
                process.distribution().name()
            ),
        });
    };
    let both = libm::hypot(std, u);
    let weight = (std / both) * (std / both);
    Ok((mean + weight * (value - mean), std * (u / both)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decision::process::InTolerance;
    use crate::uncertainty::Distribution;

    fn parts(r: &Risk) -> [f64; 4] {
        [r.true_accept, r.false_accept, r.false_reject, r.true_reject]
    }

    #[test]
    fn two_ways_agree_for_a_normal_process() {
        let limits = [
            Limits::symmetric(1.0),
            Limits::between(-0.3, 1.2),
            Limits { lower: None, upper: Some(0.8) },
            Limits { lower: Some(-1.5), upper: None },
        ];
        for limits in limits {
            for (mean, std) in [(0.0, 0.5), (0.4, 1.3), (-2.0, 0.1)] {
                for u in [1e-3, 0.1, 0.5, 4.0] {
                    for w in [0.0, 0.2, -0.3] {
                        let process = Process::normal(mean, std).unwrap();
                        let closed = risk(limits, &process, u, w).unwrap();
                        let span = Span::of(closed.acceptance_limits);
                        let quadrature = any(Span::of(limits), span, &process, u).unwrap();
                        for (a, b) in parts(&closed).into_iter().zip(quadrature) {
                            // Differences of orthants lose what the acceptance interval is narrower than the measurement.
                            assert!((a - b).abs() <= 1e-11 * b + 1e-15, "{limits:?} {mean} {std} {u} {w}: {a:e} {b:e}");
                        }
                        assert!((parts(&closed).iter().sum::<f64>() - 1.0).abs() < 1e-13);
                    }
                }
            }
        }
    }

    #[test]
    fn small_risks_keep_their_digits() {
        // Guard band of 6 u: quadrature with 30 digits by tests/oracle/risk.py gives the same as `any`, which adds only
        // positive numbers.
        let process = Process::normal(0.0, 0.5).unwrap();
        let closed = risk(Limits::symmetric(1.0), &process, 0.05, 0.3).unwrap();
        let span = Span::of(closed.acceptance_limits);
        let quadrature = any(Span::of(Limits::symmetric(1.0)), span, &process, 0.05).unwrap();
        assert!(closed.false_accept < 1e-9);
        assert!((closed.false_accept / quadrature[1] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn narrow_acceptance_keeps_its_digits() {
        // Φ(z + 5e-4) − Φ(z − 5e-4) with 30 digits.
        for (z, want) in [(0.0, 0.0003989422637788383), (3.0, 4.4318498892208805e-06), (20.0, 5.521040148379472e-91)] {
            assert!((narrow_interval(z, 1e-3) / want - 1.0).abs() < 2e-14, "{z}");
        }
        // In proportion to the width, down to an interval of one rounding, for a normal process and one that is not.
        let limits = Limits::between(99.7, 100.3);
        for process in [
            Process::normal(100.0, 0.2).unwrap(),
            Process::new(Distribution::student_t(100.0, 0.2, 8.0).unwrap()).unwrap(),
        ] {
            let per_width = |w: f64| {
                let r = risk(limits, &process, 0.1, w).unwrap();
                let width = r.acceptance_limits.upper.unwrap() - r.acceptance_limits.lower.unwrap();
                [r.false_accept / width, r.true_accept / width]
            };
            let wide = per_width(0.3 - 2e-5);
            for w in [0.3 - 1e-6, 0.3 - 1e-7, 0.3 - 1e-9, 0.3 - 1e-12] {
                for (a, b) in per_width(w).into_iter().zip(wide) {
                    // What the curvature over 4e-5, 4e-4 of u, changes.
                    assert!((a / b - 1.0).abs() < 1e-6, "{w}: {a} {b}");
                }
            }
        }
    }

    #[test]
    fn exact_measurements_and_empty_acceptance() {
        let limits = Limits::symmetric(1.0);
        for process in
            [Process::normal(0.0, 0.5).unwrap(), Process::new(Distribution::rectangular(-2.0, 2.0).unwrap()).unwrap()]
        {
            let exact = risk(limits, &process, 0.0, 0.0).unwrap();
            assert!(exact.false_accept < 1e-16 && exact.false_reject < 1e-15, "{exact:?}");
            let nothing = risk(limits, &process, 0.1, 1.5).unwrap();
            assert_eq!(nothing.accepted(), 0.0);
            assert!((nothing.false_reject - exact.in_tolerance()).abs() < 1e-13);
            assert!(nothing.false_accept_given_accepted().is_nan());
        }
        // Half of a rectangle of 4 lies within ±1; relaxed by 0.5 another quarter is accepted falsely.
        let flat = Process::new(Distribution::rectangular(-2.0, 2.0).unwrap()).unwrap();
        let relaxed = risk(limits, &flat, 0.0, -0.5).unwrap();
        assert!((relaxed.false_accept - 0.25).abs() < 1e-14 && (relaxed.true_reject - 0.25).abs() < 1e-14);
    }

    #[test]
    fn conditional_risks_are_of_the_accepted_and_the_rejected() {
        let limits = Limits::symmetric(1.0);
        let process = Process::in_tolerance(limits, 0.95, InTolerance::True).unwrap();
        let r = risk(limits, &process, 0.25, 0.0).unwrap();
        assert!((r.in_tolerance() - 0.95).abs() < 1e-14);
        // Accepted: P(|Y| ≤ 1), Y with standard deviation √(σ² + u²).
        let y = 1.0 / libm::hypot(process.standard_deviation(), 0.25);
        assert!((r.accepted() - normal_interval(-y, y)).abs() < 1e-14);
        assert!((r.false_accept_given_accepted() - r.false_accept / normal_interval(-y, y)).abs() < 1e-14);
        assert!((r.false_reject_given_rejected() - r.false_reject / (2.0 * normal_cdf(-y))).abs() < 1e-12);
    }

    #[test]
    fn impossible_questions_are_refused() {
        let process = Process::normal(0.0, 1.0).unwrap();
        let code = |r: Result<Risk>| r.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(risk(Limits::default(), &process, 0.1, 0.0)), Err(201));
        assert_eq!(code(risk(Limits::symmetric(1.0), &process, -0.1, 0.0)), Err(103));
        assert_eq!(code(risk(Limits::symmetric(1.0), &process, 0.1, f64::NAN)), Err(101));
        let rectangle = Process::new(Distribution::rectangular(-1.0, 1.0).unwrap()).unwrap();
        assert_eq!(after_measurement(&rectangle, 0.0, 0.1).map_err(|e| e.code()), Err(103));
    }
}
