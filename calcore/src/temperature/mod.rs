//! Temperatures and their differences, in the units of the trade.

mod unit;

pub use unit::{
    Celsius, Kelvins, TemperatureUnit, celsius_from_fahrenheit, celsius_from_kelvin, difference_f_from_k,
    difference_k_from_f, fahrenheit_from_celsius, kelvin_from_celsius,
};
