//! From a first guess to a balance of forces: the quick method, and the sure one behind it.
//!
//! The quick method is mixed Newton (newton.rs). When it has not settled, compliance continuation: every
//! line is softened until it would stretch 2 % under the whole weight, the energy of that soft rig is walked
//! downhill (descent.rs), and the softness is taken away thirty-fold at a time, each stage starting from the
//! tensions of the last.
//!
//! Conventions: as in assemble.rs.
//! Assumes: each group of frames with a net force is tied to a fixed frame.
//! Valid for: any rig; a `via` line may instead run until a segment of it is gone, which is told apart.
//! Source: numerical continuation as in Allgower and Georg, Numerical Continuation Methods (from memory);
//! which order of methods, and the factor thirty, from trials on hard hangs.
//! Checked by: tests/laws.rs (1,000 random rigs), tests/hard_cases.rs.

use crate::convex::convex_newton;
use crate::descent::descend;
use crate::newton::{Settled, mixed_newton, predict_from_pose};
use crate::solution::Jam;
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;

/// Says how the search for a balance ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Found {
    Balance,
    Jam(Jam),
    Nothing,
}

/// Share of its line's length below which a segment of a `via` line counts as gone.
const JAMMED: f64 = 1e-4;

/// Searches from `work.pose`, which stays the start for every method tried.
pub(crate) fn search(topology: &Topology, work: &mut Workspace, quick_steps: u32) -> Found {
    work.start.copy_frames(&work.pose);
    work.model.soften(0.0);
    work.pose.measure(topology, &work.model);
    predict_from_pose(topology, work);
    if work.convex {
        if convex_newton(topology, work, 40, |w| w.allowed_n(topology)) == Settled::Balanced
            && jam(topology, work).is_none()
        {
            return Found::Balance;
        }
        work.pose.copy_frames(&work.start);
        work.pose.measure(topology, &work.model);
        predict_from_pose(topology, work);
    }
    if mixed_newton(topology, work, quick_steps, |w| w.allowed_n(topology)) == Settled::Balanced
        && jam(topology, work).is_none()
    {
        return Found::Balance;
    }
    work.pose.copy_frames(&work.start);
    continue_from_soft(topology, work)
}

/// Searches from `work.pose`, pushed off an unstable balance: walks downhill at the true stiffness, because
/// the soft rig may lead back to where it came from.
pub(crate) fn search_downhill(topology: &Topology, work: &mut Workspace, quick_steps: u32) -> Found {
    work.model.soften(0.0);
    work.pose.measure(topology, &work.model);
    predict_from_pose(topology, work);
    let settled = settle(topology, work, [quick_steps, 300], |w| w.allowed_n(topology));
    if settled == Settled::Balanced && jam(topology, work).is_none() {
        return Found::Balance;
    }
    continue_from_soft(topology, work)
}

/// Stretch under the whole weight at each stage.
const STAGES: [f64; 6] = [2e-2, 7e-4, 2e-5, 8e-7, 3e-8, 1e-9];

/// Rounds of both methods at the true stiffness: where one stalls, the other gets it going again. Of 400,000
/// random rigs none took more than three.
const LAST_ROUNDS: usize = 8;

fn continue_from_soft(topology: &Topology, work: &mut Workspace) -> Found {
    for (stage, stretch) in STAGES.into_iter().enumerate() {
        work.model.soften(stretch);
        work.pose.measure(topology, &work.model);
        if stage == 0 {
            descend(topology, work, 300, |w| 1e-4 * w.model.force_scale_n);
            set_predicted(work);
        }
        settle(topology, work, [12, 200], |w| {
            (1e-7 * w.model.force_scale_n).max(w.allowed_n(topology))
        });
        set_predicted(work);
        if stage >= 3
            && let Some(jam) = jam(topology, work)
        {
            work.model.soften(0.0);
            return Found::Jam(jam);
        }
    }
    work.model.soften(0.0);
    work.pose.measure(topology, &work.model);
    let mut settled = Settled::Stuck;
    for _ in 0..LAST_ROUNDS {
        settled = settle(topology, work, [25, 100], |w| w.allowed_n(topology));
        if settled == Settled::Balanced {
            break;
        }
        set_predicted(work);
    }
    match (settled, jam(topology, work)) {
        (_, Some(jam)) => Found::Jam(jam),
        (Settled::Balanced, None) => Found::Balance,
        (Settled::Stuck, None) => Found::Nothing,
    }
}

/// Balances forces by mixed Newton, or if that does not settle by walking downhill.
fn settle(
    topology: &Topology,
    work: &mut Workspace,
    [newton_steps, descent_steps]: [u32; 2],
    tolerance_n: impl Fn(&Workspace) -> f64,
) -> Settled {
    work.start.copy_frames(&work.pose);
    if mixed_newton(topology, work, newton_steps, &tolerance_n) == Settled::Balanced {
        return Settled::Balanced;
    }
    // Where it came lower without settling, that is kept.
    work.start.measure(topology, &work.model);
    let gained = work.pose.energy_above_j(topology, &work.model, &work.start) < 0.0;
    if !gained {
        work.pose.copy_frames(&work.start);
    }
    work.pose.measure(topology, &work.model);
    descend(topology, work, descent_steps, &tolerance_n)
}

/// Predicts the tensions that the pose has at the stage's stiffness.
fn set_predicted(work: &mut Workspace) {
    for (index, predicted) in work.predicted_n.iter_mut().enumerate() {
        *predicted = work.pose.tension_n(&work.model, index);
    }
}

/// Finds a taut `via` line one of whose segments is all but gone.
fn jam(topology: &Topology, work: &Workspace) -> Option<Jam> {
    topology
        .lines()
        .filter(|line| topology.path(*line).len() > 2 && work.pose.elongation_m[line.index()] > 0.0)
        .find_map(|line| {
            let shortest = JAMMED * work.model.lines[line.index()].unloaded_m;
            let segment = topology.path(line).windows(2).position(|pair| {
                let frames = [topology.frame_of(pair[0]), topology.frame_of(pair[1])];
                let rigid = frames[0] == frames[1]
                    || frames
                        .iter()
                        .all(|frame| topology.kind(*frame) == FrameKind::Fixed);
                let along = work.pose.at_m[pair[1].index()] - work.pose.at_m[pair[0].index()];
                !rigid && along.norm() < shortest
            })?;
            Some(Jam { line, segment })
        })
}
