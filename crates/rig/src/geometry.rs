//! Small vectors: directions, angles, boxes. Plain arrays at the borders, nalgebra inside.

use statics::{UnitQuaternion, Vector3};

/// Makes a vector of an array.
pub(crate) fn vector(of: [f64; 3]) -> Vector3<f64> {
    Vector3::from(of)
}

/// Makes an array of a vector.
pub(crate) fn array(of: Vector3<f64>) -> [f64; 3] {
    [of.x, of.y, of.z]
}

/// Gives so many level directions, evenly around.
pub(crate) fn level_directions(count: u8) -> impl Iterator<Item = Vector3<f64>> {
    (0..count).map(move |k| {
        let angle_rad = f64::from(k) / f64::from(count) * std::f64::consts::TAU;
        Vector3::new(angle_rad.cos(), angle_rad.sin(), 0.0)
    })
}

/// Gives the angle between two directions, 0 to pi, radians; none if either has no length.
pub(crate) fn angle_rad(a: &Vector3<f64>, b: &Vector3<f64>) -> Option<f64> {
    // atan2 keeps its precision near 0 and pi, where acos loses it.
    (a.norm() > 0.0 && b.norm() > 0.0).then(|| a.cross(b).norm().atan2(a.dot(b)))
}

/// Gives the angle of a body's own x axis above the horizontal, radians.
pub(crate) fn slope_rad(rotation: &UnitQuaternion<f64>) -> f64 {
    let along = rotation * Vector3::x();
    along.z.atan2(along.xy().norm())
}

/// Gives the widest angle between any two of these directions, radians; none with fewer than two.
pub(crate) fn widest_rad(directions: &[Vector3<f64>]) -> Option<f64> {
    let pairs = directions
        .iter()
        .enumerate()
        .flat_map(|(i, a)| directions[i + 1..].iter().map(move |b| (a, b)));
    pairs.filter_map(|(a, b)| angle_rad(a, b)).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_keep_their_precision_near_zero() {
        let a = Vector3::new(0.0, 0.0, 1.0);
        let b = Vector3::new(1e-9, 0.0, 1.0);
        assert!((angle_rad(&a, &b).unwrap() - 1e-9).abs() < 1e-18);
        assert_eq!(angle_rad(&a, &Vector3::zeros()), None);
    }

    #[test]
    fn the_widest_of_three_is_found() {
        let legs = [Vector3::x(), Vector3::y(), Vector3::new(1.0, 1.0, 0.0)];
        assert!((widest_rad(&legs).unwrap() - std::f64::consts::FRAC_PI_2).abs() < 1e-15);
        assert_eq!(widest_rad(&legs[..1]), None);
    }
}
