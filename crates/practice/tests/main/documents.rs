//! Practice documents that a shop writes: what is taken, and what is said about mistakes.

use crate::{Practices, Under};
use document::render;

fn messages(text: &str) -> String {
    let (_, problems) = Practices::read("shop.toml", text);
    render("shop.toml", text, &problems, 110, false)
}

#[test]
fn a_stricter_practice_takes_over_the_rest_of_its_base() {
    let text = r#"
        [practices.ours]
        title = "Ours"
        statement = "Eight over crew."
        based_on = "static-overhead"
        adjustable_grips = "refused"
        below.crew.rope = { factor = 8, source = "shop rule 4" }
        below.nobody = "refused"
    "#;
    let (shop, problems) = Practices::read("shop.toml", text);
    assert!(problems.is_empty(), "{}", messages(text));
    let all = Practices::published().overlaid(shop);
    let ours = all.get("ours").unwrap();
    assert_eq!(ours.factors(Under::Crew).unwrap().rope.value(), 8.0);
    assert_eq!(ours.factors(Under::Crew).unwrap().hardware.value(), 5.0);
    assert_eq!(ours.factors(Under::Public).unwrap().rope.value(), 10.0);
    assert!(ours.factors(Under::Nobody).is_none());
    assert!(!ours.adjustable_grips);
    assert!(ours.shop.unwrap().looser.is_empty());
    assert_eq!(all.ids().count(), Practices::published().ids().count() + 1);
}

#[test]
fn what_a_base_was_looser_in_is_inherited() {
    let text = r#"
        [practices.first]
        title = "First"
        statement = "Four over crew."
        based_on = "static-overhead"
        looser_because = "guarded floor"
        below.crew.rope = { factor = 4, source = "shop rule 4" }

        [practices.second]
        title = "Second"
        statement = "As first."
        based_on = "first"
    "#;
    let (shop, problems) = Practices::read("shop.toml", text);
    assert!(problems.is_empty(), "{}", messages(text));
    let second = shop.get("second").unwrap().shop.unwrap();
    assert_eq!(second.looser.len(), 1);
    assert_eq!(second.because, "guarded floor");
}

/// Each document is wrong in one way; the snapshot shows what a person is told.
#[test]
fn mistakes_are_answered_with_what_would_be_right() {
    let body = |rest: &str| format!("[practices.ours]\ntitle = \"Ours\"\nstatement = \"Ours.\"\n{rest}\n");
    let based = |rest: &str| body(&format!("based_on = \"static-overhead\"\n{rest}"));
    let wrong = [
        ("no base", body("")),
        ("unknown base", body("based_on = \"static-overhed\"")),
        (
            "looser without a reason",
            based("below.crew.rope = { factor = 4, source = \"shop rule 4\" }"),
        ),
        (
            "looser in several ways",
            body(
                "based_on = \"moving-overhead\"\ndynamic_factor = \"when moving\"\nadjustable_grips = \"allowed\"\nsharing = \"elastic\"",
            ),
        ),
        (
            "a reason without being looser",
            based("looser_because = \"no reason\""),
        ),
        (
            "an empty reason",
            based("looser_because = \"\"\nsharing = \"elastic\""),
        ),
        (
            "admits people whom the base refuses",
            body(
                "based_on = \"static-clear-below\"\nbelow.crew = { rope = { factor = 5, source = \"x\" }, hardware = { factor = 5, source = \"x\" } }",
            ),
        ),
        (
            "a factor below one",
            based("looser_because = \"why\"\nbelow.crew.rope = { factor = 0.5, source = \"x\" }"),
        ),
        (
            "a factor without a source",
            based("below.crew.rope = { factor = 8 }"),
        ),
        (
            "an unknown document",
            based("below.crew.rope = { factor = 8, cites = \"dguv-313-12\" }"),
        ),
        (
            "a factor that is a text",
            based("below.crew.rope = { factor = \"8\", source = \"x\" }"),
        ),
        ("a misspelt key", based("adjustable_grip = \"refused\"")),
        ("a misspelt word", based("sharing = \"worse\"")),
        (
            "a name already taken",
            "[practices.static-overhead]\ntitle = \"T\"\nstatement = \"S\"\n".into(),
        ),
        (
            "people neither refused nor given factors",
            based("below.crew = \"no\""),
        ),
        (
            "no title",
            "[practices.ours]\nstatement = \"Ours.\"\nbased_on = \"static-overhead\"\n".into(),
        ),
        (
            "missing factors for people new to it",
            body(
                "based_on = \"static-clear-below\"\nlooser_because = \"why\"\nbelow.crew.rope = { factor = 5, source = \"x\" }",
            ),
        ),
        (
            "nobody left",
            body("based_on = \"static-clear-below\"\nbelow.nobody = \"refused\""),
        ),
        ("not TOML", "[practices.ours\n".into()),
    ];
    let mut all = String::new();
    for (what, text) in wrong {
        let (shop, problems) = Practices::read("shop.toml", &text);
        assert!(!problems.is_empty(), "{what}: no problem found");
        assert!(shop.get("ours").is_none(), "{what}: taken all the same");
        all.push_str(&["== ", what, "\n\n", &messages(&text)].concat());
    }
    insta::assert_snapshot!(all);
}
