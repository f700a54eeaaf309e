//! What secondary lines catch, in the words of the rules.
//!
//! Conventions: SI.
//! Assumes: all lines to the building that carry a load may let go at once.
//! Valid for: loads on which secondary lines bear; of several loads on the same lines all fall together.
//! Source: docs/theory/motion.md; free fall h = g t² / 2.
//! Checked by: tests/main/in_time.rs, tests/main/caught.rs.

use crate::document::Rig;
use crate::letgo::answer::Outcome;
use crate::letgo::case::NEAR_M;
use crate::letgo::event::{Event, What, events};
use crate::letgo::on_the_way::{Told, on_the_way};
use crate::letgo::scene::Standing;
use crate::model::Model;
use motion::GRAVITY_M_PER_S2;
use practice::{Catch, EndAt, Facts, LineFacts, LoadFacts, OnTheWay, PeakOf, Role};
use quantity::Kind;
use working::{Number, Source};

/// A catch that is asked about.
#[derive(Debug)]
pub(crate) struct Asked {
    /// The load, by its order.
    load: usize,
    pub(crate) event: Event,
    /// What lets go: lines by name, or the path of what lines end at or run over.
    gone: Vec<String>,
    by: Vec<String>,
}

/// Lists the catches of every load with secondary lines: if all lines to the building let go, if any other line of it does, and if anything
/// does at which one of its lines ends with others or over which one runs, its secondary lines among them.
pub(crate) fn catches(rig: &Rig, model: &Model, facts: &Facts) -> Vec<Asked> {
    let caught = |load: &LoadFacts| !load.without_carrying.is_empty();
    if !facts.loads.iter().any(caught) {
        return Vec::new();
    }
    let places: Vec<Event> = events(rig, model, facts)
        .into_iter()
        .filter(|event| matches!(event.what, What::Junction(_) | What::Point(_)))
        .collect();
    let mut asked = Vec::new();
    for (load, told) in facts.loads.iter().enumerate().filter(|(_, load)| caught(load)) {
        let by = catching(facts, told);
        let of_lines = told.without_carrying.iter().map(|(gone, _)| {
            let what = What::Carrying(told.name.clone());
            (Event::of_lines(model, what, gone), gone.clone())
        });
        let of_places = places
            .iter()
            .filter(|event| takes_several(model, facts, event, told));
        let of_places = of_places.map(|event| (event.clone(), vec![event.what.path()]));
        asked.extend(of_lines.chain(of_places).map(|(event, gone)| Asked {
            load,
            event,
            gone,
            by: by.clone(),
        }));
    }
    asked
}

/// Tells whether something takes more of what bears on a load than the end of one line.
fn takes_several(model: &Model, facts: &Facts, event: &Event, load: &LoadFacts) -> bool {
    let is_own = catches_its_own(facts, load);
    let bears = |line: &usize| {
        let line = facts
            .lines
            .get(*line)
            .filter(|line| line.loads.contains(&load.name));
        line.is_some_and(|line| !is_own || is_on(line, load))
    };
    let over = |line: usize| bears(&line) && event.frees_line(model, line);
    // Lines of several loads too: what they bring to what catches comes together.
    let ends = event.lines.len() > 1 && event.lines.iter().any(bears);
    ends || (0..model.lines.len()).any(over)
}

/// Tells whether a load hangs by something that lets go.
fn hangs_by(model: &Model, event: &Event, load: usize) -> bool {
    let Some((_, load)) = model.loads.get_index(load) else {
        return false;
    };
    let takes = |line: &usize| event.lines.contains(line) || event.frees_line(model, *line);
    model.lines_of(load).iter().any(takes)
}

/// Says how these catch, of every load with secondary lines and of every other that is moved by it.
pub(crate) fn tell_catches(facts: &mut Facts, standing: Standing<'_>, asked: &[Asked], told: &[Told]) {
    for (asked, case) in asked.iter().zip(told) {
        for index in 0..facts.loads.len() {
            let load = &facts.loads[index];
            // What hangs by what lets go is not there to be caught.
            let is_other = || goes(case, &load.name) && !hangs_by(standing.model, &asked.event, index);
            if index == asked.load || is_other() {
                let way = on_the_way(standing, case, &asked.gone, &load.name);
                let caught = caught(standing, load, case, way, asked);
                facts.loads[index].caught.push(caught);
            }
        }
    }
}

/// Tells whether a load is known to fall, or to go further than anybody speaks of.
fn goes(case: &Told, load: &str) -> bool {
    let known = case
        .as_ref()
        .ok()
        .filter(|case| case.outcome != Outcome::NotKnown);
    let told = known.and_then(|case| case.loads.get(load));
    told.is_some_and(|told| told.falls || told.moves_m.is_some_and(|moves_m| moves_m > NEAR_M))
}

/// Lists the secondary lines that are fastened to a load; those that bear on it where they are fastened to no load at all. One between two loads
/// is there for the lower of them.
pub(crate) fn catching(facts: &Facts, load: &LoadFacts) -> Vec<String> {
    let height_m = |name: &str| {
        let mut loads = facts.loads.iter();
        loads.find(|other| other.name == name).map(|other| other.height_m)
    };
    let is_for = |line: &LineFacts| {
        let picks = line.ends.iter().filter_map(|end| match end {
            EndAt::Pick(name, _) => Some(name),
            EndAt::Point(_) | EndAt::Junction(_) => None,
        });
        let picks: Vec<&String> = picks.collect();
        let is_lowest = |other: &&String| height_m(other).is_none_or(|other_m| other_m >= load.height_m);
        picks.is_empty() || picks.contains(&&load.name) && picks.iter().all(is_lowest)
    };
    let secondary = facts
        .lines
        .iter()
        .filter(|line| line.role == Role::Secondary && line.loads.contains(&load.name));
    secondary
        .filter(|line| is_for(line))
        .map(|line| line.name.clone())
        .collect()
}

/// Lists the ordinary lines that bear on a load.
fn ordinary<'a>(facts: &'a Facts, load: &'a LoadFacts) -> impl Iterator<Item = &'a LineFacts> {
    let lines = facts.lines.iter();
    lines.filter(|line| line.role != Role::Secondary && line.loads.contains(&load.name))
}

fn leads_to_building(line: &LineFacts) -> bool {
    line.ends.iter().any(|end| matches!(end, EndAt::Point(_)))
}

/// Lists all lines that lead from the building to what bears on a load; where its secondary lines lead to no place of the building themselves
/// they are there for its own lines, and these are listed.
pub(crate) fn carrying(facts: &Facts, load: &LoadFacts) -> Vec<String> {
    let is_own = catches_its_own(facts, load);
    let lines = ordinary(facts, load);
    let lines = lines.filter(|line| {
        if is_own {
            is_on(line, load)
        } else {
            leads_to_building(line)
        }
    });
    lines.map(|line| line.name.clone()).collect()
}

/// Tells whether a line ends at a load.
fn is_on(line: &LineFacts, load: &LoadFacts) -> bool {
    let mut ends = line.ends.iter();
    ends.any(|end| matches!(end, EndAt::Pick(own, _) if *own == load.name))
}

/// Tells whether all secondary lines of a load lead from it to other loads, on which it hangs.
fn catches_its_own(facts: &Facts, load: &LoadFacts) -> bool {
    let by = catching(facts, load);
    let lines = facts.lines.iter().filter(|line| by.contains(&line.name));
    let is_between = |line: &LineFacts| line.ends.iter().all(|end| matches!(end, EndAt::Pick(_, _)));
    lines.into_iter().all(is_between)
}

/// Lists what lets go of a load that secondary lines make up for, none where it has none: all lines that lead from the building to what bears
/// on the load, and each line of it alone.
pub(crate) fn caught_sets(facts: &Facts, load: &LoadFacts) -> Vec<Vec<String>> {
    if load.falls.is_some() || catching(facts, load).is_empty() {
        return Vec::new();
    }
    let is_own = catches_its_own(facts, load);
    let counts = |line: &LineFacts| is_on(line, load) || !is_own && leads_to_building(line);
    let mut sets = vec![carrying(facts, load)];
    for line in ordinary(facts, load).filter(|line| line.lifts && counts(line)) {
        let one = vec![line.name.clone()];
        if !sets.contains(&one) {
            sets.push(one);
        }
    }
    sets.retain(|gone| !gone.is_empty());
    sets
}

/// Says how a load is caught, from what happens on the way.
fn caught(standing: Standing<'_>, load: &LoadFacts, case: &Told, way: OnTheWay, asked: &Asked) -> Catch {
    let peak_of = |name: &String| {
        let mut peaks = way.peaks.iter();
        let peak = peaks.find(|peak| peak.of == PeakOf::Line && peak.name == *name);
        peak.map_or(0.0, |peak| peak.peak_n.value())
    };
    let known = !way.peaks.is_empty();
    let hardest = asked.by.iter().filter(|_| known);
    let hardest = hardest
        .max_by(|a, b| peak_of(a).total_cmp(&peak_of(b)))
        .cloned()
        .unwrap_or_default();
    let lines = case.as_ref().ok().map(|case| &case.lines);
    let starts = asked
        .by
        .iter()
        .filter_map(|name| Some((name.clone(), lines?.get(name)?.pulls_from_s?)));
    let starts: Vec<(String, f64)> = starts.collect();
    let from_s = starts
        .iter()
        .map(|(_, from_s)| *from_s)
        .reduce(f64::min)
        .unwrap_or(0.0);
    let line = standing.model.lines.get(&hardest);
    let stiffness = line.map_or(0.0, |line| line.stiffness_n.value() / line.length_m.value());
    let drops_m = if way.drops_m.is_finite() { way.drops_m } else { 0.0 };
    let given = |what: String, symbol: &str, kind: Kind, value: f64, how: &str| {
        Number::given(what, symbol, kind, value, Source::mechanics(how))
    };
    Catch {
        fall_m: given(
            format!("fall of `{}` before a secondary line pulls", load.name),
            "h",
            Kind::Length,
            0.5 * GRAVITY_M_PER_S2 * from_s * from_s,
            "followed in time until the first secondary line pulls: h = g t² / 2",
        ),
        stiffness_n_per_m: given(
            format!("stiffness of `{hardest}`"),
            "k",
            Kind::Stiffness,
            stiffness,
            "EA over unloaded length",
        ),
        energy_j: given(
            format!("energy that `{}` brings until it is lowest", load.name),
            "E",
            Kind::Energy,
            load.weight_n.value() * drops_m,
            "weight times the greatest drop of its centre",
        ),
        hardest,
        of: standing.facts.loads[asked.load].name.clone(),
        on_the_way: way,
        gone: asked.gone.clone(),
        by: asked.by.clone(),
        pulling: starts.into_iter().map(|(name, _)| name).collect(),
    }
}
