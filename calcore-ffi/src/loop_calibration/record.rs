//! Section "loop calibration": the record that goes into the file, the data of a certificate, the table of the points.

use super::calibration::calcore_calibration;
use super::result::{calcore_result, element};
use super::text_handle::{calcore_text, read_text};
use crate::guard::{fill, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, copy_text, write_text};
use crate::record::records;
use crate::settling::settled::locked;
use crate::status::*;
use calcore::decision::Verdict;
use calcore::loop_calibration::{
    CertificateDetails, RecordCheck, check_record, conformity_word, content_hash, from_json, record, to_json,
};
use std::ffi::c_char;
use std::sync::Mutex;

/// A record that was read and computed again.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_record_check_free.
pub struct calcore_record_check {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_record_check {
    type Held = RecordCheck;
    const WHAT: &'static str = "calcore_record_check";
    const TAG: u64 = 0x6b63_6572_6363_0017;
}

/// What came out of the check of a record.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_record_outcome {
    /// sizeof(calcore_record_outcome), set by the caller.
    pub size: usize,
    /// Numbers that come out differently today: see calcore_record_check_difference.
    pub differences: usize,
    /// 1 if the content has the hash that it states, else 0: somebody changed it.
    pub unchanged: i32,
    /// Zero.
    pub reserved: i32,
    /// The hash as computed now, 64 hexadecimal digits and a zero byte.
    pub content_hash: [c_char; 72],
    /// Version of the core that wrote the record.
    pub core_version: [c_char; 32],
}

records!(calcore_record_outcome);

/// Details of a certificate from the caller's JSON; null for none.
///
/// # Safety
/// As [`read_text`], or null.
unsafe fn details(text: *const c_char, length: usize) -> Result<CertificateDetails, Failure> {
    if text.is_null() && length == 0 {
        return Ok(CertificateDetails::default());
    }
    // SAFETY: as promised.
    Ok(from_json(unsafe { read_text("details", text, length) }?)?)
}

/// The record of a calibration: inputs, options, results, version, in canonical form with a hash of the content, complete enough
/// to compute every number again bit for bit.
///
/// `details`: null with 0, or JSON of `length` bytes as calcore/schema/loop_calibration_certificate_details.json says.
/// `*text` receives a handle that the caller releases by calcore_text_free.
/// Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT; as calcore_run_evaluate.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record(
    calibration: *const calcore_calibration,
    details_json: *const c_char,
    length: usize,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("text", text), || {
            let details = details(details_json, length)?;
            Ok(record(&*locked(held(calibration)?)?, &details)?)
        })
    }
}

/// Reads a record of `length` bytes, compares the hash of its content and computes every number again.
///
/// `*check` receives a handle that the caller releases by calcore_record_check_free. A changed or differing number is no error
/// but is said. Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_INVALID_RUN.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_from_json(
    text: *const c_char,
    length: usize,
    check: *mut *mut calcore_record_check,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("check", check), || Ok(check_record(read_text("text", text, length)?)?)) }
}

/// Releases a check. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_free(check: *mut calcore_record_check) {
    // SAFETY: the contract of the header.
    unsafe { release(check) }
}

/// What came out of a check. Set `outcome->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_describe(
    check: *const calcore_record_check,
    outcome: *mut calcore_record_outcome,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, outcome, || {
            let c = held(check)?;
            let mut found = calcore_record_outcome {
                size: 0,
                differences: c.differences.len(),
                unchanged: i32::from(c.unchanged),
                reserved: 0,
                content_hash: [0; 72],
                core_version: [0; 32],
            };
            copy_text(&c.content_hash, &mut found.content_hash);
            copy_text(&c.core_version, &mut found.core_version);
            Ok(found)
        })
    }
}

/// Difference i of a check: the path of the number and both values.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_difference(
    check: *const calcore_record_check,
    i: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || write_text(|| element("difference", &held(check)?.differences, i), buffer, capacity, needed))
    }
}

/// The calibration of a record, which the caller releases by calcore_calibration_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_calibration(
    check: *const calcore_record_check,
    calibration: *mut *mut calcore_calibration,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("calibration", calibration), || Ok(Mutex::new(held(check)?.calibration.clone()))) }
}

/// A whole check as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_record_check_to_json(
    check: *const calcore_record_check,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(to_json(held(check)?)?)) }
}

/// SHA-256 of a text of `length` bytes, 64 hexadecimal digits. FIPS PUB 180-4.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_UTF8.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_content_hash(
    text: *const c_char,
    length: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || write_text(|| Ok(content_hash(read_text("text", text, length)?)), buffer, capacity, needed))
    }
}

/// The data of a certificate by ISO/IEC 17025:2017, 7.8, as JSON, with what is still missing.
///
/// Details, ownership and status: as calcore_record.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_certificate(
    result: *const calcore_result,
    details_json: *const c_char,
    length: usize,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("text", text), || {
            let details = details(details_json, length)?;
            Ok(to_json(&held(result)?.certificate(&details))?)
        })
    }
}

/// The points of a result as comma-separated text with a line of names.
///
/// `*text` receives a handle that the caller releases by calcore_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_points_csv(
    result: *const calcore_result,
    text: *mut *mut calcore_text,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("text", text), || Ok(held(result)?.points_csv())) }
}

/// The word of the open list of conformities that a verdict (CALCORE_PASS to CALCORE_NO_FAIL) stands for.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_OPTION.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_conformity_word(
    verdict: i32,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    use crate::decision::verdict::*;
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let word = || {
                Ok(conformity_word(match verdict {
                    CALCORE_PASS => Verdict::Pass,
                    CALCORE_FAIL => Verdict::Fail,
                    CALCORE_CONDITIONAL_PASS => Verdict::ConditionalPass,
                    CALCORE_CONDITIONAL_FAIL => Verdict::ConditionalFail,
                    CALCORE_NO_PASS => Verdict::NoPass,
                    CALCORE_NO_FAIL => Verdict::NoFail,
                    other => return Err(Failure::option("verdict", other, "CALCORE_PASS to CALCORE_NO_FAIL")),
                }))
            };
            write_text(word, buffer, capacity, needed)
        })
    }
}
