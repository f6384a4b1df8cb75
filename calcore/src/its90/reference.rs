//! The reference functions W_r(T90) and their exact inverse.
//!
//! # The gap at the triple point of water
//! At 273.16 K the lower function gives 1 − 1.0e-8 and the upper one 1 − 4.65e-9, and neither exactly 1: a gap of
//! 0.00134 mK. The rule here: the lower function holds below 273.16 K, the upper one from 273.16 K on, and every ratio
//! between the two values belongs to 273.16 K. So the ratio rises over the whole range and the inverse never falls.
//! A thermometer calibrated in a range that ends at 273.16 K uses the lower function up to that end, one calibrated
//! from 0 °C up uses the upper one down to 0 °C (H. Preston-Thomas, 3.3.1 and 3.3.2).

use super::approximate;
use crate::constants::its90::{A, C, HIGH_K, LOW_K, WATER_TRIPLE_POINT_K};
use crate::error::Result;
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::poly::{horner, horner_with_slope};

/// A ratio inside the gap: below it the lower function is inverted, above it the upper one.
pub(super) const IN_THE_GAP: f64 = 0.999_999_993;

/// W_r at [`LOW_K`] and at [`HIGH_K`], rounded outwards in the 16th digit; checked against the functions in a test.
const RATIO_LOW: f64 = 0.001_190_068_069_014_66;
const RATIO_HIGH: f64 = 4.286_420_527_603_379;

pub(super) const TEMPERATURES: Interval = Interval { what: "temperature", unit: "K", low: LOW_K, high: HIGH_K };
pub(super) const RATIOS: Interval =
    Interval { what: "reference resistance ratio", unit: "", low: RATIO_LOW, high: RATIO_HIGH };

/// Reference ratio W_r = R(T)/R(273.16 K) of ideal platinum at a temperature.
///
/// # Formula
/// Below 273.16 K: ln W_r = Σ A_i ((ln(T/273.16 K) + 1.5)/1.5)^i, i = 0 to 12. From 273.16 K on:
/// W_r = Σ C_i ((T/K − 754.15)/481)^i, i = 0 to 9.
///
/// # Arguments
/// `t_k`: temperature on the ITS-90, kelvin, 13.8033 to 1234.93.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10 and 107, equations 9a and 10a, table 4.
///
/// # Example
/// ```
/// // Freezing point of tin: table 1 prints 1.892 797 68.
/// let w = calcore::its90::reference_ratio(505.078)?;
/// assert!((w - 1.892_797_68).abs() < 5e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn reference_ratio(t_k: f64) -> Result<f64> {
    TEMPERATURES.check(t_k)?;
    Ok(if t_k < WATER_TRIPLE_POINT_K { low::ratio(t_k) } else { high::ratio(t_k) })
}

/// Slope dW_r/dT of the reference function, 1/K; at 273.16 K that of the upper function.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
pub fn reference_slope(t_k: f64) -> Result<f64> {
    TEMPERATURES.check(t_k)?;
    Ok(if t_k < WATER_TRIPLE_POINT_K { low::slope(t_k) } else { high::slope(t_k) })
}

/// Temperature at which ideal platinum has a reference ratio, kelvin: the exact inverse of [`reference_ratio`].
///
/// Ratios between the two values at 273.16 K, 0.999 999 990 and 0.999 999 995, give 273.16 K.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`].
///
/// # Example
/// ```
/// use calcore::its90::{reference_ratio, temperature_from_ratio};
/// let t_k = temperature_from_ratio(reference_ratio(692.677)?)?;
/// assert!((t_k - 692.677).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn temperature_from_ratio(w: f64) -> Result<f64> {
    RATIOS.check(w)?;
    Ok(if is_below_the_gap(w) {
        low::temperature(w).min(WATER_TRIPLE_POINT_K)
    } else {
        high::temperature(w).max(WATER_TRIPLE_POINT_K)
    })
}

/// Whether a reference ratio is one of the lower function, or of the lower half of the gap.
pub(crate) fn is_below_the_gap(w_r: f64) -> bool {
    w_r < IN_THE_GAP
}

/// The function from 13.8033 K to 273.16 K. Nothing is checked.
pub(crate) mod low {
    use super::{A, Enclosure, Jet, WATER_TRIPLE_POINT_K, approximate, horner, horner_with_slope};

    #[inline]
    fn argument(t_k: f64) -> f64 {
        (libm::log(t_k / WATER_TRIPLE_POINT_K) + 1.5) / 1.5
    }

    #[inline]
    pub(crate) fn ratio(t_k: f64) -> f64 {
        libm::exp(horner(&A, argument(t_k)))
    }

    /// Enclosures of the ratio and its derivatives over temperatures, K.
    pub(crate) fn jet(t_k: &Jet) -> Jet {
        let unit = Enclosure::rounded(WATER_TRIPLE_POINT_K).reciprocal();
        let shift = Enclosure::point(1.5);
        let argument = t_k.scaled(unit).logarithm().moved(shift).scaled(shift.reciprocal());
        Jet::polynomial(A.iter().map(|&a| Enclosure::rounded(a)), argument.value()).of(&argument).exponential()
    }

    #[inline]
    pub(crate) fn slope(t_k: f64) -> f64 {
        let (logarithm, slope) = horner_with_slope(&A, argument(t_k));
        libm::exp(logarithm) * slope / (1.5 * t_k)
    }

    /// Newton's method in ln W_r from the published inverse, which lies within 0.1 mK: the first step leaves less than
    /// 2e-9 K (the curvature of ln W_r is below 0.1 of its slope per kelvin), the second nothing but rounding.
    #[inline]
    pub(crate) fn temperature(w: f64) -> f64 {
        let target = libm::log(w);
        let mut t_k = approximate::low(w);
        for _ in 0..2 {
            let (logarithm, slope) = horner_with_slope(&A, argument(t_k));
            t_k -= (logarithm - target) * (1.5 * t_k) / slope;
        }
        t_k
    }
}

/// The function from 0 °C to 961.78 °C. Nothing is checked.
pub(crate) mod high {
    use super::{C, Enclosure, Jet, approximate, horner, horner_with_slope};

    #[inline]
    fn argument(t_k: f64) -> f64 {
        (t_k - 754.15) / 481.0
    }

    #[inline]
    pub(crate) fn ratio(t_k: f64) -> f64 {
        horner(&C, argument(t_k))
    }

    /// Enclosures of the ratio and its derivatives over temperatures, K.
    pub(crate) fn jet(t_k: &Jet) -> Jet {
        let argument = t_k.moved(-Enclosure::rounded(754.15)).scaled(Enclosure::point(481.0).reciprocal());
        Jet::polynomial(C.iter().map(|&c| Enclosure::rounded(c)), argument.value()).of(&argument)
    }

    #[inline]
    pub(crate) fn slope(t_k: f64) -> f64 {
        horner_with_slope(&C, argument(t_k)).1 / 481.0
    }

    /// Newton's method from the published inverse, which lies within 0.135 mK: the first step leaves less than
    /// 1e-11 K, the second nothing but rounding.
    #[inline]
    pub(crate) fn temperature(w: f64) -> f64 {
        let mut t_k = approximate::high(w);
        for _ in 0..2 {
            let (ratio, slope) = horner_with_slope(&C, argument(t_k));
            t_k -= (ratio - w) * 481.0 / slope;
        }
        t_k
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_ratio_lie_just_outside_those_of_the_functions() {
        let (lowest, highest) = (low::ratio(LOW_K), high::ratio(HIGH_K));
        assert!(RATIO_LOW < lowest && lowest - RATIO_LOW < 1e-16, "{lowest:e}");
        assert!(RATIO_HIGH >= highest && RATIO_HIGH - highest < 1e-15, "{highest:e}");
    }

    // Witness: mpmath at 50 digits from the published coefficients: 1 − 1.0e-8 and 1 − 4.654 144 6e-9 at 273.16 K, a
    // gap of 0.001 340 31 mK. Tolerance: two units in the last place of 1.
    #[test]
    fn the_gap_at_the_triple_point_of_water_belongs_to_it() {
        let (below, above) = (low::ratio(WATER_TRIPLE_POINT_K), high::ratio(WATER_TRIPLE_POINT_K));
        assert!((below - 0.999_999_99).abs() < 4.5e-16);
        assert!((above - 0.999_999_995_345_855_4).abs() < 4.5e-16);
        assert!((1e3 * (above - below) / high::slope(WATER_TRIPLE_POINT_K) - 0.001_340_31).abs() < 1e-7);
        for w in [below, 0.5 * (below + above), above] {
            // One unit in the last place of 273.16 is 5.7e-14; the slope turns one of W_r into the same.
            assert!((temperature_from_ratio(w).unwrap() - WATER_TRIPLE_POINT_K).abs() <= 1.2e-13);
        }
        assert_eq!(temperature_from_ratio(IN_THE_GAP), Ok(WATER_TRIPLE_POINT_K));
        assert_eq!(reference_ratio(WATER_TRIPLE_POINT_K), Ok(above));
        assert!(reference_ratio(WATER_TRIPLE_POINT_K.next_down()).unwrap() < 0.999_999_990_1);
        assert!(temperature_from_ratio(1.0).unwrap() > WATER_TRIPLE_POINT_K);
    }

    #[test]
    fn outside_is_an_error() {
        for t_k in [13.8032, 1234.94, -1.0] {
            assert_eq!(reference_ratio(t_k).map_err(|e| e.code()), Err(102));
            assert_eq!(reference_slope(t_k).map_err(|e| e.code()), Err(102));
        }
        for w in [0.001_19, 4.2865, -1.0] {
            assert_eq!(temperature_from_ratio(w).map_err(|e| e.code()), Err(102));
        }
        assert_eq!(reference_ratio(f64::NAN).map_err(|e| e.code()), Err(101));
        assert_eq!(temperature_from_ratio(f64::INFINITY).map_err(|e| e.code()), Err(101));
    }

    proptest::proptest! {
        #[test]
        fn inverse_of_forward(t_k in LOW_K..HIGH_K) {
            let back = temperature_from_ratio(reference_ratio(t_k).unwrap()).unwrap();
            // Rounding of T (1.1e-13) and of W_r through the slope; the goal of the scale's users is 1e-9 K.
            proptest::prop_assert!((back - t_k).abs() < 2e-12, "{t_k} {back}");
        }

        #[test]
        fn the_ratio_rises(t_k in 13.81..1234.92f64) {
            proptest::prop_assert!(reference_ratio(t_k + 1e-6).unwrap() > reference_ratio(t_k).unwrap());
        }
    }
}
