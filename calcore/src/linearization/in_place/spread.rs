//! Nodes spread by the root of the curvature, which makes the errors of all segments nearly equal.

use crate::linearization::relation::{Direction, Relation};

/// Cells in which the curvature is looked at.
const CELLS: usize = 256;

/// Part of the nodes that is spread evenly over the range.
const EVEN_PART: f64 = 0.02;

/// The sum of the density of the nodes up to the edges of the cells.
pub(super) struct Spread<'a> {
    relation: &'a Relation<'a>,
    sum: [f64; CELLS + 1],
}

impl<'a> Spread<'a> {
    pub(super) fn new(relation: &'a Relation<'a>) -> Self {
        let step = (relation.high_c - relation.low_c) / CELLS as f64;
        let mut sum = [0.0; CELLS + 1];
        let mut before = relation.curve.raw_slope(relation.low_c);
        for i in 0..CELLS {
            let slope = relation.curve.raw_slope((relation.low_c + step * (i + 1) as f64).min(relation.high_c));
            let bend = (slope - before).abs();
            let scaled = match relation.direction {
                Direction::SignalToTemperature => bend / slope.abs().max(before.abs()),
                Direction::TemperatureToSignal => bend,
            };
            sum[i + 1] = sum[i] + if scaled.is_finite() { libm::sqrt(scaled) } else { 0.0 };
            before = slope;
        }
        let even = if sum[CELLS] > 0.0 { EVEN_PART * sum[CELLS] / CELLS as f64 } else { 1.0 };
        for (i, sum) in sum.iter_mut().enumerate() {
            *sum += even * i as f64;
        }
        Self { relation, sum }
    }

    /// Temperature of a node, by its number in the order of the arguments; the first and the last at the ends of the range.
    pub(super) fn temperature(&self, node: usize, last: usize) -> f64 {
        let Relation { low_c, high_c, .. } = *self.relation;
        let i = if self.relation.ascends() { node } else { last - node };
        if i == 0 || i == last {
            return if i == 0 { low_c } else { high_c };
        }
        let goal = self.sum[CELLS] * i as f64 / last as f64;
        let cell = self.sum.partition_point(|&sum| sum <= goal).clamp(1, CELLS) - 1;
        let part = (goal - self.sum[cell]) / (self.sum[cell + 1] - self.sum[cell]);
        let step = (high_c - low_c) / CELLS as f64;
        (low_c + step * (cell as f64 + part)).clamp(low_c, high_c)
    }
}
