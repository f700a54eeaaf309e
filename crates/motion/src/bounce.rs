//! How fast what hangs bounces on its lines, and the damping that goes with a ratio of that.
//!
//! Conventions: SI; angular frequencies in rad/s.
//! Assumes: loads that lines join bounce together, as they go if everything weighs more and all that pulls them pulls harder: lines stretch
//! then, and nothing swings.
//! Valid for: rigs at rest; lines that are slack there count with those that they are joined with.
//! Source: Rayleigh's quotient with the shape of the static deflection, w^2 = sum(F d) / sum(m d^2) (from memory); c = 2 z k / w.
//! Checked by: the tests below, against a weight on a line and two weights in a row.

use crate::masses::{AtStart, GRAVITY_M_PER_S2, Masses};
use nalgebra::Vector3;
use statics::{
    FrameId, FrameKind, Options, Parameters, Solution, StaticsError, Topology, Workspace, solve_again,
};

/// By how much everything is taken to weigh more, as a share: so little that nothing changes shape.
const MORE: f64 = 1e-3;

/// Gives how fast each line's loads bounce, rad/s; by `LineId`, none for lines that nothing hangs on.
///
/// # Errors
///
/// As [`statics::solve_again`], for numbers that can not be.
pub fn bounce_rad_per_s(
    topology: &Topology,
    parameters: &Parameters,
    masses: &Masses,
    rest: &Solution,
) -> Result<Vec<Option<f64>>, StaticsError> {
    let mut found = vec![None; topology.line_count()];
    let mut heavier = parameters.clone();
    grow(&mut heavier);
    let mut after = rest.clone();
    let options = Options {
        find_free_motions: false,
        ..Options::warm()
    };
    let mut workspace = Workspace::new(topology);
    let outcome = solve_again(topology, &heavier, &options, &mut workspace, &mut after)?;
    if outcome.as_found().is_none() {
        return Ok(found);
    }
    let rig = AtStart {
        topology,
        parameters,
        masses,
        start: &rest.state,
    };
    for piece in topology.pieces(parameters, rig.lines().collect()) {
        let touched = piece
            .iter()
            .flat_map(|line| topology.path(*line))
            .map(|at| topology.frame_of(*at));
        let touched: Vec<FrameId> = touched.collect();
        let joined = topology.joined();
        let belongs = |frame: &FrameId| {
            topology.kind(*frame) != FrameKind::Fixed
                && touched
                    .iter()
                    .any(|other| joined[other.index()] == joined[frame.index()])
        };
        let (mut first, mut second) = (0.0, 0.0);
        for frame in topology.frames().filter(belongs) {
            let (weight_n, was, is) = (
                rig.weight_with_beams_n(frame),
                rest.state.centre_at_m(topology, parameters, frame),
                after.state.centre_at_m(topology, parameters, frame),
            );
            let by_m = (is - was) / MORE;
            let stated = rig.forces().filter(|force| force.frame == frame);
            let stated_n: Vector3<f64> = stated.map(|force| force.force_n).sum();
            first += (stated_n - Vector3::z() * weight_n).dot(&by_m);
            second += weight_n / GRAVITY_M_PER_S2 * by_m.norm_squared();
        }
        let squared = first / second;
        for line in piece {
            found[line.index()] = (squared.is_finite() && squared > 0.0).then(|| squared.sqrt());
        }
    }
    Ok(found)
}

/// Gives the axial damping of each line for a ratio z of its loads' bounce, c = 2 z k / w, N s/m; by `LineId`. Lines that nothing hangs on
/// have none.
pub fn damping_n_s_per_m(parameters: &Parameters, bounce_rad_per_s: &[Option<f64>], ratio: f64) -> Vec<f64> {
    let each = parameters.lines.iter().zip(bounce_rad_per_s);
    let damping = each.map(|(line, bounce)| {
        let stiffness_n_per_m = line.stiffness_n / line.unloaded_length_m;
        bounce.map_or(0.0, |bounce| 2.0 * ratio * stiffness_n_per_m / bounce)
    });
    damping.collect()
}

/// Makes everything weigh a little more.
fn grow(parameters: &mut Parameters) {
    let by = 1.0 + MORE;
    parameters
        .weight_n
        .iter_mut()
        .for_each(|weight_n| *weight_n *= by);
    parameters.lines.iter_mut().for_each(|line| line.weight_n *= by);
    parameters
        .beams
        .iter_mut()
        .for_each(|beam| beam.load_n_per_m *= by);
    parameters.forces.iter_mut().for_each(|force| force.force_n *= by);
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Matrix3;
    use statics::{State, TopologyBuilder, solve};

    /// Weights in a row on lines of 2 m, EA 400 kN, each 100 kg.
    fn row(count: usize) -> f64 {
        let mut builder = TopologyBuilder::new();
        let mut above = builder.fixed();
        let mut frames = vec![above];
        for _ in 0..count {
            let weight = builder.junction();
            let path = [builder.attachment(above), builder.attachment(weight)];
            builder.line(&path);
            above = weight;
            frames.push(weight);
        }
        let topology = builder.build().unwrap();
        let mut parameters = Parameters::blank(&topology);
        let mut guess = State::at_origin(&topology);
        for (i, frame) in frames.iter().enumerate().skip(1) {
            parameters.weight_n[frame.index()] = 100.0 * GRAVITY_M_PER_S2;
            guess.position_m[frame.index()] = Vector3::new(0.0, 0.0, -2.0 * i as f64);
        }
        for line in &mut parameters.lines {
            (line.stiffness_n, line.unloaded_length_m) = (4e5, 2.0);
        }
        let masses = Masses {
            inertia_kg_m2: vec![Matrix3::zeros(); topology.frame_count()],
            forces_are_weights: Vec::new(),
        };
        let mut workspace = Workspace::new(&topology);
        let rest = solve(
            &topology,
            &parameters,
            &guess,
            &Options::default(),
            &mut workspace,
        );
        let rest = rest.unwrap().found().unwrap();
        bounce_rad_per_s(&topology, &parameters, &masses, &rest).unwrap()[0].unwrap()
    }

    /// One weight: sqrt(k / m). Two in a row: the lowest of both is sqrt((3 - sqrt 5) / 2) of that (from memory), which Rayleigh's quotient
    /// overestimates by less than a hundredth.
    #[test]
    fn weights_in_a_row_bounce_as_they_must() {
        let one = (2e5_f64 / 100.0).sqrt();
        assert!((row(1) / one - 1.0).abs() < 1e-4, "{}", row(1));
        let two = one * ((3.0 - 5.0_f64.sqrt()) / 2.0).sqrt();
        assert!((1.0..1.01).contains(&(row(2) / two)), "{}", row(2) / two);
    }
}
