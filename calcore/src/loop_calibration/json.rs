//! Descriptions and results of the work around a run as JSON: one way in, one way out, and the schemas of both.

use super::run::document;
use crate::error::Result;
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Reads a description, such as a [`super::PlanRequest`], a [`super::Mapping`], [`super::CertificateDetails`] or a list
/// of [`super::HistoryPoint`]; every result that [`to_json`] writes is read back too.
///
/// A run is read by [`super::Run::from_json`], which looks for contradictions as well.
///
/// # Errors
/// [`crate::Error::Document`] at the first field that is missing, unknown, misspelt or of the wrong kind, with its path.
///
/// # Example
/// ```
/// use calcore::loop_calibration::{HistoryPoint, from_json};
/// let points: Vec<HistoryPoint> =
///     from_json(r#"[{"time_a": 0.0, "as_found_k": 0.02, "standard_uncertainty_k": 0.01}]"#)?;
/// assert_eq!(points[0].as_left_k, None);
/// let error = from_json::<Vec<HistoryPoint>>(r#"[{"time": 0.0}]"#).unwrap_err();
/// assert!(error.to_string().starts_with("[0].time: unknown field `time`"));
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn from_json<T: DeserializeOwned>(text: &str) -> Result<T> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let read = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let path = error.path().to_string();
        document(if path == "." { String::new() } else { path }, &error.into_inner())
    })?;
    reader.end().map_err(|error| document(String::new(), &error))?;
    Ok(read)
}

/// Writes a description or a result: compact, fields in their fixed order, numbers in the shortest form that reads back
/// to the same bits, an infinite number as `null`.
///
/// # Errors
/// [`crate::Error::Document`] for what JSON cannot hold; none of the types of this room does so.
///
/// # Example
/// ```
/// use calcore::loop_calibration::{ReliabilityInterval, from_json, reliability_interval, to_json};
/// let found = reliability_interval(12.0, 10, 10, 0.95, 0.95)?;
/// assert_eq!(from_json::<ReliabilityInterval>(&to_json(&found)?)?, found);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn to_json(value: &impl Serialize) -> Result<String> {
    serde_json::to_string(value).map_err(|error| document(String::new(), &error))
}

/// JSON Schemas of all documents, by the names under which `calcore/schema` holds them
/// (`loop_calibration_NAME.json`).
///
/// # Errors
/// None in practice: [`crate::Error::Document`] if a schema could not be written.
#[cfg(feature = "schema")]
pub fn schemas() -> Result<Vec<(&'static str, String)>> {
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
            Err(error) => Err(document(String::new(), &error)),
        })
        .collect()
}
