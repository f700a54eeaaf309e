//! Facts of the trade, through the published parts book and the demo book as a rigger would ask for them.
//!
//! Common practice, no source: what small cable, its ends and adjustable grips are good for.

use crate::samples::LB;
use crate::{Practices, Service, Under, judge_makeup};
use parts::{Book, Made, Makeup, Piece};
use practice::{Finding, Judgement, LineJudgement};
use std::sync::Arc;

const GRIPS: &str = include_str!("../../../../examples/parts/grips.toml");
/// Conversion between pounds and newtons, there and back.
const ROUNDING: f64 = 1e-9;

fn makeup(ids: &[&str]) -> Arc<Makeup> {
    let book = Book::published().overlaid(&Book::read("grips.toml", GRIPS).0);
    let piece = |id: &&str| Piece {
        part: book.get(id).unwrap(),
        made: Made::default(),
    };
    let pieces = ids.iter().map(piece).collect();
    Arc::new(Makeup {
        name: "leg".into(),
        pieces,
        evidence: Vec::new(),
    })
}

/// Judges a makeup over crew, at the design factor of five.
fn judged(ids: &[&str]) -> Judgement {
    let practice = Practices::published().get("static-overhead").unwrap();
    judge_makeup(&makeup(ids), &[], &practice, Under::Crew, Service::Still)
}

fn line(ids: &[&str]) -> LineJudgement {
    judged(ids).measured.lines.swap_remove(0)
}

fn working_load_lb(line: &LineJudgement) -> f64 {
    line.load.working_load_n.as_ref().unwrap().value() / LB
}

fn stops(ids: &[&str], rule: &str) -> Vec<Finding> {
    let all = judged(ids).findings.into_iter();
    all.filter(|f| f.rule == rule && f.severity == practice::Severity::Stop)
        .collect()
}

/// Common practice, no source: 4200 lbf by itself at five is 840 lbf.
#[test]
fn three_sixteenths_cable_by_itself_is_good_for_840_pounds() {
    let line = line(&["eye-sleeve-3/16", "rope-7x19-galv-3/16", "eye-sleeve-3/16"]);
    let by_itself = line
        .load
        .by_part
        .iter()
        .find(|part| part.place == "rope")
        .unwrap();
    assert!((by_itself.working_load_n.value() / LB - 840.0).abs() < ROUNDING);
}

/// Common practice, no source: 756 lbf with ends of 0.90, which the book credits a pressed sleeve on galvanised
/// cable; 798 lbf with ends of 0.95, as a shop may have tested its own.
#[test]
fn with_its_ends_it_is_good_for_756_or_798_pounds() {
    let sleeved = line(&["eye-sleeve-3/16", "rope-7x19-galv-3/16", "eye-sleeve-3/16"]);
    assert!((working_load_lb(&sleeved) - 756.0).abs() < ROUNDING);
    assert_eq!(sleeved.load.governing_part.as_deref(), Some("eye-sleeve-3/16"));
    let text = r#"
[documents]
pulls = "pull tests of our own eyes"
[[ends]]
id = "eye-own"
name = "thimbled eye of our own"
form = "eye"
thimbled = true
efficiency = "95 %"
source = "pulls"
sizes = ["3/16 in"]
"#;
    let (shop, problems) = Book::read("shop.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let book = Book::published().overlaid(&shop);
    let piece = |id: &str| Piece {
        part: book.get(id).unwrap(),
        made: Made::default(),
    };
    let own = Makeup {
        name: "leg".into(),
        pieces: ["eye-own-3/16", "rope-7x19-galv-3/16", "eye-own-3/16"]
            .map(piece)
            .into(),
        evidence: Vec::new(),
    };
    let practice = Practices::published().get("static-overhead").unwrap();
    let load = practice::working_load(&own, &[], &practice, Under::Crew);
    assert!((load.working_load_n.unwrap().value() / LB - 798.0).abs() < ROUNDING);
}

/// Common practice, no source: an adjustable grip on that cable is rated a little over half of it, and governs.
#[test]
fn an_adjustable_grip_is_rated_a_little_over_half_and_governs() {
    let line = line(&[
        "shackle-demo-1/4",
        "eye-sleeve-3/16",
        "rope-7x19-galv-3/16",
        "grip-screw-3/16",
        "shackle-demo-1/4",
    ]);
    let share = working_load_lb(&line) / 840.0;
    assert!(share > 0.5 && share < 0.6, "{share}");
    assert_eq!(line.load.governing_part.as_deref(), Some("grip-screw-3/16"));
    assert!((line.load.rating_n.unwrap().value() / LB - 450.0).abs() < ROUNDING);
}

/// Common practice, no source: small adjustable grips that take only 7x7 or 1x19 refuse 7x19 of the same diameter.
#[test]
fn a_small_grip_for_7x7_refuses_7x19_of_its_own_diameter() {
    let on = |rope: &'static str| ["eye-sleeve-1/8", rope, "grip-screw-1/8"];
    assert!(line(&on("rope-7x7-galv-1/8")).load.working_load_n.is_some());
    let refused = on("rope-7x19-galv-1/8");
    assert!(line(&refused).load.working_load_n.is_none());
    let says = stops(&refused, "rope-accepted").swap_remove(0).says;
    assert_eq!(
        says,
        "`grip-screw-1/8` (lower end of `leg`) does not take its rope: it is not rated on 7x19 rope; it takes 7x7"
    );
}

/// The same with a grip of a shop's for strand.
#[test]
fn a_small_grip_for_strand_refuses_7x19_of_its_own_diameter() {
    let text = r#"
[documents.strand-grips]
title = "Larkspur Library workshop, sheet 9"
revision = "A"
date = 2026-03-14
[[grips]]
id = "grip-strand-1/16"
name = "adjustable grip for 1/16 in strand"
form = "ends"
locking = "screw-locked"
document = "strand-grips"
released_by = "its screw"
ropes = [{ construction = "1x19", materials = ["stainless-304"], diameter = "1/16 in", working_load = "50 lb", design_factor = 5 }]
"#;
    let (shop, problems) = Book::read("shop.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let grip = shop.get("grip-strand-1/16").unwrap();
    let takes = |id: &str| {
        let rope = Book::published().get(id).unwrap();
        grip.grip().unwrap().accepted(rope.rope().unwrap()).is_ok()
    };
    assert!(takes("rope-1x19-stainless-304-1/16"));
    assert!(!takes("rope-7x19-stainless-1/16"));
}

/// [bib:bend-eff], read as text: a bend over a bar as thin as the cable leaves half, less than its ends leave.
#[test]
fn a_bend_over_a_thin_bar_governs_over_the_ends() {
    let bar = practice::Bend {
        over: "bar".into(),
        diameter_m: Some(crate::samples::length(3.0 / 16.0 * 0.0254)),
        deflection_rad: 1.0,
    };
    let leg = makeup(&["eye-sleeve-3/16", "rope-7x19-galv-3/16", "eye-sleeve-3/16"]);
    let practice = Practices::published().get("static-overhead").unwrap();
    let load = practice::working_load(&leg, &[bar], &practice, Under::Crew);
    // D/d of 1 leaves half: 4200 x 0.50 / 5.
    assert!((load.working_load_n.unwrap().value() / LB - 420.0).abs() < ROUNDING);
    assert_eq!(load.governing_part.as_deref(), Some("rope-7x19-galv-3/16"));
}

/// Common practice, no source: no turnbuckle with hook ends over people. [bib:dguv-313-11], read as text.
#[test]
fn the_book_s_turnbuckle_with_hook_ends_is_stopped_over_crew_and_the_one_with_eyes_is_not() {
    let with = |turnbuckle: &'static str| {
        [
            turnbuckle,
            "eye-sleeve-3/16",
            "rope-7x19-galv-3/16",
            "eye-sleeve-3/16",
        ]
    };
    assert_eq!(stops(&with("turnbuckle-hook-1/2"), "open-hooks").len(), 1);
    assert_eq!(
        stops(&with("turnbuckle-unforged-hook-1/2"), "open-hooks").len(),
        1
    );
    assert!(stops(&with("turnbuckle-jaw-eye-1/2"), "open-hooks").is_empty());
}

/// [bib:tm-305], read as text: 0.86; [bib:en13414-calc], read as text: 0.80. The lower rules.
#[test]
fn a_hand_splice_counts_at_the_lower_of_both_published_shares() {
    let splice = Book::published().get("eye-hand-splice-1/2").unwrap();
    let parts::Rating::Efficiency(share) = &splice.rating else {
        panic!("an end stands on its efficiency")
    };
    assert!((share.value() - 0.80).abs() < 1e-12);
    let text = working::explain(share, quantity::Style::us(), 100);
    assert!(text.contains("86 %") && text.contains("80 %"), "{text}");
    // [bib:dguv-109005a], computed from its text: 0.90 less 12 percent.
    let metric = Book::published().get("eye-hand-splice-12mm").unwrap();
    let parts::Rating::Efficiency(share) = &metric.rating else {
        panic!("an end stands on its efficiency")
    };
    assert!((share.value() - 0.792).abs() < 1e-12);
}
