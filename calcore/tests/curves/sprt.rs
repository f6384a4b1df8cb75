//! Thermometers with deviation functions.

use crate::table::{Largest, Table};
use calcore::constants::its90::FIXED_POINTS;
use calcore::curves::Sprt;
use calcore::its90::{Subrange, reference_ratio};
use std::collections::HashMap;

/// The synthetic thermometers, by their sub-range.
pub(crate) fn thermometers() -> HashMap<String, Sprt> {
    let table = Table::read("sprt_synthetic");
    let mut values: HashMap<(String, String), f64> = HashMap::new();
    for row in table.rows() {
        values.insert((row.text("case").into(), row.text("quantity").into()), row.number("value"));
    }
    let build = |subrange: Subrange| {
        let value = |quantity: &str| values[&(subrange.section().to_owned(), quantity.to_owned())];
        let names = subrange.coefficient_names().iter();
        let coefficients: Vec<f64> = names.map(|name| value(&format!("coefficients_{name}"))).collect();
        Sprt::new(value("r_tpw_ohm"), subrange, &coefficients).unwrap()
    };
    Subrange::all().map(|subrange| (subrange.section().to_owned(), build(subrange))).collect()
}

// Witness: W of every synthetic thermometer at its calibration points and at four temperatures between, 60 digits.
#[test]
fn every_synthetic_thermometer() {
    let thermometers = thermometers();
    let (mut ratios, mut ohms, mut temperatures) = <(Largest, Largest, Largest)>::default();
    let mut check_t_c = f64::NAN;
    let (mut points, mut checks) = (0, 0);
    for row in Table::read("sprt_synthetic").rows() {
        let sprt = &thermometers[row.text("case")];
        let (quantity, value) = (row.text("quantity"), row.number("value"));
        if let Some(name) = quantity.strip_prefix("w_at_points_") {
            let point = FIXED_POINTS.iter().find(|point| point.name.eq_ignore_ascii_case(name)).unwrap();
            points += 1;
            if sprt.subrange().range().contains(point.t_c) {
                ratios.see((sprt.ratio(point.t_c).unwrap() - value).abs() / value, row.place());
                temperatures.see((sprt.temperature(value * sprt.r_tpw()).unwrap() - point.t_c).abs(), row.place());
            } else {
                // 3.3.1.1 is calibrated at the triple point of hydrogen, which lies below its range.
                let w_r = value - sprt.deviation().value(value);
                assert!((w_r - reference_ratio(point.t_k).unwrap()).abs() < 1e-17, "{}", row.place());
            }
        } else if let Some((_, what)) = quantity.strip_prefix("check_t_w_").and_then(|rest| rest.split_once('_')) {
            match what {
                "t90_k" => check_t_c = value - 273.15,
                "w" => ratios.see((sprt.ratio(check_t_c).unwrap() - value).abs() / value, row.place()),
                "r_ohm" => {
                    ohms.see((sprt.resistance(check_t_c).unwrap() - value).abs() / value, row.place());
                    temperatures.see((sprt.temperature(value).unwrap() - check_t_c).abs(), row.place());
                    checks += 1;
                }
                _ => {}
            }
        }
    }
    // Eleven thermometers: 32 coefficients, as many calibration points, four temperatures each.
    assert_eq!((points, checks), (32, 44));
    // Taking 273.15 from a temperature rounds it by 2.8e-14 K, which is 6e-15 of the ratio at 13.8 K; adding it again
    // as much; the exponent of the lower function 4e-15.
    ratios.assert_at_most("W, relative", 3e-14);
    ohms.assert_at_most("resistance, relative", 3e-14);
    temperatures.assert_at_most("temperature, K", 1e-12);
}

// Witness: 60 digits by mpmath (tests/oracle/its90.py), for the doubles of the file.
#[test]
fn every_subrange_densely() {
    let thermometers = thermometers();
    let mut by_section: HashMap<String, [Largest; 4]> = HashMap::new();
    for row in Table::read("sprt_dense").rows() {
        let sprt = &thermometers[row.text("section")];
        let t_c = row.number("t_c");
        let largest = by_section.entry(row.text("section").into()).or_default();
        let (w, ohm) = (row.number("w"), row.number("ohm"));
        largest[0].see((sprt.ratio(t_c).unwrap() - w).abs(), row.place());
        largest[1].see((sprt.resistance(t_c).unwrap() - ohm).abs() / sprt.r_tpw(), row.place());
        largest[2].see((sprt.temperature(ohm).unwrap() - t_c).abs(), row.place());
        let slope = row.number("slope_ohm_per_k");
        largest[3].see((sprt.slope(t_c).unwrap() - slope).abs() / slope, row.place());
    }
    assert_eq!(by_section.len(), 11);
    for (section, [ratio, ohm, temperature, slope]) in by_section {
        // A few units in the last place of a ratio below 8 (8.9e-16): the goal is 1e-12 of full scale.
        ratio.assert_at_most(&format!("{section}: W"), 3e-15);
        ohm.assert_at_most(&format!("{section}: R/R(273.16 K)"), 3e-15);
        // The same over a slope above 2.8e-3 per kelvin; at 13.8 K, where the slope is 2.4e-4, the ratio is small and
        // its rounding with it.
        temperature.assert_at_most(&format!("{section}: temperature, K"), 1e-12);
        // Rounding of t + 273.15 at 13.8 K.
        slope.assert_at_most(&format!("{section}: slope, relative"), 3e-14);
    }
}
