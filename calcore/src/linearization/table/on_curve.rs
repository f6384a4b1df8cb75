//! Straight pieces whose nodes lie on the curve: each goes as far as its chord keeps within the error.

use super::few::{self, Pieces, Position};
use super::sag::Runs;
use super::search::{LAST_PIECES, Reach, smallest_error};
use crate::linearization::relation::Relation;
use crate::linearization::samples::Samples;

/// Up to this many chords over a curve with inflections all places of their nodes are compared. With more, the one chord
/// in which an inflection lies costs little.
const FEW: usize = 16;

/// Steps of the grid on which they are compared.
const PLACES: usize = 192;

/// Nodes (argument and value) of the best chords; a first guess of their error, and what is rounding.
pub(super) fn optimal(
    relation: &Relation<'_>,
    samples: &Samples,
    runs: &Runs,
    count: usize,
    guess: f64,
    floor: f64,
) -> Vec<(f64, f64)> {
    let (mut trial, mut positions, mut least) = (Vec::new(), vec![0.0, samples.last() as f64], f64::INFINITY);
    let e = smallest_error(count, 2.0, guess, floor, |e| {
        let reach = lay(samples, runs, e, count, &mut trial);
        if reach.complete && e < least {
            least = e;
            positions.clone_from(&trial);
        }
        reach
    });
    if (2..=FEW).contains(&count)
        && samples.have_inflection()
        && let Some((others, off)) = few::nodes(&Chords::new(samples), count, e)
        && off < e
    {
        positions = others;
    }
    positions.iter().map(|&position| relation.point(temperature(samples, position))).collect()
}

/// Chords between samples.
struct Chords<'a> {
    samples: &'a Samples,
    places: usize,
    /// The points at the places of the grid.
    points: Vec<(f64, f64)>,
}

impl<'a> Chords<'a> {
    fn new(samples: &'a Samples) -> Self {
        let places = PLACES.min(samples.last());
        let position = |i: usize| samples.last() as f64 * i as f64 / places as f64;
        Self { samples, places, points: (0..=places).map(|i| point(samples, position(i))).collect() }
    }
}

impl Pieces for Chords<'_> {
    fn last(&self) -> Position {
        self.samples.last() as f64
    }

    fn places(&self) -> usize {
        self.places
    }

    fn least(&self) -> Position {
        1.0
    }

    fn order(&self) -> f64 {
        2.0
    }

    fn much_too_long(&self) -> f64 {
        f64::INFINITY
    }

    fn off(&self, from: Position, to: Position, limit: f64) -> f64 {
        let samples = self.samples;
        let ((x0, y0), (x1, y1)) = (point(samples, from), point(samples, to));
        let slope = (y1 - y0) / (x1 - x0);
        let mut most = 0.0f64;
        for i in (from as usize + 1)..=(to as usize).min(samples.last()) {
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

    fn off_on_grid(&self, from: usize, to: usize, limit: f64) -> f64 {
        let ((x0, y0), (x1, y1)) = (self.points[from], self.points[to]);
        let slope = (y1 - y0) / (x1 - x0);
        let distance = |p: &(f64, f64)| (y0 + slope * (p.0 - x0) - p.1).abs();
        // A chord that is much too long shows it here.
        let middle = distance(&self.points[from.midpoint(to)]);
        if middle > limit {
            return middle;
        }
        self.points[from + 1..to].iter().map(distance).fold(middle, f64::max)
    }
}

/// Lays at most `limit` chords, each as long as it can be, and gives the positions of the nodes.
///
/// Between samples the curve is taken for straight; with 64 samples a piece that is a part in 4000 of the error.
fn lay(samples: &Samples, runs: &Runs, e: f64, limit: usize, nodes: &mut Vec<Position>) -> Reach {
    nodes.clear();
    nodes.push(0.0);
    let last = samples.last() as f64;
    let mut from = 0.0;
    for piece in 0..limit {
        let to = quick_farthest(samples, runs, from, e).unwrap_or_else(|| farthest(samples, from, e));
        if to >= last {
            let part = ((last - from) / length(nodes, last)).min(1.0);
            nodes.push(last);
            return Reach { complete: true, pieces: piece as f64 + part };
        }
        from = to;
        nodes.push(from);
    }
    Reach { complete: false, pieces: limit as f64 + (last - from) / length(nodes, last) }
}

/// Samples of a chord near the end: of the last few.
fn length(nodes: &[Position], last: f64) -> f64 {
    let few = (nodes.len() - 1).min(LAST_PIECES);
    let Some(begin) = nodes.get(nodes.len() - 1 - few).filter(|_| few > 0) else { return last };
    ((nodes[nodes.len() - 1] - begin) / few as f64).max(1e-3)
}

/// End of the longest chord from a position, where the curve bends one way only.
fn quick_farthest(samples: &Samples, runs: &Runs, from: Position, e: f64) -> Option<Position> {
    let (x0, y0) = point(samples, from);
    let found = runs.reach(samples, (x0, y0), from as usize + 1, e)?;
    // Where the line meets the polygon between the last two samples.
    let before = found.beyond - 1;
    let above = |i: usize| samples.y[i] - y0 - found.slope * (samples.x[i] - x0);
    let part = above(before) / (above(before) - above(found.beyond));
    Some(before as f64 + if part.is_nan() { 0.0 } else { part.clamp(0.0, 1.0) })
}

/// The point at a position of the polygon through the samples.
#[inline]
fn point(samples: &Samples, position: Position) -> (f64, f64) {
    let i = (position as usize).min(samples.last());
    let part = position - i as f64;
    if part <= 0.0 || i == samples.last() {
        return (samples.x[i], samples.y[i]);
    }
    let along = |v: &[f64]| v[i] + (v[i + 1] - v[i]) * part;
    (along(&samples.x), along(&samples.y))
}

/// End of the longest chord from a position that stays within `e` of every sample that it passes.
fn farthest(samples: &Samples, from: Position, e: f64) -> Position {
    let (x0, y0) = point(samples, from);
    let first = from as usize + 1;
    // The slopes of the lines from here that pass between the walls so far.
    let (mut flat, mut steep) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut best = first as f64;
    let mut inside = true;
    for j in first..samples.x.len() {
        let (dx, dy) = (samples.x[j] - x0, samples.y[j] - y0);
        if dx <= 0.0 {
            continue;
        }
        let over = 1.0 / dx;
        let chord = dy * over;
        let now_inside = chord >= flat && chord <= steep;
        if now_inside {
            best = j as f64;
        } else if inside && j > first {
            let limit = if chord < flat { flat } else { steep };
            let (px, py) = (samples.x[j - 1] - x0, samples.y[j - 1] - y0);
            let part = (limit * px - py) / ((dy - py) - limit * (dx - px));
            if part > 0.0 && part < 1.0 {
                best = (j - 1) as f64 + part;
            }
        }
        inside = now_inside;
        flat = flat.max((dy - e) * over);
        steep = steep.min((dy + e) * over);
        if flat > steep {
            break;
        }
    }
    best
}

/// Temperature at a position.
fn temperature(samples: &Samples, position: Position) -> f64 {
    let i = (position as usize).min(samples.last());
    if i == samples.last() {
        return samples.t_c[i];
    }
    samples.t_c[i] + (samples.t_c[i + 1] - samples.t_c[i]) * (position - i as f64)
}
