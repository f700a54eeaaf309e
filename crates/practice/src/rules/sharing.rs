//! More lines than statics needs.
//!
//! Conventions: the subject is a load.
//! Assumes: where sharing hangs on exact lengths, any subset of lines that can hold the load may have to.
//! Valid for: rigid loads; subsets are tried up to eight lines.
//! Source: [bib:dguv-313-14]; [bib:nav-sling] (three and four legs count as two).
//! Checked by: the tests below; tests/main/laws.rs.

use crate::finding::{Finding, Severity};
use crate::practice::Sharing;
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "sharing",
    title: "Lines that share by their exact lengths",
    statement: "Where more lines hold a rigid load than statics needs, each is held against the greatest load that it \
                may have to carry, since no shop makes lengths that exact. A practice that takes the share at the \
                stated lengths instead, and a load whose subsets of lines were not all tried, are cautions.",
    sources: &[
        SourceRef::Cited("dguv-313-14", "each line for the largest load", Seen::Text),
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
                "`{}` hangs on {} lines, too many to try which of them may have to hold it alone; they are held \
                 against their shares at the stated lengths",
                load.name, load.line_count
            );
            findings.push(RULE.caution(
                subject,
                says,
                "Use fewer lines, or measure the tensions in place.",
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
    fn subsets_not_tried_and_an_elastic_practice_are_cautions() {
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
