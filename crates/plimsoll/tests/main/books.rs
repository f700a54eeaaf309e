//! Books and practices are found by four ways, each over the one before.

use crate::support::{fit, folder, plimsoll, ran, run};
use serde_json::Value;
use std::path::Path;

/// A book with the rope of the starter rig, of another strength.
fn book(breaking: &str) -> String {
    format!(
        "[documents]\nsheet = \"Larkspur Library workshop sheet 7\"\n\n[[ropes]]\nid = \"rope-7x19-galv\"\nname = \"cable of the \
         library's store\"\nconstruction = \"7x19\"\nmaterial = \"galvanised\"\nsource = \"sheet\"\nsizes = [{{ size = \"1/8 \
         in\", breaking = \"{breaking}\", mass = \"0.029 lb/ft\" }}]\n"
    )
}

/// The strength of the rope that the working load of the left line rests on, newtons.
fn strength_n(folder: &Path, words: &[&str], environment: Option<&str>) -> f64 {
    let mut command = plimsoll();
    command
        .current_dir(folder)
        .args(["explain", "--json"])
        .args(words)
        .arg("lines.left.working_load");
    if let Some(books) = environment {
        command.env("PLIMSOLL_BOOK", books);
    }
    let ran = ran(&mut command);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    let mut found = Vec::new();
    forces(&value["lines.left.working_load"], &mut found);
    // The strength is the greatest force below the working load that the sheet or the published table states.
    found.into_iter().fold(f64::NAN, f64::max)
}

fn forces(record: &Value, found: &mut Vec<f64>) {
    let what = record["what"].as_str().unwrap_or_default();
    if record["quantity"] == "force" && what.contains("rope-7x19-galv-1/8") && record.get("from").is_none() {
        found.push(record["value"].as_f64().unwrap());
    }
    for from in record["from"].as_array().into_iter().flatten() {
        forces(from, found);
    }
}

/// Newtons of so many pounds, by definition (NIST SP 811, B.8).
fn pounds(lb: f64) -> f64 {
    lb * 0.453_592_37 * 9.806_65
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

#[test]
fn each_way_of_naming_a_book_goes_over_the_one_before() {
    let (shop, beside, environment, named) =
        (book("1500 lb"), book("1600 lb"), book("1700 lb"), book("1800 lb"));
    let here = folder(&[
        ("shop/shop.toml", "books = [\"store\"]\n"),
        ("shop/store/own.toml", &shop),
        ("shop/rigs/rig.toml", &fit()),
        ("shop/rigs-with-parts/rig.toml", &fit()),
        ("shop/rigs-with-parts/parts/own.toml", &beside),
        ("environment.toml", &environment),
        ("named/own.toml", &named),
        ("elsewhere/rig.toml", &fit()),
    ]);
    let strength_n = |words: &[&str], environment| strength_n(here.path(), words, environment);
    let published = strength_n(&["elsewhere/rig.toml"], None);
    assert!(
        ![1500.0, 1600.0, 1700.0, 1800.0]
            .iter()
            .any(|lb| close(published, pounds(*lb)))
    );
    assert!(close(strength_n(&["shop/rigs/rig.toml"], None), pounds(1500.0)));
    assert!(close(
        strength_n(&["shop/rigs-with-parts/rig.toml"], None),
        pounds(1600.0)
    ));
    let environment = Some("environment.toml");
    assert!(close(
        strength_n(&["shop/rigs-with-parts/rig.toml"], environment),
        pounds(1700.0)
    ));
    let named = &["shop/rigs-with-parts/rig.toml", "--book", "named"];
    assert!(close(strength_n(named, environment), pounds(1800.0)));
    let last_wins = &[
        "elsewhere/rig.toml",
        "--book",
        "named",
        "--book",
        "environment.toml",
    ];
    assert!(close(strength_n(last_wins, None), pounds(1700.0)));
}

#[test]
fn a_replaced_part_is_said_in_the_verdict() {
    let here = folder(&[("rig.toml", &fit()), ("own.toml", &book("1500 lb"))]);
    let text = run(here.path(), &["check", "rig.toml", "--book", "own.toml"]);
    assert!(
        text.out.contains("books: published, then own.toml"),
        "{}",
        text.out
    );
    let json = run(
        here.path(),
        &["check", "rig.toml", "--book", "own.toml", "--json"],
    );
    let verdict: Value = serde_json::from_str(&json.out).unwrap();
    let said = verdict["findings"].as_array().unwrap().iter().any(|finding| {
        let says = finding["says"].as_str().unwrap();
        says.contains("rope-7x19-galv-1/8") && says.contains("own.toml")
    });
    assert!(said, "{}", verdict["findings"]);
    let part = run(
        here.path(),
        &["parts", "show", "rope-7x19-galv-1/8", "--book", "own.toml"],
    );
    assert!(
        part.out.contains("own.toml (replaces the published entry)"),
        "{}",
        part.out
    );
}

#[test]
fn the_units_of_the_shop_hold_unless_others_are_asked_for() {
    let here = folder(&[("shop.toml", "units = \"si\"\n"), ("rigs/rig.toml", &fit())]);
    let lines = |words: &[&str]| {
        let out = run(here.path(), words).out;
        out[out.find("\nLines\n").unwrap()..out.find("\nFindings\n").unwrap()].to_string()
    };
    assert!(!lines(&["check", "rigs/rig.toml"]).contains(" lb"));
    assert!(lines(&["check", "rigs/rig.toml", "--units", "us"]).contains(" lb"));
}

#[test]
fn practices_of_the_shop_hold() {
    let practices = "[practices.library]\ntitle = \"Larkspur Library practice\"\nstatement = \"More on the rope.\"\n\
                     based_on = \"static-overhead\"\n\n[practices.library.below.public]\n\
                     rope = { factor = 12, source = \"head rigger's rule\" }\n";
    let here = folder(&[
        ("shop.toml", "practices = [\"practices.toml\"]\n"),
        ("practices.toml", practices),
        ("rig.toml", &fit().replace("\"static-overhead\"", "\"library\"")),
    ]);
    let ran = run(here.path(), &["check", "rig.toml", "--json"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let verdict: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(verdict["practice"], "library");
    assert!(run(here.path(), &["rules"]).out.contains("library"));
}

#[test]
fn mistakes_of_a_book_are_shown_once_and_every_rig_under_it_answers_2() {
    let here = folder(&[
        ("rigs/a.toml", &fit()),
        ("rigs/b.toml", &fit()),
        ("rigs/parts/own.toml", &book("1500")),
        ("other/c.toml", &fit()),
    ]);
    let ran = run(
        here.path(),
        &["check", "rigs/a.toml", "rigs/b.toml", "other/c.toml"],
    );
    assert_eq!(ran.status, 2);
    assert_eq!(ran.err.matches("rigs/parts/own.toml:").count(), 1, "{}", ran.err);
    assert!(ran.err.contains("rigs/a.toml: not checked") && ran.err.contains("rigs/b.toml: not checked"));
    assert!(ran.out.contains("other/c.toml") && ran.out.ends_with("3 rigs: 1 fit, 2 not checked\n"));
    let json = run(here.path(), &["check", "rigs/a.toml", "--json"]);
    let entry: Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(entry["mistakes"][0]["file"], "rigs/parts/own.toml");
}

#[test]
fn a_book_that_is_not_there_or_empty_is_never_passed_over() {
    let here = folder(&[
        ("rig.toml", &fit()),
        ("empty/readme.md", ""),
        ("shop/shop.toml", "books = [\"gone.toml\"]\n"),
        ("shop/rig.toml", &fit()),
    ]);
    for (words, says) in [
        (&["check", "rig.toml", "--book", "gone.toml"][..], "gone.toml"),
        (
            &["check", "rig.toml", "--book", "empty"],
            "empty: no file of this folder ends in .toml",
        ),
        (&["check", "shop/rig.toml"], "shop/gone.toml"),
        (&["parts", "--book", "gone.toml"], "gone.toml"),
    ] {
        let ran = run(here.path(), words);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{words:?}");
        assert!(ran.err.contains(says), "{}", ran.err);
    }
}
