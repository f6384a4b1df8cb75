//! What came out: every number of a certificate's table, with what it rests on.

use super::instrument::LinkKind;
use super::reference::ReferenceComparison;
use super::run::{Phase, Run, document};
use super::unit::Unit;
use crate::curves::CallendarVanDusen;
use crate::decision::Verdict;
use crate::error::Result;
use crate::num::covariance::Covariance;
use crate::settling::{SettledState, Steadiness};
use crate::uncertainty::Budget;
use serde::Serialize;

/// The evaluation of a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunResult {
    /// Version of the core that computed it.
    pub core_version: String,
    /// Documents by which it was computed.
    pub documents: Vec<String>,
    /// Before or after an adjustment.
    pub phase: Phase,
    /// One entry a set point.
    pub set_points: Vec<SetPointResult>,
    /// One entry an instrument that was read, in the order of the run.
    pub instruments: Vec<InstrumentResult>,
    /// One entry a further reference and set point.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(default))]
    pub reference_comparisons: Vec<ReferenceComparison>,
    /// One entry a loop: a chain of links that was read to its end.
    pub attribution: Vec<Attribution>,
    /// Covariance of all errors, K², in the order of `instruments` and, within, of their points.
    pub covariance: Covariance,
    /// New coefficients, one entry an element that was read.
    pub element_fits: Vec<ElementFit>,
    /// What the reader should know; each has a stable code.
    pub warnings: Vec<Warning>,
    /// What to mind when working at hot equipment and on live loops.
    pub cautions: Vec<String>,
    /// The run itself, from which all this can be computed again.
    pub run: Run,
}

/// The reference at a set point.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SetPointResult {
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// Mean temperature by the reference thermometer, °C.
    pub reference_c: f64,
    /// Standard uncertainty of it, K: reference and heat source.
    pub standard_uncertainty_k: f64,
    /// Whether the reference was steady, if the run says when it counts as such.
    pub steadiness: Option<Steadiness>,
    /// The stated test at the last reading of the reference, if the run asks for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<SettledState>,
}

/// All points of one instrument.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct InstrumentResult {
    /// Its tag.
    pub tag: String,
    /// What it is.
    pub kind: LinkKind,
    /// Unit of its readings.
    pub unit: Unit,
    /// One entry a set point at which it was read.
    pub points: Vec<PointResult>,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// Which of its points uses the largest part of its tolerance.
    pub worst_point: usize,
}

/// One instrument at one set point.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PointResult {
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// Temperature by the reference thermometer at the moments of the readings, mean, °C.
    pub reference_c: f64,
    /// Mean reading, in the unit of the instrument.
    pub reading: f64,
    /// Temperature that the readings stand for, mean, °C.
    pub indicated_c: f64,
    /// Error: indicated minus reference, in the unit of the instrument.
    pub error: f64,
    /// The same in kelvin.
    pub error_k: f64,
    /// The same in percent of the span.
    pub error_percent_of_span: f64,
    /// Standard uncertainty of the error, K.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of the error, K.
    pub expanded_uncertainty_k: f64,
    /// Expanded uncertainty of the error, in the unit of the instrument.
    pub expanded_uncertainty: f64,
    /// Coverage factor.
    pub coverage_factor: f64,
    /// Most negative error allowed, K.
    pub tolerance_lower_k: f64,
    /// Most positive error allowed, K.
    pub tolerance_upper_k: f64,
    /// Guard band of the decision, K.
    pub guard_band_k: f64,
    /// What the decision rule says.
    pub verdict: Verdict,
    /// Probability that the error lies within the tolerance.
    pub probability_of_conformity: f64,
    /// What the uncertainty is made of, all in kelvin.
    pub budget: Budget,
}

/// The error of a loop, split over its links.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Attribution {
    /// Tag of the last link: what the operator sees.
    pub tag: String,
    /// The links that were read, from the element on.
    pub links: Vec<String>,
    /// One entry a set point at which the last link was read.
    pub set_points: Vec<SetPointAttribution>,
    /// Tag of the link with the largest share (root of the mean square over the set points).
    pub cause: String,
    /// Whether that share exceeds its expanded uncertainty at a set point at least.
    pub significant: bool,
}

/// The split at one set point.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SetPointAttribution {
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// Error of the loop, K: that of its last link.
    pub error_k: f64,
    /// The shares; their sum is the error of the loop.
    pub shares: Vec<LinkShare>,
}

/// What one link adds.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LinkShare {
    /// Tag of the link.
    pub tag: String,
    /// Links between the one before and this one that were not read and whose error is in this share.
    pub unread: Vec<String>,
    /// What it adds to the error, K: its own error less that of the link before.
    pub error_k: f64,
    /// Standard uncertainty of that difference, K; the reference and the heat source cancel beyond the first link.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of that difference, K.
    pub expanded_uncertainty_k: f64,
    /// Share of the error of the loop, percent; absent where that error is zero.
    pub percent: Option<f64>,
}

/// New coefficients for an element.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ElementFit {
    /// Tag of the element.
    pub tag: String,
    /// R0, ohm.
    pub r0: f64,
    /// A, 1/K.
    pub a: f64,
    /// B, 1/K².
    pub b: f64,
    /// C, 1/K⁴.
    pub c: f64,
    /// Covariance of R0, A, B, C; zero rows where a coefficient was held.
    pub covariance: Option<Covariance>,
    /// Names of the coefficients that were held.
    pub held: Vec<String>,
    /// Range in which the new curve holds, °C.
    pub range_c: (f64, f64),
    /// What the fit leaves at every point, K.
    pub residuals_k: Vec<f64>,
    /// Chi-squared of the fit.
    pub chi_squared: Option<f64>,
    /// Degrees of freedom of the fit.
    pub degrees_of_freedom: usize,
    /// Probability of a larger chi-squared, if the model is right.
    pub p_value: Option<f64>,
    /// Standard uncertainty of the new curve, read backwards at every point, K.
    pub standard_uncertainties_k: Vec<f64>,
    /// The curve itself.
    #[serde(skip)]
    pub curve: CallendarVanDusen,
}

/// Something the reader should know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Warning {
    /// Stable code.
    pub code: String,
    /// What it concerns, as a path into the run.
    pub path: String,
    /// What it says.
    pub message: String,
}

impl RunResult {
    /// The instrument with a tag.
    #[must_use]
    pub fn instrument(&self, tag: &str) -> Option<&InstrumentResult> {
        self.instruments.iter().find(|instrument| instrument.tag == tag)
    }

    /// The result as JSON: compact, fields in their fixed order, numbers in the shortest form that reads back to the
    /// same bits. The same run gives the same bytes on all faces.
    ///
    /// # Errors
    /// [`crate::Error::Document`] for a number that JSON cannot hold.
    pub fn to_json(&self) -> Result<String> {
        serde_json::to_string(self).map_err(|error| document(String::new(), &error))
    }
}
