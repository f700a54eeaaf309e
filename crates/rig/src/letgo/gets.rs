//! What lines, junctions, points, beams, pipes and their clamps get at their peaks in one run, and how much of what they may carry that is.
//!
//! Conventions: SI; a use is a peak over a working load or an allowance, infinite where nothing is allowed.
//! Assumes: working loads are those of the rig as it hangs before; a peak gets no dynamic factor, since it is what that stands for. A pipe
//! that is built in at both ends is stiff while it moves, and what its lines get as it bends is at most twice the sudden change (factor 2); what
//! bends pipes is in `pipes`.
//! Valid for: runs that were followed.
//! Source: [bib:dguv-313-23] (the weakest part of what catches rules); factor 2 of a suddenly applied load.
//! Checked by: tests/main/in_time.rs.

use crate::balance::upward;
use crate::letgo::answer::LetGoPipe;
use crate::letgo::pipes::pipes;
use crate::letgo::run::Followed;
use crate::letgo::scene::{MayPart, Scenery};
use crate::pipes::strands;
use motion::{OnBuilding, Peak};
use practice::{Allowance, Measured, share_at_peak, share_of_direction};
use quantity::{Kind, Style};
use working::Number;

/// Less than this is slack, newtons.
pub(crate) const SLACK_N: f64 = 1e-6;

/// What everything gets at its peak in one run.
#[derive(Debug, Clone)]
pub(crate) struct Gets {
    /// By line; none for those that are gone from the start.
    pub(crate) lines: Vec<Option<Peak>>,
    /// By point.
    pub(crate) points: Vec<OnBuilding>,
    /// By group: the sums of the peaks of its points, which need not come at one moment.
    pub(crate) groups: Vec<OnBuilding>,
    /// Of the parts that clamp lines to pipes.
    pub(crate) clamps: Vec<Clamp>,
    /// By pipe; none for those that nothing holds.
    pub(crate) pipes: Vec<Option<LetGoPipe>>,
}

/// What a part that clamps lines to a pipe gets.
#[derive(Debug, Clone)]
pub(crate) struct Clamp {
    /// Its pipe and its pick.
    pub(crate) at: (String, String),
    /// The most that its lines bring to it together; they need not come at one moment.
    pub(crate) peak: Peak,
}

impl Clamp {
    /// Gives its path in the rig document.
    pub(crate) fn path(&self) -> String {
        format!("pipes.{}.picks.{}", self.at.0, self.at.1)
    }

    /// Gives what it may carry.
    pub(crate) fn limit<'a>(&self, measured: &'a Measured) -> Option<&'a Number> {
        let pipe = measured.pipes.iter().find(|pipe| pipe.name == self.at.0)?;
        let pick = pipe.picks.iter().find(|pick| pick.name == self.at.1)?;
        pick.working_load_n.as_ref()
    }
}

/// Gives what the parts that clamp lines to pipes get.
fn clamps(scenery: &Scenery<'_>, followed: &Followed, lines: &[Option<Peak>]) -> Vec<Clamp> {
    let pipes = scenery.plain.facts.pipes.iter().zip(&followed.pipes);
    let each = pipes.flat_map(|(pipe, snatch)| {
        let picks = pipe
            .picks
            .iter()
            .enumerate()
            .filter(|(_, pick)| pick.part.is_some());
        picks.filter_map(move |(index, pick)| {
            let share = snatch
                .as_ref()
                .and_then(|snatch| snatch.picks.get(index).copied());
            let at = (pipe.name.clone(), pick.name.clone());
            let peak = together(scenery, &at, lines, share.unwrap_or(1.0))?;
            Some(Clamp { at, peak })
        })
    });
    each.collect()
}

/// Gives what lines bring to a pick together, if so much of the sum of their pulls comes to it; one that pulls alone brings all of its own.
fn together(
    scenery: &Scenery<'_>,
    at: &(String, String),
    lines: &[Option<Peak>],
    share: f64,
) -> Option<Peak> {
    let model = scenery.plain.model;
    let pick = model.picks.get(at)?;
    let mut sum_n = 0.0;
    let mut hardest: Option<Peak> = None;
    for line in model.topology.lines() {
        let Some(peak) = lines[line.index()] else {
            continue;
        };
        let path = model.topology.path(line);
        for place in (0..path.len()).filter(|place| path[*place] == *pick) {
            sum_n += strands(&model.topology, line, place) * peak.force_n;
            hardest = Some(
                hardest
                    .filter(|known| known.force_n >= peak.force_n)
                    .unwrap_or(peak),
            );
        }
    }
    hardest.map(|hardest| Peak {
        force_n: hardest.force_n.max(share * sum_n),
        ..hardest
    })
}

/// Gives what everything gets in a run; none where nothing was followed.
pub(crate) fn gets(scenery: &Scenery<'_>, followed: &Followed) -> Option<Gets> {
    let motion = followed.motion.as_ref()?;
    let (model, facts) = (scenery.plain.model, scenery.plain.facts);
    let there = |line: &usize| !followed.gone.contains(line);
    let peak = |line: usize| Peak {
        force_n: at_peak_n(scenery, followed, line, motion.lines[line].force_n),
        ..motion.lines[line]
    };
    let lines: Vec<Option<Peak>> = (0..model.lines.len())
        .map(|line| Some(line).filter(there).map(peak))
        .collect();
    // What lines get on top of what was followed comes to their points too.
    let more_n = |line: &usize| {
        let followed_n = with_weight_n(scenery, *line, motion.lines[*line].force_n);
        lines[*line].map_or(0.0, |peak| (peak.force_n - followed_n).max(0.0))
    };
    let points: Vec<OnBuilding> = model
        .points
        .values()
        .map(|frame| {
            let more_n: f64 = model.lines_on(*frame).iter().map(more_n).sum();
            raised(motion.on_building[frame.index()], more_n)
        })
        .collect();
    let groups = facts.groups.iter().map(|group| {
        let on = group.points.iter().filter_map(|name| {
            let point = model.points.get_index_of(name)?;
            points.get(point)
        });
        on.fold(OnBuilding::default(), |sum, on| OnBuilding {
            down: added(sum.down, on.down),
            up: added(sum.up, on.up),
            side: added(sum.side, on.side),
            force: added(sum.force, on.force),
        })
    });
    Some(Gets {
        clamps: clamps(scenery, followed, &lines),
        pipes: pipes(scenery, followed, &lines),
        groups: groups.collect(),
        lines,
        points,
    })
}

/// Gives what a line gets of a peak that was followed: with its own weight, what it has at rest in the end at the least, and on a pipe
/// that is followed as a stiff one what comes as it bends.
fn at_peak_n(scenery: &Scenery<'_>, followed: &Followed, line: usize, peak_n: f64) -> f64 {
    let rests = followed.after.as_ref().map(|after| after.lines[line].tension_n);
    let rests_n = with_weight_n(scenery, line, rests.unwrap_or(0.0));
    let peak_n = with_weight_n(scenery, line, peak_n).max(rests_n);
    if stiff_pipe_of(scenery, line).is_some() {
        let before_n = before_n(scenery, line);
        peak_n.max(before_n).max(2.0 * rests_n - before_n)
    } else {
        peak_n
    }
}

/// Gives the tension of a line before anything lets go, newtons.
pub(crate) fn before_n(scenery: &Scenery<'_>, line: usize) -> f64 {
    let plain = scenery.plain;
    with_weight_n(
        scenery,
        line,
        plain.rest.line(plain.model.lines[line].id).tension_n,
    )
}

/// Adds to a tension what the line's own weight adds at its upper end.
pub(crate) fn with_weight_n(scenery: &Scenery<'_>, line: usize, tension_n: f64) -> f64 {
    let plain = scenery.plain;
    let Some((_, modelled)) = plain.model.lines.get_index(line) else {
        return tension_n;
    };
    if tension_n <= SLACK_N {
        return tension_n.max(0.0);
    }
    tension_n + 0.5 * modelled.weight_n.value() * upward(plain.model, plain.rest, line)
}

/// Gives the pipe that a line holds and that is followed as a stiff one, by name; none if there is none.
pub(super) fn stiff_pipe_of<'a>(scenery: &Scenery<'a>, line: usize) -> Option<&'a str> {
    let model = scenery.plain.model;
    let holds = |pipe: &&str| {
        let load = model.loads.get(*pipe);
        load.is_some_and(|load| model.lines_of(load).contains(&line))
    };
    scenery.stiff_pipes.iter().copied().find(holds)
}

/// Raises what a point gets by more of the same; what it gets more may pull any way.
fn raised(on: OnBuilding, more_n: f64) -> OnBuilding {
    let share = if on.force.force_n > 0.0 {
        (on.side.force_n / on.force.force_n).min(1.0)
    } else {
        1.0
    };
    let by = |peak: Peak, more_n: f64| Peak {
        force_n: peak.force_n + more_n,
        ..peak
    };
    OnBuilding {
        force: by(on.force, more_n),
        down: by(on.down, more_n),
        up: on.up,
        side: by(on.side, share * more_n),
    }
}

fn added(a: Peak, b: Peak) -> Peak {
    Peak {
        force_n: a.force_n + b.force_n.max(0.0),
        at_s: a.at_s.max(b.at_s),
    }
}

/// Lists what is used of working loads, allowances and what pipes may carry, by path, where these are known.
pub(crate) fn used(scenery: &Scenery<'_>, gets: &Gets) -> Vec<(String, f64)> {
    let plain = scenery.plain;
    let (model, measured) = (plain.model, plain.measured);
    let mut used = Vec::new();
    let share = |path: &str, peak_n: f64, limit: &Number| (path.to_string(), share_at_peak(peak_n, limit));
    for judged in &measured.lines {
        let line = model.lines.get_index_of(&judged.name);
        if let Some(peak) = line.and_then(|line| gets.lines[line]) {
            let path = format!("lines.{}", judged.name);
            let limit = judged.load.working_load_n.as_ref();
            used.extend(limit.map(|limit| share(&path, peak.force_n, limit)));
        }
    }
    for judged in &measured.junctions {
        let Some(frame) = model.junctions.get(&judged.name) else {
            continue;
        };
        let pulls = model
            .lines_on(*frame)
            .into_iter()
            .filter_map(|line| gets.lines[line]);
        let most_n = pulls.map(|peak| peak.force_n).fold(0.0, f64::max);
        let path = format!("junctions.{}", judged.name);
        let limit = judged.working_load_n.as_ref();
        used.extend(limit.map(|limit| share(&path, most_n, limit)));
    }
    let points = measured.points.iter().zip(&plain.facts.points);
    for ((judged, facts), on) in points.zip(&gets.points) {
        let path = format!("points.{}", judged.name);
        let limit = judged.working_load_n.as_ref();
        used.extend(limit.map(|limit| share(&path, on.force.force_n, limit)));
        let before_n = facts.force_n.as_ref().map_or(0.0, Number::value);
        used.extend(of_allowance(on, facts.allows.as_ref(), before_n).map(|share| (path, share)));
    }
    for (facts, on) in plain.facts.groups.iter().zip(&gets.groups) {
        let share = of_allowance(on, facts.allows.as_ref(), 0.0);
        used.extend(share.map(|share| (format!("groups.{}", facts.name), share)));
    }
    for clamp in &gets.clamps {
        let limit = clamp.limit(measured);
        used.extend(limit.map(|limit| share(&clamp.path(), clamp.peak.force_n, limit)));
    }
    for (facts, pipe) in plain.facts.pipes.iter().zip(&gets.pipes) {
        let share = pipe.as_ref().and_then(|pipe| pipe.use_at_peak);
        used.extend(share.map(|share| (format!("pipes.{}", facts.name), share)));
    }
    used
}

/// Names what gets more than it breaks at, though it did not part in what was followed: a line's own weight, and what comes as a pipe
/// bends, come on top of that.
pub(crate) fn may_part(scenery: &Scenery<'_>, followed: &Followed, gets: &Gets) -> Option<String> {
    let parted = followed.motion.iter().flat_map(|motion| &motion.parted);
    let parted: Vec<usize> = parted.map(|(which, _)| *which).collect();
    let taken = |part: &MayPart| {
        let mut takes = parted.iter().flat_map(|which| &scenery.may_part[*which].takes);
        takes.any(|line| part.takes.contains(line))
    };
    let most_n = |part: &MayPart| {
        let lines = part.lines.iter().filter_map(|line| gets.lines[line.index()]);
        let of_lines = lines.map(|peak| peak.force_n).fold(0.0, f64::max);
        if let Some(clamp) = gets.clamps.iter().find(|clamp| clamp.path() == part.path) {
            return clamp.peak.force_n;
        }
        let point = part
            .point
            .and_then(|frame| scenery.plain.model.points.values().position(|own| *own == frame));
        point.map_or(of_lines, |point| gets.points[point].force.force_n)
    };
    let parts = scenery.may_part.iter().enumerate();
    let mut parts = parts.filter(|(which, part)| !parted.contains(which) && !taken(part));
    let (_, part) = parts.find(|(_, part)| most_n(part) > part.breaking_n)?;
    Some(format!(
        "`{}` may part: it may get {}, and breaks at {}",
        part.path,
        Kind::Force.print(most_n(part), Style::both()),
        Kind::Force.print(part.breaking_n, Style::both())
    ))
}

/// Gives how much of what the building allows down, or sideways, is used; the greater, none where neither is known. `before_n` is what it
/// gets before: beside it, what a slack line weighs is nothing.
pub(crate) fn of_allowance(on: &OnBuilding, allows: Option<&Allowance>, before_n: f64) -> Option<f64> {
    let allows = allows?;
    let down = allows.down_n.as_ref();
    let whole_n = on.force.force_n.max(before_n);
    let down = down.map(|limit| share_of_direction(on.down.force_n, whole_n, limit));
    let side = allows.side_n.as_ref();
    let side = side.map(|limit| share_of_direction(on.side.force_n, whole_n, limit));
    down.into_iter().chain(side).reduce(f64::max)
}
