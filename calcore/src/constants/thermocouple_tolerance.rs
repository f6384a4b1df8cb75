//! Tolerances of thermocouples.
//!
//! The limits were read in public summaries of the standards, not in their text; entries that only memory supports, or
//! on which summaries differ, say so. They hold for new wire.

use super::Source;

/// How sure an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "snake_case"))]
pub enum Confirmation {
    /// Read in two or more public summaries of the standard that agree.
    Summaries,
    /// Public summaries differ; the value here is the one of most of them.
    Conflict,
    /// From memory only.
    Unconfirmed,
}

impl Confirmation {
    /// Its name: `summaries`, `conflict` or `unconfirmed`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Summaries => "summaries",
            Self::Conflict => "conflict",
            Self::Unconfirmed => "unconfirmed",
        }
    }
}

/// One line of a table of tolerances: max(fixed, relative · |t|) + slope · max(0, t − slope_from).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermocoupleTolerance {
    /// Letter of the type.
    pub letter: &'static str,
    /// Class, or kind of limits.
    pub class: &'static str,
    /// What an error about the range calls the temperature.
    pub quantity: &'static str,
    /// Lower end of the line, °C.
    pub low_c: f64,
    /// Upper end of the line, °C.
    pub high_c: f64,
    /// Fixed part, K.
    pub fixed_k: f64,
    /// Part of |t|, K/°C.
    pub relative: f64,
    /// Growth above `slope_from_c`, K/°C.
    pub slope: f64,
    /// See `slope`, °C.
    pub slope_from_c: f64,
    /// How sure the line is.
    pub confirmation: Confirmation,
}

macro_rules! line {
    ($standard:literal, $letter:literal, $class:literal, $range:expr, $fixed:expr, $relative:expr, $slope:expr, $sure:ident) => {
        ThermocoupleTolerance {
            letter: $letter,
            class: $class,
            quantity: concat!("temperature for type ", $letter, ", ", $class, " of ", $standard, ","),
            low_c: $range.0,
            high_c: $range.1,
            fixed_k: $fixed,
            relative: $relative,
            slope: $slope.0,
            slope_from_c: $slope.1,
            confirmation: Confirmation::$sure,
        }
    };
}

/// Classes 1, 2 and 3. Types C and A are from memory; for type A GOST R 8.585-2001 prints 0.005 and 0.007.
pub const IEC60584: [ThermocoupleTolerance; 24] = [
    line!("IEC 60584-1", "K", "class 1", (-40.0, 1000.0), 1.5, 0.004, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "K", "class 2", (-40.0, 1200.0), 2.5, 0.0075, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "K", "class 3", (-200.0, 40.0), 2.5, 0.015, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "N", "class 1", (-40.0, 1000.0), 1.5, 0.004, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "N", "class 2", (-40.0, 1200.0), 2.5, 0.0075, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "N", "class 3", (-200.0, 40.0), 2.5, 0.015, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "E", "class 1", (-40.0, 800.0), 1.5, 0.004, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "E", "class 2", (-40.0, 900.0), 2.5, 0.0075, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "E", "class 3", (-200.0, 40.0), 2.5, 0.015, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "J", "class 1", (-40.0, 750.0), 1.5, 0.004, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "J", "class 2", (-40.0, 750.0), 2.5, 0.0075, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "T", "class 1", (-40.0, 350.0), 0.5, 0.004, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "T", "class 2", (-40.0, 350.0), 1.0, 0.0075, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "T", "class 3", (-200.0, 40.0), 1.0, 0.015, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "R", "class 1", (0.0, 1100.0), 1.0, 0.0, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "R", "class 1", (1100.0, 1600.0), 1.0, 0.0, (0.003, 1100.0), Summaries),
    line!("IEC 60584-1", "R", "class 2", (0.0, 1600.0), 1.5, 0.0025, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "S", "class 1", (0.0, 1100.0), 1.0, 0.0, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "S", "class 1", (1100.0, 1600.0), 1.0, 0.0, (0.003, 1100.0), Summaries),
    line!("IEC 60584-1", "S", "class 2", (0.0, 1600.0), 1.5, 0.0025, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "B", "class 2", (600.0, 1700.0), 0.0, 0.0025, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "B", "class 3", (600.0, 1700.0), 4.0, 0.005, (0.0, 0.0), Summaries),
    line!("IEC 60584-1", "C", "class 2", (426.0, 2315.0), 0.0, 0.01, (0.0, 0.0), Unconfirmed),
    line!("IEC 60584-1", "A", "class 2", (1000.0, 2500.0), 0.0, 0.01, (0.0, 0.0), Unconfirmed),
];

/// Where the classes come from.
pub const IEC60584_SOURCE: Source = Source { document: "IEC 60584-1:2013", clause: "tolerance table" };

/// Standard and special limits. Type K below 0 °C: 2 percent in one table and from memory, 1 percent in a summary. The
/// fixed part of type C is from memory. Type N ends at 1246 °C in one source, types R and S at 1450 °C in one.
pub const ASTM_E230: [ThermocoupleTolerance; 20] = [
    line!("ASTM E230", "J", "standard limits", (0.0, 760.0), 2.2, 0.0075, (0.0, 0.0), Summaries),
    line!("ASTM E230", "J", "special limits", (0.0, 760.0), 1.1, 0.004, (0.0, 0.0), Summaries),
    line!("ASTM E230", "T", "standard limits", (0.0, 370.0), 1.0, 0.0075, (0.0, 0.0), Summaries),
    line!("ASTM E230", "T", "standard limits", (-200.0, 0.0), 1.0, 0.015, (0.0, 0.0), Summaries),
    line!("ASTM E230", "T", "special limits", (0.0, 370.0), 0.5, 0.004, (0.0, 0.0), Summaries),
    line!("ASTM E230", "E", "standard limits", (0.0, 870.0), 1.7, 0.005, (0.0, 0.0), Summaries),
    line!("ASTM E230", "E", "standard limits", (-200.0, 0.0), 1.7, 0.01, (0.0, 0.0), Summaries),
    line!("ASTM E230", "E", "special limits", (0.0, 870.0), 1.0, 0.004, (0.0, 0.0), Summaries),
    line!("ASTM E230", "K", "standard limits", (0.0, 1260.0), 2.2, 0.0075, (0.0, 0.0), Summaries),
    line!("ASTM E230", "K", "standard limits", (-200.0, 0.0), 2.2, 0.02, (0.0, 0.0), Conflict),
    line!("ASTM E230", "K", "special limits", (0.0, 1260.0), 1.1, 0.004, (0.0, 0.0), Summaries),
    line!("ASTM E230", "N", "standard limits", (0.0, 1260.0), 2.2, 0.0075, (0.0, 0.0), Summaries),
    line!("ASTM E230", "N", "special limits", (0.0, 1260.0), 1.1, 0.004, (0.0, 0.0), Summaries),
    line!("ASTM E230", "R", "standard limits", (0.0, 1480.0), 1.5, 0.0025, (0.0, 0.0), Summaries),
    line!("ASTM E230", "R", "special limits", (0.0, 1480.0), 0.6, 0.001, (0.0, 0.0), Summaries),
    line!("ASTM E230", "S", "standard limits", (0.0, 1480.0), 1.5, 0.0025, (0.0, 0.0), Summaries),
    line!("ASTM E230", "S", "special limits", (0.0, 1480.0), 0.6, 0.001, (0.0, 0.0), Summaries),
    line!("ASTM E230", "B", "standard limits", (870.0, 1700.0), 0.0, 0.005, (0.0, 0.0), Summaries),
    line!("ASTM E230", "B", "special limits", (870.0, 1700.0), 0.0, 0.0025, (0.0, 0.0), Summaries),
    line!("ASTM E230", "C", "standard limits", (0.0, 2315.0), 4.4, 0.01, (0.0, 0.0), Unconfirmed),
];

/// Where the limits come from.
pub const ASTM_E230_SOURCE: Source = Source { document: "ASTM E230/E230M-12", clause: "table of tolerances" };
