//! Section "loop calibration": plain tables into the set points of a run.

use super::run::calcore_run;
use super::text_handle::{calcore_text, read_text};
use crate::array::{Output, input};
use crate::guard::guard;
use crate::handle::{hand_out, held};
use crate::message::{Failure, calcore_error, read_name};
use crate::status::*;
use calcore::loop_calibration::{Mapping, Table, from_json, to_json};
use std::ffi::c_char;

/// A run with its set points read from a table, and what was left out as JSON, if that is wanted.
///
/// # Safety
/// As [`held`]; the pointers are null or the caller's.
unsafe fn with_table(
    run: *const calcore_run,
    table: impl FnOnce() -> Result<Table, Failure>,
    (mapping, mapping_length): (*const c_char, usize),
    filled: *mut *mut calcore_run,
    left_out: *mut *mut calcore_text,
) -> Result<(), Failure> {
    // SAFETY: as promised.
    unsafe {
        let target = Output::new("filled", filled)?;
        let left_target = if left_out.is_null() { None } else { Some(Output::new("left_out", left_out)?) };
        let mapping: Mapping = from_json(read_text("mapping", mapping, mapping_length)?)?;
        let (run, warnings) = held(run)?.clone().with_table(&table()?, &mapping)?;
        if let Some(left) = left_target {
            hand_out(left, to_json(&warnings)?);
        }
        hand_out(target, run);
        Ok(())
    }
}

/// A run like `run` with its set points read from separated text: `csv` of `length` bytes, the first line names the columns,
/// fields may be in double quotes, `separator` is one ASCII character such as ',' or ';'. `mapping`: JSON of `mapping_length`
/// bytes that says which column is what, as calcore/schema/loop_calibration_mapping.json says. Empty cells are left out and
/// reported, never filled.
///
/// `*filled` receives a handle that the caller releases by calcore_run_free; `*left_out`, unless null, the report as JSON, which
/// the caller releases by calcore_text_free.
/// Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_OPTION; CALCORE_E_INVALID_RUN with all problems of the table, or all
/// contradictions of the run.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_with_csv(
    run: *const calcore_run,
    csv: *const c_char,
    length: usize,
    separator: i32,
    mapping: *const c_char,
    mapping_length: usize,
    filled: *mut *mut calcore_run,
    left_out: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let table = || {
                let ascii = u8::try_from(separator).ok().filter(|c| c.is_ascii() && *c != b'"' && *c >= 9);
                let separator = ascii.map(char::from).ok_or_else(|| {
                    Failure::option("separator", separator, "the code of one ASCII character, such as ','")
                })?;
                Ok(Table::from_csv(read_text("csv", csv, length)?, separator)?)
            };
            with_table(run, table, (mapping, mapping_length), filled, left_out)
        })
    }
}

/// A run like `run` with its set points read from arrays: `columns` names and arrays of `rows` numbers each; NaN is a missing
/// value, left out and reported.
///
/// Mapping, ownership and status: as calcore_run_with_csv.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_with_arrays(
    run: *const calcore_run,
    names: *const *const c_char,
    arrays: *const *const f64,
    columns: usize,
    rows: usize,
    mapping: *const c_char,
    mapping_length: usize,
    filled: *mut *mut calcore_run,
    left_out: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let table = || {
                let (names, arrays) = (input("names", names, columns)?, input("arrays", arrays, columns)?);
                let mut pairs = Vec::with_capacity(columns);
                for (name, array) in names.iter().zip(arrays) {
                    pairs.push((read_name("name of a column", *name)?, input("column", *array, rows)?));
                }
                Ok(Table::from_arrays(&pairs)?)
            };
            with_table(run, table, (mapping, mapping_length), filled, left_out)
        })
    }
}
