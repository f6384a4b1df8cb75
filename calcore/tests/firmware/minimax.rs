//! Minimax polynomials and quotients: equioscillation, a general optimiser, and dense sampling against the proof.

use crate::curves::{DIRECTIONS, by_name, cases, dense, point};
use calcore::curves::{CallendarVanDusen, SensorCurve, Thermocouple};
use calcore::linearization::{
    Coefficients, Direction, FixedPoint, Minimax, MinimaxGoal, MinimaxOptions, Proof, minimax,
};

fn degrees(numerator: usize, denominator: usize) -> MinimaxGoal {
    MinimaxGoal::Degrees { numerator, denominator }
}

/// Largest error at dense temperatures; in single precision at the arguments that it can hold.
fn sampled(found: &Minimax, curve: &dyn SensorCurve, count: usize) -> f64 {
    let direction = found.options.direction;
    let single = found.options.coefficients == Coefficients::F32;
    dense(found.low_c, found.high_c, count)
        .into_iter()
        .map(|t_c| {
            let (mut x, mut y) = point(curve, direction, t_c);
            if single {
                x = f64::from(x as f32).clamp(found.low, found.high);
                y = match direction {
                    Direction::SignalToTemperature => curve.raw_temperature(x),
                    Direction::TemperatureToSignal => curve.raw_signal(x),
                };
            }
            (found.evaluate(x).unwrap() - y).abs()
        })
        .fold(0.0, f64::max)
}

/// Whether the error takes its largest size, in turn above and below, once more than there are unknowns (Chebyshev).
fn alternates(found: &Minimax, unknowns: usize) -> bool {
    let sizes: Vec<f64> = found.extremes.iter().map(|(_, e)| e.abs()).collect();
    let most = sizes.iter().fold(0.0f64, |m, s| m.max(*s));
    found.extremes.len() == unknowns + 1
        && found.extremes.windows(2).all(|pair| pair[0].1 * pair[1].1 < 0.0 && pair[0].0 < pair[1].0)
        && sizes.iter().all(|size| *size > 0.999 * most)
}

#[test]
fn polynomials_alternate_and_hold_their_proof() {
    for case in cases() {
        for direction in DIRECTIONS {
            for degree in [1, 4] {
                let options = MinimaxOptions { direction, ..MinimaxOptions::default() };
                let goal = degrees(degree, 0);
                let found = minimax(case.curve.as_ref(), case.low_c, case.high_c, goal, &options).unwrap();
                let size = point(case.curve.as_ref(), direction, case.high_c).1.abs();
                // Where the curve itself is such a polynomial only rounding is left.
                if found.largest_error < 1e-11 * size {
                    continue;
                }
                let what = format!("{}, {direction:?}, degree {degree}", case.name);
                assert!(alternates(&found, degree + 1), "{what}: {:?}", found.extremes);
                let seen = sampled(&found, case.curve.as_ref(), 4000);
                let proven = found.largest_error;
                assert!(seen <= proven && proven <= 1.01 * seen, "{what}: {seen:e} sampled, {proven:e} proven");
            }
        }
    }
}

// Witness: scipy, one linear program in Chebyshev polynomials (tests/oracle/linearization.py). Its samples miss the extremes
// by 1e-4 of the error at most, ours too.
#[test]
fn as_good_as_a_linear_program() {
    let text = include_str!("../../../tests/reference/linearization_minimax.csv");
    let mut rows = 0;
    for row in text.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |i: usize| cells[i].parse::<f64>().unwrap();
        let curve = by_name(cells[0]);
        let options =
            MinimaxOptions { direction: Direction::from_name(cells[1]).unwrap(), ..MinimaxOptions::default() };
        let goal = degrees(number(4) as usize, 0);
        let found = minimax(curve.as_ref(), number(2), number(3), goal, &options);
        let found = found.unwrap_or_else(|error| panic!("{row}: {error}"));
        let seen = sampled(&found, curve.as_ref(), 20_000);
        assert!((seen / number(5) - 1.0).abs() < 1e-3, "{row}: {seen}");
        rows += 1;
    }
    assert!(rows > 10);
}

/// The end of the text is "N/D reaches E K": a quotient of those degrees does.
fn reaches_what_it_says(curve: &dyn SensorCurve, low_c: f64, high_c: f64, options: &MinimaxOptions, text: &str) {
    let words: Vec<&str> = text.split_whitespace().collect();
    let [.., of, "reaches", error, "K"] = words[..] else { panic!("{text}") };
    let (n, d) = of.split_once('/').unwrap();
    let found = minimax(curve, low_c, high_c, degrees(n.parse().unwrap(), d.parse().unwrap()), options).unwrap();
    assert_eq!(format!("{:.3e}", found.largest_error), error, "{text}");
}

#[test]
fn quotients_alternate_hold_their_proof_and_gain() {
    let k = Thermocouple::new("K").unwrap();
    let r = Thermocouple::new("R").unwrap();
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    let curves: [(&dyn SensorCurve, f64, f64); 4] =
        [(&k, 100.0, 1200.0), (&k, -200.0, 0.0), (&r, 100.0, 1600.0), (&pt100, 0.0, 850.0)];
    for (curve, low_c, high_c) in curves {
        for (n, d) in [(1, 1), (2, 2), (4, 2), (5, 5)] {
            for coefficients in [Coefficients::F64, Coefficients::F32] {
                let options = MinimaxOptions { coefficients, ..MinimaxOptions::default() };
                let found = match minimax(curve, low_c, high_c, degrees(n, d), &options) {
                    Ok(found) => found,
                    // A quotient need not exist without a zero of its denominator; that is said, with what can be reached.
                    Err(error) => {
                        assert!(n + d > 8 && error.code() == 103, "{n}/{d} {curve:?}: {error}");
                        reaches_what_it_says(curve, low_c, high_c, &options, &error.to_string());
                        continue;
                    }
                };
                let seen = sampled(&found, curve, 20_000);
                let proven = found.largest_error;
                assert!(seen <= proven, "{curve:?} {n}/{d} {coefficients:?}: {seen:e} {proven:e}");
                // Where only rounding is left the allowance for it is the bound.
                if proven < 1e-10 * high_c.abs().max(low_c.abs()) {
                    continue;
                }
                // The rounding of all steps at their worst is met by few arguments; beside it 1 %.
                let exact = proven - found.rounding;
                assert!(exact <= 1.01 * seen, "{curve:?} {n}/{d} {coefficients:?}: {seen:e} {proven:e} {exact:e}");
                if coefficients == Coefficients::F64 && seen > 1e-7 {
                    assert!(alternates(&found, n + d + 1), "{curve:?} {n}/{d}: {:?}", found.extremes);
                }
            }
        }
    }
    // Pt100 above 0 °C is a square root: a quotient follows it far better than a polynomial of as many coefficients.
    let plain = MinimaxOptions::default();
    let polynomial = minimax(&pt100, 0.0, 850.0, degrees(4, 0), &plain).unwrap();
    let quotient = minimax(&pt100, 0.0, 850.0, degrees(2, 2), &plain).unwrap();
    assert!(quotient.largest_error < 0.2 * polynomial.largest_error);
}

#[test]
fn single_precision_and_integers_hold_their_proof() {
    let k = Thermocouple::new("K").unwrap();
    let (low_c, high_c) = (0.0, 1000.0);
    for degree in [2, 5, 8] {
        let options = MinimaxOptions { coefficients: Coefficients::F32, ..MinimaxOptions::default() };
        let found = minimax(&k, low_c, high_c, degrees(degree, 0), &options).unwrap();
        let seen = sampled(&found, &k, 100_000);
        let exact = found.largest_error - found.rounding;
        assert!(seen <= found.largest_error && exact <= 1.01 * seen, "{degree}: {seen} {exact}");
        // Seven digits hold 1000 °C within 1e-4 K; a sum of nine terms no worse than ten times that.
        assert!(found.rounding < 1e-3, "{}", found.rounding);
    }
    let coefficient = FixedPoint::new(32, 16, true).unwrap();
    for (argument, value, proof) in [
        (FixedPoint::new(16, 9, true).unwrap(), FixedPoint::new(16, 4, true).unwrap(), Proof::EveryReading),
        (FixedPoint::new(32, 20, true).unwrap(), FixedPoint::new(32, 12, true).unwrap(), Proof::Curvature),
    ] {
        for (n, d) in [(5, 0), (3, 2)] {
            let coefficients = Coefficients::Fixed { argument, value, coefficient };
            let options = MinimaxOptions { coefficients, ..MinimaxOptions::default() };
            let found = minimax(&k, low_c, high_c, degrees(n, d), &options).unwrap();
            assert_eq!(found.proof, proof);
            let last = (k.signal(high_c).unwrap() / argument.unit()).floor() as i64;
            let seen = (0..=last)
                .step_by(if proof == Proof::EveryReading { 1 } else { 101 })
                .map(|code| {
                    let t_c = SensorCurve::temperature(&k, argument.number(code)).unwrap();
                    (value.number(found.evaluate_code(code).unwrap()) - t_c).abs()
                })
                .fold(0.0, f64::max);
            let (proven, exact) = (found.largest_error, found.largest_error - found.rounding);
            assert!(seen <= proven && exact <= 1.01 * seen, "{n}/{d} {proof:?}: {seen} {proven} {exact}");
        }
    }
}

#[test]
fn an_error_is_kept_with_the_lowest_degree_or_refused() {
    let k = Thermocouple::new("K").unwrap();
    let plain = MinimaxOptions::default();
    let found = minimax(&k, 0.0, 1000.0, MinimaxGoal::LargestError(0.05), &plain).unwrap();
    assert!(found.largest_error <= 0.05);
    let lower = minimax(&k, 0.0, 1000.0, degrees(found.numerator.len() - 2, 0), &plain).unwrap();
    assert!(lower.largest_error > 0.05);
    let error = minimax(&k, 0.0, 1000.0, MinimaxGoal::LargestError(1e-12), &plain).unwrap_err();
    assert!(error.code() == 103 && error.to_string().contains("reach"), "{error}");
    assert_eq!(minimax(&k, 0.0, 1000.0, degrees(16, 0), &plain).map(|f| f.low).map_err(|e| e.code()), Err(103));
    assert_eq!(minimax(&k, -300.0, 1000.0, degrees(2, 0), &plain).map(|f| f.low).map_err(|e| e.code()), Err(102));
    // 1000 °C does not fit in 8 bits.
    let narrow = FixedPoint::new(8, 0, true).unwrap();
    let wide = FixedPoint::new(16, 9, true).unwrap();
    let coefficients = Coefficients::Fixed { argument: wide, value: wide, coefficient: narrow };
    let options = MinimaxOptions { coefficients, ..plain };
    let error = minimax(&k, 0.0, 1000.0, degrees(3, 0), &options).unwrap_err();
    assert!(error.to_string().contains("8 bits (signed, 0 behind the point) hold -128 to 127"), "{error}");
}
