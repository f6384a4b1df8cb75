//! Contributions to the uncertainty as a description states them.

use super::unit::Unit;
use serde::{Deserialize, Serialize};

/// One contribution to the uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// What it is.
    pub name: String,
    /// Unit of its numbers: `K`, a difference of temperature, or the unit of the readings that it belongs to where that is
    /// none of temperature, such as `ohm` or `mA`.
    pub unit: Unit,
    /// Its distribution.
    pub distribution: TermDistribution,
    /// Among which results it is one and the same error; if left out, the whole run for a reference, the set point for
    /// a heat source, the point for an instrument.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scope: Option<TermScope>,
    /// Name of the thing that causes it, such as the number of a meter: contributions of the same name, wherever they
    /// stand, are one and the same error in the whole run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// Among which results a contribution is one and the same error.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum TermScope {
    /// For its owner at all set points.
    Run,
    /// For all instruments at a set point; only for a heat source.
    SetPoint,
    /// For one instrument at one set point.
    Point,
}

/// The distribution of a contribution about zero.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TermDistribution {
    /// A standard uncertainty.
    Normal {
        /// Standard uncertainty.
        standard_uncertainty: f64,
        /// Its degrees of freedom; infinite if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        degrees_of_freedom: Option<f64>,
    },
    /// An expanded uncertainty, as a certificate states it.
    Expanded {
        /// Expanded uncertainty.
        expanded_uncertainty: f64,
        /// The coverage factor that the certificate states.
        coverage_factor: f64,
    },
    /// Anywhere between limits with equal probability.
    Rectangular {
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Between limits, most probably in their middle.
    Triangular {
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Between limits, most probably near them: a ripple of a controller.
    UShaped {
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Expanded uncertainties at the points of a certificate, straight between them; refused outside.
    Table {
        /// The points, °C, rising.
        t_c: Vec<f64>,
        /// Expanded uncertainty at each.
        expanded_uncertainty: Vec<f64>,
        /// The coverage factor that the certificate states.
        coverage_factor: f64,
    },
}
