//! What every curve must be: monotone, inverted by its inverse, with its own slope, the same in slices, and closed
//! outside its range.

use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Handling, Interpolation, Invalid, PolynomialRtd, SensorCurve, Sprt,
    SteinhartHart, TabulatedCurve, rtd_standard_names,
};
use calcore::its90::Subrange;
use proptest::prelude::*;

/// One of every kind, and every named one.
fn curves() -> Vec<(String, Box<dyn SensorCurve>)> {
    let mut all: Vec<(String, Box<dyn SensorCurve>)> = Vec::new();
    all.push(("Pt100".into(), Box::new(CallendarVanDusen::iec60751(100.0).unwrap())));
    for name in rtd_standard_names() {
        all.push((name.into(), Box::new(PolynomialRtd::standard(name, 100.0).unwrap())));
    }
    for subrange in Subrange::all() {
        // Coefficients of the size of real ones.
        let size = [-1.5e-4, 2e-5, 1e-6, 1e-7, 1e-9, 1e-10, 1e-11];
        let coefficients = &size[..subrange.coefficient_names().len()];
        let sprt = Sprt::new(25.5, subrange, coefficients).unwrap();
        all.push((format!("ITS-90 {}", subrange.section()), Box::new(sprt)));
    }
    all.push(("Steinhart-Hart".into(), Box::new(SteinhartHart::new(1.1738e-3, 2.4e-4, 1.5e-7).unwrap())));
    let with_quadratic = SteinhartHart::with_quadratic(1.281651e-3, 2.706002e-4, -1.027561e-6, 1.749446e-7);
    all.push(("Steinhart-Hart, four terms".into(), Box::new(with_quadratic.unwrap())));
    all.push(("beta".into(), Box::new(BetaThermistor::new(1e4, 3950.0).unwrap())));
    for interpolation in [Interpolation::Linear, Interpolation::MonotoneCubic] {
        let rising = TabulatedCurve::new(&[-50.0, 0.0, 10.0, 100.0], &[80.3, 100.0, 103.9, 138.5], interpolation);
        let falling = TabulatedCurve::new(&[-40.0, 25.0, 70.0, 125.0], &[336.0, 10.0, 1.75, 0.34], interpolation);
        all.push((format!("rising table, {interpolation:?}"), Box::new(rising.unwrap())));
        all.push((format!("falling table, {interpolation:?}"), Box::new(falling.unwrap())));
    }
    all
}

fn at(curve: &dyn SensorCurve, part: f64) -> f64 {
    let range = curve.range();
    (range.low + part * (range.high - range.low)).clamp(range.low, range.high)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn monotone_and_inverted(part in 0.0..1.0f64, step in 1e-6..0.1f64) {
        for (name, curve) in curves() {
            let (t_c, next_c) = (at(&*curve, part), at(&*curve, (part + step).min(1.0)));
            let (signal, next) = (curve.signal(t_c).unwrap(), curve.signal(next_c).unwrap());
            let slope = curve.slope(t_c).unwrap();
            prop_assert!(next_c <= t_c || (next - signal) * slope > 0.0, "{name} at {t_c} and {next_c}");
            // A few units in the last place of the signal, or of the largest term of a polynomial with R0 = 100, through
            // the slope, and of the temperature in kelvin (below 2048 K).
            let rounding = 4.0 * f64::EPSILON * signal.abs().max(100.0) / slope.abs();
            let back = curve.temperature(signal).unwrap();
            prop_assert!((back - t_c).abs() < rounding + 1e-12, "{name}: {t_c} came back as {back}");
        }
    }

    #[test]
    fn slope_is_the_derivative(part in 0.001..0.999f64) {
        for (name, curve) in curves() {
            let t_c = at(&*curve, part);
            let h = 1e-4 * (1.0 + 0.001 * t_c.abs());
            let difference = (curve.signal(t_c + h).unwrap() - curve.signal(t_c - h).unwrap()) / (2.0 * h);
            let slope = curve.slope(t_c).unwrap();
            // Away from kinks and rows: relative truncation below 1e-7, rounding of the signal over h.
            let signal = curve.signal(t_c).unwrap();
            let rounding = 4.0 * f64::EPSILON * signal.abs().max(100.0) / h;
            let near = |place: f64| (t_c - place).abs() < 2.0 * h;
            if [0.0, 0.01, 10.0, 25.0, 70.0, 100.0].into_iter().any(near) {
                continue;
            }
            prop_assert!((difference - slope).abs() <= 1e-6 * slope.abs() + rounding, "{name} at {t_c}: {difference} {slope}");
        }
    }

    #[test]
    fn slices_have_the_bits_of_single_values(parts in proptest::collection::vec(0.0..=1.0f64, 0..40)) {
        for (name, curve) in curves() {
            let t_c: Vec<f64> = parts.iter().map(|part| at(&*curve, *part)).collect();
            let (mut signal, mut slope, mut back) = (t_c.clone(), t_c.clone(), t_c.clone());
            curve.signal_slice(&t_c, &mut signal, Handling::default()).unwrap();
            curve.slope_slice(&t_c, &mut slope, Handling::default()).unwrap();
            curve.temperature_slice(&signal, &mut back, Handling::default()).unwrap();
            for (i, t) in t_c.iter().enumerate() {
                prop_assert_eq!(signal[i].to_bits(), curve.signal(*t).unwrap().to_bits(), "{} at {}", name, t);
                prop_assert_eq!(slope[i].to_bits(), curve.slope(*t).unwrap().to_bits(), "{} at {}", name, t);
                let single = curve.temperature(signal[i]).unwrap();
                prop_assert_eq!(back[i].to_bits(), single.to_bits(), "{} at {}", name, t);
            }
        }
    }
}

#[test]
fn the_ends_are_inside_and_nothing_beyond() {
    for (name, curve) in curves() {
        let (range, signals) = (curve.range(), curve.signal_range());
        for t_c in [range.low, range.high] {
            let signal = curve.signal(t_c).unwrap();
            let back = curve.temperature(signal).unwrap();
            assert!((back - t_c).abs() < 1e-10, "{name}: {t_c} came back as {back}");
        }
        for t_c in [range.low - 0.001, range.high + 0.001] {
            assert_eq!(curve.signal(t_c).map_err(|e| e.code()), Err(102), "{name}");
            assert_eq!(curve.slope(t_c).map_err(|e| e.code()), Err(102), "{name}");
        }
        for signal in [signals.low - 0.001 * signals.low.abs(), signals.high + 0.001 * signals.high.abs()] {
            assert_eq!(curve.temperature(signal).map_err(|e| e.code()), Err(102), "{name}");
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(curve.signal(bad).map_err(|e| e.code()), Err(101), "{name}");
            assert_eq!(curve.temperature(bad).map_err(|e| e.code()), Err(101), "{name}");
        }
        let nan_out = Handling { invalid: Invalid::Nan, extrapolate: true };
        let mut out = [0.0; 3];
        curve
            .temperature_slice(&[f64::NAN, f64::INFINITY, curve.signal(range.low).unwrap()], &mut out, nan_out)
            .unwrap();
        assert!(out[0].is_nan() && out[1].is_nan() && out[2].is_finite(), "{name}");
    }
}

/// Slices are worked on in blocks and lanes: wherever the last one ends, the values stay those of single calls.
#[test]
fn every_length_of_a_slice_has_the_bits_of_single_values() {
    let irrational = 3f64.sqrt();
    for (name, curve) in curves() {
        let t_c: Vec<f64> = (0..1100).map(|i| at(&*curve, (f64::from(i) * irrational).fract())).collect();
        let signal: Vec<f64> = t_c.iter().map(|&t| curve.signal(t).unwrap()).collect();
        let single: Vec<u64> = signal.iter().map(|&x| curve.temperature(x).unwrap().to_bits()).collect();
        for length in [1, 2, 5, 7, 8, 9, 15, 17, 63, 65, 511, 512, 513, 517, 1023, 1025, 1031] {
            let (mut forward, mut back) = (vec![0.0; length], vec![0.0; length]);
            curve.signal_slice(&t_c[..length], &mut forward, Handling::default()).unwrap();
            curve.temperature_slice(&signal[..length], &mut back, Handling::default()).unwrap();
            assert!((0..length).all(|i| forward[i].to_bits() == signal[i].to_bits()), "{name}, {length} values");
            assert!((0..length).all(|i| back[i].to_bits() == single[i]), "{name}, {length} values back");
        }
    }
}
