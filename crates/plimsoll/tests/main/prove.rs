//! `plimsoll prove`: pages, JSON, plots, exit statuses, what it asks for.

use crate::check::assert_valid;
use crate::support::{flat, folder, plimsoll, ran, root, run};
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

/// A load on one line of the makeup that the series tests, which names the series.
fn proved_rig(rope: &str, proved_by: &str) -> String {
    format!(
        "title = \"Larkspur Library: one line\"\npractice = \"static-overhead\"\n\
         [points.p]\nat = [\"0 m\", \"0 m\", \"6 m\"]\nallows = {{ down = \"2000 lb\", side = \"100 lb\", by = \"engineer\", document = \"letter\" }}\n\
         [loads.box]\nweight = \"100 lb\"\nweight_from = \"weighed\"\npicks = {{ top = [\"0 m\", \"0 m\", \"0 m\"] }}\n\
         centre = [\"0 m\", \"0 m\", \"-0.2 m\"]\ntrim = {{ at = [\"0 m\", \"0 m\", \"3 m\"] }}\nunder = \"nobody\"\nservice = \"still\"\n\
         [makeups.m]\nparts = [\"eye-sleeve-1/4\", \"{rope}\", \"eye-sleeve-1/4\"]\nproved_by = [{proved_by}]\n\
         [lines.a]\nfrom = \"p\"\nto = \"box.top\"\nmakeup = \"m\"\nlength = \"to trim\"\nrole = \"carries\"\n"
    )
}

/// A series of typed peaks in pounds, of what `proved_rig` is made of; 5000 lb is claimed.
fn typed_series(peaks: &[u32]) -> String {
    let mut text = "title = \"eyes\"\n[kinds.eye]\nparts = [\"eye-sleeve-1/4\", \"rope-7x19-galv-1/4\", \"eye-sleeve-1/4\"]\ntests = \"eye-sleeve-1/4\"\n\
                    claim = { working_load = \"1000 lb\", design_factor = 5 }\n"
        .to_string();
    for (at, peak) in peaks.iter().enumerate() {
        writeln!(
            text,
            "specimens.s{at} = {{ peak = \"{peak} lb\", saw = \"pulled out\" }}"
        )
        .unwrap();
    }
    text
}

#[test]
fn check_shows_the_pull_tests_of_a_makeup_and_holds_it_to_them() {
    let checked = |peaks: &[u32]| {
        let named = proved_rig("rope-7x19-galv-1/4", "{ series = \"tests/eyes.toml\" }");
        let rigs = folder(&[("rig.toml", &named)]);
        fs_err::create_dir(rigs.path().join("tests")).unwrap();
        fs_err::write(rigs.path().join("tests/eyes.toml"), typed_series(peaks)).unwrap();
        let ran = run(rigs.path(), &["check", "rig.toml", "--json"]);
        assert!(ran.err.is_empty(), "{}", ran.err);
        let answer = json(&ran.out);
        assert_valid("check", &answer);
        answer
    };
    let found = |answer: &Value, severity: &str| {
        let findings = answer["findings"].as_array().unwrap();
        let of_tests = findings.iter().filter(|finding| finding["rule"] == "pull-tests");
        of_tests.filter(|finding| finding["severity"] == severity).count()
    };
    let load_n = |answer: &Value| answer["lines"]["a"]["working_load_n"].as_f64().unwrap();
    // Three: a caution beside the maker's rating, which stands.
    let three = checked(&[5400, 5200, 5600]);
    assert_eq!((found(&three, "stop"), found(&three, "caution")), (0, 1));
    assert!(
        three["pull_tests"][0]["says"]
            .as_str()
            .unwrap()
            .contains("do not show that")
    );
    // One below: a stop.
    assert_eq!(found(&checked(&[5400, 4900, 5600]), "stop"), 1);
    // Ten that scatter: the limit over the factor of the practice is what the line may carry.
    let ten = checked(&[5400, 5200, 5600, 5300, 5500, 5100, 5700, 5250, 5450, 5350]);
    assert_eq!((found(&ten, "stop"), found(&ten, "caution")), (0, 1));
    let limit_n = ten["pull_tests"][0]["limit_n"].as_f64().unwrap();
    assert!(load_n(&ten) < load_n(&three));
    assert!(
        (limit_n / load_n(&ten) - 5.0).abs() < 1e-9
            && ten["lines"]["a"]["governing_part"] == "eye-sleeve-1/4"
    );
    // Ten that scatter so much that they support nothing: no working load is left.
    let wild = checked(&[1000, 9000, 2000, 8000, 3000, 7000, 4000, 6000, 5000, 500]);
    assert!(
        wild["lines"]["a"]["working_load_n"].is_null() && wild["verdict"] == "stop",
        "{}",
        wild["lines"]
    );
    // Ten that bear it out raise nothing.
    let strong = checked(&[8000, 8010, 8020, 8030, 8040, 8050, 8060, 8070, 8080, 8090]);
    assert_eq!((found(&strong, "stop"), found(&strong, "caution")), (0, 0));
    assert!((load_n(&strong) - load_n(&three)).abs() < 1e-9);
    assert!(
        strong["pull_tests"][0]["says"]
            .as_str()
            .unwrap()
            .contains("bear that out")
    );
}

#[test]
fn the_demo_rig_shows_what_was_pulled() {
    let ran = run(&root(), &["check", "examples/sign.toml"]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    let shown = ran.out.split("\n\n").find(|part| part.starts_with("Pull tests"));
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("check-sign-pull-tests", shown.unwrap_or(&ran.out));
    });
}

#[test]
fn a_series_that_can_not_be_used_is_a_mistake_of_the_rig() {
    let told = |rope: &str, proved_by: &str, series: &str| {
        let rigs = folder(&[("rig.toml", &proved_rig(rope, proved_by)), ("eyes.toml", series)]);
        let ran = run(rigs.path(), &["check", "rig.toml"]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        flat(&ran.err)
    };
    let (rope, right) = ("rope-7x19-galv-1/4", typed_series(&[5400, 5200]));
    let cases = [
        (rope, "{ series = \"gone.toml\" }", "can not be used"),
        (
            rope,
            "{ series = \"eyes.toml\", kind = \"eyes\" }",
            "did you mean `eye`?",
        ),
        (
            "rope-7x7-galv-1/4",
            "{ series = \"eyes.toml\" }",
            "the rope of makeup `m` is `rope-7x7-galv-1/4`",
        ),
        (rope, "{}", "series"),
    ];
    for (rope, proved_by, says) in cases {
        let err = told(rope, proved_by, &right);
        assert!(err.contains(says), "{says}: {err}");
    }
    let err = told(
        rope,
        "{ series = \"eyes.toml\" }",
        &right.replace("kinds", "kidns"),
    );
    assert!(
        err.contains("can not be used") && err.contains("plimsoll prove"),
        "{err}"
    );
}

#[test]
fn tests_of_ends_that_are_made_up_otherwise_say_nothing_of_a_makeup() {
    let clipped = |text: &str, count: u32| {
        let clip = format!(
            "{{ part = \"clips-forged-1/4\", count = {count}, turnback = \"6 in\", torque = \"15 ft lb\" }}"
        );
        text.replace("\"eye-sleeve-1/4\"]", &format!("{clip}]"))
            .replace("tests = \"eye-sleeve-1/4\"", "tests = \"clips-forged-1/4\"")
    };
    let told = |of_rig: u32, of_series: u32| {
        let rig = proved_rig("rope-7x19-galv-1/4", "{ series = \"eyes.toml\" }");
        let series = clipped(&typed_series(&[5400, 5200]), of_series);
        let rigs = folder(&[("rig.toml", &clipped(&rig, of_rig)), ("eyes.toml", &series)]);
        let err = run(rigs.path(), &["check", "rig.toml"]).err;
        flat(&err)
    };
    assert!(
        told(2, 3).contains("made up otherwise than in makeup `m`: clips 2, tested 3"),
        "{}",
        told(2, 3)
    );
    assert!(!told(3, 3).contains("made up otherwise"), "{}", told(3, 3));
}

#[test]
fn what_is_set_aside_and_failed_low_has_to_be_explained() {
    let text = typed_series(&[6400, 6410, 6420, 6430, 6405, 4900]);
    let aside = |more: &str| {
        let text = text.replace(
            "{ peak = \"4900 lb\",",
            &format!("{{ peak = \"4900 lb\", set_aside = \"the die slipped\",{more}"),
        );
        let folder = folder(&[("eyes.toml", &text)]);
        let ran = run(folder.path(), &["prove", "eyes.toml"]);
        (ran.status, ran.out)
    };
    let (status, out) = aside("");
    assert!(status == 1 && out.contains("NO: a specimen failed"), "{out}");
    let (status, out) = aside(" explained = \"made anew with the right die\",");
    assert!(status == 0 && out.contains("the tests support"), "{out}");
}

#[test]
fn one_log_is_one_specimen_and_no_tests_rate_what_its_maker_does_not() {
    let log = fs_err::read_to_string(root().join("examples/pulls/loop-a.csv")).unwrap();
    let series = |rope: &str, second: &str| {
        let text = format!(
            "title = \"grips\"\n[kinds.k]\nparts = [\"eye-sleeve-1/8\", \"{rope}\", \"grip-loop-1/8\"]\ntests = \"grip-loop-1/8\"\n\
             claim = {{ working_load = \"200 lb\", design_factor = 5 }}\n\
             specimens.a = {{ log = \"a.csv\", saw = \"pulled out\" }}\nspecimens.b = {{ {second}, saw = \"pulled out\" }}\n"
        );
        let folder = folder(&[("k.toml", &text), ("a.csv", &log), ("b.csv", &log)]);
        let book = root().join("examples/parts/grips.toml");
        run(
            folder.path(),
            &["prove", "k.toml", "--book", book.to_str().unwrap()],
        )
    };
    let twice = series("rope-7x19-galv-1/8", "log = \"b.csv\"");
    assert!(
        twice.status == 2 && twice.err.contains("the log of `b` holds what that of `a` does"),
        "{}",
        twice.err
    );
    let unrated = series("rope-7x7-galv-1/8", "peak = \"1300 lb\"");
    let out = flat(&unrated.out);
    assert!(
        unrated.status == 1 && out.contains("does not rate it on `rope-7x7-galv-1/8`"),
        "{out}"
    );
}

#[test]
fn what_does_not_go_together_is_told() {
    let text = typed_series(&[5400, 5200, 5600, 5500]).replace(
        "[kinds.eye]",
        "pulled_on = 2026-05-11\n[cell]\ncalibrated = 2026-06-01\ncapacity = \"5500 lb\"\n[kinds.eye]",
    );
    let text = text.replace(
        "specimens.s1 = { peak = \"5200 lb\",",
        "specimens.s1 = { peak = \"5200 lb\", first_break = \"5300 lb\", set_aside = \"the die was the wrong one\",",
    );
    let held = fs_err::read_to_string(root().join("examples/pulls/screw-a.csv")).unwrap();
    let text = text + "specimens.log = { log = \"a.csv\", saw = \"did not fail\" }\n";
    let folder = folder(&[("eyes.toml", &text), ("a.csv", &held)]);
    let ran = run(folder.path(), &["prove", "eyes.toml"]);
    let out = flat(&ran.out);
    for says in [
        "the cell was calibrated on 2026-06-01, after the pulls of 2026-05-11",
        "that the cell goes to: one of both is wrong",
        "its first break at 5300 lb",
        "`did not fail` was seen, and its log tells otherwise",
        "lower limit (normal)",
    ] {
        assert!(out.contains(says), "{says}: {}", ran.out);
    }
}

#[test]
fn a_plan_tells_how_many_and_writes_the_sheet() {
    let rigs = folder(&[("eyes.toml", &typed_series(&[]))]);
    // What was not pulled is planned, not proved.
    let ran = run(rigs.path(), &["prove", "eyes.toml"]);
    assert!(
        ran.status == 2 && ran.err.contains("plimsoll prove plan"),
        "{}",
        ran.err
    );
    let ran = run(
        rigs.path(),
        &[
            "prove",
            "plan",
            "eyes.toml",
            "--sheet",
            "sheet.txt",
            "--specimens",
            "30",
            "--json",
        ],
    );
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert_valid("prove-plan", &json(&ran.out));
    let sheet = fs_err::read_to_string(rigs.path().join("sheet.txt")).unwrap();
    assert!(sheet.lines().all(|line| line.chars().count() <= 80), "{sheet}");
    assert_eq!(sheet.matches("\nSPECIMEN ").count(), 30);
    assert!(sheet.contains("SPECIMEN z ") && sheet.contains("SPECIMEN d2 "));
    assert!(sheet.contains("Plimsoll advises. A qualified person decides"));
    // The document is not taken for the sheet's place.
    let ran = run(
        rigs.path(),
        &["prove", "plan", "eyes.toml", "--sheet", "eyes.toml"],
    );
    assert!(ran.status == 2 && ran.err.contains("--sheet"), "{}", ran.err);
    assert_eq!(
        fs_err::read_to_string(rigs.path().join("eyes.toml")).unwrap(),
        typed_series(&[])
    );
    for columns in [80, 100] {
        let mut command = plimsoll();
        command
            .current_dir(root())
            .env("COLUMNS", columns.to_string())
            .args(["prove", "plan", SERIES]);
        let ran = crate::support::ran(&mut command);
        assert!(
            ran.out.lines().all(|line| line.chars().count() <= columns),
            "{}",
            ran.out
        );
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("prove-plan-{columns}"), ran.out);
        });
    }
}

/// A specimen that failed below 80 % of the breaking force of its rope: what its series tells of the rate is what its log alone tells.
#[test]
fn the_rate_is_told_alike_by_a_series_and_by_its_log() {
    let key = "rate_above_80_percent_n_per_s";
    let series = json(&run(&root(), &["prove", SERIES, "--json"]).out);
    let in_series = &series["kinds"]["loop"]["specimens"]["a"]["log"];
    let log = |more: &[&str]| {
        let words = [&["prove", "log", "examples/pulls/loop-a.csv", "--json"][..], more].concat();
        json(&run(&root(), &words).out)
    };
    for log in [log(&[]), log(&["--breaking", "2000 lb"])] {
        assert!(log[key].as_f64().unwrap() > 0.0);
        assert_eq!(log[key], in_series[key]);
    }
    let warnings = in_series["warnings"].as_array().unwrap();
    assert!(
        warnings.iter().all(|warning| warning["code"] != "rate-not-known"),
        "{warnings:?}"
    );
    assert!(in_series["rate_is_kept"].is_null());
}

/// A machine that is as soft as all of it together is told, by the log alone and by its series.
#[test]
fn a_stiffness_of_the_machine_that_can_not_be_is_told() {
    let log = |stiffness: &str| {
        let words = [
            "prove",
            "log",
            "examples/pulls/loop-a.csv",
            "--machine-stiffness",
            stiffness,
        ];
        run(&root(), &words).out
    };
    let says = "the stiffness of the machine as stated";
    // It is 437 kN/m with the machine in it.
    assert!(log("430 kN/m").contains(says) && !log("440 kN/m").contains(says));
    let csv = fs_err::read_to_string(root().join("examples/pulls/loop-a.csv")).unwrap();
    let text = format!(
        "[machine]\nstiffness = \"0.4 kN/mm\"\n{}specimens.log = {{ log = \"a.csv\", saw = \"pulled out\" }}\n",
        typed_series(&[5400]).replace("title", "#")
    );
    let text = format!("title = \"soft\"\n{text}");
    let folder = folder(&[("eyes.toml", &text), ("a.csv", &csv)]);
    let ran = run(folder.path(), &["prove", "eyes.toml"]);
    assert!(ran.out.contains(says), "{}{}", ran.out, ran.err);
}

/// A rig whose makeup names tests of which something does not go together is told so.
#[test]
fn check_tells_that_there_are_doubts_about_the_tests() {
    let rig = proved_rig("rope-7x19-galv-1/4", "{ series = \"eyes.toml\" }");
    let checked = |series: &str| {
        let rigs = folder(&[("rig.toml", &rig), ("eyes.toml", series)]);
        let ran = run(rigs.path(), &["check", "rig.toml"]);
        assert_eq!(ran.err, "");
        flat(&ran.out)
    };
    let right = typed_series(&[8000, 8010, 8020]);
    let wrong = right.replace("[kinds.eye]", "[cell]\ncapacity = \"8005 lb\"\n[kinds.eye]");
    assert!(!checked(&right).contains("doubt"));
    let out = checked(&wrong);
    for says in [
        "there are 2 doubts about them",
        "CAUTION pull-tests: makeups.m",
        "that the cell goes to",
    ] {
        assert!(out.contains(says), "{says}: {out}");
    }
}

/// What it takes to show a claim is said as it is: no sentence points at something that is not there.
#[test]
fn what_keeps_a_claim_open_is_told() {
    let told = |series: &str| {
        let folder = folder(&[("eyes.toml", series)]);
        let out = run(folder.path(), &["prove", "eyes.toml"]).out;
        flat(&out)
    };
    let stopped = |peaks: &[u32]| typed_series(peaks).replace("pulled out", "did not fail");
    let cases = [
        (
            typed_series(&[8000, 8010]),
            "to show it: three that fail at the least",
        ),
        (
            typed_series(&[8000, 8000, 8000]),
            "to show it: forces that are read finer",
        ),
        (
            stopped(&[5100, 5200]),
            "299 that all hold what is to be held for sure",
        ),
        (
            typed_series(&[8000, 8010, 8020])
                + "specimens.low = { peak = \"4000 lb\", saw = \"did not fail\" }\n",
            "to show it: low: stopped below what is to be held",
        ),
    ];
    for (series, says) in cases {
        let out = told(&series);
        assert!(out.contains(says), "{says}: {out}");
    }
    let same = told(&typed_series(&[8000, 8000, 8000]));
    assert!(
        !same.contains("true mean") && same.contains("standard deviation: none to be seen"),
        "{same}"
    );
}

/// Who asks for SI reads SI first, on every page and in every sentence; lines of complaints keep to the width.
#[test]
fn pages_keep_to_the_units_and_to_the_width() {
    for words in [
        &["prove", SERIES][..],
        &["prove", "plan", SERIES],
        &["prove", "log", "examples/pulls/loop-a.csv"],
    ] {
        let in_units = |units: &str| flat(&run(&root(), &[words, &["--units", units]].concat()).out);
        let (us, si) = (in_units("us"), in_units("si"));
        assert!(
            us.contains("lb (") && !us.contains("kN (") && !us.contains("J ("),
            "{us}"
        );
        assert!(!si.contains("lb (") && si.contains("J ("), "{si}");
    }
    let mut command = plimsoll();
    command.current_dir(root()).env("COLUMNS", "80");
    command.args(["prove", "log", "examples/pulls/loop-a.csv", "--unit", "ton"]);
    let ran = ran(&mut command);
    assert!(
        ran.status == 2 && ran.err.starts_with("error: --unit: `ton`"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.lines().count() > 1 && ran.err.lines().all(|line| line.chars().count() <= 80),
        "{}",
        ran.err
    );
}

/// Each reading of the sheet whose unit is left open has a blank for it, and the help says what status 1 means.
#[test]
fn readings_of_the_sheet_have_units() {
    let rigs = folder(&[("eyes.toml", &typed_series(&[]))]);
    run(
        rigs.path(),
        &["prove", "plan", "eyes.toml", "--sheet", "sheet.txt"],
    );
    let sheet = fs_err::read_to_string(rigs.path().join("sheet.txt")).unwrap();
    for reading in [
        "peak",
        "first break at",
        "zero before",
        "zero after, unloaded",
        "preload",
        "stopped at",
        "slips at",
        "by how much",
        "free length",
        "pin",
        "tail beyond fitting",
        "torque, setting measured",
        "temperature",
        "cell goes up to",
    ] {
        let line = sheet
            .lines()
            .find(|line| line.contains(&format!("{reading} ")) && line.contains("___"));
        let line = line.unwrap_or_else(|| panic!("{reading}: {sheet}"));
        let after = line
            .split_once(reading)
            .unwrap()
            .1
            .trim_start_matches(|c: char| c != '_');
        assert!(after.trim_start_matches('_').starts_with(" unit ___"), "{line}");
    }
    let help = run(&root(), &["prove", "--help"]).out;
    let help = flat(&help);
    assert!(
        help.contains("Exit status 1") && help.contains("if more is claimed than its maker rates"),
        "{help}"
    );
}
