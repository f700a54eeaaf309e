//! Rope that bends over something on its way.
//!
//! Conventions: the subject is a line; D is what it bends over, d the rope, both in metres.
//! Assumes: any bend counts in full; what is left of the strength is in the working load.
//! Valid for: lines that run over points, junctions or sheaves.
//! Source: [bib:mil87161] (strand); [bib:dd-table] (7x7 as 6x7); the ratio for 7x19 is from memory.
//! Checked by: the tests below, at the limits.

use crate::facts::{LineFacts, Service};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::clips::is_strand;
use crate::says;
use parts::Rope;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "bends",
    title: "Strand does not run over bends, and moving rope runs over wide ones",
    statement: "Strand (1x7, 1x19) does not run over anything. Rope of a load that moves runs over at least 42 times \
                its diameter for 7x7 and 18 times for 7x19 and others, or it wears out early. The strength that a bend \
                leaves is part of every working load; over less than the rope's own diameter none is given.",
    sources: &[
        SourceRef::Cited("mil87161", "strand is not for sheaves", Seen::Text),
        SourceRef::Cited("dd-table", "6x7, taken for 7x7", Seen::Computed),
        SourceRef::Plain("18 diameters for small cable sheaves", Seen::Memory),
        SourceRef::Cited("bend-eff", "strength left at a bend", Seen::Text),
        SourceRef::Cited("wrtb-bend", "a small angle counts in full", Seen::Text),
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged
        .lines()
        .flat_map(|(line, _)| judge_line(line).unwrap_or_default())
        .collect()
}

fn judge_line(line: &LineFacts) -> Option<Vec<Finding>> {
    let makeup = line.makeup.as_deref()?;
    let rope = makeup
        .pieces
        .get(crate::working_load::only_rope(makeup)?)?
        .part
        .rope()?;
    let subject = || format!("lines.{}", line.name);
    let mut findings = Vec::new();
    for bend in &line.bends {
        if is_strand(&rope.construction) {
            let says = format!(
                "`{}` is {} strand and bends over {}",
                line.name, rope.construction, bend.over
            );
            findings.push(RULE.stop(subject(), says, "Use a rope such as 7x19 where it bends."));
        } else if let Some(diameter) = &bend.diameter_m {
            let ratio = diameter.value() / rope.diameter_m.value();
            if line.service == Service::Moving && ratio < least_ratio(rope) {
                let says = format!(
                    "`{}` moves over {}, {} across, {ratio:.1} times the rope's {}; {} times is due",
                    line.name,
                    bend.over,
                    says::length(diameter),
                    says::length(&rope.diameter_m),
                    least_ratio(rope)
                );
                findings.push(RULE.caution(
                    subject(),
                    says,
                    "Use a larger sheave, or inspect the rope there often.",
                ));
            }
        }
    }
    Some(findings)
}

fn least_ratio(rope: &Rope) -> f64 {
    if rope.construction == "7x7" { 42.0 } else { 18.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Bend;
    use crate::samples;

    fn found(construction: &str, service: Service, ratio: f64) -> Vec<String> {
        let rope = samples::rope_of(construction, "galvanised", 0.1875, 4200.0);
        let diameter = samples::length(ratio * rope.rope().unwrap().diameter_m.value());
        let makeup = samples::makeup("leg", vec![samples::eye(0.9), rope, samples::eye(0.9)]);
        let mut facts = samples::rig();
        facts.lines[0] = samples::line("nw", makeup, 10.0);
        facts.lines[0].service = service;
        facts.lines[0].bends = vec![Bend {
            over: "sheave".into(),
            diameter_m: Some(diameter),
            deflection_rad: 1.0,
        }];
        samples::severities(RULE.id, &facts)
    }

    #[test]
    fn strand_is_refused_and_a_moving_rope_asks_for_width() {
        assert_eq!(found("1x19", Service::Still, 100.0), ["stop"]);
        assert!(found("7x19", Service::Still, 5.0).is_empty());
        assert_eq!(found("7x19", Service::Moving, 17.9), ["caution"]);
        assert!(found("7x19", Service::Moving, 18.1).is_empty());
        assert_eq!(found("7x7", Service::Moving, 41.9), ["caution"]);
        assert!(found("7x7", Service::Moving, 42.1).is_empty());
    }
}
