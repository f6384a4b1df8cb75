//! Section "fit": what is known of the points, and what is held.

use crate::array::input;
use crate::message::Failure;
use crate::record::{read, records};
use crate::status::*;
use calcore::Error;
use calcore::fit::{CovarianceBasis, Stated, ThermistorOptions};
use std::ptr;

/// Basis of a covariance: stated uncertainties where there are any, else the residuals.
pub const CALCORE_BASIS_DEFAULT: i32 = 0;
/// Basis of a covariance: the stated uncertainties alone.
pub const CALCORE_BASIS_STATED: i32 = 1;
/// Basis of a covariance: scaled so that chi-squared equals its degrees of freedom.
pub const CALCORE_BASIS_RESIDUALS: i32 = 2;

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

records!(calcore_fit_options);

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

/// The caller's options with their arrays.
pub(super) struct Options<'a> {
    pub(super) u_x: Stated<'a>,
    pub(super) u_y: Stated<'a>,
    pub(super) u_x_common: f64,
    pub(super) u_y_common: f64,
    pub(super) covariance_x: Option<&'a [f64]>,
    pub(super) covariance_y: Option<&'a [f64]>,
    pub(super) covariance_xy: Option<&'a [f64]>,
    pub(super) fixed: &'a [f64],
    pub(super) covariance_basis: Option<CovarianceBasis>,
    pub(super) robust: bool,
}

impl<'a> Options<'a> {
    /// # Safety
    /// `options` is null or a struct whose arrays are as its fields say, for `n` points.
    pub(super) unsafe fn read(options: *const calcore_fit_options, n: usize) -> Result<Self, Failure> {
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
    pub(super) fn held<const N: usize>(&self) -> Result<[Option<f64>; N], Failure> {
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
    pub(super) fn without_cross(&self) -> Result<(), Failure> {
        refuse(self.covariance_xy.is_some(), "covariance_xy is for straight lines only")
    }

    /// As the fits of thermistors take them.
    pub(super) fn thermistor(&self) -> Result<ThermistorOptions<'a>, Failure> {
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
    pub(super) fn without_held(&self) -> Result<(), Failure> {
        self.without_cross()?;
        refuse(!self.fixed.is_empty(), "this kind of fit holds no parameter: leave out fixed")
    }

    /// Refuses what a batch does not take.
    pub(super) fn for_a_batch(&self) -> Result<(), Failure> {
        self.without_cross()?;
        let given = self.covariance_x.is_some() || self.covariance_y.is_some();
        refuse(given, "a batch takes u_x and u_y, and no covariance")?;
        refuse(self.robust || self.covariance_basis.is_some(), "a batch takes neither robust nor covariance_basis")
    }

    /// Refuses covariances where only uncertainties are taken.
    pub(super) fn without_covariances(&self) -> Result<(), Failure> {
        self.without_held()?;
        let given = self.covariance_x.is_some() || self.covariance_y.is_some();
        refuse(given, "this kind of fit takes u_x and u_y, and no covariance")
    }
}

pub(super) fn refuse(given: bool, why: &str) -> Result<(), Failure> {
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
