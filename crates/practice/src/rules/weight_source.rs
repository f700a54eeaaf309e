//! Where a weight comes from.
//!
//! Conventions: the subject is a load; a margin is a share added to its weight.
//! Assumes: a weighed or a maker's weight needs no margin.
//! Valid for: every load.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::facts::WeightFrom;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "weight-source",
    title: "A weight has a source, and an estimate a margin",
    statement: "It is said where each weight comes from. One that is only estimated carries a margin.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for load in &judged.facts.loads {
        let (subject, weight) = (format!("loads.{}", load.name), says::force(&load.weight_n));
        let has_margin = load.margin.as_ref().is_some_and(|margin| margin.value() > 0.0);
        match load.weight_from {
            None => {
                let says = format!(
                    "it is not said where the weight of `{}`, {weight}, comes from",
                    load.name
                );
                let mend = "Weigh it, or write `weight_from` and, for an estimate, a `margin`.";
                findings.push(RULE.caution(subject, says, mend));
            }
            Some(WeightFrom::Estimated) if !has_margin => {
                let says = format!(
                    "the weight of `{}`, {weight}, is estimated without a margin",
                    load.name
                );
                let mend = "Weigh it, or write a `margin` such as `\"10 %\"`.";
                findings.push(RULE.caution(subject, says, mend));
            }
            Some(_) => {}
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use quantity::Kind;

    #[test]
    fn no_source_is_a_caution_and_so_is_a_bare_estimate() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].weight_from = None;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].weight_from = Some(WeightFrom::Estimated);
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].margin = Some(samples::given("margin", Kind::Ratio, 0.0));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.loads[0].margin = Some(samples::given("margin", Kind::Ratio, 0.1));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
