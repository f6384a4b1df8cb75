//! Whatever is put into a description: an answer or an error, never a panic.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used)]

use calcore::loop_calibration::{CertificateDetails, Run, Table};
use proptest::prelude::*;
use serde_json::{Value, json};

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

/// Paths of all values, as JSON pointers.
fn paths(value: &Value, here: String, all: &mut Vec<String>) {
    all.push(here.clone());
    match value {
        Value::Array(items) => items.iter().enumerate().for_each(|(i, one)| paths(one, format!("{here}/{i}"), all)),
        Value::Object(fields) => fields.iter().for_each(|(key, one)| paths(one, format!("{here}/{key}"), all)),
        _ => {}
    }
}

fn replacements() -> Vec<Value> {
    vec![
        Value::Null,
        json!(0),
        json!(-1),
        json!(1e308),
        json!(-1e308),
        json!(5e-324),
        json!(""),
        json!("REF-01"),
        json!("TE-4107"),
        json!("mV"),
        json!("%"),
        json!([]),
        json!({}),
        json!([1.0, 2.0]),
        json!({"thermocouple": {"letter": "B"}}),
        json!({"table": {"t_c": [0.0, 1.0], "expanded_uncertainty": [0.1, 0.1], "coverage_factor": 2}}),
        json!({"shapes": 0.95}),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]
    #[test]
    fn a_description_with_anything_in_it(place in any::<prop::sample::Index>(), what in any::<prop::sample::Index>(),
                                         second in any::<prop::sample::Index>(), both in any::<bool>()) {
        let mut run: Value = serde_json::from_str(SAMPLE).unwrap();
        let mut all = Vec::new();
        paths(&run, String::new(), &mut all);
        // Most paths are readings; half of the time one of the first, which describe, is taken.
        let path = if both { &all[place.index(300.min(all.len()))] } else { place.get(&all) };
        if let Some(value) = run.pointer_mut(path) {
            *value = what.get(&replacements()).clone();
        }
        if both {
            let path = second.get(&all);
            if let Some(value) = run.pointer_mut(path) {
                *value = json!(1e300);
            }
        }
        if let Ok(result) = Run::from_json(&run.to_string()).and_then(|run| run.evaluate()) {
            let _ = result.to_json();
            let _ = result.certificate(&CertificateDetails::default());
            for instrument in &result.instruments {
                let _ = (result.figures(&instrument.tag), result.hypotheses(&instrument.tag));
            }
        }
    }

    #[test]
    fn any_text_as_a_table(text in "[0-9a-z,;\"\n\r .:-]{0,200}", separator in prop::sample::select(vec![',', ';', '"', '\n'])) {
        let _ = Table::from_csv(&text, separator);
    }
}
