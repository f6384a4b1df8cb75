//! Thermocouples.

use super::Check;
use super::table::{Row, Table, reference};
use crate::circuit::reference_junction_effect;
use crate::curves::{Side, Thermocouple};
use crate::error::Result;

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    printed(all)?;
    emfs(all, &reference!("thermocouple_oracle"))?;
    emfs(all, &reference!("thermocouple_dense_emf"))?;
    temperatures(all)?;
    approximate_inverses(all)?;
    reference_junctions(all)
}

fn curve(row: &Row<'_>) -> Result<Thermocouple> {
    Thermocouple::new(row.text("type")?)
}

/// Half a unit in the last place: what a decimal loses when it is read as a double.
fn half_ulp(value: f64) -> f64 {
    0.5 * (value.abs().next_up() - value.abs())
}

/// Whether two ranges of the published function meet at a temperature.
fn is_joint(curve: &Thermocouple, t_c: f64) -> bool {
    curve.kind().data().published.iter().skip(1).any(|range| (range.t_lo - t_c).abs() <= 0.0)
}

/// The tables of the standard.
fn printed(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("thermocouple_table");
    for row in table.rows() {
        let t_c = row.number("t_c")?;
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("E({t_c} °C), type {}", row.text("type")?),
            unit: "mV",
            published: row.number("mv")?,
            // Half a unit of the third decimal; the excess is the rounding of a printed decimal to a double.
            tolerance: 0.0005 + 1e-12,
            computed: curve(&row)?.emf(t_c, 0.0)?,
        });
    }
    Ok(())
}

/// Emf and slope to full double precision.
fn emfs(all: &mut Vec<Check>, table: &Table) -> Result<()> {
    for row in table.rows() {
        let (curve, t_c) = (curve(&row)?, row.number("t_c")?);
        let (mv, slope) = (row.number("mv")?, row.number("slope_mv_per_k")?);
        let (letter, bound_mv) = (curve.kind().letter(), curve.kind().emf_error_bound_mv());
        // A joint belongs to the range below it; its second row is of the range above.
        let upper_range = row.text("range_index").is_ok_and(|index| index != "0");
        if upper_range && is_joint(&curve, t_c) {
            continue;
        }
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("E({t_c} °C), type {letter}"),
            unit: "mV",
            published: mv,
            // The proven bound, and the rounding of both decimals of the row.
            tolerance: bound_mv + half_ulp(mv) + slope.abs() * half_ulp(t_c),
            computed: curve.emf(t_c, 0.0)?,
        });
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("dE/dt({t_c} °C), type {letter}"),
            unit: "mV/K",
            published: slope,
            // A polynomial of degree 7 that is off by at most e on a segment of half-width h has a slope that is off by
            // at most 7² e / h (A. A. Markov 1889); h is 1 K or more. The rounding of t is far less.
            tolerance: 49.0 * bound_mv,
            computed: curve.slope(t_c)?,
        });
    }
    Ok(())
}

/// The exact inverse to full double precision.
fn temperatures(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("thermocouple_dense_temperature");
    for row in table.rows() {
        let (mv, t_c) = (row.number("mv")?, row.number("t_c")?);
        let side = row.text("side")?;
        let mut curve = curve(&row)?;
        if side != "any" {
            curve = curve.on_side(Side::from_name(side)?)?;
        }
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("t({mv} mV), type {}, side {side}", curve.kind().letter()),
            unit: "°C",
            published: t_c,
            // The proven bound, and the rounding of the decimal of the row.
            tolerance: curve.kind().inverse_error_bound_k() + half_ulp(t_c),
            computed: curve.temperature(mv, 0.0)?,
        });
    }
    Ok(())
}

/// The approximate inverses: inside their stated error, and off by exactly what they are known to be off.
fn approximate_inverses(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("thermocouple_inverse_bands");
    let mut number_of_type = 0;
    let mut letter_before = "";
    for row in table.rows() {
        let (curve, letter) = (curve(&row)?, row.text("type")?);
        number_of_type = if letter == letter_before { number_of_type + 1 } else { 0 };
        letter_before = letter;
        let Some(inverse) = curve.approximate_inverses().get(number_of_type) else { continue };
        let (low_c, high_c) = (row.number("t_low_c")?, row.number("t_high_c")?);
        // The points of the scan that made the measured columns.
        let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..=3000 {
            let t_c = low_c + (high_c - low_c) * f64::from(i) / 3000.0;
            let error_k = inverse.temperature(curve.emf(t_c, 0.0)?) - t_c;
            (lowest, highest) = (lowest.min(error_k), highest.max(error_k));
        }
        for (end, computed) in [("low", lowest), ("high", highest)] {
            let quantity = format!("approximate inverse, type {letter}, {low_c} °C to {high_c} °C, {end}est error");
            let measured = row.number(&format!("measured_{end}_k"))?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("{quantity}, measured"),
                unit: "K",
                published: measured,
                // Half a unit of the fourth significant digit, at most 5e-4 of the value.
                tolerance: 5e-4 * measured.abs(),
                computed,
            });
            let (low_k, high_k) = (row.number("error_low_k")?, row.number("error_high_k")?);
            if low_k.is_finite() && high_k.is_finite() {
                // Half a unit of the last digit of the stated error: 0.0005 K at 0.01 K, more for the coarser ones.
                let digits = row.text(&format!("error_{end}_k"))?.rsplit('.').next().map_or(0, str::len);
                let half_digit = 0.5 * (0..digits).fold(1.0, |unit, _| unit / 10.0);
                all.push(Check {
                    source: table.source.clone(),
                    quantity: format!("{quantity}, stated {low_k} K to {high_k} K (shown: the middle)"),
                    unit: "K",
                    published: 0.5 * (low_k + high_k),
                    tolerance: 0.5 * (high_k - low_k) + half_digit,
                    computed,
                });
            }
        }
    }
    Ok(())
}

/// Worked checks of the reference junction.
fn reference_junctions(all: &mut Vec<Check>) -> Result<()> {
    let (k, r) = (Thermocouple::new("K")?, Thermocouple::new("R")?);
    let table = reference!("trade_worked_checks");
    for row in table.rows() {
        // 100 °C beside a reference junction at 25 °C, read with and without regard to it.
        let quantity = row.text("quantity")?;
        let measured_mv = k.emf(100.0, 25.0)?;
        let forgotten_k = reference_junction_effect(&k, 100.0, 0.0, 25.0)?.error_k;
        let computed = match (row.text("capability")?, quantity) {
            ("thermocouple_emf", "k_mv_at_25_c") => k.emf(25.0, 0.0)?,
            ("thermocouple_emf", "k_mv_at_100_c" | "k_mv_at_100_c_table") => k.emf(100.0, 0.0)?,
            ("thermocouple_emf", "k_mv_at_500_c") => k.emf(500.0, 0.0)?,
            ("thermocouple_emf", "k_mv_at_1000_c" | "k_mv_at_1000_c_table") => k.emf(1000.0, 0.0)?,
            ("cold_junction", "k_mv_hot_100_c_reference_25_c") => measured_mv,
            ("cold_junction", "t_forgotten_reference") => k.temperature(measured_mv, 0.0)?,
            ("cold_junction", "error_forgotten_reference") => forgotten_k,
            ("cold_junction", "t_compensated") => k.temperature(measured_mv, 25.0)?,
            ("reference_junction", "sensitivity_ratio_type_r_1000_c_from_function") => {
                -reference_junction_effect(&r, 1000.0, 0.0, 0.0)?.error_k_per_unit
            }
            _ => continue,
        };
        let published = row.number("recomputed")?;
        for (published, tolerance) in [
            (row.number("value")?, row.number("tolerance")?),
            // Proven bounds of both emfs over the slope, and that of the inverse: below 1e-12 of a temperature.
            (published, 1e-12 * published.abs()),
        ] {
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("{}: {quantity}", row.text("capability")?),
                unit: row.text("unit")?,
                published,
                tolerance,
                computed,
            });
        }
    }
    Ok(())
}
