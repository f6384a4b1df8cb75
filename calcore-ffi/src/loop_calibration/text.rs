//! Section "loop calibration": the texts of a result.

use super::attribution::share_of;
use super::result::{calcore_result, element, point_of};
use crate::guard::guard;
use crate::handle::held;
use crate::message::{Failure, calcore_error, write_text};
use crate::status::*;
use std::ffi::c_char;

/// Text of a result: version of the core that computed it.
pub const CALCORE_TEXT_CORE_VERSION: i32 = 0;

/// Text of a result: document i by which it was computed.
pub const CALCORE_TEXT_DOCUMENT: i32 = 1;

/// Text of a result: tag of instrument i.
pub const CALCORE_TEXT_INSTRUMENT_TAG: i32 = 2;

/// Text of a result: source of line k of the budget of instrument i at its point j.
pub const CALCORE_TEXT_CONTRIBUTION: i32 = 3;

/// Text of a result: tag of the last link of attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_TAG: i32 = 4;
/// Text of a result: tag of link j of attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_LINK: i32 = 5;
/// Text of a result: tag of the link with the largest share in attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_CAUSE: i32 = 6;

/// Text of a result: tag of the link of share k at set point j of attribution i.
pub const CALCORE_TEXT_SHARE_TAG: i32 = 7;

/// Text of a result: tag of the element of fit i.
pub const CALCORE_TEXT_ELEMENT_TAG: i32 = 8;

/// Text of a result: stable code of warning i.
pub const CALCORE_TEXT_WARNING_CODE: i32 = 9;
/// Text of a result: what warning i concerns, as a path into the run.
pub const CALCORE_TEXT_WARNING_PATH: i32 = 10;
/// Text of a result: what warning i says.
pub const CALCORE_TEXT_WARNING_MESSAGE: i32 = 11;

/// Text of a result: caution i, for work at hot equipment and on live loops.
pub const CALCORE_TEXT_CAUTION: i32 = 12;

/// Writes a text of a result into the caller's buffer. `what`: one of the CALCORE_TEXT_ numbers, which say what the
/// numbers i, j and k mean; those that they do not name are not looked at.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX for an element that is not there.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_text(
    result: *const calcore_result,
    what: i32,
    i: usize,
    j: usize,
    k: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || {
                let r = held(result)?;
                let attribution = |i| element("attribution", &r.attribution, i);
                let warning = |i| element("warning", &r.warnings, i);
                Ok(match what {
                    CALCORE_TEXT_CORE_VERSION => &r.core_version,
                    CALCORE_TEXT_DOCUMENT => element("document", &r.documents, i)?,
                    CALCORE_TEXT_INSTRUMENT_TAG => &element("instrument", &r.instruments, i)?.tag,
                    CALCORE_TEXT_CONTRIBUTION => {
                        &element("contribution", &point_of(r, i, j)?.budget.contributions, k)?.quantity
                    }
                    CALCORE_TEXT_ATTRIBUTION_TAG => &attribution(i)?.tag,
                    CALCORE_TEXT_ATTRIBUTION_LINK => element("link", &attribution(i)?.links, j)?,
                    CALCORE_TEXT_ATTRIBUTION_CAUSE => &attribution(i)?.cause,
                    CALCORE_TEXT_SHARE_TAG => &share_of(r, i, j, k)?.tag,
                    CALCORE_TEXT_ELEMENT_TAG => &element("element fit", &r.element_fits, i)?.tag,
                    CALCORE_TEXT_WARNING_CODE => &warning(i)?.code,
                    CALCORE_TEXT_WARNING_PATH => &warning(i)?.path,
                    CALCORE_TEXT_WARNING_MESSAGE => &warning(i)?.message,
                    CALCORE_TEXT_CAUTION => element("caution", &r.cautions, i)?,
                    other => return Err(Failure::option("what", other, "one of the CALCORE_TEXT_ numbers")),
                })
            };
            write_text(text, buffer, capacity, needed)
        })
    }
}
