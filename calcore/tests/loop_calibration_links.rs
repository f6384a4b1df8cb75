//! References and links of all kinds through the run: each effect against a number worked by hand.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::loop_calibration::{PointResult, Run, RunResult};
use serde_json::{Value, json};

fn evaluate(run: &Value) -> RunResult {
    Run::from_json(&run.to_string()).expect("well described").evaluate().expect("can be evaluated")
}

fn refusal(run: &Value) -> String {
    Run::from_json(&run.to_string()).expect_err("contradicts itself").to_string()
}

/// A reference in °C and one element, both read once at a set point.
fn simple(reference: f64, element: &Value, reading: f64, nominal: f64) -> Value {
    let mut element = element.clone();
    for (key, value) in [
        ("tag", json!("TE")),
        ("kind", json!("element")),
        ("range", json!({"low": -200, "high": 600, "unit": "degC"})),
        ("tolerance", json!({"absolute": {"half_width": 2, "unit": "K"}})),
        ("resolution", json!(0)),
    ] {
        element[key] = value;
    }
    json!({
        "schema_version": 1, "title": "one element", "phase": "as_found", "coverage": {"factor": 2},
        "decision": {"rule": "simple"},
        "reference": {"tag": "REF", "unit": "degC", "contributions": [
            {"name": "certificate", "unit": "K", "distribution": {"normal": {"standard_uncertainty": 0.01}}}]},
        "heat_source": {"tag": "bath", "contributions": []},
        "instruments": [element],
        "set_points": [{"nominal_c": nominal, "readings": [
            {"tag": "REF", "time_s": [0.0], "value": [reference]},
            {"tag": "TE", "time_s": [0.0], "value": [reading]}]}]
    })
}

fn pt100(wiring: Value) -> Value {
    json!({"unit": "ohm", "curve": {"iec60751": {"r0": 100}}, "wiring": wiring})
}

fn point<'a>(result: &'a RunResult, tag: &str) -> &'a PointResult {
    &result.instrument(tag).unwrap().points[0]
}

fn u_of(point: &PointResult, name: &str) -> f64 {
    let line = point.budget.contributions.iter().find(|line| line.quantity.contains(name)).expect(name);
    line.contribution.abs()
}

/// 0.5 ohm of leads at 0 °C is 0.5/0.39083 = 1.280 K (computed); taken off, nothing is left of it.
#[test]
fn lead_wires() {
    let with = |wiring: Value| evaluate(&simple(0.0, &pt100(wiring), 100.5, 0.0));
    // Not taken off at all: the error itself.
    assert!((point(&with(json!("four_wire")), "TE").error_k - 1.280).abs() < 0.0005);
    let two = with(json!({"two_wire": {"lead_resistance_ohm": 0.5, "standard_uncertainty_ohm": 0.02}}));
    assert!(point(&two, "TE").error_k.abs() < 1e-9 && point(&two, "TE").error.abs() < 1e-9);
    assert!((u_of(point(&two, "TE"), "lead wires") - 0.02 / 0.39083).abs() < 1e-7);
    // Between 0 and 1 ohm: half of it is taken off, the rest is a rectangle of ±0.5 ohm.
    let open = with(json!({"two_wire_not_corrected": {"largest_ohm": 1.0}}));
    assert!(point(&open, "TE").error_k.abs() < 1e-9);
    assert!((u_of(point(&open, "TE"), "lead wires") - 0.5 / 0.39083 / 3f64.sqrt()).abs() < 1e-7);
    // 0.1 ohm of mismatch is 0.2559 K (computed).
    let three = with(json!({"three_wire": {"mismatch_ohm": 0.1}}));
    assert!((u_of(point(&three, "TE"), "lead wires") - 0.2559 / 3f64.sqrt()).abs() < 0.00005);
}

/// The same error of the leads at all set points: the difference of two errors keeps next to nothing of it.
#[test]
fn leads_are_one_error_at_all_set_points() {
    let mut run = simple(0.0, &pt100(json!({"three_wire": {"mismatch_ohm": 0.1}})), 100.0, 0.0);
    run["set_points"].as_array_mut().unwrap().push(json!({"nominal_c": 10, "readings": [
        {"tag": "REF", "time_s": [100.0], "value": [10.0]}, {"tag": "TE", "time_s": [100.0], "value": [103.9025]}]}));
    let result = evaluate(&run);
    let u = result.covariance.variance_of(&[1.0, -1.0]).sqrt();
    // 0.1/√3 ohm over 0.39083 and 0.38967 ohm/K (R' = R0 (A + 2 B t)).
    let by_hand = 0.1 / 3f64.sqrt() * (1.0 / (0.39083 - 2.0 * 5.775e-5 * 10.0) - 1.0 / 0.39083);
    assert!((u - by_hand).abs() < 1e-9, "{u} {by_hand}");
}

/// Type K by its table at 0, 25, 100 °C: 0, 1.0002, 4.0962 mV (NIST Monograph 175). Hot 100 °C with the junction at
/// 25 °C gives 3.0960 mV and must read 100 °C: not 75.89 (forgotten) and not 100.89 (temperatures added).
#[test]
fn reference_junction_is_added_as_emf() {
    let curve = json!({"table": {"t_c": [0.0, 25.0, 100.0], "signal": [0.0, 1.0002, 4.0962]}});
    let element = |junction: Value| json!({"unit": "mV", "curve": curve, "reference_junction": junction});
    let junction = json!({"measured": {"t_c": 25, "standard_uncertainty_k": 0.2}});
    let result = evaluate(&simple(100.0, &element(junction.clone()), 3.0960, 100.0));
    assert!(point(&result, "TE").error_k.abs() < 1e-9);
    // Slopes of the table: 0.04128 mV/K above 25 °C on both ends.
    assert!((u_of(point(&result, "TE"), "reference junction") - 0.2).abs() < 1e-9);
    // The junction of this reading at 0 °C: its emf is none.
    let mut run = simple(100.0, &element(junction), 4.0962, 100.0);
    run["set_points"][0]["readings"][1]["reference_junction_c"] = json!(0.0);
    assert!(point(&evaluate(&run), "TE").error_k.abs() < 1e-9);
    let compensated = json!({"compensated_by_instrument": {"standard_uncertainty_k": 0.5}});
    assert!(point(&evaluate(&simple(100.0, &element(compensated.clone()), 4.0962, 100.0)), "TE").error_k.abs() < 1e-9);
    let mut run = simple(100.0, &element(compensated), 4.0962, 100.0);
    run["set_points"][0]["readings"][1]["reference_junction_c"] = json!(25.0);
    assert!(refusal(&run).contains("readings[1].reference_junction_c: only where"));
    let forgotten = json!({"unit": "mV", "curve": curve});
    assert!(refusal(&simple(100.0, &forgotten, 3.0960, 100.0)).contains("reference_junction: missing"));
}

/// Type K by its reference function (NIST Monograph 175): 3.0960 mV with the junction at 25 °C is 100 °C; an error of
/// the junction counts by the slopes, S(25)/S(100): 40.4 over 41.4 µV/K (published table of Seebeck coefficients, to
/// 0.1). Class 1 of IEC 60584-1 allows 1.5 K there.
#[test]
fn a_thermocouple() {
    let element = json!({"unit": "mV", "curve": {"thermocouple": {"letter": "K"}},
        "reference_junction": {"measured": {"t_c": 25, "standard_uncertainty_k": 0.2}}});
    let mut run = simple(100.0, &element, 3.095_987_864_155_692, 100.0);
    run["instruments"][0]["tolerance"] = json!({"iec60584": {"letter": "K", "class": 1}});
    let result = evaluate(&run);
    assert!(point(&result, "TE").error_k.abs() < 1e-9);
    assert!((u_of(point(&result, "TE"), "reference junction") - 0.2 * 40.5 / 41.4).abs() < 0.2 * 0.01);
    assert_eq!(point(&result, "TE").tolerance_upper_k, 1.5);
    run["instruments"][0]["curve"]["thermocouple"]["letter"] = json!("Q");
    assert!(refusal(&run).contains("instruments[0].curve"));
    run["instruments"][0]["curve"] = json!({"iec60751": {"r0": 100}});
    assert!(refusal(&run).contains("gives ohm, but the readings are in mV"));
    run["instruments"][0]["tolerance"] = json!({"iec60584": {"letter": "K", "class": 4}});
    assert!(refusal(&run).contains("instruments[0].tolerance.iec60584"));
}

/// A certificate with 0.02 K at 0 °C and 0.06 K at 200 °C (k = 2) gives 0.04 K at 100 °C, and nothing at 300 °C.
#[test]
fn certificate_between_its_points() {
    let mut run = simple(100.0, &pt100(json!("four_wire")), 138.5055, 100.0);
    let table = json!({"table": {"t_c": [0, 200], "expanded_uncertainty": [0.02, 0.06], "coverage_factor": 2}});
    run["reference"]["contributions"][0]["distribution"] = table;
    assert!((point(&evaluate(&run), "TE").standard_uncertainty_k - 0.02).abs() < 1e-15);
    run["set_points"][0]["nominal_c"] = json!(300);
    assert!(refusal(&run).contains("300 °C lies outside the points of \"certificate\", 0 °C to 200 °C"));
    // So it is for the certificate of a meter.
    run["set_points"][0]["nominal_c"] = json!(100);
    let meter = json!({"name": "meter", "unit": "ohm", "distribution": {"table": {"t_c": [0, 50], "expanded_uncertainty": [0.1, 0.1], "coverage_factor": 2}}});
    run["instruments"][0]["contributions"] = json!([meter]);
    assert!(refusal(&run).contains("set_points[0] (\"TE\"): 100 °C lies outside the points of \"meter\""));
}

/// Corrections of a certificate are applied, halfway between its points half of each; an older scale is converted:
/// t90 − t68 = −0.026 K at 100 °C (its boiling point of water, 99.974 °C).
#[test]
fn corrections_scale_and_self_heating() {
    let mut run = simple(100.0, &pt100(json!("four_wire")), 138.5055, 100.0);
    run["reference"]["temperature_correction"] = json!({"at": [50, 150], "correction": [0.02, 0.06]});
    assert!((point(&evaluate(&run), "TE").reference_c - 100.04).abs() < 1e-12);
    run["reference"]["scale"] = json!("IPTS-68");
    assert!((point(&evaluate(&run), "TE").reference_c - (99.974 + 0.04)).abs() < 0.0005);
    let mut run = simple(138.5055, &pt100(json!("four_wire")), 138.5055, 100.0);
    run["reference"]["unit"] = json!("ohm");
    run["reference"]["curve"] = json!({"iec60751": {"r0": 100}});
    run["reference"]["readout_correction"] = json!({"at": [100, 200], "correction": [0.0, 0.0]});
    // 0.1 K/mW, 138.5 ohm, 1 mA instead of none: 0.13851 mW heat it by 0.013851 K.
    run["reference"]["self_heating"] = json!({"k_per_mw": 0.1, "current_ma": 1, "certificate_current_ma": 0});
    assert!((point(&evaluate(&run), "TE").reference_c - (100.0 - 0.0138505)).abs() < 1e-6);
    run["reference"]["self_heating"]["k_per_mw"] = json!(-1);
    assert!(refusal(&run).contains("reference.self_heating.k_per_mw: -1 K/mW must not be negative"));
}

/// Standard curves as a reference: at the triple point of water an SPRT reads its own resistance there.
#[test]
fn other_curves_of_a_reference() {
    for (curve, ohm, t_c) in [
        (json!({"sprt": {"r_tpw": 25.5, "subrange": "3.3.2.2", "coefficients": [1e-4, 2e-5]}}), 25.5, 0.01),
        (json!({"beta_thermistor": {"r25": 10000, "beta": 3435}}), 10000.0, 25.0),
    ] {
        let mut run = simple(ohm, &pt100(json!("four_wire")), 100.0, 0.0);
        run["reference"]["unit"] = json!("ohm");
        run["reference"]["curve"] = curve.clone();
        let got = point(&evaluate(&run), "TE").reference_c;
        // The printed coefficients of the reference function meet 1 at the triple point to a few 1e-8, 0.1 mK at most.
        assert!((got - t_c).abs() < 1e-4, "{curve} {got}");
    }
}

/// Two references 0.05 K apart: with 0.01 K each, U of the difference is 2 · 0.01414 K = 0.0283 K. Their readout is one
/// and the same instrument, so it cancels.
#[test]
fn two_references_that_disagree() {
    let mut run = simple(100.0, &pt100(json!("four_wire")), 138.5055, 100.0);
    let readout = json!({"name": "readout", "unit": "K", "source": "meter 7", "distribution": {"normal": {"standard_uncertainty": 0.5}}});
    run["reference"]["contributions"].as_array_mut().unwrap().push(readout);
    let mut second = run["reference"].clone();
    second["tag"] = json!("REF2");
    run["further_references"] = json!([second]);
    let reading = |value: f64| json!({"tag": "REF2", "time_s": [0.0], "value": [value]});
    run["set_points"][0]["readings"].as_array_mut().unwrap().push(reading(100.05));
    let result = evaluate(&run);
    let comparison = &result.reference_comparisons[0];
    assert!((comparison.difference_k - 0.05).abs() < 1e-12 && !comparison.agree);
    assert!((comparison.expanded_uncertainty_k - 2.0 * 0.01 * 2f64.sqrt()).abs() < 1e-9);
    assert!(result.warnings.iter().any(|w| w.code == "references_disagree" && w.message.contains("+0.0500 K")));
    assert_eq!(point(&result, "TE").reference_c, 100.0);
    // The mean of both: 100.025 °C, certificates 0.01/√2, the common readout undiminished.
    run["combine_references"] = json!("mean");
    let result = evaluate(&run);
    assert!((point(&result, "TE").reference_c - 100.025).abs() < 1e-12);
    // Two terms of one source enter the same error: their sum is squared, not the sum of their squares.
    let u = point(&result, "TE").standard_uncertainty_k;
    assert!((u - (0.01f64.powi(2) / 2.0 + 0.25).sqrt()).abs() < 1e-12, "{u}");
    run["set_points"][0]["readings"].as_array_mut().unwrap().pop();
    assert!(refusal(&run).contains("\"REF2\" was not read, but the mean of all references is asked for"));
}

/// One meter reads the reference and the element, both of 100 ohm at 0 °C on the same curve: its error is in both and
/// cancels; two meters would leave √2 of it.
#[test]
fn one_meter_for_both() {
    let meter = |source: &str| json!({"name": "meter", "unit": "ohm", "source": source, "distribution": {"normal": {"standard_uncertainty": 0.1}}});
    let with = |first: &str, second: &str| {
        let mut run = simple(138.5055, &pt100(json!("four_wire")), 138.5055, 100.0);
        run["reference"]["unit"] = json!("ohm");
        run["reference"]["curve"] = json!({"iec60751": {"r0": 100}});
        run["reference"]["contributions"] = json!([meter(first)]);
        run["instruments"][0]["contributions"] = json!([meter(second)]);
        point(&evaluate(&run), "TE").standard_uncertainty_k
    };
    assert!(with("meter 7", "meter 7") < 1e-12);
    assert!((with("meter 7", "meter 8") - 0.1 * 2f64.sqrt() / 0.37928).abs() < 1e-6);
}

/// Read within ±30 s while the reference drifts by 0.02 K/min: ±0.010 K, rectangular (computed). An element 60 s slower
/// than the reference lags by 0.02 K, and that is corrected. The drift over a moment outside the record is followed.
#[test]
fn moments() {
    let times: Vec<f64> = (0..11).map(|i| 30.0 * f64::from(i)).collect();
    let drifting = |t: f64| 100.0 + 0.02 / 60.0 * t;
    let mut run = simple(100.0, &pt100(json!("four_wire")), 138.5055, 100.0);
    run["set_points"][0]["readings"][0] =
        json!({"tag": "REF", "time_s": times, "value": times.iter().map(|t| drifting(*t)).collect::<Vec<_>>()});
    let iec = |t: f64| 100.0 * (1.0 + 3.9083e-3 * t - 5.775e-7 * t * t);
    run["set_points"][0]["readings"][1] =
        json!({"tag": "TE", "time_s": [150.0], "value": [iec(drifting(150.0 - 60.0))]});
    run["instruments"][0]["read_within_s"] = json!(30);
    let plain = evaluate(&run);
    assert!((point(&plain, "TE").error_k + 0.02).abs() < 1e-9);
    assert!((u_of(point(&plain, "TE"), "drift over the delay") - 0.010 / 3f64.sqrt()).abs() < 1e-9);
    run["instruments"][0]["time_constant_s"] = json!(75);
    run["reference"]["time_constant_s"] = json!(15);
    assert!(point(&evaluate(&run), "TE").error_k.abs() < 1e-9);
    run["set_points"][0]["readings"][1] = json!({"tag": "TE", "time_s": [360.0], "value": [iec(drifting(300.0))]});
    assert!(refusal(&run).contains("360 s lies outside the readings of the reference \"REF\", 0 s to 300 s"));
    run["max_extrapolation_s"] = json!(60);
    assert!(point(&evaluate(&run), "TE").error_k.abs() < 1e-9);
}

/// An input card in counts, a link of the user's own in V, a display behind them: 0 to 150 °C, 50 °C is a third.
#[test]
fn links_of_ones_own() {
    let mut run = simple(50.0, &pt100(json!("four_wire")), 119.397125, 50.0);
    let link = |tag: &str, kind: &str, input: &str, unit: &str, transfer: Value| {
        let mut link = json!({"tag": tag, "kind": kind, "input": input, "unit": unit, "resolution": 0,
            "range": {"low": 0, "high": 150, "unit": "degC"}, "tolerance": {"percent_of_span": {"percent": 1}}});
        if !transfer.is_null() {
            link["transfer"] = transfer;
        }
        link
    };
    let links = [
        link("TT", "transmitter", "TE", "mA", Value::Null),
        link("R250", "custom", "TT", "V", json!({"linear": {"at_low": 1, "at_high": 5}})),
        link("CARD", "input_card", "R250", "1", json!({"table": {"t_c": [0, 150], "reading": [819, 4095]}})),
        link("DCS", "control_system", "CARD", "degF", Value::Null),
    ];
    run["instruments"].as_array_mut().unwrap().extend(links.clone());
    run["instruments"][4]["range"] = json!({"low": 32, "high": 302, "unit": "degF"});
    // A third of 16 mA, 4 V, 3276 counts, 270 °F, and errors: none, +0.004 V (0.15 K), then +1 count, then exact.
    let readings = [
        ("TT", 4.0 + 16.0 / 3.0),
        ("R250", 1.0 + 4.0 / 3.0 + 0.004),
        ("CARD", 819.0 + 1092.0 + 3276.0 * 0.15 / 150.0 + 1.0),
        ("DCS", 122.0 + 1.8 * (0.15 + 150.0 / 3276.0)),
    ];
    for (tag, value) in readings {
        let reading = json!({"tag": tag, "time_s": [0.0], "value": [value]});
        run["set_points"][0]["readings"].as_array_mut().unwrap().push(reading);
    }
    let result = evaluate(&run);
    let shares = &result.attribution[0].set_points[0].shares;
    for (share, (tag, k)) in
        shares.iter().zip([("TE", 0.0), ("TT", 0.0), ("R250", 0.15), ("CARD", 150.0 / 3276.0), ("DCS", 0.0)])
    {
        assert_eq!(share.tag, tag);
        assert!((share.error_k - k).abs() < 1e-7, "{tag} {}", share.error_k);
    }
    let r250 = point(&result, "R250");
    assert!((r250.error - 0.004).abs() < 1e-9);
    let mut circle = run.clone();
    circle["instruments"][1]["input"] = json!("R250");
    assert!(refusal(&circle).contains("the chain of links comes back to this one"));
    let mut open = run.clone();
    open["instruments"][2].as_object_mut().unwrap().remove("transfer");
    assert!(refusal(&open).contains("instruments[2].transfer: missing: what readings in V stand for"));
}

/// The digital value is read by the control system itself: no output stage is in the loop, and none gets a share.
#[test]
fn a_digital_path_has_no_output_stage() {
    let mut run = simple(50.0, &pt100(json!("four_wire")), 119.397125, 50.0);
    for (tag, kind, input) in [("PV", "transmitter", "TE"), ("DCS", "control_system", "PV")] {
        run["instruments"].as_array_mut().unwrap().push(json!({"tag": tag, "kind": kind, "input": input,
            "unit": "degC", "resolution": 0.01, "range": {"low": 0, "high": 150, "unit": "degC"},
            "tolerance": {"percent_of_span": {"percent": 1}}}));
        let reading = json!({"tag": tag, "time_s": [0.0], "value": [50.2]});
        run["set_points"][0]["readings"].as_array_mut().unwrap().push(reading);
    }
    assert_eq!(evaluate(&run).attribution[0].links, ["TE", "PV", "DCS"]);
}
