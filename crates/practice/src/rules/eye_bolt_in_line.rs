//! Eye bolts inside makeups.
//!
//! Conventions: the subject is a makeup; the band is from the shank, as printed.
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
    statement: "How an eye bolt inside a makeup stands to its line is not stated, so it is rated by the \
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

    #[test]
    fn a_bolt_at_a_point_has_an_axis_of_its_own() {
        let mut facts = samples::rig();
        facts.points[0].part = Some(Arc::new(samples::eye_bolt()));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
