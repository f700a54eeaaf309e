//! How far pipes sag.
//!
//! Conventions: deflection is from the straight line through the picks at both ends of a bay, or for an overhang through
//! the two picks nearest to it; without the dynamic factor.
//! Assumes: the pipe is straight before it is loaded.
//! Valid for: every bay of a pipe that hangs.
//! Source: the practice in force; the maker's ratio where it is stricter; for overhangs common practice, no source.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule};
use crate::rules::working_load::passed;
use crate::says;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-deflection",
    title: "No pipe sags more than the practice has it",
    statement: "Between its picks a pipe sags by at most its span over the ratio of the practice, or of its maker where \
                that is stricter. An overhang counts as a span of twice its length. This is about how things hang and \
                not about strength; the dynamic factor is not in it, and a pipe that was bent before sags more.",
    sources: &[COMMON_PRACTICE],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, pipe) in judged.pipes() {
        for (of, bay) in facts.bays.iter().zip(&pipe.bays) {
            let held = &bay.deflection_m;
            let Some((deflection, allowed)) = passed(held.demand.as_ref(), held.allowed.as_ref()) else {
                continue;
            };
            let twice = if of.overhang { ", twice the overhang" } else { "" };
            let says = format!(
                "`{}` sags by {} {}, {} along it: more than {}, its span of {}{twice} over {}",
                pipe.name,
                says::stretch(deflection),
                bay.name,
                says::metres(of.at_m),
                says::stretch(allowed),
                says::length(&bay.span_m),
                bay.ratio.value()
            );
            let mend = "Add a pick, move the picks, take load off, or use a stiffer section.";
            let share = deflection.value() / allowed.value();
            let finding = RULE.caution(format!("pipes.{}", pipe.name), says, mend);
            findings.push(finding.sized(share).about(&bay.name));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use std::sync::Arc;

    /// L/200 of 8 ft is 0.48 in; of an overhang of 2 ft, counted as 4 ft, 0.24 in.
    #[test]
    fn a_span_over_two_hundred_is_the_limit_and_an_overhang_counts_twice() {
        let foot = 0.3048;
        for (overhang, feet, inches, expected) in [
            (false, 8.0, 0.479, 0),
            (false, 8.0, 0.481, 1),
            (true, 2.0, 0.239, 0),
            (true, 2.0, 0.241, 1),
            (true, 2.0, f64::NAN, 1),
        ] {
            let mut facts = samples::pipe_rig();
            facts.pipes[0].bays = vec![samples::bay(overhang, feet * foot, inches * samples::IN)];
            let found = samples::found(RULE.id, &facts);
            assert_eq!(found.len(), expected, "{overhang} {feet} {inches}");
            assert!(found.iter().all(|finding| finding.severity == Severity::Caution));
        }
    }

    #[test]
    fn the_maker_s_ratio_rules_where_it_is_stricter() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].bays = vec![samples::bay(false, 2.0, 0.009)];
        assert!(samples::found(RULE.id, &facts).is_empty());
        let mut part = facts.pipes[0].section.as_ref().unwrap().as_ref().clone();
        for (ratio, expected) in [(250.0, 1), (100.0, 0)] {
            if let parts::Body::Section(section) = &mut part.body {
                section.deflection_ratio = Some(samples::given("ratio", quantity::Kind::Number, ratio));
            }
            facts.pipes[0].section = Some(Arc::new(part.clone()));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{ratio}");
        }
    }

    #[test]
    fn what_is_said_has_its_numbers() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].bays = vec![samples::bay(true, 2.0 * 0.3048, 0.5 * samples::IN)];
        let says = &samples::found(RULE.id, &facts)[0].says;
        for part in ["0.5 in", "0.24 in", "4 ft", "twice the overhang", "200"] {
            assert!(says.contains(part), "{part}: {says}");
        }
    }
}
