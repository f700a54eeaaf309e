//! What moves: bodies, junctions and lines, made of a rig in the words of `statics`.
//!
//! Conventions: SI, z up; arms of a body in the axes that it has at the start, which are those of the world, from its centre of mass.
//! Assumes: pipes bend in the shapes of `flexible` alone; lines are straight between what they touch; a junction that weighs less than a twentieth of
//! the lightest load that lines join it with, and is held where it is, has no mass and so is in balance at every moment; points that give have none.
//! Valid for: rigs that `statics` takes.
//! Source: definitions; the twentieth is our judgement.
//! Checked by: tests/closed_forms.rs, tests/laws.rs.

use crate::bending::Sections;
use crate::error::MotionError;
use crate::flexible::Flexible;
use crate::masses::{AtStart, Mass};
use crate::moment::{Hold, Moment, OF_BODY};
use nalgebra::{Matrix3, Vector3};
use statics::{AttachmentId, FrameId, FrameKind, LineId};
use std::ops::Range;

/// A junction that weighs this share of the lightest load that lines join it with moves by its own mass.
const HEAVY: f64 = 0.05;

/// A junction that goes further than this at once, to where it then hangs by itself, is held by nothing where it is, metres.
const LOOSE_M: f64 = 0.02;
/// What hangs by itself alone pulls no line by more than so many times its weight.
const ALONE: f64 = 3.0;

/// A body, several that a pipe joins, or a junction that has mass.
#[derive(Debug, Clone)]
pub(crate) struct Body {
    pub(crate) frames: Vec<FrameId>,
    pub(crate) mass_kg: f64,
    /// Zero for what is built in, which goes nowhere but as it bends.
    pub(crate) inverse_per_kg: f64,
    pub(crate) inertia_kg_m2: Matrix3<f64>,
    /// Zero for what does not turn: a junction, or what is built in.
    pub(crate) inverse_inertia: Matrix3<f64>,
    /// Its centre of mass at the start, metres.
    pub(crate) start_m: Vector3<f64>,
    /// The shapes in which it bends, among those of all bodies.
    pub(crate) modes: Range<usize>,
    /// Of each hinge, by how much it is folded in each of these, rad.
    pub(crate) hinges: Vec<Vec<f64>>,
}

/// A shape in which a body bends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bends {
    /// The square of how fast it swings by itself, 1/s².
    pub(crate) square: f64,
    /// What it held against at the start, N for a shape of 1 kg.
    pub(crate) held_n: f64,
}

/// Where something acts.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Place {
    Fixed(Vector3<f64>),
    Body {
        body: usize,
        arm_m: Vector3<f64>,
        /// How far it goes in each shape of its body, among those of all places; none on a stiff one.
        shape: Option<usize>,
    },
    Junction(usize),
}

/// A force of fixed direction on a body.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OnBody {
    pub(crate) body: usize,
    pub(crate) arm_m: Vector3<f64>,
    pub(crate) shape: Option<usize>,
    pub(crate) force_n: Vector3<f64>,
}

/// A ring, or a point that gives; without mass.
#[derive(Debug, Clone)]
pub(crate) struct Junction {
    pub(crate) start_m: Vector3<f64>,
    pub(crate) force_n: Vector3<f64>,
    /// Where springs of the building hold it, metres, and how stiffly, N/m.
    pub(crate) springs: Vec<(Vector3<f64>, f64)>,
}

/// A line that is there.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) id: LineId,
    pub(crate) path: Vec<Place>,
    /// The first of its places among those of all lines.
    pub(crate) first: usize,
    pub(crate) unloaded_m: f64,
    /// EA / L0, N/m; zero once it has parted.
    pub(crate) stiffness_n_per_m: f64,
    /// N s/m.
    pub(crate) damping_n_s_per_m: f64,
    /// Whether it touches a junction without mass.
    pub(crate) on_junction: bool,
}

/// A place of the building that feels the rig: which line pulls there, by its order and by the step of its path, and what rests there.
#[derive(Debug, Clone)]
pub(crate) struct Support {
    pub(crate) frame: FrameId,
    pub(crate) pulls: Vec<(usize, usize)>,
    pub(crate) still_n: Vector3<f64>,
}

/// A rig as it moves.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub(crate) bodies: Vec<Body>,
    pub(crate) junctions: Vec<Junction>,
    pub(crate) lines: Vec<Line>,
    pub(crate) forces: Vec<OnBody>,
    pub(crate) supports: Vec<Support>,
    /// By `FrameId`: where its origin goes along.
    pub(crate) places: Vec<Place>,
    /// Whether any line has damping.
    pub(crate) is_damped: bool,
    /// Shapes in which bodies bend, one body after the other.
    pub(crate) modes: Vec<Bends>,
    /// How far places go in each shape of their body, m.
    pub(crate) shapes: Vec<Vec<Vector3<f64>>>,
}

impl Line {
    /// The places of it among those of all lines.
    pub(crate) fn range(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.path.len()
    }

    /// Its segments, by their first places.
    pub(crate) fn segments(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.path.len() - 1
    }

    /// How far its pull is ahead of its stretch by damping, c / k, seconds.
    pub(crate) fn lead_s(&self) -> f64 {
        if self.damping_n_s_per_m > 0.0 {
            self.damping_n_s_per_m / self.stiffness_n_per_m
        } else {
            0.0
        }
    }

    /// Takes it away.
    pub(crate) fn part(&mut self) {
        self.stiffness_n_per_m = 0.0;
        self.damping_n_s_per_m = 0.0;
    }

    pub(crate) fn has_parted(&self) -> bool {
        self.stiffness_n_per_m == 0.0
    }
}

impl Model {
    /// Lists the junctions that go elsewhere at once if they have no mass: nothing holds them where they are.
    pub(crate) fn loose_junctions(&self, rig: &AtStart<'_>) -> Vec<FrameId> {
        if self.junctions.is_empty() {
            return Vec::new();
        }
        let mut moment = Moment::new(self);
        moment.measure(self, &at_rest(self), &vec![Hold::Slack; self.lines.len()]);
        let is_loose = |junction: usize| {
            let of = &self.junctions[junction];
            let moved_m = moment.junctions_m[junction] - of.start_m;
            let on_it = |place: &Place| matches!(place, Place::Junction(own) if *own == junction);
            let lines = self.lines.iter().zip(&moment.stretch_m);
            let pulls_n = lines
                .filter(|(line, _)| line.path.iter().any(on_it))
                .map(|(line, stretch_m)| line.stiffness_n_per_m * stretch_m);
            let most_n = pulls_n.fold(0.0, f64::max);
            of.springs.is_empty() && moved_m.norm() > LOOSE_M && most_n <= ALONE * of.force_n.norm()
        };
        let frames = rig.topology.frames();
        let loose = frames.filter(|frame| match self.places[frame.index()] {
            Place::Junction(junction) => is_loose(junction),
            _ => false,
        });
        loose.collect()
    }

    /// Makes a model of a rig as it starts; `damping_n_s_per_m` is by `LineId`, and `loose` are junctions that move by their own mass however
    /// little that is.
    pub(crate) fn new(
        rig: &AtStart<'_>,
        damping_n_s_per_m: &[f64],
        loose: &[FrameId],
        flexible: &[Flexible],
    ) -> Result<Self, MotionError> {
        let topology = rig.topology;
        let (bodies, mut body_of) = bodies(rig, flexible);
        let mut model = Model {
            bodies,
            junctions: Vec::new(),
            lines: Vec::new(),
            forces: Vec::new(),
            supports: Vec::new(),
            places: Vec::new(),
            is_damped: false,
            modes: Vec::new(),
            shapes: Vec::new(),
        };
        let heavy = heavy_junctions(rig, &model, &body_of, loose);
        let mut junction_of = vec![None; topology.frame_count()];
        for frame in topology
            .frames()
            .filter(|frame| topology.kind(*frame) == FrameKind::Junction)
        {
            if heavy[frame.index()] {
                body_of[frame.index()] = Some(model.bodies.len());
                model.bodies.push(particle(rig, frame));
            } else {
                junction_of[frame.index()] = Some(model.junctions.len());
                model.junctions.push(junction(rig, frame));
            }
        }
        if let Some(body) = model.bodies.iter().find(|body| body.mass_kg <= 0.0) {
            return Err(MotionError::Massless {
                frame: body.frames[0],
            });
        }
        let place =
            |frame: FrameId, at_m: Vector3<f64>| match (body_of[frame.index()], junction_of[frame.index()]) {
                (Some(body), _) => Place::Body {
                    body,
                    arm_m: at_m - model.bodies[body].start_m,
                    shape: None,
                },
                (None, Some(junction)) => Place::Junction(junction),
                (None, None) => Place::Fixed(at_m),
            };
        let at = |attachment: AttachmentId| {
            let frame = topology.frame_of(attachment);
            place(
                frame,
                rig.start.attachment_at_m(topology, rig.parameters, attachment),
            )
        };
        let lines = lines(rig, damping_n_s_per_m, at);
        let forces = rig.forces().filter_map(|force| {
            let Place::Body { body, arm_m, .. } =
                place(force.frame, rig.place_m(force.frame, force.offset_m))
            else {
                return None;
            };
            Some(OnBody {
                body,
                arm_m,
                shape: None,
                force_n: force.force_n,
            })
        });
        let forces = forces.collect();
        let places = topology
            .frames()
            .map(|frame| place(frame, rig.start.frame_at_m(topology, rig.parameters, frame)));
        let places = places.collect();
        let supports = supports(rig, &lines);
        Ok(Model {
            is_damped: lines.iter().any(|line| line.damping_n_s_per_m > 0.0),
            forces,
            places,
            lines,
            supports,
            ..model
        })
    }
}

/// Makes the bodies, and says which each frame belongs to. What is built into the building and does not bend, or weighs nothing and hangs on
/// nothing, is none.
fn bodies(rig: &AtStart<'_>, flexible: &[Flexible]) -> (Vec<Body>, Vec<Option<usize>>) {
    let topology = rig.topology;
    let joined = topology.joined();
    let built_in = |group: usize| {
        topology.beams().any(|beam| {
            let ends = topology.ends(beam);
            let fixed = ends.iter().any(|end| topology.kind(*end) == FrameKind::Fixed);
            fixed && ends.iter().any(|end| joined[end.index()] == group)
        })
    };
    let touched = |frames: &[FrameId]| {
        rig.lines().any(|line| {
            topology
                .path(line)
                .iter()
                .any(|at| frames.contains(&topology.frame_of(*at)))
        })
    };
    let mut bodies = Vec::new();
    let mut body_of = vec![None; topology.frame_count()];
    for frame in topology
        .frames()
        .filter(|frame| topology.kind(*frame) == FrameKind::Body)
    {
        let group = joined[frame.index()];
        // The first of a group makes the body for all of it.
        if group != frame.index() {
            continue;
        }
        let is_built_in = built_in(group);
        if is_built_in && !flexible.iter().any(|pipe| pipe.has(frame)) {
            continue;
        }
        let frames: Vec<FrameId> = topology
            .frames()
            .filter(|other| joined[other.index()] == group)
            .collect();
        let mass = rig.mass_of(&frames);
        if mass.mass_kg <= 0.0 && !touched(&frames) {
            continue;
        }
        for frame in &frames {
            body_of[frame.index()] = Some(bodies.len());
        }
        bodies.push(if is_built_in {
            built_in_body(frames, mass)
        } else {
            body(frames, mass)
        });
    }
    (bodies, body_of)
}

/// A body that goes nowhere but as it bends.
fn built_in_body(frames: Vec<FrameId>, mass: Mass) -> Body {
    Body {
        inverse_per_kg: 0.0,
        inverse_inertia: Matrix3::zeros(),
        ..body(frames, mass)
    }
}

fn body(frames: Vec<FrameId>, mass: Mass) -> Body {
    Body {
        frames,
        mass_kg: mass.mass_kg,
        inverse_per_kg: 1.0 / mass.mass_kg,
        inertia_kg_m2: mass.inertia_kg_m2,
        inverse_inertia: mass.inertia_kg_m2.try_inverse().unwrap_or_else(Matrix3::zeros),
        start_m: mass.centre_m,
        modes: 0..0,
        hinges: Vec::new(),
    }
}

impl Model {
    /// How many numbers a state has: of bodies, of shapes and how fast they change, and what damping took.
    pub(crate) fn size(&self) -> usize {
        self.damped_at() + 1
    }

    /// Where a state has what damping took.
    pub(crate) fn damped_at(&self) -> usize {
        self.bent_from() + 2 * self.modes.len()
    }

    /// Where a state has how far bodies are bent, and after that how fast that changes.
    pub(crate) fn bent_from(&self) -> usize {
        OF_BODY * self.bodies.len()
    }

    /// Lets pipes bend, and says where along them what is within is looked at. `before_n` is what each line pulled at the start, by `LineId`.
    pub(crate) fn bend(
        &mut self,
        rig: &AtStart<'_>,
        flexible: &[Flexible],
        before_n: &[f64],
    ) -> Vec<Sections> {
        let of = |body: &Body| flexible.iter().find(|pipe| pipe.frames.contains(&body.frames[0]));
        let pipes: Vec<Option<&Flexible>> = self.bodies.iter().map(of).collect();
        for (body, pipe) in self.bodies.iter_mut().zip(&pipes) {
            let Some(pipe) = pipe else { continue };
            let first = self.modes.len();
            self.modes.extend(pipe.modes.iter().map(|mode| Bends {
                square: mode.square,
                held_n: 0.0,
            }));
            body.modes = first..self.modes.len();
            body.hinges.clone_from(&pipe.hinges);
        }
        if pipes.iter().all(Option::is_none) {
            return Vec::new();
        }
        let mut shapes = Vec::new();
        let mut bent = |body: usize, arm_m: Vector3<f64>| -> Option<usize> {
            shapes.push(pipes[body]?.at(self.bodies[body].start_m + arm_m));
            Some(shapes.len() - 1)
        };
        let paths = self.lines.iter_mut().flat_map(|line| &mut line.path);
        for place in paths.chain(&mut self.places) {
            if let Place::Body { body, arm_m, shape } = place {
                *shape = bent(*body, *arm_m);
            }
        }
        for force in &mut self.forces {
            force.shape = bent(force.body, force.arm_m);
        }
        self.shapes = shapes;
        self.hold(rig, &pipes, before_n);
        let pipes = pipes.iter().enumerate();
        let bent = pipes.filter_map(|(body, pipe)| Some(Sections::new(rig, self, body, (*pipe)?)));
        bent.collect()
    }

    /// Finds what pipes held against at the start, by what pulled there.
    fn hold(&mut self, rig: &AtStart<'_>, pipes: &[Option<&Flexible>], before_n: &[f64]) {
        for force in &self.forces {
            if let (Some(shape), modes) = (force.shape, self.bodies[force.body].modes.clone()) {
                for (mode, far) in self.modes[modes].iter_mut().zip(&self.shapes[shape]) {
                    mode.held_n += far.dot(&force.force_n);
                }
            }
        }
        let body_of = |frame: FrameId| self.bodies.iter().position(|body| body.frames.contains(&frame));
        for line in rig.topology.lines() {
            let pull_n = before_n.get(line.index()).copied().unwrap_or(0.0);
            let path = rig.topology.path(line);
            let at_m: Vec<Vector3<f64>> = path
                .iter()
                .map(|at| rig.start.attachment_at_m(rig.topology, rig.parameters, *at))
                .collect();
            for (step, at) in path.iter().enumerate() {
                let Some(body) = body_of(rig.topology.frame_of(*at)) else {
                    continue;
                };
                let Some(pipe) = pipes[body] else { continue };
                let toward = |other: Option<usize>| {
                    let far = other
                        .and_then(|other| at_m.get(other))
                        .map(|other| other - at_m[step]);
                    far.and_then(|far| far.try_normalize(0.0))
                        .unwrap_or_else(Vector3::zeros)
                };
                let force_n = (toward(step.checked_sub(1)) + toward(Some(step + 1))) * pull_n;
                let far = pipe.at(at_m[step]);
                for (mode, far) in self.modes[self.bodies[body].modes.clone()].iter_mut().zip(&far) {
                    mode.held_n += far.dot(&force_n);
                }
            }
        }
    }

    /// Gives a place on a body that is there at the start, bending with it.
    pub(crate) fn on_body(&mut self, body: usize, at_m: Vector3<f64>, flexible: &[Flexible]) -> Place {
        let of = &self.bodies[body];
        let pipe = flexible
            .iter()
            .find(|pipe| !of.modes.is_empty() && pipe.frames.contains(&of.frames[0]));
        let shape = pipe.map(|pipe| {
            self.shapes.push(pipe.at(at_m));
            self.shapes.len() - 1
        });
        Place::Body {
            body,
            arm_m: at_m - self.bodies[body].start_m,
            shape,
        }
    }
}

/// Gives the state at rest where a model starts.
pub(crate) fn at_rest(model: &Model) -> Vec<f64> {
    let mut state = vec![0.0; model.size()];
    for (to, body) in state.chunks_exact_mut(OF_BODY).zip(&model.bodies) {
        to[0..3].copy_from_slice(body.start_m.as_slice());
        to[3] = 1.0;
    }
    state
}

/// A junction that has mass: what stated forces do there is among the forces of the model.
fn particle(rig: &AtStart<'_>, frame: FrameId) -> Body {
    Body {
        frames: vec![frame],
        mass_kg: rig.weight_on_n(frame) / crate::masses::GRAVITY_M_PER_S2,
        inverse_per_kg: crate::masses::GRAVITY_M_PER_S2 / rig.weight_on_n(frame),
        inertia_kg_m2: Matrix3::zeros(),
        inverse_inertia: Matrix3::zeros(),
        start_m: rig.start.frame_at_m(rig.topology, rig.parameters, frame),
        modes: 0..0,
        hinges: Vec::new(),
    }
}

/// Tells which junctions move by their own mass; by `FrameId`.
fn heavy_junctions(
    rig: &AtStart<'_>,
    model: &Model,
    body_of: &[Option<usize>],
    loose: &[FrameId],
) -> Vec<bool> {
    let topology = rig.topology;
    let mut heavy = vec![false; topology.frame_count()];
    for piece in topology.pieces(rig.parameters, rig.lines().collect()) {
        let mut frames: Vec<FrameId> = piece
            .iter()
            .flat_map(|line| topology.path(*line))
            .map(|at| topology.frame_of(*at))
            .collect();
        frames.sort_unstable();
        frames.dedup();
        let mut bodies: Vec<usize> = frames.iter().filter_map(|frame| body_of[frame.index()]).collect();
        bodies.sort_unstable();
        bodies.dedup();
        let masses_kg = bodies.iter().map(|body| model.bodies[*body].mass_kg);
        let mass_kg = masses_kg.reduce(f64::min).unwrap_or(0.0);
        for frame in frames {
            let is_free = topology.kind(frame) == FrameKind::Junction && !rig.parameters.is_sprung(frame);
            let weight_n = rig.weight_on_n(frame);
            let is_heavy = weight_n >= HEAVY * mass_kg * crate::masses::GRAVITY_M_PER_S2;
            heavy[frame.index()] = is_free && weight_n > 0.0 && (is_heavy || loose.contains(&frame));
        }
    }
    heavy
}

fn junction(rig: &AtStart<'_>, frame: FrameId) -> Junction {
    let springs = rig
        .parameters
        .springs
        .iter()
        .filter(|spring| spring.frame == frame);
    Junction {
        start_m: rig.start.frame_at_m(rig.topology, rig.parameters, frame),
        force_n: still_n(rig, frame),
        springs: springs
            .map(|spring| (spring.at_m, spring.stiffness_n_per_m))
            .collect(),
    }
}

/// What acts on a frame besides lines, newtons.
fn still_n(rig: &AtStart<'_>, frame: FrameId) -> Vector3<f64> {
    let stated: Vector3<f64> = rig
        .forces()
        .filter(|force| force.frame == frame)
        .map(|force| force.force_n)
        .sum();
    stated - Vector3::z() * rig.weight_on_n(frame)
}

fn lines(rig: &AtStart<'_>, damping_n_s_per_m: &[f64], at: impl Fn(AttachmentId) -> Place) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for id in rig.lines() {
        let given = &rig.parameters.lines[id.index()];
        let path: Vec<Place> = rig
            .topology
            .path(id)
            .iter()
            .map(|attachment| at(*attachment))
            .collect();
        lines.push(Line {
            id,
            first: lines.last().map_or(0, |before| before.range().end),
            unloaded_m: given.unloaded_length_m,
            stiffness_n_per_m: given.stiffness_n / given.unloaded_length_m,
            damping_n_s_per_m: damping_n_s_per_m[id.index()],
            on_junction: path.iter().any(|place| matches!(place, Place::Junction(_))),
            path,
        });
    }
    lines
}

fn supports(rig: &AtStart<'_>, lines: &[Line]) -> Vec<Support> {
    let topology = rig.topology;
    let holds =
        |frame: &FrameId| topology.kind(*frame) == FrameKind::Fixed || rig.parameters.is_sprung(*frame);
    let pulls_on = |frame: FrameId| {
        lines.iter().enumerate().flat_map(move |(i, line)| {
            let steps = topology.path(line.id).iter().enumerate();
            steps
                .filter(move |(_, at)| topology.frame_of(**at) == frame)
                .map(move |(step, _)| (i, step))
        })
    };
    let made = topology.frames().filter(holds).map(|frame| Support {
        frame,
        pulls: pulls_on(frame).collect(),
        still_n: still_n(rig, frame),
    });
    made.filter(|support| !support.pulls.is_empty()).collect()
}
