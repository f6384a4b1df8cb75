//! What is known about an input quantity, as a distribution.

use crate::error::{Error, Result, finite, not_negative};

/// The kind of a distribution, by name: what a line of a budget carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Shape {
    /// Gaussian; with finite degrees of freedom the standard deviation is itself an estimate.
    Normal,
    /// Equal density between two limits.
    Rectangular,
    /// Density rising to the middle and falling again.
    Triangular,
}

impl Shape {
    /// The name, in small letters.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Rectangular => "rectangular",
            Self::Triangular => "triangular",
        }
    }
}

/// The distribution of an input quantity, in the unit of the quantity.
///
/// The constructors check their arguments; a value written down by hand or read from a document is checked by
/// [`Distribution::check`], which every computation does first.
///
/// # Source
/// JCGM 101:2008, 6.4 and table 1; JCGM 100:2008, 4.3.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(tag = "shape", rename_all = "snake_case", deny_unknown_fields))]
#[non_exhaustive]
pub enum Distribution {
    /// Gaussian. Finite degrees of freedom tell how well the standard deviation itself is known.
    Normal {
        /// Estimate.
        mean: f64,
        /// Standard uncertainty.
        std: f64,
        /// Degrees of freedom of the standard uncertainty; infinite where it is taken as exact.
        #[cfg_attr(feature = "serde", serde(default = "infinite", with = "infinite_as_null"))]
        degrees_of_freedom: f64,
    },
    /// Equal density between two limits.
    Rectangular {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
    /// Symmetric triangle between two limits.
    Triangular {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
}

#[cfg(feature = "serde")]
fn infinite() -> f64 {
    f64::INFINITY
}

/// JSON knows no infinity: infinite degrees of freedom are written as null.
#[cfg(feature = "serde")]
pub(crate) mod infinite_as_null {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    // The signature is serde's.
    #[allow(clippy::trivially_copy_pass_by_ref)]
    pub(crate) fn serialize<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
        if value.is_infinite() { None } else { Some(*value) }.serialize(serializer)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
        Ok(Option::<f64>::deserialize(deserializer)?.unwrap_or(f64::INFINITY))
    }
}

/// Refuses degrees of freedom that are NaN or not positive; infinity is welcome.
pub(crate) fn check_degrees_of_freedom(value: f64) -> Result<f64> {
    if value > 0.0 {
        return Ok(value);
    }
    Err(Error::InvalidValue {
        what: "degrees of freedom",
        value,
        unit: "",
        requirement: "it must be greater than 0, or infinite".into(),
    })
}

fn check_limits(low: f64, high: f64) -> Result<()> {
    finite("lower limit", low)?;
    finite("upper limit", high)?;
    if high < low {
        return Err(Error::InvalidValue {
            what: "upper limit",
            value: high,
            unit: "",
            requirement: format!("it must not be below the lower limit {low}"),
        });
    }
    finite("width of the distribution", high - low)?;
    Ok(())
}

impl Distribution {
    /// Gaussian with an exactly known standard uncertainty.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative standard uncertainty.
    pub fn normal(mean: f64, std: f64) -> Result<Self> {
        Self::normal_with_degrees_of_freedom(mean, std, f64::INFINITY)
    }

    /// Gaussian whose standard uncertainty has finite degrees of freedom.
    ///
    /// # Errors
    /// As [`Distribution::normal`], and [`Error::InvalidValue`] for degrees of freedom that are not positive.
    pub fn normal_with_degrees_of_freedom(mean: f64, std: f64, degrees_of_freedom: f64) -> Result<Self> {
        Self::Normal { mean, std, degrees_of_freedom }.check()
    }

    /// Equal density between two limits.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for an upper limit below the lower one.
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::Distribution;
    /// // JCGM 100:2008, 4.4.5: limits 96 °C and 104 °C give 2.3 °C.
    /// assert!((Distribution::rectangular(96.0, 104.0)?.standard_uncertainty() - 2.3).abs() < 0.05);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn rectangular(low: f64, high: f64) -> Result<Self> {
        Self::Rectangular { low, high }.check()
    }

    /// Symmetric triangle between two limits.
    ///
    /// # Errors
    /// As [`Distribution::rectangular`].
    pub fn triangular(low: f64, high: f64) -> Result<Self> {
        Self::Triangular { low, high }.check()
    }

    /// Returns the distribution if its parameters are possible.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`].
    pub fn check(self) -> Result<Self> {
        match self {
            Self::Normal { mean, std, degrees_of_freedom } => {
                finite("mean", mean)?;
                not_negative("standard uncertainty", std, "")?;
                check_degrees_of_freedom(degrees_of_freedom)?;
            }
            Self::Rectangular { low, high } | Self::Triangular { low, high } => check_limits(low, high)?,
        }
        Ok(self)
    }

    /// Best estimate: the expectation.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Normal { mean, .. } => mean,
            Self::Rectangular { low, high } | Self::Triangular { low, high } => low + 0.5 * (high - low),
        }
    }

    /// Standard uncertainty.
    ///
    /// # Formula
    /// rectangular: (high − low)/√12; triangular: (high − low)/√24.
    #[must_use]
    pub fn standard_uncertainty(&self) -> f64 {
        match *self {
            Self::Normal { std, .. } => std,
            Self::Rectangular { low, high } => (high - low) / 12.0f64.sqrt(),
            Self::Triangular { low, high } => (high - low) / 24.0f64.sqrt(),
        }
    }

    /// Degrees of freedom of the standard uncertainty; infinite for limits that are taken as exact.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        match *self {
            Self::Normal { degrees_of_freedom, .. } => degrees_of_freedom,
            _ => f64::INFINITY,
        }
    }

    /// The kind.
    #[must_use]
    pub fn shape(&self) -> Shape {
        match self {
            Self::Normal { .. } => Shape::Normal,
            Self::Rectangular { .. } => Shape::Rectangular,
            Self::Triangular { .. } => Shape::Triangular,
        }
    }

    /// The name of the kind, in small letters.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.shape().name()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_width_one_gives_the_divisors_of_the_catalogue() {
        // JCGM 101:2008 table 1: half-width over root 3 and root 6.
        let u = |d: Result<Distribution>| d.unwrap().standard_uncertainty();
        assert!((u(Distribution::rectangular(-1.0, 1.0)) - 1.0 / 3.0f64.sqrt()).abs() < 1e-15);
        assert!((u(Distribution::triangular(-1.0, 1.0)) - 1.0 / 6.0f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn impossible_parameters_are_refused() {
        let code = |d: Result<Distribution>| d.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(Distribution::normal(0.0, -1.0)), Err(103));
        assert_eq!(code(Distribution::normal(f64::NAN, 1.0)), Err(101));
        assert_eq!(code(Distribution::normal_with_degrees_of_freedom(0.0, 1.0, -2.0)), Err(103));
        assert_eq!(code(Distribution::normal_with_degrees_of_freedom(0.0, 1.0, f64::NAN)), Err(103));
        assert_eq!(code(Distribution::rectangular(1.0, 0.0)), Err(103));
        assert_eq!(code(Distribution::rectangular(-f64::MAX, f64::MAX)), Err(101));
        assert_eq!(code(Distribution::triangular(0.0, f64::INFINITY)), Err(101));
        assert_eq!(code(Distribution::rectangular(1.0, 1.0)), Ok(()));
    }

    #[cfg(feature = "serde")]
    #[test]
    fn infinite_degrees_of_freedom_go_through_json_as_null() {
        for distribution in [
            Distribution::normal(1.0, 0.5).unwrap(),
            Distribution::normal_with_degrees_of_freedom(1.0, 0.5, 7.0).unwrap(),
        ] {
            let text = serde_json::to_string(&distribution).unwrap();
            assert_eq!(serde_json::from_str::<Distribution>(&text).unwrap(), distribution, "{text}");
        }
        let short: Distribution = serde_json::from_str(r#"{"shape":"normal","mean":0.0,"std":1.0}"#).unwrap();
        assert_eq!(short.degrees_of_freedom(), f64::INFINITY);
    }
}
