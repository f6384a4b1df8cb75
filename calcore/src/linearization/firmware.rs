//! The arithmetic of firmware, step by step: what a table or a polynomial gives there, to the last bit.
//!
//! Nothing here allocates; a device that is itself written in Rust may call these functions, and the C source that is
//! exported for a table does the same steps.

/// Fraction bits of the place inside a segment that is bent.
pub const PLACE_BITS: u32 = 16;

/// Number of the segment in which an argument lies, for nodes in ascending order; the first or the last one outside.
#[must_use]
#[inline]
pub fn segment_of<T: PartialOrd>(nodes: &[T], x: &T) -> usize {
    nodes.partition_point(|node| node <= x).clamp(1, nodes.len().saturating_sub(1).max(1)) - 1
}

/// Quotient rounded to the nearest integer, halves away from zero; 0 for a divisor that is not positive.
///
/// In C: `(n >= 0 ? n + d / 2 : n - d / 2) / d`.
#[must_use]
#[inline]
pub fn divide_rounded(n: i64, d: i64) -> i64 {
    if d <= 0 {
        return 0;
    }
    if n >= 0 { n.saturating_add(d / 2) / d } else { n.saturating_sub(d / 2) / d }
}

/// Straight line between two nodes in integers: y0 + (y1 − y0)(x − x0)/(x1 − x0), the quotient rounded.
///
/// # Example
/// ```
/// use calcore::linearization::firmware::line_fixed;
/// assert_eq!(line_fixed(15, [10, 20], [100, 201]), 151); // 100 + 101 · 5/10 = 150.5
/// assert_eq!(line_fixed(15, [10, 20], [100, -1]), 49); // 100 − 50.5
/// ```
#[must_use]
#[inline]
pub fn line_fixed(x: i64, nodes: [i64; 2], values: [i64; 2]) -> i64 {
    values[0] + divide_rounded((values[1] - values[0]) * (x - nodes[0]), nodes[1] - nodes[0])
}

/// Whether the product in [`line_fixed`] fits in 63 bits for every argument between the nodes.
#[must_use]
pub(crate) fn product_fits(nodes: [i64; 2], values: [i64; 2]) -> bool {
    (i128::from(nodes[1] - nodes[0]) * i128::from(values[1] - values[0])).abs() < 1 << 62
}

/// A bent segment in integers: with u = (x − x0)/(x1 − x0) in parts of 2⁻¹⁶,
/// y = y0 + u (y1 − y0 + (1 − u)(bend + skew u)), every product rounded.
#[must_use]
#[inline]
pub fn bent_fixed(x: i64, nodes: [i64; 2], values: [i64; 2], bends: [i64; 2]) -> i64 {
    let one = 1i64 << PLACE_BITS;
    let u = divide_rounded((x - nodes[0]) << PLACE_BITS, nodes[1] - nodes[0]);
    let inner = bends[0] + divide_rounded(bends[1] * u, one);
    let slope = values[1] - values[0] + divide_rounded(inner * (one - u), one);
    values[0] + divide_rounded(slope * u, one)
}

/// A segment in single precision: u = (x − x0)/(x1 − x0), y = y0 + u (y1 − y0 + (1 − u)(bend + skew u)).
#[must_use]
#[inline]
pub fn segment_f32(x: f32, nodes: [f32; 2], values: [f32; 2], bends: [f32; 2]) -> f32 {
    let u = (x - nodes[0]) / (nodes[1] - nodes[0]);
    values[0] + u * (values[1] - values[0] + (1.0 - u) * (bends[0] + bends[1] * u))
}

/// The same in doubles.
#[must_use]
#[inline]
pub fn segment_f64(x: f64, nodes: [f64; 2], values: [f64; 2], bends: [f64; 2]) -> f64 {
    let u = (x - nodes[0]) / (nodes[1] - nodes[0]);
    values[0] + u * (values[1] - values[0] + (1.0 - u) * (bends[0] + bends[1] * u))
}

/// Looks an argument up in a table of straight segments in integers; the first or last segment goes on outside. Zero for
/// fewer than two nodes or slices of different length.
///
/// # Example
/// ```
/// use calcore::linearization::firmware::look_up_fixed;
/// assert_eq!(look_up_fixed(&[0, 10, 30], &[0, 100, 200], 20), 150);
/// ```
#[must_use]
pub fn look_up_fixed(nodes: &[i32], values: &[i32], x: i32) -> i32 {
    let i = segment_of(nodes, &x);
    let (Some(&x0), Some(&x1)) = (nodes.get(i), nodes.get(i + 1)) else { return 0 };
    let (Some(&y0), Some(&y1)) = (values.get(i), values.get(i + 1)) else { return 0 };
    let wide = |pair: [i32; 2]| pair.map(i64::from);
    let y = line_fixed(x.into(), wide([x0, x1]), wide([y0, y1]));
    y.clamp(i32::MIN.into(), i32::MAX.into()) as i32
}

/// Looks an argument up in a table of straight segments in single precision; NaN for fewer than two nodes or slices of
/// different length.
#[must_use]
pub fn look_up_f32(nodes: &[f32], values: &[f32], x: f32) -> f32 {
    let i = segment_of(nodes, &x);
    let (Some(&x0), Some(&x1)) = (nodes.get(i), nodes.get(i + 1)) else { return f32::NAN };
    let (Some(&y0), Some(&y1)) = (values.get(i), values.get(i + 1)) else { return f32::NAN };
    segment_f32(x, [x0, x1], [y0, y1], [0.0; 2])
}

/// Looks an argument up in a table of straight segments in doubles; NaN for fewer than two nodes or slices of different
/// length.
///
/// # Example
/// ```
/// use calcore::linearization::firmware::look_up_f64;
/// assert_eq!(look_up_f64(&[0.0, 10.0, 30.0], &[0.0, 100.0, 200.0], 20.0), 150.0);
/// ```
#[must_use]
pub fn look_up_f64(nodes: &[f64], values: &[f64], x: f64) -> f64 {
    let i = segment_of(nodes, &x);
    let (Some(&x0), Some(&x1)) = (nodes.get(i), nodes.get(i + 1)) else { return f64::NAN };
    let (Some(&y0), Some(&y1)) = (values.get(i), values.get(i + 1)) else { return f64::NAN };
    segment_f64(x, [x0, x1], [y0, y1], [0.0; 2])
}

/// Fraction bits of the place z of a polynomial in integers.
pub const PLACE_FRACTION: u32 = 24;

/// Place z = (x − centre)/half of a reading, in parts of 2⁻²⁴, rounded.
#[must_use]
#[inline]
pub fn place(x: i64, centre: i64, half: i64) -> i64 {
    divide_rounded((x - centre) << PLACE_FRACTION, half)
}

/// Horner's rule in integers: coefficients in ascending order, z in parts of 2⁻²⁴, every product rounded.
///
/// # Example
/// ```
/// use calcore::linearization::firmware::{PLACE_FRACTION, horner_fixed};
/// assert_eq!(horner_fixed(1 << (PLACE_FRACTION - 1), &[100, 10, 4]), 106); // 100 + (10 + 4/2)/2
/// ```
#[must_use]
#[inline]
pub fn horner_fixed(z: i64, coefficients: &[i64]) -> i64 {
    let Some((&last, rest)) = coefficients.split_last() else { return 0 };
    rest.iter().rev().fold(last, |sum, c| c + divide_rounded(sum.saturating_mul(z), 1 << PLACE_FRACTION))
}

/// A polynomial, or a quotient of two, in integers. `shift`: fraction bits of the coefficients less those of the value;
/// `fraction_bits`: those of the value. No denominator for a polynomial.
#[must_use]
pub fn quotient_fixed(z: i64, numerator: &[i64], denominator: &[i64], shift: i32, fraction_bits: i32) -> i64 {
    let n = horner_fixed(z, numerator);
    if denominator.is_empty() {
        return scaled(n, shift);
    }
    let d = horner_fixed(z, denominator);
    if fraction_bits >= 0 {
        divide_rounded(n.saturating_mul(1 << fraction_bits.min(62)), d)
    } else {
        divide_rounded(n, d.saturating_mul(1 << (-fraction_bits).min(62)))
    }
}

/// n/2^shift, rounded; for a negative shift times a power of two.
#[inline]
fn scaled(n: i64, shift: i32) -> i64 {
    if shift >= 0 { divide_rounded(n, 1 << shift.min(62)) } else { n.saturating_mul(1 << (-shift).min(62)) }
}

/// A polynomial, or a quotient of two, in doubles: z = (x − centre) scale, Horner's rule. No denominator for a polynomial.
#[must_use]
pub fn quotient_f64(x: f64, centre: f64, scale: f64, numerator: &[f64], denominator: &[f64]) -> f64 {
    let z = (x - centre) * scale;
    let horner = |c: &[f64]| c.split_last().map_or(0.0, |(&last, rest)| rest.iter().rev().fold(last, |s, c| s * z + c));
    if denominator.is_empty() { horner(numerator) } else { horner(numerator) / horner(denominator) }
}

/// The same in single precision.
#[must_use]
pub fn quotient_f32(x: f32, centre: f32, scale: f32, numerator: &[f32], denominator: &[f32]) -> f32 {
    let z = (x - centre) * scale;
    let horner = |c: &[f32]| c.split_last().map_or(0.0, |(&last, rest)| rest.iter().rev().fold(last, |s, c| s * z + c));
    if denominator.is_empty() { horner(numerator) } else { horner(numerator) / horner(denominator) }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand.
    #[test]
    fn quotients_round_halves_away_from_zero() {
        let cases = [(5, 2, 3), (-5, 2, -3), (4, 3, 1), (-4, 3, -1), (7, 0, 0), (0, 5, 0), (i64::MAX, 2, i64::MAX / 2)];
        for (n, d, wanted) in cases {
            assert_eq!(divide_rounded(n, d), wanted, "{n}/{d}");
        }
    }

    #[test]
    fn ends_answer_for_what_lies_outside() {
        assert_eq!(segment_of(&[1.0, 2.0, 3.0], &0.0), 0);
        assert_eq!(segment_of(&[1.0, 2.0, 3.0], &2.0), 1);
        assert_eq!(segment_of(&[1.0, 2.0, 3.0], &9.0), 1);
        assert_eq!(look_up_fixed(&[0], &[1], 5), 0);
        assert!(look_up_f64(&[], &[], 5.0).is_nan());
        assert!(look_up_f32(&[0.0, 1.0], &[0.0], 0.5).is_nan());
    }

    // At u = 1/2 of a segment from 0 to 1000 with bend 40 and skew 8: 0 + (1000 + (40 + 4)/2)/2 = 511.
    #[test]
    fn a_bent_segment_in_integers_and_in_floating_point() {
        assert_eq!(bent_fixed(50, [0, 100], [0, 1000], [40, 8]), 511);
        assert_eq!(segment_f64(50.0, [0.0, 100.0], [0.0, 1000.0], [40.0, 8.0]), 511.0);
        assert_eq!(segment_f32(50.0, [0.0, 100.0], [0.0, 1000.0], [40.0, 8.0]), 511.0);
    }
}
