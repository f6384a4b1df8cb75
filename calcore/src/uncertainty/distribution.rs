//! What is known about an input quantity, as a distribution.

use crate::error::{Error, Result, finite, not_negative, positive};
use crate::interval::Interval;

/// The kind of a distribution, by name: what a line of a budget carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Sum of two rectangles.
    Trapezoidal,
    /// Sine of a uniform phase: most often near its limits.
    UShaped,
    /// Student's t, shifted and scaled.
    StudentT,
    /// Rectangle whose limits are themselves inexact.
    CurvilinearTrapezoid,
    /// Falling from zero.
    Exponential,
    /// Sum of exponentials.
    Gamma,
    /// The result of another budget.
    Combined,
}

impl Shape {
    /// The name, in small letters.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Rectangular => "rectangular",
            Self::Triangular => "triangular",
            Self::Trapezoidal => "trapezoidal",
            Self::UShaped => "u_shaped",
            Self::StudentT => "student_t",
            Self::CurvilinearTrapezoid => "curvilinear_trapezoid",
            Self::Exponential => "exponential",
            Self::Gamma => "gamma",
            Self::Combined => "combined",
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
#[cfg_attr(feature = "serde", serde(tag = "distribution", rename_all = "snake_case", deny_unknown_fields))]
#[non_exhaustive]
pub enum Distribution {
    /// Gaussian. Finite degrees of freedom tell how well the standard deviation itself is known: first-order propagation
    /// takes `std` as standard uncertainty and carries the degrees of freedom along (JCGM 100:2008, G.4); as a
    /// distribution (for Monte Carlo, and in `cdf` and `quantile`) it then is Student's t with `std` as scale (JCGM
    /// 101:2008, 6.4.9.7).
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
    /// Symmetric trapezoid between two limits.
    Trapezoidal {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
        /// Width of the flat top over the width of the base, β: 0 is a triangle, 1 a rectangle.
        shape: f64,
    },
    /// Arcsine distribution between two limits: a sine of unknown phase.
    UShaped {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
    /// Student's t, shifted and scaled: what is known after n repeated readings (scale s/√n, n − 1 degrees of freedom).
    /// Its standard uncertainty is the standard deviation of that distribution, larger than the scale; its degrees of
    /// freedom are in there, so that it enters a budget with infinite ones. For the way of JCGM 100 (u = s/√n with
    /// n − 1 degrees of freedom) take [`Distribution::Normal`] with finite degrees of freedom.
    StudentT {
        /// Estimate.
        mean: f64,
        /// Scale: s/√n.
        scale: f64,
        /// Degrees of freedom; the standard uncertainty needs more than 2.
        degrees_of_freedom: f64,
    },
    /// Rectangle whose limits are known to ± d, the middle being fixed.
    CurvilinearTrapezoid {
        /// Lower limit, in the middle of what it may be.
        low: f64,
        /// Upper limit, in the middle of what it may be.
        high: f64,
        /// Half-width of the doubt about each limit; at most half of the distance between them.
        d: f64,
    },
    /// Exponential from zero.
    Exponential {
        /// Expectation.
        mean: f64,
    },
    /// Gamma from zero.
    Gamma {
        /// Shape: number of events, need not be whole.
        shape: f64,
        /// Scale, in the unit of the quantity.
        scale: f64,
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

    /// Symmetric trapezoid between two limits; `shape` is top over base.
    ///
    /// # Errors
    /// As [`Distribution::rectangular`]; [`Error::OutOfRange`] for a shape outside 0 to 1.
    pub fn trapezoidal(low: f64, high: f64, shape: f64) -> Result<Self> {
        Self::Trapezoidal { low, high, shape }.check()
    }

    /// Arcsine distribution between two limits.
    ///
    /// # Errors
    /// As [`Distribution::rectangular`].
    pub fn u_shaped(low: f64, high: f64) -> Result<Self> {
        Self::UShaped { low, high }.check()
    }

    /// Student's t, shifted and scaled.
    ///
    /// # Errors
    /// As [`Distribution::normal_with_degrees_of_freedom`].
    pub fn student_t(mean: f64, scale: f64, degrees_of_freedom: f64) -> Result<Self> {
        Self::StudentT { mean, scale, degrees_of_freedom }.check()
    }

    /// Rectangle with limits that are known to ± `d`.
    ///
    /// # Errors
    /// As [`Distribution::rectangular`]; [`Error::OutOfRange`] for a `d` outside 0 to half the width.
    pub fn curvilinear_trapezoid(low: f64, high: f64, d: f64) -> Result<Self> {
        Self::CurvilinearTrapezoid { low, high, d }.check()
    }

    /// Exponential from zero.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a mean that is not positive.
    pub fn exponential(mean: f64) -> Result<Self> {
        Self::Exponential { mean }.check()
    }

    /// Gamma from zero.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a shape or scale that is not positive.
    pub fn gamma(shape: f64, scale: f64) -> Result<Self> {
        Self::Gamma { shape, scale }.check()
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
            Self::Rectangular { low, high } | Self::Triangular { low, high } | Self::UShaped { low, high } => {
                check_limits(low, high)?;
            }
            Self::Trapezoidal { low, high, shape } => {
                check_limits(low, high)?;
                Interval { what: "shape of the trapezoid", unit: "", low: 0.0, high: 1.0 }.check(shape)?;
            }
            Self::StudentT { mean, scale, degrees_of_freedom } => {
                finite("mean", mean)?;
                not_negative("scale", scale, "")?;
                check_degrees_of_freedom(degrees_of_freedom)?;
            }
            Self::CurvilinearTrapezoid { low, high, d } => {
                check_limits(low, high)?;
                let half = 0.5 * (high - low);
                Interval { what: "doubt about the limits", unit: "", low: 0.0, high: half }
                    .widened_for_rounding()
                    .check(d)?;
            }
            Self::Exponential { mean } => {
                positive("mean", mean, "")?;
            }
            Self::Gamma { shape, scale } => {
                positive("shape of the gamma distribution", shape, "")?;
                positive("scale", scale, "")?;
            }
        }
        Ok(self)
    }

    /// Best estimate: the expectation.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Normal { mean, .. } | Self::StudentT { mean, .. } | Self::Exponential { mean } => mean,
            Self::Rectangular { low, high }
            | Self::Triangular { low, high }
            | Self::Trapezoidal { low, high, .. }
            | Self::UShaped { low, high }
            | Self::CurvilinearTrapezoid { low, high, .. } => low + 0.5 * (high - low),
            Self::Gamma { shape, scale } => shape * scale,
        }
    }

    /// Standard uncertainty; infinite for Student's t with 2 degrees of freedom or fewer.
    ///
    /// # Formula
    /// With the half-width a: rectangular a/√3, triangular a/√6, trapezoidal a √((1 + β²)/6), U-shaped a/√2,
    /// curvilinear trapezoid √(a²/3 + d²/9); Student's t: scale √(ν/(ν − 2)); exponential: the mean; gamma: scale √shape.
    ///
    /// # Source
    /// JCGM 101:2008, 6.4 and table 1.
    #[must_use]
    pub fn standard_uncertainty(&self) -> f64 {
        match *self {
            Self::Normal { std, .. } => std,
            Self::Rectangular { low, high } => (high - low) / 12.0f64.sqrt(),
            Self::Triangular { low, high } => (high - low) / 24.0f64.sqrt(),
            Self::Trapezoidal { low, high, shape } => (high - low) * ((1.0 + shape * shape) / 24.0).sqrt(),
            Self::UShaped { low, high } => (high - low) / 8.0f64.sqrt(),
            Self::StudentT { scale, degrees_of_freedom: nu, .. } => {
                if nu == f64::INFINITY || scale <= 0.0 {
                    scale
                } else if nu <= 2.0 {
                    f64::INFINITY
                } else {
                    scale * (nu / (nu - 2.0)).sqrt()
                }
            }
            Self::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                (a * a / 3.0 + d * d / 9.0).sqrt()
            }
            Self::Exponential { mean } => mean,
            Self::Gamma { shape, scale } => scale * shape.sqrt(),
        }
    }

    /// Third central moment over the cube of the standard deviation; none where the moment does not exist. 0 for all
    /// symmetric kinds.
    #[must_use]
    pub fn skewness(&self) -> Option<f64> {
        match *self {
            Self::Normal { degrees_of_freedom: nu, .. } | Self::StudentT { degrees_of_freedom: nu, .. } => {
                (nu > 3.0).then_some(0.0)
            }
            Self::Exponential { .. } => Some(2.0),
            Self::Gamma { shape, .. } => Some(2.0 / shape.sqrt()),
            _ => Some(0.0),
        }
    }

    /// Fourth central moment over the square of the variance, less 3; none where the moment does not exist.
    ///
    /// # Formula
    /// rectangular −6/5; triangular −3/5; trapezoidal −(6/5)(1 + 6β² + β⁴)/(1 + β²)²; U-shaped −3/2; Student's t
    /// 6/(ν − 4); curvilinear trapezoid ⟨w⁴⟩/5 over ⟨w²⟩²/9, less 3, averaged over its half-widths w; exponential 6; gamma
    /// 6/shape.
    #[must_use]
    pub fn excess_kurtosis(&self) -> Option<f64> {
        match *self {
            Self::Normal { degrees_of_freedom: nu, .. } | Self::StudentT { degrees_of_freedom: nu, .. } => {
                (nu > 4.0).then(|| 6.0 / (nu - 4.0))
            }
            Self::Rectangular { .. } => Some(-1.2),
            Self::Triangular { .. } => Some(-0.6),
            // The sum of rectangles of half-widths (1 ± β)/2, whose fourth cumulants −2a⁴/15 add.
            Self::Trapezoidal { shape, .. } => {
                let b2 = shape * shape;
                Some(-0.6 * (1.0 + 6.0 * b2 + b2 * b2) / ((1.0 + b2) * (1.0 + b2)))
            }
            Self::UShaped { .. } => Some(-1.5),
            Self::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                let (a2, d2) = (a * a, d * d);
                let (second, fourth) = (a2 + d2 / 3.0, a2 * a2 + 2.0 * a2 * d2 + d2 * d2 / 5.0);
                (second > 0.0).then(|| 1.8 * fourth / (second * second) - 3.0)
            }
            Self::Exponential { .. } => Some(6.0),
            Self::Gamma { shape, .. } => Some(6.0 / shape),
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
            Self::Trapezoidal { .. } => Shape::Trapezoidal,
            Self::UShaped { .. } => Shape::UShaped,
            Self::StudentT { .. } => Shape::StudentT,
            Self::CurvilinearTrapezoid { .. } => Shape::CurvilinearTrapezoid,
            Self::Exponential { .. } => Shape::Exponential,
            Self::Gamma { .. } => Shape::Gamma,
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
        let short: Distribution = serde_json::from_str(r#"{"distribution":"normal","mean":0.0,"std":1.0}"#).unwrap();
        assert_eq!(short.degrees_of_freedom(), f64::INFINITY);
    }
}
