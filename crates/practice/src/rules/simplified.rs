//! A simpler rig than the one asked for.
//!
//! Conventions: the subject is the rig.
//! Assumes: what was left out is told in words.
//! Valid for: rigs of which the mechanics could not find all that was asked.
//! Source: our judgement: nothing is left out in silence.
//! Checked by: the test below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "simplified",
    title: "The mechanics found all that was asked",
    statement: "Where no lengths are found for lines to trim, they are taken as drawn; where no balance is found with lines \
                sagging, they are taken as straight. The verdict then rests on a simpler rig, and says so.",
    sources: &[SourceRef::Plain(
        "nothing is left out in silence",
        Seen::Judgement,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let each = judged.facts.simplified.iter();
    each.map(|says| {
        RULE.caution(
            "rig",
            says.clone(),
            "State lengths, or have an engineer find them.",
        )
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn what_was_left_out_is_a_caution() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.simplified.push("lines are taken as straight".into());
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].severity, Severity::Caution);
    }
}
