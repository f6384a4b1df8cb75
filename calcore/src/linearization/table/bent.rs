//! A segment that is bent: a parabola or a cubic through two nodes on the curve, and how far it is off.

use super::Shape;
use crate::linearization::relation::{Direction, Relation};
use crate::linearization::span::Segment;

/// Places of a segment at which its error is looked at while nodes are sought, with both ends, where it is zero. (What is
/// proven in the end is not sampled.)
const PLACES: usize = 21;

/// The same where the error may have many extremes.
const FINE_PLACES: usize = 65;

/// Steps that settle the bend of a parabola: the two sides are balanced by Newton's rule, which needs two or three; a few
/// halvings more where the error has several extremes of nearly the same size.
const BEND_STEPS: usize = 24;

/// Steps that settle it on a grid, where a part in a hundred is enough.
const GRID_STEPS: usize = 4;

/// Distance of the two sides from each other at which a parabola is settled, as a part of the error.
const BALANCED: f64 = 1e-5;

/// Bent segments of one kind over a relation.
pub(super) struct Bent<'a> {
    pub(super) relation: &'a Relation<'a>,
    pub(super) shape: Shape,
    parts: [f64; PLACES],
    fine_parts: [f64; FINE_PLACES],
}

/// Places as parts of the width, closer together towards the ends as the extremes of a good fit are: at equal steps of an
/// angle.
fn parts<const N: usize>() -> [f64; N] {
    core::array::from_fn(|i| 0.5 - 0.5 * libm::cos(core::f64::consts::PI * i as f64 / (N - 1) as f64))
}

/// A segment and the extremes of its error (segment less curve).
pub(super) struct Fitted {
    pub(super) segment: Segment,
    top: Peak,
    bottom: Peak,
}

/// The largest value among the places, or between them by the parabola through three.
#[derive(Debug, Clone, Copy)]
struct Peak {
    size: f64,
    place: usize,
}

impl Peak {
    /// Above and below, of errors at the places; one of these may be a joint.
    fn both<const N: usize>(errors: &[f64; N], joint: usize) -> [Self; 2] {
        let (mut top, mut bottom) = (0, 0);
        let mut sum = 0.0;
        for (i, &e) in errors.iter().enumerate() {
            top = if e > errors[top] { i } else { top };
            bottom = if e < errors[bottom] { i } else { bottom };
            sum += e;
        }
        if sum.is_nan() {
            // A slope that is infinite at an end: must not pass for small.
            return [Self { size: f64::NAN, place: 0 }; 2];
        }
        [Self::at(errors, top, joint, 1.0), Self::at(errors, bottom, joint, -1.0)]
    }

    fn at<const N: usize>(errors: &[f64; N], place: usize, joint: usize, sign: f64) -> Self {
        let most = sign * errors[place];
        if place == 0 || place == N - 1 || place == joint {
            return Self { size: most, place };
        }
        let (before, after) = (sign * errors[place - 1], sign * errors[place + 1]);
        let (rise, bend) = (after - before, before - 2.0 * most + after);
        Self { size: if bend < 0.0 { most - 0.125 * rise * rise / bend } else { most }, place }
    }
}

impl Fitted {
    /// Largest size of the error.
    pub(super) fn error(&self) -> f64 {
        if self.top.size >= self.bottom.size { self.top.size } else { self.bottom.size }
    }

    /// Whether the error is of the same form as that of another segment: what makes it has not changed its sign between.
    pub(super) fn is_like(&self, other: &Self, shape: Shape) -> bool {
        let form = |fitted: &Self| match shape {
            // The cubic part shows on which side the parabola lies above.
            Shape::Quadratic => fitted.top.place < fitted.bottom.place,
            _ => fitted.top.size > fitted.bottom.size,
        };
        form(self) == form(other)
    }
}

impl<'a> Bent<'a> {
    pub(super) fn new(relation: &'a Relation<'a>, shape: Shape) -> Self {
        Self { relation, shape, parts: parts(), fine_parts: parts() }
    }

    /// The power of its width with which the error of a segment goes.
    pub(super) fn order(&self) -> f64 {
        self.shape.order()
    }

    /// The segment between two arguments.
    pub(super) fn between(&self, x0: f64, x1: f64) -> Segment {
        let (a, b) = (self.relation.temperature(x0), self.relation.temperature(x1));
        self.fit_finely(a.min(b), a.max(b)).segment
    }

    /// The segment between two temperatures.
    pub(super) fn fit(&self, from_c: f64, to_c: f64) -> Fitted {
        self.fit_at(&self.parts, from_c, to_c)
    }

    /// The same where the error may have many extremes.
    pub(super) fn fit_finely(&self, from_c: f64, to_c: f64) -> Fitted {
        self.fit_at(&self.fine_parts, from_c, to_c)
    }

    fn fit_at<const N: usize>(&self, parts: &[f64; N], from_c: f64, to_c: f64) -> Fitted {
        let relation = self.relation;
        let (low_c, high_c) = if relation.ascends() { (from_c, to_c) } else { (to_c, from_c) };
        let mut t_c = parts.map(|part| low_c + (high_c - low_c) * part);
        let joint = look_at_joint(relation, &mut t_c, from_c, to_c);
        let mut signal = [0.0; N];
        relation.curve.raw_signal_block(&t_c, &mut signal);
        let ((x0, y0), (x1, y1)) = (relation.point(low_c), relation.point(high_c));
        let (width, rise) = (x1 - x0, y1 - y0);
        // Height of the curve above the chord, and that of the parabola u (1 − u).
        let (mut rest, mut arch) = ([0.0; N], [0.0; N]);
        let mut u = [0.0; N];
        for i in 1..N - 1 {
            let (x, y) = match relation.direction {
                Direction::SignalToTemperature => (signal[i], t_c[i]),
                Direction::TemperatureToSignal => (t_c[i], signal[i]),
            };
            u[i] = (x - x0) / width;
            rest[i] = y - y0 - u[i] * rise;
            arch[i] = u[i] * (1.0 - u[i]);
        }
        let mut segment = Segment { x0, x1, y0, rise, bend: 0.0, skew: 0.0 };
        match self.shape {
            Shape::Linear | Shape::LinearOnCurve => {}
            Shape::Quadratic => segment.bend = best_bend(&rest, &arch, joint),
            Shape::CubicHermite => {
                segment.bend = relation.slope(low_c) * width - rise;
                segment.skew = rise - segment.bend - relation.slope(high_c) * width;
            }
        }
        let mut errors = [0.0; N];
        for i in 1..N - 1 {
            errors[i] = arch[i] * (segment.bend + segment.skew * u[i]) - rest[i];
        }
        let [top, bottom] = Peak::both(&errors, joint);
        Fitted { segment, top, bottom }
    }
}

/// The curve at a place: argument, value, slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    x: f64,
    y: f64,
    slope: f64,
}

impl Bent<'_> {
    pub(super) fn point(&self, t_c: f64) -> Point {
        let (x, y) = self.relation.point(t_c);
        // An infinite slope at an end serves no cubic, but a parabola does not ask for it.
        Point { x, y, slope: self.relation.slope(t_c) }
    }

    /// Largest error of the segment from the first to the last point, at the points between: a little less than it is.
    pub(super) fn error_among(&self, points: &[Point]) -> f64 {
        let ([first, inner @ .., last], true) = (points, points.len() > 2) else { return 0.0 };
        let (width, rise) = (last.x - first.x, last.y - first.y);
        let over = 1.0 / width;
        let place = |p: &Point| {
            let u = (p.x - first.x) * over;
            (u, u * (1.0 - u), p.y - first.y - u * rise)
        };
        let largest = |bend: f64, skew: f64| {
            inner.iter().map(place).fold([0.0f64; 4], |most, (u, arch, rest)| {
                let e = arch * (bend + skew * u) - rest;
                let most = if e > most[0] { [e, arch, most[2], most[3]] } else { most };
                if -e > most[2] { [most[0], most[1], -e, arch] } else { most }
            })
        };
        if self.shape == Shape::CubicHermite {
            let bend = first.slope * width - rise;
            let [top, _, bottom, _] = largest(bend, rise - bend - last.slope * width);
            return top.max(bottom);
        }
        let (_, arch, rest) = place(&inner[inner.len() / 2]);
        let mut bend = rest / arch;
        let mut error = 0.0;
        for _ in 0..GRID_STEPS {
            let [top, arch_top, bottom, arch_bottom] = largest(bend, 0.0);
            error = top.max(bottom);
            if arch_top + arch_bottom <= 0.0 || (top - bottom).abs() <= 0.02 * error {
                break;
            }
            bend -= (top - bottom) / (arch_top + arch_bottom);
        }
        error
    }
}

/// Moves the place nearest to a joint of the curve there, where the error may have a sharp peak; the number of that place, or
/// 0. (Of several joints the last one: segments are narrower than pieces of curves.)
fn look_at_joint<const N: usize>(relation: &Relation<'_>, t_c: &mut [f64; N], from_c: f64, to_c: f64) -> usize {
    let mut place = 0;
    let mut start = from_c;
    while let Some(joint) = relation.curve.joint_from(start).filter(|joint| joint.below_c < to_c) {
        let distance = |i: &usize| (t_c[*i] - joint.below_c).abs();
        place = (1..N - 1).min_by(|i, j| distance(i).total_cmp(&distance(j))).unwrap_or(0);
        t_c[place] = joint.below_c;
        start = joint.above_c;
    }
    place
}

/// The factor of the arch that takes most off the rest: above and below as much is left.
fn best_bend<const N: usize>(rest: &[f64; N], arch: &[f64; N], joint: usize) -> f64 {
    let mut bend = rest[N / 2] / arch[N / 2];
    // A larger bend raises both sides: where it is known to be too small, and too large.
    let (mut small, mut large) = (f64::NEG_INFINITY, f64::INFINITY);
    for _ in 0..BEND_STEPS {
        let mut errors = [0.0; N];
        for i in 0..N {
            errors[i] = bend * arch[i] - rest[i];
        }
        let [top, bottom] = Peak::both(&errors, joint);
        let unequal = top.size - bottom.size;
        if unequal.abs() <= BALANCED * (top.size + bottom.size) {
            break;
        }
        if unequal > 0.0 {
            large = bend;
        } else {
            small = bend;
        }
        let next = bend - unequal / (arch[top.place] + arch[bottom.place]);
        bend = if next > small && next < large { next } else { 0.5 * (small + large) };
        if !bend.is_finite() {
            return rest[N / 2] / arch[N / 2];
        }
    }
    bend
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::PolynomialRtd;
    use crate::linearization::relation::Relation;

    // Witness: by hand. A cubic c (t − a)³ on a segment of width w is off from the best parabola through its ends by
    // c w³ √3/36; PolynomialRtd of copper below 0 °C has a cubic term of its own, which is read off its coefficients.
    #[test]
    fn a_parabola_beside_a_cubic() {
        let copper = PolynomialRtd::standard("gost6651_cu428", 100.0).unwrap();
        let relation = Relation::new(&copper, Direction::TemperatureToSignal, -100.0, -40.0).unwrap();
        let fitted = Bent::new(&relation, Shape::Quadratic).fit(-100.0, -40.0);
        // The third difference of a cubic is 6 c h³.
        let h = 15.0;
        let s = |i: i32| relation.point(-100.0 + h * f64::from(i)).1;
        let c = (s(3) - 3.0 * s(2) + 3.0 * s(1) - s(0)) / (6.0 * h * h * h);
        let wanted = c.abs() * 60.0f64.powi(3) * 3.0f64.sqrt() / 36.0;
        assert!((fitted.error() / wanted - 1.0).abs() < 1e-3, "{} {wanted}", fitted.error());
    }
}
