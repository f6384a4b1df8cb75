//! Reader of tests/reference, and a comparison that says what it compared.

use std::collections::HashMap;

/// Lines of a file, header left out, fields as text.
pub(crate) fn rows(name: &str) -> Vec<Vec<String>> {
    let path = format!(concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/reference/{}.csv"), name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    text.lines().skip(1).map(|line| line.split(',').map(str::to_string).collect()).collect()
}

pub(crate) fn number(text: &str) -> f64 {
    text.trim().parse().unwrap_or_else(|e| panic!("{text:?}: {e}"))
}

/// Columns of numbers, from column `first` on.
pub(crate) fn columns(name: &str, first: usize) -> Vec<Vec<f64>> {
    let rows = rows(name);
    (first..rows[0].len()).map(|k| rows.iter().map(|row| number(&row[k])).collect()).collect()
}

/// Quantities of one case of a file case,quantity,value,…; the last column holds the most digits.
pub(crate) fn case(name: &str, case: &str) -> HashMap<String, f64> {
    rows(name)
        .iter()
        .filter(|row| row[0] == case)
        .map(|row| (row[1].clone(), number(row.last().expect("a value"))))
        .collect()
}

/// Values of `prefix`0, `prefix`1, … or from `first` on.
pub(crate) fn series(values: &HashMap<String, f64>, prefix: &str, first: usize) -> Vec<f64> {
    (first..).map_while(|k| values.get(&format!("{prefix}{k}")).copied()).collect()
}

pub(crate) fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: got {got:e}, want {want:e}, off by {:e}, tolerance {tolerance:e}",
        got - want
    );
}

pub(crate) fn close_relative(what: &str, got: f64, want: f64, tolerance: f64) {
    close(what, got, want, tolerance * want.abs());
}
