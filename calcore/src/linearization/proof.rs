//! A proven largest error: the range is cut into stretches, on each of which the second derivative of the error is enclosed.
//!
//! Between the ends of a stretch of width h a function whose second derivative lies between m and M lies above the
//! straight line through its end values less M (t − a)(b − t)/2, and below the same with m. The largest value of such a
//! parabola is a formula. A stretch whose bound lies more than [`TIGHTNESS`] above what the error is seen to reach is
//! halved, so that the proven error is close to the true one wherever that is largest.

#[cfg(feature = "std")]
use super::cells::{Cells, Place};
use super::relation::{Direction, Relation};
use crate::error::{Error, Result};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// How far the bound may lie above the largest error seen, as a part of it.
const TIGHTNESS: f64 = 4e-3;

/// Halvings of a stretch, at most; what is not tight by then stays true.
const DEPTH: u32 = 30;

/// Stretches of a piece before any is halved.
const FIRST_STRETCHES: u32 = 2;

/// Samples of a stretch before any is bounded, so that it is known early what is large.
const FIRST_SAMPLES: u32 = 4;

/// What stands in for the curve on a piece of the range.
pub(crate) trait Approximation {
    /// Its value at an argument.
    fn value(&self, x: f64) -> f64;

    /// The same with its derivatives, of an argument that is itself a function.
    fn jet(&self, x: &Jet) -> Jet;

    /// Its second derivative alone.
    #[inline]
    fn curvature(&self, x: &Jet) -> Enclosure {
        self.jet(x).curvature()
    }
}

/// A piece of the range with what stands in for the curve there; temperatures in °C, ascending.
pub(crate) struct Piece<A> {
    pub(crate) low_c: f64,
    pub(crate) high_c: f64,
    pub(crate) approximation: A,
    /// What rounding in the firmware can add on this piece.
    pub(crate) rounding: f64,
}

/// A stretch of a piece, with the error at its ends.
struct Stretch {
    low: (f64, f64),
    high: (f64, f64),
}

/// The largest absolute difference between the approximations and the curve, proven for every argument of the pieces;
/// with what rounding can add.
pub(crate) fn largest_error<A: Approximation>(
    relation: &Relation<'_>,
    pieces: impl Iterator<Item = Piece<A>> + Clone,
) -> Result<f64> {
    let mut search = Search { relation, seen: 0.0, proven: 0.0 };
    for piece in pieces.clone() {
        search.look(&piece);
    }
    for piece in pieces {
        search.prove(&piece);
    }
    search.end()
}

/// The same with what is already known of the relation on cells of the range.
#[cfg(feature = "std")]
pub(crate) fn largest_error_on<A: Approximation>(
    relation: &Relation<'_>,
    cells: &Cells,
    pieces: impl Iterator<Item = Piece<A>> + Clone,
) -> Result<f64> {
    let mut search = Search { relation, seen: 0.0, proven: 0.0 };
    for piece in pieces.clone() {
        search.look_on(&piece, cells);
    }
    for piece in pieces {
        search.prove_on(&piece, cells);
    }
    search.end()
}

fn unknown() -> Error {
    Error::Undetermined {
        what: "largest error",
        parameter: "a bound over the whole range".into(),
        hint: "the curve must give enclosures of its derivatives (raw_jet) and rise or fall all over the range",
    }
}

struct Search<'a> {
    relation: &'a Relation<'a>,
    seen: f64,
    proven: f64,
}

impl Search<'_> {
    fn end(&self) -> Result<f64> {
        if self.proven.is_finite() { Ok(self.proven) } else { Err(unknown()) }
    }

    fn error<A: Approximation>(&self, piece: &Piece<A>, t_c: f64) -> f64 {
        let (x, y) = self.relation.point(t_c);
        piece.approximation.value(x) - y
    }

    fn look<A: Approximation>(&mut self, piece: &Piece<A>) {
        let parts = FIRST_STRETCHES * FIRST_SAMPLES;
        for i in 0..=parts {
            let part = f64::from(i) / f64::from(parts);
            let t_c = (piece.low_c + (piece.high_c - piece.low_c) * part).clamp(piece.low_c, piece.high_c);
            self.see(self.error(piece, t_c), piece.rounding);
        }
    }

    fn see(&mut self, error: f64, rounding: f64) {
        let size = error.abs() + rounding;
        // NaN must not pass for small.
        self.seen = if size <= self.seen { self.seen } else { size };
    }

    /// Looks at a piece at the ends of the cells, and once where a parabola through three of them turns.
    #[cfg(feature = "std")]
    fn look_on<A: Approximation>(&mut self, piece: &Piece<A>, cells: &Cells) {
        let within = cells.over(piece.low_c, piece.high_c);
        let error_at = |place: &Place| piece.approximation.value(place.x) - place.y;
        let mut most = (0.0, 0);
        for (i, cell) in within.iter().enumerate().skip(1) {
            let error = error_at(&cell.low);
            self.see(error, piece.rounding);
            most = if error.abs() > most.0 { (error.abs(), i) } else { most };
        }
        self.see(self.error(piece, piece.low_c), piece.rounding);
        self.see(self.error(piece, piece.high_c), piece.rounding);
        let (_, i) = most;
        if i == 0 {
            let middle_c = piece.low_c + 0.5 * (piece.high_c - piece.low_c);
            self.see(self.error(piece, middle_c), piece.rounding);
            return;
        }
        let (before, here) = (&within[i - 1].low, &within[i].low);
        let after = &within[i].high;
        let (a, b, c) = (error_at(before), error_at(here), error_at(after));
        let (left, right) = (before.t_c - here.t_c, after.t_c - here.t_c);
        let (p, q) = ((a - b) / left, (c - b) / right);
        let bend = (q - p) / (right - left);
        let turn = here.t_c - 0.5 * (p - bend * left) / bend;
        if turn > piece.low_c && turn < piece.high_c {
            self.see(self.error(piece, turn), piece.rounding);
        }
    }

    /// Proves a piece cell by cell; a cell whose bound is not tight is halved.
    #[cfg(feature = "std")]
    fn prove_on<A: Approximation>(&mut self, piece: &Piece<A>, cells: &Cells) {
        let end = |search: &Self, place: &Place, t_c: f64| {
            let known = place.t_c.to_bits() == t_c.to_bits();
            let error = if known { piece.approximation.value(place.x) - place.y } else { search.error(piece, t_c) };
            (t_c, error)
        };
        for cell in cells.over(piece.low_c, piece.high_c) {
            let low = end(self, &cell.low, cell.low.t_c.max(piece.low_c));
            let high = end(self, &cell.high, cell.high.t_c.min(piece.high_c));
            // The enclosures of the whole cell hold for a part of it.
            let curvature = curvature(self.relation, piece, &cell.signal, Enclosure::new(cell.low.t_c, cell.high.t_c));
            self.bounded(piece, Stretch { low, high }, curvature, cell.allowance, DEPTH);
        }
    }

    /// Cuts a piece at the joints of the curve, then into its first stretches.
    fn prove<A: Approximation>(&mut self, piece: &Piece<A>) {
        let allowance = self.relation.rounding_of_error(piece.low_c).max(self.relation.rounding_of_error(piece.high_c));
        let mut start = piece.low_c;
        loop {
            let joint = self.relation.curve.joint_from(start).filter(|joint| joint.below_c < piece.high_c);
            let end = joint.map_or(piece.high_c, |joint| joint.below_c);
            let step = (end - start) / f64::from(FIRST_STRETCHES);
            let mut low = (start, self.error(piece, start));
            for i in 1..=FIRST_STRETCHES {
                let t_c = if i == FIRST_STRETCHES { end } else { start + step * f64::from(i) };
                let high = (t_c, self.error(piece, t_c));
                self.see(high.1, piece.rounding);
                self.stretch(piece, Stretch { low, high }, allowance, DEPTH);
                low = high;
            }
            match joint {
                Some(joint) => start = joint.above_c,
                None => return,
            }
        }
    }

    fn stretch<A: Approximation>(&mut self, piece: &Piece<A>, stretch: Stretch, allowance: f64, depth: u32) {
        let over = Enclosure::new(stretch.low.0, stretch.high.0);
        let curvature = curvature(self.relation, piece, &self.relation.curve.raw_jet(over), over);
        self.bounded(piece, stretch, curvature, allowance, depth);
    }

    /// The same for a stretch on which the second derivative of the error is known.
    fn bounded<A: Approximation>(
        &mut self,
        piece: &Piece<A>,
        stretch: Stretch,
        curvature: Enclosure,
        allowance: f64,
        depth: u32,
    ) {
        let width = stretch.high.0 - stretch.low.0;
        let above = highest(stretch.low.1, stretch.high.1, -0.5 * curvature.low * width * width);
        let below = highest(-stretch.low.1, -stretch.high.1, 0.5 * curvature.high * width * width);
        let bound = above.max(below) + allowance + piece.rounding;
        let middle_c = Enclosure::new(stretch.low.0, stretch.high.0).middle();
        let ended = depth == 0 || middle_c <= stretch.low.0 || middle_c >= stretch.high.0;
        if ended || bound <= self.proven || bound <= self.seen * (1.0 + TIGHTNESS) + 2.0 * allowance {
            // NaN must not pass for small.
            self.proven = if bound <= self.proven { self.proven } else { bound };
            return;
        }
        let middle = (middle_c, self.error(piece, middle_c));
        self.see(middle.1, piece.rounding);
        self.stretch(piece, Stretch { low: stretch.low, high: middle }, allowance, depth - 1);
        self.stretch(piece, Stretch { low: middle, high: stretch.high }, allowance, depth - 1);
    }
}

/// Second derivative of the error by the temperature, over a range on which the signal is enclosed.
#[inline]
fn curvature<A: Approximation>(relation: &Relation<'_>, piece: &Piece<A>, signal: &Jet, over: Enclosure) -> Enclosure {
    match relation.direction {
        Direction::SignalToTemperature => piece.approximation.curvature(signal),
        Direction::TemperatureToSignal => piece.approximation.curvature(&Jet::variable(over)) - signal.curvature(),
    }
}

/// Highest value of the line from `a` to `b` with a parabola of height `bulge`/4 on it, over the stretch between; NaN where
/// the bulge is not finite.
fn highest(a: f64, b: f64, bulge: f64) -> f64 {
    if !bulge.is_finite() {
        return f64::INFINITY;
    }
    let ends = a.max(b);
    if bulge <= (b - a).abs() {
        return ends;
    }
    // a + (b − a) u + bulge u (1 − u) at u = (1 + (b − a)/bulge)/2.
    ends.max(a + (b - a + bulge) * (b - a + bulge) / (4.0 * bulge))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand. A parabola of height 1 on a flat line; on a line that rises by 2, 1 + 1 + 1/4 of it at u = 3/4.
    #[test]
    fn a_parabola_on_a_line() {
        assert_eq!(highest(0.0, 0.0, 4.0), 1.0);
        assert_eq!(highest(0.0, 2.0, 4.0), 2.25);
        assert_eq!(highest(0.0, 2.0, 1.0), 2.0);
        assert_eq!(highest(1.0, 0.0, -5.0), 1.0);
        assert_eq!(highest(1.0, 0.0, f64::NAN), f64::INFINITY);
    }
}
