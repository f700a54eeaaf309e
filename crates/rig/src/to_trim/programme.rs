//! A small quadratic programme in changes of length: wishes in order of weight, under the pulls that lines keep.
//!
//! Each wish is met as nearly as it can be by what the wishes before it leave open, and with no line below its least pull;
//! what is still open makes the sum of the squares of the pulls, each over their mean, and of what is to be near, least.
//! Where least pulls cannot all be had, as few as can be are
//! short by as little as can be, in the sense of least squares.
//!
//! Conventions: SI; pulls are compared as lengths, by the greatest stiffness.
//! Assumes: that everything changes in proportion to the lengths.
//! Valid for: some hundred lines; dense.
//! Source: least squares with inequalities as least distance, and that as least squares without negative unknowns: Lawson and
//! Hanson, Solving Least Squares Problems, 1974, chapter 23 (from memory).
//! Checked by: the conditions of a least value, below.

use nalgebra::{DMatrix, DVector};

/// A quadratic programme in changes of length.
pub(crate) struct Programme {
    /// How far things are off, metres, and how that changes; what comes first matters most.
    pub(crate) wishes: Vec<(DVector<f64>, DMatrix<f64>)>,
    /// What is to be near besides, as numbers that count as much as a pull does over the mean of all, and how they change.
    pub(crate) near: (DVector<f64>, DMatrix<f64>),
    /// Tensions, newtons, and how they change.
    pub(crate) tensions: DVector<f64>,
    pub(crate) pulls: DMatrix<f64>,
    /// The least that each line is to pull, newtons.
    pub(crate) least_n: DVector<f64>,
}

/// Changes of length that move things by less than this share of themselves leave them alone.
const LEAVES_ALONE: f64 = 1e-3;
/// The same of pulls and of what is to be near, as a share of the greatest change of them.
const LEAVES_PULLS_ALONE: f64 = 1e-7;
/// What a change costs that leaves things alone, beside one that does not.
const CHEAP: f64 = 1e-6;

/// What is chosen so far, and what is open.
struct Chosen {
    change: DVector<f64>,
    /// The changes that leave alone all that has been seen to, one a column.
    open: DMatrix<f64>,
}

impl Programme {
    /// Says that nothing is to be near besides.
    pub(crate) fn nothing_near(lines: usize) -> (DVector<f64>, DMatrix<f64>) {
        (DVector::zeros(0), DMatrix::zeros(0, lines))
    }

    /// Gives the changes of length, metres.
    pub(crate) fn solve(&self) -> DVector<f64> {
        let lines = self.tensions.len();
        // Pulls as lengths: by the greatest stiffness.
        let stiffest = self.pulls.amax().max(f64::MIN_POSITIVE);
        let pulls = &self.pulls / stiffest;
        let wanting = (&self.least_n - &self.tensions) / stiffest;
        let change = least_short(&pulls, &wanting);
        // What cannot be had is not asked for again.
        let floor = (&pulls * &change).zip_map(&wanting, f64::min);
        let mut chosen = Chosen {
            change,
            open: DMatrix::identity(lines, lines),
        };
        for (off, moves) in &self.wishes {
            chosen.meet(off, moves, (&pulls, &floor), LEAVES_ALONE);
        }
        let mean_n = (self.tensions.sum() / lines as f64).max(self.least_n.max());
        let (off, moves) = &self.near;
        let (near, all) = (off.len(), off.len() + lines);
        let mut even = (DVector::zeros(all), DMatrix::zeros(all, lines));
        even.0.rows_mut(0, near).copy_from(off);
        even.1.rows_mut(0, near).copy_from(moves);
        even.0.rows_mut(near, lines).copy_from(&(&self.tensions / mean_n));
        even.1.rows_mut(near, lines).copy_from(&(&self.pulls / mean_n));
        let leaves_alone = LEAVES_PULLS_ALONE * even.1.amax();
        chosen.meet(&even.0, &even.1, (&pulls, &floor), leaves_alone);
        chosen.change
    }
}

impl Chosen {
    /// Meets a wish as nearly as what is open lets it, `pulls` times the change never below `floor`.
    fn meet(
        &mut self,
        off: &DVector<f64>,
        moves: &DMatrix<f64>,
        (pulls, floor): (&DMatrix<f64>, &DVector<f64>),
        leaves_alone: f64,
    ) {
        if off.is_empty() || self.open.ncols() == 0 {
            return;
        }
        let off = off + moves * &self.change;
        let moves = moves * &self.open;
        let eigen = (moves.transpose() * &moves).symmetric_eigen();
        let towards = -(moves.transpose() * off);
        let open = &self.open * &eigen.eigenvectors;
        let along = eigen.eigenvectors.transpose() * towards;
        let moved = eigen.eigenvalues.map(|value| value.max(0.0).sqrt());
        let alone: Vec<usize> = (0..moved.len()).filter(|i| moved[*i] <= leaves_alone).collect();
        // In what each costs, the nearest is a given place and the floor a set of half spaces.
        let cost = moved.map(|m| {
            if m <= leaves_alone {
                CHEAP * leaves_alone
            } else {
                m
            }
        });
        let aim = DVector::from_fn(moved.len(), |i, _| {
            if moved[i] <= leaves_alone {
                0.0
            } else {
                along[i] / moved[i]
            }
        });
        let mut scaled = open.clone();
        for (mut column, cost) in scaled.column_iter_mut().zip(cost.iter()) {
            column /= *cost;
        }
        let walls = pulls * &scaled;
        let beyond = floor - pulls * &self.change - &walls * &aim;
        self.change += scaled * (aim + least_distance(&walls, &beyond));
        self.open = open.select_columns(&alone);
    }
}

/// Finds the change by which pulls come short of what is wanting by the least sum of squares; of all such, a small one.
fn least_short(pulls: &DMatrix<f64>, wanting: &DVector<f64>) -> DVector<f64> {
    let lines = wanting.len();
    // Unknowns are the changes, at little cost, and what each pull is short by.
    let mut walls = DMatrix::zeros(2 * lines, 2 * lines);
    walls.view_mut((0, 0), (lines, lines)).copy_from(&(pulls / CHEAP));
    walls.view_mut((0, lines), (lines, lines)).fill_with_identity();
    walls
        .view_mut((lines, lines), (lines, lines))
        .fill_with_identity();
    let mut beyond = DVector::zeros(2 * lines);
    beyond.rows_mut(0, lines).copy_from(wanting);
    let found = least_distance(&walls, &beyond);
    found.rows(0, lines) / CHEAP
}

/// Finds the shortest vector x with `walls` x at or beyond `beyond`, row by row.
fn least_distance(walls: &DMatrix<f64>, beyond: &DVector<f64>) -> DVector<f64> {
    let unknowns = walls.ncols();
    let furthest = beyond.max();
    if furthest <= 0.0 || unknowns == 0 {
        return DVector::zeros(unknowns);
    }
    // Each wall by its own size, and all of them by how far they are, so that the numbers are of one size.
    let sizes = DVector::from_fn(walls.nrows(), |i, _| walls.row(i).norm().max(f64::MIN_POSITIVE));
    let away = DVector::from_fn(beyond.len(), |i, _| beyond[i] / sizes[i]);
    let scale = away.max().max(f64::MIN_POSITIVE);
    let columns = DMatrix::from_fn(unknowns + 1, walls.nrows(), |row, wall| {
        if row < unknowns {
            walls[(wall, row)] / sizes[wall]
        } else {
            away[wall] / scale
        }
    });
    let mut target = DVector::zeros(unknowns + 1);
    target[unknowns] = 1.0;
    let weights = nonnegative_least_squares(&columns, &target);
    let left = &columns * weights - target;
    let last = left[unknowns];
    if last >= -f64::EPSILON {
        return DVector::zeros(unknowns);
    }
    left.rows(0, unknowns) * (-scale / last)
}

/// Finds the unknowns, none negative, for which `columns` times them comes nearest to `target`.
fn nonnegative_least_squares(columns: &DMatrix<f64>, target: &DVector<f64>) -> DVector<f64> {
    let count = columns.ncols();
    let mut found = DVector::zeros(count);
    let mut used: Vec<usize> = Vec::new();
    for _ in 0..3 * count {
        let pull = columns.transpose() * (target - columns * &found);
        let best = (0..count)
            .filter(|i| !used.contains(i))
            .max_by(|a, b| pull[*a].total_cmp(&pull[*b]));
        let Some(best) = best.filter(|i| pull[*i] > 1e-12) else {
            break;
        };
        used.push(best);
        while let Some(tried) = nearest(columns, &used, target) {
            let blocked = (0..used.len()).filter(|i| tried[*i] <= 0.0);
            let share = |i: usize| found[used[i]] / (found[used[i]] - tried[i]);
            let factor = blocked.map(share).fold(1.0, f64::min);
            for (i, line) in used.iter().enumerate() {
                found[*line] += factor * (tried[i] - found[*line]);
            }
            if factor >= 1.0 {
                break;
            }
            used.retain(|i| found[*i] > 1e-15);
            (0..count)
                .filter(|i| !used.contains(i))
                .for_each(|i| found[i] = 0.0);
        }
    }
    found
}

/// Finds what some columns together come nearest to `target` with; none where that cannot be told.
fn nearest(columns: &DMatrix<f64>, used: &[usize], target: &DVector<f64>) -> Option<DVector<f64>> {
    if used.is_empty() {
        return None;
    }
    let svd = columns.select_columns(used).svd(true, true);
    let least = 1e-13 * svd.singular_values.max();
    svd.solve(target, least).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::test_runner::{Config, RngSeed};

    /// Numbers in a row, as a matrix or a vector.
    fn matrix(rows: usize, columns: usize, of: &[f64]) -> DMatrix<f64> {
        DMatrix::from_iterator(rows, columns, of.iter().copied().cycle().take(rows * columns))
    }

    proptest! {
        #![proptest_config(Config { rng_seed: RngSeed::Fixed(7), failure_persistence: None, cases: 300, ..Config::default() })]

        /// The shortest vector behind walls is a sum of pushes of walls that it touches, none of which pulls; and no wall is
        /// passed: the conditions of Karush, Kuhn and Tucker, which are sufficient here.
        #[test]
        fn least_distance_is_least(
            (walls, unknowns) in (1_usize..8, 1_usize..6),
            numbers in prop::collection::vec(-1.0_f64..1.0, 40..60),
        ) {
            let directions = matrix(walls, unknowns, &numbers);
            // A place that is beyond all walls, so that there is one.
            let inside = matrix(unknowns, 1, &numbers[7..]).column(0) * 2.0;
            let room = matrix(walls, 1, &numbers[13..]).column(0).abs();
            let beyond = &directions * inside - room;
            let found = least_distance(&directions, &beyond);
            let spare = &directions * &found - &beyond;
            prop_assert!(spare.min() > -1e-9, "{spare}");
            let touched: Vec<usize> = (0..walls).filter(|i| spare[*i] < 1e-7).collect();
            let pushes = directions.select_rows(&touched).transpose();
            let each = nonnegative_least_squares(&pushes, &found);
            let left = if touched.is_empty() { found.clone() } else { pushes * each - &found };
            prop_assert!(left.norm() < 1e-7 * (1.0 + found.norm()), "{left}");
        }
    }

    /// A plate on four legs, its centre beside the middle of three of them: the fourth is kept at its least, and what is level
    /// stays level. With shares W/4 (1 +- a +- b) a leg would push where a + b > 1.
    #[test]
    fn a_leg_that_would_push_is_kept_at_its_least() {
        let corners = [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]];
        let (a, b) = (0.7, 0.6);
        // Level with all shares that balance: shares + z (1, -1, 1, -1).
        let shares = DVector::from_iterator(4, corners.map(|[x, y]| 250.0 * (1.0 + a * x + b * y)));
        let twist = DVector::from_vec(vec![1.0, -1.0, 1.0, -1.0]);
        let programme = Programme {
            wishes: vec![(
                DVector::zeros(4),
                DMatrix::identity(4, 4) - &twist * twist.transpose() / 4.0,
            )],
            near: Programme::nothing_near(4),
            tensions: shares,
            pulls: &twist * twist.transpose() * -1e5,
            least_n: DVector::from_element(4, 2.5),
        };
        let change = programme.solve();
        let then = &programme.tensions + &programme.pulls * &change;
        assert!((&programme.wishes[0].1 * &change).amax() < 1e-9);
        // 250 (1 - 1.3) is the least without; the twist that lifts it to 2.5 takes as much from its neighbours.
        let short = 2.5 + 75.0;
        for (then, before) in then
            .iter()
            .zip([575.0 + short, 225.0 - short, -75.0 + short, 275.0 - short])
        {
            assert!((then - before).abs() < 1e-6, "{then} {before}");
        }
    }

    /// Where a line cannot be made to pull at all, the rest is as good as it can be.
    #[test]
    fn what_cannot_be_had_is_not_asked_for() {
        let programme = Programme {
            wishes: vec![(
                DVector::from_vec(vec![0.01]),
                DMatrix::from_row_slice(1, 2, &[0.0, 1.0]),
            )],
            near: Programme::nothing_near(2),
            tensions: DVector::from_vec(vec![-5.0, 10.0]),
            pulls: DMatrix::from_row_slice(2, 2, &[0.0, 0.0, 0.0, -1e3]),
            least_n: DVector::from_element(2, 1.0),
        };
        let change = programme.solve();
        assert!((change[1] + 0.01).abs() < 1e-12, "{change}");
        assert!(change[0].abs() < 1e-12, "{change}");
    }
}
