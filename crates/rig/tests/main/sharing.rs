//! The worst share, against the closed form of a plate on four legs.

use crate::{assert_near, document, verdict, verdict_under};
use practice::Practices;

const CORNERS: [(&str, [f64; 3]); 4] = [
    ("a", [-1.5, -1.0, 4.0]),
    ("b", [1.5, -1.0, 4.0]),
    ("c", [1.5, 1.0, 4.0]),
    ("d", [-1.5, 1.0, 4.0]),
];

fn plate(centre_z_m: f64, stiffness_n: f64) -> String {
    let picks: Vec<String> = CORNERS
        .iter()
        .map(|(name, [x, y, _])| format!("{name} = [\"{x:?} m\", \"{y:?} m\", \"0 m\"]"))
        .collect();
    let load = format!(
        "[loads.plate]\nweight = \"4000 N\"\ncentre = [\"0 m\", \"0 m\", \"{centre_z_m:?} m\"]\npicks = {{ {} }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n",
        picks.join(", ")
    );
    let ends: Vec<(String, String)> = CORNERS
        .iter()
        .map(|(name, _)| (name.to_string(), format!("plate.{name}")))
        .collect();
    let lines: Vec<_> = ends
        .iter()
        .map(|(name, pick)| (name.as_str(), name.as_str(), pick.as_str(), 4.0, stiffness_n))
        .collect();
    document(&CORNERS, &load, &lines)
}

/// Rectangular plate, centred, on four equal legs: elastic W/4 each; with one diagonal idle the other two carry W/2
/// each. Derived; the same closed form as case P20 of tests/published/mechanics-cases.toml.
#[test]
fn four_legs_share_evenly_but_two_may_carry_all() {
    let verdict = verdict(&plate(-0.3, 1e6));
    for (name, line) in &verdict.lines {
        assert_near(line.tension_n.unwrap(), 1000.0, 1e-3, name);
        // In the pose found the plate is level, so W/2 exactly.
        assert_near(line.worst_share_n.unwrap(), 2000.0, 0.5, name);
        assert_near(line.demand_n.unwrap(), line.worst_share_n.unwrap(), 1e-9, name);
    }
}

/// Two lines hold a load each at its own end: statics decides, and there is no worst share.
#[test]
fn two_lines_that_both_must_carry_have_no_worst_share() {
    let load = "[loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let verdict = verdict(&document(
        &points,
        load,
        &[("a", "a", "bar.a", 3.0, 1e6), ("b", "b", "bar.b", 3.0, 1e6)],
    ));
    for line in verdict.lines.values() {
        assert_near(line.tension_n.unwrap(), 500.0, 1e-6, "share");
        assert_eq!(line.worst_share_n, None);
    }
}

/// Three parallel lines on a stiff bar: the middle one may come to carry all, the outer two half each.
#[test]
fn the_middle_of_three_may_carry_all() {
    let load = "[loads.bar]\nweight = \"900 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-2 m\", \"0 m\", \"0 m\"], b = [\"0 m\", \"0 m\", \"0 m\"], c = [\"2 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
    let points = [
        ("a", [-2.0, 0.0, 3.0]),
        ("b", [0.0, 0.0, 3.0]),
        ("c", [2.0, 0.0, 3.0]),
    ];
    let lines = [
        ("a", "a", "bar.a", 3.0, 1e6),
        ("b", "b", "bar.b", 3.0, 1e6),
        ("c", "c", "bar.c", 3.0, 1e6),
    ];
    let verdict = verdict(&document(&points, load, &lines));
    assert_near(
        verdict.lines["b"].tension_n.unwrap(),
        300.0,
        1e-3,
        "elastic share",
    );
    assert_near(verdict.lines["b"].worst_share_n.unwrap(), 900.0, 1e-3, "middle");
    assert_near(verdict.lines["a"].worst_share_n.unwrap(), 450.0, 1e-3, "outer");
}

/// With the centre of gravity above the picks a diagonal pair alone would roll over, but a third leg that carries next to
/// nothing steadies it, and the pair still carries all: W/2 each.
#[test]
fn a_centre_above_the_picks_hides_no_share() {
    let verdict = verdict(&plate(0.15, 1e6));
    for (name, line) in &verdict.lines {
        assert_near(line.worst_share_n.unwrap(), 2000.0, 2.0, name);
    }
}

/// A ring held from four corners: 1000 N on four legs at 45 degrees is 353.6 N each, on two of them 707.1 N.
/// Triangle of forces.
#[test]
fn lines_at_a_ring_share_by_length_too() {
    let points = [
        ("a", [-3.0, 3.0, 3.0f64.hypot(3.0)]),
        ("b", [3.0, 3.0, 3.0f64.hypot(3.0)]),
        ("c", [3.0, -3.0, 3.0f64.hypot(3.0)]),
        ("d", [-3.0, -3.0, 3.0f64.hypot(3.0)]),
    ];
    let ring = "[junctions.ring]\nnear = [\"0 m\", \"0 m\", \"0 m\"]\nweight = \"1000 N\"\n";
    let lines: Vec<_> = points
        .iter()
        .map(|(name, _)| (*name, *name, "ring", 6.0, 1e9))
        .collect();
    let verdict = verdict(&document(&points, ring, &lines));
    for (name, line) in &verdict.lines {
        assert_near(line.tension_n.unwrap(), 1000.0 / 8f64.sqrt(), 1e-3, name);
        assert_near(line.worst_share_n.unwrap(), 1000.0 / 2f64.sqrt(), 1e-2, name);
    }
}

/// Nine drops on one pipe: any middle one may carry all, however many there are.
#[test]
fn more_lines_do_not_make_the_worst_share_less() {
    let names = ["a", "b", "c", "d", "e", "f", "g", "h", "i"];
    let points: Vec<_> = names
        .iter()
        .enumerate()
        .map(|(i, name)| (*name, [i as f64 - 4.0, 0.0, 3.0]))
        .collect();
    let picks: Vec<String> = points
        .iter()
        .map(|(name, [x, ..])| format!("{name} = [\"{x:?} m\", \"0 m\", \"0 m\"]"))
        .collect();
    let load = format!(
        "[loads.bar]\nweight = \"900 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\npicks = {{ {} }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n",
        picks.join(", ")
    );
    let ends: Vec<String> = names.iter().map(|name| format!("bar.{name}")).collect();
    let lines: Vec<_> = names
        .iter()
        .zip(&ends)
        .map(|(name, end)| (*name, *name, end.as_str(), 3.0, 1e6))
        .collect();
    let verdict = verdict(&document(&points, &load, &lines));
    assert_near(verdict.lines["e"].worst_share_n.unwrap(), 900.0, 0.01, "middle");
    assert_near(verdict.lines["a"].worst_share_n.unwrap(), 450.0, 0.01, "outer");
}

/// Two level guys pull against each other: no weight bounds their tension.
#[test]
fn guys_that_pull_against_each_other_are_set_by_adjustment() {
    let points = [
        ("up", [0.0, 0.0, 5.0]),
        ("left", [-4.0, 0.0, 2.0]),
        ("right", [4.0, 0.0, 2.0]),
    ];
    let knot = "[junctions.knot]\nnear = [\"0 m\", \"0 m\", \"2 m\"]\nweight = \"100 N\"\n";
    let lines = [
        ("drop", "up", "knot", 3.0, 1e6),
        ("l", "left", "knot", 4.0, 1e6),
        ("r", "right", "knot", 4.0, 1e6),
    ];
    let verdict = verdict(&document(&points, knot, &lines));
    for name in ["l", "r"] {
        assert_eq!(verdict.lines[name].worst_share_n, None);
        let subject = format!("lines.{name}");
        assert!(
            verdict
                .findings
                .iter()
                .any(|f| f.rule == "set-by-adjustment" && f.subject == subject),
            "{name}"
        );
    }
}

/// A bar on two thin lines with two stout ones beside them that are meant to be slack: the thin ones are held against
/// all of it, W/2 each.
#[test]
fn secondary_lines_are_not_counted_on() {
    let load = "[loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let lines = [
        ("a", "a", "bar.a", 3.0, 1e5),
        ("b", "b", "bar.b", 3.0, 1e5),
        ("sa", "a", "bar.a", 3.0, 1e6),
        ("sb", "b", "bar.b", 3.0, 1e6),
    ];
    let text = document(&points, load, &lines);
    let secondary = text.replace("[lines.sa]\n", "[lines.sa]\nrole = \"secondary\"\n");
    let secondary = secondary.replace("[lines.sb]\n", "[lines.sb]\nrole = \"secondary\"\n");
    let verdict = verdict(&secondary);
    for name in ["a", "b"] {
        let line = &verdict.lines[name];
        assert!(
            line.tension_n.unwrap() < 100.0,
            "the stout line beside it takes most at these lengths"
        );
        assert_near(line.worst_share_n.unwrap(), 500.0, 0.01, name);
    }
}

/// A helping force may be away: 600 N held up by 500 N is still 600 N.
#[test]
fn a_helping_force_is_not_counted_on() {
    let load = "[loads.bar]\nweight = \"600 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n\
        forces = [{ what = \"balloon\", force = [\"0 N\", \"0 N\", \"500 N\"] }]\n";
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let verdict = verdict(&document(
        &points,
        load,
        &[("a", "a", "bar.a", 3.0, 1e6), ("b", "b", "bar.b", 3.0, 1e6)],
    ));
    for (name, line) in &verdict.lines {
        assert_near(line.tension_n.unwrap(), 50.0, 1e-3, name);
        assert_near(line.worst_share_n.unwrap(), 300.0, 0.01, name);
    }
}

const ELASTIC: &str = "[practices.elastic]\ntitle = \"Elastic\"\nstatement = \"Shares as stated.\"\n\
    based_on = \"static-overhead\"\nsharing = \"elastic\"\nlooser_because = \"lengths set by load cell\"\n";

/// A practice may take the elastic share, W/4 on each of four equal legs, but not where a stated force helps: with
/// 2000 N upward at the centre each leg carries 500 N, and 1000 N when that force is away.
#[test]
fn an_elastic_practice_does_not_count_on_a_stated_force() {
    let (practices, problems) = Practices::read("shop.toml", ELASTIC);
    assert!(problems.is_empty(), "{problems:?}");
    let rig = plate(-0.3, 1e6).replace("practice = \"static-overhead\"", "practice = \"elastic\"");
    for line in verdict_under(&rig, &practices).lines.values() {
        assert_near(
            line.demand_n.unwrap(),
            1000.0,
            1e-3,
            "the elastic share is the demand",
        );
    }
    let helps = "under = \"nobody\"\nforces = [{ what = \"buoyancy\", at = [\"0 m\", \"0 m\", \"0 m\"], \
                 force = [\"0 N\", \"0 N\", \"2000 N\"] }]\n";
    let helped = verdict_under(&rig.replace("under = \"nobody\"\n", helps), &practices);
    for line in helped.lines.values() {
        assert_near(line.tension_n.unwrap(), 500.0, 1e-3, "with the force");
        assert!(line.demand_n.unwrap() >= 1000.0, "{line:?}");
    }
    assert!(
        helped
            .defaults
            .iter()
            .any(|said| said.contains("stated forces may be away"))
    );
}

/// A bucket on a line over a sheave to a cleat: with friction the cleat may get anything between W / r and W r, and the
/// line is held against the greatest; the sheave against both of its sides.
#[test]
fn friction_at_a_sheave_counts_both_ways() {
    let rig = |friction: &str| {
        format!(
            "title = \"Larkspur Library porch: a lantern on a halyard\"\npractice = \"static-overhead\"\n\
             [points.sheave]\nat = [\"0 m\", \"0 m\", \"5 m\"]\n{friction}\n\
             [points.cleat]\nat = [\"1 m\", \"0 m\", \"1 m\"]\n\
             [loads.lantern]\nweight = \"200 N\"\npicks = {{ top = [\"0 m\", \"0 m\", \"0 m\"] }}\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"2 m\"] }}\nunder = \"nobody\"\n\
             [lines.halyard]\nfrom = \"lantern.top\"\nvia = [\"sheave\"]\nto = \"cleat\"\nstiffness = \"1 MN\"\nlength = \"7.12 m\"\n"
        )
    };
    let free = verdict(&rig(""));
    assert_eq!(free.lines["halyard"].worst_share_n, None);
    let rough = verdict(&rig("friction = 1.06"));
    assert_near(
        rough.lines["halyard"].tension_n.unwrap(),
        200.0,
        1e-6,
        "without friction",
    );
    assert_near(
        rough.lines["halyard"].worst_share_n.unwrap(),
        212.0,
        1e-6,
        "as it slips towards the lantern",
    );
    // The tail is tan^-1 1/4 off the vertical.
    let down = 200.0 + 212.0 * 4.0 / 17.0_f64.sqrt();
    assert_near(
        rough.points["sheave"].demand_down_n.unwrap(),
        down,
        1e-3,
        "sheave",
    );
}

/// A heavy line over a sheave, W at h below it: the tension there is W + w h, and what the cleat gets is less by its own depth, on
/// which friction works as it does on the whole; (W + w h) r + w times what the cleat is above the sheave. Elastic catenaries keep
/// T - w z alike all along, so this is exact whatever the line sags.
#[test]
fn friction_works_on_the_weight_of_the_line_too() {
    for (cleat, sheave_to_cleat_m) in [([6.0, 0.0, 20.0], 0.0), ([0.02, 0.0, 5.0], -15.0)] {
        let rig = |friction: &str| {
            format!(
                "title = \"Larkspur Library stair well: a lantern\"\npractice = \"static-overhead\"\n\
                 [points.sheave]\nat = [\"0 m\", \"0 m\", \"20 m\"]\n{friction}\n\
                 [points.cleat]\nat = [\"{} m\", \"0 m\", \"{} m\"]\n\
                 [loads.lantern]\nweight = \"100 N\"\npicks = {{ top = [\"0 m\", \"0 m\", \"0 m\"] }}\n\
                 trim = {{ at = [\"0 m\", \"0 m\", \"2 m\"] }}\nunder = \"nobody\"\n\
                 [lines.halyard]\nfrom = \"lantern.top\"\nvia = [\"sheave\"]\nto = \"cleat\"\nstiffness = \"1 MN\"\n\
                 weight = \"0.2 kg/m\"\nlength = \"to trim\"\n",
                cleat[0], cleat[2]
            )
        };
        let w = 0.2 * 9.80665;
        let at_sheave_n = 100.0 + 18.0 * w;
        let free = verdict(&rig(""));
        // 1 MN stretches it by two hundredths of a per cent, and its weight with it.
        assert_near(
            free.lines["halyard"].tension_n.unwrap(),
            at_sheave_n,
            0.02,
            "without",
        );
        let rough = verdict(&rig("friction = 1.2"));
        let worst_n = rough.lines["halyard"].worst_share_n.unwrap();
        assert_near(worst_n, 1.2 * at_sheave_n, 0.02, "with friction");
        let cleat_n = rough.points["cleat"].demand_n.unwrap();
        let expected_n = 1.2 * at_sheave_n + w * sheave_to_cleat_m;
        // Sideways forces are bounded along sixteen directions, within 2 %.
        assert!(
            (expected_n - 0.02..1.02 * expected_n).contains(&cleat_n),
            "{cleat_n}, due {expected_n}"
        );
        let [least_n, _] = rough.lines["halyard"].slip_range_n.unwrap();
        let slack_side_n = f64::min(100.0, at_sheave_n / 1.2 + w * sheave_to_cleat_m);
        assert_near(least_n, slack_side_n, 0.02, "the least end");
    }
}

/// A weight in the middle of a flat span of dip d, both halves too short by t: the dip shrinks to sqrt(d^2 - l t), and the
/// tension grows as it shrinks.
#[test]
fn a_span_is_held_against_its_tolerance() {
    let rig = |tolerance: &str| {
        format!(
            "title = \"Larkspur Library porch: a span\"\npractice = \"static-overhead\"\n\
             [points.left]\nat = [\"-5 m\", \"0 m\", \"5 m\"]\n[points.right]\nat = [\"5 m\", \"0 m\", \"5 m\"]\n\
             [junctions.ring]\nnear = [\"0 m\", \"0 m\", \"4.5 m\"]\nweight = \"100 N\"\n\
             [lines.a]\nfrom = \"left\"\nto = \"ring\"\nstiffness = \"100 MN\"\nlength = \"5.025 m\"\nrole = \"spans\"\ntolerance = \"{tolerance}\"\n\
             [lines.b]\nfrom = \"right\"\nto = \"ring\"\nstiffness = \"100 MN\"\nlength = \"5.025 m\"\nrole = \"spans\"\ntolerance = \"{tolerance}\"\n"
        )
    };
    let verdict = verdict(&rig("5 mm"));
    // The line itself stretches by some 25 um, which is a two-thousandth of its tension.
    let tension = |length: f64| 50.0 * length / (length * length - 25.0_f64).sqrt();
    assert_near(
        verdict.lines["a"].tension_n.unwrap(),
        tension(5.025),
        0.5,
        "as drawn",
    );
    assert_near(
        verdict.lines["a"].worst_share_n.unwrap(),
        tension(5.020),
        0.7,
        "too short",
    );
    assert!(verdict.findings.iter().any(|f| f.rule == "spans"));
    assert!(!verdict.findings.iter().any(|f| f.rule == "line-angle"));
}

/// Legs that lean a little: statics alone gives each its share, since the load would turn otherwise; and it does turn, for
/// lengths off by less than any shop's tolerance. Two opposite legs come to carry as much as on plumb legs, W/2 each.
#[test]
fn legs_that_lean_a_little_share_as_plumb_ones_do() {
    let plate = |lean_m: f64| {
        let mut text = String::from(
            "title = \"Larkspur Library porch: a canopy\"\npractice = \"static-overhead\"\n[loads.canopy]\n\
             weight = \"4 kN\"\ntrim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n\
             picks = { a = [\"1.5 m\", \"1 m\", \"0 m\"], b = [\"-1.5 m\", \"1 m\", \"0 m\"], \
             c = [\"-1.5 m\", \"-1 m\", \"0 m\"], d = [\"1.5 m\", \"-1 m\", \"0 m\"] }\n\
             centre = [\"0 m\", \"0 m\", \"-0.3 m\"]\n",
        );
        for (name, [x, y]) in [
            ("a", [1.5, 1.0]),
            ("b", [-1.5, 1.0]),
            ("c", [-1.5, -1.0]),
            ("d", [1.5, -1.0]),
        ] {
            let lean = lean_m * f64::signum(x);
            text += &format!(
                "[points.{name}]\nat = [\"{} m\", \"{y} m\", \"10 m\"]\n",
                x + lean
            );
            text += &format!(
                "[lines.{name}]\nfrom = \"{name}\"\nto = \"canopy.{name}\"\nstiffness = \"1 MN\"\nweight = \"0 kg/m\"\nlength = \"to trim\"\n"
            );
        }
        verdict(&text)
    };
    for lean_m in [0.0, 0.2, 0.4, 0.6, 0.9] {
        let verdict = plate(lean_m);
        for line in verdict.lines.values() {
            let worst = line.worst_share_n.unwrap_or(0.0);
            // The two that carry lean a little more than at trim.
            assert!((1980.0..2060.0).contains(&worst), "{lean_m}: {worst}");
            assert_eq!(line.within_tolerances, lean_m > 0.5, "{lean_m}");
        }
        for point in verdict.points.values() {
            let held = point.demand_down_n.unwrap_or(0.0);
            assert!((1980.0..2060.0).contains(&held), "{lean_m}: {held}");
        }
    }
    // Legs that lean much share nearly as stated: two take a fifth more at the most.
    let verdict = plate(6.0);
    for line in verdict.lines.values() {
        let held = line.worst_share_n.or(line.tension_n).unwrap();
        assert!(held < 1.25 * line.tension_n.unwrap(), "{held}");
    }
}

/// A weight W between a line from above and a tie to the floor, each of k = 200 kN/m, and the tie barely taut. With both too
/// short by t they take up 2 t of stretch between them, so that the tie pulls k t and the line W + k t; where nobody says how
/// far off lengths may be, no figure bounds that. Derived.
#[test]
fn a_tie_to_the_floor_is_held_against_its_tolerance() {
    let rig = |tolerance: &str| {
        format!(
            "title = \"Larkspur Library porch: a lamp that must not swing\"\npractice = \"static-overhead\"\n\
             [points.up]\nat = [\"0 m\", \"0 m\", \"10 m\"]\n[points.floor]\nat = [\"0 m\", \"0 m\", \"0 m\"]\n\
             [loads.lamp]\nweight = \"1000 N\"\npicks = {{ top = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"5 m\"] }}\n\
             [lines.up]\nfrom = \"up\"\nto = \"lamp.top\"\nstiffness = \"1 MN\"\nlength = \"5 m\"\n{tolerance}\n\
             [lines.tie]\nfrom = \"lamp.top\"\nto = \"floor\"\nstiffness = \"1 MN\"\nlength = \"4.995 m\"\nrole = \"ties down\"\n{tolerance}\n"
        )
    };
    let set = |verdict: &rig::Verdict| verdict.lines.values().all(|line| line.set_by_adjustment);
    let stated = verdict(&rig("tolerance = \"2 mm\""));
    assert!(set(&stated) && stated.lines.values().all(|line| line.within_tolerances));
    for (line, expected_n) in [("up", 1400.0), ("tie", 400.0)] {
        // Lengths that differ by a thousandth make it a thousandth stiffer.
        assert_near(stated.lines[line].worst_share_n.unwrap(), expected_n, 1.5, line);
    }
    let unsaid = verdict(&rig(""));
    assert!(set(&unsaid) && unsaid.lines.values().all(|line| line.worst_share_n.is_none()));
}

/// A lantern on a line of its own that hangs from a flat span: the span's lines are set by adjustment, and the drop carries the
/// lantern whatever they pull.
#[test]
fn a_drop_from_a_span_carries_what_hangs_on_it() {
    let span = |name: &str, from: &str| {
        format!(
            "[lines.{name}]\nfrom = \"{from}\"\nto = \"ring\"\nstiffness = \"1 MN\"\nlength = \"5.002 m\"\nrole = \"spans\"\n"
        )
    };
    let text = format!(
        "title = \"Larkspur Library porch: a lantern\"\npractice = \"static-overhead\"\n\
         [points.left]\nat = [\"-5 m\", \"0 m\", \"5 m\"]\n[points.right]\nat = [\"5 m\", \"0 m\", \"5 m\"]\n\
         [junctions.ring]\nnear = [\"0 m\", \"0 m\", \"4.5 m\"]\n\
         [loads.lantern]\nweight = \"50 N\"\npicks = {{ eye = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"3 m\"] }}\n\
         {}{}[lines.drop]\nfrom = \"ring\"\nto = \"lantern.eye\"\nstiffness = \"1 MN\"\nlength = \"1.5 m\"\n",
        span("a", "left"),
        span("b", "right"),
    );
    let verdict = verdict(&text);
    let by_adjustment: Vec<&str> = verdict
        .lines
        .iter()
        .filter(|(_, line)| line.set_by_adjustment)
        .map(|(name, _)| name.as_str())
        .collect();
    assert_eq!(by_adjustment, ["a", "b"]);
    assert_near(
        verdict.lines["drop"].tension_n.unwrap(),
        50.0,
        1e-6,
        "the lantern",
    );
    assert_eq!(verdict.lines["drop"].worst_share_n, None);
}

/// A heavy line between two points that span: it is held against what it pulls at its upper end when it is shorter by its
/// tolerance, which is what it pulls there at that length.
#[test]
fn a_heavy_span_is_held_at_its_upper_end() {
    let rig = |length_m: f64| {
        verdict(&format!(
            "title = \"Larkspur Library hall: a heavy line\"\npractice = \"static-overhead\"\n\
             [points.low]\nat = [\"0 m\", \"0 m\", \"4 m\"]\n[points.high]\nat = [\"20 m\", \"0 m\", \"10 m\"]\n\
             [lines.span]\nfrom = \"low\"\nto = \"high\"\nstiffness = \"1 MN\"\nweight = \"1 kg/m\"\nrole = \"spans\"\n\
             length = \"{length_m} m\"\ntolerance = \"100 mm\"\n\
             [loads.lamp]\nweight = \"50 N\"\npicks = {{ eye = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n\
             trim = {{ at = [\"0 m\", \"5 m\", \"2 m\"] }}\n[points.p]\nat = [\"0 m\", \"5 m\", \"4 m\"]\n\
             [lines.drop]\nfrom = \"p\"\nto = \"lamp.eye\"\nstiffness = \"1 MN\"\nlength = \"2 m\"\n"
        ))
    };
    let worst_n = rig(21.3).lines["span"].worst_share_n.unwrap();
    // Its weight stays that of the length stated, half a per cent more.
    assert_near(
        worst_n,
        rig(21.2).lines["span"].tension_n.unwrap(),
        0.006 * worst_n,
        "shorter",
    );
}
