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
use crate::model::Model;
use motion::{GRAVITY_M_PER_S2, Masses};
use nalgebra::Matrix3;
use statics::{Parameters, Vector3};

/// A load whose size nobody knows is this large along each axis at the least, metres.
const LEAST_SIZE_M: f64 = 0.3;

/// No centre of gravity is where it is drawn to a hair. Each is followed so far off, over the radius of gyration of its load, and aside from
/// what it may be symmetric about, so that what only symmetry keeps from rolling over does roll over.
pub(crate) const HAIR: f64 = 1e-5;
/// How far off it may well be; our judgement.
pub(crate) const OFF: f64 = 0.01;
/// Where to, in the axes of the load.
const TOWARD: [f64; 2] = [0.79, 0.61];

/// Puts the centre of gravity of every load but pipes off, by a share of its radius of gyration.
pub(crate) fn off_centre(model: &Model, masses: &Masses, share: f64, parameters: &mut Parameters) {
    let loads = model.loads.values().filter(|load| load.pipe.is_none());
    for frame in loads.map(|load| load.frame.index()) {
        let mass_kg = parameters.weight_n[frame] / GRAVITY_M_PER_S2;
        if mass_kg > 0.0 {
            let gyration_m = (0.5 * masses.inertia_kg_m2[frame].trace() / mass_kg).sqrt();
            let [x, y] = TOWARD;
            parameters.centre_m[frame] += Vector3::new(x, y, 0.0) * (share * gyration_m);
        }
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
