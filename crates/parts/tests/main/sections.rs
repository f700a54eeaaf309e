//! Pipes, tubes and trusses: the book against handbooks, and a shop's own truss.

use crate::support::{LB, assert_near, part};
use parts::{Bending, Body, Book, Part, Rating, Section, Tube};
use std::f64::consts::PI;
use working::Seen;

const IN: f64 = 0.0254;
const FT_LB: f64 = 12.0 * IN * LB;
const KSI: f64 = 1e3 * LB / IN / IN;

fn section(part: &Part) -> &Section {
    part.section().unwrap()
}

fn tube(part: &Part) -> &Tube {
    section(part).tube.as_ref().unwrap()
}

fn bending(part: &Part) -> &Bending {
    match &part.rating {
        Rating::Bending(bending) => bending,
        other => panic!("{} stands on {other:?}", part.id),
    }
}

/// Reads one series of a shop and gives its only part.
fn shop(series: &str) -> Part {
    let text =
        format!("[documents]\nsheet = \"workshop sheet 9 of the Larkspur Library\"\n[[sections]]\n{series}");
    let (book, problems) = Book::read("shop.toml", &text);
    assert!(problems.is_empty(), "{problems:?}");
    let mut parts = book.parts();
    let part = parts.next().unwrap().as_ref().clone();
    assert!(parts.next().is_none());
    part
}

/// [bib:pipe-properties] and [bib:pipe-guide], read as text; a printed figure may be off by a unit in its last place.
#[test]
fn printed_properties_follow_from_diameter_and_wall() {
    // size, D, t, A, unit of A, I, S: inches.
    for (id, diameter, wall, area, area_unit, second, modulus) in [
        (
            "pipe-1-sch40",
            1.315,
            0.133,
            0.494,
            1e-3,
            Some(0.08734),
            Some(0.1328),
        ),
        (
            "pipe-1-1/4-sch40",
            1.660,
            0.140,
            0.669,
            1e-3,
            Some(0.1947),
            Some(0.2346),
        ),
        (
            "pipe-1-1/2-sch40",
            1.900,
            0.145,
            0.799,
            1e-3,
            Some(0.3099),
            Some(0.3262),
        ),
        (
            "pipe-2-sch40",
            2.375,
            0.154,
            1.075,
            1e-3,
            Some(0.6658),
            Some(0.5607),
        ),
        ("pipe-1-sch80", 1.315, 0.179, 0.639, 1e-3, None, None),
        ("pipe-1-1/4-sch80", 1.660, 0.191, 0.881, 1e-3, None, None),
        ("pipe-1-1/2-sch80", 1.900, 0.200, 1.07, 1e-2, None, None),
        ("pipe-2-sch80", 2.375, 0.218, 1.48, 1e-2, None, None),
    ] {
        let part = part(id);
        let tube = tube(&part);
        let inside: f64 = diameter - 2.0 * wall;
        let (a, i) = (
            PI / 4.0 * (diameter * diameter - inside * inside),
            PI / 64.0 * (diameter.powi(4) - inside.powi(4)),
        );
        assert_near(tube.diameter_m.value(), diameter * IN, 1e-12, id);
        assert_near(tube.wall_m.value(), wall * IN, 1e-12, id);
        assert_near(tube.area_m2.value(), area * IN.powi(2), 1e-12, "as printed");
        assert_near(a, area, area_unit, "area, printed to this unit");
        if let (Some(second), Some(modulus)) = (second, modulus) {
            assert_near(i, second, 1e-4, "second moment, printed to four figures");
            assert_near(
                2.0 * i / diameter,
                modulus,
                1e-4,
                "modulus, printed to four figures",
            );
            assert_eq!(tube.second_moment_m4.source().seen, Seen::Text, "{id}");
        }
        // What is computed in the book is the same geometry; what is printed is so within its figures.
        let within = 5e-4;
        assert_near(tube.second_moment_m4.value() / IN.powi(4) / i, 1.0, within, id);
        assert_near(
            tube.elastic_modulus_m3.value() / IN.powi(3) / (2.0 * i / diameter),
            1.0,
            within,
            id,
        );
        let plastic = (diameter.powi(3) - inside.powi(3)) / 6.0;
        assert_near(
            tube.plastic_modulus_m3.value() / IN.powi(3) / plastic,
            1.0,
            1e-9,
            id,
        );
    }
}

/// [bib:scaffold-sheet] prints A 5.57 cm2, I 13.8 cm4, moduli 5.7 and 7.87 cm3, 4.37 kg/m; [bib:en39-page] 3.56 kg/m.
#[test]
fn scaffold_tubes_follow_from_diameter_and_wall() {
    let four = part("tube-48.3x4.0-steel");
    let (diameter, wall): (f64, f64) = (48.3, 4.0);
    let inside = diameter - 2.0 * wall;
    let (area, second) = (
        PI * (diameter - wall) * wall / 1e2,
        PI / 64.0 * (diameter.powi(4) - inside.powi(4)) / 1e4,
    );
    assert_near(
        area,
        tube(&four).area_m2.value() * 1e4,
        0.005,
        "cm2, printed to 0.01",
    );
    assert_near(
        second,
        tube(&four).second_moment_m4.value() * 1e8,
        0.05,
        "cm4, printed to 0.1",
    );
    assert_near(
        2.0 * second / diameter * 10.0,
        tube(&four).elastic_modulus_m3.value() * 1e6,
        0.05,
        "cm3, printed to 0.1",
    );
    let plastic = (diameter.powi(3) - inside.powi(3)) / 6e3;
    assert_near(
        plastic,
        tube(&four).plastic_modulus_m3.value() * 1e6,
        0.005,
        "cm3, printed to 0.01",
    );
    // Steel of 7850 kg/m3.
    assert_near(area * 0.785, 4.37, 0.005, "kg/m, printed to 0.01");
    let three = part("tube-48.3x3.2-steel");
    let area = tube(&three).area_m2.value() * 1e4;
    assert_near(area * 0.785, 3.56, 0.005, "kg/m, printed to 0.01");
    // A circular hollow section of 48.3 x 3.2 has A 4.53 cm2, I 11.6 cm4, 4.80 and 6.52 cm3 (EN 10210-2, from memory).
    assert_near(area, 4.53, 0.005, "cm2");
    assert_near(tube(&three).second_moment_m4.value() * 1e8, 11.6, 0.05, "cm4");
    assert_near(tube(&three).elastic_modulus_m3.value() * 1e6, 4.80, 0.005, "cm3");
    assert_near(tube(&three).plastic_modulus_m3.value() * 1e6, 6.52, 0.005, "cm3");
}

/// [bib:aisc-f9]: 8 in extra strong (8.625 x 0.500 in), Fy 35 ksi: Z 31.0 in3, D/t 18.5, 54.1 ft kip.
#[test]
fn the_worked_example_of_a_pipe_in_bending_is_met() {
    let part = shop(
        "id = \"pipe\"\nname = \"pipe\"\nmaterial = \"steel\"\nsource = \"sheet\"\nmodulus = \"29000 ksi\"\nyield = \"35 ksi\"\n\
         density = \"490 lb/ft3\"\ndesign_wall = \"93 %\"\nfactor = 1.67\n\
         sizes = [{ size = \"8-xs\", diameter = \"8.625 in\", wall = \"0.500 in\" }]",
    );
    let design_wall = 0.93 * 0.5;
    assert_near(8.625 / design_wall, 18.5, 0.05, "D/t, printed to 0.1");
    let inside: f64 = 8.625 - 2.0 * design_wall;
    assert_near(
        (8.625_f64.powi(3) - inside.powi(3)) / 6.0,
        31.0,
        0.05,
        "Z, printed to 0.1",
    );
    let moment = bending(&part).moment_n_m.value() / FT_LB / 1e3;
    assert_near(moment, 54.1, 0.05, "ft kip, printed to 0.1");
}

/// By hand for 1-1/2 in schedule 40 at 30 ksi and 0.93 of the wall: d = 1.900 - 2 x 0.13485 = 1.6303 in.
#[test]
fn what_a_pipe_may_carry_is_counted_by_hand() {
    let part = part("pipe-1-1/2-sch40");
    let bending = bending(&part);
    let (diameter, wall): (f64, f64) = (1.9, 0.93 * 0.145);
    let inside = diameter - 2.0 * wall;
    let plastic = (diameter.powi(3) - inside.powi(3)) / 6.0;
    assert_near(
        bending.moment_n_m.value() / FT_LB,
        30e3 * plastic / 1.67 / 12.0,
        1e-6,
        "ft lb",
    );
    // 0.6 x 30 ksi x half of the area, over 1.67.
    let area = PI * (diameter - wall) * wall;
    assert_near(
        bending.shear_n.value() / LB,
        0.6 * 30e3 * area / 2.0 / 1.67,
        1e-6,
        "lb",
    );
    let torsion = PI * (diameter - wall).powi(2) * wall / 2.0;
    let torque = bending.torque_n_m.as_ref().unwrap();
    assert_near(
        torque.value() / FT_LB,
        0.6 * 30e3 * torsion / 1.67 / 12.0,
        1e-6,
        "ft lb",
    );
    // A sanity check in round numbers: some 630 ft lb and 4000 lb.
    assert!((600.0..660.0).contains(&(bending.moment_n_m.value() / FT_LB)));
    assert!((3.9e3..4.2e3).contains(&(bending.shear_n.value() / LB)));
    assert_eq!(torque.source().seen, Seen::Memory);
    assert_eq!(bending.moment_n_m.source().seen, Seen::Computed);
    let grade = tube(&part).yield_pa.as_ref().unwrap();
    assert_near(grade.value() / KSI, 30.0, 1e-9, "the lowest common grade");
    assert_eq!(grade.source().seen, Seen::Judgement);
}

/// [bib:scaffold-sheet]: 1.12 kN m and 26.1 kN as new, 0.99 kN m and 23.3 kN used, steel 48.3 x 4.0 mm.
#[test]
fn the_lesser_of_what_is_printed_and_what_follows_rules() {
    let four = part("tube-48.3x4.0-steel");
    assert_near(
        bending(&four).moment_n_m.value(),
        990.0,
        1e-9,
        "printed for used tubes",
    );
    // With the whole wall the sheet's own figure as new comes out: 235 x 7.87 / 1.65.
    assert_near(235.0 * 7.87 / 1.65, 1120.0, 5.0, "printed to 10 N m");
    // With the thinnest wall that the standard permits the shear that follows is less than the sheet's.
    let shear = bending(&four).shear_n.value();
    let area: f64 = PI * (48.3 - 3.6) * 3.6;
    assert_near(shear, 0.6 * 235.0 * area / 2.0 / 1.65, 1e-6, "N");
    assert!(shear < 23.3e3);
    let three = part("tube-48.3x3.2-steel");
    assert!(bending(&three).moment_n_m.value() < bending(&four).moment_n_m.value());
}

/// [bib:alloy-6082]: E 69 GPa, 2.71 kg/dm3, 250 MPa; geometry as of the steel tube.
#[test]
fn an_aluminium_tube_is_a_third_as_stiff_and_as_heavy_as_a_steel_one() {
    let (light, heavy) = (part("tube-48.3x4.0-aluminium"), part("tube-48.3x4.0-steel"));
    let stiffness = |part: &Part| section(part).bending_stiffness_n_m2.value();
    let mass = |part: &Part| section(part).mass_kg_per_m.value();
    // The steel's I is printed to three figures.
    assert_near(
        stiffness(&light) / stiffness(&heavy),
        69.0 / 210.0,
        1e-3,
        "E over E",
    );
    assert_near(mass(&light), 2710.0 * PI * 44.3e-3 * 4e-3, 1e-9, "kg/m");
    assert!(section(&light).expansion_per_k.as_ref().unwrap().value() > 2e-5);
    assert!(light.notes.iter().any(|note| note.contains("weld")));
}

/// EI, EA and GJ of the pipe of the demo: E I, E A and 2 G I.
#[test]
fn stiffnesses_follow_from_material_and_section() {
    let part = part("pipe-1-1/2-sch40");
    let section = section(&part);
    let lb_in2 = LB * IN * IN;
    assert_near(
        section.bending_stiffness_n_m2.value() / lb_in2,
        29e6 * 0.3099,
        1.0,
        "lb in2",
    );
    let axial = section.axial_stiffness_n.as_ref().unwrap();
    assert_near(axial.value() / LB, 29e6 * 0.799, 1.0, "lb");
    let torsional = section.torsional_stiffness_n_m2.as_ref().unwrap();
    assert_near(torsional.value() / lb_in2, 11.2e6 * 2.0 * 0.3099, 1.0, "lb in2");
    for number in [&section.bending_stiffness_n_m2, axial, torsional] {
        assert!(number.unsound().is_empty(), "{:?}", number.unsound());
    }
}

const TRUSS: &str = r#"id = "truss"
name = "box truss of the library's own"
material = "aluminium"
source = "sheet"
deflection_ratio = 100
sizes = [{ size = "30cm", bending_stiffness = "900 kN m2", axial_stiffness = "60 MN", mass = "6 kg/m", moment = "8 kN m", shear = "9 kN", panel = "0.5 m" }]"#;

#[test]
fn a_shop_writes_a_truss_by_its_maker_s_figures() {
    let part = shop(TRUSS);
    assert_eq!((part.id.as_str(), part.kind()), ("truss-30cm", "section"));
    let section = section(&part);
    assert!(section.tube.is_none() && section.torsional_stiffness_n_m2.is_none());
    assert_near(section.bending_stiffness_n_m2.value(), 9e5, 1e-6, "N m2");
    assert_near(section.panel_m.as_ref().unwrap().value(), 0.5, 1e-12, "m");
    assert_near(
        section.deflection_ratio.as_ref().unwrap().value(),
        100.0,
        0.0,
        "as stated",
    );
    assert_near(section.mass_kg_per_m.value(), 6.0, 1e-12, "kg/m");
    let bending = bending(&part);
    assert_near(bending.moment_n_m.value(), 8e3, 1e-9, "N m");
    assert_near(bending.shear_n.value(), 9e3, 1e-9, "N");
    assert!(bending.torque_n_m.is_none());
    assert!(
        part.length_m.is_none() && part.mass_kg.is_none(),
        "its mass is per length"
    );
}

#[test]
fn a_section_without_what_it_may_carry_is_unrated_and_says_why() {
    let unrated = |series: &str| match shop(series).rating {
        Rating::Unrated(why) => why,
        other => panic!("{other:?}"),
    };
    let why = unrated(&TRUSS.replace("moment = \"8 kN m\", ", ""));
    assert!(
        why.contains("no moment") && why.contains("no round tube"),
        "{why}"
    );
    let why = unrated(&TRUSS.replace("shear = \"9 kN\", ", ""));
    assert!(why.contains("no shear"), "{why}");
    let tube = "id = \"tube\"\nname = \"tube\"\nmaterial = \"steel\"\nsource = \"sheet\"\nmodulus = \"200 GPa\"\ndensity = \"7850 kg/m3\"\n\
                yield = \"235 MPa\"\nfactor = 1.67\nsizes = [{ size = \"a\", diameter = \"60 mm\", wall = \"3 mm\" }]";
    assert!(matches!(shop(tube).rating, Rating::Bending(_)));
    let why = unrated(&tube.replace("yield = \"235 MPa\"\n", ""));
    assert!(why.contains("yield strength is not stated"), "{why}");
    let why = unrated(&tube.replace("factor = 1.67\n", ""));
    assert!(why.contains("factor"), "{why}");
    // 0.07 x 200000 / 235 = 59.6: 60 mm of 1 mm wall is past it, 60 mm of 1.01 mm is not.
    let why = unrated(&tube.replace("wall = \"3 mm\"", "wall = \"1 mm\""));
    assert!(why.contains("60.0, more than 59.6"), "{why}");
    let thin = tube.replace("wall = \"3 mm\"", "wall = \"1.01 mm\"");
    assert!(matches!(shop(&thin).rating, Rating::Bending(_)));
}

/// A shop that writes a stronger pipe of the same name is told of.
#[test]
fn a_shop_s_better_pipe_says_in_what_it_is_better() {
    let text = "[documents]\nmill = \"mill certificate 12\"\n[[sections]]\nid = \"pipe\"\nname = \"pipe of known grade\"\nmaterial = \"steel\"\n\
                source = \"mill\"\nmodulus = \"29000 ksi\"\nyield = \"35 ksi\"\ndesign_wall = \"93 %\"\nfactor = 1.67\n\
                sizes = [{ size = \"1-1/2-sch40\", diameter = \"1.900 in\", wall = \"0.145 in\", mass = \"2.72 lb/ft\" }]";
    let (own, problems) = Book::read("shop.toml", text);
    assert!(problems.is_empty(), "{problems:?}");
    let book = Book::published().overlaid(&own);
    let part = book.get("pipe-1-1/2-sch40").unwrap();
    let parts::Origin::Shop { better, .. } = &part.origin else {
        panic!("{:?}", part.origin)
    };
    assert!(
        better.iter().any(|says| says.contains("bending moment")),
        "{better:?}"
    );
}

#[test]
fn what_is_wrong_with_a_section_is_told() {
    let text = "[documents]\nsheet = \"a sheet\"\n[[sections]]\nid = \"pipe\"\nname = \"pipe\"\nmaterial = \"steel\"\nsource = \"sheet\"\n\
                modulus = \"200 GPa\"\nfactor = 0.5\nmass_from = { source = \"nowhere\" }\nsizes = [\n\
                { size = \"a\", diameter = \"40 mm\", mass = \"2 kg/m\" },\n\
                { size = \"b\", diameter = \"40 mm\", wall = \"20 mm\", mass = \"2 kg/m\" },\n\
                { size = \"c\", diameter = \"40 mm\", wall = \"3 mm\" },\n\
                { size = \"d\", mass = \"2 kg/m\" },\n\
                { size = \"e\", diameter = \"40 mm\", wall = \"3 mm\", mass = \"2 kg/m\", moment = \"-1 N m\" },\n\
                { size = \"f\", bending_stiffness = \"2 kN m2\", mass = \"2 kg/m\" }]";
    let (book, problems) = Book::read("shop.toml", text);
    let said: Vec<String> = problems.iter().map(|problem| problem.says.clone()).collect();
    for part in [
        "a factor on yield",
        "no document `nowhere`",
        "`pipe-a` has only one of diameter and wall",
        "`pipe-b` has a wall that fills it",
        "`pipe-c` has no mass",
        "`pipe-d` has no bending stiffness",
        "`moment` is not above 0",
    ] {
        assert_eq!(
            said.iter().filter(|says| says.contains(part)).count(),
            1,
            "{part}: {said:#?}"
        );
    }
    // The source of its masses is not known, so nothing of the series is used.
    assert_eq!(book.ids().count(), 0);
}

/// [bib:expansion-steels] as text, [bib:g-factors] as text; six-strand rope from memory.
#[test]
fn ropes_expand_and_settle() {
    let of = |id: &str| match &part(id).body {
        Body::Rope(rope) => rope.clone(),
        other => panic!("{other:?}"),
    };
    for (id, per_k) in [
        ("rope-7x19-galv-3/16", 12e-6),
        ("rope-7x19-stainless-1/4", 17.2e-6),
        ("rope-1x19-stainless-316-1/8", 15.9e-6),
    ] {
        let expansion = of(id).expansion_per_k.unwrap();
        assert_near(expansion.value(), per_k, 1e-12, id);
        assert_eq!(expansion.source().seen, Seen::Text, "{id}");
    }
    let cable = of("rope-7x19-galv-3/16").settling.unwrap();
    assert!(cable.least.is_none());
    assert_near(cable.most.value(), 0.01, 1e-12, "less than this");
    for (id, least, most) in [
        ("rope-6x19-fc-ips-1/2", 0.005, 0.0075),
        ("rope-6x19-iwrc-ips-3/8", 0.0025, 0.005),
    ] {
        let settling = of(id).settling.unwrap();
        assert_near(settling.least.unwrap().value(), least, 1e-12, id);
        assert_near(settling.most.value(), most, 1e-12, id);
        assert_eq!(settling.most.source().seen, Seen::Memory, "{id}");
    }
    for part in Book::published().parts() {
        if let Some(rope) = part.rope() {
            assert!(
                rope.expansion_per_k.is_some() && rope.settling.is_some(),
                "{}",
                part.id
            );
        }
    }
}
