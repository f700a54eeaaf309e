//! Load cases and stages, against closed forms, published cases and themselves.

use crate::{assert_near, document, verdict};
use practice::Severity;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use rig::{CaseKind, Verdict, VerdictWord};

const COURTYARD: &str = include_str!("../../../../examples/courtyard.toml");
const FLOCK: &str = include_str!("../../../../examples/flock.toml");

/// A board of 60 kg on two lines of 4 m, square to x, held at its middle so that it swings without turning.
fn board(more: &str) -> String {
    let weight_n = 60.0 * 9.80665;
    let load = format!(
        "[loads.board]\nweight = \"{weight_n:?} N\"\nfaces = [{{ what = \"panel\", area = \"6 m2\", normal = [1, 0, 0] }}]\n\
         picks = {{ a = [\"0 m\", \"-1 m\", \"0 m\"], b = [\"0 m\", \"1 m\", \"0 m\"] }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"4 m\"] }}\nunder = \"nobody\"\n"
    );
    let points = [("a", [0.0, -1.0, 8.0]), ("b", [0.0, 1.0, 8.0])];
    let lines = [("a", "a", "board.a", 4.0, 1e9), ("b", "b", "board.b", 4.0, 1e9)];
    document(&points, &load, &lines) + more
}

/// P17. A flat panel of 6 m2 and 60 kg in a wind of 15 m/s: q = 137.8125 Pa, drag 1058.4 N, lines at 60.928 893 deg from
/// the vertical, 1210.959 926 N on them together. Coefficient 1.28 and drag equation from NASA, Shape effects on drag;
/// density 1.225 kg/m3 from the US Standard Atmosphere 1976 (P16); values computed.
#[test]
fn p17_wind_on_a_flat_panel() {
    let v = verdict(&board(
        "[cases.gust]\nwind = { speed = \"15 m/s\", towards = [1, 0, 0] }\n",
    ));
    let gust = &v.cases["gust"];
    let number = |path: &str| v.numbers[path].value();
    assert_near(number("cases.gust.wind.gust.pressure"), 137.8125, 1e-9, "q");
    assert_near(number("cases.gust.wind.gust.board.face_1"), 1058.4, 1e-9, "drag");
    let tension: f64 = gust.lines.values().map(|line| line.tension_n.unwrap()).sum();
    // EA of 1e9 N stretches the lines by 6e-7 of their length.
    assert_near(tension, 1_210.959_926_343_8, 1e-2, "resultant");
    let [x, _, z] = gust.loads["board"].at_m.unwrap();
    let angle_deg = x.atan2(8.0 - z).to_degrees();
    assert_near(angle_deg, 60.928_893_188_207, 1e-3, "angle of the lines");
    let plain = &v.cases["plain"];
    assert_near(
        plain.loads["board"].at_m.unwrap()[0],
        0.0,
        1e-9,
        "no wind, no swing",
    );
}

/// Cloth that drapes from a pipe swings it like a pendulum, tan = push / weight, and does not roll it; a stiff board in its place
/// does, and would be no steady hang. Triangle of forces.
#[test]
fn cloth_on_a_pipe_pushes_it_and_does_not_roll_it() {
    let rig = |hangs: &str| {
        format!(
            "title = \"Larkspur Library yard: cloth on a pipe\"\npractice = \"static-overhead\"\n\
             [points.a]\nat = [\"-2 m\", \"0 m\", \"8 m\"]\n[points.b]\nat = [\"2 m\", \"0 m\", \"8 m\"]\n\
             [pipes.batten]\nlength = \"5 m\"\nsection = \"pipe-1-1/2-sch40\"\ncarries = [{{ what = \"cloth\", weight = \"50 N\", from = \"0 m\", to = \"5 m\" }}]\n\
             picks = {{ a = \"0.5 m\", b = \"4.5 m\" }}\nunder = \"nobody\"\nmay_move = \"3 m\"\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"4 m\"], heading = \"0 deg\" }}\n\
             faces = [{{ what = \"cloth\", area = \"8 m2\", at = [\"0 m\", \"0 m\", \"-1 m\"], hangs = \"{hangs}\", \
             coefficient = 1.5, normal = [0, 1, 0] }}]\n\
             [lines.a]\nfrom = \"a\"\nto = \"batten.a\"\nlength = \"4 m\"\nstiffness = \"1000 MN\"\n\
             [lines.b]\nfrom = \"b\"\nto = \"batten.b\"\nlength = \"4 m\"\nstiffness = \"1000 MN\"\n\
             [cases.breeze]\nwind = {{ pressure = \"10 Pa\", towards = [0, 1, 0] }}\n"
        )
    };
    let rolls = |v: &Verdict| {
        v.findings
            .iter()
            .any(|f| f.subject == "pipes.batten" && f.says.contains("rolled"))
    };
    let draped = verdict(&rig("draped"));
    assert!(!rolls(&draped), "{:?}", draped.findings);
    let pull = |case: &str| -> f64 {
        let lines = draped.cases[case].lines.values();
        lines.map(|line| line.tension_n.unwrap()).sum()
    };
    // 8 m2 at 10 Pa and 1.5; the lines are weightless, so that plain they carry the pipe and its cloth alone.
    let expected = 120.0_f64.hypot(pull("plain"));
    assert_near(pull("breeze"), expected, 0.05, "push and weight");
    assert!(rolls(&verdict(&rig("flat"))));
}

/// The same wind by its pressure, in thinner air, aslant, and with a coefficient of one's own. P16: 1.006 482 kg/m3 at
/// 2000 m, US Standard Atmosphere 1976.
#[test]
fn a_wind_is_as_it_is_stated() {
    let push = |wind: &str| {
        let v = verdict(&board(&format!("[cases.gust]\nwind = {{ {wind} }}\n")));
        v.numbers["cases.gust.wind.gust.board.face_1"].value()
    };
    let by_pressure = push("pressure = \"137.8125 Pa\", towards = [1, 0, 0]");
    assert_near(by_pressure, 1058.4, 1e-9, "by pressure");
    let thin = push("speed = \"15 m/s\", towards = [5, 0, 0], air_density = \"1.006482182401136 kg/m3\"");
    assert_near(thin, 1058.4 * 1.006_482_182_401_136 / 1.225, 1e-9, "thin air");
    // The wind sees cos 60 deg of the panel.
    let aslant = push("speed = \"15 m/s\", towards = [1, 1.7320508075688772, 0]");
    assert_near(aslant, 0.5 * 1058.4, 1e-9, "aslant");
    let square = board("[cases.gust]\nwind = { speed = \"15 m/s\", towards = [0, 1, 0] }\n")
        .replace(", normal = [1, 0, 0]", ", coefficient = 2");
    let square = verdict(&square).numbers["cases.gust.wind.gust.board.face_1"].value();
    assert_near(square, 2.0 / 1.28 * 1058.4, 1e-9, "square to every wind, C = 2");
}

#[test]
fn a_wind_is_always_a_caution() {
    let v = verdict(&board(
        "[cases.air]\nwind = { speed = \"0.1 m/s\", towards = [1, 0, 0] }\n",
    ));
    let of = |v: &Verdict| v.findings.iter().filter(|f| f.rule == "wind").count();
    assert_eq!(of(&v), 1);
    let finding = v.findings.iter().find(|f| f.rule == "wind").unwrap();
    assert_eq!(
        (finding.severity, finding.case.as_deref()),
        (Severity::Caution, Some("air"))
    );
    assert_eq!(
        of(&verdict(&board("[cases.warm]\ntemperature = \"30 degC\"\n"))),
        0
    );
}

/// P24. A weightless line with prestress 1200 N between rigid points, EA = 1.5e6 N, alpha = 12e-6 /K: handbook relation
/// N = EA alpha dT (from memory): 1560, 840, 480 and 0 N at -20, 20, 40 and 80 K; within 2 N, which covers the exact form.
/// A ring of no weight parts it here, so that something is there to be solved.
#[test]
fn p24_temperature_of_a_prestressed_line() {
    let unloaded_m = 10.0 / (1.0 + 1200.0 / 1.5e6) / 2.0;
    let points = [("a", [0.0, 0.0, 5.0]), ("b", [10.0, 0.0, 5.0])];
    let ring = "[junctions.ring]\nnear = [\"5 m\", \"0 m\", \"5 m\"]\nweight = \"0 N\"\n";
    let mut text = document(
        &points,
        ring,
        &[
            ("a", "a", "ring", unloaded_m, 1.5e6),
            ("b", "ring", "b", unloaded_m, 1.5e6),
        ],
    );
    text = text.replace("stiffness = ", "stretch_by_heat = \"12e-6 /K\"\nstiffness = ");
    text += "[cases.frost]\ntemperature = \"0 degC\"\n[cases.warm]\ntemperature = \"40 degC\"\n\
             [cases.hot]\ntemperature = \"60 degC\"\n[cases.slack]\ntemperature = \"100 degC\"\n";
    let v = verdict(&text);
    for (case, expected) in [
        ("plain", 1200.0),
        ("frost", 1560.0),
        ("warm", 840.0),
        ("hot", 480.0),
        ("slack", 0.0),
    ] {
        let tension = v.cases[case].lines["a"].tension_n.unwrap();
        assert_near(tension, expected, 2.0, case);
    }
    // Exactly: L0 (1 + 12e-6 x 20).
    assert_near(
        v.cases["warm"].lines["a"].unloaded_length_m,
        unloaded_m * 1.000_24,
        1e-12,
        "length",
    );
    assert_eq!(v.numbers["lines.a.tension"].remarks(), ["in case `frost`"]);
    // The cold governs, and what is shown above is of the cold.
    assert_eq!(v.lines["a"].case.as_deref(), Some("frost"));
    assert_near(
        v.numbers["lines.a.tension"].value(),
        v.cases["frost"].lines["a"].tension_n.unwrap(),
        1e-6,
        "the number behind it",
    );
}

/// Stainless rope stretches more than carbon rope: 17.2e-6 (grade 304) and 12e-6 /K, as in the table of the parts book.
#[test]
fn the_rope_of_a_makeup_says_how_it_stretches() {
    for (rope, per_k) in [
        ("rope-7x19-galv-3/16", 12e-6),
        ("rope-7x19-stainless-3/16", 17.2e-6),
    ] {
        let text = FLOCK.replace("rope-7x19-galv-3/16", rope) + "[cases.hot]\ntemperature = \"50 degC\"\n";
        let v = verdict(&text);
        let [hot, plain] = ["hot", "plain"].map(|case| v.cases[case].lines["northwest"].unloaded_length_m);
        assert_near(hot / plain - 1.0, per_k * 30.0, 1e-12, rope);
    }
}

/// A person of 300 N hangs on to a load of 1000 N at a pick: moments about the other pick.
#[test]
fn a_pull_on_a_load_goes_to_the_nearer_line() {
    let bar = |more: &str| {
        let load = "[loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
            picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
            trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
        let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
        let lines = [("a", "a", "bar.a", 3.0, 1e9), ("b", "b", "bar.b", 3.0, 1e9)];
        document(&points, load, &lines) + more
    };
    let force = "force = [\"0 N\", \"0 N\", \"-300 N\"]";
    let v = verdict(&bar(&format!(
        "[cases.at_a]\nforces = [{{ what = \"hand\", on = \"bar.a\", {force} }}]\n\
         [cases.beside]\nforces = [{{ what = \"hand\", on = \"bar\", {force}, at = [\"0.5 m\", \"0 m\", \"0 m\"] }}]\n\
         [cases.laid]\nweights = [{{ what = \"snow\", on = \"bar\", weight = \"300 N\", at = [\"0.5 m\", \"0 m\", \"0 m\"] }}]\n"
    )));
    // The lines are stiff enough to keep it level to 1e-6.
    for (case, a, b) in [
        ("plain", 500.0, 500.0),
        ("at_a", 800.0, 500.0),
        ("beside", 575.0, 725.0),
        ("laid", 575.0, 725.0),
    ] {
        assert_near(v.cases[case].lines["a"].tension_n.unwrap(), a, 2e-3, case);
        assert_near(v.cases[case].lines["b"].tension_n.unwrap(), b, 2e-3, case);
        let point = &v.cases[case].points["b"];
        assert_near(point.dead.down_n, 500.0, 2e-3, "dead");
        assert_near(point.variable.down_n, b - 500.0, 2e-3, "variable");
    }
    assert_eq!(v.lines["a"].case.as_deref(), Some("at_a"));
    assert_eq!(
        v.lines["b"].case.as_deref(),
        Some("beside"),
        "of two alike the first"
    );
}

/// What acts at once is what acts alone, summed, where lines are stiff and nothing moves.
#[test]
fn a_combination_is_the_sum_and_counts_each_case_once() {
    let bar = "[loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n";
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let text = document(
        &points,
        bar,
        &[("a", "a", "bar.a", 3.0, 1e9), ("b", "b", "bar.b", 3.0, 1e9)],
    ) + "[cases.snow]\nweights = [{ what = \"snow\", on = \"bar\", weight = \"200 N\" }]\n\
           [cases.hand]\nforces = [{ what = \"hand\", on = \"bar.b\", force = [\"0 N\", \"0 N\", \"-120 N\"] }]\n\
           [cases.both]\ncombines = [\"snow\", \"hand\"]\n\
           [cases.again]\ncombines = [\"both\", \"snow\"]\nforces = [{ what = \"cat\", on = \"bar.a\", force = [\"0 N\", \"0 N\", \"-30 N\"] }]\n";
    let v = verdict(&text);
    let more = |case: &str, line: &str| {
        v.cases[case].lines[line].tension_n.unwrap() - v.cases["plain"].lines[line].tension_n.unwrap()
    };
    for line in ["a", "b"] {
        assert_near(
            more("both", line),
            more("snow", line) + more("hand", line),
            2e-3,
            line,
        );
    }
    assert_near(
        more("again", "a"),
        more("both", "a") + 30.0,
        2e-3,
        "snow counts once",
    );
    assert_near(more("again", "b"), more("both", "b"), 2e-3, "snow counts once");
}

/// Dead and variable together are what the mechanics put on each point, stated forces of the plain rig are variable, and
/// a beam gets the sum of its points.
#[test]
fn dead_and_variable_are_all_there_is() {
    let draught = "under       = \"public\"\nforces      = [{ what = \"draught\", force = [\"9 lb\", \"0 lb\", \"0 lb\"] }]";
    let drawn = COURTYARD.replacen("under       = \"public\"", draught, 1);
    assert_ne!(drawn, COURTYARD);
    for (text, is_calm) in [(COURTYARD, true), (drawn.as_str(), false)] {
        let v = verdict(text);
        assert_eq!(v.cases.len(), 9);
        for (name, case) in &v.cases {
            let mut on_beam = [0.0; 3];
            for (point, on) in &case.points {
                for (axis, sum) in on_beam.iter_mut().enumerate() {
                    let parts = on.dead.force_n[axis] + on.variable.force_n[axis];
                    // EA of 1.1e6 N times the rounding of metres.
                    assert_near(parts, on.all.force_n[axis], 1e-6, point);
                    *sum += parts;
                }
                let [x, y, _] = on.variable.force_n;
                assert_near(on.variable.side_n, x.hypot(y), 1e-9, point);
                // What hangs in a stage is less; otherwise dead is the same in every case.
                if case.kind != CaseKind::Stage {
                    assert_eq!(on.dead, v.cases["plain"].points[point].dead, "{name}");
                }
            }
            let beam = &case.groups["courtyard beam"];
            for (on, sum) in beam.all.force_n.iter().zip(on_beam) {
                assert_near(*on, sum, 1e-6, name);
            }
        }
        let plain = &v.cases["plain"].groups["courtyard beam"];
        let expected = if is_calm { 0.0 } else { 9.0 * crate::POUND_N };
        assert_near(plain.variable.force_n[0], expected, 1e-4, "draught");
        assert_near(plain.variable.down_n, 0.0, 1e-4, "draught is level");
    }
}

#[test]
fn a_stage_leaves_out_what_is_not_there_yet() {
    let v = verdict(COURTYARD);
    let stage = &v.cases["without_sign"];
    assert_eq!(stage.kind, CaseKind::Stage);
    let names: Vec<&str> = stage.lines.keys().map(String::as_str).collect();
    assert_eq!(names, ["west", "east"]);
    assert_eq!(stage.loads.keys().collect::<Vec<_>>(), ["banner"]);
    // The sign and its lines weigh so much on both points together.
    let down = |case: &str| v.cases[case].groups["courtyard beam"].all.down_n / crate::POUND_N;
    assert!((12.6..13.0).contains(&(down("plain") - down("without_sign"))));
    // Lines to trim follow the stage's own trim.
    assert!(v.cases["low"].lines["west"].unloaded_length_m > stage.lines["west"].unloaded_length_m + 1.0);
    assert_ne!(v.lines["sign_west"].case.as_deref(), Some("low"));
}

/// Lines, junctions and points that lead only to what is not there are not there either; others stay.
#[test]
fn a_stage_takes_what_leads_nowhere_with_it() {
    let text =
        FLOCK.to_string() + "[stages.first]\nhangs = [\"flock\"]\nlines = [\"northwest\", \"northeast\"]\n";
    let v = verdict(&text);
    let stage = &v.cases["first"];
    assert_eq!(stage.lines.keys().collect::<Vec<_>>(), ["northwest", "northeast"]);
    assert_eq!(stage.points.len(), 2);
    // On two of its four picks it hangs on edge.
    let finding = v.findings.iter().find(|f| f.rule == "far-from-trim").unwrap();
    assert_eq!(finding.case.as_deref(), Some("first"));
    assert_near(
        stage
            .lines
            .values()
            .map(|line| line.tension_n.unwrap())
            .sum::<f64>()
            / crate::POUND_N,
        215.0 * 1.05,
        8.0,
        "all weight, and some of lines that lean",
    );
}

#[test]
fn a_stage_may_have_other_lengths() {
    let text = FLOCK.to_string()
        + "[stages.low]\nhangs = [\"flock\"]\nlengths = { northwest = \"20 ft\", northeast = \"20 ft\", south = \"14 ft\" }\n";
    let v = verdict(&text);
    assert_near(
        v.cases["low"].lines["northwest"].unloaded_length_m,
        6.096,
        1e-12,
        "20 ft",
    );
    assert_ne!(
        v.cases["low"].lines["south"].unloaded_length_m,
        v.cases["plain"].lines["south"].unloaded_length_m
    );
}

/// A case in which nothing hangs is a stop that names it.
#[test]
fn a_stage_that_nothing_holds_is_a_stop() {
    let text = COURTYARD.replace(
        "[stages.without_sign]\nhangs = [\"banner\"]",
        "[stages.on_its_own]\nhangs = [\"sign\"]",
    );
    let v = verdict(&text);
    assert_eq!(v.verdict, VerdictWord::Stop);
    let finding = &v.findings[0];
    assert_eq!(
        (finding.rule.as_str(), finding.case.as_deref()),
        ("nothing-holds", Some("on_its_own"))
    );
    assert!(v.decides.contains("in case `on_its_own`"), "{}", v.decides);
    let stage = &v.cases["on_its_own"];
    assert!(!stage.equilibrium.found && stage.points.is_empty());
    assert!(v.equilibrium.found);
}

/// The same holds of a rig of rings alone, plain or not.
#[test]
fn rings_that_nothing_holds_are_a_stop() {
    let rings = "[junctions.ring]\nnear = [\"0 m\", \"0 m\", \"0 m\"]\nweight = \"10 N\"\n\
                 [junctions.lost]\nnear = [\"1 m\", \"0 m\", \"0 m\"]\nweight = \"0 N\"\n";
    let text = document(&[("a", [0.0, 0.0, 2.0])], rings, &[("a", "a", "ring", 2.0, 1e6)])
        + "[cases.push]\nforces = [{ what = \"hand\", on = \"lost\", force = [\"5 N\", \"0 N\", \"0 N\"] }]\n";
    let v = verdict(&text);
    assert!(v.equilibrium.found);
    assert!(v.findings.iter().any(|f| f.rule == "nothing-holds"
        && f.severity == Severity::Stop
        && f.subject == "junctions.lost"
        && f.case.as_deref() == Some("push")));
}

/// Without cases nothing of them is told, and nothing above is different for their being there.
#[test]
fn a_rig_without_cases_has_none_and_a_case_changes_nothing_above_by_itself() {
    let plain = verdict(FLOCK);
    assert!(plain.cases.is_empty() && plain.lines.values().all(|line| line.case.is_none()));
    let lighter = verdict(
        &(FLOCK.to_string()
            + "[cases.lift]\nforces = [{ what = \"hand\", on = \"flock\", force = [\"0 lb\", \"0 lb\", \"1 lb\"] }]\n"),
    );
    for (name, line) in &plain.lines {
        assert_eq!(lighter.lines[name].tension_n, line.tension_n, "{name}");
        assert_eq!(lighter.lines[name].case, None, "the plain rig governs {name}");
    }
    assert_eq!(lighter.findings, plain.findings);
}

#[test]
fn renaming_a_case_changes_no_number() {
    let renamed = COURTYARD
        .replace("cases.wet]", "cases.zzz]")
        .replace("\"wet\"", "\"zzz\"")
        .replace("cases.child", "cases.aaa");
    let (before, after) = (verdict(COURTYARD), verdict(&renamed));
    let numbers = |v: &Verdict| v.numbers.values().map(working::Number::value).collect::<Vec<_>>();
    assert_eq!(numbers(&before), numbers(&after));
    assert_eq!(before.findings.len(), after.findings.len());
    for ((_, a), (_, b)) in before.lines.iter().zip(&after.lines) {
        assert_eq!(
            (a.tension_n, a.demand_n, a.utilisation),
            (b.tension_n, b.demand_n, b.utilisation)
        );
    }
}

#[test]
fn every_number_shown_of_a_case_can_be_unfolded_and_is_sound() {
    let v = verdict(COURTYARD);
    for (path, number) in &v.numbers {
        assert_eq!(number.unsound(), Vec::<String>::new(), "{path}");
    }
    for (name, case) in &v.cases {
        for (line, told) in &case.lines {
            let number = &v.numbers[&format!("cases.{name}.lines.{line}.tension")];
            assert_eq!(Some(number.value()), told.tension_n, "{name} {line}");
        }
        for (point, on) in &case.points {
            let number = &v.numbers[&format!("cases.{name}.points.{point}.variable_down")];
            assert_eq!(number.value(), on.variable.down_n, "{name} {point}");
        }
    }
    for (name, line) in &v.lines {
        assert_eq!(
            Some(v.numbers[&format!("lines.{name}.tension")].value()),
            line.tension_n,
            "{name}"
        );
        assert_eq!(
            Some(v.numbers[&format!("lines.{name}.use")].value()),
            line.utilisation,
            "{name}"
        );
    }
}

/// How severe each rule is on each subject.
fn severities(v: &Verdict) -> Vec<((String, String), Severity)> {
    v.findings
        .iter()
        .map(|f| ((f.rule.clone(), f.subject.clone()), f.severity))
        .collect()
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(41), failure_persistence: None, cases: 24, ..Config::default() })]

    /// One case more never makes a verdict milder, nor any use less.
    #[test]
    fn a_case_more_never_makes_a_verdict_milder(
        on in prop::sample::select(vec!["flock", "flock.ne", "ring"]),
        force in prop::array::uniform3(-80.0..80.0f64),
        weight in 0.1..200.0f64,
        degrees in -30.0..60.0f64,
        kinds in prop::collection::vec(0usize..3, 1..3),
    ) {
        let mut cases = String::new();
        for (i, kind) in kinds.iter().enumerate() {
            cases += &match kind {
                0 => {
                    let [x, y, z] = force;
                    format!("[cases.c{i}]\nforces = [{{ what = \"hand\", on = \"{on}\", force = [\"{x:?} lb\", \"{y:?} lb\", \"{z:?} lb\"] }}]\n")
                }
                1 => format!("[cases.c{i}]\nweights = [{{ what = \"snow\", on = \"{on}\", weight = \"{weight:?} lb\" }}]\n"),
                _ => format!("[cases.c{i}]\ntemperature = \"{degrees:?} degC\"\n"),
            };
        }
        let (before, after) = (verdict(FLOCK), verdict(&(FLOCK.to_string() + &cases)));
        prop_assert!(after.verdict >= before.verdict);
        let told = severities(&after);
        for (key, severity) in severities(&before) {
            let now = told.iter().filter(|(k, _)| *k == key).map(|(_, s)| *s).max();
            prop_assert!(now >= Some(severity), "{key:?}");
        }
        for (name, line) in &before.lines {
            // The plain rig is among the cases, but for rounding from another start.
            prop_assert!(after.lines[name].utilisation.unwrap() >= line.utilisation.unwrap() * (1.0 - 2e-6), "{name}");
        }
    }
}

/// An arm with 300 N at its tip in one case and 2000 N beside the wall in another: the building is told the greatest moment of the
/// first and the greatest force of the second (force and moment of a cantilever).
#[test]
fn a_built_in_end_is_told_the_worst_of_each_over_all_cases() {
    let v = verdict(
        "title = \"Larkspur Library yard: an arm\"\npractice = \"static-overhead\"\n[pipes.arm]\nlength = \"2 m\"\n\
         EI = \"600 kN m2\"\nmass = \"0 kg/m\"\nbuilt_in = \"start\"\ntrim = { at = [\"1 m\", \"0 m\", \"3 m\"] }\nunder = \"nobody\"\n\
         [cases.tip]\nforces = [{ what = \"a pull\", on = \"arm\", force = [\"0 N\", \"0 N\", \"-300 N\"], at = [\"1 m\", \"0 m\", \"0 m\"] }]\n\
         [cases.wall]\nforces = [{ what = \"a pull\", on = \"arm\", force = [\"0 N\", \"0 N\", \"-2000 N\"], at = [\"-0.9 m\", \"0 m\", \"0 m\"] }]\n",
    );
    let end = &v.pipes["arm"].built_in["start"];
    assert_near(end.demand_force_n.unwrap(), 2000.0, 0.1, "force");
    assert_near(end.demand_moment_nm.unwrap(), 600.0, 1.0, "moment");
    assert_eq!(
        (end.cases["force"].as_str(), end.cases["moment"].as_str()),
        ("wall", "tip")
    );
    let says: Vec<&str> = v
        .findings
        .iter()
        .filter(|finding| finding.rule == "pipe-built-in")
        .map(|finding| finding.says.as_str())
        .collect();
    assert!(
        says.iter().any(|says| says.contains("2 kN")) && says.iter().any(|says| says.contains("600 N m")),
        "{says:?}"
    );
    assert_near(v.numbers["pipes.arm.start_force"].value(), 2000.0, 0.1, "working");
}
