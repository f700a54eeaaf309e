//! Adjustable grips have their maker's document.
//!
//! Conventions: the subject is a makeup.
//! Assumes: title, revision and date name a document that somebody holds.
//! Valid for: every adjustable grip; one without a document has no rating either.
//! Source: [bib:b3026-2010], 26-3.1.1(c).
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "grip-document",
    title: "An adjustable grip has its maker's document",
    statement: "An adjustable grip is used only as its maker says, in a document with title, revision and date. Without \
                that document it has no rating and is not used.",
    sources: &[SourceRef::Cited(
        "b3026-2010",
        "26-3.1.1(c), as the maker recommends",
        Seen::Text,
    )],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        for (_, place, piece) in made.pieces() {
            if piece.part.grip().is_some_and(|grip| grip.document.is_none()) {
                let says = format!(
                    "for the adjustable grip `{}` ({place} of `{}`) there is no document of its maker",
                    piece.part.id, made.makeup.name
                );
                findings.push(RULE.stop(
                    made.subject(),
                    says,
                    "Get the maker's document, or use another end.",
                ));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn no_document_is_a_stop_and_leaves_no_working_load() {
        let mut facts = samples::grip_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let mut grip = samples::grip(420.0, Some(5.0));
        samples::edit_grip(&mut grip, |grip| grip.document = None);
        facts.lines[0] = samples::line("nw", samples::gripped(grip), 115.0);
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
        assert!(
            crate::judge(&facts).measured.lines[0]
                .load
                .working_load_n
                .is_none()
        );
    }
}
