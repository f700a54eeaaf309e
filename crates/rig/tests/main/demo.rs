//! The demo rigs say what they were made to say.

use crate::{POUND_N, assert_near, verdict};
use rig::{Verdict, VerdictWord};

const FLOCK: &str = include_str!("../../../../examples/flock.toml");
const BANNER: &str = include_str!("../../../../examples/banner.toml");
const MENDED: &str = include_str!("../../../../examples/banner-mended.toml");
const COURTYARD: &str = include_str!("../../../../examples/courtyard.toml");
const LANTERNS: &str = include_str!("../../../../examples/lanterns.toml");
const LAMP: &str = include_str!("../../../../examples/lamp.toml");
const MOON: &str = include_str!("../../../../examples/moon.toml");
const ARM: &str = include_str!("../../../../examples/arm.toml");
const BATTEN: &str = include_str!("../../../../examples/batten.toml");
const GARLAND: &str = include_str!("../../../../examples/garland.toml");
const REFLECTOR: &str = include_str!("../../../../examples/reflector.toml");

fn said(verdict: &Verdict) -> String {
    verdict
        .findings
        .iter()
        .map(|f| format!("{:?} {} {}: {}\n", f.severity, f.rule, f.subject, f.says))
        .collect()
}

#[test]
fn the_flock_is_fit_and_each_line_names_what_governs() {
    let verdict = verdict(FLOCK);
    assert_eq!(verdict.verdict, VerdictWord::Fit, "{}", said(&verdict));
    for (name, line) in &verdict.lines {
        assert!(
            line.governing_part.is_some() && line.utilisation.is_some_and(|u| u < 1.0),
            "{name}"
        );
    }
    // 140 + 24 x 2.5 + 15 lb, and 5 % on it.
    assert_near(
        verdict.loads["flock"].weight_n / POUND_N,
        215.0 * 1.05,
        1e-9,
        "weight",
    );
}

#[test]
fn the_banner_is_stopped_for_its_grips() {
    let verdict = verdict(BANNER);
    assert_eq!(verdict.verdict, VerdictWord::Stop);
    let text = said(&verdict);
    let stops: Vec<_> = verdict
        .findings
        .iter()
        .filter(|f| format!("{:?}", f.severity) == "Stop")
        .collect();
    assert!(
        stops.iter().any(|f| f.says.contains("7x7")),
        "the grip that takes only 7x7 is refused\n{text}"
    );
    assert!(
        stops
            .iter()
            .any(|f| f.rule == "grip-sole-support" && f.says.contains("falls")),
        "{text}"
    );
}

#[test]
fn the_mended_banner_and_the_reflector_are_cautions_at_worst() {
    for text in [MENDED, REFLECTOR] {
        let verdict = verdict(text);
        assert_eq!(verdict.verdict, VerdictWord::Caution, "{}", said(&verdict));
        assert!(
            verdict.findings.iter().any(|f| f.says.contains("invented")),
            "{}",
            said(&verdict)
        );
    }
}

/// The centre of gravity hangs 3 in behind the main lines and the tilt line 33 in behind them.
#[test]
fn the_tilt_line_carries_what_the_lever_says() {
    let verdict = verdict(REFLECTOR);
    let tension = verdict.lines["tilt"].tension_n.unwrap();
    // 1 %: stretch tilts the panel a little, and the rope's own weight is in it.
    assert_near(tension / POUND_N, 185.0 * 3.0 / 33.0, 0.5, "tilt line");
}

#[test]
fn no_working_adds_unlike_things() {
    for text in [FLOCK, BANNER, MENDED, COURTYARD, REFLECTOR, BATTEN, GARLAND, ARM] {
        for (path, number) in &verdict(text).numbers {
            assert_eq!(number.unsound(), Vec::<String>::new(), "{path}");
        }
    }
}

#[test]
fn what_is_left_of_every_balance_is_within_the_residual() {
    for text in [FLOCK, BANNER, MENDED, COURTYARD, REFLECTOR, BATTEN, GARLAND, ARM] {
        let verdict = verdict(text);
        let allowed_n = verdict.equilibrium.allowed_residual_n.unwrap();
        let balances = verdict
            .numbers
            .iter()
            .filter(|(path, _)| path.contains(".balance_") && !path.starts_with("cases."));
        let mut count = 0;
        for (path, number) in balances {
            // The tension is worked out again from a length, which costs the rounding of EA; moments have arms of metres.
            assert!(
                number.value().abs() <= 20.0 * allowed_n + 1e-6,
                "{path}: {} against {allowed_n}",
                number.value()
            );
            count += 1;
        }
        assert!(count >= 6);
    }
}

#[test]
fn the_points_together_carry_all_weight() {
    // The arm puts a part of its weight, and of its stay's pull, into the wall it is built into.
    for text in [FLOCK, MENDED, REFLECTOR, BATTEN, GARLAND] {
        let verdict = verdict(text);
        let down: f64 = verdict.points.values().map(|point| point.down_n.unwrap()).sum();
        let by_statics: f64 = verdict
            .points
            .values()
            .map(|point| -point.force_n.unwrap()[2])
            .sum();
        let weight: f64 = verdict.loads.values().map(|load| load.weight_n).sum();
        let ropes: f64 = verdict
            .numbers
            .iter()
            .filter(|(p, _)| p.starts_with("lines.") && p.ends_with(".weight"))
            .map(|(_, n)| n.value())
            .sum();
        assert_near(down, by_statics, 1e-5, "workings against mechanics");
        assert!(
            down >= weight + ropes - 1e-5 && down <= (weight + ropes) * 1.1,
            "{down} against {weight} and {ropes}"
        );
    }
}

#[test]
fn the_batten_is_fit_and_bends_as_it_may() {
    let verdict = verdict(BATTEN);
    assert_eq!(verdict.verdict, VerdictWord::Fit, "{}", said(&verdict));
    let pipe = &verdict.pipes["batten"];
    assert!(pipe.moment_nm.demand > pipe.moment_nm.most, "tolerances count");
    assert!(pipe.utilisation.is_some_and(|u| u < 1.0));
}

#[test]
fn the_garland_is_a_caution_for_its_cleat_and_sags() {
    let verdict = verdict(GARLAND);
    assert_eq!(verdict.verdict, VerdictWord::Caution, "{}", said(&verdict));
    for (name, line) in &verdict.lines {
        assert_eq!(line.sag_m.is_some(), name.starts_with("span"), "{name}");
        // The working of the sag ends where the mechanics does.
        if let Some(sag_m) = line.sag_m {
            let told = &verdict.numbers[&format!("lines.{name}.sag")];
            assert_near(told.value(), sag_m, 1e-6 * sag_m, name);
            assert!(told.unsound().is_empty(), "{:?}", told.unsound());
        }
    }
}

/// Every key of pipes, cases and stages is shown in some demo rig, and what points and lines may say of their mechanics.
#[test]
fn every_key_of_the_mechanics_is_shown_in_a_demo() {
    let text = [
        FLOCK, BANNER, MENDED, REFLECTOR, COURTYARD, BATTEN, GARLAND, ARM, LANTERNS, LAMP, MOON,
    ]
    .concat();
    let mut keys = vec![
        "gives",
        "friction",
        "tolerance",
        "tolerance_spread",
        "stiffness_spread",
        "gives_spread",
        "stretch_by_heat",
        "via",
        "stiffness",
        "faces",
        "temperature",
        "inertia",
        "size",
        "accelerates",
    ];
    for section in ["pipes", "cases", "stages"] {
        let key = rig::RIG.keys.iter().find(|key| key.name == section).unwrap();
        collect(&key.takes, &mut keys);
    }
    for key in keys {
        let written = text
            .lines()
            .flat_map(|line| line.split(['{', ',', '[']))
            .any(|part| {
                let name = part.split('=').next().unwrap_or_default().trim();
                name == key && part.contains('=')
            });
        assert!(written, "no demo rig shows `{key}`");
    }
}

fn collect(takes: &document::Takes, keys: &mut Vec<&'static str>) {
    use document::Takes;
    match takes {
        Takes::Table(shape) => {
            for key in shape.keys {
                keys.push(key.name);
                collect(&key.takes, keys);
            }
        }
        Takes::Names(inner)
        | Takes::List(inner)
        | Takes::Triple(inner)
        | Takes::TextOr(inner)
        | Takes::QuantityOr(_, inner)
        | Takes::WordOr(_, inner) => collect(inner, keys),
        _ => {}
    }
}
