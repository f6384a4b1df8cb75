//! A covariance matrix as a result carries it: row-major numbers, no linear-algebra type.

/// A symmetric matrix of variances and covariances, row by row.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Covariance {
    size: usize,
    values: Vec<f64>,
}

impl Covariance {
    /// A matrix of zeros.
    #[must_use]
    pub fn zeros(size: usize) -> Self {
        Self { size, values: vec![0.0; size * size] }
    }

    /// A matrix by its elements; `element(i, j)` is asked for j ≤ i only.
    #[must_use]
    pub fn from_fn(size: usize, element: impl Fn(usize, usize) -> f64) -> Self {
        let mut matrix = Self::zeros(size);
        for i in 0..size {
            for j in 0..=i {
                matrix.set(i, j, element(i, j));
            }
        }
        matrix
    }

    /// Number of rows.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// All elements, row by row.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Covariance of quantities `i` and `j`; NaN outside the matrix.
    #[must_use]
    pub fn get(&self, i: usize, j: usize) -> f64 {
        if i < self.size && j < self.size { self.values[i * self.size + j] } else { f64::NAN }
    }

    /// Sets the covariance of `i` and `j`, both ways.
    pub(crate) fn set(&mut self, i: usize, j: usize, value: f64) {
        self.values[i * self.size + j] = value;
        self.values[j * self.size + i] = value;
    }

    /// Standard uncertainty of quantity `i`: the root of its variance.
    #[must_use]
    pub fn standard_uncertainty(&self, i: usize) -> f64 {
        self.get(i, i).sqrt()
    }

    /// Correlation coefficient of `i` and `j`; 0 where either has no variance.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> f64 {
        let scale = self.standard_uncertainty(i) * self.standard_uncertainty(j);
        if scale > 0.0 { self.get(i, j) / scale } else { 0.0 }
    }

    /// Covariance of the quantities whose derivatives to these ones are the rows of a matrix.
    #[must_use]
    pub(crate) fn propagated<const N: usize>(&self, jacobian: &[[f64; N]]) -> Self {
        Self::from_fn(jacobian.len(), |i, j| {
            let mut sum = 0.0;
            for (m, left) in jacobian[i].iter().enumerate() {
                for (n, right) in jacobian[j].iter().enumerate() {
                    sum += left * self.get(m, n) * right;
                }
            }
            sum
        })
    }

    /// Variance of the sum of `weights[i]` times quantity `i`.
    #[must_use]
    pub fn variance_of(&self, weights: &[f64]) -> f64 {
        let mut variance = 0.0;
        for (i, wi) in weights.iter().enumerate() {
            for (j, wj) in weights.iter().enumerate() {
                variance += wi * wj * self.get(i, j);
            }
        }
        variance
    }
}
