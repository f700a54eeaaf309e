//! An independent recount of tensions, forces and moments from positions alone.

use crate::support::Case;
use statics::{
    BeamParameters, FrameId, FrameKind, LineId, LineParameters, Solution, UnitQuaternion, Vector3,
};

/// Recounts every tension, force and moment from positions alone and compares.
pub fn recount(case: &Case, solution: &Solution) {
    let mut tally = Tally::new(case, solution);
    for line in case.topology.lines() {
        if solution.line(line).sag_m.is_some() {
            tally.add_sagging(line);
        } else {
            tally.add_straight(line);
        }
    }
    tally.add_beams();
    tally.add_springs();
    tally.add_forces();
    tally.compare();
}

/// Sums what acts on each frame.
struct Tally<'a> {
    case: &'a Case,
    solution: &'a Solution,
    force_n: Vec<Vector3<f64>>,
    moment_n_m: Vec<Vector3<f64>>,
    reach_m: Vec<f64>,
    /// What turns of the ends of pieces of pipe leave open.
    open_n_m: Vec<f64>,
    rounding_n: f64,
}

impl<'a> Tally<'a> {
    fn new(case: &'a Case, solution: &'a Solution) -> Self {
        let frames = case.topology.frame_count();
        Self {
            case,
            solution,
            force_n: vec![Vector3::zeros(); frames],
            moment_n_m: vec![Vector3::zeros(); frames],
            reach_m: vec![0.0; frames],
            open_n_m: vec![0.0; frames],
            rounding_n: 0.0,
        }
    }

    fn centre(&self, frame: FrameId) -> Vector3<f64> {
        let (p, state, index) = (&self.case.parameters, &self.solution.state, frame.index());
        match self.case.topology.kind(frame) {
            FrameKind::Fixed => p.fixed_at_m[index],
            FrameKind::Junction => state.position_m[index],
            FrameKind::Body => {
                state.position_m[index] + state.rotation[index].to_rotation_matrix() * p.centre_m[index]
            }
        }
    }

    fn pull(&mut self, frame: FrameId, at: Vector3<f64>, pulls: Vector3<f64>) {
        let (arm, index) = (at - self.centre(frame), frame.index());
        self.force_n[index] += pulls;
        self.moment_n_m[index] += arm.cross(&pulls);
        self.reach_m[index] = self.reach_m[index].max(arm.norm());
    }

    fn path_m(&self, id: LineId) -> Vec<Vector3<f64>> {
        let path = self.case.topology.path(id).iter();
        path.map(|a| self.case.at(self.solution, *a)).collect()
    }

    /// Adds what a line pulls at each place of its path, with half of its weight at each end.
    fn add_pulls(&mut self, id: LineId, at: &[Vector3<f64>], pulls: &[Vector3<f64>]) {
        let line = self.case.parameters.lines[id.index()];
        let half_n = if line.active { 0.5 * line.weight_n } else { 0.0 };
        for (index, (place, pulls)) in at.iter().zip(pulls).enumerate() {
            let ends = index == 0 || index + 1 == at.len();
            let weight = if ends { half_n } else { 0.0 };
            let frame = self.case.topology.frame_of(self.case.topology.path(id)[index]);
            self.pull(frame, *place, pulls - Vector3::z() * weight);
        }
    }

    fn add_sagging(&mut self, id: LineId) {
        let (line, at) = (self.case.parameters.lines[id.index()], self.path_m(id));
        let pulls = self.solution.pulls_of(&self.case.topology, id).to_vec();
        let spacing = recount_sagging(&line, &at, &pulls, &self.solution.line(id));
        self.rounding_n = self.rounding_n.max(spacing);
        self.add_pulls(id, &at, &pulls);
    }

    fn add_straight(&mut self, id: LineId) {
        let (line, at) = (self.case.parameters.lines[id.index()], self.path_m(id));
        let result = self.solution.line(id);
        let length: f64 = at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
        let stretch = length - line.unloaded_length_m;
        let taut = line.active && stretch > 0.0;
        let tension = if taut {
            line.stiffness_n * stretch / line.unloaded_length_m
        } else {
            0.0
        };
        let far = at.iter().fold(line.unloaded_length_m, |far, x| far.max(x.amax()));
        let spacing = 64.0 * f64::EPSILON * line.stiffness_n / line.unloaded_length_m * far;
        if line.active {
            self.rounding_n = self.rounding_n.max(spacing);
        }
        assert!(
            (tension - result.tension_n).abs() <= spacing + 1e-12 * tension,
            "tension of line {id}"
        );
        assert!((length - result.length_m).abs() <= 1e-12 * far * at.len() as f64);
        assert!(result.slack == (result.tension_n == 0.0));
        let pulls = straight_pulls(&at, tension);
        for (pull, given) in pulls.iter().zip(self.solution.pulls_of(&self.case.topology, id)) {
            assert!(
                (pull - given).norm() <= 4.0 * spacing + 1e-11 * tension,
                "pull of line {id}"
            );
        }
        self.add_pulls(id, &at, &pulls);
    }

    /// Stiffness of a piece of pipe whose rounding at the far side of the rig is felt.
    fn stiffest_n_per_m(&self) -> f64 {
        let p = &self.case.parameters;
        let places = self.case.topology.frames().map(|frame| self.centre(frame).amax());
        let longest = p
            .lines
            .iter()
            .map(|line| line.unloaded_length_m)
            .fold(0.0, f64::max);
        1e-6 * self.case.weight_n() / (16.0 * f64::EPSILON * (places.fold(0.0, f64::max) + longest))
    }

    fn add_beams(&mut self) {
        let stiffest_n_per_m = self.stiffest_n_per_m();
        for beam in self.case.topology.beams() {
            let given = &self.case.parameters.beams[beam.index()];
            let ends = self.case.topology.ends(beam);
            let at = ends.map(|frame| self.centre(frame));
            let turned = ends.map(|frame| self.solution.state.rotation[frame.index()]);
            let felt = recount_beam(
                given,
                at,
                turned,
                &self.solution.beams[beam.index()],
                stiffest_n_per_m,
            );
            let far = at[0].amax().max(at[1].amax());
            let spacing = 64.0 * f64::EPSILON * given.shift_n_per_m.max() * far;
            self.rounding_n = self.rounding_n.max(spacing.min(1e-5 * self.case.weight_n()));
            for end in [0, 1] {
                let index = ends[end].index();
                self.pull(ends[end], at[end], felt.forces_n[end]);
                self.moment_n_m[index] += felt.moments_n_m[end];
                self.open_n_m[index] += felt.open_n_m;
                self.reach_m[index] = self.reach_m[index].max(given.length_m);
            }
        }
    }

    fn add_springs(&mut self) {
        for spring in &self.case.parameters.springs {
            let at = self.centre(spring.frame);
            let force = (at - spring.at_m) * spring.stiffness_n_per_m;
            let given = self.solution.on_building_n[spring.frame.index()];
            let spacing = 64.0 * f64::EPSILON * spring.stiffness_n_per_m * spring.at_m.amax();
            self.rounding_n = self.rounding_n.max(spacing);
            assert!(
                (force - given).norm() <= spacing,
                "spring at frame {}",
                spring.frame
            );
            self.pull(spring.frame, at, -force);
        }
    }

    fn add_forces(&mut self) {
        let state = &self.solution.state;
        for given in &self.case.parameters.forces {
            let offset = state.rotation[given.frame.index()] * given.offset_m;
            let origin = state.frame_at_m(&self.case.topology, &self.case.parameters, given.frame);
            self.pull(given.frame, origin + offset, given.force_n);
        }
    }

    fn compare(&self) {
        let (topology, solution) = (&self.case.topology, self.solution);
        // The solver's promise, and the recount's own rounding.
        let allowed =
            solution.allowed_residual_n * 2.0 + 8.0 * self.rounding_n + 1e-12 * self.case.weight_n();
        assert!(solution.residual_n <= solution.allowed_residual_n);
        for frame in topology.frames() {
            let index = frame.index();
            let total = self.force_n[index] - Vector3::z() * self.case.parameters.weight_n[index];
            if topology.kind(frame) == FrameKind::Fixed {
                let off = (total - solution.on_building_n[index]).norm();
                assert!(off <= allowed, "force on the building at frame {frame}");
                continue;
            }
            assert!(
                total.norm() <= allowed,
                "frame {frame} is out of balance by {total:?}"
            );
            if topology.kind(frame) == FrameKind::Body {
                let turn = self.moment_n_m[index].norm();
                let turns = allowed * (1.0 + 2.0 * self.reach_m[index]) + self.open_n_m[index];
                assert!(turn <= turns, "frame {frame} turns: {turn}");
            }
        }
    }
}

fn straight_pulls(at: &[Vector3<f64>], tension_n: f64) -> Vec<Vector3<f64>> {
    let mut pulls = vec![Vector3::zeros(); at.len()];
    for (i, pair) in at.windows(2).enumerate() {
        if pair[0] != pair[1] {
            let along = (pair[1] - pair[0]).normalize() * tension_n;
            pulls[i] += along;
            pulls[i + 1] -= along;
        }
    }
    pulls
}

/// What a piece of pipe does to the frames at its ends.
struct Felt {
    forces_n: [Vector3<f64>; 2],
    moments_n_m: [Vector3<f64>; 2],
    /// By how much moments may differ, because turns of the ends are not small.
    open_n_m: f64,
}

/// Works out what a piece does to its ends from how they stand to one another, and compares with its result: each part
/// of a strain has a stiffness of its own in the axes half-way between those of its ends, and the piece itself balances.
fn recount_beam(
    given: &BeamParameters,
    at: [Vector3<f64>; 2],
    turned: [UnitQuaternion<f64>; 2],
    result: &statics::BeamResult,
    stiffest_n_per_m: f64,
) -> Felt {
    // Two turns that are not far apart, half-way.
    let middle = UnitQuaternion::new_normalize(turned[0].into_inner() + turned[1].into_inner());
    let reach = at[1] - at[0];
    let turn = (turned[0].inverse() * turned[1]).scaled_axis();
    let across = Vector3::new(0.0, turn.y, turn.z);
    // The chord of an arc is shorter than the arc.
    let chord_m = given.length_m * (1.0 - across.norm_squared() / 24.0);
    let shift = middle.inverse() * reach - Vector3::x() * chord_m;
    let force = middle * shift.component_mul(&given.shift_n_per_m);
    let mean = middle * turn.component_mul(&given.turn_n_m);
    let spacing = 64.0 * f64::EPSILON * given.shift_n_per_m.max() * at[0].amax().max(at[1].amax());
    let told = result.rotation * result.force_n;
    // A piece so stiff that rounding of its places is felt may be softer, as long as it gives by next to nothing.
    let stiff = given.shift_n_per_m.max() > stiffest_n_per_m;
    let force = if stiff { told } else { force };
    assert!((told - force).norm() <= spacing, "force in a piece");
    assert!(!stiff || shift.norm() < 1e-6, "a short piece gives by {shift}");
    let half_load = given.load_n_per_m * (0.5 * given.length_m);
    let square = given.length_m * given.length_m / 12.0;
    let built_in = (middle * Vector3::x()).cross(&given.load_n_per_m) * square;
    let lever = reach.cross(&force) * 0.5;
    // The pull acts off the chord: by a twelfth of length times turn in the mean.
    let pull_n = (middle.inverse() * force).x;
    let bow = middle * across * (pull_n * given.length_m / 12.0);
    let open_n_m = turn.norm_squared() * (mean.norm() + bow.norm() + built_in.norm())
        + turn.norm() * (given.load_n_per_m.norm() * square + 0.25 * lever.norm());
    let told = result.rotation * result.moment_n_m;
    let turns = 64.0 * f64::EPSILON * given.turn_n_m.max();
    assert!((told - mean).norm() <= turns + open_n_m, "moment in a piece");
    Felt {
        forces_n: [force + half_load, half_load - force],
        moments_n_m: [lever + mean + bow + built_in, lever - mean - bow - built_in],
        open_n_m,
    }
}

/// Follows a heavy rope from its first end by Irvine's equations of the elastic catenary, as in any text on cables, and
/// asks whether it comes by every place of its path, with one tension on both sides of each, and ends with its length.
/// Gives the force that rounding of its reach leaves open.
fn recount_sagging(
    line: &LineParameters,
    at: &[Vector3<f64>],
    pulls: &[Vector3<f64>],
    result: &statics::LineResult,
) -> f64 {
    let (ea, w) = (line.stiffness_n, line.weight_n / line.unloaded_length_m);
    let half = Vector3::z() * (0.5 * line.weight_n);
    let far = at.iter().fold(line.unloaded_length_m, |far, x| far.max(x.amax()));
    let spacing = 64.0 * f64::EPSILON * ea / line.unloaded_length_m * far;
    let mut start = pulls[0] - half;
    assert!(
        (start.norm() - result.end_tensions_n[0]).abs() <= spacing + 1e-8 * (start.norm() + line.weight_n)
    );
    let mut left_m = line.unloaded_length_m;
    for (place, pair) in at.windows(2).enumerate() {
        let (across_n, up_n) = (start.xy().norm(), start.z);
        let tension = |l: f64| across_n.hypot(up_n + w * l);
        let across = |l: f64| {
            let turns = ((up_n + w * l) / across_n).asinh() - (up_n / across_n).asinh();
            across_n * (l / ea + turns / w)
        };
        let up = |l: f64| (up_n * l + 0.5 * w * l * l) / ea + (tension(l) - tension(0.0)) / w;
        let reach = pair[1] - pair[0];
        let last = place + 2 == at.len();
        // Where nothing pulls across the rope folds, and these equations lose it.
        if across_n < 1e-4 * line.weight_n {
            return spacing;
        }
        let mut length = left_m;
        if !last {
            // What comes to the next place's distance.
            let (mut low, mut high) = (0.0, left_m);
            for _ in 0..200 {
                length = 0.5 * (low + high);
                if across(length) > reach.xy().norm() {
                    high = length;
                } else {
                    low = length;
                }
            }
        }
        let allowed = 1e-9 * far;
        assert!(
            (across(length) - reach.xy().norm()).abs() <= allowed,
            "rope misses across"
        );
        assert!((up(length) - reach.z).abs() <= allowed, "rope misses upright");
        let end = start + Vector3::z() * (w * length);
        left_m -= length;
        if last {
            assert!(
                (end.norm() - result.end_tensions_n[1]).abs()
                    <= spacing + 1e-8 * (end.norm() + line.weight_n)
            );
            assert!((end + pulls[place + 1] - half).norm() <= spacing + 1e-8 * (end.norm() + line.weight_n));
        } else {
            start = end + pulls[place + 1];
            assert!(
                (start.norm() - end.norm()).abs() <= spacing + 1e-6 * end.norm(),
                "tension jumps at a sheave"
            );
        }
    }
    spacing
}
