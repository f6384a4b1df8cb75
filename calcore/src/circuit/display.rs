//! What a display of limited resolution shows.

use crate::error::{Result, finite, positive};

/// How a display comes to its last digit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Rounding {
    /// To the nearest step; halves go to the even one.
    #[default]
    Nearest,
    /// Down to the step below: on average half a step low.
    Truncate,
}

/// A display.
///
/// # Example
/// ```
/// use calcore::circuit::{Display, Rounding};
/// let display = Display::new(0.1, Rounding::Nearest)?;
/// assert!((display.shown(100.37)? - 100.4).abs() < 1e-12);
/// assert!((display.uncertainty() - 0.028_867_5).abs() < 1e-7);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Display {
    resolution: f64,
    rounding: Rounding,
}

impl Display {
    /// A display by its step, in the unit of the value.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`]; [`crate::Error::InvalidValue`] unless the step is positive.
    pub fn new(resolution: f64, rounding: Rounding) -> Result<Self> {
        positive("resolution", resolution, "")?;
        Ok(Self { resolution, rounding })
    }

    /// What is shown for a value.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`].
    pub fn shown(&self, value: f64) -> Result<f64> {
        let steps = finite("value", value)? / self.resolution;
        let whole = match self.rounding {
            Rounding::Nearest => libm::rint(steps),
            Rounding::Truncate => libm::floor(steps),
        };
        finite("value shown", whole * self.resolution)
    }

    /// The step.
    #[must_use]
    pub fn resolution(&self) -> f64 {
        self.resolution
    }

    /// Mean error of what is shown: zero, or minus half a step where digits are cut off.
    #[must_use]
    pub fn mean_error(&self) -> f64 {
        match self.rounding {
            Rounding::Nearest => 0.0,
            Rounding::Truncate => -0.5 * self.resolution,
        }
    }

    /// Standard uncertainty of the value behind a reading, once the mean error is taken away: a step over √12.
    ///
    /// # Source
    /// JCGM 100:2008, F.2.2.1.
    #[must_use]
    pub fn uncertainty(&self) -> f64 {
        self.resolution / libm::sqrt(12.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand.
    #[test]
    fn nearest_and_truncated() {
        let nearest = Display::new(0.5, Rounding::Nearest).unwrap();
        let cut = Display::new(0.5, Rounding::Truncate).unwrap();
        for (value, near, below) in [(20.2, 20.0, 20.0), (20.3, 20.5, 20.0), (-0.2, 0.0, -0.5), (20.25, 20.0, 20.0)] {
            assert_eq!(nearest.shown(value), Ok(near));
            assert_eq!(cut.shown(value), Ok(below));
        }
        assert_eq!((nearest.mean_error(), cut.mean_error()), (0.0, -0.25));
        assert!((cut.uncertainty() - 0.144_337_567_297_406_43).abs() < 1e-16);
        assert_eq!(Display::new(0.0, Rounding::Nearest).map_err(|e| e.code()), Err(103));
        assert_eq!(nearest.shown(f64::INFINITY).map_err(|e| e.code()), Err(101));
    }
}
