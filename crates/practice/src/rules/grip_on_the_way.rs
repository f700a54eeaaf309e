//! What is left takes the shock when adjustable grips let go.
//!
//! Conventions: the subject is what gets too much, or the load; peaks are at the worst of the damping and stiffness that lines may have.
//! Assumes: all of them may let go at once, and each alone; a peak is not raised by a dynamic factor, which stands for what it is.
//! Valid for: loads with crew or public below, in the trials that were followed in time.
//! Source: [bib:dguv-313-23] (the weakest part of the chain that catches rules); working loads as the limit of a peak are our judgement.
//! Checked by: the tests below, at the limit; the motion by its own tests.

use crate::facts::{GripTrial, LoadFacts, OnTheWay, Role, Service, Slip, Trial};
use crate::finding::{Finding, Severity};
use crate::judgement::Measured;
use crate::peaks::{in_words, lands, limit, nearly, path, pulled_up, share_at_peak, strays, too_much};
use crate::pipes_past::{bent_too_far, nearly_bent, used_on_the_way};
use crate::remains::lost;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::{grip_remaining, grip_sole_support};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "grip-on-the-way",
    title: "What catches when adjustable grips let go is within its limits",
    statement: "With anyone below, and all adjustable grips gone at once or any one of them, nothing that remains gets more at the peak of \
                what follows than its working load or its allowance, no pipe bears more than it may, and nothing parts. That is found in time, with the load's inertia, at \
                the worst of the damping and stiffness that lines may have, no damping among them. Nor does the load come down to the \
                floor. Where it holds without lines that \
                catch, and no rule on what is left without them stops it, the adjustable grips only set how the load hangs: they are positioning only, which is found \
                and never declared. An adjustable grip that slips by its tail and catches again is a stop where another line parts or the load \
                then falls or comes down to the floor, and a caution where anything but its own line gets too much, or the load goes \
                further than its `may_move`. A pull upward on the building that is not there at rest is a caution, and so is a peak of more than nine tenths of a limit.",
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
    let mut findings: Vec<Finding> = Vec::new();
    for finding in overhead.flat_map(|load| judge_load(load, judged)) {
        // What a slip brings to a line is the same whichever of its loads is asked about.
        let is_known = |known: &Finding| known.subject == finding.subject && known.says == finding.says;
        if !findings.iter().any(is_known) {
            findings.push(finding);
        }
    }
    findings
}

fn judge_load(load: &LoadFacts, judged: &Judged<'_>) -> Vec<Finding> {
    let subject = || format!("loads.{}", load.name);
    let mut findings: Vec<Finding> = Vec::new();
    let mut upward: Vec<Finding> = Vec::new();
    for (trial, way) in followed(load) {
        let let_go = says::grips_let_go(trial.gone.iter().map(String::as_str));
        if let Some(why) = &way.not_found {
            let says = format!("{let_go}, what happens on the way was not found: {why}");
            findings.push(RULE.stop(
                subject(),
                says,
                "State what moves: the weight of a ring, the size of a load; or hang it so that what remains is not snatched.",
            ));
        }
        if let Some(parts) = parting(way.parts.iter()) {
            let says = format!("{let_go}, {parts}");
            findings.push(RULE.stop(subject(), says, "Make what remains stronger, or add a line."));
        }
        if let Some(lands) = lands(load, way) {
            let says = format!("{let_go}, `{}` {lands}", load.name);
            findings.push(RULE.stop(
                subject(),
                says,
                "Add a line with another end that holds the load where it is.",
            ));
        }
        for peak in &way.peaks {
            let Some((says, _)) = too_much(peak, &format!("{let_go}, "), way, judged) else {
                continue;
            };
            let subject = path(peak);
            // The first trial that shows it is enough.
            if findings.iter().any(|known| known.subject == subject) {
                continue;
            }
            findings.push(RULE.stop(
                subject,
                says,
                "Replace the adjustable grip by a fixed end, make what remains stronger, or add a line.",
            ));
        }
        let let_go = format!("{let_go}, ");
        let mend = "Replace the adjustable grip by a fixed end, make the pipe stronger, or add a line.";
        for bent in bent_too_far(&RULE, way, &let_go, judged, mend) {
            if findings.iter().all(|known| known.subject != bent.subject) {
                findings.push(bent);
            }
        }
        let near = nearly(&RULE, way, &let_go, judged, &findings).into_iter();
        let near = near.chain(nearly_bent(&RULE, way, &let_go, judged));
        for finding in pulled_up(&RULE, way, &let_go, judged).into_iter().chain(near) {
            if upward.iter().all(|known| known.subject != finding.subject) {
                upward.push(finding);
            }
        }
    }
    if findings.is_empty() {
        findings.extend(positioning(load, judged));
    }
    findings.extend(upward);
    findings.extend(load.slips.iter().flat_map(|slip| judge_slip(load, slip, judged)));
    findings
}

/// Says what gets too much when a grip slips by its tail and catches again. Its own line is not asked about: a grip that has slipped holds
/// nothing that anybody counts on.
fn judge_slip(load: &LoadFacts, slip: &Slip, judged: &Judged<'_>) -> Vec<Finding> {
    let way = &slip.on_the_way;
    let slips = format!(
        "if the adjustable grip of `{}` slips by its tail of {} or less and catches again",
        slip.line,
        says::metres(slip.tail_m)
    );
    let subject = format!("loads.{}", load.name);
    let mend = if slip.is_least {
        "Its tail is as short as its maker allows: take the adjustable grip out."
    } else {
        "Make the tail shorter where its maker allows that, or take the adjustable grip out."
    };
    if let Some(why) = &way.not_found {
        return vec![RULE.caution(
            subject,
            format!("{slips}, what happens was not found: {why}"),
            mend,
        )];
    }
    let own = format!("lines.{}", slip.line);
    let is_lost = way.parts.contains(&own);
    if let Some(parts) = parting(way.parts.iter().filter(|part| **part != own)) {
        return vec![RULE.stop(subject, format!("{slips}, {parts}"), mend)];
    }
    // What comes of it if its own line is lost, the trials without that line tell.
    let falls = way.falls.as_ref().filter(|_| !is_lost);
    let ends = falls.map(|why| format!("is no longer held: {why}"));
    if let Some(ends) = ends.or_else(|| lands(load, way)) {
        return vec![RULE.stop(subject, format!("{slips}, `{}` {ends}", load.name), mend)];
    }
    let others = way.peaks.iter().filter(|peak| path(peak) != own);
    let used = others.filter_map(|peak| {
        let (limit, _) = limit(peak, judged)?;
        let (says, peak_n) = too_much(peak, &format!("{slips}, "), way, judged)?;
        Some((share_at_peak(peak_n.value(), limit), says))
    });
    let bent = bent_too_far(&RULE, way, &format!("{slips}, "), judged, mend).into_iter();
    let bent = bent.map(|bent| (bent.size.unwrap_or(f64::INFINITY), bent.says));
    let most = used
        .chain(bent)
        .reduce(|most, next| if next.0 > most.0 { next } else { most });
    let strays = strays(load, way).filter(|_| !is_lost);
    let strays = strays.map(|far| format!("{slips}, `{}` {far}", load.name));
    let too_much = most.map(|(_, says)| RULE.caution(subject.clone(), says, mend));
    let strays = strays.map(|says| RULE.caution(subject, says, mend).about("far"));
    let mut findings: Vec<Finding> = too_much.into_iter().chain(strays).collect();
    if findings.is_empty() {
        let mut near = nearly(&RULE, way, &format!("{slips}, "), judged, &[]);
        near.retain(|finding| finding.subject != own);
        findings.extend(near);
    }
    findings
}

/// Says what parts on the way; none if nothing does.
fn parting<'a>(parts: impl Iterator<Item = &'a String>) -> Option<String> {
    let parts: Vec<&str> = parts.map(String::as_str).collect();
    let names = says::names(parts.iter().copied());
    match parts.len() {
        0 => None,
        1 => Some(format!("{names} parts")),
        _ => Some(format!("{names} part in turn")),
    }
}

/// Lists the trials that were followed in time.
fn followed(load: &LoadFacts) -> impl Iterator<Item = (&GripTrial, &OnTheWay)> {
    load.without_grips
        .iter()
        .filter_map(|trial| Some((trial, trial.on_the_way.as_ref()?)))
}

/// Says that adjustable grips only set how a load hangs, and by which case; none unless every set of them was tried, and is of no account.
fn positioning(load: &LoadFacts, judged: &Judged<'_>) -> Option<Finding> {
    let is_secondary = |name: &String| {
        judged
            .facts
            .lines
            .iter()
            .any(|line| line.name == *name && line.role == Role::Secondary)
    };
    let stays = |trial: &GripTrial| {
        // Lines that catch do not make up for what let go, and what moves is no work for a grip.
        let held = |outcome: &Trial| match outcome {
            Trial::Hangs(remains) => !remains.caught_by.iter().any(is_secondary),
            Trial::Falls(_) | Trial::NotFound(_) => false,
        };
        let hangs = held(&trial.outcome) && lost(load, trial).is_none() && load.service == Service::Still;
        // A grip in a line that is to catch positions nothing.
        let catches = trial.gone.iter().any(is_secondary);
        hangs && !catches && trial.gone.iter().all(|name| rated_without(name, judged.measured))
    };
    if is_stopped_without(load, judged) {
        return None;
    }
    let all = load.without_grips.iter().max_by_key(|trial| trial.gone.len())?;
    let known = followed(load).count();
    if known == 0 || !load.without_grips.iter().all(stays) {
        return None;
    }
    // The case that decides is the one that uses most.
    let uses = followed(load).flat_map(|(trial, way)| {
        let peaks = way.peaks.iter().filter_map(move |peak| {
            let (limit, _) = limit(peak, judged)?;
            let share = share_at_peak(peak.peak_n.value(), limit);
            let gets = format!("{} gets {:.0} %", in_words(peak), 100.0 * share);
            share.is_finite().then_some((trial, way, gets, share))
        });
        let pipes = used_on_the_way(way, judged.facts).into_iter();
        let pipes = pipes.filter_map(move |pipe| {
            let share = pipe.utilisation.as_ref()?.value();
            let gets = format!("the pipe `{}` gets {:.0} %", pipe.name, 100.0 * share);
            Some((trial, way, gets, share))
        });
        peaks.chain(pipes)
    });
    let (trial, way, gets, _) = uses.reduce(|most, next| if next.3 > most.3 { next } else { most })?;
    let furthest_m = followed(load).map(|(_, way)| way.moves_m).fold(0.0, f64::max);
    let (grips, go) = match all.gone.len() {
        1 => ("the adjustable grip of", "lets go"),
        _ => ("the adjustable grips of", "let go"),
    };
    let names = |trial: &GripTrial| says::names(trial.gone.iter().map(String::as_str));
    let on_the_way = format!(
        "if {} {go}, {gets} of what it may carry at its peak, and the load moves {} at most",
        names(trial),
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

/// Tells whether a rule on what is left without adjustable grips stops a load: then they do more than set how it hangs.
fn is_stopped_without(load: &LoadFacts, judged: &Judged<'_>) -> bool {
    let remaining = grip_remaining::judge_load(load, judged);
    let sole = grip_sole_support::judge_load(load, judged.facts);
    let mut both = remaining.iter().chain(&sole);
    both.any(|finding| finding.severity == Severity::Stop)
}

/// Whether every line but one has a working load, so that it is known what holds the load without it.
fn rated_without(gone: &str, measured: &Measured) -> bool {
    let others = measured.lines.iter().filter(|line| line.name != gone);
    others.into_iter().all(|line| line.load.working_load_n.is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{Facts, PeakFacts, PeakOf};
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
            lowest_m: 2.0,
            pipes: Vec::new(),
            peaks: vec![PeakFacts {
                of: PeakOf::Line,
                name,
                peak_n: samples::force(pounds * LB),
                at_s: Some(0.3),
            }],
            parts: Vec::new(),
            falls: None,
            not_found: None,
            at_worst: "without damping".into(),
            is_chaotic: false,
        });
        facts
    }

    fn severities(facts: &Facts) -> Vec<String> {
        samples::severities(RULE.id, facts)
    }

    #[test]
    fn a_peak_past_a_working_load_is_a_stop_and_one_within_is_positioning_only() {
        assert_eq!(severities(&rig(798.1)), ["stop"]);
        assert_eq!(
            severities(&rig(797.9)),
            ["caution", "note"],
            "nearer than a tenth"
        );
        let found = samples::found(RULE.id, &rig(717.0));
        assert_eq!((found.len(), found[0].severity), (1, Severity::Note));
        assert!(
            found[0].says.contains("positioning only") && found[0].says.contains("90 %"),
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

    /// What remains is past a limit at rest, which another rule stops: the pipe of the sample may carry 630 ft lb.
    #[test]
    fn what_another_rule_stops_without_grips_is_not_positioning_only() {
        let bent = |foot_pounds: f64| {
            let mut facts = rig(100.0);
            let mut pipe = samples::pipe();
            pipe.moment_n_m = Some(samples::moment_along(foot_pounds * samples::FT_LB));
            if let Trial::Hangs(remains) = &mut facts.loads[0].without_grips[0].outcome {
                remains.pipes = vec![pipe];
            }
            facts
        };
        assert_eq!(severities(&bent(600.0)), ["note"]);
        assert_eq!(
            samples::severities("grip-remaining", &bent(700.0)),
            ["stop", "note"]
        );
        assert!(severities(&bent(700.0)).is_empty());
    }

    /// A slip that overloads its own line says nothing of it, since nobody counts on that; what it does to another line is a caution.
    #[test]
    fn a_slip_that_overloads_something_else_is_a_caution() {
        let slipped = |line: &str, pounds: f64| {
            let mut facts = rig(100.0);
            let mut way = facts.loads[0].without_grips[0].on_the_way.clone().unwrap();
            way.peaks[0].name = line.into();
            way.peaks[0].peak_n = samples::force(pounds * LB);
            facts.loads[0].slips = vec![Slip {
                line: "nw".into(),
                tail_m: 0.1,
                is_least: false,
                on_the_way: way,
            }];
            severities(&facts)
        };
        let other = rig(0.0).loads[0].without_grips[0]
            .on_the_way
            .clone()
            .unwrap()
            .peaks[0]
            .name
            .clone();
        assert_eq!(slipped(&other, 799.0), ["caution", "note"]);
        // Nearer to the limit of 798 lbf than a tenth.
        assert_eq!(slipped(&other, 797.0), ["caution", "note"]);
        assert_eq!(slipped(&other, 718.0), ["note"]);
        assert_eq!(slipped("nw", 9_000.0), ["note"]);
    }

    /// A slip after which something else parts, or the load is lost, is a stop; that its own line parts, another trial tells.
    #[test]
    fn a_slip_that_ends_badly_is_a_stop() {
        let slipped = |change: &dyn Fn(&mut OnTheWay)| {
            let mut facts = rig(100.0);
            facts.loads[0].height_m = 2.0;
            let mut way = facts.loads[0].without_grips[0].on_the_way.clone().unwrap();
            change(&mut way);
            facts.loads[0].slips = vec![Slip {
                line: "nw".into(),
                tail_m: 0.1,
                is_least: false,
                on_the_way: way,
            }];
            severities(&facts)
        };
        let falls = |way: &mut OnTheWay| way.falls = Some("nothing is left".into());
        assert_eq!(slipped(&|_| {}), ["note"]);
        assert_eq!(
            slipped(&|way| way.parts = vec!["lines.ne".into()]),
            ["stop", "note"]
        );
        assert_eq!(slipped(&|way| way.parts = vec!["lines.nw".into()]), ["note"]);
        assert_eq!(slipped(&falls), ["stop", "note"]);
        assert_eq!(slipped(&|way| way.lowest_m = -0.1), ["stop", "note"]);
        assert_eq!(slipped(&|way| way.moves_m = 0.51), ["caution", "note"]);
        let lost = |way: &mut OnTheWay| {
            falls(way);
            way.parts = vec!["lines.nw".into()];
        };
        assert_eq!(slipped(&lost), ["note"]);
    }

    /// The pipe of the sample may carry 630 ft lb.
    #[test]
    fn a_pipe_that_bends_more_on_the_way_than_it_may_is_a_stop() {
        let with = |foot_pounds: f64| {
            let mut facts = rig(100.0);
            let mut pipe = samples::pipe();
            pipe.moment_n_m = Some(samples::moment_along(foot_pounds * samples::FT_LB));
            let way = facts.loads[0].without_grips[0].on_the_way.as_mut().unwrap();
            way.pipes = vec![pipe];
            facts
        };
        assert_eq!(severities(&with(560.0)), ["note"]);
        assert!(
            samples::found(RULE.id, &with(560.0))[0]
                .says
                .contains("the pipe `batten` gets 89 %")
        );
        assert_eq!(severities(&with(620.0)), ["caution", "note"]);
        assert_eq!(severities(&with(640.0)), ["stop"]);
        // A link of 1000 lbf clamps a line to it.
        let clamped = |pounds: f64| {
            let mut facts = with(100.0);
            let mut pipe = samples::pipe();
            pipe.picks[0].part = Some(std::sync::Arc::new(samples::link(1000.0, Some(5.0))));
            facts.pipes = vec![pipe];
            let way = facts.loads[0].without_grips[0].on_the_way.as_mut().unwrap();
            way.peaks.push(PeakFacts {
                of: PeakOf::PartAtPick,
                name: "batten.a".into(),
                peak_n: samples::force(pounds * LB),
                at_s: Some(0.1),
            });
            severities(&facts)
        };
        assert_eq!(clamped(899.0), ["note"]);
        assert_eq!(clamped(1001.0), ["stop"]);
        let mut slips = rig(100.0);
        let way = with(640.0).loads[0].without_grips[0].on_the_way.clone().unwrap();
        slips.loads[0].slips = vec![Slip {
            line: "nw".into(),
            tail_m: 0.1,
            is_least: false,
            on_the_way: way,
        }];
        assert_eq!(severities(&slips), ["caution", "note"]);
    }

    /// A beam that is allowed 100 lb, a point that is allowed nothing sideways, and one that is pulled up.
    #[test]
    fn the_building_is_held_against_peaks_too() {
        let with = |of: PeakOf, name: &str, pounds: f64| {
            let mut facts = rig(100.0);
            facts.groups = vec![samples::beam(100.0)];
            facts.points[0].allows = Some(samples::allows(500.0, Some(0.0)));
            let way = facts.loads[0].without_grips[0].on_the_way.as_mut().unwrap();
            let peak = |of, pounds: f64| PeakFacts {
                of,
                name: name.into(),
                peak_n: samples::force(pounds * LB),
                at_s: None,
            };
            way.peaks
                .extend([peak(PeakOf::PartAtPoint, 200.0), peak(of, pounds)]);
            severities(&facts)
        };
        let point = rig(1.0).points[0].name.clone();
        assert_eq!(with(PeakOf::DownOnGroup, "beam 3", 99.9), ["note"]);
        assert_eq!(with(PeakOf::DownOnGroup, "beam 3", 100.1), ["stop"]);
        assert_eq!(
            with(PeakOf::SideAtPoint, &point, 1.9),
            ["note"],
            "not quite plumb"
        );
        assert_eq!(with(PeakOf::SideAtPoint, &point, 2.1), ["stop"]);
        assert_eq!(with(PeakOf::UpAtPoint, &point, 5.0), ["caution", "note"]);
    }

    #[test]
    fn what_a_secondary_line_catches_is_not_positioned() {
        let mut facts = rig(100.0);
        let other = facts.loads[0].without_grips[0].on_the_way.clone().unwrap().peaks[0]
            .name
            .clone();
        let line = facts.lines.iter_mut().find(|line| line.name == other).unwrap();
        line.role = Role::Secondary;
        if let Trial::Hangs(remains) = &mut facts.loads[0].without_grips[0].outcome {
            remains.caught_by = vec![other];
        }
        assert!(severities(&facts).is_empty());
        let mut low = rig(100.0);
        low.loads[0].without_grips[0]
            .on_the_way
            .as_mut()
            .unwrap()
            .lowest_m = -0.1;
        low.loads[0].height_m = 1.0;
        assert_eq!(severities(&low), ["stop"]);
    }
}
