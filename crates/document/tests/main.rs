//! How documents are read: every mistake at once, each with its place and what would be right.

use document::{Key, Need, Problem, Shape, Takes, nearest, read, reference, render, schema};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use quantity::Kind;

static SHELF: Shape = Shape {
    name: "shelf",
    doc: "A shelf of a library.",
    keys: &[
        Key::required("name", Takes::Text, "Its name."),
        Key::optional("height", Takes::Quantity(Kind::Length), "Its height."),
        Key::optional(
            "length",
            Takes::WordOr("to fit", &Takes::Quantity(Kind::Length)),
            "Its length.",
        ),
        Key::optional("full", Takes::Flag, "Whether it is full."),
        Key::optional("books", Takes::Count, "How many books."),
        Key::optional("share", Takes::Number, "A share."),
        Key::optional("since", Takes::Date, "Since when."),
        Key::optional("wood", Takes::Word(&["oak", "beech"]), "What it is of."),
        Key::optional(
            "at",
            Takes::Triple(&Takes::Quantity(Kind::Length)),
            "Where it stands.",
        ),
        Key::optional("tags", Takes::List(&Takes::Text), "Words for it."),
        Key::optional("boards", Takes::Names(&Takes::Table(&BOARD)), "Its boards."),
        Key::optional("maker", Takes::TextOr(&Takes::Table(&BOARD)), "Who made it."),
        Key::optional("dust", Takes::Text, "How dusty it is."),
        Key::not_yet("lamp", Takes::Text, "Its lamp.", "leave it out"),
    ],
};

static BOARD: Shape = Shape {
    name: "board",
    doc: "A board of a shelf.",
    keys: &[
        Key::required("load", Takes::Quantity(Kind::Force), "What it may carry."),
        Key::optional("paint", Takes::Text, "Its paint."),
    ],
};

fn mistakes(text: &str) -> Vec<String> {
    let mut problems = read(text, &SHELF, |_| ()).problems;
    problems.sort_by_key(|problem| problem.at.start);
    problems
        .into_iter()
        .map(|p| format!("{} | {}", p.says, p.instead.unwrap_or_default()))
        .collect()
}

#[test]
fn a_right_document_gives_its_values_in_si() {
    let text = r#"
name = "fiction"
height = "6 ft"
length = "to fit"
books = 24
at = ["1 m", "0 m", "-200 mm"]
since = 2026-03-14
[boards.top]
load = "10 kg"
"#;
    let reading = read(text, &SHELF, |t| {
        let boards = t.names("boards");
        let load = boards[0].1.table().and_then(|board| board.si("load")).unwrap();
        (
            t.text("name").unwrap().value,
            t.si("height").unwrap().value,
            t.triple("at").unwrap().value,
            load.value,
        )
    });
    assert_eq!(reading.problems, []);
    let (name, height_m, at_m, load_n) = reading.value;
    assert_eq!((name.as_str(), at_m), ("fiction", [1.0, 0.0, -0.2]));
    // A factor may cost the last binary place.
    assert!((height_m - 1.8288).abs() < 1e-15 && (load_n - 98.0665).abs() < 1e-13);
}

#[test]
fn every_mistake_of_a_text_is_reported_at_once() {
    let text = r#"
nam = "fiction"
height = 6
length = "to fitt"
full = "yes"
books = -2
wood = "bech"
at = ["1 m", "0 m"]
lamp = "brass"
[boards.top]
lod = "10 kg"
"#;
    assert_eq!(
        mistakes(text),
        [
            "a shelf lacks the key `name` | `name = ...` takes a text in quotes",
            "a shelf has no key `nam` | did you mean `name`?",
            "`height` is a bare number, but a length with its unit is due | write it with its unit and in quotes, such as `\"12 ft 6-3/8 in\"`",
            &mistakes("name = \"x\"\nlength = \"to fitt\"")[0],
            "`full` is a text | `true` or `false` is due",
            "`books` is not a whole number from 0 up to 1000000 | a whole number such as `24` is due",
            "`wood` can not be `\"bech\"` | did you mean `\"beech\"`?",
            "`at` has 2 values, three are due | write `[x, y, z]`; z is up",
            "`lamp` can not be used yet | leave it out",
            "`top` lacks the key `load` | `load = ...` takes a force such as `\"520 lb\"`",
            "`top` has no key `lod` | did you mean `load`?",
        ]
    );
}

#[test]
fn a_text_that_is_not_toml_is_reported_with_what_can_still_be_read() {
    let said = mistakes("name = \"fiction\nheight = \"6 ft\"\n");
    assert!(said.iter().any(|s| s.contains("not TOML")), "{said:?}");
    // Part of the text is lost, so nothing is said to be missing; what is wrong in the rest is still told.
    let said = mistakes("wood = \"bech\"\nheight \"6 ft\"\n");
    assert!(
        said.iter().any(|s| s.contains("did you mean `\"beech\"`?")),
        "{said:?}"
    );
    assert!(!said.iter().any(|s| s.contains("lacks")), "{said:?}");
}

#[test]
fn of_errors_of_toml_the_first_is_told() {
    let text = "name = \"x\"\n[boards.top]\nload = \"1 kN\"\n[boards.top]\nload = \"2 kN\"\n";
    let said = mistakes(text);
    assert_eq!(
        said,
        ["not TOML: duplicate key | mend this first; more may show once the whole file can be read"]
    );
    assert_eq!(mistakes("name = \"x\"\nsince = 2027-02-29\n").len(), 1);
}

#[test]
fn a_size_that_nobody_can_mean_is_a_mistake() {
    for (written, says) in [
        (
            "height = \"1e200 m\"",
            "`height`: `1e200 m` is too large to be meant: no building is 10 km high | at most 32808 ft 4-13/16 in (10000 m) is allowed",
        ),
        (
            "height = \"-1e-300 m\"",
            "`height`: `-1e-300 m` is too small to be meant | 0, or at least 3.94e-6 in (0.0001 mm), is allowed",
        ),
        (
            "at = [\"0 m\", \"11 km\", \"0 m\"]",
            "`at`: `11 km` is too large to be meant: no building is 10 km high | at most 32808 ft 4-13/16 in (10000 m) is allowed",
        ),
        (
            "share = 1e9",
            "`share` is not a number that can be meant | at most 1000000 is allowed",
        ),
        (
            "share = nan",
            "`share` is not a number that can be meant | at most 1000000 is allowed",
        ),
        (
            "books = 1000001",
            "`books` is not a whole number from 0 up to 1000000 | a whole number such as `24` is due",
        ),
    ] {
        assert_eq!(mistakes(&format!("name = \"x\"\n{written}")), [says]);
    }
    let reading = read(
        "name = \"x\"\nheight = \"1e200 m\"\nlength = \"0 m\"\n",
        &SHELF,
        |t| (t.si("height"), t.si("length").map(|length| length.value)),
    );
    assert_eq!(reading.value, (None, Some(0.0)));
}

#[test]
fn a_day_that_is_in_no_calendar_is_told_as_such() {
    assert_eq!(
        mistakes("name = \"x\"\nsince = \"2027-02-29\""),
        ["`since`: there is no day `2027-02-29` | a day such as `\"2026-03-14\"` is due"]
    );
    assert_eq!(
        mistakes("name = \"x\"\nsince = \"14 March\""),
        ["`since` is a text | a day such as `\"2026-03-14\"` is due"]
    );
}

#[test]
fn an_unknown_key_is_held_against_the_only_one_that_is_due_and_takes_its_value() {
    assert_eq!(
        mistakes("name = \"x\"\n[boards.top]\nstrength = \"10 kg\"\n")[1],
        "`top` has no key `strength` | did you mean `load`?"
    );
    assert_eq!(
        mistakes("name = \"x\"\n[boards.top]\nstrength = 10\n")[1],
        "`top` has no key `strength` | known: `load`, `paint`"
    );
}

#[test]
fn a_mistake_is_drawn_under_its_line_with_file_line_and_column() {
    let text = "name = \"fiction\"\nhight = \"6 ft\"\n";
    let problems = read(text, &SHELF, |_| ()).problems;
    assert_eq!(problems[0].line_and_column(text), (2, 1));
    let drawn = render("shelf.toml", text, &problems, 80, false);
    for part in [
        "shelf.toml:2:1",
        "hight = \"6 ft\"",
        "^^^^^",
        "did you mean `height`?",
    ] {
        assert!(drawn.contains(part), "{part} is not in\n{drawn}");
    }
}

#[test]
fn a_mistake_is_drawn_within_the_width() {
    let text = "\n".repeat(120) + "name = \"fiction\"\n";
    let words =
        "as many words as it takes to fill more than a line or two of a narrow terminal, and then some";
    let problem = Problem::new(121..125, words).instead(words);
    for (width, colour) in [(80, false), (40, false), (80, true)] {
        let drawn = render("shelf.toml", &text, std::slice::from_ref(&problem), width, colour);
        let plain = |line: &str| {
            let parts = line.split('\u{1b}').enumerate();
            let parts = parts.map(|(i, part)| {
                if i == 0 {
                    part
                } else {
                    part.split_once('m').map_or("", |both| both.1)
                }
            });
            parts.collect::<String>().trim_end().chars().count()
        };
        assert!(drawn.lines().all(|line| plain(line) <= width), "{drawn}");
        let flat = drawn.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(colour || flat.matches(words).count() == 2, "{drawn}");
    }
}

#[test]
fn columns_count_characters_not_bytes() {
    let text = "name = \"Bücherei\" ; x";
    let at = text.find(';').unwrap();
    assert_eq!(Problem::new(at..at + 1, "").line_and_column(text), (1, 19));
}

#[test]
fn the_nearest_word_is_near() {
    assert_eq!(nearest("shakle", ["shackle", "sheave"]), Some("shackle"));
    assert_eq!(nearest("Shackle", ["shackle"]), Some("shackle"));
    assert_eq!(nearest("elephant", ["shackle"]), None);
}

#[test]
fn schema_and_reference_name_every_usable_key() {
    let schema = schema(&SHELF);
    let page = reference(&SHELF);
    for key in SHELF.keys {
        let usable = !matches!(key.need, Need::NotYet(_));
        assert_eq!(
            schema["properties"].get(key.name).is_some(),
            usable,
            "{}",
            key.name
        );
        assert!(page.contains(&format!("| `{}` |", key.name)), "{page}");
    }
    assert_eq!(schema["required"], serde_json::json!(["name"]));
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(20), failure_persistence: None, cases: 2000, ..Config::default() })]

    #[test]
    fn any_text_is_read_and_drawn_without_panic(text in "[ -~\n\"\\[\\]{}=.,ü]{0,200}") {
        let problems = read(&text, &SHELF, |t| t.names("boards").len()).problems;
        prop_assert!(render("any.toml", &text, &problems, 80, false).len() >= problems.len());
    }

    #[test]
    fn pieces_of_our_own_notation_are_read_without_panic(
        lines in prop::collection::vec(prop::sample::select(vec![
            "name = \"a\"", "height = \"6 ft\"", "height = 6", "at = [\"1 m\"]", "at = [1, 2, 3]", "[boards.top]",
            "load = \"10 kg\"", "load = [", "maker = { load = \"1 N\" }", "maker = \"\"", "length = \"to fit\"", "= 3", "[[boards]]",
        ]), 0..12)
    ) {
        let text = lines.join("\n");
        let problems = read(&text, &SHELF, |t| (t.triple("at"), t.si("length"), t.value("maker").and_then(|m| m.table()).is_some())).problems;
        prop_assert!(render("any.toml", &text, &problems, 80, false).len() >= problems.len());
    }
}
