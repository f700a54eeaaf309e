//! Agreement with general-purpose libraries: tests/published/letgo-reference.json, made by references/letgo.py. scipy's LSODA follows
//! each rig with rotation matrices and angular momentum and finds junctions by a minimisation of its own, scipy's BFGS finds where it
//! comes to rest, and MuJoCo, a physics engine, ran the same rigs (versions in the file).

use crate::support::{Draft, Rig};
use motion::Motion;
use nalgebra::{UnitQuaternion, Vector3};
use serde::Deserialize;
use statics::{AttachmentId, FrameId, LineId, Options, State, Workspace, solve};

#[derive(Deserialize)]
struct Reference {
    libraries: std::collections::BTreeMap<String, String>,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    loads: Vec<Load>,
    points: Vec<[f64; 3]>,
    picks: Vec<Pick>,
    junctions: Vec<Junction>,
    lines: Vec<Leg>,
    gone: usize,
    seconds: f64,
    before: Pose,
    after: Pose,
    peaks: Vec<Option<Top>>,
    mujoco: Option<Vec<Option<Top>>>,
}

#[derive(Deserialize)]
struct Load {
    weight_n: f64,
    centre_m: [f64; 3],
    inertia_kg_m2: [f64; 3],
    drawn_at_m: [f64; 3],
}

#[derive(Deserialize)]
struct Pick {
    load: usize,
    at_m: [f64; 3],
}

#[derive(Deserialize)]
struct Junction {
    weight_n: f64,
    drawn_at_m: [f64; 3],
}

#[derive(Deserialize)]
struct Leg {
    path: Vec<(String, usize)>,
    stiffness_n: f64,
    unloaded_length_m: f64,
    damping_n_s_per_m: f64,
}

#[derive(Deserialize)]
struct Pose {
    centres_m: Vec<[f64; 3]>,
    axes: Vec<[[f64; 3]; 3]>,
    junctions_m: Vec<[f64; 3]>,
}

#[derive(Deserialize)]
struct Top {
    tension_n: f64,
    at_s: f64,
}

/// A case as a rig at rest with its line cut.
struct Built {
    rig: Rig,
    loads: Vec<FrameId>,
    junctions: Vec<FrameId>,
    lines: Vec<LineId>,
}

impl Case {
    fn build(&self) -> Built {
        let mut draft = Draft::new();
        let loads: Vec<FrameId> = self
            .loads
            .iter()
            .map(|load| draft.body(load.drawn_at_m, load.centre_m, load.weight_n, load.inertia_kg_m2))
            .collect();
        let points: Vec<AttachmentId> = self.points.iter().map(|at| draft.point(*at)).collect();
        let picks: Vec<AttachmentId> = self
            .picks
            .iter()
            .map(|pick| draft.pick(loads[pick.load], pick.at_m))
            .collect();
        let rings: Vec<AttachmentId> = self
            .junctions
            .iter()
            .map(|ring| draft.junction(ring.drawn_at_m, ring.weight_n))
            .collect();
        let at = |(kind, index): &(String, usize)| match kind.as_str() {
            "point" => points[*index],
            "pick" => picks[*index],
            _ => rings[*index],
        };
        let lines = self.lines.iter().map(|line| {
            let path: Vec<AttachmentId> = line.path.iter().map(at).collect();
            draft.line(&path, line.stiffness_n, line.unloaded_length_m)
        });
        let lines: Vec<LineId> = lines.collect();
        let mut rig = draft.hung();
        rig.damping_n_s_per_m = self.lines.iter().map(|line| line.damping_n_s_per_m).collect();
        rig.cut(lines[self.gone]);
        let junctions = rings.iter().map(|ring| rig.topology.frame_of(*ring)).collect();
        Built {
            rig,
            loads,
            junctions,
            lines,
        }
    }

    /// The greatest peak, N.
    fn greatest_n(&self) -> f64 {
        let tops = self.peaks.iter().flatten();
        tops.map(|top| top.tension_n).fold(0.0, f64::max)
    }

    /// The greatest difference of a peak from those told, over itself, or over some share of the greatest where it is less.
    fn differs(&self, motion: &Motion, told: &[Option<Top>], least: f64) -> f64 {
        let least_n = least * self.greatest_n();
        let each = motion.lines.iter().zip(told).map(|(peak, told)| {
            let told_n = told.as_ref().map_or(0.0, |told| told.tension_n);
            (peak.force_n - told_n).abs() / told_n.max(least_n)
        });
        each.fold(0.0, f64::max)
    }

    /// How far any peak is off in time, s; of those that are more than a hundredth of the greatest.
    fn late_s(&self, motion: &Motion) -> f64 {
        let told = motion
            .lines
            .iter()
            .zip(&self.peaks)
            .filter_map(|(peak, told)| Some((peak, told.as_ref()?)));
        let large = told.filter(|(_, told)| told.tension_n > 1e-2 * self.greatest_n());
        large
            .map(|(peak, told)| (peak.at_s - told.at_s).abs())
            .fold(0.0, f64::max)
    }
}

impl Built {
    /// How far any load or junction is from where it is told to be, or a place on a load a metre from its centre along an axis.
    fn off_m(&self, state: &State, told: &Pose) -> f64 {
        let mut off_m = 0.0_f64;
        let mut see =
            |at_m: Vector3<f64>, told_m: [f64; 3]| off_m = off_m.max((at_m - Vector3::from(told_m)).norm());
        for ((load, centre_m), axes) in self.loads.iter().zip(&told.centres_m).zip(&told.axes) {
            let turn: UnitQuaternion<f64> = state.rotation[load.index()];
            see(
                state.centre_at_m(&self.rig.topology, &self.rig.parameters, *load),
                *centre_m,
            );
            for (axis, told) in [Vector3::x(), Vector3::y(), Vector3::z()].into_iter().zip(axes) {
                see(turn * axis, *told);
            }
        }
        for (junction, told_m) in self.junctions.iter().zip(&told.junctions_m) {
            see(
                state.frame_at_m(&self.rig.topology, &self.rig.parameters, *junction),
                *told_m,
            );
        }
        off_m
    }

    /// Where it comes to rest without the line that is gone.
    fn comes_to_rest(&self) -> State {
        let mut workspace = Workspace::new(&self.rig.topology);
        let outcome = solve(
            &self.rig.topology,
            &self.rig.parameters,
            &self.rig.start,
            &Options::warm(),
            &mut workspace,
        );
        outcome.unwrap().found().unwrap().state
    }
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../../../tests/published/letgo-reference.json")).unwrap()
}

/// The reference covers what a motion may meet with.
#[test]
fn the_reference_has_all_kinds() {
    let reference = reference();
    assert!(reference.libraries.contains_key("scipy") && reference.libraries.contains_key("mujoco"));
    let count = |has: &dyn Fn(&Case) -> bool| reference.cases.iter().filter(|case| has(case)).count();
    let damped = |case: &Case| case.lines.iter().any(|line| line.damping_n_s_per_m > 0.0);
    assert!(count(&|_| true) >= 12);
    assert!(count(&|case| !case.junctions.is_empty()) >= 4);
    assert!(count(&|case| !case.junctions.is_empty() && damped(case)) >= 1);
    assert!(count(&|case| case.loads.len() == 2) >= 1);
    assert!(count(&|case| case.lines.iter().any(|line| line.path.len() > 2)) >= 1);
    assert!(count(&damped) >= 4 && count(&|case| !damped(case)) >= 4);
    assert!(count(&|case| case.mujoco.is_some()) >= 4);
}

/// Asked for is 1 % of each peak. Measured at a tolerance of 1e-7 is 7e-5 of each, down to a thousandth of the greatest in the same rig,
/// and 0.02 ms. (At 1e-6 it is 1.3e-4, at 1e-5 1.8e-3, each time of a line that carries little.) Places before are off by 2e-11 m.
#[test]
fn peaks_agree_with_scipy() {
    for case in &reference().cases {
        let built = case.build();
        let before_m = built.off_m(&built.rig.start, &case.before);
        assert!(before_m < 1e-8, "{}: hangs {before_m:e} m off before", case.name);
        let motion = built.rig.follow(case.seconds, 1e-7);
        let (differs, late_s) = (case.differs(&motion, &case.peaks, 1e-3), case.late_s(&motion));
        assert!(
            differs < 2e-4 && late_s < 1e-4,
            "{}: peaks {differs:e} off, {late_s:e} s late",
            case.name
        );
        let gone = motion.lines[built.lines[case.gone].index()];
        assert_eq!(gone.force_n, 0.0, "{}", case.name);
    }
}

/// Asked for is 1 %, here of the greatest peak of a rig. Measured without junctions is 7e-6. On junctions, which in MuJoCo can not be
/// without mass, it is 4.4e-3 with a hundredth of a gramme and next to no drag; it was more with more of either.
#[test]
fn peaks_agree_with_a_physics_engine() {
    for case in &reference().cases {
        let Some(told) = &case.mujoco else { continue };
        let allowed = if case.junctions.is_empty() { 1e-4 } else { 1e-2 };
        let differs = case.differs(&case.build().rig.follow(case.seconds, 1e-7), told, 1.0);
        assert!(differs < allowed, "{}: {differs:e}", case.name);
    }
}

/// Asked for is 1 mm, of the centre of gravity, of places a metre from it, and of junctions. Measured is 6e-12 m.
#[test]
fn loads_come_to_rest_where_scipy_says() {
    for case in &reference().cases {
        let built = case.build();
        let off_m = built.off_m(&built.comes_to_rest(), &case.after);
        assert!(off_m < 1e-8, "{}: {off_m:e} m", case.name);
        let went_m = built.off_m(&built.rig.start, &case.after);
        assert!(went_m > 1e-3, "{}: nothing moved", case.name);
    }
}
