//! Relations between units of temperature.
//!
//! Source: BIPM, The International System of Units (SI Brochure), 9th edition (2019), 2.3.1; degree Fahrenheit:
//! ISO 80000-5:2019, annex A.

/// 0 °C in kelvin, exact by definition.
pub const ICE_POINT_K: f64 = 273.15;
/// Absolute zero, °C.
pub const ABSOLUTE_ZERO_C: f64 = -273.15;
/// 0 °C in degrees Fahrenheit, exact by definition.
pub const ICE_POINT_F: f64 = 32.0;
