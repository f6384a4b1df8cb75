//! The published approximate inverses of the reference functions.

use super::reference::{RATIOS, is_below_the_gap};
use crate::constants::its90::{B, D, WATER_TRIPLE_POINT_K};
use crate::constants::temperature::ICE_POINT_K;
use crate::error::Result;
use crate::num::poly::horner;

/// Temperature at which ideal platinum has a reference ratio, kelvin, by the published approximation.
///
/// For comparison with software that uses it; [`super::temperature_from_ratio`] is exact and no slower to write.
///
/// # Formula
/// Below 273.16 K: T/273.16 K = Σ B_i ((W_r^(1/6) − 0.65)/0.35)^i, i = 0 to 15. Above:
/// T/K − 273.15 = Σ D_i ((W_r − 2.64)/1.64)^i, i = 0 to 9.
///
/// The document states that they agree with the reference functions within 0.1 mK and 0.13 mK; the largest differences
/// found are 0.0956 mK near 224.0 K and 0.1341 mK near 1134.2 K.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9b and 10b, table 4.
///
/// # Example
/// ```
/// use calcore::its90::{temperature_from_ratio, temperature_from_ratio_approximate};
/// let difference = temperature_from_ratio_approximate(2.5)? - temperature_from_ratio(2.5)?;
/// assert!(difference.abs() < 0.135e-3);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn temperature_from_ratio_approximate(w: f64) -> Result<f64> {
    RATIOS.check(w)?;
    Ok(if is_below_the_gap(w) { low(w) } else { high(w) })
}

#[inline]
pub(super) fn low(w: f64) -> f64 {
    let sixth_root = libm::sqrt(libm::cbrt(w));
    WATER_TRIPLE_POINT_K * horner(&B, (sixth_root - 0.65) / 0.35)
}

#[inline]
pub(super) fn high(w: f64) -> f64 {
    ICE_POINT_K + horner(&D, (w - 2.64) / 1.64)
}

#[cfg(test)]
mod tests {
    use crate::constants::its90::{HIGH_K, LOW_K};
    use crate::its90::reference::{high, low};

    // Witness: the bands of the document, and the largest differences found at 60 digits in 4001-point scans: 0.0956 mK
    // and 0.1341 mK (the document rounds the latter to 0.13 mK). 1e-4 mK: the printed digits.
    #[test]
    fn the_largest_differences_are_the_known_ones() {
        let largest = |low_k: f64, high_k: f64, difference: &dyn Fn(f64) -> f64| {
            (0..=4000).map(|i| difference(low_k + (high_k - low_k) * f64::from(i) / 4000.0).abs()).fold(0.0, f64::max)
        };
        let below = largest(LOW_K, 273.16, &|t_k| 1e3 * (super::low(low::ratio(t_k)) - t_k));
        let above = largest(273.15, HIGH_K, &|t_k| 1e3 * (super::high(high::ratio(t_k)) - t_k));
        assert!((below - 0.0956).abs() < 1e-4, "{below}");
        assert!((above - 0.1341).abs() < 1e-4, "{above}");
    }
}
