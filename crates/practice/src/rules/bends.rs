//! Rope that bends over something on its way.
//!
//! Conventions: the subject is a line; D is what it bends over, d the rope, both in metres.
//! Assumes: any bend counts in full; what is left of the strength is in the working load.
//! Valid for: lines that run over points, junctions or sheaves.
//! Source: [bib:mil87161] (strand); the parts book's table of sheaves, of which 7x19 is from memory.
//! Checked by: the tests below, at the limits.

use crate::facts::{Bend, LineFacts, Service};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use crate::working_load::{only_rope, place_of};
use parts::Rope;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "bends",
    title: "Strand does not run over bends, and moving rope runs over wide ones",
    statement: "Strand (1x7, 1x19) does not run over anything. Rope of a load that moves runs over at least the sheave \
                that the parts book lists for its construction, or it wears out early. The strength that a bend \
                leaves is part of every working load; over less than the rope's own diameter none is given.",
    sources: &[
        SourceRef::Cited("mil87161", "strand is not for sheaves", Seen::Text),
        SourceRef::Cited("dd-table", "sheaves by construction", Seen::Text),
        SourceRef::Plain("least sheave for 7x19", Seen::Memory),
        SourceRef::Cited("bend-eff", "strength left at a bend", Seen::Text),
        SourceRef::Cited("wrtb-bend", "a small angle counts in full", Seen::Text),
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

/// Diameters in inches, divided, come out a few parts in 1e16 off a whole ratio.
const ROUNDING: f64 = 1e-9;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for line in &judged.facts.lines {
        if let Some(rope) = rope_of(line) {
            let over = line.bends.iter();
            findings.extend(over.filter_map(|bend| judge_bend(line, rope, bend)));
        }
    }
    findings
}

/// Tells whether this rule says why a line has no working load at a place.
pub(crate) fn says_why(line: &LineFacts, place: &str) -> bool {
    rope_of(line).is_some_and(Rope::is_strand) && line.bends.iter().any(|bend| place_of(bend) == place)
}

fn rope_of(line: &LineFacts) -> Option<&Rope> {
    let makeup = line.makeup.as_deref()?;
    makeup.pieces.get(only_rope(makeup)?)?.part.rope()
}

fn judge_bend(line: &LineFacts, rope: &Rope, bend: &Bend) -> Option<Finding> {
    let subject = format!("lines.{}", line.name);
    if rope.is_strand() {
        let says = format!(
            "`{}` is {} strand and bends over {}; no strength is published for that",
            line.name, rope.construction, bend.over
        );
        return Some(RULE.stop(subject, says, "Use a rope such as 7x19 where it bends."));
    }
    let diameter = bend
        .diameter_m
        .as_ref()
        .filter(|_| line.service != Service::Still)?;
    let short = too_tight(rope, diameter)?;
    let says = format!(
        "`{}` moves over {}, {} across, {:.1} times its rope's {}; {short}",
        line.name,
        bend.over,
        says::length(diameter),
        ratio(rope, diameter),
        says::length(&rope.diameter_m),
    );
    Some(RULE.caution(
        subject,
        says,
        "Use a larger sheave, or inspect the rope there often.",
    ))
}

/// Says what a sheave falls short of; none if it does not.
fn too_tight(rope: &Rope, diameter: &Number) -> Option<String> {
    let Some(sheaves) = &rope.sheaves else {
        return Some(format!("no least sheave is listed for {}", rope.construction));
    };
    let least = &sheaves.least;
    let fits = ratio(rope, diameter) * (1.0 + ROUNDING) >= least.value();
    (!fits).then(|| {
        let (construction, suggested) = (&rope.construction, sheaves.suggested.value());
        format!(
            "for {construction} at least {} times is due, better {suggested}: {}",
            least.value(),
            least.source()
        )
    })
}

fn ratio(rope: &Rope, diameter: &Number) -> f64 {
    diameter.value() / rope.diameter_m.value()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Facts;
    use crate::samples;

    fn bent(construction: &str, service: Service, ratio: f64) -> Facts {
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
        facts
    }

    fn found(construction: &str, service: Service, ratio: f64) -> Vec<String> {
        samples::severities(RULE.id, &bent(construction, service, ratio))
    }

    #[test]
    fn strand_is_refused_and_a_moving_rope_asks_for_width() {
        assert_eq!(found("1x19", Service::Still, 100.0), ["stop"]);
        assert!(found("7x19", Service::Still, 5.0).is_empty());
        assert_eq!(found("7x19", Service::Moving, 17.9), ["caution"]);
        assert!(found("7x19", Service::Moving, 18.1).is_empty());
        assert_eq!(found("7x7", Service::Moving, 41.9), ["caution"]);
        assert!(found("7x7", Service::Moving, 42.0).is_empty());
        assert_eq!(found("8x19", Service::Moving, 99.0), ["caution"], "not listed");
    }

    #[test]
    fn what_is_due_has_its_source_beside_it() {
        let says = &samples::found(RULE.id, &bent("7x19", Service::Moving, 8.0))[0].says;
        assert!(says.contains("8.0 times its rope's 3/16 in (4.76 mm)"), "{says}");
        assert!(says.contains("at least 18 times is due, better 25: "), "{says}");
        assert!(says.ends_with("(from memory)"), "{says}");
    }

    /// One stop says it; the line has no working load all the same.
    #[test]
    fn bent_strand_has_no_working_load_and_one_stop() {
        let facts = bent("1x19", Service::Still, 40.0);
        assert!(
            crate::judge(&facts).measured.lines[0]
                .load
                .working_load_n
                .is_none()
        );
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
        assert!(samples::found("unrated", &facts).is_empty());
    }
}
