use crate::reference::{case, close, columns, series};
use calcore::fit::{PolynomialFit, PolynomialOptions, polynomial};

/// Digits to which a number agrees with a certified one of `digits` digits.
fn digits(got: f64, want: f64) -> f64 {
    let error = if want == 0.0 { got.abs() } else { (got / want - 1.0).abs() };
    if error == 0.0 { 16.0 } else { -error.log10() }
}

/// Worst agreement of coefficients, of their standard errors, and that of the residual standard deviation.
fn strd(name: &str, degree: usize, fixed: &[f64]) -> (PolynomialFit, [f64; 3]) {
    let data = columns(&format!("strd_{name}"), 0);
    let want = case("strd_certified", name);
    let options = PolynomialOptions { fixed_lowest: fixed, ..Default::default() };
    let fit = polynomial(&data[1], &data[0], degree, &options).unwrap();
    let worst = |got: &[f64], prefix: &str| {
        let want = series(&want, prefix, 1);
        assert_eq!(want.len(), got.len(), "{name}");
        got.iter().zip(&want).map(|(g, w)| digits(*g, *w)).fold(16.0, f64::min)
    };
    let held = fixed.len();
    let result = [
        worst(&fit.coefficients[held..], "parameter_"),
        worst(&fit.standard_errors.as_ref().unwrap()[held..], "parameter_std_dev_"),
        digits(fit.report.residual_standard_deviation.unwrap(), want["residual_std_dev"]),
    ];
    println!(
        "{name}: coefficients {:.1}, standard errors {:.1}, residual sd {:.1} digits",
        result[0], result[1], result[2]
    );
    if let Some(r2) = want.get("r_squared") {
        close("r squared", fit.r_squared, *r2, 1e-13);
    }
    (fit, result)
}

/// NIST StRD, linear sets, certified to 15 digits.
#[test]
fn strd_linear() {
    for (name, degree, fixed) in [
        ("Norris", 1, &[][..]),
        ("Pontius", 2, &[]),
        ("NoInt1", 1, &[0.0]),
        ("Filip", 10, &[]),
        ("Wampler3", 5, &[]),
        ("Wampler5", 5, &[]),
    ] {
        let (_, [coefficients, errors, deviation]) = strd(name, degree, fixed);
        assert!(
            coefficients >= 13.0 && errors >= 12.0 && deviation >= 13.0,
            "{name}: {coefficients} {errors} {deviation}"
        );
    }
    // Exact data: certified standard errors are 0, so that only the coefficients can be compared in digits.
    let data = columns("strd_Wampler1", 0);
    let fit = polynomial(&data[1], &data[0], 5, &PolynomialOptions::default()).unwrap();
    for c in &fit.coefficients {
        assert!((c - 1.0).abs() < 1e-13, "{c}");
    }
    assert!(fit.report.residual_standard_deviation.unwrap() < 1e-15);
}

/// The value in the mapped basis is the same polynomial; its uncertainty that of the covariance of the coefficients.
#[test]
fn values_and_their_uncertainty() {
    let data = columns("strd_Pontius", 0);
    let fit = polynomial(&data[1], &data[0], 2, &PolynomialOptions::default()).unwrap();
    let x = 1.3e6;
    let c = &fit.coefficients;
    assert!((fit.value(x).unwrap() / (c[0] + x * (c[1] + x * c[2])) - 1.0).abs() < 1e-14);
    let variance = fit.report.covariance.as_ref().unwrap().variance_of(&[1.0, x, x * x]);
    assert!((fit.value_uncertainty(x).unwrap() / variance.sqrt() - 1.0).abs() < 1e-9);
    // Weights: the same uncertainty for every point changes nothing, whatever its size.
    let weighted = PolynomialOptions { u_y: 1e-4.into(), ..Default::default() };
    let weighted = polynomial(&data[1], &data[0], 2, &weighted).unwrap();
    for (a, b) in weighted.coefficients.iter().zip(c) {
        assert!((a / b - 1.0).abs() < 1e-13);
    }
    let sum = fit.report.residual_standard_deviation.unwrap().powi(2) * fit.report.degrees_of_freedom as f64;
    assert!((weighted.report.chi_squared.unwrap() / (sum / 1e-8) - 1.0).abs() < 1e-12);
}

#[test]
fn what_cannot_be_fitted_is_refused() {
    let none = PolynomialOptions::default();
    let code = |x: &[f64], y: &[f64], degree, options: &PolynomialOptions| {
        polynomial(x, y, degree, options).map_err(|e| e.code()).err()
    };
    assert_eq!(code(&[0.0, 1.0], &[0.0, 1.0], 2, &none), Some(201));
    assert_eq!(code(&[0.0, 1.0, 1.0], &[0.0, 1.0, 1.0], 2, &none), Some(201));
    assert_eq!(code(&[0.0, 1.0], &[0.0], 1, &none), Some(105));
    assert_eq!(code(&[0.0, 1.0], &[0.0, f64::NAN], 1, &none), Some(101));
    assert_eq!(code(&[0.0, 1.0], &[0.0, 1.0], 0, &PolynomialOptions { fixed_lowest: &[0.0], ..none }), Some(103));
    assert_eq!(code(&[0.0, 1.0], &[0.0, 1.0], 2, &PolynomialOptions { fixed_lowest: &[0.0], ..none }), Some(201));
    assert_eq!(code(&[0.0, 1.0], &[0.0, 1.0], 1, &none), None);
}
