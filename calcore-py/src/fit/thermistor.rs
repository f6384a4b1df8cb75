//! Fits of thermistors.

use super::{Fitted, Spread, basis, refit, report_view};
use crate::arrays::{elementwise, series, unlocked};
use crate::curves::{BetaThermistor, SteinhartHart};
use crate::errors::{OrRaise, exception};
use crate::objects::{Series, add_function};
use crate::whole::whole_number;
use calcore::Error;
use calcore::fit::{self as core, SteinhartHartTerms};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What went into a fit.
#[derive(Clone, PartialEq)]
pub(crate) struct Given {
    t_c: Vec<f64>,
    ohm: Vec<f64>,
    terms: u8,
    t_errors: Spread,
    ohm_errors: Spread,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

impl Given {
    #[allow(clippy::too_many_arguments)]
    fn read(
        t_c: &Bound<'_, PyAny>,
        ohm: &Bound<'_, PyAny>,
        terms: u8,
        u_t: Option<&Bound<'_, PyAny>>,
        u_ohm: Option<&Bound<'_, PyAny>>,
        common: (f64, f64),
        robust: bool,
        covariance_basis: Option<&str>,
    ) -> PyResult<Self> {
        let py = t_c.py();
        let (t_c, ohm) = (series("t_c", t_c)?, series("ohm", ohm)?);
        let t_errors = Spread::read(["u_t", "u_t_common", "covariance_t"], t_c.len(), u_t, common.0, None)?;
        let ohm_errors = Spread::read(["u_ohm", "u_ohm_common", "covariance_ohm"], ohm.len(), u_ohm, common.1, None)?;
        Ok(Self { t_c, ohm, terms, t_errors, ohm_errors, robust, covariance_basis: basis(py, covariance_basis)? })
    }

    fn options(&self) -> core::ThermistorOptions<'_> {
        core::ThermistorOptions {
            u_t: self.t_errors.own.as_core(),
            u_ohm: self.ohm_errors.own.as_core(),
            u_t_common: self.t_errors.common,
            u_ohm_common: self.ohm_errors.common,
            robust: self.robust,
            covariance_basis: self.covariance_basis,
        }
    }

    fn python_options<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let options = PyDict::new(py);
        self.t_errors.set_plain(&options)?;
        self.ohm_errors.set_plain(&options)?;
        options.set_item("robust", self.robust)?;
        options.set_item("covariance_basis", self.covariance_basis.map(core::CovarianceBasis::name))?;
        Ok(options)
    }
}

report_view! {
    /// A thermistor fitted by the equation of Steinhart and Hart.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.steinhart_hart([50.0, 85.0, 125.0], [34780.0, 9744.0, 2872.0])
    /// >>> round(fit.curve.temperature(6005.0), 1)
    /// 100.0
    SteinhartHartFit(Fitted<core::SteinhartHartFit, Given>) in "calcore.fit" {
        /// The fitted curve; its range is that of the points, a little widened.
        curve: SteinhartHart = |f| SteinhartHart(f.fit.curve);
        /// Temperature that the fitted curve reads from the resistance, minus the given one, K.
        residuals_c: Series = |f| Series(f.fit.residuals_c.clone());
    }

    /// Standard uncertainty of a temperature that the fitted curve reads, as far as the curve causes it, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.steinhart_hart([50.0, 85.0, 125.0], [34780.0, 9744.0, 2872.0], u_t=0.01)
    /// >>> round(fit.temperature_uncertainty(85.0), 4)
    /// 0.01
    fn temperature_uncertainty<'py>(&self, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.fit.temperature_uncertainty(x))
    }

    fn __repr__(&self) -> String {
        let [a, b, quadratic, c] = self.0.fit.curve.coefficients();
        format!(
            "SteinhartHartFit(a={a:?} /K, b={b:?} /K, c={c:?} /K, quadratic={quadratic:?} /K, {} points, {} degrees of \
             freedom)",
            self.0.given.t_c.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = given.python_options(slf.py())?;
        options.set_item("terms", given.terms)?;
        refit("steinhart_hart", (Series(given.t_c.clone()), Series(given.ohm.clone())), &options)
    }
}

report_view! {
    /// A thermistor fitted by its resistance at 25 °C and its beta.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.fit.beta([50.0, 125.0], [34780.0, 2872.0]).beta, 6)
    /// 4278.504192
    BetaFit(Fitted<core::BetaFit, Given>) in "calcore.fit" {
        /// The fitted curve; its range is that of the points, a little widened.
        curve: BetaThermistor = |f| BetaThermistor(f.fit.curve);
        /// Resistance at 25 °C, ohm.
        r25: f64 = |f| f.fit.r25;
        /// Beta, K.
        beta: f64 = |f| f.fit.beta;
        /// Temperature that the fitted curve reads from the resistance, minus the given one, K.
        residuals_c: Series = |f| Series(f.fit.residuals_c.clone());
    }

    fn __repr__(&self) -> String {
        format!(
            "BetaFit(r25={:?} ohm, beta={:?} K, {} points, {} degrees of freedom)",
            self.0.fit.r25,
            self.0.fit.beta,
            self.0.given.t_c.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = given.python_options(slf.py())?;
        refit("beta", (Series(given.t_c.clone()), Series(given.ohm.clone())), &options)
    }
}

/// Fits the equation of Steinhart and Hart to temperatures and resistances.
///
/// Without uncertainties the sum of squares of 1/T is minimised; with `u_t` that of the temperatures.
///
/// Parameters
/// ----------
/// t_c : array-like
///     Temperatures on the ITS-90, °C.
/// ohm : array-like
///     Resistances, ohm.
/// terms : {3, 4}
///     Three: 1, ln R, (ln R)³; four: with (ln R)² too.
/// u_t : float or array-like, optional
///     Standard uncertainty of each temperature, K.
/// u_ohm : float or array-like, optional
///     Standard uncertainty of each resistance, ohm.
/// u_t_common, u_ohm_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or resistances, ohm.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// SteinhartHartFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, UnknownNameError
/// InvalidValueError
///     Also where the resistances rise with temperature, or the fitted equation turns between the points.
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// J. S. Steinhart, S. R. Hart, Deep-Sea Research 15 (1968) 497-503.
///
/// Examples
/// --------
/// >>> fit = cc.fit.steinhart_hart([50.0, 85.0, 125.0], [34780.0, 9744.0, 2872.0])
/// >>> bool(abs(fit.residuals_c).max() < 1e-9)
/// True
#[pyfunction]
#[pyo3(signature = (t_c, ohm, *, terms=3, u_t=None, u_ohm=None, u_t_common=0.0, u_ohm_common=0.0, robust=false,
                    covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn steinhart_hart(
    py: Python<'_>,
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    #[pyo3(from_py_with = whole_number)] terms: u8,
    u_t: Option<&Bound<'_, PyAny>>,
    u_ohm: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_ohm_common: f64,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<SteinhartHartFit> {
    let fitted_terms = match terms {
        3 => SteinhartHartTerms::Three,
        4 => SteinhartHartTerms::Four,
        _ => {
            let (value, requirement) = (f64::from(terms), "it must be 3 or 4".into());
            let error = Error::InvalidValue { what: "number of terms", value, unit: "", requirement };
            return Err(exception(py, &error));
        }
    };
    let common = (u_t_common, u_ohm_common);
    let given = Given::read(t_c, ohm, terms, u_t, u_ohm, common, robust, covariance_basis)?;
    let work = || core::steinhart_hart(&given.t_c, &given.ohm, fitted_terms, &given.options());
    let fit = unlocked(py, given.t_c.len() * given.t_c.len(), work).or_raise(py)?;
    Ok(SteinhartHartFit(Fitted { fit, given }))
}

/// Fits R = R25 exp(beta (1/T - 1/298.15 K)) to temperatures and resistances.
///
/// Without uncertainties the sum of squares of ln R is minimised.
///
/// Parameters
/// ----------
/// t_c : array-like
///     Temperatures on the ITS-90, °C.
/// ohm : array-like
///     Resistances, ohm.
/// u_t : float or array-like, optional
///     Standard uncertainty of each temperature, K.
/// u_ohm : float or array-like, optional
///     Standard uncertainty of each resistance, ohm.
/// u_t_common, u_ohm_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or resistances, ohm.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// BetaFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, UnknownNameError
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Examples
/// --------
/// >>> round(cc.fit.beta([50.0, 125.0], [34780.0, 2872.0]).curve.temperature(9744.0), 0)
/// 84.0
#[pyfunction]
#[pyo3(signature = (t_c, ohm, *, u_t=None, u_ohm=None, u_t_common=0.0, u_ohm_common=0.0, robust=false,
                    covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn beta(
    py: Python<'_>,
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    u_t: Option<&Bound<'_, PyAny>>,
    u_ohm: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_ohm_common: f64,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<BetaFit> {
    let common = (u_t_common, u_ohm_common);
    let given = Given::read(t_c, ohm, 2, u_t, u_ohm, common, robust, covariance_basis)?;
    let work = || core::beta(&given.t_c, &given.ohm, &given.options());
    let fit = unlocked(py, given.t_c.len() * given.t_c.len(), work).or_raise(py)?;
    Ok(BetaFit(Fitted { fit, given }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<SteinhartHartFit>()?;
    module.add_class::<BetaFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(steinhart_hart, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(beta, module)?)
}
