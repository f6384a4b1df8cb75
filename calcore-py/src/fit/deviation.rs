//! Fits of deviations: from the ITS-90 reference function, and from the reference function of a thermocouple.

use super::{Fitted, Spread, basis, refit, report_view};
use crate::arrays::{elementwise, series, unlocked};
use crate::curves::{CorrectedThermocouple, Sprt};
use crate::errors::OrRaise;
use crate::objects::{Series, add_function};
use crate::whole::whole_number;
use calcore::curves::Thermocouple;
use calcore::fit as core;
use calcore::its90::Subrange;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What went into a fit of a thermometer of the ITS-90.
#[derive(Clone, PartialEq)]
pub(crate) struct GivenRatios {
    t_k: Vec<f64>,
    w: Vec<f64>,
    subrange: &'static str,
    t_errors: Spread,
    w_errors: Spread,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

report_view! {
    /// A fitted deviation function of the ITS-90. Its residuals are those of the reference ratio.
    ///
    /// Examples
    /// --------
    /// >>> w = cc.Sprt(25.0, "3.3.2.5", [-1e-4]).ratio(29.7646)
    /// >>> fit = cc.fit.its90_deviation([302.9146], [w], "3.3.2.5")
    /// >>> float(round(fit.coefficients[0], 9))
    /// -0.0001
    Its90DeviationFit(Fitted<core::Its90DeviationFit, GivenRatios>) in "calcore.fit" {
        /// Coefficients of the deviation function, in the order of the document.
        coefficients: Series = |f| Series(f.fit.deviation.coefficients().to_vec());
        /// Section of the document that describes the sub-range.
        subrange: &'static str = |f| f.given.subrange;
        /// Temperature that the thermometer reads at each ratio, minus the given one, K.
        residuals_k: Series = |f| Series(f.fit.residuals_k.clone());
    }

    /// The thermometer, with its resistance at the triple point of water.
    ///
    /// Parameters
    /// ----------
    /// r_tpw : float
    ///     ohm.
    ///
    /// Returns
    /// -------
    /// Sprt
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> w = cc.Sprt(25.0, "3.3.2.5", [-1e-4]).ratio(29.7646)
    /// >>> cc.fit.its90_deviation([302.9146], [w], "3.3.2.5").thermometer(25.0).r_tpw
    /// 25.0
    fn thermometer(&self, py: Python<'_>, r_tpw: f64) -> PyResult<Sprt> {
        Ok(Sprt(self.0.fit.thermometer(r_tpw).or_raise(py)?))
    }

    /// Standard uncertainty of a temperature that the thermometer reads, as far as the coefficients cause it, K.
    ///
    /// Parameters
    /// ----------
    /// t_k : float or array-like
    ///     Temperature, K.
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
    /// >>> w = cc.Sprt(25.0, "3.3.2.5", [-1e-4]).ratio(29.7646)
    /// >>> fit = cc.fit.its90_deviation([302.9146], [w], "3.3.2.5", u_t=0.0005)
    /// >>> round(fit.temperature_uncertainty(302.9146), 6)
    /// 0.0005
    fn temperature_uncertainty<'py>(&self, t_k: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_k", t_k, |x| self.0.fit.temperature_uncertainty(x))
    }

    fn __repr__(&self) -> String {
        format!(
            "Its90DeviationFit(sub-range {}, coefficients {:?}, {} points, {} degrees of freedom)",
            self.0.given.subrange,
            self.0.fit.deviation.coefficients(),
            self.0.given.t_k.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = PyDict::new(slf.py());
        given.t_errors.set(&options)?;
        given.w_errors.set(&options)?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        refit("its90_deviation", (Series(given.t_k.clone()), Series(given.w.clone()), given.subrange), &options)
    }
}

/// Fits the deviation function of a sub-range of the ITS-90 to temperatures and ratios.
///
/// Parameters
/// ----------
/// t_k : array-like
///     Temperatures on the ITS-90, K.
/// w : array-like
///     Ratios R(T)/R(273.16 K).
/// subrange : str
///     Section of the document, such as "3.3.2.2", or number "1" to "11" in the order of its table 5.
/// u_t : float or array-like, optional
///     Standard uncertainty of each temperature, K.
/// u_w : float or array-like, optional
///     Standard uncertainty of each ratio.
/// u_t_common, u_w_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or ratios.
/// covariance_t, covariance_w : array-like, optional
///     Covariance of the temperatures, K², or ratios, instead of `u_t` or `u_w`.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// Its90DeviationFit
///
/// Raises
/// ------
/// UnknownNameError, LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError
/// OutOfRangeError
///     For a temperature outside the sub-range and its calibration points.
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3, table 5.
///
/// Examples
/// --------
/// >>> sprt = cc.Sprt(25.0, "3.3.2.2", [-1.2e-4, 3.0e-6])
/// >>> t_c = np.array([231.928, 419.527])
/// >>> fit = cc.fit.its90_deviation(t_c + 273.15, sprt.ratio(t_c), "3.3.2.2")
/// >>> bool(abs(fit.coefficients - sprt.coefficients).max() < 1e-12)
/// True
#[pyfunction]
#[pyo3(signature = (t_k, w, subrange, *, u_t=None, u_w=None, u_t_common=0.0, u_w_common=0.0, covariance_t=None,
                    covariance_w=None, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn its90_deviation(
    py: Python<'_>,
    t_k: &Bound<'_, PyAny>,
    w: &Bound<'_, PyAny>,
    subrange: &str,
    u_t: Option<&Bound<'_, PyAny>>,
    u_w: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_w_common: f64,
    covariance_t: Option<&Bound<'_, PyAny>>,
    covariance_w: Option<&Bound<'_, PyAny>>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<Its90DeviationFit> {
    let (t_k, w) = (series("t_k", t_k)?, series("w", w)?);
    let t_errors = Spread::read(["u_t", "u_t_common", "covariance_t"], t_k.len(), u_t, u_t_common, covariance_t)?;
    let w_errors = Spread::read(["u_w", "u_w_common", "covariance_w"], w.len(), u_w, u_w_common, covariance_w)?;
    let subrange = Subrange::from_name(subrange).or_raise(py)?;
    let covariance_basis = basis(py, covariance_basis)?;
    let options = core::Its90DeviationOptions {
        u_t: t_errors.own.as_core(),
        u_w: w_errors.own.as_core(),
        u_t_common,
        u_w_common,
        covariance_t: t_errors.covariance.as_deref(),
        covariance_w: w_errors.covariance.as_deref(),
        robust,
        covariance_basis,
    };
    let fit =
        unlocked(py, t_k.len() * t_k.len(), || core::its90_deviation(&t_k, &w, subrange, &options)).or_raise(py)?;
    let subrange = subrange.section();
    let given = GivenRatios { t_k, w, subrange, t_errors, w_errors, robust, covariance_basis };
    Ok(Its90DeviationFit(Fitted { fit, given }))
}

/// What went into a fit of a thermocouple.
#[derive(Clone, PartialEq)]
pub(crate) struct GivenEmfs {
    letter: &'static str,
    t_c: Vec<f64>,
    mv: Vec<f64>,
    degree: usize,
    t_errors: Spread,
    mv_errors: Spread,
    free_at_zero: bool,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

report_view! {
    /// A fitted deviation of a thermocouple from the reference function of its type. Its residuals are in mV.
    ///
    /// Examples
    /// --------
    /// >>> t_c = [100.0, 200.0, 300.0]
    /// >>> mv = cc.Thermocouple("K").emf(t_c) + np.array([0.01, 0.02, 0.03])
    /// >>> cc.fit.thermocouple_deviation("K", t_c, mv, 1).coefficients.round(9)
    /// array([0.    , 0.0001])
    ThermocoupleDeviationFit(Fitted<core::DeviationFit<Thermocouple>, GivenEmfs>) in "calcore.fit" {
        /// The curve of the individual thermocouple, over the range of the points.
        curve: CorrectedThermocouple = |f| CorrectedThermocouple(f.fit.curve.clone());
        /// Letter of the type.
        letter: &'static str = |f| f.given.letter;
        /// Coefficients of the deviation, mV, mV/K, and so on; the first is 0 unless the deviation is free at 0 °C.
        coefficients: Series = |f| Series(f.fit.curve.coefficients().to_vec());
        /// What the curve reads minus what was given, K.
        residuals_c: Series = |f| Series(f.fit.residuals_c.clone());
    }

    /// Standard uncertainty of a temperature that the curve reads, as far as the deviation causes it, K.
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
    /// >>> t_c = [100.0, 200.0, 300.0]
    /// >>> mv = cc.Thermocouple("K").emf(t_c)
    /// >>> fit = cc.fit.thermocouple_deviation("K", t_c, mv, 1, u_mv=0.004)
    /// >>> bool(0.02 < fit.temperature_uncertainty(200.0) < 0.1)
    /// True
    fn temperature_uncertainty<'py>(&self, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.fit.temperature_uncertainty(x))
    }

    fn __repr__(&self) -> String {
        format!(
            "ThermocoupleDeviationFit(type {}, coefficients {:?} mV, {} points, {} degrees of freedom)",
            self.0.given.letter,
            self.0.fit.curve.coefficients(),
            self.0.given.t_c.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = PyDict::new(slf.py());
        given.t_errors.set(&options)?;
        given.mv_errors.set(&options)?;
        options.set_item("free_at_zero", given.free_at_zero)?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        let arguments = (given.letter, Series(given.t_c.clone()), Series(given.mv.clone()), given.degree);
        refit("thermocouple_deviation", arguments, &options)
    }
}

/// Fits the deviation of a thermocouple from the reference function of its type: a polynomial of a degree.
///
/// The emfs are those with the reference junction at 0 °C. The range of the result is that of the points.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// t_c : array-like
///     Temperatures on the ITS-90, °C.
/// mv : array-like
///     Emfs, mV.
/// degree : int
///     Highest power; 1 to 3 is common.
/// u_t : float or array-like, optional
///     Standard uncertainty of each temperature, K.
/// u_mv : float or array-like, optional
///     Standard uncertainty of each emf, mV.
/// u_t_common, u_mv_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or emfs, mV.
/// covariance_t, covariance_mv : array-like, optional
///     Covariance of the temperatures, K², or emfs, mV², instead of `u_t` or `u_mv`.
/// free_at_zero : bool
///     Whether the deviation may differ from zero at 0 °C.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// ThermocoupleDeviationFit
///
/// Raises
/// ------
/// UnknownNameError, LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError
/// OutOfRangeError
///     For a temperature outside the reference function.
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// EURAMET cg-8; the degree: common practice, no source.
///
/// Examples
/// --------
/// >>> t_c = np.array([100.0, 200.0, 300.0, 400.0])
/// >>> mv = cc.Thermocouple("K").emf(t_c) + 1e-4 * t_c
/// >>> fit = cc.fit.thermocouple_deviation("K", t_c, mv, 1)
/// >>> round(fit.curve.emf(250.0) - cc.Thermocouple("K").emf(250.0), 9)
/// 0.025
#[pyfunction]
#[pyo3(signature = (letter, t_c, mv, degree, *, u_t=None, u_mv=None, u_t_common=0.0, u_mv_common=0.0,
                    covariance_t=None, covariance_mv=None, free_at_zero=false, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn thermocouple_deviation(
    py: Python<'_>,
    letter: &str,
    t_c: &Bound<'_, PyAny>,
    mv: &Bound<'_, PyAny>,
    #[pyo3(from_py_with = whole_number)] degree: usize,
    u_t: Option<&Bound<'_, PyAny>>,
    u_mv: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_mv_common: f64,
    covariance_t: Option<&Bound<'_, PyAny>>,
    covariance_mv: Option<&Bound<'_, PyAny>>,
    free_at_zero: bool,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<ThermocoupleDeviationFit> {
    let reference = Thermocouple::new(letter).or_raise(py)?;
    let (t_c, mv) = (series("t_c", t_c)?, series("mv", mv)?);
    let t_errors = Spread::read(["u_t", "u_t_common", "covariance_t"], t_c.len(), u_t, u_t_common, covariance_t)?;
    let names = ["u_mv", "u_mv_common", "covariance_mv"];
    let mv_errors = Spread::read(names, mv.len(), u_mv, u_mv_common, covariance_mv)?;
    let covariance_basis = basis(py, covariance_basis)?;
    let options = core::DeviationOptions {
        u_t: t_errors.own.as_core(),
        u_signal: mv_errors.own.as_core(),
        u_t_common,
        u_signal_common: u_mv_common,
        covariance_t: t_errors.covariance.as_deref(),
        covariance_signal: mv_errors.covariance.as_deref(),
        free_at_zero,
        robust,
        covariance_basis,
    };
    let work = || core::deviation(&reference, &t_c, &mv, degree, &options);
    let fit = unlocked(py, t_c.len() * t_c.len(), work).or_raise(py)?;
    let letter = reference.kind().letter();
    let given = GivenEmfs { letter, t_c, mv, degree, t_errors, mv_errors, free_at_zero, robust, covariance_basis };
    Ok(ThermocoupleDeviationFit(Fitted { fit, given }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Its90DeviationFit>()?;
    module.add_class::<ThermocoupleDeviationFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(its90_deviation, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(thermocouple_deviation, module)?)
}
