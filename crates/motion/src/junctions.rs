//! Junctions in balance while bodies move.
//!
//! A junction without mass is where what the lines and springs on it store, less what forces on it do, is least. That is convex in the
//! places of junctions, since a line that only pulls is; so there is one such place, or a room of them in which nothing pulls.
//!
//! Conventions: SI; junctions by their order in the model, three unknowns each.
//! Assumes: nothing.
//! Valid for: junctions that lines, their weight or springs hold. What nothing pulls stays where it was.
//! Source: Newton's method with a search along each step (Nocedal and Wright, chapter 3, from memory); speeds by the implicit function
//! theorem.
//! Checked by: tests/laws.rs (energy), tests/agreement.rs.

use crate::model::{Line, Model, Place};
use crate::moment::Moment;
use nalgebra::{Matrix3, Vector3};
use statics::Dense;

/// Most steps; two or three are usual. Many more where a junction that hung between lines comes to hang on one, along whose arc it goes.
const STEPS: usize = 2000;
/// Most places tried along one; one is usual.
const TRIES: usize = 60;
/// What may be left unbalanced, over the forces there.
const NEAR: f64 = 1e-11;
/// What is added to the stiffness so that what moves freely stays, over the greatest.
const LEAST: f64 = 1e-12;

/// A line that touches junctions: at which steps of its path, and which; and the force that rounding of its places makes.
#[derive(Debug)]
struct Link {
    line: usize,
    on: Vec<(usize, usize)>,
    rounding_n: f64,
}

/// The junctions of a model, and room to work.
#[derive(Debug)]
pub(crate) struct Junctions {
    links: Vec<Link>,
    stiffness: Vec<f64>,
    shifted: Vec<f64>,
    factor: Dense,
    slope: Vec<f64>,
    step: Vec<f64>,
    start_m: Vec<Vector3<f64>>,
}

impl Junctions {
    pub(crate) fn new(model: &Model) -> Self {
        let count = 3 * model.junctions.len();
        let reach_m = reach_m(model);
        let links = model.lines.iter().enumerate().map(|(line, of)| Link {
            line,
            on: junctions_of(of).collect(),
            rounding_n: rounding_n(of.stiffness_n_per_m, reach_m),
        });
        Junctions {
            links: links.filter(|link| !link.on.is_empty()).collect(),
            stiffness: vec![0.0; count * count],
            shifted: vec![0.0; count * count],
            factor: Dense::new(count),
            slope: vec![0.0; count],
            step: vec![0.0; count],
            start_m: vec![Vector3::zeros(); model.junctions.len()],
        }
    }

    /// Moves junctions to where they are in balance, from where they are; false if that was not found.
    pub(crate) fn settle(&mut self, model: &Model, moment: &mut Moment) -> bool {
        self.look(model, moment);
        let mut scale_n = self.find_slope(model, moment);
        for _ in 0..STEPS {
            if amax(&self.slope) <= NEAR * scale_n {
                return true;
            }
            if !self.stiffen(model, moment) {
                return false;
            }
            for (step, slope) in self.step.iter_mut().zip(&self.slope) {
                *step = -slope;
            }
            self.factor.solve(&mut self.step);
            self.shorten(model);
            let share;
            (share, scale_n) = self.walk(model, moment);
            if share * amax(&self.step) <= 1e-15 {
                return true;
            }
        }
        false
    }

    /// Keeps a step within the length of the lines: where nothing pulls, it would lead anywhere.
    fn shorten(&mut self, model: &Model) {
        let reach_m = self
            .links
            .iter()
            .map(|link| model.lines[link.line].unloaded_m)
            .fold(0.0, f64::max);
        let most_m = amax(&self.step);
        if most_m > reach_m {
            self.step.iter_mut().for_each(|step| *step *= reach_m / most_m);
        }
    }

    /// Goes along the step to where it leads down half as steeply at the most; gives which share of it that is, and how large the forces
    /// are there, newtons. A line that comes taut on the way makes for a steep rise, and is to be stretched a little where this ends, so
    /// that the next step knows of it.
    fn walk(&mut self, model: &Model, moment: &mut Moment) -> (f64, f64) {
        self.start_m.copy_from_slice(&moment.junctions_m);
        let first = along(&self.slope, &self.step);
        let (mut down, mut up) = (0.0, None);
        let (mut share, mut scale_n) = (1.0, 0.0);
        for try_ in 0..TRIES {
            for (j, (at_m, start_m)) in moment.junctions_m.iter_mut().zip(&self.start_m).enumerate() {
                *at_m = start_m + vector(&self.step, j) * share;
            }
            self.look(model, moment);
            scale_n = self.find_slope(model, moment);
            let here = along(&self.slope, &self.step);
            if here.abs() <= 0.5 * first.abs() || (here < 0.0 && share == 1.0) {
                break;
            }
            if here < 0.0 {
                down = share;
            } else {
                up = Some((share, share - here / self.steepness(model, moment)));
            }
            let Some((up, kink)) = up else { break };
            // From where a line that came taut pulls, its own steepness leads close to where it came taut.
            share = if try_ % 6 != 5 && down < kink && kink < up {
                kink
            } else {
                0.5 * (down + up)
            };
        }
        (share, scale_n)
    }

    /// Gives how steeply the slope along the step rises where junctions are, as far as stretch goes.
    fn steepness(&self, model: &Model, moment: &Moment) -> f64 {
        let each = self.stretched(model, moment).map(|(link, line, _)| {
            let longer = link
                .on
                .iter()
                .map(|(step, junction)| moment.towards(line, *step).dot(&vector(&self.step, *junction)));
            line.stiffness_n_per_m * longer.sum::<f64>().powi(2)
        });
        each.sum()
    }

    /// Puts the ends of lines where junctions are, and measures these lines.
    fn look(&self, model: &Model, moment: &mut Moment) {
        for link in &self.links {
            let line = &model.lines[link.line];
            for (step, junction) in &link.on {
                moment.at_m[line.first + step] = moment.junctions_m[*junction];
            }
            moment.stretch(link.line, line);
        }
    }

    /// Lists the lines that are stretched, with what they pull for it, newtons.
    fn stretched<'a>(
        &'a self,
        model: &'a Model,
        moment: &'a Moment,
    ) -> impl Iterator<Item = (&'a Link, &'a Line, f64)> {
        let pulls = self.links.iter().map(|link| {
            let line = &model.lines[link.line];
            (link, line, line.stiffness_n_per_m * moment.stretch_m[link.line])
        });
        pulls.filter(|(_, _, pull_n)| *pull_n > 0.0)
    }

    /// Finds how what is stored changes as junctions move; gives how large the forces there are, newtons.
    fn find_slope(&mut self, model: &Model, moment: &Moment) -> f64 {
        let mut slope = std::mem::take(&mut self.slope);
        let mut scale_n = 1e-9_f64;
        for (j, (junction, at_m)) in model.junctions.iter().zip(&moment.junctions_m).enumerate() {
            let mut here = -junction.force_n;
            scale_n = scale_n.max(junction.force_n.amax());
            for (spring_m, stiffness) in &junction.springs {
                let pull_n = (at_m - spring_m) * *stiffness;
                scale_n = scale_n
                    .max(pull_n.amax())
                    .max(rounding_n(*stiffness, at_m.amax()));
                here += pull_n;
            }
            slope[3 * j..3 * j + 3].copy_from_slice(here.as_slice());
        }
        for (link, line, pull_n) in self.stretched(model, moment) {
            scale_n = scale_n.max(pull_n).max(link.rounding_n);
            for (step, junction) in &link.on {
                add(&mut slope, *junction, moment.towards(line, *step) * -pull_n);
            }
        }
        self.slope = slope;
        scale_n
    }

    /// Factorises how forces on junctions change as these move; false if that can not be.
    fn stiffen(&mut self, model: &Model, moment: &Moment) -> bool {
        let count = 3 * model.junctions.len();
        let mut stiffness = std::mem::take(&mut self.stiffness);
        stiffness.fill(0.0);
        let mut add_block = |from: usize, to: usize, block: &Matrix3<f64>| {
            for column in 0..3 {
                for row in 0..3 {
                    stiffness[(3 * to + column) * count + 3 * from + row] += block[(row, column)];
                }
            }
        };
        for (j, junction) in model.junctions.iter().enumerate() {
            let sum: f64 = junction.springs.iter().map(|(_, stiffness)| stiffness).sum();
            add_block(j, j, &(Matrix3::identity() * sum));
        }
        for (link, line, pull_n) in self.stretched(model, moment) {
            // Most lines run from a junction straight to something else.
            if let ([(_, junction)], 2) = (link.on.as_slice(), line.path.len()) {
                let (n, length_m) = (moment.direction[line.first], moment.segment_m[line.first]);
                let across = pull_n / length_m.max(f64::MIN_POSITIVE);
                let block = n * n.transpose() * (line.stiffness_n_per_m - across);
                add_block(*junction, *junction, &(block + Matrix3::identity() * across));
                continue;
            }
            for (a, from) in &link.on {
                let longer = moment.towards(line, *a) * -line.stiffness_n_per_m;
                for (b, to) in &link.on {
                    add_block(*from, *to, &(longer * -moment.towards(line, *b).transpose()));
                }
                // The segments before and after the junction, and what stands at their other ends.
                for (segment, other) in [(a.checked_sub(1), a.checked_sub(1)), (Some(*a), Some(a + 1))] {
                    let (Some(segment), Some(other)) = (segment, other) else {
                        continue;
                    };
                    if segment + 1 >= line.path.len() {
                        continue;
                    }
                    let across = across(moment, line.first + segment) * pull_n;
                    add_block(*from, *from, &across);
                    if let Place::Junction(to) = line.path[other] {
                        add_block(*from, to, &-across);
                    }
                }
            }
        }
        let most = (0..count).map(|k| stiffness[k * count + k]).fold(1.0, f64::max);
        self.stiffness = stiffness;
        self.factorise(count, LEAST * most)
    }

    fn factorise(&mut self, count: usize, mut shift: f64) -> bool {
        for _ in 0..8 {
            self.shifted.copy_from_slice(&self.stiffness);
            for k in 0..count {
                self.shifted[k * count + k] += shift;
            }
            if self.factor.factorise(&self.shifted) {
                return true;
            }
            shift *= 100.0;
        }
        false
    }

    /// Finds how fast junctions go along with bodies, and sets their speeds.
    pub(crate) fn follow(&mut self, model: &Model, moment: &mut Moment) {
        if !self.stiffen(model, moment) {
            return;
        }
        let mut drives = std::mem::take(&mut self.step);
        drives.fill(0.0);
        for (link, line, _) in self.stretched(model, moment) {
            let moves = |step: usize| match line.path[step] {
                Place::Junction(_) => Vector3::zeros(),
                _ => moment.speed_m_per_s[line.first + step],
            };
            each_change(line, link.line, moment, moves, |place, change| {
                if let Place::Junction(j) = place {
                    add(&mut drives, j, -change);
                }
            });
        }
        self.step = drives;
        self.factor.solve(&mut self.step);
        for link in &self.links {
            let first = model.lines[link.line].first;
            for (step, junction) in &link.on {
                moment.speed_m_per_s[first + step] = vector(&self.step, *junction);
            }
        }
    }
}

/// How far from the origin anything of a model is at the start, with the longest of its lines, metres.
fn reach_m(model: &Model) -> f64 {
    let places = model
        .lines
        .iter()
        .flat_map(|line| &line.path)
        .map(|place| match place {
            Place::Fixed(at_m) => at_m.amax(),
            Place::Body { body, arm_m, .. } => (model.bodies[*body].start_m + arm_m).amax(),
            Place::Junction(junction) => model.junctions[*junction].start_m.amax(),
        });
    places.fold(0.0, f64::max) + model.lines.iter().map(|line| line.unloaded_m).fold(0.0, f64::max)
}

/// What the rounding of places makes of a stiffness, over what may be left unbalanced.
fn rounding_n(stiffness_n_per_m: f64, reach_m: f64) -> f64 {
    8.0 * f64::EPSILON / NEAR * stiffness_n_per_m * reach_m
}

/// Lists the steps of a line at which it touches a junction, with which.
fn junctions_of(line: &Line) -> impl Iterator<Item = (usize, usize)> + '_ {
    line.path
        .iter()
        .enumerate()
        .filter_map(|(step, place)| match place {
            Place::Junction(junction) => Some((step, *junction)),
            _ => None,
        })
}

/// Tells of each place of a stretched line how the slope of what it stores there changes as its places move.
fn each_change(
    line: &Line,
    i: usize,
    moment: &Moment,
    moves: impl Fn(usize) -> Vector3<f64>,
    mut tell: impl FnMut(Place, Vector3<f64>),
) {
    let count = line.path.len();
    let pull_n = line.stiffness_n_per_m * moment.stretch_m[i];
    let longer: f64 = (0..count)
        .map(|step| -moment.towards(line, step).dot(&moves(step)))
        .sum();
    for step in 0..count {
        let mut change = -moment.towards(line, step) * (line.stiffness_n_per_m * longer);
        if step > 0 {
            change += across(moment, line.first + step - 1) * (moves(step) - moves(step - 1)) * pull_n;
        }
        if step + 1 < count {
            change += across(moment, line.first + step) * (moves(step) - moves(step + 1)) * pull_n;
        }
        tell(line.path[step], change);
    }
}

/// What turns a segment across itself, per unit pull: (1 - n n') / L.
fn across(moment: &Moment, at: usize) -> Matrix3<f64> {
    let n = moment.direction[at];
    let length_m = moment.segment_m[at];
    if length_m > 0.0 {
        (Matrix3::identity() - n * n.transpose()) / length_m
    } else {
        Matrix3::zeros()
    }
}

fn add(to: &mut [f64], junction: usize, of: Vector3<f64>) {
    for k in 0..3 {
        to[3 * junction + k] += of[k];
    }
}

fn vector(of: &[f64], junction: usize) -> Vector3<f64> {
    Vector3::new(of[3 * junction], of[3 * junction + 1], of[3 * junction + 2])
}

fn along(slope: &[f64], step: &[f64]) -> f64 {
    slope.iter().zip(step).map(|(slope, step)| slope * step).sum()
}

fn amax(of: &[f64]) -> f64 {
    of.iter().fold(0.0, |most, x| most.max(x.abs()))
}
