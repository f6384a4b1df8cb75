//! A proven largest error: the range is cut into cells, on each of which the error is a cubic with enclosed coefficients.
//!
//! About the middle m of a cell the error is e(m) + e'(m) τ + e''(m) τ²/2 + e'''(ξ) τ³/6, with ξ somewhere in the cell. The
//! first three are enclosed at m, where nothing is lost, the last one over the cell; the largest value of such a cubic is a
//! formula ([`largest`]). What it surely reaches is known as well, so that nothing needs to be sampled. A cell whose bound
//! lies more than [`TIGHTNESS`] above what the error is known to reach is halved: the proven error is close to the true one.
//!
//! # Source
//! R. E. Moore, Interval Analysis (1966), chapter 11 (Taylor's formula with an enclosed remainder; from memory).

#[cfg(feature = "std")]
use super::cells::Cells;
use super::cells::{Cell, smooth_stretches};
use super::cubic::largest;
use super::relation::{Direction, Relation};
use crate::error::{Error, Result};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// How far the bound may lie above what the error surely reaches, as a part of it.
const TIGHTNESS: f64 = 1e-3;

/// Halvings of a cell, at most; what is not tight by then stays true.
const DEPTH: u32 = 30;

/// How a largest error was proven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Proof {
    /// The derivatives of the error are enclosed by interval arithmetic on stretches of the whole range; what rounding can
    /// add in the firmware is added.
    Curvature,
    /// Every reading that the firmware can get was tried.
    EveryReading,
}

/// What stands in for the curve on a piece of the range.
pub(crate) trait Approximation {
    /// Its value and derivatives for an argument that is itself a function.
    fn jet(&self, x: &Jet) -> Jet;

    /// Coefficients of Taylor's formula for an argument that is known at a place and over the cell around it: the first
    /// three at the place, the last one over the cell.
    #[inline]
    fn taylor(&self, at: &Jet, over: &Jet) -> Jet {
        mixed(&self.jet(at), &self.jet(over))
    }
}

/// The first three coefficients of one, the last one of the other.
#[inline]
pub(crate) fn mixed(at: &Jet, over: &Jet) -> Jet {
    Jet([at.0[0], at.0[1], at.0[2], over.0[3]])
}

/// A piece of the range with what stands in for the curve there; temperatures in °C, ascending.
pub(crate) struct Piece<A> {
    pub(crate) low_c: f64,
    pub(crate) high_c: f64,
    pub(crate) approximation: A,
    /// What rounding in the firmware can add on this piece.
    pub(crate) rounding: f64,
}

/// The largest absolute difference between the approximations and the curve, proven for every argument of the pieces;
/// with what rounding can add.
pub(crate) fn largest_error<A: Approximation>(
    relation: &Relation<'_>,
    pieces: impl Iterator<Item = Piece<A>>,
) -> Result<f64> {
    let mut search = Search { relation, reached: 0.0, proven: 0.0 };
    for piece in pieces {
        smooth_stretches(relation, piece.low_c, piece.high_c, |low_c, high_c| {
            search.part(&piece, &Cell::new(relation, low_c, high_c), DEPTH);
        });
    }
    search.end()
}

/// The same with what is already known of the relation on cells of the range.
#[cfg(feature = "std")]
pub(crate) fn largest_error_on<A: Approximation>(
    relation: &Relation<'_>,
    cells: &Cells,
    pieces: impl Iterator<Item = Piece<A>>,
) -> Result<f64> {
    let mut search = Search { relation, reached: 0.0, proven: 0.0 };
    for piece in pieces {
        for cell in cells.over(piece.low_c, piece.high_c) {
            search.part(&piece, cell, DEPTH);
        }
    }
    search.end()
}

struct Search<'a> {
    relation: &'a Relation<'a>,
    /// What the largest error is not less than, as far as the search has gone.
    reached: f64,
    /// What it is not more than on the parts that are done.
    proven: f64,
}

impl Search<'_> {
    fn end(&self) -> Result<f64> {
        if self.proven.is_finite() {
            return Ok(self.proven);
        }
        Err(Error::Undetermined {
            what: "largest error",
            parameter: "a bound over the whole range".into(),
            hint: "the curve must give enclosures of its derivatives (raw_jet) and rise or fall all over the range",
        })
    }

    /// Bounds the error on what a piece and a cell have in common; where that is not tight, on both halves of it.
    fn part<A: Approximation>(&mut self, piece: &Piece<A>, cell: &Cell, depth: u32) {
        let (low_c, high_c) = (cell.low_c.max(piece.low_c), cell.high_c.min(piece.high_c));
        let error = error(self.relation.direction, &piece.approximation, cell);
        // The distances from the middle are rounded; one step outwards holds the true ones.
        let (low, high) = ((low_c - cell.middle_c).next_down(), (high_c - cell.middle_c).next_up());
        let found = largest(&error.0, low, high);
        let bound = found.bound + cell.allowance + piece.rounding;
        self.reached = self.reached.max(found.reached + piece.rounding);
        let middle_c = Enclosure::new(low_c, high_c).middle();
        let ended = depth == 0 || middle_c <= low_c || middle_c >= high_c;
        if ended || bound <= self.proven || bound <= self.reached * (1.0 + TIGHTNESS) + 2.0 * cell.allowance {
            // NaN must not pass for small.
            self.proven = if bound <= self.proven { self.proven } else { bound };
            return;
        }
        self.part(piece, &Cell::new(self.relation, low_c, middle_c), depth - 1);
        self.part(piece, &Cell::new(self.relation, middle_c, high_c), depth - 1);
    }
}

/// Coefficients of the error about the middle of a cell, by the temperature.
#[inline]
fn error<A: Approximation>(direction: Direction, approximation: &A, cell: &Cell) -> Jet {
    let middle = Enclosure::point(cell.middle_c);
    match direction {
        Direction::SignalToTemperature => {
            let [c0, c1, c2, c3] = approximation.taylor(&cell.at, &cell.over).0;
            Jet([c0 - middle, c1 - Enclosure::ONE, c2, c3])
        }
        Direction::TemperatureToSignal => {
            let over = Enclosure::new(cell.low_c, cell.high_c);
            approximation.taylor(&Jet::variable(middle), &Jet::variable(over)) - mixed(&cell.at, &cell.over)
        }
    }
}
