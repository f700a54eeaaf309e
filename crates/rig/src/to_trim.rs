//! The unloaded lengths that put everything that hangs where it is wanted.
//!
//! Of the lines "to trim" the lengths are found by Gauss and Newton's method. Each round solves the rig, and then a small
//! quadratic programme in the changes of length: no line to trim pulls less than a hundredth of their mean, so that all stay
//! taut; among the changes that leave that alone, every pick comes as near to its height as it can; then those of each load
//! together to where they are drawn; then every junction near to where it is drawn; and then the sum of the squares of the
//! tensions is least. For lines side by side that is the same as shares as even as can be; a line that carries others is not
//! evened out against them.
//!
//! Conventions: SI; changes by differences of solved rigs.
//! Assumes: stated forces are away while a rig is trimmed, since they come and go; secondary lines to trim are as long as
//! their way once the others are set, so that they just do not pull.
//! Valid for: rigs that hang. Where the search ends elsewhere, lengths stay as drawn and the verdict says so.
//! Source: least squares with inequalities by an active set, as in Nocedal and Wright, Numerical Optimization, chapter
//! 16 (from memory); the criterion and the hundredth are our judgement.
//! Checked by: tests/main/to_trim.rs (picks within 0.1 mm, closed forms of shares).

use crate::document::{End, Length, Rig};
use crate::model::Model;
use nalgebra::{DMatrix, DVector};
use practice::Role;
use statics::{
    AttachmentId, LineId, Options, Outcome, Solution, State, TopologyError, Vector3, Workspace, solve,
};

/// Rounds at the most; four or five are usual.
const ROUNDS: usize = 14;
/// Changes of length below this end the search, metres.
const SETTLED_M: f64 = 1e-7;
/// A way that differs by more than this from the one drawn leads elsewhere, metres.
const NEAR_M: f64 = 0.05;
/// By how much a secondary line to trim is longer than its way, metres.
const HAIR_M: f64 = 1e-4;
/// Step for differences, metres.
const STEP_M: f64 = 1e-5;
/// The least pull of a line to trim, as a share of their mean.
const LEAST: f64 = 0.01;

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
    if aim.picks.is_empty() && aim.junctions.is_empty() {
        return Ok(Trimmed::Nothing);
    }
    let mut lengths_m = aim.first_lengths_m(&drawn);
    let mut state = drawn.guess.clone();
    for _ in 0..ROUNDS {
        let trial = at_rest(rig, model(&with_lengths(rig, &aim.lines, &lengths_m))?);
        let Some(change_m) = aim.round(&trial, &mut state) else {
            return Ok(Trimmed::NotFound);
        };
        for (length_m, change_m) in lengths_m.iter_mut().zip(change_m.iter()) {
            // No step turns a line inside out.
            *length_m += change_m.clamp(-0.3 * *length_m, 0.3 * *length_m);
        }
        if change_m.amax() < SETTLED_M {
            let mut found = with_lengths(rig, &aim.lines, &lengths_m);
            let_secondary_hang(&drawn, &trial, &state, &mut found);
            return Ok(Trimmed::Found(Box::new(found)));
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

/// What is wanted: places of picks, by the lengths of lines.
struct Aim {
    lines: Vec<usize>,
    picks: Vec<(AttachmentId, Vector3<f64>)>,
    /// The picks of each load, by their places in the list.
    loads: Vec<Vec<usize>>,
    junctions: Vec<(statics::FrameId, Vector3<f64>)>,
}

impl Aim {
    /// Wants every pick that a line to trim touches where it is drawn, and then every junction near where it is drawn.
    fn new(drawn: &Model, lines: Vec<usize>) -> Self {
        let to_trim = || lines.iter().filter_map(|line| drawn.lines.get_index(*line));
        let touched = |end: &End| to_trim().any(|(_, line)| line.path.contains(end));
        let picks: Vec<_> = drawn
            .picks
            .iter()
            .filter(|((load, pick), _)| touched(&End::Pick(load.clone(), pick.clone())))
            .map(|((load, _), id)| (load, (*id, drawn.at_m(&drawn.guess, *id))))
            .collect();
        let mut loads: Vec<(&String, Vec<usize>)> = Vec::new();
        for (i, (load, _)) in picks.iter().enumerate() {
            match loads.iter_mut().find(|(known, _)| known == load) {
                Some((_, of)) => of.push(i),
                None => loads.push((load, vec![i])),
            }
        }
        let loads = loads.into_iter().map(|(_, of)| of).collect();
        let picks = picks.into_iter().map(|(_, pick)| pick).collect();
        let junctions = drawn.junctions.values();
        let junctions = junctions.map(|frame| (*frame, drawn.guess.position_m[frame.index()]));
        Self {
            lines,
            picks,
            loads,
            junctions: junctions.collect(),
        }
    }

    /// Guesses lengths: as drawn, less the stretch under tensions that come nearest to balancing the drawing.
    fn first_lengths_m(&self, drawn: &Model) -> Vec<f64> {
        let tensions_n = self.drawn_tensions_n(drawn);
        self.lines
            .iter()
            .zip(tensions_n)
            .map(|(line, tension_n)| {
                let at = drawn
                    .guess
                    .path_at_m(&drawn.topology, &drawn.parameters, LineId(*line as u32));
                let drawn_m: f64 = at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
                drawn_m / (1.0 + tension_n / drawn.parameters.lines[*line].stiffness_n)
            })
            .collect()
    }

    /// Finds the tensions, none below the least, that come nearest to balancing everything as drawn; of all such, small
    /// ones. By turns along each tension; a guess needs no more.
    fn drawn_tensions_n(&self, drawn: &Model) -> Vec<f64> {
        let (topology, parameters, guess) = (&drawn.topology, &drawn.parameters, &drawn.guess);
        let joined = topology.joined();
        let free = |frame: statics::FrameId| {
            topology.kind(frame) != statics::FrameKind::Fixed && !parameters.is_sprung(frame)
        };
        let rows = 6 * joined.len();
        let mut matrix = DMatrix::zeros(rows, self.lines.len());
        let mut load = DVector::zeros(rows);
        let add = |put: &mut dyn FnMut(usize, f64),
                   frame: statics::FrameId,
                   at: Vector3<f64>,
                   force: Vector3<f64>| {
            if free(frame) {
                let first = joined[frame.index()];
                let centre = guess.frame_at_m(topology, parameters, statics::FrameId(first as u32));
                let moment = (at - centre).cross(&force);
                for axis in 0..3 {
                    put(6 * first + axis, force[axis]);
                    put(6 * first + 3 + axis, moment[axis]);
                }
            }
        };
        for (column, line) in self.lines.iter().enumerate() {
            let id = LineId(*line as u32);
            let at = guess.path_at_m(topology, parameters, id);
            let pulls = guess.unit_pulls(topology, parameters, id);
            for ((attachment, at), pull) in topology.path(id).iter().zip(at).zip(pulls) {
                let put = &mut |row: usize, value: f64| matrix[(row, column)] += value;
                add(put, topology.frame_of(*attachment), at, pull);
            }
        }
        let mut total_n = 0.0;
        let mut hang = |frame: statics::FrameId, at: Vector3<f64>, force: Vector3<f64>| {
            total_n += force.norm();
            let put = &mut |row: usize, value: f64| load[row] += value;
            add(put, frame, at, force);
        };
        for frame in topology.frames() {
            let weight = Vector3::new(0.0, 0.0, -parameters.weight_n[frame.index()]);
            hang(frame, guess.centre_at_m(topology, parameters, frame), weight);
        }
        for force in &parameters.forces {
            let origin = guess.frame_at_m(topology, parameters, force.frame);
            let at = origin + guess.rotation[force.frame.index()] * force.offset_m;
            hang(force.frame, at, force.force_n);
        }
        for beam in topology.beams() {
            let half =
                parameters.beams[beam.index()].load_n_per_m * (0.5 * parameters.beams[beam.index()].length_m);
            for frame in topology.ends(beam) {
                hang(frame, guess.frame_at_m(topology, parameters, frame), half);
            }
        }
        let least_n = LEAST * total_n / self.lines.len() as f64;
        let normal =
            matrix.transpose() * &matrix + DMatrix::identity(self.lines.len(), self.lines.len()) * 1e-6;
        let wanted = -(matrix.transpose() * load);
        let mut tensions = DVector::from_element(self.lines.len(), least_n);
        for _ in 0..400 {
            for i in 0..tensions.len() {
                let rest = normal.row(i).dot(&tensions.transpose()) - normal[(i, i)] * tensions[i];
                tensions[i] = f64::max(least_n, (wanted[i] - rest) / normal[(i, i)]);
            }
        }
        tensions.iter().copied().collect()
    }

    /// Solves a rig from a state, which it moves on, and finds how to change the lengths; none if it does not hang.
    fn round(&self, trial: &Model, state: &mut State) -> Option<DVector<f64>> {
        let mut work = Workspace::new(&trial.topology);
        let options = Options {
            judge_drawn_pose: false,
            find_free_motions: false,
            ..Options::default()
        };
        let mut rest = |parameters: &statics::Parameters, from: &State| -> Option<Solution> {
            match solve(&trial.topology, parameters, from, &options, &mut work) {
                Ok(Outcome::Found(solution)) => Some(solution),
                _ => None,
            }
        };
        let found = rest(&trial.parameters, state)?;
        *state = found.state.clone();
        let (off, tensions) = (self.off_m(trial, &found), self.tensions_n(&found));
        let count = self.lines.len();
        let mut moves = off.clone().map(|off| DMatrix::zeros(off.len(), count));
        let mut pulls = DMatrix::zeros(count, count);
        for (column, line) in self.lines.iter().enumerate() {
            let mut longer = trial.parameters.clone();
            longer.lines[*line].unloaded_length_m += STEP_M;
            let there = rest(&longer, &found.state)?;
            for ((moves, then), now) in moves.iter_mut().zip(self.off_m(trial, &there)).zip(&off) {
                moves.set_column(column, &((then - now) / STEP_M));
            }
            pulls.set_column(column, &((self.tensions_n(&there) - &tensions) / STEP_M));
        }
        let programme = Programme {
            wishes: off.into_iter().zip(moves).collect(),
            tensions,
            pulls,
        };
        Some(self.take_up_slack(trial, &found, programme.solve()))
    }

    /// A slack line tells nothing of what its length does: it is made just taut.
    fn take_up_slack(&self, trial: &Model, found: &Solution, mut change_m: DVector<f64>) -> DVector<f64> {
        for (column, line) in self.lines.iter().enumerate() {
            let result = found.line(LineId(*line as u32));
            if result.slack && result.tension_n <= 0.0 {
                change_m[column] =
                    result.length_m * (1.0 - 1e-5) - trial.parameters.lines[*line].unloaded_length_m;
            }
        }
        change_m
    }

    /// Gives how far picks are off in height, how far those of each load are off aside together, and how far junctions are
    /// off, metres. A load that turns freely about the vertical may be turned anyhow.
    fn off_m(&self, model: &Model, found: &Solution) -> [DVector<f64>; 3] {
        let off = |(pick, place): &(AttachmentId, Vector3<f64>)| model.at_m(&found.state, *pick) - place;
        let heights = self.picks.iter().map(|pick| off(pick).z);
        let aside = self.loads.iter().flat_map(|picks| {
            let sum: Vector3<f64> = picks.iter().map(|pick| off(&self.picks[*pick])).sum();
            let mean = sum / picks.len() as f64;
            [mean.x, mean.y]
        });
        let junctions = self.junctions.iter().flat_map(|(frame, place)| {
            let off = found.state.position_m[frame.index()] - place;
            [off.x, off.y, off.z]
        });
        [
            DVector::from_iterator(self.picks.len(), heights),
            DVector::from_iterator(2 * self.loads.len(), aside),
            DVector::from_iterator(3 * self.junctions.len(), junctions),
        ]
    }

    fn tensions_n(&self, found: &Solution) -> DVector<f64> {
        let each = self
            .lines
            .iter()
            .map(|line| found.line(LineId(*line as u32)).tension_n);
        DVector::from_iterator(self.lines.len(), each)
    }
}

/// A quadratic programme in changes of length.
pub(crate) struct Programme {
    /// How far things are off, metres, and how that changes; what comes first matters most.
    pub(crate) wishes: Vec<(DVector<f64>, DMatrix<f64>)>,
    /// Tensions, newtons, and how they change.
    pub(crate) tensions: DVector<f64>,
    pub(crate) pulls: DMatrix<f64>,
}

/// Changes of length that move things by less than this share of themselves leave them alone.
const LEAVES_ALONE: f64 = 1e-3;

impl Programme {
    /// Solves it: no line below the least pull first, then what is wished, in order, then the least sum of squares.
    pub(crate) fn solve(&self) -> DVector<f64> {
        let least_n = LEAST * self.tensions.sum().max(0.0) / self.tensions.len() as f64;
        let mut held: Vec<usize> = Vec::new();
        loop {
            let change = self.with_held(&held, least_n);
            let then = &self.tensions + &self.pulls * &change;
            let lowest = (0..then.len())
                .filter(|line| !held.contains(line) && then[*line] < least_n * (1.0 - 1e-3))
                .min_by(|a, b| then[*a].total_cmp(&then[*b]));
            match lowest {
                Some(line) => held.push(line),
                None => return change,
            }
        }
    }

    fn with_held(&self, held: &[usize], least_n: f64) -> DVector<f64> {
        let count = self.tensions.len();
        let mut change = DVector::zeros(count);
        // The changes that leave alone all that has been seen to, one a column.
        let mut alone = DMatrix::identity(count, count);
        // Pulls as lengths: by the greatest stiffness.
        let stiffest = self.pulls.amax().max(f64::MIN_POSITIVE);
        let off = held.iter().map(|i| (self.tensions[*i] - least_n) / stiffest);
        let off = DVector::from_iterator(held.len(), off);
        let moves = DMatrix::from_fn(held.len(), count, |row, column| {
            self.pulls[(held[row], column)] / stiffest
        });
        let first = [(off, moves)];
        for (off, moves) in first
            .iter()
            .chain(&self.wishes)
            .filter(|(off, _)| !off.is_empty())
        {
            if alone.ncols() == 0 {
                break;
            }
            let off = off + moves * &change;
            let (nearest, left) = nearest(&off, &(moves * &alone));
            change += &alone * nearest;
            alone = &alone * left;
        }
        if alone.ncols() == 0 {
            return change;
        }
        let tensions = &self.tensions + &self.pulls * &change;
        let pulls = &self.pulls * &alone;
        let (smallest, unknowns) = (1e-9 * pulls.amax(), pulls.ncols());
        let evened = pulls.svd(true, true).solve(&-tensions, smallest);
        change + alone * evened.unwrap_or_else(|_| DVector::zeros(unknowns))
    }
}

/// Gives the amounts that bring things nearest, and the amounts that leave them alone, one a column.
fn nearest(off: &DVector<f64>, moves: &DMatrix<f64>) -> (DVector<f64>, DMatrix<f64>) {
    let count = moves.ncols();
    let eigen = (moves.transpose() * moves).symmetric_eigen();
    let slope = moves.transpose() * off;
    let mut nearest = DVector::zeros(count);
    let mut alone = Vec::new();
    for (value, direction) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > LEAVES_ALONE * LEAVES_ALONE {
            nearest -= direction * (direction.dot(&slope) / value);
        } else {
            alone.push(direction.into_owned());
        }
    }
    let alone = if alone.is_empty() {
        DMatrix::zeros(count, 0)
    } else {
        DMatrix::from_columns(&alone)
    };
    (nearest, alone)
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
