//! Segments laid one after the other, each as wide as an error allows.
//!
//! Which is best as long as a narrower segment has a smaller error. Where the derivative that makes the error changes its
//! sign (a turn), a segment around the turn is wide, and one that begins a little earlier may reach farther: there the
//! segment before is made narrower, which it may always be.

use super::bent::{Bent, Fitted};
use super::search::Reach;

/// Trials for the width of a segment.
const WIDTH_STEPS: usize = 60;

/// Relative width that is close enough.
const WIDTH_CLOSE: f64 = 2e-5;

/// Looks for turns for each segment, and at least.
const LOOKS_A_SEGMENT: usize = 2;
const LEAST_LOOKS: usize = 64;

/// Errors below this times what is rounding have no form of their own.
const ABOVE_ROUNDING: f64 = 1e2;

/// Widths beyond the first one that keeps the error that are tried near a turn, where a wider one may keep it again.
const WIDER: [f64; 3] = [1.12, 1.4, 1.8];

/// Earlier beginnings that are tried near a turn, over the width of the segment before.
const BEGINNINGS: u32 = 8;

/// Steps towards the best one.
const BEGINNING_STEPS: usize = 4;

/// Segments laid one after the other.
pub(super) struct March<'a> {
    bent: &'a Bent<'a>,
    /// Temperatures at which what makes the error changes its sign, ascending.
    turns: Vec<f64>,
    nodes: Vec<f64>,
    /// Widths of the last trial: good first guesses for the next one.
    widths: Vec<f64>,
    /// The smallest error that reached the end, and its nodes.
    best: Option<(f64, Vec<f64>)>,
}

impl<'a> March<'a> {
    pub(super) fn new(bent: &'a Bent<'a>, count: usize, floor: f64) -> Self {
        let even = (bent.relation.high_c - bent.relation.low_c) / count as f64;
        let turns = turns(bent, (LOOKS_A_SEGMENT * count).max(LEAST_LOOKS), floor);
        Self { bent, turns, nodes: Vec::new(), widths: vec![even; count], best: None }
    }

    /// Of the error: some of the largest one of segments of equal width.
    pub(super) fn first_guess(&self) -> f64 {
        let (low_c, high_c) = (self.bent.relation.low_c, self.bent.relation.high_c);
        let error = |(i, even): (usize, &f64)| {
            let from_c = low_c + even * i as f64;
            self.bent.fit(from_c, (from_c + even).min(high_c)).error()
        };
        0.3 * self.widths.iter().enumerate().map(error).fold(0.0, f64::max)
    }

    /// The nodes of the smallest error that reached the end. (To lay it again would begin with other widths, and could stop
    /// short of the end.)
    pub(super) fn into_nodes(self) -> Vec<f64> {
        let ends = || vec![self.bent.relation.low_c, self.bent.relation.high_c];
        self.best.map_or_else(ends, |(_, nodes)| nodes)
    }

    /// Lays at most `limit` segments.
    pub(super) fn lay(&mut self, e: f64, limit: usize) -> Reach {
        let (low_c, high_c) = (self.bent.relation.low_c, self.bent.relation.high_c);
        let order = self.bent.order();
        self.nodes.clear();
        self.nodes.push(low_c);
        // How much wider the segment before is than in the last trial.
        let mut wider = 1.0;
        for piece in 0..limit {
            let before = self.widths[piece];
            let to = self.step(e, wider * before, piece);
            let from = self.nodes[piece];
            if to >= high_c {
                self.nodes.push(high_c);
                if self.best.as_ref().is_none_or(|(least, _)| e < *least) {
                    self.best = Some((e, self.nodes.clone()));
                }
                // The last segment would go on; how far is not known, but its error is.
                let rest = self.bent.fit(from, high_c).error();
                return Reach { complete: true, pieces: piece as f64 + libm::pow((rest / e).min(1.0), 1.0 / order) };
            }
            self.widths[piece] = to - from;
            wider = self.widths[piece] / before;
            self.nodes.push(to);
        }
        // What is left, in widths of the last segment.
        let rest = self.bent.fit(self.nodes[limit], high_c).error();
        Reach { complete: false, pieces: limit as f64 + libm::pow(rest / e, 1.0 / order).max(1e-6) }
    }

    /// End of the segment after the last node; near a turn that node may move back.
    fn step(&mut self, e: f64, guess: f64, piece: usize) -> f64 {
        let from = self.nodes[piece];
        let to = self.widest(|to| self.bent.fit(from, to).error(), e, from, guess);
        let before = if piece > 0 { self.nodes[piece - 1] } else { from };
        if !self.is_near_a_turn(before, to + WIDER[0] * (to - from)) {
            return to;
        }
        let end = |begin: f64| self.farthest(e, begin, to - begin);
        let mut best = (from, end(from));
        if piece == 0 || best.1 >= self.bent.relation.high_c {
            return best.1;
        }
        let see = |begin: f64, best: &mut (f64, f64)| {
            let to = end(begin);
            // A narrower segment has a smaller error, unless a turn lies in it.
            if to > best.1 && self.bent.fit_finely(before, begin).error() <= e {
                *best = (begin, to);
            }
        };
        let mut step = (from - before) / f64::from(BEGINNINGS);
        for i in 1..BEGINNINGS {
            see(from - step * f64::from(i), &mut best);
        }
        for _ in 0..BEGINNING_STEPS {
            step *= 0.5;
            let middle = best.0;
            see(middle - step, &mut best);
            if middle + step < from {
                see(middle + step, &mut best);
            }
        }
        self.nodes[piece] = best.0;
        best.1
    }

    fn is_near_a_turn(&self, low_c: f64, high_c: f64) -> bool {
        let next = self.turns.partition_point(|turn| *turn < low_c);
        self.turns.get(next).is_some_and(|turn| *turn <= high_c)
    }

    /// As [`March::widest`], where the error may have many extremes and wider segments may keep it again.
    fn farthest(&self, e: f64, from: f64, guess: f64) -> f64 {
        let error = |to: f64| self.bent.fit_finely(from, to).error();
        let (to, high_c) = (self.widest(error, e, from, guess), self.bent.relation.high_c);
        let wider = WIDER.iter().rev().map(|wider| from + wider * (to - from));
        let again = wider.filter(|to| *to <= high_c).find(|to| error(*to) <= e);
        again.map_or(to, |again| self.widest(error, e, from, again - from).max(again))
    }

    /// End of the widest segment from a temperature whose error to there keeps `e`, near a first guess of its width.
    fn widest(&self, error_to: impl Fn(f64) -> f64, e: f64, from: f64, guess: f64) -> f64 {
        let high_c = self.bent.relation.high_c;
        let all = high_c - from;
        let (mut low, mut high) = (0.0, f64::INFINITY);
        let mut w = guess.min(all);
        for _ in 0..WIDTH_STEPS {
            let error = error_to(if w < all { from + w } else { high_c });
            if error <= e {
                if w >= all {
                    return high_c;
                }
                low = w;
            } else {
                high = w;
            }
            if high <= low * (1.0 + WIDTH_CLOSE) {
                break;
            }
            let nudge = if error <= e { 1.0 + 0.3 * WIDTH_CLOSE } else { 1.0 - 0.3 * WIDTH_CLOSE };
            let guess = w * libm::pow(e / error, 1.0 / self.bent.order()) * nudge;
            w = if guess > low && guess < high {
                guess.min(all).min(if low > 0.0 { 4.0 * low } else { all })
            } else if high.is_finite() {
                0.5 * (low + high)
            } else {
                (2.0 * low).min(all)
            };
        }
        // Where no width keeps it, go on by the smallest one tried: the trial fails by the number of segments.
        from + if low > 0.0 { low } else { high }
    }
}

/// Temperatures between which the error of short segments changes its form, and the joints of the curve.
fn turns(bent: &Bent<'_>, looks: usize, floor: f64) -> Vec<f64> {
    let (low_c, high_c) = (bent.relation.low_c, bent.relation.high_c);
    let edge = |i: usize| if i == looks { high_c } else { low_c + (high_c - low_c) * i as f64 / looks as f64 };
    let mut turns = Vec::new();
    let mut before: Option<Fitted> = None;
    for i in 0..looks {
        let fitted = bent.fit(edge(i), edge(i + 1));
        if fitted.error() <= ABOVE_ROUNDING * floor {
            continue;
        }
        if before.as_ref().is_some_and(|before| !fitted.is_like(before, bent.shape)) {
            turns.push(edge(i));
        }
        before = Some(fitted);
    }
    let mut start = low_c;
    while let Some(joint) = bent.relation.curve.joint_from(start).filter(|joint| joint.below_c < high_c) {
        turns.push(joint.below_c);
        start = joint.above_c;
    }
    turns.sort_by(f64::total_cmp);
    turns
}
