//! Whether the pose as drawn balances but would roll over.
//!
//! Rotations are held as drawn and everything else is let go until forces balance. A body on which the
//! moment is then below 1e-3 of its weight times its size balances as drawn; if the stiffness of such
//! bodies' rotations, with everything else following, has a negative eigenvalue, they would roll over.
//!
//! Conventions: moments divided by the body's size, compared with the body's weight and forces.
//! Assumes: a guess that is a drawing, and not an earlier solution.
//! Valid for: any rig; where nothing balances with rotations held, no body is judged.
//! Source: negative eigenvalue of the stiffness condensed to the rotations; equivalent, since the rest is
//! stable, to a negative eigenvalue of the whole (Haynsworth's inertia additivity, from memory). The
//! threshold 1e-3 is a rule of this program.
//! Checked by: tests/hard_cases.rs.

use crate::descent::descend;
use crate::ids::FrameId;
use crate::newton::{Settled, mixed_newton, predict_from_pose};
use crate::stability::{falling_direction, motion_of};
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;

/// Share of weight times size below which a moment counts as balanced.
const BALANCED: f64 = 1e-3;

/// Largest turn, rad, by which a body is pushed off a pose that would roll over.
pub(crate) const PUSH_RAD: f64 = 0.05;

/// Judges the pose in `work.pose`; gives the bodies that would roll over. Where there are any, `work.pose`
/// is left pushed off towards where they roll, else as it was.
pub(crate) fn rolls_over(topology: &Topology, work: &mut Workspace) -> Vec<FrameId> {
    let mut rolling = Vec::new();
    if !topology.frames().any(|f| topology.kind(f) == FrameKind::Body) {
        return rolling;
    }
    work.start.copy_frames(&work.pose);
    if relax_places(topology, work) == Settled::Balanced {
        find_rolling(topology, work, &mut rolling);
    }
    work.hold_rotations(topology, |_| false);
    if rolling.is_empty() {
        work.pose.copy_frames(&work.start);
    }
    rolling
}

/// Balances forces with every rotation held.
fn relax_places(topology: &Topology, work: &mut Workspace) -> Settled {
    work.hold_rotations(topology, |_| true);
    work.pose.measure(topology, &work.model);
    predict_from_pose(topology, work);
    let tolerance = |w: &Workspace| (1e-5 * w.model.force_scale_n).max(w.allowed_n(topology));
    if mixed_newton(topology, work, 12, tolerance) == Settled::Balanced {
        return Settled::Balanced;
    }
    work.pose.copy_frames(&work.start);
    work.pose.measure(topology, &work.model);
    descend(topology, work, 60, tolerance)
}

fn find_rolling(topology: &Topology, work: &mut Workspace, rolling: &mut Vec<FrameId>) {
    work.hold_rotations(topology, |_| false);
    work.true_gradient(topology);
    let least = work.model.free_stiffness();
    // Held: bodies that do not balance as drawn, and later those found to roll.
    let mut held = vec![false; topology.frame_count()];
    let of_pipes: Vec<FrameId> = topology.beams().flat_map(|beam| topology.ends(beam)).collect();
    for frame in topology.frames().filter(|f| topology.kind(*f) == FrameKind::Body) {
        let at = 3 * topology.first_block(frame) + 3;
        let moment = work.gradient[at..at + 3]
            .iter()
            .map(|m| m * m)
            .sum::<f64>()
            .sqrt();
        let own = work.model.frame_scale_n[frame.index()];
        let scale = if own > 0.0 { own } else { work.model.force_scale_n };
        held[frame.index()] = moment >= BALANCED * scale || moment.is_nan();
    }
    // A piece of a pipe does not roll over by itself.
    for frame in of_pipes {
        held[frame.index()] = true;
    }
    work.true_stiffness(topology);
    work.other.copy_frames(&work.pose);
    loop {
        work.hold_rotations(topology, |frame| held[frame]);
        if work.stiffness.factorise(least) {
            break;
        }
        let Some(mut direction) = falling_direction(work) else {
            break;
        };
        let part = |frame: FrameId| {
            let body = topology.kind(frame) == FrameKind::Body && !held[frame.index()];
            if body {
                motion_of(topology, &direction, frame)
            } else {
                0.0
            }
        };
        let most = topology.frames().map(part).fold(0.0, f64::max);
        if most == 0.0 {
            break;
        }
        let found: Vec<FrameId> = topology.frames().filter(|f| part(*f) > 0.3 * most).collect();
        let turn = found
            .iter()
            .map(|f| turn_of(topology, work, &direction, *f))
            .fold(0.0, f64::max);
        if let Some(largest) = direction
            .iter()
            .copied()
            .max_by(|a, b| a.abs().total_cmp(&b.abs()))
            && largest < 0.0
        {
            for entry in &mut direction {
                *entry = -*entry;
            }
        }
        let factor = if turn > 0.0 { PUSH_RAD / turn } else { 0.0 };
        work.other.move_by(topology, &work.model, &direction, factor);
        for frame in found {
            held[frame.index()] = true;
            rolling.push(frame);
        }
    }
    rolling.sort_unstable();
    if !rolling.is_empty() {
        work.pose.copy_frames(&work.other);
    }
}

fn turn_of(topology: &Topology, work: &Workspace, direction: &[f64], frame: FrameId) -> f64 {
    let at = 3 * topology.first_block(frame) + 3;
    let turn = direction[at..at + 3].iter().map(|x| x * x).sum::<f64>().sqrt();
    turn / work.model.size_m[frame.index()]
}
