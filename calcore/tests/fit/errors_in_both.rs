use crate::reference::{case, close, close_relative, number, rows, series};
use calcore::curves::{CallendarVanDusen, SensorCurve};
use calcore::fit::{CallendarVanDusenFit, CallendarVanDusenOptions, FixedCoefficients, callendar_van_dusen};

const CASES: [&str; 5] = ["both", "shared", "held_b", "held_r0", "coarse"];

fn fitted(name: &str) -> (Vec<f64>, CallendarVanDusenFit) {
    let rows: Vec<_> = rows("fit_oracle_points").into_iter().filter(|row| row[0] == name).collect();
    let column = |k: usize| -> Vec<f64> { rows.iter().map(|row| number(&row[k])).collect() };
    let (t, ohm, u_t, u_ohm) = (column(1), column(2), column(3), column(4));
    let want = case("fit_oracle", name);
    let held = |k: &str| want.get(&format!("held_{k}")).copied();
    let options = CallendarVanDusenOptions {
        u_t: (&u_t).into(),
        u_ohm: (&u_ohm).into(),
        u_t_common: number(&rows[0][5]),
        u_ohm_common: number(&rows[0][6]),
        fixed: FixedCoefficients { r0: held("r0"), a: held("a"), b: held("b"), c: held("c") },
        ..Default::default()
    };
    let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
    (t, fit)
}

/// The minimum at 60 digits, found by another road (all unknowns at once, second derivatives).
#[test]
fn the_minimum_itself() {
    for name in CASES {
        let (t, fit) = fitted(name);
        let want = case("fit_oracle", name);
        let range = fit.curve.range();
        let exact =
            CallendarVanDusen::with_range(want["r0"], want["a"], want["b"], want["c"], range.low, range.high).unwrap();
        let mut worst = 0.0f64;
        for k in 0..=200 {
            let at = range.low + (range.high - range.low) * f64::from(k) / 200.0;
            worst = worst.max((fit.curve.raw_temperature(exact.raw_signal(at)) - at).abs());
        }
        println!("{name}: {worst:.1e} K, {} steps", fit.report.iterations);
        // The goal of the room: 1e-11 K of the exact curve. Rounding of 200 ohm alone is 7e-14 K.
        assert!(worst <= 1e-11, "{name}: {worst:e} K");
        close_relative(name, fit.report.chi_squared.unwrap(), want["chi_squared"], 1e-10);
        for (i, (got, want)) in fit.report.adjusted_x.iter().zip(series(&want, "true_t_c_", 0)).enumerate() {
            close(&format!("{name}, true temperature {i}"), *got, want, 1e-11);
        }
        assert_eq!(fit.report.adjusted_x.len(), t.len());
        let mut seen = 0;
        for i in 0..4 {
            for j in 0..4 {
                if let Some(want) = want.get(&format!("covariance_{i}_{j}")) {
                    let covariance = fit.report.covariance.as_ref().unwrap();
                    let scale = (covariance.get(i, i) * covariance.get(j, j)).sqrt();
                    // Against the product of both uncertainties: a covariance may cancel to far less.
                    close(&format!("{name} covariance {i} {j}"), covariance.get(i, j), *want, 1e-9 * scale);
                    seen += 1;
                }
            }
        }
        let free = fit.held.iter().filter(|held| !**held).count();
        assert_eq!(seen, free * free);
    }
}

/// General-purpose least squares and orthogonal distance regression stop within 3e-8 of the minimum.
#[test]
fn agreement_with_other_programs() {
    for row in rows("fit_peers") {
        let (_, fit) = fitted(&row[0]);
        let got = match row[2].as_str() {
            "r0" => fit.curve.r0(),
            "a" => fit.curve.a(),
            "b" => fit.curve.b(),
            _ => fit.curve.c(),
        };
        close_relative(&format!("{} {} {}", row[0], row[1], row[2]), got, number(&row[3]), 1e-7);
    }
}

/// Neither the order of the points nor the unit of the resistance changes anything.
#[test]
fn order_and_units() {
    let rows: Vec<_> = rows("fit_oracle_points").into_iter().filter(|row| row[0] == "shared").collect();
    let column = |k: usize| -> Vec<f64> { rows.iter().map(|row| number(&row[k])).collect() };
    let (t, ohm, u_t, u_ohm) = (column(1), column(2), column(3), column(4));
    let (t_shared, ohm_shared) = (number(&rows[0][5]), number(&rows[0][6]));
    let (_, plain) = fitted("shared");
    let order = [3, 0, 6, 2, 5, 1, 4];
    let mixed = |v: &[f64]| -> Vec<f64> { order.iter().map(|k| v[*k]).collect() };
    let turned = callendar_van_dusen(
        &mixed(&t),
        &mixed(&ohm),
        &CallendarVanDusenOptions {
            u_t: (&mixed(&u_t)).into(),
            u_ohm: (&mixed(&u_ohm)).into(),
            u_t_common: t_shared,
            u_ohm_common: ohm_shared,
            ..Default::default()
        },
    )
    .unwrap();
    // A Pt1000 with the same relative errors; ten is no power of two, so that it rounds.
    let ten = |v: &[f64]| -> Vec<f64> { v.iter().map(|v| 10.0 * v).collect() };
    let scaled = callendar_van_dusen(
        &t,
        &ten(&ohm),
        &CallendarVanDusenOptions {
            u_t: (&u_t).into(),
            u_ohm: (&ten(&u_ohm)).into(),
            u_t_common: t_shared,
            u_ohm_common: 10.0 * ohm_shared,
            ..Default::default()
        },
    )
    .unwrap();
    for (other, unit) in [(turned, 1.0), (scaled, 10.0)] {
        close_relative("r0", other.curve.r0(), unit * plain.curve.r0(), 1e-13);
        close_relative("a", other.curve.a(), plain.curve.a(), 1e-12);
        close_relative("b", other.curve.b(), plain.curve.b(), 1e-10);
        close_relative("c", other.curve.c(), plain.curve.c(), 1e-9);
        close_relative("chi-squared", other.report.chi_squared.unwrap(), plain.report.chi_squared.unwrap(), 1e-10);
        for at in [-50.0, 20.0, 180.0] {
            let (a, b) = (other.temperature_uncertainty(at).unwrap(), plain.temperature_uncertainty(at).unwrap());
            close_relative("u", a, b, 1e-9);
        }
    }
}
