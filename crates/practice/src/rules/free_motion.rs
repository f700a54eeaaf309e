//! A load that may still turn or swing.
//!
//! Conventions: the subject is a load; the motions are the solver's, in words.
//! Assumes: nothing else, such as draught or a hand, is told.
//! Valid for: loads that hang.
//! Source: statics.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "free-motion",
    title: "A load that is free to turn or swing",
    statement: "A load may be held and still be free to turn or swing; whether that matters is for a person to say.",
    sources: &[SourceRef::Plain("stability of equilibrium", Seen::Mechanics)],
    severity: Severity::Note,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged
        .facts
        .loads
        .iter()
        .filter(|load| !load.free_motions.is_empty());
    loads
        .map(|load| {
            let motions = says::list(load.free_motions.iter().map(String::as_str));
            let says = format!("`{}` hangs, but it is free to move: it {motions}", load.name);
            RULE.note(
                format!("loads.{}", load.name),
                says,
                "Add a line where it must not.",
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_free_motion_is_a_note_in_words() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].free_motions = vec!["flock turns about the vertical".into()];
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found[0].severity, Severity::Note);
        assert!(found[0].says.contains("flock turns about the vertical"));
    }
}
