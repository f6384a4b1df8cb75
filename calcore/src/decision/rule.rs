//! Decision rules: from a value, its uncertainty and tolerance limits to a verdict.

use crate::decision::limits::Limits;
use crate::error::{Error, Result, finite, not_negative, positive};
use crate::num::special;

/// Outcome of a decision. The six names are those that a digital calibration certificate knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Verdict {
    /// Accepted by the rule.
    Pass,
    /// Rejected by the rule.
    Fail,
    /// Within the tolerance, but less than the guard band away from its limit.
    ConditionalPass,
    /// Outside the tolerance, but less than the guard band away from its limit.
    ConditionalFail,
    /// Conformity is not proven; neither is the contrary.
    NoPass,
    /// Non-conformity is not proven; neither is the contrary.
    NoFail,
}

impl Verdict {
    /// All six, in the order of their numbers in C.
    pub const ALL: [Self; 6] =
        [Self::Pass, Self::Fail, Self::ConditionalPass, Self::ConditionalFail, Self::NoPass, Self::NoFail];

    /// The verdict of a name.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for one that is none of [`Verdict::name`].
    pub fn from_name(name: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|verdict| verdict.name() == name).ok_or_else(|| Error::UnknownName {
            what: "verdict",
            name: name.into(),
            expected: Self::ALL.map(Self::name).join(", "),
        })
    }

    /// Stable name: `pass`, `fail`, `conditional_pass`, `conditional_fail`, `no_pass`, `no_fail`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::ConditionalPass => "conditional_pass",
            Self::ConditionalFail => "conditional_fail",
            Self::NoPass => "no_pass",
            Self::NoFail => "no_fail",
        }
    }
}

/// How wide the guard band is.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum GuardBand {
    /// w = r U with U = k u: a multiple of the expanded uncertainty. Negative multiples relax the limits.
    Expanded {
        /// r: 1 is ILAC-G8, 0.83 is ISO 14253-1 at 5 %, 0 is none, −1 is called uncritical.
        multiple: f64,
        /// k of the expanded uncertainty.
        coverage_factor: f64,
    },
    /// A width in the unit of the value; negative widths relax the limits.
    Width(f64),
    /// The width at which a value on the acceptance limit has this probability to lie beyond the (nearest) tolerance
    /// limit: w = z u, z being the normal quantile of 1 − risk. Above 0.5 it relaxes the limits.
    Risk(f64),
}

impl Default for GuardBand {
    /// w = U, k = 2.
    fn default() -> Self {
        Self::Expanded { multiple: 1.0, coverage_factor: 2.0 }
    }
}

impl GuardBand {
    /// Width of the guard band, in the unit of the value.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a coverage factor that is not positive or a negative standard
    /// uncertainty, [`Error::OutOfRange`] for a risk that is not between 0 and 1.
    ///
    /// # Example
    /// ```
    /// use calcore::decision::GuardBand;
    /// // 5 % one-sided is 1.645 u, or 0.822 of U at k = 2.
    /// assert!((GuardBand::Risk(0.05).width(0.5)? - 0.8224).abs() < 5e-5);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn width(self, standard_uncertainty: f64) -> Result<f64> {
        let u = not_negative("standard uncertainty", standard_uncertainty, "")?;
        match self {
            Self::Expanded { multiple, coverage_factor } => {
                finite("multiple of the expanded uncertainty", multiple)?;
                let expanded = positive("coverage factor", coverage_factor, "")? * u;
                finite("guard band", multiple * expanded)
            }
            Self::Width(width) => finite("guard band", width),
            // The quantile of the small risk itself: 1 − risk would round it.
            Self::Risk(risk) => Ok(-special::normal_quantile(risk)? * u),
        }
    }
}

/// A decision rule.
///
/// # Source
/// ILAC-G8:09/2019, 4.2; JCGM 106:2012, clause 8; ISO 14253-1:2017, clause 5. Clause numbers from memory.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(tag = "name", content = "guard_band", rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Rule {
    /// Pass within the tolerance, fail outside; the risk is shared.
    #[default]
    Simple,
    /// Pass within the tolerance narrowed by w, fail outside: the binary statement with guard band.
    GuardedAcceptance(GuardBand),
    /// Fail outside the tolerance widened by w; within, no fail: only non-conformity is stated.
    GuardedRejection(GuardBand),
    /// Pass within the tolerance narrowed by w; outside, no pass: only conformity is stated.
    ProofOfConformity(GuardBand),
    /// Pass, conditional pass, conditional fail, fail, with limits at T − w, T and T + w.
    FourState(GuardBand),
}

impl Rule {
    /// Reads the name of a rule; the guard band goes with it where the rule has one.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str, guard_band: GuardBand) -> Result<Self> {
        match name {
            "simple" => Ok(Self::Simple),
            "guarded_acceptance" | "guarded" => Ok(Self::GuardedAcceptance(guard_band)),
            "guarded_rejection" => Ok(Self::GuardedRejection(guard_band)),
            "proof_of_conformity" => Ok(Self::ProofOfConformity(guard_band)),
            "four_state" => Ok(Self::FourState(guard_band)),
            _ => Err(Error::UnknownName {
                what: "decision rule",
                name: name.into(),
                expected: "\"simple\", \"guarded_acceptance\", \"guarded_rejection\", \"proof_of_conformity\" or \
                           \"four_state\""
                    .into(),
            }),
        }
    }

    /// Stable name.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Simple => "simple",
            Self::GuardedAcceptance(_) => "guarded_acceptance",
            Self::GuardedRejection(_) => "guarded_rejection",
            Self::ProofOfConformity(_) => "proof_of_conformity",
            Self::FourState(_) => "four_state",
        }
    }

    /// The guard band that the rule uses, if it uses one.
    #[must_use]
    pub fn guard_band(&self) -> Option<GuardBand> {
        match *self {
            Self::Simple => None,
            Self::GuardedAcceptance(w)
            | Self::GuardedRejection(w)
            | Self::ProofOfConformity(w)
            | Self::FourState(w) => Some(w),
        }
    }

    /// Width of the guard band, checked against what the rule can use.
    fn width(&self, standard_uncertainty: f64) -> Result<f64> {
        let width = self.guard_band().map_or(Ok(0.0), |w| w.width(standard_uncertainty))?;
        // Only the binary statement has a meaning with relaxed limits.
        if width < 0.0 && !matches!(self, Self::GuardedAcceptance(_)) {
            return Err(Error::InvalidValue {
                what: "guard band",
                value: width,
                unit: "",
                requirement: format!("it must not be negative for the rule {}", self.name()),
            });
        }
        Ok(width)
    }
}

/// A verdict with all that it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Decision {
    /// The outcome.
    pub verdict: Verdict,
    /// Probability that the true value lies within the tolerance, for a normal distribution about the measured one.
    pub probability_of_conformity: f64,
    /// Its complement, computed by itself so that small risks keep their digits.
    pub probability_of_nonconformity: f64,
    /// Width of the guard band w, in the unit of the value; 0 for simple acceptance.
    pub guard_band: f64,
    /// Limits within which the rule does not reject: T − w for guarded acceptance, proof of conformity and the
    /// unconditional pass of the four states, T + w for guarded rejection. A lower one above the upper one means that
    /// the guard bands leave nothing.
    pub acceptance_limits: Limits,
    /// The tolerance limits.
    pub tolerance_limits: Limits,
    /// The rule.
    pub rule: Rule,
}

/// Decides whether a measured value conforms to tolerance limits. All intervals are closed: a value on a limit is
/// inside.
///
/// # Arguments
/// Value, standard uncertainty (0 is allowed) and limits in one unit; asymmetric and one-sided limits are fine.
///
/// # Errors
/// Those of [`Limits::check`] and [`GuardBand::width`]; [`Error::InvalidValue`] for a negative guard band with any rule
/// but guarded acceptance.
///
/// # Source
/// As [`Rule`]; probability: JCGM 106:2012, 7.3 and 7.4.
///
/// # Example
/// ```
/// use calcore::decision::{GuardBand, Limits, Rule, Verdict, decide};
/// // Error +0.40 K, U = 0.097 K (k = 2), tolerance ±0.75 K: the acceptance limit is 0.653 K.
/// let rule = Rule::GuardedAcceptance(GuardBand::default());
/// let decision = decide(0.40, 0.0485, Limits::symmetric(0.75), rule)?;
/// assert_eq!(decision.verdict, Verdict::Pass);
/// assert!(decision.probability_of_conformity > 0.999_999);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn decide(value: f64, standard_uncertainty: f64, limits: Limits, rule: Rule) -> Result<Decision> {
    finite("value", value)?;
    not_negative("standard uncertainty", standard_uncertainty, "")?;
    let limits = limits.check()?;
    let width = rule.width(standard_uncertainty)?;
    let within = |w: f64| limits.admit(value, w);
    let verdict = match rule {
        Rule::Simple | Rule::GuardedAcceptance(_) => {
            if within(width) {
                Verdict::Pass
            } else {
                Verdict::Fail
            }
        }
        Rule::GuardedRejection(_) => {
            if within(-width) {
                Verdict::NoFail
            } else {
                Verdict::Fail
            }
        }
        Rule::ProofOfConformity(_) => {
            if within(width) {
                Verdict::Pass
            } else {
                Verdict::NoPass
            }
        }
        Rule::FourState(_) if within(width) => Verdict::Pass,
        Rule::FourState(_) if within(0.0) => Verdict::ConditionalPass,
        Rule::FourState(_) if within(-width) => Verdict::ConditionalFail,
        Rule::FourState(_) => Verdict::Fail,
    };
    let acceptance = if matches!(rule, Rule::GuardedRejection(_)) { -width } else { width };
    let (inside, outside) = conformity(value, standard_uncertainty, limits);
    Ok(Decision {
        verdict,
        probability_of_conformity: inside,
        probability_of_nonconformity: outside,
        guard_band: width,
        acceptance_limits: limits.narrowed(acceptance),
        tolerance_limits: limits,
        rule,
    })
}

/// Probabilities to lie inside and outside checked limits.
fn conformity(value: f64, u: f64, limits: Limits) -> (f64, f64) {
    if u <= 0.0 {
        let inside = limits.admit(value, 0.0);
        return if inside { (1.0, 0.0) } else { (0.0, 1.0) };
    }
    // Distances of the limits in standard uncertainties.
    let below = limits.lower.map_or(f64::NEG_INFINITY, |l| (l - value) / u);
    let above = limits.upper.map_or(f64::INFINITY, |l| (l - value) / u);
    let outside = special::normal_cdf(below) + special::normal_cdf(-above);
    (special::normal_interval(below, above), outside)
}

/// Probability that the true value lies within the limits, for a normal distribution about the measured value.
///
/// # Formula
/// p = Φ((T_U − y)/u) − Φ((T_L − y)/u)
///
/// # Errors
/// Those of [`Limits::check`]; [`Error::InvalidValue`] for a negative standard uncertainty.
///
/// # Source
/// JCGM 106:2012, 7.4.
///
/// # Example
/// ```
/// use calcore::decision::{Limits, rule::probability_of_conformity};
/// // JCGM 106:2012, 7.4, example: 13.6 mm²/s, u 1.8, limits 12.5 and 16.3.
/// assert!((probability_of_conformity(13.6, 1.8, Limits::between(12.5, 16.3))? - 0.66).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn probability_of_conformity(value: f64, standard_uncertainty: f64, limits: Limits) -> Result<f64> {
    finite("value", value)?;
    not_negative("standard uncertainty", standard_uncertainty, "")?;
    Ok(conformity(value, standard_uncertainty, limits.check()?).0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(value: f64, rule: Rule) -> Verdict {
        // T = 1, w = U = 0.2.
        decide(value, 0.1, Limits::symmetric(1.0), rule).unwrap().verdict
    }

    #[test]
    fn a_verdict_is_found_by_its_name() {
        assert!(Verdict::ALL.iter().all(|verdict| Verdict::from_name(verdict.name()) == Ok(*verdict)));
        assert_eq!(Verdict::from_name("perhaps").map_err(|error| error.code()), Err(104));
    }

    #[test]
    fn every_rule_at_every_edge() {
        use Verdict::{ConditionalFail, ConditionalPass, Fail, NoFail, NoPass, Pass};
        let w = GuardBand::default();
        let relaxed = GuardBand::Expanded { multiple: -1.0, coverage_factor: 2.0 };
        // Just outside, by more than rounding.
        let out = 1e-9;
        for sign in [1.0, -1.0] {
            let rows = [
                (Rule::Simple, 1.0, Pass, Fail),
                (Rule::GuardedAcceptance(w), 0.8, Pass, Fail),
                (Rule::GuardedAcceptance(relaxed), 1.2, Pass, Fail),
                (Rule::GuardedRejection(w), 1.2, NoFail, Fail),
                (Rule::ProofOfConformity(w), 0.8, Pass, NoPass),
                (Rule::FourState(w), 0.8, Pass, ConditionalPass),
                (Rule::FourState(w), 1.0, ConditionalPass, ConditionalFail),
                (Rule::FourState(w), 1.2, ConditionalFail, Fail),
            ];
            for (rule, edge, on, beyond) in rows {
                assert_eq!(verdict(sign * edge, rule), on, "{rule:?} at {edge}");
                assert_eq!(verdict(sign * (edge + out), rule), beyond, "{rule:?} beyond {edge}");
            }
        }
    }

    #[test]
    fn decimal_edges_count_as_decimal() {
        // 0.7 - 0.4 in doubles is below 0.3.
        let rule = Rule::GuardedAcceptance(GuardBand::Width(0.4));
        assert_eq!(decide(0.3, 0.1, Limits::symmetric(0.7), rule).unwrap().verdict, Verdict::Pass);
    }

    #[test]
    fn guard_bands_wider_than_the_tolerance_leave_nothing() {
        let rule = Rule::GuardedAcceptance(GuardBand::default());
        let decision = decide(0.0, 0.6, Limits::symmetric(1.0), rule).unwrap();
        assert_eq!(decision.verdict, Verdict::Fail);
        assert!(decision.acceptance_limits.lower > decision.acceptance_limits.upper);
    }

    #[test]
    fn probabilities_of_the_guide() {
        // JCGM 106:2012: Zener 0.92 (0.9192433407662289 = Φ(1.4)), oil 0.66 (0.6626297864953079, quadrature).
        let zener = Limits { lower: None, upper: Some(-5.40) };
        assert!((probability_of_conformity(-5.47, 0.05, zener).unwrap() - 0.919_243_340_766_228_9).abs() < 1e-13);
        let oil = probability_of_conformity(13.6, 1.8, Limits::between(12.5, 16.3)).unwrap();
        assert!((oil - 0.662_629_786_495_307_9).abs() < 1e-14);
    }

    #[test]
    fn small_risks_keep_their_digits() {
        // 1 − Φ(6) = 9.865876450376981e-10 (ILAC-G8, six sigma; value from mpmath).
        let limits = Limits { lower: None, upper: Some(6.0) };
        let decision = decide(0.0, 1.0, limits, Rule::Simple).unwrap();
        assert!((decision.probability_of_nonconformity / 9.865_876_450_376_98e-10 - 1.0).abs() < 1e-13);
        let certain = decide(1.0, 0.0, Limits::symmetric(1.0), Rule::Simple).unwrap();
        assert_eq!((certain.probability_of_conformity, certain.verdict), (1.0, Verdict::Pass));
    }

    #[test]
    fn impossible_questions_are_refused() {
        let code = |r: Result<Decision>| r.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(decide(0.0, 0.1, Limits::default(), Rule::Simple)), Err(201));
        assert_eq!(code(decide(0.0, -0.1, Limits::symmetric(1.0), Rule::default())), Err(103));
        assert_eq!(code(decide(f64::NAN, 0.1, Limits::symmetric(1.0), Rule::Simple)), Err(101));
        assert_eq!(code(decide(0.0, 0.1, Limits::between(1.0, -1.0), Rule::Simple)), Err(103));
        let negative = Rule::FourState(GuardBand::Width(-0.1));
        assert_eq!(code(decide(0.0, 0.1, Limits::symmetric(1.0), negative)), Err(103));
        assert_eq!(Rule::from_name("strict", GuardBand::default()).map_err(|e| e.code()), Err(104));
    }
}
