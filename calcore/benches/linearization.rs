//! Tables and polynomials of type K, 0 °C to 1000 °C, emf to temperature; the largest errors are printed first.
#![allow(missing_docs)]

use calcore::curves::Thermocouple;
use calcore::linearization::{
    Direction, FixedPoint, Goal, MinimaxGoal, MinimaxOptions, Shape, Spacing, TableOptions, error_by_segments,
    lookup_table, minimax, table_in_place, table_in_place_fixed,
};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

const LOW_C: f64 = 0.0;
const HIGH_C: f64 = 1000.0;

fn tables(criterion: &mut Criterion) {
    let Ok(k) = Thermocouple::new("K") else { return };
    let mut group = criterion.benchmark_group("tables of type K, 0 to 1000 degrees, made and proven");
    group.sample_size(20);
    for shape in [Shape::Linear, Shape::LinearOnCurve, Shape::Quadratic, Shape::CubicHermite] {
        let options = TableOptions { shape, ..TableOptions::default() };
        for segments in [16, 32, 64] {
            let table = || lookup_table(black_box(&k), LOW_C, HIGH_C, Goal::Segments(segments), &options);
            let error_k = table().map_or(f64::NAN, |table| table.largest_error);
            println!("{shape:?}, {segments} segments: proven largest error {error_k:.3e} K");
            group.bench_function(format!("{shape:?}, {segments} segments"), |b| b.iter(table));
        }
    }
    group.bench_function("in place on the stack, 64 segments", |b| {
        b.iter(|| {
            let (mut x, mut y) = ([0.0; 65], [0.0; 65]);
            table_in_place(black_box(&k), Direction::SignalToTemperature, LOW_C, HIGH_C, &mut x, &mut y)
        });
    });
    if let (Ok(mv), Ok(t_c)) = (FixedPoint::new(16, 9, true), FixedPoint::new(16, 4, true)) {
        group.bench_function("in place in integers of 16 bits, every reading tried, 64 segments", |b| {
            b.iter(|| {
                let (mut x, mut y) = ([0; 65], [0; 65]);
                let (direction, spacing) = (Direction::SignalToTemperature, Spacing::Optimal);
                table_in_place_fixed(black_box(&k), direction, LOW_C, HIGH_C, spacing, [mv, t_c], &mut x, &mut y)
            });
        });
    }
    group.bench_function("Linear, fewest segments for 0.01 K", |b| {
        b.iter(|| lookup_table(black_box(&k), LOW_C, HIGH_C, Goal::LargestError(0.01), &TableOptions::default()));
    });
    group.sample_size(10);
    group.bench_function("Linear, 1 to 256 segments in one sweep", |b| {
        b.iter(|| error_by_segments(black_box(&k), LOW_C, HIGH_C, 256, &TableOptions::default()));
    });
    group.finish();
}

fn polynomials(criterion: &mut Criterion) {
    let Ok(k) = Thermocouple::new("K") else { return };
    let mut group = criterion.benchmark_group("minimax of type K, 0 to 1000 degrees, made and proven");
    group.sample_size(20);
    for (numerator, denominator) in [(5, 0), (9, 0), (4, 4), (5, 5)] {
        let goal = MinimaxGoal::Degrees { numerator, denominator };
        let make = || minimax(black_box(&k), LOW_C, HIGH_C, goal, &MinimaxOptions::default());
        let error_k = make().map_or(f64::NAN, |found| found.largest_error);
        println!("degree {numerator}/{denominator}: proven largest error {error_k:.3e} K");
        group.bench_function(format!("degree {numerator}/{denominator}"), |b| b.iter(make));
    }
    group.finish();
}

criterion_group!(benches, tables, polynomials);
criterion_main!(benches);
