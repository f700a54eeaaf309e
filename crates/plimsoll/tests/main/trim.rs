//! How a rig is set right.

use crate::check::assert_valid;
use crate::support::{fit, folder, plimsoll, ran, root, run, stop};
use serde_json::Value;

const CANOPY: [&str; 4] = [
    "trim",
    "examples/canopy.toml",
    "--readings",
    "examples/readings/canopy.toml",
];

fn page(columns: usize, words: &[&str]) -> String {
    let mut command = plimsoll();
    command
        .current_dir(root())
        .env("COLUMNS", columns.to_string())
        .args(words);
    let ran = ran(&mut command);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{}", ran.out);
    ran.out
}

#[test]
fn the_canopy_reads_well_at_80_and_100_columns() {
    for columns in [80, 100] {
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("trim-canopy-{columns}"), page(columns, &CANOPY));
        });
    }
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    for columns in [40, 60, 80, 100] {
        for units in ["us", "si", "both"] {
            let words: Vec<&str> = CANOPY
                .into_iter()
                .chain(["--even=60 %", "--units", units])
                .collect();
            let text = page(columns, &words);
            let wide = text.lines().filter(|line| line.chars().count() > columns);
            // A single word that is longer than a phone is wide stays in one piece.
            let wide: Vec<&str> = wide.filter(|line| line.split_whitespace().count() > 2).collect();
            assert!(wide.is_empty(), "{columns} {units}: {wide:#?}");
        }
    }
}

#[test]
fn the_answer_in_json_is_as_its_schema_says() {
    for words in [&CANOPY[..2], &CANOPY[..]] {
        let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
        let value: Value = serde_json::from_str(&page(80, &words)).unwrap();
        assert_valid("trim", &value);
        assert_eq!(value["effects"].as_object().unwrap().len(), 4);
        assert_eq!(value["plan"].is_object(), words.len() > 3);
    }
}

#[test]
fn a_rig_that_is_a_stop_says_so_first_and_is_answered_all_the_same() {
    let here = folder(&[("rig.toml", &stop())]);
    let ran = run(here.path(), &["trim", "rig.toml"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    assert!(
        ran.out.starts_with("STOP  ") && ran.out.contains("check says: STOP"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("One unit taken up") && ran.out.contains("can not be adjusted"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("\nCautions\n"), "{}", ran.out);
}

#[test]
fn metric_steps_are_five_millimetres() {
    let here = folder(&[("rig.toml", &fit())]);
    let us = run(here.path(), &["trim", "rig.toml"]).out;
    let si = run(here.path(), &["trim", "rig.toml", "--units", "si"]).out;
    assert!(us.contains("1/4 in") && si.contains("5 mm"), "{us}{si}");
}

#[test]
fn what_can_not_be_read_answers_2_with_all_that_is_wrong() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = run(here.path(), &["trim", "rig.toml", "--level", "3", "--even=-4 %"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("bare number") && ran.err.contains("not more than zero"),
        "{}",
        ran.err
    );
    let ran = run(here.path(), &["trim", "rig.toml", "--readings", "gone.toml"]);
    assert!(ran.status == 2 && ran.err.contains("gone.toml"), "{}", ran.err);
}

#[test]
fn even_swallows_nothing_and_asks_for_its_equals_sign() {
    for words in [["--even", "--json", CANOPY[1]], ["--even", CANOPY[1], "--json"]] {
        let words: Vec<&str> = ["trim"].into_iter().chain(words).collect();
        let value: Value = serde_json::from_str(&page(80, &words)).unwrap();
        assert!(
            value["goal"].as_str().unwrap().contains("within 5 %"),
            "{}",
            value["goal"]
        );
    }
    for words in [["--even", "5%", CANOPY[1]], [CANOPY[1], "--even", "5%"]] {
        let words: Vec<&str> = ["trim"].into_iter().chain(words).collect();
        let ran = run(&root(), &words);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(ran.err.contains("`--even=5%`"), "{}", ran.err);
    }
}

/// Units are whole, and so are turns where a unit is a turn.
#[test]
fn turns_are_told_as_whole_numbers() {
    let value: Value = serde_json::from_str(&page(80, &[&CANOPY[..], &["--json"]].concat())).unwrap();
    let steps = value["plan"]["steps"].as_array().unwrap();
    assert!(!steps.is_empty());
    for step in steps {
        let units = step["units"].as_i64().unwrap();
        assert_eq!(step["turns"].as_f64().unwrap(), units.abs() as f64);
    }
}

#[test]
fn a_contradiction_is_a_stop() {
    let canopy = fs_err::read_to_string(root().join("examples/readings/canopy.toml")).unwrap();
    let weighed = "[[weight]]\nof = \"canopy\"\nreads = \"430 lb\"\nuncertainty = \"2 lb\"\n";
    let here = folder(&[("readings.toml", &(canopy + weighed))]);
    let file = here.path().join("readings.toml");
    let ran = run(
        &root(),
        &["trim", CANOPY[1], "--readings", file.to_str().unwrap()],
    );
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    assert!(ran.out.starts_with("STOP  "), "{}", ran.out);
    assert!(
        ran.out.contains("STOP  readings: one of these is wrong"),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("Step 1"), "{}", ran.out);
}

/// A frame that was weighed, with cells on some of its lines and on two together: it is level within the usual goal, and nothing is
/// to be adjusted.
#[test]
fn the_lanterns_are_level_by_what_was_read() {
    let words = [
        "trim",
        "examples/lanterns.toml",
        "--readings",
        "examples/readings/lanterns.toml",
    ];
    let page = page(80, &words);
    for says in ["309 lb +- 4 lb", "tension of nw + se", "Nothing to adjust"] {
        assert!(page.contains(says), "{says}: {page}");
    }
}
