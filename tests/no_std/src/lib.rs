//! Temperatures, curves and a table of a device without heap and operating system; called by `main.c`.
#![no_std]

use calcore::curves::{BetaThermistor, CallendarVanDusen, PolynomialRtd, SensorCurve, SteinhartHart, Thermocouple};
use calcore::its90::reference_ratio;
use calcore::linearization::firmware::{look_up_f32, look_up_f64, look_up_fixed};
use calcore::linearization::{Direction, table_in_place};
use calcore::temperature::celsius_from_fahrenheit;
use core::fmt::Write;

#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {}
}

/// Segments of the table that the device makes.
const SEGMENTS: usize = 64;

/// Temperature of an emf of type K, NaN outside.
#[unsafe(no_mangle)]
pub extern "C" fn type_k_temperature(mv: f64) -> f64 {
    Thermocouple::new("K").and_then(|k| SensorCurve::temperature(&k, mv)).unwrap_or(f64::NAN)
}

/// Temperature of the resistance of a Pt100, NaN outside.
#[unsafe(no_mangle)]
pub extern "C" fn pt100_temperature(ohm: f64) -> f64 {
    CallendarVanDusen::iec60751(100.0).and_then(|pt100| pt100.temperature(ohm)).unwrap_or(f64::NAN)
}

/// The same by a table that is made here, on the stack; NaN unless the table keeps its proven error.
#[unsafe(no_mangle)]
pub extern "C" fn pt100_temperature_by_table(ohm: f64) -> f64 {
    let (mut nodes, mut values) = ([0.0; SEGMENTS + 1], [0.0; SEGMENTS + 1]);
    let Ok(pt100) = CallendarVanDusen::iec60751(100.0) else { return f64::NAN };
    let made = table_in_place(&pt100, Direction::SignalToTemperature, -200.0, 850.0, &mut nodes, &mut values);
    let t_c = look_up_f64(&nodes, &values, ohm);
    let exact = pt100.temperature(ohm).unwrap_or(f64::NAN);
    match made {
        Ok(error_k) if (t_c - exact).abs() <= error_k => t_c,
        _ => f64::NAN,
    }
}

/// Every other curve and look-up once, so that all of it is linked: the sum of what they give.
#[unsafe(no_mangle)]
pub extern "C" fn everything_else() -> f64 {
    let nickel = PolynomialRtd::standard("din43760_ni618", 100.0).and_then(|ni| ni.temperature(154.9));
    let beta = BetaThermistor::new(1e4, 3950.0).and_then(|ntc| ntc.temperature(8000.0));
    let steinhart = SteinhartHart::new(1.1738e-3, 2.4e-4, 1.5e-7).and_then(|ntc| ntc.resistance(40.0));
    let ratio = reference_ratio(300.0);
    let single = f64::from(look_up_f32(&[0.0, 1.0], &[0.0, 10.0], 0.5));
    let fixed = f64::from(look_up_fixed(&[0, 16], &[0, 160], 8));
    let curves = [nickel, beta, steinhart, ratio, celsius_from_fahrenheit(50.0)];
    curves.into_iter().map(|found| found.unwrap_or(f64::NAN)).sum::<f64>() + single + fixed
}

/// A buffer that a text is written into.
struct Buffer<'a> {
    room: &'a mut [u8],
    used: usize,
}

impl Write for Buffer<'_> {
    fn write_str(&mut self, text: &str) -> core::fmt::Result {
        let end = self.used + text.len();
        let place = self.room.get_mut(self.used..end).ok_or(core::fmt::Error)?;
        place.copy_from_slice(text.as_bytes());
        self.used = end;
        Ok(())
    }
}

/// The message for an unknown letter, NUL-terminated, in 256 bytes of the caller; its length, 0 if it does not fit.
#[unsafe(no_mangle)]
pub extern "C" fn message_of_an_error(text: &mut [u8; 256]) -> usize {
    let Err(error) = Thermocouple::new("Q") else { return 0 };
    text.fill(0);
    let mut buffer = Buffer { room: &mut text[..255], used: 0 };
    if write!(buffer, "{error}").is_ok() { buffer.used } else { 0 }
}
