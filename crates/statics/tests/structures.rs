//! Published problems of ropes with weight and of pipes: tests/published/mechanics/cases.toml, where each case names its
//! source and says whether it was seen. Tolerances come from the same file.

use crate::published::problem;
use crate::recount::recount;
use crate::support::{Case, Rig, assert_near};
use statics::{
    AppliedForce, BeamParameters, FrameId, LineId, Options, Parameters, Solution, Spring, State, Topology,
    TopologyBuilder, Vector3, Workspace, solve,
};

fn solved(case: &Case) -> Solution {
    let found = case.solve().unwrap().found().unwrap();
    recount(case, &found);
    found
}

/// P01, Michalos and Birnstiel 1962 (recalled) and recomputed: a cable with self weight and a point load.
#[test]
fn p01_cable_with_self_weight_and_a_point_load() {
    let p = problem("P01");
    let solve = |load_n: f64| {
        let mut rig = Rig::new();
        let (left, right) = (rig.point(p.place("left")), rig.point(p.place("right")));
        let ring = rig.junction([120.0, 0.0, -30.0], load_n);
        let (ea, w) = (p.input("EA_N"), p.input("weight_N_per_m"));
        let [a, b] = ["unstressed_left_m", "unstressed_right_m"].map(|name| p.input(name));
        let lines = [
            rig.heavy_line(&[left, ring], ea, a, w * a),
            rig.heavy_line(&[ring, right], ea, b, w * b),
        ];
        let case = rig.build();
        let found = solved(&case);
        let at = found.state.position_m[2];
        (at, lines.map(|line| found.line(line)), found.pulls_n.clone())
    };
    let (bare, _, _) = solve(0.0);
    let (loaded, lines, pulls) = solve(p.input("point_load_N"));
    let moved = loaded - bare;
    p.check("self-weight z of ring", &[bare.z]);
    p.check("dx of ring (positive away from the left support)", &[moved.x]);
    p.check("dz of ring", &[moved.z]);
    p.check("dx", &[moved.x]);
    p.check("dz", &[moved.z]);
    p.check("horizontal tension under load", &[pulls[0].x]);
    p.check("left support tension", &[lines[0].end_tensions_n[0]]);
    p.check("right support tension", &[lines[1].end_tensions_n[1]]);
}

/// A level span: its greatest sag and its horizontal tension.
fn span(span_m: f64, ea: f64, unloaded_m: f64, weight_n: f64) -> (f64, f64) {
    let mut rig = Rig::new();
    let ends = [rig.point([0.0; 3]), rig.point([span_m, 0.0, 0.0])];
    let line = rig.heavy_line(&ends, ea, unloaded_m, weight_n);
    let case = rig.build();
    let found = solved(&case);
    (found.line(line).sag_m.unwrap(), found.pulls_n[0].x)
}

/// P02, Code_Aster SSNL114 (text seen): a heavy cable as long as its span, cold and warm.
#[test]
fn p02_heavy_cable_then_warmed() {
    let p = problem("P02");
    let (length, ea) = (p.input("unstressed_m"), p.input("EA_N"));
    let weight_n = p.input("weight_N_per_m") * length;
    for (warmth, z, h) in [
        (0.0, "mid-span z at dT=0", "H at dT=0"),
        (39.26, "mid-span z at dT=39.26 K", "H at dT=39.26 K"),
    ] {
        // What it weighs per metre when cold stays its weight.
        let longer = 1.0 + p.input("alpha_per_K") * warmth;
        let weight_n = if warmth == 0.0 {
            weight_n
        } else {
            weight_n * longer
        };
        let (sag, horizontal) = span(p.input("span_m"), ea, length * longer, weight_n);
        p.check(z, &[-sag]);
        p.check(h, &[horizontal]);
    }
}

/// P03, Code_Aster SSNL100 (text seen): two spans over a pulley, with cable paid out.
#[test]
fn p03_two_spans_over_a_pulley() {
    let p = problem("P03");
    let mut rig = Rig::new();
    let points = [0.0, 100.0, 200.0].map(|x| rig.point([x, 0.0, 0.0]));
    let length = p.input("unstressed_total_m");
    let line = rig.heavy_line(
        &points,
        p.input("EA_N"),
        length,
        p.input("weight_N_per_m") * length,
    );
    let case = rig.build();
    let found = solved(&case);
    let sag = found.line(line).sag_m.unwrap();
    p.check(
        "mid-span z, each span (source's node is a little off the middle, 10 straight elements)",
        &[-sag],
    );
    p.check("mid-span z, each span", &[-sag]);
    p.check("H", &[found.pulls_n[0].x]);
    p.check("load on the suspension", &[-found.on_building_n[1].z]);
    let horizontal = found.pulls_n[0].x;
    // Half of each span's weight hangs beside the pulley.
    let upright = 0.25 * 30.0 * length;
    p.check(
        "tension at pulley (equal both sides)",
        &[horizontal.hypot(upright)],
    );
}

/// P04, Code_Aster R3.08.05 (text seen): the sag of a span whose end tension is held. The length that gives that tension
/// is found by halving; ours stretches by a billionth.
#[test]
fn p04_span_with_a_given_end_tension() {
    let p = problem("P04");
    let (span_m, w) = (p.input("span_m"), p.input("weight_N_per_m"));
    let hung = |length: f64| {
        let (sag, horizontal) = span(span_m, 5e12, length, w * length);
        (sag, horizontal, horizontal.hypot(0.5 * w * length))
    };
    // The shallow one of two: short of the length whose tension is least.
    let (mut short, mut long) = (span_m * 1.0001, span_m * 1.05);
    for _ in 0..100 {
        let middle = 0.5 * (short + long);
        if hung(middle).2 > p.input("end_tension_N") {
            short = middle;
        } else {
            long = middle;
        }
    }
    let (sag, horizontal, _) = hung(short);
    p.check("sag", &[sag]);
    p.check("H", &[horizontal]);
}

/// P25, strength of materials (from memory): a hanging rope with a load at its end.
#[test]
fn p25_hanging_heavy_rope() {
    let p = problem("P25");
    let mut rig = Rig::new();
    let (top, ring) = (
        rig.point([0.0; 3]),
        rig.junction([0.1, 0.0, -40.0], p.input("P_N")),
    );
    let length = p.input("L_m");
    let line = rig.heavy_line(
        &[top, ring],
        p.input("EA_N"),
        length,
        p.input("w_N_per_m") * length,
    );
    let case = rig.build();
    let found = solved(&case);
    p.check("top tension", &[found.line(line).end_tensions_n[0]]);
    let stretch = -found.state.position_m[1].z - length;
    // The coordinates hold 40 m to a few billionths of the stretch.
    assert_near(stretch, 0.01328, 1e-9 * 0.01328 + 1e-13);
}

/// A level pipe along x in pieces, hung on upright lines.
struct Pipe {
    topology: Topology,
    parameters: Parameters,
    guess: State,
    nodes: Vec<FrameId>,
    lines: Vec<LineId>,
    at_m: Vec<f64>,
}

/// What a pipe is made and hung of.
struct Hung<'a> {
    /// Where its pieces end, m.
    nodes_m: &'a [f64],
    ei: f64,
    /// Load down on each piece, N/m.
    load_n_per_m: &'a dyn Fn(usize) -> f64,
    /// Which nodes hang, on lines of which stiffness, N/m.
    hangers: &'a [usize],
    stiffness: f64,
}

fn pipe(of: &Hung<'_>) -> Pipe {
    let length_m = 4.0;
    let mut rig = TopologyBuilder::new();
    let nodes: Vec<FrameId> = of.nodes_m.iter().map(|_| rig.body()).collect();
    let points: Vec<FrameId> = of.hangers.iter().map(|_| rig.fixed()).collect();
    let lines: Vec<LineId> = points
        .iter()
        .zip(of.hangers)
        .map(|(point, node)| {
            let path = [rig.attachment(*point), rig.attachment(nodes[*node])];
            rig.line(&path)
        })
        .collect();
    for pair in nodes.windows(2) {
        rig.beam(pair[0], pair[1]);
    }
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);
    for (node, x) in nodes.iter().zip(of.nodes_m) {
        guess.position_m[node.index()] = Vector3::new(*x, 0.0, 0.0);
    }
    for (point, node) in points.iter().zip(of.hangers) {
        parameters.fixed_at_m[point.index()] = Vector3::new(of.nodes_m[*node], 0.0, length_m);
    }
    for line in &lines {
        parameters.lines[line.index()].stiffness_n = of.stiffness * length_m;
        parameters.lines[line.index()].unloaded_length_m = length_m;
    }
    for (i, pair) in of.nodes_m.windows(2).enumerate() {
        parameters.beams[i] = BeamParameters {
            load_n_per_m: Vector3::new(0.0, 0.0, -(of.load_n_per_m)(i)),
            ..BeamParameters::prismatic(pair[1] - pair[0], 1e3 * of.ei, of.ei, of.ei, of.ei)
        };
    }
    Pipe {
        topology,
        parameters,
        guess,
        nodes,
        lines,
        at_m: of.nodes_m.to_vec(),
    }
}

impl Pipe {
    fn solve(&self) -> Solution {
        let mut work = Workspace::new(&self.topology);
        let options = Options::default();
        let outcome = solve(&self.topology, &self.parameters, &self.guess, &options, &mut work).unwrap();
        outcome.found().unwrap()
    }

    fn tensions(&self, found: &Solution) -> Vec<f64> {
        self.lines
            .iter()
            .map(|line| found.line(*line).tension_n)
            .collect()
    }

    /// Bending moments in the pipe at a place, from the piece before it; sagging is positive.
    fn moment_n_m(&self, found: &Solution, at_m: f64) -> f64 {
        let piece = self.at_m.windows(2).position(|pair| at_m <= pair[1]).unwrap();
        let middle = 0.5 * (self.at_m[piece] + self.at_m[piece + 1]);
        -found.beams[piece].moment_at(at_m - middle).y
    }
}

/// Evenly placed nodes over spans of 1 m.
fn even(spans: usize, pieces: usize) -> Vec<f64> {
    (0..=spans * pieces).map(|i| i as f64 / pieces as f64).collect()
}

/// P12, Civil Engineering Formulas, table 2.1, and two further pages (text seen): continuous beams over 2 to 5 equal
/// spans. Lines a million times as stiff as the beam stand for the supports; the load is a thousandth of EI/L^3, so that
/// slopes are a few hundred-thousandths and second-order effects less than rounding of the table.
#[test]
fn p12_continuous_beams() {
    let p = problem("P12");
    let (ei, w, pieces) = (1000.0, 1.0, 20);
    let mut span_moments = Vec::new();
    let inner = p.expect_lists("interior support moments 2..5 spans");
    for spans in 2..=5 {
        let nodes = even(spans, pieces);
        let hangers: Vec<usize> = (0..=spans).map(|i| i * pieces).collect();
        let pipe = pipe(&Hung {
            nodes_m: &nodes,
            ei,
            load_n_per_m: &|_| w,
            hangers: &hangers,
            stiffness: 1e9,
        });
        let found = pipe.solve();
        p.check(&format!("{spans} spans reactions"), &pipe.tensions(&found));
        for (support, wanted) in (1..spans).zip(&inner[spans - 2]) {
            assert_near(-pipe.moment_n_m(&found, support as f64), *wanted, 1e-4 * wanted);
        }
        let along = (0..=1000).map(|i| f64::from(i) / 1000.0);
        span_moments.push(
            along
                .clone()
                .map(|x| pipe.moment_n_m(&found, x))
                .fold(0.0, f64::max),
        );
        let deepest = pipe.nodes[..=pieces]
            .iter()
            .map(|n| -found.state.position_m[n.index()].z)
            .fold(0.0, f64::max);
        if spans == 2 || spans == 3 {
            p.check(&format!("max deflection {spans} spans"), &[deepest * ei / w]);
        }
    }
    p.check("largest span moment 2..5 spans (end span)", &span_moments);
}

/// P13 (text seen): three spans, two loaded. Tension-only hangers: the far one would have to push, so it goes slack. With
/// the far end held down by the published reaction instead, the beam is level there and the others are as published.
#[test]
fn p13_far_hanger_would_have_to_push() {
    let p = problem("P13");
    let (w, ei, stiffness) = (100.0, 1e4, 1e10);
    let load = |piece: usize| if piece < 8 { w } else { 0.0 };
    let nodes = even(3, 4);
    let hung = Hung {
        nodes_m: &nodes,
        ei,
        load_n_per_m: &load,
        hangers: &[0, 4, 8, 12],
        stiffness,
    };
    let mut pipe = pipe(&hung);
    let found = pipe.solve();
    let shares: Vec<f64> = pipe.tensions(&found).iter().map(|t| t / w).collect();
    // Hangers a million times as stiff as EI / L^3 give a little: 5e-6 of the load, ten times less with ten times less.
    for (got, wanted) in shares
        .iter()
        .zip(&p.expect_lists("(b) hanger tensions (rigid hangers)")[0])
    {
        assert_near(*got, *wanted, 1e-5);
    }
    assert!(found.line(pipe.lines[3]).slack);

    let far = pipe.nodes[12];
    pipe.parameters.forces.push(AppliedForce {
        frame: far,
        offset_m: Vector3::zeros(),
        force_n: Vector3::z() * (-w / 30.0),
    });
    pipe.parameters.lines[pipe.lines[3].index()].active = false;
    let held = pipe.solve();
    assert_near(held.state.position_m[far.index()].z, 0.0, 1e-7);
    let mut shares: Vec<f64> = pipe.tensions(&held).iter().map(|t| t / w).collect();
    shares[3] = -1.0 / 30.0;
    for (got, wanted) in shares.iter().zip([0.383_333_333, 1.2, 0.45, -0.033_333_333]) {
        assert_near(*got, wanted, 1e-5);
    }
}

/// P26, computed by direct stiffness and by OpenSees: a pipe on four elastic hangers. They know small slopes only, and
/// answer in proportion to the load, so ours is a part of theirs.
#[test]
fn p26_pipe_on_elastic_hangers() {
    let p = problem("P26");
    let nodes: Vec<f64> = (0..=12).map(|i| p.input("L_m") * f64::from(i) / 12.0).collect();
    assert_near(nodes[4], p.list("x")[1], 1e-12);
    let tensions_n = |stiffness: f64, part: f64| -> Vec<f64> {
        let pipe = pipe(&Hung {
            nodes_m: &nodes,
            ei: p.input("EI"),
            load_n_per_m: &|_| part * p.input("q"),
            hangers: &[0, 4, 8, 12],
            stiffness,
        });
        let found = pipe.solve();
        pipe.tensions(&found).iter().map(|t| t / part).collect()
    };
    p.check("hanger tensions", &tensions_n(p.input("k"), 0.01));
    p.check("if the supports were rigid", &tensions_n(3e10, 0.1));
}

/// A pipe built into the wall, with a load at its end, against F L^3 / 3 EI (any handbook); a second one with a hinge in
/// its middle, hung at its end, carries half of a load on the hinge's far piece at each end.
#[test]
fn cantilever_and_hinge() {
    let (ei, length, force) = (2000.0, 2.0, 10.0);
    let mut rig = TopologyBuilder::new();
    let (wall, end) = (rig.fixed(), rig.body());
    rig.beam(wall, end);
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    parameters.beams[0] = BeamParameters::prismatic(length, 1e8, ei, ei, ei);
    parameters.weight_n[end.index()] = force;
    let mut guess = State::at_origin(&topology);
    guess.position_m[end.index()] = Vector3::new(length, 0.0, 0.0);
    let mut work = Workspace::new(&topology);
    let found = solve(&topology, &parameters, &guess, &Options::default(), &mut work);
    let found = found.unwrap().found().unwrap();
    let deep = force * length.powi(3) / (3.0 * ei);
    // Second order in the slope of 1 in 100.
    assert_near(-found.state.position_m[end.index()].z, deep, 3e-4 * deep);
    assert_near(-found.on_building_n[wall.index()].z, force, 1e-6);
    assert_near(
        found.beams[0].moment_at(-0.5 * length).y,
        force * length,
        3e-4 * force * length,
    );
}

/// A ring on one upright line from a place that gives: gives and line stretch one after the other.
#[test]
fn a_place_that_gives_moves_as_it_is_pulled() {
    let mut rig = TopologyBuilder::new();
    let (place, ring) = (rig.junction(), rig.junction());
    let path = [rig.attachment(place), rig.attachment(ring)];
    rig.line(&path);
    let topology = rig.build().unwrap();
    let mut parameters = Parameters::blank(&topology);
    let at_m = Vector3::new(1.0, 2.0, 5.0);
    parameters.springs.push(Spring {
        frame: place,
        at_m,
        stiffness_n_per_m: 5e5,
    });
    parameters.lines[0].stiffness_n = 3e5;
    parameters.lines[0].unloaded_length_m = 3.0;
    parameters.weight_n[ring.index()] = 700.0;
    let mut guess = State::at_origin(&topology);
    guess.position_m = vec![at_m, at_m - Vector3::new(0.2, 0.0, 2.9)];
    let mut work = Workspace::new(&topology);
    let found = solve(&topology, &parameters, &guess, &Options::default(), &mut work);
    let found = found.unwrap().found().unwrap();
    assert_near(found.state.position_m[0].z, 5.0 - 700.0 / 5e5, 1e-10);
    assert_near(
        found.state.position_m[1].z,
        2.0 - 700.0 / 5e5 - 700.0 / 1e5,
        1e-10,
    );
    assert_near(found.on_building_n[0].z, -700.0, 1e-6);
}
