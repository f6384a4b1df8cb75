use crate::reference::{case, close, close_relative, columns, series};
use calcore::fit::{
    CallendarVanDusenOptions, CovarianceBasis, CurveModel, ModelFit, ModelOptions, StraightLineOptions, WarningCode,
    WithGradient, callendar_van_dusen, model, straight_line,
};
use std::f64::consts::PI;

type Function = fn(f64, &[f64]) -> f64;
type Gradient = fn(f64, &[f64], &mut [f64]);

fn ratio(x: f64, p: &[f64]) -> (f64, f64) {
    (p[0] + x * (p[1] + x * (p[2] + x * p[3])), 1.0 + x * (p[4] + x * (p[5] + x * p[6])))
}

fn rational(x: f64, p: &[f64]) -> f64 {
    let (n, d) = ratio(x, p);
    n / d
}

fn rational_gradient(x: f64, p: &[f64], g: &mut [f64]) {
    let (n, d) = ratio(x, p);
    let powers = [1.0, x, x * x, x * x * x];
    for k in 0..4 {
        g[k] = powers[k] / d;
    }
    for k in 1..4 {
        g[3 + k] = -n / (d * d) * powers[k];
    }
}

/// NIST StRD, nonlinear sets: name, model, its derivatives.
const SETS: [(&str, Function, Gradient); 8] = [
    (
        "Misra1a",
        |x, p| p[0] * (1.0 - (-p[1] * x).exp()),
        |x, p, g| {
            let e = (-p[1] * x).exp();
            g[0] = 1.0 - e;
            g[1] = p[0] * x * e;
        },
    ),
    (
        "DanWood",
        |x, p| p[0] * x.powf(p[1]),
        |x, p, g| {
            g[0] = x.powf(p[1]);
            g[1] = p[0] * g[0] * x.ln();
        },
    ),
    (
        "Rat42",
        |x, p| p[0] / (1.0 + (p[1] - p[2] * x).exp()),
        |x, p, g| {
            let e = (p[1] - p[2] * x).exp();
            g[0] = 1.0 / (1.0 + e);
            g[1] = -p[0] * e * g[0] * g[0];
            g[2] = -x * g[1];
        },
    ),
    (
        "Roszman1",
        |x, p| p[0] - p[1] * x - (p[2] / (x - p[3])).atan() / PI,
        |x, p, g| {
            let d = x - p[3];
            let s = 1.0 / (PI * (d * d + p[2] * p[2]));
            g[0] = 1.0;
            g[1] = -x;
            g[2] = -d * s;
            g[3] = -p[2] * s;
        },
    ),
    (
        "MGH09",
        |x, p| p[0] * (x * x + x * p[1]) / (x * x + x * p[2] + p[3]),
        |x, p, g| {
            let (n, d) = (x * x + x * p[1], x * x + x * p[2] + p[3]);
            g[0] = n / d;
            g[1] = p[0] * x / d;
            g[2] = -p[0] * n * x / (d * d);
            g[3] = -p[0] * n / (d * d);
        },
    ),
    ("Hahn1", rational, rational_gradient),
    ("Thurber", rational, rational_gradient),
    (
        "Bennett5",
        |x, p| p[0] * (p[1] + x).powf(-1.0 / p[2]),
        |x, p, g| {
            let power = (p[1] + x).powf(-1.0 / p[2]);
            g[0] = power;
            g[1] = -p[0] * power / (p[2] * (p[1] + x));
            g[2] = p[0] * power * (p[1] + x).ln() / (p[2] * p[2]);
        },
    ),
];

fn worst(got: &[f64], want: &[f64]) -> f64 {
    assert_eq!(got.len(), want.len());
    got.iter().zip(want).map(|(g, w)| -(g / w - 1.0).abs().max(1e-16).log10()).fold(16.0, f64::min)
}

/// Both starts, with the derivatives and without: eight certified digits at least, of eleven.
#[test]
fn strd_nonlinear() {
    for (name, f, g) in SETS {
        let data = columns(&format!("strd_{name}"), 0);
        let want = case("strd_certified", name);
        let (parameters, deviations) = (series(&want, "parameter_", 1), series(&want, "parameter_std_dev_", 1));
        for start in ["start_1_", "start_2_"] {
            let begin = series(&want, start, 1);
            let check = |how: &str, fit: calcore::Result<ModelFit>| {
                let fit = fit.unwrap_or_else(|e| panic!("{name} from {start} {how}: {e}"));
                let (p, s) =
                    (worst(&fit.parameters, &parameters), worst(fit.standard_errors.as_ref().unwrap(), &deviations));
                let sum = worst(&[fit.sum_of_squares], &[want["residual_sum_of_squares"]]);
                println!(
                    "{name} {start} {how}: parameters {p:.1}, standard errors {s:.1}, sum of squares {sum:.1} digits, {} steps, {:?}",
                    fit.report.iterations, fit.report.stop_reason
                );
                assert!(p >= 8.0 && s >= 7.5 && sum >= 9.0, "{name} from {start} {how}");
            };
            check(
                "derivatives",
                model(&WithGradient { value: f, gradient: g }, &data[1], &data[0], &begin, &ModelOptions::default()),
            );
            check("differences", model(&f, &data[1], &data[0], &begin, &ModelOptions::default()));
        }
    }
}

/// The general engine on the lines of the literature: the same answer as the one for straight lines, whose values are
/// published.
#[test]
fn errors_in_both_variables_of_a_curved_search() {
    let points = columns("pearson_york_points", 0);
    let u = |k: usize| -> Vec<f64> { points[k].iter().map(|w| 1.0 / w.sqrt()).collect() };
    let (u_x, u_y) = (u(2), u(3));
    let want = case("pearson_york", "pearson-york");
    let line = |x: f64, p: &[f64]| p[0] + p[1] * x;
    let fit = model(
        &line,
        &points[0],
        &points[1],
        &[5.0, 0.0],
        &ModelOptions { u_x: (&u_x).into(), u_y: (&u_y).into(), ..Default::default() },
    )
    .unwrap();
    close_relative("intercept", fit.parameters[0], want["intercept"], 1e-10);
    close_relative("slope", fit.parameters[1], want["slope"], 1e-10);
    close_relative("chi-squared", fit.report.chi_squared.unwrap(), want["chi_squared"], 1e-11);
    close_relative("u(b)", fit.standard_errors.unwrap()[1], want["u_york2004_slope"], 1e-7);
}

/// The platinum equation as a user's model, errors in both variables and a shared one: as the room's own fit.
#[test]
fn a_users_model_and_the_rooms_own_agree() {
    let t = [-80.0, -40.0, 0.01, 50.0, 100.0, 150.0, 200.0];
    let ohm = [68.3254, 84.2705, 100.0040, 119.3968, 138.5062, 157.3240, 175.8571];
    let own = CallendarVanDusenOptions { u_ohm: 0.02.into(), u_t: 0.1.into(), u_t_common: 0.05, ..Default::default() };
    let own = callendar_van_dusen(&t, &ohm, &own).unwrap();
    let platinum = |t: f64, p: &[f64]| {
        let cold = if t < 0.0 { p[3] * 1e-12 * (t - 100.0) * t * t * t } else { 0.0 };
        p[0] * (1.0 + t * (p[1] * 1e-3 + t * p[2] * 1e-7) + cold)
    };
    let options = ModelOptions { u_y: 0.02.into(), u_x: 0.1.into(), u_x_common: 0.05, ..Default::default() };
    let fit = model(&platinum, &t, &ohm, &[90.0, 3.5, -5.0, -5.0], &options).unwrap();
    let curve = own.curve;
    for (got, want, scale) in [
        (fit.parameters[0], curve.r0(), 1.0),
        (fit.parameters[1], curve.a(), 1e-3),
        (fit.parameters[2], curve.b(), 1e-7),
        (fit.parameters[3], curve.c(), 1e-12),
    ] {
        close_relative("coefficient", got * scale, want, 1e-8);
    }
    close_relative("chi-squared", fit.report.chi_squared.unwrap(), own.report.chi_squared.unwrap(), 1e-9);
    close_relative(
        "u(r0)",
        fit.standard_errors.unwrap()[0],
        own.report.covariance.unwrap().standard_uncertainty(0),
        1e-7,
    );
}

/// A bound that binds is the fit with that parameter held; one that does not changes nothing.
#[test]
fn bounds() {
    let x: Vec<f64> = (0..10).map(f64::from).collect();
    let y: Vec<f64> = x.iter().map(|x| 1.0 + 2.0 * x + 0.1 * (3.0 * x).sin()).collect();
    let line = |x: f64, p: &[f64]| p[0] + p[1] * x;
    let free = straight_line(&x, &y, &StraightLineOptions::default()).unwrap();
    let wide = model(
        &line,
        &x,
        &y,
        &[0.0, 0.0],
        &ModelOptions { bounds: &[(-10.0, 10.0), (-10.0, 10.0)], ..Default::default() },
    )
    .unwrap();
    close_relative("slope", wide.parameters[1], free.slope, 1e-10);
    assert_eq!(wide.at_bound, [false, false]);
    let held = straight_line(&x, &y, &StraightLineOptions { fixed_slope: Some(1.5), ..Default::default() }).unwrap();
    let bound = model(
        &line,
        &x,
        &y,
        &[0.0, 0.0],
        &ModelOptions { bounds: &[(-10.0, 10.0), (-1.0, 1.5)], ..Default::default() },
    )
    .unwrap();
    assert_eq!((bound.parameters[1], bound.at_bound.clone()), (1.5, vec![false, true]));
    close_relative("intercept", bound.parameters[0], held.intercept, 1e-10);
    assert_eq!(bound.report.degrees_of_freedom, 9);
    assert_eq!(bound.report.covariance.as_ref().unwrap().get(1, 1), 0.0);
    assert!(bound.report.warnings.iter().any(|w| w.code == WarningCode::AtBound));
    // Started at a bound that is not that of the minimum.
    let away = model(
        &line,
        &x,
        &y,
        &[0.0, -1.0],
        &ModelOptions { bounds: &[(-10.0, 10.0), (-1.0, 10.0)], ..Default::default() },
    )
    .unwrap();
    close_relative("slope", away.parameters[1], free.slope, 1e-10);
}

/// One wild point: named, and the rest fitted as if it were not there but for a bounded pull.
#[test]
fn a_robust_fit_names_the_wild_point() {
    let x: Vec<f64> = (0..15).map(f64::from).collect();
    let mut y: Vec<f64> = x.iter().map(|x| 1.0 + 2.0 * x + 0.02 * (7.0 * x).sin()).collect();
    y[4] += 10.0;
    let line = |x: f64, p: &[f64]| p[0] + p[1] * x;
    for u_y in [calcore::fit::Stated::Nothing, 0.02.into()] {
        let options = ModelOptions { u_y, robust: true, ..Default::default() };
        let fit = model(&line, &x, &y, &[0.0, 0.0], &options).unwrap();
        close("intercept", fit.parameters[0], 1.0, 0.03);
        close("slope", fit.parameters[1], 2.0, 0.003);
        assert!(
            fit.report.weights[4] < 0.01 && fit.report.weights.iter().enumerate().all(|(i, w)| i == 4 || *w > 0.3),
            "{:?}",
            fit.report.weights
        );
        let warning = fit.report.warnings.iter().find(|w| w.code == WarningCode::PointsPlayedDown).unwrap();
        assert!(warning.text.contains("4 (weight"), "{warning}");
        assert_eq!(fit.report.chi_squared, None);
    }
}

/// Leave-one-out residuals are those of fits that leave one out, correlated or not.
#[test]
fn leave_one_out() {
    let x: Vec<f64> = (0..8).map(f64::from).collect();
    let y = [1.0, 3.2, 4.9, 7.1, 8.8, 11.3, 12.9, 15.2];
    let fit = straight_line(&x, &y, &StraightLineOptions { u_y: 0.1.into(), ..Default::default() }).unwrap();
    let share: f64 = fit.report.leverage.iter().sum();
    close("sum of leverages", share, 2.0, 1e-12);
    let without =
        |i: usize, v: &[f64]| -> Vec<f64> { v.iter().enumerate().filter(|(k, _)| *k != i).map(|(_, v)| *v).collect() };
    for i in 0..8 {
        let rest = straight_line(
            &without(i, &x),
            &without(i, &y),
            &StraightLineOptions { u_y: 0.1.into(), ..Default::default() },
        )
        .unwrap();
        close("left out", fit.report.leave_one_out_residuals[i], y[i] - (rest.intercept + rest.slope * x[i]), 1e-12);
    }
    // A shared error of the ordinates moves the intercept alone: the same residuals again.
    let shared =
        straight_line(&x, &y, &StraightLineOptions { u_y: 0.1.into(), u_y_common: 0.5, ..Default::default() }).unwrap();
    for i in 0..8 {
        close(
            "left out, correlated",
            shared.report.leave_one_out_residuals[i],
            fit.report.leave_one_out_residuals[i],
            1e-11,
        );
        close("leverage, correlated", shared.report.leverage[i], fit.report.leverage[i], 1e-11);
    }
}

struct Failing;

impl CurveModel for Failing {
    fn value(&self, _x: f64, _p: &[f64]) -> calcore::Result<f64> {
        Err(calcore::Error::ModelFailed { message: "out of order".into() })
    }
}

#[test]
fn what_cannot_be_fitted_is_refused() {
    let (x, y) = ([0.0, 1.0, 2.0], [0.0, 1.0, 2.0]);
    let none = ModelOptions::default();
    let code = |f: &dyn CurveModel, start: &[f64], options: &ModelOptions| {
        model(f, &x, &y, start, options).map_err(|e| e.code()).err()
    };
    let line = |x: f64, p: &[f64]| p[0] + p[1] * x;
    assert_eq!(code(&line, &[], &none), Some(201));
    assert_eq!(code(&line, &[f64::NAN, 0.0], &none), Some(101));
    assert_eq!(code(&line, &[0.0, 5.0], &ModelOptions { bounds: &[(0.0, 1.0), (0.0, 1.0)], ..none }), Some(103));
    assert_eq!(code(&line, &[0.0, 0.5], &ModelOptions { bounds: &[(0.0, 1.0)], ..none }), Some(105));
    assert_eq!(
        code(&line, &[0.0, 0.5], &ModelOptions { covariance_basis: Some(CovarianceBasis::Stated), ..none }),
        Some(202)
    );
    assert_eq!(code(&|x: f64, p: &[f64]| p[0] + p[1] + x, &[0.0, 0.0], &none), Some(202));
    assert_eq!(code(&|_: f64, p: &[f64]| (p[0] - 5.0).ln(), &[0.0], &none), Some(205));
    assert_eq!(code(&|x: f64, p: &[f64]| p[0] + p[1] * x + p[2] * x * x + p[3], &[0.0; 4], &none), Some(201));
    let error = model(&Failing, &x, &y, &[0.0], &none).unwrap_err();
    assert_eq!(error.to_string(), "the model failed: out of order");
}
