//! Whether a balance holds: directions in which the rig would fall, and motions that nothing resists.
//!
//! Conventions: a direction is a step of all unknowns, of unit length, rotations times the body's size.
//! Assumes: forces balance at the pose.
//! Valid for: stable = the true stiffness has no eigenvalue below minus the least that counts; free = one
//! between minus and plus that, confirmed by a finite move along it that meets no resistance. The least is
//! 1e-6 W / l, or what rounding of the stiffest line leaves uncertain. Inertia of an unpivoted
//! factorisation is not trusted near zero; Cholesky only says yes or no.
//! Source: inverse iteration as in Parlett, The Symmetric Eigenvalue Problem (from memory).
//! Checked by: tests/hard_cases.rs, tests/laws.rs.

use crate::ids::FrameId;
use crate::solution::{FreeMotion, FreeMotionKind};
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;
use nalgebra::Vector3;

/// Says how firm a balance is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Firmness {
    /// Every small motion is resisted.
    Firm,
    /// Some motion may meet no resistance.
    Loose,
    /// It would fall along this direction.
    Falls(Vec<f64>),
}

/// Most motions reported as free.
const MOST_FREE: usize = 12;

/// Judges the balance at `work.pose`.
pub(crate) fn firmness(topology: &Topology, work: &mut Workspace) -> Firmness {
    let least = work.model.free_stiffness();
    work.true_stiffness(topology);
    if work.stiffness.factorise(-least) {
        Firmness::Firm
    } else if work.stiffness.factorise(least) {
        Firmness::Loose
    } else {
        falling_direction(work).map_or(Firmness::Loose, Firmness::Falls)
    }
}

/// Finds the direction of the most negative stiffness of the assembled matrix.
pub(crate) fn falling_direction(work: &mut Workspace) -> Option<Vec<f64>> {
    let mut shift = 2.0 * work.model.free_stiffness();
    while !work.stiffness.factorise(shift) {
        shift *= 2.0;
        if shift >= 1e9 * (work.model.stiffest + work.model.pendulum_stiffness()) {
            return None;
        }
    }
    let (direction, stiffness) = softest(work, &[], 60);
    (stiffness < 0.0).then_some(direction)
}

/// Finds the softest direction across those already found, with the last factor; and its stiffness.
fn softest(work: &mut Workspace, found: &[Vec<f64>], rounds: u32) -> (Vec<f64>, f64) {
    let size = work.step.len();
    // Any fixed start that no symmetry of a rig is likely to share, another one for each direction: the
    // last start has nothing left across those found.
    let mut seed = 0x9e37_79b9_7f4a_7c15_u64 + found.len() as u64;
    let mut direction: Vec<f64> = (0..size)
        .map(|_| {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        })
        .collect();
    let mut product = vec![0.0; size];
    let mut stiffness = f64::INFINITY;
    for _ in 0..rounds {
        across(&mut direction, found);
        work.stiffness.solve(&mut direction);
        across(&mut direction, found);
        let norm = direction.iter().map(|x| x * x).sum::<f64>().sqrt();
        for entry in &mut direction {
            *entry /= norm;
        }
        work.stiffness.times(&direction, &mut product);
        let now = dot(&direction, &product);
        let settled = (now - stiffness).abs() <= 1e-3 * now.abs().max(1e-3 * work.model.free_stiffness());
        stiffness = now;
        if settled {
            break;
        }
    }
    (direction, stiffness)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Removes from a vector what lies along unit directions.
fn across(vector: &mut [f64], directions: &[Vec<f64>]) {
    for direction in directions {
        let along = dot(vector, direction);
        for (entry, part) in vector.iter_mut().zip(direction) {
            *entry -= along * part;
        }
    }
}

/// Finds the motions that nothing resists at a loose balance. Leaves `work.pose` as it was.
pub(crate) fn free_motions(topology: &Topology, work: &mut Workspace) -> Vec<FreeMotion> {
    let least = work.model.free_stiffness();
    let mut soft: Vec<Vec<f64>> = Vec::new();
    work.true_stiffness(topology);
    if !work.stiffness.factorise(2.0 * least) {
        return Vec::new();
    }
    while soft.len() < MOST_FREE.min(work.step.len()) {
        let (direction, stiffness) = softest(work, &soft, 40);
        if stiffness.abs() > 1.01 * least || stiffness.is_nan() {
            break;
        }
        soft.push(direction);
    }
    let mut motions = Vec::new();
    while let Some(direction) = take_local(topology, &mut soft) {
        if moves_freely(topology, work, &direction)
            && let Some(motion) = describe(topology, work, &direction)
        {
            motions.push(motion);
        }
    }
    motions
}

/// Takes out of the space of soft directions the one that moves one freedom most, leaving the rest.
fn take_local(topology: &Topology, soft: &mut Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let size = soft.first()?.len();
    let weight = |at: usize| {
        soft.iter()
            .map(|direction| direction[at] * direction[at])
            .sum::<f64>()
    };
    let mut best = 0;
    for at in 1..size.min(3 * topology.block_count()) {
        if weight(at) > weight(best) * (1.0 + 1e-6) {
            best = at;
        }
    }
    let norm = weight(best).sqrt();
    if norm < 1e-9 || norm.is_nan() {
        return None;
    }
    let mut taken = vec![0.0; size];
    for direction in soft.iter() {
        for (entry, part) in taken.iter_mut().zip(direction) {
            *entry += part * direction[best] / norm;
        }
    }
    // Make the others orthogonal to it and drop the one that has become dependent.
    let mut rest: Vec<Vec<f64>> = Vec::new();
    let mut left = std::mem::take(soft);
    left.sort_by(|a, b| a[best].abs().total_cmp(&b[best].abs()));
    left.pop();
    for mut direction in left {
        across(&mut direction, std::slice::from_ref(&taken));
        across(&mut direction, &rest);
        let norm = dot(&direction, &direction).sqrt();
        for entry in &mut direction {
            *entry /= norm;
        }
        rest.push(direction);
    }
    *soft = rest;
    Some(taken)
}

/// Moves 3 thousandths of the size of what moves along a direction, to either side, lets everything across
/// it balance, and asks whether anything pushes back. Free to one side is free: a slack line that has just
/// come taut stops only the other. The move is short because slack may end soon, and long enough that a
/// stiffness that grows from nothing (a line square to the motion) is felt.
fn moves_freely(topology: &Topology, work: &mut Workspace, direction: &[f64]) -> bool {
    work.start.copy_frames(&work.pose);
    let travel = 0.003 * size_of_most_moved(topology, work, direction);
    let mut free = false;
    for sign in [1.0, -1.0] {
        work.pose.copy_frames(&work.start);
        work.pose.move_by(topology, &work.model, direction, sign * travel);
        let push = push_back(topology, work, direction);
        let own = own_force(topology, work, direction);
        let resisted = sign * push > 2e-6 * own * travel / work.model.length_scale_m
            && sign * push > 2.0 * work.model.free_stiffness() * travel;
        free |= !resisted;
    }
    work.pose.copy_frames(&work.start);
    work.pose.measure(topology, &work.model);
    free
}

/// Size of the frame that moves most.
fn size_of_most_moved(topology: &Topology, work: &Workspace, direction: &[f64]) -> f64 {
    match most_moved(topology, direction) {
        Some(frame) if topology.kind(frame) == FrameKind::Body => work.model.size_m[frame.index()],
        _ => work.model.length_scale_m,
    }
}

/// Weight and forces on the frames that move, or on the whole rig where they have none.
fn own_force(topology: &Topology, work: &Workspace, direction: &[f64]) -> f64 {
    let own: f64 = topology
        .frames()
        .filter(|f| motion_of(topology, direction, *f) > 1e-3)
        .map(|f| work.model.frame_scale_n[f.index()])
        .sum();
    if own > 0.0 { own } else { work.model.force_scale_n }
}

/// Balances everything across a direction; gives the gradient of the energy along it.
fn push_back(topology: &Topology, work: &mut Workspace, direction: &[f64]) -> f64 {
    let least = work.model.free_stiffness();
    let mut along = 0.0;
    for _ in 0..12 {
        work.pose.measure(topology, &work.model);
        work.true_gradient(topology);
        along = dot(&work.gradient, direction);
        for (entry, part) in work.gradient.iter_mut().zip(direction) {
            *entry -= along * part;
        }
        if work.residual_n() <= work.allowed_n(topology) {
            break;
        }
        work.true_stiffness(topology);
        let mut shift = least;
        while !work.stiffness.factorise(shift) {
            shift *= 10.0;
            if shift >= 1e9 * (work.model.stiffest + least) {
                return along;
            }
        }
        for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
            *step = -gradient;
        }
        work.stiffness.solve(&mut work.step);
        let mut answer = direction.to_vec();
        work.stiffness.solve(&mut answer);
        let ratio = dot(&work.step, direction) / dot(&answer, direction);
        for (step, part) in work.step.iter_mut().zip(&answer) {
            *step -= ratio * part;
        }
        let factor = work.step_factor(topology);
        work.pose.move_by(topology, &work.model, &work.step, factor);
    }
    along
}

/// Length of a frame's part in a direction.
pub(crate) fn motion_of(topology: &Topology, direction: &[f64], frame: FrameId) -> f64 {
    let at = 3 * topology.first_block(frame);
    let freedoms = topology.kind(frame).freedoms();
    direction
        .get(at..at + freedoms)
        .map_or(0.0, |part| dot(part, part).sqrt())
}

/// The frame that moves most; the first in document order of equals.
pub(crate) fn most_moved(topology: &Topology, direction: &[f64]) -> Option<FrameId> {
    let mut best = None;
    let mut most = 0.0;
    for frame in topology.frames() {
        let motion = motion_of(topology, direction, frame);
        if motion > most * (1.0 + 1e-6) {
            (best, most) = (Some(frame), motion);
        }
    }
    best
}

fn describe(topology: &Topology, work: &Workspace, direction: &[f64]) -> Option<FreeMotion> {
    let frame = most_moved(topology, direction)?;
    let most = motion_of(topology, direction, frame);
    let shared = topology
        .frames()
        .any(|other| other != frame && motion_of(topology, direction, other) > 1e-3 * most);
    let at = 3 * topology.first_block(frame);
    let travel = Vector3::new(direction[at], direction[at + 1], direction[at + 2]);
    let turn = if topology.kind(frame) == FrameKind::Body {
        Vector3::new(direction[at + 3], direction[at + 4], direction[at + 5])
    } else {
        Vector3::zeros()
    };
    let size = work.model.size_m[frame.index()];
    let kind = if turn.norm() > 1e-2 * travel.norm() {
        let turn = turn / size;
        let through_m = work.pose.centre_m[frame.index()] + turn.cross(&travel) / turn.norm_squared();
        FreeMotionKind::Turns {
            axis: upright(turn.normalize()),
            through_m,
        }
    } else {
        FreeMotionKind::Moves {
            direction: upright(travel.normalize()),
        }
    };
    Some(FreeMotion { frame, kind, shared })
}

/// Turns a direction so that its largest component is positive, and clears what rounding left in it.
fn upright(direction: Vector3<f64>) -> Vector3<f64> {
    let largest = direction.iter().fold(
        0.0_f64,
        |best, x| if x.abs() > best.abs() + 1e-6 { *x } else { best },
    );
    let sign = if largest < 0.0 { -1.0 } else { 1.0 };
    direction.map(|x| if x.abs() < 1e-9 { 0.0 } else { sign * x })
}
