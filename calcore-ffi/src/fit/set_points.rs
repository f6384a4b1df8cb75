//! Section "fit": where to measure, before anything is measured.

use crate::array::{Output, copy, input};
use crate::curves::calcore_cvd;
use crate::guard::guard;
use crate::handle::held;
use crate::message::{Failure, calcore_error};
use crate::record::{Target, records};
use crate::status::*;
use calcore::fit::{SetPointOptions, assess_set_points, optimal_abscissae, set_points};

/// How good a choice of set points is.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_set_point_choice {
    /// sizeof(calcore_set_point_choice), set by the caller.
    pub size: usize,
    /// Largest standard uncertainty of the curve fitted to these points, over the range, K.
    pub largest_uncertainty_k: f64,
    /// Where it stands, °C.
    pub at_c: f64,
    /// How many times larger it is than that of the best choice of as many points: 1 is as good.
    pub ratio: f64,
}

records!(calcore_set_point_choice);

fn options_of(u_t: f64, u_ohm: f64, fit_c: i32) -> Result<SetPointOptions, Failure> {
    let fit_c = match fit_c {
        0 => false,
        1 => true,
        other => return Err(Failure::option("fit_c", other, "0 or 1")),
    };
    Ok(SetPointOptions { u_t, u_ohm, fit_c })
}

/// The `n` set points for a thermometer like `curve` that make the largest uncertainty of the fitted curve between `low_c` and
/// `high_c` (°C) as small as it can be: ascending, equal ones are repeats. J. Kiefer and J. Wolfowitz, Can. J. Math. 12 (1960).
///
/// `u_t` (K), `u_ohm` (ohm): standard uncertainties of a point, independent from point to point; `fit_c`: 1 if C is fitted
/// too, else 0. `t_c`: room for n numbers. Set `choice->size` first; its `ratio` becomes 1.
/// Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_set_points(
    curve: *const calcore_cvd,
    low_c: f64,
    high_c: f64,
    n: usize,
    u_t: f64,
    u_ohm: f64,
    fit_c: i32,
    t_c: *mut f64,
    choice: *mut calcore_set_point_choice,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let choice = Target::new(choice)?;
            let best = set_points(held(curve)?, low_c, high_c, n, options_of(u_t, u_ohm, fit_c)?)?;
            copy("t_c", &best.t_c, t_c, n)?;
            choice.fill(calcore_set_point_choice {
                size: 0,
                largest_uncertainty_k: best.largest_uncertainty_k,
                at_c: best.at_c,
                ratio: 1.0,
            });
            Ok(())
        })
    }
}

/// How good the caller's own `n` set points (°C) are beside the best as many. `best_t_c`: null, or room for the n best ones.
///
/// Arguments and status: as calcore_fit_set_points; CALCORE_E_UNDETERMINED where the points do not determine the curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_assess_set_points(
    curve: *const calcore_cvd,
    low_c: f64,
    high_c: f64,
    t_c: *const f64,
    n: usize,
    u_t: f64,
    u_ohm: f64,
    fit_c: i32,
    choice: *mut calcore_set_point_choice,
    best_t_c: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let choice = Target::new(choice)?;
            let own = input("t_c", t_c, n)?;
            let found = assess_set_points(held(curve)?, low_c, high_c, own, options_of(u_t, u_ohm, fit_c)?)?;
            if !best_t_c.is_null() {
                copy("best_t_c", &found.best.t_c, best_t_c, n)?;
            }
            choice.fill(calcore_set_point_choice {
                size: 0,
                largest_uncertainty_k: found.own.largest_uncertainty_k,
                at_c: found.own.at_c,
                ratio: found.ratio,
            });
            Ok(())
        })
    }
}

/// The `n` abscissae on -1 to 1 at which a polynomial of degree 1 to 3 is best measured. `x`: room for n numbers.
/// F. Pukelsheim, Optimal Design of Experiments (1993), 9.5.
///
/// Status: CALCORE_E_OUT_OF_RANGE for the degree, CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_optimal_abscissae(
    degree: usize,
    n: usize,
    x: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            Output::new("x", x)?;
            copy("x", &optimal_abscissae(degree, n)?, x, n)
        })
    }
}
