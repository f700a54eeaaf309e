//! What peaks are held against, and what else a motion may end in.
//!
//! Conventions: SI; heights above the floor at z = 0.
//! Assumes: a peak is not raised by a dynamic factor, which stands for what it is.
//! Valid for: motions that were found.
//! Source: working loads and allowances as the limits of peaks are our judgement.
//! Checked by: the tests of the rules that use it.

use crate::facts::{LoadFacts, OnTheWay, PeakFacts, PeakOf};
use crate::finding::Finding;
use crate::judgement::{Measured, PickJudgement};
use crate::remains::STRETCH_M;
use crate::rule::{Judged, Rule};
use crate::rules::allowance::is_allowed;
use crate::rules::working_load::passed;
use crate::says;
use crate::utilisation::NOISE_N;
use working::Number;

pub(crate) fn path(peak: &PeakFacts) -> String {
    if let Some((pipe, pick)) = at_pick(peak) {
        return format!("pipes.{pipe}.picks.{pick}");
    }
    let section = match peak.of {
        PeakOf::Line => "lines",
        PeakOf::Junction => "junctions",
        PeakOf::PartAtPoint | PeakOf::DownAtPoint | PeakOf::SideAtPoint | PeakOf::UpAtPoint => "points",
        PeakOf::DownOnGroup | PeakOf::SideOnGroup => "groups",
        PeakOf::PartAtPick => "pipes",
    };
    format!("{section}.{}", peak.name)
}

/// Gives the pipe and the pick that a peak is of.
fn at_pick(peak: &PeakFacts) -> Option<(&str, &str)> {
    peak.name
        .split_once('.')
        .filter(|_| peak.of == PeakOf::PartAtPick)
}

/// Gives what was worked out for the part at the pick that a peak is of.
pub(crate) fn pick_of<'a>(peak: &PeakFacts, measured: &'a Measured) -> Option<&'a PickJudgement> {
    let (pipe, pick) = at_pick(peak)?;
    let pipe = measured.pipes.iter().find(|judged| judged.name == pipe)?;
    pipe.picks.iter().find(|judged| judged.name == pick)
}

pub(crate) fn in_words(peak: &PeakFacts) -> String {
    match peak.of {
        PeakOf::Line => format!("the line `{}`", peak.name),
        PeakOf::Junction => format!("the junction `{}`", peak.name),
        PeakOf::PartAtPoint | PeakOf::PartAtPick => format!("the part at `{}`", peak.name),
        PeakOf::DownAtPoint | PeakOf::SideAtPoint | PeakOf::UpAtPoint => {
            format!("the building at `{}`", peak.name)
        }
        PeakOf::DownOnGroup | PeakOf::SideOnGroup => format!("the beam `{}`", peak.name),
    }
}

/// Gives what a peak is held against, and what that is.
pub(crate) fn limit<'a>(peak: &PeakFacts, judged: &Judged<'a>) -> Option<(&'a Number, &'static str)> {
    let (facts, measured) = (judged.facts, judged.measured);
    let at_point = || facts.points.iter().find(|point| point.name == peak.name);
    let at_point = || at_point()?.allows.as_ref();
    let on_group = || facts.groups.iter().find(|group| group.name == peak.name);
    let on_group = || on_group()?.allows.as_ref();
    let (working_load, down, side) = (
        "its working load",
        "what the building allows down",
        "what the building allows sideways",
    );
    match peak.of {
        PeakOf::Line => {
            let line = measured.lines.iter().find(|line| line.name == peak.name)?;
            Some((line.load.working_load_n.as_ref()?, working_load))
        }
        PeakOf::Junction => {
            let mut junctions = measured.junctions.iter();
            let junction = junctions.find(|junction| junction.name == peak.name)?;
            Some((junction.working_load_n.as_ref()?, working_load))
        }
        PeakOf::PartAtPoint => {
            let point = measured.points.iter().find(|point| point.name == peak.name)?;
            Some((point.working_load_n.as_ref()?, "the working load of its part"))
        }
        PeakOf::PartAtPick => {
            let pick = pick_of(peak, measured)?;
            Some((pick.working_load_n.as_ref()?, working_load))
        }
        PeakOf::DownAtPoint => Some((at_point()?.down_n.as_ref()?, down)),
        PeakOf::SideAtPoint => Some((at_point()?.side_n.as_ref()?, side)),
        PeakOf::DownOnGroup => Some((on_group()?.down_n.as_ref()?, down)),
        PeakOf::SideOnGroup => Some((on_group()?.side_n.as_ref()?, side)),
        PeakOf::UpAtPoint => None,
    }
}

/// Gives how much of a limit a peak uses: infinite where nothing is allowed and there is something.
pub fn share_at_peak(peak_n: f64, limit: &Number) -> f64 {
    let limit_n = limit.value();
    match () {
        () if limit_n > 0.0 => peak_n / limit_n,
        () if peak_n <= NOISE_N => 0.0,
        () => f64::INFINITY,
    }
}

/// Gives how much of what is allowed in one direction a peak uses: as `share_at_peak`, but nothing of nothing where it is so little of the
/// whole force that nobody speaks of it.
pub fn share_of_direction(of_n: f64, whole_n: f64, limit: &Number) -> f64 {
    let limit_n = limit.value();
    if limit_n <= NOISE_N && is_allowed(of_n, whole_n, limit_n) {
        return 0.0;
    }
    share_at_peak(of_n, limit)
}

/// Says that a peak is more than it may be, after what let go, and gives the peak; none if it is within.
pub(crate) fn too_much<'a>(
    peak: &'a PeakFacts,
    let_go: &str,
    way: &OnTheWay,
    judged: &Judged<'_>,
) -> Option<(String, &'a Number)> {
    let (limit, what) = limit(peak, judged)?;
    let (peak_n, limit) = passed(Some(&peak.peak_n), Some(limit))?;
    if is_noise(peak, limit.value(), way, judged) {
        return None;
    }
    let [got, most] = says::past(peak_n, limit);
    let gets = match peak.at_s {
        Some(at_s) => format!("gets a peak of {got} {at_s:.2} s on"),
        None => format!("may get up to {got}"),
    };
    let says = format!(
        "{let_go}{} {gets}, more than {what} of {most} ({})",
        in_words(peak),
        way.at_worst
    );
    Some((says, &peak.peak_n))
}

/// A peak that comes within this of its limit may be past it, since no second digit of it is sure: see docs/theory/motion.md.
const NEAR: f64 = 0.9;
/// The same of a peak in chaotic motion. Copies of one rig, mirrored or a hair otherwise, had such peaks up to 1.3 times one another where
/// something held all along, and 1.6 times where loads hang on one another: our judgement.
const NEAR_IN_CHAOS: f64 = 0.75;

/// Says which peaks are within their limits, but nearer than such a motion is known: cautions, none for what `known` says already.
pub(crate) fn nearly(
    rule: &Rule,
    way: &OnTheWay,
    let_go: &str,
    judged: &Judged<'_>,
    known: &[Finding],
) -> Vec<Finding> {
    let (near, how_near) = if way.is_chaotic {
        (
            NEAR_IN_CHAOS,
            "a quarter, since such motion is chaotic and another may pull up to twice as hard",
        )
    } else {
        (NEAR, "a tenth")
    };
    let findings = way.peaks.iter().filter_map(|peak| {
        let (limit, what) = limit(peak, judged)?;
        let share = share_at_peak(peak.peak_n.value(), limit);
        let subject = path(peak);
        let is_new = known.iter().all(|finding| finding.subject != subject);
        (share > near && share <= 1.0 && is_new && !is_noise(peak, limit.value(), way, judged)).then(|| {
            let says = format!(
                "{let_go}{} gets a peak of {}, {:.0} % of {what}, and no such peak is known to {how_near} ({})",
                in_words(peak),
                says::force(&peak.peak_n),
                100.0 * share,
                way.at_worst
            );
            let mend = "Keep peaks below nine tenths of what may be carried.";
            rule.caution(subject, says, mend).sized(share).about("nearly")
        })
    });
    findings.collect()
}

/// Tells whether what is past an allowance is the rounding of a search, or too little of the whole force to speak of.
fn is_noise(peak: &PeakFacts, limit_n: f64, way: &OnTheWay, judged: &Judged<'_>) -> bool {
    let is_allowance = matches!(
        peak.of,
        PeakOf::DownAtPoint
            | PeakOf::SideAtPoint
            | PeakOf::UpAtPoint
            | PeakOf::DownOnGroup
            | PeakOf::SideOnGroup
    );
    let there = way.peaks.iter().filter(|other| path(other) == path(peak));
    let whole_n = there.map(|other| other.peak_n.value()).fold(0.0, f64::max);
    // What it gets before counts as well: a line that goes slack leaves its weight.
    let mut points = judged.facts.points.iter();
    let before = points.find(|point| point.name == peak.name && path(peak).starts_with("points"));
    let before_n = before
        .and_then(|point| point.force_n.as_ref())
        .map_or(0.0, Number::value);
    let whole_n = whole_n.max(before_n);
    is_allowance && is_allowed(peak.peak_n.value(), whole_n, limit_n)
}

/// Says which places of the building are pulled upward on the way that are not at rest: cautions.
pub(crate) fn pulled_up(rule: &Rule, way: &OnTheWay, let_go: &str, judged: &Judged<'_>) -> Vec<Finding> {
    let at_rest = |name: &str| {
        let mut points = judged.facts.points.iter();
        let point = points.find(|point| point.name == name);
        point
            .and_then(|point| point.down_n.as_ref())
            .is_some_and(|down| down.value() < -NOISE_N)
    };
    let up = way
        .peaks
        .iter()
        .filter(|peak| peak.of == PeakOf::UpAtPoint && !at_rest(&peak.name));
    // What limits nothing is held against none at all.
    let up = up.filter(|peak| !is_noise(peak, 0.0, way, judged));
    let told = up.map(|peak| {
        let says = format!(
            "{let_go}{} is pulled upward by up to {} ({})",
            in_words(peak),
            says::force(&peak.peak_n),
            way.at_worst
        );
        let mend = "Ask the building's engineer about a pull upward.";
        rule.caution(path(peak), says, mend).about("upward")
    });
    told.collect()
}

/// Says that a load comes down to the floor on the way; none if it does not.
pub(crate) fn lands(load: &LoadFacts, way: &OnTheWay) -> Option<String> {
    (load.height_m >= 0.0 && way.lowest_m < 0.0).then(|| {
        let below = says::metres(-way.lowest_m);
        format!("comes down to the floor: its lowest known place would go {below} below z = 0")
    })
}

/// Says that a load goes further than it may on the way; none if it does not.
pub(crate) fn strays(load: &LoadFacts, way: &OnTheWay) -> Option<String> {
    let most_m = load.may_move_m?;
    let near = way.moves_m <= most_m + STRETCH_M;
    (!near).then(|| {
        let (moves, most) = (says::metres(way.moves_m), says::metres(most_m));
        format!("moves {moves} on the way, further than the {most} that it may")
    })
}
