//! Rigs that are timed.

use statics::{
    AppliedForce, BeamParameters, Options, Outcome, Parameters, Solution, State, Topology, TopologyBuilder,
    Vector3, Workspace, solve,
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
    hang(&[[1.5, 1.0], [-1.5, 1.0], [-1.5, -1.0], [1.5, -1.0]])
}

/// The same load on eight legs: the corners, and the middles of the edges.
pub fn eight_leg_hang() -> Case {
    hang(&[
        [1.5, 1.0],
        [0.0, 1.0],
        [-1.5, 1.0],
        [-1.5, 0.0],
        [-1.5, -1.0],
        [0.0, -1.0],
        [1.5, -1.0],
        [1.5, 0.0],
    ])
}

fn hang(picks: &[[f64; 2]]) -> Case {
    let mut rig = TopologyBuilder::new();
    let body = rig.body();
    let mut points = Vec::new();
    for _ in picks {
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
    for (index, [x, y]) in picks.iter().enumerate() {
        let top = Vector3::new(1.3 * x, 1.2 * y, 0.0);
        let pick = Vector3::new(*x, *y, 0.2);
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

/// One line of 10.2 m between two places 10 m apart, with a weight per metre.
pub fn heavy_span(weight_n_per_m: f64) -> Case {
    let mut rig = TopologyBuilder::new();
    let ends = [rig.fixed(), rig.fixed()];
    let path = ends.map(|end| rig.attachment(end));
    rig.line(&path);
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    parameters.fixed_at_m[1] = Vector3::new(9.6, 0.0, 2.8);
    parameters.lines[0].stiffness_n = 1.0e6;
    parameters.lines[0].unloaded_length_m = 10.2;
    parameters.lines[0].weight_n = 10.2 * weight_n_per_m;
    let guess = State::at_origin(&topology);
    Case {
        topology,
        parameters,
        guess,
    }
}

/// A steel tube 48.3 x 3.2 mm, 23 m, level, on twelve vertical lines each 2 m from 0.5 m on, of 4 m and EA 1e6 N, every
/// third 5 mm longer, all cut 1 cm short; 200 N half-way along every second bay. As in references/peers.py.
pub fn pipe_on_twelve_lines(pieces: u32) -> Case {
    let step = 2.0 / f64::from(pieces);
    let mut along = vec![0.0];
    along.extend((0..=11 * pieces).map(|i| 0.5 + step * f64::from(i)));
    along.push(23.0);
    let node_of = |line: u32| (1 + pieces * line) as usize;
    let mut rig = TopologyBuilder::new();
    let nodes: Vec<_> = along.iter().map(|_| rig.body()).collect();
    let points: Vec<_> = (0..12).map(|_| rig.fixed()).collect();
    for (line, point) in (0..).zip(&points) {
        let path = [rig.attachment(*point), rig.attachment(nodes[node_of(line)])];
        rig.line(&path);
    }
    for pair in nodes.windows(2) {
        rig.beam(pair[0], pair[1]);
    }
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);
    for (node, x) in nodes.iter().zip(&along) {
        guess.position_m[node.index()].x = *x;
    }
    for (line, point) in (0..12).zip(&points) {
        parameters.fixed_at_m[point.index()] = Vector3::new(along[node_of(line)], 0.0, 4.0);
        let given = &mut parameters.lines[line as usize];
        given.unloaded_length_m = 4.0 + if line % 3 == 0 { 0.005 } else { 0.0 } - 0.01;
        given.stiffness_n = 1.0e6;
    }
    for (beam, pair) in parameters.beams.iter_mut().zip(along.windows(2)) {
        *beam = BeamParameters {
            load_n_per_m: Vector3::z() * -34.9,
            ..BeamParameters::prismatic(pair[1] - pair[0], 9.52e7, 2.43e4, 2.43e4, 1.88e4)
        };
    }
    for line in (0..11).step_by(2) {
        parameters.forces.push(AppliedForce {
            frame: nodes[node_of(line) + (pieces / 2) as usize],
            offset_m: Vector3::zeros(),
            force_n: Vector3::z() * -200.0,
        });
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
