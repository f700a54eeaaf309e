//! The lengths that would bring a rig where it is wanted, were there no whole units.
//!
//! As in `to_trim`: at a pose, each line that can be adjusted is as long as lets it pull what it should; statics says what would
//! bring balance from there and what each length changes; and a programme finds the changes that bring the picks to their
//! heights with no such line below its least pull, and then make the tensions as even as that leaves them. No line need be
//! taut to begin with.
//!
//! Conventions: SI; lengths as how much longer than in the document.
//! Assumes: what `bench` assumes; lines that can not be adjusted stay as long as they are.
//! Valid for: rigs that hang; none where the search does not settle.
//! Source: sequential quadratic programming, as in to_trim/mod.rs; the criterion as in docs/theory/trim.md.
//! Checked by: tests/main/adjust.rs.

use super::adjuster::Adjuster;
use super::bench::{Actual, Bench};
use super::plan::{carries, least_n};
use crate::model::Model;
use crate::to_trim::{Programme, Stride};
use nalgebra::{DMatrix, DVector};
use statics::{
    Change, LineId, Options, Outcome, Parameters, Solution, State, Workspace, solve, toward_balance,
    unloaded_length_m,
};

/// Rounds at the most; ten are usual.
const ROUNDS: usize = 60;
/// Changes of length below this end the search, metres.
const SETTLED_M: f64 = 1e-7;
/// How far one round may move things: a share of the longest line that can be adjusted, and a turn, rad.
const REACH: f64 = 0.2;
const TURN_RAD: f64 = 0.3;

/// Finds how much longer than in the document every line is then; none where the search does not settle.
pub(crate) fn as_wanted(
    bench: &Bench<'_>,
    actual: &Actual,
    rest: &Solution,
    adjusters: &[Adjuster],
) -> Option<Vec<f64>> {
    let lines: Vec<usize> = (0..adjusters.len())
        .filter(|line| adjusters[*line].is_there() && carries(bench, *line))
        .collect();
    if lines.is_empty() {
        return None;
    }
    let parameters = bench.parameters(actual);
    // A little more than the least, so that it is not missed by rounding.
    let least_n = lines.iter().map(|line| 1.1 * least_n(bench, actual, *line));
    let longest_m = lines
        .iter()
        .map(|line| parameters.lines[*line].unloaded_length_m)
        .fold(0.0, f64::max);
    let mut search = Search {
        bench,
        least_n: DVector::from_iterator(lines.len(), least_n),
        lines,
        state: rest.state.clone(),
        reach_m: REACH * longest_m,
        work: Workspace::new(&bench.model.topology),
        parameters,
    };
    for _ in 0..ROUNDS {
        if search.round()? {
            let lengths = search.parameters.lines.iter().zip(&bench.model.parameters.lines);
            return Some(
                lengths
                    .map(|(is, was)| is.unloaded_length_m - was.unloaded_length_m)
                    .collect(),
            );
        }
    }
    None
}

/// Where the search is.
struct Search<'b, 'a> {
    bench: &'b Bench<'a>,
    lines: Vec<usize>,
    /// The least that each of these is to pull, newtons.
    least_n: DVector<f64>,
    parameters: Parameters,
    /// The pose aimed at.
    state: State,
    reach_m: f64,
    work: Workspace,
}

impl Search<'_, '_> {
    /// Makes one round; tells whether the search has settled.
    fn round(&mut self) -> Option<bool> {
        let topology = &self.bench.model.topology;
        let options = Options {
            find_free_motions: false,
            ..Options::warm()
        };
        let found = match solve(topology, &self.parameters, &self.state, &options, &mut self.work) {
            Ok(Outcome::Found(found)) if self.is_near(&found.state) => Some(found),
            _ => None,
        };
        if let Some(found) = &found {
            self.state = found.state.clone();
        }
        let taken_up = self.take_up_slack(found.as_ref());
        let toward = toward_balance(topology, &self.parameters, &self.state, &mut self.work).ok()?;
        let stride = Stride {
            toward: &toward,
            lines: &self.lines,
        };
        let change_m = self.programme(&stride).solve();
        if found.is_some() && !taken_up && change_m.amax() < SETTLED_M {
            return Some(true);
        }
        let pulls_n = stride.go(&change_m, (self.reach_m, 1.0), &mut self.state);
        let pulls_n = pulls_n.zip_map(&self.least_n, f64::max);
        for (line, pull_n) in self.lines.iter().zip(pulls_n.iter()) {
            let id = LineId(*line as u32);
            let length_m = unloaded_length_m(topology, &self.parameters, &self.state, id, *pull_n);
            self.parameters.lines[*line].unloaded_length_m = length_m.ok()?;
        }
        Some(false)
    }

    /// Whether a state is no further from the pose aimed at than a round may go.
    fn is_near(&self, state: &State) -> bool {
        let mut places = state.position_m.iter().zip(&self.state.position_m);
        let mut turns = state.rotation.iter().zip(&self.state.rotation);
        places.all(|(a, b)| (a - b).norm() <= self.reach_m) && turns.all(|(a, b)| a.angle_to(b) <= TURN_RAD)
    }

    /// Makes every line that is slack, or all but slack, as short as lets it pull its least; tells whether there was one.
    fn take_up_slack(&mut self, found: Option<&Solution>) -> bool {
        let topology = &self.bench.model.topology;
        let mut any = false;
        for (line, least_n) in self.lines.iter().zip(self.least_n.iter()) {
            let id = LineId(*line as u32);
            if found.is_some_and(|found| found.line(id).tension_n >= 0.5 * least_n) {
                continue;
            }
            if let Ok(length_m) = unloaded_length_m(topology, &self.parameters, &self.state, id, *least_n) {
                any |= found.is_some();
                self.parameters.lines[*line].unloaded_length_m = length_m;
            }
        }
        any
    }

    /// Says what is wanted of the changes of length from the pose.
    fn programme(&self, stride: &Stride<'_>) -> Programme {
        let toward = stride.toward;
        let by_length: Vec<&Change> = self.lines.iter().map(|line| &toward.by_length[*line]).collect();
        let count = self.lines.len();
        let model = self.bench.model;
        let mut off = Vec::new();
        let mut moves = Vec::new();
        for (load, pick) in self.bench.picks() {
            let (Some((_, modelled)), Some((_, document))) =
                (model.loads.get_index(load), self.bench.rig.loads.get_index(load))
            else {
                continue;
            };
            let own = document.picks.get_index(pick).map_or([0.0; 3], |(_, own)| *own);
            let (frame, _) = Model::body_at(modelled, &own.into());
            let at_m = model.place_m(modelled, &self.state, &own.into());
            let arm_m = at_m - self.state.frame_at_m(&model.topology, &model.parameters, frame);
            let rises = |change: &Change| {
                (change.place_m[frame.index()] + change.turn_rad[frame.index()].cross(&arm_m)).z
            };
            off.push(at_m.z - self.bench.trim_height_m(load, pick) + rises(&toward.balance));
            moves.extend(by_length.iter().map(|change| rises(change)));
        }
        let picks = off.len();
        let (tensions, pulls) = stride.pulls();
        Programme {
            wishes: vec![(
                DVector::from_vec(off),
                DMatrix::from_row_iterator(picks, count, moves),
            )],
            near: Programme::nothing_near(count),
            tensions,
            pulls,
            least_n: self.least_n.clone(),
        }
    }
}
