//! What cannot be a sensor, or a point of one, is refused; what lies at an end of a range is not.

use calcore::Error;
use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Handling, Invalid, PolynomialRtd, SensorCurve, Sprt, SteinhartHart, Thermocouple,
};
use calcore::fit::CorrectedCurve;
use calcore::its90::Subrange;

fn text<T>(result: Result<T, Error>, code: i32) -> String {
    let error = result.err().expect("it must be refused");
    assert_eq!(error.code(), code, "{error}");
    error.to_string()
}

// Witness: 100 (1 − 200 A + 200² B + 300 · 200³ C) by hand: for C ten thousandfold (4.183e-8) and A = 3.9083e-3
// 100 (1 − 0.781 66 − 0.0231 − 100.392) = −10 019.676.
#[test]
fn a_resistance_that_is_not_positive_is_refused() {
    let message = text(CallendarVanDusen::new(100.0, 3.9083e-3, -5.775e-7, -4.183e-8), 103);
    assert!(message.starts_with("resistance is -10019.67") && message.contains("-200 °C"), "{message}");
    // A in percent per kelvin, and beta in the place of its hundredth part.
    assert!(text(CallendarVanDusen::new(100.0, 0.39083, -5.775e-7, 0.0), 103).starts_with("resistance is -"));
    text(CallendarVanDusen::from_alpha_delta_beta(100.0, 0.003_85, 1.5, 1086.0), 103);
    // Over a range in which it is positive the same coefficients are a thermometer.
    assert!(CallendarVanDusen::with_range(100.0, 0.39083, -5.775e-7, 0.0, 0.0, 100.0).is_ok());
}

// Witness: ln(20 000/10 000) · 298.15 · 323.15/25 = 2671 with the sign of the points.
#[test]
fn a_resistance_that_rises_has_no_beta() {
    let message = text(BetaThermistor::beta_from_points((25.0, 1e4), (50.0, 2e4)), 103);
    assert!(message.starts_with("beta is -2671.") && message.contains("20000 ohm at 50 °C"), "{message}");
    text(BetaThermistor::beta_from_points((25.0, 1e4), (50.0, 1e4)), 103);
}

#[test]
fn a_deviation_has_the_range_of_its_thermometer() {
    for subrange in Subrange::all() {
        let sprt = Sprt::new(25.5, subrange, &vec![-1e-9; subrange.coefficient_names().len()]).unwrap();
        for t_c in [sprt.range().low, 0.01, sprt.range().high] {
            let w = if t_c == 0.01 { 1.0 } else { sprt.ratio(t_c).unwrap() };
            let deviation = sprt.deviation();
            assert_eq!(
                sprt.deviation_at(w),
                Ok((deviation.value(w), deviation.slope(w))),
                "{} {t_c}",
                subrange.section()
            );
        }
        assert!(text(sprt.deviation_at(100.0), 102).starts_with("ratio 100"));
        text(sprt.deviation_at(f64::NAN), 101);
    }
}

#[test]
fn corrected_curves_name_what_is_wrong() {
    let k = Thermocouple::new("K").unwrap();
    let with = |coefficients: &[f64], low, high| CorrectedCurve::new(k, coefficients, low, high);
    text(with(&[0.0, f64::NAN], 0.0, 400.0), 101);
    text(with(&[0.0], f64::NAN, 400.0), 101);
    let message = text(with(&[0.0], 400.0, 0.0), 103);
    assert!(message.contains("400 °C") && message.contains("0 °C") && message.contains("end"), "{message}");
    assert!(with(&[0.0, 1e-5], 0.0, 400.0).is_ok());
}

/// A signal that is let in at an end of the range gives a temperature of the range, which is let in again; one value and
/// slices have the same bits.
#[test]
fn the_inverse_at_the_ends_stays_in_the_range() {
    let mut curves: Vec<Box<dyn SensorCurve>> = vec![
        Box::new(CallendarVanDusen::iec60751(100.0).unwrap()),
        Box::new(PolynomialRtd::standard("gost6651_ni617", 100.0).unwrap()),
        Box::new(BetaThermistor::new(1e4, 3950.0).unwrap()),
        Box::new(SteinhartHart::new(1.1738e-3, 2.4e-4, 1.5e-7).unwrap()),
        Box::new(CorrectedCurve::new(Thermocouple::new("K").unwrap(), &[0.0, 1e-5], 0.0, 400.0).unwrap()),
    ];
    for subrange in Subrange::all() {
        let count = subrange.coefficient_names().len();
        curves.push(Box::new(Sprt::new(25.5, subrange, &vec![-1e-9; count]).unwrap()));
    }
    for curve in &curves {
        let (range, signals) = (curve.range(), curve.signal_range());
        // By how much the ends of the signal are widened beside the signals at the ends: a relative 1e-12.
        for signal in [signals.low, signals.high] {
            let t_c = curve.temperature(signal).unwrap();
            assert!(range.contains(t_c), "{curve:?}: {signal} gives {t_c}");
            let end_c = if (t_c - range.low).abs() < (t_c - range.high).abs() { range.low } else { range.high };
            let slope = curve.slope(end_c).unwrap().abs();
            // The widening through the slope, and rounding of a temperature below 2048 K.
            assert!((t_c - end_c).abs() <= 2e-12 * signal.abs() / slope + 1e-11, "{curve:?}: {signal} gives {t_c}");
            assert!(curve.signal(t_c).is_ok() && curve.slope(t_c).is_ok());
            for invalid in [Invalid::Raise, Invalid::Nan] {
                let mut out = [0.0; 3];
                let handling = Handling { invalid, extrapolate: false };
                curve.temperature_slice(&[signal; 3], &mut out, handling).unwrap();
                assert_eq!(out.map(f64::to_bits), [t_c.to_bits(); 3], "{curve:?}");
            }
        }
        let beyond = signals.high + 1e-9 * signals.high.abs();
        assert_eq!(curve.temperature(beyond).map_err(|e| e.code()), Err(102));
    }
    // As it was found: the resistance at 850 °C, 390.481 125 ohm by the equation of IEC 60751, with one digit too many.
    assert_eq!(curves[0].temperature(390.481_125_000_39), Ok(850.0));
}
