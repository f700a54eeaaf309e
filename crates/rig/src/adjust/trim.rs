//! From a rig document and what was read on the rig to the steps that set it right.

use super::adjuster::{Adjuster, By, adjuster};
use super::answer::{
    AdjusterAnswer, EstimateAnswer, Figure, LineNow, LoadNow, PickNow, PlanAnswer, ReadingAnswer, Remark,
    RigNow, StepAnswer, TrimAnswer, WeightAnswer,
};
use super::bench::{Actual, Bench};
use super::contradiction::{Agreement, Without, agreement, leave_one_out};
use super::effects::effects;
use super::estimate::{Fit, Unknown, Unknowns, fit};
use super::plan::{Aim, Plan, carries, plan};
use super::readings::{Observed, Of, observed, read_readings};
use super::steps::{Limits, Making};
use crate::check::{CheckError, Checked, checked};
use crate::defaults::Defaults;
use crate::document::Rig;
use crate::geometry::array;
use crate::verdict::VerdictWord;
use document::Problem;
use indexmap::IndexMap;
use parts::Book;
use practice::{Practices, Severity, cautions};
use quantity::{Kind, Style};
use statics::{LineId, Solution};

/// What a rig is to be set to.
#[derive(Debug, Clone, Copy, Default)]
pub struct Goal {
    /// How far each pick may be off its height at trim, metres; none takes 1/4 in (5 mm).
    pub level_m: Option<f64>,
    /// How far each tension may be off what is even, as a share of their mean; none where that does not matter.
    pub even: Option<f64>,
    /// Whether steps without a figure of their own are 5 mm and not 1/4 in.
    pub metric: bool,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum TrimError {
    /// The rig can not be checked.
    #[error(transparent)]
    Rig(#[from] CheckError),
    /// The readings document has mistakes.
    #[error("the readings have {} mistakes", .0.len())]
    Readings(Vec<Problem>),
}

/// The goal where none is stated, metres: 1/4 in, or 5 mm.
const LEVEL_M: [f64; 2] = [0.25 * 0.0254, 5e-3];
/// A line that carries less than this share of the mean, and less than half of what it did, hardly shares.
const LITTLE: f64 = 0.25;
/// The caution of whoever adjusts, before the usual ones.
const SLOWLY: &str = "Make each step slowly, with nobody below, and read after it. Where a reading is off what is predicted by \
                      more than both may be off, stop, and ask again with the new readings.";
/// An unknown of which readings leave more than this share of what was known beforehand is not told by them.
const TOLD: f64 = 0.5;

/// Says what adjusting a rig does and, with readings or a goal, how to set it right.
///
/// `readings` is the text of a readings document; `today` is the day, as in `2026-03-14`.
pub fn trim(
    text: &str,
    readings: Option<&str>,
    goal: &Goal,
    book: &Book,
    practices: &Practices,
    today: Option<&str>,
) -> Result<TrimAnswer, TrimError> {
    let checked = checked(text, book, practices, today)?;
    let read = readings.map(|text| taken(text, &checked.rig)).transpose()?;
    let mut answer = begun(&checked);
    let mut defaults = Defaults::default();
    let adjusters = adjusters(&checked, goal, &mut defaults);
    answer.adjusters = adjusters.iter().zip(checked.rig.lines.keys()).map(told).collect();
    if let Some(found) = checked.plain.found.solution() {
        let forces_away = read.as_ref().is_some_and(|read| !read.forces_there);
        let bench = Bench::new(&checked.rig, &checked.plain.model, found, forces_away);
        Setting {
            limits: Limits::new(&bench, &checked.plain.judgement),
            bench,
            goal,
            adjusters: &adjusters,
            answer: &mut answer,
            defaults: &mut defaults,
        }
        .all(read.as_ref());
    } else {
        answer.remark(
            Severity::Stop,
            "rig",
            "it does not hang, so nothing can be said of what adjusting does",
        );
    }
    answer.defaults.extend(defaults.sentences());
    answer
        .remarks
        .sort_by_key(|remark| std::cmp::Reverse(remark.severity));
    let worst = answer.remarks.iter().map(|remark| match remark.severity {
        Severity::Stop => VerdictWord::Stop,
        Severity::Caution => VerdictWord::Caution,
        Severity::Note => VerdictWord::Fit,
    });
    answer.verdict = worst.fold(answer.check, VerdictWord::max);
    Ok(answer)
}

/// What was read, with its names found in the rig.
struct Taken {
    each: Vec<Observed>,
    forces_there: bool,
}

fn taken(text: &str, rig: &Rig) -> Result<Taken, TrimError> {
    let reading = read_readings(text);
    let mut problems = reading.problems;
    match observed(&reading.value, rig) {
        Ok(each) if problems.is_empty() => Ok(Taken {
            each,
            forces_there: reading.value.forces_there,
        }),
        Ok(_) => Err(TrimError::Readings(problems)),
        Err(others) => {
            problems.extend(others);
            Err(TrimError::Readings(problems))
        }
    }
}

fn begun(checked: &Checked) -> TrimAnswer {
    let (check, check_decides) = checked.in_short();
    let plain = &checked.plain.verdict;
    TrimAnswer {
        plimsoll: plain.plimsoll.clone(),
        rig: plain.rig.clone(),
        practice: plain.practice.clone(),
        verdict: check,
        check,
        check_decides,
        goal: None,
        adjusters: IndexMap::new(),
        now: None,
        effects: IndexMap::new(),
        estimate: None,
        plan: None,
        remarks: Vec::new(),
        defaults: plain.defaults.clone(),
        cautions: std::iter::once(SLOWLY)
            .chain(cautions().iter().copied())
            .map(str::to_string)
            .collect(),
    }
}

impl TrimAnswer {
    fn remark(&mut self, severity: Severity, subject: impl Into<String>, says: impl Into<String>) {
        self.remarks.push(Remark {
            severity,
            subject: subject.into(),
            says: says.into(),
        });
    }
}

fn adjusters(checked: &Checked, goal: &Goal, defaults: &mut Defaults) -> Vec<Adjuster> {
    let lines = checked.rig.lines.iter().zip(checked.plain.model.lines.values());
    lines
        .map(|((name, line), modelled)| {
            let found = adjuster(line, modelled, goal.metric);
            for assumed in &found.assumed {
                defaults.assume(assumed.clone(), format!("lines.{name}"));
            }
            if !found.is_there() {
                let step = Kind::Length.print(found.unit_m, Style::both());
                defaults.assume(
                    format!("can not be adjusted: what is told of it is for {step}, if it could"),
                    format!("lines.{name}"),
                );
            }
            found
        })
        .collect()
}

fn told((adjuster, name): (&Adjuster, &String)) -> (String, AdjusterAnswer) {
    let by = match adjuster.by {
        By::Turnbuckle => "turnbuckle",
        By::Grip => "grip",
        By::Stated => "stated",
        By::Nothing => "nothing",
    };
    let told = AdjusterAnswer {
        by: by.into(),
        part: adjuster.part.clone(),
        unit_m: adjuster.unit_m,
        per_turn_m: adjuster.per_turn_m,
        left_to_take_up_m: adjuster.left_m[0],
        left_to_let_out_m: adjuster.left_m[1],
        under_load: adjuster.under_load,
    };
    (name.clone(), told)
}

/// A rig that is being set right.
struct Setting<'s, 'a> {
    bench: Bench<'a>,
    goal: &'s Goal,
    adjusters: &'s [Adjuster],
    limits: Limits,
    answer: &'s mut TrimAnswer,
    defaults: &'s mut Defaults,
}

impl Setting<'_, '_> {
    fn all(mut self, read: Option<&Taken>) {
        self.forces(read);
        let unknowns = Unknowns::new(&self.bench);
        let (mut actual, mut fitted, mut may_plan) = (self.bench.stated.clone(), None, true);
        if let Some(read) = read {
            self.assumed_tolerances();
            (fitted, may_plan) = self.estimated(&unknowns, &read.each);
            if let Some(fit) = &fitted {
                actual = fit.actual.clone();
            }
        }
        let Ok(rest) = self.bench.rest(&actual, None) else {
            return self.answer.remark(
                Severity::Stop,
                "rig",
                "with its stated forces away it does not hang",
            );
        };
        let fit = fitted.as_ref().map(|fit| (fit, &unknowns));
        let now = RigNow::of(&mut self.bench, &self.limits, &actual, &rest, fit);
        let uncertainties = now
            .lines
            .values()
            .map(|line| line.tension_n.standard_uncertainty.unwrap_or(0.0));
        self.limits.uncertainty_n = uncertainties.collect();
        self.overloaded(&rest);
        self.answer.now = Some(now);
        self.answer.effects = effects(&mut self.bench, &actual, &rest, self.adjusters);
        if may_plan && (read.is_some() || self.goal.level_m.is_some() || self.goal.even.is_some()) {
            self.planned(&actual, fit);
        }
    }

    fn forces(&mut self, read: Option<&Taken>) {
        if self.bench.model.stated_forces.is_empty() {
            return;
        }
        let there = read.is_none_or(|read| read.forces_there);
        let says = if there {
            "stated forces act while the rig is set, as in the rig document"
        } else {
            "stated forces are away while the rig is read and set; `forces = \"there\"` in the readings says otherwise"
        };
        self.defaults.assume(says, "");
    }

    fn assumed_tolerances(&mut self) {
        for (name, line) in &self.bench.rig.lines {
            if line.tolerance_m.is_none() {
                let what = "length tolerance 0.5 % and at least two rope diameters, as of wire rope slings (from memory)";
                self.defaults.assume(what, format!("lines.{name}"));
            }
        }
    }

    /// Says what is loaded beyond what it may carry before anything is adjusted.
    fn overloaded(&mut self, rest: &Solution) {
        let Some(most) = self
            .limits
            .greatest(&self.bench, rest)
            .filter(|most| most.utilisation > 1.0)
        else {
            return;
        };
        let share = Kind::Ratio.print(most.utilisation, Style::us());
        let says =
            format!("it uses {share} of what it may now, with twice the standard uncertainty of its force");
        self.answer.remark(Severity::Stop, most.subject, says);
    }

    /// Fits the rig to readings; tells whether the fit is one to plan with.
    fn estimated(&mut self, unknowns: &Unknowns, observed: &[Observed]) -> (Option<Fit>, bool) {
        let Some(whole) = fit(&mut self.bench, unknowns, observed, None) else {
            let says = "no weights, centres and lengths near those of the rig document explain them: look for a line that \
                        hangs elsewhere than drawn, and read again";
            self.answer.remark(Severity::Stop, "readings", says);
            return (None, false);
        };
        let all = agreement(&whole, unknowns, observed);
        if all.agree {
            self.answer.estimate = Some(self.estimate(unknowns, observed, &whole, &all, &[]));
            self.another_weight(unknowns, &whole);
            return (Some(whole), true);
        }
        let without = leave_one_out(&mut self.bench, unknowns, observed, &whole, &all);
        let suspects: Vec<&Without> = without.iter().filter(|without| without.agree).collect();
        let mut told = self.estimate(unknowns, observed, &whole, &all, &without);
        told.suspects = suspects
            .iter()
            .map(|of| observed[of.index].what.clone())
            .collect();
        let (says, left) = match suspects.as_slice() {
            [] => ("they contradict one another, and no single one explains it: read all again before anybody adjusts".into(), None),
            [one] => {
                let what = &observed[one.index].what;
                (format!("the {what} contradicts all others, which agree without it: read it again before anybody adjusts; \
                          what follows is without it"), Some(*one))
            }
            several => {
                let names: Vec<&str> = several.iter().map(|of| observed[of.index].what.as_str()).collect();
                (format!("one of these is wrong, and the others do not tell which: {}; read them again before anybody \
                          adjusts, or read something else besides", names.join("; ")), None)
            }
        };
        self.answer.remark(Severity::Stop, "readings", says);
        let Some(one) = left else {
            self.answer.estimate = Some(told);
            return (Some(whole), false);
        };
        told.left_out = Some(observed[one.index].what.clone());
        (told.loads, told.longer_m, told.not_told) = self.unknowns_told(unknowns, &one.fit);
        self.answer.estimate = Some(told);
        self.another_weight(unknowns, &one.fit);
        (Some(one.fit.clone()), true)
    }

    fn estimate(
        &mut self,
        unknowns: &Unknowns,
        observed: &[Observed],
        fit: &Fit,
        of_all: &Agreement,
        without: &[Without],
    ) -> EstimateAnswer {
        let readings = observed.iter().enumerate().map(|(i, of)| {
            let standing = &of_all.each[i];
            ReadingAnswer {
                what: of.what.clone(),
                unit: if matches!(of.of, Of::Height(_)) { "m" } else { "N" }.into(),
                reads: of.reads,
                standard_uncertainty: of.uncertainty,
                fitted: fit.fitted[i],
                normalised_residual: standing.normalised,
                redundancy: standing.redundancy,
                least_error_found: standing.least_error_found,
                by_the_others: without
                    .iter()
                    .find(|without| without.index == i)
                    .and_then(|without| self.by_the_others(unknowns, without, of)),
            }
        });
        let readings: Vec<ReadingAnswer> = readings.collect();
        let (loads, longer_m, mut not_told) = self.unknowns_told(unknowns, fit);
        let unchecked: Vec<&str> = readings
            .iter()
            .filter(|of| of.normalised_residual.is_none())
            .map(|of| of.what.as_str())
            .collect();
        if !unchecked.is_empty() {
            not_told.push(format!(
                "whether these are right, since no other reading checks them: {}",
                unchecked.join("; ")
            ));
        }
        EstimateAnswer {
            loads,
            longer_m,
            readings,
            chi_squared: fit.chi_squared,
            chi_squared_limit: of_all.limit,
            redundancy: of_all.redundancy,
            agree: of_all.agree,
            suspects: Vec::new(),
            left_out: None,
            not_told,
        }
    }

    /// Gives what the others have where a reading was taken.
    fn by_the_others(&mut self, unknowns: &Unknowns, without: &Without, of: &Observed) -> Option<Figure> {
        let fit = &without.fit;
        let one = of.of.clone();
        let value = move |bench: &Bench<'_>, rest: &Solution| match &one {
            Of::Tension { lines, upper } => {
                let end = usize::from(!*upper);
                lines.iter().map(|line| bench.tensions_n(rest, *line)[end]).sum()
            }
            Of::Height((load, None)) => bench.height_m(rest, *load),
            Of::Height((load, Some(pick))) => bench.pick_height_m(rest, *load, *pick),
            Of::Weight(_) => f64::NAN,
        };
        if let Of::Weight(load) = of.of {
            let index = unknowns
                .each
                .iter()
                .position(|unknown| *unknown == Unknown::Weight(load))?;
            return Some(Figure {
                value: fit.actual.weights[load].weight_n,
                standard_uncertainty: Some(fit.share_left(index) * unknowns.sd[index]),
            });
        }
        let actual = fit.actual.clone();
        let now = value(&self.bench, &fit.rest);
        let values = |bench: &Bench<'_>, rest: &Solution| vec![value(bench, rest)];
        let sure = fit.uncertainties(&mut self.bench, unknowns, &actual, &fit.rest, values)?;
        Some(Figure {
            value: now,
            standard_uncertainty: sure.first().copied(),
        })
    }

    /// Says what the unknowns are, and what the readings do not tell of them.
    fn unknowns_told(
        &self,
        unknowns: &Unknowns,
        fit: &Fit,
    ) -> (
        IndexMap<String, WeightAnswer>,
        IndexMap<String, Figure>,
        Vec<String>,
    ) {
        let mut not_told = Vec::new();
        let figure = |unknown: Unknown, value: f64| {
            let index = unknowns.each.iter().position(|known| *known == unknown)?;
            let left = fit.share_left(index);
            let figure = Figure {
                value,
                standard_uncertainty: Some(left * unknowns.sd[index]),
            };
            Some((figure, left < TOLD))
        };
        let weights = fit
            .actual
            .weights
            .iter()
            .zip(&self.bench.stated.weights)
            .enumerate();
        let loads = weights.filter_map(|(load, (is, stated))| {
            let name = self.bench.load_name(load);
            let (weight_n, is_told) = figure(Unknown::Weight(load), is.weight_n)?;
            if !is_told {
                not_told.push(format!("what {name} weighs"));
            }
            let mut centre_m = [None; 3];
            for (axis, word) in ["along its x", "along its y", "in height (its z)"].into_iter().enumerate() {
                match figure(Unknown::Centre(load, axis), is.centre_m[axis]) {
                    Some((figure, true)) => centre_m[axis] = Some(figure),
                    Some((_, false)) => not_told.push(format!("where the centre of gravity of {name} is {word}")),
                    None => not_told.push(format!(
                        "where the centre of gravity of the pipe {name} is {word}: it is taken to be on its axis, as stated"
                    )),
                }
            }
            let told = WeightAnswer {
                weight_n,
                stated_n: stated.weight_n,
                centre_m,
                stated_centre_m: array(stated.centre_m),
            };
            Some((name, told))
        });
        let loads = loads.collect();
        let lines = fit
            .actual
            .longer_m
            .iter()
            .enumerate()
            .filter_map(|(line, longer_m)| {
                let (figure, _) = figure(Unknown::Length(line), *longer_m)?;
                Some((self.bench.line_name(line), figure))
            });
        let lines = lines.collect();
        (loads, lines, not_told)
    }

    /// Says where a load weighs something else than its document has it.
    fn another_weight(&mut self, unknowns: &Unknowns, fit: &Fit) {
        for (load, is) in fit.actual.weights.iter().enumerate() {
            let Some(index) = unknowns
                .each
                .iter()
                .position(|unknown| *unknown == Unknown::Weight(load))
            else {
                continue;
            };
            let sure_n = 2.0 * fit.share_left(index) * unknowns.sd[index];
            let stated_n = self.bench.stated.weights[load].weight_n;
            if is.weight_n > stated_n + sure_n {
                let print = |force_n: f64| Kind::Force.print(force_n, Style::both());
                let says = format!(
                    "it weighs {}, +- {}, and the rig document has {}: state what it weighs and check the rig again",
                    print(is.weight_n),
                    print(sure_n),
                    print(stated_n)
                );
                let path = self
                    .bench
                    .model
                    .loads
                    .get_index(load)
                    .map(|(name, load)| load.path(name));
                self.answer
                    .remark(Severity::Caution, path.unwrap_or_default(), says);
            }
        }
    }

    fn planned(&mut self, actual: &Actual, fit: Option<(&Fit, &Unknowns)>) {
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
        let Some(found) = plan(&mut self.bench, actual, self.adjusters, aim) else {
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
        let (steps, worst) = making.steps(&found.units);
        if worst > 1.0 && !steps.is_empty() {
            let says = "no order of these adjustments keeps every line within its working load and every point within what the \
                        building allows: take the load off first";
            self.answer.remark(Severity::Stop, "plan", says);
        }
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
        self.answer.plan = Some(PlanAnswer {
            reached: found.reached,
            off_trim_m: found.off_trim_m,
            uneven: found.uneven,
            afterwards: if steps.is_empty() {
                Vec::new()
            } else {
                self.afterwards(&found)
            },
            steps,
        });
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
                "whole units do not reach the goal: what comes nearest leaves a pick {off} off its height{}{}; a finer step \
                 can be stated as `adjust.step`",
                uneven.unwrap_or_default(),
                slack.unwrap_or_default()
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

impl RigNow {
    /// Says how a rig hangs in a state, with what is uncertain of it after a fit.
    pub(crate) fn of(
        bench: &mut Bench<'_>,
        limits: &Limits,
        actual: &Actual,
        rest: &Solution,
        fit: Option<(&Fit, &Unknowns)>,
    ) -> RigNow {
        let (lines, loads, picks) = (bench.rig.lines.len(), bench.rig.loads.len(), bench.picks());
        let values = |bench: &Bench<'_>, rest: &Solution| {
            let tensions = (0..lines).map(|line| bench.tensions_n(rest, line)[0]);
            let heights = (0..loads).map(|load| bench.height_m(rest, load));
            let of_picks = picks
                .iter()
                .map(|(load, pick)| bench.pick_height_m(rest, *load, *pick));
            tensions.chain(heights).chain(of_picks).collect::<Vec<f64>>()
        };
        let now = values(bench, rest);
        let sure = fit.and_then(|(fit, unknowns)| fit.uncertainties(bench, unknowns, actual, rest, values));
        let mut figures = now.iter().enumerate().map(|(i, value)| Figure {
            value: *value,
            standard_uncertainty: sure.as_ref().map(|sure| sure[i]),
        });
        let mut next = || {
            figures.next().unwrap_or(Figure {
                value: f64::NAN,
                standard_uncertainty: None,
            })
        };
        let lines = (0..lines).map(|line| {
            let told = LineNow {
                tension_n: next(),
                slack: rest.line(LineId(line as u32)).limp,
                working_load_n: limits.lines_n.get(line).copied().flatten(),
            };
            (bench.line_name(line), told)
        });
        let lines = lines.collect();
        let loads = (0..loads).map(|load| {
            let told = LoadNow {
                height_m: next(),
                tilt_deg: bench.tilt_rad(rest, load).to_degrees(),
            };
            (bench.load_name(load), told)
        });
        let loads = loads.collect();
        let picks = picks.iter().map(|(load, pick)| {
            let height_m = next();
            let told = PickNow {
                over_trim_m: height_m.value - bench.trim_height_m(*load, *pick),
                height_m,
            };
            (bench.pick_name(*load, *pick), told)
        });
        RigNow {
            picks: picks.collect(),
            lines,
            loads,
        }
    }
}
