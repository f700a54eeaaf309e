//! What happens without some lines, those with an adjustable grip all gone at once and each alone, and those meant to be
//! slack all gone at once; and what happens at a push.

use crate::facts::Told;
use crate::found::{Found, Trial as Solver};
use crate::geometry::angle_rad;
use practice::{GripTrial, PUSHES, Push, Remains, Trial};
use statics::{Solution, Vector3};

/// Tries a load without grip lines. `grips` are the lines with an adjustable grip that bear on it.
pub(crate) fn without_grips(
    told: &Told<'_>,
    found: &Solution,
    load: usize,
    grips: &[usize],
) -> Vec<GripTrial> {
    if grips.is_empty() {
        return Vec::new();
    }
    let mut solver = Solver::new(told.model, found);
    let all = std::iter::once(grips.to_vec());
    let each = grips.iter().map(|grip| vec![*grip]).filter(|_| grips.len() > 1);
    all.chain(each)
        .map(|gone| GripTrial {
            outcome: try_without(&mut solver, told, found, load, &gone),
            gone: names(told, &gone),
        })
        .collect()
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

/// Pushes a load sideways at its centre of gravity, by each share of its weight that the rules ask for.
pub(crate) fn pushed(told: &Told<'_>, found: &Solution, load: usize) -> Vec<Push> {
    const DIRECTIONS: u8 = 8;
    let Some((_, modelled)) = told.model.loads.get_index(load) else {
        return Vec::new();
    };
    let mut solver = Solver::new(told.model, found);
    // From the vertical, so that a load that merely turns about it has not tilted.
    let tilt_rad = |solution: &Solution| {
        let upright = solution.state.rotation[modelled.frame.index()] * Vector3::z();
        angle_rad(&upright, &Vector3::z()).unwrap_or(f64::INFINITY)
    };
    let was = tilt_rad(found);
    let mut tilts_rad = |push_n: Vector3<f64>| {
        let pushed = solver.pushed(found, modelled.frame, push_n);
        pushed.map_or(f64::INFINITY, |solution| tilt_rad(solution) - was)
    };
    let each = PUSHES.iter().map(|share| {
        let push_n = share * modelled.weight_n.value();
        let directions =
            (0..DIRECTIONS).map(|k| f64::from(k) / f64::from(DIRECTIONS) * std::f64::consts::TAU);
        let tilts = directions.map(|angle| tilts_rad(push_n * Vector3::new(angle.cos(), angle.sin(), 0.0)));
        Push {
            share: *share,
            tilts_rad: tilts.fold(0.0, f64::max),
        }
    });
    each.collect()
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
    let stays = |line: usize| !gone.contains(&line);
    match solver.without(found, stays) {
        Ok(solution) => {
            let rest = Found::Hangs(Box::new(solution.clone()));
            let then = told.in_trial(&rest, stays, &names(told, gone));
            Trial::Hangs(Box::new(remains(told, &then, load)))
        }
        Err(fall) if told.is_own(&fall, load) => Trial::Falls(fall.why),
        Err(fall) => Trial::NotFound(told.why_it_falls(&fall, load)),
    }
}

/// Says how a load hangs in a trial, and what the rest of the rig then gets.
fn remains(before: &Told<'_>, then: &Told<'_>, load: usize) -> Remains {
    let moved = before.places(load).into_iter().zip(then.places(load));
    Remains {
        moved_m: moved.map(|(was, is)| (is - was).norm()).fold(0.0, f64::max),
        tilt_rad: then.tilt_rad(load).unwrap_or(f64::NAN),
        height_m: then.height_m(load),
        lines: then.lines(),
        points: then.points(),
        groups: then.groups(),
        junctions: then.junctions(),
    }
}
