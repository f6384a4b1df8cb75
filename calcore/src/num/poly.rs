//! Polynomials by Horner's rule, coefficients in ascending order.

/// Σ c_i x^i; zero for no coefficients.
#[inline(always)]
pub(crate) fn horner(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Σ c_i x^i and its derivative.
#[inline(always)]
pub(crate) fn horner_with_slope(coefficients: &[f64], x: f64) -> (f64, f64) {
    coefficients.iter().rev().fold((0.0, 0.0), |(sum, slope), c| (sum * x + c, slope * x + sum))
}

/// Square root, correctly rounded. With the standard library it is the instruction of the processor, which also works on
/// several numbers side by side.
#[inline(always)]
pub(crate) fn square_root(x: f64) -> f64 {
    #[cfg(feature = "std")]
    return x.sqrt();
    #[cfg(not(feature = "std"))]
    libm::sqrt(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: (x − 1)(x − 2)(x − 3) = −6 + 11 x − 6 x² + x³, at 5: 24, slope 3·25 − 60 + 11 = 26, by hand.
    #[test]
    fn a_cubic_and_its_slope() {
        let cubic = [-6.0, 11.0, -6.0, 1.0];
        assert_eq!(horner(&cubic, 5.0), 24.0);
        assert_eq!(horner_with_slope(&cubic, 5.0), (24.0, 26.0));
        assert_eq!(horner(&[], 5.0), 0.0);
    }
}
