//! Writes what the core computes, bit for bit, for the other faces to compare with.
//!
//! `cargo run --release --example parity_vectors -- DIR` writes one file a function, `DIR/NAME.txt`. Each line holds the
//! arguments and, last, the result, as the 16 hexadecimal digits of their bits.

use calcore::curves::{CallendarVanDusen, Handling, SensorCurve};
use std::fmt::Write as _;
use std::path::Path;

const VALUES: usize = 10_000;

/// Evenly spread numbers between two limits, in an order that jumps about: the fractional parts of multiples of the
/// golden ratio.
fn spread(low: f64, high: f64) -> Vec<f64> {
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    (0..VALUES).map(|i| low + (high - low) * (i as f64 * golden).fract()).collect()
}

fn line(text: &mut String, values: &[f64]) {
    let words: Vec<String> = values.iter().map(|value| format!("{:016x}", value.to_bits())).collect();
    let _ = writeln!(text, "{}", words.join(" "));
}

fn write(directory: &Path, name: &str, rows: impl Iterator<Item = Vec<f64>>) -> std::io::Result<()> {
    let mut text = String::new();
    for row in rows {
        line(&mut text, &row);
    }
    std::fs::write(directory.join(format!("{name}.txt")), text)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let directory = std::env::args().nth(1).ok_or("the folder to write to is missing")?;
    let directory = Path::new(&directory);
    std::fs::create_dir_all(directory)?;

    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let t_c = spread(-200.0, 850.0);
    let mut ohm = vec![0.0; VALUES];
    let mut slope = vec![0.0; VALUES];
    let mut back_c = vec![0.0; VALUES];
    pt100.signal_slice(&t_c, &mut ohm, Handling::default())?;
    pt100.slope_slice(&t_c, &mut slope, Handling::default())?;
    pt100.temperature_slice(&ohm, &mut back_c, Handling::default())?;
    let pairs = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(x, y)| vec![*x, *y]).collect::<Vec<_>>().into_iter();
    write(directory, "iec60751_resistance", pairs(&t_c, &ohm))?;
    write(directory, "iec60751_slope", pairs(&t_c, &slope))?;
    write(directory, "iec60751_temperature", pairs(&ohm, &back_c))?;
    Ok(())
}
