//! What to look at on an adjustable grip.
//!
//! Conventions: the subject is a makeup.
//! Assumes: what locks and what releases it are as its maker says.
//! Valid for: every adjustable grip.
//! Source: common practice.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule};
use parts::Locking;

pub(crate) static RULE: Rule = Rule {
    id: "grip-reminders",
    title: "An adjustable grip is looked at",
    statement: "A screw-locked adjustable grip is checked to be still tight. It is known what releases an adjustable grip, \
                and one that its maker does not let be used again is thrown away when it was released.",
    sources: &[COMMON_PRACTICE],
    severity: Severity::Note,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        for (_, place, piece) in made.pieces() {
            let Some(grip) = piece.part.grip() else { continue };
            let (locked, tight) = match grip.locking {
                Locking::ScrewLocked => (
                    ", which a screw or nut locks",
                    " See that it is still tight after loading and at every inspection.",
                ),
                Locking::SelfLocking => ("", ""),
            };
            let by = match grip.released_by.trim() {
                "" => "its maker's document must say",
                by => by,
            };
            let again = if grip.reusable {
                ""
            } else {
                "; it is not used again once released"
            };
            let says = format!(
                "what releases the adjustable grip `{}` ({place} of `{}`){locked}: {by}{again}",
                piece.part.id, made.makeup.name
            );
            let mend = format!("Keep that from happening while a load hangs.{tight}");
            findings.push(RULE.note(made.subject(), says, mend));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_screw_lock_and_what_releases_it_are_notes() {
        let mut facts = samples::grip_rig();
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Note));
        assert!(
            found[0]
                .says
                .contains("which a screw or nut locks: backing its screw out")
                && found[0].mend.contains("tight")
        );
        let mut grip = samples::grip(420.0, Some(5.0));
        samples::edit_grip(&mut grip, |grip| {
            grip.locking = Locking::SelfLocking;
            grip.reusable = false;
        });
        facts.lines[0] = samples::line("nw", samples::gripped(grip), 115.0);
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert!(found[0].says.contains("not used again"));
        assert!(samples::found(RULE.id, &samples::rig()).is_empty());
    }
}
