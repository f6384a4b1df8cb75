//! Fit of a polynomial.

use super::{Fitted, Spread, basis, refit, report_view};
use crate::arrays::{elementwise, series, unlocked};
use crate::errors::OrRaise;
use crate::objects::{Series, add_function, html_table, shown};
use crate::whole::whole_number;
use calcore::fit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What went into a fit.
#[derive(Clone, PartialEq)]
pub(crate) struct Given {
    x: Vec<f64>,
    y: Vec<f64>,
    degree: usize,
    x_errors: Spread,
    y_errors: Spread,
    fixed_lowest: Vec<f64>,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

report_view! {
    /// A fitted polynomial.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.polynomial([0.0, 1.0, 2.0, 3.0], [1.0, 2.0, 7.0, 16.0], 2)
    /// >>> fit.coefficients.round(9) + 0.0
    /// array([ 1., -1.,  2.])
    PolynomialFit(Fitted<core::PolynomialFit, Given>) in "calcore.fit" {
        /// Coefficients of 1, x, x², …; held ones included.
        coefficients: Series = |f| Series(f.fit.coefficients.clone());
        /// Their standard uncertainties, 0 for held ones; None where the fit has no covariance.
        standard_errors: Option<Series> = |f| f.fit.standard_errors.clone().map(Series);
        /// Part of the sum of squares that the fit explains.
        r_squared: f64 = |f| f.fit.r_squared;
    }

    /// Value of the polynomial, in the mapped basis: powers of x would lose digits far from the origin.
    ///
    /// Parameters
    /// ----------
    /// x : float or array-like
    ///     Abscissa.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.fit.polynomial([0.0, 1.0, 2.0], [1.0, 2.0, 7.0], 2).value([0.0, 3.0]).round(9)
    /// array([ 1., 16.])
    fn value<'py>(&self, x: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("x", x, |x| self.0.fit.value(x))
    }

    /// Standard uncertainty of that value, as far as the coefficients cause it.
    ///
    /// Parameters
    /// ----------
    /// x : float or array-like
    ///     Abscissa.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.fit.polynomial([0.0, 1.0, 2.0], [1.0, 2.0, 7.0], 2, u_y=0.1).value_uncertainty(1.0), 9)
    /// 0.1
    fn value_uncertainty<'py>(&self, x: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("x", x, |x| self.0.fit.value_uncertainty(x))
    }

    fn __repr__(&self) -> String {
        format!(
            "PolynomialFit(degree {}, coefficients {:?}, {} points, {} degrees of freedom)",
            self.0.given.degree,
            self.0.fit.coefficients,
            self.0.given.x.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn _repr_html_(&self) -> String {
        let fit = &self.0.fit;
        let rows: Vec<Vec<String>> = fit
            .coefficients
            .iter()
            .enumerate()
            .map(|(power, value)| {
                let error = fit.standard_errors.as_ref().and_then(|errors| errors.get(power).copied());
                vec![format!("x^{power}"), shown(*value), error.map_or("unknown".into(), shown)]
            })
            .collect();
        let caption = format!("Polynomial, {} degrees of freedom", fit.report.degrees_of_freedom);
        html_table(&caption, &["power", "coefficient", "standard uncertainty"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = PyDict::new(slf.py());
        given.x_errors.set(&options)?;
        given.y_errors.set(&options)?;
        options.set_item("fixed_lowest", Series(given.fixed_lowest.clone()))?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        let arguments = (Series(given.x.clone()), Series(given.y.clone()), given.degree);
        refit("polynomial", arguments, &options)
    }
}

/// Fits a polynomial of a degree.
///
/// The abscissa is mapped to -1 … 1, so that the powers do not run into each other.
///
/// Parameters
/// ----------
/// x, y : array-like
///     The points.
/// degree : int
///     Highest power.
/// u_y : float or array-like, optional
///     Standard uncertainty of each ordinate, independent of the others.
/// covariance_y : array-like, optional
///     Covariance of the ordinates, instead of `u_y`.
/// u_x : float or array-like, optional
///     Standard uncertainty of each abscissa, independent of the others.
/// covariance_x : array-like, optional
///     Covariance of the abscissae, instead of `u_x`.
/// u_x_common, u_y_common : float
///     Standard uncertainty of an error shared by all abscissae or ordinates.
/// fixed_lowest : array-like, optional
///     Values at which the lowest coefficients are held: [0.0] for a polynomial through the origin.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// PolynomialFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError
/// TooFewPointsError
///     Where the points do not suffice.
///
/// Source
/// ------
/// G. E. Forsythe, J. SIAM 5 (1957) 74.
///
/// Examples
/// --------
/// >>> fit = cc.fit.polynomial([1.0, 2.0, 3.0], [2.0, 8.0, 18.0], 2, fixed_lowest=[0.0])
/// >>> fit.coefficients.round(9) + 0.0
/// array([0., 0., 2.])
#[pyfunction]
#[pyo3(signature = (x, y, degree, *, u_y=None, covariance_y=None, u_x=None, covariance_x=None, u_x_common=0.0,
                    u_y_common=0.0, fixed_lowest=None, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn polynomial(
    py: Python<'_>,
    x: &Bound<'_, PyAny>,
    y: &Bound<'_, PyAny>,
    #[pyo3(from_py_with = whole_number)] degree: usize,
    u_y: Option<&Bound<'_, PyAny>>,
    covariance_y: Option<&Bound<'_, PyAny>>,
    u_x: Option<&Bound<'_, PyAny>>,
    covariance_x: Option<&Bound<'_, PyAny>>,
    u_x_common: f64,
    u_y_common: f64,
    fixed_lowest: Option<&Bound<'_, PyAny>>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<PolynomialFit> {
    let (x, y) = (series("x", x)?, series("y", y)?);
    let x_errors = Spread::read(["u_x", "u_x_common", "covariance_x"], x.len(), u_x, u_x_common, covariance_x)?;
    let y_errors = Spread::read(["u_y", "u_y_common", "covariance_y"], y.len(), u_y, u_y_common, covariance_y)?;
    let fixed_lowest = fixed_lowest.map_or(Ok(Vec::new()), |values| series("fixed_lowest", values))?;
    let covariance_basis = basis(py, covariance_basis)?;
    let options = core::PolynomialOptions {
        u_x: x_errors.own.as_core(),
        u_y: y_errors.own.as_core(),
        u_x_common,
        u_y_common,
        covariance_x: x_errors.covariance.as_deref(),
        covariance_y: y_errors.covariance.as_deref(),
        fixed_lowest: &fixed_lowest,
        robust,
        covariance_basis,
    };
    let fit = unlocked(py, x.len() * x.len(), || core::polynomial(&x, &y, degree, &options)).or_raise(py)?;
    let given = Given { x, y, degree, x_errors, y_errors, fixed_lowest, robust, covariance_basis };
    Ok(PolynomialFit(Fitted { fit, given }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<PolynomialFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(polynomial, module)?)
}
