//! Which link causes the error of the loop.
//!
//! Signed errors telescope: the error of the last link is the sum over the chain of what each link adds to the error of
//! the one before. What the reference and the heat source contribute to the uncertainty is common to all of them and
//! cancels in every share but the first.

use super::evaluate::{EvaluatedInstrument, EvaluatedPoint};
use super::instrument::Instrument;
use super::result::{Attribution, LinkShare, RunResult, SetPointAttribution};
use super::run::Run;
use super::terms::{ScopedTerm, budget};
use crate::error::Result;
use serde::Serialize;

/// The errors of the links of a loop at one set point, combined in three ways that are often taken for each other.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Combinations {
    /// The sum with signs: the error of the loop.
    pub algebraic_k: f64,
    /// The sum of the amounts: the worst that limits of this size allow.
    pub worst_case_k: f64,
    /// The root of the sum of squares: for independent limits before a measurement. Of measured errors it hides that
    /// they compensate each other.
    pub root_sum_of_squares_k: f64,
}

impl SetPointAttribution {
    /// The shares combined in three ways.
    ///
    /// # Source
    /// IEC 62828-3 (root of the sum of squares, for specifications; from memory); the sum with signs is algebra.
    #[must_use]
    pub fn combinations(&self) -> Combinations {
        let shares = || self.shares.iter().map(|share| share.error_k);
        Combinations {
            algebraic_k: shares().sum(),
            worst_case_k: shares().map(f64::abs).sum(),
            root_sum_of_squares_k: shares().map(|k| k * k).sum::<f64>().sqrt(),
        }
    }
}

impl RunResult {
    /// The sum of the shares of a loop at a set point, compensated: with what the subtraction of each share rounded off.
    /// It is the error of the loop to the last bit; the plain sum of the shares may differ by a rounding for each.
    ///
    /// # Source
    /// T. J. Dekker, D. E. Knuth: the rounding error of a sum is itself a double (from memory).
    #[must_use]
    pub fn sum_of_shares(&self, tag: &str, set_point: usize) -> Option<f64> {
        let attribution = self.attribution.iter().find(|one| one.tag == tag)?;
        let split = attribution.set_points.iter().find(|split| split.set_point == set_point)?;
        let (mut sum, mut low, mut before) = (0.0f64, 0.0f64, 0.0f64);
        for share in &split.shares {
            let (_, point) = self.point_index(&share.tag, set_point)?;
            low -= rounded_off(point.error_k, -before, share.error_k);
            let next = sum + share.error_k;
            low -= rounded_off(sum, share.error_k, next);
            (sum, before) = (next, point.error_k);
        }
        Some(sum + low)
    }
}

/// What `sum`, the rounded a + b, is too large by; exact.
fn rounded_off(a: f64, b: f64, sum: f64) -> f64 {
    let b_part = sum - a;
    let a_part = sum - b_part;
    (a_part - a) + (b_part - b)
}

/// Splits the error of every loop: of every link that was read and that no other link takes its value from.
pub(super) fn attribute(run: &Run, evaluated: &[EvaluatedInstrument<'_>]) -> Result<Vec<Attribution>> {
    let mut loops = Vec::new();
    for last in evaluated {
        let feeds_another =
            evaluated.iter().any(|other| chain(run, other.instrument).any(|link| link.tag == last.instrument.tag));
        if feeds_another {
            continue;
        }
        let mut set_points = Vec::with_capacity(last.points.len());
        for point in &last.points {
            set_points.push(split(run, evaluated, last, point)?);
        }
        let mut links: Vec<String> = chain(run, last.instrument)
            .filter(|link| evaluated.iter().any(|other| other.instrument.tag == link.tag))
            .map(|link| link.tag.clone())
            .collect();
        links.reverse();
        links.push(last.instrument.tag.clone());
        let (cause, significant) = cause(&links, &set_points);
        loops.push(Attribution { tag: last.instrument.tag.clone(), links, set_points, cause, significant });
    }
    Ok(loops)
}

/// The links before an instrument, the nearest first.
fn chain<'a>(run: &'a Run, instrument: &'a Instrument) -> impl Iterator<Item = &'a Instrument> {
    let before = |link: &Instrument| {
        link.input.as_ref().and_then(|input| run.instruments.iter().find(|other| other.tag == *input))
    };
    std::iter::successors(before(instrument), move |link| before(link))
}

fn split(
    run: &Run,
    evaluated: &[EvaluatedInstrument<'_>],
    last: &EvaluatedInstrument<'_>,
    point: &EvaluatedPoint,
) -> Result<SetPointAttribution> {
    let mut shares = Vec::new();
    let (mut tag, mut here, mut unread) = (last.instrument.tag.clone(), point, Vec::new());
    for link in chain(run, last.instrument) {
        let read = evaluated
            .iter()
            .find(|other| other.instrument.tag == link.tag)
            .and_then(|other| other.points.iter().find(|p| p.result.set_point == point.result.set_point));
        match read {
            None => unread.push(link.tag.clone()),
            Some(before) => {
                shares.push(share(run, tag, std::mem::take(&mut unread), here, Some(before), point)?);
                (tag, here) = (link.tag.clone(), before);
            }
        }
    }
    shares.push(share(run, tag, unread, here, None, point)?);
    shares.reverse();
    for share in &mut shares {
        share.unread.reverse();
    }
    Ok(SetPointAttribution { set_point: point.result.set_point, error_k: point.result.error_k, shares })
}

fn share(
    run: &Run,
    tag: String,
    unread: Vec<String>,
    here: &EvaluatedPoint,
    before: Option<&EvaluatedPoint>,
    last: &EvaluatedPoint,
) -> Result<LinkShare> {
    let error_k = here.result.error_k - before.map_or(0.0, |point| point.result.error_k);
    let budget = match before {
        None => here.result.budget.clone(),
        Some(before) => budget(error_k, &difference(&here.terms, &before.terms), run.coverage)?,
    };
    let whole = last.result.error_k;
    Ok(LinkShare {
        tag,
        unread,
        error_k,
        standard_uncertainty_k: budget.standard_uncertainty,
        expanded_uncertainty_k: budget.expanded_uncertainty,
        percent: if whole == 0.0 { None } else { Some(100.0 * error_k / whole) },
    })
}

/// Contributions to the difference of two errors at one set point: the shared ones remain only as far as their
/// sensitivities differ, such as where the reference differs between the moments of the two readings.
fn difference(here: &[ScopedTerm], before: &[ScopedTerm]) -> Vec<ScopedTerm> {
    let partner = |term: &ScopedTerm, others: &'_ [ScopedTerm]| {
        if term.is_shared() { others.iter().position(|other| other.scope == term.scope) } else { None }
    };
    let mut terms = Vec::with_capacity(here.len() + before.len());
    for x in here {
        let common = partner(x, before).map(|i| &before[i]);
        // The same error may stand in both with sizes of its own, such as a meter on two ranges.
        let taken = match common {
            None => 0.0,
            Some(y) if y.standard_uncertainty.total_cmp(&x.standard_uncertainty).is_eq() => y.sensitivity,
            Some(y) if x.standard_uncertainty > 0.0 => {
                y.sensitivity * (y.standard_uncertainty / x.standard_uncertainty)
            }
            Some(y) => {
                terms.push(ScopedTerm { sensitivity: -y.sensitivity, ..y.clone() });
                continue;
            }
        };
        terms.push(ScopedTerm { sensitivity: x.sensitivity - taken, ..x.clone() });
    }
    let alone = before.iter().filter(|y| partner(y, here).is_none());
    terms.extend(alone.map(|y| ScopedTerm { sensitivity: -y.sensitivity, ..y.clone() }));
    terms
}

/// The link with the largest root mean square share, and whether it stands out of its uncertainty anywhere.
fn cause(links: &[String], set_points: &[SetPointAttribution]) -> (String, bool) {
    let shares_of = |tag: &str| {
        set_points.iter().flat_map(|point| &point.shares).filter(move |share| share.tag == *tag).collect::<Vec<_>>()
    };
    let mut largest = (0.0, links.last().cloned().unwrap_or_default(), false);
    for tag in links {
        let shares = shares_of(tag);
        if shares.is_empty() {
            continue;
        }
        let mean_square = shares.iter().map(|share| share.error_k * share.error_k).sum::<f64>() / shares.len() as f64;
        if mean_square > largest.0 {
            let significant = shares.iter().any(|share| share.error_k.abs() > share.expanded_uncertainty_k);
            largest = (mean_square, tag.clone(), significant);
        }
    }
    (largest.1, largest.2)
}
