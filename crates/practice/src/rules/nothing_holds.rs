//! A load that nothing holds.
//!
//! Conventions: the subject is a load; the reason is the solver's, in words.
//! Assumes: the solver tells a load that hangs from one that falls.
//! Valid for: every load.
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
    loads
        .map(|(load, why)| {
            let says = format!("`{}` does not hang: {why}", load.name);
            RULE.stop(
                format!("loads.{}", load.name),
                says,
                "Add lines, or correct where they are fastened.",
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

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
