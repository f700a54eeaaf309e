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
use std::collections::HashMap;

/// A load that tilts by more no longer hangs where it may, radians.
const MOST_TILT_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// Movement that is rounding, metres.
const NOTHING_M: f64 = 1e-3;

/// What lines and points may carry.
pub(crate) struct Limits {
    /// By line, newtons.
    pub(crate) lines_n: Vec<Option<f64>>,
    /// By point: its frame and name, the lines on it, what the building allows down and sideways, newtons.
    points: Vec<OnPoint>,
}

struct OnPoint {
    frame: FrameId,
    name: String,
    lines: Vec<usize>,
    allows_n: [Option<f64>; 2],
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
            let frame = *bench.model.points.get(name)?;
            Some(OnPoint {
                frame,
                name: name.clone(),
                lines: bench.model.lines_on(frame),
                allows_n: [allows.down_n, allows.side_n],
            })
        });
        Limits {
            lines_n: loads.map(|load| load.map(working::Number::value)).collect(),
            points: points.collect(),
        }
    }

    /// Finds how much each line and point uses of what it may carry, with twice the standard uncertainties of tensions.
    pub(crate) fn uses(&self, bench: &Bench<'_>, rest: &Solution, sure_n: &[f64]) -> Vec<Among> {
        let lines = self.lines_n.iter().enumerate().filter_map(|(line, may_n)| {
            let most_n = bench.tensions_n(rest, line)[0] + 2.0 * sure_n[line];
            Some(Among {
                subject: format!("lines.{}", bench.line_name(line)),
                what: "tension".into(),
                utilisation: most_n / (*may_n)?,
            })
        });
        let points = self.points.iter().flat_map(|point| {
            let force = rest.on_building_n[point.frame.index()];
            // What a tension may be off acts along the line.
            let off = |line: &usize| {
                sure_n[*line]
                    * bench
                        .model
                        .pull_direction(&rest.state, LineId(*line as u32), point.frame)
            };
            let off = point
                .lines
                .iter()
                .map(off)
                .map(|off| [off.z.powi(2), off.xy().norm_squared()]);
            let [down, side] = off.fold([0.0, 0.0], |sum, off| [sum[0] + off[0], sum[1] + off[1]]);
            let forces_n = [
                (-force.z + 2.0 * down.sqrt(), "force down"),
                (force.xy().norm() + 2.0 * side.sqrt(), "force sideways"),
            ];
            let uses = forces_n.into_iter().zip(point.allows_n);
            uses.filter_map(|((is_n, what), may_n)| {
                Some(Among {
                    subject: format!("points.{}", point.name),
                    what: what.into(),
                    utilisation: is_n / may_n?,
                })
            })
        });
        lines
            .chain(points)
            .filter(|most| !most.utilisation.is_nan())
            .collect()
    }

    /// Finds what is used most.
    pub(crate) fn greatest(&self, bench: &Bench<'_>, rest: &Solution, sure_n: &[f64]) -> Option<Among> {
        let uses = self.uses(bench, rest, sure_n);
        uses.into_iter()
            .max_by(|a, b| a.utilisation.total_cmp(&b.utilisation))
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
    /// Puts the adjustments in order and says what each does.
    pub(crate) fn steps(&mut self, units: &[i32]) -> Vec<StepAnswer> {
        let lines: Vec<usize> = (0..units.len()).filter(|line| units[*line] != 0).collect();
        let moves: Vec<i32> = lines.iter().map(|line| units[*line]).collect();
        let all = |made: &[i32]| {
            let mut all = vec![0; units.len()];
            lines.iter().zip(made).for_each(|(line, k)| all[*line] = *k);
            all
        };
        let mut corners = HashMap::new();
        let order = order(&moves, &mut |made| {
            let sure_n = self.sure_between_n(&moves, made, &all, &mut corners);
            self.counts(&all(made), &sure_n)
        });
        let mut made = vec![0; units.len()];
        let mut steps = Vec::new();
        for (index, by) in order.steps {
            let line = lines[index];
            steps.extend(self.step(&mut made, line, by));
        }
        steps
    }

    /// Finds what is used most when all units are made.
    pub(crate) fn at_the_end(&mut self, units: &[i32]) -> Option<Among> {
        let there = self.actual.with_longer(&longer_m(self.adjusters, units));
        let rest = self.bench.rest(&there, None).ok()?;
        let sure_n = self.sure_n(units);
        self.limits.greatest(self.bench, &rest, &sure_n)
    }

    /// Gives standard uncertainties of tensions with units made, or the greatest of those with each line that is part of the way
    /// at either end of it, newtons.
    fn sure_between_n(
        &mut self,
        moves: &[i32],
        made: &[i32],
        all: &impl Fn(&[i32]) -> Vec<i32>,
        corners: &mut HashMap<Vec<i32>, Vec<f64>>,
    ) -> Vec<f64> {
        let mut ends = vec![made.to_vec()];
        for (i, k) in moves.iter().enumerate() {
            if made[i] != 0 && made[i] != *k {
                ends = ends
                    .into_iter()
                    .flat_map(|end| {
                        [0, *k].map(|to| {
                            let mut end = end.clone();
                            end[i] = to;
                            end
                        })
                    })
                    .collect();
            }
        }
        let mut most_n = vec![0.0_f64; self.adjusters.len()];
        for end in ends {
            let units = all(&end);
            let sure_n = corners.entry(end).or_insert_with(|| self.sure_n(&units));
            let each = most_n.iter_mut().zip(sure_n.iter());
            each.for_each(|(most, sure)| *most = most.max(*sure));
        }
        most_n
    }

    /// Gives standard uncertainties of tensions with units made, newtons.
    fn sure_n(&mut self, units: &[i32]) -> Vec<f64> {
        let none = || vec![0.0; self.adjusters.len()];
        let there = self.actual.with_longer(&longer_m(self.adjusters, units));
        let Some(fit) = self.fit else { return none() };
        let Ok(rest) = self.bench.rest(&there, None) else {
            return none();
        };
        fit.of_tensions(self.bench, (&there, None), &rest)
            .unwrap_or_else(none)
    }

    /// Finds what a state counts for the order: its greatest use, or that it does not hang, or that a line is slack.
    fn counts(&mut self, units: &[i32], sure_n: &[f64]) -> f64 {
        let there = self.actual.with_longer(&longer_m(self.adjusters, units));
        let Ok(rest) = self.bench.rest(&there, None) else {
            return f64::INFINITY;
        };
        let most = self.limits.greatest(self.bench, &rest, sure_n);
        let used = most.map_or(0.0, |most| most.utilisation);
        let lines = 0..self.bench.rig.lines.len();
        let is_slack = |line: usize| carries(self.bench, line) && rest.line(LineId(line as u32)).limp;
        if lines.into_iter().any(is_slack) {
            used.max(SLACK)
        } else {
            used
        }
    }

    fn step(&mut self, made: &mut [i32], line: usize, by: i32) -> Option<StepAnswer> {
        let adjuster = self.adjusters[line].clone();
        let before = self.actual.with_longer(&longer_m(self.adjusters, made));
        let rest = self.bench.rest(&before, None).ok()?;
        let is_slack = rest.line(LineId(line as u32)).limp;
        let sure_n = self.sure_n(made);
        let meanwhile = self.meanwhile(&before, &rest, line, &sure_n);
        let unload_first = (adjuster.by == By::Grip && !adjuster.under_load && !is_slack)
            .then(|| self.unload(&meanwhile, line));
        let mut greatest: Option<Among> = None;
        for _ in 0..by.abs() {
            made[line] += by.signum();
            let there = self.actual.with_longer(&longer_m(self.adjusters, made));
            let rest = self.bench.rest(&there, None).ok()?;
            let sure_n = self.sure_n(made);
            let most = self.limits.greatest(self.bench, &rest, &sure_n);
            let use_of = |most: &Option<Among>| most.as_ref().map_or(0.0, |most| most.utilisation);
            if use_of(&most) > use_of(&greatest) {
                greatest = most;
            }
        }
        let there = self.actual.with_longer(&longer_m(self.adjusters, made));
        let rest = self.bench.rest(&there, None).ok()?;
        // Whole turns are told as whole numbers.
        let turns = |per_turn_m: f64| f64::from(by.abs()) * (adjuster.unit_m / per_turn_m);
        Some(StepAnswer {
            line: self.bench.line_name(line),
            units: by,
            shorter_m: f64::from(by) * adjuster.unit_m,
            turns: adjuster.per_turn_m.map(turns),
            unload_first,
            meanwhile,
            after: RigNow::of(self.bench, self.limits, &there, &rest, self.fit),
            greatest_use: greatest,
        })
    }

    /// Finds what holds the rig without a line.
    fn meanwhile(&mut self, actual: &Actual, rest: &Solution, line: usize, sure_n: &[f64]) -> HoldsMeanwhile {
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
        let without = self
            .fit
            .and_then(|fit| fit.of_tensions(self.bench, (actual, Some(line)), &then));
        let sure_n = without.as_deref().unwrap_or(sure_n);
        let why_not = self.moves_too_far(rest, &then).or_else(|| {
            let most = self.limits.greatest(self.bench, &then, sure_n)?;
            let share = Kind::Ratio.print(most.utilisation, Style::us());
            (most.utilisation > 1.0).then(|| {
                format!(
                    "{} would then use {share} of what it may ({})",
                    most.subject, most.what
                )
            })
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
