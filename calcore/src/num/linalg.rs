//! Least squares by orthogonal factorisation on scaled columns, and whitening by a Cholesky factor. The factorisations
//! are nalgebra's; none of its types leaves this room.

use crate::error::{Error, Result};
use crate::num::covariance::Covariance;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Smallest ratio of pivots (after scaling the columns to equal length) at which the unknowns still count as
/// determined: below it, rounding alone decides the answer.
const RANK_LIMIT: f64 = 1e-13;

/// Solution of a linear least-squares problem.
pub(crate) struct LeastSquares {
    pub solution: Vec<f64>,
    /// Inverse of the normal matrix: the covariance when every row has unit variance.
    pub cofactor: Covariance,
    /// Sum of squared residuals.
    pub sum_of_squares: f64,
    /// Ratio of the largest to the smallest singular value of the scaled design.
    pub condition_number: f64,
}

/// The lower factor L of a covariance matrix V = L Lᵀ, ready to whiten by L⁻¹.
pub(crate) struct Whitening {
    factor: Cholesky<f64, Dyn>,
}

impl Whitening {
    /// Factorises a covariance given row by row.
    pub(crate) fn new(what: &'static str, size: usize, values: &[f64]) -> Result<Self> {
        let matrix = DMatrix::from_row_slice(size, size, values);
        match Cholesky::new(matrix.clone()) {
            Some(factor) => Ok(Self { factor }),
            None => Err(Error::NotPositiveDefinite { what, row: first_bad_row(&matrix) }),
        }
    }

    /// Overwrites a column with L⁻¹ times it.
    pub(crate) fn apply(&self, column: &mut [f64]) {
        let mut vector = DVector::from_column_slice(column);
        self.factor.l_dirty().solve_lower_triangular_mut(&mut vector);
        column.copy_from_slice(vector.as_slice());
    }

    /// V⁻¹ times a vector.
    pub(crate) fn solve(&self, vector: &[f64]) -> Vec<f64> {
        self.factor.solve(&DVector::from_column_slice(vector)).as_slice().to_vec()
    }
}

fn first_bad_row(matrix: &DMatrix<f64>) -> usize {
    (1..=matrix.nrows())
        .find(|&n| Cholesky::new(matrix.view((0, 0), (n, n)).into_owned()).is_none())
        .map_or(0, |n| n - 1)
}

/// Minimises |columns · x − target|².
///
/// # Errors
/// [`Error::Undetermined`] with the name of the first unknown that the rows leave open.
pub(crate) fn least_squares(
    what: &'static str,
    names: &[&str],
    columns: &[Vec<f64>],
    target: &[f64],
    hint: &'static str,
) -> Result<LeastSquares> {
    let (rows, unknowns) = (target.len(), columns.len());
    let undetermined =
        |j: usize| Error::Undetermined { what, parameter: names.get(j).copied().unwrap_or("a parameter").into(), hint };
    let mut scales = Vec::with_capacity(unknowns);
    let mut design = DMatrix::zeros(rows, unknowns);
    for (j, column) in columns.iter().enumerate() {
        let length = column.iter().map(|v| v * v).sum::<f64>().sqrt();
        if length.is_nan() || length <= 0.0 || !length.is_finite() {
            return Err(undetermined(j));
        }
        // A power of two, so that scaling rounds nothing.
        let scale = libm::exp2(-libm::round(libm::log2(length)));
        scales.push(scale);
        for (i, value) in column.iter().enumerate() {
            design[(i, j)] = value * scale;
        }
    }
    let condition_number = condition(&design);
    let qr = design.qr();
    let r = qr.r();
    let largest = (0..unknowns).map(|j| r[(j, j)].abs()).fold(0.0, f64::max);
    if let Some(j) = (0..unknowns).find(|&j| !(r[(j, j)].abs() > RANK_LIMIT * largest)) {
        return Err(undetermined(j));
    }
    let mut rhs = DVector::from_column_slice(target);
    qr.q_tr_mul(&mut rhs);
    let sum_of_squares = rhs.rows(unknowns, rows - unknowns).iter().map(|v| v * v).sum();
    let mut solution = rhs.rows(0, unknowns).into_owned();
    r.solve_upper_triangular_mut(&mut solution);
    let mut inverse = DMatrix::identity(unknowns, unknowns);
    r.solve_upper_triangular_mut(&mut inverse);
    let mut cofactor = Covariance::zeros(unknowns);
    for i in 0..unknowns {
        for j in 0..=i {
            let dot: f64 = (i..unknowns).map(|k| inverse[(i, k)] * inverse[(j, k)]).sum();
            cofactor.set(i, j, dot * scales[i] * scales[j]);
        }
    }
    let solution = solution.iter().zip(&scales).map(|(x, scale)| x * scale).collect();
    Ok(LeastSquares { solution, cofactor, sum_of_squares, condition_number })
}

/// Condition number, reported and not decided on.
fn condition(design: &DMatrix<f64>) -> f64 {
    let values = design.singular_values();
    let (mut low, mut high) = (f64::INFINITY, 0.0f64);
    for value in values.iter() {
        low = low.min(*value);
        high = high.max(*value);
    }
    high / low
}

/// Smallest eigenvalue of a symmetric matrix given row by row; infinite for none.
pub(crate) fn smallest_eigenvalue(size: usize, values: &[f64]) -> f64 {
    if size == 0 {
        return f64::INFINITY;
    }
    DMatrix::from_row_slice(size, size, values).symmetric_eigenvalues().iter().copied().fold(f64::INFINITY, f64::min)
}
