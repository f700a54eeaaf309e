//! What is wanted of a rig at trim: places of picks and junctions.
//!
//! Conventions: SI; what comes first matters most.
//! Assumes: as mod.rs.
//! Valid for: any rig.
//! Source: our judgement of what a rigger wants.
//! Checked by: tests/main/to_trim.rs.

use crate::document::End;
use crate::model::Model;
use nalgebra::{DMatrix, DVector};
use statics::{AttachmentId, Change, FrameId, State, Vector3};

/// What is wanted: places of picks, by the lengths of lines.
pub(super) struct Aim {
    /// The lines whose lengths are sought.
    pub(super) lines: Vec<usize>,
    picks: Vec<(AttachmentId, Vector3<f64>)>,
    /// The picks of each load, by their places in the list.
    loads: Vec<Vec<usize>>,
    junctions: Vec<(FrameId, Vector3<f64>)>,
}

impl Aim {
    /// Wants every pick that a line to trim touches where it is drawn, and then every junction near where it is drawn.
    pub(super) fn new(drawn: &Model, lines: Vec<usize>) -> Self {
        let to_trim = || lines.iter().filter_map(|line| drawn.lines.get_index(*line));
        let touched = |end: &End| to_trim().any(|(_, line)| line.path.contains(end));
        let picks: Vec<_> = drawn
            .picks
            .iter()
            .filter(|((load, pick), _)| touched(&End::Pick(load.clone(), pick.clone())))
            .map(|((load, _), id)| (load, (*id, drawn.at_m(&drawn.guess, *id))))
            .collect();
        let mut loads: Vec<(&String, Vec<usize>)> = Vec::new();
        for (i, (load, _)) in picks.iter().enumerate() {
            match loads.iter_mut().find(|(known, _)| known == load) {
                Some((_, of)) => of.push(i),
                None => loads.push((load, vec![i])),
            }
        }
        let loads = loads.into_iter().map(|(_, of)| of).collect();
        let picks = picks.into_iter().map(|(_, pick)| pick).collect();
        let junctions = drawn.junctions.values();
        let junctions = junctions.map(|frame| (*frame, drawn.guess.position_m[frame.index()]));
        Self {
            lines,
            picks,
            loads,
            junctions: junctions.collect(),
        }
    }

    /// Whether nothing is wanted.
    pub(super) fn is_empty(&self) -> bool {
        self.picks.is_empty() && self.junctions.is_empty()
    }

    /// Gives how far things are off in a state, metres.
    pub(super) fn off_m(&self, model: &Model, state: &State) -> [DVector<f64>; 3] {
        self.by_wish(
            |pick| model.at_m(state, self.picks[pick].0) - self.picks[pick].1,
            |junction| state.position_m[self.junctions[junction].0.index()] - self.junctions[junction].1,
        )
    }

    /// Gives how a change moves them, from a state.
    pub(super) fn moved_m(&self, model: &Model, state: &State, change: &Change) -> [DVector<f64>; 3] {
        let at = |pick: usize| {
            let pick = self.picks[pick].0;
            let frame = model.topology.frame_of(pick);
            let origin = state.frame_at_m(&model.topology, &model.parameters, frame);
            let arm = model.at_m(state, pick) - origin;
            change.place_m[frame.index()] + change.turn_rad[frame.index()].cross(&arm)
        };
        self.by_wish(at, |junction| change.place_m[self.junctions[junction].0.index()])
    }

    /// Gives how changes move them, one a column.
    pub(super) fn moves(&self, model: &Model, state: &State, changes: &[&Change]) -> [DMatrix<f64>; 3] {
        let each: Vec<_> = changes
            .iter()
            .map(|change| self.moved_m(model, state, change))
            .collect();
        [0, 1, 2].map(|wish| {
            let rows = each.first().map_or(0, |moved| moved[wish].len());
            DMatrix::from_fn(rows, each.len(), |row, column| each[column][wish][row])
        })
    }

    /// Sorts places of picks and junctions by wish: heights of picks; how far those of each load are aside together, since a
    /// load that turns freely about the vertical may be turned anyhow; junctions.
    fn by_wish(
        &self,
        pick: impl Fn(usize) -> Vector3<f64>,
        junction: impl Fn(usize) -> Vector3<f64>,
    ) -> [DVector<f64>; 3] {
        let heights = (0..self.picks.len()).map(|i| pick(i).z);
        let aside = self.loads.iter().flat_map(|picks| {
            let sum: Vector3<f64> = picks.iter().map(|i| pick(*i)).sum();
            let mean = sum / picks.len() as f64;
            [mean.x, mean.y]
        });
        let junctions = (0..self.junctions.len()).flat_map(|i| {
            let off = junction(i);
            [off.x, off.y, off.z]
        });
        [
            DVector::from_iterator(self.picks.len(), heights),
            DVector::from_iterator(2 * self.loads.len(), aside),
            DVector::from_iterator(3 * self.junctions.len(), junctions),
        ]
    }
}
