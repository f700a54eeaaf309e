//! The verdicts on the demo rigs as they read at 80 and at 100 columns, and that every answer keeps to the width.

use crate::support::{plimsoll, ran, root};

fn rigs() -> Vec<String> {
    let entries = std::fs::read_dir(root().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut rigs: Vec<String> = entries
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_string())
        .filter(|name| name != "shop")
        .collect();
    rigs.sort();
    rigs
}

fn verdict(rig: &str, columns: usize, more: &[&str]) -> String {
    let mut command = plimsoll();
    command.current_dir(root()).env("COLUMNS", columns.to_string());
    command
        .args(["check", &format!("examples/{rig}.toml")])
        .args(more);
    let ran = ran(&mut command);
    assert_eq!(ran.err, "");
    ran.out
}

/// Takes out what hangs on the machine and not on the rig: the steps and the residual of the search.
fn settled(text: &str) -> String {
    let Some((before, after)) = text.split_once("- found in ") else {
        return text.to_string();
    };
    let rest = after.split_once("\n- ").map_or("", |(_, rest)| rest);
    format!("{before}- found in (steps and residual)\n- {rest}")
}

#[test]
fn the_demo_rigs_read_well_at_80_and_100_columns() {
    let rigs = rigs();
    assert!(rigs.contains(&"flock".to_string()));
    for rig in rigs {
        for columns in [80, 100] {
            insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
                insta::assert_snapshot!(format!("{rig}-{columns}"), settled(&verdict(&rig, columns, &[])));
            });
        }
    }
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    for rig in rigs() {
        for columns in [40, 60, 80, 100] {
            for units in ["us", "si", "both"] {
                let text = verdict(&rig, columns, &["--units", units]);
                let wide: Vec<&str> = text
                    .lines()
                    .filter(|line| line.chars().count() > columns)
                    .collect();
                // A single word that is longer than a phone is wide stays in one piece.
                let wide: Vec<&&str> = wide
                    .iter()
                    .filter(|line| line.split_whitespace().count() > 2)
                    .collect();
                assert!(wide.is_empty(), "{rig} {columns} {units}: {wide:#?}");
            }
        }
    }
}

/// The units of forces, lengths, angles and shares.
const UNITS: [&str; 9] = ["lb", "N", "kN", "ft", "in", "m", "mm", "deg", "%"];

#[test]
fn a_number_is_never_parted_from_its_unit() {
    for rig in rigs() {
        for columns in [40, 53, 80, 100] {
            let text = verdict(&rig, columns, &["--units", "both"]);
            for (line, next) in text.lines().zip(text.lines().skip(1)) {
                let last = line
                    .split_whitespace()
                    .next_back()
                    .unwrap_or_default()
                    .trim_start_matches('(');
                let first = next.split_whitespace().next().unwrap_or_default();
                // A dash alone stands for no number.
                let is_number = last
                    .trim_start_matches('-')
                    .starts_with(|c: char| c.is_ascii_digit())
                    && !last.ends_with(',');
                let is_unit = UNITS.contains(&first.trim_end_matches([',', '.', ';', ':', ')']));
                assert!(!(is_number && is_unit), "{rig} {columns}: {line}\n{next}");
            }
        }
    }
}
