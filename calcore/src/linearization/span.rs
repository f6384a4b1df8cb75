//! A segment of a table: a straight line with, if need be, a parabola or a cubic on it.

use super::proof::{Approximation, mixed};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// A segment from one node to the next.
///
/// # Formula
/// y = y0 + u (rise + (1 − u)(bend + skew u)), u = (x − x0)/(x1 − x0). A straight line has neither bend nor skew, a
/// parabola no skew. The slope times the width is rise + bend at the left end and rise − bend − skew at the right one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    /// Argument at the left node.
    pub x0: f64,
    /// Argument at the right node.
    pub x1: f64,
    /// Value at the left node.
    pub y0: f64,
    /// Value at the right node less that at the left one.
    pub rise: f64,
    /// Slope at the left end times the width, less the rise.
    pub bend: f64,
    /// Cubic part.
    pub skew: f64,
}

impl Segment {
    /// Value at an argument, in doubles.
    #[must_use]
    #[inline]
    pub fn at(&self, x: f64) -> f64 {
        let u = (x - self.x0) / (self.x1 - self.x0);
        self.y0 + u * (self.rise + (1.0 - u) * (self.bend + self.skew * u))
    }
}

impl Segment {
    #[inline]
    fn is_straight(&self) -> bool {
        self.bend == 0.0 && self.skew == 0.0
    }

    /// The straight line of a jet.
    #[inline]
    fn line(&self, x: &Jet) -> Jet {
        let [x0, x1, y0, rise] = [self.x0, self.x1, self.y0, self.rise].map(Enclosure::point);
        let slope = rise.divided_by(x1 - x0);
        x.moved(-x0).scaled(slope).moved(y0)
    }
}

impl Approximation for Segment {
    fn jet(&self, x: &Jet) -> Jet {
        if self.is_straight() {
            return self.line(x);
        }
        let [x0, x1, y0, rise, bend, skew] =
            [self.x0, self.x1, self.y0, self.rise, self.bend, self.skew].map(Enclosure::point);
        let u = x.moved(-x0).scaled((x1 - x0).reciprocal());
        // Powers of the distance from the middle of the stretch, where little cancels: y0 + (rise + bend) u
        // + (skew − bend) u² − skew u³.
        let polynomial = Jet::polynomial([y0, rise + bend, skew - bend, -skew].into_iter(), u.value());
        polynomial.of(&u)
    }

    #[inline]
    fn taylor(&self, at: &Jet, over: &Jet) -> Jet {
        // A line takes every coefficient by itself.
        if self.is_straight() { self.line(&mixed(at, over)) } else { mixed(&self.jet(at), &self.jet(over)) }
    }
}
