//! Readings as they come in a plant: other units, late ones, displays that cut digits off, stems that are not deep enough,
//! one transmitter with two displays. Each against a number worked by hand.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

use calcore::loop_calibration::{PointResult, Run, RunResult};
use serde_json::{Value, json};

fn evaluate(run: &Value) -> RunResult {
    Run::from_json(&run.to_string()).expect("well described").evaluate().expect("can be evaluated")
}

fn refusal(run: &Value) -> String {
    Run::from_json(&run.to_string()).expect_err("contradicts itself").to_string()
}

/// An element at 100 °C by IEC 60751 with links behind it, each `(tag, kind, input, unit, reading)`.
fn tree(links: &[(&str, &str, &str, &str, f64)]) -> Value {
    let link = |(tag, kind, input, unit, _): &(&str, &str, &str, &str, f64)| {
        json!({"tag": tag, "kind": kind, "input": input, "unit": unit, "resolution": 0,
            "range": {"low": 0, "high": 150, "unit": "degC"},
            "tolerance": {"absolute": {"half_width": 0.5, "unit": "K"}}})
    };
    let mut instruments = vec![json!({"tag": "TE", "kind": "element", "unit": "ohm", "resolution": 0,
        "curve": {"iec60751": {"r0": 100}}, "range": {"low": -50, "high": 250, "unit": "degC"},
        "tolerance": {"iec60751": {"class": "B", "construction": "wire_wound"}}})];
    instruments.extend(links.iter().map(link));
    let mut readings = vec![
        json!({"tag": "REF", "time_s": [0.0], "value": [100.0]}),
        // R(100 °C), IEC 60751:2022, table 1, with the digits that its equation gives.
        json!({"tag": "TE", "time_s": [0.0], "value": [138.5055]}),
    ];
    readings.extend(links.iter().map(|link| json!({"tag": link.0, "time_s": [0.0], "value": [link.4]})));
    json!({
        "schema_version": 1, "title": "a tree", "phase": "as_found", "coverage": {"factor": 2},
        "decision": {"rule": "simple"},
        "reference": {"tag": "REF", "unit": "degC", "contributions": [
            {"name": "certificate", "unit": "K", "distribution": {"normal": {"standard_uncertainty": 0.01}}}]},
        "heat_source": {"tag": "block", "contributions": [
            {"name": "axial", "unit": "K", "distribution": {"normal": {"standard_uncertainty": 0.03}}}]},
        "instruments": instruments, "set_points": [{"nominal_c": 100, "readings": readings}]
    })
}

fn point<'a>(result: &'a RunResult, tag: &str) -> &'a PointResult {
    &result.instrument(tag).unwrap().points[0]
}

/// One transmitter reads 0.10 K too high; a display in °F behind it 0.05 K more, one in K 0.20 K less. 212.27 °F is
/// 100.15 °C and 373.05 K is 99.90 °C (SI Brochure).
#[test]
fn one_transmitter_and_two_displays() {
    let mut run = tree(&[
        ("TT", "transmitter", "TE", "degC", 100.10),
        ("TI", "indicator", "TT", "degF", 212.27),
        ("TIC", "control_system", "TT", "K", 373.05),
    ]);
    run["instruments"][3]["range"] = json!({"low": 273.15, "high": 423.15, "unit": "K"});
    run["instruments"][3]["tolerance"] = json!({"absolute": {"half_width": 0.5, "unit": "K"}});
    let result = evaluate(&run);
    assert!((point(&result, "TI").error_k - 0.15).abs() < 1e-12);
    assert!((point(&result, "TI").error - 0.27).abs() < 1e-12);
    assert!((point(&result, "TIC").error_k + 0.10).abs() < 1e-12);
    assert!((point(&result, "TIC").error + 0.10).abs() < 1e-12);
    assert!((point(&result, "TIC").error_percent_of_span + 10.0 / 150.0).abs() < 1e-12);
    let tags: Vec<&str> = result.attribution.iter().map(|one| one.tag.as_str()).collect();
    assert_eq!(tags, ["TI", "TIC"]);
    for (attribution, last_k) in result.attribution.iter().zip([0.05, -0.20]) {
        assert_eq!(attribution.links, ["TE", "TT", attribution.tag.as_str()]);
        let shares = &attribution.set_points[0].shares;
        assert!(shares[0].error_k.abs() < 1e-9);
        assert!((shares[1].error_k - 0.10).abs() < 1e-9);
        assert!((shares[2].error_k - last_k).abs() < 1e-12);
        // Reference and block are common to two displays on one transmitter: nothing of them is left.
        assert!(shares[2].standard_uncertainty_k < 1e-12);
        let sum = result.sum_of_shares(&attribution.tag, 0).unwrap();
        assert_eq!(sum.to_bits(), attribution.set_points[0].error_k.to_bits());
    }
    // u² = 0.01² + 0.03² is all covariance between the two displays.
    let (i, j) = (2, 3);
    assert!((result.covariance.get(i, j) - 0.001).abs() < 1e-15);
}

/// Read by telephone 90 s after the reference, while the block drifts by 0.04 K/min: 0.06 K that is no error of the
/// display, as long as the moments are known.
#[test]
fn a_value_that_comes_later() {
    let mut run = tree(&[("TIC", "control_system", "TE", "degC", 100.06)]);
    run["set_points"][0]["readings"][0] =
        json!({"tag": "REF", "time_s": [0.0, 60.0, 120.0], "value": [100.0, 100.04, 100.08]});
    run["set_points"][0]["readings"][2]["time_s"] = json!([90.0]);
    let result = evaluate(&run);
    assert!((point(&result, "TIC").reference_c - 100.06).abs() < 1e-12);
    assert!(point(&result, "TIC").error_k.abs() < 1e-12);
    run["instruments"][1]["read_within_s"] = json!(30);
    let doubt = point(&evaluate(&run), "TIC").budget.contributions.last().unwrap().clone();
    // 0.04 K/min over ±30 s, rectangular.
    assert!(doubt.quantity.contains("drift over the delay"), "{}", doubt.quantity);
    assert!((doubt.contribution - 0.02 / 3f64.sqrt()).abs() < 1e-12);
}

/// A display that cuts off at 0.1 K shows 99.9 for anything from 99.9 to 100.0: 99.95 on average.
#[test]
fn a_display_that_cuts_digits_off() {
    let mut run = tree(&[("TIC", "control_system", "TE", "degC", 99.9)]);
    run["instruments"][1]["resolution"] = json!(0.1);
    assert!((point(&evaluate(&run), "TIC").error_k + 0.10).abs() < 1e-12);
    run["instruments"][1]["rounding"] = json!("truncate");
    let cut = evaluate(&run);
    assert!((point(&cut, "TIC").error_k + 0.05).abs() < 1e-12);
    assert!((point(&cut, "TIC").error + 0.05).abs() < 1e-12);
    assert!((point(&cut, "TIC").reading - 99.9).abs() < 1e-12);
    run["instruments"][1]["resolution"] = json!(0);
    assert!(refusal(&run).contains("instruments[1].rounding: needs a resolution"));
}

/// A stem of 6 mm, 30 mm deep, at 20 °C around: e⁻⁵ = 0.67 % of the difference is lost (computed). A true 100 °C is read
/// as 100 − 0.0067379 × 80 = 99.46096 °C.
#[test]
fn a_stem_that_is_not_deep_enough() {
    let mut run = tree(&[]);
    run["reference"]["immersion"] = json!({"effective_diameter_mm": 6, "factor": 1, "depth_mm": 30, "ambient_c": 20,
        "relative_uncertainty": 0.5});
    run["set_points"][0]["readings"][0]["value"] = json!([99.460_96]);
    let result = evaluate(&run);
    assert!((result.set_points[0].reference_c - 100.0).abs() < 1e-5);
    let budget = &point(&result, "TE").budget;
    let line = budget.contributions.iter().find(|line| line.quantity == "REF: immersion").unwrap();
    // Half of the correction of 0.539 K.
    assert!((line.contribution.abs() - 0.5 * 0.53904).abs() < 1e-5);
    run["reference"]["immersion"]["depth_mm"] = json!(0);
    assert!(refusal(&run).contains("the sensor does not reach the medium"));
    run["reference"]["immersion"]["factor"] = json!(-1);
    assert!(refusal(&run).contains("reference.immersion.factor: -1 must be greater than 0"));
}

/// The readout of a couple is corrected before the emf of the reference junction is added to it: type K, 3.0960 mV with
/// the junction at 25 °C is 100 °C (E(25 °C) = 1.0002 mV, E(100 °C) = 4.0962 mV, IEC 60584-1:2013).
#[test]
fn the_readout_comes_before_the_reference_junction() {
    let mut run = tree(&[]);
    run["reference"]["unit"] = json!("mV");
    run["reference"]["curve"] = json!({"thermocouple": {"letter": "K"}});
    run["reference"]["reference_junction"] = json!({"measured": {"t_c": 25, "standard_uncertainty_k": 0.1}});
    run["reference"]["readout_correction"] = json!({"at": [3.0, 3.2], "correction": [0.01, 0.01]});
    run["set_points"][0]["readings"][0]["value"] = json!([3.0860]);
    // A rounding of the table, half of 0.0001 mV twice, over 0.041 mV/K.
    assert!((evaluate(&run).set_points[0].reference_c - 100.0).abs() < 0.003);
}

/// 1 + 0.02 t + 0.0001 t² V is 4 V at 100 °C.
#[test]
fn a_transfer_function_of_ones_own() {
    let mut run = tree(&[("X", "custom", "TE", "V", 4.04)]);
    run["instruments"][1]["transfer"] = json!({"polynomial": {"coefficients": [1.0, 0.02, 1e-4]}});
    let result = evaluate(&run);
    assert!((point(&result, "X").error - 0.04).abs() < 1e-12);
    // 0.04 V over 0.04 V/K, bent by 1e-4 V/K²: t = −100 + √(200² + 0.04/1e-4) °C.
    assert!((point(&result, "X").error_k - ((40_400f64).sqrt() - 200.0)).abs() < 1e-9);
    run["instruments"][1]["transfer"] = json!({"polynomial": {"coefficients": [1.0, 0.02, -1e-4]}});
    assert!(refusal(&run).contains("instruments[1].transfer: slope of the transfer function"));
}
