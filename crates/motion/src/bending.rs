//! What bends, shears and twists pipes at a moment: all that acts on the part beyond a place, inertia included.
//!
//! Conventions: SI; own axes of a body are those of the world at the start; places along a pipe from where it begins.
//! Assumes: arms of the pipe as it is at the start; shapes that are left out follow at once, as if without mass, so that what they would add is
//! in the balance of forces. What of a shape comes by the pipe turning as it bends is left out.
//! Valid for: pipes that are free, or built in at one end: beyond a place means away from that end.
//! Source: equilibrium of a part cut free, with d'Alembert's forces; "force summation" in books on flexible structures (from memory).
//! Checked by: the tests below; crates/rig, tests/main/bending.rs, against an independent beam.

use crate::flexible::{End, Flexible};
use crate::masses::{AtStart, GRAVITY_M_PER_S2};
use crate::model::{Model, Place};
use crate::moment::{Moment, OF_BODY, vector};
use nalgebra::{Matrix3, Vector3};
use statics::FrameId;

/// What bends a pipe on the way: the greatest at each of some places along it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bent {
    /// One of its frames.
    pub frame: FrameId,
    /// Where, from where it begins, m.
    pub along_m: Vec<f64>,
    /// Bending moment, N m.
    pub moment_n_m: Vec<f64>,
    /// Shear, N.
    pub shear_n: Vec<f64>,
    /// Torque, N m.
    pub torque_n_m: Vec<f64>,
}

/// This far to each side of a force what is within is looked at, metres.
const BESIDE_M: f64 = 1e-6;

/// Places of one pipe at which what is within it is looked at.
#[derive(Debug, Clone)]
pub(crate) struct Sections {
    body: usize,
    axis: Vector3<f64>,
    stations: Vec<Station>,
    forces: Vec<Force>,
}

/// One place along a pipe, and all mass beyond it: first and second moments about the centre of the body and that place.
#[derive(Debug, Clone)]
struct Station {
    along_m: f64,
    /// From the centre of the body.
    arm_m: Vector3<f64>,
    mass_kg: f64,
    /// Sum of m d, with d from this place.
    from_here_kg_m: Vector3<f64>,
    /// Sum of m r, with r from the centre of the body.
    from_centre_kg_m: Vector3<f64>,
    /// Sum of m r d'.
    both_kg_m2: Matrix3<f64>,
    /// Of each shape: the sums of m s and of m d x s, with s where it goes.
    of_modes: Vec<[Vector3<f64>; 2]>,
    /// The forces beyond it.
    beyond: Vec<usize>,
}

/// Something that acts on a pipe.
#[derive(Debug, Clone, Copy)]
struct Force {
    by: By,
    along_m: f64,
    arm_m: Vector3<f64>,
}

#[derive(Debug, Clone, Copy)]
enum By {
    /// A line at a step of its path.
    Line(usize, usize),
    /// A stated force.
    Stated(usize),
}

/// The sizes of bending moment, shear and torque at one place.
pub(crate) type Sizes = [f64; 3];

impl Sections {
    /// Finds the places of a pipe that is a body of a model.
    pub(crate) fn new(rig: &AtStart<'_>, model: &Model, body: usize, pipe: &Flexible) -> Self {
        let centre_m = model.bodies[body].start_m;
        let forces = forces(model, body, |arm_m| pipe.along(centre_m + arm_m));
        let masses: Vec<(f64, Vector3<f64>)> = rig.masses_on(&pipe.frames);
        let masses: Vec<(f64, Vector3<f64>, Vec<Vector3<f64>>)> = masses
            .into_iter()
            .map(|(mass_kg, at_m)| (mass_kg, at_m - centre_m, pipe.at(at_m)))
            .collect();
        let begins_m = pipe.first_m - centre_m;
        let station = |along_m: f64| {
            let is_beyond = |other_m: f64| match pipe.built_in {
                Some(End::Last) => other_m < along_m,
                _ => other_m > along_m,
            };
            let mut station = Station {
                along_m,
                arm_m: begins_m + pipe.axis * along_m,
                mass_kg: 0.0,
                from_here_kg_m: Vector3::zeros(),
                from_centre_kg_m: Vector3::zeros(),
                both_kg_m2: Matrix3::zeros(),
                of_modes: vec![[Vector3::zeros(); 2]; pipe.modes.len()],
                beyond: (0..forces.len())
                    .filter(|force| is_beyond(forces[*force].along_m))
                    .collect(),
            };
            for (mass_kg, arm_m, shapes) in &masses {
                if is_beyond(pipe.along(centre_m + arm_m)) {
                    station.add(*mass_kg, *arm_m, shapes);
                }
            }
            station
        };
        let stations = places(pipe, &forces).into_iter().map(station).collect();
        Sections {
            body,
            axis: pipe.axis,
            stations,
            forces,
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.stations.len()
    }

    /// Gives what nothing has bent yet.
    pub(crate) fn unbent(&self, model: &Model) -> Bent {
        let none = vec![0.0; self.stations.len()];
        Bent {
            frame: model.bodies[self.body].frames[0],
            along_m: self.stations.iter().map(|station| station.along_m).collect(),
            moment_n_m: none.clone(),
            shear_n: none.clone(),
            torque_n_m: none,
        }
    }

    /// Says what is within the pipe at a moment that was measured, `slope` being how the state changes.
    pub(crate) fn see(
        &self,
        (model, moment): (&Model, &Moment),
        (state, slope): (&[f64], &[f64]),
        to: &mut Vec<Sizes>,
    ) {
        let turn = &moment.turns[self.body];
        let (of_state, of_slope) = (&state[OF_BODY * self.body..], &slope[OF_BODY * self.body..]);
        let falls = Vector3::new(0.0, 0.0, -GRAVITY_M_PER_S2) - vector(&of_slope[7..]);
        let moving = Moving {
            falls: turn.tr_mul(&falls),
            turns: turning(vector(&of_slope[10..]), vector(&of_state[10..])),
            modes: {
                let modes = model.bodies[self.body].modes.clone();
                let from = model.bent_from() + model.modes.len();
                &slope[from + modes.start..from + modes.end]
            },
        };
        let forces_n: Vec<Vector3<f64>> = self
            .forces
            .iter()
            .map(|force| turn.tr_mul(&force.now_n(model, moment)))
            .collect();
        to.clear();
        to.extend(self.stations.iter().map(|station| {
            let [force_n, moment_n_m] = station.within(&moving, &self.forces, &forces_n);
            let twist_n_m = self.axis.dot(&moment_n_m);
            let pull_n = self.axis.dot(&force_n);
            [
                (moment_n_m - self.axis * twist_n_m).norm(),
                (force_n - self.axis * pull_n).norm(),
                twist_n_m.abs(),
            ]
        }));
    }
}

/// How a body moves, own axes.
struct Moving<'a> {
    /// Gravity less its acceleration.
    falls: Vector3<f64>,
    /// What takes an arm to the acceleration that comes with turning.
    turns: Matrix3<f64>,
    /// How its shapes are accelerated.
    modes: &'a [f64],
}

/// Gives what takes an arm to its acceleration on a body that turns and turns faster.
fn turning(faster: Vector3<f64>, turning: Vector3<f64>) -> Matrix3<f64> {
    let round = turning.cross_matrix();
    faster.cross_matrix() + round * round
}

impl Station {
    fn add(&mut self, mass_kg: f64, arm_m: Vector3<f64>, shapes: &[Vector3<f64>]) {
        let d = arm_m - self.arm_m;
        self.mass_kg += mass_kg;
        self.from_here_kg_m += d * mass_kg;
        self.from_centre_kg_m += arm_m * mass_kg;
        self.both_kg_m2 += arm_m * d.transpose() * mass_kg;
        for ([moves, turns], shape) in self.of_modes.iter_mut().zip(shapes) {
            *moves += shape * mass_kg;
            *turns += d.cross(shape) * mass_kg;
        }
    }

    /// Gives the force and the moment with which what is beyond acts here.
    fn within(&self, moving: &Moving<'_>, forces: &[Force], forces_n: &[Vector3<f64>]) -> [Vector3<f64>; 2] {
        let mut force_n = moving.falls * self.mass_kg - moving.turns * self.from_centre_kg_m;
        let of_turns = moving.turns * self.both_kg_m2;
        let mut moment_n_m = self.from_here_kg_m.cross(&moving.falls) - axial(&of_turns);
        for ([moves, turns], faster) in self.of_modes.iter().zip(moving.modes) {
            force_n -= moves * *faster;
            moment_n_m -= turns * *faster;
        }
        for force in &self.beyond {
            force_n += forces_n[*force];
            moment_n_m += (forces[*force].arm_m - self.arm_m).cross(&forces_n[*force]);
        }
        [force_n, moment_n_m]
    }
}

/// Gives the sum of m d x (A r) from A times the sum of m r d'.
fn axial(of: &Matrix3<f64>) -> Vector3<f64> {
    Vector3::new(
        of[(2, 1)] - of[(1, 2)],
        of[(0, 2)] - of[(2, 0)],
        of[(1, 0)] - of[(0, 1)],
    )
}

impl Force {
    fn now_n(&self, model: &Model, moment: &Moment) -> Vector3<f64> {
        match self.by {
            By::Line(line, step) => {
                moment.towards(&model.lines[line], step) * moment.tension_n[line].max(0.0)
            }
            By::Stated(force) => model.forces[force].force_n,
        }
    }
}

/// Lists what acts on a body.
fn forces(model: &Model, body: usize, along: impl Fn(Vector3<f64>) -> f64) -> Vec<Force> {
    let mut found = Vec::new();
    for (i, line) in model.lines.iter().enumerate() {
        for (step, place) in line.path.iter().enumerate() {
            if let Place::Body { body: own, arm_m, .. } = *place
                && own == body
            {
                found.push((By::Line(i, step), arm_m));
            }
        }
    }
    let stated = model.forces.iter().enumerate();
    let stated = stated.filter(|(_, force)| force.body == body);
    found.extend(stated.map(|(i, force)| (By::Stated(i), force.arm_m)));
    found
        .into_iter()
        .map(|(by, arm_m)| Force {
            by,
            along_m: along(arm_m),
            arm_m,
        })
        .collect()
}

/// Lists where to look: where pieces end, and on both sides of every force.
fn places(pipe: &Flexible, forces: &[Force]) -> Vec<f64> {
    let last_m = pipe.along_m.last().copied().unwrap_or(0.0);
    let beside = forces
        .iter()
        .flat_map(|force| [force.along_m - BESIDE_M, force.along_m + BESIDE_M]);
    let mut all: Vec<f64> = pipe.along_m.iter().copied().chain(beside).collect();
    all.retain(|at_m| (0.0..=last_m).contains(at_m));
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < 0.1 * BESIDE_M);
    all
}

/// What bends pipes while things move: the greatest at each place, and what it was at the start and in the middle of a step.
#[derive(Debug)]
pub(crate) struct Bends {
    sections: Vec<Sections>,
    pub(crate) most: Vec<Bent>,
    /// Of each pipe, at the start, in the middle and at the end of a step.
    seen: Vec<[Vec<Sizes>; 3]>,
}

/// Where in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    Start,
    Middle,
    End,
}

impl Bends {
    pub(crate) fn new(model: &Model, sections: Vec<Sections>) -> Self {
        let none = |of: &Sections| [(); 3].map(|()| vec![[0.0; 3]; of.len()]);
        Bends {
            most: sections.iter().map(|of| of.unbent(model)).collect(),
            seen: sections.iter().map(none).collect(),
            sections,
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.sections.is_empty()
    }

    /// Looks at a moment of a step; at its end the greatest on the way there are kept.
    pub(crate) fn see(&mut self, at: (&Model, &Moment), of: (&[f64], &[f64]), when: When) {
        let each = self.sections.iter().zip(&mut self.seen).zip(&mut self.most);
        for ((sections, seen), most) in each {
            sections.see(at, of, &mut seen[when as usize]);
            match when {
                When::Start => most.raise(seen[0].iter().copied()),
                When::Middle => {}
                When::End => {
                    let tops = (0..seen[2].len()).map(|i| {
                        let of = |size: usize| top([0, 1, 2].map(|when| seen[when][i][size]));
                        [of(0), of(1), of(2)]
                    });
                    most.raise(tops);
                    let [start, _, end] = seen;
                    std::mem::swap(start, end);
                }
            }
        }
    }
}

impl Bent {
    fn raise(&mut self, by: impl Iterator<Item = Sizes>) {
        for (i, [moment, shear, torque]) in by.enumerate() {
            self.moment_n_m[i] = self.moment_n_m[i].max(moment);
            self.shear_n[i] = self.shear_n[i].max(shear);
            self.torque_n_m[i] = self.torque_n_m[i].max(torque);
        }
    }
}

/// Gives the highest of the parabola through three values that are evenly apart.
fn top([a, b, c]: [f64; 3]) -> f64 {
    let (slope, bend) = (0.5 * (c - a), a - 2.0 * b + c);
    let is_within = bend < 0.0 && slope.abs() < -bend;
    let vertex = if is_within {
        b - 0.5 * slope * slope / bend
    } else {
        b
    };
    a.max(b).max(c).max(vertex)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_has_its_top_between() {
        assert_eq!(top([0.0, 1.0, 0.0]), 1.0);
        // 1 - (x - 0.5)² at -1, 0 and 1.
        assert!((top([-1.25, 0.75, 0.75]) - 1.0).abs() < 1e-12);
        assert_eq!(top([0.0, 1.0, 3.0]), 3.0);
    }

    #[test]
    fn sums_of_crossed_arms_come_from_one_matrix() {
        let (r, d) = (Vector3::new(1.0, -2.0, 0.5), Vector3::new(0.3, 0.7, -1.1));
        let turns = turning(Vector3::new(0.2, -0.4, 0.9), Vector3::new(1.5, 0.1, -0.3));
        let direct = d.cross(&(turns * r)) * 3.0;
        let by_matrix = axial(&(turns * (r * d.transpose() * 3.0)));
        assert!((direct - by_matrix).norm() < 1e-12);
    }
}
