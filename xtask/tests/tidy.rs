//! Holds what the plan of the house says of manifests and sources: who may know whom, who may touch the outside.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that can not go on says so"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The floor of each crate; a crate may depend on floors below its own alone.
const FLOORS: [(&str, u8); 13] = [
    ("quantity", 0),
    ("working", 1),
    ("document", 1),
    ("statics", 1),
    ("proving", 1),
    ("motion", 2),
    ("parts", 2),
    ("practice", 3),
    ("rig", 4),
    ("series", 4),
    ("drawing", 5),
    ("app", 6),
    ("plimsoll", 7),
];

/// The crates that may touch files, clocks and the environment.
const FRONT_DOORS: [&str; 1] = ["plimsoll"];

/// What a pure crate has no word of.
const OUTSIDE: [&str; 7] = [
    "std::fs",
    "std::env",
    "std::time",
    "std::net",
    "std::process",
    "fs_err",
    "std::io::stdin",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_path_buf()
}

fn text(path: &Path) -> String {
    String::from_utf8(std::fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display())))
        .unwrap()
}

fn manifest(folder: &Path) -> toml::Table {
    text(&folder.join("Cargo.toml")).parse().unwrap()
}

/// Lists the files under a folder that have this ending; none if there is no such folder.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|end| end == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The text of a source without what is compiled for tests alone, which stands at its end, and without comments.
fn code(source: &str) -> String {
    let upto = source.find("#[cfg(test)]\nmod tests").unwrap_or(source.len());
    let line = |line: &str| {
        if line.trim_start().starts_with("//") {
            String::new()
        } else {
            line.to_string()
        }
    };
    source[..upto].lines().map(line).collect::<Vec<_>>().join("\n")
}

/// The sources of a crate that are part of the product: those of `src` that are no modules of tests.
fn sources(name: &str) -> Vec<(PathBuf, String)> {
    let folder = root().join("crates").join(name).join("src");
    let for_tests = test_modules(&folder);
    let product = |path: &PathBuf| !for_tests.iter().any(|module| path.ends_with(module));
    files(&folder, "rs")
        .into_iter()
        .filter(product)
        .map(|path| (path.clone(), code(&text(&path))))
        .collect()
}

/// Names the files of modules that are declared under `#[cfg(test)]`.
fn test_modules(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for path in files(folder, "rs") {
        let text = text(&path);
        for after in text.split("#[cfg(test)]\n").skip(1) {
            let line = after.lines().next().unwrap_or_default();
            let name = line
                .trim_start_matches("pub(crate) ")
                .strip_prefix("mod ")
                .and_then(|rest| rest.strip_suffix(';'));
            found.extend(name.map(|name| format!("{name}.rs")));
        }
    }
    found
}

#[test]
fn every_crate_has_a_floor_and_stands_on_lower_ones_alone() {
    let floors: BTreeMap<&str, u8> = FLOORS.into_iter().collect();
    let mut seen = 0;
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        let folder = entry.unwrap().path();
        let name = folder.file_name().unwrap().to_str().unwrap().to_string();
        let own = floors
            .get(name.as_str())
            .unwrap_or_else(|| panic!("`{name}` has no floor"));
        seen += 1;
        let manifest = manifest(&folder);
        assert_eq!(manifest["package"]["name"].as_str(), Some(name.as_str()));
        for (on, _) in manifest
            .get("dependencies")
            .and_then(toml::Value::as_table)
            .into_iter()
            .flatten()
        {
            if let Some(floor) = floors.get(on.as_str()) {
                assert!(
                    floor < own,
                    "`{name}` (floor {own}) depends on `{on}` (floor {floor})"
                );
            }
        }
    }
    assert_eq!(seen, FLOORS.len());
}

#[test]
fn the_front_door_calls_app_alone() {
    let manifest = manifest(&root().join("crates/plimsoll"));
    let on = manifest["dependencies"].as_table().unwrap();
    let ours: Vec<&str> = FLOORS
        .iter()
        .map(|(name, _)| *name)
        .filter(|name| on.contains_key(*name))
        .collect();
    assert_eq!(ours, ["app"]);
}

#[test]
fn only_front_doors_touch_files_clocks_and_the_environment() {
    for (name, _) in FLOORS.iter().filter(|(name, _)| !FRONT_DOORS.contains(name)) {
        for (path, code) in sources(name) {
            // What is compiled in (`env!`) is no environment of the run.
            let said: Vec<&&str> = OUTSIDE.iter().filter(|word| code.contains(**word)).collect();
            assert!(said.is_empty(), "{} has {said:?}", path.display());
        }
        let manifest = manifest(&root().join("crates").join(name));
        let on = manifest.get("dependencies").and_then(toml::Value::as_table);
        assert!(
            on.is_none_or(|on| !on.contains_key("fs-err")),
            "`{name}` depends on fs-err"
        );
    }
}

#[test]
fn code_that_runs_for_people_has_no_unwrap_and_no_expect() {
    for (name, _) in FLOORS {
        for (path, code) in sources(name) {
            for (number, line) in code.lines().enumerate() {
                let bare = line.contains(".unwrap()") || line.contains(".expect(\"");
                assert!(!bare, "{}:{}: {}", path.display(), number + 1, line.trim());
            }
        }
    }
}

#[test]
fn every_file_of_tests_is_used() {
    for (name, _) in FLOORS {
        let folder = root().join("crates").join(name);
        let manifest = manifest(&folder);
        let auto = manifest["package"]
            .get("autotests")
            .and_then(toml::Value::as_bool)
            .unwrap_or(true);
        let named: Vec<PathBuf> = manifest
            .get("test")
            .and_then(toml::Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(|test| Some(folder.join(test.get("path")?.as_str()?)))
            .collect();
        let tests = folder.join("tests");
        let declared: Vec<String> = files(&tests, "rs").iter().map(|path| text(path)).collect();
        for path in files(&tests, "rs") {
            let relative = path.strip_prefix(&tests).unwrap();
            let stem = path.file_stem().unwrap().to_str().unwrap();
            let depth = relative.components().count();
            let is_root = named.contains(&path) || auto && (depth == 1 || depth == 2 && stem == "main");
            let module = if stem == "mod" {
                path.parent().unwrap().file_name().unwrap().to_str().unwrap()
            } else {
                stem
            };
            let is_declared = declared.iter().any(|text| {
                text.lines()
                    .any(|line| line.trim().trim_start_matches("pub ") == format!("mod {module};"))
            });
            assert!(is_root || is_declared, "{} is never compiled", path.display());
        }
    }
}

#[test]
fn no_test_is_switched_off() {
    // In two pieces, so that this file does not name it.
    let ignored = ["#[igno", "re"].concat();
    for (name, _) in FLOORS {
        for path in files(&root().join("crates").join(name), "rs") {
            assert!(!text(&path).contains(&ignored), "{}", path.display());
        }
    }
}

#[test]
fn every_crate_forbids_unsafe_code_through_the_workspace() {
    let workspace = manifest(&root());
    assert_eq!(
        workspace["workspace"]["lints"]["rust"]["unsafe_code"].as_str(),
        Some("forbid")
    );
    for folder in FLOORS
        .iter()
        .map(|(name, _)| root().join("crates").join(name))
        .chain([root().join("xtask")])
    {
        assert_eq!(
            manifest(&folder)["lints"]["workspace"].as_bool(),
            Some(true),
            "{}",
            folder.display()
        );
    }
}
