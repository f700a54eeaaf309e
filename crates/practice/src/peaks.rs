//! What peaks are held against, and what else a motion may end in.
//!
//! Conventions: SI; heights above the floor at z = 0.
//! Assumes: a peak is not raised by a dynamic factor, which stands for what it is.
//! Valid for: motions that were found.
//! Source: working loads and allowances as the limits of peaks are our judgement.
//! Checked by: the tests of the rules that use it.

use crate::facts::{LoadFacts, OnTheWay, PeakFacts, PeakOf};
use crate::rule::Judged;
use crate::rules::working_load::passed;
use crate::says;
use working::Number;

pub(crate) fn path(peak: &PeakFacts) -> String {
    let section = match peak.of {
        PeakOf::Line => "lines",
        PeakOf::Junction => "junctions",
        PeakOf::PartAtPoint | PeakOf::DownAtPoint | PeakOf::SideAtPoint => "points",
    };
    format!("{section}.{}", peak.name)
}

pub(crate) fn in_words(peak: &PeakFacts) -> String {
    match peak.of {
        PeakOf::Line => format!("the line `{}`", peak.name),
        PeakOf::Junction => format!("the junction `{}`", peak.name),
        PeakOf::PartAtPoint => format!("the part at `{}`", peak.name),
        PeakOf::DownAtPoint | PeakOf::SideAtPoint => format!("the building at `{}`", peak.name),
    }
}

/// Gives what a peak is held against, and what that is.
pub(crate) fn limit<'a>(peak: &PeakFacts, judged: &Judged<'a>) -> Option<(&'a Number, &'static str)> {
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

/// Says that a peak is more than it may be, after what let go, and gives the peak; none if it is within.
pub(crate) fn too_much<'a>(
    peak: &'a PeakFacts,
    let_go: &str,
    way: &OnTheWay,
    judged: &Judged<'_>,
) -> Option<(String, &'a Number)> {
    let (limit, what) = limit(peak, judged)?;
    let (peak_n, limit) = passed(Some(&peak.peak_n), Some(limit))?;
    let [got, most] = says::past(peak_n, limit);
    let says = format!(
        "{let_go}{} gets a peak of {got} {:.2} s on, more than {what} of {most} ({})",
        in_words(peak),
        peak.at_s,
        way.at_worst
    );
    Some((says, &peak.peak_n))
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
    // What lines give when they take over is no movement that anybody speaks of.
    let near = way.moves_m <= most_m + 1e-3;
    (!near).then(|| {
        let (moves, most) = (says::metres(way.moves_m), says::metres(most_m));
        format!("moves {moves} on the way, further than the {most} that it may")
    })
}
