//! Figures of an instrument over all its points: hysteresis, repeatability, linearity, measured accuracy.

use super::result::{InstrumentResult, PointResult, RunResult};
use super::run::Direction;
use crate::error::{Error, Result};
use crate::linearization::{self, Basis, ReadingUncertainty};
use serde::{Deserialize, Serialize};

/// Figures of one instrument. What its points do not tell is absent.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Figures {
    /// Largest difference of the mean errors going up and going down at one set point, K.
    pub hysteresis_k: Option<f64>,
    /// The same in percent of the span.
    pub hysteresis_percent_of_span: Option<f64>,
    /// The set point at which it is largest, °C.
    pub hysteresis_at_c: Option<f64>,
    /// Standard deviation of errors at one set point reached from the same side, pooled over set points, K.
    pub repeatability_k: Option<f64>,
    /// Its degrees of freedom.
    pub repeatability_degrees_of_freedom: usize,
    /// Standard deviation of single readings within a visit, pooled over visits, K.
    pub scatter_k: Option<f64>,
    /// Its degrees of freedom.
    pub scatter_degrees_of_freedom: f64,
    /// Most positive error, K.
    pub largest_error_k: f64,
    /// Most negative error, K.
    pub smallest_error_k: f64,
    /// Mean error at every set point over all visits: set point and error, °C and K, ascending.
    pub mean_errors: Vec<(f64, f64)>,
    /// How far these depart from a straight line; absent below three set points.
    pub linearity: Option<Linearity>,
}

/// Largest departure of the mean errors from a straight line, K.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Linearity {
    /// From the line through both end points.
    pub terminal_based_k: f64,
    /// From the line through the lower end point that makes it smallest.
    pub zero_based_k: f64,
    /// From the line that makes it smallest.
    pub independent_k: f64,
}

impl RunResult {
    /// Figures of the instrument with a tag.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for an instrument that was not read.
    pub fn figures(&self, tag: &str) -> Result<Figures> {
        let names = || self.instruments.iter().map(|one| one.tag.as_str()).collect::<Vec<_>>().join(", ");
        let unknown = || Error::UnknownName { what: "tag of an instrument", name: tag.into(), expected: names() };
        let instrument = self.instrument(tag).ok_or_else(unknown)?;
        let direction = |point: &PointResult| self.run.set_points.get(point.set_point).and_then(|one| one.direction);
        Ok(figures(instrument, direction))
    }
}

/// # Formula
/// Hysteresis: max |ē_up − ē_down| at the same nominal set point. Repeatability: s² = Σ νᵢ sᵢ² / Σ νᵢ over groups of the
/// same set point and direction. Measured accuracy: the most positive and the most negative error of all visits; it
/// contains hysteresis, repeatability and conformity already.
///
/// # Source
/// IEC 61298-2 and ISA-51.1 (from memory); pooling: JCGM 100:2008, 4.2 and H.3.6.
fn figures(instrument: &InstrumentResult, direction: impl Fn(&PointResult) -> Option<Direction>) -> Figures {
    let points = &instrument.points;
    let mut nominals: Vec<f64> = points.iter().map(|point| point.nominal_c).collect();
    nominals.sort_by(f64::total_cmp);
    nominals.dedup();
    let errors = |nominal: f64, from: Option<Direction>| -> Vec<f64> {
        let here = |point: &&PointResult| point.nominal_c.total_cmp(&nominal).is_eq() && direction(point) == from;
        points.iter().filter(here).map(|point| point.error_k).collect()
    };
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let mut hysteresis: Option<(f64, f64)> = None;
    let (mut squares, mut freedom) = (0.0, 0);
    let mut mean_errors = Vec::with_capacity(nominals.len());
    for &nominal in &nominals {
        let (up, down) = (errors(nominal, Some(Direction::Up)), errors(nominal, Some(Direction::Down)));
        if !up.is_empty() && !down.is_empty() {
            let split = (mean(&up) - mean(&down)).abs();
            if hysteresis.is_none_or(|(largest, _)| split > largest) {
                hysteresis = Some((split, nominal));
            }
        }
        let unknown = errors(nominal, None);
        let groups = [&up, &down, &unknown];
        for group in groups.iter().filter(|group| group.len() > 1) {
            let middle = mean(group);
            squares += group.iter().map(|e| (e - middle) * (e - middle)).sum::<f64>();
            freedom += group.len() - 1;
        }
        // Both directions count alike, however often each was visited.
        let means: Vec<f64> = groups.iter().filter(|group| !group.is_empty()).map(|group| mean(group)).collect();
        mean_errors.push((nominal, mean(&means)));
    }
    let (mut within, mut within_freedom) = (0.0, 0.0);
    for point in points {
        for line in &point.budget.contributions {
            if line.quantity.starts_with(&format!("{}: repeatability", instrument.tag)) {
                // The line is the standard deviation of the mean of ν + 1 readings.
                let nu = line.degrees_of_freedom;
                within += nu * line.contribution * line.contribution * (nu + 1.0);
                within_freedom += nu;
            }
        }
    }
    let span_k = points.first().map(|point| 100.0 * point.error_k / point.error_percent_of_span);
    let percent = |k: f64| span_k.filter(|span| span.is_finite()).map(|span| 100.0 * k / span.abs());
    Figures {
        hysteresis_k: hysteresis.map(|(k, _)| k),
        hysteresis_percent_of_span: hysteresis.and_then(|(k, _)| percent(k)),
        hysteresis_at_c: hysteresis.map(|(_, at)| at),
        repeatability_k: (freedom > 0).then(|| (squares / freedom as f64).sqrt()),
        repeatability_degrees_of_freedom: freedom,
        scatter_k: (within_freedom > 0.0).then(|| (within / within_freedom).sqrt()),
        scatter_degrees_of_freedom: within_freedom,
        largest_error_k: points.iter().map(|point| point.error_k).fold(f64::NEG_INFINITY, f64::max),
        smallest_error_k: points.iter().map(|point| point.error_k).fold(f64::INFINITY, f64::min),
        linearity: linearity(&mean_errors),
        mean_errors,
    }
}

/// The three linearities of the mean errors; absent below three set points.
fn linearity(points: &[(f64, f64)]) -> Option<Linearity> {
    let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
    let largest = |basis| {
        let found = linearization::linearity(&x, &y, None, basis, ReadingUncertainty::Nothing);
        found.ok().map(|found| found.largest)
    };
    Some(Linearity {
        terminal_based_k: largest(Basis::Terminal)?,
        zero_based_k: largest(Basis::Zero)?,
        independent_k: largest(Basis::Independent)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked example: e = .02, .10, .16, .12, .04 at 0, 25, 50, 75, 100 %: terminal 0.130, zero-based 0.0867 (slope
    /// 0.001067), independent 0.065. A line added changes none of them.
    #[test]
    fn three_linearities() {
        let points = [(0.0, 0.02), (25.0, 0.10), (50.0, 0.16), (75.0, 0.12), (100.0, 0.04)];
        let tilted = points.map(|(x, e)| (x, e + 0.3 - 0.002 * x));
        for points in [points, tilted] {
            let found = linearity(&points).unwrap();
            assert!((found.terminal_based_k - 0.130).abs() < 1e-12);
            assert!((found.zero_based_k - 0.0867).abs() < 0.00005);
            assert!((found.independent_k - 0.065).abs() < 1e-12);
        }
        assert!(linearity(&points[..2]).is_none());
    }
}
