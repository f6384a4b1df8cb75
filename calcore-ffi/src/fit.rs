//! Section "fit": from points with uncertainties to a curve, a line or a polynomial with its covariance.

use crate::array::{Output, copy, input};
use crate::curves::calcore_cvd;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::{Record, read};
use crate::sensor_curves::{Curve, calcore_curve};
use crate::status::*;
use calcore::Error;
use calcore::fit::{
    BetaFit, CallendarVanDusenFit, CallendarVanDusenOptions, CovarianceBasis, CurveModel, FitWarning,
    FixedCoefficients, Its90DeviationFit, Its90DeviationOptions, ModelFit, ModelOptions, PolynomialFit,
    PolynomialOptions, Stated, SteinhartHartFit, SteinhartHartTerms, StopReason, StraightLineFit, StraightLineOptions,
    ThermistorOptions, beta, callendar_van_dusen, its90_deviation, polynomial, steinhart_hart, straight_line,
};
use calcore::its90::Subrange;
use calcore::num::covariance::Covariance;
use std::cell::Cell;
use std::ffi::{c_char, c_void};
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

/// Kind of a fit: Steinhart-Hart; parameters a0, a1, a3 or a0, a1, a2, a3; residuals in 1/K, those of 1/T.
pub const CALCORE_FIT_STEINHART_HART: i32 = 3;
/// Kind of a fit: beta of a thermistor; parameters r25, beta; covariance of (ln r25, beta); residuals those of ln R.
pub const CALCORE_FIT_BETA: i32 = 4;
/// Kind of a fit: deviation function of the ITS-90; parameters its coefficients; residuals those of W_r.
pub const CALCORE_FIT_ITS90: i32 = 5;
/// Kind of a fit: a model of the caller.
pub const CALCORE_FIT_MODEL: i32 = 6;

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
/// Numbers of a fit, one a point: temperature that the fitted curve of a sensor reads, minus the given one, K.
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
    /// CALCORE_FIT_CVD to CALCORE_FIT_MODEL.
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
    SteinhartHart(SteinhartHartFit),
    Beta(BetaFit),
    Its90(Its90DeviationFit),
    Model(ModelFit),
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_fit {
    type Held = Fit;
    const WHAT: &'static str = "calcore_fit";
    const TAG: u64 = 0x7469_665f_6363_0005;
}

/// What every kind of fit has, wherever it keeps it.
struct View<'a> {
    kind: i32,
    parameters: Vec<f64>,
    held: i32,
    r_squared: f64,
    covariance: Option<&'a Covariance>,
    covariance_basis: CovarianceBasis,
    residuals: &'a [f64],
    residuals_k: Option<&'a [f64]>,
    standardised: &'a [f64],
    leverage: &'a [f64],
    leave_one_out: &'a [f64],
    weights: &'a [f64],
    adjusted: &'a [f64],
    chi_squared: Option<f64>,
    p_value: Option<f64>,
    degrees_of_freedom: usize,
    condition_number: f64,
    residual_standard_deviation: Option<f64>,
    warnings: &'a [FitWarning],
    iterations: usize,
    stop_reason: StopReason,
}

/// The fields that have the same name in every report.
macro_rules! view {
    ($report:expr, $($field:ident: $value:expr),+ $(,)?) => {
        View {
            $($field: $value,)+
            covariance: $report.covariance.as_ref(),
            covariance_basis: $report.covariance_basis,
            standardised: &$report.standardised_residuals,
            leverage: &$report.leverage,
            weights: &$report.weights,
            chi_squared: $report.chi_squared,
            p_value: $report.p_value,
            degrees_of_freedom: $report.degrees_of_freedom,
            condition_number: $report.condition_number,
            residual_standard_deviation: $report.residual_standard_deviation,
            warnings: &$report.warnings,
            iterations: $report.iterations,
            stop_reason: $report.stop_reason,
        }
    };
}

/// The same for reports that also agree in the names of their points.
macro_rules! view_of_points {
    ($report:expr, $($field:ident: $value:expr),+ $(,)?) => {
        view!(
            $report,
            $($field: $value,)+
            residuals: &$report.residuals,
            leave_one_out: &$report.leave_one_out_residuals,
            adjusted: &$report.adjusted_x,
        )
    };
}

impl Fit {
    fn view(&self) -> View<'_> {
        match self {
            Self::Cvd(f) => view!(
                f,
                kind: CALCORE_FIT_CVD,
                parameters: vec![f.curve.r0(), f.curve.a(), f.curve.b(), f.curve.c()],
                held: held_bits(f.held),
                r_squared: f64::NAN,
                residuals: &f.residuals_ohm,
                residuals_k: Some(&f.residuals_c),
                leave_one_out: &f.leave_one_out_residuals_ohm,
                adjusted: &f.adjusted_t_c,
            ),
            Self::Line(f) => view_of_points!(
                f,
                kind: CALCORE_FIT_LINE,
                parameters: vec![f.intercept, f.slope],
                held: 0,
                r_squared: f64::NAN,
                residuals_k: None,
            ),
            Self::Polynomial(f) => view_of_points!(
                f,
                kind: CALCORE_FIT_POLYNOMIAL,
                parameters: f.coefficients.clone(),
                held: 0,
                r_squared: f.r_squared,
                residuals_k: None,
            ),
            Self::SteinhartHart(f) => {
                let [a0, a1, a2, a3] = f.curve.coefficients();
                view_of_points!(
                    f.report,
                    kind: CALCORE_FIT_STEINHART_HART,
                    parameters: match f.terms {
                        SteinhartHartTerms::Three => vec![a0, a1, a3],
                        SteinhartHartTerms::Four => vec![a0, a1, a2, a3],
                    },
                    held: 0,
                    r_squared: f64::NAN,
                    residuals_k: Some(&f.residuals_c),
                )
            }
            Self::Beta(f) => view_of_points!(
                f.report,
                kind: CALCORE_FIT_BETA,
                parameters: vec![f.r25, f.beta],
                held: 0,
                r_squared: f64::NAN,
                residuals_k: Some(&f.residuals_c),
            ),
            Self::Its90(f) => view_of_points!(
                f.report,
                kind: CALCORE_FIT_ITS90,
                parameters: f.deviation.coefficients().to_vec(),
                held: 0,
                r_squared: f64::NAN,
                residuals_k: Some(&f.residuals_k),
            ),
            Self::Model(f) => view_of_points!(
                f,
                kind: CALCORE_FIT_MODEL,
                parameters: f.parameters.clone(),
                held: 0,
                r_squared: f64::NAN,
                residuals_k: None,
            ),
        }
    }

    fn wrong(needed: &str) -> Failure {
        Failure::border(CALCORE_E_HANDLE, format!("the call needs a fit of {needed}"))
    }

    pub(crate) fn cvd(&self) -> Result<&CallendarVanDusenFit, Failure> {
        if let Self::Cvd(fit) = self { Ok(fit) } else { Err(Self::wrong("a Callendar-Van Dusen curve")) }
    }

    fn line(&self) -> Result<&StraightLineFit, Failure> {
        if let Self::Line(fit) = self { Ok(fit) } else { Err(Self::wrong("a straight line")) }
    }

    fn polynomial(&self) -> Result<&PolynomialFit, Failure> {
        if let Self::Polynomial(fit) = self { Ok(fit) } else { Err(Self::wrong("a polynomial")) }
    }

    fn its90(&self) -> Result<&Its90DeviationFit, Failure> {
        if let Self::Its90(fit) = self { Ok(fit) } else { Err(Self::wrong("an ITS-90 deviation")) }
    }
}

/// The caller's options with their arrays.
pub(crate) struct Options<'a> {
    pub(crate) u_x: Stated<'a>,
    pub(crate) u_y: Stated<'a>,
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
    pub(crate) unsafe fn read(options: *const calcore_fit_options, n: usize) -> Result<Self, Failure> {
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
        refuse(self.covariance_xy.is_some(), "covariance_xy is for straight lines only")
    }

    /// As the fits of thermistors take them.
    fn thermistor(&self) -> Result<ThermistorOptions<'a>, Failure> {
        self.without_covariances()?;
        Ok(ThermistorOptions {
            u_t: self.u_x,
            u_ohm: self.u_y,
            u_t_common: self.u_x_common,
            u_ohm_common: self.u_y_common,
            robust: self.robust,
            covariance_basis: self.covariance_basis,
        })
    }

    /// Refuses held parameters where a model has none.
    fn without_held(&self) -> Result<(), Failure> {
        self.without_cross()?;
        refuse(!self.fixed.is_empty(), "this kind of fit holds no parameter: leave out fixed")
    }

    /// Refuses covariances where only uncertainties are taken.
    fn without_covariances(&self) -> Result<(), Failure> {
        self.without_held()?;
        let given = self.covariance_x.is_some() || self.covariance_y.is_some();
        refuse(given, "this kind of fit takes u_x and u_y, and no covariance")
    }
}

fn refuse(given: bool, why: &str) -> Result<(), Failure> {
    if given { Err(Failure::border(CALCORE_E_OPTION, why.into())) } else { Ok(()) }
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

/// Fits the equation of Steinhart and Hart to `n` temperatures (°C) and resistances (ohm). `terms`: 3 (the original, without
/// the quadratic term) or 4. Covariances in the options are refused.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_steinhart_hart(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    terms: i32,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let terms = match terms {
                3 => SteinhartHartTerms::Three,
                4 => SteinhartHartTerms::Four,
                other => return Err(Failure::option("terms", other, "3 or 4")),
            };
            Ok(Fit::SteinhartHart(steinhart_hart(t_c, ohm, terms, &Options::read(options, n)?.thermistor()?)?))
        })
    }
}

/// Fits resistance at 25 °C and beta of a thermistor to `n` temperatures (°C) and resistances (ohm). Covariances in the
/// options are refused.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_beta(
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
            Ok(Fit::Beta(beta(t_c, ohm, &Options::read(options, n)?.thermistor()?)?))
        })
    }
}

/// Fits the deviation function of a sub-range of the ITS-90 to `n` temperatures (kelvin) and ratios W. Sub-ranges: as
/// calcore_sprt_new.
///
/// Options, ownership and status: as calcore_fit_callendar_van_dusen; CALCORE_E_UNKNOWN_NAME, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_its90_deviation(
    t_k: *const f64,
    w: *const f64,
    n: usize,
    subrange: *const c_char,
    options: *const calcore_fit_options,
    fit: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("fit", fit), || {
            let (t_k, w) = (input("t_k", t_k, n)?, input("w", w, n)?);
            let subrange = Subrange::from_name(read_name("subrange", subrange)?)?;
            let o = Options::read(options, n)?;
            o.without_held()?;
            let options = Its90DeviationOptions {
                u_t: o.u_x,
                u_w: o.u_y,
                u_t_common: o.u_x_common,
                u_w_common: o.u_y_common,
                covariance_t: o.covariance_x,
                covariance_w: o.covariance_y,
                robust: o.robust,
                covariance_basis: o.covariance_basis,
            };
            Ok(Fit::Its90(its90_deviation(t_k, w, subrange, &options)?))
        })
    }
}

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
            let f = held(fit)?.view();
            Ok(calcore_fit_report {
                size: 0,
                points: f.residuals.len(),
                parameters: f.parameters.len(),
                degrees_of_freedom: f.degrees_of_freedom,
                warnings: f.warnings.len(),
                iterations: f.iterations,
                chi_squared: f.chi_squared.unwrap_or(f64::NAN),
                p_value: f.p_value.unwrap_or(f64::NAN),
                condition_number: f.condition_number,
                residual_standard_deviation: f.residual_standard_deviation.unwrap_or(f64::NAN),
                r_squared: f.r_squared,
                kind: f.kind,
                covariance_basis: match f.covariance_basis {
                    CovarianceBasis::Stated => CALCORE_BASIS_STATED,
                    CovarianceBasis::Residuals => CALCORE_BASIS_RESIDUALS,
                },
                has_covariance: i32::from(f.covariance.is_some()),
                stop_reason: stop_number(f.stop_reason),
                held: f.held,
                reserved: 0,
            })
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
    unsafe { guard(err, || copy("values", &held(fit)?.view().parameters, values, n)) }
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
            let covariance = held(fit)?.view().covariance.ok_or_else(|| Error::Undetermined {
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
            let f = held(fit)?.view();
            let ones = vec![1.0; f.residuals.len()];
            let numbers = match what {
                CALCORE_POINTS_RESIDUALS => f.residuals,
                CALCORE_POINTS_STANDARDISED => f.standardised,
                CALCORE_POINTS_LEVERAGE => f.leverage,
                CALCORE_POINTS_ADJUSTED => f.adjusted,
                CALCORE_POINTS_RESIDUALS_K => f.residuals_k.ok_or_else(|| Fit::wrong("a sensor"))?,
                CALCORE_POINTS_LEAVE_ONE_OUT => f.leave_one_out,
                CALCORE_POINTS_WEIGHTS if f.weights.is_empty() => &ones,
                CALCORE_POINTS_WEIGHTS => f.weights,
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
            let warnings = held(fit)?.view().warnings;
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

/// The fitted curve of a Callendar-Van Dusen thermometer or a thermistor behind the general handle.
///
/// `*curve` receives a handle that the caller releases by calcore_curve_free. Status: CALCORE_E_HANDLE for another kind of fit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_curve(
    fit: *const calcore_fit,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("curve", curve), || match held(fit)? {
            Fit::Cvd(f) => Ok(Curve::Cvd(f.curve)),
            Fit::SteinhartHart(f) => Ok(Curve::SteinhartHart(f.curve)),
            Fit::Beta(f) => Ok(Curve::Beta(f.curve)),
            _ => Err(Fit::wrong("a Callendar-Van Dusen curve or a thermistor")),
        })
    }
}

/// The thermometer of a fitted ITS-90 deviation with its resistance at the triple point of water, ohm.
///
/// Ownership and status: as calcore_fit_curve; CALCORE_E_INVALID_VALUE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_sprt(
    fit: *const calcore_fit,
    r_tpw: f64,
    curve: *mut *mut calcore_curve,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(Curve::Sprt(held(fit)?.its90()?.thermometer(r_tpw)?))) }
}

/// Standard uncertainty, K, of a temperature in kelvin that a fitted ITS-90 deviation reads, as far as the deviation itself
/// causes it.
///
/// Status: as calcore_fit_temperature_uncertainty.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_its90_temperature_uncertainty(
    fit: *const calcore_fit,
    t_k: f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("u_k", u_k), || Ok(held(fit)?.its90()?.temperature_uncertainty(t_k)?)) }
}

/// Standard uncertainty, K, of a temperature in °C that the fitted curve of a Callendar-Van Dusen thermometer or a
/// Steinhart-Hart thermistor reads, as far as the curve itself causes it.
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
    unsafe {
        give(err, ("u_k", u_k), || match held(fit)? {
            Fit::Cvd(f) => Ok(f.temperature_uncertainty(t_c)?),
            Fit::SteinhartHart(f) => Ok(f.temperature_uncertainty(t_c)?),
            _ => Err(Fit::wrong("a Callendar-Van Dusen curve or a Steinhart-Hart thermistor")),
        })
    }
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
pub(crate) unsafe fn give_two(
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
