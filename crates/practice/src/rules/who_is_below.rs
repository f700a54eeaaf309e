//! Who may be below.
//!
//! Conventions: the subject is a load.
//! Assumes: whoever is stated to be below is the most that is ever there.
//! Valid for: every load.
//! Source: the practice in force.
//! Checked by: the tests below.

use crate::facts::Under;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "who-is-below",
    title: "Nobody is below whom the practice does not allow there",
    statement: "A practice names who may be below and keeps a design factor for each. Whom it does not name may not be.",
    sources: &[SourceRef::Plain("the practice in force", Seen::Stated)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let practice = &judged.facts.practice;
    let refused = judged
        .facts
        .loads
        .iter()
        .filter(|load| practice.factors(load.under).is_none());
    refused
        .map(|load| {
            let allowed = says::list(practice.below.keys().map(|under: &Under| under.words()));
            let under = load.under.words();
            let says = format!(
                "`{}` hangs with {under}; the practice `{}` is for {allowed}",
                load.name, practice.id
            );
            let mend = "Keep them out from below, or use a practice that is for them.";
            RULE.stop(format!("loads.{}", load.name), says, mend)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Practices;
    use crate::samples;

    #[test]
    fn clear_below_refuses_crew_and_public() {
        let mut facts = samples::rig();
        facts.practice = Practices::published().get("static-clear-below").unwrap();
        for (under, expected) in [(Under::Nobody, 0), (Under::Crew, 1), (Under::Public, 1)] {
            samples::set_all_under(&mut facts, under);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{under:?}");
        }
    }
}
