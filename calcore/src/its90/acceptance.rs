//! Whether the platinum of a thermometer is pure and unstrained enough for the scale.

use crate::constants::its90::{GREATEST_RATIO_AT_MERCURY, LEAST_RATIO_AT_GALLIUM, LEAST_RATIO_AT_SILVER};
use crate::error::{Error, Result, finite};

/// One criterion, with what was found.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Criterion {
    /// Fixed point.
    pub point: &'static str,
    /// The thermometer's ratio R(T)/R(273.16 K) there.
    pub w: f64,
    /// Limit of the ratio.
    pub limit: f64,
    /// Whether the ratio must be at least the limit; otherwise at most.
    pub at_least: bool,
    /// Whether it is.
    pub met: bool,
}

impl Criterion {
    fn at_least(point: &'static str, w: f64, limit: f64) -> Self {
        Self { point, w, limit, at_least: true, met: w >= limit }
    }

    fn at_most(point: &'static str, w: f64, limit: f64) -> Self {
        Self { point, w, limit, at_least: false, met: w <= limit }
    }
}

/// Outcome of the check.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Acceptance {
    /// Every criterion for which a ratio was given, in the order gallium, mercury, silver.
    pub criteria: Vec<Criterion>,
    /// Whether the criterion at gallium or the one at mercury is met: one of them is enough.
    pub accepted: bool,
    /// Whether the thermometer may also be used up to the freezing point of silver; `None` without a ratio there.
    pub accepted_to_silver: Option<bool>,
}

impl Acceptance {
    /// The criteria that are not met. A thermometer is accepted in spite of one at gallium or mercury if the other of
    /// the two is met.
    pub fn failed(&self) -> impl Iterator<Item = &Criterion> {
        self.criteria.iter().filter(|criterion| !criterion.met)
    }
}

/// Checks ratios of a thermometer against the criteria of the scale.
///
/// # Formula
/// W(29.7646 °C) ≥ 1.118 07 or W(−38.8344 °C) ≤ 0.844 235; for use up to 961.78 °C also W(961.78 °C) ≥ 4.2844.
///
/// # Arguments
/// The ratios R(T)/R(273.16 K) at the melting point of gallium, the triple point of mercury and the freezing point of
/// silver, as far as they are known.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::TooFewPoints`] without a ratio at gallium or mercury.
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3 (limits from memory, two of them also seen in public code).
///
/// # Example
/// ```
/// let outcome = calcore::its90::acceptance(Some(1.118_10), None, Some(4.28))?;
/// assert!(outcome.accepted);
/// assert_eq!(outcome.accepted_to_silver, Some(false));
/// assert_eq!(outcome.failed().map(|c| c.point).collect::<Vec<_>>(), ["Ag"]);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn acceptance(w_gallium: Option<f64>, w_mercury: Option<f64>, w_silver: Option<f64>) -> Result<Acceptance> {
    let given = |w: Option<f64>| w.map(|w| finite("resistance ratio", w)).transpose();
    let gallium = given(w_gallium)?.map(|w| Criterion::at_least("Ga", w, LEAST_RATIO_AT_GALLIUM));
    let mercury = given(w_mercury)?.map(|w| Criterion::at_most("Hg", w, GREATEST_RATIO_AT_MERCURY));
    let silver = given(w_silver)?.map(|w| Criterion::at_least("Ag", w, LEAST_RATIO_AT_SILVER));
    if gallium.is_none() && mercury.is_none() {
        return Err(Error::TooFewPoints {
            what: "acceptance of a platinum thermometer",
            needed: 1,
            found: 0,
            hint: "give the ratio at gallium or at mercury",
        });
    }
    let accepted = [gallium, mercury].iter().flatten().any(|criterion| criterion.met);
    Ok(Acceptance {
        criteria: [gallium, mercury, silver].into_iter().flatten().collect(),
        accepted,
        accepted_to_silver: silver.map(|criterion| accepted && criterion.met),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: the limits of section 3.3 as quoted above; they belong to the accepted side.
    #[test]
    fn one_of_two_and_silver_besides() {
        let outcome = acceptance(Some(1.118_07), None, None).unwrap();
        assert!(outcome.accepted && outcome.accepted_to_silver.is_none());
        let outcome = acceptance(Some(1.118_06), Some(0.844_235), Some(4.2844)).unwrap();
        assert!(outcome.accepted && outcome.accepted_to_silver == Some(true));
        assert_eq!(outcome.failed().map(|c| c.point).collect::<Vec<_>>(), ["Ga"]);
        let outcome = acceptance(Some(1.118_06), Some(0.844_236), Some(4.3)).unwrap();
        assert!(!outcome.accepted && outcome.accepted_to_silver == Some(false));
        assert_eq!(acceptance(None, None, Some(4.3)).map_err(|e| e.code()), Err(201));
        assert_eq!(acceptance(Some(f64::NAN), None, None).map_err(|e| e.code()), Err(101));
    }
}
