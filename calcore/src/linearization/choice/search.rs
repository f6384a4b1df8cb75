//! The largest error of a reading over a range: best-first halving with bounds of the curvature.

use super::Reading;
use crate::curves::SensorCurve;
use crate::error::{Error, Result};
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use std::collections::BinaryHeap;

/// The bound is met when it lies no farther above a value that is reached: as a part of the largest error, and in K.
const TIGHTNESS: f64 = 1e-3;
const TIGHTNESS_K: f64 = 1e-9;
/// Stretches that are looked at before giving up.
const MOST_STRETCHES: usize = 200_000;
/// Stretches of the range before the best-first search begins.
const FIRST_STRETCHES: u32 = 16;
/// What an inverse may be off, K, beside what the enclosure of its argument tells: twenty times the largest error found
/// of any curve (the accuracy table of the README).
const INVERSE_K: f64 = 1e-11;

/// What the search finds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extreme {
    /// No value is larger, K.
    pub(super) bound_k: f64,
    /// A value that is taken, K.
    pub(super) reached_k: f64,
    /// Where, °C.
    pub(super) at_c: f64,
}

/// `sign` times the error of an element whose signal, with something added, is read.
pub(super) struct Search<'a> {
    element: &'a dyn SensorCurve,
    reading: Reading<'a>,
    added: Enclosure,
    sign: f64,
}

/// A temperature with its signal (what is added included), the temperature that is read, and the signed error.
#[derive(Clone, Copy)]
struct Node {
    t_c: f64,
    read: Enclosure,
    value: Enclosure,
}

/// A stretch in the order of its bound.
struct Stretch {
    bound_k: f64,
    low: Node,
    high: Node,
}

impl PartialEq for Stretch {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Stretch {}
impl PartialOrd for Stretch {
    fn partial_cmp(&self, other: &Self) -> Option<core::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Stretch {
    fn cmp(&self, other: &Self) -> core::cmp::Ordering {
        self.bound_k.total_cmp(&other.bound_k)
    }
}

impl<'a> Search<'a> {
    pub(super) fn new(element: &'a dyn SensorCurve, reading: Reading<'a>, added: f64, sign: f64) -> Self {
        Self { element, reading, added: Enclosure::point(added), sign }
    }

    /// Searches a range; `scale_k` is an error that is known to be made somewhere.
    pub(super) fn run(&self, low_c: f64, high_c: f64, scale_k: f64) -> Result<Extreme> {
        let mut heap = BinaryHeap::new();
        let mut best = Extreme { bound_k: f64::NEG_INFINITY, reached_k: f64::NEG_INFINITY, at_c: low_c };
        let mut scale_k = scale_k;
        let mut start = low_c;
        // At a joint of the element its signal may step: no stretch goes across one.
        loop {
            let joint = self.element.joint_from(start).filter(|joint| joint.below_c < high_c);
            let end = joint.map_or(high_c, |joint| joint.below_c);
            let mut low = self.node(start);
            see(&mut best, &low);
            for i in 1..=FIRST_STRETCHES {
                let part = f64::from(i) / f64::from(FIRST_STRETCHES);
                let t_c = if i == FIRST_STRETCHES { end } else { start + (end - start) * part };
                let high = self.node(t_c.clamp(low.t_c, end));
                see(&mut best, &high);
                scale_k = scale_k.max(high.value.magnitude());
                heap.push(self.stretch(low, high));
                low = high;
            }
            match joint {
                Some(joint) => start = joint.above_c,
                None => break,
            }
        }
        let enough = TIGHTNESS_K.max(TIGHTNESS * if scale_k.is_finite() { scale_k } else { 0.0 });
        for _ in 0..MOST_STRETCHES {
            let Some(widest) = heap.pop() else { break };
            if widest.bound_k <= best.reached_k + enough {
                return Ok(Extreme { bound_k: widest.bound_k.max(best.bound_k), ..best });
            }
            let (low_c, high_c) = (widest.low.t_c, widest.high.t_c);
            let middle_c = low_c + 0.5 * (high_c - low_c);
            if middle_c <= low_c || middle_c >= high_c {
                break;
            }
            let middle = self.node(middle_c);
            see(&mut best, &middle);
            heap.push(self.stretch(widest.low, middle));
            heap.push(self.stretch(middle, widest.high));
        }
        Err(Error::Undetermined {
            what: "largest error",
            parameter: "a bound over the whole range".into(),
            hint: "both curves must give enclosures of their derivatives (raw_jet), and their slopes must not vanish",
        })
    }

    fn node(&self, t_c: f64) -> Node {
        let signal = self.element.raw_jet(Enclosure::point(t_c)).value() + self.added;
        let read = match self.reading {
            Reading::Line { intercept_c, slope } => Enclosure::point(intercept_c) + Enclosure::point(slope) * signal,
            Reading::Curve(curve) => {
                let ends = [signal.low, signal.high].map(|s| {
                    let range = curve.signal_range();
                    curve.raw_temperature(s.clamp(range.low, range.high))
                });
                let pad = Enclosure::new(-INVERSE_K, INVERSE_K);
                Enclosure::new(ends[0].min(ends[1]), ends[0].max(ends[1])) + pad
            }
        };
        let error = read - Enclosure::point(t_c);
        Node { t_c, read, value: if self.sign < 0.0 { -error } else { error } }
    }

    fn stretch(&self, low: Node, high: Node) -> Stretch {
        let bound_k = self.bound(&low, &high);
        Stretch { bound_k: if bound_k.is_nan() { f64::INFINITY } else { bound_k }, low, high }
    }

    /// A bound of the value between two nodes: by the curvature where the error has one, and by the slope where a joint of
    /// the reading curve lies between.
    fn bound(&self, low: &Node, high: &Node) -> f64 {
        let over = Enclosure::new(low.t_c, high.t_c);
        let element = self.element.raw_jet(over);
        let read = match self.reading {
            Reading::Line { slope, .. } => element.scaled(Enclosure::point(slope)),
            Reading::Curve(curve) => {
                let temperatures = low.read.hull(high.read);
                let Some(jet) = smooth(curve, temperatures) else {
                    return self.bound_by_slope(low, high, element.slope(), curve);
                };
                jet.inverse(temperatures).of(&element)
            }
        };
        let curvature = if self.sign < 0.0 { -read.curvature() } else { read.curvature() };
        above_chord(low, high, (-curvature.low).max(0.0))
    }

    /// The value between two nodes lies below the line from the left end with the largest slope, and below the line to
    /// the right end with the least one: it is largest where these meet.
    fn bound_by_slope(&self, low: &Node, high: &Node, element: Enclosure, curve: &dyn SensorCurve) -> f64 {
        let (slope, step) = slope_and_step(curve, low.read.hull(high.read));
        let error = element.divided_by(slope) - Enclosure::ONE;
        let slope = if self.sign < 0.0 { -error } else { error };
        let (left, right) = (low.value.high, high.value.high);
        let h = high.t_c - low.t_c;
        // Where the lines meet; any place gives a true bound, so that rounding of it does no harm.
        let tau = ((right - left - slope.low * h) / (slope.high - slope.low)).clamp(0.0, h);
        let rising = Enclosure::point(left) + Enclosure::point(slope.high.max(0.0)) * Enclosure::point(tau);
        let rest = Enclosure::point(high.t_c) - Enclosure::point(low.t_c) - Enclosure::point(tau);
        let falling = Enclosure::point(right) - Enclosure::point(slope.low.min(0.0)) * rest;
        rising.high.max(falling.high).max(left).max(right) + step
    }
}

/// Largest value between two nodes that a function can have whose second derivative is nowhere below −`bend`: that of the
/// chord and the parabola `bend` (t − a)(b − t)/2 above it.
fn above_chord(low: &Node, high: &Node, bend: f64) -> f64 {
    let (left, right) = (low.value.high, high.value.high);
    let ends = left.max(right);
    let h = Enclosure::point(high.t_c) - Enclosure::point(low.t_c);
    let square = Enclosure::point(bend) * h * h;
    let rise = Enclosure::point(right) - Enclosure::point(left);
    if rise.mignitude() >= 0.5 * square.high {
        return ends;
    }
    let (half, eighth) = (Enclosure::point(0.5), Enclosure::point(0.125));
    let middle = half * (Enclosure::point(left) + Enclosure::point(right));
    let top = middle + eighth * square + half * (rise * rise).divided_by(square);
    // Never more than the parabola above the higher end (which also serves where the quotient has no meaning).
    top.high.min(ends + (eighth * square).high).max(ends)
}

/// Enclosures over temperatures of a curve, unless a joint lies among them.
fn smooth(curve: &dyn SensorCurve, over: Enclosure) -> Option<Jet> {
    let range = curve.range();
    let inside = Enclosure::new(over.low.clamp(range.low, range.high), over.high.clamp(range.low, range.high));
    let joint = curve.joint_from(inside.low);
    joint.is_none_or(|joint| joint.below_c >= inside.high).then(|| curve.raw_jet(inside))
}

fn see(best: &mut Extreme, node: &Node) {
    // What is surely reached: the lower end of the enclosure.
    if node.value.low > best.reached_k {
        best.reached_k = node.value.low;
        best.at_c = node.t_c;
    }
    best.bound_k = best.bound_k.max(node.value.high);
}

/// Enclosure of the slope of a curve over temperatures, joints included, and what the steps of its signal at the joints
/// make of the temperature, K.
fn slope_and_step(curve: &dyn SensorCurve, over: Enclosure) -> (Enclosure, f64) {
    let range = curve.range();
    let (low_c, high_c) = (over.low.max(range.low), over.high.min(range.high));
    let mut start = low_c.min(high_c);
    let mut slope: Option<Enclosure> = None;
    let mut steps = Enclosure::ZERO;
    loop {
        let joint = curve.joint_from(start).filter(|joint| joint.below_c < high_c);
        let end = joint.map_or(high_c, |joint| joint.below_c);
        let piece = curve.raw_jet(Enclosure::new(start, end.max(start))).slope();
        slope = Some(slope.map_or(piece, |all| all.hull(piece)));
        let Some(joint) = joint else { break };
        let side = |t_c: f64| curve.raw_jet(Enclosure::point(t_c)).value();
        let step = (side(joint.above_c) - side(joint.below_c)).magnitude();
        steps = steps + Enclosure::new(0.0, step);
        start = joint.above_c;
    }
    let slope = slope.unwrap_or(Enclosure::EVERYTHING);
    let step_k = steps.divided_by(slope).magnitude();
    (slope, if steps.high > 0.0 { step_k } else { 0.0 })
}
