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

/// A makeup of line, stiffness and weight alone, between two ends.
fn line_between(name: &str, from: &str, to: &str, more: &str) -> String {
    format!("[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\n{LINE}\n{more}\n")
}

fn load(name: &str, weight_n: f64, centre: [f64; 3], at: [f64; 3], picks: &str) -> String {
    format!(
        "[loads.{name}]\nweight = \"{weight_n} N\"\ncentre = [\"{} m\", \"{} m\", \"{} m\"]\n\
         trim = {{ at = [\"{} m\", \"{} m\", \"{} m\"] }}\nunder = \"nobody\"\npicks = {{ {picks} }}\n",
        centre[0], centre[1], centre[2], at[0], at[1], at[2]
    )
}

fn point(name: &str, at: [f64; 3]) -> String {
    format!(
        "[points.{name}]\nat = [\"{} m\", \"{} m\", \"{} m\"]\n",
        at[0], at[1], at[2]
    )
}

fn rig_of(parts: &[String]) -> Verdict {
    let title = "title = \"Larkspur Library: a row of frames\"\npractice = \"static-overhead\"\n";
    verdict(&(title.to_string() + &parts.concat()))
}

/// Every line to trim has its length, and none is limp.
fn assert_found(verdict: &Verdict) {
    let given_up = |sentence: &&String| sentence.contains("no lengths were found");
    assert_eq!(verdict.defaults.iter().find(given_up), None);
    for (name, line) in &verdict.lines {
        assert!(!line.slack, "{name}");
    }
}

/// How far the picks of a load are off heights, at the most, metres.
fn off_level_m(verdict: &Verdict, load: &str, height_m: f64) -> f64 {
    let picks = verdict.loads[load].picks.values();
    picks
        .map(|pick| (pick.at_m.unwrap()[2] - height_m).abs())
        .fold(0.0, f64::max)
}

/// Two frames one under the other, the lower one on three lines in a row and heavier at one end: each hangs where it is drawn,
/// and the shares of the three have the least sum of squares.
#[test]
fn a_frame_under_a_frame_in_a_row() {
    let row = "x = [\"-0.8 m\", \"0 m\", \"0 m\"], y = [\"0.8 m\", \"0 m\", \"0 m\"], z = [\"0 m\", \"0 m\", \"0 m\"]";
    let verdict = rig_of(&[
        point("p", [-1.0, 0.0, 10.0]),
        point("q", [1.0, 0.0, 10.0]),
        load(
            "upper",
            300.0,
            [0.0, 0.0, -0.2],
            [0.0, 0.0, 8.0],
            &format!("w = [\"-1 m\", \"0 m\", \"0 m\"], e = [\"1 m\", \"0 m\", \"0 m\"], {row}"),
        ),
        load("lower", 200.0, [0.1, 0.0, -0.2], [0.0, 0.0, 6.0], row),
        line_between("a", "p", "upper.w", ""),
        line_between("b", "q", "upper.e", ""),
        line_between("c", "upper.x", "lower.x", ""),
        line_between("d", "upper.y", "lower.y", ""),
        line_between("e", "upper.z", "lower.z", ""),
    ]);
    assert_found(&verdict);
    assert!(off_level_m(&verdict, "upper", 8.0) < 1e-5 && off_level_m(&verdict, "lower", 6.0) < 1e-5);
    // Shares W/3 + b x with the moment W 0.1 = 2 b 0.8^2; at the upper end the line's own 0.1 kg/m besides.
    let (lean_n, own_n) = (200.0 * 0.1 / (2.0 * 0.8), 0.2 * 9.80665);
    for (name, share_n) in [("c", -lean_n), ("d", lean_n), ("e", 0.0)] {
        let tension_n = verdict.lines[name].tension_n.unwrap();
        assert_near(tension_n, 200.0 / 3.0 + share_n + own_n, 0.05, name);
    }
}

/// Lines down to the floor, to trim as well: they are taut, and no more.
#[test]
fn tie_downs_are_just_taut() {
    let verdict = rig_of(&[
        point("p", [-2.0, 0.0, 10.0]),
        point("q", [2.0, 0.0, 10.0]),
        point("r", [-2.0, 0.0, 0.0]),
        point("s", [2.0, 0.0, 0.0]),
        load(
            "panel",
            500.0,
            [0.0, 0.0, -0.5],
            [0.0, 0.0, 5.0],
            "w = [\"-2 m\", \"0 m\", \"0 m\"], e = [\"2 m\", \"0 m\", \"0 m\"]",
        ),
        line_between("a", "p", "panel.w", ""),
        line_between("b", "q", "panel.e", ""),
        line_between("c", "panel.w", "r", "role = \"ties down\""),
        line_between("d", "panel.e", "s", "role = \"ties down\""),
    ]);
    assert_found(&verdict);
    assert!(off_level_m(&verdict, "panel", 5.0) < 1e-5);
    let pulls = ["c", "d"].map(|name| verdict.lines[name].tension_n.unwrap());
    assert!(pulls.iter().all(|pull| *pull > 1.0 && *pull < 10.0), "{pulls:?}");
}

/// A light sign on heavy ropes that slant: they hang through and are longer than their way, and carry it all the same.
#[test]
fn a_light_sign_on_heavy_ropes() {
    let heavy = |name: &str, from: &str| {
        line_between(name, from, "sign.p", "").replace("weight = \"0.1 kg/m\"", "weight = \"0.2 kg/m\"")
    };
    let verdict = rig_of(&[
        point("p", [-3.0, 0.0, 10.0]),
        point("q", [3.0, 0.0, 10.0]),
        load(
            "sign",
            40.0,
            [0.0, 0.0, -0.2],
            [0.0, 0.0, 8.0],
            "p = [\"0 m\", \"0 m\", \"0 m\"]",
        ),
        heavy("a", "p"),
        heavy("b", "q"),
    ]);
    assert_found(&verdict);
    assert!(off_level_m(&verdict, "sign", 8.0) < 1e-5);
    let line = &verdict.lines["a"];
    assert!(line.unloaded_length_m > 13.0_f64.sqrt() && line.tension_n.unwrap() > 20.0);
}

/// A limber pipe on a row of lines, the middle one of a stated length that is a centimetre short: the outer picks are brought to
/// their heights, and the middle is as high as its line holds it.
#[test]
fn beside_a_stated_length_the_others_are_found() {
    let pipe = "[pipes.batten]\nlength = \"6 m\"\nEI = \"6000 N m2\"\nEA = \"1e8 N\"\nGJ = \"20000 N m2\"\nmass = \"4 kg/m\"\n\
                carries = [{ what = \"lamp\", weight = \"500 N\", at = \"2 m\" }]\n\
                picks = { w = \"1 m\", m = \"3 m\", e = \"5 m\" }\n\
                trim = { at = [\"0 m\", \"0 m\", \"7 m\"] }\nunder = \"nobody\"\n"
        .to_string();
    let middle = line_between("m", "m", "batten.m", "").replace("to trim", "2.99 m");
    let verdict = rig_of(&[
        point("w", [-2.0, 0.0, 10.0]),
        point("m", [0.0, 0.0, 10.0]),
        point("e", [2.0, 0.0, 10.0]),
        pipe,
        line_between("w", "w", "batten.w", ""),
        middle,
        line_between("e", "e", "batten.e", ""),
    ]);
    assert_found(&verdict);
    let picks = &verdict.loads["batten"].picks;
    let height = |pick: &str| picks[pick].at_m.unwrap()[2];
    assert!((height("w") - 7.0).abs() < 1e-5 && (height("e") - 7.0).abs() < 1e-5);
    let middle = &verdict.lines["m"];
    let stretch_m = (middle.tension_n.unwrap() - 0.5 * 3.0 * 0.0981) * 2.99 / 400e3;
    assert_near(height("m"), 10.0 - 2.99 - stretch_m, 1e-4, "middle");
    assert!(height("m") > 7.004);
    let missed = verdict
        .findings
        .iter()
        .filter(|finding| finding.rule == "out-of-trim");
    let missed: Vec<_> = missed
        .map(|finding| (finding.subject.as_str(), &finding.says))
        .collect();
    assert!(
        matches!(missed.as_slice(), [("pipes.batten", says)] if says.contains("`batten.m`") && says.contains("too high")),
        "{missed:?}"
    );
}

/// What a line is made to is its length in the plain rig, whatever stage or case decides on it.
#[test]
fn lengths_are_those_of_the_plain_rig() {
    let plain = plate(
        &[
            [1.0, 0.75, 4.0],
            [-1.0, 0.75, 4.0],
            [-1.0, -0.75, 4.0],
            [1.0, -0.75, 4.0],
        ],
        [0.0, 0.0],
        2000.0,
        LINE,
    );
    let more = "[stages.lowered]\nhangs = [\"plate\"]\ntrim = { plate = [\"0 m\", \"0 m\", \"-3 m\"] }\n\
                [cases.cold]\ntemperature = \"-20 degC\"\n[cases.heavy]\nweights = [{ what = \"snow\", on = \"plate\", weight = \"500 N\" }]\n";
    let (alone, with_cases) = (verdict(&plain), verdict(&(plain + more)));
    for (name, line) in &with_cases.lines {
        assert!(line.case.is_some(), "{name} is decided by a case");
        assert_near(
            line.unloaded_length_m,
            alone.lines[name].unloaded_length_m,
            1e-9,
            name,
        );
        let lowered = &with_cases.cases["lowered"].lines[name];
        assert_near(
            lowered.unloaded_length_m - line.unloaded_length_m,
            3.0,
            1e-2,
            name,
        );
    }
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(43), failure_persistence: None, cases: 40, ..Config::default() })]

    /// Legs that lean any way: the plate is level at its height within 0.1 mm, wherever it comes to rest aside.
    #[test]
    fn level_on_legs_that_lean(
        legs in 3_usize..=4,
        leans in prop::array::uniform4((-0.5_f64..0.5, -0.5_f64..0.5, 2.0_f64..7.0)),
        centre in (-0.1_f64..0.1, -0.1_f64..0.1),
        weight_n in 300.0_f64..6000.0,
    ) {
        let corners = [[1.0, 0.75], [-1.0, 0.75], [-1.0, -0.75], [1.0, -0.75]];
        let points: Vec<[f64; 3]> = corners
            .iter()
            .zip(leans)
            .take(legs)
            .map(|([x, y], (along, across, up))| [x + along, y + across, up])
            .collect();
        let centre = if legs == 3 { [-0.33 + centre.0, 0.25 + centre.1] } else { [centre.0, centre.1] };
        let verdict = verdict(&plate(&points, centre, weight_n, LINE));
        prop_assert!(off_level_m(&verdict, "plate", 0.0) < 1e-4, "{:?}", verdict.loads["plate"]);
    }

    /// Three frames under one another, each on two to four lines of the one above, with its centre anywhere between them:
    /// each hangs where it is drawn within 0.1 mm.
    #[test]
    fn frames_under_one_another(
        counts in (3_usize..=4, 3_usize..=4, 2_usize..=4),
        weights in prop::array::uniform3(50.0_f64..2000.0),
        centres in prop::array::uniform3((-0.4_f64..0.4, -0.2_f64..0.2)),
    ) {
        let counts = [counts.0, counts.1, counts.2];
        let places = |count: usize| match count {
            2 => vec![[1.0, 0.0], [-1.0, 0.0]],
            3 => vec![[1.0, 0.75], [-1.0, 0.75], [0.0, -0.75]],
            _ => vec![[1.0, 0.75], [-1.0, 0.75], [-1.0, -0.75], [1.0, -0.75]],
        };
        let mut parts = Vec::new();
        // Each frame's weight acts at the middle of the lines that hold it, and a little off it.
        let middle = |count: usize| {
            let at = places(count);
            [0, 1].map(|axis| at.iter().map(|place| place[axis]).sum::<f64>() / count as f64)
        };
        let above_m = [0.0, 0.0];
        for (i, count) in counts.into_iter().enumerate() {
            let at = places(count);
            let [x, y] = middle(count);
            let (dx, dy) = (0.3 * centres[i].0, if count == 2 { 0.0 } else { 0.3 * centres[i].1 });
            let holds = at.iter().enumerate().map(|(k, [x, y])| format!("t{k} = [\"{x} m\", \"{y} m\", \"0 m\"]"));
            let below = counts.get(i + 1).map_or(Vec::new(), |below| places(*below));
            let bears = below.iter().enumerate().map(|(k, [x, y])| format!("b{k} = [\"{x} m\", \"{y} m\", \"0 m\"]"));
            let picks: Vec<String> = holds.chain(bears).collect();
            let height = 8.0 - 2.0 * i as f64;
            parts.push(load(
                &format!("frame{i}"),
                weights[i],
                [x + dx, y + dy, -0.3],
                [above_m[0], above_m[1], height],
                &picks.join(", "),
            ));
            for (k, [x, y]) in at.iter().enumerate() {
                let from = if i == 0 {
                    parts.push(point(&format!("p{k}"), [*x, *y, 10.0]));
                    format!("p{k}")
                } else {
                    format!("frame{}.b{k}", i - 1)
                };
                parts.push(line_between(&format!("l{i}{k}"), &from, &format!("frame{i}.t{k}"), ""));
            }
        }
        let verdict = rig_of(&parts);
        for (i, _) in counts.iter().enumerate() {
            let off = off_level_m(&verdict, &format!("frame{i}"), 8.0 - 2.0 * i as f64);
            prop_assert!(off < 1e-4, "frame{i}: {off}");
        }
    }

    /// A pipe on two to five picks with loads anywhere between them: straight through its picks within 0.1 mm, unless a line
    /// would have to push; and then no line is limp.
    #[test]
    fn a_pipe_straight_through_its_picks(
        picks in 2_usize..=5,
        loads in prop::collection::vec((0.05_f64..0.95, 50.0_f64..800.0), 0..3),
        bending in 2e3_f64..2e5,
    ) {
        let at = |i: usize| 0.5 + 5.0 * i as f64 / (picks - 1) as f64;
        let names: Vec<String> = (0..picks).map(|i| format!("p{i} = \"{} m\"", at(i))).collect();
        let carries: Vec<String> = loads
            .iter()
            .map(|(share, weight)| format!("{{ what = \"lamp\", weight = \"{weight} N\", at = \"{} m\" }}", 0.5 + 5.0 * share))
            .collect();
        let mut parts = vec![format!(
            "[pipes.batten]\nlength = \"6 m\"\nEI = \"{bending} N m2\"\nEA = \"1e8 N\"\nGJ = \"20000 N m2\"\nmass = \"6 kg/m\"\n\
             carries = [{}]\npicks = {{ {} }}\ntrim = {{ at = [\"0 m\", \"0 m\", \"7 m\"] }}\nunder = \"nobody\"\n",
            carries.join(", "),
            names.join(", ")
        )];
        for i in 0..picks {
            parts.push(point(&format!("q{i}"), [at(i) - 3.0, 0.0, 10.0]));
            parts.push(line_between(&format!("l{i}"), &format!("q{i}"), &format!("batten.p{i}"), ""));
        }
        let verdict = rig_of(&parts);
        let pulls: Vec<f64> = verdict.lines.values().map(|line| line.tension_n.unwrap_or(0.0)).collect();
        let least = pulls.iter().copied().fold(f64::INFINITY, f64::min);
        let off = off_level_m(&verdict, "batten", 7.0);
        prop_assert!(verdict.lines.values().all(|line| !line.slack), "{pulls:?}");
        prop_assert!(off < 1e-4 || least < 20.0, "{off}: {pulls:?}");
    }
}

/// A plate under two hooks, two legs each, with its centre off both of its axes: the hooks' line is an axis about which it swings,
/// so its centre hangs under that line, and it is level and headed as drawn. Moments about the other axis share the weight
/// between the hooks by where the centre is.
#[test]
fn a_plate_under_two_hooks_keeps_its_heading() {
    let picks = "a = [\"-1 m\", \"-0.6 m\", \"0 m\"], b = [\"1 m\", \"-0.6 m\", \"0 m\"], \
                 c = [\"1 m\", \"0.6 m\", \"0 m\"], d = [\"-1 m\", \"0.6 m\", \"0 m\"]";
    for centre in [[0.1, 0.06], [-0.05, 0.1], [0.2, -0.15]] {
        let verdict = rig_of(&[
            point("w", [-1.2, 0.0, 4.0]),
            point("e", [1.2, 0.0, 4.0]),
            load(
                "plate",
                1400.0,
                [centre[0], centre[1], -0.1],
                [0.0, 0.0, 3.0],
                picks,
            ),
            line_between("a", "w", "plate.a", ""),
            line_between("b", "e", "plate.b", ""),
            line_between("c", "e", "plate.c", ""),
            line_between("d", "w", "plate.d", ""),
        ]);
        assert_found(&verdict);
        let plate = &verdict.loads["plate"];
        assert!(off_level_m(&verdict, "plate", 3.0) < 1e-5);
        assert!(plate.turned_deg.unwrap() < 0.01, "{centre:?}: {plate:?}");
        assert_near(
            plate.at_m.unwrap()[1],
            -centre[1],
            1e-3,
            "under the line of the hooks",
        );
        // About the west hook: W (1.2 + x) = 2.4 times what the east hook gets, without the lines' own weight.
        let x_m = plate.at_m.unwrap()[0] + centre[0];
        let east_n = verdict.points["e"].down_n.unwrap();
        assert_near(east_n, 1400.0 * (1.2 + x_m) / 2.4, 4.0, "east hook");
    }
}
