//! What tolerances and uncertainties do to a rig, against closed forms and itself.

use crate::{assert_near, document, verdict};
use parts::Book;
use practice::Practices;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use rig::{Group, InputLaw, SpreadAnswer, SpreadQuestion, spread};

fn asked(samples: u32, seed: u64) -> SpreadQuestion {
    SpreadQuestion {
        samples,
        seed,
        points_give_m_per_n: None,
    }
}

fn answer(text: &str, question: &SpreadQuestion) -> SpreadAnswer {
    let (practices, book) = (Practices::published(), Book::published());
    spread(text, book, practices, Some("2026-03-14"), question, &|_| true)
        .unwrap_or_else(|error| panic!("{error:?}"))
}

/// A bar of 2 m on two plumb lines: statics alone decides what each carries.
fn bar(more_of_load: &str, more_of_lines: &str) -> String {
    let load = format!(
        "[loads.bar]\nweight = \"1000 N\"\nweight_from = \"weighed\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\n\
         picks = {{ a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n{more_of_load}\n"
    );
    let points = [("a", [-1.0, 0.0, 3.0]), ("b", [1.0, 0.0, 3.0])];
    let lines = [("a", "a", "bar.a", 3.0, 1e6), ("b", "b", "bar.b", 3.0, 1e6)];
    with_lines(document(&points, &load, &lines), more_of_lines)
}

/// Says something of every line.
fn with_lines(text: String, more: &str) -> String {
    text.replace("stiffness = ", &format!("{more}\nstiffness = "))
}

/// Only the weight is off, by 4 % (two standard deviations of 2 %): each tension is W / 2 (1 + x), so its percentiles are
/// those of the normal law, and its mean is its nominal value. Limits in print: 1.644854 standard deviations.
#[test]
fn a_determinate_line_spreads_as_the_weight_does() {
    let text = bar(
        "weight_spread = \"4 %\"\ncentre_spread = \"0 mm\"",
        "tolerance = \"0 mm\"\nstiffness_spread = \"0 %\"",
    );
    let answer = answer(&text, &asked(20_000, 1));
    assert_eq!((answer.samples.drawn, answer.samples.hang), (20_000, 20_000));
    for (name, line) in &answer.lines {
        let tension = &line.tension_n;
        assert_near(tension.as_stated, 500.0, 1e-6, name);
        // The standard error of a 95th percentile of a normal law is 2.11 deviations over sqrt n.
        let (deviation_n, error_n) = (10.0, 5.0 * 2.11 * 10.0 / 20_000_f64.sqrt());
        assert_near(tension.median.value, 500.0, error_n, name);
        assert_near(
            tension.percent_95.value,
            500.0 + 1.644_854 * deviation_n,
            error_n,
            name,
        );
        assert_near(
            tension.percent_5.value,
            500.0 - 1.644_854 * deviation_n,
            error_n,
            name,
        );
        assert!(tension.percent_95.at_least < Some(tension.percent_95.value));
        assert!(tension.percent_95.at_most > Some(tension.percent_95.value));
        let causes = line.causes.as_ref().unwrap();
        assert_near(causes.weight, 1.0, 1e-3, name);
        let most = causes.most.as_ref().unwrap();
        assert_eq!(
            (most.of.as_str(), most.says.as_str()),
            ("loads.bar", "how much `bar` weighs")
        );
        assert_eq!(line.slack.count, 0);
    }
}

/// Weight and centre are off: T = W (1 + x) (1 / 2 + c / 2 m), so to the first order the variance of T is
/// (W / 2)^2 of x and (W / 2 m)^2 of c; with x of 0.5 % and c even within 20 mm (variance 133.3 mm^2), 6.25 and 33.3 N^2.
#[test]
fn shares_of_the_variance_are_those_of_the_law() {
    let text = bar(
        "weight_spread = \"1 %\"\ncentre_spread = \"20 mm\"",
        "tolerance = \"0 mm\"\nstiffness_spread = \"0 %\"",
    );
    let answer = answer(&text, &asked(20_000, 7));
    for (name, line) in &answer.lines {
        let causes = line.causes.as_ref().unwrap();
        let centre = 33.333 / (33.333 + 6.25);
        // Five standard errors of a squared correlation, 2 r (1 - r^2) / sqrt n.
        assert_near(causes.centre, centre, 0.011, name);
        assert_near(causes.weight, 1.0 - centre, 0.011, name);
        assert!(
            causes.left < 1e-3 && causes.lengths < 1e-3 && causes.give == 0.0,
            "{causes:?}"
        );
        assert!(causes.most.as_ref().unwrap().says.contains("along its own x"));
    }
    let all = answer.causes.unwrap();
    assert_near(all.centre, 33.333 / 39.583, 0.011, "all lines together");
}

const CORNERS: [(&str, [f64; 3]); 4] = [
    ("a", [-1.5, -1.0, 4.0]),
    ("b", [1.5, -1.0, 4.0]),
    ("c", [1.5, 1.0, 4.0]),
    ("d", [-1.5, 1.0, 4.0]),
];

/// The plate of case P20 of tests/published/mechanics/cases.toml, its centre of gravity 0.3 m lower so that it hangs
/// stably: 4000 N on four equal legs of k = EA / L = 250 kN/m.
fn plate(more_of_load: &str, more_of_lines: &str) -> String {
    let picks: Vec<String> = CORNERS
        .iter()
        .map(|(name, [x, y, _])| format!("{name} = [\"{x:?} m\", \"{y:?} m\", \"0 m\"]"))
        .collect();
    let load = format!(
        "[loads.plate]\nweight = \"4000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.3 m\"]\npicks = {{ {} }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n{more_of_load}\n",
        picks.join(", ")
    );
    let ends: Vec<(String, String)> = CORNERS
        .iter()
        .map(|(name, _)| (name.to_string(), format!("plate.{name}")))
        .collect();
    let lines: Vec<_> = ends
        .iter()
        .map(|(name, pick)| (name.as_str(), name.as_str(), pick.as_str(), 4.0, 1e6))
        .collect();
    with_lines(document(&CORNERS, &load, &lines), more_of_lines)
}

const NO_WEIGHT: &str = "weight_spread = \"0 %\"\ncentre_spread = \"0 mm\"";

fn only_lengths(tolerance_mm: f64) -> String {
    plate(
        NO_WEIGHT,
        &format!("tolerance = \"{tolerance_mm} mm\"\nstiffness_spread = \"0 %\""),
    )
}

/// The chance that a sum of four even variables within t either way is more than s (the law of Irwin and Hall).
fn four_even_above(s_over_t: f64) -> f64 {
    let x = 0.5 * (4.0 - s_over_t);
    let binomial = [1.0, 4.0, 6.0];
    let terms = binomial.iter().enumerate().map(|(k, c)| {
        let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
        sign * c * (x - k as f64).max(0.0).powi(4)
    });
    terms.sum::<f64>() / 24.0
}

/// The chance that two even variables within 1 are both more than the mean of two others by s, by Simpson's rule over
/// that mean, whose density is 1 - |m|.
fn both_even_above_the_mean_of_two(s: f64) -> f64 {
    let steps = 2_000;
    let width = (2.0 - s) / f64::from(steps);
    let terms = (0..=steps).map(|i| {
        let m = -1.0 + width * f64::from(i);
        let weight = match i {
            0 => 1.0,
            i if i == steps => 1.0,
            i if i % 2 == 1 => 4.0,
            _ => 2.0,
        };
        weight * (1.0 - m.abs()) * (0.5 * (1.0 - m - s)).powi(2)
    });
    terms.sum::<f64>() * width / 3.0
}

/// By P20 a leg loses k / 4 of how much it and the leg across are longer than the other two, and a diagonal is idle where
/// that is W / 4: where a sum of four even lengths is more than W / k = 16 mm. The plate then turns on the other diagonal,
/// level if it can, since its centre is below: both idle legs are slack if each is longer than the mean of the other two and
/// their stretch, 8 mm; else the shorter of the two just holds it, and one is slack. So the chance that a leg is slack is
/// the mean of those of an idle diagonal and of two slack legs.
#[test]
fn a_plate_on_four_legs_has_slack_legs_as_often_as_the_closed_form() {
    for tolerance_mm in [6.0, 8.0, 10.0] {
        let answer = answer(&only_lengths(tolerance_mm), &asked(40_000, 3));
        let by = |stretch: f64| {
            let idle = four_even_above(2.0 * stretch / tolerance_mm);
            0.5 * (idle + both_even_above_the_mean_of_two(stretch / tolerance_mm))
        };
        let chance = by(8.0);
        for (name, line) in &answer.lines {
            let error = (chance * (1.0 - chance) / 40_000.0).sqrt();
            // P20 is of the first order: a few newtons of 1000, as it says, so half a per cent of the stretch.
            let first_order = by(8.0 * 0.995) - chance;
            let found = line.slack.chance.unwrap();
            let what = format!("{name} at {tolerance_mm} mm");
            assert_near(found, chance, 4.0 * error + first_order, &what);
            // Two legs that carry all: W / 2, and hardly more.
            assert!(
                line.tension_n.greatest < 2010.0 && line.tension_n.greatest > 1990.0,
                "{:?}",
                line.tension_n
            );
            assert_near(line.two_legs.as_ref().unwrap().share_n, 2000.0, 0.1, name);
            assert_eq!(line.two_legs.as_ref().unwrap().legs, 4);
            assert_near(line.worst_share_n.unwrap(), 2000.0, 0.5, name);
            let causes = line.causes.as_ref().unwrap();
            assert!(
                causes.lengths > 0.9 && causes.lengths + causes.left > 0.995,
                "{causes:?}"
            );
        }
    }
}

/// With lengths off by little no leg goes slack, and tensions are linear in lengths: T = W / 4 + k / 4 of the sum of four
/// even lengths, whose variance is 4 t^2 / 3. A quarter of it comes from each length.
#[test]
fn small_tolerances_spread_tensions_as_linear_theory_says() {
    let answer = answer(&only_lengths(1.0), &asked(40_000, 12));
    let k_n_per_mm = 250.0;
    for (name, line) in &answer.lines {
        // The 95th percentile of the sum of four even variables within 1: by the law of Irwin and Hall.
        let percentile = (0..20_000)
            .map(|i| f64::from(i) * 1e-4)
            .find(|s| four_even_above(*s) <= 0.05)
            .unwrap();
        assert_near(
            line.tension_n.percent_95.value,
            1000.0 + 0.25 * k_n_per_mm * percentile,
            // Four standard errors of the percentile and the first order of P20, a newton here.
            4.0 * 0.25 * k_n_per_mm * (0.05_f64 * 0.95 / 40_000.0).sqrt() / 0.12 + 1.0,
            name,
        );
        assert_near(line.tension_n.median.value, 1000.0, 2.0, name);
        assert_eq!(
            (line.slack.count, line.two_legs.as_ref().unwrap().over.count),
            (0, 0)
        );
        let causes = line.causes.as_ref().unwrap();
        assert!(causes.lengths > 0.999, "{causes:?}");
        assert_near(causes.most.as_ref().unwrap().share, 0.25, 0.02, name);
    }
}

/// What is symmetric spreads alike: percentiles of the four legs differ by no more than sampling lets them.
#[test]
fn a_symmetric_rig_spreads_alike() {
    let answer = answer(&plate("", "tolerance = \"6 mm\""), &asked(20_000, 5));
    let first = &answer.lines["a"].tension_n;
    for (name, line) in &answer.lines {
        let pairs = [
            (first.median, line.tension_n.median),
            (first.percent_5, line.tension_n.percent_5),
            (first.percent_95, line.tension_n.percent_95),
        ];
        for (a, b) in pairs {
            let width = |of: rig::Estimate| of.at_most.unwrap() - of.at_least.unwrap();
            // Limits are about four standard errors apart; of a difference of two, five standard errors.
            assert!(
                (a.value - b.value).abs() < 5.0 / 4.0 * width(a).hypot(width(b)),
                "{name}: {a:?} {b:?}"
            );
        }
    }
}

/// One group off at a time, with the same draws, gives the variances that the causes give: for inputs off independently
/// and tensions nearly linear in them, they add up.
#[test]
fn causes_agree_with_runs_of_one_group_at_a_time() {
    let all = plate(
        "weight_spread = \"6 %\"\ncentre_spread = \"30 mm\"",
        "tolerance = \"1 mm\"\nstiffness_spread = \"20 %\"",
    );
    let none = |text: &str, keep: &str| {
        let mut text = text.to_string();
        for (key, stated) in [
            ("weight_spread", "\"6 %\""),
            ("centre_spread", "\"30 mm\""),
            ("tolerance", "\"1 mm\""),
            ("stiffness_spread", "\"20 %\""),
        ] {
            if key != keep {
                let zero = if stated.contains("mm") {
                    "\"0 mm\""
                } else {
                    "\"0 %\""
                };
                text = text.replace(&format!("{key} = {stated}"), &format!("{key} = {zero}"));
            }
        }
        text
    };
    // Half of the middle 90 % stands for the deviation; for laws of other shapes it is off by a few per cent.
    let width = |answer: &SpreadAnswer| {
        let tension = &answer.lines["a"].tension_n;
        tension.percent_95.value - tension.percent_5.value
    };
    let question = asked(10_000, 21);
    let whole = answer(&all, &question);
    let causes = whole.lines["a"].causes.clone().unwrap();
    for (key, share) in [
        ("tolerance", causes.lengths),
        ("weight_spread", causes.weight),
        ("centre_spread", causes.centre),
        ("stiffness_spread", causes.stiffness),
    ] {
        let alone = answer(&none(&all, key), &question);
        let found = (width(&alone) / width(&whole)).powi(2);
        assert_near(found, share, 0.05 + 0.1 * share, key);
    }
    assert!(causes.left < 0.02, "{causes:?}");
}

/// The answer hangs on the seed, and not on how many threads there are.
#[test]
fn one_thread_and_two_give_the_same_answer() {
    let text = plate("", "");
    let on = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        let answer = pool.install(|| answer(&text, &asked(1_500, seed)));
        format!("{answer:?}")
    };
    let first = on(1, 4);
    assert_eq!(on(2, 4), first);
    assert_eq!(on(3, 4), first);
    assert_ne!(on(2, 5), first);
}

/// A run that is ended early answers for the samples that a shorter run would have had.
#[test]
fn a_run_ended_early_is_a_shorter_run() {
    let (practices, book) = (Practices::published(), Book::published());
    let text = plate("", "");
    let stop = |done: usize| done < 1_024;
    let early = spread(&text, book, practices, None, &asked(1_000_000, 4), &stop).unwrap();
    assert_eq!((early.samples.asked, early.samples.drawn), (1_000_000, 1_024));
    let shorter = answer(&text, &asked(1_024, 4));
    assert_eq!(format!("{:?}", early.lines), format!("{:?}", shorter.lines));
    let never = spread(&text, book, practices, None, &asked(10, 4), &|_| false).unwrap();
    assert_eq!((never.samples.drawn, never.lines.len()), (0, 0));
    assert_eq!(never.samples.does_not_hang.at_most, 1.0);
}

/// As stated is as checked, in lines, points and loads, and every line and point has its limits from the verdict.
#[test]
fn what_is_as_stated_is_what_check_finds() {
    for text in [
        include_str!("../../../../examples/flock.toml").to_string(),
        include_str!("../../../../examples/batten.toml").to_string(),
        plate("", ""),
    ] {
        let (verdict, answer) = (verdict(&text), answer(&text, &asked(200, 1)));
        assert_eq!(answer.verdict, verdict.verdict);
        for (name, line) in &answer.lines {
            let found = &verdict.lines[name];
            // `check` adds half of the line's weight along the line, this at both ends as vectors.
            assert_near(line.tension_n.as_stated, found.tension_n.unwrap(), 0.05, name);
            assert_eq!(
                (line.working_load_n, line.worst_share_n),
                (found.working_load_n, found.worst_share_n)
            );
            assert_eq!(line.over_working_load.is_some(), found.working_load_n.is_some());
        }
        for (name, point) in &answer.points {
            assert_near(
                point.down_n.as_stated,
                verdict.points[name].down_n.unwrap(),
                1e-6,
                name,
            );
            assert_near(
                point.side_n.as_stated,
                verdict.points[name].side_n.unwrap(),
                1e-6,
                name,
            );
            assert_eq!(point.allowed_down_n, verdict.points[name].allowed_down_n);
        }
        for (name, load) in &answer.loads {
            assert_near(
                load.height_m.as_stated,
                verdict.loads[name].at_m.unwrap()[2],
                1e-9,
                name,
            );
            assert_near(
                load.tilt_deg.as_stated,
                verdict.loads[name].tilt_deg.unwrap(),
                1e-9,
                name,
            );
        }
    }
}

/// A pipe that is heavier by x is heavier with all that it carries: the points get (1 + x) of it together. Its lines and
/// their hardware, here none, are not heavier.
#[test]
fn a_pipe_is_heavier_with_all_that_it_carries() {
    let text = "title = \"test\"\npractice = \"static-overhead\"\n\
        [points.a]\nat = [\"-2 m\", \"0 m\", \"5 m\"]\n[points.b]\nat = [\"2 m\", \"0 m\", \"5 m\"]\n\
        [pipes.batten]\nlength = \"6 m\"\nEI = \"5 kN m2\"\nmass = \"4 kg/m\"\npicks = { a = \"1 m\", b = \"5 m\" }\n\
        carries = [{ what = \"lamp\", weight = \"200 N\", at = \"2 m\" }, { what = \"cloth\", weight = \"300 N\", from = \"1 m\", to = \"5 m\" }]\n\
        trim = { at = [\"0 m\", \"0 m\", \"2 m\"] }\nunder = \"nobody\"\nweight_spread = \"10 %\"\n\
        [lines.a]\nfrom = \"a\"\nto = \"batten.a\"\nlength = \"3 m\"\nstiffness = \"1 MN\"\ntolerance = \"0 mm\"\nstiffness_spread = \"0 %\"\n\
        [lines.b]\nfrom = \"b\"\nto = \"batten.b\"\nlength = \"3 m\"\nstiffness = \"1 MN\"\ntolerance = \"0 mm\"\nstiffness_spread = \"0 %\"\n";
    let answer = answer(text, &asked(2_000, 2));
    assert_eq!(answer.samples.hang, 2_000);
    let ratio = |of: &rig::Spreading, at: f64| at / of.as_stated;
    for (name, point) in &answer.points {
        let down = &point.down_n;
        // The greatest is the same sample for both points, so their ratios agree but for what the pipe bends and tilts
        // more: 0.8 mm of the 4 m between the lines are 2e-4.
        let other = &answer.points[if name == "a" { "b" } else { "a" }].down_n;
        assert_near(
            ratio(down, down.greatest),
            ratio(other, other.greatest),
            5e-4,
            name,
        );
        // 5 % is a standard deviation; the largest of 2,000 is some 3.4 of them above.
        assert!((1.1..1.25).contains(&ratio(down, down.greatest)), "{down:?}");
    }
    let whole: f64 = answer.points.values().map(|point| point.down_n.as_stated).sum();
    assert_near(whole, 500.0 + 24.0 * 9.80665, 1e-3, "weight");
    let causes = answer.lines["a"].causes.clone().unwrap();
    assert!(causes.weight > 0.999, "{causes:?}");
}

/// Points that give take the sting out of lengths: of springs in a row the whole is 1 / (1 / k + g). With 4 mm/kN on
/// 4 mm/kN of line, half as stiff, so a plate's tensions spread half as wide. Give that differs from point to point is a
/// length in itself: 50 % of 4 mm/kN on 1 kN is 2 mm, beside the 1 mm of the tolerance, so half of sqrt(1 + 4).
#[test]
fn points_that_give_even_out_lengths_if_they_give_alike() {
    let text = plate(NO_WEIGHT, "tolerance = \"1 mm\"\nstiffness_spread = \"0 %\"");
    let rigid = answer(&text, &asked(10_000, 8));
    let (points, rest) = text.split_once("[loads.").unwrap();
    let gives = "gives = \"4 mm/kN\"\ngives_spread = \"0 %\"\nat = ";
    let alike = format!("{}[loads.{rest}", points.replace("at = ", gives));
    let alike = answer(&alike, &asked(10_000, 8));
    let apart = SpreadQuestion {
        points_give_m_per_n: Some(4e-6),
        ..asked(10_000, 8)
    };
    let apart = answer(&text, &apart);
    let width = |answer: &SpreadAnswer| {
        let tension = &answer.lines["a"].tension_n;
        tension.percent_95.value - tension.percent_5.value
    };
    // Widths of 10,000 samples are good to 2 %; sums of four and of eight even laws differ by 1 % in shape.
    assert_near(width(&alike) / width(&rigid), 0.5, 0.015, "alike");
    assert_near(width(&apart) / width(&rigid), 0.5 * 5.0_f64.sqrt(), 0.04, "apart");
    let count = |answer: &SpreadAnswer| {
        answer
            .inputs
            .iter()
            .filter(|input| input.group == Group::Give)
            .count()
    };
    assert_eq!([&rigid, &alike, &apart].map(count), [0, 4, 4]);
    let height = |answer: &SpreadAnswer| answer.loads["plate"].height_m.as_stated;
    assert_near(
        height(&apart),
        height(&rigid) - 0.004,
        1e-4,
        "lower by what 1 kN makes a point give",
    );
}

/// What nobody said is assumed, and told; what is said is taken.
#[test]
fn inputs_are_as_stated_or_assumed_and_told() {
    let assumed = answer(&bar("", ""), &asked(10, 1));
    assert_eq!(assumed.inputs.len(), 2 + 1 + 3 + 2);
    assert!(assumed.inputs.iter().all(|input| input.assumed));
    let by = |answer: &SpreadAnswer, group: Group| {
        let input = answer.inputs.iter().find(|input| input.group == group).unwrap();
        (input.law, input.by_m.or(input.by_share).unwrap())
    };
    // 0.5 % of 3 m; weighed, 1 %; a hundredth of 1 m along x.
    assert_eq!(by(&assumed, Group::Lengths), (InputLaw::Even, 0.015));
    assert_eq!(by(&assumed, Group::Weight), (InputLaw::Normal, 0.01));
    assert_eq!(by(&assumed, Group::Centre), (InputLaw::Even, 0.01));
    assert_eq!(by(&assumed, Group::Stiffness), (InputLaw::Even, 0.2));
    for words in [
        "length tolerance 0.5 %",
        "weight 1 %",
        "a hundredth of how far it reaches",
        "stiffness 20 %",
    ] {
        assert!(
            assumed.defaults.iter().any(|told| told.contains(words)),
            "{words}: {:?}",
            assumed.defaults
        );
    }
    let stated = answer(
        &bar(
            "weight_spread = \"2 %\"\ncentre_spread = \"3 mm\"",
            "tolerance = \"4 mm\"\ntolerance_spread = \"normal\"\nstiffness_spread = \"5 %\"",
        ),
        &asked(10, 1),
    );
    assert!(stated.inputs.iter().all(|input| !input.assumed));
    assert_eq!(by(&stated, Group::Lengths), (InputLaw::Normal, 0.004));
    assert_eq!(by(&stated, Group::Weight), (InputLaw::Normal, 0.02));
    assert_eq!(by(&stated, Group::Centre), (InputLaw::Even, 0.003));
    assert_eq!(by(&stated, Group::Stiffness), (InputLaw::Even, 0.05));
}

/// A rig that does not hang has no samples, and says why.
#[test]
fn a_rig_that_falls_is_not_sampled() {
    let text = bar("", "").replace("to = \"bar.b\"", "to = \"ring\"").replace(
        "[loads.bar]",
        "[junctions.ring]\nnear = [\"1 m\", \"0 m\", \"0 m\"]\n[loads.other]\nweight = \"10 N\"\n\
         picks = { a = [\"0 m\", \"0 m\", \"0 m\"] }\ntrim = { at = [\"0 m\", \"0 m\", \"0 m\"] }\nunder = \"nobody\"\n[loads.bar]",
    );
    let answer = answer(&text, &asked(100, 1));
    assert!(!answer.why_not.is_empty());
    assert_eq!(
        (answer.samples.asked, answer.samples.drawn, answer.lines.len()),
        (100, 0, 0)
    );
    assert_eq!(answer.verdict, rig::VerdictWord::Stop);
}

/// Lengths so far off that things jam or fall are counted, not dropped: every sample is of one kind.
#[test]
fn every_sample_is_counted() {
    let answer = answer(&plate("", "tolerance = \"1.5 m\""), &asked(2_000, 1));
    let count = &answer.samples;
    assert_eq!(count.drawn, 2_000);
    assert_eq!(count.hang + count.fall + count.jam + count.no_rest, count.drawn);
    assert!(count.hang > 0 && count.hang_elsewhere <= count.hang);
    assert_eq!(count.does_not_hang.count, count.drawn - count.hang);
    for line in answer.lines.values() {
        assert_eq!(line.slack.of, count.hang);
    }
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(77), failure_persistence: None, cases: 24, ..Config::default() })]

    /// Whatever is off, percentiles are in order and within what was seen, limits hold what they limit, and causes are
    /// shares.
    #[test]
    fn numbers_are_in_order(tolerance_mm in 0.0_f64..20.0, weight in 0.0_f64..50.0, centre_mm in 0.0_f64..100.0,
                            stiffness in 0.0_f64..90.0, seed in any::<u64>()) {
        let text = plate(
            &format!("weight_spread = \"{weight:.3} %\"\ncentre_spread = \"{centre_mm:.3} mm\""),
            &format!("tolerance = \"{tolerance_mm:.3} mm\"\nstiffness_spread = \"{stiffness:.3} %\""),
        );
        let answer = answer(&text, &asked(300, seed));
        let count = &answer.samples;
        prop_assert_eq!(count.hang + count.fall + count.jam + count.no_rest, 300);
        for line in answer.lines.values() {
            let t = &line.tension_n;
            let order = [t.least, t.percent_5.value, t.median.value, t.percent_95.value, t.greatest];
            prop_assert!(order.windows(2).all(|pair| pair[0] <= pair[1]), "{:?}", t);
            for estimate in [t.percent_5, t.median, t.percent_95] {
                prop_assert!(estimate.at_least.is_none_or(|low| low <= estimate.value));
                prop_assert!(estimate.at_most.is_none_or(|high| high >= estimate.value));
            }
            let chance = line.slack.chance.unwrap();
            prop_assert!(line.slack.at_least <= chance && chance <= line.slack.at_most);
            if let Some(causes) = &line.causes {
                let shares = [causes.lengths, causes.weight, causes.centre, causes.stiffness, causes.give, causes.left];
                prop_assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{:?}", causes);
            }
        }
    }
}

/// A plate on three or four legs from points anywhere above it, one of them giving; nothing of it is symmetric.
fn uneven_plate(shifts: &[(f64, f64, f64)], centre: (f64, f64)) -> String {
    let corners = [[1.0, 0.8], [-1.0, 0.7], [-0.9, -0.8], [1.1, -0.7]];
    let used = || corners.iter().zip(shifts).enumerate();
    let picks: Vec<String> = used()
        .map(|(i, ([x, y], _))| format!("p{i} = [\"{x} m\", \"{y} m\", \"0 m\"]"))
        .collect();
    let load = format!(
        "[loads.plate]\nweight = \"1200 N\"\nweight_from = \"maker\"\ncentre = [\"{} m\", \"{} m\", \"-0.3 m\"]\n\
         picks = {{ {} }}\ntrim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n",
        centre.0,
        centre.1,
        picks.join(", ")
    );
    let names: Vec<[String; 3]> = (0..shifts.len())
        .map(|i| [format!("q{i}"), format!("l{i}"), format!("plate.p{i}")])
        .collect();
    let places: Vec<[f64; 3]> = used()
        .map(|(_, ([x, y], (dx, dy, up)))| [x + dx, y + dy, *up])
        .collect();
    let points: Vec<(&str, [f64; 3])> = names
        .iter()
        .zip(&places)
        .map(|(n, at)| (n[0].as_str(), *at))
        .collect();
    let lines: Vec<(&str, &str, &str, f64, f64)> = used()
        .zip(&names)
        .zip(&places)
        .map(|(((_, ([x, y], _)), [q, l, p]), at)| {
            let way_m = ((at[0] - x).powi(2) + (at[1] - y).powi(2) + at[2].powi(2)).sqrt();
            (l.as_str(), q.as_str(), p.as_str(), way_m, 8e5)
        })
        .collect();
    document(&points, &load, &lines).replacen("[points.q0]\n", "[points.q0]\ngives = \"2 mm/kN\"\n", 1)
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(47), failure_persistence: None, cases: 24, ..Config::default() })]

    /// Means converge: of a tenth of the samples they are within some standard errors of those of all of them, whose own errors
    /// are smaller by the square root of ten; and the mean forces on the points add up to the mean weight.
    #[test]
    fn means_converge(
        legs in 3_usize..=4,
        shifts in prop::array::uniform4((-0.6_f64..0.6, -0.6_f64..0.6, 2.0_f64..6.0)),
        centre in (-0.1_f64..0.1, -0.1_f64..0.1),
        seed in 0_u64..1000,
    ) {
        let centre = if legs == 3 { (-0.3 + centre.0, 0.25 + centre.1) } else { centre };
        let text = uneven_plate(&shifts[..legs], centre);
        let (few, many) = (answer(&text, &asked(400, seed)), answer(&text, &asked(4000, seed + 1)));
        prop_assert_eq!(many.samples.hang, 4000);
        for (name, line) in &many.lines {
            let (few, many) = (&few.lines[name].tension_n, &line.tension_n);
            let errors = [few, many].map(|of| of.mean_standard_error.unwrap());
            let apart = (few.mean - many.mean).abs();
            // Five standard errors: one in a million by chance alone.
            prop_assert!(apart <= 5.0 * errors[0].hypot(errors[1]) + 1e-9, "{name}: {apart} of {errors:?}");
            let ratio = errors[0] / errors[1];
            prop_assert!((2.2..4.5).contains(&ratio) || errors[0] < 1e-9, "{name}: {ratio}");
            prop_assert!(many.least <= many.mean && many.mean <= many.greatest);
        }
        let (down_n, error_n) = many.points.values().fold((0.0, 0.0), |sum, point| {
            (sum.0 + point.down_n.mean, sum.1 + point.down_n.mean_standard_error.unwrap())
        });
        prop_assert!((down_n - 1200.0).abs() <= 5.0 * error_n, "{down_n} {error_n}");
    }
}

/// Lengths anywhere within their tolerances bring no line of a plate on legs that lean more than `check` holds it against.
#[test]
fn no_sample_passes_what_check_bounds_legs_that_lean_by() {
    let only_lengths = "tolerance = \"12 mm\"\nstiffness_spread = \"0 %\"";
    for lean_m in [0.25, 0.5, 0.8, 1.5] {
        let out = |i: usize| if i == 0 || i == 3 { lean_m } else { -lean_m };
        let shifts: Vec<(f64, f64, f64)> = (0..4).map(|i| (out(i), 0.1 * out(i), 5.0)).collect();
        let text = uneven_plate(&shifts, (0.05, 0.02))
            .replacen("gives = \"2 mm/kN\"\n", "", 1)
            .replacen(
                "[loads.plate]\n",
                "[loads.plate]\nweight_spread = \"0 %\"\ncentre_spread = \"0 mm\"\n",
                1,
            );
        let answer = answer(&with_lines(text, only_lengths), &asked(3000, 5));
        for (name, line) in &answer.lines {
            let bound = line.worst_share_n.unwrap_or(1.05 * line.tension_n.as_stated);
            assert!(
                line.tension_n.greatest <= 1.01 * bound,
                "{lean_m} {name}: {} {bound}",
                line.tension_n.greatest
            );
        }
    }
}
