//! Elementary functions as plain arithmetic on independent elements, without branches: they run on the widest vectors at
//! hand with the same bits on each.
//!
//! Coefficients: Chebyshev fits of the functions less their first terms, made with 40 digits by `tests/oracle/draws.py`,
//! which also gives the bounds that stand beside them (of the polynomial with its coefficients as doubles; rounding comes
//! on top).

/// ln 2 in two parts, the first with 21 trailing zeros so that its product with an exponent is exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// (artanh s / s − 1) / s² over s² from 0 to (3 − 2√2)²; off by less than 5e-18 of artanh s / s.
const ARTANH: [f64; 7] = [
    0.333_333_333_333_333_5,
    0.199_999_999_999_497_52,
    0.142_857_143_129_877_43,
    0.111_111_055_673_975_4,
    0.090_914_445_626_308_61,
    0.076_658_608_002_780_21,
    0.073_082_248_425_217_03,
];

/// (sin a / a − 1) / a² over a² from 0 to (π/4)²; off by less than 2e-17 of sin a / a.
const SINE: [f64; 6] = [
    -0.166_666_666_666_666_66,
    0.008_333_333_333_330_948,
    -0.000_198_412_698_367_585_74,
    2.755_731_610_255_244e-6,
    -2.505_113_184_500_362_4e-8,
    1.591_812_929_486_660_8e-10,
];

/// (cos a − 1) / a² over the same; off by less than 5e-19 of cos a.
const COSINE: [f64; 7] = [
    -0.5,
    0.041_666_666_666_666_64,
    -0.001_388_888_888_888_077_5,
    2.480_158_729_369_346e-5,
    -2.755_731_556_634_189_5e-7,
    2.087_588_673_804_705_2e-9,
    -1.136_799_865_402_249_4e-11,
];

/// (eʳ − 1 − r) / r² over r within ± ln 2 / 2; off by less than 1e-18 of (eʳ − 1) / r.
const EXPONENTIAL: [f64; 11] = [
    0.5,
    0.166_666_666_666_666_7,
    0.041_666_666_666_666_67,
    0.008_333_333_333_326_141,
    0.001_388_888_888_888_375_2,
    0.000_198_412_698_748_004_93,
    2.480_158_732_553_336_3e-5,
    2.755_725_542_574_643_5e-6,
    2.755_727_366_134_863_7e-7,
    2.510_520_637_395_701e-8,
    2.091_467_937_658_393_5e-9,
];

/// A polynomial by pairs of terms: half as long a chain of dependent operations as the usual form.
#[inline(always)]
fn by_pairs<const N: usize>(coefficients: &[f64; N], x: f64) -> f64 {
    let square = x * x;
    let mut k = N - N % 2;
    let mut sum = if N % 2 == 1 { coefficients[N - 1] } else { 0.0 };
    while k > 0 {
        k -= 2;
        let pair = coefficients[k] + x * coefficients[k + 1];
        sum = if k + 2 == N { pair } else { pair + square * sum };
    }
    sum
}

/// A number in (0, 1): the middle of one of 2⁵² cells.
#[inline(always)]
pub(crate) fn uniform(bits: u64) -> f64 {
    // [1, 2) less the largest number below 1: exact.
    f64::from_bits((bits >> 12) | 0x3FF0_0000_0000_0000) - (1.0 - 0.5 * f64::EPSILON)
}

/// −ln of a positive normal number.
#[inline(always)]
pub(crate) fn minus_ln(u: f64) -> f64 {
    // Exponent and mantissa in [√½, √2).
    const ROOT_HALF: u64 = 0x3FE6_A09E_667F_3BCD;
    const ONE: u64 = 0x3FF0_0000_0000_0000;
    let shifted = u.to_bits().wrapping_add(ONE - ROOT_HALF);
    let k = f64::from_bits(0x4330_0000_0000_0000 | (shifted >> 52)) - (4_503_599_627_370_496.0 + 1023.0);
    let m = f64::from_bits((shifted & 0x000F_FFFF_FFFF_FFFF).wrapping_add(ROOT_HALF));
    // ln m = 2 artanh s, |s| ≤ 3 − 2√2.
    let f = m - 1.0;
    let s = f / (2.0 + f);
    let z = s * s;
    let series = z * by_pairs(&ARTANH, z);
    -(k * LN_2_HIGH + (2.0 * s + (2.0 * s * series + k * LN_2_LOW)))
}

/// eˣ − 1 for 0 ≤ x < 700.
#[inline(always)]
pub(crate) fn exp_minus_1(x: f64) -> f64 {
    // Adding 1.5 · 2⁵² rounds to a whole number, which then stands in the low bits.
    const ROUNDER: f64 = 6_755_399_441_055_744.0;
    let rounded = x * std::f64::consts::LOG2_E + ROUNDER;
    let k = rounded - ROUNDER;
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    let power = f64::from_bits(rounded.to_bits().wrapping_add(1023) << 52);
    power * (r + r * r * by_pairs(&EXPONENTIAL, r)) + (power - 1.0)
}

/// Two coordinates of a point that is uniform on the unit circle.
#[inline(always)]
pub(crate) fn circle(bits: u64) -> (f64, f64) {
    // An angle within ±π/4 from the top bits; the lowest bit exchanges the coordinates, the next two are their signs.
    let a = (f64::from_bits((bits >> 12) | 0x3FF0_0000_0000_0000) - 1.5) * std::f64::consts::FRAC_PI_2;
    let z = a * a;
    let sine = (a + a * z * by_pairs(&SINE, z)).to_bits();
    let cosine = (1.0 + z * by_pairs(&COSINE, z)).to_bits();
    let exchange = 0u64.wrapping_sub(bits & 1);
    let first = (cosine & !exchange) | (sine & exchange);
    let second = (sine & !exchange) | (cosine & exchange);
    (f64::from_bits(first ^ ((bits & 2) << 62)), f64::from_bits(second ^ ((bits & 4) << 61)))
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn pairs_of_terms_are_the_polynomial() {
        // 1 + 2·3 + 3·9 + 4·27 = 142, and 5·81 = 405 more.
        assert_eq!(by_pairs(&[1.0, 2.0, 3.0, 4.0], 3.0), 142.0);
        assert_eq!(by_pairs(&[1.0, 2.0, 3.0, 4.0, 5.0], 3.0), 547.0);
    }
}
