//! What is known of a relation on cells of its range.
//!
//! All of it is independent of what stands in for the curve, so that it is found once and serves every proof on the range.

use super::relation::Relation;
#[cfg(feature = "std")]
use super::samples::Samples;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// A smooth stretch of the range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cell {
    pub(crate) low_c: f64,
    pub(crate) high_c: f64,
    pub(crate) middle_c: f64,
    /// The signal and its derivatives by the temperature at the middle.
    pub(crate) at: Jet,
    /// The same, enclosed over the cell.
    pub(crate) over: Jet,
    /// Rounding of an error that is computed at an end.
    pub(crate) allowance: f64,
}

impl Cell {
    /// A stretch between two temperatures, with no joint of the curve between them.
    pub(crate) fn new(relation: &Relation<'_>, low_c: f64, high_c: f64) -> Self {
        let all = Enclosure::new(low_c, high_c);
        let middle_c = all.middle();
        let allowance = relation.rounding_of_error(low_c).max(relation.rounding_of_error(high_c));
        let jet = |over: Enclosure| relation.curve.raw_jet(over);
        Self { low_c, high_c, middle_c, at: jet(Enclosure::point(middle_c)), over: jet(all), allowance }
    }
}

/// The smooth stretches between two temperatures: cut at the joints of the curve.
pub(crate) fn smooth_stretches(relation: &Relation<'_>, low_c: f64, high_c: f64, mut stretch: impl FnMut(f64, f64)) {
    let mut start = low_c;
    while start < high_c {
        let joint = relation.curve.joint_from(start).filter(|joint| joint.below_c < high_c);
        stretch(start, joint.map_or(high_c, |joint| joint.below_c));
        let Some(joint) = joint else { return };
        start = joint.above_c;
    }
}

/// The cells of a range, temperatures ascending.
#[cfg(feature = "std")]
#[derive(Debug, Default)]
pub(crate) struct Cells {
    cells: Vec<Cell>,
}

#[cfg(feature = "std")]
impl Cells {
    /// A cell for every `stride` samples, cut at the joints of the curve.
    pub(crate) fn new(relation: &Relation<'_>, samples: &Samples, stride: usize) -> Self {
        let sample_c = |i: usize| samples.t_c[if relation.ascends() { i } else { samples.last() - i }];
        let mut cells = Vec::new();
        let mut low_c = relation.low_c;
        let inner = (stride..samples.last()).step_by(stride.max(1)).map(sample_c);
        // The ends of the range, which samples may have left out.
        for high_c in inner.chain([relation.high_c]) {
            smooth_stretches(relation, low_c, high_c, |low_c, high_c| cells.push(Cell::new(relation, low_c, high_c)));
            low_c = high_c;
        }
        Self { cells }
    }

    /// The cells that a part of the range touches.
    pub(crate) fn over(&self, low_c: f64, high_c: f64) -> &[Cell] {
        let first = self.cells.partition_point(|cell| cell.high_c <= low_c);
        let end = self.cells.partition_point(|cell| cell.low_c < high_c);
        self.cells.get(first..end).unwrap_or_default()
    }
}
