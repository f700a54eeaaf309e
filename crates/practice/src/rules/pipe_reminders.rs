//! What is not judged of a pipe.
//!
//! Conventions: the subject is a pipe.
//! Assumes: nothing.
//! Valid for: every pipe.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::facts::PipeFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-reminders",
    title: "What is not judged of a pipe is said",
    statement: "What clamps a line to a pipe is rated only where the rig names the part. The wall of a pipe under a clamp, \
                holes and threads, and a pipe that is bent, worn or dented are not judged here at all.",
    sources: &[SourceRef::Plain("nothing is assumed in silence", Seen::Judgement)],
    severity: Severity::Note,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let reminders = judged.facts.pipes.iter().map(|pipe| {
        let says = format!(
            "of `{}` {}holes, threads and dents are not judged",
            pipe.name,
            clamps(pipe)
        );
        RULE.note(
            format!("pipes.{}", pipe.name),
            says,
            "Have a person look at each pick and at the pipe.",
        )
    });
    reminders.collect()
}

/// Names the picks without a part; `them` in the sentence that goes on are the clamps at all picks.
fn clamps(pipe: &PipeFacts) -> String {
    let bare: Vec<&str> = pipe
        .picks
        .iter()
        .filter(|pick| pick.part.is_none())
        .map(|pick| pick.name.as_str())
        .collect();
    if pipe.picks.is_empty() {
        String::new()
    } else if bare.is_empty() {
        "the clamps are rated, but the wall under them, ".into()
    } else {
        format!("the clamps at {}, the wall under them, ", says::names(bare))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use std::sync::Arc;

    #[test]
    fn picks_without_a_part_are_named() {
        let mut facts = samples::pipe_rig();
        let says = |facts: &crate::Facts| samples::found(RULE.id, facts)[0].says.clone();
        assert!(
            says(&facts).contains("the clamps at `a`, `b` and `c`, the wall"),
            "{}",
            says(&facts)
        );
        for pick in &mut facts.pipes[0].picks {
            pick.part = Some(Arc::new(samples::link(2000.0, Some(5.0))));
        }
        assert!(
            says(&facts).contains("clamps are rated, but the wall"),
            "{}",
            says(&facts)
        );
        assert_eq!(samples::severities(RULE.id, &facts), ["note"]);
    }
}
