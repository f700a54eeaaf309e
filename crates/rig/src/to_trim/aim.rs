//! What is wanted of a rig at trim: heights of picks, places of centres of gravity, headings, and places of junctions.
//!
//! Conventions: SI; what comes first matters most.
//! Assumes: nothing.
//! Valid for: any rig.
//! Source: our judgement of what a rigger wants.
//! Checked by: tests/main/to_trim.rs.

use crate::document::End;
use crate::model::{LoadModel, Model};
use nalgebra::{DMatrix, DVector};
use statics::{AttachmentId, Change, FrameId, State, UnitQuaternion, Vector3};

/// A weight at a place of a body.
struct Weight {
    frame: FrameId,
    offset_m: Vector3<f64>,
    weight_n: f64,
}

/// A load as it is drawn.
struct Placed {
    weights: Vec<Weight>,
    /// Where its centre of gravity is drawn.
    centre_m: Vector3<f64>,
    frame: FrameId,
    rotation: UnitQuaternion<f64>,
    /// How far its farthest pick is from its centre of gravity, seen from above.
    size_m: f64,
    /// Its picks as `load.pick`, with the height at which each is drawn, metres.
    picks: Vec<(String, AttachmentId, f64)>,
}

/// What is wanted: places of picks and centres of gravity, by the lengths of lines.
pub(crate) struct Aim {
    /// The lines whose lengths are sought.
    pub(crate) lines: Vec<usize>,
    picks: Vec<(AttachmentId, Vector3<f64>)>,
    /// The loads that have such a pick.
    loads: Vec<Placed>,
    junctions: Vec<(FrameId, Vector3<f64>)>,
}

impl Aim {
    /// Wants every pick that a line to trim touches at its height as drawn, the centres of gravity of their loads under where
    /// they are drawn, and every junction near where it is drawn.
    pub(crate) fn new(drawn: &Model, lines: Vec<usize>) -> Self {
        let to_trim = || lines.iter().filter_map(|line| drawn.lines.get_index(*line));
        let touched = |end: &End| to_trim().any(|(_, line)| line.path.contains(end));
        let here = |(load, pick): &(String, String)| touched(&End::Pick(load.clone(), pick.clone()));
        // A pipe hangs through between the picks that hold it, and that is a matter of its sag.
        let is_pipe = |load: &str| drawn.loads.get(load).is_some_and(|load| load.pipe.is_some());
        let counts = |key: &(String, String), id: AttachmentId| !is_pipe(&key.0) || is_held(drawn, id);
        let picks = drawn.picks.iter();
        let picks = picks.filter(|(key, id)| here(key) && counts(key, **id));
        let has_pick = |load: &String| drawn.picks.keys().any(|key| key.0 == *load && here(key));
        let loads = drawn.loads.iter().filter(|(name, _)| has_pick(name));
        let junctions = drawn.junctions.values();
        let at_m = |id: &AttachmentId| drawn.at_m(&drawn.guess, *id);
        Self {
            picks: picks.map(|(_, id)| (*id, at_m(id))).collect(),
            loads: loads
                .map(|(name, load)| {
                    let picks = drawn.picks.iter();
                    let picks = picks.filter(|(key, id)| key.0 == *name && counts(key, **id));
                    let named = picks.map(|((load, pick), id)| (format!("{load}.{pick}"), *id, at_m(id)));
                    Placed::as_drawn(drawn, load, named.collect())
                })
                .collect(),
            junctions: junctions
                .map(|frame| (*frame, drawn.guess.position_m[frame.index()]))
                .collect(),
            lines,
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
            |load| {
                let Placed {
                    weights,
                    centre_m,
                    frame,
                    rotation,
                    size_m,
                    ..
                } = &self.loads[load];
                let off_m = mean(weights, |weight| place_m(model, state, weight)) - centre_m;
                let turned = state.rotation[frame.index()] * rotation.inverse();
                [off_m.x, off_m.y, turned.scaled_axis().z * size_m]
            },
            |junction| state.position_m[self.junctions[junction].0.index()] - self.junctions[junction].1,
        )
    }

    /// Names the pick of each load that is furthest from its height in a state, as `load.pick`, with how much too high it is,
    /// metres; those within some distance are left out.
    pub(super) fn out_of_trim_m(&self, model: &Model, state: &State, within_m: f64) -> Vec<(String, f64)> {
        let worst = |load: &Placed| {
            let each = load.picks.iter();
            let each = each.map(|(name, id, drawn_m)| (name.clone(), model.at_m(state, *id).z - drawn_m));
            each.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        };
        let each = self.loads.iter().filter_map(worst);
        each.filter(|(_, by_m)| by_m.abs() > within_m).collect()
    }

    /// Whether picks and junctions are no further from one another in two states than this, metres.
    pub(super) fn is_near(&self, model: &Model, [a, b]: [&State; 2], within_m: f64) -> bool {
        let mut picks = self
            .picks
            .iter()
            .map(|(id, _)| model.at_m(a, *id) - model.at_m(b, *id));
        let mut junctions = self.junctions.iter().map(|(frame, _)| {
            let index = frame.index();
            a.position_m[index] - b.position_m[index]
        });
        let is_near = |apart: Vector3<f64>| apart.norm() <= within_m;
        picks.all(is_near) && junctions.all(is_near)
    }

    /// Gives how a change moves them, from a state.
    pub(super) fn moved_m(&self, model: &Model, state: &State, change: &Change) -> [DVector<f64>; 3] {
        let moved = |frame: FrameId, at_m: Vector3<f64>| {
            let origin_m = state.frame_at_m(&model.topology, &model.parameters, frame);
            change.place_m[frame.index()] + change.turn_rad[frame.index()].cross(&(at_m - origin_m))
        };
        self.by_wish(
            |pick| {
                let id = self.picks[pick].0;
                moved(model.topology.frame_of(id), model.at_m(state, id))
            },
            |load| {
                let load = &self.loads[load];
                let by_m = mean(&load.weights, |weight| {
                    moved(weight.frame, place_m(model, state, weight))
                });
                [
                    by_m.x,
                    by_m.y,
                    change.turn_rad[load.frame.index()].z * load.size_m,
                ]
            },
            |junction| change.place_m[self.junctions[junction].0.index()],
        )
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

    /// Sorts places by wish: heights of picks; how far centres of gravity are aside and loads turned, as far as that is at their
    /// farthest pick; junctions.
    fn by_wish(
        &self,
        pick: impl Fn(usize) -> Vector3<f64>,
        load: impl Fn(usize) -> [f64; 3],
        junction: impl Fn(usize) -> Vector3<f64>,
    ) -> [DVector<f64>; 3] {
        let heights = (0..self.picks.len()).map(|i| pick(i).z);
        let aside = (0..self.loads.len()).flat_map(load);
        let junctions = (0..self.junctions.len()).flat_map(|i| {
            let off = junction(i);
            [off.x, off.y, off.z]
        });
        [
            DVector::from_iterator(self.picks.len(), heights),
            DVector::from_iterator(3 * self.loads.len(), aside),
            DVector::from_iterator(3 * self.junctions.len(), junctions),
        ]
    }
}

impl Placed {
    fn as_drawn(drawn: &Model, load: &LoadModel, picks: Vec<(String, AttachmentId, Vector3<f64>)>) -> Self {
        let weights = weights(drawn, load);
        let centre_m = mean(&weights, |weight| place_m(drawn, &drawn.guess, weight));
        Self {
            weights,
            centre_m,
            frame: load.frame,
            rotation: drawn.guess.rotation[load.frame.index()],
            size_m: picks
                .iter()
                .map(|(_, _, at_m)| (at_m - centre_m).xy().norm())
                .fold(0.0, f64::max),
            picks: picks
                .into_iter()
                .map(|(name, id, at_m)| (name, id, at_m.z))
                .collect(),
        }
    }
}

/// Tells whether a line leads upward from a pick as drawn.
fn is_held(drawn: &Model, pick: AttachmentId) -> bool {
    let height_m = |id: AttachmentId| drawn.at_m(&drawn.guess, id).z;
    drawn.topology.lines().any(|line| {
        let path = drawn.topology.path(line);
        let next = path
            .windows(2)
            .flat_map(|pair| [(pair[0], pair[1]), (pair[1], pair[0])]);
        next.into_iter()
            .any(|(own, next)| own == pick && height_m(next) > height_m(own))
    })
}

/// Lists the weights of a load: of a pipe half of each piece at each of its ends, and what it carries at single places.
fn weights(drawn: &Model, load: &LoadModel) -> Vec<Weight> {
    let at = |frame: FrameId, offset_m: Vector3<f64>, weight_n: f64| Weight {
        frame,
        offset_m,
        weight_n,
    };
    let parameters = &drawn.parameters;
    let Some(pipe) = &load.pipe else {
        let index = load.frame.index();
        // What weighs nothing is where its origin is.
        let weight_n = parameters.weight_n[index].max(f64::MIN_POSITIVE);
        return vec![at(load.frame, parameters.centre_m[index], weight_n)];
    };
    let halves = pipe.chain.beams.iter().flat_map(|beam| {
        let given = &parameters.beams[beam.index()];
        let half_n = 0.5 * given.length_m * given.load_n_per_m.norm();
        drawn
            .topology
            .ends(*beam)
            .map(|frame| at(frame, Vector3::zeros(), half_n.max(f64::MIN_POSITIVE)))
    });
    let carried = parameters.forces[pipe.carried.clone()].iter();
    let carried = carried.map(|force| at(force.frame, force.offset_m, force.force_n.norm()));
    halves.chain(carried).collect()
}

fn place_m(model: &Model, state: &State, weight: &Weight) -> Vector3<f64> {
    let origin_m = state.frame_at_m(&model.topology, &model.parameters, weight.frame);
    origin_m + state.rotation[weight.frame.index()] * weight.offset_m
}

/// Gives the mean of something by weight.
fn mean(weights: &[Weight], of: impl Fn(&Weight) -> Vector3<f64>) -> Vector3<f64> {
    let total_n: f64 = weights.iter().map(|weight| weight.weight_n).sum();
    let each = weights
        .iter()
        .map(|weight| of(weight) * (weight.weight_n / total_n));
    each.sum()
}
