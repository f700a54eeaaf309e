//! In which order adjustments are made, so that nothing is overloaded on the way.
//!
//! Conventions: a state is how many units of each line have been made; `judge` gives the greatest use in a state, or `SLACK` if
//! that is more.
//! Assumes: nothing of how the use changes; every unit on the way is judged.
//! Valid for: any number of lines; with more than eight, the next line is always the one with the least use on its way.
//! Source: the least of the greatest use over all ways through the states (dynamic programming).
//! Checked by: the tests below, and tests/main/adjust.rs.

use std::collections::HashMap;

/// An order of steps.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Order {
    /// Steps: which move, how many units.
    pub(crate) steps: Vec<(usize, i32)>,
    /// The greatest use on the way; infinite where something does not hang.
    pub(crate) worst: f64,
}

/// What a state counts at the least in which a line that is to carry is slack: taken only where nothing better is.
pub(crate) const SLACK: f64 = 0.99;
/// A use that is easy: what keeps within it is not split for less.
const EASY: f64 = 0.9;
/// Lines whose every order is tried.
const MOST_ORDERED: usize = 8;
/// States that are judged where steps have to be split.
const MOST_STATES: usize = 3000;

/// States by how many units of each move have been made, with the use in each.
struct Judged<'a> {
    moves: &'a [i32],
    judge: &'a mut dyn FnMut(&[i32]) -> f64,
    known: HashMap<Vec<i32>, f64>,
}

impl Judged<'_> {
    fn of(&mut self, made: &[i32]) -> f64 {
        if let Some(known) = self.known.get(made) {
            return *known;
        }
        let used = (self.judge)(made);
        self.known.insert(made.to_vec(), used);
        used
    }

    /// Gives the greatest use while one move is made whole.
    fn on_the_way(&mut self, made: &[i32], next: usize) -> f64 {
        let mut here = made.to_vec();
        let mut worst: f64 = 0.0;
        while here[next] != self.moves[next] {
            here[next] += self.moves[next].signum();
            worst = worst.max(self.of(&here));
        }
        worst
    }
}

/// Orders moves, splitting them where no order of whole ones keeps the use within 1.
pub(crate) fn order(moves: &[i32], judge: &mut dyn FnMut(&[i32]) -> f64) -> Order {
    let mut judged = Judged {
        moves,
        judge,
        known: HashMap::new(),
    };
    let whole = if moves.len() <= MOST_ORDERED {
        best_of_all(&mut judged)
    } else {
        one_by_one(&mut judged)
    };
    let states = moves.iter().map(|k| k.unsigned_abs() as usize + 1);
    let states = states.fold(1, usize::saturating_mul);
    if whole.worst < SLACK || states > MOST_STATES {
        return whole;
    }
    let split = unit_by_unit(&mut judged);
    if split.worst < whole.worst { split } else { whole }
}

fn made(moves: &[i32], set: usize) -> Vec<i32> {
    let each = moves.iter().enumerate();
    each.map(|(i, k)| if set >> i & 1 == 1 { *k } else { 0 })
        .collect()
}

fn best_of_all(judged: &mut Judged<'_>) -> Order {
    let count = judged.moves.len();
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
    for set in 1..1_usize << count {
        let last = (0..count).filter(|i| set >> i & 1 == 1).map(|i| {
            let before = set & !(1 << i);
            let way = judged.on_the_way(&made(judged.moves, before), i);
            (best[before].0.max(way), i)
        });
        let last: Vec<(f64, usize)> = last.collect();
        // Of ways alike the one that ends with the latest line, so that the order is that of the document.
        let least = last.into_iter().rev().min_by(|a, b| a.0.total_cmp(&b.0));
        best.push(least.unwrap_or((f64::INFINITY, 0)));
    }
    let mut set = (1_usize << count) - 1;
    let worst = best[set].0;
    let mut steps = Vec::new();
    while set != 0 {
        let last = best[set].1;
        steps.push((last, judged.moves[last]));
        set &= !(1 << last);
    }
    steps.reverse();
    Order { steps, worst }
}

fn one_by_one(judged: &mut Judged<'_>) -> Order {
    let mut here = vec![0; judged.moves.len()];
    let mut left: Vec<usize> = (0..here.len()).collect();
    let (mut steps, mut worst) = (Vec::new(), 0.0_f64);
    while !left.is_empty() {
        let ways: Vec<f64> = left.iter().map(|i| judged.on_the_way(&here, *i)).collect();
        let place = (0..left.len())
            .min_by(|a, b| ways[*a].total_cmp(&ways[*b]))
            .unwrap_or(0);
        let next = left.remove(place);
        worst = worst.max(ways[place]);
        here[next] = judged.moves[next];
        steps.push((next, judged.moves[next]));
    }
    Order { steps, worst }
}

/// Goes by single units, in as few steps as keep the use within what is easy, or else within the least that there is.
fn unit_by_unit(judged: &mut Judged<'_>) -> Order {
    let worst = least_use(judged);
    let most = if worst < SLACK { worst.max(EASY) } else { worst };
    let moves = judged.moves;
    // By state, the fewest steps that end there, by the line that is adjusted last.
    let mut fewest: HashMap<Vec<i32>, Vec<Option<usize>>> = HashMap::new();
    let mut here = vec![0; moves.len()];
    while next_state(&mut here, moves) {
        if judged.of(&here) > most {
            continue;
        }
        let by_last = (0..moves.len()).map(|last| {
            let before = before(&here, moves, last)?;
            if before.iter().all(|made| *made == 0) {
                return Some(1);
            }
            let known = fewest.get(&before)?;
            let each = known.iter().enumerate().filter_map(|(i, steps)| {
                let steps = (*steps)?;
                Some(if i == last { steps } else { steps + 1 })
            });
            each.min()
        });
        let by_last = by_last.collect();
        fewest.insert(here.clone(), by_last);
    }
    Order {
        steps: back(&fewest, moves),
        worst,
    }
}

/// Finds the least of the greatest use on any way by single units.
fn least_use(judged: &mut Judged<'_>) -> f64 {
    let moves = judged.moves;
    let mut least: HashMap<Vec<i32>, f64> = HashMap::from([(vec![0; moves.len()], 0.0)]);
    let mut here = vec![0; moves.len()];
    // States in an order in which each comes after all that lead to it.
    while next_state(&mut here, moves) {
        let ways = (0..moves.len()).filter_map(|last| least.get(&before(&here, moves, last)?).copied());
        let way = ways.fold(f64::INFINITY, f64::min);
        let used = judged.of(&here);
        least.insert(here.clone(), way.max(used));
    }
    least.get(moves).copied().unwrap_or(f64::INFINITY)
}

/// Gives the state before the last unit of a line; none if no unit of it has been made.
fn before(here: &[i32], moves: &[i32], last: usize) -> Option<Vec<i32>> {
    let mut before = here.to_vec();
    before[last] -= moves[last].signum();
    (here[last] != 0).then_some(before)
}

/// Goes back from the end, and puts together the units of one line that follow one another.
fn back(fewest: &HashMap<Vec<i32>, Vec<Option<usize>>>, moves: &[i32]) -> Vec<(usize, i32)> {
    let mut here = moves.to_vec();
    let mut after: Option<usize> = None;
    let mut steps: Vec<(usize, i32)> = Vec::new();
    while let Some(known) = fewest.get(&here) {
        let cost = |last: usize| {
            known[last].map(|steps| steps + usize::from(after.is_some_and(|after| after != last)))
        };
        let best = (0..moves.len())
            .filter_map(|last| Some((cost(last)?, after != Some(last), last)))
            .min();
        let Some((.., last)) = best else { break };
        let unit = moves[last].signum();
        here[last] -= unit;
        match steps.last_mut() {
            Some((line, units)) if *line == last => *units += unit,
            _ => steps.push((last, unit)),
        }
        after = Some(last);
    }
    steps.reverse();
    steps
}

/// Counts on to the next state; the last one is followed by none.
fn next_state(here: &mut [i32], moves: &[i32]) -> bool {
    for (at, most) in here.iter_mut().zip(moves) {
        if *at != *most {
            *at += most.signum();
            return true;
        }
        *at = 0;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_with_the_least_use_is_taken() {
        // With the first made and not the second, something is overloaded.
        let order = order(&[2, -3], &mut |made| {
            if made[0] > 0 && made[1] > -3 { 1.2 } else { 0.5 }
        });
        assert_eq!((order.steps, order.worst), (vec![(1, -3), (0, 2)], 0.5));
    }

    #[test]
    fn what_no_order_of_whole_steps_allows_is_split() {
        // The two may not be further apart than two units.
        let order = order(&[4, 4], &mut |made| {
            if (made[0] - made[1]).abs() > 2 { 1.5 } else { 0.8 }
        });
        assert_eq!(order.worst, 0.8);
        // Two, four, two.
        assert_eq!(order.steps.len(), 3);
        let (mut a, mut b) = (0, 0);
        for (line, units) in &order.steps {
            *(if *line == 0 { &mut a } else { &mut b }) += units;
            assert!((a - b).abs() <= 2, "{:?}", order.steps);
        }
        assert_eq!((a, b), (4, 4));
    }

    #[test]
    fn many_moves_are_ordered_one_by_one() {
        let moves = [1; 10];
        let order = order(&moves, &mut |made| f64::from(made.iter().sum::<i32>()) * 0.05);
        assert_eq!(order.steps.len(), 10);
        assert!((order.worst - 0.5).abs() < 1e-12);
    }
}
