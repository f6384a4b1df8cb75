//! Whatever the input: an answer or an error, never a panic and never a NaN that calls itself an answer.

use calcore::circuit::{
    CurrentLoop, DigitalScale, Display, Immersion, Rounding, dissipation_from_two_currents, immersion_from_two_depths,
    insulation_effect, resistance_by_reversal, self_heating, three_wire_effect, two_wire_effect, zero_power_resistance,
};
use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Interpolation, PolynomialRtd, SensorCurve, Sprt, SteinhartHart, TabulatedCurve,
};
use calcore::its90::Subrange;
use calcore::temperature::Scale;
use calcore::tolerance::Tolerance;
use proptest::prelude::*;

/// Numbers of every size, and now and then one that is none.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => proptest::num::f64::NORMAL | proptest::num::f64::ZERO | proptest::num::f64::SUBNORMAL,
        4 => -1000.0..1000.0f64,
        4 => -1e-3..1e-3f64,
        1 => proptest::num::f64::ANY,
    ]
}

/// A curve that was accepted answers with numbers all over its range.
fn answers(curve: &dyn SensorCurve, part: f64) -> Result<(), TestCaseError> {
    let range = curve.range();
    let t_c = (range.low + part * (range.high - range.low)).clamp(range.low, range.high);
    for t_c in [range.low, t_c, range.high] {
        let signal = curve.signal(t_c);
        prop_assert!(signal.as_ref().is_ok_and(|signal| signal.is_finite()), "{curve:?} at {t_c}: {signal:?}");
        let back = signal.and_then(|signal| curve.temperature(signal));
        prop_assert!(back.as_ref().is_ok_and(|back| !back.is_nan()), "{curve:?} at {t_c}: {back:?}");
        prop_assert!(curve.slope(t_c).is_ok_and(|slope| !slope.is_nan()), "{curve:?} at {t_c}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn curves(
        v in proptest::collection::vec(any_number(), 8),
        number in 1u8..=11,
        count in 0usize..8,
        part in 0.0..=1.0f64,
    ) {
        let (low_c, high_c) = (v[6], v[7]);
        if let Ok(curve) = PolynomialRtd::new(v[0], &v[1..=count.min(6)], low_c, high_c) {
            answers(&curve, part)?;
        }
        if let Ok(curve) = PolynomialRtd::piecewise(v[0].abs(), v[1], &v[2..4], &v[2..5], low_c, high_c) {
            answers(&curve, part)?;
        }
        if let Ok(curve) = SteinhartHart::with_range(v[0], v[1], v[2], v[3], low_c, high_c) {
            answers(&curve, part)?;
        }
        if let Ok(curve) = SteinhartHart::new(v[0].abs(), v[1].abs(), v[2]) {
            answers(&curve, part)?;
        }
        if let Ok(curve) = BetaThermistor::with_range(v[0].abs(), v[1].abs(), low_c, high_c) {
            answers(&curve, part)?;
        }
        let subrange = Subrange::from_name(&number.to_string()).unwrap();
        if let Ok(sprt) = Sprt::new(v[0].abs(), subrange, &v[1..=subrange.coefficient_names().len()]) {
            answers(&sprt, part)?;
        }
        let mut rows = v.clone();
        rows.sort_by(f64::total_cmp);
        for interpolation in [Interpolation::Linear, Interpolation::MonotoneCubic] {
            if let Ok(curve) = TabulatedCurve::new(&[-10.0, 0.0, 20.0, 20.5, 30.0, 99.0, 100.0, 1e3], &rows, interpolation) {
                answers(&curve, part)?;
            }
        }
    }

    #[test]
    fn circuit(v in proptest::collection::vec(any_number(), 6), counts in any::<(i64, i64)>()) {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        let fine = |result: calcore::Result<f64>| result.map_or(true, |value| !value.is_nan());
        prop_assert!(fine(two_wire_effect(&pt100, v[0], v[1]).map(|e| e.error_k)));
        prop_assert!(fine(three_wire_effect(&pt100, v[0], v[1]).map(|e| e.error_k)));
        prop_assert!(fine(insulation_effect(&pt100, v[0], v[1]).map(|e| e.error_k)));
        prop_assert!(fine(self_heating(v[0], v[1], v[2]).map(|e| e.power_mw)));
        let _ = zero_power_resistance(v[0], v[1], v[2], v[3]);
        let _ = dissipation_from_two_currents((v[0], v[1], v[2]), (v[3], v[4], v[5]));
        let _ = resistance_by_reversal(v[0], v[1], v[2], v[3]);
        prop_assert!(fine(Immersion::new(v[0], v[1]).and_then(|stem| stem.error_k(v[2], v[3], v[4]))));
        prop_assert!(fine(immersion_from_two_depths((v[0], v[1]), (v[2], v[3]), v[4]).map(|(_, t_c)| t_c)));
        if let Ok(range) = CurrentLoop::new(v[0], v[1]) {
            prop_assert!(fine(range.value(v[2])) && fine(range.current(v[2])) && fine(range.saturated_current(v[2])));
        }
        if let Ok(scale) = DigitalScale::new(counts.0, counts.1, v[0], v[1]) {
            prop_assert!(fine(scale.value(counts.0)) && scale.count(v[0]).is_ok() && scale.count(v[1]).is_ok());
        }
        prop_assert!(fine(Display::new(v[0], Rounding::Nearest).and_then(|display| display.shown(v[1]))));
        for scale in [Scale::Its90, Scale::Ipts68, Scale::Ipts48] {
            prop_assert!(fine(scale.to_its90(v[0])) && fine(scale.from_its90(v[0])));
        }
        let sum = Tolerance::Sum(vec![
            Tolerance::Asymmetric { lower_k: v[0], upper_k: v[1] },
            Tolerance::PercentOfSpan { percent: v[2], low_c: v[3], high_c: v[4] },
            Tolerance::PercentOfReading { percent: v[2] },
        ]);
        prop_assert!(sum.limits(v[5]).map_or(true, |limits| !limits.lower_k.is_nan() && !limits.upper_k.is_nan()));
    }
}
