//! Pipes that lift off a line.
//!
//! Conventions: the subject is a pipe; a pick lifts where every line there that is meant to carry is slack.
//! Assumes: slack is at the stated lengths, in the pose found.
//! Valid for: pipes on several picks; lines meant to be slack do not count.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-pick-lifts",
    title: "A pipe hangs by every pick that is meant to carry it",
    statement: "A pick whose lines are meant to carry and are all slack holds nothing up: a pipe is stiff, so a line that is \
                a little long, or an overhang that is heavy, lifts it off. The other picks then carry it, and its moments \
                are those without this one. They are held to their limits, so it is a caution.",
    sources: &[SourceRef::Plain("why it is no stop", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for pipe in &judged.facts.pipes {
        let named = |slack: bool| {
            let picks = pipe.picks.iter().filter(move |pick| pick.slack == slack);
            says::names(picks.map(|pick| pick.name.as_str()))
        };
        if pipe.picks.iter().any(|pick| pick.slack) && pipe.picks.iter().any(|pick| !pick.slack) {
            let (lifted, others) = (named(true), named(false));
            let carry = if pipe.picks.iter().filter(|pick| !pick.slack).count() == 1 {
                "carries"
            } else {
                "carry"
            };
            let says = format!(
                "`{}` is lifted off its line at {lifted}: {others} {carry} it, and it bends as if it were not hung there",
                pipe.name
            );
            let mend = "Shorten the slack line, move the pick, or take the pick out and check it without.";
            findings.push(RULE.caution(format!("pipes.{}", pipe.name), says, mend));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_pick_on_a_slack_line_is_told_with_those_that_carry() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.pipes[0].picks[1].slack = true;
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Caution));
        let says = &found[0].says;
        assert!(
            says.contains("off its line at `b`") && says.contains("`a` and `c` carry it"),
            "{says}"
        );
    }

    /// A pipe that nothing holds is stopped for that.
    #[test]
    fn a_pipe_on_slack_lines_alone_is_another_rule_s() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].picks.iter_mut().for_each(|pick| pick.slack = true);
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
