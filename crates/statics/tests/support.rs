//! Rigs in few words, and an independent recount of forces and moments from positions alone.

use statics::{
    AppliedForce, AttachmentId, FrameId, FrameKind, LineId, LineParameters, Options, Outcome, Parameters,
    Solution, State, StaticsError, Topology, TopologyBuilder, UnitQuaternion, Vector3, Workspace, solve,
};

/// Holds one frame as drawn.
#[derive(Clone)]
struct Drawn {
    at: Vector3<f64>,
    rotation: UnitQuaternion<f64>,
    centre: Vector3<f64>,
    weight_n: f64,
}

/// Collects a rig, numbers and all.
#[derive(Default, Clone)]
pub struct Rig {
    builder: TopologyBuilder,
    frames: Vec<Drawn>,
    offsets: Vec<Vector3<f64>>,
    frame_of: Vec<FrameId>,
    lines: Vec<LineParameters>,
    forces: Vec<AppliedForce>,
}

impl Rig {
    pub fn new() -> Self {
        Self::default()
    }

    fn frame(&mut self, kind: FrameKind, at: [f64; 3], centre: [f64; 3], weight_n: f64) -> FrameId {
        let rotation = UnitQuaternion::identity();
        self.frames.push(Drawn {
            at: at.into(),
            rotation,
            centre: centre.into(),
            weight_n,
        });
        self.builder.frame(kind)
    }

    /// A fixed frame with one attachment.
    pub fn point(&mut self, at: [f64; 3]) -> AttachmentId {
        let frame = self.frame(FrameKind::Fixed, at, [0.0; 3], 0.0);
        self.pick(frame, [0.0; 3])
    }

    /// A junction with one attachment.
    pub fn junction(&mut self, near: [f64; 3], weight_n: f64) -> AttachmentId {
        let frame = self.frame(FrameKind::Junction, near, [0.0; 3], weight_n);
        self.pick(frame, [0.0; 3])
    }

    pub fn body(&mut self, near: [f64; 3], centre: [f64; 3], weight_n: f64) -> FrameId {
        self.frame(FrameKind::Body, near, centre, weight_n)
    }

    pub fn turned(&mut self, body: FrameId, rotation: UnitQuaternion<f64>) {
        self.frames[body.index()].rotation = rotation;
    }

    /// Where an attachment was drawn.
    pub fn place_of(&self, attachment: AttachmentId) -> [f64; 3] {
        let drawn = &self.frames[self.frame_of[attachment.index()].index()];
        (drawn.at + drawn.rotation * self.offsets[attachment.index()]).into()
    }

    pub fn pick(&mut self, frame: FrameId, offset: [f64; 3]) -> AttachmentId {
        self.offsets.push(offset.into());
        self.frame_of.push(frame);
        self.builder.attachment(frame)
    }

    pub fn line(&mut self, path: &[AttachmentId], stiffness_n: f64, unloaded_length_m: f64) -> LineId {
        self.heavy_line(path, stiffness_n, unloaded_length_m, 0.0)
    }

    pub fn heavy_line(
        &mut self,
        path: &[AttachmentId],
        stiffness_n: f64,
        unloaded_length_m: f64,
        weight_n: f64,
    ) -> LineId {
        self.lines.push(LineParameters {
            stiffness_n,
            unloaded_length_m,
            weight_n,
            active: true,
        });
        self.builder.line(path)
    }

    pub fn force(&mut self, frame: FrameId, offset: [f64; 3], force: [f64; 3]) {
        self.forces.push(AppliedForce {
            frame,
            offset_m: offset.into(),
            force_n: force.into(),
        });
    }

    pub fn build(self) -> Case {
        let topology = self.builder.build().unwrap();
        let mut parameters = Parameters::blank(&topology);
        let mut guess = State::at_origin(&topology);
        for (
            index,
            Drawn {
                at,
                rotation,
                centre,
                weight_n,
            },
        ) in self.frames.into_iter().enumerate()
        {
            parameters.fixed_at_m[index] = at;
            parameters.centre_m[index] = centre;
            parameters.weight_n[index] = weight_n;
            guess.position_m[index] = at;
            guess.rotation[index] = rotation;
        }
        parameters.attachment_offset_m = self.offsets;
        parameters.lines = self.lines;
        parameters.forces = self.forces;
        Case {
            topology,
            parameters,
            guess,
        }
    }
}

/// Holds a rig ready to solve.
#[derive(Clone)]
pub struct Case {
    pub topology: Topology,
    pub parameters: Parameters,
    pub guess: State,
}

impl Case {
    pub fn solve(&self) -> Result<Outcome, StaticsError> {
        let mut workspace = Workspace::new(&self.topology);
        solve(
            &self.topology,
            &self.parameters,
            &self.guess,
            &Options::default(),
            &mut workspace,
        )
    }

    /// Solves, and recounts the balance.
    pub fn found(&self) -> Solution {
        let found = match self.solve() {
            Ok(Outcome::Found(found)) => found,
            other => panic!("no equilibrium: {other:?}"),
        };
        self.recount(&found);
        found
    }

    pub fn at(&self, solution: &Solution, attachment: AttachmentId) -> Vector3<f64> {
        solution
            .state
            .attachment_at_m(&self.topology, &self.parameters, attachment)
    }

    /// Sum of all weights and forces on free frames.
    pub fn weight_n(&self) -> f64 {
        let p = &self.parameters;
        p.weight_n.iter().sum::<f64>()
            + p.forces.iter().map(|f| f.force_n.norm()).sum::<f64>()
            + p.lines
                .iter()
                .filter(|l| l.active)
                .map(|l| l.weight_n)
                .sum::<f64>()
    }

    /// Recounts every tension, force and moment from positions alone and compares.
    pub fn recount(&self, solution: &Solution) {
        let (topology, p) = (&self.topology, &self.parameters);
        let frames = topology.frame_count();
        let mut force = vec![Vector3::zeros(); frames];
        let mut moment = vec![Vector3::zeros(); frames];
        let mut reach = vec![0.0_f64; frames];
        let centre = |frame: FrameId| match topology.kind(frame) {
            FrameKind::Fixed => p.fixed_at_m[frame.index()],
            FrameKind::Junction => solution.state.position_m[frame.index()],
            FrameKind::Body => {
                solution.state.position_m[frame.index()]
                    + solution.state.rotation[frame.index()].to_rotation_matrix() * p.centre_m[frame.index()]
            }
        };
        let mut pull = |frame: FrameId, at: Vector3<f64>, pulls: Vector3<f64>| {
            let arm = at - centre(frame);
            force[frame.index()] += pulls;
            moment[frame.index()] += arm.cross(&pulls);
            reach[frame.index()] = reach[frame.index()].max(arm.norm());
        };
        let mut rounding = 0.0_f64;
        for id in topology.lines() {
            let line = p.lines[id.index()];
            let result = solution.line(id);
            let at: Vec<_> = topology.path(id).iter().map(|a| self.at(solution, *a)).collect();
            let length: f64 = at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
            let stretch = length - line.unloaded_length_m;
            let tension = if line.active && stretch > 0.0 {
                line.stiffness_n * stretch / line.unloaded_length_m
            } else {
                0.0
            };
            if result.sag_m.is_some() {
                let spacing = recount_sagging(&line, &at, solution.pulls_of(topology, id), &result);
                rounding = rounding.max(spacing);
                let pulls = solution.pulls_of(topology, id).iter();
                for (index, (place, pulls)) in at.iter().zip(pulls).enumerate() {
                    let mut pulls = *pulls;
                    if index == 0 || index + 1 == at.len() {
                        pulls.z -= 0.5 * line.weight_n;
                    }
                    pull(topology.frame_of(topology.path(id)[index]), *place, pulls);
                }
                continue;
            }
            let far = at.iter().fold(line.unloaded_length_m, |far, x| far.max(x.amax()));
            let spacing = 64.0 * f64::EPSILON * line.stiffness_n / line.unloaded_length_m * far;
            if line.active {
                rounding = rounding.max(spacing);
            }
            assert!(
                (tension - result.tension_n).abs() <= spacing + 1e-12 * tension,
                "tension of line {id}"
            );
            assert!((length - result.length_m).abs() <= 1e-12 * far * at.len() as f64);
            assert!(result.slack == (result.tension_n == 0.0));
            for (index, place) in at.iter().enumerate() {
                let mut pulls = Vector3::zeros();
                for other in [index.wrapping_sub(1), index + 1] {
                    if let Some(other) = at.get(other)
                        && *other != *place
                    {
                        pulls += (other - place).normalize() * tension;
                    }
                }
                let given = solution.pulls_of(topology, id)[index];
                assert!(
                    (pulls - given).norm() <= 4.0 * spacing + 1e-11 * tension,
                    "pull of line {id}"
                );
                let ends = index == 0 || index + 1 == at.len();
                if ends && line.active {
                    pulls.z -= 0.5 * line.weight_n;
                }
                pull(topology.frame_of(topology.path(id)[index]), *place, pulls);
            }
        }
        for given in &p.forces {
            let frame = given.frame;
            let offset = solution.state.rotation[frame.index()] * given.offset_m;
            pull(
                frame,
                solution.state.frame_at_m(topology, p, frame) + offset,
                given.force_n,
            );
        }
        // The solver's promise, and the recount's own rounding.
        let allowed = solution.allowed_residual_n * 2.0 + 8.0 * rounding + 1e-12 * self.weight_n();
        assert!(solution.residual_n <= solution.allowed_residual_n);
        for frame in topology.frames() {
            let index = frame.index();
            let total = force[index] - Vector3::z() * p.weight_n[index];
            if topology.kind(frame) == FrameKind::Fixed {
                let given = solution.on_building_n[index];
                assert!(
                    (total - given).norm() <= allowed,
                    "force on the building at frame {frame}"
                );
            } else {
                assert!(
                    total.norm() <= allowed,
                    "frame {frame} is out of balance by {total:?}"
                );
                let turn = moment[index].norm();
                assert!(
                    turn <= allowed * (1.0 + 2.0 * reach[index]),
                    "frame {frame} turns: {turn}"
                );
            }
        }
    }
}

/// Follows a heavy rope from its first end by Irvine's equations of the elastic catenary, as in any text on cables, and
/// asks whether it comes by every place of its path, with one tension on both sides of each, and ends with its length.
/// Gives the force that rounding of its reach leaves open.
fn recount_sagging(
    line: &LineParameters,
    at: &[Vector3<f64>],
    pulls: &[Vector3<f64>],
    result: &statics::LineResult,
) -> f64 {
    let (ea, w) = (line.stiffness_n, line.weight_n / line.unloaded_length_m);
    let half = Vector3::z() * (0.5 * line.weight_n);
    let far = at.iter().fold(line.unloaded_length_m, |far, x| far.max(x.amax()));
    let spacing = 64.0 * f64::EPSILON * ea / line.unloaded_length_m * far;
    let mut start = pulls[0] - half;
    assert!(
        (start.norm() - result.end_tensions_n[0]).abs() <= spacing + 1e-8 * (start.norm() + line.weight_n)
    );
    let mut left_m = line.unloaded_length_m;
    for (place, pair) in at.windows(2).enumerate() {
        let (across_n, up_n) = (start.xy().norm(), start.z);
        let tension = |l: f64| across_n.hypot(up_n + w * l);
        let across = |l: f64| {
            let turns = ((up_n + w * l) / across_n).asinh() - (up_n / across_n).asinh();
            across_n * (l / ea + turns / w)
        };
        let up = |l: f64| (up_n * l + 0.5 * w * l * l) / ea + (tension(l) - tension(0.0)) / w;
        let reach = pair[1] - pair[0];
        let last = place + 2 == at.len();
        // Where nothing pulls across the rope folds, and these equations lose it.
        if across_n < 1e-4 * line.weight_n {
            return spacing;
        }
        let mut length = left_m;
        if !last {
            // What comes to the next place's distance.
            let (mut low, mut high) = (0.0, left_m);
            for _ in 0..200 {
                length = 0.5 * (low + high);
                if across(length) > reach.xy().norm() {
                    high = length;
                } else {
                    low = length;
                }
            }
        }
        let allowed = 1e-9 * far;
        assert!(
            (across(length) - reach.xy().norm()).abs() <= allowed,
            "rope misses across"
        );
        assert!((up(length) - reach.z).abs() <= allowed, "rope misses upright");
        let end = start + Vector3::z() * (w * length);
        left_m -= length;
        if last {
            assert!(
                (end.norm() - result.end_tensions_n[1]).abs()
                    <= spacing + 1e-8 * (end.norm() + line.weight_n)
            );
            assert!((end + pulls[place + 1] - half).norm() <= spacing + 1e-8 * (end.norm() + line.weight_n));
        } else {
            start = end + pulls[place + 1];
            assert!(
                (start.norm() - end.norm()).abs() <= spacing + 1e-6 * end.norm(),
                "tension jumps at a sheave"
            );
        }
    }
    spacing
}

/// Whether two numbers differ by no more than a share of the second.
#[track_caller]
pub fn assert_near(got: f64, wanted: f64, tolerance: f64) {
    assert!(
        (got - wanted).abs() <= tolerance,
        "got {got}, wanted {wanted} within {tolerance}"
    );
}
