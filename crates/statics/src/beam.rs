//! A straight piece of pipe between two bodies, and the hinge between two such pieces.
//!
//! A piece knows its ends only by how they stand to one another: the turn from the first to the last, halved, gives a
//! frame in the middle; seen from there the ends are r apart and turned by theta. Stretch, offsets r_y and r_z (what the
//! ends are out of line with the mean of their directions) and theta each have a stiffness of their own: EA/L, 12 EI/L^3,
//! GJ/L and EI/L. That is the whole of Bernoulli's beam, in a diagonal form, and turning or moving the piece as a whole
//! changes none of it. A piece bent by theta is drawn together by theta^2/24 of its length, so its stretch is
//! r_x - L + L theta^2/24; with that a pull stiffens it and a thrust softens it as they should.
//!
//! Conventions: own x axis along the pipe; forces and moments in the middle frame; N, N m, rad; energy as in assemble.rs.
//! Assumes: plane sections, no shear deformation, small turns within one piece, a load spread evenly over its length.
//! Valid for: turns of up to some tenths of a radian from end to end of one piece; any turn of the whole.
//! Source: slope-deflection equations of Bernoulli's beam; a frame that moves along with the piece, as in Crisfield 1990
//! (from memory); the chord of an arc, 2 sin(theta/2)/theta = 1 - theta^2/24 to the fourth power; derivatives from first
//! principles.
//! Checked by: unit tests below; tests/published.rs (P12, P13, P26); tests/structures.rs.

use nalgebra::{Matrix3, SMatrix, UnitQuaternion, Vector3};

/// Describes a piece of pipe, or a hinge, by what resists stretch, offset and turn of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamParameters {
    /// Its length; 0 for a hinge, m.
    pub length_m: f64,
    /// What resists stretch along x and offsets along y and z, N/m.
    pub shift_n_per_m: Vector3<f64>,
    /// What resists turns of one end against the other about x, y and z, N m/rad.
    pub turn_n_m: Vector3<f64>,
    /// Load spread evenly along it, of fixed direction in space, N/m.
    pub load_n_per_m: Vector3<f64>,
}

impl BeamParameters {
    /// Describes a piece of constant section: EA in N; EI about its own y and z axes and GJ in N m².
    pub fn prismatic(length_m: f64, ea_n: f64, ei_y_n_m2: f64, ei_z_n_m2: f64, gj_n_m2: f64) -> Self {
        let cube = length_m.powi(3);
        Self {
            length_m,
            // An offset along y bends about z.
            shift_n_per_m: Vector3::new(ea_n / length_m, 12.0 * ei_z_n_m2 / cube, 12.0 * ei_y_n_m2 / cube),
            turn_n_m: Vector3::new(gj_n_m2, ei_y_n_m2, ei_z_n_m2) / length_m,
            load_n_per_m: Vector3::zeros(),
        }
    }

    /// Describes a hinge: two ends at one place that may turn freely about y and z, with stiff resistance to the rest.
    pub fn hinge(shift_n_per_m: f64, twist_n_m: f64) -> Self {
        Self {
            length_m: 0.0,
            shift_n_per_m: Vector3::repeat(shift_n_per_m),
            turn_n_m: Vector3::new(twist_n_m, 0.0, 0.0),
            load_n_per_m: Vector3::zeros(),
        }
    }
}

/// Describes the forces within a piece of pipe in equilibrium. Places along it are measured from its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamResult {
    /// Length of the piece, m.
    pub length_m: f64,
    /// Turns the axes of its middle to world axes.
    pub rotation: UnitQuaternion<f64>,
    /// Force in its middle, of its later part on its earlier part: pull along x, shear along y and z, N.
    pub force_n: Vector3<f64>,
    /// Mean moment over its length: twist about x, bending about y and z, N m.
    pub moment_n_m: Vector3<f64>,
    /// Evenly spread load in its own axes, N/m.
    pub load_n_per_m: Vector3<f64>,
    /// Turn of its last end against its first, own axes, rad.
    pub turn_rad: Vector3<f64>,
    /// Stretch of its axis, and offset of its ends, own axes, m.
    pub shift_m: Vector3<f64>,
    /// EI for bending about y and z, N m²; 0 for a hinge.
    pub bending_n_m2: [f64; 2],
}

impl BeamResult {
    /// No force anywhere.
    pub(crate) const NONE: Self = Self {
        length_m: 0.0,
        rotation: UnitQuaternion::new_unchecked(nalgebra::Quaternion::new(1.0, 0.0, 0.0, 0.0)),
        force_n: Vector3::new(0.0, 0.0, 0.0),
        moment_n_m: Vector3::new(0.0, 0.0, 0.0),
        load_n_per_m: Vector3::new(0.0, 0.0, 0.0),
        turn_rad: Vector3::new(0.0, 0.0, 0.0),
        shift_m: Vector3::new(0.0, 0.0, 0.0),
        bending_n_m2: [0.0, 0.0],
    };

    /// Force of the later part on the earlier at a place along it, N.
    pub fn force_at(&self, along_m: f64) -> Vector3<f64> {
        self.force_n - self.load_n_per_m * along_m
    }

    /// Moment of the later part on the earlier at a place along it, N m: dM/ds = -x × F.
    pub fn moment_at(&self, along_m: f64) -> Vector3<f64> {
        let force = self.force_n;
        let second = 0.5 * along_m * along_m - self.length_m * self.length_m / 24.0;
        self.moment_n_m - self.axis().cross(&force) * along_m + self.curve_n() * second
    }

    /// Second change of the moment along the piece: what is spread over it, and the pull where it bends off its chord, N.
    fn curve_n(&self) -> Vector3<f64> {
        Vector3::x().cross(&self.load_n_per_m)
            + across(&self.turn_rad) * (self.force_n.x * per(self.length_m))
    }

    /// Direction of the straight line between its ends, which is not quite x.
    fn axis(&self) -> Vector3<f64> {
        let drawn_together = across(&self.turn_rad).norm_squared() / 24.0;
        Vector3::x() * (1.0 - drawn_together) + self.shift_m * per(self.length_m)
    }

    /// How far its axis is from the straight line between its ends at a place along it, own axes, m.
    pub fn offset_at(&self, along_m: f64) -> Vector3<f64> {
        let (length_m, s) = (self.length_m, along_m);
        let half = 0.5 * length_m;
        // Integrals of curvature: from the mean, from the shear, from the load; each 0 at both ends.
        let mean = 0.5 * (s * s - half * half);
        let shear = s * (s * s - half * half) / 6.0;
        let load = (s.powi(4) - half.powi(4)) / 24.0 - length_m * length_m / 48.0 * (s * s - half * half);
        self.bent_by([mean, shear, load])
    }

    /// Direction of its axis at a place along it, own axes.
    pub fn direction_at(&self, along_m: f64) -> Vector3<f64> {
        let (length_m, s) = (self.length_m, along_m);
        // The slopes of the integrals in `offset_at`.
        let shear = s * s / 2.0 - length_m * length_m / 24.0;
        let load = s.powi(3) / 6.0 - length_m * length_m / 24.0 * s;
        (self.axis() + self.bent_by([s, shear, load])).normalize()
    }

    /// Shear at a place along it: the force across its axis there, own axes, N.
    pub fn shear_at(&self, along_m: f64) -> Vector3<f64> {
        let (force, direction) = (self.force_at(along_m), self.direction_at(along_m));
        force - direction * direction.dot(&force)
    }

    /// Bends by so much from the mean moment, from the shear and from what curves the moment; a hinge does not.
    fn bent_by(&self, [mean, shear, load]: [f64; 3]) -> Vector3<f64> {
        let bend = |moment: f64, slope: f64, curve: f64, ei: f64| {
            let whole = moment * mean + slope * shear + curve * load;
            if ei > 0.0 { whole / ei } else { 0.0 }
        };
        let ([ei_y, ei_z], curve) = (self.bending_n_m2, self.curve_n());
        Vector3::new(
            0.0,
            bend(self.moment_n_m.z, -self.force_n.y, curve.z, ei_z),
            -bend(self.moment_n_m.y, self.force_n.z, curve.y, ei_y),
        )
    }
}

/// Holds how the ends of a piece stand to one another, in the frame of its middle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Strain {
    pub rotation: UnitQuaternion<f64>,
    /// r: from first to last end.
    pub reach_m: Vector3<f64>,
    /// theta.
    pub turn_rad: Vector3<f64>,
}

/// Holds force and moment that resist a strain.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Stress {
    pub force_n: Vector3<f64>,
    pub moment_n_m: Vector3<f64>,
}

/// Forces and moments on both ends in world axes: minus what they feel.
pub(crate) type EndSlopes = [Vector3<f64>; 4];

/// Stiffness by force and moment at first and last end, N/m, N/rad, N m/rad; world axes.
pub(crate) type EndStiffness = SMatrix<f64, 12, 12>;

impl Strain {
    pub fn between(at_m: [Vector3<f64>; 2], rotations: [UnitQuaternion<f64>; 2]) -> Self {
        let turn_rad = (rotations[0].inverse() * rotations[1]).scaled_axis();
        let rotation = rotations[0] * UnitQuaternion::from_scaled_axis(0.5 * turn_rad);
        Self {
            rotation,
            reach_m: rotation.inverse() * (at_m[1] - at_m[0]),
            turn_rad,
        }
    }
}

impl BeamParameters {
    /// Stretch of the axis, and offset of the ends.
    fn shift_m(&self, strain: &Strain) -> Vector3<f64> {
        let drawn_together_m = 0.5 * self.drawn_m(strain).dot(&strain.turn_rad);
        strain.reach_m - Vector3::x() * (self.length_m - drawn_together_m)
    }

    /// Slope by the turn of how much a bent piece is drawn together, m.
    fn drawn_m(&self, strain: &Strain) -> Vector3<f64> {
        across(&strain.turn_rad) * (self.length_m / 12.0)
    }

    /// Gives what resists a strain.
    pub(crate) fn stress(&self, strain: &Strain) -> Stress {
        let force_n = self.shift_n_per_m.component_mul(&self.shift_m(strain));
        Stress {
            force_n,
            moment_n_m: self.turn_n_m.component_mul(&strain.turn_rad) + self.drawn_m(strain) * force_n.x,
        }
    }

    /// Energy of strain, less the work of the evenly spread load where the piece bends off its chord, J. The work of that
    /// load on the ends, half on each, is the model's.
    pub(crate) fn energy_j(&self, strain: &Strain) -> f64 {
        let shift = self.shift_m(strain);
        let elastic = self.shift_n_per_m.dot(&shift.component_mul(&shift))
            + self
                .turn_n_m
                .dot(&strain.turn_rad.component_mul(&strain.turn_rad));
        let load = strain.rotation.inverse() * self.load_n_per_m;
        let bow = Vector3::x().cross(&strain.turn_rad) * (self.length_m * self.length_m / 12.0);
        0.5 * elastic - load.dot(&bow)
    }

    /// Slope of the energy by places and turns of both ends: first place, first turn, last place, last turn.
    pub(crate) fn slopes(&self, strain: &Strain) -> EndSlopes {
        let stress = self.stress(strain);
        let kinematics = Kinematics::of(strain);
        let load = strain.rotation.inverse() * self.load_n_per_m;
        let twelfth = self.length_m * self.length_m / 12.0;
        let bow = Vector3::x().cross(&strain.turn_rad);
        let by_middle = stress.force_n.cross(&strain.reach_m) - bow.cross(&load) * twelfth;
        let by_turn = stress.moment_n_m
            - load.cross(&Vector3::x()) * twelfth
            - by_middle.cross(&kinematics.half) * (0.5 * kinematics.swing);
        let turn = kinematics.inverse * by_turn;
        [
            -stress.force_n,
            by_middle * 0.5 - turn,
            stress.force_n,
            by_middle * 0.5 + turn,
        ]
        .map(|slope| strain.rotation * slope)
    }

    /// Second derivatives of the energy along motions that move places straight and turn ends evenly, with the given stress
    /// in the part that comes of turning it.
    pub(crate) fn stiffness(&self, strain: &Strain, stress: &Stress) -> EndStiffness {
        let kinematics = Kinematics::of(strain);
        let load = strain.rotation.inverse() * self.load_n_per_m;
        let resisted = self.resisted(strain, stress, &kinematics, &load);
        let (zero, one) = (Matrix3::zeros(), Matrix3::identity());
        // What each small motion of the ends (first place, first turn, last place, last turn) does.
        let moved = [-one, zero, one, zero];
        let parted = [zero, -one, zero, one];
        let mean = [zero, one * 0.5, zero, one * 0.5];
        let turned = parted.map(|m| kinematics.inverse * m);
        let swing = kinematics.half.cross_matrix() * (0.5 * kinematics.swing);
        let middle = [0, 1, 2, 3].map(|i| mean[i] - swing * turned[i]);
        let reach = strain.reach_m.cross_matrix();
        let drawn = Vector3::x() * self.drawn_m(strain).transpose();
        let shifted = [0, 1, 2, 3].map(|i| moved[i] + reach * middle[i] + drawn * turned[i]);
        let shift = Matrix3::from_diagonal(&self.shift_n_per_m);
        let axes = strain.rotation.to_rotation_matrix();
        let mut whole = EndStiffness::zeros();
        for i in 0..4 {
            // What pairs a turn of the middle with each other motion.
            let beside = |j: usize| {
                resisted.by_mean * mean[j] + resisted.by_parting * parted[j] + resisted.by_turn * turned[j]
                    - resisted.by_move * moved[j]
            };
            for j in 0..=i {
                let block = shifted[i].transpose() * shift * shifted[j]
                    + turned[i].transpose() * resisted.turn * turned[j]
                    + middle[i].transpose() * resisted.middle * middle[j]
                    + middle[i].transpose() * beside(j)
                    + beside(i).transpose() * middle[j];
                let block = axes.matrix() * block * axes.matrix().transpose();
                whole.fixed_view_mut::<3, 3>(3 * i, 3 * j).copy_from(&block);
                whole
                    .fixed_view_mut::<3, 3>(3 * j, 3 * i)
                    .copy_from(&block.transpose());
            }
        }
        whole
    }

    /// Sorts what resists: with m the turn of the middle and t that of the ends, second changes of reach and turn are
    ///   r'' = -2 m x u + m x (m x r) - m' x r,   m' = -m x mean - c'/2 (a.t) a x t - c/2 a x t'',
    ///   t'' = -S^-1 (S' t + m x parted),
    /// and the load, seen from the middle, turns against it.
    fn resisted(
        &self,
        strain: &Strain,
        stress: &Stress,
        kinematics: &Kinematics,
        load: &Vector3<f64>,
    ) -> Resisted {
        let one = Matrix3::identity();
        let twelfth = self.length_m * self.length_m / 12.0;
        let (force, reach, half) = (stress.force_n, strain.reach_m, kinematics.half);
        let bow = Vector3::x().cross(&strain.turn_rad) * twelfth;
        let by_middle = force.cross(&reach) - bow.cross(load);
        let aside = by_middle.cross(&half);
        let by_turn =
            stress.moment_n_m - load.cross(&Vector3::x()) * twelfth - aside * (0.5 * kinematics.swing);
        let spun = kinematics.inverse * by_turn;
        let twice = half.cross(&half.cross(&spun));
        let pulled = across(&Vector3::repeat(force.x * self.length_m / 12.0));
        let turn = Matrix3::from_diagonal(&(self.turn_n_m + pulled))
            - both(&half, &twice) * kinematics.third_slope
            - (one * spun.dot(&half) - both(&half, &spun)) * (0.5 * kinematics.third)
            - both(&half, &aside) * (0.5 * kinematics.swing_slope);
        let middle = both(&reach, &force) - one * force.dot(&reach) - both(load, &bow) + one * load.dot(&bow);
        Resisted {
            turn,
            middle,
            by_mean: by_middle.cross_matrix() * 0.5,
            by_parting: spun.cross_matrix() * 0.5,
            by_turn: load.cross_matrix() * Vector3::x().cross_matrix() * twelfth,
            by_move: force.cross_matrix().transpose(),
        }
    }

    /// Change of the stress with a small motion of the ends (first place, first turn, last place, last turn; world axes).
    pub(crate) fn stress_change(&self, strain: &Strain, motion: &[Vector3<f64>; 4]) -> Stress {
        let kinematics = Kinematics::of(strain);
        let own = motion.map(|m| strain.rotation.inverse() * m);
        let turned = kinematics.inverse * (own[3] - own[1]);
        let middle = (own[1] + own[3]) * 0.5 - kinematics.half.cross(&turned) * (0.5 * kinematics.swing);
        let drawn_m = self.drawn_m(strain);
        let shifted = own[2] - own[0] - middle.cross(&strain.reach_m) + Vector3::x() * drawn_m.dot(&turned);
        let force_n = self.shift_n_per_m.component_mul(&shifted);
        let pull_n = self.shift_n_per_m.x * self.shift_m(strain).x;
        Stress {
            force_n,
            moment_n_m: self.turn_n_m.component_mul(&turned)
                + drawn_m * force_n.x
                + across(&turned) * (pull_n * self.length_m / 12.0),
        }
    }

    /// Gives the forces within the piece.
    pub(crate) fn result(&self, strain: &Strain) -> BeamResult {
        let load_n_per_m = strain.rotation.inverse() * self.load_n_per_m;
        // What its ends feel, without what the load does to built-in ends.
        let slopes = self.slopes(strain);
        let felt = strain.rotation.inverse() * ((slopes[3] - slopes[1]) * 0.5);
        let built_in = load_n_per_m.cross(&Vector3::x()) * (self.length_m * self.length_m / 12.0);
        let force_n = self.stress(strain).force_n;
        BeamResult {
            length_m: self.length_m,
            rotation: strain.rotation,
            force_n,
            moment_n_m: felt + built_in - self.drawn_m(strain) * force_n.x,
            load_n_per_m,
            turn_rad: strain.turn_rad,
            shift_m: self.shift_m(strain),
            bending_n_m2: [self.turn_n_m.y, self.turn_n_m.z].map(|turn| turn * self.length_m),
        }
    }
}

/// How turns of the ends turn the middle: with a = theta/2, d(theta) = S^-1 (w_last - w_first) and the middle turns by
/// (w_first + w_last)/2 - c/2 a x d(theta).
struct Kinematics {
    half: Vector3<f64>,
    /// S^-1, symmetric.
    inverse: Matrix3<f64>,
    /// c = (1 - cos |a|) / |a|^2, and its change with |a|^2.
    swing: f64,
    swing_slope: f64,
    /// S = 1 + third [a]^2, third = (|a| - sin |a|) / |a|^3, and its change with |a|^2.
    third: f64,
    third_slope: f64,
}

/// What resists turns of the ends, turns of the middle, and turns of the middle together with other motions.
struct Resisted {
    turn: Matrix3<f64>,
    middle: Matrix3<f64>,
    by_mean: Matrix3<f64>,
    by_parting: Matrix3<f64>,
    by_turn: Matrix3<f64>,
    by_move: Matrix3<f64>,
}

/// The part of a turn, or of anything else, across the pipe.
fn across(a: &Vector3<f64>) -> Vector3<f64> {
    Vector3::new(0.0, a.y, a.z)
}

/// One over a length; 0 for a hinge, which has none.
fn per(length_m: f64) -> f64 {
    if length_m > 0.0 { 1.0 / length_m } else { 0.0 }
}

/// Symmetric part of the outer product of two vectors.
fn both(a: &Vector3<f64>, b: &Vector3<f64>) -> Matrix3<f64> {
    let outer = a * b.transpose();
    (outer + outer.transpose()) * 0.5
}

impl Kinematics {
    fn of(strain: &Strain) -> Self {
        let half = strain.turn_rad * 0.5;
        let square = half.norm_squared();
        let angle = square.sqrt();
        let (sine, cosine) = angle.sin_cos();
        let (swing, swing_slope, third, third_slope) = if angle < 0.05 {
            (
                0.5 - square / 24.0 + square * square / 720.0,
                -1.0 / 24.0 + square / 360.0 - square * square / 13440.0,
                1.0 / 6.0 - square / 120.0 + square * square / 5040.0,
                -1.0 / 120.0 + square / 2520.0 - square * square / 120_960.0,
            )
        } else {
            let (swing, third) = ((1.0 - cosine) / square, (angle - sine) / (square * angle));
            let by_angle = (sine / angle - 2.0 * swing) / angle;
            let third_by_angle = (swing - 3.0 * third) / angle;
            (
                swing,
                by_angle / (2.0 * angle),
                third,
                third_by_angle / (2.0 * angle),
            )
        };
        // S has eigenvalue 1 along a and 1 - third |a|^2 across it.
        let cross = half.cross_matrix();
        let inverse = Matrix3::identity() - cross * cross * (third / (1.0 - third * square));
        Self {
            half,
            inverse,
            swing,
            swing_slope,
            third,
            third_slope,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn beam() -> BeamParameters {
        BeamParameters {
            load_n_per_m: Vector3::new(20.0, -50.0, -400.0),
            ..BeamParameters::prismatic(0.8, 3e4, 900.0, 700.0, 500.0)
        }
    }

    /// Ends that are turned and shifted by a given amount, the whole turned anyhow.
    fn ends(amount: f64) -> [(Vector3<f64>, UnitQuaternion<f64>); 2] {
        let whole = UnitQuaternion::from_scaled_axis(Vector3::new(0.7, -1.1, 0.4));
        let first = UnitQuaternion::from_scaled_axis(Vector3::new(0.3, -0.2, 0.5) * amount);
        let last = UnitQuaternion::from_scaled_axis(Vector3::new(-0.4, 0.6, -0.3) * amount);
        let reach = Vector3::new(0.8 * (1.0 + 0.02 * amount), 0.05 * amount, -0.03 * amount);
        let at = Vector3::new(1.0, 2.0, 3.0);
        [(at, whole * first), (at + whole * reach, whole * last)]
    }

    fn moved(ends: &[(Vector3<f64>, UnitQuaternion<f64>); 2], freedom: usize, by: f64) -> Strain {
        let mut ends = *ends;
        let end = &mut ends[freedom / 6];
        let step = Vector3::ith(freedom % 3, by);
        if freedom % 6 < 3 {
            end.0 += step;
        } else {
            end.1 = UnitQuaternion::from_scaled_axis(step) * end.1;
        }
        Strain::between(ends.map(|e| e.0), ends.map(|e| e.1))
    }

    fn flat(slopes: EndSlopes) -> [f64; 12] {
        let mut flat = [0.0; 12];
        for (i, slope) in slopes.iter().enumerate() {
            flat[3 * i..3 * i + 3].copy_from_slice(slope.as_slice());
        }
        flat
    }

    #[test]
    fn slopes_are_those_of_the_energy() {
        let beam = beam();
        for amount in [0.0, 0.1, 1.0] {
            let ends = ends(amount);
            let told = flat(beam.slopes(&moved(&ends, 0, 0.0)));
            for (freedom, told) in told.iter().enumerate() {
                let reach = 1e-6;
                let change = beam.energy_j(&moved(&ends, freedom, reach))
                    - beam.energy_j(&moved(&ends, freedom, -reach));
                let slope = change / (2.0 * reach);
                assert!((slope - told).abs() < 1e-4, "{amount} {freedom}: {slope} {told}");
            }
        }
    }

    /// Differences of the slopes, symmetric part: with turns composed one after the other the other part is no stiffness.
    fn by_differences(beam: &BeamParameters, amount: f64) -> EndStiffness {
        let ends = ends(amount);
        let reach = 1e-6;
        let mut found = EndStiffness::zeros();
        for freedom in 0..12 {
            let more = flat(beam.slopes(&moved(&ends, freedom, reach)));
            let less = flat(beam.slopes(&moved(&ends, freedom, -reach)));
            for row in 0..12 {
                found[(row, freedom)] = (more[row] - less[row]) / (2.0 * reach);
            }
        }
        (found + found.transpose()) * 0.5
    }

    #[test]
    fn stiffness_is_the_slope_of_the_slopes() {
        let beam = beam();
        for amount in [0.0, 0.01, 0.04, 0.2, 1.0] {
            let strain = moved(&ends(amount), 0, 0.0);
            let told = beam.stiffness(&strain, &beam.stress(&strain));
            assert!((told - told.transpose()).norm() < 1e-9 * told.norm());
            let miss = (told - by_differences(&beam, amount)).norm() / told.norm();
            // Differences of slopes of some 1e4 N over 2e-6.
            assert!(miss < 1e-8, "{amount}: {miss}");
        }
    }

    #[test]
    fn turning_and_moving_the_whole_changes_nothing() {
        let ends = ends(0.7);
        let strain = moved(&ends, 0, 0.0);
        let turn = UnitQuaternion::from_scaled_axis(Vector3::new(-0.5, 0.9, 2.0));
        let shift = Vector3::new(3.0, -1.0, 2.0);
        let other = Strain::between(ends.map(|e| shift + turn * e.0), ends.map(|e| turn * e.1));
        assert!((other.reach_m - strain.reach_m).norm() < 1e-14);
        assert!((other.turn_rad - strain.turn_rad).norm() < 1e-14);
    }

    /// A built-in beam with an even load: wL^2/12 at the ends, wL^2/24 in the middle, w L^4 / 384 EI deep.
    #[test]
    fn a_built_in_beam_is_as_in_any_handbook() {
        let (length, ei, w) = (2.0, 700.0, 300.0);
        let beam = BeamParameters {
            load_n_per_m: Vector3::new(0.0, -w, 0.0),
            ..BeamParameters::prismatic(length, 1e6, ei, ei, 500.0)
        };
        let straight = Strain::between(
            [Vector3::zeros(), Vector3::new(length, 0.0, 0.0)],
            [UnitQuaternion::identity(); 2],
        );
        let result = beam.result(&straight);
        let (end, middle) = (result.moment_at(1.0).z, result.moment_at(0.0).z);
        assert!((end + w * length * length / 12.0).abs() < 1e-9);
        assert!((middle - w * length * length / 24.0).abs() < 1e-9);
        assert!((result.force_at(1.0).y - 0.5 * w * length).abs() < 1e-9);
        let deep = result.offset_at(0.0).y;
        assert!((deep + w * length.powi(4) / (384.0 * ei)).abs() < 1e-12);
        assert!((result.direction_at(1.0) - Vector3::x()).norm() < 1e-12);
    }

    /// A cantilever with a load at its end: F L^3 / 3 EI, and the moments along it.
    #[test]
    fn forces_along_a_cantilever_are_as_in_any_handbook() {
        let (length, ei, force) = (2.0, 700.0, 5.0);
        let beam = BeamParameters::prismatic(length, 1e6, ei, ei, 500.0);
        let slope = force * length * length / (2.0 * ei);
        let deep = force * length.powi(3) / (3.0 * ei);
        // So far along that nothing is stretched.
        let half = 0.5 * slope;
        let drawn = length * (1.0 - slope * slope / 24.0);
        let off = (drawn * half.sin() - deep) / half.cos();
        let along = drawn * half.cos() + off * half.sin();
        let strain = Strain::between(
            [Vector3::zeros(), Vector3::new(along, -deep, 0.0)],
            [
                UnitQuaternion::identity(),
                UnitQuaternion::from_scaled_axis(Vector3::new(0.0, 0.0, -slope)),
            ],
        );
        let result = beam.result(&strain);
        // To the square of the slope.
        let open = slope * slope;
        assert!((result.force_at(0.0).y / -force - 1.0).abs() < open);
        assert!((result.moment_at(-1.0).z / (-force * length) - 1.0).abs() < open);
        assert!(result.moment_at(1.0).z.abs() < open * force * length);
        let reach = 1e-6;
        for at in [-0.9, -0.3, 0.0, 0.6] {
            let axis = |s: f64| result.axis() * s + result.offset_at(s);
            let along = (axis(at + reach) - axis(at - reach)).normalize();
            assert!((result.direction_at(at) - along).norm() < 1e-9);
            assert!(result.shear_at(at).dot(&along).abs() < 1e-8);
        }
    }
}
