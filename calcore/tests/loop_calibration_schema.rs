//! The published schemas are those of the types, and the samples obey them. Written anew by
//! `CALCORE_WRITE_SCHEMA=1 cargo test -p calcore --features schema --test loop_calibration_schema`.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use calcore::loop_calibration::{
    AdjustmentEvent, Calibration, CalibrationFile, Certificate, CertificateDetails, Change, CorrectedPoint, Drift,
    Figures, HistoryPoint, Hypothesis, Impact, InstrumentAction, Mapping, Phase, Plan, PlanRequest, PointHistory,
    Proposal, RecordCheck, ReferenceFinding, Run, RunResult, check_record, compare, from_json, histories, history,
    impact, plan, record, to_json,
};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");
/// A sample of what came after the first version: two references, wiring, an input card, a table certificate.
const SECOND: &str = include_str!("../../tests/data/reactor_loop_as_found.json");
const RUN_SCHEMA: &str = include_str!("../schema/loop_calibration_run.json");
const RECORD_SCHEMA: &str = include_str!("../schema/loop_calibration_record.json");

fn schema(name: &str) -> Value {
    let path = format!("{}/schema/loop_calibration_{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[cfg(feature = "schema")]
#[test]
fn the_schemas_are_fresh() {
    let fresh = calcore::loop_calibration::fresh_schemas().unwrap();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("schema");
    for (name, fresh) in &fresh {
        let path = folder.join(format!("loop_calibration_{name}.json"));
        if std::env::var_os("CALCORE_WRITE_SCHEMA").is_some() {
            std::fs::write(&path, fresh).unwrap();
            // What is embedded is that of the build before.
            continue;
        }
        assert!(std::fs::read_to_string(&path).unwrap_or_default() == *fresh, "the schema of the {name} is stale");
        assert_eq!(
            calcore::loop_calibration::schema(name).unwrap(),
            fresh,
            "another schema of the {name} is handed out"
        );
    }
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), fresh.len(), "a schema of nothing");
    assert!(calcore::loop_calibration::schema_names().eq(fresh.iter().map(|(name, _)| *name)));
}

/// As much of JSON Schema 2020-12 as these schemas use; any other keyword stops the test.
fn obeys(value: &Value, schema: &Value, root: &Value, path: &str) -> Result<(), String> {
    let Some(rules) = schema.as_object() else { return Ok(()) };
    let fault = |what: &str| Err(format!("{path}: {what}"));
    for (keyword, rule) in rules {
        match keyword.as_str() {
            "$schema" | "title" | "description" | "default" | "$defs" | "format" | "minimum" | "maximum"
            | "minLength" | "maxLength" => {}
            "$ref" => {
                let pointer = rule.as_str().unwrap().trim_start_matches('#');
                obeys(value, root.pointer(pointer).expect("a definition"), root, path)?;
            }
            "type" => {
                let is = |name: &Value| match name.as_str().unwrap() {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "number" => value.is_number(),
                    "integer" => value.is_u64() || value.is_i64(),
                    "boolean" => value.is_boolean(),
                    "null" => value.is_null(),
                    other => panic!("type {other}"),
                };
                let good = rule.as_array().map_or_else(|| is(rule), |names| names.iter().any(is));
                if !good {
                    return fault(&format!("not of type {rule}"));
                }
            }
            "properties" => {
                for (name, rule) in rule.as_object().unwrap() {
                    if let Some(field) = value.get(name) {
                        obeys(field, rule, root, &format!("{path}.{name}"))?;
                    }
                }
            }
            "required" => {
                for name in rule.as_array().unwrap() {
                    if value.is_object() && value.get(name.as_str().unwrap()).is_none() {
                        return fault(&format!("misses {name}"));
                    }
                }
            }
            "additionalProperties" => {
                let known = rules.get("properties").and_then(Value::as_object);
                let extra = value
                    .as_object()
                    .and_then(|fields| fields.keys().find(|name| known.is_none_or(|known| !known.contains_key(*name))));
                if let (Some(extra), Some(false)) = (extra, rule.as_bool()) {
                    return fault(&format!("does not know {extra}"));
                }
            }
            "prefixItems" => {
                for (i, rule) in rule.as_array().unwrap().iter().enumerate() {
                    match value.get(i) {
                        Some(item) => obeys(item, rule, root, &format!("{path}[{i}]"))?,
                        None if value.is_array() => return fault("too short"),
                        None => {}
                    }
                }
            }
            "minItems" => {
                if value.as_array().is_some_and(|items| (items.len() as u64) < rule.as_u64().unwrap()) {
                    return fault("too short");
                }
            }
            "maxItems" => {
                if value.as_array().is_some_and(|items| items.len() as u64 > rule.as_u64().unwrap()) {
                    return fault("too long");
                }
            }
            "items" => {
                for (i, item) in value.as_array().into_iter().flatten().enumerate() {
                    obeys(item, rule, root, &format!("{path}[{i}]"))?;
                }
            }
            "enum" => {
                if !rule.as_array().unwrap().contains(value) {
                    return fault(&format!("{value} is none of {rule}"));
                }
            }
            "const" => {
                if rule != value {
                    return fault(&format!("{value} is not {rule}"));
                }
            }
            "oneOf" | "anyOf" => {
                let good = rule.as_array().unwrap().iter().filter(|one| obeys(value, one, root, path).is_ok()).count();
                if good == 0 || (keyword == "oneOf" && good > 1) {
                    return fault(&format!("{good} alternatives fit"));
                }
            }
            other => panic!("keyword {other} at {path}"),
        }
    }
    Ok(())
}

#[test]
fn the_samples_obey_the_schemas() {
    let schema: Value = serde_json::from_str(RUN_SCHEMA).unwrap();
    for text in [SAMPLE, SECOND] {
        let sample: Value = serde_json::from_str(text).unwrap();
        obeys(&sample, &schema, &schema, "run").unwrap();
    }
    let schema: Value = serde_json::from_str(RECORD_SCHEMA).unwrap();
    let file = CalibrationFile::begin(Run::from_json(SAMPLE).unwrap()).unwrap();
    let kept: Value = serde_json::from_str(&record(&file, &CertificateDetails::default()).unwrap()).unwrap();
    obeys(&kept, &schema, &schema, "record").unwrap();
}

/// What the reader refuses the schema refuses too: a misspelt field, a missing one, an unknown word, text for a number.
#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let schema: Value = serde_json::from_str(RUN_SCHEMA).unwrap();
    let sample: Value = serde_json::from_str(SAMPLE).unwrap();
    let changes: [&dyn Fn(&mut Value); 4] = [
        &|run| run["instruments"][0]["rnage"] = run["instruments"][0]["range"].clone(),
        &|run| {
            run["instruments"][0].as_object_mut().unwrap().remove("range");
        },
        &|run| run["instruments"][0]["kind"] = "elemnt".into(),
        &|run| run["set_points"][0]["nominal_c"] = "10".into(),
    ];
    for change in changes {
        let mut wrong = sample.clone();
        change(&mut wrong);
        assert!(Run::from_json(&wrong.to_string()).is_err());
        assert!(obeys(&wrong, &schema, &schema, "run").is_err());
    }
}

/// The document obeys its schema, reads back to the same, and is refused with a field that nobody knows, if it is one
/// that users write.
fn goes_both_ways<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(name: &str, thing: &T) -> Value {
    let text = to_json(thing).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    let schema = schema(name);
    obeys(&value, &schema, &schema, name).unwrap();
    let again: T = from_json(&text).unwrap();
    assert_eq!(&again, thing, "{name}");
    assert_eq!(to_json(&again).unwrap(), text, "{name}");
    value
}

fn results() -> (RunResult, RunResult) {
    let found = Run::from_json(SAMPLE).unwrap();
    let mut left = Run { phase: Phase::AsLeft, ..found.clone() };
    for reading in left.set_points.iter_mut().flat_map(|point| &mut point.readings) {
        if reading.tag == "TIC-4107" {
            reading.value.iter_mut().for_each(|value| *value -= 0.3);
        }
    }
    (found.evaluate().unwrap(), left.evaluate().unwrap())
}

#[test]
fn results_obey_their_schemas_and_read_back() {
    let (found, left) = results();
    for sample in [SAMPLE, SECOND] {
        let value = serde_json::to_value(Run::from_json(sample).unwrap().evaluate().unwrap()).unwrap();
        let schema = schema("run_result");
        obeys(&value, &schema, &schema, "run_result").unwrap();
    }
    goes_both_ways::<Figures>("figures", &found.figures("TIC-4107").unwrap());
    goes_both_ways::<Vec<Hypothesis>>("hypotheses", &found.hypotheses("TIC-4107").unwrap());
    goes_both_ways::<Vec<CorrectedPoint>>(
        "corrected_points",
        &found.after_correcting("TIC-4107", "TT-4107 mA").unwrap(),
    );
    let proposals = found.adjustments().unwrap();
    assert!(proposals.len() > 5);
    goes_both_ways::<Vec<Proposal>>("proposals", &proposals);
    goes_both_ways::<Vec<InstrumentAction>>("actions", &found.actions(0.7).unwrap());
    goes_both_ways::<Vec<Change>>("changes", &compare(&found, &left));
    let details = CertificateDetails { title: Some("Certificate".into()), ..CertificateDetails::default() };
    goes_both_ways::<CertificateDetails>("certificate_details", &details);
    goes_both_ways::<Certificate>("certificate", &found.certificate(&details));
    let finding = ReferenceFinding {
        tag: "REF-01".into(),
        t_c: vec![0.0, 250.0],
        error_k: vec![0.1, 0.1],
        last_good: 0.0,
        found: 2.0,
    };
    goes_both_ways::<ReferenceFinding>("reference_finding", &finding);
    goes_both_ways::<Vec<Impact>>("impacts", &impact(&[(1.0, &found)], &finding).unwrap());
    let points: Vec<HistoryPoint> = (0..4u8)
        .map(|i| HistoryPoint {
            time_a: f64::from(i),
            as_found_k: 0.1 * f64::from(i),
            standard_uncertainty_k: 0.02,
            as_left_k: (i == 2).then_some(0.0),
        })
        .collect();
    goes_both_ways("history_points", &points);
    let drift = history(&points).unwrap();
    goes_both_ways::<Drift>("drift", &drift);
    let calibrations = [0.0, 1.0, 2.0].map(|time_a| Calibration { time_a, as_found: &found, as_left: Some(&left) });
    goes_both_ways::<Vec<PointHistory>>("histories", &histories(&calibrations).unwrap());
    // A drift that was read predicts the same.
    let again: Drift = from_json(&to_json(&drift).unwrap()).unwrap();
    assert_eq!(again.predict(5.0).unwrap(), drift.predict(5.0).unwrap());
    // One whose arrays were cut in the document says so.
    for (field, code) in [("times_a", 201), ("stated_u_k", 105)] {
        let mut cut = serde_json::to_value(&drift).unwrap();
        cut[field] = json!([]);
        let cut: Drift = from_json(&cut.to_string()).unwrap();
        assert_eq!(cut.predict(5.0).unwrap_err().code(), code);
        assert_eq!(cut.due(0.5, 0.95, 10.0).unwrap_err().code(), code);
    }
}

#[test]
fn what_users_write_goes_both_ways() {
    let request = json!({
        "instruments": [{"tag": "TT-1", "low_c": 0, "high_c": 200, "points": [
            {"celsius": {"at": 100, "within_k": 2}}, {"percent_of_span": {"at": 0, "within": 5}}]}],
        "heat_sources": [{"tag": "block", "low_c": -10, "high_c": 300, "start_c": 20, "heating_k_per_min": 10,
            "cooling_k_per_min": 5, "settling_s": 600, "bores": 3}],
        "order": "up_and_down", "reading_s": 120
    });
    let read: PlanRequest = from_json(&request.to_string()).unwrap();
    goes_both_ways("plan_request", &read);
    goes_both_ways::<Plan>("plan", &plan(&read).unwrap());
    let wide = json!({"time": "t", "set_point": "sp", "readings": {"wide": [{"tag": "TT-1", "column": "c"}]}});
    let long = json!({"time": "t", "set_point": "sp", "direction": "d", "decimal_mark": ",",
        "readings": {"long": {"tag": "who", "value": "what"}}});
    for mapping in [wide, long] {
        goes_both_ways::<Mapping>("mapping", &from_json(&mapping.to_string()).unwrap());
    }
    let (found, left) = results();
    let mut file = CalibrationFile::begin(found.run).unwrap();
    let text = |text: &str| text.to_owned();
    file.adjust(AdjustmentEvent {
        tag: text("TIC-4107"),
        parameter: text("zero"),
        old: text("0.0 K"),
        new: text("-0.3 K"),
        reason: text("as found outside"),
        by: text("A. N. Other"),
        when: text("2026-05-04"),
    })
    .unwrap();
    file.finish(left.run).unwrap();
    goes_both_ways("calibration_file", &file);
    let kept = record(&file, &CertificateDetails::default()).unwrap();
    goes_both_ways::<RecordCheck>("record_check", &check_record(&kept).unwrap());
    let schema = schema("record");
    obeys(&serde_json::from_str(&kept).unwrap(), &schema, &schema, "record").unwrap();
    let mut unknown = request;
    unknown["heat_sources"][0]["bore"] = 1.into();
    let error = from_json::<PlanRequest>(&unknown.to_string()).unwrap_err();
    assert_eq!(error.code(), 301);
    assert!(error.to_string().starts_with("heat_sources[0].bore: unknown field `bore`"), "{error}");
}
