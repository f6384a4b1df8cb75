//! What was done: the description of a run, as it is read from JSON.
//!
//! Every field has a unit, in its name or beside it. A missing, unknown or misspelt field is refused with its path.

use super::contribution::Term;
use super::curve::CurveDescription;
use super::instrument::Instrument;
use super::links::ReferenceJunctionDescription;
use super::reference::{CombineReferences, CorrectionTable, ImmersionDescription, SelfHeatingDescription};
use super::structure::problems_of_run;
use super::unit::Unit;
use crate::error::{Error, Problem, Result};
use crate::settling::SettledCriterion;
use crate::temperature::Scale;
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
