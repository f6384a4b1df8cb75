//! All faults of the form of a document at once, by its schema: a reader stops at the first.

use crate::error::Problem;
use serde_json::{Map, Value};

/// The schema of a run, as it is published.
const RUN: &str = include_str!("../../schema/loop_calibration_run.json");

/// How many are listed at most.
const MOST: usize = 50;

/// Fields of a run that are missing, unknown or of the wrong kind; none where the text is no JSON at all.
pub(super) fn problems_of_run(text: &str) -> Vec<Problem> {
    let (Ok(value), Ok(schema)) = (serde_json::from_str(text), serde_json::from_str(RUN)) else { return Vec::new() };
    let mut walk = Walk { root: &schema, problems: Vec::new() };
    walk.compare(&value, &schema, "");
    walk.problems.truncate(MOST);
    walk.problems
}

struct Walk<'a> {
    root: &'a Value,
    problems: Vec<Problem>,
}

impl<'a> Walk<'a> {
    fn add(&mut self, path: &str, message: String) {
        self.problems.push(Problem { path: path.into(), message });
    }

    fn compare(&mut self, value: &Value, schema: &'a Value, path: &str) {
        let Some(rules) = schema.as_object() else { return };
        if let Some(pointer) = rules.get("$ref").and_then(Value::as_str) {
            if let Some(definition) = self.root.pointer(pointer.trim_start_matches('#')) {
                self.compare(value, definition, path);
            }
            return;
        }
        for keyword in ["oneOf", "anyOf"] {
            if let Some(alternatives) = rules.get(keyword).and_then(Value::as_array) {
                self.choose(value, alternatives, path);
            }
        }
        if let Some(known) = rules.get("enum").and_then(Value::as_array)
            && !known.contains(value)
        {
            self.add(path, format!("{value} is not known: {}", words(known)));
        }
        if let Some(word) = rules.get("const")
            && word != value
        {
            self.add(path, format!("{value} is not {word}"));
            return;
        }
        if let Some(kinds) = rules.get("type")
            && !fits(value, kinds)
        {
            self.add(path, format!("expected {}, found {}", kind_names(kinds), found(value)));
            return;
        }
        if let Some(fields) = value.as_object() {
            self.fields(fields, rules, path);
        }
        if let (Some(items), Some(schema)) = (value.as_array(), rules.get("items")) {
            for (i, item) in items.iter().enumerate() {
                self.compare(item, schema, &format!("{path}[{i}]"));
            }
        }
    }

    fn fields(&mut self, fields: &Map<String, Value>, rules: &'a Map<String, Value>, path: &str) {
        let known = rules.get("properties").and_then(Value::as_object);
        let below = |name: &str| if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        for name in rules.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str) {
            if !fields.contains_key(name) {
                self.add(path, format!("missing field `{name}`"));
            }
        }
        for (name, value) in fields {
            match known.and_then(|known| known.get(name)) {
                Some(schema) => self.compare(value, schema, &below(name)),
                None if rules.get("additionalProperties") == Some(&Value::Bool(false)) => {
                    self.add(&below(name), format!("unknown field `{name}`"));
                }
                None => {}
            }
        }
    }

    /// The alternative that is meant: the one that fits, else the one that knows the first field of an object.
    fn choose(&mut self, value: &Value, alternatives: &'a [Value], path: &str) {
        let mut tried: Vec<(&Value, Vec<Problem>)> = Vec::new();
        for schema in alternatives {
            let mut walk = Walk { root: self.root, problems: Vec::new() };
            walk.compare(value, schema, path);
            if walk.problems.is_empty() {
                return;
            }
            tried.push((schema, walk.problems));
        }
        let first = value.as_object().and_then(|fields| fields.keys().next());
        let meant = tried.iter().position(|(schema, _)| {
            let nothing = schema.get("type").is_some_and(|kind| kind == "null");
            let by_name = first.is_some_and(|name| schema.pointer(&format!("/properties/{name}")).is_some());
            by_name || (alternatives.len() == 2 && !nothing && schema.get("$ref").is_some())
        });
        match meant {
            Some(i) => self.problems.extend(tried.swap_remove(i).1),
            None => {
                let names: Vec<Value> = alternatives.iter().filter_map(name_of).collect();
                let what = first.map_or_else(|| value.to_string(), |name| format!("`{name}`"));
                self.add(path, format!("{what} is not known: {}", words(&names)));
            }
        }
    }
}

/// The word or the field by which an alternative is known.
fn name_of(alternative: &Value) -> Option<Value> {
    let by_field = || alternative.get("required")?.as_array()?.first().cloned();
    alternative.get("const").cloned().or_else(by_field)
}

fn words(known: &[Value]) -> String {
    let words: Vec<String> =
        known.iter().map(|one| one.as_str().map_or_else(|| one.to_string(), String::from)).collect();
    words.join(", ")
}

fn fits(value: &Value, kinds: &Value) -> bool {
    let is = |kind: &Value| match kind.as_str() {
        Some("object") => value.is_object(),
        Some("array") => value.is_array(),
        Some("string") => value.is_string(),
        Some("number") => value.is_number(),
        Some("integer") => value.is_u64() || value.is_i64(),
        Some("boolean") => value.is_boolean(),
        Some("null") => value.is_null(),
        _ => true,
    };
    kinds.as_array().map_or_else(|| is(kinds), |kinds| kinds.iter().any(is))
}

fn kind_names(kinds: &Value) -> String {
    kinds.as_array().map_or_else(|| words(std::slice::from_ref(kinds)), |kinds| words(kinds))
}

fn found(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}
