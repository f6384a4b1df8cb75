//! Tolerance limits, and acceptance limits within them.

use crate::error::{Error, Result, finite};

/// Tolerance or acceptance limits, in the unit of the value; both belong to the interval.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Limits {
    /// Lower limit, if there is one.
    pub lower: Option<f64>,
    /// Upper limit, if there is one.
    pub upper: Option<f64>,
}

impl Limits {
    /// Limits to both sides.
    #[must_use]
    pub fn between(lower: f64, upper: f64) -> Self {
        Self { lower: Some(lower), upper: Some(upper) }
    }

    /// Limits at the same distance to both sides of zero, as an error has them.
    #[must_use]
    pub fn symmetric(half_width: f64) -> Self {
        Self::between(-half_width, half_width)
    }

    /// Returns the limits if they can bound anything.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for an upper limit below the lower one; [`Error::TooFewPoints`]
    /// for no limit at all.
    pub fn check(self) -> Result<Self> {
        match (self.lower, self.upper) {
            (None, None) => Err(Error::TooFewPoints {
                what: "a decision",
                needed: 1,
                found: 0,
                hint: "give a lower or an upper tolerance limit",
            }),
            (Some(lower), None) => finite("lower tolerance limit", lower).map(|_| self),
            (None, Some(upper)) => finite("upper tolerance limit", upper).map(|_| self),
            (Some(lower), Some(upper)) => {
                finite("lower tolerance limit", lower)?;
                finite("upper tolerance limit", upper)?;
                if upper < lower {
                    return Err(Error::InvalidValue {
                        what: "upper tolerance limit",
                        value: upper,
                        unit: "",
                        requirement: format!("it must not be below the lower one, {lower}"),
                    });
                }
                Ok(self)
            }
        }
    }

    /// The limits moved inward by a width (outward where it is negative). They may cross: then no value lies inside.
    #[must_use]
    pub fn narrowed(self, width: f64) -> Self {
        Self { lower: self.lower.map(|l| l + width), upper: self.upper.map(|u| u - width) }
    }

    /// Whether a value lies inside or on a limit. A limit T − w in doubles misses its decimal value by a rounding of
    /// T or w, so that a value within 4 such roundings of a limit counts as on it.
    pub(super) fn admit(self, value: f64, width: f64) -> bool {
        let slack = |limit: f64| 4.0 * f64::EPSILON * limit.abs().max(value.abs()).max(width.abs());
        let limits = self.narrowed(width);
        // The slack must not let a value into an interval that is empty by more than rounding.
        if let (Some(lower), Some(upper)) = (limits.lower, limits.upper)
            && lower > upper + slack(upper)
        {
            return false;
        }
        limits.lower.is_none_or(|l| value >= l - slack(l)) && limits.upper.is_none_or(|u| value <= u + slack(u))
    }
}
