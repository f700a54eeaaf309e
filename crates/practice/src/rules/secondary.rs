//! Secondary lines: what they are not judged for, and loads that need them.
//!
//! Conventions: the subject is a line, or a load that falls without its secondary lines.
//! Assumes: the caller has solved the rig with the secondary lines of the load gone.
//! Valid for: lines in the role `secondary`; drop and shock are those of the rule `caught`.
//! Source: [bib:dguv-313-13] (a second, independent securing); [bib:dguv-313-23] (how it is built).
//! Checked by: the tests below.

use crate::facts::{EndAt, Facts, LineFacts, LoadFacts, Role, Trial};
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
                that is a caution: a qualified person sizes it for the shock. Where it was, the rule `caught` speaks of it. A secondary line is independent of what it is \
                there for: where all secondary lines of a load and all that carry it end at one point, one junction or one pick, so that \
                one part takes both, that is a stop for a point or a junction, and a caution for a pick.",
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
    let together = facts.loads.iter().flat_map(|load| together(load, facts));
    held.chain(together).chain(not_judged).collect()
}

/// Says at what both all secondary lines of a load and all that carry it end: what goes there takes both.
fn together(load: &LoadFacts, facts: &Facts) -> Vec<Finding> {
    let of = |is_secondary: bool| -> Vec<&LineFacts> {
        let lines = facts.lines.iter().filter(|line| line.loads.contains(&load.name));
        let lines = lines
            .filter(|line| (line.role == Role::Secondary) == is_secondary && (is_secondary || line.lifts));
        lines.collect()
    };
    let (secondary, carrying) = (of(true), of(false));
    let Some(first) = secondary.first().filter(|_| !carrying.is_empty()) else {
        return Vec::new();
    };
    let all = || secondary.iter().chain(&carrying);
    let shared = first
        .ends
        .iter()
        .filter(|end| all().all(|line| line.ends.iter().any(|other| other == *end)));
    let says = |at: String| {
        let names = says::names(secondary.iter().map(|line| line.name.as_str()));
        format!(
            "{names} and all that carries `{}` end at {at}: what lets go there takes both",
            load.name
        )
    };
    let subject = || format!("loads.{}", load.name);
    let mend = "Fasten the secondary line to a point and a pick of its own.";
    let told = shared.map(|end| match end {
        EndAt::Point(name) => RULE.stop(subject(), says(format!("the point `{name}`")), mend),
        EndAt::Junction(name) => RULE.stop(subject(), says(format!("the junction `{name}`")), mend),
        EndAt::Pick(_, pick) => RULE.caution(subject(), says(format!("the pick `{pick}`")), mend),
    });
    told.collect()
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
        for (line, name) in facts.lines.iter_mut().zip(["north", "south"]) {
            let pick = EndAt::Pick("flock".into(), name.into());
            line.ends = [EndAt::Point(name.into()), pick];
        }
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

    /// Lines that end at one point, or at one pick.
    #[test]
    fn a_secondary_line_has_ends_of_its_own() {
        let found = |ends: [EndAt; 2]| {
            let mut facts = rig();
            let load = facts.loads[0].name.clone();
            for line in &mut facts.lines {
                line.loads = vec![load.clone()];
            }
            let own = |name: &str| EndAt::Point(name.into());
            facts.lines[0].ends = [ends[0].clone(), own("one")];
            facts.lines[1].ends = [ends[1].clone(), own("other")];
            samples::severities(RULE.id, &facts)
        };
        let point = |name: &str| EndAt::Point(name.into());
        let pick = |name: &str| EndAt::Pick("flock".into(), name.into());
        assert_eq!(found([point("a"), point("b")]), ["caution"], "the shock alone");
        assert_eq!(found([point("a"), point("a")]), ["stop", "caution"]);
        assert_eq!(found([pick("a"), pick("a")]), ["caution", "caution"]);
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
