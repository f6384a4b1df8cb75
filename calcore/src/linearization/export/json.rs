//! Everything that is known of a table or polynomial.

use super::Export;
use crate::error::{Error, Problem, Result};
use serde::Serialize;

/// A table or polynomial with its kind and the version that made it.
#[derive(Serialize)]
struct Document<'a, T> {
    kind: &'a str,
    calcore_version: &'a str,
    #[serde(flatten)]
    content: &'a T,
}

pub(super) fn text(export: Export<'_>) -> Result<String> {
    let calcore_version = crate::VERSION;
    let written = match export {
        Export::Table(content) => {
            serde_json::to_string_pretty(&Document { kind: "lookup_table", calcore_version, content })
        }
        Export::Minimax(content) => {
            serde_json::to_string_pretty(&Document { kind: "minimax", calcore_version, content })
        }
    };
    written.map_err(|error| Error::Document { problem: Problem { path: String::new(), message: error.to_string() } })
}
