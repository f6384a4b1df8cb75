//! Tables of a user's own.

use crate::table::{Largest, Table};
use calcore::curves::{CallendarVanDusen, Interpolation, SensorCurve, TabulatedCurve};

fn rows_of(name: &str) -> (Vec<f64>, Vec<f64>) {
    let points = Table::read("monotone_table_points");
    points.rows().filter(|row| row.text("table") == name).map(|row| (row.number("t_c"), row.number("signal"))).unzip()
}

// Witness: scipy 1.17.1, PchipInterpolator, computed once (tests/oracle/its90.py pchip). Double precision on both
// sides: a few roundings of the largest signal and slope of the table.
#[test]
fn monotone_cubic_agrees_with_another_implementation() {
    let mut compared = 0;
    for name in ["rising", "falling", "two_rows"] {
        let (t_c, signal) = rows_of(name);
        let curve = TabulatedCurve::new(&t_c, &signal, Interpolation::MonotoneCubic).unwrap();
        let largest_signal = signal.iter().fold(0.0f64, |a, b| a.max(b.abs()));
        let mut inverse = Largest::default();
        let table = Table::read("monotone_table");
        for row in table.rows().filter(|row| row.text("table") == name) {
            let t = row.number("t_c");
            row.assert_close("signal", curve.signal(t).unwrap(), 8.0 * f64::EPSILON * largest_signal);
            let slope = row.number("slope_per_k");
            row.assert_close("slope_per_k", curve.slope(t).unwrap(), 1e-12 * slope.abs().max(1.0));
            let back = curve.temperature(curve.signal(t).unwrap()).unwrap();
            let rounding = 4.0 * f64::EPSILON * largest_signal / slope.abs().max(1e-3);
            inverse.see((back - t).abs() / (rounding + 1e-13), row.place());
            compared += 1;
        }
        inverse.assert_at_most(&format!("{name}: inverse, in roundings of the signal"), 4.0);
    }
    assert_eq!(compared, 89);
}

// Witness: h² max|t''| / 8 for platinum from 100 °C to 110 °C, worked by hand in the trade: 3.81 mK.
#[test]
fn the_error_of_straight_lines_is_the_known_one() {
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    let t_c = [100.0, 110.0];
    let signal = t_c.map(|t| pt100.resistance(t).unwrap());
    let table = TabulatedCurve::new(&t_c, &signal, Interpolation::Linear).unwrap();
    let error = |t: f64| table.temperature(pt100.resistance(t).unwrap()).unwrap() - t;
    let largest = (0..=1000).map(|i| error(100.0 + 0.01 * f64::from(i)).abs()).fold(0.0, f64::max);
    assert!((largest - 3.81e-3).abs() < 0.005e-3, "{largest}");
}

#[test]
fn rows_in_either_order_and_falling_signals() {
    let t_c = [0.0, 25.0, 50.0, 80.0];
    let ohm = [32_650.0, 10_000.0, 3_603.0, 1_258.0];
    let reversed = |values: &[f64]| values.iter().rev().copied().collect::<Vec<_>>();
    for interpolation in [Interpolation::Linear, Interpolation::MonotoneCubic] {
        let curve = TabulatedCurve::new(&t_c, &ohm, interpolation).unwrap();
        assert_eq!(TabulatedCurve::new(&reversed(&t_c), &reversed(&ohm), interpolation), Ok(curve.clone()));
        for (t, y) in t_c.into_iter().zip(ohm) {
            assert_eq!(curve.signal(t), Ok(y));
            assert!((curve.temperature(y).unwrap() - t).abs() < 1e-13);
        }
        assert!(curve.slope(30.0).unwrap() < 0.0);
        assert_eq!(curve.signal(80.1).map_err(|e| e.code()), Err(102));
        assert_eq!(curve.temperature(1_257.0).map_err(|e| e.code()), Err(102));
        assert_eq!(curve.temperature(f64::NAN).map_err(|e| e.code()), Err(101));
    }
}

#[test]
fn a_table_that_turns_is_refused_with_its_row() {
    let refused = |t_c: &[f64], signal: &[f64]| {
        TabulatedCurve::with_unit(t_c, signal, Interpolation::MonotoneCubic, "resistance", "ohm").unwrap_err()
    };
    let error = refused(&[0.0, 1.0, 2.0, 3.0], &[100.0, 101.0, 100.9, 102.0]);
    assert_eq!(error.code(), 103);
    assert!(error.to_string().starts_with("resistance is 100.9 ohm: row 2 (counted from 0) must lie above"), "{error}");
    assert!(refused(&[0.0, 1.0, 1.0], &[1.0, 2.0, 3.0]).to_string().contains("row 2"));
    assert_eq!(refused(&[0.0], &[1.0]).code(), 201);
    assert_eq!(refused(&[0.0, 1.0], &[1.0]).code(), 105);
    let missing = refused(&[0.0, 1.0, 2.0], &[1.0, 2.0, f64::NAN]);
    assert!(missing.code() == 101 && missing.to_string().contains("element 2"), "{missing}");
    assert_eq!(refused(&[-300.0, 1.0], &[1.0, 2.0]).code(), 103);
}
