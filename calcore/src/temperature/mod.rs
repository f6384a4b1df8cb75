//! Temperatures and their differences, in the units of the trade, and the scales of old certificates.

mod scale;
mod unit;

pub use scale::{Scale, t48_from_t68, t68_from_t48, t68_from_t90, t90_from_t68, t90_minus_t68};
pub use unit::{
    Celsius, Kelvins, TemperatureUnit, celsius_from_fahrenheit, celsius_from_kelvin, difference_f_from_k,
    difference_k_from_f, fahrenheit_from_celsius, kelvin_from_celsius,
};
