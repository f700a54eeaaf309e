//! Loads that secondary lines catch: what goes with them, what takes both, and motions that are slow to come to where they then hang.

use crate::in_time::{asked, case, sweep, undamped};
use crate::{document, verdict};
use practice::Severity;
use rig::{LetGoQuestion, Outcome, Which};

/// The findings of rule `caught`: their subjects and how grave they are.
fn found(text: &str) -> Vec<(String, Severity)> {
    let findings = verdict(text).findings.into_iter();
    let of_catch = findings.filter(|finding| finding.rule == "caught");
    of_catch
        .map(|finding| (finding.subject, finding.severity))
        .collect()
}

fn is_stopped(text: &str, subject: &str) -> bool {
    found(text).contains(&(subject.into(), Severity::Stop))
}

const RATED: &str = "[makeups.drop]\n\
     parts = [\"eye-sleeve-3/8\", \"rope-7x19-galv-3/8\", \"eye-sleeve-3/8\"]\n";

/// A load on one line, with what else is there.
fn hung(may_move: &str, rest: &str) -> String {
    format!(
        "title = \"Larkspur Library gallery\"\npractice = \"static-overhead\"\n{RATED}\
         [points.main]\nat = [\"0 ft\", \"0 ft\", \"20 ft\"]\nallows = {{ down = \"450 lb\", side = \"450 lb\", by = \"engineer\" }}\n\
         [points.spare]\nat = [\"0.05 ft\", \"0 ft\", \"20 ft\"]\nallows = {{ down = \"450 lb\", side = \"450 lb\", by = \"engineer\" }}\n\
         [loads.globe]\nweight = \"120 lb\"\nweight_from = \"weighed\"\ncentre = [\"0 ft\", \"0 ft\", \"-1 ft\"]\n\
         picks = {{ top = [\"0 ft\", \"0 ft\", \"0 ft\"], spare = [\"0.05 ft\", \"0 ft\", \"0 ft\"], low = [\"0 ft\", \"0 ft\", \"-2 ft\"] }}\n\
         trim = {{ at = [\"0 ft\", \"0 ft\", \"10 ft\"] }}\nunder = \"public\"\nsize = [\"2 ft\", \"2 ft\", \"2 ft\"]\nmay_move = \"{may_move}\"\n\
         service = \"still\"\n{rest}"
    )
}

fn line(name: &str, from: &str, to: &str, length: &str, role: &str) -> String {
    format!(
        "[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = \"{length}\"\nmakeup = \"drop\"\nrole = \"{role}\"\n"
    )
}

/// A load that is caught takes what hangs below it down to the floor.
#[test]
fn what_hangs_below_a_load_that_is_caught_comes_down_with_it() {
    let card = |z_ft: f64| {
        let length = format!("{} ft", 8.0 - z_ft);
        let lines = [
            line("main", "main", "globe.top", "10 ft", "carries"),
            line("spare", "spare", "globe.spare", "10 ft 3/8 in", "secondary"),
            line("below", "globe.low", "card.top", &length, "carries"),
        ];
        let card = format!(
            "[loads.card]\nweight = \"10 lb\"\nweight_from = \"weighed\"\ncentre = [\"0 ft\", \"0 ft\", \"-0.5 ft\"]\n\
             picks = {{ top = [\"0 ft\", \"0 ft\", \"0 ft\"] }}\ntrim = {{ at = [\"0 ft\", \"0 ft\", \"{z_ft} ft\"] }}\nunder = \"public\"\n\
             size = [\"1 ft\", \"1 ft\", \"1 ft\"]\nservice = \"still\"\nmay_move = \"3 ft\"\n"
        );
        hung("3 ft", &format!("{card}{}", lines.concat()))
    };
    assert!(is_stopped(&card(1.03), "loads.card"), "{:?}", found(&card(1.03)));
    assert!(!is_stopped(&card(2.0), "loads.card"), "{:?}", found(&card(2.0)));
    // The line that the card hangs by is not what the secondary line is there for.
    assert!(!is_stopped(&card(2.0), "loads.globe"), "{:?}", found(&card(2.0)));
}

/// One point takes the line that carries and the secondary one, though the one ends at a ring below, or only runs over it.
#[test]
fn what_takes_both_lines_is_found_wherever_they_end() {
    let ring = "[junctions.ring]\nnear = [\"0 ft\", \"0 ft\", \"19 ft\"]\npart = \"shackle-1/2\"\n";
    let by_ring = |spare: &str| {
        let lines = [
            line("upper", "main", "ring", "1 ft", "carries"),
            line("lower", "ring", "globe.top", "9 ft", "carries"),
            line("spare", spare, "globe.spare", "10 ft 1/16 in", "secondary"),
        ];
        hung("5 ft", &format!("{ring}{}", lines.concat()))
    };
    assert!(
        is_stopped(&by_ring("main"), "loads.globe"),
        "{:?}",
        found(&by_ring("main"))
    );
    assert!(
        !is_stopped(&by_ring("spare"), "loads.globe"),
        "{:?}",
        found(&by_ring("spare"))
    );
    // Six feet to a cleat and ten down: without the sheave all sixteen hang down.
    let over = line("lower", "cleat", "globe.top", "16 ft", "carries")
        .replace("makeup =", "via = [\"main\"]\nmakeup =");
    let cleat = "[points.cleat]\nat = [\"-6 ft\", \"0 ft\", \"20 ft\"]\nallows = { down = \"4500 lb\", side = \"4500 lb\", by = \"engineer\" }\n";
    let by_sheave = |spare: &str| {
        let spare = line("spare", spare, "globe.spare", "10 ft 1/16 in", "secondary");
        let text = hung("5 ft", &format!("{cleat}{over}{spare}"));
        text.replace("[points.main]\n", "[points.main]\ndiameter = \"6 in\"\n")
    };
    assert!(
        is_stopped(&by_sheave("main"), "loads.globe"),
        "{:?}",
        found(&by_sheave("main"))
    );
    assert!(
        !is_stopped(&by_sheave("spare"), "loads.globe"),
        "{:?}",
        found(&by_sheave("spare"))
    );
}

/// A stated force that helps may be away: the catch is no milder than without it ever, but for the stiffness that is not varied there.
#[test]
fn a_force_that_helps_may_be_away_when_something_lets_go() {
    let lines = [
        line("main", "main", "globe.top", "10 ft", "carries"),
        line("spare", "spare", "globe.spare", "10 ft 1/4 in", "secondary"),
    ]
    .concat();
    let alone = hung("5 ft", &lines);
    let helped = hung(
        "5 ft",
        &format!(
            "forces = [{{ what = \"air bag\", force = [\"0 lb\", \"0 lb\", \"100 lb\"], at = [\"0 ft\", \"0 ft\", \"-1 ft\"] }}]\n{lines}"
        ),
    );
    assert!(is_stopped(&alone, "points.spare"), "{:?}", found(&alone));
    assert!(is_stopped(&helped, "points.spare"), "{:?}", found(&helped));
    let peak = |text: &str| case(&sweep(text), "lines.main").lines["spare"].peak_n;
    assert!(
        peak(&helped) > 0.85 * peak(&alone),
        "{} {}",
        peak(&helped),
        peak(&alone)
    );
}

/// Two secondary lines below the centre of gravity catch a load that then rolls over, also where it is drawn so symmetric that it need not.
#[test]
fn what_only_symmetry_keeps_upright_rolls_over() {
    let drawn = |off_m: f64| {
        let loads = format!(
            "[loads.globe]\nweight = \"450 N\"\nweight_from = \"weighed\"\ncentre = [\"{off_m} m\", \"0 m\", \"0.3 m\"]\n\
             inertia = [\"9 kg m2\", \"20 kg m2\", \"20 kg m2\"]\nunder = \"public\"\n\
             picks = {{ top = [\"0 m\", \"0 m\", \"0.6 m\"], l = [\"-1 m\", \"0 m\", \"0 m\"], r = [\"1 m\", \"0 m\", \"0 m\"] }}\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"4.5 m\"] }}\n"
        );
        let text = document(
            &[
                ("top", [0.0, 0.0, 9.0]),
                ("l", [-1.0, 0.0, 9.0]),
                ("r", [1.0, 0.0, 9.0]),
            ],
            &loads,
            &[
                ("main", "top", "globe.top", 3.9, 4e6),
                ("l", "l", "globe.l", 4.505, 4e6),
                ("r", "r", "globe.r", 4.505, 4e6),
            ],
        );
        text.replace("[lines.l]\n", "[lines.l]\nrole = \"secondary\"\n")
            .replace("[lines.r]\n", "[lines.r]\nrole = \"secondary\"\n")
    };
    let caught = |off_m: f64| {
        let answer = sweep(&drawn(off_m));
        let main = case(&answer, "lines.main").clone();
        (
            main.lines["l"].peak_n.max(main.lines["r"].peak_n),
            main.loads["globe"].clone(),
        )
    };
    let ((peak_n, globe), (off_n, _)) = (caught(0.0), caught(1e-3));
    // The centre ends as far below the two eyes as it was above them, so at the least twice 0.3 m lower.
    assert!(globe.drop_m.unwrap() > 0.6, "{globe:?}");
    assert!(globe.tilt_deg.unwrap() > 170.0, "{globe:?}");
    // If it stayed upright, both lines would share W (1 + sqrt(1 + 2 h / d)), h the slack that is left (P14).
    let (fall_m, give_m): (f64, f64) = (0.005 - 450.0 * 3.9 / 4e6, 450.0 / (2.0 * 4e6 / 4.505));
    let upright_n = 225.0 * (1.0 + (1.0 + 2.0 * fall_m / give_m).sqrt());
    assert!(
        peak_n > 1.3 * upright_n && peak_n > 0.6 * off_n,
        "{peak_n} {upright_n} {off_n}"
    );
}

/// 445 N against 436 N over a sheave run away slowly: by a = g (445 - 436) / (445 + 436) (Atwood) the 2.15 m of slack in the secondary line
/// are gone after sqrt(2 h / a) = 6.6 s, which is more than one swing of anything there.
#[test]
fn what_falls_slowly_is_followed_until_it_is_caught() {
    let loads = "[loads.globe]\nweight = \"445 N\"\nweight_from = \"weighed\"\ncentre = [\"0 m\", \"0 m\", \"-0.3 m\"]\n\
         inertia = [\"2 kg m2\", \"2 kg m2\", \"2 kg m2\"]\nunder = \"public\"\nmay_move = \"10 m\"\n\
         picks = { l = [\"0 m\", \"0 m\", \"0 m\"], r = [\"0.03 m\", \"0 m\", \"0 m\"], s = [\"0 m\", \"0.03 m\", \"0 m\"] }\n\
         trim = { at = [\"0.3 m\", \"0 m\", \"8.37 m\"] }\n\
         [loads.weight]\nweight = \"436 N\"\nweight_from = \"weighed\"\ncentre = [\"0 m\", \"0 m\", \"-0.3 m\"]\n\
         inertia = [\"2 kg m2\", \"2 kg m2\", \"2 kg m2\"]\nunder = \"public\"\nmay_move = \"10 m\"\n\
         picks = { top = [\"0 m\", \"0 m\", \"0 m\"] }\ntrim = { at = [\"-0.3 m\", \"0 m\", \"6 m\"] }\n";
    let text = document(
        &[
            ("p", [0.0, 0.0, 12.0]),
            ("q", [0.3, 0.0, 12.0]),
            ("s", [0.3, 0.05, 12.0]),
        ],
        loads,
        &[
            ("run", "weight.top", "globe.l", 9.65, 1e6),
            ("hold", "q", "globe.r", 3.645, 1e6),
            ("sec", "s", "globe.s", 5.8, 1e6),
        ],
    )
    .replace("[lines.run]\n", "[lines.run]\nvia = [\"p\"]\n")
    .replace("[lines.sec]\n", "[lines.sec]\nrole = \"secondary\"\n");
    let of_hold = |question: LetGoQuestion| {
        let which = Some(Which::Line("hold".into()));
        case(&asked(&text, &LetGoQuestion { which, ..question }), "lines.hold").clone()
    };
    let caught = of_hold(LetGoQuestion::default());
    let from_s = caught.lines["sec"].pulls_from_s.unwrap();
    assert!((6.0..7.2).contains(&from_s), "{from_s}");
    assert!(caught.lines["sec"].peak_n > 1000.0, "{:?}", caught.lines["sec"]);
    // Who asks for too short a time is told so.
    let cut = of_hold(undamped(3.0));
    assert_eq!(cut.outcome, Outcome::NotKnown, "{}", cut.says);
    assert!(
        cut.says.contains("`sec` pulls there, and did not yet pull"),
        "{}",
        cut.says
    );
}

/// A point at which two of a load's lines end is one thing that may let go: the other point gets what no single line would bring it.
#[test]
fn a_point_that_takes_two_lines_is_tried_as_well_as_each_line() {
    let lines = [
        line("a", "main", "globe.l", "10 ft", "carries"),
        line("b", "main", "globe.l", "10 ft", "carries"),
        line("c", "other", "globe.r", "10 ft", "carries"),
        line("d", "other", "globe.r", "10 ft", "carries"),
        line("spare", "spare", "globe.spare", "10 ft 3 in", "secondary"),
    ]
    .concat();
    let other = "[points.other]\nat = [\"3 ft\", \"0 ft\", \"20 ft\"]\nallows = { down = \"DOWN\", side = \"450 lb\", by = \"engineer\" }\n";
    let hung = |down: &str| {
        hung("15 ft", &format!("{}{lines}", other.replace("DOWN", down)))
            .replace(
                "top = [\"0 ft\"",
                "l = [\"-1 ft\", \"0 ft\", \"0 ft\"], r = [\"1 ft\", \"0 ft\", \"0 ft\"], top = [\"0 ft\"",
            )
            .replace("[points.main]\nat = [\"0 ft\"", "[points.main]\nat = [\"-3 ft\"")
    };
    let answer = sweep(&hung("4500 lb"));
    let down = |lets_go: &str| case(&answer, lets_go).points["other"].down_n;
    let by_line = down("lines.a").max(down("lines.c"));
    let by_point = down("points.main");
    assert!(by_point > 1.2 * by_line, "{by_point} {by_line}");
    let between = format!("{} N", 0.5 * (by_line + by_point));
    assert!(
        is_stopped(&hung(&between), "points.other"),
        "{:?}",
        found(&hung(&between))
    );
}

/// Two loads whose lines share a point above and another for what catches them: both come down at one instant, and their peaks add up there.
#[test]
fn loads_that_come_down_together_are_caught_together() {
    let loads: String = ["one", "two"]
        .map(|name| {
            let x = if name == "one" { 0.0 } else { 3.0 };
            format!(
                "[loads.{name}]\nweight = \"30 lb\"\nweight_from = \"weighed\"\ncentre = [\"0 ft\", \"0 ft\", \"-1 ft\"]\n\
                 picks = {{ top = [\"0 ft\", \"0 ft\", \"0 ft\"], spare = [\"0.05 ft\", \"0 ft\", \"0 ft\"] }}\nunder = \"public\"\n\
                 trim = {{ at = [\"{x} ft\", \"0 ft\", \"10 ft\"] }}\nsize = [\"1 ft\", \"1 ft\", \"1 ft\"]\nservice = \"still\"\nmay_move = \"9 ft\"\n"
            ) + &line(&format!("{name}_main"), "main", &format!("{name}.top"), "10.2 ft", "carries")
                + &line(&format!("{name}_spare"), "spare", &format!("{name}.spare"), "10.4 ft", "secondary")
        })
        .concat();
    let text = |down: &str| {
        format!(
            "title = \"Larkspur Library stair\"\npractice = \"static-overhead\"\n{RATED}\
             [points.main]\nat = [\"1.5 ft\", \"0 ft\", \"20 ft\"]\n\
             [points.spare]\nat = [\"1.6 ft\", \"0 ft\", \"20 ft\"]\nallows = {{ down = \"{down}\", side = \"900 lb\", by = \"engineer\" }}\n{loads}"
        )
    };
    let answer = sweep(&text("9000 lb"));
    let down = |lets_go: &str| case(&answer, lets_go).points["spare"].down_n;
    let (one, both) = (down("lines.one_main"), down("points.main"));
    assert!(both > 1.2 * one, "{both} {one}");
    let between = format!("{} N", 0.5 * (one + both));
    assert!(
        is_stopped(&text(&between), "points.spare"),
        "{:?}",
        found(&text(&between))
    );
}

/// A secondary line between a lamp and the batten that it hangs on is there for the lamp's own line: it is not asked to hold what the batten's
/// lines hold, and takes nothing from a rig without it.
#[test]
fn a_secondary_line_to_a_batten_is_there_for_the_lamp_alone() {
    let points = [("l", -4), ("r", 4)]
        .map(|(name, x)| format!("[points.{name}]\nat = [\"{x} ft\", \"0 ft\", \"20 ft\"]\n"))
        .concat();
    let lines = [("l", "10 ft"), ("r", "10 ft")]
        .map(|(name, length)| line(name, name, &format!("batten.{name}"), length, "carries"))
        .concat();
    let text = format!(
        "title = \"Larkspur Library stage\"\npractice = \"static-overhead\"\n{RATED}{points}{lines}[pipes.batten]\nlength = \"10 ft\"\n\
         section = \"pipe-1-1/2-sch40\"\ntrim = {{ at = [\"0 ft\", \"0 ft\", \"10 ft\"] }}\nunder = \"public\"\n\
         picks = {{ l = \"1 ft\", r = \"9 ft\", lamp = \"5 ft\", spare = \"5.1 ft\" }}\n\
         [loads.lamp]\nweight = \"10 lb\"\nweight_from = \"weighed\"\ncentre = [\"0 ft\", \"0 ft\", \"-1 ft\"]\n\
         picks = {{ top = [\"0 ft\", \"0 ft\", \"0 ft\"], spare = [\"0.1 ft\", \"0 ft\", \"0 ft\"] }}\nunder = \"public\"\n\
         trim = {{ at = [\"0 ft\", \"0 ft\", \"9 ft\"] }}\nsize = [\"1 ft\", \"1 ft\", \"1 ft\"]\nservice = \"still\"\nmay_move = \"2 ft\"\n{}{}",
        line("lamp", "batten.lamp", "lamp.top", "1 ft", "carries"),
        line("spare", "batten.spare", "lamp.spare", "1.005 ft", "secondary"),
    );
    let verdict = verdict(&text);
    let of_catch = verdict.findings.iter().filter(|finding| finding.rule == "caught");
    let says: Vec<&str> = of_catch.map(|finding| finding.says.as_str()).collect();
    assert!(!says.is_empty());
    assert!(
        says.iter().all(|says| says.starts_with("if `lamp` lets go")),
        "{says:?}"
    );
    let names: Vec<String> = sweep(&text).cases.into_iter().map(|case| case.lets_go).collect();
    assert!(names.contains(&"all that carries lamp".to_string()), "{names:?}");
    assert!(
        !names.contains(&"all that carries batten".to_string()),
        "{names:?}"
    );
}
