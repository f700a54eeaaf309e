//! Memory of a solve, kept between solves so that a warm re-solve allocates nothing.
//!
//! Conventions: as in assemble.rs.
//! Assumes: one topology; a solve with another makes a new one.
//! Valid for: one solve at a time.
//! Source: from first principles; the residual that rounding allows is EA/L0 times the spacing of coordinates.
//! Checked by: tests/laws.rs; tests/hard_cases.rs (a warm solve follows changed lengths and lost lines).

use crate::assemble;
use crate::beam::Stress;
use crate::model::Model;
use crate::pattern::{DENSE_FREEDOMS, Pattern};
use crate::pose::Pose;
use crate::stiffness::Stiffness;
use crate::topology::{FrameKind, Topology};
use nalgebra::Vector3;

/// Share of all weights and forces above which no residual is accepted.
const MOST_UNBALANCED: f64 = 1e-4;

/// Holds every buffer of a solve; belongs to the topology it was made for.
#[derive(Debug)]
pub struct Workspace {
    pub(crate) model: Model,
    /// Where the search is.
    pub(crate) pose: Pose,
    /// Where it tries to go, or was before.
    pub(crate) other: Pose,
    /// Where the search started.
    pub(crate) start: Pose,
    /// The balance with straight lines, where some then sag.
    pub(crate) straight: Pose,
    /// Whether no balance was found with lines sagging.
    pub(crate) sag_left_out: bool,
    pub(crate) stiffness: Stiffness,
    /// Tension of each line as the last linear step predicts it.
    pub(crate) predicted_n: Vec<f64>,
    /// Stress of each beam as the last linear step predicts it.
    pub(crate) predicted_stress: Vec<Stress>,
    pub(crate) gradient: Vec<f64>,
    pub(crate) step: Vec<f64>,
    /// Travel of the step being tried, and the gradient where it began.
    pub(crate) travel: Vec<f64>,
    pub(crate) gradient_before: Vec<f64>,
    /// Whether a frame's rotation is held.
    pub(crate) held: Vec<bool>,
    /// Whether there is no body, so that the energy is convex.
    pub(crate) convex: bool,
    pub(crate) iterations: u32,
    pub(crate) max_iterations: u32,
}

impl Workspace {
    /// Makes room for a topology: chooses the dense or the sparse solver, and analyses the pattern once.
    pub fn new(topology: &Topology) -> Self {
        Self::with_dense_freedoms(topology, DENSE_FREEDOMS)
    }

    /// Makes room as [`Workspace::new`] does, with another limit for the dense solver. For measurements.
    pub fn with_dense_freedoms(topology: &Topology, dense_freedoms: usize) -> Self {
        let freedoms = topology.freedom_count();
        let pose = Pose::new(topology);
        Self {
            model: Model::new(topology),
            other: pose.clone(),
            start: pose.clone(),
            straight: pose.clone(),
            sag_left_out: false,
            pose,
            stiffness: Stiffness::new(Pattern::new(topology, dense_freedoms)),
            predicted_n: vec![0.0; topology.line_count()],
            predicted_stress: vec![Stress::default(); topology.beam_count()],
            gradient: vec![0.0; freedoms],
            step: vec![0.0; freedoms],
            travel: vec![0.0; freedoms],
            gradient_before: vec![0.0; freedoms],
            held: vec![false; topology.frame_count()],
            convex: topology.frames().all(|f| topology.kind(f) != FrameKind::Body),
            iterations: 0,
            max_iterations: 0,
        }
    }

    /// Whether this workspace was made for a topology of this shape.
    pub(crate) fn fits(&self, topology: &Topology) -> bool {
        self.gradient.len() == topology.freedom_count()
            && self.held.len() == topology.frame_count()
            && self.predicted_n.len() == topology.line_count()
            && self.predicted_stress.len() == topology.beam_count()
            && self.pose.at_m.len() == topology.attachment_count()
            && self.pose.segment_m.len() == topology.path_total()
    }

    /// Fills the gradient with the tensions that the pose has.
    pub(crate) fn true_gradient(&mut self, topology: &Topology) {
        let (model, pose) = (&self.model, &self.pose);
        assemble::gradient(
            topology,
            model,
            pose,
            |line| pose.tension_n(model, line),
            &mut self.gradient,
        );
        self.clear_held(topology);
    }

    /// Assembles the stiffness that the pose has.
    pub(crate) fn true_stiffness(&mut self, topology: &Topology) {
        let (model, pose) = (&self.model, &self.pose);
        assemble::assemble(
            topology,
            model,
            pose,
            |line| pose.elongation_m[line] > 0.0,
            |line| pose.tension_n(model, line),
            |beam| model.beams[beam].stress(&pose.strain[beam]),
            &mut self.stiffness,
        );
    }

    /// Predicts the stress of each beam that the pose has.
    pub(crate) fn predict_true_stress(&mut self) {
        let beams = self.model.beams.iter().zip(&self.pose.strain);
        for (predicted, (beam, strain)) in self.predicted_stress.iter_mut().zip(beams) {
            *predicted = beam.stress(strain);
        }
    }

    /// Predicts the stress of each beam at the end of a linear step.
    pub(crate) fn predict_stress(&mut self, topology: &Topology, factor: f64) {
        for beam in topology.beams() {
            let motion = assemble::motion_of_ends(topology, &self.model, beam, &self.step);
            let (given, strain) = (&self.model.beams[beam.index()], &self.pose.strain[beam.index()]);
            let (now, change) = (given.stress(strain), given.stress_change(strain, &motion));
            self.predicted_stress[beam.index()] = Stress {
                force_n: now.force_n + change.force_n * factor,
                moment_n_m: now.moment_n_m + change.moment_n_m * factor,
            };
        }
    }

    /// Holds or frees the rotations of bodies: held ones resist a million times as much as anything else.
    pub(crate) fn hold_rotations(&mut self, topology: &Topology, holds: impl Fn(usize) -> bool) {
        let resistance = 1e6 * (self.model.stiffest + self.model.pendulum_stiffness());
        for frame in topology.frames().filter(|f| topology.kind(*f) == FrameKind::Body) {
            let hold = holds(frame.index());
            self.held[frame.index()] = hold;
            let at = 3 * topology.first_block(frame) + 3;
            self.stiffness.held[at..at + 3].fill(if hold { resistance } else { 0.0 });
        }
    }

    /// Clears what acts on held rotations.
    pub(crate) fn clear_held(&mut self, topology: &Topology) {
        for frame in topology.frames().filter(|f| self.held[f.index()]) {
            let at = 3 * topology.first_block(frame) + 3;
            self.gradient[at..at + 3].fill(0.0);
        }
    }

    /// Clears what a step does to held rotations.
    pub(crate) fn clear_held_step(&mut self, topology: &Topology) {
        for frame in topology.frames().filter(|f| self.held[f.index()]) {
            let at = 3 * topology.first_block(frame) + 3;
            self.step[at..at + 3].fill(0.0);
        }
    }

    /// Largest unbalanced force or moment over size in the gradient, N.
    pub(crate) fn residual_n(&self) -> f64 {
        let mut largest = 0.0_f64;
        for block in self.gradient.chunks_exact(3) {
            let square = block[0] * block[0] + block[1] * block[1] + block[2] * block[2];
            if square > largest || square.is_nan() {
                largest = square;
            }
        }
        largest.sqrt()
    }

    /// Residual that is accepted: 1e-9 of all weights and forces, or the rounding of the stiffest taut
    /// line or beam: EA/L0 times the spacing of numbers as large as the coordinates it joins. Where that rounding is more
    /// than [`MOST_UNBALANCED`] of all forces, what comes out would be noise, and is not accepted.
    pub(crate) fn allowed_n(&self, topology: &Topology) -> f64 {
        let mut rounding = 0.0_f64;
        for id in topology.lines() {
            let line = self.model.lines[id.index()];
            let taut = self.pose.elongation_m[id.index()] > 0.0;
            let stiffness = match line.sags {
                true => 4.0 * self.pose.sagging[id.index()].stiffest(),
                false if taut => line.stiffness,
                false => continue,
            };
            let reach = topology.path(id).iter().fold(line.unloaded_m, |reach, a| {
                reach.max(self.pose.at_m[a.index()].amax())
            });
            rounding = rounding.max(stiffness * reach);
        }
        for beam in topology.beams() {
            let reach = topology
                .ends(beam)
                .map(|frame| self.pose.centre_m[frame.index()].amax());
            let given = &self.model.beams[beam.index()];
            let size = topology.ends(beam).map(|frame| self.model.size_m[frame.index()]);
            // Turns are numbers of size one.
            let turns = given.turn_n_m.max() / size[0].min(size[1]);
            rounding = rounding.max(turns.max(given.shift_n_per_m.max() * reach[0].max(reach[1])));
        }
        let least = 1e-9 * self.model.force_scale_n;
        least.max((8.0 * f64::EPSILON * rounding).min(MOST_UNBALANCED * self.model.force_scale_n))
    }

    /// Limits a step to half a rig in travel and 0.6 rad in turn; gives the factor.
    pub(crate) fn step_factor(&self, topology: &Topology) -> f64 {
        let mut factor = 1.0_f64;
        for frame in topology.frames() {
            let kind = topology.kind(frame);
            if kind == FrameKind::Fixed {
                continue;
            }
            let at = 3 * topology.first_block(frame);
            let travel = Vector3::new(self.step[at], self.step[at + 1], self.step[at + 2]).norm();
            factor = factor.min(self.model.extent_m / travel);
            if kind == FrameKind::Body {
                let turn = Vector3::new(self.step[at + 3], self.step[at + 4], self.step[at + 5]).norm();
                factor = factor.min(0.6 * self.model.size_m[frame.index()] / turn);
            }
        }
        factor
    }
}
