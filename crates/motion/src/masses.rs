//! What weighs what, where, and how hard it is to turn.
//!
//! Conventions: SI; places in world axes as everything is at the start; moments of inertia in the same axes.
//! Assumes: whatever has weight has the mass that goes with it; half of a line's weight stands on each of its ends; a stated force is
//! no mass unless it is said to be a weight.
//! Valid for: rigs that `statics` takes.
//! Source: definitions; sums of masses, and of first and second moments of mass (parallel axes).
//! Checked by: tests/laws.rs (a pendulum that is a body), tests/closed_forms.rs.

use nalgebra::{Matrix3, UnitQuaternion, Vector3};
use statics::{AttachmentId, FrameId, Parameters, State, Topology};

/// Standard gravity, m/s².
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// The least moment of inertia of a body over its greatest: a pipe has some about its own axis as well.
const LEAST_MOMENT: f64 = 1e-3;

/// What is known of masses beyond what the parameters say.
#[derive(Debug, Clone, PartialEq)]
pub struct Masses {
    /// Moments of inertia of each body about its centre of gravity, own axes, kg m²; by `FrameId`, ignored for other frames.
    pub inertia_kg_m2: Vec<Matrix3<f64>>,
    /// Whether each force of the parameters is a weight, which has mass; in their order.
    pub forces_are_weights: Vec<bool>,
}

/// A mass, its centre and its moments of inertia about that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Mass {
    pub(crate) mass_kg: f64,
    pub(crate) centre_m: Vector3<f64>,
    pub(crate) inertia_kg_m2: Matrix3<f64>,
}

impl Mass {
    fn point(weight_n: f64, centre_m: Vector3<f64>) -> Self {
        Mass {
            mass_kg: weight_n / GRAVITY_M_PER_S2,
            centre_m,
            inertia_kg_m2: Matrix3::zeros(),
        }
    }

    /// Puts masses together.
    fn of(parts: &[Mass]) -> Self {
        let mass_kg: f64 = parts.iter().map(|part| part.mass_kg).sum();
        let first: Vector3<f64> = parts.iter().map(|part| part.centre_m * part.mass_kg).sum();
        let centre_m = if mass_kg > 0.0 {
            first / mass_kg
        } else {
            Vector3::zeros()
        };
        let about_centre = |part: &Mass| {
            let r = part.centre_m - centre_m;
            part.inertia_kg_m2 + (Matrix3::identity() * r.norm_squared() - r * r.transpose()) * part.mass_kg
        };
        Mass {
            mass_kg,
            centre_m,
            inertia_kg_m2: parts.iter().map(about_centre).sum(),
        }
    }

    /// Gives it with no moment of inertia that is next to nothing beside the greatest.
    fn turnable(mut self) -> Self {
        let mut eigen = self.inertia_kg_m2.symmetric_eigen();
        let least = LEAST_MOMENT * eigen.eigenvalues.max();
        eigen.eigenvalues.apply(|moment| *moment = moment.max(least));
        self.inertia_kg_m2 = eigen.recompose();
        self
    }
}

/// A rig at the start of a motion.
pub(crate) struct AtStart<'a> {
    pub(crate) topology: &'a Topology,
    pub(crate) parameters: &'a Parameters,
    pub(crate) masses: &'a Masses,
    pub(crate) start: &'a State,
}

impl AtStart<'_> {
    /// Puts together the mass of some frames that beams join, lines and weights on them included.
    pub(crate) fn mass_of(&self, frames: &[FrameId]) -> Mass {
        let mut parts = self.parts_of(frames);
        parts.extend(self.beams_on(frames).map(|beam| self.rod(beam)));
        Mass::of(&parts).turnable()
    }

    /// Lists the pieces of pipe that some frames have, those to a built-in end among them.
    pub(crate) fn beams_on(&self, frames: &[FrameId]) -> impl Iterator<Item = statics::BeamId> {
        let topology = self.topology;
        topology
            .beams()
            .filter(move |beam| topology.ends(*beam).iter().any(|end| frames.contains(end)))
    }

    /// Lists masses and where they are, of pieces of pipe in their middles, kg and metres.
    pub(crate) fn masses_on(&self, frames: &[FrameId]) -> Vec<(f64, Vector3<f64>)> {
        let rods = self.beams_on(frames).map(|beam| self.rod(beam));
        let rods = rods.map(|rod| (rod.mass_kg, rod.centre_m));
        self.lumps(frames).into_iter().chain(rods).collect()
    }

    /// Lists what weighs at single places of some frames: masses and where, kg and metres.
    pub(crate) fn lumps(&self, frames: &[FrameId]) -> Vec<(f64, Vector3<f64>)> {
        let parts = self.parts_of(frames).into_iter();
        parts
            .filter(|part| part.mass_kg > 0.0)
            .map(|part| (part.mass_kg, part.centre_m))
            .collect()
    }

    /// Lists masses on frames, without those of the pieces of pipe between them.
    fn parts_of(&self, frames: &[FrameId]) -> Vec<Mass> {
        let (topology, parameters) = (self.topology, self.parameters);
        let mut parts = Vec::new();
        for frame in frames {
            let turn = self.start.rotation[frame.index()].to_rotation_matrix();
            parts.push(Mass {
                mass_kg: parameters.weight_n[frame.index()] / GRAVITY_M_PER_S2,
                centre_m: self.start.centre_at_m(topology, parameters, *frame),
                inertia_kg_m2: turn * self.masses.inertia_kg_m2[frame.index()] * turn.transpose(),
            });
        }
        for (force, is_weight) in parameters.forces.iter().zip(&self.masses.forces_are_weights) {
            if *is_weight && frames.contains(&force.frame) {
                parts.push(Mass::point(
                    -force.force_n.z,
                    self.place_m(force.frame, force.offset_m),
                ));
            }
        }
        for line in self.lines() {
            let half_n = 0.5 * parameters.lines[line.index()].weight_n;
            let ends = self.ends(line).into_iter();
            let here = ends.filter(|at| frames.contains(&topology.frame_of(*at)));
            parts.extend(
                here.map(|at| Mass::point(half_n, self.start.attachment_at_m(topology, parameters, at))),
            );
        }
        parts
    }

    /// A piece of pipe with what is spread over it.
    fn rod(&self, beam: statics::BeamId) -> Mass {
        let given = &self.parameters.beams[beam.index()];
        let ends = self.topology.ends(beam);
        let [a, b] = ends.map(|frame| self.start.frame_at_m(self.topology, self.parameters, frame));
        let mass_kg = -given.load_n_per_m.z * given.length_m / GRAVITY_M_PER_S2;
        let along = b - a;
        Mass {
            mass_kg,
            centre_m: (a + b) * 0.5,
            inertia_kg_m2: (Matrix3::identity() * along.norm_squared() - along * along.transpose())
                * (mass_kg / 12.0),
        }
    }

    /// Gives what bears down on a frame by weight: its own, stated weights, and halves of lines, newtons.
    pub(crate) fn weight_on_n(&self, frame: FrameId) -> f64 {
        let parameters = self.parameters;
        let mut weight_n = parameters.weight_n[frame.index()];
        for line in self.lines() {
            let here = self
                .ends(line)
                .into_iter()
                .filter(|at| self.topology.frame_of(*at) == frame);
            weight_n += 0.5 * here.count() as f64 * parameters.lines[line.index()].weight_n;
        }
        for (force, is_weight) in parameters.forces.iter().zip(&self.masses.forces_are_weights) {
            if *is_weight && force.frame == frame {
                weight_n -= force.force_n.z;
            }
        }
        weight_n
    }

    /// The same with the weight of the pieces of pipe, half at each end.
    pub(crate) fn weight_with_beams_n(&self, frame: FrameId) -> f64 {
        let ends = |beam: &statics::BeamId| self.topology.ends(*beam).contains(&frame);
        let beams = self.topology.beams().filter(ends).map(|beam| {
            let given = &self.parameters.beams[beam.index()];
            -0.5 * given.load_n_per_m.z * given.length_m
        });
        self.weight_on_n(frame) + beams.sum::<f64>()
    }

    /// Lists the stated forces, which have no mass.
    pub(crate) fn forces(&self) -> impl Iterator<Item = &statics::AppliedForce> {
        let all = self.parameters.forces.iter().zip(&self.masses.forces_are_weights);
        all.filter(|(_, is_weight)| !**is_weight).map(|(force, _)| force)
    }

    /// Lists the lines that are there.
    pub(crate) fn lines(&self) -> impl Iterator<Item = statics::LineId> {
        self.topology
            .lines()
            .filter(|line| self.parameters.lines[line.index()].active)
    }

    /// Gives a place on a frame, metres.
    pub(crate) fn place_m(&self, frame: FrameId, offset_m: Vector3<f64>) -> Vector3<f64> {
        let turn: UnitQuaternion<f64> = self.start.rotation[frame.index()];
        self.start.frame_at_m(self.topology, self.parameters, frame) + turn * offset_m
    }

    fn ends(&self, line: statics::LineId) -> [AttachmentId; 2] {
        let path = self.topology.path(line);
        [path[0], path[path.len() - 1]]
    }
}
