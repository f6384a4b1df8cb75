//! The record that goes into the file: everything from which every number can be computed again, in one canonical form
//! with a hash of its content.

use super::certificate::CertificateDetails;
use super::compare::{CalibrationFile, Change, compare};
use super::json::from_json;
use super::result::RunResult;
use super::run::document;
use crate::error::{Error, Problem, Result};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest, Sha256};

/// The version of the record that this core writes and reads.
pub const RECORD_VERSION: u32 = 1;

/// What a record says it is.
const KIND: &str = "calcore loop calibration record";

/// A record as it is written. Results are kept as they were computed; the canonical form has its keys in order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct Document {
    /// Always `calcore loop calibration record`.
    kind: String,
    /// Version of this form, 1.
    record_version: u32,
    /// Version of the core that computed the results.
    core_version: String,
    /// What was found, done and left.
    calibration: CalibrationFile,
    /// What a certificate says beside the results.
    certificate: CertificateDetails,
    /// Seed of anything random; none, as nothing in it is.
    seed: Option<u64>,
    /// The evaluation of what was found, without the run itself.
    #[cfg_attr(feature = "schema", schemars(schema_with = "evaluation"))]
    as_found: Value,
    /// The evaluation of what was left.
    #[cfg_attr(feature = "schema", schemars(schema_with = "evaluation_or_none"))]
    as_left: Option<Value>,
    /// What the adjustment changed.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<Change>"))]
    changes: Vec<Value>,
    /// SHA-256 over the canonical form without this field, in hexadecimal digits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    content_hash: Option<String>,
}

/// What a check of a record found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RecordCheck {
    /// The hash that its content has.
    pub content_hash: String,
    /// Whether that is the hash it states: nothing was changed since.
    pub unchanged: bool,
    /// Version of the core that computed it.
    pub core_version: String,
    /// Paths of the first numbers that come out otherwise when computed again; none if all are the same to the last
    /// bit.
    pub differences: Vec<String>,
    /// The calibration in it.
    pub calibration: CalibrationFile,
    /// What the certificate says beside the results.
    pub certificate: CertificateDetails,
}

/// Writes the record of a calibration: canonical JSON with its content hash. The same calibration gives the same bytes.
///
/// Canonical: no white space, keys of every object in the order of their bytes, numbers in the shortest form that reads
/// back to the same bits, text in UTF-8 with the escapes that JSON demands.
///
/// # Errors
/// [`Error::InvalidRun`] for contradictions; what the evaluation refuses.
///
/// # Example
/// ```
/// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
/// use calcore::loop_calibration::{CalibrationFile, CertificateDetails, Run, check_record, record};
/// let file = CalibrationFile::begin(Run::from_json(text)?)?;
/// let kept = record(&file, &CertificateDetails::default())?;
/// let check = check_record(&kept)?;
/// assert!(check.unchanged && check.differences.is_empty());
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn record(calibration: &CalibrationFile, certificate: &CertificateDetails) -> Result<String> {
    let mut document = compute(calibration, certificate)?;
    document.content_hash = Some(hash_of(&document)?);
    canonical(&value_of(&document)?)
}

/// Reads a record, checks its hash and computes all its numbers again.
///
/// # Errors
/// [`Error::Document`] for what is no record of this version, [`Error::InvalidRun`] for a calibration in it that
/// contradicts itself. A changed or differing number is no error but is said.
pub fn check_record(text: &str) -> Result<RecordCheck> {
    let read: Document = from_json(text)?;
    if read.kind != KIND || read.record_version != RECORD_VERSION {
        let message =
            format!("{:?} {} is not known; this reads {KIND:?} {RECORD_VERSION}", read.kind, read.record_version);
        return Err(Error::Document { problem: Problem { path: "record_version".into(), message } });
    }
    read.calibration.check()?;
    let content_hash = hash_of(&read)?;
    let again = compute(&read.calibration, &read.certificate)?;
    let mut differences = Vec::new();
    for (path, kept, new) in [
        ("as_found", &read.as_found, &again.as_found),
        ("as_left", &value_of(&read.as_left)?, &value_of(&again.as_left)?),
        ("changes", &value_of(&read.changes)?, &value_of(&again.changes)?),
    ] {
        differ(path, kept, new, &mut differences);
    }
    Ok(RecordCheck {
        unchanged: read.content_hash.as_ref() == Some(&content_hash),
        content_hash,
        core_version: read.core_version,
        differences,
        calibration: read.calibration,
        certificate: read.certificate,
    })
}

fn compute(calibration: &CalibrationFile, certificate: &CertificateDetails) -> Result<Document> {
    calibration.check()?;
    let as_found = calibration.as_found().evaluate()?;
    let as_left = calibration.as_left().map(super::Run::evaluate).transpose()?;
    let changes: Vec<Change> = as_left.as_ref().map_or_else(Vec::new, |left| compare(&as_found, left));
    Ok(Document {
        kind: KIND.into(),
        record_version: RECORD_VERSION,
        core_version: crate::VERSION.into(),
        calibration: calibration.clone(),
        certificate: certificate.clone(),
        seed: None,
        as_found: without_run(&as_found)?,
        as_left: as_left.as_ref().map(without_run).transpose()?,
        changes: changes.iter().map(value_of).collect::<Result<_>>()?,
        content_hash: None,
    })
}

/// The run stands in the calibration already.
fn without_run(result: &RunResult) -> Result<Value> {
    let mut value = value_of(result)?;
    if let Some(object) = value.as_object_mut() {
        object.remove("run");
    }
    Ok(value)
}

fn value_of<T: Serialize>(thing: &T) -> Result<Value> {
    serde_json::to_value(thing).map_err(|error| document(String::new(), &error))
}

fn hash_of(record: &Document) -> Result<String> {
    let bare = Document { content_hash: None, ..record.clone() };
    Ok(content_hash(&canonical(&value_of(&bare)?)?))
}

/// SHA-256 of a text, in hexadecimal digits.
///
/// # Source
/// FIPS PUB 180-4.
#[must_use]
pub fn content_hash(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Writes a value in the canonical form.
fn canonical(value: &Value) -> Result<String> {
    fn write(value: &Value, out: &mut String) -> Result<()> {
        match value {
            Value::Array(items) => {
                out.push('[');
                for (i, item) in items.iter().enumerate() {
                    if i > 0 {
                        out.push(',');
                    }
                    write(item, out)?;
                }
                out.push(']');
            }
            Value::Object(fields) => {
                let mut keys: Vec<&String> = fields.keys().collect();
                keys.sort();
                out.push('{');
                for (i, key) in keys.iter().enumerate() {
                    if i > 0 {
                        out.push(',');
                    }
                    write(&Value::String((*key).clone()), out)?;
                    out.push(':');
                    write(&fields[*key], out)?;
                }
                out.push('}');
            }
            plain => {
                out.push_str(&serde_json::to_string(plain).map_err(|error| document(String::new(), &error))?);
            }
        }
        Ok(())
    }
    let mut out = String::new();
    write(value, &mut out)?;
    Ok(out)
}

/// Paths at which two values differ, ten at most.
fn differ(path: &str, a: &Value, b: &Value, found: &mut Vec<String>) {
    match (a, b) {
        _ if found.len() >= 10 => {}
        (Value::Object(x), Value::Object(y)) => {
            for key in x.keys().chain(y.keys().filter(|key| !x.contains_key(*key))) {
                let (x, y) = (x.get(key).unwrap_or(&Value::Null), y.get(key).unwrap_or(&Value::Null));
                differ(&format!("{path}.{key}"), x, y, found);
            }
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            for (i, (x, y)) in x.iter().zip(y).enumerate() {
                differ(&format!("{path}[{i}]"), x, y, found);
            }
        }
        // The version is stated, not computed.
        _ if path.ends_with(".core_version") => {}
        (Value::Number(x), Value::Number(y)) if x.as_f64().map(f64::to_bits) == y.as_f64().map(f64::to_bits) => {}
        _ if a == b && !a.is_number() => {}
        _ => found.push(path.to_owned()),
    }
}

/// The schema of a result without its run.
#[cfg(feature = "schema")]
fn evaluation(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
    let mut schema = <RunResult as schemars::JsonSchema>::json_schema(generator);
    if let Some(fields) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        fields.remove("run");
    }
    if let Some(names) = schema.get_mut("required").and_then(Value::as_array_mut) {
        names.retain(|name| name != "run");
    }
    schema
}

/// The same, or nothing.
#[cfg(feature = "schema")]
fn evaluation_or_none(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({"anyOf": [evaluation(generator), {"type": "null"}]})
}
