//! Section "fit": a curve of the caller's own.

use super::kinds::*;
use super::options::*;
use crate::array::input;
use crate::guard::make;
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::Error;
use calcore::fit::{CurveModel, ModelOptions};
use std::cell::Cell;
use std::ffi::c_void;

/// A curve of the caller that is fitted: value at x with `n` parameters, written to `*value`; returns 0, or another status
/// where it has no answer, which ends the fit. `user` is what the caller passed along.
///
/// It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call.
pub type calcore_curve_model = Option<
    unsafe extern "C" fn(
        x: f64,
        parameters: *const f64,
        n: usize,
        value: *mut f64,
        user: *mut c_void,
    ) -> calcore_status,
>;

/// The caller's curve as the core calls it.
struct Called<'a> {
    model: unsafe extern "C" fn(f64, *const f64, usize, *mut f64, *mut c_void) -> calcore_status,
    user: *mut c_void,
    last: &'a Cell<Option<calcore_status>>,
}

impl CurveModel for Called<'_> {
    fn value(&self, x: f64, p: &[f64]) -> calcore::Result<f64> {
        let mut value = f64::NAN;
        // SAFETY: the caller's function, by the contract of calcore_curve_model.
        let status = unsafe { (self.model)(x, p.as_ptr(), p.len(), &raw mut value, self.user) };
        if status == CALCORE_OK {
            return Ok(value);
        }
        self.last.set(Some(status));
        Err(Error::ModelFailed { message: format!("it returned the status {status}") })
    }
}

/// Fits the `n_parameters` parameters of the caller's own curve to `n` points, from a start near the solution, with
/// derivatives by differences. `lower`, `upper`: bounds of the parameters, or both null.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen (`fixed` is refused: bound a parameter instead);
/// CALCORE_E_NO_CONVERGENCE; CALCORE_E_MODEL_FAILED when the curve has no answer, `value` of the error then is its status.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_model(
    model: calcore_curve_model,
    user: *mut c_void,
    x: *const f64,
    y: *const f64,
    n: usize,
    start: *const f64,
    lower: *const f64,
    upper: *const f64,
    n_parameters: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let function = model.ok_or_else(|| Failure::null("model"))?;
            let (x, y, start) = (input("x", x, n)?, input("y", y, n)?, input("start", start, n_parameters)?);
            let bounds: Vec<(f64, f64)> = if lower.is_null() && upper.is_null() {
                Vec::new()
            } else {
                let (lower, upper) = (input("lower", lower, n_parameters)?, input("upper", upper, n_parameters)?);
                lower.iter().copied().zip(upper.iter().copied()).collect()
            };
            let o = Options::read(options, n)?;
            o.without_held()?;
            let options = ModelOptions {
                u_x: o.u_x,
                u_y: o.u_y,
                u_x_common: o.u_x_common,
                u_y_common: o.u_y_common,
                covariance_x: o.covariance_x,
                covariance_y: o.covariance_y,
                bounds: &bounds,
                robust: o.robust,
                covariance_basis: o.covariance_basis,
            };
            let last = Cell::new(None);
            let called = Called { model: function, user, last: &last };
            let found = calcore::fit::model(&called, x, y, start, &options);
            Ok(Fit::Model(found.map_err(|error| Failure::of_model(error, last.get()))?))
        })
    }
}
