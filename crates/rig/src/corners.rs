//! What lengths that are off by their tolerance do to lines that span, that hold a pipe, or that lean.
//!
//! A flat line pulls much more for a little less length. A load on legs that lean a little turns, and its shares with it.
//! A pipe bends, so no line of many takes all that statics would let it: what it takes hangs on how far lengths are off
//! and how stiff pipe and lines are. The rig is solved with every combination of lengths too short and too long by their
//! tolerance, up to seven lines; of more, with combinations that a search from line to line leads to.
//!
//! Conventions: SI; lines by document order.
//! Assumes: the worst is where every length is off by all of its tolerance.
//! Valid for: equilibria; a corner that does not hang is left out.
//! Source: worst-case tolerance analysis; the tolerance of a line that says none as of wire rope slings, half a per cent of
//! the length and at least two diameters (from memory).
//! Checked by: tests/main/pipes.rs, tests/main/sharing.rs.

use crate::defaults::Defaults;
use crate::document::Rig;
use crate::found::{Change, Trial, changed};
use crate::model::Model;
use practice::Role;
use quantity::{Kind, Style};
use statics::{FrameId, LineId, Sensitivities, Solution, UnitQuaternion, Vector3, Workspace, sensitivities};

/// A rig with lengths off by their tolerances.
#[derive(Debug)]
pub(crate) struct Corner {
    /// The lines of which the lengths are off; none where it is the building that gives.
    pub(crate) lines: Vec<LineId>,
    pub(crate) solution: Solution,
    /// Which lengths are off, in words.
    pub(crate) when: String,
    /// Of which variant of the rig it is, by their order in `shares`; the rig as stated is the first.
    pub(crate) variant: usize,
}

/// Tolerance of a line that says none: a share of its length, and so many diameters at the least.
const SHARE: f64 = 0.005;
const DIAMETERS: f64 = 2.0;
/// The same, as it is told.
pub(crate) const TOLERANCE: &str =
    "length tolerance 0.5 % and at least two rope diameters, as of wire rope slings (from memory)";

/// Gives how far the length of a line may be off, metres.
pub(crate) fn tolerance_m(rig: &Rig, model: &Model, line: usize) -> f64 {
    let stated = rig.lines.get_index(line).and_then(|(_, line)| line.tolerance_m);
    stated.unwrap_or_else(|| {
        let modelled = model.lines.get_index(line).map(|(_, line)| line);
        let diameter_m = modelled
            .and_then(|line| line.makeup.as_ref())
            .and_then(|makeup| Some(makeup.rope()?.1.diameter_m.value()));
        let length_m = modelled.map_or(0.0, |line| line.length_m.value());
        f64::max(SHARE * length_m, DIAMETERS * diameter_m.unwrap_or(0.0))
    })
}

/// Tells whether the rig document says how far off the length of a line may be.
pub(crate) fn says_tolerance(rig: &Rig, line: usize) -> bool {
    let stated = rig.lines.get_index(line);
    stated.is_some_and(|(_, line)| line.tolerance_m.is_some())
}

/// Gives by how much the length of a line is off as a rule, whatever its tolerance, metres.
pub(crate) fn usual_m(model: &Model, line: usize) -> f64 {
    let modelled = model.lines.get_index(line);
    modelled.map_or(0.0, |(_, line)| SHARE * line.length_m.value())
}

/// Notes which tolerances were taken: of lines that are sensitive by what they are, and of those found to be.
pub(crate) fn assumed_tolerances(
    rig: &Rig,
    model: &Model,
    found_to_be: impl Fn(usize) -> bool,
    defaults: &mut Defaults,
) {
    let sensitive = sensitive_lines(rig, model);
    for line in (0..rig.lines.len()).filter(|line| sensitive.contains(line) || found_to_be(*line)) {
        if let Some((name, document)) = rig.lines.get_index(line)
            && document.tolerance_m.is_none()
        {
            defaults.assume(TOLERANCE, format!("lines.{name}"));
        }
    }
}

/// Lists the lines whose tension hangs on how far lengths are off: those that span, and those that touch a pipe.
pub(crate) fn sensitive_lines(rig: &Rig, model: &Model) -> Vec<usize> {
    let spans = (0..rig.lines.len()).filter(|line| spans(rig, *line));
    let mut found: Vec<usize> = spans.chain(lines_on_pipes(model)).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// A tension that tolerances of length change by no more than this share of it is as found: as much as a pose gives in
/// `statics::Sharing`, and our judgement as that is.
pub(crate) const MATTERS: f64 = 0.05;
/// Of more lines it is not asked.
const MOST_ASKED: usize = 400;

/// Says what small changes of length do; none where that can not be told, or of too many lines.
pub(crate) fn sensitivities_of(model: &Model, change: &Change, found: &Solution) -> Option<Sensitivities> {
    let mut work = Workspace::new(&model.topology);
    (model.lines.len() <= MOST_ASKED)
        .then(|| sensitivities(&model.topology, &changed(model, change), found, &[], &mut work).ok())
        .flatten()
}

/// Tells of each line whether lengths that are off by so much change its tension by more than [`MATTERS`], all together
/// and as they begin to; or whether they make it taut if it is slack.
pub(crate) fn moved_by_lengths(
    rig: &Rig,
    model: &Model,
    change: &Change,
    found: &Solution,
    told: &Sensitivities,
    off_m: &[f64],
) -> Vec<bool> {
    let count = model.lines.len();
    let parameters = changed(model, change);
    let moved = |line: usize| {
        let (result, given) = (&found.lines[line], &parameters.lines[line]);
        if !given.active
            || rig
                .lines
                .get_index(line)
                .is_some_and(|(_, line)| line.role == Some(Role::Secondary))
        {
            return false;
        }
        if result.limp {
            return given.unloaded_length_m - result.length_m < off_m[line];
        }
        let by_lengths_n = told.by_length.iter().zip(off_m);
        let by_lengths_n: f64 = by_lengths_n
            .map(|(change, by_m)| (change.tension_n[line] * by_m).abs())
            .sum();
        by_lengths_n > MATTERS * result.tension_n
    };
    (0..count).map(moved).collect()
}

/// Tells whether a line is said to span.
pub(crate) fn spans(rig: &Rig, line: usize) -> bool {
    rig.lines
        .get_index(line)
        .is_some_and(|(_, line)| line.role == Some(Role::Spans))
}

/// Lists the lines that touch a pipe.
fn lines_on_pipes(model: &Model) -> Vec<usize> {
    let of_pipes: Vec<FrameId> = model
        .loads
        .values()
        .filter(|load| load.pipe.is_some())
        .flat_map(|load| load.frames().to_vec())
        .collect();
    let touches = |line: &LineId| {
        let path = model.topology.path(*line).iter();
        path.map(|a| model.topology.frame_of(*a))
            .any(|frame| of_pipes.contains(&frame))
    };
    model
        .topology
        .lines()
        .filter(touches)
        .map(LineId::index)
        .collect()
}

/// Lines of which every combination of lengths is tried, in the rig itself and in a trial.
const MOST_COMBINED: usize = 7;
const MOST_COMBINED_IN_TRIALS: usize = 5;

/// Tells whether every combination of the lengths of so many lines is tried.
pub(crate) fn tries_all(count: usize, change: &Change) -> bool {
    let in_trial = !change.lines.is_empty();
    count
        <= if in_trial {
            MOST_COMBINED_IN_TRIALS
        } else {
            MOST_COMBINED
        }
}

/// Solves the corners of some lines that share a load: all of them, or of many lines those that a search from line to
/// line leads to.
pub(crate) fn corners(
    rig: &Rig,
    model: &Model,
    found: &Solution,
    change: &Change,
    lines: &[LineId],
    told: Option<&Sensitivities>,
) -> Vec<Corner> {
    let tolerances_m: Vec<f64> = lines
        .iter()
        .map(|line| tolerance_m(rig, model, line.index()))
        .collect();
    let mut trial = Trial::new(model, found);
    let mut with = |signs: &[bool]| {
        let off = lines.iter().zip(signs).zip(&tolerances_m);
        let longer_m: Vec<(usize, f64)> = off
            .map(|((line, longer), by_m)| (line.index(), if *longer { *by_m } else { -by_m }))
            .collect();
        let when = words(model, &longer_m);
        let change = Change {
            longer_m,
            ..change.clone()
        };
        let solution = trial.with(found, &change).ok().cloned()?;
        if is_elsewhere(found, &solution) {
            return None;
        }
        Some(Corner {
            lines: lines.to_vec(),
            solution,
            when,
            variant: 0,
        })
    };
    if tries_all(lines.len(), change) {
        let all = 0..1_usize << lines.len();
        return all
            .filter_map(|corner| {
                with(
                    &(0..lines.len())
                        .map(|i| corner >> i & 1 == 1)
                        .collect::<Vec<bool>>(),
                )
            })
            .collect();
    }
    let mut visited = Vec::new();
    for i in 0..lines.len() {
        visited.extend(climb(lines, (i, by_turns(lines, i)), &mut with));
        let slopes = told.map(|told| as_it_begins(told, lines, i));
        visited.extend(
            slopes
                .into_iter()
                .flat_map(|signs| climb(lines, (i, signs), &mut with)),
        );
    }
    visited
}

/// A corner in which something turns by more than this hangs another way, and says nothing of how lines share; the rules on
/// what is top-heavy or barely steady do.
const ELSEWHERE_RAD: f64 = std::f64::consts::FRAC_PI_6;

fn is_elsewhere(found: &Solution, corner: &Solution) -> bool {
    let turns = found.state.rotation.iter().zip(&corner.state.rotation);
    let tips = |(was, is): (&UnitQuaternion<f64>, &UnitQuaternion<f64>)| {
        let [was, is] = [was, is].map(|rotation| rotation * Vector3::z());
        was.angle(&is) > ELSEWHERE_RAD
    };
    corner.left_unstable && turns.into_iter().any(tips)
}

/// Gives lengths that are unkind to one line of a row: too short, and its neighbours too long by turns.
fn by_turns(lines: &[LineId], own: usize) -> Vec<bool> {
    (0..lines.len()).map(|i| own.abs_diff(i) % 2 == 1).collect()
}

/// Gives lengths that are unkind to one line as they begin to be off.
fn as_it_begins(told: &Sensitivities, lines: &[LineId], own: usize) -> Vec<bool> {
    let own = lines[own].index();
    let grows = |line: &LineId| told.by_length[line.index()].tension_n[own] > 0.0;
    lines.iter().map(grows).collect()
}

/// Climbs to a corner that is unkind to one line, one length changed at a time as long as that brings more. Gives all corners
/// on the way.
fn climb(
    lines: &[LineId],
    (own, mut signs): (usize, Vec<bool>),
    with: &mut impl FnMut(&[bool]) -> Option<Corner>,
) -> Vec<Corner> {
    let Some(mut best) = with(&signs) else {
        return Vec::new();
    };
    let mut visited = Vec::new();
    // Lines further off along the pipe hardly matter.
    for i in (0..lines.len()).filter(|i| own.abs_diff(*i) <= 3) {
        signs[i] = !signs[i];
        match with(&signs) {
            Some(other)
                if other.solution.line(lines[own]).tension_n > best.solution.line(lines[own]).tension_n =>
            {
                visited.push(std::mem::replace(&mut best, other));
            }
            other => {
                visited.extend(other);
                signs[i] = !signs[i];
            }
        }
    }
    visited.push(best);
    visited
}

/// Says which lengths are off.
fn words(model: &Model, off: &[(usize, f64)]) -> String {
    let told = off.iter().filter_map(|(line, by_m)| {
        let (name, _) = model.lines.get_index(*line)?;
        let size = Kind::Stretch.print(by_m.abs(), Style::both());
        let way = if *by_m > 0.0 { "too long" } else { "too short" };
        Some(format!("{name} {size} {way}"))
    });
    told.collect::<Vec<_>>().join(", ")
}
