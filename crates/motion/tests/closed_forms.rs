//! Motions that can be worked out by hand.

use crate::support::{Draft, assert_near, weight_n};
use motion::GRAVITY_M_PER_S2;

/// A weight that falls so far and is then caught by one upright line.
fn falling(mass_kg: f64, stiffness_n: f64, length_m: f64, fall_m: f64) -> (Draft, statics::LineId) {
    let mut draft = Draft::new();
    let point = draft.point([0.0, 0.0, 0.0]);
    let weight = draft.body(
        [0.0, 0.0, fall_m - length_m],
        [0.0; 3],
        weight_n(mass_kg),
        [1.0; 3],
    );
    let pick = draft.pick(weight, [0.0; 3]);
    let line = draft.line(&[point, pick], stiffness_n, length_m);
    (draft, line)
}

/// P14 and P15 of tests/published/mechanics/cases.toml: 1 + sqrt(1 + 2 h / d), and 2 without a fall. Every bounce comes to the same
/// height, since nothing takes energy; how often, by the time of the fall and the time on the line.
#[test]
fn a_weight_that_falls_onto_a_line() {
    for fall_m in [1.0, 0.0, 0.05, 3.0] {
        let (draft, line) = falling(50.0, 8e5, 5.0, fall_m);
        let motion = draft.drawn().follow(5.0, 1e-8);
        let static_m = 50.0 * GRAVITY_M_PER_S2 * 5.0 / 8e5;
        let factor = 1.0 + (1.0 + 2.0 * fall_m / static_m).sqrt();
        assert_near(
            motion.lines[line.index()].force_n,
            factor * weight_n(50.0),
            1e-5,
            "peak",
        );
        let on_point = motion.on_building[0];
        assert_near(
            on_point.down.force_n,
            factor * weight_n(50.0),
            1e-5,
            "on the point",
        );
        assert!(
            on_point.side.force_n == 0.0 && motion.energy_drift < 1e-5,
            "{motion:?}"
        );
        let travel = motion.travel[1].unwrap();
        assert_near(travel.drop_m, fall_m + factor * static_m, 1e-3, "drop");
    }
}

/// A quarter of a second of free fall, and then the line.
#[test]
fn it_falls_freely_until_the_line_is_taut() {
    let (draft, line) = falling(50.0, 8e5, 5.0, 1.0);
    let motion = draft.drawn().traced(0.5, 1e-9, 0.05);
    let taut_s = (2.0 / GRAVITY_M_PER_S2).sqrt();
    for sample in motion.trace.iter().filter(|sample| sample.at_s < taut_s) {
        let fallen_m = 0.5 * GRAVITY_M_PER_S2 * sample.at_s * sample.at_s;
        assert!(
            (sample.state.position_m[1].z - (-4.0 - fallen_m)).abs() < 1e-9,
            "{sample:?}"
        );
        assert_eq!(sample.tension_n[line.index()], 0.0);
    }
    // Half a swing about the static stretch, from the speed of the fall: cos(w t) = -d_static / amplitude at first touch.
    let w = (8e5_f64 / 5.0 / 50.0).sqrt();
    let static_m = GRAVITY_M_PER_S2 / (w * w);
    let speed = (2.0 * GRAVITY_M_PER_S2).sqrt();
    let top_s = taut_s + (std::f64::consts::FRAC_PI_2 + (static_m * w / speed).atan()) / w;
    assert_near(motion.lines[line.index()].at_s, top_s, 1e-5, "time of the peak");
}

/// With damping the stretch about its rest is amplitude exp(-z w t) cos(...): the first top of a load applied suddenly is
/// 1 + exp(-pi z / sqrt(1 - z^2)) of its weight in k e, and T = k e + c de/dt is k e there.
#[test]
fn damping_takes_what_it_must_of_a_sudden_load() {
    let (mut draft, line) = falling(50.0, 8e5, 5.0, 0.0);
    let (ratio, k) = (0.05_f64, 8e5 / 5.0);
    let w = (k / 50.0_f64).sqrt();
    draft.damp(2.0 * ratio * k / w);
    let motion = draft.drawn().traced(0.5, 1e-9, 1e-4);
    let damped_w = w * (1.0 - ratio * ratio).sqrt();
    let static_m = GRAVITY_M_PER_S2 / (w * w);
    let stretch_m = |t: f64| {
        let swings = (damped_w * t).cos() + ratio / (1.0 - ratio * ratio).sqrt() * (damped_w * t).sin();
        static_m * (1.0 - (-ratio * w * t).exp() * swings)
    };
    for sample in &motion.trace {
        let stretched_m = -5.0 - sample.state.position_m[1].z;
        assert!(
            (stretched_m - stretch_m(sample.at_s)).abs() < 1e-5 * static_m,
            "{} {stretched_m}",
            sample.at_s
        );
        let rate = (stretch_m(sample.at_s + 1e-6) - stretch_m(sample.at_s - 1e-6)) / 2e-6;
        let pull_n = k * stretch_m(sample.at_s) + 2.0 * ratio * k / w * rate;
        assert!(
            (sample.tension_n[line.index()] - pull_n).abs() < 1e-2,
            "{}",
            sample.at_s
        );
    }
    assert!(motion.energy_drift < 1e-7, "{}", motion.energy_drift);
}

/// P06: a pendulum released level takes 4 sqrt(l / g) K(sin^2 45 deg), and pulls three times its weight at the bottom.
#[test]
fn a_pendulum_with_a_large_swing() {
    for (from_deg, published_s) in [
        (90.0_f64, Some(1.674_317_097_909_118_9)),
        (60.0, None),
        (30.0, None),
    ] {
        let from = from_deg.to_radians();
        let mut draft = Draft::new();
        let point = draft.point([0.0; 3]);
        let at_m = [0.5 * from.sin(), 0.0, -0.5 * from.cos()];
        let weight = draft.body(at_m, [0.0; 3], weight_n(2.0), [1.0; 3]);
        let pick = draft.pick(weight, [0.0; 3]);
        let line = draft.line(&[point, pick], 5e6, 0.5);
        let rig = draft.drawn();
        let motion = rig.traced(2.5, 1e-9, 1e-3);
        let period_s = period_s(0.5, from);
        if let Some(published_s) = published_s {
            assert_near(
                period_s * (GRAVITY_M_PER_S2 / 9.81_f64).sqrt(),
                published_s,
                1e-9,
                "P06",
            );
            assert_near(
                motion.lines[line.index()].force_n,
                3.0 * weight_n(2.0),
                0.01,
                "peak",
            );
        }
        let back_s = turns_back_s(&motion.trace);
        assert_near(back_s, period_s, 2e-4, "period");
    }
}

/// When a swing is back where it began: its second turn, between samples by the parabola through three of them.
fn turns_back_s(trace: &[motion::Sample]) -> f64 {
    let x: Vec<f64> = trace.iter().map(|sample| sample.state.position_m[1].x).collect();
    let top = (1..x.len() - 1)
        .filter(|i| x[*i] > 0.0 && x[*i] >= x[i - 1] && x[*i] > x[i + 1])
        .max_by(|a, b| x[*a].total_cmp(&x[*b]));
    let i = top.unwrap();
    let off = 0.5 * (x[i - 1] - x[i + 1]) / (x[i - 1] - 2.0 * x[i] + x[i + 1]);
    trace[i].at_s + off * (trace[1].at_s - trace[0].at_s)
}

/// The period of a pendulum, by the arithmetic-geometric mean (Gauss): 2 pi sqrt(l / g) / agm(1, cos(a / 2)).
fn period_s(length_m: f64, from_rad: f64) -> f64 {
    let (mut a, mut b) = (1.0_f64, (0.5 * from_rad).cos());
    while (a - b).abs() > 1e-15 {
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
    }
    std::f64::consts::TAU * (length_m / GRAVITY_M_PER_S2).sqrt() / a
}

/// P07: a load on a leaning and a level line, of which the level one is cut. Before, W / cos a; just after, the line rings about W cos a
/// (as long as it has not swung far); in the swing, with the ringing damped away, W (3 - 2 cos a) at the most.
#[test]
fn one_of_two_legs_is_cut() {
    let from = 30.0_f64.to_radians();
    let mut draft = Draft::new();
    let (above, beside) = (
        draft.point([0.0, 0.0, 0.0]),
        draft.point([5.0, 0.0, -2.0 * from.cos()]),
    );
    let weight = draft.body(
        [2.0 * from.sin(), 0.0, -2.0 * from.cos()],
        [0.0; 3],
        1000.0,
        [1.0; 3],
    );
    let pick = draft.pick(weight, [0.0; 3]);
    let leaning = draft.line(&[above, pick], 1e8, 2.0 / (1.0 + 1000.0 / from.cos() / 1e8));
    let level_m = (5.0 - 2.0 * from.sin()) / (1.0 + 1000.0 * from.tan() / 1e8);
    let level = draft.line(&[beside, pick], 1e8, level_m);
    let mut rig = draft.hung();
    let before = rig.at_rest();
    assert_near(
        before.line(leaning).tension_n,
        1_154.700_538_379_251_4,
        1e-6,
        "before",
    );
    rig.cut(level);
    let undamped = rig.traced(0.02, 1e-10, 1e-5);
    assert_near(
        undamped.lines[leaning.index()].force_n,
        1_154.700_538_379_251_4,
        1e-3,
        "the first instant keeps it",
    );
    // The mean of whole periods of the ringing: w^2 = k / m.
    let period_s = std::f64::consts::TAU / (5e7 * GRAVITY_M_PER_S2 / 1000.0_f64).sqrt();
    let count = (2.0 * period_s / 1e-5).round();
    let sum_n: f64 = undamped.trace[..count as usize]
        .iter()
        .map(|sample| sample.tension_n[leaning.index()])
        .sum();
    assert_near(
        sum_n / count,
        866.025_403_784_438_7,
        2e-3,
        "just after, on average",
    );
    rig.damping_n_s_per_m
        .fill(2.0 * 0.3 * 5e7 / (5e7 * GRAVITY_M_PER_S2 / 1000.0_f64).sqrt());
    let damped = rig.follow(3.0, 1e-9);
    assert_near(
        damped.lines[leaning.index()].force_n,
        1_267.949_192_431_122_6,
        1e-4,
        "in the swing",
    );
    let travel = damped.travel[2].unwrap();
    assert_near(travel.drop_m, 2.0 * (1.0 - from.cos()), 1e-3, "drop");
    assert_near(
        travel.swing_m,
        4.0 * from.sin(),
        1e-3,
        "swing, from one side to the other",
    );
    assert_near(
        damped.lines[leaning.index()].at_s,
        0.25 * self::period_s(2.0, from),
        1e-3,
        "at the bottom",
    );
}

/// A rod of 1 m on a pin: T = 2 pi sqrt(I / (m g l)) for small swings, I about the pin (handbooks; from memory). The pin is a short stiff
/// line.
#[test]
fn a_body_swings_by_its_moment_of_inertia() {
    let mut draft = Draft::new();
    let (short_m, from) = (1e-3, 0.02_f64);
    let point = draft.point([0.0; 3]);
    let rod = draft.body(
        [0.0, 0.0, 0.0],
        [0.0, 0.0, -0.5],
        weight_n(12.0),
        [1.0, 1.0, 0.01],
    );
    let pick = draft.pick(rod, [0.0; 3]);
    draft.line(&[point, pick], 1e5, short_m);
    let mut rig = draft.drawn();
    rig.start.position_m[1] = nalgebra::Vector3::new(0.0, 0.0, -short_m);
    rig.start.rotation[1] = statics::UnitQuaternion::from_euler_angles(0.0, -from, 0.0);
    rig.follows = vec![(rod, nalgebra::Vector3::new(0.0, 0.0, -1.0))];
    let motion = rig.traced(2.2, 1e-9, 1e-3);
    let x: Vec<f64> = motion
        .trace
        .iter()
        .map(|s| (s.state.rotation[1] * nalgebra::Vector3::z()).x)
        .collect();
    // Back on the side where it began.
    let period_s = std::f64::consts::TAU * ((1.0 + 12.0 * 0.25) / (12.0 * GRAVITY_M_PER_S2 * 0.5_f64)).sqrt();
    let near = (period_s / 1e-3) as usize;
    let back = (near - 60..near + 60)
        .min_by(|a, b| x[*a].total_cmp(&x[*b]))
        .unwrap();
    assert_near(back as f64 * 1e-3, period_s, 5e-3, "period");
    assert_near(motion.travel[1].unwrap().tilt_rad, from, 1e-2, "tilt");
    let width_m = motion.swept[0].most_m.x - motion.swept[0].least_m.x;
    assert_near(width_m, 2.0 * from.sin(), 1e-2, "room that its foot takes");
}

/// Two weights over a sheave: a = g (m1 - m2) / (m1 + m2), T = 2 m1 m2 g / (m1 + m2) on average (Atwood; handbooks).
#[test]
fn two_weights_run_over_a_sheave() {
    let mut draft = Draft::new();
    let sheave = draft.point([0.0; 3]);
    let left = draft.body([-1e-9, 0.0, -5.0], [0.0; 3], weight_n(30.0), [1.0; 3]);
    let right = draft.body([1e-9, 0.0, -5.0], [0.0; 3], weight_n(20.0), [1.0; 3]);
    let (a, b) = (draft.pick(left, [0.0; 3]), draft.pick(right, [0.0; 3]));
    let line = draft.line(&[a, sheave, b], 1e7, 10.0);
    draft.damp(400.0);
    let motion = draft.drawn().traced(1.0, 1e-9, 0.01);
    let last = motion.trace.last().unwrap();
    let fallen_m = 0.5 * GRAVITY_M_PER_S2 * 10.0 / 50.0;
    assert_near(
        -5.0 - last.state.position_m[1].z,
        fallen_m,
        1e-3,
        "fall of the heavier",
    );
    assert_near(
        last.tension_n[line.index()],
        2.0 * 30.0 * 20.0 / 50.0 * GRAVITY_M_PER_S2,
        1e-3,
        "tension",
    );
    assert_near(
        motion.on_building[0].down.force_n,
        2.0 * motion.lines[line.index()].force_n,
        1e-9,
        "on the sheave",
    );
}

/// A weight on two lines in a row with a ring between: stiffnesses add as 1/k, and the ring's own place does not matter.
#[test]
fn a_ring_without_weight_is_only_a_place_on_the_way() {
    let mut draft = Draft::new();
    let point = draft.point([0.0; 3]);
    let ring = draft.junction([0.0, 0.0, -2.0], 0.0);
    let weight = draft.body([0.0, 0.0, -3.0], [0.0; 3], weight_n(80.0), [1.0; 3]);
    let pick = draft.pick(weight, [0.0; 3]);
    let upper = draft.line(&[point, ring], 4e5, 2.0);
    let lower = draft.line(&[ring, pick], 4e5, 2.0);
    let motion = draft.drawn().follow(3.0, 1e-9);
    let static_m = weight_n(80.0) * 4.0 / 4e5;
    let factor = 1.0 + (1.0 + 2.0 / static_m).sqrt();
    for line in [upper, lower] {
        assert_near(
            motion.lines[line.index()].force_n,
            factor * weight_n(80.0),
            1e-5,
            "peak",
        );
    }
    assert!(motion.energy_drift < 1e-6, "{}", motion.energy_drift);
}

/// A junction that weighs something moves by its own mass: hung up by two lines, of which one is cut, it is a pendulum like any other.
#[test]
fn a_heavy_junction_swings() {
    let from = 30.0_f64.to_radians();
    let mut draft = Draft::new();
    let (above, beside) = (draft.point([0.0; 3]), draft.point([5.0, 0.0, -2.0 * from.cos()]));
    let ring = draft.junction([2.0 * from.sin(), 0.0, -2.0 * from.cos()], 1000.0);
    let leaning = draft.line(&[above, ring], 1e8, 2.0);
    let level = draft.line(&[beside, ring], 1e8, 5.0 - 2.0 * from.sin());
    draft.damp(2.0 * 0.3 * 5e7 / (5e7 * GRAVITY_M_PER_S2 / 1000.0_f64).sqrt());
    let mut rig = draft.hung();
    rig.cut(level);
    let motion = rig.follow(3.0, 1e-9);
    assert_near(
        motion.lines[leaning.index()].force_n,
        1000.0 * (3.0 - 2.0 * from.cos()),
        1e-3,
        "in the swing",
    );
}
