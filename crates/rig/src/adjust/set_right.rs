//! Which adjustments set a rig right, and what has to be known of them.
//!
//! Conventions: SI.
//! Assumes: what `plan` and `steps` assume.
//! Valid for: rigs that hang before anything is adjusted.
//! Source: docs/theory/adjusting.md.
//! Checked by: tests/main/adjust.rs.

use super::adjuster::Adjuster;
use super::answer::{Among, Figure, PlanAnswer, RigNow, StepAnswer};
use super::bench::Actual;
use super::estimate::Fit;
use super::plan::{Aim, InTheWay, Plan, Seeking, carries, plan};
use super::steps::Making;
use super::trim::Setting;
use indexmap::IndexMap;
use practice::Severity;
use quantity::{Kind, Style};

/// The goal where none is stated, metres: 1/4 in, or 5 mm.
const LEVEL_M: [f64; 2] = [0.25 * 0.0254, 5e-3];
/// A line that carries less than this share of the mean, and less than half of what it did, hardly shares.
const LITTLE: f64 = 0.25;

impl Setting<'_, '_> {
    pub(super) fn planned(&mut self, actual: &Actual, fit: Option<&Fit>) {
        let level_m = self
            .goal
            .level_m
            .unwrap_or(LEVEL_M[usize::from(self.goal.metric)]);
        let print = Style::both();
        let level = Kind::Length.print(level_m, print);
        if self.goal.level_m.is_none() {
            self.defaults.assume(
                format!("the goal is every pick within {level} of its height at trim"),
                "",
            );
        }
        let even = self.goal.even.map(|even| {
            let even = Kind::Ratio.print(even, print);
            format!(", and the tensions of the lines that can be adjusted within {even} of their mean of what is even")
        });
        self.answer.goal = Some(format!(
            "every pick within {level} of its height at trim{}",
            even.unwrap_or_default()
        ));
        if !self.adjusters.iter().any(Adjuster::is_there) {
            return self
                .answer
                .remark(Severity::Caution, "lines", "no line of this rig can be adjusted");
        }
        let aim = Aim {
            level_m,
            even: self.goal.even,
        };
        let seeking = Seeking {
            bench: &mut self.bench,
            actual,
            adjusters: self.adjusters,
            limits: &self.limits,
            fit,
            aim,
        };
        let Some(found) = plan(seeking) else {
            return self.answer.remark(
                Severity::Caution,
                "rig",
                "no adjustments were found: on the way it does not hang",
            );
        };
        self.told_of_plan(&found);
        let mut making = Making {
            bench: &mut self.bench,
            actual,
            adjusters: self.adjusters,
            limits: &self.limits,
            fit,
        };
        let steps = making.steps(&found.units);
        let end = making.at_the_end(&found.units);
        self.overloaded_on_the_way(&steps, end);
        let mut stopped: Vec<&str> = Vec::new();
        for step in steps.iter().filter(|step| !step.meanwhile.holds) {
            if !stopped.contains(&step.line.as_str()) {
                stopped.push(&step.line);
                let says = format!(
                    "should it go slack while it is adjusted, the other lines do not hold ({}): hold the load another way \
                     meanwhile",
                    step.meanwhile.why_not
                );
                self.answer
                    .remark(Severity::Stop, format!("lines.{}", step.line), says);
            }
        }
        self.left_with_little(&steps);
        self.hardly_known(&steps, &aim);
        self.answer.plan = Some(PlanAnswer {
            reached: found.reached,
            off_trim_m: found.off_trim_m,
            off_trim_uncertainty_m: self.sure_of_trim_m(&steps),
            uneven: found.uneven,
            afterwards: if steps.is_empty() {
                Vec::new()
            } else {
                self.afterwards(&found)
            },
            steps,
        });
    }

    /// Gives the standard uncertainty of the height of the pick that is furthest off its own when all steps are made, metres.
    fn sure_of_trim_m(&self, steps: &[StepAnswer]) -> Option<f64> {
        let last = steps
            .last()
            .map(|step| &step.after)
            .or(self.answer.now.as_ref())?;
        let furthest = last
            .picks
            .values()
            .max_by(|a, b| a.over_trim_m.abs().total_cmp(&b.over_trim_m.abs()))?;
        furthest.height_m.standard_uncertainty
    }

    /// Says where readings do not tell whether the goal is reached.
    fn hardly_known(&mut self, steps: &[StepAnswer], aim: &Aim) {
        let last = steps.last().map(|step| step.after.clone());
        let Some(last) = last.or_else(|| self.answer.now.clone()) else {
            return;
        };
        let sure = |figure: &Figure| 2.0 * figure.standard_uncertainty.unwrap_or(0.0);
        let heights = last.picks.iter().map(|(name, pick)| (name, sure(&pick.height_m)));
        let unsure = heights.filter(|(_, sure_m)| *sure_m > aim.level_m);
        if let Some((name, sure_m)) = unsure.max_by(|a, b| a.1.total_cmp(&b.1)) {
            let says = format!(
                "whether the rig is at its trim is not known: the height of {name} is told within {} only, and the goal is \
                 {}; read the heights of the picks",
                Kind::Stretch.print(sure_m, Style::both()),
                Kind::Stretch.print(aim.level_m, Style::both())
            );
            self.answer.remark(Severity::Caution, "plan", says);
        }
        let Some(even) = aim.even else { return };
        let tensions = || {
            let lines = last.lines.values().enumerate();
            lines.filter(|(line, _)| self.adjusters[*line].is_there())
        };
        let sum_n: f64 = tensions().map(|(_, line)| line.tension_n.value).sum();
        let mean_n = sum_n / tensions().count().max(1) as f64;
        let most_n = tensions()
            .map(|(_, line)| sure(&line.tension_n))
            .fold(0.0, f64::max);
        if most_n > even * mean_n {
            let says = format!(
                "whether the shares are then even is not known: tensions are told within {} only, and the goal is {}; read every \
                 load cell",
                Kind::Force.print(most_n, Style::both()),
                Kind::Force.print(even * mean_n, Style::both())
            );
            self.answer.remark(Severity::Caution, "plan", says);
        }
    }

    /// Says what is loaded beyond what it may carry on the way, and at its end.
    fn overloaded_on_the_way(&mut self, steps: &[StepAnswer], end: Option<Among>) {
        let is_over = |most: &Among| most.utilisation > 1.0;
        if let Some(most) = end.filter(is_over).filter(|_| !steps.is_empty()) {
            let share = Kind::Ratio.print(most.utilisation, Style::us());
            let says = format!(
                "when all is set {} uses {share} of what it may ({}), with twice the standard uncertainty of its force: no \
                 whole units were found that come near the goal without that; take load off, or share it otherwise",
                most.subject, most.what
            );
            self.answer.remark(Severity::Stop, "plan", says);
        } else if steps
            .iter()
            .filter_map(|step| step.greatest_use.as_ref())
            .any(is_over)
        {
            let says = "no order of these adjustments was found that keeps every line within its working load and every point \
                        within what the building allows: take the load off first";
            self.answer.remark(Severity::Stop, "plan", says);
        }
    }

    /// Says which lines a plan leaves with so little that they hardly share.
    fn left_with_little(&mut self, steps: &[StepAnswer]) {
        let (Some(now), Some(last)) = (&self.answer.now, steps.last()) else {
            return;
        };
        let mean_n = |rig: &RigNow| {
            let sum: f64 = rig.lines.values().map(|line| line.tension_n.value).sum();
            sum / rig.lines.len() as f64
        };
        let little_n = LITTLE * mean_n(&last.after);
        let left = last
            .after
            .lines
            .iter()
            .enumerate()
            .filter(|(line, (name, then))| {
                let halved = now
                    .lines
                    .get(*name)
                    .is_some_and(|now| then.tension_n.value < 0.5 * now.tension_n.value);
                carries(&self.bench, *line) && halved && then.tension_n.value < little_n
            });
        let told: Vec<String> = left
            .map(|(_, (name, then))| {
                format!(
                    "{name} with {}",
                    Kind::Force.print(then.tension_n.value, Style::both())
                )
            })
            .collect();
        if !told.is_empty() {
            let says = format!("it leaves {}: `--even` evens the shares as well", told.join(", "));
            self.answer.remark(Severity::Caution, "plan", says);
        }
    }

    fn told_of_plan(&mut self, found: &Plan) {
        if !found.reached {
            let off = Kind::Stretch.print(found.off_trim_m, Style::both());
            let uneven = found
                .uneven
                .map(|uneven| format!(", {} off even", Kind::Ratio.print(uneven, Style::both())));
            let slack: Vec<String> = found
                .slack
                .iter()
                .map(|line| self.bench.line_name(*line))
                .collect();
            let slack = (!slack.is_empty()).then(|| format!(", and slack: {}", slack.join(", ")));
            let says = format!(
                "no whole units were found that reach the goal: what comes nearest leaves a pick {off} off its height{}{}{}",
                uneven.unwrap_or_default(),
                slack.unwrap_or_default(),
                self.in_the_way(&found.in_the_way)
            );
            self.answer.remark(Severity::Caution, "plan", says);
        }
        if found.cut_short {
            let says = "the search was cut short: fewer adjustments may do";
            self.answer.remark(Severity::Note, "plan", says);
        }
        for (line, units) in found.units.iter().enumerate().filter(|(_, units)| **units != 0) {
            let adjuster = &self.adjusters[line];
            if adjuster.left_m[usize::from(*units < 0)].is_none() {
                let needs = Kind::Length.print(f64::from(units.abs()) * adjuster.unit_m, Style::both());
                let way = if *units > 0 { "taken up" } else { "let out" };
                let says =
                    format!("see first that {needs} can still be {way} here: how much is left is not stated");
                self.answer.remark(
                    Severity::Caution,
                    format!("lines.{}", self.bench.line_name(line)),
                    says,
                );
            }
        }
    }

    /// Says what is in the way of the goal.
    fn in_the_way(&self, what: &InTheWay) -> String {
        let print = |length_m: f64| Kind::Length.print(length_m, Style::both());
        match what {
            InTheWay::Unknown => String::new(),
            InTheWay::NoEven => "; how even the tensions are can not be judged, since no lengths of the lines that can be \
                                 adjusted were found that bring the picks to their heights with each of these lines taut"
                .into(),
            InTheWay::Step => "; a finer step can be stated as `adjust.step`".into(),
            InTheWay::Lines => "; nor were lengths of the lines that can be adjusted found that do".into(),
            InTheWay::Ends(lines) => {
                let each = lines.iter().map(|(line, units)| {
                    let adjuster = &self.adjusters[*line];
                    let (way, end) = if *units > 0 {
                        ("taken up", 0)
                    } else {
                        ("let out", 1)
                    };
                    let left = adjuster.left_m[end].map_or("not stated".into(), print);
                    let needs = print(f64::from(units.abs()) * adjuster.unit_m);
                    let name = self.bench.line_name(*line);
                    format!("`{name}` would have to be {way} by {needs}, and what is left is {left}")
                });
                format!("; {}", each.collect::<Vec<_>>().join("; "))
            }
        }
    }

    /// Lists what to see to when all steps are made.
    fn afterwards(&self, found: &Plan) -> Vec<String> {
        let mut said: IndexMap<&str, Vec<String>> = IndexMap::new();
        let moved = self
            .adjusters
            .iter()
            .zip(&found.units)
            .enumerate()
            .filter(|(_, (_, units))| **units != 0);
        for (line, (adjuster, _)) in moved {
            for what in &adjuster.afterwards {
                said.entry(what).or_default().push(self.bench.line_name(line));
            }
        }
        let locks = said
            .into_iter()
            .map(|(what, lines)| format!("{}: {what}", lines.join(", ")));
        let again =
            "read every load cell and height again, and hold it against what is predicted for the last step";
        std::iter::once(again.to_string()).chain(locks).collect()
    }
}
