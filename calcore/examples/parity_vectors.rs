//! Writes what the core computes, bit for bit, for the other faces to compare with.
//!
//! `cargo run --release --example parity_vectors -- DIR` writes one file a function, `DIR/NAME.txt`. Each line holds the
//! arguments and then the results, as the 16 hexadecimal digits of their bits:
//!
//! | file | arguments | results |
//! | --- | --- | --- |
//! | `iec60751_resistance`, `_slope`, `_temperature` | t or R, R0 = 100 ohm | R, dR/dt or t |
//! | `thermocouple_K_emf`, `_temperature` | t or emf, reference junction | emf mV or t |
//! | `thermocouples` | place of the letter in BCEJKNRSTA, t, reference junction | emf, slope, and back in °C |
//! | `cvd_resistance`, `cvd_temperature` | R0, A, B, C, t or R | R or t |
//! | `fahrenheit` | t °C | t °F, and back in °C |
//! | `current_loop` | t at 4 mA, t at 20 mA, t | I mA, and back in °C |
//! | `tolerance_a_wire_wound` | t | half-width of class A, K |
//! | `coverage_factor` | probability, degrees of freedom | k |
//! | `welch_satterthwaite` | three pairs of u and degrees of freedom | effective degrees of freedom |
//! | `decide_guarded` | value, u, lower, upper, guard band | probability of conformity, acceptance limits |
//! | `risk` | mean and std of the process, u, lower, upper, guard band | false accept, false reject, true reject |
//! | `risk_rectangular` | ends of the process, u, lower, upper | false accept, false reject |
//! | `guard_band_2_percent` | std of the process, u (tolerance 1) | guard band for 2 % false accepts |
//! | `guard_band_specific` | u, degrees of freedom, risk (tolerance -1 to 1) | guard band |
//! | `propagate` | three means, three u | value, u, U at 95 % of x y + z (normal inputs) |
//! | `monte_carlo` | mean, scale, half-width, seed (of 5000 trials, see below) | mean, u, both intervals, a histogram |
//! | `measurement_model` | ohm, its u and degrees of freedom, R0, its u, axial half-width (Pt100) | value, u, ν, k, U, contributions |
//! | `temperature_block` | t, ten numbers of the block | u, U at 95 % |
//! | `rtd_comparison` | ohm, twelve numbers and the scatter of five readings | u, effective degrees of freedom, U at 95 % |
//! | `budget_edited` | u of a (normal) and its degrees of freedom, half-widths of b and c, sensitivity of c | U at 95 % of a and b with c, of those without a, of c and a alone, with the shapes of all |
//! | `steady` | ten values, 10 s apart | span, slope per minute, standard uncertainty over 60 s |
//! | `settled` | ten values, 10 s apart | slope, its u, bound of the slope, standard uncertainty over 60 s |
//! | `reference_at` | ten values, 10 s apart, a moment | value and standard uncertainty at the moment |
//! | `fit_batch` | four t, four R of each of two elements (u = 0.01 K, 0.001 ohm) | R0, A, B of both |
//! | `fit_deviation` | four t, four emf of type K (u = 0.002 mV), an emf | c1, c2, t of the emf |
//! | `linearity` | six readings at 0, 20 to 100 (u = 0.1) | independent linearity and its u, zero- and terminal-based |
//! | `lookup_table` | range, t (Pt100, eight segments) | proven largest error, temperature looked up |
//! | `minimax` | range, t (type K, degree 4) | proven largest error, temperature of the polynomial |
//! | `fit_cvd` | seven t, seven R (u = 0.01 K, 0.001 ohm; C held) | R0, A, B, u(R0) |
//!
//! `monte_carlo` adds two Student variables of that scale, with 5 degrees of freedom, r = 0.4 and one chi-squared variable, and
//! a rectangle; the intervals are those at 95 %, the histogram is its ends and the counts of four classes.

use calcore::circuit::CurrentLoop;
use calcore::curves::{CallendarVanDusen, Handling, SensorCurve, Thermocouple, ThermocoupleType};
use calcore::decision::guard_band::{for_global_risk, for_specific_risk};
use calcore::decision::{FalseAccept, GuardBand, Limits, Process, Rule, decide, risk};
use calcore::fit::{
    BatchLayout, BatchOptions, CallendarVanDusenOptions, DeviationOptions, FixedCoefficients, Stated,
    callendar_van_dusen, callendar_van_dusen_batch, deviation,
};
use calcore::linearization::{
    Basis, Goal, MinimaxGoal, MinimaxOptions, ReadingUncertainty, TableOptions, linearity, lookup_table, minimax,
};
use calcore::settling::{SettledCriterion, SteadyCriterion, reference_at, settled, steady};
use calcore::temperature::TemperatureUnit;
use calcore::tolerance::{Construction, iec60751};
use calcore::uncertainty::coverage::{coverage_factor, welch_satterthwaite};
use calcore::uncertainty::measurement_model::{MeasurementModel, Place, Term};
use calcore::uncertainty::monte_carlo::{Settings, monte_carlo};
use calcore::uncertainty::ready_made::{RtdComparison, TemperatureBlock};
use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution, Input, propagate};
use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;

const VALUES: usize = 10_000;

/// Tables and polynomials, each of a range of its own.
const APPROXIMATIONS: usize = 40;

/// Evenly spread numbers between two limits, in an order that jumps about: the fractional parts of multiples of an
/// irrational number, another one for each argument of a function.
fn spread(argument: u32, low: f64, high: f64) -> Vec<f64> {
    let irrational = f64::from(7 + 4 * argument).sqrt();
    (0..VALUES).map(|i| low + (high - low) * (i as f64 * irrational).fract()).collect()
}

/// Rows of a function with several arguments.
fn rows(
    arguments: &[(f64, f64)],
    mut results: impl FnMut(&[f64]) -> calcore::Result<Vec<f64>>,
) -> calcore::Result<Vec<Vec<f64>>> {
    let columns: Vec<Vec<f64>> =
        arguments.iter().enumerate().map(|(k, (low, high))| spread(k as u32, *low, *high)).collect();
    let mut rows = Vec::with_capacity(VALUES);
    for i in 0..VALUES {
        let mut row: Vec<f64> = columns.iter().map(|column| column[i]).collect();
        let found = results(&row)?;
        row.extend(found);
        rows.push(row);
    }
    Ok(rows)
}

fn line(text: &mut String, values: &[f64]) {
    let words: Vec<String> = values.iter().map(|value| format!("{:016x}", value.to_bits())).collect();
    let _ = writeln!(text, "{}", words.join(" "));
}

fn write(directory: &Path, name: &str, rows: &[Vec<f64>]) -> std::io::Result<()> {
    let mut text = String::new();
    for row in rows {
        line(&mut text, row);
    }
    std::fs::write(directory.join(format!("{name}.txt")), text)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let directory = std::env::args().nth(1).ok_or("the folder to write to is missing")?;
    let directory = Path::new(&directory);
    std::fs::create_dir_all(directory)?;
    curves(directory)?;
    thermocouples(directory)?;
    borders(directory)?;
    uncertainties(directory)?;
    models(directory)?;
    fits(directory)?;
    batches(directory)?;
    records(directory)?;
    linearizations(directory)?;
    Ok(())
}

fn curves(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let t_c = spread(0, -200.0, 850.0);
    let (mut ohm, mut slope, mut back_c) = (vec![0.0; VALUES], vec![0.0; VALUES], vec![0.0; VALUES]);
    pt100.signal_slice(&t_c, &mut ohm, Handling::default())?;
    pt100.slope_slice(&t_c, &mut slope, Handling::default())?;
    pt100.temperature_slice(&ohm, &mut back_c, Handling::default())?;
    let pairs = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(x, y)| vec![*x, *y]).collect::<Vec<_>>();
    write(directory, "iec60751_resistance", &pairs(&t_c, &ohm))?;
    write(directory, "iec60751_slope", &pairs(&t_c, &slope))?;
    write(directory, "iec60751_temperature", &pairs(&ohm, &back_c))?;

    let coefficients = [(10.0, 1000.0), (3.7e-3, 4.0e-3), (-6.2e-7, -5.2e-7), (-5e-12, 0.0), (-200.0, 850.0)];
    let curve = |v: &[f64]| CallendarVanDusen::new(v[0], v[1], v[2], v[3]);
    let forward = rows(&coefficients, |v| Ok(vec![curve(v)?.resistance(v[4])?]))?;
    let backward = forward
        .iter()
        .map(|v| Ok(vec![v[0], v[1], v[2], v[3], v[5], curve(v)?.temperature(v[5])?]))
        .collect::<calcore::Result<Vec<_>>>()?;
    write(directory, "cvd_resistance", &forward)?;
    write(directory, "cvd_temperature", &backward)?;
    Ok(())
}

fn thermocouples(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let k = Thermocouple::new("K")?;
    let forward = rows(&[(-270.0, 1372.0), (0.0, 60.0)], |v| Ok(vec![k.emf(v[0], v[1])?]))?;
    let backward = forward
        .iter()
        .map(|v| Ok(vec![v[2], v[1], k.temperature(v[2], v[1])?]))
        .collect::<calcore::Result<Vec<_>>>()?;
    write(directory, "thermocouple_K_emf", &forward)?;
    write(directory, "thermocouple_K_temperature", &backward)?;
    // Part of the range of each type, above the emfs that two temperatures of type B give.
    let mut mixed = Vec::with_capacity(VALUES);
    for (i, v) in rows(&[(0.0, 1.0), (0.0, 60.0)], |_| Ok(Vec::new()))?.into_iter().enumerate() {
        let letter = i % ThermocoupleType::ALL.len();
        let kind = ThermocoupleType::ALL[letter];
        let curve = Thermocouple::from(kind);
        let range = curve.range();
        let low_c = if kind == ThermocoupleType::B { 43.0 } else { range.low };
        let t_c = low_c + (range.high - low_c) * v[0];
        let mv = curve.emf(t_c, v[1])?;
        mixed.push(vec![letter as f64, t_c, v[1], mv, curve.slope(t_c)?, curve.temperature(mv, v[1])?]);
    }
    write(directory, "thermocouples", &mixed)?;
    Ok(())
}

fn borders(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let fahrenheit = TemperatureUnit::Fahrenheit;
    let both = rows(&[(-273.0, 2000.0)], |v| {
        let f = fahrenheit.from_c(v[0])?;
        Ok(vec![f, fahrenheit.to_c(f)?])
    })?;
    write(directory, "fahrenheit", &both)?;
    let current = rows(&[(-50.0, 0.0), (100.0, 600.0), (0.0, 100.0)], |v| {
        let current = CurrentLoop::new(v[0], v[1])?;
        let ma = current.current(v[2])?;
        Ok(vec![ma, current.value(ma)?])
    })?;
    write(directory, "current_loop", &current)?;
    let class_a = rows(&[(-100.0, 450.0)], |v| Ok(vec![iec60751("A", v[0], Construction::WireWound)?]))?;
    write(directory, "tolerance_a_wire_wound", &class_a)?;
    let criterion = SteadyCriterion { window_s: 60.0, max_span: 0.05, max_slope_per_min: 0.01 };
    let time_s: Vec<f64> = (0..10).map(|i| 10.0 * f64::from(i)).collect();
    let states = rows(&[(99.9, 100.1); 10], |v| {
        let state = steady(&time_s, v, criterion)?;
        Ok(vec![state.span, state.slope_per_min, state.standard_uncertainty])
    })?;
    write(directory, "steady", &states)?;
    Ok(())
}

fn uncertainties(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let factors = rows(&[(0.5, 0.999), (1.0, 3000.0)], |v| Ok(vec![coverage_factor(v[0], v[1])?]))?;
    write(directory, "coverage_factor", &factors)?;
    let pair = [(0.01, 1.0), (1.0, 200.0)];
    let degrees = rows(&[pair[0], pair[1], pair[0], pair[1], pair[0], pair[1]], |v| {
        Ok(vec![welch_satterthwaite(&[(v[0], v[1]), (v[2], v[3]), (v[4], v[5])])?])
    })?;
    write(directory, "welch_satterthwaite", &degrees)?;
    let decisions = rows(&[(-1.2, 1.2), (0.01, 0.4), (-1.0, -0.5), (0.5, 1.0), (0.0, 0.5)], |v| {
        let limits = Limits { lower: Some(v[2]), upper: Some(v[3]) };
        let decision = decide(v[0], v[1], limits, Rule::GuardedAcceptance(GuardBand::Width(v[4])))?;
        let accepted = decision.acceptance_limits;
        Ok(vec![
            decision.probability_of_conformity,
            accepted.lower.unwrap_or(f64::NEG_INFINITY),
            accepted.upper.unwrap_or(f64::INFINITY),
        ])
    })?;
    write(directory, "decide_guarded", &decisions)?;
    let risks = rows(&[(-0.5, 0.5), (0.1, 0.8), (0.01, 0.4), (-1.2, -0.5), (0.5, 1.2), (-0.2, 0.3)], |v| {
        let found = risk(Limits::between(v[3], v[4]), &Process::normal(v[0], v[1])?, v[2], v[5])?;
        Ok(vec![found.false_accept, found.false_reject, found.true_reject])
    })?;
    write(directory, "risk", &risks)?;
    let flat = rows(&[(-2.0, -0.6), (0.6, 2.0), (0.01, 0.4), (-1.2, -0.5), (0.5, 1.2)], |v| {
        let process = Process::new(Distribution::rectangular(v[0], v[1])?)?;
        let found = risk(Limits::between(v[3], v[4]), &process, v[2], 0.0)?;
        Ok(vec![found.false_accept, found.false_reject])
    })?;
    write(directory, "risk_rectangular", &flat)?;
    let bands = rows(&[(0.4, 0.9), (0.05, 0.4)], |v| {
        let process = Process::normal(0.0, v[0])?;
        Ok(vec![for_global_risk(Limits::symmetric(1.0), &process, v[1], 0.02, FalseAccept::Joint, false)?])
    })?;
    write(directory, "guard_band_2_percent", &bands)?;
    let bands = rows(&[(0.01, 0.2), (3.0, 100.0), (0.02, 0.3)], |v| {
        Ok(vec![for_specific_risk(Limits::symmetric(1.0), v[0], v[1], v[2])?])
    })?;
    write(directory, "guard_band_specific", &bands)?;
    let product = rows(&[(1.0, 9.0), (-5.0, 5.0), (0.0, 100.0), (0.01, 0.1), (0.01, 0.1), (0.01, 0.5)], |v| {
        let inputs = [
            Input::new("x", Distribution::normal(v[0], v[3])?),
            Input::new("y", Distribution::normal(v[1], v[4])?),
            Input::new("z", Distribution::normal(v[2], v[5])?),
        ];
        let budget = propagate(|q| Ok(q[0] * q[1] + q[2]), &inputs, None, Coverage::Probability(0.95))?;
        Ok(vec![budget.value, budget.standard_uncertainty, budget.expanded_uncertainty])
    })?;
    write(directory, "propagate", &product)?;
    let edited = rows(&[(0.01, 0.1), (3.0, 100.0), (0.01, 0.3), (0.01, 0.3), (-2.0, 2.0)], |v| {
        let p95 = Coverage::Probability(0.95);
        let rectangle =
            |name: &str, half: f64, c: f64| Contribution::of(name, &Distribution::rectangular(-half, half)?, c);
        let a = Contribution::of("a", &Distribution::normal_with_degrees_of_freedom(0.0, v[0], v[1])?, 1.0)?;
        let narrow = Budget::from_contributions(0.0, vec![a, rectangle("b", v[2], 1.0)?], p95)?;
        let all = narrow.with(rectangle("c", v[3], v[4])?, p95)?;
        Ok(vec![
            all.expanded_uncertainty,
            all.without("a", p95)?.expanded_uncertainty,
            all.part(&["c", "a"], p95)?.expanded_uncertainty,
            all.with_coverage_of_shapes(0.95)?.expanded_uncertainty,
        ])
    })?;
    write(directory, "budget_edited", &edited)?;
    write(directory, "monte_carlo", &trials()?)?;
    Ok(())
}

/// Monte Carlo of a sum, on two threads.
fn trials() -> calcore::Result<Vec<Vec<f64>>> {
    let sum = |columns: &[&[f64]], out: &mut [f64]| {
        for (i, y) in out.iter_mut().enumerate() {
            *y = columns[0][i] + columns[1][i] + columns[2][i];
        }
        Ok(())
    };
    let arguments = [(-5.0, 5.0), (0.1, 2.0), (0.1, 3.0)].iter().enumerate();
    let columns: Vec<Vec<f64>> = arguments.map(|(k, (low, high))| spread(k as u32, *low, *high)).collect();
    let mut rows = Vec::with_capacity(APPROXIMATIONS);
    for seed in 0..APPROXIMATIONS {
        let mut row: Vec<f64> = columns.iter().map(|column| column[seed]).collect();
        let inputs = [
            Input::new("x", Distribution::student_t(row[0], row[1], 5.0)?),
            Input::new("y", Distribution::student_t(0.0, row[1], 5.0)?),
            Input::new("z", Distribution::rectangular(-row[2], row[2])?),
        ];
        let settings = Settings {
            trials: 5000,
            seed: seed as u64,
            threads: 2,
            histogram_classes: 4,
            multivariate_t: vec![vec![0, 1]],
            ..Settings::default()
        };
        let together = [1.0, 0.4, 0.0, 0.4, 1.0, 0.0, 0.0, 0.0, 1.0];
        let found = monte_carlo(sum, &inputs, Some(&together), &settings)?;
        row.push(seed as f64);
        row.extend([found.mean, found.standard_uncertainty]);
        row.extend(found.interval.into_iter().chain(found.interval_symmetric));
        if let Some(histogram) = found.histogram {
            row.extend([histogram.low, histogram.high]);
            row.extend(histogram.counts.iter().map(|count| *count as f64));
        }
        rows.push(row);
    }
    Ok(rows)
}

fn models(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let terms = vec![
        Term::new("ohm", Place::Reading, 1.0),
        Term::new("r0", Place::Divisor, 0.01),
        Term::new("axial", Place::Result, 1.0),
    ];
    let model = MeasurementModel::temperature(Arc::new(CallendarVanDusen::iec60751(100.0)?), terms)?;
    let p95 = Coverage::Probability(0.95);
    let ranges = [(20.0, 380.0), (1e-4, 1e-2), (2.0, 200.0), (99.8, 100.2), (1e-4, 1e-2), (0.0, 0.1)];
    let found = rows(&ranges, |v| {
        let inputs = [
            Distribution::normal_with_degrees_of_freedom(v[0], v[1], v[2])?,
            Distribution::normal(v[3], v[4])?,
            Distribution::rectangular(-v[5], v[5])?,
        ];
        let budget = model.budget(&inputs, None, p95)?;
        let mut results = vec![
            budget.value,
            budget.standard_uncertainty,
            budget.effective_degrees_of_freedom,
            budget.coverage_factor,
            budget.expanded_uncertainty,
        ];
        results.extend(budget.contributions.iter().map(|line| line.contribution));
        Ok(results)
    })?;
    write(directory, "measurement_model", &found)?;
    let half = (0.0, 0.3);
    let blocks = rows(&[(0.0, 600.0), half, (1.9, 2.1), half, half, half, half, half, half, half, half], |v| {
        let block = TemperatureBlock {
            reference_expanded_k: v[1],
            reference_coverage_factor: v[2],
            reference_drift_half_width_k: v[3],
            indicator_resolution_k: v[4],
            axial_half_width_k: v[5],
            radial_half_width_k: v[6],
            loading_half_width_k: v[7],
            stability_half_width_k: v[8],
            hysteresis_half_width_k: v[9],
            immersion_half_width_k: v[10],
        };
        let budget = block.budget(v[0], p95)?;
        Ok(vec![budget.standard_uncertainty, budget.expanded_uncertainty])
    })?;
    write(directory, "temperature_block", &blocks)?;
    let (half, ohm) = ((0.0, 0.02), (0.0, 0.005));
    let ranges =
        [(20.0, 380.0), half, (3.0, 50.0), half, half, half, half, half, (0.3, 0.4), ohm, (1.9, 2.1), ohm, ohm, ohm];
    let comparisons = rows(&ranges, |v| {
        let comparison = RtdComparison {
            reference_standard_k: v[1],
            reference_degrees_of_freedom: v[2],
            stability_half_width_k: v[3],
            uniformity_half_width_k: v[4],
            hysteresis_half_width_k: v[5],
            self_heating_half_width_k: v[6],
            immersion_half_width_k: v[7],
            slope_ohm_per_k: v[8],
            meter_expanded_ohm: v[9],
            meter_coverage_factor: v[10],
            meter_drift_half_width_ohm: v[11],
            meter_resolution_ohm: v[12],
            scatter_ohm: v[13],
            readings: 5,
        };
        let budget = comparison.budget(v[0], p95)?;
        Ok(vec![budget.standard_uncertainty, budget.effective_degrees_of_freedom, budget.expanded_uncertainty])
    })?;
    write(directory, "rtd_comparison", &comparisons)?;
    Ok(())
}

fn fits(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let ranges =
        [(0.0, 1.0), (20.0, 40.0), (60.0, 80.0), (100.0, 120.0), (140.0, 160.0), (180.0, 200.0), (240.0, 250.0)];
    let errors = spread(7, -0.002, 0.002);
    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let mut lines = Vec::with_capacity(VALUES);
    for (i, mut row) in rows(&ranges, |_| Ok(Vec::new()))?.into_iter().enumerate() {
        let t_c = row.clone();
        for (k, t) in t_c.iter().enumerate() {
            row.push(pt100.resistance(*t)? + errors[(i + 1009 * k) % VALUES]);
        }
        let options = CallendarVanDusenOptions {
            u_t: Stated::Same(0.01),
            u_ohm: Stated::Same(0.001),
            fixed: FixedCoefficients { c: Some(-4.183e-12), ..FixedCoefficients::default() },
            ..CallendarVanDusenOptions::default()
        };
        let fit = callendar_van_dusen(&t_c, &row[7..], &options)?;
        let u_r0 = fit.report.covariance.as_ref().map_or(f64::NAN, |covariance| covariance.standard_uncertainty(0));
        row.extend([fit.curve.r0(), fit.curve.a(), fit.curve.b(), u_r0]);
        lines.push(row);
    }
    write(directory, "fit_cvd", &lines)?;
    Ok(())
}

fn batches(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let errors = spread(9, -0.002, 0.002);
    let ranges = [(0.0, 10.0), (60.0, 80.0), (130.0, 150.0), (200.0, 220.0)];
    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let mut lines = Vec::with_capacity(VALUES);
    for (i, mut row) in rows(&ranges, |_| Ok(Vec::new()))?.into_iter().enumerate() {
        let t_c = row.clone();
        for k in 0..8 {
            row.push(
                pt100.resistance(t_c[k % 4])? * if k < 4 { 1.0 } else { 1.0002 } + errors[(i + 1013 * k) % VALUES],
            );
        }
        let options = BatchOptions { u_t: Stated::Same(0.01), u_ohm: Stated::Same(0.001), ..BatchOptions::default() };
        let fits = callendar_van_dusen_batch(&t_c, &row[4..], BatchLayout::Equal(4), &options)?;
        for sensor in 0..2 {
            row.extend([fits.r0[sensor], fits.a[sensor], fits.b[sensor]]);
        }
        lines.push(row);
    }
    write(directory, "fit_batch", &lines)?;

    let type_k = Thermocouple::new("K")?;
    let ranges = [(90.0, 110.0), (240.0, 260.0), (390.0, 410.0), (580.0, 600.0)];
    let mut lines = Vec::with_capacity(VALUES);
    for (i, mut row) in rows(&ranges, |_| Ok(Vec::new()))?.into_iter().enumerate() {
        let t_c = row.clone();
        for (k, t) in t_c.iter().enumerate() {
            row.push(type_k.emf(*t, 0.0)? + 2e-5 * t + errors[(i + 1019 * k) % VALUES]);
        }
        let mv = 3.0 + 1e3 * errors[i];
        let options = DeviationOptions { u_signal: Stated::Same(0.002), ..DeviationOptions::default() };
        let fit = deviation(&type_k, &t_c, &row[4..], 2, &options)?;
        let coefficients = fit.curve.coefficients();
        let result = [coefficients[1], coefficients[2], fit.curve.temperature(mv)?];
        row.push(mv);
        row.extend(result);
        lines.push(row);
    }
    write(directory, "fit_deviation", &lines)?;
    Ok(())
}

fn records(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let time_s: Vec<f64> = (0..10).map(|i| 10.0 * f64::from(i)).collect();
    let states = rows(&[(99.99, 100.01); 10], |value| {
        let state = settled(&time_s, value, SettledCriterion::new(60.0, 0.01, 0.02))?;
        let (slope, u_slope) =
            state.trend.map_or((f64::NAN, f64::NAN), |line| (line.slope_per_min, line.u_slope_per_min));
        Ok(vec![slope, u_slope, state.slope_bound_per_min, state.standard_uncertainty])
    })?;
    write(directory, "settled", &states)?;
    let mut ranges = vec![(99.99, 100.01); 10];
    ranges.push((-5.0, 95.0));
    let moments = rows(&ranges, |v| {
        let found = reference_at(&time_s, &v[..10], v[10], 10.0)?;
        Ok(vec![found.value, found.standard_uncertainty])
    })?;
    write(directory, "reference_at", &moments)?;
    Ok(())
}

fn linearizations(directory: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let x = [0.0, 20.0, 40.0, 60.0, 80.0, 100.0];
    let straight = rows(&[(-1.0, 1.0); 6], |y| {
        let on = |basis| linearity(&x, y, None, basis, ReadingUncertainty::Each(&[0.1; 6]));
        let independent = on(Basis::Independent)?;
        let u = independent.standard_uncertainty.unwrap_or(f64::NAN);
        Ok(vec![independent.largest, u, on(Basis::Zero)?.largest, on(Basis::Terminal)?.largest])
    })?;
    write(directory, "linearity", &straight)?;

    let (pt100, k) = (CallendarVanDusen::iec60751(100.0)?, Thermocouple::new("K")?);
    let spread = |place: u32, low: f64, high: f64| spread(place, low, high).into_iter().take(APPROXIMATIONS);
    let mut tables = Vec::new();
    for ((low_c, high_c), t_c) in spread(0, -200.0, 0.0).zip(spread(1, 200.0, 850.0)).zip(spread(2, 0.0, 200.0)) {
        let table = lookup_table(&pt100, low_c, high_c, Goal::Segments(8), &TableOptions::default())?;
        tables.push(vec![low_c, high_c, t_c, table.largest_error, table.evaluate(pt100.resistance(t_c)?)?]);
    }
    write(directory, "lookup_table", &tables)?;
    let mut polynomials = Vec::new();
    for ((low_c, high_c), t_c) in spread(0, 0.0, 200.0).zip(spread(1, 500.0, 1300.0)).zip(spread(2, 200.0, 500.0)) {
        let goal = MinimaxGoal::Degrees { numerator: 4, denominator: 0 };
        let found = minimax(&k, low_c, high_c, goal, &MinimaxOptions::default())?;
        polynomials.push(vec![low_c, high_c, t_c, found.largest_error, found.evaluate(k.signal(t_c)?)?]);
    }
    write(directory, "minimax", &polynomials)?;
    Ok(())
}
