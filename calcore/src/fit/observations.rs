//! What was observed, and what is known of its errors.

use crate::error::{Error, Result, finite, not_negative, same_length};
use crate::num::linalg::check_covariance;

/// A standard uncertainty that may be left out, stated once for all points, or for each of them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Stated<'a> {
    /// Nothing is said.
    #[default]
    Nothing,
    /// The same for every point.
    Same(f64),
    /// One for each point.
    Each(&'a [f64]),
}

impl Stated<'_> {
    /// Whether anything is said.
    #[must_use]
    pub fn is_stated(&self) -> bool {
        !matches!(self, Self::Nothing)
    }
}

impl From<f64> for Stated<'_> {
    fn from(u: f64) -> Self {
        Self::Same(u)
    }
}

impl<'a> From<&'a [f64]> for Stated<'a> {
    fn from(u: &'a [f64]) -> Self {
        Self::Each(u)
    }
}

impl<'a> From<&'a Vec<f64>> for Stated<'a> {
    fn from(u: &'a Vec<f64>) -> Self {
        Self::Each(u)
    }
}

/// The errors of one variable: each point's own, and one shared by all.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spread<'a> {
    pub(crate) own: Stated<'a>,
    /// Covariance instead of `own`, row by row.
    pub(crate) full: Option<&'a [f64]>,
    /// Variance of the shared error.
    pub(crate) common: f64,
}

/// Names of the inputs of one variable, for messages.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Names {
    pub(crate) value: &'static str,
    pub(crate) u: &'static str,
    pub(crate) u_common: &'static str,
    pub(crate) covariance: &'static str,
    pub(crate) unit: &'static str,
}

impl<'a> Spread<'a> {
    /// Checks what is said of one variable. `zero_allowed`: exact values make sense (those of the abscissa).
    pub(crate) fn new(
        names: Names,
        points: usize,
        own: Stated<'a>,
        full: Option<&'a [f64]>,
        u_common: f64,
        zero_allowed: bool,
    ) -> Result<Self> {
        let check = |u: f64| {
            finite(names.u, u)?;
            if u > 0.0 || (zero_allowed && u >= 0.0) {
                return Ok(());
            }
            let requirement =
                if zero_allowed { "it must not be negative".into() } else { "it must be greater than 0".into() };
            Err(Error::InvalidValue { what: names.u, value: u, unit: names.unit, requirement })
        };
        match own {
            Stated::Nothing => {}
            Stated::Same(u) => check(u)?,
            Stated::Each(values) => {
                same_length(names.u, points, values.len())?;
                for (index, u) in values.iter().enumerate() {
                    check(*u).map_err(|error| at_point(error, index))?;
                }
            }
        }
        if let Some(matrix) = full {
            if own.is_stated() {
                return Err(Error::InvalidValue {
                    what: names.u,
                    value: own_value(own),
                    unit: names.unit,
                    requirement: format!("state it or {}, not both", names.covariance),
                });
            }
            check_covariance(names.covariance, points, matrix)?;
        }
        not_negative(names.u_common, u_common, names.unit)?;
        Ok(Self { own, full, common: u_common * u_common })
    }

    /// Whether each point's own error is stated.
    pub(crate) fn is_stated(&self) -> bool {
        self.own.is_stated() || self.full.is_some()
    }

    /// Whether the variable has any error at all.
    pub(crate) fn is_exact(&self) -> bool {
        let own = match self.own {
            Stated::Nothing => false,
            Stated::Same(u) => u > 0.0,
            Stated::Each(_) => true,
        };
        !own && self.full.is_none() && self.common <= 0.0
    }

    /// Whether the errors of different points are independent.
    #[inline(always)]
    pub(crate) fn is_independent(&self) -> bool {
        self.full.is_none() && self.common <= 0.0
    }

    /// Variance of a point's own error.
    #[inline(always)]
    pub(crate) fn own_variance(&self, i: usize) -> f64 {
        match self.own {
            Stated::Nothing => 0.0,
            Stated::Same(u) => u * u,
            Stated::Each(u) => u[i] * u[i],
        }
    }

    /// Covariance of the errors of two of `points` points.
    #[inline(always)]
    pub(crate) fn covariance(&self, points: usize, i: usize, j: usize) -> f64 {
        let own = match self.full {
            Some(matrix) => matrix[i * points + j],
            None if i == j => self.own_variance(i),
            None => 0.0,
        };
        own + self.common
    }
}

fn own_value(own: Stated) -> f64 {
    match own {
        Stated::Nothing => f64::NAN,
        Stated::Same(u) => u,
        Stated::Each(u) => u.first().copied().unwrap_or(f64::NAN),
    }
}

fn at_point(error: Error, index: usize) -> Error {
    match error {
        Error::InvalidValue { what, value, unit, requirement } => {
            Error::InvalidValue { what, value, unit, requirement: format!("{requirement} (element {index})") }
        }
        other => other.at_index(index, 1),
    }
}

/// Points and their errors. Where nothing is stated of either variable's own errors, all ordinates weigh the same.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Observations<'a> {
    pub(crate) x: &'a [f64],
    pub(crate) y: &'a [f64],
    pub(crate) x_errors: Spread<'a>,
    pub(crate) y_errors: Spread<'a>,
    /// Covariance of the error of abscissa i (row) with that of ordinate j.
    pub(crate) cross: Option<&'a [f64]>,
    /// Weights by which a robust fit plays points down.
    pub(crate) weights: Option<&'a [f64]>,
}

impl<'a> Observations<'a> {
    /// Checks the values; the spreads are checked already.
    pub(crate) fn new(
        names: (Names, Names),
        x: &'a [f64],
        y: &'a [f64],
        x_errors: Spread<'a>,
        y_errors: Spread<'a>,
    ) -> Result<Self> {
        same_length(names.1.value, x.len(), y.len())?;
        for (name, values) in [(names.0.value, x), (names.1.value, y)] {
            for (index, value) in values.iter().enumerate() {
                finite(name, *value).map_err(|error| error.at_index(index, 1))?;
            }
        }
        Ok(Self { x, y, x_errors, y_errors, cross: None, weights: None })
    }

    /// Whether each point's own error is stated, for at least one of the variables.
    pub(crate) fn is_stated(&self) -> bool {
        self.x_errors.is_stated() || self.y_errors.is_stated()
    }

    /// Whether the misfits of different points are correlated and weighed so.
    #[inline(always)]
    pub(crate) fn is_dense(&self) -> bool {
        let independent = self.x_errors.is_independent() && self.y_errors.is_independent() && self.cross.is_none();
        self.is_stated() && !independent
    }

    /// Weight of a point beside that of its uncertainty.
    #[inline(always)]
    pub(crate) fn weight(&self, i: usize) -> f64 {
        self.weights.map_or(1.0, |w| w[i])
    }

    /// How many different abscissae there are.
    pub(crate) fn distinct(&self) -> usize {
        distinct(self.x)
    }
}

/// How many different values there are.
pub(crate) fn distinct(values: &[f64]) -> usize {
    // Few points: looking back costs less than a sorted copy.
    if values.len() <= 32 {
        return (0..values.len()).filter(|&i| !values[..i].iter().any(|v| v.total_cmp(&values[i]).is_eq())).count();
    }
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted.dedup_by(|a, b| a.total_cmp(b).is_eq());
    sorted.len()
}
