//! Slack lines.
//!
//! Conventions: the subject is a line; slack is at the stated lengths, in the pose found.
//! Assumes: the load hangs; a load that nothing holds is stopped by a rule of its own.
//! Valid for: lines meant to carry, and secondary lines, which are meant to be slack.
//! Source: our judgement; [bib:dguv-313-13] (a secondary line catches, it does not carry).
//! Checked by: the tests below.

use crate::facts::Role;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "slack",
    title: "Lines that are meant to carry do, and secondary ones do not",
    statement: "A line that is meant to carry or to tie down and is slack, a secondary line that is tight, or a line that \
                is said to tie down and pulls up, hangs otherwise than meant. It is a caution and no stop: the others hold the load by themselves and are \
                held against it, so only the lengths are wrong.",
    sources: &[
        SourceRef::Plain("why it is no stop", Seen::Judgement),
        SourceRef::Cited("dguv-313-13", "secondary securing", Seen::Text),
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (line, _) in judged.lines().filter(|(line, _)| line.tension_n.is_some()) {
        let subject = format!("lines.{}", line.name);
        match (line.role, line.slack) {
            (Role::TiesDown, true) => {
                let says = format!("`{}` is slack, so it ties nothing down", line.name);
                findings.push(RULE.caution(subject, says, "Tighten it."));
            }
            (Role::Carries, true) => {
                let says = format!(
                    "`{}` is slack, so the other lines hold what it is meant to hold",
                    line.name
                );
                findings.push(RULE.caution(subject, says, "Shorten it, or write `role = \"secondary\"`."));
            }
            (Role::Secondary, false) => {
                let tension = line.tension_n.as_ref().map(says::force).unwrap_or_default();
                let says = format!("`{}` is meant to be slack, but carries {tension}", line.name);
                findings.push(RULE.caution(subject, says, "Lengthen it, or write `role = \"carries\"`."));
            }
            (Role::TiesDown, false) if line.lifts => {
                let says = format!(
                    "`{}` is said to tie down, but pulls up on what hangs from it",
                    line.name
                );
                findings.push(RULE.caution(subject, says, "Write `role = \"carries\"`."));
            }
            _ => {}
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn each_role_has_its_own_wrong_state() {
        for (role, slack, expected) in [
            (Role::Carries, false, 0),
            (Role::Carries, true, 1),
            (Role::TiesDown, true, 1),
            (Role::Secondary, true, 0),
            (Role::Secondary, false, 1),
        ] {
            let mut facts = samples::rig();
            facts.lines[0].role = role;
            facts.lines[0].lifts = false;
            facts.lines[0].slack = slack;
            assert_eq!(
                samples::found(RULE.id, &facts).len(),
                expected,
                "{role:?} {slack}"
            );
        }
    }

    #[test]
    fn a_line_that_ties_down_does_not_hold_up() {
        let mut facts = samples::rig();
        facts.lines[0].role = Role::TiesDown;
        facts.lines[0].lifts = true;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
    }
}
