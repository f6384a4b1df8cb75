//! Evaluation of a piecewise polynomial ([`SegmentMap`]) for one value and for slices.
//!
//! Every width does the same operations in the same order, without fused multiply-add: the same bits everywhere.
//! A slice is worked on in blocks, in two passes: `locate` finds the row and the reduced argument of each element (plain
//! code that the compiler turns into vectors), a `horner` function evaluates (rows loaded whole and transposed in
//! registers, which is twice as fast as what the compiler makes of the look-up; hence the vectors by hand, `wide`).

#[cfg(all(feature = "std", target_arch = "x86_64"))]
use super::wide;
use crate::constants::tc_segments::{CAPACITY, MAX_PARTS, ROWS, Row, SegmentMap, Stretch};

/// Elements of a block: arguments, row numbers and results stay in the first-level cache beside the rows.
const BLOCK: usize = 256;

/// `1.5 * 2^52`: adding it rounds a number below `2^51` to an integer and leaves that integer in the low bits.
const TO_INTEGER: f64 = 6_755_399_441_055_744.0;

const MASK: u64 = CAPACITY as u64 - 1;

/// Which instruction set a slice is worked on with; all give the same bits.
#[derive(Debug, Clone, Copy)]
pub(super) enum Width {
    /// What the crate was compiled for.
    Plain,
    /// 256 bits.
    #[cfg(all(feature = "std", target_arch = "x86_64"))]
    V3(pulp::x86::V3),
    /// 512 bits.
    #[cfg(all(feature = "std", target_arch = "x86_64"))]
    V4(pulp::x86::V4),
}

impl Width {
    /// The widest that the processor has.
    #[inline]
    pub(super) fn widest() -> Self {
        #[cfg(all(feature = "std", target_arch = "x86_64"))]
        {
            match pulp::x86::Arch::new() {
                pulp::x86::Arch::V4(v4) => return Self::V4(v4),
                pulp::x86::Arch::V3(v3) => return Self::V3(v3),
                _ => {}
            }
        }
        Self::Plain
    }
}

/// What the first pass needs of a map with `P` bounds, by value, so that the compiler keeps it in registers.
#[derive(Clone, Copy)]
struct Layout<const P: usize> {
    lo: f64,
    hi: f64,
    bound: [f64; P],
    scale: [f64; MAX_PARTS],
    offset: [u64; MAX_PARTS],
}

impl<const P: usize> Layout<P> {
    #[inline(always)]
    fn new(map: &SegmentMap) -> Self {
        const { assert!(P < MAX_PARTS && MAX_PARTS == 8) };
        Self {
            lo: map.main_lo,
            hi: map.hi,
            bound: core::array::from_fn(|p| map.bound[p]),
            scale: map.scale,
            offset: map.offset,
        }
    }

    #[inline(always)]
    fn outside(&self, key: f64) -> bool {
        !((key >= self.lo) & (key <= self.hi))
    }

    /// Number of the part.
    #[inline(always)]
    fn part(&self, key: f64) -> u64 {
        let mut n = 0;
        for bound in self.bound {
            n += u64::from(key > bound);
        }
        n
    }

    /// Scale and offset of a part, by looking them up.
    #[inline(always)]
    fn look_up(&self, part: u64) -> (f64, u64) {
        let n = (part & (MAX_PARTS as u64 - 1)) as usize;
        (self.scale[n], self.offset[n])
    }

    /// The same of the part of a key, by choosing: no memory access, for wide vectors.
    #[inline(always)]
    fn choose(&self, key: f64) -> (f64, u64) {
        let mut scale = self.scale[0];
        let mut offset = self.offset[0];
        for p in 0..P {
            let above = key > self.bound[p];
            scale = if above { self.scale[p + 1] } else { scale };
            offset = if above { self.offset[p + 1] } else { offset };
        }
        (scale, offset)
    }
}

/// Reduced argument and row number.
#[inline(always)]
fn reduce(key: f64, scale: f64, offset: u64) -> (f64, u64) {
    let u = key * scale;
    let shifted = u + TO_INTEGER;
    (u - (shifted - TO_INTEGER), shifted.to_bits().wrapping_add(offset) & MASK)
}

#[inline(always)]
pub(super) fn row(index: u64) -> &'static Row {
    &ROWS[(index & MASK) as usize]
}

#[inline(always)]
pub(super) fn polynomial(c: &Row, x: f64) -> f64 {
    ((((((c[7] * x + c[6]) * x + c[5]) * x + c[4]) * x + c[3]) * x + c[2]) * x + c[1]) * x + c[0]
}

#[inline(always)]
pub(super) fn polynomial_slope(c: &Row, x: f64) -> f64 {
    (((((7.0 * c[7] * x + 6.0 * c[6]) * x + 5.0 * c[5]) * x + 4.0 * c[4]) * x + 3.0 * c[3]) * x + 2.0 * c[2]) * x + c[1]
}

/// Holds inside `lo..=hi`; NaN passes.
#[inline(always)]
pub(super) fn hold(y: f64, lo: f64, hi: f64) -> f64 {
    let y = if lo > y { lo } else { y };
    if hi < y { hi } else { y }
}

/// Result for an argument below the zones, where the rows in `w = sqrt(emf - emf0)` hold.
#[inline]
fn stretched(map: &SegmentMap, s: &Stretch, key: f64) -> f64 {
    let above = (key - s.emf0_hi) - s.emf0_lo;
    let w = if above > 0.0 { libm::sqrt(above) } else { 0.0 };
    let u = w * s.scale;
    let shifted = u + TO_INTEGER;
    let x = u - (shifted - TO_INTEGER);
    hold(polynomial(row(shifted.to_bits().wrapping_add(s.offset)), x), map.result_lo, map.result_hi)
}

/// Reduced argument, row number and scale of one key.
#[inline]
fn find(map: &SegmentMap, key: f64) -> (f64, u64, f64) {
    let layout = Layout::<{ MAX_PARTS - 1 }>::new(map);
    let mut part = 0;
    for bound in map.bound.iter().take(map.bounds) {
        part += u64::from(key > *bound);
    }
    let (scale, offset) = layout.look_up(part);
    let (x, index) = reduce(key, scale, offset);
    (x, index, scale)
}

/// Value at `key`; NaN outside `lo..=hi` of the map.
pub(super) fn value(map: &SegmentMap, key: f64) -> f64 {
    if key >= map.main_lo && key <= map.hi {
        let (x, index, _) = find(map, key);
        return hold(polynomial(row(index), x), map.result_lo, map.result_hi);
    }
    match &map.stretch {
        Some(s) if key >= map.lo && key < map.main_lo => stretched(map, s, key),
        _ => f64::NAN,
    }
}

/// Derivative at `key`; NaN outside `main_lo..=hi`. For forward maps.
pub(super) fn slope(map: &SegmentMap, key: f64) -> f64 {
    if key >= map.main_lo && key <= map.hi {
        let (x, index, scale) = find(map, key);
        return polynomial_slope(row(index), x) * scale;
    }
    f64::NAN
}

/// Values of all elements, NaN outside. Returns whether all lie inside.
pub(super) fn values(map: &SegmentMap, width: Width, keys: &[f64], out: &mut [f64]) -> bool {
    by_layout::<false>(map, width, keys, out)
}

/// Derivatives of all elements, NaN outside. Returns whether all lie inside. For forward maps.
pub(super) fn slopes(map: &SegmentMap, width: Width, keys: &[f64], out: &mut [f64]) -> bool {
    by_layout::<true>(map, width, keys, out)
}

fn by_layout<const SLOPE: bool>(map: &SegmentMap, width: Width, keys: &[f64], out: &mut [f64]) -> bool {
    match map.bounds {
        0 => by_width::<0, SLOPE>(map, width, keys, out),
        1 => by_width::<1, SLOPE>(map, width, keys, out),
        2 => by_width::<2, SLOPE>(map, width, keys, out),
        3 => by_width::<3, SLOPE>(map, width, keys, out),
        4 => by_width::<4, SLOPE>(map, width, keys, out),
        _ => by_width::<{ MAX_PARTS - 1 }, SLOPE>(map, width, keys, out),
    }
}

fn by_width<const P: usize, const SLOPE: bool>(map: &SegmentMap, width: Width, keys: &[f64], out: &mut [f64]) -> bool {
    match width {
        Width::Plain => blocks::<P, SLOPE, true>(map, keys, out, plain_horner::<SLOPE>),
        #[cfg(all(feature = "std", target_arch = "x86_64"))]
        Width::V3(v) => v.vectorize(
            #[inline(always)]
            || {
                blocks::<P, SLOPE, true>(
                    map,
                    keys,
                    out,
                    #[inline(always)]
                    |scratch, out, lo, hi| wide::horner_v3::<SLOPE>(v, scratch, out, lo, hi),
                )
            },
        ),
        #[cfg(all(feature = "std", target_arch = "x86_64"))]
        Width::V4(v) => v.vectorize(
            #[inline(always)]
            || {
                blocks::<P, SLOPE, false>(
                    map,
                    keys,
                    out,
                    #[inline(always)]
                    |scratch, out, lo, hi| wide::horner_v4::<SLOPE>(v, scratch, out, lo, hi),
                )
            },
        ),
    }
}

/// What passes from one pass to the next.
pub(super) struct Scratch {
    pub(super) x: [f64; BLOCK],
    pub(super) index: [u64; BLOCK],
    scale: [f64; BLOCK],
}

#[inline(always)]
fn blocks<const P: usize, const SLOPE: bool, const LOOK_UP: bool>(
    map: &SegmentMap,
    keys: &[f64],
    out: &mut [f64],
    horner: impl Fn(&Scratch, &mut [f64], f64, f64),
) -> bool {
    let layout = Layout::<P>::new(map);
    let mut scratch = Scratch { x: [0.0; BLOCK], index: [0; BLOCK], scale: [0.0; BLOCK] };
    let mut all_inside = true;
    let (lo, hi) = if SLOPE { (f64::NEG_INFINITY, f64::INFINITY) } else { (map.result_lo, map.result_hi) };
    for (keys, out) in keys.chunks(BLOCK).zip(out.chunks_mut(BLOCK)) {
        let outside = locate::<P, SLOPE, LOOK_UP>(&layout, keys, &mut scratch);
        horner(&scratch, out, lo, hi);
        if SLOPE {
            for (y, scale) in out.iter_mut().zip(&scratch.scale) {
                *y *= scale;
            }
        }
        if outside > 0 {
            all_inside &= repair::<SLOPE>(map, keys, out);
        }
    }
    all_inside
}

/// The first pass. Returns how many keys lie outside the parts; their argument is NaN.
#[inline(always)]
fn locate<const P: usize, const SLOPE: bool, const LOOK_UP: bool>(
    layout: &Layout<P>,
    keys: &[f64],
    scratch: &mut Scratch,
) -> u64 {
    let mut outside = 0;
    if LOOK_UP {
        for ((&key, x), index) in keys.iter().zip(scratch.x.iter_mut()).zip(scratch.index.iter_mut()) {
            let out = layout.outside(key);
            *x = if out { f64::NAN } else { key };
            *index = layout.part(key);
            outside += u64::from(out);
        }
        let found = scratch.x.iter_mut().zip(scratch.index.iter_mut()).zip(scratch.scale.iter_mut());
        for ((x, index), s) in found.take(keys.len()) {
            let (scale, offset) = layout.look_up(*index);
            (*x, *index) = reduce(*x, scale, offset);
            if SLOPE {
                *s = scale;
            }
        }
    } else {
        for (((&key, x), index), s) in
            keys.iter().zip(scratch.x.iter_mut()).zip(scratch.index.iter_mut()).zip(scratch.scale.iter_mut())
        {
            let (scale, offset) = layout.choose(key);
            let out = layout.outside(key);
            let (reduced, number) = reduce(key, scale, offset);
            *x = if out { f64::NAN } else { reduced };
            *index = number;
            if SLOPE {
                *s = scale;
            }
            outside += u64::from(out);
        }
    }
    outside
}

/// Fills in the elements outside the parts, one by one. Returns whether all lie inside the map.
#[cold]
#[inline(never)]
fn repair<const SLOPE: bool>(map: &SegmentMap, keys: &[f64], out: &mut [f64]) -> bool {
    let mut all_inside = true;
    for (&key, y) in keys.iter().zip(out) {
        if key >= map.main_lo && key <= map.hi {
            continue;
        }
        *y = match &map.stretch {
            Some(s) if !SLOPE && key >= map.lo && key < map.main_lo => stretched(map, s, key),
            _ => {
                all_inside = false;
                f64::NAN
            }
        };
    }
    all_inside
}

#[inline(always)]
fn plain_horner<const SLOPE: bool>(scratch: &Scratch, out: &mut [f64], lo: f64, hi: f64) {
    for ((y, &x), &index) in out.iter_mut().zip(&scratch.x).zip(&scratch.index) {
        let c = row(index);
        *y = if SLOPE { polynomial_slope(c, x) } else { polynomial(c, x) };
    }
    for y in out {
        *y = hold(*y, lo, hi);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::ThermocoupleType;

    fn widths() -> Vec<Width> {
        let mut all = vec![Width::Plain];
        #[cfg(all(feature = "std", target_arch = "x86_64"))]
        {
            all.extend(pulp::x86::V3::try_new().map(Width::V3));
            all.extend(pulp::x86::V4::try_new().map(Width::V4));
        }
        all
    }

    #[test]
    fn every_width_and_the_scalar_form_give_the_same_bits() {
        for kind in ThermocoupleType::ALL {
            let (letter, both) = (kind.letter(), kind.data().segments);
            for map in [&both.forward, &both.inverse] {
                for n in [0_usize, 1, 3, 7, 8, 255, 256, 257, 1000] {
                    let step = 1.2 * (map.hi - map.lo) / n.max(1) as f64;
                    let mut keys: Vec<f64> =
                        (0..n).map(|i| map.lo - 0.1 * (map.hi - map.lo) + step * i as f64).collect();
                    if n > 10 {
                        (keys[3], keys[4], keys[5], keys[6]) = (f64::NAN, 0.0, -0.0, f64::INFINITY);
                    }
                    for width in widths() {
                        let mut out = vec![0.0; n];
                        let all_inside = values(map, width, &keys, &mut out);
                        assert_eq!(all_inside, out.iter().all(|y| y.is_finite()));
                        for (&key, &y) in keys.iter().zip(&out) {
                            let one = value(map, key);
                            assert!(
                                y.to_bits() == one.to_bits() || (y.is_nan() && one.is_nan()),
                                "{letter} {key} {y} {one}"
                            );
                        }
                        slopes(map, width, &keys, &mut out);
                        for (&key, &y) in keys.iter().zip(&out) {
                            let one = slope(map, key);
                            assert!(
                                y.to_bits() == one.to_bits() || (y.is_nan() && one.is_nan()),
                                "{letter} {key} {y} {one}"
                            );
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn ends_joints_and_zero_come_back() {
        for kind in ThermocoupleType::ALL {
            let (letter, both) = (kind.letter(), kind.data().segments);
            let (f, i) = (&both.forward, &both.inverse);
            let mut keys = vec![f.lo.max(i.result_lo), f.hi];
            keys.extend(f.bound.iter().copied().take(f.bounds));
            for t in keys {
                let e = value(f, t);
                let back = value(i, e);
                // One step of the emf, and one of the temperature.
                let limit =
                    2.0 * (e.abs().next_up() - e.abs()) / slope(f, t).max(1e-9) + 2.0 * (t.abs().next_up() - t.abs());
                assert!((back - t).abs() <= limit || letter == "B" && t < 22.0, "{letter} {t} {e} {back}");
            }
            if letter != "A" {
                assert_eq!(value(f, 0.0), 0.0);
            }
            if letter != "A" && letter != "B" {
                assert_eq!(value(i, 0.0), 0.0);
            }
            assert!(value(f, f.hi.next_up()).is_nan() && value(i, i.hi.next_up()).is_nan());
        }
        // Between the two ranges of K at 0 °C and of J at 760 °C the emf steps up: the joint answers.
        let inverse = |kind: ThermocoupleType, mv: f64| value(&kind.data().segments.inverse, mv);
        assert_eq!(inverse(ThermocoupleType::K, 1.5e-9), 0.0);
        assert_eq!(inverse(ThermocoupleType::J, 42.918_641_35), 760.0);
    }
}
