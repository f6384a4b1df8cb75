//! Section "fit": the handle of a finished fit of any kind.

use crate::handle::{Handle, release};
use crate::message::Failure;
use crate::sensor_curves::curve::Curve;
use crate::status::*;
use calcore::fit::*;

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

/// Kind of a fit: deviation of a sensor from its reference curve; parameters its coefficients from the first power of t on, or
/// from the constant on if the deviation is free at 0 °C; residuals in the unit of the signal.
pub const CALCORE_FIT_DEVIATION: i32 = 7;

/// Bit of `held`: R0 was held.
pub const CALCORE_HELD_R0: i32 = 1;
/// Bit of `held`: A was held.
pub const CALCORE_HELD_A: i32 = 2;
/// Bit of `held`: B was held.
pub const CALCORE_HELD_B: i32 = 4;
/// Bit of `held`: C was held.
pub const CALCORE_HELD_C: i32 = 8;

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
    Deviation {
        fit: Box<DeviationFit<Curve>>,
        /// Power of t that belongs to the first parameter.
        first: usize,
    },
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_fit {
    type Held = Fit;
    const WHAT: &'static str = "calcore_fit";
    const TAG: u64 = 0x7469_665f_6363_0005;
}

/// What the face shows of a fit of any kind.
pub(super) struct View<'a> {
    pub(super) kind: i32,
    pub(super) parameters: Vec<f64>,
    /// The CALCORE_HELD_ bits of a Callendar-Van Dusen fit.
    pub(super) held: i32,
    /// Of a polynomial; NaN for others.
    pub(super) r_squared: f64,
    /// Residuals read as temperatures, K, where the fit is one of a sensor.
    pub(super) residuals_k: Option<&'a [f64]>,
    pub(super) report: &'a FitReport,
}

impl<'a> View<'a> {
    fn new(kind: i32, parameters: Vec<f64>, report: &'a FitReport, residuals_k: Option<&'a [f64]>) -> Self {
        Self { kind, parameters, held: 0, r_squared: f64::NAN, residuals_k, report }
    }
}

impl Fit {
    pub(super) fn view(&self) -> View<'_> {
        match self {
            Self::Cvd(f) => View {
                held: held_bits(f.held),
                ..View::new(
                    CALCORE_FIT_CVD,
                    vec![f.curve.r0(), f.curve.a(), f.curve.b(), f.curve.c()],
                    &f.report,
                    Some(&f.residuals_c),
                )
            },
            Self::Line(f) => View::new(CALCORE_FIT_LINE, vec![f.intercept, f.slope], &f.report, None),
            Self::Polynomial(f) => View {
                r_squared: f.r_squared,
                ..View::new(CALCORE_FIT_POLYNOMIAL, f.coefficients.clone(), &f.report, None)
            },
            Self::SteinhartHart(f) => {
                let [a0, a1, a2, a3] = f.curve.coefficients();
                let parameters = match f.terms {
                    SteinhartHartTerms::Three => vec![a0, a1, a3],
                    SteinhartHartTerms::Four => vec![a0, a1, a2, a3],
                };
                View::new(CALCORE_FIT_STEINHART_HART, parameters, &f.report, Some(&f.residuals_c))
            }
            Self::Beta(f) => View::new(CALCORE_FIT_BETA, vec![f.r25, f.beta], &f.report, Some(&f.residuals_c)),
            Self::Its90(f) => {
                View::new(CALCORE_FIT_ITS90, f.deviation.coefficients().to_vec(), &f.report, Some(&f.residuals_k))
            }
            Self::Deviation { fit: f, first } => View::new(
                CALCORE_FIT_DEVIATION,
                f.curve.coefficients()[*first..].to_vec(),
                &f.report,
                Some(&f.residuals_c),
            ),
            Self::Model(f) => View::new(CALCORE_FIT_MODEL, f.parameters.clone(), &f.report, None),
        }
    }

    pub(super) fn wrong(needed: &str) -> Failure {
        Failure::border(CALCORE_E_HANDLE, format!("the call needs a fit of {needed}"))
    }

    pub(crate) fn cvd(&self) -> Result<&CallendarVanDusenFit, Failure> {
        if let Self::Cvd(fit) = self { Ok(fit) } else { Err(Self::wrong("a Callendar-Van Dusen curve")) }
    }

    pub(super) fn line(&self) -> Result<&StraightLineFit, Failure> {
        if let Self::Line(fit) = self { Ok(fit) } else { Err(Self::wrong("a straight line")) }
    }

    pub(super) fn polynomial(&self) -> Result<&PolynomialFit, Failure> {
        if let Self::Polynomial(fit) = self { Ok(fit) } else { Err(Self::wrong("a polynomial")) }
    }

    pub(super) fn its90(&self) -> Result<&Its90DeviationFit, Failure> {
        if let Self::Its90(fit) = self { Ok(fit) } else { Err(Self::wrong("an ITS-90 deviation")) }
    }
}

/// The CALCORE_HELD_ numbers: one bit for each of r0, a, b, c, in this order.
pub(crate) fn held_bits(held: [bool; 4]) -> i32 {
    held.iter().rev().fold(0, |bits, h| 2 * bits + i32::from(*h))
}

/// Releases a fit. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_free(fit: *mut calcore_fit) {
    // SAFETY: the contract of the header.
    unsafe { release(fit) }
}
