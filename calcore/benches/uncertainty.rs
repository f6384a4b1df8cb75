//! Speed of budgets, of Monte Carlo and of the Student quantile.
//!
//! Ten inputs (four normal, four rectangular, one triangular, one arcsine) of the temperature that a platinum thermometer
//! shows at 100 °C, and of what disturbs it; the data are invented. Within a group the ratio of the times is the figure.
#![allow(missing_docs)]

use calcore::Result;
use calcore::curves::{CallendarVanDusen, Invalid};
use calcore::uncertainty::coverage::coverage_factor;
use calcore::uncertainty::dual::{Dual64, DualNum, propagate_dual};
use calcore::uncertainty::measurement_model::{AtPoints, MeasurementModel, Place, PointInput, PointOptions, Term};
use calcore::uncertainty::monte_carlo::{Settings, monte_carlo, per_trial};
use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution, Input, propagate};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use statrs::distribution::{ContinuousCDF, StudentsT};
use std::hint::black_box;
use std::sync::Arc;

const TRIALS: u64 = 1_000_000;

const POINTS: usize = 10_000;

/// Coefficients of IEC 60751:2022, clause 4.2.
const A: f64 = 3.9083e-3;
const B: f64 = -5.775e-7;

fn inputs() -> Result<[Input; 10]> {
    let rectangle = |half: f64| Distribution::rectangular(-half, half);
    Ok([
        Input::new("ohm", Distribution::normal(138.5055, 0.002)?),
        Input::new("r0", Distribution::normal(100.0, 0.003)?),
        Input::new("drift", Distribution::normal(0.0, 0.001)?),
        Input::new("noise", Distribution::normal(0.0, 0.002)?),
        Input::new("step", rectangle(0.0005)?),
        Input::new("leads", rectangle(0.001)?),
        Input::new("emf", rectangle(0.001)?),
        Input::new("heat", rectangle(0.0005)?),
        Input::new("axial", Distribution::triangular(-0.01, 0.01)?),
        Input::new("cycle", Distribution::u_shaped(-0.005, 0.005)?),
    ])
}

/// Temperature by the quadratic equation, and what is added to it.
fn temperature<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> Result<D> {
    let w = (x[0] + x[2] + x[3] + x[4] + x[5] + x[6] + x[7]) / x[1];
    let root = ((w - 1.0) * (4.0 * B) + A * A).sqrt();
    Ok((root - A) / (2.0 * B) + x[8] + x[9])
}

fn from_sensitivities(inputs: &[Input], value: f64, sensitivities: &[f64]) -> Result<Budget> {
    let mut lines = Vec::with_capacity(inputs.len());
    for (input, sensitivity) in inputs.iter().zip(sensitivities) {
        lines.push(Contribution::of(input.name.as_str(), &input.distribution, *sensitivity)?);
    }
    Budget::from_contributions(value, lines, Coverage::Probability(0.95))
}

/// The same as a model of the core.
fn model() -> Result<MeasurementModel> {
    let mut terms = vec![Term::new("ohm", Place::Reading, 1.0), Term::new("r0", Place::Divisor, 0.01)];
    for name in ["drift", "noise", "step", "leads", "emf", "heat"] {
        terms.push(Term::new(name, Place::Reading, 1.0));
    }
    terms.extend(["axial", "cycle"].map(|name| Term::new(name, Place::Result, 1.0)));
    MeasurementModel::temperature(Arc::new(CallendarVanDusen::iec60751(100.0)?), terms)
}

fn points(criterion: &mut Criterion) {
    let (Ok(inputs), Ok(model)) = (inputs(), model()) else { return };
    let ohm: Vec<f64> = (0..POINTS).map(|i| 100.5 + 280.0 * i as f64 / POINTS as f64).collect();
    let mut columns: Vec<PointInput<'_>> = inputs.iter().map(|input| PointInput::from(&input.distribution)).collect();
    columns[0].estimate = AtPoints::Each(&ohm);
    let mut group = criterion.benchmark_group("first order, ten inputs, 10^4 set points");
    group.throughput(Throughput::Elements(POINTS as u64));
    for contributions in [false, true] {
        let options = PointOptions { coverage: Coverage::Factor(2.0), invalid: Invalid::Raise, contributions };
        group.bench_function(format!("contributions: {contributions}"), |b| {
            b.iter(|| model.at_points(black_box(&columns), None, &options));
        });
    }
    group.finish();
}

fn first_order(criterion: &mut Criterion) {
    let Ok(inputs) = inputs() else { return };
    let coverage = Coverage::Probability(0.95);
    let Ok(known) = propagate_dual(temperature::<Dual64>, &inputs, None, coverage) else { return };
    let sensitivities: Vec<f64> = known.contributions.iter().map(|line| line.sensitivity).collect();
    let mut group = criterion.benchmark_group("first order, ten inputs, a budget");
    group.bench_function("known sensitivities", |b| {
        b.iter(|| from_sensitivities(black_box(&inputs), black_box(known.value), black_box(&sensitivities)));
    });
    let Ok(model) = model() else { return };
    let distributions = inputs.each_ref().map(|input| input.distribution);
    group.bench_function("measurement model", |b| {
        b.iter(|| model.budget(black_box(&distributions), None, coverage));
    });
    group.bench_function("automatic differentiation", |b| {
        b.iter(|| propagate_dual(temperature::<Dual64>, black_box(&inputs), None, coverage));
    });
    group.bench_function("numerical differentiation", |b| {
        b.iter(|| propagate(temperature::<f64>, black_box(&inputs), None, coverage));
    });
    group.finish();
}

fn trials(criterion: &mut Criterion) {
    let (Ok(inputs), Ok(model)) = (inputs(), model()) else { return };
    let mut group = criterion.benchmark_group("Monte Carlo, 1e6 trials of ten inputs");
    group.throughput(Throughput::Elements(TRIALS)).sample_size(10);
    for threads in [1, 2] {
        let settings = Settings { trials: TRIALS, threads, ..Settings::default() };
        group.bench_function(format!("threads: {threads}"), |b| {
            b.iter(|| monte_carlo(per_trial(temperature::<f64>), black_box(&inputs), None, &settings));
        });
        group.bench_function(format!("measurement model, threads: {threads}"), |b| {
            b.iter(|| {
                monte_carlo(|columns, values| model.trials(columns, values), black_box(&inputs), None, &settings)
            });
        });
    }
    group.finish();
}

fn student(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("Student quantile, 95 %, 7.3 degrees of freedom");
    group.bench_function("coverage factor", |b| b.iter(|| coverage_factor(black_box(0.95), black_box(7.3))));
    let Ok(distribution) = StudentsT::new(0.0, 1.0, 7.3) else { return };
    group.bench_function("statrs", |b| b.iter(|| distribution.inverse_cdf(black_box(0.975))));
    group.finish();
}

criterion_group!(benches, first_order, points, trials, student);
criterion_main!(benches);
