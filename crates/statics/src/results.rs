//! From the pose that was found to the numbers of a solution.
//!
//! Conventions: as in docs/theory/conventions.md: a pull points from its attachment along the line.
//! Assumes: the true stiffness and no rounded corners, as the search leaves them.
//! Valid for: a pose in which forces balance; what is left is written beside it.
//! Source: definitions only.
//! Checked by: tests/laws.rs (every force and moment recounted from positions alone), tests/published.rs.

use crate::ids::{AttachmentId, LineId};
use crate::parameters::Parameters;
use crate::solution::{LineResult, Solution};
use crate::state::highest_above_mean_m;
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
        if line.sags {
            solution.lines[id.index()] = sagging(topology, work, id, &mut solution.pulls_n[range.clone()]);
            for (attachment, pull) in path.iter().zip(&solution.pulls_n[range]) {
                add(&mut solution.on_building_n, *attachment, *pull);
            }
            continue;
        }
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
        let half = Vector3::z() * (0.5 * line.weight_n_per_m * line.unloaded_m);
        let end_tension_n = |at: usize| (solution.pulls_n[at] - half).norm();
        let straight = line.active && tension_n > 0.0;
        let end_tensions_n = if straight {
            [end_tension_n(range.start), end_tension_n(range.end - 1)]
        } else {
            [0.0; 2]
        };
        solution.lines[id.index()] = LineResult {
            tension_n,
            length_m,
            slack,
            limp: slack,
            end_tensions_n,
            greatest_tension_n: if straight {
                let above_m = highest_above_mean_of_via_m(topology, work, id);
                let on_the_way_n = tension_n + line.weight_n_per_m * above_m;
                end_tensions_n.into_iter().fold(on_the_way_n, f64::max)
            } else {
                0.0
            },
            sag_m: None,
        };
    }
    for (beam, result) in topology.beams().zip(&mut solution.beams) {
        let (given, strain) = (&model.beams[beam.index()], &pose.strain[beam.index()]);
        *result = given.result(strain);
        let slopes = given.slopes(strain);
        for (end, frame) in topology.ends(beam).into_iter().enumerate() {
            if topology.kind(frame) == FrameKind::Fixed {
                solution.on_building_n[frame.index()] -= slopes[2 * end];
            }
        }
    }
    for spring in &model.springs {
        let frame = spring.frame.index();
        solution.on_building_n[frame] = (pose.centre_m[frame] - spring.at_m) * spring.stiffness_n_per_m;
    }
}

/// A line that lifts more than this share of its own weight at its lower end is not limp.
const LIFTS: f64 = 0.02;

/// How far the highest place of a line over places on its way is above the mean height of its way, m; 0 of any other.
fn highest_above_mean_of_via_m(topology: &Topology, work: &Workspace, id: LineId) -> f64 {
    let path = topology.path(id);
    if path.len() < 3 {
        return 0.0;
    }
    let (above_m, _) = highest_above_mean_m(path.iter().map(|at| solution_at(work, *at)));
    above_m
}

/// Says how a line hangs that sags, and writes its pulls.
fn sagging(topology: &Topology, work: &Workspace, id: LineId, pulls_n: &mut [Vector3<f64>]) -> LineResult {
    let (line, hung) = (&work.model.lines[id.index()], &work.pose.sagging[id.index()]);
    for (pull, slope) in pulls_n.iter_mut().zip(&hung.slopes) {
        *pull = -slope;
    }
    let path = topology.path(id);
    let at = |a: AttachmentId| solution_at(work, a);
    let ends = [hung.pieces.first(), hung.pieces.last()]
        .map(|piece| piece.map_or([0.0; 2], |p| p.hang.end_tensions_n));
    let slack = work.pose.elongation_m[id.index()] <= 0.0;
    let own_n = line.weight_n_per_m * line.unloaded_m;
    // What it lifts at its lower end: its pull there, without the half of its weight that is put on each end.
    let heights = [path.first(), path.last()].map(|a| a.map_or(0.0, |a| at(*a).z));
    let lower = if heights[0] < heights[1] {
        pulls_n.first()
    } else {
        pulls_n.last()
    };
    let lift_n = lower.map_or(0.0, |pull| pull.z - 0.5 * own_n);
    LineResult {
        tension_n: hung.tension_n(),
        length_m: path
            .windows(2)
            .map(|pair| (at(pair[1]) - at(pair[0])).norm())
            .sum(),
        slack,
        limp: slack && hung.tension_n() <= own_n && lift_n <= LIFTS * own_n,
        end_tensions_n: [ends[0][0], ends[1][1]],
        greatest_tension_n: hung
            .pieces
            .iter()
            .flat_map(|piece| piece.hang.end_tensions_n)
            .fold(0.0, f64::max),
        sag_m: Some(hung.sag_m(line)),
    }
}

fn solution_at(work: &Workspace, attachment: crate::ids::AttachmentId) -> Vector3<f64> {
    work.pose.at_m[attachment.index()]
}
