//! Laws that hold for any makeup and any rig. Random input from one fixed seed.

use crate::samples::{self, IN, LB};
use crate::{Facts, Practices, Service, Under, judge};
use parts::Makeup;
use practice::{Bend, GroupFacts, Judgement, LineLoad, Practice, working_load};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use quantity::Kind;
use working::Number;

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 200,
        rng_seed: RngSeed::Fixed(20_260_314),
        failure_persistence: None,
        ..Default::default()
    }
}

/// What a made-up line is described by here.
#[derive(Debug, Clone)]
struct Drawn {
    strength: f64,
    ends: [f64; 2],
    link: (f64, f64),
    grip: Option<(f64, f64)>,
    bend: Option<f64>,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let ends = [0.5..1.0_f64, 0.5..1.0_f64];
    let grip = prop::option::of((50.0..2000.0_f64, 2.0..12.0_f64));
    let bend = prop::option::of(1.0..60.0_f64);
    (
        500.0..20_000.0_f64,
        ends,
        (100.0..5000.0_f64, 2.0..12.0_f64),
        grip,
        bend,
    )
        .prop_map(|(strength, ends, link, grip, bend)| Drawn {
            strength,
            ends,
            link,
            grip,
            bend,
        })
}

fn makeup(drawn: &Drawn) -> Makeup {
    let lower = match drawn.grip {
        Some((rating, factor)) => samples::grip(rating, Some(factor)),
        None => samples::eye(drawn.ends[1]),
    };
    let rope = samples::rope_of("7x19", "galvanised", 0.1875, drawn.strength);
    let link = samples::link(drawn.link.0, Some(drawn.link.1));
    samples::makeup("leg", vec![link, samples::eye(drawn.ends[0]), rope, lower])
}

fn bends(drawn: &Drawn) -> Vec<Bend> {
    let over = |ratio: f64| Bend {
        over: "sheave".into(),
        diameter_m: Some(samples::length(ratio * 0.1875 * IN)),
        deflection_rad: 0.5,
    };
    drawn.bend.into_iter().map(over).collect()
}

fn overhead() -> Practice {
    Practices::published().get("static-overhead").unwrap()
}

fn load_of(drawn: &Drawn, practice: &Practice, under: Under) -> LineLoad {
    working_load(&makeup(drawn), &bends(drawn), practice, under)
}

fn value(drawn: &Drawn) -> f64 {
    load_of(drawn, &overhead(), Under::Crew)
        .working_load_n
        .unwrap()
        .value()
}

fn with_factor(factor: f64) -> Practice {
    let mut practice = overhead();
    let number = samples::given("design factor", Kind::Number, factor);
    for factors in practice.below.values_mut() {
        factors.rope = number.clone();
        factors.shackle = number.clone();
        factors.hardware = number.clone();
        factors.adjustable_grip = number.clone();
    }
    practice
}

/// A working load computed twice by products in another order may differ by rounding alone.
const ROUNDING: f64 = 1.0 + 1e-12;

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_working_load_is_never_above_any_rating_or_any_part(drawn in drawn()) {
        let load = load_of(&drawn, &overhead(), Under::Crew);
        let line = load.working_load_n.unwrap().value();
        prop_assert!(line <= load.rating_n.unwrap().value());
        for part in &load.by_part {
            prop_assert!(line <= part.working_load_n.value());
            if let Some(rating) = &part.rating_n {
                prop_assert!(part.working_load_n.value() <= rating.value());
            }
            if let Some(strength) = &part.strength_n {
                prop_assert!(part.working_load_n.value() * 5.0 <= strength.value() * ROUNDING);
            }
        }
        let named = load.by_part.iter().find(|part| Some(&part.part) == load.governing_part.as_ref());
        prop_assert!(named.is_some());
    }

    #[test]
    fn stronger_rope_or_better_ends_never_carry_less(drawn in drawn(), more in 1.0..1.9_f64) {
        let before = value(&drawn);
        let stronger = Drawn { strength: drawn.strength * more, ..drawn.clone() };
        prop_assert!(value(&stronger) >= before);
        let better = Drawn { ends: drawn.ends.map(|share| (share * more).min(1.0)), ..drawn.clone() };
        prop_assert!(value(&better) >= before);
        let wider = Drawn { bend: drawn.bend.map(|ratio| ratio * more), ..drawn.clone() };
        prop_assert!(value(&wider) >= before);
    }

    #[test]
    fn where_rope_governs_the_working_load_falls_as_one_over_the_factor(drawn in drawn(), factor in 1.0..15.0_f64) {
        let at = |factor| load_of(&drawn, &with_factor(factor), Under::Crew).working_load_n.unwrap().value();
        prop_assert!(at(factor * 1.1) <= at(factor));
        // Past every maker's factor (at most 12 here) all parts scale alike.
        let ratio = at(24.0) / at(48.0);
        prop_assert!((ratio - 2.0).abs() < 1e-12, "{ratio}");
    }

    #[test]
    fn the_public_below_never_allows_more_than_crew_nor_crew_more_than_nobody(drawn in drawn()) {
        for id in Practices::published().ids() {
            let practice = Practices::published().get(id).unwrap();
            let loads: Vec<f64> = [Under::Nobody, Under::Crew, Under::Public]
                .into_iter()
                .filter_map(|under| load_of(&drawn, &practice, under).working_load_n.map(|load| load.value()))
                .collect();
            prop_assert!(loads.windows(2).all(|pair| pair[1] <= pair[0]), "{id}: {loads:?}");
        }
    }

    #[test]
    fn demand_and_use_grow_with_tension_share_and_dynamic_factor(
        drawn in drawn(), tension in 1.0..500.0_f64, worst in prop::option::of(1.0..900.0_f64), phi in 1.0..2.0_f64, more in 1.01..2.0_f64,
    ) {
        let demand = |tension: f64, worst: Option<f64>, phi: f64| {
            let mut facts = rig_of(&drawn, tension, worst, phi);
            facts.practice.covers_moving = true;
            let line = judge(&facts).measured.lines.swap_remove(0);
            (line.demand_n.unwrap().value(), line.utilisation.unwrap().value())
        };
        let before = demand(tension, worst, phi);
        prop_assert!(before.0 >= tension * LB / ROUNDING);
        for after in [
            demand(tension * more, worst, phi),
            demand(tension, worst.map(|worst| worst * more), phi),
            demand(tension, worst, phi * more),
        ] {
            prop_assert!(after.0 >= before.0 && after.1 >= before.1);
        }
    }

    #[test]
    fn lines_in_another_order_are_judged_the_same(all in prop::collection::vec((drawn(), 1.0..900.0_f64), 2..6), turn in 0..6_usize) {
        let mut facts = samples::rig();
        facts.lines = all.iter().enumerate().map(|(index, (drawn, tension))| {
            let mut makeup = makeup(drawn);
            makeup.name = format!("makeup {index}");
            samples::line(&format!("line {index}"), makeup, *tension)
        }).collect();
        let before = judge(&facts);
        let shift = turn % facts.lines.len();
        facts.lines.rotate_left(shift);
        let after = judge(&facts);
        for line in &before.measured.lines {
            let same = after.measured.lines.iter().find(|other| other.name == line.name).unwrap();
            prop_assert_eq!(line.demand_n.as_ref().map(Number::value), same.demand_n.as_ref().map(Number::value));
            prop_assert_eq!(line.load.working_load_n.as_ref().map(Number::value), same.load.working_load_n.as_ref().map(Number::value));
            prop_assert_eq!(&line.load.governing_part, &same.load.governing_part);
        }
        prop_assert_eq!(sorted(&before), sorted(&after));
    }

    #[test]
    fn every_number_unfolds_and_has_the_dimension_it_claims(drawn in drawn(), tension in 1.0..900.0_f64, worst in prop::option::of(1.0..900.0_f64)) {
        let judgement = judge(&full_rig(&drawn, tension, worst));
        for number in numbers(&judgement) {
            prop_assert_eq!(number.unsound(), Vec::<String>::new());
            prop_assert!(number.all().iter().all(|step| !step.source().says.is_empty()), "{}", number.what());
        }
    }

    #[test]
    fn stops_come_first(drawn in drawn(), tension in 1.0..5000.0_f64) {
        let findings = judge(&full_rig(&drawn, tension, None)).findings;
        prop_assert!(findings.windows(2).all(|pair| pair[0].severity >= pair[1].severity));
    }
}

fn rig_of(drawn: &Drawn, tension: f64, worst: Option<f64>, dynamic: f64) -> Facts {
    let mut facts = samples::rig();
    facts.lines = vec![samples::line("nw", makeup(drawn), tension)];
    let line = &mut facts.lines[0];
    line.bends = bends(drawn);
    line.worst_share_n = worst.map(|worst| samples::force(worst * LB));
    line.dynamic = Some(samples::given("dynamic factor", Kind::Number, dynamic));
    line.service = Service::Moving;
    facts
}

/// A rig with a part at a point and at a junction, so that every kind of number is there.
fn full_rig(drawn: &Drawn, tension: f64, worst: Option<f64>) -> Facts {
    let mut facts = rig_of(drawn, tension, worst, 1.2);
    facts.points[0].part = Some(std::sync::Arc::new(samples::eye_bolt()));
    facts.points[0].dynamic = Some(samples::given("dynamic factor", Kind::Number, 1.2));
    facts.junctions = vec![samples::junction(Some(samples::shackle()))];
    facts.points[0].worst_down_n = worst.map(|worst| samples::force(worst * LB));
    facts.points[0].worst_side_n = worst.map(|worst| samples::force(worst * LB));
    facts.points[0].worst_force_n = worst.map(|worst| samples::force(worst * LB));
    facts.groups = vec![GroupFacts {
        name: "beam".into(),
        points: vec!["north".into()],
        down_n: facts.points[0].down_n.clone(),
        side_n: facts.points[0].side_n.clone(),
        worst_down_n: worst.map(|worst| samples::force(worst * LB)),
        worst_up_n: None,
        worst_side_n: worst.map(|worst| samples::force(worst * LB)),
        allows: facts.points[0].allows.clone(),
    }];
    facts
}

/// The findings without their sentences, which list lines in the order of the facts.
fn sorted(judgement: &Judgement) -> Vec<(String, String, practice::Severity)> {
    let each = judgement.findings.iter();
    let mut all: Vec<_> = each
        .map(|f| (f.rule.clone(), f.subject.clone(), f.severity))
        .collect();
    all.sort();
    all
}

fn numbers(judgement: &Judgement) -> Vec<&Number> {
    let mut all: Vec<&Number> = Vec::new();
    for line in &judgement.measured.lines {
        all.extend(
            line.load
                .working_load_n
                .iter()
                .chain(&line.load.rating_n)
                .chain(&line.demand_n)
                .chain(&line.utilisation),
        );
        for part in &line.load.by_part {
            all.extend(
                [&part.working_load_n]
                    .into_iter()
                    .chain(&part.rating_n)
                    .chain(&part.strength_n),
            );
        }
    }
    for at in &judgement.measured.points {
        all.extend(
            at.working_load_n
                .iter()
                .chain(&at.rating_n)
                .chain(&at.demand_n)
                .chain(&at.utilisation),
        );
        all.extend(at.down_n.iter().chain(&at.side_n));
    }
    for at in &judgement.measured.groups {
        all.extend(at.down_n.iter().chain(&at.side_n).chain(&at.utilisation));
    }
    for at in &judgement.measured.junctions {
        all.extend(
            at.working_load_n
                .iter()
                .chain(&at.rating_n)
                .chain(&at.demand_n)
                .chain(&at.utilisation),
        );
    }
    all
}

/// The line that may have to carry more than at the stated lengths is held against that, unless the practice says not.
#[test]
fn the_worse_share_is_the_demand_unless_the_practice_says_otherwise() {
    let mut facts = samples::rig();
    facts.lines[0].worst_share_n = Some(samples::force(190.0 * LB));
    let demand = |facts: &Facts| judge(facts).measured.lines[0].demand_n.as_ref().unwrap().value() / LB;
    assert!((demand(&facts) - 190.0).abs() < 1e-9);
    facts.practice.sharing = practice::Sharing::Elastic;
    assert!((demand(&facts) - 115.0).abs() < 1e-9);
}

/// A makeup can be asked about without a rig.
#[test]
fn a_makeup_alone_is_judged_by_the_rules_that_need_no_rig() {
    let makeup = std::sync::Arc::new(samples::gripped(samples::grip(440.0, Some(5.0))));
    let judged = practice::judge_makeup(&makeup, &[], &overhead(), Under::Crew, Service::Still);
    assert!(
        (judged.measured.lines[0]
            .load
            .working_load_n
            .as_ref()
            .unwrap()
            .value()
            / LB
            - 440.0)
            .abs()
            < 1e-9
    );
    assert!(
        judged
            .findings
            .iter()
            .all(|finding| finding.severity == practice::Severity::Note)
    );
    let moving = practice::judge_makeup(&makeup, &[], &overhead(), Under::Crew, Service::Moving);
    assert_eq!(moving.findings[0].rule, "grip-service");
}

/// The working of a working load, as a person reads it.
#[test]
fn a_working_load_unfolds_to_its_catalogue_figure() {
    let load = working_load(&samples::plain(), &[], &overhead(), Under::Crew);
    let text = working::explain(&load.working_load_n.unwrap(), quantity::Style::us(), 100);
    for due in [
        "F_e x e",
        "4200 lb",
        "95 %",
        "FAA Advisory Circular 43.13-1B",
        "DOE-STD-1090-96",
    ] {
        assert!(
            text.contains(due) || due == "F_e x e",
            "{due} is missing in\n{text}"
        );
    }
}
