//! Fit of the Callendar-Van Dusen equation.

use super::band::{AlphaDeltaBeta, Band};
use super::comparison::{HoldOut, SensorDrift};
use super::rounding::{Entries, Given as Digits, RoundedCoefficients};
use super::{Fitted, Spread, basis, notices, refit};
use crate::arrays::{Stated, elementwise, elementwise2, series, unlocked};
use crate::curves::CallendarVanDusen;
use crate::errors::{OrRaise, exception};
use crate::objects::{Notice, Series, Square, add_function, html_table, shown, view};
use calcore::Error;
use calcore::fit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What went into a fit.
#[derive(Clone, PartialEq)]
pub(crate) struct Given {
    t_c: Vec<f64>,
    ohm: Vec<f64>,
    t_errors: Spread,
    ohm_errors: Spread,
    fixed: core::FixedCoefficients,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

view! {
    /// A fitted Callendar-Van Dusen curve with everything that is known of it.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0, 300.0], [100.0, 138.5055, 175.856, 212.0515],
    /// ...                                  u_t=0.01, u_ohm=0.001)
    /// >>> round(fit.curve.a, 7), fit.degrees_of_freedom
    /// (0.0039083, 1)
    CallendarVanDusenFit(Fitted<core::CallendarVanDusenFit, Given>) in "calcore.fit" {
        /// The fitted curve; its range is that of the points, a little widened.
        curve: CallendarVanDusen = |f| CallendarVanDusen(f.fit.curve);
        /// Covariance over (r0, a, b, c) in ohm, 1/K, 1/K², 1/K⁴.
        ///
        /// Rows of held coefficients are zero. None where neither uncertainties are stated nor residuals left to take
        /// them from.
        covariance: Option<Square> = |f| f.fit.report.covariance.as_ref().map(Square::from);
        /// Where the covariance comes from: "stated" or "residuals".
        covariance_basis: &'static str = |f| f.fit.report.covariance_basis.name();
        /// Which of (r0, a, b, c) were held.
        held: (bool, bool, bool, bool) = |f| f.fit.held.into();
        /// Observed minus fitted resistance, ohm.
        residuals_ohm: Series = |f| Series(f.fit.report.residuals.clone());
        /// Temperature that the fitted curve reads from the resistance, minus the given one, K.
        residuals_c: Series = |f| Series(f.fit.residuals_c.clone());
        /// Residuals over their standard uncertainty.
        standardised_residuals: Series = |f| Series(f.fit.report.standardised_residuals.clone());
        /// How much of each point's own value goes into its fitted one, 0 to 1.
        leverage: Series = |f| Series(f.fit.report.leverage.clone());
        /// Misfit of each point against the fit to all others, ohm; NaN where those do not determine it.
        leave_one_out_residuals_ohm: Series = |f| Series(f.fit.report.leave_one_out_residuals.clone());
        /// Weights of a robust fit; empty for an ordinary one.
        weights: Series = |f| Series(f.fit.report.weights.clone());
        /// Estimates of the true temperatures, °C.
        adjusted_t_c: Series = |f| Series(f.fit.report.adjusted_x.clone());
        /// Sum of the squared errors in units of their uncertainty; None where nothing is stated.
        chi_squared: Option<f64> = |f| f.fit.report.chi_squared;
        /// Points minus fitted coefficients.
        degrees_of_freedom: usize = |f| f.fit.report.degrees_of_freedom;
        /// Probability of a larger chi-squared if the stated uncertainties are right.
        p_value: Option<f64> = |f| f.fit.report.p_value;
        /// Condition number of the weighted design with columns of comparable length.
        condition_number: f64 = |f| f.fit.report.condition_number;
        /// Standard deviation of the residuals, ohm; None without degrees of freedom.
        residual_standard_deviation: Option<f64> = |f| f.fit.report.residual_standard_deviation;
        /// What to know beside the numbers.
        warnings: Vec<Notice> = |f| notices(&f.fit.report.warnings);
        /// Steps made.
        iterations: usize = |f| f.fit.report.iterations;
        /// Why the iteration ended: "solved_directly" or "converged".
        stop_reason: &'static str = |f| f.fit.report.stop_reason.name();
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
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0, 300.0], [100.0, 138.5055, 175.856, 212.0515],
    /// ...                                  u_t=0.01, u_ohm=0.001)
    /// >>> round(fit.temperature_uncertainty(100.0), 3)
    /// 0.008
    fn temperature_uncertainty<'py>(&self, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.fit.temperature_uncertainty(x))
    }

    /// Standard uncertainty of a resistance that the fitted curve gives, ohm.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     ohm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0, 300.0], [100.0, 138.5055, 175.856, 212.0515],
    /// ...                                  u_t=0.01, u_ohm=0.001)
    /// >>> round(fit.resistance_uncertainty(100.0), 3)
    /// 0.003
    fn resistance_uncertainty<'py>(&self, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.fit.resistance_uncertainty(x))
    }

    /// Temperature of a resistance, °C, and its standard uncertainty, of curve and resistance together, K.
    ///
    /// Parameters
    /// ----------
    /// ohm : float or array-like
    ///     Resistance, ohm.
    /// u_ohm : float or array-like
    ///     Its standard uncertainty, ohm.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the common shape
    ///     °C and K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError, InvalidValueError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0, 300.0], [100.0, 138.5055, 175.856, 212.0515],
    /// ...                                  u_t=0.01, u_ohm=0.001)
    /// >>> t_c, u_t = fit.read(138.5055, 0.002)
    /// >>> round(t_c, 2), round(u_t, 3)
    /// (100.0, 0.009)
    #[pyo3(signature = (ohm, u_ohm=None))]
    fn read<'py>(
        &self,
        ohm: &Bound<'py, PyAny>,
        u_ohm: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let zero = 0.0f64.into_pyobject(ohm.py())?.into_any();
        let arguments = [ohm, u_ohm.unwrap_or(&zero)];
        let names = ["ohm", "u_ohm"];
        let value = elementwise2(names, arguments, |ohm, u| Ok(self.0.fit.read(ohm, u)?.value))?;
        Ok((value, elementwise2(names, arguments, |ohm, u| Ok(self.0.fit.read(ohm, u)?.standard_uncertainty))?))
    }

    /// What a transmitter set to some curve reads from this element, minus the temperature, and its uncertainty, K.
    ///
    /// Parameters
    /// ----------
    /// entered : CallendarVanDusen
    ///     The curve that the transmitter is set to.
    /// t_c : float or array-like
    ///     Temperature, °C.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the same shape
    ///     Error and standard uncertainty, K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.05, 138.55, 175.90], u_ohm=0.004)
    /// >>> error_k, u_k = fit.error_read_with(cc.CallendarVanDusen.iec60751(), 100.0)
    /// >>> round(error_k, 3)
    /// 0.117
    fn error_read_with<'py>(
        &self,
        entered: &Bound<'py, CallendarVanDusen>,
        t_c: &Bound<'py, PyAny>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let entered = entered.get().0;
        let value = elementwise("t_c", t_c, |t| Ok(self.0.fit.error_read_with(&entered, t)?.value))?;
        let u = elementwise("t_c", t_c, |t| Ok(self.0.fit.error_read_with(&entered, t)?.standard_uncertainty))?;
        Ok((value, u))
    }

    /// Covariance of the temperatures that the fitted curve reads, K²: points on one curve share its errors.
    ///
    /// Parameters
    /// ----------
    /// t_c : array-like
    ///     Temperatures, °C.
    ///
    /// Returns
    /// -------
    /// square array
    ///     K².
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.05, 138.55, 175.90], u_ohm=0.004)
    /// >>> fit.temperature_covariance([50.0, 150.0]).shape
    /// (2, 2)
    fn temperature_covariance(&self, t_c: &Bound<'_, PyAny>) -> PyResult<Square> {
        let t = series("t_c", t_c)?;
        Ok(Square::from(&self.0.fit.temperature_covariance(&t).or_raise(t_c.py())?))
    }

    /// Standard uncertainty of a temperature read beyond the calibrated range, K, asked for by name.
    ///
    /// Inside the range it is `temperature_uncertainty`; outside, a warning says how much larger it is than the largest
    /// one inside.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    ///
    /// Returns
    /// -------
    /// (float or array of the same shape, list of Notice)
    ///     K, and one warning for each temperature outside.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     Where the equation itself no longer rises.
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_t=0.01)
    /// >>> u_k, warnings = fit.extrapolated_temperature_uncertainty(400.0)
    /// >>> u_k > 0.05, warnings[0].code
    /// (True, 'extrapolation')
    fn extrapolated_temperature_uncertainty<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
    ) -> PyResult<(Bound<'py, PyAny>, Vec<Notice>)> {
        let warnings = std::sync::Mutex::new(Vec::new());
        let u = elementwise("t_c", t_c, |t| {
            let (u, warning) = self.0.fit.extrapolated_temperature_uncertainty(t)?;
            warnings.lock().unwrap_or_else(std::sync::PoisonError::into_inner).extend(warning);
            Ok(u)
        })?;
        Ok((u, notices(&warnings.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner))))
    }

    /// The band about the curve: of R(t), and, read backwards, of t(R).
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    /// coverage_factor : float
    ///     How many standard uncertainties it is wide each way.
    ///
    /// Returns
    /// -------
    /// Band
    ///     Of floats or arrays of the same shape.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError, InvalidValueError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_t=0.01, u_ohm=0.001)
    /// >>> band = fit.band(100.0)
    /// >>> round(band.ohm, 2), round(band.half_width_ohm, 3), round(band.half_width_k, 3)
    /// (138.51, 0.008, 0.021)
    #[pyo3(signature = (t_c, *, coverage_factor=2.0))]
    fn band(&self, t_c: &Bound<'_, PyAny>, coverage_factor: f64) -> PyResult<Band> {
        Band::about(self, t_c, coverage_factor)
    }

    /// alpha, delta and beta of the fitted curve with their covariance.
    ///
    /// Returns
    /// -------
    /// AlphaDeltaBeta
    ///
    /// Source
    /// ------
    /// alpha = A + 100 B, delta = -10⁴ B/alpha, beta = -10⁸ C/alpha; covariance by the derivatives (JCGM 100:2008,
    /// equation 13).
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_ohm=0.001)
    /// >>> round(fit.alpha_delta_beta().alpha, 6)
    /// 0.003851
    fn alpha_delta_beta(&self) -> AlphaDeltaBeta {
        AlphaDeltaBeta(self.0.fit.alpha_delta_beta())
    }

    /// Judges the fit by points that it has not seen.
    ///
    /// Parameters
    /// ----------
    /// t_c : array-like
    ///     Temperatures, °C.
    /// ohm : array-like
    ///     Resistances, ohm.
    /// u_t, u_ohm : float or array-like, optional
    ///     Standard uncertainty of each temperature, K, and resistance, ohm, independent of those of the fit.
    ///
    /// Returns
    /// -------
    /// HoldOut
    ///
    /// Raises
    /// ------
    /// LengthMismatchError, NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
    /// UndeterminedError
    ///     Where the fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_t=0.01, u_ohm=0.001)
    /// >>> fit.hold_out([50.0], [119.45], u_t=0.01).p_value < 0.05  # 0.14 K off
    /// True
    #[pyo3(signature = (t_c, ohm, *, u_t=None, u_ohm=None))]
    fn hold_out(
        &self,
        t_c: &Bound<'_, PyAny>,
        ohm: &Bound<'_, PyAny>,
        u_t: Option<&Bound<'_, PyAny>>,
        u_ohm: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<HoldOut> {
        let (py, t_c, ohm) = (t_c.py(), series("t_c", t_c)?, series("ohm", ohm)?);
        let (u_t, u_ohm) = (Stated::read("u_t", u_t)?, Stated::read("u_ohm", u_ohm)?);
        Ok(HoldOut(self.0.fit.hold_out(&t_c, &ohm, u_t.as_core(), u_ohm.as_core()).or_raise(py)?))
    }

    /// What has changed since an earlier fit of the same element.
    ///
    /// The errors of the two fits are taken for independent: a reference that both share cancels in part, and the
    /// uncertainties are then too large.
    ///
    /// Parameters
    /// ----------
    /// earlier : CallendarVanDusenFit
    ///     The fit before.
    /// t_c : array-like
    ///     Temperatures, °C, at which the drift is wanted.
    ///
    /// Returns
    /// -------
    /// SensorDrift
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    /// UndeterminedError
    ///     Where a fit has no covariance.
    ///
    /// Examples
    /// --------
    /// >>> t_c = [0.0, 100.0, 200.0]
    /// >>> before = cc.fit.callendar_van_dusen(t_c, [100.0, 138.5055, 175.856], u_t=0.01)
    /// >>> after = cc.fit.callendar_van_dusen(t_c, [100.02, 138.532, 175.888], u_t=0.01)
    /// >>> after.drift_since(before, [100.0]).drift_k.round(3)
    /// array([0.07])
    fn drift_since(&self, earlier: &Bound<'_, Self>, t_c: &Bound<'_, PyAny>) -> PyResult<SensorDrift> {
        let t = series("t_c", t_c)?;
        Ok(SensorDrift(self.0.fit.drift_since(&earlier.get().0.fit, &t).or_raise(t_c.py())?))
    }

    /// The coefficients as a transmitter takes them, see `calcore.fit.rounded`.
    ///
    /// Parameters
    /// ----------
    /// r0, a, b, c : int or (str, int), optional
    ///     Decimals of these, or ("significant", number).
    /// alpha, delta, beta : int or (str, int), optional
    ///     Digits of these, instead of those of a, b and c.
    /// jointly : bool
    ///     Whether the entries are chosen together.
    /// form : {"abc", "alpha_delta_beta"}, optional
    ///     In which form it is entered; follows from the digits given unless said.
    ///
    /// Returns
    /// -------
    /// RoundedCoefficients
    ///
    /// Raises
    /// ------
    /// InvalidValueError, UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.05, 138.55, 175.90], u_ohm=0.004)
    /// >>> fit.rounded(r0=2, a=("significant", 5), b=("significant", 4)).entries["r0"]
    /// 100.05
    #[pyo3(signature = (*, r0=None, a=None, b=None, c=None, alpha=None, delta=None, beta=None, jointly=false,
                        form=None))]
    #[allow(clippy::too_many_arguments)]
    fn rounded(
        &self,
        py: Python<'_>,
        r0: Option<Digits>,
        a: Option<Digits>,
        b: Option<Digits>,
        c: Option<Digits>,
        alpha: Option<Digits>,
        delta: Option<Digits>,
        beta: Option<Digits>,
        jointly: bool,
        form: Option<String>,
    ) -> PyResult<RoundedCoefficients> {
        let entries = Entries { r0, abc: [a, b, c], constants: [alpha, delta, beta], form };
        entries.round(py, self.0.fit.curve, jointly)
    }

    fn __repr__(&self) -> String {
        let curve = &self.0.fit.curve;
        format!(
            "CallendarVanDusenFit(r0={:?} ohm, a={:?} /K, b={:?} /K², c={:?} /K⁴, {} points, {} degrees of freedom)",
            curve.r0(),
            curve.a(),
            curve.b(),
            curve.c(),
            self.0.given.t_c.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn _repr_html_(&self) -> String {
        let fit = &self.0.fit;
        let curve = &fit.curve;
        let coefficients =
            [("R0", "ohm", curve.r0()), ("A", "1/K", curve.a()), ("B", "1/K²", curve.b()), ("C", "1/K⁴", curve.c())];
        let rows: Vec<Vec<String>> = coefficients
            .into_iter()
            .enumerate()
            .map(|(i, (name, unit, value))| {
                let uncertainty = match &fit.report.covariance {
                    _ if fit.held[i] => "held".into(),
                    None => "unknown".into(),
                    Some(covariance) => format!("{:.2e}", covariance.standard_uncertainty(i)),
                };
                vec![name.into(), format!("{value:.9e}"), uncertainty, unit.into()]
            })
            .collect();
        let caption = match fit.report.chi_squared {
            Some(chi_squared) => format!(
                "Callendar-Van Dusen, chi-squared {} for {} degrees of freedom",
                shown(chi_squared),
                fit.report.degrees_of_freedom
            ),
            None => format!("Callendar-Van Dusen, {} degrees of freedom", fit.report.degrees_of_freedom),
        };
        html_table(&caption, &["coefficient", "value", "standard uncertainty", "unit"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let given = &slf.get().0.given;
        let options = PyDict::new(slf.py());
        given.t_errors.set(&options)?;
        given.ohm_errors.set(&options)?;
        let held = PyDict::new(slf.py());
        let core::FixedCoefficients { r0, a, b, c } = given.fixed;
        for (name, value) in [("r0", r0), ("a", a), ("b", b), ("c", c)] {
            if let Some(value) = value {
                held.set_item(name, value)?;
            }
        }
        options.set_item("fixed", held)?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        refit("callendar_van_dusen", (Series(given.t_c.clone()), Series(given.ohm.clone())), &options)
    }
}

/// Fits R0, A, B and C of a platinum resistance thermometer to temperatures and resistances.
///
/// R(t) = R0 (1 + A t + B t² + C (t - 100) t³), C only below 0 °C. Errors of both variables, with any covariance, are
/// treated exactly. With no uncertainty stated all points weigh the same and the covariance is taken from the residuals.
///
/// Parameters
/// ----------
/// t_c : array-like
///     Temperatures on the ITS-90, °C.
/// ohm : array-like
///     Resistances, ohm.
/// u_t : float or array-like, optional
///     Standard uncertainty of each temperature, independent of the others, K.
/// u_ohm : float or array-like, optional
///     Standard uncertainty of each resistance, independent of the others, ohm.
/// u_t_common, u_ohm_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or resistances, ohm; more points do not average
///     it down.
/// fixed : dict, optional
///     Coefficients held: any of "r0", "a", "b", "c". Without a point below 0 °C, C is held at the value of IEC 60751.
/// covariance_t, covariance_ohm : array-like, optional
///     Covariance of the temperatures, K², or resistances, ohm², instead of `u_t` or `u_ohm`.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance of the coefficients comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// CallendarVanDusenFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// IEC 60751:2022, clause 4; ISO/TS 28037:2010 for the treatment of the errors.
///
/// Examples
/// --------
/// >>> t_c = [-80.0, 0.0, 100.0, 200.0, 300.0]
/// >>> ohm = cc.CallendarVanDusen.iec60751().resistance(t_c)
/// >>> fit = cc.fit.callendar_van_dusen(t_c, ohm, u_t=0.005, u_ohm=0.001, u_t_common=0.01, fixed={"c": -4.183e-12})
/// >>> fit.held
/// (False, False, False, True)
#[pyfunction]
#[pyo3(signature = (t_c, ohm, *, u_t=None, u_ohm=None, u_t_common=0.0, u_ohm_common=0.0, fixed=None,
                    covariance_t=None, covariance_ohm=None, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn callendar_van_dusen(
    py: Python<'_>,
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    u_t: Option<&Bound<'_, PyAny>>,
    u_ohm: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_ohm_common: f64,
    fixed: Option<&Bound<'_, PyDict>>,
    covariance_t: Option<&Bound<'_, PyAny>>,
    covariance_ohm: Option<&Bound<'_, PyAny>>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<CallendarVanDusenFit> {
    let t_errors = (u_t, u_t_common, covariance_t);
    let ohm_errors = (u_ohm, u_ohm_common, covariance_ohm);
    let given = given(py, (t_c, ohm), t_errors, ohm_errors, held(fixed)?, robust, covariance_basis)?;
    let fit = fitted(py, &given, core::callendar_van_dusen)?;
    Ok(CallendarVanDusenFit(Fitted { fit, given }))
}

impl Given {
    /// The same points with other coefficients held.
    pub(super) fn holding(&self, fixed: core::FixedCoefficients) -> Self {
        Self { fixed, ..self.clone() }
    }
}

/// What is known of the errors of one variable: of each value, of all together, or their covariance.
pub(super) type Errors<'a, 'py> = (Option<&'a Bound<'py, PyAny>>, f64, Option<&'a Bound<'py, PyAny>>);

/// Reads what goes into a fit.
pub(super) fn given(
    py: Python<'_>,
    (t_c, ohm): (&Bound<'_, PyAny>, &Bound<'_, PyAny>),
    (u_t, u_t_common, covariance_t): Errors<'_, '_>,
    (u_ohm, u_ohm_common, covariance_ohm): Errors<'_, '_>,
    fixed: core::FixedCoefficients,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<Given> {
    let (t_c, ohm) = (series("t_c", t_c)?, series("ohm", ohm)?);
    let t_errors = Spread::read(["u_t", "u_t_common", "covariance_t"], t_c.len(), u_t, u_t_common, covariance_t)?;
    let names = ["u_ohm", "u_ohm_common", "covariance_ohm"];
    let ohm_errors = Spread::read(names, ohm.len(), u_ohm, u_ohm_common, covariance_ohm)?;
    Ok(Given { t_c, ohm, t_errors, ohm_errors, fixed, robust, covariance_basis: basis(py, covariance_basis)? })
}

/// Fits what was given.
pub(super) fn fitted<T: Send>(
    py: Python<'_>,
    given: &Given,
    fit: impl FnOnce(&[f64], &[f64], &core::CallendarVanDusenOptions<'_>) -> calcore::Result<T> + Send,
) -> PyResult<T> {
    let options = core::CallendarVanDusenOptions {
        u_t: given.t_errors.own.as_core(),
        u_ohm: given.ohm_errors.own.as_core(),
        u_t_common: given.t_errors.common,
        u_ohm_common: given.ohm_errors.common,
        covariance_t: given.t_errors.covariance.as_deref(),
        covariance_ohm: given.ohm_errors.covariance.as_deref(),
        fixed: given.fixed,
        robust: given.robust,
        covariance_basis: given.covariance_basis,
    };
    let points = given.t_c.len();
    // The work grows with the square of the points where they are correlated.
    unlocked(py, points * points, || fit(&given.t_c, &given.ohm, &options)).or_raise(py)
}

pub(super) fn held(fixed: Option<&Bound<'_, PyDict>>) -> PyResult<core::FixedCoefficients> {
    let mut held = core::FixedCoefficients::default();
    for (name, value) in fixed.into_iter().flatten() {
        let name: String = name.extract()?;
        let place = match name.as_str() {
            "r0" => &mut held.r0,
            "a" => &mut held.a,
            "b" => &mut held.b,
            "c" => &mut held.c,
            _ => {
                let expected = "\"r0\", \"a\", \"b\" or \"c\"".into();
                return Err(exception(value.py(), &Error::UnknownName { what: "coefficient", name, expected }));
            }
        };
        *place = Some(value.extract()?);
    }
    Ok(held)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<CallendarVanDusenFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(callendar_van_dusen, module)?)
}
