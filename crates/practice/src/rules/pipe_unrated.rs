//! Pipes of which nothing says what they may carry.
//!
//! Conventions: the subject is a pipe.
//! Assumes: what has no rating with a source carries nothing that can be relied on.
//! Valid for: every pipe, whether by a section of the parts book or by its stiffness.
//! Source: our judgement, as for lines.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-unrated",
    title: "Every pipe has a moment and a shear that it may carry",
    statement: "A pipe stands on a section of the parts book, or on a moment and a shear that the rig states with who says \
                so. A pipe by its stiffness alone hangs and bends here, but nothing holds it to a limit. Of a round tube \
                with stated wall, modulus, yield strength and factor both follow.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let unrated = judged.pipes().filter_map(|(_, pipe)| {
        let unrated = pipe.unrated.as_ref()?;
        let part = match unrated.part.as_str() {
            "" => String::new(),
            part => format!("`{part}`: "),
        };
        let says = format!(
            "nothing says what `{}` may carry in bending: {part}{}",
            pipe.name, unrated.why
        );
        let mend = "Use a section of the parts book, or write what its maker lets it carry.";
        Some(RULE.stop(format!("pipes.{}", pipe.name), says, mend))
    });
    unrated.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use std::sync::Arc;

    #[test]
    fn a_pipe_by_stiffness_alone_is_stopped_unless_somebody_states_what_it_may_carry() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.pipes[0].section = None;
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Stop));
        assert!(found[0].says.contains("stiffness alone"));
        facts.pipes[0].stated = Some(samples::bending(1e3, 1e4, None));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    #[test]
    fn a_section_without_a_rating_says_why() {
        let mut facts = samples::pipe_rig();
        let mut part = facts.pipes[0].section.as_ref().unwrap().as_ref().clone();
        part.rating = parts::Rating::Unrated("its yield strength is not stated".into());
        facts.pipes[0].section = Some(Arc::new(part));
        assert!(
            samples::found(RULE.id, &facts)[0]
                .says
                .contains("`pipe-1-1/2-sch40`: its yield strength is not stated")
        );
    }
}
