//! The numbers of a rig: places, weights, forces and lines.
//!
//! Conventions: SI, z up; every vector is indexed by the id named beside it; offsets in a body's own axes.
//! Assumes: the weight of a line acts half at each of its two end attachments.
//! Valid for: finite numbers; EA > 0 and L0 > 0 for active lines; weights >= 0. Otherwise: [`StaticsError`].
//! Source: definitions only.
//! Checked by: tests/hard_cases.rs (bad numbers are refused with their place).

use crate::beam::BeamParameters;
use crate::error::{Quantity, StaticsError};
use crate::ids::{AttachmentId, BeamId, FrameId, LineId};
use crate::topology::{FrameKind, Topology};
use nalgebra::Vector3;

/// Describes an elastic line that carries tension only: T = EA (L - L0) / L0 where L > L0, else 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineParameters {
    /// EA: the force that would double its length if it stayed linear, N.
    pub stiffness_n: f64,
    /// L0: its length along its path when it carries nothing, m.
    pub unloaded_length_m: f64,
    /// Its own weight, N; half acts at each end attachment.
    pub weight_n: f64,
    /// False when the line is gone, and its weight with it.
    pub active: bool,
}

/// Describes a force that keeps its direction in space while the frame moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AppliedForce {
    /// Where it acts: a body, a junction, or a fixed frame (then it only adds to what the building feels).
    pub frame: FrameId,
    /// Place on the body, in the body's own axes, from its origin, m. Zero on a junction or fixed frame.
    pub offset_m: Vector3<f64>,
    /// The force, in world axes, N.
    pub force_n: Vector3<f64>,
}

/// Describes a place of the building that gives: it pulls a junction towards where it is when nothing pulls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// The junction.
    pub frame: FrameId,
    /// Where it is when nothing pulls, m.
    pub at_m: Vector3<f64>,
    /// Stiffness, alike in every direction, N/m.
    pub stiffness_n_per_m: f64,
}

/// Holds every number of a rig in flat vectors; change them freely between solves.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameters {
    /// Place of each fixed frame, m; by `FrameId`, ignored for free frames.
    pub fixed_at_m: Vec<Vector3<f64>>,
    /// Place of each attachment from its body's origin, in the body's axes, m; by `AttachmentId`. Zero
    /// on fixed frames and junctions.
    pub attachment_offset_m: Vec<Vector3<f64>>,
    /// Weight of each body and junction, N; by `FrameId`. On a fixed frame it only adds to what the
    /// building feels.
    pub weight_n: Vec<f64>,
    /// Centre of gravity from the body's origin, in the body's axes, m; by `FrameId`, zero unless a body.
    pub centre_m: Vec<Vector3<f64>>,
    /// Forces of fixed direction.
    pub forces: Vec<AppliedForce>,
    /// Lines; by `LineId`.
    pub lines: Vec<LineParameters>,
    /// Beams; by `BeamId`.
    pub beams: Vec<BeamParameters>,
    /// Places of the building that give.
    pub springs: Vec<Spring>,
}

impl Parameters {
    /// Makes vectors of the right lengths. Lines have no stiffness yet, which a solve refuses.
    pub fn blank(topology: &Topology) -> Self {
        let frames = topology.frame_count();
        let line = LineParameters {
            stiffness_n: 0.0,
            unloaded_length_m: 0.0,
            weight_n: 0.0,
            active: true,
        };
        Self {
            fixed_at_m: vec![Vector3::zeros(); frames],
            attachment_offset_m: vec![Vector3::zeros(); topology.attachment_count()],
            weight_n: vec![0.0; frames],
            centre_m: vec![Vector3::zeros(); frames],
            forces: Vec::new(),
            lines: vec![line; topology.line_count()],
            beams: vec![BeamParameters::hinge(0.0, 0.0); topology.beam_count()],
            springs: Vec::new(),
        }
    }

    /// Whether a spring holds a frame to the building.
    pub fn is_sprung(&self, frame: FrameId) -> bool {
        self.springs.iter().any(|spring| spring.frame == frame)
    }

    /// Checks counts and numbers against the topology.
    pub fn check(&self, topology: &Topology) -> Result<(), StaticsError> {
        self.check_counts(topology)?;
        for frame in topology.frames() {
            self.check_frame(topology.kind(frame), frame)?;
        }
        for (index, offset) in self.attachment_offset_m.iter().enumerate() {
            let attachment = AttachmentId(index as u32);
            let is_body = topology.kind(topology.frame_of(attachment)) == FrameKind::Body;
            if let Some(value) = offset.iter().find(|x| !x.is_finite() || (!is_body && **x != 0.0)) {
                let quantity = Quantity::AttachmentOffset;
                return Err(StaticsError::BadAttachment {
                    attachment,
                    quantity,
                    value: *value,
                });
            }
        }
        check_forces(topology, &self.forces)?;
        for (index, line) in self.lines.iter().enumerate() {
            line.check(LineId(index as u32))?;
        }
        for beam in topology.beams() {
            self.check_beam(topology, beam)?;
        }
        for (index, spring) in self.springs.iter().enumerate() {
            let frame = spring.frame;
            if frame.index() >= topology.frame_count() || topology.kind(frame) != FrameKind::Junction {
                return Err(StaticsError::UnknownForceFrame { index, frame });
            }
            let stiffness = spring.stiffness_n_per_m;
            let numbers = spring.at_m.iter().chain([&stiffness]);
            let bad = numbers.copied().find(|x| !x.is_finite());
            if let Some(value) = bad.or((stiffness <= 0.0).then_some(stiffness)) {
                let quantity = Quantity::Spring;
                return Err(StaticsError::BadFrame {
                    frame,
                    quantity,
                    value,
                });
            }
        }
        Ok(())
    }

    fn check_beam(&self, topology: &Topology, beam: BeamId) -> Result<(), StaticsError> {
        let given = &self.beams[beam.index()];
        let bad = |quantity, value| {
            Err(StaticsError::BadBeam {
                beam,
                quantity,
                value,
            })
        };
        let resists = given.shift_n_per_m.iter().chain(given.turn_n_m.iter());
        let numbers = resists.chain([&given.length_m]);
        if let Some(value) = numbers.copied().find(|x| !(x.is_finite() && *x >= 0.0)) {
            return bad(Quantity::Beam, value);
        }
        if let Some(value) = given.load_n_per_m.iter().find(|x| !x.is_finite()) {
            return bad(Quantity::Beam, *value);
        }
        let centres = topology
            .ends(beam)
            .map(|frame| self.centre_m[frame.index()].amax());
        match centres.into_iter().find(|off| *off != 0.0) {
            Some(off) => bad(Quantity::Centre, off),
            None => Ok(()),
        }
    }

    fn check_counts(&self, topology: &Topology) -> Result<(), StaticsError> {
        let frames = topology.frame_count();
        let counts = [
            (Quantity::FixedAt, self.fixed_at_m.len(), frames),
            (
                Quantity::AttachmentOffset,
                self.attachment_offset_m.len(),
                topology.attachment_count(),
            ),
            (Quantity::FrameWeight, self.weight_n.len(), frames),
            (Quantity::Centre, self.centre_m.len(), frames),
            (Quantity::Stiffness, self.lines.len(), topology.line_count()),
            (Quantity::Beam, self.beams.len(), topology.beam_count()),
        ];
        for (quantity, given, needed) in counts {
            if given != needed {
                return Err(StaticsError::WrongCount {
                    quantity,
                    given,
                    needed,
                });
            }
        }
        Ok(())
    }

    fn check_frame(&self, kind: FrameKind, frame: FrameId) -> Result<(), StaticsError> {
        let index = frame.index();
        let bad = |quantity, value: f64| {
            Err(StaticsError::BadFrame {
                frame,
                quantity,
                value,
            })
        };
        if kind == FrameKind::Fixed
            && let Some(value) = self.fixed_at_m[index].iter().find(|x| !x.is_finite())
        {
            return bad(Quantity::FixedAt, *value);
        }
        if kind == FrameKind::Body
            && let Some(value) = self.centre_m[index].iter().find(|x| !x.is_finite())
        {
            return bad(Quantity::Centre, *value);
        }
        let weight = self.weight_n[index];
        if !(weight.is_finite() && weight >= 0.0) {
            return bad(Quantity::FrameWeight, weight);
        }
        Ok(())
    }
}

/// Checks places and numbers of forces.
pub(crate) fn check_forces(topology: &Topology, forces: &[AppliedForce]) -> Result<(), StaticsError> {
    for (index, force) in forces.iter().enumerate() {
        let frame = force.frame;
        if frame.index() >= topology.frame_count() {
            return Err(StaticsError::UnknownForceFrame { index, frame });
        }
        let is_body = topology.kind(frame) == FrameKind::Body;
        let bad_force = force.force_n.iter().find(|x| !x.is_finite());
        let bad_offset = force
            .offset_m
            .iter()
            .find(|x| !x.is_finite() || (!is_body && **x != 0.0));
        if let Some(value) = bad_force.or(bad_offset) {
            return Err(StaticsError::BadFrame {
                frame,
                quantity: Quantity::AppliedForce,
                value: *value,
            });
        }
    }
    Ok(())
}

impl LineParameters {
    fn check(&self, line: LineId) -> Result<(), StaticsError> {
        if !self.active {
            return Ok(());
        }
        let bad = |quantity, value| {
            Err(StaticsError::BadLine {
                line,
                quantity,
                value,
            })
        };
        if !(self.stiffness_n.is_finite() && self.stiffness_n > 0.0) {
            return bad(Quantity::Stiffness, self.stiffness_n);
        }
        if !(self.unloaded_length_m.is_finite() && self.unloaded_length_m > 0.0) {
            return bad(Quantity::UnloadedLength, self.unloaded_length_m);
        }
        if !(self.weight_n.is_finite() && self.weight_n >= 0.0) {
            return bad(Quantity::LineWeight, self.weight_n);
        }
        Ok(())
    }
}
