//! A search for the lengths that put everything where it is wanted.
//!
//! Newton's method with the pulls of the lines as what is chosen. At a pose, each line is as long as lets it
//! pull what it should; statics says what would bring balance from there, and what each length changes; and a small quadratic
//! programme finds the changes of length: no line below its least pull, so that all stay taut; and then the least sum of
//! the squares of the tensions, together with how far picks are from their heights, and centres of gravity, headings and
//! junctions from where they are drawn. Where the rig so changed comes to rest nearby, the next round begins there, and else at
//! the pose that was aimed at.
//!
//! Conventions: SI.
//! Assumes: nothing; no line need be taut to begin with.
//! Valid for: rigs that hang where they are wanted.
//! Source: sequential quadratic programming, as in Nocedal and Wright, Numerical Optimization, chapter 18 (from memory); the
//! criterion and the hundredth are our judgement.
//! Checked by: tests/main/to_trim.rs, tests/main/adjust.rs.

use super::aim::Aim;
use super::programme::Programme;
use super::stride::Stride;
use crate::model::Model;
use nalgebra::{DMatrix, DVector};
use statics::{
    Change, FrameId, LineId, Options, Outcome, Parameters, Solution, State, Toward, Workspace, solve,
    toward_balance, unloaded_length_m,
};

/// Rounds at the most; four or five are usual.
pub(crate) const ROUNDS: usize = 100;
/// Changes of length below this end the search, metres.
const SETTLED_M: f64 = 1e-7;
/// Where the search gets no further, lengths that ask for less than this are taken, metres: far less than anybody makes them to.
const NEARLY_M: f64 = 1e-3;
/// The least pull of a line to trim, as a share of an even share of the lightest load that it touches.
const LEAST: f64 = 0.01;
/// Half of this nearer outweighs pulls that are off by all of their mean, metres: for a pick nearer to its height; for a load
/// nearer to where it is drawn, seen from above; for a junction.
const COUNTS_M: [f64; 3] = [1e-5, 1e-3, 1e-3];
/// What a pull costs that is short of its least by the mean of all.
const SHORT: f64 = 1e3;
/// How far one round may move things: a share of the longest line to trim.
const REACH: f64 = 0.2;
/// The least share of the way that a round goes.
const LEAST_SHARE: f64 = 0.02;

/// Where the search is.
pub(crate) struct Search {
    /// The pose aimed at, with the lengths that go with it.
    state: State,
    pub(crate) lengths_m: Vec<f64>,
    /// The least that each line to trim is to pull, newtons.
    least_n: DVector<f64>,
    /// How far one round may move things, metres.
    reach_m: f64,
    /// Where the last round that came nearer began, and what it found there.
    last: Option<Begun>,
    /// The share of the way that a round goes.
    share: f64,
}

/// A pose that a round began at, with what statics says of it and the changes of length that are best from there.
struct Begun {
    state: State,
    /// The lengths with which it is at rest there, and what it comes to; none where it is not.
    at_rest: Option<(Vec<f64>, f64)>,
    toward: Toward,
    change_m: DVector<f64>,
    /// The greatest change of length that is asked for, metres.
    asks_m: f64,
}

/// How a round ended.
pub(crate) enum Round {
    /// It goes on with other lengths.
    Goes,
    /// The rig is at rest with its lengths, and better ones are hardly to be had.
    Settled,
}

impl Search {
    /// Begins as drawn, every line pulling an even share of everything that hangs.
    pub(crate) fn as_drawn(drawn: &Model, aim: &Aim) -> Self {
        let weight_n: f64 = drawn.loads.values().map(|load| load.weight_n.value()).sum();
        let even_n = (weight_n / aim.lines.len() as f64).max(1.0);
        let pulls_n = DVector::from_element(aim.lines.len(), even_n);
        let lengths_m = lengths_m(drawn, &drawn.guess, &aim.lines, &pulls_n);
        let least_n = least_n(drawn, &aim.lines, even_n);
        Self::begun(drawn.guess.clone(), lengths_m, least_n)
    }

    /// Begins at a pose with some lengths of the lines, of which none is to pull less than its least.
    pub(crate) fn begun(state: State, lengths_m: Vec<f64>, least_n: DVector<f64>) -> Self {
        let longest_m = lengths_m.iter().copied().fold(0.0, f64::max);
        Self {
            state,
            lengths_m,
            least_n,
            reach_m: REACH * longest_m,
            last: None,
            share: 1.0,
        }
    }

    /// Lets the rig come to rest, and finds better lengths. `trial` has the lengths that were found before.
    pub(crate) fn round(&mut self, aim: &Aim, trial: &Model) -> Option<Round> {
        let mut work = Workspace::new(&trial.topology);
        let options = Options {
            judge_drawn_pose: false,
            find_free_motions: false,
            ..Options::default()
        };
        let (topology, given) = (&trial.topology, &trial.parameters);
        let at_rest = match solve(topology, given, &self.state, &options, &mut work) {
            Ok(Outcome::Found(found)) if aim.is_near(trial, [&found.state, &self.state], self.reach_m) => {
                Some(found)
            }
            _ => None,
        };
        let comes_to = at_rest.as_ref().map(|found| self.comes_to(aim, trial, found));
        if let (Some(last), Some(comes_to)) = (&self.last, comes_to)
            && last.at_rest.as_ref().is_some_and(|(_, was)| comes_to > *was)
        {
            self.state = last.state.clone();
            if self.share <= LEAST_SHARE {
                return self.is_nearly_settled().then_some(Round::Settled);
            }
            self.share *= 0.5;
            self.go(aim, trial);
            return Some(Round::Goes);
        }
        if let Some(found) = &at_rest {
            self.state = found.state.clone();
        }
        let mut parameters = trial.parameters.clone();
        self.take_up_slack(aim, trial, at_rest.as_ref(), &mut parameters);
        let toward = toward_balance(&trial.topology, &parameters, &self.state, &mut work).ok()?;
        let stride = Stride {
            toward: &toward,
            lines: &aim.lines,
        };
        let change_m = self.programme(aim, trial, &stride).solve();
        let asks_m = (0..aim.lines.len()).map(|i| {
            let given_m = parameters.lines[aim.lines[i]].unloaded_length_m;
            (given_m + change_m[i] - self.lengths_m[i]).abs()
        });
        let asks_m = asks_m.fold(0.0, f64::max);
        self.share = f64::min(2.0 * self.share, 1.0);
        self.last = Some(Begun {
            state: self.state.clone(),
            at_rest: comes_to.map(|comes_to| (self.lengths_m.clone(), comes_to)),
            toward,
            change_m,
            asks_m,
        });
        if asks_m < SETTLED_M && comes_to.is_some() {
            return Some(Round::Settled);
        }
        self.go(aim, trial);
        Some(Round::Goes)
    }

    /// Gives the pose at rest that came nearest to what is wanted, with its lengths, if it is as good as settled.
    pub(crate) fn found(&self) -> Option<(&State, &[f64])> {
        let last = self.last.as_ref().filter(|_| self.is_nearly_settled())?;
        let (lengths_m, _) = last.at_rest.as_ref()?;
        Some((&last.state, lengths_m))
    }

    fn is_nearly_settled(&self) -> bool {
        let last = self.last.as_ref();
        last.is_some_and(|last| last.at_rest.is_some() && last.asks_m < NEARLY_M)
    }

    /// Goes a share of the way that the last round found.
    fn go(&mut self, aim: &Aim, trial: &Model) {
        let Some(last) = &self.last else { return };
        let stride = Stride {
            toward: &last.toward,
            lines: &aim.lines,
        };
        let pulls_n = stride.go(&last.change_m, (self.reach_m, self.share), &mut self.state);
        let pulls_n = pulls_n.zip_map(&self.least_n, f64::max);
        self.lengths_m = lengths_m(trial, &self.state, &aim.lines, &pulls_n);
    }

    /// Says what a rig at rest comes to: the sum that the programmes make least, and what pulls are short of their least.
    fn comes_to(&self, aim: &Aim, trial: &Model, found: &Solution) -> f64 {
        let tensions = aim.lines.iter().map(|line| found.lines[*line].tension_n);
        let tensions = DVector::from_iterator(aim.lines.len(), tensions);
        let mean_n = tensions.mean().max(self.least_n.max());
        let uneven = 0.5 * (&tensions / mean_n).norm_squared();
        let short_n = tensions.zip_map(&self.least_n, |is_n, least_n| f64::max(least_n - is_n, 0.0));
        let off = aim.off_m(trial, &found.state);
        let off = off.iter().zip(COUNTS_M).map(|(off_m, counts_m)| {
            let off_m = off_m.norm();
            let share = off_m / counts_m;
            if off_m < counts_m {
                0.5 * share * share
            } else {
                share - 0.5
            }
        });
        uneven + SHORT * short_n.sum() / mean_n + off.sum::<f64>()
    }

    /// Makes every line to trim that is slack, or all but slack, as short as lets it pull its least.
    fn take_up_slack(&self, aim: &Aim, trial: &Model, found: Option<&Solution>, parameters: &mut Parameters) {
        for (line, least_n) in aim.lines.iter().zip(self.least_n.iter()) {
            let id = LineId(*line as u32);
            let pulls = found
                .map(|found| found.line(id))
                .is_none_or(|line| line.tension_n >= 0.5 * least_n);
            if !pulls
                && let Ok(length_m) =
                    unloaded_length_m(&trial.topology, &trial.parameters, &self.state, id, *least_n)
            {
                parameters.lines[*line].unloaded_length_m = length_m;
            }
        }
    }

    /// Says what is wanted of the changes of length from the pose.
    fn programme(&self, aim: &Aim, trial: &Model, stride: &Stride<'_>) -> Programme {
        let toward = stride.toward;
        let by_length: Vec<&Change> = aim.lines.iter().map(|line| &toward.by_length[*line]).collect();
        let moves = aim.moves(trial, &self.state, &by_length);
        let off = aim.off_m(trial, &self.state);
        let balance = aim.moved_m(trial, &self.state, &toward.balance);
        let each = off.into_iter().zip(balance).zip(moves).zip(COUNTS_M);
        let each = each.map(|(((off_m, balance_m), moves), counts_m)| Near {
            off_m,
            balance_m,
            moves,
            counts_m,
        });
        let each: Vec<Near> = each.collect();
        let (tensions, pulls) = stride.pulls();
        Programme {
            wishes: Vec::new(),
            near: near(&each, aim.lines.len()),
            tensions,
            pulls,
            least_n: self.least_n.clone(),
        }
    }
}

/// Something that is to be near where it is drawn.
struct Near {
    /// How far it is off, how far balance moves it, metres, and how lengths do.
    off_m: DVector<f64>,
    balance_m: DVector<f64>,
    moves: DMatrix<f64>,
    /// By how much nearer counts as much as a pull that is off by the mean of all, metres.
    counts_m: f64,
}

/// Weighs what is to be near. Far off, nearer by so much counts no less, and no more.
fn near(each: &[Near], lines: usize) -> (DVector<f64>, DMatrix<f64>) {
    let rows = each.iter().map(|near| near.off_m.len()).sum();
    let mut all = (DVector::zeros(rows), DMatrix::zeros(rows, lines));
    let mut first = 0;
    for near in each {
        let count = near.off_m.len();
        let weight = 1.0 / (near.counts_m * near.off_m.norm().max(near.counts_m)).sqrt();
        let then_m = &near.off_m + &near.balance_m;
        all.0.rows_mut(first, count).copy_from(&(then_m * weight));
        all.1.rows_mut(first, count).copy_from(&(&near.moves * weight));
        first += count;
    }
    all
}

/// Gives the lengths at which lines pull so much in a state, metres; as long as they are where that cannot be told.
fn lengths_m(model: &Model, state: &State, lines: &[usize], pulls_n: &DVector<f64>) -> Vec<f64> {
    let each = lines.iter().zip(pulls_n.iter());
    each.map(|(line, pull_n)| {
        unloaded_length_m(
            &model.topology,
            &model.parameters,
            state,
            LineId(*line as u32),
            *pull_n,
        )
        .unwrap_or(model.parameters.lines[*line].unloaded_length_m)
    })
    .collect()
}

/// Gives the least that a line is to pull, from an even share and its own weight, newtons.
pub(crate) fn least_of_n(share_n: f64, own_n: f64) -> f64 {
    f64::max(LEAST * share_n, f64::min(1.1 * own_n, 0.25 * share_n))
}

/// Gives the least that each line is to pull: a hundredth of an even share of the lightest load that it touches, and of all
/// that hangs where it touches none; but its own weight, so that it is not limp, where that is no more than a quarter.
fn least_n(model: &Model, lines: &[usize], even_n: f64) -> DVector<f64> {
    let share_n = |line: usize| {
        let touches = |frames: &[FrameId]| {
            let path = model.topology.path(LineId(line as u32));
            path.iter().any(|a| frames.contains(&model.topology.frame_of(*a)))
        };
        let loads = model.loads.values().filter(|load| touches(load.frames()));
        let shares = loads.map(|load| load.weight_n.value() / model.lines_of(load).len() as f64);
        shares.filter(|share_n| *share_n > 0.0).fold(even_n, f64::min)
    };
    let each = lines
        .iter()
        .map(|line| least_of_n(share_n(*line), model.parameters.lines[*line].weight_n));
    DVector::from_iterator(lines.len(), each)
}
