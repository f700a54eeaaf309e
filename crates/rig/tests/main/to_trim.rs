//! Lengths that put everything at its trim.

use crate::{assert_near, verdict};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use rig::Verdict;

/// A plate of 2 x 1.5 m on legs from points above, each point moved as told.
fn plate(points: &[[f64; 3]], centre: [f64; 2], weight_n: f64, line: &str) -> String {
    let corners = [[1.0, 0.75], [-1.0, 0.75], [-1.0, -0.75], [1.0, -0.75]];
    let mut text = format!(
        "title = \"Larkspur Library porch: a plate\"\npractice = \"static-overhead\"\n[loads.plate]\n\
         weight = \"{weight_n} N\"\ncentre = [\"{} m\", \"{} m\", \"-0.3 m\"]\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\npicks = {{ ",
        centre[0], centre[1]
    );
    for (i, [x, y]) in corners.iter().enumerate().take(points.len()) {
        text += &format!("p{i} = [\"{x} m\", \"{y} m\", \"0 m\"], ");
    }
    text = text.trim_end_matches(", ").to_string() + " }\n";
    for (i, [x, y, z]) in points.iter().enumerate() {
        text += &format!("[points.q{i}]\nat = [\"{x} m\", \"{y} m\", \"{z} m\"]\n");
        text += &format!("[lines.l{i}]\nfrom = \"q{i}\"\nto = \"plate.p{i}\"\n{line}\n");
    }
    text
}

const LINE: &str = "stiffness = \"400 kN\"\nweight = \"0.1 kg/m\"\nlength = \"to trim\"";

fn off_m(verdict: &Verdict) -> f64 {
    verdict.loads["plate"].from_trim_m.unwrap()
}

/// Four upright legs under a plate whose centre is in its middle: a quarter each, which is as even as can be.
#[test]
fn four_legs_share_evenly() {
    let corners = [
        [1.0, 0.75, 4.0],
        [-1.0, 0.75, 5.0],
        [-1.0, -0.75, 3.0],
        [1.0, -0.75, 6.0],
    ];
    let verdict = verdict(&plate(
        &corners,
        [0.0, 0.0],
        2000.0,
        &LINE.replace("weight = \"0.1 kg/m\"\n", ""),
    ));
    for line in verdict.lines.values() {
        assert_near(line.tension_n.unwrap(), 500.0, 0.01, "quarter");
    }
    assert!(off_m(&verdict) < 1e-5, "{}", off_m(&verdict));
}

/// With the centre off by (x, y) in a rectangle of picks 2a x 2b the shares with the least sum of squares are
/// W/4 (1 +- x/a +- y/b).
#[test]
fn shares_of_an_uneven_plate_have_the_least_sum_of_squares() {
    let corners = [
        [1.0, 0.75, 4.0],
        [-1.0, 0.75, 4.0],
        [-1.0, -0.75, 4.0],
        [1.0, -0.75, 4.0],
    ];
    let verdict = verdict(&plate(
        &corners,
        [0.2, -0.15],
        2000.0,
        &LINE.replace("weight = \"0.1 kg/m\"\n", ""),
    ));
    let wanted = [1.0 + 0.2 - 0.2, 1.0 - 0.2 - 0.2, 1.0 - 0.2 + 0.2, 1.0 + 0.2 + 0.2];
    for (line, share) in verdict.lines.values().zip(wanted) {
        assert_near(line.tension_n.unwrap(), 500.0 * share, 0.05, "share");
    }
    assert!(verdict.loads["plate"].tilt_deg.unwrap() < 1e-4);
}

/// A centre outside of three of the legs: the fourth would have to push, and is kept just taut instead.
#[test]
fn a_line_that_would_have_to_push_is_kept_taut() {
    let corners = [
        [1.0, 0.75, 4.0],
        [-1.0, 0.75, 4.0],
        [-1.0, -0.75, 4.0],
        [1.0, -0.75, 4.0],
    ];
    let verdict = verdict(&plate(&corners, [0.8, 0.6], 2000.0, LINE));
    assert!(off_m(&verdict) < 1e-4, "{}", off_m(&verdict));
    for line in verdict.lines.values() {
        assert!(line.tension_n.unwrap() > 2.0, "{:?}", line.tension_n);
    }
}

/// A length stated as found gives the same rig again.
#[test]
fn the_lengths_found_are_lengths_one_may_state() {
    let corners = [
        [1.3, 0.75, 4.0],
        [-1.0, 0.9, 5.0],
        [-1.2, -0.75, 3.0],
        [1.0, -0.75, 6.0],
    ];
    let text = plate(&corners, [0.1, 0.1], 900.0, LINE);
    let found = verdict(&text);
    let mut stated = text;
    for line in found.lines.values() {
        let length = format!("length = \"{:.9} m\"", line.unloaded_length_m);
        stated = stated.replacen("length = \"to trim\"", &length, 1);
    }
    let again = verdict(&stated);
    for (name, line) in &found.lines {
        assert_near(
            again.lines[name].tension_n.unwrap(),
            line.tension_n.unwrap(),
            1e-2,
            name,
        );
    }
}

/// Stated forces come and go: lengths are found without them.
#[test]
fn stated_forces_change_no_length() {
    let corners = [
        [1.0, 0.75, 4.0],
        [-1.0, 0.75, 4.0],
        [-1.0, -0.75, 4.0],
        [1.0, -0.75, 4.0],
    ];
    let still = plate(&corners, [0.0, 0.0], 2000.0, LINE);
    let draught = "forces = [{ what = \"draught\", force = [\"40 N\", \"0 N\", \"0 N\"] }]\npicks";
    let pushed = verdict(&still.replacen("picks", draught, 1));
    let still = verdict(&still);
    for (name, line) in &still.lines {
        assert_near(
            pushed.lines[name].unloaded_length_m,
            line.unloaded_length_m,
            1e-9,
            name,
        );
    }
    assert!(off_m(&still) < 1e-5 && off_m(&pushed) > 1e-3);
}

/// A point that gives is reached for.
#[test]
fn a_point_that_gives_is_allowed_for() {
    let corners = [
        [1.0, 0.75, 4.0],
        [-1.0, 0.75, 4.0],
        [-1.0, -0.75, 4.0],
        [1.0, -0.75, 4.0],
    ];
    let text = plate(&corners, [0.0, 0.0], 2000.0, LINE).replacen(
        "[points.q2]\n",
        "[points.q2]\ngives = \"10 mm/kN\"\n",
        1,
    );
    let verdict = verdict(&text);
    assert!(off_m(&verdict) < 1e-4, "{}", off_m(&verdict));
    let (gives, rigid) = (&verdict.lines["l2"], &verdict.lines["l0"]);
    // 5 mm of give, and a little for the weight of the line, are taken out of the length.
    assert_near(
        rigid.unloaded_length_m - gives.unloaded_length_m,
        0.005,
        1e-4,
        "shorter by the give",
    );
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(41), failure_persistence: None, cases: 60, ..Config::default() })]

    /// Wherever the points are above the plate, three or four legs bring it to its trim within 0.1 mm, and level.
    #[test]
    fn within_a_tenth_of_a_millimetre(
        legs in 3_usize..=4,
        shifts in prop::array::uniform4((-0.15_f64..0.15, -0.15_f64..0.15, 2.0_f64..7.0)),
        centre in (-0.15_f64..0.15, -0.1_f64..0.1),
        weight_n in 300.0_f64..6000.0,
        stiffness in 1e5_f64..2e6,
    ) {
        let corners = [[1.0, 0.75], [-1.0, 0.75], [-1.0, -0.75], [1.0, -0.75]];
        let points: Vec<[f64; 3]> = corners
            .iter()
            .zip(shifts)
            .take(legs)
            // Leaning in alike, so that upright forces alone hold it where it is drawn.
            .map(|([x, y], (_, _, up))| [*x, *y, up])
            .collect();
        let centre = if legs == 3 { [-0.2 + 0.3 * centre.0, 0.1 + 0.3 * centre.1] } else { [centre.0, centre.1] };
        let line = LINE.replace("400 kN", &format!("{stiffness} N"));
        let verdict = verdict(&plate(&points, centre, weight_n, &line));
        prop_assert!(off_m(&verdict) < 1e-4, "{} from trim", off_m(&verdict));
        prop_assert!(verdict.loads["plate"].tilt_deg.unwrap() < 0.01);
    }
}
