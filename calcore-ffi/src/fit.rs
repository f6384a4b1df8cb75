//! Section "fit": from points with uncertainties to a curve, a line or a polynomial with its covariance.

use crate::array::{Output, copy, input};
use crate::curves::calcore_cvd;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, write_text};
use crate::record::{Record, read};
use crate::status::*;
use calcore::Error;
use calcore::fit::{
    CallendarVanDusenFit, CallendarVanDusenOptions, CovarianceBasis, FitWarning, FixedCoefficients, PolynomialFit,
    PolynomialOptions, Stated, StopReason, StraightLineFit, StraightLineOptions, callendar_van_dusen, polynomial,
    straight_line,
};
use calcore::num::covariance::Covariance;
use std::ffi::c_char;
use std::ptr;

/// Basis of a covariance: stated uncertainties where there are any, else the residuals.
pub const CALCORE_BASIS_DEFAULT: i32 = 0;
/// Basis of a covariance: the stated uncertainties alone.
pub const CALCORE_BASIS_STATED: i32 = 1;
/// Basis of a covariance: scaled so that chi-squared equals its degrees of freedom.
pub const CALCORE_BASIS_RESIDUALS: i32 = 2;

/// Kind of a fit: Callendar-Van Dusen; parameters r0, a, b, c.
pub const CALCORE_FIT_CVD: i32 = 0;
/// Kind of a fit: straight line; parameters intercept, slope.
pub const CALCORE_FIT_LINE: i32 = 1;
/// Kind of a fit: polynomial; parameters are the coefficients of 1, x, x^2 and so on.
pub const CALCORE_FIT_POLYNOMIAL: i32 = 2;

/// Bit of `held`: R0 was held.
pub const CALCORE_HELD_R0: i32 = 1;
/// Bit of `held`: A was held.
pub const CALCORE_HELD_A: i32 = 2;
/// Bit of `held`: B was held.
pub const CALCORE_HELD_B: i32 = 4;
/// Bit of `held`: C was held.
pub const CALCORE_HELD_C: i32 = 8;

/// Why a fit ended: the problem is linear and was solved directly.
pub const CALCORE_STOP_SOLVED_DIRECTLY: i32 = 0;
/// Why a fit ended: a further step changes nothing beyond rounding.
pub const CALCORE_STOP_CONVERGED: i32 = 1;
/// Why a fit ended: no better point was found although a step still promised a little.
pub const CALCORE_STOP_STALLED: i32 = 2;
/// Why a fit ended: a reason that this header does not know.
pub const CALCORE_STOP_OTHER: i32 = 3;

/// Numbers of a fit, one a point: observed minus fitted ordinate (ohm for Callendar-Van Dusen).
pub const CALCORE_POINTS_RESIDUALS: i32 = 0;
/// Numbers of a fit, one a point: residuals over the standard uncertainty of the misfit.
pub const CALCORE_POINTS_STANDARDISED: i32 = 1;
/// Numbers of a fit, one a point: how much of each point's own ordinate goes into its fitted one, 0 to 1.
pub const CALCORE_POINTS_LEVERAGE: i32 = 2;
/// Numbers of a fit, one a point: estimates of the true abscissae (°C for Callendar-Van Dusen).
pub const CALCORE_POINTS_ADJUSTED: i32 = 3;
/// Numbers of a fit, one a point: misfit against the fit to all other points, in the unit of the ordinate; NaN where those
/// do not determine it.
pub const CALCORE_POINTS_LEAVE_ONE_OUT: i32 = 5;
/// Numbers of a fit, one a point: weights of a robust fit; 1 for every point of an ordinary one.
pub const CALCORE_POINTS_WEIGHTS: i32 = 6;
/// Numbers of a fit, one a point: temperature that a Callendar-Van Dusen curve reads, minus the given one, K.
pub const CALCORE_POINTS_RESIDUALS_K: i32 = 4;

/// What is known of the errors of the points, and what is held. Zero it and set `size`: then nothing is said and
/// everything is fitted. x and y are temperature (K, °C) and resistance (ohm) for Callendar-Van Dusen.
///
/// An array may be null; its arrays stay the caller's and are read during the call only.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_fit_options {
    /// sizeof(calcore_fit_options), set by the caller.
    pub size: usize,
    /// Standard uncertainties of the abscissae, independent of each other.
    pub u_x: *const f64,
    /// How many: 0 for nothing stated, 1 for all points the same, or one for each point.
    pub u_x_count: usize,
    /// Standard uncertainties of the ordinates, greater than 0.
    pub u_y: *const f64,
    /// How many: as u_x_count.
    pub u_y_count: usize,
    /// Standard uncertainty of an error shared by all abscissae.
    pub u_x_common: f64,
    /// Standard uncertainty of an error shared by all ordinates.
    pub u_y_common: f64,
    /// Covariance of the abscissae instead of u_x: n x n, row by row.
    pub covariance_x: *const f64,
    /// Covariance of the ordinates instead of u_y: n x n, row by row.
    pub covariance_y: *const f64,
    /// Covariance of each abscissa (row) with each ordinate (column), n x n; for straight lines only.
    pub covariance_xy: *const f64,
    /// Values at which parameters are held: r0, a, b, c or intercept, slope with NaN for what is fitted; for a
    /// polynomial its lowest coefficients, all of them held.
    pub fixed: *const f64,
    /// How many: 0 for nothing held; else 4 for Callendar-Van Dusen, 2 for a line, up to the degree for a polynomial.
    pub fixed_count: usize,
    /// One of the CALCORE_BASIS_ numbers.
    pub covariance_basis: i32,
    /// 1 to play down points far from the fit (Huber's weights), else 0.
    pub robust: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_fit_options {
    const WHAT: &'static str = "calcore_fit_options";
    const FIRST_SIZE: usize = size_of::<Self>();
}

const NO_OPTIONS: calcore_fit_options = calcore_fit_options {
    size: 0,
    u_x: ptr::null(),
    u_x_count: 0,
    u_y: ptr::null(),
    u_y_count: 0,
    u_x_common: 0.0,
    u_y_common: 0.0,
    covariance_x: ptr::null(),
    covariance_y: ptr::null(),
    covariance_xy: ptr::null(),
    fixed: ptr::null(),
    fixed_count: 0,
    covariance_basis: CALCORE_BASIS_DEFAULT,
    robust: 0,
};

/// What a fit says of its quality. Numbers that there are not are NaN.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_fit_report {
    /// sizeof(calcore_fit_report), set by the caller.
    pub size: usize,
    /// Points.
    pub points: usize,
    /// Parameters, held ones included: rows of the covariance.
    pub parameters: usize,
    /// Points minus fitted parameters.
    pub degrees_of_freedom: usize,
    /// Warnings; see calcore_fit_warning.
    pub warnings: usize,
    /// Steps made.
    pub iterations: usize,
    /// Sum of the squared errors in units of their uncertainty; NaN where nothing is stated.
    pub chi_squared: f64,
    /// Probability of a larger chi-squared if the stated uncertainties are right.
    pub p_value: f64,
    /// Ratio of the largest to the smallest singular value of the weighted design.
    pub condition_number: f64,
    /// Standard deviation of the residuals, in the unit of the ordinate; NaN without degrees of freedom.
    pub residual_standard_deviation: f64,
    /// Part of the sum of squares that a polynomial explains; NaN for other fits.
    pub r_squared: f64,
    /// CALCORE_FIT_CVD, CALCORE_FIT_LINE or CALCORE_FIT_POLYNOMIAL.
    pub kind: i32,
    /// CALCORE_BASIS_STATED or CALCORE_BASIS_RESIDUALS.
    pub covariance_basis: i32,
    /// 1 if the fit has a covariance, else 0: neither uncertainties are stated nor residuals left to take it from.
    pub has_covariance: i32,
    /// One of the CALCORE_STOP_ numbers.
    pub stop_reason: i32,
    /// For Callendar-Van Dusen the sum of the CALCORE_HELD_ numbers of what was held, C at the value of the standard
    /// included; 0 for other fits.
    pub held: i32,
    /// Zero.
    pub reserved: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_fit_report {
    const WHAT: &'static str = "calcore_fit_report";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A finished fit of any kind.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_fit_free.
pub struct calcore_fit {
    _opaque: [u8; 0],
}

/// The kinds of fit behind a handle.
pub(crate) enum Fit {
    Cvd(CallendarVanDusenFit),
    Line(StraightLineFit),
    Polynomial(PolynomialFit),
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_fit {
    type Held = Fit;
    const WHAT: &'static str = "calcore_fit";
    const TAG: u64 = 0x7469_665f_6363_0005;
}

/// A field that all kinds have.
macro_rules! common {
    ($fit:expr, $one:ident => $what:expr) => {
        match $fit {
            Fit::Cvd($one) => $what,
            Fit::Line($one) => $what,
            Fit::Polynomial($one) => $what,
        }
    };
}

impl Fit {
    fn name(&self) -> &'static str {
        match self {
            Self::Cvd(_) => "a Callendar-Van Dusen curve",
            Self::Line(_) => "a straight line",
            Self::Polynomial(_) => "a polynomial",
        }
    }

    fn wrong(&self, needed: &str) -> Failure {
        Failure::border(CALCORE_E_HANDLE, format!("the fit is that of {}, the call needs {needed}", self.name()))
    }

    fn cvd(&self) -> Result<&CallendarVanDusenFit, Failure> {
        if let Self::Cvd(fit) = self { Ok(fit) } else { Err(self.wrong("a Callendar-Van Dusen curve")) }
    }

    fn line(&self) -> Result<&StraightLineFit, Failure> {
        if let Self::Line(fit) = self { Ok(fit) } else { Err(self.wrong("a straight line")) }
    }

    fn polynomial(&self) -> Result<&PolynomialFit, Failure> {
        if let Self::Polynomial(fit) = self { Ok(fit) } else { Err(self.wrong("a polynomial")) }
    }

    fn parameters(&self) -> Vec<f64> {
        match self {
            Self::Cvd(fit) => vec![fit.curve.r0(), fit.curve.a(), fit.curve.b(), fit.curve.c()],
            Self::Line(fit) => vec![fit.intercept, fit.slope],
            Self::Polynomial(fit) => fit.coefficients.clone(),
        }
    }

    fn residuals(&self) -> &[f64] {
        match self {
            Self::Cvd(fit) => &fit.residuals_ohm,
            Self::Line(fit) => &fit.residuals,
            Self::Polynomial(fit) => &fit.residuals,
        }
    }

    fn covariance(&self) -> Option<&Covariance> {
        common!(self, fit => fit.covariance.as_ref())
    }

    fn warnings(&self) -> &[FitWarning] {
        common!(self, fit => &fit.warnings)
    }
}

/// The caller's options with their arrays.
struct Options<'a> {
    u_x: Stated<'a>,
    u_y: Stated<'a>,
    u_x_common: f64,
    u_y_common: f64,
    covariance_x: Option<&'a [f64]>,
    covariance_y: Option<&'a [f64]>,
    covariance_xy: Option<&'a [f64]>,
    fixed: &'a [f64],
    covariance_basis: Option<CovarianceBasis>,
    robust: bool,
}

impl<'a> Options<'a> {
    /// # Safety
    /// `options` is null or a struct whose arrays are as its fields say, for `n` points.
    unsafe fn read(options: *const calcore_fit_options, n: usize) -> Result<Self, Failure> {
        // SAFETY: as promised.
        let o = if options.is_null() { NO_OPTIONS } else { unsafe { read(options, NO_OPTIONS) }? };
        let square = |what, p: *const f64| {
            // SAFETY: as promised.
            unsafe { crate::array::optional(what, p, n.saturating_mul(n)) }
        };
        let covariance_basis = match o.covariance_basis {
            CALCORE_BASIS_DEFAULT => None,
            CALCORE_BASIS_STATED => Some(CovarianceBasis::Stated),
            CALCORE_BASIS_RESIDUALS => Some(CovarianceBasis::Residuals),
            other => {
                return Err(Failure::option("covariance_basis", other, "one of the CALCORE_BASIS_ numbers"));
            }
        };
        let robust = match o.robust {
            0 => false,
            1 => true,
            other => return Err(Failure::option("robust", other, "0 or 1")),
        };
        // SAFETY: as promised.
        let (u_x, u_y, fixed) = unsafe {
            (
                stated("u_x", o.u_x, o.u_x_count)?,
                stated("u_y", o.u_y, o.u_y_count)?,
                input("fixed", o.fixed, o.fixed_count)?,
            )
        };
        Ok(Self {
            u_x,
            u_y,
            u_x_common: o.u_x_common,
            u_y_common: o.u_y_common,
            covariance_x: square("covariance_x", o.covariance_x)?,
            covariance_y: square("covariance_y", o.covariance_y)?,
            covariance_xy: square("covariance_xy", o.covariance_xy)?,
            fixed,
            covariance_basis,
            robust,
        })
    }

    /// The held values of a model with `N` parameters; NaN means fitted.
    fn held<const N: usize>(&self) -> Result<[Option<f64>; N], Failure> {
        if self.fixed.is_empty() {
            return Ok([None; N]);
        }
        let held = <&[f64; N]>::try_from(self.fixed).map_err(|_| Error::LengthMismatch {
            what: "fixed",
            expected: N,
            found: self.fixed.len(),
        })?;
        Ok(held.map(|value| if value.is_nan() { None } else { Some(value) }))
    }

    /// Refuses what only a straight line can use, instead of leaving it out unseen.
    fn without_cross(&self) -> Result<(), Failure> {
        match self.covariance_xy {
            None => Ok(()),
            Some(_) => Err(Failure::border(CALCORE_E_OPTION, "covariance_xy is for straight lines only".into())),
        }
    }
}

/// # Safety
/// `u` points to `count` doubles, or `count` is 0.
unsafe fn stated<'a>(what: &str, u: *const f64, count: usize) -> Result<Stated<'a>, Failure> {
    // SAFETY: as promised.
    match unsafe { input(what, u, count) }? {
        [] => Ok(Stated::Nothing),
        [one] => Ok(Stated::Same(*one)),
        each => Ok(Stated::Each(each)),
    }
}

/// Fits R0, A, B and C of a platinum thermometer to `n` temperatures (°C) and resistances (ohm), with errors in both
/// variables. IEC 60751:2022, clause 4; ISO/TS 28037:2010. C needs points below 0 °C: without any it is held at the value
/// of the standard, with a warning.
///
/// `options`: null means nothing stated and nothing held. `*fit` receives a handle that the caller releases by
/// calcore_fit_free.
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_POSITIVE_DEFINITE,
/// CALCORE_E_TOO_FEW_POINTS, CALCORE_E_UNDETERMINED, CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_callendar_van_dusen(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let o = Options::read(options, n)?;
            o.without_cross()?;
            let [r0, a, b, c] = o.held()?;
            let options = CallendarVanDusenOptions {
                u_t: o.u_x,
                u_ohm: o.u_y,
                u_t_common: o.u_x_common,
                u_ohm_common: o.u_y_common,
                covariance_t: o.covariance_x,
                covariance_ohm: o.covariance_y,
                fixed: FixedCoefficients { r0, a, b, c },
                covariance_basis: o.covariance_basis,
                robust: o.robust,
            };
            Ok(Fit::Cvd(callendar_van_dusen(t_c, ohm, &options)?))
        })
    }
}

/// Fits y = intercept + slope x to `n` points with errors in either or both variables. ISO/TS 28037:2010.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_straight_line(
    x: *const f64,
    y: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (x, y) = (input("x", x, n)?, input("y", y, n)?);
            let o = Options::read(options, n)?;
            let [fixed_intercept, fixed_slope] = o.held()?;
            let options = StraightLineOptions {
                u_x: o.u_x,
                u_y: o.u_y,
                u_x_common: o.u_x_common,
                u_y_common: o.u_y_common,
                covariance_x: o.covariance_x,
                covariance_y: o.covariance_y,
                covariance_xy: o.covariance_xy,
                fixed_intercept,
                fixed_slope,
                covariance_basis: o.covariance_basis,
                robust: o.robust,
            };
            Ok(Fit::Line(straight_line(x, y, &options)?))
        })
    }
}

/// Fits a polynomial of the given degree to `n` points.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_polynomial(
    x: *const f64,
    y: *const f64,
    n: usize,
    degree: usize,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (x, y) = (input("x", x, n)?, input("y", y, n)?);
            let o = Options::read(options, n)?;
            o.without_cross()?;
            let options = PolynomialOptions {
                u_x: o.u_x,
                u_y: o.u_y,
                u_x_common: o.u_x_common,
                u_y_common: o.u_y_common,
                covariance_x: o.covariance_x,
                covariance_y: o.covariance_y,
                fixed_lowest: o.fixed,
                covariance_basis: o.covariance_basis,
                robust: o.robust,
            };
            Ok(Fit::Polynomial(polynomial(x, y, degree, &options)?))
        })
    }
}

/// Releases a fit. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_free(fit: *mut calcore_fit) {
    // SAFETY: the contract of the header.
    unsafe { release(fit) }
}

/// What a fit says of its quality. Set `report->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_describe(
    fit: *const calcore_fit,
    report: *mut calcore_fit_report,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, report, || {
            let fit = held(fit)?;
            let (kind, r_squared, held) = match fit {
                Fit::Cvd(f) => (CALCORE_FIT_CVD, f64::NAN, held_bits(f.held)),
                Fit::Line(_) => (CALCORE_FIT_LINE, f64::NAN, 0),
                Fit::Polynomial(f) => (CALCORE_FIT_POLYNOMIAL, f.r_squared, 0),
            };
            Ok(common!(fit, f => calcore_fit_report {
                size: 0,
                points: fit.residuals().len(),
                parameters: fit.parameters().len(),
                degrees_of_freedom: f.degrees_of_freedom,
                warnings: f.warnings.len(),
                iterations: f.iterations,
                chi_squared: f.chi_squared.unwrap_or(f64::NAN),
                p_value: f.p_value.unwrap_or(f64::NAN),
                condition_number: f.condition_number,
                residual_standard_deviation: f.residual_standard_deviation.unwrap_or(f64::NAN),
                r_squared,
                kind,
                covariance_basis: match f.covariance_basis {
                    CovarianceBasis::Stated => CALCORE_BASIS_STATED,
                    CovarianceBasis::Residuals => CALCORE_BASIS_RESIDUALS,
                },
                has_covariance: i32::from(f.covariance.is_some()),
                stop_reason: stop_number(f.stop_reason),
                held,
                reserved: 0,
            }))
        })
    }
}

fn stop_number(reason: StopReason) -> i32 {
    match reason {
        StopReason::SolvedDirectly => CALCORE_STOP_SOLVED_DIRECTLY,
        StopReason::Converged => CALCORE_STOP_CONVERGED,
        StopReason::Stalled => CALCORE_STOP_STALLED,
        _ => CALCORE_STOP_OTHER,
    }
}

/// The CALCORE_HELD_ numbers: one bit for each of r0, a, b, c, in this order.
pub(crate) fn held_bits(held: [bool; 4]) -> i32 {
    held.iter().rev().fold(0, |bits, h| 2 * bits + i32::from(*h))
}

/// The parameters: r0, a, b, c (ohm, 1/K, 1/K^2, 1/K^4); intercept, slope; or the coefficients of 1, x, x^2 and so on.
///
/// `n`: room in `values`, which must be `parameters` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_parameters(
    fit: *const calcore_fit,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("values", &held(fit)?.parameters(), values, n)) }
}

/// Covariance of the parameters, row by row; zero rows for what was held.
///
/// `n`: room in `values`, which must be the square of `parameters`. Status: CALCORE_E_LENGTH_MISMATCH;
/// CALCORE_E_UNDETERMINED where the fit has none.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_covariance(
    fit: *const calcore_fit,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let covariance = held(fit)?.covariance().ok_or_else(|| Error::Undetermined {
                what: "fit",
                parameter: "the covariance of its parameters".into(),
                hint: "state uncertainties, or add points",
            })?;
            copy("values", covariance.values(), values, n)
        })
    }
}

/// Numbers of a fit, one a point. `what`: one of the CALCORE_POINTS_ numbers.
///
/// `n`: room in `values`, which must be `points` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH;
/// CALCORE_E_HANDLE where the kind of fit has no such numbers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_points(
    fit: *const calcore_fit,
    what: i32,
    values: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let fit = held(fit)?;
            let ones;
            let numbers = match what {
                CALCORE_POINTS_RESIDUALS => fit.residuals(),
                CALCORE_POINTS_STANDARDISED => common!(fit, f => &f.standardised_residuals),
                CALCORE_POINTS_LEVERAGE => common!(fit, f => &f.leverage),
                CALCORE_POINTS_ADJUSTED => match fit {
                    Fit::Cvd(f) => &f.adjusted_t_c,
                    Fit::Line(f) => &f.adjusted_x,
                    Fit::Polynomial(f) => &f.adjusted_x,
                },
                CALCORE_POINTS_RESIDUALS_K => &fit.cvd()?.residuals_c,
                CALCORE_POINTS_LEAVE_ONE_OUT => match fit {
                    Fit::Cvd(f) => &f.leave_one_out_residuals_ohm,
                    Fit::Line(f) => &f.leave_one_out_residuals,
                    Fit::Polynomial(f) => &f.leave_one_out_residuals,
                },
                CALCORE_POINTS_WEIGHTS => {
                    let weights = common!(fit, f => &f.weights);
                    ones = vec![1.0; fit.residuals().len()];
                    if weights.is_empty() { &ones } else { weights }
                }
                other => return Err(Failure::option("what", other, "one of the CALCORE_POINTS_ numbers")),
            };
            copy("values", numbers, values, n)
        })
    }
}

/// Warning i of a fit: its stable number, and its text in the caller's buffer.
///
/// Numbers: 1 C held at the standard, 2 C poorly determined, 3 no degrees of freedom, 4 ill conditioned, 5 a parameter
/// poorly determined, 6 high leverage, 7 chi-squared too large, 8 too small, 9 points played down, 10 extrapolation, 11 at a
/// bound, 12 implausible alpha, 13 delta, 14 r0, 15 resistance falls. Buffer, `*needed` and status: as calcore_run_to_json;
/// CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_warning(
    fit: *const calcore_fit,
    i: usize,
    number: *mut i32,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let number = Output::new("number", number)?;
            let warnings = held(fit)?.warnings();
            let warning = warnings.get(i).ok_or_else(|| Failure::index("warning", i, warnings.len()))?;
            write_text(|| Ok(&*warning.text), buffer, capacity, needed)?;
            number.set(warning.code.number());
            Ok(())
        })
    }
}

/// The fitted Callendar-Van Dusen curve. Its range is the calibrated one, widened by 1 K or 2 % of its span.
///
/// `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_cvd(
    fit: *const calcore_fit,
    curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(held(fit)?.cvd()?.curve)) }
}

/// Standard uncertainty, K, of a temperature in °C that the fitted Callendar-Van Dusen curve reads, as far as the curve
/// itself causes it.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNDETERMINED where the fit has no covariance;
/// CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_temperature_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_k", u_k), || Ok(held(fit)?.cvd()?.temperature_uncertainty(t_c)?)) }
}

/// Standard uncertainty, ohm, of a resistance that the fitted Callendar-Van Dusen curve gives at a temperature in °C.
///
/// Status: as calcore_fit_temperature_uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_resistance_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_ohm: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_ohm", u_ohm), || Ok(held(fit)?.cvd()?.resistance_uncertainty(t_c)?)) }
}

/// Two numbers at once.
///
/// # Safety
/// The pointers are null or the caller's.
unsafe fn give_two(
    err: *mut calcore_error,
    first: (&str, *mut f64),
    second: (&str, *mut f64),
    compute: impl FnOnce() -> Result<(f64, f64), Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let (one, two) = (Output::new(first.0, first.1)?, Output::new(second.0, second.1)?);
            let values = compute()?;
            one.set(values.0);
            two.set(values.1);
            Ok(())
        })
    }
}

/// Ordinate of a fitted straight line at an abscissa with a standard uncertainty of its own (0 if exact), and the standard
/// uncertainty of the ordinate. ISO/TS 28037:2010, 11.2.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has no covariance;
/// CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_predict(
    fit: *const calcore_fit,
    x: f64,
    u_x: f64,
    y: *mut f64,
    u_y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("y", y), ("u_y", u_y), || Ok(held(fit)?.line()?.predict(x, u_x)?)) }
}

/// Abscissa at which a fitted straight line has an ordinate with a standard uncertainty of its own, and the standard
/// uncertainty of the abscissa. ISO/TS 28037:2010, 11.1.
///
/// Status: as calcore_fit_predict; CALCORE_E_UNDETERMINED for a horizontal line too.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_predict_inverse(
    fit: *const calcore_fit,
    y: f64,
    u_y: f64,
    x: *mut f64,
    u_x: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_two(err, ("x", x), ("u_x", u_x), || Ok(held(fit)?.line()?.predict_inverse(y, u_y)?)) }
}

/// Value of a fitted polynomial.
///
/// Status: CALCORE_E_NOT_FINITE; CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_value(
    fit: *const calcore_fit,
    x: f64,
    y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("y", y), || Ok(held(fit)?.polynomial()?.value(x)?)) }
}

/// Standard uncertainty of the value of a fitted polynomial, as far as its coefficients cause it.
///
/// Status: as calcore_fit_value; CALCORE_E_UNDETERMINED where the fit has no covariance.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_value_uncertainty(
    fit: *const calcore_fit,
    x: f64,
    u_y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_y", u_y), || Ok(held(fit)?.polynomial()?.value_uncertainty(x)?)) }
}
