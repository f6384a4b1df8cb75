//! The second pass of [`super::segments`] with vectors of 256 and 512 bits: whole rows are loaded and transposed in
//! registers, so that each vector holds one coefficient of as many rows as it has places.

use super::segments::{Scratch, hold, polynomial, polynomial_slope, row};
use core::arch::x86_64::{__m256d, __m512d};
use pulp::x86::{V3, V4};
use pulp::{cast, f64x4, f64x8};

/// The end of a block that fills no vector.
#[inline(always)]
fn rest<const SLOPE: bool>(scratch: &Scratch, start: usize, out: &mut [f64], lo: f64, hi: f64) {
    for ((y, &x), &index) in out.iter_mut().zip(scratch.x.iter().skip(start)).zip(scratch.index.iter().skip(start)) {
        let c = row(index);
        *y = hold(if SLOPE { polynomial_slope(c, x) } else { polynomial(c, x) }, lo, hi);
    }
}

/// Four numbers by four rows turned into four vectors by coefficient.
#[inline(always)]
fn transpose_v3(v: V3, r: [f64x4; 4]) -> [__m256d; 4] {
    let [a, b, c, d]: [__m256d; 4] = [cast(r[0]), cast(r[1]), cast(r[2]), cast(r[3])];
    let (ab0, ab1) = (v.avx._mm256_unpacklo_pd(a, b), v.avx._mm256_unpackhi_pd(a, b));
    let (cd0, cd1) = (v.avx._mm256_unpacklo_pd(c, d), v.avx._mm256_unpackhi_pd(c, d));
    [
        v.avx._mm256_permute2f128_pd::<0x20>(ab0, cd0),
        v.avx._mm256_permute2f128_pd::<0x20>(ab1, cd1),
        v.avx._mm256_permute2f128_pd::<0x31>(ab0, cd0),
        v.avx._mm256_permute2f128_pd::<0x31>(ab1, cd1),
    ]
}

#[inline(always)]
pub(super) fn horner_v3<const SLOPE: bool>(v: V3, scratch: &Scratch, out: &mut [f64], lo: f64, hi: f64) {
    let (groups, tail) = out.as_chunks_mut::<4>();
    let (xs, _) = scratch.x.as_chunks::<4>();
    let (indices, _) = scratch.index.as_chunks::<4>();
    let done = 4 * groups.len();
    let (lo4, hi4) = (v.avx._mm256_set1_pd(lo), v.avx._mm256_set1_pd(hi));
    for ((y, x), index) in groups.iter_mut().zip(xs).zip(indices) {
        let halves: [[f64x4; 2]; 4] = core::array::from_fn(|l| cast(*row(index[l])));
        let low = transpose_v3(v, core::array::from_fn(|l| halves[l][0]));
        let high = transpose_v3(v, core::array::from_fn(|l| halves[l][1]));
        let x: __m256d = cast(cast::<_, f64x4>(*x));
        let c = [low[0], low[1], low[2], low[3], high[0], high[1], high[2], high[3]];
        let mut p;
        if SLOPE {
            let times = |k: usize, f: f64| v.avx._mm256_mul_pd(v.avx._mm256_set1_pd(f), c[k]);
            p = times(7, 7.0);
            for (k, f) in [(6, 6.0), (5, 5.0), (4, 4.0), (3, 3.0), (2, 2.0)] {
                p = v.avx._mm256_add_pd(v.avx._mm256_mul_pd(p, x), times(k, f));
            }
            p = v.avx._mm256_add_pd(v.avx._mm256_mul_pd(p, x), c[1]);
        } else {
            p = c[7];
            for k in [6, 5, 4, 3, 2, 1, 0] {
                p = v.avx._mm256_add_pd(v.avx._mm256_mul_pd(p, x), c[k]);
            }
        }
        p = v.avx._mm256_min_pd(hi4, v.avx._mm256_max_pd(lo4, p));
        *y = cast(cast::<_, f64x4>(p));
    }
    rest::<SLOPE>(scratch, done, tail, lo, hi);
}

#[inline(always)]
pub(super) fn horner_v4<const SLOPE: bool>(v: V4, scratch: &Scratch, out: &mut [f64], lo: f64, hi: f64) {
    let (groups, tail) = out.as_chunks_mut::<8>();
    let (xs, _) = scratch.x.as_chunks::<8>();
    let (indices, _) = scratch.index.as_chunks::<8>();
    let done = 8 * groups.len();
    let f = v.avx512f;
    let (lo8, hi8) = (f._mm512_set1_pd(lo), f._mm512_set1_pd(hi));
    for ((y, x), index) in groups.iter_mut().zip(xs).zip(indices) {
        let r: [__m512d; 8] = core::array::from_fn(|l| cast(cast::<_, f64x8>(*row(index[l]))));
        // Pairs of rows: even[m] holds the coefficients 0 2 4 6, odd[m] 1 3 5 7, of rows 2m and 2m + 1.
        let even: [__m512d; 4] = core::array::from_fn(|m| f._mm512_unpacklo_pd(r[2 * m], r[2 * m + 1]));
        let odd: [__m512d; 4] = core::array::from_fn(|m| f._mm512_unpackhi_pd(r[2 * m], r[2 * m + 1]));
        let columns = |q: [__m512d; 4]| {
            let a = f._mm512_shuffle_f64x2::<0x88>(q[0], q[1]);
            let b = f._mm512_shuffle_f64x2::<0xdd>(q[0], q[1]);
            let c = f._mm512_shuffle_f64x2::<0x88>(q[2], q[3]);
            let d = f._mm512_shuffle_f64x2::<0xdd>(q[2], q[3]);
            [
                f._mm512_shuffle_f64x2::<0x88>(a, c),
                f._mm512_shuffle_f64x2::<0x88>(b, d),
                f._mm512_shuffle_f64x2::<0xdd>(a, c),
                f._mm512_shuffle_f64x2::<0xdd>(b, d),
            ]
        };
        let (e, o) = (columns(even), columns(odd));
        let x: __m512d = cast(cast::<_, f64x8>(*x));
        let c = [e[0], o[0], e[1], o[1], e[2], o[2], e[3], o[3]];
        let mut p;
        if SLOPE {
            let times = |k: usize, g: f64| f._mm512_mul_pd(f._mm512_set1_pd(g), c[k]);
            p = times(7, 7.0);
            for (k, g) in [(6, 6.0), (5, 5.0), (4, 4.0), (3, 3.0), (2, 2.0)] {
                p = f._mm512_add_pd(f._mm512_mul_pd(p, x), times(k, g));
            }
            p = f._mm512_add_pd(f._mm512_mul_pd(p, x), c[1]);
        } else {
            p = c[7];
            for k in [6, 5, 4, 3, 2, 1, 0] {
                p = f._mm512_add_pd(f._mm512_mul_pd(p, x), c[k]);
            }
        }
        p = f._mm512_min_pd(hi8, f._mm512_max_pd(lo8, p));
        *y = cast(cast::<_, f64x8>(p));
    }
    rest::<SLOPE>(scratch, done, tail, lo, hi);
}
