//! The rig that pulls what was read, with everything where it rests as stated: where the search for an estimate may begin.
//!
//! A line that is slack as stated tells nothing of what its length does; one that is read to pull is taken as taut, as long as
//! lets it pull so much there, and one that is read to pull nothing as longer than its way.
//!
//! Conventions: SI; changes from the rig as stated.
//! Assumes: everything at rest as stated; heights that were read are left for the search.
//! Valid for: any rig; a beginning need not be right.
//! Source: balance of every load and junction, with readings, weighted least squares; no line pushes.
//! Checked by: tests/main/adjust.rs (an estimate is found for any rig there).

use super::bench::{Actual, Bench};
use super::readings::{Observed, Of};
use super::unknowns::{Unknown, Unknowns};
use crate::to_trim::Programme;
use nalgebra::{DMatrix, DVector};
use statics::{FrameId, LineId, State, Vector3, unloaded_length_m};

/// How far forces may be out of balance, as a share of what weighs on them, since everything gives way a little.
const BALANCE: f64 = 0.01;
/// A line that pulls less than this share of an even share is slack.
const SLACK: f64 = 1e-3;
/// By how much a slack line is longer than its way, at the least, metres.
const HAIR_M: f64 = 1e-4;

/// Finds the rig that pulls what was read; none where no tension was read.
pub(crate) fn by_pulls(bench: &Bench<'_>, unknowns: &Unknowns, observed: &[Observed]) -> Option<Actual> {
    if !observed.iter().any(|of| matches!(of.of, Of::Tension { .. })) {
        return None;
    }
    let model = bench.model;
    let stated = bench.stated_rest();
    let weight_n: f64 = bench.stated.weights.iter().map(|of| of.weight_n).sum();
    let balance = Balance::new(bench, unknowns, &stated.state, weight_n);
    let lines = model.lines.len();
    let pulls_n = DVector::from_fn(lines, |line, _| stated.line(LineId(line as u32)).tension_n);
    let (off, moves) = balance.wish(bench, observed);
    let unknown = moves.ncols();
    // The programme is square; lines are told again where there are fewer of them than unknowns.
    let again = |row: usize| row % lines;
    let programme = Programme {
        wishes: vec![(off, moves)],
        near: Programme::nothing_near(unknown),
        tensions: DVector::from_fn(unknown, |row, _| pulls_n[again(row)]),
        pulls: DMatrix::from_fn(unknown, unknown, |row, column| {
            if column == again(row) { weight_n } else { 0.0 }
        }),
        least_n: DVector::zeros(unknown),
    };
    let change = programme.solve();
    let mut actual = bench.stated.clone();
    balance.put_weights(&change, &mut actual);
    let even_n = weight_n / lines as f64;
    for line in 0..lines {
        let pull_n = pulls_n[line] + weight_n * change[line];
        let id = LineId(line as u32);
        let stated_m = model.parameters.lines[line].unloaded_length_m;
        actual.longer_m[line] = if pull_n > SLACK * even_n {
            unloaded_length_m(&model.topology, &model.parameters, &stated.state, id, pull_n)
                .map_or(0.0, |length_m| length_m - stated_m)
        } else {
            f64::max(stated.line(id).length_m + HAIR_M - stated_m, 0.0)
        };
    }
    Some(actual)
}

/// What must balance: loads and junctions, by forces and moments.
struct Balance {
    /// Out of balance by each unit of an unknown: pulls over all weight, weights and centres over their standard deviations.
    rows: Vec<DVector<f64>>,
    /// The unknowns of weights and centres, after the lines.
    others: Vec<(Unknown, f64)>,
    lines: usize,
    weight_n: f64,
}

impl Balance {
    fn new(bench: &Bench<'_>, unknowns: &Unknowns, state: &State, weight_n: f64) -> Self {
        let lines = bench.model.lines.len();
        let each = unknowns.each.iter().zip(&unknowns.sd);
        // How high a centre is does not matter while everything is at its place.
        let others =
            each.filter(|(unknown, _)| !matches!(unknown, Unknown::Length(_) | Unknown::Centre(_, 2)));
        let mut balance = Balance {
            rows: Vec::new(),
            others: others.map(|(unknown, sd)| (*unknown, *sd)).collect(),
            lines,
            weight_n,
        };
        for (load, modelled) in bench.model.loads.values().enumerate() {
            balance.of_load(bench, state, load, modelled.frames());
        }
        for frame in bench.model.junctions.values() {
            let pulls = balance.pulls(bench, state, &[*frame], Vector3::zeros());
            let even_n = weight_n / lines as f64;
            for axis in 0..3 {
                balance.add(|line| pulls[line].0[axis], |_| 0.0, even_n);
            }
        }
        balance
    }

    /// Gives force and moment about a place that each line puts on some frames while it pulls one newton.
    fn pulls(
        &self,
        bench: &Bench<'_>,
        state: &State,
        frames: &[FrameId],
        about_m: Vector3<f64>,
    ) -> Vec<(Vector3<f64>, Vector3<f64>)> {
        let model = bench.model;
        let of_line = |line: usize| {
            let id = LineId(line as u32);
            let pulls = state.unit_pulls(&model.topology, &model.parameters, id);
            let on = model.topology.path(id).iter().zip(pulls);
            let on = on.filter(|(at, _)| frames.contains(&model.topology.frame_of(**at)));
            on.fold(
                (Vector3::zeros(), Vector3::zeros()),
                |(force, moment), (at, pull)| {
                    (
                        force + pull,
                        moment + (model.at_m(state, *at) - about_m).cross(&pull),
                    )
                },
            )
        };
        (0..self.lines).map(of_line).collect()
    }

    fn of_load(&mut self, bench: &Bench<'_>, state: &State, load: usize, frames: &[FrameId]) {
        let Some((_, modelled)) = bench.model.loads.get_index(load) else {
            return;
        };
        let about_m = bench.model.place_m(modelled, state, &Vector3::zeros());
        let turned = state.rotation[modelled.frame.index()];
        let pulls = self.pulls(bench, state, frames, about_m);
        let stated = bench.stated.weights[load];
        let size_m = self.others.iter().find_map(|(unknown, sd)| match unknown {
            Unknown::Centre(of, 0) if *of == load => Some(*sd),
            _ => None,
        });
        let down = -Vector3::z();
        let centre_m = turned * stated.centre_m;
        for axis in 0..3 {
            let by = |unknown: Unknown| match unknown {
                Unknown::Weight(of) if of == load => down[axis],
                _ => 0.0,
            };
            self.add(|line| pulls[line].0[axis], by, stated.weight_n);
            let by = |unknown: Unknown| match unknown {
                Unknown::Weight(of) if of == load => centre_m.cross(&down)[axis],
                Unknown::Centre(of, own) if of == load => {
                    let mut along = Vector3::zeros();
                    along[own] = stated.weight_n;
                    (turned * along).cross(&down)[axis]
                }
                _ => 0.0,
            };
            let scale_nm = stated.weight_n * size_m.unwrap_or(1.0);
            self.add(|line| pulls[line].1[axis], by, scale_nm);
        }
    }

    /// Adds a balance: what each line and each other unknown puts in, and what is much beside it.
    fn add(&mut self, by_line: impl Fn(usize) -> f64, by_other: impl Fn(Unknown) -> f64, scale: f64) {
        let allowed = (BALANCE * scale).max(f64::MIN_POSITIVE);
        let lines = (0..self.lines).map(|line| self.weight_n * by_line(line) / allowed);
        let others = self
            .others
            .iter()
            .map(|(unknown, sd)| sd * by_other(*unknown) / allowed);
        self.rows.push(DVector::from_iterator(
            self.lines + self.others.len(),
            lines.chain(others),
        ));
    }

    /// Gives what is off, and how that changes: balances, readings, and what was known beforehand.
    fn wish(&self, bench: &Bench<'_>, observed: &[Observed]) -> (DVector<f64>, DMatrix<f64>) {
        let count = self.lines + self.others.len();
        let mut off = vec![0.0; self.rows.len()];
        let mut rows = self.rows.clone();
        for of in observed {
            let mut row = DVector::zeros(count);
            let now = match &of.of {
                Of::Height(_) => continue,
                Of::Tension { lines, upper } => {
                    for line in lines {
                        row[*line] += self.weight_n / of.uncertainty;
                    }
                    let end = usize::from(!*upper);
                    let rest = bench.stated_rest();
                    lines.iter().map(|line| bench.tensions_n(rest, *line)[end]).sum()
                }
                Of::Weight(load) => {
                    let place = self
                        .others
                        .iter()
                        .position(|(other, _)| *other == Unknown::Weight(*load));
                    let Some(place) = place else { continue };
                    row[self.lines + place] = self.others[place].1 / of.uncertainty;
                    bench.stated.weights[*load].weight_n
                }
            };
            off.push((now - of.reads) / of.uncertainty);
            rows.push(row);
        }
        let beforehand = off.len();
        off.extend(std::iter::repeat_n(0.0, count));
        let mut moves = DMatrix::zeros(off.len(), count);
        for (i, row) in rows.iter().enumerate() {
            moves.row_mut(i).copy_from(&row.transpose());
        }
        moves.rows_mut(beforehand, count).fill_with_identity();
        (DVector::from_vec(off), moves)
    }

    /// Puts weights and then centres on a rig; those of the unknowns are told by the weight as stated.
    fn put_weights(&self, change: &DVector<f64>, actual: &mut Actual) {
        let stated: Vec<f64> = actual.weights.iter().map(|of| of.weight_n).collect();
        for (i, (unknown, sd)) in self.others.iter().enumerate() {
            let by = sd * change[self.lines + i];
            let by = match unknown {
                Unknown::Centre(load, _) => by * stated[*load] / actual.weights[*load].weight_n,
                _ => by,
            };
            unknown.add(by, actual);
        }
    }
}
