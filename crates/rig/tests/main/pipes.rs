//! Pipes that bend, from the rig file to the verdict.

use crate::{assert_near, verdict};
use rig::{Verdict, VerdictWord};

const BATTEN: &str = include_str!("../../../../examples/batten.toml");

/// A level pipe without section on upright lines of 10 m from points above its picks.
fn hung(pipe: &str, picks: &[(&str, f64)], lines: &str) -> String {
    let mut text =
        String::from("title = \"Larkspur Library porch: a batten\"\npractice = \"static-overhead\"\n");
    for (name, along_m) in picks {
        let x = along_m - 3.0;
        text += &format!("[points.{name}]\nat = [\"{x} m\", \"0 m\", \"10 m\"]\n");
        text += &format!("[lines.{name}]\nfrom = \"{name}\"\nto = \"batten.{name}\"\n{lines}\n");
    }
    let picks: Vec<String> = picks
        .iter()
        .map(|(name, along_m)| format!("{name} = \"{along_m} m\""))
        .collect();
    text + &format!(
        "[pipes.batten]\nlength = \"6 m\"\npicks = {{ {} }}\ntrim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n{pipe}\n",
        picks.join(", ")
    )
}

const LINES: &str = "stiffness = \"5 MN\"\nlength = \"to trim\"\ntolerance = \"0 mm\"";
const PIPE: &str = "EI = \"20 kN m2\"\nmass = \"0 kg/m\"";

fn batten(verdict: &Verdict) -> &rig::PipeVerdict {
    &verdict.pipes["batten"]
}

/// Simple beam with a load in its middle: M = F L / 4, d = F L^3 / 48 EI, V = F / 2 (any handbook).
#[test]
fn a_simple_beam_is_as_in_any_handbook() {
    let pipe = format!("{PIPE}\ncarries = [{{ what = \"lamp\", weight = \"200 N\", at = \"3 m\" }}]");
    let verdict = verdict(&hung(&pipe, &[("a", 1.0), ("b", 5.0)], LINES));
    let pipe = batten(&verdict);
    // Slopes of 1 in 100 change little.
    assert_near(pipe.moment_nm.most.unwrap(), 200.0 * 4.0 / 4.0, 0.05, "moment");
    assert_near(pipe.moment_nm.at_m.unwrap(), 3.0, 1e-9, "where");
    assert_near(pipe.shear_n.most.unwrap(), 100.0, 0.01, "shear");
    let deep = 200.0 * 64.0 / (48.0 * 20e3);
    let [before, between, beyond] = pipe.bays.as_slice() else {
        panic!("{:?}", pipe.bays)
    };
    assert_near(between.deflection_m.unwrap(), deep, 1e-3 * deep, "deflection");
    assert_near(between.at_m, 3.0, 1e-3, "where it sags most");
    // The overhangs of a metre go up with the slope at the picks, F L^2 / 16 EI, and count as two metres.
    for overhang in [before, beyond] {
        assert_near(
            overhang.deflection_m.unwrap(),
            200.0 * 16.0 / (16.0 * 20e3),
            1e-4,
            "overhang",
        );
        assert_near(overhang.span_m, 2.0, 1e-9, "span");
    }
}

/// Three equal picks under an even load, level: R = 3/8, 10/8, 3/8 of w l; M = w l^2 / 8 (table of continuous beams,
/// Civil Engineering Formulas, table 2.1, text seen). To trim, hangers are as good as rigid supports.
#[test]
fn to_trim_a_pipe_rests_as_on_rigid_supports() {
    let pipe = format!(
        "{PIPE}\ncarries = [{{ what = \"vinyl\", weight = \"240 N\", from = \"0 m\", to = \"6 m\" }}]"
    );
    let verdict = verdict(&hung(&pipe, &[("a", 0.0), ("b", 3.0), ("c", 6.0)], LINES));
    let reactions: Vec<f64> = ["a", "b", "c"]
        .iter()
        .map(|pick| batten(&verdict).picks[*pick].reaction_n.unwrap())
        .collect();
    for (got, wanted) in reactions.iter().zip([45.0, 150.0, 45.0]) {
        assert_near(*got, wanted, 0.01, "reaction");
    }
    assert_near(
        batten(&verdict).moment_nm.most.unwrap(),
        40.0 * 9.0 / 8.0,
        0.01,
        "moment",
    );
    for pick in verdict.loads["batten"].picks.values() {
        assert_near(pick.at_m.unwrap()[2], 0.0, 1e-4, "within 0.1 mm of its trim");
    }
}

/// A cantilever built into the wall: M = F L, d = F L^3 / 3 EI.
#[test]
fn an_end_that_is_built_in_takes_the_moment() {
    let pipe = format!(
        "{PIPE}\nbuilt_in = \"start\"\ncarries = [{{ what = \"lamp\", weight = \"30 N\", at = \"6 m\" }}]"
    );
    let slack = "stiffness = \"5 MN\"\nlength = \"12 m\"\nrole = \"secondary\"";
    let verdict = verdict(&hung(&pipe, &[("a", 6.0)], slack));
    assert_near(batten(&verdict).moment_nm.most.unwrap(), 180.0, 0.5, "moment");
    assert_near(batten(&verdict).moment_nm.at_m.unwrap(), 0.0, 1e-9, "where");
    let deep = 30.0 * 216.0 / (3.0 * 20e3);
    assert_near(
        batten(&verdict).deflection_m.most.unwrap(),
        deep,
        0.01 * deep,
        "deflection",
    );
}

/// A pipe built in at its start and propped by a line at a: a length longer by t takes t / (a^3 / 3 EI + 1 / k) off the prop, and
/// the building gets a times that more moment and as much more force (any handbook's cantilever). A dynamic factor counts on top.
#[test]
fn the_building_is_told_what_a_built_in_end_comes_to_at_its_worst() {
    let rig = |dynamic: &str| {
        let pipe = format!(
            "EI = \"600 kN m2\"\nmass = \"0 kg/m\"\nbuilt_in = \"start\"\n{dynamic}\n\
             carries = [{{ what = \"lamp\", weight = \"600 N\", at = \"6 m\" }}]"
        );
        let line = "stiffness = \"2 MN\"\nlength = \"to trim\"\ntolerance = \"4 mm\"";
        verdict(&hung(&pipe, &[("prop", 4.5)], line))
    };
    let still = rig("");
    let end = &batten(&still).built_in["start"];
    let less_n = 4e-3 / (4.5_f64.powi(3) / (3.0 * 600e3) + 10.0 / 2e6);
    // With the prop at its height the building holds the start down, so a longer line takes moment off and then turns it.
    let (here_nm, off_nm) = (600.0 * 1.5 / 2.0, 4.5 * less_n);
    let expected_nm = f64::max(off_nm - here_nm, here_nm + off_nm);
    assert_near(end.moment_nm, here_nm, 0.01 * here_nm, "at the stated lengths");
    assert_near(
        end.demand_moment_nm.unwrap(),
        expected_nm,
        0.01 * expected_nm,
        "at its worst",
    );
    let moving = rig("service = \"moving\"\ndynamic = 1.5");
    let raised = &batten(&moving).built_in["start"];
    assert_near(
        raised.demand_moment_nm.unwrap(),
        1.5 * expected_nm,
        0.015 * expected_nm,
        "moving",
    );
    let says_it = |finding: &practice::Finding| finding.says.contains("a moment of up to");
    let mut told = moving
        .findings
        .iter()
        .filter(|finding| finding.rule == "pipe-built-in");
    assert!(told.any(says_it), "{:?}", moving.findings);
}

/// A bracket alone needs no point and no line; its forces are those that the wall holds.
#[test]
fn a_pipe_that_is_built_in_hangs_by_itself() {
    let text = "title = \"Larkspur Library: a bracket for a sign\"\npractice = \"static-overhead\"\n\
                [pipes.bracket]\nlength = \"1.2 m\"\nsection = \"pipe-1-1/2-sch40\"\nbuilt_in = \"start\"\n\
                trim = { at = [\"0 m\", \"0 m\", \"3 m\"] }\nunder = \"nobody\"\nweight_from = \"weighed\"\n\
                carries = [{ what = \"sign\", weight = \"100 N\", at = \"1 m\" }]\n";
    let verdict = verdict(text);
    let bracket = &verdict.pipes["bracket"];
    let own_n = verdict.loads["bracket"].weight_n - 100.0;
    assert!(own_n > 30.0, "{own_n}");
    assert_near(
        bracket.moment_nm.most.unwrap(),
        100.0 + 0.6 * own_n,
        0.01,
        "moment",
    );
    assert_near(bracket.built_in["start"].force_n, 100.0 + own_n, 1e-3, "force");
}

/// A hinge passes no moment.
#[test]
fn a_hinge_passes_no_moment() {
    let pipe = format!(
        "{PIPE}\nsplices = [{{ at = \"4 m\", kind = \"hinge\" }}]\n\
         carries = [{{ what = \"vinyl\", weight = \"240 N\", from = \"0 m\", to = \"6 m\" }}]"
    );
    let verdict = verdict(&hung(&pipe, &[("a", 0.0), ("b", 3.0), ("c", 6.0)], LINES));
    let moment = verdict.numbers["pipes.batten.splice_1_moment"].value();
    assert_near(moment, 0.0, 1e-3, "moment at the hinge");
    // From the hinge to the far pick a simple beam of 2 m: half of its load hangs there.
    assert_near(
        batten(&verdict).picks["c"].reaction_n.unwrap(),
        40.0,
        0.02,
        "far pick",
    );
}

/// What is printed of a cut is what the beam has there: two ways to the same number.
#[test]
fn the_working_of_moment_and_shear_is_what_the_beam_has() {
    let verdict = verdict(BATTEN);
    for pipe in verdict.pipes.values() {
        let moment = verdict.numbers["pipes.batten.moment"].value();
        assert_near(moment, pipe.moment_nm.most.unwrap(), 1e-6, "moment");
    }
    let at_m = batten(&verdict).moment_nm.at_m.unwrap();
    // By hand: what is on the near side of the middle pick, with the margin of 5 %.
    let pound_n = 4.4482216152605;
    let foot_m = 0.3048;
    let own_n_per_m = 2.72 * pound_n / foot_m;
    let vinyl_n_per_m = 16.0 * pound_n / (18.0 * foot_m);
    let west_n = batten(&verdict).picks["a"].reaction_n.unwrap();
    let lamps = 24.0 * pound_n * foot_m * (6.0 + 1.0);
    let own = own_n_per_m * at_m * at_m / 2.0;
    let vinyl = vinyl_n_per_m * (at_m - foot_m).powi(2) / 2.0;
    let rope_n = verdict.numbers["lines.west.weight"].value();
    let by_hand = 1.05 * (lamps + own + vinyl) - (west_n - 0.5 * rope_n) * 8.0 * foot_m;
    // The pipe's weight per foot is rounded here.
    assert_near(
        batten(&verdict).moment_nm.most.unwrap(),
        by_hand,
        0.01 * by_hand,
        "by hand",
    );
}

/// A pick whose line is too long lifts off, and the verdict says so.
#[test]
fn a_pick_that_lifts_off_is_said() {
    let pipe = format!(
        "{PIPE}\ncarries = [{{ what = \"vinyl\", weight = \"240 N\", from = \"0 m\", to = \"6 m\" }}]"
    );
    let text = hung(&pipe, &[("a", 0.0), ("b", 3.0), ("c", 6.0)], LINES);
    let long = text
        .replacen("length = \"to trim\"", "length = \"10.2 m\"", 2)
        .replacen("length = \"to trim\"", "length = \"10 m\"", 1);
    let long = long.replacen("length = \"10.2 m\"", "length = \"10 m\"", 1);
    let verdict = verdict(&long);
    assert!(batten(&verdict).picks["b"].slack);
    assert!(verdict.findings.iter().any(|f| f.rule == "pipe-pick-lifts"));
    assert!(verdict.verdict >= VerdictWord::Caution);
}

/// Tolerance: on three stiff hangers a middle one too short by t and outer ones too long by t lift a simple beam of span
/// 2 l by 2 t: dR = 48 EI 2t / (2 l)^3, as long as all stay taut.
#[test]
fn tolerances_bring_what_the_stiffness_of_the_pipe_lets_them() {
    let pipe = format!(
        "{PIPE}\ncarries = [{{ what = \"vinyl\", weight = \"2400 N\", from = \"0 m\", to = \"6 m\" }}]"
    );
    let lines = LINES.replace("0 mm", "3 mm").replace("5 MN", "500 MN");
    let verdict = verdict(&hung(&pipe, &[("a", 0.0), ("b", 3.0), ("c", 6.0)], &lines));
    let more = 48.0 * 20e3 * 0.006 / 216.0;
    let middle = &verdict.lines["b"];
    let worst = middle.worst_share_n.unwrap() - middle.tension_n.unwrap();
    assert_near(worst, more, 0.01 * more, "middle line");
}

/// Loads on picks that carry alike: a pipe rolls about its own axis, which is said as one thing.
#[test]
fn rolling_about_its_own_axis_is_one_motion() {
    let pipe = format!("{PIPE}\ncarries = [{{ what = \"lamp\", weight = \"200 N\", at = \"3 m\" }}]");
    let verdict = verdict(&hung(&pipe, &[("a", 1.0), ("b", 5.0)], LINES));
    let rolls = verdict
        .findings
        .iter()
        .filter(|f| f.says.contains("rolls about its own axis"));
    assert_eq!(rolls.count(), 1, "{:?}", verdict.findings);
}

/// Moments of two loads together are the sum of those of each (superposition; slopes are small).
#[test]
fn moments_add_up() {
    let moment = |carries: &str| {
        let pipe = format!("{PIPE}\nsplices = [{{ at = \"2.5 m\" }}]\ncarries = [{carries}]");
        let verdict = verdict(&hung(&pipe, &[("a", 1.0), ("b", 5.0)], LINES));
        verdict.numbers["pipes.batten.splice_1_moment"].value()
    };
    let (one, other) = (
        "{ what = \"lamp\", weight = \"20 N\", at = \"2 m\" }",
        "{ what = \"vinyl\", weight = \"30 N\", from = \"1 m\", to = \"5 m\" }",
    );
    let both = moment(&format!("{one}, {other}"));
    assert_near(both, moment(one) + moment(other), 1e-4 * both, "sum");
}

/// A sign that hangs by a line from a pick bends the pipe as one that it carries there: d = F L^3 / 48 EI between the two lines that
/// hold it, however the pick is named.
#[test]
fn a_pick_from_which_something_hangs_holds_nothing_up() {
    let mut text = hung(PIPE, &[("a", 1.0), ("b", 5.0)], LINES);
    text = text.replace("picks = { a", "picks = { middle = \"3 m\", a");
    text += "[loads.sign]\nweight = \"200 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.1 m\"]\npicks = { top = [\"0 m\", \"0 m\", \"0 m\"] }\n\
             trim = { at = [\"0 m\", \"0 m\", \"-1 m\"] }\nunder = \"nobody\"\n\
             [lines.drop]\nfrom = \"batten.middle\"\nto = \"sign.top\"\nstiffness = \"5 MN\"\nlength = \"1 m\"\n";
    let verdict = verdict(&text);
    let deep = 200.0 * 64.0 / (48.0 * 20e3);
    let names: Vec<&str> = batten(&verdict)
        .bays
        .iter()
        .map(|bay| bay.name.as_str())
        .collect();
    assert_eq!(names, ["before `a`", "between `a` and `b`", "beyond `b`"]);
    let found = batten(&verdict).bays[1].deflection_m.unwrap();
    assert_near(found, deep, 1e-3 * deep, "deflection");
}

/// A beam built in at both ends: M = F L / 8 for a load in its middle, w L^2 / 12 for an even one (any handbook). As drawn it also
/// hangs like a rope between walls that give nothing, which is not counted on.
#[test]
fn between_two_walls_a_pipe_is_not_taken_for_a_rope() {
    for (carries, expected_nm) in [
        ("at = \"3 m\"", 300.0 * 6.0 / 8.0),
        ("from = \"0 m\", to = \"6 m\"", 50.0 * 36.0 / 12.0),
    ] {
        let text = format!(
            "title = \"Larkspur Library: a bar in a passage\"\npractice = \"moving-overhead\"\n[pipes.bar]\nlength = \"6 m\"\n\
             EI = \"4 kN m2\"\nEA = \"60 MN\"\nmass = \"0 kg/m\"\nbuilt_in = \"both\"\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"3 m\"] }}\nunder = \"nobody\"\nservice = \"moving\"\ndynamic = 1.5\n\
             carries = [{{ what = \"lamps\", weight = \"300 N\", {carries} }}]\n"
        );
        let verdict = verdict(&text);
        let bar = &verdict.pipes["bar"];
        assert!(bar.moment_nm.most.unwrap() < 0.85 * expected_nm);
        assert!(bar.pull_n.most.unwrap() > 1000.0);
        assert_near(
            bar.moment_nm.demand.unwrap(),
            1.5 * expected_nm,
            0.02 * expected_nm,
            "moment, with no line but with the dynamic factor",
        );
    }
}

/// A short stiff pipe between two walls in the heat: P = EA alpha dT (any handbook), 11 kN here.
#[test]
fn heat_presses_a_pipe_between_two_walls() {
    let text = "title = \"Larkspur Library: a bar in a window\"\npractice = \"static-overhead\"\ntemperature = \"10 degC\"\n\
                [pipes.bar]\nlength = \"1 m\"\nEI = \"40 kN m2\"\nEA = \"30 MN\"\nmass = \"1 kg/m\"\n\
                stretch_by_heat = \"11e-6 /K\"\nbuilt_in = \"both\"\n\
                trim = { at = [\"0 m\", \"0 m\", \"3 m\"] }\nunder = \"nobody\"\n\
                [cases.sun]\ntemperature = \"43.333 degC\"\n[cases.frost]\ntemperature = \"-23.333 degC\"\n";
    let verdict = verdict(text);
    let expected_n = 30e6 * 11e-6 * 33.333;
    let bar = &verdict.pipes["bar"];
    let sun = &verdict.cases["sun"].built_in["bar.start"].force;
    let frost = &verdict.cases["frost"].built_in["bar.start"].force;
    assert_near(sun.all.force_n[0], -expected_n, 0.01 * expected_n, "pressed");
    assert_near(frost.all.force_n[0], expected_n, 0.01 * expected_n, "pulled");
    assert_near(sun.dead.side_n, 0.0, 1.0, "dead");
    assert_near(sun.variable.side_n, expected_n, 0.01 * expected_n, "variable");
    assert!(bar.thrust_n.most.is_some() || bar.pull_n.most.is_some());
    let moments = &verdict.cases["plain"].built_in["bar.start"];
    assert_near(moments.dead_moment_nm, 9.80665 / 12.0, 0.01, "w L^2 / 12");
    assert_near(moments.variable_moment_nm, 0.0, 1e-9, "nothing besides");
}

/// Two lines at 45 degrees to the ends of a pipe pull it by as much as each holds down (force triangle).
#[test]
fn lines_that_splay_pull_a_pipe_along_its_length() {
    let text = "title = \"Larkspur Library: a bar\"\npractice = \"static-overhead\"\n\
                [points.a]\nat = [\"-3 m\", \"0 m\", \"2 m\"]\n[points.b]\nat = [\"3 m\", \"0 m\", \"2 m\"]\n\
                [pipes.bar]\nlength = \"2 m\"\nEI = \"400 kN m2\"\nEA = \"60 MN\"\nmass = \"0 kg/m\"\n\
                allows = { moment = \"5 kN m\", shear = \"2 kN\", by = \"its maker\" }\n\
                picks = { a = \"0 m\", b = \"2 m\" }\nsplices = [{ at = \"0.5 m\" }]\n\
                carries = [{ what = \"lamps\", weight = \"1000 N\", from = \"0 m\", to = \"2 m\" }]\n\
                trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n\
                [lines.a]\nfrom = \"a\"\nto = \"bar.a\"\nstiffness = \"2 MN\"\nlength = \"to trim\"\ntolerance = \"0 mm\"\n\
                [lines.b]\nfrom = \"b\"\nto = \"bar.b\"\nstiffness = \"2 MN\"\nlength = \"to trim\"\ntolerance = \"0 mm\"\n";
    let verdict = verdict(text);
    assert_near(verdict.pipes["bar"].pull_n.most.unwrap(), 500.0, 1.0, "pull");
    let told: Vec<&str> = verdict
        .findings
        .iter()
        .filter(|finding| finding.rule == "pipe-pull")
        .map(|finding| finding.says.as_str())
        .collect();
    // A tenth of its shear is 200 N; of its splice nothing is stated.
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().any(|says| says.contains("pulled apart")), "{told:?}");
}

/// A pipe of 2.4 m on a plumb line and two that lean the same way: one share each in the pose as drawn, and others with lengths off
/// by their tolerance. What each line, and the pipe, are held against is no less than what the same document comes to with such
/// lengths written into it.
#[test]
fn tolerances_count_on_a_pipe_on_lines_that_lean() {
    let rig = |off_mm: [f64; 3]| {
        let mut text =
            String::from("title = \"Larkspur Library porch: a batten\"\npractice = \"static-overhead\"\n");
        for (i, (x_m, length_m)) in [(-1.2, 3.05), (0.43, 3.0798), (1.63, 3.0798)]
            .into_iter()
            .enumerate()
        {
            text += &format!(
                "[points.q{i}]\nat = [\"{x_m} m\", \"0 m\", \"6.05 m\"]\n[lines.l{i}]\nfrom = \"q{i}\"\nto = \"batten.p{i}\"\n\
                 length = \"{:.5} m\"\nstiffness = \"1.5 MN\"\ntolerance = \"15 mm\"\n",
                length_m + 1e-3 * off_mm[i]
            );
        }
        text += "[pipes.batten]\nlength = \"2.4 m\"\nEI = \"60 kN m2\"\nmass = \"3 kg/m\"\n\
                 picks = { p0 = \"0 m\", p1 = \"1.2 m\", p2 = \"2.4 m\" }\n\
                 carries = [{ what = \"lamp\", weight = \"1800 N\", at = \"0.9 m\" }]\n\
                 trim = { at = [\"0 m\", \"0 m\", \"3 m\"] }\nunder = \"nobody\"\n";
        verdict(&text)
    };
    let stated = rig([0.0; 3]);
    let mut most = ([0.0_f64; 3], 0.0_f64);
    for corner in 0..8 {
        let off = [0, 1, 2].map(|i| if corner >> i & 1 == 1 { 15.0 } else { -15.0 });
        let there = rig(off);
        for (i, most_n) in most.0.iter_mut().enumerate() {
            *most_n = most_n.max(there.lines[i].tension_n.unwrap());
        }
        most.1 = most.1.max(batten(&there).moment_nm.most.unwrap());
    }
    for (i, most_n) in most.0.into_iter().enumerate() {
        let held_n = stated.lines[i].demand_n.unwrap();
        // Less than a twentieth more is as found (docs/theory/sharing.md).
        assert!(1.05 * held_n > most_n, "l{i}: {held_n} {most_n}");
    }
    let held_nm = batten(&stated).moment_nm.demand.unwrap();
    assert_near(held_nm, most.1, 1e-3 * most.1, "moment");
    // And that is far more than as drawn.
    assert!(most.0[1] > 5.0 * stated.lines["l1"].tension_n.unwrap());
}

/// M = F L / 4 without the lift that takes most of it away, which may not be there (any handbook's simple beam).
#[test]
fn a_force_that_helps_a_pipe_may_be_away() {
    let pipe = format!(
        "{PIPE}\ncarries = [{{ what = \"lamp\", weight = \"200 N\", at = \"3 m\" }}]\n\
         forces = [{{ what = \"balloon\", force = [\"0 N\", \"0 N\", \"150 N\"], at = [\"0 m\", \"0 m\", \"0 m\"] }}]"
    );
    let verdict = verdict(&hung(&pipe, &[("a", 1.0), ("b", 5.0)], LINES));
    let moment = &batten(&verdict).moment_nm;
    assert_near(moment.most.unwrap(), 50.0, 0.1, "with it");
    assert_near(moment.demand.unwrap(), 200.0, 0.2, "without it");
}

/// One line over two sheaves to the picks a and b of a pipe, one at c: with a ratio of 1.2 at each sheave b has 1.44 of the tension at a
/// or the other way, and statics of the pipe does the rest.
#[test]
fn friction_at_sheaves_bends_a_pipe() {
    let ratio = 1.2_f64 * 1.2;
    let text = "title = \"Larkspur Library stage: a batten\"\npractice = \"static-overhead\"\n\
                [points.s1]\nat = [\"0 m\", \"0 m\", \"6 m\"]\nfriction = 1.2\ndiameter = \"150 mm\"\n\
                [points.s2]\nat = [\"1.2 m\", \"0 m\", \"6 m\"]\nfriction = 1.2\ndiameter = \"150 mm\"\n\
                [points.c]\nat = [\"2.4 m\", \"0 m\", \"6 m\"]\n\
                [pipes.batten]\nlength = \"2.4 m\"\nEI = \"90 kN m2\"\nmass = \"0 kg/m\"\n\
                picks = { a = \"0 m\", b = \"1.2 m\", c = \"2.4 m\" }\n\
                carries = [{ what = \"lamp\", weight = \"900 N\", at = \"0.75 m\" }, { what = \"lamp\", weight = \"900 N\", at = \"1.65 m\" }]\n\
                trim = { at = [\"1.2 m\", \"0 m\", \"3 m\"] }\nunder = \"nobody\"\n\
                [lines.e]\nfrom = \"batten.a\"\nto = \"batten.b\"\nvia = [\"s1\", \"s2\"]\nstiffness = \"4 MN\"\nlength = \"7.197 m\"\n\
                [lines.c]\nfrom = \"c\"\nto = \"batten.c\"\nstiffness = \"4 MN\"\nlength = \"3 m\"\ntolerance = \"0 mm\"\n";
    let verdict = verdict(text);
    // With tensions t at a and k t at b: moments about c give t (2.4 + 1.2 k) = 900 x 1.65 + 900 x 0.75.
    let moment_nm = |k: f64| {
        let at_a_n = 900.0 * 2.4 / (2.4 + 1.2 * k);
        let at_c_n = 1800.0 - at_a_n * (1.0 + k);
        let under = [0.75 * at_a_n, 1.2 * at_a_n - 900.0 * 0.45, 0.75 * at_c_n];
        under.into_iter().map(f64::abs).fold(0.0, f64::max)
    };
    let expected_nm = moment_nm(ratio).max(moment_nm(1.0 / ratio));
    let moment = &batten(&verdict).moment_nm;
    assert_near(moment.most.unwrap(), moment_nm(1.0), 1.0, "without friction");
    assert_near(
        moment.demand.unwrap(),
        expected_nm,
        2e-3 * expected_nm,
        "about to slip",
    );
    assert!(expected_nm > 1.05 * moment_nm(1.0));
}
