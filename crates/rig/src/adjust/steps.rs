//! What each step of a plan does, what holds meanwhile, and what to see to afterwards.
//!
//! Conventions: SI; units taken up, let out below zero; uses with twice the standard uncertainty of the force.
//! Assumes: a line may go slack while it is adjusted; an adjuster that may not be set under load is slack while it is set.
//! Valid for: rigs that hang before the first step.
//! Source: the rig solved after each step, and without the line before it. That a load no longer hangs where it may if it tilts
//! by more than 30 degrees, moves further than `may_move` or comes below z = 0 is as in docs/theory/trials.md.
//! Checked by: tests/main/adjust.rs (no working load is passed; a grip is never slid under load).

use super::adjuster::{Adjuster, By};
use super::answer::{Among, HoldsMeanwhile, RigNow, StepAnswer};
use super::bench::{Actual, Bench};
use super::estimate::Fit;
use super::order::{SLACK, order};
use super::plan::{carries, longer_m};
use crate::steadiness::tilt_between_rad;
use indexmap::IndexMap;
use practice::Judgement;
use quantity::{Kind, Style};
use statics::{FrameId, LineId, Solution};

/// A load that tilts by more no longer hangs where it may, radians.
const MOST_TILT_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// Movement that is rounding, metres.
const NOTHING_M: f64 = 1e-3;

/// What lines and points may carry.
pub(crate) struct Limits {
    /// By line, newtons.
    pub(crate) lines_n: Vec<Option<f64>>,
    /// By point: its frame and name, what the building allows down and sideways, newtons.
    points: Vec<(FrameId, String, [Option<f64>; 2])>,
    /// By line, standard uncertainty of its tension, newtons.
    pub(crate) uncertainty_n: Vec<f64>,
}

impl Limits {
    pub(crate) fn new(bench: &Bench<'_>, judgement: &Judgement) -> Self {
        let loads = judgement
            .measured
            .lines
            .iter()
            .map(|line| line.load.working_load_n.as_ref());
        let points = bench.rig.points.iter().filter_map(|(name, point)| {
            let allows = point.allows.as_ref()?;
            Some((
                *bench.model.points.get(name)?,
                name.clone(),
                [allows.down_n, allows.side_n],
            ))
        });
        Limits {
            lines_n: loads.map(|load| load.map(working::Number::value)).collect(),
            points: points.collect(),
            uncertainty_n: vec![0.0; bench.rig.lines.len()],
        }
    }

    /// Finds what is used most.
    pub(crate) fn greatest(&self, bench: &Bench<'_>, rest: &Solution) -> Option<Among> {
        let lines = self.lines_n.iter().enumerate().filter_map(|(line, may_n)| {
            let most_n = bench.tensions_n(rest, line)[0] + 2.0 * self.uncertainty_n[line];
            Some((format!("lines.{}", bench.line_name(line)), most_n / (*may_n)?))
        });
        let points = self.points.iter().flat_map(|(frame, name, allows)| {
            let force = rest.on_building_n[frame.index()];
            let each = bench.model.lines_on(*frame).into_iter();
            let square: f64 = each
                .map(|line| self.uncertainty_n[line] * self.uncertainty_n[line])
                .sum();
            let sure_n = 2.0 * square.sqrt();
            let forces_n = [-force.z + sure_n, force.xy().norm() + sure_n];
            let uses = forces_n.into_iter().zip(allows);
            uses.filter_map(move |(is_n, may_n)| Some((format!("points.{name}"), is_n / (*may_n)?)))
        });
        let most = lines
            .chain(points)
            .filter(|(_, used)| !used.is_nan())
            .max_by(|a, b| a.1.total_cmp(&b.1));
        most.map(|(subject, utilisation)| Among { subject, utilisation })
    }
}

/// Everything that steps are worked out with.
pub(crate) struct Making<'b, 'a> {
    pub(crate) bench: &'b mut Bench<'a>,
    pub(crate) actual: &'b Actual,
    pub(crate) adjusters: &'b [Adjuster],
    pub(crate) limits: &'b Limits,
    pub(crate) fit: Option<&'b Fit>,
}

impl Making<'_, '_> {
    /// Puts the adjustments in order and says what each does; with the greatest use on the way.
    pub(crate) fn steps(&mut self, units: &[i32]) -> (Vec<StepAnswer>, f64) {
        let lines: Vec<usize> = (0..units.len()).filter(|line| units[*line] != 0).collect();
        let moves: Vec<i32> = lines.iter().map(|line| units[*line]).collect();
        let all = |made: &[i32]| {
            let mut all = vec![0; units.len()];
            lines.iter().zip(made).for_each(|(line, k)| all[*line] = *k);
            all
        };
        let order = order(&moves, &mut |made| self.used(&all(made)).1);
        let mut made = vec![0; units.len()];
        let mut steps = Vec::new();
        for (index, by) in order.steps {
            let line = lines[index];
            steps.extend(self.step(&mut made, line, by));
        }
        (steps, order.worst)
    }

    /// Solves the rig with units made, and finds its greatest use, and what that state counts for the order.
    fn used(&mut self, units: &[i32]) -> (Option<Among>, f64) {
        let there = self.actual.with_longer(&longer_m(self.adjusters, units));
        let Ok(rest) = self.bench.rest(&there, None) else {
            return (None, f64::INFINITY);
        };
        let most = self.limits.greatest(self.bench, &rest);
        let used = most.as_ref().map_or(0.0, |most| most.utilisation);
        let lines = 0..self.bench.rig.lines.len();
        let is_slack = |line: usize| carries(self.bench, line) && rest.line(LineId(line as u32)).limp;
        let slack = lines.into_iter().any(is_slack);
        (most, if slack { used.max(SLACK) } else { used })
    }

    fn step(&mut self, made: &mut [i32], line: usize, by: i32) -> Option<StepAnswer> {
        let adjuster = self.adjusters[line].clone();
        let before = self.actual.with_longer(&longer_m(self.adjusters, made));
        let rest = self.bench.rest(&before, None).ok()?;
        let is_slack = rest.line(LineId(line as u32)).limp;
        let meanwhile = self.meanwhile(&before, &rest, line);
        let unload_first = (adjuster.by == By::Grip && !adjuster.under_load && !is_slack)
            .then(|| self.unload(&meanwhile, line));
        let mut greatest: Option<Among> = None;
        for _ in 0..by.abs() {
            made[line] += by.signum();
            let most = self.used(made).0;
            let use_of = |most: &Option<Among>| most.as_ref().map_or(0.0, |most| most.utilisation);
            if use_of(&most) > use_of(&greatest) {
                greatest = most;
            }
        }
        let there = self.actual.with_longer(&longer_m(self.adjusters, made));
        let rest = self.bench.rest(&there, None).ok()?;
        let shorter_m = f64::from(by) * adjuster.unit_m;
        Some(StepAnswer {
            line: self.bench.line_name(line),
            units: by,
            shorter_m,
            turns: adjuster.per_turn_m.map(|per_turn_m| shorter_m.abs() / per_turn_m),
            unload_first,
            meanwhile,
            after: RigNow::of(self.bench, self.limits, &there, &rest, self.fit),
            greatest_use: greatest,
        })
    }

    /// Finds what holds the rig without a line.
    fn meanwhile(&mut self, actual: &Actual, rest: &Solution, line: usize) -> HoldsMeanwhile {
        let then = match self.bench.rest_from(actual, Some(line), rest) {
            Ok(then) => then,
            Err(fall) => {
                let who = fall.who.join(", ");
                return HoldsMeanwhile {
                    holds: false,
                    why_not: if who.is_empty() {
                        fall.why
                    } else {
                        format!("{who} falls: {}", fall.why)
                    },
                    lines_n: IndexMap::new(),
                };
            }
        };
        let why_not = self.moves_too_far(rest, &then).or_else(|| {
            let most = self.limits.greatest(self.bench, &then)?;
            let share = Kind::Ratio.print(most.utilisation, Style::us());
            (most.utilisation > 1.0)
                .then(|| format!("{} would then use {share} of what it may", most.subject))
        });
        let taut = (0..self.bench.rig.lines.len())
            .filter(|other| *other != line && !then.line(LineId(*other as u32)).limp)
            .map(|other| {
                (
                    self.bench.line_name(other),
                    self.bench.tensions_n(&then, other)[0],
                )
            });
        HoldsMeanwhile {
            holds: why_not.is_none(),
            why_not: why_not.unwrap_or_default(),
            lines_n: taut.collect(),
        }
    }

    fn moves_too_far(&self, was: &Solution, is: &Solution) -> Option<String> {
        let style = Style::both();
        for (load, (name, modelled)) in self.bench.model.loads.iter().enumerate() {
            let path = modelled.path(name);
            let tilt_rad = tilt_between_rad(was, is, modelled);
            if tilt_rad > MOST_TILT_RAD {
                return Some(format!(
                    "{path} would tilt by {}",
                    Kind::Angle.print(tilt_rad, style)
                ));
            }
            let (_, document) = self.bench.rig.loads.get_index(load)?;
            for pick in 0..document.picks.len() {
                let place = |rest: &Solution| {
                    let own = document.picks.get_index(pick).map_or([0.0; 3], |(_, own)| *own);
                    self.bench.model.place_m(modelled, &rest.state, &own.into())
                };
                let (before, after) = (place(was), place(is));
                let moves_m = (after - before).norm();
                if document
                    .may_move_m
                    .is_some_and(|may_m| moves_m > may_m + NOTHING_M)
                {
                    let moves = Kind::Length.print(moves_m, style);
                    return Some(format!("{path} would move by {moves}, more than it may"));
                }
                if before.z > 0.0 && after.z < -NOTHING_M {
                    return Some(format!("{path} would come to the floor"));
                }
            }
        }
        None
    }

    /// Says how to take the load off a line whose adjuster may not be set under load.
    fn unload(&self, meanwhile: &HoldsMeanwhile, line: usize) -> String {
        let name = self.bench.line_name(line);
        let why = "its maker's document does not permit it to be set while the line carries";
        if meanwhile.holds {
            let onto: Vec<&str> = meanwhile.lines_n.keys().map(String::as_str).collect();
            return format!(
                "take the load off `{name}` first, onto {}, which then hold it, and see that it is slack: {why}",
                onto.join(", ")
            );
        }
        format!(
            "take the load off `{name}` first, onto a hoist or a stand that is rated for all of it, and see that the line is \
             slack: {why}, and nothing else in the rig would hold it"
        )
    }
}
