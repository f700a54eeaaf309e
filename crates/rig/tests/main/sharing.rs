//! The worst share, against the closed form of a plate on four legs.

use crate::{assert_near, document, verdict};

const CORNERS: [(&str, [f64; 3]); 4] =
    [("a", [-1.5, -1.0, 4.0]), ("b", [1.5, -1.0, 4.0]), ("c", [1.5, 1.0, 4.0]), ("d", [-1.5, 1.0, 4.0])];

fn plate(centre_z_m: f64, stiffness_n: f64) -> String {
    let picks: Vec<String> =
        CORNERS.iter().map(|(name, [x, y, _])| format!("{name} = [\"{x:?} m\", \"{y:?} m\", \"0 m\"]")).collect();
    let load = format!(
        "[loads.plate]\nweight = \"4000 N\"\ncentre = [\"0 m\", \"0 m\", \"{centre_z_m:?} m\"]\npicks = {{ {} }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n",
        picks.join(", ")
    );
    let ends: Vec<(String, String)> = CORNERS.iter().map(|(name, _)| (name.to_string(), format!("plate.{name}"))).collect();
    let lines: Vec<_> =
        ends.iter().map(|(name, pick)| (name.as_str(), name.as_str(), pick.as_str(), 4.0, stiffness_n)).collect();
    document(&CORNERS, &load, &lines)
}

/// Rectangular plate, centred, on four equal legs: elastic W/4 each; with one diagonal idle the other two carry W/2
/// each. Derived; the same closed form as case P20 of tests/published/mechanics-cases.toml.
#[test]
fn four_legs_share_evenly_but_two_may_carry_all() {
    let verdict = verdict(&plate(-0.3, 1e6));
    for (name, line) in &verdict.lines {
        assert_near(line.tension_n.unwrap(), 1000.0, 1e-3, name);
        // The idle diagonal makes the other two stretch and the plate hang 8 mm lower: no tilt, so W/2 exactly.
        assert_near(line.worst_share_n.unwrap(), 2000.0, 0.5, name);
        assert_near(line.demand_n.unwrap(), line.worst_share_n.unwrap(), 1e-9, name);
    }
}

/// Two lines hold a load each at its own end: neither can go idle, and there is no worst share.
#[test]
fn two_lines_that_both_must_carry_have_no_worst_share() {
    let load = "[loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let verdict = verdict(&document(&points, load, &[("a", "a", "bar.a", 3.0, 1e6), ("b", "b", "bar.b", 3.0, 1e6)]));
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
    let points = [("a", [-2.0, 0.0, 3.0]), ("b", [0.0, 0.0, 3.0]), ("c", [2.0, 0.0, 3.0])];
    let lines = [("a", "a", "bar.a", 3.0, 1e6), ("b", "b", "bar.b", 3.0, 1e6), ("c", "c", "bar.c", 3.0, 1e6)];
    let verdict = verdict(&document(&points, load, &lines));
    assert_near(verdict.lines["b"].tension_n.unwrap(), 300.0, 1e-3, "elastic share");
    assert_near(verdict.lines["b"].worst_share_n.unwrap(), 900.0, 1e-3, "middle");
    assert_near(verdict.lines["a"].worst_share_n.unwrap(), 450.0, 1e-3, "outer");
}
