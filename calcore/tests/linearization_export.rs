//! Exported C compiles without a warning, needs no mathematics library, gives the bits of the core, and keeps the proven
//! largest error over a dense grid.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp)]

use calcore::curves::{CallendarVanDusen, SensorCurve, Thermocouple};
use calcore::linearization::{
    Coefficients, Direction, Entries, Export, FixedPoint, Goal, Minimax, MinimaxGoal, MinimaxOptions, Shape, Spacing,
    TableOptions, lookup_table, minimax,
};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Arguments at which the compiled code is run.
const GRID: u32 = 20_000;

/// Compiles an export into a program that reads its arguments as bits and prints its values as bits.
fn program(export: Export<'_>, name: &str, integers: bool) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).unwrap();
    let c = export.c99(name).unwrap();
    std::fs::write(folder.join(format!("{name}.h")), &c.header).unwrap();
    std::fs::write(folder.join(format!("{name}.c")), &c.source).unwrap();
    let is_float = c.header.contains("float ");
    let loop_body = if integers {
        format!("long long n; while (scanf(\"%lld\", &n) == 1) {{ printf(\"%lld\\n\", (long long){name}(n)); }}")
    } else if is_float {
        format!("float x; while (scanf(\"%a\", &x) == 1) {{ printf(\"%.9g\\n\", (double){name}(x)); }}")
    } else {
        format!("double x; while (scanf(\"%la\", &x) == 1) {{ printf(\"%.17g\\n\", {name}(x)); }}")
    };
    let main = format!(
        "#include \"{name}.h\"\n#include <stdio.h>\n\nint main(void)\n{{\n    {loop_body}\n    return 0;\n}}\n"
    );
    std::fs::write(folder.join("main.c"), main).unwrap();
    let compile = |arguments: &[&str]| {
        let output = Command::new("cc").current_dir(&folder).args(arguments).output().unwrap();
        assert!(output.status.success(), "{name}: {}", String::from_utf8_lossy(&output.stderr));
    };
    let source = format!("{name}.c");
    let strict = ["-std=c99", "-O2", "-Wall", "-Wextra", "-Werror", "-pedantic", "-Wconversion", "-c", &source];
    compile(&strict);
    // No -lm; the driver converts as scanf needs.
    compile(&["-std=c99", "-O2", "-o", "run", "main.c", &format!("{name}.o")]);
    folder.join("run")
}

fn run(program: &Path, arguments: &str) -> Vec<String> {
    let input = program.with_extension("txt");
    std::fs::write(&input, arguments).unwrap();
    let output = Command::new(program).stdin(std::fs::File::open(input).unwrap()).output().unwrap();
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

/// Compiled values at doubles (or single-precision numbers) between two ends.
fn compiled(export: Export<'_>, name: &str, low: f64, high: f64, single: bool) -> Vec<(f64, f64)> {
    let program = program(export, name, false);
    let at = |i: u32| (low + (high - low) * f64::from(i) / f64::from(GRID)).clamp(low, high);
    let held = |x: f64| if single { f64::from(x as f32) } else { x };
    let x: Vec<f64> = (0..=GRID).map(|i| held(at(i))).filter(|x| *x >= low && *x <= high).collect();
    let mut text = String::new();
    x.iter().for_each(|x| writeln!(text, "{x:e}").unwrap());
    let values = run(&program, &text);
    assert_eq!(values.len(), x.len());
    x.into_iter().zip(values.iter().map(|value| value.parse().unwrap())).collect()
}

/// The largest error of compiled values against the curve; every one must have the bits of the core.
fn largest(points: &[(f64, f64)], truth: impl Fn(f64) -> f64, core: impl Fn(f64) -> f64, single: bool) -> f64 {
    let mut largest: f64 = 0.0;
    for &(x, y) in points {
        let wanted = core(x);
        assert!(
            if single { y as f32 == wanted as f32 } else { y.to_bits() == wanted.to_bits() },
            "{x:e} {y:e} {wanted:e}"
        );
        largest = largest.max((y - truth(x)).abs());
    }
    largest
}

fn keeps(largest: f64, proven: f64, what: &str) {
    // Within 1 %: the proof is tight; the grid of 20 001 comes within parts in a million of the true largest error.
    assert!(largest <= proven && largest >= 0.98 * proven, "{what}: {largest:e} of {proven:e}");
}

#[test]
fn floating_tables_of_every_shape() {
    let k = Thermocouple::new("K").unwrap();
    let shapes = [Shape::Linear, Shape::LinearOnCurve, Shape::Quadratic, Shape::CubicHermite];
    for (i, shape) in shapes.into_iter().enumerate() {
        let options = TableOptions { shape, ..TableOptions::default() };
        let table = lookup_table(&k, 0.0, 1000.0, Goal::Segments(16), &options).unwrap();
        let (low, high) = (table.arguments[0], table.arguments[16]);
        let points = compiled(Export::from(&table), &format!("f64_table_{i}"), low, high, false);
        let error = largest(&points, |x| k.raw_temperature(x), |x| table.evaluate(x).unwrap(), false);
        keeps(error, table.largest_error, &format!("{shape:?}"));
    }
    let options = TableOptions { entries: Entries::F32, ..TableOptions::default() };
    let table = lookup_table(&k, 0.0, 1000.0, Goal::Segments(32), &options).unwrap();
    let (low, high) = (table.arguments[0], table.arguments[32]);
    let points = compiled(Export::from(&table), "f32_table", low, high, true);
    let error = largest(&points, |x| k.raw_temperature(x), |x| table.evaluate(x).unwrap(), true);
    assert!(error <= table.largest_error && error > 0.9 * table.largest_error, "{error:e} {:e}", table.largest_error);
}

/// Every integer between two, through the compiled code and through the core; largest error against a curve.
fn integers(
    export: Export<'_>,
    name: &str,
    (low, high): (i64, i64),
    core: impl Fn(i64) -> i64,
    error: impl Fn(i64, i64) -> f64,
) -> f64 {
    let program = program(export, name, true);
    let step = ((high - low) / 50_000).max(1);
    let readings: Vec<i64> = (low..=high).step_by(step as usize).collect();
    let mut text = String::new();
    readings.iter().for_each(|n| writeln!(text, "{n}").unwrap());
    let values = run(&program, &text);
    assert_eq!(values.len(), readings.len());
    readings.iter().zip(&values).fold(0.0, |largest: f64, (&n, value)| {
        let value: i64 = value.parse().unwrap();
        assert_eq!(value, core(n), "{name} at {n}");
        largest.max(error(n, value))
    })
}

#[test]
fn tables_in_integers() {
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    let argument = FixedPoint::new(16, 7, false).unwrap();
    let value = FixedPoint::new(16, 5, true).unwrap();
    let shapes = [
        (Shape::Linear, Spacing::Optimal),
        (Shape::Quadratic, Spacing::Optimal),
        (Shape::Linear, Spacing::EqualArgument),
    ];
    for (i, (shape, spacing)) in shapes.into_iter().enumerate() {
        let options =
            TableOptions { shape, spacing, entries: Entries::Fixed { argument, value }, ..TableOptions::default() };
        let table = lookup_table(&pt100, -100.0, 400.0, Goal::Segments(12), &options).unwrap();
        let codes = table.codes.as_ref().unwrap();
        let range = pt100.signal_range();
        let (low_ohm, high_ohm) = (pt100.signal(-100.0).unwrap().max(range.low), pt100.signal(400.0).unwrap());
        let ends = (
            ((low_ohm / argument.unit()).ceil() as i64).max(codes.arguments[0]),
            ((high_ohm / argument.unit()).floor() as i64).min(*codes.arguments.last().unwrap()),
        );
        let found = integers(
            Export::from(&table),
            &format!("fixed_table_{i}"),
            ends,
            |n| table.evaluate_code(n).unwrap(),
            |n, y| (value.number(y) - pt100.raw_temperature(argument.number(n))).abs(),
        );
        // Every reading was tried, so that the proven error is reached but for the ends.
        assert!(
            found <= table.largest_error && found > 0.95 * table.largest_error,
            "{found:e} {:e}",
            table.largest_error
        );
        if spacing == Spacing::EqualArgument {
            let c = Export::from(&table).c99("equal").unwrap();
            assert!(c.source.contains(">> "), "the index is a shift");
        }
    }
}

fn polynomial(numerator: usize, denominator: usize, coefficients: Coefficients) -> Minimax {
    let k = Thermocouple::new("K").unwrap();
    let options = MinimaxOptions { coefficients, ..MinimaxOptions::default() };
    minimax(&k, 0.0, 500.0, MinimaxGoal::Degrees { numerator, denominator }, &options).unwrap()
}

#[test]
fn polynomials_and_quotients() {
    let k = Thermocouple::new("K").unwrap();
    for (i, (n, d)) in [(7, 0), (3, 3)].into_iter().enumerate() {
        let found = polynomial(n, d, Coefficients::F64);
        let points = compiled(Export::from(&found), &format!("f64_quotient_{i}"), found.low, found.high, false);
        let error = largest(&points, |x| k.raw_temperature(x), |x| found.evaluate(x).unwrap(), false);
        keeps(error, found.largest_error, "polynomial");
    }
    let found = polynomial(5, 0, Coefficients::F32);
    let points = compiled(Export::from(&found), "f32_quotient", found.low, found.high, true);
    let error = largest(&points, |x| k.raw_temperature(x), |x| found.evaluate(x).unwrap(), true);
    assert!(error <= found.largest_error && error > 0.9 * found.largest_error);
    let argument = FixedPoint::new(16, 10, true).unwrap();
    let value = FixedPoint::new(16, 5, true).unwrap();
    let coefficient = FixedPoint::new(32, 18, true).unwrap();
    let found = polynomial(6, 0, Coefficients::Fixed { argument, value, coefficient });
    let ends = ((found.low / argument.unit()).ceil() as i64, (found.high / argument.unit()).floor() as i64);
    let error = integers(
        Export::from(&found),
        "fixed_quotient",
        ends,
        |n| found.evaluate_code(n).unwrap(),
        |n, y| (value.number(y) - k.raw_temperature(argument.number(n))).abs(),
    );
    assert!(error <= found.largest_error && error > 0.95 * found.largest_error, "{error:e} {:e}", found.largest_error);
}

#[test]
fn the_other_direction_and_the_other_formats() {
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    let options = TableOptions { direction: Direction::TemperatureToSignal, ..TableOptions::default() };
    let table = lookup_table(&pt100, 0.0, 100.0, Goal::Segments(3), &options).unwrap();
    let points = compiled(Export::from(&table), "simulator", 0.0, 100.0, false);
    let error = largest(&points, |t| pt100.raw_signal(t), |t| table.evaluate(t).unwrap(), false);
    keeps(error, table.largest_error, "simulator");
    let csv = Export::from(&table).csv();
    let rows: Vec<Vec<f64>> =
        csv.lines().skip(1).map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect()).collect();
    assert!(csv.starts_with("argument,value\n"));
    assert_eq!(rows.iter().map(|row| row[0]).collect::<Vec<_>>(), table.arguments);
    assert_eq!(rows.iter().map(|row| row[1]).collect::<Vec<_>>(), table.values);
    for name in ["", "9k", "Type", "type-k", "a_name_of_more_than_thirty_one_letters"] {
        assert_eq!(Export::from(&table).c99(name).map_err(|error| error.code()).map(|_| ()), Err(104), "{name}");
    }
}

#[cfg(feature = "serde")]
#[test]
fn json_holds_everything() {
    let found = polynomial(4, 0, Coefficients::F64);
    let text = Export::from(&found).json().unwrap();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["kind"], "minimax");
    assert_eq!(value["calcore_version"], calcore::VERSION);
    assert_eq!(value["largest_error"].as_f64(), Some(found.largest_error));
    let numerator: Vec<f64> =
        value["numerator"].as_array().unwrap().iter().filter_map(serde_json::Value::as_f64).collect();
    assert_eq!(numerator, found.numerator);
}
