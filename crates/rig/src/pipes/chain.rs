//! From a pipe to a chain of bodies and beams.
//!
//! Conventions: bodies on its axis, from start to end, own x along it; the two sides of a hinge are bodies of their own.
//! Places nearer than 5 mm to a body are fixed to it, at their own offset.
//! Assumes: Bernoulli's beam, the same stiffness about every axis across it.
//! Valid for: a pipe that was read without problems.
//! Source: how far apart the bodies may be comes from trials against beams solved exactly (crates/statics/tests).
//! Checked by: tests/main/pipes.rs.

use super::document::{Pipe, Spread};
use super::figures::Figures;
use statics::{BeamId, BeamParameters, FrameId, State, TopologyBuilder, UnitQuaternion, Vector3};

/// Pieces between two picks, ends or hinges, at the least.
const BAY_PIECES: f64 = 3.0;
/// Pieces along the whole pipe, at the least.
const WHOLE_PIECES: f64 = 12.0;
/// Places nearer to each other than this share a body, metres.
const NEAR_M: f64 = 5e-3;

/// The bodies and beams of one pipe.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    /// The bodies, from start to end; both sides of a hinge.
    pub(crate) frames: Vec<FrameId>,
    /// Where each is, from the start, metres.
    pub(crate) along_m: Vec<f64>,
    /// What joins each body with the next.
    pub(crate) beams: Vec<BeamId>,
    /// Whether each of these is a hinge.
    pub(crate) hinges: Vec<bool>,
    /// From start to end, metres.
    pub(crate) length_m: f64,
}

impl Chain {
    /// Gives the slope of the steepest straight from end to end of what is between hinges, radians: what bends is not steep for that.
    pub(crate) fn slope_rad(&self, state: &State) -> f64 {
        let mut steepest_rad: f64 = 0.0;
        let mut first = 0;
        for last in 0..self.frames.len() {
            if self.hinges.get(last).is_some_and(|is_hinge| !is_hinge) {
                continue;
            }
            let [from_m, to_m] = [first, last].map(|at| state.position_m[self.frames[at].index()]);
            let along_m: Vector3<f64> = to_m - from_m;
            let slope_rad = if along_m.norm() > 0.0 {
                (along_m.z / along_m.norm()).clamp(-1.0, 1.0).asin().abs()
            } else {
                0.0
            };
            steepest_rad = steepest_rad.max(slope_rad);
            first = last + 1;
        }
        steepest_rad
    }

    /// Adds a pipe to a topology. `places_m` are further places, from its start, where something acts.
    pub(crate) fn new(builder: &mut TopologyBuilder, pipe: &Pipe, places_m: &[f64]) -> Self {
        let hinges: Vec<f64> = pipe
            .splices
            .iter()
            .filter(|s| s.is_hinge)
            .map(|s| s.along_m)
            .collect();
        let mut chain = Chain {
            frames: Vec::new(),
            along_m: Vec::new(),
            beams: Vec::new(),
            hinges: Vec::new(),
            length_m: pipe.length_m,
        };
        let along = divided(pipe, places_m);
        for (i, at_m) in along.iter().enumerate() {
            let built_in = i == 0 && pipe.built_in[0] || i + 1 == along.len() && pipe.built_in[1];
            let body = if built_in { builder.fixed() } else { builder.body() };
            chain.push(builder, body, *at_m, false);
            if hinges.iter().any(|hinge| (hinge - at_m).abs() < NEAR_M) {
                let other = builder.body();
                chain.push(builder, other, *at_m, true);
            }
        }
        chain
    }

    fn push(&mut self, builder: &mut TopologyBuilder, body: FrameId, at_m: f64, is_hinge: bool) {
        if let Some(last) = self.frames.last() {
            self.beams.push(builder.beam(*last, body));
            self.hinges.push(is_hinge);
        }
        self.frames.push(body);
        self.along_m.push(at_m);
    }

    /// Gives the index of the body nearest to a place from the start.
    pub(crate) fn nearest(&self, along_m: f64) -> usize {
        let far = |i: &usize| (self.along_m[*i] - along_m).abs();
        (0..self.frames.len())
            .min_by(|a, b| far(a).total_cmp(&far(b)))
            .unwrap_or_default()
    }

    /// Gives the body nearest to a place in own axes, and that place from the body.
    pub(crate) fn on(&self, own_m: &Vector3<f64>) -> (FrameId, Vector3<f64>) {
        let along_m = own_m.x + 0.5 * self.length_m;
        let i = self.nearest(along_m);
        (
            self.frames[i],
            Vector3::new(along_m - self.along_m[i], own_m.y, own_m.z),
        )
    }

    /// Gives the body in its middle.
    pub(crate) fn middle(&self) -> FrameId {
        self.frames[self.nearest(0.5 * self.length_m)]
    }

    /// Puts the bodies where the pipe is drawn.
    pub(crate) fn place(
        &self,
        guess: &mut State,
        fixed_at_m: &mut [Vector3<f64>],
        middle_m: Vector3<f64>,
        heading_rad: f64,
    ) {
        let rotation = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), heading_rad);
        for (frame, along_m) in self.frames.iter().zip(&self.along_m) {
            let at = middle_m + rotation * Vector3::new(along_m - 0.5 * self.length_m, 0.0, 0.0);
            guess.position_m[frame.index()] = at;
            guess.rotation[frame.index()] = rotation;
            fixed_at_m[frame.index()] = at;
        }
    }

    /// Gives the beams their stiffness, and the weight spread over each: the pipe's own and what it carries.
    pub(crate) fn fill(
        &self,
        beams: &mut [BeamParameters],
        figures: &Figures,
        spread: &[(Spread, f64)],
        own_n_per_m: f64,
    ) {
        let (ei, ea) = (figures.bending_n_m2.value(), figures.axial_n.value());
        let gj = figures.torsion_n_m2.value();
        for (i, beam) in self.beams.iter().enumerate() {
            let (from_m, to_m) = (self.along_m[i], self.along_m[i + 1]);
            let length_m = to_m - from_m;
            beams[beam.index()] = if self.hinges[i] {
                let piece_m = self.length_m / WHOLE_PIECES;
                BeamParameters::hinge(ea / piece_m, gj / piece_m)
            } else {
                let covered = |spread: &(Spread, f64)| covered_n(spread, from_m, to_m);
                let carried_n: f64 = spread.iter().map(covered).sum();
                BeamParameters {
                    load_n_per_m: Vector3::new(0.0, 0.0, -own_n_per_m - carried_n / length_m),
                    ..BeamParameters::prismatic(length_m, ea, ei, ei, gj)
                }
            };
        }
    }
}

/// The weight of what is spread that lies between two places.
fn covered_n((spread, weight_n): &(Spread, f64), from_m: f64, to_m: f64) -> f64 {
    match spread {
        Spread::At(_) => 0.0,
        Spread::Between(begin_m, end_m) => {
            let overlap_m = (to_m.min(*end_m) - from_m.max(*begin_m)).max(0.0);
            weight_n * overlap_m / (end_m - begin_m)
        }
    }
}

/// Divides a pipe at its ends, its middle and every marked place, and between these evenly.
fn divided(pipe: &Pipe, places_m: &[f64]) -> Vec<f64> {
    let ends = [0.0, pipe.length_m];
    let joints = |is_hinge: bool| {
        let joints = pipe
            .splices
            .iter()
            .filter(move |joint| joint.is_hinge == is_hinge);
        joints.map(|joint| joint.along_m)
    };
    let picks = pipe.picks.values().map(|pick| pick.along_m);
    let bays_end = places(pipe, ends.into_iter().chain(joints(true)).chain(picks));
    let carried = pipe.carried.iter().flat_map(|carried| match carried.spread {
        Spread::At(at_m) => vec![at_m],
        Spread::Between(from_m, to_m) => vec![from_m, to_m],
    });
    let others = joints(false).chain(carried).chain(places_m.iter().copied());
    let middle_m = 0.5 * pipe.length_m;
    let marked = places(pipe, bays_end.iter().copied().chain(others).chain([middle_m]));
    let mut along = vec![0.0];
    for pair in marked.windows(2) {
        let whole = (pair[1] - pair[0]) / pipe.length_m * WHOLE_PIECES;
        let of_bay = bays_end
            .windows(2)
            .find(|bay| bay[1] > pair[0])
            .map_or(0.0, |bay| (pair[1] - pair[0]) / (bay[1] - bay[0]) * BAY_PIECES);
        // What is a whole number but for rounding stays that number.
        let count = (whole.max(of_bay) - 1e-6).ceil().max(1.0) as usize;
        along.extend((1..=count).map(|i| pair[0] + (pair[1] - pair[0]) * i as f64 / count as f64));
    }
    along
}

/// Lists places from start to end, those left out that are nearer to an earlier one than bodies may be.
fn places(pipe: &Pipe, all_m: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut kept: Vec<f64> = Vec::new();
    for place_m in all_m.map(|place_m| place_m.clamp(0.0, pipe.length_m)) {
        if kept.iter().all(|known| (known - place_m).abs() >= NEAR_M) {
            kept.push(place_m);
        }
    }
    kept.sort_by(f64::total_cmp);
    kept
}
