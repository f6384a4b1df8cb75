//! Industrial platinum thermometers.

use super::Check;
use super::table::reference;
use crate::curves::CallendarVanDusen;
use crate::error::Result;
use crate::tolerance::{Construction, iec60751, iec60751_range};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let table = reference!("iec60751_table1");
    for row in table.rows() {
        let t_c = row.number("t_c")?;
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("R({t_c} °C), R0 = 100 ohm"),
            unit: "ohm",
            published: row.number("ohm")?,
            // Half a unit of the second decimal; the excess is the rounding of a printed decimal to a double.
            tolerance: 0.005 + 1e-12,
            computed: pt100.resistance(t_c)?,
        });
    }
    for table in [reference!("iec60751_oracle_resistance"), reference!("iec60751_dense_resistance")] {
        for row in table.rows() {
            let t_c = row.number("t_c")?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("R({t_c} °C), R0 = 100 ohm"),
                unit: "ohm",
                published: row.number("ohm")?,
                // One unit in the last place of a double between 256 ohm and 512 ohm.
                tolerance: 6e-14,
                computed: pt100.resistance(t_c)?,
            });
        }
    }
    for table in [reference!("iec60751_oracle_temperature"), reference!("iec60751_dense_temperature")] {
        for row in table.rows() {
            let ohm = row.number("ohm")?;
            let published: f64 = row.number("t_c")?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("t({ohm} ohm), R0 = 100 ohm"),
                unit: "°C",
                published,
                // 4 to 5 roundings of a resistance up to 390 ohm, over a slope of 0.29 ohm/K; near R0, where nothing
                // cancels, a fifth of that.
                tolerance: if published.abs() <= 1.0 { 5e-14 } else { 2.5e-13 },
                computed: pt100.temperature(ohm)?,
            });
        }
    }
    let table = reference!("iec60751_oracle_slope");
    for row in table.rows() {
        let t_c = row.number("t_c")?;
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("dR/dt({t_c} °C), R0 = 100 ohm"),
            unit: "ohm/K",
            published: row.number("slope_ohm_per_k")?,
            // Four roundings of a number below 0.5.
            tolerance: 2.3e-16,
            computed: pt100.slope(t_c)?,
        });
    }
    constants(all)?;
    classes(all)
}

/// Coefficients to alpha, delta, beta and back.
fn constants(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("alpha_delta_beta");
    let value = |wanted: &str, role: &str| {
        for row in table.rows() {
            if row.text("quantity")? == wanted && row.text("role")? == role {
                return row.number("value");
            }
        }
        Ok(f64::NAN)
    };
    let (a, b, c) = (value("a", "input")?, value("b", "input")?, value("c", "input")?);
    let curve = CallendarVanDusen::new(100.0, a, b, c)?;
    let (alpha, delta, beta) = (curve.alpha(), curve.delta(), curve.beta());
    let back = CallendarVanDusen::from_alpha_delta_beta(100.0, alpha, delta, beta)?;
    for (name, published, computed, unit) in
        [("A", a, back.a(), "1/K"), ("B", b, back.b(), "1/K²"), ("C", c, back.c(), "1/K⁴")]
    {
        all.push(Check {
            source: "M. S. Van Dusen, J. Am. Chem. Soc. 47 (1925) 326: the two forms are one".into(),
            quantity: format!("{name} from alpha, delta, beta from A, B, C"),
            unit,
            published,
            // Six roundings.
            tolerance: published.abs() * 1e-15,
            computed,
        });
    }
    for row in table.rows() {
        let computed = match row.text("quantity")? {
            "alpha" => alpha,
            "delta" => delta,
            "beta_for_c_-4.18301e-12" => beta,
            _ => continue,
        };
        let published = row.number("value")?;
        if row.text("role")? != "exact" {
            continue;
        }
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("{} of A {a}, B {b}, C {c}", row.text("quantity")?),
            unit: "",
            published,
            // Four roundings, and those of the decimals A, B and C to doubles.
            tolerance: published.abs() * 1e-15,
            computed,
        });
    }
    Ok(())
}

/// Half-widths of the classes at 0 °C and at both ends of their ranges.
fn classes(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("iec60751_tolerance");
    for row in table.rows() {
        let class = row.text("class")?;
        let construction =
            if row.text("construction")? == "film" { Construction::Film } else { Construction::WireWound };
        let (constant_k, proportion) = (row.number("constant_k")?, row.number("slope_per_degc")?);
        let range = iec60751_range(class, construction)?;
        let ends = [("low_c", range.low), ("high_c", range.high)];
        for (column, computed) in ends {
            let published = row.number(column)?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("class {class}, {}, {column}", construction.name()),
                unit: "°C",
                published,
                tolerance: 0.0,
                computed,
            });
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("class {class}, {}, tolerance at {published} °C", construction.name()),
                unit: "K",
                published: constant_k + proportion * published.abs(),
                // Two roundings of a number below 8.
                tolerance: 1e-15,
                computed: iec60751(class, published, construction)?,
            });
        }
    }
    Ok(())
}
