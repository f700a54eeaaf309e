//! Lines that are about to slip over sheaves with friction.
//!
//! Where a line slips over a place on its way, the tension on the side it slips towards is so many times that on the other
//! side. Friction keeps no energy, so forces are balanced and no energy is sought: starting from the balance without
//! friction, each step takes the stiffness of that one, which is off by no more than the friction. Where that leads nowhere (a
//! block that runs far along its line for a little friction) friction is brought on in stages, by Newton's method with the
//! slopes of the unbalanced forces taken as differences.
//!
//! Conventions: as in assemble.rs; ratios by place of the paths, see [`Topology::path_range`]; a line slips forward when it
//! runs from its first end to its last, so that tension grows towards its first end.
//! Assumes: a line that weighs something hangs as an elastic catenary from place to place, one that weighs nothing runs straight; a
//! line pays out or takes in where it slips, so its whole unloaded length counts.
//! Valid for: ratios near one. The two answers, forward and back, bound the tensions at rest after a line has been moved either way.
//! Source: the tension ratio of a rope over a drum or sheave, Euler 1769 and Eytelwein 1808 (from memory); a quasi-Newton
//! iteration and a damped Newton iteration as in Kelley, Iterative Methods for Linear and Nonlinear Equations (from memory).
//! Checked by: tests/hard_cases.rs (a weight over a sheave; a ring on a running line, against the force triangle).

use crate::assemble::{add_at, gradient};
use crate::error::StaticsError;
use crate::ids::{FrameId, LineId};
use crate::parameters::Parameters;
use crate::pose::Pose;
use crate::results;
use crate::solution::Solution;
use crate::stability::most_moved;
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;
use nalgebra::{DMatrix, DVector, Vector3};

/// Most steps with the stiffness that friction is no part of; with a ratio of 1.05 about ten are taken.
const STEPS: u32 = 100;
/// Most steps of Newton's method in one stage, and halvings of a step.
const STAGE_STEPS: u32 = 20;
const HALVINGS: u32 = 12;
/// The least stage, as a share of the exponent of the ratios.
const LEAST_STAGE: f64 = 1.0 / 32.0;
/// Rigs with more freedoms are not tried so: every step takes two measures a freedom.
const MOST_FREEDOMS: usize = 300;
/// How far freedoms are moved for differences, metres.
const REACH_M: f64 = 1e-6;

/// Which way a line slips.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slips {
    /// From its first end towards its last.
    Forward,
    /// From its last end towards its first.
    Back,
    /// It runs without friction.
    Freely,
}

/// Finds the balance with lines slipping, from one without friction.
///
/// `ratio` holds, for each place of each path, the tension on one side over that on the other as it slips there; 1 or less
/// is none. In the answer `greatest_tension_n` is the greatest along the line, its weight included; `pulls_n` has the pulls on each
/// place.
pub fn slipping(
    topology: &Topology,
    parameters: &Parameters,
    ratio: &[f64],
    slips: impl Fn(LineId) -> Slips,
    from: &Solution,
    workspace: &mut Workspace,
) -> Result<Solution, StaticsError> {
    parameters.check(topology)?;
    if !workspace.fits(topology) {
        *workspace = Workspace::new(topology);
    }
    let work = workspace;
    work.model.prepare(topology, parameters, &from.state);
    work.hold_rotations(topology, |_| false);
    for id in topology.lines() {
        // On one side of a place a heavy line hangs further down than on the other, however taut it is.
        let line = &mut work.model.lines[id.index()];
        line.sags = from.line(id).sag_m.is_some() || slips(id) != Slips::Freely && line.weight_n_per_m > 0.0;
    }
    work.pose.take(topology, parameters, &from.state);
    let sheaves = Sheaves {
        topology,
        ratio: &|at| ratio.get(at).copied().unwrap_or(1.0).max(1.0),
        slips: &slips,
    };
    let start = work.pose.clone();
    let found = sheaves.by_stiffness(work).or_else(|| {
        work.pose.copy_frames(&start);
        sheaves.by_stages(work)
    });
    let Some(tensions) = found else {
        return Err(StaticsError::NotConverged {
            frame: most_moved(topology, &work.gradient).unwrap_or(FrameId(0)),
            iterations: STEPS,
            residual_n: work.residual_n(),
            allowed_n: work.allowed_n(topology),
        });
    };
    let mut solution = from.clone();
    write(topology, parameters, work, &tensions, &mut solution);
    Ok(solution)
}

/// Which lines slip over what.
struct Sheaves<'a> {
    topology: &'a Topology,
    ratio: &'a dyn Fn(usize) -> f64,
    slips: &'a dyn Fn(LineId) -> Slips,
}

impl Sheaves<'_> {
    /// Works out what is unbalanced with a share of the friction, as exponent of the ratios; gives the tensions of the segments, and
    /// none where a heavy line has no such division.
    fn unbalanced(&self, work: &mut Workspace, share: f64) -> Option<Vec<f64>> {
        let ratio = |at: usize| (self.ratio)(at).powf(share);
        work.pose.measure(self.topology, &work.model);
        let is_divided = divide(self.topology, work, &ratio, &self.slips);
        let tensions = segment_tensions(self.topology, work, &ratio, &self.slips);
        unbalance(self.topology, work, &tensions);
        is_divided.then_some(tensions)
    }

    /// Goes to the balance with the stiffness of the lines without friction.
    fn by_stiffness(&self, work: &mut Workspace) -> Option<Vec<f64>> {
        let least = work.model.free_stiffness();
        for _ in 0..STEPS {
            let tensions = self.unbalanced(work, 1.0);
            if tensions.is_some() && work.residual_n() <= work.allowed_n(self.topology) {
                return tensions;
            }
            work.true_stiffness(self.topology);
            if !work.stiffness.factorise(least) {
                return None;
            }
            for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
                *step = -gradient;
            }
            work.stiffness.solve(&mut work.step);
            let factor = work.step_factor(self.topology);
            work.pose.move_by(self.topology, &work.model, &work.step, factor);
        }
        None
    }

    /// Brings friction on in stages.
    fn by_stages(&self, work: &mut Workspace) -> Option<Vec<f64>> {
        if self.topology.freedom_count() > MOST_FREEDOMS {
            return None;
        }
        let start = work.pose.clone();
        if let Some(tensions) = self.by_newton(work, 1.0) {
            return Some(tensions);
        }
        work.pose.copy_frames(&start);
        // Where the least of it leads nowhere more of it will not either.
        let (mut reached, mut stage, mut last) = (0.0, LEAST_STAGE, start);
        loop {
            let share = f64::min(reached + stage, 1.0);
            match self.by_newton(work, share) {
                Some(tensions) if share >= 1.0 => return Some(tensions),
                Some(_) => {
                    (reached, last) = (share, work.pose.clone());
                    stage *= 2.0;
                }
                None if stage <= LEAST_STAGE => return None,
                None => {
                    work.pose.copy_frames(&last);
                    stage = LEAST_STAGE;
                }
            }
        }
    }

    fn by_newton(&self, work: &mut Workspace, share: f64) -> Option<Vec<f64>> {
        for _ in 0..STAGE_STEPS {
            let tensions = self.unbalanced(work, share)?;
            if work.residual_n() <= work.allowed_n(self.topology) {
                return Some(tensions);
            }
            let here = work.pose.clone();
            let now_n = work.residual_n();
            let step = self.newton_step(work, share, &here)?;
            work.step.copy_from_slice(step.as_slice());
            let mut factor = work.step_factor(self.topology);
            let nearer = (0..HALVINGS).any(|_| {
                self.move_from(work, &here, factor);
                factor *= 0.5;
                self.unbalanced(work, share).is_some() && work.residual_n() < now_n
            });
            if !nearer {
                return None;
            }
        }
        None
    }

    /// Takes the step to where nothing is unbalanced, if slopes stay as they are: those of what the slipping lines touch by differences,
    /// all others as without friction.
    fn newton_step(&self, work: &mut Workspace, share: f64, here: &Pose) -> Option<DVector<f64>> {
        let count = self.topology.freedom_count();
        let unbalanced_n = DVector::from_column_slice(&work.gradient);
        work.true_stiffness(self.topology);
        let mut slopes = DMatrix::zeros(count, count);
        let touched = self.touched();
        for freedom in 0..count {
            let mut unit = vec![0.0; count];
            unit[freedom] = 1.0;
            if !touched[freedom] {
                work.stiffness
                    .times(&unit, slopes.column_mut(freedom).as_mut_slice());
                continue;
            }
            work.step.copy_from_slice(&unit);
            let mut beside = |way: f64| {
                self.move_from(work, here, way * REACH_M);
                self.unbalanced(work, share)?;
                Some(DVector::from_column_slice(&work.gradient))
            };
            let slope = (beside(1.0)? - beside(-1.0)?) / (2.0 * REACH_M);
            slopes.set_column(freedom, &slope);
        }
        // What moves freely stays where it is.
        let least = work.model.free_stiffness();
        for freedom in 0..count {
            slopes[(freedom, freedom)] += least;
        }
        slopes.lu().solve(&-unbalanced_n)
    }

    /// Tells which freedoms are of what a slipping line touches.
    fn touched(&self) -> Vec<bool> {
        let mut touched = vec![false; self.topology.freedom_count()];
        for line in self
            .topology
            .lines()
            .filter(|line| (self.slips)(*line) != Slips::Freely)
        {
            for frame in self
                .topology
                .path(line)
                .iter()
                .map(|at| self.topology.frame_of(*at))
            {
                let freedoms = match self.topology.kind(frame) {
                    FrameKind::Fixed => 0,
                    FrameKind::Junction => 3,
                    FrameKind::Body => 6,
                };
                let first = 3 * self.topology.first_block(frame);
                touched[first..first + freedoms].fill(true);
            }
        }
        touched
    }

    fn move_from(&self, work: &mut Workspace, here: &Pose, factor: f64) {
        work.pose.copy_frames(here);
        work.pose.move_by(self.topology, &work.model, &work.step, factor);
    }
}

/// Gives the tension after a place of a path over that before it.
fn after_over_before(slips: Slips, ratio: f64) -> f64 {
    match slips {
        Slips::Forward => 1.0 / ratio,
        Slips::Back => ratio,
        Slips::Freely => 1.0,
    }
}

/// Divides the heavy lines that slip; tells whether each has such a division.
fn divide(
    topology: &Topology,
    work: &mut Workspace,
    ratio: &impl Fn(usize) -> f64,
    slips: &impl Fn(LineId) -> Slips,
) -> bool {
    let mut all = true;
    for id in topology.lines().filter(|id| slips(*id) != Slips::Freely) {
        let line = work.model.lines[id.index()];
        let range = topology.path_range(id);
        if !line.sags || range.len() < 3 {
            continue;
        }
        let ratios: Vec<f64> = (range.start + 1..range.end - 1)
            .map(|at| after_over_before(slips(id), ratio(at)))
            .collect();
        let path_m: Vec<Vector3<f64>> = topology
            .path(id)
            .iter()
            .map(|a| work.pose.at_m[a.index()])
            .collect();
        all &= work.pose.sagging[id.index()].slip(&line, &path_m, &ratios);
    }
    all
}

/// Finds the tension of each segment, by place in the paths: in the ratios asked for, and using up the unloaded length.
fn segment_tensions(
    topology: &Topology,
    work: &Workspace,
    ratio: &impl Fn(usize) -> f64,
    slips: &impl Fn(LineId) -> Slips,
) -> Vec<f64> {
    let mut tensions = vec![0.0; topology.path_total()];
    for id in topology.lines() {
        let line = work.model.lines[id.index()];
        let range = topology.path_range(id);
        if line.sags || work.pose.elongation_m[id.index()] <= 0.0 {
            continue;
        }
        let mut share = 1.0;
        let mut shares = Vec::with_capacity(range.len() - 1);
        for at in range.start..range.end - 1 {
            if at > range.start {
                share *= after_over_before(slips(id), ratio(at));
            }
            shares.push(share);
        }
        let stiffness_n = line.true_stiffness * line.unloaded_m;
        let segments = &work.pose.segment_m[range.start..range.end - 1];
        let tension = first_tension(stiffness_n, line.unloaded_m, segments, &shares);
        for (at, share) in (range.start..).zip(shares) {
            tensions[at] = share * tension;
        }
    }
    tensions
}

/// Solves sum of L / (1 + c T / EA) = L0 for T, by Newton from below, where the sum is convex and falls.
fn first_tension(stiffness_n: f64, unloaded_m: f64, segments_m: &[f64], shares: &[f64]) -> f64 {
    let mut tension = 0.0;
    for _ in 0..60 {
        let (mut left, mut slope) = (-unloaded_m, 0.0);
        for (length, share) in segments_m.iter().zip(shares) {
            let stretched = 1.0 + share * tension / stiffness_n;
            left += length / stretched;
            slope -= length * share / (stiffness_n * stretched * stretched);
        }
        let step = -left / slope;
        if step <= 4.0 * f64::EPSILON * tension || step.is_nan() {
            break;
        }
        tension += step;
    }
    tension
}

/// Fills the gradient with the segments' tensions.
fn unbalance(topology: &Topology, work: &mut Workspace, tensions: &[f64]) {
    let (model, pose) = (&work.model, &work.pose);
    gradient(topology, model, pose, |_| 0.0, &mut work.gradient);
    for id in topology.lines() {
        let range = topology.path_range(id);
        let path = topology.path(id);
        for (i, at) in (range.start..range.end - 1).enumerate() {
            let pull = pose.direction[at] * tensions[at];
            add_at(topology, model, pose, path[i], -pull, &mut work.gradient);
            add_at(topology, model, pose, path[i + 1], pull, &mut work.gradient);
        }
    }
}

fn write(
    topology: &Topology,
    parameters: &Parameters,
    work: &mut Workspace,
    tensions: &[f64],
    solution: &mut Solution,
) {
    let (residual_n, allowed_n) = (work.residual_n(), work.allowed_n(topology));
    results::write(topology, parameters, work, solution);
    (solution.residual_n, solution.allowed_residual_n) = (residual_n, allowed_n);
    for id in topology.lines() {
        let range = topology.path_range(id);
        if work.model.lines[id.index()].sags || range.len() < 3 {
            continue;
        }
        let pull = |at: usize| work.pose.direction[at] * tensions[at];
        for (i, at) in range.clone().enumerate() {
            let before = if i > 0 { pull(at - 1) } else { Vector3::zeros() };
            let after = if at + 1 < range.end {
                pull(at)
            } else {
                Vector3::zeros()
            };
            let frame = topology.frame_of(topology.path(id)[i]);
            let change = after - before - solution.pulls_n[at];
            solution.pulls_n[at] += change;
            if topology.kind(frame) == FrameKind::Fixed {
                solution.on_building_n[frame.index()] += change;
            }
        }
        let segments = &tensions[range.start..range.end - 1];
        let result = &mut solution.lines[id.index()];
        result.tension_n = segments.iter().copied().fold(0.0, f64::max);
        result.greatest_tension_n = result.tension_n;
        result.end_tensions_n = [segments[0], segments[segments.len() - 1]];
    }
}
