//! A load that moves under a practice for still ones, or without a dynamic factor.
//!
//! Conventions: the subject is a load; the dynamic factor multiplies all its forces, and the design factor is on top.
//! Assumes: whoever states the dynamic factor knows the drive and its stops.
//! Valid for: every load; a stated factor counts for still loads too.
//! Source: [bib:cal-8497]; which loads need one is the practice's.
//! Checked by: the tests below; tests/main/published.rs (ex08).

use crate::facts::{LoadFacts, Service};
use crate::finding::{Finding, Severity};
use crate::practice::Practice;
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "moving-load",
    title: "A moving load has a practice for it and a dynamic factor",
    statement: "A load that moves is held to a practice that covers moving loads. Its forces are raised by a dynamic \
                factor of at least 1, which is stated, and the design factor is kept on the raised forces. A factor under \
                1.25 for a load that moves is a caution.",
    sources: &[
        SourceRef::Cited("cal-8497", "acceleration allowance", Seen::Text),
        COMMON_PRACTICE,
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged
        .facts
        .loads
        .iter()
        .flat_map(|load| judge_load(load, &judged.facts.practice))
        .collect()
}

fn judge_load(load: &LoadFacts, practice: &Practice) -> Vec<Finding> {
    let subject = || format!("loads.{}", load.name);
    let mut findings = Vec::new();
    if load.service == Service::Moving && !practice.covers_moving {
        let says = format!(
            "`{}` moves, and the practice `{}` is for loads that hang still",
            load.name, practice.id
        );
        findings.push(RULE.stop(
            subject(),
            says,
            "Use a practice for moving loads, such as `moving-overhead`.",
        ));
    }
    match &load.dynamic {
        None if practice.asks_dynamic_factor(load.service) => {
            let says = format!(
                "no dynamic factor is stated for `{}`, so what its lines carry is not known",
                load.name
            );
            findings.push(RULE.stop(
                subject(),
                says,
                "Write `dynamic = ...`, from the drive's maker or a measurement.",
            ));
        }
        Some(factor) if factor.value().is_nan() || factor.value() < 1.0 => {
            let says = format!(
                "the dynamic factor {} of `{}` is less than 1",
                factor.value(),
                load.name
            );
            findings.push(RULE.stop(subject(), says, "A dynamic factor is 1 or more."));
        }
        Some(factor) if load.service == Service::Moving && factor.value() < USUAL => {
            let says = format!(
                "the dynamic factor {} of `{}` is low for a load that moves; {USUAL} or more is usual",
                factor.value(),
                load.name
            );
            let mend = "Take it from the drive's maker or from a measurement of its stops.";
            findings.push(RULE.caution(subject(), says, mend));
        }
        _ => {}
    }
    findings
}

/// What a slow drive that starts and stops softly brings, by common practice.
const USUAL: f64 = 1.25;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Practices;
    use crate::samples;
    use quantity::Kind;

    fn moving(practice: &str, dynamic: Option<f64>) -> usize {
        let mut facts = samples::rig();
        facts.practice = Practices::published().get(practice).unwrap();
        facts.loads[0].service = Service::Moving;
        facts.loads[0].dynamic = dynamic.map(|factor| samples::given("dynamic factor", Kind::Number, factor));
        samples::found(RULE.id, &facts).len()
    }

    #[test]
    fn a_moving_load_needs_both() {
        assert_eq!(moving("static-overhead", None), 2);
        assert_eq!(moving("static-overhead", Some(1.25)), 1);
        assert_eq!(moving("moving-overhead", None), 1);
        assert_eq!(moving("moving-overhead", Some(1.25)), 0);
        assert_eq!(moving("moving-overhead", Some(1.24)), 1);
        assert_eq!(moving("moving-overhead", Some(1.0)), 1);
        assert_eq!(moving("moving-overhead", Some(0.99)), 1);
    }

    #[test]
    fn the_moving_practice_asks_a_factor_of_a_still_load_too() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.practice = Practices::published().get("moving-overhead").unwrap();
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
