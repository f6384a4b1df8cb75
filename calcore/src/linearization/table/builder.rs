//! The best table of a number of segments: nodes, numbers as they are stored, proof.
//!
//! What a number of segments gives depends on that number alone, not on what was made before: so the error that a sweep
//! tells for it is the one that a table made for that error has.

use super::bent::Bent;
use super::options::{Entries, Shape, TableOptions};
use super::sag::Runs;
use super::store::Stored;
use super::tube::Tube;
use super::{LookupTable, curved, equal, free, on_curve};
use crate::error::Result;
use crate::linearization::cells::Cells;
use crate::linearization::relation::{Direction, Relation};
use crate::linearization::samples::Samples;
use crate::linearization::spacing::Spacing;
use crate::linearization::span::Segment;

/// Samples of the curve for each segment while nodes are sought.
pub(super) const SAMPLES_A_SEGMENT: usize = 64;

/// Up to this many segments share the samples of the smallest table: with half of these samples a table of 17 segments
/// comes out 0.1 % above the best.
const LEAST_SEGMENTS: usize = 32;

/// Samples of a cell on which the curve is enclosed once for all proofs: two cells for a straight segment, of which few need
/// halving, and eight for one that is bent, whose error has more extremes and is smaller.
const SAMPLES_A_CELL: usize = 32;
const SAMPLES_A_CELL_OF_BENT: usize = 8;

/// Cells in which the curvature is looked at for a first guess of the error.
const GUESS_CELLS: usize = 256;

/// Part of the span of the values below which an error is rounding.
const FLOOR: f64 = 1e-13;

/// The work on one relation; keeps samples and memory from one number of segments to the next.
pub(super) struct Builder<'a> {
    pub(super) relation: &'a Relation<'a>,
    pub(super) options: &'a TableOptions,
    samples: Samples,
    runs: Runs,
    /// Number of segments that the samples are made for.
    sampled_for: usize,
    /// What the proofs know of the relation; empty until it is needed.
    cells: Option<Cells>,
    tube: Tube,
    /// (∫ √|y''| dx)², once it is known.
    bend: Option<f64>,
}

impl<'a> Builder<'a> {
    pub(super) fn new(relation: &'a Relation<'a>, options: &'a TableOptions) -> Self {
        Self {
            relation,
            options,
            samples: Samples::default(),
            runs: Runs::default(),
            sampled_for: 0,
            cells: None,
            tube: Tube::default(),
            bend: None,
        }
    }

    /// The best table of a number of segments.
    pub(super) fn table(&mut self, count: usize) -> Result<LookupTable> {
        self.sample(count);
        let ideal = self.ideal(count);
        let options = self.options;
        let stored = Stored::new(self.relation, options.shape, options.entries, &ideal)?;
        let (largest_error, rounding, proof) = self.prove(&stored)?;
        Ok(LookupTable {
            options: *options,
            low_c: self.relation.low_c,
            high_c: self.relation.high_c,
            arguments: stored.arguments,
            values: stored.values,
            bends: stored.bends,
            codes: stored.codes,
            largest_error,
            rounding,
            error_unit: self.relation.value_unit(),
            proof,
        })
    }

    /// Samples for a number of segments: those for 32, 48, 64, 96, 128 … segments, whichever is enough.
    fn sample(&mut self, count: usize) {
        let mut enough = LEAST_SEGMENTS;
        let mut half_way = false;
        while enough < count {
            enough = if half_way { enough / 3 * 4 } else { enough / 2 * 3 };
            half_way = !half_way;
        }
        if self.sampled_for != enough {
            self.sampled_for = enough;
            self.samples = Samples::new(self.relation, SAMPLES_A_SEGMENT * enough);
            self.cells = None;
            self.runs = Runs::new(&self.samples);
        }
    }

    /// Encloses the curve on cells, unless that is done.
    pub(super) fn enclose(&mut self) -> &Cells {
        let stride = if self.options.shape.is_straight() { SAMPLES_A_CELL } else { SAMPLES_A_CELL_OF_BENT };
        let (relation, samples) = (self.relation, &self.samples);
        self.cells.get_or_insert_with(|| Cells::new(relation, samples, stride))
    }

    /// What is rounding.
    pub(super) fn floor(&self) -> f64 {
        let (a, b) = (self.relation.point(self.relation.low_c).1, self.relation.point(self.relation.high_c).1);
        FLOOR * a.abs().max(b.abs()).max((b - a).abs())
    }

    /// The table before its numbers are rounded.
    fn ideal(&mut self, count: usize) -> Vec<Segment> {
        let (shape, floor) = (self.options.shape, self.floor());
        let bent = Bent::new(self.relation, shape);
        match (self.options.spacing, shape) {
            (Spacing::Optimal, Shape::Linear) => {
                let guess = self.guess(count, 16.0);
                straight(&free::optimal(&self.samples, &self.runs, &mut self.tube, count, guess, floor))
            }
            (Spacing::Optimal, Shape::LinearOnCurve) => {
                let guess = self.guess(count, 8.0);
                straight(&on_curve::optimal(self.relation, &self.samples, &self.runs, count, guess, floor))
            }
            (Spacing::Optimal, _) => curved::optimal(&bent, count, floor),
            (Spacing::EqualArgument, _) => {
                let (low, high) = self.relation.arguments();
                let argument = match self.options.entries {
                    Entries::Fixed { argument, .. } => Some(argument),
                    _ => None,
                };
                let nodes = equal::nodes(low, high, count, argument);
                if shape != Shape::Linear {
                    return nodes.windows(2).map(|x| bent.between(x[0], x[1])).collect();
                }
                let start = self.guess(count, 8.0);
                straight(&equal::optimal(self.relation, &self.samples, &nodes, start, floor))
            }
        }
    }

    /// Asymptotic error of a number of segments: (∫ √|y''| dx)²/(divisor N²).
    ///
    /// # Source
    /// C. de Boor, A Practical Guide to Splines (1978), chapter III (chords, divisor 8; from memory); 16 for free values,
    /// whose error has both signs.
    fn guess(&mut self, count: usize, divisor: f64) -> f64 {
        let relation = self.relation;
        let bend = *self.bend.get_or_insert_with(|| bend(relation));
        bend / (divisor * (count * count) as f64)
    }
}

/// (∫ √|y''| dx)² over the range.
fn bend(relation: &Relation<'_>) -> f64 {
    let step = (relation.high_c - relation.low_c) / GUESS_CELLS as f64;
    let t_c: Vec<f64> = (0..=GUESS_CELLS).map(|i| (relation.low_c + step * i as f64).min(relation.high_c)).collect();
    let mut slopes = vec![0.0; t_c.len()];
    relation.curve.raw_slope_block(&t_c, &mut slopes);
    let part = |pair: &[f64]| {
        let bend = ((pair[1] - pair[0]) / step).abs();
        let scaled = match relation.direction {
            Direction::SignalToTemperature => bend / pair[1].abs().max(pair[0].abs()),
            Direction::TemperatureToSignal => bend,
        };
        step * scaled.sqrt()
    };
    let sum: f64 = slopes.windows(2).map(part).sum();
    sum * sum
}

/// Straight segments between nodes.
fn straight(nodes: &[(f64, f64)]) -> Vec<Segment> {
    let segment = |pair: &[(f64, f64)]| {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        Segment { x0, x1, y0, rise: y1 - y0, bend: 0.0, skew: 0.0 }
    };
    nodes.windows(2).map(segment).collect()
}
