//! Which adjustments bring a rig where it is wanted.
//!
//! Conventions: units taken up by line, let out below zero; SI.
//! Assumes: figures linear in the units near a state. The states are where the rig would be as wanted were there no whole units,
//! and as it is with its slack lines taken up; the search is repeated at what it finds until the rig solved there keeps what
//! was promised. Where no search reaches the goal, single units and pairs are tried on the rig itself.
//! Valid for: rigs that hang on the way. What is reached is that of the rig solved with the adjustments made; that nothing was
//! found is no proof that there is nothing.
//! Source: `integers` for the search; the shares that are even as in docs/theory/trim.md.
//! Checked by: tests/main/adjust.rs (a rig set wrong by whole turns is set right by the same turns).

use super::adjuster::Adjuster;
use super::answer::Among;
use super::as_wanted::as_wanted;
use super::bench::{Actual, Bench};
use super::effects::SLOPE_M;
use super::estimate::Fit;
use super::integers::Wanted;
use super::steps::Limits;
use crate::to_trim::least_of_n;
use nalgebra::{DMatrix, DVector};
use practice::Role;
use statics::{LineId, Solution, unloaded_length_m};
use std::collections::HashSet;

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
    /// What it leaves over what it may carry, with twice the standard uncertainties of tensions.
    pub(crate) over: Option<Among>,
    /// Whether nothing is left over what it may carry if tensions are as fitted.
    pub(crate) within: bool,
    /// What is in the way where the goal is not reached.
    pub(crate) in_the_way: InTheWay,
}

impl Plan {
    fn reaches(&self, aim: Aim) -> bool {
        self.slack.is_empty()
            && self.within
            && self.off_trim_m <= aim.level_m
            && self.uneven.zip(aim.even).is_none_or(|(is, may)| is <= may)
    }
}

/// What is in the way of a goal that was not reached.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum InTheWay {
    /// Nothing that is known.
    Unknown,
    /// These lines would have to be taken up, or let out below zero, by more units than are left.
    Ends(Vec<(usize, i32)>),
    /// Evenness was asked for, and no even shares were found to hold tensions against.
    NoEven,
    /// Units are too coarse: the lines could reach it were there no whole units.
    Step,
    /// The lines that can be adjusted do not reach it by any length that was found.
    Lines,
}

/// Rounds at the most; two or three are usual.
const ROUNDS: usize = 8;
/// Units either way where it is not known how much is left.
const MOST_UNITS: i32 = 60;
/// Rigs that are solved at the most where single units and pairs are tried.
const MOST_TRIED: usize = 1200;
/// By how much bounds are drawn in where the rig does not keep what straight lines promise.
const TIGHTER: f64 = 0.9;
/// By how much the wish for even tensions is let go at a time, and how far.
const LOOSER: f64 = 1.25;
const LOOSEST: f64 = 2.0;

/// Gives how much longer lines are with units taken up, metres.
pub(crate) fn longer_m(adjusters: &[Adjuster], units: &[i32]) -> Vec<f64> {
    let each = adjusters.iter().zip(units);
    each.map(|(adjuster, units)| -f64::from(*units) * adjuster.unit_m)
        .collect()
}

/// Tells whether a line is to carry: one that is not secondary.
pub(crate) fn carries(bench: &Bench<'_>, line: usize) -> bool {
    bench
        .rig
        .lines
        .get_index(line)
        .is_some_and(|(_, line)| line.role != Some(Role::Secondary))
}

/// Gives an even share of all that hangs, newtons.
fn even_n(bench: &Bench<'_>, actual: &Actual) -> f64 {
    let weight_n: f64 = actual.weights.iter().map(|of| of.weight_n).sum();
    (weight_n / bench.rig.lines.len().max(1) as f64).max(f64::MIN_POSITIVE)
}

/// Gives the least that a line is to pull, newtons: a hundredth of an even share; but more than its own weight, by which it
/// hangs through without carrying, where that is no more than a quarter.
pub(crate) fn least_n(bench: &Bench<'_>, actual: &Actual, line: usize) -> f64 {
    let even_n = even_n(bench, actual);
    let own_n = bench.model.parameters.lines[line].weight_n;
    least_of_n(even_n, own_n)
}

/// A rig for which adjustments are sought.
pub(crate) struct Seeking<'b, 'a> {
    pub(crate) bench: &'b mut Bench<'a>,
    pub(crate) actual: &'b Actual,
    pub(crate) adjusters: &'b [Adjuster],
    pub(crate) limits: &'b Limits,
    pub(crate) fit: Option<&'b Fit>,
    pub(crate) aim: Aim,
}

/// Finds the fewest adjustments that reach the aim; none where the rig does not hang.
///
/// Where whole units can not even the tensions as far as is wanted, they are evened as far as a level rig allows.
pub(crate) fn plan(seeking: Seeking<'_, '_>) -> Option<Plan> {
    let even = seeking.aim.even;
    let mut search = Search::new(seeking)?;
    let even_unknown = even.is_some() && search.even_n.is_none();
    if even_unknown {
        search.seeking.aim.even = None;
    }
    search.try_units(vec![0; search.seeking.adjusters.len()]);
    for model in search.models.clone() {
        search.search_along(model);
    }
    if !search.has_reached() {
        search.by_trying();
    }
    let reached = search.has_reached();
    let in_the_way = if reached {
        InTheWay::Unknown
    } else {
        search.in_the_way()
    };
    if let Some(even) = search.seeking.aim.even.filter(|_| !reached) {
        search.as_even_as_can_be(even);
    }
    Some(Plan {
        reached: reached && !even_unknown,
        in_the_way: if even_unknown {
            InTheWay::NoEven
        } else {
            in_the_way
        },
        ..search.best()?.clone()
    })
}

/// How units that were tried compare, the less the better: what is over what it may carry; how far off the aim they are, roughly
/// and zero if they reach it; how many lines and units; and how far off the aim they are.
type Rank = (u32, u32, usize, u32, f64);
/// By how much of the aim or of what may be carried one is off that counts as more.
const ROUGHLY: f64 = 0.02;

struct Search<'b, 'a> {
    seeking: Seeking<'b, 'a>,
    movable: Vec<usize>,
    ranges: Vec<[i32; 2]>,
    /// The tensions of movable lines that are even, newtons.
    even_n: Option<DVector<f64>>,
    /// How much longer lines are where the rig is as wanted, metres.
    wanted_m: Option<Vec<f64>>,
    /// Standard uncertainties of tensions there, newtons.
    sure_n: Vec<f64>,
    models: Vec<Linear>,
    tried: HashSet<Vec<i32>>,
    found: Vec<Plan>,
}

impl<'b, 'a> Search<'b, 'a> {
    fn new(seeking: Seeking<'b, 'a>) -> Option<Self> {
        let adjusters = seeking.adjusters;
        let movable: Vec<usize> = (0..adjusters.len())
            .filter(|line| adjusters[*line].is_there())
            .collect();
        let ranges = movable.iter().map(|line| adjusters[*line].range(MOST_UNITS));
        let rest = seeking.bench.rest(seeking.actual, None).ok()?;
        let mut search = Search {
            ranges: ranges.collect(),
            even_n: None,
            wanted_m: as_wanted(seeking.bench, seeking.actual, &rest, adjusters),
            sure_n: vec![0.0; adjusters.len()],
            models: Vec::new(),
            tried: HashSet::new(),
            found: Vec::new(),
            movable,
            seeking,
        };
        if let Some(wanted_m) = search.wanted_m.clone() {
            search.stand_as_wanted(&wanted_m);
        }
        let as_is_m = search.slack_taken_up_m(&rest);
        let as_is = search.linear(&as_is_m);
        search.models.extend(as_is);
        Some(search)
    }

    fn at(&self, longer_m: &[f64]) -> Actual {
        Actual {
            longer_m: longer_m.to_vec(),
            ..self.seeking.actual.clone()
        }
    }

    /// Finds what is even, how sure tensions are, and straight lines, where the rig is as wanted.
    fn stand_as_wanted(&mut self, wanted_m: &[f64]) {
        let there = self.at(wanted_m);
        let Ok(rest) = self.seeking.bench.rest(&there, None) else {
            return;
        };
        if let Some(fit) = self.seeking.fit {
            let sure_n = fit.of_tensions(self.seeking.bench, (&there, None), &rest);
            self.sure_n = sure_n.unwrap_or_else(|| self.sure_n.clone());
        }
        let all_n = tensions_n(self.seeking.bench, &rest);
        let even_n = self.movable.iter().map(|line| all_n[*line]);
        self.even_n = Some(DVector::from_iterator(self.movable.len(), even_n));
        let model = self.linear(wanted_m);
        self.models.extend(model);
    }

    /// Gives lengths at which the lines that are to carry and can be adjusted are just taut: a slack line tells nothing of what
    /// its length does.
    fn slack_taken_up_m(&self, rest: &Solution) -> Vec<f64> {
        let bench = &self.seeking.bench;
        let mut longer_m = self.seeking.actual.longer_m.clone();
        let parameters = bench.parameters(self.seeking.actual);
        for line in self.movable.iter().filter(|line| carries(bench, **line)) {
            let id = LineId(*line as u32);
            if rest.line(id).limp
                && let Ok(length_m) = unloaded_length_m(
                    &bench.model.topology,
                    &parameters,
                    &rest.state,
                    id,
                    least_n(bench, self.seeking.actual, *line),
                )
            {
                longer_m[*line] = length_m - bench.model.parameters.lines[*line].unloaded_length_m;
            }
        }
        longer_m
    }

    /// Gives how the rig changes around some lengths; none where it does not hang.
    fn linear(&mut self, longer_m: &[f64]) -> Option<Linear> {
        let there = self.at(longer_m);
        let rest = self.seeking.bench.rest(&there, None).ok()?;
        let start = self.figures(&rest);
        let mut slopes = DMatrix::zeros(start.len(), self.movable.len());
        for (column, line) in self.movable.clone().into_iter().enumerate() {
            let mut shorter = there.clone();
            shorter.longer_m[line] -= SLOPE_M;
            let beside = self.seeking.bench.rest_from(&shorter, None, &rest).ok()?;
            let by_unit = self.seeking.adjusters[line].unit_m / SLOPE_M;
            slopes.set_column(column, &((self.figures(&beside) - &start) * by_unit));
        }
        let units = self.movable.iter().map(|line| {
            let shorter_m = self.seeking.actual.longer_m[*line] - longer_m[*line];
            shorter_m / self.seeking.adjusters[*line].unit_m
        });
        let units = DVector::from_iterator(self.movable.len(), units);
        Some(Linear {
            start: start - &slopes * units,
            slopes,
        })
    }

    /// Gives, one below the other: heights of picks over trim, tensions of movable lines, spare pulls of lines that are to carry
    /// over their mean, and the shares of what lines and points may carry that are left.
    fn figures(&self, rest: &Solution) -> DVector<f64> {
        let bench = &self.seeking.bench;
        let off_m = self.off_m(rest);
        let all_n = tensions_n(bench, rest);
        let moved_n = self.movable.iter().map(|line| all_n[*line]);
        let spare = self.spare(rest).into_iter().map(|(_, spare)| spare);
        let uses = self.seeking.limits.uses(bench, rest, &self.sure_n);
        let left = uses.into_iter().map(|used| 1.0 - used.utilisation);
        DVector::from_vec(
            off_m
                .into_iter()
                .chain(moved_n)
                .chain(spare)
                .chain(left)
                .collect(),
        )
    }

    fn off_m(&self, rest: &Solution) -> Vec<f64> {
        let bench = &self.seeking.bench;
        let each = bench.picks().into_iter();
        each.map(|(load, pick)| bench.pick_height_m(rest, load, pick) - bench.trim_height_m(load, pick))
            .collect()
    }

    /// Gives the lines that are to carry, each with its pull less the least of it, over an even share of all weight.
    fn spare(&self, rest: &Solution) -> Vec<(usize, f64)> {
        let (bench, actual) = (&*self.seeking.bench, self.seeking.actual);
        let lines = (0..bench.rig.lines.len()).filter(|line| carries(bench, *line));
        let each = lines.map(|line| {
            let result = rest.line(LineId(line as u32));
            let pull_n = if result.limp { 0.0 } else { result.tension_n };
            (
                line,
                (pull_n - least_n(bench, actual, line)) / even_n(bench, actual),
            )
        });
        each.collect()
    }

    /// Says what is wanted of the units of movable lines, the bounds of the aim drawn in by `tight`.
    fn wanted(&self, model: &Linear, tight: f64, ranges: &[[i32; 2]]) -> Wanted {
        let (picks, lines) = (self.seeking.bench.picks().len(), self.movable.len());
        let aim = self.seeking.aim;
        let even = aim.even.zip(self.even_n.as_ref());
        let rows = picks + even.as_ref().map_or(0, |_| lines);
        let mut start = model.start.rows(0, rows).into_owned();
        let mut slopes = model.slopes.rows(0, rows).into_owned();
        let level_m = tight * aim.level_m;
        start.rows_mut(0, picks).unscale_mut(level_m);
        slopes.rows_mut(0, picks).unscale_mut(level_m);
        if let Some((even, even_n)) = even {
            let bound_n = tight * even * mean_n(even_n.as_slice());
            let off_n = (model.start.rows(picks, lines) - even_n) / bound_n;
            start.rows_mut(picks, lines).copy_from(&off_n);
            slopes.rows_mut(picks, lines).unscale_mut(bound_n);
        }
        let (floors, all) = (picks + lines, model.start.len());
        Wanted {
            start,
            slopes,
            ranges: ranges.to_vec(),
            floors: (
                model.start.rows(floors, all - floors).into_owned(),
                model.slopes.rows(floors, all - floors).into_owned(),
            ),
        }
    }

    /// Searches whole units with straight lines, and again with those at what was found, until the rig keeps what they promise.
    fn search_along(&mut self, mut model: Linear) -> bool {
        let mut tight = 1.0;
        for _ in 0..ROUNDS {
            let found = self.wanted(&model, tight, &self.ranges).fewest();
            let units = self.units(&found.steps);
            let is_new = self.try_units(units.clone());
            if let Some(plan) = self.found.iter_mut().find(|plan| plan.units == units) {
                plan.cut_short |= found.cut_short;
                if plan.reached {
                    return true;
                }
            }
            if !found.reached && !is_new {
                return false;
            }
            if !is_new {
                tight *= TIGHTER;
            }
            let lengths_m = self.lengths_m(&units);
            let is_taut = self
                .found
                .iter()
                .any(|plan| plan.units == units && plan.slack.is_empty());
            match self.linear(&lengths_m).filter(|_| is_taut) {
                Some(there) => model = there,
                None => tight *= TIGHTER,
            }
        }
        false
    }

    fn units(&self, steps: &[i32]) -> Vec<i32> {
        let mut units = vec![0; self.seeking.adjusters.len()];
        let each = self.movable.iter().zip(steps);
        each.for_each(|(line, k)| units[*line] = *k);
        units
    }

    fn lengths_m(&self, units: &[i32]) -> Vec<f64> {
        let by_m = longer_m(self.seeking.adjusters, units);
        self.seeking.actual.with_longer(&by_m).longer_m
    }

    /// Solves the rig with units made; tells whether that is something new.
    fn try_units(&mut self, units: Vec<i32>) -> bool {
        if !self.tried.insert(units.clone()) {
            return false;
        }
        let there = self.at(&self.lengths_m(&units));
        let Ok(rest) = self.seeking.bench.rest(&there, None) else {
            return true;
        };
        let aim = self.seeking.aim;
        let off_trim_m = self
            .off_m(&rest)
            .into_iter()
            .fold(0.0, |most, off| f64::max(most, off.abs()));
        let uneven = self.even_n.as_ref().filter(|_| aim.even.is_some()).map(|even_n| {
            let all_n = tensions_n(self.seeking.bench, &rest);
            let off_n = self
                .movable
                .iter()
                .zip(even_n.iter())
                .map(|(line, even_n)| (all_n[*line] - even_n).abs());
            off_n.fold(0.0, f64::max) / mean_n(even_n.as_slice())
        });
        let slack: Vec<usize> = self
            .spare(&rest)
            .into_iter()
            .filter(|(_, spare)| *spare < 0.0)
            .map(|(line, _)| line)
            .collect();
        let limits = self.seeking.limits;
        let over = limits
            .greatest(self.seeking.bench, &rest, &self.sure_n)
            .filter(|most| most.utilisation > 1.0);
        let none_n = vec![0.0; self.sure_n.len()];
        let within = limits
            .greatest(self.seeking.bench, &rest, &none_n)
            .is_none_or(|most| most.utilisation <= 1.0);
        let mut plan = Plan {
            reached: false,
            units,
            cut_short: false,
            off_trim_m,
            uneven,
            slack,
            over,
            within,
            in_the_way: InTheWay::Unknown,
        };
        plan.reached = plan.reaches(aim);
        self.found.push(plan);
        true
    }

    fn has_reached(&self) -> bool {
        self.found.iter().any(|plan| plan.reached)
    }

    fn rank(&self, plan: &Plan) -> Rank {
        let roughly = |of: f64| (of / ROUGHLY).min(f64::from(u32::MAX)) as u32;
        let aim = self.seeking.aim;
        let uneven = plan.uneven.zip(aim.even).map_or(0.0, |(is, may)| is / may);
        let off = f64::max(plan.off_trim_m / aim.level_m, uneven) + 1e6 * plan.slack.len() as f64;
        (
            plan.over.as_ref().map_or(0, |most| roughly(most.utilisation)),
            if plan.reached { 0 } else { roughly(off).max(1) },
            plan.units.iter().filter(|k| **k != 0).count(),
            plan.units.iter().map(|k| k.unsigned_abs()).sum(),
            off,
        )
    }

    fn best(&self) -> Option<&Plan> {
        let ranked = self.found.iter().map(|plan| (self.rank(plan), plan));
        let best = ranked.min_by(|(a, _), (b, _)| {
            let whole = |of: &Rank| (of.0, of.1, of.2, of.3);
            whole(a).cmp(&whole(b)).then(a.4.total_cmp(&b.4))
        });
        best.map(|(_, plan)| plan)
    }

    /// Goes by single units and pairs of them from the best so far, each solved, as long as that is better.
    fn by_trying(&mut self) {
        let mut left = MOST_TRIED;
        while let Some(here) = self.best().map(|plan| plan.units.clone()) {
            for units in self.beside(&here) {
                if left == 0 || self.has_reached() {
                    return;
                }
                left -= usize::from(self.try_units(units));
            }
            if self.best().is_none_or(|best| best.units == here) {
                return;
            }
        }
    }

    /// Lists what is one unit of a line, or of each of two lines, away.
    fn beside(&self, units: &[i32]) -> Vec<Vec<i32>> {
        let mut moves: Vec<Vec<(usize, i32)>> = Vec::new();
        for a in 0..self.movable.len() {
            for x in [-1, 1] {
                moves.push(vec![(a, x)]);
                let others = a + 1..self.movable.len();
                moves.extend(others.flat_map(|b| [-1, 1].map(|y| vec![(a, x), (b, y)])));
            }
        }
        moves.sort_by_key(Vec::len);
        let each = moves.into_iter().filter_map(|by| {
            let mut there = units.to_vec();
            for (place, k) in by {
                let [least, most] = self.ranges[place];
                let line = self.movable[place];
                there[line] += k;
                if !(least..=most).contains(&there[line]) {
                    return None;
                }
            }
            Some(there)
        });
        each.collect()
    }

    /// Evens the tensions as far as a level rig allows.
    fn as_even_as_can_be(&mut self, even: f64) {
        let Some(model) = self.models.first().cloned() else {
            return;
        };
        let mut looser = even * LOOSER;
        while looser < LOOSEST {
            self.aim_at(Some(looser));
            if self.has_reached() || self.search_along(model.clone()) {
                return;
            }
            looser *= LOOSER;
        }
        // What is level, and as even as was found.
        self.aim_at(Some(f64::INFINITY));
        self.search_along(model);
    }

    /// Aims at other shares, and judges what was tried by that.
    fn aim_at(&mut self, even: Option<f64>) {
        self.seeking.aim.even = even;
        let aim = self.seeking.aim;
        for plan in &mut self.found {
            plan.reached = plan.reaches(aim);
        }
    }

    /// Finds out what is in the way: the ends of what lines can be adjusted, whole units, or the lines themselves.
    fn in_the_way(&mut self) -> InTheWay {
        let widest = vec![[-MOST_UNITS, MOST_UNITS]; self.movable.len()];
        let beyond = |units: &[(usize, f64)]| -> Vec<(usize, i32)> {
            let each = units.iter().enumerate();
            each.filter(|(place, (_, k))| {
                let [least, most] = self.ranges[*place];
                *k < f64::from(least) - 1e-6 || *k > f64::from(most) + 1e-6
            })
            .map(|(_, (line, k))| (*line, if *k < 0.0 { k.floor() } else { k.ceil() } as i32))
            .collect()
        };
        for model in &self.models {
            let found = self.wanted(model, 1.0, &widest).fewest();
            let units = self.movable.iter().zip(&found.steps);
            let units: Vec<(usize, f64)> = units.map(|(line, k)| (*line, f64::from(*k))).collect();
            let ends = beyond(&units);
            if found.reached && !ends.is_empty() {
                return InTheWay::Ends(ends);
            }
        }
        let Some(wanted_m) = self.wanted_m.clone() else {
            return InTheWay::Unknown;
        };
        let units = self.movable.iter().map(|line| {
            let shorter_m = self.seeking.actual.longer_m[*line] - wanted_m[*line];
            (*line, shorter_m / self.seeking.adjusters[*line].unit_m)
        });
        let ends = beyond(&units.collect::<Vec<_>>());
        let there = self.at(&wanted_m);
        let Ok(rest) = self.seeking.bench.rest(&there, None) else {
            return InTheWay::Unknown;
        };
        let is_level = self
            .off_m(&rest)
            .iter()
            .all(|off_m| off_m.abs() <= self.seeking.aim.level_m);
        match (is_level, ends.is_empty()) {
            (false, _) => InTheWay::Lines,
            (true, false) => InTheWay::Ends(ends),
            (true, true) => InTheWay::Step,
        }
    }
}

fn tensions_n(bench: &Bench<'_>, rest: &Solution) -> Vec<f64> {
    let lines = 0..bench.rig.lines.len();
    lines.map(|line| bench.tensions_n(rest, line)[0]).collect()
}

fn mean_n(of_n: &[f64]) -> f64 {
    (of_n.iter().sum::<f64>() / of_n.len().max(1) as f64).max(f64::MIN_POSITIVE)
}

/// The figures of the rig with no unit made, and how each changes with one unit of each movable line.
#[derive(Debug, Clone)]
struct Linear {
    start: DVector<f64>,
    slopes: DMatrix<f64>,
}
