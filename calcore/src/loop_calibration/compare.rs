//! As-found and as-left: the file of a calibration, in which what was found is never overwritten, and the effect of the
//! adjustment.

use super::result::{PointResult, RunResult};
use super::run::{Direction, Phase, Run};
use crate::error::{Error, Problem, Result, finite, not_negative, positive};
use serde::{Deserialize, Serialize};

/// What was done to a link between the two runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AdjustmentEvent {
    /// Tag of the link.
    pub tag: String,
    /// What was changed, such as `sensor trim` or `R0`.
    pub parameter: String,
    /// Value before.
    pub old: String,
    /// Value after.
    pub new: String,
    /// Why.
    pub reason: String,
    /// Who.
    pub by: String,
    /// When, as the user writes it.
    pub when: String,
}

/// A calibration from the first reading to the last. Its fields can be read; only the methods change it, in the order of
/// the work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CalibrationFile {
    as_found: Run,
    #[serde(default)]
    adjustments: Vec<AdjustmentEvent>,
    #[serde(default)]
    as_left: Option<Run>,
}

impl CalibrationFile {
    /// Begins with what was found.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] for a contradiction or a run that is not as-found.
    pub fn begin(as_found: Run) -> Result<Self> {
        as_found.check()?;
        if as_found.phase != Phase::AsFound {
            return Err(refused("phase", "the first run of a calibration is what was found, as_found"));
        }
        Ok(Self { as_found, adjustments: Vec::new(), as_left: None })
    }

    /// Replaces what was found by a longer record of it, as long as nothing was adjusted: set points may be added, none
    /// changed or left out.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] after the first adjustment, or where a reading already there is missing or another.
    pub fn extend_as_found(&mut self, longer: Run) -> Result<()> {
        longer.check()?;
        if !self.adjustments.is_empty() || self.as_left.is_some() {
            return Err(refused("as_found", "closed by the first adjustment: nothing can be added or changed"));
        }
        let kept = longer.set_points.starts_with(&self.as_found.set_points);
        if !kept || (Run { set_points: self.as_found.set_points.clone(), ..longer.clone() }) != self.as_found {
            return Err(refused("as_found", "set points can only be added; what was found is never overwritten"));
        }
        self.as_found = longer;
        Ok(())
    }

    /// Notes an adjustment. What was found is closed from now on.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] for a tag that the run does not know, or after the as-left run.
    pub fn adjust(&mut self, event: AdjustmentEvent) -> Result<()> {
        if self.as_left.is_some() {
            return Err(refused("adjustments", "the as-left run is there: begin a new calibration"));
        }
        if !self.as_found.instruments.iter().any(|one| one.tag == event.tag) {
            return Err(refused("adjustments", &format!("no instrument has the tag {:?}", event.tag)));
        }
        self.adjustments.push(event);
        Ok(())
    }

    /// Ends with what was left. Without an adjustment there is nothing to read again: what was left is what was found.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] for a contradiction, a run that is not as-left, a second one, readings copied from the
    /// as-found run, or without an adjustment.
    pub fn finish(&mut self, as_left: Run) -> Result<()> {
        as_left.check()?;
        if as_left.phase != Phase::AsLeft {
            return Err(refused("phase", "the last run of a calibration is what was left, as_left"));
        }
        if self.as_left.is_some() {
            return Err(refused("as_left", "is there already and is never overwritten"));
        }
        if self.adjustments.is_empty() {
            return Err(refused("as_left", "nothing was adjusted: what was left is what was found, by reference"));
        }
        if as_left.set_points == self.as_found.set_points {
            return Err(refused("as_left", "its readings are those of the as-found run: measured again, or copied?"));
        }
        self.as_left = Some(as_left);
        Ok(())
    }

    /// What was found.
    #[must_use]
    pub fn as_found(&self) -> &Run {
        &self.as_found
    }

    /// What was done.
    #[must_use]
    pub fn adjustments(&self) -> &[AdjustmentEvent] {
        &self.adjustments
    }

    /// What was left, if anything was adjusted.
    #[must_use]
    pub fn as_left(&self) -> Option<&Run> {
        self.as_left.as_ref()
    }

    /// Refuses a file, however it was read, whose parts contradict each other.
    ///
    /// # Errors
    /// [`Error::InvalidRun`], as the methods that build it.
    pub fn check(&self) -> Result<()> {
        let mut again = Self::begin(self.as_found.clone())?;
        for event in &self.adjustments {
            again.adjust(event.clone())?;
        }
        self.as_left.clone().map_or(Ok(()), |run| again.finish(run))
    }
}

fn refused(path: &str, message: &str) -> Error {
    Error::InvalidRun { problems: vec![Problem { path: path.into(), message: message.into() }] }
}

/// One instrument at one set point in two runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Change {
    /// Tag of the instrument.
    pub tag: String,
    /// The set point, °C.
    pub nominal_c: f64,
    /// How it was approached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
    /// Error in the first run, K.
    pub before_k: f64,
    /// Error in the second run, K.
    pub after_k: f64,
    /// Second minus first, K.
    pub change_k: f64,
    /// Standard uncertainty of the change, K; what the same reference contributes to both cancels.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty (k = 2) of the change, K.
    pub expanded_uncertainty_k: f64,
    /// Change over its expanded uncertainty.
    pub e_n: f64,
    /// Whether the change exceeds its expanded uncertainty.
    pub significant: bool,
}

/// Compares two runs of the same instruments: every instrument and set point that both have, visits from the same side
/// with each other.
///
/// # Formula
/// u² = u₁² + u₂² − 2 Σ c₁ c₂ over the contributions of a reference of the same tag and name and the same standard
/// uncertainty; E_n = Δ / U, U = 2 u
///
/// # Source
/// ISO 13528:2022, 9.7 (E_n, without correlation); JCGM 100:2008, 5.2 (correlation).
#[must_use]
pub fn compare(first: &RunResult, second: &RunResult) -> Vec<Change> {
    let mut changes = Vec::new();
    let tags = |result: &RunResult| -> Vec<String> {
        let run = &result.run;
        std::iter::once(&run.reference).chain(&run.further_references).map(|one| one.tag.clone()).collect()
    };
    let (ours, theirs) = (tags(first), tags(second));
    let common: Vec<String> = ours.into_iter().filter(|tag| theirs.contains(tag)).collect();
    for instrument in &first.instruments {
        let Some(other) = second.instrument(&instrument.tag) else { continue };
        for before in &instrument.points {
            let direction = |result: &RunResult, point: &PointResult| {
                result.run.set_points.get(point.set_point).and_then(|one| one.direction)
            };
            let same = |after: &&PointResult| {
                after.nominal_c.total_cmp(&before.nominal_c).is_eq()
                    && direction(second, after) == direction(first, before)
            };
            let Some(after) = other.points.iter().find(same) else { continue };
            let shared = shared(before, after, &common);
            let variance = before.standard_uncertainty_k * before.standard_uncertainty_k
                + after.standard_uncertainty_k * after.standard_uncertainty_k
                - 2.0 * shared;
            let change_k = after.error_k - before.error_k;
            let standard_uncertainty_k = variance.max(0.0).sqrt();
            let expanded = 2.0 * standard_uncertainty_k;
            changes.push(Change {
                tag: instrument.tag.clone(),
                nominal_c: before.nominal_c,
                direction: direction(first, before),
                before_k: before.error_k,
                after_k: after.error_k,
                change_k,
                standard_uncertainty_k,
                expanded_uncertainty_k: expanded,
                e_n: if expanded > 0.0 { change_k / expanded } else { 0.0 },
                significant: change_k.abs() > expanded,
            });
        }
    }
    changes
}

/// Covariance of two errors by the references that both rest on.
fn shared(before: &PointResult, after: &PointResult, common: &[String]) -> f64 {
    let mut sum = 0.0;
    for x in &before.budget.contributions {
        let is_reference =
            common.iter().any(|tag| x.quantity.strip_prefix(tag.as_str()).is_some_and(|rest| rest.starts_with(": ")));
        if is_reference {
            for y in after.budget.contributions.iter().filter(|y| y.quantity == x.quantity) {
                // A contribution that was stated anew, such as drift after a recalibration, is another one.
                let relative = (x.standard_uncertainty - y.standard_uncertainty).abs();
                if relative <= 1e-12 * x.standard_uncertainty {
                    sum += x.contribution * y.contribution;
                }
            }
        }
    }
    sum
}

/// Normalized error of two results with expanded uncertainties and what they have in common.
///
/// # Formula
/// E_n = (x₁ − x₂) / √(U₁² + U₂² − 2 k² cov), the common part being U_c = √(k² cov), so that the correlation is
/// U_c²/(U₁ U₂)
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative uncertainty or none at all, [`Error::OutOfRange`] for a
/// common part that would correlate the results by more than 1.
///
/// # Example
/// ```
/// let e_n = calcore::loop_calibration::normalized_error(0.12, 0.06, 0.05, 0.04, 0.0)?;
/// assert!((e_n - 0.971).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// ISO 13528:2022, 9.7.
pub fn normalized_error(x1: f64, expanded_1: f64, x2: f64, expanded_2: f64, common_expanded: f64) -> Result<f64> {
    let (u1, u2) =
        (not_negative("expanded uncertainty", expanded_1, "")?, not_negative("expanded uncertainty", expanded_2, "")?);
    let common = not_negative("common expanded uncertainty", common_expanded, "")?;
    let (product, square) = (u1 * u2, common * common);
    // The common part may be the whole of both; what rounding adds to its square is no reason to refuse that.
    if square > product * (1.0 + 4.0 * f64::EPSILON) {
        let (what, value, high) = ("common expanded uncertainty", common, product.sqrt());
        return Err(Error::OutOfRange { what, value, low: 0.0, high, unit: "", position: None });
    }
    // (U₁ − U₂)² + 2 (U₁ U₂ − U_c²): no cancellation of squares for results that share nearly all.
    let root = libm::hypot(u1 - u2, (2.0 * (product - square).max(0.0)).sqrt());
    let expanded = positive("expanded uncertainty of the difference", root, "")?;
    Ok((finite("first value", x1)? - finite("second value", x2)?) / expanded)
}
