//! How hard loads are to turn.
//!
//! Conventions: SI; moments of inertia about the common centre of gravity, own axes.
//! Assumes: an item is a mass at its place; a margin is more of everything where it is. Where nothing is stated a load is a block that
//! spans its picks, items and centre, and a foot along each axis at the least.
//! Valid for: loads of the rig document; pipes are known by their weight along them.
//! Source: a block's m (b² + c²) / 12 (handbooks, from memory); parallel axes.
//! Checked by: the tests below.

use crate::defaults::Defaults;
use crate::document::{Load, Rig};
use crate::geometry::vector;
use crate::model::{LoadModel, Model};
use motion::{GRAVITY_M_PER_S2, Masses};
use nalgebra::Matrix3;
use statics::{FrameId, Parameters, Vector3};
use std::f64::consts::TAU;

/// A load whose size nobody knows is this large along each axis at the least, metres.
const LEAST_SIZE_M: f64 = 0.3;

/// No centre of gravity is where it is drawn to a hair. Each is followed so far off, over the radius of gyration of its load, and aside from
/// what it may be symmetric about, so that what only symmetry keeps from rolling over does roll over.
pub(crate) const HAIR: f64 = 1e-5;
/// How far off it may well be; our judgement.
pub(crate) const OFF: f64 = 0.01;
/// In how many directions it may be so. Rigs that are mirror images have these in common.
pub(crate) const DIRECTIONS: usize = 8;

/// Gives where a direction is, in the axes of a load: along no axis, and along no diagonal. It is a corner of the regular polygon around the
/// circle of radius 1, so that all that is so far off lies between them.
fn toward(direction: usize) -> Vector3<f64> {
    let half = 0.5 * TAU / DIRECTIONS as f64;
    let (sin, cos) = ((2.0 * direction as f64 + 1.0) * half).sin_cos();
    Vector3::new(cos, sin, 0.0) / half.cos()
}

/// Puts the centre of gravity of every load off in a direction, by a share of its radius of gyration; that of a pipe along it.
pub(crate) fn off_centre(
    model: &Model,
    masses: &Masses,
    (share, direction): (f64, usize),
    parameters: &mut Parameters,
) {
    let toward = toward(direction);
    for load in model.loads.values() {
        let frame = load.frame.index();
        let mass_kg = parameters.weight_n[frame] / GRAVITY_M_PER_S2;
        if load.pipe.is_some() {
            off_along(load, share * toward.x, parameters);
        } else if mass_kg > 0.0 {
            let gyration_m = (0.5 * masses.inertia_kg_m2[frame].trace() / mass_kg).sqrt();
            parameters.centre_m[frame] += toward * (share * gyration_m);
        }
    }
}

/// Makes a pipe heavier toward one end and lighter toward the other, by all of what it weighs and carries: with weights w at x from the
/// centre each gets w (1 + share x / r), which leaves their sum and moves the centre by share times r, the radius of gyration.
fn off_along(load: &LoadModel, share: f64, parameters: &mut Parameters) {
    let Some(pipe) = &load.pipe else { return };
    let chain = &pipe.chain;
    let place_m = |frame: FrameId| {
        let at = chain.frames.iter().position(|own| *own == frame);
        at.map_or(0.0, |at| chain.along_m[at])
    };
    let middle_m = |piece: usize| 0.5 * (chain.along_m[piece] + chain.along_m[piece + 1]);
    let frames = || chain.frames.iter().enumerate();
    let beams = || chain.beams.iter().enumerate();
    let carried = pipe.carried.clone();
    let spread_n = |beam: &statics::BeamId, parameters: &Parameters| {
        let beam = &parameters.beams[beam.index()];
        beam.load_n_per_m.norm() * beam.length_m
    };
    let forces = parameters.forces[carried.clone()].iter();
    let weights: Vec<(f64, f64)> = frames()
        .map(|(at, frame)| (chain.along_m[at], parameters.weight_n[frame.index()]))
        .chain(beams().map(|(piece, beam)| (middle_m(piece), spread_n(beam, parameters))))
        .chain(forces.map(|force| (place_m(force.frame) + force.offset_m.x, force.force_n.norm())))
        .collect();
    let sum = |of: &dyn Fn(f64) -> f64| weights.iter().map(|(x, weight)| weight * of(*x)).sum::<f64>();
    let weight_n = sum(&|_| 1.0);
    let centre_m = sum(&|x| x) / weight_n;
    let gyration_m = (sum(&|x| (x - centre_m).powi(2)) / weight_n).sqrt();
    // Written so that what is no number changes nothing.
    let is_spread = gyration_m > 0.0;
    if !is_spread {
        return;
    }
    let heavier = |x: f64| 1.0 + share * (x - centre_m) / gyration_m;
    for (at, frame) in frames() {
        parameters.weight_n[frame.index()] *= heavier(chain.along_m[at]);
    }
    for (piece, beam) in beams() {
        parameters.beams[beam.index()].load_n_per_m *= heavier(middle_m(piece));
    }
    for force in &mut parameters.forces[carried] {
        let x = place_m(force.frame) + force.offset_m.x;
        force.force_n *= heavier(x);
    }
}

/// Says what has which mass.
pub(crate) fn masses(rig: &Rig, model: &Model, defaults: &mut Defaults) -> Masses {
    let mut inertia_kg_m2 = vec![Matrix3::zeros(); model.topology.frame_count()];
    for ((name, load), modelled) in rig.loads.iter().zip(model.loads.values()) {
        if modelled.pipe.is_some() {
            continue;
        }
        if load.size_m.is_none() {
            let what = "takes the room of its picks, items and centre of gravity alone (say `size`)";
            defaults.assume(what, format!("loads.{name}"));
        }
        if load.inertia_kg_m2.is_none() && load.size_m.is_none() {
            let what = "turns as a block that spans its picks, items and centre of gravity (say `size` or `inertia`)";
            defaults.assume(what, format!("loads.{name}"));
        }
        let frame = modelled.frame.index();
        inertia_kg_m2[frame] = of_load(load, model.parameters.centre_m[frame]);
    }
    Masses {
        inertia_kg_m2,
        // The forces that the writer states come first; all others are weights of something.
        forces_are_weights: (0..model.parameters.forces.len())
            .map(|force| force >= model.stated_forces.len())
            .collect(),
    }
}

/// Gives the moments of inertia of a load with its items about a place, kilogram square metres.
fn of_load(load: &Load, about_m: Vector3<f64>) -> Matrix3<f64> {
    let mass_kg = load.weight_n / GRAVITY_M_PER_S2;
    let size_m = load.size_m.map_or_else(|| spanned_m(load), vector);
    let moments = load.inertia_kg_m2.map_or_else(|| block(mass_kg, size_m), vector);
    let centre_m = vector(load.centre_m.unwrap_or_default());
    let own = Matrix3::from_diagonal(&moments) + away(mass_kg, centre_m - about_m);
    let each = |item: &crate::document::Item| {
        let mass_kg = f64::from(item.count) * item.weight_n / GRAVITY_M_PER_S2;
        away(mass_kg, vector(item.at_m) - about_m)
    };
    let items: Matrix3<f64> = load.items.iter().map(each).sum();
    let added: Matrix3<f64> = load.added.iter().map(each).sum();
    (own + items) * (1.0 + load.margin.unwrap_or(0.0)) + added
}

fn block(mass_kg: f64, size_m: Vector3<f64>) -> Vector3<f64> {
    let [a, b, c] = [size_m.x, size_m.y, size_m.z].map(|length_m| length_m * length_m);
    Vector3::new(b + c, a + c, a + b) * (mass_kg / 12.0)
}

/// What a mass at a distance adds.
fn away(mass_kg: f64, r: Vector3<f64>) -> Matrix3<f64> {
    (Matrix3::identity() * r.norm_squared() - r * r.transpose()) * mass_kg
}

/// Gives the size of the block that spans what is known of a load, metres.
fn spanned_m(load: &Load) -> Vector3<f64> {
    let items = load.items.iter().map(|item| item.at_m);
    let places = load.picks.values().copied().chain(items).chain(load.centre_m);
    let places = places.map(vector);
    let (least, most) = places.fold(
        (Vector3::repeat(f64::INFINITY), Vector3::repeat(f64::NEG_INFINITY)),
        |(least, most), at| (least.inf(&at), most.sup(&at)),
    );
    (most - least).map(|length_m| length_m.max(LEAST_SIZE_M))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plate of 12 kg and 2 by 1 m: m b²/12, m a²/12 and their sum; a mass of 3 kg 2 m off adds 12 about the other axes.
    #[test]
    fn moments_of_a_plate_with_something_on_it() {
        let plate = block(12.0, Vector3::new(2.0, 1.0, 0.0));
        assert!((plate - Vector3::new(1.0, 4.0, 5.0)).norm() < 1e-12);
        let more = away(3.0, Vector3::new(2.0, 0.0, 0.0));
        assert!((more - Matrix3::from_diagonal(&Vector3::new(0.0, 12.0, 12.0))).norm() < 1e-12);
    }
}
