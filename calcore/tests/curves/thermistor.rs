//! Thermistors.

use crate::table::{Largest, Table};
use calcore::curves::{BetaThermistor, SensorCurve, SteinhartHart};
use std::collections::HashMap;

// Witness: 45 digits by mpmath.
#[test]
fn oracle_values() {
    let mut largest = Largest::default();
    for row in Table::read("oracle_thermistor").rows() {
        let [a0, a1, a2, a3] = ["a0", "a1", "a2", "a3"].map(|name| row.number(name));
        let curve = match row.text("form") {
            "sh3" => SteinhartHart::new(a0, a1, a3),
            _ => SteinhartHart::with_quadratic(a0, a1, a2, a3),
        }
        .unwrap();
        largest.see((curve.temperature(row.number("ohm")).unwrap() - row.number("t_c")).abs(), row.place());
        let ohm = curve.resistance(row.number("t_c")).unwrap();
        // t is rounded to 7e-15 K and T to 2.8e-14 K; a kelvin is 4 to 9 percent of R; the logarithm up to 12 is
        // rounded to 2e-15.
        row.assert_close("ohm", ohm, 2e-14 * ohm);
    }
    // A few units in the last place of T (5.7e-14 K).
    largest.assert_at_most("temperature, K", 2.5e-13);
}

// Witness: 60 digits by mpmath (tests/oracle/its90.py), for the doubles of the file.
#[test]
fn dense_values() {
    let mut by_form: HashMap<&str, [Largest; 3]> = HashMap::new();
    let table = Table::read("thermistor_dense");
    for row in table.rows() {
        let [a0, a1, a2, a3] = ["a0", "a1", "a2", "a3"].map(|name| row.number(name));
        let curve: Box<dyn SensorCurve> = match row.text("form") {
            "beta" => Box::new(BetaThermistor::new(a0, a1).unwrap()),
            _ => Box::new(SteinhartHart::with_quadratic(a0, a1, a2, a3).unwrap()),
        };
        let (t_c, ohm, slope) = (row.number("t_c"), row.number("ohm"), row.number("slope_ohm_per_k"));
        let largest = by_form.entry(row.text("form")).or_default();
        largest[0].see((curve.signal(t_c).unwrap() - ohm).abs() / ohm, row.place());
        largest[1].see(((curve.slope(t_c).unwrap() - slope) / slope).abs(), row.place());
        largest[2].see((curve.temperature(ohm).unwrap() - t_c).abs(), row.place());
    }
    for (form, [ohm, slope, temperature]) in by_form {
        // The logarithm, up to 16, is rounded to 1.8e-15 a few times; full scale is millions of ohms.
        ohm.assert_at_most(&format!("{form}: resistance, relative"), 1e-14);
        slope.assert_at_most(&format!("{form}: slope, relative"), 1.2e-14);
        temperature.assert_at_most(&format!("{form}: temperature, K"), 5e-13);
    }
}

// Witness: worked examples of a published data product specification, to their printed digits, and derived values.
#[test]
fn worked_examples() {
    let table = Table::read("thermistor_worked");
    let value = |case: &str, quantity: &str| {
        let row = table.rows().find(|row| row.text("case") == case && row.text("quantity") == quantity);
        row.unwrap_or_else(|| panic!("{case} {quantity}")).number("value")
    };
    let four = |case: &str| {
        let [a0, a1, a2, a3] = ["a0", "a1", "a2", "a3"].map(|name| value(case, name));
        SteinhartHart::with_quadratic(a0, a1, a2, a3).unwrap()
    };
    let first = four("four_term_1").temperature(value("four_term_1", "ohm")).unwrap();
    assert!((first - value("four_term_1", "t_c")).abs() <= 5e-7, "{first}");
    let second = four("four_term_2");
    for i in 0..4 {
        let t_c = second.temperature(value("four_term_2", &format!("ohm_{i}"))).unwrap();
        assert!((t_c - value("four_term_2", &format!("t_c_{i}"))).abs() <= 5e-5, "{i}: {t_c}");
    }
    // Curves through exact points return them.
    let [a, b, c] = [0, 1, 3].map(|i| value("steinhart_hart_exact_3pt", &format!("coefficient_ln_power_{i}")));
    let through_three = SteinhartHart::new(a, b, c).unwrap();
    for (t_c, ohm) in [(50.0, 34_780.0), (85.0, 9_744.0), (125.0, 2_872.0)] {
        // The coefficients, rounded to 53 bits, weigh 1e-16 · 1/T each; T² times that is 4e-14 K.
        assert!((through_three.temperature(ohm).unwrap() - t_c).abs() < 3e-13);
        assert!((through_three.resistance(t_c).unwrap() - ohm).abs() < 1e-13 * ohm * 10.0);
    }
    let beta = BetaThermistor::beta_from_points((50.0, 34_780.0), (125.0, 2_872.0)).unwrap();
    assert!((beta - value("beta_2pt", "beta_k")).abs() < 4.0 * 9.1e-13, "{beta}");
}
