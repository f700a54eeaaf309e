//! What happens without some lines: those with an adjustable grip, all gone at once and any of them; those meant to be
//! slack, all gone at once.

use crate::facts::Told;
use crate::found::{Change, Found, Trial as Solver, is_slack};
use crate::steadiness::{disturbances, tilt_between_rad};
use practice::{GripTrial, LineFacts, Remains, Trial};
use statics::Solution;

/// Tries a load without grip lines. `grips` are the lines with an adjustable grip that bear on it, `secondary` those meant to be slack.
///
/// As no grip makes up for another, no secondary line makes up for a grip: each trial is made once more without them.
pub(crate) fn without_grips(
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    (grips, secondary): (&[usize], &[usize]),
) -> Vec<GripTrial> {
    if grips.is_empty() {
        return Vec::new();
    }
    let mut solver = Solver::new(told.model, found);
    subsets(grips)
        .into_iter()
        .map(|gone| GripTrial {
            outcome: try_without(&mut solver, told, found, load, &gone),
            without_secondary: without_both(&mut solver, told, found, load, (&gone, secondary)),
            gone: names(told, &gone),
            on_the_way: None,
        })
        .collect()
}

/// Tries a load without some grip lines and without its secondary lines; none if no secondary line is left.
fn without_both(
    solver: &mut Solver<'_>,
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    (gone, secondary): (&[usize], &[usize]),
) -> Option<Trial> {
    let left = secondary.iter().filter(|line| !gone.contains(line));
    let both: Vec<usize> = gone.iter().chain(left).copied().collect();
    (both.len() > gone.len()).then(|| {
        tried(solver, told, found, load, &both, &|rest, change| {
            let then = told.at_rest(rest, change);
            rest_of(told, &then, load)
        })
    })
}

/// How many subsets of lines are tried at the most; ten lines have as many as that by ones and twos.
const MOST_SUBSETS: usize = 64;

/// Lists subsets of some lines: all of them, then by ones, by twos and so on, each once.
fn subsets(lines: &[usize]) -> Vec<Vec<usize>> {
    let mut found = vec![lines.to_vec()];
    // By their places in the list, so that each is extended by later ones only.
    let mut of_size: Vec<Vec<usize>> = (0..lines.len()).map(|place| vec![place]).collect();
    while of_size.first().is_some_and(|set| set.len() < lines.len()) && found.len() < MOST_SUBSETS {
        let named = of_size
            .iter()
            .map(|set| set.iter().map(|place| lines[*place]).collect());
        found.extend(named.take(MOST_SUBSETS - found.len()));
        let longer = of_size.iter().flat_map(|set| {
            let after = set.last().map_or(0, |last| last + 1);
            (after..lines.len()).map(move |place| [set.as_slice(), &[place]].concat())
        });
        of_size = longer.collect();
    }
    found
}

/// Tries a load without the lines that are meant to be slack. None if no such line bears on it.
pub(crate) fn without_secondary(
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    secondary: &[usize],
) -> Option<Trial> {
    if secondary.is_empty() {
        return None;
    }
    let mut solver = Solver::new(told.model, found);
    Some(try_without(&mut solver, told, found, load, secondary))
}

/// Tries a load without lines that secondary lines make up for, told by name.
pub(crate) fn without_carrying(
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    sets: Vec<Vec<String>>,
) -> Vec<(Vec<String>, Trial)> {
    let mut solver = Solver::new(told.model, found);
    let tried = sets.into_iter().map(|gone| {
        let lines = gone.iter().filter_map(|name| told.model.lines.get_index_of(name));
        let lines: Vec<usize> = lines.collect();
        let outcome = try_without(&mut solver, told, found, load, &lines);
        (gone, outcome)
    });
    tried.collect()
}

fn names(told: &Told<'_>, lines: &[usize]) -> Vec<String> {
    let name = |line: &usize| told.model.lines.get_index(*line).map(|(name, _)| name.clone());
    lines.iter().filter_map(name).collect()
}

fn try_without(
    solver: &mut Solver<'_>,
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    gone: &[usize],
) -> Trial {
    tried(solver, told, found, load, gone, &|rest, change| {
        let then = told.in_trial(rest, change);
        remains(told, &then, load)
    })
}

/// Tries a load without some lines, and says with `tell` how it then hangs.
fn tried(
    solver: &mut Solver<'_>,
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    gone: &[usize],
    tell: &dyn Fn(&Found, Change) -> Remains,
) -> Trial {
    let mut change = Change {
        lines: gone.to_vec(),
        ..Change::default()
    };
    let Some((_, modelled)) = told.model.loads.get_index(load) else {
        return Trial::NotFound("there is no such load".into());
    };
    // What else falls is taken away, until what is left hangs or this load falls as well.
    loop {
        match solver.with(found, &change) {
            Ok(solution) => {
                let rest = Found::Hangs(Box::new(solution.clone()));
                return Trial::Hangs(Box::new(tell(&rest, change)));
            }
            Err(fall) if fall.frames.contains(&modelled.frame) => return Trial::Falls(fall.why),
            Err(fall) if fall.frames.iter().all(|frame| change.fallen.contains(frame)) => {
                return Trial::NotFound(fall.why);
            }
            Err(fall) => change.let_fall(told.model, &fall.frames),
        }
    }
}

/// Says how a load hangs in a trial, and what the rest of the rig then gets.
fn remains(before: &Told<'_>, then: &Told<'_>, load: usize) -> Remains {
    let lines = then.lines();
    let caught = |line: &LineFacts| {
        let slack = |told: &Told<'_>| {
            let id = told.model.lines.get(&line.name)?.id;
            Some(is_slack(line.role, &told.found.solution()?.line(id)))
        };
        slack(before) == Some(true) && slack(then) == Some(false)
    };
    Remains {
        caught_by: lines
            .iter()
            .filter(|line| caught(line))
            .map(|line| line.name.clone())
            .collect(),
        included: (0..then.model.loads.len())
            .map(|load| then.included_at_picks(load))
            .collect(),
        lines,
        points: then.points(),
        groups: then.groups(),
        junctions: then.junctions(),
        pipes: then.pipes(),
        ..rest_of(before, then, load)
    }
}

/// Says how a load hangs in a trial, and nothing of the rest of the rig.
fn rest_of(before: &Told<'_>, then: &Told<'_>, load: usize) -> Remains {
    let moved = before.places(load).into_iter().zip(then.places(load));
    Remains {
        moves_m: None,
        moved_m: moved.map(|(was, is)| (is - was).norm()).fold(0.0, f64::max),
        tilt_rad: then.tilt_rad(load).unwrap_or(f64::NAN),
        turned_rad: turned_rad(before, then, load),
        height_m: then.height_m(load),
        disturbances: disturbances(then, load),
        caught_by: Vec::new(),
        included: Vec::new(),
        lines: Vec::new(),
        points: Vec::new(),
        groups: Vec::new(),
        junctions: Vec::new(),
        pipes: Vec::new(),
    }
}

/// Gives how far a load has tilted from one rest to another, radians.
fn turned_rad(before: &Told<'_>, then: &Told<'_>, load: usize) -> f64 {
    match (
        before.model.loads.get_index(load),
        before.found.solution(),
        then.found.solution(),
    ) {
        (Some((_, modelled)), Some(was), Some(is)) => tilt_between_rad(was, is, modelled),
        _ => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_subset_of_a_few_lines_comes_once_and_all_of_them_first() {
        assert_eq!(subsets(&[7]), [vec![7]]);
        assert_eq!(subsets(&[7, 9]), [vec![7, 9], vec![7], vec![9]]);
        let of_four = subsets(&[1, 2, 3, 4]);
        assert_eq!(of_four.len(), 15);
        assert_eq!(of_four[0], [1, 2, 3, 4]);
        assert!(of_four.contains(&vec![1, 2]) && of_four.contains(&vec![2, 3, 4]));
        let many: Vec<usize> = (0..20).collect();
        assert_eq!(subsets(&many).len(), MOST_SUBSETS);
    }
}
