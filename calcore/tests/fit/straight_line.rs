use crate::reference::{case, close, close_relative, columns, number, rows, series};
use calcore::fit::{CovarianceBasis, StraightLineOptions, straight_line};
use std::collections::HashMap;

fn flat(name: &str) -> HashMap<String, f64> {
    rows(name).iter().map(|row| (row[0].clone(), number(row.last().expect("a value")))).collect()
}

/// JCGM 100:2008, H.3: the printed digits, and those of the separate computation.
#[test]
fn gum_h3() {
    let points = columns("gum_h3_points", 0);
    let x: Vec<f64> = points[0].iter().map(|t| t - 20.0).collect();
    let line = straight_line(&x, &points[1], &StraightLineOptions::default()).unwrap();
    let covariance = line.report.covariance.clone().unwrap();
    let (predicted, u_predicted) = line.predict(10.0, 0.0).unwrap();
    let got = [
        ("y1", line.intercept),
        ("u_y1", covariance.standard_uncertainty(0)),
        ("y2", line.slope),
        ("u_y2", covariance.standard_uncertainty(1)),
        ("r", covariance.correlation(0, 1)),
        ("s", line.report.residual_standard_deviation.unwrap()),
        ("b_30", predicted),
        ("u_b_30", u_predicted),
        ("dof", line.report.degrees_of_freedom as f64),
    ];
    let rows = rows("gum_h3");
    for (name, value) in got {
        let row = rows.iter().find(|row| row[0] == name).unwrap();
        close(name, value, number(&row[1]), number(&row[2]));
        // t − 20 rounds at 1e-15 of 5: relative 1e-12 in a slope of two thousandths.
        close_relative(name, value, number(&row[3]), 1e-10);
    }
    assert_eq!((line.report.chi_squared, line.report.covariance_basis), (None, CovarianceBasis::Residuals));
    // H.3, a correction with a shared error of 0.005 °C: only the intercept takes it up.
    let shared =
        straight_line(&x, &points[1], &StraightLineOptions { u_y_common: 0.005, ..Default::default() }).unwrap();
    let u1 = shared.report.covariance.clone().unwrap().standard_uncertainty(0);
    close("u(y1)", u1, 0.0057689, 5e-8);
    close_relative(
        "u(y2)",
        shared.report.covariance.unwrap().standard_uncertainty(1),
        covariance.standard_uncertainty(1),
        1e-10,
    );
    // H.3.5: about the mean the coefficients are uncorrelated, the prediction is the same.
    let mean = points[0].iter().sum::<f64>() / 11.0;
    let centred: Vec<f64> = points[0].iter().map(|t| t - mean).collect();
    let line = straight_line(&centred, &points[1], &StraightLineOptions::default()).unwrap();
    close("r", line.report.covariance.as_ref().unwrap().correlation(0, 1), 0.0, 1e-12);
    let (again, u_again) = line.predict(30.0 - mean, 0.0).unwrap();
    close("b(30)", again, predicted, 1e-13);
    close("u(b(30))", u_again, u_predicted, 1e-13);
    assert!(flat("gum_h3").len() == 9);
}

/// ISO/TS 28037:2010, 6.3, 11.1, 11.2 (equal weights), annex E (unknown equal weights), clause 10 (general).
#[test]
fn iso_ts_28037() {
    let points = case("iso28037_points", "28037-6-equal");
    let (x, y) = (series(&points, "x_", 0), series(&points, "y_", 0));
    let want = case("iso28037", "28037-6-equal");
    let line = straight_line(&x, &y, &StraightLineOptions { u_y: 0.5.into(), ..Default::default() }).unwrap();
    let covariance = line.report.covariance.clone().unwrap();
    let (inverse, u_inverse) = line.predict_inverse(10.5, 0.5).unwrap();
    let (forward, u_forward) = line.predict(3.5, 0.2).unwrap();
    for (name, got) in [
        ("a", line.intercept),
        ("b", line.slope),
        ("u_a", covariance.standard_uncertainty(0)),
        ("u_b", covariance.standard_uncertainty(1)),
        ("cov", covariance.get(0, 1)),
        ("chi2", line.report.chi_squared.unwrap()),
        ("inverse_x", inverse),
        ("inverse_u", u_inverse),
        ("forward_y", forward),
        ("forward_u", u_forward),
    ] {
        close_relative(name, got, want[name], 1e-12);
    }
    let points = case("iso28037_points", "28037-E-unknown-equal");
    let (x, y) = (series(&points, "x_", 0), series(&points, "y_", 0));
    let want = case("iso28037", "28037-E-unknown-equal");
    let line = straight_line(&x, &y, &StraightLineOptions::default()).unwrap();
    close_relative("a", line.intercept, want["a"], 1e-12);
    close_relative("b", line.slope, want["b"], 1e-12);
    close_relative(
        "u_a",
        line.report.covariance.as_ref().unwrap().standard_uncertainty(0),
        want["u_a_sigma_hat"],
        1e-10,
    );
    close_relative(
        "u_b",
        line.report.covariance.as_ref().unwrap().standard_uncertainty(1),
        want["u_b_sigma_hat"],
        1e-10,
    );
    let points = case("iso28037_points", "28037-10-general");
    let (x, y) = (series(&points, "x_", 0), series(&points, "y_", 0));
    let matrix =
        |prefix: &str| -> Vec<f64> { (0..49).map(|k| points[&format!("{prefix}_{}_{}", k / 7, k % 7)]).collect() };
    let (u_x, u_y) = (matrix("u_x"), matrix("u_y"));
    let want = case("iso28037", "28037-10-general");
    let zero = [0.0; 49];
    for cross in [None, Some(&zero[..])] {
        let options = StraightLineOptions {
            covariance_x: Some(&u_x),
            covariance_y: Some(&u_y),
            covariance_xy: cross,
            ..Default::default()
        };
        let line = straight_line(&x, &y, &options).unwrap();
        let covariance = line.report.covariance.clone().unwrap();
        for (name, got) in [
            ("a", line.intercept),
            ("b", line.slope),
            ("u_a", covariance.standard_uncertainty(0)),
            ("u_b", covariance.standard_uncertainty(1)),
            ("cov", covariance.get(0, 1)),
            ("chi2", line.report.chi_squared.unwrap()),
        ] {
            // The intercept is a difference of numbers near 200, seven digits of condition.
            close_relative(name, got, want[name], 1e-9);
        }
    }
}

/// Pearson's data with York's weights; uncertainties by the convention of York et al. (2004), at the adjusted points.
#[test]
fn pearson_york() {
    let points = columns("pearson_york_points", 0);
    let u = |k: usize| -> Vec<f64> { points[k].iter().map(|w| 1.0 / w.sqrt()).collect() };
    let (u_x, u_y) = (u(2), u(3));
    let want = case("pearson_york", "pearson-york");
    let line = straight_line(
        &points[0],
        &points[1],
        &StraightLineOptions { u_x: (&u_x).into(), u_y: (&u_y).into(), ..Default::default() },
    )
    .unwrap();
    close_relative("intercept", line.intercept, want["intercept"], 1e-12);
    close_relative("slope", line.slope, want["slope"], 1e-12);
    close_relative("chi-squared", line.report.chi_squared.unwrap(), want["chi_squared"], 1e-11);
    let covariance = line.report.covariance.clone().unwrap();
    close_relative("u(a)", covariance.standard_uncertainty(0), want["u_york2004_intercept"], 1e-10);
    close_relative("u(b)", covariance.standard_uncertainty(1), want["u_york2004_slope"], 1e-10);
    close_relative("u(a, b)", covariance.get(0, 1), want["u_york2004_cov"], 1e-10);
    // Scaled by the residuals, chosen by name.
    let scaled = StraightLineOptions {
        u_x: (&u_x).into(),
        u_y: (&u_y).into(),
        covariance_basis: Some(CovarianceBasis::Residuals),
        ..Default::default()
    };
    let scaled = straight_line(&points[0], &points[1], &scaled).unwrap();
    close("u(a), scaled", scaled.report.covariance.unwrap().standard_uncertainty(0), 0.3592465225511118, 1e-10);
    // Exchanging the axes gives the same line.
    let turned = straight_line(
        &points[1],
        &points[0],
        &StraightLineOptions { u_x: (&u_y).into(), u_y: (&u_x).into(), ..Default::default() },
    )
    .unwrap();
    close_relative("slope of the turned line", turned.slope, 1.0 / line.slope, 1e-12);
}

#[test]
fn textbook_line() {
    let points = columns("textbook_line_points", 0);
    let want = case("textbook_line", "bevington-6.1");
    let line = straight_line(&points[0], &points[1], &StraightLineOptions::default()).unwrap();
    let covariance = line.report.covariance.clone().unwrap();
    close_relative("a", line.intercept, want["a"], 1e-11);
    close_relative("b", line.slope, want["b"], 1e-12);
    close_relative("u(a)", covariance.standard_uncertainty(0), want["u_a"], 1e-11);
    close_relative("cov", covariance.get(0, 1), want["cov"], 1e-11);
    // Held parameters: the slope through the origin is Σxy/Σx², the intercept at a held slope the mean of the rest.
    let (x, y) = (&points[0], &points[1]);
    let through =
        straight_line(x, y, &StraightLineOptions { fixed_intercept: Some(0.0), ..Default::default() }).unwrap();
    let (xy, xx): (f64, f64) = (x.iter().zip(y).map(|(x, y)| x * y).sum(), x.iter().map(|x| x * x).sum());
    close_relative("slope through the origin", through.slope, xy / xx, 1e-14);
    assert_eq!(through.report.covariance.unwrap().get(0, 0), 0.0);
    let level = straight_line(x, y, &StraightLineOptions { fixed_slope: Some(1.0), ..Default::default() }).unwrap();
    let mean = x.iter().zip(y).map(|(x, y)| y - x).sum::<f64>() / x.len() as f64;
    close_relative("intercept", level.intercept, mean, 1e-13);
}

/// Correlated x and y of one point: where both carry one and the same error, the line y = x fits whatever it is.
#[test]
fn errors_common_to_both_variables_of_a_point() {
    let noise = [0.3, -0.2, 0.5, -0.4];
    let x: Vec<f64> = noise.iter().enumerate().map(|(k, e)| k as f64 + e).collect();
    let diagonal: Vec<f64> = (0..16).map(|k| if k % 5 == 0 { 0.25 } else { 0.0 }).collect();
    let own: Vec<f64> = diagonal.iter().map(|v| v * 1.0001).collect();
    let options = StraightLineOptions {
        covariance_x: Some(&diagonal),
        covariance_y: Some(&own),
        covariance_xy: Some(&diagonal),
        ..Default::default()
    };
    let line = straight_line(&x, &x, &options).unwrap();
    close("slope", line.slope, 1.0, 1e-12);
    close("chi-squared", line.report.chi_squared.unwrap(), 0.0, 1e-12);
    // What is left of the errors of y − x is a hundredth of theirs.
    assert!(line.report.covariance.unwrap().standard_uncertainty(1) < 0.01);
    let too_much: Vec<f64> = diagonal.iter().map(|v| v * 1.1).collect();
    let options = StraightLineOptions { covariance_xy: Some(&too_much), ..options };
    assert_eq!(straight_line(&x, &x, &options).map_err(|e| e.code()), Err(203));
}
