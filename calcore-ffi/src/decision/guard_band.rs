//! Guard bands that meet a given risk.

use super::risk::process_of;
use super::verdict::limits;
use crate::guard::give;
use crate::message::{Failure, calcore_error};
use crate::status::*;
use crate::uncertainty::calcore_input;
use calcore::decision::FalseAccept;
use calcore::decision::guard_band::{
    for_global_risk, for_specific_risk, method_6, method_6_multiplier, root_difference,
};

/// False-accept probability of all items that are measured: the joint one.
pub const CALCORE_FALSE_ACCEPT_JOINT: i32 = 0;
/// False-accept probability of the items that are accepted: the conditional one.
pub const CALCORE_FALSE_ACCEPT_GIVEN_ACCEPTED: i32 = 1;

/// Guard band at which a value on the acceptance limit has the given probability to lie outside the tolerance, beyond either
/// limit. Negative for risks above about a half. JCGM 106:2012, 8.3.2.
///
/// Limits as for calcore_decide. `degrees_of_freedom`: of the standard uncertainty, INFINITY for a normal state.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0 and 1; CALCORE_E_INVALID_VALUE for a
/// negative standard uncertainty or degrees of freedom that are not positive; CALCORE_E_TOO_FEW_POINTS for no limit;
/// CALCORE_E_UNDETERMINED where even a value in the middle of the tolerance has a larger risk.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_guard_band_for_specific_risk(
    lower: f64,
    upper: f64,
    standard_uncertainty: f64,
    degrees_of_freedom: f64,
    risk: f64,
    guard_band: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("guard_band", guard_band), || {
            Ok(for_specific_risk(limits(lower, upper), standard_uncertainty, degrees_of_freedom, risk)?)
        })
    }
}

/// Guard band at which the global consumer's risk of a process has a given value, such as the 2 % of ANSI/NCSL Z540.3-2006,
/// 5.3 b.
///
/// Limits, `process` and `standard_uncertainty` (greater than 0) as for calcore_risk. `convention`:
/// CALCORE_FALSE_ACCEPT_JOINT or CALCORE_FALSE_ACCEPT_GIVEN_ACCEPTED. `relax`: 0 gives a guard band of 0 where the risk is
/// met without one, 1 then moves the limits outward until it is reached.
///
/// Status: as calcore_risk; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0 and 1; CALCORE_E_UNDETERMINED where no
/// guard band gives it; CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_guard_band_for_global_risk(
    lower: f64,
    upper: f64,
    process: *const calcore_input,
    standard_uncertainty: f64,
    risk: f64,
    convention: i32,
    relax: i32,
    guard_band: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("guard_band", guard_band), || {
            let convention = match convention {
                CALCORE_FALSE_ACCEPT_JOINT => FalseAccept::Joint,
                CALCORE_FALSE_ACCEPT_GIVEN_ACCEPTED => FalseAccept::GivenAccepted,
                other => {
                    return Err(Failure::option("convention", other, "one of the CALCORE_FALSE_ACCEPT_ numbers"));
                }
            };
            let relax = match relax {
                0 => false,
                1 => true,
                other => return Err(Failure::option("relax", other, "0 or 1")),
            };
            let process = process_of(process)?;
            Ok(for_global_risk(limits(lower, upper), &process, standard_uncertainty, risk, convention, relax)?)
        })
    }
}

/// Multiplier M = 1.04 - exp(0.38 ln TUR - 0.54) of the expanded uncertainty in the guard band of method 6 of the handbook
/// of ANSI/NCSL Z540.3-2006 (from memory); negative from a test uncertainty ratio of about 4.6.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a ratio that is not positive.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_method_6_multiplier(
    test_uncertainty_ratio: f64,
    multiplier: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("multiplier", multiplier), || Ok(method_6_multiplier(test_uncertainty_ratio)?)) }
}

/// Guard band that keeps the joint false-accept risk below 2 % whatever the in-tolerance probability: M U, or 0 where M is
/// negative.
///
/// `lower`, `upper`: both tolerance limits. `expanded_uncertainty`: for 95 % coverage, in their unit.
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNDETERMINED for limits to one side only.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_guard_band_method_6(
    lower: f64,
    upper: f64,
    expanded_uncertainty: f64,
    guard_band: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("guard_band", guard_band), || Ok(method_6(limits(lower, upper), expanded_uncertainty)?)) }
}

/// Guard band T - sqrt(T^2 - U^2), T half the width of the tolerance: acceptance limits at T sqrt(1 - 1/TUR^2). Common
/// practice, no source.
///
/// Status: as calcore_guard_band_method_6; CALCORE_E_OUT_OF_RANGE for an expanded uncertainty above T.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_guard_band_root_difference(
    lower: f64,
    upper: f64,
    expanded_uncertainty: f64,
    guard_band: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("guard_band", guard_band), || Ok(root_difference(limits(lower, upper), expanded_uncertainty)?))
    }
}
