//! What a loop would read if one of its links were right.

use super::evaluate::rule;
use super::result::{Attribution, RunResult};
use super::run::CoverageDescription;
use crate::decision::{Limits, Verdict, decide};
use crate::error::{Error, Result};
use crate::uncertainty::Coverage;
use serde::{Deserialize, Serialize};

/// The loop at one set point without the share of one link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CorrectedPoint {
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// What the last link would read, °C.
    pub indicated_c: f64,
    /// Error that would stay, K.
    pub error_k: f64,
    /// Standard uncertainty of it, K, from the covariance of all three errors it is made of.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of it, K.
    pub expanded_uncertainty_k: f64,
    /// What the decision rule of the run would say.
    pub verdict: Verdict,
    /// Probability that the error would lie within the tolerance.
    pub probability_of_conformity: f64,
}

impl RunResult {
    /// What the loop that ends with `tag` would read if the link `link` had no error of its own.
    ///
    /// # Formula
    /// e = e_loop − (e_link − e_before); the variance follows from the covariance matrix of the run, with the smallest
    /// effective degrees of freedom of the three.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for a loop or a link that was not read.
    pub fn after_correcting(&self, tag: &str, link: &str) -> Result<Vec<CorrectedPoint>> {
        let attribution = self.loop_ending(tag)?;
        if !attribution.links.iter().any(|one| one == link) {
            return Err(Error::UnknownName { what: "link", name: link.into(), expected: attribution.links.join(", ") });
        }
        let mut points = Vec::new();
        for split in &attribution.set_points {
            let Some(position) = split.shares.iter().position(|share| share.tag == link) else { continue };
            let before = position.checked_sub(1).map(|i| split.shares[i].tag.as_str());
            let mut weights = vec![0.0; self.covariance.size()];
            let mut freedom = f64::INFINITY;
            let mut last = None;
            for (name, weight) in [(Some(tag), 1.0), (Some(link), -1.0), (before, 1.0)] {
                let Some((index, point)) = name.and_then(|name| self.point_index(name, split.set_point)) else {
                    continue;
                };
                weights[index] += weight;
                freedom = freedom.min(point.budget.effective_degrees_of_freedom);
                last.get_or_insert(point);
            }
            let Some(last) = last else { continue };
            let error_k = split.error_k - split.shares[position].error_k;
            // The difference of nearly equal numbers may leave a hair below zero.
            let u = self.covariance.variance_of(&weights).max(0.0).sqrt();
            let coverage = match self.run.coverage {
                // A result keeps covariances, not the shapes of a difference: Student's t, which is wider than rectangles.
                CoverageDescription::Probability(p) | CoverageDescription::Shapes(p) => Coverage::Probability(p),
                CoverageDescription::Factor(k) => Coverage::Factor(k),
            };
            let (_, k) = coverage.probability_and_factor(freedom)?;
            let limits = Limits { lower: Some(last.tolerance_lower_k), upper: Some(last.tolerance_upper_k) };
            let decision = decide(error_k, u, limits, rule(self.run.decision, k * u))?;
            points.push(CorrectedPoint {
                set_point: split.set_point,
                indicated_c: last.reference_c + error_k,
                error_k,
                standard_uncertainty_k: u,
                expanded_uncertainty_k: k * u,
                verdict: decision.verdict,
                probability_of_conformity: decision.probability_of_conformity,
            });
        }
        Ok(points)
    }

    /// The loop that ends with a tag.
    pub(super) fn loop_ending(&self, tag: &str) -> Result<&Attribution> {
        let names = || self.attribution.iter().map(|one| one.tag.as_str()).collect::<Vec<_>>().join(", ");
        let unknown = || Error::UnknownName { what: "loop", name: tag.into(), expected: names() };
        self.attribution.iter().find(|one| one.tag == tag).ok_or_else(unknown)
    }

    /// The point of an instrument at a set point, with its row in the covariance matrix.
    pub(super) fn point_index(&self, tag: &str, set_point: usize) -> Option<(usize, &super::result::PointResult)> {
        let mut first = 0;
        for instrument in &self.instruments {
            if instrument.tag == tag {
                let here = instrument.points.iter().position(|point| point.set_point == set_point)?;
                return Some((first + here, &instrument.points[here]));
            }
            first += instrument.points.len();
        }
        None
    }
}
