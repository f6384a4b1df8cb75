//! What kind of table is asked for.

use crate::error::{Error, Result, positive};
use crate::linearization::Direction;

/// Most segments that a table may have.
pub const MOST_SEGMENTS: usize = 4096;

/// What a segment is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Shape {
    /// Straight; nodes and values free, the largest error as small as it can be.
    #[default]
    Linear,
    /// Straight; nodes on the curve.
    LinearOnCurve,
    /// A parabola through the nodes, which lie on the curve, bent for the smallest largest error.
    Quadratic,
    /// A cubic with the value and the slope of the curve at both nodes.
    CubicHermite,
}

/// Where the nodes stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Spacing {
    /// Where the largest error comes out smallest: the same on all segments.
    #[default]
    Optimal,
    /// At equal steps of the argument, so that the firmware computes the index instead of searching for it. With
    /// fixed-point entries the step is a power of two of the argument's unit, and the index a shift.
    EqualArgument,
}

/// A fixed-point number: an integer of `bits` bits that counts parts of 2^−`fraction_bits`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct FixedPoint {
    /// Width of the integer, 2 to 32 bits.
    pub bits: u32,
    /// Bits behind the point, −16 to 48.
    pub fraction_bits: i32,
    /// Whether one of the bits is the sign (two's complement).
    pub signed: bool,
}

impl FixedPoint {
    /// A format.
    ///
    /// # Errors
    /// [`Error::InvalidValue`] for a width outside 2 to 32 or a fraction outside −16 to 48.
    pub fn new(bits: u32, fraction_bits: i32, signed: bool) -> Result<Self> {
        let format = Self { bits, fraction_bits, signed };
        format.check()?;
        Ok(format)
    }

    pub(crate) fn check(&self) -> Result<()> {
        let refuse = |what, value: f64, requirement: &'static str| {
            Err(Error::InvalidValue { what, value, unit: "bit", requirement: requirement.into() })
        };
        if !(2..=32).contains(&self.bits) {
            return refuse("width of a fixed-point number", f64::from(self.bits), "it must be 2 to 32");
        }
        if !(-16..=48).contains(&self.fraction_bits) {
            return refuse(
                "fraction of a fixed-point number",
                f64::from(self.fraction_bits),
                "it must be -16 to 48 bits",
            );
        }
        Ok(())
    }

    /// What a step of the integer is worth.
    #[must_use]
    pub fn unit(&self) -> f64 {
        libm::ldexp(1.0, -self.fraction_bits)
    }

    /// Smallest and largest integer.
    #[must_use]
    pub fn codes(&self) -> (i64, i64) {
        if self.signed {
            (-(1i64 << (self.bits - 1)), (1i64 << (self.bits - 1)) - 1)
        } else {
            (0, (1i64 << self.bits) - 1)
        }
    }

    /// The number that an integer stands for, exactly.
    #[must_use]
    pub fn number(&self, code: i64) -> f64 {
        code as f64 * self.unit()
    }
}

/// How the numbers of a table are stored, and with which arithmetic the firmware reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Entries {
    /// Doubles.
    #[default]
    F64,
    /// Single precision.
    F32,
    /// Integers.
    Fixed {
        /// Format of the argument, also that of the reading that the firmware looks up.
        argument: FixedPoint,
        /// Format of the value, also that of the result.
        value: FixedPoint,
    },
}

/// How large or how good the table shall be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Goal {
    /// That many segments.
    Segments(usize),
    /// As few segments as keep the proven error within this: in kelvin towards the temperature, in the unit of the signal
    /// towards the signal.
    LargestError(f64),
}

/// Everything that can be chosen about a table; the default is a minimax table of straight segments in doubles.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(default, deny_unknown_fields))]
pub struct TableOptions {
    /// Which way the curve is read.
    pub direction: Direction,
    /// What a segment is.
    pub shape: Shape,
    /// Where the nodes stand.
    pub spacing: Spacing,
    /// How numbers are stored.
    pub entries: Entries,
    /// Most segments that a goal of an error may use.
    pub most_segments: usize,
}

impl Default for TableOptions {
    fn default() -> Self {
        Self {
            direction: Direction::default(),
            shape: Shape::default(),
            spacing: Spacing::default(),
            entries: Entries::default(),
            most_segments: 256,
        }
    }
}

impl TableOptions {
    pub(super) fn check(&self, goal: Goal, unit: &'static str) -> Result<()> {
        segments_allowed("most segments", self.most_segments)?;
        match goal {
            Goal::Segments(count) => segments_allowed("segments", count)?,
            Goal::LargestError(error) => {
                positive("largest error", error, unit)?;
            }
        }
        if let Entries::Fixed { argument, value } = self.entries {
            argument.check()?;
            value.check()?;
        }
        Ok(())
    }
}

pub(super) fn segments_allowed(what: &'static str, count: usize) -> Result<()> {
    if (1..=MOST_SEGMENTS).contains(&count) {
        return Ok(());
    }
    Err(Error::InvalidValue {
        what,
        value: count as f64,
        unit: "",
        requirement: format!("a table has 1 to {MOST_SEGMENTS} segments"),
    })
}
