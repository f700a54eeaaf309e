//! From the pose that was found to the numbers of a solution.
//!
//! Conventions: as in docs/theory/conventions.md: a pull points from its attachment along the line.
//! Assumes: the true stiffness and no rounded corners, as the search leaves them.
//! Valid for: a pose in which forces balance; what is left is written beside it.
//! Source: definitions only.
//! Checked by: tests/laws.rs (every force and moment recounted from positions alone), tests/published.rs.

use crate::parameters::Parameters;
use crate::solution::{LineResult, Solution};
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;
use nalgebra::Vector3;

/// Writes state, lines, pulls, forces on the building and the residual.
pub(crate) fn write(
    topology: &Topology,
    parameters: &Parameters,
    work: &mut Workspace,
    solution: &mut Solution,
) {
    work.true_gradient(topology);
    solution.residual_n = work.residual_n();
    solution.allowed_residual_n = work.allowed_n(topology);
    let (model, pose) = (&work.model, &work.pose);
    pose.give(topology, parameters, &mut solution.state);
    for frame in topology.frames() {
        let fixed = topology.kind(frame) == FrameKind::Fixed;
        solution.on_building_n[frame.index()] = if fixed {
            model.frame_force_n[frame.index()]
        } else {
            Vector3::zeros()
        };
    }
    let add = |on_building: &mut [Vector3<f64>], attachment, force: Vector3<f64>| {
        let frame = topology.frame_of(attachment);
        if topology.kind(frame) == FrameKind::Fixed {
            on_building[frame.index()] += force;
        }
    };
    for (index, weight) in model.attachment_weight_n.iter().enumerate() {
        let attachment = crate::ids::AttachmentId(index as u32);
        add(
            &mut solution.on_building_n,
            attachment,
            Vector3::new(0.0, 0.0, -weight),
        );
    }
    for id in topology.lines() {
        let range = topology.path_range(id);
        let path = topology.path(id);
        let line = model.lines[id.index()];
        let tension_n = pose.tension_n(model, id.index());
        let mut length_m = 0.0;
        let mut before = Vector3::zeros();
        for (offset, attachment) in path.iter().enumerate() {
            let at = range.start + offset;
            let after = match path.get(offset + 1) {
                Some(next) => {
                    length_m += (solution_at(work, *next) - solution_at(work, *attachment)).norm();
                    pose.direction[at]
                }
                None => Vector3::zeros(),
            };
            let pull = if tension_n > 0.0 {
                (after - before) * tension_n
            } else {
                Vector3::zeros()
            };
            solution.pulls_n[at] = pull;
            add(&mut solution.on_building_n, *attachment, pull);
            before = after;
        }
        let slack = !line.active || pose.elongation_m[id.index()] <= 0.0;
        solution.lines[id.index()] = LineResult {
            tension_n,
            length_m,
            slack,
        };
    }
}

fn solution_at(work: &Workspace, attachment: crate::ids::AttachmentId) -> Vector3<f64> {
    work.pose.at_m[attachment.index()]
}
