//! Section "linearization": what a choice costs: another curve, a straight line, wiring, resolution.

use super::measured::basis_of;
use crate::array::{copy, input};
use crate::guard::{fill, guard};
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::record::{read, records};
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::linearization::Choice;
use std::ptr;

/// How an element is read. Zero it, set `size`: then with its own curve and no error; choose what differs.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_choice {
    /// sizeof(calcore_choice), set by the caller.
    pub size: usize,
    /// Curve that the instrument has; null for the element's own. It stays the caller's.
    pub read_with: *const calcore_curve,
    /// 1 when the instrument takes the signal for linear in temperature, in place of a curve; else 0.
    pub linear: i32,
    /// The straight line: CALCORE_LINEARITY_INDEPENDENT, CALCORE_LINEARITY_TERMINAL or CALCORE_LINEARITY_ZERO.
    pub basis: i32,
    /// Lower end of the range of the straight line, °C.
    pub linear_low_c: f64,
    /// Upper end of it, °C.
    pub linear_high_c: f64,
    /// What the wiring adds to the signal, in its unit: both leads of a two-wire connection, ohm.
    pub added_signal: f64,
    /// Step of the converter, in the unit of the signal; 0 for none.
    pub resolution: f64,
}

/// The largest error of a choice over a range, proven.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_largest_error {
    /// sizeof(calcore_largest_error), set by the caller.
    pub size: usize,
    /// No absolute error in the range is larger, K.
    pub largest_k: f64,
    /// An absolute error that is reached, K: at most 0.1 % (or 1e-9 K) below the bound.
    pub reached_k: f64,
    /// Where it is reached, °C.
    pub at_c: f64,
    /// No error is more positive, K.
    pub most_positive_k: f64,
    /// Where the most positive error is reached, °C.
    pub most_positive_at_c: f64,
    /// No error is more negative, K.
    pub most_negative_k: f64,
    /// Where the most negative error is reached, °C.
    pub most_negative_at_c: f64,
}

records!(calcore_choice, calcore_largest_error);

const NO_CHOICE: calcore_choice = calcore_choice {
    size: 0,
    read_with: ptr::null(),
    linear: 0,
    basis: 0,
    linear_low_c: f64::NAN,
    linear_high_c: f64::NAN,
    added_signal: 0.0,
    resolution: 0.0,
};

/// # Safety
/// As [`held`] and [`read`].
unsafe fn choice_of<'a>(element: *const calcore_curve, choice: *const calcore_choice) -> Result<Choice<'a>, Failure> {
    // SAFETY: as promised.
    let (element, c) = unsafe { (held(element)?.sensor(), read(choice, NO_CHOICE)?) };
    let plain = match (c.linear, c.read_with.is_null()) {
        (0, true) => Choice::read_with(element, element),
        // SAFETY: as promised.
        (0, false) => Choice::read_with(element, unsafe { held(c.read_with) }?.sensor()),
        (1, true) => Choice::linear(element, c.linear_low_c, c.linear_high_c, basis_of(c.basis)?)?,
        (1, false) => {
            return Err(Failure::border(CALCORE_E_OPTION, "read_with must be null for a straight line".into()));
        }
        (other, _) => return Err(Failure::option("linear", other, "0 or 1")),
    };
    Ok(plain.with_added_signal(c.added_signal)?.with_resolution(c.resolution)?)
}

/// Errors, K, of the temperatures that an instrument shows, at `n` temperatures (°C) of the element; with a resolution the larger
/// one of the two at half a step.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_INVALID_VALUE for a negative resolution or a reversed range of
/// the straight line; CALCORE_E_UNKNOWN_NAME for the unadjusted basis; CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_choice_errors(
    element: *const calcore_curve,
    choice: *const calcore_choice,
    t_c: *const f64,
    n: usize,
    error_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (choice, t_c) = (choice_of(element, choice)?, input("t_c", t_c, n)?);
            let mut errors = vec![0.0; t_c.len()];
            choice.error_slice(t_c, &mut errors)?;
            copy("error_k", &errors, error_k, n)
        })
    }
}

/// The largest error of a choice from `low_c` to `high_c`, proven by enclosing the curvature of the error and not sampled. Set
/// `found->size` first.
///
/// Status: as calcore_choice_errors; CALCORE_E_UNDETERMINED where the slope of a curve vanishes in the range.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_choice_largest_error(
    element: *const calcore_curve,
    choice: *const calcore_choice,
    low_c: f64,
    high_c: f64,
    found: *mut calcore_largest_error,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let found = choice_of(element, choice)?.largest(low_c, high_c)?;
            Ok(calcore_largest_error {
                size: 0,
                largest_k: found.largest_k,
                reached_k: found.reached_k,
                at_c: found.at_c,
                most_positive_k: found.most_positive_k,
                most_positive_at_c: found.most_positive_at_c,
                most_negative_k: found.most_negative_k,
                most_negative_at_c: found.most_negative_at_c,
            })
        })
    }
}
