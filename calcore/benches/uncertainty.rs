//! Speed of budgets, of Monte Carlo and of the Student quantile.
//!
//! Ten inputs (four normal, four rectangular, one triangular, one arcsine) of the temperature that a platinum thermometer
//! shows at 100 °C, and of what disturbs it; the data are invented. Within a group the ratio of the times is the figure.
#![allow(missing_docs)]

use calcore::Result;
use calcore::uncertainty::coverage::coverage_factor;
use calcore::uncertainty::dual::{Dual64, DualNum, propagate_dual};
use calcore::uncertainty::monte_carlo::{Settings, monte_carlo, per_trial};
use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution, Input, propagate};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use statrs::distribution::{ContinuousCDF, StudentsT};
use std::hint::black_box;

const TRIALS: u64 = 1_000_000;

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

fn first_order(criterion: &mut Criterion) {
    let Ok(inputs) = inputs() else { return };
    let coverage = Coverage::Probability(0.95);
    let Ok(known) = propagate_dual(temperature::<Dual64>, &inputs, None, coverage) else { return };
    let sensitivities: Vec<f64> = known.contributions.iter().map(|line| line.sensitivity).collect();
    let mut group = criterion.benchmark_group("first order, ten inputs, a budget");
    group.bench_function("known sensitivities", |b| {
        b.iter(|| from_sensitivities(black_box(&inputs), black_box(known.value), black_box(&sensitivities)));
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
    let Ok(inputs) = inputs() else { return };
    let mut group = criterion.benchmark_group("Monte Carlo, 1e6 trials of ten inputs");
    group.throughput(Throughput::Elements(TRIALS)).sample_size(10);
    for threads in [1, 2] {
        let settings = Settings { trials: TRIALS, threads, ..Settings::default() };
        group.bench_function(format!("threads: {threads}"), |b| {
            b.iter(|| monte_carlo(per_trial(temperature::<f64>), black_box(&inputs), None, &settings));
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

criterion_group!(benches, first_order, trials, student);
criterion_main!(benches);
