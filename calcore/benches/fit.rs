//! Time of one fit with its whole report, and of many.
#![allow(clippy::unwrap_used, missing_docs)]

use calcore::fit::{CallendarVanDusenOptions, callendar_van_dusen};
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

criterion_group!(benches, one);
criterion_main!(benches);
