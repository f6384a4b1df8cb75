//! Data flows one way through the house: no room imports one that stands above it, and siblings do not know each other.
#![allow(clippy::unwrap_used)]

use std::path::Path;

/// The rooms from the bottom up; those of one row are siblings.
const FLOORS: [&[&str]; 12] = [
    &["error"],
    &["constants"],
    &["interval"],
    &["num"],
    &["temperature"],
    &["its90"],
    &["curves"],
    &["circuit"],
    &["tolerance"],
    &["fit", "linearization", "uncertainty", "settling"],
    &["decision"],
    &["loop_calibration", "validation"],
];

fn floor(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
}

fn check(file: &Path, room: &str, faults: &mut Vec<String>) {
    let text = std::fs::read_to_string(file).unwrap();
    // What a test of a room uses is no part of the house.
    let code = text.split("#[cfg(test)]").next().unwrap_or("");
    for line in code.lines().filter(|line| !line.trim_start().starts_with("//")) {
        for found in line.split("crate::").skip(1) {
            let used: String = found.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            let (Some(here), Some(there)) = (floor(room), floor(&used)) else { continue };
            if there > here || (there == here && used != room) {
                faults.push(format!("{}: {room} uses {used}: {}", file.display(), line.trim()));
            }
        }
    }
}

fn walk(folder: &Path, room: &str, faults: &mut Vec<String>, rooms: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let room = if room.is_empty() { name.as_str() } else { room };
        if path.is_dir() {
            walk(&path, room, faults, rooms);
        } else if name != "lib" {
            rooms.push(room.to_owned());
            check(&path, room, faults);
        }
    }
}

#[test]
fn nothing_points_back_up() {
    let (mut faults, mut rooms) = (Vec::new(), Vec::new());
    walk(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src")), "", &mut faults, &mut rooms);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let strangers: Vec<&String> = rooms.iter().filter(|room| floor(room).is_none()).collect();
    assert!(strangers.is_empty() && rooms.len() > 50, "rooms without a floor: {strangers:?}");
}
