//! Where loads go: how far down, how far to the side, how far over, and the room that it takes.
//!
//! Conventions: SI, z up; seen at the end of every step, which is a small part of a swing.
//! Assumes: nothing.
//! Valid for: any motion.
//! Source: definitions.
//! Checked by: tests/closed_forms.rs (a pendulum).

use crate::model::{Body, Model, Place};
use crate::moment::{Moment, OF_BODY, bent_m, turn_of, vector};
use nalgebra::{Matrix3, UnitQuaternion, Vector3};
use statics::State;

/// How far a load went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel {
    /// The greatest fall of its centre of mass, m.
    pub drop_m: f64,
    /// The greatest movement of its centre of mass in the plane, m.
    pub swing_m: f64,
    /// The greatest angle between its own upright axis and the vertical, rad.
    pub tilt_rad: f64,
    /// The greatest angle between its own x axis, along which a pipe lies, and the horizontal, rad.
    pub slope_rad: f64,
    /// The least height of its centre of mass, m.
    pub lowest_centre_m: f64,
}

/// The room that one place of a load went through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swept {
    /// The corner of least x, y and z, m.
    pub least_m: Vector3<f64>,
    /// The corner of greatest x, y and z, m.
    pub most_m: Vector3<f64>,
    /// How far it went from where it was, m.
    pub furthest_m: f64,
}

/// One moment of a time history.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// Time from the moment of letting go, s.
    pub at_s: f64,
    /// Tension of each line, N; by `LineId`, 0 for those that are gone.
    pub tension_n: Vec<f64>,
    /// Where everything is.
    pub state: State,
}

/// A place that is followed, on a body of the model or still.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Followed {
    pub(crate) place: Place,
    pub(crate) start_m: Vector3<f64>,
}

/// How far a body went, in what is quickest to compare.
#[derive(Debug, Clone, Copy)]
struct Furthest {
    down_m: f64,
    aside_m2: f64,
    /// Its own upright axis when that pointed up least.
    upright: Vector3<f64>,
    /// The greatest sine of the slope of its own x axis.
    slope: f64,
}

/// What is seen of the way.
#[derive(Debug)]
pub(crate) struct Course {
    furthest: Vec<Furthest>,
    pub(crate) swept: Vec<Swept>,
    followed: Vec<Followed>,
    /// The own axes of each body that point up and along it at the start.
    axes: Vec<[Vector3<f64>; 2]>,
}

impl Course {
    /// Begins with everything where it starts. `start` tells how the bodies are turned then.
    pub(crate) fn new(model: &Model, start: &State, followed: Vec<Followed>) -> Self {
        let axes = |body: &Body| {
            let turn = start.rotation[body.frames[0].index()];
            [turn * Vector3::z(), turn * Vector3::x()]
        };
        let axes: Vec<[Vector3<f64>; 2]> = model.bodies.iter().map(axes).collect();
        let begun = |[upright, along]: &[Vector3<f64>; 2]| Furthest {
            down_m: 0.0,
            aside_m2: 0.0,
            upright: *upright,
            slope: along.z.abs(),
        };
        let still = |of: &Followed| Swept {
            least_m: of.start_m,
            most_m: of.start_m,
            furthest_m: 0.0,
        };
        Course {
            furthest: axes.iter().map(begun).collect(),
            swept: followed.iter().map(still).collect(),
            axes,
            followed,
        }
    }

    /// Says how far each body went.
    pub(crate) fn travel(&self, model: &Model) -> Vec<Travel> {
        let each = self.furthest.iter().zip(&model.bodies);
        let told = each.map(|(furthest, body)| Travel {
            drop_m: furthest.down_m,
            swing_m: furthest.aside_m2.sqrt(),
            tilt_rad: furthest
                .upright
                .x
                .hypot(furthest.upright.y)
                .atan2(furthest.upright.z),
            slope_rad: furthest.slope.min(1.0).asin(),
            lowest_centre_m: body.start_m.z - furthest.down_m,
        });
        told.collect()
    }

    /// Looks where everything is.
    pub(crate) fn see(&mut self, model: &Model, moment: &Moment, state: &[f64]) {
        self.see_at(model, (&moment.turns, &moment.junctions_m), state);
    }

    /// Looks where bodies are at a state; junctions are where they were last.
    pub(crate) fn see_between(&mut self, model: &Model, moment: &Moment, state: &[f64]) {
        let turns: Vec<Matrix3<f64>> = state[..model.bent_from()]
            .chunks_exact(OF_BODY)
            .map(turn_of)
            .collect();
        self.see_at(model, (&turns, &moment.junctions_m), state);
    }

    fn see_at(&mut self, model: &Model, at: (&[Matrix3<f64>], &[Vector3<f64>]), state: &[f64]) {
        let (turns, _) = at;
        for (b, (furthest, body)) in self.furthest.iter_mut().zip(&model.bodies).enumerate() {
            let moved_m = vector(&state[OF_BODY * b..]) - body.start_m;
            furthest.down_m = furthest.down_m.max(-moved_m.z);
            furthest.aside_m2 = furthest
                .aside_m2
                .max(moved_m.x * moved_m.x + moved_m.y * moved_m.y);
            let [upright, along] = self.axes[b].map(|axis| turns[b] * axis);
            if upright.z < furthest.upright.z {
                furthest.upright = upright;
            }
            furthest.slope = furthest.slope.max(along.z.abs());
        }
        for (swept, followed) in self.swept.iter_mut().zip(&self.followed) {
            let at_m = place_at_m(model, at, state, followed.place);
            swept.least_m = swept.least_m.inf(&at_m);
            swept.most_m = swept.most_m.sup(&at_m);
            swept.furthest_m = swept.furthest_m.max((at_m - followed.start_m).norm());
        }
    }
}

fn place_at_m(
    model: &Model,
    (turns, junctions_m): (&[Matrix3<f64>], &[Vector3<f64>]),
    state: &[f64],
    place: Place,
) -> Vector3<f64> {
    match place {
        Place::Fixed(at_m) => at_m,
        Place::Body { body, arm_m, shape } => {
            let arm_m = arm_m + bent_m(model, state, body, shape);
            vector(&state[OF_BODY * body..]) + turns[body] * arm_m
        }
        Place::Junction(junction) => junctions_m[junction],
    }
}

/// Gives where everything is as `statics` says it. `start` is where it was.
pub(crate) fn state_at(model: &Model, moment: &Moment, state: &[f64], start: &State) -> State {
    let mut now = start.clone();
    for (frame, place) in model.places.iter().enumerate() {
        if !matches!(place, Place::Fixed(_)) {
            now.position_m[frame] = place_at_m(model, (&moment.turns, &moment.junctions_m), state, *place);
        }
    }
    for (body, turn) in model.bodies.iter().zip(&moment.turns) {
        let turn = UnitQuaternion::from_matrix(turn);
        for frame in body.frames.iter().map(|frame| frame.index()) {
            now.rotation[frame] = turn * start.rotation[frame];
        }
    }
    now
}
