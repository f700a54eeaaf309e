//! One heavy elastic rope between two places: the elastic catenary.
//!
//! Along the rope the tension is the vector t(s) = P + w s z, with s from -l/2 to l/2 along the unstretched rope: P is
//! what it pulls at the middle of its weight. The complementary energy C(P), the integral of T + T^2 / 2EA, has the
//! rope's reach d (from its first end to its last) as slope and is convex; the energy of the rope stretched to the reach
//! d is the greatest value of P.d - C(P). Both ends get half of the weight besides: that is left to the caller.
//!
//! Conventions: SI, z up; reach from first to last end; the rope pulls its first end with t(-l/2), its last with -t(l/2).
//! Assumes: linear elasticity, weight per unstretched length, no bending stiffness.
//! Valid for: any reach, with weight above zero. Where the rope hangs in a loop straight down, a horizontal pull of a
//! billionth of its weight rounds off the corner at its lowest place.
//! Source: Irvine, Cable Structures, 1981, elastic catenary (from memory), written with differences of large numbers
//! divided out; first guess from the parabola and from Jayaraman and Knudson 1981 (from memory).
//! Checked by: unit tests below (against sums along the rope, and derivatives); tests/published.rs (P01 to P04, P25);
//! tests/structures.rs.

use nalgebra::{Matrix3, Vector3};

/// Share of the weight that rounds off a loop.
const ROUNDING: f64 = 1e-9;

/// Most Newton steps from guess to answer; 4 to 8 are usual.
const STEPS: u32 = 60;

/// Describes a heavy elastic rope.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rope {
    /// EA, N.
    pub stiffness_n: f64,
    /// Length when nothing pulls, m.
    pub unloaded_m: f64,
    /// Weight per unstretched length, N/m; above zero.
    pub weight_n_per_m: f64,
}

/// Holds how a rope hangs between two places.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hang {
    /// P: its pull at the middle of its weight, from the first end towards the last, N.
    pub pull_n: Vector3<f64>,
    /// Change of `pull_n` with the reach, N/m; symmetric and positive definite.
    pub stiffness: Matrix3<f64>,
    /// Energy of stretch and of sag below a place half way between the ends, J.
    pub energy_j: f64,
    /// Tension at the first and at the last end, N.
    pub end_tensions_n: [f64; 2],
    /// What a change of the unstretched length does.
    pub by_length: ByLength,
}

/// What a change of the unstretched length does to a hanging rope, the weight growing with it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ByLength {
    /// Change of `pull_n`, N/m.
    pub pull_n_per_m: Vector3<f64>,
    /// Change of `energy_j`, J/m.
    pub energy_n: f64,
    /// Second change of `energy_j`, J/m2.
    pub energy_n_per_m: f64,
}

/// Holds reach and compliance in the vertical plane at a pull (horizontal, vertical).
struct Reach {
    across_m: f64,
    up_m: f64,
    /// Derivatives of reach by pull: across-across, across-up, up-up, and square to the plane, m/N.
    compliance: [f64; 4],
    end_tensions_n: [f64; 2],
    complementary_j: f64,
}

impl Rope {
    fn weight_n(&self) -> f64 {
        self.weight_n_per_m * self.unloaded_m
    }

    /// Finds how it hangs with this reach. `start` is a pull to start from, such as that of a reach nearby.
    pub fn hang(&self, reach_m: &Vector3<f64>, start_n: Option<Vector3<f64>>) -> Hang {
        let across_m = reach_m.xy().norm();
        let target = [across_m, reach_m.z];
        let mut pull = self.first_guess(target);
        let mut at = self.reach(pull);
        if let Some(start) = start_n.map(|pull| [pull.xy().norm(), pull.z]) {
            let other = self.reach(start);
            if other.miss(target) < at.miss(target) {
                (pull, at) = (start, other);
            }
        }
        (pull, at) = self.refine(target, pull, at);
        self.in_space(reach_m, across_m, pull, &at)
    }

    /// Newton's method on the greatest value of P.d - C(P), which is concave: steps that lose are halved.
    fn refine(&self, target: [f64; 2], mut pull: [f64; 2], mut at: Reach) -> ([f64; 2], Reach) {
        let size_m = self.unloaded_m + target[0] + target[1].abs();
        let value =
            |pull: [f64; 2], at: &Reach| pull[0] * target[0] + pull[1] * target[1] - at.complementary_j;
        let mut worth = value(pull, &at);
        for _ in 0..STEPS {
            let miss = [target[0] - at.across_m, target[1] - at.up_m];
            if at.miss(target) <= 4.0 * f64::EPSILON * size_m {
                break;
            }
            let [aa, au, uu, _] = at.compliance;
            let determinant = aa * uu - au * au;
            let mut step = [
                (uu * miss[0] - au * miss[1]) / determinant,
                (aa * miss[1] - au * miss[0]) / determinant,
            ];
            let mut settled = true;
            for _ in 0..40 {
                // The pull across does not change sides.
                let tried = [(pull[0] + step[0]).abs(), pull[1] + step[1]];
                let there = self.reach(tried);
                let worth_there = value(tried, &there);
                let rounding = 8.0 * f64::EPSILON * (worth.abs() + there.complementary_j.abs());
                let better = worth_there > worth + rounding
                    || worth_there >= worth - rounding && there.miss(target) < at.miss(target);
                if better {
                    (pull, at, worth) = (tried, there, worth_there);
                    settled = false;
                    break;
                }
                step = step.map(|x| 0.5 * x);
            }
            if settled {
                break;
            }
        }
        (pull, at)
    }

    /// Guesses the pull from the parabola where it is nearly straight or stretched, else from the catenary that does
    /// not stretch.
    fn first_guess(&self, [across_m, up_m]: [f64; 2]) -> [f64; 2] {
        let (length_m, weight_n) = (self.unloaded_m, self.weight_n());
        let reach_m = across_m.hypot(up_m);
        if reach_m > 0.97 * length_m {
            let square_to_it = weight_n * across_m / reach_m;
            let tension_n = self.parabola_tension_n(reach_m, square_to_it);
            return [tension_n * across_m / reach_m, tension_n * up_m / reach_m];
        }
        let ratio = (length_m * length_m - up_m * up_m).sqrt() / across_m.max(1e-12 * length_m);
        let steepness = if ratio < 3.0 {
            // Of sinh(x)/x = ratio, by its first terms.
            (((120.0 * (ratio - 1.0)).max(0.0) / 20.0) * (1.0 - 0.12 * (ratio - 1.0).max(0.0))).sqrt()
        } else {
            let log = (2.0 * ratio).ln();
            log + log.ln()
        };
        let steepness = steepness.max(1e-3);
        [
            0.5 * self.weight_n_per_m * across_m / steepness,
            0.5 * self.weight_n_per_m * up_m / steepness.tanh(),
        ]
    }

    /// Tension of the elastic parabola: the positive root of T^3 + EA (1 - d/l) T^2 = EA W^2 / 24.
    fn parabola_tension_n(&self, reach_m: f64, weight_square_to_it_n: f64) -> f64 {
        let slack = self.stiffness_n * (1.0 - reach_m / self.unloaded_m);
        let sag = self.stiffness_n * weight_square_to_it_n * weight_square_to_it_n / 24.0;
        // From above the root, where the cubic is convex and rising, Newton comes down to it.
        let mut tension = (-slack).max(0.0) + sag.cbrt();
        for _ in 0..60 {
            let value = tension * tension * (tension + slack) - sag;
            let slope = tension * (3.0 * tension + 2.0 * slack);
            if !(slope > 0.0 && value > 0.0) {
                break;
            }
            let next = tension - value / slope;
            if next >= tension {
                break;
            }
            tension = next;
        }
        tension.max(ROUNDING * self.weight_n())
    }

    /// Reach at a pull. With u = v - W/2 and v + W/2 at the ends and T there: up = v l (2 / (T1 + T2) + 1 / EA), across =
    /// H l (asinh(..) / W + 1 / EA).
    fn reach(&self, [across_n, up_n]: [f64; 2]) -> Reach {
        let (length_m, weight_n, stiffness_n) = (self.unloaded_m, self.weight_n(), self.stiffness_n);
        let rounding_n = ROUNDING * weight_n;
        let square = across_n * across_n + rounding_n * rounding_n;
        let ends = [up_n - 0.5 * weight_n, up_n + 0.5 * weight_n];
        let tensions = ends.map(|up| (square + up * up).sqrt());
        let (product, both) = (tensions[0] * tensions[1], tensions[0] + tensions[1]);
        let along = ends[0] * ends[1];
        // (T1 T2 - u1 u2) / H^2 and with it q / H^2, free of differences.
        let excess = if along > 0.0 {
            (square + ends[0] * ends[0] + ends[1] * ends[1]) / (product + along)
        } else {
            (product - along) / square
        };
        let spread = (1.0 + excess) / both;
        let arc = over_itself(weight_n * spread) * spread;
        // Difference of the sines of the slopes at the ends, over the weight.
        let turn = square * (1.0 + excess) / (both * product);
        let elastic = 1.0 / stiffness_n;
        let across = length_m * (arc + elastic);
        let up = length_m * (2.0 / both + elastic);
        let sagging = length_m * turn * across_n * across_n / square;
        let mixed = -2.0 * across_n * up_n * length_m / (both * product);
        let complementary_j = self.complementary_j(square, ends, tensions, length_m * arc);
        Reach {
            across_m: across_n * across,
            up_m: up_n * up,
            compliance: [across - sagging, mixed, length_m * (turn + elastic), across],
            end_tensions_n: tensions,
            complementary_j,
        }
    }

    /// C = l ((u2 T2 - u1 T1) / 2W + H^2 arc / 2) + l (H^2 + v^2 + W^2 / 12) / 2EA.
    fn complementary_j(&self, square: f64, ends: [f64; 2], tensions: [f64; 2], arc_m: f64) -> f64 {
        let (length_m, weight_n) = (self.unloaded_m, self.weight_n());
        let middle = 0.5 * (ends[0] + ends[1]);
        // (u2 T2 - u1 T1) / W = (T1 + T2) / 2 + v (u1 + u2) / (T1 + T2).
        let both = tensions[0] + tensions[1];
        let rise = 0.5 * both + 2.0 * middle * middle / both;
        let stretch = square + middle * middle + weight_n * weight_n / 12.0;
        0.5 * length_m * (rise + stretch / self.stiffness_n) + 0.5 * square * arc_m
    }

    fn in_space(&self, reach_m: &Vector3<f64>, across_m: f64, pull: [f64; 2], at: &Reach) -> Hang {
        let across = if across_m > 0.0 {
            Vector3::new(reach_m.x / across_m, reach_m.y / across_m, 0.0)
        } else {
            Vector3::x()
        };
        let square = Vector3::new(-across.y, across.x, 0.0);
        let pull_n = across * pull[0] + Vector3::z() * pull[1];
        let [aa, au, uu, out] = at.compliance;
        let determinant = aa * uu - au * au;
        let mixed = across * Vector3::z().transpose();
        let stiffness = across * across.transpose() * (uu / determinant)
            - (mixed + mixed.transpose()) * (au / determinant)
            + Vector3::z() * Vector3::z().transpose() * (aa / determinant)
            + square * square.transpose() / out;
        Hang {
            pull_n,
            stiffness,
            energy_j: pull[0] * across_m + pull[1] * reach_m.z - at.complementary_j,
            end_tensions_n: at.end_tensions_n,
            by_length: self.by_length(&pull_n, &stiffness, at.end_tensions_n),
        }
    }

    /// With phi(T) = T + T^2 / 2EA: C grows with the length by the mean of phi at both ends.
    fn by_length(&self, pull_n: &Vector3<f64>, stiffness: &Matrix3<f64>, tensions: [f64; 2]) -> ByLength {
        let half = Vector3::z() * (0.5 * self.weight_n());
        let ends = [pull_n - half, pull_n + half];
        let soft = 1.0 / self.stiffness_n;
        let phi = tensions.map(|t| t + 0.5 * t * t * soft);
        // Stretched tangent at each end.
        let tangent = [0, 1].map(|i| ends[i] * (1.0 / tensions[i].max(f64::MIN_POSITIVE) + soft));
        let mean = (tangent[0] + tangent[1]) * 0.5;
        let change = stiffness * mean;
        let own = 0.25 * self.weight_n_per_m * (tangent[1].z - tangent[0].z);
        ByLength {
            pull_n_per_m: -change,
            energy_n: -0.5 * (phi[0] + phi[1]),
            energy_n_per_m: mean.dot(&change) - own,
        }
    }

    /// Greatest depth below the straight line between its ends, measured upright, m.
    pub fn sag_m(&self, reach_m: &Vector3<f64>, hang: &Hang) -> f64 {
        let across_m = reach_m.xy().norm();
        let across_n = hang.pull_n.xy().norm();
        if across_m <= 1e-9 * self.unloaded_m || across_n <= 0.0 {
            return 0.0;
        }
        // Deepest where it runs along the chord.
        let slope = reach_m.z / across_m;
        let half = 0.5 * self.unloaded_m;
        let s = ((across_n * slope - hang.pull_n.z) / self.weight_n_per_m).clamp(-half, half);
        let part = Self {
            unloaded_m: s + half,
            ..*self
        };
        if part.unloaded_m <= 0.0 {
            return 0.0;
        }
        // The part up to there has its own middle.
        let up_n = hang.pull_n.z + 0.5 * self.weight_n_per_m * (s - half);
        let to = part.reach([across_n, up_n]);
        (slope * to.across_m - to.up_m).max(0.0)
    }
}

impl Reach {
    fn miss(&self, target: [f64; 2]) -> f64 {
        (target[0] - self.across_m).abs() + (target[1] - self.up_m).abs()
    }
}

/// asinh(x) / x.
fn over_itself(x: f64) -> f64 {
    if x.abs() < 1e-4 {
        1.0 - x * x / 6.0
    } else {
        x.asinh() / x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rope(stiffness_n: f64, unloaded_m: f64, weight_n_per_m: f64) -> Rope {
        Rope {
            stiffness_n,
            unloaded_m,
            weight_n_per_m,
        }
    }

    /// Ropes and reaches from slack loops to strings, level to upright.
    fn cases() -> Vec<(Rope, Vector3<f64>)> {
        let mut cases = Vec::new();
        for weight in [1e-4, 0.5, 30.0, 400.0] {
            for stiffness in [2e4, 1e6, 5e7] {
                for part in [0.02, 0.5, 0.9, 0.99, 0.9999, 1.0, 1.0005, 1.01] {
                    for up in [-1.0_f64, -0.7, 0.0, 0.4, 0.999] {
                        let across = (1.0 - up * up).sqrt();
                        let reach = Vector3::new(0.6 * across, -0.8 * across, up) * (12.0 * part);
                        cases.push((rope(stiffness, 12.0, weight), reach));
                    }
                }
            }
        }
        cases
    }

    /// Adds up the stretched rope piece by piece from the pull alone.
    fn summed(rope: &Rope, pull_n: &Vector3<f64>) -> Vector3<f64> {
        let pieces = 200_000;
        let step = rope.unloaded_m / f64::from(pieces);
        let mut reach = Vector3::zeros();
        for i in 0..pieces {
            let s = (f64::from(i) + 0.5) * step - 0.5 * rope.unloaded_m;
            let t = pull_n + Vector3::z() * (rope.weight_n_per_m * s);
            reach += t * (1.0 / t.norm() + 1.0 / rope.stiffness_n) * step;
        }
        reach
    }

    #[test]
    fn every_rope_reaches_where_it_should() {
        for (rope, reach) in cases() {
            let hang = rope.hang(&reach, None);
            let pull = [hang.pull_n.xy().norm(), hang.pull_n.z];
            let miss = rope.reach(pull).miss([reach.xy().norm(), reach.z]);
            assert!(miss < 1e-12 * 12.0, "{rope:?} {reach:?}: {miss}");
        }
    }

    #[test]
    fn a_sum_along_the_rope_comes_to_the_same_reach() {
        for (rope, reach) in [
            (rope(1e6, 12.0, 30.0), Vector3::new(6.0, 3.0, 4.0)),
            (rope(5e7, 12.0, 30.0), Vector3::new(12.001, 0.0, 0.0)),
            (rope(2e4, 12.0, 0.5), Vector3::new(0.0, 7.0, -9.0)),
        ] {
            let hang = rope.hang(&reach, None);
            let miss = (summed(&rope, &hang.pull_n) - reach).norm();
            assert!(miss < 1e-7, "{rope:?}: {miss}");
        }
    }

    #[test]
    fn derivatives_are_the_slopes() {
        for (rope, reach) in cases() {
            let share = reach.norm() / rope.unloaded_m;
            // A loop straight down has a corner there; a string's pull is lost in rounding.
            if reach.xy().norm() < 1e-3 || (0.995..1.001).contains(&share) {
                continue;
            }
            let hang = rope.hang(&reach, None);
            let size = hang.stiffness.norm();
            for axis in 0..3 {
                let by = Vector3::ith(axis, 1e-5);
                let (less, more) = (rope.hang(&(reach - by), None), rope.hang(&(reach + by), None));
                let slope = (more.pull_n - less.pull_n) / 2e-5;
                let miss = (slope - hang.stiffness.column(axis)).norm();
                assert!(miss < 2e-4 * size, "{rope:?} {reach:?}: {miss} of {size}");
                let force = (more.energy_j - less.energy_j) / 2e-5;
                let scale = hang.pull_n.norm() + rope.weight_n();
                assert!(
                    (force - hang.pull_n[axis]).abs() < 1e-5 * scale,
                    "{rope:?} {reach:?}"
                );
            }
            let longer = |by: f64| Rope {
                unloaded_m: rope.unloaded_m + by,
                ..rope
            };
            let (less, more) = (longer(-1e-5).hang(&reach, None), longer(1e-5).hang(&reach, None));
            let told = hang.by_length;
            let slope = (more.pull_n - less.pull_n) / 2e-5;
            assert!(
                (slope - told.pull_n_per_m).norm() < 2e-4 * size,
                "{rope:?} {reach:?}"
            );
            let slope = (more.energy_j - less.energy_j) / 2e-5;
            let scale = hang.end_tensions_n[0] + hang.end_tensions_n[1];
            assert!((slope - told.energy_n).abs() < 1e-5 * scale, "{rope:?} {reach:?}");
            let slope = (more.by_length.energy_n - less.by_length.energy_n) / 2e-5;
            assert!(
                (slope - told.energy_n_per_m).abs() < 2e-4 * size,
                "{rope:?} {reach:?}: {slope} {}",
                told.energy_n_per_m
            );
        }
    }

    /// A level parabola: sag = w h^2 / 8 H to the second order.
    #[test]
    fn a_flat_rope_sags_as_a_parabola() {
        let rope = rope(5e7, 12.0, 2.0);
        let reach = Vector3::new(12.01, 0.0, 0.0);
        let hang = rope.hang(&reach, None);
        let parabola = 2.0 * 12.01 * 12.0 / (8.0 * hang.pull_n.x);
        assert!((rope.sag_m(&reach, &hang) / parabola - 1.0).abs() < 1e-3);
    }
}
