//! What a fit has to say beside its numbers: a stable code for programs, a sentence for people.

use std::fmt;

/// The kinds of warning. Names and numbers are stable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum WarningCode {
    /// C was held at the value of IEC 60751 because no point lies below 0 °C.
    CHeldAtStandard,
    /// C was fitted to points that hardly determine it.
    CPoorlyDetermined,
    /// As many unknowns as points: the residuals say nothing.
    NoDegreesOfFreedom,
    /// The points lie so that rounding and noise are much amplified.
    IllConditioned,
    /// A parameter is not known better than its own size.
    PoorlyDetermined,
    /// A point that determines its own fitted value: an error in it would not show.
    HighLeverage,
    /// The residuals are larger than the stated uncertainties explain.
    ChiSquaredTooLarge,
    /// The residuals are much smaller than the stated uncertainties.
    ChiSquaredTooSmall,
    /// Points that a robust fit has played down.
    PointsPlayedDown,
    /// A value outside the range of the points was asked for.
    Extrapolation,
    /// A parameter ended at its bound.
    AtBound,
    /// α is not that of an IEC 60751 element; the text names the nearest known curve.
    ImplausibleAlpha,
    /// δ is not that of platinum.
    ImplausibleDelta,
    /// R0 is not near a nominal value.
    ImplausibleR0,
    /// A higher temperature with a lower resistance: points may be swapped.
    ResistanceFalls,
}

impl WarningCode {
    /// The stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::CHeldAtStandard => "c_held_at_standard",
            Self::CPoorlyDetermined => "c_poorly_determined",
            Self::NoDegreesOfFreedom => "no_degrees_of_freedom",
            Self::IllConditioned => "ill_conditioned",
            Self::PoorlyDetermined => "poorly_determined",
            Self::HighLeverage => "high_leverage",
            Self::ChiSquaredTooLarge => "chi_squared_too_large",
            Self::ChiSquaredTooSmall => "chi_squared_too_small",
            Self::PointsPlayedDown => "points_played_down",
            Self::Extrapolation => "extrapolation",
            Self::AtBound => "at_bound",
            Self::ImplausibleAlpha => "implausible_alpha",
            Self::ImplausibleDelta => "implausible_delta",
            Self::ImplausibleR0 => "implausible_r0",
            Self::ResistanceFalls => "resistance_falls",
        }
    }

    /// The stable number, for the C face.
    #[must_use]
    pub fn number(self) -> i32 {
        match self {
            Self::CHeldAtStandard => 1,
            Self::CPoorlyDetermined => 2,
            Self::NoDegreesOfFreedom => 3,
            Self::IllConditioned => 4,
            Self::PoorlyDetermined => 5,
            Self::HighLeverage => 6,
            Self::ChiSquaredTooLarge => 7,
            Self::ChiSquaredTooSmall => 8,
            Self::PointsPlayedDown => 9,
            Self::Extrapolation => 10,
            Self::AtBound => 11,
            Self::ImplausibleAlpha => 12,
            Self::ImplausibleDelta => 13,
            Self::ImplausibleR0 => 14,
            Self::ResistanceFalls => 15,
        }
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for WarningCode {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// One warning of a fit.
#[derive(Debug, Clone, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FitWarning {
    /// What kind.
    pub code: WarningCode,
    /// The same for people, with the numbers at hand.
    pub text: String,
}

impl FitWarning {
    pub(crate) fn new(code: WarningCode, text: String) -> Self {
        Self { code, text }
    }
}

impl fmt::Display for FitWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.code.name(), self.text)
    }
}
