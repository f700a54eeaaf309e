//! What happens without some lines: those with an adjustable grip, all gone at once and each alone; those meant to be
//! slack, all gone at once.

use crate::balance::{tension, upward};
use crate::found::Trial as Solver;
use crate::model::Model;
use practice::{GripTrial, Trial};
use statics::Solution;

/// Tries a load without grip lines. `grips` are the lines with an adjustable grip that bear on it.
pub(crate) fn without_grips(model: &Model, found: &Solution, load: usize, grips: &[usize]) -> Vec<GripTrial> {
    if grips.is_empty() {
        return Vec::new();
    }
    let mut solver = Solver::new(model, found);
    let all = std::iter::once(grips.to_vec());
    let each = grips.iter().map(|grip| vec![*grip]).filter(|_| grips.len() > 1);
    all.chain(each)
        .map(|gone| try_without(&mut solver, model, found, load, &gone))
        .collect()
}

/// Tries a load without the lines that are meant to be slack. None if no such line bears on it.
pub(crate) fn without_secondary(
    model: &Model,
    found: &Solution,
    load: usize,
    secondary: &[usize],
) -> Option<Trial> {
    if secondary.is_empty() {
        return None;
    }
    let mut solver = Solver::new(model, found);
    Some(try_without(&mut solver, model, found, load, secondary).outcome)
}

fn try_without(
    solver: &mut Solver<'_>,
    model: &Model,
    found: &Solution,
    load: usize,
    gone: &[usize],
) -> GripTrial {
    let name = |line: &usize| {
        model
            .lines
            .get_index(*line)
            .map(|(name, _)| name.clone())
            .unwrap_or_default()
    };
    let without: Vec<String> = gone.iter().map(name).collect();
    let outcome = match (
        solver.without(found, |line| !gone.contains(&line)),
        model.loads.get_index(load),
    ) {
        (Err(fall), _) => Trial::Falls(fall.why),
        (Ok(_), None) => Trial::Falls("there is no such load".into()),
        (Ok(solution), Some((_, load))) => {
            let moved = model.centre_at_m(solution, load.frame) - model.centre_at_m(found, load.frame);
            let remain = solution
                .lines
                .iter()
                .enumerate()
                .filter(|(line, _)| !gone.contains(line));
            let tensions_n = remain
                .filter_map(|(line, result)| {
                    let (name, _) = model.lines.get_index(line)?;
                    let upward = upward(model, solution, line);
                    let when = format!("with {} gone", without.join(", "));
                    Some((
                        name.clone(),
                        tension(model, line, result.tension_n, result.length_m, upward, &when),
                    ))
                })
                .collect();
            Trial::Hangs {
                moved_m: moved.norm(),
                tensions_n,
            }
        }
    };
    GripTrial {
        gone: without,
        outcome,
    }
}
