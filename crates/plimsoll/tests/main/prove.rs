//! `plimsoll prove`: pages, JSON, plots, exit statuses, what it asks for.

use crate::check::assert_valid;
use crate::support::{folder, plimsoll, ran, root, run};
use serde_json::Value;
use std::fmt::Write as _;

const SERIES: &str = "examples/pulls/grips.toml";

fn json(out: &str) -> Value {
    serde_json::from_str(out).unwrap()
}

#[test]
fn the_demo_series_reads_well_at_80_and_100_columns() {
    for columns in [80, 100] {
        for (name, words) in [
            ("prove-grips", vec!["prove", SERIES]),
            (
                "prove-loop-a",
                vec![
                    "prove",
                    "log",
                    "examples/pulls/loop-a.csv",
                    "--breaking",
                    "2000 lb",
                ],
            ),
        ] {
            let mut command = plimsoll();
            command
                .current_dir(root())
                .env("COLUMNS", columns.to_string())
                .args(&words);
            let ran = ran(&mut command);
            assert_eq!((ran.status, ran.err.as_str()), (0, ""));
            assert!(
                ran.out.lines().all(|line| line.chars().count() <= columns),
                "{}",
                ran.out
            );
            assert!(ran.out.contains("Plimsoll advises. A qualified person decides"));
            insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
                insta::assert_snapshot!(format!("{name}-{columns}"), ran.out);
            });
        }
    }
}

#[test]
fn json_is_as_its_schema_says() {
    let series = run(&root(), &["prove", SERIES, "--json", "--working"]);
    let answer = json(&series.out);
    assert_valid("prove", &answer);
    assert!(
        answer["kinds"]["loop"]["working"]["limit"].is_object(),
        "{answer}"
    );
    let log = run(&root(), &["prove", "log", "examples/pulls/screw-a.csv", "--json"]);
    let answer = json(&log.out);
    assert_valid("prove-log", &answer);
    assert_eq!(answer["reading"]["force_unit"], "lbf");
    assert_eq!(answer["peak_is_lower_bound"], false);
    // 5160 N by the model that made it; the break comes between two readings.
    assert!(
        (answer["peak_n"].as_f64().unwrap() - 5160.0).abs() < 20.0,
        "{answer}"
    );
}

#[test]
fn plots_are_written_and_nothing_is_lost() {
    let logs = folder(&[("a.csv", "Time [s];Force [kN]\n0;0\n")]);
    let csv = fs_err::read_to_string(root().join("examples/pulls/loop-a.csv")).unwrap();
    let logs_too = folder(&[("loop.csv", &csv)]);
    let ran = run(
        logs_too.path(),
        &["prove", "log", "loop.csv", "--plot", "loop.svg"],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let svg = fs_err::read_to_string(logs_too.path().join("loop.svg")).unwrap();
    assert!(svg.starts_with("<svg ") && svg.contains("travel") && !svg.contains("NaN"));
    // The log is not taken for the plot's place.
    let ran = run(
        logs_too.path(),
        &["prove", "log", "loop.csv", "--plot", "loop.csv"],
    );
    assert_eq!(ran.status, 2);
    assert_eq!(
        fs_err::read_to_string(logs_too.path().join("loop.csv")).unwrap(),
        csv
    );
    let ran = run(logs.path(), &["prove", "log", "a.csv"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("are needed"), "{}", ran.err);
}

#[test]
fn a_unit_that_is_not_said_is_asked_for() {
    let mut text = "Time,Force\n".to_string();
    for i in 0..100 {
        writeln!(text, "{:.1},{}", 0.1 * f64::from(i), 10 * i).unwrap();
    }
    let logs = folder(&[("a.csv", &text)]);
    let ran = run(logs.path(), &["prove", "log", "a.csv"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("--unit kN"), "{}", ran.err);
    let ran = run(logs.path(), &["prove", "log", "a.csv", "--unit", "lbf"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let ran = run(logs.path(), &["prove", "log", "a.csv", "--unit", "ton"]);
    assert!(ran.status == 2 && ran.err.contains("not one unit"), "{}", ran.err);
}

#[test]
fn a_specimen_that_failed_low_is_a_stop() {
    let text = "title = \"low\"\n[kinds.k]\nparts = [\"eye-sleeve-1/4\", \"rope-7x19-galv-1/4\", \"eye-sleeve-1/4\"]\ntests = \"eye-sleeve-1/4\"\n\
                claim = { working_load = \"1000 lb\", design_factor = 5 }\nspecimens = { a = { peak = \"4900 lb\" } }\n";
    let folder = folder(&[("low.toml", text)]);
    let ran = run(folder.path(), &["prove", "low.toml"]);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("STOP  pull-tests: kinds.k"), "{}", ran.out);
    let ran = run(folder.path(), &["prove", "gone.toml"]);
    assert_eq!(ran.status, 2);
}
