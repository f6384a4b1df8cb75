//! Guard bands that meet a given risk.

use crate::decision::limits::Limits;
use crate::decision::process::Process;
use crate::decision::ratio::{half_width, test_uncertainty_ratio};
use crate::decision::risk::{Span, after_measurement, risk};
use crate::decision::rule::probability_of_conformity;
use crate::error::{Error, Result, finite, not_negative, open_probability, positive};
use crate::num::root::bracketed_newton;
use crate::num::special::{normal_density, student_cdf, student_quantile};
use std::cell::RefCell;

/// Halvings after which two doubles have met.
const HALVINGS: usize = 200;

/// Which false-accept probability is to be met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FalseAccept {
    /// Of all items that are measured: the joint probability, as ANSI/NCSL Z540.3 has it.
    #[default]
    Joint,
    /// Of the items that are accepted: the conditional probability.
    GivenAccepted,
}

impl FalseAccept {
    /// Reads the name of a convention: `joint` or `given_accepted`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "joint" => Ok(Self::Joint),
            "given_accepted" => Ok(Self::GivenAccepted),
            _ => Err(Error::UnknownName {
                what: "convention of the false-accept risk",
                name: name.into(),
                expected: "\"joint\" or \"given_accepted\"".into(),
            }),
        }
    }
}

/// Guard band at which a value on the acceptance limit has a given probability to lie outside the tolerance, beyond either
/// limit: the specific consumer's risk at its largest. Negative (relaxed limits) for risks above about a half.
///
/// # Formula
/// One limit: w = t u, t the quantile of Student's t for 1 − risk. Two limits: w from
/// T(−w/u) + T(−(T_U − T_L − w)/u) = risk, T the distribution function.
///
/// # Arguments
/// Limits and standard uncertainty in one unit; degrees of freedom of the standard uncertainty, infinite for a normal state
/// of knowledge.
///
/// # Errors
/// Those of [`Limits::check`]; [`Error::OutOfRange`] for a risk that is not between 0 and 1; [`Error::InvalidValue`] for a
/// negative standard uncertainty or degrees of freedom that are not positive; [`Error::Undetermined`] where even a value in
/// the middle of the tolerance has a larger risk.
///
/// # Source
/// JCGM 106:2012, 8.3.2 (guard band), 7.4 (two-sided tolerance); clauses from memory.
///
/// # Example
/// ```
/// use calcore::decision::{Limits, guard_band::for_specific_risk};
/// // 5 % beyond one limit is 1.645 u.
/// let w = for_specific_risk(Limits { lower: None, upper: Some(1.0) }, 0.1, f64::INFINITY, 0.05)?;
/// assert!((w - 0.1645).abs() < 5e-5);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn for_specific_risk(
    limits: Limits,
    standard_uncertainty: f64,
    degrees_of_freedom: f64,
    specific_risk: f64,
) -> Result<f64> {
    let limits = limits.check()?;
    let u = not_negative("standard uncertainty", standard_uncertainty, "")?;
    let aim = open_probability("specific risk", specific_risk)?;
    // The quantile of the small risk itself: 1 − risk would round it.
    let one_sided = -student_quantile(aim, degrees_of_freedom)?;
    let (Some(lower), Some(upper)) = (limits.lower, limits.upper) else { return Ok(one_sided * u) };
    let width = finite("width of the tolerance", upper - lower)?;
    if u <= 0.0 {
        return Ok(0.0);
    }
    // In units of u: the wider of the two tails alone asks for `one_sided`, both for no more than the quantile of aim/2.
    let (all, low) = (width / u, one_sided);
    let beyond = |z: f64| student_cdf(-z, degrees_of_freedom).unwrap_or(f64::NAN);
    let excess = |z: f64| beyond(z) + beyond(all - z) - aim;
    if excess(0.5 * all) > 0.0 {
        return Err(Error::Undetermined {
            what: "guard band for a specific risk",
            parameter: format!("an acceptance limit at which the risk is {aim}"),
            hint: "even a value in the middle of the tolerance has a larger one: the uncertainty is too large",
        });
    }
    let high = 0.5 * all;
    if low >= high {
        return Ok(high * u);
    }
    // The far tail is nothing beside the rounding of the near one.
    if excess(low) <= 0.0 {
        return Ok(low * u);
    }
    let slope = |z: f64| normal_density(all - z) - normal_density(z);
    Ok(u * bracketed_newton("guard band for a specific risk", "", low, high, |z| (excess(z), slope(z)))?)
}

/// Guard band at which the global consumer's risk of a process has a given value.
///
/// # Arguments
/// Limits, process and standard uncertainty as for [`risk`]; the risk that is allowed, such as 0.02, and by which convention;
/// `relax`: whether the limits may be moved outward where the risk is met without a guard band. If not, the guard band then
/// is 0 and the risk smaller than what is allowed.
///
/// # Errors
/// Those of [`risk`]; [`Error::InvalidValue`] for a standard uncertainty that is not positive; [`Error::OutOfRange`] for a
/// risk that is not between 0 and 1; [`Error::Undetermined`] where no guard band gives it: `relax` and a process that has
/// fewer items out of tolerance, or the conditional risk of an uncertainty that is too large.
///
/// # Source
/// ANSI/NCSL Z540.3-2006, 5.3 b (2 %); JCGM 106:2012, 9.5.
///
/// # Example
/// ```
/// use calcore::decision::{FalseAccept, InTolerance, Limits, Process, guard_band::for_global_risk};
/// // Test uncertainty ratio 3, 85 % of the true values in tolerance: 2 % at 0.98779 of the tolerance.
/// let limits = Limits::symmetric(1.0);
/// let process = Process::in_tolerance(limits, 0.85, InTolerance::True)?;
/// let w = for_global_risk(limits, &process, 1.0 / 6.0, 0.02, FalseAccept::Joint, false)?;
/// assert!((1.0 - w - 0.98779).abs() < 5e-6);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn for_global_risk(
    limits: Limits,
    process: &Process,
    standard_uncertainty: f64,
    allowed: f64,
    convention: FalseAccept,
    relax: bool,
) -> Result<f64> {
    const WHAT: &str = "guard band for a global risk";
    let limits = limits.check()?;
    let u = positive("standard uncertainty", standard_uncertainty, "")?;
    let allowed = open_probability("global risk", allowed)?;
    let undetermined = |hint: &'static str| Error::Undetermined {
        what: WHAT,
        parameter: format!("a guard band at which the false-accept risk is {allowed}"),
        hint,
    };
    // Excess of the risk, and how fast it changes with the guard band: both limits move, and with each of them goes what
    // is measured there.
    let excess_and_slope = |w: f64| -> Result<(f64, f64)> {
        let at = risk(limits, process, u, w)?;
        let span = Span::of(at.acceptance_limits);
        let (mut outside, mut all) = (0.0, 0.0);
        for limit in [span.low, span.high].into_iter().filter(|limit| limit.is_finite()) {
            let (out, whole) = density_of_measured(limits, process, u, limit)?;
            outside += out;
            all += whole;
        }
        match convention {
            FalseAccept::Joint => Ok((at.false_accept - allowed, -outside)),
            FalseAccept::GivenAccepted => {
                let accepted = at.accepted();
                if accepted <= 0.0 {
                    // The limit of both; NaN where nothing can be measured.
                    return Ok((outside / all - allowed, 0.0));
                }
                let share = at.false_accept / accepted;
                Ok((share - allowed, (share * all - outside) / accepted))
            }
        }
    };
    let without = excess_and_slope(0.0)?.0;
    if without <= 0.0 && !relax {
        return Ok(0.0);
    }
    let (low, high) = if without > 0.0 {
        let mut high = match (limits.lower, limits.upper) {
            (Some(lower), Some(upper)) => 0.5 * (upper - lower),
            // One limit: as far as it takes.
            _ => {
                let mut w = u;
                while excess_and_slope(w)?.0 > 0.0 {
                    w *= 2.0;
                    if w >= 1e12 * u {
                        return Err(undetermined("no acceptance limit is strict enough"));
                    }
                }
                w
            }
        };
        if excess_and_slope(high)?.0.is_nan() {
            // Nothing is accepted there: the process does not come so far. As narrow as something is.
            let mut something = 0.0;
            for _ in 0..HALVINGS {
                let middle = 0.5 * (something + high);
                if excess_and_slope(middle)?.0.is_nan() {
                    high = middle;
                } else {
                    something = middle;
                }
            }
            high = something;
        }
        if excess_and_slope(high)?.0 > 0.0 {
            return Err(undetermined("even values in the middle of the tolerance have a larger one"));
        }
        (0.0, high)
    } else {
        // Without limits everything is accepted: what lies outside is the most that can be accepted falsely.
        let most = 1.0 - risk(limits, process, u, 0.0)?.in_tolerance();
        if most <= allowed {
            return Err(undetermined("the process has fewer items out of tolerance: no limit is needed"));
        }
        let mut w = -u;
        while excess_and_slope(w)?.0 < 0.0 {
            w *= 2.0;
            if w <= -1e12 * u {
                return Err(undetermined("no acceptance limit is wide enough"));
            }
        }
        (w, 0.0)
    };
    let failed = RefCell::new(None);
    let found = bracketed_newton(WHAT, "", low, high, |w| {
        excess_and_slope(w).unwrap_or_else(|error| {
            failed.replace(Some(error));
            (f64::NAN, f64::NAN)
        })
    });
    failed.into_inner().map_or(found, Err)
}

/// Density of the measured values at `y`: of the items outside the tolerance, and of all.
fn density_of_measured(limits: Limits, process: &Process, u: f64, y: f64) -> Result<(f64, f64)> {
    if let Some((mean, std)) = process.as_normal() {
        let both = libm::hypot(std, u);
        let whole = normal_density((y - mean) / both) / both;
        let (centre, spread) = after_measurement(process, y, u)?;
        return Ok((whole * (1.0 - probability_of_conformity(centre, spread, limits)?), whole));
    }
    let tolerance = Span::of(limits);
    let bends = [-8.0, -3.0, 0.0, 3.0, 8.0].map(|step| y + step * u);
    let part = |low: f64, high: f64| process.weighted(low, high, &bends, |x| normal_density((y - x) / u) / u);
    let outside = part(f64::NEG_INFINITY, tolerance.low)? + part(tolerance.high, f64::INFINITY)?;
    Ok((outside, outside + part(tolerance.low, tolerance.high)?))
}

/// Multiplier M of the expanded uncertainty in the guard band of method 6; negative from a ratio of about 4.6.
///
/// # Formula
/// M = 1.04 − exp(0.38 ln TUR − 0.54)
///
/// # Errors
/// [`Error::InvalidValue`] for a ratio that is not positive.
///
/// # Source
/// Handbook of ANSI/NCSL Z540.3-2006, method 6; M. Dobbert, NCSL International 2008. From memory.
pub fn method_6_multiplier(test_uncertainty_ratio: f64) -> Result<f64> {
    let ratio = positive("test uncertainty ratio", test_uncertainty_ratio, "")?;
    Ok(1.04 - libm::exp(0.38 * libm::log(ratio) - 0.54))
}

/// Guard band that keeps the joint false-accept risk below 2 % whatever the in-tolerance probability: M U, or 0 where M is
/// negative.
///
/// # Arguments
/// Limits to both sides; expanded uncertainty for 95 % coverage, in their unit.
///
/// # Errors
/// Those of [`test_uncertainty_ratio`].
///
/// # Source
/// As [`method_6_multiplier`].
///
/// # Example
/// ```
/// use calcore::decision::{Limits, guard_band::method_6};
/// // TUR 2: 0.2816 U.
/// assert!((method_6(Limits::symmetric(1.0), 0.5)? - 0.2816 * 0.5).abs() < 5e-5);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn method_6(limits: Limits, expanded_uncertainty: f64) -> Result<f64> {
    let multiplier = method_6_multiplier(test_uncertainty_ratio(limits, expanded_uncertainty)?)?;
    Ok(multiplier.max(0.0) * expanded_uncertainty)
}

/// Guard band by the root of the difference of squares: acceptance limits at T √(1 − 1/TUR²) from the middle.
///
/// # Formula
/// w = T − √(T² − U²), T half the width of the tolerance
///
/// # Errors
/// Those of [`test_uncertainty_ratio`]; [`Error::OutOfRange`] for an expanded uncertainty above T.
///
/// # Source
/// Common practice, no source.
///
/// # Example
/// ```
/// use calcore::decision::{Limits, guard_band::root_difference};
/// assert!((root_difference(Limits::symmetric(5.0), 3.0)? - 1.0).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn root_difference(limits: Limits, expanded_uncertainty: f64) -> Result<f64> {
    let half = half_width(limits)?;
    let expanded = not_negative("expanded uncertainty", expanded_uncertainty, "")?;
    if expanded > half {
        let what = "expanded uncertainty";
        return Err(Error::OutOfRange { what, value: expanded, low: 0.0, high: half, unit: "", position: None });
    }
    if expanded <= 0.0 {
        return Ok(0.0);
    }
    // No cancellation for small U.
    let ratio = expanded / half;
    Ok(expanded * ratio / (1.0 + ((1.0 - ratio) * (1.0 + ratio)).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decision::conformity::conformity;
    use crate::decision::process::InTolerance;
    use crate::uncertainty::Distribution;

    #[test]
    fn acceptance_that_shrinks_to_nothing() {
        // Two limits and a process that is not normal, so that the search begins with an interval of one rounding. Right-hand
        // sides by bisection of the joint risk.
        let rectangle = |low: f64, high: f64| Process::new(Distribution::rectangular(low, high).unwrap()).unwrap();
        let student = Process::new(Distribution::normal_with_degrees_of_freedom(0.07, 0.5, 8.0).unwrap()).unwrap();
        let cases = [
            (Limits::between(-2.2, -0.2), rectangle(-3.2, 0.8), 0.180_469_269_187_747_8),
            (Limits::between(-0.93, 1.07), student, 0.056_656_017_884_840_6),
        ];
        for (limits, process, want) in cases {
            let w = for_global_risk(limits, &process, 0.2, 0.01, FalseAccept::Joint, false).unwrap();
            assert!((w - want).abs() < 1e-10, "{w} {want}");
        }
        // Even in the middle of the tolerance 5e-4 of what is accepted is wrong: 1e-4 cannot be had.
        let process = Process::normal(0.0, 0.1).unwrap();
        let refused = for_global_risk(Limits::symmetric(0.1), &process, 0.03, 1e-4, FalseAccept::GivenAccepted, false);
        assert_eq!(refused.map_err(|e| e.code()), Err(202));
        let w =
            for_global_risk(Limits::symmetric(0.1), &process, 0.03, 6e-4, FalseAccept::GivenAccepted, false).unwrap();
        let share = risk(Limits::symmetric(0.1), &process, 0.03, w).unwrap().false_accept_given_accepted();
        assert!((share / 6e-4 - 1.0).abs() < 1e-9, "{share}");
        // True values that do not come to the middle of the tolerance.
        let (limits, process) = (Limits::between(-2.5, -0.5), rectangle(-0.78, 0.086));
        let w = for_global_risk(limits, &process, 0.0016, 1.4e-5, FalseAccept::GivenAccepted, false).unwrap();
        let share = risk(limits, &process, 0.0016, w).unwrap().false_accept_given_accepted();
        assert!((share / 1.4e-5 - 1.0).abs() < 1e-9, "{w} {share}");
    }

    #[test]
    fn the_specific_risk_at_the_acceptance_limit_is_what_was_asked() {
        let limits = Limits::between(-0.4, 0.6);
        for nu in [3.0, 12.5, f64::INFINITY] {
            for u in [0.01, 0.1, 0.2] {
                for aim in [0.001, 0.02, 0.05, 0.3, 0.7] {
                    let Ok(w) = for_specific_risk(limits, u, nu, aim) else {
                        // Refused only where the middle is worse.
                        let middle = Distribution::normal_with_degrees_of_freedom(0.1, u, nu).unwrap();
                        assert!(conformity(&middle, limits).unwrap().outside > aim);
                        continue;
                    };
                    let there = Distribution::normal_with_degrees_of_freedom(0.6 - w, u, nu).unwrap();
                    let got = conformity(&there, limits).unwrap().outside;
                    assert!((got / aim - 1.0).abs() < 1e-11, "{nu} {u} {aim}: {got}");
                }
            }
        }
        // Two limits ask for more than one.
        let one = Limits { lower: None, upper: Some(0.6) };
        assert!(
            for_specific_risk(limits, 0.2, f64::INFINITY, 0.05).unwrap()
                > for_specific_risk(one, 0.2, f64::INFINITY, 0.05).unwrap()
        );
    }

    #[test]
    fn the_global_risk_is_what_was_asked() {
        let limits = Limits::symmetric(1.0);
        let processes = [
            Process::in_tolerance(limits, 0.7, InTolerance::True).unwrap(),
            Process::normal(0.8, 0.3).unwrap(),
            Process::new(Distribution::rectangular(-2.0, 2.0).unwrap()).unwrap(),
            Process::new(Distribution::student_t(0.0, 0.6, 5.0).unwrap()).unwrap(),
        ];
        for process in processes {
            for limits in [limits, Limits { lower: None, upper: Some(1.0) }] {
                for convention in [FalseAccept::Joint, FalseAccept::GivenAccepted] {
                    let w = for_global_risk(limits, &process, 0.2, 0.01, convention, false).unwrap();
                    let at = risk(limits, &process, 0.2, w).unwrap();
                    let got = match convention {
                        FalseAccept::Joint => at.false_accept,
                        FalseAccept::GivenAccepted => at.false_accept_given_accepted(),
                    };
                    assert!((got - 0.01).abs() < 1e-12, "{process:?} {limits:?} {convention:?} {w} {got}");
                    assert!(w > 0.0);
                }
            }
        }
    }

    #[test]
    fn a_risk_that_is_met_already_is_clamped_unless_relaxed() {
        let limits = Limits::symmetric(1.0);
        let process = Process::in_tolerance(limits, 0.95, InTolerance::True).unwrap();
        let joint = FalseAccept::Joint;
        assert_eq!(for_global_risk(limits, &process, 0.25, 0.02, joint, false).unwrap(), 0.0);
        let relaxed = for_global_risk(limits, &process, 0.25, 0.02, joint, true).unwrap();
        assert!(relaxed < 0.0);
        assert!((risk(limits, &process, 0.25, relaxed).unwrap().false_accept - 0.02).abs() < 1e-14);
        // 5 % lie outside: more cannot be accepted falsely.
        let code = |r: Result<f64>| r.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(for_global_risk(limits, &process, 0.25, 0.06, joint, true)), Err(202));
        assert_eq!(code(for_global_risk(limits, &process, 2.0, 1e-4, FalseAccept::GivenAccepted, false)), Err(202));
    }

    #[test]
    fn method_6_keeps_the_joint_risk_below_two_percent() {
        // The claim of the method, for in-tolerance probabilities of 1 % to 99 % and ratios of 1 to 10.
        let limits = Limits::symmetric(1.0);
        for ratio in [1.0, 1.5, 2.0, 3.0, 4.0, 4.6, 6.0, 10.0] {
            let w = method_6(limits, 1.0 / ratio).unwrap();
            for percent in 1..100 {
                let process = Process::in_tolerance(limits, f64::from(percent) / 100.0, InTolerance::True).unwrap();
                let at = risk(limits, &process, 0.5 / ratio, w).unwrap();
                assert!(at.false_accept < 0.02, "{ratio} {percent}: {}", at.false_accept);
            }
        }
    }

    #[test]
    fn impossible_questions_are_refused() {
        let code = |r: Result<f64>| r.map_err(|e| e.code()).map(|_| ());
        let limits = Limits::symmetric(1.0);
        assert_eq!(code(for_specific_risk(limits, 0.1, f64::INFINITY, 1.0)), Err(102));
        assert_eq!(code(for_specific_risk(limits, 0.1, -2.0, 0.1)), Err(103));
        assert_eq!(code(for_specific_risk(limits, 2.0, f64::INFINITY, 0.01)), Err(202));
        assert_eq!(code(method_6_multiplier(0.0)), Err(103));
        assert_eq!(code(root_difference(limits, 1.5)), Err(102));
        assert_eq!(FalseAccept::from_name("both").map_err(|e| e.code()), Err(104));
    }
}
