//! Platinum, copper and nickel by polynomials.

use crate::table::{Largest, Table, ulps};
use calcore::curves::PolynomialRtd;
use std::collections::HashMap;

/// Names that the older files use.
fn full_name(name: &str) -> String {
    match name.strip_prefix("gost_") {
        Some(rest) => format!("gost6651_{rest}"),
        None => name.to_owned(),
    }
}

// Witness: more than 20 digits (published constants, mpmath).
#[test]
fn oracle_values() {
    for row in Table::read("oracle_other_curves").rows() {
        let curve = PolynomialRtd::standard(&full_name(row.text("curve")), 100.0).unwrap();
        let t_c = row.number("t_c");
        // Four units in the last place of a resistance below 512 ohm, and of a slope below 1 ohm/K.
        row.assert_close("ohm", curve.resistance(t_c).unwrap(), 4.0 * 5.7e-14);
        row.assert_close("slope_ohm_per_k", curve.slope(t_c).unwrap(), 4.0 * 1.2e-16);
        let back = curve.temperature(row.number("ohm")).unwrap();
        row.assert_close("t_c", back, 3e-13);
    }
}

// Witness: 60 digits by mpmath (tests/oracle/its90.py), for the doubles of the file.
#[test]
fn dense_values() {
    let mut by_curve: HashMap<String, [Largest; 3]> = HashMap::new();
    for row in Table::read("rtd_dense").rows() {
        let curve = PolynomialRtd::standard(row.text("curve"), 100.0).unwrap();
        let t_c = row.number("t_c");
        let largest = by_curve.entry(row.text("curve").into()).or_default();
        largest[0].see(ulps(curve.resistance(t_c).unwrap(), row.number("ohm")), row.place());
        let slope = row.number("slope_ohm_per_k");
        largest[1].see((curve.slope(t_c).unwrap() - slope).abs(), row.place());
        largest[2].see((curve.temperature(row.number("ohm")).unwrap() - t_c).abs(), row.place());
    }
    assert_eq!(by_curve.len(), 11);
    for (curve, [ohm, slope, temperature]) in by_curve {
        // Below 0 °C the sum of 100 ohm and up to −80 ohm loses digits: the units are those of the smaller sum.
        ohm.assert_at_most(&format!("{curve}: resistance, ulp"), 8.0);
        slope.assert_at_most(&format!("{curve}: slope, ohm/K"), 5e-16);
        // One unit of a resistance below 512 ohm over a slope above 0.28 ohm/K.
        temperature.assert_at_most(&format!("{curve}: temperature, K"), 4e-13);
    }
}

// Witness: rows of the published tables as public copies have them, two decimals of an ohm, rounded half up.
#[test]
fn published_rows() {
    for (file, name) in [
        ("gost6651_pt391_table", "gost6651_pt391"),
        ("gost6651_cu428_table", "gost6651_cu428"),
        ("gost6651_ni617_table", "gost6651_ni617"),
        ("din43760_ni618_table", "din43760_ni618"),
    ] {
        let curve = PolynomialRtd::standard(name, 100.0).unwrap();
        for row in Table::read(file).rows() {
            // Half of the last printed digit, and the rounding of the sum.
            row.assert_close("ohm", curve.resistance(row.number("t_c")).unwrap(), 0.005 + 1e-12);
        }
    }
}
