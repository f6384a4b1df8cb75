//! Evaluations of Type A and Type B.

use super::input::{calcore_input, input_of};
use crate::array::{Output, input};
use crate::guard::{give, guard};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target};
use crate::status::*;
use calcore::uncertainty::evaluation as core;

/// The mean of repeated readings and how well it is known. JCGM 100:2008, 4.2.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_type_a {
    /// sizeof(calcore_type_a), set by the caller.
    pub size: usize,
    /// Mean of the readings.
    pub mean: f64,
    /// Experimental standard deviation of one reading.
    pub standard_deviation: f64,
    /// Standard uncertainty of the mean.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of the standard uncertainty.
    pub degrees_of_freedom: f64,
    /// Number of independent readings that the readings are worth for their mean.
    pub effective_readings: f64,
    /// 1 where the resolution took the place of a smaller scatter.
    pub limited_by_resolution: i32,
    /// Zero.
    pub reserved: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_type_a {
    const WHAT: &'static str = "calcore_type_a";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// # Safety
/// `readings` points to `n` numbers; `result` is null or the caller's.
unsafe fn type_a(
    readings: *const f64,
    n: usize,
    resolution: f64,
    result: *mut calcore_type_a,
    err: *mut calcore_error,
    compute: impl FnOnce(&[f64]) -> calcore::Result<core::TypeA>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Target::new(result)?;
            let found = compute(input("readings", readings, n)?)?.with_resolution(resolution)?;
            target.fill(calcore_type_a {
                size: 0,
                mean: found.mean,
                standard_deviation: found.standard_deviation,
                standard_uncertainty: found.standard_uncertainty,
                degrees_of_freedom: found.degrees_of_freedom,
                effective_readings: found.effective_readings,
                limited_by_resolution: i32::from(found.limited_by_resolution),
                reserved: 0,
            });
            Ok(())
        })
    }
}

/// Mean of `n` independent readings, at least two: u = s/sqrt(n). JCGM 100:2008, 4.2.
///
/// `resolution`: step of the display, in the unit of the readings; u is not taken for less than step/sqrt(12); 0 for none.
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_mean_of(
    readings: *const f64,
    n: usize,
    resolution: f64,
    result: *mut calcore_type_a,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { type_a(readings, n, resolution, result, err, core::mean_of) }
}

/// Mean of `n` readings at equal intervals, at least eight, that resemble the ones before: by the number of independent
/// readings that they are worth. Take a trend off first.
///
/// Other arguments and status: as calcore_mean_of; CALCORE_E_TOO_FEW_POINTS also where they are worth fewer than four.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_mean_of_autocorrelated(
    readings: *const f64,
    n: usize,
    resolution: f64,
    result: *mut calcore_type_a,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { type_a(readings, n, resolution, result, err, core::autocorrelated) }
}

/// Mean of `n` readings, at least one, whose standard deviation is known from many others. JCGM 100:2008, 4.2.4.
///
/// Other arguments and status: as calcore_mean_of.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_mean_with_known_scatter(
    readings: *const f64,
    n: usize,
    standard_deviation: f64,
    degrees_of_freedom: f64,
    resolution: f64,
    result: *mut calcore_type_a,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        type_a(readings, n, resolution, result, err, |readings| {
            core::mean_with_known_scatter(readings, core::Pooled::new(standard_deviation, degrees_of_freedom)?)
        })
    }
}

/// Standard deviation pooled from `n` others with their degrees of freedom. JCGM 100:2008, 4.2.4.
///
/// Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_pooled(
    standard_deviations: *const f64,
    degrees_of_freedom: *const f64,
    n: usize,
    pooled: *mut f64,
    pooled_degrees_of_freedom: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let s = Output::new("pooled", pooled)?;
            let nu = Output::new("pooled_degrees_of_freedom", pooled_degrees_of_freedom)?;
            let deviations = input("standard_deviations", standard_deviations, n)?;
            let freedoms = input("degrees_of_freedom", degrees_of_freedom, n)?;
            let known = deviations.iter().zip(freedoms).map(|(s, nu)| core::Pooled::new(*s, *nu));
            let found = core::pooled_of(&known.collect::<calcore::Result<Vec<_>>>()?)?;
            s.set(found.standard_deviation);
            nu.set(found.degrees_of_freedom);
            Ok(())
        })
    }
}

/// # Safety
/// `target` is null or the caller's.
unsafe fn give_input(
    target: *mut calcore_input,
    err: *mut calcore_error,
    compute: impl FnOnce() -> calcore::Result<calcore::uncertainty::Distribution>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe { give(err, ("made", target), || Ok::<_, Failure>(input_of(&compute()?))) }
}

/// An estimate whose certificate states U and k: u = U/k. JCGM 100:2008, 4.3.3.
///
/// `degrees_of_freedom`: as the certificate states them, INFINITY where it states none. `made`: a normal input. Status:
/// CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_expanded(
    estimate: f64,
    expanded_uncertainty: f64,
    coverage_factor: f64,
    degrees_of_freedom: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_input(made, err, || {
            core::from_expanded(estimate, expanded_uncertainty, coverage_factor, degrees_of_freedom)
        })
    }
}

/// An estimate whose certificate states U with its coverage probability: u = U/t. JCGM 100:2008, 4.3.4 and 4.3.5.
///
/// Other arguments and status: as calcore_input_from_expanded; CALCORE_E_OUT_OF_RANGE for the probability.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_level(
    estimate: f64,
    expanded_uncertainty: f64,
    probability: f64,
    degrees_of_freedom: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_input(made, err, || core::from_level(estimate, expanded_uncertainty, probability, degrees_of_freedom))
    }
}

/// A reading of a display with a given step: a rectangle of half a step to both sides. JCGM 100:2008, F.2.2.1.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative step.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_resolution(
    reading: f64,
    step: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_input(made, err, || core::resolution(reading, step)) }
}

/// What a standard may have drifted since its last calibration, judged from the last two: a rectangle about zero whose
/// half-width is their difference times `elapsed_over_interval` (time since the newer one over the time between them).
/// Common practice, no source.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_drift(
    older: f64,
    newer: f64,
    elapsed_over_interval: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_input(made, err, || core::drift(older, newer, elapsed_over_interval)) }
}

/// An estimate that is known to lie within a half-width, with nothing to prefer one place to another: a rectangle.
/// JCGM 100:2008, 4.3.7.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative half-width.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_half_width(
    estimate: f64,
    half_width: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_input(made, err, || core::from_half_width(estimate, half_width)) }
}

/// How far off the difference of two readings may be because both displays round: a trapezoid about zero, the sum of two
/// rectangles of half a step each. JCGM 101:2008, 6.4.4.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative step.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_from_resolution_of_difference(
    first_step: f64,
    second_step: f64,
    made: *mut calcore_input,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_input(made, err, || core::resolution_of_difference(first_step, second_step)) }
}

/// Degrees of freedom of a standard uncertainty that is itself doubted by a fraction of it: 0.5 (du/u)^-2; INFINITY for no
/// doubt. JCGM 100:2008, G.4.2.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative doubt.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_degrees_of_freedom_of_doubt(
    relative_doubt: f64,
    degrees_of_freedom: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("degrees_of_freedom", degrees_of_freedom), || Ok(core::degrees_of_freedom_of_doubt(relative_doubt)?))
    }
}
