//! Published and derived problems of equilibrium: tests/published/mechanics/cases.toml, where each case
//! names its source and says whether it was seen. Tolerances come from the same file.
//!
//! Where the published lines do not stretch, ours do a little and are cut so that they hang at the stated
//! length.

use crate::support::{Case, Rig, assert_near};
use serde::Deserialize;
use statics::{FreeMotionKind, LineId, Solution};
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Book {
    case: Vec<Problem>,
}

#[derive(Deserialize)]
pub struct Problem {
    id: String,
    inputs: BTreeMap<String, toml::Value>,
    expect: Vec<Expected>,
}

#[derive(Deserialize)]
struct Expected {
    name: String,
    value: toml::Value,
    tol_rel: Option<f64>,
    tol_abs: Option<f64>,
}

pub fn problem(id: &str) -> Problem {
    let book: Book = toml::from_str(include_str!("../../../tests/published/mechanics/cases.toml")).unwrap();
    book.case.into_iter().find(|case| case.id == id).unwrap()
}

fn number(value: &toml::Value) -> f64 {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|x| x as f64))
        .unwrap()
}

fn numbers(value: &toml::Value) -> Vec<f64> {
    value
        .as_array()
        .map_or_else(|| vec![number(value)], |list| list.iter().map(number).collect())
}

impl Problem {
    pub fn input(&self, name: &str) -> f64 {
        number(&self.inputs[name])
    }

    pub fn list(&self, name: &str) -> Vec<f64> {
        numbers(&self.inputs[name])
    }

    pub fn place(&self, name: &str) -> [f64; 3] {
        self.list(name).try_into().unwrap()
    }

    pub fn places(&self, name: &str) -> Vec<[f64; 3]> {
        let list = self.inputs[name].as_array().unwrap();
        list.iter()
            .map(|place| numbers(place).try_into().unwrap())
            .collect()
    }

    /// An expected list of numbers or of lists.
    pub fn expect_lists(&self, name: &str) -> Vec<Vec<f64>> {
        let expected = self.expect.iter().find(|e| e.name == name).unwrap();
        let list = expected.value.as_array().unwrap();
        if list[0].is_array() {
            list.iter().map(numbers).collect()
        } else {
            vec![numbers(&expected.value)]
        }
    }

    /// Compares with every expected value of that name.
    #[track_caller]
    pub fn check(&self, name: &str, got: &[f64]) {
        let mut checked = 0;
        for expected in self.expect.iter().filter(|e| e.name == name) {
            let wanted = numbers(&expected.value);
            assert_eq!(wanted.len(), got.len(), "{name}");
            for (got, wanted) in got.iter().zip(wanted) {
                let tolerance = expected
                    .tol_abs
                    .unwrap_or(expected.tol_rel.unwrap_or(0.0) * wanted.abs());
                assert!(tolerance > 0.0);
                assert!(
                    (got - wanted).abs() <= tolerance,
                    "{} {name}: {got}, wanted {wanted}",
                    self.id
                );
            }
            checked += 1;
        }
        assert!(checked > 0, "{} has no value named {name}", self.id);
    }
}

/// Cuts each line so that its loaded length becomes the stated one: the published lines do not stretch, or
/// their places are given as they hang.
fn cut_to(case: &mut Case, loaded_m: &[f64]) -> Solution {
    for _ in 0..8 {
        let found = case.found();
        for (line, (result, length)) in case
            .parameters
            .lines
            .iter_mut()
            .zip(found.lines.iter().zip(loaded_m))
        {
            line.unloaded_length_m = length / (1.0 + result.tension_n / line.stiffness_n);
        }
    }
    case.found()
}

fn tension(found: &Solution, line: LineId) -> f64 {
    found.line(line).tension_n
}

/// P05, Code_Aster SSNL105 (text seen). A line cannot push, so bar 3-4, which the load compresses, is
/// replaced by a tie from above node 3 on the same line of action: it pulls node 3 up with the force with
/// which the bar pushes it up. Bars 1-2, 2-3 and 4-1 carry nothing; node 2 hangs on the slack cable alone.
#[test]
fn p05_square_with_two_diagonals_one_slack() {
    let p = problem("P05");
    let force = p.input("force_N");
    let mut rig = Rig::new();
    let (node1, node4) = (rig.point([0.0; 3]), rig.point([1.0, 0.0, 0.0]));
    let above = rig.point([1.0, 2.0, 0.0]);
    let node3 = rig.junction([1.0, 1.0, 0.0], 0.0);
    let node2 = rig.junction([0.0, 1.0, 0.0], 0.0);
    let diagonal = 2.0_f64.sqrt();
    let cable13 = rig.line(&[node1, node3], 1e6 * force, diagonal);
    let bar34 = rig.line(&[above, node3], 1e6 * force, 1.0);
    let cable24 = rig.line(&[node2, node4], 1e6 * force, diagonal);
    let mut case = rig.build();
    case.parameters.forces.push(statics::AppliedForce {
        frame: case.topology.frame_of(node3),
        offset_m: statics::Vector3::zeros(),
        force_n: statics::Vector3::new(force, 0.0, 0.0),
    });
    let found = case.found();
    p.check("cable 1-3", &[tension(&found, cable13)]);
    p.check("bar 3-4", &[-tension(&found, bar34)]);
    p.check("cable 2-4 (slack)", &[tension(&found, cable24)]);
}

/// P07, elementary statics (pair seen at the named page): the state before the horizontal line is cut.
#[test]
fn p07_load_held_aside_before_the_cut() {
    let p = problem("P07");
    let (angle, weight) = (p.input("theta_deg").to_radians(), p.input("weight_N"));
    let mut rig = Rig::new();
    let stiff = 1e9 * weight;
    let load_at = [3.0 * angle.sin(), 0.0, -3.0 * angle.cos()];
    let (top, side) = (
        rig.point([0.0; 3]),
        rig.point([load_at[0] + 2.0, 0.0, load_at[2]]),
    );
    let load = rig.junction(load_at, weight);
    let hangs = rig.line(&[top, load], stiff, 3.0);
    rig.line(&[side, load], stiff, 2.0);
    p.check("tension before", &[tension(&rig.build().found(), hangs)]);
}

/// P08, textbook example 10.1 (text seen): a light cable with three loads. Lengths of its four parts follow
/// from the published drops; the loads and the cable are then solved from a poor guess.
#[test]
fn p08_light_cable_with_three_loads() {
    let p = problem("P08");
    let (loads, bays) = (p.list("loads_N"), p.list("bays_m"));
    let drop = |name: &str| number(&p.expect.iter().find(|e| e.name == name).unwrap().value);
    let drops = [
        drop("A below B"),
        drop("C below B"),
        drop("D below B"),
        drop("E below B"),
        0.0,
    ];
    let mut rig = Rig::new();
    let mut along = 0.0;
    let mut places = vec![rig.point([0.0, 0.0, -drops[0]])];
    for (bay, load) in bays.iter().zip(&loads) {
        along += bay;
        places.push(rig.junction([along + 0.3, 0.2, -4.0], *load));
    }
    along += bays[3];
    places.push(rig.point([along, 0.0, 0.0]));
    let lengths: Vec<f64> = (0..4).map(|i| bays[i].hypot(drops[i + 1] - drops[i])).collect();
    let lines: Vec<_> = (0..4)
        .map(|i| rig.line(&[places[i], places[i + 1]], 1e4 * loads[1], lengths[i]))
        .collect();
    let mut case = rig.build();
    let found = cut_to(&mut case, &lengths);
    let on_b = found.on_building_n[case.topology.frame_of(places[4]).index()];
    p.check("horizontal reaction", &[-on_b.x]);
    p.check("vertical reaction at B", &[-on_b.z]);
    p.check("largest tension (B-E)", &[tension(&found, lines[3])]);
    p.check("tension C-A", &[tension(&found, lines[0])]);
    let below = |index: usize| -case.at(&found, places[index]).z;
    p.check("E below B", &[below(3)]);
    p.check("D below B", &[below(2)]);
    p.check("C below B", &[below(1)]);
    p.check("A below B", &[below(0)]);
}

/// P09, physics textbook exercise (data and formula seen).
#[test]
fn p09_load_on_two_lines_at_given_angles() {
    let p = problem("P09");
    let weight = p.input("weight_N");
    let (first, second) = (
        p.input("angle1_deg").to_radians(),
        p.input("angle2_deg").to_radians(),
    );
    let mut rig = Rig::new();
    let ends = [
        [-first.cos(), 0.0, first.sin()],
        [second.cos(), 0.0, second.sin()],
    ]
    .map(|at| rig.point(at));
    let load = rig.junction([0.05, 0.02, -0.1], weight);
    let lines = ends.map(|end| rig.line(&[end, load], 1e4 * weight, 1.0));
    let found = cut_to(&mut rig.build(), &[1.0; 2]);
    p.check("T1", &[tension(&found, lines[0])]);
    p.check("T2", &[tension(&found, lines[1])]);
}

/// P10, physics exercise (text seen).
#[test]
fn p10_nearly_flat_line() {
    let p = problem("P10");
    let (span, dip, weight) = (
        p.input("span_m"),
        p.input("dip_m"),
        p.input("mass_kg") * p.input("g"),
    );
    let mut rig = Rig::new();
    let ends = [-0.5, 0.5].map(|x| rig.point([x * span, 0.0, 0.0]));
    let load = rig.junction([0.0, 0.0, -2.0 * dip], weight);
    let half = (0.5 * span).hypot(dip);
    let lines = ends.map(|end| rig.line(&[end, load], 1e8 * weight, half));
    let found = cut_to(&mut rig.build(), &[half; 2]);
    p.check("tension", &[tension(&found, lines[0])]);
    p.check("tension", &[tension(&found, lines[1])]);
}

/// P11, calculus textbook exercise (data seen).
#[test]
fn p11_load_on_three_equal_lines() {
    let p = problem("P11");
    let load_n = p.input("load_N");
    let mut rig = Rig::new();
    let anchors: Vec<_> = p.places("anchors").into_iter().map(|at| rig.point(at)).collect();
    let load = rig.junction([0.2, -0.1, -7.0], load_n);
    let lines: Vec<_> = anchors
        .iter()
        .map(|a| rig.line(&[*a, load], 1e9 * load_n, 8.0))
        .collect();
    let case = rig.build();
    let found = case.found();
    for line in &lines {
        p.check("tension, each line", &[tension(&found, *line)]);
    }
    let pull = found.pulls_of(&case.topology, lines[0])[1];
    p.check("x component at (-2,0,0)", &[pull.x]);
    p.check("z component", &[pull.z]);
}

/// P18, after Kanno's convex formulation (assertion seen): two collinear lines, loaded along them.
#[test]
fn p18_two_collinear_lines_one_slack() {
    let p = problem("P18");
    let mut rig = Rig::new();
    let ends = [0.0, 2.0].map(|x| rig.point([x, 0.0, 0.0]));
    let middle = rig.junction([1.0, 0.0, 0.0], 0.0);
    let lines = ends.map(|end| rig.line(&[end, middle], p.input("EA"), p.input("L0")));
    let mut case = rig.build();
    case.parameters.forces.push(statics::AppliedForce {
        frame: case.topology.frame_of(middle),
        offset_m: statics::Vector3::zeros(),
        force_n: statics::Vector3::new(p.input("force"), 0.0, 0.0),
    });
    let found = case.found();
    p.check("member tensions", &lines.map(|line| tension(&found, line)));
    p.check(
        "displacement of the middle node",
        &[case.at(&found, middle).x - 1.0],
    );
}

/// P19, after Saafan 1970 (recalled) and recomputed: pretensioned spatial net.
#[test]
fn p19_pretensioned_net() {
    let p = problem("P19");
    let solve = |weight_per_metre: f64| {
        let (near, far, high) = (15.24_f64, 45.72_f64, 9.144_f64);
        let mut rig = Rig::new();
        let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        let nodes = corners.map(|[x, y]| rig.junction([x * near, y * near, 0.0], p.input("node_load_N")));
        let ea = p.input("EA_N");
        let add = |rig: &mut Rig, a, b, drawn: f64, prestress: f64| {
            let unloaded = drawn / (1.0 + prestress / ea);
            rig.heavy_line(&[a, b], ea, unloaded, weight_per_metre * unloaded)
        };
        let level: Vec<_> = (0..4)
            .map(|i| {
                add(
                    &mut rig,
                    nodes[i],
                    nodes[(i + 1) % 4],
                    2.0 * near,
                    p.input("prestress_horizontal_N"),
                )
            })
            .collect();
        let mut inclined = Vec::new();
        for (node, [x, y]) in nodes.iter().zip(corners) {
            for at in [[x * far, y * near, high], [x * near, y * far, high]] {
                let anchor = rig.point(at);
                let drawn = (far - near).hypot(high);
                inclined.push(add(
                    &mut rig,
                    anchor,
                    *node,
                    drawn,
                    p.input("prestress_inclined_N"),
                ));
            }
        }
        let case = rig.build();
        let found = case.found();
        let moved = case.at(&found, nodes[0]) - statics::Vector3::new(-near, -near, 0.0);
        (moved, tension(&found, level[0]), tension(&found, inclined[0]))
    };
    let (moved, level, inclined) = solve(0.0);
    p.check(
        "displacement of node (-,-), no self weight [dx,dy,dz]",
        moved.as_slice(),
    );
    p.check("horizontal member tension, no self weight", &[level]);
    p.check("inclined member tension, no self weight", &[inclined]);
    let (heavy, ..) = solve(p.input("self_weight_N_per_m"));
    p.check("same with lumped self weight", heavy.as_slice());
    for (name, got) in [
        ("published dz, range over authors", heavy.z),
        ("published dx = dy, range over authors", heavy.x),
    ] {
        let expected = p.expect.iter().find(|e| e.name == name).unwrap();
        let (range, wider) = (numbers(&expected.value), expected.tol_abs.unwrap());
        assert!(
            got <= range[0] + wider && got >= range[1] - wider,
            "{name}: {got}"
        );
    }
}

fn plate(p: &Problem, long_by_m: f64) -> (Case, Vec<LineId>) {
    let (length, sides) = (p.input("L_m"), p.list("plate_m"));
    let mut rig = Rig::new();
    let body = rig.body([0.0, 0.0, -length], [0.0; 3], p.input("weight_N"));
    let corners = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]];
    let lines = corners
        .iter()
        .enumerate()
        .map(|(index, [x, y])| {
            let (x, y) = (0.5 * x * sides[0], 0.5 * y * sides[1]);
            let top = rig.point([x, y, 0.0]);
            let pick = rig.pick(body, [x, y, p.input("pick_height_above_CG_m")]);
            rig.line(
                &[top, pick],
                p.input("EA_N"),
                length + if index == 0 { long_by_m } else { 0.0 },
            )
        })
        .collect();
    (rig.build(), lines)
}

/// P20, derived: a plate on four legs, one of them long. Past the change-over the plate is only neutrally
/// stable about the loaded diagonal, which must be said.
#[test]
fn p20_plate_with_one_long_leg() {
    let p = problem("P20");
    let names = [
        "tension of long leg and its diagonal partner, per delta",
        "tension of the other two, per delta",
    ];
    let mut sums = [Vec::new(), Vec::new()];
    for delta in p.list("delta_m") {
        let (case, lines) = plate(&p, delta);
        let found = case.found();
        let pull = |i: usize| tension(&found, lines[i]);
        assert_near(pull(0), pull(2), 6.0);
        assert_near(pull(1), pull(3), 6.0);
        sums[0].push(0.5 * (pull(0) + pull(2)));
        sums[1].push(0.5 * (pull(1) + pull(3)));
        if delta == 0.03 {
            assert_eq!(found.free_motions.len(), 1, "{:?}", found.free_motions);
            let FreeMotionKind::Turns { axis, .. } = found.free_motions[0].kind else {
                panic!("not a turn")
            };
            let along = statics::Vector3::new(3.0, -2.0, 0.0).normalize();
            // The loaded legs stretch alike, so the diagonal stays level: axis along it.
            assert_near(axis.dot(&along).abs(), 1.0, 1e-4);
        } else if delta < 0.016 {
            assert!(found.free_motions.is_empty(), "{:?}", found.free_motions);
        }
    }
    p.check(names[0], &sums[0]);
    p.check(names[1], &sums[1]);
}

fn bridle(points: &[[f64; 3]], load_n: f64) -> (Solution, Vec<LineId>) {
    let mut rig = Rig::new();
    let ring = rig.junction([0.1, 0.1, -0.2], load_n);
    let lengths: Vec<f64> = points
        .iter()
        .map(|at| statics::Vector3::from(*at).norm())
        .collect();
    let lines = points
        .iter()
        .zip(&lengths)
        .map(|(at, length)| {
            let point = rig.point(*at);
            rig.line(&[point, ring], 1e4 * load_n, *length)
        })
        .collect();
    (cut_to(&mut rig.build(), &lengths), lines)
}

/// P21, derived: unequal two-leg bridle.
#[test]
fn p21_two_leg_bridle() {
    let p = problem("P21");
    let (found, lines) = bridle(&[p.place("p1"), p.place("p2")], p.input("load_N"));
    p.check("T1", &[tension(&found, lines[0])]);
    p.check("T2", &[tension(&found, lines[1])]);
}

/// P22, derived: unequal three-leg bridle.
#[test]
fn p22_three_leg_bridle() {
    let p = problem("P22");
    let (found, lines) = bridle(&p.places("points"), p.input("load_N"));
    p.check(
        "tensions",
        &lines
            .iter()
            .map(|line| tension(&found, *line))
            .collect::<Vec<_>>(),
    );
}

/// P23, the classical experiment of three weights and two sheaves (force triangle).
#[test]
fn p23_three_weights_and_two_sheaves() {
    let p = problem("P23");
    let weights = p.list("weights");
    let mut rig = Rig::new();
    let sheaves = [rig.point([-5.0, 0.0, 0.0]), rig.point([5.0, 0.0, 0.0])];
    let ring = rig.junction([0.0, 0.0, -5.0], weights[2]);
    let hung = [
        rig.junction([-5.0, 0.0, -3.0], weights[0]),
        rig.junction([5.0, 0.0, -3.0], weights[1]),
    ];
    for side in 0..2 {
        // Long enough that both weights hang well below their sheaves.
        rig.line(&[ring, sheaves[side], hung[side]], 1e9, 14.0);
    }
    let case = rig.build();
    let found = case.found();
    let ring_at = case.at(&found, ring);
    let parts = sheaves.map(|sheave| (case.at(&found, sheave) - ring_at).normalize());
    p.check(
        "angle between the parts",
        &[parts[0].angle(&parts[1]).to_degrees()],
    );
    let to_vertical = parts.map(|part| part.z.acos().to_degrees());
    p.check("angle of the 3-unit part to the vertical", &[to_vertical[0]]);
    p.check("angle of the 4-unit part to the vertical", &[to_vertical[1]]);
}

/// P24, handbook relation (from memory): warmth as a change of unloaded length, between two points with a
/// junction in the middle so that there is something to solve.
#[test]
fn p24_temperature_of_a_prestressed_line() {
    let p = problem("P24");
    let (ea, prestress) = (p.input("EA_N"), p.input("T0_N"));
    let unloaded = 2.0 / (1.0 + prestress / ea);
    let tensions: Vec<f64> = p
        .list("dT_K")
        .iter()
        .map(|warmer| {
            let mut rig = Rig::new();
            let ends = [rig.point([-2.0, 0.0, 0.0]), rig.point([2.0, 0.0, 0.0])];
            let middle = rig.junction([0.0; 3], 0.0);
            let lines = ends.map(|end| {
                rig.line(
                    &[end, middle],
                    ea,
                    unloaded * (1.0 + p.input("alpha_per_K") * warmer),
                )
            });
            tension(&rig.build().found(), lines[0])
        })
        .collect();
    p.check("tension (handbook linear form)", &tensions);
}

/// P27, computed with three independent formulations: pose of a body on two lines.
#[test]
fn p27_body_on_two_lines() {
    let p = problem("P27");
    let mut rig = Rig::new();
    let weight = p.input("mass_kg") * p.input("g");
    let body = rig.body([0.1, 0.3, 1.5], p.place("cg"), weight);
    let lines: Vec<_> = p
        .places("anchors")
        .into_iter()
        .zip(p.places("picks"))
        .zip(p.list("L0"))
        .map(|((anchor, pick), length)| {
            let path = [rig.point(anchor), rig.pick(body, pick)];
            rig.line(&path, p.input("EA"), length)
        })
        .collect();
    let case = rig.build();
    let found = case.found();
    p.check(
        "tensions",
        &lines
            .iter()
            .map(|line| tension(&found, *line))
            .collect::<Vec<_>>(),
    );
    let centre = found.state.centre_at_m(&case.topology, &case.parameters, body);
    p.check("CG position", centre.as_slice());
    let pitch = found.state.rotation[body.index()].scaled_axis().y.to_degrees();
    p.check("pitch (rotation about +y)", &[pitch]);
}

/// P28, computed with two integrators: the state before one line lets go.
#[test]
fn p28_ring_on_two_lines_before_let_go() {
    let p = problem("P28");
    let mut rig = Rig::new();
    let ring = rig.junction([2.0, 0.0, 3.0], p.input("mass_kg") * p.input("g"));
    let lines: Vec<_> = p
        .places("anchors")
        .into_iter()
        .map(|at| {
            let point = rig.point(at);
            rig.line(&[point, ring], p.input("EA_N"), p.input("L0_m"))
        })
        .collect();
    let found = rig.build().found();
    for line in lines {
        p.check("static tension before", &[tension(&found, line)]);
    }
}
