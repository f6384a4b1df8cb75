//! Which library this is.

use std::ffi::{CStr, c_char};

/// Number of the binary interface that this header describes. It changes when a program built with an older header
/// could no longer run; the shared library carries it in its SONAME.
pub const CALCORE_ABI_VERSION: i32 = 1;

const VERSION: &CStr = match CStr::from_bytes_with_nul(concat!(env!("CARGO_PKG_VERSION"), "\0").as_bytes()) {
    Ok(text) => text,
    Err(_) => c"",
};

/// Number of the binary interface of the library that is loaded; a program compares it with CALCORE_ABI_VERSION.
#[unsafe(no_mangle)]
pub extern "C" fn calcore_abi_version() -> i32 {
    CALCORE_ABI_VERSION
}

/// Version of the core, such as "0.1.0". Static, not to be released.
#[unsafe(no_mangle)]
pub extern "C" fn calcore_version() -> *const c_char {
    VERSION.as_ptr()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_version_is_that_of_the_core() {
        assert_eq!(VERSION.to_str(), Ok(calcore::VERSION));
    }
}
