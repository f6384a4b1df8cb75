//! The key stream of ChaCha with 8 rounds, sixteen blocks at a time so that one vector lane belongs to each.
//!
//! The kept crate `rand_chacha` gives the same blocks (the tests compare with it) but one after the other and with
//! vectors of at most 256 bits: four times slower with wide vectors, which was a third of a whole Monte Carlo run.
//!
//! # Source
//! D. J. Bernstein, ChaCha, a variant of Salsa20 (2008): constants, quarter round, 64-bit counter and 64-bit nonce.

use crate::num::simd::widest;

/// Blocks worked on side by side.
const LANES: usize = 16;

/// 64-bit words of a batch of [`LANES`] blocks of 64 bytes.
pub(crate) const BATCH: usize = 8 * LANES;

/// "expand 32-byte k" as four little-endian words.
const CONSTANTS: [u32; 4] = [0x6170_7865, 0x3320_646e, 0x7962_2d32, 0x6b20_6574];

/// A stream of random words.
#[derive(Debug, Clone)]
pub(crate) struct KeyStream {
    /// Constants, key, counter (left at 0 here) and nonce.
    start: [u32; 16],
    /// Number of the next block.
    counter: u64,
}

#[inline(always)]
fn quarter_round(s: &mut [u32; 16], a: usize, b: usize, c: usize, d: usize) {
    s[a] = s[a].wrapping_add(s[b]);
    s[d] = (s[d] ^ s[a]).rotate_left(16);
    s[c] = s[c].wrapping_add(s[d]);
    s[b] = (s[b] ^ s[c]).rotate_left(12);
    s[a] = s[a].wrapping_add(s[b]);
    s[d] = (s[d] ^ s[a]).rotate_left(8);
    s[c] = s[c].wrapping_add(s[d]);
    s[b] = (s[b] ^ s[c]).rotate_left(7);
}

#[inline(always)]
fn double_round(s: &mut [u32; 16]) {
    quarter_round(s, 0, 4, 8, 12);
    quarter_round(s, 1, 5, 9, 13);
    quarter_round(s, 2, 6, 10, 14);
    quarter_round(s, 3, 7, 11, 15);
    quarter_round(s, 0, 5, 10, 15);
    quarter_round(s, 1, 6, 11, 12);
    quarter_round(s, 2, 7, 8, 13);
    quarter_round(s, 3, 4, 9, 14);
}

/// One batch. Word w of the block in lane l stands at `rows[w][l]`; two neighbouring lanes make a 64-bit word.
///
/// Plain indices: pairs that iterators hand out are not inlined into code for other instruction sets.
#[inline(always)]
#[allow(clippy::needless_range_loop)]
fn batch(start: &[u32; 16], counter: u64, out: &mut [u64; BATCH]) {
    let mut rows = [[0u32; LANES]; 16];
    let (mut low, mut high) = ([0u32; LANES], [0u32; LANES]);
    for lane in 0..LANES {
        let number = counter.wrapping_add(lane as u64);
        // The two halves of the counter.
        low[lane] = number as u32;
        high[lane] = (number >> 32) as u32;
    }
    // The rounds are written out so that this loop, and not one inside it, is the one that becomes vectors.
    for lane in 0..LANES {
        let mut first = *start;
        first[12] = low[lane];
        first[13] = high[lane];
        let mut s = first;
        double_round(&mut s);
        double_round(&mut s);
        double_round(&mut s);
        double_round(&mut s);
        for w in 0..16 {
            rows[w][lane] = s[w].wrapping_add(first[w]);
        }
    }
    for w in 0..16 {
        for k in 0..LANES / 2 {
            out[w * LANES / 2 + k] = u64::from(rows[w][2 * k]) | u64::from(rows[w][2 * k + 1]) << 32;
        }
    }
}

impl KeyStream {
    /// The stream whose key is the seed in its first eight bytes (little endian) and zero beyond, and whose nonce is
    /// the number.
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        let mut start = [0; 16];
        start[..4].copy_from_slice(&CONSTANTS);
        (start[4], start[5]) = (seed as u32, (seed >> 32) as u32);
        (start[14], start[15]) = (number as u32, (number >> 32) as u32);
        Self { start, counter: 0 }
    }

    /// The next words, a whole number of batches: word k of a batch joins 32-bit word k / 8 of its blocks 2 (k mod 8)
    /// (low half) and 2 (k mod 8) + 1.
    pub(crate) fn fill(&mut self, batches: &mut [[u64; BATCH]]) {
        let (start, mut counter) = (self.start, self.counter);
        widest(
            #[inline(always)]
            || {
                for words in batches.iter_mut() {
                    batch(&start, counter, words);
                    counter = counter.wrapping_add(LANES as u64);
                }
            },
        );
        self.counter = counter;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    #[test]
    fn the_generator_is_the_published_one() {
        // Key stream of ChaCha8 for a key and nonce of zeros: test vectors of draft-strombergson-chacha-test-vectors-01,
        // TC1, 256-bit key: 3e00ef2f 895f40d6 7f5bb8e8 1f09a5a1 in the first 16 bytes of block 0.
        let mut words = [[0; BATCH]];
        KeyStream::new(0, 0).fill(&mut words);
        for (k, bytes) in [[0x3e, 0, 0xef, 0x2f], [0x89, 0x5f, 0x40, 0xd6], [0x7f, 0x5b, 0xb8, 0xe8]].iter().enumerate()
        {
            assert_eq!(words[0][8 * k] as u32, u32::from_le_bytes(*bytes));
        }
    }

    #[test]
    fn batches_hold_the_blocks_of_the_kept_crate() {
        for (seed, number) in [(0u64, 0u64), (20_240_229, 3), (u64::MAX, u64::MAX - 5), (1 << 40, (123 << 20) | 9)] {
            let mut key = [0; 32];
            key[..8].copy_from_slice(&seed.to_le_bytes());
            let mut witness = ChaCha8Rng::from_seed(key);
            witness.set_stream(number);
            let mut stream = KeyStream::new(seed, number);
            // In two calls, the second of two batches.
            let mut words = [[0; BATCH]; 3];
            stream.fill(&mut words[..1]);
            stream.fill(&mut words[1..]);
            for batch in &words {
                for block in 0..LANES {
                    for w in 0..16 {
                        let word = batch[8 * w + block / 2] >> (32 * (block % 2));
                        assert_eq!(word as u32, witness.next_u32(), "{seed} {number}: block {block}, word {w}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_counter_carries() {
        let mut stream = KeyStream::new(7, 8);
        stream.counter = u64::from(u32::MAX) - 3;
        let mut words = [[0; BATCH]];
        stream.fill(&mut words);
        let mut key = [0; 32];
        key[0] = 7;
        let mut witness = ChaCha8Rng::from_seed(key);
        witness.set_stream(8);
        witness.set_word_pos(16 * (u128::from(u32::MAX) - 3));
        for block in 0..LANES {
            for w in 0..16 {
                let word = words[0][8 * w + block / 2] >> (32 * (block % 2));
                assert_eq!(word as u32, witness.next_u32());
            }
        }
    }
}
