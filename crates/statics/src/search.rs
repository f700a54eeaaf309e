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
use crate::ids::LineId;
use crate::newton::{Settled, mixed_newton, predict_from_pose};
use crate::sagging::sag_matters;
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

/// Lets lines sag for which that matters at `work.pose`; tells whether there are any that did not before.
pub(crate) fn let_sag(topology: &Topology, work: &mut Workspace) -> bool {
    if work.sag_left_out {
        return false;
    }
    if work.model.lines.iter().all(|line| !line.sags) {
        work.straight.copy_frames(&work.pose);
    }
    let mut any = false;
    for id in topology.lines() {
        let line = &mut work.model.lines[id.index()];
        if !line.active || line.sags || line.kept_straight {
            continue;
        }
        let tension_n = line.true_stiffness * work.pose.elongation_m[id.index()];
        let segments = topology.path_range(id).start..topology.path_range(id).end - 1;
        let (directions, lengths) = (
            &work.pose.direction[segments.clone()],
            &work.pose.segment_m[segments],
        );
        if sag_matters(line, tension_n, directions, lengths) {
            line.sags = true;
            any = true;
        }
    }
    any
}

/// Searches from a balance in which lines were straight that now sag.
pub(crate) fn search_sagging(topology: &Topology, work: &mut Workspace) -> Found {
    work.pose.measure(topology, &work.model);
    set_predicted(work);
    let settled = settle(topology, work, [25, 200], |w| w.allowed_n(topology));
    let found = match (settled, jam(topology, work)) {
        (_, Some(jam)) => Found::Jam(jam),
        (Settled::Balanced, None) => Found::Balance,
        (Settled::Stuck, None) => continue_from_soft(topology, work),
    };
    match found {
        Found::Jam(jam) if slack_when_straight(topology, work, jam.line) => {
            go_back_to_straight(topology, work);
            work.model.lines[jam.line.index()].kept_straight = true;
            Found::Balance
        }
        found => found,
    }
}

/// Whether a line carried nothing in the balance with straight lines. Then nothing but its own rope runs off.
fn slack_when_straight(topology: &Topology, work: &mut Workspace, line: LineId) -> bool {
    let Workspace { model, straight, .. } = work;
    straight.measure(topology, model);
    straight.elongation_m[line.index()] <= 0.0
}

/// Goes back to the balance with straight lines.
fn go_back_to_straight(topology: &Topology, work: &mut Workspace) {
    work.pose.copy_frames(&work.straight);
    for line in &mut work.model.lines {
        line.sags = false;
    }
    work.model.soften(0.0);
    work.pose.measure(topology, &work.model);
}

/// Goes back to the balance with straight lines, and leaves sag out from then on.
pub(crate) fn leave_sag_out(topology: &Topology, work: &mut Workspace) {
    work.sag_left_out = true;
    go_back_to_straight(topology, work);
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
    work.predict_true_stress();
}

/// Finds a `via` line that runs until a segment of it is gone: a taut one with a segment all but gone, or a heavy one
/// that no division of its length holds.
fn jam(topology: &Topology, work: &Workspace) -> Option<Jam> {
    let runs_off =
        |line: &LineId| work.model.lines[line.index()].sags && work.pose.sagging[line.index()].runs_off;
    if let Some(line) = topology.lines().find(runs_off) {
        let pieces = work.pose.sagging[line.index()].pieces.iter().enumerate();
        let shortest = pieces.min_by(|a, b| a.1.unloaded_m.total_cmp(&b.1.unloaded_m));
        let segment = shortest.map_or(0, |(segment, _)| segment);
        return Some(Jam { line, segment });
    }
    topology
        .lines()
        .filter(|line| topology.path(*line).len() > 2)
        .filter(|line| work.model.lines[line.index()].sags || work.pose.elongation_m[line.index()] > 0.0)
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
