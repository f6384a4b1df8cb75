//! The published schemas are those of the types, and the samples obey them. Written anew by
//! `CALCORE_WRITE_SCHEMA=1 cargo test -p calcore --features schema --test loop_calibration_schema`.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use calcore::loop_calibration::{CalibrationFile, CertificateDetails, Run, record};
use serde_json::Value;

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");
/// A sample of what came after the first version: two references, wiring, an input card, a table certificate.
const SECOND: &str = include_str!("../../tests/data/reactor_loop_as_found.json");
const RUN_SCHEMA: &str = include_str!("../schema/loop_calibration_run.json");
const RECORD_SCHEMA: &str = include_str!("../schema/loop_calibration_record.json");

#[cfg(feature = "schema")]
#[test]
fn the_schemas_are_fresh() {
    use calcore::loop_calibration::{record_schema, run_schema};
    let kept = [("run", RUN_SCHEMA, run_schema().unwrap()), ("record", RECORD_SCHEMA, record_schema().unwrap())];
    for (name, kept, fresh) in kept {
        if std::env::var_os("CALCORE_WRITE_SCHEMA").is_some() {
            let path = format!("{}/schema/loop_calibration_{name}.json", env!("CARGO_MANIFEST_DIR"));
            std::fs::write(path, &fresh).unwrap();
        } else {
            assert_eq!(kept, fresh, "the schema of the {name} is stale");
        }
    }
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
