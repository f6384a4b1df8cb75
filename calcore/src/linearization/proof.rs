//! A proven largest error: the range is cut into stretches, on each of which the second derivative of the error is enclosed.
//!
//! Between the ends of a stretch of width h a function whose second derivative lies between m and M lies above the
//! straight line through its end values less M (t − a)(b − t)/2, and below the same with m. The largest value of such a
//! parabola is a formula. A stretch whose bound lies more than [`TIGHTNESS`] above what the error is seen to reach is
//! halved, so that the proven error is close to the true one wherever that is largest.

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

/// Rounding of a computed error, in units of the last place of what it is the difference of: signal of the curve (two, and
/// two for its distance from the equation), its product with a slope, temperature, sum. Doubled for what lies between the
/// ends of a piece, where they are looked up.
const ROUNDINGS: f64 = 16.0;

/// What stands in for the curve on a piece of the range.
pub(crate) trait Approximation {
    /// Its value at an argument.
    fn value(&self, x: f64) -> f64;

    /// The same with its derivatives, of an argument that is itself a function.
    fn jet(&self, x: &Jet) -> Jet;
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
    if search.proven.is_finite() {
        return Ok(search.proven);
    }
    Err(Error::Undetermined {
        what: "largest error",
        parameter: "a bound over the whole range".into(),
        hint: "the curve must give enclosures of its derivatives (raw_jet) and rise or fall all over the range",
    })
}

struct Search<'a> {
    relation: &'a Relation<'a>,
    seen: f64,
    proven: f64,
}

impl Search<'_> {
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

    /// Cuts a piece at the joints of the curve, then into its first stretches.
    fn prove<A: Approximation>(&mut self, piece: &Piece<A>) {
        let allowance = self.allowance(piece.low_c).max(self.allowance(piece.high_c));
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

    /// Rounding of the errors that are computed at the ends of stretches.
    fn allowance(&self, t_c: f64) -> f64 {
        let (x, y) = self.relation.point(t_c);
        ROUNDINGS * f64::EPSILON * (y.abs() + (x * self.relation.slope(t_c)).abs())
    }

    fn stretch<A: Approximation>(&mut self, piece: &Piece<A>, stretch: Stretch, allowance: f64, depth: u32) {
        let over = Enclosure::new(stretch.low.0, stretch.high.0);
        let curvature = self.error_jet(piece, over).curvature();
        let width = stretch.high.0 - stretch.low.0;
        let above = highest(stretch.low.1, stretch.high.1, -0.5 * curvature.low * width * width);
        let below = highest(-stretch.low.1, -stretch.high.1, 0.5 * curvature.high * width * width);
        let bound = above.max(below) + allowance + piece.rounding;
        let middle_c = over.middle();
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

    /// The error and its derivatives by the temperature.
    fn error_jet<A: Approximation>(&self, piece: &Piece<A>, over: Enclosure) -> Jet {
        let signal = self.relation.curve.raw_jet(over);
        let t_c = Jet::variable(over);
        match self.relation.direction {
            Direction::SignalToTemperature => piece.approximation.jet(&signal) - t_c,
            Direction::TemperatureToSignal => piece.approximation.jet(&t_c) - signal,
        }
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
