//! Fit of a user's own model.

use super::{Fitted, Spread, basis, refit, report_view};
use crate::arrays::series;
use crate::errors::exception;
use crate::objects::{Series, add_function, html_table, shown};
use calcore::Error;
use calcore::fit as core;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use std::cell::RefCell;
use std::sync::Arc;

/// A callable that was given; equal to itself.
#[derive(Clone)]
pub(crate) struct Callable(Arc<Py<PyAny>>);

impl PartialEq for Callable {
    fn eq(&self, other: &Self) -> bool {
        self.0.as_ptr() == other.0.as_ptr()
    }
}

impl Callable {
    fn read(name: &str, object: &Bound<'_, PyAny>) -> PyResult<Self> {
        if !object.is_callable() {
            return Err(PyTypeError::new_err(format!("{name} must be callable as {name}(x, *parameters)")));
        }
        Ok(Self(Arc::new(object.clone().unbind())))
    }

    fn object(&self, py: Python<'_>) -> Py<PyAny> {
        self.0.clone_ref(py)
    }
}

/// What went into a fit.
#[derive(Clone, PartialEq)]
pub(crate) struct Given {
    function: Callable,
    gradient: Option<Callable>,
    slope: Option<Callable>,
    x: Vec<f64>,
    y: Vec<f64>,
    start: Vec<f64>,
    x_errors: Spread,
    y_errors: Spread,
    bounds: Vec<(f64, f64)>,
    robust: bool,
    covariance_basis: Option<core::CovarianceBasis>,
}

/// The callables as the core asks them. The first exception that one raises ends the fit, and stands here.
struct Asked<'a, 'py> {
    py: Python<'py>,
    given: &'a Given,
    raised: RefCell<Option<PyErr>>,
}

impl Asked<'_, '_> {
    fn call<T>(
        &self,
        callable: &Callable,
        x: f64,
        p: &[f64],
        read: impl FnOnce(&Bound<'_, PyAny>) -> PyResult<T>,
    ) -> calcore::Result<T> {
        let ask = || {
            // A loop of the core that asks a quick model again and again can be interrupted too.
            self.py.check_signals()?;
            let arguments = PyTuple::new(self.py, (0..1 + p.len()).map(|k| if k == 0 { x } else { p[k - 1] }))?;
            read(&callable.0.bind(self.py).call1(arguments)?)
        };
        ask().map_err(|error| {
            *self.raised.borrow_mut() = Some(error);
            Error::ModelFailed { message: "it raised an exception".into() }
        })
    }
}

impl core::CurveModel for Asked<'_, '_> {
    fn value(&self, x: f64, p: &[f64]) -> calcore::Result<f64> {
        self.call(&self.given.function, x, p, |value| value.extract())
    }

    fn gradient(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> calcore::Result<bool> {
        let Some(callable) = &self.given.gradient else { return Ok(false) };
        let found = self.call(callable, x, p, |values| series("gradient", values))?;
        if found.len() != gradient.len() {
            return Err(Error::LengthMismatch { what: "gradient", expected: gradient.len(), found: found.len() });
        }
        gradient.copy_from_slice(&found);
        Ok(true)
    }

    fn slope(&self, x: f64, p: &[f64]) -> calcore::Result<Option<f64>> {
        let Some(callable) = &self.given.slope else { return Ok(None) };
        self.call(callable, x, p, |value| value.extract().map(Some))
    }
}

report_view! {
    /// A user's own model, fitted.
    ///
    /// Examples
    /// --------
    /// >>> def cooling(t, end, rise, rate):
    /// ...     return end + rise * np.exp(-rate * t)
    /// >>> t = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    /// >>> fit = cc.fit.model(cooling, t, cooling(t, 20.0, 80.0, 0.5), [0.0, 50.0, 1.0], u_y=0.1)
    /// >>> fit.parameters.round(6)
    /// array([20. , 80. ,  0.5])
    ModelFit(Fitted<core::ModelFit, Given>) in "calcore.fit" {
        /// The parameters.
        parameters: Series = |f| Series(f.fit.parameters.clone());
        /// Their standard uncertainties; None where the fit has no covariance.
        standard_errors: Option<Series> = |f| f.fit.standard_errors.clone().map(Series);
        /// Which parameters ended at a bound.
        at_bound: Vec<bool> = |f| f.fit.at_bound.clone();
        /// Sum of the squared residuals.
        sum_of_squares: f64 = |f| f.fit.sum_of_squares;
    }

    fn __repr__(&self) -> String {
        format!(
            "ModelFit(parameters {:?}, {} points, {} degrees of freedom)",
            self.0.fit.parameters,
            self.0.given.x.len(),
            self.0.fit.report.degrees_of_freedom
        )
    }

    fn _repr_html_(&self) -> String {
        let fit = &self.0.fit;
        let error = |k: usize| match (&fit.standard_errors, fit.at_bound.get(k)) {
            (_, Some(true)) => "at its bound".into(),
            (Some(errors), _) => errors.get(k).copied().map_or_else(String::new, shown),
            (None, _) => "unknown".into(),
        };
        let rows: Vec<Vec<String>> =
            fit.parameters.iter().enumerate().map(|(k, value)| vec![k.to_string(), shown(*value), error(k)]).collect();
        let caption = format!("Model, {} degrees of freedom", fit.report.degrees_of_freedom);
        html_table(&caption, &["parameter", "value", "standard uncertainty"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let (py, given) = (slf.py(), &slf.get().0.given);
        let options = PyDict::new(py);
        given.x_errors.set(&options)?;
        given.y_errors.set(&options)?;
        options.set_item("gradient", given.gradient.as_ref().map(|callable| callable.object(py)))?;
        options.set_item("slope", given.slope.as_ref().map(|callable| callable.object(py)))?;
        options.set_item("bounds", (!given.bounds.is_empty()).then(|| given.bounds.clone()))?;
        options.set_item("robust", given.robust)?;
        options.set_item("covariance_basis", given.covariance_basis.map(core::CovarianceBasis::name))?;
        let points = (Series(given.x.clone()), Series(given.y.clone()), Series(given.start.clone()));
        refit("model", (given.function.object(py), points.0, points.1, points.2), &options)
    }
}

/// Fits a user's own model y = f(x; p) from start values.
///
/// Levenberg-Marquardt steps on an orthogonal factorisation; errors of both variables, with any covariance, are treated
/// exactly. Derivatives are formed by differences over four points where no callable gives them. An exception that a
/// callable raises ends the fit and comes through unchanged.
///
/// Parameters
/// ----------
/// function : callable
///     `function(x, *parameters)`, asked with floats, gives the ordinate; NaN only makes the search step back.
/// x, y : array-like
///     The points.
/// start : array-like
///     Start value of each parameter.
/// gradient : callable, optional
///     `gradient(x, *parameters)` gives the derivatives of the ordinate to each parameter.
/// slope : callable, optional
///     `slope(x, *parameters)` gives its derivative to x, which is needed where the abscissae have errors.
/// u_x, u_y : float or array-like, optional
///     Standard uncertainty of each abscissa or ordinate, independent of the others.
/// u_x_common, u_y_common : float
///     Standard uncertainty of an error shared by all abscissae or ordinates.
/// covariance_x, covariance_y : array-like, optional
///     Covariance of the abscissae or ordinates, instead of `u_x` or `u_y`.
/// bounds : sequence of (float, float), optional
///     Lowest and highest value of each parameter; infinite for none, equal ones to hold it.
/// robust : bool
///     Whether points that do not fit are played down (Huber's weights).
/// covariance_basis : {"stated", "residuals"}, optional
///     Where the covariance comes from; stated uncertainties where there are any, unless given.
///
/// Returns
/// -------
/// ModelFit
///
/// Raises
/// ------
/// LengthMismatchError, NotFiniteError, InvalidValueError, NotPositiveDefiniteError, UnknownNameError
/// TooFewPointsError, UndeterminedError
///     Where the points do not suffice.
/// NoConvergenceError
///     With the last state.
/// ModelFailedError
///     Where the model is not finite at the start.
///
/// Source
/// ------
/// J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105; ISO/TS 28037:2010 for the treatment of the errors.
///
/// Examples
/// --------
/// >>> def response(t, end, rise, tau):  # a thermometer plunged into a bath: °C, K, s
/// ...     return end - rise * math.exp(-t / tau)
/// >>> import math
/// >>> t = [0.0, 5.0, 10.0, 20.0, 40.0, 60.0]
/// >>> read = [20.02, 58.35, 80.37, 100.25, 108.94, 109.89]
/// >>> fit = cc.fit.model(response, t, read, [100.0, 80.0, 5.0], u_y=0.05, bounds=[(0, 200), (0, 200), (1, 100)])
/// >>> fit.parameters.round(1), fit.at_bound
/// (array([110.,  90.,   9.]), [False, False, False])
#[pyfunction]
#[pyo3(signature = (function, x, y, start, *, gradient=None, slope=None, u_x=None, u_y=None, u_x_common=0.0,
                    u_y_common=0.0, covariance_x=None, covariance_y=None, bounds=None, robust=false,
                    covariance_basis=None))]
#[allow(clippy::too_many_arguments)]
fn model(
    py: Python<'_>,
    function: &Bound<'_, PyAny>,
    x: &Bound<'_, PyAny>,
    y: &Bound<'_, PyAny>,
    start: &Bound<'_, PyAny>,
    gradient: Option<&Bound<'_, PyAny>>,
    slope: Option<&Bound<'_, PyAny>>,
    u_x: Option<&Bound<'_, PyAny>>,
    u_y: Option<&Bound<'_, PyAny>>,
    u_x_common: f64,
    u_y_common: f64,
    covariance_x: Option<&Bound<'_, PyAny>>,
    covariance_y: Option<&Bound<'_, PyAny>>,
    bounds: Option<Vec<(f64, f64)>>,
    robust: bool,
    covariance_basis: Option<&str>,
) -> PyResult<ModelFit> {
    let (x, y) = (series("x", x)?, series("y", y)?);
    let given = Given {
        function: Callable::read("function", function)?,
        gradient: gradient.map(|object| Callable::read("gradient", object)).transpose()?,
        slope: slope.map(|object| Callable::read("slope", object)).transpose()?,
        start: series("start", start)?,
        x_errors: Spread::read(["u_x", "u_x_common", "covariance_x"], x.len(), u_x, u_x_common, covariance_x)?,
        y_errors: Spread::read(["u_y", "u_y_common", "covariance_y"], y.len(), u_y, u_y_common, covariance_y)?,
        bounds: bounds.unwrap_or_default(),
        robust,
        covariance_basis: basis(py, covariance_basis)?,
        x,
        y,
    };
    let options = core::ModelOptions {
        u_x: given.x_errors.own.as_core(),
        u_y: given.y_errors.own.as_core(),
        u_x_common,
        u_y_common,
        covariance_x: given.x_errors.covariance.as_deref(),
        covariance_y: given.y_errors.covariance.as_deref(),
        bounds: &given.bounds,
        robust,
        covariance_basis: given.covariance_basis,
    };
    // The model is Python's: the interpreter lock stays with the fit.
    let asked = Asked { py, given: &given, raised: RefCell::new(None) };
    let fitted = core::model(&asked, &given.x, &given.y, &given.start, &options);
    let fit = fitted.map_err(|error| asked.raised.take().unwrap_or_else(|| exception(py, &error)))?;
    Ok(ModelFit(Fitted { fit, given }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<ModelFit>()?;
    add_function(module, "fit", &wrap_pyfunction!(model, module)?)
}
