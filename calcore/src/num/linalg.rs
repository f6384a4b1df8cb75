//! Orthogonal factorisation for least squares, and whitening by a Cholesky factor, on plain slices.
//!
//! The systems of this trade are small (seven points, four unknowns): a factorisation that allocates costs more than
//! its arithmetic, so the Householder and Cholesky recurrences stand here themselves; eigenvalues are nalgebra's, none
//! of whose types leaves this room. All matrices are column-major unless it is said otherwise.

// Indices speak the language of the formulas.
#![allow(clippy::needless_range_loop)]

use crate::error::{Error, Result};
use nalgebra::DMatrix;

/// Smallest ratio of pivots (after scaling the columns to comparable length) at which the unknowns still count as
/// determined: below it, rounding alone decides the answer.
pub(crate) const RANK_LIMIT: f64 = 1e-13;

/// Part of the largest diagonal element up to which a negative pivot is taken for rounding of a zero.
const PIVOT_ROUNDING: f64 = 1e-12;

/// A column that the rows leave open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OpenColumn(pub(crate) usize);

/// Reduces a matrix of `rows` × `cols` to its triangular factor by Householder reflections, in place, and applies the
/// same reflections to `rhs`. R stands above the diagonal of the matrix, its diagonal in `diagonal`.
///
/// # Source
/// A. S. Householder, J. ACM 5 (1958) 339.
#[inline(always)]
pub(crate) fn triangularise(matrix: &mut [f64], rows: usize, cols: usize, rhs: &mut [f64], diagonal: &mut [f64]) {
    for k in 0..cols {
        let (left, right) = matrix.split_at_mut((k + 1) * rows);
        let v = &mut left[k * rows + k..];
        let mut square = 0.0;
        for x in v.iter() {
            square += x * x;
        }
        let norm = square.sqrt();
        let head = v[0];
        let pivot = if head > 0.0 { -norm } else { norm };
        diagonal[k] = pivot;
        if norm <= 0.0 {
            continue;
        }
        v[0] = head - pivot;
        // −2 / |v|² in the form that does not cancel.
        let factor = 1.0 / (pivot * v[0]);
        for column in right.chunks_exact_mut(rows).take(cols - k - 1) {
            reflect(v, factor, &mut column[k..]);
        }
        reflect(v, factor, &mut rhs[k..rows]);
    }
}

#[inline(always)]
fn reflect(v: &[f64], factor: f64, column: &mut [f64]) {
    let mut dot = 0.0;
    for (a, b) in v.iter().zip(column.iter()) {
        dot += a * b;
    }
    let scaled = dot * factor;
    for (a, b) in v.iter().zip(column.iter_mut()) {
        *b += a * scaled;
    }
}

/// The first column whose pivot is lost in rounding, judged on columns of comparable length.
///
/// # Errors
/// [`OpenColumn`].
#[inline(always)]
pub(crate) fn check_rank(diagonal: &[f64]) -> std::result::Result<(), OpenColumn> {
    let largest = diagonal.iter().fold(0.0f64, |m, d| m.max(d.abs()));
    match diagonal.iter().position(|d| d.is_nan() || d.abs() <= RANK_LIMIT * largest) {
        Some(j) => Err(OpenColumn(j)),
        None => Ok(()),
    }
}

/// Inverse of the triangular factor left by [`triangularise`], column-major `cols` × `cols`.
#[inline(always)]
pub(crate) fn invert_triangle(matrix: &[f64], rows: usize, cols: usize, diagonal: &[f64], inverse: &mut [f64]) {
    inverse[..cols * cols].fill(0.0);
    for j in 0..cols {
        inverse[j * cols + j] = 1.0 / diagonal[j];
        for i in (0..j).rev() {
            let mut sum = 0.0;
            for k in i + 1..=j {
                sum += matrix[k * rows + i] * inverse[j * cols + k];
            }
            inverse[j * cols + i] = -sum / diagonal[i];
        }
    }
}

/// An upper triangle (column-major) times a vector.
#[inline(always)]
pub(crate) fn triangle_times(inverse: &[f64], cols: usize, vector: &[f64], product: &mut [f64]) {
    for (i, p) in product[..cols].iter_mut().enumerate() {
        let mut sum = 0.0;
        for k in i..cols {
            sum += inverse[k * cols + i] * vector[k];
        }
        *p = sum;
    }
}

/// Ratio of the largest to the smallest singular value of a triangular factor, from it and its inverse.
///
/// The largest eigenvalue of G = AᵀA is read off a high power of it: G², G⁴ … G⁵¹². Where
/// the two largest eigenvalues lie so close that this does not part them, they hardly differ.
#[inline(always)]
pub(crate) fn condition_number(matrix: &[f64], rows: usize, cols: usize, diagonal: &[f64], inverse: &[f64]) -> f64 {
    let r = |i: usize, j: usize| if i == j { diagonal[j] } else { matrix[j * rows + i] };
    let t = |i: usize, j: usize| inverse[j * cols + i];
    let product = match cols {
        1 => return 1.0,
        2 => small_largest::<2>(r) * small_largest::<2>(t),
        3 => small_largest::<3>(r) * small_largest::<3>(t),
        4 => small_largest::<4>(r) * small_largest::<4>(t),
        n => large_largest(n, r) * large_largest(n, t),
    };
    product.max(1.0)
}

/// Largest singular value of the upper triangle with elements `t(i, j)`, i ≤ j.
#[inline(always)]
fn small_largest<const N: usize>(t: impl Fn(usize, usize) -> f64) -> f64 {
    let mut full = [[0.0; N]; N];
    for i in 0..N {
        for j in i..N {
            full[i][j] = t(i, j);
        }
    }
    let mut g = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..N {
            for k in 0..N {
                g[i][j] += full[k][i] * full[k][j];
            }
        }
    }
    let mut p = g;
    for _ in 0..9 {
        // Back to trace 1, lest it overflow.
        let mut trace = 0.0;
        for i in 0..N {
            trace += p[i][i];
        }
        let back = 1.0 / trace;
        for i in 0..N {
            for j in 0..N {
                p[i][j] *= back;
            }
        }
        let mut q = [[0.0; N]; N];
        for i in 0..N {
            for k in 0..N {
                for j in 0..N {
                    q[i][j] += p[i][k] * p[k][j];
                }
            }
        }
        p = q;
    }
    let (mut value, mut trace) = (0.0, 0.0);
    for i in 0..N {
        trace += p[i][i];
        for j in 0..N {
            value += p[i][j] * g[i][j];
        }
    }
    (value / trace).sqrt()
}

/// The same for any size.
fn large_largest(n: usize, t: impl Fn(usize, usize) -> f64) -> f64 {
    let full = DMatrix::from_fn(n, n, |i, j| if i <= j { t(i, j) } else { 0.0 });
    full.singular_values().iter().copied().fold(0.0, f64::max)
}

/// Lower Cholesky factor of a symmetric matrix (row by row, size × size), in place of its lower triangle.
///
/// # Errors
/// The row at which the matrix turns out not to be positive definite.
pub(crate) fn cholesky(matrix: &mut [f64], size: usize) -> std::result::Result<(), usize> {
    for i in 0..size {
        let (above, row) = matrix.split_at_mut(i * size);
        for j in 0..i {
            let upper = &above[j * size..j * size + j + 1];
            let mut sum = row[j];
            for k in 0..j {
                sum -= row[k] * upper[k];
            }
            row[j] = sum / upper[j];
        }
        let given = row[i];
        let mut pivot = given;
        for value in &row[..i] {
            pivot -= value * value;
        }
        // What is left of the diagonal after cancellation must stand clear of its rounding.
        if !(pivot > 4.0 * f64::EPSILON * given && pivot.is_finite()) {
            return Err(i);
        }
        row[i] = pivot.sqrt();
    }
    Ok(())
}

/// Overwrites a vector with L⁻¹ times it, L as [`cholesky`] leaves it.
#[inline(always)]
pub(crate) fn forward_substitute(factor: &[f64], size: usize, vector: &mut [f64]) {
    for i in 0..size {
        let row = &factor[i * size..i * size + i + 1];
        let mut sum = vector[i];
        for k in 0..i {
            sum -= row[k] * vector[k];
        }
        vector[i] = sum / row[i];
    }
}

/// Overwrites a vector with L⁻ᵀ times it.
#[inline(always)]
pub(crate) fn back_substitute(factor: &[f64], size: usize, vector: &mut [f64]) {
    for i in (0..size).rev() {
        let mut sum = vector[i];
        for k in i + 1..size {
            sum -= factor[k * size + i] * vector[k];
        }
        vector[i] = sum / factor[i * size + i];
    }
}

/// Refuses a matrix (row by row) that cannot be a covariance: not square, not finite, not symmetric, or with a
/// negative variance of some combination. A singular one passes: fully correlated errors are such.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`], [`Error::InvalidValue`], [`Error::NotPositiveDefinite`].
pub(crate) fn check_covariance(what: &'static str, size: usize, values: &[f64]) -> Result<()> {
    crate::error::same_length(what, size * size, values.len())?;
    for (index, value) in values.iter().enumerate() {
        crate::error::finite(what, *value).map_err(|e| e.at_index(index, 1))?;
    }
    for i in 0..size {
        for j in 0..i {
            let (lower, upper) = (values[i * size + j], values[j * size + i]);
            if (lower - upper).abs() > 1e-9 * (lower.abs() + upper.abs()) {
                return Err(Error::InvalidValue {
                    what,
                    value: lower,
                    unit: "",
                    requirement: format!("it must be symmetric, but row {i} column {j} differs from {upper}"),
                });
            }
        }
    }
    match first_negative_row(values, size) {
        Some(row) => Err(Error::NotPositiveDefinite { what, row }),
        None => Ok(()),
    }
}

/// The row at which a symmetric matrix shows a negative pivot beyond rounding.
fn first_negative_row(values: &[f64], size: usize) -> Option<usize> {
    let mut l = values.to_vec();
    let largest = (0..size).map(|i| values[i * size + i]).fold(0.0, f64::max);
    let zero = PIVOT_ROUNDING * largest;
    for i in 0..size {
        for j in 0..i {
            let mut sum = l[i * size + j];
            for k in 0..j {
                sum -= l[i * size + k] * l[j * size + k];
            }
            let pivot = l[j * size + j];
            // A row without variance left cannot be correlated with anything.
            if pivot <= 0.0 && sum.abs() > (zero * largest).sqrt() {
                return Some(i);
            }
            l[i * size + j] = if pivot > 0.0 { sum / pivot } else { 0.0 };
        }
        let mut pivot = l[i * size + i];
        for k in 0..i {
            pivot -= l[i * size + k] * l[i * size + k];
        }
        if pivot < -zero {
            return Some(i);
        }
        l[i * size + i] = if pivot > zero { pivot.sqrt() } else { 0.0 };
    }
    None
}

/// Smallest eigenvalue of a symmetric matrix given row by row; infinite for none.
pub(crate) fn smallest_eigenvalue(size: usize, values: &[f64]) -> f64 {
    if size == 0 {
        return f64::INFINITY;
    }
    DMatrix::from_row_slice(size, size, values).symmetric_eigenvalues().iter().copied().fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_factors_of_a_matrix_known_by_hand() {
        // Columns (3, 4), (1, 2): |first| = 5, projection (3 + 8)/5 = 2.2, rest |(1,2) - 2.2 (0.6, 0.8)| = 0.4.
        let (mut matrix, mut rhs, mut diagonal) = ([3.0, 4.0, 1.0, 2.0], [10.0, 14.0], [0.0; 2]);
        triangularise(&mut matrix, 2, 2, &mut rhs, &mut diagonal);
        assert!((diagonal[0].abs() - 5.0).abs() < 1e-15 && (diagonal[1].abs() - 0.4).abs() < 1e-14);
        let mut inverse = [0.0; 4];
        invert_triangle(&matrix, 2, 2, &diagonal, &mut inverse);
        let mut solution = [0.0; 2];
        triangle_times(&inverse, 2, &rhs, &mut solution);
        // 3 x + y = 10 and 4 x + 2 y = 14 give x = 3, y = 1.
        assert!((solution[0] - 3.0).abs() < 1e-14 && (solution[1] - 1.0).abs() < 1e-14);
        // Singular values of [[3, 1], [4, 2]]: s² = 15 ± sqrt(221).
        let want = ((15.0 + 221f64.sqrt()) / (15.0 - 221f64.sqrt())).sqrt();
        let condition = condition_number(&matrix, 2, 2, &diagonal, &inverse);
        assert!((condition / want - 1.0).abs() < 1e-12, "{condition} {want}");
    }

    #[test]
    fn what_is_no_covariance_is_named_by_its_row() {
        let row = |values: &[f64]| check_covariance("v", 2, values);
        assert_eq!(row(&[1.0, 0.5, 0.5, 1.0]), Ok(()));
        assert_eq!(row(&[1.0, 1.0, 1.0, 1.0]), Ok(()));
        assert_eq!(row(&[0.0, 0.0, 0.0, 0.0]), Ok(()));
        assert_eq!(row(&[1.0, 2.0, 2.0, 1.0]), Err(Error::NotPositiveDefinite { what: "v", row: 1 }));
        assert_eq!(row(&[-1.0, 0.0, 0.0, 1.0]), Err(Error::NotPositiveDefinite { what: "v", row: 0 }));
        assert_eq!(row(&[0.0, 0.5, 0.5, 1.0]), Err(Error::NotPositiveDefinite { what: "v", row: 1 }));
        assert_eq!(row(&[1.0, 0.5, 0.4, 1.0]).map_err(|e| e.code()), Err(103));
        assert_eq!(row(&[1.0, 0.5, 0.4]).map_err(|e| e.code()), Err(105));
        assert_eq!(row(&[1.0, f64::NAN, 0.4, 1.0]).map_err(|e| e.code()), Err(101));
    }

    #[test]
    fn cholesky_and_its_substitutions() {
        // [[4, 2], [2, 5]] = L Lᵀ with L = [[2, 0], [1, 2]].
        let mut m = [4.0, 2.0, 2.0, 5.0];
        assert_eq!(cholesky(&mut m, 2), Ok(()));
        assert_eq!((m[0], m[2], m[3]), (2.0, 1.0, 2.0));
        let mut v = [2.0, 5.0];
        forward_substitute(&m, 2, &mut v);
        assert_eq!(v, [1.0, 2.0]);
        back_substitute(&m, 2, &mut v);
        assert_eq!(v, [0.0, 1.0]);
        assert_eq!(cholesky(&mut [1.0, 1.0, 1.0, 1.0], 2), Err(1));
    }
}
