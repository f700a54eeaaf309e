//! From a rig document to what tolerances and uncertainties do to it.

use super::answer::{
    InputLaw, InputSpread, LineSpread, LoadSpread, PointSpread, SampleCount, SpreadAnswer, TwoLegs,
};
use super::causes::Explained;
use super::chance::Chance;
use super::draw::Law;
use super::inputs::{Input, inputs};
use super::percentiles::{Percentiles, Spreading, below_the_largest};
use super::sample::{Came, Columns, Sampled, Samples, samples};
use super::two_legs::{Counted, two_legs};
use crate::check::{CheckError, Judged, Means, prepared};
use crate::document::Rig;
use crate::found::{Found, find_from};
use crate::model::Model;
use indexmap::IndexMap;
use parts::Book;
use practice::{Facts, Practices, Service, cautions};
use quantity::{Kind, Style};
use rayon::prelude::*;
use working::Number;

/// The most samples that can be asked for.
pub const MOST_SAMPLES: u32 = 1_000_000;

/// A force up on a point that is no more than this is none, newtons.
const UP_N: f64 = 1e-3;

/// What is asked about the spread of a rig.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpreadQuestion {
    /// How many samples; more than [`MOST_SAMPLES`] are not drawn.
    pub samples: u32,
    /// The seed.
    pub seed: u64,
    /// What points without a stated give are taken to give, metres per newton, more than zero; none if nothing.
    pub points_give_m_per_n: Option<f64>,
}

/// Samples what tolerances and uncertainties do to a plain rig, its cases and stages apart.
///
/// `goes_on` is told now and then how many samples are done, and says whether to go on; what is done is then answered.
/// The answer hangs on the question alone, not on the number of threads.
pub fn spread(
    text: &str,
    book: &Book,
    practices: &Practices,
    today: Option<&str>,
    question: &SpreadQuestion,
    goes_on: &dyn Fn(usize) -> bool,
) -> Result<SpreadAnswer, CheckError> {
    let (means, rig) = prepared(text, book, practices, today)?;
    let plain = means.plain(&rig)?;
    let (rig, changed) = giving(&means, rig, &plain, question.points_give_m_per_n)?;
    let (model, found) = changed
        .as_ref()
        .map_or((&plain.model, &plain.found), |(model, found)| (model, found));
    let mut defaults = plain.defaults.clone();
    let inputs = inputs(&rig, model, &mut defaults);
    let mut answer = blank(&rig, &plain, question, &inputs);
    match found {
        Found::Falls(fall) => answer.why_not.clone_from(&fall.why),
        Found::Hangs(rest) => {
            let sampled = Sampled {
                rig: &rig,
                model,
                rest,
                inputs: &inputs,
                seed: question.seed,
            };
            let asked = question.samples.min(MOST_SAMPLES);
            let samples = samples(&sampled, asked as usize, goes_on);
            told(&mut answer, &plain, &sampled, &samples);
        }
    }
    answer.defaults = defaults.sentences();
    Ok(answer)
}

/// Lets every point give that does not say that it does: the rig and, if anything changed, its mechanics and its rest.
///
/// Lines to trim keep the lengths that were found for points that do not give, since they were cut to those.
fn giving(
    means: &Means<'_>,
    mut rig: Rig,
    plain: &Judged,
    give_m_per_n: Option<f64>,
) -> Result<(Rig, Option<(Model, Found)>), CheckError> {
    if give_m_per_n.is_none() {
        return Ok((rig, None));
    }
    for point in rig.points.values_mut() {
        point.gives_m_per_n = point.gives_m_per_n.or(give_m_per_n);
    }
    let model = means.model(&rig)?;
    let found = find_from(&model, plain.found.solution());
    Ok((rig, Some((model, found))))
}

fn blank(rig: &Rig, plain: &Judged, question: &SpreadQuestion, inputs: &[Input]) -> SpreadAnswer {
    let verdict = &plain.verdict;
    SpreadAnswer {
        plimsoll: verdict.plimsoll.clone(),
        rig: verdict.rig.clone(),
        practice: verdict.practice.clone(),
        verdict: verdict.verdict,
        decides: verdict.decides.clone(),
        why_not: String::new(),
        without_cases: rig.cases.keys().chain(rig.stages.keys()).cloned().collect(),
        seed: question.seed,
        points_give_m_per_n: question.points_give_m_per_n,
        samples: counted(&[], question.samples),
        inputs: inputs.iter().map(input).collect(),
        lines: IndexMap::new(),
        any_over_working_load: None,
        any_slack: None,
        points: IndexMap::new(),
        loads: IndexMap::new(),
        causes: None,
        trust: Vec::new(),
        defaults: Vec::new(),
        cautions: cautions().iter().map(ToString::to_string).collect(),
    }
}

fn input(of: &Input) -> InputSpread {
    let (law, by) = match of.law {
        Law::Even { bound } => (InputLaw::Even, bound),
        Law::Normal { deviation } => (InputLaw::Normal, 2.0 * deviation),
    };
    let is_share = of.kind() == Kind::Ratio;
    InputSpread {
        group: of.group,
        of: of.of.clone(),
        says: of.what.clone(),
        law,
        by_m: (!is_share).then_some(by),
        by_share: is_share.then_some(by),
        assumed: of.assumed,
    }
}

fn counted(came: &[Came], asked: u32) -> SampleCount {
    let count = |of: Came| came.iter().filter(|came| **came == of).count() as u64;
    let hang = came.iter().filter(|came| came.hangs()).count() as u64;
    let drawn = came.len() as u64;
    SampleCount {
        asked: u64::from(asked),
        drawn,
        hang,
        hang_elsewhere: count(Came::HangsElsewhere),
        fall: count(Came::Falls),
        jam: count(Came::Jams),
        no_rest: count(Came::NoRest),
        does_not_hang: Chance::of(drawn - hang, drawn),
    }
}

/// Tells what came out of the samples.
fn told(answer: &mut SpreadAnswer, plain: &Judged, of: &Sampled<'_>, samples: &Samples) {
    let facts = &plain.facts;
    answer.samples = counted(&samples.came, answer.samples.asked as u32);
    let explained = Explained::by(samples, of.model.lines.len(), of.inputs);
    let mut stated = vec![0.0; samples.columns.off(0)];
    samples.columns.measure(of.model, of.rest, &mut stated);
    let telling = Telling {
        facts,
        plain,
        samples,
        percentiles: Percentiles::of(answer.samples.hang as usize),
        stated,
    };
    let counted = two_legs(of.model, of.rest, &facts.lines);
    let lines = counted.par_iter().enumerate().filter_map(|(line, two_legs)| {
        let causes = explained.of_line(line, of.inputs);
        let told = telling.line(line, two_legs.as_ref())?;
        Some((facts.lines.get(line)?.name.clone(), LineSpread { causes, ..told }))
    });
    // By way of lists, which keep their order on any number of threads.
    answer.lines = lines.collect::<Vec<_>>().into_iter().collect();
    answer.any_over_working_load = telling.any_over_working_load();
    answer.any_slack = telling.any_slack();
    let points = (0..facts.points.len())
        .into_par_iter()
        .filter_map(|point| telling.point(point));
    answer.points = points.collect::<Vec<_>>().into_iter().collect();
    let loads = (0..facts.loads.len())
        .into_par_iter()
        .filter_map(|load| telling.load(load));
    answer.loads = loads.collect::<Vec<_>>().into_iter().collect();
    answer.causes = explained.of_all(of.inputs);
    answer.trust = trust(&answer.samples);
}

/// What samples are told with.
struct Telling<'a> {
    facts: &'a Facts,
    plain: &'a Judged,
    samples: &'a Samples,
    percentiles: Percentiles,
    /// The row of the rig as stated.
    stated: Vec<f64>,
}

impl Telling<'_> {
    fn columns(&self) -> &Columns {
        &self.samples.columns
    }

    fn spreading(&self, column: usize) -> Option<Spreading> {
        let as_stated = *self.stated.get(column)?;
        self.percentiles.spreading(as_stated, self.samples.column(column))
    }

    /// Counts the samples in which a column, so many times, is more than a limit.
    fn over(&self, column: usize, times: f64, limit: f64) -> Chance {
        let over = |row: &[f64]| row.get(column).is_some_and(|value| times * value > limit);
        Chance::that(self.samples.hanging().map(over))
    }

    /// Counts the samples in which any of some columns, so many times, is more than its limit; none where there is no column.
    fn any_over(&self, limits: &[(usize, f64, f64)]) -> Option<Chance> {
        let over = |row: &[f64]| {
            let mut each = limits.iter();
            each.any(|(column, times, limit)| row.get(*column).is_some_and(|value| times * value > *limit))
        };
        (!limits.is_empty()).then(|| Chance::that(self.samples.hanging().map(over)))
    }

    fn any_over_working_load(&self) -> Option<Chance> {
        let lines = self
            .facts
            .lines
            .iter()
            .zip(&self.plain.judgement.measured.lines)
            .enumerate();
        let limits = lines.filter_map(|(line, (facts, measured))| {
            let limit = measured.load.working_load_n.as_ref()?.value();
            let times = self.dynamic(facts.dynamic.as_ref(), facts.service)?;
            Some((Columns::tension_n(line), times, limit))
        });
        self.any_over(&limits.collect::<Vec<_>>())
    }

    fn any_slack(&self) -> Option<Chance> {
        let lines = self
            .facts
            .lines
            .iter()
            .enumerate()
            .filter(|(_, facts)| !facts.slack);
        let limits = lines.map(|(line, _)| (Columns::slack(line), 1.0, 0.5));
        self.any_over(&limits.collect::<Vec<_>>())
    }

    fn line(&self, line: usize, two_legs: Option<&Counted>) -> Option<LineSpread> {
        let facts = self.facts.lines.get(line)?;
        let judged = self.plain.judgement.measured.lines.get(line)?;
        let column = Columns::tension_n(line);
        let working_load_n = judged.load.working_load_n.as_ref().map(Number::value);
        let dynamic = self.dynamic(facts.dynamic.as_ref(), facts.service);
        let worst_share_n = facts.worst_share_n.as_ref().map(Number::value);
        let over_working_load = working_load_n.zip(dynamic);
        Some(LineSpread {
            tension_n: self.spreading(column)?,
            slack_as_stated: facts.slack,
            slack: self.over(Columns::slack(line), 1.0, 0.5),
            working_load_n,
            dynamic,
            over_working_load: over_working_load.map(|(limit, times)| self.over(column, times, limit)),
            worst_share_n,
            within_tolerances: facts.within_tolerances,
            over_worst_share: worst_share_n.map(|limit| self.over(column, 1.0, limit)),
            set_by_adjustment: facts.set_by_adjustment,
            two_legs: two_legs.map(|counted| TwoLegs {
                of: counted.of.clone(),
                legs: counted.legs,
                share_n: counted.share_n,
                over: self.over(column, 1.0, counted.share_n),
            }),
            causes: None,
        })
    }

    /// Gives the factor on forces; none if one is due and not stated.
    fn dynamic(&self, stated: Option<&Number>, service: Service) -> Option<f64> {
        match stated {
            Some(factor) => Some(factor.value()).filter(|factor| *factor >= 1.0),
            None => (!self.facts.practice.asks_dynamic_factor(service)).then_some(1.0),
        }
    }

    fn point(&self, point: usize) -> Option<(String, PointSpread)> {
        let facts = self.facts.points.get(point)?;
        let (down, side) = (self.columns().down_n(point), self.columns().side_n(point));
        let allowed = |which: fn(&practice::Allowance) -> &Option<Number>| {
            which(facts.allows.as_ref()?).as_ref().map(Number::value)
        };
        let (allowed_down_n, allowed_side_n) = (allowed(|a| &a.down_n), allowed(|a| &a.side_n));
        let dynamic = self.dynamic(facts.dynamic.as_ref(), facts.service);
        let is_allowed = allowed_down_n.is_some() || allowed_side_n.is_some();
        let over = |times: f64| {
            let past = |row: &[f64], column: usize, limit: Option<f64>| {
                limit.is_some_and(|limit| row.get(column).is_some_and(|value| times * value > limit))
            };
            // Nothing is allowed up where nothing is said of it.
            let up = |row: &[f64]| row.get(down).is_some_and(|value| *value < -UP_N);
            let rows = self.samples.hanging();
            Chance::that(
                rows.map(|row| up(row) || past(row, down, allowed_down_n) || past(row, side, allowed_side_n)),
            )
        };
        let down_n = self.spreading(down)?;
        let is_allowed = is_allowed && down_n.as_stated >= -UP_N;
        let told = PointSpread {
            down_n,
            side_n: self.spreading(side)?,
            allowed_down_n,
            allowed_side_n,
            dynamic,
            over_allowed: dynamic.filter(|_| is_allowed).map(over),
        };
        Some((facts.name.clone(), told))
    }

    fn load(&self, load: usize) -> Option<(String, LoadSpread)> {
        let facts = self.facts.loads.get(load)?;
        let columns = self.columns();
        let tilt_rad = self.spreading(columns.tilt_rad(load))?;
        let told = LoadSpread {
            height_m: self.spreading(columns.height_m(load))?,
            tilt_deg: tilt_rad.each(f64::to_degrees),
            out_of_level_m: self.spreading(columns.out_of_level_m(load))?,
        };
        Some((facts.name.clone(), told))
    }
}

/// Says how far numbers from so many samples can be trusted.
fn trust(samples: &SampleCount) -> Vec<String> {
    let count = samples.hang;
    if count == 0 {
        return vec!["no sample hangs: there is nothing to say of tensions".into()];
    }
    let drawn = if count == 1 {
        "1 sample".into()
    } else {
        format!("{count} samples")
    };
    let two_figures = Style {
        figures: 2,
        ..Style::us()
    };
    let percent = |share: f64| Kind::Ratio.print(share, two_figures);
    let none_seen = Chance::of(0, count).at_most;
    vec![
        format!(
            "limits of chances and percentiles hold with 95 % confidence, as far as drawing {drawn} goes; four \
             times as many samples halve what lies between them"
        ),
        format!(
            "what was never seen in {drawn} may still have a chance of {}",
            percent(none_seen)
        ),
        format!(
            "the largest seen is no bound: with 95 % confidence {} of rigs such as sampled pass it, or fewer",
            percent(1.0 - below_the_largest(count))
        ),
        "all of it stands on what was taken to be off, listed here: a tolerance twice as wide makes other chances. Mistakes, \
         wrong parts, damage, wind, friction at sheaves and movement are not in it"
            .into(),
    ]
}
