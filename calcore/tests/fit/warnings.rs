use crate::reference::{case, close, close_relative, number, rows};
use calcore::fit::{
    CallendarVanDusenOptions, FitWarning, PolynomialOptions, StraightLineOptions, WarningCode, callendar_van_dusen,
    polynomial, straight_line,
};

fn has(warnings: &[FitWarning], code: WarningCode) -> bool {
    warnings.iter().any(|w| w.code == code)
}

fn platinum(t: f64) -> f64 {
    let cold = if t < 0.0 { -4.183e-12 * (t - 100.0) * t * t * t } else { 0.0 };
    100.0 * (1.0 + t * (3.9083e-3 - 5.775e-7 * t) + cold)
}

#[test]
fn each_warning_where_it_belongs_and_not_elsewhere() {
    let fit = |t: &[f64], off: &[f64], u: f64| {
        let ohm: Vec<f64> = t.iter().zip(off).map(|(t, off)| platinum(*t) + off).collect();
        callendar_van_dusen(t, &ohm, &CallendarVanDusenOptions { u_ohm: u.into(), ..Default::default() }).unwrap()
    };
    let t = [-100.0, -60.0, -20.0, 0.0, 60.0, 130.0, 200.0];
    let noise = [1e-3, -8e-4, 6e-4, -1.1e-3, 9e-4, -3e-4, 2e-4];
    let good = fit(&t, &noise, 1e-3);
    assert!(good.report.warnings.is_empty(), "{:?}", good.report.warnings);
    let large = fit(&t, &noise.map(|v| 10.0 * v), 1e-3);
    assert!(has(&large.report.warnings, WarningCode::ChiSquaredTooLarge));
    let small = fit(&t, &noise.map(|v| 0.01 * v), 1e-3);
    assert!(has(&small.report.warnings, WarningCode::ChiSquaredTooSmall));
    // One point below 0 °C, or none far below.
    let weak = fit(&[-80.0, 0.0, 50.0, 100.0, 200.0], &[0.0; 5], 1e-3);
    assert!(has(&weak.report.warnings, WarningCode::CPoorlyDetermined));
    assert!(has(&weak.report.warnings, WarningCode::HighLeverage), "{:?}", weak.report.leverage);
    let near = fit(&[-20.0, -10.0, 0.0, 50.0, 100.0, 200.0], &[0.0; 6], 1e-2);
    assert!(has(&near.report.warnings, WarningCode::CPoorlyDetermined));
    assert!(has(&near.report.warnings, WarningCode::PoorlyDetermined), "{:?}", near.report.warnings);
    // Points within a kelvin say nothing of the curvature.
    let crowded = fit(&[99.0, 99.4, 99.7, 100.0], &[0.0; 4], 1e-7);
    assert!(has(&crowded.report.warnings, WarningCode::IllConditioned), "{}", crowded.report.condition_number);
    for w in &crowded.report.warnings {
        assert!(w.to_string().starts_with(w.code.name()) && w.code.number() > 0);
    }
}

/// A coefficient is named with its own value and uncertainty, not those of its product with R0, 100 times as large.
#[test]
fn a_poorly_determined_coefficient_is_told_in_its_own_unit() {
    let points: Vec<_> = rows("fit_oracle_points").into_iter().filter(|row| row[0] == "c_near_zero").collect();
    let [t, ohm, u_t, u_ohm] = [1, 2, 3, 4].map(|k| points.iter().map(|row| number(&row[k])).collect::<Vec<f64>>());
    let options = CallendarVanDusenOptions { u_t: (&u_t).into(), u_ohm: (&u_ohm).into(), ..Default::default() };
    let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
    let warnings = &fit.report.warnings;
    let told: Vec<&FitWarning> = warnings.iter().filter(|w| w.code == WarningCode::PoorlyDetermined).collect();
    assert_eq!(told.len(), 1, "{warnings:?}");
    let words: Vec<&str> = told[0].text.split(' ').collect();
    assert_eq!(words[..3], ["c", "(1/K^4)", "is"], "{}", told[0].text);
    let want = case("fit_oracle", "c_near_zero");
    // tests/reference/fit_oracle, at 60 digits; seven and four digits are printed.
    close_relative("c", words[3].parse().unwrap(), want["c"], 5e-7);
    close_relative("u(c)", words.last().unwrap().parse().unwrap(), want["covariance_3_3"].sqrt(), 5e-4);
}

/// A wild reading in each of the fits: named, and hardly felt.
#[test]
fn robust_fits() {
    let t: Vec<f64> = (0..12).map(|k| 25.0 * f64::from(k)).collect();
    let mut ohm: Vec<f64> = t.iter().map(|t| platinum(*t) + 1e-3 * (3.0 * t).sin()).collect();
    ohm[5] += 0.5;
    let plain = callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions::default()).unwrap();
    let robust =
        callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions { robust: true, ..Default::default() }).unwrap();
    assert!((plain.curve.r0() - 100.0).abs() > 5.0 * (robust.curve.r0() - 100.0).abs());
    close("read at 137.5 °C", robust.curve.temperature(platinum(137.5)).unwrap(), 137.5, 0.01);
    assert!(robust.report.weights[5] < 0.05 && has(&robust.report.warnings, WarningCode::PointsPlayedDown));
    assert!(plain.report.weights.is_empty());
    let mut y: Vec<f64> = t.iter().map(|t| 1.0 + 0.5 * t + 1e-3 * (3.0 * t).sin()).collect();
    y[2] -= 3.0;
    let line =
        straight_line(&t, &y, &StraightLineOptions { u_y: 1e-3.into(), robust: true, ..Default::default() }).unwrap();
    close("slope", line.slope, 0.5, 1e-4);
    assert!(line.report.weights[2] < 1e-2);
    let curve = polynomial(&t, &y, 2, &PolynomialOptions { robust: true, ..Default::default() }).unwrap();
    close("value", curve.value(100.0).unwrap(), 51.0, 0.01);
    assert!(curve.report.weights[2] < 1e-2 && has(&curve.report.warnings, WarningCode::PointsPlayedDown));
}

/// Results read as JSON, warnings by name, the curve by its coefficients.
#[test]
#[cfg(feature = "serde")]
fn as_json() {
    let t = [0.0, 50.0, 100.0];
    let fit =
        callendar_van_dusen(&t, &t.map(platinum), &CallendarVanDusenOptions { u_t: 0.01.into(), ..Default::default() })
            .unwrap();
    let json: serde_json::Value = serde_json::to_value(&fit).unwrap();
    assert_eq!(json["curve"]["r0"].as_f64(), Some(fit.curve.r0()));
    assert_eq!(json["warnings"][0]["code"], "no_degrees_of_freedom");
    assert_eq!(json["stop_reason"], "converged");
    assert_eq!(json["covariance_basis"], "stated");
}
