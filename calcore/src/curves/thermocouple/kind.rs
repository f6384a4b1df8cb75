//! The letter-designated types and what belongs to each.

use crate::constants::Source;
use crate::constants::tc_approximate::{self as approximate, ApproximateInverse};
use crate::constants::tc_segments::{self as segments, TypeSegments};
use crate::constants::tc_segments_published::{self as published, PublishedRange};
use crate::error::{Error, Names, Result, text};
use crate::interval::Interval;

/// The letter-designated types of thermocouples.
///
/// # Source
/// IEC 60584-1:2013, clause 3: letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum ThermocoupleType {
    /// Platinum, 30 % rhodium against platinum, 6 % rhodium.
    B,
    /// Tungsten, 5 % rhenium against tungsten, 26 % rhenium.
    C,
    /// Nickel-chromium against copper-nickel.
    E,
    /// Iron against copper-nickel.
    J,
    /// Nickel-chromium against nickel-aluminium.
    K,
    /// Nickel-chromium-silicon against nickel-silicon.
    N,
    /// Platinum, 13 % rhodium against platinum.
    R,
    /// Platinum, 10 % rhodium against platinum.
    S,
    /// Copper against copper-nickel.
    T,
    /// Tungsten, 5 % rhenium against tungsten, 20 % rhenium.
    A,
}

/// What belongs to a type.
pub(crate) struct TypeData {
    /// The piecewise polynomials of the function and its inverse.
    pub(crate) segments: &'static TypeSegments,
    /// The published function.
    pub(crate) published: &'static [PublishedRange],
    /// The published approximate inverses; none for type C.
    pub(crate) approximate: &'static [ApproximateInverse],
    letter: &'static str,
    source: Source,
    error_mv: f64,
    error_k: f64,
}

const MONOGRAPH: Source =
    Source { document: "IEC 60584-1:2013 = NIST Monograph 175 (1993)", clause: "reference functions" };
const RHENIUM_C: Source =
    Source { document: "IEC 60584-1:2013 type C = ASTM E230/E230M", clause: "reference function of type C" };
const RHENIUM_A: Source =
    Source { document: "IEC 60584-1:2013 type A = GOST R 8.585-2001 type A-1", clause: "reference function of type A" };

macro_rules! data {
    ($letter:literal, $name:ident, $source:ident, $error_mv:literal, $error_k:literal) => {
        TypeData {
            segments: &segments::$name,
            published: &published::$name,
            approximate: &approximate::$name,
            letter: $letter,
            source: $source,
            error_mv: $error_mv,
            error_k: $error_k,
        }
    };
}

/// In the order of [`ThermocoupleType::ALL`].
static DATA: [TypeData; 10] = [
    data!("B", TYPE_B, MONOGRAPH, 2.3e-15, 3.1e-13),
    data!("C", TYPE_C, RHENIUM_C, 7.4e-15, 4.8e-13),
    data!("E", TYPE_E, MONOGRAPH, 1.5e-14, 1.6e-13),
    data!("J", TYPE_J, MONOGRAPH, 1.4e-14, 2.4e-13),
    data!("K", TYPE_K, MONOGRAPH, 8.9e-15, 2.5e-13),
    data!("N", TYPE_N, MONOGRAPH, 8.4e-15, 2.5e-13),
    data!("R", TYPE_R, MONOGRAPH, 3.8e-15, 3.4e-13),
    data!("S", TYPE_S, MONOGRAPH, 3.6e-15, 3.0e-13),
    data!("T", TYPE_T, MONOGRAPH, 4.0e-15, 8.4e-14),
    data!("A", TYPE_A, RHENIUM_A, 6.5e-15, 5.0e-13),
];

impl ThermocoupleType {
    /// All types.
    pub const ALL: [Self; 10] =
        [Self::B, Self::C, Self::E, Self::J, Self::K, Self::N, Self::R, Self::S, Self::T, Self::A];

    /// Reads a letter.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the known letters.
    pub fn from_name(name: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|kind| kind.letter() == name).ok_or_else(|| Error::UnknownName {
            what: "thermocouple type",
            name: name.into(),
            expected: text!("one of {}", Names(Self::ALL.iter().map(|kind| kind.letter()))),
        })
    }

    /// The letter.
    #[must_use]
    pub fn letter(self) -> &'static str {
        self.data().letter
    }

    /// Where the reference function stands.
    #[must_use]
    pub fn source(self) -> Source {
        self.data().source
    }

    /// Range of the reference function, °C.
    #[must_use]
    #[inline]
    pub fn range(self) -> Interval {
        let map = &self.data().segments.forward;
        Interval::celsius(map.lo, map.hi)
    }

    /// Proven bound of the error of the computed emf, mV.
    ///
    /// # Source
    /// The bounds of the piecewise polynomials, `tests/oracle/thermocouple_segments.py`.
    #[must_use]
    pub fn emf_error_bound_mv(self) -> f64 {
        self.data().error_mv
    }

    /// Proven bound of the error of the computed inverse, K, for the emf as it is given.
    ///
    /// Where the function is flat (E, K, N, T below −204 °C, B below 235 °C) the polynomials hold for the square root of
    /// the emf above its minimum, whose rounding adds four parts in 2⁵³ of it; over the slope that is less than four
    /// parts in 2⁵³ of the distance from the minimum (the function is convex there), and included.
    #[must_use]
    pub fn inverse_error_bound_k(self) -> f64 {
        self.data().error_k
    }

    #[inline]
    pub(crate) fn data(self) -> &'static TypeData {
        &DATA[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_lead_to_their_data() {
        for kind in ThermocoupleType::ALL {
            assert_eq!(format!("{kind:?}"), kind.letter());
            assert_eq!(ThermocoupleType::from_name(kind.letter()), Ok(kind));
            let (first, last) = (kind.data().published.first().unwrap(), kind.data().published.last().unwrap());
            assert_eq!((kind.range().low, kind.range().high), (first.t_lo, last.t_hi));
        }
        let message = ThermocoupleType::from_name("k").unwrap_err().to_string();
        assert_eq!(message, "unknown thermocouple type \"k\": expected one of B, C, E, J, K, N, R, S, T, A");
    }

    /// The bounds are those in the head of the generated tables.
    #[test]
    fn bounds_are_those_of_the_tables() {
        let text = include_str!("../../constants/tc_segments.rs");
        let bounds = |letter: &str, which: usize| -> Vec<f64> {
            let mut lines = text.lines().filter(|line| line.starts_with(&format!("//! | {letter} |")));
            let cells: Vec<&str> = lines.nth(which).unwrap().split('|').map(str::trim).collect();
            [cells[3], cells[6]].iter().filter_map(|cell| cell.parse().ok()).collect()
        };
        for kind in ThermocoupleType::ALL {
            assert_eq!(bounds(kind.letter(), 0), [kind.emf_error_bound_mv()], "{kind:?}");
            let found = bounds(kind.letter(), 1);
            // The zero of the slope lies above -275 °C; the flat part ends at -204 °C, that of type B at 235 °C.
            let flat_k = if kind == ThermocoupleType::B { 214.0 } else { 71.0 };
            let flat = found.get(1).map_or(0.0, |bound| bound + 2.0 * f64::EPSILON * flat_k);
            let wanted = flat.max(found[0]);
            assert!(kind.inverse_error_bound_k() >= wanted && kind.inverse_error_bound_k() < 1.02 * wanted, "{kind:?}");
        }
    }
}
