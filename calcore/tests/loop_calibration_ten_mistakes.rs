//! The ten mistakes of the trade, each made on purpose: prevented, or reported.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::curves::{CallendarVanDusen, SensorCurve};
use calcore::loop_calibration::{AdjustmentEvent, CalibrationFile, Phase, Run, RunResult};
use serde_json::{Value, json};

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

fn sample() -> Value {
    serde_json::from_str(SAMPLE).unwrap()
}

fn refusal(change: impl Fn(&mut Value)) -> String {
    let mut run = sample();
    change(&mut run);
    Run::from_json(&run.to_string()).expect_err("the mistake is prevented").to_string()
}

fn evaluated(change: impl Fn(&mut Value)) -> RunResult {
    let mut run = sample();
    change(&mut run);
    Run::from_json(&run.to_string()).unwrap().evaluate().unwrap()
}

/// An element of alpha 0.003916 read by IEC 60751 shows +1.70 K at 100 °C (computed). There is no default curve, and
/// new coefficients are called implausible.
#[test]
fn mistake_1_wrong_curve() {
    let said = refusal(|run| {
        run["instruments"][0].as_object_mut().unwrap().remove("curve");
    });
    assert!(said.contains("instruments[0].curve: missing"));
    let other = CallendarVanDusen::new(100.0, 3.9739e-3, -5.870e-7, -4.4e-12).unwrap();
    let result = evaluated(|run| {
        for point in run["set_points"].as_array_mut().unwrap() {
            let t = point["nominal_c"].as_f64().unwrap();
            for value in point["readings"][1]["value"].as_array_mut().unwrap() {
                *value = other.signal(t).unwrap().into();
            }
        }
    });
    let element = result.instrument("TE-4107").unwrap();
    let at_100 = element.points.iter().find(|point| point.nominal_c == 100.0).unwrap();
    // The block stood within 0.1 K of its set point.
    assert!((at_100.indicated_c - 100.0 - 1.70).abs() < 0.005);
    assert_eq!(result.attribution[0].links[0], "TE-4107");
    let warned = result.warnings.iter().any(|w| w.path == "element_fits[0]" && w.message.contains("alpha"));
    assert!(warned, "{:?}", result.warnings);
}

/// A tolerance class is no uncertainty: it has no place among the contributions, and a tolerance none among them either.
#[test]
fn mistake_2_tolerance_as_uncertainty() {
    let said =
        refusal(|run| run["reference"]["contributions"][0]["distribution"] = json!({"iec60751": {"class": "A"}}));
    assert!(said.contains("unknown variant `iec60751`"), "{said}");
    let said = refusal(|run| run["instruments"][0]["tolerance"] = json!({"normal": {"standard_uncertainty": 0.1}}));
    assert!(said.contains("unknown variant `normal`"), "{said}");
}

/// A voltage without its reference junction is refused, and a junction added to one that is compensated too.
#[test]
fn mistake_3_reference_junction_forgotten_or_twice() {
    let thermocouple = |run: &mut Value, junction: Value| {
        let element = &mut run["instruments"][0];
        element["unit"] = json!("mV");
        element["curve"] = json!({"table": {"t_c": [-50, 250], "signal": [-2, 10]}});
        element["contributions"] = json!([]);
        element["resolution"] = json!(0);
        element["tolerance"] = json!({"absolute": {"half_width": 1, "unit": "K"}});
        if !junction.is_null() {
            element["reference_junction"] = junction;
        }
        for point in run["set_points"].as_array_mut().unwrap() {
            point["readings"][1]["value"] = json!([1.0, 1.0, 1.0, 1.0, 1.0]);
            point["readings"][1]["reference_junction_c"] = json!(23.0);
        }
    };
    let said = refusal(|run| thermocouple(run, Value::Null));
    assert!(said.contains("instruments[0].reference_junction: missing"), "{said}");
    let twice = json!({"compensated_by_instrument": {"standard_uncertainty_k": 0.3}});
    let said = refusal(|run| thermocouple(run, twice.clone()));
    assert!(said.contains("reference_junction_c: only where reference_junction is measured"), "{said}");
}

/// Percent of what? 0.1 % of a span of 400 K is 0.4 K, of a reading of 25 °C it is 0.025 K.
#[test]
fn mistake_4_percent_without_basis() {
    let said = refusal(|run| run["instruments"][3]["tolerance"] = json!({"percent": 0.1}));
    assert!(said.contains("unknown variant `percent`"), "{said}");
    let limit = |tolerance: Value| {
        let mut run = sample();
        for i in 1..5 {
            run["instruments"][i]["range"] = json!({"low": 0, "high": 400, "unit": "degC"});
        }
        run["instruments"][3]["tolerance"] = tolerance;
        for reading in
            run["set_points"].as_array_mut().unwrap().iter_mut().flat_map(|p| p["readings"].as_array_mut().unwrap())
        {
            if reading["tag"] == "TT-4107 mA" {
                reading["value"] = json!([12.0, 12.0, 12.0, 12.0, 12.0]);
            }
        }
        let result = Run::from_json(&run.to_string()).unwrap().evaluate().unwrap();
        let point = result.instrument("TI-4107").unwrap().points[0].clone();
        (point.tolerance_upper_k, point.reference_c)
    };
    assert!((limit(json!({"percent_of_span": {"percent": 0.1}})).0 - 0.4).abs() < 1e-15);
    let (k, t) = limit(json!({"percent_of_reading": {"percent": 0.1}}));
    assert!((k - 0.001 * t).abs() < 1e-15 && t < 11.0);
}

/// A reading cannot be added to what was found once something was adjusted.
#[test]
fn mistake_5_as_found_mixed_with_as_left() {
    let whole = Run::from_json(SAMPLE).unwrap();
    let mut shorter = whole.clone();
    shorter.set_points.pop();
    let mut file = CalibrationFile::begin(shorter).unwrap();
    let word = |text: &str| text.to_owned();
    file.adjust(AdjustmentEvent {
        tag: word("TIC-4107"),
        parameter: word("zero"),
        old: word("0"),
        new: word("-0.3"),
        reason: word("error"),
        by: word("A. N. Other"),
        when: word("today"),
    })
    .unwrap();
    assert!(file.extend_as_found(whole.clone()).unwrap_err().to_string().contains("closed by the first adjustment"));
    assert!(file.finish(whole.clone()).unwrap_err().to_string().contains("as_left"));
    assert!(CalibrationFile::begin(Run { phase: Phase::AsLeft, ..whole }).is_err());
}

/// Two wires need their resistance, or say that it is not corrected: then it enters the budget.
#[test]
fn mistake_6_leads_left_in() {
    let said = refusal(|run| run["instruments"][0]["wiring"] = json!({"two_wire": {}}));
    assert!(said.contains("instruments[0].wiring.two_wire: missing field `lead_resistance_ohm`"), "{said}");
    let said = refusal(|run| run["instruments"][0]["wiring"] = json!("two_wire"));
    assert!(said.contains("instruments[0].wiring"), "{said}");
    let result =
        evaluated(|run| run["instruments"][0]["wiring"] = json!({"two_wire_not_corrected": {"largest_ohm": 0.5}}));
    let budget = &result.instrument("TE-4107").unwrap().points[0].budget;
    let line = budget.contributions.iter().find(|line| line.quantity.contains("lead wires")).unwrap();
    // ±0.25 ohm, rectangular, over about 0.39 ohm/K: more than all the rest.
    assert!(line.share > 0.9);
}

/// A difference is never a temperature: 1.8 degF of tolerance is 1 K, degC is none, and degF on a display in degC
/// is asked for in K.
#[test]
fn mistake_7_fahrenheit_differences() {
    let tolerance = |unit: &str| json!({"absolute": {"half_width": 1.8, "unit": unit}});
    assert!(
        refusal(|run| run["instruments"][3]["tolerance"] = tolerance("degC")).contains("a difference is given in K")
    );
    assert!(refusal(|run| run["instruments"][3]["tolerance"] = tolerance("degF")).contains("state it in K"));
    let said = refusal(|run| run["reference"]["contributions"][0]["unit"] = json!("degF"));
    assert!(said.contains("degF is not possible here"), "{said}");
    let result = evaluated(|run| {
        run["instruments"][3]["unit"] = json!("degF");
        run["instruments"][3]["tolerance"] = tolerance("degF");
        for point in run["set_points"].as_array_mut().unwrap() {
            let t = point["nominal_c"].as_f64().unwrap();
            point["readings"][4]["value"] = json!(vec![32.0 + 1.8 * t; 5]);
        }
    });
    assert!((result.instrument("TI-4107").unwrap().points[0].tolerance_upper_k - 1.0).abs() < 1e-12);
}

/// An expanded uncertainty needs the coverage factor that its certificate states; with k = 3 it counts a third.
#[test]
fn mistake_8_expanded_taken_for_standard() {
    let expanded = |k: Value| {
        move |run: &mut Value| {
            let mut it = json!({"expanded_uncertainty": 0.03});
            if !k.is_null() {
                it["coverage_factor"] = k.clone();
            }
            run["reference"]["contributions"][0]["distribution"] = json!({ "expanded": it });
        }
    };
    assert!(refusal(expanded(Value::Null)).contains("missing field `coverage_factor`"));
    let result = evaluated(expanded(json!(3)));
    let line = &result.instrument("TE-4107").unwrap().points[0].budget.contributions[0];
    assert!((line.standard_uncertainty - 0.01).abs() < 1e-15);
}

/// The fault of the sample is in the output stage: adjusting elsewhere is said to hide it. A saturated current is no
/// reading, and a block that was not steady is no time to trim.
#[test]
fn mistake_9_wrong_trim() {
    let result = evaluated(|_| {});
    let proposals = result.adjustments().unwrap();
    assert_eq!(proposals[0].tag, "TT-4107 mA");
    assert!(proposals[0].adjusts_the_cause);
    let elsewhere = proposals.iter().filter(|one| one.tag != "TT-4107 mA");
    for one in elsewhere {
        assert!(!one.adjusts_the_cause && one.cautions.iter().any(|caution| caution.contains("hide its error")));
    }
    let said = refusal(|run| run["set_points"][0]["readings"][3]["value"] = json!([3.7, 3.7, 3.7, 3.7, 3.7]));
    assert!(said.contains("a saturated or failed current is no measurement"), "{said}");
    let unsteady = evaluated(|run| run["settling"]["max_slope_k_per_min"] = json!(1e-6));
    let proposals = unsteady.adjustments().unwrap();
    assert!(proposals.iter().all(|one| one.cautions.iter().any(|caution| caution.contains("not steady"))));
}

/// The reference is common to all set points and is not averaged away; new coefficients hold where they were measured;
/// a verdict needs a rule.
#[test]
fn mistake_10_common_reference_extrapolation_and_no_rule() {
    let result = evaluated(|_| {});
    let fit = &result.element_fits[0];
    // Certificate and drift alone: 0.015 and 0.01/√3 K.
    let least = (0.015f64.powi(2) + 0.01f64.powi(2) / 3.0).sqrt();
    assert!(fit.standard_uncertainties_k.iter().all(|u| *u >= least));
    // The set points and 2 % of their 180 K.
    assert!(fit.range_c.0 >= 6.0 && fit.range_c.1 <= 194.0, "{:?}", fit.range_c);
    assert_eq!(fit.curve.temperature(250.0).map_err(|error| error.code()), Err(102));
    let said = refusal(|run| {
        run.as_object_mut().unwrap().remove("decision");
    });
    assert!(said.contains("missing field `decision`"), "{said}");
}
