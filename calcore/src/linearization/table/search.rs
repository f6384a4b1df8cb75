//! The smallest error that a number of pieces can keep: a bracket around it, closed by how far a trial got.

/// Relative width of the bracket at which the search ends: a tenth of what an optimum may be off by.
const CLOSE: f64 = 1e-4;

/// Trials after which the bracket as it stands is taken: halving alone would close it to 1e-12 of any start.
const TRIALS: usize = 200;

/// Trials with the same outcome after which the next one halves: guesses may creep, where an error somewhere in the curve
/// hardly changes how far the pieces go.
const SAME_SIDE: u32 = 5;

/// How much the power law, seen between two trials, may differ from the one of a piece.
const ODDEST: f64 = 4.0;

/// Part by which a first guess stays below: a trial that falls short tells more than one that reaches the end.
const SHY: f64 = 0.01;

/// Pieces whose mean length tells how many more would be needed.
pub(super) const LAST_PIECES: usize = 3;

/// What a trial showed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reach {
    /// Whether the pieces reached the end.
    pub(super) complete: bool,
    /// Pieces that this error would need in all, with a fraction, as far as the trial shows it.
    pub(super) pieces: f64,
}

/// Smallest error for which `lay(error)` reaches the end with `pieces` pieces; between `floor` (taken for zero) and whatever
/// it takes. The error of a piece goes with its width to the power `order`.
pub(super) fn smallest_error(
    pieces: usize,
    order: f64,
    start: f64,
    floor: f64,
    mut lay: impl FnMut(f64) -> Reach,
) -> f64 {
    if lay(floor).complete {
        return floor;
    }
    let (mut low, mut high) = (floor, f64::INFINITY);
    let mut e = if start > floor { start } else { 2.0 * floor };
    // What the last trials that fell short tell of how the number of pieces goes with the error.
    let mut short = Short { order, last: None, power: order };
    let (mut guessed, mut same_side, mut before) = (false, 0, None);
    for _ in 0..TRIALS {
        let reach = lay(e);
        let excess = reach.pieces / pieces as f64;
        if reach.complete {
            high = e;
        } else {
            low = e;
            short.add(e, excess);
        }
        if high <= low * (1.0 + CLOSE) {
            break;
        }
        same_side = if before == Some(reach.complete) { same_side + 1 } else { 1 };
        before = Some(reach.complete);
        let guess = match (reach.complete, short.last) {
            (false, _) => short.goal() * (1.0 + 0.3 * CLOSE),
            // The guess was right or just above: a little below it the bracket closes.
            (true, Some(_)) if guessed => e * (1.0 - 0.9 * CLOSE),
            (true, Some(_)) => f64::NAN,
            (true, None) => e * libm::pow(excess, order) * (1.0 - SHY),
        };
        guessed = !reach.complete;
        e = if guess > low && guess < high && same_side < SAME_SIDE {
            guess
        } else if high.is_finite() {
            // Not at once to the floor, which is far below.
            (low * high).sqrt().max(0.5 * high)
        } else {
            low * 2.0
        };
    }
    if high.is_finite() { high } else { low }
}

/// Trials that fell short: of them it is known how many pieces they lack.
struct Short {
    order: f64,
    /// Error of the last one, and the pieces that it needs as a multiple of those allowed.
    last: Option<(f64, f64)>,
    /// The power of that multiple with which the error goes.
    power: f64,
}

impl Short {
    fn add(&mut self, e: f64, excess: f64) {
        if let Some((e_before, before)) = self.last {
            let power = libm::log(e / e_before) / libm::log(before / excess);
            // Nothing is learned from two that are one, or from none.
            if power.is_finite() {
                self.power = power.clamp(self.order / ODDEST, self.order * ODDEST);
            }
        }
        self.last = Some((e, excess));
    }

    /// The error at which the pieces allowed are expected to do.
    fn goal(&self) -> f64 {
        self.last.map_or(f64::NAN, |(e, excess)| e * libm::pow(excess, self.power))
    }
}
