//! Random numbers that are the same everywhere and for ever: a generator fixed by name and our own maps from its bits.
//!
//! Generator: ChaCha with 8 rounds; the seed is the first eight bytes of the key (little endian), the rest of the key
//! is zero, and the stream number is the nonce. Maps: the top 52 bits give a uniform number in the middle of one of
//! 2⁵² equal cells, so that neither 0 nor 1 occurs; the other maps are below. Everything is plain arithmetic on
//! independent elements (series for logarithm, exponential, sine and cosine with coefficients 1/n and 1/n!), so that
//! it runs on the widest vectors at hand with the same bits on each.
//!
//! # Source
//! Bernstein, ChaCha, a variant of Salsa20 (2008); Box and Muller, Ann. Math. Stat. 29 (1958) 610; Bailey, Math. Comp. 62
//! (1994) 779; Marsaglia and Tsang, ACM Trans. Math. Softw. 26 (2000) 363.

use crate::num::simd::{BLOCK, widest};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// One stream of random numbers.
pub(crate) struct Stream {
    generator: ChaCha8Rng,
    bits: [u64; 2 * BLOCK],
}

/// ln 2 in two parts, the first with 21 trailing zeros so that its product with an exponent is exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// Degrees of freedom below which the square of a Student draw could overflow: there it is taken apart.
const STUDENT_SAFE: f64 = 0.25;

/// A number in (0, 1): the middle of one of 2⁵² cells.
#[inline(always)]
fn uniform(bits: u64) -> f64 {
    // [1, 2) less the largest number below 1: exact.
    f64::from_bits((bits >> 12) | 0x3FF0_0000_0000_0000) - (1.0 - 0.5 * f64::EPSILON)
}

/// −ln of a normal number in (0, 1).
#[inline(always)]
fn minus_ln(u: f64) -> f64 {
    // Exponent and mantissa in [√½, √2).
    const ROOT_HALF: u64 = 0x3FE6_A09E_667F_3BCD;
    const ONE: u64 = 0x3FF0_0000_0000_0000;
    let shifted = u.to_bits().wrapping_add(ONE - ROOT_HALF);
    let k = f64::from_bits(0x4330_0000_0000_0000 | (shifted >> 52)) - (4_503_599_627_370_496.0 + 1023.0);
    let m = f64::from_bits((shifted & 0x000F_FFFF_FFFF_FFFF).wrapping_add(ROOT_HALF));
    // ln m = 2 artanh s, |s| < 0.1716: the first term left out is below 1e-17.
    let f = m - 1.0;
    let s = f / (2.0 + f);
    let z = s * s;
    let mut p = 1.0 / 21.0;
    for coefficient in
        [1.0 / 19.0, 1.0 / 17.0, 1.0 / 15.0, 1.0 / 13.0, 1.0 / 11.0, 1.0 / 9.0, 1.0 / 7.0, 1.0 / 5.0, 1.0 / 3.0]
    {
        p = coefficient + z * p;
    }
    let series = z * p;
    -(k * LN_2_HIGH + (2.0 * s + (2.0 * s * series + k * LN_2_LOW)))
}

/// eˣ − 1 for 0 ≤ x < 700.
#[inline(always)]
fn exp_minus_1(x: f64) -> f64 {
    // Adding 1.5 · 2⁵² rounds to a whole number, which then stands in the low bits.
    const ROUNDER: f64 = 6_755_399_441_055_744.0;
    let rounded = x * std::f64::consts::LOG2_E + ROUNDER;
    let k = rounded - ROUNDER;
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    // |r| < 0.347: the first term left out is below 1e-17.
    let mut p = 1.0 / 6_227_020_800.0;
    for coefficient in [
        1.0 / 479_001_600.0,
        1.0 / 39_916_800.0,
        1.0 / 3_628_800.0,
        1.0 / 362_880.0,
        1.0 / 40_320.0,
        1.0 / 5_040.0,
        1.0 / 720.0,
        1.0 / 120.0,
        1.0 / 24.0,
        1.0 / 6.0,
        1.0 / 2.0,
    ] {
        p = p * r + coefficient;
    }
    let power = f64::from_bits(rounded.to_bits().wrapping_add(1023) << 52);
    power * (r + r * r * p) + (power - 1.0)
}

/// Two coordinates of a point that is uniform on the unit circle.
#[inline(always)]
fn circle(bits: u64) -> (f64, f64) {
    // An angle within ±π/4 from the top bits; the lowest bit exchanges the coordinates, the next two are their signs.
    let a = (f64::from_bits((bits >> 12) | 0x3FF0_0000_0000_0000) - 1.5) * std::f64::consts::FRAC_PI_2;
    let z = a * a;
    // Terms left out are below 1e-18.
    let mut s = 1.0 / 355_687_428_096_000.0;
    let mut c = 1.0 / 20_922_789_888_000.0;
    for (odd, even) in [
        (-1.0 / 1_307_674_368_000.0, -1.0 / 87_178_291_200.0),
        (1.0 / 6_227_020_800.0, 1.0 / 479_001_600.0),
        (-1.0 / 39_916_800.0, -1.0 / 3_628_800.0),
        (1.0 / 362_880.0, 1.0 / 40_320.0),
        (-1.0 / 5_040.0, -1.0 / 720.0),
        (1.0 / 120.0, 1.0 / 24.0),
        (-1.0 / 6.0, -1.0 / 2.0),
    ] {
        s = s * z + odd;
        c = c * z + even;
    }
    let (sine, cosine) = ((a + a * z * s).to_bits(), (1.0 + z * c).to_bits());
    let exchange = 0u64.wrapping_sub(bits & 1);
    let first = (cosine & !exchange) | (sine & exchange);
    let second = (sine & !exchange) | (cosine & exchange);
    (f64::from_bits(first ^ ((bits & 2) << 62)), f64::from_bits(second ^ ((bits & 4) << 61)))
}

impl Stream {
    /// The stream of that number that belongs to the seed.
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream(number);
        Self { generator, bits: [0; 2 * BLOCK] }
    }

    /// Hands out the slice in pieces of at most a block, each with as many random words per element as asked for.
    #[inline(always)]
    fn pieces(&mut self, out: &mut [f64], words: usize, map: impl Fn(&[u64], &mut [f64])) {
        for piece in out.chunks_mut(BLOCK) {
            let bits = &mut self.bits[..words * piece.len()];
            for word in bits.iter_mut() {
                *word = self.generator.next_u64();
            }
            widest(
                #[inline(always)]
                || map(bits, piece),
            );
        }
    }

    /// Uniform numbers in (0, 1).
    pub(crate) fn uniform(&mut self, out: &mut [f64]) {
        self.pieces(
            out,
            1,
            #[inline(always)]
            |bits, piece| {
                for (y, &b) in piece.iter_mut().zip(bits) {
                    *y = uniform(b);
                }
            },
        );
    }

    /// Standard normal numbers, two for each two words (Box and Muller): z = √(−2 ln u) (cos φ, sin φ).
    pub(crate) fn normal(&mut self, out: &mut [f64]) {
        for piece in out.chunks_mut(BLOCK) {
            let pairs = piece.len().div_ceil(2);
            let bits = &mut self.bits[..2 * pairs];
            for word in bits.iter_mut() {
                *word = self.generator.next_u64();
            }
            let (radii, angles) = bits.split_at(pairs);
            let (first, second) = piece.split_at_mut(pairs);
            widest(
                #[inline(always)]
                || {
                    let mut both = [[0.0; BLOCK / 2]; 2];
                    let [x, y] = &mut both;
                    for (((&radius, &angle), x), y) in radii.iter().zip(angles).zip(x.iter_mut()).zip(y.iter_mut()) {
                        let r = (2.0 * minus_ln(uniform(radius))).sqrt();
                        let (a, b) = circle(angle);
                        *x = r * a;
                        *y = r * b;
                    }
                    first.copy_from_slice(&x[..pairs]);
                    let rest = second.len();
                    second.copy_from_slice(&y[..rest]);
                },
            );
        }
    }

    /// Sine of a uniform angle: the arcsine distribution on (−1, 1).
    pub(crate) fn arcsine(&mut self, out: &mut [f64]) {
        self.pieces(
            out,
            1,
            #[inline(always)]
            |bits, piece| {
                for (y, &b) in piece.iter_mut().zip(bits) {
                    *y = circle(b).0;
                }
            },
        );
    }

    /// Symmetric triangle on (−1, 1): its inverse distribution function.
    pub(crate) fn triangular(&mut self, out: &mut [f64]) {
        self.pieces(
            out,
            1,
            #[inline(always)]
            |bits, piece| {
                for (y, &b) in piece.iter_mut().zip(bits) {
                    // −1 to 1 and the distance of |v| from 1, both exact.
                    let v = 2.0 * uniform(b) - 1.0;
                    *y = (1.0 - (1.0 - v.abs()).sqrt()).copysign(v);
                }
            },
        );
    }

    /// Exponential with mean 1.
    pub(crate) fn exponential(&mut self, out: &mut [f64]) {
        self.pieces(
            out,
            1,
            #[inline(always)]
            |bits, piece| {
                for (y, &b) in piece.iter_mut().zip(bits) {
                    *y = minus_ln(uniform(b));
                }
            },
        );
    }

    /// Student's t with scale 1 (Bailey): t = √(ν (u^(−2/ν) − 1)) cos φ.
    pub(crate) fn student(&mut self, nu: f64, out: &mut [f64]) {
        if nu < STUDENT_SAFE {
            return self.student_heavy(nu, out);
        }
        let power = 2.0 / nu;
        self.pieces(
            out,
            2,
            #[inline(always)]
            |bits, piece| {
                let (radii, angles) = bits.split_at(piece.len());
                for ((y, &radius), &angle) in piece.iter_mut().zip(radii).zip(angles) {
                    let growth = exp_minus_1(power * minus_ln(uniform(radius)));
                    *y = (nu * growth).sqrt() * circle(angle).0;
                }
            },
        );
    }

    /// The same, where u^(−2/ν) may overflow but its root does not.
    fn student_heavy(&mut self, nu: f64, out: &mut [f64]) {
        self.pieces(out, 2, |bits, piece| {
            let (radii, angles) = bits.split_at(piece.len());
            for ((y, &radius), &angle) in piece.iter_mut().zip(radii).zip(angles) {
                let x = minus_ln(uniform(radius)) / nu;
                *y = libm::exp(x) * libm::sqrt(-nu * libm::expm1(-2.0 * x)) * circle(angle).0;
            }
        });
    }

    /// Gamma with scale 1 (Marsaglia and Tsang); below shape 1 from shape + 1 times u^(1/shape).
    pub(crate) fn gamma(&mut self, shape: f64, out: &mut [f64]) {
        let boosted = if shape < 1.0 { shape + 1.0 } else { shape };
        let d = boosted - 1.0 / 3.0;
        let c = 1.0 / libm::sqrt(9.0 * d);
        let (mut normals, mut uniforms) = ([0.0; BLOCK], [0.0; BLOCK]);
        let mut next = BLOCK;
        for y in out.iter_mut() {
            *y = loop {
                if next == BLOCK {
                    self.normal(&mut normals);
                    self.uniform(&mut uniforms);
                    next = 0;
                }
                let (x, u) = (normals[next], uniforms[next]);
                next += 1;
                let root = 1.0 + c * x;
                if root <= 0.0 {
                    continue;
                }
                let v = root * root * root;
                if libm::log(u) < 0.5 * x * x + d * (1.0 - v + libm::log(v)) {
                    break d * v;
                }
            };
        }
        if shape < 1.0 {
            for chunk in out.chunks_mut(BLOCK) {
                let powers = &mut uniforms[..chunk.len()];
                self.exponential(powers);
                for (y, e) in chunk.iter_mut().zip(powers) {
                    *y *= libm::exp(-*e / shape);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_is_the_published_one() {
        // Key stream of ChaCha8 for a key and nonce of zeros: test vectors of draft-strombergson-chacha-test-vectors-01,
        // TC1, 256-bit key: 3e00ef2f 895f40d6 7f5bb8e8 1f09a5a1.
        let mut stream = Stream::new(0, 0);
        assert_eq!(stream.generator.next_u64(), u64::from_le_bytes([0x3e, 0, 0xef, 0x2f, 0x89, 0x5f, 0x40, 0xd6]));
        assert_eq!(stream.generator.next_u64(), u64::from_le_bytes([0x7f, 0x5b, 0xb8, 0xe8, 0x1f, 0x09, 0xa5, 0xa1]));
    }

    #[test]
    fn series_agree_with_the_library_functions() {
        // libm is right to one unit in the last place; so are the series, which gives 4e-16 to 5e-16 between them.
        for i in 1..20_000u32 {
            let u = f64::from(i) / 20_001.0;
            assert!((minus_ln(u) / -libm::log(u) - 1.0).abs() < 5e-16, "{u}");
            let tiny = libm::exp2(-50.0 * u);
            assert!((minus_ln(tiny) / -libm::log(tiny) - 1.0).abs() < 5e-16, "{tiny}");
            let x = 20.0 * u * u * u;
            assert!((exp_minus_1(x) / libm::expm1(x) - 1.0).abs() < 7e-16, "{x}");
            let bits = u64::from(i).wrapping_mul(0x9E37_79B9_7F4A_7C15) & !7;
            let angle = ((bits >> 12) as f64 / 4_503_599_627_370_496.0 - 0.5) * std::f64::consts::FRAC_PI_2;
            let (c, s) = circle(bits);
            assert!((c - libm::cos(angle)).abs() < 3e-16 && (s - libm::sin(angle)).abs() < 3e-16, "{angle}");
            assert_eq!(circle(bits | 7), (-s, -c));
        }
        assert_eq!(uniform(0), 0.5 * f64::EPSILON);
        assert_eq!(uniform(u64::MAX), 1.0 - 0.5 * f64::EPSILON);
    }

    /// Values from a ChaCha8 and the formulas above written a second time in Python (integers) and mpmath (40 digits).
    #[test]
    fn the_maps_are_pinned() {
        type Map = fn(&mut Stream, &mut [f64]);
        let cases: [(&str, Map, [f64; 4]); 7] = [
            (
                "uniform",
                Stream::uniform,
                [0.923_417_429_004_867, 0.628_075_313_866_578_3, 0.104_527_506_128_539_23, 0.575_116_433_008_598_2],
            ),
            (
                "normal",
                Stream::normal,
                [0.324_607_051_241_327_6, 0.957_757_810_723_282_5, 0.232_331_768_872_993, -0.113_535_731_509_387_7],
            ),
            (
                "arcsine",
                Stream::arcsine,
                [-0.786_853_506_401_604_7, -0.979_831_419_288_607_6, 0.813_176_705_449_482_4, 0.993_046_943_632_706_7],
            ),
            (
                "triangular",
                Stream::triangular,
                [0.608_636_815_744_932_4, 0.137_532_973_229_211_9, -0.542_774_659_213_776_2, 0.078_171_852_250_755_1],
            ),
            (
                "exponential",
                Stream::exponential,
                [0.079_673_894_271_621_86, 0.465_095_193_165_413_4, 2.258_305_025_671_622, 0.553_182_766_494_696_3],
            ),
            (
                "student 4",
                |s, out| s.student(4.0, out),
                [
                    0.005_011_057_456_751_102,
                    -0.450_355_144_905_847_3,
                    -1.719_132_825_796_414_5,
                    1.111_686_555_937_603_6,
                ],
            ),
            (
                "student 1/8",
                |s, out| s.student(0.125, out),
                [0.007_055_157_153_000_592, -6.423_407_049_409_472, -14_740_139.120_208_9, 29.086_297_875_333_28],
            ),
        ];
        for (name, map, expected) in cases {
            let mut got = [0.0; 4];
            map(&mut Stream::new(20_240_229, 3), &mut got);
            for (g, e) in got.iter().zip(expected) {
                // A few roundings, which the power 1/ν enlarges for the last one.
                assert!((g / e - 1.0).abs() < 2e-14, "{name}: {got:?} {expected:?}");
            }
        }
    }

    #[test]
    fn pieces_join_without_a_seam() {
        let (mut whole, mut parts) = (vec![0.0; 3 * BLOCK], vec![0.0; 3 * BLOCK]);
        Stream::new(1, 2).normal(&mut whole);
        let mut stream = Stream::new(1, 2);
        for part in parts.chunks_mut(BLOCK) {
            stream.normal(part);
        }
        assert_eq!(whole, parts);
    }
}
