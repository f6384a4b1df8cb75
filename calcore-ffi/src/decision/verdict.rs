//! Verdicts by a rule.

use crate::guard::{fill, give};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, read};
use crate::status::*;
use calcore::decision::rule::probability_of_conformity;
use calcore::decision::{GuardBand, Limits, Rule, Verdict, decide};

/// Verdict: accepted by the rule.
pub const CALCORE_PASS: i32 = 0;
/// Verdict: rejected by the rule.
pub const CALCORE_FAIL: i32 = 1;
/// Verdict: within the tolerance, but less than the guard band away from its limit.
pub const CALCORE_CONDITIONAL_PASS: i32 = 2;
/// Verdict: outside the tolerance, but less than the guard band away from its limit.
pub const CALCORE_CONDITIONAL_FAIL: i32 = 3;
/// Verdict: conformity is not proven; neither is the contrary.
pub const CALCORE_NO_PASS: i32 = 4;
/// Verdict: non-conformity is not proven; neither is the contrary.
pub const CALCORE_NO_FAIL: i32 = 5;

/// Decision rule: pass within the tolerance, fail outside; the risk is shared. Has no guard band.
pub const CALCORE_RULE_SIMPLE: i32 = 0;
/// Decision rule: pass within the tolerance narrowed by the guard band, fail outside.
pub const CALCORE_RULE_GUARDED_ACCEPTANCE: i32 = 1;
/// Decision rule: fail outside the tolerance widened by the guard band; within, no fail.
pub const CALCORE_RULE_GUARDED_REJECTION: i32 = 2;
/// Decision rule: pass within the tolerance narrowed by the guard band; outside, no pass.
pub const CALCORE_RULE_PROOF_OF_CONFORMITY: i32 = 3;
/// Decision rule: pass, conditional pass, conditional fail, fail.
pub const CALCORE_RULE_FOUR_STATE: i32 = 4;

/// Guard band: a multiple of the expanded uncertainty; the multiple and the coverage factor are given.
pub const CALCORE_GUARD_BAND_EXPANDED: i32 = 0;
/// Guard band: a width in the unit of the value.
pub const CALCORE_GUARD_BAND_WIDTH: i32 = 1;
/// Guard band: the width at which a value on the acceptance limit has the given probability to lie beyond the tolerance.
pub const CALCORE_GUARD_BAND_RISK: i32 = 2;

/// A decision rule. ILAC-G8:09/2019, 4.2; JCGM 106:2012, clause 8; ISO 14253-1:2017, clause 5.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_decision_rule {
    /// sizeof(calcore_decision_rule), set by the caller.
    pub size: usize,
    /// One of the CALCORE_RULE_ numbers.
    pub rule: i32,
    /// One of the CALCORE_GUARD_BAND_ numbers; not looked at for simple acceptance.
    pub guard_band_kind: i32,
    /// Multiple of the expanded uncertainty (1 is ILAC-G8), width, or risk, as `guard_band_kind` says. Negative ones relax
    /// the limits, which only guarded acceptance allows.
    pub guard_band: f64,
    /// Coverage factor of the expanded uncertainty, for CALCORE_GUARD_BAND_EXPANDED.
    pub coverage_factor: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_decision_rule {
    const WHAT: &'static str = "calcore_decision_rule";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A verdict with what it rests on.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_decision {
    /// sizeof(calcore_decision), set by the caller.
    pub size: usize,
    /// One of the numbers from CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
    /// Probability that the true value lies within the tolerance.
    pub probability_of_conformity: f64,
    /// Its complement, computed by itself so that small risks keep their digits.
    pub probability_of_nonconformity: f64,
    /// Width of the guard band, in the unit of the value; 0 for simple acceptance.
    pub guard_band: f64,
    /// Lower limit within which the rule does not reject; -INFINITY where there is none.
    pub acceptance_lower: f64,
    /// Upper limit within which the rule does not reject; INFINITY where there is none.
    pub acceptance_upper: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_decision {
    const WHAT: &'static str = "calcore_decision";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A verdict as C sees it.
pub(crate) fn verdict_number(verdict: Verdict) -> i32 {
    match verdict {
        Verdict::Pass => CALCORE_PASS,
        Verdict::Fail => CALCORE_FAIL,
        Verdict::ConditionalPass => CALCORE_CONDITIONAL_PASS,
        Verdict::ConditionalFail => CALCORE_CONDITIONAL_FAIL,
        Verdict::NoPass => CALCORE_NO_PASS,
        Verdict::NoFail => CALCORE_NO_FAIL,
    }
}

/// Infinite limits are no limits; NaN goes on to the core, which refuses it.
pub(crate) fn limits(lower: f64, upper: f64) -> Limits {
    Limits {
        lower: if lower == f64::NEG_INFINITY { None } else { Some(lower) },
        upper: if upper == f64::INFINITY { None } else { Some(upper) },
    }
}

/// # Safety
/// `rule` is null or points to as many bytes as its `size` says.
unsafe fn rule_of(rule: *const calcore_decision_rule) -> Result<Rule, Failure> {
    if rule.is_null() {
        return Ok(Rule::Simple);
    }
    let blank = calcore_decision_rule { size: 0, rule: 0, guard_band_kind: 0, guard_band: 0.0, coverage_factor: 0.0 };
    // SAFETY: as promised.
    let r = unsafe { read(rule, blank) }?;
    if r.rule == CALCORE_RULE_SIMPLE {
        return Ok(Rule::Simple);
    }
    let band = match r.guard_band_kind {
        CALCORE_GUARD_BAND_EXPANDED => {
            GuardBand::Expanded { multiple: r.guard_band, coverage_factor: r.coverage_factor }
        }
        CALCORE_GUARD_BAND_WIDTH => GuardBand::Width(r.guard_band),
        CALCORE_GUARD_BAND_RISK => GuardBand::Risk(r.guard_band),
        other => return Err(Failure::option("guard_band_kind", other, "one of the CALCORE_GUARD_BAND_ numbers")),
    };
    match r.rule {
        CALCORE_RULE_GUARDED_ACCEPTANCE => Ok(Rule::GuardedAcceptance(band)),
        CALCORE_RULE_GUARDED_REJECTION => Ok(Rule::GuardedRejection(band)),
        CALCORE_RULE_PROOF_OF_CONFORMITY => Ok(Rule::ProofOfConformity(band)),
        CALCORE_RULE_FOUR_STATE => Ok(Rule::FourState(band)),
        other => Err(Failure::option("rule", other, "one of the CALCORE_RULE_ numbers")),
    }
}

/// Decides whether a measured value conforms to tolerance limits; a value on a limit is inside.
///
/// Value, standard uncertainty (0 is allowed), limits and widths in one unit. `lower` = -INFINITY and `upper` = INFINITY
/// mean no limit on that side. `rule`: null means simple acceptance. `decision`: set its `size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for limits in the wrong order, a negative standard uncertainty, or
/// a negative guard band with any rule but guarded acceptance; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0
/// and 1; CALCORE_E_TOO_FEW_POINTS for no limit at all.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_decide(
    value: f64,
    standard_uncertainty: f64,
    lower: f64,
    upper: f64,
    rule: *const calcore_decision_rule,
    decision: *mut calcore_decision,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, decision, || {
            let d = decide(value, standard_uncertainty, limits(lower, upper), rule_of(rule)?)?;
            Ok(calcore_decision {
                size: 0,
                verdict: verdict_number(d.verdict),
                reserved: 0,
                probability_of_conformity: d.probability_of_conformity,
                probability_of_nonconformity: d.probability_of_nonconformity,
                guard_band: d.guard_band,
                acceptance_lower: d.acceptance_limits.lower.unwrap_or(f64::NEG_INFINITY),
                acceptance_upper: d.acceptance_limits.upper.unwrap_or(f64::INFINITY),
            })
        })
    }
}

/// Probability that the true value lies within the limits, for a normal distribution about the measured value.
/// JCGM 106:2012, 7.4.
///
/// Limits: as calcore_decide. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_probability_of_conformity(
    value: f64,
    standard_uncertainty: f64,
    lower: f64,
    upper: f64,
    probability: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("probability", probability), || {
            Ok(probability_of_conformity(value, standard_uncertainty, limits(lower, upper))?)
        })
    }
}
