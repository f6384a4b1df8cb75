//! Linearity and conformity, errors of a choice, and curves in a form that fits in firmware.

mod choice;
mod conformity;
mod cycles;
mod firmware;

use crate::arrays::{Stated, square};
use calcore::linearization::{Active, ReadingUncertainty};
use pyo3::prelude::*;

/// What is said of the errors of readings.
struct Uncertainty {
    own: Stated,
    covariance: Option<Vec<f64>>,
}

impl Uncertainty {
    fn read(readings: usize, u: Option<&Bound<'_, PyAny>>, covariance: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        Ok(Self {
            own: Stated::read_any("u", u)?,
            covariance: covariance.map(|matrix| square("covariance", readings, matrix)).transpose()?,
        })
    }

    /// The covariance, if there is one, says it all.
    fn as_core(&self) -> ReadingUncertainty<'_> {
        match (&self.covariance, &self.own) {
            (Some(values), _) => ReadingUncertainty::Covariance(values),
            (None, Stated::Nothing) => ReadingUncertainty::Nothing,
            (None, Stated::Same(u)) => ReadingUncertainty::Same(*u),
            (None, Stated::Each(u)) => ReadingUncertainty::Each(u),
        }
    }
}

fn pairs(active: &[Active]) -> Vec<(usize, f64)> {
    active.iter().map(|one| (one.index, one.weight)).collect()
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    choice::register(module)?;
    conformity::register(module)?;
    cycles::register(module)?;
    firmware::register(module)
}
