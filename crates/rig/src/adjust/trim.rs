//! From a rig document and what was read on the rig to the steps that set it right.

use super::adjuster::{Adjuster, By, adjuster};
use super::answer::{AdjusterAnswer, Remark, RigNow, TrimAnswer};
use super::bench::Bench;
use super::effects::effects;
use super::readings::{Observed, observed, read_readings};
use super::steps::Limits;
use crate::check::{CheckError, Checked, checked};
use crate::defaults::Defaults;
use crate::document::Rig;
use crate::verdict::VerdictWord;
use document::Problem;
use indexmap::IndexMap;
use parts::Book;
use practice::{Practices, Severity, cautions};
use quantity::{Kind, Style};
use statics::Solution;

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

/// The caution of whoever adjusts, before the usual ones.
const SLOWLY: &str = "Make each step slowly, with nobody below, and read after it. Where a reading is off what is predicted by \
                      more than both may be off, stop, and ask again with the new readings.";

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
    pub(super) fn remark(&mut self, severity: Severity, subject: impl Into<String>, says: impl Into<String>) {
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
            if let (Some(taken), false) = (&found.part, found.others.is_empty()) {
                let others = found.others.join(", ");
                defaults.assume(
                    format!("more than one part can adjust it: `{taken}` is taken, and these are left as they are: {others}"),
                    format!("lines.{name}"),
                );
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
pub(super) struct Setting<'s, 'a> {
    pub(super) bench: Bench<'a>,
    pub(super) goal: &'s Goal,
    pub(super) adjusters: &'s [Adjuster],
    pub(super) limits: Limits,
    pub(super) answer: &'s mut TrimAnswer,
    pub(super) defaults: &'s mut Defaults,
}

impl Setting<'_, '_> {
    fn all(mut self, read: Option<&Taken>) {
        self.forces(read);
        let (mut actual, mut fitted, mut may_plan) = (self.bench.stated.clone(), None, true);
        if let Some(read) = read {
            self.assumed_tolerances();
            (fitted, may_plan) = self.estimated(&read.each);
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
        let fit = fitted.as_ref();
        let now = RigNow::of(&mut self.bench, &self.limits, &actual, &rest, fit);
        let uncertainties = now
            .lines
            .values()
            .map(|line| line.tension_n.standard_uncertainty.unwrap_or(0.0));
        let uncertainties: Vec<f64> = uncertainties.collect();
        self.overloaded(&rest, &uncertainties);
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
    fn overloaded(&mut self, rest: &Solution, sure_n: &[f64]) {
        let Some(most) = self
            .limits
            .greatest(&self.bench, rest, sure_n)
            .filter(|most| most.utilisation > 1.0)
        else {
            return;
        };
        let share = Kind::Ratio.print(most.utilisation, Style::us());
        let says = format!(
            "it uses {share} of what it may now ({}), with twice the standard uncertainty of its force",
            most.what
        );
        self.answer.remark(Severity::Stop, most.subject, says);
    }
}
