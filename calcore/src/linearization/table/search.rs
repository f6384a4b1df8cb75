//! The smallest error that a number of pieces can keep: a bracket around it, closed by how far a trial got.

/// Relative width of the bracket at which the search ends: a tenth of what an optimum may be off by.
const CLOSE: f64 = 1e-4;

/// Trials after which the bracket as it stands is taken: halving alone would close it to 1e-12 of any start.
const TRIALS: usize = 200;

/// Trials with the same outcome after which the next one halves: how far the last piece would go on is not known, and a
/// guess from that may creep.
const SAME_SIDE: u32 = 3;

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
    let (mut same_side, mut last_complete) = (0, None);
    for _ in 0..TRIALS {
        let reach = lay(e);
        if reach.complete {
            high = e;
        } else {
            low = e;
        }
        same_side = if last_complete == Some(reach.complete) { same_side + 1 } else { 1 };
        last_complete = Some(reach.complete);
        if high <= low * (1.0 + CLOSE) {
            break;
        }
        // A little to the other side of the guess, so that the bracket closes from both.
        let nudge = if reach.complete { 1.0 - 0.3 * CLOSE } else { 1.0 + 0.3 * CLOSE };
        let guess = e * libm::pow(reach.pieces / pieces as f64, order) * nudge;
        e = if guess > low && guess < high && same_side < SAME_SIDE {
            guess
        } else if high.is_finite() {
            // Not at once to the floor, which is far below.
            (low * high).sqrt().max(0.5 * high)
        } else {
            low * 4.0
        };
    }
    if high.is_finite() { high } else { low }
}
