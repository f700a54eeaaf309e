//! Hangs that are known to be hard, one by one, with what must come out from first principles.

use crate::recount::recount;
use crate::support::{Case, Rig, assert_near};
use statics::{
    FreeMotion, FreeMotionKind, LineId, Options, Outcome, Solution, StaticsError, UnitQuaternion, Vector3,
    Workspace, solve, solve_again,
};

fn tension(found: &Solution, line: LineId) -> f64 {
    found.line(line).tension_n
}

fn total(found: &Solution) -> Vector3<f64> {
    found.on_building_n.iter().sum()
}

/// The building carries the whole weight and nothing sideways.
fn assert_carries(case: &Case, found: &Solution) {
    let weight = case.weight_n();
    let off = (total(found) + Vector3::z() * weight).norm();
    let count = case.topology.frame_count() as f64;
    assert!(
        off <= 2.0 * count * found.allowed_residual_n + 1e-12 * weight,
        "{off}"
    );
}

fn four_leg(centre: [f64; 3], pick_z: f64, lengths: [f64; 4], stiffness: [f64; 4]) -> (Case, Vec<LineId>) {
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -4.0], centre, 4000.0);
    let corners = [[1.5, 1.0], [1.5, -1.0], [-1.5, -1.0], [-1.5, 1.0]];
    let lines = (0..4)
        .map(|i| {
            let [x, y] = corners[i];
            let path = [rig.point([1.4 * x, 1.2 * y, 0.0]), rig.pick(body, [x, y, pick_z])];
            rig.line(&path, stiffness[i], lengths[i])
        })
        .collect();
    (rig.build(), lines)
}

#[test]
fn single_line_is_free_to_turn_about_the_vertical() {
    let mut rig = Rig::new();
    let body = rig.body([0.3, 0.1, -2.0], [0.2, 0.1, -0.5], 1000.0);
    let path = [rig.point([0.0; 3]), rig.pick(body, [0.0, 0.0, 0.3])];
    let line = rig.line(&path, 1e6, 2.0);
    let case = rig.build();
    let found = case.found();
    assert_near(tension(&found, line), 1000.0, 1e-5);
    let centre = found.state.centre_at_m(&case.topology, &case.parameters, body);
    assert!(centre.xy().norm() < 1e-8, "hangs plumb: {centre}");
    assert_eq!(found.free_motions.len(), 1);
    let FreeMotion {
        frame,
        kind: FreeMotionKind::Turns { axis, through_m },
        shared,
    } = found.free_motions[0]
    else {
        panic!("{:?}", found.free_motions)
    };
    assert!(frame == body && !shared);
    assert!(
        (axis - Vector3::z()).norm() < 1e-6 && through_m.xy().norm() < 1e-6,
        "{axis} {through_m}"
    );
    assert!(found.unstable_as_drawn.is_empty());
}

#[test]
fn two_loads_on_single_lines_turn_each_for_itself() {
    let mut rig = Rig::new();
    for x in [0.0, 10.0] {
        let body = rig.body([x, 0.0, -2.0], [0.0, 0.0, -0.5], 1000.0 + x);
        let path = [rig.point([x, 0.0, 0.0]), rig.pick(body, [0.0, 0.0, 0.3])];
        rig.line(&path, 1e6, 2.0);
    }
    let found = rig.build().found();
    let frames: Vec<_> = found.free_motions.iter().map(|m| (m.frame.0, m.shared)).collect();
    assert_eq!(frames.len(), 2, "{:?}", found.free_motions);
    assert!(
        frames.contains(&(0, false)) && frames.contains(&(2, false)),
        "{frames:?}"
    );
}

#[test]
fn pendulum_on_two_lines_is_stable() {
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.4, -3.0], [0.0, 0.0, -0.2], 800.0);
    let lines = [-1.0, 1.0].map(|x| {
        let path = [rig.point([x, 0.0, 0.0]), rig.pick(body, [x, 0.0, 0.0])];
        rig.line(&path, 5e5, 3.0)
    });
    let case = rig.build();
    let found = case.found();
    for line in lines {
        assert_near(tension(&found, line), 400.0, 1e-5);
    }
    assert!(found.free_motions.is_empty(), "{:?}", found.free_motions);
    assert_carries(&case, &found);
}

#[test]
fn centre_above_the_picks_rolls_over() {
    // Two parallel lines at one height: nothing stops the body from turning about the line of its picks.
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -3.0], [0.0, 0.0, 0.4], 800.0);
    for x in [-1.0, 1.0] {
        let path = [rig.point([x, 0.0, 0.0]), rig.pick(body, [x, 0.0, 0.0])];
        rig.line(&path, 5e5, 3.0);
    }
    let case = rig.build();
    let found = case.found();
    assert_eq!(found.unstable_as_drawn, [body]);
    assert!(found.left_unstable);
    let up = found.state.rotation[body.index()] * Vector3::z();
    assert_near(up.z, -1.0, 1e-9);
    let centre = found.state.centre_at_m(&case.topology, &case.parameters, body);
    let origin = found.state.position_m[body.index()];
    assert_near(origin.z - centre.z, 0.4, 1e-9);
}

#[test]
fn top_heavy_on_splayed_legs_may_hold() {
    // The same load above its picks, but on four splayed legs whose spread holds it: no roll.
    let (case, _) = four_leg([0.0, 0.0, 0.05], 0.0, [4.05; 4], [1e6; 4]);
    let found = case.found();
    assert!(found.unstable_as_drawn.is_empty());
    assert!(!found.left_unstable);
    assert_carries(&case, &found);
}

#[test]
fn slack_legs_and_stiffness_ratio_of_a_million() {
    for stiffness in [[1e9, 1e3, 1e9, 1e3], [1e3, 1e9, 1e6, 1e6], [1e9; 4]] {
        let (case, lines) = four_leg([0.2, 0.1, -0.3], 0.1, [3.9, 4.0, 4.3, 3.95], stiffness);
        let found = case.found();
        assert_carries(&case, &found);
        assert!(lines.iter().any(|line| tension(&found, *line) > 0.0));
    }
    let (case, lines) = four_leg([0.2, 0.1, -0.3], 0.1, [4.0, 4.0, 4.6, 4.0], [1e9; 4]);
    let found = case.found();
    assert!(found.line(lines[2]).slack, "a leg 0.6 m long must hang slack");
}

#[test]
fn all_lines_slack_at_first_guess() {
    let (mut case, _) = four_leg([0.1, 0.0, -0.3], 0.1, [4.0; 4], [1e6; 4]);
    let body = statics::FrameId(0);
    case.guess.position_m[body.index()] = Vector3::new(0.5, -0.4, -0.5);
    let found = case.found();
    assert_carries(&case, &found);
    // Down far and turned the other way up, still the same pose class: it must be stable wherever it ends.
    case.guess.position_m[body.index()] = Vector3::new(3.0, 3.0, -9.0);
    case.guess.rotation[body.index()] = UnitQuaternion::from_euler_angles(0.8, -0.7, 0.9);
    assert_carries(&case, &case.found());
}

#[test]
fn nested_bridles() {
    let mut rig = Rig::new();
    let body = rig.body([0.2, 0.1, -5.0], [0.1, 0.0, -0.2], 3000.0);
    let top = rig.point([0.0; 3]);
    let head = rig.junction([0.1, 0.0, -1.0], 30.0);
    rig.line(&[top, head], 2e6, 1.0);
    for x in [-1.0, 1.0] {
        let ring = rig.junction([x, 0.0, -2.5], 10.0);
        rig.line(&[head, ring], 1e6, 1.8);
        for y in [-0.6, 0.6] {
            let pick = rig.pick(body, [1.3 * x, y, 0.1]);
            rig.line(&[ring, pick], 1e6, 2.0 + 0.01 * y);
        }
    }
    let case = rig.build();
    let found = case.found();
    assert_carries(&case, &found);
    // All of it hangs on one line: it may turn about the vertical, all together.
    assert_eq!(found.free_motions.len(), 1, "{:?}", found.free_motions);
    assert!(found.free_motions[0].shared && found.free_motions[0].frame == body);
}

/// Two collinear lines loaded square to them: 2 T sin = W with T = EA (L - L0) / L0, by bisection.
#[test]
fn two_collinear_lines_loaded_square_to_them() {
    let (weight, ea) = (500.0, 1e6);
    let mut rig = Rig::new();
    let ring = rig.junction([0.0; 3], weight);
    let lines = [-1.0, 1.0].map(|x| {
        let point = rig.point([x, 0.0, 0.0]);
        rig.line(&[point, ring], ea, 1.0)
    });
    let case = rig.build();
    let found = case.found();
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for _ in 0..200 {
        let sag = 0.5 * (low + high);
        let length = 1.0_f64.hypot(sag);
        if 2.0 * ea * (length - 1.0) * sag / length < weight {
            low = sag;
        } else {
            high = sag;
        }
    }
    let tension_n = ea * (1.0_f64.hypot(low) - 1.0);
    for line in lines {
        assert_near(tension(&found, line), tension_n, 1e-6 * tension_n);
    }
}

#[test]
fn prestressed_line_without_any_load() {
    let mut rig = Rig::new();
    let ends = [rig.point([-1.0, 0.0, 0.0]), rig.point([1.0, 0.0, 0.0])];
    let ring = rig.junction([0.2, 0.1, -0.1], 0.0);
    let lines = ends.map(|end| rig.line(&[end, ring], 1e6, 0.99));
    let found = rig.build().found();
    for line in lines {
        assert_near(tension(&found, line), 1e6 * 0.01 / 0.99, 1e-2);
    }
    assert!(found.free_motions.is_empty());
}

/// Lines that are exactly straight without any force resist only by the second order: not free.
#[test]
fn straight_and_unstressed_is_not_called_free() {
    let mut rig = Rig::new();
    let ends = [rig.point([-1.0, 0.0, 0.0]), rig.point([1.0, 0.0, 0.0])];
    let ring = rig.junction([0.0; 3], 0.0);
    for end in ends {
        rig.line(&[end, ring], 1e6, 1.0);
    }
    assert!(rig.build().found().free_motions.is_empty());
}

#[test]
fn two_lines_to_one_pick_and_pick_at_the_centre() {
    let mut rig = Rig::new();
    let body = rig.body([0.1, 0.0, -2.0], [0.0; 3], 600.0);
    let pick = rig.pick(body, [0.0; 3]);
    let lines = [-1.0, 1.0].map(|x| {
        let point = rig.point([x, 0.0, 0.0]);
        rig.line(&[point, pick], 1e6, 2.0)
    });
    let case = rig.build();
    let found = case.found();
    assert_near(tension(&found, lines[0]), tension(&found, lines[1]), 1e-5);
    assert_carries(&case, &found);
    assert_eq!(
        found.free_motions.len(),
        3,
        "turns any way about its centre: {:?}",
        found.free_motions
    );
}

#[test]
fn load_drawn_on_its_own_points() {
    let mut rig = Rig::new();
    let body = rig.body([0.0; 3], [0.0, 0.0, -0.1], 600.0);
    let lines = [[-1.0, 0.5], [1.0, 0.5], [0.0, -1.0]].map(|[x, y]| {
        let path = [rig.point([x, y, 0.0]), rig.pick(body, [x, y, 0.0])];
        rig.line(&path, 1e6, 2.0)
    });
    let case = rig.build();
    let found = case.found();
    assert_carries(&case, &found);
    assert!(lines.iter().all(|line| tension(&found, *line) > 100.0));
    assert!(found.state.position_m[body.index()].z < -1.9);
}

#[test]
fn nothing_holds_a_load_without_lines_to_the_building() {
    let mut rig = Rig::new();
    let body = rig.body([0.0; 3], [0.0; 3], 600.0);
    let ring = rig.junction([0.0, 0.0, 1.0], 0.0);
    let pick = rig.pick(body, [0.0, 0.0, 0.2]);
    rig.line(&[ring, pick], 1e6, 1.0);
    let point = rig.point([5.0, 0.0, 0.0]);
    let held = rig.junction([5.0, 0.0, -1.0], 100.0);
    let last = rig.line(&[point, held], 1e6, 1.0);
    let case = rig.build();
    let Ok(Outcome::NothingHolds(unheld)) = case.solve() else {
        panic!("something held it")
    };
    assert_eq!(unheld.frames, [body, case.topology.frame_of(ring)]);
    assert_eq!(unheld.net_force_n, Vector3::new(0.0, 0.0, -600.0));
    // A line that is made inactive holds nothing either.
    let mut cut = case.clone();
    cut.parameters.lines[last.index()].active = false;
    let Ok(Outcome::NothingHolds(unheld)) = cut.solve() else {
        panic!("something held it")
    };
    assert_eq!(unheld.frames.len(), 3);
}

fn two_weights_over_a_sheave(weights: [f64; 2]) -> (Case, LineId) {
    let mut rig = Rig::new();
    let sheave = rig.point([0.0; 3]);
    let ends = [
        rig.junction([-0.1, 0.0, -1.5], weights[0]),
        rig.junction([0.1, 0.0, -1.5], weights[1]),
    ];
    let line = rig.line(&[ends[0], sheave, ends[1]], 1e5, 3.0);
    (rig.build(), line)
}

#[test]
fn equal_weights_over_a_sheave_move_freely_together() {
    let (case, line) = two_weights_over_a_sheave([300.0, 300.0]);
    let found = case.found();
    assert_near(tension(&found, line), 300.0, 1e-5);
    assert_eq!(found.free_motions.len(), 1, "{:?}", found.free_motions);
    let motion = found.free_motions[0];
    assert!(motion.shared);
    assert_eq!(
        motion.kind,
        FreeMotionKind::Moves {
            direction: Vector3::z()
        }
    );
}

#[test]
fn unequal_weights_over_a_sheave_run_until_they_jam() {
    for (weights, segment) in [([300.0, 301.0], 0), ([500.0, 300.0], 1), ([0.0, 300.0], 0)] {
        let (case, line) = two_weights_over_a_sheave(weights);
        match case.solve() {
            Ok(Outcome::Jams(jam)) => assert_eq!((jam.line, jam.segment), (line, segment)),
            other => panic!("{weights:?}: {other:?}"),
        }
    }
}

/// A load on a ring that runs free on a line settles in the middle: equal angles on both sides.
#[test]
fn ring_running_on_a_line_settles_at_equal_angles() {
    let mut rig = Rig::new();
    let ends = [rig.point([-1.0, 0.0, 0.0]), rig.point([2.0, 0.5, 1.0])];
    let ring = rig.junction([1.0, 0.0, -1.0], 700.0);
    rig.line(&[ends[0], ring, ends[1]], 1e6, 5.0);
    let case = rig.build();
    let found = case.found();
    let at = case.at(&found, ring);
    let slopes = ends.map(|end| (case.at(&found, end) - at).normalize().z);
    assert_near(slopes[0], slopes[1], 1e-7);
}

/// A line over two picks of a body shares the load evenly whatever the lengths.
#[test]
fn load_slung_on_a_running_line() {
    let mut rig = Rig::new();
    let body = rig.body([0.3, 0.0, -3.0], [0.0, 0.0, -0.5], 900.0);
    let ends = [rig.point([-1.5, 0.0, 0.0]), rig.point([1.5, 0.0, 0.0])];
    let picks = [-1.0, 1.0].map(|x| rig.pick(body, [x, 0.0, 0.0]));
    let line = rig.line(&[ends[0], picks[0], picks[1], ends[1]], 1e6, 8.0);
    let case = rig.build();
    let found = case.found();
    assert!(tension(&found, line) > 450.0);
    assert_carries(&case, &found);
}

#[test]
fn leaves_a_pose_that_balances_upside_down() {
    // Drawn exactly above its point: the only force along the line is a push; it falls down round the point.
    let mut rig = Rig::new();
    let ring = rig.junction([0.0, 0.0, 1.5], 200.0);
    let point = rig.point([0.0; 3]);
    let line = rig.line(&[point, ring], 1e6, 1.0);
    let case = rig.build();
    let found = case.found();
    assert_near(tension(&found, line), 200.0, 1e-5);
    assert!(case.at(&found, ring).z < -1.0);
}

#[test]
fn forces_on_body_and_junction_keep_their_direction() {
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -3.0], [0.0, 0.0, -0.4], 1000.0);
    for [x, y] in [[-1.0, 0.7], [1.0, 0.7], [0.0, -1.0]] {
        let path = [rig.point([1.5 * x, 1.5 * y, 0.0]), rig.pick(body, [x, y, 0.0])];
        rig.heavy_line(&path, 1e6, 3.05, 12.0);
    }
    rig.force(body, [0.5, 0.0, -1.0], [150.0, -30.0, 20.0]);
    let case = rig.build();
    let found = case.found();
    let expected = Vector3::new(150.0, -30.0, 20.0 - 1000.0 - 36.0);
    assert!((total(&found) - expected).norm() < 1e-4);
}

#[test]
fn a_floating_frame_without_force_is_free_and_not_an_error() {
    let mut rig = Rig::new();
    let point = rig.point([0.0; 3]);
    let ring = rig.junction([0.0, 0.0, -1.0], 100.0);
    rig.line(&[point, ring], 1e6, 1.0);
    rig.junction([3.0, 0.0, 0.0], 0.0);
    let found = rig.build().found();
    assert_eq!(found.free_motions.iter().filter(|m| m.frame.0 == 2).count(), 3);
}

#[test]
fn a_warm_solve_follows_changed_lengths_and_lost_lines() {
    let (case, lines) = four_leg([0.2, 0.1, -0.3], 0.1, [4.0; 4], [1e6; 4]);
    let mut workspace = Workspace::new(&case.topology);
    let mut solution = case.found();
    let mut changed = case.clone();
    for length in [4.003, 3.99, 4.02] {
        changed.parameters.lines[1].unloaded_length_m = length;
        let p = &changed.parameters;
        let outcome =
            solve_again(&case.topology, p, &Options::warm(), &mut workspace, &mut solution).unwrap();
        assert_eq!(outcome, Outcome::Found(()));
        recount(&changed, &solution);
        let cold = changed.found();
        for line in &lines {
            assert_near(tension(&solution, *line), tension(&cold, *line), 1e-6 * 4000.0);
        }
    }
    changed.parameters.lines[0].active = false;
    let p = &changed.parameters;
    let before = solution.clone();
    solve_again(&case.topology, p, &Options::warm(), &mut workspace, &mut solution).unwrap();
    recount(&changed, &solution);
    assert_eq!(tension(&solution, lines[0]), 0.0);
    // Where nothing holds it, the last solution stays as it was.
    let kept = solution.clone();
    for line in &mut changed.parameters.lines {
        line.active = false;
    }
    let p = &changed.parameters;
    let outcome = solve_again(&case.topology, p, &Options::warm(), &mut workspace, &mut solution).unwrap();
    assert!(matches!(outcome, Outcome::NothingHolds(_)));
    assert_eq!(solution, kept);
    assert_ne!(solution, before);
}

#[test]
fn bad_numbers_are_refused_with_their_place() {
    let (case, _) = four_leg([0.0; 3], 0.1, [4.0; 4], [1e6; 4]);
    let refused = |change: &dyn Fn(&mut Case)| {
        let mut bad = case.clone();
        change(&mut bad);
        bad.solve().unwrap_err()
    };
    let says = |change: &dyn Fn(&mut Case), text: &str| {
        let message = refused(change).to_string();
        assert!(message.contains(text), "{message}");
    };
    says(
        &|c| c.parameters.lines[2].stiffness_n = 0.0,
        "line 2: Stiffness is 0",
    );
    says(
        &|c| c.parameters.lines[3].unloaded_length_m = -1.0,
        "line 3: UnloadedLength is -1",
    );
    says(
        &|c| c.parameters.lines[3].weight_n = f64::NAN,
        "line 3: LineWeight is NaN",
    );
    says(
        &|c| c.parameters.weight_n[0] = f64::INFINITY,
        "frame 0: FrameWeight is inf",
    );
    says(
        &|c| c.parameters.centre_m[0].y = f64::NAN,
        "frame 0: Centre is NaN",
    );
    says(
        &|c| c.parameters.attachment_offset_m[0].x = 1.0,
        "attachment 0: AttachmentOffset is 1",
    );
    says(
        &|c| c.guess.position_m[0].z = f64::NAN,
        "frame 0: GuessPosition is NaN",
    );
    says(
        &|c| c.parameters.lines.truncate(1),
        "1 entries; the topology needs 4",
    );
    let mut workspace = Workspace::new(&case.topology);
    let few = Options {
        max_iterations: 1,
        ..Options::default()
    };
    let stopped = solve(
        &case.topology,
        &case.parameters,
        &case.guess,
        &few,
        &mut workspace,
    );
    assert!(
        matches!(stopped, Err(StaticsError::NotConverged { .. })),
        "{stopped:?}"
    );
}

/// Numbers beyond all reason end in an outcome or an error, not in a panic or an endless search.
#[test]
fn absurd_numbers_end() {
    let (case, _) = four_leg([0.1, 0.0, -0.2], 0.1, [4.0; 4], [1e6; 4]);
    let changes: [&dyn Fn(&mut Case); 7] = [
        &|c| c.parameters.lines[0].stiffness_n = 1e300,
        &|c| c.parameters.lines[0].unloaded_length_m = 1e-300,
        &|c| c.parameters.lines[0].unloaded_length_m = 1e300,
        &|c| c.parameters.weight_n[0] = 1e300,
        &|c| c.parameters.weight_n[0] = 1e-300,
        &|c| c.guess.position_m[0].z = 1e200,
        &|c| c.parameters.fixed_at_m[1].x = 1e160,
    ];
    for change in changes {
        let mut absurd = case.clone();
        change(&mut absurd);
        if let Ok(Outcome::Found(found)) = absurd.solve() {
            assert!(found.lines.iter().all(|line| line.tension_n.is_finite()));
        }
    }
}

/// Two loads drawn upright on picks below their centres: both are named, and both end hanging down.
#[test]
fn two_loads_that_would_roll_are_both_named() {
    let mut rig = Rig::new();
    let bodies = [0.0, 8.0].map(|x| {
        let body = rig.body([x, 0.0, -3.0], [0.0, 0.0, 0.3], 500.0 + x);
        for side in [-1.0, 1.0] {
            let path = [rig.point([x + side, 0.0, 0.0]), rig.pick(body, [side, 0.0, 0.0])];
            rig.line(&path, 1e6, 3.0);
        }
        body
    });
    let found = rig.build().found();
    assert_eq!(found.unstable_as_drawn, bodies);
    for body in bodies {
        assert_near((found.state.rotation[body.index()] * Vector3::z()).z, -1.0, 1e-6);
    }
}

/// Drawn well out of balance, a load is not called unstable as drawn; it just hangs elsewhere.
#[test]
fn a_crooked_drawing_is_not_called_unstable() {
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -3.0], [0.0, 0.2, 0.3], 500.0);
    for side in [-1.0, 1.0] {
        let path = [rig.point([side, 0.0, 0.0]), rig.pick(body, [side, 0.0, 0.0])];
        rig.line(&path, 1e6, 3.0);
    }
    let found = rig.build().found();
    assert!(found.unstable_as_drawn.is_empty());
    assert!((found.state.rotation[body.index()] * Vector3::z()).z < 0.0);
}

/// Drawn askew in the plane of its two lines, so that it does not balance as drawn, a load whose centre is
/// above its picks has nothing that could move it out of that plane: the search comes to the pose upright in
/// it, where forces balance and the load would roll, and must go on from there.
#[test]
fn leaves_an_unstable_balance_met_on_the_way() {
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -3.0], [0.0, 0.0, 0.4], 800.0);
    rig.turned(body, UnitQuaternion::from_scaled_axis(Vector3::y() * 0.1));
    let lines = [-1.0, 1.0].map(|x| {
        let path = [rig.point([x, 0.0, 0.0]), rig.pick(body, [x, 0.0, 0.0])];
        rig.line(&path, 5e5, 3.0)
    });
    let case = rig.build();
    let found = case.found();
    assert!(found.unstable_as_drawn.is_empty(), "it does not balance as drawn");
    assert!(found.left_unstable);
    assert_near((found.state.rotation[body.index()] * Vector3::z()).z, -1.0, 1e-9);
    for line in lines {
        assert_near(tension(&found, line), 400.0, 1e-5);
    }
}

/// Two weights on one line over a sheave: at the limit of slip their ratio is that of the sheave. Here the heavier one is
/// held by a second line, which takes what friction leaves: between W2 - r W1 and W2 - W1 / r.
#[test]
fn friction_at_a_sheave_bounds_what_a_second_line_takes() {
    let (light, heavy, ratio) = (300.0, 500.0, 1.08);
    let mut rig = Rig::new();
    let sheave = rig.point([0.0, 0.0, 5.0]);
    let (left, right) = (
        rig.junction([-0.001, 0.0, 2.0], light),
        rig.junction([1.0, 0.0, 2.0], heavy),
    );
    let top = rig.point([1.0, 0.0, 8.0]);
    let over = rig.point([1.0, 0.0, 5.0]);
    let running = rig.line(&[left, sheave, over, right], 1e6, 7.0);
    let held = rig.line(&[top, right], 1e6, 6.0);
    let case = rig.build();
    let found = case.solve().unwrap().found().unwrap();
    assert_near(found.line(held).tension_n, heavy - light, 1e-6);
    let range = case.topology.path_range(running);
    let mut ratios = vec![1.0; range.end.max(case.topology.path_range(held).end)];
    ratios[range.start + 1] = ratio;
    let slip = |slips: statics::Slips| {
        let mut work = statics::Workspace::new(&case.topology);
        let which = |line| {
            if line == running {
                slips
            } else {
                statics::Slips::Freely
            }
        };
        statics::slipping(
            &case.topology,
            &case.parameters,
            &ratios,
            which,
            &found,
            &mut work,
        )
        .unwrap()
    };
    let forward = slip(statics::Slips::Forward);
    assert_near(forward.line(held).tension_n, heavy - light / ratio, 1e-6);
    assert_near(forward.line(running).tension_n, light, 1e-6);
    let back = slip(statics::Slips::Back);
    assert_near(back.line(held).tension_n, heavy - light * ratio, 1e-6);
    assert_near(back.line(running).tension_n, light * ratio, 1e-6);
    // The building holds all of it either way.
    for solution in [&forward, &back] {
        let down: f64 = solution.on_building_n.iter().map(|force| -force.z).sum();
        assert_near(down, light + heavy, 1e-5);
    }
    let free = slip(statics::Slips::Freely);
    assert_near(free.line(held).tension_n, found.line(held).tension_n, 1e-6);
}

/// A ring that a line runs through freely hangs at the lowest place; with friction in it the ring stays off to a side, and
/// its two pulls are in the ratio of slip and balance its weight. Between places of unequal height a little friction leads
/// far.
#[test]
fn a_ring_with_friction_stays_off_to_a_side() {
    for (right_m, ratio) in [4.0, 3.0, 2.5]
        .into_iter()
        .flat_map(|right_m| [1.05, 1.08, 1.12, 1.3].map(|r| (right_m, r)))
    {
        let mut rig = Rig::new();
        let (left, right) = (rig.point([-2.0, 0.0, 4.0]), rig.point([2.0, 0.0, right_m]));
        let ring = rig.junction([0.3, 0.0, 2.0], 400.0);
        let line = rig.line(&[left, ring, right], 2e6, 5.5);
        let case = rig.build();
        let found = case.solve().unwrap().found().unwrap();
        let free = found.state.position_m[2];
        for (slips, [by_left, by_right]) in [
            (statics::Slips::Back, [1.0 / ratio, 1.0]),
            (statics::Slips::Forward, [1.0, 1.0 / ratio]),
        ] {
            let ratios = [1.0, ratio, 1.0];
            let mut work = statics::Workspace::new(&case.topology);
            let slip = statics::slipping(
                &case.topology,
                &case.parameters,
                &ratios,
                |_| slips,
                &found,
                &mut work,
            );
            let slip = slip.unwrap();
            let at = slip.state.position_m[2];
            let arm = |x: f64, z: f64| (Vector3::new(x, 0.0, z) - at).normalize();
            let most = slip.line(line).tension_n;
            let sum = arm(-2.0, 4.0) * (most * by_left) + arm(2.0, right_m) * (most * by_right)
                - Vector3::z() * 400.0;
            assert!(sum.norm() < 1e-5, "{right_m} {ratio}: {sum:?}");
            let towards = if by_right > by_left { 1.0 } else { -1.0 };
            assert!((at.x - free.x) * towards > 0.01, "{right_m} {ratio}: {at:?}");
        }
    }
}
