//! Reverse traceability: which results rest on a reference that was found out of tolerance, and how much they change.

use super::reference::CorrectionTable;
use super::result::RunResult;
use super::run::{Reference, Run};
use crate::decision::Verdict;
use crate::error::{Error, Result, finite};
use serde::{Deserialize, Serialize};

/// What a reference was found to be off by, at its own points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ReferenceFinding {
    /// Its tag.
    pub tag: String,
    /// Where, °C, rising.
    pub t_c: Vec<f64>,
    /// Its error there, indicated minus true, K, beyond what its certificate said.
    pub error_k: Vec<f64>,
    /// When it was last known to be right.
    pub last_good: f64,
    /// When it was found.
    pub found: f64,
}

/// One result that rests on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Impact {
    /// Which run, counted from 0.
    pub run: usize,
    /// Tag of the instrument.
    pub tag: String,
    /// Which set point of that run.
    pub set_point: usize,
    /// Error as it was reported, K.
    pub reported_k: f64,
    /// Verdict as it was reported.
    pub reported: Verdict,
    /// Error if the reference drifted evenly since it was last known to be right, K.
    pub likely_k: f64,
    /// Verdict then.
    pub likely: Verdict,
    /// Error if it had gone off at once by all that was found, K.
    pub worst_k: f64,
    /// Verdict then.
    pub worst: Verdict,
    /// Whether either verdict differs from the reported one.
    pub changes_verdict: bool,
}

/// Evaluates every run that used the reference after it was last known to be right, again with its error taken off:
/// evenly grown to the moment of the run, and in full. `runs` are results with the moment at which they were made, on
/// the clock of the finding.
///
/// A finding between whose dates no run was made gives no impact.
///
/// # Errors
/// [`Error::UnknownName`] for a reference that none of the runs used; [`Error::InvalidValue`] for dates that are not in
/// order, [`Error::NotFinite`]; what the evaluation refuses, such as a set point outside the points of the finding.
///
/// # Source
/// ISO/IEC 17025:2017, 7.10 (what it calls for); bounds by an even drift and a sudden one: common practice, no source.
pub fn impact(runs: &[(f64, &RunResult)], finding: &ReferenceFinding) -> Result<Vec<Impact>> {
    check(runs, finding)?;
    let mut impacts = Vec::new();
    for (i, (when, reported)) in runs.iter().enumerate() {
        let run = &reported.run;
        let rests_on_it = references(run).any(|one| one.tag == finding.tag);
        if !rests_on_it || *when <= finding.last_good || *when > finding.found {
            continue;
        }
        let part = (when - finding.last_good) / (finding.found - finding.last_good);
        let likely = corrected(run, finding, part)?.evaluate()?;
        let worst = corrected(run, finding, 1.0)?.evaluate()?;
        for (a, (b, c)) in reported.instruments.iter().zip(likely.instruments.iter().zip(&worst.instruments)) {
            for (x, (y, z)) in a.points.iter().zip(b.points.iter().zip(&c.points)) {
                impacts.push(Impact {
                    run: i,
                    tag: a.tag.clone(),
                    set_point: x.set_point,
                    reported_k: x.error_k,
                    reported: x.verdict,
                    likely_k: y.error_k,
                    likely: y.verdict,
                    worst_k: z.error_k,
                    worst: z.verdict,
                    changes_verdict: y.verdict != x.verdict || z.verdict != x.verdict,
                });
            }
        }
    }
    Ok(impacts)
}

/// Refuses a finding that can say nothing of the runs. Without this a misspelt tag or swapped dates would look like a
/// reference on which nothing rests.
fn check(runs: &[(f64, &RunResult)], finding: &ReferenceFinding) -> Result<()> {
    let last_good = finite("date when the reference was last good", finding.last_good)?;
    let found = finite("date of the finding", finding.found)?;
    if found <= last_good {
        let requirement = format!("it must be later than the date when the reference was last good, {last_good}");
        return Err(Error::InvalidValue { what: "date of the finding", value: found, unit: "", requirement });
    }
    for (i, (when, _)) in runs.iter().enumerate() {
        finite("date of a run", *when).map_err(|error| error.at_index(i, 1))?;
    }
    table(finding, 1.0)?;
    let mut known: Vec<&str> = runs.iter().flat_map(|(_, one)| references(&one.run)).map(|one| &*one.tag).collect();
    known.sort_unstable();
    known.dedup();
    // Without a run there is no reference to know, and nothing that rests on one.
    if !known.is_empty() && !known.contains(&finding.tag.as_str()) {
        let (what, name) = ("reference of the runs", finding.tag.clone());
        return Err(Error::UnknownName { what, name, expected: known.join(", ") });
    }
    Ok(())
}

fn references(run: &Run) -> impl Iterator<Item = &Reference> {
    std::iter::once(&run.reference).chain(&run.further_references)
}

/// A part of the error of the finding as a correction.
fn table(finding: &ReferenceFinding, part: f64) -> Result<CorrectionTable> {
    let correction = finding.error_k.iter().map(|error| -part * error).collect();
    let found = CorrectionTable { at: finding.t_c.clone(), correction };
    found.check()?;
    Ok(found)
}

/// The run with a part of the error taken off its reference, on top of the corrections that it has.
fn corrected(run: &Run, finding: &ReferenceFinding, part: f64) -> Result<Run> {
    let mut run = run.clone();
    for reference in std::iter::once(&mut run.reference).chain(&mut run.further_references) {
        if reference.tag != finding.tag {
            continue;
        }
        let found = table(finding, part)?;
        reference.temperature_correction = Some(match &reference.temperature_correction {
            None => found,
            Some(old) => old.plus(&found)?,
        });
    }
    Ok(run)
}
