//! From a rig document to its verdict.

use crate::balance::{balances, reaches};
use crate::cases::{AsChanged, Blown, CaseJudged, CaseKind, in_case, in_stage, merged, warmed};
use crate::corners::assumed_tolerances;
use crate::defaults::Defaults;
use crate::document::{End, Length, Rig};
use crate::facts::{FixedParts, facts, free_motions};
use crate::found::{Found, find, find_from};
use crate::geometry::array;
use crate::letgo::{Standing, follow_in_time};
use crate::model::{Model, model};
use crate::pipes::{self, Given as PipeGiven, Pipe, PipeVerdict, pipe_verdict};
use crate::pull_tests::{self, PullTests};
use crate::read::read;
use crate::to_trim::{Trimmed, to_trim};
use crate::verdict::{
    Equilibrium, GroupVerdict, JunctionVerdict, LineVerdict, LoadVerdict, PickVerdict, PointVerdict, Verdict,
    VerdictWord,
};
use document::{Placed, Problem};
use indexmap::IndexMap;
use parts::{Book, Makeup, Part};
use practice::{
    Facts, Judgement, Measured, OnTheWay, PeakOf, Practice, Practices, Role, Severity, Sharing, WindFacts,
    caught_by_energy, cautions, judge, start_stop_factor,
};
use rayon::prelude::*;
use statics::{Solution, Workspace};
use std::ops::Range;
use std::sync::Arc;
use working::{Number, Source};

/// Why there is no verdict.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// The document has mistakes.
    #[error("the document has {} mistakes", .0.len())]
    Document(Vec<Problem>),
    /// The search for an equilibrium failed; this is a failure of the program, not of the rig.
    #[error("the search for an equilibrium failed: {0}")]
    Statics(#[from] statics::StaticsError),
    /// The rig could not be turned into mechanics; this is a failure of the program, not of the rig.
    #[error("the rig could not be turned into mechanics: {0}")]
    Topology(#[from] statics::TopologyError),
}

/// Checks a rig: reads its document, finds its equilibrium, and holds it against its practice.
///
/// `today` is the day on which the verdict is asked for, as in `2026-03-14`.
pub fn check(
    text: &str,
    book: &Book,
    practices: &Practices,
    today: Option<&str>,
) -> Result<Verdict, CheckError> {
    Ok(checked(text, book, practices, today)?.verdict())
}

/// A rig with the lengths of its lines to trim, judged as stated and in all of its cases.
#[derive(Debug)]
pub(crate) struct Checked {
    pub(crate) rig: Rig,
    pub(crate) plain: Judged,
    cases: Vec<CaseJudged>,
}

impl Checked {
    /// Puts the verdict together.
    pub(crate) fn verdict(self) -> Verdict {
        if self.cases.is_empty() {
            self.plain.verdict
        } else {
            merged(&self.plain, &self.cases)
        }
    }

    /// Says what the verdict is in one word, and what decides it.
    pub(crate) fn in_short(&self) -> (VerdictWord, String) {
        let merged = (!self.cases.is_empty()).then(|| merged(&self.plain, &self.cases));
        let verdict = merged.as_ref().unwrap_or(&self.plain.verdict);
        (verdict.verdict, verdict.decides.clone())
    }
}

/// Checks a rig and keeps what was found on the way.
pub(crate) fn checked(
    text: &str,
    book: &Book,
    practices: &Practices,
    today: Option<&str>,
) -> Result<Checked, CheckError> {
    let (means, rig) = prepared(text, book, practices, today)?;
    let plain = means.plain(&rig)?;
    let cases = means.cases(&rig, &plain)?;
    Ok(Checked { rig, plain, cases })
}

/// Reads a rig, with the lengths of its lines to trim, and finds what it is judged with.
pub(crate) fn prepared<'a>(
    text: &str,
    book: &Book,
    practices: &Practices,
    today: Option<&'a str>,
) -> Result<(Means<'a>, Rig), CheckError> {
    let reading = read(text);
    let (rig, mut problems) = (reading.value, reading.problems);
    let practice = practice(&rig, practices, &mut problems);
    let makeups = makeups(&rig, book, &mut problems);
    let parts = fixed_parts(&rig, book, &mut problems);
    let Some(practice) = practice.filter(|_| problems.is_empty()) else {
        return Err(CheckError::Document(problems));
    };
    let means = Means {
        makeups,
        parts,
        practice,
        today,
    };
    let trimmed = means.trimmed(&rig)?;
    Ok((means, trimmed.unwrap_or(rig)))
}

/// What every case of a rig is judged with.
pub(crate) struct Means<'a> {
    makeups: IndexMap<String, Arc<Makeup>>,
    parts: FixedParts,
    practice: Practice,
    today: Option<&'a str>,
}

/// A rig, or a case of it, judged by itself.
#[derive(Debug)]
pub(crate) struct Judged {
    pub(crate) model: Model,
    pub(crate) found: Found,
    pub(crate) facts: Facts,
    pub(crate) judgement: Judgement,
    pub(crate) verdict: Verdict,
    pub(crate) defaults: Defaults,
}

impl Means<'_> {
    /// Gives the rig with the lengths of its lines to trim; none where there are none, or none were found.
    fn trimmed(&self, rig: &Rig) -> Result<Option<Rig>, CheckError> {
        let model = |rig: &Rig| model(rig, &self.makeups, &self.parts, &mut Defaults::default());
        Ok(match to_trim(rig, model)? {
            Trimmed::Found(rig) => Some(*rig),
            Trimmed::Nothing | Trimmed::NotFound => None,
        })
    }

    /// Makes the mechanics of a rig.
    pub(crate) fn model(&self, rig: &Rig) -> Result<Model, CheckError> {
        Ok(model(rig, &self.makeups, &self.parts, &mut Defaults::default())?)
    }

    /// Judges the plain rig by itself.
    pub(crate) fn plain(&self, rig: &Rig) -> Result<Judged, CheckError> {
        let mut defaults = Defaults::default();
        let model = model(rig, &self.makeups, &self.parts, &mut defaults)?;
        no_problems(lines_without_rope(rig, &model))?;
        let found = find(&model, &mut Workspace::new(&model.topology))?;
        let mut judged = self.judged(rig, model, found, (Vec::new(), rig.temperature_k), defaults);
        assumed(rig, &judged.facts, &mut judged.defaults);
        judged.verdict.defaults = judged.defaults.sentences();
        Ok(judged)
    }

    /// Judges every case and stage by itself, side by side, in the order of the document.
    fn cases(&self, rig: &Rig, plain: &Judged) -> Result<Vec<CaseJudged>, CheckError> {
        let cases: Vec<_> = rig.cases.iter().collect();
        let stages: Vec<_> = rig.stages.iter().collect();
        let cases = cases
            .into_par_iter()
            .map(|(name, case)| self.case(name, (CaseKind::Case, &case.at), in_case(rig, name), plain));
        let stages = stages
            .into_par_iter()
            .map(|(name, stage)| self.case(name, (CaseKind::Stage, &stage.at), in_stage(rig, stage), plain));
        // By way of a list, so that of several errors it is always the first in the document.
        let judged: Vec<Result<CaseJudged, CheckError>> = cases.chain(stages).collect();
        judged.into_iter().collect()
    }

    fn case(
        &self,
        name: &str,
        (kind, at): (CaseKind, &Range<usize>),
        changed: AsChanged,
        plain: &Judged,
    ) -> Result<CaseJudged, CheckError> {
        let trimmed = self.trimmed(&changed.rig)?;
        let rig = trimmed.as_ref().unwrap_or(&changed.rig);
        let mut defaults = Defaults::default();
        let mut model = model(rig, &self.makeups, &self.parts, &mut defaults)?;
        if let Some(temperature_k) = changed.temperature_k {
            warmed(rig, &mut model, temperature_k, &mut defaults);
        }
        let problems = lines_without_rope(rig, &model).into_iter();
        let here = problems.map(|problem| Problem {
            at: at.clone(),
            says: format!("in `{name}`: {}", problem.says),
            ..problem
        });
        no_problems(here.collect())?;
        let start = plain.found.solution().filter(|_| changed.is_whole);
        let found = find_from(&model, start);
        let winds = changed.winds.iter().map(|wind| wind_facts(rig, wind)).collect();
        for (what, subject) in changed.winds.iter().flat_map(|wind| &wind.assumed) {
            defaults.assume(what.clone(), subject.clone());
        }
        Ok(CaseJudged {
            name: name.to_string(),
            kind,
            numbers: changed.winds.iter().flat_map(Blown::numbers).collect(),
            judged: self.judged(
                rig,
                model,
                found,
                (winds, changed.temperature_k.or(rig.temperature_k)),
                defaults,
            ),
        })
    }

    fn judged(
        &self,
        rig: &Rig,
        model: Model,
        found: Found,
        (winds, temperature_k): (Vec<WindFacts>, Option<f64>),
        mut defaults: Defaults,
    ) -> Judged {
        let practice = with_sharing_in_force(self.practice.clone(), &model, &mut defaults);
        let mut facts = Facts {
            winds,
            temperature_k,
            ..facts(rig, &model, &found, &self.parts, &practice, self.today)
        };
        facts.simplified.extend(simplified(rig, &found));
        let within_tolerances =
            |line: usize| facts.lines.get(line).is_some_and(|line| line.within_tolerances);
        assumed_tolerances(rig, &model, within_tolerances, &mut defaults);
        let mut judgement = with_pipes_named(judge(&facts), &model);
        if let Some(rest) = found.solution().filter(|_| asks_for_motion(&facts)) {
            // What lines may carry is known now, and with it what breaks on the way.
            let known = facts.clone();
            let standing = Standing {
                rig,
                model: &model,
                rest,
                facts: &known,
                measured: &judgement.measured,
            };
            follow_in_time(&mut facts, standing, &mut defaults);
            judgement = with_pipes_named(judge(&facts), &model);
        }
        Judged {
            verdict: verdict(rig, &model, &found, &facts, &judgement, &defaults),
            model,
            found,
            facts,
            judgement,
            defaults,
        }
    }
}

/// Whether a verdict hangs on what happens in time: on adjustable grips over people, or on secondary lines.
fn asks_for_motion(facts: &Facts) -> bool {
    let grips = facts
        .loads
        .iter()
        .any(|load| load.under.is_overhead() && !load.without_grips.is_empty());
    grips || facts.lines.iter().any(|line| line.role == Role::Secondary)
}

/// Names a pipe as it is written in the document where a rule on loads names it.
fn with_pipes_named(mut judgement: Judgement, model: &Model) -> Judgement {
    for finding in &mut judgement.findings {
        let load = finding.subject.strip_prefix("loads.");
        let named = load.and_then(|name| Some(model.loads.get(name)?.path(name)));
        if let Some(path) = named {
            finding.subject = path;
        }
    }
    judgement
}

/// Says what the mechanics left out.
fn simplified(rig: &Rig, found: &Found) -> Vec<String> {
    let mut told = Vec::new();
    // What is to trim still has no length when none was found.
    let drawn = |line: &&crate::document::Line| {
        line.length == Length::ToTrim && line.role != Some(practice::Role::Secondary)
    };
    if rig.lines.values().any(|line| drawn(&line)) {
        told.push("no lengths were found for the lines to trim; they are as long as drawn".into());
    }
    if found.solution().is_some_and(|solution| solution.sag_left_out) {
        told.push("no balance was found with lines sagging; they are taken as straight".into());
    }
    told
}

fn no_problems(problems: Vec<Problem>) -> Result<(), CheckError> {
    if problems.is_empty() {
        Ok(())
    } else {
        Err(CheckError::Document(problems))
    }
}

fn wind_facts(rig: &Rig, wind: &Blown) -> WindFacts {
    let without = rig.loads.iter().filter(|(_, load)| load.faces.is_empty());
    WindFacts {
        case: wind.case.clone(),
        pressure_pa: wind.pressure_pa.clone(),
        pushes_n: wind.pushes.iter().map(|push| push.size_n.clone()).collect(),
        without_faces: without.map(|(name, _)| name.clone()).collect(),
    }
}

fn practice(rig: &Rig, practices: &Practices, problems: &mut Vec<Problem>) -> Option<Practice> {
    let named = rig.practice.as_ref()?;
    let found = practices.get(&named.value);
    if found.is_none() {
        let problem = Problem::new(
            named.at.clone(),
            format!("there is no practice `{}`", named.value),
        );
        problems.push(problem.nearest(&named.value, practices.ids()));
    }
    found
}

/// Holds lines against the worst share where stated forces act, whatever the practice says: the elastic share knows
/// them only as present, and one that helps a line may be away.
fn with_sharing_in_force(practice: Practice, model: &Model, defaults: &mut Defaults) -> Practice {
    if practice.sharing == Sharing::Worst || model.stated_forces.is_empty() {
        return practice;
    }
    let what = "stated forces may be away, so lines are held against the worst share, although the practice takes the \
                elastic one";
    defaults.assume(what, "");
    Practice {
        sharing: Sharing::Worst,
        ..practice
    }
}

/// Looks up the parts of every makeup.
fn makeups(rig: &Rig, book: &Book, problems: &mut Vec<Problem>) -> IndexMap<String, Arc<Makeup>> {
    let found = rig.makeups.iter().filter_map(|(name, made_up)| {
        let mut makeup = made_up.parts.made_of(name, book, problems)?;
        makeup.evidence = pull_tests::evidence(made_up, &makeup, book, problems);
        Some((name.clone(), Arc::new(makeup)))
    });
    found.collect()
}

fn fixed_parts(rig: &Rig, book: &Book, problems: &mut Vec<Problem>) -> FixedParts {
    let mut find = |(name, id): (&String, Option<&Placed<String>>)| {
        Some((name.clone(), parts::find(id?, book, problems)?))
    };
    FixedParts {
        points: rig
            .points
            .iter()
            .filter_map(|(name, point)| find((name, point.part.as_ref())))
            .collect(),
        junctions: rig
            .junctions
            .iter()
            .filter_map(|(name, ring)| find((name, ring.part.as_ref())))
            .collect(),
        sections: pipes(rig)
            .filter_map(|(name, pipe)| match &pipe.given {
                PipeGiven::Section(id) => Some((name.clone(), section(id, book, problems)?)),
                PipeGiven::Stated { .. } => None,
            })
            .collect(),
        clamps: pipes(rig)
            .flat_map(|(name, pipe)| pipe.picks.iter().map(move |(pick, at)| ((name, pick), at)))
            .filter_map(|((name, pick), at)| {
                let found = parts::find(at.part.as_ref()?, book, problems)?;
                Some(((name.clone(), pick.clone()), found))
            })
            .collect(),
    }
}

fn pipes(rig: &Rig) -> impl Iterator<Item = (&String, &Pipe)> {
    rig.loads
        .iter()
        .filter_map(|(name, load)| Some((name, load.pipe.as_ref()?)))
}

/// Looks up a part that must be a section.
fn section(id: &Placed<String>, book: &Book, problems: &mut Vec<Problem>) -> Option<Arc<Part>> {
    let found = parts::find(id, book, problems)?;
    if found.section().is_some() {
        return Some(found);
    }
    let says = format!(
        "`{}` is no section of a pipe: it is a part of the kind {}",
        id.value,
        found.kind()
    );
    problems.push(Problem::new(id.at.clone(), says).instead("`plimsoll parts section` lists them"));
    None
}

/// Finds lines that have no length, or whose hardware is longer than they are.
fn lines_without_rope(rig: &Rig, model: &Model) -> Vec<Problem> {
    let each = |(name, line): (&String, &crate::model::LineModel)| {
        let at = rig.lines.get(name)?.at.clone();
        if line.length_m.value() <= 0.0 {
            let problem = Problem::new(
                at,
                format!("line `{name}` has no length: its ends are drawn at the same place"),
            );
            return Some(problem.instead("move one of them, or state its length"));
        }
        let rope_m = line
            .makeup
            .as_ref()
            .map(|makeup| makeup.rope_length_m(&line.length_m));
        let problem = Problem::new(
            at,
            format!("the hardware of line `{name}` is longer than the line"),
        );
        matches!(rope_m, Some(None)).then(|| problem.instead("make the line longer, or its hardware shorter"))
    };
    model.lines.iter().filter_map(each).collect()
}

/// Notes what was assumed about loads.
fn assumed(rig: &Rig, facts: &Facts, defaults: &mut Defaults) {
    for (name, load) in &rig.loads {
        if load.service.is_none() {
            defaults.assume("service `still`", format!("loads.{name}"));
        }
    }
    if facts.loads.iter().any(|load| load.height_m.is_finite()) {
        defaults.assume("floor at z = 0", "");
    }
    defaults.assume(
        "the picks of the loads themselves, and points without a part, hold: they are not rated here",
        "",
    );
    let any = |states: fn(&crate::cases::Case) -> bool| rig.cases.values().any(states);
    let mut same = Vec::new();
    let gives = rig.points.values().any(|point| point.gives_m_per_n.is_some());
    if rig.points.values().any(|point| point.gives_m_per_n.is_none()) {
        same.push(if gives {
            "points of which no give is stated do not give"
        } else {
            "points do not give"
        });
    }
    if !any(|case| case.temperature_k.is_some()) {
        same.push("temperature does not change");
    }
    if !any(|case| case.wind.is_some()) {
        same.push("no wind");
    }
    if !same.is_empty() {
        defaults.assume(same.join("; "), "");
    }
}

fn verdict(
    rig: &Rig,
    model: &Model,
    found: &Found,
    facts: &Facts,
    judgement: &Judgement,
    defaults: &Defaults,
) -> Verdict {
    let solution = found.solution();
    Verdict {
        plimsoll: env!("CARGO_PKG_VERSION").to_string(),
        rig: rig.title.clone(),
        practice: facts.practice.id.clone(),
        verdict: VerdictWord::of(&judgement.findings),
        decides: decides(judgement),
        equilibrium: equilibrium(model, found, facts),
        loads: loads(rig, model, solution, facts),
        junctions: junctions(model, solution, judgement),
        points: points(model, solution, facts, judgement),
        groups: groups(facts, judgement),
        pipes: pipes_told(rig, facts, judgement),
        lines: lines(rig, model, solution, facts, judgement),
        pull_tests: pull_tests_told(facts),
        findings: judgement.findings.clone(),
        defaults: defaults.sentences(),
        cautions: cautions().iter().map(ToString::to_string).collect(),
        cases: IndexMap::new(),
        working: IndexMap::new(),
        numbers: numbers(model, solution, facts, judgement),
    }
}

/// Says what decides the verdict: the first finding that is not a note, or else what is nearest to its limit.
fn decides(judgement: &Judgement) -> String {
    if let Some(finding) = judgement
        .findings
        .iter()
        .find(|finding| finding.severity != Severity::Note)
    {
        return format!("{}: {}", finding.subject, finding.says);
    }
    nearest_limit(judgement).map_or_else(
        || "nothing is carried".into(),
        |limit| format!("{}: {}", limit.subject, limit.says),
    )
}

/// What is nearest to its limit.
pub(crate) struct NearestLimit {
    pub(crate) utilisation: f64,
    /// As a path into the rig document.
    pub(crate) subject: String,
    /// How much of which limit it uses.
    pub(crate) says: String,
}

/// Uses that differ by no more than this share are the same, by rounding.
const SAME: f64 = 1e-6;

/// Finds what is nearest to its limit.
pub(crate) fn nearest_limit(judgement: &Judgement) -> Option<NearestLimit> {
    let Measured {
        lines,
        points,
        groups,
        junctions,
        pipes,
    } = &judgement.measured;
    let of_part = |part: &Option<String>| {
        let part = part.as_deref().unwrap_or("its weakest part");
        format!("uses # of its working load, which `{part}` decides")
    };
    let of_limit = |governs: &Option<String>| {
        format!(
            "uses # of what it may: {}",
            governs.as_deref().unwrap_or("its limit")
        )
    };
    let lines = lines.iter().map(|at| {
        (
            "lines",
            &at.name,
            &at.utilisation,
            of_part(&at.load.governing_part),
        )
    });
    let junctions = junctions.iter().map(|at| {
        (
            "junctions",
            &at.name,
            &at.utilisation,
            of_part(&at.governing_part),
        )
    });
    let points = points
        .iter()
        .map(|at| ("points", &at.name, &at.utilisation, of_limit(&at.governs)));
    let groups = groups
        .iter()
        .map(|at| ("groups", &at.name, &at.utilisation, of_limit(&at.governs)));
    let pipes = pipes
        .iter()
        .map(|at| ("pipes", &at.name, &at.utilisation, of_limit(&at.governs)));
    // What comes first of what is used alike.
    let most = lines
        .chain(pipes)
        .chain(junctions)
        .chain(points)
        .chain(groups)
        .filter_map(|(section, name, used, says)| Some((section, name, used.as_ref()?.value(), says)))
        .reduce(|most, next| {
            if next.2 > most.2 * (1.0 + SAME) {
                next
            } else {
                most
            }
        });
    most.map(|(section, name, used, says)| NearestLimit {
        utilisation: used,
        subject: format!("{section}.{name}"),
        says: says.replacen('#', &format!("{:.0} %", 100.0 * used), 1),
    })
}

fn equilibrium(model: &Model, found: &Found, facts: &Facts) -> Equilibrium {
    match found {
        Found::Falls(fall) => Equilibrium {
            why_not: fall.why.clone(),
            ..Equilibrium::default()
        },
        Found::Hangs(solution) => Equilibrium {
            found: true,
            stable: true,
            why_not: String::new(),
            residual_n: Some(solution.residual_n),
            allowed_residual_n: Some(solution.allowed_residual_n),
            iterations: solution.iterations,
            free_motions: solution
                .free_motions
                .iter()
                .zip(free_motions(solution, |_| true))
                .map(|(motion, words)| format!("{} {words}", model.name_of(motion.frame)))
                .collect(),
            unstable_as_drawn: solution
                .unstable_as_drawn
                .iter()
                .map(|frame| model.name_of(*frame))
                .filter(|name| {
                    let load = facts.loads.iter().find(|load| load.name == *name);
                    load.is_none_or(|load| load.unstable_as_drawn)
                })
                .collect(),
            left_unstable: solution.left_unstable,
        },
    }
}

fn loads(
    rig: &Rig,
    model: &Model,
    solution: Option<&Solution>,
    facts: &Facts,
) -> IndexMap<String, LoadVerdict> {
    let each = |((name, load), told): ((&String, &crate::model::LoadModel), &practice::LoadFacts)| {
        let frame = load.frame.index();
        let rotation = solution.map(|s| s.state.rotation[frame]);
        let picks = rig.loads[name].picks.keys().map(|pick| {
            let at = solution.map(|s| {
                let attachment = model.picks[&(name.clone(), pick.clone())];
                array(model.at_m(&s.state, attachment))
            });
            (pick.clone(), PickVerdict { at_m: at })
        });
        let verdict = LoadVerdict {
            weight_n: load.weight_n.value(),
            at_m: solution.map(|s| array(s.state.position_m[frame])),
            quaternion_wxyz: rotation.map(|q| {
                let sign = if q.w < 0.0 { -1.0 } else { 1.0 };
                [q.w, q.i, q.j, q.k].map(|x| sign * x)
            }),
            tilt_deg: told.tilt_rad.map(f64::to_degrees),
            from_trim_m: told.moved_m,
            turned_deg: told.turned_rad.map(f64::to_degrees),
            picks: picks.collect(),
        };
        (name.clone(), verdict)
    };
    model.loads.iter().zip(&facts.loads).map(each).collect()
}

fn junctions(
    model: &Model,
    solution: Option<&Solution>,
    judgement: &Judgement,
) -> IndexMap<String, JunctionVerdict> {
    let each = |((name, frame), judged): ((&String, &statics::FrameId), &practice::JunctionJudgement)| {
        let verdict = JunctionVerdict {
            at_m: solution.map(|s| array(s.state.position_m[frame.index()])),
            working_load_n: value(judged.working_load_n.as_ref()),
            demand_n: value(judged.demand_n.as_ref()),
            utilisation: value(judged.utilisation.as_ref()),
            case: None,
        };
        (name.clone(), verdict)
    };
    model
        .junctions
        .iter()
        .zip(&judgement.measured.junctions)
        .map(each)
        .collect()
}

fn points(
    model: &Model,
    solution: Option<&Solution>,
    facts: &Facts,
    judgement: &Judgement,
) -> IndexMap<String, PointVerdict> {
    let each = |(told, judged): (&practice::PointFacts, &practice::PointJudgement)| {
        let frame = model.points[&told.name];
        let allows = |which: fn(&practice::Allowance) -> &Option<Number>| {
            value(told.allows.as_ref().and_then(|allows| which(allows).as_ref()))
        };
        let verdict = PointVerdict {
            force_n: solution.map(|s| array(s.on_building_n[frame.index()])),
            down_n: value(told.down_n.as_ref()),
            side_n: value(told.side_n.as_ref()),
            demand_down_n: value(judged.down_n.as_ref()),
            demand_up_n: value(judged.up_n.as_ref()),
            demand_side_n: value(judged.side_n.as_ref()),
            allowed_down_n: allows(|a| &a.down_n),
            allowed_side_n: allows(|a| &a.side_n),
            demand_n: value(judged.demand_n.as_ref()),
            working_load_n: value(judged.working_load_n.as_ref()),
            utilisation: value(judged.utilisation.as_ref()),
            governs: judged.governs.clone(),
            case: None,
        };
        (told.name.clone(), verdict)
    };
    facts
        .points
        .iter()
        .zip(&judgement.measured.points)
        .map(each)
        .collect()
}

fn pipes_told(rig: &Rig, facts: &Facts, judgement: &Judgement) -> IndexMap<String, PipeVerdict> {
    let each = facts.pipes.iter().zip(&judgement.measured.pipes);
    each.filter_map(|(told, judged)| {
        let length_m = rig.loads.get(&told.name)?.pipe.as_ref()?.length_m;
        Some((told.name.clone(), pipe_verdict(length_m, told, judged)))
    })
    .collect()
}

fn groups(facts: &Facts, judgement: &Judgement) -> IndexMap<String, GroupVerdict> {
    let each = |(told, judged): (&practice::GroupFacts, &practice::GroupJudgement)| {
        let allows = told.allows.as_ref();
        let verdict = GroupVerdict {
            demand_down_n: value(judged.down_n.as_ref()),
            demand_up_n: value(judged.up_n.as_ref()),
            demand_side_n: value(judged.side_n.as_ref()),
            allowed_down_n: value(allows.and_then(|allows| allows.down_n.as_ref())),
            allowed_side_n: value(allows.and_then(|allows| allows.side_n.as_ref())),
            utilisation: value(judged.utilisation.as_ref()),
            case: None,
        };
        (told.name.clone(), verdict)
    };
    facts
        .groups
        .iter()
        .zip(&judgement.measured.groups)
        .map(each)
        .collect()
}

fn lines(
    rig: &Rig,
    model: &Model,
    solution: Option<&Solution>,
    facts: &Facts,
    judgement: &Judgement,
) -> IndexMap<String, LineVerdict> {
    let mut found = IndexMap::new();
    for ((told, judged), (name, modelled)) in facts
        .lines
        .iter()
        .zip(&judgement.measured.lines)
        .zip(&model.lines)
    {
        let result = solution.map(|s| s.line(modelled.id));
        let ends = solution.map(|s| end_tensions_n(model, s, modelled));
        let is_upper_from = rig
            .lines
            .get(name)
            .is_some_and(|line| is_upper(model, solution, &line.from, &line.to));
        let (from, to) = match ends {
            Some([upper, lower]) if is_upper_from => (Some(upper), Some(lower)),
            Some([upper, lower]) => (Some(lower), Some(upper)),
            None => (None, None),
        };
        let verdict = LineVerdict {
            tension_n: value(told.tension_n.as_ref()),
            tension_from_n: from,
            tension_to_n: to,
            slack: told.slack,
            sag_m: result.and_then(|r| r.sag_m),
            length_m: result.map(|r| r.length_m),
            unloaded_length_m: modelled.length_m.value(),
            to_trim: rig
                .lines
                .get(name)
                .is_some_and(|line| matches!(line.length, Length::Found(_))),
            rope_length_m: rope_length_m(modelled),
            settles_m: settles(name, modelled).last().map(|(_, most)| most.value()),
            slip_range_n: told.slip_range_n,
            from_horizontal_deg: told.from_horizontal_rad.to_degrees(),
            worst_share_n: value(told.worst_share_n.as_ref()),
            within_tolerances: told.within_tolerances,
            set_by_adjustment: told.set_by_adjustment,
            demand_n: value(judged.demand_n.as_ref()),
            working_load_n: value(judged.load.working_load_n.as_ref()),
            rating_n: value(judged.load.rating_n.as_ref()),
            governing_part: judged.load.governing_part.clone(),
            utilisation: value(judged.utilisation.as_ref()),
            case: None,
        };
        found.insert(name.clone(), verdict);
    }
    found
}

/// Gives the tension of a line at its upper and lower end, newtons.
pub(crate) fn end_tensions_n(model: &Model, solution: &Solution, line: &crate::model::LineModel) -> [f64; 2] {
    let result = solution.line(line.id);
    if result.sag_m.is_some() {
        let [a, b] = result.end_tensions_n;
        return [a.max(b), a.min(b)];
    }
    let tension_n = result.tension_n;
    let half_n = if tension_n > 0.0 {
        0.5 * line.weight_n.value()
    } else {
        0.0
    };
    let part_n = half_n * crate::balance::upward(model, solution, line.id.index());
    [tension_n + part_n, (tension_n - part_n).max(0.0)]
}

fn is_upper(model: &Model, solution: Option<&Solution>, from: &End, to: &End) -> bool {
    let state = solution.map_or(&model.guess, |s| &s.state);
    let z = |end: &End| match end {
        End::Point(name) => model.parameters.fixed_at_m[model.points[name].index()].z,
        End::Junction(name) => state.position_m[model.junctions[name].index()].z,
        End::Pick(load, pick) => {
            let attachment = model.picks[&(load.clone(), pick.clone())];
            model.at_m(state, attachment).z
        }
    };
    z(from) >= z(to)
}

fn value(number: Option<&Number>) -> Option<f64> {
    number.map(Number::value)
}

/// Gives how much of a line is rope, where the length of all of its hardware is known, metres.
fn rope_length_m(line: &crate::model::LineModel) -> Option<f64> {
    let makeup = line.makeup.as_ref()?;
    let (_, unknown) = makeup.hardware_length_m();
    let rope_m = makeup.rope_length_m(&line.length_m)?;
    unknown.is_empty().then(|| rope_m.value())
}

/// Derives how much longer a line becomes for good when it is first loaded, where that is published for its rope.
fn settles(name: &str, line: &crate::model::LineModel) -> Vec<(&'static str, Number)> {
    let Some(makeup) = &line.makeup else {
        return Vec::new();
    };
    let settling = makeup.rope().and_then(|(_, rope)| rope.settling.as_ref());
    let Some((settling, rope_m)) = settling.zip(makeup.rope_length_m(&line.length_m)) else {
        return Vec::new();
    };
    let of = |which: &str, share: &Number| {
        let what = format!("how much longer {name} becomes for good when first loaded, {which}");
        let source = Source::mechanics("settling of its rope over the length of the rope");
        Number::computed(what, "s_c", quantity::Kind::Stretch, share * &rope_m, source)
    };
    let least = settling.least.as_ref();
    let least = least.map(|share| ("settles_least", of("at the least", share)));
    let most = ("settles_most", of("at the most", &settling.most));
    least.into_iter().chain([most]).collect()
}

/// Says what tests show of the makeups in use.
fn pull_tests_told(facts: &Facts) -> Vec<PullTests> {
    let mut makeups: Vec<&Makeup> = Vec::new();
    for makeup in facts.lines.iter().filter_map(|line| line.makeup.as_deref()) {
        if makeups.iter().all(|known| known.name != makeup.name) {
            makeups.push(makeup);
        }
    }
    makeups.into_iter().flat_map(pull_tests::told).collect()
}

/// Gathers every number of the verdict by its path.
fn numbers(
    model: &Model,
    solution: Option<&Solution>,
    facts: &Facts,
    judgement: &Judgement,
) -> IndexMap<String, Number> {
    let mut found = IndexMap::new();
    let mut keep = |path: String, number: Option<&Number>| {
        if let Some(number) = number {
            found.insert(path, number.clone());
        }
    };
    for (told, judged) in facts.lines.iter().zip(&judgement.measured.lines) {
        let path = format!("lines.{}", told.name);
        keep(
            format!("{path}.working_load"),
            judged.load.working_load_n.as_ref(),
        );
        keep(format!("{path}.rating"), judged.load.rating_n.as_ref());
        keep(format!("{path}.demand"), judged.demand_n.as_ref());
        keep(format!("{path}.use"), judged.utilisation.as_ref());
        keep(format!("{path}.tension"), told.tension_n.as_ref());
        keep(format!("{path}.worst_share"), told.worst_share_n.as_ref());
    }
    for (name, line) in &model.lines {
        keep(format!("lines.{name}.unloaded_length"), Some(&line.length_m));
        keep(format!("lines.{name}.stiffness"), Some(&line.stiffness_n));
        keep(format!("lines.{name}.weight"), Some(&line.weight_n));
        for (key, settles_m) in settles(name, line) {
            keep(format!("lines.{name}.{key}"), Some(&settles_m));
        }
    }
    for (told, judged) in facts.points.iter().zip(&judgement.measured.points) {
        let path = format!("points.{}", told.name);
        keep(format!("{path}.down"), told.down_n.as_ref());
        keep(format!("{path}.side"), told.side_n.as_ref());
        keep(format!("{path}.force"), told.force_n.as_ref());
        keep(format!("{path}.demand_down"), judged.down_n.as_ref());
        keep(format!("{path}.demand_up"), judged.up_n.as_ref());
        keep(format!("{path}.demand_side"), judged.side_n.as_ref());
        keep(format!("{path}.demand"), judged.demand_n.as_ref());
        keep(format!("{path}.working_load"), judged.working_load_n.as_ref());
        keep(format!("{path}.use"), judged.utilisation.as_ref());
    }
    for (told, judged) in facts.groups.iter().zip(&judgement.measured.groups) {
        let path = format!("groups.{}", told.name);
        keep(format!("{path}.down"), told.down_n.as_ref());
        keep(format!("{path}.side"), told.side_n.as_ref());
        keep(format!("{path}.demand_down"), judged.down_n.as_ref());
        keep(format!("{path}.demand_up"), judged.up_n.as_ref());
        keep(format!("{path}.demand_side"), judged.side_n.as_ref());
        keep(format!("{path}.use"), judged.utilisation.as_ref());
    }
    for judged in &judgement.measured.junctions {
        let path = format!("junctions.{}", judged.name);
        keep(format!("{path}.working_load"), judged.working_load_n.as_ref());
        keep(format!("{path}.demand"), judged.demand_n.as_ref());
        keep(format!("{path}.use"), judged.utilisation.as_ref());
    }
    for (load, modelled) in facts.loads.iter().zip(model.loads.values()) {
        let path = modelled.path(&load.name);
        keep(format!("{path}.weight"), Some(&load.weight_n));
        keep(format!("{path}.start_stop"), start_stop_factor(load).as_ref());
        for catch in load
            .caught
            .iter()
            .take(1)
            .filter(|catch| !catch.hardest.is_empty())
        {
            keep(format!("{path}.caught.fall"), Some(&catch.fall_m));
            keep(format!("{path}.caught.energy"), Some(&catch.energy_j));
            keep(
                format!("{path}.caught.by_energy"),
                Some(&caught_by_energy(load, catch)),
            );
            for peak in catch
                .on_the_way
                .peaks
                .iter()
                .filter(|peak| peak.of == PeakOf::Line)
            {
                keep(
                    format!("{path}.caught.lines.{}.peak", peak.name),
                    Some(&peak.peak_n),
                );
            }
            for (path, number) in bent(&format!("{path}.caught"), &catch.on_the_way) {
                keep(path, Some(&number));
            }
        }
    }
    for (told, judged) in facts.pipes.iter().zip(&judgement.measured.pipes) {
        found.extend(pipes::numbers(told, judged));
    }
    found.extend(on_the_way(facts));
    if let Some(solution) = solution {
        found.extend(balances(model, solution));
        found.extend((0..model.lines.len()).flat_map(|line| reaches(model, solution, line)));
    }
    found
}

/// Gathers what is known of what happens when adjustable grips let go: `lets_go.`, the lines that are gone, and what gets how much.
fn on_the_way(facts: &Facts) -> IndexMap<String, Number> {
    let trials = facts.loads.iter().flat_map(|load| &load.without_grips);
    let followed = trials.filter_map(|trial| Some((trial.gone.join("+"), trial.on_the_way.as_ref()?)));
    let mut found = IndexMap::new();
    for (gone, way) in followed {
        found.extend(bent(&format!("lets_go.{gone}"), way));
        for peak in &way.peaks {
            let of = match peak.of {
                PeakOf::Line => format!("lines.{}.peak", peak.name),
                PeakOf::Junction => format!("junctions.{}.peak", peak.name),
                PeakOf::PartAtPick => match peak.name.split_once('.') {
                    Some((pipe, pick)) => format!("pipes.{pipe}.picks.{pick}.peak"),
                    None => continue,
                },
                PeakOf::PartAtPoint => format!("points.{}.peak", peak.name),
                PeakOf::DownAtPoint => format!("points.{}.peak_down", peak.name),
                PeakOf::SideAtPoint => format!("points.{}.peak_side", peak.name),
                PeakOf::UpAtPoint => format!("points.{}.peak_up", peak.name),
                PeakOf::DownOnGroup => format!("groups.{}.peak_down", peak.name),
                PeakOf::SideOnGroup => format!("groups.{}.peak_side", peak.name),
            };
            found.insert(format!("lets_go.{gone}.{of}"), peak.peak_n.clone());
        }
    }
    found
}

/// Gathers what bends pipes on the way.
fn bent(path: &str, way: &OnTheWay) -> IndexMap<String, Number> {
    let each = way.pipes.iter().flat_map(|pipe| {
        let of = [
            ("peak_moment", &pipe.moment_n_m),
            ("peak_shear", &pipe.shear_n),
            ("peak_torque", &pipe.torque_n_m),
        ];
        let name = &pipe.name;
        of.into_iter().filter_map(move |(key, along)| {
            let number = along.as_ref()?.greatest.clone();
            Some((format!("{path}.pipes.{name}.{key}"), number))
        })
    });
    each.collect()
}
