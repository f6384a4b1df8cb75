//! The committed header is what the sources give, and every exported function stands in it and in the C tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../examples/header.rs"]
mod header;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The source files of a folder and of those inside it.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { found.extend(sources(&path)) } else { found.push(path) }
    }
    found
}

/// Names of the functions that the sources export.
fn exported() -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for file in sources(&root().join("src")) {
        let text = fs::read_to_string(file).unwrap();
        let mut lines = text.lines();
        while let Some(line) = lines.next() {
            if line.trim() == "#[unsafe(no_mangle)]" {
                let signature = lines.next().unwrap();
                let name = signature.split_once("fn ").unwrap().1;
                names.insert(name.split(['(', '<']).next().unwrap().to_owned());
            }
        }
    }
    names
}

/// Every function of the library that a text calls.
fn called(text: &str) -> BTreeSet<String> {
    let starts = text.match_indices("calcore_").map(|(place, _)| &text[place..]);
    let names = starts.map(|rest| rest.split_once('(').map_or("", |(name, _)| name));
    names.filter(|name| name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')).map(str::to_owned).collect()
}

#[test]
fn the_committed_header_is_fresh() {
    let committed = fs::read_to_string(header::path()).unwrap();
    assert!(
        committed == header::text().unwrap(),
        "include/calcore.h is stale: run `cargo run -p calcore-ffi --example header`"
    );
}

#[test]
fn every_exported_function_is_in_the_header_with_a_comment() {
    let text = fs::read_to_string(header::path()).unwrap();
    let names = exported();
    assert!(names.len() > 10, "only {} functions found", names.len());
    for name in names {
        assert!(name.starts_with("calcore_"), "{name} lacks the prefix");
        let place = text.find(&format!("{name}(")).unwrap_or_else(|| panic!("{name} is not in the header"));
        let line = text[..place].rfind('\n').unwrap();
        assert!(text[..line].ends_with("*/"), "{name} has no comment in the header");
    }
}

#[test]
fn every_exported_function_is_called_in_the_tests_of_c() {
    let mut known = BTreeSet::new();
    for file in fs::read_dir(root().join("../tests/c")).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|e| e == "c") {
            known.extend(called(&fs::read_to_string(path).unwrap()));
        }
    }
    let missing: Vec<_> = exported().into_iter().filter(|name| !known.contains(name)).collect();
    assert!(missing.is_empty(), "not called in tests/c: {missing:?}");
}
