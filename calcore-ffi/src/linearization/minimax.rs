//! Section "linearization": minimax polynomials and quotients of a curve, with a proven largest error.

use super::numbers::*;
use super::table::{copy_codes, evaluated, no_codes};
use crate::array::{copy, copy_if_wanted, input};
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, copy_text};
use crate::record::{read, records};
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::linearization::{Coefficients, Minimax, MinimaxGoal, MinimaxOptions, minimax};
use std::ffi::c_char;

/// A minimax polynomial or quotient of a curve, as the firmware stores and evaluates it, with a proven largest error.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_minimax_free.
pub struct calcore_minimax {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_minimax {
    type Held = Minimax;
    const WHAT: &'static str = "calcore_minimax";
    const TAG: u64 = 0x786d_6d5f_6363_0022;
}

/// What approximation is asked for. Zero it, set `size` and either `degree` or `largest_error`: all else is then a polynomial in
/// doubles, from the signal to the temperature.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_minimax_options {
    /// sizeof(calcore_minimax_options), set by the caller.
    pub size: usize,
    /// Degree of the polynomial, or of the numerator, up to 15; not used with `largest_error`.
    pub degree: usize,
    /// Degree of the denominator, up to 15; 0 makes a polynomial.
    pub denominator_degree: usize,
    /// The proven error that the polynomial of the lowest degree shall keep: K towards the temperature, the unit of the signal
    /// towards the signal; 0 to take `degree`.
    pub largest_error: f64,
    /// CALCORE_SIGNAL_TO_TEMPERATURE or CALCORE_TEMPERATURE_TO_SIGNAL.
    pub direction: i32,
    /// One of the CALCORE_NUMBERS_ numbers.
    pub numbers: i32,
    /// For fixed-point numbers: format of the reading.
    pub argument: calcore_number_format,
    /// For fixed-point numbers: format of the result.
    pub value: calcore_number_format,
    /// For fixed-point numbers: format of the coefficients.
    pub coefficient: calcore_number_format,
    /// Zero.
    pub reserved: i32,
}

/// What is known of an approximation.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_minimax_facts {
    /// sizeof(calcore_minimax_facts), set by the caller.
    pub size: usize,
    /// Coefficients of the numerator.
    pub numerator: usize,
    /// Coefficients of the denominator; 0 for a polynomial.
    pub denominator: usize,
    /// Extremes of the error.
    pub extremes: usize,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Lowest argument.
    pub low: f64,
    /// Highest argument.
    pub high: f64,
    /// Argument of z = 0, exactly as stored: z = (x - centre) scale.
    pub centre: f64,
    /// Change of z for a unit of the argument, exactly as stored.
    pub scale: f64,
    /// Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point numbers over
    /// every reading that the firmware can get.
    pub largest_error: f64,
    /// What rounding in the firmware adds to the error at most; 0 where every reading was tried, which shows what it does add.
    pub rounding: f64,
    /// For fixed-point numbers: reading of z = 0.
    pub centre_code: i64,
    /// For fixed-point numbers: readings from z = 0 to z = 1; else 0.
    pub half_code: i64,
    /// CALCORE_PROOF_CURVATURE or CALCORE_PROOF_EVERY_READING.
    pub proof: i32,
    /// Zero.
    pub reserved: i32,
    /// Unit of the errors: "K", or that of the signal.
    pub error_unit: [c_char; 16],
}

records!(calcore_minimax_options, calcore_minimax_facts);

const NO_OPTIONS: calcore_minimax_options = calcore_minimax_options {
    size: 0,
    degree: 0,
    denominator_degree: 0,
    largest_error: 0.0,
    direction: 0,
    numbers: 0,
    argument: NO_FORMAT,
    value: NO_FORMAT,
    coefficient: NO_FORMAT,
    reserved: 0,
};

impl calcore_minimax_options {
    fn options(&self) -> Result<MinimaxOptions, Failure> {
        let formats = [("argument", self.argument), ("value", self.value), ("coefficient", self.coefficient)];
        let coefficients = match self.numbers {
            CALCORE_NUMBERS_FIXED => Coefficients::Fixed {
                argument: self.argument.format("argument")?,
                value: self.value.format("value")?,
                coefficient: self.coefficient.format("coefficient")?,
            },
            CALCORE_NUMBERS_F64 | CALCORE_NUMBERS_F32 => {
                for (what, format) in formats {
                    format.unused(what)?;
                }
                if self.numbers == CALCORE_NUMBERS_F32 { Coefficients::F32 } else { Coefficients::F64 }
            }
            other => return Err(Failure::option("numbers", other, "one of the CALCORE_NUMBERS_ numbers")),
        };
        Ok(MinimaxOptions { direction: direction_of(self.direction)?, coefficients })
    }

    /// Either degrees or an error.
    fn goal(&self) -> Result<MinimaxGoal, Failure> {
        match (self.degree, self.denominator_degree, self.largest_error == 0.0) {
            (numerator, denominator, true) => Ok(MinimaxGoal::Degrees { numerator, denominator }),
            (0, 0, false) => Ok(MinimaxGoal::LargestError(self.largest_error)),
            _ => Err(Failure::border(CALCORE_E_OPTION, "either the degrees or largest_error must be 0".into())),
        }
    }
}

/// The minimax polynomial or quotient of a curve from `low_c` to `high_c`, of given degrees or of the lowest degree for an error.
///
/// `*found` receives a handle that the caller releases by calcore_minimax_free.
/// Status: CALCORE_E_OUT_OF_RANGE and CALCORE_E_NOT_FINITE for the range; CALCORE_E_INVALID_VALUE where the signal turns inside
/// the range, for a degree above 15, coefficients that a format cannot hold, an error that no degree keeps, and a quotient
/// that is not found without a zero of its denominator (the message says the nearest one that is); CALCORE_E_UNDETERMINED for a
/// curve without enclosures; CALCORE_E_NO_CONVERGENCE;
/// CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_new(
    curve: *const calcore_curve,
    low_c: f64,
    high_c: f64,
    options: *const calcore_minimax_options,
    found: *mut *mut calcore_minimax,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("found", found), || {
            let (curve, asked) = (held(curve)?.sensor(), read(options, NO_OPTIONS)?);
            Ok(minimax(curve, low_c, high_c, asked.goal()?, &asked.options()?)?)
        })
    }
}

/// What is known of an approximation. Set `facts->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_describe(
    found: *const calcore_minimax,
    facts: *mut calcore_minimax_facts,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, facts, || {
            let found = held(found)?;
            let mut error_unit = [0; 16];
            copy_text(found.error_unit, &mut error_unit);
            Ok(calcore_minimax_facts {
                size: 0,
                numerator: found.numerator.len(),
                denominator: found.denominator.len(),
                extremes: found.extremes.len(),
                low_c: found.low_c,
                high_c: found.high_c,
                low: found.low,
                high: found.high,
                centre: found.centre,
                scale: found.scale,
                largest_error: found.largest_error,
                rounding: found.rounding,
                centre_code: found.fixed.as_ref().map_or(0, |fixed| fixed.centre),
                half_code: found.fixed.as_ref().map_or(0, |fixed| fixed.half),
                proof: proof_number(found.proof),
                reserved: 0,
                error_unit,
            })
        })
    }
}

/// The coefficients of 1, z, z^2, ... exactly as stored, z = (x - centre) scale: the value is numerator over denominator.
///
/// `numerator` and `denominator`: room for as many as calcore_minimax_describe says, or null.
///
/// Status: CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_coefficients(
    found: *const calcore_minimax,
    numerator: *mut f64,
    numerators: usize,
    denominator: *mut f64,
    denominators: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let found = held(found)?;
            copy_if_wanted("denominator", &found.denominator, denominator, denominators)?;
            copy_if_wanted("numerator", &found.numerator, numerator, numerators)
        })
    }
}

/// The integers of fixed-point coefficients; arrays as for calcore_minimax_coefficients.
///
/// Status: CALCORE_E_LENGTH_MISMATCH; CALCORE_E_OPTION for coefficients that are not fixed-point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_codes(
    found: *const calcore_minimax,
    numerator: *mut i64,
    numerators: usize,
    denominator: *mut i64,
    denominators: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let codes = held(found)?.fixed.as_ref().ok_or_else(|| no_codes("approximation"))?;
            copy_codes("denominator", &codes.denominator, denominator, denominators)?;
            copy_codes("numerator", &codes.numerator, numerator, numerators)
        })
    }
}

/// The extremes of the error before coefficients are rounded, of alternating sign: what the best approximation is known by.
///
/// `x`, `errors`: room for `n` numbers each, as many as calcore_minimax_describe says, or null.
///
/// Status: CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_extremes(
    found: *const calcore_minimax,
    x: *mut f64,
    errors: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (places, sizes): (Vec<f64>, Vec<f64>) = held(found)?.extremes.iter().copied().unzip();
            copy_if_wanted("x", &places, x, n)?;
            copy_if_wanted("errors", &sizes, errors, n)
        })
    }
}

/// What the firmware finds for `n` arguments: signals, or temperatures (°C), in the range.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_evaluate(
    found: *const calcore_minimax,
    x: *const f64,
    n: usize,
    y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (found, x) = (held(found)?, input("x", x, n)?);
            copy("y", &evaluated(x, |x| found.evaluate(x))?, y, n)
        })
    }
}

/// The integer that the firmware finds for the integer of a reading; beyond the range the nearer end answers.
///
/// Status: CALCORE_E_OPTION for coefficients that are not fixed-point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_evaluate_code(
    found: *const calcore_minimax,
    code: i64,
    value: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("value", value), || held(found)?.evaluate_code(code).ok_or_else(|| no_codes("approximation"))) }
}

/// Releases an approximation. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_free(found: *mut calcore_minimax) {
    // SAFETY: the contract of the header.
    unsafe { release(found) }
}
