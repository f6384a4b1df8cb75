//! What is known of the errors of readings, and what follows for a result that is linear in them.

use super::minimax_line::Active;
use crate::error::{Result, finite, not_negative, same_length};
use crate::num::linalg::check_covariance;

/// Standard uncertainties of readings, in their unit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum ReadingUncertainty<'a> {
    /// Nothing is said.
    #[default]
    Nothing,
    /// The same for every reading, independent.
    Same(f64),
    /// One for each reading, independent.
    Each(&'a [f64]),
    /// Covariance of all readings, row by row.
    Covariance(&'a [f64]),
}

impl ReadingUncertainty<'_> {
    /// Refuses what cannot belong to this many readings.
    pub(super) fn check(&self, readings: usize) -> Result<()> {
        match *self {
            Self::Nothing => Ok(()),
            Self::Same(u) => not_negative("standard uncertainty of a reading", u, "").map(|_| ()),
            Self::Each(u) => {
                same_length("standard uncertainties of the readings", readings, u.len())?;
                for (index, &one) in u.iter().enumerate() {
                    not_negative("standard uncertainty of a reading", one, "").map_err(|e| e.at_index(index, 1))?;
                }
                Ok(())
            }
            Self::Covariance(v) => check_covariance("covariance of the readings", readings, v),
        }
    }

    /// Covariance of two of `readings` readings.
    fn between(&self, i: usize, j: usize, readings: usize) -> Option<f64> {
        match *self {
            Self::Nothing => None,
            Self::Same(u) => Some(if i == j { u * u } else { 0.0 }),
            Self::Each(u) => Some(if i == j { u[i] * u[i] } else { 0.0 }),
            Self::Covariance(v) => Some(v[i * readings + j]),
        }
    }

    /// Covariance of two sums of weighted readings.
    pub(super) fn covariance(&self, left: &[Active], right: &[Active], readings: usize) -> Option<f64> {
        let mut sum = 0.0;
        for a in left {
            for b in right {
                sum += a.weight * b.weight * self.between(a.index, b.index, readings)?;
            }
        }
        Some(sum)
    }

    /// Standard uncertainty of a sum of weighted readings.
    ///
    /// # Source
    /// JCGM 100:2008, 5.2.2, equation 13.
    pub(super) fn of(&self, active: &[Active], readings: usize) -> Option<f64> {
        // Rounding may leave a variance of nothing below zero.
        self.covariance(active, active, readings).map(|variance| libm::sqrt(variance.max(0.0)))
    }
}

/// Refuses readings that are not numbers, by their index.
pub(super) fn all_finite(what: &'static str, values: &[f64]) -> Result<()> {
    let count = values.iter().filter(|value| !value.is_finite()).count();
    match values.iter().position(|value| !value.is_finite()) {
        Some(index) => finite(what, values[index]).map(|_| ()).map_err(|error| error.at_index(index, count)),
        None => Ok(()),
    }
}
