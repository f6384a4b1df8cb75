//! Simulated loops with a known fault in a known link: the attribution finds it, and every interval covers the truth as
//! often as it says. 10,000 loops in release, 1000 in debug.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

use calcore::curves::{CallendarVanDusen, SensorCurve};
use calcore::loop_calibration::{Run, RunResult, evaluate_all};
use serde_json::{Value, json};

const LOOPS: usize = if cfg!(debug_assertions) { 1_000 } else { 10_000 };
const POINTS: [f64; 4] = [20.0, 60.0, 100.0, 140.0];
const LINKS: [&str; 4] = ["TE", "PV", "MA", "DCS"];
const READINGS: usize = 10;

/// A generator of its own, so that no number here is made by the core: SplitMix64 and Box and Muller.
struct Random(u64);

impl Random {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self, u: f64) -> f64 {
        let (a, b) = (1.0 - self.uniform(), self.uniform());
        u * (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn rectangular(&mut self, half_width: f64) -> f64 {
        half_width * (2.0 * self.uniform() - 1.0)
    }
}

fn rectangular(name: &str, unit: &str, half_width: f64) -> Value {
    json!({"name": name, "unit": unit, "distribution": {"rectangular": {"half_width": half_width}}})
}

fn description() -> Value {
    let link = |tag: &str, kind: &str, unit: &str, contributions: Value| {
        json!({"tag": tag, "kind": kind, "unit": unit, "resolution": 0, "contributions": contributions,
            "range": {"low": 0, "high": 150, "unit": "degC"}, "tolerance": {"absolute": {"half_width": 0.5, "unit": "K"}}})
    };
    let mut instruments = [
        link("TE", "element", "ohm", json!([rectangular("meter", "ohm", 0.01)])),
        link("PV", "transmitter", "degC", json!([])),
        link("MA", "output_stage", "mA", json!([rectangular("meter", "mA", 0.003)])),
        link("DCS", "control_system", "degC", json!([rectangular("display", "K", 0.05)])),
    ];
    instruments[0]["curve"] = json!({"iec60751": {"r0": 100}});
    for i in 1..4 {
        instruments[i]["input"] = json!(LINKS[i - 1]);
    }
    json!({
        "schema_version": 1, "title": "simulated", "phase": "as_found", "coverage": {"shapes": 0.95},
        "decision": {"rule": "simple"},
        "reference": {"tag": "REF", "unit": "degC", "contributions": [
            {"name": "certificate", "unit": "K", "distribution": {"expanded": {"expanded_uncertainty": 0.03, "coverage_factor": 2}}},
            rectangular("drift", "K", 0.02)]},
        "heat_source": {"tag": "block", "contributions": [rectangular("axial", "K", 0.03), rectangular("radial", "K", 0.02)]},
        "instruments": instruments, "set_points": []
    })
}

/// A loop with everything that is true of it.
struct Simulated {
    run: Run,
    faulty: usize,
    /// True share of each link at each set point, K.
    shares: Vec<[f64; 4]>,
}

fn simulate(random: &mut Random, template: &Value, iec: &CallendarVanDusen) -> Simulated {
    let faulty = (4.0 * random.uniform()) as usize;
    let size = random.rectangular(1.0);
    let fault = size + 0.3f64.copysign(size);
    let slope = random.rectangular(0.3);
    let (certificate, drift) = (random.normal(0.015), random.rectangular(0.02));
    let mut set_points = Vec::new();
    let mut shares = Vec::new();
    for (i, &nominal) in POINTS.iter().enumerate() {
        let block = random.rectangular(0.03) + random.rectangular(0.02);
        let mut truth = [0.0; 4];
        for share in &mut truth {
            *share = random.rectangular(0.02);
        }
        truth[faulty] += fault + slope * (nominal - 80.0) / 60.0;
        let meters = [random.rectangular(0.01), 0.0, random.rectangular(0.003), random.rectangular(0.05)];
        let times: Vec<f64> = (0..READINGS).map(|k| 1000.0 * i as f64 + 10.0 * k as f64).collect();
        // The element feels the block there, which the reference does not see; its certificate and drift are off.
        let t = nominal + block;
        let shown = nominal + certificate + drift;
        let mut readings = vec![json!({"tag": "REF", "time_s": times, "value": vec![shown; READINGS]})];
        let mut here = t;
        for (link, tag) in LINKS.iter().enumerate() {
            here += truth[link];
            let values: Vec<f64> = (0..READINGS)
                .map(|_| {
                    let read = here + random.normal(0.02);
                    match link {
                        0 => iec.signal(read).unwrap() + meters[0],
                        2 => 4.0 + 16.0 * read / 150.0 + meters[2],
                        _ => read + meters[link],
                    }
                })
                .collect();
            readings.push(json!({"tag": tag, "time_s": times, "value": values}));
        }
        set_points.push(json!({"nominal_c": nominal, "readings": readings}));
        shares.push(truth);
    }
    let mut run = template.clone();
    run["set_points"] = json!(set_points);
    Simulated { run: Run::from_json(&run.to_string()).unwrap(), faulty, shares }
}

struct Count {
    covered: usize,
    all: usize,
}

impl Count {
    fn add(&mut self, covered: bool) {
        self.covered += usize::from(covered);
        self.all += 1;
    }

    fn percent(&self) -> f64 {
        100.0 * self.covered as f64 / self.all as f64
    }
}

#[test]
fn faults_are_found_and_intervals_cover() {
    let (template, iec) = (description(), CallendarVanDusen::iec60751(100.0).unwrap());
    let mut random = Random(20_240_607);
    let simulated: Vec<Simulated> = (0..LOOPS).map(|_| simulate(&mut random, &template, &iec)).collect();
    let runs: Vec<Run> = simulated.iter().map(|one| one.run.clone()).collect();
    let results = evaluate_all(&runs, 2);
    let (mut found, mut significant, mut ranked) = (0, 0, 0);
    let mut counts: Vec<Count> = (0..9).map(|_| Count { covered: 0, all: 0 }).collect();
    for (one, result) in simulated.iter().zip(&results) {
        let result: &RunResult = result.as_ref().unwrap();
        let attribution = &result.attribution[0];
        found += usize::from(attribution.cause == LINKS[one.faulty]);
        significant += usize::from(attribution.significant);
        ranked +=
            usize::from(result.hypotheses("DCS").unwrap().first().is_some_and(|first| first.link == LINKS[one.faulty]));
        for (split, truth) in attribution.set_points.iter().zip(&one.shares) {
            // The shares add up to the whole: four roundings of numbers below 2.
            let sum: f64 = split.shares.iter().map(|share| share.error_k).sum();
            assert!((sum - split.error_k).abs() <= 8.0 * f64::EPSILON);
            // And to the last bit by the compensated sum.
            let exact = result.sum_of_shares("DCS", split.set_point).unwrap();
            assert_eq!(exact.to_bits(), split.error_k.to_bits());
            for (link, share) in split.shares.iter().enumerate() {
                counts[link].add((share.error_k - truth[link]).abs() <= share.expanded_uncertainty_k);
            }
            let mut whole = 0.0;
            for (link, tag) in LINKS.iter().enumerate() {
                whole += truth[link];
                let point = &result.instrument(tag).unwrap().points[split.set_point];
                counts[4 + link].add((point.error_k - whole).abs() <= point.expanded_uncertainty_k);
            }
        }
        for (point, truth) in result.after_correcting("DCS", LINKS[one.faulty]).unwrap().iter().zip(&one.shares) {
            let left: f64 = truth.iter().sum::<f64>() - truth[one.faulty];
            counts[8].add((point.error_k - left).abs() <= point.expanded_uncertainty_k);
        }
    }
    let rate = |count: usize| 100.0 * count as f64 / LOOPS as f64;
    println!("found {:.2} % significant {:.2} % ranked first {:.2} %", rate(found), rate(significant), rate(ranked));
    println!("coverage {:?}", counts.iter().map(|c| (100.0 * c.percent()).round() / 100.0).collect::<Vec<_>>());
    // The smallest fault, 0.3 K less a slope of as much, is five times what the others have: the root of its mean
    // square is the largest nearly always.
    assert!(rate(found) > 99.5 && rate(significant) > 99.5 && rate(ranked) > 97.0);
    for (i, count) in counts.iter().enumerate() {
        // 94 % to 96 %; the intervals of the corrected loop take a normal distribution for rectangles and cover more.
        let high = if i == 8 { 97.5 } else { 96.0 };
        assert!(count.percent() > 94.0 && count.percent() < high, "{i}: {}", count.percent());
    }
}

/// What is common to all links at a set point enters the covariance: the difference of two errors, over many loops,
/// scatters as the matrix says. Seen at one point over all loops: 3 standard deviations of a variance, 3 √(2/n).
#[test]
fn the_covariance_is_that_of_the_errors() {
    let (template, iec) = (description(), CallendarVanDusen::iec60751(100.0).unwrap());
    let mut random = Random(4711);
    let simulated: Vec<Simulated> = (0..LOOPS / 2).map(|_| simulate(&mut random, &template, &iec)).collect();
    let runs: Vec<Run> = simulated.iter().map(|one| one.run.clone()).collect();
    let (mut squares, mut stated) = ([0.0; 2], [0.0; 2]);
    for (one, result) in simulated.iter().zip(evaluate_all(&runs, 2)) {
        let result = result.unwrap();
        let miss = |tag: &str, last: usize, point: usize| {
            let true_error: f64 = one.shares[point][..=last].iter().sum();
            result.instrument(tag).unwrap().points[point].error_k - true_error
        };
        // Two links at one set point; one link at two set points. Rows: 4 points an instrument.
        let pairs = [((("PV", 1), 0), (("DCS", 3), 0), (4, 12)), ((("PV", 1), 0), (("PV", 1), 3), (4, 7))];
        for (i, (a, b, (row, column))) in pairs.into_iter().enumerate() {
            let d = miss(a.0.0, a.0.1, a.1) - miss(b.0.0, b.0.1, b.1);
            squares[i] += d * d;
            let c = &result.covariance;
            stated[i] += c.get(row, row) + c.get(column, column) - 2.0 * c.get(row, column);
        }
    }
    for (seen, stated) in squares.iter().zip(stated) {
        assert!((seen / stated - 1.0).abs() < 3.0 * (2.0 / (LOOPS as f64 / 2.0)).sqrt() + 0.01, "{}", seen / stated);
    }
}
