//! Rope lengths that had to be assumed.
//!
//! Conventions: the subject is a line.
//! Assumes: the caller says where it assumed a rope's own length.
//! Valid for: every line.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "assumed-length",
    title: "An assumed length of rope is named",
    statement: "Where the length of hardware is not known it counts as nothing and the rope as longer, so the line \
                stretches a little more than it would. Tensions that share by stretch change with it.",
    sources: &[SourceRef::Plain("nothing is assumed in silence", Seen::Judgement)],
    severity: Severity::Note,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let assumed = judged.facts.lines.iter().filter(|line| line.assumed_length);
    assumed
        .map(|line| {
            let says = format!(
                "the length of some hardware in `{}` is not known and counts as nothing",
                line.name
            );
            RULE.note(
                format!("lines.{}", line.name),
                says,
                "Measure it and put it into the shop's parts book.",
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn an_assumed_length_is_a_note() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.lines[0].assumed_length = true;
        assert_eq!(samples::severities(RULE.id, &facts), ["note"]);
    }
}
