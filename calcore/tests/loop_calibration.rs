//! The whole job, checked against worked examples done by hand and against its own description's rules.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::Error;
use calcore::decision::Verdict;
use calcore::loop_calibration::{Run, RunResult};
use serde_json::{Value, json};

const INVENTED_RUN: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

fn evaluate(run: &Value) -> RunResult {
    Run::from_json(&run.to_string()).expect("the run is well described").evaluate().expect("and can be evaluated")
}

fn rectangular(name: &str, half_width: f64) -> Value {
    json!({"name": name, "unit": "K", "distribution": {"rectangular": {"half_width": half_width}}})
}

/// The worked budget: a display of 0.1 K at 100 °C, five repeats with a standard deviation of 0.020 K, error +0.40 K;
/// beside it an indicator with a step of 0.5 K and no scatter.
fn worked_budget() -> Value {
    let times = [0.0, 10.0, 20.0, 30.0, 40.0];
    let display = [100.38, 100.38, 100.40, 100.42, 100.42];
    let instrument = |tag: &str, kind: &str, input: Option<&str>, resolution: f64| {
        let mut it = json!({
            "tag": tag, "kind": kind, "unit": "degC", "range": {"low": 0, "high": 150, "unit": "degC"},
            "tolerance": {"absolute": {"half_width": 0.75, "unit": "K"}}, "resolution": resolution
        });
        if let Some(input) = input {
            it["input"] = json!(input);
        }
        it
    };
    let mut element = instrument("TE", "element", None, 0.0);
    element["unit"] = json!("ohm");
    element["curve"] = json!({"iec60751": {"r0": 100}});
    json!({
        "schema_version": 1,
        "title": "worked budget",
        "phase": "as_found",
        "coverage": {"factor": 2},
        "decision": {"rule": "guarded"},
        "reference": {
            "tag": "REF", "unit": "degC",
            "contributions": [
                {"name": "certificate", "unit": "K", "distribution": {"expanded": {"expanded_uncertainty": 0.030, "coverage_factor": 2}}},
                rectangular("drift", 0.010),
                {"name": "readout", "unit": "K", "distribution": {"normal": {"standard_uncertainty": 0.005}}},
            ]
        },
        "heat_source": {"tag": "block", "contributions": [
            rectangular("axial", 0.050), rectangular("radial", 0.020), rectangular("loading", 0.020),
            rectangular("stability", 0.010),
        ]},
        "instruments": [
            element,
            instrument("TT", "transmitter", Some("TE"), 0.0),
            instrument("TIC", "control_system", Some("TT"), 0.1),
            instrument("TI", "indicator", Some("TT"), 0.5),
        ],
        "set_points": [{
            "nominal_c": 100,
            "readings": [
                {"tag": "REF", "time_s": times, "value": [100.0, 100.0, 100.0, 100.0, 100.0]},
                {"tag": "TIC", "time_s": times, "value": display},
                {"tag": "TI", "time_s": times, "value": [100.5, 100.5, 100.5, 100.5, 100.5]},
            ]
        }]
    })
}

/// Budget of the error of a display in a dry block, worked by hand to the digits printed (rule of composition: EA-4/02
/// M:2022; terms: EURAMET cg-13). 0.0150 (certificate), 0.0058, 0.0050, 0.0289, 0.0115, 0.0115, 0.0058 give 0.0376
/// shared; with 0.0289 (step of 0.1 K) and 0.0089 (0.020/√5, 4 degrees of freedom) 0.0483 in all.
#[test]
fn worked_budget_of_a_display() {
    let result = evaluate(&worked_budget());
    let point = &result.instrument("TIC").unwrap().points[0];
    assert!((result.set_points[0].standard_uncertainty_k - 0.0376).abs() < 0.00005);
    assert!((point.standard_uncertainty_k - 0.0483).abs() < 0.00005);
    assert!((point.expanded_uncertainty_k - 0.097).abs() < 0.0005);
    let printed = [0.0150, 0.0058, 0.0050, 0.0289, 0.0115, 0.0115, 0.0058, 0.0289, 0.0089];
    assert_eq!(point.budget.contributions.len(), printed.len());
    for (line, printed) in point.budget.contributions.iter().zip(printed) {
        assert!((line.contribution.abs() - printed).abs() < 0.00005, "{}: {}", line.quantity, line.contribution);
    }
    // "about 3400": two digits.
    assert!((point.budget.effective_degrees_of_freedom - 3400.0).abs() < 50.0);
    // Error +0.40 K against ±0.75 K: accepted up to T − U = 0.653 K, conforming with more than 0.999 999.
    assert!((point.error_k - 0.40).abs() < 1e-12);
    assert!((point.tolerance_upper_k - point.guard_band_k - 0.653).abs() < 0.0005);
    assert_eq!(point.verdict, Verdict::Pass);
    assert!(point.probability_of_conformity > 0.999_999);
}

/// With a step of 0.5 K the same budget gives 0.149 K. Worked by hand (JCGM 102:2011, variances in K²): shared
/// 0.00141667, display 0.00141667 + 0.00083333 + 0.00008 = 0.00233, indicator 0.00141667 + 0.02083333 = 0.02225; hence
/// a correlation of 0.00141667 / √(0.00233 · 0.02225) = 0.19675 and a difference of √(0.00233 + 0.02225 − 2 ·
/// 0.00141667) = 0.14747 K.
#[test]
fn shared_errors_of_two_displays() {
    let result = evaluate(&worked_budget());
    let tags: Vec<&str> = result.instruments.iter().map(|instrument| instrument.tag.as_str()).collect();
    assert_eq!(tags, ["TIC", "TI"]);
    assert!((result.instrument("TI").unwrap().points[0].standard_uncertainty_k - 0.149).abs() < 0.0005);
    assert!((result.covariance.correlation(0, 1) - 0.19675).abs() < 0.00001);
    assert!((result.covariance.variance_of(&[-1.0, 1.0]).sqrt() - 0.14747).abs() < 0.00001);
    for (i, instrument) in result.instruments.iter().enumerate() {
        let u = instrument.points[0].standard_uncertainty_k;
        assert!((result.covariance.standard_uncertainty(i) - u).abs() < 1e-15);
    }
}

/// Chain of a smart transmitter on 0 °C to 150 °C, worked by hand: reference 100.000 °C, element 138.62 ohm, digital
/// value 100.35 °C, current 14.712 mA, display 100.4 °C: +0.302, +0.048, +0.075, −0.025 make +0.400 K.
fn worked_chain() -> Value {
    let mut run = worked_budget();
    let range = json!({"low": 0, "high": 150, "unit": "degC"});
    let link = |tag: &str, kind: &str, input: &str, unit: &str| {
        json!({"tag": tag, "kind": kind, "input": input, "unit": unit, "range": range, "resolution": 0.001,
            "tolerance": {"percent_of_span": {"percent": 0.25}}})
    };
    run["instruments"] = json!([
        {"tag": "TE", "kind": "element", "unit": "ohm", "range": {"low": -50, "high": 250, "unit": "degC"},
            "curve": {"iec60751": {"r0": 100}}, "resolution": 0.001,
            "tolerance": {"iec60751": {"class": "B", "construction": "film"}}},
        link("PV", "transmitter", "TE", "degC"),
        link("OUT", "output_stage", "PV", "mA"),
        link("TIC", "control_system", "OUT", "degC"),
    ]);
    let reading = |tag: &str, value: f64| json!({"tag": tag, "time_s": [0.0], "value": [value]});
    run["set_points"] = json!([{"nominal_c": 100, "readings": [
        reading("REF", 100.0), reading("TE", 138.62), reading("PV", 100.35), reading("OUT", 14.712),
        reading("TIC", 100.4),
    ]}]);
    run
}

#[test]
fn worked_attribution() {
    let result = evaluate(&worked_chain());
    let attribution = &result.attribution[0];
    assert_eq!((attribution.tag.as_str(), result.attribution.len()), ("TIC", 1));
    let point = &attribution.set_points[0];
    let printed = [("TE", 0.302), ("PV", 0.048), ("OUT", 0.075), ("TIC", -0.025)];
    for (share, (tag, printed)) in point.shares.iter().zip(printed) {
        assert_eq!(share.tag, tag);
        assert!((share.error_k - printed).abs() < 0.0005, "{tag}: {}", share.error_k);
    }
    assert_eq!(attribution.cause, "TE");
    // The parts add up to the whole: four roundings of numbers near 0.4.
    let sum: f64 = point.shares.iter().map(|share| share.error_k).sum();
    assert!((sum - point.error_k).abs() <= 4.0 * f64::EPSILON && (point.error_k - 0.4).abs() < 1e-12);
    // 14.712 mA is 0.008 mA above the 14.704 mA that 100.35 °C calls for.
    let out = &result.instrument("OUT").unwrap().points[0];
    assert!((out.error - (14.712 - (4.0 + 16.0 * 100.0 / 150.0))).abs() < 1e-12);
    // Beyond the element reference and block cancel: two steps of 0.001 degC (and of 0.001 mA, 9.375 mK) remain.
    let u_step = |k: f64| 0.001 * k / 12f64.sqrt();
    let u_out = f64::hypot(u_step(1.0), u_step(150.0 / 16.0));
    assert!((point.shares[2].standard_uncertainty_k - u_out).abs() < 1e-15);
}

/// Nobody read the transmitter: what it adds is in the share of the next link, and that says so.
#[test]
fn a_link_not_read_is_named() {
    let mut run = worked_chain();
    run["set_points"][0]["readings"].as_array_mut().unwrap().remove(2);
    let result = evaluate(&run);
    let shares = &result.attribution[0].set_points[0].shares;
    assert_eq!(shares.iter().map(|share| share.tag.as_str()).collect::<Vec<_>>(), ["TE", "OUT", "TIC"]);
    assert_eq!(shares[1].unread, ["PV"]);
    assert!((shares[1].error_k - (0.048 + 0.075)).abs() < 0.001);
    assert!(result.warnings.iter().any(|warning| warning.code == "not_read" && warning.message.contains("PV")));
}

/// A block that drifts evenly makes no error, however late an instrument is read: the reference is taken at the moment
/// of each reading.
#[test]
fn an_even_drift_makes_no_error() {
    let mut run = worked_chain();
    let drifting = |time: f64| 100.0 + 0.001 * time;
    let (early, late): (Vec<f64>, Vec<f64>) =
        ((0..5).map(|i| f64::from(i) * 30.0).collect(), (0..3).map(|i| 17.0 + f64::from(i) * 40.0).collect());
    let reading = |tag: &str, times: &[f64]| json!({"tag": tag, "time_s": times, "value": times.iter().map(|t| drifting(*t)).collect::<Vec<_>>()});
    run["set_points"] = json!([{"nominal_c": 100, "readings": [reading("REF", &early), reading("TIC", &late)]}]);
    let result = evaluate(&run);
    let point = &result.instrument("TIC").unwrap().points[0];
    // A few roundings of 100.
    assert!(
        point.error_k.abs() < 1e-13
            && point
                .budget
                .contributions
                .iter()
                .all(|line| !line.quantity.contains("repeatability") || line.standard_uncertainty < 1e-13)
    );
    assert!((point.reference_c - (100.0 + 0.001 * 57.0)).abs() < 1e-12);
}

/// Readings in °F with a tolerance in °F: an interval of 1.8 °F is 1 K, and 212 °F is 100 °C (SI Brochure).
#[test]
fn fahrenheit_readings() {
    let mut run = worked_chain();
    run["instruments"][3]["unit"] = json!("degF");
    run["instruments"][3]["range"] = json!({"low": 32, "high": 302, "unit": "degF"});
    run["instruments"][3]["tolerance"] = json!({"absolute": {"half_width": 1.8, "unit": "degF"}});
    run["set_points"][0]["readings"][4]["value"] = json!([212.9]);
    let result = evaluate(&run);
    let point = &result.instrument("TIC").unwrap().points[0];
    assert!((point.error_k - 0.5).abs() < 1e-12 && (point.error - 0.9).abs() < 1e-12);
    assert!((point.error_percent_of_span - 100.0 * 0.5 / 150.0).abs() < 1e-12);
    assert!((point.tolerance_upper_k - 1.0).abs() < 1e-15);
    assert!((point.expanded_uncertainty - 1.8 * point.expanded_uncertainty_k).abs() < 1e-15);
}

/// A reversed transmitter: 4 mA stands for the upper temperature.
#[test]
fn reversed_range() {
    let mut run = worked_chain();
    run["instruments"][2]["range"] = json!({"low": 150, "high": 0, "unit": "degC"});
    // 100 °C is a third of the way from 150 °C to 0 °C: 4 + 16/3 mA; 0.016 mA less reads 0.15 K more.
    run["set_points"][0]["readings"][3]["value"] = json!([4.0 + 16.0 / 3.0 - 0.016]);
    let point = &evaluate(&run).instrument("OUT").unwrap().points[0].clone();
    assert!((point.error_k - 0.15).abs() < 1e-12 && (point.error + 0.016).abs() < 1e-12);
}

/// The invented loop: its faults were put in by hand, and the evaluation finds them.
#[test]
fn the_invented_loop_shows_its_fault() {
    let result = Run::from_json(INVENTED_RUN).unwrap().evaluate().unwrap();
    assert!(result.attribution.iter().all(|loop_| loop_.cause == "TT-4107 mA" && loop_.significant));
    assert_eq!(result.instrument("TIC-4107").unwrap().verdict, Verdict::Fail);
    assert_eq!(result.instrument("TE-4107").unwrap().verdict, Verdict::Pass);
    let again = Run::from_json(&result.run.to_json().unwrap()).unwrap();
    assert_eq!(again, result.run);
    assert_eq!(again.evaluate().unwrap().to_json().unwrap(), result.to_json().unwrap());
}

/// Applies a change to the worked chain and returns what is said about it.
fn refusal(change: impl Fn(&mut Value)) -> String {
    let mut run = worked_chain();
    change(&mut run);
    match Run::from_json(&run.to_string()) {
        Err(error @ (Error::Document { .. } | Error::InvalidRun { .. })) => error.to_string(),
        other => format!("not refused: {other:?}"),
    }
}

/// A change to a description.
type Change = Box<dyn Fn(&mut Value)>;

#[test]
fn faults_are_named_with_their_path() {
    let cases: [(&str, Change); 24] = [
        (
            "instruments[2].range: missing field `high`",
            Box::new(|run| run["instruments"][2]["range"] = json!({"low": 0})),
        ),
        ("instruments[2].rnage: unknown field `rnage`", Box::new(|run| run["instruments"][2]["rnage"] = json!({}))),
        (
            "instruments[1].kind: unknown variant `transmiter`",
            Box::new(|run| run["instruments"][1]["kind"] = json!("transmiter")),
        ),
        (
            "instruments[0].tolerance.iec60751.class: unknown",
            Box::new(|run| run["instruments"][0]["tolerance"]["iec60751"]["class"] = json!("D")),
        ),
        (
            "instruments[0].tolerance.iec60751.construction: missing",
            Box::new(|run| run["instruments"][0]["tolerance"] = json!({"iec60751": {"class": "B"}})),
        ),
        (
            "set_points[0].readings[1].value[0]: invalid type",
            Box::new(|run| run["set_points"][0]["readings"][1]["value"] = json!(["138"])),
        ),
        ("schema_version: 2 is not known", Box::new(|run| run["schema_version"] = json!(2))),
        (
            "coverage.probability: 1 must lie between 0 and 1",
            Box::new(|run| run["coverage"] = json!({"probability": 1})),
        ),
        ("coverage.factor: -2 must be greater than 0", Box::new(|run| run["coverage"] = json!({"factor": -2}))),
        ("reference.curve: missing", Box::new(|run| run["reference"]["unit"] = json!("ohm"))),
        (
            "reference.contributions: at least the certificate",
            Box::new(|run| run["reference"]["contributions"] = json!([])),
        ),
        (
            "reference.contributions[0].unit: mA is not possible",
            Box::new(|run| run["reference"]["contributions"][0]["unit"] = json!("mA")),
        ),
        (
            "instruments[1].input: no instrument has the tag \"TX\"",
            Box::new(|run| run["instruments"][1]["input"] = json!("TX")),
        ),
        (
            "instruments[1].input: control-system value \"TIC\" cannot come before a transmitter",
            Box::new(|run| run["instruments"][1]["input"] = json!("TIC")),
        ),
        (
            "instruments[1].tag: \"TE\" is taken by instruments[0].tag",
            Box::new(|run| run["instruments"][1]["tag"] = json!("TE")),
        ),
        (
            "instruments[3].range: low, 150 degC, must be below high, 0 degC",
            Box::new(|run| run["instruments"][3]["range"] = json!({"low": 150, "high": 0, "unit": "degC"})),
        ),
        (
            "instruments[3].tolerance.absolute.unit: degF on an instrument that reads degC",
            Box::new(|run| run["instruments"][3]["tolerance"] = json!({"absolute": {"half_width": 1, "unit": "degF"}})),
        ),
        (
            "the set point 100 °C lies outside the range of \"TIC\", 0 °C to 90 °C",
            Box::new(|run| run["instruments"][3]["range"]["high"] = json!(90)),
        ),
        (
            "set_points[0].readings[3].value[0]: loop current 3.5 mA is outside 3.8 to 20.5 mA",
            Box::new(|run| run["set_points"][0]["readings"][3]["value"] = json!([3.5])),
        ),
        (
            "set_points[0].readings[1].value[0]: resistance 1 ohm is outside 18.52",
            Box::new(|run| run["set_points"][0]["readings"][1]["value"] = json!([1.0])),
        ),
        (
            "set_points[0].readings[4].time_s[0]: 5 s lies outside the readings of the reference \"REF\", 0 s to 0 s",
            Box::new(|run| run["set_points"][0]["readings"][4]["time_s"] = json!([5.0])),
        ),
        (
            "set_points[0].readings[4].time_s: 1 times for 2 values",
            Box::new(|run| run["set_points"][0]["readings"][4]["value"] = json!([100.4, 100.4])),
        ),
        (
            "set_points[0].readings: the reference \"REF\" was not read",
            Box::new(|run| {
                run["set_points"][0]["readings"].as_array_mut().unwrap().remove(0).take().as_null().unwrap_or(())
            }),
        ),
        (
            "set_points[0].readings[4].tag: \"TE\" has readings above already",
            Box::new(|run| run["set_points"][0]["readings"][4]["tag"] = json!("TE")),
        ),
    ];
    for (expected, change) in &cases {
        let said = refusal(change);
        assert!(said.contains(expected), "expected {expected:?}\nsaid {said}");
    }
}

#[test]
fn all_contradictions_are_said_at_once() {
    let said = refusal(|run| {
        run["schema_version"] = json!(7);
        run["instruments"][1]["resolution"] = json!(-1);
        run["instruments"][3]["input"] = json!("XX");
    });
    for path in ["schema_version:", "instruments[1].resolution:", "instruments[3].input:"] {
        assert!(said.contains(path), "{path} is not in {said}");
    }
}

#[test]
fn text_that_is_not_json_is_refused() {
    for text in ["", "{", "[]", "{} {}", "null", "{\"schema_version\": 1e999}"] {
        assert_eq!(Run::from_json(text).map_err(|error| error.code()), Err(301), "{text}");
    }
    let twice = INVENTED_RUN.replacen("\"phase\"", "\"title\": \"again\", \"phase\"", 1);
    assert!(Run::from_json(&twice).unwrap_err().to_string().contains("duplicate field `title`"));
}

/// An element of known coefficients, read without error at five points on both sides of 0 °C, gives them back. The
/// resistances were computed with 40 digits (mpmath) from R0 = 100.05 ohm, A = 3.9070e-3, B = -5.77e-7, C = -4.2e-12.
#[test]
fn new_coefficients_of_an_element() {
    let mut run = worked_chain();
    run["instruments"] = json!([run["instruments"][0]]);
    let points = [
        (-50.0, 80.353_031_437_5),
        (-45.0, 82.337_256_041_493_75),
        (0.0, 100.05),
        (100.0, 138.5622465),
        (200.0, 175.919_916),
    ];
    let reading = |tag: &str, time: f64, value: f64| json!({"tag": tag, "time_s": [time], "value": [value]});
    let set_points: Vec<Value> = points
        .iter()
        .enumerate()
        .map(|(i, (t_c, ohm))| {
            let time = 1000.0 * i as f64;
            json!({"nominal_c": t_c, "readings": [reading("REF", time, *t_c), reading("TE", time, *ohm)]})
        })
        .collect();
    run["set_points"] = json!(set_points);
    let result = evaluate(&run);
    let fit = &result.element_fits[0];
    assert!(fit.held.is_empty() && fit.degrees_of_freedom == 1);
    for (got, known) in [(fit.r0, 100.05), (fit.a, 3.9070e-3), (fit.b, -5.77e-7), (fit.c, -4.2e-12)] {
        // The resistances are printed to all their digits; C, from 45 °C and 50 °C below zero, is the least well
        // determined: 1e-12 ohm is 1e-5 of its part.
        let tolerance = if known == -4.2e-12 { 1e-6 } else { 1e-9 };
        assert!((got / known - 1.0).abs() < tolerance, "{got} {known}");
    }
    // The reference's own uncertainty, 0.0166 K, is common to all points: no fit averages it down.
    let u_reference = (0.015f64.powi(2) + 0.01f64.powi(2) / 3.0 + 0.005f64.powi(2)).sqrt();
    assert!(fit.standard_uncertainties_k.iter().all(|u| *u > u_reference));
}

#[test]
fn an_element_with_few_points_keeps_what_they_leave_open() {
    let result = evaluate(&worked_chain());
    let fit = &result.element_fits[0];
    assert_eq!(fit.held, ["a", "b", "c"]);
    assert_eq!((fit.a, fit.b, fit.c), (3.9083e-3, -5.775e-7, -4.183e-12));
    // 138.62 ohm over W(100 °C) = 1.385055.
    assert!((fit.r0 - 138.62 / 1.385055).abs() < 1e-9);
}

/// Four faults of the form, in one document: all are said, each with its path.
#[test]
fn all_faults_of_the_form_are_said_at_once() {
    let mut run: Value = serde_json::from_str(INVENTED_RUN).unwrap();
    run["titel"] = "x".into();
    run["instruments"][0]["rnage"] = run["instruments"][0]["range"].take();
    run["instruments"][0].as_object_mut().unwrap().remove("range");
    run["instruments"][1]["kind"] = "transmiter".into();
    run["instruments"][2]["tolerance"] = json!({"absolute": {"half_width": "0.5", "unit": "K"}});
    run["reference"]["contributions"][0]["distribution"] = json!({"expanded": {"expanded_uncertainty": 0.03}});
    run["set_points"][1]["readings"][0]["value"][2] = json!("138,5");
    let said = Run::from_json(&run.to_string()).unwrap_err().to_string();
    for part in [
        "titel: unknown field `titel`",
        "instruments[0].rnage: unknown field `rnage`",
        "instruments[0]: missing field `range`",
        "instruments[1].kind: \"transmiter\" is not known: ",
        "instruments[2].tolerance.absolute.half_width: expected number, found string",
        "reference.contributions[0].distribution.expanded: missing field `coverage_factor`",
        "set_points[1].readings[0].value[2]: expected number, found string",
        "; 6 more: ",
    ] {
        assert!(said.contains(part), "{part} is not in {said}");
    }
    // What is right for the reader is right for the list: nothing is added to a single fault.
    let mut single: Value = serde_json::from_str(INVENTED_RUN).unwrap();
    single["titel"] = "x".into();
    let said = Run::from_json(&single.to_string()).unwrap_err().to_string();
    assert!(!said.contains("more:"), "{said}");
}
