//! Copper, nickel, other platinum, and thermistors; tolerances of elements and thermocouples.

use super::Check;
use super::table::reference;
use crate::curves::{BetaThermistor, PolynomialRtd, SensorCurve, SteinhartHart};
use crate::error::Result;
use crate::tolerance::{astm_e230, astm_e1137, gost6651, iec60584};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    published_rows(all)?;
    resistances(all)?;
    thermistors(all)?;
    tolerances(all)
}

fn published_rows(all: &mut Vec<Check>) -> Result<()> {
    for (table, name) in [
        (reference!("gost6651_pt391_table"), "gost6651_pt391"),
        (reference!("gost6651_cu428_table"), "gost6651_cu428"),
        (reference!("gost6651_ni617_table"), "gost6651_ni617"),
        (reference!("din43760_ni618_table"), "din43760_ni618"),
    ] {
        let curve = PolynomialRtd::standard(name, 100.0)?;
        for row in table.rows() {
            let t_c = row.number("t_c")?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("{name}: R({t_c} °C), R0 = 100 ohm"),
                unit: "ohm",
                published: row.number("ohm")?,
                // Half a unit of the second decimal; the excess is the rounding of a printed decimal to a double.
                tolerance: 0.005 + 1e-12,
                computed: curve.resistance(t_c)?,
            });
        }
    }
    Ok(())
}

fn resistances(all: &mut Vec<Check>) -> Result<()> {
    for table in [reference!("oracle_other_curves"), reference!("rtd_dense")] {
        for row in table.rows() {
            let name = row.text("curve")?.replace("gost_", "gost6651_");
            let curve = PolynomialRtd::standard(&name, 100.0)?;
            let (t_c, ohm, slope) = (row.number("t_c")?, row.number("ohm")?, row.number("slope_ohm_per_k")?);
            let mut check = |what: String, unit, published, tolerance, computed| {
                let (source, quantity) = (table.source.clone(), format!("{name}: {what}, R0 = 100 ohm"));
                all.push(Check { source, quantity, unit, published, tolerance, computed });
            };
            // Two roundings of a resistance below 512 ohm, through a slope above 0.28 ohm/K for the inverse.
            check(format!("R({t_c} °C)"), "ohm", ohm, 1.2e-13, curve.resistance(t_c)?);
            check(format!("t({ohm} ohm)"), "°C", t_c, 4e-13, curve.temperature(ohm)?);
            check(format!("dR/dt({t_c} °C)"), "ohm/K", slope, 5e-16, curve.slope(t_c)?);
        }
    }
    Ok(())
}

fn thermistors(all: &mut Vec<Check>) -> Result<()> {
    for table in [reference!("oracle_thermistor"), reference!("thermistor_dense")] {
        for row in table.rows() {
            let (a0, a1) = (row.number("a0")?, row.number("a1")?);
            let curve: Box<dyn SensorCurve> = if row.text("form")? == "beta" {
                Box::new(BetaThermistor::new(a0, a1)?)
            } else {
                Box::new(SteinhartHart::with_quadratic(a0, a1, row.number("a2")?, row.number("a3")?)?)
            };
            let (form, t_c, ohm) = (row.text("form")?, row.number("t_c")?, row.number("ohm")?);
            let source = &table.source;
            all.push(Check {
                source: source.clone(),
                quantity: format!("{form}: t({ohm} ohm)"),
                unit: "°C",
                published: t_c,
                // A few roundings of a temperature below 1024 K.
                tolerance: 5e-13,
                computed: curve.temperature(ohm)?,
            });
            all.push(Check {
                source: source.clone(),
                quantity: format!("{form}: R({t_c} °C)"),
                unit: "ohm",
                published: ohm,
                // The logarithm, up to 16, is rounded a few times, and so is t.
                tolerance: 2e-14 * ohm,
                computed: curve.signal(t_c)?,
            });
        }
    }
    Ok(())
}

fn tolerances(all: &mut Vec<Check>) -> Result<()> {
    let iec = |letter: &str, class: &str, t_c: f64| iec60584(letter, class.parse().unwrap_or(0), t_c);
    let table = reference!("astm_e1137_tolerance");
    let e1137 = |_: &str, class: &str, t_c: f64| astm_e1137(class, t_c);
    of_table(all, &table, "construction", e1137)?;
    of_table(all, &reference!("gost6651_tolerance"), "material", gost6651)?;
    of_table(all, &reference!("iec60584_tolerance"), "type", iec)?;
    of_table(all, &reference!("astm_e230_tolerance"), "type", astm_e230)
}

fn of_table(
    all: &mut Vec<Check>,
    table: &super::table::Table,
    subject: &str,
    half_width: impl Fn(&str, &str, f64) -> Result<f64>,
) -> Result<()> {
    for row in table.rows() {
        let (subject, class) = (row.text(subject)?, row.text("class")?);
        for column in ["low_c", "high_c"] {
            let t_c = row.number(column)?;
            let beyond = |from: f64| (t_c - from).max(0.0);
            // The tables of resistance thermometers have a constant and a slope, those of thermocouples a rule.
            let published = match row.number("constant_k") {
                Ok(constant_k) => constant_k + row.number("slope_per_degc")? * t_c.abs(),
                Err(_) => {
                    row.number("fixed_k")?.max(row.number("rel_of_abs_t")? * t_c.abs())
                        + row.number("slope_per_degc")? * beyond(row.number("slope_from_c")?)
                }
            };
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("{subject}, class {class}: tolerance at {t_c} °C"),
                unit: "K",
                published,
                // Two roundings of a number below 32.
                tolerance: 7.2e-15,
                computed: half_width(subject, class, t_c)?,
            });
        }
    }
    Ok(())
}
