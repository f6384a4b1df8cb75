//! Section "loop calibration": the published JSON Schemas.

use super::text_handle::calcore_text;
use crate::guard::{give, guard, make};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::status::*;
use calcore::loop_calibration::{schema, schema_names};
use std::ffi::c_char;

/// How many documents have a published JSON Schema.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_schema_count(count: *mut usize, err: *mut calcore_error) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("count", count), || Ok(schema_names().len())) }
}

/// Name of document i: "run", "certificate" and so on.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_schema_name(
    i: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    let name = || schema_names().nth(i).ok_or_else(|| Failure::index("schema", i, schema_names().len()));
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(name, buffer, capacity, needed)) }
}

/// The JSON Schema (draft 2020-12) of a document, by the name that calcore_schema_name gives.
///
/// `*text` receives a handle that the caller releases by calcore_text_free. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_schema(
    name: *const c_char,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(schema(read_name("name", name)?)?.to_owned())) }
}
