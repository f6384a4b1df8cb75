//! Speed of the curves over slices and for one value.

use calcore::curves::{CallendarVanDusen, Handling, SensorCurve};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const VALUES: usize = 1_000_000;

fn platinum(criterion: &mut Criterion) {
    let Ok(curve) = CallendarVanDusen::iec60751(100.0) else { return };
    let irrational = 7f64.sqrt();
    let t_c: Vec<f64> = (0..VALUES).map(|i| -200.0 + 1050.0 * (i as f64 * irrational).fract()).collect();
    let mut ohm = vec![0.0; VALUES];
    if curve.signal_slice(&t_c, &mut ohm, Handling::default()).is_err() {
        return;
    }
    let mut out = vec![0.0; VALUES];
    let mut group = criterion.benchmark_group("platinum, 1e6 values from -200 to 850 degrees");
    group.throughput(Throughput::Elements(VALUES as u64)).sample_size(30);
    group.bench_function("copy (the limit of memory)", |b| {
        b.iter(|| black_box(&mut out).copy_from_slice(black_box(&t_c)))
    });
    group.bench_function("resistance", |b| {
        b.iter(|| curve.signal_slice(black_box(&t_c), black_box(&mut out), Handling::default()));
    });
    group.bench_function("temperature", |b| {
        b.iter(|| curve.temperature_slice(black_box(&ohm), black_box(&mut out), Handling::default()));
    });
    group.bench_function("slope", |b| {
        b.iter(|| curve.slope_slice(black_box(&t_c), black_box(&mut out), Handling::default()));
    });
    group.finish();
    criterion.bench_function("one resistance", |b| b.iter(|| curve.resistance(black_box(57.3))));
    criterion.bench_function("one temperature above 0 degrees", |b| b.iter(|| curve.temperature(black_box(138.0))));
    criterion.bench_function("one temperature below 0 degrees", |b| b.iter(|| curve.temperature(black_box(57.0))));
}

criterion_group!(benches, platinum);
criterion_main!(benches);
