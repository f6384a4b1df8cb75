//! What was done: the description of a run, as it is read from JSON.
//!
//! Every field has a unit, in its name or beside it. A missing, unknown or misspelt field is refused with its path.

use super::links::{ReferenceJunctionDescription, TransferDescription, WiringDescription};
use super::reference::{CombineReferences, CorrectionTable, ImmersionDescription, SelfHeatingDescription};
use super::structure::problems_of_run;
use crate::circuit::Rounding;
use crate::curves::Interpolation;
use crate::error::{Error, Problem, Result};
use crate::settling::SettledCriterion;
use crate::temperature::Scale;
use crate::tolerance::Construction;
use serde::{Deserialize, Serialize};

/// The version of the description that this core writes and reads.
pub const SCHEMA_VERSION: u32 = 1;

/// A run at the block: everything needed to compute every number of its result.
///
/// # Example
/// ```
/// use calcore::loop_calibration::Run;
/// let error = Run::from_json(r#"{"schema_version": 1, "titel": "x"}"#).unwrap_err();
/// assert!(error.to_string().starts_with("titel: unknown field `titel`"));
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Version of this description, 1.
    pub schema_version: u32,
    /// What the run is about.
    pub title: String,
    /// Anything else worth keeping.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Before or after an adjustment.
    pub phase: Phase,
    /// How the standard uncertainty becomes an expanded one.
    pub coverage: CoverageDescription,
    /// The decision rule, agreed on before the work (ISO/IEC 17025:2017, 7.1.3).
    pub decision: DecisionDescription,
    /// When the reference counts as settled; left out, this is not judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settling: Option<SettlingDescription>,
    /// The stated test on the reference, K and K/min: slope with its significance, scatter, dwell; left out, this is not
    /// judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<std::collections::BTreeMap<String, f64>>"))]
    pub settled: Option<SettledCriterion>,
    /// The reference thermometer.
    pub reference: Reference,
    /// Further reference thermometers in the same heat source; each is compared with the first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further_references: Vec<Reference>,
    /// What the reference temperature is taken from; the first reference if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub combine_references: Option<CombineReferences>,
    /// How long before its first or after its last reading the reference may be extrapolated, s; not at all if left
    /// out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_extrapolation_s: Option<f64>,
    /// The dry block or bath.
    pub heat_source: HeatSource,
    /// The links of the loop, in any order; each names the one it takes its value from.
    pub instruments: Vec<Instrument>,
    /// The set points in the order in which they were visited.
    pub set_points: Vec<SetPoint>,
}

/// Before or after an adjustment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// As it was found, before anything was touched.
    AsFound,
    /// As it was left, after an adjustment.
    AsLeft,
}

/// How the standard uncertainty becomes an expanded one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CoverageDescription {
    /// The coverage factor follows from this probability and the effective degrees of freedom.
    Probability(f64),
    /// This coverage factor.
    Factor(f64),
    /// The coverage factor follows from this probability and the shapes of the contributions, convolved: less than that
    /// of a normal distribution where a rectangle or two dominate.
    Shapes(f64),
}

/// The decision rule and its guard band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DecisionDescription {
    /// The rule.
    pub rule: RuleName,
    /// Guard band as a multiple of the expanded uncertainty; 1 if left out, without meaning for simple acceptance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guard_band_factor: Option<f64>,
}

/// The decision rules of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum RuleName {
    /// Within the tolerance is a pass.
    Simple,
    /// Within the tolerance less the guard band is a pass.
    Guarded,
    /// Pass and fail outside the guard bands, conditional pass and conditional fail in them.
    FourState,
}

/// When the reference counts as settled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SettlingDescription {
    /// Length of the window, s.
    pub window_s: f64,
    /// Largest minus smallest reading allowed in the window, K.
    pub max_span_k: f64,
    /// Largest slope allowed in the window, K/min.
    pub max_slope_k_per_min: f64,
}

/// Units of readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Unit {
    /// Resistance.
    #[serde(rename = "ohm")]
    Ohm,
    /// Loop current.
    #[serde(rename = "mA")]
    Milliampere,
    /// Degree Celsius.
    #[serde(rename = "degC")]
    Celsius,
    /// Degree Fahrenheit.
    #[serde(rename = "degF")]
    Fahrenheit,
    /// Kelvin.
    #[serde(rename = "K")]
    Kelvin,
    /// Thermoelectric voltage.
    #[serde(rename = "mV")]
    Millivolt,
    /// Voltage of a receiver.
    #[serde(rename = "V")]
    Volt,
    /// Percent of a range.
    #[serde(rename = "%")]
    Percent,
    /// Counts of a converter, or any other number.
    #[serde(rename = "1")]
    One,
}

impl Unit {
    /// The unit as it stands in a run file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ohm => "ohm",
            Self::Milliampere => "mA",
            Self::Celsius => "degC",
            Self::Fahrenheit => "degF",
            Self::Kelvin => "K",
            Self::Millivolt => "mV",
            Self::Volt => "V",
            Self::Percent => "%",
            Self::One => "1",
        }
    }
}

/// A curve by name and coefficients.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CurveDescription {
    /// Platinum by the coefficients of IEC 60751.
    Iec60751 {
        /// Resistance at 0 °C, ohm.
        r0: f64,
    },
    /// Platinum by coefficients of its own, on the ITS-90.
    CallendarVanDusen {
        /// Resistance at 0 °C, ohm.
        r0: f64,
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K⁴.
        c: f64,
    },
    /// A standard platinum resistance thermometer on the ITS-90.
    Sprt {
        /// Resistance at the triple point of water, ohm.
        r_tpw: f64,
        /// Subrange of the ITS-90, as [`crate::its90::Subrange::from_name`] reads it.
        subrange: String,
        /// Coefficients of the deviation function, in the order of the subrange.
        coefficients: Vec<f64>,
    },
    /// A resistance thermometer of a standard polynomial, as [`crate::curves::PolynomialRtd::standard`] reads it.
    PolynomialRtd {
        /// Name of the standard curve.
        name: String,
        /// Resistance at 0 °C, ohm.
        r0: f64,
    },
    /// A thermistor by 1/T = a + b ln R + c (ln R)³.
    SteinhartHart {
        /// a, 1/K.
        a: f64,
        /// b, 1/K.
        b: f64,
        /// c, 1/K.
        c: f64,
    },
    /// A thermistor by its resistance at 25 °C and β.
    BetaThermistor {
        /// Resistance at 25 °C, ohm.
        r25: f64,
        /// β, K.
        beta: f64,
    },
    /// A thermocouple by its letter; its readings in mV need a reference junction.
    Thermocouple {
        /// B, C, E, J, K, N, R, S, T or A.
        letter: String,
    },
    /// A table of a certificate or of the user's own, in the unit of the readings.
    Table {
        /// Temperatures, °C.
        t_c: Vec<f64>,
        /// What the sensor gives there.
        signal: Vec<f64>,
        /// How it is read between the rows; straight if left out.
        #[serde(default)]
        #[cfg_attr(feature = "schema", schemars(with = "String"))]
        interpolation: Interpolation,
    },
}

/// The reference thermometer with its readout.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// Its tag.
    pub tag: String,
    /// Unit of its readings: `ohm` with a curve, or a unit of temperature.
    pub unit: Unit,
    /// The curve of its certificate, if it is read in ohm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub curve: Option<CurveDescription>,
    /// Scale of its certificate; ITS-90 if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    pub scale: Option<Scale>,
    /// Where its reference junction is, if it is read in mV.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference_junction: Option<ReferenceJunctionDescription>,
    /// Corrections of its readout, by its certificate, in the unit of the readings over the readings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub readout_correction: Option<CorrectionTable>,
    /// Corrections of its temperature, by its certificate, K over °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_correction: Option<CorrectionTable>,
    /// Its self-heating, if it is read at another current than its certificate is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub self_heating: Option<SelfHeatingDescription>,
    /// Its stem, if it is not deep enough for its length to be of no effect.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub immersion: Option<ImmersionDescription>,
    /// Its time constant, s; the lag counts where an instrument has one too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_constant_s: Option<f64>,
    /// Its contributions to the uncertainty: certificate, drift, readout. One error each for the whole run.
    pub contributions: Vec<Term>,
}

/// The dry block or bath.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HeatSource {
    /// Its tag.
    pub tag: String,
    /// Its contributions to the uncertainty: uniformity, stability, loading. One error each at every set point, the
    /// same for all instruments there.
    pub contributions: Vec<Term>,
}

/// One contribution to the uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// What it is.
    pub name: String,
    /// Unit of its numbers: `K`, or the unit of the readings that it belongs to.
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

/// A set point with all that was read there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SetPoint {
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// How it was approached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
    /// The readings, one entry for the reference and for each instrument that was read.
    pub readings: Vec<Reading>,
}

/// How a set point was approached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// From below.
    Up,
    /// From above.
    Down,
}

/// The raw readings of one instrument at one set point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Whose they are.
    pub tag: String,
    /// When, s, on the clock of the run.
    pub time_s: Vec<f64>,
    /// What, in the unit of the instrument.
    pub value: Vec<f64>,
    /// Temperature of the reference junction at this set point, °C, where it was measured anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference_junction_c: Option<f64>,
}

impl Run {
    /// Reads a description and checks it for contradictions.
    ///
    /// # Errors
    /// [`Error::Document`] with all fields that are missing, unknown, misspelt or of the wrong kind, each with its path,
    /// the first of them ahead; [`Error::InvalidRun`] with all contradictions.
    pub fn from_json(text: &str) -> Result<Self> {
        let run: Self = super::json::from_json(text).map_err(|error| all_of_them(error, text))?;
        run.check()?;
        Ok(run)
    }

    /// The description as JSON: compact, fields in their fixed order, numbers in the shortest form that reads back to
    /// the same bits.
    ///
    /// # Errors
    /// [`Error::Document`] for a number that JSON cannot hold.
    pub fn to_json(&self) -> Result<String> {
        serde_json::to_string(self).map_err(|error| document(String::new(), &error))
    }
}

pub(super) fn document(path: String, error: &serde_json::Error) -> Error {
    Error::Document { problem: Problem { path, message: error.to_string() } }
}

/// The error of a reader, which stops at the first fault, with all others of the same document.
fn all_of_them(error: Error, text: &str) -> Error {
    let Error::Document { mut problem } = error else { return error };
    let mut others = problems_of_run(text);
    // The one that is told already: at the same path, or a field that is missing there.
    if let Some(told) = others.iter().position(|other| other.path == problem.path) {
        others.remove(told);
    }
    if !others.is_empty() {
        let list: Vec<String> = others.iter().map(ToString::to_string).collect();
        problem.message = format!("{}; {} more: {}", problem.message, list.len(), list.join("; "));
    }
    Error::Document { problem }
}
