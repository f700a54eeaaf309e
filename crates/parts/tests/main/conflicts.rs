//! Holds each decision between sources that disagree: docs/parts-book.md, conflicts 1 to 18.

use crate::support::{LB, assert_near, clips, design_factor, eyebolt, part, rating, rating_lb, rope, says};
use parts::{Book, Rating};
use working::Seen;

/// 1. The ton of an inch shackle is the short ton, the factor five; metric shackles are marked in tonnes.
#[test]
fn conflict_1_the_ton_of_an_inch_shackle_is_short() {
    for (size, ultimate_lb) in [("1/2", 20_000.0), ("5/8", 32_500.0), ("3/4", 47_500.0)] {
        assert_near(
            rating_lb(&format!("shackle-{size}")),
            ultimate_lb / 5.0,
            1e-6,
            "utility standard over five",
        );
        assert_eq!(
            rating(&format!("shackle-{size}")).inputs().len(),
            2,
            "both sources are in the working"
        );
    }
    assert_near(
        design_factor("shackle-1/2"),
        5.0,
        0.0,
        "not the six that trade tables claim",
    );
    assert_near(
        rating("shackle-metric-2t").value(),
        2000.0 * 9.806_65,
        1e-9,
        "marked in tonnes",
    );
    assert!(rating("shackle-1/2").value() < rating("shackle-metric-2t").value());
}

/// 2. The table of ASME B18.15 rules over higher trade ratings, also at an angle; 45 degrees is the limit.
#[test]
fn conflict_2_shoulder_eye_bolts_stand_on_the_standard() {
    let half = part("eyebolt-shoulder-1/2");
    assert_near(rating_lb("eyebolt-shoulder-1/2"), 1840.0, 1e-6, "ASME B18.15");
    assert!(says(&half).contains("2600 lb"), "{}", says(&half));
    let three_eighths = rating("eyebolt-shoulder-3/8");
    let printed: Vec<f64> = three_eighths
        .inputs()
        .iter()
        .map(|n| (n.value() / LB).round())
        .collect();
    assert_eq!(
        printed,
        [1000.0, 1550.0],
        "a trade rating read in print is in the working"
    );
    let bands: Vec<(f64, f64)> = eyebolt(&half)
        .by_angle
        .iter()
        .map(|band| {
            (
                band.up_to_rad.to_degrees().round(),
                (band.allows.value() / LB).round(),
            )
        })
        .collect();
    assert_eq!(
        bands,
        [(1.0, 1840.0), (30.0, 850.0), (60.0, 520.0), (90.0, 440.0)]
    );
    let metric = eyebolt(&part("eyebolt-machinery-m12"));
    assert_near(
        metric.by_angle[1].allows.value() / LB,
        567.0,
        1e-6,
        "a quarter at 45 degrees",
    );
    for id in ["eyebolt-shoulder-1/2", "eyebolt-machinery-m12"] {
        assert_near(
            eyebolt(&part(id)).refused_past_rad.to_degrees(),
            45.0,
            1e-9,
            "common practice",
        );
    }
    assert_eq!(
        eyebolt(&part("eyebolt-shoulder-1/4")).by_angle.len(),
        2,
        "nothing past 30 degrees is printed for 1/4 in"
    );
    for only_trade in ["eyebolt-shoulder-5/16", "eyebolt-shoulder-7/8"] {
        assert!(
            Book::published().get(only_trade).is_none(),
            "{only_trade} would stand above its neighbours"
        );
    }
}

/// 3. The federal specification rules over higher trade ratings of turnbuckles.
#[test]
fn conflict_3_turnbuckles_stand_on_the_federal_specification() {
    assert_near(rating_lb("turnbuckle-jaw-eye-1/2"), 1800.0, 1e-6, "FF-T-791b");
    assert!(says(&part("turnbuckle-jaw-eye-1/2")).contains("2200 lb"));
    assert!(
        rating("turnbuckle-jaw-eye-1/2").from_memory().is_empty(),
        "what is set aside decides nothing"
    );
    assert_near(
        rating_lb("turnbuckle-jaw-eye-3/4"),
        4000.0,
        1e-6,
        "FF-T-791b and M 269",
    );
    assert_eq!(
        rating("turnbuckle-jaw-eye-3/4").inputs().len(),
        2,
        "M 269 stands beside it"
    );
    assert!(says(&part("turnbuckle-jaw-eye-3/4")).contains("5200 lb"));
}

/// 4. Stainless alone fixes no strength: each specification is a part of its own.
#[test]
fn conflict_4_each_stainless_cable_is_a_part_of_its_own() {
    let eighth = |kind: &str| rating_lb(&format!("rope-7x19-{kind}-1/8"));
    assert_near(eighth("galv"), 2000.0, 1e-6, "composition A");
    assert_near(eighth("stainless"), 1760.0, 1e-6, "composition B");
    assert_near(eighth("stainless-nonmagnetic"), 1300.0, 1e-6, "MIL-C-18375");
    let sixteenth = |id: &str| rating_lb(id);
    assert_near(sixteenth("rope-1x19-stainless-304-1/16"), 500.0, 1e-6, "304");
    assert_near(sixteenth("rope-1x19-stainless-316-1/16"), 480.0, 1e-6, "316");
    assert_near(
        sixteenth("rope-7x7-stainless-316-1/16"),
        420.0,
        1e-6,
        "five times its stated working load",
    );
}

/// 5. The EN factor at grade 1770 is not used for inch cable.
#[test]
fn conflict_5_the_en_factor_is_not_used_for_inch_cable() {
    let strength = rating("rope-7x19-galv-3/16");
    assert!(strength.formula().is_none(), "a printed figure, not a formula");
    let by_en_n = 0.362 * 0.004_762_5_f64.powi(2) * 1770e6;
    assert_near(by_en_n, 14.5e3, 50.0, "what the EN factor would give");
    assert!(strength.value() > 1.25 * by_en_n);
    assert_near(
        rating("rope-7x19-1770-5mm").value(),
        16.02e3,
        5.0,
        "EN cable, printed to 10 N",
    );
    assert!(rating("rope-7x19-1770-5mm").formula().is_some());
}

/// 6. EA is taken from one source as a pair, never a modulus from one and an area from another.
#[test]
fn conflict_6_stiffness_comes_from_one_source() {
    for id in ["rope-7x19-galv-3/16", "rope-6x19-fc-ips-3/8"] {
        let stiffness = rope(id).stiffness_n.unwrap();
        let per_d2 = stiffness.inputs()[0].clone();
        let keys: Vec<_> = per_d2.inputs().iter().map(|n| n.source().says.clone()).collect();
        assert!(keys.windows(2).all(|pair| pair[0] == pair[1]), "{id}: {keys:?}");
    }
    assert!(
        rope("rope-6x7-iwrc-1770-6mm").stiffness_n.is_none(),
        "no pair is published for 6x7 IWRC"
    );
}

/// 7. Where mass factors differ the greater rules: more weight is the safer side.
#[test]
fn conflict_7_the_greater_mass_factor_rules() {
    let mass = rope("rope-7x19-1770-10mm").mass_kg_per_m.unwrap();
    assert_near(mass.value(), 0.381, 1e-9, "W = 0.381, not 0.372");
    let factors: Vec<f64> = mass.inputs()[0]
        .inputs()
        .iter()
        .map(|n| n.value() / 1e4)
        .collect();
    assert_eq!(factors, [0.372, 0.381]);
}

/// 8. Clips are spaced six diameters; the bridge manual's inch more is a note.
#[test]
fn conflict_8_clips_are_six_diameters_apart() {
    assert_near(
        clips("clips-forged-3/8").spacing_m.value(),
        6.0 * 0.375 * 0.0254,
        1e-12,
        "six diameters",
    );
    assert!(says(&part("clips-forged-3/8")).contains("one inch more"));
}

/// 9. Never fewer than three clips, and the turnback grows with the count.
#[test]
fn conflict_9_there_are_at_least_three_clips() {
    for part in Book::published().parts().filter(|part| part.kind() == "clips") {
        assert!(clips(&part.id).least_count.value() >= 3.0, "{}", part.id);
    }
    let small = clips("clips-forged-3/16");
    assert_eq!(
        small
            .least_count
            .inputs()
            .iter()
            .map(|n| n.value())
            .collect::<Vec<_>>(),
        [2.0, 3.0]
    );
    assert_near(
        small.turnback_m.unwrap().value() / 0.0254,
        3.75 * 3.0 / 2.0,
        1e-9,
        "for three clips, not two",
    );
}

/// 10. The printed turnback of 1/8 in, 3-3/4 in, rules over the shorter one remembered.
#[test]
fn conflict_10_the_longer_turnback_rules() {
    let turnback = clips("clips-forged-1/8").turnback_m.unwrap();
    assert_near(
        turnback.inputs()[0].value() / 0.0254,
        3.75,
        1e-9,
        "printed for two clips",
    );
    assert!(says(&part("clips-forged-1/8")).contains("3-1/4 in"));
}

/// 11. A pressed sleeve on aircraft cable counts 0.90: the least of what is printed for a pressed eye.
#[test]
fn conflict_11_pressed_sleeves_count_by_product() {
    for id in [
        "eye-sleeve-3/16",
        "eye-sleeve-soft-3/16",
        "eye-sleeve-copper-3/16",
        "eye-ferrule-10mm",
    ] {
        assert_near(rating(id).value(), 0.90, 1e-12, id);
        assert!(rating(id).from_memory().is_empty(), "{id} rests on print");
    }
    assert_near(
        rating("eye-mechanical-3/8").value(),
        0.95,
        1e-12,
        "mechanical splice, IWRC",
    );
    assert_near(
        rating("eye-mechanical-fc-3/8").value(),
        0.925,
        1e-12,
        "mechanical splice, fibre core",
    );
    assert!(
        says(&part("eye-sleeve-3/16")).contains("full strength"),
        "what is not used is told"
    );
}

/// 12. A wedge socket counts the low end of its range.
#[test]
fn conflict_12_a_wedge_socket_counts_its_low_end() {
    assert_near(rating("socket-wedge-3/8").value(), 0.75, 1e-12, "0.75 to 0.95");
    assert!(says(&part("socket-wedge-3/8")).contains("75 to 95 %"));
    assert!(says(&part("socket-wedge-3/8")).contains("80 %"));
}

/// 13 to 17 speak of rules, not of parts: no part of the book carries a figure of them.
/// 18. Misprints are not used.
#[test]
fn conflict_18_misprints_are_left_out() {
    let stainless_1x7 = Book::read("a.toml", ONE_BY_SEVEN).0.get("rope-1x7-1/8").unwrap();
    assert!(
        stainless_1x7.rope().unwrap().stiffness_n.is_none(),
        "the printed G of stainless 1x7 is a misprint"
    );
    assert!(
        Book::published().get("rope-1x19-stainless-304-3/64").is_none(),
        "out of line with its neighbours"
    );
    assert!(
        Book::published().get("clips-forged-1-3/4").is_none(),
        "printed as 1/34"
    );
}

const ONE_BY_SEVEN: &str = r#"
[documents]
d = "a document"
[[ropes]]
id = "rope-1x7"
name = "strand 1x7"
construction = "1x7"
material = "stainless-304"
source = "d"
sizes = [{ size = "1/8 in", breaking = "1900 lb" }]
"#;

/// A figure nobody has seen in print says so, wherever it ends up.
#[test]
fn figures_from_memory_say_so() {
    assert_eq!(rating("rope-7x7-galv-1/8").source().seen, Seen::Memory);
    assert_eq!(rating("rope-1x19-stainless-316-1/8").source().seen, Seen::Memory);
    assert_eq!(rating("rope-6x19-iwrc-ips-3/8").source().seen, Seen::Memory);
    assert_eq!(rating("rope-7x19-galv-3/16").source().seen, Seen::Text);
    assert_eq!(
        rope("rope-7x19-galv-3/16").mass_kg_per_m.unwrap().source().seen,
        Seen::Memory
    );
}

/// A thimble has no rating of its own.
#[test]
fn a_thimble_is_rated_by_its_rope() {
    assert!(matches!(part("thimble-3/8").rating, Rating::ByRope));
}
