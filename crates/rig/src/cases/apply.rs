//! From a rig and one of its cases or stages to the rig that is in it.
//!
//! Conventions: SI, z up; everything stays in the order of the document.
//! Assumes: what acts in a case acts at once; each case that is combined counts once, by whatever way it comes in.
//! Valid for: cases and stages that were read without problems.
//! Source: the rig document's definitions.
//! Checked by: tests/main/cases.rs.

use super::document::{Acting, Case, Stage};
use super::wind::{Blown, blown};
use crate::document::{Applied, End, Item, Length, Line, Rig};
use indexmap::{IndexMap, IndexSet};

/// A rig as it is in a case or a stage.
#[derive(Debug)]
pub(crate) struct AsChanged {
    /// The rig, without cases of its own.
    pub(crate) rig: Rig,
    /// The temperature of lines and pipes, kelvin; none where it is that at which lengths are true.
    pub(crate) temperature_k: Option<f64>,
    /// The winds that act.
    pub(crate) winds: Vec<Blown>,
    /// Whether all of the rig is there, where it was drawn.
    pub(crate) is_whole: bool,
}

/// Lists the cases that act in a case, each once: those it combines, in order, and then itself.
pub(crate) fn members<'a>(rig: &'a Rig, name: &'a String) -> Vec<&'a String> {
    fn visit<'a>(rig: &'a Rig, name: &'a String, seen: &mut Vec<&'a String>, found: &mut Vec<&'a String>) {
        if seen.contains(&name) {
            return;
        }
        seen.push(name);
        for other in rig.cases.get(name).into_iter().flat_map(|case| &case.combines) {
            visit(rig, other, seen, found);
        }
        found.push(name);
    }
    let mut found = Vec::new();
    visit(rig, name, &mut Vec::new(), &mut found);
    found
}

/// Puts everything that acts in a case on the rig.
pub(crate) fn in_case(rig: &Rig, name: &String) -> AsChanged {
    let mut changed = AsChanged {
        rig: without_cases(rig),
        temperature_k: None,
        winds: Vec::new(),
        is_whole: true,
    };
    for member in members(rig, name) {
        if let Some(case) = rig.cases.get(member) {
            changed.act(member, case);
        }
    }
    changed
}

fn without_cases(rig: &Rig) -> Rig {
    Rig {
        cases: IndexMap::new(),
        stages: IndexMap::new(),
        ..rig.clone()
    }
}

impl AsChanged {
    fn act(&mut self, name: &str, case: &Case) {
        self.temperature_k = case.temperature_k.or(self.temperature_k);
        for force in &case.forces {
            self.pull(&force.what, &force.on, force.force_n);
        }
        for weight in &case.weights {
            match &weight.on {
                Acting::Load(load, at_m) => {
                    if let Some(load) = self.rig.loads.get_mut(load) {
                        load.added.push(Item {
                            what: weight.what.clone(),
                            count: 1,
                            weight_n: weight.weight_n,
                            at_m: *at_m,
                        });
                    }
                }
                Acting::Junction(_) => self.pull(&weight.what, &weight.on, [0.0, 0.0, -weight.weight_n]),
            }
        }
        if let Some(wind) = &case.wind {
            let blown = blown(name, wind, &self.rig);
            for push in &blown.pushes {
                let on = Acting::Load(push.load.clone(), push.at_m);
                self.pull(&push.what, &on, push.force_n());
            }
            self.winds.push(blown);
        }
    }

    fn pull(&mut self, what: &str, on: &Acting, force_n: [f64; 3]) {
        let (forces, at_m) = match on {
            Acting::Load(load, at_m) => (self.rig.loads.get_mut(load).map(|load| &mut load.forces), *at_m),
            Acting::Junction(name) => (
                self.rig.junctions.get_mut(name).map(|ring| &mut ring.forces),
                [0.0; 3],
            ),
        };
        if let Some(forces) = forces {
            forces.push(Applied {
                what: what.into(),
                force_n,
                at_m,
            });
        }
    }
}

/// Takes out of the rig what is not there in a stage.
pub(crate) fn in_stage(rig: &Rig, stage: &Stage) -> AsChanged {
    let mut changed = without_cases(rig);
    changed.loads.retain(|name, _| stage.hangs.contains(name));
    let before = bearing(rig);
    changed.lines.retain(|name, line| {
        leads_to_absent(line, &stage.hangs).is_none()
            && stage.lines.as_ref().is_none_or(|on| on.contains(name))
    });
    // What held only loads that are not there hangs on nothing, and waits on the ground.
    let bears = bearing(&changed);
    changed
        .lines
        .retain(|name, _| bears.contains(name) || !before.contains(name));
    let touched = |rig: &Rig| -> IndexSet<End> { rig.lines.values().flat_map(path).cloned().collect() };
    let (was, is) = (touched(rig), touched(&changed));
    let stays = |end: End| is.contains(&end) || !was.contains(&end);
    changed.points.retain(|name, _| stays(End::Point(name.clone())));
    changed
        .junctions
        .retain(|name, _| stays(End::Junction(name.clone())));
    for (name, length_m) in &stage.lengths_m {
        if let Some(line) = changed.lines.get_mut(name) {
            line.length = Length::Stated(*length_m);
        }
    }
    // What hangs elsewhere in this stage has its lines hauled to there.
    let elsewhere = |line: &Line| {
        path(line).any(|end| matches!(end, End::Pick(load, _) if stage.trim_m.contains_key(load)))
    };
    for (name, line) in &mut changed.lines {
        if matches!(line.length, Length::Found(_)) && elsewhere(line) && !stage.lengths_m.contains_key(name) {
            line.length = Length::ToTrim;
        }
    }
    for (name, at_m) in &stage.trim_m {
        if let Some(load) = changed.loads.get_mut(name) {
            load.trim.at_m = *at_m;
        }
    }
    let is_whole = changed.lines.len() == rig.lines.len()
        && changed.loads.len() == rig.loads.len()
        && stage.trim_m.is_empty();
    AsChanged {
        rig: changed,
        temperature_k: None,
        winds: Vec::new(),
        is_whole,
    }
}

fn path(line: &Line) -> impl Iterator<Item = &End> {
    std::iter::once(&line.from).chain(&line.via).chain([&line.to])
}

/// Gives a load on the way of a line that is not among those that hang.
pub(crate) fn leads_to_absent<'a>(line: &'a Line, hangs: &[String]) -> Option<&'a String> {
    path(line).find_map(|end| match end {
        End::Pick(load, _) if !hangs.contains(load) => Some(load),
        _ => None,
    })
}

/// Lists the lines that are joined with a load, through junctions and loads.
fn bearing(rig: &Rig) -> IndexSet<String> {
    // What is joined so far: loads by name, then the junctions that lines from there lead to.
    let mut joined: IndexSet<String> = rig.loads.keys().cloned().collect();
    let mut found = IndexSet::new();
    loop {
        let before = found.len();
        for (name, line) in &rig.lines {
            let places = path(line).filter_map(|end| match end {
                End::Point(_) => None,
                End::Junction(name) | End::Pick(name, _) => Some(name.clone()),
            });
            let places: Vec<String> = places.collect();
            if places.iter().any(|place| joined.contains(place)) {
                joined.extend(places);
                found.insert(name.clone());
            }
        }
        if found.len() == before {
            return found;
        }
    }
}
