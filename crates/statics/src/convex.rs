//! Newton's method with a line search, for rigs of junctions only, whose energy is convex.
//!
//! Conventions: as in assemble.rs.
//! Assumes: no bodies. Then the energy is a sum of convex functions of the places: each step downhill leads
//! to the one lowest place, and a line search along it always ends.
//! Valid for: nets, bridles, hung rings; prestressed or slack. Slow where lines hardly stretch at all; the
//! caller has another method behind it.
//! Source: Kanno, Nonsmooth Mechanics and Convex Optimization, 2011 (from memory); the line search is a
//! safeguarded secant on the slope of the energy, as in Nocedal and Wright, Numerical Optimization, chapter
//! 3 (from memory).
//! Checked by: tests/published.rs (P08, P19), tests/hard_cases.rs, tests/laws.rs.

use crate::assemble;
use crate::newton::Settled;
use crate::topology::Topology;
use crate::workspace::Workspace;

/// Takes Newton steps from `work.pose` (measured) with tensions predicted, until forces balance.
pub(crate) fn convex_newton(
    topology: &Topology,
    work: &mut Workspace,
    steps: u32,
    tolerance_n: impl Fn(&Workspace) -> f64,
) -> Settled {
    let share = work.model.force_scale_n / work.model.lines.len().max(1) as f64;
    work.true_gradient(topology);
    for taken in 0..=steps {
        let residual = work.residual_n();
        if residual <= tolerance_n(work) {
            return Settled::Balanced;
        }
        if taken == steps || !residual.is_finite() || work.iterations >= work.max_iterations {
            break;
        }
        work.iterations += 1;
        let (model, pose, predicted) = (&work.model, &work.pose, &work.predicted_n);
        let taut = |line: usize| pose.elongation_m[line] > 0.0;
        assemble::assemble(
            topology,
            model,
            pose,
            taut,
            |line| predicted[line],
            |beam| work.predicted_stress[beam],
            &mut work.stiffness,
        );
        if !work.stiffness.factorise(1e-3 * work.model.free_stiffness()) {
            return Settled::Stuck;
        }
        for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
            *step = -gradient;
        }
        work.stiffness.solve(&mut work.step);
        search_line(topology, work);
        for id in topology.lines() {
            let index = id.index();
            let line = work.model.lines[index];
            // The slope belongs to the new pose; near the end the difference is of second order.
            work.predicted_n[index] =
                if line.active && work.pose.elongation_m[index] > -1e-3 * line.unloaded_m {
                    work.pose.tension_n(&work.model, index).max(1e-3 * share)
                } else {
                    0.0
                };
        }
    }
    Settled::Stuck
}

/// Moves along the step to where the energy stops falling.
fn search_line(topology: &Topology, work: &mut Workspace) {
    let slope_of =
        |work: &Workspace| -> f64 { work.step.iter().zip(&work.gradient).map(|(s, g)| s * g).sum() };
    let first = slope_of(work);
    work.other.copy_frames(&work.pose);
    let (mut low, mut low_slope) = (0.0, first);
    let (mut high, mut high_slope) = (f64::INFINITY, f64::NAN);
    let mut factor = 1.0;
    for _ in 0..30 {
        work.pose.copy_frames(&work.other);
        work.pose.move_by(topology, &work.model, &work.step, factor);
        work.pose.measure(topology, &work.model);
        work.true_gradient(topology);
        let slope = slope_of(work);
        if slope.abs() <= 0.1 * first.abs() {
            break;
        }
        if slope < 0.0 {
            (low, low_slope) = (factor, slope);
        } else {
            (high, high_slope) = (factor, slope);
        }
        factor = if high.is_finite() {
            let secant = (low * high_slope - high * low_slope) / (high_slope - low_slope);
            let margin = 0.1 * (high - low);
            secant.clamp(low + margin, high - margin)
        } else {
            4.0 * factor
        };
    }
}
