//! Correlation coefficients between the inputs, checked once.

use crate::error::{Error, Result, finite, same_length};
use crate::num::linalg::smallest_eigenvalue;

/// How far the smallest eigenvalue may lie below zero, for each row of the matrix: coefficients typed with some
/// decimals, or computed, make a singular matrix miss zero by their rounding.
const EIGENVALUE_SLACK: f64 = 1e-9;

/// Variance that is left to a quantity, of 1, below which the ones before it are taken to determine it.
const FACTOR_SLACK: f64 = 1e-12;

/// A matrix of correlation coefficients: symmetric, ones on the diagonal, no negative eigenvalue.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Correlation {
    size: usize,
    values: Vec<f64>,
}

impl Correlation {
    /// Checks coefficients given row by row.
    ///
    /// The coefficients themselves are kept, not the covariances: inputs of very different size, or without any
    /// uncertainty, do no harm to the check.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::NotFinite`]; [`Error::OutOfRange`] for a coefficient outside −1 to 1;
    /// [`Error::InvalidValue`] for a diagonal that is not 1, a matrix that is not symmetric, or (with the smallest
    /// eigenvalue as value) coefficients that no set of quantities can have together.
    ///
    /// # Source
    /// JCGM 101:2008, 3.11 and 6.4.8; JCGM 102:2011, 3.21.
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::correlation::Correlation;
    /// assert!(Correlation::new(2, &[1.0, 0.3, 0.3, 1.0]).is_ok());
    /// // A like B, B like C, but A opposite to C: impossible.
    /// let error = Correlation::new(3, &[1.0, 0.9, -0.9, 0.9, 1.0, 0.9, -0.9, 0.9, 1.0]).unwrap_err();
    /// assert!(error.to_string().starts_with("smallest eigenvalue of the correlation matrix is -0.8"));
    /// ```
    pub fn new(size: usize, values: &[f64]) -> Result<Self> {
        same_length("correlation matrix", size.saturating_mul(size), values.len())?;
        let mut kept = values.to_vec();
        for i in 0..size {
            let diagonal = finite("correlation coefficient", values[i * size + i])?;
            if (diagonal - 1.0).abs() > 1e-12 {
                return Err(Error::InvalidValue {
                    what: "correlation of a quantity with itself",
                    value: diagonal,
                    unit: "",
                    requirement: format!("it must be 1 (row {i}, counted from 0)"),
                });
            }
            kept[i * size + i] = 1.0;
            for j in 0..i {
                let (r, mirrored) = (values[i * size + j], values[j * size + i]);
                for coefficient in [r, mirrored] {
                    finite("correlation coefficient", coefficient)?;
                    // Computed coefficients of ±1 miss it by rounding.
                    if coefficient.abs() > 1.0 + 1e-12 {
                        return Err(Error::OutOfRange {
                            what: "correlation coefficient",
                            value: coefficient,
                            low: -1.0,
                            high: 1.0,
                            unit: "",
                            position: None,
                        });
                    }
                }
                if (r - mirrored).abs() > 1e-12 {
                    return Err(Error::InvalidValue {
                        what: "correlation coefficient",
                        value: r,
                        unit: "",
                        requirement: format!("the matrix must be symmetric, but row {j} column {i} says {mirrored}"),
                    });
                }
                let r = r.clamp(-1.0, 1.0);
                kept[i * size + j] = r;
                kept[j * size + i] = r;
            }
        }
        let smallest = smallest_eigenvalue(size, &kept);
        // `size` is small: the conversion is exact.
        let slack = EIGENVALUE_SLACK * size as f64;
        if smallest < -slack {
            return Err(Error::InvalidValue {
                what: "smallest eigenvalue of the correlation matrix",
                value: smallest,
                unit: "",
                requirement: format!(
                    "it must not be below 0 (to {slack:.1e}): no quantities can be correlated in this way together"
                ),
            });
        }
        Ok(Self { size, values: kept })
    }

    /// Number of quantities.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// All coefficients, row by row.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Coefficient between quantities `i` and `j`; NaN outside the matrix.
    #[must_use]
    pub fn get(&self, i: usize, j: usize) -> f64 {
        if i < self.size && j < self.size { self.values[i * self.size + j] } else { f64::NAN }
    }

    /// For each contribution cᵢ the part cᵢ Σⱼ rᵢⱼ cⱼ of the variance of their sum.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`].
    pub(crate) fn parts_of_variance(&self, contributions: &[f64]) -> Result<Vec<f64>> {
        same_length("correlation matrix (rows)", contributions.len(), self.size)?;
        Ok(contributions
            .iter()
            .enumerate()
            .map(|(i, c)| c * contributions.iter().enumerate().map(|(j, d)| self.get(i, j) * d).sum::<f64>())
            .collect())
    }

    /// Lower factor L with L Lᵀ = the coefficients among the given quantities, row by row. A quantity that the ones
    /// before it determine gets nothing of its own; rows are scaled so that each has exactly length 1.
    pub(crate) fn factor(&self, members: &[usize]) -> Vec<f64> {
        let n = members.len();
        let mut factor = vec![0.0; n * n];
        for row in 0..n {
            for column in 0..=row {
                let known: f64 = (0..column).map(|k| factor[row * n + k] * factor[column * n + k]).sum();
                let left = self.get(members[row], members[column]) - known;
                let pivot = factor[column * n + column];
                factor[row * n + column] = if row == column {
                    if left > FACTOR_SLACK { left.sqrt() } else { 0.0 }
                } else if pivot > 0.0 {
                    left / pivot
                } else {
                    0.0
                };
            }
            let length = (0..=row).map(|k| factor[row * n + k] * factor[row * n + k]).sum::<f64>().sqrt();
            for value in &mut factor[row * n..=row * n + row] {
                *value /= length;
            }
        }
        factor
    }

    /// The quantities sorted into groups that are correlated with each other, directly or by way of others.
    pub(crate) fn groups(&self) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.size];
        let mut groups = Vec::new();
        for start in 0..self.size {
            if seen[start] {
                continue;
            }
            seen[start] = true;
            let mut group = vec![start];
            let mut next = 0;
            while next < group.len() {
                let i = group[next];
                next += 1;
                for (j, known) in seen.iter_mut().enumerate() {
                    if !*known && self.get(i, j).abs() > 0.0 {
                        *known = true;
                        group.push(j);
                    }
                }
            }
            groups.push(group);
        }
        groups
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_matrices_are_refused() {
        let code = |n, v: &[f64]| Correlation::new(n, v).map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(2, &[1.0, 0.5, 0.5]), Err(105));
        assert_eq!(code(2, &[1.0, 1.1, 1.1, 1.0]), Err(102));
        assert_eq!(code(2, &[0.9, 0.1, 0.1, 1.0]), Err(103));
        assert_eq!(code(2, &[1.0, 0.1, 0.2, 1.0]), Err(103));
        assert_eq!(code(2, &[1.0, f64::NAN, 0.2, 1.0]), Err(101));
        assert_eq!(code(0, &[]), Ok(()));
        // All alike: singular, but possible.
        assert_eq!(code(3, &[1.0; 9]), Ok(()));
    }

    #[test]
    fn factor_gives_the_matrix_back_also_when_singular() {
        let cases: [(usize, &[f64]); 3] = [
            (3, &[1.0, 0.5, -0.2, 0.5, 1.0, 0.4, -0.2, 0.4, 1.0]),
            (3, &[1.0; 9]),
            (3, &[1.0, -1.0, 0.3, -1.0, 1.0, -0.3, 0.3, -0.3, 1.0]),
        ];
        for (n, values) in cases {
            let factor = Correlation::new(n, values).unwrap().factor(&[0, 1, 2]);
            for i in 0..n {
                for j in 0..n {
                    let product: f64 = (0..n).map(|k| factor[i * n + k] * factor[j * n + k]).sum();
                    assert!((product - values[i * n + j]).abs() < 1e-14, "{values:?}");
                }
            }
        }
    }

    #[test]
    fn groups_follow_chains() {
        let m = Correlation::new(4, &[1.0, 0.5, 0.0, 0.0, 0.5, 1.0, 0.0, 0.3, 0.0, 0.0, 1.0, 0.0, 0.0, 0.3, 0.0, 1.0]);
        assert_eq!(m.unwrap().groups(), vec![vec![0, 1, 3], vec![2]]);
    }
}
