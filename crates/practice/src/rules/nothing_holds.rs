//! A load that nothing holds, or a rig without one that does not hang.
//!
//! Conventions: the subject is a load, or what the solver names; the reason is the solver's, in words.
//! Assumes: the solver tells a load that hangs from one that falls.
//! Valid for: every rig.
//! Source: statics.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "nothing-holds",
    title: "Something holds every load",
    statement: "A load hangs in equilibrium on its lines. If there is none, nothing holds it.",
    sources: &[SourceRef::Plain(
        "equilibrium of forces and moments",
        Seen::Mechanics,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged
        .facts
        .loads
        .iter()
        .filter_map(|load| Some((load, load.falls.as_ref()?)));
    let found: Vec<Finding> = loads
        .map(|(load, why)| {
            let says = format!("`{}` does not hang: {why}", load.name);
            RULE.stop(format!("loads.{}", load.name), says, MEND)
        })
        .collect();
    match &judged.facts.falls {
        Some((subject, why)) if found.is_empty() => {
            vec![RULE.stop(subject.clone(), format!("it does not hang: {why}"), MEND)]
        }
        _ => found,
    }
}

const MEND: &str = "Add lines, or correct where they are fastened.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_rig_that_does_not_hang_is_a_stop_without_a_load_too() {
        let mut facts = samples::rig();
        facts.loads.clear();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.falls = Some(("junctions.ring".into(), "no line leads to a point".into()));
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Stop));
        assert_eq!(found[0].subject, "junctions.ring");
    }

    #[test]
    fn a_falling_load_is_a_stop_that_says_why() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].falls = Some("its only line ends at another load".into());
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found[0].severity, Severity::Stop);
        assert!(found[0].says.contains("its only line ends at another load"));
    }
}
