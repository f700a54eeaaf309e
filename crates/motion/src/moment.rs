//! One moment of a motion: where everything is, what the lines pull, and how bodies are accelerated.
//!
//! Conventions: SI, z up. Of each body thirteen numbers are the state: its centre of mass (3), its turn from the start as a quaternion
//! w, x, y, z (4), its speed (3), and its turning in its own axes (3); one more is the energy that damping took, in joules.
//! Assumes: tension-only lines, T = k e + c de/dt, never below 0; the same tension all along a line.
//! Valid for: any motion.
//! Source: Newton's and Euler's equations of a rigid body; damping as Rayleigh's dissipation function.
//! Checked by: tests/laws.rs (energy, momentum), tests/closed_forms.rs.

use crate::junctions::Junctions;
use crate::masses::GRAVITY_M_PER_S2;
use crate::model::{Line, Model, Place};
use nalgebra::{Matrix3, Quaternion, UnitQuaternion, Vector3};

/// Numbers of the state of one body.
pub(crate) const OF_BODY: usize = 13;

/// How a line is. It stays so within a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hold {
    /// It is not stretched.
    Slack,
    /// It is stretched, but shortens faster than damping lets it pull; what is stored in it is lost, as if to damping.
    Loose,
    /// It pulls.
    Taut,
}

/// Where everything is at one moment, and what pulls.
#[derive(Debug)]
pub(crate) struct Moment {
    /// Places of all paths, one after the other.
    pub(crate) at_m: Vec<Vector3<f64>>,
    /// Arms of those on bodies, in world axes.
    arm_m: Vec<Vector3<f64>>,
    /// Speeds of the same.
    pub(crate) speed_m_per_s: Vec<Vector3<f64>>,
    /// Direction of each segment, by its first place.
    pub(crate) direction: Vec<Vector3<f64>>,
    /// Length of each segment, by its first place, metres.
    pub(crate) segment_m: Vec<f64>,
    /// By line: how much longer its way is than itself, metres; of a damped line on a junction a little ahead of now.
    pub(crate) stretch_m: Vec<f64>,
    /// By line: how fast that grows, m/s. Of lines on junctions known after `find_all_rates` only.
    pub(crate) rate_m_per_s: Vec<f64>,
    /// By line: what damping adds to its pull, newtons.
    pub(crate) damping_n: Vec<f64>,
    /// By line, newtons.
    pub(crate) tension_n: Vec<f64>,
    pub(crate) turns: Vec<Matrix3<f64>>,
    /// How fast bodies turn, in the axes of the world, rad/s; kept as rates are.
    spins: Vec<Vector3<f64>>,
    pub(crate) junctions_m: Vec<Vector3<f64>>,
    /// Where junctions would be in balance if bodies were a little further on: see `look_ahead`.
    ahead_m: Vec<Vector3<f64>>,
    /// By line: its stretch where bodies are, of which it stores energy.
    stored_m: Vec<f64>,
    /// What lines on junctions would do to bodies without damping, watts.
    elastic_w: f64,
    /// Whether all junctions came into balance since this was last set.
    pub(crate) is_settled: bool,
    forces_n: Vec<Vector3<f64>>,
    torques_n_m: Vec<Vector3<f64>>,
    /// What pushes bodies into each of their shapes.
    pushes_n: Vec<f64>,
    /// None while they look at the moment that they are part of.
    junctions: Option<Box<Junctions>>,
}

impl Moment {
    pub(crate) fn new(model: &Model) -> Self {
        let places = model.lines.last().map_or(0, |line| line.range().end);
        let (lines, bodies) = (model.lines.len(), model.bodies.len());
        Moment {
            at_m: vec![Vector3::zeros(); places],
            arm_m: vec![Vector3::zeros(); places],
            pushes_n: vec![0.0; model.modes.len()],
            speed_m_per_s: vec![Vector3::zeros(); places],
            direction: vec![Vector3::zeros(); places],
            segment_m: vec![0.0; places],
            stretch_m: vec![0.0; lines],
            rate_m_per_s: vec![0.0; lines],
            damping_n: vec![0.0; lines],
            tension_n: vec![0.0; lines],
            turns: vec![Matrix3::identity(); bodies],
            spins: vec![Vector3::zeros(); bodies],
            junctions_m: model.junctions.iter().map(|junction| junction.start_m).collect(),
            ahead_m: model.junctions.iter().map(|junction| junction.start_m).collect(),
            stored_m: vec![0.0; lines],
            elastic_w: 0.0,
            is_settled: true,
            forces_n: vec![Vector3::zeros(); bodies],
            torques_n_m: vec![Vector3::zeros(); bodies],
            junctions: (!model.junctions.is_empty()).then(|| Box::new(Junctions::new(model))),
        }
    }

    /// Works out where everything is and what pulls; `holds` says how lines are.
    ///
    /// As long as lines stay as they are all of this is smooth, also where a step reaches a little past a change.
    pub(crate) fn measure(&mut self, model: &Model, state: &[f64], holds: &[Hold]) {
        for (turn, of) in self
            .turns
            .iter_mut()
            .zip(state[..model.bent_from()].chunks_exact(OF_BODY))
        {
            *turn = turn_of(of);
        }
        for line in &model.lines {
            self.place(model, line, state);
        }
        self.with_junctions(|junctions, moment| moment.is_settled &= junctions.settle(model, moment));
        for (i, line) in model.lines.iter().enumerate() {
            self.stretch(i, line);
        }
        self.stored_m.copy_from_slice(&self.stretch_m);
        if model.is_damped {
            self.find_speeds(model, state);
            self.look_ahead(model);
            self.find_rates(model);
        }
        for (i, line) in model.lines.iter().enumerate() {
            self.pull(i, line, holds[i]);
        }
    }

    /// Puts lines on junctions, and these, where they will be after the time c / k, if bodies go on as they do.
    ///
    /// There a line that is k e + c de/dt pulls k e, so that junctions are in balance with damping as well.
    fn look_ahead(&mut self, model: &Model) {
        if self.junctions.is_none() {
            return;
        }
        self.elastic_w = 0.0;
        for (i, line) in model
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| line.on_junction)
        {
            let pull_n = line.stiffness_n_per_m * self.stretch_m[i].max(0.0);
            self.elastic_w += self.power_w(line, pull_n);
            for (at, place) in line.range().zip(&line.path) {
                if matches!(place, Place::Body { .. }) {
                    self.at_m[at] += self.speed_m_per_s[at] * line.lead_s();
                }
            }
        }
        std::mem::swap(&mut self.junctions_m, &mut self.ahead_m);
        self.with_junctions(|junctions, moment| moment.is_settled &= junctions.settle(model, moment));
        std::mem::swap(&mut self.junctions_m, &mut self.ahead_m);
        for (i, line) in model
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| line.on_junction)
        {
            self.stretch(i, line);
        }
    }

    /// Gives what a line that pulls so much does to bodies, watts.
    fn power_w(&self, line: &Line, pull_n: f64) -> f64 {
        let on_bodies = line
            .path
            .iter()
            .enumerate()
            .filter(|(_, place)| matches!(place, Place::Body { .. }));
        let each = on_bodies.map(|(step, _)| {
            self.towards(line, step)
                .dot(&self.speed_m_per_s[line.first + step])
        });
        pull_n * each.sum::<f64>()
    }

    /// Does something with the junctions if there are any.
    fn with_junctions(&mut self, act: impl FnOnce(&mut Junctions, &mut Self)) {
        if let Some(mut junctions) = self.junctions.take() {
            act(&mut junctions, self);
            self.junctions = Some(junctions);
        }
    }

    /// Puts the places of a line where bodies and junctions are.
    fn place(&mut self, model: &Model, line: &Line, state: &[f64]) {
        let places = self.at_m[line.range()]
            .iter_mut()
            .zip(&mut self.arm_m[line.range()]);
        for ((at_m, turned_m), place) in places.zip(&line.path) {
            *at_m = match *place {
                Place::Fixed(fixed_m) => fixed_m,
                Place::Body { body, arm_m, shape } => {
                    *turned_m = self.turns[body] * (arm_m + bent_m(model, state, body, shape));
                    vector(&state[OF_BODY * body..]) + *turned_m
                }
                Place::Junction(junction) => self.junctions_m[junction],
            };
        }
    }

    /// Gives places of a line the speeds of bodies; those of junctions are found from them.
    fn speed(&mut self, model: &Model, line: &Line, state: &[f64]) {
        let speeds = self.speed_m_per_s[line.range()]
            .iter_mut()
            .zip(&self.arm_m[line.range()]);
        for ((speed, arm_m), place) in speeds.zip(&line.path) {
            *speed = match *place {
                Place::Body { body, shape, .. } => {
                    let stiff = vector(&state[OF_BODY * body + 7..]) + self.spins[body].cross(arm_m);
                    match shape {
                        Some(shape) => stiff + self.turns[body] * bends_m_per_s(model, state, body, shape),
                        None => stiff,
                    }
                }
                Place::Fixed(_) | Place::Junction(_) => Vector3::zeros(),
            };
        }
    }

    /// Works out the segments of a line, and how much longer its way is than itself.
    pub(crate) fn stretch(&mut self, i: usize, line: &Line) {
        let mut length_m = 0.0;
        for at in line.segments() {
            let along = self.at_m[at + 1] - self.at_m[at];
            let segment_m = along.norm();
            self.segment_m[at] = segment_m;
            self.direction[at] = if segment_m > 0.0 {
                along / segment_m
            } else {
                Vector3::zeros()
            };
            length_m += segment_m;
        }
        self.stretch_m[i] = length_m - line.unloaded_m;
    }

    /// Works out how fast the places of bodies go.
    pub(crate) fn find_speeds(&mut self, model: &Model, state: &[f64]) {
        for (body, spin) in self.spins.iter_mut().enumerate() {
            *spin = self.turns[body] * vector(&state[OF_BODY * body + 10..]);
        }
        for line in &model.lines {
            self.speed(model, line, state);
        }
    }

    /// Works out how fast lines stretch of which no end is a junction.
    fn find_rates(&mut self, model: &Model) {
        for (i, line) in model
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| !line.on_junction)
        {
            self.rate_m_per_s[i] = self.rate(line);
        }
    }

    /// Works out how fast all lines stretch, junctions going along with bodies.
    pub(crate) fn find_all_rates(&mut self, model: &Model, state: &[f64]) {
        self.find_speeds(model, state);
        self.with_junctions(|junctions, moment| junctions.follow(model, moment));
        for (i, line) in model.lines.iter().enumerate() {
            self.rate_m_per_s[i] = self.rate(line);
        }
    }

    fn rate(&self, line: &Line) -> f64 {
        let speed =
            |at: usize| self.direction[at].dot(&(self.speed_m_per_s[at + 1] - self.speed_m_per_s[at]));
        line.segments().map(speed).sum()
    }

    /// Works out what a line pulls.
    fn pull(&mut self, i: usize, line: &Line, hold: Hold) {
        let elastic_n = line.stiffness_n_per_m * self.stretch_m[i];
        (self.tension_n[i], self.damping_n[i]) = match hold {
            // Junctions are where what is stored is least, so of lines on them whatever is stretched pulls, and nothing else.
            _ if line.on_junction => (elastic_n.max(0.0), 0.0),
            Hold::Slack => (0.0, 0.0),
            Hold::Loose => (0.0, -elastic_n),
            Hold::Taut => {
                let damping_n = line.damping_n_s_per_m * self.rate_m_per_s[i];
                (elastic_n + damping_n, damping_n)
            }
        };
    }

    /// Gives how the state changes; `measure` first.
    pub(crate) fn changes(&mut self, model: &Model, state: &[f64], change: &mut [f64]) {
        for (body, of) in model.bodies.iter().enumerate() {
            self.forces_n[body] = Vector3::new(0.0, 0.0, -of.mass_kg * GRAVITY_M_PER_S2);
            self.torques_n_m[body] = Vector3::zeros();
        }
        self.pushes_n.fill(0.0);
        for force in &model.forces {
            let arm_m = force.arm_m + bent_m(model, state, force.body, force.shape);
            let arm_m = self.turns[force.body] * arm_m;
            self.act(model, (force.body, force.shape), arm_m, force.force_n);
        }
        let mut damped_w = if model.is_damped { self.elastic_w } else { 0.0 };
        for (i, line) in model.lines.iter().enumerate() {
            let pull_n = self.tension_n[i];
            if pull_n != 0.0 {
                for (step, place) in line.path.iter().enumerate() {
                    if let Place::Body { body, shape, .. } = *place {
                        let arm_m = self.arm_m[line.first + step];
                        self.act(model, (body, shape), arm_m, self.towards(line, step) * pull_n);
                    }
                }
            }
            if model.is_damped {
                damped_w += if line.on_junction {
                    -self.power_w(line, pull_n)
                } else {
                    self.damping_n[i] * self.rate_m_per_s[i]
                };
            }
        }
        for (body, of) in model.bodies.iter().enumerate() {
            let of_state = &state[OF_BODY * body..OF_BODY * (body + 1)];
            let to = &mut change[OF_BODY * body..OF_BODY * (body + 1)];
            let turning = vector(&of_state[10..13]);
            to[0..3].copy_from_slice(&of_state[7..10]);
            let q = Quaternion::new(of_state[3], of_state[4], of_state[5], of_state[6]);
            let spin = q * Quaternion::from_imag(turning) * 0.5;
            to[3..7].copy_from_slice(&[spin.w, spin.i, spin.j, spin.k]);
            to[7..10].copy_from_slice((self.forces_n[body] * of.inverse_per_kg).as_slice());
            let torque_n_m = self.turns[body].tr_mul(&self.torques_n_m[body]);
            let faster = of.inverse_inertia * (torque_n_m - turning.cross(&(of.inertia_kg_m2 * turning)));
            to[10..13].copy_from_slice(faster.as_slice());
        }
        let (from, count) = (model.bent_from(), model.modes.len());
        for (at, mode) in model.modes.iter().enumerate() {
            change[from + at] = state[from + count + at];
            change[from + count + at] = self.pushes_n[at] - mode.held_n - mode.square * state[from + at];
        }
        change[model.damped_at()] = damped_w;
    }

    /// Gives where unit tension of a line pulls the place that is so many steps along it.
    pub(crate) fn towards(&self, line: &Line, step: usize) -> Vector3<f64> {
        let at = line.first + step;
        let after = if step + 1 < line.path.len() {
            self.direction[at]
        } else {
            Vector3::zeros()
        };
        let before = if step > 0 {
            self.direction[at - 1]
        } else {
            Vector3::zeros()
        };
        after - before
    }

    /// Adds a force on a body, at an arm in world axes.
    fn act(
        &mut self,
        model: &Model,
        (body, shape): (usize, Option<usize>),
        arm_m: Vector3<f64>,
        force_n: Vector3<f64>,
    ) {
        self.forces_n[body] += force_n;
        self.torques_n_m[body] += arm_m.cross(&force_n);
        if let Some(shape) = shape {
            let own_n = self.turns[body].tr_mul(&force_n);
            let modes = model.bodies[body].modes.clone();
            for (push_n, far) in self.pushes_n[modes].iter_mut().zip(&model.shapes[shape]) {
                *push_n += far.dot(&own_n);
            }
        }
    }

    /// Gives the energies, joules: of movement, and of place and stretch. `measure` first.
    pub(crate) fn energies_j(&self, model: &Model, state: &[f64]) -> [f64; 2] {
        let (mut moving, mut stored) = (0.0, 0.0);
        let (from, count) = (model.bent_from(), model.modes.len());
        for (at, mode) in model.modes.iter().enumerate() {
            let (far, fast) = (state[from + at], state[from + count + at]);
            moving += 0.5 * fast * fast;
            stored += 0.5 * mode.square * far * far + mode.held_n * far;
        }
        for (of, at) in model.bodies.iter().zip(state.chunks_exact(OF_BODY)) {
            let (speed, turning) = (vector(&at[7..10]), vector(&at[10..13]));
            moving +=
                0.5 * of.mass_kg * speed.norm_squared() + 0.5 * turning.dot(&(of.inertia_kg_m2 * turning));
            stored += of.mass_kg * GRAVITY_M_PER_S2 * at[2];
        }
        for force in &model.forces {
            let arm_m = force.arm_m + bent_m(model, state, force.body, force.shape);
            let at_m = vector(&state[OF_BODY * force.body..]) + self.turns[force.body] * arm_m;
            stored -= force.force_n.dot(&at_m);
        }
        for (junction, at_m) in model.junctions.iter().zip(&self.junctions_m) {
            stored -= junction.force_n.dot(at_m);
            for (spring_m, stiffness) in &junction.springs {
                stored += 0.5 * stiffness * (at_m - spring_m).norm_squared();
            }
        }
        for (line, stretch_m) in model.lines.iter().zip(&self.stored_m) {
            stored += 0.5 * line.stiffness_n_per_m * stretch_m.max(0.0).powi(2);
        }
        [moving, stored]
    }
}

/// Gives the turn of a body from the start, of its thirteen numbers.
pub(crate) fn turn_of(of: &[f64]) -> Matrix3<f64> {
    let turned = UnitQuaternion::from_quaternion(Quaternion::new(of[3], of[4], of[5], of[6]));
    turned.to_rotation_matrix().into_inner()
}

/// Gives how far a place is from where it would be on a stiff body, own axes, metres.
pub(crate) fn bent_m(model: &Model, state: &[f64], body: usize, shape: Option<usize>) -> Vector3<f64> {
    shape.map_or_else(Vector3::zeros, |shape| {
        sum_of_shapes(model, &state[model.bent_from()..], body, shape)
    })
}

/// Gives how fast that changes, m/s.
fn bends_m_per_s(model: &Model, state: &[f64], body: usize, shape: usize) -> Vector3<f64> {
    sum_of_shapes(
        model,
        &state[model.bent_from() + model.modes.len()..],
        body,
        shape,
    )
}

fn sum_of_shapes(model: &Model, of_modes: &[f64], body: usize, shape: usize) -> Vector3<f64> {
    let own = &of_modes[model.bodies[body].modes.clone()];
    own.iter()
        .zip(&model.shapes[shape])
        .map(|(far, shape)| shape * *far)
        .sum()
}

pub(crate) fn vector(of: &[f64]) -> Vector3<f64> {
    Vector3::new(of[0], of[1], of[2])
}
