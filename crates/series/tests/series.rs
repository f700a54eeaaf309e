//! Series documents from end to end, against the published check values of tests/published/pulltest/checks.toml (computed there with scipy, and
//! where its source says so printed in handbooks).

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that can not be set up has failed"
)]

use practice::Severity;
use series::{Proved, SeriesAnswer, Supported, prove, read_series};
use std::fmt::Write as _;
use std::io::{Error, ErrorKind};

/// A series of one kind with typed peaks, kN, and what else is said of the kind and the document.
fn document(peaks: &[(&str, f64, &str)], head: &str, kind: &str) -> String {
    let mut text = format!(
        "title = \"tests\"\n{head}\n[kinds.k]\nparts = [\"eye-sleeve-1/4\", \"rope-7x19-galv-1/4\", \"eye-sleeve-1/4\"]\n\
         tests = \"eye-sleeve-1/4\"\n{kind}\n"
    );
    for (name, peak, more) in peaks {
        writeln!(text, "[kinds.k.specimens.{name}]\npeak = \"{peak} kN\"\n{more}").unwrap();
    }
    text
}

fn proved(text: &str) -> Proved {
    let read = read_series(text);
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    let none = |_: &str| Err(Error::from(ErrorKind::NotFound));
    prove(&read.value, parts::Book::published(), &none).unwrap()
}

fn answer(text: &str) -> SeriesAnswer {
    proved(text).answer
}

fn near(found: f64, expected: f64) {
    assert!((found / expected - 1.0).abs() < 1e-8, "{found} {expected}");
}

/// The three specimens of C13: a working load of 1.7 kN at a design factor of 10, a rope of 23 kN.
const THREE: [(&str, f64, &str); 3] = [("a", 20.62, ""), ("b", 21.14, ""), ("c", 20.41, "")];
const CLAIM: &str = "claim = { working_load = \"1.7 kN\", design_factor = 10 }\nbreaking = { force = \"23 kN\", by = \"catalogue\" }";

/// Check C13 and C06.
#[test]
fn three_specimens_and_a_claim() {
    let levels = [
        (
            "share = \"95 %\"\nconfidence = \"95 %\"",
            17.846_167_699,
            Supported::Yes,
        ),
        ("", 16.757_509_337, Supported::NotShown),
        (
            "share = \"90 %\"\nconfidence = \"75 %\"",
            19.783_377_127,
            Supported::Yes,
        ),
    ];
    for (head, limit_kn, supported) in levels {
        let answer = answer(&document(&THREE, head, CLAIM));
        let kind = &answer.kinds["k"];
        assert_eq!(kind.limits[0].method, "normal");
        near(kind.limits[0].limit_n, 1e3 * limit_kn);
        assert_eq!(kind.supported, supported, "{head}");
        near(kind.largest_working_load_n.unwrap(), 1e2 * limit_kn);
        // The working prints what was computed.
        near(kind.numbers["limit"].value(), 1e3 * limit_kn);
        assert_eq!(kind.numbers["limit"].unsound(), Vec::<String>::new());
    }
    let answer = answer(&document(&THREE, "", CLAIM));
    let kind = &answer.kinds["k"];
    assert_eq!(kind.specimens_needed, Some(4));
    let efficiency = kind.efficiency.unwrap();
    assert!((efficiency.mean - 0.901_014).abs() < 1e-6 && (efficiency.least - 0.887_391).abs() < 1e-6);
    let summary = kind.summary.unwrap();
    near(summary.mean_n, 20_723.333_333_3);
    near(summary.sd_n.unwrap(), 375.810_235_8);
    near(summary.mean_interval_n.unwrap()[0], 19_789.768_95);
    near(summary.sd_interval_n.unwrap()[1], 2_361.867_628);
    // By how many held it alone (C17): three of three at 95 % are 36.8 %.
    assert!((kind.share_that_held.unwrap() - 0.05_f64.powf(1.0 / 3.0)).abs() < 1e-12);
    // A limit that is too low is a caution with so few, and no stop.
    let severities: Vec<Severity> = answer.findings.iter().map(|finding| finding.severity).collect();
    assert_eq!(severities, [Severity::Caution]);
}

/// One that failed under the claim is a stop until somebody explains it, also where it is set aside without a reason of its own.
#[test]
fn a_specimen_under_the_claim_stops_until_it_is_explained() {
    let mut low = THREE.to_vec();
    low.push(("d", 16.9, ""));
    let found = answer(&document(&low, "", CLAIM));
    assert_eq!(found.kinds["k"].supported, Supported::No);
    assert_eq!(found.findings[0].severity, Severity::Stop);
    assert!(
        found.findings[0].says.contains("`d`"),
        "{}",
        found.findings[0].says
    );
    low[3].2 = "explained = \"wrong die; the die is scrapped and three more were pulled\"";
    let explained = answer(&document(&low, "", CLAIM));
    assert!(
        explained
            .findings
            .iter()
            .all(|finding| finding.severity == Severity::Caution)
    );
    // It is a result all the same.
    assert_eq!(explained.kinds["k"].supported, Supported::No);
    low[3].2 = "set_aside = \"the pin of the bench broke\"";
    let aside = answer(&document(&low, "", CLAIM));
    let kind = &aside.kinds["k"];
    assert_eq!((kind.failed, kind.set_aside), (3, 1));
    assert_eq!(kind.summary_with_set_aside.unwrap().n, 4);
}

/// Stopped specimens are no failures: they move neither mean nor scatter, and a claim they were stopped under is not shown.
#[test]
fn stopped_specimens_are_at_least() {
    let mut stopped = THREE.to_vec();
    stopped.push(("d", 15.0, "saw = \"did not fail\""));
    let head = "share = \"95 %\"";
    let answer = answer(&document(&stopped, head, CLAIM));
    let kind = &answer.kinds["k"];
    assert_eq!((kind.failed, kind.stopped), (3, 1));
    near(kind.summary.unwrap().mean_n, 20_723.333_333_3);
    assert_eq!(kind.supported, Supported::NotShown);
    assert!(kind.judgement.contains("did not fail"), "{}", kind.judgement);
    // The Weibull fit knows of it: check C18, ten failures and ten stopped at 500 (a published example).
    let failures = [
        54.0, 187.0, 216.0, 240.0, 244.0, 335.0, 361.0, 373.0, 375.0, 386.0,
    ];
    let names: Vec<String> = (0..20).map(|i| format!("s{i}")).collect();
    let all: Vec<(&str, f64, &str)> = names
        .iter()
        .enumerate()
        .map(|(i, name)| match failures.get(i) {
            Some(force) => (name.as_str(), *force, ""),
            None => (name.as_str(), 500.0, "saw = \"test gear failed\""),
        })
        .collect();
    let censored = self::answer(&document(&all, "", ""));
    let fit = censored.kinds["k"].weibull.unwrap();
    assert!((fit.shape - 1.7208).abs() < 1e-4, "{fit:?}");
    assert!((fit.scale_n / 1e3 - 606.528).abs() < 1e-3, "{fit:?}");
    assert_eq!(censored.kinds["k"].supported, Supported::NoClaim);
}

/// A first break below the peak is what counts.
#[test]
fn the_first_break_counts() {
    let first = [
        ("a", 20.62, "first_break = \"18 kN\""),
        ("b", 21.14, ""),
        ("c", 20.41, ""),
    ];
    let answer = answer(&document(&first, "", CLAIM));
    let specimen = &answer.kinds["k"].specimens["a"];
    near(specimen.strength_n, 18e3);
    near(specimen.peak_n, 20.62e3);
    near(answer.kinds["k"].summary.unwrap().least_n, 18e3);
}

/// Check C26: three against four.
#[test]
fn two_kinds_are_compared() {
    let parts = "parts = [\"eye-sleeve-1/4\", \"rope-7x19-galv-1/4\", \"eye-sleeve-1/4\"]\ntests = \"eye-sleeve-1/4\"\n";
    let mut text = document(&THREE, "", "") + &format!("[kinds.other]\n{parts}");
    for (i, peak) in [18.90, 19.75, 19.30, 18.40].iter().enumerate() {
        writeln!(text, "[kinds.other.specimens.s{i}]\npeak = \"{peak} kN\"").unwrap();
    }
    let answer = answer(&text);
    let comparison = answer.comparison.unwrap();
    near(comparison.t, 4.541_633_689);
    near(comparison.df, 4.971_456_482);
    near(comparison.p, 0.006_245_902_903);
    near(comparison.rank_p.unwrap(), 0.057_142_857_14);
    assert!(
        comparison.says.starts_with("`k` is stronger on average"),
        "{}",
        comparison.says
    );
}

#[test]
fn few_or_like_tests_give_no_limit() {
    for (peaks, words) in [
        (&THREE[..1], "one test is a number"),
        (
            &[("a", 20.0, ""), ("b", 20.0, ""), ("c", 20.0, "")][..],
            "coarseness of the cell",
        ),
    ] {
        let answer = answer(&document(peaks, "", CLAIM));
        let kind = &answer.kinds["k"];
        assert!(kind.limits.is_empty());
        assert_eq!(kind.supported, Supported::NotShown);
        assert!(kind.judgement.contains(words), "{}", kind.judgement);
    }
    // A scatter that is taken at the least gives one.
    let floor = format!("{CLAIM}\nleast_scatter = \"6 %\"");
    let answer = answer(&document(
        &[("a", 20.0, ""), ("b", 20.0, ""), ("c", 20.0, "")],
        "",
        &floor,
    ));
    let limit_n = answer.kinds["k"].limits[0].limit_n;
    // 99 % at 95 %, three values: k = 10.553 (methods.md, table).
    assert!((limit_n - 20e3 * (1.0 - 0.06 * 10.553)).abs() < 2.0, "{limit_n}");
}

#[test]
fn mistakes_are_told_where_they_are() {
    let text = document(&[("a", 20.0, "log = \"a.csv\"")], "share = \"120 %\"", "")
        .replace("tests = \"eye-sleeve-1/4\"", "tests = \"eye-sleeve-1/8\"");
    let read = read_series(&text);
    let says: Vec<&str> = read
        .problems
        .iter()
        .map(|problem| problem.says.as_str())
        .collect();
    assert!(
        says.iter().any(|says| says.contains("both `log` and `peak`")),
        "{says:?}"
    );
    assert!(says.iter().any(|says| says.contains("`share`")), "{says:?}");
    let text = document(&[("a", 20.0, "")], "", "").replace("peak = \"20 kN\"", "log = \"gone.csv\"");
    let read = read_series(&text);
    let none = |_: &str| Err(Error::from(ErrorKind::NotFound));
    let problems = prove(&read.value, parts::Book::published(), &none).unwrap_err();
    assert_eq!(&text[problems[0].at.clone()], "\"gone.csv\"");
}

/// A common error of the cell lowers the limit by as much; k of three as in check C13.
#[test]
fn what_the_cell_may_be_off_by_is_taken_off_the_limit() {
    let with = |cell: &str| {
        let found = answer(&document(&THREE, cell, CLAIM));
        found.kinds["k"].limits[0].limit_n
    };
    near(with(""), 16_757.509_337);
    near(with("[cell]\nuncertainty = \"3 %\""), 0.97 * 16_757.509_337);
}

/// Two tests give no limit, however close they lie.
#[test]
fn two_tests_support_nothing() {
    let two = [("a", 20.62, ""), ("b", 20.63, "")];
    let found = answer(&document(&two, "", CLAIM));
    assert_eq!(found.kinds["k"].supported, Supported::NotShown);
    assert!(found.kinds["k"].limits.is_empty());
    assert_eq!(found.kinds["k"].largest_working_load_n, None);
}

/// The published rating of an adjustable grip is not passed by a claim: a stop. The book is the one of the examples.
#[test]
fn no_claim_is_more_than_the_rating() {
    let book = include_str!("../../../examples/parts/grips.toml");
    let (book, problems) = parts::Book::read("grips.toml", book);
    assert!(problems.is_empty());
    let book = parts::Book::published().overlaid(&book);
    let judged = |working_load: &str| {
        let text = format!(
            "title = \"grips\"\n[kinds.k]\nparts = [\"eye-sleeve-1/8\", \"rope-7x19-galv-1/8\", {{ part = \"grip-loop-1/8\", tail = \"4 in\" }}]\n\
             tests = \"grip-loop-1/8\"\nclaim = {{ working_load = \"{working_load}\", design_factor = 2 }}\n\
             specimens = {{ a = {{ peak = \"1300 lb\", saw = \"pulled out\" }}, b = {{ peak = \"1310 lb\", saw = \"pulled out\" }}, c = {{ peak = \"1330 lb\", saw = \"pulled out\" }} }}\n"
        );
        let none = |_: &str| Err(Error::from(ErrorKind::NotFound));
        let found = prove(&read_series(&text).value, &book, &none).unwrap();
        let stops = found.answer.findings.iter();
        stops.filter(|finding| finding.severity == Severity::Stop).count()
    };
    assert_eq!((judged("210 lb"), judged("211 lb")), (0, 1));
}

/// A log of straight lines in which the rope slips and nothing is seen to fail: it is told, and it shows nothing.
#[test]
fn what_slips_is_told_and_what_nobody_saw_shows_nothing() {
    let log = |peak_kn: f64| {
        let mut text = "Time [s],Force [kN],Travel [mm]\n".to_string();
        for at in 0..1200_u32 {
            let t_s = f64::from(at) / 20.0;
            // 2 s at rest, 0.5 kN/s with a slip by 1 kN at half of the peak, then back.
            let pulled = 0.5 * (t_s - 2.0).max(0.0);
            let force = if pulled < 0.5 * peak_kn {
                pulled
            } else {
                pulled - 1.0
            };
            let turns_s = 2.0 + (peak_kn + 1.0) / 0.5;
            let (force, travel) = if t_s < turns_s {
                (force, pulled)
            } else {
                let back = (t_s - turns_s) * 0.5;
                ((peak_kn - back).max(0.0), (peak_kn + 1.0 - back).max(1.0))
            };
            writeln!(text, "{t_s:.2},{force:.4},{travel:.4}").unwrap();
        }
        text
    };
    let prove_with = |saw: &str| {
        let mut text = document(
            &THREE,
            "",
            "claim = { working_load = \"1 kN\", design_factor = 8 }",
        );
        write!(text, "[kinds.k.specimens.d]\nlog = \"d.csv\"\n{saw}\n").unwrap();
        let open = |_: &str| -> std::io::Result<Box<dyn std::io::Read>> {
            Ok(Box::new(std::io::Cursor::new(log(12.0).into_bytes())))
        };
        prove(&read_series(&text).value, parts::Book::published(), &open)
            .unwrap()
            .answer
    };
    let unseen = prove_with("");
    let kind = &unseen.kinds["k"];
    let slipped_n = kind.specimens["d"].slipped_n.unwrap();
    assert!((slipped_n - 6000.0).abs() < 60.0, "{slipped_n}");
    let is_told = |answer: &SeriesAnswer| {
        answer
            .findings
            .iter()
            .any(|finding| finding.says.contains("slipped in specimens"))
    };
    assert!(is_told(&unseen));
    assert!(kind.specimens["d"].is_unsure);
    assert_eq!(kind.supported, Supported::NotShown);
    assert!(
        unseen
            .remarks
            .iter()
            .any(|says| says.contains("only their logs say"))
    );
    // Who saw that it did not fail may say so.
    let seen = prove_with("saw = \"did not fail\"");
    assert_eq!(seen.kinds["k"].supported, Supported::Yes);
    assert!(is_told(&seen));
}
