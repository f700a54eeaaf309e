//! Published examples that speak of parts or tables: tests/published/parts-examples.toml at the root.
//!
//! Not here, because they ask nothing of the book: ex01, ex02, ex05, ex08 (rules of thumb and mechanics).

use crate::support::{
    LB, assert_near, clips, design_factor, eyebolt, figure, length_m, part, rating, rating_lb, rope,
};
use parts::{Book, Rating};
use toml::{Table, Value};

const EXAMPLES: &str = include_str!("../../../../tests/published/parts-examples.toml");

/// One example, with its inputs, answers and tolerances.
struct Example(Table);

impl Example {
    fn get(id: &str) -> Self {
        let root: Table = EXAMPLES.parse().unwrap();
        let all = root["example"].as_array().unwrap().clone();
        let found = all.into_iter().find(|e| e["id"].as_str() == Some(id));
        Example(
            found
                .and_then(|e| e.as_table().cloned())
                .unwrap_or_else(|| panic!("no example {id}")),
        )
    }

    fn number(&self, table: &str, key: &str) -> f64 {
        match &self.0[table][key] {
            Value::Integer(i) => *i as f64,
            Value::Float(f) => *f,
            other => panic!("{key} is {other:?}"),
        }
    }

    fn input(&self, key: &str) -> f64 {
        self.number("inputs", key)
    }

    /// Holds an answer to the example within the tolerance the example states for it.
    fn holds(&self, key: &str, found: f64) {
        let tolerance = self.0["tolerance"][key].as_float().unwrap_or(0.0);
        // 1e-9 more for the conversions between units.
        assert_near(found, self.number("expected", key), tolerance + 1e-9, key);
    }
}

/// ex03: [bib:nav-14026-clips]. The rule of thumb gives four clips for 1 in; the table, five, rules in the book.
#[test]
fn ex03_clips_of_one_inch_are_spaced_six_diameters_and_counted_by_the_table() {
    let example = Example::get("ex03-clips-one-inch");
    let clips = clips("clips-forged-1");
    example.holds("spacing_in", clips.spacing_m.value() / 0.0254);
    let by_rule_of_thumb = (3.0 * example.input("diameter_in") + 1.0).ceil();
    example.holds("clips", by_rule_of_thumb);
    assert!(clips.least_count.value() > by_rule_of_thumb);
    assert_near(clips.least_count.value(), 5.0, 0.0, "29 CFR 1918 Appendix II");
}

/// ex04: [bib:nav-14251-shackle]. The rule of thumb is told, and displaces no rating.
#[test]
fn ex04_the_navy_rule_for_shackles_is_a_note() {
    let example = Example::get("ex04-shackle-five-eighths");
    let d = example.input("diameter_in");
    let by_rule_of_thumb_lb = example.input("k") * d * d * 2000.0;
    example.holds("swl_lbf", by_rule_of_thumb_lb);
    assert_near(rating_lb("shackle-5/8"), 6500.0, 1e-6, "the rating");
    assert!(rating_lb("shackle-5/8") > 2.0 * by_rule_of_thumb_lb);
    assert!(
        part("shackle-5/8")
            .notes
            .iter()
            .any(|note| note.contains("rule of thumb, 3 D2"))
    );
}

/// ex06: [bib:api-9a] and [bib:feyrer-t1.9]. The printed figure, and the factors on a size computed by them.
#[test]
fn ex06_six_by_seven_of_ten_millimetres() {
    let example = Example::get("ex06-api-6x7-10mm");
    let rope_10 = rope("rope-6x7-fc-1770-10mm");
    example.holds("breaking_kN", rating("rope-6x7-fc-1770-10mm").value() / 1e3);
    example.holds("mass_kg_per_m", rope_10.mass_kg_per_m.unwrap().value());
    // The same factors on 5 mm, scaled by diameter squared, give the figure for 10 mm.
    example.holds("breaking_kN", 4.0 * rating("rope-6x7-fc-1770-5mm").value() / 1e3);
    example.holds(
        "mass_kg_per_m",
        4.0 * rope("rope-6x7-fc-1770-5mm").mass_kg_per_m.unwrap().value(),
    );
}

/// ex07: [bib:en13414-t4]. 6x36 IWRC 1770 of 10 mm, ferrule-secured, at factor five.
#[test]
fn ex07_single_leg_of_ten_millimetres() {
    let example = Example::get("ex07-en13414-10mm");
    let breaking_n = rating("rope-6x36-iwrc-1770-10mm").value();
    let efficiency = rating("eye-ferrule-soft-10mm").value();
    assert_near(efficiency, example.input("KT"), 1e-12, "KT");
    example.holds(
        "wll_t",
        breaking_n * efficiency / example.input("Zp") / example.input("g") / 1e3,
    );
}

/// ex09: [bib:et-6x19]. 3/8 in 6x19 fibre core IPS.
#[test]
fn ex09_safe_mass_on_three_eighths() {
    let example = Example::get("ex09-safe-mass-3-8");
    let breaking_lb = rating_lb("rope-6x19-fc-ips-3/8");
    assert_near(
        breaking_lb,
        example.input("breaking_lbf"),
        1e-6,
        "printed in pounds",
    );
    example.holds("safe_load_lbf", breaking_lb / example.input("factor"));
    // The page rounds the safe load to 10.9 kN before it divides by g; unrounded it is 10.85 kN and 1106 kg.
    let safe_n = (breaking_lb * LB / example.input("factor") / 100.0).round() * 100.0;
    example.holds("mass_kg", safe_n / example.input("g"));
}

/// ex10: [bib:eye-trade]. The supplier's bolt as a shop would write it: shares of the working load by angle.
#[test]
fn ex10_eye_bolt_by_angle() {
    let example = Example::get("ex10-eyebolt-3-8-angle");
    let text = r#"
[documents]
supplier = "supplier page on forged shoulder eye bolts"
[[eyebolts]]
id = "eyebolt-supplier"
name = "forged shoulder eye bolt"
shoulder = true
source = "supplier"
design_factor = 5
angles = ["0 deg", "15 deg", "30 deg", "45 deg", "90 deg"]
shares = ["100 %", "80 %", "65 %", "30 %", "25 %"]
refused_past = "90 deg"
sizes = [{ size = "3/8 in", working_load = "1550 lb" }]
"#;
    let (book, problems) = Book::read("supplier.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let part = book.get("eyebolt-supplier-3/8").unwrap();
    assert_near(
        figure(&part).unwrap().value() / LB,
        example.input("in_line_lbf"),
        1e-6,
        "in line",
    );
    let at = |degrees: f64| {
        let bolt = eyebolt(&part);
        let band = bolt
            .by_angle
            .iter()
            .find(|band| band.up_to_rad >= degrees.to_radians() - 1e-9);
        band.unwrap().allows.value() / LB
    };
    example.holds("at_15deg_lbf", at(15.0));
    example.holds("at_90deg_lbf", at(90.0));
    // The published book stands on ASME B18.15 and shows the supplier's figure beside it.
    assert_near(rating_lb("eyebolt-shoulder-3/8"), 1000.0, 1e-6, "ASME B18.15");
}

/// ex11: [bib:osha-1918]. Clips for 5/8 in.
#[test]
fn ex11_clips_of_five_eighths() {
    let example = Example::get("ex11-osha-clips-5-8");
    let forged = clips("clips-forged-5/8");
    let other = clips("clips-cast-5/8");
    example.holds("clips_forged", forged.least_count.value());
    example.holds("clips_other", other.least_count.value());
    example.holds("spacing_in", forged.spacing_m.value() / 0.0254);
    assert!(forged.forged && !other.forged);
    assert!(
        matches!(&part("clips-cast-5/8").rating, Rating::Unrated(why) if why.contains("not for hanging loads"))
    );
}

/// ex12: [bib:shackle-util]. The ton of a US shackle is the short ton.
#[test]
fn ex12_shackle_of_three_quarters() {
    let example = Example::get("ex12-shackle-ultimate");
    let rating_lb = rating_lb("shackle-3/4");
    example.holds("wll_lbf", rating_lb);
    example.holds("wll_short_tons", rating_lb / 2000.0);
    assert_near(
        design_factor("shackle-3/4"),
        example.input("factor"),
        0.0,
        "federal factor",
    );
    example.holds("wll_if_tonnes_lbf", rating_lb / 2000.0 * 1000.0 / 0.453_592_37);
}

/// ex13: [bib:maillon-fr]. The 5 mm link; that it is used at half is a rule, not a rating.
#[test]
fn ex13_quick_link_of_five_millimetres() {
    let example = Example::get("ex13-quick-link-stage");
    let rating_dan = rating("link-5mm").value() / 10.0;
    assert_near(
        rating_dan,
        example.input("candidate_wll_daN"),
        1e-9,
        "printed in daN",
    );
    assert!(rating_dan >= example.number("expected", "needed_wll_daN"));
    assert!(
        part("link-5mm")
            .notes
            .iter()
            .any(|note| note.contains("half its rating"))
    );
}

/// [bib:bend-eff]. Every printed row, for the cable that is hung and for six-strand rope.
#[test]
fn each_printed_row_gives_its_share_of_the_strength_at_a_bend() {
    let printed = [
        (1.0, 0.50),
        (2.0, 0.65),
        (4.0, 0.75),
        (6.0, 0.79),
        (8.0, 0.83),
        (10.0, 0.86),
        (15.0, 0.89),
        (20.0, 0.91),
        (30.0, 0.93),
        (40.0, 0.95),
    ];
    for id in ["rope-7x19-galv-3/16", "rope-7x7-galv-1/8", "rope-6x19-fc-ips-1/2"] {
        let rope = rope(id);
        let at = |r: f64| rope.bend_efficiency(&length_m(r * rope.diameter_m.value()));
        for (r, e) in printed {
            assert_near(at(r).unwrap().value(), e, 1e-12, id);
        }
        assert_near(at(3.0).unwrap().value(), 0.65, 1e-12, "the worse row, not 0.70");
        assert_near(at(60.0).unwrap().value(), 0.95, 1e-12, "the last printed row");
        assert!(at(0.99).is_err() && at(-1.0).is_err() && at(f64::NAN).is_err());
        let left = at(9.0).unwrap();
        assert_eq!(left.source().key.as_deref(), Some("bend-eff"));
        assert!(
            left.remarks()[0].contains("the row for 8 holds"),
            "{:?}",
            left.remarks()
        );
    }
    assert_eq!(Book::published().bends().len(), printed.len());
}

/// [bib:g-factors]. Stretch of 7x19 galvanised: percent = W G / D2 with G = 0.000014.
#[test]
fn a_cable_stretches_by_its_printed_factor() {
    let (load_lb, diameter_in, factor) = (840.0, 3.0 / 16.0, 0.000_014);
    let percent = load_lb * factor / (diameter_in * diameter_in);
    let stiffness_n = rope("rope-7x19-galv-3/16").stiffness_n.unwrap().value();
    assert_near(
        load_lb * LB / stiffness_n * 100.0,
        percent,
        1e-9,
        "rounding of the conversion",
    );
}

/// [bib:faa-ac43] Table 7-3, [bib:et-6x19], [bib:b1815], [bib:fft791], [bib:eye-metric]: figures read in print.
#[test]
fn figures_read_in_print_stand_in_the_book() {
    for (id, lb) in [
        ("rope-7x19-galv-1/8", 2000.0),
        ("rope-7x19-galv-3/16", 4200.0),
        ("rope-7x19-galv-1/4", 7000.0),
        ("rope-7x19-galv-3/8", 14400.0),
        ("rope-7x19-stainless-1/8", 1760.0),
        ("rope-7x19-stainless-1/4", 6400.0),
        ("rope-7x7-galv-3/32", 920.0),
        ("rope-6x19-iwrc-galv-1/2", 22800.0),
        ("rope-6x19-fc-ips-1/2", 21400.0),
        ("eyebolt-shoulder-1/2", 1840.0),
        ("eyebolt-machinery-m12", 2266.0),
        ("turnbuckle-jaw-eye-1/2", 1800.0),
        ("turnbuckle-hook-1/2", 1040.0),
        ("shackle-3/8", 2000.0),
        ("shackle-alloy-1/2", 6600.0),
    ] {
        assert_near(rating_lb(id), lb, 1e-6, id);
    }
    assert_near(rating("shackle-metric-1t").value(), 9806.65, 1e-9, "one tonne");
    assert_near(rating("link-6mm").value(), 400.0 * 9.806_65, 1e-9, "400 kg");
}

/// Common practice, no source: what 3/16 in 7x19 galvanised cable is good for at factor five.
#[test]
fn three_sixteenths_aircraft_cable_at_factor_five() {
    let rope_lb = rating_lb("rope-7x19-galv-3/16");
    assert_near(rope_lb / 5.0, 840.0, 1e-6, "by itself");
    let eye = rating("eye-sleeve-3/16");
    let printed: Vec<f64> = eye.inputs().iter().map(|number| number.value()).collect();
    assert_eq!(printed.len(), 2, "both published efficiencies are in the working");
    assert_near(rope_lb * printed[0] / 5.0, 798.0, 1e-6, "with ends at 0.95");
    assert_near(
        rope_lb * eye.value() / 5.0,
        756.0,
        1e-6,
        "with ends at 0.90, which the book uses",
    );
}
