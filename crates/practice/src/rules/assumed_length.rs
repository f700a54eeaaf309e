//! Hardware whose length nobody publishes.
//!
//! Conventions: the subject is a makeup.
//! Assumes: hardware without a length counts as nothing, and the rope as so much longer.
//! Valid for: makeups of lines that share a load by their lengths; the others' tensions do not change with it.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "assumed-length",
    title: "Hardware of unknown length is named where lengths matter",
    statement: "Where the length of hardware is not known it counts as nothing and the rope as longer, so the line \
                stretches a little more than it would. Where lines share a load by their lengths, their tensions \
                change with it.",
    sources: &[SourceRef::Plain("nothing is assumed in silence", Seen::Judgement)],
    severity: Severity::Note,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = &judged.facts.loads;
    let shares = |name: &String| {
        loads
            .iter()
            .any(|load| load.name == *name && load.shares_by_length)
    };
    let lines = judged.facts.lines.iter();
    let sharing: Vec<&str> = lines
        .filter(|line| line.loads.iter().any(shares))
        .filter_map(|line| line.makeup.as_ref())
        .map(|makeup| makeup.name.as_str())
        .collect();
    let mut findings = Vec::new();
    for made in judged.makeups() {
        let mut unknown = made.makeup.hardware_length_m().1;
        unknown.sort_unstable();
        unknown.dedup();
        if sharing.contains(&made.makeup.name.as_str()) && !unknown.is_empty() {
            let says = format!(
                "no length is known of {}; it counts as nothing, and lines of `{}` share a load by their lengths",
                says::names(unknown.iter().map(String::as_str)),
                made.makeup.name
            );
            let mend = "Measure it and put it into the shop's parts book.";
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
    fn it_is_said_once_for_a_makeup_and_only_where_lengths_share_the_load() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].shares_by_length = true;
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].subject.as_str()), (1, "makeups.leg"));
        assert!(found[0].says.contains("`shackle-3/8`"), "{}", found[0].says);
    }

    #[test]
    fn nothing_is_said_where_every_length_is_known() {
        let mut facts = samples::rig();
        facts.loads[0].shares_by_length = true;
        let mut shackle = samples::shackle();
        shackle.length_m = Some(samples::length(0.03));
        let parts = [
            shackle.clone(),
            samples::eye(0.9),
            samples::rope(),
            samples::eye(0.9),
            shackle,
        ];
        let makeup = samples::makeup("leg", parts.to_vec());
        facts.lines = vec![samples::line("nw", makeup, 100.0)];
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
