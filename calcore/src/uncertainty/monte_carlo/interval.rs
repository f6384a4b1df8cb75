//! Coverage intervals of a set of values: shortest and probabilistically symmetric.
//!
//! Only the tails beyond the intervals are put in order. [`of_groups`] gathers them by two limits guessed from a sample;
//! where the guess was wrong, or there are few values, [`intervals`] selects them.

use super::tails::{Tails, gather};
use std::cmp::Ordering;

/// Groups into which the values are cut to see how far the shortest interval scatters.
const GROUPS: usize = 10;

/// The two coverage intervals of some values.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Intervals {
    pub shortest: [f64; 2],
    pub symmetric: [f64; 2],
    pub symmetric_error: [f64; 2],
}

/// Ranks of JCGM 101:2008, 7.7: how many steps an interval spans, and where the symmetric one begins (from 0).
fn ranks(count: usize, probability: f64) -> (usize, usize) {
    // Counts stay far below 2^53.
    let exact = probability * count as f64;
    let span = ((exact + 0.5).floor() as usize).clamp(1, count - 1);
    let outside = count - span;
    // r counts from 1 in the guide: (M − q)/2, or the half above it.
    (span, outside.div_ceil(2) - 1)
}

fn order(a: &f64, b: &f64) -> Ordering {
    a.total_cmp(b)
}

/// The smallest and the largest `keep` of the values, in order; the values are rearranged.
fn tails(values: &mut [f64], keep: usize) -> (&[f64], &[f64]) {
    let count = values.len();
    if 2 * keep >= count {
        values.sort_unstable_by(order);
        return (&values[..keep], &values[count - keep..]);
    }
    values.select_nth_unstable_by(keep - 1, order);
    let (low, rest) = values.split_at_mut(keep);
    low.sort_unstable_by(order);
    let cut = rest.len() - keep;
    if cut > 0 {
        rest.select_nth_unstable_by(cut - 1, order);
    }
    let high = &mut rest[cut..];
    high.sort_unstable_by(order);
    (low, high)
}

/// Both intervals of at least two finite values, which are rearranged.
pub(crate) fn intervals(values: &mut [f64], probability: f64) -> Intervals {
    let count = values.len();
    let (span, _) = ranks(count, probability);
    let (low, high) = tails(values, count - span);
    between(low, high, count, probability)
}

/// Both intervals from the ordered tails, each as long as what an interval leaves out.
///
/// The standard error of the symmetric ends comes from the order statistics a standard deviation of the rank away, so
/// that nothing is assumed about the density.
fn between(low: &[f64], high: &[f64], count: usize, probability: f64) -> Intervals {
    let (span, start) = ranks(count, probability);
    let outside = count - span;
    let error = |tail: &[f64], rank: usize| {
        let share = (rank.min(outside - 1 - rank) + 1) as f64 / count as f64;
        let step = (count as f64 * share * (1.0 - share)).sqrt().round().max(1.0) as usize;
        let (below, above) = (rank.saturating_sub(step), (rank + step).min(outside - 1));
        if above > below { (tail[above] - tail[below]) * step as f64 / (above - below) as f64 } else { 0.0 }
    };
    Intervals {
        shortest: shortest(low, high),
        symmetric: [low[start], high[start]],
        symmetric_error: [error(low, start), error(high, start)],
    }
}

/// The shortest of the intervals from each value of the lower tail to its fellow in the upper one.
fn shortest(low: &[f64], high: &[f64]) -> [f64; 2] {
    let (mut best, mut found) = (f64::INFINITY, [low[0], high[0]]);
    for (&a, &b) in low.iter().zip(high) {
        if b - a < best {
            best = b - a;
            found = [a, b];
        }
    }
    found
}

/// Both intervals, and the standard error of the ends of the shortest one ([`shortest_error`]); the values stay as they
/// are. The number of threads has no influence on the result.
pub(crate) fn of_groups(values: &[f64], probability: f64, threads: usize) -> (Intervals, [f64; 2]) {
    let size = values.len() / GROUPS;
    let found = gather(values, size, 1.0 - probability, threads);
    if let Some(both) = found.and_then(|tails| from_tails(&tails, values.len(), size, probability)) {
        return both;
    }
    let mut scratch = Vec::new();
    let error = shortest_error(values, probability, &mut scratch);
    scratch.clear();
    scratch.extend_from_slice(values);
    (intervals(&mut scratch, probability), error)
}

/// None where the tails are shorter than what the intervals leave out.
fn from_tails(found: &Tails, count: usize, size: usize, probability: f64) -> Option<(Intervals, [f64; 2])> {
    let mut ends = [[0.0; GROUPS]; 2];
    let outside = size - ranks(size, probability).0;
    for (group, tail) in found.groups.iter().take(GROUPS).enumerate() {
        let (low, high) = tail.beyond(outside)?;
        [ends[0][group], ends[1][group]] = shortest(low, high);
    }
    let outside = count - ranks(count, probability).0;
    let (low, high) = found.whole.beyond(outside)?;
    Some((between(low, high, count, probability), error_of(&ends)))
}

/// Standard error of the ends of the shortest interval, from its scatter over groups of the values in their order of
/// drawing; the ends converge with the cube root of the number of values.
///
/// # Source
/// Cube-root law: Kim and Pollard, Ann. Statist. 18 (1990) 191.
pub(crate) fn shortest_error(values: &[f64], probability: f64, scratch: &mut Vec<f64>) -> [f64; 2] {
    let size = values.len() / GROUPS;
    if (size as f64) * (1.0 - probability) < 1.0 {
        return [f64::INFINITY; 2];
    }
    let mut ends = [[0.0; GROUPS]; 2];
    for (group, chunk) in values.chunks_exact(size).take(GROUPS).enumerate() {
        scratch.clear();
        scratch.extend_from_slice(chunk);
        let [low, high] = intervals(scratch, probability).shortest;
        ends[0][group] = low;
        ends[1][group] = high;
    }
    error_of(&ends)
}

/// Standard error of the ends of the whole from those of the groups.
fn error_of(ends: &[[f64; GROUPS]; 2]) -> [f64; 2] {
    let groups = GROUPS as f64;
    ends.map(|e| {
        let mean = e.iter().sum::<f64>() / groups;
        let variance = e.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (groups - 1.0);
        variance.sqrt() / libm::cbrt(groups)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_of_the_guide() {
        // M = 100, p = 0.95: q = 95, M − q = 5, r = 3 (from 1): y(3) to y(98).
        let mut values: Vec<f64> = (1..=100).map(f64::from).collect();
        let both = intervals(&mut values, 0.95);
        assert_eq!(both.symmetric, [3.0, 98.0]);
        assert_eq!(both.shortest, [1.0, 96.0]);
        // M = 200, p = 0.95: q = 190, M − q = 10, r = 5.
        let mut values: Vec<f64> = (1..=200).rev().map(f64::from).collect();
        assert_eq!(intervals(&mut values, 0.95).symmetric, [5.0, 195.0]);
    }

    #[test]
    fn shortest_lies_where_the_values_are_dense() {
        // Squares: dense near the smallest; worked out by looking at all ten windows of 90 steps.
        let mut values: Vec<f64> = (0..100).map(|i| f64::from(i * i)).collect();
        assert_eq!(intervals(&mut values, 0.9).shortest, [0.0, 8100.0]);
        let mut two = [1.0, 2.0];
        assert_eq!(intervals(&mut two, 0.5).shortest, [1.0, 2.0]);
    }

    #[test]
    fn gathered_tails_give_what_selection_gives() {
        // Smooth, with many equal values, and all equal (where the guess of the limits is no use); a remainder beyond
        // ten equal groups.
        let mut state = 99u64;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / 9_007_199_254_740_992.0 - 0.5
        };
        let smooth: Vec<f64> = (0..200_007).map(|_| next() * next() + next()).collect();
        let coarse: Vec<f64> = smooth.iter().map(|x| (x * 40.0).round()).collect();
        for values in [smooth, coarse, vec![-0.0; 150_000]] {
            for p in [0.5, 0.9, 0.95, 0.999] {
                let mut scratch = Vec::new();
                let error = shortest_error(&values, p, &mut scratch);
                let want = intervals(&mut values.clone(), p);
                for threads in [1, 3] {
                    let (got, got_error) = of_groups(&values, p, threads);
                    assert_eq!(got.shortest, want.shortest, "{p}");
                    assert_eq!(got.symmetric, want.symmetric);
                    assert_eq!(got.symmetric_error, want.symmetric_error);
                    assert_eq!(got_error, error);
                }
            }
        }
    }

    #[test]
    fn partial_sorting_changes_nothing() {
        let mut state = 12_345u64;
        let values: Vec<f64> = (0..5000)
            .map(|_| {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                (state >> 40) as f64
            })
            .collect();
        for p in [0.2, 0.5, 0.9, 0.95, 0.999] {
            let (span, start) = ranks(values.len(), p);
            let mut sorted = values.clone();
            sorted.sort_unstable_by(order);
            let best = sorted.windows(span + 1).map(|w| w[span] - w[0]).fold(f64::INFINITY, f64::min);
            let got = intervals(&mut values.clone(), p);
            assert_eq!(got.shortest[1] - got.shortest[0], best);
            assert_eq!(got.symmetric, [sorted[start], sorted[start + span]]);
        }
    }
}
