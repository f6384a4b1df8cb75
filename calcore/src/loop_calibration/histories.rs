//! The history of every point of the instruments, from the results of their calibrations.

use super::compare::{Change, compare};
use super::history::{Drift, HistoryPoint, history};
use super::result::{PointResult, RunResult};
use super::run::{Direction, Phase};
use crate::error::{Error, Problem, Result};
use serde::{Deserialize, Serialize};

/// One calibration of several: when, what was found, and what was left if anything was adjusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration<'a> {
    /// When, years from any moment.
    pub time_a: f64,
    /// What was found.
    pub as_found: &'a RunResult,
    /// What was left, where something was adjusted.
    pub as_left: Option<&'a RunResult>,
}

/// One instrument at one set point over its calibrations.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PointHistory {
    /// Tag of the instrument.
    pub tag: String,
    /// The set point, °C.
    pub nominal_c: f64,
    /// How it was approached.
    pub direction: Option<Direction>,
    /// One entry a calibration that read it; uncertainties without what the same reference contributes to all.
    pub points: Vec<HistoryPoint>,
    /// From what was left (or found, where nothing was adjusted) at one calibration to what was found at the next, with
    /// its significance and E_n.
    pub changes: Vec<Change>,
    /// Drift over all; absent below three calibrations.
    pub drift: Option<Drift>,
}

/// The history of every instrument and set point of the first calibration. Set points are matched by their nominal
/// temperature and direction.
///
/// # Errors
/// [`Error::InvalidValue`] for times that do not rise; [`Error::TooFewPoints`] below two calibrations;
/// [`Error::InvalidRun`] for results of another phase than their place in the calibration, all of them at once.
///
/// # Source
/// ILAC-G24:2022 / OIML D 10:2022 (only as-found data tell of drift); E_n: ISO 13528:2022, 9.7.
pub fn histories(calibrations: &[Calibration<'_>]) -> Result<Vec<PointHistory>> {
    let [first, rest @ ..] = calibrations else { return Err(too_few(0)) };
    if rest.is_empty() {
        return Err(too_few(1));
    }
    for pair in calibrations.windows(2) {
        let (before, value) = (pair[0].time_a, pair[1].time_a);
        if !(value > before && value.is_finite() && before.is_finite()) {
            let requirement = format!("it must be later than the calibration before, {before} a");
            return Err(Error::InvalidValue { what: "time", value, unit: "a", requirement });
        }
    }
    check_phases(calibrations)?;
    let between: Vec<Vec<Change>> = calibrations
        .windows(2)
        .map(|pair| compare(pair[0].as_left.unwrap_or(pair[0].as_found), pair[1].as_found))
        .collect();
    let mut found = Vec::new();
    for instrument in &first.as_found.instruments {
        for point in &instrument.points {
            let here = |result: &RunResult| find(result, &instrument.tag, first.as_found, point).cloned();
            let read: Vec<(f64, PointResult, Option<f64>)> = calibrations
                .iter()
                .filter_map(|one| {
                    let left = one.as_left.and_then(&here).map(|point| point.error_k);
                    here(one.as_found).map(|point| (one.time_a, point, left))
                })
                .collect();
            let all: Vec<&PointResult> = read.iter().map(|(_, point, _)| point).collect();
            let points = read
                .iter()
                .map(|(time_a, point, as_left_k)| HistoryPoint {
                    time_a: *time_a,
                    as_found_k: point.error_k,
                    standard_uncertainty_k: own_uncertainty(point, &all, first.as_found),
                    as_left_k: *as_left_k,
                })
                .collect::<Vec<_>>();
            let same = |change: &&Change| {
                change.tag == instrument.tag
                    && change.nominal_c.total_cmp(&point.nominal_c).is_eq()
                    && change.direction == direction(first.as_found, point)
            };
            found.push(PointHistory {
                tag: instrument.tag.clone(),
                nominal_c: point.nominal_c,
                direction: direction(first.as_found, point),
                changes: between.iter().filter_map(|changes| changes.iter().find(same).cloned()).collect(),
                drift: if points.len() > 2 { Some(history(&points)?) } else { None },
                points,
            });
        }
    }
    Ok(found)
}

/// What was left, taken for what was found, would hide the drift: the phase that each result states is believed.
fn check_phases(calibrations: &[Calibration<'_>]) -> Result<()> {
    let mut problems = Vec::new();
    for (i, one) in calibrations.iter().enumerate() {
        let places = [("as_found", Phase::AsFound, Some(one.as_found)), ("as_left", Phase::AsLeft, one.as_left)];
        for (place, asked, result) in places {
            if let Some(result) = result.filter(|result| result.phase != asked) {
                let phase = match result.phase {
                    Phase::AsFound => "as_found",
                    Phase::AsLeft => "as_left",
                };
                problems.push(Problem {
                    path: format!("calibrations[{i}].{place}"),
                    message: format!("the result of {} a has the phase {phase}, expected {place}", one.time_a),
                });
            }
        }
    }
    if problems.is_empty() { Ok(()) } else { Err(Error::InvalidRun { problems }) }
}

fn too_few(found: usize) -> Error {
    Error::TooFewPoints { what: "history", needed: 2, found, hint: "a single calibration has none" }
}

fn direction(result: &RunResult, point: &PointResult) -> Option<Direction> {
    result.run.set_points.get(point.set_point).and_then(|one| one.direction)
}

/// The point of another result that is the same set point, approached in the same way.
fn find<'a>(result: &'a RunResult, tag: &str, of: &RunResult, point: &PointResult) -> Option<&'a PointResult> {
    result.instrument(tag)?.points.iter().find(|other| {
        other.nominal_c.total_cmp(&point.nominal_c).is_eq() && direction(result, other) == direction(of, point)
    })
}

/// Standard uncertainty without the contributions of a reference that stand in all calibrations with the same size:
/// they shift all errors alike and make no drift.
fn own_uncertainty(point: &PointResult, all: &[&PointResult], first: &RunResult) -> f64 {
    let run = &first.run;
    let references = || std::iter::once(&run.reference).chain(&run.further_references);
    let of_reference = |quantity: &str| {
        references().any(|one| quantity.strip_prefix(one.tag.as_str()).is_some_and(|rest| rest.starts_with(": ")))
    };
    let everywhere = |quantity: &str, u: f64| {
        all.iter().all(|other| {
            other
                .budget
                .contributions
                .iter()
                .any(|line| line.quantity == quantity && (line.standard_uncertainty - u).abs() <= 1e-12 * u)
        })
    };
    let own = point
        .budget
        .contributions
        .iter()
        .filter(|line| !(of_reference(&line.quantity) && everywhere(&line.quantity, line.standard_uncertainty)));
    own.map(|line| line.contribution * line.contribution).sum::<f64>().sqrt()
}
