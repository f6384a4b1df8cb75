//! The codes that calls return.

use std::ffi::{CStr, c_char};

/// What a call returns: CALCORE_OK or one of the CALCORE_E_ codes, all of them positive.
pub type calcore_status = i32;

/// The call did what it says.
pub const CALCORE_OK: i32 = 0;

/// A NaN or an infinity where a number is needed.
pub const CALCORE_E_NOT_FINITE: i32 = 101;
/// A value outside the interval in which the quantity is defined; `low` and `high` of the error hold the limits.
pub const CALCORE_E_OUT_OF_RANGE: i32 = 102;
/// A value that the quantity cannot have.
pub const CALCORE_E_INVALID_VALUE: i32 = 103;
/// A name that is not one of the known ones.
pub const CALCORE_E_UNKNOWN_NAME: i32 = 104;
/// Arrays that belong together differ in length.
pub const CALCORE_E_LENGTH_MISMATCH: i32 = 105;

/// Fewer points than the unknowns need.
pub const CALCORE_E_TOO_FEW_POINTS: i32 = 201;
/// The points do not determine the unknowns.
pub const CALCORE_E_UNDETERMINED: i32 = 202;
/// A matrix that must be positive definite is not; `index` of the error holds the row.
pub const CALCORE_E_NOT_POSITIVE_DEFINITE: i32 = 203;
/// An iteration ended without an answer.
pub const CALCORE_E_NO_CONVERGENCE: i32 = 204;
/// The caller's model returned a status other than 0; `value` of the error holds it.
pub const CALCORE_E_MODEL_FAILED: i32 = 205;
/// A long computation was stopped from outside.
pub const CALCORE_E_CANCELLED: i32 = 206;

/// A document that is not what the reader expects, at its first fault.
pub const CALCORE_E_DOCUMENT: i32 = 301;
/// A description that contradicts itself; the message lists every contradiction found.
pub const CALCORE_E_INVALID_RUN: i32 = 302;

/// A null pointer where the call needs one to something; the message names the argument.
pub const CALCORE_E_NULL: i32 = 901;
/// A fault inside the library, caught at the border. Please report it.
pub const CALCORE_E_PANIC: i32 = 902;
/// Not a handle of the type that the call takes, or one that was released.
pub const CALCORE_E_HANDLE: i32 = 903;
/// The `size` of a struct is less than the first version of the library knew: it was not set.
pub const CALCORE_E_STRUCT_SIZE: i32 = 904;
/// A text that is not UTF-8.
pub const CALCORE_E_UTF8: i32 = 905;
/// The caller's buffer is too small for the text; the number of bytes that it needs was written.
pub const CALCORE_E_BUFFER_TOO_SMALL: i32 = 906;
/// An integer that is none of the choices; `value` of the error holds it.
pub const CALCORE_E_OPTION: i32 = 907;
/// A pointer that is not aligned, arrays that overlap without being the same, or a length that no memory can hold.
pub const CALCORE_E_POINTER: i32 = 908;
/// The number of an element that is not there; `value` of the error holds it, `high` the last one.
pub const CALCORE_E_INDEX: i32 = 909;

/// Every code with its text.
const TEXTS: &[(i32, &CStr)] = &[
    (CALCORE_OK, c"good"),
    (CALCORE_E_NOT_FINITE, c"not a finite number"),
    (CALCORE_E_OUT_OF_RANGE, c"value out of range"),
    (CALCORE_E_INVALID_VALUE, c"invalid value"),
    (CALCORE_E_UNKNOWN_NAME, c"unknown name"),
    (CALCORE_E_LENGTH_MISMATCH, c"arrays of different length"),
    (CALCORE_E_TOO_FEW_POINTS, c"too few points"),
    (CALCORE_E_UNDETERMINED, c"the points do not determine the unknowns"),
    (CALCORE_E_NOT_POSITIVE_DEFINITE, c"matrix is not positive definite"),
    (CALCORE_E_NO_CONVERGENCE, c"no convergence"),
    (CALCORE_E_MODEL_FAILED, c"the model failed"),
    (CALCORE_E_CANCELLED, c"stopped from outside"),
    (CALCORE_E_DOCUMENT, c"faulty document"),
    (CALCORE_E_INVALID_RUN, c"contradictory description"),
    (CALCORE_E_NULL, c"null pointer"),
    (CALCORE_E_PANIC, c"fault inside the library"),
    (CALCORE_E_HANDLE, c"wrong or released handle"),
    (CALCORE_E_STRUCT_SIZE, c"size of a struct not set"),
    (CALCORE_E_UTF8, c"text is not UTF-8"),
    (CALCORE_E_BUFFER_TOO_SMALL, c"buffer too small"),
    (CALCORE_E_OPTION, c"unknown option"),
    (CALCORE_E_POINTER, c"unusable pointer or length"),
    (CALCORE_E_INDEX, c"no such element"),
];

/// What a status means, in a few words.
///
/// Never null; static, not to be released. A number that is no status gives "unknown status". `calcore_error` has the
/// details of a failure.
#[unsafe(no_mangle)]
pub extern "C" fn calcore_status_text(status: calcore_status) -> *const c_char {
    TEXTS.iter().find(|(code, _)| *code == status).map_or(c"unknown status", |(_, text)| text).as_ptr()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The constants of a source text: `NAME: i32 = NUMBER`.
    fn constants() -> Vec<(String, i32)> {
        let rest = include_str!("status.rs").lines().filter_map(|line| line.strip_prefix("pub const CALCORE_"));
        let parts = rest.filter_map(|line| line.strip_suffix(';')?.split_once(": i32 = "));
        parts.map(|(name, number)| (name.to_owned(), number.parse().unwrap())).collect()
    }

    #[test]
    fn every_error_of_the_core_has_its_code() {
        let core = include_str!("../../calcore/src/error.rs");
        let mut found = 0;
        for line in core.lines().filter_map(|l| l.trim().strip_prefix("Self::")) {
            let Some((variant, number)) = line.split_once(" { .. } => ") else { continue };
            let Ok(number) = number.trim_end_matches(',').parse::<i32>() else { continue };
            let mut name = String::from("E");
            for letter in variant.chars() {
                if letter.is_uppercase() {
                    name.push('_');
                }
                name.push(letter.to_ascii_uppercase());
            }
            assert!(constants().contains(&(name.clone(), number)), "no constant {name} = {number}");
            found += 1;
        }
        assert!(found >= 12, "only {found} variants found in error.rs");
    }

    #[test]
    fn every_code_has_a_text_and_stands_once() {
        let constants = constants();
        assert_eq!(constants.len(), TEXTS.len());
        for (name, number) in &constants {
            assert_eq!(TEXTS.iter().filter(|(code, _)| code == number).count(), 1, "{name}");
        }
    }
}
