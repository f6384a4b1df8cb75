//! Section "loop calibration": texts that the library wrote: JSON documents, records, tables.

use crate::array::input;
use crate::guard::guard;
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, write_text};
use crate::status::*;
use std::ffi::c_char;

/// A text that the library wrote, in UTF-8.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_text_free.
pub struct calcore_text {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_text {
    type Held = String;
    const WHAT: &'static str = "calcore_text";
    const TAG: u64 = 0x7478_745f_6363_0013;
}

/// A text of the caller with its length in bytes.
///
/// # Safety
/// `text` points to `length` bytes, or `length` is 0.
pub(super) unsafe fn read_text<'a>(what: &str, text: *const c_char, length: usize) -> Result<&'a str, Failure> {
    // SAFETY: as promised.
    let bytes = unsafe { input(what, text.cast::<u8>(), length) }?;
    std::str::from_utf8(bytes).map_err(|error| {
        Failure::border(CALCORE_E_UTF8, format!("{what} is not UTF-8 at byte {}", error.valid_up_to()))
    })
}

/// Copies a text into the caller's buffer of `capacity` bytes, ended by a zero byte.
///
/// Buffer, `*needed` and status: as calcore_run_to_json.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_text_copy(
    text: *const calcore_text,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(|| Ok(held(text)?.as_str()), buffer, capacity, needed)) }
}

/// Releases a text. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_text_free(text: *mut calcore_text) {
    // SAFETY: the contract of the header.
    unsafe { release(text) }
}
