//! Fit of a straight line.

use super::{Fitted, Spread, basis, matrix, refit, report_view};
use crate::arrays::{elementwise2, series, square, unlocked};
use crate::errors::OrRaise;
use crate::objects::{Series, add_function, html_table, shown};
use calcore::fit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What went into a fit.
#[derive(Clone, PartialEq)]
pub(crate) struct Given {
    x: Vec<f64>,
    y: Vec<f64>,
    x_errors: Spread,
    y_errors: Spread,
    covariance_xy: Option<Vec<f64>>,
    fixed_intercept: Option<f64>,
    fixed_slope: Option<f64>,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

report_view! {
    /// A fitted line y = intercept + slope x.
    ///
    /// Examples
    /// --------
    /// >>> line = cc.fit.straight_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0], u_y=0.1)
    /// >>> round(line.intercept, 9), round(line.slope, 9)
    /// (1.0, 2.0)
    StraightLineFit(Fitted<core::StraightLineFit, Given>) in "calcore.fit" {
        /// Value at x = 0.
        intercept: f64 = |f| f.fit.intercept;
        /// Change of y per unit of x.
        slope: f64 = |f| f.fit.slope;
    }

    /// Ordinate of the line at an abscissa, and its standard uncertainty.
    ///
    /// Parameters
    /// ----------
    /// x : float or array-like
    ///     Abscissa.
    /// u_x : float or array-like
    ///     Its standard uncertainty.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the common shape
    ///     Ordinate and standard uncertainty.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Source
    /// ------
    /// ISO/TS 28037:2010, 11.2.
    ///
    /// Examples
    /// --------
    /// >>> line = cc.fit.straight_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0], u_y=0.1)
    /// >>> y, u = line.predict(1.0)
    /// >>> round(y, 9), round(u, 4)
    /// (3.0, 0.0577)
    #[pyo3(signature = (x, u_x=None))]
    fn predict<'py>(
        &self,
        x: &Bound<'py, PyAny>,
        u_x: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let zero = 0.0f64.into_pyobject(x.py())?.into_any();
        let arguments = [x, u_x.unwrap_or(&zero)];
        let value = elementwise2(["x", "u_x"], arguments, |x, u| Ok(self.0.fit.predict(x, u)?.0))?;
        Ok((value, elementwise2(["x", "u_x"], arguments, |x, u| Ok(self.0.fit.predict(x, u)?.1))?))
    }

    /// Abscissa at which the line has an ordinate, and its standard uncertainty.
    ///
    /// Parameters
    /// ----------
    /// y : float or array-like
    ///     Ordinate.
    /// u_y : float or array-like
    ///     Its standard uncertainty.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the common shape
    ///     Abscissa and standard uncertainty.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    /// UndeterminedError
    ///     Where the fit has no covariance, or the line is horizontal.
    ///
    /// Source
    /// ------
    /// ISO/TS 28037:2010, 11.1.
    ///
    /// Examples
    /// --------
    /// >>> line = cc.fit.straight_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0], u_y=0.1)
    /// >>> x, u = line.predict_inverse(3.0, 0.1)
    /// >>> round(x, 9), round(u, 4)
    /// (1.0, 0.0577)
    #[pyo3(signature = (y, u_y=None))]
    fn predict_inverse<'py>(
        &self,
        y: &Bound<'py, PyAny>,
        u_y: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let zero = 0.0f64.into_pyobject(y.py())?.into_any();
        let arguments = [y, u_y.unwrap_or(&zero)];
        let value = elementwise2(["y", "u_y"], arguments, |y, u| Ok(self.0.fit.predict_inverse(y, u)?.0))?;
        Ok((value, elementwise2(["y", "u_y"], arguments, |y, u| Ok(self.0.fit.predict_inverse(y, u)?.1))?))
    }

    fn __repr__(&self) -> String {
        let core::StraightLineFit { intercept, slope, report } = &self.0.fit;
        format!(
            "StraightLineFit(y = {intercept:?} + {slope:?} x, {} points, {} degrees of freedom)",
            self.0.given.x.len(),
            report.degrees_of_freedom
        )
    }

    fn _repr_html_(&self) -> String {
        let fit = &self.0.fit;
        let uncertainty = |i: usize| {
            fit.report.covariance.as_ref().map_or("unknown".into(), |covariance| shown(covariance.standard_uncertainty(i)))
        };
        let rows = vec![
            vec!["intercept".into(), shown(fit.intercept), uncertainty(0)],
            vec!["slope".into(), shown(fit.slope), uncertainty(1)],
        ];
        let caption = format!("Straight line, {} degrees of freedom", fit.report.degrees_of_freedom);
        html_table(&caption, &["parameter", "value", "standard uncertainty"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = PyDict::new(slf.py());
        given.x_errors.set(&options)?;
        given.y_errors.set(&options)?;
        options.set_item("covariance_xy", matrix(given.x.len(), given.covariance_xy.as_ref()))?;
        options.set_item("fixed_intercept", given.fixed_intercept)?;
        options.set_item("fixed_slope", given.fixed_slope)?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        refit("straight_line", (Series(given.x.clone()), Series(given.y.clone())), &options)
    }
}

/// Fits y = intercept + slope x.
///
/// Least squares weighted by the whole covariance of the points, errors in both variables exactly.
///
/// Parameters
/// ----------
/// x, y : array-like
///     The points.
/// u_x, u_y : float or array-like, optional
///     Standard uncertainty of each abscissa or ordinate, independent of the others.
/// covariance_x, covariance_y : array-like, optional
///     Covariance of the abscissae or ordinates, instead of `u_x` or `u_y`.
/// covariance_xy : array-like, optional
///     Covariance of each abscissa (row) with each ordinate (column).
/// u_x_common, u_y_common : float
///     Standard uncertainty of an error shared by all abscissae or ordinates.
/// fixed_intercept, fixed_slope : float, optional
///     Value at which one of the two is held.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// StraightLineFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// ISO/TS 28037:2010, clauses 6 to 10; JCGM 100:2008, H.3.
///
/// Examples
/// --------
/// >>> line = cc.fit.straight_line([1, 2, 3, 4, 5, 6], [3.3, 5.6, 7.1, 9.3, 10.7, 12.1], u_y=0.5)
/// >>> round(line.intercept, 3), round(line.slope, 3), round(line.chi_squared, 3)
/// (1.867, 1.757, 1.665)
#[pyfunction]
#[pyo3(signature = (x, y, *, u_x=None, u_y=None, covariance_x=None, covariance_y=None, covariance_xy=None,
                    u_x_common=0.0, u_y_common=0.0, fixed_intercept=None, fixed_slope=None, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn straight_line(
    py: Python<'_>,
    x: &Bound<'_, PyAny>,
    y: &Bound<'_, PyAny>,
    u_x: Option<&Bound<'_, PyAny>>,
    u_y: Option<&Bound<'_, PyAny>>,
    covariance_x: Option<&Bound<'_, PyAny>>,
    covariance_y: Option<&Bound<'_, PyAny>>,
    covariance_xy: Option<&Bound<'_, PyAny>>,
    u_x_common: f64,
    u_y_common: f64,
    fixed_intercept: Option<f64>,
    fixed_slope: Option<f64>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<StraightLineFit> {
    let (x, y) = (series("x", x)?, series("y", y)?);
    let x_errors = Spread::read(["u_x", "u_x_common", "covariance_x"], x.len(), u_x, u_x_common, covariance_x)?;
    let y_errors = Spread::read(["u_y", "u_y_common", "covariance_y"], y.len(), u_y, u_y_common, covariance_y)?;
    let covariance_xy = covariance_xy.map(|matrix| square("covariance_xy", x.len(), matrix)).transpose()?;
    let covariance_basis = basis(py, covariance_basis)?;
    let options = core::StraightLineOptions {
        u_x: x_errors.own.as_core(),
        u_y: y_errors.own.as_core(),
        u_x_common,
        u_y_common,
        covariance_x: x_errors.covariance.as_deref(),
        covariance_y: y_errors.covariance.as_deref(),
        covariance_xy: covariance_xy.as_deref(),
        fixed_intercept,
        fixed_slope,
        robust,
        covariance_basis,
    };
    let fit = unlocked(py, x.len() * x.len(), || core::straight_line(&x, &y, &options)).or_raise(py)?;
    let given =
        Given { x, y, x_errors, y_errors, covariance_xy, fixed_intercept, fixed_slope, robust, covariance_basis };
    Ok(StraightLineFit(Fitted { fit, given }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<StraightLineFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(straight_line, module)?)
}
