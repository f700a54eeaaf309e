//! A rig is held against every other way that it may hang: what a document is judged by is no milder than what the same document is
//! judged by with one of these ways written into it. Nothing outside is compared with here; what makes the two alike is statics.

use crate::verdict;
use rig::Verdict;

/// What tolerances bring is counted from a twentieth on (docs/theory/sharing.md).
const COUNTS: f64 = 0.95;

/// Holds that nothing of a verdict is milder than of another that has the same lines, points and pipes.
fn assert_no_milder(plain: &Verdict, written_in: &Verdict, what: &str) {
    let hold = |of: String, plain: Option<f64>, written: Option<f64>| {
        let (plain, written) = (plain.unwrap_or(0.0), written.unwrap_or(0.0));
        assert!(
            plain >= COUNTS * written - 1e-3,
            "{what}: {of} held against {plain}, and {written} with it written in"
        );
    };
    for (name, there) in &written_in.lines {
        hold(name.clone(), plain.lines[name].demand_n, there.demand_n);
    }
    for (name, there) in &written_in.points {
        hold(
            format!("{name} down"),
            plain.points[name].demand_down_n,
            there.demand_down_n,
        );
        hold(
            format!("{name} up"),
            plain.points[name].demand_up_n,
            there.demand_up_n,
        );
        hold(
            format!("{name} side"),
            plain.points[name].demand_side_n,
            there.demand_side_n,
        );
    }
    for (name, there) in &written_in.pipes {
        let here = &plain.pipes[name];
        for (of, here, there) in [
            ("moment", &here.moment_nm, &there.moment_nm),
            ("shear", &here.shear_n, &there.shear_n),
            ("torque", &here.torque_nm, &there.torque_nm),
            ("thrust", &here.thrust_n, &there.thrust_n),
            ("pull", &here.pull_n, &there.pull_n),
        ] {
            hold(format!("{of} of {name}"), here.demand, there.demand);
        }
    }
}

/// A plate or a pipe of 2.4 m on three or four lines that lean by so much at their tops; `extra` is written at the end, `of_load` into
/// the load.
fn hung(is_pipe: bool, lean_m: f64, of_load: &str, extra: &str) -> String {
    let mut text =
        String::from("title = \"Larkspur Library porch: a board\"\npractice = \"static-overhead\"\n");
    let picks: &[[f64; 2]] = if is_pipe {
        &[[-1.2, 0.0], [0.0, 0.0], [1.2, 0.0]]
    } else {
        &[[-1.2, 0.8], [1.2, 0.8], [1.2, -0.8], [-1.2, -0.8]]
    };
    for (i, [x, y]) in picks.iter().enumerate() {
        let [over_x, over_y] =
            [x + lean_m * x.signum(), y + lean_m * y.signum()].map(|at| (1e6 * at).round() / 1e6 + 0.0);
        let length_m = (9.0 + (over_x - x).powi(2) + (over_y - y).powi(2)).sqrt() - 0.001;
        text += &format!(
            "[points.q{i}]\nat = [\"{over_x:?} m\", \"{over_y:?} m\", \"6 m\"]\n\
             allows = {{ down = \"9 kN\", side = \"9 kN\", by = \"engineer\", document = \"letter\" }}\n\
             [lines.l{i}]\nfrom = \"q{i}\"\nto = \"board.p{i}\"\nlength = \"{length_m:.6} m\"\nstiffness = \"1.5 MN\"\n\
             tolerance = \"6 mm\"\n"
        );
    }
    let place = |i: usize| {
        let [x, y] = picks[i];
        if is_pipe {
            format!("p{i} = \"{} m\"", x + 1.2)
        } else {
            format!("p{i} = [\"{x} m\", \"{y} m\", \"0 m\"]")
        }
    };
    let picks: Vec<String> = (0..picks.len()).map(place).collect();
    let what = if is_pipe {
        "[pipes.board]\nlength = \"2.4 m\"\nEI = \"60 kN m2\"\nmass = \"1 kg/m\"\n\
         carries = [{ what = \"lamp\", weight = \"1500 N\", at = \"1 m\" }]"
    } else {
        "[loads.board]\nweight = \"1500 N\"\ncentre = [\"0.2 m\", \"0.1 m\", \"-0.2 m\"]"
    };
    text + &format!(
        "{what}\npicks = {{ {} }}\ntrim = {{ at = [\"0 m\", \"0 m\", \"3 m\"] }}\nunder = \"nobody\"\n{of_load}\n{extra}\n",
        picks.join(", ")
    )
}

#[test]
fn without_a_force_that_helps() {
    let lift = "forces = [{ what = \"a lift\", force = [\"0 N\", \"0 N\", \"900 N\"], at = [\"0 m\", \"0 m\", \"0 m\"] }]";
    for (is_pipe, lean_m) in [(true, 0.0), (true, 0.6), (false, 0.0), (false, 0.7)] {
        let [with, without] = [lift, ""].map(|lift| verdict(&hung(is_pipe, lean_m, lift, "")));
        assert_no_milder(&with, &without, &format!("pipe {is_pipe}, leaning {lean_m}"));
    }
}

/// As above, with the moment greatest in an overhang as drawn, and elsewhere with lengths off and the lift away.
#[test]
fn without_a_force_and_with_lengths_off() {
    let batten = |force: &str| {
        let mut text =
            String::from("title = \"Larkspur Library porch: a batten\"\npractice = \"static-overhead\"\n");
        for (i, x_m) in [-3.0, 0.0, 3.0].into_iter().enumerate() {
            text += &format!(
                "[points.p{i}]\nat = [\"{x_m:?} m\", \"0 m\", \"7 m\"]\n[lines.l{i}]\nfrom = \"p{i}\"\nto = \"b.k{i}\"\n\
                 stiffness = \"0.5 MN\"\nlength = \"to trim\"\ntolerance = \"5 mm\"\n"
            );
        }
        verdict(&format!(
            "{text}[pipes.b]\nlength = \"9 m\"\nEI = \"25 kN m2\"\nmass = \"6 kg/m\"\n\
             picks = {{ k0 = \"1.5 m\", k1 = \"4.5 m\", k2 = \"7.5 m\" }}\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"5 m\"] }}\nunder = \"nobody\"\n{force}\n"
        ))
    };
    let lift = "forces = [{ what = \"f\", force = [\"0 N\", \"0 N\", \"60 N\"], at = [\"-2 m\", \"0 m\", \"0 m\"] }]";
    let (with, without) = (batten(lift), batten(""));
    assert!(without.pipes["b"].moment_nm.demand.unwrap() > 1.3 * without.pipes["b"].moment_nm.most.unwrap());
    assert_no_milder(&with, &without, "a batten with overhangs");
}

#[test]
fn with_a_secondary_line_slack() {
    let secondary = |length_m: f64| {
        format!(
            "[points.top]\nat = [\"0.5 m\", \"0 m\", \"6 m\"]\n[lines.safety]\nfrom = \"top\"\nto = \"board.p1\"\n\
             stiffness = \"1.5 MN\"\nlength = \"{length_m} m\"\nrole = \"secondary\"\n"
        )
    };
    for (is_pipe, lean_m, way_m) in [(true, 0.0, 3.0414), (true, 0.6, 3.0414), (false, 0.7, 3.1849)] {
        let tight = verdict(&hung(is_pipe, lean_m, "", &secondary(way_m - 0.004)));
        let mut gone = verdict(&hung(is_pipe, lean_m, "", &secondary(way_m + 0.5)));
        gone.lines.shift_remove("safety");
        gone.points.shift_remove("top");
        assert!(!tight.lines["safety"].slack);
        assert_no_milder(&tight, &gone, &format!("pipe {is_pipe}, leaning {lean_m}"));
    }
}

/// The line at the middle of a pipe runs over a rough sheave: it is held against what it comes to about to slip, as the page says.
#[test]
fn about_to_slip_over_a_sheave() {
    let text = hung(
        true,
        0.0,
        "",
        "[points.cleat]\nat = [\"3 m\", \"0 m\", \"1 m\"]\n",
    );
    let text = text.replace(
        "at = [\"0.0 m\", \"0.0 m\", \"6 m\"]",
        "at = [\"0.0 m\", \"0.0 m\", \"6 m\"]\nfriction = 1.4\ndiameter = \"150 mm\"",
    );
    let text = text.replace(
        "[lines.l1]\nfrom = \"q1\"\nto = \"board.p1\"\nlength = \"2.999000 m\"",
        "[lines.l1]\nfrom = \"cleat\"\nvia = [\"q1\"]\nto = \"board.p1\"\nlength = \"8.828 m\"",
    );
    let verdict = verdict(&text);
    let line = &verdict.lines["l1"];
    let [_, most_n] = line.slip_range_n.unwrap();
    assert!(
        line.demand_n.unwrap() > most_n * (1.0 - 1e-6),
        "{:?} {most_n}",
        line.demand_n
    );
    assert!(most_n > 1.1 * line.tension_n.unwrap());
}

/// Two forces that cancel, and twist where either is away.
#[test]
fn without_one_of_two_forces_that_cancel() {
    let arm = |forces: &str| {
        verdict(&format!(
            "title = \"Larkspur Library: an arm\"\npractice = \"static-overhead\"\n[pipes.arm]\nlength = \"1 m\"\n\
             EI = \"60 kN m2\"\nmass = \"1 kg/m\"\nbuilt_in = \"start\"\ntrim = {{ at = [\"0 m\", \"0 m\", \"3 m\"] }}\n\
             under = \"nobody\"\nforces = [{forces}]\n"
        ))
    };
    let up = "{ what = \"up\", force = [\"0 N\", \"0 N\", \"500 N\"], at = [\"0.4 m\", \"0.6 m\", \"0 m\"] }";
    let down =
        "{ what = \"down\", force = [\"0 N\", \"0 N\", \"-500 N\"], at = [\"0.4 m\", \"0.6 m\", \"0 m\"] }";
    let both = arm(&format!("{up}, {down}"));
    for one in [up, down] {
        assert_no_milder(&both, &arm(one), "two that cancel");
    }
    assert!((both.pipes["arm"].torque_nm.demand.unwrap() - 300.0).abs() < 1.0);
}
