//! The fewest whole steps that bring linear figures within their bounds.
//!
//! Conventions: each figure is `start + slopes . steps` and is to be at most 1 in size, some are to be no less than 0; steps are
//! whole numbers.
//! Assumes: figures linear in the steps; the caller solves the rig again with what is found.
//! Valid for: any number of steps; a search that grows too long says so.
//! Source: all whole points in an ellipsoid around the least squares solution, by Fincke and Pohst's method (from memory).
//! Checked by: the tests below, against trying every combination.

use nalgebra::{DMatrix, DVector};

/// What is to be reached.
#[derive(Debug, Clone)]
pub(crate) struct Wanted {
    /// Figures with no step made, each over its bound.
    pub(crate) start: DVector<f64>,
    /// How each changes with one step of each adjuster, over its bound.
    pub(crate) slopes: DMatrix<f64>,
    /// The least and most steps of each adjuster.
    pub(crate) ranges: Vec<[i32; 2]>,
    /// Figures that may not be below zero with no step made, and how each changes with one step.
    pub(crate) floors: (DVector<f64>, DMatrix<f64>),
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fewest {
    /// The steps of each adjuster.
    pub(crate) steps: Vec<i32>,
    /// Whether they bring all within bounds.
    pub(crate) reached: bool,
    /// Whether the search was cut short, so that there may be fewer.
    pub(crate) cut_short: bool,
}

/// What a figure below zero counts at the least.
const BELOW: f64 = 1e4;
/// Figures that differ by less than this share of their bounds are alike.
const ALIKE: f64 = 1e-6;
/// Sets of adjusters that are tried at the most.
const MOST_SETS: usize = 20_000;
/// Whole points that are looked at in all.
const MOST_POINTS: usize = 1_000_000;

impl Wanted {
    /// Finds the fewest adjusters, then the fewest steps, that bring all within bounds; or what comes nearest.
    pub(crate) fn fewest(&self) -> Fewest {
        let count = self.ranges.len();
        let movable: Vec<usize> = (0..count).filter(|i| self.ranges[*i] != [0, 0]).collect();
        let mut left = MOST_POINTS;
        let mut tried = 0;
        let mut sets: Vec<Vec<usize>> = vec![Vec::new()];
        while !sets.is_empty() && left > 0 && tried <= MOST_SETS {
            let each = sets.iter().filter_map(|set| self.of_set(set, &mut left));
            let sum = |steps: &[i32]| steps.iter().map(|k| k.unsigned_abs()).sum::<u32>();
            // Of as many, those that are well within bounds, so that names and order decide only between what is alike.
            let best = each.reduce(|best, next| {
                let is_less = sum(&next) < sum(&best)
                    || sum(&next) == sum(&best) && self.worst(&next) < self.worst(&best) - ALIKE;
                if is_less { next } else { best }
            });
            if let Some(steps) = best {
                return Fewest {
                    steps,
                    reached: true,
                    cut_short: left == 0,
                };
            }
            tried += sets.len();
            sets = longer(&sets, &movable);
        }
        Fewest {
            cut_short: !sets.is_empty(),
            ..self.nearest(&movable)
        }
    }

    /// Finds the fewest steps of a set of adjusters, all of which move.
    fn of_set(&self, set: &[usize], left: &mut usize) -> Option<Vec<i32>> {
        let count = self.ranges.len();
        if set.is_empty() {
            return self.is_reached(&vec![0; count]).then(|| vec![0; count]);
        }
        let (rows, columns) = (self.start.len(), set.len());
        let mut matrix = DMatrix::zeros(rows + columns, columns);
        let mut start = DVector::zeros(rows + columns);
        start.rows_mut(0, rows).copy_from(&self.start);
        for (column, adjuster) in set.iter().enumerate() {
            matrix
                .view_mut((0, column), (rows, 1))
                .copy_from(&self.slopes.column(*adjuster));
            let [least, most] = self.ranges[*adjuster];
            let reach = f64::from(most.max(-least));
            matrix[(rows + column, column)] = 1.0 / reach;
        }
        let decomposed = matrix.qr();
        let (q, upper) = (decomposed.q(), decomposed.r());
        let along = q.transpose() * &start;
        let radius = (rows + columns) as f64 * (1.0 + 1e-9) - (start.norm_squared() - along.norm_squared());
        let mut search = Search {
            wanted: self,
            set,
            upper,
            along,
            left,
            steps: vec![0; columns],
            best: None,
        };
        search.descend(columns, radius);
        let (_, _, found) = search.best?;
        let mut steps = vec![0; count];
        set.iter()
            .zip(found)
            .for_each(|(adjuster, k)| steps[*adjuster] = k);
        Some(steps)
    }

    /// Gives how far the worst figure is out of bounds: at most 1 if none is.
    pub(crate) fn worst(&self, steps: &[i32]) -> f64 {
        let steps = DVector::from_iterator(steps.len(), steps.iter().map(|k| f64::from(*k)));
        let (figures, floors) = (
            &self.start + &self.slopes * &steps,
            &self.floors.0 + &self.floors.1 * &steps,
        );
        let figures = figures.iter().map(|figure| figure.abs());
        // What is below zero is worse than anything that is out of bounds.
        let below = floors
            .iter()
            .filter(|figure| **figure < 0.0)
            .map(|figure| BELOW * (1.0 - figure));
        figures.chain(below).fold(0.0, f64::max)
    }

    fn is_reached(&self, steps: &[i32]) -> bool {
        self.worst(steps) <= 1.0 + 1e-12
    }

    /// Comes as near as steps by ones and by pairs lead from the rounded least squares solution.
    fn nearest(&self, movable: &[usize]) -> Fewest {
        let mut steps = vec![0; self.ranges.len()];
        if let Ok(solved) = self.slopes.clone().svd(true, true).solve(&-&self.start, 1e-9) {
            for i in movable {
                let [least, most] = self.ranges[*i];
                steps[*i] = (solved[*i].round() as i32).clamp(least, most);
            }
        }
        if self.worst(&vec![0; steps.len()]) <= self.worst(&steps) {
            steps.fill(0);
        }
        let mut moves: Vec<Vec<(usize, i32)>> = Vec::new();
        for (place, a) in movable.iter().enumerate() {
            for x in [-1, 1] {
                moves.push(vec![(*a, x)]);
                let others = movable.iter().skip(place + 1);
                moves.extend(others.flat_map(|b| [-1, 1].map(|y| vec![(*a, x), (*b, y)])));
            }
        }
        for _ in 0..200 {
            let tried = moves.iter().filter_map(|by| {
                let mut there = steps.clone();
                for (i, k) in by {
                    there[*i] += k;
                }
                let within = by
                    .iter()
                    .all(|(i, _)| (self.ranges[*i][0]..=self.ranges[*i][1]).contains(&there[*i]));
                within.then(|| (self.worst(&there), there))
            });
            match tried.min_by(|a, b| a.0.total_cmp(&b.0)) {
                Some((worst, there)) if worst < self.worst(&steps) * (1.0 - 1e-9) => steps = there,
                _ => break,
            }
        }
        Fewest {
            reached: self.is_reached(&steps),
            steps,
            cut_short: false,
        }
    }
}

/// Makes each set longer by one adjuster, each set once.
fn longer(sets: &[Vec<usize>], movable: &[usize]) -> Vec<Vec<usize>> {
    let each = sets.iter().flat_map(|set| {
        let after = movable.iter().filter(|i| set.last().is_none_or(|last| *i > last));
        after.map(|i| [set.as_slice(), &[*i]].concat())
    });
    each.collect()
}

struct Search<'a> {
    wanted: &'a Wanted,
    set: &'a [usize],
    upper: DMatrix<f64>,
    along: DVector<f64>,
    left: &'a mut usize,
    steps: Vec<i32>,
    best: Option<(u32, f64, Vec<i32>)>,
}

impl Search<'_> {
    /// Settles the steps below a column, from the last one up.
    fn descend(&mut self, column: usize, radius: f64) {
        if radius < 0.0 {
            return;
        }
        let used: u32 = self.steps.iter().skip(column).map(|k| k.unsigned_abs()).sum();
        // Each adjuster that is still to be settled moves by one step at the least.
        if self
            .best
            .as_ref()
            .is_some_and(|(best, ..)| used + column as u32 > *best)
        {
            return;
        }
        let Some(i) = column.checked_sub(1) else {
            let mut all = vec![0; self.wanted.ranges.len()];
            self.set
                .iter()
                .zip(&self.steps)
                .for_each(|(adjuster, k)| all[*adjuster] = *k);
            let worst = self.wanted.worst(&all);
            let is_less = self
                .best
                .as_ref()
                .is_none_or(|best| used < best.0 || worst < best.1 - ALIKE);
            if is_less && self.wanted.is_reached(&all) {
                self.best = Some((used, worst, self.steps.clone()));
            }
            return;
        };
        let mut rest = self.along[i];
        for (later, k) in self.steps.iter().enumerate().skip(column) {
            rest += self.upper[(i, later)] * f64::from(*k);
        }
        let pivot = self.upper[(i, i)];
        let reach = radius.sqrt() / pivot.abs().max(f64::MIN_POSITIVE);
        let middle = -rest / pivot;
        let [least, most] = self.wanted.ranges[self.set[i]];
        let from = (middle - reach).ceil().max(f64::from(least)) as i32;
        let to = (middle + reach).floor().min(f64::from(most)) as i32;
        let mut ks: Vec<i32> = (from..=to).filter(|k| *k != 0).collect();
        ks.sort_by_key(|k| k.unsigned_abs());
        for k in ks {
            if *self.left == 0 {
                return;
            }
            *self.left -= 1;
            self.steps[i] = k;
            let part = rest + pivot * f64::from(k);
            self.descend(i, radius - part * part);
        }
        self.steps[i] = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tries every combination.
    fn by_trying(wanted: &Wanted) -> Option<(usize, u32)> {
        let mut best = None;
        let mut steps: Vec<i32> = wanted.ranges.iter().map(|range| range[0]).collect();
        loop {
            if wanted.is_reached(&steps) {
                let lines = steps.iter().filter(|k| **k != 0).count();
                let found = (lines, steps.iter().map(|k| k.unsigned_abs()).sum());
                best = Some(best.map_or(found, |best: (usize, u32)| best.min(found)));
            }
            let Some(next) = (0..steps.len()).find(|i| steps[*i] < wanted.ranges[*i][1]) else {
                return best;
            };
            steps[next] += 1;
            (0..next).for_each(|i| steps[i] = wanted.ranges[i][0]);
        }
    }

    /// Pseudo-random numbers by a fixed rule, -1 to 1.
    fn numbers() -> impl FnMut() -> f64 {
        let mut state = 12345_u64;
        move || {
            state = state
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        }
    }

    #[test]
    fn the_fewest_steps_are_those_found_by_trying_all() {
        let mut next = numbers();
        let (mut reached, mut not) = (0, 0);
        for _ in 0..150 {
            let wanted = Wanted {
                start: DVector::from_fn(3, |_, _| 6.0 * next()),
                slopes: DMatrix::from_fn(3, 4, |_, _| next()),
                ranges: vec![[-4, 6], [-5, 5], [0, 5], [-6, 2]],
                floors: (
                    DVector::from_fn(1, |_, _| 4.0 + next()),
                    DMatrix::from_fn(1, 4, |_, _| next()),
                ),
            };
            let found = wanted.fewest();
            let Some((lines, steps)) = by_trying(&wanted) else {
                not += 1;
                assert!(!found.reached);
                assert!(wanted.worst(&found.steps) <= wanted.worst(&[0; 4]) + 1e-12);
                continue;
            };
            reached += 1;
            assert!(found.reached && !found.cut_short);
            assert!(wanted.worst(&found.steps) <= 1.0 + 1e-9);
            let used = found.steps.iter().filter(|k| **k != 0).count();
            let sum: u32 = found.steps.iter().map(|k| k.unsigned_abs()).sum();
            assert_eq!((used, sum), (lines, steps));
        }
        assert!(reached > 30 && not > 10, "{reached} {not}");
    }
}
