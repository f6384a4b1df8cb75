//! Figures of a link over up-and-down cycles: error curves, hysteresis, repeatability, linearity, measured accuracy.

use super::conformity::{Basis, Conformity, linearity};
use super::minimax_line::Active;
use super::reading_uncertainty::{ReadingUncertainty, all_finite};
use crate::error::{Error, Result, not_negative, positive, same_length};

/// Readings of a link over one or several cycles.
///
/// A cycle goes up through all points and then, as a rule, down through them. Every series lists its readings in the order
/// of the points, whichever way they were taken.
#[derive(Debug, Clone, Copy)]
pub struct Cycles<'a> {
    /// The points, in the unit of the input.
    pub x: &'a [f64],
    /// What the link should have read at each point, in the unit of the readings; zeros where the readings are errors.
    pub expected: &'a [f64],
    /// Readings going up, a series for each cycle.
    pub up: &'a [&'a [f64]],
    /// Readings going down, a series for each cycle; none where only upward series were taken.
    pub down: &'a [&'a [f64]],
    /// Span of the readings, in their unit.
    pub span: f64,
    /// Dead band that is known apart, in the unit of the readings: it is taken off the hysteresis.
    pub dead_band: f64,
    /// Of all readings in the order up, down of the first cycle, up, down of the second and so on.
    pub uncertainty: ReadingUncertainty<'a>,
}

/// A figure with its place and standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Figure {
    /// In the unit of the readings.
    pub value: f64,
    /// In percent of the span.
    pub percent_of_span: f64,
    /// Index of the point at which it is taken.
    pub at: usize,
    /// In the unit of the readings, if any was stated for these.
    pub standard_uncertainty: Option<f64>,
}

/// Scatter of readings taken at the same point from the same side.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Repeatability {
    /// Pooled standard deviation, in the unit of the readings.
    pub standard_deviation: f64,
    /// The same in percent of the span.
    pub percent_of_span: f64,
    /// Degrees of freedom: (cycles − 1) for each point and side.
    pub degrees_of_freedom: usize,
    /// Standard uncertainty of the standard deviation, from its degrees of freedom: s/√(2ν).
    pub standard_uncertainty: f64,
    /// Largest difference of two readings at the same point from the same side: repeatability by ISA-51.1.
    pub largest_range: Figure,
}

/// What the readings of a link over cycles tell, errors being reading minus expected.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct CycleFigures {
    /// Mean error at every point going up.
    pub average_error_up: Vec<f64>,
    /// Mean error at every point going down; empty without readings going down.
    pub average_error_down: Vec<f64>,
    /// Mean of the two (of the one there is): the average error curve.
    pub average_error: Vec<f64>,
    /// Standard uncertainty of the average error at every point, if any was stated.
    pub average_error_standard_uncertainty: Option<Vec<f64>>,
    /// Largest difference of the mean errors going up and going down, dead band included.
    pub hysteretic_error: Option<Figure>,
    /// The same less the dead band, not below zero.
    pub hysteresis: Option<Figure>,
    /// Scatter; absent with one cycle.
    pub repeatability: Option<Repeatability>,
    /// Most positive error of all readings: measured accuracy, upper limit of the total error band.
    pub most_positive_error: Figure,
    /// Most negative error of all readings: measured accuracy, lower limit of the total error band.
    pub most_negative_error: Figure,
    /// Linearity of the average error curve against [`Cycles::x`] on the three bases, if there are three points.
    pub linearity: Option<Linearity>,
}

/// Linearity on the three bases.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Linearity {
    /// The smallest that any line has.
    pub independent: Conformity,
    /// Through the lower end.
    pub zero_based: Conformity,
    /// Through both ends.
    pub terminal_based: Conformity,
}

/// Most points for which the covariance of the average error curve (a square of them) is formed; beyond it linearity goes
/// without uncertainty.
const MOST_POINTS: usize = 1000;

impl Cycles<'_> {
    /// The figures.
    ///
    /// # Formula
    /// Errors e = y − expected. Average error curves: means over the cycles, of each direction and of both. Hysteresis:
    /// max |ē_up − ē_down| less the dead band. Repeatability: s² = Σ Σ (e − ē)²/Σ ν over groups of the same point and
    /// side, so that neither hysteresis nor dead band enters. Measured accuracy: the most positive and the most negative
    /// of all errors, which contain linearity, hysteresis and repeatability already: they are not added to it again.
    ///
    /// # Uncertainty
    /// Through the readings that decide a figure, as for [`linearity`].
    ///
    /// # Errors
    /// [`Error::TooFewPoints`] without points or series going up; [`Error::LengthMismatch`] for unequal cycles;
    /// [`Error::NotFinite`] with the index in its series; [`Error::InvalidValue`] unless the span is positive and the dead
    /// band not negative.
    ///
    /// # Source
    /// IEC 61298-2:2008, accuracy-related factors; ISA-51.1 (both from memory); pooling: JCGM 100:2008, 4.2 and H.3.6;
    /// uncertainty of a standard deviation: E.4.3.
    ///
    /// # Example
    /// ```
    /// use calcore::linearization::{Cycles, ReadingUncertainty};
    /// let (up, down) = ([0.00, 0.05, 0.11, 0.13, 0.10], [0.02, 0.10, 0.17, 0.16, 0.10]);
    /// let figures = Cycles {
    ///     x: &[0.0, 25.0, 50.0, 75.0, 100.0],
    ///     expected: &[0.0; 5], // the readings are errors
    ///     up: &[&up],
    ///     down: &[&down],
    ///     span: 100.0,
    ///     dead_band: 0.0,
    ///     uncertainty: ReadingUncertainty::Same(0.01),
    /// }
    /// .figures()?;
    /// let hysteresis = figures.hysteresis.expect("both directions");
    /// assert!((hysteresis.value - 0.06).abs() < 1e-15 && hysteresis.at == 2);
    /// assert!((hysteresis.standard_uncertainty.unwrap_or(0.0) - 0.01 * 2f64.sqrt()).abs() < 1e-15);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn figures(&self) -> Result<CycleFigures> {
        self.check()?;
        let series = self.series();
        let up = mean_curve(&series.up);
        let down = mean_curve(&series.down);
        let average: Vec<f64> = if down.is_empty() {
            up.clone()
        } else {
            up.iter().zip(&down).map(|(up, down)| 0.5 * (up + down)).collect()
        };
        let weights: Vec<Vec<Active>> = (0..self.x.len()).map(|k| self.average_weights(k)).collect();
        let readings = self.readings();
        let stated = self.uncertainty != ReadingUncertainty::Nothing;
        let covariance: Option<Vec<f64>> = (stated && self.x.len() <= MOST_POINTS).then(|| {
            let pairs = weights.iter().flat_map(|left| weights.iter().map(move |right| (left, right)));
            pairs.map(|(left, right)| self.uncertainty.covariance(left, right, readings).unwrap_or(0.0)).collect()
        });
        let u = stated.then(|| weights.iter().filter_map(|w| self.uncertainty.of(w, readings)).collect());
        let hysteretic = self.hysteretic_error(&up, &down);
        Ok(CycleFigures {
            hysteresis: hysteretic.map(|figure| {
                let value = (figure.value - self.dead_band).max(0.0);
                Figure { value, percent_of_span: self.percent(value), ..figure }
            }),
            hysteretic_error: hysteretic,
            repeatability: self.repeatability(&series),
            most_positive_error: self.extreme(&series, 1.0),
            most_negative_error: self.extreme(&series, -1.0),
            linearity: self.linearity(&average, covariance.as_deref())?,
            average_error_up: up,
            average_error_down: down,
            average_error: average,
            average_error_standard_uncertainty: u,
        })
    }

    fn check(&self) -> Result<()> {
        let points = self.x.len();
        if points == 0 || self.up.is_empty() {
            let hint = "at least one series going up";
            return Err(Error::TooFewPoints { what: "figures of cycles", needed: 1, found: 0, hint });
        }
        all_finite("x", self.x)?;
        same_length("expected", points, self.expected.len())?;
        all_finite("expected", self.expected)?;
        if !self.down.is_empty() {
            same_length("series going down", self.up.len(), self.down.len())?;
        }
        for series in self.up {
            same_length("a series going up", points, series.len())?;
            all_finite("reading going up", series)?;
        }
        for series in self.down {
            same_length("a series going down", points, series.len())?;
            all_finite("reading going down", series)?;
        }
        positive("span", self.span, "")?;
        not_negative("dead band", self.dead_band, "")?;
        self.uncertainty.check(self.readings())
    }

    fn readings(&self) -> usize {
        self.x.len() * (self.up.len() + self.down.len())
    }

    fn percent(&self, value: f64) -> f64 {
        100.0 * value / self.span
    }

    /// Number of a reading in the order of [`Cycles::uncertainty`].
    fn index(&self, cycle: usize, goes_down: bool, point: usize) -> usize {
        let directions = if self.down.is_empty() { 1 } else { 2 };
        (cycle * directions + usize::from(goes_down)) * self.x.len() + point
    }

    fn series(&self) -> Series {
        let errors = |all: &[&[f64]]| -> Vec<Vec<f64>> {
            all.iter().map(|one| one.iter().zip(self.expected).map(|(y, expected)| y - expected).collect()).collect()
        };
        Series { up: errors(self.up), down: errors(self.down) }
    }

    fn average_weights(&self, point: usize) -> Vec<Active> {
        let count = self.up.len() + self.down.len();
        let mut weights = Vec::with_capacity(count);
        for goes_down in [false, true] {
            let series = if goes_down { self.down.len() } else { self.up.len() };
            for cycle in 0..series {
                weights.push(Active { index: self.index(cycle, goes_down, point), weight: 1.0 / count as f64 });
            }
        }
        weights
    }

    fn hysteretic_error(&self, up: &[f64], down: &[f64]) -> Option<Figure> {
        let splits = up.iter().zip(down).map(|(up, down)| (up - down).abs()).enumerate();
        let (at, value) = splits.fold(None, larger)?;
        let share = 1.0 / self.up.len() as f64;
        let weights = |goes_down: bool, weight: f64| {
            (0..self.up.len()).map(move |cycle| Active { index: self.index(cycle, goes_down, at), weight })
        };
        let active: Vec<Active> = weights(false, share).chain(weights(true, -share)).collect();
        Some(self.figure(value, at, &active))
    }

    fn figure(&self, value: f64, at: usize, active: &[Active]) -> Figure {
        let standard_uncertainty = self.uncertainty.of(active, self.readings());
        Figure { value, percent_of_span: self.percent(value), at, standard_uncertainty }
    }

    fn repeatability(&self, series: &Series) -> Option<Repeatability> {
        let cycles = self.up.len();
        if cycles < 2 {
            return None;
        }
        let (mut squares, mut freedom) = (0.0, 0);
        let mut widest: Option<(usize, f64)> = None;
        let mut ends = Vec::new();
        for point in 0..self.x.len() {
            for (goes_down, all) in [(false, &series.up), (true, &series.down)] {
                if all.is_empty() {
                    continue;
                }
                let group: Vec<f64> = all.iter().map(|one| one[point]).collect();
                let middle = group.iter().sum::<f64>() / cycles as f64;
                squares += group.iter().map(|e| (e - middle) * (e - middle)).sum::<f64>();
                freedom += cycles - 1;
                let pick = |sign: f64| group.iter().map(|e| sign * e).enumerate().fold(None, larger);
                let (Some((high, top)), Some((low, bottom))) = (pick(1.0), pick(-1.0)) else { continue };
                if widest.is_none_or(|(_, range)| top + bottom > range) {
                    widest = Some((point, top + bottom));
                    ends = [(high, 1.0), (low, -1.0)]
                        .map(|(cycle, weight)| Active { index: self.index(cycle, goes_down, point), weight })
                        .to_vec();
                }
            }
        }
        let (at, range) = widest?;
        let standard_deviation = libm::sqrt(squares / freedom as f64);
        Some(Repeatability {
            standard_deviation,
            percent_of_span: self.percent(standard_deviation),
            degrees_of_freedom: freedom,
            standard_uncertainty: standard_deviation / libm::sqrt(2.0 * freedom as f64),
            largest_range: self.figure(range, at, &ends),
        })
    }

    /// The most positive (`sign` 1) or most negative (−1) error of all readings.
    fn extreme(&self, series: &Series, sign: f64) -> Figure {
        let mut found: Option<(usize, f64)> = None;
        let mut reading = 0;
        for (goes_down, all) in [(false, &series.up), (true, &series.down)] {
            for (cycle, errors) in all.iter().enumerate() {
                for (point, error) in errors.iter().enumerate() {
                    if found.is_none_or(|(_, largest)| sign * error > largest) {
                        found = Some((point, sign * error));
                        reading = self.index(cycle, goes_down, point);
                    }
                }
            }
        }
        let (at, value) = found.unwrap_or((0, f64::NAN));
        self.figure(sign * value, at, &[Active { index: reading, weight: 1.0 }])
    }

    fn linearity(&self, average: &[f64], covariance: Option<&[f64]>) -> Result<Option<Linearity>> {
        let uncertainty = covariance.map_or(ReadingUncertainty::Nothing, ReadingUncertainty::Covariance);
        let on = |basis| linearity(self.x, average, Some(self.span), basis, uncertainty);
        match on(Basis::Independent) {
            Err(Error::TooFewPoints { .. }) => Ok(None),
            Err(error) => Err(error),
            Ok(independent) => {
                Ok(Some(Linearity { independent, zero_based: on(Basis::Zero)?, terminal_based: on(Basis::Terminal)? }))
            }
        }
    }
}

/// Errors, a list for each series.
struct Series {
    up: Vec<Vec<f64>>,
    down: Vec<Vec<f64>>,
}

/// Keeps the larger one, the first of several.
fn larger(best: Option<(usize, f64)>, one: (usize, f64)) -> Option<(usize, f64)> {
    if best.is_some_and(|(_, value)| value >= one.1) { best } else { Some(one) }
}

fn mean_curve(series: &[Vec<f64>]) -> Vec<f64> {
    let Some(first) = series.first() else { return Vec::new() };
    (0..first.len()).map(|k| series.iter().map(|one| one[k]).sum::<f64>() / series.len() as f64).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const X: [f64; 3] = [0.0, 50.0, 100.0];

    fn three_cycles<'a>(up: &'a [&'a [f64]], down: &'a [&'a [f64]], u: ReadingUncertainty<'a>) -> Cycles<'a> {
        Cycles { x: &X, expected: &[4.0, 12.0, 20.0], up, down, span: 16.0, dead_band: 0.005, uncertainty: u }
    }

    // By hand, mA: errors up .00 .02 .01 | .02 .04 .01, down .01 .06 .02 | .01 .08 .02. Means up .01 .03 .01, down
    // .01 .07 .02: hysteretic error .04 at the middle, hysteresis .035. Average .01 .05 .015: terminal .05 − .0125 =
    // .0375. Squares: two readings d apart give d²/2: (.02² + .02² + 0 + 0 + .02² + 0)/2 = 6e-4 with 6 degrees of freedom.
    #[test]
    fn two_cycles_by_hand() {
        let up: [&[f64]; 2] = [&[4.0, 12.02, 20.01], &[4.02, 12.04, 20.01]];
        let down: [&[f64]; 2] = [&[4.01, 12.06, 20.02], &[4.01, 12.08, 20.02]];
        let figures = three_cycles(&up, &down, ReadingUncertainty::Same(0.01)).figures().unwrap();
        // Readings near 20 are rounded to 3.6e-15.
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-14, "{a} {b}");
        for (found, wanted) in [
            (&figures.average_error_up, [0.01, 0.03, 0.01]),
            (&figures.average_error_down, [0.01, 0.07, 0.02]),
            (&figures.average_error, [0.01, 0.05, 0.015]),
            // Four independent readings.
            (figures.average_error_standard_uncertainty.as_ref().unwrap(), [0.005; 3]),
        ] {
            found.iter().zip(wanted).for_each(|(found, wanted)| near(*found, wanted));
        }
        let (with, without) = (figures.hysteretic_error.unwrap(), figures.hysteresis.unwrap());
        near(with.value, 0.04);
        near(without.value, 0.035);
        near(without.percent_of_span, 100.0 * 0.035 / 16.0);
        near(without.standard_uncertainty.unwrap(), 0.01);
        assert_eq!(without.at, 1);
        let repeatability = figures.repeatability.unwrap();
        near(repeatability.standard_deviation, 0.01);
        assert_eq!(repeatability.degrees_of_freedom, 6);
        near(repeatability.standard_uncertainty, 0.01 / libm::sqrt(12.0));
        near(repeatability.largest_range.value, 0.02);
        near(repeatability.largest_range.standard_uncertainty.unwrap(), 0.01 * libm::sqrt(2.0));
        near(figures.most_positive_error.value, 0.08);
        near(figures.most_positive_error.standard_uncertainty.unwrap(), 0.01);
        near(figures.most_negative_error.value, 0.0);
        let linearity = figures.linearity.unwrap();
        near(linearity.terminal_based.largest, 0.0375);
        // ½, ½ and 1 of mean errors of 0.005 each.
        near(linearity.terminal_based.standard_uncertainty.unwrap(), 0.005 * libm::sqrt(1.5));
        near(linearity.independent.largest, 0.01875);
        near(linearity.zero_based.largest, 0.025);
    }

    // An error common to all readings cancels in everything but the measured accuracy and the average errors.
    #[test]
    fn a_common_error_cancels_where_it_should() {
        let up: [&[f64]; 2] = [&[4.0, 12.02, 20.01], &[4.02, 12.04, 20.01]];
        let down: [&[f64]; 2] = [&[4.01, 12.06, 20.02], &[4.01, 12.08, 20.02]];
        let common = [1e-4; 144];
        let figures = three_cycles(&up, &down, ReadingUncertainty::Covariance(&common)).figures().unwrap();
        assert!((figures.most_positive_error.standard_uncertainty.unwrap() - 0.01).abs() < 1e-15);
        assert!((figures.average_error_standard_uncertainty.unwrap()[0] - 0.01).abs() < 1e-15);
        // The root of a variance that is zero but for rounding of 1e-4.
        assert!(figures.hysteresis.unwrap().standard_uncertainty.unwrap() < 1e-9);
        assert!(figures.linearity.unwrap().independent.standard_uncertainty.unwrap() < 1e-9);
    }

    #[test]
    fn one_way_once_says_less_and_what_is_wrong_is_refused() {
        let up: [&[f64]; 1] = [&[4.0, 12.02, 20.01]];
        let figures = three_cycles(&up, &[], ReadingUncertainty::Nothing).figures().unwrap();
        assert!(figures.hysteresis.is_none() && figures.repeatability.is_none());
        assert!(figures.average_error_standard_uncertainty.is_none() && figures.linearity.is_some());
        let code = |cycles: Cycles<'_>| cycles.figures().map_err(|error| error.code()).map(|_| ());
        let plain = three_cycles(&up, &[], ReadingUncertainty::Nothing);
        let two = Cycles { x: &X[..2], expected: &X[..2], up: &[&[0.0, 1.0]], ..plain };
        assert!(two.figures().unwrap().linearity.is_none());
        assert_eq!(code(Cycles { span: 0.0, ..plain }), Err(103));
        assert_eq!(code(Cycles { dead_band: -1.0, ..plain }), Err(103));
        assert_eq!(code(Cycles { up: &[], ..plain }), Err(201));
        assert_eq!(code(Cycles { down: &[&[4.0, 12.0]], ..plain }), Err(105));
        assert_eq!(code(Cycles { down: &[&[4.0, 12.0, 20.0], &[4.0, 12.0, 20.0]], ..plain }), Err(105));
        let hole = Cycles { down: &[&[4.0, f64::NAN, 20.0]], ..plain }.figures().unwrap_err().to_string();
        assert_eq!(hole, "reading going down must be a finite number, got NaN (element 1)");
    }
}
