//! The best values at given nodes, straight between them: a tube again, with the nodes where they are.
//!
//! From the values that a node can have follow those of the next one: every sample between them leaves, for a value here,
//! an upper and a lower limit there. What can be reached is an interval, whose ends follow from the ends of the one before.

use super::builder::SAMPLES_A_SEGMENT;
use super::search::{Reach, smallest_error};
use crate::linearization::fixed_point::FixedPoint;
use crate::linearization::relation::Relation;
use crate::linearization::samples::Samples;
use crate::linearization::spacing::EqualSteps;

/// Samples that every segment has beside those that it shares.
const SAMPLES_OF_ITS_OWN: usize = SAMPLES_A_SEGMENT / 4;

/// Newton steps to the end of what a node can have; a concave polygon needs as many as it has edges at most.
const STEPS: usize = 64;

/// What a sample says about the segment that it lies in: y = part · right + (1 − part) · left.
struct Limit {
    y: f64,
    part: f64,
}

/// The samples segment by segment.
struct Segments {
    limits: Vec<Vec<Limit>>,
    first_y: f64,
}

/// Values at the nodes with the smallest largest error at the samples, and that error.
fn values(samples: &Samples, nodes: &[f64], start: f64, floor: f64) -> (Vec<f64>, f64) {
    let mut limits: Vec<Vec<Limit>> = nodes.windows(2).map(|_| Vec::new()).collect();
    let mut segment = 0;
    for (&x, &y) in samples.x.iter().zip(&samples.y).skip(1) {
        while segment + 2 < nodes.len() && x > nodes[segment + 1] {
            segment += 1;
        }
        let part = (x - nodes[segment]) / (nodes[segment + 1] - nodes[segment]);
        limits[segment].push(Limit { y, part });
    }
    let segments = Segments { limits, first_y: samples.y[0] };
    let mut reached = Vec::new();
    let e = smallest_error(nodes.len() - 1, 2.0, start, floor, |e| Reach {
        complete: segments.reach(e, &mut reached),
        pieces: f64::NAN,
    });
    segments.reach(e, &mut reached);
    (segments.choose(e, &reached), e)
}

impl Segments {
    /// The interval of every node that can be reached inside the tube; whether the last one has any.
    fn reach(&self, e: f64, reached: &mut Vec<(f64, f64)>) -> bool {
        reached.clear();
        let (mut low, mut high) = (self.first_y - e, self.first_y + e);
        reached.push((low, high));
        for limits in &self.limits {
            if limits.is_empty() {
                // No sample: any value that the line could have; held by the segments around.
                reached.push((f64::NEG_INFINITY, f64::INFINITY));
                (low, high) = (f64::NEG_INFINITY, f64::INFINITY);
                continue;
            }
            let (Some(least), Some(most)) = (feasible(limits, e, low, high), feasible_down(limits, e, low, high))
            else {
                return false;
            };
            if let Some(last) = reached.last_mut() {
                *last = (least, most);
            }
            (low, high) = (lower(limits, e, most).0, upper(limits, e, least).0);
            reached.push((low, high));
        }
        low <= high
    }

    /// Values inside what can be reached, from the last node back.
    fn choose(&self, e: f64, reached: &[(f64, f64)]) -> Vec<f64> {
        let middle = |(low, high): (f64, f64)| low + 0.5 * (high - low);
        let mut values = vec![0.0; reached.len()];
        let Some((last, before)) = reached.split_last() else { return values };
        values[before.len()] = middle(*last);
        for i in (0..before.len()).rev() {
            let right = values[i + 1];
            let (mut low, mut high) = before[i];
            for limit in self.limits[i].iter().filter(|limit| limit.part < 1.0) {
                let rest = 1.0 / (1.0 - limit.part);
                low = low.max((limit.y - e - limit.part * right) * rest);
                high = high.min((limit.y + e - limit.part * right) * rest);
            }
            values[i] = middle((low, high));
        }
        values
    }
}

/// Upper limit of the right value for a left one, and its slope.
#[inline]
fn upper(limits: &[Limit], e: f64, left: f64) -> (f64, f64) {
    limits.iter().fold((f64::INFINITY, 0.0), |least, limit| {
        let (value, slope) = line(limit, limit.y + e, left);
        if value < least.0 { (value, slope) } else { least }
    })
}

/// Lower limit of the right value for a left one, and its slope.
#[inline]
fn lower(limits: &[Limit], e: f64, left: f64) -> (f64, f64) {
    limits.iter().fold((f64::NEG_INFINITY, 0.0), |most, limit| {
        let (value, slope) = line(limit, limit.y - e, left);
        if value > most.0 { (value, slope) } else { most }
    })
}

#[inline]
fn line(limit: &Limit, y: f64, left: f64) -> (f64, f64) {
    let rest = (1.0 - limit.part) / limit.part;
    (y / limit.part - rest * left, -rest)
}

/// Room between the limits, concave in the left value, and its slope.
fn room(limits: &[Limit], e: f64, left: f64) -> (f64, f64) {
    let (up, down) = (upper(limits, e, left), lower(limits, e, left));
    (up.0 - down.0, up.1 - down.1)
}

/// Smallest left value of an interval for which there is room.
fn feasible(limits: &[Limit], e: f64, low: f64, high: f64) -> Option<f64> {
    let mut left = low;
    for _ in 0..STEPS {
        if left > high {
            return None;
        }
        let (room, slope) = room(limits, e, left);
        if room >= 0.0 {
            return Some(left);
        }
        if slope <= 0.0 {
            return None;
        }
        // A concave function lies below its tangent: the step never goes too far.
        let next = left - room / slope;
        left = if next > left { next } else { left.next_up() };
    }
    None
}

/// Largest left value of an interval for which there is room.
fn feasible_down(limits: &[Limit], e: f64, low: f64, high: f64) -> Option<f64> {
    let mut left = high;
    for _ in 0..STEPS {
        if left < low {
            return None;
        }
        let (room, slope) = room(limits, e, left);
        if room >= 0.0 {
            return Some(left);
        }
        if slope >= 0.0 {
            return None;
        }
        let next = left - room / slope;
        left = if next < left { next } else { left.next_down() };
    }
    None
}

/// Nodes at equal steps; with fixed-point entries the step is a power of two of the unit and the last one may be shorter.
pub(super) fn nodes(low: f64, high: f64, count: usize, argument: Option<FixedPoint>) -> Vec<f64> {
    let Some(argument) = argument else {
        let node = |i: usize| if i == count { high } else { low + (high - low) * i as f64 / count as f64 };
        return (0..=count).map(node).collect();
    };
    let steps = EqualSteps::new(argument, low, high, count);
    (0..=steps.segments()).map(|i| argument.number(steps.code(i))).collect()
}

/// Nodes (argument and value) with the smallest largest error at given arguments.
pub(super) fn optimal(
    relation: &Relation<'_>,
    samples: &Samples,
    nodes: &[f64],
    start: f64,
    floor: f64,
) -> Vec<(f64, f64)> {
    // Every segment needs samples of its own.
    let mut t_c = samples.t_c.clone();
    for x in nodes.windows(2) {
        let part = |i: usize| x[0] + (x[1] - x[0]) * i as f64 / SAMPLES_OF_ITS_OWN as f64;
        t_c.extend((0..=SAMPLES_OF_ITS_OWN).map(|i| relation.temperature(part(i))));
    }
    t_c.sort_by(f64::total_cmp);
    t_c.dedup();
    let (values, _) = values(&Samples::at(relation, t_c), nodes, start, floor);
    nodes.iter().copied().zip(values).collect()
}
