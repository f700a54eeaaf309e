//! What the practice in force says for itself.
//!
//! Conventions: the subject is the practice.
//! Assumes: the reader of a verdict has not read the practice.
//! Valid for: every verdict.
//! Source: the practice in force.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "practice-in-force",
    title: "A looser practice says so, and a practice's notes are read",
    statement: "A shop's practice that is looser than the one it is based on says in what and why; that is a caution in \
                every verdict. What a practice notes for those who are below is a note.",
    sources: &[SourceRef::Plain("the practice in force", Seen::Stated)],
    severity: Severity::Caution,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let practice = &judged.facts.practice;
    let mut findings = Vec::new();
    if let Some(shop) = practice.shop.as_ref().filter(|shop| !shop.looser.is_empty()) {
        let says = format!(
            "the practice `{}`, based on `{}`, is looser than the published practice behind it: {}; the shop's reason: {}",
            practice.id,
            shop.based_on,
            shop.looser.join("; "),
            shop.because
        );
        findings.push(RULE.caution(
            "practice",
            says,
            "A qualified person has to agree with that reason.",
        ));
    }
    let loads = judged.facts.loads.iter().map(|load| load.under);
    let lines = judged.facts.lines.iter().map(|line| line.under);
    let below: Vec<_> = loads.chain(lines).collect();
    for (under, factors) in practice.below.iter().filter(|(under, _)| below.contains(under)) {
        if let Some(note) = &factors.note {
            findings.push(RULE.note("practice", format!("with {}: {note}", under.words()), ""));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use crate::{Practices, Under};

    #[test]
    fn static_overhead_notes_over_crew_that_others_ask_ten() {
        let mut facts = samples::rig();
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Note));
        assert!(found[0].says.contains("German rules ask ten"));
        samples::set_all_under(&mut facts, Under::Public);
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    #[test]
    fn a_looser_practice_is_a_caution_with_its_reason() {
        let text = r#"
            [practices.ours]
            title = "Ours"
            statement = "Crew at four."
            based_on = "static-overhead"
            looser_because = "trial hang, floor cleared by a guard"
            below.crew.rope = { factor = 4, source = "shop rule 7" }
        "#;
        let (shop, problems) = Practices::read("shop.toml", text);
        assert!(problems.is_empty(), "{problems:?}");
        let mut facts = samples::rig();
        facts.practice = shop.get("ours").unwrap();
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found[0].severity, Severity::Caution);
        assert!(
            found[0]
                .says
                .contains("design factor 4 for rope with crew below, 5 in the base"),
            "{}",
            found[0].says
        );
        assert!(found[0].says.contains("floor cleared by a guard"));
    }
}
