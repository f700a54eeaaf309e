//! `plimsoll letgo`: exit statuses, JSON, one part alone, the time history, wrong questions, pages.

use crate::check::assert_valid;
use crate::support::{fit, folder, root, run};
use serde_json::Value;

fn json(out: &str) -> Value {
    serde_json::from_str(out).unwrap()
}

#[test]
fn json_is_as_its_schema_says_for_every_demo_rig() {
    for rig in [
        "flock",
        "reflector",
        "banner",
        "lamp",
        "moon",
        "lanterns",
        "batten",
    ] {
        let ran = run(
            &root(),
            &[
                "letgo",
                &format!("examples/{rig}.toml"),
                "--json",
                "--seconds",
                "1",
            ],
        );
        let answer = json(&ran.out);
        assert_valid("letgo", &answer);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{rig}");
        let cases = answer["cases"].as_array().unwrap();
        assert!(
            cases.iter().any(|case| case["lets_go"] == answer["worst"]),
            "{rig}"
        );
        for case in cases {
            for line in case["lines"].as_object().unwrap().values() {
                assert!(
                    line["peak_n"].as_f64() >= line["peak_range_n"][0].as_f64(),
                    "{rig} {case}"
                );
            }
        }
    }
}

#[test]
fn the_page_says_what_becomes_of_the_rig_and_carries_the_cautions() {
    let ran = run(&root(), &["letgo", "examples/reflector.toml"]);
    for part in [
        "positioning only: the adjustable grip of tilt only sets how the load hangs",
        "lines.tilt, or points.back: held",
        "lines.tilt slips: past working load",
        "proof: in the way that decides energy balances to",
        "\nAssumed, because nobody said\n",
        "Plimsoll advises. A qualified person decides",
    ] {
        assert!(
            ran.out.replace("\n    ", " ").contains(part),
            "{part}: {}",
            ran.out
        );
    }
    assert!(
        ran.out.lines().all(|line| line.chars().count() <= 100),
        "{}",
        ran.out
    );
}

#[test]
fn one_part_alone_is_asked_about_and_its_time_history_written() {
    let here = folder(&[("rig.toml", &fit())]);
    let words = [
        "letgo",
        "rig.toml",
        "--line",
        "left",
        "--damping",
        "0",
        "--seconds",
        "0.5",
        "--trace",
        "out.csv",
        "--every",
        "0.01",
        "--json",
    ];
    let ran = run(here.path(), &words);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    let answer = json(&ran.out);
    let cases = answer["cases"].as_array().unwrap();
    assert_eq!(
        (cases.len(), &cases[0]["lets_go"]),
        (1, &Value::from("lines.left"))
    );
    let csv = fs_err::read_to_string(here.path().join("out.csv")).unwrap();
    let rows: Vec<&str> = csv.lines().collect();
    assert_eq!(rows.len(), 52, "a heading and 0 to 0.5 s: {csv}");
    let heading: Vec<&str> = rows[0].split(',').collect();
    assert_eq!(&heading[..2], ["time s", "lines.left tension at mid-length N"]);
    // What let go pulls on nothing; what remains pulls from the first moment.
    let first: Vec<f64> = rows[1].split(',').map(|cell| cell.parse().unwrap()).collect();
    assert_eq!((first[0], first[1]), (0.0, 0.0));
    assert!(first[2] > 1.0, "{csv}");
}

#[test]
fn wrong_questions_are_told_what_would_be_right() {
    let here = folder(&[("rig.toml", &fit())]);
    for (more, says) in [
        (&["--line", "lefft"][..], "did you mean `left`?"),
        (&["--damping", "-1"], "from 0 to 0.5"),
        (&["--damping", "nan"], "from 0 to 0.5"),
        (&["--seconds", "0"], "from 0.01 to 60"),
        (
            &["--line", "left", "--trace", "no/such/folder/x.csv"],
            "no/such/folder",
        ),
        (
            &["--line", "left", "--trace", "x.csv", "--every", "0"],
            "from 0.00001 to 1",
        ),
    ] {
        let ran = run(here.path(), &[&["letgo", "rig.toml"][..], more].concat());
        assert_eq!(ran.status, 2, "{more:?} {}", ran.err);
        assert!(
            ran.err.contains(says) && ran.out.is_empty(),
            "{more:?}: {}",
            ran.err
        );
    }
    let kept = fs_err::read_to_string(here.path().join("rig.toml")).unwrap();
    for file in ["rig.toml", "./rig.toml", "-"] {
        let ran = run(
            here.path(),
            &["letgo", "rig.toml", "--line", "left", "--trace", file],
        );
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{file}");
    }
    assert_eq!(
        fs_err::read_to_string(here.path().join("rig.toml")).unwrap(),
        kept
    );
    // One at a time, and no history of everything.
    for more in [&["--line", "left", "--point", "left"][..], &["--trace", "x.csv"]] {
        let ran = run(here.path(), &[&["letgo", "rig.toml"][..], more].concat());
        assert_eq!(ran.status, 2, "{more:?}");
    }
}
