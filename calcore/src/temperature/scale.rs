//! Old certificates: temperatures on the IPTS-68 and the IPTS-48 turned into the ITS-90, and back.
//!
//! A calibration of 1985 says 100 °C where one of today says 99.974 °C. Coefficients fitted to temperatures of an older
//! scale keep that scale: convert the temperatures and fit anew.

use crate::constants::scales::{
    GOLD_POINT_K, M_ANTIMONY_C, M_FACTOR_K, M_ZINC_C, T68_MINUS_T48_P, T68_MINUS_T48_Q, T90_MINUS_T68_AT_GOLD_K,
    T90_MINUS_T68_LOWER, T90_MINUS_T68_MIDDLE, T90_MINUS_T68_UPPER,
};
use crate::constants::temperature::ICE_POINT_K;
use crate::error::{Error, Result};
use crate::interval::Interval;
use crate::num::poly::horner;
use crate::num::root::bracketed_newton;

/// Lower end of the conversion from the IPTS-68, °C: 13.8033 K.
const LOWEST_C: f64 = -259.3467;
/// Where the equation for low temperatures gives way, °C.
const LOWER_TO_MIDDLE_C: f64 = -200.0;
/// Where the equation for middle temperatures gives way, °C.
const MIDDLE_TO_UPPER_C: f64 = 630.0;
/// Freezing point of gold, °C, from where on the scales follow from Planck's law.
const GOLD_POINT_C: f64 = 1064.18;
/// Upper end of the conversion, °C: common practice, no source; the law itself has no end.
const HIGHEST_C: f64 = 3500.0;
/// Range of the conversion from the IPTS-48, °C.
const T48_RANGE: Interval = Interval { what: "temperature on the IPTS-48", unit: "°C", low: 0.0, high: 630.0 };

/// A temperature scale of a certificate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Scale {
    /// International Temperature Scale of 1990.
    #[cfg_attr(feature = "serde", serde(rename = "ITS-90"))]
    Its90,
    /// International Practical Temperature Scale of 1968.
    #[cfg_attr(feature = "serde", serde(rename = "IPTS-68"))]
    Ipts68,
    /// International (Practical) Temperature Scale of 1948.
    #[cfg_attr(feature = "serde", serde(rename = "IPTS-48"))]
    Ipts48,
}

impl Scale {
    /// Reads the names `ITS-90`, `IPTS-68` and `IPTS-48`. A certificate that does not state its scale is refused: the
    /// year alone does not tell.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "ITS-90" => Ok(Self::Its90),
            "IPTS-68" => Ok(Self::Ipts68),
            "IPTS-48" => Ok(Self::Ipts48),
            _ => Err(Error::UnknownName {
                what: "temperature scale",
                name: name.into(),
                expected: "\"ITS-90\", \"IPTS-68\" or \"IPTS-48\"; a certificate must state which".into(),
            }),
        }
    }

    /// The name that [`Scale::from_name`] reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Its90 => "ITS-90",
            Self::Ipts68 => "IPTS-68",
            Self::Ipts48 => "IPTS-48",
        }
    }

    /// A temperature of this scale on the ITS-90, °C.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] outside the range of the conversion.
    ///
    /// # Example
    /// ```
    /// use calcore::temperature::Scale;
    /// // Boiling point of water.
    /// assert!((Scale::Ipts68.to_its90(100.0)? - 99.974).abs() < 0.0005);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn to_its90(self, t_c: f64) -> Result<f64> {
        match self {
            Self::Its90 => crate::error::finite("temperature on the ITS-90", t_c),
            Self::Ipts68 => t90_from_t68(t_c),
            Self::Ipts48 => t90_from_t68(t68_from_t48(t_c)?),
        }
    }

    /// A temperature of the ITS-90, °C, on this scale.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] outside the range of the conversion.
    pub fn from_its90(self, t90_c: f64) -> Result<f64> {
        match self {
            Self::Its90 => crate::error::finite("temperature on the ITS-90", t90_c),
            Self::Ipts68 => t68_from_t90(t90_c),
            Self::Ipts48 => t48_from_t68(t68_from_t90(t90_c)?),
        }
    }
}

fn t90_range() -> Interval {
    Interval { what: "temperature on the ITS-90", unit: "°C", low: LOWEST_C, high: HIGHEST_C }
}

/// t90 − t68 at a temperature of the ITS-90, K.
///
/// # Formula
/// From −259.3467 °C to −200 °C: Σ c_i ((T90/K − 40)/40)^i; to 630 °C: Σ a_i (t90/630 °C)^i; to 1064.18 °C:
/// Σ b_i (t90/°C)^i; above: −0.25 K (T90/1337.33 K)². The stated bands are 0.001 K, 0.001 K (0.0015 K above 0 °C) and
/// 0.01 K. Where two meet they differ by up to 0.0007 K; the upper one holds from there on.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::OutOfRange`] outside −259.3467 °C to 3500 °C.
///
/// # Source
/// [`crate::constants::scales`] (from memory; checked at fixed points).
///
/// # Example
/// ```
/// assert!((calcore::temperature::t90_minus_t68(100.0)? + 0.026).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn t90_minus_t68(t90_c: f64) -> Result<f64> {
    let t90_c = t90_range().check(t90_c)?;
    Ok(PIECES.iter().rev().find(|piece| t90_c >= piece.low_c).map_or(f64::NAN, |piece| (piece.difference)(t90_c)))
}

/// A temperature of the IPTS-68 on the ITS-90, °C.
///
/// # Errors
/// As [`t90_minus_t68`].
pub fn t90_from_t68(t68_c: f64) -> Result<f64> {
    let (low, high) = (t68_from_t90(LOWEST_C)?, t68_from_t90(HIGHEST_C)?);
    let t68_c = Interval { what: "temperature on the IPTS-68", unit: "°C", low, high }.check(t68_c)?;
    for (i, piece) in PIECES.iter().enumerate() {
        let high_c = PIECES.get(i + 1).map_or(HIGHEST_C, |next| next.low_c);
        if t68_c <= high_c - (piece.difference)(high_c) {
            // A small step between two pieces leaves temperatures that neither has: they belong to the joint.
            if t68_c <= piece.low_c - (piece.difference)(piece.low_c) {
                return Ok(piece.low_c);
            }
            // The slope of t90 − t68 is below 0.002 and may be left out: a step gains three digits.
            return bracketed_newton("temperature on the ITS-90", "°C", piece.low_c, high_c, |t| {
                (t - (piece.difference)(t) - t68_c, 1.0)
            });
        }
    }
    Ok(HIGHEST_C)
}

/// A temperature of the ITS-90 on the IPTS-68, °C.
///
/// # Errors
/// As [`t90_minus_t68`].
pub fn t68_from_t90(t90_c: f64) -> Result<f64> {
    Ok(t90_c - t90_minus_t68(t90_c)?)
}

/// A temperature of the IPTS-48 on the IPTS-68, °C, from 0 °C to 630 °C.
///
/// # Formula
/// t68 − t48 = 4.904e-7 t (t − 100)/(1 − 2.939e-4 t) + 0.045 (t/100)(t/100 − 1)(t/419.58 − 1)(t/630.74 − 1), t = t48.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::OutOfRange`] outside 0 °C to 630 °C, for want of an equation.
///
/// # Source
/// [`crate::constants::scales::T48_SOURCE`] (from memory; checked at fixed points).
pub fn t68_from_t48(t48_c: f64) -> Result<f64> {
    let t = T48_RANGE.check(t48_c)?;
    Ok(t + t68_minus_t48(t))
}

/// A temperature of the IPTS-68 on the IPTS-48, °C, from 0 °C to 630.2 °C.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
pub fn t48_from_t68(t68_c: f64) -> Result<f64> {
    let top = T48_RANGE.high + t68_minus_t48(T48_RANGE.high);
    let range = Interval { what: "temperature on the IPTS-68", unit: "°C", low: 0.0, high: top };
    let t68_c = range.check(t68_c)?;
    bracketed_newton("temperature on the IPTS-48", "°C", T48_RANGE.low, T48_RANGE.high, |t| {
        (t + t68_minus_t48(t) - t68_c, 1.0)
    })
}

fn t68_minus_t48(t: f64) -> f64 {
    let platinum = T68_MINUS_T48_P * t * (t - 100.0) / (1.0 - T68_MINUS_T48_Q * t);
    platinum + M_FACTOR_K * (t / 100.0) * (t / 100.0 - 1.0) * (t / M_ZINC_C - 1.0) * (t / M_ANTIMONY_C - 1.0)
}

/// One equation for t90 − t68, from its lower end up to the next one's.
struct Piece {
    low_c: f64,
    difference: fn(f64) -> f64,
}

const PIECES: [Piece; 4] = [
    Piece { low_c: LOWEST_C, difference: |t90_c| horner(&T90_MINUS_T68_LOWER, (t90_c + ICE_POINT_K - 40.0) / 40.0) },
    Piece {
        low_c: LOWER_TO_MIDDLE_C,
        difference: |t90_c| {
            let part = t90_c / 630.0;
            part * horner(&T90_MINUS_T68_MIDDLE, part)
        },
    },
    Piece { low_c: MIDDLE_TO_UPPER_C, difference: |t90_c| horner(&T90_MINUS_T68_UPPER, t90_c) },
    Piece {
        low_c: GOLD_POINT_C,
        difference: |t90_c| {
            let part = (t90_c + ICE_POINT_K) / GOLD_POINT_K;
            T90_MINUS_T68_AT_GOLD_K * part * part
        },
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: temperatures that the two scales give to the same fixed point. IPTS-68, amended edition of 1975, defining
    // points: 54.361 K (O2), 83.798 K (Ar), 100 °C (H2O, 99.974 °C on the ITS-90), 231.9681 °C (Sn), 419.58 °C (Zn),
    // 961.93 °C (Ag), 1064.43 °C (Au), and the secondary points 29.772 °C (Ga) and 156.634 °C (In); ITS-90: table 1.
    // The numbers of the IPTS-68 are from memory. Tolerances: the stated band and half a printed digit.
    #[test]
    fn fixed_points_on_both_scales() {
        let points = [
            (54.361 - 273.15, -218.7916, 0.001 + 0.0005),
            (83.798 - 273.15, -189.3442, 0.001 + 0.0005),
            (0.0, 0.0, 1e-12),
            (29.772, 29.7646, 0.0015 + 0.0005),
            (100.0, 99.974, 0.0015 + 0.0005),
            (156.634, 156.5985, 0.0015 + 0.0005),
            (231.9681, 231.928, 0.0015 + 0.0005),
            (419.58, 419.527, 0.0015 + 0.005),
            (961.93, 961.78, 0.01 + 0.005),
            (1064.43, 1064.18, 0.01 + 0.005),
        ];
        for (t68_c, t90_c, tolerance) in points {
            let computed = Scale::Ipts68.to_its90(t68_c).unwrap();
            assert!((computed - t90_c).abs() <= tolerance, "t68 {t68_c}: {computed} against {t90_c}");
        }
    }

    // Witness: fixed points of the IPTS-48 (from memory): 100 °C on both; zinc 419.505 °C, on the IPTS-68 419.58 °C.
    #[test]
    fn fixed_points_of_1948() {
        assert!((t68_from_t48(100.0).unwrap() - 100.0).abs() < 1e-13);
        assert!((t68_from_t48(419.505).unwrap() - 419.58).abs() < 0.0005);
        assert!((Scale::Ipts48.to_its90(419.505).unwrap() - 419.527).abs() < 0.0015 + 0.001);
        assert_eq!(Scale::Ipts48.to_its90(-1.0).map_err(|e| e.code()), Err(102));
        assert_eq!(Scale::Ipts48.to_its90(631.0).map_err(|e| e.code()), Err(102));
    }

    // Witness: the stated bands; where two equations meet they may differ by no more than both together.
    #[test]
    fn the_equations_meet_within_their_bands() {
        for (joint_c, band_k) in [(-200.0f64, 0.002), (630.0, 0.0115), (1064.18, 0.01)] {
            let step = t90_minus_t68(joint_c).unwrap() - t90_minus_t68(joint_c.next_down()).unwrap();
            assert!(step.abs() < band_k, "{joint_c}: {step}");
            let t68_c = t68_from_t90(joint_c).unwrap();
            assert!((t90_from_t68(t68_c).unwrap() - joint_c).abs() <= step.abs() + 1e-12);
        }
    }

    #[test]
    fn a_scale_must_be_stated() {
        for scale in [Scale::Its90, Scale::Ipts68, Scale::Ipts48] {
            assert_eq!(Scale::from_name(scale.name()), Ok(scale));
        }
        let error = Scale::from_name("").unwrap_err();
        assert!(error.code() == 104 && error.to_string().ends_with("a certificate must state which"), "{error}");
        assert_eq!(Scale::Ipts68.to_its90(f64::NAN).map_err(|e| e.code()), Err(101));
        assert_eq!(Scale::Ipts68.to_its90(-262.0).map_err(|e| e.code()), Err(102));
        assert_eq!(Scale::Its90.to_its90(f64::NAN).map_err(|e| e.code()), Err(101));
        assert_eq!(Scale::Ipts68.to_its90(4000.0).map_err(|e| e.code()), Err(102));
    }

    proptest::proptest! {
        #[test]
        fn there_and_back(t90_c in -259.0..3499.0f64) {
            for scale in [Scale::Ipts68, Scale::Ipts48] {
                if scale == Scale::Ipts48 && !(0.01..629.9).contains(&t90_c) {
                    continue;
                }
                // Around the joints two temperatures may share one of the older scale.
                let near_joint = [-200.0, 630.0, 1064.18].iter().any(|joint| (t90_c - joint).abs() < 0.002);
                let back = scale.to_its90(scale.from_its90(t90_c).unwrap()).unwrap();
                proptest::prop_assert!((back - t90_c).abs() < if near_joint { 0.002 } else { 2e-12 }, "{t90_c} {back}");
            }
        }
    }
}
