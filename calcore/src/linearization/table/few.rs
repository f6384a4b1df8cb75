//! Few chords over a curve with inflections, where the longest chord is not always the one to take: the best of all on a
//! grid, then made better node by node.

use super::on_curve::{Position, point};
use crate::linearization::samples::Samples;

/// Nodes are first sought among this many places.
const PLACES: usize = 192;

/// Passes over all nodes afterwards, at most.
const PASSES: usize = 400;

/// Halvings that settle a node within two places of the grid.
const HALVINGS: usize = 14;

/// Fall of the largest error in a pass below which nothing more is to be had, as a part of it.
const STILL: f64 = 1e-6;

/// Largest distance of the samples from the chord between two positions.
fn off(samples: &Samples, from: Position, to: Position) -> f64 {
    let ((x0, y0), (x1, y1)) = (point(samples, from), point(samples, to));
    let slope = (y1 - y0) / (x1 - x0);
    let range = (from as usize + 1)..=(to as usize).min(samples.last());
    range.map(|i| (y0 + slope * (samples.x[i] - x0) - samples.y[i]).abs()).fold(0.0, f64::max)
}

/// Positions of the nodes of the best chords, and their largest error at the samples.
pub(super) fn nodes(samples: &Samples, count: usize) -> (Vec<Position>, f64) {
    let step = samples.last() as f64 / PLACES as f64;
    let place = |i: usize| if i == PLACES { samples.last() as f64 } else { (step * i as f64).floor() };
    // best[j]: smallest largest error of the chords so far from the start to place j.
    let chord: Vec<Vec<f64>> =
        (0..=PLACES).map(|i| (i + 1..=PLACES).map(|j| off(samples, place(i), place(j))).collect()).collect();
    let size = |i: usize, j: usize| chord[i][j - i - 1];
    let mut best: Vec<f64> = (0..=PLACES).map(|j| if j == 0 { f64::INFINITY } else { size(0, j) }).collect();
    let mut before: Vec<Vec<usize>> = Vec::new();
    for _ in 1..count {
        let mut next = vec![f64::INFINITY; PLACES + 1];
        let mut from = vec![0; PLACES + 1];
        for j in 1..=PLACES {
            for (i, so_far) in best.iter().enumerate().take(j).skip(1) {
                let e = so_far.max(size(i, j));
                if e < next[j] {
                    (next[j], from[j]) = (e, i);
                }
            }
        }
        best = next;
        before.push(from);
    }
    let mut places = vec![PLACES];
    for from in before.iter().rev() {
        places.push(from[places[places.len() - 1]]);
    }
    places.push(0);
    let mut nodes: Vec<Position> = places.into_iter().rev().map(place).collect();
    let e = improve(samples, &mut nodes, step);
    (nodes, e)
}

/// Moves every node to where the chords on both sides are equally far off, until the largest error stands still.
fn improve(samples: &Samples, nodes: &mut [Position], step: f64) -> f64 {
    let largest = |nodes: &[Position]| nodes.windows(2).map(|p| off(samples, p[0], p[1])).fold(0.0, f64::max);
    let mut before = largest(nodes);
    for pass in 0..PASSES {
        for k in 1..nodes.len() - 1 {
            // Forwards and backwards in turn: what a node gains reaches both ends soon.
            let i = if pass % 2 == 0 { k } else { nodes.len() - 1 - k };
            let (left, here, right) = (nodes[i - 1], nodes[i], nodes[i + 1]);
            let (mut low, mut high) = ((here - 2.0 * step).max(left + 1.0), (here + 2.0 * step).min(right - 1.0));
            let was = off(samples, left, here).max(off(samples, here, right));
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if off(samples, left, middle) < off(samples, middle, right) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            let there = 0.5 * (low + high);
            if off(samples, left, there).max(off(samples, there, right)) <= was {
                nodes[i] = there;
            }
        }
        let now = largest(nodes);
        if now > before * (1.0 - STILL) {
            return now.min(before);
        }
        before = now;
    }
    before
}
