//! The unloaded lengths of the lines of a rig document that are to trim.
//!
//! Conventions: SI.
//! Assumes: stated forces are away while a rig is trimmed, since they come and go; secondary lines to trim are as long as
//! their way once the others are set, so that they just do not pull.
//! Valid for: rigs that hang. Where the search ends elsewhere, lengths stay as drawn and the verdict says so.
//! Source: the search of search.rs, begun as drawn with an even share in every line to trim.
//! Checked by: tests/main/to_trim.rs (picks within 0.1 mm, closed forms of shares).

use super::aim::Aim;
use super::search::{ROUNDS, Round, Search};
use crate::document::{Length, Rig};
use crate::model::Model;
use practice::Role;
use statics::{LineId, State, TopologyError, Vector3};

/// A way that differs by more than this from the one drawn leads elsewhere, metres.
const NEAR_M: f64 = 0.05;
/// A pick further than this from its height is not at its trim, metres: the goal of `plimsoll trim`.
const OUT_OF_TRIM_M: f64 = 5e-3;
/// By how much a secondary line to trim is longer than its way, metres.
const HAIR_M: f64 = 1e-4;

/// What came of trimming a rig.
#[derive(Debug)]
pub(crate) enum Trimmed {
    /// No line of it is to trim.
    Nothing,
    /// The rig with the lengths found.
    Found(Box<Rig>),
    /// No lengths were found; lines are as long as drawn.
    NotFound,
}

/// Finds the lengths of the lines to trim. `model` makes the mechanics of a rig.
pub(crate) fn to_trim(
    rig: &Rig,
    model: impl Fn(&Rig) -> Result<Model, TopologyError>,
) -> Result<Trimmed, TopologyError> {
    let lines: Vec<usize> = rig
        .lines
        .values()
        .enumerate()
        .filter(|(_, line)| line.length == Length::ToTrim && line.role != Some(Role::Secondary))
        .map(|(i, _)| i)
        .collect();
    if lines.is_empty() {
        return Ok(Trimmed::Nothing);
    }
    let drawn = at_rest(rig, model(rig)?);
    let aim = Aim::new(&drawn, lines);
    if aim.is_empty() {
        return Ok(Trimmed::Nothing);
    }
    let mut search = Search::as_drawn(&drawn, &aim);
    let mut trial = at_rest(rig, model(&with_lengths(rig, &aim.lines, &search.lengths_m))?);
    for _ in 0..ROUNDS {
        if !matches!(search.round(&aim, &trial), Some(Round::Goes)) {
            break;
        }
        trial = at_rest(rig, model(&with_lengths(rig, &aim.lines, &search.lengths_m))?);
    }
    let Some((state, lengths_m)) = search.found() else {
        return Ok(Trimmed::NotFound);
    };
    let mut found = with_lengths(rig, &aim.lines, lengths_m);
    found.out_of_trim_m = aim.out_of_trim_m(&trial, state, OUT_OF_TRIM_M);
    let_secondary_hang(&drawn, &trial, state, &mut found);
    Ok(Trimmed::Found(Box::new(found)))
}

/// Gives the rig with other lengths of some lines.
fn with_lengths(rig: &Rig, lines: &[usize], lengths_m: &[f64]) -> Rig {
    let mut rig = rig.clone();
    for (line, length_m) in lines.iter().zip(lengths_m) {
        if let Some((_, line)) = rig.lines.get_index_mut(*line) {
            line.length = Length::Found(*length_m);
        }
    }
    rig
}

/// Takes the stated forces away, and the lines that are meant to be slack and to trim.
fn at_rest(rig: &Rig, mut model: Model) -> Model {
    for (line, document) in model.parameters.lines.iter_mut().zip(rig.lines.values()) {
        line.active = !(document.length == Length::ToTrim && document.role == Some(Role::Secondary));
    }
    let stated = model.stated_forces.len();
    for force in model.parameters.forces.iter_mut().take(stated) {
        force.force_n = Vector3::zeros();
    }
    model
}

/// Makes secondary lines to trim a hair longer than their way with everything where it comes to rest without them. Where that is
/// far from the drawing they hold something, and are as long as drawn, so that the rules see it.
fn let_secondary_hang(drawn: &Model, trial: &Model, state: &State, rig: &mut Rig) {
    let way_m = |model: &Model, state: &State, line: usize| -> f64 {
        let at = state.path_at_m(&model.topology, &model.parameters, LineId(line as u32));
        at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum()
    };
    for (i, line) in rig.lines.values_mut().enumerate() {
        if line.length == Length::ToTrim {
            let (as_drawn_m, at_rest_m) = (way_m(drawn, &drawn.guess, i), way_m(trial, state, i));
            let is_near = (at_rest_m - as_drawn_m).abs() < NEAR_M;
            line.length = Length::Found(if is_near { at_rest_m + HAIR_M } else { as_drawn_m });
        }
    }
}
