//! Time of one fit with its whole report, and of many.
#![allow(clippy::unwrap_used, missing_docs)]

use calcore::fit::{
    BatchLayout, BatchOptions, CallendarVanDusenOptions, callendar_van_dusen, callendar_van_dusen_batch,
};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Seven set points of a loop that also sees cold, with errors of a few millikelvin.
const T_C: [f64; 7] = [-80.0, -40.0, 0.01, 50.0, 100.0, 150.0, 200.0];
const OHM: [f64; 7] = [68.3254, 84.2705, 100.0040, 119.3968, 138.5062, 157.3240, 175.8571];

fn one(c: &mut Criterion) {
    let weighted = CallendarVanDusenOptions { u_ohm: 0.001.into(), ..Default::default() };
    c.bench_function("cvd 7 points", |b| {
        b.iter(|| callendar_van_dusen(black_box(&T_C), black_box(&OHM), &weighted).unwrap())
    });
    let both = CallendarVanDusenOptions { u_ohm: 0.001.into(), u_t: 0.01.into(), ..Default::default() };
    c.bench_function("cvd 7 points, errors in both", |b| {
        b.iter(|| callendar_van_dusen(black_box(&T_C), black_box(&OHM), &both).unwrap())
    });
    let shared = CallendarVanDusenOptions { u_t_common: 0.01, ..both };
    c.bench_function("cvd 7 points, shared error", |b| {
        b.iter(|| callendar_van_dusen(black_box(&T_C), black_box(&OHM), &shared).unwrap())
    });
}

fn many(c: &mut Criterion) {
    const SENSORS: usize = 100_000;
    let (mut t_c, mut ohm) = (Vec::new(), Vec::new());
    for sensor in 0..SENSORS {
        for (i, (t, r)) in T_C.iter().zip(OHM).enumerate() {
            let off = ((sensor * 7 + i) as f64 * 0.618_033_988_749_895) % 1.0 - 0.5;
            t_c.push(t + 0.2 * off);
            ohm.push(r + 0.078 * off);
        }
    }
    let mut group = c.benchmark_group("100 000 sensors of 7 points");
    group.sample_size(10);
    for (name, u_t) in [("weighted", 0.0), ("errors in both", 0.01)] {
        for threads in [1, 2] {
            let options = BatchOptions { u_ohm: 0.001.into(), u_t: u_t.into(), threads, ..Default::default() };
            group.bench_function(format!("{name}, {threads} thread(s)"), |b| {
                b.iter(|| {
                    callendar_van_dusen_batch(black_box(&t_c), black_box(&ohm), BatchLayout::Equal(7), &options)
                        .unwrap()
                });
            });
        }
    }
    group.finish();
}

criterion_group!(benches, one, many);
criterion_main!(benches);
