//! The tails of many values: gathered by two limits, put in order group by group, and joined.

/// Values of the sample from which the limits are guessed.
const SAMPLE: usize = 16_384;

/// By how many standard deviations of a count the limits lie further in than the wanted tails reach: once in a million
/// runs the guess is too far out, which costs time and nothing else.
const CAUTION: f64 = 5.0;

/// Share of the values in a tail from which on gathering is not worth it.
const MOST: f64 = 0.3;

/// Values worked on at a time.
const PIECE: usize = 512;

/// Both tails in order.
#[derive(Debug, Clone, Default)]
pub(super) struct Tail {
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Tail {
    /// The `outside` smallest and the `outside` largest values; none where fewer were gathered.
    pub(super) fn beyond(&self, outside: usize) -> Option<(&[f64], &[f64])> {
        Some((self.low.get(..outside)?, self.high.get(self.high.len().checked_sub(outside)?..)?))
    }
}

/// Tails of groups of equal size, in their order (and of the rest at the end), and of all values together.
#[derive(Debug)]
pub(super) struct Tails {
    pub groups: Vec<Tail>,
    pub whole: Tail,
}

/// Integers in the order of the numbers, and back; integers are put in order without branches.
#[inline(always)]
fn key(x: f64) -> i64 {
    mirrored(x.to_bits() as i64)
}

#[inline(always)]
fn mirrored(bits: i64) -> i64 {
    bits ^ ((bits >> 63) as u64 >> 1) as i64
}

fn in_order(mut keys: Vec<i64>) -> Vec<f64> {
    keys.sort_unstable();
    keys.into_iter().map(|key| f64::from_bits(mirrored(key) as u64)).collect()
}

/// Limits beyond which a little more than the wanted share of the values lies, to each side.
fn limits(values: &[f64], size: usize, share: f64) -> Option<(f64, f64)> {
    let step = values.len() / SAMPLE;
    if step == 0 {
        return None;
    }
    let mut sample: Vec<i64> = values.chunks_exact(step).map(|chunk| key(chunk[0])).collect();
    let count = sample.len() as f64;
    let taken = share + CAUTION * ((share / size as f64).sqrt() + (share / count).sqrt());
    if taken > MOST {
        return None;
    }
    let rank = (taken * count) as usize;
    let low = *sample.select_nth_unstable(rank).1;
    let rank = sample.len() - 1 - rank;
    let high = *sample.select_nth_unstable(rank).1;
    Some((f64::from_bits(mirrored(low) as u64), f64::from_bits(mirrored(high) as u64)))
}

/// Tails of one group, without branches.
fn one(values: &[f64], (low, high): (f64, f64)) -> Tail {
    let (mut below, mut above) = (Vec::new(), Vec::new());
    let mut kept = [[0; PIECE + 1]; 2];
    for piece in values.chunks(PIECE) {
        let (mut b, mut a) = (0, 0);
        for &x in piece {
            let key = key(x);
            kept[0][b] = key;
            kept[1][a] = key;
            b += usize::from(x <= low);
            a += usize::from(x >= high);
        }
        below.extend_from_slice(&kept[0][..b]);
        above.extend_from_slice(&kept[1][..a]);
    }
    Tail { low: in_order(below), high: in_order(above) }
}

/// Joins runs that are in order.
fn joined<'a>(runs: impl Iterator<Item = &'a [f64]>) -> Vec<f64> {
    let mut all: Vec<f64> = runs.flatten().copied().collect();
    // The stable sort looks for runs and merges them.
    all.sort_by(f64::total_cmp);
    all
}

/// Gathers the tails that hold a little more than the given share of the values, to each side; none where that is not
/// worth it. Whether it was enough is seen by [`Tail::beyond`].
pub(super) fn gather(values: &[f64], size: usize, share: f64, threads: usize) -> Option<Tails> {
    let limits = limits(values, size, share)?;
    let chunks: Vec<&[f64]> = values.chunks(size).collect();
    let mut groups = vec![Tail::default(); chunks.len()];
    let each = chunks.len().div_ceil(threads.max(1));
    std::thread::scope(|scope| {
        let mut parts = groups.chunks_mut(each).zip(chunks.chunks(each));
        let own = parts.next();
        for (groups, chunks) in parts {
            scope.spawn(move || fill(groups, chunks, limits));
        }
        if let Some((groups, chunks)) = own {
            fill(groups, chunks, limits);
        }
    });
    let low = || joined(groups.iter().map(|group| group.low.as_slice()));
    let high = || joined(groups.iter().map(|group| group.high.as_slice()));
    let whole = if threads > 1 {
        std::thread::scope(|scope| {
            let other = scope.spawn(low);
            let high = high();
            Some(Tail { low: other.join().ok()?, high })
        })?
    } else {
        Tail { low: low(), high: high() }
    };
    Some(Tails { groups, whole })
}

fn fill(groups: &mut [Tail], chunks: &[&[f64]], limits: (f64, f64)) {
    for (group, chunk) in groups.iter_mut().zip(chunks) {
        *group = one(chunk, limits);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_keep_the_order_and_come_back() {
        let ordered = [f64::NEG_INFINITY, -3.5, -1e-300, -0.0, 0.0, 5e-324, 1.0, 1e300];
        assert!(ordered.windows(2).all(|pair| key(pair[0]) < key(pair[1])));
        for x in ordered {
            assert_eq!(f64::from_bits(mirrored(key(x)) as u64).to_bits(), x.to_bits());
        }
    }

    #[test]
    fn tails_hold_the_smallest_and_the_largest() {
        // A permutation of 0 to 99 999: 7 and 100 000 have no common factor.
        let values: Vec<f64> = (0..100_000u32).map(|i| f64::from(i * 7 % 100_000)).collect();
        let found = gather(&values, 10_000, 0.05, 2).unwrap();
        let (low, high) = found.whole.beyond(5000).unwrap();
        assert!(low.iter().enumerate().all(|(i, x)| *x == i as f64));
        assert!(high.iter().enumerate().all(|(i, x)| *x == 95_000.0 + i as f64));
        assert_eq!(found.groups.len(), 10);
        assert!(found.groups[0].beyond(9000).is_none());
        assert!(gather(&values[..10_000], 1000, 0.05, 2).is_none(), "few values");
        assert!(gather(&values, 10_000, 0.5, 2).is_none(), "half of the values");
    }
}
