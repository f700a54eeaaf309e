//! `plimsoll spread`: exit statuses, JSON, units, seeds, wrong questions, an early end.

use crate::check::assert_valid;
use crate::support::{fit, folder, plimsoll, ran, root, run, stop};
use serde_json::Value;

/// Few samples, so that a test is quick.
const FEW: [&str; 2] = ["--samples", "300"];

fn json(out: &str) -> Value {
    serde_json::from_str(out).unwrap()
}

#[test]
fn a_fit_rig_answers_0_and_tells_lines_inputs_and_cautions() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = run(here.path(), &[&["spread", "rig.toml"][..], &FEW].concat());
    assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{}", ran.out);
    assert!(
        ran.out.starts_with("FIT  Larkspur Library reading room"),
        "{}",
        ran.out
    );
    for part in [
        "samples: 300, seed 1; all of them hang",
        "\nLines: tension\n",
        "\nWhat was off in the samples, each by itself\n",
        "length tolerance 0.5 %",
        "\nHow far this can be trusted\n",
        "\nAssumed, because nobody said\n",
    ] {
        assert!(ran.out.contains(part), "{part}: {}", ran.out);
    }
    let check = run(here.path(), &["check", "rig.toml"]);
    let cautions = check.out.split_once("\nCautions\n").unwrap().1;
    assert!(ran.out.ends_with(&format!("\nCautions\n{cautions}")));
}

#[test]
fn a_rig_that_check_stops_answers_1_and_is_sampled_all_the_same() {
    let here = folder(&[("rig.toml", &stop())]);
    let ran = run(
        here.path(),
        &[&["spread", "rig.toml", "--json"][..], &FEW].concat(),
    );
    let answer = json(&ran.out);
    assert_eq!((ran.status, &answer["verdict"]), (1, &Value::from("stop")));
    assert_eq!(answer["lines"]["left"]["over_working_load"]["chance"], 1.0);
}

#[test]
fn json_is_as_its_schema_says_for_every_demo_rig() {
    for rig in ["flock", "lanterns", "batten", "courtyard", "banner"] {
        let file = format!("examples/{rig}.toml");
        let words = [
            "spread",
            &file,
            "--json",
            "--samples",
            "150",
            "--give",
            "0.5 mm/kN",
        ];
        let ran = run(&root(), &words);
        let answer = json(&ran.out);
        assert_valid("spread", &answer);
        assert_eq!(answer["samples"]["drawn"], 150, "{rig}");
        let check = run(&root(), &["check", &file]);
        // A case may be a stop where the plain rig is none.
        assert!(ran.status <= check.status, "{rig}");
    }
}

#[test]
fn a_seed_gives_the_same_answer_each_time_and_another_another() {
    let here = folder(&[("rig.toml", &fit())]);
    let with = |more: &[&str]| {
        run(
            here.path(),
            &[&["spread", "rig.toml", "--json"][..], &FEW, more].concat(),
        )
        .out
    };
    let first = with(&[]);
    assert_eq!(with(&[]), first);
    assert_eq!(with(&["--seed", "1"]), first);
    let other = with(&["--seed", "18446744073709551615"]);
    assert_ne!(json(&other)["lines"], json(&first)["lines"]);
    let on_one = ran(plimsoll().current_dir(&here).env("RAYON_NUM_THREADS", "1").args([
        "spread",
        "rig.toml",
        "--json",
        "--samples",
        "300",
    ]));
    assert_eq!(on_one.out, first);
}

#[test]
fn units_are_as_asked() {
    let here = folder(&[("rig.toml", &fit())]);
    let lines = |units: &str| {
        let out = run(
            here.path(),
            &[&["spread", "rig.toml", "--units", units][..], &FEW].concat(),
        )
        .out;
        let (from, to) = (
            out.find("\nLines: tension\n").unwrap(),
            out.find("\nWhat was off").unwrap(),
        );
        out[from..to].to_string()
    };
    assert!(lines("us").contains(" lb") && !lines("us").contains(" N"));
    assert!(lines("si").contains(" N") && !lines("si").contains(" lb"));
}

#[test]
fn what_is_wrong_with_the_question_answers_2_and_says_what() {
    let here = folder(&[("rig.toml", &fit()), ("wrong.toml", "title = 3")]);
    for (words, says) in [
        (&["rig.toml", "--samples", "0"][..], "1..=1000000"),
        (&["rig.toml", "--samples", "1000001"], "1..=1000000"),
        (&["rig.toml", "--samples", "many"], "many"),
        (&["rig.toml", "--seed", "-1"], "-1"),
        (&["rig.toml", "--give", "3 lb"], "--give: "),
        (&["rig.toml", "--give", "-1 mm/kN"], "more than zero"),
        (&["rig.toml", "--give", "0 mm/kN"], "more than zero"),
        (&["rig.toml", "other.toml"], "other.toml"),
        (&["gone.toml"], "gone.toml"),
        (&["wrong.toml"], "wrong.toml:1:9"),
        (&[], "<RIG>"),
    ] {
        let ran = run(here.path(), &[&["spread"][..], words].concat());
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{words:?}");
        assert!(ran.err.contains(says), "{words:?}: {}", ran.err);
    }
}

#[test]
fn what_is_off_by_too_much_is_a_mistake_of_the_rig() {
    for (key, stated, says) in [
        (
            "role ",
            "stiffness_spread = \"120 %\"",
            "`stiffness_spread` is 120 %",
        ),
        (
            "role ",
            "stiffness_spread = \"-5 %\"",
            "`stiffness_spread` is negative",
        ),
        ("role ", "tolerance_spread = \"odd\"", "even"),
        ("under ", "weight_spread = \"60 %\"", "`weight_spread` is 60 %"),
        (
            "under ",
            "centre_spread = \"-1 in\"",
            "`centre_spread` is too small",
        ),
    ] {
        let rig = fit().replacen(key, &format!("{stated}\n{key}"), 1);
        let here = folder(&[("rig.toml", &rig)]);
        let ran = run(here.path(), &["spread", "rig.toml"]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{stated}");
        assert!(ran.err.contains(says), "{stated}: {}", ran.err);
    }
}

#[test]
fn standard_input_is_a_rig() {
    let here = folder(&[]);
    let ran = ran(plimsoll()
        .current_dir(&here)
        .args(["spread", "-", "--samples", "50"])
        .write_stdin(fit()));
    assert_eq!(ran.status, 0, "{}", ran.err);
}

#[test]
fn the_answer_reads_well_and_keeps_to_the_width() {
    for rig in ["flock", "lanterns", "batten"] {
        for columns in [40, 60, 80, 100] {
            let mut command = plimsoll();
            command.current_dir(root()).env("COLUMNS", columns.to_string());
            let file = format!("examples/{rig}.toml");
            let ran = ran(command.args(["spread", &file, "--samples", "500"]));
            let wide = |line: &&str| line.chars().count() > columns && line.split_whitespace().count() > 2;
            let wide: Vec<&str> = ran.out.lines().filter(wide).collect();
            assert!(wide.is_empty(), "{rig} {columns}: {wide:#?}");
            if columns >= 80 {
                insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
                    insta::assert_snapshot!(format!("spread-{rig}-{columns}"), ran.out);
                });
            }
        }
    }
}

/// Ctrl-C ends a long run with the samples that are done.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupt_ends_early_with_what_is_done() {
    use std::process::{Command, Stdio};
    let child = Command::new(env!("CARGO_BIN_EXE_plimsoll"))
        .current_dir(root())
        .args(["spread", "examples/batten.toml", "--samples", "1000000", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let process = child.id().to_string();
    // Until the program listens for the signal, which is the second bit of those that it catches.
    let listens = || {
        let status = fs_err::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        caught.is_some_and(|mask| u64::from_str_radix(mask.trim(), 16).unwrap() & 2 != 0)
    };
    while !listens() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    std::thread::sleep(std::time::Duration::from_millis(300));
    assert!(
        Command::new("kill")
            .args(["-INT", &process])
            .status()
            .unwrap()
            .success()
    );
    let output = child.wait_with_output().unwrap();
    let checked = run(&root(), &["check", "examples/batten.toml"]);
    assert_eq!(output.status.code(), Some(checked.status));
    assert!(output.stderr.is_empty(), "no progress where nobody watches");
    let answer = json(&String::from_utf8(output.stdout).unwrap());
    let drawn = answer["samples"]["drawn"].as_u64().unwrap();
    assert!(drawn < 1_000_000 && drawn.is_multiple_of(512), "{drawn}");
    assert_eq!(answer["samples"]["asked"], 1_000_000);
    assert_valid("spread", &answer);
}
