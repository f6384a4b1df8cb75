//! Risks of one item and of a population.

use super::verdict::limits;
use crate::array::Output;
use crate::guard::{fill, guard};
use crate::message::{Failure, calcore_error};
use crate::record::Record;
use crate::status::*;
use crate::uncertainty::{calcore_input, one};
use calcore::decision::{InTolerance, Process, after_measurement, conformity, risk};

/// In-tolerance probability: fraction of items whose true value lies within the tolerance.
pub const CALCORE_IN_TOLERANCE_TRUE: i32 = 0;
/// In-tolerance probability: fraction of items that were measured to lie within the tolerance.
pub const CALCORE_IN_TOLERANCE_OBSERVED: i32 = 1;

/// What can happen to an item of a population that is measured and judged. The first four are joint probabilities, of all
/// items, and add up to 1.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_risk_result {
    /// sizeof(calcore_risk_result), set by the caller.
    pub size: usize,
    /// Conforms and is accepted.
    pub true_accept: f64,
    /// Does not conform and is accepted: the global consumer's risk, joint convention.
    pub false_accept: f64,
    /// Conforms and is rejected: the global producer's risk, joint convention.
    pub false_reject: f64,
    /// Does not conform and is rejected.
    pub true_reject: f64,
    /// Probability that an accepted item does not conform: conditional convention. NaN where nothing is accepted.
    pub false_accept_given_accepted: f64,
    /// Probability that a rejected item conforms: conditional convention. NaN where nothing is rejected.
    pub false_reject_given_rejected: f64,
    /// Fraction of items accepted; without a guard band the observed in-tolerance probability.
    pub accepted: f64,
    /// Fraction of items that conform: the true in-tolerance probability.
    pub in_tolerance: f64,
    /// Lower limit within which a measured value is accepted; -INFINITY where there is none.
    pub acceptance_lower: f64,
    /// Upper limit within which a measured value is accepted; INFINITY where there is none.
    pub acceptance_upper: f64,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_risk_result {
    const WHAT: &'static str = "calcore_risk_result";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// The process behind a pointer of the caller.
///
/// # Safety
/// `process` is null or points to a struct.
pub(super) unsafe fn process_of(process: *const calcore_input) -> Result<Process, Failure> {
    // SAFETY: as promised.
    Ok(Process::new(unsafe { one(process) }?)?)
}

/// Global risks: of measuring items of a process with a normal measurement error and accepting what lies within the
/// tolerance limits moved inward by the guard band (outward where it is negative). JCGM 106:2012, 9.5.
///
/// Limits as for calcore_decide. `process`: distribution of the true values, of any kind that calcore_input knows.
/// `standard_uncertainty`: of the measurement, 0 is allowed. `result`: set its `size` first.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for limits in the wrong order, a negative standard uncertainty or a
/// process without width; CALCORE_E_TOO_FEW_POINTS for no limit at all; CALCORE_E_NO_CONVERGENCE for a process whose density
/// cannot be integrated, such as Student's t with less than one degree of freedom.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_risk(
    lower: f64,
    upper: f64,
    process: *const calcore_input,
    standard_uncertainty: f64,
    guard_band: f64,
    result: *mut calcore_risk_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, result, || {
            let r = risk(limits(lower, upper), &process_of(process)?, standard_uncertainty, guard_band)?;
            Ok(calcore_risk_result {
                size: 0,
                true_accept: r.true_accept,
                false_accept: r.false_accept,
                false_reject: r.false_reject,
                true_reject: r.true_reject,
                false_accept_given_accepted: r.false_accept_given_accepted(),
                false_reject_given_rejected: r.false_reject_given_rejected(),
                accepted: r.accepted(),
                in_tolerance: r.in_tolerance(),
                acceptance_lower: r.acceptance_limits.lower.unwrap_or(f64::NEG_INFINITY),
                acceptance_upper: r.acceptance_limits.upper.unwrap_or(f64::INFINITY),
            })
        })
    }
}

/// Normal process about the middle of the tolerance, of which a fraction is in tolerance.
///
/// `convention`: CALCORE_IN_TOLERANCE_TRUE, or CALCORE_IN_TOLERANCE_OBSERVED for a fraction that was measured with
/// `standard_uncertainty`, whose scatter then is taken off; it is not looked at otherwise.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a probability that is not between 0 and 1; CALCORE_E_UNDETERMINED
/// for limits to one side only; CALCORE_E_INVALID_VALUE where the measurements alone scatter more; CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_process_in_tolerance(
    lower: f64,
    upper: f64,
    probability: f64,
    convention: i32,
    standard_uncertainty: f64,
    mean: *mut f64,
    standard_deviation: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean", mean)?;
            let deviation = Output::new("standard_deviation", standard_deviation)?;
            let of = match convention {
                CALCORE_IN_TOLERANCE_TRUE => InTolerance::True,
                CALCORE_IN_TOLERANCE_OBSERVED => InTolerance::Observed { standard_uncertainty },
                other => {
                    let expected = "CALCORE_IN_TOLERANCE_TRUE or CALCORE_IN_TOLERANCE_OBSERVED";
                    return Err(Failure::option("convention", other, expected));
                }
            };
            let process = Process::in_tolerance(limits(lower, upper), probability, of)?;
            mean.set(process.mean());
            deviation.set(process.standard_deviation());
            Ok(())
        })
    }
}

/// Mean and standard deviation of the true value of one item after it was measured, given a normal process.
/// JCGM 106:2012, 6.2. The specific risk with a prior is what calcore_probability_of_conformity says of them.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative standard uncertainty or a process that is not normal.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_after_measurement(
    process: *const calcore_input,
    value: f64,
    standard_uncertainty: f64,
    mean: *mut f64,
    standard_deviation: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean", mean)?;
            let deviation = Output::new("standard_deviation", standard_deviation)?;
            let (m, u) = after_measurement(&process_of(process)?, value, standard_uncertainty)?;
            mean.set(m);
            deviation.set(u);
            Ok(())
        })
    }
}

/// Probability of conformity of one item for any state of knowledge about it, and its complement. A normal state with finite
/// degrees of freedom counts as Student's t. JCGM 106:2012, 7.2 and 7.3.
///
/// Limits as for calcore_decide. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_conformity(
    state: *const calcore_input,
    lower: f64,
    upper: f64,
    inside: *mut f64,
    outside: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let inside = Output::new("inside", inside)?;
            let outside = Output::new("outside", outside)?;
            let found = conformity(&one(state)?, limits(lower, upper))?;
            inside.set(found.inside);
            outside.set(found.outside);
            Ok(())
        })
    }
}
