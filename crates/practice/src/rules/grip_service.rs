//! Adjustable grips hold loads that hang still.
//!
//! Conventions: the subject is a line.
//! Assumes: a line moves in service if any load that bears on it does.
//! Valid for: every adjustable grip, whatever its maker permits otherwise.
//! Source: common practice; the practice in force.
//! Checked by: the tests below.

use crate::facts::{LineFacts, Role, Service};
use crate::finding::{Finding, Severity};
use crate::practice::Practice;
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "grip-service",
    title: "An adjustable grip holds loads that hang still",
    statement: "An adjustable grip is not in a load path that moves in service or holds people, and not used where the \
                practice refuses adjustable grips, nor in a secondary line, which is shocked when it catches. It is for dead-hung loads \
                in line.",
    sources: &[
        COMMON_PRACTICE,
        SourceRef::Plain("the practice in force", Seen::Stated),
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let gripped = judged.facts.lines.iter().filter(|line| has_grip(line));
    gripped
        .filter_map(|line| {
            let why = refusal(line, &judged.facts.practice)?;
            let says = format!("`{}` has an adjustable grip, {why}", line.name);
            Some(RULE.stop(
                format!("lines.{}", line.name),
                says,
                "Make it up with a fixed end and a turnbuckle instead.",
            ))
        })
        .collect()
}

/// Tells whether a line has an adjustable grip.
pub(crate) fn has_grip(line: &LineFacts) -> bool {
    line.makeup
        .iter()
        .flat_map(|makeup| &makeup.pieces)
        .any(|piece| piece.part.grip().is_some())
}

fn refusal(line: &LineFacts, practice: &Practice) -> Option<String> {
    match line.service {
        _ if line.role == Role::Secondary => Some("and it is there to catch, which shocks it".into()),
        Service::Moving => Some("and the load on it moves".into()),
        Service::People => Some("and it holds people".into()),
        Service::Still if !practice.adjustable_grips => Some(format!(
            "and the practice `{}` refuses adjustable grips",
            practice.id
        )),
        Service::Still => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Practices;
    use crate::samples;

    #[test]
    fn a_grip_in_a_moving_load_path_is_a_stop() {
        let mut facts = samples::grip_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        for service in [Service::Moving, Service::People] {
            facts.lines[0].service = service;
            assert_eq!(samples::severities(RULE.id, &facts), ["stop"], "{service:?}");
        }
        facts.lines[0].service = Service::Still;
        facts.lines[0].role = Role::Secondary;
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
        facts.lines[0].role = Role::Carries;
        // The line without one may move.
        facts.lines[0].service = Service::Still;
        facts.lines[1].service = Service::Moving;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    #[test]
    fn a_practice_may_refuse_grips_altogether() {
        let mut facts = samples::grip_rig();
        facts.practice = Practices::published().get("moving-overhead").unwrap();
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
