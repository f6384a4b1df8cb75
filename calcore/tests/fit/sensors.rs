use crate::reference::{case, close, close_relative, number, rows};
use calcore::curves::{CallendarVanDusen, SensorCurve};
use calcore::fit::{
    DeviationOptions, Its90DeviationOptions, SteinhartHartTerms, ThermistorOptions, WarningCode, beta, deviation,
    its90_deviation, steinhart_hart,
};
use calcore::its90::Subrange;

/// Made-up thermometers of every sub-range, their ratios at the fixed points to 40 digits: the coefficients come back,
/// and the fitted thermometer gives the ratios at the check temperatures.
#[test]
fn its90_of_every_subrange() {
    let points = rows("its90_fixed_points");
    for subrange in Subrange::all() {
        let want = case("sprt_synthetic", subrange.section());
        let (mut t, mut w) = (Vec::new(), Vec::new());
        for name in subrange.points() {
            let row = points.iter().find(|row| row[1] == *name).unwrap();
            t.push(calcore::its90::fixed_point(name).unwrap().t_k);
            assert_eq!(*t.last().unwrap(), number(&row[3]));
            w.push(want[&format!("w_at_points_{}", name.to_lowercase())]);
        }
        // The triple point of water may be among them and changes nothing.
        t.push(273.16);
        w.push(1.0);
        let options = Its90DeviationOptions { u_w: 1e-7.into(), u_t: 1e-4.into(), ..Default::default() };
        let fit = its90_deviation(&t, &w, subrange, &options).unwrap();
        // W and W_r carry up to 4e-16 of rounding, which a coefficient shows over the size of its term, amplified by the
        // condition of the points.
        let condition = fit.report.condition_number;
        println!("{}: condition number {condition:.1e}", subrange.section());
        let w_al = fit.deviation.w_aluminium().unwrap_or(0.0);
        for (k, (name, got)) in subrange.coefficient_names().iter().zip(fit.deviation.coefficients()).enumerate() {
            let size = w.iter().map(|w| subrange.terms(*w, w_al)[k].abs()).fold(0.0, f64::max);
            let want = want[&format!("coefficients_{name}")];
            close(&format!("{} {name}", subrange.section()), *got, want, 4e-16 * condition / size);
        }
        let thermometer = fit.thermometer(want["r_tpw_ohm"]).unwrap();
        for k in 0.. {
            let Some(t_k) = want.get(&format!("check_t_w_{k}_t90_k")) else { break };
            let got = thermometer.ratio(t_k - 273.15).unwrap();
            // Exact points carry the rounding of W times the amplification between them, at most a few units.
            close_relative("ratio", got, want[&format!("check_t_w_{k}_w")], 1e-13);
        }
        // All of it is the triple point of water, where the reference function is 4.65e-9 (below: 1e-8) short of 1, over
        // an uncertainty of 4.1e-7.
        assert!(fit.report.chi_squared.unwrap() < 1e-3);
        assert!(!fit.report.warnings.iter().any(|w| w.code == WarningCode::IllConditioned));
        // At a calibration point of an exact fit: its own two uncertainties, through the slopes.
        let at = t[t.len() - 2];
        let u = fit.temperature_uncertainty(at).unwrap();
        let slope = calcore::its90::reference_slope(at).unwrap();
        close_relative("u(T)", u, (1e-8 + (1e-7 / slope).powi(2)).sqrt(), 1e-3);
    }
}

/// NIST StRD MGH10 (a thermistor) as Steinhart and Hart's equation: coefficients at 60 digits, residuals in kelvin.
#[test]
fn steinhart_hart_of_mgh10() {
    let points = |name: &str| -> (Vec<f64>, Vec<f64>) {
        rows("thermistor_worked_points")
            .iter()
            .filter(|row| row[0] == name)
            .map(|row| (number(&row[1]), number(&row[2])))
            .unzip()
    };
    for (name, data, terms) in [
        ("mgh10_as_steinhart_hart_3", "mgh10", SteinhartHartTerms::Three),
        ("mgh10_as_steinhart_hart_4", "mgh10", SteinhartHartTerms::Four),
        ("steinhart_hart_exact_3pt", "steinhart_hart_exact_3pt", SteinhartHartTerms::Three),
        ("steinhart_hart_exact_4pt", "steinhart_hart_exact_4pt", SteinhartHartTerms::Four),
    ] {
        let (t, ohm) = points(data);
        let fit = steinhart_hart(&t, &ohm, terms, &ThermistorOptions::default()).unwrap();
        let rows: Vec<_> = rows("thermistor_worked").into_iter().filter(|row| row[0] == name).collect();
        let want = |key: &str| rows.iter().find(|row| row[1] == key).map(|row| number(&row[2]));
        for (power, got) in fit.curve.coefficients().into_iter().enumerate() {
            let want = want(&format!("coefficient_ln_power_{power}")).unwrap_or(0.0);
            // Powers of ln R between 8 and 10.5 are nearly parallel: condition number 1e4 to 1e6.
            close_relative(&format!("{name} a{power}"), got, want, 1e-9);
        }
        for (i, got) in fit.residuals_c.iter().enumerate() {
            if let Some(want) = want(&format!("t_residual_c_{i}")) {
                // 1/T of 3e-3 rounds at 4e-19, that is 4e-14 K; the file gives read minus given.
                close(&format!("{name} residual {i}"), got.abs(), want.abs(), 1e-10);
            }
        }
    }
    let (t, ohm) = points("beta_2pt");
    let fit = beta(&t, &ohm, &ThermistorOptions { u_t: 0.01.into(), u_ohm: 1.0.into(), ..Default::default() }).unwrap();
    let want = rows("thermistor_worked").iter().find(|row| row[0] == "beta_2pt").map(|row| number(&row[2])).unwrap();
    close_relative("beta", fit.beta, want, 1e-12);
    // Two points: u(β) by the formula of propagation, written out.
    let (t1, t2) = (t[0] + 273.15, t[1] + 273.15);
    let d = 1.0 / t1 - 1.0 / t2;
    let parts = [1.0 / (ohm[0] * d), 1.0 / (ohm[1] * d), 0.01 * want / (t1 * t1 * d), 0.01 * want / (t2 * t2 * d)];
    let u = parts.iter().map(|v| v * v).sum::<f64>().sqrt();
    close_relative("u(beta)", fit.report.covariance.unwrap().standard_uncertainty(1), u, 1e-9);
}

/// Exact data of a known deviation from a curve come back; the deviation is held at zero at 0 °C.
#[test]
fn deviation_from_a_reference_curve() {
    let reference = CallendarVanDusen::iec60751(100.0).unwrap();
    let t = [0.0, 100.0, 200.0, 300.0, 400.0];
    let own = |t: f64| reference.resistance(t).unwrap() + 2e-3 * t - 3e-6 * t * t;
    let signal = t.map(own);
    let options = DeviationOptions { u_signal: 0.004.into(), u_t: 0.01.into(), ..Default::default() };
    let fit = deviation(&reference, &t, &signal, 2, &options).unwrap();
    let c = fit.curve.coefficients();
    assert_eq!(c[0], 0.0);
    close_relative("c1", c[1], 2e-3, 1e-9);
    close_relative("c2", c[2], -3e-6, 1e-9);
    close("inverse", SensorCurve::temperature(&fit.curve, own(250.0)).unwrap(), 250.0, 1e-10);
    assert_eq!(fit.temperature_uncertainty(0.0), Ok(0.0));
    let (inside, outside) = (fit.temperature_uncertainty(400.0).unwrap(), fit.temperature_uncertainty(401.0));
    assert!(inside > 0.005 && inside < 0.016 && outside.map_err(|e| e.code()) == Err(102));
    // Free at 0 °C, a constant offset is found as well.
    let shifted = signal.map(|s| s + 0.05);
    let free = deviation(&reference, &t, &shifted, 2, &DeviationOptions { free_at_zero: true, ..options }).unwrap();
    close_relative("c0", free.curve.coefficients()[0], 0.05, 1e-9);
    assert_eq!(deviation(&reference, &t[..2], &signal[..2], 2, &options).map_err(|e| e.code()).err(), Some(201));
    assert_eq!(deviation(&reference, &t, &signal, 0, &options).map_err(|e| e.code()).err(), Some(103));
    assert_eq!(deviation(&reference, &[900.0], &[400.0], 1, &options).map_err(|e| e.code()).err(), Some(102));
}

// A thermistor falls. Rising points have an exact cubic through them whose branch for the range lies elsewhere.
#[test]
fn points_that_rise_are_no_thermistor() {
    let options = ThermistorOptions::default();
    let rising = steinhart_hart(&[0.0, 25.0, 70.0], &[1752.0, 1e4, 32_650.0], SteinhartHartTerms::Three, &options);
    let error = rising.unwrap_err();
    assert_eq!(error.code(), 103);
    let message = error.to_string();
    assert!(message.contains("1752 ohm at 0 °C") && message.contains("32650 ohm"), "{message}");
    // Falling all in all, but the middle ones swapped: no curve that falls goes through the four.
    let (t_c, ohm) = ([0.0, 25.0, 50.0, 75.0], [32_650.0, 3_603.0, 10_000.0, 1_481.0]);
    let swapped = steinhart_hart(&t_c, &ohm, SteinhartHartTerms::Four, &options);
    assert_eq!(swapped.map_err(|e| e.code()).err(), Some(103));
    // With the points in order it is a thermistor, and the curve gives its points back: four terms, four points, to the
    // rounding of the coefficients.
    let ordered =
        steinhart_hart(&t_c, &[32_650.0, 10_000.0, 3_603.0, 1_481.0], SteinhartHartTerms::Four, &options).unwrap();
    for (t, r) in t_c.iter().zip([32_650.0, 10_000.0, 3_603.0, 1_481.0]) {
        close_relative("resistance", ordered.curve.resistance(*t).unwrap(), r, 1e-9);
    }
    let beta = beta(&[0.0, 25.0, 70.0], &[1752.0, 1e4, 32_650.0], &options);
    assert_eq!(beta.map_err(|e| e.code()).err(), Some(103));
}

proptest::proptest! {
    /// Whatever the points, a fitted Steinhart-Hart curve is the one that the residuals belong to: from the temperature that
    /// it reads for a point it comes back to the resistance of the point.
    #[test]
    fn a_fitted_thermistor_gives_its_points_back(ohm in proptest::collection::vec(10.0..1e5f64, 4), four: bool) {
        let t_c = [0.0, 25.0, 50.0, 75.0];
        let terms = if four { SteinhartHartTerms::Four } else { SteinhartHartTerms::Three };
        let Ok(fit) = steinhart_hart(&t_c, &ohm, terms, &ThermistorOptions::default()) else { return Ok(()) };
        for (t, r) in t_c.iter().zip(&ohm) {
            let read_c = fit.curve.raw_temperature(*r);
            if !fit.curve.range().contains(read_c) {
                continue;
            }
            let slope = fit.curve.slope(read_c).unwrap();
            let back = fit.curve.resistance(read_c).unwrap();
            // Rounding of 1/T (2e-16 of 500 K) through the slope, which is steep near a turn, where the square counts too:
            // a part in ten thousand of a resistance that another branch would miss by a multiple.
            let rounding = 1e-11 * slope.abs() + 1e-4 * r;
            proptest::prop_assert!((back - r).abs() <= rounding, "{t} {r} {read_c} {back}");
        }
    }
}
