//! Whatever is given: a finite answer or an error, never a panic.

use calcore::fit::{
    BatchLayout, BatchOptions, CallendarVanDusenOptions, Digits, EntryForm, EntryGrid, FixedCoefficients, ModelOptions,
    PolynomialOptions, Stated, StraightLineOptions, ThermistorOptions, beta, callendar_van_dusen,
    callendar_van_dusen_batch, model, polynomial, steinhart_hart, straight_line,
};
use proptest::prelude::*;

/// Ordinary numbers, and the ones that break things.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -250.0..900.0f64,
        2 => 0.0..500.0f64,
        1 => prop::sample::select(vec![0.0, -0.0, 1e-300, -1e300, 1e300, f64::MAX, f64::MIN_POSITIVE, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 5e-324]),
    ]
}

fn points() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    prop::collection::vec((any_number(), any_number()), 0..12).prop_map(|v| v.into_iter().unzip())
}

fn uncertainty() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![2 => Just(None), 3 => (1e-6..1.0f64).prop_map(Some), 1 => any_number().prop_map(Some)]
}

fn stated(u: Option<f64>) -> Stated<'static> {
    u.map_or(Stated::Nothing, Stated::Same)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..Default::default() })]

    #[test]
    fn platinum((t, ohm) in points(), u_t in uncertainty(), u_ohm in uncertainty(), shared in uncertainty(), held in uncertainty()) {
        let options = CallendarVanDusenOptions {
            u_t: stated(u_t),
            u_ohm: stated(u_ohm),
            u_t_common: shared.unwrap_or(0.0),
            fixed: FixedCoefficients { b: held, ..Default::default() },
            ..Default::default()
        };
        if let Ok(fit) = callendar_van_dusen(&t, &ohm, &options) {
            prop_assert!(fit.curve.r0().is_finite() && fit.curve.a().is_finite() && fit.curve.b().is_finite() && fit.curve.c().is_finite());
            prop_assert!(fit.report.residuals.iter().all(|r| r.is_finite()));
            let _ = fit.temperature_uncertainty(10.0);
            let _ = fit.rounded(EntryGrid { form: EntryForm::AlphaDeltaBeta, digits: [Some(Digits::Significant(4)); 4] });
        }
        let options = BatchOptions { u_t: stated(u_t), u_ohm: stated(u_ohm), ..Default::default() };
        for points in [0, 1, 3, 4] {
            if let Ok(fits) = callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(points), &options) {
                for k in 0..fits.r0.len() {
                    prop_assert!(fits.r0[k].is_finite() != fits.errors.iter().any(|(bad, _)| *bad == k));
                }
            }
        }
    }

    #[test]
    fn lines_polynomials_and_thermistors((x, y) in points(), u_x in uncertainty(), u_y in uncertainty(), degree in 0usize..6) {
        let options = StraightLineOptions { u_x: stated(u_x), u_y: stated(u_y), ..Default::default() };
        if let Ok(line) = straight_line(&x, &y, &options) {
            prop_assert!(line.intercept.is_finite() && line.slope.is_finite());
        }
        let options = PolynomialOptions { u_x: stated(u_x), u_y: stated(u_y), ..Default::default() };
        if let Ok(fit) = polynomial(&x, &y, degree, &options) {
            prop_assert!(fit.coefficients.iter().chain(&fit.report.residuals).all(|v| v.is_finite()));
        }
        let options = ThermistorOptions { u_t: stated(u_x), u_ohm: stated(u_y), ..Default::default() };
        let _ = steinhart_hart(&x, &y, Default::default(), &options);
        let _ = beta(&x, &y, &options);
        let line = |x: f64, p: &[f64]| p[0] + p[1] * x;
        let options = ModelOptions { u_x: stated(u_x), u_y: stated(u_y), ..Default::default() };
        if let Ok(fit) = model(&line, &x, &y, &[0.0, 0.0], &options) {
            prop_assert!(fit.parameters.iter().all(|v| v.is_finite()));
        }
    }

    #[test]
    fn robust_or_not((x, y) in points()) {
        let _ = straight_line(&x, &y, &StraightLineOptions { robust: true, ..Default::default() });
        let _ = polynomial(&x, &y, 2, &PolynomialOptions { robust: true, ..Default::default() });
    }
}
