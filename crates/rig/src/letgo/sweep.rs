//! From a rig document to what happens when any part of it lets go.

use crate::check::{CheckError, Judged, prepared};
use crate::document::Rig;
use crate::found::Found;
use crate::letgo::answer::{LetGoAnswer, LetGoCase, LetGoWay, Outcome};
use crate::letgo::case::{Gravity, NEAR_M, case, gravity, ways};
use crate::letgo::event::{Event, What, events};
use crate::letgo::off::follow_off;
use crate::letgo::run::{Followed, Ran, run, run_proved, traced};
use crate::letgo::scene::{Scenery, Standing, Way, Ways};
use crate::model::Model;
use motion::Motion;
use parts::Book;
use practice::{Practices, cautions};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What of a rig lets go, where not everything is asked about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Which {
    /// A line by name.
    Line(String),
    /// A point by name.
    Point(String),
    /// A junction by name.
    Junction(String),
}

/// What is asked about letting go.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LetGoQuestion {
    /// What lets go; everything, each by itself, if none.
    pub which: Option<Which>,
    /// The one ratio of damping to take, at the stated stiffness alone; a range of both if none.
    pub damping_ratio: Option<f64>,
    /// For how long motions are followed, s; as long as the longest pendulum swings once if none.
    pub seconds: Option<f64>,
    /// How often the time history of the first case is kept, s; not at all if none.
    pub trace_every_s: Option<f64>,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum LetGoError {
    /// The rig can not be checked.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// There is nothing of that name.
    #[error("there is no {section} `{name}` that something hangs on")]
    NoSuch {
        /// What kind of thing was asked for.
        section: &'static str,
        /// Its name.
        name: String,
        /// The names that there are.
        known: Vec<String>,
    },
}

/// A time history with what its columns are.
#[derive(Debug, Clone)]
pub struct History {
    /// What each column is, with its unit.
    pub columns: Vec<String>,
    /// One row for each moment.
    pub rows: Vec<Vec<f64>>,
}

/// Finds what happens when parts of a rig let go, its cases and stages apart.
///
/// `done` is told how many runs of how many are done.
pub fn letgo(
    text: &str,
    book: &Book,
    practices: &Practices,
    today: Option<&str>,
    question: &LetGoQuestion,
    done: &(dyn Fn(usize, usize) + Sync),
) -> Result<(LetGoAnswer, Option<History>), LetGoError> {
    let (means, rig) = prepared(text, book, practices, today)?;
    let plain = means.plain(&rig)?;
    let events = asked(events(&rig, &plain.model, &plain.facts), question.which.as_ref())?;
    let mut answer = blank(&rig, &plain);
    let Found::Hangs(rest) = &plain.found else {
        if let Found::Falls(fall) = &plain.found {
            answer.why_not.clone_from(&fall.why);
        }
        return Ok((answer, None));
    };
    let mut defaults = plain.defaults.clone();
    let ways = question.damping_ratio.map_or(Ways::All, Ways::One);
    let asked = (ways, question.seconds);
    let standing = Standing {
        rig: &rig,
        model: &plain.model,
        rest,
        facts: &plain.facts,
        measured: &plain.judgement.measured,
    };
    let scenery = Scenery::new(standing, asked, &mut defaults).map_err(CheckError::from)?;
    if question.damping_ratio.is_none() {
        defaults.assume(
            "damping of lines unknown: several ratios of it are tried, none among them",
            "",
        );
    }
    answer.defaults = defaults.sentences();
    answer.seconds = scenery.seconds;
    for way in &scenery.ways {
        if !answer.damping_ratios.contains(&way.ratio) {
            answer.damping_ratios.push(way.ratio);
        }
    }
    let told = |way: &Way| LetGoWay {
        damping_ratio: way.ratio,
        stiffness: scenery.at[way.at].stiffness,
        away: scenery.at[way.at].away.clone(),
        off_centre: scenery.at[way.at].is_off,
        longer: way.is_long,
    };
    // Directions are not told apart.
    answer.ways = scenery.ways.iter().chain(scenery.off.first()).map(told).collect();
    let there = scenery.at.iter().filter(|at| at.away.is_none() && !at.is_off);
    answer.stiffnesses = there.map(|at| at.stiffness).collect();
    let (cases, decide) = sweep(&scenery, &events, done);
    answer.positioning_only = positioning_only(&scenery, &plain, &cases);
    answer.worst = worst(&cases);
    let history = question.trace_every_s.and_then(|every_s| {
        let (event, shown) = (events.first()?, decide.first()?);
        history(&scenery, event, shown, every_s)
    });
    answer.cases = cases;
    Ok((answer, history))
}

/// The run that decides a case: in which way, for how long, and at which tolerance.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shown {
    way: Way,
    motion: Option<(f64, f64)>,
}

/// A grip that slips and catches again loses nothing that is lost without it: what falls only since all others are gone is another event.
fn without_strangers(event: &Event, ways: Vec<Ran>) -> Vec<Ran> {
    let is_strange = |ran: &Ran| {
        let falls = |followed: &Followed| !followed.falls_at_once.is_empty();
        event.longer_m.is_some() && ran.way.without_grips && ran.followed().is_some_and(falls)
    };
    if ways.iter().all(is_strange) {
        return ways;
    }
    ways.into_iter().filter(|ran| !is_strange(ran)).collect()
}

/// Follows all events in all ways; gives the cases, and the run that decides each.
pub(crate) fn sweep(
    scenery: &Scenery<'_>,
    events: &[Event],
    done: &(dyn Fn(usize, usize) + Sync),
) -> (Vec<LetGoCase>, Vec<Shown>) {
    // What is alike is followed once.
    let first: Vec<usize> = (0..events.len())
        .map(|at| {
            (0..at)
                .find(|before| events[*before].is_alike(&events[at]))
                .unwrap_or(at)
        })
        .collect();
    let distinct: Vec<usize> = (0..events.len()).filter(|at| first[*at] == *at).collect();
    let tasks: Vec<(usize, Way)> = distinct
        .iter()
        .flat_map(|at| ways(scenery, &events[*at]).into_iter().map(move |way| (*at, way)))
        .collect();
    let (count, total) = (AtomicUsize::new(0), tasks.len() + distinct.len());
    let step = || done(count.fetch_add(1, Ordering::Relaxed) + 1, total);
    let ran: Vec<(usize, Ran)> = tasks
        .into_par_iter()
        .map(|(at, way)| {
            let ran = run(scenery, &events[at], way);
            step();
            (at, ran)
        })
        .collect();
    let mut by_event: Vec<Vec<Ran>> = distinct.iter().map(|_| Vec::new()).collect();
    for (at, one) in ran {
        let place = distinct.iter().position(|own| *own == at).unwrap_or(0);
        by_event[place].push(one);
    }
    let found: Vec<(LetGoCase, Shown)> = distinct
        .par_iter()
        .zip(by_event)
        .map(|(at, ways)| {
            let at = *at;
            let event = &events[at];
            let off = follow_off(scenery, event, &ways);
            let ways = ways.into_iter().chain(off).collect();
            let mut ways = without_strangers(event, ways);
            let decides = prove(scenery, event, &mut ways);
            step();
            let decides = &ways[decides];
            let history = Shown {
                way: decides.way,
                motion: decides
                    .followed()
                    .and_then(|followed| followed.motion.as_ref())
                    .map(|motion| (motion.seconds, motion.tolerance)),
            };
            (case(scenery, event, &ways, decides), history)
        })
        .collect();
    let all = events.iter().enumerate().map(|(at, event)| {
        let place = distinct.iter().position(|own| *own == first[at]).unwrap_or(0);
        let (case, shown) = &found[place];
        let alike = (first[at] != at).then(|| events[first[at]].what.path());
        let case = LetGoCase {
            lets_go: event.what.path(),
            parts: event.parts.clone(),
            alike,
            ..case.clone()
        };
        (case, *shown)
    });
    all.unzip()
}

/// What is used more by so little is no worse.
const NO_WORSE: f64 = 1e-3;

/// Proves the way that decides: the worst of all ways is followed closely, and what is worst then, until it is one that was. Gives which.
///
/// Where only the beginning of a way can be proved, and that is milder than what it came to at first, what it came to stands.
fn prove(scenery: &Scenery<'_>, event: &Event, ways: &mut [Ran]) -> usize {
    let mut gravities: Vec<Gravity> = ways.iter().map(|ran| gravity(scenery, ran)).collect();
    loop {
        let worse = |a: &usize, b: &usize| {
            let (a, b) = (gravities[*a], gravities[*b]);
            let (more_used, pulls_harder) = (b.1 > a.1 * (1.0 + NO_WORSE), b.2 > a.2 * (1.0 + NO_WORSE));
            let alike = b.1 <= 0.0 || b.1.is_infinite() && a.1.is_infinite();
            b.0 > a.0 || b.0 == a.0 && (more_used || alike && pulls_harder)
        };
        let tried = (0..ways.len()).filter(|way| ways[*way].is_tried);
        let tried = tried.reduce(|worst, next| if worse(&worst, &next) { next } else { worst });
        let untried = (0..ways.len()).filter(|way| !ways[*way].is_tried);
        let untried = untried.reduce(|worst, next| if worse(&worst, &next) { next } else { worst });
        let next = match (tried, untried) {
            (Some(tried), Some(untried)) if worse(&tried, &untried) => untried,
            (Some(tried), _) => return tried,
            (None, Some(untried)) => untried,
            (None, None) => return 0,
        };
        let close = run_proved(scenery, event, &ways[next]);
        let of_close = gravity(scenery, &close);
        let is_milder = of_close < gravities[next];
        match close.followed() {
            Some(followed) if is_milder && is_cut_short(followed, &ways[next]) => {
                let (proved_s, differ) = (followed.proved_s, followed.peaks_differ);
                ways[next].is_tried = true;
                if let Some(first) = ways[next].followed_mut() {
                    (first.proved_s, first.peaks_differ) = (proved_s, differ);
                }
            }
            _ => {
                ways[next] = close;
                gravities[next] = of_close;
            }
        }
    }
}

/// Tells whether only the beginning of what a way came to at first was proved.
fn is_cut_short(close: &Followed, first: &Ran) -> bool {
    let first = first.followed().and_then(|first| first.motion.as_ref());
    let proved = close.proved_s.zip(first);
    proved.is_some_and(|(proved_s, first)| proved_s < 0.999 * first.seconds)
}

fn asked(events: Vec<Event>, which: Option<&Which>) -> Result<Vec<Event>, LetGoError> {
    let Some(which) = which else { return Ok(events) };
    let (section, wanted) = match which {
        Which::Line(name) => ("line", What::Line(name.clone())),
        Which::Point(name) => ("point", What::Point(name.clone())),
        Which::Junction(name) => ("junction", What::Junction(name.clone())),
    };
    let name_of = |what: &What| match (what, which) {
        (What::Line(name), Which::Line(_))
        | (What::Point(name), Which::Point(_))
        | (What::Junction(name), Which::Junction(_)) => Some(name.clone()),
        _ => None,
    };
    let known = events.iter().filter_map(|event| name_of(&event.what)).collect();
    let slips = match which {
        Which::Line(name) => Some(What::Slip(name.clone())),
        Which::Point(_) | Which::Junction(_) => None,
    };
    let is_asked = |event: &Event| event.what == wanted || Some(&event.what) == slips.as_ref();
    let found: Vec<Event> = events.into_iter().filter(is_asked).collect();
    if found.is_empty() {
        let (Which::Line(name) | Which::Point(name) | Which::Junction(name)) = which;
        return Err(LetGoError::NoSuch {
            section,
            name: name.clone(),
            known,
        });
    }
    Ok(found)
}

fn blank(rig: &Rig, plain: &Judged) -> LetGoAnswer {
    let verdict = &plain.verdict;
    LetGoAnswer {
        plimsoll: verdict.plimsoll.clone(),
        rig: verdict.rig.clone(),
        practice: verdict.practice.clone(),
        why_not: String::new(),
        seconds: 0.0,
        damping_ratios: Vec::new(),
        stiffnesses: Vec::new(),
        ways: Vec::new(),
        worst: None,
        positioning_only: Vec::new(),
        cases: Vec::new(),
        under: plain
            .facts
            .loads
            .iter()
            .map(|load| (load.name.clone(), load.under.words().to_string()))
            .collect(),
        defaults: Vec::new(),
        simplified: simplified(rig, plain),
        cautions: cautions().iter().map(ToString::to_string).collect(),
    }
}

/// Says what the mechanics leave out here.
fn simplified(rig: &Rig, plain: &Judged) -> Vec<String> {
    let model = &plain.model;
    let mut told = Vec::new();
    if !rig.cases.is_empty() || !rig.stages.is_empty() {
        told.push("cases and stages are not followed, the rig as it stands alone is".to_string());
    }
    let sags = plain
        .found
        .solution()
        .is_some_and(|rest| rest.lines.iter().any(|line| line.sag_m.is_some()));
    if sags {
        told.push("lines that sag are followed as straight".into());
    }
    if plain
        .facts
        .loads
        .iter()
        .any(|load| load.service == practice::Service::Moving || load.dynamic.is_some())
    {
        told.push("loads that move are followed from rest, and peaks are without `dynamic`".into());
    }
    if model.loads.values().any(|load| load.pipe.is_some()) {
        told.push(
            "pipes bend in their slowest shapes in each plane; thrust and pull along them on the way are not judged".into(),
        );
    }
    let stiff = rig.loads.iter().filter(|(_, load)| {
        let pipe = load.pipe.as_ref();
        pipe.is_some_and(|pipe| pipe.built_in == [true, true])
    });
    let stiff: Vec<&str> = stiff.map(|(name, _)| name.as_str()).collect();
    if !stiff.is_empty() {
        told.push(format!(
            "built in at both ends, so followed as if stiff: {}; what bends them is what bends them at rest in the end, raised by the greatest \
             ratio of a line's peak to what it then has, and twice the change at the least",
            stiff.join(", ")
        ));
    }
    if model
        .topology
        .lines()
        .any(|line| model.topology.path(line).len() > 2)
    {
        told.push("lines run over sheaves without friction".into());
    }
    told
}

/// Lists the lines with adjustable grips if they only set an angle or a height: without each and without all of them everything stays
/// within its working loads and where it may be, and no rule on them stops anything.
fn positioning_only(scenery: &Scenery<'_>, plain: &Judged, cases: &[LetGoCase]) -> Vec<String> {
    let name = |line: &usize| {
        scenery
            .plain
            .model
            .lines
            .get_index(*line)
            .map(|(name, _)| name.clone())
    };
    let gripped: Vec<String> = scenery.grips.iter().filter_map(name).collect();
    let paths = gripped.iter().map(|name| format!("lines.{name}"));
    let all = (gripped.len() > 1).then(|| What::Grips.path());
    let needed: Vec<String> = paths.chain(all).collect();
    // Lines that catch do not make up for what let go.
    let catches = |case: &LetGoCase| {
        let secondary = scenery
            .plain
            .facts
            .lines
            .iter()
            .filter(|line| line.role == practice::Role::Secondary);
        secondary
            .filter_map(|line| case.lines.get(&line.name))
            .any(|line| line.ratio.is_none() && line.use_at_peak.is_none_or(|used| used > 0.01))
    };
    let stays = |path: &String| {
        cases.iter().any(|case| {
            let held = case.outcome == Outcome::Held && case.lands.is_empty();
            case.lets_go == *path && held && within(scenery, case) && !catches(case)
        })
    };
    // What the rules refuse outright is nothing, whatever it does.
    let refused = plain.verdict.findings.iter().any(|finding| {
        REFUSE.contains(&finding.rule.as_str()) && finding.severity == practice::Severity::Stop
    });
    if !refused && !gripped.is_empty() && needed.iter().all(stays) {
        gripped
    } else {
        Vec::new()
    }
}

/// The rules that a stop of leaves no adjustable grip positioning only: on the grips themselves, and on what is left without them.
const REFUSE: [&str; 7] = [
    "grip-service",
    "grip-document",
    "unrated",
    "rope-accepted",
    "grip-remaining",
    "grip-sole-support",
    "grip-on-the-way",
];

/// Tells whether all loads stay where they may.
fn within(scenery: &Scenery<'_>, case: &LetGoCase) -> bool {
    scenery.plain.rig.loads.iter().all(|(name, load)| {
        let moves_m = case.loads.get(name).and_then(|load| load.moves_m);
        load.may_move_m
            .is_some_and(|most_m| moves_m.is_some_and(|moves_m| moves_m <= most_m + NEAR_M))
    })
}

fn worst(cases: &[LetGoCase]) -> Option<String> {
    let most = |case: &LetGoCase| case.use_at_peak.unwrap_or(0.0);
    // What ends on the floor is as grave however it comes there.
    let grave = |case: &LetGoCase| {
        if case.falls.is_empty() && case.lands.is_empty() {
            case.outcome
        } else {
            Outcome::Falls
        }
    };
    // Of what is held, what goes further than it may is worse.
    let far = |case: &LetGoCase| case.outcome == Outcome::Held && !case.too_far.is_empty();
    let worse = |a: &&LetGoCase, b: &&LetGoCase| {
        let by_use = || most(a).total_cmp(&most(b));
        grave(a)
            .cmp(&grave(b))
            .then_with(|| far(a).cmp(&far(b)))
            .then_with(by_use)
    };
    // Of those alike the first.
    let worst = cases.iter().rev().max_by(worse)?;
    Some(worst.lets_go.clone())
}

/// Gives the time history of an event in the way that decides it.
fn history(scenery: &Scenery<'_>, event: &Event, shown: &Shown, every_s: f64) -> Option<History> {
    let motion = traced(scenery, event, shown.way, (shown.motion?, every_s)).ok()??;
    let model = scenery.plain.model;
    // Tension is that of the middle of a line; at its upper end half of its weight comes on top.
    let lines = model
        .lines
        .keys()
        .map(|name| format!("lines.{name} tension at mid-length N"));
    let loads = model.loads.iter().flat_map(|(name, load)| {
        let path = load.path(name);
        ["x m", "y m", "z m", "tilt deg"].map(|what| format!("{path} {what}"))
    });
    let columns = std::iter::once("time s".to_string())
        .chain(lines)
        .chain(loads)
        .collect();
    Some(History {
        columns,
        rows: rows(model, &motion),
    })
}

fn rows(model: &Model, motion: &Motion) -> Vec<Vec<f64>> {
    let row = |sample: &motion::Sample| {
        let loads = model.loads.values().flat_map(|load| {
            let at_m = sample
                .state
                .centre_at_m(&model.topology, &model.parameters, load.frame);
            let tilt = crate::facts::tilt_of_rad(load, &sample.state).unwrap_or(f64::NAN);
            [at_m.x, at_m.y, at_m.z, tilt.to_degrees()]
        });
        std::iter::once(sample.at_s)
            .chain(sample.tension_n.iter().copied())
            .chain(loads)
            .collect()
    };
    motion.trace.iter().map(row).collect()
}
