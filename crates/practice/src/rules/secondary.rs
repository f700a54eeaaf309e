//! Secondary lines: what they are not judged for, and loads that need them.
//!
//! Conventions: the subject is a line, or a load that falls without its secondary lines.
//! Assumes: the caller has solved the rig with the secondary lines of the load gone.
//! Valid for: lines in the role `secondary`; drop and shock are those of the rule `caught`.
//! Source: [bib:dguv-313-13] (a second, independent securing); [bib:dguv-313-23] (how it is built).
//! Checked by: the tests below.

use crate::facts::{Facts, LoadFacts, Role, Trial};
use crate::finding::{Finding, Severity};
use crate::remains::{Loss, loss};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "secondary",
    title: "A secondary line catches and does not hold",
    statement: "A load hangs without its secondary lines; if without them it falls, turns over, comes down to the floor, \
                stays only by balance or moves by more than 0.5 m (20 in), what is meant to catch holds it, and that is a stop. Where the catch of a secondary line was not followed in time, \
                that is a caution: a qualified person sizes it for the shock. Where it was, the rule `caught` speaks of it.",
    sources: &[
        SourceRef::Cited("dguv-313-13", "a second, independent securing", Seen::Text),
        SourceRef::Cited("dguv-313-23", "how a secondary element is built", Seen::Text),
        SourceRef::Plain("what is not computed is said", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let facts = judged.facts;
    let loads = facts.loads.iter();
    let held = loads.filter_map(|load| held_by_secondary(load, facts));
    let is_followed = |name: &String| {
        let catches = facts.loads.iter().flat_map(|load| &load.caught);
        catches.into_iter().any(|catch| catch.by.contains(name))
    };
    let lines = facts
        .lines
        .iter()
        .filter(|line| line.role == Role::Secondary && !is_followed(&line.name));
    let not_judged = lines.map(|line| {
        let says = format!(
            "`{}` is secondary and not judged for what it has to catch: drop and shock are not computed",
            line.name
        );
        let mend = "Have a qualified person size it, and what it is fastened to, for the shock.";
        RULE.caution(format!("lines.{}", line.name), says, mend)
    });
    held.chain(not_judged).collect()
}

fn held_by_secondary(load: &LoadFacts, facts: &Facts) -> Option<Finding> {
    // A load that nothing holds even with them is stopped for that.
    if load.falls.is_some() {
        return None;
    }
    let trial = load.without_secondary.as_ref()?;
    // What it may move when something lets go says nothing of lines that are to hold nothing.
    let still = LoadFacts {
        may_move_m: None,
        ..load.clone()
    };
    let Loss { does, why } = loss(&still, trial).or_else(|| moved(trial))?;
    let on_load = facts.lines.iter().filter(|line| line.loads.contains(&load.name));
    let secondary = on_load.filter(|line| line.role == Role::Secondary);
    let says = format!(
        "`{}` {does} without its secondary lines {} ({why}): what is meant to catch holds it",
        load.name,
        says::names(secondary.map(|line| line.name.as_str()))
    );
    let mend = "Add lines that carry, or write `role = \"carries\"` and have a secondary line besides.";
    Some(RULE.stop(format!("loads.{}", load.name), says, mend))
}

/// A load that hangs elsewhere without them is held by them, whatever it may do when something lets go.
fn moved(trial: &Trial) -> Option<Loss> {
    let Trial::Hangs(remains) = trial else {
        return None;
    };
    let near = remains.moved_m <= MOVED_M;
    (!near).then(|| Loss {
        does: "moves",
        why: format!("by {}", says::metres(remains.moved_m)),
    })
}

/// More than a slack line that just touches can do.
const MOVED_M: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn rig() -> Facts {
        let mut facts = samples::rig();
        facts.lines[1].role = Role::Secondary;
        facts.lines[1].slack = true;
        facts.loads[0].without_secondary = Some(samples::hangs(115.0));
        facts
    }

    #[test]
    fn each_secondary_line_is_a_caution_and_no_other_line_is() {
        assert!(samples::found(RULE.id, &samples::rig()).is_empty());
        let found = samples::found(RULE.id, &rig());
        assert_eq!((found.len(), found[0].severity), (1, Severity::Caution));
        assert_eq!(found[0].subject, "lines.ne");
        let mut both = rig();
        both.lines[0].role = Role::Secondary;
        let found = samples::found(RULE.id, &both);
        // Alike but for the name, so that a reader may be told of both at once.
        let rest: Vec<&str> = found
            .iter()
            .filter_map(|f| f.says.split_once(' '))
            .map(|(_, rest)| rest)
            .collect();
        assert_eq!((rest.len(), rest[0]), (2, rest[1]));
    }

    #[test]
    fn a_load_that_falls_without_them_is_a_stop() {
        let mut facts = rig();
        facts.loads[0].without_secondary = Some(Trial::Falls("one line is left".into()));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop", "caution"]);
        let says = &samples::found(RULE.id, &facts)[0].says;
        assert!(
            says.contains("`ne`") && says.contains("one line is left"),
            "{says}"
        );
        facts.loads[0].falls = Some("nothing is above it".into());
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
    }
}
