//! Fits: points in, a report out.

mod band;
mod batch;
mod callendar_van_dusen;
mod comparison;
mod deviation;
mod model;
mod polynomial;
mod rounding;
mod set_points;
mod straight_line;
mod thermistor;

use crate::arrays::{Stated, square};
use crate::errors::OrRaise;
use crate::objects::{Notice, Square};
use calcore::fit::{CovarianceBasis, FitWarning};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// A report with what went into it.
#[derive(Clone)]
pub(crate) struct Fitted<F, G> {
    pub(crate) fit: F,
    pub(crate) given: G,
}

/// The same points fitted in the same way give the same bits, so that what was given tells fits apart. (Some numbers of a
/// report may be NaN, which equals nothing.)
impl<F, G: PartialEq> PartialEq for Fitted<F, G> {
    fn eq(&self, other: &Self) -> bool {
        self.given == other.given
    }
}

/// The errors of one variable, as every fit takes them.
#[derive(Clone, PartialEq)]
struct Spread {
    names: [&'static str; 3],
    points: usize,
    own: Stated,
    common: f64,
    covariance: Option<Vec<f64>>,
}

impl Spread {
    /// `names` are those of the three arguments.
    fn read(
        names: [&'static str; 3],
        points: usize,
        own: Option<&Bound<'_, PyAny>>,
        common: f64,
        covariance: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        Ok(Self {
            names,
            points,
            own: Stated::read(names[0], own)?,
            common,
            covariance: covariance.map(|matrix| square(names[2], points, matrix)).transpose()?,
        })
    }

    /// Sets the three arguments, for pickling.
    fn set(&self, options: &Bound<'_, PyDict>) -> PyResult<()> {
        let [own, common, covariance] = self.names;
        options.set_item(own, self.own.object(options.py())?)?;
        options.set_item(common, self.common)?;
        options.set_item(covariance, matrix(self.points, self.covariance.as_ref()))
    }

    /// The same for a fit that takes no covariance.
    fn set_plain(&self, options: &Bound<'_, PyDict>) -> PyResult<()> {
        options.set_item(self.names[0], self.own.object(options.py())?)?;
        options.set_item(self.names[1], self.common)
    }
}

fn matrix(size: usize, values: Option<&Vec<f64>>) -> Option<Square> {
    values.map(|values| Square { size, values: values.clone() })
}

fn basis(py: Python<'_>, name: Option<&str>) -> PyResult<Option<CovarianceBasis>> {
    name.map(CovarianceBasis::from_name).transpose().or_raise(py)
}

fn notices(warnings: &[FitWarning]) -> Vec<Notice> {
    warnings.iter().map(|warning| Notice::new(warning.code.name(), &warning.text, None)).collect()
}

/// A [`view`](crate::objects::view) of a fit whose quality stands in a report of its own: that report's attributes too.
macro_rules! report_view {
    (
        $(#[$meta:meta])*
        $name:ident($core:ty) in $module:tt {
            $($fields:tt)*
        }
        $($rest:tt)*
    ) => {
        $crate::objects::view! {
            $(#[$meta])*
            $name($core) in $module {
                $($fields)*
                /// Covariance of the fitted parameters, in their order; None where there is none to be had.
                covariance: Option<$crate::objects::Square> =
                    |f| f.fit.report.covariance.as_ref().map($crate::objects::Square::from);
                /// Where the covariance comes from: "stated" or "residuals".
                covariance_basis: &'static str = |f| f.fit.report.covariance_basis.name();
                /// Observed minus fitted ordinate, in the unit in which the model was fitted.
                residuals: $crate::objects::Series = |f| $crate::objects::Series(f.fit.report.residuals.clone());
                /// Residuals over their standard uncertainty.
                standardised_residuals: $crate::objects::Series =
                    |f| $crate::objects::Series(f.fit.report.standardised_residuals.clone());
                /// How much of each point's own value goes into its fitted one, 0 to 1.
                leverage: $crate::objects::Series = |f| $crate::objects::Series(f.fit.report.leverage.clone());
                /// Misfit of each point against the fit to all others; NaN where those do not determine it.
                leave_one_out_residuals: $crate::objects::Series =
                    |f| $crate::objects::Series(f.fit.report.leave_one_out_residuals.clone());
                /// Weights of a robust fit; empty for an ordinary one.
                weights: $crate::objects::Series = |f| $crate::objects::Series(f.fit.report.weights.clone());
                /// Estimates of the true abscissae, in the unit in which the model was fitted.
                adjusted_x: $crate::objects::Series = |f| $crate::objects::Series(f.fit.report.adjusted_x.clone());
                /// Sum of the squared errors in units of their uncertainty; None where nothing is stated.
                chi_squared: Option<f64> = |f| f.fit.report.chi_squared;
                /// Points minus fitted parameters.
                degrees_of_freedom: usize = |f| f.fit.report.degrees_of_freedom;
                /// Probability of a larger chi-squared if the stated uncertainties are right.
                p_value: Option<f64> = |f| f.fit.report.p_value;
                /// Condition number of the weighted design with columns of comparable length.
                condition_number: f64 = |f| f.fit.report.condition_number;
                /// Standard deviation of the residuals; None without degrees of freedom.
                residual_standard_deviation: Option<f64> = |f| f.fit.report.residual_standard_deviation;
                /// What to know beside the numbers.
                warnings: Vec<$crate::objects::Notice> = |f| $crate::fit::notices(&f.fit.report.warnings);
                /// Steps made.
                iterations: usize = |f| f.fit.report.iterations;
                /// Why the iteration ended: "solved_directly" or "converged".
                stop_reason: &'static str = |f| f.fit.report.stop_reason.name();
            }
            $($rest)*
        }
    };
}
use report_view;

/// What `__reduce__` returns for a fit: the same fit of the same points.
fn refit<'py>(
    function: &str,
    arguments: impl IntoPyObject<'py, Target = PyTuple, Output = Bound<'py, PyTuple>, Error = PyErr>,
    options: &Bound<'py, PyDict>,
) -> PyResult<Bound<'py, PyTuple>> {
    let py = options.py();
    let function = py.import("calcore.fit")?.getattr(function)?;
    let maker = py.import("functools")?.getattr("partial")?.call((function,), Some(options))?;
    (maker, arguments.into_pyobject(py)?).into_pyobject(py)
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    band::register(module)?;
    batch::register(module)?;
    callendar_van_dusen::register(module)?;
    comparison::register(module)?;
    deviation::register(module)?;
    model::register(module)?;
    set_points::register(module)?;
    rounding::register(module)?;
    thermistor::register(module)?;
    straight_line::register(module)?;
    polynomial::register(module)
}
