//! Fits beside each other, and beside points that they have not seen.

use super::callendar_van_dusen::{CallendarVanDusenFit, fitted, held};
use crate::objects::{Series, add_function, view};
use calcore::fit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

view! {
    /// A fit judged by points that it has not seen.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_t=0.01, u_ohm=0.001)
    /// >>> check = fit.hold_out([50.0, 150.0], [119.3971, 157.3251], u_t=0.01, u_ohm=0.001)
    /// >>> bool(abs(check.normalised).max() < 2.0)
    /// True
    HoldOut(core::HoldOut) in "calcore.fit" {
        /// Temperature that the curve reads from each resistance, minus the given one, K.
        errors_c: Series = |f| Series(f.errors_c.clone());
        /// Standard uncertainty of each, of curve and point together, K.
        uncertainties_c: Series = |f| Series(f.uncertainties_c.clone());
        /// Errors in units of their standard uncertainty.
        normalised: Series = |f| Series(f.normalised.clone());
        /// Sum of squares with the whole covariance: points read with one curve share its errors.
        chi_squared: f64 = |f| f.chi_squared;
        /// Probability of a larger one if curve and uncertainties are right.
        p_value: f64 = |f| f.p_value;
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(errors_c: Vec<f64>, uncertainties_c: Vec<f64>, normalised: Vec<f64>, chi_squared: f64, p_value: f64) -> Self {
        Self(core::HoldOut { errors_c, uncertainties_c, normalised, chi_squared, p_value })
    }

    fn __repr__(&self) -> String {
        let f = &self.0;
        let largest = f.errors_c.iter().fold(0.0f64, |m, e| m.max(e.abs()));
        format!(
            "HoldOut({} points, largest error {largest:.2e} K, chi-squared {:.3}, p-value {:.3})",
            f.errors_c.len(),
            f.chi_squared,
            f.p_value
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let f = &slf.get().0;
        let values = (&f.errors_c, &f.uncertainties_c, &f.normalised, f.chi_squared, f.p_value);
        (slf.get_type().getattr("_of")?, values).into_pyobject(slf.py())
    }
}

view! {
    /// The difference of two fits of one element.
    ///
    /// Examples
    /// --------
    /// >>> t_c = [0.0, 100.0, 200.0]
    /// >>> before = cc.fit.callendar_van_dusen(t_c, [100.0, 138.5055, 175.856], u_t=0.01)
    /// >>> after = cc.fit.callendar_van_dusen(t_c, [100.02, 138.532, 175.888], u_t=0.01)
    /// >>> drift = after.drift_since(before, [0.0, 100.0])
    /// >>> drift.drift_k.round(3), drift.p_value < 0.05
    /// (array([0.051, 0.07 ]), True)
    SensorDrift(core::Drift) in "calcore.fit" {
        /// Temperatures, °C.
        t_c: Series = |f| Series(f.t_c.clone());
        /// Error by which the element has drifted, K.
        ///
        /// What the earlier curve reads from the later one's resistance, minus the temperature.
        drift_k: Series = |f| Series(f.drift_k.clone());
        /// Standard uncertainty of each, K.
        uncertainties_k: Series = |f| Series(f.uncertainties_k.clone());
        /// Sum of squares of the differences of the coefficients, with their whole covariance.
        chi_squared: f64 = |f| f.chi_squared;
        /// Number of coefficients that were fitted in either.
        degrees_of_freedom: usize = |f| f.degrees_of_freedom;
        /// Probability of a larger chi-squared if nothing has changed.
        p_value: f64 = |f| f.p_value;
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        t_c: Vec<f64>,
        drift_k: Vec<f64>,
        uncertainties_k: Vec<f64>,
        chi_squared: f64,
        degrees_of_freedom: usize,
        p_value: f64,
    ) -> Self {
        Self(core::Drift { t_c, drift_k, uncertainties_k, chi_squared, degrees_of_freedom, p_value })
    }

    fn __repr__(&self) -> String {
        let f = &self.0;
        let largest = f.drift_k.iter().fold(0.0f64, |m, e| if e.abs() > m.abs() { *e } else { m });
        format!(
            "SensorDrift({} temperatures, largest {largest:.2e} K, chi-squared {:.3} for {} coefficients, p-value {:.2e})",
            f.t_c.len(),
            f.chi_squared,
            f.degrees_of_freedom,
            f.p_value
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let f = &slf.get().0;
        let values = (&f.t_c, &f.drift_k, &f.uncertainties_k, f.chi_squared, f.degrees_of_freedom, f.p_value);
        (slf.get_type().getattr("_of")?, values).into_pyobject(slf.py())
    }
}

/// A candidate model and how it did.
///
/// Examples
/// --------
/// >>> t_c, ohm = [0.0, 50.0, 100.0, 150.0, 200.0], [100.001, 119.398, 138.504, 157.326, 175.855]
/// >>> shape = {"a": 3.9083e-3, "b": -5.775e-7}
/// >>> cc.fit.compare_models(t_c, ohm, [shape, {}])[0].fit.held
/// (False, True, True, True)
#[pyclass(frozen, eq, module = "calcore.fit")]
#[derive(Clone, PartialEq)]
pub(crate) struct Candidate {
    fit: CallendarVanDusenFit,
    cross_validation_k: Option<f64>,
    p_value_of_smaller: Option<f64>,
}

#[pymethods]
impl Candidate {
    /// The fit.
    #[getter]
    fn fit(&self) -> CallendarVanDusenFit {
        self.fit.clone()
    }

    /// Root of the mean square of the leave-one-out residuals, K; None where a point is determined by itself alone.
    #[getter]
    fn cross_validation_k(&self) -> Option<f64> {
        self.cross_validation_k
    }

    /// Probability that the candidate before it, if nested in this one, is as good; small values speak for the larger.
    ///
    /// By the F test where the residuals give the variance, by the fall of chi-squared where it is stated; None where
    /// the candidate before is not nested in this one.
    #[getter]
    fn p_value_of_smaller(&self) -> Option<f64> {
        self.p_value_of_smaller
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        fit: &Bound<'_, CallendarVanDusenFit>,
        cross_validation_k: Option<f64>,
        p_value_of_smaller: Option<f64>,
    ) -> Self {
        Self { fit: fit.get().clone(), cross_validation_k, p_value_of_smaller }
    }

    fn __copy__(slf: Py<Self>) -> Py<Self> {
        slf
    }

    fn __deepcopy__(slf: Py<Self>, _memo: &Bound<'_, PyAny>) -> Py<Self> {
        slf
    }

    fn __repr__(&self) -> String {
        let shown = |value: Option<f64>, unit: &str| value.map_or("none".into(), |value| format!("{value:.3e}{unit}"));
        let fitted = ["r0", "a", "b", "c"].into_iter().zip(self.fit.0.fit.held).filter(|(_, held)| !held);
        let names: Vec<&str> = fitted.map(|(name, _)| name).collect();
        format!(
            "Candidate(fitted {}, cross-validation {}, p-value of the smaller {})",
            names.join(", "),
            shown(self.cross_validation_k, " K"),
            shown(self.p_value_of_smaller, "")
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let one = slf.get();
        let values = (one.fit.clone(), one.cross_validation_k, one.p_value_of_smaller);
        (slf.get_type().getattr("_of")?, values).into_pyobject(slf.py())
    }
}

/// Fits the same points with several sets of held coefficients and compares each with the one before it.
///
/// The order is from the smallest model to the largest. Nested ones are compared by the F test (or by the fall of
/// chi-squared where uncertainties are stated), all of them by cross-validation.
///
/// Parameters
/// ----------
/// t_c : array-like
///     Temperatures on the ITS-90, °C.
/// ohm : array-like
///     Resistances, ohm.
/// candidates : sequence of dict
///     Coefficients held in each: any of "r0", "a", "b", "c"; {} to fit all.
/// u_t, u_ohm : float or array-like, optional
///     Standard uncertainty of each temperature, K, and of each resistance, ohm.
/// u_t_common, u_ohm_common : float
///     Standard uncertainty of an error shared by all temperatures, K, or resistances, ohm.
/// covariance_t, covariance_ohm : array-like, optional
///     Covariance of the temperatures, K², or resistances, ohm², instead of `u_t` or `u_ohm`.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance of the coefficients comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// list of Candidate
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
///
/// Source
/// ------
/// F test of nested models: N. R. Draper and H. Smith, Applied Regression Analysis (1998), 6.1.
///
/// Examples
/// --------
/// >>> t_c, ohm = [0.0, 50.0, 100.0, 150.0, 200.0], [100.001, 119.398, 138.504, 157.326, 175.855]
/// >>> shape = {"a": 3.9083e-3, "b": -5.775e-7}
/// >>> only_r0, all_three = cc.fit.compare_models(t_c, ohm, [shape, {}])
/// >>> all_three.p_value_of_smaller > 0.05  # R0 alone will do
/// True
#[pyfunction]
#[pyo3(signature = (t_c, ohm, candidates, *, u_t=None, u_ohm=None, u_t_common=0.0, u_ohm_common=0.0,
                    covariance_t=None, covariance_ohm=None, robust=false, covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn compare_models(
    py: Python<'_>,
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    candidates: Vec<Bound<'_, PyDict>>,
    u_t: Option<&Bound<'_, PyAny>>,
    u_ohm: Option<&Bound<'_, PyAny>>,
    u_t_common: f64,
    u_ohm_common: f64,
    covariance_t: Option<&Bound<'_, PyAny>>,
    covariance_ohm: Option<&Bound<'_, PyAny>>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<Vec<Candidate>> {
    let fixed = candidates.iter().map(|one| held(Some(one))).collect::<PyResult<Vec<_>>>()?;
    let given = super::callendar_van_dusen::given(
        py,
        (t_c, ohm),
        (u_t, u_t_common, covariance_t),
        (u_ohm, u_ohm_common, covariance_ohm),
        core::FixedCoefficients::default(),
        robust,
        covariance_basis,
    )?;
    let found = fitted(py, &given, |t_c, ohm, options| core::compare_models(t_c, ohm, options, &fixed))?;
    let all = found.into_iter().zip(fixed).map(|(one, fixed)| Candidate {
        fit: CallendarVanDusenFit(super::Fitted { fit: one.fit, given: given.holding(fixed) }),
        cross_validation_k: one.cross_validation_k,
        p_value_of_smaller: one.p_value_of_smaller,
    });
    Ok(all.collect())
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<HoldOut>()?;
    module.add_class::<SensorDrift>()?;
    module.add_class::<Candidate>()?;
    add_function(module, "fit", &wrap_pyfunction!(compare_models, module)?)
}
