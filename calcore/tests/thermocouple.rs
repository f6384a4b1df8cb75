//! Thermocouples: the reference junction, the ends and joints, the two sides of type B, slices. Published values and
//! multiple-precision ones are in `validation.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::Error;
use calcore::curves::{Handling, Invalid, ReferenceJunction, SensorCurve, Side, Thermocouple, ThermocoupleType};
use proptest::prelude::*;

const NAN: Handling = Handling { invalid: Invalid::Nan, extrapolate: false };

fn curve(letter: &str) -> Thermocouple {
    Thermocouple::new(letter).unwrap()
}

/// All types where their emf rises: type B above its minimum.
fn rising() -> Vec<Thermocouple> {
    let side = |kind: ThermocoupleType| {
        let whole = Thermocouple::from(kind);
        whole.on_side(Side::Upper).unwrap_or(whole)
    };
    ThermocoupleType::ALL.into_iter().map(side).collect()
}

fn spread(low: f64, high: f64, count: usize) -> Vec<f64> {
    let irrational = 7f64.sqrt();
    (0..count).map(|i| low + (high - low) * (i as f64 * irrational).fract()).collect()
}

fn ulp(value: f64) -> f64 {
    value.abs().next_up() - value.abs()
}

/// What a temperature may miss by on the way through emf and inverse: the proven bounds, the rounding of the emf over the
/// slope, and just above a joint where the emf steps down by so much, that step over the slope.
fn round_trip_k(curve: &Thermocouple, t_c: f64, mv: f64) -> f64 {
    let kind = curve.kind();
    // Joint and step of the published functions, mV: `tests/reference/thermocouple_coefficients.json`.
    let joints: &[(f64, f64)] = match kind {
        ThermocoupleType::B => &[(630.615, 2.16798e-9)],
        ThermocoupleType::C => &[(630.615, 1.40835e-7)],
        ThermocoupleType::R => &[(1664.5, 1.71447e-9)],
        ThermocoupleType::S => &[(1064.18, 5.81054e-11), (1664.5, 2.73493e-10)],
        _ => &[],
    };
    let slope = curve.slope(t_c).unwrap();
    let step = joints.iter().filter(|joint| t_c > joint.0 && t_c < joint.0 + 1e-5).map(|joint| joint.1).sum::<f64>();
    let lost_mv = kind.emf_error_bound_mv() + ulp(mv) + step;
    // At the minimum of type B the slope is zero: what is lost moves the temperature by the square root.
    let flat_k = (2.0 * lost_mv / 1.18e-5).sqrt();
    kind.inverse_error_bound_k() + ulp(t_c) + if slope > 0.0 { (lost_mv / slope * 1.01).min(flat_k) } else { flat_k }
}

proptest! {
    #[test]
    fn every_temperature_comes_back(part in 0.0..=1.0f64, junction in 0.0..=60.0f64) {
        for curve in rising() {
            let range = curve.range();
            let t_c = (range.low + (range.high - range.low) * part).clamp(range.low, range.high);
            let mv = curve.emf(t_c, 0.0).unwrap();
            let back_c = curve.temperature(mv, 0.0).unwrap();
            prop_assert!((back_c - t_c).abs() <= round_trip_k(&curve, t_c, mv), "{curve:?} {t_c} {back_c}");
            // The emf of the junction is subtracted and added: two roundings of numbers no larger than these.
            let measured_mv = curve.emf(t_c, junction).unwrap();
            prop_assert_eq!(measured_mv, mv - curve.kind_emf(junction));
            let back_c = curve.temperature(measured_mv, junction).unwrap();
            let more_k = (ulp(mv) + ulp(measured_mv)) / curve.slope(t_c).unwrap().abs().max(1e-7);
            prop_assert!((back_c - t_c).abs() <= round_trip_k(&curve, t_c, mv) + more_k, "{curve:?} {t_c} {back_c}");
        }
    }

    #[test]
    fn the_second_opinion_agrees(part in 0.0..=1.0f64) {
        for curve in rising() {
            let (kind, range, signals) = (curve.kind(), curve.range(), curve.signal_range());
            let t_c = (range.low + (range.high - range.low) * part).clamp(range.low, range.high);
            let (mv, reference_mv) = (curve.emf(t_c, 0.0).unwrap(), curve.reference_emf(t_c).unwrap());
            prop_assert!((mv - reference_mv).abs() <= kind.emf_error_bound_mv() + ulp(mv), "{curve:?} {t_c}");
            let slopes = (curve.slope(t_c).unwrap(), curve.reference_slope(t_c).unwrap());
            // Markov's bound: see `validation/thermocouples.rs`.
            prop_assert!((slopes.0 - slopes.1).abs() <= 49.0 * kind.emf_error_bound_mv(), "{curve:?} {t_c}");
            let mv = signals.low + (signals.high - signals.low) * part;
            let both = (curve.temperature(mv, 0.0).unwrap(), curve.reference_temperature(mv).unwrap());
            prop_assert!((both.0 - both.1).abs() <= kind.inverse_error_bound_k() + ulp(both.1), "{curve:?} {mv} {both:?}");
        }
    }
}

/// The emf of a reference junction, whatever the side.
trait KindEmf {
    fn kind_emf(&self, t_c: f64) -> f64;
}

impl KindEmf for Thermocouple {
    fn kind_emf(&self, t_c: f64) -> f64 {
        if t_c == 0.0 { 0.0 } else { Thermocouple::from(self.kind()).emf(t_c, 0.0).unwrap() }
    }
}

#[test]
fn the_emf_rises_and_its_slope_is_that_of_its_differences() {
    for curve in rising() {
        let range = curve.range();
        let grid: Vec<f64> = (0..=5000).map(|i| range.low + (range.high - range.low) * f64::from(i) / 5000.0).collect();
        let mv: Vec<f64> = grid.iter().map(|&t| curve.emf(t.clamp(range.low, range.high), 0.0).unwrap()).collect();
        for (t, e) in grid.windows(2).zip(mv.windows(2)) {
            assert!(e[1] > e[0], "{curve:?} falls from {} °C to {} °C", t[0], t[1]);
        }
        // A difference of emfs is the integral of the slope, here over 2 h = 0.02 K by Simpson's rule, whose error (h⁴/180
        // times the fifth derivative) is below the rounding: both proven bounds and half a unit of 76 mV each, over 2 h.
        // Away from the joints.
        for &t_c in grid.iter().filter(|&&t| t > range.low + 0.01 && t < range.high - 0.01) {
            if [0.0, 630.615, 760.0, 1064.18, 1664.5].iter().any(|joint: &f64| (t_c - joint).abs() < 0.02) {
                continue;
            }
            let at = [t_c - 0.01, t_c, t_c + 0.01];
            let difference = (curve.emf(at[2], 0.0).unwrap() - curve.emf(at[0], 0.0).unwrap()) / (at[2] - at[0]);
            let slope = at.map(|t| curve.slope(t).unwrap());
            let mean = (slope[0] + 4.0 * slope[1] + slope[2]) / 6.0;
            assert!((mean - difference).abs() < 3e-12, "{curve:?} {t_c}: {mean} {difference}");
        }
    }
}

/// Where the ranges of the published functions do not meet: J 760 °C, K 0 °C and R 1064.18 °C step up, the others down.
#[test]
fn joints() {
    let joints = [("B", 630.615), ("C", 630.615), ("J", 760.0), ("K", 0.0), ("N", 0.0), ("R", 1064.18), ("R", 1664.5)];
    for (letter, joint_c) in joints.into_iter().chain([("S", 1064.18), ("S", 1664.5), ("E", 0.0), ("T", 0.0)]) {
        let curve = curve(letter);
        let at_joint = curve.emf(joint_c, 0.0).unwrap();
        assert!((at_joint - curve.reference_emf(joint_c).unwrap()).abs() <= ulp(at_joint), "{letter}");
        let back = curve.temperature(at_joint, 0.0).unwrap();
        assert!((back - joint_c).abs() <= round_trip_k(&curve, joint_c, at_joint), "{letter} {joint_c} {back}");
        // Three doubles of temperature on either side.
        for t_c in [joint_c.next_down(), joint_c.next_up(), joint_c.next_up().next_up()] {
            let mv = curve.emf(t_c, 0.0).unwrap();
            let back = curve.temperature(mv, 0.0).unwrap();
            assert!((back - t_c).abs() <= round_trip_k(&curve, t_c, mv), "{letter} {t_c} {back}");
        }
    }
    // Inside the gaps the joint answers, in both inverses.
    for (letter, mv, joint_c) in [("J", 42.918_641_35, 760.0), ("K", 1.5e-9, 0.0)] {
        assert_eq!(curve(letter).temperature(mv, 0.0), Ok(joint_c));
        assert_eq!(curve(letter).reference_temperature(mv), Ok(joint_c));
    }
    // Type N: the slope steps by 0.9 % at 0 °C (2.297e-4 mV/K), the lower one holds at 0 °C.
    let n = curve("N");
    let step = n.slope(0.0).unwrap() - n.slope(0.0f64.next_up()).unwrap();
    assert!((step - 0.000_229_711).abs() < 5e-10, "{step}");
}

/// 100 °C beside a reference junction at 25 °C: 3.0960 mV (type K), which must lead back to 100 °C.
#[test]
fn emfs_are_added_and_never_temperatures() {
    let k = curve("K");
    let mv = k.emf(100.0, 25.0).unwrap();
    assert!((mv - 3.0960).abs() < 5e-5);
    assert_eq!(mv, k.emf(100.0, 0.0).unwrap() - k.emf(25.0, 0.0).unwrap());
    assert_eq!(mv, k.emf_between(100.0, 25.0).unwrap());
    let t_c = k.temperature(mv, 25.0).unwrap();
    assert!((t_c - 100.0).abs() < 1e-12, "{t_c}");
    let forgotten_c = k.temperature(mv, 0.0).unwrap();
    assert!((forgotten_c - 75.89).abs() < 0.005 && (forgotten_c + 25.0 - t_c).abs() > 0.8);
    // Both junctions equally warm: nothing; the type A function, which gives 0.7 µV at 0 °C, included.
    for curve in rising() {
        assert_eq!(curve.emf_between(300.0, 300.0), Ok(0.0));
        assert_eq!(curve.emf(300.0, 300.0), Ok(0.0));
        assert_eq!(curve.emf(300.0, 0.0).unwrap(), curve.signal(300.0).unwrap());
    }
    assert!((curve("A").emf(0.0, 0.0).unwrap() - 7.1564735e-4).abs() < 1e-18);
}

#[test]
fn what_lies_outside_is_refused_with_range_and_unit() {
    let k = curve("K");
    let text = |outcome: calcore::Result<f64>| outcome.unwrap_err().to_string();
    assert_eq!(text(k.emf(1400.0, 0.0)), "temperature 1400 °C is outside -270 to 1372 °C");
    assert_eq!(text(k.slope(-271.0)), "temperature -271 °C is outside -270 to 1372 °C");
    assert_eq!(text(k.emf(20.0, -300.0)), "reference junction temperature -300 °C is outside -270 to 1372 °C");
    assert!(text(k.temperature(55.0, 0.0)).starts_with("emf 55 mV is outside -6.4577"));
    // 54.8 mV is 1369.6 °C with the junction at 0 °C and beyond the range with it at 25 °C.
    assert!(k.temperature(54.8, 0.0).is_ok() && k.temperature(54.8, 25.0).is_err());
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(k.emf(bad, 0.0).map_err(|e| e.code()), Err(101));
        assert_eq!(k.emf(20.0, bad).map_err(|e| e.code()), Err(101));
        assert_eq!(k.temperature(bad, 0.0).map_err(|e| e.code()), Err(101));
        assert_eq!(k.temperature(1.0, bad).map_err(|e| e.code()), Err(101));
        assert_eq!(k.emf_between(bad, 0.0).map_err(|e| e.code()), Err(101));
        assert!(k.raw_signal(bad).is_nan() && k.raw_slope(bad).is_nan() && k.raw_temperature(bad).is_nan());
    }
    assert_eq!(Thermocouple::new("Z").map_err(|e| e.code()), Err(104));
    // The ends belong to the range, and what rounding makes of them.
    for curve in rising() {
        let range = curve.range();
        for end_c in [range.low, range.high] {
            for junction_c in [5.0, 60.0, 390.0] {
                let back = curve.temperature(curve.emf(end_c, junction_c).unwrap(), junction_c).unwrap();
                // The emf of the junction is below 32 mV: 4e-15 mV at most are rounded off, over a slope of 9e-4 mV/K and more;
                // at the minimum of type B, where the slope is zero, the root of twice that over 1.2e-5 mV/K².
                let limit_k = if curve.kind() == ThermocoupleType::B { 3e-5 } else { 1e-11 };
                let right = range.contains(back) && (back - end_c).abs() < limit_k;
                assert!(right, "{curve:?} {end_c} {junction_c} {back}");
            }
        }
    }
}

#[test]
fn extrapolation_is_refused_with_its_reason() {
    let k = curve("K");
    let asked = Handling { invalid: Invalid::Raise, extrapolate: true };
    let mut out = [0.0; 2];
    let reason = "the reference function of type K is not defined outside";
    for outcome in [
        k.signal_slice(&[20.0, 1400.0], &mut out, asked),
        k.slope_slice(&[20.0, 1400.0], &mut out, asked),
        SensorCurve::temperature_slice(&k, &[1.0, 55.0], &mut out, asked),
        k.emf_slice(&[20.0, 1400.0], ReferenceJunction::At(25.0), &mut out, asked),
        k.temperature_slice(&[1.0, 55.0], ReferenceJunction::At(25.0), &mut out, asked),
    ] {
        let error = outcome.unwrap_err();
        assert_eq!(error.code(), 103);
        assert!(error.to_string().contains(reason) && error.to_string().contains("element 1"), "{error}");
    }
    assert_eq!(k.signal_slice(&[20.0, 1372.0], &mut out, asked), Ok(()));
}

/// Minimum −0.002 585 mV at 21.0203 °C, zero at 42.132 °C: IEC 60584-1, type B; more digits in
/// `tests/reference/thermocouple_dense_temperature.csv`.
#[test]
fn type_b_has_two_sides() {
    let b = curve("B");
    let (lower, upper) = (b.on_side(Side::Lower).unwrap(), b.on_side(Side::Upper).unwrap());
    assert!((lower.range().high - 21.0203).abs() < 5e-5 && lower.range().high == upper.range().low);
    assert!((b.signal_range().low + 0.002_585).abs() < 5e-7);
    assert!((upper.temperature(0.0, 0.0).unwrap() - 42.132).abs() < 5e-4);
    assert_eq!(lower.temperature(0.0, 0.0), Ok(0.0));
    // Both sides by name; neither without.
    for t_c in [0.5, 5.0, 12.0, 20.9] {
        let mv = b.emf(t_c, 0.0).unwrap();
        let other_c = upper.temperature(mv, 0.0).unwrap();
        assert!((lower.temperature(mv, 0.0).unwrap() - t_c).abs() < 1e-10, "{t_c}");
        assert!(other_c > 21.02 && (b.emf(other_c, 0.0).unwrap() - mv).abs() < 1e-17);
        let error = b.temperature(mv, 0.0).unwrap_err();
        assert!(matches!(error, Error::InvalidValue { what: "emf", value, unit: "mV", .. } if value == mv), "{error}");
        for found_c in [t_c, other_c, 21.0203] {
            assert!(error.to_string().contains(&format!("{found_c:.4} °C")), "{error}");
        }
    }
    assert!(b.temperature(1e-9, 0.0).unwrap() > 42.132);
    assert_eq!(b.temperature(0.0, 0.0).map_err(|e| e.code()), Err(103));
    assert_eq!(b.temperature(-0.0026, 0.0).map_err(|e| e.code()), Err(102));
    assert_eq!(lower.temperature(1e-3, 0.0).map_err(|e| e.code()), Err(102));
    assert_eq!(lower.emf(30.0, 0.0).map_err(|e| e.code()), Err(102));
    assert_eq!(upper.emf(20.0, 0.0).map_err(|e| e.code()), Err(102));
    // A reference junction may be on the other side: 1000 °C beside one at 15 °C.
    assert!((upper.temperature(upper.emf(1000.0, 15.0).unwrap(), 15.0).unwrap() - 1000.0).abs() < 1e-12);
    // The others have no sides.
    assert_eq!(curve("S").on_side(Side::Upper).map_err(|e| e.code()), Err(104));
    // Slices: the element is named, NaN in its place, and both sides again.
    let mv = [1.0, -0.001, 2.0, -0.002, f64::NAN];
    let mut t_c = [0.0; 5];
    let error = SensorCurve::temperature_slice(&b, &mv, &mut t_c, Handling::default()).unwrap_err();
    assert!(matches!(error, Error::InvalidValue { .. }) && error.to_string().contains("(element 1)"), "{error}");
    SensorCurve::temperature_slice(&b, &mv, &mut t_c, NAN).unwrap();
    assert_eq!(t_c.map(f64::is_nan), [false, true, false, true, true]);
    SensorCurve::temperature_slice(&upper, &mv, &mut t_c, NAN).unwrap();
    assert_eq!(t_c.map(f64::is_nan), [false, false, false, false, true]);
    SensorCurve::temperature_slice(&lower, &mv, &mut t_c, NAN).unwrap();
    assert_eq!(t_c.map(f64::is_nan), [true, false, true, false, true]);
    assert!(t_c[1] < 21.1 && lower.raw_temperature(-0.001) == t_c[1]);
    let (mut falling, mut slope) = ([0.0; 3], [0.0; 3]);
    lower.signal_slice(&[0.0, 10.0, 21.0], &mut falling, Handling::default()).unwrap();
    lower.slope_slice(&[0.0, 10.0, 21.0], &mut slope, Handling::default()).unwrap();
    assert!(falling[0] > falling[1] && falling[1] > falling[2] && slope.iter().all(|&s| s < 0.0));
    assert_eq!(
        lower.signal_slice(&[0.0, 30.0], &mut falling[..2], Handling::default()).map_err(|e| e.code()),
        Err(102)
    );
}

#[test]
fn slices_with_reference_junctions_equal_single_values() {
    // Across the chunks in which slices are worked on.
    let count = 5003;
    for curve in rising() {
        let range = curve.range();
        let t_c = spread(range.low, range.high, count);
        let mut junction_c = spread(0.0, 60.0, count);
        (junction_c[7], junction_c[4000]) = (0.0, -0.0);
        let (mut mv, mut back) = (vec![0.0; count], vec![0.0; count]);
        for junction in [ReferenceJunction::Each(&junction_c), ReferenceJunction::At(25.0), ReferenceJunction::At(0.0)]
        {
            curve.emf_slice(&t_c, junction, &mut mv, Handling::default()).unwrap();
            curve.temperature_slice(&mv, junction, &mut back, Handling::default()).unwrap();
            for i in 0..count {
                let at = match junction {
                    ReferenceJunction::At(t) => t,
                    ReferenceJunction::Each(t) => t[i],
                };
                assert_eq!(curve.emf(t_c[i], at).unwrap().to_bits(), mv[i].to_bits());
                assert_eq!(curve.temperature(mv[i], at).unwrap().to_bits(), back[i].to_bits());
            }
        }
    }
}

#[test]
fn slices_name_the_first_bad_element_or_give_nan() {
    let k = curve("K");
    let mut out = vec![0.0; 5000];
    let mut t_c = vec![20.0; 5000];
    (t_c[3000], t_c[4000]) = (2000.0, f64::NAN);
    let error = k.emf_slice(&t_c, ReferenceJunction::At(20.0), &mut out, Handling::default()).unwrap_err();
    assert_eq!(error.to_string(), "temperature 2000 °C is outside -270 to 1372 °C (element 3000, first of 2)");
    k.emf_slice(&t_c, ReferenceJunction::At(20.0), &mut out, NAN).unwrap();
    assert!(out.iter().enumerate().all(|(i, mv)| if i == 3000 || i == 4000 { mv.is_nan() } else { *mv == 0.0 }));
    // The same with emfs.
    let mut mv = vec![1.0; 5000];
    (mv[3000], mv[4000]) = (f64::NAN, 60.0);
    let error = k.temperature_slice(&mv, ReferenceJunction::At(20.0), &mut out, Handling::default()).unwrap_err();
    assert_eq!(error.to_string(), "emf must be a finite number, got NaN (element 3000, first of 2)");
    k.temperature_slice(&mv, ReferenceJunction::At(20.0), &mut out, NAN).unwrap();
    assert!(out.iter().enumerate().all(|(i, t)| t.is_nan() == (i == 3000 || i == 4000)));
    // And with reference junctions.
    let each = ReferenceJunction::Each(&t_c);
    let good = vec![100.0; 5000];
    let error = k.emf_slice(&good, each, &mut out, Handling::default()).unwrap_err();
    let text = "reference junction temperature 2000 °C is outside -270 to 1372 °C (element 3000, first of 2)";
    assert_eq!(error.to_string(), text);
    let ones = vec![1.0; 5000];
    assert_eq!(k.temperature_slice(&ones, each, &mut out, Handling::default()).unwrap_err().to_string(), text);
    k.temperature_slice(&ones, each, &mut out, NAN).unwrap();
    assert!(out.iter().enumerate().all(|(i, t)| t.is_nan() == (i == 3000 || i == 4000)));
    let at = ReferenceJunction::At(2000.0);
    assert_eq!(k.emf_slice(&good, at, &mut out, NAN).map_err(|e| e.code()), Err(102));
    // Lengths.
    let short = ReferenceJunction::Each(&t_c[1..]);
    assert_eq!(k.emf_slice(&good, short, &mut out, NAN).map_err(|e| e.code()), Err(105));
    assert_eq!(k.temperature_slice(&ones[1..], each, &mut out, NAN).map_err(|e| e.code()), Err(105));
    assert_eq!(k.signal_slice(&good, &mut out[1..], NAN).map_err(|e| e.code()), Err(105));
    assert_eq!(k.signal_slice(&[], &mut [], Handling::default()), Ok(()));
    assert_eq!(k.temperature_slice(&[], ReferenceJunction::At(20.0), &mut [], Handling::default()), Ok(()));
}

#[test]
fn approximate_inverses_stay_inside_their_stated_error() {
    for kind in ThermocoupleType::ALL {
        let curve = Thermocouple::from(kind);
        let Some(range) = curve.approximate_range() else {
            assert_eq!(kind, ThermocoupleType::C);
            assert_eq!(curve.temperature_approximate(1.0).map_err(|e| e.code()), Err(104));
            assert_eq!(curve.approximate_error_band_k(1.0).map_err(|e| e.code()), Err(104));
            continue;
        };
        let inverses = curve.approximate_inverses();
        let ends = (inverses.first().unwrap().low_c, inverses.last().unwrap().high_c);
        let mut mv = spread(range.low, range.high, 2000);
        mv.extend([range.low, range.high, curve.emf(ends.0, 0.0).unwrap(), curve.emf(ends.1, 0.0).unwrap()]);
        let mut slice_c = vec![0.0; mv.len()];
        curve.temperature_approximate_slice(&mv, &mut slice_c, Invalid::Raise).unwrap();
        for (&mv, &in_slice_c) in mv.iter().zip(&slice_c) {
            let approximate_c = curve.temperature_approximate(mv).unwrap();
            assert_eq!(approximate_c, in_slice_c);
            let Ok(t_c) = curve.temperature(mv, 0.0) else { continue };
            let error_k = approximate_c - t_c;
            match curve.approximate_error_band_k(mv).unwrap() {
                // Half a unit of the second decimal of a kelvin: the stated errors are rounded to it, the finer ones to
                // less (their own digits are checked in `validation.rs`).
                Some((low_k, high_k)) => {
                    assert!(error_k > low_k - 0.005 && error_k < high_k + 0.005, "{kind:?} {mv} mV {error_k}");
                }
                None => assert_eq!(kind, ThermocoupleType::A),
            }
        }
        let beyond = [range.low - 1e-6, range.high + 1e-6, f64::NAN];
        for mv in beyond {
            assert!(curve.temperature_approximate(mv).is_err());
        }
        let mut out = [0.0; 3];
        curve.temperature_approximate_slice(&beyond, &mut out, Invalid::Nan).unwrap();
        assert!(out.iter().all(|t| t.is_nan()));
    }
    // The stated errors of type K: NIST Monograph 175.
    let k = curve("K");
    assert_eq!(k.approximate_error_band_k(-3.0), Ok(Some((-0.02, 0.04))));
    assert_eq!(k.approximate_error_band_k(10.0), Ok(Some((-0.05, 0.04))));
    assert_eq!(k.approximate_error_band_k(30.0), Ok(Some((-0.05, 0.06))));
}
