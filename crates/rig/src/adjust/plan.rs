//! Which adjustments bring a rig where it is wanted.
//!
//! Conventions: units taken up by line, let out below zero; SI.
//! Assumes: figures linear in the units near a state; the rig is solved again at what is found, and the search repeated from
//! there until it finds the state that it starts from.
//! Valid for: rigs that hang on the way. What is reached is that of the rig solved with the adjustments made.
//! Source: `integers` for the search; the shares that are even as in docs/theory/trim.md.
//! Checked by: tests/main/adjust.rs (a rig set wrong by whole turns is set right by the same turns).

use super::adjuster::Adjuster;
use super::bench::{Actual, Bench};
use super::effects::SLOPE_M;
use super::integers::Wanted;
use crate::to_trim::Programme;
use nalgebra::{DMatrix, DVector};
use practice::Role;
use statics::{LineId, Solution};

/// What is to be reached.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Aim {
    /// How far each pick may be off its height at trim, metres.
    pub(crate) level_m: f64,
    /// How far each tension may be off what is even, as a share of their mean; none where that does not matter.
    pub(crate) even: Option<f64>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plan {
    /// Units by line.
    pub(crate) units: Vec<i32>,
    pub(crate) reached: bool,
    pub(crate) cut_short: bool,
    pub(crate) off_trim_m: f64,
    pub(crate) uneven: Option<f64>,
    /// The lines that it leaves slack although they are to carry.
    pub(crate) slack: Vec<usize>,
}

/// Rounds at the most; two or three are usual.
const ROUNDS: usize = 10;
/// Units either way where it is not known how much is left.
const MOST_UNITS: i32 = 60;

/// Gives how much longer lines are with units taken up, metres.
pub(crate) fn longer_m(adjusters: &[Adjuster], units: &[i32]) -> Vec<f64> {
    let each = adjusters.iter().zip(units);
    each.map(|(adjuster, units)| -f64::from(*units) * adjuster.unit_m)
        .collect()
}

/// Finds the fewest adjustments that reach the aim; none where the rig does not hang on the way.
///
/// Where whole units can not even the tensions as far as is wanted, they are evened as far as a level rig allows.
pub(crate) fn plan(bench: &mut Bench<'_>, actual: &Actual, adjusters: &[Adjuster], aim: Aim) -> Option<Plan> {
    let first = plan_for(bench, actual, adjusters, aim)?;
    let Some(even) = aim.even.filter(|_| !first.reached) else {
        return Some(first);
    };
    let mut looser = even * LOOSER;
    while looser < LOOSEST {
        let aim = Aim {
            even: Some(looser),
            ..aim
        };
        if let Some(found) = plan_for(bench, actual, adjusters, aim).filter(|found| found.reached) {
            return Some(Plan {
                reached: false,
                ..found
            });
        }
        looser *= LOOSER;
    }
    let level = Aim { even: None, ..aim };
    plan_for(bench, actual, adjusters, level).map(|found| Plan {
        reached: false,
        ..found
    })
}

/// By how much the wish for even tensions is let go at a time, and how far.
const LOOSER: f64 = 1.25;
const LOOSEST: f64 = 2.0;

fn plan_for(bench: &mut Bench<'_>, actual: &Actual, adjusters: &[Adjuster], aim: Aim) -> Option<Plan> {
    let movable: Vec<usize> = (0..adjusters.len())
        .filter(|i| adjusters[*i].is_there())
        .collect();
    let mut units = vec![0; adjusters.len()];
    let mut tight = 1.0;
    let mut seen: Vec<Plan> = Vec::new();
    for round in 0..ROUNDS {
        let rest = bench
            .rest(&actual.with_longer(&longer_m(adjusters, &units)), None)
            .ok()?;
        let mut from = units.clone();
        if round == 0 {
            just_taut(bench, actual, &rest, adjusters, &mut from);
        }
        let moved = from != units;
        let here = Linear::new(bench, actual, adjusters, &movable, &from, aim)?;
        if !moved {
            seen.push(here.reaches(&units));
        }
        let found = here.wanted(adjusters, &movable, &from, tight).fewest();
        let mut next = vec![0; adjusters.len()];
        movable
            .iter()
            .zip(&found.steps)
            .for_each(|(line, k)| next[*line] = *k);
        if let Some(last) = seen.last_mut() {
            last.cut_short = found.cut_short;
        }
        let known = seen.iter().any(|plan| plan.units == next);
        let is_last = seen.last().is_some_and(|last| last.units == next);
        if is_last && (seen.last().is_some_and(|last| last.reached) || !found.reached) {
            break;
        }
        if known {
            // The straight lines promise what the rig does not keep: ask for a little more.
            tight *= 0.9;
        }
        units = next;
    }
    let count = |plan: &Plan| plan.units.iter().filter(|k| **k != 0).count();
    let sum = |plan: &Plan| plan.units.iter().map(|k| k.unsigned_abs()).sum::<u32>();
    let reached = seen.iter().filter(|plan| plan.reached);
    let best = reached.min_by_key(|plan| (count(plan), sum(plan)));
    let off = |plan: &Plan| {
        let uneven = plan.uneven.zip(aim.even).map_or(0.0, |(is, may)| is / may);
        f64::max(plan.off_trim_m / aim.level_m, uneven) + if plan.slack.is_empty() { 0.0 } else { 1e3 }
    };
    let nearest = || seen.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    best.or_else(nearest).cloned()
}

/// A slack line tells nothing of what its length does: it is taken up until it is just taut.
fn just_taut(bench: &Bench<'_>, actual: &Actual, rest: &Solution, adjusters: &[Adjuster], units: &mut [i32]) {
    for (line, adjuster) in adjusters.iter().enumerate() {
        let result = rest.line(LineId(line as u32));
        if adjuster.is_there() && result.limp && carries(bench, line) {
            let length_m = bench.model.parameters.lines[line].unloaded_length_m + actual.longer_m[line];
            let [least, most] = adjuster.range(MOST_UNITS);
            units[line] = (((length_m - result.length_m) / adjuster.unit_m).ceil() as i32).clamp(least, most);
        }
    }
}

/// The rig in a state, with how it changes from there.
struct Linear {
    /// Heights of picks over trim, metres, and how they change with each movable line made shorter, metres per metre.
    off_m: DVector<f64>,
    lifts: DMatrix<f64>,
    /// Tensions of movable lines less what would be even, over their mean, and how they change, per metre.
    uneven: DVector<f64>,
    pulls: DMatrix<f64>,
    /// Lines that are to carry; their tensions less the least that keeps them taut, over their mean, and how they change, per
    /// metre.
    carries: Vec<usize>,
    spare: DVector<f64>,
    loads: DMatrix<f64>,
    aim: Aim,
}

/// The least tension of a line that is to carry, as a share of the mean; as for lengths to trim.
const LEAST: f64 = 0.01;

impl Linear {
    fn new(
        bench: &mut Bench<'_>,
        actual: &Actual,
        adjusters: &[Adjuster],
        movable: &[usize],
        units: &[i32],
        aim: Aim,
    ) -> Option<Self> {
        let here = actual.with_longer(&longer_m(adjusters, units));
        let rest = bench.rest(&here, None).ok()?;
        let picks = bench.picks();
        let heights = |bench: &Bench<'_>, rest: &Solution| {
            let each = picks.iter().map(|(load, pick)| {
                bench.pick_height_m(rest, *load, *pick) - bench.trim_height_m(*load, *pick)
            });
            DVector::from_iterator(picks.len(), each)
        };
        let carries: Vec<usize> = (0..adjusters.len())
            .filter(|line| carries(bench, *line))
            .collect();
        let pull = |bench: &Bench<'_>, rest: &Solution| {
            // Without its own weight, which also a slack line carries.
            let each = carries.iter().map(|line| {
                let result = rest.line(LineId(*line as u32));
                if result.limp {
                    0.0
                } else {
                    bench.tensions_n(rest, *line)[1]
                }
            });
            DVector::from_iterator(carries.len(), each)
        };
        let tensions = |bench: &Bench<'_>, rest: &Solution| {
            let each = movable.iter().map(|line| bench.tensions_n(rest, *line)[0]);
            DVector::from_iterator(movable.len(), each)
        };
        let (off_m, tensions_n) = (heights(bench, &rest), tensions(bench, &rest));
        let mut lifts = DMatrix::zeros(off_m.len(), movable.len());
        let mut pulls = DMatrix::zeros(movable.len(), movable.len());
        let pull_n = pull(bench, &rest);
        let mut loads = DMatrix::zeros(carries.len(), movable.len());
        for (column, line) in movable.iter().enumerate() {
            let mut longer_m = vec![0.0; adjusters.len()];
            longer_m[*line] = -SLOPE_M;
            let there = bench.rest_from(&here.with_longer(&longer_m), None, &rest).ok()?;
            lifts.set_column(column, &((heights(bench, &there) - &off_m) / SLOPE_M));
            pulls.set_column(column, &((tensions(bench, &there) - &tensions_n) / SLOPE_M));
            loads.set_column(column, &((pull(bench, &there) - &pull_n) / SLOPE_M));
        }
        let even_n = even_n(&off_m, &lifts, &tensions_n, &pulls);
        let mean_n = (even_n.sum() / even_n.len().max(1) as f64).max(f64::MIN_POSITIVE);
        let mean_pull_n = (pull_n.sum() / carries.len().max(1) as f64).max(f64::MIN_POSITIVE);
        Some(Linear {
            spare: pull_n.map(|pull_n| pull_n / mean_pull_n - LEAST),
            loads: loads / mean_pull_n,
            carries,
            uneven: (tensions_n - even_n) / mean_n,
            pulls: pulls / mean_n,
            off_m,
            lifts,
            aim,
        })
    }

    fn reaches(&self, units: &[i32]) -> Plan {
        let off_trim_m = self.off_m.amax();
        let uneven = self.aim.even.map(|_| self.uneven.amax());
        let is_slack = self.carries.iter().zip(self.spare.iter());
        let slack: Vec<usize> = is_slack
            .filter(|(_, spare)| **spare < 0.0)
            .map(|(line, _)| *line)
            .collect();
        Plan {
            units: units.to_vec(),
            reached: slack.is_empty()
                && off_trim_m <= self.aim.level_m
                && uneven.zip(self.aim.even).is_none_or(|(is, may)| is <= may),
            cut_short: false,
            off_trim_m,
            uneven,
            slack,
        }
    }

    /// Says what is wanted of the units of movable lines, the bounds drawn in by `tight`.
    fn wanted(&self, adjusters: &[Adjuster], movable: &[usize], units: &[i32], tight: f64) -> Wanted {
        let (picks, lines) = (self.off_m.len(), movable.len());
        let rows = picks + self.aim.even.map_or(0, |_| lines);
        let mut start = DVector::zeros(rows);
        let mut slopes = DMatrix::zeros(rows, lines);
        let level_m = tight * self.aim.level_m;
        start.rows_mut(0, picks).copy_from(&(&self.off_m / level_m));
        slopes.rows_mut(0, picks).copy_from(&(&self.lifts / level_m));
        if let Some(even) = self.aim.even {
            start
                .rows_mut(picks, lines)
                .copy_from(&(&self.uneven / (tight * even)));
            slopes
                .rows_mut(picks, lines)
                .copy_from(&(&self.pulls / (tight * even)));
        }
        let mut loads = self.loads.clone();
        for (column, line) in movable.iter().enumerate() {
            let unit_m = adjusters[*line].unit_m;
            slopes.column_mut(column).scale_mut(unit_m);
            loads.column_mut(column).scale_mut(unit_m);
        }
        let now = DVector::from_iterator(lines, movable.iter().map(|line| f64::from(units[*line])));
        Wanted {
            start: start - &slopes * &now,
            slopes,
            ranges: movable
                .iter()
                .map(|line| adjusters[*line].range(MOST_UNITS))
                .collect(),
            floors: (&self.spare - &loads * &now, loads),
        }
    }
}

/// Tells whether a line is to carry: one that is not secondary.
pub(crate) fn carries(bench: &Bench<'_>, line: usize) -> bool {
    bench
        .rig
        .lines
        .get_index(line)
        .is_some_and(|(_, line)| line.role != Some(Role::Secondary))
}

/// Finds the tensions that are as even as they can be with the picks at trim.
fn even_n(
    off_m: &DVector<f64>,
    lifts: &DMatrix<f64>,
    tensions_n: &DVector<f64>,
    pulls: &DMatrix<f64>,
) -> DVector<f64> {
    let lines = tensions_n.len();
    let least_n = LEAST * tensions_n.sum().max(0.0) / lines as f64;
    let programme = Programme {
        wishes: vec![(off_m.clone(), lifts.clone())],
        near: (DVector::zeros(0), DMatrix::zeros(0, lines)),
        tensions: tensions_n.clone(),
        pulls: pulls.clone(),
        least_n: DVector::from_element(lines, least_n),
    };
    let change_m = programme.solve();
    tensions_n + pulls * change_m
}
