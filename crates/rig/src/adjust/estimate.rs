//! What a rig weighs and how long its lines are, by what is read on it.
//!
//! Lines come taut and go slack, and there the sum of squares has a kink. Between kinks it is smooth, so a step goes no further
//! than the next one; at a kink both of its sides are tried. The search begins at the rig as stated and at the pulls that the
//! readings have (`pulls`), and the lowest place that it comes to is taken.
//!
//! Conventions: SI; unknowns and residuals are divided by their standard deviations; uncertainties are standard ones.
//! Assumes: readings that do not hang on one another; stiffnesses, points and picks as stated.
//! Valid for: rigs that hang near to how they are drawn. Where none of the beginnings hangs there is no estimate.
//! Source: least squares by Gauss and Newton's method with what is known beforehand as further observations, and with the
//! kinks as bounds of a quadratic programme (Nocedal and Wright, Numerical Optimization, chapters 10 and 18, from memory).
//! Checked by: tests/main/adjust.rs (weights and centres put into a rig are found again within their uncertainty).

use super::bench::{Actual, Bench};
use super::pulls::by_pulls;
use super::readings::{Observed, Of};
use super::uncertainty::{Edge, edges, open_edges, slack_edges};
use super::unknowns::{Unknown, Unknowns};
use crate::to_trim::Programme;
use nalgebra::{DMatrix, DVector};
use statics::{LineId, Solution};

/// A rig fitted to readings.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    /// What was sought, with what was known of it beforehand.
    pub(crate) unknowns: Unknowns,
    /// The rig.
    pub(crate) actual: Actual,
    /// Where it then hangs.
    pub(crate) rest: Solution,
    /// What it has where each reading was taken.
    pub(crate) fitted: Vec<f64>,
    /// What was read less that, over the standard uncertainty of the reading.
    pub(crate) residuals: DVector<f64>,
    /// The weighted sum of squares of these and of how far the unknowns are from what was known of them.
    pub(crate) chi_squared: f64,
    /// How each fitted reading changes with each unknown, both over their standard deviations.
    pub(crate) slopes: DMatrix<f64>,
    /// The covariance of the unknowns between the kinks beside it, over their standard deviations beforehand.
    pub(crate) covariance: DMatrix<f64>,
    /// How far the unknowns are off what is stated, over their standard deviations beforehand.
    pub(crate) off: DVector<f64>,
    /// The rigs that the readings hardly allow, by axis, either way; none before they are asked for.
    pub(crate) edges: Vec<[Option<Edge>; 2]>,
    /// The rigs in which a weight, a centre or the length of a line that may be slack is as far off as they hardly allow,
    /// everything else fitted anew; none before they are asked for.
    pub(crate) alone: Vec<Edge>,
    /// The lines that may as well be slack.
    pub(crate) may_be_slack: Vec<usize>,
}

/// Rounds at the most; ten are usual.
const ROUNDS: usize = 80;
/// A round that lowers the sum of squares by less than this share of it has come to the bottom.
const SETTLED: f64 = 1e-9;
/// Steps for differences: far over the rounding of a solve, and far under what a line stretches; lengths in metres, others in
/// standard deviations.
const STEP_M: f64 = 1e-6;
const STEP: f64 = 1e-4;
/// A line that is this near to coming taut or slack is at its kink, and this far from it it is on one side, metres.
const AT_KINK_M: f64 = 2e-6;
const BESIDE_KINK_M: f64 = 4e-6;

/// Fits a rig to readings. `near` is another fit that may be near. None where nothing hangs.
pub(crate) fn fit(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    near: Option<&Actual>,
) -> Option<Fit> {
    let mut starts = vec![near.unwrap_or(&bench.stated).clone()];
    starts.extend(by_pulls(bench, unknowns, observed));
    let mut best: Option<Fit> = None;
    for start in starts {
        let off = unknowns.off(&bench.stated, &start);
        let found = Here::new(bench, unknowns, observed, &off)
            .and_then(|here| fit_from(bench, unknowns, observed, here));
        if let Some(found) = found
            && best
                .as_ref()
                .is_none_or(|best| found.chi_squared < best.chi_squared * (1.0 - SETTLED))
        {
            best = Some(found);
        }
    }
    best
}

fn fit_from(bench: &mut Bench<'_>, unknowns: &Unknowns, observed: &[Observed], here: Here) -> Option<Fit> {
    let (here, piece) = lowest(bench, unknowns, observed, here)?;
    Some(Fit {
        unknowns: unknowns.clone(),
        actual: here.actual,
        rest: here.rest,
        fitted: here.fitted,
        residuals: here.residuals,
        chi_squared: here.objective,
        covariance: piece.inverse()?,
        slopes: piece.slopes,
        off: here.off,
        edges: Vec::new(),
        alone: Vec::new(),
        may_be_slack: Vec::new(),
    })
}

/// Goes down from a place to where nothing is lower beside it; gives with it what the rig does beside it.
pub(crate) fn lowest(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    mut here: Here,
) -> Option<(Here, Piece)> {
    let mut last = Piece::of(bench, unknowns, observed, &here, &here.sides())?;
    for _ in 0..ROUNDS {
        let mut lower = downhill(bench, unknowns, observed, &here, &last);
        let is_bottom =
            |lower: &Option<Here>| lower.as_ref().is_none_or(|lower| here.is_bottom(lower.objective));
        if is_bottom(&lower) {
            for sides in here.other_sides(&last.taut) {
                let Some(beyond) = Piece::of(bench, unknowns, observed, &here, &sides) else {
                    continue;
                };
                lower = downhill(bench, unknowns, observed, &here, &beyond);
                if !is_bottom(&lower) {
                    break;
                }
            }
        }
        let Some(there) = lower.filter(|lower| !here.is_bottom(lower.objective)) else {
            break;
        };
        let Some(piece) = Piece::of(bench, unknowns, observed, &there, &there.sides()) else {
            break;
        };
        (here, last) = (there, piece);
    }
    Some((here, last))
}

/// The rig at some values of the unknowns.
pub(crate) struct Here {
    pub(crate) off: DVector<f64>,
    pub(crate) actual: Actual,
    pub(crate) rest: Solution,
    pub(crate) fitted: Vec<f64>,
    pub(crate) residuals: DVector<f64>,
    pub(crate) objective: f64,
    /// By line, how much longer its way is than it is itself, metres; below zero if it is slack.
    stretch_m: Vec<f64>,
}

impl Here {
    pub(crate) fn new(
        bench: &mut Bench<'_>,
        unknowns: &Unknowns,
        observed: &[Observed],
        off: &DVector<f64>,
    ) -> Option<Self> {
        let actual = unknowns.at(&bench.stated, off);
        let rest = bench.rest(&actual, None).ok()?;
        let fitted: Vec<f64> = observed
            .iter()
            .map(|of| predicted(bench, &actual, &rest, of))
            .collect();
        let each = observed
            .iter()
            .zip(&fitted)
            .map(|(of, fitted)| (of.reads - fitted) / of.uncertainty);
        let residuals = DVector::from_iterator(observed.len(), each);
        Some(Here {
            objective: residuals.norm_squared() + off.norm_squared(),
            stretch_m: stretch_m(bench, &actual, &rest),
            off: off.clone(),
            actual,
            rest,
            fitted,
            residuals,
        })
    }

    /// Gives the same with an unknown that was fixed among the others.
    pub(crate) fn with_fixed(mut self, index: usize, off: f64) -> Self {
        self.off = self.off.insert_row(index, off);
        self.objective += off * off;
        self
    }

    fn is_bottom(&self, objective: f64) -> bool {
        objective > self.objective - SETTLED * (1.0 + self.objective)
    }

    /// Tells which lines are taut.
    fn sides(&self) -> Vec<bool> {
        self.stretch_m.iter().map(|stretch_m| *stretch_m > 0.0).collect()
    }

    /// Lists the other sides of the kinks that the rig is at: of each, and of all together.
    fn other_sides(&self, sides: &[bool]) -> Vec<Vec<bool>> {
        let at: Vec<usize> = (0..sides.len())
            .filter(|line| self.stretch_m[*line].abs() < AT_KINK_M)
            .collect();
        let mut ways: Vec<Vec<usize>> = at.iter().map(|line| vec![*line]).collect();
        if at.len() > 1 {
            ways.push(at);
        }
        let each = ways.into_iter().map(|lines| {
            let mut other = sides.to_vec();
            for line in lines {
                other[line] = !other[line];
            }
            other
        });
        each.collect()
    }
}

/// Gives how much longer the way of each line is than itself, metres.
fn stretch_m(bench: &Bench<'_>, actual: &Actual, rest: &Solution) -> Vec<f64> {
    let lines = bench.model.parameters.lines.iter().zip(&actual.longer_m);
    let each = lines.enumerate().map(|(i, (line, longer_m))| {
        rest.line(LineId(i as u32)).length_m - (line.unloaded_length_m + longer_m)
    });
    each.collect()
}

/// What the rig does between kinks.
pub(crate) struct Piece {
    taut: Vec<bool>,
    /// How each fitted reading changes with each unknown, both over their standard deviations.
    slopes: DMatrix<f64>,
    /// How the stretch of each line changes with each unknown, metres.
    stretches: DMatrix<f64>,
}

impl Piece {
    /// Finds what the rig does beside a place, with these lines taut. None where nothing hangs there.
    fn of(
        bench: &mut Bench<'_>,
        unknowns: &Unknowns,
        observed: &[Observed],
        here: &Here,
        taut: &[bool],
    ) -> Option<Piece> {
        let (actual, rest) = beside_kinks(bench, here, taut)?;
        let (readings, lines) = (observed.len(), taut.len());
        let values = |bench: &Bench<'_>, actual: &Actual, rest: &Solution| {
            let each = observed
                .iter()
                .map(|of| predicted(bench, actual, rest, of) / of.uncertainty);
            DVector::from_iterator(readings + lines, each.chain(stretch_m(bench, actual, rest)))
        };
        let is_inside = |values: &DVector<f64>| {
            let stretches = values.iter().skip(readings).zip(taut);
            stretches
                .into_iter()
                .all(|(stretch_m, taut)| (*stretch_m > 0.0) == *taut)
        };
        let now = values(bench, &actual, &rest);
        let mut slopes = DMatrix::zeros(readings + lines, unknowns.each.len());
        for (column, unknown) in unknowns.each.iter().enumerate() {
            let step = match unknown {
                Unknown::Length(_) => STEP_M / unknowns.sd[column],
                _ if unknowns.open[column] => STEP,
                _ => STEP.max(1e-2),
            };
            let mut beside = |side: f64| {
                let mut there = actual.clone();
                unknown.add(side * step * unknowns.sd[column], &mut there);
                let rest = bench.rest_from(&there, None, &rest).ok()?;
                Some(values(bench, &there, &rest))
            };
            let slope = match (beside(1.0), beside(-1.0)) {
                (Some(up), Some(down)) => match (is_inside(&up), is_inside(&down)) {
                    (true, false) => (up - &now) / step,
                    (false, true) => (&now - down) / step,
                    _ => (up - down) / (2.0 * step),
                },
                (Some(up), None) => (up - &now) / step,
                (None, Some(down)) => (&now - down) / step,
                (None, None) => return None,
            };
            slopes.set_column(column, &slope);
        }
        Some(Piece {
            taut: taut.to_vec(),
            stretches: slopes.rows(readings, lines).into_owned(),
            slopes: slopes.rows(0, readings).into_owned(),
        })
    }

    fn normal(&self) -> DMatrix<f64> {
        let unknowns = self.slopes.ncols();
        self.slopes.transpose() * &self.slopes + DMatrix::identity(unknowns, unknowns)
    }

    fn inverse(&self) -> Option<DMatrix<f64>> {
        Some(self.normal().cholesky()?.inverse())
    }

    /// Gives the step to the least sum of squares that is no further than the kinks around.
    fn step(&self, here: &Here) -> Option<DVector<f64>> {
        let downhill = self.slopes.transpose() * &here.residuals - &here.off;
        let free = self.normal().cholesky()?.solve(&downhill);
        let side = |line: usize| if self.taut[line] { 1.0 } else { -1.0 };
        let (lines, unknowns) = (self.taut.len(), here.off.len());
        let room_m = DVector::from_fn(lines, |line, _| f64::max(side(line) * here.stretch_m[line], 0.0));
        let grows = DMatrix::from_fn(lines, unknowns, |line, unknown| {
            side(line) * self.stretches[(line, unknown)]
        });
        if (&room_m + &grows * &free).iter().all(|room_m| *room_m >= 0.0) {
            return Some(free);
        }
        // The programme is square; kinks are told again where there are fewer of them than unknowns.
        let again = |row: usize| row % lines;
        let mut off = DVector::zeros(here.residuals.len() + unknowns);
        let mut moves = DMatrix::zeros(off.len(), unknowns);
        off.rows_mut(0, here.residuals.len()).copy_from(&-&here.residuals);
        off.rows_mut(here.residuals.len(), unknowns).copy_from(&here.off);
        moves.rows_mut(0, here.residuals.len()).copy_from(&self.slopes);
        moves
            .rows_mut(here.residuals.len(), unknowns)
            .fill_with_identity();
        let programme = Programme {
            wishes: vec![(off, moves)],
            near: Programme::nothing_near(unknowns),
            tensions: DVector::from_fn(unknowns, |row, _| room_m[again(row)]),
            pulls: DMatrix::from_fn(unknowns, unknowns, |row, column| grows[(again(row), column)]),
            least_n: DVector::zeros(unknowns),
        };
        Some(programme.solve())
    }
}

/// Puts lines that are at their kink on the side of it that is asked for.
fn beside_kinks(bench: &mut Bench<'_>, here: &Here, taut: &[bool]) -> Option<(Actual, Solution)> {
    let (mut actual, mut rest) = (here.actual.clone(), here.rest.clone());
    let mut far_m = BESIDE_KINK_M;
    for _ in 0..6 {
        let stretch_m = stretch_m(bench, &actual, &rest);
        let wrong: Vec<usize> = (0..taut.len())
            .filter(|line| {
                let beyond_m = if taut[*line] {
                    stretch_m[*line]
                } else {
                    -stretch_m[*line]
                };
                beyond_m < 2.0 * STEP_M && here.stretch_m[*line].abs() < BESIDE_KINK_M
            })
            .collect();
        if wrong.is_empty() {
            break;
        }
        for line in wrong {
            let to_m = if taut[line] { far_m } else { -far_m };
            actual.longer_m[line] += stretch_m[line] - to_m;
        }
        rest = bench.rest_from(&actual, None, &rest).ok()?;
        far_m *= 1.5;
    }
    Some((actual, rest))
}

/// Goes along the step of a piece, by half of it as often as need be, to where the sum of squares is less.
fn downhill(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    here: &Here,
    piece: &Piece,
) -> Option<Here> {
    let step = piece.step(here)?;
    let mut share = 1.0;
    for _ in 0..24 {
        let there = Here::new(bench, unknowns, observed, &(&here.off + &step * share));
        if let Some(there) = there.filter(|there| there.objective < here.objective) {
            return Some(there);
        }
        share *= 0.5;
    }
    None
}

/// Gives what a rig has where a reading was taken.
pub(crate) fn predicted(bench: &Bench<'_>, actual: &Actual, rest: &Solution, of: &Observed) -> f64 {
    match &of.of {
        Of::Tension { lines, upper } => {
            let end = usize::from(!*upper);
            lines.iter().map(|line| bench.tensions_n(rest, *line)[end]).sum()
        }
        Of::Height((load, None)) => bench.height_m(rest, *load),
        Of::Height((load, Some(pick))) => bench.pick_height_m(rest, *load, *pick),
        Of::Weight(load) => actual.weights[*load].weight_n,
    }
}

impl Fit {
    /// Gives the standard uncertainty of an unknown over its standard deviation beforehand.
    pub(crate) fn share_left(&self, index: usize) -> f64 {
        let far = |edge: &Edge| (edge.off[index] - self.off[index]).abs();
        let each = self.edges.iter().map(|pair| {
            let most = pair.iter().flatten().map(far).fold(0.0, f64::max);
            most * most
        });
        let alone = self.alone.iter().map(far);
        0.5 * alone.fold(each.sum::<f64>().sqrt(), f64::max)
    }

    /// Gives how many readings more than are needed there are: those of which unknowns that nothing was known of take none.
    pub(crate) fn redundancy(&self) -> f64 {
        let open = (0..self.unknowns.each.len()).filter(|i| self.unknowns.open[*i]);
        let taken: f64 = open.map(|i| 1.0 - self.covariance[(i, i)]).sum();
        (self.residuals.len() as f64 - taken).max(0.0)
    }

    /// Finds the rigs that the readings hardly allow, from which uncertainties come.
    #[must_use]
    pub(crate) fn with_edges(mut self, bench: &mut Bench<'_>, observed: &[Observed]) -> Self {
        self.edges = edges(bench, &self, observed);
        let (slack, edges) = slack_edges(bench, &self, observed);
        self.alone = open_edges(bench, &self, observed);
        self.alone.extend(edges);
        self.may_be_slack = slack;
        self
    }
}
