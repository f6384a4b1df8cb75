//! Segments that are bent: parabolas and cubics through nodes on the curve.

use super::search::{Reach, smallest_error};
use super::{Relation, Shape};
use crate::linearization::span::Segment;

/// Places of a segment at which its error is looked at while nodes are sought. (What is proven in the end is not sampled.)
const LOOKS: usize = 17;

/// Halvings that settle the bend of a parabola: below 1e-9 of it.
const BEND_STEPS: usize = 30;

/// Trials for the width of a segment.
const WIDTH_STEPS: usize = 60;

/// Relative width that is close enough.
const WIDTH_CLOSE: f64 = 2e-5;

/// The power of its width with which the error of a segment goes.
fn order(shape: Shape) -> f64 {
    match shape {
        Shape::Linear | Shape::LinearOnCurve => 2.0,
        Shape::Quadratic => 3.0,
        Shape::CubicHermite => 4.0,
    }
}

/// The segment between two temperatures, and the largest error seen on it.
pub(super) fn segment(relation: &Relation<'_>, shape: Shape, from_c: f64, to_c: f64) -> (Segment, f64) {
    let (low_c, high_c) = if relation.ascends() { (from_c, to_c) } else { (to_c, from_c) };
    let ((x0, y0), (x1, y1)) = (relation.point(low_c), relation.point(high_c));
    let (width, rise) = (x1 - x0, y1 - y0);
    let mut t_c = [0.0; LOOKS];
    for (i, t) in t_c.iter_mut().enumerate() {
        // Closer together towards the ends, as the extremes of a good fit are.
        let part = 0.5 - 0.5 * libm::cos(core::f64::consts::PI * (i as f64 + 0.5) / LOOKS as f64);
        *t = low_c + (high_c - low_c) * part;
    }
    let mut signal = [0.0; LOOKS];
    relation.curve.raw_signal_block(&t_c, &mut signal);
    let at = |i: usize| match relation.direction {
        super::Direction::SignalToTemperature => (signal[i], t_c[i]),
        super::Direction::TemperatureToSignal => (t_c[i], signal[i]),
    };
    let (bend, skew) = match shape {
        Shape::Linear | Shape::LinearOnCurve => (0.0, 0.0),
        Shape::Quadratic => {
            let mut rest = [(0.0, 0.0); LOOKS];
            for (i, r) in rest.iter_mut().enumerate() {
                let (x, y) = at(i);
                let u = (x - x0) / width;
                *r = (y - y0 - u * rise, u * (1.0 - u));
            }
            (best_bend(&rest), 0.0)
        }
        Shape::CubicHermite => {
            let bend = relation.slope(low_c) * width - rise;
            (bend, rise - bend - relation.slope(high_c) * width)
        }
    };
    let segment = Segment { x0, x1, y0, rise, bend, skew };
    let error = (0..LOOKS).map(|i| {
        let (x, y) = at(i);
        (segment.at(x) - y).abs()
    });
    // NaN (a slope that is infinite at an end) must not pass for small.
    (segment, error.fold(0.0, |most, e| if e <= most { most } else { e }))
}

/// The factor of the second numbers that takes most off the first ones.
fn best_bend(rest: &[(f64, f64)]) -> f64 {
    let ratios = rest.iter().map(|(r, b)| r / b);
    let (mut low, mut high) =
        ratios.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), q| (low.min(q), high.max(q)));
    for _ in 0..BEND_STEPS {
        let c = 0.5 * (low + high);
        let (least, most) =
            rest.iter().map(|(r, b)| r - c * b).fold((0.0f64, 0.0f64), |(l, m), d| (l.min(d), m.max(d)));
        if most + least > 0.0 {
            low = c;
        } else {
            high = c;
        }
    }
    0.5 * (low + high)
}

/// Segments from one end to the other with the smallest largest error: each as wide as that error allows.
pub(super) fn optimal(relation: &Relation<'_>, shape: Shape, count: usize, floor: f64) -> Vec<Segment> {
    let even = (relation.high_c - relation.low_c) / count as f64;
    let start = (0..count)
        .map(|i| {
            let from_c = relation.low_c + even * i as f64;
            segment(relation, shape, from_c, (from_c + even).min(relation.high_c)).1
        })
        .fold(0.0, f64::max);
    let mut nodes = Vec::new();
    let e = smallest_error(count, order(shape), 0.3 * start, floor, |e| lay(relation, shape, e, count, &mut nodes));
    lay(relation, shape, e, count, &mut nodes);
    let mut segments: Vec<Segment> = nodes.windows(2).map(|t| segment(relation, shape, t[0], t[1]).0).collect();
    if !relation.ascends() {
        segments.reverse();
    }
    segments
}

fn lay(relation: &Relation<'_>, shape: Shape, e: f64, limit: usize, nodes: &mut Vec<f64>) -> Reach {
    nodes.clear();
    nodes.push(relation.low_c);
    let (mut from, all) = (relation.low_c, relation.high_c - relation.low_c);
    let mut width = all / limit as f64;
    for piece in 0..limit {
        let to = widest(relation, shape, e, from, &mut width);
        if to >= relation.high_c {
            nodes.push(relation.high_c);
            // The last segment would go on; how far is not known, but its error is.
            let rest = segment(relation, shape, from, relation.high_c).1;
            let part = libm::pow((rest / e).min(1.0), 1.0 / order(shape));
            return Reach { complete: true, pieces: piece as f64 + part };
        }
        from = to;
        nodes.push(from);
    }
    // What is left, in widths of the last segment.
    let rest = segment(relation, shape, from, relation.high_c).1;
    let more = libm::pow(rest / e, 1.0 / order(shape)).max(1e-6);
    Reach { complete: false, pieces: limit as f64 + more }
}

/// End of the widest segment from a temperature that keeps the error, near a first guess of its width.
fn widest(relation: &Relation<'_>, shape: Shape, e: f64, from: f64, width: &mut f64) -> f64 {
    let all = relation.high_c - from;
    let (mut low, mut high) = (0.0, f64::INFINITY);
    let mut w = width.min(all);
    for _ in 0..WIDTH_STEPS {
        let error = segment(relation, shape, from, if w < all { from + w } else { relation.high_c }).1;
        if error <= e {
            if w >= all {
                return relation.high_c;
            }
            low = w;
        } else {
            high = w;
        }
        if high <= low * (1.0 + WIDTH_CLOSE) {
            break;
        }
        let nudge = if error <= e { 1.0 + 0.3 * WIDTH_CLOSE } else { 1.0 - 0.3 * WIDTH_CLOSE };
        let guess = w * libm::pow(e / error, 1.0 / order(shape)) * nudge;
        w = if guess > low && guess < high {
            guess.min(all).min(if low > 0.0 { 4.0 * low } else { all })
        } else if high.is_finite() {
            0.5 * (low + high)
        } else {
            (2.0 * low).min(all)
        };
    }
    *width = if low > 0.0 { low } else { high };
    // Where no width keeps it, go on by the smallest one tried: the trial fails by the number of segments.
    from + *width
}
