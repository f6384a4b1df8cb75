//! Degrees Celsius, kelvin and degrees Fahrenheit; temperatures kept apart from their differences.
//!
//! A difference of 0.5 °C is 0.9 °F, a temperature of 0.5 °C is 32.9 °F: whoever mixes them is wrong by 32 degrees, so
//! each conversion has its own name, and the types [`Celsius`] and [`Kelvins`] cannot be mixed.
//!
//! # Source
//! BIPM, The International System of Units (SI Brochure), 9th edition (2019), 2.3.1: t/°C = T/K − 273.15, and a
//! difference has the same number in both units; degree Fahrenheit: ISO 80000-5:2019, annex A.

use crate::constants::temperature::{ABSOLUTE_ZERO_C, ICE_POINT_F, ICE_POINT_K};
use crate::error::{Error, Result, finite, text};
use core::ops::{Add, Div, Mul, Neg, Sub};

/// Absolute zero in degrees Fahrenheit: −273.15 · 9/5 + 32.
const ABSOLUTE_ZERO_F: f64 = -459.67;

/// A unit of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum TemperatureUnit {
    /// Degree Celsius.
    #[default]
    Celsius,
    /// Kelvin.
    Kelvin,
    /// Degree Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// Reads a name: `celsius`, `degC`, `°C`; `kelvin`, `K`; `fahrenheit`, `degF`, `°F`. Lower and upper case matter.
    ///
    /// A single `C` or `F` is not taken: those are the symbols of coulomb and farad.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    ///
    /// # Example
    /// ```
    /// use calcore::temperature::TemperatureUnit;
    /// assert_eq!(TemperatureUnit::from_name("°F")?, TemperatureUnit::Fahrenheit);
    /// assert!(TemperatureUnit::from_name("rankine").is_err());
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "celsius" | "degC" | "°C" => Ok(Self::Celsius),
            "kelvin" | "K" => Ok(Self::Kelvin),
            "fahrenheit" | "degF" | "°F" => Ok(Self::Fahrenheit),
            _ => Err(Error::UnknownName {
                what: "unit of temperature",
                name: name.into(),
                expected: "\"celsius\" (degC, °C), \"kelvin\" (K) or \"fahrenheit\" (degF, °F)".into(),
            }),
        }
    }

    /// The name that [`TemperatureUnit::from_name`] reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Celsius => "celsius",
            Self::Kelvin => "kelvin",
            Self::Fahrenheit => "fahrenheit",
        }
    }

    /// The symbol of the unit.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Kelvin => "K",
            Self::Fahrenheit => "°F",
        }
    }

    /// Absolute zero in this unit.
    #[must_use]
    pub fn absolute_zero(self) -> f64 {
        match self {
            Self::Celsius => ABSOLUTE_ZERO_C,
            Self::Kelvin => 0.0,
            Self::Fahrenheit => ABSOLUTE_ZERO_F,
        }
    }

    /// A temperature given in this unit, in °C.
    ///
    /// # Formula
    /// t/°C = T/K − 273.15 = (t/°F − 32) · 5/9.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
    ///
    /// # Example
    /// ```
    /// use calcore::temperature::TemperatureUnit::Fahrenheit;
    /// assert_eq!(Fahrenheit.to_c(212.0)?, 100.0);
    /// assert!(Fahrenheit.to_c(-460.0).is_err());
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn to_c(self, value: f64) -> Result<f64> {
        self.check(value)?;
        let t_c = match self {
            Self::Celsius => value,
            Self::Kelvin => value - ICE_POINT_K,
            Self::Fahrenheit => (value - ICE_POINT_F) * 5.0 / 9.0,
        };
        // Rounding must not carry absolute zero itself below absolute zero.
        Ok(t_c.max(ABSOLUTE_ZERO_C))
    }

    /// A temperature given in °C, in this unit.
    ///
    /// # Formula
    /// T/K = t/°C + 273.15; t/°F = t/°C · 9/5 + 32.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
    pub fn from_c(self, t_c: f64) -> Result<f64> {
        Self::Celsius.check(t_c)?;
        let value = match self {
            Self::Celsius => t_c,
            Self::Kelvin => t_c + ICE_POINT_K,
            Self::Fahrenheit => t_c * 9.0 / 5.0 + ICE_POINT_F,
        };
        Ok(value.max(self.absolute_zero()))
    }

    /// A difference of temperatures (an error, a tolerance, an uncertainty) given in this unit, in kelvin.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    ///
    /// # Example
    /// ```
    /// use calcore::temperature::TemperatureUnit::{Celsius, Fahrenheit};
    /// assert_eq!(Fahrenheit.difference_to_k(0.9)?, 0.5); // not -17.3
    /// assert_eq!(Celsius.difference_to_k(0.5)?, 0.5); // not 273.65
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn difference_to_k(self, difference: f64) -> Result<f64> {
        finite("difference of temperatures", difference)?;
        Ok(match self {
            Self::Celsius | Self::Kelvin => difference,
            Self::Fahrenheit => difference * 5.0 / 9.0,
        })
    }

    /// A difference of temperatures given in kelvin, in this unit.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn difference_from_k(self, dt_k: f64) -> Result<f64> {
        finite("difference of temperatures", dt_k)?;
        Ok(match self {
            Self::Celsius | Self::Kelvin => dt_k,
            Self::Fahrenheit => dt_k * 9.0 / 5.0,
        })
    }

    fn check(self, value: f64) -> Result<()> {
        if finite("temperature", value)? >= self.absolute_zero() {
            return Ok(());
        }
        Err(Error::InvalidValue {
            what: "temperature",
            value,
            unit: self.symbol(),
            requirement: text!("absolute zero is {} {}", self.absolute_zero(), self.symbol()),
        })
    }
}

/// T/K = t/°C + 273.15.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
///
/// # Example
/// ```
/// assert_eq!(calcore::temperature::kelvin_from_celsius(0.0)?, 273.15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn kelvin_from_celsius(t_c: f64) -> Result<f64> {
    TemperatureUnit::Kelvin.from_c(t_c)
}

/// t/°C = T/K − 273.15.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
pub fn celsius_from_kelvin(t_k: f64) -> Result<f64> {
    TemperatureUnit::Kelvin.to_c(t_k)
}

/// t/°F = t/°C · 9/5 + 32: a temperature, not a difference.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
pub fn fahrenheit_from_celsius(t_c: f64) -> Result<f64> {
    TemperatureUnit::Fahrenheit.from_c(t_c)
}

/// t/°C = (t/°F − 32) · 5/9: a temperature, not a difference.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
pub fn celsius_from_fahrenheit(t_f: f64) -> Result<f64> {
    TemperatureUnit::Fahrenheit.to_c(t_f)
}

/// Δt/°F = Δt/K · 9/5: a difference, not a temperature.
///
/// # Errors
/// [`Error::NotFinite`].
pub fn difference_f_from_k(dt_k: f64) -> Result<f64> {
    TemperatureUnit::Fahrenheit.difference_from_k(dt_k)
}

/// Δt/K = Δt/°F · 5/9: a difference, not a temperature.
///
/// # Errors
/// [`Error::NotFinite`].
pub fn difference_k_from_f(dt_f: f64) -> Result<f64> {
    TemperatureUnit::Fahrenheit.difference_to_k(dt_f)
}

/// A temperature, °C.
///
/// Two of them can be subtracted, which gives [`Kelvins`]; there is no sum of two temperatures.
///
/// # Example
/// ```
/// use calcore::temperature::{Celsius, Kelvins};
/// let indicated = Celsius::new(100.5)?;
/// let reference = Celsius::new(100.0)?;
/// let error: Kelvins = indicated - reference;
/// assert_eq!(error.value(), 0.5);
/// assert_eq!(reference.shifted_by(error)?, indicated);
/// # Ok::<(), calcore::Error>(())
/// ```
/// ```compile_fail
/// use calcore::temperature::Celsius;
/// let sum = Celsius::new(20.0).unwrap() + Celsius::new(20.0).unwrap();
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(f64);

impl Celsius {
    /// A temperature.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] below absolute zero.
    pub fn new(t_c: f64) -> Result<Self> {
        Self::from_unit(t_c, TemperatureUnit::Celsius)
    }

    /// A temperature given in a unit.
    ///
    /// # Errors
    /// As [`Celsius::new`].
    pub fn from_unit(value: f64, unit: TemperatureUnit) -> Result<Self> {
        unit.to_c(value).map(Self)
    }

    /// The number, °C.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }

    /// The number in a unit.
    ///
    /// # Errors
    /// None for a temperature made by [`Celsius::new`], unless it is too large for the unit.
    pub fn in_unit(self, unit: TemperatureUnit) -> Result<f64> {
        unit.from_c(self.0)
    }

    /// The temperature that lies a difference higher.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] when that would be below absolute zero.
    pub fn shifted_by(self, difference: Kelvins) -> Result<Self> {
        Self::new(self.0 + difference.0)
    }
}

impl Sub for Celsius {
    type Output = Kelvins;
    fn sub(self, other: Self) -> Kelvins {
        Kelvins(self.0 - other.0)
    }
}

/// A difference of temperatures, K: an error, a tolerance, a span, an uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Kelvins(f64);

impl Kelvins {
    /// A difference.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn new(dt_k: f64) -> Result<Self> {
        Self::from_unit(dt_k, TemperatureUnit::Kelvin)
    }

    /// A difference given in a unit.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn from_unit(difference: f64, unit: TemperatureUnit) -> Result<Self> {
        unit.difference_to_k(difference).map(Self)
    }

    /// The number, K.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }

    /// The number in a unit.
    ///
    /// # Errors
    /// None for a difference made by [`Kelvins::new`], unless it is too large for the unit.
    pub fn in_unit(self, unit: TemperatureUnit) -> Result<f64> {
        unit.difference_from_k(self.0)
    }
}

impl Add for Kelvins {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Kelvins {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Kelvins {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Kelvins {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Kelvins {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

#[cfg(test)]
mod tests {
    use super::TemperatureUnit::{Celsius as C, Fahrenheit as F, Kelvin as K};
    use super::*;

    // Witness: the definitions of SI Brochure 2.3.1 and ISO 80000-5 annex A; every value here is exact in decimals.
    #[test]
    fn temperatures_and_differences_are_converted_apart() {
        assert_eq!(kelvin_from_celsius(0.0), Ok(273.15));
        assert_eq!(celsius_from_kelvin(273.15), Ok(0.0));
        assert_eq!(fahrenheit_from_celsius(0.5), Ok(32.9));
        assert_eq!(difference_f_from_k(0.5), Ok(0.9));
        assert_eq!(difference_k_from_f(0.9), Ok(0.5));
        assert_eq!(celsius_from_fahrenheit(-40.0), Ok(-40.0));
        assert_eq!(fahrenheit_from_celsius(100.0), Ok(212.0));
        assert_eq!(F.difference_to_k(1.8), Ok(1.0));
        for unit in [C, K] {
            assert_eq!(unit.difference_to_k(0.5), Ok(0.5));
            assert_eq!(unit.difference_from_k(-0.5), Ok(-0.5));
        }
    }

    #[test]
    fn absolute_zero_is_allowed_and_nothing_below() {
        for (unit, zero) in [(C, -273.15), (K, 0.0), (F, -459.67)] {
            assert_eq!(unit.to_c(zero), Ok(-273.15));
            // One unit in the last place of a number below 512: °C · 9/5 rounds.
            assert!((unit.from_c(-273.15).unwrap() - zero).abs() <= 5.7e-14);
            assert_eq!(unit.to_c(zero - 0.01).map_err(|e| e.code()), Err(103));
            assert_eq!(unit.from_c(-273.16).map_err(|e| e.code()), Err(103));
            assert_eq!(unit.to_c(f64::NAN).map_err(|e| e.code()), Err(101));
            assert_eq!(unit.difference_to_k(f64::INFINITY).map_err(|e| e.code()), Err(101));
        }
        assert_eq!(K.to_c(-1.0).unwrap_err().to_string(), "temperature is -1 K: absolute zero is 0 K");
    }

    #[test]
    fn names_read_back() {
        for unit in [C, K, F] {
            assert_eq!(TemperatureUnit::from_name(unit.name()), Ok(unit));
            assert_eq!(TemperatureUnit::from_name(unit.symbol()), Ok(unit));
        }
        assert_eq!(TemperatureUnit::from_name("C").map_err(|e| e.code()), Err(104));
    }

    #[test]
    fn arithmetic_of_differences() {
        let (a, b) = (Kelvins::new(0.5).unwrap(), Kelvins::new(0.25).unwrap());
        assert_eq!((a + b - b * 2.0 / 4.0).value(), 0.625);
        assert_eq!((-a).in_unit(F), Ok(-0.9));
        assert_eq!(Celsius::new(-273.0).unwrap().shifted_by(-a).map_err(|e| e.code()), Err(103));
        assert_eq!(Celsius::from_unit(32.9, F).unwrap().in_unit(K), Ok(273.65));
    }

    proptest::proptest! {
        #[test]
        fn there_and_back(t_c in -273.15..4000.0f64) {
            for unit in [C, K, F] {
                let back = unit.to_c(unit.from_c(t_c).unwrap()).unwrap();
                // Half an ulp of the largest number on the way (below 8192, ulp 9.1e-13) at each of four roundings.
                proptest::prop_assert!((back - t_c).abs() <= 2.0 * 9.1e-13);
            }
        }
    }
}
