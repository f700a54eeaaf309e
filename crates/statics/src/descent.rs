//! Walk downhill on the energy: Newton's method with a shift that grows until the energy falls.
//!
//! Conventions: as in assemble.rs.
//! Assumes: the energy has a lowest place (each group of frames is tied to a fixed one).
//! Valid for: any rig, poor guesses, slack lines; slow where lines are a million times stiffer than others.
//! Near the end energy differences no longer resolve; steps are then accepted by the residual.
//! Source: More and Sorensen, "Computing a trust region step", 1983; Levenberg 1944 for steering the shift
//! itself instead of a radius (from memory).
//! Checked by: tests/laws.rs.

use crate::newton::Settled;
use crate::topology::Topology;
use crate::workspace::Workspace;

/// Walks from `work.pose` (measured) until forces balance to `tolerance_n`.
pub(crate) fn descend(
    topology: &Topology,
    work: &mut Workspace,
    steps: u32,
    tolerance_n: impl Fn(&Workspace) -> f64,
) -> Settled {
    let pendulum = work.model.pendulum_stiffness();
    let smallest = 1e-3 * work.model.free_stiffness();
    let largest = 1e6 * (work.model.stiffest + pendulum);
    // Nothing taut: this shift makes a step of a quarter of the rig.
    let mut shift = 4.0 * work.model.force_scale_n / work.model.extent_m;
    work.true_gradient(topology);
    for _ in 0..steps {
        let residual = work.residual_n();
        if residual <= tolerance_n(work) {
            return Settled::Balanced;
        }
        if !residual.is_finite() {
            return Settled::Stuck;
        }
        work.true_stiffness(topology);
        loop {
            if work.iterations >= work.max_iterations || shift > largest {
                return Settled::Stuck;
            }
            work.iterations += 1;
            if !work.stiffness.factorise(shift) {
                shift = 4.0 * shift.max(smallest);
                continue;
            }
            let quality = try_step(topology, work, shift, residual);
            if quality > 0.75 {
                shift = (0.2 * shift).max(smallest);
            } else if quality < 0.25 {
                shift = 4.0 * shift.max(smallest);
            }
            if quality > 1e-4 {
                break;
            }
        }
    }
    work.true_gradient(topology);
    if work.residual_n() <= tolerance_n(work) {
        Settled::Balanced
    } else {
        Settled::Stuck
    }
}

/// Tries one step; gives the energy it lost over the energy it should have lost. Where that is worth taking
/// the pose has moved and the gradient is that of the new pose; else both are as before.
fn try_step(topology: &Topology, work: &mut Workspace, shift: f64, residual: f64) -> f64 {
    for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
        *step = -gradient;
    }
    work.stiffness.solve(&mut work.step);
    work.clear_held_step(topology);
    let factor = work.step_factor(topology);
    work.other.copy_frames(&work.pose);
    work.other.move_by(topology, &work.model, &work.step, factor);
    work.other.measure(topology, &work.model);
    let change = work.other.energy_above_j(topology, &work.model, &work.pose);
    let (mut along, mut square) = (0.0, 0.0);
    for (step, gradient) in work.step.iter().zip(&work.gradient) {
        along += step * gradient;
        square += step * step;
    }
    // With (H + shift) s = -g: g.s f + 1/2 f^2 s.H s.
    let promised = factor * along - 0.5 * factor * factor * (along + shift * square);
    let quality = change / promised;
    let resolvable = 1e-11 * work.model.force_scale_n * work.model.extent_m;
    let mut worth = quality > 1e-4 && change < 0.0;
    std::mem::swap(&mut work.pose, &mut work.other);
    work.true_gradient(topology);
    let mut judged = if worth { quality } else { 0.0 };
    if -promised < resolvable {
        worth = work.residual_n() < residual;
        judged = if worth { 1.0 } else { 0.0 };
    }
    if !worth || !work.residual_n().is_finite() {
        std::mem::swap(&mut work.pose, &mut work.other);
        work.true_gradient(topology);
        return 0.0;
    }
    judged
}
