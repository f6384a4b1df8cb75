//! Writes `include/calcore.h` from the sources of this crate.

use std::path::{Path, PathBuf};

/// Where the header is kept.
pub(crate) fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../include/calcore.h")
}

/// The text of the header.
///
/// # Errors
/// What the generator says about sources that it cannot read.
pub(crate) fn text() -> Result<String, Box<dyn std::error::Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let config = cbindgen::Config::from_file(root.join("cbindgen.toml"))?;
    let bindings = cbindgen::Builder::new().with_crate(root).with_config(config).generate()?;
    let mut bytes = Vec::new();
    bindings.write(&mut bytes);
    Ok(String::from_utf8(bytes)?)
}

#[allow(dead_code, reason = "the test of freshness takes this file as a module")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    std::fs::write(path(), text()?)?;
    println!("wrote {}", path().display());
    Ok(())
}
