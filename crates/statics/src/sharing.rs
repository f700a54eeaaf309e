//! Every way in which taut lines can share what hangs, in one pose.
//!
//! Conventions: SI; tensions by line; see docs/theory/sharing.md.
//! Assumes: lengths are never exact, so any tensions that balance every load and junction in the pose, none
//! negative, may come about. A pose gives a little: an unbalance of less than [`GIVES`] of the tensions that make it
//! is taken up by a shift or a tilt, so what only such an unbalance forbids is allowed.
//! Valid for: an equilibrium; pieces (lines joined through loads and junctions) of up to [`MOST_LINES`] lines.
//! Source: equilibrium as a linear programme, the lower bound theorem's set of admissible tensions read the other
//! way round (Heyman*, from memory); null space by the symmetric eigenvectors of A'A.
//! Checked by: tests/sharing.rs; crates/rig/tests/main/sharing.rs.

use crate::ids::{FrameId, LineId};
use crate::parameters::Parameters;
use crate::solution::Solution;
use crate::topology::{FrameKind, Topology};
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use nalgebra::{DMatrix, Vector3};

/// Sine of the angle, or lever over size, below which a line does next to nothing against an unbalance.
pub const GIVES: f64 = 0.05;

/// Pieces with more lines are left out: the answer would cost more than the solve.
pub const MOST_LINES: usize = 48;

/// What one line, or a sum of shares of lines, can come to.
#[derive(Debug, Clone, PartialEq)]
pub enum Greatest {
    /// At most this much, with these tensions of the lines of the piece.
    Bounded {
        /// The sum asked for, N.
        value_n: f64,
        /// Tensions by [`LineId`], N; lines of other pieces keep theirs.
        tensions_n: Vec<f64>,
    },
    /// As much as is pulled: lines pull against one another.
    Unbounded,
}

/// The ways in which the lines of one piece can share.
#[derive(Debug, Clone)]
pub struct Sharing {
    lines: Vec<LineId>,
    /// Tensions found, N.
    found_n: Vec<f64>,
    /// Unit vectors in the space of tensions along which a change would unbalance the piece.
    fixed: Vec<Vec<f64>>,
}

impl Sharing {
    /// Splits the lines that count into pieces and finds how each can share. None stands for a piece too large.
    pub fn pieces(
        topology: &Topology,
        parameters: &Parameters,
        solution: &Solution,
        counts: impl Fn(LineId) -> bool,
    ) -> Vec<(Vec<LineId>, Option<Sharing>)> {
        let lines = topology
            .lines()
            .filter(|line| parameters.lines[line.index()].active && counts(*line));
        let split = topology.pieces(parameters, lines.collect());
        split
            .into_iter()
            .map(|lines| {
                let small = lines.len() <= MOST_LINES;
                let sharing = small.then(|| Sharing::of(topology, parameters, solution, lines.clone()));
                (lines, sharing)
            })
            .collect()
    }

    fn of(topology: &Topology, parameters: &Parameters, solution: &Solution, lines: Vec<LineId>) -> Self {
        let stiff = Stiff::of(topology, parameters, solution);
        let columns: Vec<Vec<Wrench>> = lines
            .iter()
            .map(|line| wrenches(topology, parameters, solution, &stiff, *line))
            .collect();
        let normal = DMatrix::from_fn(lines.len(), lines.len(), |i, j| dot(&columns[i], &columns[j]));
        let eigen = normal.symmetric_eigen();
        let fixed = (0..lines.len()).filter(|k| eigen.eigenvalues[*k] > GIVES * GIVES);
        let fixed = fixed
            .map(|k| eigen.eigenvectors.column(k).iter().copied().collect())
            .collect();
        let found_n = lines.iter().map(|line| solution.line(*line).tension_n).collect();
        Sharing {
            lines,
            found_n,
            fixed,
        }
    }

    /// Lines of the piece.
    pub fn lines(&self) -> &[LineId] {
        &self.lines
    }

    /// True when statics alone does not decide the tensions.
    pub fn hangs_on_lengths(&self) -> bool {
        self.fixed.len() < self.lines.len()
    }

    /// Greatest sum of tensions, each times its weight in the sum, over all ways of sharing.
    ///
    /// `weight` is 1 for one line and 0 for all others to ask for that line's greatest tension.
    pub fn greatest(&self, solution: &Solution, weight: impl Fn(LineId) -> f64) -> Greatest {
        let scale_n = self.found_n.iter().copied().fold(0.0, f64::max);
        if scale_n <= 0.0 || !self.hangs_on_lengths() {
            return self.as_found(solution, weight);
        }
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let tensions: Vec<_> = self
            .lines
            .iter()
            .map(|line| problem.add_var(weight(*line), (0.0, f64::INFINITY)))
            .collect();
        for direction in &self.fixed {
            let found: f64 = direction
                .iter()
                .zip(&self.found_n)
                .map(|(v, t)| v * t / scale_n)
                .sum();
            let terms: Vec<_> = tensions.iter().copied().zip(direction.iter().copied()).collect();
            problem.add_constraint(&terms, ComparisonOp::Eq, found);
        }
        // What the programme can not bound, for whatever reason, is not bounded.
        let Some(best) = problem
            .solve()
            .ok()
            .and_then(|outcome| outcome.into_solution().ok())
        else {
            return Greatest::Unbounded;
        };
        let mut tensions_n: Vec<f64> = solution.lines.iter().map(|line| line.tension_n).collect();
        let mut value_n = 0.0;
        for (line, tension) in self.lines.iter().zip(&tensions) {
            let tension_n = scale_n * best.var_value(*tension);
            value_n += weight(*line) * tension_n;
            tensions_n[line.index()] = tension_n;
        }
        // Where the pose all but bounds nothing, the programme ends where a hair's breadth of unbalance stops it.
        let total_n: f64 = self.found_n.iter().sum();
        let largest_n = self
            .lines
            .iter()
            .map(|line| tensions_n[line.index()])
            .fold(0.0, f64::max);
        if largest_n > total_n / GIVES {
            return Greatest::Unbounded;
        }
        Greatest::Bounded { value_n, tensions_n }
    }

    fn as_found(&self, solution: &Solution, weight: impl Fn(LineId) -> f64) -> Greatest {
        Greatest::Bounded {
            value_n: self
                .lines
                .iter()
                .zip(&self.found_n)
                .map(|(line, t)| weight(*line) * t)
                .sum(),
            tensions_n: solution.lines.iter().map(|line| line.tension_n).collect(),
        }
    }
}

/// What is rigid here, the force on it, and the moment about its centre over its size.
type Wrench = (usize, Vector3<f64>, Vector3<f64>);

/// What counts as rigid: each body and junction, and each pipe as a whole, however it bends.
struct Stiff {
    /// For each frame, the first frame of what it belongs to.
    of: Vec<usize>,
    /// By such a first frame: about where, and over which length, moments count.
    centre_m: Vec<Vector3<f64>>,
    size_m: Vec<f64>,
}

impl Stiff {
    fn of(topology: &Topology, parameters: &Parameters, solution: &Solution) -> Self {
        let of = topology.joined();
        let centre = |frame: usize| {
            solution
                .state
                .centre_at_m(topology, parameters, FrameId(frame as u32))
        };
        let mut sums = vec![(Vector3::zeros(), 0.0); of.len()];
        for (frame, first) in of.iter().enumerate() {
            sums[*first].0 += centre(frame);
            sums[*first].1 += 1.0;
        }
        let centre_m: Vec<Vector3<f64>> = sums
            .iter()
            .map(|(sum, count)| sum / f64::max(*count, 1.0))
            .collect();
        let mut squares = vec![(0.0, 0.0); of.len()];
        for attachment in topology.lines().flat_map(|line| topology.path(line)) {
            let first = of[topology.frame_of(*attachment).index()];
            let at = solution.state.attachment_at_m(topology, parameters, *attachment);
            squares[first].0 += (at - centre_m[first]).norm_squared();
            squares[first].1 += 1.0;
        }
        let size = |(sum, count): &(f64, f64)| if *sum > 0.0 { (sum / count).sqrt() } else { 1.0 };
        Self {
            size_m: squares.iter().map(size).collect(),
            of,
            centre_m,
        }
    }
}

/// What unit tension of a line does to what is rigid on its path: force, and moment about its centre over its size.
fn wrenches(
    topology: &Topology,
    parameters: &Parameters,
    solution: &Solution,
    stiff: &Stiff,
    line: LineId,
) -> Vec<Wrench> {
    let state = &solution.state;
    let at = state.path_at_m(topology, parameters, line);
    let pulls = state.unit_pulls(topology, parameters, line);
    let mut found: Vec<Wrench> = Vec::new();
    for ((attachment, at), force) in topology.path(line).iter().zip(at).zip(pulls) {
        let frame = topology.frame_of(*attachment);
        if topology.kind(frame) == FrameKind::Fixed || parameters.is_sprung(frame) {
            continue;
        }
        let of = stiff.of[frame.index()];
        let moment = (at - stiff.centre_m[of]).cross(&force) / stiff.size_m[of];
        match found.iter_mut().find(|(known, ..)| *known == of) {
            Some((_, f, m)) => {
                *f += force;
                *m += moment;
            }
            None => found.push((of, force, moment)),
        }
    }
    found
}

fn dot(a: &[Wrench], b: &[Wrench]) -> f64 {
    let pairs = a
        .iter()
        .flat_map(|x| b.iter().filter(move |y| y.0 == x.0).map(move |y| (x, y)));
    pairs.map(|(x, y)| x.1.dot(&y.1) + x.2.dot(&y.2)).sum()
}
