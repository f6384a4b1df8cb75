//! A run of 4 instruments, 11 set points and 30 readings each with its full covariance: less than 1 ms on one core.
#![allow(clippy::unwrap_used, missing_docs)]

use calcore::loop_calibration::{Run, RunResult, evaluate_each};
use criterion::{Criterion, criterion_group, criterion_main};
use serde_json::{Value, json};
use std::hint::black_box;

fn run() -> Run {
    let sample: Value = serde_json::from_str(include_str!("../../tests/data/jacket_loop_as_found.json")).unwrap();
    let mut run = sample.clone();
    let instruments = run["instruments"].as_array_mut().unwrap();
    instruments.remove(3);
    let iec = |t: f64| 100.0 * (1.0 + 3.9083e-3 * t - 5.775e-7 * t * t);
    let set_points: Vec<Value> = (0..11)
        .map(|i| {
            let t = 5.0 + 18.0 * f64::from(i);
            let times: Vec<f64> = (0..30).map(|k| 2000.0 * f64::from(i) + 10.0 * f64::from(k)).collect();
            let wobble = |k: usize| 0.002 * ((k * 7 + 3) % 5) as f64;
            let values = |f: &dyn Fn(f64) -> f64| (0..30).map(|k| f(t + wobble(k))).collect::<Vec<f64>>();
            let reading = |tag: &str, f: &dyn Fn(f64) -> f64| json!({"tag": tag, "time_s": times, "value": values(f)});
            json!({"nominal_c": t, "readings": [
                reading("REF-01", &iec), reading("TE-4107", &iec), reading("TT-4107 PV", &|t| t + 0.05),
                reading("TT-4107 mA", &|t| 4.0 + 0.08 * t), reading("TIC-4107", &|t| t + 0.1)]})
        })
        .collect();
    run["set_points"] = json!(set_points);
    Run::from_json(&run.to_string()).unwrap()
}

fn largest(found: &RunResult) -> f64 {
    let points = found.instruments.iter().flat_map(|instrument| &instrument.points);
    points.fold(0.0, |most: f64, point| most.max(point.error_k.abs()))
}

fn evaluate(criterion: &mut Criterion) {
    let run = run();
    assert_eq!(run.evaluate().unwrap().covariance.size(), 44);
    criterion.bench_function("evaluate 4 instruments, 11 set points, 30 readings", |bencher| {
        bencher.iter(|| black_box(&run).evaluate().unwrap());
    });
    let text = run.to_json().unwrap();
    criterion.bench_function("read and check its description", |bencher| {
        bencher.iter(|| Run::from_json(black_box(&text)).unwrap());
    });
    // Of each run its largest error is kept. The machine's other work falls on both numbers of threads alike where they
    // take turns: the ratio of the fastest of each is the scaling.
    let runs = vec![run; 500];
    let mut group = criterion.benchmark_group("500 runs, many");
    group.sample_size(20);
    for threads in [1, 2] {
        group.bench_function(format!("{threads} threads"), |bencher| {
            bencher.iter(|| evaluate_each(black_box(&runs), threads, |_, result| result.map(|found| largest(&found))));
        });
    }
    group.finish();
}

criterion_group!(benches, evaluate);
criterion_main!(benches);
