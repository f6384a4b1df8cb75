//! What kind of polynomial is asked for.

use crate::error::{Error, Result, positive};
use crate::linearization::Direction;
use crate::linearization::fixed_point::FixedPoint;

/// Highest degree of numerator or denominator: beyond it rounding in doubles outgrows what a degree gains.
pub const MOST_DEGREE: usize = 15;

/// How coefficients are stored, and with which arithmetic the firmware evaluates them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Coefficients {
    /// Doubles.
    #[default]
    F64,
    /// Single precision.
    F32,
    /// Integers.
    Fixed {
        /// Format of the reading.
        argument: FixedPoint,
        /// Format of the result.
        value: FixedPoint,
        /// Format of the coefficients and of the sums of Horner's rule, which may need more bits.
        coefficient: FixedPoint,
    },
}

impl Coefficients {
    /// Unit of rounding of floating-point arithmetic.
    pub(super) fn unit(self) -> f64 {
        match self {
            Self::F32 => 0.5 * f64::from(f32::EPSILON),
            _ => 0.5 * f64::EPSILON,
        }
    }
}

/// How large or how good the approximation shall be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum MinimaxGoal {
    /// These degrees; a denominator of degree 0 makes a polynomial.
    Degrees {
        /// Of the numerator.
        numerator: usize,
        /// Of the denominator.
        denominator: usize,
    },
    /// The polynomial of the lowest degree that keeps the proven error within this: in kelvin towards the temperature, in
    /// the unit of the signal towards the signal.
    LargestError(f64),
}

/// Everything that can be chosen about a minimax approximation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(default, deny_unknown_fields))]
pub struct MinimaxOptions {
    /// Which way the curve is read.
    pub direction: Direction,
    /// How numbers are stored.
    pub coefficients: Coefficients,
}

impl MinimaxOptions {
    pub(super) fn check(&self, goal: MinimaxGoal, unit: &'static str) -> Result<()> {
        match goal {
            MinimaxGoal::LargestError(error) => {
                positive("largest error", error, unit)?;
            }
            MinimaxGoal::Degrees { numerator, denominator } => {
                for (what, degree) in
                    [("degree of the numerator", numerator), ("degree of the denominator", denominator)]
                {
                    if degree > MOST_DEGREE {
                        return Err(Error::InvalidValue {
                            what,
                            value: degree as f64,
                            unit: "",
                            requirement: format!("it must be at most {MOST_DEGREE}"),
                        });
                    }
                }
            }
        }
        if let Coefficients::Fixed { argument, value, coefficient } = self.coefficients {
            argument.check()?;
            value.check()?;
            coefficient.check()?;
        }
        Ok(())
    }
}
