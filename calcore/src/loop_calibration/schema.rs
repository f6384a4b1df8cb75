//! The published JSON Schemas of the documents of this room: handed out as text, and written anew from the types.

use crate::error::{Error, Result};

/// Name and text of every schema, in the order of the documents in a job.
macro_rules! published {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_str!(concat!("../../schema/loop_calibration_", $name, ".json")))),+]
    };
}

static PUBLISHED: [(&str, &str); 21] = published![
    "run",
    "run_result",
    "record",
    "record_check",
    "plan_request",
    "plan",
    "mapping",
    "figures",
    "hypotheses",
    "corrected_points",
    "proposals",
    "actions",
    "changes",
    "calibration_file",
    "certificate_details",
    "certificate",
    "history_points",
    "drift",
    "histories",
    "reference_finding",
    "impacts",
];

/// Names of the documents that have a published JSON Schema.
///
/// # Example
/// ```
/// use calcore::loop_calibration::schema_names;
/// assert!(schema_names().any(|name| name == "run"));
/// ```
#[must_use]
pub fn schema_names() -> impl ExactSizeIterator<Item = &'static str> {
    PUBLISHED.iter().map(|(name, _)| *name)
}

/// The published JSON Schema (draft 2020-12) of a document, as text.
///
/// # Errors
/// [`Error::UnknownName`] for a name that [`schema_names`] does not list.
///
/// # Example
/// ```
/// use calcore::loop_calibration::schema;
/// assert!(schema("certificate")?.contains("7.8.2.1"));
/// assert_eq!(schema("letter").unwrap_err().code(), 104);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn schema(name: &str) -> Result<&'static str> {
    PUBLISHED.iter().find(|(known, _)| *known == name).map(|(_, text)| *text).ok_or_else(|| Error::UnknownName {
        what: "document with a schema",
        name: name.into(),
        expected: schema_names().collect::<Vec<_>>().join(", "),
    })
}

/// The schemas as the types have them today, by the names of [`schema_names`]: what `calcore/schema` must hold.
///
/// # Errors
/// None in practice: [`Error::Document`] if a schema could not be written.
#[cfg(feature = "schema")]
pub fn fresh_schemas() -> Result<Vec<(&'static str, String)>> {
    use schemars::{Schema, schema_for};
    let all: [(&str, Schema); 21] = [
        ("run", schema_for!(super::Run)),
        ("run_result", schema_for!(super::RunResult)),
        ("record", schema_for!(super::record::Document)),
        ("record_check", schema_for!(super::RecordCheck)),
        ("plan_request", schema_for!(super::PlanRequest)),
        ("plan", schema_for!(super::Plan)),
        ("mapping", schema_for!(super::Mapping)),
        ("figures", schema_for!(super::Figures)),
        ("hypotheses", schema_for!(Vec<super::Hypothesis>)),
        ("corrected_points", schema_for!(Vec<super::CorrectedPoint>)),
        ("proposals", schema_for!(Vec<super::Proposal>)),
        ("actions", schema_for!(Vec<super::InstrumentAction>)),
        ("changes", schema_for!(Vec<super::Change>)),
        ("calibration_file", schema_for!(super::CalibrationFile)),
        ("certificate_details", schema_for!(super::CertificateDetails)),
        ("certificate", schema_for!(super::Certificate)),
        ("history_points", schema_for!(Vec<super::HistoryPoint>)),
        ("drift", schema_for!(super::Drift)),
        ("histories", schema_for!(Vec<super::PointHistory>)),
        ("reference_finding", schema_for!(super::ReferenceFinding)),
        ("impacts", schema_for!(Vec<super::Impact>)),
    ];
    all.into_iter()
        .map(|(name, schema)| match serde_json::to_string_pretty(&schema) {
            Ok(text) => Ok((name, text + "\n")),
            Err(error) => Err(super::run::document(String::new(), &error)),
        })
        .collect()
}
