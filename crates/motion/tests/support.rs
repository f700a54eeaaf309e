//! Rigs for tests: bodies, junctions and lines, brought to rest by `statics`.

use motion::{GRAVITY_M_PER_S2, Masses, Motion, MotionError, Options, Pull, Scene, Weakness, follow};
use nalgebra::{Matrix3, Vector3};
use statics::{
    AttachmentId, FrameId, LineId, LineParameters, Parameters, Solution, State, Topology, TopologyBuilder,
    Workspace, solve,
};

/// A rig on its way.
pub struct Draft {
    builder: TopologyBuilder,
    places: Vec<(FrameId, Vector3<f64>)>,
    fixed: Vec<(FrameId, Vector3<f64>)>,
    weights: Vec<(FrameId, f64, Vector3<f64>)>,
    inertia: Vec<(FrameId, Matrix3<f64>)>,
    offsets: Vec<(AttachmentId, Vector3<f64>)>,
    lines: Vec<LineParameters>,
    damping: Vec<f64>,
}

/// A rig.
#[derive(Debug, Clone)]
pub struct Rig {
    pub topology: Topology,
    pub parameters: Parameters,
    pub masses: Masses,
    pub start: State,
    pub damping_n_s_per_m: Vec<f64>,
    pub weaknesses: Vec<Weakness>,
    pub follows: Vec<(FrameId, Vector3<f64>)>,
}

impl Draft {
    pub fn new() -> Self {
        Draft {
            builder: TopologyBuilder::new(),
            places: Vec::new(),
            fixed: Vec::new(),
            weights: Vec::new(),
            inertia: Vec::new(),
            offsets: Vec::new(),
            lines: Vec::new(),
            damping: Vec::new(),
        }
    }

    pub fn point(&mut self, at_m: [f64; 3]) -> AttachmentId {
        let frame = self.builder.fixed();
        self.fixed.push((frame, Vector3::from(at_m)));
        self.builder.attachment(frame)
    }

    pub fn junction(&mut self, at_m: [f64; 3], weight_n: f64) -> AttachmentId {
        let frame = self.builder.junction();
        self.places.push((frame, Vector3::from(at_m)));
        self.weights.push((frame, weight_n, Vector3::zeros()));
        self.builder.attachment(frame)
    }

    /// A body with its centre of gravity in its own axes; moments of inertia about that.
    pub fn body(&mut self, at_m: [f64; 3], centre_m: [f64; 3], weight_n: f64, inertia: [f64; 3]) -> FrameId {
        let frame = self.builder.body();
        self.places.push((frame, Vector3::from(at_m)));
        self.weights.push((frame, weight_n, Vector3::from(centre_m)));
        self.inertia
            .push((frame, Matrix3::from_diagonal(&Vector3::from(inertia))));
        frame
    }

    pub fn pick(&mut self, body: FrameId, offset_m: [f64; 3]) -> AttachmentId {
        let at = self.builder.attachment(body);
        self.offsets.push((at, Vector3::from(offset_m)));
        at
    }

    pub fn line(&mut self, path: &[AttachmentId], stiffness_n: f64, unloaded_length_m: f64) -> LineId {
        let line = LineParameters {
            stiffness_n,
            unloaded_length_m,
            weight_n: 0.0,
            active: true,
        };
        self.lines.push(line);
        self.damping.push(0.0);
        self.builder.line(path)
    }

    pub fn damp(&mut self, damping_n_s_per_m: f64) {
        self.damping.fill(damping_n_s_per_m);
    }

    /// A rig at rest where it is drawn, whether forces balance or not.
    pub fn drawn(self) -> Rig {
        let topology = self.builder.build().unwrap();
        let mut parameters = Parameters::blank(&topology);
        let mut start = State::at_origin(&topology);
        let mut masses = Masses {
            inertia_kg_m2: vec![Matrix3::zeros(); topology.frame_count()],
            forces_are_weights: Vec::new(),
        };
        for (frame, at_m) in self.fixed {
            parameters.fixed_at_m[frame.index()] = at_m;
            start.position_m[frame.index()] = at_m;
        }
        for (frame, at_m) in self.places {
            start.position_m[frame.index()] = at_m;
        }
        for (frame, weight_n, centre_m) in self.weights {
            parameters.weight_n[frame.index()] = weight_n;
            parameters.centre_m[frame.index()] = centre_m;
        }
        for (frame, inertia) in self.inertia {
            masses.inertia_kg_m2[frame.index()] = inertia;
        }
        for (attachment, offset_m) in self.offsets {
            parameters.attachment_offset_m[attachment.index()] = offset_m;
        }
        parameters.lines = self.lines;
        Rig {
            topology,
            parameters,
            masses,
            start,
            damping_n_s_per_m: self.damping,
            weaknesses: Vec::new(),
            follows: Vec::new(),
        }
    }

    /// A rig at rest where it hangs.
    pub fn hung(self) -> Rig {
        let mut rig = self.drawn();
        rig.start = rig.at_rest().state;
        rig
    }
}

impl Rig {
    /// Where it hangs, from where it is.
    pub fn at_rest(&self) -> Solution {
        let mut workspace = Workspace::new(&self.topology);
        let outcome = solve(
            &self.topology,
            &self.parameters,
            &self.start,
            &statics::Options::default(),
            &mut workspace,
        );
        outcome.unwrap().found().unwrap()
    }

    pub fn cut(&mut self, line: LineId) {
        self.parameters.lines[line.index()].active = false;
    }

    pub fn breaks_at(&mut self, line: LineId, breaking_n: f64) {
        self.weaknesses.push(Weakness {
            pulls: vec![Pull::Line(line)],
            breaking_n,
            takes: vec![line],
        });
    }

    pub fn scene(&self) -> Scene<'_> {
        Scene {
            topology: &self.topology,
            parameters: &self.parameters,
            masses: &self.masses,
            start: &self.start,
            damping_n_s_per_m: &self.damping_n_s_per_m,
            weaknesses: &self.weaknesses,
            follows: &self.follows,
            loose: &[],
            flexible: &[],
            before_n: &[],
        }
    }

    pub fn try_follow(&self, seconds: f64, tolerance: f64) -> Result<Motion, MotionError> {
        follow(
            &self.scene(),
            &Options {
                seconds,
                tolerance,
                trace_every_s: None,
            },
        )
    }

    pub fn follow(&self, seconds: f64, tolerance: f64) -> Motion {
        self.try_follow(seconds, tolerance).unwrap()
    }

    pub fn traced(&self, seconds: f64, tolerance: f64, every_s: f64) -> Motion {
        follow(
            &self.scene(),
            &Options {
                seconds,
                tolerance,
                trace_every_s: Some(every_s),
            },
        )
        .unwrap()
    }
}

pub fn weight_n(mass_kg: f64) -> f64 {
    mass_kg * GRAVITY_M_PER_S2
}

/// Fails unless two numbers agree so far, relative to the second.
#[track_caller]
pub fn assert_near(got: f64, want: f64, share: f64, what: &str) {
    assert!(
        (got - want).abs() <= share * want.abs(),
        "{what}: {got}, not {want}: off by {:e}",
        got / want - 1.0
    );
}

const CORNERS: [[f64; 2]; 4] = [[0.6, 0.4], [-0.6, 0.4], [-0.6, -0.4], [0.6, -0.4]];

fn plate(draft: &mut Draft) -> [AttachmentId; 4] {
    let plate = draft.body(
        [0.0, 0.0, 3.0],
        [0.05, 0.02, -0.1],
        weight_n(150.0),
        [10.0, 18.0, 25.0],
    );
    CORNERS.map(|[x, y]| draft.pick(plate, [x, y, 0.0]))
}

/// A plate of 150 kg on four lines.
pub fn plate_on_four(damping_n_s_per_m: f64) -> Rig {
    let mut draft = Draft::new();
    let tops = [[0.7, 0.5], [-0.7, 0.5], [-0.7, -0.5], [0.7, -0.5]].map(|[x, y]| draft.point([x, y, 6.0]));
    for (top, pick) in tops.into_iter().zip(plate(&mut draft)) {
        draft.line(&[top, pick], 4e5, 3.0);
    }
    draft.damp(damping_n_s_per_m);
    draft.hung()
}

/// The same plate on four lines from a ring, with a line to one corner besides.
pub fn plate_on_ring(damping_n_s_per_m: f64) -> Rig {
    let mut draft = Draft::new();
    let (top, side) = (draft.point([0.0, 0.0, 6.0]), draft.point([0.7, 0.5, 6.0]));
    let ring = draft.junction([0.0, 0.0, 4.0], 10.0);
    let picks = plate(&mut draft);
    draft.line(&[top, ring], 4e5, 2.0);
    for pick in picks {
        draft.line(&[ring, pick], 4e5, 1.232);
    }
    draft.line(&[side, picks[0]], 4e5, 3.0);
    draft.damp(damping_n_s_per_m);
    draft.hung()
}
