//! The instruments of a loop as a description states them: what they are, their ranges and tolerances.

use super::contribution::Term;
use super::curve::CurveDescription;
use super::links::{ReferenceJunctionDescription, TransferDescription, WiringDescription};
use super::unit::Unit;
use crate::circuit::Rounding;
use crate::tolerance::Construction;
use serde::{Deserialize, Serialize};

/// What a link is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LinkKind {
    /// The sensing element in the block.
    Element,
    /// A transmitter, read as a current or as a digital value.
    Transmitter,
    /// The current output of a transmitter whose digital value is read too.
    OutputStage,
    /// A local indicator.
    Indicator,
    /// An input card of a control system.
    InputCard,
    /// A link of the user's own.
    Custom,
    /// The value an operator sees.
    ControlSystem,
}

/// One link of the loop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Its tag, unique in the run.
    pub tag: String,
    /// What it is.
    pub kind: LinkKind,
    /// Tag of the link it takes its value from; none for an element.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub input: Option<String>,
    /// Unit of its readings.
    pub unit: Unit,
    /// Its range; 4 mA and 20 mA stand for the two ends, in this order.
    pub range: RangeDescription,
    /// The curve by which its resistance is read, for an element: what the transmitter is set to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub curve: Option<CurveDescription>,
    /// Its tolerance.
    pub tolerance: ToleranceDescription,
    /// Smallest step of its reading, in its unit; 0 if it does not count.
    pub resolution: f64,
    /// How its display comes to the last digit; to the nearest step if left out. One that cuts digits off is read half
    /// a step too low on average, which is put right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rounding: Option<Rounding>,
    /// Further contributions to the uncertainty of its readings: a meter's certificate, leads.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub contributions: Vec<Term>,
    /// How an element that is read in ohm is connected.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wiring: Option<WiringDescription>,
    /// Where the reference junction is, for an element that is read in mV.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference_junction: Option<ReferenceJunctionDescription>,
    /// What its readings stand for, where neither a unit of temperature nor mA over the range says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transfer: Option<TransferDescription>,
    /// Half the width of the doubt about when it was read, s; the drift of the reference over it enters the budget.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_within_s: Option<f64>,
    /// Time constant of the element and all damping up to its reading, s; its error is corrected for the lag.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_constant_s: Option<f64>,
}

/// A range of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RangeDescription {
    /// Value at 4 mA, or the lower end.
    pub low: f64,
    /// Value at 20 mA, or the upper end; below `low` for a reversed range.
    pub high: f64,
    /// `degC`, `degF` or `K`.
    pub unit: Unit,
}

/// How far an error may go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ToleranceDescription {
    /// A half-width.
    Absolute {
        /// Half-width.
        half_width: f64,
        /// `K`, `degF` (an interval, not a temperature) or the unit of the readings.
        unit: Unit,
    },
    /// Percent of the span of the instrument's range.
    PercentOfSpan {
        /// Percent.
        percent: f64,
    },
    /// Percent of the temperature in °C, as amount.
    PercentOfReading {
        /// Percent.
        percent: f64,
    },
    /// A class of IEC 60751.
    Iec60751 {
        /// `AA`, `A`, `B` or `C` for a thermometer; `W0.1` … `F0.6` for a bare resistor.
        class: String,
        /// How the element is made; needed for a thermometer class, whose range depends on it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        construction: Option<Construction>,
    },
    /// A class of IEC 60584-1.
    Iec60584 {
        /// Letter of the type.
        letter: String,
        /// 1, 2 or 3.
        class: u8,
    },
    /// Limits of ASTM E230.
    AstmE230 {
        /// Letter of the type.
        letter: String,
        /// `standard` or `special`.
        limits: String,
    },
    /// A grade of ASTM E1137.
    AstmE1137 {
        /// Name of the grade.
        grade: String,
    },
    /// A class of GOST 6651 for copper or nickel.
    Gost6651 {
        /// `copper` or `nickel`.
        material: String,
        /// Name of the class.
        class: String,
    },
    /// Limits that are not the same below as above.
    Asymmetric {
        /// Most negative error allowed, K.
        lower_k: f64,
        /// Most positive error allowed, K.
        upper_k: f64,
    },
    /// The sum of tolerances.
    Sum(Vec<ToleranceDescription>),
    /// The largest of tolerances.
    Max(Vec<ToleranceDescription>),
}
