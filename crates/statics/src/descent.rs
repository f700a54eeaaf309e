//! Walk downhill on the energy: Newton's method with a shift that grows until the energy falls.
//!
//! Stiff lines make the energy a narrow bent valley: a straight step along it climbs the side, because lines
//! stretch by the square of the travel. So a step that does not keep its promise is first corrected where it
//! leads, by Newton steps on the energy plus shift/2 times the square of the travel, and only then shortened.
//! A load that turns until a line just comes taut would otherwise creep.
//!
//! Conventions: as in assemble.rs.
//! Assumes: the energy has a lowest place (each group of frames is tied to a fixed one).
//! Valid for: any rig, poor guesses, slack lines. Near the end energy differences no longer resolve; steps
//! are then accepted by the residual.
//! Source: More and Sorensen, "Computing a trust region step", 1983; Levenberg 1944 for guiding the shift
//! itself instead of a radius; the corrections solve the proximal step of Rockafellar, "Monotone operators
//! and the proximal point algorithm", 1976 (all from memory).
//! Checked by: tests/laws.rs (random rigs; rigs that once crept).

use crate::assemble;
use crate::newton::Settled;
use crate::topology::Topology;
use crate::workspace::Workspace;

/// Share of the promised loss of energy below which a step is corrected, and the next one shorter.
const POOR: f64 = 0.25;

/// Share of the promised loss of energy below which a step is not taken.
const WORTHLESS: f64 = 1e-4;

/// Most corrections of one step; trials with 1 to 6 took the fewest steps with 3 or more.
const CORRECTIONS: u32 = 3;

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
            } else if quality < POOR {
                shift = 4.0 * shift.max(smallest);
            }
            if quality > WORTHLESS {
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

/// Tries one step with the stiffness just factorised; gives the energy it lost over the energy it should have
/// lost. Where that is worth taking the pose has moved and the gradient is that of the new pose; else pose,
/// gradient and stiffness are as before.
fn try_step(topology: &Topology, work: &mut Workspace, shift: f64, residual_n: f64) -> f64 {
    work.other.copy_frames(&work.pose);
    work.other.measure(topology, &work.model);
    work.gradient_before.copy_from_slice(&work.gradient);
    work.travel.fill(0.0);
    step_on(topology, work, shift);
    let promised = promised_j(work, shift);
    let mut quality = judge(topology, work, shift, residual_n, promised);
    for _ in 0..CORRECTIONS {
        if quality >= POOR || !factorise_there(topology, work, shift) {
            break;
        }
        step_on(topology, work, shift);
        quality = judge(topology, work, shift, residual_n, promised);
    }
    if quality <= WORTHLESS {
        work.pose.copy_frames(&work.other);
        work.pose.measure(topology, &work.model);
        work.true_gradient(topology);
        work.true_stiffness(topology);
    }
    quality
}

/// Takes a Newton step on the energy plus `shift`/2 times the square of the travel.
fn step_on(topology: &Topology, work: &mut Workspace, shift: f64) {
    for ((step, gradient), travel) in work.step.iter_mut().zip(&work.gradient).zip(&work.travel) {
        *step = -gradient - shift * travel;
    }
    work.stiffness.solve(&mut work.step);
    work.clear_held_step(topology);
    let factor = work.step_factor(topology);
    for id in topology.lines() {
        let (index, stiffness) = (id.index(), work.model.lines[id.index()].stiffness);
        let elongation = work.pose.elongation_m[index];
        work.predicted_n[index] = if elongation > 0.0 {
            let change = assemble::length_change(topology, &work.model, &work.pose, id, &work.step);
            (stiffness * (elongation + factor * change)).max(0.0)
        } else {
            0.0
        };
    }
    work.predict_stress(topology, factor);
    work.pose.move_by(topology, &work.model, &work.step, factor);
    work.pose.measure(topology, &work.model);
    for (travel, step) in work.travel.iter_mut().zip(&work.step) {
        *travel += factor * step;
    }
}

/// Assembles and factorises where a step has led, the geometric part with the tensions that it predicted:
/// those of the pose there may be absurd.
fn factorise_there(topology: &Topology, work: &mut Workspace, shift: f64) -> bool {
    work.iterations += 1;
    let (model, pose, predicted) = (&work.model, &work.pose, &work.predicted_n);
    assemble::assemble(
        topology,
        model,
        pose,
        |line| pose.elongation_m[line] > 0.0,
        |line| predicted[line],
        |beam| work.predicted_stress[beam],
        &mut work.stiffness,
    );
    work.stiffness.factorise(shift)
}

/// Energy that the travel d should lose: with (H + shift) d = -g that is g.d + 1/2 d.H d, J.
fn promised_j(work: &Workspace, shift: f64) -> f64 {
    let (mut along, mut square) = (0.0, 0.0);
    for (travel, gradient) in work.travel.iter().zip(&work.gradient_before) {
        along += travel * gradient;
        square += travel * travel;
    }
    0.5 * (along - shift * square)
}

/// Judges the step from `other` to `pose`, and leaves the gradient of `pose`. A corrected step may do less
/// than was first promised, because a line came taut on the way, but not less than a tenth.
fn judge(topology: &Topology, work: &mut Workspace, shift: f64, residual_n: f64, first_promised: f64) -> f64 {
    let promised = promised_j(work, shift).min(0.1 * first_promised);
    let change = work.pose.energy_above_j(topology, &work.model, &work.other);
    work.true_gradient(topology);
    let residual_there = work.residual_n();
    // What rounding leaves of differences of energy.
    let resolvable = 64.0 * f64::EPSILON * work.model.force_scale_n * work.model.extent_m;
    if !residual_there.is_finite() {
        0.0
    } else if -promised < resolvable {
        f64::from(residual_there < residual_n)
    } else {
        (change / promised).max(0.0)
    }
}
