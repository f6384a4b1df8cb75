//! Fits: points in, a report out.

mod callendar_van_dusen;
mod polynomial;
mod straight_line;

use crate::arrays::{Stated, square};
use crate::errors::OrRaise;
use crate::objects::{Notice, Square};
use calcore::fit::{CovarianceBasis, FitWarning};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

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
    callendar_van_dusen::register(module)?;
    straight_line::register(module)?;
    polynomial::register(module)
}
