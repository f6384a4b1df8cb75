//! What lies between an element and its reading, and what the readings of a user's own link stand for.

use super::instrument::RangeDescription;

use super::transfer::PolynomialTransfer;
use super::unit::Unit;
use crate::curves::{Interpolation, SensorCurve, TabulatedCurve};
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

/// How an element is connected.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum WiringDescription {
    /// Two wires: their resistance is in every reading and is taken off.
    TwoWire {
        /// Resistance of both wires together, ohm.
        lead_resistance_ohm: f64,
        /// Its standard uncertainty, with what temperature does to it, ohm.
        standard_uncertainty_ohm: f64,
    },
    /// Two wires whose resistance is known by its limit only: half of that is taken off as the estimate, the doubt about it
    /// enters the budget.
    TwoWireNotCorrected {
        /// The resistance of both wires together lies between 0 and this, ohm: half of it is taken off every reading,
        /// and a rectangle of half of it to each side stays as the doubt.
        largest_ohm: f64,
    },
    /// Three wires: only the difference of two of them is in the reading.
    ThreeWire {
        /// Half the width within which that difference lies, ohm; rectangular.
        mismatch_ohm: f64,
    },
    /// Four wires: no wire is in the reading.
    FourWire,
}

impl WiringDescription {
    /// What is taken off a reading, ohm.
    pub(super) fn leads_ohm(self) -> f64 {
        match self {
            Self::TwoWire { lead_resistance_ohm, .. } => lead_resistance_ohm,
            Self::TwoWireNotCorrected { largest_ohm } => 0.5 * largest_ohm,
            Self::ThreeWire { .. } | Self::FourWire => 0.0,
        }
    }

    /// Half-width of a rectangle, or a standard uncertainty, ohm; the flag says which.
    pub(super) fn doubt_ohm(self) -> Option<(f64, bool)> {
        match self {
            Self::TwoWire { standard_uncertainty_ohm, .. } => Some((standard_uncertainty_ohm, false)),
            Self::TwoWireNotCorrected { largest_ohm } => Some((0.5 * largest_ohm, true)),
            Self::ThreeWire { mismatch_ohm } => Some((mismatch_ohm, true)),
            Self::FourWire => None,
        }
    }
}

/// Where the reference junction of a thermocouple is. There is no default: a reading in mV without it means nothing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ReferenceJunctionDescription {
    /// In melting ice, 0 °C.
    Ice {
        /// Its standard uncertainty, K.
        standard_uncertainty_k: f64,
    },
    /// At a measured temperature: its emf is added to the reading, never its temperature to the result.
    Measured {
        /// Temperature, °C; a reading may state another.
        t_c: f64,
        /// Its standard uncertainty, K.
        standard_uncertainty_k: f64,
    },
    /// The instrument that is read has added the emf of its junction already: the reading is that against 0 °C.
    CompensatedByInstrument {
        /// Standard uncertainty of the compensation, as a temperature of the junction, K.
        standard_uncertainty_k: f64,
    },
}

impl ReferenceJunctionDescription {
    /// Temperature whose emf is to be added, °C; none where that was done.
    pub(super) fn t_c(self) -> Option<f64> {
        match self {
            Self::Ice { .. } => Some(0.0),
            Self::Measured { t_c, .. } => Some(t_c),
            Self::CompensatedByInstrument { .. } => None,
        }
    }

    pub(super) fn standard_uncertainty_k(self) -> f64 {
        match self {
            Self::Ice { standard_uncertainty_k }
            | Self::Measured { standard_uncertainty_k, .. }
            | Self::CompensatedByInstrument { standard_uncertainty_k } => standard_uncertainty_k,
        }
    }
}

/// What the readings of a link stand for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TransferDescription {
    /// A straight line through the ends of the range.
    Linear {
        /// Reading at the lower end of the range.
        at_low: f64,
        /// Reading at the upper end of the range.
        at_high: f64,
    },
    /// A polynomial of the temperature, which must rise or fall all the way over the range and a tenth of it beyond.
    Polynomial {
        /// Coefficients of 1, t, t², …, t in °C.
        coefficients: Vec<f64>,
    },
    /// A table.
    Table {
        /// Temperatures, °C.
        t_c: Vec<f64>,
        /// Reading at each.
        reading: Vec<f64>,
        /// How it is read between the rows; straight if left out.
        #[serde(default)]
        #[cfg_attr(feature = "schema", schemars(with = "String"))]
        interpolation: Interpolation,
    },
}

impl TransferDescription {
    pub(super) fn build(&self, range: RangeDescription, unit: Unit) -> Result<Box<dyn SensorCurve>> {
        let name = unit.name();
        let table = |t_c: &[f64], reading: &[f64], interpolation| {
            TabulatedCurve::with_unit(t_c, reading, interpolation, "reading", name)
        };
        Ok(Box::new(match self {
            Self::Linear { at_low, at_high } => {
                let (low_c, high_c) = range.ends_c()?;
                if at_low.total_cmp(at_high).is_eq() {
                    return Err(Error::InvalidValue {
                        what: "reading at the upper end of the range",
                        value: *at_high,
                        unit: name,
                        requirement: "it must differ from that at the lower end".into(),
                    });
                }
                // A tenth of the span further at both ends: a link out of adjustment reads beyond its range.
                let (over_c, over) = (0.1 * (high_c - low_c), 0.1 * (at_high - at_low));
                table(&[low_c - over_c, high_c + over_c], &[at_low - over, at_high + over], Interpolation::Linear)?
            }
            Self::Polynomial { coefficients } => {
                let (a, b) = range.ends_c()?;
                let (low_c, high_c, over_c) = (a.min(b), a.max(b), 0.1 * (b - a).abs());
                return Ok(Box::new(PolynomialTransfer::new(coefficients, low_c - over_c, high_c + over_c, name)?));
            }
            Self::Table { t_c, reading, interpolation } => table(t_c, reading, *interpolation)?,
        }))
    }
}
