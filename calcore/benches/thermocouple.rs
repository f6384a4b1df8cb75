//! Speed of type K over slices and for one value.

use calcore::curves::{Handling, ReferenceJunction, SensorCurve, Thermocouple};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const VALUES: usize = 1_000_000;

fn type_k(criterion: &mut Criterion) {
    let Ok(k) = Thermocouple::new("K") else { return };
    let irrational = 7f64.sqrt();
    let t_c: Vec<f64> = (0..VALUES).map(|i| -200.0 + 1572.0 * (i as f64 * irrational).fract()).collect();
    let junction_c: Vec<f64> = (0..VALUES).map(|i| 20.0 + 10.0 * (i as f64 * irrational).fract()).collect();
    let mut mv = vec![0.0; VALUES];
    if k.signal_slice(&t_c, &mut mv, Handling::default()).is_err() {
        return;
    }
    let mut out = vec![0.0; VALUES];
    let plain = Handling::default();
    let mut group = criterion.benchmark_group("type K, 1e6 values from -200 to 1372 degrees");
    group.throughput(Throughput::Elements(VALUES as u64)).sample_size(30);
    group.bench_function("copy (the limit of memory)", |b| {
        b.iter(|| black_box(&mut out).copy_from_slice(black_box(&t_c)))
    });
    group.bench_function("emf", |b| {
        b.iter(|| k.signal_slice(black_box(&t_c), black_box(&mut out), plain));
    });
    group.bench_function("temperature", |b| {
        b.iter(|| SensorCurve::temperature_slice(&k, black_box(&mv), black_box(&mut out), plain));
    });
    group.bench_function("slope", |b| {
        b.iter(|| k.slope_slice(black_box(&t_c), black_box(&mut out), plain));
    });
    for (name, junction) in [
        ("one reference junction", ReferenceJunction::At(25.0)),
        ("a reference junction each", ReferenceJunction::Each(&junction_c)),
    ] {
        let mut mv = vec![0.0; VALUES];
        if k.emf_slice(&t_c, junction, &mut mv, plain).is_err() {
            return;
        }
        group.bench_function(format!("emf, {name}"), |b| {
            b.iter(|| k.emf_slice(black_box(&t_c), junction, black_box(&mut out), plain));
        });
        group.bench_function(format!("temperature, {name}"), |b| {
            b.iter(|| k.temperature_slice(black_box(&mv), junction, black_box(&mut out), plain));
        });
    }
    group.finish();
    criterion.bench_function("one emf of type K", |b| b.iter(|| k.emf(black_box(573.0), black_box(0.0))));
    criterion.bench_function("one temperature of type K", |b| {
        b.iter(|| k.temperature(black_box(20.0), black_box(0.0)));
    });
    criterion.bench_function("one temperature of type K, junction at 25 degrees", |b| {
        b.iter(|| k.temperature(black_box(20.0), black_box(25.0)));
    });
    criterion.bench_function("one temperature of type K by the published function", |b| {
        b.iter(|| k.reference_temperature(black_box(20.0)));
    });
}

criterion_group!(benches, type_k);
criterion_main!(benches);
