//! Every mistake in `tests/mistakes` gets a message that names file, line and column and says what would be right.

use crate::support::{fit, folder, plimsoll, ran};
use std::path::{Path, PathBuf};

fn files() -> Vec<(String, String)> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(here)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    let name = |path: &PathBuf| path.file_stem().unwrap().to_str().unwrap().to_string();
    paths
        .iter()
        .map(|path| {
            (
                name(path),
                String::from_utf8(std::fs::read(path).unwrap()).unwrap(),
            )
        })
        .collect()
}

/// Runs the program on a file of mistakes in the way a person would come upon it.
fn message(name: &str, text: &str) -> String {
    let file = format!("{name}.toml");
    let (file, shop, words) = match name.split('-').next().unwrap() {
        "rig" => (file.as_str(), "", vec!["check", &file]),
        "parts" => (file.as_str(), "", vec!["parts", "--book", &file]),
        "practices" => (file.as_str(), "practices", vec!["rules"]),
        "shop" => ("shop.toml", "", vec!["rules"]),
        "readings" => (file.as_str(), "", vec!["trim", "rig.toml", "--readings", &file]),
        other => panic!("no way to run a file that begins with {other}"),
    };
    let shop = if shop.is_empty() {
        String::new()
    } else {
        format!("{shop} = [\"{file}\"]\n")
    };
    let rig = fit();
    let mut files = vec![(file, text), ("rig.toml", rig.as_str())];
    if !shop.is_empty() {
        files.push(("shop.toml", &shop));
    }
    let here = folder(&files);
    let ran = ran(plimsoll().current_dir(here.path()).args(&words));
    assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{name}: {}", ran.err);
    assert!(
        ran.err.contains(&format!("{file}:")),
        "{name} does not name file and line: {}",
        ran.err
    );
    ran.err
}

#[test]
fn each_mistake_gets_its_message() {
    let files = files();
    assert!(files.len() >= 100);
    let mut poor = Vec::new();
    for (name, text) in &files {
        let says = message(name, text);
        if !text.is_empty() && !says.contains('^') {
            poor.push(format!("{name} underlines nothing"));
        }
        insta::with_settings!({
            snapshot_path => "../mistakes-say",
            prepend_module_to_snapshot => false,
            omit_expression => true,
        }, {
            insta::assert_snapshot!(name.clone(), says);
        });
    }
    assert!(poor.is_empty(), "{poor:#?}");
}

#[test]
fn no_message_is_left_of_a_mistake_that_is_gone() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes-say");
    let names: Vec<String> = files().into_iter().map(|(name, _)| name).collect();
    for entry in std::fs::read_dir(kept).unwrap() {
        let path = entry.unwrap().path();
        let stem = path
            .file_stem()
            .unwrap()
            .to_str()
            .unwrap()
            .trim_end_matches(".snap")
            .to_string();
        assert!(names.contains(&stem), "{} belongs to no mistake", path.display());
    }
}
