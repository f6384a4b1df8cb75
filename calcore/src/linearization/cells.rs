//! What is known of a relation on cells of its range: the points at their ends and the enclosures over each.
//!
//! All of it is independent of what stands in for the curve, so that it is found once and serves every proof on the range.

use super::relation::Relation;
use super::samples::Samples;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// A point of the relation.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) t_c: f64,
    pub(crate) x: f64,
    pub(crate) y: f64,
}

/// A smooth stretch of the range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cell {
    pub(crate) low: Place,
    pub(crate) high: Place,
    /// The signal and its derivatives by the temperature, enclosed over the cell.
    pub(crate) signal: Jet,
    /// Rounding of an error that is computed at an end.
    pub(crate) allowance: f64,
}

/// The cells of a range, temperatures ascending.
#[derive(Debug, Default)]
pub(crate) struct Cells {
    cells: Vec<Cell>,
}

impl Cells {
    /// A cell for every `stride` samples, cut at the joints of the curve.
    pub(crate) fn new(relation: &Relation<'_>, samples: &Samples, stride: usize) -> Self {
        let place = |t_c: f64| {
            let (x, y) = relation.point(t_c);
            Place { t_c, x, y }
        };
        let sample = |i: usize| {
            let i = if relation.ascends() { i } else { samples.last() - i };
            Place { t_c: samples.t_c[i], x: samples.x[i], y: samples.y[i] }
        };
        let mut cells = Vec::new();
        let mut low = place(relation.low_c);
        let mut low_allowance = relation.rounding_of_error(low.t_c);
        let inner = (stride..samples.last()).step_by(stride.max(1)).map(sample);
        // The ends of the range, which samples may have left out.
        for goal in inner.chain([place(relation.high_c)]) {
            while low.t_c < goal.t_c {
                let joint = relation.curve.joint_from(low.t_c).filter(|joint| joint.below_c < goal.t_c);
                let high = joint.map_or(goal, |joint| place(joint.below_c));
                let high_allowance = relation.rounding_of_error(high.t_c);
                let signal = relation.curve.raw_jet(Enclosure::new(low.t_c, high.t_c));
                let allowance = low_allowance.max(high_allowance);
                cells.push(Cell { low, high, signal, allowance });
                (low, low_allowance) = (high, high_allowance);
                if let Some(joint) = joint {
                    low = place(joint.above_c);
                }
            }
        }
        Self { cells }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// The cells that a part of the range touches.
    pub(crate) fn over(&self, low_c: f64, high_c: f64) -> &[Cell] {
        let first = self.cells.partition_point(|cell| cell.high.t_c <= low_c);
        let end = self.cells.partition_point(|cell| cell.low.t_c < high_c);
        self.cells.get(first..end).unwrap_or_default()
    }
}
