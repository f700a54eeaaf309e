//! Rigs that are timed.

use statics::{
    Options, Outcome, Parameters, Solution, State, Topology, TopologyBuilder, Vector3, Workspace, solve,
};

pub struct Case {
    pub topology: Topology,
    pub parameters: Parameters,
    pub guess: State,
}

impl Case {
    pub fn solve(&self, workspace: &mut Workspace) -> Solution {
        match solve(
            &self.topology,
            &self.parameters,
            &self.guess,
            &Options::default(),
            workspace,
        ) {
            Ok(Outcome::Found(solution)) => solution,
            other => panic!("no equilibrium: {other:?}"),
        }
    }
}

/// A load of 4 kN on four legs of 6 m, drawn at trim with legs cut to the drawn length.
pub fn four_leg_hang() -> Case {
    let mut rig = TopologyBuilder::new();
    let body = rig.body();
    let corners = [[1.5, 1.0], [-1.5, 1.0], [-1.5, -1.0], [1.5, -1.0]];
    let mut points = Vec::new();
    for _ in corners {
        let point = rig.fixed();
        let path = [rig.attachment(point), rig.attachment(body)];
        points.push(point);
        rig.line(&path);
    }
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);
    guess.position_m[body.index()] = Vector3::new(0.0, 0.0, -6.0);
    parameters.weight_n[body.index()] = 4000.0;
    parameters.centre_m[body.index()] = Vector3::new(0.1, -0.05, -0.3);
    for (index, [x, y]) in corners.into_iter().enumerate() {
        let top = Vector3::new(1.3 * x, 1.2 * y, 0.0);
        let pick = Vector3::new(x, y, 0.2);
        parameters.fixed_at_m[points[index].index()] = top;
        parameters.attachment_offset_m[2 * index + 1] = pick;
        let line = &mut parameters.lines[index];
        line.stiffness_n = 1.0e6;
        line.unloaded_length_m = (guess.position_m[body.index()] + pick - top).norm();
        line.weight_n = 8.0;
    }
    Case {
        topology,
        parameters,
        guess,
    }
}

/// A level net of square meshes of 1 m, its edge held, every node loaded with 50 N.
pub fn net(side: usize) -> Case {
    let mut rig = TopologyBuilder::new();
    let edge = |i: usize| i == 0 || i == side + 1;
    let mut frames = Vec::new();
    for i in 0..side + 2 {
        for j in 0..side + 2 {
            let frame = if edge(i) || edge(j) {
                rig.fixed()
            } else {
                rig.junction()
            };
            frames.push((frame, rig.attachment(frame), [i as f64, j as f64]));
        }
    }
    let at = |i: usize, j: usize| frames[i * (side + 2) + j].1;
    for i in 0..side + 2 {
        for j in 0..side + 2 {
            if i <= side && !edge(j) {
                rig.line(&[at(i, j), at(i + 1, j)]);
            }
            if j <= side && !edge(i) {
                rig.line(&[at(i, j), at(i, j + 1)]);
            }
        }
    }
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);
    for (frame, _, [x, y]) in &frames {
        let place = Vector3::new(*x, *y, 0.0);
        parameters.fixed_at_m[frame.index()] = place;
        guess.position_m[frame.index()] = place;
        if topology.kind(*frame) == statics::FrameKind::Junction {
            parameters.weight_n[frame.index()] = 50.0;
        }
    }
    for line in &mut parameters.lines {
        line.stiffness_n = 1.0e6;
        line.unloaded_length_m = 1.0;
    }
    Case {
        topology,
        parameters,
        guess,
    }
}
