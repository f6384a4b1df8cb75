//! Few segments over a curve with inflections, where the longest one is not always the one to take: the best of all on a
//! grid, then made better node by node.

use super::search::{Reach, smallest_error};

/// How much worse than what is known segments between places may be: nodes half a place from where they should be change
/// the width of a segment by up to a twelfth, its error by 17 % to 38 %.
const LEEWAY: f64 = 1.4;

/// Rounds of both ways to make nodes better, each with half the reach of the one before.
const ROUNDS: usize = 4;

/// Passes over all nodes in a round, at most.
const PASSES: usize = 12;

/// Steps that settle a node within two places of the grid, at most.
const STEPS: usize = 20;

/// Places of the window around a hint that are tried.
const WINDOW: usize = 8;

/// Halvings of the step that looks for a better place of a node where errors do not grow with the widths.
const DESCENT: usize = 8;

/// Distance of the errors on both sides of a node, or of an error from its limit, that is close enough, as a part of it.
const CLOSE: f64 = 2e-5;

/// Fall of the largest error in a pass below which nothing more is to be had, as a part of it.
const STILL: f64 = 1e-5;

/// A place of a node, from 0 to [`Pieces::last`].
pub(super) type Position = f64;

/// Segments with nodes on the curve, by the positions of their ends.
pub(super) trait Pieces {
    /// Position of the end of the range.
    fn last(&self) -> Position;

    /// Steps of the grid among whose places nodes are first sought.
    fn places(&self) -> usize;

    /// Least distance of two nodes.
    fn least(&self) -> Position;

    /// The power of its width with which the error of a segment goes.
    fn order(&self) -> f64;

    /// Steps of the grid that a segment takes at least there.
    fn least_on_grid(&self) -> usize {
        1
    }

    /// A segment whose error is that many times the limit is not too long by chance: no longer one is tried.
    fn much_too_long(&self) -> f64;

    /// Largest error of the segment between two positions; anything above a limit once that is passed.
    fn off(&self, from: Position, to: Position, limit: f64) -> f64;

    /// The same between two places of the grid, by their numbers; it may be a little less.
    fn off_on_grid(&self, from: usize, to: usize, limit: f64) -> f64 {
        self.off(place(self, from), place(self, to), limit)
    }
}

/// The same segments, counted from the other end.
struct Mirrored<'a, P>(&'a P);

impl<P: Pieces> Pieces for Mirrored<'_, P> {
    fn last(&self) -> Position {
        self.0.last()
    }

    fn places(&self) -> usize {
        self.0.places()
    }

    fn least(&self) -> Position {
        self.0.least()
    }

    fn order(&self) -> f64 {
        self.0.order()
    }

    fn much_too_long(&self) -> f64 {
        self.0.much_too_long()
    }

    fn off(&self, from: Position, to: Position, limit: f64) -> f64 {
        self.0.off(self.0.last() - to, self.0.last() - from, limit)
    }
}

/// Position of a place of the grid.
fn place<P: Pieces + ?Sized>(pieces: &P, i: usize) -> Position {
    pieces.last() * i as f64 / pieces.places() as f64
}

/// Positions of the nodes of the best segments, and their largest error; nothing where no better ones than those of a
/// `known` error are in sight.
pub(super) fn nodes<P: Pieces>(pieces: &P, count: usize, known: f64) -> Option<(Vec<Position>, f64)> {
    let step = pieces.last() / pieces.places() as f64;
    let places = best_on_grid(pieces, count, LEEWAY * known)?;
    let mut nodes: Vec<Position> = places.into_iter().map(|i| place(pieces, i)).collect();
    let mut e = largest(pieces, &nodes);
    let mut reach = step;
    for _ in 0..ROUNDS {
        let before = e;
        // Near an inflection only the first sees what is to be gained; along many nodes only the second goes on quickly.
        improve(pieces, &mut nodes, reach);
        settle(pieces, &mut nodes, reach);
        // From the other end: there the segments that decide may lie.
        let mut mirrored: Vec<Position> = nodes.iter().rev().map(|node| pieces.last() - node).collect();
        settle(&Mirrored(pieces), &mut mirrored, reach);
        nodes = mirrored.iter().rev().map(|node| pieces.last() - node).collect();
        e = largest(pieces, &nodes);
        if e > before * (1.0 - CLOSE) {
            break;
        }
        reach *= 0.5;
    }
    Some((nodes, e))
}

/// The places of the nodes of the best `count` segments that keep a limit.
fn best_on_grid<P: Pieces>(pieces: &P, count: usize, limit: f64) -> Option<Vec<usize>> {
    let last = pieces.places();
    let mut segments: Vec<(usize, usize, f64)> = Vec::new();
    for i in 0..last {
        for j in i + pieces.least_on_grid()..=last {
            let size = pieces.off_on_grid(i, j, limit);
            if size <= limit {
                segments.push((i, j, size));
            } else if size > pieces.much_too_long() * limit {
                break;
            }
        }
    }
    // Smallest largest error of the segments so far from the start to every place.
    let mut best = vec![f64::INFINITY; last + 1];
    best[0] = 0.0;
    let mut before: Vec<Vec<usize>> = Vec::new();
    for _ in 0..count {
        let mut next = vec![f64::INFINITY; last + 1];
        let mut from = vec![0; last + 1];
        for &(i, j, size) in &segments {
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

fn largest<P: Pieces>(pieces: &P, nodes: &[Position]) -> f64 {
    nodes.windows(2).map(|p| pieces.off(p[0], p[1], f64::INFINITY)).fold(0.0, f64::max)
}

/// Lowers the error as long as segments near the given ones keep it.
fn settle<P: Pieces>(pieces: &P, nodes: &mut Vec<Position>, step: f64) {
    let hints = nodes.clone();
    let start = largest(pieces, nodes);
    let count = hints.len() - 1;
    let mut least = start;
    let mut trial = Vec::new();
    smallest_error(count, pieces.order(), start * (1.0 - 0.5 * CLOSE), 0.0, |e| {
        let reach = near(pieces, &hints, step, e, &mut trial);
        if reach.complete && e < least {
            least = e;
            core::mem::swap(nodes, &mut trial);
        }
        reach
    });
}

/// Segments that keep an error, each as long as it can be with its end within two places of a hint.
fn near<P: Pieces>(pieces: &P, hints: &[Position], step: f64, e: f64, nodes: &mut Vec<Position>) -> Reach {
    nodes.clear();
    nodes.push(0.0);
    let (last, count) = (pieces.last(), hints.len() - 1);
    // Pieces that an error asks for, by how far the last one is from keeping it.
    let needed = |done: usize, off: f64| done as f64 + libm::pow(off / e, 1.0 / pieces.order());
    let mut from = 0.0;
    for (i, hint) in hints[1..count].iter().enumerate() {
        let low = (hint - 2.0 * step).max(from + pieces.least());
        let high = (hint + 2.0 * step).min(last - pieces.least());
        if low > high {
            return Reach { complete: false, pieces: f64::NAN };
        }
        // How far below the limit a segment lies goes with its width.
        let room = |to: Position| (libm::pow(pieces.off(from, to, f64::INFINITY) / e, 1.0 / pieces.order())) - 1.0;
        // From the far end: a segment that is narrower may be worse.
        let place = |k: usize| low + (high - low) * k as f64 / WINDOW as f64;
        let Some(keeps) = (0..=WINDOW).rev().find(|&k| room(place(k)) <= 0.0) else {
            let off = pieces.off(from, low, f64::INFINITY);
            return Reach { complete: false, pieces: needed(i, off) + (count - 1 - i) as f64 };
        };
        from = if keeps == WINDOW { high } else { crossing(room, place(keeps), place(keeps + 1)) };
        nodes.push(from);
    }
    nodes.push(last);
    let off = pieces.off(from, last, f64::INFINITY);
    let complete = off <= e;
    let rest = if complete { needed(count - 1, off).min(count as f64) } else { needed(count - 1, off) };
    Reach { complete, pieces: rest }
}

/// The last place known at which a function that is negative at `low` and positive at `high` is still negative, near where
/// it changes its sign. Regula falsi, with halved weights where one end stands still (Illinois rule).
fn crossing(value: impl Fn(Position) -> f64, mut low: Position, mut high: Position) -> Position {
    let (mut below, mut above) = (value(low), value(high));
    let mut side = 0;
    for _ in 0..STEPS {
        if high - low <= CLOSE * CLOSE {
            break;
        }
        // A little towards the end that is wanted.
        let part = ((below + 0.3 * CLOSE) / (below - above)).clamp(0.02, 0.98);
        let middle = low + (high - low) * if part.is_nan() { 0.5 } else { part };
        let here = value(middle);
        if here <= 0.0 {
            (low, below) = (middle, here);
            above *= if side < 0 { 0.5 } else { 1.0 };
            side = -1;
            if here >= -CLOSE {
                break;
            }
        } else {
            (high, above) = (middle, here);
            below *= if side > 0 { 0.5 } else { 1.0 };
            side = 1;
        }
    }
    low
}

/// Moves every node to where the segments on both sides are equally far off, until the largest error stands still.
fn improve<P: Pieces>(pieces: &P, nodes: &mut [Position], step: f64) {
    let off = |from: Position, to: Position| pieces.off(from, to, f64::INFINITY);
    let mut before = largest(pieces, nodes);
    for pass in 0..PASSES {
        for k in 1..nodes.len() - 1 {
            // Forwards and backwards in turn: what a node gains reaches both ends soon.
            let i = if pass % 2 == 0 { k } else { nodes.len() - 1 - k };
            let (left, here, right) = (nodes[i - 1], nodes[i], nodes[i + 1]);
            let least = pieces.least();
            let (low, high) = ((here - 2.0 * step).max(left + least), (here + 2.0 * step).min(right - least));
            let was = off(left, here).max(off(here, right));
            // The widths with which both errors go.
            let unequal = |to: Position| {
                let (a, b) = (off(left, to), off(to, right));
                libm::pow(a / was, 1.0 / pieces.order()) - libm::pow(b / was, 1.0 / pieces.order())
            };
            let there = if unequal(low) >= 0.0 {
                low
            } else if unequal(high) <= 0.0 {
                high
            } else {
                crossing(unequal, low, high)
            };
            let worse = |to: Position| off(left, to).max(off(to, right));
            let mut least = worse(there);
            if least <= was {
                nodes[i] = there;
                continue;
            }
            // Errors that do not grow with the widths: downhill in ever smaller steps.
            let mut reach = step;
            least = was;
            for _ in 0..DESCENT {
                for to in [nodes[i] - reach, nodes[i] + reach] {
                    if to >= low && to <= high && worse(to) < least {
                        (nodes[i], least) = (to, worse(to));
                    }
                }
                reach *= 0.5;
            }
        }
        let now = largest(pieces, nodes);
        if now > before * (1.0 - STILL) {
            return;
        }
        before = now;
    }
}
