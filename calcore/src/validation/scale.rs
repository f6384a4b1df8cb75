//! The ITS-90 and its thermometers.

use super::Check;
use super::table::reference;
use crate::constants::its90::FIXED_POINTS;
use crate::curves::Sprt;
use crate::error::Result;
use crate::its90::{
    Subrange, reference_ratio, reference_slope, temperature_from_ratio, temperature_from_ratio_approximate,
};

/// The exponent of the lower reference function, a sum of terms whose sizes add to 9, is rounded to 4e-15 at most: so
/// is the ratio, relatively. The upper one has terms of 4.8 altogether.
const RATIO: f64 = 4e-15;
/// Two roundings of a temperature below 2048 K, and those of the ratio over a slope above 2.8e-3 per kelvin.
const TEMPERATURE_K: f64 = 7e-13;

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    fixed_points(all)?;
    reference_functions(all)?;
    thermometers(all)?;
    densely(all)
}

fn fixed_points(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("its90_fixed_points");
    for row in table.rows() {
        let (t_k, published) = (row.number("t_k")?, row.number("wr")?);
        if published.is_nan() {
            continue;
        }
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("W_r({t_k} K), {}", row.text("substance")?),
            unit: "",
            published,
            // Half of the eighth decimal. (At the triple point of water, W = 1, the functions are off by 0.465e-8.)
            tolerance: 0.5e-8,
            computed: reference_ratio(t_k)?,
        });
    }
    Ok(())
}

fn reference_functions(all: &mut Vec<Check>) -> Result<()> {
    for table in [reference!("its90_oracle_ratio"), reference!("its90_dense")] {
        for row in table.rows() {
            let (t_k, published, slope) = (row.number("t_k")?, row.number("wr")?, row.number("slope_per_k")?);
            let mut check = |quantity: String, unit, published, tolerance, computed| {
                let source = table.source.clone();
                all.push(Check { source, quantity, unit, published, tolerance, computed });
            };
            check(format!("W_r({t_k} K)"), "", published, RATIO * published, reference_ratio(t_k)?);
            // The sums of the derivative have terms ten times their value.
            check(format!("dW_r/dT({t_k} K)"), "1/K", slope, 1e-14 * slope, reference_slope(t_k)?);
            let back = temperature_from_ratio(published)?;
            check(format!("T90({published})"), "K", t_k, TEMPERATURE_K, back);
            // The bands of the document; the upper one is 0.1341 mK, printed as 0.13 mK.
            let band = if row.text("branch")? == "low" { 0.1e-3 } else { 0.135e-3 };
            let approximate = temperature_from_ratio_approximate(published)?;
            check(format!("T90({published}) by the published inverse"), "K", t_k, band, approximate);
        }
    }
    let table = reference!("its90_oracle_temperature");
    for row in table.rows() {
        let w = row.number("wr")?;
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("T90({w})"),
            unit: "K",
            published: row.number("t_k")?,
            tolerance: TEMPERATURE_K,
            computed: temperature_from_ratio(w)?,
        });
    }
    Ok(())
}

/// The synthetic thermometer of a sub-range.
fn thermometer(subrange: Subrange) -> Result<Sprt> {
    let mut r_tpw = f64::NAN;
    let mut coefficients = vec![f64::NAN; subrange.coefficient_names().len()];
    let table = reference!("sprt_synthetic");
    for row in table.rows() {
        if row.text("case")? != subrange.section() {
            continue;
        }
        let (quantity, value) = (row.text("quantity")?, row.number("value")?);
        if quantity == "r_tpw_ohm" {
            r_tpw = value;
        }
        let name = quantity.strip_prefix("coefficients_");
        if let Some(place) = subrange.coefficient_names().iter().position(|known| Some(*known) == name) {
            coefficients[place] = value;
        }
    }
    Sprt::new(r_tpw, subrange, &coefficients)
}

fn thermometers(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("sprt_synthetic");
    for subrange in Subrange::all() {
        let sprt = thermometer(subrange)?;
        let mut t_c = f64::NAN;
        for row in table.rows() {
            if row.text("case")? != subrange.section() {
                continue;
            }
            let (quantity, published) = (row.text("quantity")?, row.number("value")?);
            let mut check = |what: String, unit, published: f64, tolerance, computed| {
                let (source, quantity) = (table.source.clone(), format!("{}: {what}", subrange.section()));
                all.push(Check { source, quantity, unit, published, tolerance, computed });
            };
            // 273.15 taken from a temperature and added again rounds it by 5.7e-14 K at most: 1.2e-14 of the ratio at
            // 13.8 K.
            let relative = 3e-14;
            if let Some(name) = quantity.strip_prefix("w_at_points_") {
                let point = FIXED_POINTS.iter().find(|point| point.name.eq_ignore_ascii_case(name));
                if let Some(point) = point.filter(|point| subrange.range().contains(point.t_c)) {
                    let computed = sprt.ratio(point.t_c)?;
                    check(format!("W({} °C)", point.t_c), "", published, relative * published, computed);
                }
            } else if quantity.starts_with("check_") && quantity.ends_with("_t90_k") {
                t_c = published - 273.15;
            } else if quantity.starts_with("check_") && quantity.ends_with("_w") {
                check(format!("W({t_c} °C)"), "", published, relative * published, sprt.ratio(t_c)?);
            } else if quantity.starts_with("check_") && quantity.ends_with("_r_ohm") {
                check(format!("R({t_c} °C)"), "ohm", published, relative * published, sprt.resistance(t_c)?);
                check(format!("t({published} ohm)"), "°C", t_c, 1e-12, sprt.temperature(published)?);
            }
        }
    }
    Ok(())
}

fn densely(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("sprt_dense");
    for subrange in Subrange::all() {
        let sprt = thermometer(subrange)?;
        for row in table.rows() {
            if row.text("section")? != subrange.section() {
                continue;
            }
            let (t_c, ohm) = (row.number("t_c")?, row.number("ohm")?);
            let mut check = |what: String, unit, published: f64, tolerance, computed| {
                let (source, quantity) = (table.source.clone(), format!("{}: {what}", subrange.section()));
                all.push(Check { source, quantity, unit, published, tolerance, computed });
            };
            // Three roundings of a ratio below 8.
            check(format!("R({t_c} °C)"), "ohm", ohm, 3e-15 * sprt.r_tpw(), sprt.resistance(t_c)?);
            check(format!("t({ohm} ohm)"), "°C", t_c, 1e-12, sprt.temperature(ohm)?);
            let slope = row.number("slope_ohm_per_k")?;
            check(format!("dR/dt({t_c} °C)"), "ohm/K", slope, 3e-14 * slope, sprt.slope(t_c)?);
        }
    }
    Ok(())
}
