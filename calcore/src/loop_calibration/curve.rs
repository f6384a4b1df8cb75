//! A curve as a description names it.

use crate::curves::Interpolation;
use serde::{Deserialize, Serialize};

/// A curve by name and coefficients.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CurveDescription {
    /// Platinum by the coefficients of IEC 60751.
    Iec60751 {
        /// Resistance at 0 °C, ohm.
        r0: f64,
    },
    /// Platinum by coefficients of its own, on the ITS-90.
    CallendarVanDusen {
        /// Resistance at 0 °C, ohm.
        r0: f64,
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K⁴.
        c: f64,
    },
    /// A standard platinum resistance thermometer on the ITS-90.
    Sprt {
        /// Resistance at the triple point of water, ohm.
        r_tpw: f64,
        /// Subrange of the ITS-90, as [`crate::its90::Subrange::from_name`] reads it.
        subrange: String,
        /// Coefficients of the deviation function, in the order of the subrange.
        coefficients: Vec<f64>,
    },
    /// A resistance thermometer of a standard polynomial, as [`crate::curves::PolynomialRtd::standard`] reads it.
    PolynomialRtd {
        /// Name of the standard curve.
        name: String,
        /// Resistance at 0 °C, ohm.
        r0: f64,
    },
    /// A thermistor by 1/T = a + b ln R + c (ln R)³.
    SteinhartHart {
        /// a, 1/K.
        a: f64,
        /// b, 1/K.
        b: f64,
        /// c, 1/K.
        c: f64,
    },
    /// A thermistor by its resistance at 25 °C and β.
    BetaThermistor {
        /// Resistance at 25 °C, ohm.
        r25: f64,
        /// β, K.
        beta: f64,
    },
    /// A thermocouple by its letter; its readings in mV need a reference junction.
    Thermocouple {
        /// B, C, E, J, K, N, R, S, T or A.
        letter: String,
    },
    /// A table of a certificate or of the user's own, in the unit of the readings.
    Table {
        /// Temperatures, °C.
        t_c: Vec<f64>,
        /// What the sensor gives there.
        signal: Vec<f64>,
        /// How it is read between the rows; straight if left out.
        #[serde(default)]
        #[cfg_attr(feature = "schema", schemars(with = "String"))]
        interpolation: Interpolation,
    },
}
