//! Speed of decisions: the global risk of a normal process (bivariate normal distribution) and of a rectangular one
//! (adaptive quadrature) beside Simpson's rule on 400 panels with the same error function; guard bands; a verdict.
//! Within a group the ratio of the times is the figure.
#![allow(missing_docs)]

use calcore::Result;
use calcore::decision::guard_band::for_global_risk;
use calcore::decision::{FalseAccept, GuardBand, InTolerance, Limits, Process, Rule, decide, risk};
use calcore::uncertainty::Distribution;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

const U: f64 = 0.125;
const BAND: f64 = 0.03;

fn cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// Twice the integral of density times acceptance above the tolerance limit, which is 1.
fn simpson(density: impl Fn(f64) -> f64, end: f64) -> f64 {
    let accepted = |x: f64| cdf((1.0 - BAND - x) / U) - cdf((-1.0 + BAND - x) / U);
    let (panels, width) = (400, end - 1.0);
    let step = width / f64::from(panels);
    let sum: f64 = (0..=panels)
        .map(|i| {
            let x = 1.0 + step * f64::from(i);
            let weight = if i == 0 || i == panels { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
            weight * density(x) * accepted(x)
        })
        .sum();
    2.0 * sum * step / 3.0
}

fn decisions(criterion: &mut Criterion) -> Result<()> {
    let limits = Limits::symmetric(1.0);
    let normal = Process::in_tolerance(limits, 0.95, InTolerance::True)?;
    let std = normal.standard_deviation();
    let bell = |x: f64| libm::exp(-0.5 * (x / std) * (x / std)) / (std * (2.0 * std::f64::consts::PI).sqrt());
    // Both ways agree before they are timed.
    assert!((risk(limits, &normal, U, BAND)?.false_accept - simpson(bell, 2.25)).abs() < 1e-9);
    let mut group = criterion.benchmark_group("global risk of a normal process");
    group.bench_function("risk", |b| b.iter(|| risk(limits, black_box(&normal), U, BAND)));
    group.bench_function("Simpson, 400 panels", |b| b.iter(|| simpson(bell, black_box(2.25))));
    group.finish();

    let rectangle = Process::new(Distribution::rectangular(-1.2, 1.2)?)?;
    assert!((risk(limits, &rectangle, U, BAND)?.false_accept - simpson(|_| 1.0 / 2.4, 1.2)).abs() < 1e-9);
    let mut group = criterion.benchmark_group("global risk of a rectangular process");
    group.bench_function("risk", |b| b.iter(|| risk(limits, black_box(&rectangle), U, BAND)));
    group.bench_function("Simpson, 400 panels", |b| b.iter(|| simpson(|_| 1.0 / 2.4, black_box(1.2))));
    group.finish();

    let wide = Process::normal(0.0, 0.6)?;
    criterion.bench_function("guard band for 2 % false accepts", |b| {
        b.iter(|| for_global_risk(limits, black_box(&wide), 0.4, 0.02, FalseAccept::Joint, false));
    });
    let rule = Rule::FourState(GuardBand::Expanded { multiple: 1.0, coverage_factor: 2.0 });
    criterion.bench_function("verdict by four states", |b| b.iter(|| decide(black_box(0.7), U, limits, rule)));
    Ok(())
}

fn all(criterion: &mut Criterion) {
    if let Err(error) = decisions(criterion) {
        eprintln!("{error}");
    }
}

criterion_group!(benches, all);
criterion_main!(benches);
