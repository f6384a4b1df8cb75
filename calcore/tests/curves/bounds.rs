//! Proven bounds of slope and curvature.

use crate::table::Table;
use calcore::Result;
use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Interpolation, PolynomialRtd, SensorCurve, Side, Sprt, SteinhartHart,
    TabulatedCurve, Thermocouple,
};
use calcore::fit::CorrectedCurve;
use calcore::interval::Interval;
use calcore::its90::Subrange;
use calcore::num::enclosure::Enclosure;

fn curve(name: &str) -> Box<dyn SensorCurve> {
    if let Some(letter) = name.strip_prefix("thermocouple_") {
        return Box::new(Thermocouple::new(letter).unwrap());
    }
    match name {
        "iec60751" => Box::new(CallendarVanDusen::iec60751(100.0).unwrap()),
        "steinhart_hart" => Box::new(SteinhartHart::with_range(1.1738e-3, 2.4e-4, 0.0, 1.5e-7, -80.0, 150.0).unwrap()),
        "beta" => Box::new(BetaThermistor::with_range(10_000.0, 3950.0, -80.0, 300.0).unwrap()),
        "sprt_3.3.1.3" | "sprt_3.3.2.2" => {
            Box::new(Sprt::new(25.5, Subrange::from_name(&name[5..]).unwrap(), &[-1.2e-4, 3e-6]).unwrap())
        }
        standard => Box::new(PolynomialRtd::standard(standard, 100.0).unwrap()),
    }
}

/// All kinds, with some of every shape that they can have.
fn many() -> Vec<Box<dyn SensorCurve>> {
    let mut all: Vec<Box<dyn SensorCurve>> =
        "BCEJKNRSTA".chars().map(|letter| curve(&format!("thermocouple_{letter}"))).collect();
    all.extend(["iec60751", "steinhart_hart", "beta"].map(curve));
    all.extend(calcore::curves::rtd_standard_names().into_iter().map(curve));
    all.push(Box::new(Thermocouple::new("B").unwrap().on_side(Side::Lower).unwrap()));
    all.extend(crate::sprt::thermometers().into_values().map(|sprt| Box::new(sprt) as Box<dyn SensorCurve>));
    let (rows, signals) = ([-40.0, 0.0, 12.5, 80.0, 200.0], [9.0, 5.5, 5.0, 1.0, 0.3]);
    for interpolation in [Interpolation::Linear, Interpolation::MonotoneCubic] {
        all.push(Box::new(TabulatedCurve::new(&rows, &signals, interpolation).unwrap()));
    }
    // Standard curves with a deviation (made up).
    let (k, pt100) = (Thermocouple::new("K").unwrap(), CallendarVanDusen::iec60751(100.0).unwrap());
    all.push(Box::new(CorrectedCurve::new(k, &[0.0, 2e-5, -3e-8], -100.0, 900.0).unwrap()));
    all.push(Box::new(CorrectedCurve::new(pt100, &[0.02, -1e-4], -50.0, 250.0).unwrap()));
    all
}

/// Witness: extremes found by differences at 80 digits and golden sections (tests/oracle/curve_bounds.py).
#[test]
fn extremes_at_eighty_digits_are_enclosed_and_met() {
    let mut count = 0;
    for row in Table::read("curve_bounds").rows() {
        let curve = curve(row.text("curve"));
        let (low_c, high_c) = (row.number("low_c"), row.number("high_c"));
        for (what, found) in [
            ("slope", curve.slope_bounds(low_c, high_c).unwrap()),
            ("curvature", curve.curvature_bounds(low_c, high_c).unwrap()),
        ] {
            let (low, high) = (row.number(&format!("{what}_low")), row.number(&format!("{what}_high")));
            // Seventeen digits are printed, of which the last is rounded; the difference quotient is good to 1e-35.
            let printed = 1e-16 * low.abs().max(high.abs()) + 1e-36;
            let place = format!("{} {what} {found:?} {low:e} {high:e}", row.place());
            assert!(found.low <= low + printed && found.high >= high - printed, "{place}");
            // Stated: within a part in a hundred of the spread; for a constant, rounding.
            let margin = 1e-2 * (high - low) + 1e-11 * low.abs().max(high.abs()) + 1e-35;
            assert!(found.low >= low - margin && found.high <= high + margin, "{place}");
            count += 1;
        }
    }
    assert_eq!(count, 17 * 13 * 2);
}

// Witness: the slope of the curve itself, and differences of it, at many temperatures.
#[test]
fn sampled_slopes_never_leave_the_bounds() {
    for curve in many() {
        let Interval { low, high, .. } = curve.range();
        for (from, to) in [(0.0, 1.0), (0.0, 0.3), (0.21, 0.24), (0.5, 0.5), (0.62, 0.95), (0.9999, 1.0)] {
            let at = |part: f64| (low + (high - low) * part).clamp(low, high);
            let (a, b) = (at(from), at(to));
            let (slopes, curvatures) = (curve.slope_bounds(a, b).unwrap(), curve.curvature_bounds(a, b).unwrap());
            assert!(slopes.low.is_finite() && slopes.high.is_finite(), "{curve:?} {a} {b} {slopes:?}");
            // Computed slopes are good to a few roundings of the largest slope, those of thermocouples to 1e-12 of it
            // (the derivative of an approximation that is good to one rounding of the emf over a hundredth of a kelvin
            // and more).
            let rounding = 2e-11 * slopes.magnitude();
            let n = 501;
            let t_c: Vec<f64> = (0..n).map(|i| (a + (b - a) * i as f64 / (n - 1) as f64).clamp(a, b)).collect();
            let sampled: Vec<f64> = t_c.iter().map(|&t| curve.raw_slope(t)).collect();
            for (t, slope) in t_c.iter().zip(&sampled) {
                let wide = Enclosure { low: slopes.low - rounding, high: slopes.high + rounding };
                assert!(wide.contains(*slope), "{curve:?} at {t}: {slope:e} {slopes:?}");
            }
            for (t, s) in t_c.windows(2).zip(sampled.windows(2)) {
                let joint = curve.joint_from(t[0]).is_some_and(|joint| joint.below_c <= t[1]);
                if joint || t[1] <= t[0] {
                    continue;
                }
                let mean = (s[1] - s[0]) / (t[1] - t[0]);
                let margin = 2.0 * rounding / (t[1] - t[0]);
                assert!(
                    mean >= curvatures.low - margin && mean <= curvatures.high + margin,
                    "{curve:?} at {t:?}: {mean:e} {curvatures:?}"
                );
            }
        }
    }
}

// Witness: the signal itself: the enclosure of the equation at a point holds what is computed there.
#[test]
fn the_equation_at_a_point_is_that_of_the_curve() {
    for curve in many() {
        let Interval { low, high, .. } = curve.range();
        let scale = curve.signal_range().high.abs().max(curve.signal_range().low.abs());
        for i in 0..=200 {
            let t_c = (low + (high - low) * f64::from(i) / 200.0).clamp(low, high);
            let enclosed = curve.raw_jet(Enclosure::point(t_c)).value();
            let signal = curve.raw_signal(t_c);
            // What is computed is good to a few roundings of itself (and, for the thermistors, of ln R times itself).
            let rounding = 1e-14 * signal.abs() + 1e-16 * scale.min(100.0);
            assert!(
                enclosed.low - rounding <= signal && signal <= enclosed.high + rounding,
                "{curve:?} at {t_c}: {signal:e} {enclosed:?}"
            );
            // Far below zero the terms of degree 13 of types E and T cancel to a millionth of themselves.
            let limit = if t_c < -100.0 { 2e-10 } else { 1e-12 };
            assert!(enclosed.width() <= limit * signal.abs().max(1e-2), "{curve:?} at {t_c}: {enclosed:?}");
        }
    }
}

#[test]
fn wrong_ranges_are_refused_and_a_curve_that_says_nothing_claims_nothing() {
    #[derive(Debug)]
    struct Plain;
    impl SensorCurve for Plain {
        fn range(&self) -> Interval {
            Interval::celsius(0.0, 1.0)
        }
        fn signal_range(&self) -> Interval {
            Interval { what: "signal", unit: "", low: 0.0, high: 1.0 }
        }
        fn raw_signal(&self, t_c: f64) -> f64 {
            t_c
        }
        fn raw_slope(&self, _: f64) -> f64 {
            1.0
        }
        fn raw_temperature(&self, signal: f64) -> f64 {
            signal
        }
    }
    assert_eq!(Plain.slope_bounds(0.0, 1.0), Ok(Enclosure::EVERYTHING));
    let pt100 = curve("iec60751");
    let code = |outcome: Result<Enclosure>| outcome.map_err(|error| error.code());
    assert_eq!(code(pt100.slope_bounds(-201.0, 0.0)), Err(102));
    assert_eq!(code(pt100.curvature_bounds(0.0, f64::NAN)), Err(101));
    assert_eq!(code(pt100.slope_bounds(10.0, 0.0)), Err(103));
}
