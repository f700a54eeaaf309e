//! What a little more of a line's length, or a small force, changes in an equilibrium.
//!
//! Where forces balance, the gradient g of the energy is zero; so a change of a number p moves the rig by -H^-1 dg/dp, with
//! H the stiffness at the balance. One factorisation serves all of them.
//!
//! Conventions: per metre of unloaded length, EA and weight per unloaded metre staying what they are; per newton of a
//! force; small turns in world axes; tension as in [`crate::LineResult`].
//! Assumes: the set of lines that are taut, and that sag, stays the same.
//! Valid for: a balance that holds; a line that is just about to come taut or slack has another slope on its other side.
//! Source: implicit function theorem; the slopes of a catenary by its length from catenary.rs and sagging.rs.
//! Checked by: tests/sensitivity.rs, against differences of fresh solves.

use crate::assemble;
use crate::error::StaticsError;
use crate::ids::{FrameId, LineId};
use crate::parameters::{AppliedForce, Parameters, check_forces};
use crate::solution::Solution;
use crate::stability::{falling_direction, most_moved};
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;
use nalgebra::Vector3;

/// Holds what a small change of one number does to everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Change of the place of each frame's origin, m; by `FrameId`.
    pub place_m: Vec<Vector3<f64>>,
    /// Small turn of each body in world axes, rad; by `FrameId`, zero elsewhere.
    pub turn_rad: Vec<Vector3<f64>>,
    /// Change of each line's tension, as `tension_n` of its result means it, N; by `LineId`.
    pub tension_n: Vec<f64>,
}

/// Holds what small changes do to an equilibrium.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivities {
    /// By `LineId`: change for each metre that is added to the line's unloaded length, its EA and its weight per unloaded
    /// metre staying the same. All zero for a line that is gone, or slack and without weight.
    pub by_length: Vec<Change>,
    /// Change for each newton in the direction of each force that was asked about, in that order.
    pub by_force: Vec<Change>,
    /// True when some motion meets no resistance. Such motions are held by a stiffness of 1e-6 of weight over length, or of
    /// the rounding of the stiffest line if that is larger, which is also what a solve tells free motions by. What a change
    /// holds of such a motion means nothing; all else of it does.
    pub free_motions_held: bool,
}

/// Works out what a metre more of each line, and a newton along each of `forces`, would change at `solution` if it
/// went on changing as it begins to.
///
/// `parameters` are those that were solved. A force of `forces` is one that comes to act besides; only its place and
/// direction count. Cost: one factorisation, and one solution with it for each line and force.
///
/// # Errors
///
/// As [`crate::solve`] for numbers that cannot be; [`StaticsError::NotConverged`] where forces do not balance at `solution`;
/// [`StaticsError::OnlyUnstable`] where that balance does not hold.
pub fn sensitivities(
    topology: &Topology,
    parameters: &Parameters,
    solution: &Solution,
    forces: &[AppliedForce],
    workspace: &mut Workspace,
) -> Result<Sensitivities, StaticsError> {
    parameters.check(topology)?;
    check_forces(topology, forces)?;
    solution.state.check(topology)?;
    if !workspace.fits(topology) {
        *workspace = Workspace::new(topology);
    }
    stand_at(topology, parameters, solution, workspace)?;
    let free_motions_held = factorise(topology, workspace)?;
    let by_length = topology
        .lines()
        .map(|line| by_length(topology, parameters, workspace, line))
        .collect();
    let by_force = forces
        .iter()
        .map(|force| by_force(topology, parameters, workspace, force))
        .collect();
    Ok(Sensitivities {
        by_length,
        by_force,
        free_motions_held,
    })
}

/// Puts model and pose where the solution has them, with the same lines sagging.
fn stand_at(
    topology: &Topology,
    parameters: &Parameters,
    solution: &Solution,
    work: &mut Workspace,
) -> Result<(), StaticsError> {
    work.hold_rotations(topology, |_| false);
    work.model.prepare(topology, parameters, &solution.state);
    for (line, result) in work.model.lines.iter_mut().zip(&solution.lines) {
        line.sags = line.active && result.sag_m.is_some();
    }
    work.pose.take(topology, parameters, &solution.state);
    work.pose.measure(topology, &work.model);
    work.true_gradient(topology);
    let residual_n = work.residual_n();
    // A solution may have been written down to some digits since.
    let allowed_n = (1e-6 * work.model.force_scale_n).max(8.0 * solution.allowed_residual_n);
    if residual_n <= allowed_n {
        return Ok(());
    }
    Err(StaticsError::NotConverged {
        frame: most_moved(topology, &work.gradient).unwrap_or(FrameId(0)),
        iterations: 0,
        residual_n,
        allowed_n,
    })
}

/// Factorises the stiffness; tells whether free motions had to be held.
fn factorise(topology: &Topology, work: &mut Workspace) -> Result<bool, StaticsError> {
    let least = work.model.free_stiffness();
    work.true_stiffness(topology);
    if work.stiffness.factorise(-least) && work.stiffness.factorise(0.0) {
        return Ok(false);
    }
    if work.stiffness.factorise(least) {
        return Ok(true);
    }
    let falls = falling_direction(work).and_then(|direction| most_moved(topology, &direction));
    Err(StaticsError::OnlyUnstable {
        frame: falls.unwrap_or(FrameId(0)),
        iterations: 0,
    })
}

/// Says what a metre more of a line does, by the stiffness that is factorised.
pub(crate) fn by_length(
    topology: &Topology,
    parameters: &Parameters,
    work: &mut Workspace,
    line: LineId,
) -> Change {
    let index = line.index();
    let given = work.model.lines[index];
    let mut change = Change::none(topology);
    if !given.active {
        return change;
    }
    let path = topology.path(line);
    let unbalance: Vec<Vector3<f64>> = if given.sags {
        work.pose.sagging[index].slopes_by_length(&given)
    } else {
        // dT/dL0 = -(EA / L0) L / L0 at the same place.
        let slower = -given.stiffness * (1.0 + work.pose.elongation_m[index] / given.unloaded_m);
        let softer = if work.pose.elongation_m[index] > 0.0 {
            slower
        } else {
            0.0
        };
        let half = Vector3::z() * (0.5 * given.weight_n_per_m);
        change.tension_n[index] = softer;
        let last = path.len() - 1;
        let own = |i: usize| {
            if i == 0 || i == last {
                half
            } else {
                Vector3::zeros()
            }
        };
        let slope = |i: usize| assemble::length_slope(topology, &work.pose, line, i);
        (0..path.len()).map(|i| slope(i) * softer + own(i)).collect()
    };
    work.step.fill(0.0);
    for (attachment, slope) in path.iter().zip(&unbalance) {
        assemble::add_at(
            topology,
            &work.model,
            &work.pose,
            *attachment,
            -slope,
            &mut work.step,
        );
    }
    respond(work);
    write(topology, parameters, work, Some(line), &mut change);
    change
}

fn by_force(
    topology: &Topology,
    parameters: &Parameters,
    work: &mut Workspace,
    force: &AppliedForce,
) -> Change {
    let mut change = Change::none(topology);
    let (frame, size) = (force.frame, force.force_n.norm());
    if size == 0.0 || topology.kind(frame) == FrameKind::Fixed {
        return change;
    }
    let along = force.force_n / size;
    work.step.fill(0.0);
    let at = 3 * topology.first_block(frame);
    work.step[at..at + 3].copy_from_slice(along.as_slice());
    if topology.kind(frame) == FrameKind::Body {
        let index = frame.index();
        let arm = work.pose.rotation[index] * (force.offset_m - parameters.centre_m[index]);
        let moment = arm.cross(&along) / work.model.size_m[index];
        work.step[at + 3..at + 6].copy_from_slice(moment.as_slice());
    }
    respond(work);
    write(topology, parameters, work, None, &mut change);
    change
}

/// Turns the forces in `work.step` into the motion that they bring. What is left of them is put right twice: after that
/// the stiffness that holds free motions is felt by nothing that resists a thousand times as much by itself.
pub(crate) fn respond(work: &mut Workspace) {
    work.gradient_before.copy_from_slice(&work.step);
    work.stiffness.solve(&mut work.step);
    for _ in 0..2 {
        work.stiffness.times(&work.step, &mut work.gradient);
        for (left, force) in work.gradient.iter_mut().zip(&work.gradient_before) {
            *left = force - *left;
        }
        work.stiffness.solve(&mut work.gradient);
        for (moved, more) in work.step.iter_mut().zip(&work.gradient) {
            *moved += more;
        }
    }
}

/// Writes what the step in `work` does to places, turns and tensions; `longer` is the line that is lengthened.
pub(crate) fn write(
    topology: &Topology,
    parameters: &Parameters,
    work: &Workspace,
    longer: Option<LineId>,
    change: &mut Change,
) {
    for frame in topology
        .frames()
        .filter(|f| topology.kind(*f) != FrameKind::Fixed)
    {
        let index = frame.index();
        let (moved, turn) = assemble::motion_of_frame(topology, &work.model, frame, &work.step);
        let arm = work.pose.rotation[index] * parameters.centre_m[index];
        change.place_m[index] = moved - turn.cross(&arm);
        change.turn_rad[index] = turn;
    }
    for line in topology
        .lines()
        .filter(|line| work.model.lines[line.index()].active)
    {
        let index = line.index();
        let given = work.model.lines[index];
        if given.sags {
            let moved = assemble::motion_of_path(topology, &work.model, &work.pose, line, &work.step);
            let longer_m = f64::from(u8::from(longer == Some(line)));
            change.tension_n[index] = work.pose.sagging[index].tension_change_n(&given, &moved, longer_m);
        } else if work.pose.elongation_m[index] > 0.0 {
            let longer_m = assemble::length_change(topology, &work.model, &work.pose, line, &work.step);
            change.tension_n[index] += given.stiffness * longer_m;
        }
    }
}

impl Change {
    pub(crate) fn none(topology: &Topology) -> Self {
        let frames = topology.frame_count();
        Self {
            place_m: vec![Vector3::zeros(); frames],
            turn_rad: vec![Vector3::zeros(); frames],
            tension_n: vec![0.0; topology.line_count()],
        }
    }
}
