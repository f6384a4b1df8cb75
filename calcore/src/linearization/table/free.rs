//! Straight pieces with free nodes and values: the fewest that stay inside a tube, and the narrowest tube for their number.

use super::sag::Runs;
use super::search::smallest_error;
use super::tube::Tube;
use crate::linearization::samples::Samples;

/// Nodes (argument and value) of the best pieces; a first guess of their error, and what is rounding.
pub(super) fn optimal(
    samples: &Samples,
    runs: &Runs,
    tube: &mut Tube,
    count: usize,
    guess: f64,
    floor: f64,
) -> Vec<(f64, f64)> {
    tube.restart();
    smallest_error(count, 2.0, guess, floor, |e| tube.lay(samples, runs, e, count));
    let (first, last) = (samples.x[0], samples.x[samples.last()]);
    let ([first_line, ..], [.., last_line]) = (tube.best(), tube.best()) else {
        return vec![(first, samples.y[0]), (last, samples.y[samples.last()])];
    };
    let mut nodes = vec![(first, first_line.at(first))];
    for pair in tube.best().windows(2) {
        let before = nodes[nodes.len() - 1].0;
        let x = pair[0].meets(&pair[1]);
        // Two lines that are one have no node between them.
        if x > before && x < last {
            nodes.push((x, pair[0].at(x)));
        }
    }
    nodes.push((last, last_line.at(last)));
    nodes
}
