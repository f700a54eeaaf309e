//! Rigs in few words.

use crate::recount::recount;
use statics::{
    AppliedForce, AttachmentId, BeamId, BeamParameters, FrameId, FrameKind, LineId, LineParameters, Options,
    Outcome, Parameters, Solution, Spring, State, StaticsError, Topology, TopologyBuilder, UnitQuaternion,
    Vector3, Workspace, solve,
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
    beams: Vec<BeamParameters>,
    springs: Vec<Spring>,
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

    /// The frame that an attachment sits on.
    pub fn frame_of(&self, attachment: AttachmentId) -> FrameId {
        self.frame_of[attachment.index()]
    }

    /// A piece of pipe, or a hinge, from one body or fixed frame to another.
    pub fn beam(&mut self, ends: [FrameId; 2], of: BeamParameters) -> BeamId {
        self.beams.push(of);
        self.builder.beam(ends[0], ends[1])
    }

    /// A place that gives: a junction on a spring, where it was drawn when nothing pulls.
    pub fn giving_point(&mut self, at: [f64; 3], stiffness_n_per_m: f64) -> AttachmentId {
        let place = self.junction(at, 0.0);
        self.springs.push(Spring {
            frame: self.frame_of(place),
            at_m: at.into(),
            stiffness_n_per_m,
        });
        place
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
        parameters.beams = self.beams;
        parameters.springs = self.springs;
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
        recount(self, &found);
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
            + p.beams
                .iter()
                .map(|b| b.length_m * b.load_n_per_m.norm())
                .sum::<f64>()
            + p.forces.iter().map(|f| f.force_n.norm()).sum::<f64>()
            + p.lines
                .iter()
                .filter(|l| l.active)
                .map(|l| l.weight_n)
                .sum::<f64>()
    }
}

/// Whether two numbers differ by no more than a share of the second.
#[track_caller]
pub fn assert_near(got: f64, wanted: f64, tolerance: f64) {
    assert!(
        (got - wanted).abs() <= tolerance,
        "got {got}, wanted {wanted} within {tolerance}"
    );
}
