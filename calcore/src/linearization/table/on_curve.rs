//! Straight pieces whose nodes lie on the curve: each goes as far as its chord keeps within the error.

use super::search::Reach;
use crate::linearization::samples::Samples;

/// A place on the curve: number of a sample, with a fraction.
pub(super) type Position = f64;

/// Lays at most `limit` chords, each as long as it can be, and gives the positions of the nodes.
///
/// Between samples the curve is taken for straight; with 64 samples a piece that is a part in 4000 of the error.
pub(super) fn lay(samples: &Samples, e: f64, limit: usize, nodes: &mut Vec<Position>) -> Reach {
    nodes.clear();
    nodes.push(0.0);
    let last = samples.last() as f64;
    let mut from = 0.0;
    for piece in 0..limit {
        let to = farthest(samples, from, e);
        if to >= last {
            let mean = if piece > 0 { from / piece as f64 } else { last };
            nodes.push(last);
            return Reach { complete: true, pieces: piece as f64 + ((last - from) / mean).min(1.0) };
        }
        from = to;
        nodes.push(from);
    }
    Reach { complete: false, pieces: limit as f64 * last / from.max(1e-3) }
}

/// The point at a position of the polygon through the samples.
#[inline]
pub(super) fn point(samples: &Samples, position: Position) -> (f64, f64) {
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
pub(super) fn temperature(samples: &Samples, position: Position) -> f64 {
    let i = (position as usize).min(samples.last());
    if i == samples.last() {
        return samples.t_c[i];
    }
    samples.t_c[i] + (samples.t_c[i + 1] - samples.t_c[i]) * (position - i as f64)
}
