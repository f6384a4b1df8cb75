use crate::reference::close_relative;
use calcore::fit::{
    BatchFit, BatchLayout, BatchOptions, CallendarVanDusenOptions, FixedCoefficients, Stated, callendar_van_dusen,
    callendar_van_dusen_batch,
};

/// Sensors of various coefficients, their readings a little off (Weyl sequence), temperatures too.
fn made_up(sensors: usize, set_points: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let mut state = 0.37;
    let mut next = || {
        state = (state + 0.618_033_988_749_895) % 1.0;
        let spread: f64 = (state * 4099.0) % 1.0;
        spread - 0.5
    };
    let (mut t_c, mut ohm) = (Vec::new(), Vec::new());
    for _ in 0..sensors {
        let (r0, a) = (100.0 + 0.1 * next(), 3.9083e-3 * (1.0 + 2e-3 * next()));
        let (b, c) = (-5.775e-7 * (1.0 + 0.02 * next()), -4.183e-12 * (1.0 + 0.1 * next()));
        for set in set_points {
            let t = set + 0.3 * next();
            let cold = if t < 0.0 { c * (t - 100.0) * t * t * t } else { 0.0 };
            t_c.push(t);
            ohm.push(r0 * (1.0 + a * t + b * t * t + cold) + 2e-3 * next());
        }
    }
    (t_c, ohm)
}

const COLD: [f64; 7] = [-80.0, -40.0, -5.0, 50.0, 100.0, 150.0, 200.0];
const WARM: [f64; 5] = [10.0, 60.0, 110.0, 170.0, 230.0];

/// Every row is the single fit, to the last bit.
fn check(t: &[f64], ohm: &[f64], points: usize, options: &BatchOptions, fits: &BatchFit) {
    let part = |u: Stated<'_>, k: usize| match u {
        Stated::Each(v) => v[k * points..(k + 1) * points].to_vec(),
        Stated::Same(u) => vec![u; points],
        Stated::Nothing => Vec::new(),
    };
    for k in 0..ohm.len() / points {
        let (u_t, u_ohm) = (part(options.u_t, k), part(options.u_ohm, k));
        let stated = |u: &'_ [f64]| -> Option<Vec<f64>> { (!u.is_empty()).then(|| u.to_vec()) };
        let (u_t, u_ohm) = (stated(&u_t), stated(&u_ohm));
        let single = CallendarVanDusenOptions {
            u_t: u_t.as_ref().map_or(Stated::Nothing, Into::into),
            u_ohm: u_ohm.as_ref().map_or(Stated::Nothing, Into::into),
            u_t_common: options.u_t_common,
            u_ohm_common: options.u_ohm_common,
            fixed: options.fixed,
            ..Default::default()
        };
        let fit =
            callendar_van_dusen(&t[k * points..(k + 1) * points], &ohm[k * points..(k + 1) * points], &single).unwrap();
        let name = format!("sensor {k}");
        assert_eq!(fits.r0[k], fit.curve.r0(), "{name}");
        assert_eq!(fits.a[k], fit.curve.a(), "{name}");
        assert_eq!(fits.b[k], fit.curve.b(), "{name}");
        assert_eq!(fits.c[k], fit.curve.c(), "{name}");
        assert_eq!(fits.degrees_of_freedom[k], fit.report.degrees_of_freedom, "{name}");
        assert_eq!(&fits.residuals_ohm[k * points..(k + 1) * points], &fit.report.residuals[..], "{name}");
        assert_eq!(&fits.covariance[16 * k..16 * k + 16], fit.report.covariance.as_ref().unwrap().values(), "{name}");
        match fit.report.chi_squared {
            Some(chi) => assert_eq!(fits.chi_squared[k], chi, "{name}"),
            None => close_relative(&name, fits.chi_squared[k], fit.report.residuals.iter().map(|r| r * r).sum(), 1e-12),
        }
    }
}

#[test]
fn every_row_is_the_single_fit() {
    for set_points in [&COLD[..], &WARM[..], &COLD[..4]] {
        let points = set_points.len();
        let (t, ohm) = made_up(35, set_points);
        let each: Vec<f64> = (0..ohm.len()).map(|k| 1e-3 * (1.0 + 0.3 * (k % 5) as f64)).collect();
        let each_t: Vec<f64> = (0..ohm.len()).map(|k| 0.01 * (1.0 + 0.2 * (k % 3) as f64)).collect();
        let none = BatchOptions::default();
        let fixed_c = FixedCoefficients { c: Some(-4.2e-12), ..Default::default() };
        for options in [
            none,
            BatchOptions { u_ohm: 0.002.into(), ..none },
            BatchOptions { u_ohm: (&each).into(), ..none },
            BatchOptions { u_ohm: 0.002.into(), u_t: 0.01.into(), ..none },
            BatchOptions { u_ohm: (&each).into(), u_t: (&each_t).into(), ..none },
            BatchOptions { u_t: 0.01.into(), ..none },
            BatchOptions { u_ohm: 0.002.into(), u_t_common: 0.02, ..none },
            BatchOptions { u_ohm: 0.002.into(), fixed: fixed_c, ..none },
        ] {
            if points == 4 && !(options.u_t.is_stated() || options.u_ohm.is_stated()) {
                continue;
            }
            let fits = callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(points), &options).unwrap();
            assert!(fits.errors.is_empty());
            check(&t, &ohm, points, &options, &fits);
        }
    }
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let (t, ohm) = made_up(3001, &COLD);
    let fit = |threads| {
        let options = BatchOptions { u_ohm: 0.002.into(), u_t: 0.01.into(), threads, ..Default::default() };
        callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(7), &options).unwrap()
    };
    let one = fit(1);
    for threads in [0, 2, 3, 5] {
        assert_eq!(one, fit(threads));
    }
}

#[test]
fn a_bad_sensor_spoils_its_own_row_only() {
    let (mut t, mut ohm) = made_up(20, &COLD);
    let good = callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(7), &BatchOptions::default()).unwrap();
    ohm[3 * 7 + 2] = f64::NAN;
    ohm[9 * 7] = -1.0;
    t[11 * 7..12 * 7].fill(20.0);
    t[17 * 7 + 6] = -400.0;
    for k in 0..7 {
        ohm[14 * 7 + k] = 200.0 - ohm[14 * 7 + k];
    }
    let fits = callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(7), &BatchOptions::default()).unwrap();
    let codes: Vec<(usize, i32)> = fits.errors.iter().map(|(k, e)| (*k, e.code())).collect();
    assert_eq!(codes, [(3, 101), (9, 103), (11, 201), (14, 103), (17, 103)]);
    for k in 0..20 {
        if codes.iter().any(|(bad, _)| *bad == k) {
            assert!(fits.r0[k].is_nan() && fits.covariance[16 * k].is_nan() && fits.residuals_ohm[7 * k].is_nan());
        } else {
            assert_eq!((fits.r0[k], fits.a[k], fits.b[k], fits.c[k]), (good.r0[k], good.a[k], good.b[k], good.c[k]));
        }
    }
}

#[test]
fn ragged_rows_shared_set_points_and_wrong_lengths() {
    let (t, ohm) = made_up(2, &COLD);
    // The first sensor with all its points, the second with five, the third with none.
    let ragged =
        callendar_van_dusen_batch(&t[..12], &ohm[..12], BatchLayout::Ragged(&[7, 5, 0]), &BatchOptions::default())
            .unwrap();
    assert_eq!(ragged.errors.iter().map(|(k, e)| (*k, e.code())).collect::<Vec<_>>(), [(2, 201)]);
    let second = callendar_van_dusen(&t[7..12], &ohm[7..12], &CallendarVanDusenOptions::default()).unwrap();
    assert_eq!(ragged.a[1], second.curve.a());
    assert_eq!(&ragged.residuals_ohm[7..], &second.report.residuals[..]);
    let shared: Vec<f64> = [&COLD[..], &COLD[..]].concat();
    let once = callendar_van_dusen_batch(&COLD, &ohm, BatchLayout::Equal(7), &BatchOptions::default()).unwrap();
    assert_eq!(
        once,
        callendar_van_dusen_batch(&shared, &ohm, BatchLayout::Equal(7), &BatchOptions::default()).unwrap()
    );
    let code = |t: &[f64], ohm: &[f64], layout| {
        callendar_van_dusen_batch(t, ohm, layout, &BatchOptions::default()).map_err(|e| e.code()).err()
    };
    assert_eq!(code(&t, &ohm[..13], BatchLayout::Equal(7)), Some(105));
    assert_eq!(code(&t[..13], &ohm, BatchLayout::Equal(7)), Some(105));
    assert_eq!(code(&t, &ohm, BatchLayout::Ragged(&[7, 6])), Some(105));
    assert_eq!(code(&[], &[], BatchLayout::Equal(7)), None);
    let bad = BatchOptions { u_ohm: Stated::Each(&[0.1]), ..Default::default() };
    assert_eq!(callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(7), &bad).map_err(|e| e.code()).err(), Some(105));
}
