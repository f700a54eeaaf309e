//! Unbalanced force and stiffness matrix at a pose: first and second derivatives of the energy.
//!
//! Conventions: gradient of the energy (minus the force), N; rotations times the body's size, so that
//! moments are divided by it; symmetric matrix in N/m.
//! Assumes: energy of a line 1/2 k (L - L0)^2 where L > L0, else 0; loads of fixed direction.
//! Valid for: segments of some length; one of none pulls nowhere.
//! Source: from first principles; the symmetric matrix of rotations after Simo 1992 (from memory).
//! Checked by: unit tests below, against differences of the energy and of the gradient.

use crate::beam::Stress;
use crate::ids::{AttachmentId, FrameId, LineId};
use crate::model::Model;
use crate::pattern::{NOWHERE, PairSlots, Slot};
use crate::pose::Pose;
use crate::stiffness::Stiffness;
use crate::topology::{FrameKind, Topology};
use nalgebra::{Matrix3, Vector3};

/// Sums the gradient of the energy with the given tension in each line.
pub(crate) fn gradient(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    tension_of: impl Fn(usize) -> f64,
    gradient: &mut [f64],
) {
    gradient.fill(0.0);
    for frame in topology
        .frames()
        .filter(|f| topology.kind(*f) != FrameKind::Fixed)
    {
        let at = 3 * topology.first_block(frame);
        add(gradient, at, -model.frame_force_n[frame.index()]);
    }
    for (index, weight) in model
        .attachment_weight_n
        .iter()
        .enumerate()
        .filter(|(_, w)| **w != 0.0)
    {
        let attachment = AttachmentId(index as u32);
        add_at(
            topology,
            model,
            pose,
            attachment,
            Vector3::new(0.0, 0.0, *weight),
            gradient,
        );
    }
    for force in &model.arm_forces {
        let at = 3 * topology.first_block(FrameId(force.frame as u32));
        let arm = pose.rotation[force.frame] * force.arm_m;
        add(gradient, at, -force.force_n);
        add(
            gradient,
            at + 3,
            -arm.cross(&force.force_n) / model.size_m[force.frame],
        );
    }
    for spring in &model.springs {
        let at = 3 * topology.first_block(spring.frame);
        let off = pose.centre_m[spring.frame.index()] - spring.at_m;
        add(gradient, at, off * spring.stiffness_n_per_m);
    }
    for beam in topology.beams() {
        let slopes = model.beams[beam.index()].slopes(&pose.strain[beam.index()]);
        for (end, frame) in topology.ends(beam).into_iter().enumerate() {
            if topology.kind(frame) == FrameKind::Body {
                let at = 3 * topology.first_block(frame);
                add(gradient, at, slopes[2 * end]);
                add(
                    gradient,
                    at + 3,
                    slopes[2 * end + 1] / model.size_m[frame.index()],
                );
            }
        }
    }
    for id in topology.lines() {
        if model.lines[id.index()].sags {
            let slopes = &pose.sagging[id.index()].slopes;
            for (attachment, slope) in topology.path(id).iter().zip(slopes) {
                add_at(topology, model, pose, *attachment, *slope, gradient);
            }
            continue;
        }
        let tension = tension_of(id.index());
        if tension == 0.0 {
            continue;
        }
        let start = topology.path_range(id).start;
        let path = topology.path(id);
        let mut before = Vector3::zeros();
        for (offset, attachment) in path.iter().enumerate() {
            let after = if offset + 1 < path.len() {
                pose.direction[start + offset]
            } else {
                Vector3::zeros()
            };
            add_at(
                topology,
                model,
                pose,
                *attachment,
                (before - after) * tension,
                gradient,
            );
            before = after;
        }
    }
}

#[inline]
fn add(gradient: &mut [f64], at: usize, force: Vector3<f64>) {
    if let Some(block) = gradient.get_mut(at..at + 3) {
        block[0] += force.x;
        block[1] += force.y;
        block[2] += force.z;
    }
}

/// Adds a force on an attachment.
#[inline]
pub(crate) fn add_at(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    attachment: AttachmentId,
    force: Vector3<f64>,
    gradient: &mut [f64],
) {
    let frame = topology.frame_of(attachment);
    let kind = topology.kind(frame);
    if kind == FrameKind::Fixed {
        return;
    }
    let at = 3 * topology.first_block(frame);
    add(gradient, at, force);
    if kind == FrameKind::Body {
        let moment = pose.arm_m[attachment.index()].cross(&force) / model.size_m[frame.index()];
        add(gradient, at + 3, moment);
    }
}

/// Motion of a frame along a step: of its centre, and its turn.
#[inline]
pub(crate) fn motion_of_frame(
    topology: &Topology,
    model: &Model,
    frame: FrameId,
    step: &[f64],
) -> (Vector3<f64>, Vector3<f64>) {
    let at = 3 * topology.first_block(frame);
    let part = |at: usize| Vector3::new(step[at], step[at + 1], step[at + 2]);
    match topology.kind(frame) {
        FrameKind::Fixed => (Vector3::zeros(), Vector3::zeros()),
        FrameKind::Junction => (part(at), Vector3::zeros()),
        FrameKind::Body => (part(at), part(at + 3) / model.size_m[frame.index()]),
    }
}

/// Motion of both ends of a beam along a step: place and turn of the first, of the last.
pub(crate) fn motion_of_ends(
    topology: &Topology,
    model: &Model,
    beam: crate::ids::BeamId,
    step: &[f64],
) -> [Vector3<f64>; 4] {
    let [first, last] = topology
        .ends(beam)
        .map(|frame| motion_of_frame(topology, model, frame, step));
    [first.0, first.1, last.0, last.1]
}

/// Motion of an attachment along a step.
#[inline]
fn motion_of(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    attachment: AttachmentId,
    step: &[f64],
) -> Vector3<f64> {
    let (moved, turn) = motion_of_frame(topology, model, topology.frame_of(attachment), step);
    moved + turn.cross(&pose.arm_m[attachment.index()])
}

/// Motion of each place of a line's path along a step.
pub(crate) fn motion_of_path(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    id: LineId,
    step: &[f64],
) -> Vec<Vector3<f64>> {
    let path = topology.path(id).iter();
    path.map(|attachment| motion_of(topology, model, pose, *attachment, step))
        .collect()
}

/// Slope of a line's length by the `i`th place of its path.
#[inline]
pub(crate) fn length_slope(topology: &Topology, pose: &Pose, id: LineId, i: usize) -> Vector3<f64> {
    let (start, last) = (topology.path_range(id).start, topology.path(id).len() - 1);
    let before = if i > 0 {
        pose.direction[start + i - 1]
    } else {
        Vector3::zeros()
    };
    let after = if i < last {
        pose.direction[start + i]
    } else {
        Vector3::zeros()
    };
    before - after
}

/// Change of a line's length along a step.
pub(crate) fn length_change(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    id: LineId,
    step: &[f64],
) -> f64 {
    let start = topology.path_range(id).start;
    let path = topology.path(id);
    let mut change = 0.0;
    let mut before = Vector3::zeros();
    for (offset, attachment) in path.iter().enumerate() {
        let after = if offset + 1 < path.len() {
            pose.direction[start + offset]
        } else {
            Vector3::zeros()
        };
        if topology.kind(topology.frame_of(*attachment)) != FrameKind::Fixed {
            let moved = motion_of(topology, model, pose, *attachment, step);
            change += (before - after).dot(&moved);
        }
        before = after;
    }
    change
}

/// Assembles the stiffness matrix: elastic part of the lines for which `taut` holds, geometric part with
/// the given tensions and stresses of beams, and what loads at arms add to rotations.
pub(crate) fn assemble(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    taut: impl Fn(usize) -> bool,
    tension_of: impl Fn(usize) -> f64,
    stress_of: impl Fn(usize) -> Stress,
    stiffness: &mut Stiffness,
) {
    stiffness.values.fill(0.0);
    for (index, weight) in model
        .attachment_weight_n
        .iter()
        .enumerate()
        .filter(|(_, w)| **w != 0.0)
    {
        let frame = topology.frame_of(AttachmentId(index as u32)).index();
        let arm = pose.arm_m[index];
        add_arm(
            stiffness,
            frame,
            Vector3::new(0.0, 0.0, *weight),
            arm,
            model.size_m[frame],
        );
    }
    for force in &model.arm_forces {
        let arm = pose.rotation[force.frame] * force.arm_m;
        add_arm(
            stiffness,
            force.frame,
            -force.force_n,
            arm,
            model.size_m[force.frame],
        );
    }
    for spring in &model.springs {
        let slot = stiffness.pattern.frames[spring.frame.index()][0][0];
        let block = Matrix3::identity() * spring.stiffness_n_per_m;
        add_block(&mut stiffness.values, slot, &block);
    }
    for beam in topology.beams() {
        add_beam(topology, model, pose, beam, &stress_of(beam.index()), stiffness);
    }
    for id in topology.lines() {
        let index = id.index();
        if model.lines[index].sags {
            add_sagging(topology, model, pose, id, stiffness);
            continue;
        }
        let tension = tension_of(index);
        let elastic = if taut(index) {
            model.lines[index].stiffness
        } else {
            0.0
        };
        if elastic != 0.0 || tension != 0.0 {
            add_line(topology, model, pose, id, elastic, tension, stiffness);
        }
    }
    stiffness.assembled();
}

fn add_line(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    id: LineId,
    elastic: f64,
    tension: f64,
    stiffness: &mut Stiffness,
) {
    let start = topology.path_range(id).start;
    let path = topology.path(id);
    let last = path.len() - 1;
    // Derivative of the length by the place of attachment i, and second derivative of segment i.
    let slope = |i: usize| {
        let before = if i > 0 {
            pose.direction[start + i - 1]
        } else {
            Vector3::zeros()
        };
        let after = if i < last {
            pose.direction[start + i]
        } else {
            Vector3::zeros()
        };
        before - after
    };
    let bend = |i: usize| {
        let (direction, length) = (pose.direction[start + i], pose.segment_m[start + i]);
        let factor = if length > 0.0 { tension / length } else { 0.0 };
        (Matrix3::identity() - direction * direction.transpose()) * factor
    };
    let mut pair = stiffness.pattern.pair_start[id.index()] as usize;
    for i in 0..=last {
        let slope_i = slope(i);
        let frame_i = topology.frame_of(path[i]);
        for j in 0..=i {
            let slots = stiffness.pattern.pairs[pair];
            pair += 1;
            let frame_j = topology.frame_of(path[j]);
            if slots[0][0] == NOWHERE {
                continue;
            }
            let mut block = slope_i * slope(j).transpose() * elastic;
            if i == j {
                if i > 0 {
                    block += bend(i - 1);
                }
                if i < last {
                    block += bend(i);
                }
            } else if j + 1 == i {
                block -= bend(j);
            }
            let ends = [path[i].index(), path[j].index()].map(|a| pose.arm_m[a]);
            let sizes = [frame_i, frame_j].map(|f| model.size_m[f.index()]);
            if i == j {
                add_own(&mut stiffness.values, &slots, block, ends[0], sizes[0]);
            } else if frame_i == frame_j {
                add_same_frame(&mut stiffness.values, &slots, block, ends, sizes[0]);
            } else {
                let below = topology.first_block(frame_i) > topology.first_block(frame_j);
                add_pair(&mut stiffness.values, &slots, block, ends, sizes, below);
            }
        }
        add_arm(
            stiffness,
            frame_i.index(),
            slope_i * tension,
            pose.arm_m[path[i].index()],
            model.size_m[frame_i.index()],
        );
    }
}

fn add_sagging(topology: &Topology, model: &Model, pose: &Pose, id: LineId, stiffness: &mut Stiffness) {
    let sagging = &pose.sagging[id.index()];
    let path = topology.path(id);
    let start = stiffness.pattern.pair_start[id.index()] as usize;
    let mut pair = 0;
    for (i, attachment) in path.iter().enumerate() {
        let frame_i = topology.frame_of(*attachment);
        for (j, other) in path.iter().enumerate().take(i + 1) {
            let slots = stiffness.pattern.pairs[start + pair];
            let block = sagging.blocks[pair];
            pair += 1;
            let frame_j = topology.frame_of(*other);
            let arms = [*attachment, *other].map(|a| pose.arm_m[a.index()]);
            let sizes = [frame_i, frame_j].map(|f| model.size_m[f.index()]);
            if slots[0][0] == NOWHERE {
                continue;
            }
            if i == j {
                add_own(&mut stiffness.values, &slots, block, arms[0], sizes[0]);
            } else if frame_i == frame_j {
                add_same_frame(&mut stiffness.values, &slots, block, arms, sizes[0]);
            } else {
                let below = topology.first_block(frame_i) > topology.first_block(frame_j);
                add_pair(&mut stiffness.values, &slots, block, arms, sizes, below);
            }
        }
        let (arm, size) = (pose.arm_m[attachment.index()], model.size_m[frame_i.index()]);
        add_arm(stiffness, frame_i.index(), sagging.slopes[i], arm, size);
    }
}

fn add_beam(
    topology: &Topology,
    model: &Model,
    pose: &Pose,
    beam: crate::ids::BeamId,
    stress: &Stress,
    stiffness: &mut Stiffness,
) {
    let whole = model.beams[beam.index()].stiffness(&pose.strain[beam.index()], stress);
    let ends = topology.ends(beam);
    let sizes = ends.map(|frame| model.size_m[frame.index()]);
    // Place and turn of an end: unknowns of a turn are times the size.
    let block = |a: usize, b: usize| -> Matrix3<f64> {
        let scale = |i: usize| if i % 2 == 1 { sizes[i / 2] } else { 1.0 };
        whole.fixed_view::<3, 3>(3 * a, 3 * b) / (scale(a) * scale(b))
    };
    for (end, frame) in ends.into_iter().enumerate() {
        let slots = stiffness.pattern.frames[frame.index()];
        if slots[0][0] != NOWHERE {
            let (place, turn) = (2 * end, 2 * end + 1);
            add_block(&mut stiffness.values, slots[0][0], &block(place, place));
            add_block(&mut stiffness.values, slots[1][0], &block(turn, place));
            add_block(&mut stiffness.values, slots[1][1], &block(turn, turn));
        }
    }
    let slots = stiffness.pattern.beams[beam.index()];
    if slots[0][0] == NOWHERE {
        return;
    }
    let below = topology.first_block(ends[0]) > topology.first_block(ends[1]);
    for (a, row) in slots.iter().enumerate() {
        for (b, slot) in row.iter().enumerate() {
            let entry = block(a, 2 + b);
            add_block(
                &mut stiffness.values,
                *slot,
                &if below { entry } else { entry.transpose() },
            );
        }
    }
}

#[inline]
fn add_block(values: &mut [f64], slot: Slot, block: &Matrix3<f64>) {
    let (offset, stride) = (slot.offset as usize, slot.stride as usize);
    for column in 0..3 {
        let at = offset + column * stride;
        if let Some(entries) = values.get_mut(at..at + 3) {
            for row in 0..3 {
                entries[row] += block[(row, column)];
            }
        }
    }
}

/// Adds what one attachment's own stiffness does to its frame.
fn add_own(values: &mut [f64], slots: &PairSlots, block: Matrix3<f64>, arm: Vector3<f64>, size: f64) {
    add_block(values, slots[0][0], &block);
    if slots[1][1] != NOWHERE {
        let cross = (arm / size).cross_matrix();
        let mixed = cross * block;
        add_block(values, slots[1][0], &mixed);
        add_block(values, slots[1][1], &(mixed * cross.transpose()));
    }
}

/// Adds the coupling of two attachments on one frame.
fn add_same_frame(
    values: &mut [f64],
    slots: &PairSlots,
    block: Matrix3<f64>,
    arms: [Vector3<f64>; 2],
    size: f64,
) {
    add_block(values, slots[0][0], &(block + block.transpose()));
    if slots[1][1] != NOWHERE {
        let [first, second] = arms.map(|arm| (arm / size).cross_matrix());
        let mixed = first * block;
        add_block(values, slots[1][0], &(mixed + second * block.transpose()));
        let turn = mixed * second.transpose();
        add_block(values, slots[1][1], &(turn + turn.transpose()));
    }
}

/// Adds the coupling of attachments on two frames; `below` if the first frame's rows are the lower ones.
fn add_pair(
    values: &mut [f64],
    slots: &PairSlots,
    block: Matrix3<f64>,
    arms: [Vector3<f64>; 2],
    sizes: [f64; 2],
    below: bool,
) {
    let mut put = |slot: Slot, entry: Matrix3<f64>| {
        add_block(values, slot, &if below { entry } else { entry.transpose() });
    };
    put(slots[0][0], block);
    let second = (arms[1] / sizes[1]).cross_matrix().transpose();
    if slots[1][0] != NOWHERE {
        let first = (arms[0] / sizes[0]).cross_matrix();
        let mixed = first * block;
        put(slots[1][0], mixed);
        if slots[1][1] != NOWHERE {
            put(slots[1][1], mixed * second);
        }
    }
    if slots[0][1] != NOWHERE {
        put(slots[0][1], block * second);
    }
}

/// Adds what a force at an arm does to the rotational stiffness: 1/2 (g r' + r g') - (g . r) 1.
fn add_arm(stiffness: &mut Stiffness, frame: usize, slope: Vector3<f64>, arm: Vector3<f64>, size: f64) {
    let slot = stiffness.pattern.frames[frame][1][1];
    if slot == NOWHERE {
        return;
    }
    let outer = slope * arm.transpose();
    let block = ((outer + outer.transpose()) * 0.5 - Matrix3::identity() * slope.dot(&arm)) / (size * size);
    add_block(&mut stiffness.values, slot, &block);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;
    use crate::parameters::{AppliedForce, Parameters};
    use crate::state::State;
    use crate::topology::TopologyBuilder;
    use crate::workspace::Workspace;
    use nalgebra::UnitQuaternion;

    /// Two bodies, a junction, a line over two picks of one body, a heavy line, a force at an arm.
    fn rig() -> (Topology, Parameters, State) {
        let mut rig = TopologyBuilder::new();
        let (point, first, ring, second) = (rig.fixed(), rig.body(), rig.junction(), rig.body());
        let top = rig.attachment(point);
        let picks = [first, first, second, second].map(|frame| rig.attachment(frame));
        let at_ring = rig.attachment(ring);
        for path in [
            vec![top, picks[0], picks[1], at_ring],
            vec![at_ring, picks[2]],
            vec![top, picks[3], picks[0]],
            vec![picks[1], picks[2]],
        ] {
            rig.line(&path);
        }
        let topology = rig.build().unwrap();
        let mut p = Parameters::blank(&topology);
        let mut state = State::at_origin(&topology);
        let vector = |a: f64| Vector3::new(a.sin(), (2.3 * a).cos(), (3.1 * a).sin());
        p.fixed_at_m[0] = Vector3::new(0.0, 0.0, 5.0);
        for frame in 1..4 {
            state.position_m[frame] = vector(frame as f64) * 2.0;
            p.weight_n[frame] = 100.0 * frame as f64;
        }
        for body in [1, 3] {
            state.rotation[body] = UnitQuaternion::from_scaled_axis(vector(7.0 + body as f64));
            p.centre_m[body] = vector(0.5 * body as f64) * 0.2;
        }
        for (index, pick) in picks.iter().enumerate() {
            p.attachment_offset_m[pick.index()] = vector(11.0 + index as f64);
        }
        for line in &mut p.lines {
            line.stiffness_n = 2000.0;
            line.unloaded_length_m = 1.0;
            line.weight_n = 30.0;
        }
        let (offset_m, force_n) = (vector(4.0), vector(5.0) * 80.0);
        p.forces.push(AppliedForce {
            frame: second,
            offset_m,
            force_n,
        });
        (topology, p, state)
    }

    fn prepared(dense_freedoms: usize) -> (Topology, Workspace) {
        let (topology, parameters, state) = rig();
        parameters.check(&topology).unwrap();
        let mut work = Workspace::with_dense_freedoms(&topology, dense_freedoms);
        work.max_iterations = Options::default().max_iterations;
        work.model.prepare(&topology, &parameters, &state);
        work.model.soften(1e-3);
        work.pose.take(&topology, &parameters, &state);
        work.pose.measure(&topology, &work.model);
        (topology, work)
    }

    fn gradient_at(topology: &Topology, work: &mut Workspace, step: &[f64], factor: f64) -> Vec<f64> {
        work.start.copy_frames(&work.pose);
        work.pose.move_by(topology, &work.model, step, factor);
        work.pose.measure(topology, &work.model);
        work.true_gradient(topology);
        work.pose.copy_frames(&work.start);
        work.pose.measure(topology, &work.model);
        work.gradient.clone()
    }

    #[test]
    fn gradient_is_the_slope_of_the_energy() {
        let (topology, mut work) = prepared(1000);
        let reach = 1e-5;
        for freedom in 0..topology.freedom_count() {
            let mut step = vec![0.0; topology.freedom_count()];
            step[freedom] = 1.0;
            let slope = gradient_at(&topology, &mut work, &step, 0.0)[freedom];
            let mut ends = [work.pose.clone(), work.pose.clone()];
            for (end, side) in ends.iter_mut().zip([-reach, reach]) {
                end.move_by(&topology, &work.model, &step, side);
                end.measure(&topology, &work.model);
            }
            let difference = ends[1].energy_above_j(&topology, &work.model, &ends[0]) / (2.0 * reach);
            // Error of the difference: third derivative (about 1e4) times reach squared.
            assert!(
                (slope - difference).abs() < 1e-5 * (1.0 + slope.abs()),
                "{freedom}: {slope} {difference}"
            );
        }
    }

    /// Along a single turn exp(s theta) R the second derivative of the energy is theta.H.theta; off the
    /// diagonal the symmetric matrix is the mean of the two orders of turning.
    #[test]
    fn stiffness_is_the_slope_of_the_gradient_in_dense_and_sparse_form() {
        for dense_freedoms in [1000, 0] {
            let (topology, mut work) = prepared(dense_freedoms);
            let size = topology.freedom_count();
            let mut dice = 0.3_f64;
            for _ in 0..40 {
                let direction: Vec<f64> = (0..size)
                    .map(|_| {
                        dice = (dice * 997.13 + 0.1234).fract();
                        dice - 0.5
                    })
                    .collect();
                work.true_stiffness(&topology);
                let mut product = vec![0.0; size];
                work.stiffness.times(&direction, &mut product);
                let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
                let reach = 1e-5;
                let after = gradient_at(&topology, &mut work, &direction, reach);
                let before = gradient_at(&topology, &mut work, &direction, -reach);
                let difference = (dot(&after, &direction) - dot(&before, &direction)) / (2.0 * reach);
                let stiffness = dot(&product, &direction);
                assert!((stiffness - difference).abs() < 1e-5 * stiffness.abs().max(1e3));
            }
        }
    }

    #[test]
    fn dense_and_sparse_solve_the_same_system() {
        let answers = [1000, 0].map(|dense_freedoms| {
            let (topology, mut work) = prepared(dense_freedoms);
            work.true_stiffness(&topology);
            assert!(work.stiffness.factorise(1e5));
            let mut right: Vec<f64> = (0..topology.freedom_count()).map(|i| (i as f64).sin()).collect();
            work.stiffness.solve(&mut right);
            right
        });
        for (dense, sparse) in answers[0].iter().zip(&answers[1]) {
            assert!((dense - sparse).abs() < 1e-12 * 1e-3, "{dense} {sparse}");
        }
    }
}
