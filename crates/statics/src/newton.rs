//! Newton's method with the tension as an unknown of its own.
//!
//! The stiffness matrix takes the geometric part of each line from the tension that the last linear step
//! predicted, and not from the present elongation: for nearly inextensible lines the elongation of a trial
//! pose is off by second-order amounts times a huge stiffness, the predicted tension is not. Condensing the
//! tension out leaves a system in the places alone, so a step costs no more than a plain Newton step.
//!
//! Conventions: as in assemble.rs.
//! Assumes: a good first guess or luck; may cycle when a line keeps going slack and taut. The caller
//! (search.rs) has a slower method behind it.
//! Valid for: any rig; ends as `Stuck` instead of going on for ever.
//! Source: Magisano, Leonetti, Garcea, "Advantages of the mixed format in geometrically nonlinear analysis
//! of beams and shells using solid finite elements", 2017 (from memory).
//! Checked by: tests/published.rs, tests/laws.rs, tests/agreement.rs.

use crate::assemble;
use crate::topology::Topology;
use crate::workspace::Workspace;

/// Says how a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Settled {
    /// Forces balance to the tolerance.
    Balanced,
    /// They do not, and going on is no use.
    Stuck,
}

/// Sets the predicted tensions from the pose: what lines pull there, between nothing and the whole weight;
/// lines that are all but taut get a share so that they count from the start.
pub(crate) fn predict_from_pose(topology: &Topology, work: &mut Workspace) {
    let taut_lines = work.model.lines.iter().filter(|line| line.active).count().max(1);
    let share = work.model.force_scale_n / taut_lines as f64;
    for id in topology.lines() {
        let index = id.index();
        let (line, elongation) = (work.model.lines[index], work.pose.elongation_m[index]);
        work.predicted_n[index] = if line.sags {
            0.0
        } else if elongation > -0.02 * line.unloaded_m {
            (line.stiffness * elongation).clamp(share, work.model.force_scale_n)
        } else {
            0.0
        };
    }
    work.predict_true_stress();
}

/// Takes mixed Newton steps from `work.pose` (measured) until forces balance to `tolerance_n`, or to what
/// rounding allows. Where the stiffness is not positive it is shifted, by no more at first than lets what is
/// out of balance move things by ten times the rig's size, so that a load that is nearly free to turn does
/// not creep (a shift that shrinks with the residual: Fan and Yuan 2005, from memory).
pub(crate) fn mixed_newton(
    topology: &Topology,
    work: &mut Workspace,
    steps: u32,
    tolerance_n: impl Fn(&Workspace) -> f64,
) -> Settled {
    let softest = work.model.free_stiffness();
    let pendulum = work.model.pendulum_stiffness();
    for taken in 0..=steps {
        work.true_gradient(topology);
        let residual = work.residual_n();
        if residual <= tolerance_n(work) {
            return Settled::Balanced;
        }
        if taken == steps || !residual.is_finite() || work.iterations >= work.max_iterations {
            break;
        }
        work.iterations += 1;
        assemble_mixed(topology, work);
        let force = residual.min(work.model.force_scale_n);
        let gentle = (1e-3 * pendulum).min(0.1 * force / work.model.extent_m);
        let mut shift = 1e-3 * softest;
        let mut tries = 0;
        while !work.stiffness.factorise(shift) {
            tries += 1;
            if tries > 9 {
                return Settled::Stuck;
            }
            shift = (30.0 * shift).max(gentle);
        }
        for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
            *step = -gradient;
        }
        work.stiffness.solve(&mut work.step);
        work.clear_held_step(topology);
        predict(topology, work);
        let factor = work.step_factor(topology);
        work.predict_stress(topology, factor);
        work.pose.move_by(topology, &work.model, &work.step, factor);
        work.pose.measure(topology, &work.model);
    }
    Settled::Stuck
}

/// Assembles gradient and stiffness with the lines that are taut or are predicted to be.
fn assemble_mixed(topology: &Topology, work: &mut Workspace) {
    let (model, pose, predicted) = (&work.model, &work.pose, &work.predicted_n);
    let straight = |line: usize| model.lines[line].active && !model.lines[line].sags;
    let taut = |line: usize| straight(line) && (predicted[line] > 0.0 || pose.elongation_m[line] > 0.0);
    let linear = |line: usize| {
        if taut(line) {
            model.lines[line].stiffness * pose.elongation_m[line]
        } else {
            0.0
        }
    };
    // The true gradient is there already; it differs only where a slack line is held taut.
    let held_taut = |line: usize| taut(line) && pose.elongation_m[line] < 0.0;
    if (0..model.lines.len()).any(held_taut) {
        assemble::gradient(topology, model, pose, linear, &mut work.gradient);
    }
    assemble::assemble(
        topology,
        model,
        pose,
        taut,
        |line| predicted[line],
        |beam| work.predicted_stress[beam],
        &mut work.stiffness,
    );
    work.clear_held(topology);
}

/// Predicts each line's tension at the end of the linear step.
fn predict(topology: &Topology, work: &mut Workspace) {
    let share = work.model.force_scale_n / work.model.lines.len().max(1) as f64;
    for id in topology.lines() {
        let index = id.index();
        let line = work.model.lines[index];
        if !line.active || line.sags {
            work.predicted_n[index] = 0.0;
            continue;
        }
        let was_taut = work.predicted_n[index] > 0.0 || work.pose.elongation_m[index] > 0.0;
        let change = assemble::length_change(topology, &work.model, &work.pose, id, &work.step);
        let tension = (line.stiffness * (work.pose.elongation_m[index] + change)).max(0.0);
        // A line that the step did not know of would pull as much as it likes.
        work.predicted_n[index] = if was_taut { tension } else { tension.min(share) };
    }
}
