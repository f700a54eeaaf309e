//! What small changes do, against differences of fresh solves.

use crate::random_pipes;
use crate::random_rigs::{self, Dice};
use crate::support::{Case, Rig, assert_near};
use statics::{
    AppliedForce, Change, Options, Outcome, Parameters, Sensitivities, Solution, StaticsError,
    UnitQuaternion, Vector3, Workspace, sensitivities, solve_again,
};

fn told(case: &Case, found: &Solution, forces: &[AppliedForce]) -> Sensitivities {
    let mut work = Workspace::new(&case.topology);
    sensitivities(&case.topology, &case.parameters, found, forces, &mut work).unwrap()
}

/// Solves again with other numbers, from a solution nearby.
fn again(case: &Case, parameters: &Parameters, from: &Solution) -> Option<Solution> {
    let mut work = Workspace::new(&case.topology);
    let mut solution = from.clone();
    let outcome = solve_again(
        &case.topology,
        parameters,
        &Options::warm(),
        &mut work,
        &mut solution,
    );
    matches!(outcome, Ok(Outcome::Found(()))).then_some(solution)
}

/// All that a change speaks of, in a row: tensions, then places, then turns.
fn in_a_row(change: &Change) -> [Vec<f64>; 3] {
    let flat = |vectors: &[Vector3<f64>]| vectors.iter().flat_map(|v| [v.x, v.y, v.z]).collect();
    [
        change.tension_n.clone(),
        flat(&change.place_m),
        flat(&change.turn_rad),
    ]
}

/// Difference of two solutions over a change of `by`, as a change.
fn difference(less: &Solution, more: &Solution, by: f64) -> Change {
    let tension = |(a, b): (&statics::LineResult, &statics::LineResult)| (b.tension_n - a.tension_n) / by;
    let turn = |(a, b): (&UnitQuaternion<f64>, &UnitQuaternion<f64>)| (b * a.inverse()).scaled_axis() / by;
    let (before, after) = (&less.state, &more.state);
    Change {
        tension_n: less.lines.iter().zip(&more.lines).map(tension).collect(),
        place_m: before
            .position_m
            .iter()
            .zip(&after.position_m)
            .map(|(a, b)| (b - a) / by)
            .collect(),
        turn_rad: before.rotation.iter().zip(&after.rotation).map(turn).collect(),
    }
}

/// Holds what differences say, and how far two steps of them are apart; for tensions, places and turns.
struct Differences {
    onward: [Vec<f64>; 3],
    apart: [f64; 3],
    /// What residuals that were accepted leave open of tensions.
    noise_n: f64,
    /// What rounding leaves open of places and turns.
    noise_m: f64,
}

/// Differences over two steps and drawn on to none; nothing where a line comes taut or slack.
fn by_differences(
    case: &Case,
    found: &Solution,
    step: f64,
    changed: impl Fn(&mut Parameters, f64),
) -> Option<Differences> {
    let same = |other: &Solution| {
        let kind =
            |s: &Solution| -> Vec<_> { s.lines.iter().map(|l| (l.slack, l.sag_m.is_some())).collect() };
        kind(found) == kind(other)
    };
    let at = |by: f64| {
        let mut parameters = case.parameters.clone();
        changed(&mut parameters, by);
        again(case, &parameters, found).filter(same)
    };
    let over = |by: f64| Some(in_a_row(&difference(&at(-by)?, &at(by)?, 2.0 * by)));
    let (wide, narrow) = (over(step)?, over(0.5 * step)?);
    let apart = [0, 1, 2].map(|i| largest_gap(&wide[i], &narrow[i]));
    let onward = |i: usize| {
        wide[i]
            .iter()
            .zip(&narrow[i])
            .map(|(w, n)| (4.0 * n - w) / 3.0)
            .collect()
    };
    Some(Differences {
        onward: [onward(0), onward(1), onward(2)],
        apart,
        noise_n: found.allowed_residual_n / step,
        noise_m: 1e-9 / step,
    })
}

fn largest_gap(a: &[f64], b: &[f64]) -> f64 {
    let gaps: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    largest(&gaps)
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |most, x| most.max(x.abs()))
}

/// Counts what was compared, how much was not, and what missed by less than a thousandth.
#[derive(Debug, Default)]
struct Compared {
    compared: u32,
    skipped: u32,
    close: u32,
}

impl Compared {
    /// `parts` is how many of tensions, places and turns mean something. A part is compared whose two steps agree to a
    /// hundredth; they do not where the rig is soft, or where rounding of its stiff parts is felt.
    fn add(&mut self, told: &Change, differences: Option<Differences>, parts: usize, name: &str) {
        let Some(differences) = differences else {
            self.skipped += 1;
            return;
        };
        for (i, told) in in_a_row(told).iter().enumerate().take(parts) {
            let (wanted, apart) = (&differences.onward[i], differences.apart[i]);
            let greatest = largest(wanted);
            if apart > 1e-2 * greatest {
                self.skipped += 1;
                continue;
            }
            let noise = if i == 0 {
                differences.noise_n
            } else {
                differences.noise_m
            };
            let miss = largest_gap(told, wanted);
            assert!(
                miss <= 1e-4 * greatest + 4.0 * apart + noise,
                "{name}, part {i}: {miss:e} of {greatest:e}, steps {apart:e} apart"
            );
            self.compared += 1;
            self.close += u32::from(miss <= 1e-3 * greatest);
        }
    }

    /// What misses by more has changes so small that residuals are felt.
    fn assert_enough(&self, least: u32) {
        assert!(
            self.compared >= least && 5 * self.close > 4 * self.compared,
            "{self:?}"
        );
    }

    fn of_rig(&mut self, case: &Case, found: &Solution, dice: &mut Dice, parts: usize, name: &str) {
        // A rope in a loop straight down has a corner there, which differences see.
        if found
            .lines
            .iter()
            .any(|line| line.slack && line.sag_m == Some(0.0))
        {
            return;
        }
        let force = draw_force(case, dice);
        let told = told(case, found, &[force]);
        let parts = if told.free_motions_held { parts } else { 3 };
        for _ in 0..2 {
            let line = dice.below(case.topology.line_count());
            let given = case.parameters.lines[line];
            let differences = by_differences(case, found, 1e-4 * given.unloaded_length_m, |p, by| {
                p.lines[line].unloaded_length_m += by;
                p.lines[line].weight_n *= 1.0 + by / given.unloaded_length_m;
            });
            self.add(
                &told.by_length[line],
                differences,
                parts,
                &format!("{name} line {line}"),
            );
        }
        // A force may push a load along a motion that nothing resists.
        if told.free_motions_held && case.topology.beam_count() == 0 {
            return;
        }
        let along = force.force_n.normalize();
        let differences = by_differences(case, found, 1e-3 * case.weight_n(), |p, by| {
            p.forces.push(AppliedForce {
                force_n: along * by,
                ..force
            });
        });
        self.add(&told.by_force[0], differences, parts, &format!("{name} force"));
    }
}

/// A force on a free frame, off its centre if it is a body.
fn draw_force(case: &Case, dice: &mut Dice) -> AppliedForce {
    let free: Vec<_> = case
        .topology
        .frames()
        .filter(|f| case.topology.kind(*f).freedoms() > 0)
        .collect();
    let frame = free[dice.below(free.len())];
    let body = case.topology.kind(frame).freedoms() == 6;
    // On the axis of a pipe: it may roll for nothing.
    let offset = if body && case.topology.beam_count() == 0 {
        dice.place([-0.4; 3], [0.4; 3])
    } else {
        [0.0; 3]
    };
    AppliedForce {
        frame,
        offset_m: offset.into(),
        force_n: dice.place([-7.0; 3], [7.0; 3]).into(),
    }
}

#[test]
fn random_rigs_change_as_told() {
    let mut compared = Compared::default();
    for seed in 0..150 {
        let case = random_rigs::draw(seed, seed % 2 == 0);
        if let Ok(Outcome::Found(found)) = case.solve() {
            compared.of_rig(&case, &found, &mut Dice::new(seed), 1, &format!("rig {seed}"));
        }
    }
    compared.assert_enough(600);
}

#[test]
fn random_pipes_change_as_told() {
    let mut compared = Compared::default();
    for seed in 0..40 {
        let case = random_pipes::draw(seed, seed % 3 != 0).case;
        let found = case.found();
        compared.of_rig(&case, &found, &mut Dice::new(seed), 2, &format!("pipe {seed}"));
    }
    compared.assert_enough(150);
}

/// A heavy rope over a sheave that holds a ring, one end at a place that gives: lines that sag, run and give at once.
#[test]
fn a_sagging_line_over_a_sheave_changes_as_told() {
    let mut rig = Rig::new();
    let left = rig.giving_point([0.0; 3], 4e4);
    let (sheave, right) = (rig.point([9.0, 0.5, 1.0]), rig.point([25.0, 0.0, 0.0]));
    let ring = rig.junction([17.0, 0.3, -2.0], 300.0);
    rig.heavy_line(&[left, sheave, ring], 4e5, 18.5, 18.5 * 12.0);
    rig.heavy_line(&[ring, right], 3e5, 8.6, 8.6 * 5.0);
    let case = rig.build();
    let found = case.found();
    assert!(found.lines.iter().all(|line| line.sag_m.is_some()));
    let mut compared = Compared::default();
    for seed in 0..4 {
        compared.of_rig(&case, &found, &mut Dice::new(seed), 3, "over a sheave");
    }
    assert_eq!((compared.compared, compared.close), (36, 36), "{compared:?}");
}

/// A ring on one plumb line: it sinks with the line, and swings aside by the length over the pull.
#[test]
fn a_pendulum_changes_as_in_any_textbook() {
    let (weight, ea, length) = (800.0, 5e5, 4.0);
    let mut rig = Rig::new();
    let (top, ring) = (rig.point([1.0, 2.0, 5.0]), rig.junction([1.0, 2.0, 1.0], weight));
    let line = rig.line(&[top, ring], ea, length);
    // One that hangs loose and weighs nothing, and one that is gone.
    let loose = rig.line(&[top, ring], ea, 6.0);
    let gone = rig.line(&[top, ring], ea, 3.0);
    let mut case = rig.build();
    case.parameters.lines[gone.index()].active = false;
    let found = case.found();
    let force = |force_n: Vector3<f64>| AppliedForce {
        frame: statics::FrameId(1),
        offset_m: Vector3::zeros(),
        force_n,
    };
    let forces = [Vector3::x() * 3.0, Vector3::z() * -20.0, Vector3::zeros()].map(force);
    let told = told(&case, &found, &forces);
    assert!(!told.free_motions_held);
    let stretched = 1.0 + weight / ea;
    let longer = &told.by_length[line.index()];
    assert!((longer.place_m[1] + Vector3::z() * stretched).norm() < 1e-12);
    assert_near(longer.tension_n[line.index()], 0.0, 1e-9);
    let [aside, down, nothing] = [0, 1, 2].map(|i| &told.by_force[i]);
    assert!((aside.place_m[1] - Vector3::x() * (length * stretched / weight)).norm() < 1e-12);
    assert!((down.place_m[1] + Vector3::z() * (length / ea)).norm() < 1e-15);
    assert_near(down.tension_n[line.index()], 1.0, 1e-12);
    let none = [
        &told.by_length[loose.index()],
        &told.by_length[gone.index()],
        nothing,
    ];
    for change in none {
        assert!(in_a_row(change).iter().flatten().all(|x| *x == 0.0));
    }
}

#[test]
fn a_pose_out_of_balance_has_no_sensitivities() {
    let case = random_rigs::draw(4, true);
    let mut found = case.found();
    let mut work = Workspace::new(&case.topology);
    let free = case
        .topology
        .frames()
        .find(|f| case.topology.kind(*f).freedoms() > 0)
        .unwrap();
    found.state.position_m[free.index()].z -= 0.01;
    let outcome = sensitivities(&case.topology, &case.parameters, &found, &[], &mut work);
    assert!(
        matches!(outcome, Err(StaticsError::NotConverged { .. })),
        "{outcome:?}"
    );
}

/// Small loads add up: where the same lines stay taut, what two of them change together is the sum of what each changes, but
/// for a rest of second order: of loads half as large a quarter of it is left.
#[test]
fn small_loads_superpose() {
    let (mut compared, mut skipped) = (0, 0);
    for seed in 0..120 {
        let case = random_rigs::draw(seed, true);
        let Ok(Outcome::Found(found)) = case.solve() else {
            continue;
        };
        if told(&case, &found, &[]).free_motions_held {
            continue;
        }
        let mut dice = Dice::new(seed + 1000);
        let forces = [draw_force(&case, &mut dice), draw_force(&case, &mut dice)];
        let changes = |which: &[usize], size_n: f64| {
            let mut parameters = case.parameters.clone();
            parameters.forces.extend(which.iter().map(|i| AppliedForce {
                force_n: forces[*i].force_n.normalize() * size_n,
                ..forces[*i]
            }));
            let solution = again(&case, &parameters, &found)?;
            let lines = || solution.lines.iter().zip(&found.lines);
            lines().all(|(a, b)| a.slack == b.slack).then(|| {
                lines()
                    .map(|(a, b)| a.tension_n - b.tension_n)
                    .collect::<Vec<f64>>()
            })
        };
        let missed = |size_n: f64| {
            let (a, b, both) = (
                changes(&[0], size_n)?,
                changes(&[1], size_n)?,
                changes(&[0, 1], size_n)?,
            );
            let sums: Vec<f64> = a.iter().zip(&b).map(|(a, b)| a + b).collect();
            Some((largest_gap(&both, &sums), largest(&sums)))
        };
        let size_n = 3e-5 * case.weight_n();
        let (Some((whole, change)), Some((half, _))) = (missed(size_n), missed(0.5 * size_n)) else {
            skipped += 1;
            continue;
        };
        let noise_n = 8.0 * found.allowed_residual_n.max(1e-9 * case.weight_n());
        // In soft rigs the third order is felt as well.
        assert!(
            half <= 0.4 * whole + noise_n && whole <= 0.2 * change + noise_n,
            "seed {seed}: {whole:e} and {half:e} of {change:e}, noise {noise_n:e}"
        );
        compared += 1;
    }
    assert!(compared > 40, "{compared} compared, {skipped} skipped");
}
