//! Section "linearization": look-up tables of a curve, with a proven largest error.

use super::numbers::*;
use crate::array::{copy, copy_if_wanted, input, output_of};
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, copy_text};
use crate::record::{read, records};
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::Error;
use calcore::linearization::{
    Entries, Goal, LookupTable, Shape, Spacing, TableOptions, error_by_segments, lookup_table,
};
use std::ffi::c_char;

/// Segments are straight; nodes and values are free, the largest error is as small as it can be.
pub const CALCORE_SEGMENT_LINEAR: i32 = 0;
/// Segments are straight; nodes lie on the curve.
pub const CALCORE_SEGMENT_LINEAR_ON_CURVE: i32 = 1;
/// Segments are parabolas through the nodes, which lie on the curve.
pub const CALCORE_SEGMENT_QUADRATIC: i32 = 2;
/// Segments are cubics with the value and the slope of the curve at both nodes.
pub const CALCORE_SEGMENT_CUBIC_HERMITE: i32 = 3;

/// Nodes stand where the largest error comes out smallest.
pub const CALCORE_NODES_OPTIMAL: i32 = 0;
/// Nodes stand at equal steps of the argument; for fixed-point numbers a power of two of its unit.
pub const CALCORE_NODES_EQUAL: i32 = 1;

/// A look-up table of a curve, as the firmware stores and reads it, with a proven largest error.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_lookup_table_free.
pub struct calcore_lookup_table {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_lookup_table {
    type Held = LookupTable;
    const WHAT: &'static str = "calcore_lookup_table";
    const TAG: u64 = 0x6c62_6174_6363_0021;
}

/// What table is asked for. Zero it, set `size` and either `segments` or `largest_error`: all else is then the best table of
/// straight segments in doubles, from the signal to the temperature.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_lookup_table_options {
    /// sizeof(calcore_lookup_table_options), set by the caller.
    pub size: usize,
    /// That many segments, 1 to 4096; 0 for as few as keep `largest_error`.
    pub segments: usize,
    /// The proven error that is allowed: K towards the temperature, the unit of the signal towards the signal; 0 with `segments`.
    pub largest_error: f64,
    /// Most segments that `largest_error` may use; 0 for 256.
    pub most_segments: usize,
    /// CALCORE_SIGNAL_TO_TEMPERATURE or CALCORE_TEMPERATURE_TO_SIGNAL.
    pub direction: i32,
    /// One of the CALCORE_SEGMENT_ numbers.
    pub shape: i32,
    /// CALCORE_NODES_OPTIMAL or CALCORE_NODES_EQUAL.
    pub spacing: i32,
    /// One of the CALCORE_NUMBERS_ numbers.
    pub numbers: i32,
    /// For fixed-point numbers: format of the argument, also that of the reading that is looked up.
    pub argument: calcore_number_format,
    /// For fixed-point numbers: format of the value, also that of the result.
    pub value: calcore_number_format,
}

/// What is known of a table.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_lookup_table_facts {
    /// sizeof(calcore_lookup_table_facts), set by the caller.
    pub size: usize,
    /// Number of segments; there is one node more.
    pub segments: usize,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point numbers over
    /// every reading that the firmware can get.
    pub largest_error: f64,
    /// What rounding in the firmware adds to the error at most; 0 where every reading was tried, which shows what it does add.
    pub rounding: f64,
    /// CALCORE_PROOF_CURVATURE or CALCORE_PROOF_EVERY_READING.
    pub proof: i32,
    /// 1 when segments have bend and skew, else 0.
    pub has_bends: i32,
    /// 1 when the table has integers, else 0.
    pub has_codes: i32,
    /// Zero.
    pub reserved: i32,
    /// Unit of the errors: "K", or that of the signal.
    pub error_unit: [c_char; 16],
}

records!(calcore_lookup_table_options, calcore_lookup_table_facts);

const NO_OPTIONS: calcore_lookup_table_options = calcore_lookup_table_options {
    size: 0,
    segments: 0,
    largest_error: 0.0,
    most_segments: 0,
    direction: 0,
    shape: 0,
    spacing: 0,
    numbers: 0,
    argument: NO_FORMAT,
    value: NO_FORMAT,
};

impl calcore_lookup_table_options {
    fn options(&self) -> Result<TableOptions, Failure> {
        let entries = match self.numbers {
            CALCORE_NUMBERS_FIXED => {
                Entries::Fixed { argument: self.argument.format("argument")?, value: self.value.format("value")? }
            }
            CALCORE_NUMBERS_F64 | CALCORE_NUMBERS_F32 => {
                self.argument.unused("argument")?;
                self.value.unused("value")?;
                if self.numbers == CALCORE_NUMBERS_F32 { Entries::F32 } else { Entries::F64 }
            }
            other => return Err(Failure::option("numbers", other, "one of the CALCORE_NUMBERS_ numbers")),
        };
        let plain = TableOptions::default();
        Ok(TableOptions {
            direction: direction_of(self.direction)?,
            shape: match self.shape {
                CALCORE_SEGMENT_LINEAR => Shape::Linear,
                CALCORE_SEGMENT_LINEAR_ON_CURVE => Shape::LinearOnCurve,
                CALCORE_SEGMENT_QUADRATIC => Shape::Quadratic,
                CALCORE_SEGMENT_CUBIC_HERMITE => Shape::CubicHermite,
                other => return Err(Failure::option("shape", other, "one of the CALCORE_SEGMENT_ numbers")),
            },
            spacing: match self.spacing {
                CALCORE_NODES_OPTIMAL => Spacing::Optimal,
                CALCORE_NODES_EQUAL => Spacing::EqualArgument,
                other => return Err(Failure::option("spacing", other, "CALCORE_NODES_OPTIMAL or CALCORE_NODES_EQUAL")),
            },
            entries,
            most_segments: if self.most_segments == 0 { plain.most_segments } else { self.most_segments },
        })
    }

    /// Either a number of segments or an error.
    fn goal(&self) -> Result<Goal, Failure> {
        match (self.segments, self.largest_error == 0.0) {
            (0, _) => Ok(Goal::LargestError(self.largest_error)),
            (segments, true) => Ok(Goal::Segments(segments)),
            _ => Err(Failure::border(CALCORE_E_OPTION, "either segments or largest_error must be 0".into())),
        }
    }
}

/// The best table of a curve from `low_c` to `high_c` for a number of segments, or the smallest one for an error.
///
/// `*table` receives a handle that the caller releases by calcore_lookup_table_free.
/// Status: CALCORE_E_OUT_OF_RANGE and CALCORE_E_NOT_FINITE for the range; CALCORE_E_INVALID_VALUE where the signal turns inside
/// the range, for numbers that a format cannot hold, a number of segments that is not possible, and an error that no table
/// allowed keeps; CALCORE_E_UNDETERMINED for a curve without enclosures of its derivatives; CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_new(
    curve: *const calcore_curve,
    low_c: f64,
    high_c: f64,
    options: *const calcore_lookup_table_options,
    table: *mut *mut calcore_lookup_table,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("table", table), || {
            let (curve, asked) = (held(curve)?.sensor(), read(options, NO_OPTIONS)?);
            Ok(lookup_table(curve, low_c, high_c, asked.goal()?, &asked.options()?)?)
        })
    }
}

/// Proven largest errors of the best tables of 1, 2, ... up to `n` segments (4096 at most); `segments` and `largest_error` of the
/// options must be 0.
///
/// Status: as calcore_lookup_table_new.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_error_by_segments(
    curve: *const calcore_curve,
    low_c: f64,
    high_c: f64,
    options: *const calcore_lookup_table_options,
    errors: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (curve, asked) = (held(curve)?.sensor(), read(options, NO_OPTIONS)?);
            if asked.segments != 0 || asked.largest_error != 0.0 {
                return Err(Failure::border(CALCORE_E_OPTION, "segments and largest_error must be 0".into()));
            }
            output_of("errors", errors, n)?;
            copy("errors", &error_by_segments(curve, low_c, high_c, n, &asked.options()?)?, errors, n)
        })
    }
}

/// What is known of a table. Set `facts->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_describe(
    table: *const calcore_lookup_table,
    facts: *mut calcore_lookup_table_facts,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, facts, || {
            let table = held(table)?;
            let mut error_unit = [0; 16];
            copy_text(table.error_unit, &mut error_unit);
            Ok(calcore_lookup_table_facts {
                size: 0,
                segments: table.segments(),
                low_c: table.low_c,
                high_c: table.high_c,
                largest_error: table.largest_error,
                rounding: table.rounding,
                proof: proof_number(table.proof),
                has_bends: i32::from(!table.bends.is_empty()),
                has_codes: i32::from(table.codes.is_some()),
                reserved: 0,
                error_unit,
            })
        })
    }
}

/// The numbers of a table, exactly as stored: between two nodes, with u = (x - x0)/(x1 - x0),
/// y = y0 + u (y1 - y0 + (1 - u)(bend + skew u)).
///
/// `arguments`, ascending, and `values`: room for `nodes` numbers each, segments + 1; or null. `bends`: room for bend and skew of
/// every segment, 2 segments; null where the table has none.
///
/// Status: CALCORE_E_LENGTH_MISMATCH for another number of nodes, or `bends` of straight segments.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_numbers(
    table: *const calcore_lookup_table,
    arguments: *mut f64,
    values: *mut f64,
    nodes: usize,
    bends: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let table = held(table)?;
            same_nodes(table, nodes)?;
            copy_if_wanted("bends", table.bends.as_flattened(), bends, 2 * table.segments())?;
            copy_if_wanted("arguments", &table.arguments, arguments, nodes)?;
            copy_if_wanted("values", &table.values, values, nodes)
        })
    }
}

fn same_nodes(table: &LookupTable, nodes: usize) -> Result<(), Failure> {
    let expected = table.segments() + 1;
    if nodes == expected {
        return Ok(());
    }
    Err(Error::LengthMismatch { what: "nodes", expected, found: nodes }.into())
}

/// The integers of a table of fixed-point numbers; arrays as for calcore_lookup_table_numbers.
///
/// Status: CALCORE_E_LENGTH_MISMATCH for another number of nodes, or `bends` of straight segments; CALCORE_E_OPTION for a table
/// without integers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_codes(
    table: *const calcore_lookup_table,
    arguments: *mut i64,
    values: *mut i64,
    nodes: usize,
    bends: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let table = held(table)?;
            same_nodes(table, nodes)?;
            let codes = table.codes.as_ref().ok_or_else(|| no_codes("table"))?;
            copy_codes("bends", codes.bends.as_flattened(), bends, 2 * table.segments())?;
            copy_codes("arguments", &codes.arguments, arguments, nodes)?;
            copy_codes("values", &codes.values, values, nodes)
        })
    }
}

pub(super) fn no_codes(what: &str) -> Failure {
    Failure::border(CALCORE_E_OPTION, format!("the {what} has no integers: numbers is not CALCORE_NUMBERS_FIXED"))
}

/// As [`copy_if_wanted`], for integers.
///
/// # Safety
/// `target` is null or points to `n` integers.
pub(super) unsafe fn copy_codes(what: &'static str, codes: &[i64], target: *mut i64, n: usize) -> Result<(), Failure> {
    if target.is_null() {
        return Ok(());
    }
    if n != codes.len() {
        return Err(Error::LengthMismatch { what, expected: codes.len(), found: n }.into());
    }
    // SAFETY: as promised.
    let target = unsafe { output_of(what, target, n) }?;
    for (place, code) in target.iter_mut().zip(codes) {
        place.write(*code);
    }
    Ok(())
}

/// What the firmware finds for `n` arguments: signals, or temperatures (°C), between the first and the last node.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_evaluate(
    table: *const calcore_lookup_table,
    x: *const f64,
    n: usize,
    y: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (table, x) = (held(table)?, input("x", x, n)?);
            copy("y", &evaluated(x, |x| table.evaluate(x))?, y, n)
        })
    }
}

/// All values, or the first refusal with its place.
pub(super) fn evaluated(x: &[f64], value: impl Fn(f64) -> calcore::Result<f64>) -> Result<Vec<f64>, Failure> {
    let values = x.iter().enumerate().map(|(i, &x)| value(x).map_err(|error| error.at_index(i, 1)));
    Ok(values.collect::<calcore::Result<_>>()?)
}

/// The integer that the firmware finds for the integer of a reading; beyond the nodes the nearer end answers.
///
/// Status: CALCORE_E_OPTION for a table without integers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_evaluate_code(
    table: *const calcore_lookup_table,
    code: i64,
    value: *mut i64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give(err, ("value", value), || held(table)?.evaluate_code(code).ok_or_else(|| no_codes("table"))) }
}

/// Releases a table. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_lookup_table_free(table: *mut calcore_lookup_table) {
    // SAFETY: the contract of the header.
    unsafe { release(table) }
}
