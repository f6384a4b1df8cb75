//! Monte Carlo: draws against their distributions, published examples, the same bits on any number of threads, and
//! what is refused.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::float_cmp)]

use calcore::uncertainty::monte_carlo::{
    MonteCarlo, Settings, monte_carlo, monte_carlo_on_calling_thread, monte_carlo_with_progress, per_trial,
};
use calcore::uncertainty::{Coverage, Distribution, Input, propagate};
use calcore::{Error, Result};
use std::ops::ControlFlow;

fn normal(mean: f64, std: f64) -> Distribution {
    Distribution::normal(mean, std).expect("possible")
}

fn rectangle(low: f64, high: f64) -> Distribution {
    Distribution::rectangular(low, high).expect("possible")
}

fn inputs(distributions: &[Distribution]) -> Vec<Input> {
    distributions.iter().enumerate().map(|(i, d)| Input::new(format!("x{i}"), *d)).collect()
}

fn sum(columns: &[&[f64]], out: &mut [f64]) -> Result<()> {
    out.fill(0.0);
    for column in columns {
        for (y, x) in out.iter_mut().zip(*column) {
            *y += x;
        }
    }
    Ok(())
}

fn settings(trials: u64, seed: u64) -> Settings {
    Settings { trials, seed, ..Settings::default() }
}

/// Values of one of some inputs.
fn values_of(distributions: &[Distribution], correlation: Option<&[f64]>, which: usize, trials: u64) -> Vec<f64> {
    let keep = Settings { keep_values: true, ..settings(trials, 1) };
    let copy = |columns: &[&[f64]], out: &mut [f64]| {
        out.copy_from_slice(columns[which]);
        Ok(())
    };
    monte_carlo(copy, &inputs(distributions), correlation, &keep).expect("run").values.expect("kept")
}

/// Largest distance of the empirical from the wanted distribution function, times the root of the number: above 1.95
/// once in a thousand (Kolmogorov).
fn kolmogorov(mut values: Vec<f64>, distribution: &Distribution) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len() as f64;
    let mut largest = 0.0f64;
    for (i, x) in values.iter().enumerate() {
        let f = distribution.cdf(*x).expect("cdf");
        largest = largest.max((f - i as f64 / n).abs()).max(((i + 1) as f64 / n - f).abs());
    }
    largest * n.sqrt()
}

fn catalogue() -> Vec<Distribution> {
    let d = |d: Result<Distribution>| d.expect("possible");
    vec![
        normal(3.0, 2.0),
        d(Distribution::normal_with_degrees_of_freedom(3.0, 2.0, 4.0)),
        rectangle(-1.0, 4.0),
        d(Distribution::triangular(-1.0, 4.0)),
        d(Distribution::trapezoidal(-1.0, 4.0, 0.3)),
        d(Distribution::u_shaped(-1.0, 4.0)),
        d(Distribution::student_t(0.0, 1.0, 0.2)),
        d(Distribution::student_t(0.0, 1.0, 1.0)),
        d(Distribution::student_t(5.0, 0.1, 30.0)),
        d(Distribution::curvilinear_trapezoid(-1.0, 4.0, 1.0)),
        d(Distribution::exponential(2.0)),
        d(Distribution::gamma(0.4, 2.0)),
        d(Distribution::gamma(7.5, 2.0)),
    ]
}

#[test]
fn draws_follow_their_distributions() {
    let all = catalogue();
    for distribution in &all {
        let distance = kolmogorov(values_of(&[*distribution], None, 0, 20_000), distribution);
        assert!(distance < 1.95, "{distribution:?}: {distance}");
    }
}

#[test]
fn correlated_draws_keep_their_distributions_and_the_coefficient() {
    let pairs = [
        [normal(0.0, 1.0), normal(5.0, 3.0)],
        [rectangle(0.0, 1.0), rectangle(-1.0, 1.0)],
        [Distribution::exponential(1.0).expect("possible"), normal(0.0, 0.0)],
    ];
    let r: f64 = 0.8;
    let matrix = [1.0, r, r, 1.0];
    let n = 20_000;
    // For rectangles through normals: (6/π) asin(r/2), known for the normal copula (Pearson 1907).
    let expected = [r, 6.0 / std::f64::consts::PI * (r / 2.0).asin()];
    for (k, pair) in pairs.iter().enumerate() {
        let (x, y) = (values_of(pair, Some(&matrix), 0, n), values_of(pair, Some(&matrix), 1, n));
        assert!(kolmogorov(x.clone(), &pair[0]) < 1.95, "{pair:?}");
        if pair[1].standard_uncertainty() <= 0.0 {
            assert!(y.iter().all(|v| *v == 0.0));
            continue;
        }
        assert!(kolmogorov(y.clone(), &pair[1]) < 1.95, "{pair:?}");
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
        let (mx, my) = (mean(&x), mean(&y));
        let dot =
            |a: &[f64], ma: f64, b: &[f64], mb: f64| -> f64 { a.iter().zip(b).map(|(p, q)| (p - ma) * (q - mb)).sum() };
        let got = dot(&x, mx, &y, my) / (dot(&x, mx, &x, mx) * dot(&y, my, &y, my)).sqrt();
        // Standard error of a coefficient: (1 − r²)/√n, or 0.0025.
        assert!((got - expected[k]).abs() < 4.0 * (1.0 - r * r) / (n as f64).sqrt(), "{got} {}", expected[k]);
    }
}

#[test]
fn same_bits_on_any_number_of_threads() {
    let all = catalogue();
    let chosen: Vec<Distribution> = [0, 1, 2, 3, 4, 5, 8, 9, 10, 12].iter().map(|&i| all[i]).collect();
    let mut matrix = vec![0.0; 100];
    for i in 0..10 {
        matrix[i * 10 + i] = 1.0;
    }
    (matrix[2], matrix[20]) = (0.5, 0.5);
    let run = |threads, digits: Option<u32>| {
        let trials = if digits.is_none() { 31_234 } else { 131_234 };
        let s = Settings { threads, digits, keep_values: true, ..settings(trials, 7) };
        monte_carlo(sum, &inputs(&chosen), Some(&matrix), &s).expect("run")
    };
    for digits in [None, Some(1)] {
        let one = run(1, digits);
        for threads in [2, 5, 16] {
            assert_eq!(one, run(threads, digits));
        }
    }
    let other_seed = monte_carlo(sum, &inputs(&chosen), Some(&matrix), &settings(31_234, 8)).expect("run");
    assert_ne!(other_seed.mean, run(1, None).mean);
}

#[test]
fn a_model_of_the_calling_thread_gives_the_same_bits() {
    let chosen = &catalogue()[..10];
    for (digits, trials) in [(None, 41_234), (Some(1), 200_000)] {
        let s = |threads| Settings { threads, digits, keep_values: true, ..settings(trials, 7) };
        let want = monte_carlo(sum, &inputs(chosen), None, &s(1)).expect("run");
        for threads in [1, 2, 5] {
            let home = std::thread::current().id();
            let mut firsts = Vec::new();
            let mut told = Vec::new();
            let model = |columns: &mut [Vec<f64>], out: &mut [f64]| {
                assert_eq!(std::thread::current().id(), home);
                firsts.push(columns[0][0]);
                // Half of the arrays are taken away.
                let taken: Vec<Vec<f64>> = columns.iter_mut().step_by(2).map(std::mem::take).collect();
                let mut views: Vec<&[f64]> = Vec::new();
                for (i, column) in columns.iter().enumerate() {
                    views.push(if i % 2 == 0 { &taken[i / 2] } else { column });
                }
                sum(&views, out)
            };
            let tell = &mut |progress: calcore::uncertainty::monte_carlo::Progress| {
                told.push(progress.done);
                ControlFlow::Continue(())
            };
            let found = monte_carlo_on_calling_thread(model, &inputs(chosen), None, &s(threads), tell).expect("run");
            assert_eq!(found, want);
            assert!(told.is_sorted() && told.len() == firsts.len());
        }
    }
    // What the model says ends the run, whatever the other threads are about to do.
    for threads in [1, 3] {
        let mut calls = 0;
        let refuse = |_: &mut [Vec<f64>], _: &mut [f64]| {
            calls += 1;
            if calls > 3 { Err(Error::ModelFailed { message: "enough".into() }) } else { Ok(()) }
        };
        let s = Settings { threads, ..settings(200_000, 1) };
        let go_on = &mut |_| ControlFlow::Continue(());
        let error = monte_carlo_on_calling_thread(refuse, &inputs(chosen), None, &s, go_on).expect_err("refused");
        assert_eq!(error, Error::ModelFailed { message: "enough".into() });
        let none = |columns: &mut [Vec<f64>], out: &mut [f64]| {
            columns.fill(Vec::new());
            out.fill(f64::NAN);
            Ok(())
        };
        let error = monte_carlo_on_calling_thread(none, &inputs(&chosen[..1]), None, &s, go_on).expect_err("no number");
        let first = values_of(&chosen[..1], None, 0, 20_000)[0];
        assert!(error.to_string().contains(&format!("in trial 0 (counted from 0), at x0 = {first}")), "{error}");
    }
}

const MULTIVARIATE_T: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/reference/multivariate_t.csv");

/// Draws of two Student variables with scale 1.
fn bivariate(nu: f64, r: f64, together: bool, trials: u64, seed: u64) -> [Vec<f64>; 2] {
    let student = Distribution::student_t(0.0, 1.0, nu).expect("possible");
    let mut s = Settings { keep_values: true, histogram_classes: 0, ..settings(trials, seed) };
    if together {
        s.multivariate_t = vec![vec![0, 1]];
    }
    [0, 1].map(|which| {
        let copy = |columns: &[&[f64]], out: &mut [f64]| {
            out.copy_from_slice(columns[which]);
            Ok(())
        };
        let matrix = [1.0, r, r, 1.0];
        monte_carlo(copy, &inputs(&[student; 2]), Some(&matrix), &s).expect("run").values.expect("kept")
    })
}

#[test]
fn readings_taken_together_are_a_multivariate_t() {
    let n = 60_000;
    for line in std::fs::read_to_string(MULTIVARIATE_T).expect("reference file").lines().skip(1) {
        let fields: Vec<f64> = line.split(',').map(|f| f.parse().expect("number")).collect();
        let [nu, r, limit, both_above] = fields[..] else { panic!("{line}") };
        let [x, y] = bivariate(nu, r, true, n, 3);
        // Both corners, by symmetry: 2n draws.
        let corner = |a: &f64, b: &f64| (*a > limit && *b > limit) || (*a < -limit && *b < -limit);
        let share = x.iter().zip(&y).filter(|(a, b)| corner(a, b)).count() as f64 / (2 * n) as f64;
        let error = (both_above * (1.0 - 2.0 * both_above) / (2 * n) as f64).sqrt();
        assert!((share - both_above).abs() < 4.0 * error, "{line}: {share} ± {error}");
        let student = Distribution::student_t(0.0, 1.0, nu).expect("possible");
        assert!(kolmogorov(x, &student) < 1.95 && kolmogorov(y, &student) < 1.95, "{line}");
    }
    // The copula misses the common variable: with r = 0 its corner is the square of the tail, P(T > 2) = 0.058 058 with 4
    // degrees of freedom (JCGM 100:2008, table G.2, has 2.13 for 5 %), 0.0034 and not 0.0077.
    let [x, y] = bivariate(4.0, 0.0, false, n, 3);
    let share = x.iter().zip(&y).filter(|(a, b)| **a > 2.0 && **b > 2.0).count() as f64 / n as f64;
    assert!(share < 0.0045, "{share}");
}

#[test]
fn covariance_of_a_multivariate_t() {
    // ν/(ν − 2) S with S = (1, r; r, 1), for several seeds. With ν = 12 the variance of a product x y is
    // E x²y² − (E xy)² = (ν²/((ν − 2)(ν − 4)))(1 + 2r²) − (ν r/(ν − 2))²: moments of the normal over those of 1/χ².
    let (nu, r, n) = (12.0f64, 0.6f64, 20_000);
    let want = nu / (nu - 2.0) * r;
    let error = ((nu * nu / ((nu - 2.0) * (nu - 4.0)) * (1.0 + 2.0 * r * r) - want * want) / n as f64).sqrt();
    let mut squares = 0.0;
    for seed in 0..12 {
        let [x, y] = bivariate(nu, r, true, n, seed);
        let z = (x.iter().zip(&y).map(|(a, b)| a * b).sum::<f64>() / n as f64 - want) / error;
        squares += z * z;
    }
    // Chi-squared with 12 degrees of freedom is within 2.2 and 32.9 but once in a thousand.
    assert!(squares > 2.2 && squares < 32.9, "{squares}");
    // The same bits on any number of threads, with a group among other inputs.
    let student = Distribution::student_t(1.0, 2.0, nu).expect("possible");
    let mixed = inputs(&[normal(0.0, 1.0), student, rectangle(0.0, 1.0), student]);
    let run = |threads| {
        let s = Settings { threads, multivariate_t: vec![vec![1, 3]], ..settings(31_000, 5) };
        monte_carlo(sum, &mixed, None, &s).expect("run")
    };
    assert_eq!(run(1), run(3));
}

#[test]
fn what_cannot_be_read_together_is_refused() {
    let student = |nu| Distribution::student_t(0.0, 1.0, nu).expect("possible");
    let three = [student(4.0), student(5.0), normal(0.0, 1.0), student(4.0)];
    let linked = [1.0, 0.0, 0.5, 0.0, 0.0, 1.0, 0.0, 0.0, 0.5, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0];
    for (groups, matrix, text) in [
        (vec![vec![0, 1]], None, "must all have the same, 4 and not 5"),
        (vec![vec![0, 2]], None, "x2 must be Student's t"),
        (vec![vec![0, 9]], None, "there are 4 inputs"),
        (vec![vec![0, 3], vec![3]], None, "x3 is in there already"),
        (vec![vec![0, 3]], Some(&linked[..]), "between x0, of a multivariate t, and x2"),
    ] {
        let s = Settings { multivariate_t: groups, ..settings(10_000, 1) };
        let error = monte_carlo(sum, &inputs(&three), matrix, &s).expect_err("refused");
        assert_eq!(error.code(), 103);
        assert!(error.to_string().contains(text), "{error}");
    }
}

/// Published ends, with half a unit of the last printed digit and four standard errors of our own.
fn near(got: [f64; 2], errors: [f64; 2], want: [f64; 2], half_unit: f64) {
    for i in 0..2 {
        assert!((got[i] - want[i]).abs() < half_unit + 4.0 * errors[i], "{got:?} {errors:?} {want:?}");
    }
}

#[test]
fn additive_model_of_the_guide() {
    // JCGM 101:2008, 9.2.2: four standard normal inputs; u = 2.0, interval ±3.92.
    let four = inputs(&[normal(0.0, 1.0); 4]);
    let result = monte_carlo(sum, &four, None, &settings(100_000, 1)).expect("run");
    assert!((result.standard_uncertainty - 2.0).abs() < 4.0 * 2.0 / 200_000f64.sqrt());
    assert!(result.mean.abs() < 4.0 * result.mean_standard_error);
    near(result.interval_symmetric, result.interval_symmetric_standard_error, [-3.92, 3.92], 0.005);
    near(result.interval, result.interval_standard_error, [-3.92, 3.92], 0.005);
    let budget = propagate(|x| Ok(x.iter().sum()), &four, None, Coverage::Probability(0.95)).expect("budget");
    assert!(result.validates_symmetric(&budget, 1).expect("comparison").valid);
    // 9.2.3: rectangles of the same standard uncertainty; ±2√3 (2 − (3/5)^¼) = ±3.88, first order 3.92: 0.0405 off,
    // not the same to 3 digits (δ = 0.005), but to 1 (δ = 0.5).
    let a = 3.0f64.sqrt();
    let four = inputs(&[rectangle(-a, a); 4]);
    let result = monte_carlo(sum, &four, None, &settings(100_000, 2)).expect("run");
    let end = 3.879_406_741_347_821;
    near(result.interval_symmetric, result.interval_symmetric_standard_error, [-end, end], 0.0);
    let budget = propagate(|x| Ok(x.iter().sum()), &four, None, Coverage::Probability(0.95)).expect("budget");
    assert!((budget.expanded_uncertainty - 3.92).abs() < 0.005);
    let comparison = result.validates_symmetric(&budget, 3).expect("comparison");
    assert!(!comparison.valid);
    // 1.959 964 · 2 less the end above.
    for (found, error) in
        [comparison.difference_low, comparison.difference_high].iter().zip(result.interval_symmetric_standard_error)
    {
        assert!((found - 0.040_521_2).abs() < 4.0 * error, "{comparison:?} {error}");
    }
    assert!(result.validates_symmetric(&budget, 1).expect("comparison").valid);
    // 9.2.4: one rectangle ten times as wide: u = 10.1, ±17.0 against ±19.9.
    let mut wide = [rectangle(-a, a); 4];
    wide[3] = rectangle(-10.0 * a, 10.0 * a);
    let wide = inputs(&wide);
    let result = monte_carlo(sum, &wide, None, &settings(100_000, 3)).expect("run");
    assert!((result.standard_uncertainty - 10.1).abs() < 0.1);
    near(result.interval_symmetric, result.interval_symmetric_standard_error, [-17.0, 17.0], 0.05);
    let budget = propagate(|x| Ok(x.iter().sum()), &wide, None, Coverage::Probability(0.95)).expect("budget");
    assert!(!result.validates(&budget, 2).expect("comparison").valid);
}

fn mass(columns: &[&[f64]], out: &mut [f64]) -> Result<()> {
    let [m, dm, rho_a, rho_w, rho_r] = columns else { panic!("five inputs") };
    for (i, y) in out.iter_mut().enumerate() {
        *y = (m[i] + dm[i]) * (1.0 + (rho_a[i] - 1.2) * (1.0 / rho_w[i] - 1.0 / rho_r[i])) - 100_000.0;
    }
    Ok(())
}

#[test]
fn mass_calibration_of_the_guide() {
    // JCGM 101:2008, 9.3, tables 5 and 6: 1.2341, u = 0.0754, shortest interval 1.0834 to 1.3825; closed form u = 0.07548.
    let five = inputs(&[
        normal(100_000.0, 0.050),
        normal(1.234, 0.020),
        rectangle(1.10, 1.30),
        rectangle(7000.0, 9000.0),
        rectangle(7950.0, 8050.0),
    ]);
    let result = monte_carlo(mass, &five, None, &settings(100_000, 4)).expect("run");
    assert!((result.mean - 1.234).abs() < 4.0 * result.mean_standard_error);
    assert!((result.standard_uncertainty - 0.075_479_74).abs() < 4.0 * 0.0755 / 200_000f64.sqrt());
    // The printed ends are themselves a Monte Carlo result: an end from 6 million trials elsewhere is 1.08355, 1.38262.
    near(result.interval, result.interval_standard_error, [1.083_55, 1.382_62], 0.0005);
    let model = |x: &[f64]| {
        let mut y = [0.0];
        mass(&[&x[..1], &x[1..2], &x[2..3], &x[3..4], &x[4..5]], &mut y)?;
        Ok(y[0])
    };
    let budget = propagate(model, &five, None, Coverage::Probability(0.95)).expect("budget");
    // First order: u = 0.0539, interval 1.1285 to 1.3395, d = 0.0451 and 0.0430, δ = 0.005 with the digits of 0.054.
    assert!((budget.standard_uncertainty - 0.0539).abs() < 5e-5);
    assert!((budget.value - budget.expanded_uncertainty - 1.1285).abs() < 5.1e-5);
    let comparison = result.validates(&budget, 2).expect("comparison");
    assert!(!comparison.valid);
    let doubt = result.interval_standard_error.map(|e| 0.0005 + 4.0 * e);
    assert!((comparison.difference_low - 0.0451).abs() < doubt[0], "{comparison:?} {doubt:?}");
    assert!((comparison.difference_high - 0.0430).abs() < doubt[1], "{comparison:?} {doubt:?}");
}

#[test]
fn comparison_loss_of_the_guide() {
    // JCGM 101:2008, 9.4, in 1e-6: x1 = 0: 50, 50, 0 to 150; x1 = 0.010: 150, 112, 0 to 367. Closed forms of the
    // non-central chi-squared distribution: upper ends 149.787 and 366.005.
    for (x1, mean, u, end) in [(0.0, 50.0, 50.0, 149.787), (0.010, 150.0, 111.803, 366.005)] {
        let two = inputs(&[normal(x1, 0.005), normal(0.0, 0.005)]);
        let squares = |c: &[&[f64]], out: &mut [f64]| {
            for (i, y) in out.iter_mut().enumerate() {
                *y = 1e6 * (c[0][i] * c[0][i] + c[1][i] * c[1][i]);
            }
            Ok(())
        };
        let result = monte_carlo(squares, &two, None, &settings(50_000, 5)).expect("run");
        assert!((result.mean - mean).abs() < 4.0 * result.mean_standard_error);
        assert!((result.standard_uncertainty - u).abs() < 1.5, "{}", result.standard_uncertainty);
        // The shortest interval begins at the smallest values.
        assert!(result.interval[0] >= 0.0 && result.interval[0] < 2.0);
        assert!((result.interval[1] - end).abs() < 4.0 * result.interval_standard_error[1], "{result:?}");
    }
}

#[test]
fn an_adaptive_run_makes_no_more_trials_than_it_may() {
    let one = [Input::new("a", Distribution::normal(0.0, 1.0).expect("input"))];
    let run = |trials, coverage_probability| {
        let settings = Settings { trials, digits: Some(2), coverage_probability, ..Settings::default() };
        monte_carlo(sum, &one, None, &settings)
    };
    // Ten blocks of 10 000, or of 100/(1 - p), must be within what is allowed.
    assert_eq!(run(99_999, 0.95).map_err(|e| e.code()).map(|_| ()), Err(201));
    assert_eq!(run(100_000, 0.95).expect("run").trials, 100_000);
    assert_eq!(run(10_000_000, 0.9999).expect("run").trials, 10_000_000);
    let classes = Settings { histogram_classes: 1 << 62, ..Settings::default() };
    assert_eq!(monte_carlo(sum, &one, None, &classes).map_err(|e| e.code()).map(|_| ()), Err(102));
    assert_eq!(run(200_000_000, 0.999_99).map_err(|e| e.code()).map(|_| ()), Err(103));
}

#[test]
fn adaptive_runs_stop_when_stable_and_not_before_ten_blocks() {
    let four = inputs(&[normal(0.0, 1.0); 4]);
    let adaptive = Settings { digits: Some(1), ..settings(1_000_000, 3) };
    let result = monte_carlo(sum, &four, None, &adaptive).expect("run");
    assert_eq!((result.converged, result.tolerance), (Some(true), Some(0.5)));
    assert_eq!(result.trials, 100_000);
    let strict = Settings { digits: Some(4), ..settings(150_000, 3) };
    let result = monte_carlo(sum, &four, None, &strict).expect("run");
    assert_eq!((result.converged, result.trials), (Some(false), 150_000));
}

#[test]
fn scores_over_many_seeds_are_standard_normal() {
    // 200 seeds, 1000 trials each, of a linear model with mixed inputs: z of the mean. The sum of 200 squares is within
    // 137 and 275 but once in a thousand (chi-squared), the sum of z within ±3.3 √200.
    let mixed = inputs(&[normal(1.0, 2.0), rectangle(-3.0, 3.0), Distribution::u_shaped(0.0, 4.0).expect("possible")]);
    let variance: f64 = 4.0 + 3.0 + 2.0;
    let (mut total, mut squares) = (0.0, 0.0);
    for seed in 0..200 {
        let quick = Settings { threads: 1, histogram_classes: 0, ..settings(1000, seed) };
        let result = monte_carlo(sum, &mixed, None, &quick).expect("run");
        let z = (result.mean - 3.0) / (variance / 1000.0).sqrt();
        total += z;
        squares += z * z;
    }
    assert!(squares > 137.0 && squares < 275.0, "{squares}");
    assert!(total.abs() < 3.3 * 200f64.sqrt(), "{total}");
}

#[test]
fn linear_models_agree_with_first_order() {
    let mixed = inputs(&[normal(1.0, 2.0), rectangle(-3.0, 3.0), normal(0.0, 1.0)]);
    let matrix = [1.0, 0.0, 0.6, 0.0, 1.0, 0.0, 0.6, 0.0, 1.0];
    let weights = [1.0, -0.5, 2.0];
    let budget = propagate(
        |x| Ok(x.iter().zip(weights).map(|(x, w)| w * x).sum()),
        &mixed,
        Some(&matrix),
        Coverage::Probability(0.95),
    )
    .expect("budget");
    let model = per_trial(|x| Ok(x.iter().zip(weights).map(|(x, w)| w * x).sum()));
    let result = monte_carlo(model, &mixed, Some(&matrix), &settings(100_000, 9)).expect("run");
    // u² = 4 + 0.75 + 4 + 2 · 0.6 · 2 · 2 = 13.55.
    assert!((budget.standard_uncertainty - 13.55f64.sqrt()).abs() < 1e-9);
    assert!((result.standard_uncertainty / budget.standard_uncertainty - 1.0).abs() < 4.0 / 200_000f64.sqrt());
    assert!((result.mean - budget.value).abs() < 4.0 * result.mean_standard_error);
}

#[test]
fn stated_intervals_cover_as_often_as_they_say() {
    // 5 readings of a quantity that is 20, with a standard deviation of 0.3, and a certificate that is off by something
    // normal with 0.1: how often does y ± U cover 20? Each trial is one calibration, its result 1 or 0.
    let mut drawn = vec![normal(20.0, 0.3); 5];
    let trials = 4000;
    let simulate = |drawn: &[Distribution], certificate: f64| -> MonteCarlo {
        let model = per_trial(|x| {
            let (readings, rest) = x.split_at(5);
            let mean = readings.iter().sum::<f64>() / 5.0;
            let s = (readings.iter().map(|r| (r - mean) * (r - mean)).sum::<f64>() / 4.0).sqrt();
            let known = [
                Input::new("readings", Distribution::normal_with_degrees_of_freedom(mean, s / 5f64.sqrt(), 4.0)?),
                Input::new("certificate", Distribution::normal(0.0, certificate)?),
            ];
            let budget = propagate(|x| Ok(x[0] + x[1]), &known, None, Coverage::Probability(0.95))?;
            let error = budget.value + rest.iter().sum::<f64>() - 20.0;
            Ok(if error.abs() <= budget.expanded_uncertainty { 1.0 } else { 0.0 })
        });
        monte_carlo(model, &inputs(drawn), None, &settings(trials, 11)).expect("run")
    };
    let error = (0.95f64 * 0.05 / trials as f64).sqrt();
    // Readings alone: exact (Student). With the certificate the effective degrees of freedom are an approximation, good
    // to a percent or so.
    let alone = simulate(&drawn, 0.0).mean;
    assert!((alone - 0.95).abs() < 4.0 * error, "{alone}");
    drawn.push(normal(0.0, 0.1));
    let both = simulate(&drawn, 0.1).mean;
    assert!((both - 0.95).abs() < 4.0 * error + 0.01, "{both}");
}

#[test]
fn what_cannot_be_done_is_refused_with_its_reason() {
    let one = inputs(&[normal(0.0, 1.0)]);
    let few = monte_carlo(sum, &one, None, &settings(100, 0)).unwrap_err();
    assert_eq!(few.code(), 201);
    assert!(few.to_string().contains("at least 200 points, got 100"), "{few}");
    let probability = Settings { coverage_probability: 1.0, ..Settings::default() };
    assert_eq!(monte_carlo(sum, &one, None, &probability).unwrap_err().code(), 102);
    assert_eq!(monte_carlo(sum, &one, Some(&[1.0, 0.0, 0.0, 1.0]), &settings(1000, 0)).unwrap_err().code(), 105);
    // The draw that did it is named, and it is the same one on any number of threads.
    let messages: Vec<String> = [1, 3]
        .iter()
        .map(|&threads| {
            let s = Settings { threads, ..settings(100_000, 0) };
            monte_carlo(per_trial(|x| Ok(if x[0] > 3.9 { f64::NAN } else { x[0] })), &one, None, &s)
                .unwrap_err()
                .to_string()
        })
        .collect();
    assert_eq!(messages[0], messages[1]);
    assert!(messages[0].starts_with("the model failed: it gives NaN in trial "), "{}", messages[0]);
    let value: f64 = messages[0].rsplit("x0 = ").next().and_then(|s| s.parse().ok()).expect("value at the end");
    assert!(value > 3.9);
    // The model's own error comes through.
    let own = per_trial(|_| Err(Error::ModelFailed { message: "no".into() }));
    assert_eq!(monte_carlo(own, &one, None, &settings(1000, 0)).unwrap_err().to_string(), "the model failed: no");
    // Distributions without a standard deviation can be drawn.
    let cauchy = inputs(&[Distribution::student_t(0.0, 1.0, 1.0).expect("possible")]);
    assert!(monte_carlo(sum, &cauchy, None, &settings(1000, 0)).is_ok());
    assert!(propagate(|x| Ok(x[0]), &cauchy, None, Coverage::Factor(2.0)).is_err());
}

#[test]
fn a_run_can_be_watched_and_stopped() {
    let one = inputs(&[normal(0.0, 1.0)]);
    let mut seen = Vec::new();
    let s = Settings { threads: 1, ..settings(50_000, 0) };
    let watched = monte_carlo_with_progress(sum, &one, None, &s, &mut |p| {
        seen.push(p.done);
        ControlFlow::Continue(())
    });
    assert!(watched.is_ok());
    assert_eq!(seen, [10_000, 20_000, 30_000, 40_000, 50_000]);
    let stopped = monte_carlo_with_progress(sum, &one, None, &s, &mut |p| {
        if p.done >= 20_000 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    });
    assert_eq!(stopped, Err(Error::Cancelled { what: "Monte Carlo", done: 20_000, total: 50_000 }));
}
