//! What is left takes the shock when adjustable grips let go.
//!
//! Conventions: the subject is what gets too much, or the load; peaks are at the worst of the damping and stiffness that lines may have.
//! Assumes: all of them may let go at once, and each alone; a peak is not raised by a dynamic factor, which stands for what it is.
//! Valid for: loads with crew or public below, in the trials that were followed in time.
//! Source: [bib:dguv-313-23] (the weakest part of the chain that catches rules); working loads as the limit of a peak are our judgement.
//! Checked by: the tests below, at the limit; the motion by its own tests.

use crate::facts::{GripTrial, LoadFacts, OnTheWay, PeakFacts, PeakOf, Trial};
use crate::finding::{Finding, Severity};
use crate::judgement::Measured;
use crate::remains::loss;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "grip-on-the-way",
    title: "What catches when adjustable grips let go is within its limits",
    statement: "With anyone below, and all adjustable grips gone at once or any one of them, nothing that remains gets more at the peak of \
                what follows than its working load or its allowance, and nothing parts. That is found in time, with the load's inertia, at \
                the worst of the damping and stiffness that lines may have, no damping among them. Where it holds, and the load moves no \
                further than its `may_move`, the adjustable grips only set how the load hangs: they are positioning only, which is found \
                and never declared.",
    sources: &[
        SourceRef::Cited("dguv-313-23", "the weakest part rules", Seen::Text),
        SourceRef::Plain(
            "working loads and allowances as the limits of peaks",
            Seen::Judgement,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let overhead = judged.facts.loads.iter().filter(|load| load.under.is_overhead());
    overhead.flat_map(|load| judge_load(load, judged)).collect()
}

fn judge_load(load: &LoadFacts, judged: &Judged<'_>) -> Vec<Finding> {
    let subject = || format!("loads.{}", load.name);
    let mut findings: Vec<Finding> = Vec::new();
    for (trial, way) in followed(load) {
        let let_go = says::grips_let_go(trial.gone.iter().map(String::as_str));
        if let Some(why) = &way.not_found {
            let says = format!("{let_go}, what happens on the way was not found: {why}");
            findings.push(RULE.stop(
                subject(),
                says,
                "Hang it so that what remains comes to rest without being snatched.",
            ));
        }
        if !way.parts.is_empty() {
            let parts = says::names(way.parts.iter().map(String::as_str));
            let says = format!("{let_go}, {parts} part in turn");
            findings.push(RULE.stop(subject(), says, "Make what remains stronger, or add a line."));
        }
        for peak in &way.peaks {
            let Some((limit, what)) = limit(peak, judged) else {
                continue;
            };
            let Some((peak_n, limit)) = passed(Some(&peak.peak_n), Some(limit)) else {
                continue;
            };
            let subject = path(peak);
            // The first trial that shows it is enough.
            if findings.iter().any(|known| known.subject == subject) {
                continue;
            }
            let [got, limit] = says::past(peak_n, limit);
            let says = format!(
                "{let_go}, {} gets a peak of {got} {:.2} s on, more than {what} of {limit} ({})",
                in_words(peak),
                peak.at_s,
                way.at_worst
            );
            findings.push(RULE.stop(
                subject,
                says,
                "Take the slack out, make what remains stronger, or add a line.",
            ));
        }
    }
    if findings.is_empty() {
        findings.extend(positioning(load, judged.measured, judged));
    }
    findings
}

/// Lists the trials that were followed in time.
fn followed(load: &LoadFacts) -> impl Iterator<Item = (&GripTrial, &OnTheWay)> {
    load.without_grips
        .iter()
        .filter_map(|trial| Some((trial, trial.on_the_way.as_ref()?)))
}

fn path(peak: &PeakFacts) -> String {
    let section = match peak.of {
        PeakOf::Line => "lines",
        PeakOf::Junction => "junctions",
        PeakOf::PartAtPoint | PeakOf::DownAtPoint | PeakOf::SideAtPoint => "points",
    };
    format!("{section}.{}", peak.name)
}

fn in_words(peak: &PeakFacts) -> String {
    match peak.of {
        PeakOf::Line => format!("the line `{}`", peak.name),
        PeakOf::Junction => format!("the junction `{}`", peak.name),
        PeakOf::PartAtPoint => format!("the part at `{}`", peak.name),
        PeakOf::DownAtPoint | PeakOf::SideAtPoint => format!("the building at `{}`", peak.name),
    }
}

/// Gives what a peak is held against, and what that is.
fn limit<'a>(peak: &PeakFacts, judged: &Judged<'a>) -> Option<(&'a Number, &'static str)> {
    let measured = judged.measured;
    let allowance = || {
        judged
            .facts
            .points
            .iter()
            .find(|point| point.name == peak.name)?
            .allows
            .as_ref()
    };
    match peak.of {
        PeakOf::Line => {
            let line = measured.lines.iter().find(|line| line.name == peak.name)?;
            Some((line.load.working_load_n.as_ref()?, "its working load"))
        }
        PeakOf::Junction => {
            let junction = measured
                .junctions
                .iter()
                .find(|junction| junction.name == peak.name)?;
            Some((junction.working_load_n.as_ref()?, "its working load"))
        }
        PeakOf::PartAtPoint => {
            let point = measured.points.iter().find(|point| point.name == peak.name)?;
            Some((point.working_load_n.as_ref()?, "the working load of its part"))
        }
        PeakOf::DownAtPoint => Some((allowance()?.down_n.as_ref()?, "what the building allows down")),
        PeakOf::SideAtPoint => Some((allowance()?.side_n.as_ref()?, "what the building allows sideways")),
    }
}

/// Says that adjustable grips only set how a load hangs, and by which case; none unless every set of them was tried, and is of no account.
fn positioning(load: &LoadFacts, measured: &Measured, judged: &Judged<'_>) -> Option<Finding> {
    let stays = |trial: &GripTrial| {
        let hangs = matches!(trial.outcome, Trial::Hangs(_)) && loss(load, &trial.outcome).is_none();
        hangs && trial.gone.iter().all(|name| rated_without(name, measured))
    };
    let all = load.without_grips.iter().max_by_key(|trial| trial.gone.len())?;
    let known = followed(load).count();
    if known == 0 || !load.without_grips.iter().all(stays) {
        return None;
    }
    // The case that decides is the one that uses most.
    let uses = followed(load).flat_map(|(trial, way)| {
        way.peaks.iter().filter_map(move |peak| {
            let (limit, _) = limit(peak, judged)?;
            Some((trial, way, peak, peak.peak_n.value() / limit.value()))
        })
    });
    let (trial, way, peak, share) = uses.reduce(|most, next| if next.3 > most.3 { next } else { most })?;
    let furthest_m = followed(load).map(|(_, way)| way.moves_m).fold(0.0, f64::max);
    let (grips, go) = match all.gone.len() {
        1 => ("the adjustable grip of", "lets go"),
        _ => ("the adjustable grips of", "let go"),
    };
    let names = |trial: &GripTrial| says::names(trial.gone.iter().map(String::as_str));
    let on_the_way = format!(
        "if {} {go}, {} gets {:.0} % of what it may carry at its peak, and the load moves {} at most",
        names(trial),
        in_words(peak),
        100.0 * share,
        says::metres(furthest_m)
    );
    let (grips, load_name, at_worst) = (format!("{grips} {}", names(all)), &load.name, &way.at_worst);
    let Some(most_m) = load.may_move_m else {
        let says = format!(
            "{grips} may be positioning only, but `may_move` does not say how far `{load_name}` may move: {on_the_way} ({at_worst})"
        );
        return Some(RULE.note(
            format!("loads.{load_name}"),
            says,
            "Write how far it may move: `may_move = ...`.",
        ));
    };
    let says = format!(
        "{grips} can only set how `{load_name}` hangs (positioning only): {on_the_way}, within the {} that it may ({at_worst})",
        says::metres(most_m)
    );
    Some(RULE.note(format!("loads.{}", load.name), says, ""))
}

/// Whether every line but one has a working load, so that it is known what holds the load without it.
fn rated_without(gone: &str, measured: &Measured) -> bool {
    let others = measured.lines.iter().filter(|line| line.name != gone);
    others.into_iter().all(|line| line.load.working_load_n.is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Facts;
    use crate::samples::{self, LB};

    /// The line that remains may carry 4200 lbf x 0.95 / 5 = 798 lbf; it gets a peak of so many pounds.
    fn rig(pounds: f64) -> Facts {
        let mut facts = samples::grip_rig();
        facts.loads[0].may_move_m = Some(0.5);
        let name = facts
            .lines
            .iter()
            .map(|line| line.name.clone())
            .find(|name| name != "nw")
            .unwrap();
        facts.loads[0].without_grips[0].on_the_way = Some(OnTheWay {
            moves_m: 0.2,
            drops_m: 0.05,
            tilt_rad: 0.1,
            peaks: vec![PeakFacts {
                of: PeakOf::Line,
                name,
                peak_n: samples::force(pounds * LB),
                at_s: 0.3,
            }],
            parts: Vec::new(),
            not_found: None,
            at_worst: "without damping".into(),
        });
        facts
    }

    fn severities(facts: &Facts) -> Vec<String> {
        samples::severities(RULE.id, facts)
    }

    #[test]
    fn a_peak_past_a_working_load_is_a_stop_and_one_within_is_positioning_only() {
        assert_eq!(severities(&rig(798.1)), ["stop"]);
        let found = samples::found(RULE.id, &rig(797.9));
        assert_eq!(found[0].severity, Severity::Note);
        assert!(
            found[0].says.contains("positioning only") && found[0].says.contains("100 %"),
            "{}",
            found[0].says
        );
    }

    #[test]
    fn positioning_is_found_only_where_the_load_may_move_so_far_and_nothing_is_unknown() {
        let mut facts = rig(100.0);
        facts.loads[0].may_move_m = None;
        let found = samples::found(RULE.id, &facts);
        assert!(
            found[0].says.contains("`may_move` does not say"),
            "{}",
            found[0].says
        );
        let mut facts = rig(100.0);
        facts.loads[0].without_grips[0].outcome = Trial::Falls("nothing is left".into());
        assert!(severities(&facts).is_empty());
        for change in [
            |way: &mut OnTheWay| way.parts = vec!["lines.ne".into()],
            |way: &mut OnTheWay| way.not_found = Some("two runs differ".into()),
        ] {
            let mut facts = rig(100.0);
            change(facts.loads[0].without_grips[0].on_the_way.as_mut().unwrap());
            assert_eq!(severities(&facts), ["stop"]);
        }
        assert!(
            severities(&samples::grip_rig()).is_empty(),
            "not followed, so nothing is said"
        );
    }
}
