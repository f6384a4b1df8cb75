//! Measurement models of the core against sensitivities with more digits, and many points against one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use calcore::Result;
use calcore::curves::{CallendarVanDusen, Invalid, SensorCurve, Thermocouple};
use calcore::uncertainty::measurement_model::{AtPoints, PointBudgets, PointInput, PointOptions};
use calcore::uncertainty::measurement_model::{MeasurementModel, Place, Term};
use calcore::uncertainty::monte_carlo::{Settings, monte_carlo};
use calcore::uncertainty::{Budget, Coverage, Distribution, Input};
use std::sync::Arc;

const INPUTS: &str = include_str!("../../tests/reference/measurement_models.csv");
const RESULTS: &str = include_str!("../../tests/reference/measurement_models_results.csv");
const P95: Coverage = Coverage::Probability(0.95);

fn place(name: &str) -> Place {
    use Place::{Divisor, Factor, Junction, Reading, Relative};
    let known = [Reading, Junction, Factor, Divisor, Relative, Place::Result];
    known.into_iter().find(|place| place.name() == name).unwrap_or_else(|| panic!("place {name}"))
}

fn pt100() -> Arc<dyn SensorCurve> {
    Arc::new(CallendarVanDusen::iec60751(100.0).unwrap())
}

/// A case of the table: its model, inputs, sensitivities, and the row of its results.
type Case = (MeasurementModel, Vec<Distribution>, Vec<f64>, Vec<f64>);

fn cases() -> Vec<Case> {
    let number = |text: &str| text.parse::<f64>().expect("number");
    let mut cases = Vec::new();
    for line in RESULTS.lines().skip(1) {
        let result: Vec<&str> = line.split(',').collect();
        let rows: Vec<Vec<&str>> =
            INPUTS.lines().map(|row| row.split(',').collect::<Vec<_>>()).filter(|row| row[0] == result[0]).collect();
        let terms = rows.iter().map(|row| Term::new(row[1], place(row[2]), number(row[3]))).collect();
        let inputs = rows.iter().map(|row| {
            Distribution::normal_with_degrees_of_freedom(number(row[4]), number(row[5]), number(row[6])).unwrap()
        });
        let model = match result[1] {
            "linear" => MeasurementModel::linear(terms),
            "temperature_pt100" => MeasurementModel::temperature(pt100(), terms),
            "signal_pt100" => MeasurementModel::signal(pt100(), terms),
            "temperature_type_k" => MeasurementModel::temperature(Arc::new(Thermocouple::new("K").unwrap()), terms),
            other => panic!("chain {other}"),
        };
        let model = model.unwrap().with_weight(number(result[2])).unwrap();
        let sensitivities = rows.iter().map(|row| number(row[7])).collect();
        cases.push((model, inputs.collect(), sensitivities, result[3..].iter().map(|x| number(x)).collect()));
    }
    assert_eq!(cases.len(), 6);
    cases
}

/// Temperatures are good to 2.5e-13 K, slopes to a few roundings; a difference of two numbers of some hundred loses three
/// digits of its value.
#[test]
fn budgets_of_the_table() {
    for (model, inputs, sensitivities, result) in cases() {
        let budget = model.budget(&inputs, None, P95).unwrap();
        assert!((budget.value - result[0]).abs() < 3e-13, "{budget:?}");
        for (line, want) in budget.contributions.iter().zip(&sensitivities) {
            assert!((line.sensitivity / want - 1.0).abs() < 1e-14, "{line:?} {want}");
        }
        assert!((budget.standard_uncertainty / result[1] - 1.0).abs() < 1e-14, "{budget:?}");
        // Fourth powers: four times as much.
        assert!((budget.effective_degrees_of_freedom / result[2] - 1.0).abs() < 4e-14, "{budget:?}");
    }
}

/// JCGM 100:2008, G.4.1: y = b x1 x2 x3, 0.25 % (9), 0.57 % (4), 0.82 % (14): 1.03 %, ν 19.0, U95 2.2 %.
#[test]
fn a_product_of_the_guide() {
    let terms = vec![
        Term::new("b", Place::Reading, 1.0),
        Term::new("x1", Place::Factor, 1.0),
        Term::new("x2", Place::Factor, 1.0),
        Term::new("x3", Place::Factor, 1.0),
    ];
    let model = MeasurementModel::linear(terms).unwrap();
    let input = |u, nu| Distribution::normal_with_degrees_of_freedom(1.0, u, nu).unwrap();
    let inputs = [input(0.0, f64::INFINITY), input(0.0025, 9.0), input(0.0057, 4.0), input(0.0082, 14.0)];
    let budget = model.budget(&inputs, None, P95).unwrap();
    assert!((100.0 * budget.standard_uncertainty - 1.03).abs() < 0.005);
    assert!((budget.effective_degrees_of_freedom - 19.0).abs() < 0.05);
    assert!((100.0 * budget.expanded_uncertainty - 2.2).abs() < 0.05);
}

/// JCGM 100:2008, 5.2.2 example: ten resistors against one standard, 1.0 Ω together, 0.32 Ω if apart.
#[test]
fn correlated_inputs() {
    let terms = (0..10).map(|i| Term::new(format!("R{i}"), Place::Reading, 1.0)).collect();
    let model = MeasurementModel::linear(terms).unwrap();
    let inputs = [Distribution::normal(1000.0, 0.1).unwrap(); 10];
    let together = model.budget(&inputs, Some(&[1.0; 100]), P95).unwrap();
    assert!((together.standard_uncertainty - 1.0).abs() < 1e-14);
    assert!((model.budget(&inputs, None, P95).unwrap().standard_uncertainty - 0.1f64.sqrt()).abs() < 1e-15);
    let points: Vec<PointInput<'_>> = inputs.iter().map(PointInput::from).collect();
    let found = model.at_points(&points, Some(&[1.0; 100]), &options()).unwrap();
    same(&found, 0, &together, 10, 1);
}

fn options() -> PointOptions {
    PointOptions { coverage: P95, invalid: Invalid::Raise, contributions: true }
}

/// A point of many has the bits of its own budget.
fn same(found: &PointBudgets, i: usize, budget: &Budget, inputs: usize, points: usize) {
    let many = [
        found.values[i],
        found.standard_uncertainties[i],
        found.effective_degrees_of_freedom[i],
        found.coverage_factors[i],
        found.expanded_uncertainties[i],
    ];
    let one = [
        budget.value,
        budget.standard_uncertainty,
        budget.effective_degrees_of_freedom,
        budget.coverage_factor,
        budget.expanded_uncertainty,
    ];
    assert_eq!(many.map(f64::to_bits), one.map(f64::to_bits), "point {i}: {many:?} {one:?}");
    for row in 0..inputs {
        let (a, b) = (found.contributions[row * points + i], budget.contributions[row].contribution);
        assert_eq!(a.to_bits(), b.to_bits(), "point {i}, input {row}: {a:e} {b:e}");
    }
}

/// All results but the contributions.
fn bits(found: &PointBudgets) -> Vec<u64> {
    let parts = [
        &found.values,
        &found.standard_uncertainties,
        &found.effective_degrees_of_freedom,
        &found.coverage_factors,
        &found.expanded_uncertainties,
    ];
    parts.into_iter().flatten().map(|x| x.to_bits()).collect()
}

/// Every case at 1300 points (more than two blocks), each input once the same at all points and once another at each.
#[test]
fn many_points_have_the_bits_of_one() {
    const POINTS: usize = 1300;
    for (model, inputs, _, _) in cases() {
        for varied in 0..=inputs.len() {
            // Slow drifts within the ranges of the curves; the sizes of uncertainties and degrees of freedom too.
            let drift = |i: usize, size: f64| 1.0 + size * (i as f64 / POINTS as f64 - 0.5);
            let columns: Vec<[Vec<f64>; 3]> = inputs
                .iter()
                .map(|input| {
                    let (x, u, nu) = (input.mean(), input.standard_uncertainty(), input.degrees_of_freedom());
                    [(x, 0.2), (u, 0.9), (nu, 0.5)].map(|(x, size)| (0..POINTS).map(|i| x * drift(i, size)).collect())
                })
                .collect();
            let each = |k: usize| varied == inputs.len() || varied == k;
            let points: Vec<PointInput<'_>> = columns
                .iter()
                .enumerate()
                .map(|(k, [x, u, nu])| {
                    if each(k) {
                        PointInput {
                            estimate: AtPoints::Each(x),
                            standard_uncertainty: AtPoints::Each(u),
                            degrees_of_freedom: AtPoints::Each(nu),
                        }
                    } else {
                        PointInput::from(&inputs[k])
                    }
                })
                .collect();
            let found = model.at_points(&points, None, &options()).unwrap();
            // Without contributions the squares are added up another way.
            let alone = model.at_points(&points, None, &PointOptions { contributions: false, ..options() }).unwrap();
            assert!(alone.contributions.is_empty());
            assert_eq!(bits(&alone), bits(&found));
            for i in (0..POINTS).step_by(7).chain([511, 512, 1023, 1024, POINTS - 1]) {
                let here: Vec<Distribution> = (0..inputs.len())
                    .map(|k| {
                        let [x, u, nu] = &columns[k];
                        if each(k) {
                            Distribution::normal_with_degrees_of_freedom(x[i], u[i], nu[i]).unwrap()
                        } else {
                            inputs[k]
                        }
                    })
                    .collect();
                same(&found, i, &model.budget(&here, None, P95).unwrap(), inputs.len(), POINTS);
            }
        }
    }
}

/// Contributions whose squares would vanish, or do: the same unit as for one point.
#[test]
fn very_small_uncertainties() {
    let model =
        MeasurementModel::linear(vec![Term::new("a", Place::Reading, 1.0), Term::new("b", Place::Reading, 1.0)])
            .unwrap();
    for u in [0.0, 3e-170, 3e-80, 3e80] {
        let inputs = [Distribution::normal(1.0, u).unwrap(), Distribution::normal(1.0, u / 3.0 * 4.0).unwrap()];
        let points: Vec<PointInput<'_>> = inputs.iter().map(PointInput::from).collect();
        let found = model.at_points(&points, None, &options()).unwrap();
        same(&found, 0, &model.budget(&inputs, None, P95).unwrap(), 2, 1);
        assert!((found.standard_uncertainties[0] - u / 3.0 * 5.0).abs() <= 1e-15 * u);
    }
}

/// Eleven readings in a row, more than are taken together, before, between and after other places.
#[test]
fn many_readings_in_a_row_have_the_bits_of_one() {
    let places =
        [Place::Reading; 11].into_iter().chain([Place::Divisor, Place::Reading, Place::Result, Place::Reading]);
    let terms: Vec<Term> =
        places.enumerate().map(|(i, place)| Term::new(format!("x{i}"), place, 0.7 + 0.1 * i as f64)).collect();
    let model = MeasurementModel::temperature(pt100(), terms).unwrap();
    let inputs: Vec<Distribution> =
        (0..15).map(|i| Distribution::normal(10.0 + f64::from(i), 0.01 / (1.0 + f64::from(i))).unwrap()).collect();
    let mut points: Vec<PointInput<'_>> = inputs.iter().map(PointInput::from).collect();
    // 0.7 (x − 10) more than at the estimates, and the divisor 1.8 · 21 makes ohm of it.
    let wide = [9000.0, 4000.0, 9500.0];
    points[0].estimate = AtPoints::Each(&wide);
    let found = model.at_points(&points, None, &PointOptions { contributions: false, ..options() }).unwrap();
    for (i, &x) in wide.iter().enumerate() {
        let mut here = inputs.clone();
        here[0] = Distribution::normal(x, 0.01).unwrap();
        same(&found, i, &model.budget(&here, None, P95).unwrap(), 0, 3);
    }
}

#[test]
fn refusals_name_the_point() {
    let model = MeasurementModel::temperature(
        pt100(),
        vec![Term::new("ohm", Place::Reading, 1.0), Term::new("axial", Place::Result, 1.0)],
    )
    .unwrap();
    let at = |ohm: &[f64], u: &[f64], invalid| -> Result<PointBudgets> {
        let ohm = PointInput {
            estimate: AtPoints::Each(ohm),
            standard_uncertainty: AtPoints::Each(u),
            degrees_of_freedom: AtPoints::One(5.0),
        };
        let axial = PointInput::from(&Distribution::normal(0.0, 0.01)?);
        model.at_points(&[ohm, axial], None, &PointOptions { invalid, ..options() })
    };
    let raise = |ohm: &[f64], u: &[f64]| at(ohm, u, Invalid::Raise).unwrap_err().to_string();
    let told = raise(&[100.0, 900.0, f64::NAN], &[0.1; 3]);
    assert!(told.starts_with("resistance 900 ohm is outside") && told.ends_with("(element 1, first of 2)"), "{told}");
    assert_eq!(
        raise(&[100.0, 100.0], &[0.1, -0.1]),
        "standard uncertainty is -0.1: it must be a finite number that is not negative (element 1, first of 1)"
    );
    assert_eq!(raise(&[100.0, 100.0], &[0.1]), "input of the model has 1 elements, expected 2");
    let found = at(&[100.0, f64::NAN, 900.0, 138.5055], &[0.1, 0.1, 0.1, f64::NAN], Invalid::Nan).unwrap();
    assert!(found.values[0].abs() < 1e-12 && found.coverage_factors[0] > 2.0);
    for i in 1..4 {
        assert!(found.values[i].is_nan() && found.expanded_uncertainties[i].is_nan(), "{found:?}");
        assert!(found.contributions[i].is_nan() && found.contributions[4 + i].is_nan());
    }
    assert!(at(&[100.0], &[-0.1], Invalid::Nan).is_err());
}

/// Which points have nothing but NaN where what is missing may be NaN.
fn missing(model: &MeasurementModel, inputs: &[PointInput<'_>]) -> Vec<bool> {
    let options = PointOptions { invalid: Invalid::Nan, contributions: false, ..options() };
    let found = model.at_points(inputs, None, &options).unwrap();
    let columns = [
        &found.values,
        &found.standard_uncertainties,
        &found.effective_degrees_of_freedom,
        &found.expanded_uncertainties,
    ];
    (0..found.values.len()).map(|i| columns.iter().all(|column| column[i].is_nan())).collect()
}

fn exact(estimate: AtPoints<'_>) -> PointInput<'_> {
    let (standard_uncertainty, degrees_of_freedom) = (AtPoints::One(0.01), AtPoints::One(f64::INFINITY));
    PointInput { estimate, standard_uncertainty, degrees_of_freedom }
}

/// What is missing or out of range at one point is missing there alone, in fast blocks and in slow ones.
#[test]
fn a_missing_point_is_the_only_one() {
    let reading = |places: &[Place]| {
        places.iter().enumerate().map(|(i, place)| Term::new(format!("x{i}"), *place, 1.0)).collect::<Vec<_>>()
    };
    let single = reading(&[Place::Reading]);
    // The range of the curve is 18.52 to 390.48 ohm; -200 to 850 °C. The quadratic equation goes on well beyond.
    let ohm = [14.0, 100.0, 400.0, 18.6];
    let by_ohm = MeasurementModel::temperature(pt100(), single.clone()).unwrap();
    assert_eq!(missing(&by_ohm, &[exact(AtPoints::Each(&ohm))]), [true, false, true, false]);
    let t_c = [-201.0, 0.0, 851.0, 850.0];
    let by_t_c = MeasurementModel::signal(pt100(), single.clone()).unwrap();
    assert_eq!(missing(&by_t_c, &[exact(AtPoints::Each(&t_c))]), [true, false, true, false]);
    // Degrees of freedom that are missing are not infinite.
    let linear = MeasurementModel::linear(single).unwrap();
    let nu = [f64::NAN, 5.0];
    let with_nu = PointInput { degrees_of_freedom: AtPoints::Each(&nu), ..exact(AtPoints::Each(&[1.0, 2.0])) };
    assert_eq!(missing(&linear, &[with_nu]), [true, false]);
    // A number that is missing at all points does not raise what one that is missing at each does not.
    let divided = MeasurementModel::linear(reading(&[Place::Reading, Place::Divisor])).unwrap();
    for x in [f64::NAN, 0.0] {
        let divisors = [x, 1.0];
        let both = [exact(AtPoints::Each(&[1.0, 2.0])), exact(AtPoints::One(x))];
        assert_eq!(missing(&divided, &both), [true, true]);
        let both = [exact(AtPoints::Each(&[1.0, 2.0])), exact(AtPoints::Each(&divisors))];
        assert_eq!(missing(&divided, &both), [true, false]);
    }
    let k = Arc::new(Thermocouple::new("K").unwrap());
    let junction = MeasurementModel::temperature(k, reading(&[Place::Reading, Place::Junction])).unwrap();
    for x in [f64::NAN, 1e4] {
        let both = [exact(AtPoints::Each(&[1.0, 2.0])), exact(AtPoints::One(x))];
        assert_eq!(missing(&junction, &both), [true, true]);
    }
}

#[test]
fn impossible_models() {
    let code = |place, k| MeasurementModel::linear(vec![Term::new("x", place, k)]).map_err(|e| e.code()).map(|_| ());
    assert_eq!(code(Place::Reading, f64::NAN), Err(101));
    assert_eq!(code(Place::Factor, 0.0), Err(103));
    assert_eq!(code(Place::Junction, 1.0), Err(103));
    let twice = vec![Term::new("x", Place::Reading, 1.0), Term::new("x", Place::Result, 1.0)];
    assert_eq!(MeasurementModel::linear(twice).map_err(|e| e.code()).map(|_| ()), Err(104));
    let divided =
        MeasurementModel::linear(vec![Term::new("x", Place::Reading, 1.0), Term::new("r0", Place::Divisor, 1.0)])
            .unwrap();
    let error = divided.value(&[1.0, 0.0]).unwrap_err();
    assert_eq!(error.to_string(), "factor is 0: r0 must not be 0");
    assert_eq!(divided.value(&[1.0]).map_err(|e| e.code()), Err(105));
    let by_type_k = MeasurementModel::temperature(
        Arc::new(Thermocouple::new("K").unwrap()),
        vec![Term::new("emf", Place::Reading, 1.0)],
    )
    .unwrap();
    assert_eq!(by_type_k.value(&[60.0]).map_err(|e| e.code()), Err(102));
    assert!(divided.with_weight(f64::INFINITY).is_err());
}

#[test]
fn trials_are_the_values_of_the_model() {
    for (model, inputs, _, _) in cases() {
        // 1300 trials, more than two blocks, that wander by up to a standard uncertainty around the estimates.
        let columns: Vec<Vec<f64>> = inputs
            .iter()
            .enumerate()
            .map(|(k, input)| {
                let irrational = f64::from(7 + 4 * k as u32).sqrt();
                let spread = input.standard_uncertainty();
                (0..1300).map(|i| input.mean() + spread * (2.0 * (f64::from(i) * irrational).fract() - 1.0)).collect()
            })
            .collect();
        let views: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        let mut values = vec![0.0; 1300];
        model.trials(&views, &mut values).unwrap();
        for (i, value) in values.iter().enumerate() {
            let point: Vec<f64> = columns.iter().map(|column| column[i]).collect();
            assert_eq!(value.to_bits(), model.value(&point).unwrap().to_bits(), "trial {i}");
        }
        assert_eq!(model.trials(&views[1..], &mut values).map_err(|e| e.code()), Err(105));
    }
}

#[test]
fn monte_carlo_stands_up_to_the_budget() {
    for (model, inputs, _, _) in cases() {
        let named: Vec<Input> =
            model.terms().iter().zip(&inputs).map(|(term, input)| Input::new(&term.name, *input)).collect();
        let settings = Settings { trials: 100_000, seed: 4, ..Settings::default() };
        let run = |threads| {
            let settings = Settings { threads, ..settings.clone() };
            monte_carlo(|columns, values| model.trials(columns, values), &named, None, &settings).unwrap()
        };
        let found = run(1);
        assert_eq!(found, run(3));
        // First order by the table; normal inputs with finite degrees of freedom are drawn as Student's t, whose standard
        // deviation is larger, so that those are compared by their own: √(ν/(ν − 2)).
        let mut sensitivities = vec![0.0; inputs.len()];
        let estimates: Vec<f64> = inputs.iter().map(Distribution::mean).collect();
        let value = model.sensitivities(&estimates, &mut sensitivities).unwrap();
        let variance: f64 = inputs
            .iter()
            .zip(&sensitivities)
            .map(|(input, c)| {
                let nu = input.degrees_of_freedom();
                let growth = if nu.is_finite() { nu / (nu - 2.0) } else { 1.0 };
                growth * (c * input.standard_uncertainty()).powi(2)
            })
            .sum();
        // Four standard errors; a standard deviation scatters by u/√(2M), by more where the tails are heavy (ν > 4: by
        // the excess kurtosis 6/(ν − 4), here at most 3), and second order is below 1e-3 of these models.
        let u = variance.sqrt();
        assert!((found.mean - value).abs() < 4.0 * found.mean_standard_error + 1e-3 * u, "{found:?} {value}");
        assert!((found.standard_uncertainty / u - 1.0).abs() < 4.0 * (4.0 / 200_000.0f64).sqrt(), "{found:?} {u}");
    }
    // A reading that falls outside the curve ends the run with its limits.
    let model = MeasurementModel::temperature(pt100(), vec![Term::new("ohm", Place::Reading, 1.0)]).unwrap();
    let wild = [Input::new("ohm", Distribution::normal(380.0, 10.0).unwrap())];
    let run = monte_carlo(|columns, values| model.trials(columns, values), &wild, None, &Settings::default());
    assert_eq!(run.map_err(|e| e.code()).map(|_| ()), Err(102));
}
