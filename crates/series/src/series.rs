//! From a series document and its logs to what it supports.
//!
//! Conventions: SI.
//! Assumes: nothing.
//! Valid for: documents that were read without problems.
//! Source: see `kind`.
//! Checked by: tests/series.rs.

use crate::answer::{Comparison, KindAnswer, SeriesAnswer, SpecimenAnswer};
use crate::compare::compared;
use crate::document::{Kind, Series};
use crate::doubts::calibrated;
use crate::kind::{Tested, breaking_n, tested};
use crate::specimen::{Of, answer, asked};
use crate::twins::Shape;
use document::Problem;
use indexmap::IndexMap;
use parts::{Book, Evidence, Makeup};
use practice::{Finding, judge_evidence};
use proving::Level;
use proving::log::read;
use quantity::{Kind as Unit, Style};
use std::io::Read;

/// Opens a log by its path in the document.
pub type Open<'a> = &'a dyn Fn(&str) -> std::io::Result<Box<dyn Read>>;

/// The share and the confidence that are taken where nobody said: above the limit lie 99 %, and it is right 95 times out of 100.
pub(crate) const USUAL: Level = Level {
    reliability: 0.99,
    confidence: 0.95,
};

/// What is known of a series: the answer, and the evidence that makeups may carry.
#[derive(Debug, Clone)]
pub struct Proved {
    /// The answer.
    pub answer: SeriesAnswer,
    /// What each kind with a claim shows.
    pub evidence: IndexMap<String, Evidence>,
}

/// Says what a series supports, in sentences with the units of `style` first.
///
/// # Errors
///
/// All that is wrong with it: parts that are in no book, logs that can not be used.
pub fn prove(series: &Series, book: &Book, open: Open<'_>, style: Style) -> Result<Proved, Vec<Problem>> {
    let mut problems = Vec::new();
    let level = series.level.unwrap_or(USUAL);
    let (mut kinds, mut evidence, mut short) = (IndexMap::new(), IndexMap::new(), Vec::new());
    for (name, kind) in &series.kinds {
        let Some(makeup) = made_up(name, kind, book, &mut problems) else {
            continue;
        };
        if kind.specimens.is_empty() {
            let says = format!("no specimen of `{name}` was pulled");
            problems.push(Problem::new(kind.tests.at.clone(), says).instead(
                "`plimsoll prove plan` plans the series; add each that was pulled: `specimens.a = { peak = \"2.2 kN\" }`",
            ));
        }
        if is_long_enough(kind, &makeup) == Some(false) {
            short.push(format!(
                "the rope of `{name}` is shorter between its ends than 30 of its diameters (ISO 3108, from memory): its ends bear on one another"
            ));
        }
        let specimens = specimens(series, kind, &makeup, (open, style), &mut problems);
        let title = format!("{}: {name}", series.title);
        let tested = Tested {
            name: &title,
            document: kind,
            makeup: &makeup,
            specimens,
            level,
            invented: series.invented,
            cell: series.cell.uncertainty,
            doubts: calibration(series).into_iter().collect(),
            style,
        };
        let (answer, shows) = tested.answer();
        kinds.insert(name.clone(), answer);
        evidence.extend(shows.map(|shows| (name.clone(), shows)));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let findings = evidence
        .iter()
        .flat_map(|(name, shows)| judge_evidence(shows, &format!("kinds.{name}"), style));
    let mut findings: Vec<Finding> = findings.collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    let answer = SeriesAnswer {
        plimsoll: env!("CARGO_PKG_VERSION").to_string(),
        series: series.title.clone(),
        invented: series.invented,
        about: about(series, style),
        share: level.reliability,
        confidence: level.confidence,
        comparison: comparison(&kinds, (level, style)),
        findings,
        remarks: remarks(series, &kinds).into_iter().chain(short).collect(),
        defaults: defaults(series),
        cautions: practice::cautions().iter().map(ToString::to_string).collect(),
        kinds,
    };
    Ok(Proved { answer, evidence })
}

/// So many readings tell two logs apart.
const PRINT: usize = 1000;

/// Finds the parts of a kind, and the one on trial among them.
pub(crate) fn made_up(name: &str, kind: &Kind, book: &Book, problems: &mut Vec<Problem>) -> Option<Makeup> {
    let makeup = kind.parts.made_of(name, book, problems)?;
    if tested(&makeup, &kind.tests.value).is_none() {
        let says = format!("`{}` is not among the parts of `{name}`", kind.tests.value);
        problems.push(Problem::new(kind.tests.at.clone(), says).nearest(&kind.tests.value, makeup.ids()));
        return None;
    }
    Some(makeup)
}

fn specimens(
    series: &Series,
    kind: &Kind,
    makeup: &Makeup,
    (open, style): (Open<'_>, Style),
    problems: &mut Vec<Problem>,
) -> IndexMap<String, SpecimenAnswer> {
    let of = Of {
        makeup,
        tests: &kind.tests.value,
        machine: &series.machine,
        cell: &series.cell,
        rope_length_m: kind.rope_length_m,
        breaking_n: breaking_n(kind, makeup),
        style,
    };
    let mut found = IndexMap::new();
    let mut prints: Vec<(&String, Vec<u32>)> = Vec::new();
    let mut shapes: Vec<(&String, Shape)> = Vec::new();
    let paths = |of: &crate::document::Specimen| of.log.as_ref().map(|path| path.value.clone());
    for (at, (name, specimen)) in kind.specimens.iter().enumerate() {
        let before = kind.specimens.iter().take(at);
        let twice = before.filter(|(_, other)| specimen.log.is_some() && paths(other) == paths(specimen));
        for (other, _) in twice {
            let path = specimen.log.as_ref();
            let says = format!("`{name}` has the log of `{other}`");
            let problem = Problem::new(path.map_or(0..0, |path| path.at.clone()), says);
            problems.push(problem.instead("each specimen was pulled once, and has a log of its own"));
        }
        let log = match &specimen.log {
            None => None,
            Some(path) => {
                let log = asked(specimen).and_then(|asked| {
                    let opened = open(&path.value).map_err(|error| error.to_string())?;
                    read(opened, &asked).map_err(|error| format!("{}: {error}", path.value))
                });
                match log {
                    Ok(log) => {
                        let force_n = log.force_n.iter().map(|force_n| force_n.to_bits());
                        let print: Vec<u32> = force_n.step_by(log.force_n.len().div_ceil(PRINT)).collect();
                        if let Some((other, _)) = prints.iter().find(|(_, known)| *known == print) {
                            let says = format!("the log of `{name}` holds what that of `{other}` does");
                            let problem = Problem::new(path.at.clone(), says);
                            problems.push(
                                problem.instead("each specimen was pulled once, and has a log of its own"),
                            );
                        }
                        prints.push((name, print));
                        Some((path.value.as_str(), log))
                    }
                    Err(says) => {
                        problems.push(Problem::new(path.at.clone(), says));
                        continue;
                    }
                }
            }
        };
        let mut told = answer(specimen, log.as_ref().map(|(path, log)| (*path, log)), of);
        if let Some((_, log)) = &log {
            let shape = Shape::of(log);
            let twin = shapes.iter().find(|(_, other)| shape.is_of_one_pull(other));
            told.doubts.extend(twin.map(|(other, _)| {
                format!("its log reads as that of `{other}` does, from beginning to end: a pull counts once")
            }));
            shapes.push((name, shape));
        }
        found.insert(name.clone(), told);
    }
    found
}

fn comparison(kinds: &IndexMap<String, KindAnswer>, asked: (Level, Style)) -> Option<Comparison> {
    let [(a, first), (b, second)] = [kinds.get_index(0)?, kinds.get_index(1)?];
    compared([a, b], [first, second], asked)
}

/// Lists who, when, where and with what.
fn about(series: &Series, style: Style) -> Vec<String> {
    let style = style.in_sentences();
    let mut told: Vec<String> = series
        .about
        .iter()
        .map(|(key, says)| format!("{}: {says}", key.replace('_', " ")))
        .collect();
    let print = |what: &str, kind: Unit, value: Option<f64>| {
        value.map(|value| format!("{what} {}", kind.print(value, style)))
    };
    let machine = &series.machine;
    let parts = [
        machine.what.clone(),
        print("up to", Unit::Force, machine.capacity_n),
        print("stroke", Unit::Length, machine.stroke_m),
        print("stiffness", Unit::Stiffness, machine.stiffness_n_per_m),
        print("pins", Unit::Length, machine.pin_m),
    ];
    told.extend(joined("machine", parts));
    let cell = &series.cell;
    let parts = [
        cell.what.clone(),
        print("up to", Unit::Force, cell.capacity_n),
        cell.uncertainty
            .map(|share| format!("within {:.2} %", 100.0 * share)),
        cell.calibrated.as_ref().map(|day| format!("calibrated {day}")),
        cell.document.clone(),
    ];
    told.extend(joined("cell", parts));
    told.extend(print("temperature:", Unit::Temperature, series.temperature_k));
    told
}

fn joined(what: &str, parts: impl IntoIterator<Item = Option<String>>) -> Option<String> {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| format!("{what}: {}", parts.join(", ")))
}

/// Says where the calibration of the cell does not go with the day of the pulls.
fn calibration(series: &Series) -> Option<String> {
    let pulled_on = series.about.iter().find(|(key, _)| *key == "pulled_on");
    calibrated(
        series.cell.calibrated.as_deref(),
        pulled_on.map(|(_, day)| day.as_str()),
    )
}

/// The temperatures at which the test of ropes is pulled, K: ISO 3108 as told elsewhere.
const USUAL_K: std::ops::RangeInclusive<f64> = 283.15..=308.15;
/// Rope that is shorter than so many of its diameters between its ends is not free of them (ISO 3108, from memory).
const FREE_DIAMETERS: f64 = 30.0;

/// Says what the tests say nothing of, and what a reader would miss.
fn remarks(series: &Series, kinds: &IndexMap<String, KindAnswer>) -> Vec<String> {
    let mut told = vec![
        "slow pulls of new specimens say nothing of vibration, creep, weather and time, nor of lines that are made up by other hands or tools"
            .to_string(),
        "tests never raise a rating, and never rate a part that has none".to_string(),
    ];
    let missing = [
        (series.cell.calibrated.is_none(), "when the cell was calibrated"),
        (series.cell.uncertainty.is_none(), "how far the cell may be off"),
        (
            series.about.iter().all(|(key, _)| *key != "pulled_on"),
            "when they were pulled",
        ),
        (
            series.about.iter().all(|(key, _)| *key != "pulled_by"),
            "who pulled them",
        ),
        (
            series.about.iter().all(|(key, _)| *key != "made_by"),
            "who made them up",
        ),
    ];
    let missing: Vec<&str> = missing
        .into_iter()
        .filter(|(is, _)| *is)
        .map(|(_, what)| what)
        .collect();
    if !missing.is_empty() {
        told.push(format!("the document does not say {}", missing.join(", ")));
    }
    told.extend(calibration(series));
    if series
        .temperature_k
        .is_some_and(|kelvin| !USUAL_K.contains(&kelvin))
    {
        told.push("it was colder or warmer than the 10 to 35 degC of the test of ropes (ISO 3108, as told elsewhere)".to_string());
    }
    for (name, kind) in kinds {
        if kind.modes.len() > 1 {
            let modes: Vec<String> = kind
                .modes
                .iter()
                .map(|mode| format!("{} ({})", mode.mode, mode.n))
                .collect();
            told.push(format!(
                "`{name}` failed in several ways: {}; that is a mixture, of which no one mean and scatter tell, and each way has a strength of its own",
                modes.join(", ")
            ));
        }
        if kind
            .specimens
            .values()
            .any(|specimen| specimen.mode_from.is_empty())
        {
            told.push(format!("of some specimens of `{name}` nobody says how they failed: look at each, and write it down (`saw`)"));
        }
        let unsure: Vec<&str> = kind
            .specimens
            .iter()
            .filter(|(_, specimen)| specimen.leaves_open())
            .map(|(name, _)| name.as_str())
            .collect();
        if !unsure.is_empty() {
            told.push(format!(
                "only their logs say that these of `{name}` did not fail, and a rope that is pulled out slowly looks the same: {}; nothing is shown until \
                 somebody writes down how they ended (`saw`)",
                unsure.join(", ")
            ));
        }
        let aside: Vec<&str> = kind
            .specimens
            .iter()
            .filter(|(_, specimen)| specimen.set_aside.is_some())
            .map(|(name, _)| name.as_str())
            .collect();
        if !aside.is_empty() {
            told.push(format!(
                "set aside of `{name}`: {}; results are told with and without",
                aside.join(", ")
            ));
        }
    }
    told
}

/// Says which share and confidence limits are for, where nobody does.
pub(crate) fn assumed_level(series: &Series) -> Option<String> {
    let says = "limits for 99 % of all such lines, right 95 times out of 100 (say `share`, `confidence`)";
    series.level.is_none().then(|| says.to_string())
}

fn defaults(series: &Series) -> Vec<String> {
    let mut told: Vec<String> = assumed_level(series).into_iter().collect();
    for (name, kind) in &series.kinds {
        if kind.claim.is_none() {
            told.push(format!(
                "claim of `{name}`: what the maker of `{}` states",
                kind.tests.value
            ));
        }
        if kind.breaking.is_none() {
            told.push(format!(
                "breaking force of the rope of `{name}`: that of the parts book"
            ));
        }
        if kind.own.is_none() {
            told.push(format!(
                "what the rope of `{name}` itself breaks at is not known, so shares are of the published breaking force, which ropes usually beat"
            ));
        }
    }
    told
}

/// Tells whether the rope between the ends of a specimen is long enough, by its diameter; none where one of both is not known.
fn is_long_enough(kind: &Kind, makeup: &Makeup) -> Option<bool> {
    Some(kind.rope_length_m? >= free_length_m(makeup)?)
}

/// Gives how long the rope between the ends of a specimen is at the least, m.
pub(crate) fn free_length_m(makeup: &Makeup) -> Option<f64> {
    let (_, rope) = makeup.rope()?;
    Some(FREE_DIAMETERS * rope.diameter_m.value())
}
