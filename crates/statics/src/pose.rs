//! One configuration of the rig: places and turns, and the lengths and directions that follow.
//!
//! Conventions: bodies by their centres of gravity; a step is translation and rotation times the body's
//! size, in world axes; R <- exp(theta) R.
//! Assumes: straight segments between attachments; lines that sag are hung besides.
//! Valid for: any finite numbers; a segment of no length has no direction (zero vector).
//! Source: Simo, "The (symmetric) Hessian for geometrically nonlinear models in solid mechanics", 1992
//! (from memory).
//! Checked by: tests/laws.rs; derivatives in assemble.rs.

use crate::beam::Strain;
use crate::ids::{AttachmentId, FrameId};
use crate::model::Model;
use crate::parameters::Parameters;
use crate::sagging::Sagging;
use crate::state::State;
use crate::topology::{FrameKind, Topology};
use nalgebra::{UnitQuaternion, Vector3};

/// Holds one configuration.
#[derive(Debug, Clone)]
pub(crate) struct Pose {
    /// Centre of gravity of bodies, place of others; by frame.
    pub centre_m: Vec<Vector3<f64>>,
    pub rotation: Vec<UnitQuaternion<f64>>,
    /// Place of attachments, and their arms from the centre in world axes.
    pub at_m: Vec<Vector3<f64>>,
    pub arm_m: Vec<Vector3<f64>>,
    /// By place in the paths: direction and length of the segment that starts there.
    pub direction: Vec<Vector3<f64>>,
    pub segment_m: Vec<f64>,
    /// By line: length along its path, less its unloaded length.
    pub elongation_m: Vec<f64>,
    /// By line: how it hangs, where it sags.
    pub sagging: Vec<Sagging>,
    /// By beam.
    pub strain: Vec<Strain>,
}

impl Pose {
    pub fn new(topology: &Topology) -> Self {
        let (frames, attachments) = (topology.frame_count(), topology.attachment_count());
        Self {
            centre_m: vec![Vector3::zeros(); frames],
            rotation: vec![UnitQuaternion::identity(); frames],
            at_m: vec![Vector3::zeros(); attachments],
            arm_m: vec![Vector3::zeros(); attachments],
            direction: vec![Vector3::zeros(); topology.path_total()],
            segment_m: vec![0.0; topology.path_total()],
            elongation_m: vec![0.0; topology.line_count()],
            sagging: vec![Sagging::default(); topology.line_count()],
            strain: vec![
                Strain::between([Vector3::zeros(); 2], [UnitQuaternion::identity(); 2]);
                topology.beam_count()
            ],
        }
    }

    /// Takes over a state, and forgets how lines hung before, so that what comes of it hangs on nothing else.
    pub fn take(&mut self, topology: &Topology, parameters: &Parameters, state: &State) {
        for frame in topology.frames() {
            self.centre_m[frame.index()] = state.centre_at_m(topology, parameters, frame);
            if topology.kind(frame) != FrameKind::Junction {
                let mut rotation = state.rotation[frame.index()];
                rotation.renormalize();
                self.rotation[frame.index()] = rotation;
            }
        }
        self.forget_sagging();
    }

    /// Forgets how lines hung.
    pub fn forget_sagging(&mut self) {
        for line in &mut self.sagging {
            line.pieces.clear();
        }
    }

    /// Gives the state of the frames' own origins.
    pub fn give(&self, topology: &Topology, parameters: &Parameters, state: &mut State) {
        for frame in topology.frames() {
            let index = frame.index();
            state.position_m[index] = match topology.kind(frame) {
                FrameKind::Fixed => parameters.fixed_at_m[index],
                FrameKind::Junction => self.centre_m[index],
                FrameKind::Body => self.centre_m[index] - self.rotation[index] * parameters.centre_m[index],
            };
            state.rotation[index] = self.rotation[index];
        }
    }

    /// Takes the places and turns of another configuration of the same rig.
    pub fn copy_frames(&mut self, other: &Self) {
        self.centre_m.copy_from_slice(&other.centre_m);
        self.rotation.copy_from_slice(&other.rotation);
    }

    /// Moves every free frame by `factor` times a step.
    pub fn move_by(&mut self, topology: &Topology, model: &Model, step: &[f64], factor: f64) {
        for frame in topology.frames() {
            let kind = topology.kind(frame);
            if kind == FrameKind::Fixed {
                continue;
            }
            let (index, at) = (frame.index(), 3 * topology.first_block(frame));
            self.centre_m[index] += Vector3::new(step[at], step[at + 1], step[at + 2]) * factor;
            if kind == FrameKind::Body {
                let turn =
                    Vector3::new(step[at + 3], step[at + 4], step[at + 5]) * (factor / model.size_m[index]);
                let mut rotation = UnitQuaternion::from_scaled_axis(turn) * self.rotation[index];
                rotation.renormalize();
                self.rotation[index] = rotation;
            }
        }
    }

    /// Works out places, directions and lengths.
    pub fn measure(&mut self, topology: &Topology, model: &Model) {
        for index in 0..self.at_m.len() {
            let frame = topology.frame_of(AttachmentId(index as u32));
            let centre = self.centre_m[frame.index()];
            if topology.kind(frame) == FrameKind::Body {
                let arm = self.rotation[frame.index()] * model.arm_m[index];
                self.arm_m[index] = arm;
                self.at_m[index] = centre + arm;
            } else {
                self.at_m[index] = centre;
            }
        }
        for id in topology.lines() {
            let line = model.lines[id.index()];
            if !line.active {
                self.elongation_m[id.index()] = f64::NEG_INFINITY;
                continue;
            }
            let start = topology.path_range(id).start;
            let path = topology.path(id);
            let rounding = if path.len() > 2 { line.rounding_m } else { 0.0 };
            let mut length = 0.0;
            for (offset, pair) in path.windows(2).enumerate() {
                let along = self.at_m[pair[1].index()] - self.at_m[pair[0].index()];
                let segment = (along.norm_squared() + rounding * rounding).sqrt();
                self.segment_m[start + offset] = segment;
                self.direction[start + offset] = if segment > 0.0 {
                    along / segment
                } else {
                    Vector3::zeros()
                };
                length += segment;
            }
            self.elongation_m[id.index()] = length - line.unloaded_m;
            if line.sags {
                let places: Vec<Vector3<f64>> = path.iter().map(|a| self.at_m[a.index()]).collect();
                self.sagging[id.index()].measure(&line, &places);
            }
        }
        for beam in topology.beams() {
            let ends = topology.ends(beam).map(FrameId::index);
            let (at, turned) = (ends.map(|f| self.centre_m[f]), ends.map(|f| self.rotation[f]));
            self.strain[beam.index()] = Strain::between(at, turned);
        }
    }

    /// Tension of a straight line at the stage's stiffness; 0 of one that sags.
    #[inline]
    pub fn tension_n(&self, model: &Model, line: usize) -> f64 {
        if model.lines[line].sags {
            return 0.0;
        }
        let elongation = self.elongation_m[line];
        if elongation > 0.0 {
            model.lines[line].stiffness * elongation
        } else {
            0.0
        }
    }

    /// Energy of `self` less that of `before`: elastic energy by differences of elongation, loads by
    /// differences of place, so that small changes are not lost in large sums.
    pub fn energy_above_j(&self, topology: &Topology, model: &Model, before: &Self) -> f64 {
        let mut change = 0.0;
        for (index, line) in model.lines.iter().enumerate().filter(|(_, line)| line.active) {
            if line.sags {
                change += self.sagging[index].energy_j - before.sagging[index].energy_j;
                continue;
            }
            let (now, then) = (
                self.elongation_m[index].max(0.0),
                before.elongation_m[index].max(0.0),
            );
            change += 0.5 * line.stiffness * (now - then) * (now + then);
        }
        for (index, beam) in model.beams.iter().enumerate() {
            change += beam.energy_j(&self.strain[index]) - beam.energy_j(&before.strain[index]);
        }
        for spring in &model.springs {
            let frame = spring.frame.index();
            let (now, then) = (self.centre_m[frame], before.centre_m[frame]);
            change += 0.5 * spring.stiffness_n_per_m * (now - then).dot(&(now + then - 2.0 * spring.at_m));
        }
        for frame in topology.frames() {
            let index = frame.index();
            change -= model.frame_force_n[index].dot(&(self.centre_m[index] - before.centre_m[index]));
        }
        for (index, weight) in model.attachment_weight_n.iter().enumerate() {
            change += weight * (self.at_m[index].z - before.at_m[index].z);
        }
        for force in &model.arm_forces {
            let (now, then) = (self.rotation[force.frame], before.rotation[force.frame]);
            let moved = self.centre_m[force.frame] - before.centre_m[force.frame];
            change -= force
                .force_n
                .dot(&(moved + now * force.arm_m - then * force.arm_m));
        }
        change
    }
}
