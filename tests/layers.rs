//! Dependence runs down the list of rooms in `src/lib.rs` only, and the core knows no screen and no dialog.

use std::fs;
use std::path::{Path, PathBuf};

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
        if entry.is_dir() {
            found.extend(sources(&entry));
        } else if entry.extension().is_some_and(|extension| extension == "rs") {
            found.push(entry);
        }
    }
    found
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn rooms() -> Vec<String> {
    let map = fs::read_to_string(root().join("lib.rs")).expect("the map");
    map.lines().filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';')).map(str::to_owned).collect()
}

/// Room of a file: the folder or file under `src` it belongs to.
fn room_of(path: &Path) -> String {
    let inside = path.strip_prefix(root()).expect("under src");
    let first = inside.components().next().expect("a name").as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

#[test]
fn rooms_use_only_rooms_above_them_in_the_map() {
    let rooms = rooms();
    assert!(rooms.len() > 8, "the map is read: {rooms:?}");
    let mut seen = 0;
    for path in sources(&root()) {
        let Some(own) = rooms.iter().position(|room| *room == room_of(&path)) else { continue };
        let text = fs::read_to_string(&path).expect("a source");
        for (number, line) in text.lines().enumerate() {
            for part in line.split("crate::").skip(1) {
                let name: String = part.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                if let Some(other) = rooms.iter().position(|room| *room == name) {
                    seen += 1;
                    let place = format!("{}:{}", path.display(), number + 1);
                    assert!(other <= own, "{place}: {} uses {name}, which stands below it", rooms[own]);
                }
            }
        }
    }
    assert!(seen > 100, "uses are found");
}

#[test]
fn only_the_window_knows_the_screen() {
    for path in sources(&root()) {
        if room_of(&path) == "app" {
            continue;
        }
        let text = fs::read_to_string(&path).expect("a source");
        for library in ["egui", "eframe", "rfd::", "winit"] {
            let used = text.lines().any(|line| !line.trim_start().starts_with("//") && line.contains(library));
            assert!(!used, "{} names {library}", path.display());
        }
    }
}

#[test]
fn a_family_is_named_by_its_own_files_and_the_lists_only() {
    let families: Vec<&str> = second_breath::families::FAMILIES.iter().map(|entry| entry.id).collect();
    for path in sources(&root()) {
        let room = room_of(&path);
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        if ["families", "scene"].contains(&room.as_str()) {
            continue;
        }
        let text = fs::read_to_string(&path).expect("a source");
        let product = text.split("#[cfg(test)]").next().expect("a first part");
        let product: String = product.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        for family in &families {
            let quoted = product.contains(&format!("\"{family}\""));
            // the window opens on a contrast of two by name
            assert!(!quoted || (room == "app" && name == "state.rs"), "{} names {family}", path.display());
        }
    }
}
