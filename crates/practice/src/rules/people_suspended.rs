//! Nobody is hung.
//!
//! Conventions: the subject is a load.
//! Assumes: the writer says so; a load does not show by itself that it is a person.
//! Valid for: every practice, whatever a shop allows.
//! Source: our scope; what other rules ask for people: [bib:dguv-320], [bib:osha-1431].
//! Checked by: the tests below.

use crate::facts::Service;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "people-suspended",
    title: "Hanging people is out of scope",
    statement: "Lifting, holding or flying people is refused. It is held to rules of its own, which are not here.",
    sources: &[SourceRef::Plain("scope of Plimsoll", Seen::Judgement)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged
        .facts
        .loads
        .iter()
        .filter(|load| load.service == Service::People);
    loads
        .map(|load| {
            let says = format!(
                "`{}` is a person or carries one; lifting, holding and flying people is out of scope",
                load.name
            );
            RULE.stop(
                format!("loads.{}", load.name),
                says,
                "Have it designed under the rules for flying people.",
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_person_is_refused_and_a_thing_is_not() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].service = Service::People;
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
