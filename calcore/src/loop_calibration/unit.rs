//! Units of readings.

use serde::{Deserialize, Serialize};

/// Units of readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Unit {
    /// Resistance.
    #[serde(rename = "ohm")]
    Ohm,
    /// Loop current.
    #[serde(rename = "mA")]
    Milliampere,
    /// Degree Celsius.
    #[serde(rename = "degC")]
    Celsius,
    /// Degree Fahrenheit.
    #[serde(rename = "degF")]
    Fahrenheit,
    /// Kelvin.
    #[serde(rename = "K")]
    Kelvin,
    /// Thermoelectric voltage.
    #[serde(rename = "mV")]
    Millivolt,
    /// Voltage of a receiver.
    #[serde(rename = "V")]
    Volt,
    /// Percent of a range.
    #[serde(rename = "%")]
    Percent,
    /// Counts of a converter, or any other number.
    #[serde(rename = "1")]
    One,
}

impl Unit {
    /// The unit as it stands in a run file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ohm => "ohm",
            Self::Milliampere => "mA",
            Self::Celsius => "degC",
            Self::Fahrenheit => "degF",
            Self::Kelvin => "K",
            Self::Millivolt => "mV",
            Self::Volt => "V",
            Self::Percent => "%",
            Self::One => "1",
        }
    }
}
