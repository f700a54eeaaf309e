//! A rig solved again for every draw of what may be off.
//!
//! Conventions: SI; one row for each sample, first what came out, then what was off; rows by sample number.
//! Assumes: see `inputs`; what a sample is held against does not change with it.
//! Valid for: a rig that hangs as stated. A sample that does not is counted by why, and its row is of no use.
//! Source: a full solve of each sample, from the pose found for the rig as stated; where that finds no rest, from the
//! pose drawn.
//! Checked by: tests/main/spread.rs (closed forms; the same on one thread and on two).

use super::draw::Streams;
use super::inputs::Input;
use crate::document::Rig;
use crate::facts::tilt_of_rad;
use crate::found::is_slack;
use crate::model::Model;
use practice::Role;
use rayon::prelude::*;
use statics::{
    AttachmentId, FrameId, LineId, Options, Outcome, Parameters, Solution, State, StaticsError, Workspace,
    solve, solve_again,
};
use std::sync::{Mutex, PoisonError};

/// Samples between two looks at whether to go on.
const BLOCK: usize = 512;
/// Samples that a thread takes at a time.
const CHUNK: usize = 16;

/// How a sample came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Came {
    /// It hangs.
    #[default]
    Hangs,
    /// It hangs, but the search came to a balance that would roll over, and left it.
    HangsElsewhere,
    /// Nothing holds something of it.
    Falls,
    /// A line runs until it jams.
    Jams,
    /// No rest was found.
    NoRest,
}

impl Came {
    pub(crate) fn hangs(self) -> bool {
        matches!(self, Came::Hangs | Came::HangsElsewhere)
    }
}

/// Where in a row what came out stands.
#[derive(Debug, Clone)]
pub(crate) struct Columns {
    lines: Vec<(LineId, Role)>,
    points: Vec<FrameId>,
    loads: Vec<LoadPlace>,
    inputs: usize,
}

/// What of a load is measured.
#[derive(Debug, Clone)]
struct LoadPlace {
    frame: FrameId,
    /// Its picks, and how high each is in own axes, metres.
    picks: Vec<(AttachmentId, f64)>,
}

/// What stands side by side in a row, for each line, point and load.
const OF_LINE: usize = 2;
const OF_POINT: usize = 2;
const OF_LOAD: usize = 3;

impl Columns {
    pub(crate) fn new(rig: &Rig, model: &Model, inputs: usize) -> Self {
        let roles = rig.lines.values().map(|line| line.role.unwrap_or(Role::Carries));
        let loads = model.loads.iter().map(|(name, load)| LoadPlace {
            frame: load.frame,
            picks: model
                .picks
                .iter()
                .filter(|((of, _), _)| of == name)
                // The bodies of a pipe are all on its axis, as is its origin.
                .map(|(_, id)| (*id, model.parameters.attachment_offset_m[id.index()].z))
                .collect(),
        });
        Self {
            lines: model.lines.values().map(|line| line.id).zip(roles).collect(),
            points: model.points.values().copied().collect(),
            loads: loads.collect(),
            inputs,
        }
    }

    /// The greatest tension of a line along it, its own weight included, newtons.
    pub(crate) fn tension_n(line: usize) -> usize {
        OF_LINE * line
    }

    /// Whether a line is slack: 1 if it is.
    pub(crate) fn slack(line: usize) -> usize {
        Self::tension_n(line) + 1
    }

    /// The force down on a point, newtons.
    pub(crate) fn down_n(&self, point: usize) -> usize {
        OF_LINE * self.lines.len() + OF_POINT * point
    }

    /// The force sideways on a point, newtons.
    pub(crate) fn side_n(&self, point: usize) -> usize {
        self.down_n(point) + 1
    }

    /// How high the origin of a load is, metres.
    pub(crate) fn height_m(&self, load: usize) -> usize {
        self.down_n(self.points.len()) + OF_LOAD * load
    }

    /// How far a load tilts, radians.
    pub(crate) fn tilt_rad(&self, load: usize) -> usize {
        self.height_m(load) + 1
    }

    /// How much higher one pick of a load is than another, at the most, beyond what it is in own axes, metres.
    pub(crate) fn out_of_level_m(&self, load: usize) -> usize {
        self.height_m(load) + 2
    }

    /// What an input is off by.
    pub(crate) fn off(&self, input: usize) -> usize {
        self.height_m(self.loads.len()) + input
    }

    fn count(&self) -> usize {
        self.off(self.inputs)
    }

    /// Writes what came out.
    pub(crate) fn measure(&self, model: &Model, solution: &Solution, row: &mut [f64]) {
        for (i, (line, role)) in self.lines.iter().enumerate() {
            let result = solution.line(*line);
            row[Self::tension_n(i)] = result.greatest_tension_n;
            row[Self::slack(i)] = f64::from(u8::from(is_slack(*role, &result)));
        }
        for (i, frame) in self.points.iter().enumerate() {
            let force_n = solution.on_building_n[frame.index()];
            row[self.down_n(i)] = -force_n.z;
            row[self.side_n(i)] = force_n.x.hypot(force_n.y);
        }
        for ((i, load), modelled) in self.loads.iter().enumerate().zip(model.loads.values()) {
            let state = &solution.state;
            row[self.height_m(i)] = state.position_m[load.frame.index()].z;
            row[self.tilt_rad(i)] = tilt_of_rad(modelled, state).unwrap_or_default();
            row[self.out_of_level_m(i)] = load.out_of_level_m(model, state);
        }
    }
}

impl LoadPlace {
    fn out_of_level_m(&self, model: &Model, state: &State) -> f64 {
        let raised = self
            .picks
            .iter()
            .map(|(pick, own_m)| model.at_m(state, *pick).z - own_m);
        let [least, most] = raised.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], z| {
            [least.min(z), most.max(z)]
        });
        (most - least).max(0.0)
    }
}

/// What came of all samples.
#[derive(Debug)]
pub(crate) struct Samples {
    pub(crate) columns: Columns,
    pub(crate) came: Vec<Came>,
    rows: Vec<f64>,
}

impl Samples {
    /// Lists the rows of the samples that hang.
    pub(crate) fn hanging(&self) -> impl Iterator<Item = &[f64]> {
        let rows = self.rows.chunks_exact(self.columns.count().max(1));
        rows.zip(&self.came)
            .filter(|(_, came)| came.hangs())
            .map(|(row, _)| row)
    }

    /// Lists a column of the samples that hang.
    pub(crate) fn column(&self, column: usize) -> Vec<f64> {
        self.hanging()
            .filter_map(|row| row.get(column))
            .copied()
            .collect()
    }
}

/// What is sampled.
pub(crate) struct Sampled<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) model: &'a Model,
    /// The rig as stated, at rest.
    pub(crate) rest: &'a Solution,
    pub(crate) inputs: &'a [Input],
    pub(crate) seed: u64,
}

/// Solves so many samples side by side. `goes_on` is told how many are done, and says whether to go on.
pub(crate) fn samples(of: &Sampled<'_>, count: usize, goes_on: &dyn Fn(usize) -> bool) -> Samples {
    let columns = Columns::new(of.rig, of.model, of.inputs.len());
    let width = columns.count();
    let (mut rows, mut came) = (Vec::new(), Vec::new());
    let streams = Streams::of(of.seed);
    let idle: Mutex<Vec<Worker<'_>>> = Mutex::default();
    while came.len() < count && goes_on(came.len()) {
        let first = came.len();
        let upto = count.min(first + BLOCK);
        rows.resize(upto * width, 0.0);
        came.resize(upto, Came::Hangs);
        let chunks = rows[first * width..].par_chunks_mut(CHUNK * width);
        let each = chunks.zip(came[first..].par_chunks_mut(CHUNK)).enumerate();
        each.for_each(|(chunk, (rows, came))| {
            let taken = idle.lock().unwrap_or_else(PoisonError::into_inner).pop();
            let mut worker = taken.unwrap_or_else(|| Worker::new(of, &columns, &streams));
            for (i, (row, came)) in rows.chunks_exact_mut(width).zip(came).enumerate() {
                *came = worker.sample((first + chunk * CHUNK + i) as u64, row);
            }
            idle.lock().unwrap_or_else(PoisonError::into_inner).push(worker);
        });
    }
    Samples { columns, came, rows }
}

/// What a thread works with, sample after sample.
struct Worker<'a> {
    of: &'a Sampled<'a>,
    columns: &'a Columns,
    streams: &'a Streams,
    parameters: Parameters,
    workspace: Workspace,
    solution: Solution,
}

impl<'a> Worker<'a> {
    fn new(of: &'a Sampled<'a>, columns: &'a Columns, streams: &'a Streams) -> Self {
        Self {
            of,
            columns,
            streams,
            parameters: of.model.parameters.clone(),
            workspace: Workspace::new(&of.model.topology),
            solution: of.rest.clone(),
        }
    }

    /// Draws a sample, solves it and writes what was off and what came out.
    fn sample(&mut self, number: u64, row: &mut [f64]) -> Came {
        let inputs = self.of.inputs;
        let off = &mut row[self.columns.off(0)..];
        self.streams
            .draw(number, inputs.iter().map(|input| input.law), off);
        for (input, off) in inputs.iter().zip(off.iter()) {
            input.act(self.of.model, &mut self.parameters, *off);
        }
        let came = self.solve();
        if came.hangs() {
            self.columns.measure(self.of.model, &self.solution, row);
        }
        came
    }

    fn solve(&mut self) -> Came {
        let (state, rest) = (&mut self.solution.state, &self.of.rest.state);
        state.position_m.clone_from(&rest.position_m);
        state.rotation.clone_from(&rest.rotation);
        let model = self.of.model;
        let (topology, parameters) = (&model.topology, &self.parameters);
        let options = Options {
            find_free_motions: false,
            ..Options::warm()
        };
        let found = solve_again(
            topology,
            parameters,
            &options,
            &mut self.workspace,
            &mut self.solution,
        );
        let found = found.or_else(|_| {
            let found = solve(topology, parameters, &model.guess, &options, &mut self.workspace)?;
            Ok::<_, StaticsError>(match found {
                Outcome::Found(solution) => {
                    self.solution = solution;
                    Outcome::Found(())
                }
                Outcome::NothingHolds(unheld) => Outcome::NothingHolds(unheld),
                Outcome::Jams(jam) => Outcome::Jams(jam),
            })
        });
        match found {
            Ok(Outcome::Found(())) if self.solution.left_unstable => Came::HangsElsewhere,
            Ok(Outcome::Found(())) => Came::Hangs,
            Ok(Outcome::NothingHolds(_)) => Came::Falls,
            Ok(Outcome::Jams(_)) => Came::Jams,
            Err(_) => Came::NoRest,
        }
    }
}
