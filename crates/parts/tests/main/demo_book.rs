//! The demo book of invented grips: what it holds and what its grips take.

use crate::support::{LB, assert_near, rope};
use parts::{Book, Grip, GripForm, Locking, Origin, Rating, Refusal};

const GRIPS: &str = include_str!("../../../../examples/parts/grips.toml");

fn demo() -> Book {
    let (book, problems) = Book::read("grips.toml", GRIPS);
    assert!(
        problems.is_empty(),
        "{}",
        document::render("grips.toml", GRIPS, &problems, 110, false)
    );
    book
}

fn grip(id: &str) -> Grip {
    demo()
        .get(id)
        .and_then(|part| part.grip().cloned())
        .unwrap_or_else(|| panic!("no grip `{id}`"))
}

#[test]
fn everything_in_the_demo_book_is_invented_and_says_so() {
    let book = demo();
    assert!(book.ids().count() >= 8);
    for part in book.parts() {
        assert!(part.invented, "{}", part.id);
        assert_eq!(
            part.origin,
            Origin::Shop {
                file: "grips.toml".into(),
                replaces_published: false,
                better: Vec::new(),
            }
        );
        assert!(
            Book::published().get(&part.id).is_none(),
            "{} must not hide a published part",
            part.id
        );
    }
}

#[test]
fn a_grip_takes_the_exact_ropes_it_is_rated_on() {
    let screw = grip("grip-screw-3/16");
    let on = screw.accepted(&rope("rope-7x19-galv-3/16")).unwrap();
    let load_lb = on.working_load_n.value() / LB;
    assert!(
        load_lb > 840.0 / 2.0 && load_lb < 840.0 * 0.6,
        "a little over half of the rope: {load_lb}"
    );
    assert_near(on.design_factor.as_ref().unwrap().value(), 5.0, 0.0, "stated");
    assert!(on.working_load_n.source().says.contains("demonstration sheet 1"));
    assert_eq!(
        (screw.form, screw.locking),
        (GripForm::Ends, Locking::ScrewLocked)
    );
    let looped = grip("grip-loop-1/8");
    assert_eq!(
        (looped.form, looped.locking),
        (GripForm::Returns, Locking::SelfLocking)
    );
    assert!(looped.accepted(&rope("rope-7x19-galv-1/8")).is_ok());
}

#[test]
fn a_refused_rope_is_told_what_is_wrong_and_what_would_be_right() {
    let refusal = |id: &str, on: &str| grip(id).accepted(&rope(on)).unwrap_err();
    let says = |id: &str, on: &str| refusal(id, on).to_string();
    assert_eq!(
        says("grip-screw-1/8", "rope-7x19-galv-1/8"),
        "it is not rated on 7x19 rope; it takes 7x7"
    );
    assert_eq!(
        says("grip-screw-3/16", "rope-7x19-stainless-3/16"),
        "it is not rated on stainless-304 rope; of 7x19 it takes galvanised"
    );
    assert!(matches!(
        refusal("grip-screw-3/16", "rope-7x19-galv-1/8"),
        Refusal::Diameter { .. }
    ));
    assert!(says("grip-screw-3/16", "rope-7x19-galv-1/8").contains("3/16 in"));
    assert!(matches!(
        refusal("grip-screw-3/16", "rope-1x19-stainless-304-3/16"),
        Refusal::Construction { .. }
    ));
    // 5 mm is not 3/16 in.
    assert!(matches!(
        refusal("grip-screw-3/16", "rope-7x19-1770-5mm"),
        Refusal::Material { .. }
    ));
    let coated = parts::Rope {
        coated: true,
        ..rope("rope-7x19-galv-3/16")
    };
    assert_eq!(
        grip("grip-screw-3/16").accepted(&coated).unwrap_err(),
        Refusal::Coated
    );
}

#[test]
fn a_grip_without_a_document_is_unrated_but_no_mistake() {
    let drawer = demo().get("grip-drawer-3/16").unwrap();
    assert!(matches!(&drawer.rating, Rating::Unrated(why) if why.contains("no document")));
    assert!(drawer.grip().unwrap().document.is_none());
    let screw = demo().get("grip-screw-3/16").unwrap();
    assert!(matches!(screw.rating, Rating::ByRope));
    assert_eq!(
        screw.grip().unwrap().document.as_ref().unwrap().date,
        "2026-03-14"
    );
}

#[test]
fn only_one_document_permits_sole_support_overhead() {
    let permitted: Vec<String> = demo()
        .parts()
        .filter(|part| part.grip().is_some_and(|grip| grip.permits_sole_support_overhead))
        .map(|part| part.id.clone())
        .collect();
    assert_eq!(permitted, ["grip-gallery-3/16"]);
}
