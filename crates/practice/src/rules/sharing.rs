//! More lines than statics needs.
//!
//! Conventions: the subject is a load.
//! Assumes: where sharing hangs on exact lengths, any tensions that balance may come; stability of fewer lines is not
//! asked, since a line that carries next to nothing can steady them.
//! Valid for: rigid loads in the pose found; pieces of a rig of up to about forty lines, which is the rig's limit.
//! Source: [bib:dguv-313-14]; [bib:nav-sling] (three and four legs count as two); the bound is a linear programme.
//! Checked by: the tests below; tests/main/laws.rs.

use crate::finding::{Finding, Severity};
use crate::practice::Sharing;
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "sharing",
    title: "Lines that share by their exact lengths",
    statement: "Where more lines hold a rigid load than statics needs, each is held against the greatest load that it \
                may have to carry, since no shop makes lengths that exact: the greatest tension over all tensions, none \
                negative, that balance every load and junction in the pose found. It is a linear programme over the \
                whole piece that hangs together, with any number of lines, solved also with secondary lines slack and \
                with stated forces absent, which may have relieved a line. That fewer lines hold stably by themselves is \
                not asked, since one more that carries next to nothing can steady them. Junctions, points and beams \
                are held to the same. A practice that takes the share at the stated lengths instead, and a piece too \
                large for the bound, are cautions.",
    sources: &[
        SourceRef::Cited("dguv-313-14", "each line for the largest load", Seen::Text),
        SourceRef::Plain("all tensions in balance, none negative", Seen::Mechanics),
        SourceRef::Cited("nav-sling", "no more than two legs are credited", Seen::Text),
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for load in judged.facts.loads.iter().filter(|load| load.shares_by_length) {
        let subject = format!("loads.{}", load.name);
        if judged.facts.practice.sharing == Sharing::Elastic {
            let says = format!(
                "the {} lines of `{}` are held against their shares at the stated lengths, as the practice `{}` says; \
                 a small error in a length may shift all of it to fewer lines",
                load.line_count, load.name, judged.facts.practice.id
            );
            findings.push(RULE.caution(
                subject,
                says,
                "Measure the tensions in place, or size each line for the worse.",
            ));
        } else if !load.shares_bounded {
            let says = format!(
                "the rig is too large for the greatest shares of the {1} lines of `{0}`: more than about forty lines \
                 hang together in one piece; they are held against their shares at the stated lengths",
                load.name, load.line_count
            );
            findings.push(RULE.caution(
                subject,
                says,
                "Use fewer lines in one piece, or measure the tensions in place.",
            ));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn shares_without_a_bound_and_an_elastic_practice_are_cautions() {
        let mut facts = samples::rig();
        facts.loads[0].shares_by_length = true;
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].shares_bounded = false;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].shares_bounded = true;
        facts.practice.sharing = Sharing::Elastic;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].shares_by_length = false;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
