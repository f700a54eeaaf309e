//! The unloaded lengths that put everything that hangs where it is wanted.
//!
//! Newton's method with the pulls of the lines to trim as what is chosen. At a pose, each line to trim is as long as lets it
//! pull what it should; statics says what would bring balance from there, and what each length changes; and a small quadratic
//! programme finds the changes of length: no line to trim below its least pull, so that all stay taut; and then the least sum of
//! the squares of the tensions, together with how far picks are from their heights, and centres of gravity and junctions from
//! where they are drawn. Where the rig so changed comes to rest
//! nearby, the next round begins there, and else at the pose that was aimed at.
//!
//! Conventions: SI.
//! Assumes: stated forces are away while a rig is trimmed, since they come and go; secondary lines to trim are as long as
//! their way once the others are set, so that they just do not pull.
//! Valid for: rigs that hang. Where the search ends elsewhere, lengths stay as drawn and the verdict says so.
//! Source: sequential quadratic programming, as in Nocedal and Wright, Numerical Optimization, chapter 18 (from memory); the
//! criterion and the hundredth are our judgement.
//! Checked by: tests/main/to_trim.rs (picks within 0.1 mm, closed forms of shares).

mod aim;
mod programme;
mod stride;

pub(crate) use programme::Programme;
pub(crate) use stride::Stride;

use crate::document::{Length, Rig};
use crate::model::Model;
use aim::Aim;
use nalgebra::{DMatrix, DVector};
use practice::Role;
use statics::{
    Change, FrameId, LineId, Options, Outcome, Solution, State, TopologyError, Vector3, Workspace, solve,
    toward_balance, unloaded_length_m,
};

/// Rounds at the most; four or five are usual.
const ROUNDS: usize = 60;
/// Changes of length below this end the search, metres.
const SETTLED_M: f64 = 1e-7;
/// A way that differs by more than this from the one drawn leads elsewhere, metres.
const NEAR_M: f64 = 0.05;
/// By how much a secondary line to trim is longer than its way, metres.
const HAIR_M: f64 = 1e-4;
/// The least pull of a line to trim, as a share of an even share of the lightest load that it touches.
const LEAST: f64 = 0.01;
/// Half of this nearer outweighs pulls that are off by all of their mean, metres: for a pick nearer to its height; for a load
/// nearer to where it is drawn, seen from above; for a junction.
const HEIGHT_M: f64 = 1e-5;
const ASIDE_M: f64 = 1e-3;
const LOOSE_M: f64 = 1e-3;
/// How far one round may move things: a share of the longest line to trim.
const REACH: f64 = 0.2;

/// The least share of the way that a round goes.
const LEAST_SHARE: f64 = 0.05;

/// What came of trimming a rig.
#[derive(Debug)]
pub(crate) enum Trimmed {
    /// No line of it is to trim.
    Nothing,
    /// The rig with the lengths found.
    Found(Box<Rig>),
    /// No lengths were found; lines are as long as drawn.
    NotFound,
}

/// Finds the lengths of the lines to trim. `model` makes the mechanics of a rig.
pub(crate) fn to_trim(
    rig: &Rig,
    model: impl Fn(&Rig) -> Result<Model, TopologyError>,
) -> Result<Trimmed, TopologyError> {
    let lines: Vec<usize> = rig
        .lines
        .values()
        .enumerate()
        .filter(|(_, line)| line.length == Length::ToTrim && line.role != Some(Role::Secondary))
        .map(|(i, _)| i)
        .collect();
    if lines.is_empty() {
        return Ok(Trimmed::Nothing);
    }
    let drawn = at_rest(rig, model(rig)?);
    let aim = Aim::new(&drawn, lines);
    if aim.is_empty() {
        return Ok(Trimmed::Nothing);
    }
    let mut search = Search::new(&drawn, &aim);
    for _ in 0..ROUNDS {
        let trial = at_rest(rig, model(&with_lengths(rig, &aim.lines, &search.lengths_m))?);
        match search.round(&aim, &trial) {
            Some(Round::Goes { lengths_m }) => search.lengths_m = lengths_m,
            Some(Round::Settled) => {
                let mut found = with_lengths(rig, &aim.lines, &search.lengths_m);
                let_secondary_hang(&drawn, &trial, &search.state, &mut found);
                return Ok(Trimmed::Found(Box::new(found)));
            }
            None => return Ok(Trimmed::NotFound),
        }
    }
    Ok(Trimmed::NotFound)
}

/// Gives the rig with other lengths of some lines.
fn with_lengths(rig: &Rig, lines: &[usize], lengths_m: &[f64]) -> Rig {
    let mut rig = rig.clone();
    for (line, length_m) in lines.iter().zip(lengths_m) {
        if let Some((_, line)) = rig.lines.get_index_mut(*line) {
            line.length = Length::Found(*length_m);
        }
    }
    rig
}

/// Takes the stated forces away, and the lines that are meant to be slack and to trim.
fn at_rest(rig: &Rig, mut model: Model) -> Model {
    for (line, document) in model.parameters.lines.iter_mut().zip(rig.lines.values()) {
        line.active = !(document.length == Length::ToTrim && document.role == Some(Role::Secondary));
    }
    let stated = model.stated_forces.len();
    for force in model.parameters.forces.iter_mut().take(stated) {
        force.force_n = Vector3::zeros();
    }
    model
}

/// Where the search is.
struct Search {
    /// The pose aimed at, with the lengths that go with it.
    state: State,
    lengths_m: Vec<f64>,
    /// The least that each line to trim is to pull, newtons.
    least_n: DVector<f64>,
    /// How far one round may move things, metres.
    reach_m: f64,
    /// The least change of length that any round asked for, metres.
    nearest_m: f64,
    /// The share of the way that a round goes.
    share: f64,
}

/// How a round ended.
enum Round {
    /// It goes on with these lengths.
    Goes { lengths_m: Vec<f64> },
    /// The rig is at rest with its lengths, and better ones are not to be had.
    Settled,
}

impl Search {
    /// Begins as drawn, every line pulling an even share of everything that hangs.
    fn new(drawn: &Model, aim: &Aim) -> Self {
        let weight_n: f64 = drawn.loads.values().map(|load| load.weight_n.value()).sum();
        let even_n = (weight_n / aim.lines.len() as f64).max(1.0);
        let pulls_n = DVector::from_element(aim.lines.len(), even_n);
        let state = drawn.guess.clone();
        let lengths_m = lengths_m(drawn, &state, &aim.lines, &pulls_n);
        let longest_m = lengths_m.iter().copied().fold(0.0, f64::max);
        Self {
            state,
            lengths_m,
            least_n: least_n(drawn, &aim.lines, even_n),
            reach_m: REACH * longest_m,
            nearest_m: f64::INFINITY,
            share: 1.0,
        }
    }

    /// Lets the rig come to rest, and finds better lengths.
    fn round(&mut self, aim: &Aim, trial: &Model) -> Option<Round> {
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
        let longer = |(i, line): (usize, &usize)| {
            parameters.lines[*line].unloaded_length_m + change_m[i] - self.lengths_m[i]
        };
        let most_m = aim
            .lines
            .iter()
            .enumerate()
            .map(longer)
            .fold(0.0, |most, x| f64::max(most, x.abs()));
        if at_rest.is_some() && most_m < SETTLED_M {
            return Some(Round::Settled);
        }
        // Where rounds do not come nearer, each goes a part of the way.
        if most_m < 0.8 * self.nearest_m {
            self.nearest_m = most_m;
            self.share = f64::min(2.0 * self.share, 1.0);
        } else {
            self.share = f64::max(0.7 * self.share, LEAST_SHARE);
        }
        let pulls_n = stride.go(&change_m, (self.reach_m, self.share), &mut self.state);
        let pulls_n = pulls_n.zip_map(&self.least_n, f64::max);
        let lengths_m = lengths_m(trial, &self.state, &aim.lines, &pulls_n);
        Some(Round::Goes { lengths_m })
    }

    /// Makes every line to trim that is slack, or all but slack, as short as lets it pull its least.
    fn take_up_slack(
        &self,
        aim: &Aim,
        trial: &Model,
        found: Option<&Solution>,
        parameters: &mut statics::Parameters,
    ) {
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
        let [heights, aside, loose] = aim.off_m(trial, &self.state);
        let [up_m, across_m, about_m] = aim.moved_m(trial, &self.state, &toward.balance);
        let [up, across, about] = moves;
        let lines = aim.lines.len();
        let is_near = |off_m, balance_m, moves, counts_m| Near {
            off_m,
            balance_m,
            moves,
            counts_m,
        };
        let each = [
            is_near(heights, up_m, up, HEIGHT_M),
            is_near(aside, across_m, across, ASIDE_M),
            is_near(loose, about_m, about, LOOSE_M),
        ];
        let (tensions, pulls) = stride.pulls();
        Programme {
            wishes: Vec::new(),
            near: near(&each, lines),
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
        let weight = 1.0 / (near.counts_m * near.off_m.amax().max(near.counts_m)).sqrt();
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

/// Makes secondary lines to trim a hair longer than their way with everything where it comes to rest without them. Where that is
/// far from the drawing they hold something, and are as long as drawn, so that the rules see it.
fn let_secondary_hang(drawn: &Model, trial: &Model, state: &State, rig: &mut Rig) {
    let way_m = |model: &Model, state: &State, line: usize| -> f64 {
        let at = state.path_at_m(&model.topology, &model.parameters, LineId(line as u32));
        at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum()
    };
    for (i, line) in rig.lines.values_mut().enumerate() {
        if line.length == Length::ToTrim {
            let (as_drawn_m, at_rest_m) = (way_m(drawn, &drawn.guess, i), way_m(trial, state, i));
            let is_near = (at_rest_m - as_drawn_m).abs() < NEAR_M;
            line.length = Length::Found(if is_near { at_rest_m + HAIR_M } else { as_drawn_m });
        }
    }
}
