//! Several results of one model.

use super::budget::coverage_of;
use super::input::{calcore_input, named};
use crate::array::{optional, output_of};
use crate::guard::guard;
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::Error;
use calcore::uncertainty::propagate_many;
use std::cell::Cell;
use std::ffi::c_void;
use std::mem::MaybeUninit;

/// A model of the caller with several results: takes `n` values, fills `results` with `m` numbers and returns 0; any other
/// status means that it has no answer there. `user` is what the caller passed along.
///
/// It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call.
pub type calcore_model_of_many = Option<
    unsafe extern "C" fn(
        values: *const f64,
        n: usize,
        results: *mut f64,
        m: usize,
        user: *mut c_void,
    ) -> calcore_status,
>;

/// # Safety
/// `target` is null or points to `values` many numbers.
unsafe fn room<'a>(what: &str, target: *mut f64, n: usize) -> Result<Option<&'a mut [MaybeUninit<f64>]>, Failure> {
    // SAFETY: as promised.
    if target.is_null() { Ok(None) } else { unsafe { output_of(what, target, n) }.map(Some) }
}

fn fill(target: Option<&mut [MaybeUninit<f64>]>, values: impl Iterator<Item = f64>) {
    for (place, value) in target.into_iter().flatten().zip(values) {
        place.write(value);
    }
}

/// Propagates the uncertainties of `n` inputs through a model with `m` results, to first order, with the covariance that
/// the results have from their common inputs. JCGM 102:2011, 6.2.
///
/// Outputs, each of which may be null: `values`, `effective_degrees_of_freedom`, `coverage_factors` (m each);
/// `sensitivities` (m x n, one row a result); `covariance` (m x m, the squares of the standard uncertainties on its
/// diagonal). The other arguments, and status: as calcore_propagate; CALCORE_E_TOO_FEW_POINTS for m = 0. The outputs must not
/// overlap each other or the inputs.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_propagate_many(
    model: calcore_model_of_many,
    user: *mut c_void,
    inputs: *const calcore_input,
    n: usize,
    m: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    values: *mut f64,
    effective_degrees_of_freedom: *mut f64,
    coverage_factors: *mut f64,
    sensitivities: *mut f64,
    covariance: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let values = room("values", values, m)?;
            let freedoms = room("effective_degrees_of_freedom", effective_degrees_of_freedom, m)?;
            let factors = room("coverage_factors", coverage_factors, m)?;
            let slopes = room("sensitivities", sensitivities, m.saturating_mul(n))?;
            let square = room("covariance", covariance, m.saturating_mul(m))?;
            let correlation = optional("correlation", correlation, n.saturating_mul(n))?;
            let model = model.ok_or_else(|| Failure::null("model"))?;
            let inputs = named(inputs, n)?;
            let coverage = coverage_of(coverage_kind, coverage)?;
            let last = Cell::new(None);
            let call = |x: &[f64], y: &mut [f64]| {
                y.fill(f64::NAN);
                let status = model(x.as_ptr(), x.len(), y.as_mut_ptr(), y.len(), user);
                if status == CALCORE_OK {
                    return Ok(());
                }
                last.set(Some(status));
                Err(Error::ModelFailed { message: format!("it returned the status {status}") })
            };
            let joint = propagate_many(call, m, &inputs, correlation, coverage)
                .map_err(|error| Failure::of_model(error, last.get()))?;
            fill(values, joint.budgets.iter().map(|budget| budget.value));
            fill(freedoms, joint.budgets.iter().map(|budget| budget.effective_degrees_of_freedom));
            fill(factors, joint.budgets.iter().map(|budget| budget.coverage_factor));
            fill(slopes, joint.sensitivities.iter().copied());
            fill(square, joint.covariance.values().iter().copied());
            Ok(())
        })
    }
}
