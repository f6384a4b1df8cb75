//! What the pattern of a link's errors over temperature points to. Always hypotheses: a measurement elsewhere decides.

use super::instrument::LinkKind;
use super::result::RunResult;
use super::run::Direction;
use crate::error::Result;
use serde::{Deserialize, Serialize};

/// How an error goes with temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Pattern {
    /// The same everywhere.
    Constant,
    /// A straight line.
    Linear,
    /// Bent.
    Quadratic,
    /// Negative and the larger the hotter.
    LowAndWorseHot,
    /// Different on the way up and on the way down.
    UpDownSplit,
}

/// A possible explanation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Hypothesis {
    /// Tag of the last link of the loop.
    pub loop_tag: String,
    /// Tag of the link.
    pub link: String,
    /// How its share of the error goes with temperature.
    pub pattern: Pattern,
    /// What commonly causes that.
    pub causes: Vec<String>,
    /// How much of the misfit of a faultless loop it explains, chi-squared less two for every parameter.
    pub explained: f64,
}

impl RunResult {
    /// Hypotheses on the loop that ends with `tag`, the one that explains most first; a link whose share lies within
    /// its uncertainty everywhere gives none.
    ///
    /// # Method
    /// The shares of each link, each over its own standard uncertainty, are explained by a constant, a straight line, a
    /// parabola, or by a difference between up and down; the pattern is the one with the smallest chi-squared plus two
    /// for every parameter (Akaike's criterion).
    ///
    /// # Errors
    /// [`crate::Error::UnknownName`] for a loop that was not read.
    ///
    /// # Source
    /// Patterns and causes: common practice, no source.
    pub fn hypotheses(&self, tag: &str) -> Result<Vec<Hypothesis>> {
        let attribution = self.loop_ending(tag)?;
        let mut found = Vec::new();
        for link in &attribution.links {
            let Some(kind) = self.instrument(link).map(|one| one.kind) else { continue };
            let points: Vec<Share> = attribution
                .set_points
                .iter()
                .filter_map(|split| {
                    let share = split.shares.iter().find(|share| share.tag == *link)?;
                    let t_c = self.set_points.get(split.set_point)?.reference_c;
                    let direction = self.run.set_points.get(split.set_point)?.direction;
                    Some(Share { t_c, error_k: share.error_k, u_k: share.standard_uncertainty_k, direction })
                })
                .filter(|share| share.u_k > 0.0)
                .collect();
            if let Some((pattern, explained)) = pattern(&points) {
                let causes = causes(kind, pattern).iter().map(|cause| (*cause).to_owned()).collect();
                found.push(Hypothesis { loop_tag: tag.into(), link: link.clone(), pattern, causes, explained });
            }
        }
        found.sort_by(|a, b| b.explained.total_cmp(&a.explained));
        Ok(found)
    }
}

/// A column of a linear model.
type Column<'a> = &'a dyn Fn(&Share) -> f64;

struct Share {
    t_c: f64,
    error_k: f64,
    u_k: f64,
    direction: Option<Direction>,
}

/// The pattern with the smallest criterion, and what it explains; none where no fault explains the shares best.
fn pattern(points: &[Share]) -> Option<(Pattern, f64)> {
    let zero: f64 = points.iter().map(|p| (p.error_k / p.u_k) * (p.error_k / p.u_k)).sum();
    let t: Vec<f64> = points.iter().map(|p| p.t_c).collect();
    let (low, high) = t.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(*t), b.max(*t)));
    let scaled = |p: &Share| if high > low { (2.0 * p.t_c - low - high) / (high - low) } else { 0.0 };
    let split = |p: &Share| match p.direction {
        Some(Direction::Up) => 1.0,
        Some(Direction::Down) => -1.0,
        None => 0.0,
    };
    let mut distinct = t.clone();
    distinct.sort_by(f64::total_cmp);
    // Visits of one set point lie within a hundredth of the whole width.
    distinct.dedup_by(|a, b| (*a - *b).abs() <= 0.01 * (high - low));
    let both = points.iter().any(|p| split(p) > 0.0) && points.iter().any(|p| split(p) < 0.0);
    let one = |_: &Share| 1.0;
    let square = |p: &Share| scaled(p) * scaled(p);
    let mut models: Vec<(Pattern, Vec<Column<'_>>)> = vec![(Pattern::Constant, vec![&one])];
    if distinct.len() > 1 {
        models.push((Pattern::Linear, vec![&one, &scaled]));
    }
    if distinct.len() > 2 {
        models.push((Pattern::Quadratic, vec![&one, &scaled, &square]));
    }
    if both {
        models.push((Pattern::UpDownSplit, vec![&one, &split]));
    }
    let judged = models
        .iter()
        .map(|(pattern, terms)| (*pattern, zero - least_squares(points, terms) - 2.0 * terms.len() as f64));
    let (best, explained) = judged.max_by(|a, b| a.1.total_cmp(&b.1))?;
    // Four: a single parameter at twice its standard uncertainty.
    if explained < 2.0 || zero < 4.0 {
        return None;
    }
    let hottest = points.iter().max_by(|a, b| a.t_c.total_cmp(&b.t_c))?;
    let coldest = points.iter().min_by(|a, b| a.t_c.total_cmp(&b.t_c))?;
    let worse_hot = matches!(best, Pattern::Linear | Pattern::Quadratic)
        && hottest.error_k < -2.0 * hottest.u_k
        && coldest.error_k.abs() < 0.5 * hottest.error_k.abs();
    Some((if worse_hot { Pattern::LowAndWorseHot } else { best }, explained))
}

/// Chi-squared of a linear model, by Gram-Schmidt on its columns.
fn least_squares(points: &[Share], terms: &[Column<'_>]) -> f64 {
    let mut rest: Vec<f64> = points.iter().map(|p| p.error_k / p.u_k).collect();
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for term in terms {
        let mut column: Vec<f64> = points.iter().map(|p| term(p) / p.u_k).collect();
        let length = norm(&column);
        for known in &basis {
            take_off(&mut column, known);
        }
        let left = norm(&column);
        if left > 1e-9 * length {
            column.iter_mut().for_each(|x| *x /= left);
            take_off(&mut rest, &column);
            basis.push(column);
        }
    }
    rest.iter().map(|r| r * r).sum()
}

fn norm(column: &[f64]) -> f64 {
    column.iter().map(|x| x * x).sum::<f64>().sqrt()
}

fn take_off(column: &mut [f64], unit: &[f64]) {
    let part: f64 = column.iter().zip(unit).map(|(x, y)| x * y).sum();
    column.iter_mut().zip(unit).for_each(|(x, y)| *x -= part * y);
}

fn causes(kind: LinkKind, pattern: Pattern) -> &'static [&'static str] {
    match (kind, pattern) {
        (_, Pattern::UpDownSplit) => {
            &["hysteresis of the link", "dwell too short: element and reference lag differently"]
        }
        (LinkKind::Element, Pattern::Constant) => {
            &["shift of the resistance at 0 °C", "lead wires", "reference junction"]
        }
        (LinkKind::Element, Pattern::Linear) => &["other temperature coefficient (alpha)", "too little immersion"],
        (LinkKind::Element, Pattern::LowAndWorseHot) => {
            &["insulation resistance", "heat conduction along the stem", "other temperature coefficient (alpha)"]
        }
        (LinkKind::Element, Pattern::Quadratic) => &["read by the wrong curve", "inhomogeneity"],
        (LinkKind::Transmitter, Pattern::Constant) => &["input offset: sensor trim", "wrong wire count"],
        (LinkKind::Transmitter, Pattern::Linear | Pattern::LowAndWorseHot) => {
            &["input gain: two-point sensor trim", "coefficients of another element"]
        }
        (LinkKind::Transmitter, Pattern::Quadratic) => &["wrong linearization or none", "wrong sensor type"],
        (LinkKind::OutputStage, Pattern::Constant) => &["zero of the output (D/A) stage"],
        (LinkKind::OutputStage, Pattern::Linear | Pattern::LowAndWorseHot) => {
            &["span of the output (D/A) stage", "too large a load in the loop"]
        }
        (_, Pattern::Constant) => &["zero of the input or display", "leakage in the loop"],
        (_, Pattern::Linear | Pattern::LowAndWorseHot) => {
            &["range of the receiver differs from that of the transmitter", "load resistor"]
        }
        (_, Pattern::Quadratic) => &["linearization applied twice or not at all"],
    }
}
