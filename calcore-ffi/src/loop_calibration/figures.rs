//! Section "loop calibration": what a result says beyond its points: figures of an instrument, what to do, what the pattern of the
//! errors points to, the loop without the error of one link.

use super::attribution::split_of;
use super::result::{calcore_result, element};
use super::text_handle::calcore_text;
use crate::array::{copy_if_wanted, output_of};
use crate::decision::verdict_number;
use crate::guard::{fill, give, guard, make};
use crate::handle::held;
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::{Target, records};
use crate::settling::settled::{calcore_settled_state, settled_of};
use crate::status::*;
use calcore::loop_calibration::{Action, RunResult, to_json};
use std::ffi::c_char;

/// Figures of one instrument over all its points. What its points do not tell is NaN.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_figures {
    /// sizeof(calcore_figures), set by the caller.
    pub size: usize,
    /// Largest difference of the mean errors going up and going down at one set point, K.
    pub hysteresis_k: f64,
    /// The same in percent of the span.
    pub hysteresis_percent_of_span: f64,
    /// The set point at which it is largest, °C.
    pub hysteresis_at_c: f64,
    /// Standard deviation of errors at one set point reached from the same side, pooled over set points, K.
    pub repeatability_k: f64,
    /// Its degrees of freedom.
    pub repeatability_degrees_of_freedom: usize,
    /// Standard deviation of single readings within a visit, pooled over visits, K.
    pub scatter_k: f64,
    /// Its degrees of freedom.
    pub scatter_degrees_of_freedom: f64,
    /// Most positive error, K.
    pub largest_error_k: f64,
    /// Most negative error, K.
    pub smallest_error_k: f64,
    /// Largest departure of the mean errors from the line through both end points, K.
    pub terminal_based_linearity_k: f64,
    /// The same from the line through the lower end point that makes it smallest, K.
    pub zero_based_linearity_k: f64,
    /// The same from the line that makes it smallest, K.
    pub independent_linearity_k: f64,
    /// Set points with a mean error: see calcore_result_mean_errors.
    pub mean_errors: usize,
}

/// The error of a loop at one set point without the error of one link.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_corrected_point {
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// What the loop would indicate, °C.
    pub indicated_c: f64,
    /// Error that would remain, K.
    pub error_k: f64,
    /// Its standard uncertainty, K.
    pub standard_uncertainty_k: f64,
    /// Its expanded uncertainty, K.
    pub expanded_uncertainty_k: f64,
    /// Probability that it lies within the tolerance.
    pub probability_of_conformity: f64,
    /// CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
}

/// Three ways to put the shares of a loop together.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_combinations {
    /// sizeof(calcore_combinations), set by the caller.
    pub size: usize,
    /// Sum with signs, K: the error of the loop.
    pub algebraic_k: f64,
    /// Sum of the amounts, K.
    pub worst_case_k: f64,
    /// Root of the sum of squares, K.
    pub root_sum_of_squares_k: f64,
}

/// Two references compared at a set point.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_reference_comparison {
    /// sizeof(calcore_reference_comparison), set by the caller.
    pub size: usize,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// Further reference minus first one, K.
    pub difference_k: f64,
    /// Expanded uncertainty of the difference, K.
    pub expanded_uncertainty_k: f64,
    /// Difference over its expanded uncertainty.
    pub e_n: f64,
    /// 1 if they agree within it, else 0.
    pub agree: i32,
    /// Zero.
    pub reserved: i32,
}

records!(calcore_figures, calcore_combinations, calcore_reference_comparison);

/// What to do with an instrument: leave it.
pub const CALCORE_ACTION_LEAVE: i32 = 0;
/// What to do with an instrument: it passes, adjust it before it drifts out.
pub const CALCORE_ACTION_ADJUST_FOR_PREVENTION: i32 = 1;
/// What to do with an instrument: adjust it, and look at what it served since it was last good.
pub const CALCORE_ACTION_ADJUST_AND_ASSESS: i32 = 2;
/// What to do with an instrument: something that this header does not know.
pub const CALCORE_ACTION_OTHER: i32 = 4;
/// What to do with an instrument: not passed for the uncertainty, not for the error: measure better.
pub const CALCORE_ACTION_REDUCE_UNCERTAINTY: i32 = 3;

/// The tag, if an instrument of the result has it.
pub(super) fn known<'a>(result: &RunResult, tag: &'a str) -> Result<&'a str, Failure> {
    if result.instrument(tag).is_some() {
        return Ok(tag);
    }
    let known: Vec<&str> = result.instruments.iter().map(|one| &*one.tag).collect();
    let (what, name) = ("tag of an instrument", tag.into());
    Err(calcore::Error::UnknownName { what, name, expected: known.join(", ") }.into())
}

/// # Safety
/// As [`held`] and [`read_name`].
unsafe fn figures_of(
    result: *const calcore_result,
    tag: *const c_char,
) -> Result<calcore::loop_calibration::Figures, Failure> {
    // SAFETY: as promised.
    let (result, tag) = unsafe { (held(result)?, read_name("tag", tag)?) };
    Ok(result.figures(tag)?)
}

/// Hysteresis, repeatability, scatter and linearity of the instrument with a tag. Set `figures->size` first.
///
/// Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_figures(
    result: *const calcore_result,
    tag: *const c_char,
    figures: *mut calcore_figures,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, figures, || {
            let f = figures_of(result, tag)?;
            let or_nan = |number: Option<f64>| number.unwrap_or(f64::NAN);
            Ok(calcore_figures {
                size: 0,
                hysteresis_k: or_nan(f.hysteresis_k),
                hysteresis_percent_of_span: or_nan(f.hysteresis_percent_of_span),
                hysteresis_at_c: or_nan(f.hysteresis_at_c),
                repeatability_k: or_nan(f.repeatability_k),
                repeatability_degrees_of_freedom: f.repeatability_degrees_of_freedom,
                scatter_k: or_nan(f.scatter_k),
                scatter_degrees_of_freedom: f.scatter_degrees_of_freedom,
                largest_error_k: f.largest_error_k,
                smallest_error_k: f.smallest_error_k,
                terminal_based_linearity_k: or_nan(f.linearity.map(|l| l.terminal_based_k)),
                zero_based_linearity_k: or_nan(f.linearity.map(|l| l.zero_based_k)),
                independent_linearity_k: or_nan(f.linearity.map(|l| l.independent_k)),
                mean_errors: f.mean_errors.len(),
            })
        })
    }
}

/// Mean error (K) of the instrument with a tag at every set point (°C) over all visits, ascending. `n`: room in each array that
/// is not null, which must be `mean_errors` of calcore_figures.
///
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_mean_errors(
    result: *const calcore_result,
    tag: *const c_char,
    nominal_c: *mut f64,
    error_k: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (at, errors): (Vec<f64>, Vec<f64>) = figures_of(result, tag)?.mean_errors.into_iter().unzip();
            // Checked before anything is written.
            output_of("error_k", error_k, if error_k.is_null() { 0 } else { n })?;
            copy_if_wanted("nominal_c", &at, nominal_c, n)?;
            copy_if_wanted("error_k", &errors, error_k, n)
        })
    }
}

/// What to do with every instrument, in the order of the result: one of the CALCORE_ACTION_ numbers, and the largest part of its
/// tolerance that it uses. `adjust_from`: part of the tolerance from which on an instrument that passes is adjusted, such as
/// 0.7. `n`: room in each array that is not null, which must be `instruments` of calcore_result_count.
///
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a part that is not above 0,
/// CALCORE_E_OUT_OF_RANGE for one above 1.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_actions(
    result: *const calcore_result,
    adjust_from: f64,
    actions: *mut i32,
    used: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let found = held(result)?.actions(adjust_from)?;
            if n != found.len() {
                return Err(calcore::Error::LengthMismatch { what: "actions", expected: found.len(), found: n }.into());
            }
            let actions = output_of("actions", actions, if actions.is_null() { 0 } else { n })?;
            let parts: Vec<f64> = found.iter().map(|one| one.used).collect();
            copy_if_wanted("used", &parts, used, n)?;
            for (place, one) in actions.iter_mut().zip(&found) {
                place.write(match one.action {
                    Action::Leave => CALCORE_ACTION_LEAVE,
                    Action::AdjustForPrevention => CALCORE_ACTION_ADJUST_FOR_PREVENTION,
                    Action::AdjustAndAssess => CALCORE_ACTION_ADJUST_AND_ASSESS,
                    Action::ReduceUncertainty => CALCORE_ACTION_REDUCE_UNCERTAINTY,
                    _ => CALCORE_ACTION_OTHER,
                });
            }
            Ok(())
        })
    }
}

/// What the pattern of the errors of the loop that ends at a tag points to, as JSON: a list of hypotheses, each with its link,
/// pattern, possible causes and the part of the variation that it explains. They are hints, not verdicts.
///
/// `*text` receives a handle that the caller releases by calcore_text_free. Status: CALCORE_E_UNKNOWN_NAME.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_hypotheses(
    result: *const calcore_result,
    tag: *const c_char,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("text", text), || {
            let (result, tag) = (held(result)?, read_name("tag", tag)?);
            Ok(to_json(&result.hypotheses(tag)?)?)
        })
    }
}

/// What the loop that ends at `tag` would indicate without the error of `link`, at every set point at which both were read.
///
/// `*count` receives how many points there are; `points`: room for `n`, or null with 0 to ask for the count alone.
/// Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_after_correcting(
    result: *const calcore_result,
    tag: *const c_char,
    link: *const c_char,
    points: *mut calcore_corrected_point,
    n: usize,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let count = crate::array::Output::new("count", count)?;
            let (tag, link) = (read_name("tag", tag)?, read_name("link", link)?);
            let found = held(result)?.after_correcting(tag, link)?;
            let only_count = points.is_null() && n == 0;
            if !only_count && n != found.len() {
                return Err(calcore::Error::LengthMismatch { what: "points", expected: found.len(), found: n }.into());
            }
            for (place, p) in output_of("points", points, n)?.iter_mut().zip(&found) {
                place.write(calcore_corrected_point {
                    set_point: p.set_point,
                    indicated_c: p.indicated_c,
                    error_k: p.error_k,
                    standard_uncertainty_k: p.standard_uncertainty_k,
                    expanded_uncertainty_k: p.expanded_uncertainty_k,
                    probability_of_conformity: p.probability_of_conformity,
                    verdict: verdict_number(p.verdict),
                    reserved: 0,
                });
            }
            count.set(found.len());
            Ok(())
        })
    }
}

/// The shares at set point j of attribution i put together in three ways. Set `combinations->size` first.
///
/// Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_combinations(
    result: *const calcore_result,
    i: usize,
    j: usize,
    combinations: *mut calcore_combinations,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, combinations, || {
            let c = split_of(held(result)?, i, j)?.combinations();
            Ok(calcore_combinations {
                size: 0,
                algebraic_k: c.algebraic_k,
                worst_case_k: c.worst_case_k,
                root_sum_of_squares_k: c.root_sum_of_squares_k,
            })
        })
    }
}

/// The compensated sum of the shares of the loop that ends at a tag, at a set point of the run counted from 0, K: the error of
/// the loop to the last bit.
///
/// Status: CALCORE_E_UNKNOWN_NAME; CALCORE_E_INDEX where the loop was not read at that set point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_sum_of_shares(
    result: *const calcore_result,
    tag: *const c_char,
    set_point: usize,
    sum_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("sum_k", sum_k), || {
            let (result, tag) = (held(result)?, read_name("tag", tag)?);
            let sum = result.sum_of_shares(known(result, tag)?, set_point);
            sum.ok_or_else(|| Failure::index("attribution at set point", set_point, result.set_points.len()))
        })
    }
}

/// How many comparisons of references a result holds.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_reference_comparisons(
    result: *const calcore_result,
    count: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(held(result)?.reference_comparisons.len())) }
}

/// Comparison i of a further reference with the first one. Set `comparison->size` first. `buffer`: receives the tag of the
/// further reference, as calcore_run_to_json does; null and 0 where it is not wanted.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_reference_comparison(
    result: *const calcore_result,
    i: usize,
    comparison: *mut calcore_reference_comparison,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(comparison)?;
            let c = element("comparison", &held(result)?.reference_comparisons, i)?;
            write_text(|| Ok(&*c.tag), buffer, capacity, needed)?;
            target.fill(calcore_reference_comparison {
                size: 0,
                set_point: c.set_point,
                difference_k: c.difference_k,
                expanded_uncertainty_k: c.expanded_uncertainty_k,
                e_n: c.e_n,
                agree: i32::from(c.agree),
                reserved: 0,
            });
            Ok(())
        })
    }
}

/// How the reference had settled at set point i by slope and scatter, values in kelvin. Set `state->size` first.
///
/// Status: CALCORE_E_INDEX, also where the run does not ask for it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_settled(
    result: *const calcore_result,
    i: usize,
    state: *mut calcore_settled_state,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, state, || {
            let judged = element("set point", &held(result)?.set_points, i)?.settled.as_ref();
            judged.map(settled_of).ok_or_else(|| Failure::index("judgement of the set point", 0, 0))
        })
    }
}
