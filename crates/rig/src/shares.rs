//! The worst share a line can come to when lengths are not exact.
//!
//! Conventions: SI; lines by document order.
//! Assumes: a length that is off lets some of a load's lines go idle; the rest then hold it by themselves.
//! Valid for: rigid loads on up to eight lines. For each subset of them the rig is solved without the others.
//! A subset counts if the rest holds stably and every idle line would have to be longer by no more than
//! 1 % of its length and its own stretch under all weight: so much a length, a termination or a turnbuckle may be
//! off, and more is another rig (the 1 % is our judgement). Lines that can not be idle one by one can not be idle
//! together, so a subset is tried only if every one with an idle line fewer counts.
//! Source: the practice of crediting no more legs than can carry by themselves, generalised; DGUV Information
//! 215-313, sec. 1.4, asks to size every line for the largest load that any one carries.
//! Checked by: tests/main, against the closed form of a plate on four legs.

use crate::found::Trial;
use crate::model::Model;
use statics::Solution;

/// Loads with more lines than this are not tried.
pub(crate) const MOST_LINES: usize = 8;
const LENGTH_OFF: f64 = 0.01;

/// What inexact lengths can do to one load.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sharing {
    /// Whether fewer lines than it has can hold the load.
    pub(crate) by_length: bool,
    /// Whether the subsets were tried.
    pub(crate) tried: bool,
}

/// The worst share of one line over all subsets that hold.
#[derive(Debug, Clone)]
pub(crate) struct WorstShare {
    /// Tension, newtons.
    pub(crate) tension_n: f64,
    /// Length along its path there, metres.
    pub(crate) length_m: f64,
    /// The part of the direction at its upper end that is vertical.
    pub(crate) upward: f64,
    /// The lines that are idle then, by index.
    pub(crate) idle: Vec<usize>,
}

/// Tries the subsets of each load's lines. Gives what holds for each load, and the worst share of each line.
///
/// `may_idle` says which lines count as carrying; a line that is meant to be slack is left as it is.
pub(crate) fn shares(
    model: &Model,
    found: &Solution,
    may_idle: impl Fn(usize) -> bool,
) -> (Vec<Sharing>, Vec<Option<WorstShare>>) {
    let mut worst: Vec<Option<WorstShare>> = vec![None; model.lines.len()];
    let mut trial = Trial::new(model, found);
    let weight_n: f64 = model.parameters.weight_n.iter().sum();
    let sharing = model
        .loads
        .values()
        .map(|load| {
            let lines: Vec<usize> = model.lines_on(load.frame).into_iter().filter(|line| may_idle(*line)).collect();
            if lines.len() < 2 {
                return Sharing { by_length: false, tried: true };
            }
            if lines.len() > MOST_LINES {
                // Six lines hold a rigid body; more than eight always share by length.
                return Sharing { by_length: true, tried: false };
            }
            // Indexed by the bits of a subset; with no line idle the load hangs, as was found.
            let mut counts = vec![false; 1 << lines.len()];
            counts[0] = true;
            for idle in subsets(lines.len()) {
                counts[idle] = smaller(idle).all(|fewer| counts[fewer])
                    && try_idle(&mut trial, model, found, &lines, idle, weight_n, &mut worst);
            }
            Sharing { by_length: counts[1..].contains(&true), tried: true }
        })
        .collect();
    (sharing, worst)
}

/// Gives every choice of idle lines as bits, each after those it contains: at least one idle, at least one left.
fn subsets(count: usize) -> std::ops::Range<usize> {
    1..(1 << count) - 1
}

/// Gives the choices with one idle line fewer.
fn smaller(idle: usize) -> impl Iterator<Item = usize> {
    (0..usize::BITS).map(|bit| 1 << bit).filter(move |bit| idle & bit != 0).map(move |bit| idle & !bit)
}

/// Solves with some lines idle and keeps the tensions that are worse than any before. Tells whether the rest holds.
fn try_idle(
    trial: &mut Trial<'_>,
    model: &Model,
    found: &Solution,
    lines: &[usize],
    idle: usize,
    weight_n: f64,
    worst: &mut [Option<WorstShare>],
) -> bool {
    let is_idle = |line: usize| lines.iter().position(|l| *l == line).is_some_and(|bit| idle & (1 << bit) != 0);
    let Ok(solution) = trial.without(found, |line| !is_idle(line)) else { return false };
    let idle_lines: Vec<usize> = lines.iter().copied().filter(|line| is_idle(*line)).collect();
    if !idle_lines.iter().all(|line| could_be_idle(model, solution, *line, weight_n)) {
        return false;
    }
    for (line, result) in solution.lines.iter().enumerate() {
        let is_worse = worst[line].as_ref().is_none_or(|known| result.tension_n > known.tension_n);
        if is_worse && !is_idle(line) {
            worst[line] = Some(WorstShare {
                tension_n: result.tension_n,
                length_m: result.length_m,
                upward: crate::balance::upward(model, solution, line),
                idle: idle_lines.clone(),
            });
        }
    }
    true
}

/// Tells whether a length that is off could explain that a line is idle in this pose.
fn could_be_idle(model: &Model, solution: &Solution, line: usize, weight_n: f64) -> bool {
    let Some((_, line)) = model.lines.get_index(line) else { return false };
    let length_m = line.length_m.value();
    let asked_m = path_length_m(model, solution, line.id) - length_m;
    asked_m <= length_m * (LENGTH_OFF + weight_n / line.stiffness_n.value())
}

fn path_length_m(model: &Model, solution: &Solution, line: statics::LineId) -> f64 {
    let at = |a: &statics::AttachmentId| solution.state.attachment_at_m(&model.topology, &model.parameters, *a);
    model.topology.path(line).windows(2).map(|pair| (at(&pair[1]) - at(&pair[0])).norm()).sum()
}
