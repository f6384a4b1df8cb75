//! Gives the shared library its SONAME, with the ABI number that the header carries; nothing else.

use std::fs;

fn main() -> Result<(), String> {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=src/version.rs");
    let source = fs::read_to_string("src/version.rs").map_err(|e| format!("src/version.rs: {e}"))?;
    let number = source
        .lines()
        .find_map(|line| line.strip_prefix("pub const CALCORE_ABI_VERSION: i32 = ")?.strip_suffix(';'))
        .ok_or("src/version.rs does not define CALCORE_ABI_VERSION")?;
    if std::env::var("CARGO_CFG_TARGET_OS").as_deref() == Ok("linux") {
        println!("cargo:rustc-cdylib-link-arg=-Wl,-soname,libcalcore_ffi.so.{number}");
    }
    Ok(())
}
