//! Laws that hold for every pipe, tried on pipes drawn at random from fixed seeds, and closed forms of places that give.

use crate::changes::{difference, mirrored, renumbered, scaled, turned_and_moved};
use crate::laws::seeds;
use crate::pipes::Pipe;
use crate::random_pipes::{PipeRig, draw};
use crate::random_rigs::Dice;
use crate::recount::recount;
use crate::support::{Rig, assert_near};
use statics::{Outcome, Solution, Vector3};

/// Each pipe ends in an outcome; where that is an equilibrium, forces and moments recounted from positions alone balance,
/// at each node and of all that hangs together.
#[test]
fn random_rigs_of_pipes_each_end_in_an_outcome() {
    let (mut found, mut slack, mut straight, mut jams, mut failed) = (0_u64, 0_u64, 0_u64, 0_u64, Vec::new());
    let mut most_steps = 0;
    for seed in seeds(200, 20) {
        let PipeRig { case, .. } = draw(seed, seed % 3 != 0);
        match case.solve() {
            Ok(Outcome::Found(solution)) => {
                recount(&case, &solution);
                found += 1;
                most_steps = most_steps.max(solution.iterations);
                straight += u64::from(solution.sag_left_out);
                slack += u64::from(solution.lines.iter().any(|line| line.slack));
            }
            Ok(Outcome::NothingHolds(_)) => panic!("seed {seed}: every pipe is drawn on lines"),
            Ok(Outcome::Jams(_)) => jams += 1,
            Err(error) => failed.push(format!("seed {seed}: {error}")),
        }
    }
    println!(
        "pipes: found {found}, of these with slack lines {slack}, with sag left out {straight}; jams {jams}; most steps \
         {most_steps}"
    );
    assert!(
        failed.is_empty(),
        "{} solves failed:\n{}",
        failed.len(),
        failed.join("\n")
    );
    assert!(
        found > 9 * jams && 10 * slack > found,
        "{found} found, {slack} slack, {jams} jams"
    );
}

/// Changes that mean nothing change nothing.
#[test]
fn mirror_number_scale_and_place_change_no_pipe() {
    let mut compared = 0;
    for seed in 0..60 {
        let PipeRig { case, .. } = draw(seed, seed % 3 != 0);
        let found = case.found();
        for change in [
            mirrored(&case, 1),
            turned_and_moved(&case),
            scaled(&case),
            renumbered(&case),
        ] {
            let other = change.case.found();
            let [tension, place, moment] = difference(&case, &found, &change, &other);
            compared += 1;
            let worst = tension.max(place).max(moment);
            assert!(
                worst < 1e-6,
                "{seed} {}: {tension:.1e} {place:.1e} {moment:.1e}",
                change.name
            );
        }
    }
    assert_eq!(compared, 240);
}

/// The forces that act on a pipe from outside at one node: what its lines pull there and what hangs there.
fn outer_forces(rig: &PipeRig, found: &Solution) -> Vec<(f64, Vector3<f64>, Vector3<f64>)> {
    let (topology, p) = (&rig.case.topology, &rig.case.parameters);
    let nodes = rig.chain.nodes.iter().map(|(along, frame)| {
        let mut force: Vector3<f64> = p
            .forces
            .iter()
            .filter(|f| f.frame == *frame)
            .map(|f| f.force_n)
            .sum();
        for line in topology.lines() {
            let half = Vector3::z() * (0.5 * p.lines[line.index()].weight_n);
            let last = topology.path(line).len() - 1;
            let pulls = topology
                .path(line)
                .iter()
                .zip(found.pulls_of(topology, line))
                .enumerate();
            for (i, (_, pull)) in pulls.filter(|(_, (a, _))| topology.frame_of(**a) == *frame) {
                force += pull
                    - if i == 0 || i == last {
                        half
                    } else {
                        Vector3::zeros()
                    };
            }
        }
        (*along, found.state.position_m[frame.index()], force)
    });
    let loads = rig.chain.pieces.iter().map(|piece| {
        let given = p.beams[piece.beam.index()];
        let [first, last] = piece.ends.map(|frame| found.state.position_m[frame.index()]);
        let middle = 0.5 * (piece.from_m + piece.to_m);
        (middle, 0.5 * (first + last), given.load_n_per_m * given.length_m)
    });
    nodes.chain(loads).collect()
}

/// Force and moment on what is before a place along the pipe, of all that acts on it from outside.
fn before(outer: &[(f64, Vector3<f64>, Vector3<f64>)], along_m: f64, at: Vector3<f64>) -> [Vector3<f64>; 2] {
    let mut sum = [Vector3::zeros(); 2];
    for (_, place, force) in outer.iter().filter(|(along, _, _)| *along < along_m) {
        sum[0] += force;
        sum[1] += (place - at).cross(force);
    }
    sum
}

/// Cut at any node, force and moment of the later part on the earlier balance what acts on the earlier part from outside:
/// pulls of lines, loads, weight. The load of a piece acts in the middle of the straight line between its ends; that it
/// bends off that line is all that is left open.
#[test]
fn each_part_of_a_pipe_balances() {
    let mut cuts = 0;
    for seed in 0..100 {
        let rig = draw(seed, seed % 3 != 0);
        let found = rig.case.found();
        let outer = outer_forces(&rig, &found);
        let allowed_n = found.allowed_residual_n * rig.chain.nodes.len() as f64 + 1e-10 * rig.case.weight_n();
        let length_m = rig.chain.pieces[rig.chain.pieces.len() - 1].to_m;
        let greatest = rig
            .chain
            .greatest(|piece, at| piece.moment_n_m(&found, at).norm())
            .0;
        let mut bows_n_m = 0.0;
        for piece in &rig.chain.pieces {
            let at = found.state.position_m[piece.ends[0].index()];
            let [force, moment] = before(&outer, piece.from_m + 1e-9, at);
            let inner = [
                piece.force_n(&found, piece.from_m),
                piece.moment_n_m(&found, piece.from_m),
            ];
            let result = found.beams[piece.beam.index()];
            let turn = result.turn_rad.norm();
            bows_n_m += turn * result.load_n_per_m.norm() * result.length_m.powi(2) / 12.0;
            assert!(
                (force + inner[0]).norm() < allowed_n,
                "{seed}: forces at {} m",
                piece.from_m
            );
            let miss_n_m = (moment + inner[1]).norm();
            let allowed_n_m = allowed_n * length_m + bows_n_m + turn * turn * greatest;
            assert!(
                miss_n_m < allowed_n_m,
                "{seed}: moments at {} m, {miss_n_m} {allowed_n_m}",
                piece.from_m
            );
            cuts += 1;
        }
    }
    assert!(cuts > 1000);
}

/// Where two pieces meet, and nothing acts but what the lines and loads of that node do, force, moment and direction of
/// one go over into those of the other. Directions do as far as pieces are short.
#[test]
fn pieces_of_a_pipe_join() {
    let mut joints = 0;
    for seed in 0..100 {
        let rig = draw(seed, seed % 3 != 0);
        let found = rig.case.found();
        let outer = outer_forces(&rig, &found);
        let greatest = rig
            .chain
            .greatest(|piece, at| piece.moment_n_m(&found, at).norm())
            .0;
        for pair in rig
            .chain
            .pieces
            .windows(2)
            .filter(|pair| pair[0].ends[1] == pair[1].ends[0])
        {
            let at = pair[0].to_m;
            let here = outer.iter().filter(|(along, _, _)| *along == at);
            let load: Vector3<f64> = here.map(|(_, _, force)| force).sum();
            let [before, after] = [0, 1].map(|i| pair[i].force_n(&found, at));
            let allowed_n = 2.0 * found.allowed_residual_n + 1e-9 * rig.case.weight_n();
            assert!(
                (after + load - before).norm() < allowed_n,
                "{seed}: force at {at} m"
            );
            let turns = [0, 1].map(|i| found.beams[pair[i].beam.index()].turn_rad.norm());
            let steepest = turns[0].max(turns[1]);
            let [before, after] = [0, 1].map(|i| pair[i].moment_n_m(&found, at));
            let bows = [0, 1].map(|i| found.beams[pair[i].beam.index()]);
            let bow_n_m: f64 = bows
                .iter()
                .map(|b| b.load_n_per_m.norm() * b.length_m.powi(2))
                .sum();
            let allowed_n_m = allowed_n + steepest * (steepest * greatest + bow_n_m);
            assert!((after - before).norm() < allowed_n_m, "{seed}: moment at {at} m");
            let [before, after] = [0, 1].map(|i| pair[i].direction(&found, at));
            // Taken over a ten-thousandth of a piece; pieces bend by small turns, and short ones give by some 1e-8 m.
            let shortest_m = pair
                .iter()
                .map(|p| p.to_m - p.from_m)
                .fold(f64::INFINITY, f64::min);
            let allowed = 1e-7 / shortest_m + 3e-4 * steepest + steepest.powi(3);
            assert!((after - before).norm() < allowed, "{seed}: direction at {at} m");
            joints += 1;
        }
    }
    assert!(joints > 1000);
}

/// A level pipe on plumb hangers as stiff as a building.
fn on_stiff_hangers(dice: &mut Dice) -> (Pipe, Vec<f64>) {
    let mut picks = vec![dice.between(0.2, 0.5)];
    for _ in 0..2 + dice.below(4) {
        picks.push(picks[picks.len() - 1] + dice.between(0.8, 2.0));
    }
    let length_m = picks[picks.len() - 1] + dice.between(0.2, 0.5);
    let ei = dice.between(2e4, 6e4);
    let pipe = Pipe {
        start_m: Vector3::zeros(),
        end_m: Vector3::x() * length_m,
        length_m,
        axial_stiffness_n: 3000.0 * ei,
        bending_stiffness_n_m2: ei,
        torsional_stiffness_n_m2: 0.77 * ei,
        weight_n_per_m: dice.between(30.0, 60.0),
        point_loads: Vec::new(),
        part_loads: Vec::new(),
        hinges_m: Vec::new(),
    };
    (pipe, picks)
}

/// Bending moments at twenty places under some loads; none where a hanger is slack.
fn moments_under(
    pipe: &Pipe,
    picks: &[f64],
    loads: &[(f64, Vector3<f64>)],
    marks: &[f64],
) -> Option<Vec<f64>> {
    let pipe = Pipe {
        point_loads: loads.to_vec(),
        ..pipe.clone()
    };
    let mut rig = Rig::new();
    // The same nodes under every load.
    let mut nodes = picks.to_vec();
    nodes.extend(marks);
    let chain = pipe.put_into(&mut rig, &nodes, 0.2);
    for along in picks {
        let end = [rig.point([*along, 0.0, 3.0]), chain.pick(&mut rig, *along)];
        rig.line(&end, 1e9, 3.0);
    }
    let found = rig.build().found();
    let slack = found.lines.iter().any(|line| line.slack);
    let at = |i: u32| pipe.length_m * f64::from(i) / 20.0;
    (!slack).then(|| (0..=20).map(|i| chain.moment_n_m(&found, at(i)).y).collect())
}

/// On stiff plumb hangers, while none goes slack, what two loads do together they do one by one. Slopes of the pipe are some
/// thousandths, and what they leave is their square.
#[test]
fn small_loads_add_up() {
    let mut dice = Dice::new(77);
    let mut compared = 0;
    for _ in 0..60 {
        let (pipe, picks) = on_stiff_hangers(&mut dice);
        let mut load = || {
            (
                dice.between(0.0, pipe.length_m),
                Vector3::z() * -dice.between(2.0, 40.0),
            )
        };
        let (one, other) = (load(), load());
        let moments = |loads: &[_]| moments_under(&pipe, &picks, loads, &[one.0, other.0]);
        let cases = [
            moments(&[]),
            moments(&[one]),
            moments(&[other]),
            moments(&[one, other]),
        ];
        let [Some(bare), Some(first), Some(second), Some(both)] = cases else {
            continue;
        };
        let greatest = both.iter().fold(0.0, |most: f64, m| most.max(m.abs()));
        for i in 0..both.len() {
            assert_near(both[i], first[i] + second[i] - bare[i], 2e-5 * greatest);
        }
        compared += 1;
    }
    assert!(compared > 40, "{compared}");
}

/// A ring on one line from a place that gives, pulled any way: the place gives along the pull, the line lies along it.
#[test]
fn a_place_that_gives_moves_along_the_pull() {
    let mut dice = Dice::new(5);
    for _ in 0..100 {
        let (k, ea) = (
            10.0_f64.powf(dice.between(3.5, 7.0)),
            10.0_f64.powf(dice.between(5.0, 7.0)),
        );
        let (length, weight) = (dice.between(0.5, 8.0), dice.between(100.0, 3000.0));
        let aside = Vector3::new(dice.between(-900.0, 900.0), dice.between(-900.0, 900.0), 0.0);
        let at = Vector3::from(dice.place([-3.0; 3], [3.0; 3]));
        let mut rig = Rig::new();
        let place = rig.giving_point(at.into(), k);
        let ring = rig.junction((at - Vector3::z() * length).into(), weight);
        rig.force(rig.frame_of(ring), [0.0; 3], aside.into());
        let line = rig.line(&[place, ring], ea, length);
        let case = rig.build();
        let found = case.found();
        let pull = aside - Vector3::z() * weight;
        let given = at + pull / k;
        let hung = given + pull.normalize() * (length * (1.0 + pull.norm() / ea));
        // As far as a residual of 1e-9 of the pull moves the softest of them.
        let allowed = 1e-8 * (pull.norm() / k + length);
        assert!((case.at(&found, place) - given).norm() < allowed);
        assert!((case.at(&found, ring) - hung).norm() < allowed);
        assert_near(found.line(line).tension_n, pull.norm(), 1e-8 * pull.norm());
        assert!((found.on_building_n[0] - pull).norm() < 1e-8 * pull.norm());
    }
}

/// A load on four legs from places of which each gives next to nothing hangs as from places that give nothing.
#[test]
fn places_that_hardly_give_are_fixed() {
    let mut dice = Dice::new(6);
    for _ in 0..50 {
        let corners = [[1.0, 0.7], [-1.1, 0.8], [-0.9, -0.8], [1.0, -0.9]];
        let errors = [0, 1, 2, 3].map(|_| dice.between(-0.004, 0.004));
        let solve = |stiffness: Option<f64>| -> Solution {
            let mut rig = Rig::new();
            let body = rig.body([0.0, 0.0, -4.0], [0.05, -0.08, -0.3], 2500.0);
            for ([x, y], error) in corners.into_iter().zip(errors) {
                let top = [1.2 * x, 1.3 * y, 0.0];
                let point = match stiffness {
                    Some(stiffness) => rig.giving_point(top, stiffness),
                    None => rig.point(top),
                };
                let pick = rig.pick(body, [x, y, 0.2]);
                rig.line(&[point, pick], 1e6, 3.85 + error);
            }
            rig.build().found()
        };
        let fixed = solve(None);
        for stiffness in [1e9, 1e10] {
            let giving = solve(Some(stiffness));
            for (a, b) in fixed.lines.iter().zip(&giving.lines) {
                // EA/L of the lines over the stiffness of the places, twice as much to be sure.
                assert_near(a.tension_n, b.tension_n, 2500.0 * 2.0 * 2.6e5 / stiffness);
            }
        }
    }
}

/// A load a quarter of a millimetre from a node makes a piece that short, whose stiffness against offsets would drown
/// every force in the rounding of places. On two plumb hangers the balance of moments says what is due.
#[test]
fn a_very_short_piece_drowns_nothing() {
    let (length_m, load_n, w) = (4.0, 310.0, 45.0);
    for short_m in [2.5e-4, 2.5e-3, 2.5e-2] {
        let pipe = Pipe {
            start_m: Vector3::zeros(),
            end_m: Vector3::x() * length_m,
            length_m,
            axial_stiffness_n: 9e7,
            bending_stiffness_n_m2: 3e4,
            torsional_stiffness_n_m2: 2.3e4,
            weight_n_per_m: w,
            point_loads: vec![(2.0 - short_m, Vector3::z() * -load_n)],
            part_loads: Vec::new(),
            hinges_m: Vec::new(),
        };
        let mut rig = Rig::new();
        let chain = pipe.put_into(&mut rig, &[0.5, 2.0, 3.5], 0.3);
        let lines = [0.5, 3.5].map(|along| {
            let path = [rig.point([along, 0.0, 3.0]), chain.pick(&mut rig, along)];
            rig.line(&path, 1e6, 3.0)
        });
        let found = rig.build().found();
        let far_n = 0.5 * w * length_m + load_n * (1.5 - short_m) / 3.0;
        let near_n = w * length_m + load_n - far_n;
        // The pipe sinks by half a millimetre and draws its ends in by the square of its slope.
        assert_near(found.line(lines[0]).tension_n, near_n, 1e-5 * near_n);
        assert_near(found.line(lines[1]).tension_n, far_n, 1e-5 * far_n);
    }
}

/// Where a line is so stiff that rounding of its length is a tenth of what hangs on it, there is no answer.
#[test]
fn noise_is_no_answer() {
    let mut rig = Rig::new();
    let ring = rig.junction([0.1, 0.2, -0.9], 500.0);
    for top in [[-1.0, 0.0, 0.0], [1.0, 0.3, 0.1], [0.0, -1.0, 0.2]] {
        let point = rig.point(top);
        rig.line(&[point, ring], 3e17, 1.4);
    }
    let case = rig.build();
    if let Ok(Outcome::Found(found)) = case.solve() {
        assert!(
            found.residual_n < 1e-4 * 500.0,
            "{} N left over",
            found.residual_n
        );
    }
}
