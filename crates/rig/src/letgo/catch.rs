//! What secondary lines catch, in the words of the rules.
//!
//! Conventions: SI.
//! Assumes: all lines to the building that carry a load may let go at once.
//! Valid for: loads on which secondary lines bear; of several loads on the same lines all fall together.
//! Source: docs/theory/motion.md; free fall h = g t² / 2.
//! Checked by: tests/main/in_time.rs.

use crate::letgo::event::{Event, What};
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
    gone: Vec<String>,
    by: Vec<String>,
}

impl Asked {
    pub(crate) fn event(&self, model: &Model, facts: &Facts) -> Event {
        let what = What::Carrying(facts.loads[self.load].name.clone());
        Event::of_lines(model, what, &self.gone)
    }
}

/// Lists the catches of every load with secondary lines: if all lines to the building let go, and if any other line of it does.
pub(crate) fn catches(facts: &Facts) -> Vec<Asked> {
    let mut asked = Vec::new();
    for (load, told) in facts.loads.iter().enumerate() {
        let by = catching(facts, told);
        if by.is_empty() || told.falls.is_some() {
            continue;
        }
        let sets = sets(facts, told).into_iter();
        asked.extend(sets.map(|gone| Asked {
            load,
            gone,
            by: by.clone(),
        }));
    }
    asked
}

/// Says of every load with secondary lines how these catch it.
pub(crate) fn tell_catches(facts: &mut Facts, standing: Standing<'_>, asked: &[Asked], told: &[Told]) {
    for (asked, case) in asked.iter().zip(told) {
        let load = &facts.loads[asked.load];
        let way = on_the_way(standing, case, &asked.gone, &load.name);
        let caught = caught(standing, load, case, way, asked);
        facts.loads[asked.load].caught.push(caught);
    }
}

/// Lists the secondary lines that are fastened to a load; those that bear on it where they are fastened to no load at all.
pub(crate) fn catching(facts: &Facts, load: &LoadFacts) -> Vec<String> {
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

/// Lists the ordinary lines that bear on a load.
fn ordinary<'a>(facts: &'a Facts, load: &'a LoadFacts) -> impl Iterator<Item = &'a LineFacts> {
    let lines = facts.lines.iter();
    lines.filter(|line| line.role != Role::Secondary && line.loads.contains(&load.name))
}

fn leads_to_building(line: &LineFacts) -> bool {
    line.ends.iter().any(|end| matches!(end, EndAt::Point(_)))
}

/// Lists all lines that lead from the building to what bears on a load.
pub(crate) fn carrying(facts: &Facts, load: &LoadFacts) -> Vec<String> {
    let lines = ordinary(facts, load).filter(|line| leads_to_building(line));
    lines.map(|line| line.name.clone()).collect()
}

/// Lists what lets go: all lines that lead from the building to what bears on the load, and each line of it alone.
fn sets(facts: &Facts, load: &LoadFacts) -> Vec<Vec<String>> {
    let own = |line: &LineFacts| {
        let mut ends = line.ends.iter();
        ends.any(|end| matches!(end, EndAt::Pick(own, _) if *own == load.name))
    };
    let mut sets = vec![carrying(facts, load)];
    for line in ordinary(facts, load).filter(|line| line.lifts && (leads_to_building(line) || own(line))) {
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
    let starts = asked.by.iter().filter_map(|name| lines?.get(name)?.pulls_from_s);
    let from_s = starts.reduce(f64::min).unwrap_or(0.0);
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
        on_the_way: way,
        gone: asked.gone.clone(),
        by: asked.by.clone(),
    }
}
