//! What is left carries the load when adjustable grips are gone.
//!
//! Conventions: the subject is a line that remains in a trial; its tension there, raised by its dynamic factor.
//! Assumes: the load comes to hang in its new place without a shock; a shock is the let-go's to answer.
//! Valid for: loads with crew or public below.
//! Source: [bib:dguv-313-23] (the weakest part of the chain that catches rules); the limit is our judgement.
//! Checked by: the tests below, at the limit.

use crate::facts::{Facts, GripTrial, LoadFacts, Remains, Role, Trial};
use crate::finding::{Finding, Severity};
use crate::judgement::Measured;
use crate::measure::measure;
use crate::peaks::lands;
use crate::pipes_past::pipes_past;
use crate::remains::lost;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::rules::{allowance, included_angle, pull_angle};
use crate::says;
use std::collections::BTreeSet;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "grip-remaining",
    title: "What remains without adjustable grips is within its limits",
    statement: "With anyone below, and all adjustable grips gone or any of them, no line, junction, pipe, point, part in the \
                building or beam that remains passes what it may carry once the load has come to rest, whatever the exact \
                lengths, and nothing is pulled at an angle that is refused. How far the load moves is a note, a caution \
                where that is more than 0.5 m (20 in) and `may_move` does not say whether it may, and a caution where it \
                drops by more than 10 mm (3/8 in) on a line that was slack and is not secondary, where the shock of that was \
                not followed: the rule `grip-on-the-way` holds what was.",
    sources: &[
        SourceRef::Cited("dguv-313-23", "the weakest part rules", Seen::Text),
        SourceRef::Plain("working loads and allowances as the limits", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// A movement that is worth a caution where nobody said that it may be.
pub(crate) const MOVED_M: f64 = 0.5;
/// A drop that a line that was slack catches, and that is worth a caution, metres.
const DROP_M: f64 = 0.01;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let overhead = judged.facts.loads.iter().filter(|load| load.under.is_overhead());
    overhead.flat_map(|load| judge_load(load, judged)).collect()
}

/// Judges what remains of the trials of one load.
pub(crate) fn judge_load(load: &LoadFacts, judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    let (mut without, mut furthest_m, mut caught) = (Vec::new(), 0.0_f64, BTreeSet::new());
    for trial in &load.without_grips {
        let Trial::Hangs(remains) = &trial.outcome else {
            continue;
        };
        let gone = trial.gone.iter().map(String::as_str);
        let let_go = says::grips_let_go(gone.clone());
        let facts = judged.facts.in_trial(remains);
        let measured = measure(&facts);
        let past = past_working_loads(&measured)
            .into_iter()
            .chain(past_limits(&facts, &measured, judged));
        for (subject, says, mend) in past {
            // The first trial that shows it is enough.
            if findings.iter().all(|known| known.subject != subject) {
                findings.push(RULE.stop(subject, format!("{let_go}, {says}"), mend));
            }
        }
        // What is lost there is stopped, or permitted, by the rule on adjustable grips as what holds a load.
        if lost(load, trial).is_none() && is_well(trial, load) {
            without.push(&trial.gone);
            furthest_m = furthest_m.max(remains.furthest_m());
            if trial.on_the_way.is_none() {
                caught.extend(dropped_on(remains, &facts));
            }
        }
    }
    findings.extend(untried_pairs(load));
    if without.is_empty() {
        return findings;
    }
    let is_followed = load.without_grips.iter().all(|trial| trial.on_the_way.is_some());
    let says = format!(
        "if adjustable grips let go, `{}` still hangs {}, at most {} from where it hung{}",
        load.name,
        in_words(&without, load.without_grips.len()),
        says::metres(furthest_m),
        if is_followed {
            ", the way there included"
        } else {
            ""
        }
    );
    let subject = format!("loads.{}", load.name);
    findings.push(if !caught.is_empty() {
        let says = format!("{says}; it drops on {}", says::names(caught.iter().map(String::as_str)));
        let mend = "Take the slack out, or have a qualified person size what catches it, and what that is fastened to.";
        RULE.caution(subject, says, mend)
    } else if load.may_move_m.is_none() && furthest_m > MOVED_M {
        RULE.caution(subject, says, "Write how far it may move: `may_move = ...`.")
    } else {
        RULE.note(subject, says, "")
    });
    findings
}

/// Tells whether nothing is known to end badly on the way there.
fn is_well(trial: &GripTrial, load: &LoadFacts) -> bool {
    trial.on_the_way.as_ref().is_none_or(|way| {
        way.parts.is_empty() && way.falls.is_none() && way.not_found.is_none() && lands(load, way).is_none()
    })
}

/// Says without which lines a load hangs, of so many trials.
fn in_words(without: &[&Vec<String>], tried: usize) -> String {
    let names = |gone: &&Vec<String>| format!("without {}", says::names(gone.iter().map(String::as_str)));
    match without {
        [all, ..] if without.len() == tried && all.len() > 1 => {
            format!("{} and without any of them", names(all))
        }
        _ if without.len() > 4 => {
            let first: Vec<String> = without.iter().take(3).map(names).collect();
            format!(
                "{}, and without {} other sets",
                first.join(", or "),
                without.len() - 3
            )
        }
        _ => without.iter().map(names).collect::<Vec<_>>().join(", or "),
    }
}

/// Says that there are more adjustable grips than were tried by twos.
fn untried_pairs(load: &LoadFacts) -> Option<Finding> {
    let most = load.without_grips.iter().map(|trial| trial.gone.len()).max()?;
    let pairs = load
        .without_grips
        .iter()
        .filter(|trial| trial.gone.len() == 2)
        .count();
    (most > 2 && pairs < most * (most - 1) / 2).then(|| {
        let says = format!(
            "`{}` has {most} lines with adjustable grips: it was not tried without every two of them",
            load.name
        );
        let mend = "Hang it by fewer adjustable grips.";
        RULE.caution(format!("loads.{}", load.name), says, mend)
    })
}

/// Lists the lines that a load drops on; secondary ones have a caution of their own.
fn dropped_on(remains: &Remains, facts: &Facts) -> Vec<String> {
    let is_secondary = |name: &&String| {
        let line = facts.lines.iter().find(|line| line.name == **name);
        line.is_some_and(|line| line.role == Role::Secondary)
    };
    let drops = remains.moved_m > DROP_M;
    let caught = remains
        .caught_by
        .iter()
        .filter(|name| drops && !is_secondary(name));
    caught.cloned().collect()
}

/// What is past its limit: the subject, what is wrong, what would mend it.
pub(crate) type Past = (String, String, &'static str);

/// Lists what is past limits that are not the working load of a part: what the building allows, what pipes bear, angles.
pub(crate) fn past_limits(facts: &Facts, measured: &Measured, before: &Judged<'_>) -> Vec<Past> {
    let mut past = past_allowances(facts, measured, before.facts);
    past.extend(bent_too_far(facts, measured));
    past.extend(no_longer_rated(measured, before.measured));
    past.extend(pulled_otherwise(facts, measured, before));
    past
}

/// Lists what is held against more than its working load.
pub(crate) fn past_working_loads(measured: &Measured) -> Vec<Past> {
    let lines = measured.lines.iter().map(|line| {
        let passed = passed(line.demand_n.as_ref(), line.load.working_load_n.as_ref());
        ("lines", "", &line.name, passed)
    });
    let junctions = measured.junctions.iter().map(|junction| {
        let passed = passed(junction.demand_n.as_ref(), junction.working_load_n.as_ref());
        ("junctions", "", &junction.name, passed)
    });
    let parts = measured.points.iter().map(|point| {
        let passed = passed(point.demand_n.as_ref(), point.working_load_n.as_ref());
        ("points", "the part at ", &point.name, passed)
    });
    // Without a dynamic factor that is due there is no demand; that is a stop by a rule of its own.
    let all = lines.chain(junctions).chain(parts);
    let past = all.filter_map(|(section, what, name, passed)| {
        let (demand, working_load) = passed?;
        let [demand, limit] = says::past(demand, working_load);
        let says = format!("{what}`{name}` is held against {demand}, more than its working load of {limit}");
        Some((
            format!("{section}.{name}"),
            says,
            "Make what remains stronger, or add a line.",
        ))
    });
    past.collect()
}

/// Lists the pipes that bear more than they may, by the rules on pipes.
fn bent_too_far(facts: &Facts, measured: &Measured) -> Vec<Past> {
    let past = pipes_past(facts, measured).into_iter();
    past.map(|finding| {
        (
            finding.subject,
            finding.says,
            "Make what remains stronger, or add a line.",
        )
    })
    .collect()
}

/// Lists the points and groups that get more than the building allows.
fn past_allowances(facts: &Facts, measured: &Measured, before: &Facts) -> Vec<Past> {
    let points = facts.points.iter().zip(&measured.points).map(|(facts, point)| {
        (
            "points",
            &point.name,
            &facts.allows,
            [&point.down_n, &point.side_n],
        )
    });
    let groups = facts.groups.iter().zip(&measured.groups).map(|(facts, group)| {
        (
            "groups",
            &group.name,
            &facts.allows,
            [&group.down_n, &group.side_n],
        )
    });
    let pulled_n = |name: &String| {
        let point = before.points.iter().find(|point| point.name == *name);
        let force_n = point.and_then(|point| point.force_n.as_ref());
        force_n.map_or(0.0, Number::value)
    };
    let past = points.chain(groups).flat_map(|(section, name, allows, forces)| {
        let [down, side] = forces.map(Option::as_ref);
        // Where nothing is allowed down, what a line weighs that is gone is nothing beside what it pulled.
        let is_little = |down: &Number| {
            let limit = allows.as_ref().and_then(|allows| allows.down_n.as_ref());
            limit.is_some_and(|limit| allowance::is_nearly_plumb(pulled_n(name), down.value(), limit.value()))
        };
        let down = down.filter(|down| !is_little(down));
        let past = allows
            .iter()
            .flat_map(move |allows| allowance::past(allows, down, side));
        past.map(move |says| {
            (
                format!("{section}.{name}"),
                format!("`{name}` {says}"),
                allowance::MEND,
            )
        })
    });
    past.collect()
}

/// Lists what is pulled at an angle that is refused, and was not before.
fn pulled_otherwise(facts: &Facts, measured: &Measured, before: &Judged<'_>) -> Vec<Past> {
    let then = Judged { facts, measured };
    let rules = [&pull_angle::RULE, &included_angle::RULE];
    let stops = |judged: &Judged<'_>| -> Vec<Finding> {
        let all = rules.iter().flat_map(|rule| (rule.judge)(judged));
        all.filter(|finding| finding.severity == Severity::Stop).collect()
    };
    let known = stops(before);
    let is_known = |finding: &Finding| {
        let same = |known: &&Finding| known.rule == finding.rule && known.subject == finding.subject;
        known.iter().find(same).is_some()
    };
    let new = stops(&then).into_iter().filter(|finding| !is_known(finding));
    new.map(|finding| {
        (
            finding.subject,
            finding.says,
            "Make what remains pull as its parts allow.",
        )
    })
    .collect()
}

/// Lists the parts in the building that had a working load before and have none in the trial.
fn no_longer_rated(measured: &Measured, before: &Measured) -> Vec<Past> {
    let points = measured.points.iter().zip(&before.points);
    let lost = points.filter_map(|(now, before)| {
        let unrated = now.unrated.as_ref().filter(|_| before.unrated.is_none())?;
        let says = format!(
            "`{}` at `{}` has no working load: {}",
            unrated.part, now.name, unrated.why
        );
        Some((
            format!("points.{}", now.name),
            says,
            "Turn the part into the pull, or take another.",
        ))
    });
    lost.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    fn found(pounds: f64) -> Vec<String> {
        let mut facts = samples::grip_rig();
        facts.loads[0].without_grips[0].outcome = samples::hangs(pounds);
        samples::severities(RULE.id, &facts)
    }

    /// The trial of the sample rig, changed.
    fn in_trial(change: &dyn Fn(&mut Remains)) -> Vec<Finding> {
        let mut facts = samples::grip_rig();
        let mut remains = samples::remains(vec![samples::line("ne", samples::plain(), 200.0)]);
        remains.points = facts.points.clone();
        change(&mut remains);
        facts.loads[0].without_grips[0].outcome = Trial::Hangs(Box::new(remains));
        samples::found(RULE.id, &facts)
    }

    /// The line that remains: 4200 lbf x 0.95 / 5 = 798 lbf.
    #[test]
    fn a_remaining_line_past_its_working_load_is_a_stop() {
        assert_eq!(found(797.9), ["note"]);
        assert_eq!(found(798.1), ["stop", "note"]);
    }

    /// The pipe of the sample may carry some 630 ft lb.
    #[test]
    fn a_pipe_that_bends_more_than_it_may_without_a_grip_is_a_stop() {
        let bent = |foot_pounds: f64| {
            in_trial(&|remains| {
                let mut pipe = samples::pipe();
                pipe.moment_n_m = Some(samples::moment_along(foot_pounds * samples::FT_LB));
                remains.pipes = vec![pipe];
            })
        };
        assert!(
            bent(600.0)
                .iter()
                .all(|finding| finding.subject != "pipes.batten")
        );
        let found = bent(700.0);
        let stop = found
            .iter()
            .find(|finding| finding.subject == "pipes.batten")
            .unwrap();
        assert_eq!(stop.severity, Severity::Stop);
        assert!(
            stop.says
                .starts_with("once the adjustable grip of `nw` lets go, `batten`"),
            "{}",
            stop.says
        );
    }

    #[test]
    fn the_note_says_once_what_it_still_hangs_without() {
        let mut facts = samples::grip_rig();
        facts.loads[0].without_grips.push(crate::GripTrial {
            gone: vec!["nw".into(), "sw".into()],
            on_the_way: None,
            without_secondary: None,
            outcome: {
                let mut remains = samples::remains(Vec::new());
                remains.moved_m = 0.3;
                Trial::Hangs(Box::new(remains))
            },
        });
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert_eq!(
            found[0].says,
            "if adjustable grips let go, `flock` still hangs without `nw`, or without `nw` and `sw`, at most \
             11-13/16 in (300 mm) from where it hung"
        );
    }

    #[test]
    fn every_remaining_line_is_looked_at_not_only_the_one_pulled_hardest() {
        let mut facts = samples::grip_rig();
        let mut third = samples::line("third", samples::plain(), 10.0);
        third.makeup = Some(std::sync::Arc::new(samples::makeup(
            "weak",
            vec![
                samples::eye(0.95),
                samples::rope_of("7x19", "galvanised", 0.0625, 480.0),
                samples::eye(0.95),
            ],
        )));
        third.tension_n = Some(samples::force(95.0 * LB));
        let lines = vec![samples::line("ne", samples::plain(), 200.0), third];
        facts.loads[0].without_grips[0].outcome = Trial::Hangs(Box::new(samples::remains(lines)));
        let found = samples::found(RULE.id, &facts);
        assert_eq!(
            (found[0].severity, found[0].subject.as_str()),
            (Severity::Stop, "lines.third")
        );
    }

    /// The sample point is allowed 500 lbf down and 60 sideways.
    #[test]
    fn a_point_that_gets_more_than_it_is_allowed_is_a_stop() {
        assert_eq!(in_trial(&|_| {}).len(), 1);
        let found = in_trial(&|remains| remains.points[0].down_n = Some(samples::force(501.0 * LB)));
        assert_eq!(
            (found[0].severity, found[0].subject.as_str()),
            (Severity::Stop, "points.north")
        );
        assert!(found[0].says.contains("gets 501 lb"), "{}", found[0].says);
    }

    #[test]
    fn a_part_in_the_building_that_is_past_its_working_load_or_its_angle_is_a_stop() {
        let with = |pounds: f64, off_axis_deg: f64| {
            let mut facts = samples::grip_rig();
            facts.points[0].part = Some(std::sync::Arc::new(samples::eye_bolt()));
            facts.points[0].off_axis_rad = Some(0.0);
            let mut remains = samples::remains(Vec::new());
            remains.points = facts.points.clone();
            remains.points[0].force_n = Some(samples::force(pounds * LB));
            remains.points[0].off_axis_rad = Some(f64::to_radians(off_axis_deg));
            facts.loads[0].without_grips[0].outcome = Trial::Hangs(Box::new(remains));
            let found = samples::found(RULE.id, &facts);
            (found[0].severity, found[0].says.clone())
        };
        assert_eq!(with(1550.0, 0.0).0, Severity::Note);
        assert!(
            with(1551.0, 0.0)
                .1
                .contains("the part at `north` is held against")
        );
        assert!(with(100.0, 46.0).1.contains("has no working load"));
    }

    #[test]
    fn a_movement_that_nobody_spoke_of_is_a_caution() {
        let moved = |moved_m: f64| in_trial(&|remains| remains.moved_m = moved_m)[0].severity;
        assert_eq!(moved(0.5), Severity::Note);
        assert_eq!(moved(0.51), Severity::Caution);
    }
}
