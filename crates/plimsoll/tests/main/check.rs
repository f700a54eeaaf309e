//! `plimsoll check`: exit statuses, both streams, JSON, many files.

use crate::support::{fit, folder, plimsoll, ran, root, run, stop};
use serde_json::Value;

#[test]
fn a_fit_rig_answers_0_on_standard_output_alone() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = run(here.path(), &["check", "rig.toml"]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{}", ran.out);
    assert!(
        ran.out.starts_with("FIT  Larkspur Library reading room"),
        "{}",
        ran.out
    );
}

#[test]
fn an_overloaded_rig_answers_1_and_names_the_line() {
    let here = folder(&[("rig.toml", &stop())]);
    let ran = run(here.path(), &["check", "rig.toml"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""), "{}", ran.out);
    assert!(ran.out.starts_with("STOP  "));
    assert!(ran.out.contains("lines.left"), "{}", ran.out);
}

#[test]
fn a_rig_with_mistakes_answers_2_with_nothing_on_standard_output() {
    let here = folder(&[("rig.toml", &fit().replace("\"60 lb\"", "60"))]);
    let ran = run(here.path(), &["check", "rig.toml"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("rig.toml:"), "{}", ran.err);
}

#[test]
fn a_missing_file_a_folder_and_a_file_that_is_no_text_answer_2_with_the_name() {
    let here = folder(&[("folder/rig.toml", "")]);
    std::fs::File::create(here.path().join("picture.toml")).unwrap();
    #[expect(clippy::disallowed_methods, reason = "a failing test prints the path anyway")]
    std::fs::write(here.path().join("picture.toml"), [b't', b'\n', 0xff, 0xfe]).unwrap();
    for (file, says) in [
        ("missing.toml", "missing.toml"),
        ("folder", "folder is a folder"),
        ("picture.toml", "picture.toml: line 2 is not UTF-8 text"),
        ("nowhere/rig.toml", "nowhere/rig.toml"),
    ] {
        let ran = run(here.path(), &["check", file]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{file}");
        assert!(ran.err.contains(says), "{}", ran.err);
    }
}

#[test]
fn what_is_wrong_with_the_command_answers_2() {
    let here = folder(&[]);
    for words in [
        &["chekc", "rig.toml"][..],
        &["check"],
        &["check", "rig.toml", "--units", "metric"],
        &[],
    ] {
        let ran = run(here.path(), words);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{words:?}");
    }
    assert!(run(here.path(), &["chekc"]).err.contains("'check'"));
}

#[test]
fn a_day_that_is_none_answers_2() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = ran(plimsoll()
        .current_dir(&here)
        .env("PLIMSOLL_TODAY", "14 March")
        .args(["check", "rig.toml"]));
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("`14 March` is not a day"), "{}", ran.err);
}

#[test]
fn the_worst_exit_status_of_several_files_wins_and_answers_stand_in_their_order() {
    let here = folder(&[("a.toml", &stop()), ("b.toml", &fit()), ("c.toml", "title = 3")]);
    let text = run(here.path(), &["check", "b.toml", "a.toml"]);
    assert_eq!(text.status, 1);
    assert!(text.out.find("b.toml").unwrap() < text.out.find("a.toml").unwrap());
    assert!(text.out.ends_with("2 rigs: 1 fit, 1 stop\n"), "{}", text.out);
    let with_mistakes = run(here.path(), &["check", "a.toml", "c.toml", "b.toml"]);
    assert_eq!(with_mistakes.status, 2);
    assert!(
        with_mistakes
            .out
            .ends_with("3 rigs: 1 fit, 1 stop, 1 not checked\n")
    );
    assert!(with_mistakes.err.contains("c.toml:1:"));
}

#[test]
fn json_is_one_object_for_one_rig_and_a_list_in_order_for_several() {
    let here = folder(&[("a.toml", &stop()), ("b.toml", &fit()), ("c.toml", "title = 3")]);
    let one = run(here.path(), &["check", "b.toml", "--json"]);
    let one: Value = serde_json::from_str(&one.out).unwrap();
    assert_valid("check", &one);
    assert_eq!(one["verdict"], "fit");
    let several = run(
        here.path(),
        &["check", "a.toml", "c.toml", "b.toml", "missing.toml", "--json"],
    );
    assert_eq!(several.status, 2);
    let several: Value = serde_json::from_str(&several.out).unwrap();
    let entries = several.as_array().unwrap();
    let files: Vec<&str> = entries
        .iter()
        .map(|entry| entry["file"].as_str().unwrap())
        .collect();
    assert_eq!(files, ["a.toml", "c.toml", "b.toml", "missing.toml"]);
    assert_valid("check", &entries[0]);
    assert_valid("mistakes", &entries[1]["mistakes"]);
    assert_eq!(entries[1]["mistakes"][0]["line"], 1);
    assert_valid("check", &entries[2]);
    assert!(entries[3]["failure"].as_str().unwrap().contains("missing.toml"));
    // The same numbers, alone or among others.
    assert_eq!(entries[2]["lines"], one["lines"]);
}

#[test]
fn a_file_with_mistakes_alone_is_one_object_and_the_text_is_on_standard_error() {
    let here = folder(&[("c.toml", "title = 3")]);
    let ran = run(here.path(), &["check", "c.toml", "--json"]);
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((ran.status, &value["file"]), (2, &Value::from("c.toml")));
    assert!(ran.err.contains("c.toml:1:9"), "{}", ran.err);
}

#[test]
fn working_adds_the_derivations() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = run(here.path(), &["check", "rig.toml", "--json", "--working"]);
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    assert_valid("check", &value);
    let load = &value["working"]["lines.left.working_load"];
    assert_eq!(load["value"], value["lines"]["left"]["working_load_n"]);
    assert!(load["from"].as_array().is_some_and(|from| !from.is_empty()));
    let plain: Value = serde_json::from_str(&run(here.path(), &["check", "rig.toml", "--json"]).out).unwrap();
    assert!(plain.get("working").is_none());
    let text = run(here.path(), &["check", "rig.toml", "--working"]);
    assert!(text.out.contains("Working of the lines") && text.out.contains("lines.left.working_load"));
}

#[test]
fn a_rig_with_cases_tells_each_and_names_the_one_that_decides() {
    let ran = run(
        &root(),
        &["check", "examples/courtyard.toml", "--json", "--working"],
    );
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    assert_valid("check", &value);
    let names: Vec<&String> = value["cases"].as_object().unwrap().keys().collect();
    assert_eq!(names.len(), 9, "{names:?}");
    assert_eq!(value["cases"]["plain"]["kind"], "plain");
    let line = &value["lines"]["west"];
    assert_eq!(line["case"], "child");
    assert_eq!(
        line["tension_n"],
        value["cases"]["child"]["lines"]["west"]["tension_n"]
    );
    let path = "cases.child.lines.west.tension";
    assert_eq!(value["working"][path]["value"], line["tension_n"]);
    assert_eq!(value["working"]["lines.west.tension"]["value"], line["tension_n"]);
    assert!(
        value["decides"]
            .as_str()
            .unwrap()
            .contains(", in case `breeze`: ")
    );
    let finding = |rule: &str| {
        let all = value["findings"].as_array().unwrap();
        all.iter().find(|finding| finding["rule"] == rule).unwrap()
    };
    assert_eq!(finding("wind")["case"], "breeze");
    assert!(
        finding("screws-secured").get("case").is_none(),
        "the plain rig is not named"
    );
    let tree = run(&root(), &["explain", "examples/courtyard.toml", path]);
    assert_eq!(tree.status, 0, "{}", tree.err);
}

#[test]
fn standard_input_is_a_rig_called_stdin() {
    let here = folder(&[]);
    let fit_run = ran(plimsoll()
        .current_dir(&here)
        .args(["check", "-"])
        .write_stdin(fit()));
    assert_eq!(fit_run.status, 0, "{}", fit_run.err);
    let wrong = ran(plimsoll()
        .current_dir(&here)
        .args(["check", "-"])
        .write_stdin("title = 3"));
    assert_eq!(wrong.status, 2);
    assert!(wrong.err.contains("<stdin>:1:9"), "{}", wrong.err);
}

#[test]
fn units_are_as_asked() {
    let here = folder(&[("rig.toml", &fit())]);
    let tables = |units: &str| {
        let out = run(here.path(), &["check", "rig.toml", "--units", units]).out;
        let (from, to) = (out.find("\nLines\n").unwrap(), out.find("\nFindings\n").unwrap());
        out[from..to].to_string()
    };
    assert!(tables("us").contains(" lb") && !tables("us").contains(" N"));
    assert!(tables("si").contains(" N") && !tables("si").contains(" lb"));
    assert!(tables("both").contains(" lb (") && tables("both").contains(" N)"));
}

#[test]
fn there_is_no_colour_where_nobody_looks() {
    let here = folder(&[("rig.toml", &stop()), ("wrong.toml", "title = 3")]);
    for variables in [&[][..], &[("NO_COLOR", "1")], &[("TERM", "dumb")]] {
        for words in [
            &["check", "rig.toml", "wrong.toml"][..],
            &["--help"],
            &["parts", "shackle"],
        ] {
            let ran = ran(plimsoll()
                .current_dir(&here)
                .envs(variables.iter().copied())
                .args(words));
            assert!(
                !ran.out.contains('\u{1b}') && !ran.err.contains('\u{1b}'),
                "{words:?}"
            );
        }
    }
}

#[test]
fn brief_is_one_line_for_each_rig() {
    let here = folder(&[("a.toml", &stop()), ("b.toml", &fit())]);
    let ran = run(here.path(), &["check", "--brief", "a.toml", "b.toml"]);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert_eq!(lines.len(), 3, "{}", ran.out);
    assert!(lines[0].starts_with("STOP     a.toml: ") && lines[1].starts_with("FIT      b.toml: "));
}

#[test]
fn many_files_in_parallel_answer_in_order_and_alike_on_every_run() {
    let texts: Vec<(String, String)> = (0..60)
        .map(|n| {
            (
                format!("r{n:02}.toml"),
                fit().replace("\"60 lb\"", &format!("\"{} lb\"", 40 + n)),
            )
        })
        .collect();
    let files: Vec<(&str, &str)> = texts
        .iter()
        .map(|(file, text)| (file.as_str(), text.as_str()))
        .collect();
    let here = folder(&files);
    let names: Vec<&str> = files.iter().map(|(file, _)| *file).collect();
    let words: Vec<&str> = ["check", "--json"]
        .into_iter()
        .chain(names.iter().copied())
        .collect();
    let first = run(here.path(), &words);
    let entries: Vec<Value> = serde_json::from_str(&first.out).unwrap();
    let weights: Vec<f64> = entries
        .iter()
        .map(|e| e["loads"]["sign"]["weight_n"].as_f64().unwrap())
        .collect();
    assert!(weights.windows(2).all(|pair| pair[0] < pair[1]), "{weights:?}");
    assert_eq!(
        entries
            .iter()
            .map(|e| e["file"].as_str().unwrap())
            .collect::<Vec<_>>(),
        names
    );
    assert_eq!(run(here.path(), &words).out, first.out);
}

/// Holds an answer against the schema that the program itself prints.
pub fn assert_valid(name: &str, answer: &Value) {
    let schema = run(std::path::Path::new("."), &["schema", name]);
    let schema: Value = serde_json::from_str(&schema.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> = validator
        .iter_errors(answer)
        .map(|error| error.to_string())
        .collect();
    assert!(wrong.is_empty(), "{name}: {wrong:?}");
}
