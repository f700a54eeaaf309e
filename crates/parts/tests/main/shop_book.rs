//! A shop's own book and how it is laid over the published one.

use crate::support::{LB, assert_near, figure, length_m};
use parts::{Book, Origin};

const SHOP: &str = r#"
[documents.own]
title = "Larkspur Library, pull tests of its own eyes"
revision = "2"
date = 2026-05-01

[[ends]]
id = "eye-sleeve"
name = "thimbled eye with pressed sleeve, as made in the Library's workshop"
form = "eye"
thimbled = true
constructions = ["7x19"]
materials = ["galvanised"]
efficiency = "88 %"
source = "own"
place = "sheet 4"
sizes = ["3/16 in"]

[[links]]
id = "ring-workshop"
name = "workshop ring"
form = "ring"
source = "own"
design_factor = 5
sizes = [{ size = "1/2 in", working_load = "2000 lb" }]

[bend]
source = "own"
points = [{ ratio = 1, efficiency = "40 %" }, { ratio = 10, efficiency = "80 %" }]
"#;

#[test]
fn an_entry_with_the_same_id_replaces_the_published_one_and_says_so() {
    let (shop, problems) = Book::read("workshop.toml", SHOP);
    assert!(
        problems.is_empty(),
        "{}",
        document::render("workshop.toml", SHOP, &problems, 110, false)
    );
    let book = Book::published().overlaid(&shop);
    let eye = book.get("eye-sleeve-3/16").unwrap();
    assert_near(figure(&eye).unwrap().value(), 0.88, 1e-12, "the shop's own");
    assert_eq!(
        eye.origin,
        Origin::Shop {
            file: "workshop.toml".into(),
            replaces_published: true,
            better: Vec::new(),
        }
    );
    let source = figure(&eye).unwrap().source().to_string();
    assert_eq!(
        source,
        "Larkspur Library, pull tests of its own eyes, revision 2, 2026-05-01, sheet 4"
    );
    let ring = book.get("ring-workshop-1/2").unwrap();
    assert_eq!(
        ring.origin,
        Origin::Shop {
            file: "workshop.toml".into(),
            replaces_published: false,
            better: Vec::new(),
        }
    );
    assert_near(figure(&ring).unwrap().value() / LB, 2000.0, 1e-6, "new");
    assert_eq!(book.ids().count(), Book::published().ids().count() + 1);
    assert_eq!(
        book.get("eye-sleeve-1/4").unwrap().origin,
        Origin::Published,
        "other sizes stay"
    );
}

#[test]
fn a_replacement_of_a_replacement_still_replaces_the_published_part() {
    let (shop, _) = Book::read("workshop.toml", SHOP);
    let (later, _) = Book::read("later.toml", SHOP);
    let book = Book::published().overlaid(&shop).overlaid(&later);
    let origin = |id: &str| book.get(id).unwrap().origin.clone();
    assert_eq!(
        origin("eye-sleeve-3/16"),
        Origin::Shop {
            file: "later.toml".into(),
            replaces_published: true,
            better: Vec::new(),
        }
    );
    assert_eq!(
        origin("ring-workshop-1/2"),
        Origin::Shop {
            file: "later.toml".into(),
            replaces_published: false,
            better: Vec::new(),
        }
    );
}

/// It holds for every rope of the book, so that a stricter one can not be passed by.
#[test]
fn a_shop_s_table_of_bends_replaces_the_published_one() {
    let book = Book::published().overlaid(&Book::read("workshop.toml", SHOP).0);
    let at = |book: &Book, r: f64| {
        let part = book.get("rope-7x19-galv-3/16").unwrap();
        let rope = part.rope().unwrap().clone();
        rope.bend_efficiency(&length_m(r * rope.diameter_m.value()))
            .unwrap()
    };
    assert_near(at(&book, 1.0).value(), 0.40, 1e-12, "the shop's own");
    assert_near(at(&book, 20.0).value(), 0.80, 1e-12, "its last row");
    assert!(
        at(&book, 1.0)
            .source()
            .says
            .contains("pull tests of its own eyes")
    );
    assert_eq!(book.bends().len(), 2);
    let published = at(Book::published(), 1.0).value();
    assert_near(published, 0.50, 1e-12, "the published one is as it was");
}

#[test]
fn a_shop_s_sheaves_hold_for_ropes_of_their_construction() {
    let text = r#"
[documents]
own = "wear of our own cables"
[[sheaves]]
construction = "7x19"
least = 30
suggested = 40
source = "own"
"#;
    let (shop, problems) = Book::read("sheaves.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let book = Book::published().overlaid(&shop);
    let least = |id: &str| {
        let part = book.get(id).unwrap();
        part.rope().unwrap().sheaves.clone().unwrap().least.value()
    };
    assert_near(least("rope-7x19-galv-3/16"), 30.0, 0.0, "the shop's own");
    assert_near(least("rope-7x7-galv-1/8"), 42.0, 0.0, "the published one");
}

/// A table that falls would make a gentler bend count as worse.
#[test]
fn a_table_of_bends_that_falls_is_a_mistake() {
    for points in [
        "{ ratio = 4, efficiency = \"75 %\" }, { ratio = 2, efficiency = \"65 %\" }",
        "{ ratio = 2, efficiency = \"75 %\" }, { ratio = 4, efficiency = \"65 %\" }",
    ] {
        let text = format!("[documents]\nown = \"tests\"\n[bend]\nsource = \"own\"\npoints = [{points}]\n");
        let (shop, problems) = Book::read("bends.toml", &text);
        assert!(shop.bends().is_empty());
        assert_eq!(problems.len(), 1, "{problems:?}");
    }
}

#[test]
fn a_shop_s_rope_takes_its_stiffness_from_the_published_table() {
    let text = r#"
[documents]
mill = "mill certificate 77"
[[ropes]]
id = "rope-own"
name = "cable from the store"
construction = "7x19"
material = "galvanised"
source = "mill"
sizes = [{ size = "3/16 in", breaking = "4300 lb", mass = "6.5 lb/100ft" }]
"#;
    let (shop, problems) = Book::read("store.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let own = shop
        .get("rope-own-3/16")
        .unwrap()
        .rope()
        .unwrap()
        .stiffness_n
        .clone()
        .unwrap();
    let published = crate::support::rope("rope-7x19-galv-3/16").stiffness_n.unwrap();
    assert_near(own.value(), published.value(), 0.0, "the same row");
}
