//! The numbers of one solve in the form the equations want: bodies referred to their centres of gravity.
//!
//! Conventions: SI, z up; forces on a body act at arms from its centre of gravity, in the body's own axes.
//! Assumes: parameters that passed their check.
//! Valid for: any topology.
//! Source: from first principles; the length that scales rotations is the rms distance of the picks.
//! Checked by: tests/laws.rs (scaling, moving and turning a rig change nothing).

use crate::beam::BeamParameters;
use crate::parameters::{Parameters, Spring};
use crate::solution::Unheld;
use crate::state::State;
use crate::topology::{FrameKind, Topology};
use nalgebra::Vector3;

/// Holds one line in the solver's form.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ModelLine {
    /// EA / L0, N/m.
    pub true_stiffness: f64,
    /// Stiffness in the present stage of the search: never above the true one, N/m.
    pub stiffness: f64,
    pub unloaded_m: f64,
    /// Its own weight per unloaded length, N/m.
    pub weight_n_per_m: f64,
    /// Length below which a segment of a `via` line is rounded off in the present stage, m.
    pub rounding_m: f64,
    pub active: bool,
    /// Whether it hangs as a catenary; else it is straight, half of its weight at each end.
    pub sags: bool,
    /// Whether it is kept straight, because it runs off over a sheave when it sags.
    pub kept_straight: bool,
}

impl ModelLine {
    /// A straight line with its EA, N, its unloaded length and the weight of a metre.
    pub fn of(ea_n: f64, unloaded_m: f64, weight_n_per_m: f64) -> Self {
        let stiffness = ea_n / unloaded_m;
        Self {
            true_stiffness: stiffness,
            stiffness,
            unloaded_m,
            weight_n_per_m,
            rounding_m: 0.0,
            active: true,
            sags: false,
            kept_straight: false,
        }
    }

    /// A line that is not there.
    fn gone() -> Self {
        Self {
            active: false,
            ..Self::of(0.0, 1.0, 0.0)
        }
    }
}

/// Holds a force of fixed direction at an arm from a body's centre.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ArmForce {
    pub frame: usize,
    pub arm_m: Vector3<f64>,
    pub force_n: Vector3<f64>,
}

/// Holds all numbers of one solve.
#[derive(Debug)]
pub(crate) struct Model {
    /// Arm of each attachment from its body's centre, body axes; zero elsewhere.
    pub arm_m: Vec<Vector3<f64>>,
    /// Weight of line ends at each attachment.
    pub attachment_weight_n: Vec<f64>,
    /// Constant force at each frame's centre: weight and applied forces.
    pub frame_force_n: Vec<Vector3<f64>>,
    pub arm_forces: Vec<ArmForce>,
    /// Length that scales a body's rotations.
    pub size_m: Vec<f64>,
    pub lines: Vec<ModelLine>,
    pub beams: Vec<BeamParameters>,
    pub springs: Vec<Spring>,
    /// Sum of weights and forces on each frame, by size; what a residual is compared with.
    pub frame_scale_n: Vec<f64>,
    pub force_scale_n: f64,
    pub length_scale_m: f64,
    /// Size of the whole rig at the guess.
    pub extent_m: f64,
    /// Largest true stiffness of any active line, beam or spring.
    pub stiffest: f64,
    parent: Vec<u32>,
    group_force_n: Vec<Vector3<f64>>,
    group_scale_n: Vec<f64>,
    group_held: Vec<bool>,
}

impl Model {
    pub fn new(topology: &Topology) -> Self {
        let (frames, attachments) = (topology.frame_count(), topology.attachment_count());
        Self {
            arm_m: vec![Vector3::zeros(); attachments],
            attachment_weight_n: vec![0.0; attachments],
            frame_force_n: vec![Vector3::zeros(); frames],
            arm_forces: Vec::new(),
            size_m: vec![1.0; frames],
            lines: vec![ModelLine::gone(); topology.line_count()],
            beams: vec![BeamParameters::hinge(0.0, 0.0); topology.beam_count()],
            springs: Vec::new(),
            frame_scale_n: vec![0.0; frames],
            force_scale_n: 0.0,
            length_scale_m: 1.0,
            extent_m: 1.0,
            stiffest: 0.0,
            parent: vec![0; frames],
            group_force_n: vec![Vector3::zeros(); frames],
            group_scale_n: vec![0.0; frames],
            group_held: vec![false; frames],
        }
    }

    /// Fills in everything from checked parameters and the guess.
    pub fn prepare(&mut self, topology: &Topology, parameters: &Parameters, guess: &State) {
        self.set_lines(topology, parameters);
        self.set_beams(parameters);
        self.set_loads(topology, parameters);
        self.set_sizes(topology, parameters);
        self.set_extent(topology, parameters, guess);
        self.set_force_scale(topology, parameters, guess);
        self.limit_beams(topology, parameters);
    }

    fn set_lines(&mut self, topology: &Topology, parameters: &Parameters) {
        self.attachment_weight_n.fill(0.0);
        let mut total_length = 0.0;
        let mut active_lines = 0.0;
        for (id, given) in topology.lines().zip(&parameters.lines) {
            let line = &mut self.lines[id.index()];
            if !given.active {
                *line = ModelLine::gone();
                continue;
            }
            let length_m = given.unloaded_length_m;
            *line = ModelLine::of(given.stiffness_n, length_m, given.weight_n / length_m);
            total_length += line.unloaded_m;
            active_lines += 1.0;
            if let [first, .., last] = topology.path(id) {
                self.attachment_weight_n[first.index()] += 0.5 * given.weight_n;
                self.attachment_weight_n[last.index()] += 0.5 * given.weight_n;
            }
        }
        self.length_scale_m = if active_lines > 0.0 {
            total_length / active_lines
        } else {
            1.0
        };
    }

    fn set_beams(&mut self, parameters: &Parameters) {
        self.beams.copy_from_slice(&parameters.beams);
        self.springs.clone_from(&parameters.springs);
        self.set_stiffest();
    }

    fn set_stiffest(&mut self) {
        let lines = self.lines.iter().map(|line| line.true_stiffness);
        let springs = self.springs.iter().map(|spring| spring.stiffness_n_per_m);
        let beams = self.beams.iter().map(|beam| beam.shift_n_per_m.max());
        self.stiffest = lines.chain(springs).chain(beams).fold(0.0, f64::max);
    }

    /// Lets no piece of pipe resist shifts of its ends by more than lets rounding of places be a millionth of all forces.
    ///
    /// What resists offsets grows as the inverse cube of the length: a piece of some millimetres would turn the rounding
    /// of its places into newtons. So limited it gives by some hundredths of a micrometre, where it was to give by less;
    /// what it turns by is as before.
    fn limit_beams(&mut self, topology: &Topology, parameters: &Parameters) {
        let fixed = topology
            .frames()
            .filter(|frame| topology.kind(*frame) == FrameKind::Fixed)
            .map(|frame| parameters.fixed_at_m[frame.index()].amax());
        let giving = self.springs.iter().map(|spring| spring.at_m.amax());
        // Of the places that are known, and not of a pose, so that a solution is one to its own parameters.
        let reach_m = self.length_scale_m + fixed.chain(giving).fold(0.0, f64::max);
        let spacing_m = 8.0 * f64::EPSILON * reach_m;
        let most = 1e-6 * self.force_scale_n / spacing_m;
        for beam in &mut self.beams {
            beam.shift_n_per_m = beam.shift_n_per_m.map(|stiffness| stiffness.min(most));
        }
        self.set_stiffest();
    }

    fn set_loads(&mut self, topology: &Topology, parameters: &Parameters) {
        for (frame, force) in self.frame_force_n.iter_mut().enumerate() {
            *force = Vector3::new(0.0, 0.0, -parameters.weight_n[frame]);
            self.frame_scale_n[frame] = parameters.weight_n[frame];
        }
        self.arm_forces.clear();
        for given in &parameters.forces {
            let frame = given.frame.index();
            self.frame_scale_n[frame] += given.force_n.norm();
            let arm_m = given.offset_m - parameters.centre_m[frame];
            if topology.kind(given.frame) == FrameKind::Body && arm_m != Vector3::zeros() {
                self.arm_forces.push(ArmForce {
                    frame,
                    arm_m,
                    force_n: given.force_n,
                });
            } else {
                self.frame_force_n[frame] += given.force_n;
            }
        }
        for (index, weight) in self.attachment_weight_n.iter().enumerate() {
            let frame = topology.frame_of(crate::ids::AttachmentId(index as u32));
            self.frame_scale_n[frame.index()] += weight;
        }
        for (beam, given) in topology.beams().zip(&self.beams) {
            let half = given.load_n_per_m * (0.5 * given.length_m);
            for frame in topology.ends(beam) {
                self.frame_force_n[frame.index()] += half;
                self.frame_scale_n[frame.index()] += half.norm();
            }
        }
    }

    /// Refers attachments to the centres of gravity and takes the rms distance of the picks as size.
    fn set_sizes(&mut self, topology: &Topology, parameters: &Parameters) {
        self.size_m.fill(0.0);
        let count = &mut self.group_scale_n;
        count.fill(0.0);
        for (index, arm) in self.arm_m.iter_mut().enumerate() {
            let frame = topology.frame_of(crate::ids::AttachmentId(index as u32));
            if topology.kind(frame) == FrameKind::Body {
                *arm = parameters.attachment_offset_m[index] - parameters.centre_m[frame.index()];
                self.size_m[frame.index()] += arm.norm_squared();
                count[frame.index()] += 1.0;
            }
        }
        for force in &self.arm_forces {
            self.size_m[force.frame] += force.arm_m.norm_squared();
            count[force.frame] += 1.0;
        }
        // Pieces of pipe turn with one another: a short one need not make a small body.
        let spare = self.length_scale_m;
        for (beam, given) in topology
            .beams()
            .zip(&self.beams)
            .filter(|(_, b)| b.length_m > 0.0)
        {
            let half = (0.5 * given.length_m).max(0.01 * spare);
            for frame in topology.ends(beam) {
                self.size_m[frame.index()] += half * half;
                count[frame.index()] += 1.0;
            }
        }
        let mut largest = 0.0_f64;
        for (size, count) in self.size_m.iter_mut().zip(count.iter()) {
            *size = if *count > 0.0 { (*size / count).sqrt() } else { 0.0 };
            largest = largest.max(*size);
        }
        // A body whose only pick is its centre has no size of its own; any length will do.
        for size in &mut self.size_m {
            if *size < 1e-6 * spare {
                *size = spare;
            }
        }
        self.length_scale_m = self.length_scale_m.max(largest);
    }

    fn set_extent(&mut self, topology: &Topology, parameters: &Parameters, guess: &State) {
        let mut low = Vector3::repeat(f64::INFINITY);
        let mut high = Vector3::repeat(f64::NEG_INFINITY);
        for frame in topology.frames() {
            let at = guess.frame_at_m(topology, parameters, frame);
            low = low.inf(&at);
            high = high.sup(&at);
        }
        let diagonal = (high - low).norm();
        self.extent_m = self.length_scale_m + if diagonal.is_finite() { diagonal } else { 0.0 };
    }

    /// Sums weights and forces on free frames; a rig without any is measured by its prestress.
    fn set_force_scale(&mut self, topology: &Topology, parameters: &Parameters, guess: &State) {
        self.force_scale_n = topology
            .frames()
            .filter(|f| topology.kind(*f) != FrameKind::Fixed)
            .map(|f| self.frame_scale_n[f.index()])
            .sum();
        if self.force_scale_n > 0.0 {
            return;
        }
        for id in topology.lines() {
            let line = self.lines[id.index()];
            let at = |a| guess.attachment_at_m(topology, parameters, a);
            let length: f64 = topology
                .path(id)
                .windows(2)
                .map(|pair| (at(pair[1]) - at(pair[0])).norm())
                .sum();
            self.force_scale_n = self
                .force_scale_n
                .max(line.stiffness * (length - line.unloaded_m));
        }
        if self.force_scale_n <= 0.0 {
            self.force_scale_n = (1e-6 * self.stiffest * self.length_scale_m).max(f64::MIN_POSITIVE);
        }
    }

    /// Softens every line by a compliance that stretches it by `stretch` of its length under the whole
    /// weight, and rounds off the corners of `via` lines over the same fraction of their length.
    pub fn soften(&mut self, stretch: f64) {
        for line in self.lines.iter_mut().filter(|line| line.active) {
            let added = stretch * line.unloaded_m / self.force_scale_n;
            line.stiffness = 1.0 / (1.0 / line.true_stiffness + added);
            line.rounding_m = stretch * line.unloaded_m;
        }
    }

    /// Weight over length: the stiffness of a pendulum of the rig's size, N/m.
    pub fn pendulum_stiffness(&self) -> f64 {
        self.force_scale_n / self.length_scale_m
    }

    /// Eigenvalue below which a stiffness counts as none: 1e-6 of a pendulum's, or what rounding of the
    /// stiffest line leaves uncertain.
    pub fn free_stiffness(&self) -> f64 {
        (1e-6 * self.pendulum_stiffness()).max(64.0 * f64::EPSILON * self.stiffest)
    }

    /// Finds groups of frames that lines join to one another and to no fixed frame, with a net force.
    pub fn unheld(&mut self, topology: &Topology) -> Option<Unheld> {
        for (index, parent) in self.parent.iter_mut().enumerate() {
            *parent = index as u32;
        }
        for id in topology.lines().filter(|id| self.lines[id.index()].active) {
            for pair in topology.path(id).windows(2) {
                let a = root(&mut self.parent, topology.frame_of(pair[0]).0);
                let b = root(&mut self.parent, topology.frame_of(pair[1]).0);
                self.parent[a.max(b) as usize] = a.min(b);
            }
        }
        for beam in topology.beams() {
            let [a, b] = topology.ends(beam).map(|frame| root(&mut self.parent, frame.0));
            self.parent[a.max(b) as usize] = a.min(b);
        }
        self.group_force_n.fill(Vector3::zeros());
        self.group_scale_n.fill(0.0);
        self.group_held.fill(false);
        for spring in &self.springs {
            self.group_held[root(&mut self.parent, spring.frame.0) as usize] = true;
        }
        for frame in topology.frames() {
            let group = root(&mut self.parent, frame.0) as usize;
            self.group_held[group] |= topology.kind(frame) == FrameKind::Fixed;
            self.group_force_n[group] += self.frame_force_n[frame.index()];
            self.group_scale_n[group] += self.frame_scale_n[frame.index()];
        }
        for (index, weight) in self.attachment_weight_n.iter().enumerate() {
            let frame = topology.frame_of(crate::ids::AttachmentId(index as u32));
            self.group_force_n[root(&mut self.parent, frame.0) as usize].z -= weight;
        }
        for force in &self.arm_forces {
            self.group_force_n[root(&mut self.parent, force.frame as u32) as usize] += force.force_n;
        }
        let falls = |group: usize| {
            !self.group_held[group] && self.group_force_n[group].norm() > 1e-9 * self.group_scale_n[group]
        };
        let first = (0..topology.frame_count()).find(|group| falls(*group))?;
        let parent = &mut self.parent;
        let frames = topology
            .frames()
            .filter(|f| falls(root(parent, f.0) as usize))
            .collect();
        Some(Unheld {
            frames,
            net_force_n: self.group_force_n[first],
        })
    }
}

/// Finds the lowest frame of a group, halving the way there.
fn root(parent: &mut [u32], mut frame: u32) -> u32 {
    while parent[frame as usize] != frame {
        parent[frame as usize] = parent[parent[frame as usize] as usize];
        frame = parent[frame as usize];
    }
    frame
}
