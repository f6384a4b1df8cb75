//! Section "linearization": tables and polynomials as C source, JSON and CSV.

use super::minimax::calcore_minimax;
use super::table::calcore_lookup_table;
use crate::array::Output;
use crate::guard::{guard, make};
use crate::handle::{hand_out, held};
use crate::loop_calibration::text_handle::calcore_text;
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::linearization::Export;
use std::ffi::c_char;

/// # Safety
/// `name` is null or ends with a zero byte; the targets are null or the caller's.
unsafe fn source_of(
    export: Export<'_>,
    name: *const c_char,
    header: *mut *mut calcore_text,
    source: *mut *mut calcore_text,
) -> Result<(), Failure> {
    // SAFETY: as promised.
    let (header, source, name) =
        unsafe { (Output::new("header", header)?, Output::new("source", source)?, read_name("name", name)?) };
    let c = export.c99(name)?;
    hand_out(header, c.header);
    hand_out(source, c.source);
    Ok(())
}

/// A table as plain C99: what belongs into NAME.h and NAME.c. One function `name` turns the argument into the value with the
/// bits of calcore_lookup_table_evaluate; it needs no mathematics library.
///
/// `*header` and `*source` receive handles that the caller releases by calcore_text_free.
/// Status: CALCORE_E_UNKNOWN_NAME unless the name is a letter, then letters, digits and underscores, all lower-case, 31 at most.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_to_c99(
    table: *const calcore_lookup_table,
    name: *const c_char,
    header: *mut *mut calcore_text,
    source: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || source_of(Export::from(held(table)?), name, header, source)) }
}

/// A table as JSON: kind, version of the library, and all that is known of it. `*text` receives a handle that the caller
/// releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_to_json(
    table: *const calcore_lookup_table,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(Export::from(held(table)?).json()?)) }
}

/// The nodes of a table as rows of numbers with a heading: argument,value, with bend,skew of the segment that begins there and,
/// for fixed-point numbers, the integers. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_to_csv(
    table: *const calcore_lookup_table,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(Export::from(held(table)?).csv())) }
}

/// A polynomial or quotient as plain C99, with the bits of calcore_minimax_evaluate; all else as calcore_lookup_table_to_c99.
///
/// Status: as calcore_lookup_table_to_c99.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_to_c99(
    found: *const calcore_minimax,
    name: *const c_char,
    header: *mut *mut calcore_text,
    source: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || source_of(Export::from(held(found)?), name, header, source)) }
}

/// A polynomial or quotient as JSON; all else as calcore_lookup_table_to_json.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_to_json(
    found: *const calcore_minimax,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(Export::from(held(found)?).json()?)) }
}

/// The coefficients by their power, as rows of numbers with a heading; all else as calcore_lookup_table_to_csv.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_minimax_to_csv(
    found: *const calcore_minimax,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(Export::from(held(found)?).csv())) }
}
