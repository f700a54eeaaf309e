//! How a load answers to being disturbed where it hangs: pushes, and an error in its centre of gravity.
//!
//! Conventions: SI, z up; a tilt is the angle of the turn from one pose to another about a level axis, whatever it turns
//! about the vertical besides.
//! Assumes: what hangs on a load pulls with it: the push is a share of all of that, where all of that has its centre.
//! Valid for: loads at rest. One that hangs well below all that holds it comes back by itself and is not tried.
//! Source: equilibrium with the disturbance; sizes are our judgement (docs/theory/trials.md).
//! Checked by: tests/main/lets_go.rs, against the balance of moments of a table and frames on two lines.

use crate::facts::Told;
use crate::found::{Change, Trial};
use crate::geometry::{level_directions, slope_rad};
use crate::model::{LoadModel, Model};
use practice::{Disturbance, Disturbed, PUSHES};
use statics::{AppliedForce, FrameId, Solution, UnitQuaternion, Vector3};

/// So far below all that holds it, as a share of its size, a load is not tried: an error of the centre of a hundredth
/// of the size then tilts it by 11 degrees at the most.
const WELL_BELOW: f64 = 0.05;
/// An error of the centre of gravity, as a share of the size of the load that way, and at the least, metres.
pub(crate) const SHIFT: f64 = 0.01;
pub(crate) const LEAST_SHIFT_M: f64 = 5e-3;
/// Nearer to the centre of gravity than this, a place has no elevation worth the name, metres.
const NEAR_M: f64 = 0.025;
const DIRECTIONS: u8 = 8;

/// What bears down on a load where it hangs.
struct Borne {
    /// Its own weight and the pulls downward on it, newtons.
    weight_n: f64,
    /// Where that acts, metres.
    centre_m: Vector3<f64>,
    /// Height of the lowest place at which a line holds it up, metres; infinite if none does.
    lowest_hold_m: f64,
}

/// Disturbs a load where it hangs, with the rig as it is told of, and says what comes of it.
pub(crate) fn disturbances(told: &Told<'_>, load: usize) -> Vec<Disturbance> {
    let (Some((_, modelled)), Some(rest)) = (told.model.loads.get_index(load), told.found.solution()) else {
        return Vec::new();
    };
    let frame = modelled.frame;
    let borne = borne(told, rest, load, modelled);
    let places = own_places(told, rest, load, frame);
    let size_m = places.iter().map(Vector3::norm).fold(0.0, f64::max);
    if borne.lowest_hold_m - borne.centre_m.z > WELL_BELOW * size_m || size_m < LEAST_SHIFT_M {
        return Vec::new();
    }
    let mut solver = Trial::new(told.model, rest);
    let state = &rest.state;
    let to_own = |world: Vector3<f64>| state.rotation[frame.index()].inverse() * world;
    let undisturbed = &Change {
        weightless_lines: true,
        ..told.change.clone()
    };
    let mut tilt_with = |change: Change| {
        let after = solver.with(rest, &change).ok();
        after.map_or(f64::INFINITY, |after| tilts_rad(rest, after, frame, &places))
    };
    let mut greatest = |change: &dyn Fn(Vector3<f64>) -> Change| {
        level_directions(DIRECTIONS)
            .map(|direction| tilt_with(change(direction)))
            .fold(0.0, f64::max)
    };
    let own_m = to_own(borne.centre_m - state.position_m[frame.index()]);
    let (pushed_frame, offset_m) = Model::body_at(modelled, &own_m);
    let pushed = |share: f64| {
        move |direction: Vector3<f64>| Change {
            pushes: vec![AppliedForce {
                frame: pushed_frame,
                offset_m,
                force_n: share * borne.weight_n * direction,
            }],
            ..undisturbed.clone()
        }
    };
    let by_m = |own: &Vector3<f64>| {
        let reach_m = places.iter().map(|at| at.dot(own).abs()).fold(0.0, f64::max);
        LEAST_SHIFT_M.max(SHIFT * reach_m)
    };
    let shifted = |direction: Vector3<f64>| {
        let own = to_own(direction);
        Change {
            shift: Some((frame, by_m(&own) * own)),
            ..undisturbed.clone()
        }
    };
    let mut found: Vec<Disturbance> = PUSHES
        .iter()
        .map(|share| Disturbance {
            by: Disturbed::Push { share: *share },
            tilts_rad: greatest(&pushed(*share)),
        })
        .collect();
    let shift_rad = if modelled.pipe.is_some() {
        let weight_n = modelled.weight_n.value();
        [1.0, -1.0]
            .into_iter()
            .filter_map(|way| along_pipe(told.model, rest, modelled, way * weight_n))
            .map(|pushes| {
                tilt_with(Change {
                    pushes,
                    ..undisturbed.clone()
                })
            })
            .fold(0.0, f64::max)
    } else {
        greatest(&shifted)
    };
    found.push(Disturbance {
        by: Disturbed::Shift,
        tilts_rad: shift_rad,
    });
    found
}

/// Gives the pair of forces at its ends that what a pipe weighs makes if it sits a hundredth of the length further along it; none for a
/// pipe without length, or one that stands upright.
fn along_pipe(model: &Model, rest: &Solution, pipe: &LoadModel, weight_n: f64) -> Option<Vec<AppliedForce>> {
    let (first, last) = (*pipe.frames().first()?, *pipe.frames().last()?);
    let at_m = |frame| rest.state.frame_at_m(&model.topology, &model.parameters, frame);
    let along_m = (at_m(last) - at_m(first)).norm();
    if along_m < LEAST_SHIFT_M {
        return None;
    }
    let by_m = LEAST_SHIFT_M.max(SHIFT * along_m);
    let at = |frame, up_n: f64| AppliedForce {
        frame,
        offset_m: Vector3::zeros(),
        force_n: Vector3::new(0.0, 0.0, up_n),
    };
    let pair_n = weight_n * by_m / along_m;
    Some(vec![at(first, pair_n), at(last, -pair_n)])
}

/// Sums up what bears down on a load and what holds it.
fn borne(told: &Told<'_>, rest: &Solution, load: usize, modelled: &LoadModel) -> Borne {
    let (model, topology) = (told.model, &told.model.topology);
    let own_n = match modelled.pipe {
        Some(_) => modelled.weight_n.value(),
        None => model.parameters.weight_n[modelled.frame.index()],
    };
    let own_centre_m = told.centre_m(load);
    let mut weight_n = own_n;
    let mut moment = own_n * own_centre_m;
    let mut lowest_hold_m = f64::INFINITY;
    for line in topology.lines().filter(|line| !rest.line(*line).limp) {
        let pulls = rest.state.unit_pulls(topology, &model.parameters, line);
        for (attachment, pull) in topology.path(line).iter().zip(pulls) {
            if !modelled.frames().contains(&topology.frame_of(*attachment)) {
                continue;
            }
            let at = model.at_m(&rest.state, *attachment);
            let up_n = pull.z * rest.line(line).tension_n;
            if up_n > 0.0 {
                lowest_hold_m = lowest_hold_m.min(at.z);
            } else {
                weight_n -= up_n;
                moment -= up_n * at;
            }
        }
    }
    let centre_m = if weight_n > 0.0 {
        moment / weight_n
    } else {
        own_centre_m
    };
    Borne {
        weight_n,
        centre_m,
        lowest_hold_m,
    }
}

/// Gives the known places of a load from its centre of gravity, in its own axes, metres.
fn own_places(told: &Told<'_>, rest: &Solution, load: usize, frame: FrameId) -> Vec<Vector3<f64>> {
    let centre = told.centre_m(load);
    let back = rest.state.rotation[frame.index()].inverse();
    told.places(load)
        .into_iter()
        .map(|at| back * (at - centre))
        .collect()
}

/// Gives how much the elevation of a place, seen from the centre of gravity, differs between two poses, at the most,
/// radians. A pipe with all of its places on its axis may roll about that for nothing.
fn tilts_rad(was: &Solution, is: &Solution, frame: FrameId, own_places_m: &[Vector3<f64>]) -> f64 {
    let [was, is] = [was, is].map(|solution| solution.state.rotation[frame.index()]);
    let elevation_rad = |at: Vector3<f64>| at.z.atan2(at.xy().norm());
    let far = own_places_m.iter().filter(|at| at.norm() > NEAR_M);
    let each = far.map(|at| (elevation_rad(is * at) - elevation_rad(was * at)).abs());
    each.fold(0.0, f64::max)
}

/// Gives the angle of the turn from one pose to another about a level axis, radians: what is left of the turn when the part
/// of it about the vertical is taken out. Of a pipe, how much the slope of its axis differs.
pub(crate) fn tilt_between_rad(was: &Solution, is: &Solution, load: &LoadModel) -> f64 {
    let [was, is] = [was, is].map(|solution| solution.state.rotation[load.frame.index()]);
    if load.pipe.is_some() {
        return (slope_rad(&is) - slope_rad(&was)).abs();
    }
    level_turn_rad(is * was.inverse())
}

/// Gives the angle of a turn about a level axis, with the part about the vertical taken out, radians.
fn level_turn_rad(turn: UnitQuaternion<f64>) -> f64 {
    2.0 * turn.i.hypot(turn.j).atan2(turn.w.hypot(turn.k))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A turn about the vertical is no tilt, before or after one about a level axis.
    #[test]
    fn a_tilt_is_what_a_turn_has_besides_the_vertical() {
        let about = |axis: Vector3<f64>, angle: f64| UnitQuaternion::from_scaled_axis(axis * angle);
        let level = Vector3::new(0.6, 0.8, 0.0);
        for (yaw, tilt) in [(0.0, 0.5), (1.2, 0.5), (3.0, 1.3), (2.0, 0.0)] {
            let turn = about(Vector3::z(), yaw) * about(level, tilt);
            let found = level_turn_rad(turn);
            assert!((found - tilt).abs() < 1e-12, "{yaw} {tilt}: {found}");
        }
    }
}
