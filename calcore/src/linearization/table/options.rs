//! What kind of table is asked for.

use crate::error::{Error, Result, positive};
use crate::linearization::Direction;
use crate::linearization::fixed_point::FixedPoint;
use crate::linearization::spacing::Spacing;

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

impl Shape {
    /// Whether segments have neither bend nor skew.
    pub(super) fn is_straight(self) -> bool {
        matches!(self, Self::Linear | Self::LinearOnCurve)
    }

    /// The power of its width with which the error of a segment goes.
    pub(super) fn order(self) -> f64 {
        match self {
            Self::Linear | Self::LinearOnCurve => 2.0,
            Self::Quadratic => 3.0,
            Self::CubicHermite => 4.0,
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
