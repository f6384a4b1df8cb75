//! Random numbers that are the same everywhere and for ever: a generator fixed by name ([`KeyStream`]) and our own maps
//! from its words.
//!
//! The top 52 bits of a word give a uniform number in the middle of one of 2⁵² equal cells, so that neither 0 nor 1
//! occurs; the other maps are below, made of the series of [`crate::num::series`]. A map takes its words in pieces of at
//! most [`BLOCK`] draws, each from whole batches of the generator.
//!
//! # Source
//! Box and Muller, Ann. Math. Stat. 29 (1958) 610; Bailey, Math. Comp. 62 (1994) 779; Marsaglia and Tsang, ACM Trans. Math.
//! Softw. 26 (2000) 363.

use crate::num::chacha::{BATCH, KeyStream};
use crate::num::series::{circle, exp_minus_1, minus_ln, uniform};
use crate::num::simd::{BLOCK, widest};

/// One stream of random numbers.
pub(crate) struct Stream {
    words: KeyStream,
    bits: [[u64; BATCH]; 2 * BLOCK / BATCH],
}

/// Degrees of freedom below which the square of a Student draw could overflow: there it is taken apart.
const STUDENT_SAFE: f64 = 0.25;

/// Where draws are put: `offset` + `factor` × draw.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub offset: f64,
    pub factor: f64,
}

impl Place {
    /// The draws as they are.
    pub(crate) const STANDARD: Self = Self { offset: 0.0, factor: 1.0 };

    #[inline(always)]
    fn of(self, draw: f64) -> f64 {
        self.offset + self.factor * draw
    }
}

/// Two independent normal draws.
#[inline(always)]
fn pair_of_normals(place: Place, radius: u64, angle: u64) -> (f64, f64) {
    let r = (2.0 * minus_ln(uniform(radius))).sqrt();
    let (a, b) = circle(angle);
    (place.of(r * a), place.of(r * b))
}

impl Stream {
    /// The stream of that number that belongs to the seed.
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        Self { words: KeyStream::new(seed, number), bits: [[0; BATCH]; 2 * BLOCK / BATCH] }
    }

    /// The next words, from whole batches; as many as there is room for, or fewer.
    #[inline(always)]
    fn words(&mut self, count: usize) -> &[u64] {
        let batches = count.div_ceil(BATCH);
        self.words.fill(&mut self.bits[..batches]);
        &self.bits.as_flattened()[..count]
    }

    /// Hands out the slice in pieces of at most a block, each with as many random words per element as asked for.
    #[inline(always)]
    fn pieces(&mut self, out: &mut [f64], words: usize, map: impl Fn(&[u64], &mut [f64])) {
        for piece in out.chunks_mut(BLOCK) {
            let bits = self.words(words * piece.len());
            widest(
                #[inline(always)]
                || map(bits, piece),
            );
        }
    }

    /// A word for each draw.
    #[inline(always)]
    fn one_by_one(&mut self, place: Place, out: &mut [f64], map: impl Fn(u64) -> f64) {
        self.pieces(
            out,
            1,
            #[inline(always)]
            |bits, piece| {
                for (y, &b) in piece.iter_mut().zip(bits) {
                    *y = place.of(map(b));
                }
            },
        );
    }

    /// Uniform numbers in (0, 1).
    pub(crate) fn uniform(&mut self, place: Place, out: &mut [f64]) {
        self.one_by_one(place, out, uniform);
    }

    /// Standard normal numbers, two for each two words (Box and Muller): z = √(−2 ln u) (cos φ, sin φ).
    pub(crate) fn normal(&mut self, place: Place, out: &mut [f64]) {
        for piece in out.chunks_mut(BLOCK) {
            let pairs = piece.len().div_ceil(2);
            let (radii, angles) = self.words(2 * pairs).split_at(pairs);
            let (first, second) = piece.split_at_mut(pairs);
            widest(
                #[inline(always)]
                || {
                    // Slices of one length and an index: no bounds are checked, and nothing is left to be inlined.
                    let n = second.len();
                    let (r, a, x) = (&radii[..n], &angles[..n], &mut first[..n]);
                    for i in 0..n {
                        (x[i], second[i]) = pair_of_normals(place, r[i], a[i]);
                    }
                    // Of an odd number the last one has no partner.
                    if n < pairs {
                        (first[n], _) = pair_of_normals(place, radii[n], angles[n]);
                    }
                },
            );
        }
    }

    /// Sine of a uniform angle: the arcsine distribution on (−1, 1).
    pub(crate) fn arcsine(&mut self, place: Place, out: &mut [f64]) {
        self.one_by_one(
            place,
            out,
            #[inline(always)]
            |b| circle(b).0,
        );
    }

    /// Symmetric triangle on (−1, 1): its inverse distribution function.
    pub(crate) fn triangular(&mut self, place: Place, out: &mut [f64]) {
        self.one_by_one(
            place,
            out,
            #[inline(always)]
            |b| {
                // −1 to 1 and the distance of |v| from 1, both exact.
                let v = 2.0 * uniform(b) - 1.0;
                (1.0 - (1.0 - v.abs()).sqrt()).copysign(v)
            },
        );
    }

    /// Exponential with mean 1.
    pub(crate) fn exponential(&mut self, place: Place, out: &mut [f64]) {
        self.one_by_one(
            place,
            out,
            #[inline(always)]
            |b| minus_ln(uniform(b)),
        );
    }

    /// Student's t with scale 1 (Bailey): t = √(ν (u^(−2/ν) − 1)) cos φ.
    pub(crate) fn student(&mut self, nu: f64, place: Place, out: &mut [f64]) {
        if nu < STUDENT_SAFE {
            return self.student_heavy(nu, place, out);
        }
        let power = 2.0 / nu;
        self.pieces(
            out,
            2,
            #[inline(always)]
            |bits, piece| {
                let n = piece.len();
                let (radii, angles) = (&bits[..n], &bits[n..2 * n]);
                for i in 0..n {
                    let growth = exp_minus_1(power * minus_ln(uniform(radii[i])));
                    piece[i] = place.of((nu * growth).sqrt() * circle(angles[i]).0);
                }
            },
        );
    }

    /// The same, where u^(−2/ν) may overflow but its root does not.
    fn student_heavy(&mut self, nu: f64, place: Place, out: &mut [f64]) {
        self.pieces(out, 2, |bits, piece| {
            let (radii, angles) = bits.split_at(piece.len());
            for ((y, &radius), &angle) in piece.iter_mut().zip(radii).zip(angles) {
                let x = minus_ln(uniform(radius)) / nu;
                *y = place.of(libm::exp(x) * libm::sqrt(-nu * libm::expm1(-2.0 * x)) * circle(angle).0);
            }
        });
    }

    /// Gamma with scale 1 (Marsaglia and Tsang); below shape 1 from shape + 1 times u^(1/shape).
    pub(crate) fn gamma(&mut self, shape: f64, place: Place, out: &mut [f64]) {
        let boosted = if shape < 1.0 { shape + 1.0 } else { shape };
        let d = boosted - 1.0 / 3.0;
        let c = 1.0 / libm::sqrt(9.0 * d);
        let (mut normals, mut uniforms) = ([0.0; BLOCK], [0.0; BLOCK]);
        let mut found = 0;
        while found < out.len() {
            self.normal(Place::STANDARD, &mut normals);
            self.uniform(Place::STANDARD, &mut uniforms);
            widest(
                #[inline(always)]
                || {
                    for i in 0..BLOCK {
                        let (x, root) = (normals[i], 1.0 + c * normals[i]);
                        let cube = root * root * root;
                        let v = if root > 0.0 { cube } else { 1.0 };
                        let limit = 0.5 * x * x + d * (1.0 - v - minus_ln(v));
                        let taken = (root > 0.0) & (-minus_ln(uniforms[i]) < limit);
                        normals[i] = if taken { d * v } else { -1.0 };
                    }
                },
            );
            for &candidate in &normals {
                let Some(y) = out.get_mut(found) else { break };
                *y = candidate;
                found += usize::from(candidate >= 0.0);
            }
        }
        if shape < 1.0 {
            for chunk in out.chunks_mut(BLOCK) {
                let powers = &mut uniforms[..chunk.len()];
                self.exponential(Place::STANDARD, powers);
                for (y, e) in chunk.iter_mut().zip(powers) {
                    *y *= libm::exp(-*e / shape);
                }
            }
        }
        for y in out {
            *y = place.of(*y);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values from a generator and maps written a second time, with 40 digits (`tests/oracle/draws.py`).
    #[test]
    fn draws_are_those_of_the_oracle() {
        let mut found = 0;
        for line in include_str!("../../../tests/reference/draws_oracle.csv").lines().skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let [name, parameter, seed, stream, index, value] = fields[..] else { panic!("{line}") };
            let mut stream = Stream::new(seed.parse().unwrap(), stream.parse().unwrap());
            let mut got = [0.0; BLOCK];
            match name {
                "uniform" => stream.uniform(Place::STANDARD, &mut got),
                "normal" => stream.normal(Place::STANDARD, &mut got),
                "arcsine" => stream.arcsine(Place::STANDARD, &mut got),
                "triangular" => stream.triangular(Place::STANDARD, &mut got),
                "exponential" => stream.exponential(Place::STANDARD, &mut got),
                "student" => stream.student(parameter.parse().unwrap(), Place::STANDARD, &mut got),
                other => panic!("{other}"),
            }
            let (got, value) = (got[index.parse::<usize>().unwrap()], value.parse::<f64>().unwrap());
            // A few roundings (of the draw itself, or of the number 1 that a draw near 0 is the rest of), which the
            // power 1/ν = 8 enlarges for the last one.
            assert!((got - value).abs() <= 2e-14 * value.abs() + 4e-16, "{line}: {got}");
            found += 1;
        }
        assert_eq!(found, 98);
    }

    #[test]
    fn pieces_join_without_a_seam() {
        let (mut whole, mut parts) = (vec![0.0; 3 * BLOCK], vec![0.0; 3 * BLOCK]);
        Stream::new(1, 2).normal(Place::STANDARD, &mut whole);
        let mut stream = Stream::new(1, 2);
        for part in parts.chunks_mut(BLOCK) {
            stream.normal(Place::STANDARD, part);
        }
        assert_eq!(whole, parts);
    }

    #[test]
    fn an_odd_number_is_a_part_of_an_even_one() {
        let place = Place { offset: 2.0, factor: -3.0 };
        let (mut odd, mut even) = ([0.0; 77], [0.0; 78]);
        Stream::new(1, 2).normal(place, &mut odd);
        Stream::new(1, 2).normal(Place::STANDARD, &mut even);
        for (a, b) in odd.iter().zip(even) {
            assert_eq!(*a, 2.0 - 3.0 * b);
        }
    }
}
