//! Inputs: what is known about a quantity.

use crate::array::{Output, input, pointer};
use crate::guard::{give, give_two, guard};
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::uncertainty::{Distribution, Input, Shape};

/// Kind of distribution: none of those that this header knows.
pub const CALCORE_OTHER_DISTRIBUTION: i32 = 0;
/// Kind of distribution: normal; p1 = mean, p2 = standard uncertainty, and its degrees of freedom.
pub const CALCORE_NORMAL: i32 = 1;
/// Kind of distribution: equal density between two limits; p1 = lower, p2 = upper limit.
pub const CALCORE_RECTANGULAR: i32 = 2;
/// Kind of distribution: symmetric triangle between two limits; p1 = lower, p2 = upper limit.
pub const CALCORE_TRIANGULAR: i32 = 3;

/// Kind of distribution: symmetric trapezoid between two limits; p1 = lower, p2 = upper limit, p3 = top over base, 0 to 1.
pub const CALCORE_TRAPEZOIDAL: i32 = 4;
/// Kind of distribution: arcsine between two limits, a sine of unknown phase; p1 = lower, p2 = upper limit.
pub const CALCORE_U_SHAPED: i32 = 5;
/// Kind of distribution: Student's t; p1 = mean, p2 = scale s/sqrt(n), and its degrees of freedom, more than 2.
pub const CALCORE_STUDENT_T: i32 = 6;
/// Kind of distribution: rectangle with inexact limits; p1 = lower, p2 = upper limit, p3 = half-width of the doubt.
pub const CALCORE_CURVILINEAR_TRAPEZOID: i32 = 7;
/// Kind of distribution: exponential from zero; p1 = mean.
pub const CALCORE_EXPONENTIAL: i32 = 8;
/// Kind of distribution: gamma from zero; p1 = shape, p2 = scale.
pub const CALCORE_GAMMA: i32 = 9;
/// Kind of a line of a budget: the result of another budget. Not a kind of input.
pub const CALCORE_COMBINED: i32 = 10;

/// What is known about an input quantity, in the unit of the quantity. Elements of arrays: this struct never grows.
///
/// The numbers that the kind does not name are not looked at. In messages the inputs are called x0, x1 and so on.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_input {
    /// Kind of distribution: CALCORE_NORMAL to CALCORE_GAMMA.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// First number of the kind.
    pub p1: f64,
    /// Second number of the kind.
    pub p2: f64,
    /// Third number of the kind.
    pub p3: f64,
    /// Degrees of freedom of a normal distribution's standard uncertainty or of Student's t, greater than 0; INFINITY
    /// where exact. Not looked at for other kinds.
    pub degrees_of_freedom: f64,
}

/// The distribution that an input describes, not yet checked.
pub(super) fn distribution(input: &calcore_input) -> Result<Distribution, Failure> {
    let calcore_input { kind, p1, p2, p3, degrees_of_freedom, .. } = *input;
    match kind {
        CALCORE_NORMAL => Ok(Distribution::Normal { mean: p1, std: p2, degrees_of_freedom }),
        CALCORE_RECTANGULAR => Ok(Distribution::Rectangular { low: p1, high: p2 }),
        CALCORE_TRIANGULAR => Ok(Distribution::Triangular { low: p1, high: p2 }),
        CALCORE_TRAPEZOIDAL => Ok(Distribution::Trapezoidal { low: p1, high: p2, shape: p3 }),
        CALCORE_U_SHAPED => Ok(Distribution::UShaped { low: p1, high: p2 }),
        CALCORE_STUDENT_T => Ok(Distribution::StudentT { mean: p1, scale: p2, degrees_of_freedom }),
        CALCORE_CURVILINEAR_TRAPEZOID => Ok(Distribution::CurvilinearTrapezoid { low: p1, high: p2, d: p3 }),
        CALCORE_EXPONENTIAL => Ok(Distribution::Exponential { mean: p1 }),
        CALCORE_GAMMA => Ok(Distribution::Gamma { shape: p1, scale: p2 }),
        _ => Err(Failure::option("kind of an input", kind, "CALCORE_NORMAL to CALCORE_GAMMA")),
    }
}

/// The kind of a line; what this header does not know counts as another one.
pub(super) fn shape_of(kind: i32) -> Shape {
    match kind {
        CALCORE_RECTANGULAR => Shape::Rectangular,
        CALCORE_TRIANGULAR => Shape::Triangular,
        CALCORE_TRAPEZOIDAL => Shape::Trapezoidal,
        CALCORE_U_SHAPED => Shape::UShaped,
        CALCORE_STUDENT_T => Shape::StudentT,
        CALCORE_CURVILINEAR_TRAPEZOID => Shape::CurvilinearTrapezoid,
        CALCORE_EXPONENTIAL => Shape::Exponential,
        CALCORE_GAMMA => Shape::Gamma,
        CALCORE_COMBINED => Shape::Combined,
        _ => Shape::Normal,
    }
}

/// An input as C sees it.
pub(super) fn input_of(distribution: &Distribution) -> calcore_input {
    let nan = f64::NAN;
    let (p1, p2, p3, degrees_of_freedom) = match *distribution {
        Distribution::Normal { mean, std, degrees_of_freedom } => (mean, std, nan, degrees_of_freedom),
        Distribution::Rectangular { low, high }
        | Distribution::Triangular { low, high }
        | Distribution::UShaped { low, high } => (low, high, nan, f64::INFINITY),
        Distribution::Trapezoidal { low, high, shape } => (low, high, shape, f64::INFINITY),
        Distribution::StudentT { mean, scale, degrees_of_freedom } => (mean, scale, nan, degrees_of_freedom),
        Distribution::CurvilinearTrapezoid { low, high, d } => (low, high, d, f64::INFINITY),
        Distribution::Exponential { mean } => (mean, nan, nan, f64::INFINITY),
        Distribution::Gamma { shape, scale } => (shape, scale, nan, f64::INFINITY),
        _ => (nan, nan, nan, nan),
    };
    calcore_input { kind: kind_of(distribution.shape()), reserved: 0, p1, p2, p3, degrees_of_freedom }
}

pub(super) fn kind_of(shape: Shape) -> i32 {
    match shape {
        Shape::Normal => CALCORE_NORMAL,
        Shape::Rectangular => CALCORE_RECTANGULAR,
        Shape::Triangular => CALCORE_TRIANGULAR,
        Shape::Trapezoidal => CALCORE_TRAPEZOIDAL,
        Shape::UShaped => CALCORE_U_SHAPED,
        Shape::StudentT => CALCORE_STUDENT_T,
        Shape::CurvilinearTrapezoid => CALCORE_CURVILINEAR_TRAPEZOID,
        Shape::Exponential => CALCORE_EXPONENTIAL,
        Shape::Gamma => CALCORE_GAMMA,
        Shape::Combined => CALCORE_COMBINED,
        _ => CALCORE_OTHER_DISTRIBUTION,
    }
}

/// The inputs with their names in messages: x0, x1 and so on.
///
/// # Safety
/// `inputs` points to `n` structs.
pub(super) unsafe fn named(inputs: *const calcore_input, n: usize) -> Result<Vec<Input>, Failure> {
    // SAFETY: as promised.
    let inputs = unsafe { input("inputs", inputs, n) }?;
    inputs.iter().enumerate().map(|(i, x)| Ok(Input::new(format!("x{i}"), distribution(x)?))).collect()
}

/// Best estimate and standard uncertainty of an input, in its unit.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_moments(
    input: *const calcore_input,
    mean: *mut f64,
    standard_uncertainty: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let mean = Output::new("mean", mean)?;
            let u = Output::new("standard_uncertainty", standard_uncertainty)?;
            let checked = one(input)?;
            mean.set(checked.mean());
            u.set(checked.standard_uncertainty());
            Ok(())
        })
    }
}

/// Skewness and excess kurtosis of an input: third moment over the cube of the standard uncertainty, fourth moment over its
/// square less 3; NaN where the distribution has none.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_higher_moments(
    input: *const calcore_input,
    skewness: *mut f64,
    excess_kurtosis: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("skewness", skewness), ("excess_kurtosis", excess_kurtosis), || {
            let checked = one(input)?;
            Ok((checked.skewness().unwrap_or(f64::NAN), checked.excess_kurtosis().unwrap_or(f64::NAN)))
        })
    }
}

/// The distribution behind a pointer of the caller, checked.
///
/// # Safety
/// `input` is null or points to a struct.
pub(crate) unsafe fn one(input: *const calcore_input) -> Result<Distribution, Failure> {
    let input = pointer("input", input)?;
    // SAFETY: not null, aligned; the rest is promised.
    Ok(distribution(unsafe { &*input })?.check()?)
}

/// Probability that an input does not exceed x. With finite degrees of freedom a normal one counts as Student's t
/// (JCGM 101:2008, 6.4.9.7).
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_cdf(
    input: *const calcore_input,
    x: f64,
    probability: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("probability", probability), || Ok(one(input)?.cdf(x)?)) }
}

/// Value that an input does not exceed with a probability between 0 and 1.
///
/// Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_input_quantile(
    input: *const calcore_input,
    probability: f64,
    x: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("x", x), || Ok(one(input)?.quantile(probability)?)) }
}
