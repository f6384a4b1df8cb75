use crate::reference::{case, close, close_relative, number, rows, series};
use calcore::curves::SensorCurve;
use calcore::fit::{
    CallendarVanDusenFit, CallendarVanDusenOptions, CovarianceBasis, FixedCoefficients, StopReason, WarningCode,
    callendar_van_dusen,
};

fn synthetic(name: &str) -> [Vec<f64>; 3] {
    let rows: Vec<_> = rows("cvd_fit_synthetic_points").into_iter().filter(|row| row[0] == name).collect();
    [1, 2, 3].map(|k| rows.iter().map(|row| number(&row[k])).collect())
}

fn has(fit: &CallendarVanDusenFit, code: WarningCode) -> bool {
    fit.report.warnings.iter().any(|w| w.code == code)
}

/// tests/reference/cvd_fit_synthetic: weighted solution and covariance at 60 digits.
fn check_synthetic(name: &str, count: usize) {
    let [t, ohm, u] = synthetic(name);
    let options = CallendarVanDusenOptions {
        u_ohm: (&u).into(),
        // Without points below 0 °C the reference fits no C at all.
        fixed: FixedCoefficients { c: (count == 3).then_some(0.0), ..Default::default() },
        ..Default::default()
    };
    let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
    let want = case("cvd_fit_synthetic", name);
    // Condition number about 10 to 100, 1e-16 rounding of the data's own digits: 1e-12 leaves a margin of 100.
    for (what, got) in [
        ("r0", fit.curve.r0()),
        ("a", fit.curve.a()),
        ("b", fit.curve.b()),
        ("c", fit.curve.c()),
        ("alpha", fit.curve.alpha()),
        ("delta", fit.curve.delta()),
        ("beta", fit.curve.beta()),
    ]
    .into_iter()
    .take(if count == 3 { 3 } else { 7 })
    {
        close_relative(what, got, want[what], 1e-11);
    }
    close_relative("chi-squared", fit.report.chi_squared.unwrap(), want["chi_squared"], 1e-9);
    assert_eq!(fit.report.degrees_of_freedom as f64, want["degrees_of_freedom"]);
    let residuals = series(&want, "standardised_residual_", 0);
    assert_eq!(residuals.len(), t.len());
    for (i, (got, want)) in fit.report.standardised_residuals.iter().zip(&residuals).enumerate() {
        // Rounding of 100 ohm over 0.5 mohm.
        close(&format!("standardised residual {i}"), *got, *want, 1e-9);
    }
    let covariance = fit.report.covariance.as_ref().unwrap();
    let mut seen = 0;
    for i in 0..count {
        for j in 0..count {
            let got = covariance.get(i, j);
            let key = format!("covariance_{i}_{j}");
            if let Some(want) = want.get(&key) {
                seen += 1;
                close_relative(&key, got, *want, 1e-9);
            }
        }
    }
    assert!(seen >= count * (count + 1) / 2, "{seen} of {want:?}");
    assert_eq!(fit.report.covariance_basis, CovarianceBasis::Stated);
    assert_eq!(fit.report.stop_reason, StopReason::SolvedDirectly);
}

#[test]
fn synthetic_with_c() {
    check_synthetic("with_c", 4);
}

#[test]
fn synthetic_without_c() {
    check_synthetic("without_c", 3);
}

/// Three exact points give back the coefficients (closed form: three equations in three unknowns).
#[test]
fn three_exact_points() {
    let (r0, a, b) = (100.0, 3.9083e-3, -5.775e-7);
    let t = [0.0, 200.0, 400.0];
    let ohm = t.map(|t| r0 * (1.0 + t * (a + t * b)));
    let fit = callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions::default()).unwrap();
    close_relative("r0", fit.curve.r0(), r0, 1e-12);
    close_relative("a", fit.curve.a(), a, 1e-12);
    close_relative("b", fit.curve.b(), b, 1e-12);
    assert_eq!(fit.curve.c(), -4.183e-12);
    assert_eq!(fit.held, [false, false, false, true]);
    assert!(has(&fit, WarningCode::CHeldAtStandard) && has(&fit, WarningCode::NoDegreesOfFreedom));
    assert_eq!((fit.report.degrees_of_freedom, fit.report.chi_squared, fit.report.p_value), (0, None, None));
    assert!(fit.report.covariance.is_none() && fit.report.residual_standard_deviation.is_none());
    assert_eq!(fit.temperature_uncertainty(100.0).map_err(|e| e.code()), Err(202));
    // Range: 0 to 400 °C, wider by 2 % of the span; beyond it the curve refuses.
    assert_eq!((fit.curve.range().low, fit.curve.range().high), (-8.0, 408.0));
    assert_eq!(fit.curve.temperature(300.0).map_err(|e| e.code()), Err(102));
}

/// A held coefficient is that of the data: the others come out as they are (closed form again).
#[test]
fn held_coefficients_in_every_combination() {
    let truth = [100.02, 3.9080e-3, -5.78e-7, -4.2e-12];
    let curve = |t: f64| {
        let cold = if t < 0.0 { truth[3] * (t - 100.0) * t * t * t } else { 0.0 };
        truth[0] * (1.0 + truth[1] * t + truth[2] * t * t + cold)
    };
    let t = [-180.0, -90.0, -30.0, 20.0, 110.0, 240.0];
    let ohm = t.map(curve);
    for mask in 0..15u32 {
        let held = |k: u32| (mask >> k & 1 == 1).then_some(truth[k as usize]);
        let fixed = FixedCoefficients { r0: held(0), a: held(1), b: held(2), c: held(3) };
        let fit = callendar_van_dusen(
            &t,
            &ohm,
            &CallendarVanDusenOptions { u_ohm: 1e-3.into(), u_t: 0.01.into(), fixed, ..Default::default() },
        )
        .unwrap();
        let got = [fit.curve.r0(), fit.curve.a(), fit.curve.b(), fit.curve.c()];
        let covariance = fit.report.covariance.as_ref().unwrap();
        for k in 0..4 {
            close_relative(&format!("coefficient {k} of {mask:04b}"), got[k], truth[k], 1e-11);
            assert_eq!(covariance.get(k, k) == 0.0, held(k as u32).is_some());
        }
    }
}

/// Temperatures without error, said by u_t = 0 or by nothing: the ordinary weighted solution, bit for bit.
#[test]
fn exact_temperatures_reduce_to_weighted_least_squares() {
    let [t, ohm, u] = synthetic("with_c");
    let plain =
        callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions { u_ohm: (&u).into(), ..Default::default() }).unwrap();
    let zero = callendar_van_dusen(
        &t,
        &ohm,
        &CallendarVanDusenOptions { u_ohm: (&u).into(), u_t: 0.0.into(), ..Default::default() },
    )
    .unwrap();
    assert_eq!(plain, zero);
    // And continuously: u_t far below the u_ohm changes next to nothing.
    let tiny = callendar_van_dusen(
        &t,
        &ohm,
        &CallendarVanDusenOptions { u_ohm: (&u).into(), u_t: 1e-9.into(), ..Default::default() },
    )
    .unwrap();
    close_relative("a", tiny.curve.a(), plain.curve.a(), 1e-11);
    close_relative("chi-squared", tiny.report.chi_squared.unwrap(), plain.report.chi_squared.unwrap(), 1e-9);
}

/// The same errors, stated as a shared one, or written out as a covariance matrix.
#[test]
fn a_shared_error_is_a_covariance() {
    let [t, ohm, _] = synthetic("without_c");
    let n = t.len();
    let (own, shared) = (0.004, 0.02);
    let matrix: Vec<f64> =
        (0..n * n).map(|k| shared * shared + if k % (n + 1) == 0 { own * own } else { 0.0 }).collect();
    let base = CallendarVanDusenOptions { u_ohm: 2e-3.into(), ..Default::default() };
    let stated =
        callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions { u_t: own.into(), u_t_common: shared, ..base })
            .unwrap();
    let written =
        callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions { covariance_t: Some(&matrix), ..base }).unwrap();
    close_relative("a", stated.curve.a(), written.curve.a(), 1e-13);
    for i in 0..3 {
        close_relative(
            "variance",
            stated.report.covariance.as_ref().unwrap().get(i, i),
            written.report.covariance.as_ref().unwrap().get(i, i),
            1e-10,
        );
    }
    close_relative("chi-squared", stated.report.chi_squared.unwrap(), written.report.chi_squared.unwrap(), 1e-9);
}

/// TRADE practice on the reference thermometer's own error: 0.02 K shared by three points stays 0.02 K; taken for
/// three independent errors it is reported as 0.02/√3 = 0.0115 K.
#[test]
fn a_shared_error_is_never_averaged_away() {
    let t: Vec<f64> = (0..12).map(|k| 12.5 * k as f64).collect();
    let ohm: Vec<f64> = t.iter().map(|t| 100.0 * (1.0 + t * (3.9083e-3 - 5.775e-7 * t))).collect();
    let shared = 0.02;
    for n in [3, 4, 7, 12] {
        // Spread over the same span whatever the number.
        let pick: Vec<usize> = (0..n).map(|k| k * 11 / (n - 1)).collect();
        let (t, ohm): (Vec<f64>, Vec<f64>) = pick.iter().map(|&k| (t[k], ohm[k])).unzip();
        for own in [1e-6, 1e-4, 3e-3] {
            let options = CallendarVanDusenOptions { u_ohm: own.into(), u_t_common: shared, ..Default::default() };
            let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
            for at in &t {
                let u = fit.temperature_uncertainty(*at).unwrap();
                assert!(u >= shared * (1.0 - 1e-9), "{n} points, u_ohm {own}: {u} at {at} °C");
            }
        }
    }
    // The wrong account, for comparison: R0 alone fitted to three points.
    let fixed = FixedCoefficients { a: Some(3.9083e-3), b: Some(-5.775e-7), c: Some(0.0), ..Default::default() };
    let wrong = callendar_van_dusen(
        &[-0.001, 0.0, 0.001],
        &[100.0; 3],
        &CallendarVanDusenOptions { u_t: shared.into(), fixed, ..Default::default() },
    )
    .unwrap();
    close("independent", wrong.temperature_uncertainty(0.0).unwrap(), 0.02 / 3f64.sqrt(), 1e-6);
    let right = callendar_van_dusen(
        &[-0.001, 0.0, 0.001],
        &[100.0; 3],
        &CallendarVanDusenOptions { u_ohm: 1e-5.into(), u_t_common: shared, fixed, ..Default::default() },
    )
    .unwrap();
    close("shared", right.temperature_uncertainty(0.0).unwrap(), 0.02, 1e-6);
}

/// With nothing stated but a shared error, the residuals give the rest of the covariance.
#[test]
fn a_shared_error_is_added_to_what_the_residuals_say() {
    let [t, ohm, _] = synthetic("without_c");
    let alone = callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions::default()).unwrap();
    let with =
        callendar_van_dusen(&t, &ohm, &CallendarVanDusenOptions { u_t_common: 0.02, ..Default::default() }).unwrap();
    assert_eq!(alone.curve, with.curve);
    assert_eq!((with.report.chi_squared, with.report.covariance_basis), (None, CovarianceBasis::Residuals));
    for at in [10.0, 150.0, 400.0] {
        let (a, b) = (alone.temperature_uncertainty(at).unwrap(), with.temperature_uncertainty(at).unwrap());
        // R'(t) = R0 A + 2 R0 B t lies in the span of the model, so that the shared error passes through whole.
        close_relative("sum of squares", b * b, a * a + 0.02 * 0.02, 1e-9);
    }
}

/// A case at which effective variance and the exact minimum differ: the stationarity conditions are checked
/// themselves, at the reported points, with derivatives written out here.
#[test]
fn errors_in_both_variables_are_minimised_exactly() {
    let [t, ohm, _] = synthetic("with_c");
    let (u_t, u_ohm) = (2.0, 0.5);
    let options = CallendarVanDusenOptions { u_t: u_t.into(), u_ohm: u_ohm.into(), ..Default::default() };
    let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
    assert_eq!(fit.report.stop_reason, StopReason::Converged);
    let mut chi = 0.0;
    let mut gradient = [0.0f64; 4];
    let mut sizes = [0.0f64; 4];
    for ((t, ohm), true_t) in t.iter().zip(&ohm).zip(&fit.report.adjusted_x) {
        let (dt, dr) = (t - true_t, ohm - fit.curve.raw_signal(*true_t));
        // d/dt of the sum of squares at every point: (dt/u²) + slope dr/u² = 0.
        let foot = dt / (u_t * u_t) + fit.curve.raw_slope(*true_t) * dr / (u_ohm * u_ohm);
        close("foot point", foot, 0.0, 1e-11);
        chi += dt * dt / (u_t * u_t) + dr * dr / (u_ohm * u_ohm);
        let x = *true_t;
        for (k, phi) in [1.0, x, x * x, if x < 0.0 { (x - 100.0) * x * x * x } else { 0.0 }].into_iter().enumerate() {
            gradient[k] += phi * dr;
            sizes[k] += (phi * dr).abs();
        }
    }
    for k in 0..4 {
        assert!(gradient[k].abs() <= 1e-9 * sizes[k], "{k}: {} of {}", gradient[k], sizes[k]);
    }
    close_relative("chi-squared", fit.report.chi_squared.unwrap(), chi, 1e-9);
}

/// 0.003916 platinum, and swapped points (TRADE practice): flagged.
#[test]
fn implausible_elements_are_flagged() {
    let t = [0.0, 50.0, 100.0, 150.0, 200.0];
    let other = t.map(|t| 100.0 * (1.0 + t * (3.9739e-3 - 5.870e-7 * t)));
    let fit = callendar_van_dusen(&t, &other, &CallendarVanDusenOptions::default()).unwrap();
    let warning = fit.report.warnings.iter().find(|w| w.code == WarningCode::ImplausibleAlpha).unwrap();
    assert!(warning.text.contains("3916"), "{warning}");
    let mut good = t.map(|t| 100.0 * (1.0 + t * (3.9083e-3 - 5.775e-7 * t)));
    let fit = callendar_van_dusen(&t, &good, &CallendarVanDusenOptions::default()).unwrap();
    assert!(
        !has(&fit, WarningCode::ImplausibleAlpha)
            && !has(&fit, WarningCode::ImplausibleDelta)
            && !has(&fit, WarningCode::ImplausibleR0)
    );
    good.swap(2, 3);
    let fit = callendar_van_dusen(&t, &good, &CallendarVanDusenOptions::default()).unwrap();
    assert!(has(&fit, WarningCode::ResistanceFalls), "{:?}", fit.report.warnings);
    // Swapped so badly that no rising curve comes out.
    let error =
        callendar_van_dusen(&[0.0, 100.0, 200.0], &[100.0, 175.856, 138.5055], &CallendarVanDusenOptions::default())
            .unwrap_err();
    assert!(error.to_string().contains("swapped"), "{error}");
    // Two leads of 1 ohm left in.
    let leads = t.map(|t| 2.0 + 100.0 * (1.0 + t * (3.9083e-3 - 5.775e-7 * t)));
    assert!(has(
        &callendar_van_dusen(&t, &leads, &CallendarVanDusenOptions::default()).unwrap(),
        WarningCode::ImplausibleR0
    ));
}

#[test]
fn what_cannot_be_fitted_is_refused() {
    let fit = |t: &[f64], ohm: &[f64], options: &CallendarVanDusenOptions| {
        callendar_van_dusen(t, ohm, options).map_err(|e| (e.code(), e.to_string()))
    };
    let none = CallendarVanDusenOptions::default();
    let (code, text) = fit(&[0.0, 100.0], &[100.0, 138.5], &none).unwrap_err();
    assert!(code == 201 && text.contains("at least 3 points, got 2"), "{text}");
    // Coinciding points count once.
    let (code, text) = fit(&[0.0, 100.0, 100.0, 0.0], &[100.0, 138.5, 138.5, 100.0], &none).unwrap_err();
    assert!(code == 201 && text.contains("got 2"), "{text}");
    assert_eq!(fit(&[0.0, 100.0], &[100.0], &none).unwrap_err().0, 105);
    assert_eq!(fit(&[0.0, f64::NAN, 50.0], &[100.0, 1.0, 2.0], &none).unwrap_err().0, 101);
    let (t, ohm) = ([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856]);
    for bad in [0.0, -1.0] {
        assert_eq!(fit(&t, &ohm, &CallendarVanDusenOptions { u_ohm: bad.into(), ..none }).unwrap_err().0, 103);
    }
    assert_eq!(fit(&t, &ohm, &CallendarVanDusenOptions { u_t: (-1.0).into(), ..none }).unwrap_err().0, 103);
    let each = [0.1, 0.0, 0.1];
    let (code, text) = fit(&t, &ohm, &CallendarVanDusenOptions { u_ohm: (&each[..]).into(), ..none }).unwrap_err();
    assert!(code == 103 && text.contains("element 1"), "{text}");
    assert_eq!(fit(&t, &ohm, &CallendarVanDusenOptions { u_ohm: (&each[..2]).into(), ..none }).unwrap_err().0, 105);
    // Temperatures that are nowhere uncertain, and nothing said of the resistances.
    assert_eq!(fit(&t, &ohm, &CallendarVanDusenOptions { u_t: 0.0.into(), ..none }).unwrap_err().0, 203);
    let indefinite = [1.0, 0.0, 0.0, 0.0, 1.0, 2.0, 0.0, 2.0, 1.0];
    let (code, text) =
        fit(&t, &ohm, &CallendarVanDusenOptions { covariance_ohm: Some(&indefinite), ..none }).unwrap_err();
    assert!(code == 203 && text.contains("covariance_ohm") && text.contains("row 2"), "{text}");
    assert_eq!(
        fit(&t, &ohm, &CallendarVanDusenOptions { covariance_ohm: Some(&indefinite[..4]), ..none }).unwrap_err().0,
        105
    );
    let identity = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0];
    assert_eq!(
        fit(&t, &ohm, &CallendarVanDusenOptions { u_ohm: 1.0.into(), covariance_ohm: Some(&identity), ..none })
            .unwrap_err()
            .0,
        103
    );
    let all = FixedCoefficients { r0: Some(100.0), a: Some(3.9e-3), b: Some(-5.8e-7), c: Some(0.0) };
    assert_eq!(fit(&t, &ohm, &CallendarVanDusenOptions { fixed: all, ..none }).unwrap_err().0, 103);
    assert_eq!(
        fit(&t, &ohm, &CallendarVanDusenOptions { covariance_basis: Some(CovarianceBasis::Stated), ..none })
            .unwrap_err()
            .0,
        202
    );
    assert_eq!(fit(&[-300.0, 0.0, 100.0], &ohm, &none).unwrap_err().0, 103);
    assert_eq!(fit(&t, &[100.0, -1.0, 2.0], &none).unwrap_err().0, 103);
}
