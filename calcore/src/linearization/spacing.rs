//! Where the nodes of a table stand.

use super::fixed_point::FixedPoint;

/// Where the nodes stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Spacing {
    /// Where the largest error comes out smallest: the same on all segments.
    #[default]
    Optimal,
    /// At equal steps of the argument, so that the firmware computes the index instead of searching for it. With
    /// fixed-point entries the step is a power of two of the argument's unit, and the index a shift.
    EqualArgument,
}

/// Nodes at equal steps of a fixed-point argument over a range: the step is a power of two of the unit, so that the index is
/// a shift; the last one may be shorter.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EqualSteps {
    first: i64,
    last: i64,
    step: i64,
}

impl EqualSteps {
    /// At most `count` steps; the ends outwards, so that no reading of the range lies outside.
    pub(crate) fn new(argument: FixedPoint, low: f64, high: f64, count: usize) -> Self {
        let (first, last) = (libm::floor(low / argument.unit()) as i64, libm::ceil(high / argument.unit()) as i64);
        let mut step: i64 = 1;
        while step.saturating_mul(count as i64) < last.saturating_sub(first) {
            step = step.saturating_mul(2);
        }
        Self { first, last, step }
    }

    pub(crate) fn segments(&self) -> usize {
        let whole = (self.last - self.first + self.step - 1) / self.step;
        whole.max(1) as usize
    }

    /// Integer of a node.
    pub(crate) fn code(&self, i: usize) -> i64 {
        if i == self.segments() { self.last } else { self.first + self.step * i as i64 }
    }
}
