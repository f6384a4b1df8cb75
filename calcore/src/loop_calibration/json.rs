//! Descriptions and results of the work around a run as JSON: one way in, one way out.

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
