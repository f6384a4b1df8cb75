use crate::reference::{close, close_relative, number, rows};
use calcore::curves::{CallendarVanDusen, SensorCurve};
use calcore::fit::{
    CallendarVanDusenFit, CallendarVanDusenOptions, Digits, EntryForm, EntryGrid, FixedCoefficients, SetPointOptions,
    Stated, WarningCode, assess_set_points, callendar_van_dusen, compare_models, optimal_abscissae, rounded,
    rounded_jointly, rounded_within, set_points,
};

fn platinum(t: f64) -> f64 {
    CallendarVanDusen::iec60751(100.0).unwrap().resistance(t).unwrap()
}

fn exact_fit(t: &[f64], options: &CallendarVanDusenOptions) -> CallendarVanDusenFit {
    let ohm: Vec<f64> = t.iter().map(|t| platinum(*t)).collect();
    callendar_van_dusen(t, &ohm, options).unwrap()
}

/// Value and tolerance of a row of the worked checks.
fn worked(capability: &str, quantity: &str) -> (f64, f64) {
    let rows = rows("trade_worked_checks");
    let row = rows.iter().find(|row| row[0] == capability && row[1] == quantity).unwrap();
    (number(&row[3]), number(&row[4]))
}

/// Amplification of independent errors of temperature by an exact quadratic: Lagrange weights. Inside the range it
/// stays below one, outside it explodes, and is refused unless asked for by name.
#[test]
fn interpolation_and_extrapolation() {
    // u_t alone: in units of temperature the weights are those of the quadratic in t up to the ratio of slopes, which
    // is 1 where the curve is straight; a nearly straight curve makes it so.
    let straight = |t: f64| 100.0 * (1.0 + 3.9e-3 * t - 1e-12 * t * t);
    let nodes = |t: [f64; 3]| {
        let options = CallendarVanDusenOptions { u_t: 1.0.into(), ..Default::default() };
        callendar_van_dusen(&t, &t.map(straight), &options).unwrap()
    };
    let fit = nodes([0.0, 100.0, 200.0]);
    let (want, tolerance) = worked("prediction_band", "amplification_nodes_0_100_200_at_50_c");
    close("at 50", fit.temperature_uncertainty(50.0).unwrap(), want, tolerance);
    assert_eq!(fit.temperature_uncertainty(300.0).map_err(|e| e.code()), Err(102));
    for (t, fit, key) in [
        (300.0, &fit, "amplification_nodes_0_100_200_at_300_c"),
        (400.0, &fit, "amplification_nodes_0_100_200_at_400_c"),
        (400.0, &nodes([0.0, 75.0, 150.0]), "amplification_nodes_0_75_150_at_400_c"),
    ] {
        let (want, tolerance) = worked("extrapolation", key);
        let (u, warning) = fit.extrapolated_temperature_uncertainty(t).unwrap();
        close(key, u, want, tolerance);
        assert_eq!(warning.unwrap().code, WarningCode::Extrapolation);
    }
    assert_eq!(fit.extrapolated_temperature_uncertainty(50.0).unwrap().1, None);
    // The same by a reading: the resistance's own uncertainty is added in squares.
    let read = fit.read(straight(50.0), 0.39).unwrap();
    close("t", read.value, 50.0, 1e-9);
    close(
        "u(t)",
        read.standard_uncertainty,
        (want_square(fit.temperature_uncertainty(50.0).unwrap()) + 1.0).sqrt(),
        1e-6,
    );
    let band = fit.band(&[0.0, 50.0], 2.0).unwrap();
    close_relative("band", band[1].half_width_k, 2.0 * fit.temperature_uncertainty(50.0).unwrap(), 1e-14);
    close_relative("band, ohm", band[1].half_width_ohm, 0.39 * band[1].half_width_k, 1e-7);
    // Covariance between temperatures: its diagonal are the squares, and a shared error goes into all elements.
    let matrix = fit.temperature_covariance(&[0.0, 50.0, 200.0]).unwrap();
    close_relative("variance", matrix.get(1, 1), want_square(fit.temperature_uncertainty(50.0).unwrap()), 1e-12);
    close("nodes of an exact fit are independent", matrix.get(0, 2), 0.0, 1e-9);
}

fn want_square(u: f64) -> f64 {
    u * u
}

/// Error that a transmitter with rounded coefficients makes with a perfect element: fifteen worked values.
#[test]
fn rounding_as_entered() {
    let element = exact_fit(
        &[-200.0, -100.0, 0.0, 200.0, 400.0, 650.0],
        &CallendarVanDusenOptions { u_ohm: 1e-3.into(), ..Default::default() },
    );
    let mut seen = 0;
    for row in rows("trade_worked_checks").iter().filter(|row| row[0] == "rounding_as_entered") {
        let Some(rest) = row[1].strip_prefix("error_alpha_delta_beta_") else { continue };
        let (coefficients, at) = rest.split_once("_at_").unwrap();
        let values: Vec<f64> = coefficients.split('_').map(number).collect();
        let at = number(at.trim_end_matches("_c"));
        let entered = CallendarVanDusen::from_alpha_delta_beta(100.0, values[0], values[1], values[2]).unwrap();
        let error = element.error_read_with(&entered, at).unwrap();
        close(&row[1], 1e3 * error.value, number(&row[3]), number(&row[4]));
        // The element is fitted: its coefficients carry a few 1e-12 of rounding, 1e-8 mK here.
        close_relative(&row[1], 1e3 * error.value, number(&row[6]), 1e-6);
        seen += 1;
    }
    assert_eq!(seen, 15);
    // As it is, the coefficients entered are exact, and the error is none.
    let none = element.error_read_with(&CallendarVanDusen::iec60751(100.0).unwrap(), 300.0).unwrap();
    close("e_pred", none.value, 0.0, 1e-9);
}

#[test]
fn rounding_by_itself_and_jointly() {
    let curve = CallendarVanDusen::with_range(100.0173, 3.90412e-3, -5.8192e-7, -4.31e-12, -100.0, 400.0).unwrap();
    for (form, digits) in [
        (
            EntryForm::AlphaDeltaBeta,
            [Digits::Decimals(2), Digits::Decimals(6), Digits::Decimals(3), Digits::Decimals(4)],
        ),
        (
            EntryForm::AlphaDeltaBeta,
            [Digits::Decimals(2), Digits::Significant(5), Digits::Significant(5), Digits::Significant(5)],
        ),
        (EntryForm::Abc, [Digits::Decimals(2), Digits::Significant(4), Digits::Significant(3), Digits::Significant(2)]),
    ] {
        let grid = EntryGrid { form, digits: digits.map(Some) };
        let alone = rounded(&curve, grid).unwrap();
        let joint = rounded_jointly(&curve, grid).unwrap();
        // The largest error is that of a dense scan, done here.
        let scan = |entered: &CallendarVanDusen| {
            (0..=50_000)
                .map(|k| -100.0 + 0.01 * f64::from(k))
                .map(|t| (entered.raw_temperature(curve.raw_signal(t)) - t).abs())
                .fold(0.0, f64::max)
        };
        for result in [&alone, &joint] {
            let dense = scan(&result.curve);
            assert!(
                result.largest_error_k >= dense * (1.0 - 1e-9) && result.largest_error_k <= dense * (1.0 + 1e-4),
                "{result:?} {dense}"
            );
        }
        println!(
            "{form:?}: alone {:.2} mK, jointly {:.2} mK",
            1e3 * alone.largest_error_k,
            1e3 * joint.largest_error_k
        );
        // In the last case the entry of R0 costs 7 mK by itself, and nothing makes that good at 0 °C.
        let gain = if form == EntryForm::Abc { 1.0 } else { 0.7 };
        assert!(joint.largest_error_k < gain * alone.largest_error_k);
        // On the grid: rounding again changes nothing.
        for (k, d) in digits.iter().enumerate() {
            let text = match d {
                Digits::Decimals(n) => format!("{:.*}", *n as usize, joint.entries[k]),
                Digits::Significant(n) => format!("{:.*e}", *n as usize - 1, joint.entries[k]),
            };
            assert_eq!(text.parse::<f64>().unwrap(), joint.entries[k]);
        }
    }
    let few = rounded_within(&curve, EntryForm::AlphaDeltaBeta, 0.01).unwrap();
    assert!(few.largest_error_k <= 0.01, "{few:?}");
    for k in 0..4 {
        // One digit fewer for any entry breaks the limit.
        let mut grid = few.grid;
        if let Some(Digits::Significant(n)) = grid.digits[k]
            && n > 1
        {
            grid.digits[k] = Some(Digits::Significant(n - 1));
            assert!(rounded_jointly(&curve, grid).map_or(f64::INFINITY, |r| r.largest_error_k) > 0.01);
        }
    }
    assert_eq!(rounded_within(&curve, EntryForm::Abc, 0.0).map_err(|e| e.code()).err(), Some(103));
    let nothing = rounded(&curve, EntryGrid::default()).unwrap();
    assert_eq!((nothing.entries[1], nothing.largest_error_k < 1e-12), (3.90412e-3, true));
}

/// Set points: the roots of (1 − x²) Pₙ′(x) for as many points as coefficients; and for a sensor no worse than any of
/// a thousand other choices.
#[test]
fn best_set_points() {
    // More than can be searched is refused before any room is made for it.
    assert_eq!(optimal_abscissae(2, usize::MAX).map_err(|e| e.code()), Err(102));
    let inner = |degree: usize| optimal_abscissae(degree, degree + 1).unwrap();
    let quadratic = inner(2);
    for (got, want) in quadratic.iter().zip([-1.0, 0.0, 1.0]) {
        close("quadratic", *got, want, 1e-6);
    }
    let (want, tolerance) = worked("set_points", "d_optimal_cubic_inner");
    let cubic = inner(3);
    close("cubic", cubic[2], want, tolerance);
    close("cubic", cubic[1], -want, tolerance);
    close("cubic", cubic[3], 1.0, 1e-6);
    let curve = CallendarVanDusen::iec60751(100.0).unwrap();
    for (points, options, low) in [
        (3, SetPointOptions { u_t: 0.01, u_ohm: 0.0, fit_c: false }, 0.0),
        (5, SetPointOptions { u_t: 0.01, u_ohm: 0.01, fit_c: false }, 0.0),
        (5, SetPointOptions { u_t: 0.01, u_ohm: 0.002, fit_c: true }, -150.0),
    ] {
        let best = set_points(&curve, low, 400.0, points, options).unwrap();
        println!("{points} points from {low}: {:?} u {:.5} K", best.t_c, best.largest_uncertainty_k);
        // The same uncertainty as that of a fit to these points, read at the same place.
        let fixed = FixedCoefficients { c: (!options.fit_c).then_some(-4.183e-12), ..Default::default() };
        let u_ohm = if options.u_ohm > 0.0 { options.u_ohm.into() } else { Stated::Nothing };
        let fit = exact_fit(
            &best.t_c,
            &CallendarVanDusenOptions { u_t: options.u_t.into(), u_ohm, fixed, ..Default::default() },
        );
        close_relative("u", fit.temperature_uncertainty(best.at_c).unwrap(), best.largest_uncertainty_k, 1e-6);
        // A walk through the range that repeats nothing (Weyl sequence) tries other choices.
        let mut state = 0.5;
        for _ in 0..300 {
            let mut own = Vec::new();
            for _ in 0..points {
                state = (state + 0.618_033_988_749_895) % 1.0;
                let spread: f64 = (state * 7919.0) % 1.0;
                own.push(low + (400.0 - low) * spread);
            }
            if let Ok(assessment) = own_is_worse(&curve, low, &own, options, &best) {
                assert!(assessment >= 1.0 - 1e-3, "{own:?} {assessment}");
            }
        }
    }
    let options = SetPointOptions { u_t: 0.01, u_ohm: 0.0, fit_c: false };
    let crowded = assess_set_points(&curve, 0.0, 400.0, &[0.0, 50.0, 100.0], options).unwrap();
    assert!(crowded.ratio > 10.0, "{crowded:?}");
    let code = |t: &[f64], options| assess_set_points(&curve, 0.0, 400.0, t, options).map_err(|e| e.code()).err();
    assert_eq!(code(&[0.0, 100.0], options), Some(201));
    assert_eq!(code(&[0.0, 100.0, 100.0], options), Some(202));
    assert_eq!(code(&[0.0, 100.0, 200.0, 300.0], SetPointOptions { fit_c: true, ..options }), Some(202));
    assert_eq!(code(&[0.0, 100.0, 200.0], SetPointOptions { u_t: 0.0, ..options }), Some(103));
}

/// Worst uncertainty of another choice over that of the best, by a fit of its own.
fn own_is_worse(
    curve: &CallendarVanDusen,
    low: f64,
    t: &[f64],
    options: SetPointOptions,
    best: &calcore::fit::SetPoints,
) -> calcore::Result<f64> {
    let fixed = FixedCoefficients { c: (!options.fit_c).then_some(-4.183e-12), ..Default::default() };
    let u_ohm = if options.u_ohm > 0.0 { options.u_ohm.into() } else { Stated::Nothing };
    let ohm: Vec<f64> = t.iter().map(|t| curve.raw_signal(*t)).collect();
    let fit = callendar_van_dusen(
        t,
        &ohm,
        &CallendarVanDusenOptions { u_t: options.u_t.into(), u_ohm, fixed, ..Default::default() },
    )?;
    let mut worst = 0.0f64;
    for k in 0..=40 {
        let at = low + (400.0 - low) * f64::from(k) / 40.0;
        worst = worst.max(fit.extrapolated_temperature_uncertainty(at)?.0);
    }
    Ok(worst / best.largest_uncertainty_k)
}

/// α, δ, β with their covariance: the uncertainty of a temperature is the same in both forms.
#[test]
fn alpha_delta_beta_with_covariance() {
    let t = [-150.0, -80.0, 0.0, 100.0, 250.0, 400.0];
    let fit = exact_fit(&t, &CallendarVanDusenOptions { u_ohm: 0.004.into(), u_t_common: 0.01, ..Default::default() });
    let form = fit.alpha_delta_beta();
    // Decimal values of IEC 60751's constants, computed apart: worked checks.
    close("delta", form.delta, worked("alpha_delta_beta", "delta").0, 1e-7);
    close("beta", form.beta, worked("alpha_delta_beta", "beta").0, 1e-6);
    for at in [-120.0, 50.0, 390.0] {
        let (r0, alpha, x) = (form.r0, form.alpha, at / 100.0);
        let cold = if at < 0.0 { (x - 1.0) * x * x * x } else { 0.0 };
        let shape = at - form.delta * x * (x - 1.0) - form.beta * cold;
        let g = [1.0 + alpha * shape, r0 * shape, -r0 * alpha * x * (x - 1.0), -r0 * alpha * cold];
        let u = form.covariance.as_ref().unwrap().variance_of(&g).sqrt() / fit.curve.raw_slope(at);
        close_relative("u(t)", u, fit.temperature_uncertainty(at).unwrap(), 1e-6);
    }
}

/// Points not seen, drift, nested models.
#[test]
fn comparisons() {
    let t: Vec<f64> = (0..9).map(|k| 50.0 * f64::from(k)).collect();
    let wiggle = [0.3, -0.8, 0.5, 0.1, -0.6, 0.9, -0.2, -0.7, 0.5];
    let ohm: Vec<f64> = t.iter().zip(wiggle).map(|(t, w)| platinum(*t) + 0.004 * w).collect();
    let options = CallendarVanDusenOptions { u_ohm: 0.004.into(), ..Default::default() };
    let fit = callendar_van_dusen(&t, &ohm, &options).unwrap();
    let check =
        fit.hold_out(&[25.0, 225.0, 375.0], &[25.0, 225.0, 375.0].map(platinum), 0.01.into(), 0.004.into()).unwrap();
    assert!(check.p_value > 0.05 && check.normalised.iter().all(|n| n.abs() < 2.0), "{check:?}");
    let off = fit
        .hold_out(&[25.0, 225.0, 375.0], &[25.0, 225.0, 375.0].map(|t| platinum(t) + 0.1), 0.01.into(), 0.004.into())
        .unwrap();
    assert!(off.p_value < 1e-6);
    // One point: (error/u)² by hand.
    let single = fit.hold_out(&[225.0], &[platinum(225.0) + 0.1], 0.01.into(), 0.004.into()).unwrap();
    let slope = fit.curve.slope(225.0).unwrap();
    let u2 = fit.temperature_uncertainty(225.0).unwrap().powi(2) + 1e-4 + (0.004 / slope).powi(2);
    close_relative("chi-squared", single.chi_squared, single.errors_c[0].powi(2) / u2, 1e-10);
    // Drift: R0 up by 0.05 ohm is 0.13 K at 0 °C; against itself there is none.
    let drifted: Vec<f64> = ohm.iter().map(|r| r * 1.0005).collect();
    let later = callendar_van_dusen(&t, &drifted, &options).unwrap();
    let drift = later.drift_since(&fit, &[0.0, 200.0]).unwrap();
    close("drift at 0", drift.drift_k[0], 0.05 / 0.390, 0.002);
    assert!(drift.p_value < 1e-6 && drift.degrees_of_freedom == 3);
    let same = fit.drift_since(&fit, &[0.0]).unwrap();
    close("p", same.p_value, 1.0, 1e-12);
    close("drift", same.drift_k[0], 0.0, 1e-12);
    close_relative("u", same.uncertainties_k[0], fit.temperature_uncertainty(0.0).unwrap() * 2f64.sqrt(), 1e-12);
    // R0 alone suffices for standard platinum; for another B it does not, and cross-validation says the same.
    let shape = FixedCoefficients { a: Some(3.9083e-3), b: Some(-5.775e-7), ..Default::default() };
    let linear = FixedCoefficients { b: Some(-5.775e-7), ..Default::default() };
    let candidates = [shape, linear, FixedCoefficients::default()];
    for options in [options, CallendarVanDusenOptions::default()] {
        let found = compare_models(&t, &ohm, &options, &candidates).unwrap();
        assert_eq!(found[0].p_value_of_smaller, None);
        assert!(found[1].p_value_of_smaller.unwrap() > 0.05 && found[2].p_value_of_smaller.unwrap() > 0.05);
        assert!(found[0].cross_validation_k.unwrap() < found[2].cross_validation_k.unwrap());
        let bent: Vec<f64> = t.iter().zip(&ohm).map(|(t, r)| r - 100.0 * 2e-8 * t * t).collect();
        let found = compare_models(&t, &bent, &options, &candidates).unwrap();
        assert!(found[2].p_value_of_smaller.unwrap() < 1e-4, "{:?}", found[2].p_value_of_smaller);
        assert!(found[2].cross_validation_k.unwrap() < 0.5 * found[1].cross_validation_k.unwrap());
    }
    // The F value by hand for the last pair.
    let found = compare_models(&t, &ohm, &CallendarVanDusenOptions::default(), &candidates[1..]).unwrap();
    let sum = |k: usize| found[k].fit.report.residuals.iter().map(|r| r * r).sum::<f64>();
    let f = (sum(0) - sum(1)) / (sum(1) / 6.0);
    // F(1, 6) is Student's t with 6 degrees of freedom, squared.
    let p = 2.0 * (1.0 - calcore::num::special::student_cdf(f.sqrt(), 6.0).unwrap());
    close("p", found[1].p_value_of_smaller.unwrap(), p, 1e-10);
}
