//! What may let go.
//!
//! Conventions: lines by their order in the rig.
//! Assumes: any part of a line that lets go is the line that lets go. What ends at a junction or a point is gone with it; what runs over it
//! runs straight between its neighbours.
//! Valid for: plain rigs.
//! Source: definitions.
//! Checked by: the tests in tests/main/in_time.rs.

use crate::document::Rig;
use crate::letgo::catch::{carrying, catching};
use crate::model::Model;
use parts::Part;
use practice::Facts;
use statics::{AttachmentId, FrameId};
use std::sync::Arc;

/// What lets go, by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum What {
    /// Any part of a line.
    Line(String),
    /// The adjustable grip of a line, which slips by its tail and catches again.
    Slip(String),
    /// All lines with adjustable grips at once.
    Grips,
    /// All lines at once that carry a load which secondary lines catch.
    Carrying(String),
    /// The part at a junction.
    Junction(String),
    /// A point, or its part.
    Point(String),
}

/// Something that lets go, and what is then gone.
#[derive(Debug, Clone)]
pub(crate) struct Event {
    pub(crate) what: What,
    pub(crate) parts: Vec<String>,
    /// The lines that are gone.
    pub(crate) lines: Vec<usize>,
    /// What lines no longer run over.
    pub(crate) frees: Vec<AttachmentId>,
    /// The line that is longer, and by how much, metres.
    pub(crate) longer_m: Option<(usize, f64)>,
    /// The junction that falls.
    pub(crate) falls: Option<FrameId>,
}

impl What {
    /// Gives its path in the rig document.
    pub(crate) fn path(&self) -> String {
        match self {
            What::Line(name) => format!("lines.{name}"),
            What::Slip(name) => format!("lines.{name} slips"),
            What::Grips => "all adjustable grips".into(),
            What::Carrying(name) => format!("all that carries {name}"),
            What::Junction(name) => format!("junctions.{name}"),
            What::Point(name) => format!("points.{name}"),
        }
    }
}

impl Event {
    /// Lets some lines go at once, by name.
    pub(crate) fn of_lines(model: &Model, what: What, names: &[String]) -> Self {
        let lines = names.iter().filter_map(|name| model.lines.get_index_of(name));
        let mut lines: Vec<usize> = lines.collect();
        lines.sort_unstable();
        Event {
            what,
            parts: Vec::new(),
            lines,
            frees: Vec::new(),
            longer_m: None,
            falls: None,
        }
    }

    /// Tells whether a line runs over what lets go, and is left with one place less.
    pub(crate) fn frees_line(&self, model: &Model, line: usize) -> bool {
        let line = model.lines.get_index(line);
        let path = line.map(|(_, line)| model.topology.path(line.id));
        path.is_some_and(|path| path.iter().any(|at| self.frees.contains(at)))
    }

    /// Tells whether two events leave the same rig.
    pub(crate) fn is_alike(&self, other: &Event) -> bool {
        let parts = |event: &Event| {
            (
                event.lines.clone(),
                event.frees.clone(),
                event.longer_m,
                event.falls,
            )
        };
        parts(self) == parts(other)
    }
}

/// Lists everything that may let go, in the order of the document.
pub(crate) fn events(rig: &Rig, model: &Model, facts: &Facts) -> Vec<Event> {
    let mut events = Vec::new();
    for (index, (name, line)) in model.lines.iter().enumerate() {
        let pieces = line.makeup.iter().flat_map(|makeup| &makeup.pieces);
        let gone = Event {
            what: What::Line(name.clone()),
            parts: pieces.map(|piece| piece.part.id.clone()).collect(),
            lines: vec![index],
            frees: Vec::new(),
            longer_m: None,
            falls: None,
        };
        let slip = slip(model, index).map(|(part, tail_m)| Event {
            what: What::Slip(name.clone()),
            parts: vec![part.id.clone()],
            lines: Vec::new(),
            longer_m: Some((index, tail_m)),
            ..gone.clone()
        });
        events.push(gone);
        events.extend(slip);
    }
    let grips = with_grips(model);
    if grips.len() > 1 {
        events.push(Event {
            what: What::Grips,
            parts: Vec::new(),
            lines: grips,
            frees: Vec::new(),
            longer_m: None,
            falls: None,
        });
    }
    for load in facts
        .loads
        .iter()
        .filter(|load| !catching(facts, load).is_empty())
    {
        let what = What::Carrying(load.name.clone());
        events.push(Event::of_lines(model, what, &carrying(facts, load)));
    }
    for (name, junction) in &rig.junctions {
        let frame = model.junctions[name];
        let parts = junction.part.iter().map(|part| part.value.clone()).collect();
        let event = at_frame(model, What::Junction(name.clone()), parts, frame);
        events.push(Event {
            falls: Some(frame),
            ..event
        });
    }
    for (name, point) in &rig.points {
        let parts = point.part.iter().map(|part| part.value.clone()).collect();
        events.push(at_frame(
            model,
            What::Point(name.clone()),
            parts,
            model.points[name],
        ));
    }
    // What nothing hangs on takes nothing with it.
    events.retain(|event| !event.lines.is_empty() || !event.frees.is_empty() || event.longer_m.is_some());
    events
}

/// Lists the lines that have an adjustable grip.
pub(crate) fn with_grips(model: &Model) -> Vec<usize> {
    let has = |line: &crate::model::LineModel| {
        line.makeup
            .iter()
            .flat_map(|makeup| &makeup.pieces)
            .any(|piece| piece.part.grip().is_some())
    };
    let lines = model.lines.values().enumerate();
    lines
        .filter(|(_, line)| has(line))
        .map(|(index, _)| index)
        .collect()
}

/// Lists everything that goes with a junction or a point.
fn at_frame(model: &Model, what: What, parts: Vec<String>, frame: FrameId) -> Event {
    let topology = &model.topology;
    let here = |at: &AttachmentId| topology.frame_of(*at) == frame;
    let (mut lines, mut frees) = (Vec::new(), Vec::new());
    for line in topology.lines() {
        let path = topology.path(line);
        let ends = [path[0], path[path.len() - 1]];
        if ends.iter().any(here) {
            lines.push(line.index());
        } else {
            frees.extend(path.iter().filter(|at| here(at)));
        }
    }
    frees.sort_unstable();
    frees.dedup();
    Event {
        what,
        parts,
        lines,
        frees,
        longer_m: None,
        falls: None,
    }
}

/// Gives the adjustable grip of a line and the tail by which it may slip: as made up, else the least that its maker asks.
fn slip(model: &Model, line: usize) -> Option<(Arc<Part>, f64)> {
    let (_, line) = model.lines.get_index(line)?;
    let pieces = line.makeup.iter().flat_map(|makeup| &makeup.pieces);
    let with_tail = pieces.filter_map(|piece| {
        let grip = piece.part.grip()?;
        let least_m = grip.least_tail_m.as_ref().map(working::Number::value);
        Some((piece.part.clone(), piece.made.tail_m.or(least_m)?))
    });
    // Of two the one that may slip further, since it may as well stop earlier.
    with_tail.reduce(|most, next| if next.1 > most.1 { next } else { most })
}
