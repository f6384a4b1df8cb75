//! Few chords over a curve with inflections, where the longest chord is not always the one to take: the best of all on a
//! grid, then made better node by node.

use super::on_curve::{Position, point};
use crate::linearization::samples::Samples;

/// Nodes are first sought among this many places.
const PLACES: usize = 192;

/// How much worse than what is known chords between places may be: a node half a place from where it should be changes
/// the width of the shortest segment by 4 %, its error by 8 %, and its neighbour's as well.
const LEEWAY: f64 = 1.25;

/// Halvings of the error once the order of the nodes is known: to 5e-5 of it.
const ERROR_HALVINGS: usize = 14;

/// Passes over all nodes, at most.
const PASSES: usize = 100;

/// Halvings that settle a node within two places of the grid.
const HALVINGS: usize = 14;

/// Fall of the largest error in a pass below which nothing more is to be had, as a part of it.
const STILL: f64 = 1e-5;

/// Largest distance of the samples from the chord between two positions; anything above a limit once that is passed.
fn off(samples: &Samples, from: Position, to: Position, limit: f64) -> f64 {
    let ((x0, y0), (x1, y1)) = (point(samples, from), point(samples, to));
    let slope = (y1 - y0) / (x1 - x0);
    let range = (from as usize + 1)..=(to as usize).min(samples.last());
    let mut most = 0.0f64;
    for i in range {
        let distance = (y0 + slope * (samples.x[i] - x0) - samples.y[i]).abs();
        if distance > most {
            if distance > limit {
                return distance;
            }
            most = distance;
        }
    }
    most
}

/// The samples at the places among which nodes are sought first.
struct Grid {
    positions: Vec<usize>,
    points: Vec<(f64, f64)>,
}

impl Grid {
    fn new(samples: &Samples) -> Self {
        let places = PLACES.min(samples.last());
        let positions: Vec<usize> = (0..=places).map(|i| samples.last() * i / places).collect();
        let points = positions.iter().map(|&i| (samples.x[i], samples.y[i])).collect();
        Self { positions, points }
    }

    /// As [`off`], at the places between two of them.
    fn off(&self, i: usize, j: usize, limit: f64) -> f64 {
        let ((x0, y0), (x1, y1)) = (self.points[i], self.points[j]);
        let slope = (y1 - y0) / (x1 - x0);
        let distance = |p: &(f64, f64)| (y0 + slope * (p.0 - x0) - p.1).abs();
        // A chord that is much too long shows it here.
        let middle = distance(&self.points[i.midpoint(j)]);
        if middle > limit {
            return middle;
        }
        self.points[i + 1..j].iter().map(distance).fold(middle, f64::max)
    }

    /// The places of the nodes of the best `count` chords that keep a limit.
    fn best(&self, count: usize, limit: f64) -> Option<Vec<usize>> {
        let last = self.points.len() - 1;
        let mut chords: Vec<(usize, usize, f64)> = Vec::new();
        for i in 0..last {
            let sizes = (i + 1..=last).map(|j| (i, j, self.off(i, j, limit)));
            chords.extend(sizes.filter(|chord| chord.2 <= limit));
        }
        // Smallest largest error of the chords so far from the start to every place.
        let mut best = vec![f64::INFINITY; last + 1];
        best[0] = 0.0;
        let mut before: Vec<Vec<usize>> = Vec::new();
        for _ in 0..count {
            let mut next = vec![f64::INFINITY; last + 1];
            let mut from = vec![0; last + 1];
            for &(i, j, size) in &chords {
                let e = best[i].max(size);
                if e < next[j] {
                    (next[j], from[j]) = (e, i);
                }
            }
            best = next;
            before.push(from);
        }
        if best[last].is_infinite() {
            return None;
        }
        let mut places = vec![last];
        for from in before.iter().rev() {
            places.push(from[places[places.len() - 1]]);
        }
        places.reverse();
        Some(places)
    }
}

/// Positions of the nodes of the best chords, and their largest error at the samples; nothing where no better ones than
/// those of a `known` error are in sight.
pub(super) fn nodes(samples: &Samples, count: usize, known: f64) -> Option<(Vec<Position>, f64)> {
    let grid = Grid::new(samples);
    let step = samples.last() as f64 / (grid.positions.len() - 1) as f64;
    let places = grid.best(count, LEEWAY * known)?;
    let mut nodes: Vec<Position> = places.iter().map(|&place| grid.positions[place] as f64).collect();
    // Near an inflection only the first sees what is to be gained; along many nodes only the second goes on quickly.
    improve(samples, &mut nodes, step);
    settle(samples, &mut nodes, step);
    let e = largest(samples, &nodes);
    Some((nodes, e))
}

fn largest(samples: &Samples, nodes: &[Position]) -> f64 {
    nodes.windows(2).map(|p| off(samples, p[0], p[1], f64::INFINITY)).fold(0.0, f64::max)
}

/// Halves the error as long as chords near the given ones keep it.
fn settle(samples: &Samples, nodes: &mut Vec<Position>, step: f64) {
    let hints = nodes.clone();
    let mut high = largest(samples, nodes);
    let mut low = 0.5 * high;
    let mut trial = Vec::new();
    for _ in 0..ERROR_HALVINGS {
        let e = 0.5 * (low + high);
        if near(samples, &hints, step, e, &mut trial) {
            high = e;
            core::mem::swap(nodes, &mut trial);
        } else {
            low = e;
        }
    }
}

/// Chords that keep an error, each as long as it can be with its end within two places of a hint; whether they reach the
/// end.
fn near(samples: &Samples, hints: &[Position], step: f64, e: f64, nodes: &mut Vec<Position>) -> bool {
    nodes.clear();
    nodes.push(0.0);
    let last = samples.last() as f64;
    let mut from = 0.0;
    for hint in &hints[1..hints.len() - 1] {
        let mut low = (hint - 2.0 * step).max(from + 1.0);
        let mut high = (hint + 2.0 * step).min(last - 1.0);
        if low > high || off(samples, from, low, e) > e {
            return false;
        }
        if off(samples, from, high, e) <= e {
            low = high;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if off(samples, from, middle, e) <= e {
                low = middle;
            } else {
                high = middle;
            }
        }
        from = low;
        nodes.push(from);
    }
    nodes.push(last);
    off(samples, from, last, e) <= e
}

/// Moves every node to where the chords on both sides are equally far off, until the largest error stands still.
fn improve(samples: &Samples, nodes: &mut [Position], step: f64) {
    let off = |from: Position, to: Position| off(samples, from, to, f64::INFINITY);
    let mut before = largest(samples, nodes);
    for pass in 0..PASSES {
        for k in 1..nodes.len() - 1 {
            // Forwards and backwards in turn: what a node gains reaches both ends soon.
            let i = if pass % 2 == 0 { k } else { nodes.len() - 1 - k };
            let (left, here, right) = (nodes[i - 1], nodes[i], nodes[i + 1]);
            let (mut low, mut high) = ((here - 2.0 * step).max(left + 1.0), (here + 2.0 * step).min(right - 1.0));
            let was = off(left, here).max(off(here, right));
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if off(left, middle) < off(middle, right) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            let there = 0.5 * (low + high);
            if off(left, there).max(off(there, right)) <= was {
                nodes[i] = there;
            }
        }
        let now = largest(samples, nodes);
        if now > before * (1.0 - STILL) {
            return;
        }
        before = now;
    }
}
