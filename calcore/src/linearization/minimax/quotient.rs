//! The quotient of two polynomials whose errors at a reference are equal and of alternating sign.
//!
//! # Formula
//! With r = p/q, r(z_k) = y_k + σ_k E and w_k = 1/Π (z_k − z_j), the sum Σ w_k φ(z_k) p(z_k) is zero for every φ of the degree
//! of q. So Σ w_k φ_i(z_k) (y_k + σ_k E) q(z_k) = 0. The signs of w_k alternate as those of σ_k do: with polynomials φ that are
//! orthonormal for the weights |w_k| the errors E are the eigenvalues of a symmetric matrix, and the eigenvectors are the
//! denominators. At most one of these keeps its sign on the reference.
//!
//! # Source
//! G. A. Watson, Approximation Theory and Numerical Methods (1980), section on rational approximation (equations on a
//! reference as an eigenvalue problem; from memory); R. Pachón, L. N. Trefethen, BIT Numer. Math. 49 (2009) 721-741, and
//! S.-I. Filip, Y. Nakatsukasa, L. N. Trefethen, B. Beckermann, SIAM J. Sci. Comput. 40 (2018) A2427-A2455 (symmetric form;
//! from memory).

use super::remez::{Best, Target};
use nalgebra::{DMatrix, DVector, SymmetricEigen};

/// Values of the Chebyshev polynomials up to a degree at places, a row for each place.
fn chebyshev(z: &[f64], degree: usize) -> DMatrix<f64> {
    let mut values = DMatrix::<f64>::zeros(z.len(), degree + 1);
    for (row, &z) in z.iter().enumerate() {
        let mut t = (1.0, z);
        for k in 0..=degree {
            values[(row, k)] = t.0;
            t = (t.1, 2.0 * z * t.1 - t.0);
        }
    }
    values
}

/// Square roots of |w_k|, the largest 1.
fn root_weights(z: &[f64]) -> DVector<f64> {
    let logarithm = |k: usize| -> f64 {
        let others = z.iter().enumerate().filter(|(j, _)| *j != k);
        -others.map(|(_, z_j)| libm::log((z[k] - z_j).abs())).sum::<f64>()
    };
    let logarithms: Vec<f64> = (0..z.len()).map(logarithm).collect();
    let most = logarithms.iter().fold(f64::NEG_INFINITY, |most, w| most.max(*w));
    DVector::from_iterator(z.len(), logarithms.iter().map(|w| libm::exp(0.5 * (w - most))))
}

/// The quotient for a reference (numbers of samples), and its error there; nothing where no denominator keeps its sign.
pub(super) fn solve(
    target: &Target<'_>,
    reference: &[usize],
    numerator: usize,
    denominator: usize,
) -> Option<(Best, f64)> {
    let z: Vec<f64> = reference.iter().map(|&i| target.z[i]).collect();
    let y = DVector::from_iterator(z.len(), reference.iter().map(|&i| target.y[i]));
    // A constant can go into the numerator, if that is not of the lower degree: less to cancel.
    let middle = if denominator <= numerator { 0.5 * (y.max() + y.min()) } else { 0.0 };
    let sign = |k: usize| if k.is_multiple_of(2) { 1.0 } else { -1.0 };
    let roots = root_weights(&z);
    let mut weighted = chebyshev(&z, denominator);
    for (k, mut row) in weighted.row_iter_mut().enumerate() {
        row *= roots[k];
    }
    let qr = weighted.qr();
    let (basis, change) = (qr.q(), qr.r());
    let mut signed = basis.clone();
    for (k, mut row) in signed.row_iter_mut().enumerate() {
        row *= sign(k) * (y[k] - middle);
    }
    let eigen = SymmetricEigen::try_new(basis.transpose() * signed, f64::EPSILON, 1000)?;
    for (i, &value) in eigen.eigenvalues.iter().enumerate() {
        let at_reference = (&basis * eigen.eigenvectors.column(i)).component_div(&roots);
        let keeps_sign = at_reference.iter().all(|q| *q > 0.0) || at_reference.iter().all(|q| *q < 0.0);
        if !keeps_sign {
            continue;
        }
        // r(z_k) = y_k + σ_k E with E = −λ.
        let e = -value;
        let q = change.solve_upper_triangular(&eigen.eigenvectors.column(i).clone_owned())?;
        let values = DVector::from_fn(z.len(), |k, _| (y[k] + sign(k) * e) * at_reference[k]);
        let p = chebyshev(&z, numerator).qr();
        let p = p.r().solve_upper_triangular(&(p.q().transpose() * values))?;
        let first = q[0];
        let best = Best {
            numerator: p.iter().map(|c| c / first).collect(),
            denominator: q.iter().map(|c| c / first).collect(),
            extremes: Vec::new(),
        };
        return (first != 0.0 && best.numerator.iter().all(|c| c.is_finite())).then_some((best, e));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand. (1 + z)/(2 + z) is itself such a quotient: no error is left on any reference.
    #[test]
    fn a_quotient_is_found_again() {
        let z: Vec<f64> = (0..=40).map(|i| f64::from(i) / 20.0 - 1.0).collect();
        let y: Vec<f64> = z.iter().map(|z| (1.0 + z) / (2.0 + z)).collect();
        let (best, e) = solve(&Target { z: &z, y: &y }, &[0, 10, 28, 40], 1, 1).unwrap();
        assert!(e.abs() < 1e-15, "{e}");
        for (c, wanted) in best.numerator.iter().chain(&best.denominator).zip([0.5, 0.5, 1.0, 0.5]) {
            assert!((c - wanted).abs() < 1e-14, "{best:?}");
        }
    }
}
