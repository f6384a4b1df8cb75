//! Prints how exact the thermocouples are, against the multiple-precision tables of `tests/reference`.
//!
//! The first table: largest distance of the emf from the correctly rounded one, in units of its last place (below 1 µV of
//! that of 1 µV) and in mV; largest error of the slope; largest error of the exact inverse. The second: the published approximate inverses,
//! their stated error and the largest found.

use calcore::curves::{Side, Thermocouple, ThermocoupleType};

const REFERENCE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/reference/");

type Rows = Vec<Vec<String>>;

fn rows(name: &str) -> std::io::Result<Rows> {
    let text = std::fs::read_to_string(format!("{REFERENCE}{name}.csv"))?;
    Ok(text.lines().skip(1).map(|line| line.split(',').map(str::to_owned).collect()).collect())
}

fn ulp(value: f64) -> f64 {
    value.next_up() - value
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    exact(&rows("thermocouple_dense_emf")?, &rows("thermocouple_dense_temperature")?)?;
    println!();
    approximate()
}

fn exact(emfs: &Rows, temperatures: &Rows) -> Result<(), Box<dyn std::error::Error>> {
    println!("| type | range, °C | emf, ulp | emf, mV | slope, mV/K | inverse, K |");
    println!("| --- | --- | --- | --- | --- | --- |");
    for kind in ThermocoupleType::ALL {
        let curve = Thermocouple::from(kind);
        let (mut ulps, mut emf_mv, mut slope, mut inverse_k) = (0.0f64, 0.0f64, 0.0f64, 0.0f64);
        for row in emfs.iter().filter(|row| row[0] == kind.letter()) {
            let (t_c, mv, per_k): (f64, f64, f64) = (row[1].parse()?, row[2].parse()?, row[3].parse()?);
            let error = (curve.emf(t_c, 0.0)? - mv).abs();
            emf_mv = emf_mv.max(error);
            ulps = ulps.max(error / ulp(mv.abs().max(1e-3)));
            slope = slope.max((curve.slope(t_c)? - per_k).abs());
        }
        for row in temperatures.iter().filter(|row| row[0] == kind.letter()) {
            let curve = if row[1] == "any" { curve } else { curve.on_side(Side::from_name(&row[1])?)? };
            let (mv, t_c): (f64, f64) = (row[2].parse()?, row[3].parse()?);
            inverse_k = inverse_k.max((curve.temperature(mv, 0.0)? - t_c).abs());
        }
        let range = kind.range();
        println!(
            "| {} | {} to {} | {ulps} | {emf_mv:.1e} | {slope:.1e} | {inverse_k:.1e} |",
            kind.letter(),
            range.low,
            range.high
        );
    }
    Ok(())
}

fn approximate() -> Result<(), Box<dyn std::error::Error>> {
    println!("| type | range, °C | stated error, K | found, K |");
    println!("| --- | --- | --- | --- |");
    for kind in ThermocoupleType::ALL {
        let curve = Thermocouple::from(kind);
        for inverse in curve.approximate_inverses() {
            let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
            for i in 0..=3000 {
                let t_c = inverse.low_c + (inverse.high_c - inverse.low_c) * f64::from(i) / 3000.0;
                let error_k = inverse.temperature(curve.emf(t_c, 0.0)?) - t_c;
                (lowest, highest) = (lowest.min(error_k), highest.max(error_k));
            }
            let stated = inverse.error_k.map_or("none".into(), |(low, high)| format!("{low} to {high}"));
            println!(
                "| {} | {} to {} | {stated} | {lowest:.4} to {highest:.4} |",
                kind.letter(),
                inverse.low_c,
                inverse.high_c
            );
        }
    }
    Ok(())
}
