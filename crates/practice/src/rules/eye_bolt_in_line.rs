//! Eye bolts inside makeups and at junctions.
//!
//! Conventions: the subject is a makeup or a junction; the band is from the shank, as printed.
//! Assumes: how a bolt stands to its line is not known there.
//! Valid for: eye bolts with a table by angle; one without is unrated.
//! Source: our judgement; [bib:wac-56110] (load in the plane of the eye).
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rating;
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use parts::{Body, Part};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "eye-bolt-in-line",
    title: "An eye bolt inside a makeup takes its worst band",
    statement: "How an eye bolt inside a makeup or at a junction stands to its line is not stated, so it is rated by the \
                worst band of angles that is permitted. At a point its axis can be stated.",
    sources: &[
        SourceRef::Plain("nothing is assumed in silence", Seen::Judgement),
        SourceRef::Cited("wac-56110", "load in the plane of the eye", Seen::Text),
    ],
    severity: Severity::Note,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        let mut seen: Vec<&str> = Vec::new();
        for piece in &made.makeup.pieces {
            if !seen.contains(&piece.part.id.as_str()) {
                seen.push(&piece.part.id);
                let place = format!("in `{}`", made.makeup.name);
                findings.extend(judge_part(&piece.part, &place, made.subject()));
            }
        }
    }
    for junction in &judged.facts.junctions {
        let (place, subject) = (
            format!("at `{}`", junction.name),
            format!("junctions.{}", junction.name),
        );
        findings.extend(
            junction
                .part
                .iter()
                .filter_map(|part| judge_part(part, &place, subject.clone())),
        );
    }
    findings
}

fn judge_part(part: &Part, place: &str, subject: String) -> Option<Finding> {
    let Body::EyeBolt(bolt) = &part.body else {
        return None;
    };
    let band = rating::worst_permitted(bolt)?;
    let says = format!(
        "how `{}` {place} stands to its line is not stated, so its worst band up to {} is taken: {}",
        part.id,
        says::angle(bolt.refused_past_rad),
        says::rating(&band.allows)
    );
    let mend = "Put it at a point with its `axis` and `plane`, or see that it stands in line.";
    Some(RULE.note(subject, says, mend))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use std::sync::Arc;

    #[test]
    fn a_bolt_in_a_makeup_is_a_note_with_its_band() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let parts = vec![
            samples::eye_bolt(),
            samples::eye(0.95),
            samples::rope(),
            samples::eye(0.95),
            samples::eye_bolt(),
        ];
        facts.lines[0] = samples::line("nw", samples::makeup("bolted", parts), 100.0);
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Note));
        let says = &found[0].says;
        assert!(says.contains("45.0 degrees is taken: 465 lb"), "{says}");
    }

    /// 465 lbf at 45 degrees, not the 1550 lbf in line.
    #[test]
    fn a_bolt_at_a_junction_takes_its_worst_band_and_says_so() {
        let mut facts = samples::rig();
        facts.junctions = vec![samples::junction(Some(samples::eye_bolt()))];
        assert_eq!(samples::severities(RULE.id, &facts), ["note"]);
        let junction = crate::judge(&facts).measured.junctions.swap_remove(0);
        assert!((junction.working_load_n.unwrap().value() / samples::LB - 465.0).abs() < 1e-9);
    }

    #[test]
    fn a_bolt_at_a_point_has_an_axis_of_its_own() {
        let mut facts = samples::rig();
        facts.points[0].part = Some(Arc::new(samples::eye_bolt()));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
