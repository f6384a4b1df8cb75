//! The reference temperature: corrections of certificates, several references, and whether they agree.

use crate::circuit::{Immersion, self_heating};
use crate::error::{Error, Result, finite, same_length};
use serde::{Deserialize, Serialize};

/// What the reference temperature is taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CombineReferences {
    /// The first reference; the others only watch it.
    First,
    /// The mean of all references, each with the same weight.
    Mean,
}

/// Corrections of a certificate, straight between its points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CorrectionTable {
    /// The points, rising.
    pub at: Vec<f64>,
    /// What is to be added at each: the negative of the error.
    pub correction: Vec<f64>,
}

impl CorrectionTable {
    pub(super) fn check(&self) -> Result<()> {
        check_table("correction", &self.at, &self.correction)
    }

    /// The sum of two tables where both hold: at the points of both.
    pub(super) fn plus(&self, other: &Self) -> Result<Self> {
        let (low, high) = (self.at[0].max(other.at[0]), self.last().min(other.last()));
        let mut at: Vec<f64> = self.at.iter().chain(&other.at).copied().filter(|x| *x >= low && *x <= high).collect();
        at.sort_by(f64::total_cmp);
        at.dedup();
        let mut correction = Vec::with_capacity(at.len());
        for &x in &at {
            correction.push(self.value(x)? + other.value(x)?);
        }
        let sum = Self { at, correction };
        sum.check()?;
        Ok(sum)
    }

    fn last(&self) -> f64 {
        self.at[self.at.len() - 1]
    }

    /// The correction at a value.
    pub(super) fn value(&self, at: f64) -> Result<f64> {
        interpolate("point of the correction", &self.at, &self.correction, at)
    }
}

/// Self-heating of a thermometer at a current that is not that of its certificate.
///
/// # Formula
/// t = t_read − k R (I² − I_c²), k in K/mW, R in ohm, I in mA (mA² ohm = 10⁻³ mW)
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SelfHeatingDescription {
    /// Rise of the sensor per power, K/mW; the reciprocal of its dissipation constant.
    pub k_per_mw: f64,
    /// Current at which it is read, mA.
    pub current_ma: f64,
    /// Current for which its certificate holds, mA; 0 for a certificate at no power.
    pub certificate_current_ma: f64,
}

impl SelfHeatingDescription {
    /// What a resistance reads too high, K.
    pub(super) fn excess_k(self, ohm: f64) -> Result<f64> {
        if self.k_per_mw <= 0.0 {
            return Ok(0.0);
        }
        let at = |ma: f64| Ok::<f64, Error>(self_heating(ma, ohm, 1.0 / self.k_per_mw)?.error_k);
        Ok(at(self.current_ma)? - at(self.certificate_current_ma)?)
    }
}

/// A stem that is not deep enough in the block: it conducts heat to its surroundings, and its reading is corrected.
///
/// # Formula
/// As [`crate::circuit::Immersion`]; the correction is as uncertain as it is stated, with one cause for all set points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ImmersionDescription {
    /// Effective diameter of the stem, mm.
    pub effective_diameter_mm: f64,
    /// Factor of the exponential, 1 if nothing is known.
    pub factor: f64,
    /// How deep the stem is in the block, without the length of the sensor, mm.
    pub depth_mm: f64,
    /// Temperature of its surroundings, °C.
    pub ambient_c: f64,
    /// Standard uncertainty of the correction as a part of it, such as 0.5.
    pub relative_uncertainty: f64,
}

impl ImmersionDescription {
    fn stem(self) -> Result<Immersion> {
        Immersion::new(self.effective_diameter_mm, self.factor)
    }

    /// True temperature behind a reading, °C.
    pub(super) fn true_temperature(self, read_c: f64) -> Result<f64> {
        self.stem()?.true_temperature(read_c, self.ambient_c, self.depth_mm)
    }

    /// What the stem reads too high at a temperature, K.
    pub(super) fn error_k(self, t_c: f64) -> Result<f64> {
        self.stem()?.error_k(t_c, self.ambient_c, self.depth_mm)
    }
}

/// Two references at one set point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ReferenceComparison {
    /// Tag of the further reference.
    pub tag: String,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// It minus the first, K.
    pub difference_k: f64,
    /// Expanded uncertainty (k = 2) of that difference, K: both references and the heat source.
    pub expanded_uncertainty_k: f64,
    /// Their ratio.
    pub e_n: f64,
    /// Whether the difference lies within its expanded uncertainty.
    pub agree: bool,
}

pub(super) fn check_table(what: &'static str, at: &[f64], values: &[f64]) -> Result<()> {
    same_length(what, at.len(), values.len())?;
    if at.is_empty() {
        return Err(Error::TooFewPoints { what, needed: 1, found: 0, hint: "" });
    }
    for (i, (x, y)) in at.iter().zip(values).enumerate() {
        finite(what, *x).and(finite(what, *y)).map_err(|error| error.at_index(i, 1))?;
    }
    match at.windows(2).position(|pair| pair[1] <= pair[0]) {
        None => Ok(()),
        Some(i) => Err(Error::InvalidValue {
            what: "point of a table",
            value: at[i + 1],
            unit: "",
            requirement: format!("it must lie above the point before, {} (row {})", at[i], i + 1),
        }),
    }
}

/// Straight between the points, refused outside them; a hair for the rounding of a set point at an end is allowed.
pub(super) fn interpolate(what: &'static str, at: &[f64], values: &[f64], x: f64) -> Result<f64> {
    let (low, high) = (at[0], at[at.len() - 1]);
    // A hundredth of the whole width, or of a unit for a single point.
    let hair = 0.01 * (high - low).max(1.0);
    if !(x >= low - hair && x <= high + hair) {
        return Err(Error::OutOfRange { what, value: x, low, high, unit: "", position: None });
    }
    let after = at.partition_point(|&point| point <= x);
    if after == 0 {
        return Ok(values[0]);
    }
    if after == at.len() {
        return Ok(values[after - 1]);
    }
    let part = (x - at[after - 1]) / (at[after] - at[after - 1]);
    Ok(values[after - 1] + (values[after] - values[after - 1]) * part)
}
