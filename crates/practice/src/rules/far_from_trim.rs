//! A load that hangs far from where it is meant to.
//!
//! Conventions: the subject is a load; metres and radians from its trim to where it ends; tilt is from the vertical.
//! Assumes: the trim is where a person wants it, and level.
//! Valid for: loads that hang.
//! Source: our judgement on the limits.
//! Checked by: the tests below, at the limits.

use crate::facts::LoadFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "far-from-trim",
    title: "A load hangs near its trim",
    statement: "A load that ends tilted by more than 30 degrees, or more than 2 m (6 ft 7 in) from its trim, does not hang \
                as drawn: it has rolled, swung or been drawn wrong, and that is a stop. One that ends more than 0.5 m \
                (20 in) from its trim, tilted by more than 5 degrees, or turned by more than 30 degrees, hangs otherwise \
                than meant.",
    sources: &[SourceRef::Plain(
        "limits chosen so that no plain slip in a length goes unseen",
        Seen::Judgement,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

pub(crate) const MOVED_M: f64 = 0.5;
pub(crate) const ELSEWHERE_M: f64 = 2.0;
const LEANING_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;
const TURNED_RAD: f64 = std::f64::consts::PI / 6.0;
/// A load that is tilted by more has rolled or swung over.
pub(crate) const TILTED_RAD: f64 = TURNED_RAD;

/// Tells whether a load ends tilted so far that it does not hang as drawn.
pub(crate) fn is_tipped(load: &LoadFacts) -> bool {
    // Written so that a tilt that is no number counts as too much.
    load.tilt_rad.is_some_and(|tilt| {
        let is_near = tilt <= TILTED_RAD;
        !is_near
    })
}

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for load in judged.facts.loads.iter().filter(|load| load.falls.is_none()) {
        let moved = load.moved_m.filter(|moved| *moved > MOVED_M).map(says::metres);
        let turned = load
            .turned_rad
            .filter(|turned| *turned > TURNED_RAD)
            .map(says::angle);
        let tilted = load.tilt_rad.filter(|_| is_tipped(load)).map(says::angle);
        if let Some(tilt) = &tilted {
            let moved = moved
                .map(|moved| format!(", {moved} from its trim"))
                .unwrap_or_default();
            let says = format!(
                "`{}` does not hang as drawn: it has rolled or swung over and ends tilted by {tilt}{moved}",
                load.name
            );
            let mend = "Put the picks above the centre of gravity, or spread them; correct the lengths.";
            let finding = RULE.stop(format!("loads.{}", load.name), says, mend);
            findings.push(finding.sized(load.tilt_rad.unwrap_or_default()));
            continue;
        }
        let leaning = load.tilt_rad.filter(|tilt| *tilt > LEANING_RAD).map(says::angle);
        let how: Vec<String> = moved
            .map(|moved| format!("{moved} from its trim"))
            .into_iter()
            .chain(leaning.map(|tilt| format!("tilted by {tilt}")))
            .chain(turned.map(|turned| format!("turned by {turned} from its trim")))
            .collect();
        if how.is_empty() {
            continue;
        }
        let says = format!("`{}` ends {}", load.name, how.join(" and "));
        let mend = "Look at the drawn pose; correct the lengths, the picks or the trim.";
        let subject = format!("loads.{}", load.name);
        let near = load.moved_m.is_none_or(|moved| moved <= ELSEWHERE_M);
        let finding = if near {
            RULE.caution(subject, says, mend)
        } else {
            RULE.stop(subject, says, mend)
        };
        findings.push(finding.sized(load.moved_m.unwrap_or_default()));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn found(moved_m: f64, turned_deg: f64) -> usize {
        let mut facts = samples::rig();
        facts.loads[0].moved_m = Some(moved_m);
        facts.loads[0].turned_rad = Some(turned_deg.to_radians());
        samples::found(RULE.id, &facts).len()
    }

    #[test]
    fn the_limits_are_half_a_metre_and_thirty_degrees() {
        assert_eq!(found(0.5, 29.99), 0);
        assert_eq!(found(0.501, 0.0), 1);
        assert_eq!(found(0.0, 30.1), 1);
        assert_eq!(found(0.6, 40.0), 1);
    }

    #[test]
    fn a_lean_is_a_caution_and_a_load_that_is_elsewhere_a_stop() {
        let mut facts = samples::rig();
        facts.loads[0].tilt_rad = Some(5.01_f64.to_radians());
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].tilt_rad = Some(4.99_f64.to_radians());
        assert!(samples::found(RULE.id, &facts).is_empty());
        for (moved_m, expected) in [(2.0, "caution"), (2.01, "stop"), (f64::INFINITY, "stop")] {
            facts.loads[0].moved_m = Some(moved_m);
            assert_eq!(samples::severities(RULE.id, &facts), [expected], "{moved_m}");
        }
    }

    #[test]
    fn a_turn_about_the_vertical_is_a_caution_and_a_tilt_a_stop() {
        let mut facts = samples::rig();
        facts.loads[0].turned_rad = Some(180_f64.to_radians());
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        for (tilt_deg, expected) in [
            (29.99, "caution"),
            (30.01, "stop"),
            (180.0, "stop"),
            (f64::NAN, "stop"),
        ] {
            facts.loads[0].tilt_rad = Some(f64::to_radians(tilt_deg));
            assert_eq!(samples::severities(RULE.id, &facts), [expected], "{tilt_deg}");
        }
        facts.loads[0].tilt_rad = Some(std::f64::consts::PI);
        let says = &samples::found(RULE.id, &facts)[0].says;
        assert!(says.contains("tilted by 180.0 degrees"), "{says}");
    }
}
