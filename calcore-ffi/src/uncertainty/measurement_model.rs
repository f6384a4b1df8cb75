//! Measurement models of the core: a reading of several terms, the curve of a sensor, terms added to the result.

use super::budget::{calcore_budget, calcore_contribution, coverage_of, give_budget};
use super::input::{calcore_input, distribution};
use crate::array::{input, optional, output_of};
use crate::curves::{CALCORE_INVALID_NAN, CALCORE_STRICT};
use crate::guard::{guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error};
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::curves::Invalid;
use calcore::uncertainty::measurement_model::{AtPoints, MeasurementModel, Place, PointInput, PointOptions, Term};
use std::ffi::c_void;
use std::mem::MaybeUninit;

/// A model whose reading is the result.
pub const CALCORE_MODEL_LINEAR: i32 = 0;
/// A model whose result is the temperature at which a curve gives the reading, °C.
pub const CALCORE_MODEL_TEMPERATURE: i32 = 1;
/// A model whose result is the signal of a curve at the reading, which is a temperature in °C.
pub const CALCORE_MODEL_SIGNAL: i32 = 2;

/// Place of a term: k x is added to the reading.
pub const CALCORE_TERM_READING: i32 = 0;
/// Place of a term: k times the signal of the curve at the temperature x, °C, is added to the reading: a reference junction.
pub const CALCORE_TERM_JUNCTION: i32 = 1;
/// Place of a term: the reading is multiplied by k x.
pub const CALCORE_TERM_FACTOR: i32 = 2;
/// Place of a term: the reading is divided by k x.
pub const CALCORE_TERM_DIVISOR: i32 = 3;
/// Place of a term: the reading is multiplied by 1 plus the sum of all k x of this place.
pub const CALCORE_TERM_RELATIVE: i32 = 4;
/// Place of a term: k x is added to the result.
pub const CALCORE_TERM_RESULT: i32 = 5;

/// An input of a measurement model. Elements of arrays: this struct never grows.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_term {
    /// CALCORE_TERM_.
    pub place: i32,
    /// Zero.
    pub reserved: i32,
    /// Coefficient k.
    pub coefficient: f64,
}

/// A number that is the same at all points, or one for each. Elements of arrays: this struct never grows.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_at_points {
    /// One number a point, or null.
    pub each: *const f64,
    /// The number at all points, where `each` is null.
    pub one: f64,
}

/// What is known of an input at every point, in its own unit. Elements of arrays: this struct never grows.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_point_input {
    /// Best estimate.
    pub estimate: calcore_at_points,
    /// Standard uncertainty.
    pub standard_uncertainty: calcore_at_points,
    /// Degrees of freedom of the standard uncertainty; INFINITY where exact.
    pub degrees_of_freedom: calcore_at_points,
}

/// A result by a reading and the curve of a sensor, with sensitivities known in closed form.
///
/// y = weight F(s g) + sum of k x (result), with the sum s of k x (reading) and k S(x) (junction), and the gain g = product of
/// k x (factor) over product of k x (divisor) times (1 + sum of k x (relative)). F is the temperature that gives a signal, the
/// signal at a temperature, or nothing. JCGM 100:2008, 5.1.3.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_measurement_model_free.
pub struct calcore_measurement_model {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_measurement_model {
    type Held = MeasurementModel;
    const WHAT: &'static str = "calcore_measurement_model";
    const TAG: u64 = 0x6c64_6d6d_6363_0031;
}

fn place(number: i32) -> Result<Place, Failure> {
    match number {
        CALCORE_TERM_READING => Ok(Place::Reading),
        CALCORE_TERM_JUNCTION => Ok(Place::Junction),
        CALCORE_TERM_FACTOR => Ok(Place::Factor),
        CALCORE_TERM_DIVISOR => Ok(Place::Divisor),
        CALCORE_TERM_RELATIVE => Ok(Place::Relative),
        CALCORE_TERM_RESULT => Ok(Place::Result),
        _ => Err(Failure::option("place of a term", number, "CALCORE_TERM_READING to CALCORE_TERM_RESULT")),
    }
}

/// Makes a measurement model of `n` terms; in messages they are called x0, x1 and so on.
///
/// `kind`: CALCORE_MODEL_. `curve`: copied and stays the caller's; null, and not looked at, for CALCORE_MODEL_LINEAR. `weight`:
/// what the curve gives, or the reading itself, is multiplied by it; 1 as a rule, -1 where it is subtracted from an
/// indication among the terms of the result. `*model` receives a handle that the caller releases by
/// calcore_measurement_model_free.
///
/// Status: CALCORE_E_OPTION for an unknown kind or place; CALCORE_E_NOT_FINITE for a coefficient or the weight;
/// CALCORE_E_INVALID_VALUE for a factor or divisor with the coefficient 0, or a junction without a curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_model_new(
    kind: i32,
    curve: *const calcore_curve,
    terms: *const calcore_term,
    n: usize,
    weight: f64,
    model: *mut *mut calcore_measurement_model,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("model", model), || {
            let terms = input("terms", terms, n)?.iter().enumerate();
            let terms = terms.map(|(i, term)| Ok(Term::new(format!("x{i}"), place(term.place)?, term.coefficient)));
            let terms = terms.collect::<Result<Vec<_>, Failure>>()?;
            let model = match kind {
                CALCORE_MODEL_LINEAR => MeasurementModel::linear(terms),
                CALCORE_MODEL_TEMPERATURE => MeasurementModel::temperature(held(curve)?.shared(), terms),
                CALCORE_MODEL_SIGNAL => MeasurementModel::signal(held(curve)?.shared(), terms),
                _ => {
                    return Err(Failure::option(
                        "kind of a model",
                        kind,
                        "CALCORE_MODEL_LINEAR to CALCORE_MODEL_SIGNAL",
                    ));
                }
            };
            Ok(model?.with_weight(weight)?)
        })
    }
}

/// Releases a model. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_model_free(model: *mut calcore_measurement_model) {
    // SAFETY: the contract of the header.
    unsafe { release(model) }
}

/// The budget of a measurement model whose `n` inputs, as many as its terms, are known.
///
/// The other arguments: as calcore_propagate. Status: as calcore_propagate, and CALCORE_E_LENGTH_MISMATCH for another number
/// of inputs, CALCORE_E_OUT_OF_RANGE for a reading outside the range of the curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_model_budget(
    model: *const calcore_measurement_model,
    inputs: *const calcore_input,
    n: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    result: *mut calcore_budget,
    contributions: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_budget(err, n, correlation, result, contributions, |correlation| {
            let inputs = input("inputs", inputs, n)?;
            let inputs = inputs.iter().map(distribution).collect::<Result<Vec<_>, Failure>>()?;
            Ok(held(model)?.budget(&inputs, correlation, coverage_of(coverage_kind, coverage)?)?)
        })
    }
}

/// # Safety
/// `each` is null or points to `points` doubles.
unsafe fn column<'a>(given: &calcore_at_points, points: usize) -> Result<AtPoints<'a>, Failure> {
    // SAFETY: as promised.
    Ok(match unsafe { optional("each", given.each, points) }? {
        Some(each) => AtPoints::Each(each),
        None => AtPoints::One(given.one),
    })
}

/// The budgets of a measurement model at `points` points at once: to the last bit what calcore_measurement_model_budget gives
/// at each.
///
/// `inputs`: n of them, as many as the model has terms; their arrays hold `points` numbers. `correlation`: n x n coefficients,
/// row by row, or null for independent inputs. `flags`: CALCORE_STRICT, or CALCORE_INVALID_NAN for NaN instead of an error where a number is
/// missing or a reading lies outside the range of the curve. Outputs of `points` numbers each, any of which may be null:
/// `values`, `standard_uncertainties`, `effective_degrees_of_freedom`, `coverage_factors`, `expanded_uncertainties`; and
/// `contributions`, n rows of `points` numbers, or null. The arrays must not overlap.
///
/// Status: as calcore_measurement_model_budget; `index` and `count` of the error tell the point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_model_at_points(
    model: *const calcore_measurement_model,
    inputs: *const calcore_point_input,
    n: usize,
    points: usize,
    correlation: *const f64,
    coverage_kind: i32,
    coverage: f64,
    flags: i32,
    values: *mut f64,
    standard_uncertainties: *mut f64,
    effective_degrees_of_freedom: *mut f64,
    coverage_factors: *mut f64,
    expanded_uncertainties: *mut f64,
    contributions: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let model = held(model)?;
            let room = |what: &str, target: *mut f64, n: usize| -> Result<Option<&mut [MaybeUninit<f64>]>, Failure> {
                if target.is_null() { Ok(None) } else { output_of(what, target, n).map(Some) }
            };
            let targets = [
                room("values", values, points)?,
                room("standard_uncertainties", standard_uncertainties, points)?,
                room("effective_degrees_of_freedom", effective_degrees_of_freedom, points)?,
                room("coverage_factors", coverage_factors, points)?,
                room("expanded_uncertainties", expanded_uncertainties, points)?,
                room("contributions", contributions, points.saturating_mul(n))?,
            ];
            let correlation = optional("correlation", correlation, n.saturating_mul(n))?;
            let mut columns = Vec::with_capacity(n.min(1024));
            for given in input("inputs", inputs, n)? {
                columns.push(PointInput {
                    estimate: column(&given.estimate, points)?,
                    standard_uncertainty: column(&given.standard_uncertainty, points)?,
                    degrees_of_freedom: column(&given.degrees_of_freedom, points)?,
                });
            }
            let invalid = match flags {
                CALCORE_STRICT => Invalid::Raise,
                CALCORE_INVALID_NAN => Invalid::Nan,
                _ => return Err(Failure::option("flags", flags, "CALCORE_STRICT or CALCORE_INVALID_NAN")),
            };
            let options = PointOptions {
                coverage: coverage_of(coverage_kind, coverage)?,
                invalid,
                contributions: !contributions.is_null(),
            };
            let found = model.at_points(&columns, correlation, &options)?;
            // Where every input is the same at all points the core gives one, which stands for all of its row.
            let each = found.values.len() == points;
            let results = [
                found.values,
                found.standard_uncertainties,
                found.effective_degrees_of_freedom,
                found.coverage_factors,
                found.expanded_uncertainties,
                found.contributions,
            ];
            for (target, result) in targets.into_iter().zip(&results) {
                for (i, target) in target.into_iter().flatten().enumerate() {
                    target.write(result[if each { i } else { i / points }]);
                }
            }
            Ok(())
        })
    }
}

/// A measurement model as a calcore_model_of_arrays: pass this function to calcore_monte_carlo and the calcore_measurement_model
/// as `user`. It may be called from several threads at once.
///
/// Status: CALCORE_E_LENGTH_MISMATCH unless `n` is the number of its terms; CALCORE_E_OUT_OF_RANGE for a reading outside the
/// range of the curve; CALCORE_E_INVALID_VALUE for a factor or divisor that is 0; CALCORE_E_NULL, CALCORE_E_HANDLE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_measurement_model_trials(
    values: *const *const f64,
    n: usize,
    trials: usize,
    results: *mut f64,
    user: *mut c_void,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(std::ptr::null_mut(), || {
            let model = held(user.cast_const().cast::<calcore_measurement_model>())?;
            let target = output_of("results", results, trials)?;
            let mut columns = Vec::with_capacity(n.min(1024));
            for &column in input("values", values, n)? {
                columns.push(input("values of an input", column, trials)?);
            }
            let mut found = vec![0.0; target.len()];
            model.trials(&columns, &mut found)?;
            for (place, value) in target.iter_mut().zip(found) {
                place.write(value);
            }
            Ok(())
        })
    }
}
