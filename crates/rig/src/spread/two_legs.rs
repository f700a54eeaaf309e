//! What the trade's rule of thumb counts on: that of three legs or more, two carry everything.
//!
//! Conventions: SI; tensions at the upper end of a line, with what its own weight adds there.
//! Assumes: each of the two legs takes half of what all lines pull up, at the angle that it has as stated.
//! Valid for: loads and junctions on three or more lines that pull up on them, where shares hang on exact lengths. Not for
//! pipes: they bend, and a middle line has its share.
//! Source: "count on two legs of a three- or four-leg bridle": common practice, no source. It is no bound where the centre
//! is not in the middle.
//! Checked by: tests/main/spread.rs (a plate: W / 2 for each leg).

use crate::model::Model;
use practice::LineFacts;
use statics::{FrameId, Solution};

/// What a line would carry by the rule of thumb.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Counted {
    /// The load or junction, as a path into the rig document.
    pub(crate) of: String,
    /// How many lines pull up on it.
    pub(crate) legs: usize,
    /// The tension with half of everything on this line, newtons.
    pub(crate) share_n: f64,
}

/// Fewer legs than this need no rule.
const LEGS: usize = 3;

/// Applies the rule to every line; none where it does not apply.
pub(crate) fn two_legs(model: &Model, rest: &Solution, lines: &[LineFacts]) -> Vec<Option<Counted>> {
    let mut counted: Vec<Option<Counted>> = vec![None; model.lines.len()];
    let stiff = model.loads.iter().filter(|(_, load)| load.pipe.is_none());
    let loads = stiff.map(|(name, load)| (load.path(name), load.frames()));
    let junctions = model
        .junctions
        .iter()
        .map(|(name, frame)| (format!("junctions.{name}"), std::slice::from_ref(frame)));
    for (of, frames) in loads.chain(junctions) {
        let legs: Vec<(usize, f64)> = (0..model.lines.len())
            .map(|line| (line, pull_up_n(model, rest, line, frames)))
            .filter(|(_, up_n)| *up_n > 0.0)
            .collect();
        let by_length = |(line, _): &(usize, f64)| {
            lines
                .get(*line)
                .is_some_and(|line| line.worst_share_n.is_some() || line.set_by_adjustment)
        };
        if legs.len() < LEGS || !legs.iter().any(by_length) {
            continue;
        }
        let half_n = 0.5 * legs.iter().map(|(_, up_n)| up_n).sum::<f64>();
        for (line, up_n) in &legs {
            let result = &rest.lines[*line];
            let own_n = result.greatest_tension_n - result.tension_n;
            let share_n = half_n * result.tension_n / up_n + own_n;
            let more = counted[*line]
                .as_ref()
                .is_none_or(|other| other.share_n < share_n);
            if more {
                counted[*line] = Some(Counted {
                    of: of.clone(),
                    legs: legs.len(),
                    share_n,
                });
            }
        }
    }
    counted
}

/// Gives how much a line pulls up on some frames, newtons; negative if down.
fn pull_up_n(model: &Model, rest: &Solution, line: usize, frames: &[FrameId]) -> f64 {
    let Some((_, modelled)) = model.lines.get_index(line) else {
        return 0.0;
    };
    let path = model.topology.path(modelled.id).iter();
    let pulls = path.zip(rest.pulls_of(&model.topology, modelled.id));
    let here = pulls.filter(|(attachment, _)| frames.contains(&model.topology.frame_of(**attachment)));
    here.map(|(_, pull)| pull.z).sum()
}
