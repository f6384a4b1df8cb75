//! The straight pieces of least number inside the tube y ± e: continuous, with free nodes and values.
//!
//! A piece goes on until no straight line stays inside the tube any more. The line that gets farthest touches one wall,
//! then the other, and leaves through the first; what comes next may leave that line anywhere between its last touch and
//! the place where it leaves the tube (the window). A line that crosses the window passes on one side of the last touch
//! and on the other side of the exit: so the next piece has the touched wall from the touch on, and the wall of the exit
//! from the exit on, as its limits. Taking every piece as far as it goes needs the least number of pieces.
//!
//! # Source
//! H. Imai, M. Iri, J. Inf. Process. 9 (1986) 159-162 (least number of pieces inside a tube); L. J. Guibas,
//! J. E. Hershberger, J. S. B. Mitchell, J. S. Snoeyink, Int. J. Comput. Geom. Appl. 3 (1993) 383-415 (windows);
//! J. O'Rourke, Commun. ACM 24 (1981) 574-578 (limits of the lines between two walls, one point after the other).

use super::sag::Runs;
use super::search::{LAST_PIECES, Reach};
use crate::linearization::samples::Samples;

/// A corner of a wall.
#[derive(Debug, Clone, Copy, Default)]
struct Corner {
    x: f64,
    y: f64,
    /// Number of the sample; that of the next one for an exit between two samples.
    sample: usize,
    is_exit: bool,
}

/// A line by two of its points.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Line {
    left: Corner,
    right: Corner,
}

impl Line {
    #[inline(always)]
    fn slope(&self) -> f64 {
        (self.right.y - self.left.y) / (self.right.x - self.left.x)
    }

    #[inline(always)]
    pub(super) fn at(&self, x: f64) -> f64 {
        self.left.y + self.slope() * (x - self.left.x)
    }

    /// Height of a point above the line, times a positive number.
    #[inline(always)]
    fn above(&self, p: &Corner) -> f64 {
        (p.y - self.left.y) * (self.right.x - self.left.x) - (self.right.y - self.left.y) * (p.x - self.left.x)
    }

    /// Argument at which two lines meet; NaN for parallel ones.
    pub(super) fn meets(&self, other: &Self) -> f64 {
        let (a, b) = (self.slope(), other.slope());
        // From a point of one line, so that little is lost by cancellation.
        let x = other.left.x;
        x + (other.left.y - self.at(x)) / (a - b)
    }
}

/// The corners of one wall that can still be touched, and where the wall begins.
#[derive(Debug, Default)]
struct Wall {
    corners: Vec<Corner>,
    head: usize,
}

impl Wall {
    fn clear(&mut self) {
        self.corners.clear();
        self.head = 0;
    }

    /// Adds a corner; `sign` is 1 for the wall above (its corners that hang lowest count) and −1 for the one below.
    #[inline(always)]
    fn push(&mut self, p: Corner, sign: f64) {
        while self.corners.len() >= self.head + 2 {
            let n = self.corners.len();
            let (a, b) = (self.corners[n - 2], self.corners[n - 1]);
            let turn = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
            if sign * turn > 0.0 {
                break;
            }
            self.corners.pop();
        }
        self.corners.push(p);
    }

    /// The corner from which the line to `p` is flattest (`sign` 1) or steepest upwards (−1); what lies before it can no
    /// longer be touched.
    #[inline(always)]
    fn touch(&mut self, p: &Corner, sign: f64) -> Corner {
        while self.head + 1 < self.corners.len() {
            let (a, b) = (self.corners[self.head], self.corners[self.head + 1]);
            if b.x >= p.x {
                break;
            }
            let turn = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
            if sign * turn > 0.0 {
                break;
            }
            self.head += 1;
        }
        self.corners[self.head]
    }

    fn has_before(&self, x: f64) -> bool {
        self.corners.get(self.head).is_some_and(|corner| corner.x < x)
    }
}

/// Where a wall begins for a piece.
#[derive(Debug, Clone, Copy, Default)]
struct Start {
    exit: Option<Corner>,
    sample: usize,
}

impl Start {
    fn from(corner: Corner) -> Self {
        Self { exit: corner.is_exit.then_some(corner), sample: corner.sample }
    }
}

/// Memory of the search, kept from one trial to the next.
#[derive(Debug, Default)]
pub(super) struct Tube {
    upper: Wall,
    lower: Wall,
    /// The pieces of the last trial.
    lines: Vec<Line>,
    /// Where they end, in samples.
    ends: Vec<f64>,
    /// The smallest error that reached the end, and its pieces.
    best: Option<(f64, Vec<Line>)>,
}

enum Piece {
    End(Line),
    Exit { line: Line, upper: Start, lower: Start, position: f64 },
}

impl Tube {
    /// Forgets the pieces of another number of them.
    pub(super) fn restart(&mut self) {
        self.best = None;
    }

    /// The pieces of the smallest error that reached the end.
    pub(super) fn best(&self) -> &[Line] {
        self.best.as_ref().map_or(&[], |(_, lines)| lines)
    }

    /// Lays at most `limit` pieces into the tube of half-width `e`.
    pub(super) fn lay(&mut self, samples: &Samples, runs: &Runs, e: f64, limit: usize) -> Reach {
        self.lines.clear();
        self.ends.clear();
        let (mut upper, mut lower) = (Start::default(), Start::default());
        let last = samples.last() as f64;
        let mut position = 0.0;
        while self.lines.len() < limit {
            let quick = quick_piece(samples, runs, e, upper, lower);
            match quick.unwrap_or_else(|| self.piece(samples, e, upper, lower)) {
                Piece::End(line) => {
                    let before = self.lines.len() as f64;
                    self.lines.push(line);
                    if self.best.as_ref().is_none_or(|(least, _)| e < *least) {
                        self.best = Some((e, self.lines.clone()));
                    }
                    return Reach { complete: true, pieces: before + ((last - position) / self.length(last)).min(1.0) };
                }
                Piece::Exit { line, upper: next_upper, lower: next_lower, position: reached } => {
                    self.lines.push(line);
                    self.ends.push(reached);
                    (upper, lower, position) = (next_upper, next_lower, reached);
                }
            }
        }
        Reach { complete: false, pieces: limit as f64 + (last - position) / self.length(last) }
    }

    /// Samples of a piece near the end: of the last few that are done.
    fn length(&self, last: f64) -> f64 {
        let Some(end) = self.ends.last() else { return last };
        let few = self.ends.len().min(LAST_PIECES);
        let begin = if self.ends.len() > few { self.ends[self.ends.len() - 1 - few] } else { 0.0 };
        ((end - begin) / few as f64).max(1e-3)
    }

    fn piece(&mut self, samples: &Samples, e: f64, upper: Start, lower: Start) -> Piece {
        self.upper.clear();
        self.lower.clear();
        // The flattest and the steepest line that pass.
        let (mut flat, mut steep): (Option<Line>, Option<Line>) = (None, None);
        for k in upper.sample.min(lower.sample)..samples.x.len() {
            if k >= upper.sample {
                if let Some(exit) = upper.exit.filter(|_| k == upper.sample) {
                    // Nothing can fail here: the window lies between the limits.
                    self.limit_from_above(&exit, &mut steep);
                    self.upper.push(exit, 1.0);
                }
                let p = Corner { x: samples.x[k], y: samples.y[k] + e, sample: k, is_exit: false };
                if let Some(line) = flat.filter(|line| line.above(&p) < 0.0) {
                    let exit = leaves(&line, samples, e, k);
                    return Piece::Exit {
                        line,
                        upper: Start { exit: Some(exit), sample: k },
                        lower: Start::from(line.right),
                        position: position(samples, &exit),
                    };
                }
                self.limit_from_above(&p, &mut steep);
                self.upper.push(p, 1.0);
            }
            if k >= lower.sample {
                if let Some(exit) = lower.exit.filter(|_| k == lower.sample) {
                    self.limit_from_below(&exit, &mut flat);
                    self.lower.push(exit, -1.0);
                }
                let p = Corner { x: samples.x[k], y: samples.y[k] - e, sample: k, is_exit: false };
                if let Some(line) = steep.filter(|line| line.above(&p) > 0.0) {
                    let exit = leaves(&line, samples, -e, k);
                    return Piece::Exit {
                        line,
                        upper: Start::from(line.right),
                        lower: Start { exit: Some(exit), sample: k },
                        position: position(samples, &exit),
                    };
                }
                self.limit_from_below(&p, &mut flat);
                self.lower.push(p, -1.0);
            }
        }
        Piece::End(between(flat, steep, samples))
    }

    /// Lowers the steepest line to a new corner of the upper wall.
    #[inline(always)]
    fn limit_from_above(&mut self, p: &Corner, steep: &mut Option<Line>) {
        if self.lower.has_before(p.x) && steep.is_none_or(|line| line.above(p) < 0.0) {
            *steep = Some(Line { left: self.lower.touch(p, 1.0), right: *p });
        }
    }

    /// Raises the flattest line to a new corner of the lower wall.
    #[inline(always)]
    fn limit_from_below(&mut self, p: &Corner, flat: &mut Option<Line>) {
        if self.upper.has_before(p.x) && flat.is_none_or(|line| line.above(p) > 0.0) {
            *flat = Some(Line { left: self.upper.touch(p, -1.0), right: *p });
        }
    }
}

/// A piece beside samples that bend one way only, which begins on a wall.
fn quick_piece(samples: &Samples, runs: &Runs, e: f64, upper: Start, lower: Start) -> Option<Piece> {
    // The point of the curve from whose wall the piece begins.
    let (from, y) = match (upper.exit, lower.exit) {
        (Some(exit), None) => (exit, exit.y - e),
        (None, Some(exit)) => (exit, exit.y + e),
        _ => return None,
    };
    let found = runs.reach(samples, (from.x, y), from.sample, 2.0 * e)?;
    // The piece must begin on the nearer wall: the lower one where the farther one lies above.
    if (found.sign > 0.0) != lower.exit.is_some() {
        return None;
    }
    let corner = |i: usize| Corner { x: samples.x[i], y: samples.y[i] + found.sign * e, sample: i, is_exit: false };
    let line = Line { left: from, right: corner(found.touch) };
    let exit = leaves(&line, samples, -found.sign * e, found.beyond);
    let (touched, left) = (Start::from(line.right), Start { exit: Some(exit), sample: found.beyond });
    let (upper, lower) = if found.sign > 0.0 { (touched, left) } else { (left, touched) };
    Some(Piece::Exit { line, upper, lower, position: position(samples, &exit) })
}

/// Where a line leaves the tube between two samples.
fn leaves(line: &Line, samples: &Samples, e: f64, k: usize) -> Corner {
    let before = k.saturating_sub(1);
    let (x0, x1) = (samples.x[before], samples.x[k]);
    let (y0, y1) = (samples.y[before] + e, samples.y[k] + e);
    let (g0, g1) = (line.at(x0) - y0, line.at(x1) - y1);
    // NaN for a line along the wall: it leaves at the end.
    let part = (g0 / (g0 - g1)).clamp(0.0, 1.0);
    let part = if part.is_nan() { 1.0 } else { part };
    let x = (x0 + (x1 - x0) * part).max(line.right.x);
    Corner { x, y: line.at(x), sample: k, is_exit: true }
}

/// Number of the sample, with its fraction.
fn position(samples: &Samples, exit: &Corner) -> f64 {
    let before = exit.sample.saturating_sub(1);
    let width = samples.x[exit.sample] - samples.x[before];
    before as f64 + if width > 0.0 { (exit.x - samples.x[before]) / width } else { 1.0 }
}

/// The line in the middle of those that reach the end.
fn between(flat: Option<Line>, steep: Option<Line>, samples: &Samples) -> Line {
    let (Some(flat), Some(steep)) = (flat, steep) else {
        return flat.or(steep).unwrap_or_else(|| {
            // One sample only: flat.
            let (x, y) = (samples.x[samples.last()], samples.y[samples.last()]);
            let corner = |x| Corner { x, y, ..Corner::default() };
            Line { left: corner(x - 1.0), right: corner(x) }
        });
    };
    let pivot = flat.meets(&steep);
    let x = if pivot.is_finite() { pivot } else { flat.left.x };
    let y = flat.at(x);
    let slope = 0.5 * (flat.slope() + steep.slope());
    let length = samples.x[samples.last()] - samples.x[0];
    let corner = |x, y| Corner { x, y, ..Corner::default() };
    Line { left: corner(x, y), right: corner(x + length, y + slope * length) }
}
