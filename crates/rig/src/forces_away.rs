//! Where loads are without stated forces: each of them away by itself, and all.
//!
//! Conventions: SI.
//! Assumes: a stated force may be away.
//! Valid for: rigs that hang with all of them.
//! Source: the rig solved without it.
//! Checked by: tests/main/lets_go.rs.

use crate::facts::tilt_of_rad;
use crate::found::{Change, Fall, Trial};
use crate::model::{LoadModel, Model};
use practice::ForceAway;
use statics::Solution;

/// A rig without stated forces, which are named.
pub(crate) struct Without {
    name: String,
    rest: Result<Solution, Fall>,
}

/// Lists which stated forces are taken away together, by their order in the model, with their names: each by itself, and all.
pub(crate) fn away(model: &Model) -> impl Iterator<Item = (String, Vec<usize>)> {
    let count = model.stated_forces.len();
    let each = (0..count).map(|i| vec![i]);
    let all = (count > 1).then(|| (0..count).collect());
    each.chain(all).map(|forces: Vec<usize>| {
        let names: Vec<&str> = forces.iter().map(|i| model.stated_forces[*i].as_str()).collect();
        (names.join(", "), forces)
    })
}

/// Solves a rig without stated forces.
pub(crate) fn without_forces(model: &Model, found: &Solution) -> Vec<Without> {
    let mut trial = Trial::new(model, found);
    away(model)
        .map(|(name, forces)| {
            let change = Change {
                forces,
                ..Change::default()
            };
            Without {
                name,
                rest: trial.with(found, &change).cloned(),
            }
        })
        .collect()
}

/// Tells where a load is in each of them.
pub(crate) fn forces_away(
    model: &Model,
    path: &str,
    load: &LoadModel,
    without: &[Without],
) -> Vec<ForceAway> {
    let each = without.iter().map(|without| {
        let frame = load.frame.index();
        let (falls, moved_m, tilt_rad) = match &without.rest {
            Ok(rest) => (
                None,
                (rest.state.position_m[frame] - model.guess.position_m[frame]).norm(),
                tilt_of_rad(load, &rest.state).unwrap_or(0.0),
            ),
            Err(fall) if fall.who.is_empty() || fall.who.iter().any(|who| who == path) => {
                (Some(fall.why.clone()), 0.0, 0.0)
            }
            Err(_) => (None, 0.0, 0.0),
        };
        ForceAway {
            without: without.name.clone(),
            falls,
            moved_m,
            tilt_rad,
        }
    });
    each.collect()
}
