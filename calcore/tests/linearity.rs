//! Linearity against linear programming.
#![allow(clippy::unwrap_used, clippy::panic)]

use calcore::linearization::{Basis, ReadingUncertainty, linearity};

fn rows(name: &str) -> Vec<Vec<f64>> {
    let path = format!("{}/../tests/reference/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    text.lines().skip(1).map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect()).collect()
}

// Witness: scipy's linprog (tests/oracle/linearity.py), which is feasible to 1e-10 in y.
#[test]
fn lines_are_those_of_linear_programming() {
    let points = rows("linearity_oracle_points");
    let results = rows("linearity_oracle");
    assert_eq!(results.len(), 60);
    for row in results {
        let of_case = || points.iter().filter(|point| point[0] as u32 == row[0] as u32);
        let (x, y): (Vec<f64>, Vec<f64>) = of_case().map(|point| (point[1], point[2])).unzip();
        for (basis, wanted) in [(Basis::Independent, row[1]), (Basis::Zero, row[2]), (Basis::Terminal, row[3])] {
            let found = linearity(&x, &y, None, basis, ReadingUncertainty::Nothing).unwrap();
            assert!((found.largest - wanted).abs() < 3e-10, "case {} {basis:?}: {} {wanted}", row[0], found.largest);
        }
    }
}

// Witness: the derivative of the result to each reading by differences; between ties of the active points there is one.
#[test]
fn the_uncertainty_is_that_of_the_active_points() {
    let x = [0.0, 20.0, 40.0, 60.0, 80.0, 100.0];
    let y = [0.013, 0.11, 0.172, 0.141, 0.09, 0.021];
    let u = [0.01, 0.02, 0.03, 0.04, 0.05, 0.06];
    for basis in [Basis::Independent, Basis::Zero, Basis::Terminal] {
        let largest = |y: &[f64]| linearity(&x, y, None, basis, ReadingUncertainty::Nothing).unwrap().largest;
        let h = 1e-6;
        let mut variance = 0.0;
        for i in 0..y.len() {
            let (mut above, mut below) = (y, y);
            above[i] += h;
            below[i] -= h;
            let slope = (largest(&above) - largest(&below)) / (2.0 * h);
            variance += (slope * u[i]).powi(2);
        }
        let found = linearity(&x, &y, Some(4.0), basis, ReadingUncertainty::Each(&u)).unwrap();
        let stated = found.standard_uncertainty.unwrap();
        // Rounding of a difference of 1e-17 over 2e-6.
        assert!((stated - variance.sqrt()).abs() < 1e-9, "{basis:?} {stated} {}", variance.sqrt());
        assert!((found.standard_uncertainty_percent_of_span.unwrap() - 25.0 * stated).abs() < 1e-14);
        // Fully correlated readings: what all share cancels.
        let shared = [0.01; 36];
        let found = linearity(&x, &y, None, basis, ReadingUncertainty::Covariance(&shared)).unwrap();
        assert!(found.standard_uncertainty.unwrap() < 1e-8);
    }
}
