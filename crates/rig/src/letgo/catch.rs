//! What secondary lines catch, in the words of the rules.
//!
//! Conventions: SI.
//! Assumes: it is followed without damping, at the stated stiffness and a fifth more, which catches harder.
//! Valid for: loads on which secondary lines bear; of several loads on the same lines all fall together.
//! Source: docs/theory/motion.md; free fall h = g t² / 2.
//! Checked by: tests/main/in_time.rs.

use crate::defaults::Defaults;
use crate::letgo::answer::{LetGoCase, Outcome};
use crate::letgo::case::case;
use crate::letgo::event::Event;
use crate::letgo::on_the_way::{not_found, on_the_way};
use crate::letgo::run::{Ran, run_proved};
use crate::letgo::scene::{Scenery, Standing, Ways};
use motion::GRAVITY_M_PER_S2;
use practice::{Catch, EndAt, Facts, LineFacts, LoadFacts, OnTheWay, PeakOf, Role};
use quantity::Kind;
use rayon::prelude::*;
use working::{Number, Source};

/// A catch is over after this, seconds.
const CATCH_S: f64 = 2.5;

/// Says of every load with secondary lines how these catch it: if all lines to the building let go, and if any other line of it does.
pub(crate) fn follow_catches(facts: &mut Facts, standing: Standing<'_>) {
    let asked: Vec<(usize, Vec<String>)> = (0..facts.loads.len())
        .map(|load| (load, catching(facts, &facts.loads[load])))
        .filter(|(load, by)| !by.is_empty() && facts.loads[*load].falls.is_none())
        .collect();
    if asked.is_empty() {
        return;
    }
    let scenery = Scenery::new(
        standing,
        (Ways::Undamped, Some(CATCH_S)),
        &mut Defaults::default(),
    );
    for (index, by) in asked {
        let load = &facts.loads[index];
        let caught: Vec<Catch> = sets(facts, load)
            .into_par_iter()
            .map(|gone| match &scenery {
                Ok(scenery) => catch(scenery, load, gone, by.clone()),
                Err(error) => unknown(gone, by.clone(), error.to_string()),
            })
            .collect();
        facts.loads[index].caught = caught;
    }
}

/// Lists the secondary lines that are fastened to a load; those that bear on it where they are fastened to no load at all.
fn catching(facts: &Facts, load: &LoadFacts) -> Vec<String> {
    let on = |line: &LineFacts, whose: &dyn Fn(&str) -> bool| {
        line.ends
            .iter()
            .any(|end| matches!(end, EndAt::Pick(own, _) if whose(own)))
    };
    let secondary = facts
        .lines
        .iter()
        .filter(|line| line.role == Role::Secondary && line.loads.contains(&load.name));
    let catch = secondary.filter(|line| on(line, &|own| own == load.name) || !on(line, &|_| true));
    catch.map(|line| line.name.clone()).collect()
}

/// Lists what lets go: all lines that lead from the building to what bears on the load, and each line of it alone.
fn sets(facts: &Facts, load: &LoadFacts) -> Vec<Vec<String>> {
    let ordinary = facts
        .lines
        .iter()
        .filter(|line| line.role != Role::Secondary && line.loads.contains(&load.name));
    let to_building = |line: &&LineFacts| line.ends.iter().any(|end| matches!(end, EndAt::Point(_)));
    let own = |line: &&LineFacts| {
        line.ends
            .iter()
            .any(|end| matches!(end, EndAt::Pick(own, _) if *own == load.name))
    };
    let all: Vec<String> = ordinary
        .clone()
        .filter(to_building)
        .map(|line| line.name.clone())
        .collect();
    let alone = ordinary.filter(|line| line.lifts && (to_building(line) || own(line)));
    let alone: Vec<Vec<String>> = alone.map(|line| vec![line.name.clone()]).collect();
    let mut sets = vec![all];
    for one in alone {
        if !sets.contains(&one) {
            sets.push(one);
        }
    }
    sets.retain(|gone| !gone.is_empty());
    sets
}

fn catch(scenery: &Scenery<'_>, load: &LoadFacts, gone: Vec<String>, by: Vec<String>) -> Catch {
    let event = Event::of_lines(scenery.plain.model, &gone);
    let ran: Vec<Ran> = scenery
        .ways
        .iter()
        .map(|way| run_proved(scenery, &event, *way, None))
        .collect();
    let hardest = |ran: &Ran| {
        let peaks = ran
            .followed()
            .and_then(|followed| followed.motion.as_ref())
            .map(|motion| &motion.lines);
        peaks
            .into_iter()
            .flatten()
            .map(|peak| peak.force_n)
            .fold(0.0, f64::max)
    };
    // What falls, or parts, is worse than any pull.
    let lost = |ran: &Ran| {
        ran.followed().is_some_and(|followed| {
            !followed.falls.is_empty()
                || followed
                    .motion
                    .as_ref()
                    .is_some_and(|motion| !motion.parted.is_empty())
        })
    };
    let worse = |a: &&Ran, b: &&Ran| {
        lost(a)
            .cmp(&lost(b))
            .then_with(|| hardest(a).total_cmp(&hardest(b)))
    };
    let Some(worst) = ran.iter().max_by(worse) else {
        return unknown(gone, by, "nothing was followed".into());
    };
    let told = case(scenery, &event, &ran, worst);
    if told.loads.get(&load.name).is_some_and(|load| load.falls) {
        let why = worst
            .followed()
            .map(|followed| followed.why.clone())
            .unwrap_or_default();
        let unknown = unknown(gone, by, String::new());
        return Catch {
            on_the_way: OnTheWay {
                not_found: None,
                falls: Some(why),
                parts: told.parted,
                ..unknown.on_the_way
            },
            ..unknown
        };
    }
    if told.outcome == Outcome::NotKnown {
        return unknown(gone, by, told.says);
    }
    caught(scenery, load, worst, &told, gone, by)
}

fn caught(
    scenery: &Scenery<'_>,
    load: &LoadFacts,
    worst: &Ran,
    told: &LetGoCase,
    gone: Vec<String>,
    by: Vec<String>,
) -> Catch {
    let model = scenery.plain.model;
    let way = on_the_way(scenery.plain, told, &gone, &load.name);
    let peak_of = |name: &String| {
        let peak = way
            .peaks
            .iter()
            .find(|peak| peak.of == PeakOf::Line && peak.name == *name);
        peak.map_or(0.0, |peak| peak.peak_n.value())
    };
    let hardest = by
        .iter()
        .max_by(|a, b| peak_of(a).total_cmp(&peak_of(b)))
        .cloned()
        .unwrap_or_default();
    let starts = by.iter().filter_map(|name| {
        let line = model.lines.get_index_of(name)?;
        worst.followed()?.motion.as_ref()?.pulls_from_s[line]
    });
    let from_s = starts.fold(f64::INFINITY, f64::min);
    let from_s = if from_s.is_finite() { from_s } else { 0.0 };
    let law = || Source::mechanics("followed in time until the first secondary line pulls: h = g t² / 2");
    let given = |what: String, symbol: &str, kind: Kind, value: f64, source: Source| {
        Number::given(what, symbol, kind, value, source)
    };
    let fall_m = 0.5 * GRAVITY_M_PER_S2 * from_s * from_s;
    let line = model.lines.get(&hardest);
    let stiffness = line.map_or(0.0, |line| line.stiffness_n.value() / line.length_m.value());
    Catch {
        fall_m: given(
            format!("fall of `{}` before a secondary line pulls", load.name),
            "h",
            Kind::Length,
            fall_m,
            law(),
        ),
        stiffness_n_per_m: given(
            format!("stiffness of `{hardest}`"),
            "k",
            Kind::Stiffness,
            stiffness,
            Source::mechanics("EA over unloaded length"),
        ),
        energy_j: given(
            format!("energy that `{}` brings until it is lowest", load.name),
            "E",
            Kind::Energy,
            load.weight_n.value() * way.drops_m,
            Source::mechanics("weight times the greatest drop of its centre"),
        ),
        hardest,
        on_the_way: way,
        gone,
        by,
    }
}

/// A catch of which nothing is known but why.
fn unknown(gone: Vec<String>, by: Vec<String>, why: String) -> Catch {
    let none = |kind: Kind| Number::given("not found", "-", kind, 0.0, Source::mechanics("not found"));
    Catch {
        gone,
        by,
        fall_m: none(Kind::Length),
        stiffness_n_per_m: none(Kind::Stiffness),
        hardest: String::new(),
        energy_j: none(Kind::Energy),
        on_the_way: not_found(why),
    }
}
