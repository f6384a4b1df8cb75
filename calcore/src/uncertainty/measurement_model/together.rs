//! Rows that are worked on together: same base, one uncertainty at all points, no degrees of freedom.

use crate::num::simd::widest;

/// Most rows that are worked on in one go.
const TOGETHER: usize = 4;

/// Points held in registers while the rows go by.
const LANES: usize = 16;

/// Rows that wait for their contributions (k b) u.
#[derive(Default)]
pub(super) struct Waiting<'a> {
    /// k and u.
    rows: [(f64, f64); TOGETHER],
    /// Where the contributions are written; empty where they are not wanted.
    places: [&'a mut [f64]; TOGETHER],
    count: usize,
}

impl<'a> Waiting<'a> {
    /// Takes in a row; those before it are worked on if there is no room for one more.
    pub(super) fn push(&mut self, row: (f64, f64), place: &'a mut [f64], base: &[f64], variance: &mut [f64]) {
        if self.count == TOGETHER {
            self.finish(base, variance);
        }
        self.rows[self.count] = row;
        self.places[self.count] = place;
        self.count += 1;
    }

    /// Writes the contributions of all that wait and adds their squares to the variance, one row after the other.
    pub(super) fn finish(&mut self, base: &[f64], variance: &mut [f64]) {
        let [a, b, c, d] = self.rows;
        match (self.count, std::mem::take(&mut self.places)) {
            (0, _) => {}
            (1, [e, ..]) => lines(base, [a], [e], variance),
            (2, [e, f, ..]) => lines(base, [a, b], [e, f], variance),
            (3, [e, f, g, _]) => lines(base, [a, b, c], [e, f, g], variance),
            (_, places) => lines(base, [a, b, c, d], places, variance),
        }
        self.count = 0;
    }
}

/// Contributions (k b) u, whose squares are added up.
#[inline(always)]
pub(super) fn lines<const N: usize>(
    base: &[f64],
    rows: [(f64, f64); N],
    mut places: [&mut [f64]; N],
    variance: &mut [f64],
) {
    widest(
        #[inline(always)]
        || {
            let (bases, last_base) = base.as_chunks::<LANES>();
            let (sums, last_sum) = variance.as_chunks_mut::<LANES>();
            for (i, (base, sum)) in bases.iter().zip(sums).enumerate() {
                let mut added = *sum;
                for ((k, u), place) in rows.iter().zip(&mut places) {
                    let contribution: [f64; LANES] = std::array::from_fn(
                        #[inline(always)]
                        |lane| (k * base[lane]) * u,
                    );
                    for (added, c) in added.iter_mut().zip(contribution) {
                        *added += c * c;
                    }
                    if let Some(place) = place.get_mut(i * LANES..(i + 1) * LANES) {
                        place.copy_from_slice(&contribution);
                    }
                }
                *sum = added;
            }
            let done = base.len() - last_base.len();
            for (i, (base, sum)) in last_base.iter().zip(last_sum).enumerate() {
                for ((k, u), place) in rows.iter().zip(&mut places) {
                    let contribution = (k * base) * u;
                    *sum += contribution * contribution;
                    if let Some(place) = place.get_mut(done + i) {
                        *place = contribution;
                    }
                }
            }
        },
    );
}
