//! Proven bounds of slope and curvature over a range of temperature.

use super::SensorCurve;
use crate::error::{Error, Result, text};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// How far a bound may lie beyond values that the curve does take, as a part of their spread.
const TIGHTNESS: f64 = 5e-3;
/// The same as a part of the value: below this rounding is met.
const ROUNDING: f64 = 1e-12;
/// Most stretches that one smooth piece of a curve is cut into. What is not tight by then stays true.
const MOST_STRETCHES: usize = 2000;
/// Halvings of a piece, at most.
const DEPTH: usize = 40;

/// Enclosure of a derivative of a curve (order 1 or 2) between two temperatures, °C.
///
/// # Formula
/// The curve is cut at its joints. On a stretch where the next higher derivative has one sign, the derivative is
/// monotone and lies between its values at the ends. Elsewhere it lies in the meet of its own enclosure and of the mean
/// value form f(m) + f'(X) (X − m), and the stretch is halved until that is tight.
pub(super) fn derivative_bounds<C: SensorCurve + ?Sized>(
    curve: &C,
    order: usize,
    low_c: f64,
    high_c: f64,
) -> Result<Enclosure> {
    let range = curve.range();
    range.check(low_c)?;
    range.check(high_c)?;
    if low_c > high_c {
        let requirement = text!("it must not lie above the upper end, {high_c} °C");
        return Err(Error::InvalidValue { what: "lower end of the range", value: low_c, unit: "°C", requirement });
    }
    let mut found: Option<Enclosure> = None;
    let mut start = low_c;
    loop {
        let joint = curve.joint_from(start).filter(|joint| joint.below_c < high_c);
        let end = joint.map_or(high_c, |joint| joint.below_c);
        let piece = Piece::new(curve, order).bounds(start, end);
        found = Some(found.map_or(piece, |all| all.hull(piece)));
        match joint {
            Some(joint) => start = joint.above_c,
            None => break,
        }
    }
    Ok(found.unwrap_or(Enclosure::EVERYTHING))
}

/// The work on one smooth piece.
struct Piece<'a, C: ?Sized> {
    curve: &'a C,
    order: usize,
    /// Values that the derivative does take.
    taken: Option<Enclosure>,
    /// What it cannot leave, of the stretches done.
    proven: Option<Enclosure>,
    stretches: usize,
}

fn joined(all: Option<Enclosure>, one: Enclosure) -> Option<Enclosure> {
    Some(all.map_or(one, |all| all.hull(one)))
}

impl<'a, C: SensorCurve + ?Sized> Piece<'a, C> {
    fn new(curve: &'a C, order: usize) -> Self {
        Self { curve, order, taken: None, proven: None, stretches: 0 }
    }

    fn at(&mut self, t_c: f64) -> Enclosure {
        let value = self.curve.raw_jet(Enclosure::point(t_c)).derivative(self.order);
        self.taken = joined(self.taken, Enclosure::point(value.middle()));
        value
    }

    fn bounds(mut self, low_c: f64, high_c: f64) -> Enclosure {
        let ends = (self.at(low_c), self.at(high_c));
        self.stretch((low_c, ends.0), (high_c, ends.1), DEPTH);
        self.proven.unwrap_or(Enclosure::EVERYTHING)
    }

    /// A stretch with the values at its ends.
    fn stretch(&mut self, low: (f64, Enclosure), high: (f64, Enclosure), depth: usize) {
        self.stretches += 1;
        let over = Enclosure::new(low.0, high.0);
        let jet = self.curve.raw_jet(over);
        let next = jet.derivative(self.order + 1);
        if next.has_one_sign() {
            self.proven = joined(self.proven, low.1.hull(high.1));
            return;
        }
        let middle_c = over.middle();
        let middle = self.at(middle_c);
        let mean_value = middle + next * (over - Enclosure::point(middle_c));
        let bounds = jet.derivative(self.order).meet(mean_value);
        let ended = depth == 0 || self.stretches >= MOST_STRETCHES || middle_c <= low.0 || middle_c >= high.0;
        if ended || self.is_tight(bounds) {
            self.proven = joined(self.proven, bounds);
            return;
        }
        self.stretch(low, (middle_c, middle), depth - 1);
        self.stretch((middle_c, middle), high, depth - 1);
    }

    /// Whether it adds little to what is taken or proven already.
    fn is_tight(&self, bounds: Enclosure) -> bool {
        let Some(taken) = self.taken else { return false };
        let margin = TIGHTNESS * (taken.high - taken.low) + ROUNDING * taken.magnitude() + 1e10 * f64::MIN_POSITIVE;
        let known = self.proven.map_or(taken, |proven| taken.hull(proven));
        let enough = Enclosure { low: known.low.min(taken.low - margin), high: known.high.max(taken.high + margin) };
        bounds.is_within(enough)
    }
}

/// A temperature at which the equation of a curve changes, °C: two doubles with none between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// The last temperature of the piece below.
    pub below_c: f64,
    /// The first one of the piece above.
    pub above_c: f64,
}

impl Joint {
    /// A joint that belongs to the piece below it.
    #[must_use]
    pub fn owned_below(t_c: f64) -> Self {
        Self { below_c: t_c, above_c: t_c.next_up() }
    }

    /// A joint that belongs to the piece above it.
    #[must_use]
    pub fn owned_above(t_c: f64) -> Self {
        Self { below_c: t_c.next_down(), above_c: t_c }
    }

    /// This joint, unless it lies below a temperature.
    pub(super) fn from(self, t_c: f64) -> Option<Self> {
        (self.below_c >= t_c).then_some(self)
    }
}

/// An absolute temperature, K, about the middle of which little is lost: t + 273.15.
pub(super) fn kelvin(t_c: Enclosure) -> Jet {
    Jet::variable(t_c + Enclosure::rounded(crate::constants::temperature::ICE_POINT_K))
}

/// Moves of a guess outwards, each ten times the one before.
const MOVES: usize = 8;

/// The arguments at which a rising function takes given values: a guess, moved outwards until the function proves that
/// nothing lies beyond. Nothing where that fails.
pub(super) fn proven_argument(
    function: impl Fn(Enclosure) -> Jet,
    guess: Enclosure,
    values: Enclosure,
) -> Option<Enclosure> {
    let mut step = 4.0 * f64::EPSILON * (1.0 + guess.magnitude());
    for _ in 0..MOVES {
        let wide = Enclosure::new(guess.low - step, guess.high + step);
        let beyond = function(Enclosure::point(wide.low)).value().high <= values.low
            && function(Enclosure::point(wide.high)).value().low >= values.high;
        if beyond && function(wide).slope().low > 0.0 {
            return Some(wide);
        }
        step *= 10.0;
    }
    None
}
