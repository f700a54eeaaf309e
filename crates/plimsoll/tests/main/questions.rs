//! The other questions: explain, line, parts, rules, new, schema, completions, man.

use crate::check::assert_valid;
use crate::support::{fit, flat, folder, run};
use serde_json::Value;

fn json(out: &str) -> Value {
    serde_json::from_str(out).unwrap()
}

#[test]
fn explain_unfolds_a_number_and_lists_those_there_are() {
    let here = folder(&[("rig.toml", &fit())]);
    let list = run(here.path(), &["explain", "rig.toml"]);
    assert!(
        list.status == 0 && list.out.lines().any(|line| line == "lines.left.working_load"),
        "{}",
        list.out
    );
    let tree = run(here.path(), &["explain", "rig.toml", "lines.left.working_load"]);
    assert_eq!((tree.status, tree.err.as_str()), (0, ""));
    assert!(
        tree.out.contains("source:") && tree.out.contains("rope-7x19-galv-1/8"),
        "{}",
        tree.out
    );
    assert!(
        tree.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        tree.out
    );
    let several = json(&run(here.path(), &["explain", "rig.toml", "lines.left", "--json"]).out);
    assert!(several.as_object().unwrap().len() > 3);
    // A path may end amid a word, if no path has it whole.
    let amid = run(here.path(), &["explain", "rig.toml", "lines.lef"]);
    let whole = run(here.path(), &["explain", "rig.toml", "lines.left"]);
    assert_eq!((amid.status, amid.out), (0, whole.out), "{}", amid.err);
    let amid = json(&run(here.path(), &["explain", "rig.toml", "lines.lef", "--json"]).out);
    assert_eq!(amid, several);
    let paths = json(&run(here.path(), &["explain", "rig.toml", "--json"]).out);
    assert_eq!(paths.as_array().unwrap().len(), list.out.lines().count());
}

#[test]
fn every_number_that_is_listed_can_be_unfolded() {
    let here = folder(&[("rig.toml", &fit())]);
    for path in run(here.path(), &["explain", "rig.toml"]).out.lines() {
        let tree = run(here.path(), &["explain", "rig.toml", path]);
        assert!(
            tree.status == 0 && tree.out.contains("source:"),
            "{path}: {}{}",
            tree.out,
            tree.err
        );
    }
}

#[test]
fn explain_of_an_unknown_number_says_the_nearest() {
    let here = folder(&[("rig.toml", &fit())]);
    let ran = run(here.path(), &["explain", "rig.toml", "lines.left.workingload"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        flat(&ran.err).contains("did you mean `lines.left.working_load`?"),
        "{}",
        ran.err
    );
    let wrong = run(here.path(), &["explain", "gone.toml", "lines.left.use"]);
    assert!(wrong.status == 2 && wrong.err.contains("gone.toml"));
}

const MAKEUP: [&str; 5] = [
    "shackle-1/4",
    "eye-sleeve-1/8",
    "rope-7x19-galv-1/8",
    "eye-sleeve-1/8",
    "shackle-1/4",
];

fn line(more: &[&str]) -> crate::support::Ran {
    let here = folder(&[]);
    let words: Vec<&str> = ["line"]
        .into_iter()
        .chain(MAKEUP)
        .chain(more.iter().copied())
        .collect();
    run(here.path(), &words)
}

#[test]
fn line_answers_without_a_rig() {
    let fit = line(&["--demand", "60 lb", "--under", "public"]);
    assert_eq!((fit.status, fit.err.as_str()), (0, ""), "{}", fit.out);
    assert!(fit.out.contains("demand 60 lb"), "{}", fit.out);
    assert_eq!(line(&["--demand", "1200 lb", "--under", "public"]).status, 1);
    let value = json(&line(&["--demand", "60 lb", "--under", "crew", "--json", "--working"]).out);
    assert_valid("line", &value);
    assert_eq!(value["working"]["value"], value["working_load_n"]);
    let tree = line(&["--demand", "60 lb", "--under", "public", "--working"]);
    assert!(tree.out.contains("\nWorking\n") && tree.out.contains("source:"));
}

#[test]
fn line_takes_a_demand_below_zero_to_refuse_it_in_its_own_words() {
    let ran = line(&["--demand", "-60 lb", "--under", "public"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("the demand is not more than zero"),
        "{}",
        ran.err
    );
    let ran = line(&["--demand", "1e300 lb", "--under", "public"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("too large to be meant"), "{}", ran.err);
    let ran = line(&["--demand", "60 lb", "--under", "public", "--dynamic", "-2"]);
    assert!(
        ran.err.contains("the dynamic factor is not from 1 up"),
        "{}",
        ran.err
    );
}

#[test]
fn line_has_no_less_to_carry_with_a_stricter_question() {
    let load = |more: &[&str]| {
        let words: Vec<&str> = ["--demand", "10 lb", "--json"]
            .into_iter()
            .chain(more.iter().copied())
            .collect();
        json(&line(&words).out)["working_load_n"].as_f64().unwrap()
    };
    assert!(load(&["--under", "nobody"]) >= load(&["--under", "public"]));
    let german = load(&["--under", "crew", "--practice", "static-overhead-german"]);
    assert!(load(&["--under", "crew"]) >= german);
}

#[test]
fn line_says_all_that_is_wrong_with_the_question() {
    let here = folder(&[]);
    let ran = run(
        here.path(),
        &[
            "line",
            "rope-7x19-glav-1/8",
            "--demand",
            "60",
            "--under",
            "audience",
        ],
    );
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    for says in [
        "did you mean `rope-7x19-galv-1/8`?",
        "`60` is a bare number",
        "`audience` does not say who is below",
    ] {
        assert!(flat(&ran.err).contains(says), "{}", ran.err);
    }
}

#[test]
fn parts_are_listed_searched_and_shown() {
    let here = folder(&[]);
    let all = json(&run(here.path(), &["parts", "--json"]).out);
    assert_valid("parts", &all);
    let shackles = run(here.path(), &["parts", "shackle", "1/4"]);
    assert!(
        shackles
            .out
            .lines()
            .any(|line| line.trim_start().starts_with("shackle-1/4 ")),
        "{}",
        shackles.out
    );
    assert!(
        shackles.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        shackles.out
    );
    let page = run(here.path(), &["parts", "show", "shackle-1/4"]);
    assert!(page.status == 0 && page.out.contains("source:"), "{}", page.out);
    // A page that judges nothing says who does and what comes first, and no more.
    let (_, cautions) = page.out.split_once("\nCautions\n").unwrap();
    assert_eq!(cautions.matches("- ").count(), 2, "{cautions}");
    assert_valid(
        "part",
        &json(&run(here.path(), &["parts", "show", "shackle-1/4", "--json"]).out),
    );
    let unknown = run(here.path(), &["parts", "show", "shakle-1/4"]);
    assert!(unknown.status == 2 && unknown.out.is_empty());
    assert!(
        unknown.err.contains("did you mean `shackle-1/4`?"),
        "{}",
        unknown.err
    );
    let none = run(here.path(), &["parts", "zeppelin"]);
    assert!(none.status == 0 && none.out.is_empty() && none.err.contains("zeppelin"));
    assert!(none.err.contains("try fewer words"), "{}", none.err);
    let strange = run(here.path(), &["parts", "show", "eye-clips-1/8"]);
    assert!(
        flat(&strange.err).contains("did you mean `clips-forged-1/8`?"),
        "{}",
        strange.err
    );
}

#[test]
fn every_part_can_be_shown_with_its_sources() {
    let here = folder(&[]);
    let all = json(&run(here.path(), &["parts", "--json"]).out);
    let ids: Vec<&str> = all
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["id"].as_str().unwrap())
        .collect();
    assert!(ids.len() > 100);
    // Every seventh, so that all kinds come up and the test stays quick.
    for id in ids.iter().step_by(7) {
        let page = run(here.path(), &["parts", "show", id]);
        assert!(
            page.status == 0 && page.out.contains("source:"),
            "{id}: {}{}",
            page.out,
            page.err
        );
        assert!(
            page.out.lines().all(|line| line.chars().count() <= 80),
            "{}",
            page.out
        );
    }
}

#[test]
fn rules_are_listed_with_the_practices_and_shown() {
    let here = folder(&[]);
    let list = run(here.path(), &["rules"]);
    assert!(list.out.contains("static-overhead-german"), "{}", list.out);
    let all = json(&run(here.path(), &["rules", "--json"]).out);
    assert_valid("rules", &all);
    assert!(all.as_array().unwrap().len() > 20);
    for rule in all.as_array().unwrap() {
        let id = rule["id"].as_str().unwrap();
        assert!(list.out.contains(id), "{id}");
        let page = run(here.path(), &["rules", id]);
        assert!(page.status == 0 && page.out.contains("source:"), "{}", page.out);
    }
    let id = all[0]["id"].as_str().unwrap();
    let unknown = run(here.path(), &["rules", &id[..id.len() - 1]]);
    assert!(
        unknown.status == 2 && flat(&unknown.err).contains(&format!("did you mean `{id}`?")),
        "{}",
        unknown.err
    );
}

#[test]
fn new_writes_a_rig_that_is_fit_and_never_over_a_file() {
    let here = folder(&[("there.toml", "mine")]);
    let wrote = run(here.path(), &["new", "mine.toml"]);
    assert_eq!((wrote.status, wrote.out.as_str()), (0, ""), "{}", wrote.err);
    assert_eq!(run(here.path(), &["check", "mine.toml"]).status, 0);
    let refused = run(here.path(), &["new", "there.toml"]);
    assert_eq!(refused.status, 2);
    assert!(
        refused.err.contains("there.toml is there already"),
        "{}",
        refused.err
    );
    assert_eq!(std::fs::read(here.path().join("there.toml")).unwrap(), b"mine");
}

#[test]
fn every_schema_is_listed_and_is_a_schema() {
    let here = folder(&[]);
    let list = run(here.path(), &["schema"]).out;
    for line in list.lines() {
        let name = line.split_whitespace().next().unwrap();
        let schema = json(&run(here.path(), &["schema", name]).out);
        assert!(jsonschema::validator_for(&schema).is_ok(), "{name}");
    }
    let unknown = run(here.path(), &["schema", "chek"]);
    assert!(
        unknown.status == 2 && unknown.err.contains("did you mean `check`?"),
        "{}",
        unknown.err
    );
}

#[test]
fn completions_and_manual_pages_come_out() {
    let here = folder(&[]);
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = run(here.path(), &["completions", shell]);
        assert!(ran.status == 0 && ran.out.contains("explain"), "{shell}");
    }
    let page = run(here.path(), &["man"]);
    assert!(
        page.status == 0 && page.out.contains(".TH plimsoll"),
        "{}",
        page.out
    );
    let check = run(here.path(), &["man", "check"]);
    assert!(
        check.status == 0 && check.out.contains("\\-\\-working"),
        "{}",
        check.out
    );
    assert_eq!(run(here.path(), &["man", "chekc"]).status, 2);
}
